"""The sums that govern a wall, each printed from the tree of what made it, so that a hand calculator gets the same."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TypedDict

import numpy as np
from attrs import evolve, frozen

from bracing.chain.along import along_sums
from bracing.chain.brace import BraceStrength
from bracing.chain.by_hand import ByHand, by_hand
from bracing.chain.evaluate import AT_REST, evaluate
from bracing.chain.link_sums import SHARE, LinkSums, RowDemand, couple_sums, link_sums, share_of, wind_sums
from bracing.chain.links import HIGHEST, Direction, Group, Link, LinkJson
from bracing.chain.model import ALIKE, SLIPS
from bracing.check import CheckResult, reached_at
from bracing.choosing import first_least, past_half, ranks, sorted_by, whole_down
from bracing.codes.gusts import clear_out_part, people_out_at
from bracing.panel.loads import people_along
from bracing.panel.weight import weight_sums
from bracing.results import HeaderJson, header
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.sources import beside
from bracing.sums import Known, Sum, arithmetic, leaves, parts, printed
from bracing.sums import written as n
from bracing.text.by_hand import (
    FROM,
    MOST_BY_HAND,
    ByHandJson,
    Demands,
    SolvedStateJson,
    SummedJson,
    by_hand_json,
    by_hand_lines,
    capital,
    demands_of,
    link_place,
    summed_lines,
    tributary_lines,
)
from bracing.text.check import first_lines, nothing_words, one_gone
from bracing.text.hand_check import hand_check
from bracing.text.page import Page
from bracing.text.quantities import ENGLISH, comes_to
from bracing.units import Mph

StepJson = TypedDict("StepJson", {
    "what": str, "equation": str, "sum": str, "value": float | None, "unit": str, "source": str,
})  # fmt: skip


@frozen
class Step:
    """One step.

    Attributes:
        what: what comes out, in words.
        sum: the arithmetic with numbers in it: × / + - ^, brackets, √( ), min( , ), max( , ), sin( °), cos( °),
            tan( °), exp( ).
        value: what comes out.
        unit: its unit, or "".
        source: the clause, or "".
        equation: the same in symbols, such as "p = q GCf", or "" of a value that is looked up.
    """

    what: str
    sum: str
    value: float
    unit: str = ""
    source: str = ""
    equation: str = ""

    @property
    def shown(self) -> str:
        """What comes out with its unit, as every screen prints it.

        Example:
            >>> Step("most it may carry", "1932 × 5.4375", 10505.25, "lb in").shown
            '10505.3 lb in'
        """
        value = past_half(self.value)
        digits = f"{value:.4g}" if abs(value) < 1000.0 else f"{value:.1f}"
        return f"{digits} {self.unit}".rstrip()

    def to_dict(self) -> StepJson:
        """Give the step as a JSON object."""
        value = self.value if math.isfinite(self.value) else None
        return {
            "what": self.what, "equation": self.equation, "sum": self.sum, "value": value, "unit": self.unit,
            "source": self.source,
        }  # fmt: skip


def steps_of(*made: float, unit: str = "") -> list[Step]:
    """Give the steps of sums: what each was made of first, with its own clause and those of what it was given.

    Args:
        made: the sums, what is worked out first before what is made of it.
        unit: of the last step, where its formula serves several.
    """
    steps = [_step(part) for part in parts(*made)]
    if unit:
        steps = [evolve(s, unit=unit) if s is steps[-1] or " or " in s.unit else s for s in steps]
    return steps


def _step(made: Sum) -> Step:
    if isinstance(made, Known):
        return Step(_words(made), n(made), float(made), "", made.source)
    assert made.of is not None
    said, given = printed(made.of), leaves(made)
    known = f": {'; '.join(dict.fromkeys(_words(leaf) for leaf in given))}" if given else ""
    clauses = dict.fromkeys((beside(said.source, said.how), *(leaf.source for leaf in given)))
    what = f"{said.words}, {said.symbol}{known}"
    equation = f"{said.symbol} = {said.expression}"
    return Step(what, arithmetic(made), float(made), said.unit, "; ".join(filter(None, clauses)), equation)


def _words(leaf: Known) -> str:
    return beside(leaf.words, leaf.how)


MOST_GUST: Mph = 120.0  # the envelope of use
_TracedKeys = TypedDict("_TracedKeys", {
    "sentence": Said, "steps": list[StepJson],
})  # fmt: skip


class TracedJson(LinkJson, _TracedKeys):
    """What `Traced` gives."""


NothingJson = TypedDict("NothingJson", {
    "link": str, "direction": Direction, "mark": str | None, "limit_gust_mph": float | None,
})  # fmt: skip
_TraceKeys = TypedDict("_TraceKeys", {
    "wall": str, "state": str, "gust_mph": float, "limit_gust_mph": int | None,
    "limit_gust_with_people_mph": int | None, "clear_out_gust_mph": int | None, "clear_out": list[StepJson],
    "verdict": Verdict | None, "weight": list[StepJson], "springs": list[StepJson], "wind": list[StepJson],
    "along": list[StepJson],
    "head_couple": list[StepJson],
    "links": list[TracedJson], "by_hand": ByHandJson | None,
    "states": list[SolvedStateJson], "summed": list[SummedJson], "never_reached": list[str],
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

    sentence: Said
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
        weight: from the tables to what the wall weighs.
        springs: how far each brace lets its head go, of those alike once, with the published slip and at its most.
        wind: from gust to the force on the wall.
        along: from gust to the force at its top along itself.
        head_couple: what the hardest-worked brace brings into its stud where heads are cut plumb.
        clear_out: what people put on the wall, and from the two limit gusts to the clear-out gust.
        links: the governing link of every kind, lowest limit gust first.
        by_hand: that of them which gives first of those braces have a part in, and its equations; None where none has.
        demands: what each is asked, summed from the loads and the brace forces.
        nothing: links that count for nothing, so that no gust loads them.
        untouched: the other kinds of link that no gust inside the envelope of use brings to their limit.
    """

    result: CheckResult
    gust: Mph
    weight: tuple[Step, ...]
    springs: tuple[Step, ...]
    wind: tuple[Step, ...]
    along: tuple[Step, ...]
    head_couple: tuple[Step, ...]
    clear_out: tuple[Step, ...]
    links: tuple[Traced, ...]
    by_hand: tuple[Link, ByHand] | None
    demands: Demands
    nothing: tuple[Link, ...]
    untouched: tuple[str, ...]

    @property
    def loose(self) -> tuple[str, ...]:
        """Directions in which the wall can still move."""
        return () if self.result.evaluation is None else self.result.evaluation.loose

    def to_dict(self) -> TraceJson:
        """Give it as a JSON object."""
        states, summed = self.demands.to_json()
        return {
            **header(self.result.job, "trace"), "wall": self.result.job.wall.name, "state": self.result.job.state,
            "gust_mph": self.gust,
            "limit_gust_mph": self.result.limit_whole,
            "limit_gust_with_people_mph": self.result.limit_with_people,
            "clear_out_gust_mph": self.result.clear_out, "clear_out": [step.to_dict() for step in self.clear_out],
            "verdict": self.result.verdict, "weight": [step.to_dict() for step in self.weight],
            "springs": [step.to_dict() for step in self.springs], "wind": [step.to_dict() for step in self.wind],
            "along": [step.to_dict() for step in self.along],
            "head_couple": [step.to_dict() for step in self.head_couple],
            "links": [link.to_dict() for link in self.links],
            "by_hand": None if self.by_hand is None else by_hand_json(*self.by_hand),
            "states": states, "summed": summed,
            "never_reached": list(self.untouched),
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
    every, kinds = _first_of_each_kind(groups, gust)
    nothing = tuple(link for link in result.evaluation.links if link.nothing and link.limit_gust >= HIGHEST)
    named = {each.link.link.forward for each in every} | {link.link.forward for link in nothing}
    shown = [each.one.limit_at or each.one.asked for each in every]
    hands = (
        (each.link, hand)
        for each, row in zip(every, shown, strict=True)
        if (hand := by_hand(result.evaluation.forces, each.link, row.at)) is not None
    )
    first = next(hands, None)
    wind = wind_sums(result.model, shown[0].at if shown else None, gust)
    return Trace(
        result=result, gust=gust,
        weight=tuple(steps_of(*weight_sums(result.job.wall))), springs=tuple(_springs(result.model.strengths)),
        wind=tuple(steps_of(*wind)), along=tuple(steps_of(*along_sums(result.model, gust))),
        head_couple=tuple(steps_of(*couple_sums(result.evaluation.forces, gust))),
        clear_out=tuple(_clear_out(result)),
        links=tuple(map(_traced, every)),
        by_hand=first, demands=demands_of(result.evaluation.forces, None if first is None else first[1], _asked(every)),
        nothing=nothing, untouched=tuple(name for name in kinds if name not in named),
    )  # fmt: skip


def _springs(braces: tuple[BraceStrength, ...]) -> Iterator[Step]:
    """How far each brace lets its head go, of those alike once, each value named by its braces."""
    alike: dict[tuple[float, float], list[str]] = {}
    for one in braces:
        alike.setdefault(one.give, []).append(one.brace.mark)
    told = set[Step]()
    for give, marks in alike.items():
        for value, slip in zip(give, SLIPS[:ALIKE], strict=True):
            *made, last = steps_of(value)
            yield from (step for step in made if step not in told)
            told |= set(made)
            yield evolve(last, what=f"{last.what}: {', '.join(marks)}, {slip}")


def _asked(every: list[_Governs]) -> Iterator[tuple[Group, Link, RowDemand]]:
    """Every link in the rows its steps tell: at the gust asked, and at its limit gust where another."""
    for each in every:
        asked, last = each.one.asked, each.one.limit_at
        same = last is not None and (
            each.group.use is not None or (asked.item, asked.row) == (last.item, last.row)
        )
        for row in (last,) if same else (asked, last):
            if row is not None:
                yield each.group, each.link, row


@frozen(eq=False)
class _Governs:
    """The governing link of a kind.

    Attributes:
        group: the links it is of.
        link: the link.
        one: its sums.
    """

    group: Group
    link: Link
    one: LinkSums


def _first_of_each_kind(groups: tuple[Group, ...], gust: Mph) -> tuple[list[_Governs], list[str]]:
    """The governing link of every kind, lowest limit gust first; and all kinds there are."""
    first: dict[str, tuple[Group, int, Link]] = {}
    kinds: list[str] = []
    for group in groups:
        name = group.link.forward
        kinds += [] if name in kinds else [name]
        found = _lowest(group, gust)
        if found is not None and (
            name not in first or first_least((first[name][2].limit_gust, found[1].limit_gust)) == 1
        ):
            first[name] = (group, *found)
    every = sorted_by(first.values(), lambda each: each[2].limit_gust)
    return [_Governs(group, link, link_sums(group, which, gust)) for group, which, link in every], kinds


def trace_of(groups: tuple[Group, ...], gust: Mph) -> tuple[Traced, ...]:
    """Trace the governing link of every kind of some chain, lowest limit gust first.

    Args:
        groups: its links, a kind at a time.
        gust: the gust demands are shown at [mph].
    """
    return tuple(map(_traced, _first_of_each_kind(groups, gust)[0]))


def traced_lines(links: tuple[Traced, ...], page: Page) -> list[str]:
    """Write links with their sums.

    Args:
        links: the links.
        page: how wide it is written.
    """
    lines = list[str]()
    for traced in links:
        lines += ["", *page.para(page.said(traced.sentence))]
        lines += page.para(page.said(traced.link.reason), indent=2) if traced.link.reason else []
        lines += _sums(traced.steps, page)
    return lines


def _clear_out(result: CheckResult) -> Iterator[Step]:
    """What people put on the wall, the link that gives first with them where that counts, and the clear-out gust."""
    if result.limits is None or result.model is None:
        return
    job, limits = result.job, result.limits
    yield from steps_of(people_along(job.site.top_load, job.wall.length))
    words = "limit gust with people on the wall and beside it"
    if limits.people_govern:
        first = evaluate(result.model.crowded, max(limits.with_people, AT_REST)).first
        words += (
            ""
            if first is None
            else f": {ENGLISH.said(link_place(first, first.link))}, {FROM[first.direction]}"
        )
    out = people_out_at(
        clear_out_part(),
        Known(whole_down(limits.limit), "limit gust as printed, nobody there", ""),
        Known(whole_down(limits.with_people), words, ""),
    )
    yield from steps_of(out)


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


def _traced(governs: _Governs) -> Traced:
    group, link, one = governs.group, governs.link, governs.one
    if group.use is not None:
        last = one.limit_at or one.asked
        steps = tuple(steps_of(*last.made))
        if group.unit != SHARE:
            steps = (*steps_of(one.capacity), *steps, steps_of(share_of(last.demand, one.capacity))[-1])
    else:
        steps = (*steps_of(one.capacity, unit=link.unit), *_demand(one, link.unit))
    what = link_place(link, capital(link.link))
    limit = Quantity(link.limit_gust, Kind.TENTH_GUST)
    sentence = Said("reaches-its-limit", what=what, limit=limit, wind=FROM[link.direction])
    return Traced(sentence, link, steps)


def _demand(one: LinkSums, unit: str) -> Iterator[Step]:
    """From the force the frame gives to the demand, its ratio, and the gust at which it is the capacity."""
    yield from steps_of(one.asked.demand, unit=unit)
    if isinstance(one.ratio, Sum) and one.ratio is not one.asked.demand:
        yield steps_of(one.ratio)[-1]
    if one.limit_at is None:
        return
    asked, last = one.asked, one.limit_at
    if (asked.item, asked.row) != (last.item, last.row):
        yield from steps_of(last.demand, unit=unit)
    yield steps_of(one.limit)[-1]


IN_US_UNITS = (
    "The sums are in the units their clauses are printed in, pounds, inches and miles an hour, for only so do their "
    "constants come out; under each stands what it comes to in metric units."
)


def in_us_units(trace: Trace, page: Page) -> str:
    """Say on a metric page why its sums are not; nothing on another.

    Args:
        trace: the trace.
        page: how it is written.
    """
    return f"{IN_US_UNITS} The gust in them is {trace.gust:.5g}." if page.metric else ""


def before_links(trace: Trace) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Give each part of a trace that stands before the links, if it has any sums, with its heading.

    Args:
        trace: the trace.
    """
    parts = (
        ("Weight of the wall, no stud doubled", trace.weight), ("Springs of the braces", trace.springs),
        ("Wind", trace.wind), ("Wind along the wall, end to end", trace.along),
        ("Couple a head cut plumb brings into its stud", trace.head_couple),
        ("Clear-out gust, people still about", trace.clear_out),
    )  # fmt: skip
    return ((title, steps) for title, steps in parts if steps)


def hand_lines(trace: Trace, page: Page) -> list[str]:
    """Write the equations of the states whose brace forces a trace needs, and every demand summed from them.

    Args:
        trace: the trace.
        page: how wide it is written.
    """
    lines = list[str]()
    if trace.by_hand is not None:
        link, hand = trace.by_hand
        name = page.said(link_place(link, link.link))
        lines += by_hand_lines(name, hand, gust=min(link.limit_gust, MOST_GUST), page=page)
        lines += tributary_lines(hand_check(trace.result), page) if len(hand.marks) > MOST_BY_HAND else []
    return lines + summed_lines(trace.demands, page)


def trace_page(result: CheckResult, trace: Trace | None, page: Page) -> str:
    """Write the trace of a wall.

    Args:
        result: the wall checked.
        trace: its trace; None beyond the envelope.
        page: how wide it is written.
    """
    lines = page.para(f"{result.job.wall.name}: {result.job.state}. Trace of the sums.")
    lines += first_lines(result.job, page)
    if trace is None:
        return "\n".join([*lines, *page.for_engineer(result.beyond, " No sums are given."), *page.cautions()])
    lines += page.para(
        'Forces "from the frame" are of the whole wall on its braces; the rest comes out the same on a hand '
        f"calculator. Sums at {page.asked(trace.gust)} unless a line says otherwise; the governing link of every kind, "
        "lowest gust first."
    )
    lines += page.para(in_us_units(trace, page))
    lines += page.para(one_gone(result, page).strip())
    lines += [line for title, steps in before_links(trace) for line in ("", title, *_sums(steps, page))]
    lines += traced_lines(trace.links, page)
    lines += hand_lines(trace, page)
    for words in nothing_words(trace.nothing, page, trace.loose):
        lines += ["", *page.para(f"{capital(words)}.")]
    if trace.untouched:
        lines += [
            "",
            *page.para(f"Not brought to its limit inside the envelope of use: {', '.join(trace.untouched)}."),
        ]
    return "\n".join([*lines, "", *page.cautions()])


def _sums(steps: tuple[Step, ...], page: Page) -> list[str]:
    lines = []
    for step in steps:
        clause = f"  [{step.source}]" if step.source else ""
        lines += page.para(f"{step.what}{clause}", indent=2)
        lines += page.para(f"{step.sum} = {step.shown}", indent=6)
        metric = comes_to(step.value, step.unit) if page.metric else ""
        lines += page.para(f"which is {metric}", indent=6) if metric else []
    return lines
