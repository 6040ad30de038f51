"""A wall on its way up: the pull of the line, the share of the foot, and what wind does to both.

The wall turns about the inside lower edge of its plate. A point `up` the wall and `behind` its inside face
is, at a tilt from the floor, at up cos - behind sin toward the house and up sin + behind cos above the floor.
The line hangs from a hook; it can only pull. Wind acts square to the face, from outside (it lays the wall
back down) or from inside (it takes the wall out of the line's hands).
"""

from __future__ import annotations

import math

from attrs import frozen

from bracing.choosing import first_least, whole_down
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.units import Inch, InchPound, Mph, Pound, Radian

NO_LEVER: Inch = 0.5  # a line with less lever than this holds nothing


@frozen
class TiltBody:
    """The wall as one stiff body on its hinge.

    Attributes:
        weight: its weight [lb].
        up: its centre of gravity up the wall [in].
        behind: its centre of gravity behind the inside face [in].
        pick_up: where the line pulls, up the wall [in].
        pick_behind: where the line pulls, behind the inside face [in].
        wind_moment_per_mph2: moment of the wind about the plate per gust squared [lb in/mph^2].
        wind_force_per_mph2: wind on the face per gust squared [lb/mph^2].
    """

    weight: Pound
    up: Inch
    behind: Inch
    pick_up: Inch
    pick_behind: Inch
    wind_moment_per_mph2: float
    wind_force_per_mph2: float

    def lever(self, tilt: Radian) -> Inch:
        """Lever of the weight about the hinge [in]; negative past the centre.

        Args:
            tilt: from the floor [rad].
        """
        return self.up * math.cos(tilt) - self.behind * math.sin(tilt)

    def pick_lever(self, tilt: Radian, lean: Radian = 0.0) -> Inch:
        """Lever of a pull along the line about the hinge [in].

        Args:
            tilt: from the floor [rad].
            lean: line off plumb, positive pulling outward [rad].
        """
        level = self.pick_up * math.cos(tilt) - self.pick_behind * math.sin(tilt)
        high = self.pick_up * math.sin(tilt) + self.pick_behind * math.cos(tilt)
        return level * math.cos(lean) + high * math.sin(lean)


@frozen
class Pull:
    """What holds the wall at one tilt.

    Attributes:
        line: pull of the line [lb]; 0 where it is slack; None where a line this plumb has no lever.
        foot_up: what the floor gives the foot upward [lb]; negative: the foot wants to leave the floor.
        foot_out: what the floor gives the foot, level, outward away from the house [lb].
    """

    line: Pound | None
    foot_up: Pound
    foot_out: Pound


def pull(
    body: TiltBody, tilt: Radian, *, gust: Mph = 0.0, from_outside: bool = True, lean: Radian = 0.0
) -> Pull:
    """Balance the wall at one tilt: moments about the hinge give the line, forces give the foot.

    T = (W lever ± M_wind)/pick lever.

    Args:
        body: the wall.
        tilt: from the floor [rad].
        gust: gust on it [mph].
        from_outside: wind from outside, which lays the wall down; otherwise from inside, which lifts it.
        lean: line off plumb, positive pulling outward [rad].

    Returns:
        The line and the foot.

    Source: STATICS.

    Example:
        >>> even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0)
        >>> pull(even, 0.0)
        Pull(line=500.0, foot_up=500.0, foot_out=0.0)
    """
    side = 1.0 if from_outside else -1.0
    wind = side * body.wind_force_per_mph2 * gust**2
    moment = body.weight * body.lever(tilt) + side * body.wind_moment_per_mph2 * gust**2
    lever = body.pick_lever(tilt, lean)
    line: Pound | None = 0.0
    if moment > 0.0:
        line = moment / lever if lever > NO_LEVER else None
    held = line or 0.0
    # Wind from outside pushes the wall toward the house and down: (sin, -cos) of the tilt.
    foot_up = body.weight - held * math.cos(lean) + wind * math.cos(tilt)
    foot_out = wind * math.sin(tilt) - held * math.sin(lean)
    return Pull(line, foot_up, foot_out)


def past_centre(body: TiltBody) -> Radian:
    """Give the tilt at which the centre of gravity passes over the hinge, atan(up/behind) [rad].

    Args:
        body: the wall.

    Returns:
        Tilt from the floor [rad]; beyond it the wall runs on to plumb by itself.

    Source: STATICS.

    Example:
        >>> round(math.degrees(past_centre(TiltBody(1000.0, 60.0, 3.0, 120.0, 3.0, 0.0, 0.0))), 1)
        87.1
    """
    return math.atan2(body.up, body.behind)


