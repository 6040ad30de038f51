"""A search going on: what layouts take in work, what it has found so far, and what it spends."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.links import LinkId
from bracing.choosing import Budget
from bracing.job.brace import IN_BLOCK, JOINTS, Brace
from bracing.job.envelope import past_practice_of
from bracing.job.job import Job
from bracing.job.minutes import Minutes
from bracing.layout.candidates import Scheme, one_block_each, with_scheme
from bracing.layout.grid import Pool
from bracing.layout.mending import (
    LEAST,
    least_fasteners,
    placed,
    standing_alone,
    standing_moved,
    with_least_blocks,
)
from bracing.layout.outward import Rules, middle_of, rules_of
from bracing.layout.space import SearchSpace
from bracing.said import Said
from bracing.units import Inch
from bracing.work.minutes import (
    brace_minutes,
    braces_minutes,
    foot_minutes,
    kind_of,
    plan_minutes,
)
from bracing.work.parts import board_feet
from bracing.work.remedies import UNDER_EACH

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

# A gap over 10 ft, or an end over 4 ft, weighs as so many minutes when plans are compared, about a brace and a half:
# one is left where that saves a good deal, and nothing the chain lets stand is refused for it.
PAST_PRACTICE = 90.0
UNEVEN = 1.25  # the brace that carries most carries so much more than all on average, or about
EVEN: Inch = 0.001  # gaps that differ by less are as even
OF_JOINTS = (LinkId.HEAD_JOINT, LinkId.BRACE_TO_CLEAT, LinkId.CLEAT_TO_FLOOR)  # in the order of JOINTS
_NEAR: Inch = 0.01


@frozen(eq=False)
class Costs:
    """The minutes layouts of a pool take at the least, mended as little as mending may; s candidates.

    Attributes:
        pool: the pool.
        base: whatever the braces.
        own: of each candidate, (s,).
        kind: what is cut alike has one number, (s,).
        near: studs no farther apart are neighbours [in].
        joints: of each joint and candidate, the most fasteners and the level force they let it give, (3, s) each [lb].
        blocks: minutes of the blocks of each candidate for each fastener in its floor beyond the least, (s,).
        place: number of the stud of each candidate, (s,).
        minutes: what work takes the crew.
        practice: which studs may follow which, the first and the last, as far apart as builders leave them.
    """

    pool: Pool
    base: float
    own: Array
    kind: Ints
    near: Inch
    joints: tuple[Array, Array]
    blocks: Array
    place: Ints
    minutes: Minutes
    practice: Rules = field(repr=False)

    def of(self, layouts: Ints) -> Array:
        """Give the minutes layouts take at the least, with those a gap past practice weighs, (b,).

        Args:
            layouts: candidates of each layout, from LEFT, (b, n).
        """
        steps, starts, stops = self.practice
        studs = self.place[layouts]
        gaps = (~steps[studs[:, :-1], studs[:, 1:]]).sum(axis=1) + ~starts[studs[:, 0]] + ~stops[studs[:, -1]]
        kinds = (np.diff(np.sort(self.kind[layouts], axis=1), axis=1) != 0).sum(axis=1)
        beside = (np.diff(self.pool.x[layouts], axis=1) <= self.near).sum(axis=1)
        extra: Array = self.minutes.cut * kinds + self.minutes.beside * beside
        least: Array = self.base + self.own[layouts].sum(axis=1) + extra + PAST_PRACTICE * gaps
        return least

    def expected(self, layouts: Ints) -> Array:
        """Give about what layouts will take once they are made good: only what to try first hangs on it, (b,).

        Args:
            layouts: candidates of each layout, from LEFT, (b, n).
        """
        whole: Array = self.of(layouts) + self._fastened(layouts)
        return whole

    def _fastened(self, layouts: Ints) -> Array:
        moment = float(np.abs(self.pool.panel.moment).max())
        force = UNEVEN * moment / self.pool.head[layouts].sum(axis=1, keepdims=True)
        most, level = self.joints
        counts = np.ceil(most[:, layouts] * force / level[:, layouts])
        alike = np.clip(counts, LEAST, most[:, layouts]).max(axis=2)
        more: Array = self.minutes.fastener * layouts.shape[1] * (alike - LEAST).sum(axis=0)
        whole: Array = more + self.blocks[layouts].sum(axis=1) * (alike[-1] - LEAST)
        return whole

    def of_count(self, count: int) -> float:
        """Give the minutes any layout of so many braces takes at the least.

        Args:
            count: braces.
        """
        return self.base + count * float(self.own.min(initial=np.inf))

    def expected_of_count(self, count: int) -> float:
        """Give about what so many braces of the strongest kind take.

        Args:
            count: braces.
        """
        strongest = int(np.argmax(self.pool.strongest * self.pool.head))
        alike = np.full((1, count), strongest, dtype=np.intp)
        return float(self.base + count * self.own[strongest] + self._fastened(alike)[0])


def costs_of(job: Job, scheme: Scheme, pool: Pool) -> Costs:
    """Give what the layouts of a pool take at the least.

    Args:
        job: the wall with its choices.
        scheme: the scheme.
        pool: its pool.
    """
    fitted, free = one_block_each(with_scheme(job, scheme)), UNDER_EACH not in job.declared
    each = job.kit.minutes
    more = (
        each.second_stud * scheme.doubled
        + each.second_stick * (scheme.stiffener != "none")
        + each.tie * scheme.ties
    )
    known = dict[Brace, float]()
    kinds = dict[tuple[str, Inch, Inch], int]()
    own, blocks = [], []
    for candidate in pool.candidates:
        brace = candidate.brace
        if brace not in known:
            bare = least_fasteners(fitted, brace)
            known[brace] = foot_minutes(fitted, bare)
        own.append(known[brace] + brace_minutes(fitted, least_fasteners(fitted, brace)) + more)
        blocks.append(known[brace] / fitted.kit.cleat.sides * (free and brace.foot_on == IN_BLOCK))
        kinds.setdefault(kind_of(brace), len(kinds))
    places, place = np.unique(pool.x, return_inverse=True)
    return Costs(
        pool=pool, base=each.fetch + each.tie_row * scheme.ties, minutes=each,
        own=np.array(own), kind=np.array([kinds[kind_of(c.brace)] for c in pool.candidates], dtype=np.intp),
        near=job.wall.studs.spacing + _NEAR, joints=_joints(pool), blocks=np.array(blocks),
        place=place.astype(np.intp), practice=rules_of(job.wall, tuple(places.tolist()), practice=True),
    )  # fmt: skip


def _joints(pool: Pool) -> tuple[Array, Array]:
    """The most fasteners of each joint of each candidate, and the level force they let it give, (3, s) each."""
    most = [[getattr(c.brace, joint) for c in pool.candidates] for joint in JOINTS]
    level = [
        [
            min(
                (s.level_force for s in (*c.strength.push, *c.strength.pull) if s.link is link),
                default=np.inf,
            )
            for c in pool.candidates
        ]
        for link in OF_JOINTS
    ]
    return np.array(most, dtype=np.float64), np.maximum(np.array(level), 1e-9)


# -- what was found -----------------------------------------------------------------------------------------


@frozen(eq=False)
class Found:
    """A layout made good.

    Attributes:
        job: the job with its braces.
        scheme: what they have in common.
        minutes: the work it takes, for two people.
        weighed: its minutes, with those each gap past practice weighs.
        by_work: what it is ranked by: what it weighs, peak and kings without a brace, lumber, evenness.
    """

    job: Job = field(repr=False)
    scheme: Scheme
    minutes: float
    weighed: float
    by_work: tuple[float, ...]

    @property
    def count(self) -> int:
        """How many braces."""
        return len(self.job.braces)

    @property
    def by_number(self) -> tuple[float, ...]:
        """What it is ranked by where the fewest braces are asked for."""
        return (self.count, *self.by_work)


def found_of(space: SearchSpace, scheme: Scheme, job: Job) -> Found:
    """Rank a layout made good.

    Args:
        space: the wall.
        scheme: what its braces have in common.
        job: the job with its braces.
    """
    studs = sorted(brace.stud_at for brace in job.braces)
    rows = job.wall.rows[len(space.job.wall.rows) :]
    minutes = plan_minutes(space.job, job)
    weighed = minutes + weight_of_gaps(job)
    apart = np.diff(studs)
    uneven = float(np.std(apart)) if len(apart) else 0.0
    return Found(
        job, scheme, minutes, weighed,
        (round(weighed, 3), len(worth_a_brace(space) - set(studs)), round(board_feet(job, rows=rows), 3),
         round(uneven / EVEN)),
    )  # fmt: skip


def weight_of_gaps(job: Job) -> float:
    """Give what gaps past practice weigh when plans are compared, as minutes of work.

    Args:
        job: the job with its braces.
    """
    return PAST_PRACTICE * past_practice_of(job)


def worth_a_brace(space: SearchSpace) -> set[Inch]:
    """Give the studs that get a brace where it costs nothing: that under the peak, and kings beside openings [in].

    Args:
        space: the wall.
    """
    peak = middle_of(space.job.wall)
    peaks = {stud.x for stud in space.framing.full_height_studs if abs(stud.x - peak) < _NEAR}
    found = peaks if any(abs(x - peak) < _NEAR for x, _ in space.job.wall.top) else set()
    return found | {stick.x for stick in space.framing.of_kind("king")}


# -- the search --------------------------------------------------------------------------------------------

Progress = Callable[[Said], None]
Spread = tuple[float, int, Ints]  # what it is ranked by, its scheme, its layouts


@frozen(eq=False)
class Drawn:
    """A layout that stands as drawn.

    Attributes:
        space: the wall, with a row across it or as it is.
        scheme: what its braces have in common.
        job: the job with its braces.
    """

    space: SearchSpace = field(repr=False)
    scheme: Scheme
    job: Job = field(repr=False)


@frozen(eq=False)
class Looking:
    """A search going on.

    Attributes:
        space: the wall with its pools.
        clock: the budget it spends.
        progress: told what is being done.
        fewest: the fewest braces are asked for, and not the least work.
        best: the best by "work" and by "number", and the best "plain" without a new row.
        proved: which of "work" and "number" no layout of the grid is better in; "spread" once the spreads were tried.
        looked: how many layouts with fewer braces were solved for, one entry.
        barren: schemes and numbers of braces of which no layout of the grid stands.
        spreads: of single and of doubled studs, the spreads the screen lets pass, the most promising first.
        climbed_to: by scheme, number and whether in practice, what a climb came to that stands as drawn.
        trimmed: layouts whose second studs and sticks were looked at.
        given_up: what stands as drawn and can be no better than the best so far, as was found while it was made good.
    """

    space: SearchSpace
    clock: Budget
    progress: Progress
    fewest: bool = False
    best: dict[str, Found] = field(factory=dict, init=False)
    proved: set[str] = field(factory=set, init=False)
    looked: list[int] = field(factory=lambda: [0], init=False)
    barren: set[tuple[int, int]] = field(factory=set, init=False)
    _drawn: dict[tuple[int, int, tuple[int, ...]], Drawn | None] = field(factory=dict, init=False)
    spreads: dict[bool, list[Spread]] = field(factory=dict, init=False)
    climbed_to: dict[tuple[int, int, bool], list[Drawn]] = field(factory=dict, init=False)
    _finished: dict[Drawn, Found | None] = field(factory=dict, init=False)
    _costs: dict[int, Costs] = field(factory=dict, init=False)
    trimmed: set[Job] = field(factory=set, init=False)
    given_up: set[Drawn] = field(factory=set, init=False)

    @property
    def answer(self) -> Found | None:
        """The best so far in what is asked for."""
        return self.best.get("number" if self.fewest else "work")

    def better(self, least: float, count: int) -> bool:
        """Whether a layout that weighs so many minutes at the least could be better in what is asked.

        Args:
            least: minutes, with those its gaps weigh.
            count: braces.
        """
        answer = self.answer
        if answer is None:
            return True
        if self.fewest and count != answer.count:
            return count < answer.count
        return least < answer.weighed - 1e-6

    def costs(self, order: int) -> Costs:
        """Give what layouts of a pool take at the least.

        Args:
            order: which.
        """
        if order not in self._costs:
            scheme, pool, _ = self.row(order)
            self._costs[order] = costs_of(self.space.job, scheme, pool)
        return self._costs[order]

    def row(self, order: int) -> tuple[Scheme, Pool, Pool | None]:
        """Give a scheme with its pools.

        Args:
            order: which.
        """
        single = self.space.single
        return single[order] if order < len(single) else self.space.rows[order]

    def orders(self, *, doubled: bool) -> range:
        """Give the schemes of single studs, or all of them.

        Args:
            doubled: those of doubled studs too, paid for before.
        """
        return range(len(self.space.rows if doubled else self.space.single))

    def paid(self) -> Iterator[None]:
        """Pay for the schemes of doubled studs before they are made: a step, at which a search may stop."""
        if due := self.space.tables.due():
            self.clock.spend(due)
            yield

    def drawn(self, order: int, layout: Iterable[int], space: SearchSpace | None = None) -> Drawn | None:
        """Make a layout stand as drawn, once; None where it does not.

        Args:
            order: its scheme.
            layout: its candidates.
            space: the wall with a row across it, or as it is.
        """
        here, row = space or self.space, tuple(map(int, layout))
        key = len(here.job.wall.rows), order, row
        if key not in self._drawn:
            scheme, pool, _ = self.row(order)
            start = placed(here, scheme, pool=pool, layout=np.array(row, dtype=np.intp))
            strong = evolve(scheme, strongback=here is not self.space)
            self._drawn[key] = self.standing(here, strong, start)
        return self._drawn[key]

    def standing(self, space: SearchSpace, scheme: Scheme, start: Job) -> Drawn | None:
        """Make a layout stand as drawn; None where it does not.

        Args:
            space: the wall, with a row across it or as it is.
            scheme: what its braces have in common.
            start: the job with its braces, as few fasteners in them as mending starts from.
        """
        alone = standing_alone(space, start, spend=self.clock.spend)
        return None if alone is None else Drawn(space, scheme, alone)

    def finished(self, drawn: Drawn) -> Found | None:
        """Make good what stands as drawn; None where it cannot be, or can be no better than the best so far.

        Args:
            drawn: the layout.
        """
        if drawn in self._finished:
            return self._finished[drawn]
        gaps = weight_of_gaps(drawn.job)

        def could(job: Job) -> bool:
            # More is put in, and nothing of the braces is taken out again.
            at_least, count = braces_minutes(self.space.job, with_least_blocks(job)) + gaps, len(job.braces)
            return self.better(at_least, count) or self.better_number(at_least, count)

        def still(job: Job) -> bool:
            self.given_up.update(() if could(job) else (drawn,))
            return drawn not in self.given_up

        if not could(drawn.job):
            return None
        job = standing_moved(drawn.space, drawn.job, spend=self.clock.spend, could=still)
        found = None if job is None else self.take(found_of(self.space, drawn.scheme, job))
        self._finished[drawn] = found
        return found

    def better_number(self, least: float, count: int) -> bool:
        """Whether a layout could be better in the number of its braces.

        Args:
            least: minutes it weighs at the least.
            count: braces.
        """
        number = self.best.get("number")
        return number is None or (count, least) < (number.count, number.weighed)

    def take(self, found: Found) -> Found:
        """Keep a layout that stands where it is the best so far.

        Args:
            found: the layout.
        """
        names = {"work": found.by_work, "number": found.by_number}
        if not found.scheme.strongback:
            names["plain"] = found.by_number if self.fewest else found.by_work
        for name, rank in names.items():
            now = self.best.get(name)
            by = "by_number" if name == "number" or (name == "plain" and self.fewest) else "by_work"
            if now is None or rank < getattr(now, by):
                self.best[name] = found
        return found
