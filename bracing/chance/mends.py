"""What each mend buys, by chance: rungs of a storm's ladder, one brace more, a walk that finds what was missed."""

from __future__ import annotations

from datetime import date
from typing import TypedDict

from attrs import frozen

from bracing.chance.answer import ChanceResult, Share, ShareJson, chance
from bracing.job.framing import frame_wall
from bracing.said import Said
from bracing.storm.ladder import WorstHour, add_brace, find_ladder
from bracing.units import Mph
from bracing.work.words import brace_words

MendJson = TypedDict("MendJson", {
    "done": list[Said], "minutes": float | None, "limit_gust_mph": int | None, "line": ShareJson | None,
    "missed": ShareJson | None,
})  # fmt: skip
MendsJson = TypedDict("MendsJson", {
    "walk": MendJson | None, "brace": MendJson | None, "rungs": list[MendJson], "why_not": str,
})  # fmt: skip


@frozen(eq=False)
class Mend:
    """One thing that can be done, and the chances after it.

    Attributes:
        done: what is done.
        minutes: for two people; None where that is not in the table.
        limit: limit gust after it, rounded down [mph].
        line: the line goes tonight, after it.
        missed: it goes, one joint in twenty missed.
    """

    done: tuple[Said, ...]
    minutes: float | None
    limit: int | None
    line: Share | None
    missed: Share | None

    def to_dict(self) -> MendJson:
        """Give it as JSON."""
        line, missed = (None if one is None else one.to_dict() for one in (self.line, self.missed))
        return {
            "done": list(self.done), "minutes": self.minutes, "limit_gust_mph": self.limit, "line": line,
            "missed": missed,
        }  # fmt: skip


@frozen(eq=False)
class Mends:
    """What can be done before tonight.

    Attributes:
        walk: a walk that finds every joint that was missed; None where tonight has no chance.
        brace: one brace more, where the widest gap is; None where none has a spot.
        rungs: the steps that bring the wall within at the gust asked, each after the ones before it.
        why_not: the link nothing mends; empty where the rungs do.
    """

    walk: Mend | None
    brace: Mend | None
    rungs: tuple[Mend, ...]
    why_not: str

    def to_dict(self) -> MendsJson:
        """Give them as JSON."""
        return {
            "walk": None if self.walk is None else self.walk.to_dict(),
            "brace": None if self.brace is None else self.brace.to_dict(),
            "rungs": [one.to_dict() for one in self.rungs], "why_not": self.why_not,
        }  # fmt: skip


def mends(result: ChanceResult, *, today: date, gust: Mph) -> Mends:
    """Give what each mend buys tonight.

    Args:
        result: the wall as it stands.
        today: the day asked.
        gust: the gust foretold [mph].
    """
    job = result.job
    if result.tonight is None or result.figures is None:
        return Mends(None, None, (), "")
    # A walk finds what was missed: after it the chance with joints missed is that of the line as drawn.
    walk = Mend(
        (Said("mend-walk"),), None, result.check.limit_whole, result.line_tonight, result.line_tonight
    )
    more = add_brace(job, frame_wall(job.wall))
    brace = None
    if more is not None:
        made = more.braces[-1]
        put_up = Said("add", mark=made.mark, brace=brace_words(more, made))
        brace = _after(chance(more, today=today, forecast=gust), (put_up,), job.kit.minutes.brace)
    ladder = find_ladder(job, WorstHour(gust, thunderstorm=False))
    rungs = tuple(
        _after(chance(step.job, today=today, forecast=gust), step.words, step.minutes)
        for step in ladder.steps
    )
    return Mends(walk, brace, rungs, ladder.why_not)


def _after(result: ChanceResult, done: tuple[Said, ...], minutes: float | None) -> Mend:
    return Mend(done, minutes, result.check.limit_whole, result.line_tonight, result.missed_tonight)
