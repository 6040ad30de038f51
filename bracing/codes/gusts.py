"""Wind speeds people have in hand, and the pressure each one makes.

Two readings, never mixed in one number: an actual 3-second gust at 33 ft in open country (directionality 1,
load factor 1), and the design speed of a site for the time a wall stands, shown as its equivalent gust.
"""

from __future__ import annotations

import math
import tomllib
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bracing.choosing import whole_down
from bracing.errors import InputError, MissingDataError
from bracing.units import INCHES_PER_FOOT, PSF_PER_PSI, Inch, Mph, Psi, Second


@cache
def wind_table(name: str) -> dict[str, Any]:
    """Give one block of data/wind.toml, read once.

    Args:
        name: the block's name.

    Returns:
        The block, with its source.

    Example:
        >>> wind_table("load_factor")["wind"]
        0.6
    """
    text = resources.files("bracing").joinpath("data", "wind.toml").read_text(encoding="utf-8")
    block: dict[str, Any] = tomllib.loads(text)[name]
    return block


def velocity_pressure(
    gust: Mph | NDArray[np.float64], *, kz: float, kzt: float = 1.0, kd: float = 1.0, ke: float = 1.0
) -> Psi | NDArray[np.float64]:
    """Give the velocity pressure of a gust.

    q = 0.00256 Kz Kzt Kd Ke V², in psf for V in mph.

    Args:
        gust: 3-second gust at 33 ft in open country [mph], one or an array of any shape.
        kz: velocity pressure exposure coefficient at the highest point of the wall [-].
        kzt: topographic factor [-].
        kd: directionality factor [-]; 1 for an actual gust.
        ke: ground elevation factor [-]; 1 is never under the true value above sea level.

    Returns:
        The velocity pressure [psi], in the shape of `gust`.

    Source: ASCE7 eq. 26.10-1

    Example:
        >>> round(velocity_pressure(40.0, kz=0.85) * 144, 3)  # psf
        3.482
    """
    constant: float = wind_table("velocity_pressure")["constant_psf_per_mph2"] / PSF_PER_PSI
    return constant * kz * kzt * kd * ke * gust**2


def _profile(height_ft: float, exposure: str) -> float:
    """Give Kz = 2.01 (z/zg)^(2/α) at a height [ft], without the floor on height."""
    table = wind_table("exposure")
    known = [name for name, row in table.items() if isinstance(row, dict)]
    if exposure not in known:
        what = "exposures"
        raise MissingDataError(what, exposure, known)
    row = table[exposure]
    return float(table["scale"] * (height_ft / row["gradient_height_ft"]) ** (2.0 / row["alpha"]))


def exposure_coefficient(
    height_above_ground: Inch, exposure: str = "C", *, thunderstorm: bool = False
) -> float:
    """Give the velocity pressure exposure coefficient.

    Kz = 2.01 (z/zg)^(2/α), z not taken under 15 ft.

    Args:
        height_above_ground: height of the wall's highest point above the ground [in].
        exposure: B, C or D.
        thunderstorm: thunderstorms are in the forecast: Kz not under 1.

    Returns:
        Kz [-].

    Raises:
        MissingDataError: the exposure is not B, C or D.

    Source: ASCE7 table 26.10-1

    Example:
        >>> round(exposure_coefficient(240.0, "C"), 3), exposure_coefficient(240.0, "B", thunderstorm=True)
        (0.902, 1.0)
    """
    height_ft = max(height_above_ground / INCHES_PER_FOOT, wind_table("exposure")["least_height_ft"])
    Kz = _profile(height_ft, exposure)
    return max(Kz, wind_table("judgement")["thunderstorm_least_kz"]) if thunderstorm else Kz


def construction_period_factor(stands: Second) -> float:
    """Give the factor on the design speed for the time a wall stands, where access is controlled.

    0.75 under 6 weeks, 0.80 to one year, 0.85 to two, 0.90 to five, 1 beyond. A limit itself counts as the
    longer time.

    Args:
        stands: how long it stands on braces [s].

    Returns:
        The factor [-].

    Raises:
        InputError: the time is negative.

    Source: ASCE37 6.2.1 (0.80 seen in print, the others from memory)

    Example:
        >>> construction_period_factor(3 * 604800.0)  # three weeks
        0.75
    """
    if stands < 0.0:
        what = "site.stands"
        raise InputError.of(what, stands, "a time of zero or more")
    table = wind_table("construction_period")
    for limit, factor in zip(table["under_s"], table["factor"], strict=True):
        if stands < limit:
            return float(factor)
    return 1.0


def equivalent_gust_of_design(
    design_speed: Mph, *, factor: float, kd: float | None = None, load_factor: float | None = None
) -> Mph:
    """Give the actual gust that loads the wall as much as a design speed does, at allowable stress.

    V_gust = V f √(load factor · Kd)

    Args:
        design_speed: basic wind speed of the site, strength level [mph].
        factor: construction-period factor on it [-].
        kd: directionality factor [-]; 0.85 where not given.
        load_factor: load factor on wind at allowable stress [-]; 0.6 where not given.

    Returns:
        The equivalent gust [mph].

    Source: ASCE7 2.4.1, table 26.6-1; ASCE37 6.2.1

    Example:
        >>> round(equivalent_gust_of_design(115.0, factor=0.75), 1)
        61.6
    """
    Kd = wind_table("velocity_pressure")["directionality"] if kd is None else kd
    wind = wind_table("load_factor")["wind"] if load_factor is None else load_factor
    return float(design_speed * factor * math.sqrt(wind * Kd))


