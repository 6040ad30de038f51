"""What can be done to a wall, what it takes and what it needs beside, in Spanish; `text/es.py` has them all."""

from __future__ import annotations

TRABAJO: dict[str, str] = {
    # Room of a joint.
    "have-room": "{marks}: {there} {where}, {room} tienen lugar, {count} cuentan",
    "no-room-between-cross-cleats":
        "{marks:, }: no cabe el puntal entre los tacos cruzados: el pie no cuenta para nada; con tacos de {least} sí",
    "each-takes-its-share":
        "{marks}: {there} {where} no se reparten parejo, {count} cuentan: cada taco lleva su parte",
    "cleat-over-no-joist":
        '{marks}: un taco de dos no cae sobre vigueta y le hacen falta bloques abajo; con foot_on = "block" se '
        'revisan',
    "cleat-over-none":
        "{marks}: un taco de dos no cae sobre vigueta, y no se sabe nada de bloques entre viguetas de esta clase: se "
        "cuenta solo en el tablero del piso",
    "all-near-the-cut": "{marks}: {there} {where}, tan cerca del corte a nivel que cada uno cuenta {part}",
    "near-the-cut": "{few}, tan cerca del corte a nivel que cada uno cuenta {part}",
    "at-the-head": "en la cabeza",
    "at-the-cleat": "en el taco",
    "at-each-joist": "por un taco cruzado en cada vigueta",
    "to-the-floor": "al piso",
    # What is done to a wall.
    "short-stud": "doblar montantes",
    "remedy-stud": "un segundo montante de altura completa a {at}, por el lado contrario al puntal",
    "short-joist": "bloque bajo los pies",
    "remedy-joist":
        "bloques macizos entre las viguetas bajo el pie de {at}, el taco atornillado a través hasta ellos",
    "short-block-ends": "más en las puntas de los bloques",
    "remedy-block-ends": "{many} por las viguetas en cada punta de cada bloque bajo un pie",
    "short-tie": "hilera de amarre",
    "remedy-tie": "{ties}{instead}",
    "short-stiffener": "T",
    "remedy-stiffener": "una segunda {size} a lo largo de {at}, canto contra cara como T, {head} cada {apart}",
    "short-head": "más en las cabezas",
    "remedy-head": "{head} en la cabeza: {each}",
    "short-head-side-cleat": "tacos laterales",
    "remedy-head-side-cleat": "un taco lateral en la cabeza de cada puntal, para que lleve jalón",
    "short-head-screws": "tornillos en vez de clavos en las cabezas",
    "remedy-head-screws": "{after} junto a cada clavo en las cabezas; entonces los clavos no cuentan para nada",
    "short-cleat": "más del puntal al taco",
    "remedy-cleat": "{cleat} del puntal al taco: {each}",
    "short-cleat-screws": "tornillos en vez de clavos del puntal al taco",
    "remedy-cleat-screws":
        "{after} junto a cada clavo, del puntal al taco; entonces los clavos no cuentan para nada",
    "short-floor-screws": "tornillos en vez de clavos del taco al piso",
    "remedy-floor-screws": "{after} junto a cada clavo, del taco al piso; entonces los clavos no cuentan para nada",
    "short-floor": "más del taco al piso",
    "remedy-floor": "{floor} del taco al piso: {each}",
    "short-cross-cleat-fasteners": "más en los tacos cruzados",
    "remedy-cross-cleat-fasteners": "{many} por cada taco cruzado en cada una de sus viguetas",
    "short-second-cleat": "segundos tacos",
    "remedy-second-cleat":
        "un segundo taco al otro lado de cada pie; en los dos juntos {cleat} al puntal: {cleats}; {floor} al piso: "
        "{floors}",
    "blocks-under-cleats":
        "{count} bloques macizos {size} entre las viguetas, bajo los tacos que no caen sobre ninguna, {ends} por las "
        "viguetas en cada punta",
    "blocks-alone": "{count} bloques macizos {size}",
    "blocks-of-all":
        "Los bloques van entre las viguetas, bajo los tacos que no caen sobre ninguna; {ends} en cada punta.",
    "short-plate-state": "clavar la placa",
    "remedy-plate-state": "la placa inferior clavada en firme: {fastener} cada {spacing}",
    "short-plate-screws": "tornillos de placa",
    "remedy-plate-screws": "{many} por la placa inferior a no más de {near} de cada puntal{edge}{instead}",
    "short-plate-nails": "clavos de placa",
    "remedy-plate-nails": "placa inferior: {fastener} cada {after}{instead}",
    "short-sheathing-to-plate": "forro a la placa",
    "remedy-sheathing-to-plate": "el forro clavado a la placa inferior: {fastener} cada {foot}",
    "short-sheathing-nails": "clavos del forro",
    "remedy-sheathing-nails": "forro en su pie: {fastener} cada {after}{instead}",
    "short-sheathing-on-studs": "forro en los montantes",
    "remedy-sheathing-on-studs": "forro en los montantes: {fastener} cada {after}{instead}",
    "short-strap-at-the-foot": "flejes en el pie",
    "remedy-strap-at-the-foot": "un fleje del montante a la estructura del piso en cada puntal, admisible {after}",
    "short-strap": "flejes en la placa superior",
    "remedy-strap": "un fleje o tornillos de la placa superior a cada montante con puntal, admisible {after}",
    "short-end-nails": "clavos de punta",
    "remedy-end-nails": "{many} por la placa superior en cada montante{instead}",
    "short-splice": "empalmar placas superiores",
    "remedy-splice": "las dos placas superiores clavadas entre sí, juntas traslapadas {lap}",
    "short-tie-nails": "clavos en los amarres",
    "remedy-tie-nails": "{many} donde una hilera de amarre cruza cada puntal{instead}",
    "short-diagonal-nails": "clavos de diagonales",
    "remedy-diagonal-nails": "{many} en cada punta de las diagonales de una hilera de amarre{instead}",
    "short-header": "clavos del dintel",
    "remedy-header": "{many} en las puntas del dintel y del antepecho de la abertura a {opening}{instead}",
    "add": "agregue {mark}: {brace}",
    "add-marks": "agregue {marks:, }",
    "instead-of": " en vez de {before}",
    "as-many-as-there-are": "tantos como hay",
    "raised": "{mark} de {before} a {after}",
    "every-brace": "cada puntal",
    # Parts.
    "stick-of": "{size} x {length}",
    "block-of": "bloque {size} x {length}",
    "cleat-of": "taco {size}, {length}",
    "lumber-for": "{size} para {row}",
    "piece-head-side-cleat": "taco lateral 2x4, {length}, en la cabeza",
    "strap-at-the-top": "fleje, placa superior a montante",
    "strap-at-the-foot": "fleje, montante a estructura del piso",
    "strap-of": "{strap}, admisible {load}",
    "so-much-of": "{much} de {what}",
    "sticks-of": "más {size}, o más largos",
    "sticks-of-tie-rows": "{size} para hileras de amarre",
    "more-than-so-many": "más de {count} de {what}",
    # What braces need beside them.
    "chosen-studs": "montantes {parts}",
    "chosen-bottom-plate": "placa inferior {parts}",
    "chosen-sheathing": "forro {parts}",
    "chosen-top-plate": "placa superior {parts}",
    "chosen-headers-and-sills": "dinteles y antepechos {parts}",
    "chosen-joists-under-the-feet": "viguetas bajo los pies {parts}",
    "chosen-brace-stock": "madera de puntales {parts}",
    "chosen-tie-rows": "hileras de amarre {parts}",
    "ties-and-diagonals":
        "hileras de amarre {size}, {where}, sujetas en cada puntal; en ambas puntas una diagonal {size}, "
        "de unos {long} de largo, hasta el piso en el plano de los puntales",
    "half-way-along": "a la mitad de su largo",
    "at-equal-parts": "que lo parten en {count} largos iguales",
    "at-every-brace": "{value} en cada puntal",
    "at-ends-of-diagonals": "{value} en cada punta de una diagonal",
    "chosen-brace-heads": "cabezas de puntales {parts}",
    "chosen-cleats": "tacos {parts}",
    "chosen": "{value}",
    "every": "cada {value}",
    "or-denser": "{value} o más densa",
    "or-better": "{value} o mejor",
    "not-tacked": "en su estado final, no prendida",
    "so-far-from-the-edge": "a {value} del canto forrado",
    "into-framing": "en viguetas, vigueta perimetral o bloques",
    "nailed-to-the-bottom": "clavado abajo ({value})",
    "every-there": "cada {value} ahí",
    "every-on-studs": "cada {value} en los montantes",
    "nails-in-each-stud": "{value} clavos en cada montante",
    "nails-in-each-end": "{value} clavos en cada punta",
    "or-deeper": "{value} o más hondo",
    "spanning-no-more": "con claro de no más de {value}",
    "on-the-studs-side": "{value} por el lado del montante",
    "so-long": "{value} de largo",
    "lying": "puesto {value}",
    "foot-between":
        "pies: antes de levantar fije los dos tacos de canto, con un retazo de puntal en medio; pared arriba, puntal "
        "adentro, aplome, y sujete desde las dos caras de afuera",
    "foot-two-flat":
        "pies: antes de levantar fije un taco plano; pared arriba, ponga el puntal contra él, aplome, sujete a "
        "través "
        "del puntal; luego el otro taco, apretado contra el puntal, igual",
    "foot-one-flat":
        "pies: antes de levantar fije el taco plano; pared arriba, ponga el puntal contra él, aplome, sujete a "
        "través "
        "del puntal",
    "a-row-across":
        "una {kind} {size} de canto, a {up} de alto, de un solo largo o empalmada, sujeta a cada montante que cruza "
        "para "
        "{load} hacia ella y en contra",
    "cleats-bored-for": "agujeros guía para los sujetadores del puntal al taco, o rajan la madera",
    "heads-bored-for": "agujeros guía para los sujetadores de la cabeza, o rajan la madera",
    "at-each-foot": "en cada pie",
    "at-the-feet-of": "en el pie de {marks:, }",
    "chosen-blocks": "bloques: {parts:, }",
    "chosen-cross-cleats": "tacos cruzados: {parts:, }",
    "blocks-between-joists":
        "{where} {count} bloques macizos {size} entre viguetas bajo el taco que no cae sobre ninguna, sus puntas "
        "sujetas "
        "para {load}",
    "cleats-over-wood":
        "declare cómo corren las viguetas (hacia dónde, y dónde está la primera), entonces puede bastar con "
        "menos; hasta entonces "
        "cada taco va sobre una vigueta, un bloque macizo o tacos cruzados, con sus sujetadores ahí",
    "cross-cleats-at-each-foot":
        "{where} dos tacos planos {size} a través de dos viguetas, uno bajo cada punta de sus tacos, {each} por "
        "cada uno "
        "en cada vigueta; sus tacos se sujetan a ellos",
    "no-room-across":
        "nadie declaró cómo corren las viguetas, y bajo los tacos no hay lugar para tacos a través de ellas",
    "about-so-much-work": "unos {minutes} minutos para dos{own}",
    "by-own-minutes": " (a juicio; los suyos: {rows:, })",
    "boards-for-diagonals": "{size} para las diagonales",
    "a-diagonal":
        "una {size} a través del marco, {long}, desde {foot} en la placa hasta {head} arriba: {count} x {what} en "
        "cada "
        "punta, {each} en cada montante",
    "blocks-at-each-foot":
        "{where} {count} bloques macizos {size} entre viguetas bajo los tacos que no caen sobre ninguna, {ends} por "
        "las "
        "viguetas en cada punta",
}  # fmt: skip
