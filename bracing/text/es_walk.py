"""The words of a walk in Spanish; what is typed back stands in quotation marks, as it is typed."""

from __future__ import annotations

RECORRIDO: dict[str, str] = {
    "walk-begins":
        'En cada puntal: Enter = como en el plan; si no, lo que hay, por ejemplo "floor 4" (los del piso), "joist '
        'missed" '
        '(no dio en la vigueta) o "missing" (falta); "?" dice todo lo que se puede contestar. Cada respuesta se '
        'guarda '
        "al darla.",
    "walk-answers":
        'Enter = como en el plan. Si no, lo que hay: "floor 4" (o head, cleat: cuántos en el piso, la cabeza, el '
        'taco), '
        '"joist missed" (no dio en la vigueta), "stud {stud}" (en otro montante), "missing" (falta), "split head" '
        '(cabeza '
        'rajada; o cleat, floor, stick), "ties 0" (sin amarre), "2x4", "head at {head}" (cabeza a esa altura), '
        '"foot at '
        '{foot} out" (pie a esa distancia), "stud not doubled" (montante no doble), "no T" (sin T); varias con '
        'comas. '
        '"back" pregunta otra vez la anterior.',
    "walk-taken-up": "Se retoma: {answered} de {of} puntales ya se habían contestado.",
    "walk-brace":
        "{mark}: {size} en el montante a {at}, cabeza a {head}, pie a {foot} afuera; {heads} en la cabeza, {cleats} "
        "al "
        "taco, {floors} al piso{joist}{doubled}{tee}{ties}{missing}",
    "walk-joist": ", en una vigueta",
    "walk-block": ", en bloques entre viguetas",
    "walk-cross-cleats": ", sobre tacos cruzados",
    "walk-doubled": ", montante doble",
    "walk-ties": ", amarres {ties}",
    "walk-missing": '. FALTABA en el último recorrido; Enter = todavía falta, "there" = está como en el plan',
    "walk-tee": ", una segunda pieza clavada en T",
    "walk-extra":
        "¿Hay un puntal puesto que no se nombró aquí? Enter = ninguno; si lo hay, por ejemplo "
        '"{stud}, head {head}, back {foot}, 2x6, 4/4/5"',
    "walk-looks":
        'Ahora lo demás con que cuenta la pared: Enter = visto, y como en el plan; "not seen" = no visto; "none" = '
        'no '
        'está; si no, lo que hay, por su nombre, por ejemplo "spacing {spacing}"; varias con comas. Lo que nadie '
        'miró '
        "deja la pared como PLAN.",
    "walk-look": "{what}: {facts}",
    "walk-fact": "{name} {value}",
    "walk-number": "{what}, núm. {number}",
    "walk-names": 'Enter, "not seen", "none", o uno de estos y lo que hay: {names}',
    "yes": "sí",
    "no": "no",
    "not-known": "no se sabe",
    "found-fact": "{what}: {name} {there}, en el plan {planned}",
    "found-at": "{what} a {there}, en el plan {planned}",
    "walked-not-seen": "Recorrida {when}, y todavía PLAN: no visto, o cambiado desde entonces: {looks:; }.",
    "look-up": "puntales",
    "look-heads": "cabezas de los puntales",
    "look-cleats": "tacos en sus pies",
    "look-braces": "sellos de los puntales",
    "look-ties": "hileras de amarre, y las diagonales que las anclan",
    "look-deck": "tablero del piso",
    "look-joists": "viguetas",
    "look-blocks": "bloques",
    "look-cross": "tacos cruzados",
    "look-anchors": "anclajes, estacas o pesos",
    "look-plate": "placa inferior",
    "look-extra": "placa inferior en cada puntal",
    "look-sheathing": "pie del forro",
    "look-straps": "flejes, montante a piso",
    "look-openings": "aberturas",
    "look-studs": "montantes",
    "look-layers": "capas",
    "look-rows": "hileras a través de los montantes",
    "look-top": "placa superior",
    "look-below": "piso",
    "walk-refused": "{mark}: se recibió {got}; se esperaba {expected}",
    "from-to": "de {least} a {most}",
    "length-with-its-unit": "un largo con su unidad, por ejemplo {such}",
    "size-of-lumber": "una medida de madera, por ejemplo 2x4",
    "head-no-higher": "una cabeza no más alta que su montante, {top}",
    "on-a-full-stud":
        "el centro de un montante de altura completa; los más cercanos están a {nearest: y } desde LEFT",
    "where-another-is":
        "otro montante u otro lado, o una cabeza a {apart} o más de los {head} de {mark}, que ya está ahí",
    "no-joist-lies-there": "joist missed con ello: ninguna de las viguetas declaradas queda ahí bajo un pie",
    "walked-by-whom": "¿Quién la recorrió, por su puesto (por ejemplo lead framer)?",
    # What a walk found.
    "built-title": "{wall}: {state}, {when}, por {by}.",
    "built-differ": "{count} de {of} puntales no son como en el plan.",
    "built-as-planned": "Todos los puntales son como en el plan.",
    "built-none-on-file": "No había ningún puntal en el archivo.",
    "built-extra": "Puestos, y en ningún plan: {marks:, }.",
    "built-one-thing": "Además de los puntales, {count} cosa es distinta.",
    "built-things": "Además de los puntales, {count} cosas son distintas.",
    "built-found": "{mark}: {what}",
    "built-engineer": "Para un INGENIERO, tal como está: {why:; }",
    "built-limit": "Ráfaga límite como se armó: {gust}.",
    "built-as-planned-limit": "Como en el plan sería {gust}.",
    # Taking braces out.
    "comes-out-only-over":
        "Un puntal se quita solo donde la ráfaga de salida sin él pasa de {gust}{blows}: {why}.",
    "in-a-thunderstorm": " en viento de tormenta eléctrica",
    "removal-may": "{mark} se puede quitar: {why}.",
    "removal-stays": "{mark} SE QUEDA: {why}.",
    "removal-leaves": "Sin él la ráfaga de salida es {out}, la ráfaga límite {limit}. {kept}",
    "after-an-event": "[ ] {event}: {who} {note}",
    "none-may-come-out": "no se puede quitar ninguno.",
    "every-brace-is-out": "para entonces ya no queda ningún puntal.",
    "may-come-out": "{mark} (ráfaga de salida entonces {out})",
    "may-come-out-in-order": "ráfaga de salida {clear}. Se pueden quitar, en este orden: {out:, }{stay}",
    "these-stay": ". Se quedan: {marks:, }.",
    "then-every-brace-is-out": "; entonces ya no queda ningún puntal.",
    "may-come-out-after": "después de {ticked}; quite este, y pregunte otra vez",
    "clear-out-too-low": "sin él la ráfaga de salida no pasaría de {keep}",
    "kept-today": "la ráfaga de hoy y nada más: DE ESTA NOCHE NO SE SABE NADA (--forecast, --storms)",
    "kept-worst": "lo peor de hoy y del pronóstico, {of}. Cuenta {since} {until}",
    "kept-of-today": "lo de hoy",
    "kept-of-forecast": "lo de {when}",
    "kept-now": "desde ahora",
    "kept-from": "desde {start}",
    "kept-until": "hasta {until}: entonces pregunte otra vez",
    "kept-no-end": "en adelante, mientras no se pronostique más: nadie dijo hasta cuándo",
}  # fmt: skip
