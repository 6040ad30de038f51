"""`stages`: a wall from its first brace to its last: the limit gust after each, with each gone, and out again.

Every number is for the stage as it is, with what is declared; nothing that is still to come is counted.
"""

from __future__ import annotations

from typing import TypedDict

from attrs import field, frozen

from bracing.chain.evaluate import NONE, Limits, one_lost, one_missing
from bracing.chain.model import build_model
from bracing.choosing import Budget, sorted_by
from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.envelope import beyond
from bracing.job.fields import held_part, held_value
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.results import CAUTIONS, HeaderJson, by_mark, header, least_by_mark, unknown_said
from bracing.said import Said, Verdict
from bracing.stages.from_above import FromAbove, FromAboveJson, from_above
from bracing.stages.going_up import DAY_GUST, Hook, HookJson, Stage, StageJson, going_up
from bracing.stages.take_down import BUDGET, Kept, TakeDown, TakeDownJson, take_down
from bracing.units import Inch, Mph, PoundPerInch

GIVEN, MIDDLE = "given", "middle"
WHOLE = 1e-9

_StagesKeys = TypedDict("_StagesKeys", {
    "wall": str, "state": str, "verdict": Verdict | None, "gust_mph": float | None, "engineer": list[Said],
    "order": list[str], "stages": list[StageJson], "hook_stays_until": str | None, "hook_needs": list[Said],
    "one_missing_mph": dict[str, int], "one_lost_mph": dict[str, int], "matters_most": str | None,
    "take_down": TakeDownJson | None, "above": FromAboveJson | None,
    "cautions": list[Said],
})  # fmt: skip


class StagesJson(HeaderJson, _StagesKeys):
    """What `StagesResult` gives."""


@frozen(eq=False)
class StagesResult:
    """A wall through its stages.

    Attributes:
        job: the wall, its braces in the order they go up.
        gust: gust of the day; None where none was asked [mph].
        beyond: why the answer is "engineer".
        stages: after each brace, and after the tie rows.
        missing: limit gust with each brace gone, in that order [mph].
        lost: gust in which each may be lost, in that order [mph].
        take_down: which braces may come out after which event; None without a gust to keep.
        above: what it holds of what is declared from above; None where nothing is.
    """

    job: Job = field(repr=False)
    gust: Mph | None
    beyond: tuple[Said, ...]
    stages: tuple[Stage, ...]
    missing: tuple[Mph, ...]
    lost: tuple[Mph, ...]
    take_down: TakeDown | None
    above: FromAbove | None = None

    @property
    def limits(self) -> Limits:
        """Limit gust with every brace up and all that is declared from above, and with people about."""
        if self.above is not None:
            return self.above.limits
        return self.stages[-1].limits if self.stages else NONE

    @property
    def limit(self) -> Mph | None:
        """Limit gust with every brace up; None beyond the envelope [mph]."""
        return None if self.beyond else self.limits.limit

    @property
    def verdict(self) -> Verdict | None:
        """Within or unknown where the hook may leave at the gust of the day, else over; engineer; None with no gust."""
        if self.beyond:
            return Verdict.ENGINEER
        if self.gust is None:
            return None
        if self.hook_until is None:
            return Verdict.OVER
        return Verdict.UNKNOWN if unknown_said(self.job) else Verdict.WITHIN

    @property
    def hook(self) -> Hook | None:
        """When the hook comes off; None where no gust of the day was asked."""
        return None if self.gust is None else Hook(self.job, self.gust, self.stages)

    @property
    def hook_until(self) -> str | None:
        """Mark of the brace that is fully fastened before the hook comes off; None where it stays."""
        return None if self.hook is None else self.hook.until

    @property
    def matters_most(self) -> str | None:
        """Mark of the brace whose loss costs most; None without braces."""
        least = least_by_mark(self.job, self.missing)
        return least and least[1]

    def to_dict(self) -> StagesJson:
        """Give the result as JSON."""
        marks = [brace.mark for brace in self.job.braces]
        none: HookJson = {"hook_stays_until": None, "hook_needs": []}
        hook = none if self.hook is None else self.hook.to_dict()
        return {
            **header(self.job, "stages"),
            "wall": self.job.wall.name,
            "state": self.job.state,
            "verdict": self.verdict,
            "gust_mph": self.gust,
            "engineer": list(self.beyond),
            "order": marks,
            "stages": [stage.to_dict() for stage in self.stages],
            **hook,
            "one_missing_mph": by_mark(self.job, self.missing),
            "one_lost_mph": by_mark(self.job, self.lost),
            "matters_most": self.matters_most,
            "take_down": None if self.take_down is None else self.take_down.to_dict(),
            "above": None if self.above is None else self.above.to_dict(),
            "cautions": list(CAUTIONS),
        }


