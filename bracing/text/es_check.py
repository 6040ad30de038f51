"""The words of a wall checked, and of a forecast in a text message, in Spanish; `text/es.py` has them all."""

from __future__ import annotations

VERIFICACION: dict[str, str] = {
    "unsigned-words":
        "SIN REVISAR: nadie que arme paredes en español ha leído y firmado estas palabras. Donde no digan lo mismo "
        "que "
        "el inglés de abajo, vale el inglés. LEFT es la izquierda de quien mira la pared desde el lado de los "
        "puntales.",
    "the-english-of-it": "En inglés, que es lo que vale (in English, which counts):",
    "english-beside": "EN: {english}",
    # What a screen begins with.
    "wall-title": "{wall}, {long} de largo, {high} de alto: {state}",
    "state-of-a-wall": "{state:, }",
    "outside-the-tool": "Para un INGENIERO: esto queda fuera de lo que cubre la herramienta.{withheld}",
    "no-limit-given": " No se da ráfaga límite.",
    "mind": "Ojo: {what}.",
    # The verdict, and the gusts.
    "as-drawn-it-would-be": "Como está dibujada: {told}",
    "no-gust-asked": "No se pidió ninguna ráfaga: estos son los límites.",
    "its-limit-at": "{verdict} de su límite con una ráfaga de {gust}{out}.",
    "and-people-out": ", y la gente afuera",
    "loose-without-braces": "PASA: sin puntales esta pared todavía se puede mover: su ráfaga límite es 0.",
    "loose-in-wind":
        "PASA: con viento desde {winds: y desde } esta pared todavía se puede mover. Lo que está en contra no cuenta "
        "entonces para nada, o es muy poco: su ráfaga límite es 0.",
    "loose-in-pull":
        "PASA: con viento desde {winds: y desde } esta pared todavía se puede mover. Lo que está en contra no cuenta "
        "entonces para nada, o es muy poco: su ráfaga límite es 0.",
    "sustained-planned": "Un viento sostenido de {speed}, por {factor}, se planea como una ráfaga de {gust}.",
    "storms-planned":
        "Tormenta eléctrica: se planea para {gust} por lo menos; una ráfaga puede pasar cualquier número.",
    "clear-out-as-drawn": "Parada como está dibujada, su ráfaga de salida es {gust} ({meter})",
    "clear-out-before": "SALGAN TODOS antes de una ráfaga pronosticada de {gust}{meter}",
    "clear-out-now": "SALGAN TODOS ya y quédense afuera: su ráfaga de salida es 0{meter}",
    "none-on-a-meter": " (0 también en el medidor)",
    "with-thunderstorms": "Con tormenta eléctrica en el pronóstico: {gust}",
    "on-a-meter": "{gust} en un medidor a {height} sobre el piso",
    "limit-gust": "Ráfaga límite: {gust}.",
    "limit-with-people": "Con gente encima o al lado: {gust}, así que para entonces ya salieron.",
    "limit-less-weight":
        "Cuenta 0.6 del peso de la pared contra el levante de la placa; sin eso, {gust}.",
    "one-brace-gone":
        "Si falta cualquier puntal: {rest} (sin {first}) en calma, {lost} si se pierde en la ráfaga ({second}).",
    "gives-first": "Cede primero: {link}.",
    "weakest-counted": "La más débil de las uniones que cuentan: {link}.",
    "first-for-nothing": "Lo primero de lo que no cuenta para nada: {link}.",
    "another-reading-beside":
        "Otra lectura, solo donde se controla la entrada: {speed} de viento de diseño por el tiempo que está parada "
        "equivale a una ráfaga de {gust}, {verdict} de su límite.",
    "at-from-left": "a {at} desde LEFT",
    "over-a-gust": "más de {gust}",
    "keep-clear":
        "No se acerque: {inside} desde la pared por el lado de los puntales, {outside} por fuera, y otro tanto más "
        "allá "
        "de ambas puntas.",
    # Braces, and the sums beside them.
    "braces-with-forces": "Puntales, montantes medidos desde LEFT, la mayor fuerza en cada uno [{unit}] a {gust}:",
    "one-counts-for": "{marks} cuenta así: {why}{gloss}.",
    "several-count-for": "{marks} cuentan así: {why}{gloss}.",
    "without-anchored-ties": ", sin una hilera de amarre anclada",
    "and-the-last": "{others:, } y {last}",
    "feet-load": "Un pie aprieta el piso con hasta {down}, y lo levanta con {up}.",
    "by-hand":
        "A mano: {pressure} de viento parejo son {hand} horizontales en total; el marco da {frame}. Compare estas "
        "sumas, "
        "no puntales sueltos; --links dice cómo se hace.",
    "by-hand-in-full":
        "A mano: {pressure} de viento parejo{raised}, cada puntal hasta medio camino del siguiente, son {hand} "
        "horizontales en total; el marco da {frame}. Compare estas sumas, no puntales sueltos (hasta 40% de "
        "diferencia): "
        "{why}.",
    "pushing-higher": " que empuja una vigésima de la altura de la pared arriba de la mitad",
    "links-from-memory": "De memoria, no leído impreso: {links:, }.",
    # What was assumed.
    "assumed-and-costs": "ASSUMED (supuesto), porque nadie lo declaró, y lo que cuesta cada uno:",
    "assumed-count": "ASSUMED: el valor bajo en {places} que nadie declaró{where}.",
    "one-place": "un lugar",
    "so-many-places": "{count} lugares",
    "usual": "(lo usual {value})",
    # The next command.
    "next-sheet": "Sigue: la hoja para repartir:",
    "next-links": "Sigue: todas las uniones:",
    "next-gust": "Sigue: con la ráfaga del pronóstico:",
    "next-layout": "Sigue: qué alcanzaría:",
    "next-storm": "Sigue: el pronóstico:",
}  # fmt: skip

