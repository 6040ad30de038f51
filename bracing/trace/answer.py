"""The governing link of every kind: a plain sentence, then the sums from the frame's force to the limit gust."""

from __future__ import annotations

import math
from typing import TypedDict

import numpy as np
from attrs import frozen

from bracing.chain.evaluate import groups_at
from bracing.chain.foot import Strength
from bracing.chain.links import HIGHEST, Direction, Group, Link, LinkJson, finite, may_carry
from bracing.chain.model import Model
from bracing.check import CheckResult, reached_at
from bracing.choosing import first_greatest, first_least, ranks, sorted_by
from bracing.results import HeaderJson, Verdict, header
from bracing.sources import cite
from bracing.trace.cases import Case
from bracing.trace.shared import shared_steps
from bracing.trace.steps import Step, StepJson, n, steps_of
from bracing.trace.wind import wind_steps
from bracing.units import Mph, down, tape

MOST_GUST: Mph = 120.0  # the envelope of use
FROM = {
    "push": "outside, pushing the wall toward its braces",
    "pull": "the brace side, pulling the wall away",
}
GAPS = {"closed": "nothing open under the wall", "open": "open under the wall"}

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
    "count_for_nothing": list[NothingJson], "cautions": list[str],
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
    _, groups = groups_at(result.model, gust)
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
    links = [_traced(result.model, *each, gust=gust) for each in first.values()]
    return Trace(
        result=result, gust=gust, wind=wind_steps(result),
        links=tuple(sorted_by(links, lambda each: each.link.limit_gust)),
        nothing=nothing, untouched=tuple(name for name in kinds if name not in named),
    )  # fmt: skip


def _lowest(group: Group, gust: Mph) -> tuple[int, Link] | None:
    """Give the item of a group with the lowest limit gust, and its link; None where none is ever reached.

    Of several with the same it is the one that is over most, as in the list of links.
    """
    if not len(group.capacity):
        return None
    limits = group.limits
    item = int(np.lexsort((ranks(-group.ratios(gust)), ranks(limits)))[0])
    if limits[item] > MOST_GUST:
        return None
    which = item
    if group.starts is not None:
        which = int(np.searchsorted(group.starts, item, side="right")) - 1
    demand, ratio = float(group.demands(gust)[item]), float(group.ratios(gust)[item])
    return item, Link(
        group.link, group.directions[0], group.marks[which], group.places[which], demand, may_carry(group, item),
        group.unit, ratio, float(limits[item]), group.source, group.why[which], group.known,
    )  # fmt: skip


def _traced(model: Model, group: Group, item: int, link: Link, *, gust: Mph) -> Traced:
    index = None
    if link.mark is not None:
        marks = [brace.mark for brace in model.job.braces]
        index = marks.index(link.mark)
    strength = None if index is None else _strength(model, index, link)
    case = Case(model, link, index, strength)
    if group.use is not None:
        steps = shared_steps(group, item, limit=link.limit_gust, gust=gust)
    else:
        steps = (*steps_of(link.capacity, unit=link.unit), *_demand_steps(case, group, item, gust))
    where = f" at {link.mark}" if link.mark else "" if link.x is None else f" at {tape(link.x)} from LEFT"
    at = "0 mph" if link.limit_gust <= 0.0 else f"{down(link.limit_gust, 1)} mph"
    what = f"{link.link[:1].upper()}{link.link[1:]}{where}"
    sentence = f"{what} reaches its limit at {at}, with wind from {FROM[link.direction]}."
    return Traced(sentence, link, steps)


def _strength(model: Model, index: int, link: Link) -> Strength | None:
    reverse = link.link.endswith(", in reverse")
    sense = link.direction
    if reverse:
        sense = "pull" if sense == "push" else "push"
    rows = getattr(model.strengths[index], sense)
    name = link.link.removesuffix(", in reverse")
    same = [s for s in rows if s.link == name and s.capacity == link.capacity]
    return same[0] if same else None


