"""Wind on a wall with nothing behind it: net force coefficients, and every load case as a field over the outline."""

from __future__ import annotations

import math
from bisect import bisect
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.codes.asce7.velocity import pressure_on_site
from bracing.codes.pressures import (
    PressureField,
    Pressures,
    Top,
    Zone,
    gauss_points,
    mean_coefficient,
    outline_properties,
)
from bracing.errors import InputError
from bracing.job.fasteners import Fastener
from bracing.job.floor import Floor
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job, Site
from bracing.job.lumber import section
from bracing.job.wall import Wall
from bracing.sources import cite, shipped
from bracing.sums import JUDGEMENT, Known, formula
from bracing.units import Inch

FIGURE = cite("ASCE7", "fig. 29.3-1")
FRAME = cite("ASCE7", "fig. 29.4-2")
JUDGED = cite("JUDGEMENT"), JUDGEMENT
NOBODYS = 1.0  # a factor that nothing brings in: it is left out of the print
LEAST_RETURN = 0.3  # of s: a shorter return catches no more wind than a free end; judgement
RETURN_FLOOR = 1.4  # least G·Cf where an end is a return wall; bracing judgement, docs/judgement.md
STOREY_FLOOR = 1.5  # least G·Cf on a deck over a closed storey; bracing judgement


@frozen
class EndZone:
    """A stretch of wall measured from the windward end, in multiples of s.

    Attributes:
        start: where it starts [s].
        end: where it ends [s].
        coefficient: net force coefficient on it [-].
        starred: it takes the return-corner reduction.
    """

    start: float
    end: float
    coefficient: float
    starred: bool


def force_coefficient(aspect_ratio: float, clearance_ratio: float) -> float:
    """Give the net force coefficient of cases A and B, on gross area.

    The printed table, linear between its columns and rows, its edge values beyond them.

    Args:
        aspect_ratio: B/s, length over mean height [-].
        clearance_ratio: s/h, mean height over the height of the top above whatever closes the gap [-].

    Returns:
        Cf [-].

    Source: ASCE7 fig. 29.3-1

    Example:
        >>> force_coefficient(4.0, 1.0), round(force_coefficient(3.0, 0.8), 4)
        (1.35, 1.5375)
    """
    table = shipped("wind")["net_coefficient"]
    in_aspect = [float(np.interp(aspect_ratio, table["aspect_ratio"], row)) for row in table["rows"]]
    Cf = float(np.interp(clearance_ratio, table["clearance_ratio"], in_aspect))
    return Known(Cf, f"Cf of case A at B/s {aspect_ratio:.4g}, s/h {clearance_ratio:.4g}", FIGURE)


@cache
def _end_zone_columns() -> NDArray[np.float64]:
    """Give the case C table with each blank cell holding the next value to its right."""
    rows = np.array(shipped("wind")["end_zone"]["rows"])
    for column in range(rows.shape[1] - 2, -1, -1):
        blank = np.isnan(rows[:, column])
        rows[blank, column] = rows[blank, column + 1]
    rows.setflags(write=False)
    return rows


def end_zone_coefficients(aspect_ratio: float) -> tuple[EndZone, ...]:
    """Give the zones of case C from the windward end.

    Linear between the printed columns; a blank cell takes the next column to its right. The first zone is starred from
    the first starred column on.

    Args:
        aspect_ratio: B/s, length over mean height [-].

    Returns:
        The zones, covering 0 to B/s; none under B/s = 2, where the case does not apply.

    Source: ASCE7 fig. 29.3-1

    Example:
        >>> [(zone.end, round(zone.coefficient, 3)) for zone in end_zone_coefficients(3.5)]
        [(1.0, 2.75), (2.0, 1.8), (3.0, 1.225), (3.5, 1.1)]
    """
    table = shipped("wind")["end_zone"]
    # A hair under B/s = 2 is rounding, and leaving the case out is the careless side.
    if aspect_ratio < table["aspect_ratio"][0] - 1e-9:
        return ()
    zones = []
    bounds = pairwise([*table["start"], math.inf])
    for (start, end), row in zip(bounds, _end_zone_columns(), strict=True):
        if start < aspect_ratio:
            Cf = float(np.interp(aspect_ratio, table["aspect_ratio"], row))
            starred = start == 0.0 and aspect_ratio >= table["starred_from"]
            stop = min(end, aspect_ratio)
            words = f"Cf of case C from {start:g} s to {stop:.4g} s, B/s {aspect_ratio:.4g}"
            zones.append(EndZone(start, stop, Known(Cf, words, FIGURE), starred))
    return tuple(zones)


