"""The foot while the wall goes up: how hard it is pushed sideways and pulled up, and what holds it.

Kick-out: the foot slides off the floor. See-saw: the foot lifts, because the line pulls below the centre of
gravity, the wind gets under the wall, or the machine takes all of it. Raised by hand, people push square to
the wall.
"""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import frozen

from bracing.choosing import greatest, over, whole_up
from bracing.lift.line import TiltBody, pull
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, shipped
from bracing.units import INCHES_PER_FOOT, Inch, Mph, Pound, Radian

DEGREES = tuple(range(0, 91, 5))

FootJson = TypedDict("FootJson", {
    "thrust_lb": float, "thrust_tilt_deg": float, "uplift_lb": float, "uplift_tilt_deg": float,
})  # fmt: skip
HandsJson = TypedDict("HandsJson", {
    "start_lb": float, "worst_lb": float, "worst_tilt_deg": float, "people": int, "foot": FootJson, "rules": list[Said],
    "by_hand": bool,
})  # fmt: skip
FootLinkJson = TypedDict("FootLinkJson", {
    "link": str, "demand_lb": float, "capacity_lb": float | None, "ratio": float | None, "within": bool | None,
})  # fmt: skip


@frozen
class FootDemand:
    """The worst the foot sees on the way up.

    Attributes:
        thrust: greatest level force on the foot, either way [lb].
        thrust_tilt: tilt where that is [rad].
        uplift: greatest force lifting the foot [lb]; 0 where it never lifts.
        uplift_tilt: tilt where that is [rad].
    """

    thrust: Pound
    thrust_tilt: Radian
    uplift: Pound
    uplift_tilt: Radian

    def to_dict(self) -> FootJson:
        """Give the demand for JSON, tilts in degrees."""
        return {
            "thrust_lb": self.thrust,
            "thrust_tilt_deg": math.degrees(self.thrust_tilt),
            "uplift_lb": self.uplift,
            "uplift_tilt_deg": math.degrees(self.uplift_tilt),
        }


def foot_by_machine(body: TiltBody, gust: Mph) -> FootDemand:
    """Envelope the foot over tilt, wind from either side, and the line off plumb either way.

    Past the tilt where a nearly plumb line has to carry more than the whole weight to hold the wind, the tag
    lines and braces hold it instead, and the foot carries the wind's own share.

    Args:
        body: the wall.
        gust: the gust the lift is planned for [mph].

    Returns:
        The worst thrust and uplift.

    Source: STATICS.

    Example:
        >>> foot_by_machine(TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0), 0.0).uplift
        0.0
    """
    off_plumb = math.radians(shipped("lifting")["lift"]["line_lean_deg"])
    thrusts, uplifts = [(0.0, 0.0)], [(0.0, 0.0)]
    for degrees in DEGREES:
        tilt = math.radians(degrees)
        for lean in (-off_plumb, 0.0, off_plumb):
            for from_outside in (True, False):
                found = pull(body, tilt, gust=gust, from_outside=from_outside, lean=lean)
                if found.line is None or (found.line > body.weight and body.pick_up > body.up):
                    wind = body.wind_force_per_mph2 * gust**2
                    thrusts.append((wind * math.sin(tilt) + body.weight * math.sin(off_plumb), tilt))
                    continue
                thrusts.append((abs(found.foot_out), tilt))
                uplifts.append((-found.foot_up, tilt))
    return FootDemand(*_worst(thrusts), *_worst(uplifts))


def _worst(pairs: list[tuple[Pound, Radian]]) -> tuple[Pound, Radian]:
    """The greatest force and its tilt; of the same the first tilt."""
    return greatest(pairs, lambda pair: pair[0])


@frozen
class HandRaise:
    """Raising by hand.

    Attributes:
        start: sum of the lifts at the head to get it off the floor [lb].
        worst: greatest sum of the pushes over tilt, hands no higher than they reach [lb].
        worst_tilt: tilt where that is [rad].
        people: people needed at the stated lift each, and by the published rule, the larger.
        foot: what the foot sees.
        rules: the published rules that apply to this height, each with its source.
        by_hand: the published rules allow raising it by hand.
    """

    start: Pound
    worst: Pound
    worst_tilt: Radian
    people: int
    foot: FootDemand
    rules: tuple[Said, ...]
    by_hand: bool

    def to_dict(self) -> HandsJson:
        """Give it for JSON."""
        return {
            "start_lb": self.start,
            "worst_lb": self.worst,
            "worst_tilt_deg": math.degrees(self.worst_tilt),
            "people": self.people,
            "foot": self.foot.to_dict(),
            "rules": list(self.rules),
            "by_hand": self.by_hand,
        }


