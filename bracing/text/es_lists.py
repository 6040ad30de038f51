"""The lists the crew goes by, in Spanish: those of `data/sheet.toml`, by name, item by item."""

from __future__ import annotations

LISTAS: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "release": (
        "Antes de quitar el gancho",
        "Una persona lo dice en voz alta, cuando cada renglón está marcado.",
        (
            "Placa inferior sujeta como dice la tabla de sujetadores, también en cada puntal",
            "Cada puntal hasta el que nombra el renglón del gancho: uniones de cabeza, taco y piso completas, "
            "ninguna "
            "prendida",
            "Cada pie en lo que dice el plan; ningún taco rajado, ningún tornillo barrido",
            "Puestas las hileras de amarre que nombra el renglón del gancho, y llevadas a una diagonal en cada punta",
            "Puestos los flejes o tornillos de la placa al montante con puntal, donde hagan falta",
            "Pared bastante a plomo para dejarla, puntales sin doblar",
            "La ráfaga de ahora y la del pronóstico abajo de la ráfaga de salida",
            "Nadie bajo la pared ni dentro de la zona, más que quienes desenganchan",
        ),
    ),
    "evening": (
        "Cada tarde, y antes de una noche o un fin de semana",
        "Recorra los dos lados de la pared, del pie a la cabeza de cada puntal.",
        (
            "Están puestos todos los puntales de esta hoja; ninguno se movió, se prestó o se cortó",
            "Uniones de cabeza, taco y piso apretadas; nada rajado, nada jalado",
            "Placa pegada al piso en todo su largo",
            "Aberturas como dice esta hoja: tapadas, o dejadas abiertas",
            "Hojas sueltas y recortes fuera, pilas amarradas",
            "Leída la ráfaga del pronóstico, con tormenta eléctrica sí o no, contra la ráfaga de salida",
            "Zona encintada; avisados los vecinos y los otros oficios",
            "Está escrito quién lee el viento esta noche, y quién saca a la gente de la zona",
        ),
    ),
    "blow": (
        "Después de un ventarrón, antes de que alguien entre",
        "Primero mire desde fuera de la zona. Apunte la ráfaga máxima.",
        (
            "Pared todavía en línea y a plomo; sin panza nueva",
            "Ningún puntal doblado, ningún pie corrido, ningún taco rodado o rajado",
            "Placa sin levantar; sin hueco abajo",
            "Sujetadores de cabezas y pies sin salirse: el que se movió se cambia, no se vuelve a clavar",
            "Uniones de la placa superior y sujetadores de esquina cerrados",
            "Lo que se movió está escrito, y la pared se revisa otra vez tal como está ahora",
        ),
    ),
    "stop": (
        "Pare el trabajo y saque a todos de la zona cuando",
        "Cualquiera lo puede decir. Nadie tiene que decir antes por qué.",
        (
            "quien lee el viento da la ráfaga de salida, o se oye un trueno",
            "falta, está rajado o está flojo un puntal, un taco, una hilera de amarre o un sujetador de la placa",
            "la pared se mueve, truena, o se inclina más que antes",
            "alguien quiere quitar un puntal al que todavía no llega el orden de desmontaje",
            "algo se cuelga de la pared, se recarga en ella o se pasa por encima, y esta hoja no lo conoce",
            "la tierra, la losa o el piso bajo un pie se hunde, se inunda o se corta",
        ),
    ),
}
