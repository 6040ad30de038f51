"""The day of the lift: who does what, the zone, go or no-go, and what is on before the hook comes off."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.choosing import whole_up
from bracing.codes.gusts import clear_zone
from bracing.job.envelope import beyond
from bracing.lift.plan import LiftPlan
from bracing.sources import cite
from bracing.stages.going_up import DAY_GUST, Hook, going_up
from bracing.units import feet

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
        hook_until: mark of the brace the hook stays on until; None where it stays.
    """

    roles: tuple[str, ...]
    zone: tuple[str, ...]
    go: tuple[str, ...]
    stop: tuple[str, ...]
    unhook: tuple[str, ...]
    hook_until: str | None

    def to_dict(self) -> dict[str, object]:
        """Give it for JSON."""
        return {
            "roles": list(self.roles),
            "zone": list(self.zone),
            "go": list(self.go),
            "stop": list(self.stop),
            "unhook": list(self.unhook),
            "hook_stays_until": self.hook_until,
        }


def day_plan(plan: LiftPlan, *, metric: bool = False) -> DayPlan:
    """Write the day of a lift.

    Args:
        plan: the lift.
        metric: the hook's gusts in metres per second.

    Returns:
        Roles, zone, go and stop lists, and what is on before the hook comes off.

    Source: OSHA 1926.706 for the zone, 1926.251 for rigging; UTAH for people under the wall.
    """
    wall, floor, limit = plan.job.wall, plan.job.floor, plan.gusts.limit
    inside = feet(clear_zone(wall.highest))
    outside = feet(clear_zone(wall.highest, drop=floor.height_above_ground))
    people = max(2, min(4, plan.request.people))
    hook = _hook(plan)
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
            _unhook(hook, metric=metric),
            "every joint of those full at head, cleat and floor; the wall after each brace: bracing stages",
            "the plate fastened to the floor framing, and the line slack by choice, not by wind",
        ),
        hook_until=None if hook is None else hook.until,
    )


def _hook(plan: LiftPlan) -> Hook | None:
    """When the hook comes off, at the gust asked or the usual gust of the day; None past what this covers."""
    job = plan.job
    day = DAY_GUST if plan.request.gust is None else plan.request.gust
    return None if beyond(job, day) else Hook(job, day, going_up(job))


def _unhook(hook: Hook | None, *, metric: bool) -> str:
    if hook is None:
        return "for an engineer: no number of these braces is worked out, so the hook stays on"
    if not hook.stages:
        return (
            "no brace is in the file, so the hook stays on: bracing layout says which, and when it comes off"
        )
    return hook.said(metric=metric)


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
