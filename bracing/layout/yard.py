"""A wall at one gust with every make of every recipe on it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import field, frozen

from bracing.framing import Framing, frame_wall
from bracing.job import Job
from bracing.layout.bench import FARTHEST, READINGS, STEP, Bench, build_panel, one_off, with_makes
from bracing.layout.makes import Make, Recipe, makes_for, recipes
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
    """

    job: Job
    framing: Framing
    gust: Mph
    thunderstorm: bool
    benches: tuple[tuple[Recipe, Bench], ...] = field(repr=False)
    refused: tuple[Refused, ...] = field(repr=False)


def make_yard(job: Job, gust: Mph, *, angle: float | None = None, thunderstorm: bool = False) -> Yard:
    """Put every make of every recipe on the wall.

    Args:
        job: the job with its choices, no braces.
        gust: the gust asked [mph].
        angle: angle asked, or None [degrees].
        thunderstorm: wind profile of an outflow.
    """
    framing = frame_wall(job.wall)
    found: list[tuple[Recipe, tuple[Make, ...]]] = []
    refused: dict[tuple[Inch, Inch, Inch, str], Refused] = {}
    for recipe in recipes(job):
        makes, not_here = makes_for(job, framing, recipe, angle=angle)
        found.append((recipe, makes))
        refused.update({(r.stud, r.head, r.set_back, r.why): r for r in not_here})
    panels = {
        doubled: build_panel(job, framing, heads, gust, doubled=doubled, thunderstorm=thunderstorm)
        for doubled in (False, True)
        if (heads := _heads(job, framing, (makes for recipe, makes in found if recipe.doubled is doubled)))
    }
    benches = [
        (recipe, with_makes(job, framing, panels[recipe.doubled], makes)) for recipe, makes in found if makes
    ]
    singles = {(r.size, r.ties, r.sides): bench for r, bench in benches if not r.doubled}
    kept = tuple(
        (r, b) for r, b in benches if not r.doubled or studs_govern(singles.get((r.size, r.ties, r.sides)))
    )
    return Yard(job, framing, gust, thunderstorm, kept, tuple(refused.values()))


def studs_govern(bench: Bench | None) -> bool:
    """Whether a doubled stud could help: some single stud cannot take all its brace may give.

    Args:
        bench: the same recipe with single studs, or None.
    """
    if bench is None:
        return True
    reading = np.minimum(np.ceil((bench.level + FARTHEST) / STEP), READINGS - 1).astype(np.intp)
    return bool((bench.panel.own[bench.at, :, reading] > 1.0).any())


def _heads(job: Job, framing: Framing, makes: Iterable[tuple[Make, ...]]) -> list[tuple[Inch, Inch]]:
    """Heads of every make, and of every make one stud off its mark."""
    every = [m for some in makes for m in some]
    own = {(m.brace.stud_at, m.brace.head) for m in every}
    beside = {place for m in every for place in one_off(job, framing, m) if place is not None}
    return sorted(own | beside)
