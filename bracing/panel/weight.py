"""What a wall weighs and where its centre of gravity is, piece by piece from its framing and layers.

For a lift the heavy side is the careful one: lumber not known to be dry is weighed wet. Openings are holes
in every layer but the windows that fill them. Nails are not weighed.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache, reduce
from typing import TypedDict

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.codes.pressures import outline_properties
from bracing.job.brace import Brace
from bracing.job.framing import Framing, Stick, frame_wall, underside
from bracing.job.layers import fills_openings, layer
from bracing.job.lumber import section, species_name, specific_gravity
from bracing.job.outline import Point
from bracing.job.own import Layer
from bracing.job.wall import Bare, Opening, Row, Wall
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known, formula
from bracing.units import PSF_PER_PSI, Inch, Pound, PoundPerInch, Psi, feet

Array = NDArray[np.float64]

WATER_PCF = 62.4
CUBIC_INCHES_PER_CUBIC_FOOT = 1728.0
MOISTURE_PERCENT = {
    "green": 30.0,
    "dry": 15.0,
}  # 30% is fibre saturation; fresh-sawn can be wetter: weigh one
_GROUPS = (
    ("studs", ("end", "common")),
    ("kings and trimmers", ("king", "trimmer")),
    ("cripples", ("cripple above", "cripple below")),
    ("headers", ("header",)),
    ("sills", ("sill",)),
    ("bottom plate", ("bottom plate",)),
    ("top plates", ("top plate",)),
    ("rows", ("row",)),
)

PartJson = TypedDict("PartJson", {
    "part": str, "pieces": int, "weight_lb": float, "x_ft": float, "z_ft": float, "source": Said | str,
})  # fmt: skip
AtJson = TypedDict("AtJson", {
    "x": float, "z": float, "behind_face": float,
})  # fmt: skip
TakeOffJson = TypedDict("TakeOffJson", {
    "weight_lb": float, "cg_ft": AtJson, "weight_psf": float, "moisture_percent": float, "lumber_density_pcf": float,
    "if_openings_sheathed_lb": float, "parts": list[PartJson],
})  # fmt: skip


@frozen
class WallPart:
    """One line of the take-off.

    Attributes:
        name: what it is.
        pieces: how many pieces; for a layer, 1.
        weight_lb: their weight [lb].
        x: their centre of gravity from LEFT [in].
        z: their centre of gravity above the floor [in].
        behind: their centre of gravity behind the plate's inside face, toward the outside [in].
        source: where the weight comes from.
    """

    name: str
    pieces: int
    weight_lb: Pound
    x: Inch
    z: Inch
    behind: Inch
    source: Said | str

    def to_dict(self) -> PartJson:
        """Give the part for JSON, lengths in feet."""
        return {
            "part": self.name,
            "pieces": self.pieces,
            "weight_lb": self.weight_lb,
            "x_ft": feet(self.x),
            "z_ft": feet(self.z),
            "source": self.source,
        }


@frozen
class TakeOff:
    """What a wall weighs.

    Attributes:
        parts: its parts.
        weight: total weight [lb].
        x_cg: centre of gravity from LEFT [in].
        z_cg: centre of gravity above the floor [in].
        behind_cg: centre of gravity behind the plate's inside face, toward the outside [in].
        moisture_percent: moisture content the lumber was weighed at [%].
        density_pcf: density the lumber was weighed at [pcf].
        face_area: area of the outline less its openings [in^2].
        if_openings_sheathed: weight to add where panels run over the openings [lb].
    """

    parts: tuple[WallPart, ...]
    weight: Pound
    x_cg: Inch
    z_cg: Inch
    behind_cg: Inch
    moisture_percent: float
    density_pcf: float
    face_area: float
    if_openings_sheathed: Pound

    def plus(self, parts: Iterable[WallPart]) -> TakeOff:
        """Give it with more parts on the wall.

        Args:
            parts: what is added.
        """
        both = (*self.parts, *parts)
        weight = sum(part.weight_lb for part in both)
        x, z, behind = _centre(both, weight)
        return evolve(self, parts=both, weight=weight, x_cg=x, z_cg=z, behind_cg=behind)

    def to_dict(self) -> TakeOffJson:
        """Give the take-off for JSON, lengths in feet."""
        return {
            "weight_lb": self.weight,
            "cg_ft": {"x": feet(self.x_cg), "z": feet(self.z_cg), "behind_face": feet(self.behind_cg)},
            "weight_psf": self.weight / self.face_area * 144.0,
            "moisture_percent": self.moisture_percent,
            "lumber_density_pcf": self.density_pcf,
            "if_openings_sheathed_lb": self.if_openings_sheathed,
            "parts": [part.to_dict() for part in self.parts],
        }


@formula
def wood_density(G: float, mc: float) -> float:
    """Give the density of wood at a moisture content: rho = 62.4 G / (1 + 0.009 G mc) (1 + mc / 100).

    Args:
        G: specific gravity on ovendry weight and volume [-].
        mc: moisture content [%].

    Returns:
        Density [pcf].

    Source: NDS-S 3.1.3.

    Example:
        >>> round(wood_density(0.42, 12.0), 2)
        28.08
    """
    return WATER_PCF * (G / (1.0 + 0.009 * G * mc)) * (1.0 + mc / 100.0)


@formula
def weight_per_length(A: float, rho: float) -> PoundPerInch:
    """Give the weight per length of a member: w = A rho / 1728.

    Args:
        A: area of its section [in^2].
        rho: density [pcf].

    Returns:
        Weight per length [lb/in].

    Source: NDS-S Table 1B.

    Example:
        >>> round(12.0 * weight_per_length(8.25, 30.0), 3)
        1.719
    """
    return A * rho / CUBIC_INCHES_PER_CUBIC_FOOT


@formula
def weight_of_sticks(w: PoundPerInch, length: Inch, plies: float) -> Pound:
    """Give the weight of a stick: W = w length plies.

    Args:
        w: weight per length of one ply [lb/in].
        length: its length [in].
        plies: how many [-].

    Returns:
        W [lb].

    Source: STATICS.

    Example:
        >>> weight_of_sticks(0.25, 96.0, 2)
        48.0
    """
    return w * length * plies


@formula
def weight_of_layer(area: float, each: Psi) -> Pound:
    """Give the weight of a layer: W = area each.

    Args:
        area: that it covers [in^2].
        each: weight per area [psi].

    Returns:
        W [lb].

    Source: STATICS.

    Example:
        >>> weight_of_layer(1000.0, 0.01)
        10.0
    """
    return area * each


@formula
def weight_so_far(before: Pound, part: Pound) -> Pound:
    """Give the weight with one part more: W = before + part.

    Args:
        before: weight without it [lb].
        part: its weight [lb].

    Returns:
        W [lb].

    Source: STATICS.

    Example:
        >>> weight_so_far(100.0, 20.0)
        120.0
    """
    return before + part


def weight_sums(wall: Wall) -> tuple[float, ...]:
    """Tell what a wall weighs: all lumber of a size end to end, each layer, and part by part all of it [lb].

    Args:
        wall: the wall.

    Source: STATICS.
    """
    rho, lengths = _density(wall), dict[str, Inch]()
    for stick in frame_wall(wall).members:
        lengths[stick.size] = lengths.get(stick.size, 0.0) + stick.length * stick.plies
    parts: list[float] = [
        weight_of_sticks(
            weight_per_length(Known(section(size).area, f"section of {size}", ""), rho),
            Known(length, f"all {size} end to end", ""), 1.0,
        )
        for size, length in lengths.items()
    ]  # fmt: skip
    parts += [part.weight_lb for part in _layer_parts(wall) if part.weight_lb > 0.0]
    if wall.extra_weight > 0.0:
        parts.append(Known(wall.extra_weight, "added by you", ""))
    return (reduce(weight_so_far, parts),)


@lru_cache(maxsize=256)
def take_off(wall: Wall, *, heavy_species_G: float | None = None) -> TakeOff:
    """Weigh a wall part by part.

    Args:
        wall: the wall.
        heavy_species_G: weigh the lumber at this specific gravity where nobody declared the species [-].

    Returns:
        Its parts, total and centre of gravity.

    Raises:
        InputError: openings that cannot be framed.
        MissingDataError: a size, species or layer in no table.

    Source: STATICS.

    Example:
        >>> plain = Wall(name="W", top=((0.0, 96.0), (192.0, 96.0)), layers=("osb 7/16",))
        >>> off = take_off(plain)
        >>> round(off.weight), round(off.x_cg, 3)
        (292, 96.0)
    """
    framing = frame_wall(wall)
    density = _density(wall, heavy_species_G)
    parts = [*_lumber_parts(wall, framing, density), *_layer_parts(wall)]
    weight = sum(part.weight_lb for part in parts)
    x, z, behind = _centre(parts, weight)
    if wall.extra_weight > 0.0:
        parts.append(WallPart("added by you", 1, wall.extra_weight, x, z, behind, "declared by the user"))
    area, _, _ = _net_face(wall)
    sheathing = sum(found.weight for found in map(layer, wall.layers) if found.panel)
    covered = sum(opening.width * opening.height for opening in wall.openings if opening.covered)
    glazed = any(fills_openings(name) for name in wall.layers)
    return TakeOff(
        parts=tuple(parts),
        weight=weight + wall.extra_weight,
        x_cg=x,
        z_cg=z,
        behind_cg=behind,
        moisture_percent=MOISTURE_PERCENT[wall.moisture],
        density_pcf=density,
        face_area=area,
        if_openings_sheathed=0.0 if glazed else sheathing * covered,
    )


def _density(wall: Wall, heavy_species_G: float | None = None) -> float:
    """Density its lumber is weighed at, as a Sum [pcf]."""
    species = wall.studs.species
    of = "a heavy species" if heavy_species_G else species_name(species)
    return wood_density(
        Known(heavy_species_G or specific_gravity(species), f"G of {of}", ""),
        Known(
            MOISTURE_PERCENT[wall.moisture], f"moisture content of {wall.moisture} lumber, percent",
            cite("JUDGEMENT"), "judgement",
        ),
    )  # fmt: skip


def _centre(parts: Iterable[WallPart], weight: Pound) -> tuple[Inch, Inch, Inch]:
    rows = [(part.weight_lb, part.x, part.z, part.behind) for part in parts]
    x, z, behind = (sum(row[0] * row[i] for row in rows) / weight for i in (1, 2, 3))
    return x, z, behind


def _lumber_parts(wall: Wall, framing: Framing, density: float) -> list[WallPart]:
    parts, middle = [], section(wall.studs.size).width / 2.0
    off = {(row.height, row.size): -_stands_off(row) / 2.0 for row in wall.rows}
    for name, kinds in _GROUPS:
        sticks = framing.of_kind(*kinds)
        if not sticks:
            continue
        weights = [_stick_weight(stick, density) for stick in sticks]
        total = sum(weights)
        x = sum(w * stick.x for w, stick in zip(weights, sticks, strict=True)) / total
        z = sum(w * stick.z for w, stick in zip(weights, sticks, strict=True)) / total
        pieces = sum(stick.plies for stick in sticks)
        source = Said("weighed-at", density=Quantity(density, Kind.DENSITY))
        behind = middle
        if name == "rows":
            behind = (
                sum(w * off[stick.z, stick.size] for w, stick in zip(weights, sticks, strict=True)) / total
            )
        parts.append(WallPart(name, pieces, total, x, z, behind, source))
    return parts


def _stands_off(row: Row) -> Inch:
    """How far a row stands off the studs' inner face: a wale lies flat on it, any other stands on edge."""
    size = section(row.size)
    return size.thickness if row.kind == "wale" else size.width


