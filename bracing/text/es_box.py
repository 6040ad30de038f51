"""The words of walls joined at their corners, in Spanish, by id: a part of those of `text/es.py`."""

from __future__ import annotations

CAJA: dict[str, str] = {
    "across-and-along": "con lo que otras paredes la empujan a lo largo",
    "goes-back": "{mark} se vuelve a poner, o sale la gente, antes de cualquier ráfaga de {gust} o más.",
    "no-forecast-none-leaves": "sin pronóstico no se quita ninguno (--gust o --forecast)",
    "not-foretold-none-leaves": (
        "nada pronosticado de {start} a {end}: no se quita ninguno (--gust, o un pronóstico completo)"
    ),
    "kept-until-event": (
        "hasta {until}: para entonces está hecho lo que sigue, o cada puntal está otra vez en su lugar"
    ),
    "at-end-left": "{file} en LEFT",
    "at-end-right": "{file} a la derecha",
    "two-push-braces-stay": "se quedan dos puntales que empujan hasta que cuenten las dos puntas",
    "leaves-too-little": "deja {leaves}, y tiene que quedar sobre {keep}",
    "stays-and-missing": "{why}; {missing:; }",
    "stays-not-looked-for": "no se buscó en el tiempo que hubo",
    "corner-not-ticked": "esquina {corner}: sin marcar {ticks:, }",
    "corner-not-ticked-short": "nada: sin marcar {ticks:, }",
    "corner-gives-nothing": "nada: una pared no está parada, no está forrada o no está clavada como se declaró",
    "no-corners": "No hay [[corner]] en job.toml: cada pared está parada con sus propios puntales.",
    "wall-not-up": "su pared no está parada ({state})",
    "of-wall": "{wall}: {said}",
    "below-takes": (
        "Piso de abajo, bajo {under}, con el viento a lo largo: {load} de {most} en corte a {gust}; llega a"
        " su límite a {limit}."
    ),
    "below-lacks": "El piso de abajo, tramo {number}, bajo {under}, no cuenta para nada: falta declarar {lacks:, }.",
    "below-not-checked": (
        "SIN REVISAR: el corte del piso de abajo. Diga de sus paredes forradas, bajo dos paredes de esta "
        "obra en cada sentido, cómo son ([[below]] en job.toml)."
    ),
    "stays-while-unknown": (
        "NO SE SABE del piso de abajo, o a qué están amarradas sus armaduras (check dice cuál primero): "
        "hasta que se diga no se quita ninguno"
    ),
    "decks-and-joists-count-for-nothing": (
        "Aquí no cuentan para nada: pisos de arriba, techos, viguetas, vigas de cielo, cabrios, tabiques."
    ),
    "roofs-and-joists-count-for-nothing": (
        "Aquí no cuentan para nada: techos, viguetas, vigas de cielo, cabrios, tabiques."
    ),
    "deck-counts": "{deck} cuenta, en lo alto de {walls:, }.",
    "deck-counts-for-nothing": "{deck} no cuenta para nada: {why:; }.",
    "deck-is-a-roof": "es un techo; el viento que lo levanta no está cubierto",
    "roof-is-on": "{deck}, un techo, está puesto, y el viento que lo levanta no está cubierto",
    "deck-not-ticked": "sin marcar {ticks:, }",
    "deck-lacks": "sin declarar {lacks:, }",
    "deck-no-ring": "sus cuatro paredes no están paradas y unidas en cuatro esquinas que cuenten",
    "deck-not-level": "lo alto de sus paredes no está a nivel",
    "deck-too-long": "más de {most} veces más largo que ancho",
    "deck-no-studs": "una pared no tiene ningún montante de altura completa entre sus puntas",
    "deck-worth-nothing": "clavado más abierto que 6/12, o de tableros, viguetas o clavos que ninguna tabla cuenta",
    "deck-tops": "{count} de {what} sobre la pared, {each} cada uno, a través y a lo largo",
    "deck-shear": "orillas sin bloquear, en {deep}",
    "deck-chord": "{count} de {what} por un traslape de las placas superiores",
    "this-job": "Esta obra",
    "storey-below-of": "el piso de abajo de {wall}",
    "box-head": "{name}: {up} de {walls} paredes paradas, {count} de {corners} esquinas cuentan.",
    "box-nothing-given": " No se da ninguna ráfaga, y no se quita ningún puntal.",
    "box-none-up": "Ninguna pared está parada: todavía no hay nada unido.",
    "box-assumed": "SUPUESTO, con el valor bajo: {fields:, }.",
    "box-out": "{out}: toda la obra, por {first}.",
    "box-forecast": "El pronóstico cuenta {why}.",
    "box-over": "SOBRE el límite de {weakest} a {gust}.",
    "box-within": "DENTRO del límite de cada pared a {gust}.",
    "box-within-people-out": "DENTRO del límite de cada pared a {gust}, y la gente afuera.",
    "box-next": "Sigue:",
    "box-next-on-the-day": "Sigue, ese día:",
    "finds-no-corner": "ninguna: solo con sus puntales",
    "room-not-declared": "sin declarar",
    "room-too-little": "{room}: MUY POCO",
    "can-still-move": "todavía se puede mover",
    "corner-takes": "toma a {gust}, en medio del montante de la punta + en lo alto",
    "may-leave": (
        "Se pueden quitar, uno a la vez, con la ráfaga de salida de cada pared sobre {keep}; marque, pregunte"
        " otra vez:"
    ),
    "none-may-leave": "No se puede quitar ninguno: la ráfaga de salida de cada pared tiene que quedar sobre {keep}.",
    "box-stay": "Se quedan: {marks:, }: {why}.",
    "box-step": "[ ] {number}. {brace} ({of} entonces). {back}",
    "asked-may-leave": "{brace} se puede quitar: quite este, y pregunte otra vez. {back}",
    "asked-without": "Sin él la menor ráfaga de salida es {gust} ({of}).",
}
PALABRAS: dict[str, str] = {
    "planned": "en plan",
    "standing": "parada",
    "laid down": "acostada",
    "tied in": "amarrada",
    "wall": "pared",
    "clear-out": "salida",
    "limit": "límite",
    "gives first": "cede primero",
    "corner": "esquina",
    "stand, in this order": "pare, en este orden",
    "finds a corner with": "halla esquina con",
    "deck it takes": "piso que ocupa",
    "room": "lugar",
    "the corners": "las esquinas",
    "the order to stand walls in": "el orden para parar las paredes",
    "later steps": "pasos más",
    "of those that stay": "de los que se quedan",
}