REVISION: dict[str, str] = {
    # In a text message.
    "text-head": "{wall} ({state}): {verdict}",
    "text-not-up": "ráfagas hasta {gust}\nA nadie se le dice que salga por ella\nCamioneta: nada",
    "text-worst": "ráfagas hasta {gust}, límite {limit}",
    "text-engineer": "ingeniero: fuera de lo que cubre la herramienta",
    "text-out-engineer": "FUERA ya y quédense afuera",
    "text-out-any": "FUERA antes de cualquier ráfaga de {gust}",
    "text-out-now": "FUERA ya: ráfaga de salida {gust}",
    "text-out-by": "FUERA a más tardar {when}: ráfaga de salida {gust}",
    "text-not-covered": "; SIN CUBRIR: {gap}",
    "gap-before-it-begins": "desde ahora hasta {when}, antes de que empiece este pronóstico",
    "text-nothing-to-add": "Nada que agregar para este pronóstico",
    "text-no-numbers": "No hay números para esta pared",
    "text-to-do": "Por hacer: {work:; }, unos {minutes} min para dos",
    "text-lay-down": "Nada lo cubre: acuéstela antes de {when}, con ráfagas hasta {gust} a lo más",
    "text-stay-out": "Nada lo cubre: quédense afuera",
    "text-truck": "Camioneta: {parts:; }",
    "text-truck-nothing": "Camioneta: nada",
    "text-part": "{count} de {what}",
    "text-turn": "{number}. {wall} a más tardar {when}: {work:; }",
    "text-left": "{wall}: {why}; FUERA {when}",
    "watch-not-read": "SIN LEER: {fault}",
    # What first.
    "first-head": "QUÉ VA PRIMERO, para {people} personas en una pared a la vez, {until}.",
    "first-until": "desde ahora hasta {until}",
    "first-no-end": "desde ahora",
    "first-most":
        "De las paredes que pasan, {done} de {count} con ráfagas hasta {gust} quedan dentro, en {minutes} min; ninguna "
        "otra elección alcanza a más, ni a otras tantas antes.",
    "first-best-found":
        "De las paredes que pasan, {done} de {count} con ráfagas hasta {gust} quedan dentro, en {minutes} min: lo "
        "mejor que se halló, sin probarlo.",
    "first-out-now":
        "SALGAN ya de sus zonas, y quédense fuera mientras se trabaja en las otras: {walls:, }.",
    "first-lay-down":
        "SALGAN {when}, a {zone} o más de ella; o ACUÉSTENLA antes de {before}, con máquina, con ráfagas de menos de "
        "{limit}.",
    "first-stay-out": "SALGAN {when}, a {zone} o más de ella, y QUÉDENSE FUERA hasta que pase el viento.",
    "first-within":
        "Dentro como están: {walls:, }. La gente está fuera de sus zonas desde sus ráfagas de salida.",
    "first-take": "Lleven, para todo:",
    "first-not-counted": "NO SE CUENTA, búsquenlo antes de empezar: {what:; }.",
    "first-assumed": "SE SUPONE: {what:; }.",
    "first-two-people": "dos personas",
    "first-a-box": "{count} en una caja de {what}",
    "first-all-out": "SALGAN DE TODAS a más tardar {when}, terminado o no.",
    "first-no-time": "NO ALCANZA, no hay tiempo para sus {minutes} min",
    "first-not-on-hand": "NO ALCANZA, no hay a la mano: {lacks:; }",
    "first-needs-a-machine":
        "NO ALCANZA, la gente tiene que estar ya fuera de su zona: solo con una máquina agarrada desde el principio",
    "first-engineer": "NO ALCANZA, fuera de lo que cubre esta herramienta: es de un ingeniero",
    "first-nothing-covers": "NO ALCANZA, ningún trabajo en una pared parada lo cubre: {why}",
    "first-now": "ya",
    "first-by": "a más tardar {when}",
    # A forecast, read back.
    "times-sustained": "sostenido {given} x {factor} = {gust}",
    "no-less-in-storms": "tormenta eléctrica: no menos de {gust}",
    "read-back": "Leído como {count} renglones, de {start} a {end}, {zone}: {what:; }.",
    "read-own-clock": "el reloj de esta computadora",
    "read-gusts": "ráfagas de {speeds} en {count}",
    "read-winds": "sin ráfaga en {count}, así que {factor} veces su viento de {speeds}",
    "speeds-between": "{low.number} a {high}",
    "read-storms": "tormenta eléctrica en {count}",
    "reaches-its-limit": "{what} llega a su límite a {limit}, con viento desde {wind}.",
    "link-at-a-brace": "{link} en {mark}",
    "link-at": "{link} a {at} desde LEFT",
}  # fmt: skip
