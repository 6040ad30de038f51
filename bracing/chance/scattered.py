"""The chain once more, at median strengths: of every link its ratio as a straight line in the gust squared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.evaluate import all_two_way, evaluate, limit_gust, without
from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import LinkId, row_ratios
from bracing.chain.model import Model, build_model
from bracing.chain.room import counted
from bracing.codes.chance import log_scatter, median_over_mean, scatter_of_joint
from bracing.codes.medians import (
    STEP,
    Medians,
    Strength,
    kind_drawn,
    mean_of_stick,
    scatter_as_pulled,
    scatter_of,
)
from bracing.codes.pulls import counted as counted_pulls
from bracing.job.brace import Brace, JointId
from bracing.job.fasteners import fastener
from bracing.job.job import Job
from bracing.job.pulls import PullTest
from bracing.sources import shipped
from bracing.units import Inch, Mph, Pound

Array = NDArray[np.float64]
Key = tuple[str, str]  # direction, and the name of the link

PARTS = (0.4, 0.6, 0.85, 1.2, 1.7, 2.4, 3.4)  # of the limit gust: where ratios are read
KEPT = 9  # digits of a line: what two machines differ by in solving a wall is far under them
HANGS_ON = 0.1  # a link that is moved by less of a strength hangs on none that scatters
HIGHEST_READ: Mph = 390.0  # nothing is read past this
READ_OF_ONE = 2  # a line is drawn through so many readings of a link

# The links of one brace: where one is past its strength, the others take what it held.
OF_A_BRACE = frozenset(
    link
    for link in (
        LinkId.HEAD_JOINT, LinkId.HEAD_BEARING, LinkId.BRACE_PUSHED, LinkId.BRACE_PULLED, LinkId.BRACE_TO_CLEAT,
        LinkId.CLEAT_BENDING, LinkId.CLEAT_TO_FLOOR, LinkId.FOOT_TO_GROUND, LinkId.PANEL_TO_JOISTS, LinkId.BLOCK_ENDS,
        LinkId.CROSS_CLEAT, LinkId.CROSS_CLEAT_BENDING, LinkId.JOIST, LinkId.TIE_AT_BRACE,
    )
)  # fmt: skip
ACROSS_GRAIN = (LinkId.PLATE_GRAIN, LinkId.RETURN_GRAIN)
JOINT_OF = {
    LinkId.HEAD_JOINT: JointId.HEAD, LinkId.BRACE_TO_CLEAT: JointId.CLEAT, LinkId.CLEAT_TO_FLOOR: JointId.FLOOR,
}  # fmt: skip


@frozen
class Pulled:
    """What a pull test says of the fasteners it was made with.

    Attributes:
        test: the test.
        mean: of the pulls [lb].
        scatter: coefficient of variation of the next one [-].
        kind: of strength.
    """

    test: PullTest
    mean: Pound
    scatter: float
    kind: Strength


@frozen
class Scattered:
    """One link at its median strength, with the wind from one side.

    Attributes:
        link: what it is, whichever way it is worked.
        mark: the brace it belongs to, or None.
        x: place from LEFT, or None where it is the whole wall [in].
        steady: ratio that no wind makes, s; under 0 where weight helps [-].
        rate: ratio for each mph squared, a [1/mph^2].
        kind: of strength it hangs on most.
        fasteners: how many share it [-].
        pulled: what a pull test says of it; None where none does.
    """

    link: LinkId
    mark: str | None
    x: Inch | None
    steady: float
    rate: float
    kind: Strength
    fasteners: int
    pulled: Pulled | None = None

    @property
    def name(self) -> str:
        """Its name, of which its own strength is drawn."""
        return name_of(self.link, self.mark, self.x)

    @property
    def scatter(self) -> float:
        """Coefficient of variation of its strength alone [-]."""
        one = scatter_of(self.kind) if self.pulled is None else self.pulled.scatter
        return scatter_of_joint(one, self.fasteners) if self.kind.of_joint else one

    @cached_property
    def shares(self) -> tuple[float, float, float]:
        """Standard deviation of the logarithm of strength: its own, of its kind, of its crew; none of a typed value."""
        if self.kind is Strength.TYPED:
            return 0.0, 0.0, 0.0
        table = shipped("chance")
        crew = table["crew"]["joints"] if self.kind.of_joint else 0.0
        return log_scatter(self.scatter), table["correlation"]["kind"], crew

    @property
    def spread(self) -> float:
        """Standard deviation of the logarithm of strength, all of it [-]."""
        return float(np.sqrt(sum(part**2 for part in self.shares)))

    @property
    def of_brace(self) -> bool:
        """Whether past its strength its brace is gone, and not the wall."""
        return self.mark is not None and self.link in OF_A_BRACE


def name_of(link: LinkId, mark: str | None, x: Inch | None) -> str:
    """Name a link: the same with one brace gone, and whichever side the wind comes from.

    Args:
        link: what it is.
        mark: the brace it belongs to, or None.
        x: place from LEFT, or None [in].

    Example:
        >>> name_of(LinkId.HEAD_JOINT_REVERSED, "B1", 48.0)
        'head joint/B1/48.000'
    """
    return "/".join((link.forward, mark or "", "" if x is None else f"{x:.3f}"))


@frozen(eq=False)
class Sides:
    """The links of a wall, or of it with a brace gone, with the wind from either side.

    Attributes:
        links: by direction; None where the wall can move, or a link holds nothing in any wind: it is down.
    """

    links: Mapping[str, tuple[Scattered, ...] | None]


@frozen(eq=False)
class Walls:
    """A wall and the wall with each of its braces gone.

    Attributes:
        whole: as it stands.
        gone: with each brace gone, by mark.
    """

    whole: Sides
    gone: Mapping[str, Sides]


def scattered(job: Job, *, thunderstorm: bool = False, dried: bool = True) -> Walls:
    """Read every link of a wall at its median strength, and again with each brace gone.

    Args:
        job: the job.
        thunderstorm: wind profile of an outflow.
        dried: nails driven green are counted as dried since.
    """
    basis = Medians(dried=dried)
    pulled = {test: _pulled(job, test) for test in job.pull_tests}
    model = build_model(job, thunderstorm=thunderstorm, basis=basis)
    middle = limit_gust(model)
    if middle <= 0.0:
        none = Sides(dict.fromkeys(DIRECTIONS))
        return Walls(none, {mark: none for mark in model.marks})
    gusts = tuple(min(part * middle, HIGHEST_READ) for part in PARTS)
    kinds = dict(_kinds(job, gusts[3:5], thunderstorm=thunderstorm, basis=basis))
    read = _Reading(job, gusts, kinds, pulled)
    gone = {mark: read.sides(without(model, k)) for k, mark in enumerate(model.marks)}
    return Walls(read.sides(model), gone)


def _pulled(job: Job, test: PullTest) -> Pulled:
    kind = fastener(test.fastener, job.fasteners).kind
    mean = float(counted_pulls(test, kind, green=True).mean)
    return Pulled(test, mean, scatter_as_pulled(test, kind), kind_drawn(kind))


@frozen
class _Reading:
    job: Job
    gusts: tuple[Mph, ...]
    kinds: Mapping[Key, Strength | PullTest]
    pulled: Mapping[PullTest, Pulled]

    def sides(self, model: Model) -> Sides:
        """The links of one model."""
        table = _table(model, self.gusts)
        return Sides({way: None if table is None else self._links(table, way) for way in DIRECTIONS})

    def _links(self, table: _Table, way: str) -> tuple[Scattered, ...] | None:
        found = []
        keys = sorted(key for key in table.rows if key[0] == way)
        rows = [table.rows[key] for key in keys]
        ratios = held_until(table.ratios[rows])
        if ratios is None:
            return None
        lines = [(round(s, KEPT) + 0.0, float(f"{a:.{KEPT}g}")) for s, a in _lines(self.gusts, ratios)]
        for key, row, (steady, rate) in zip(keys, rows, lines, strict=True):
            if not rate > 0.0:
                continue
            link, mark, x = table.links[row]
            many = fasteners_of(self.job, link, mark)
            if link in ACROSS_GRAIN:  # its allowable value is no strength of a basis
                median = mean_of_stick(Strength.ACROSS) * median_over_mean(scatter_of(Strength.ACROSS))
                found.append(Scattered(link, mark, x, steady / median, rate / median, Strength.ACROSS, many))
                continue
            on = self.kinds.get(key, self.kinds.get((_other(way), key[1]), Strength.TYPED))
            pulled = None if isinstance(on, Strength) else self.pulled[on]
            kind = on if isinstance(on, Strength) else self.pulled[on].kind
            found.append(Scattered(link, mark, x, steady, rate, kind, many, pulled))
        return tuple(found)


def _other(direction: str) -> str:
    return DIRECTIONS[1] if direction == DIRECTIONS[0] else DIRECTIONS[0]


@frozen(eq=False)
class _Table:
    """The ratio of every link of a wall at some gusts, a row a link, the worst of each name; 0 where there is none."""

    rows: Mapping[Key, int]
    links: Sequence[tuple[LinkId, str | None, Inch | None]]
    ratios: Array


def _table(model: Model, gusts: Sequence[Mph]) -> _Table | None:
    """Every ratio at each gust; None where the wall can move."""
    rows: dict[Key, int] = {}
    links: list[tuple[LinkId, str | None, Inch | None]] = []
    found: list[tuple[int, list[int], Array]] = []
    # Where every brace works both ways, the chain of one gust is that of all.
    for k, some in enumerate((tuple(gusts),) if all_two_way(model) else ((gust,) for gust in gusts)):
        here = evaluate(model, some[0])
        if not here.held:
            return None
        for group in here.groups:
            sides = [way for way in group.directions if way in DIRECTIONS]
            if not sides:
                continue
            ratios = row_ratios(group, np.square(some)).max(axis=1, initial=0.0)
            if group.starts is not None:
                ratios = np.maximum.reduceat(ratios, group.starts, axis=1)
            link = group.link.forward
            named = [
                (name_of(link, *place), (link, *place))
                for place in zip(group.marks, group.places, strict=True)
            ]
            for way in sides:
                at = []
                for name, one in named:
                    row = rows.setdefault((way, name), len(rows))
                    if row == len(links):
                        links.append(one)
                    at.append(row)
                found.append((k, at, ratios))
    table = np.zeros((len(rows), len(gusts)))
    for k, at, ratios in found:
        np.maximum.at(table[:, k : k + len(ratios)], at, ratios.T)
    return _Table(rows, links, table)


def held_until(ratios: Array) -> Array | None:
    """Give the ratios of links so that none is without end; None where one holds nothing once it is asked anything.

    A stick pressed past what buckles it has a ratio without end from some gust on. Under that gust it holds: its line
    is drawn from the gusts before, and it is taken to be past its strength at the last of them.

    Args:
        ratios: a row a link, a column a gust, from the least [-].
    """
    if np.isnan(ratios).any():
        return None
    found = ratios.copy()
    for k in np.flatnonzero(np.isinf(ratios).any(axis=1)):
        row = found[k]
        last = int(np.argmax(np.isinf(row))) - 1
        if np.count_nonzero(row[: last + 1] > 0.0) < READ_OF_ONE:
            return None
        row[last:] = max(float(row[last]), 1.0)
    return found


def _lines(gusts: Sequence[Mph], ratios: Array) -> Array:
    """The chord of each ratio between two gusts at which it is over nothing, about where it reaches 1; 0 of none."""
    every, squared, over = np.arange(len(ratios)), np.square(gusts), ratios > 0.0
    second = np.argmax(np.cumsum(over, axis=1) >= 2, axis=1)
    past = np.where((ratios >= 1.0).any(axis=1), np.argmax(ratios >= 1.0, axis=1), len(gusts) - 1)
    high = np.maximum(np.maximum(past, second), 1)
    apart = squared[high] - squared[high - 1]
    rise = ratios[every, high] - ratios[every, high - 1]
    rate = np.where((over.sum(axis=1) >= 2) & (apart > 0.0), rise / np.where(apart > 0.0, apart, 1.0), 0.0)
    return np.stack([ratios[every, high - 1] - rate * squared[high - 1], rate], axis=1)


def _kinds(
    job: Job, gusts: Sequence[Mph], *, thunderstorm: bool, basis: Medians
) -> Iterator[tuple[Key, Strength | PullTest]]:
    """What each link hangs on most: the kind of strength, or pull test, that moves its ratio most where it is more."""

    def table(basis: Medians) -> _Table | None:
        return _table(build_model(job, thunderstorm=thunderstorm, basis=basis), gusts)

    before = table(basis)
    if before is None:
        return
    moved: dict[Key, tuple[float, Strength | PullTest]] = {}
    for kind in (*Strength, *job.pull_tests):
        now = None if kind in (Strength.TYPED, Strength.ACROSS) else table(evolve(basis, more=kind))
        if now is None:
            continue
        for key, row in before.rows.items():
            if key not in now.rows:
                continue
            was, then = before.ratios[row], now.ratios[now.rows[key]]
            counts = (was > 0.0) & np.isfinite(was) & (then > 0.0)
            part = float(((was - then)[counts] / was[counts]).max(initial=0.0)) / STEP
            if part > max(HANGS_ON, moved.get(key, (0.0, kind))[0]):
                moved[key] = part, kind
    for key, (_, kind) in moved.items():
        yield key, kind


def fasteners_of(job: Job, link: LinkId, mark: str | None) -> int:
    """Give how many fasteners share a link: those of a joint that count; one where they stand apart.

    Args:
        job: the job.
        link: which.
        mark: its brace, or None.
    """
    brace = next((brace for brace in job.braces if brace.mark == mark), None)
    if brace is not None and link in JOINT_OF:
        return max(1, _count(job, brace, JOINT_OF[link]))
    if link is LinkId.TOP_TO_STUD:
        return max(1, job.wall.top_plate.end_nails)
    if link in (LinkId.HEADER_END, LinkId.SILL_END) and job.wall.openings:
        return max(1, min(opening.header_nails for opening in job.wall.openings))
    return 1


def _count(job: Job, brace: Brace, joint: JointId) -> int:
    return int(counted(job, brace, joint).count)