def end_zone_reduction(clearance_ratio: float) -> float:
    """Give the factor on case C for a wall close to the ground: 1.8 - s/h where s/h is over 0.8.

    Args:
        clearance_ratio: s/h [-].

    Returns:
        The factor [-].

    Source: ASCE7 fig. 29.3-1 note 4

    Example:
        >>> round(end_zone_reduction(1.0), 3), end_zone_reduction(0.7)
        (0.8, 1.0)
    """
    table = shipped("wind")["end_zone"]
    if clearance_ratio <= table["clearance_from"]:
        return NOBODYS
    return near_ground(clearance_ratio, table["clearance_constant"])


@formula
def near_ground(clearance: float, constant: float) -> float:
    """Give the factor on case C for a wall close to the ground: near = constant - clearance.

    Args:
        clearance: s/h, over 0.8 [-].
        constant: 1.8 [-].

    Returns:
        The factor [-].

    Source: ASCE7 fig. 29.3-1 note 4.

    Example:
        >>> near_ground(1.0, 1.8)
        0.8
    """
    return constant - clearance


def return_corner_reduction(return_ratio: float) -> float:
    """Give the factor on a starred end zone beside a return wall: 0.90 at 0.3, 0.75 at 1.0, 0.60 from 2.0.

    Args:
        return_ratio: length of the return wall over s [-].

    Returns:
        The factor [-].

    Source: ASCE7 fig. 29.3-1

    Example:
        >>> return_corner_reduction(0.2), round(return_corner_reduction(1.5), 3)
        (1.0, 0.675)
    """
    table = shipped("wind")["end_zone"]
    if return_ratio < table["return_ratio"][0]:
        return NOBODYS
    factor = float(np.interp(return_ratio, table["return_ratio"], table["return_factor"]))
    return Known(factor, f"a return wall {return_ratio:.4g} s long at that end", FIGURE)


def opening_reduction(solid_ratio: float) -> float:
    """Give the factor on a solid wall with uncovered openings of under 30% of its gross area.

    1 - (1 - ε)^1.5

    Args:
        solid_ratio: ε, solid over gross area [-], from 0.7 to 1.

    Returns:
        The factor on the gross-area coefficient [-].

    Raises:
        InputError: the ratio is outside 0.7 to 1.

    Source: ASCE7 fig. 29.3-1 note 2

    Example:
        >>> round(opening_reduction(0.85), 5)
        0.94191
    """
    table = shipped("wind")["opening"]
    if not 1.0 - table["open_from"] <= solid_ratio <= 1.0:
        what = "solid ratio"
        raise InputError.of(what, solid_ratio, "from 0.7 to 1; below it the wall is an open frame")
    return few_openings(solid_ratio, table["exponent"])


@formula
def few_openings(solid: float, exponent: float) -> float:
    """Give the factor for few openings, under 30% of the wall: r = 1 - (1 - solid)^exponent.

    Args:
        solid: solid over gross area [-].
        exponent: 1.5 [-].

    Returns:
        The factor [-].

    Source: ASCE7 fig. 29.3-1 note 2.

    Example:
        >>> round(few_openings(0.85, 1.5), 5)
        0.94191
    """
    return float(1.0 - (1.0 - solid) ** exponent)


def open_sign_coefficient(solidity: float) -> float:
    """Give the force coefficient of an open frame of flat-sided members, on **solid** area.

    2.0 under 0.1, 1.8 under 0.3, 1.6 from 0.3.

    Args:
        solidity: ε, solid over gross area [-].

    Returns:
        Cf on solid area [-].

    Raises:
        InputError: the solidity is not over 0 and up to 1.

    Source: ASCE7 fig. 29.4-2

    Example:
        >>> open_sign_coefficient(0.05), open_sign_coefficient(0.2), open_sign_coefficient(0.5)
        (2.0, 1.8, 1.6)
    """
    if not 0.0 < solidity <= 1.0:
        what = "solidity"
        raise InputError.of(what, solidity, "over 0 and up to 1")
    table = shipped("wind")["open_frame"]
    row = bisect(table["solidity_under"][:-1], solidity)
    return Known(table["coefficient"][row], "Cf of an open frame on its solid area", FRAME)