def doubled_studs(wall: Wall, braces: Iterable[Brace], density: float) -> tuple[WallPart, ...]:
    """Give the second plies of studs doubled at braces, one part; none where no stud is.

    Args:
        wall: the wall.
        braces: its braces; each may double the stud it stands at.
        density: of its lumber [pcf].
    """
    each = section(wall.studs.size)
    at = sorted({brace.stud_at for brace in braces if brace.stud_doubled})
    sticks = [(x, underside(wall, x, each.thickness) - each.thickness) for x in at]
    rows = [
        (x, weight_of_sticks(weight_per_length(each.area, density), length, 1), length)
        for x, length in sticks
    ]
    total = sum(weight for _, weight, _ in rows)
    if not rows:
        return ()
    x = sum(weight * x for x, weight, _ in rows) / total
    z = sum(weight * (each.thickness + length / 2.0) for _, weight, length in rows) / total
    source = Said("weighed-at", density=Quantity(density, Kind.DENSITY))
    return (WallPart("doubled studs", len(rows), total, x, z, each.width / 2.0, source),)


def braces_riding(braces: Iterable[Brace], density: float) -> tuple[WallPart, ...]:
    """Give the braces that go up with the wall, each folded flat against it and hung at its head; none without.

    Args:
        braces: the braces, with their stiffeners.
        density: of their lumber [pcf].
    """
    rows = [
        (b, section(b.size), weight_of_sticks(
            weight_per_length(section(b.size).area, density), b.length, 2.0 if b.stiffener == "T" else 1.0
        ))
        for b in braces
    ]  # fmt: skip
    total = sum(weight for _, _, weight in rows)
    if not rows:
        return ()
    x, z = (sum(w * at for (_, _, w), at in zip(rows, places, strict=True)) / total
            for places in ([b.stud_at for b, _, _ in rows], [b.head for b, _, _ in rows]))  # fmt: skip
    behind = -sum(w * stick.thickness / 2.0 for _, stick, w in rows) / total
    pieces = sum(2 if b.stiffener == "T" else 1 for b, _, _ in rows)
    source = Said("weighed-at", density=Quantity(density, Kind.DENSITY))
    return (WallPart("braces on it", pieces, total, x, z, behind, source),)


