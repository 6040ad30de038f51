"""Going up: the limit and the clear-out gust after each brace, and what must be on before the hook comes off.

The one answer to when the hook may leave: `stages`, `layout`, `sheet` and `lift` read it here. People stand under
the wall when the hook comes off, so what counts is the clear-out gust. Tie rows run over all braces and go on last;
until then no brace has one.
"""

from __future__ import annotations

import math
from typing import TypedDict

import numpy as np
from attrs import evolve, field, frozen

from bracing.chain.evaluate import Limited, Limits, limits, limits_of_each
from bracing.chain.model import build_model, nothing_above, with_job
from bracing.chain.returns import sides_held, with_corners
from bracing.codes.gusts import people_may_stay
from bracing.job.fasteners import fastener
from bracing.job.job import Job
from bracing.said import Kind, Quantity, Said
from bracing.units import Mph

DAY_GUST: Mph = 25.0  # gust of the day where none is asked
WHOLE = 1e-9

StageJson = TypedDict("StageJson", {
    "after": str, "tie_rows": int, "corners": bool, "limit_gust_mph": int, "limit_gust_with_people_mph": int,
    "clear_out_gust_mph": int,
})  # fmt: skip
HookJson = TypedDict("HookJson", {
    "hook_stays_until": str | None, "hook_needs": list[Said],
})  # fmt: skip


@frozen
class Stage(Limited):
    """The wall with some of its braces up.

    Attributes:
        mark: the brace that is fully fastened last.
        limits: limit gust then, and with people about, unrounded.
        ties: tie rows that come on last.
        tied: tie rows that were on before.
        corners: the corners of its returns are nailed, after all braces; until then its ends are free.
    """

    mark: str
    limits: Limits
    ties: int = 0
    tied: int = 0
    corners: bool = False

    @property
    def rows_on(self) -> int:
        """Tie rows that are on by then."""
        return max(self.ties, self.tied)

    @property
    def named(self) -> Said:
        """What comes on last: the brace, the tie rows, or the corners."""
        if self.corners:
            return Said("return-corners")
        return ties_named(self.ties) if self.ties else Said("brace-up", mark=self.mark)

    def to_dict(self) -> StageJson:
        """Give it as JSON."""
        return {
            "after": self.mark, "tie_rows": self.rows_on, "corners": self.corners,
            "limit_gust_mph": math.floor(self.limit + WHOLE),
            "limit_gust_with_people_mph": math.floor(self.limits.with_people + WHOLE),
            "clear_out_gust_mph": self.clear_out,
        }  # fmt: skip


@frozen(eq=False)
class Hook:
    """When the hook comes off.

    Attributes:
        job: the wall, its braces in the order they go up.
        gust: gust of the day [mph].
        stages: the wall after each brace, and after the tie rows.
    """

    job: Job = field(repr=False)
    gust: Mph
    stages: tuple[Stage, ...]

    @property
    def off_after(self) -> Stage | None:
        """The first stage from which on no clear-out gust is under the gust of the day; None where it stays."""
        enough = [people_may_stay(stage.clear_out, self.gust) for stage in self.stages]
        return next((stage for k, stage in enumerate(self.stages) if all(enough[k:])), None)

    @property
    def until(self) -> str | None:
        """Mark of the brace that is fully fastened before it comes off; None where it stays."""
        return None if self.off_after is None else self.off_after.mark

    @property
    def needs(self) -> tuple[Said, ...]:
        """What must be on before it comes off; empty where it stays."""
        off = self.off_after
        if off is None:
            return ()
        marks = [brace.mark for brace in self.job.braces]
        up = tuple(marks[: marks.index(off.mark) + 1])
        braces = Said("braces-fully-fastened", marks=up, fastened=fully(self.job))
        ties = (ties_on(off.rows_on),) if off.rows_on else ()
        return (braces, *ties, *((Said("return-corners-nailed"),) if off.corners else ()))

    @property
    def said(self) -> Said:
        """All of it in one sentence."""
        day, off = Quantity(self.gust, Kind.ASKED), self.off_after
        if not self.stages:
            return Said("hook-stays-bare", day=day)
        if off is None:
            return Said("hook-stays", day=day, full=Quantity(self.stages[-1].clear_out, Kind.GUST))
        then, fastened = Quantity(off.clear_out, Kind.GUST), fully(self.job)
        if off.corners:
            return Said("hook-off-corners", mark=off.mark, fastened=fastened, day=day, then=then)
        if off.rows_on == 0:
            return Said("hook-off", mark=off.mark, fastened=fastened, day=day, then=then)
        if off.rows_on == 1:
            return Said("hook-off-tie", mark=off.mark, fastened=fastened, day=day, then=then)
        return Said("hook-off-ties", mark=off.mark, fastened=fastened, ties=off.rows_on, day=day, then=then)

    def to_dict(self) -> HookJson:
        """Give what every answer says of it, as JSON."""
        return {"hook_stays_until": self.until, "hook_needs": list(self.needs)}


def going_up(job: Job, *, thunderstorm: bool = False) -> tuple[Stage, ...]:
    """Put a wall's braces up one after another, then the tie rows; nothing stands on it yet.

    Args:
        job: the wall, its braces in the order they go up, inside the envelope of use.
        thunderstorm: wind profile of an outflow.

    Returns:
        The wall after each brace, without a tie row up to the brace after which they come on; once more with all of
        them and their diagonals on; and after each brace from then on. Its ends are free in all of these; where a
        return holds one, once more with the corners nailed.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    job = nothing_above(job)
    free = with_corners(job)
    bare = evolve(free, braces=tuple(evolve(brace, ties=0) for brace in job.braces))
    model = build_model(bare, thunderstorm=thunderstorm)
    marks = [brace.mark for brace in job.braces]
    ties, last = job.tie_rows, after_brace(job)
    up = np.tri(len(marks), dtype=bool)  # after each brace those up to it
    each = limits_of_each(model, up[: last + 1])
    stages = [Stage(mark, found) for mark, found in zip(marks, each, strict=False)]
    if ties:
        whole = with_job(model, free)
        tied = limits_of_each(whole, up[last:])
        stages.append(Stage(marks[last], tied[0], ties))
        stages += [
            Stage(mark, found, tied=ties) for mark, found in zip(marks[last + 1 :], tied[1:], strict=True)
        ]
    if stages and sides_held(job):
        stages.append(
            Stage(marks[-1], limits(build_model(job, thunderstorm=thunderstorm)), tied=ties, corners=True)
        )
    return tuple(stages)


def after_brace(job: Job) -> int:
    """Give which brace tie rows come on after, in the order they go up: the last unless another is declared.

    Args:
        job: the job.
    """
    marks, said = [brace.mark for brace in job.braces], job.kit.tie.after
    return marks.index(said) if job.tie_rows and said in marks else len(marks) - 1


def fully(job: Job) -> Said:
    """Say how a brace is fastened at head and cleat: nailed, screwed, or fastened where both are used.

    Args:
        job: the job.
    """
    kinds = {
        fastener(name, job.fasteners).kind for name in (job.kit.head.fastener, job.kit.cleat.brace_fastener)
    }
    if "nail" not in kinds:
        return Said("screwed")
    return Said("nailed") if kinds == {"nail"} else Said("fastened")


def ties_named(ties: int) -> Said:
    """Name tie rows by their number.

    Args:
        ties: how many.
    """
    return Said("tie-row") if ties == 1 else Said("tie-rows", count=ties)


def ties_on(ties: int) -> Said:
    """Say what it takes for tie rows to count.

    Args:
        ties: how many.
    """
    return Said("ties-on", ties=ties_named(ties))
