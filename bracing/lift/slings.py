"""Slings: leg angle, tension, and the two legs a bridle is counted on.

Angles are off vertical, as a person sees a leg hang; published charts give the angle from the horizontal, its
complement. Capacities are what the user reads off the tags.
"""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import frozen

from bracing.choosing import over
from bracing.errors import InputError
from bracing.sources import shipped
from bracing.units import Inch, Pound, Radian

SlingJson = TypedDict("SlingJson", {
    "off_vertical_deg": float, "tension_lb": float, "rated_lb": float | None, "over_working_limit": bool,
    "within": bool | None,
})  # fmt: skip


def tension_factor(off_vertical: Radian) -> float:
    """Give the tension of a leg over its vertical share, 1/cos(alpha) [-].

    Args:
        off_vertical: angle of the leg off vertical, alpha [rad].

    Returns:
        The factor [-].

    Raises:
        InputError: a leg at or past the horizontal.

    Source: B30.9.

    Example:
        >>> round(tension_factor(math.radians(30.0)), 3)
        1.155
    """
    if not 0.0 <= off_vertical < math.pi / 2.0:
        what = "sling angle off vertical"
        raise InputError.of(what, f"{math.degrees(off_vertical):.0f} deg", "0 to under 90 deg")
    return 1.0 / math.cos(off_vertical)


@frozen
class Bridle:
    """Two slings of given lengths from one hook to two picks, in the vertical plane through both.

    Attributes:
        along: where the hook hangs, from the first pick toward the second, level [in].
        above: the hook above the first pick [in].
        angles: angle off vertical of the two legs [rad].
        tensions: tension of the two legs per pound on the hook [-].
        shares: vertical part of the load on each pick [-].
        thrust: level part of each leg per pound on the hook: it squeezes the wall between the picks [-].
    """

    along: Inch
    above: Inch
    angles: tuple[Radian, Radian]
    tensions: tuple[float, float]
    shares: tuple[float, float]
    thrust: float


def bridle(apart: Inch, rise: Inch, lengths: tuple[Inch, Inch]) -> Bridle:
    """Hang a hook on two slings and share a pound on it between them.

    Args:
        apart: level distance between the picks [in].
        rise: the second pick above the first [in].
        lengths: sling length to the first pick and to the second [in].

    Returns:
        Where the hook hangs, the angles and the shares.

    Raises:
        InputError: slings too short to meet, or a hook that would hang outside the picks.

    Source: STATICS.

    Example:
        >>> even = bridle(120.0, 0.0, (120.0, 120.0))
        >>> round(math.degrees(even.angles[0])), round(even.tensions[0], 4)
        (30, 0.5774)
    """
    one, other = lengths
    straight = math.hypot(apart, rise)
    if one + other <= straight or abs(one - other) >= straight:
        what = "sling lengths"
        raise InputError.of(what, f"{one:g} and {other:g} in", f"long enough to meet over {straight:g} in")
    # Along and square to the line between the picks, then turned by its slope.
    u = (one * one - other * other + straight * straight) / (2.0 * straight)
    v = math.sqrt(one * one - u * u)
    along = (u * apart - v * rise) / straight
    above = (u * rise + v * apart) / straight
    if not 0.0 < along < apart or above <= 0.0 or above <= rise:
        what = "sling lengths"
        raise InputError.of(what, f"{one:g} and {other:g} in", "lengths that hang the hook between the picks")
    left, right = math.atan2(along, above), math.atan2(apart - along, above - rise)
    whole = math.sin(left + right)
    shares = (math.sin(right) * math.cos(left) / whole, math.sin(left) * math.cos(right) / whole)
    tensions = (shares[0] * tension_factor(left), shares[1] * tension_factor(right))
    return Bridle(along, above, (left, right), tensions, shares, tensions[0] * math.sin(left))


def sling_for_angle(apart: Inch, off_vertical: Radian) -> Inch:
    """Give the length of each of two even slings for an angle, L = (d/2)/sin(alpha) [in].

    Args:
        apart: distance between two level picks, d [in].
        off_vertical: angle off vertical, alpha [rad].

    Returns:
        Length along each sling [in].

    Source: STATICS.

    Example:
        >>> round(sling_for_angle(120.0, math.radians(30.0)), 6)
        120.0
    """
    return apart / 2.0 / math.sin(off_vertical)


@frozen
class SlingCheck:
    """What one leg carries against what its tag says.

    Attributes:
        angle: largest angle off vertical over the arc [rad].
        tension: greatest tension with the whole weight and the dynamic part on the hook [lb].
        rated: rated vertical capacity typed from the tag [lb]; None where nobody declared it.
        over_working_limit: the angle is past the working limit.
        within: tension within the tag; None without a tag.
    """

    angle: Radian
    tension: Pound
    rated: Pound | None
    over_working_limit: bool
    within: bool | None

    def to_dict(self) -> SlingJson:
        """Give the check for JSON, the angle in degrees."""
        return {
            "off_vertical_deg": math.degrees(self.angle),
            "tension_lb": self.tension,
            "rated_lb": self.rated,
            "over_working_limit": self.over_working_limit,
            "within": self.within,
        }


def check_sling(
    angle: Radian, tension: Pound, rated: Pound | None, *, allow_flat: bool = False
) -> SlingCheck:
    """Hold a leg against its tag and the limits of its angle.

    Args:
        angle: its angle off vertical [rad].
        tension: its tension [lb].
        rated: rated capacity on its tag in this hitch [lb]; None where nobody declared it.
        allow_flat: the user asked for legs past 45 deg off vertical.

    Returns:
        The check.

    Raises:
        InputError: a leg past 45 deg without being asked for, or past 60 deg at all.

    Source: B30.9.

    Example:
        >>> check_sling(math.radians(35.0), 610.0, 1000.0).over_working_limit
        True
    """
    limits = shipped("lifting")["sling"]
    degrees = math.degrees(angle) - 1e-9
    most = limits["never_deg"] if allow_flat else limits["refused_deg"]
    if degrees > most:
        what = "sling angle off vertical"
        asked = "" if allow_flat else ", or asked for with --flat-slings up to 60 deg"
        raise InputError.of(
            what, f"{degrees:.1f} deg", f"at most {most:.0f} deg: longer slings or a spreader{asked}"
        )
    return SlingCheck(
        angle=angle,
        tension=tension,
        rated=rated,
        over_working_limit=degrees > limits["working_limit_deg"],
        within=None if rated is None else not over(tension, rated),
    )
