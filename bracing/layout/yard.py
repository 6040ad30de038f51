"""A wall at one gust with every make of every recipe on it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
from attrs import evolve, field, frozen

from bracing.choosing import SAME
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.job.wall import Row
from bracing.layout.bench import Bench, build_panel, one_off, with_makes
from bracing.layout.buy import enough_sticks
from bracing.layout.makes import Make, Recipe, makes_for, recipes
from bracing.layout.readings import FARTHEST, READINGS, STEP
from bracing.layout.spots import Refused
from bracing.units import Inch, Mph


@frozen(eq=False)
class Yard:
    """A wall with the bench of every recipe.

    Attributes:
        job: the job with its choices, no braces.
        framing: its sticks.
        gust: the gust asked [mph].
        thunderstorm: wind profile of an outflow.
        benches: each recipe that has any make, with its bench, least effort first.
        refused: places no foot may stand.
        one_missing: gust at which any one brace may be gone, or None [mph].
        gone: the bench of each recipe at that gust, in the same order; None where none was asked.
        on_hand: whether what is on hand reaches for a layout.
    """

    job: Job
    framing: Framing
    gust: Mph
    thunderstorm: bool
    benches: tuple[tuple[Recipe, Bench], ...] = field(repr=False)
    refused: tuple[Refused, ...] = field(repr=False)
    one_missing: Mph | None = None
    gone: tuple[Bench | None, ...] = field(default=(), repr=False)
    on_hand: Callable[[Job], bool] = enough_sticks

    def with_row(self, row: Row) -> Yard:
        """Give the wall with a continuous row across its studs.

        Args:
            row: the row.
        """
        job = evolve(self.job, wall=evolve(self.job.wall, rows=(row,)))
        return evolve(self, job=job, framing=frame_wall(job.wall))

    def only(self, wanted: Callable[[Recipe], bool]) -> Yard:
        """Give the wall with some recipes only.

        Args:
            wanted: whether a recipe is kept.
        """
        kept = [k for k, (recipe, _) in enumerate(self.benches) if wanted(recipe)]
        return evolve(
            self, benches=tuple(self.benches[k] for k in kept), gone=tuple(self.gone[k] for k in kept)
        )


def make_yard(
    job: Job, gust: Mph, *, angle: float | None = None, thunderstorm: bool = False,
    one_missing: Mph | None = None, on_hand: Callable[[Job], bool] = enough_sticks,
) -> Yard:  # fmt: skip
    """Put every make of every recipe on the wall.

    Args:
        job: the job with its choices, no braces.
        gust: the gust asked [mph].
        angle: angle asked, or None [degrees].
        thunderstorm: wind profile of an outflow.
        one_missing: gust at which any one brace may be gone, or None [mph].
        on_hand: whether what is on hand reaches for a layout.
    """
    framing = frame_wall(job.wall)
    found: list[tuple[Recipe, tuple[Make, ...]]] = []
    refused: dict[tuple[Inch, Inch, Inch, str], Refused] = {}
    for recipe in recipes(job):
        makes, not_here = makes_for(job, recipe, angle=angle)
        found.append((recipe, makes))
        refused.update({(r.stud, r.head, r.set_back, r.why): r for r in not_here})
    # Rows carry between studs, which a bench leaves out: on such a wall it only orders what the chain then judges.
    plain = evolve(job, wall=evolve(job.wall, rows=()))
    gusts = (gust,) if one_missing is None else (gust, one_missing)
    tables = [_benches(plain, framing, found, at, thunderstorm=thunderstorm) for at in gusts]
    kept = _worth_trying(tables[0])
    return Yard(
        job=job, framing=framing, gust=gust, thunderstorm=thunderstorm,
        benches=tuple(tables[0][k] for k in kept), refused=tuple(refused.values()), one_missing=one_missing,
        gone=tuple(tables[1][k][1] if len(tables) > 1 else None for k in kept), on_hand=on_hand,
    )  # fmt: skip


def _benches(
    job: Job, framing: Framing, found: list[tuple[Recipe, tuple[Make, ...]]], gust: Mph, *, thunderstorm: bool
) -> list[tuple[Recipe, Bench]]:
    """The bench of every recipe that has any make."""
    panels = {
        doubled: build_panel(job, framing, heads, gust=gust, doubled=doubled, thunderstorm=thunderstorm)
        for doubled in (False, True)
        if (heads := _heads(job, framing, (makes for recipe, makes in found if recipe.doubled is doubled)))
    }
    return [
        (recipe, with_makes(job, framing, panels[recipe.doubled], makes=makes))
        for recipe, makes in found
        if makes
    ]


def _worth_trying(benches: list[tuple[Recipe, Bench]]) -> list[int]:
    """Leave out doubled studs where no single stud governs."""
    singles = {recipe: bench for recipe, bench in benches if not recipe.doubled}
    return [
        k
        for k, (recipe, _) in enumerate(benches)
        if not recipe.doubled or studs_govern(singles.get(evolve(recipe, doubled=False)))
    ]


def studs_govern(bench: Bench | None) -> bool:
    """Whether a doubled stud could help: some single stud cannot take all its brace may give.

    Args:
        bench: the same recipe with single studs, or None.
    """
    if bench is None:
        return True
    reading = np.minimum(np.ceil((bench.level + FARTHEST) / STEP), READINGS - 1).astype(np.intp)
    return bool((bench.table[np.arange(len(reading)), :, reading] > 1.0 + SAME).any())


def _heads(job: Job, framing: Framing, makes: Iterable[tuple[Make, ...]]) -> list[tuple[Inch, Inch]]:
    """Heads of every make, and of every make one stud off its mark."""
    every = [m for some in makes for m in some]
    own = {(m.brace.stud_at, m.brace.head) for m in every}
    beside = {place for m in every for place in one_off(job, framing, m) if place is not None}
    return sorted(own | beside)