def gust_from_sustained(sustained: Mph) -> Mph:
    """Give the 3-second gust to plan for where only a sustained speed is known.

    V_gust = 1.53 V, the ratio to an hourly mean over open country; shorter averages have a smaller one.

    Args:
        sustained: sustained speed, over any averaging time up to an hour [mph].

    Returns:
        The gust [mph].

    Source: DURST

    Example:
        >>> gust_from_sustained(20.0)
        30.6
    """
    return float(wind_table("sustained")["gust_over_hourly_mean"] * sustained)


def thunderstorm_gust(gust: Mph) -> Mph:
    """Give the gust to plan for where thunderstorms are in the forecast: 58 mph at the least.

    Args:
        gust: forecast 3-second gust [mph].

    Returns:
        The larger of the two [mph]. Real outflows exceed it.

    Source: NWS severe thunderstorm criterion

    Example:
        >>> thunderstorm_gust(35.0), thunderstorm_gust(70.0)
        (58.0, 70.0)
    """
    least: Mph = wind_table("thunderstorm")["least_gust_mph"]
    return max(float(gust), least)


def meter_gust(gust: Mph, *, exposure: str, height_above_ground: Inch) -> Mph:
    """Give what a meter held at a height shows in a gust stated for 33 ft in open country.

    V(z) = V √(Kz(z) / Kz,C(33 ft)), with no floor on z and never over V.

    People clear out when the meter shows this number, so the low side is the cautious one. The 15 ft floor of
    design is therefore left off (the air really is slower near the ground), and a site windier than open
    country gets no higher number than the gust itself.

    Args:
        gust: 3-second gust at 33 ft in open country [mph].
        exposure: B, C or D.
        height_above_ground: height of the meter above the ground, the deck's own height included [in].

    Returns:
        The reading [mph], not rounded.

    Raises:
        InputError: the height is not over zero.
        MissingDataError: the exposure is not B, C or D.

    Source: ASCE7 table 26.10-1 note 1

    Example:
        >>> round(meter_gust(35.0, exposure="C", height_above_ground=96.0), 1)  # 5 ft over a 3 ft deck
        30.1
    """
    if height_above_ground <= 0.0:
        what = "meter height above ground"
        raise InputError.of(what, height_above_ground, "a height over zero")
    Kz = _profile(height_above_ground / INCHES_PER_FOOT, exposure)
    Kz_reference = _profile(wind_table("exposure")["reference_height_ft"], "C")
    return gust * min(1.0, math.sqrt(Kz / Kz_reference))


def clear_out_gust(limit: Mph) -> int:
    """Give the forecast gust at which people must be out: 0.85 of the limit gust, rounded down.

    Args:
        limit: the wall's limit gust [mph].

    Returns:
        The clear-out gust [mph], whole.

    Source: JUDGEMENT (masonry practice braces for 40 mph and evacuates at 35)

    Example:
        >>> clear_out_gust(40.0), clear_out_gust(41.9)
        (34, 35)
    """
    part: float = wind_table("judgement")["clear_out"]
    return whole_down(part * limit)


def clear_out_of(limit: Mph) -> int:
    """Give the clear-out gust as every answer prints it: of the limit gust as printed, itself rounded down.

    Args:
        limit: the wall's limit gust, unrounded [mph].

    Returns:
        The clear-out gust [mph], whole.

    Source: JUDGEMENT (see clear_out_gust)

    Example:
        >>> clear_out_of(41.9)
        34
    """
    return clear_out_gust(math.floor(limit + 1e-9))


def people_may_stay(clear_out: int, gust: Mph) -> bool:
    """Whether people may be beside a wall on a day of a gust: its clear-out gust is not under it, and is not 0.

    Args:
        clear_out: the wall's clear-out gust [mph].
        gust: gust of the day [mph].

    Source: JUDGEMENT (see clear_out_gust)

    Example:
        >>> people_may_stay(25, 25.0), people_may_stay(24, 25.0), people_may_stay(0, 0.0)
        (True, False, False)
    """
    return 0 < clear_out >= gust


def clear_zone(height: Inch, *, drop: Inch = 0.0) -> Inch:
    """Give how far from the wall people keep when they are out.

    Its height, and 4 ft, and on the side away from a deck the drop to the ground.

    Args:
        height: highest point of the wall above its floor [in].
        drop: height of the floor above the ground, on the side away from the deck [in].

    Returns:
        The depth of the zone, and how far it runs past both ends [in].

    Source: OSHA 1926.706(a)(2) (a masonry rule, taken over)

    Example:
        >>> clear_zone(120.0) / 12.0, clear_zone(120.0, drop=36.0) / 12.0
        (14.0, 17.0)
    """
    return float(height + drop + wind_table("clear_zone")["beyond_height_ft"] * INCHES_PER_FOOT)
