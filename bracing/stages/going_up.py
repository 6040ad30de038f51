"""Going up: the limit and the clear-out gust after each brace, and what must be on before the hook comes off.

The one answer to when the hook may leave: `stages`, `layout`, `sheet` and `lift` read it here. People stand under
the wall when the hook comes off, so what counts is the clear-out gust. Tie rows run over all braces and go on last;
until then no brace has one.
"""

from __future__ import annotations

import math

from attrs import evolve, field, frozen

from bracing.chain.evaluate import keeping, limit_gust
from bracing.chain.model import build_model, with_job
from bracing.codes.gusts import clear_out_of, people_may_stay
from bracing.job.fasteners import fastener
from bracing.job.job import Job
from bracing.units import Mph, asked_gust
from bracing.units import gust as gust_text

DAY_GUST: Mph = 25.0  # gust of the day where none is asked
WHOLE = 1e-9
FULL_TIES = "fastened at every brace and run to a diagonal at both ends"
TIES_AFTER = "Tie rows and their diagonals count from when all of them are on, after the last brace."


@frozen
class Stage:
    """The wall with some of its braces up.

    Attributes:
        mark: the brace that is fully fastened last.
        limit: limit gust then, unrounded [mph].
        ties: tie rows that are on by then; each comes on after the last brace.
    """

    mark: str
    limit: Mph
    ties: int = 0

    @property
    def clear_out(self) -> int:
        """Clear-out gust then [mph]."""
        return clear_out_of(self.limit)

    @property
    def named(self) -> str:
        """What comes on last: the brace, or the tie rows."""
        return ties_named(self.ties) if self.ties else self.mark

    def to_dict(self) -> dict[str, object]:
        """Give it as JSON."""
        return {
            "after": self.mark, "tie_rows": self.ties, "limit_gust_mph": math.floor(self.limit + WHOLE),
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
    def needs(self) -> tuple[str, ...]:
        """What must be on before it comes off, in words; empty where it stays."""
        off = self.off_after
        if off is None:
            return ()
        marks = [brace.mark for brace in self.job.braces]
        up = ", ".join(marks[: marks.index(off.mark) + 1])
        braces = f"{up} fully {fully(self.job)} at head, cleat and floor"
        return (braces, ties_on(off.ties)) if off.ties else (braces,)

    def said(self, *, metric: bool = False) -> str:
        """Say it in one sentence.

        Args:
            metric: gusts in metres per second.
        """
        day = asked_gust(self.gust, metric=metric)
        if not self.stages:
            return f"The hook stays on: no brace is up, for any gust of the day ({day})."
        off = self.off_after
        if off is None:
            full = gust_text(self.stages[-1].clear_out, metric=metric)
            return f"The hook stays on, for a gust of the day of {day}: with all of it on the clear-out gust is {full}."
        then = gust_text(off.clear_out, metric=metric)
        is_on = "is on" if off.ties == 1 else "are on"
        ties = f" and {ties_named(off.ties)} {is_on}, {FULL_TIES}" if off.ties else ""
        so = f"Hook stays on until {off.mark} is fully {fully(self.job)}{ties}"
        return f"{so}, for gusts to {day} (clear-out then {then})."

    def to_dict(self) -> dict[str, object]:
        """Give what every answer says of it, as JSON."""
        return {"hook_stays_until": self.until, "hook_needs": list(self.needs)}


def going_up(job: Job, *, thunderstorm: bool = False) -> tuple[Stage, ...]:
    """Put a wall's braces up one after another, then the tie rows.

    Args:
        job: the wall, its braces in the order they go up, inside the envelope of use.
        thunderstorm: wind profile of an outflow.

    Returns:
        The wall after each brace without a tie row; where braces have them, once more with all tie rows on.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    bare = evolve(job, braces=tuple(evolve(brace, ties=0) for brace in job.braces))
    model = build_model(bare, thunderstorm=thunderstorm)
    marks = [brace.mark for brace in job.braces]
    stages = [Stage(mark, limit_gust(keeping(model, list(range(k + 1))))) for k, mark in enumerate(marks)]
    if ties_of(job):
        stages.append(Stage(marks[-1], limit_gust(with_job(model, job)), ties_of(job)))
    return tuple(stages)


def fully(job: Job) -> str:
    """Say how a brace is fastened at head and cleat: nailed, screwed, or fastened where both are used.

    Args:
        job: the job.
    """
    kinds = {
        fastener(name, job.fasteners).kind for name in (job.kit.head.fastener, job.kit.cleat.brace_fastener)
    }
    return "nailed" if kinds == {"nail"} else "screwed" if "nail" not in kinds else "fastened"


def ties_of(job: Job) -> int:
    """Give the tie rows across a job's braces.

    Args:
        job: the job.
    """
    return max((brace.ties for brace in job.braces), default=0)


def ties_named(ties: int) -> str:
    """Name tie rows by their number.

    Args:
        ties: how many.

    Example:
        >>> ties_named(1), ties_named(2)
        ('1 tie row', '2 tie rows')
    """
    return "1 tie row" if ties == 1 else f"{ties} tie rows"


def ties_on(ties: int) -> str:
    """Say what it takes for tie rows to count.

    Args:
        ties: how many.
    """
    return f"{ties_named(ties)} {FULL_TIES}"
