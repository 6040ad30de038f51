"""Before the first truss: what a wall must have, and how many of a row it holds as it is braced, people about."""

from __future__ import annotations

from typing import TypedDict

from attrs import evolve, frozen

from bracing.chain.evaluate import Evaluation, Limits, evaluate, limits
from bracing.chain.links import Link, LinkId
from bracing.chain.model import build_model
from bracing.choosing import whole_down
from bracing.codes.gusts import people_may_stay
from bracing.job.above import MOST_ABOVE, TIPPING, Above
from bracing.job.fields import with_value
from bracing.job.job import Job
from bracing.said import Kind, Quantity, Said, Term
from bracing.units import Mph

RowJson = TypedDict("RowJson", {
    "load": int, "kind": Said, "count": int, "most": int, "before_the_first": list[Said],
})  # fmt: skip
FromAboveJson = TypedDict("FromAboveJson", {
    "gust_mph": float, "limit_gust_mph": int, "clear_out_gust_mph": int, "rows": list[RowJson],
})  # fmt: skip


@frozen
class RowAbove:
    """A row of trusses or rafters that is to be set on a wall, or is.

    Attributes:
        index: which load of the wall's file, from 0.
        named: what it is of.
        count: how many are declared.
        most: how many the wall holds as it is braced, all else as declared, MOST_ABOVE at most.
        first: what the wall must have before the first; nothing where one is held.
    """

    index: int
    named: Said
    count: int
    most: int
    first: tuple[Said, ...]

    def to_dict(self) -> RowJson:
        """Give it as JSON."""
        return {
            "load": self.index, "kind": self.named, "count": self.count, "most": self.most,
            "before_the_first": list(self.first),
        }  # fmt: skip


@frozen
class FromAbove:
    """A wall with what is declared from above, at the gust of the day.

    Attributes:
        gust: gust of the day; where none was asked the one the hook takes [mph].
        limits: with all that is declared.
        rows: its rows of trusses and rafters.
    """

    gust: Mph
    limits: Limits
    rows: tuple[RowAbove, ...]

    def to_dict(self) -> FromAboveJson:
        """Give it as JSON."""
        return {
            "gust_mph": self.gust, "limit_gust_mph": whole_down(self.limits.limit),
            "clear_out_gust_mph": self.limits.clear_out, "rows": [row.to_dict() for row in self.rows],
        }  # fmt: skip


def from_above(job: Job, gust: Mph, *, thunderstorm: bool = False) -> FromAbove | None:
    """Say what a wall holds of what is declared from above; None where nothing is.

    Args:
        job: the wall, inside the envelope of use.
        gust: gust of the day [mph].
        thunderstorm: wind profile of an outflow.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    if not job.wall.above:
        return None
    rows = tuple(
        _row(job, k, one, gust, thunderstorm=thunderstorm)
        for k, one in enumerate(job.wall.above)
        if one.kind in TIPPING
    )
    return FromAbove(gust, limits(build_model(job, thunderstorm=thunderstorm)), rows)


def _with_count(job: Job, index: int, count: int) -> Job:
    return with_value(job, f"wall.load[{index}].count", count)


def _row(job: Job, index: int, one: Above, gust: Mph, *, thunderstorm: bool) -> RowAbove:
    def stays(count: int) -> bool:
        model = build_model(_with_count(job, index, count), thunderstorm=thunderstorm)
        return people_may_stay(limits(model).clear_out, gust)

    if not stays(1):
        return RowAbove(
            index, one.named, one.count, 0, _first(job, index, one, gust, thunderstorm=thunderstorm)
        )
    low, high = 1, 2
    while high <= MOST_ABOVE and stays(high):
        low, high = high, high * 2
    high = min(high, MOST_ABOVE + 1)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if stays(middle) else (low, middle)
    return RowAbove(index, one.named, one.count, low, ())


def _first(job: Job, index: int, one: Above, gust: Mph, *, thunderstorm: bool) -> tuple[Said, ...]:
    """What keeps the wall from taking the first: no tie, no brace, and the link that gives before the day's gust."""
    said = [Said("before-the-first-tie", what=one.named)] if evolve(one, count=1).untied else []
    if not job.braces:
        return (*said, Said("before-the-first-braces"))
    model = build_model(_with_count(job, index, 1), thunderstorm=thunderstorm)
    first = _gives_first(evaluate(model.crowded, gust))
    if first is not None and (first.ratio > 1.0 or not said):
        where: Said | str = "" if first.mark is None else Said("above-at-brace", mark=first.mark)
        day = Quantity(gust, Kind.ASKED)
        said.append(Said("before-the-first-link", link=Term(str(first.link)), where=where, day=day))
    return tuple(said)


def _gives_first(evaluation: Evaluation) -> Link | None:
    """What gives first but for the tie, which is said by itself."""
    groups = tuple(group for group in evaluation.groups if group.link is not LinkId.ROW_TIE)
    return evolve(evaluation, groups=groups).first
