"""The governing link of every kind: a plain sentence, then the sums from the frame's force to the limit gust."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypedDict

import numpy as np
from attrs import frozen

from bracing.chain.links import HIGHEST, Direction, Group, Link, LinkJson
from bracing.chain.told import Told, told, wind_told
from bracing.check import CheckResult, reached_at
from bracing.choosing import first_least, ranks, sorted_by
from bracing.results import HeaderJson, Verdict, header
from bracing.said import Said
from bracing.sums import Sum
from bracing.trace.steps import Step, StepJson, steps_of
from bracing.units import Mph, down, tape

MOST_GUST: Mph = 120.0  # the envelope of use
FROM = {
    "push": "outside, pushing the wall toward its braces",
    "pull": "the brace side, pulling the wall away",
}

_TracedKeys = TypedDict("_TracedKeys", {
    "sentence": str, "steps": list[StepJson],
})  # fmt: skip


class TracedJson(LinkJson, _TracedKeys):
    """What `Traced` gives."""


NothingJson = TypedDict("NothingJson", {
    "link": str, "direction": Direction, "mark": str | None, "limit_gust_mph": float | None,
})  # fmt: skip
_TraceKeys = TypedDict("_TraceKeys", {
    "wall": str, "state": str, "gust_mph": float, "limit_gust_mph": int | None, "clear_out_gust_mph": int | None,
    "verdict": Verdict | None, "wind": list[StepJson], "links": list[TracedJson], "never_reached": list[str],
    "count_for_nothing": list[NothingJson], "cautions": list[Said],
})  # fmt: skip


class TraceJson(HeaderJson, _TraceKeys):
    """What `Trace` gives."""


@frozen
class Traced:
    """One link traced.

    Attributes:
        sentence: what gives, where, with which wind, at what gust.
        link: the link.
        steps: from the force the frame gives, and what the link may carry, to the limit gust.
    """

    sentence: str
    link: Link
    steps: tuple[Step, ...]

    def to_dict(self) -> TracedJson:
        """Give it as a JSON object."""
        return {
            "sentence": self.sentence,
            **self.link.to_dict(),
            "steps": [step.to_dict() for step in self.steps],
        }


@frozen(eq=False)
class Trace:
    """The sums that govern a wall.

    Attributes:
        result: the wall checked.
        gust: the gust the pressures and demands are shown at [mph].
        wind: from gust to the force on the wall.
        links: the governing link of every kind, lowest limit gust first.
        nothing: links that count for nothing, so that no gust loads them.
        untouched: the other kinds of link that no gust inside the envelope of use brings to their limit.
    """

    result: CheckResult
    gust: Mph
    wind: tuple[Step, ...]
    links: tuple[Traced, ...]
    nothing: tuple[Link, ...]
    untouched: tuple[str, ...]

    @property
    def loose(self) -> tuple[str, ...]:
        """Directions in which the wall can still move."""
        return () if self.result.evaluation is None else self.result.evaluation.loose

    def to_dict(self) -> TraceJson:
        """Give it as a JSON object."""
        return {
            **header(self.result.job, "trace"), "wall": self.result.job.wall.name, "state": self.result.job.state,
            "gust_mph": self.gust,
            "limit_gust_mph": self.result.limit_whole, "clear_out_gust_mph": self.result.clear_out,
            "verdict": self.result.verdict, "wind": [step.to_dict() for step in self.wind],
            "links": [link.to_dict() for link in self.links], "never_reached": list(self.untouched),
            "count_for_nothing": [
                {"link": link.link, "direction": link.direction, "mark": link.mark,
                 "limit_gust_mph": reached_at(link, self.loose)}
                for link in self.nothing
            ],
            "cautions": self.result.to_dict()["cautions"],
        }  # fmt: skip


def trace(result: CheckResult) -> Trace | None:
    """Trace the governing link of every kind; None beyond the envelope.

    Args:
        result: the wall checked.
    """
    if result.model is None or result.evaluation is None:
        return None
    gust = result.evaluation.gust
    groups = result.evaluation.groups
    first: dict[str, tuple[Group, int, Link]] = {}
    kinds: list[str] = []
    for group in groups:
        name = group.link.removesuffix(", in reverse")
        kinds += [] if name in kinds else [name]
        found = _lowest(group, gust)
        if found is not None and (
            name not in first or first_least((first[name][2].limit_gust, found[1].limit_gust)) == 1
        ):
            first[name] = (group, *found)
    nothing = tuple(link for link in result.evaluation.links if link.nothing and link.limit_gust >= HIGHEST)
    named = {*first, *(link.link.removesuffix(", in reverse") for link in nothing)}
    every = sorted_by(first.values(), lambda each: each[2].limit_gust)
    ones = [told(group, which, gust) for group, which, _ in every]
    wind = wind_told(result.model, (ones[0].limit_at or ones[0].asked).at if ones else None, gust)
    return Trace(
        result=result, gust=gust,
        wind=tuple(steps_of(*wind)),
        links=tuple(_traced(*each, one) for each, one in zip(every, ones, strict=True)),
        nothing=nothing, untouched=tuple(name for name in kinds if name not in named),
    )  # fmt: skip


def _lowest(group: Group, gust: Mph) -> tuple[int, Link] | None:
    """Give the link of a group with the lowest limit gust, and which it is; None where none is ever reached.

    Of several with the same it is the one that is over most, as in the list of links.
    """
    links = group.links(gust)[: len(group.why)]  # those of the first direction
    if not links:
        return None
    which = int(
        np.lexsort((ranks([-link.ratio for link in links]), ranks([link.limit_gust for link in links])))[0]
    )
    return None if links[which].limit_gust > MOST_GUST else (which, links[which])


def _traced(group: Group, which: int, link: Link, one: Told) -> Traced:
    if group.use is not None:
        steps = tuple(steps_of(*(one.limit_at or one.asked).made))
    else:
        steps = (*steps_of(one.capacity, unit=link.unit), *_demand(one, link.unit))
    where = f" at {link.mark}" if link.mark else "" if link.x is None else f" at {tape(link.x)} from LEFT"
    at = "0 mph" if link.limit_gust <= 0.0 else f"{down(link.limit_gust, 1)} mph"
    what = f"{link.link[:1].upper()}{link.link[1:]}{where}"
    sentence = f"{what} reaches its limit at {at}, with wind from {FROM[link.direction]}."
    return Traced(sentence, link, steps)


def _demand(one: Told, unit: str) -> Iterator[Step]:
    """From the force the frame gives to the demand, its ratio, and the gust at which it is the capacity."""
    yield from steps_of(one.asked.demand, unit=unit)
    if isinstance(one.ratio, Sum):
        yield steps_of(one.ratio)[-1]
    if one.limit_at is None:
        return
    asked, last = one.asked, one.limit_at
    if (asked.item, asked.row) != (last.item, last.row):
        yield from steps_of(last.demand, unit=unit)
    yield steps_of(one.limit)[-1]