def open_frame_coefficient(solidity: float) -> float:
    """Give the force coefficient of an open frame, on **gross** area.

    ε Cf(ε), and not under its value at a solidity of 0.3.

    Args:
        solidity: ε, solid over gross area [-].

    Returns:
        Cf on gross area [-].

    Source: ASCE7 fig. 29.4-2; JUDGEMENT, the floor

    Example:
        >>> round(open_frame_coefficient(0.15), 3), round(open_frame_coefficient(0.5), 3)
        (0.48, 0.8)
    """
    least = float(shipped("wind")["judgement"]["open_frame_least_solidity"])
    return open_frame(
        solidity, open_sign_coefficient(solidity), least=least, Cf_least=open_sign_coefficient(least)
    )


@formula
def open_frame(solid: float, Cf: float, *, least: float, Cf_least: float) -> float:
    """Give the force coefficient of an open frame on gross area: Cf = max(solid Cf, least Cf_least).

    Args:
        solid: solid over gross area [-].
        Cf: on solid area [-].
        least: solidity it is not taken under [-].
        Cf_least: on solid area at that solidity [-].

    Returns:
        Cf on gross area [-].

    Source: ASCE7 fig. 29.4-2; JUDGEMENT, the floor.

    Example:
        >>> open_frame(0.5, 1.6, least=0.3, Cf_least=1.6)
        0.8
    """
    return max(solid * Cf, least * Cf_least)


def opening_factor(solidity: float, coefficient: float) -> float:
    """Give the factor on a solid wall's coefficient for what is open in it, few openings or many.

    1 - (1 - ε)^1.5 where under 30% is open; else the open frame's gross-area coefficient over the solid one.

    Args:
        solidity: ε, solid over gross area [-], counting as solid all that may be covered.
        coefficient: the solid wall's Cf of case A [-].

    Returns:
        The factor on every gross-area coefficient of the wall [-].

    Source: ASCE7 fig. 29.3-1 note 2, fig. 29.4-2

    Example:
        >>> round(opening_factor(0.9, 1.35), 4), round(opening_factor(0.2, 1.35), 4)
        (0.9684, 0.3556)
    """
    if solidity > 1.0 - shipped("wind")["opening"]["open_from"]:
        return opening_reduction(solidity)
    return open_over_solid(open_frame_coefficient(solidity), coefficient)


@formula
def open_over_solid(open_frame: float, Cf: float) -> float:
    """Give the factor for many openings: r = open_frame / Cf.

    Args:
        open_frame: coefficient of the open frame on gross area [-].
        Cf: the solid wall's [-].

    Returns:
        The factor [-].

    Source: ASCE7 fig. 29.4-2.

    Example:
        >>> open_over_solid(0.5, 1.25)
        0.4
    """
    return open_frame / Cf


@formula
def net_pressure_coefficient(Cf: float, G: float, reduction: float) -> float:
    """Give the net pressure for each unit of velocity pressure: GCf = G Cf reduction.

    Args:
        Cf: net force coefficient [-].
        G: gust effect factor [-].
        reduction: for what is open in the wall; 1 where nothing is [-].

    Returns:
        G Cf on gross area [-].

    Source: ASCE7 29.3, 26.11.1.

    Example:
        >>> round(net_pressure_coefficient(1.4, 0.85, 1.0), 4)
        1.19
    """
    return G * Cf * reduction


@formula
def no_less_than(GCf: float, floor: float, reduction: float) -> float:
    """Give the net pressure where the wall traps more than one standing free: GCf = max(GCf, floor reduction).

    Args:
        GCf: of a wall standing free [-].
        floor: least for each unit of velocity pressure [-].
        reduction: for what is open in the wall [-].

    Returns:
        G Cf on gross area [-].

    Source: JUDGEMENT, the floors.

    Example:
        >>> no_less_than(1.15, 1.4, 1.0)
        1.4
    """
    return max(GCf, floor * reduction)


