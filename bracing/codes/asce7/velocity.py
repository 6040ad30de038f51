"""The pressure of a gust: height and exposure of the wall, and what a meter shows of a gust at another height."""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from bracing.errors import InputError, MissingDataError
from bracing.job.job import Site
from bracing.sources import cite, shipped
from bracing.sums import Known, formula
from bracing.units import INCHES_PER_FOOT, Inch, Mph

Many = TypeVar("Many", float, NDArray[np.float64])

PROFILES = cite("ASCE7", "table 26.11-1")


@formula
def above_ground(highest: Inch, floor: Inch) -> Inch:
    """Give the highest point of the wall above the ground: h = highest + floor.

    Args:
        highest: highest point of the wall above its floor [in].
        floor: the floor above the ground [in].

    Returns:
        Height h [in].

    Source: STATICS.

    Example:
        >>> above_ground(108.0, 36.0)
        144.0
    """
    return highest + floor


@formula
def in_feet(h: Inch) -> float:
    """Give the same in feet: z = h / 12.

    Args:
        h: a length [in].

    Returns:
        Length z [ft].

    Source: STATICS.

    Example:
        >>> in_feet(144.0)
        12.0
    """
    return h / INCHES_PER_FOOT


@formula
def profile(z: float, zg: float, alpha: float, *, least: float, scale: float) -> float:
    """Give the velocity pressure exposure coefficient: Kz = scale (max(z, least) / zg)^(2 / alpha).

    Args:
        z: height above the ground [ft].
        zg: gradient height of the exposure [ft].
        alpha: exponent of the exposure [-].
        least: height under which it stays as it is [ft].
        scale: 2.01 [-].

    Returns:
        Kz [-].

    Source: ASCE7 table 26.10-1.

    Example:
        >>> round(profile(20.0, 900.0, 9.5, least=15.0, scale=2.01), 3)
        0.902
    """
    return float(scale * (max(z, least) / zg) ** (2.0 / alpha))


@formula
def outflow_profile(Kz: float, least: float) -> float:
    """Give the profile with thunderstorms in the forecast: Kz = max(Kz, least).

    Args:
        Kz: the exposure's own [-].
        least: of an outflow, as strong near the ground [-].

    Returns:
        Kz [-].

    Source: JUDGEMENT docs/judgement.md.

    Example:
        >>> outflow_profile(0.85, 1.0)
        1.0
    """
    return max(Kz, least)


def _profile(z: float, exposure: str, least: float) -> float:
    """Kz at a height [ft] of an exposure by name."""
    table = shipped("wind")["exposure"]
    known = [name for name, row in table.items() if isinstance(row, dict)]
    if exposure not in known:
        what = "exposures"
        raise MissingDataError(what, exposure, known)
    row = table[exposure]
    alpha = Known(row["alpha"], f"exposure {exposure}", PROFILES)
    return profile(z, row["gradient_height_ft"], alpha, least=least, scale=table["scale"])


def exposure_coefficient(
    height_above_ground: Inch, exposure: str = "C", *, thunderstorm: bool = False
) -> float:
    """Give the velocity pressure exposure coefficient: Kz = 2.01 (z/zg)^(2/α), z not taken under 15 ft.

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
    Kz = _profile(in_feet(height_above_ground), exposure, shipped("wind")["exposure"]["least_height_ft"])
    return outflow_profile(Kz, shipped("wind")["judgement"]["thunderstorm_least_kz"]) if thunderstorm else Kz


@formula
def pressure_of_gust(gust: Many, Kz: float, Kzt: float, *, Kd: float, Ke: float, constant: float) -> Many:
    """Give the velocity pressure at the wall's highest point: q = constant Kz Kzt Kd Ke gust^2.

    Args:
        gust: 3-second gust at 33 ft in open country [mph], one or an array of any shape.
        Kz: velocity pressure exposure coefficient at the highest point of the wall [-].
        Kzt: topographic factor [-].
        Kd: directionality factor [-]; 1 for an actual gust.
        Ke: ground elevation factor [-]; 1 is never under the true value above sea level.
        constant: 0.00256 [psf/mph^2].

    Returns:
        q [psf].

    Source: ASCE7 eq. 26.10-1, Kd = 1 for an actual gust.

    Example:
        >>> round(pressure_of_gust(40.0, 0.85, 1.0, Kd=1.0, Ke=1.0, constant=0.00256), 3)
        3.482
    """
    return constant * Kz * Kzt * Kd * Ke * gust**2


def velocity_pressure(gust: Many, *, kz: float, kzt: float = 1.0, kd: float = 1.0, ke: float = 1.0) -> Many:
    """Give the velocity pressure of a gust: q = 0.00256 Kz Kzt Kd Ke V², for V in mph.

    Args:
        gust: 3-second gust at 33 ft in open country [mph], one or an array of any shape.
        kz: velocity pressure exposure coefficient at the highest point of the wall [-].
        kzt: topographic factor [-].
        kd: directionality factor [-]; 1 for an actual gust.
        ke: ground elevation factor [-]; 1 is never under the true value above sea level.

    Returns:
        The velocity pressure [psf], in the shape of `gust`.

    Source: ASCE7 eq. 26.10-1

    Example:
        >>> round(velocity_pressure(40.0, kz=0.85), 3)
        3.482
    """
    constant: float = shipped("wind")["velocity_pressure"]["constant_psf_per_mph2"]
    return pressure_of_gust(gust, kz, kzt, Kd=kd, Ke=ke, constant=constant)


def pressure_on_site(site: Site, highest: Inch, floor: Inch, *, thunderstorm: bool = False) -> float:
    """Give the velocity pressure at a wall's highest point of a gust of 1 mph; it grows with the gust squared.

    Args:
        site: exposure and topographic factor.
        highest: highest point of the wall above its floor [in].
        floor: the floor above the ground [in].
        thunderstorm: the profile of an outflow.

    Returns:
        The pressure [psf].

    Source: ASCE7 eq. 26.10-1.

    Example:
        >>> round(pressure_on_site(Site(), 108.0, 36.0) * 30.0**2, 3)
        1.956
    """
    Kz = exposure_coefficient(above_ground(highest, floor), site.exposure, thunderstorm=thunderstorm)
    kzt = 1.0 if site.kzt == 1.0 else Known(site.kzt, "Kzt as declared", cite("USER"))
    return velocity_pressure(1.0, kz=Kz, kzt=kzt)


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
    Kz = _profile(height_above_ground / INCHES_PER_FOOT, exposure, 0.0)
    Kz_reference = _profile(shipped("wind")["exposure"]["reference_height_ft"], "C", 0.0)
    return shown_at_height(gust, Kz, Kz_reference)


@formula
def shown_at_height(gust: Mph, Kz: float, Kz0: float) -> Mph:
    """Give the gust at another height, never over itself: V = gust √(min(1, Kz / Kz0)).

    Args:
        gust: 3-second gust at 33 ft in open country [mph].
        Kz: exposure coefficient at the height of the meter [-].
        Kz0: at 33 ft in open country [-].

    Returns:
        V [mph].

    Source: ASCE7 table 26.10-1 note 1.

    Example:
        >>> shown_at_height(40.0, 0.25, 1.0)
        20.0
    """
    return gust * math.sqrt(min(1.0, Kz / Kz0))