def _stick_weight(stick: Stick, density: float) -> Pound:
    return weight_of_sticks(weight_per_length(section(stick.size).area, density), stick.length, stick.plies)


def _layer_parts(wall: Wall) -> list[WallPart]:
    """Stack the layers outward on the outside face, in the order written; windows stand in mid-depth."""
    parts = []
    outside = depth = section(wall.studs.size).width
    for found in map(layer, wall.layers):
        if fills_openings(found.name):
            parts += _filling(found, wall.openings, depth / 2.0)
            continue
        area, x, z = _net_face(wall)
        behind = outside + found.thickness / 2.0
        weight = _weight_over(found, area, "its face less openings and what is bare")
        parts.append(WallPart(found.name, 1, weight, x, z, behind, found.source))
        outside += found.thickness
    return parts


def _filling(found: Layer, openings: tuple[Opening, ...], behind: Inch) -> list[WallPart]:
    areas = [opening.width * opening.height for opening in openings]
    if not areas:
        return []
    total = sum(areas)
    x = sum(a * (o.left + o.right) / 2.0 for a, o in zip(areas, openings, strict=True)) / total
    z = sum(a * (o.sill + o.top) / 2.0 for a, o in zip(areas, openings, strict=True)) / total
    weight = _weight_over(found, total, "all openings")
    return [WallPart(found.name, len(areas), weight, x, z, behind, found.source)]