@formula
def eccentric_slope(GCf: float, e: float, *, B: Inch, A: float, Ix: float) -> float:
    """Give how the pressure of case B changes along the wall: slope = e B A / Ix GCf.

    Args:
        GCf: of case A [-].
        e: eccentricity, 0.2 of B; negative where LEFT takes more [-].
        B: length of the wall [in].
        A: area of its outline [in^2].
        Ix: second moment of the outline about its middle [in^4].

    Returns:
        The slope [1/in].

    Source: ASCE7 fig. 29.3-1.

    Example:
        >>> round(eccentric_slope(1.0, 0.2, B=100.0, A=1000.0, Ix=1e6), 6)
        0.02
    """
    return e * B * A / Ix * GCf


@formula
def end_zone_pressure(Cf: float, G: float, *, reduction: float, near: float, corner: float) -> float:
    """Give the net pressure of a zone of case C for each unit of velocity pressure: GCf = G Cf reduction near corner.

    Args:
        Cf: net force coefficient of the zone [-].
        G: gust effect factor [-].
        reduction: for what is open in the wall [-].
        near: for a wall close to the ground [-].
        corner: for a return wall at that end, on its first zone [-].

    Returns:
        G Cf on gross area [-].

    Source: ASCE7 29.3, fig. 29.3-1.

    Example:
        >>> round(end_zone_pressure(2.0, 0.85, reduction=1.0, near=0.8, corner=1.0), 3)
        1.36
    """
    return Cf * (G * reduction * near) * corner


@formula
def lifted_to_floor(GCf: float, floor: float, mean: float) -> float:
    """Give the net pressure of a zone with their mean lifted to the least: GCf = GCf max(1, floor / mean).

    Args:
        GCf: of the zone [-].
        floor: least mean [-].
        mean: of all zones over the wall [-].

    Returns:
        G Cf on gross area [-].

    Source: JUDGEMENT, the floors.

    Example:
        >>> lifted_to_floor(1.0, 1.5, 1.25)
        1.2
    """
    return GCf * max(1.0, floor / mean)


def _raised(top: Top, case: str, gap: str, zones: tuple[Zone, ...], slope: float) -> PressureField:
    """Give the field with its resultant at its own height, or 0.05 s higher with nothing open under the wall.

    z̄ = ∫c z dA / F and rise = 0.05 s F / ∫c (z - z̄)² dA leave the total F as it is and lift the resultant by
    exactly 0.05 s. For a uniform c this is 1 + 0.05 s (z - z̄) A / I_z.
    """
    wall = outline_properties(top)
    field = PressureField(case, gap, zones, slope, wall.x_bar, 0.0, 0.0)
    x, h, w = gauss_points(top, [end for _, end, _ in zones])
    c = field.along(x)
    total = float(w @ (c * h))
    z_bar = float(w @ (c * h**2 / 2.0)) / total
    spread = float(w @ (c * h**3 / 3.0)) - total * z_bar**2
    if spread <= 0.0:
        where = "wall.top"
        raise InputError.of(where, top, "an outline without a tall spike at its end")
    lift = shipped("wind")["net_coefficient"]["rise"] * wall.s if gap == "closed" else 0.0
    return PressureField(case, gap, zones, slope, wall.x_bar, lift * total / spread, z_bar)


def _end_zone_field(
    top: Top,
    zones: tuple[EndZone, ...],
    *,
    side: str,
    gap: str,
    made: Callable[[EndZone], float],
    floor: float,
) -> PressureField:
    """Give case C from one end: its zones scaled, and lifted together where their mean is under the floor.

    Args:
        top: the outline [in].
        zones: zones from the windward end [s].
        side: left or right, the windward end.
        gap: closed or open.
        made: G·Cf of a zone.
        floor: least mean G·Cf.
    """
    wall = outline_properties(top)
    ends = [(zone.start * wall.s, zone.end * wall.s, made(zone)) for zone in zones]
    # The last zone ends at the wall's end, not a rounding error before it.
    ends[-1] = (ends[-1][0], wall.width, ends[-1][2])
    if side == "right":
        ends = [(wall.width - end, wall.width - start, Cf) for start, end, Cf in reversed(ends)]
    name = f"C {side}"
    mean = mean_coefficient(top, PressureField(name, gap, tuple(ends), 0.0, wall.x_bar, 0.0, 0.0))
    if floor > mean:
        ends = [(start, end, lifted_to_floor(GCf, floor, mean)) for start, end, GCf in ends]
    return _raised(top, name, gap, tuple(ends), 0.0)