def stages(
    job: Job,
    *,
    gust: Mph | None = None,
    keep: Mph | Kept | None = None,
    deck: PoundPerInch | None = None,
    thunderstorm: bool = False,
    budget: float = BUDGET,
) -> StagesResult:
    """Take a wall through its stages.

    Args:
        job: the wall with all its braces, in the order they go up: as in the file, or as `in_order` gives them.
        gust: gust of the day, for the hook [mph].
        keep: the wind braces come out in, or its gust [mph]; the gust of the day unless given.
        deck: allowable level load of a deck nailed along the top [lb/in]; None where nobody declared it.
        thunderstorm: wind profile of an outflow.
        budget: time for the search of braces that may come out [s].

    Returns:
        The result.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    held_part(job, Job, "job")
    gust = held_value(gust, "speed", "gust", least=0.0)
    thunderstorm = held_value(thunderstorm, "flag", "thunderstorm")
    kept = keep if isinstance(keep, Kept) else None
    if kept is None:
        asked = held_value(keep, "speed", "keep", least=0.0)
        asked = gust if asked is None else asked
        kept = None if asked is None else Kept(asked, thunderstorm=thunderstorm)
    deck = held_value(deck, "line load", "deck", least=0.0)
    budget = held_value(budget, "time", "budget", least=0.0)
    outside = beyond(job, gust)
    if outside:
        return StagesResult(job, gust, outside, (), (), (), None)
    model = build_model(job, thunderstorm=thunderstorm)
    missing, down = one_missing(model), None
    if kept is not None:
        same = kept.thunderstorm == thunderstorm
        then = model if same else build_model(job, thunderstorm=kept.thunderstorm)
        down = take_down(then, kept, deck, clock=Budget(budget))
    return StagesResult(
        job=job,
        gust=gust,
        beyond=(),
        stages=going_up(job, thunderstorm=thunderstorm),
        missing=missing,
        lost=one_lost(model, missing),
        take_down=down,
        above=from_above(job, DAY_GUST if gust is None else gust, thunderstorm=thunderstorm),
    )


def in_order(job: Job, order: str) -> tuple[Brace, ...]:
    """Give the braces in the order they go up.

    Args:
        job: the wall.
        order: given, as in the file; middle, from the middle (or the peak) outward.

    Raises:
        InputError: no such order.
    """
    held_part(job, Job, "job")
    if order not in (GIVEN, MIDDLE):
        what = "--order"
        raise InputError.of(what, order, f"one of: {GIVEN}, {MIDDLE}")
    if order == GIVEN:
        return job.braces
    middle = start_of(job.wall)
    return tuple(
        sorted_by(job.braces, lambda brace: abs(brace.stud_at - middle), lambda brace: brace.stud_at)
    )


def start_of(wall: Wall) -> Inch:
    """Give where bracing starts: the peak, or the middle of a level or raked top [in].

    Args:
        wall: the wall.
    """
    peaks = [x for x, z in wall.top[1:-1] if z >= wall.highest - WHOLE]
    level = sum(z >= wall.highest - WHOLE for _, z in wall.top) > 1
    return peaks[0] if peaks and not level else wall.length / 2.0