def push_by_hand(body: TiltBody, tilt: Radian, reach: Inch) -> Pound:
    """Give the sum of pushes square to the wall that holds it at a tilt, hands as far up as they reach [lb].

    N = W lever/a, a the lesser of the head and reach/sin(tilt).

    Args:
        body: the wall; its pick is the head.
        tilt: from the floor [rad].
        reach: how high hands push above the floor [in].

    Returns:
        Sum of the pushes [lb].

    Source: STATICS.

    Example:
        >>> round(push_by_hand(TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0), 0.0, 78.0), 6)
        500.0
    """
    at = body.pick_up if math.sin(tilt) * body.pick_up <= reach else reach / math.sin(tilt)
    return max(0.0, body.weight * body.lever(tilt)) / at


def hand_raise(body: TiltBody, *, highest: Inch, length: Inch, lift_each: Pound, reach: Inch) -> HandRaise:
    """Say what raising by hand takes, and whether the published rules allow it.

    Args:
        body: the wall; its pick is the head.
        highest: highest point of the wall [in].
        length: length of the wall [in].
        lift_each: stated lift of one person [lb].
        reach: how high hands push [in].

    Returns:
        Forces, people, the foot, and the rules.

    Source: UTAH; NAVEDTRA.

    Example:
        >>> even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0)
        >>> hand_raise(even, highest=120.0, length=240.0, lift_each=50.0, reach=78.0).people
        10
    """
    rule = shipped("lifting")["hand"]
    pushes = [(push_by_hand(body, math.radians(d), reach), math.radians(d)) for d in DEGREES]
    worst, worst_tilt = _worst(pushes)
    start = pushes[0][0]
    each = shipped("lifting")["crew"]["feet_of_wall_each"] * INCHES_PER_FOOT
    people = max(whole_up(worst / lift_each), whole_up(length / each), 1)
    thrust = _worst([(n * math.sin(t), t) for n, t in pushes])
    uplift = _worst([(n * math.cos(t) - body.weight, t) for n, t in pushes])
    foot = FootDemand(*thrust, *(uplift if uplift[0] > 0.0 else (0.0, 0.0)))
    rules = [Said("one-person-for-each", stretch=Quantity(each, Kind.FEET), source=cite("NAVEDTRA"))]
    restrained = rule["restraint_from_ft"] * INCHES_PER_FOOT
    if highest >= restrained:
        rules.append(Said("restrain-first", height=Quantity(restrained, Kind.FEET), source=cite("UTAH")))
    machine = rule["machine_from_ft"] * INCHES_PER_FOOT
    too_high = highest >= machine
    if too_high:
        rules.append(Said("raise-by-machine", height=Quantity(machine, Kind.FEET), source=cite("UTAH")))
    return HandRaise(start, worst, worst_tilt, people, foot, tuple(rules), by_hand=not too_high)


@frozen
class FootHold:
    """One kind of thing that holds the foot.

    Attributes:
        kind: toe-nails, straps or stop blocks.
        count: how many.
        thrust_each: allowable level force of one [lb].
        uplift_each: allowable uplift of one [lb].
        source: where the allowables come from.
    """

    kind: str
    count: int
    thrust_each: Pound
    uplift_each: Pound
    source: str


@frozen
class FootLink:
    """One link of the foot.

    Attributes:
        link: "kick-out" or "see-saw".
        demand: greatest force on it [lb].
        capacity: sum of what is declared to hold it [lb].
    """

    link: str
    demand: Pound
    capacity: Pound

    @property
    def ratio(self) -> float | None:
        """Demand over capacity; None where nothing holds it."""
        return self.demand / self.capacity if self.capacity > 0.0 else None

    @property
    def within(self) -> bool:
        """Demand no greater than the capacity."""
        return not over(self.demand, self.capacity)

    def to_dict(self) -> FootLinkJson:
        """Give the link for JSON."""
        return {
            "link": self.link,
            "demand_lb": self.demand,
            "capacity_lb": self.capacity,
            "ratio": self.ratio,
            "within": self.within,
        }


def foot_links(demand: FootDemand, holds: tuple[FootHold, ...]) -> tuple[FootLink, FootLink]:
    """Hold the foot's demands against what is declared; unlike things are not added, the stiffest acts alone.

    Args:
        demand: the worst of the foot.
        holds: what holds it.

    Returns:
        Kick-out and see-saw.

    Source: STATICS.

    Example:
        >>> straps = FootHold("straps", 4, 300.0, 300.0, "report 1")
        >>> [link.within for link in foot_links(FootDemand(900.0, 0.0, 1500.0, 0.0), (straps,))]
        [True, False]
    """
    thrust = max((hold.count * hold.thrust_each for hold in holds), default=0.0)
    uplift = max((hold.count * hold.uplift_each for hold in holds), default=0.0)
    return FootLink("kick-out", demand.thrust, thrust), FootLink("see-saw", demand.uplift, uplift)
