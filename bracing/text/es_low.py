"""Why a low value is the low one, in Spanish, by the English of it: what a list of what was assumed says of each."""

from __future__ import annotations

BAJOS: dict[str, str] = {
    "a block nailed once turns; more must be said": "un bloque con un clavo gira; si hay más, hay que decirlo",
    "nothing keeps trusses from tipping until somebody says what does":
        "nada impide que las cerchas se vuelquen hasta que alguien diga qué",
    "rafters nothing ties push the walls apart": "cabios que nada amarra empujan las paredes hacia fuera",
    "nobody knows where these rafters push: they stand on all of the wall":
        "nadie sabe dónde empujan estos cabios: están sobre toda la pared",
    "nobody said that the storey under this wall is done": "nadie dijo que el piso bajo esta pared esté terminado",
    "a brace beside one cleat rolls it": "un puntal junto a un solo taco lo rueda",
    "a joint may fall anywhere: one ply counts": "una junta puede caer donde sea: cuenta una sola placa",
    "a plumb-cut head holds nothing in pull": "una cabeza cortada a plomo no da nada a jalón",
    "a strap counts only where it is declared": "un fleje cuenta solo donde se declara",
    "a strap of which no report is named counts for nothing": "un fleje sin informe nombrado no cuenta para nada",
    "a tie row counts only where it is anchored": "una hilera de amarre cuenta solo donde está anclada",
    "driven straight in they must stand further apart": "metidos directo tienen que ir más separados",
    "driven straight in they must stand further apart and from the cut":
        "metidos directo tienen que ir más separados entre sí y del corte",
    "edges off the studs may hang free": "los cantos fuera de los montantes pueden colgar sueltos",
    "what loses most when the wood dries or gets wet": "lo que más pierde cuando la madera se seca o se moja",
    "fasteners not known to be in a joist hold in the deck panel alone":
        "los sujetadores que no se sabe si dan en una vigueta cuentan solo en el tablero del piso",
    "flat ground; on a hill or ridge the wind is faster: give kzt":
        "terreno plano; en una loma o cresta el viento es más fuerte: dé kzt",
    "framing outdoors counts as wet unless kept dry from nailing on":
        "la estructura a la intemperie cuenta como mojada si no se mantuvo seca desde que se clavó",
    "in the middle of the plate, which the sheathing lifts by its edge":
        "en medio de la placa, que el forro levanta por su canto",
    "more must be said": "si hay más, hay que decirlo",
    "nails may miss the joists and reach the deck only":
        "los clavos pueden no dar en las viguetas y llegar solo al piso",
    "no anchor counts without a report or pull test": "ningún anclaje cuenta sin informe o prueba de jalón",
    "none counts that nobody counted": "no cuenta ninguno que nadie contó",
    "nothing ties the studs down until nailed": "nada amarra los montantes abajo hasta que se clava",
    "one block; more must be said": "un bloque; si hay más, hay que decirlo",
    "one fastener lets it swing; more must be said": "con un sujetador se columpia; si hay más, hay que decirlo",
    "one nail; more must be said": "un clavo; si hay más, hay que decirlo",
    "one; more must be said": "uno; si hay más, hay que decirlo",
    "only what is declared beside the braces is counted": "solo se cuenta lo que se declara además de los puntales",
    "open country; shelter needs a reason": "campo abierto; el abrigo necesita una razón",
    "the fewest that can be": "los menos que puede haber",
    "the fewest usual end nails": "los menos clavos de punta usuales",
    "the fewest usual nails": "los menos clavos usuales",
    "the floor of a third storey: wind is faster higher up; tape it or say which":
        "el piso de un tercer nivel: más arriba el viento es más fuerte; mídalo o diga cuál",
    "the full sail": "toda la vela",
    "the least nail a subfloor of this thickness is laid with": "el menor clavo con que se pone un piso de este grueso",
    "the least usual cleat": "el menor taco usual",
    "the least usual framing nail": "el menor clavo de estructura usual",
    "the least usual header": "el menor dintel usual",
    "the least usual joist": "la menor vigueta usual",
    "the longest usual span": "el claro usual más largo",
    "the lowest common grade": "el grado común más bajo",
    "the lowest common grade: read the stamp": "el grado común más bajo: lea el sello",
    "the shortest usual cleat": "el taco usual más corto",
    "the smaller usual stick": "la menor pieza usual",
    "the usual cleat": "el taco usual",
    "the usual floor; a slab or the ground must be said": "el piso usual; si es losa o tierra, hay que decirlo",
    "the usual joist; I-joists and trusses must be said": "la vigueta usual; si es vigueta I o cercha, hay que decirlo",
    "the usual subfloor panel": "el tablero de piso usual",
    "the usual way; on edge must be said": "lo usual; si va de canto, hay que decirlo",
    "the weaker of the two: the wind may draw them": "el más débil de los dos: el viento los puede jalar",
    "the weaker usual stud": "el montante usual más débil",
    "the weakest common species": "la especie común más débil",
    "the weakest common species: read the stamp": "la especie común más débil: lea el sello",
    "the weakest usual nail": "el clavo usual más débil",
    "the weakest usual sheathing nail": "el clavo de forro usual más débil",
    "the wider usual spacing": "la separación usual más ancha",
    "the widest a subfloor is nailed inside its edges": "lo más separado que se clava un piso dentro de sus cantos",
    "the widest usual spacing": "la separación usual más ancha de todas",
    "weighed as bare framing, full sail; layers add weight and nailing":
        "se pesa como estructura desnuda, toda la vela; las capas suman peso y clavos",
    "what a return has of it nobody said: it counts for nothing, the end is free":
        "lo que un retorno tiene de ello nadie lo dijo: no cuenta para nada, la punta está libre",
    "wind may draw them out, where they hold least": "el viento los puede sacar, donde menos dan",
    "worked out with and without a gap under the wall, the worse counts":
        "se calcula con y sin un hueco bajo la pared, y cuenta lo peor",
}  # fmt: skip