def _weight_over(found: Layer, area: float, words: str) -> Pound:
    """Weight of a layer, as a Sum."""
    each = Known(found.weight, f"{found.name}, {found.weight * PSF_PER_PSI:.4g} psf", found.source)
    return weight_of_layer(Known(area, words, ""), each)


def _net_face(wall: Wall) -> tuple[float, Inch, Inch]:
    """Give the area of the outline less its openings and what is bare [in^2], and its centroid [in]."""
    area, moment_x, moment_z = _less_openings(wall, wall.top)
    for one in wall.bare:
        bare = _less_openings(wall, _top_over(wall, one))
        area, moment_x, moment_z = area - bare[0], moment_x - bare[1], moment_z - bare[2]
    if area <= 0.0:
        outline = outline_properties(wall.top)
        return 0.0, outline.x_bar, outline.z_bar
    return area, moment_x / area, moment_z / area


def _top_over(wall: Wall, one: Bare) -> tuple[Point, ...]:
    """The outline of the top over a bare stretch [in]."""
    x = [one.left, *(x for x, _ in wall.top if one.left < x < one.right), one.right]
    return tuple(zip(x, np.interp(x, *np.array(wall.top).T).tolist(), strict=True))


def _less_openings(wall: Wall, top: tuple[Point, ...]) -> tuple[float, float, float]:
    """Area under a stretch of the top less what of openings lies in it [in^2], and its moments [in^3]."""
    left, right = top[0][0], top[-1][0]
    face = outline_properties(tuple((x - left, z) for x, z in top))
    area, moment_x, moment_z = face.area, face.area * (left + face.x_bar), face.area * face.z_bar
    for opening in wall.openings:
        low, high = max(left, opening.left), min(right, opening.right)
        hole = max(high - low, 0.0) * opening.height
        area -= hole
        moment_x -= hole * (low + high) / 2.0
        moment_z -= hole * (opening.sill + opening.top) / 2.0
    return area, moment_x, moment_z


DRY_PERCENT = 12.0  # the light side: what holds the plate down is weighed dry
_BESIDE: Inch = 1e-6
_STANDING = ("end", "common", "king", "trimmer", "cripple above", "cripple below")


