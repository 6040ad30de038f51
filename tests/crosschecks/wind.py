"""Wind by other published standards: gust ratios, the Beaufort scale, the Eurocode and the next edition.

Metres, seconds and pascals where the source uses them; each name says so.
"""

from __future__ import annotations

import math
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from bracing.errors import InputError, MissingDataError
from bracing.sources import shipped
from bracing.units import INCHES_PER_FOOT, Inch, Mph, Second

FIT = (1.563, 0.008542, -0.06148, 0.009011, -0.2603, -0.08393)
"""Coefficients of the commentary's fit to the table, from memory: 1, ln x, y, (ln x)², y², y ln x."""
AIR_DENSITY = 1.25
"""Density of air of the Eurocode [kg/m³]."""


@cache
def _table(name: str) -> dict[str, Any]:
    text = Path(__file__).with_name("wind.toml").read_text(encoding="utf-8")
    block: dict[str, Any] = tomllib.loads(text)[name]
    return block


def _row(table: str, key: str) -> Any:
    """Give one row of a table, or say which names there are."""
    rows = {name: row for name, row in _table(table).items() if isinstance(row, dict | list)}
    if key not in rows:
        raise MissingDataError(table, key, rows)
    return rows[key]


def exposure_coefficient_7_22(height_above_ground: Inch, exposure: str = "C") -> float:
    """Give the velocity pressure exposure coefficient of the next edition.

    Kz = 2.41 (z/zg)^(2/α), z not taken under 15 ft.

    Args:
        height_above_ground: height above the ground [in].
        exposure: B, C or D.

    Returns:
        Kz [-].

    Raises:
        MissingDataError: the exposure is not in the table.

    Source: ASCE7-22 table 26.10-1

    Example:
        >>> round(exposure_coefficient_7_22(240.0, "C"), 3)
        0.903
    """
    table, row = _table("exposure_7_22"), _row("exposure_7_22", exposure)
    z = max(height_above_ground / INCHES_PER_FOOT, table["least_height_ft"])
    return float(table["scale"] * (z / row["gradient_height_ft"]) ** (2.0 / row["alpha"]))


def durst_ratio(averaging_time: Second) -> float:
    """Give the ratio of a gust of some averaging time to the hourly mean.

    Linear in the logarithm of time between the values read from the curve.

    Args:
        averaging_time: averaging time [s], from 3 to 3600.

    Returns:
        The ratio [-].

    Raises:
        InputError: the time is outside the curve.

    Source: DURST

    Example:
        >>> durst_ratio(3.0), durst_ratio(3600.0)
        (1.53, 1.0)
    """
    table = _table("durst")
    times = table["averaging_time_s"]
    if not times[0] <= averaging_time <= times[-1]:
        what = "averaging time"
        raise InputError.of(what, averaging_time, "from 3 to 3600 s")
    return float(np.interp(math.log(averaging_time), np.log(times), table["ratio"]))


def fastest_mile_to_mean(fastest_mile: Mph, averaging_time: Second = 3600.0) -> Mph:
    """Give the speed over some averaging time that goes with a fastest-mile speed.

    V_t = V_fm r(t) / r(3600 / V_fm): a mile takes 3600 / V_fm seconds.

    Args:
        fastest_mile: fastest-mile speed [mph].
        averaging_time: averaging time wanted [s].

    Returns:
        The speed [mph].

    Source: DURST

    Example:
        >>> round(fastest_mile_to_mean(80.0), 1)
        62.5
    """
    return fastest_mile * durst_ratio(averaging_time) / durst_ratio(3600.0 / fastest_mile)


def beaufort_upper_limit(force: int, unit: str) -> float:
    """Give the printed upper limit of a Beaufort force.

    Args:
        force: Beaufort force, 1 to 11.
        unit: mph, m/s, km/h or kn.

    Returns:
        The limit of the 10-minute mean at 10 m [that unit].

    Raises:
        InputError: the force is not 1 to 11.
        MissingDataError: the unit is not in the table.

    Source: WMO Beaufort scale

    Example:
        >>> beaufort_upper_limit(6, "mph")
        31.0
    """
    limits = _row("beaufort", unit)
    if not 1 <= force <= len(limits):
        what = "Beaufort force"
        raise InputError.of(what, force, "1 to 11")
    return float(limits[force - 1])


def beaufort_lower_limit(force: int, unit: str) -> float:
    """Give the printed lower limit of a Beaufort force: one step over the upper limit of the force below.

    Args:
        force: Beaufort force, 2 to 12.
        unit: mph, m/s, km/h or kn.

    Returns:
        The limit of the 10-minute mean at 10 m [that unit].

    Source: WMO Beaufort scale

    Example:
        >>> beaufort_lower_limit(12, "mph")
        73.0
    """
    return beaufort_upper_limit(force - 1, unit) + float(_table("beaufort_step")[unit])


def beaufort_fit(force: float) -> float:
    """Give the wind speed of a Beaufort number by the scale's equation.

    v = 0.836 B^1.5

    Args:
        force: Beaufort number [-]; B + 0.5 is the limit between two forces.

    Returns:
        The 10-minute mean at 10 m [m/s].

    Source: WMO Beaufort scale

    Example:
        >>> round(beaufort_fit(6.5), 2)
        13.85
    """
    return float(_table("beaufort")["fit_metres_per_second"] * force**1.5)


