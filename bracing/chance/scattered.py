"""The chain once more, at median strengths: of every link its ratio as a straight line in the gust squared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.evaluate import evaluate, groups_at, limit_gust, without
from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import Group, LinkId
from bracing.chain.model import Model, build_model
from bracing.chain.room import counted
from bracing.codes.chance import log_scatter, median_over_mean, scatter_of_joint
from bracing.codes.medians import STEP, Medians, Strength, mean_of_stick, scatter_of
from bracing.job.brace import Brace, JointId
from bracing.job.job import Job
from bracing.sources import shipped
from bracing.units import Inch, Mph

Array = NDArray[np.float64]
Key = tuple[str, str]  # direction, and the name of the link

PARTS = (0.4, 0.6, 0.85, 1.2, 1.7, 2.4, 3.4)  # of the limit gust: where ratios are read
HANGS_ON = 0.1  # a link that is moved by less of a strength hangs on none that scatters
HIGHEST_READ: Mph = 390.0  # nothing is read past this

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
    """

    link: LinkId
    mark: str | None
    x: Inch | None
    steady: float
    rate: float
    kind: Strength
    fasteners: int

    @property
    def name(self) -> str:
        """Its name, of which its own strength is drawn."""
        return name_of(self.link, self.mark, self.x)

    @property
    def scatter(self) -> float:
        """Coefficient of variation of its strength alone [-]."""
        one = scatter_of(self.kind)
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
        links: by direction; None where the wall can move or a link is worth nothing: it is down in any wind.
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
    model = build_model(job, thunderstorm=thunderstorm, basis=basis)
    middle = limit_gust(model)
    if middle <= 0.0:
        none = Sides(dict.fromkeys(DIRECTIONS))
        return Walls(none, {mark: none for mark in model.marks})
    gusts = tuple(min(part * middle, HIGHEST_READ) for part in PARTS)
    kinds = dict(_kinds(job, gusts[3:5], thunderstorm=thunderstorm, basis=basis))
    read = _Reading(job, gusts, kinds)
    gone = {mark: read.sides(without(model, k)) for k, mark in enumerate(model.marks)}
    return Walls(read.sides(model), gone)


@frozen
class _Reading:
    job: Job
    gusts: tuple[Mph, ...]
    kinds: Mapping[Key, Strength]

    def sides(self, model: Model) -> Sides:
        """The links of one model."""
        tables = tuple(_table(model, self.gusts))
        return Sides({
            way: self._links(tuple({k: v for k, v in t.items() if k[0] == way} for t in tables if t is not None))
            if all(t is not None for t in tables) else None
            for way in DIRECTIONS
        })  # fmt: skip

    def _links(self, tables: Sequence[Mapping[Key, _Ratio]]) -> tuple[Scattered, ...] | None:
        found = []
        for key in sorted({key for table in tables for key in table}):
            ratios = np.array([table[key].ratio if key in table else 0.0 for table in tables])
            if not np.isfinite(ratios).all():
                return None
            line = _line(self.gusts, ratios)
            if line is None:
                continue
            one = next(table[key] for table in tables if key in table)
            many = fasteners_of(self.job, one.link, one.mark)
            if one.link in ACROSS_GRAIN:  # its allowable value is no strength of a basis
                median = mean_of_stick(Strength.ACROSS) * median_over_mean(scatter_of(Strength.ACROSS))
                steady, rate = (part / median for part in line)
                found.append(Scattered(one.link, one.mark, one.x, steady, rate, Strength.ACROSS, many))
                continue
            kind = self.kinds.get(key, self.kinds.get((_other(key[0]), key[1]), Strength.TYPED))
            found.append(Scattered(one.link, one.mark, one.x, *line, kind, many))
        return tuple(found)


@frozen
class _Ratio:
    link: LinkId
    mark: str | None
    x: Inch | None
    ratio: float


def _other(direction: str) -> str:
    return DIRECTIONS[1] if direction == DIRECTIONS[0] else DIRECTIONS[0]


def _table(model: Model, gusts: Sequence[Mph]) -> Iterator[dict[Key, _Ratio] | None]:
    """Every ratio at each gust, the worst of each name; None where the wall can move."""
    chain = groups_at(model, gusts[0])
    for gust in gusts:
        here = evaluate(model, gust, chain)
        yield _ratios(here.groups, gust) if here.held else None


def _ratios(groups: Sequence[Group], gust: Mph) -> dict[Key, _Ratio]:
    found: dict[Key, _Ratio] = {}
    for group in groups:
        sides = [way for way in group.directions if way in DIRECTIONS]
        if not sides:
            continue
        ratios = group.ratios(gust)
        if group.starts is not None:
            ratios = np.maximum.reduceat(ratios, group.starts)
        for mark, x, ratio in zip(group.marks, group.places, ratios.tolist(), strict=True):
            name = name_of(group.link, mark, x)
            for way in sides:
                before = found.get((way, name))
                if before is None or ratio > before.ratio:
                    found[way, name] = _Ratio(group.link.forward, mark, x, ratio)
    return found


def _line(gusts: Sequence[Mph], ratios: Array) -> tuple[float, float] | None:
    """The chord of a ratio between two gusts at which it is over nothing, about where it reaches 1; None of none."""
    over = np.flatnonzero(ratios > 0.0)
    if len(over) < 2:
        return None
    past = np.flatnonzero(ratios >= 1.0)
    high = int(min(max(past[0] if len(past) else len(gusts) - 1, over[1]), len(gusts) - 1))
    low = high - 1
    squared = gusts[low] ** 2, gusts[high] ** 2
    if squared[1] <= squared[0]:
        return None
    rate = float((ratios[high] - ratios[low]) / (squared[1] - squared[0]))
    return None if rate <= 0.0 else (float(ratios[low] - rate * squared[0]), rate)


def _kinds(
    job: Job, gusts: Sequence[Mph], *, thunderstorm: bool, basis: Medians
) -> Iterator[tuple[Key, Strength]]:
    """The kind of strength each link hangs on most: the one that moves its ratio most where it is a little more."""

    def tables(basis: Medians) -> tuple[dict[Key, _Ratio] | None, ...]:
        return tuple(_table(build_model(job, thunderstorm=thunderstorm, basis=basis), gusts))

    before = tables(basis)
    moved: dict[Key, tuple[float, Strength]] = {}
    for kind in Strength:
        if kind in (Strength.TYPED, Strength.ACROSS):
            continue
        for was, now in zip(before, tables(evolve(basis, more=kind)), strict=True):
            for key, one in (was or {}).items():
                if not 0.0 < one.ratio < np.inf or now is None or key not in now:
                    continue
                part = (one.ratio - now[key].ratio) / one.ratio / STEP
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
