"""All that is searched: a wall at one gust with the candidates of every scheme; those of doubled studs once asked."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
from attrs import evolve, field, frozen

from bracing.choosing import SAME
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.job.wall import Row as Across
from bracing.layout.candidates import Candidate, Scheme, candidates_for, schemes, with_scheme
from bracing.layout.grid import STEP, Pool, pools_of
from bracing.layout.spots import Refused
from bracing.said import Said
from bracing.units import Inch, Mph
from bracing.work.parts import enough_sticks

A_SHAPE = 100.0  # layouts' worth of what one shape of brace does to its stud, at one gust; measured

Row = tuple[
    Scheme, Pool, Pool | None
]  # a scheme, its pool, and that at the gust at which one brace may be gone


@frozen(eq=False)
class Pools:
    """The pools of a wall: those of single studs are there, those of doubled ones are made once they are asked for.

    Attributes:
        single: of the schemes of single studs that have any candidate, least effort first.
        make: makes those of doubled studs, where they could help.
        cost: layouts' worth of making those of either.
    """

    single: tuple[Row, ...]
    make: Callable[[], tuple[Row, ...]]
    cost: float
    _made: list[tuple[Row, ...]] = field(factory=list, init=False)
    _paid: list[float] = field(factory=list, init=False)

    @property
    def paid(self) -> float:
        """What those of doubled studs were paid for, layouts' worth."""
        return sum(self._paid)

    def due(self) -> float:
        """Give what those of doubled studs will cost, once: it is paid before they are made."""
        if self._made or self._paid:
            return 0.0
        self._paid.append(self.cost)
        return self.cost

    @property
    def all_made(self) -> bool:
        """Whether those of doubled studs have been asked for."""
        return bool(self._made)

    @property
    def doubled(self) -> tuple[Row, ...]:
        """Those of doubled studs."""
        if not self._made:
            self._made.append(self.make())
        return self._made[0]


@frozen(eq=False)
class SearchSpace:
    """All that is searched: a wall with the candidates of every scheme.

    Attributes:
        job: the job with its choices, no braces.
        framing: its sticks.
        gust: the gust asked [mph].
        thunderstorm: wind profile of an outflow.
        tables: the pools of every scheme.
        refused: places no foot may stand.
        one_missing: gust at which any one brace may be gone, or None [mph].
        on_hand: whether what is on hand reaches for a layout.
        wanted: whether a scheme is looked at.
    """

    job: Job
    framing: Framing
    gust: Mph
    thunderstorm: bool
    tables: Pools = field(repr=False)
    refused: tuple[Refused, ...] = field(repr=False)
    one_missing: Mph | None = None
    on_hand: Callable[[Job], bool] = enough_sticks
    wanted: Callable[[Scheme], bool] = lambda _: True

    @property
    def single(self) -> tuple[Row, ...]:
        """Each scheme of single studs that is looked at, least effort first."""
        return tuple(row for row in self.tables.single if self.wanted(row[0]))

    @property
    def rows(self) -> tuple[Row, ...]:
        """Each scheme that is looked at and has any candidate, least effort first: those of doubled studs last."""
        return (*self.single, *(row for row in self.tables.doubled if self.wanted(row[0])))

    @property
    def pools(self) -> tuple[tuple[Scheme, Pool], ...]:
        """Each scheme that is looked at, with its pool."""
        return tuple((scheme, pool) for scheme, pool, _ in self.rows)

    @property
    def made(self) -> tuple[tuple[Scheme, Pool], ...]:
        """Those that were made so far, and all where there are none of single studs."""
        rows = self.single if self.single and not self.tables.all_made else self.rows
        return tuple((scheme, pool) for scheme, pool, _ in rows)

    @property
    def missing(self) -> tuple[Pool | None, ...]:
        """The pool of each scheme at the gust at which one brace may be gone; None where none was asked."""
        return tuple(missing for *_, missing in self.rows)

    def with_row(self, row: Across) -> SearchSpace:
        """Give the wall with a continuous row across its studs.

        Args:
            row: the row.
        """
        job = evolve(self.job, wall=evolve(self.job.wall, rows=(row,)))
        return evolve(self, job=job, framing=frame_wall(job.wall))

    def only(self, wanted: Callable[[Scheme], bool]) -> SearchSpace:
        """Give the wall with some schemes only.

        Args:
            wanted: whether a scheme is kept.
        """
        return evolve(self, wanted=wanted)


def search_space(
    job: Job, gust: Mph, *, angle: float | None = None, thunderstorm: bool = False,
    one_missing: Mph | None = None, on_hand: Callable[[Job], bool] = enough_sticks,
) -> SearchSpace:  # fmt: skip
    """Put every candidate of every scheme on the wall.

    Args:
        job: the job with its choices, no braces.
        gust: the gust asked [mph].
        angle: angle asked, or None [degrees].
        thunderstorm: wind profile of an outflow.
        one_missing: gust at which any one brace may be gone, or None [mph].
        on_hand: whether what is on hand reaches for a layout.
    """
    framing = frame_wall(job.wall)
    refused: dict[tuple[Inch, Inch, Inch, Said], Refused] = {}
    # Rows carry between studs, which a pool leaves out: on such a wall it only orders what the chain then judges.
    plain = evolve(job, wall=evolve(job.wall, rows=()))
    gusts = (gust,) if one_missing is None else (gust, one_missing)

    def made(some: Iterable[Scheme]) -> tuple[Row, ...]:
        found = list[tuple[Scheme, tuple[Candidate, ...]]]()
        for scheme in some:
            candidates, not_here = candidates_for(job, scheme, angle=angle)
            found += [(scheme, candidates)] if candidates else []
            refused.update({(r.stud, r.head, r.set_back, r.why): r for r in not_here})
        sets = [(with_scheme(plain, scheme), candidates) for scheme, candidates in found]
        tables = [pools_of(plain, framing, sets, gust=at, thunderstorm=thunderstorm) for at in gusts]
        others = tables[1] if len(tables) > 1 else [None] * len(found)
        return tuple((of[0], pool, other) for of, pool, other in zip(found, tables[0], others, strict=True))

    every = schemes(job)
    single = made(scheme for scheme in every if not scheme.doubled)
    alone = {scheme: pool for scheme, pool, _ in single}
    helped = [s for s in every if s.doubled and studs_govern(alone.get(evolve(s, doubled=False)))]
    shapes = single[0][1].panel.lines.shape[0] if single else 0
    return SearchSpace(
        job=job, framing=framing, gust=gust, thunderstorm=thunderstorm,
        tables=Pools(single, lambda: made(helped), A_SHAPE * shapes * len(gusts)),
        refused=tuple(refused.values()), one_missing=one_missing, on_hand=on_hand,
    )  # fmt: skip


def studs_govern(pool: Pool | None) -> bool:
    """Whether a doubled stud could help: some single stud cannot take all its brace may give.

    Args:
        pool: the same scheme with single studs, or None.
    """
    if pool is None:
        return True
    lines = pool.panel.lines
    reading = (np.ceil(pool.strongest / STEP) + lines.shape[2] // 2).astype(np.intp)
    return bool((lines[pool.shape[: len(pool.candidates)], :, reading, 0] > 1.0 + SAME).any())
