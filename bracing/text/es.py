"""The words of screens and of the page in Spanish, by id, as framers in North America say them.

Measures stay as a tape and a meter there show them, and the numbers stand in the order of the English. Who frames in
Spanish and has read all of it beside the English puts name and date into SIGNED; until then the English stands beneath.
"""

from __future__ import annotations

from bracing.text.es_box import CAJA, PALABRAS
from bracing.text.es_check import REVISION, VERIFICACION
from bracing.text.es_fields import NOMBRES
from bracing.text.es_lists import LISTAS
from bracing.text.es_low import BAJOS
from bracing.text.es_page import PAGINAS
from bracing.text.es_sheet import HOJA
from bracing.text.es_start import INTRO as INTRO
from bracing.text.es_start import PREGUNTAS
from bracing.text.es_walk import RECORRIDO
from bracing.text.es_work import TRABAJO

SIGNED = ""

LISTS, QUESTIONS = LISTAS, PREGUNTAS
TERMS: dict[str, str] = {**PALABRAS, **NOMBRES, **BAJOS}

WORDS: dict[str, str] = {
    **VERIFICACION,
    **REVISION,
    **RECORRIDO,
    **TRABAJO,
    **HOJA,
    **PAGINAS,
    **CAJA,
    # What every answer ends with.
    "no-stamped-design":
        "Es un cálculo con los datos que alguien escribió; no es un diseño sellado. Mandan las reglas locales y un "
        "ingeniero con licencia.",
    "what-is-covered":
        "Cuenta el viento contra esta pared y a lo largo de ella, y cargas de arriba como se declararon. No cuenta "
        "golpes ni el piso "
        "de abajo.",
    "void-if-anything-differs":
        "No vale si algo es distinto. El viento en la pared puede ser más que el pronóstico; las ráfagas de tormenta "
        "pueden pasar cualquier número.",
    "never-shelter":
        "Saque a todos de ambos lados y de la casa antes de la ráfaga de salida. Nunca se cubra junto a la pared.",
    "cautions-short":
        "No vale si algo es distinto; no es un diseño sellado; las ráfagas pueden pasar el pronóstico. Saque a "
        "todos de "
        "ambos lados y de la casa. Nunca se cubra junto a la pared. (--cautions)",
    "not-shown": "No se muestra: {what:, } (--all).",
    "not-shown-count": "{count} más: --all.",
    "at-the-limit":
        "Con esta ráfaga la unión más débil que cuenta llega a su valor admisible. No es la ráfaga que tumba la "
        "pared; "
        "una unión que falta o está rajada puede fallar antes.",
    "addition-lowers":
        "por sí solo lleva la ráfaga límite de {before} a {after}: {cause}; entonces cede primero {link} {where}",
    "draws-load": "es más rígido y atrae carga",
    "adds-lean-or-gap": "agrega peso que se recarga, o un hueco que sus clavos tienen que cruzar",
    "adds-sail": "agrega área al viento",
    "adds-pressure-at-a-return": "es un retorno, y junto a él el viento empuja más",
    "for-no-reason-known": "lo hace sin razón conocida aquí, y eso es una falla de este programa: repórtela",
    "over-the-wall": "a lo largo de la pared",
    "at-the-brace": "en {mark}",
    # Outside the envelope of use.
    "beyond-gust": "ráfaga de {gust}; esta herramienta cubre de {low.number} a {high}",
    "beyond-height": "altura de {low} a {high}; esta herramienta cubre de {least} a {most}",
    "beyond-length": "largo de {length}; esta herramienta cubre hasta {most}",
    "beyond-spacing": "montantes (studs) cada {apart}; esta herramienta cubre hasta {most}",
    "beyond-opening": "una abertura de {width} de ancho; esta herramienta cubre hasta {most}",
    "beyond-angle": "{mark} a {angle} grados del piso; los puntales cuentan de {low} a {high} grados",
    "beyond-brace-length": "{mark} mide {length}; los puntales cuentan hasta {most}",
    "beyond-head": "{mark} llega a su montante debajo de media altura; la placa es empujada al otro lado",
    "engineer-has-to-plan": "{why}; un ingeniero tiene que planearlo",
    "for-an-engineer": "para un ingeniero: {why:; }",
    # Poor practice.
    "steep-brace": "{mark} está muy parado, {angle} grados: levanta mucho la pared y el pie",
    "flat-brace": "{mark} está muy tendido, {angle} grados: es largo y se pandea antes",
    "low-head": "{mark} llega a su montante debajo de dos tercios de la altura: lleva más fuerza",
    "header-carries": "{apart} entre {first} y {second}: lo lleva el dintel (header)",
    "no-brace-at-the-edge":
        "una abertura de {width} de ancho lleva un puntal a no más de {most} de cada borde; a {edge} desde LEFT no "
        "hay "
        "ninguno",
    "braces-far-apart": "{apart} entre {first} y {second}, más de los {most} que dejan los constructores",
    "free-end-at-left": "el primer puntal desde LEFT está a {distance} de una punta libre, más de {most}",
    "free-end-at-right": "el primer puntal desde la derecha está a {distance} de una punta libre, más de {most}",
    "feet-on-the-ground":
        "pies en la tierra: ninguna tabla de suelos es este suelo; pruebe una estaca o un peso jalándolo",
    "feet-on-a-slab":
        "los anclajes en la losa cuentan como se escribieron: pruébelo, jale uno a la edad que tiene la losa",
    "into-joist-is-foot-on":
        '{was} se lee como foot_on: true como foot_on = "joist", false como "deck"; escriba foot_on en su lugar',
    "feet-on-i-joists":
        "no se revisan las viguetas I bajo los pies: quien las hace dice cuánto puede levantar o apretar un pie",
    "feet-on-trusses":
        "no se revisan las cerchas de piso bajo los pies: quien las hace dice cuánto puede levantar o apretar un pie",
    "met-by-its-job": "job.toml: {met:, }. Ese viento se cuenta; lo que dan las esquinas, no: bracing box.",
    # Going up, and the hook.
    "brace-up": "{mark}",
    "tie-row": "1 hilera de amarre",
    "tie-rows": "{count} hileras de amarre",
    "ties-on": "{ties} clavada en cada puntal y llevada a una diagonal en ambas puntas",
    "nailed": "clavado",
    "screwed": "atornillado",
    "fastened": "sujeto",
    "braces-fully-fastened": "{marks} del todo {fastened} en cabeza, taco y piso",
    "hook-stays-bare":
        "El gancho se queda: no hay ningún puntal puesto, para ninguna ráfaga del día ({day}).",
    "hook-stays":
        "El gancho se queda, con una ráfaga del día de {day}: con todo puesto la ráfaga de salida es {full}.",
    "hook-off":
        "El gancho se queda hasta que {mark} esté del todo {fastened}, para ráfagas hasta {day} (ráfaga de salida "
        "entonces: {then}).",
    "hook-off-tie":
        "El gancho se queda hasta que {mark} esté del todo {fastened} y esté puesta 1 hilera de amarre, sujeta en "
        "cada "
        "puntal y llevada a una diagonal en ambas puntas, para ráfagas hasta {day} (ráfaga de salida entonces: "
        "{then}).",
    "hook-off-ties":
        "El gancho se queda hasta que {mark} esté del todo {fastened} y estén puestas {ties} hileras de amarre, "
        "sujetas "
        "en cada puntal y llevadas a una diagonal en ambas puntas, para ráfagas hasta {day} (ráfaga de salida "
        "entonces: {then}).",
    "hook-off-corners":
        "El gancho se queda hasta que {mark} esté del todo {fastened}, estén puestas todas las hileras de amarre y "
        "las "
        "esquinas de los retornos estén clavadas como se declaró, para ráfagas hasta {day} (ráfaga de salida "
        "entonces: "
        "{then}).",
    # What stands before every number.
    "not-up":
        "NO ESTÁ PARADA: el archivo dice {state}. No se dice si está dentro o si pasa, y a nadie se le dice que "
        "salga "
        'por ella. Escriba state = "standing" bajo [wall] en cuanto se pare.',
    "laid-down":
        "NO ESTÁ PARADA: el archivo dice {state}. No se dice si está dentro o si pasa, y a nadie se le dice que "
        "salga "
        'por ella. Escriba state = "standing" bajo [wall] en cuanto se pare otra vez; luego recórrala.',
    "no-brace-keeps":
        "NO HAY PUNTALES EN EL ARCHIVO: no tiene ningún [[brace]]. Ningún puntal mantiene parada esta pared.",
    "no-brace-would-keep":
        "NO HAY PUNTALES EN EL ARCHIVO: no tiene ningún [[brace]]. Ningún puntal mantendría parada esta pared.",
    "a-plan": "Lo que sigue es un PLAN para {plan}, no lo que está puesto.",
    "for-a-gust": "una ráfaga de {gust}",
    # Taking down.
    "as-a-sentence": "{said}.",
    "partition-counts-for-nothing": "Un tabique no cuenta para nada",
    "partition-on-its-line":
        "Un tabique no cuenta para nada. Sobre su línea: {marks}; ponga un puntal nuevo antes de quitar el viejo",
    "deck-not-stated":
        "Un piso no cuenta para nada hasta que se diga su carga horizontal (--deck-takes). Lo que se queda lo decide "
        "quien responde por la estructura; la práctica publicada: no antes de terminar estructura y forro",
    "deck-alone": "Solo con la carga declarada del piso, {load}, llega a su límite a {limit}",
    "no-event": "no hay ningún paso marcado: nada ha tomado su lugar (--done)",
    "nothing-took-over": "{ticked}: nada que cuente ha tomado su lugar. {notes:. }",
    "return-takes-over":
        "De aquí en adelante cuenta el retorno en {where}, tan fuerte como se declararon su esquina, su forro y su "
        "pie",
    "at-left": "LEFT",
    "at-right": "la derecha",
    "return-lacks":
        "el retorno en {where} no cuenta para nada, su punta está libre: no declarado, o no hecho: {lacks}",
    "return-too-little":
        "el retorno en {where} no cuenta para nada, su punta está libre: muy corto para su altura, o su forro, su "
        "placa "
        "o su esquina no dan nada",
    "returns-count-for-nothing": "Ese retorno no cuenta para nada: punta libre",
    "two-push-stay":
        "dos puntales que trabajan a empuje se quedan, salvo que las esquinas de ambas puntas cuenten y estén "
        "marcadas",
    "return-corners": "esquinas de los retornos",
    "return-corners-nailed": "las esquinas de los retornos clavadas como se declaró",
    # Why a link is no stronger.
    "so-many": "{count} x {what}",
    "so-many-of": "{count} de {there} x {what}",
    "each-in-shear": "{so_many}, {each} cada uno en corte, {mode}",
    "yield-mode": "{gives} (modo {mode})",
    "gives-Im": "aplasta la madera",
    "gives-Is": "aplasta la pieza lateral",
    "gives-II": "se voltea",
    "gives-IIIm": "se dobla una vez, adentro",
    "gives-IIIs": "se dobla una vez",
    "gives-IV": "se dobla dos veces",
    "into-a-joist": "{so_many}, en una vigueta",
    "into-blocks": "{so_many}, en bloques entre viguetas",
    "into-cross-cleats": "{so_many}, en los tacos cruzados",
    "cross-cleat-screwed": "{size} plano sobre dos viguetas, {so_many} en cada una, jalados y en corte",
    "cross-cleat-bent": "{size} plano, el pie a media distancia entre dos viguetas",
    "blocks-nailed": "{count} bajo cada taco, {so_many} en cada punta, {each} cada uno en la testa",
    "deck-only": "{so_many}, solo en el tablero del piso",
    "in-shear": "{where}, en corte",
    "worth-nothing": "{where}, no vale nada: {since:; }",
    "drawn-and-in-shear":
        "{where}, jalados y en corte; el taco se dobla, así que el peor lleva {times} x su parte",
    "drawn-evenly-and-in-shear": "{where}, jalados y en corte",
    "drawn-in-shear-and-rolled":
        "{where}, jalados y en corte; el taco rueda, así que el peor lleva {times} x su parte",
    "stake-or-friction": "el apoyo lateral de la estaca, o la fricción del peso muerto, el mayor de los dos",
    "dead-weight-alone":
        "una estaca no cuenta para nada hacia arriba: solo el peso muerto, por fricción y con su parte de 1.5",
    "a-limp-cleat": "{size} {lie}, doblado entre los tornillos del puntal y los del piso",
    "panel-nailed":
        "los propios clavos del tablero del piso, {what} cada {apart}, {each} cada uno fuera de la vigueta",
    "one-joist": "una {size}, claro de {span}, el pie a medio claro",
    "lifted-joist": "{why}; levantada, su borde de abajo está libre",
    "end-on-the-edge": "la punta del puntal contra el canto del montante",
    "side-cleat-in-shear": "{so_many} en un taco lateral, en corte",
    "toe-nailed-out": "{so_many} en sesgo, jalados hacia afuera",
    "plumb-head-lift": "{so_many} llevan el levante de una cabeza cortada a plomo",
    "too-slender": "demasiado largo para su grueso, {axis} (le/d más de {limit})",
    "rolls-over": "se voltea por su propio peso (RB más de 50)",
    "tension-on-net-section":
        "jalado donde los tornillos lo debilitan, y doblado por su traslape y su peso (sección neta)",
    "compression-edge": "doblado por su traslape y su peso: el canto apretado, menos el jalón",
    "own-weight-alone": "solo su propio peso",
    "thrust-with-bending": "apretado y doblado, {axis}",
    "strong-axis": "por lo ancho",
    "weak-axis": "por lo delgado",
    "into-end-grain": "{so_many} en la testa, {each} cada uno",
    "and-a-strap": "{why}; fleje declarado",
    "both-plies": "las dos placas, empalmes declarados",
    "one-ply": "una placa; empalmes no declarados",
    "apart-each": "{what} cada {apart}, {each} cada uno",
    "so-many-on-a-piece": "{count} x {what} en un tramo de placa de {piece} de largo, {each} cada uno",
    "none-on-a-piece": "no cuenta ninguno de {what} cada {apart} en un tramo de placa de {piece} de largo",
    "apart-out": "{what} cada {apart}, jalados hacia afuera",
    "so-many-each": "{so_many}, {each} cada uno",
    "rows-in-the-plate": "{rows: o }",
    "nothing-in-the-plate": "nada declarado sujeta la placa",
    "in-the-plate": "{here} {across}",
    "one-every": "{what} cada {apart}",
    "in-a-row": ", a {edge} del canto forrado de la placa",
    "in-the-middle": "en medio de la placa",
    "from-the-edge": "a {edge} del canto forrado",
    "declared-allowable": "admisible declarado",
    "across-what-is-under": "{nails}, a través de {thick} de {under} bajo el tablero",
    "sheathing-not-nailed": "no se declaró el forro clavado a la placa ni a la vigueta perimetral",
    "no-repetitive-factor": "cada montante por sí solo",
    "heads-from-edges": "sujetadores de la cabeza a {edge} de los cantos",
    "heads-in-the-middle": "sujetadores de la cabeza en medio",
    "bent-and-drawn": "doblado a través de la pared, y jalado o apretado a lo largo por su puntal",
    "row-at": "{size} {kind} a {at}",
    "through-the-king": "{count} x {what} por el montante king en la testa",
    "bent-across": "{size} doblado a través de la pared, {wide} entre montantes king",
    "clause": "{source}",
    "link-head-bearing": "la madera se aplasta donde se apoya el puntal",
    "link-panel-to-joists": "el tablero del piso se arranca de sus viguetas",
    "link-plate-shear": "la placa inferior empujada por el piso",
    "link-plate-shear-and-uplift": "la placa inferior empujada por el piso y levantada",
    "link-plate-across-the-grain": "la placa inferior se raja a lo largo cuando se levanta su canto",
    "link-stud-bending-with-lift": "el montante doblado y levantado a la vez",
    "link-return-corner": "la esquina del retorno se abre",
    "link-return-racking": "el forro del retorno se descuadra",
    "link-return-foot": "los clavos de la placa del retorno jalados y empujados",
    "link-return-grain": "la placa del retorno se raja a lo largo al levantarse",
    "why-and-clause": "{why}; {clause}",
    "nothing-in-push": "nada a empuje: {why}",
    "nothing-in-pull": "nada a jalón: {why}",
    "nothing-in-either": "{push}; {pull}",
    # Along its own length.
    "nothing-along":
        "nada declarado mantiene derecho este marco a lo largo: le hacen falta diagonales, o tableros",
    "nothing-along-sheathed":
        "ningún tramo de tablero de altura completa es bastante ancho para contar; no hay diagonal",
    "look-above": "lo que está sobre la pared o se apoya en ella",
    "above-trusses": "cerchas",
    "above-rafters": "cabios",
    "above-untied": "nadie dijo qué impide que estas {what} se vuelquen: tied_to",
    "above-unknown":
        "NO SE SABE: nadie dijo qué impide que las {what} se vuelquen. Nadie encima ni debajo hasta amarrarlas.",
    "unknown-at": "{verdict} con una ráfaga de {gust}.",
    "loads-declared": "Se cuenta sobre ella, según se declaró: {what:; }.",
    "load-row": "{count} {what}, {each} cada una{span}{at}{tied}",
    "load-span": ", {span} de pared a pared",
    "load-at": ", a {at} desde LEFT",
    "load-tied": ", amarrada a: {to}",
    "stays-while-unknown":
        "NO SE SABE del piso de abajo o de qué sujeta sus cerchas (check lo dice primero): hasta que se diga no sale "
        "ninguno",
    "storey-unknown":
        "NO SE SABE: nadie dijo que el piso bajo esta pared esté terminado (storey_below). Lo dicho es de esta pared.",
    "storey-takes":
        "el piso de abajo recibe hasta {load} a nivel de esta pared a {gust}; su descuadre se revisa solo en una obra "
        "([[below]] en job.toml, bracing box)",
    "keep-clear-below":
        "No se acerque: {inside} desde la pared por el lado de los puntales, {outside} por fuera, otro tanto más allá "
        "de ambas puntas, ni al piso de abajo.",
    "above-most": "De las {what}, cuando más {most} como está apuntalada, con gente cerca en ráfagas hasta {day}.",
    "above-or-more": "De las {what}, {most} o más como está apuntalada, con gente cerca en ráfagas hasta {day}.",
    "before-the-first": "Antes de la primera de las {what}, con gente cerca en ráfagas hasta {day}: {needs:; }.",
    "above-at-brace": " en {mark}",
    "above-headers":
        "Los cabezales, y la placa superior entre dos montantes, no se revisan bajo lo que tienen encima",
    "before-the-first-tie": "amarre las {what}, y diga a qué (tied_to)",
    "before-the-first-braces": "puntales: no hay ninguno en el archivo",
    "before-the-first-link": "refuerce {link}{where}: con la primera puesta llega a su límite antes de {day}",
    "stands-on-it": "con {load} encima, a un sexto de su canto fuera del centro",
    "piers-along": "{count} tramos de forro de altura completa, {long} en total, {what} cada {apart} en los cantos",
    "pier-held-by": "{so_many}, y 0.6 de su peso de {weight}",
    "pier-by-weight": "0.6 de su peso y nada más: nada amarra su forro al piso",
    "no-diagonal-this-way": "con viento desde {side} ninguna diagonal jala, y ninguna que empuja tiene fleje",
    "diagonal-drawn": "{size} jalada, entre montantes",
    "diagonal-pushed": "{size} apretada, entre montantes",
    "plate-near-a-diagonal": "{so_many} a no más de {near}, cada uno jalado {lever} veces su parte del levante",
    "over-along":
        "a lo largo la pared llega a su límite a {limit}: le hacen falta tableros clavados, o diagonales",
    # A brace: where it stands, what is beside it, how it is fastened.
    "brace":
        "{size} en el montante a {at} desde LEFT{laps}, cabeza {head}, pie {foot} afuera{ties}{stiffener}{stud}; "
        "{joints}",
    "laps-on": ", traslapado por su lado {side}",
    "with-ties": ", {ties}",
    "with-a-t": ", con una T",
    "with-stud-doubled": ", su montante doble",
    "fasteners-of-braces": "Los sujetadores son cabeza + tacos + piso: {names:, }{into}.{doubled}{stiff}",
    "fasteners-of-braces-on-the-ground": "Los sujetadores son cabeza + pie: {names:, }.{doubled}{stiff}",
    "studs-doubled-at": " Montante doble en {marks:, }.",
    "with-a-t-at": " Con una T: {marks:, }.",
    "into-each": "{each:,}",
    "into-of": "{into} en {marks:, }",
    "joints-on-the-ground": "{head} en la cabeza, {foot} en el pie",
    "joints-of-one-cleat": "{head} en la cabeza, {cleat} en su taco, {floor} al piso{into}",
    "joints-of-two-cleats": "{head} en la cabeza, {cleat} en sus dos tacos, {floor} al piso{into}",
    "into-joists": " en viguetas",
    "into-the-blocks": " en bloques entre viguetas",
    "into-the-cross-cleats": " en los tacos cruzados",
}  # fmt: skip
