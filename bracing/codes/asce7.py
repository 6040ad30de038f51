"""Wind on a wall with nothing behind it: net force coefficients, and every load case as a field over the outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.codes.gusts import wind_table
from bracing.errors import InputError
from bracing.units import Inch


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
    table = wind_table("net_coefficient")
    in_aspect = [float(np.interp(aspect_ratio, table["aspect_ratio"], row)) for row in table["rows"]]
    return float(np.interp(clearance_ratio, table["clearance_ratio"], in_aspect))


@cache
def _end_zone_columns() -> NDArray[np.float64]:
    """Give the case C table with each blank cell holding the next value to its right."""
    rows = np.array(wind_table("end_zone")["rows"])
    for column in range(rows.shape[1] - 2, -1, -1):
        blank = np.isnan(rows[:, column])
        rows[blank, column] = rows[blank, column + 1]
    rows.setflags(write=False)
    return rows


def end_zone_coefficients(aspect_ratio: float) -> tuple[EndZone, ...]:
    """Give the zones of case C from the windward end.

    Linear between the printed columns; a blank cell takes the next column to its right that has a value.
    The first zone is starred from the first starred column on.

    Args:
        aspect_ratio: B/s, length over mean height [-].

    Returns:
        The zones, covering 0 to B/s; none under B/s = 2, where the case does not apply.

    Source: ASCE7 fig. 29.3-1

    Example:
        >>> [(zone.end, round(zone.coefficient, 3)) for zone in end_zone_coefficients(3.5)]
        [(1.0, 2.75), (2.0, 1.8), (3.0, 1.225), (3.5, 1.1)]
    """
    table = wind_table("end_zone")
    # A hair under B/s = 2 is rounding, and leaving the case out is the careless side.
    if aspect_ratio < table["aspect_ratio"][0] - 1e-9:
        return ()
    zones = []
    bounds = pairwise([*table["start"], math.inf])
    for (start, end), row in zip(bounds, _end_zone_columns(), strict=True):
        if start < aspect_ratio:
            Cf = float(np.interp(aspect_ratio, table["aspect_ratio"], row))
            starred = start == 0.0 and aspect_ratio >= table["starred_from"]
            zones.append(EndZone(start, min(end, aspect_ratio), Cf, starred))
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
    table = wind_table("end_zone")
    if clearance_ratio <= table["clearance_from"]:
        return 1.0
    return float(table["clearance_constant"] - clearance_ratio)


def return_corner_reduction(return_ratio: float) -> float:
    """Give the factor on a starred end zone beside a return wall.

    0.90 at 0.3, 0.75 at 1.0, 0.60 from 2.0, linear between; no reduction under 0.3.

    Args:
        return_ratio: length of the return wall over s [-].

    Returns:
        The factor [-].

    Source: ASCE7 fig. 29.3-1

    Example:
        >>> return_corner_reduction(0.2), round(return_corner_reduction(1.5), 3)
        (1.0, 0.675)
    """
    table = wind_table("end_zone")
    if return_ratio < table["return_ratio"][0]:
        return 1.0
    return float(np.interp(return_ratio, table["return_ratio"], table["return_factor"]))


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
    table = wind_table("opening")
    if not 1.0 - table["open_from"] <= solid_ratio <= 1.0:
        what = "solid ratio"
        raise InputError.of(what, solid_ratio, "from 0.7 to 1; below it the wall is an open frame")
    return float(1.0 - (1.0 - solid_ratio) ** table["exponent"])


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
    table = wind_table("open_frame")
    for limit, Cf in zip(table["solidity_under"], table["coefficient"], strict=True):
        if solidity < limit:
            return float(Cf)
    return float(table["coefficient"][-1])


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
    floor = float(wind_table("judgement")["open_frame_least_solidity"])
    return max(solidity * open_sign_coefficient(solidity), floor * open_sign_coefficient(floor))


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
    if solidity > 1.0 - wind_table("opening")["open_from"]:
        return opening_reduction(solidity)
    return open_frame_coefficient(solidity) / coefficient


Array = NDArray[np.float64]
Top = tuple[tuple[Inch, Inch], ...]
Zone = tuple[Inch, Inch, float]

# Three Gauss points are exact to degree 5; the highest integrand here is linear pressure × height³, degree 4.
_GAUSS_AT, _GAUSS_WEIGHT = np.polynomial.legendre.leggauss(3)


@frozen
class OutlineProperties:
    """Area and second moments of a wall's outline, exact for a polyline.

    Attributes:
        area: area [in²].
        width: length of the wall, B [in].
        s: mean height, area over B [in].
        x_bar: centroid from LEFT [in].
        z_bar: centroid above the foot [in].
        I_x: second moment of x about the centroid [in⁴].
        I_z: second moment of z about the centroid [in⁴].
        I_xz: product moment about the centroid [in⁴].
        highest: highest point above the foot [in].
    """

    area: float
    width: Inch
    s: Inch
    x_bar: Inch
    z_bar: Inch
    I_x: float
    I_z: float
    I_xz: float
    highest: Inch


@frozen
class PressureField:
    """One wind case over the wall: c(x, z) = (zone + slope (x - x_bar)) (1 + rise (z - z_bar)).

    Attributes:
        case: "A", "B left", "B right", "C left" or "C right"; left is heavier toward LEFT.
        gap: "closed" (nothing open under the wall) or "open".
        zones: (start, end, coefficient) along the wall, covering 0 to B [in, in, -].
        slope: change of the coefficient along the wall [1/in].
        x_bar: where the slope adds nothing [in].
        rise: relative change with height [1/in].
        z_bar: height of the resultant without the rise [in].
    """

    case: str
    gap: str
    zones: tuple[Zone, ...]
    slope: float
    x_bar: Inch
    rise: float
    z_bar: Inch

    def along(self, x: Inch | Array) -> Array:
        """Give the coefficient along the wall, without the rise.

        Args:
            x: distance from LEFT [in], one or an array of any shape; a zone's own end counts to it.

        Returns:
            Pressure per unit of velocity pressure [-], in the shape of `x`.
        """
        ends = np.array([end for _, end, _ in self.zones[:-1]])
        values = np.array([coefficient for _, _, coefficient in self.zones])
        at = np.asarray(x, dtype=np.float64)
        result: Array = values[np.searchsorted(ends, at)] + self.slope * (at - self.x_bar)
        return result

    def c(self, x: Inch | Array, z: Inch | Array) -> Array:
        """Give the pressure per unit of velocity pressure, G·Cf.

        Args:
            x: distance from LEFT [in], one or an array.
            z: height above the foot [in], one or an array that broadcasts with `x`.

        Returns:
            The pressure per unit of velocity pressure [-].
        """
        result: Array = self.along(x) * (1.0 + self.rise * (np.asarray(z) - self.z_bar))
        return result


def _gauss_points(top: Top, cuts: Sequence[Inch] = ()) -> tuple[Array, Array, Array]:
    """Give x, height and weight of points that integrate a piecewise polynomial along the wall exactly.

    Args:
        top: the outline, (x, z) [in].
        cuts: places besides the vertices where the integrand breaks [in].

    Returns:
        x [in], height of the outline there [in] and weight [in], each (n,).
    """
    xs, ws, hs = [], [], []
    for (x0, z0), (x1, z1) in pairwise(top):
        inner = sorted(cut for cut in cuts if x0 < cut < x1)
        for a, b in pairwise([x0, *inner, x1]):
            x = 0.5 * (a + b) + 0.5 * (b - a) * _GAUSS_AT
            xs.append(x)
            ws.append(0.5 * (b - a) * _GAUSS_WEIGHT)
            hs.append(z0 + (z1 - z0) * (x - x0) / (x1 - x0) if x1 > x0 else np.full(3, z0))
    return np.concatenate(xs), np.concatenate(hs), np.concatenate(ws)


def _check_outline(top: Top) -> None:
    where = "wall.top"
    steps = [x1 - x0 for (x0, _), (x1, _) in pairwise(top)]
    if not steps or top[0][0] != 0.0 or min(steps) < 0.0 or top[-1][0] <= 0.0:
        raise InputError.of(where, top, "points from x = 0 to the length, x never going back")
    if min(z for _, z in top) <= 0.0:
        raise InputError.of(where, top, "heights over zero")


@lru_cache(maxsize=256)
def outline_properties(top: Top) -> OutlineProperties:
    """Give area, centroid and second moments of a wall's outline.

    Integrals over the strips under the polyline, exact.

    Args:
        top: the outline of the top, (x, z) from LEFT to right [in].

    Returns:
        The properties [in, in², in⁴].

    Raises:
        InputError: x does not run from 0 without going back, or a height is not over zero.

    Source: STATICS

    Example:
        >>> wall = outline_properties(((0.0, 100.0), (300.0, 100.0)))
        >>> wall.area, wall.s, wall.x_bar, wall.z_bar, round(wall.I_x / (100.0 * 300.0**3 / 12.0), 6)
        (30000.0, 100.0, 150.0, 50.0, 1.0)
    """
    _check_outline(top)
    x, h, w = _gauss_points(top)
    width = top[-1][0]
    area = float(w @ h)
    x_bar = float(w @ (x * h)) / area
    z_bar = float(w @ (h**2 / 2.0)) / area
    return OutlineProperties(
        area=area,
        width=width,
        s=area / width,
        x_bar=x_bar,
        z_bar=z_bar,
        I_x=float(w @ ((x - x_bar) ** 2 * h)),
        I_z=float(w @ (h**3 / 3.0)) - area * z_bar**2,
        I_xz=float(w @ ((x - x_bar) * h**2 / 2.0)),
        highest=max(z for _, z in top),
    )


def mean_coefficient(top: Top, field: PressureField) -> float:
    """Give the mean of a field over the area of the wall.

    c̄ = ∫c dA / A

    Args:
        top: the outline of the top, (x, z) [in].
        field: the field.

    Returns:
        The mean G·Cf [-].

    Source: STATICS

    Example:
        >>> top = ((0.0, 100.0), (300.0, 100.0))
        >>> zones = ((0.0, 100.0, 2.0), (100.0, 300.0, 1.0))
        >>> field = PressureField("C left", "open", zones, 0.0, 150.0, 0.0, 50.0)
        >>> round(mean_coefficient(top, field), 4)
        1.3333
    """
    x, h, w = _gauss_points(top, [end for _, end, _ in field.zones])
    c, about = field.along(x), field.rise
    return float(w @ (c * (h + about * (h**2 / 2.0 - field.z_bar * h)))) / float(w @ h)


def _raised(top: Top, case: str, gap: str, zones: tuple[Zone, ...], slope: float) -> PressureField:
    """Give the field with its resultant at its own height, or 0.05 s higher with nothing open under the wall.

    z̄ = ∫c z dA / F and rise = 0.05 s F / ∫c (z - z̄)² dA leave the total F as it is and lift the resultant by
    exactly 0.05 s. For a uniform c this is 1 + 0.05 s (z - z̄) A / I_z.
    """
    wall = outline_properties(top)
    field = PressureField(case, gap, zones, slope, wall.x_bar, 0.0, 0.0)
    x, h, w = _gauss_points(top, [end for _, end, _ in zones])
    c = field.along(x)
    total = float(w @ (c * h))
    z_bar = float(w @ (c * h**2 / 2.0)) / total
    spread = float(w @ (c * h**3 / 3.0)) - total * z_bar**2
    if spread <= 0.0:
        where = "wall.top"
        raise InputError.of(where, top, "an outline without a tall spike at its end")
    lift = wind_table("net_coefficient")["rise"] * wall.s if gap == "closed" else 0.0
    return PressureField(case, gap, zones, slope, wall.x_bar, lift * total / spread, z_bar)


def _end_zone_field(
    top: Top, zones: tuple[EndZone, ...], *, side: str, gap: str, factors: tuple[float, float], floor: float
) -> PressureField:
    """Give case C from one end: its zones scaled, and lifted together where their mean is under the floor.

    Args:
        top: the outline [in].
        zones: zones from the windward end [s].
        side: left or right, the windward end.
        gap: closed or open.
        factors: on the starred zones and on all zones, the gust effect included.
        floor: least mean G·Cf.
    """
    wall = outline_properties(top)
    starred, overall = factors
    ends = [
        (
            zone.start * wall.s,
            zone.end * wall.s,
            zone.coefficient * overall * (starred if zone.starred else 1.0),
        )
        for zone in zones
    ]
    # The last zone ends at the wall's end, not a rounding error before it.
    ends[-1] = (ends[-1][0], wall.width, ends[-1][2])
    if side == "right":
        ends = [(wall.width - end, wall.width - start, Cf) for start, end, Cf in reversed(ends)]
    name = f"C {side}"
    mean = mean_coefficient(top, PressureField(name, gap, tuple(ends), 0.0, wall.x_bar, 0.0, 0.0))
    scale = max(1.0, floor / mean)
    return _raised(top, name, gap, tuple((start, end, Cf * scale) for start, end, Cf in ends), 0.0)


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
    return _fields(tuple(top), tuple(dict.fromkeys(gaps)), (left_return, right_return), floor_gcf, reduction)


@lru_cache(maxsize=256)
def _fields(
    top: Top,
    gaps: tuple[Inch, ...],
    returns: tuple[Inch | None, Inch | None],
    floor_gcf: float,
    reduction: float,
) -> tuple[PressureField, ...]:
    wall = outline_properties(top)
    table, G = wind_table("net_coefficient"), wind_table("velocity_pressure")["gust_effect"]
    aspect_ratio = wall.width / wall.s
    floor = floor_gcf * reduction
    fields = []
    for height in gaps:
        gap = "closed" if height == 0.0 else "open"
        clearance_ratio = wall.s / (wall.s + height)
        mean = max(G * force_coefficient(aspect_ratio, clearance_ratio) * reduction, floor)
        whole: tuple[Zone, ...] = ((0.0, wall.width, mean),)
        slope = table["eccentricity"] * wall.width * wall.area / wall.I_x * mean
        fields.append(_raised(top, "A", gap, whole, 0.0))
        fields.append(_raised(top, "B left", gap, whole, -slope))
        fields.append(_raised(top, "B right", gap, whole, slope))
        zones = end_zone_coefficients(aspect_ratio)
        overall = G * reduction * end_zone_reduction(clearance_ratio)
        for side, length in zip(("left", "right"), returns, strict=True) if zones else ():
            starred = 1.0 if length is None else return_corner_reduction(length / wall.s)
            fields.append(
                _end_zone_field(top, zones, side=side, gap=gap, factors=(starred, overall), floor=floor)
            )
    return tuple(fields)