def pressure_fields(
    top: Top,
    *,
    gaps: Sequence[Inch] = (0.0,),
    left_return: Inch | None = None,
    right_return: Inch | None = None,
    floor_gcf: float = 0.0,
    reduction: float = 1.0,
) -> tuple[PressureField, ...]:
    """Give every wind case of a wall, for each height that may be open under it.

    A: G Cf, uniform. B: G Cf [1 ± 0.2 B (x - x̄) A / I_x], not clipped. C, from B/s = 2: end zones.
    With no gap every resultant sits 0.05 s above the field's own.

    Args:
        top: the outline of the top, (x, z) from LEFT to right [in].
        gaps: open heights under the wall to try [in]; 0 is closed.
        left_return: length of a return wall at LEFT [in]; None where the end is free.
        right_return: the same at the right [in].
        floor_gcf: least G·Cf of case A and B, and least mean of case C, before `reduction` [-].
        reduction: factor for openings on every coefficient [-], from opening_factor.

    Returns:
        The fields, G·Cf on gross area: A, B left, B right, C left, C right for each gap.

    Raises:
        InputError: a gap is negative, or the outline is not one.

    Source: ASCE7 fig. 29.3-1; JUDGEMENT, the floors

    Example:
        >>> fields = pressure_fields(((0.0, 120.0), (480.0, 120.0)))  # B/s = 4
        >>> [field.case for field in fields], round(fields[0].along(0.0).item(), 4)
        (['A', 'B left', 'B right', 'C left', 'C right'], 1.1475)
    """
    if not gaps or min(gaps) < 0.0:
        where = "height open under the wall"
        raise InputError.of(where, gaps, "heights of zero or more")
    top = tuple(top)
    wall = outline_properties(top)
    table, G = shipped("wind")["net_coefficient"], shipped("wind")["velocity_pressure"]["gust_effect"]
    aspect_ratio = wall.width / wall.s
    fields = []
    for height in dict.fromkeys(gaps):
        gap = "closed" if height == 0.0 else "open"
        clearance_ratio = wall.s / (wall.s + height)
        mean = net_pressure_coefficient(force_coefficient(aspect_ratio, clearance_ratio), G, reduction)
        if floor_gcf > 0.0:
            mean = no_less_than(mean, floor_gcf, reduction)
        fields.append(_raised(top, "A", gap, ((0.0, wall.width, mean),), 0.0))
        for side, e in (("left", -table["eccentricity"]), ("right", table["eccentricity"])):
            slope = eccentric_slope(mean, e, B=wall.width, A=wall.area, Ix=wall.I_x)
            fields.append(_raised(top, f"B {side}", gap, ((0.0, wall.width, mean),), slope))
        zones, near = end_zone_coefficients(aspect_ratio), end_zone_reduction(clearance_ratio)
        for side, length in (("left", left_return), ("right", right_return)) if zones else ():
            corner = NOBODYS if length is None else return_corner_reduction(length / wall.s)

            def made(zone: EndZone, near: float = near, corner: float = corner) -> float:
                on_it = corner if zone.starred else NOBODYS
                return end_zone_pressure(zone.coefficient, G, reduction=reduction, near=near, corner=on_it)

            floor = floor_gcf * reduction
            fields.append(_end_zone_field(top, zones, side=side, gap=gap, made=made, floor=floor))
    return tuple(fields)


def open_heights(job: Job) -> tuple[Inch, ...]:
    """Heights that may be open under the wall: both where nobody declared it [in].

    Args:
        job: gives the floor.
    """
    above, declared = job.floor.height_above_ground, job.floor.open_below
    if above <= 0.0 or declared is False:
        return (0.0,)
    return (above,) if declared else (0.0, above)