def probability_factor(return_period_years: float, *, K: float = 0.2, n: float = 0.5) -> float:
    """Give the factor on the basic velocity for another return period than 50 years.

    cprob = {[1 - K ln(-ln(1 - p))] / [1 - K ln(-ln 0.98)]}^n, p = 1/T

    Args:
        return_period_years: return period T [years], over 1.
        K: shape parameter [-].
        n: exponent [-].

    Returns:
        cprob [-].

    Source: EN1991 eq. 4.2

    Example:
        >>> round(probability_factor(5.0), 4)
        0.8545
    """
    p = 1.0 / return_period_years
    return float(((1.0 - K * math.log(-math.log(1.0 - p))) / (1.0 - K * math.log(-math.log(0.98)))) ** n)


def roughness_length(terrain: str) -> float:
    """Give the roughness length of a terrain category.

    Args:
        terrain: 0, I, II, III or IV.

    Returns:
        z0 [m].

    Source: EN1991 table 4.1

    Example:
        >>> roughness_length("I")
        0.01
    """
    return float(_row("terrain", terrain)["roughness_m"])


def peak_velocity_pressure(basic_velocity: float, *, terrain: str, height: float) -> float:
    """Give the peak velocity pressure over flat ground.

    kr = 0.19 (z0/0.05)^0.07; vm = kr ln(z/z0) vb; Iv = 1/ln(z/z0); qp = (1 + 7 Iv) ρ vm²/2

    Args:
        basic_velocity: vb = cdir cseason cprob vb0, 10-minute mean [m/s].
        terrain: 0, I, II, III or IV.
        height: z above the ground, not taken under the terrain's least height [m].

    Returns:
        qp [Pa].

    Source: EN1991 4.3 to 4.5

    Example:
        >>> round(peak_velocity_pressure(26.0, terrain="II", height=10.0))
        994
    """
    row = _row("terrain", terrain)
    z0 = row["roughness_m"]
    z = max(height, row["least_height_m"])
    kr = 0.19 * (z0 / 0.05) ** 0.07
    vm = kr * math.log(z / z0) * basic_velocity
    Iv = 1.0 / math.log(z / z0)
    return float((1.0 + 7.0 * Iv) * 0.5 * AIR_DENSITY * vm**2)


def net_pressure_coefficient(
    zone: str, *, length_over_height: float, solidity: float = 1.0, corner_over_height: float = 0.0
) -> float:
    """Give the net pressure coefficient of a free-standing wall.

    Linear between the printed lengths, between no corner and a corner as long as the wall is high, and
    between solidity 0.8 and 1.

    Args:
        zone: A, B, C or D, from the free end (see zone_ends).
        length_over_height: l/h [-].
        solidity: solid over gross area [-], from 0.8.
        corner_over_height: length of the return corner over h [-]; 0 is none.

    Returns:
        cp,net [-].

    Raises:
        InputError: the zone is not A to D, or the solidity not 0.8 to 1.

    Source: EN1991 table 7.9

    Example:
        >>> net_pressure_coefficient("A", length_over_height=5.0)
        2.9
    """
    table = _table("free_standing_wall")
    if zone not in table["with_corner"]:
        what = "zone"
        raise InputError.of(what, zone, "A, B, C or D")
    if not table["porous_solidity"] <= solidity <= 1.0:
        what = "solidity"
        raise InputError.of(what, solidity, "from 0.8 to 1")
    free = float(np.interp(length_over_height, table["length_over_height"], table[zone]))
    solid = float(np.interp(corner_over_height, (0.0, 1.0), (free, table["with_corner"][zone])))
    return float(np.interp(solidity, (table["porous_solidity"], 1.0), (table["porous"], solid)))


def zone_ends(height: Inch) -> dict[str, Inch]:
    """Give where the zones A, B and C end, from the free end; D runs on.

    Args:
        height: height of the wall [in].

    Returns:
        The end of each zone [in].

    Source: EN1991 fig. 7.19

    Example:
        >>> zone_ends(120.0)
        {'A': 36.0, 'B': 240.0, 'C': 480.0}
    """
    return {zone: float(end * height) for zone, end in _table("free_standing_wall")["zone_end"].items()}


def execution_return_period(duration_days: float) -> float:
    """Give the return period recommended for wind during execution.

    2 years up to 3 days, 5 up to 3 months, 10 up to a year, 50 beyond.

    Args:
        duration_days: nominal duration [days].

    Returns:
        The return period [years].

    Source: EN1991-6 table 3.1 (from memory)

    Example:
        >>> execution_return_period(30.0)
        5.0
    """
    table = _table("execution")
    place = int(np.searchsorted(table["up_to_days"], duration_days))
    return float(table["return_period_years"][place])


def execution_least_velocity(duration_days: float) -> float:
    """Give the least basic velocity recommended for durations up to 3 months; 0 beyond.

    Args:
        duration_days: nominal duration [days].

    Returns:
        The least basic velocity [m/s].

    Source: EN1991-6 3.1(5) (from memory)

    Example:
        >>> execution_least_velocity(30.0), execution_least_velocity(200.0)
        (20.0, 0.0)
    """
    table = _table("execution")
    return float(table["least_basic_velocity_m_per_s"]) if duration_days <= table["up_to_days"][1] else 0.0


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
    return math.fsum(k * t for k, t in terms) / float(shipped("wind")["velocity_pressure"]["gust_effect"])


def elevation_factor(elevation: Inch) -> float:
    """Give the ground elevation factor.

    Ke = exp(-0.0000362 z), z in feet above sea level.

    Args:
        elevation: elevation of the ground above sea level [in].

    Returns:
        Ke [-].

    Source: ASCE7 table 26.9-1

    Example:
        >>> round(elevation_factor(5000 * 12.0), 3)
        0.834
    """
    rate = _table("ground_elevation")["rate_per_ft"]
    return float(math.exp(-rate * elevation / INCHES_PER_FOOT))
