"""The equations brace forces come from, and every traced demand summed from them, for whoever has a calculator."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypedDict

import numpy as np
from attrs import evolve, field, frozen

from bracing.chain.by_hand import Array, ByHand, State, equations_of
from bracing.chain.forces import DIRECTIONS, Forces
from bracing.chain.link_sums import GAPS, RowDemand
from bracing.chain.links import Direction, Group, Link
from bracing.chain.summed import Line, Share, Summing
from bracing.said import Kind, Quantity, Said
from bracing.sums import written
from bracing.text.hand_check import HandCheck
from bracing.text.page import Page
from bracing.text.quantities import comes_to
from bracing.units import INCHES_PER_FOOT, PSF_PER_PSI, Mph

FROM = {
    "push": "outside, pushing the wall toward its braces",
    "pull": "the brace side, pulling the wall away",
    "along": "either end, along the wall",
}
BY_HAND = "Brace forces of the governing case, to be solved by hand"
SUMMED = "Demand of the links above, summed by hand from the loads and the brace forces"
NO_SUM = (
    "No sum stands here where no brace has a part in what is asked, or the wall is not held from that side"
)
IN_IT = (
    "F what each head moves for a pound at each, k the brace's own spring, Z what each head moves in each motion that "
    "bends nothing, w what each moves under the loads alone, L what the loads do along each motion; w and L steady, "
    "and for V^2."
)
IN_SUMS = (
    "Each is what the loads give while the motions are held, and so much for each pound of R of each brace [statics, "
    "force method: every force in the panel is a straight line in the loads and in R]. Where a moment is summed, what "
    "stands before R is its lever arm in inches."
)
PER_1000, THOUSAND = "in/1000 lb", 1000.0
MOST_BY_HAND = 6  # braces whose equations a person solves, or a screen shows

SolvedStateJson = TypedDict("SolvedStateJson", {
    "direction": Direction, "case": str, "gap": str, "plates": str, "slip": str,
    "stiff": str | None, "marks": list[str], "working": list[bool], "flexibility_in_per_lb": list[list[float]],
    "give_in_per_lb": list[float], "motions": list[list[float]], "moved_in": list[list[float]],
    "work_lb": list[list[float]], "force_lb": list[list[float]],
})  # fmt: skip


class ByHandJson(SolvedStateJson):
    """The equations of the state that governs a link."""

    link: str
    mark: str | None


ShareJson = TypedDict("ShareJson", {
    "state": int, "per_lb": dict[str, float],
})  # fmt: skip
LineJson = TypedDict("LineJson", {
    "what": str, "unit": str, "loads": list[float], "shares": list[ShareJson], "total": list[float],
})  # fmt: skip
SummedJson = TypedDict("SummedJson", {
    "link": str, "mark": str | None, "x_ft": float | None, "direction": Direction, "gust_mph": float,
    "sums": list[LineJson],
})  # fmt: skip


def by_hand_json(link: Link, hand: ByHand) -> ByHandJson:
    """Give the equations of the state that governs a link as a JSON object.

    Args:
        link: the link.
        hand: the equations.
    """
    return {"link": link.link, "mark": link.mark, **_state_json(hand)}


def _state_json(hand: ByHand) -> SolvedStateJson:
    return {
        "direction": hand.direction, "case": hand.at.case, "gap": hand.at.gap,
        "plates": hand.at.plates, "slip": hand.slip, "stiff": hand.stiff, "marks": list(hand.marks),
        "working": list(hand.working), "flexibility_in_per_lb": hand.flexibility.tolist(),
        "give_in_per_lb": hand.give.tolist(), "motions": hand.motions.tolist(), "moved_in": hand.moved.tolist(),
        "work_lb": hand.work.tolist(), "force_lb": hand.force.tolist(),
    }  # fmt: skip


@frozen(eq=False)
class Summed:
    """What one link is asked at a gust, force by force.

    Attributes:
        link: the link.
        gust: the gust [mph].
        lines: its forces, each from loads and brace forces; none where no brace has a part in it.
    """

    link: Link
    gust: Mph
    lines: tuple[Line, ...]


@frozen(eq=False)
class Demands:
    """What every traced link is asked, summed; and the states whose brace forces the sums need.

    Attributes:
        states: direction and state of each, the governing one first.
        hands: the equations of each.
        links: the links, each at the gust asked or at its limit gust.
    """

    states: tuple[tuple[str, State], ...]
    hands: tuple[ByHand, ...] = field(repr=False)
    links: tuple[Summed, ...]

    def number(self, share: Share) -> int:
        """Give the number of the state whose brace forces a share is of, from 1.

        Args:
            share: the share.
        """
        return self.states.index((share.direction, share.state)) + 1

    def shares(self, line: Line) -> Iterator[tuple[int, dict[str, float]]]:
        """Give of each share of a force its state's number, and what stands before R of each brace with a part in it.

        Args:
            line: the force.
        """
        for share in line.shares:
            each = zip(self.hands[0].marks, share.per_pound.tolist(), strict=True)
            yield self.number(share), {mark: pounds for mark, pounds in each if pounds}

    def to_json(self) -> tuple[list[SolvedStateJson], list[SummedJson]]:
        """Give the states and the sums as JSON objects."""
        return [_state_json(hand) for hand in self.hands], [
            {
                "link": one.link.link, "mark": one.link.mark,
                "x_ft": None if one.link.x is None else one.link.x / INCHES_PER_FOOT, "direction": one.link.direction,
                "gust_mph": float(one.gust), "sums": [self._line_json(line, one.gust) for line in one.lines],
            }
            for one in self.links
            if one.lines
        ]  # fmt: skip

    def _line_json(self, line: Line, gust: Mph) -> LineJson:
        shares: list[ShareJson] = [{"state": state, "per_lb": terms} for state, terms in self.shares(line)]
        return {
            "what": force_words(line, gust), "unit": line.unit, "loads": line.loads.tolist(), "shares": shares,
            "total": line.total.tolist(),
        }  # fmt: skip


def demands_of(
    forces: tuple[Forces, Forces], first: ByHand | None, asked: Iterable[tuple[Group, Link, RowDemand]]
) -> Demands:
    """Sum what links are asked; nothing where there are more braces than a person solves for.

    Args:
        forces: push and pull, as solved.
        first: the equations of the governing state, the first of the states; None where there is none.
        asked: the links each is one of, itself, and which row asks it.
    """
    if first is None or len(first.marks) > MOST_BY_HAND:
        return Demands((), (), ())
    summing, states = Summing(forces), [(first.direction, first.state)]
    links = list[Summed]()
    for group, link, row in asked:
        lines = tuple(
            evolve(
                line, shares=tuple(_numbered(share, states, turned=forces[1].turned) for share in line.shares)
            )
            for line in summing.lines(group, link, row)
        )
        links.append(Summed(link, row.gust, lines))
    hands = tuple(equations_of(forces[DIRECTIONS.index(way)], state) for way, state in states)
    return Demands(tuple(states), hands, tuple(links))


def _numbered(share: Share, states: list[tuple[str, State]], *, turned: bool) -> Share:
    """The share with its state among those there are, which is put to them where it is not.

    Where the forces of one side are those of the other turned round, a state of one side serves both.
    """
    if (share.direction, share.state) in states:
        return share
    other = DIRECTIONS[1 - DIRECTIONS.index(share.direction)]
    if turned and (other, share.state) in states:
        return evolve(share, direction=other, per_pound=-share.per_pound)
    states.append((share.direction, share.state))
    return share


def by_hand_lines(name: str, hand: ByHand, *, gust: Mph, page: Page) -> list[str]:
    """Write the equations the brace forces of the governing state come from, and what they come to.

    Args:
        name: the link that governs and its place.
        hand: the equations.
        gust: the gust the forces are shown at [mph].
        page: how wide it is written.
    """
    lines = ["", *page.para(BY_HAND)]
    lines += page.para(
        f"State 1, that governs {name}: {state_words(hand)}. (F + 1/k) R - Z a = w and Z' R = L, force method "
        f"[statics]: {IN_IT}",
        indent=2,
    )
    if len(hand.marks) > MOST_BY_HAND:
        said = f"{len(hand.marks)} braces are more than are solved by hand: --json has the equations."
        return [*lines, *page.para(said, indent=2)]
    return [*lines, *_equations(hand, gust, page)]


def tributary_lines(hand: HandCheck | None, page: Page) -> list[str]:
    """Write the check by tributary width, brace by brace; nothing where there is none.

    Args:
        hand: the check.
        page: how wide it is written.
    """
    if hand is None:
        return []
    rows = zip(hand.marks, hand.widths, hand.by_hand, hand.grillage, strict=True)
    told = [
        f"{mark} takes {width / INCHES_PER_FOOT:.4g} ft: {by_hand:.4g} lb by hand, {frame:.4g} lb from the frame"
        for mark, width, by_hand, frame in rows
    ]
    by_hand, frame = hand.sums
    told += [f"All of them: {by_hand:.4g} lb by hand, {frame:.4g} lb from the frame ({'; '.join(hand.why)})"]
    pressure = f"{hand.pressure * PSF_PER_PSI:.4g} psf"
    lines = page.para(
        f"By tributary width, each brace holding the wall half-way to the next [statics, moments about the plate], of "
        f"case A, {pressure}, wind from {FROM['push']}; compare the sums. --model has the frame of the governing case.",
        indent=2,
    )
    return [*lines, *(line for each in told for line in page.para(each, indent=4))]


def state_words(hand: ByHand) -> str:
    """Say which state of the wall some equations are of.

    Args:
        hand: the equations.
    """
    where = f"{hand.at.case}, {GAPS[hand.at.gap]}, {hand.at.plates}, {hand.slip}"
    return f"{where}; wind from {FROM[hand.direction]}"


def idle_words(hand: ByHand) -> list[str]:
    """Say which braces have no part in some equations; nothing where all have.

    Args:
        hand: the equations.
    """
    idle = [mark for mark, works in zip(hand.marks, hand.working, strict=True) if not works]
    return [f"{', '.join(idle)} without a part in it: its row and column drop out."] if idle else []


def _equations(hand: ByHand, gust: Mph | None, page: Page, *, as_in: int | None = None) -> list[str]:
    """F, 1/k, Z, w, L and R of a state; F and Z only named where another state has them."""
    lines, motions = list[str](), [f"Z{k + 1}" for k in range(hand.motions.shape[1])]
    if as_in is None:
        lines += [f"  F, {PER_1000}:"]
        lines += _table(("", *hand.marks), hand.marks, THOUSAND * hand.flexibility, page=page)
        own = np.column_stack([THOUSAND * hand.give, hand.motions, hand.moved])
        lines += _table(("", f"1/k {PER_1000}", *motions, "w in", "w in/V^2"), hand.marks, own, page=page)
    else:
        lines += page.para(f"F and Z as in state {as_in}.", indent=2)
        own = np.column_stack([THOUSAND * hand.give, hand.moved])
        lines += _table(("", f"1/k {PER_1000}", "w in", "w in/V^2"), hand.marks, own, page=page)
    told = [
        f"L along {name}: {steady:.7g} + {rate:.7g} V^2 lb"
        for name, (steady, rate) in zip(motions, hand.work, strict=True)
    ]
    told += idle_words(hand)
    at_gust = [] if gust is None else hand.force_at(gust).tolist()
    for k, (mark, (steady, rate)) in enumerate(zip(hand.marks, hand.force, strict=True)):
        force = f" = {at_gust[k]:.4g} lb at {gust:.7g} mph" if gust is not None else " lb"
        metric = f", which is {comes_to(at_gust[k], 'lb')}" if page.metric and gust is not None else ""
        told.append(f"R {mark}: {steady:.7g} + {rate:.7g} V^2{force}{metric}")
    return [*lines, *(line for each in told for line in page.para(each, indent=2))]


def _table(head: tuple[str, ...], marks: tuple[str, ...], values: Array, *, page: Page) -> list[str]:
    """Numbers under their names, a brace a row; where the page is too narrow, each with its name."""
    rows = [
        head,
        *((mark, *(f"{each:.7g}" for each in row)) for mark, row in zip(marks, values, strict=True)),
    ]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = [
        f"    {'  '.join(cell.rjust(width) for cell, width in zip(row, widths, strict=True))}" for row in rows
    ]
    if max(map(len, lines)) <= page.width:
        return lines
    named = (
        f"{mark}: {', '.join(f'{name} {cell}' for name, cell in zip(head[1:], row, strict=True))}"
        for mark, *row in rows[1:]
    )
    return [line for each in named for line in page.para(each, indent=4)]


def summed_lines(demands: Demands, page: Page) -> list[str]:
    """Write what every traced link is asked, from the loads and the brace forces; and the states those are of.

    Args:
        demands: the sums.
        page: how wide it is written.
    """
    if not demands.links:
        return []
    lines = ["", *page.para(SUMMED)]
    lines += page.para(
        IN_SUMS,
        indent=2,
    )
    lines += [line for each in _others(demands, page) for line in each]
    for one in (each for each in demands.links if each.lines):
        lines += ["", *page.para(named(one, page), indent=2)]
        lines += [line for each in _sums(one, demands, page) for line in page.para(each, indent=6)]
    without = "; ".join(named(one, page) for one in demands.links if not one.lines)
    lines += ["", *page.para(f"{NO_SUM}: {without}.", indent=2)] if without else []
    return lines


def named(one: Summed, page: Page) -> str:
    """Say of what link a sum is, and with the wind from where.

    Args:
        one: the sum.
        page: how it is written.
    """
    return f"{page.said(link_place(one.link, capital(one.link.link)))}, wind from {FROM[one.link.direction]}"


def link_place(link: Link, name: str) -> Said | str:
    """Say of a link where it is.

    Args:
        link: the link.
        name: what it is called.
    """
    if link.mark:
        return Said("link-at-a-brace", link=name, mark=link.mark)
    return name if link.x is None else Said("link-at", link=name, at=Quantity(link.x, Kind.TAPE))


def capital(name: str) -> str:
    """Begin a name with a capital.

    Args:
        name: what it is called.

    Example:
        >>> capital("stud shear")
        'Stud shear'
    """
    return f"{name[:1].upper()}{name[1:]}"


def _others(demands: Demands, page: Page) -> Iterator[list[str]]:
    """The equations of every state but the first, which stands already."""
    for k, hand in enumerate(demands.hands):
        same = (j for j in range(k) if demands.hands[j].at.plates == hand.at.plates)
        if k:
            words = page.para(f"State {k + 1}: {state_words(hand)}.", indent=2)
            first = next(same, None)
            yield ["", *words, *_equations(hand, None, page, as_in=None if first is None else first + 1)]


def _sums(one: Summed, demands: Demands, page: Page) -> Iterator[str]:
    for line in one.lines:
        pieces = [in_the_gust(*line.loads.tolist())] if np.any(line.loads) else []
        for state, terms in demands.shares(line):
            several = " + ".join(f"{written(pounds)} R {mark}" for mark, pounds in terms.items())
            pieces.append(f"{several} of state {state}")
        steady, rate = line.total.tolist()
        alone = f" = {in_the_gust(steady, rate)}" if line.shares else ""
        value = float(steady + rate * one.gust**2)
        metric = comes_to(value, line.unit) if page.metric else ""
        came = f"{value:.7g} {line.unit} at {written(float(one.gust))} mph{f', which is {metric}' if metric else ''}"
        yield f"{force_words(line, one.gust)}: {' + '.join(pieces)}{alone} = {came}"


def in_the_gust(steady: float, rate: float) -> str:
    """Write a straight line in the gust squared.

    Args:
        steady: in calm air.
        rate: for each mph squared.

    Example:
        >>> in_the_gust(2.5, 0.125)
        '2.5 + 0.125 V^2'
    """
    return f"{written(steady)} + {written(rate)} V^2"


def force_words(line: Line, gust: Mph) -> str:
    """Say what a force is, without the row of the frame it is of.

    Args:
        line: the force.
        gust: the gust it is of [mph].
    """
    return line.words.partition(f"at {written(float(gust))} mph")[0].strip() or "demand"