def slack_tilt(body: TiltBody, gust: Mph) -> Radian:
    """Give the tilt beyond which a gust from inside slacks the line [rad].

    cos(tilt) = p A/W for an even thin wall; with its thickness W r cos(tilt + psi) = M_wind, r and psi those
    of the centre of gravity about the hinge.

    Args:
        body: the wall.
        gust: the gust [mph].

    Returns:
        Tilt from the floor [rad]; 0 where the gust lifts it off the floor by itself.

    Source: STATICS.

    Example:
        >>> even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25)  # p A = 500 lb at 20 mph
        >>> round(math.degrees(slack_tilt(even, 20.0)), 6)
        60.0
    """
    radius, psi = math.hypot(body.up, body.behind), math.atan2(body.behind, body.up)
    ratio = body.wind_moment_per_mph2 * gust**2 / (body.weight * radius)
    return max(0.0, math.acos(ratio) - psi) if ratio < 1.0 else 0.0


def slack_gust(body: TiltBody, tilt: Radian) -> Mph:
    """Give the gust from inside that slacks the line at a tilt [mph].

    Args:
        body: the wall.
        tilt: from the floor [rad].

    Returns:
        The gust [mph]; 0 past the centre.

    Source: STATICS.

    Example:
        >>> even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25)
        >>> round(slack_gust(even, math.radians(60.0)), 6)
        20.0
    """
    return math.sqrt(max(0.0, body.weight * body.lever(tilt) / body.wind_moment_per_mph2))


def tag_line_pull(body: TiltBody, gust: Mph, height: Inch) -> Pound:
    """Give the level pull of all tag lines together that holds the wall at plumb in a gust [lb].

    Args:
        body: the wall.
        gust: the gust [mph].
        height: where the tag lines are tied, up the wall [in].

    Returns:
        Sum of the level pulls [lb].

    Source: STATICS.

    Example:
        >>> even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25)
        >>> tag_line_pull(even, 20.0, 120.0)
        250.0
    """
    moment: InchPound = body.wind_moment_per_mph2 * gust**2
    return moment / height


@frozen
class LiftGust:
    """The gust up to which this wall may be lifted, the least of three.

    Attributes:
        practice: the published practice [mph].
        slack: the gust that slacks the line below the stated tilt [mph].
        tag_lines: the gust the declared tag lines hold at plumb [mph]; None where none are declared.
    """

    practice: Mph
    slack: Mph
    tag_lines: Mph | None

    @property
    def limit(self) -> int:
        """The least of them, rounded down [mph]."""
        held = math.inf if self.tag_lines is None else self.tag_lines
        return whole_down(min(self.practice, self.slack, held))

    @property
    def gives_first(self) -> Said:
        """Which of them is least."""
        gusts = (math.inf if self.tag_lines is None else self.tag_lines, self.slack, self.practice)
        return (
            Said("tag-lines-at-plumb"),
            Said(
                "line-going-slack",
                tilt=Quantity(math.radians(shipped("lifting")["lift"]["slack_tilt_deg"]), Kind.DEGREES),
            ),
            Said("practice-for-tall-walls"),
        )[first_least(gusts)]


def lift_gust(body: TiltBody, *, tag_height: Inch, tag_pull: Pound | None = None) -> LiftGust:
    """Find the gust up to which the wall may be lifted.

    Args:
        body: the wall.
        tag_height: where the tag lines are tied, up the wall [in].
        tag_pull: level pull all tag lines together hold [lb]; None where nobody declared it.

    Returns:
        The three gusts; the limit is the least.

    Source: JUDGEMENT, the stated tilt; PRACTICE, the published builder's rule.

    Example:
        >>> lift_gust(TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25), tag_height=120.0).limit
        14
    """
    stated = shipped("lifting")["lift"]
    held = None
    if tag_pull is not None:
        held = math.sqrt(tag_pull * tag_height / body.wind_moment_per_mph2)
    return LiftGust(
        practice=shipped("lifting")["practice"]["gust_mph"],
        slack=slack_gust(body, math.radians(stated["slack_tilt_deg"])),
        tag_lines=held,
    )


def rig_for(weight: Pound, dynamic: float) -> Pound:
    """Give the load to rig for: the whole weight and its dynamic part [lb].

    The foot may leave the floor at any tilt, when the boom goes up faster than in; then all of it hangs.

    Args:
        weight: weight of the wall [lb].
        dynamic: dynamic part [-].

    Returns:
        The load [lb].

    Source: JUDGEMENT, the dynamic part.

    Example:
        >>> rig_for(1000.0, 0.25)
        1250.0
    """
    return weight * (1.0 + dynamic)
