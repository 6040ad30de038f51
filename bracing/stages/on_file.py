"""What is said of a wall before any number: that no brace is on file, that it is not up; and which wall comes first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from bracing.choosing import sorted_by
from bracing.job.job import Job
from bracing.job.wall import LAID_DOWN
from bracing.said import Said, Verdict

WORST_FIRST = (Verdict.ENGINEER, Verdict.OVER, Verdict.WITHIN, Verdict.NOT_UP)
NO_MARGIN = -1.0
Item = TypeVar("Item")


def without_braces(job: Job) -> bool:
    """Whether a wall is up and its file has no brace: it comes before all others.

    Args:
        job: the wall as its file has it.
    """
    return job.wall.up and not job.braces


def said_first(job: Job, *, plan: Said | None = None) -> tuple[Said, ...]:
    """Say what stands before every number: not up, no braces on file, and that what follows is a plan.

    Args:
        job: the wall as its file has it.
        plan: what a layout that follows is for, such as a gust of 40 mph; None where none follows.

    Returns:
        A paragraph each; none of a wall that is up with its braces.
    """
    said = []
    if job.wall.state == LAID_DOWN:
        said.append(Said("laid-down", state=job.wall.state))
    elif not job.wall.up:
        said.append(Said("not-up", state=job.wall.state))
    if not job.braces:
        said.append(Said("no-brace-keeps") if job.wall.up else Said("no-brace-would-keep"))
    if plan is not None:
        said.append(Said("a-plan", plan=plan))
    return tuple(said)


def verdict_rank(verdict: str) -> int:
    """Give how bad a verdict is among those of several walls, 0 the worst.

    Args:
        verdict: within, over, engineer or not up; any other is as bad as the worst.
    """
    return WORST_FIRST.index(verdict) if verdict in WORST_FIRST else 0


WallAsked = tuple[
    Job, str | None, float | None
]  # a wall as its file has it, its verdict, its limit gust or margin


def worst_first(items: Iterable[Item], asked: Callable[[Item], WallAsked]) -> list[Item]:
    """Sort the walls of a job, on every screen that lists several.

    No braces on file; then an engineer's, over, within, each the least margin first, then by file name; last what is
    not up.

    Args:
        items: the walls, or what is said of them.
        asked: gives of one its job, its verdict (None where no gust was asked), and its limit gust or margin.
    """
    by_file = sorted(items, key=lambda item: asked(item)[0].file)
    return sorted_by(
        by_file,
        lambda item: _place(*asked(item)),
        lambda item: NO_MARGIN if asked(item)[2] is None else float(asked(item)[2] or 0.0),
    )


def _place(job: Job, verdict: str | None, margin: float | None) -> int:
    if without_braces(job):
        return -1
    if not job.wall.up:
        return verdict_rank(Verdict.NOT_UP)
    if verdict is None:
        return verdict_rank(Verdict.ENGINEER if margin is None else Verdict.OVER)
    return verdict_rank(verdict)
