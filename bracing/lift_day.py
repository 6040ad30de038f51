"""The day of the lift: who does what, the zone, go or no-go, and what is on before the hook comes off."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.choosing import whole_up
from bracing.gusts import clear_zone
from bracing.lift_plan import LiftPlan
from bracing.sources import cite
from bracing.units import feet

FIRST_BRACES = 2  # live in push, as the layout asks of any wall

_ROLES: dict[int, tuple[str, ...]] = {
    2: (
        "operator: boom only, looks at nothing else",
        "leader: gives every signal, watches the foot, then fixes the first braces",
    ),
    3: (
        "operator: boom only, looks at nothing else",
        "leader: gives every signal, watches the foot",
        "bracer: tag line on the way up, then the first braces from inside",
    ),
    4: (
        "operator: boom only, looks at nothing else",
        "leader: gives every signal, watches the foot",
        "bracer 1: tag line at LEFT, then the first brace",
        "bracer 2: tag line at the right end, then the second brace",
    ),
}


@frozen
class DayPlan:
    """What the crew reads aloud before the lift.

    Attributes:
        roles: who does what.
        zone: where nobody stands, in words.
        go: what must all be true to start.
        stop: what stops the lift at once.
        unhook: what is on before the hook comes off.
    """

    roles: tuple[str, ...]
    zone: tuple[str, ...]
    go: tuple[str, ...]
    stop: tuple[str, ...]
    unhook: tuple[str, ...]

    def to_dict(self) -> dict[str, list[str]]:
        """Give it for JSON."""
        return {
            "roles": list(self.roles),
            "zone": list(self.zone),
            "go": list(self.go),
            "stop": list(self.stop),
            "unhook": list(self.unhook),
        }


def day_plan(plan: LiftPlan) -> DayPlan:
    """Write the day of a lift.

    Args:
        plan: the lift.

    Returns:
        Roles, zone, go and stop lists, and what is on before the hook comes off.

    Source: OSHA 1926.706 for the zone, 1926.251 for rigging; UTAH for people under the wall.
    """
    wall, floor, limit = plan.job.wall, plan.job.floor, plan.gusts.limit
    inside = feet(clear_zone(wall.highest))
    outside = feet(clear_zone(wall.highest, drop=floor.height_above_ground))
    people = max(2, min(4, plan.request.people))
    marks = ", ".join(brace.mark for brace in plan.job.braces[:FIRST_BRACES])
    named = f" ({marks})" if marks else ""
    return DayPlan(
        roles=_ROLES[people],
        zone=(
            f"{whole_up(inside)} ft inside, {whole_up(outside)} ft outside, and past both ends "
            f"({cite('OSHA')}.706)",
            f"nobody under the wall ({cite('UTAH')})",
        ),
        go=_go(plan, limit),
        stop=(
            f"a gust over {limit} mph on the meter, or thunder anywhere",
            "the foot moves, a sling slides, the line leans, or anyone calls stop",
            f"past {math.degrees(plan.past):.0f} deg it runs on to plumb by itself: ease in, tag lines tight",
        ),
        unhook=(
            f"the first {FIRST_BRACES} braces{named} fully fastened at head, cleat and floor",
            "those braces alone checked for the gust until the next ones are on: bracing check",
            "the plate fastened to the floor framing, and the line slack by choice, not by wind",
        ),
    )


def _go(plan: LiftPlan, limit: int) -> tuple[str, ...]:
    said = [
        f"forecast gust for the next two hours under {limit} mph, no thunderstorms",
        f"rigging tagged and looked over this shift ({cite('OSHA')}.251)",
        "first braces cut, heads hung on one fastener, feet marked on the floor",
        "foot held: " + (", ".join(f"{h.count} {h.kind}" for h in plan.holds) or "nothing declared: NO-GO"),
        "one person gives signals; everyone has said back what they do",
    ]
    if plan.path:
        said.append(
            "machine on firm level ground, back from edges and drops, chart of this attachment in the cab"
        )
    elif plan.request.machine is None:
        said.append("machine not declared here: read its chart at the reach, not the plate on the door")
    if plan.over:
        said.append(f"NO-GO as declared: {len(plan.over)} over, listed at the top")
    return tuple(said)
