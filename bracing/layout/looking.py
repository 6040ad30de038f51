"""A search going on: what it has found so far, and what it spends."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
from attrs import evolve, field, frozen

from bracing.choosing import Budget
from bracing.job.job import Job
from bracing.layout.candidates import Scheme
from bracing.layout.costs import Costs, Found, costs_of, found_of
from bracing.layout.grid import Pool
from bracing.layout.mending import one_stud_off, placed, standing_alone, standing_moved, with_enough_blocks
from bracing.layout.space import SearchSpace
from bracing.said import Said
from bracing.work.minutes import braces_minutes

Progress = Callable[[Said], None]

# Layouts' worth of mending a layout as drawn, and for each place a brace of it may be off its mark; measured.
AS_DRAWN, A_PLACE = 5_000.0, 2_000.0


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
        best: the best by "work" and by "number", the first "spread" that stood, and the best "plain" without a new row.
        proved: which of "work" and "number" no layout of the grid is better in; "spread" once the spreads were tried.
        looked: how many layouts with fewer braces were solved for, one entry.
        climbed_to: by scheme and number, what a climb came to that stands as drawn.
        trimmed: layouts whose second studs and sticks were looked at.
    """

    space: SearchSpace
    clock: Budget
    progress: Progress
    fewest: bool = False
    best: dict[str, Found] = field(factory=dict, init=False)
    proved: set[str] = field(factory=set, init=False)
    looked: list[int] = field(factory=lambda: [0], init=False)
    _drawn: dict[tuple[int, int, tuple[int, ...]], Drawn | None] = field(factory=dict, init=False)
    climbed_to: dict[tuple[int, int], list[Drawn]] = field(factory=dict, init=False)
    _finished: dict[Drawn, Found | None] = field(factory=dict, init=False)
    _costs: dict[int, Costs] = field(factory=dict, init=False)
    trimmed: set[Job] = field(factory=set, init=False)

    @property
    def answer(self) -> Found | None:
        """The best so far in what is asked for."""
        return self.best.get("number" if self.fewest else "work")

    def better(self, least: float, count: int) -> bool:
        """Whether a layout that takes so many minutes at the least could be better in what is asked.

        Args:
            least: minutes.
            count: braces.
        """
        answer = self.answer
        if answer is None:
            return True
        if self.fewest and count != answer.count:
            return count < answer.count
        return least < answer.minutes - 1e-6

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
        """Give the schemes of single studs, or all of them; those of doubled ones are paid for as they are made.

        Args:
            doubled: those of doubled studs too.
        """
        if not doubled:
            return range(len(self.space.single))
        if not self.space.tables.all_made:
            self.clock.spend(self.space.tables.cost)
        return range(len(self.space.rows))

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
        self.clock.spend(AS_DRAWN)
        alone = standing_alone(space, start)
        return None if alone is None else Drawn(space, scheme, alone)

    def finished(self, drawn: Drawn) -> Found | None:
        """Make good what stands as drawn; None where it cannot be, or can be no better than the best so far.

        Args:
            drawn: the layout.
        """
        if drawn in self._finished:
            return self._finished[drawn]
        count = len(drawn.job.braces)
        # More is put in, and nothing of the braces is taken out again.
        at_least = braces_minutes(self.space.job, with_enough_blocks(drawn.job))
        if not self.better(at_least, count) and not self.better_number(at_least, count):
            return None
        self.clock.spend(A_PLACE * (1 + len(one_stud_off(drawn.space, drawn.job))))
        job = standing_moved(drawn.space, drawn.job)
        found = None if job is None else self.take(found_of(self.space, drawn.scheme, job))
        self._finished[drawn] = found
        return found

    def better_number(self, least: float, count: int) -> bool:
        """Whether a layout could be better in the number of its braces.

        Args:
            least: minutes it takes at the least.
            count: braces.
        """
        number = self.best.get("number")
        return number is None or (count, least) < (number.count, number.minutes)

    def take(self, found: Found) -> Found:
        """Keep a layout that stands where it is the best so far.

        Args:
            found: the layout.
        """
        self.best.setdefault("spread", found)
        names = {"work": found.by_work, "number": found.by_number}
        if not found.scheme.strongback:
            names["plain"] = found.by_number if self.fewest else found.by_work
        for name, rank in names.items():
            now = self.best.get(name)
            by = "by_number" if name == "number" or (name == "plain" and self.fewest) else "by_work"
            if now is None or rank < getattr(now, by):
                self.best[name] = found
        return found