@lru_cache(maxsize=64)
def _carried(wall: Wall) -> tuple[tuple[Inch, Inch, PoundPerInch], ...]:
    """Every stick as an even weight on a stretch of plate: from, to, of an inch.

    A stick that stands is spread over a stud's spacing, as far as there is plate to either side: not over a door.
    """
    density = wood_density(specific_gravity(wall.studs.species), DRY_PERCENT)
    found, half, pieces = [], wall.studs.spacing / 2.0, plate_pieces(wall)
    for stick in frame_wall(wall).members:
        low, high = sorted((stick.x0, stick.x1))
        if stick.kind in _STANDING:
            start, stop = piece_at(pieces, stick.x)
            low, high = max(low - half, start), min(high + half, stop)
        if high - low > _BESIDE:
            found.append((low, high, _stick_weight(stick, density) / (high - low)))
    return tuple(found)


def plate_pieces(wall: Wall) -> tuple[tuple[Inch, Inch], ...]:
    """Give the pieces the bottom plate comes in, between the wall's ends and its doors [in].

    Args:
        wall: the wall.

    Example:
        >>> door = Opening(left=60.0, sill=0.0, width=36.0, height=80.0)
        >>> plate_pieces(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0)), openings=(door,)))
        ((0.0, 60.0), (96.0, 240.0))
    """
    doors = sorted((o.left, o.right) for o in wall.openings if o.sill <= section(wall.studs.size).thickness)
    edges = [0.0, *(edge for door in doors for edge in door), wall.length]
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return tuple((low, high) for low, high in pairs if high - low > _BESIDE)


def piece_at(pieces: tuple[tuple[Inch, Inch], ...], x: Inch) -> tuple[Inch, Inch]:
    """Give the piece of plate nearest a place [in].

    Args:
        pieces: near and far end of each, from LEFT [in].
        x: the place, from LEFT [in].

    Example:
        >>> piece_at(((0.0, 60.0), (96.0, 240.0)), 80.0)
        (96.0, 240.0)
    """
    return min(pieces, key=lambda piece: max(piece[0] - x, x - piece[1], 0.0))


def weight_along(wall: Wall, places: Iterable[Inch]) -> Array:
    """Give what an inch of bottom plate carries of its wall, weighed dry, openings out, to either side of some places.

    Args:
        wall: the wall.
        places: where, from LEFT [in].

    Returns:
        Weight on an inch of plate just left of each place and just right, (p, 2) [lb/in].

    Source: STATICS; NDS-S 3.1.3 at 12% moisture.

    Example:
        >>> plain = Wall(name="W", top=((0.0, 96.0), (192.0, 96.0)), layers=("osb 7/16",))
        >>> weight_along(plain, (8.0, 100.0)).round(3).tolist()
        [[1.682, 1.682], [1.435, 1.435]]
    """
    x = np.array(tuple(places), dtype=float)
    return np.stack([_weights_at(wall, x - _BESIDE), _weights_at(wall, x + _BESIDE)], axis=1)


@lru_cache(maxsize=64)
def _stretches(wall: Wall) -> tuple[Array, Array, Array, PoundPerInch]:
    """From, to and weight of an inch of every stick, (sticks,) each, and what the layers weigh to an area [psi]."""
    low, high, each = np.array(_carried(wall)).reshape(-1, 3).T
    return (
        low,
        high,
        each,
        sum(found.weight for found in map(layer, wall.layers) if not fills_openings(found.name)),
    )


def _weights_at(wall: Wall, x: Array) -> Array:
    low, high, each, layers = _stretches(wall)
    sticks = ((low <= x[:, None]) & (x[:, None] <= high)) @ each
    open_here = np.zeros_like(x)
    for o in wall.openings:
        open_here += np.where((o.left < x) & (x < o.right), o.height, 0.0)
    along, height = np.array(wall.top).T
    for one in wall.bare:
        open_here += np.where((one.left < x) & (x < one.right), np.inf, 0.0)
    weights: Array = sticks + layers * np.maximum(0.0, np.interp(x, along, height) - open_here)
    return weights


@lru_cache(maxsize=64)
def weight_changes(wall: Wall) -> tuple[Inch, ...]:
    """Give the places where what an inch of plate carries changes its slope or its size [in].

    Args:
        wall: the wall.
    """
    ends = [edge for low, high, _ in _carried(wall) for edge in (low, high)]
    sides = [edge for o in wall.openings for edge in (o.left, o.right)]
    sides += [edge for one in wall.bare for edge in (one.left, one.right)]
    return tuple(sorted({*ends, *sides, *(x for x, _ in wall.top)}))
