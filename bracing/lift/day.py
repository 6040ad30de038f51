"""The day of the lift: who does what, the zone, go or no-go, and what is on before the hook comes off."""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import frozen

from bracing.choosing import whole_down
from bracing.codes.gusts import clear_zone
from bracing.job.envelope import beyond
from bracing.lift.plan import LiftPlan
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.stages.going_up import DAY_GUST, Hook, going_up

_OPERATOR, _LEADER = Said("operator"), Said("leader")
_ROLES: dict[int, tuple[Said, ...]] = {
    2: (_OPERATOR, Said("leader-and-bracer")),
    3: (_OPERATOR, _LEADER, Said("bracer")),
    4: (_OPERATOR, _LEADER, Said("bracer-at-left"), Said("bracer-at-right")),
}

DayJson = TypedDict("DayJson", {
    "roles": list[Said], "zone": list[Said], "go": list[Said], "stop": list[Said], "unhook": list[Said],
    "hook_stays_until": str | None,
})  # fmt: skip


@frozen
class DayPlan:
    """What the crew reads aloud before the lift.

    Attributes:
        roles: who does what.
        zone: where nobody stands.
        go: what must all be true to start.
        stop: what stops the lift at once.
        unhook: what is on before the hook comes off.
        hook_until: mark of the brace the hook stays on until; None where it stays.
    """

    roles: tuple[Said, ...]
    zone: tuple[Said, ...]
    go: tuple[Said, ...]
    stop: tuple[Said, ...]
    unhook: tuple[Said, ...]
    hook_until: str | None

    def to_dict(self) -> DayJson:
        """Give it for JSON."""
        return {
            "roles": list(self.roles),
            "zone": list(self.zone),
            "go": list(self.go),
            "stop": list(self.stop),
            "unhook": list(self.unhook),
            "hook_stays_until": self.hook_until,
        }


def day_plan(plan: LiftPlan) -> DayPlan:
    """Write the day of a lift.

    Args:
        plan: the lift.

    Returns:
        Roles, zone, go and stop lists, and what is on before the hook comes off.

    Source: OSHA 1926.706 for the zone, 1926.251 for rigging; UTAH for people under the wall.
    """
    wall, floor, limit = plan.job.wall, plan.job.floor, Quantity(plan.gusts.limit, Kind.GUST)
    inside = Quantity(clear_zone(wall.highest), Kind.FEET_UP)
    outside = Quantity(clear_zone(wall.highest, drop=floor.height_above_ground), Kind.FEET_UP)
    people = max(2, min(4, plan.request.people))
    hook = _hook(plan)
    return DayPlan(
        roles=_ROLES[people],
        zone=(
            Said("zone", inside=inside, outside=outside, source=cite("OSHA")),
            Said("nobody-under-it", source=cite("UTAH")),
        ),
        go=_go(plan, limit),
        stop=(
            Said("stop-for-gust", limit=limit),
            Said("stop-for-movement"),
            # Down, as in what is rigged for: nobody waits a degree too long.
            Said(
                "past-it-runs-on",
                tilt=Quantity(math.radians(whole_down(math.degrees(plan.past))), Kind.DEGREES),
            ),
        ),
        unhook=(_unhook(hook), Said("every-joint-full"), Said("plate-fastened")),
        hook_until=None if hook is None else hook.until,
    )


def _hook(plan: LiftPlan) -> Hook | None:
    """When the hook comes off, at the gust asked or the usual gust of the day; None past what this covers."""
    job = plan.job
    day = DAY_GUST if plan.request.gust is None else plan.request.gust
    return None if beyond(job, day) else Hook(job, day, going_up(job))


def _unhook(hook: Hook | None) -> Said:
    if hook is None:
        return Said("hook-stays-engineer")
    return hook.said if hook.stages else Said("hook-stays-no-brace")


def _go(plan: LiftPlan, limit: Quantity) -> tuple[Said, ...]:
    holds = tuple(f"{h.count} {h.kind}" for h in plan.holds)
    said = [
        Said("go-under-gust", limit=limit),
        Said("rigging-looked-over", source=cite("OSHA")),
        Said("first-braces-cut"),
        Said("foot-held", by=holds) if holds else Said("foot-not-held"),
        Said("one-person-signals"),
    ]
    if plan.path:
        said.append(Said("machine-on-firm-ground"))
    elif plan.request.machine is None:
        said.append(Said("machine-not-declared"))
    if plan.over:
        said.append(Said("no-go", count=len(plan.over)))
    return tuple(said)