def coefficient_floor(job: Job) -> float:
    """Least G·Cf, 0 where there is none: return walls and closed storeys trap pressure the coefficient leaves out [-].

    Args:
        job: gives the floor and the ends.

    Source: JUDGEMENT, 1.4 with a return wall of 0.3 s or longer, 1.5 over a closed storey.
    """
    if job.floor.over_storey:
        return Known(STOREY_FLOOR, "least over a closed storey", *JUDGED)
    wall = job.wall
    ends = ((wall.left_end, wall.left_return), (wall.right_end, wall.right_return))
    least = LEAST_RETURN * outline_properties(wall.top).s * (1.0 - 1e-9)
    if any(end == "return" and (it.length is None or it.length >= least) for end, it in ends):
        return Known(RETURN_FLOOR, "least with a return wall", *JUDGED)
    return 0.0


def solidity(job: Job, framing: Framing) -> float:
    """Give solid over gross area: uncovered openings out; of an unsheathed frame only its sticks.

    Args:
        job: gives the wall.
        framing: its sticks.

    Returns:
        Solidity, 0 to 1 [-].

    Source: ASCE7 fig. 29.3-1 note 2 for openings; ASCE7 fig. 29.4-2 for a bare frame.
    """
    wall = job.wall
    gross = outline_properties(wall.top).area
    if wall.sheathed:
        return part_solid(gross, gross, sum(o.width * o.height for o in wall.openings if not o.covered))
    solid = 0.0
    for stick in framing.members:
        shape = section(stick.size)
        face = shape.width if stick.kind in ("header", "row") else shape.thickness
        solid += stick.length * face * (stick.plies if stick.kind in ("top plate", "king") else 1)
    return part_solid(min(gross, solid), gross, 0.0)


@formula
def part_solid(filled: float, gross: float, openings: float) -> float:
    """Give the solid part of the wall, sticks alone of a bare frame: solid = (filled - openings) / gross.

    Args:
        filled: area of the outline, or of the sticks of a bare frame [in^2].
        gross: area of the outline [in^2].
        openings: area of openings nothing covers [in^2].

    Returns:
        Solid over gross area [-].

    Source: ASCE7 fig. 29.3-1 note 2, fig. 29.4-2.

    Example:
        >>> part_solid(40000.0, 40000.0, 10000.0)
        0.75
    """
    return (filled - openings) / gross


def wind_fields(job: Job, framing: Framing) -> tuple[PressureField, ...]:
    """Give every wind case of the wall as declared, G·Cf on gross area.

    Args:
        job: gives the wall and its floor.
        framing: its sticks.
    """
    wall, gaps = job.wall, open_heights(job)
    outline = outline_properties(wall.top)
    ratio = outline.width / outline.s
    least = min(force_coefficient(ratio, outline.s / (outline.s + gap)) for gap in gaps)
    reduction = opening_factor(solidity(job, framing), least)
    return pressure_fields(
        wall.top,
        gaps=gaps,
        left_return=wall.left_return.length if wall.left_end == "return" else None,
        right_return=wall.right_return.length if wall.right_end == "return" else None,
        floor_gcf=coefficient_floor(job),
        reduction=reduction if reduction < 1.0 else NOBODYS,
    )


def wind_on(job: Job, *, thunderstorm: bool) -> Pressures:
    """Give the wind on a wall: every case over its outline, and the velocity pressure of a gust.

    Args:
        job: the wall, its floor and its site.
        thunderstorm: the profile of an outflow.
    """
    return _kept((job.wall, job.floor, job.site, job.fasteners), thunderstorm=thunderstorm)


@lru_cache(maxsize=64)
def _kept(given: tuple[Wall, Floor, Site, tuple[Fastener, ...]], *, thunderstorm: bool) -> Pressures:
    wall, floor, site, fasteners = given
    q = pressure_on_site(site, wall.highest, floor.height_above_ground, thunderstorm=thunderstorm)
    return Pressures(wind_fields(Job(wall, floor=floor, site=site, fasteners=fasteners), frame_wall(wall)), q)
