"""Wind speeds people have in hand, and what each one means beside a wall.

Two readings, never mixed in one number: an actual 3-second gust at 33 ft in open country (directionality 1,
load factor 1), and the design speed of a site for the time a wall stands, shown as its equivalent gust.
"""

from __future__ import annotations

import math

from bracing.choosing import over, whole_down
from bracing.errors import InputError
from bracing.sources import cite, shipped
from bracing.sums import FROM_MEMORY, READ, Known, formula
from bracing.units import INCHES_PER_FOOT, Inch, Mph, Second


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
    table = shipped("wind")["construction_period"]
    for limit, factor in zip(table["under_s"], table["factor"], strict=True):
        if stands < limit:
            recalled = f"{factor:.2f}" in table["from_memory"]
            words = f"for a time under {limit / 604800.0:.0f} weeks"
            return Known(factor, words, cite("ASCE37", "6.2.1"), FROM_MEMORY if recalled else READ)
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
    Kd = shipped("wind")["velocity_pressure"]["directionality"] if kd is None else kd
    wind = shipped("wind")["load_factor"]["wind"] if load_factor is None else load_factor
    return gust_as_heavy(design_speed, factor, Kd, load_factor=wind)


@formula
def gust_as_heavy(V: Mph, factor: float, Kd: float, *, load_factor: float) -> Mph:
    """Give the actual gust as heavy as a design speed: V = V factor √(load_factor Kd).

    Args:
        V: basic wind speed of the site, strength level [mph].
        factor: construction-period factor on it [-].
        Kd: directionality factor [-].
        load_factor: on wind at allowable stress [-].

    Returns:
        The gust [mph].

    Source: ASCE7 2.4.1, table 26.6-1; ASCE37 6.2.1.

    Example:
        >>> round(gust_as_heavy(115.0, 0.75, 0.85, load_factor=0.6), 1)
        61.6
    """
    return V * factor * math.sqrt(load_factor * Kd)


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
    return gust_over_mean(sustained, shipped("wind")["sustained"]["gust_over_hourly_mean"])


@formula
def gust_over_mean(sustained: Mph, ratio: float) -> Mph:
    """Give the gust over open country of a mean speed: V = ratio sustained.

    Args:
        sustained: mean speed over an hour [mph].
        ratio: 1.53 [-].

    Returns:
        V [mph].

    Source: DURST.

    Example:
        >>> gust_over_mean(20.0, 1.53)
        30.6
    """
    return ratio * sustained


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
    return no_less_than_a_storm(gust, shipped("wind")["thunderstorm"]["least_gust_mph"])


@formula
def no_less_than_a_storm(gust: Mph, least: Mph) -> Mph:
    """Give the gust planned for with thunderstorms in the forecast: V = max(gust, least).

    Args:
        gust: forecast 3-second gust [mph].
        least: of a severe thunderstorm [mph].

    Returns:
        V [mph].

    Source: NWS severe thunderstorm criterion.

    Example:
        >>> no_less_than_a_storm(35.0, 58.0)
        58.0
    """
    return max(float(gust), least)


@formula
def people_out_at(part: float, limit: Mph, with_people: Mph) -> Mph:
    """Give the gust at which people must be out: V = min(part limit, with_people).

    Args:
        part: of the limit gust [-].
        limit: limit gust without people on or against the wall [mph].
        with_people: limit gust with them [mph].

    Returns:
        V [mph].

    Source: JUDGEMENT (masonry practice braces for 40 mph and evacuates at 35)

    Example:
        >>> people_out_at(0.85, 40.0, 38.0), people_out_at(0.85, 40.0, 21.0)
        (34.0, 21.0)
    """
    return min(part * limit, with_people)


def clear_out_part() -> float:
    """Give the part of the limit gust at which people are out at the latest [-].

    Source: JUDGEMENT (masonry practice braces for 40 mph and evacuates at 35)
    """
    part: float = shipped("wind")["judgement"]["clear_out"]
    return part


def clear_out_gust(limit: Mph, with_people: Mph) -> int:
    """Give the forecast gust at which people must be out, rounded down.

    The lesser of 0.85 of the limit gust, at which nobody stands there, and the limit gust with people still about.

    Args:
        limit: the wall's limit gust without people on or against it [mph].
        with_people: its limit gust with them [mph].

    Returns:
        The clear-out gust [mph], whole.

    Source: JUDGEMENT (masonry practice braces for 40 mph and evacuates at 35)

    Example:
        >>> clear_out_gust(40.0, 38.0), clear_out_gust(41.9, 41.0), clear_out_gust(40.0, 21.9)
        (34, 35, 21)
    """
    return whole_down(people_out_at(clear_out_part(), limit, with_people))


def clear_out_of(limit: Mph, with_people: Mph) -> int:
    """Give the clear-out gust as every answer prints it: of the limit gust as printed, itself rounded down.

    Args:
        limit: the wall's limit gust without people, unrounded [mph].
        with_people: its limit gust with people about, unrounded [mph].

    Returns:
        The clear-out gust [mph], whole.

    Source: JUDGEMENT (see clear_out_gust)

    Example:
        >>> clear_out_of(41.9, 41.0), clear_out_of(41.9, 30.5)
        (34, 30)
    """
    return clear_out_gust(math.floor(limit + 1e-9), with_people)


def people_may_stay(clear_out: int, gust: Mph) -> bool:
    """Whether people may be beside a wall in a gust: it does not reach the wall's clear-out gust.

    Args:
        clear_out: the wall's clear-out gust [mph].
        gust: the gust of a forecast, or of the day [mph].

    Source: JUDGEMENT (see clear_out_gust)

    Example:
        >>> people_may_stay(26, 25.0), people_may_stay(25, 25.0), people_may_stay(0, 0.0)
        (True, False, False)
    """
    return over(clear_out, gust)


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
    return kept_clear(height, drop, shipped("wind")["clear_zone"]["beyond_height_ft"])


@formula
def kept_clear(height: Inch, drop: Inch, beyond: float) -> Inch:
    """Give how far people keep away: d = height + drop + 12 beyond.

    Args:
        height: highest point of the wall above its floor [in].
        drop: from the floor to the ground on that side [in].
        beyond: past its height [ft].

    Returns:
        d [in].

    Source: OSHA 1926.706(a)(2) (a masonry rule, taken over).

    Example:
        >>> kept_clear(120.0, 36.0, 4.0)
        204.0
    """
    return height + drop + INCHES_PER_FOOT * beyond
