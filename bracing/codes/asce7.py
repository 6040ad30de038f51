"""Net force coefficients of a wall with nothing behind it: the printed tables, read between their columns."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.codes.gusts import wind_table
from bracing.errors import InputError

FIT = (1.563, 0.008542, -0.06148, 0.009011, -0.2603, -0.08393)
"""Coefficients of the commentary's fit to the table, from memory: 1, ln x, y, (ln x)², y², y ln x."""


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


def force_coefficient_fit(aspect_ratio: float, clearance_ratio: float) -> float:
    """Give the smooth fit that the table of cases A and B was rounded from: a check on the table.

    Cf = {1.563 + 0.008542 ln x - 0.06148 y + 0.009011 (ln x)² - 0.2603 y² - 0.08393 y ln x} / 0.85

    Args:
        aspect_ratio: x = B/s [-], from 0.05 to 45.
        clearance_ratio: y = s/h [-], from 0.16 to 1.

    Returns:
        Cf [-].

    Source: ASCE7 commentary to fig. 29.3-1

    Example:
        >>> round(force_coefficient_fit(4.0, 1.0), 3)
        1.358
    """
    x, y = math.log(aspect_ratio), clearance_ratio
    terms = zip(FIT, (1.0, x, y, x * x, y * y, y * x), strict=True)
    return math.fsum(k * t for k, t in terms) / float(wind_table("velocity_pressure")["gust_effect"])


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

    Source: ASCE7 fig. 29.3-1 note (equation from memory)

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
