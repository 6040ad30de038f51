"""The questions of `bracing start` in Spanish, by key: the question, and what "?" says. The English stands beneath.

What is typed back is typed as the English has it: feet, inches and the words in quotation marks.
"""

from __future__ import annotations

INTRO = (
    'Un archivo de pared con una docena de preguntas. Enter o "don\'t know" (no sé) toma lo que está entre '
    "corchetes; "
    '"back" regresa; "?" dice por qué; "done" deja lo demás; "quit" sale. Conteste con las palabras en inglés de los '
    "ejemplos."
)

PREGUNTAS: dict[str, tuple[str, str]] = {
    "name": ("¿Cómo le dicen a esta pared?", "Encabeza cada página sobre ella, por ejemplo South gable."),
    "shape": (
        "Por arriba: level (a nivel), gable (dos aguas) o rake (un agua)?",
        "Level: una sola altura. Gable: dos pendientes hasta un pico. Rake: una pendiente, como bajo un techo de un "
        "agua.",
    ),
    "left_is": (
        "Párese donde van los puntales, de cara a la pared: LEFT queda a su mano izquierda. ¿Qué hay ahí?",
        "Toda medida empieza en LEFT, la punta de la placa. Diga lo que un extraño hallaría ahí, por ejemplo "
        "driveway end "
        "o stairs; se escribe en el dibujo.",
    ),
    "length": (
        "Mida la placa inferior de punta a punta.",
        "Pies y pulgadas o métrico, con la unidad: 36 ft, 36-4 1/2, 36'-4 1/2\", 11.1 m.",
    ),
    "height": (
        "Mida del piso a lo alto de las placas; si es de dos aguas, en sus puntas.",
        "Con su unidad: 10 ft, 9-1 1/8, 2.74 m. Hasta lo más alto de la placa de arriba.",
    ),
    "peak": (
        "¿Qué tan alto está el pico, o cuál es la pendiente?",
        "El pico con su unidad, o la pendiente: 18-6, 6/12. Si no está a medio largo, diga dónde desde LEFT: 18-6 "
        "at 14-0.",
    ),
    "left": (
        "¿Qué altura tiene en LEFT, y en la derecha?",
        "Las dos hasta lo alto de las placas, con su unidad, por ejemplo 9 ft, 19 ft.",
    ),
    "studs": (
        "Montantes: ¿qué medida, cada cuánto de centro a centro, y qué dice el sello de grado?",
        "Por ejemplo 2x6 16 oc, SPF No.2. Sin el sello cuenta la especie y el grado más débiles que se venden.",
    ),
    "layers": (
        "¿Qué tiene clavado, del montante hacia afuera? O bare (nada).",
        "Con comas: 7/16 osb, housewrap, fiber cement siding. Las capas pesan, y el forro amarra el pie.",
    ),
    "openings": (
        "Puertas y ventanas, una por renglón: orilla izquierda, antepecho (sill), ancho x alto; Enter al terminar.",
        "Aberturas en bruto, por ejemplo 13 ft, sill 3 ft, 6 ft x 4 ft, o 3-0 x 5-0 at 12-6, sill 2-8. Una puerta "
        "no tiene "
        "sill: 20 ft, 3 ft x 6 ft 10 in. Agregue open donde nada la tapa. Ningún puntal va en un montante junto a "
        "uno que no "
        "es de altura completa.",
    ),
    "floor": (
        "¿Sobre qué se paran los puntales: deck (piso de madera), slab (losa) o ground (tierra)?",
        "Deck: piso de madera sobre viguetas. Slab: concreto. Ground: estacas o pesos afuera.",
    ),
    "above": (
        "¿Qué tan alto está ese piso sobre la tierra de afuera, o en qué nivel está?",
        "Más arriba el viento es más fuerte. Por ejemplo 3 ft, 0 ft, o second storey, que se toma como 14 ft 7 in. "
        "Si no se "
        "sabe cuenta como third storey.",
    ),
    "joists": (
        "Viguetas: ¿solid, I-joist o truss? Medida, cada cuánto, si corren away (alejándose de la pared) o along (a "
        "lo largo), "
        "y a qué distancia está el centro de la primera: desde LEFT si away, desde la pared si along?",
        "Por ejemplo solid 2x10, 16 oc, away, first at 8 in: busque la línea de clavos en el piso. Un pie sujeto "
        "solo al "
        "tablero cuenta casi nada a jalón: si se conocen las viguetas, los pies van sobre ellas.",
    ),
    "slab": (
        "Anclajes en la losa: ¿cuánto puede llevar uno a tensión y a corte, y según qué informe?",
        "Por ejemplo 800 lb, 900 lb, pull test of five. Aquí no se calcula ningún anclaje: valores admisibles, no "
        "últimos.",
    ),
    "ground": (
        "Una estaca: ¿suelo, ancho, hondo clavado? ¿O un peso en cada pie?",
        "Por ejemplo clay, 3.5 in, 36 in; o weight 1200 lb. Una estaca no cuenta para nada a jalón.",
    ),
    "screws": (
        "Sujetadores de los puntales, como dice la caja: ¿clase, espiga, largo y cabeza?",
        "Del puntal al montante y del puntal al taco. Por ejemplo structural screw 0.22x3, 16d common, o nail 3.1 "
        "mm x 90 mm, "
        "head 7 mm.",
    ),
    "sticks": (
        "Madera a la mano para puntales: ¿medidas y largos?",
        "Con comas: 2x6x16, 2x4 14 ft. Primero la cuenta si solo hay tantas: 12 of 2x4 14 ft.",
    ),
    "more": (
        "Con eso alcanza para un plan. Más respuestas suben los números: ¿seguimos?",
        "Puntales ya puestos, la placa, el pie del forro, el espacio. Lo que no se dice cuenta bajo y se lista.",
    ),
    "braces": (
        "Puntales ya puestos, uno por renglón: montante (stud), head, back, medida; Enter al terminar.",
        "Desde LEFT al montante, luego por ejemplo 18 ft, head 12 ft, back 10 ft, 2x6. Cuántos sujetadores en "
        "cabeza, taco y "
        "piso: 4/4/5. joist donde se sabe que van en una vigueta; doubled; ties 1.",
    ),
    "feet": (
        "¿En qué se paran los pies de esos puntales: joist, block, cross cleat o deck?",
        "Adonde llegan sus sujetadores: una vigueta; bloques macizos entre viguetas; tacos planos sobre dos "
        "viguetas; o solo el "
        "tablero. Un puntal que dice el suyo arriba lo conserva. Lo que sujeta bloques y tacos cruzados se dice en "
        "el archivo.",
    ),
    "brace_stamp": (
        "Léame el sello de grado de un puntal.",
        "Por ejemplo SPF No.2. Si no se sabe, se toma el más débil que se vende.",
    ),
    "floor_screws": (
        "¿Y el sujetador del taco al piso, como dice la caja?",
        "Pasa por el taco y el tablero hasta la vigueta, así que es más largo: structural screw 0.22x5.",
    ),
    "bored": (
        "¿Hay agujeros guía para los sujetadores en la cabeza, y del puntal al taco?",
        "yes o no. Metidos directo tienen que ir más separados y más lejos del corte, o rajan la madera: cuentan "
        "menos.",
    ),
    "plate": ("Placa inferior: ¿qué sujetador, y cada cuánto?", "Por ejemplo 16d common 16 in."),
    "plate_state": (
        "¿La placa está solo prendida (tacked), o final; y final hasta viguetas o vigueta perimetral?",
        "tacked; final; o final into joists, donde se sabe que cada uno llega a una vigueta, la perimetral o "
        "bloques.",
    ),
    "plate_row": (
        "¿A qué distancia del canto forrado de la placa está su hilera de sujetadores?",
        "El forro levanta ese canto: una hilera a 3/4 in de él lleva la mitad de lo que lleva una en medio.",
    ),
    "lap": (
        "¿El pie del forro está clavado a: none (nada), plate (placa) o rim (perimetral)?",
        "Es lo que amarra los montantes.",
    ),
    "sheathing": ("¿Con qué clavo, y cada cuánto a lo largo de la placa?", "Por ejemplo 8d common 6 in."),
    "dry": (
        "¿La madera se ha mantenido seca desde que se clavó?",
        "Verde es lo peor de mojada ahora y seca después, y los clavos pierden más.",
    ),
    "ends": (
        "¿Una punta está amarrada a una pared de retorno terminada: none, left, right o both?",
        "Cuenta según se digan su esquina, su tablero y su placa. De cualquier modo, el viento junto a un retorno "
        "es más fuerte.",
    ),
    "corner": ("En esa esquina: ¿cuántos de qué sujetador?", "En toda la altura, por ejemplo 12 16d common."),
    "return": (
        "Ese retorno: ¿qué largo, qué tablero, sus clavos de canto, clavos de placa, a qué va clavado su pie? O su "
        "propio archivo.",
        "Por ejemplo 8 ft, osb 7/16, 8d common 6 in, 16d common 8 in, plate; o east.toml.",
    ),
    "room": (
        "¿Cuánto piso libre hay delante de la pared?",
        "De la placa a lo primero que estorba, por ejemplo 16 ft.",
    ),
    "keep_outs": (
        "¿Dónde no puede ir un pie? Nombre y dos esquinas, uno por renglón; Enter al terminar.",
        "Huecos de escalera, pasos de puerta: stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft. Desde LEFT, luego hacia "
        "afuera de la pared.",
    ),
    "below": ("¿Puede pasar el viento por debajo del piso?", "yes o no."),
    "loads": (
        "¿Qué hay sobre la pared o recargado en ella, uno por renglón? Enter al terminar.",
        "Por ejemplo 6 trusses, 24 ft, 4/12, 80 lb, ground brace; bundle, 500 lb, at 9 ft; person, at 4 ft. De las "
        "cerchas (trusses) diga qué las sujeta para que no se volteen: ground brace, this wall u other wall.",
    ),
    "storey": (
        "¿Está terminado el piso de abajo: paredes forradas, a plomo y sujetas, y el entrepiso clavado?",
        "yes o no. Se han caído paredes junto con un piso que no estaba terminado.",
    ),
    "panel": ("¿De qué es el tablero del piso, y qué grueso?", "Por ejemplo osb 23/32 o plywood 3/4."),
    "exposure": (
        "Alrededor: B, casas o bosque cerca por todos lados; C, abierto; D, agua abierta?",
        "B solo con casas o bosque por todos lados en media milla (ASCE 7 26.7). Campo abierto es el valor bajo.",
    ),
    "hill": (
        "En una loma, cresta o barranco: ¿no, o su factor Kzt?",
        "La norma de viento tiene el factor (ASCE 7 26.8). Un ingeniero lo sabe.",
    ),
    "ties": (
        "Hileras de amarre a través de los puntales, cada una llevada a algo firme: ¿0, 1 o 2?",
        "Un amarre evita que un puntal largo se arquee. Cuenta solo si llega a algo que no puede ceder.",
    ),
    "tie_fastener": (
        "¿Qué sujeta una hilera de amarre donde cruza un puntal, y sus diagonales?",
        "Por ejemplo 16d common: cada uno lleva un quincuagésimo del empuje de su puntal, y una diagonal la suma de "
        "una hilera.",
    ),
    "tie_nails": ("¿Cuántos en cada puntal?", "Lo usual son dos."),
    "diagonal_nails": (
        "¿Cuántos en cada punta de una diagonal?",
        "Lo usual son tres: junta lo de todos los amarres.",
    ),
}