def worst_row(group: Group, item: int, gust: Mph) -> int:
    """Give the row (case and stiffness) that asks most of an item at a gust.

    Args:
        group: the links.
        item: which.
        gust: the gust [mph].
    """
    at = group.demand[:, item, 0] + group.demand[:, item, 1] * gust**2
    # One way, and short of its limit in every row, it is the row that gets nearest.
    size = at if group.one_way else np.abs(at)
    if group.allowance is not None:
        extra = group.allowance[:, min(item, group.allowance.shape[1] - 1)]
        size = size + extra[:, 0] + extra[:, 1] * gust**2
    return first_greatest(size)


def row_words(model: Model, row: int) -> str:
    """Say which case and which stiffness a row is.

    Args:
        model: the model.
        row: the row of a group; points of a stud repeat the rows.
    """
    case, gap, plates, slip = model.rows[row % len(model.rows)]
    return f"case {case}, {GAPS.get(gap, gap)}, {plates}, {slip}"


def _demand_steps(case: Case, group: Group, item: int, gust: Mph) -> tuple[Step, ...]:
    """From the force the frame gives to the demand, its ratio, and the gust at which it is the capacity."""
    link = case.link
    row = worst_row(group, item, max(link.limit_gust, 1.0))
    steady, wind = (float(v) for v in group.demand[row, item])
    sign = 1.0 if group.one_way or steady + wind * max(link.limit_gust, 1.0) ** 2 >= 0.0 else -1.0
    steady, wind = sign * steady, sign * wind
    if group.allowance is not None:
        extra = group.allowance[row, min(item, group.allowance.shape[1] - 1)]
        steady, wind = steady + float(extra[0]), wind + float(extra[1])
    demand = steady + wind * gust**2
    scale = case.strength.per_pound if case.strength is not None else 1.0
    steps = [
        Step(
            f"{'level force of the brace' if case.strength else 'demand'} at {n(gust)} mph, from the frame: steady "
            f"part and part per mph squared ({row_words(case.model, row)})",
            f"{n(steady / scale)} + {n(wind / scale)} × {n(gust)}^2", demand / scale,
            "lb" if case.strength else link.unit, cite("STATICS"),
        )
    ]  # fmt: skip
    if case.strength is not None and not math.isclose(scale, 1.0):
        steps.append(_scaled(case, demand, scale))
    if link.capacity > 0.0:
        steps.append(
            Step(
                "ratio: demand over what it may carry",
                f"{n(demand)} / {n(link.capacity)}",
                demand / link.capacity,
            )
        )
    if finite(link.limit_gust) and link.limit_gust > 0.0 and wind > 0.0:
        limit = math.sqrt(max(link.capacity - steady, 0.0) / wind)
        steps.append(
            Step(
                "gust at which the two are equal",
                f"√(({n(link.capacity)} - {n(steady)}) / {n(wind)})",
                limit,
                "mph",
            )
        )
    return tuple(steps)


def _scaled(case: Case, demand: float, scale: float) -> Step:
    """Turn the level force into the force of the joint: along the brace, upward, or a moment."""
    assert case.strength is not None
    brace = case.brace
    assert brace is not None
    level, angle = n(demand / scale), n(math.degrees(brace.angle))
    if math.isclose(scale, 1.0 / math.cos(brace.angle), rel_tol=1e-9):
        return Step("along the brace", f"{level} / cos({angle}°)", demand, "lb", cite("STATICS"))
    if math.isclose(scale, math.tan(brace.angle), rel_tol=1e-9):
        return Step("upward", f"{level} × tan({angle}°)", demand, "lb", cite("STATICS"))
    span = scale / math.tan(brace.angle)
    words = "moment: upward force at mid-span, a quarter of the span"
    return Step(words, f"{level} × tan({angle}°) × {n(span)}", demand, case.link.unit, cite("STATICS"))
