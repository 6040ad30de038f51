"""The least braces: every number from the least possible up, every recipe, until one stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.brace import Brace
from bracing.chain.forces import build_model, with_job
from bracing.errors import NoLayoutError
from bracing.evaluate import keeping
from bracing.job import Job
from bracing.layout.batch import off_mark_ratios, worst_ratios
from bracing.layout.bench import Bench
from bracing.layout.climb import climb
from bracing.layout.finish import finish, least_fasteners
from bracing.layout.makes import Recipe, with_recipe
from bracing.layout.search import Clock, Tried, grid_size, least_possible, search
from bracing.layout.walk import middle_of, places_at, walks
from bracing.layout.yard import Yard
from bracing.units import Inch

Ints = NDArray[np.intp]

CANDIDATES = 6  # fine layouts finished in turn until one stands with a brace one stud off
ROUNDS = 4
MOST_BRACES = 40


@frozen
class Grid:
    """What was tried.

    Attributes:
        recipes: recipes tried, in words.
        spots: makes over all recipes.
        fewer: layouts with fewer braces than the answer in the grid.
        evaluated: of those, how many went through the whole chain.
        proved: every one of them fails.
    """

    recipes: int
    spots: int
    fewer: int
    evaluated: int
    proved: bool

    def said(self) -> str:
        """Give the proof line."""
        if self.proved:
            return f"no layout with fewer among the {self.fewer:,} tried"
        return f"best found; fewer not ruled out ({self.evaluated:,} of {self.fewer:,} tried)"


@frozen(eq=False)
class Answer:
    """A layout that stands.

    Attributes:
        job: the job with its braces.
        recipe: what all braces have in common.
        grid: what was tried.
        walked: braces of the walk, or None.
    """

    job: Job = field(repr=False)
    recipe: Recipe
    grid: Grid
    walked: int | None


def least(yard: Yard, budget: float, progress: Callable[[str], None]) -> Answer:
    """Find the least number of braces of the grid.

    Args:
        yard: the wall with its benches.
        budget: time for the search of fewer braces [s].
        progress: told what is being done.

    Returns:
        The layout of least number, then least effort and lumber, then evenness.

    Raises:
        NoLayoutError: none stands.
    """
    progress("walking outward from the middle")
    clock = Clock(budget)
    first = _walk_answer(yard)
    walked = len(first.job.braces) if first else None
    progress("looking for fewer")
    walk = _climbed(yard, first, clock)
    order = yard.benches.index(walk.bench) if walk else len(yard.benches)
    most = len(walk.job.braces) if walk else MOST_BRACES
    evaluated, complete = 0, True
    for count in range(2, most + 1):
        here = 0
        last = order if walk and count == most else len(yard.benches)
        for recipe, bench in yard.benches[:last]:
            if least_possible(bench, yard.job.wall) > count:
                continue
            if clock.over:
                complete = complete and count == most
                break
            progress(f"trying {count} braces: {recipe.said()}")
            tried = search(bench, yard.job.wall, count, clock)
            finished = _first_that_stands(yard, recipe, bench, tried)
            if finished is not None:
                grid = _grid(yard, count, evaluated, proved=complete)
                return Answer(finished, recipe, grid, walked)
            here += tried.evaluated
            if count < most:
                complete = complete and tried.complete and len(tried.found) <= CANDIDATES
        evaluated += here if count < most else 0
    if walk is None:
        raise NoLayoutError(why_none(yard), evaluated)
    return Answer(walk.job, walk.bench[0], _grid(yard, most, evaluated, proved=complete), walked)


@frozen(eq=False)
class Walked:
    """A walk made good.

    Attributes:
        bench: its recipe and bench.
        job: the job with its braces.
    """

    bench: tuple[Recipe, Bench]
    job: Job


def _grid(yard: Yard, count: int, evaluated: int, *, proved: bool) -> Grid:
    """What was tried with fewer than `count` braces."""
    fewer = sum(grid_size(bench, yard.job.wall, n) for _, bench in yard.benches for n in range(2, count))
    return Grid(
        len(yard.benches), sum(len(bench.makes) for _, bench in yard.benches), fewer, evaluated, proved
    )


def _walk_answer(yard: Yard) -> Walked | None:
    """The walk with the fewest braces over all recipes that stands; of equals the one of least effort."""
    found = []
    for order, (_, bench) in enumerate(yard.benches):
        for layouts in walks(bench, yard.job.wall):
            tried = _as_tried(bench, layouts)
            if len(tried.found):
                found.append((tried.count, order, tried))
    for _, order, tried in sorted(found, key=lambda row: row[:2]):
        recipe, bench = yard.benches[order]
        job = _first_that_stands(yard, recipe, bench, tried)
        if job is not None:
            return Walked(yard.benches[order], job)
    return None


def _climbed(yard: Yard, walk: Walked | None, clock: Clock) -> Walked | None:
    """Look quickly for fewer braces than the walk's, number by number up; the first that stands, else the walk."""
    top = len(walk.job.braces) if walk else MOST_BRACES
    possible = [least_possible(bench, yard.job.wall) for _, bench in yard.benches]
    for count in range(min(possible, default=top), top):
        for (recipe, bench), least_here in zip(yard.benches, possible, strict=True):
            if clock.over:
                return walk
            layout, ratio = climb(bench, yard.job.wall, count) if least_here <= count else (None, np.inf)
            if layout is None or ratio > 1.0 or off_mark_ratios(bench, layout[None])[0] > 1.0:
                continue
            job = made_good(yard, placed(yard, recipe, bench, layout))
            if job is not None:
                return Walked((recipe, bench), job)
    return walk


def _as_tried(bench: Bench, layouts: Ints) -> Tried:
    ratios = worst_ratios(bench, layouts)
    return Tried(
        layouts.shape[1], layouts[ratios <= 1.0], ratios[ratios <= 1.0], len(layouts), len(layouts), True
    )


def why_none(yard: Yard) -> str:
    """Say what stops every layout, in plain words.

    Args:
        yard: the wall.
    """
    if not yard.benches:
        reasons = sorted({refused.why for refused in yard.refused})
        return (
            "no foot can stand anywhere: " + "; ".join(reasons[:3])
            if reasons
            else "no stock on hand is long enough"
        )
    loose = max(float(np.sort(bench.panel.loose)[0]) for _, bench in yard.benches)
    if loose > 1.0:
        return (
            f"studs bend past their allowable value between any braces at {yard.gust:g} mph; ask an engineer"
        )
    strongest = max(float((bench.level * bench.head).max()) for _, bench in yard.benches)
    need = max(float(np.abs(bench.panel.moment).max()) for _, bench in yard.benches)
    return (
        f"the strongest brace on the stock at hand balances {strongest / need:.0%} of the wind's moment at "
        f"{yard.gust:g} mph, and no spacing stands; longer or wider stock, more ties, or a lower gust"
    )


def _ordered(bench: Bench, tried: Tried) -> Iterator[Ints]:
    """Fine layouts, least lumber first, then the most even."""
    if not len(tried.found):
        return
    lumber = np.array([m.stick for m in bench.makes])[tried.found].sum(axis=1)
    gaps = np.diff(bench.x[tried.found], axis=1)
    uneven = gaps.std(axis=1) if gaps.shape[1] else np.zeros(len(tried.found))
    order = np.lexsort((tried.ratios, np.round(uneven, 3), lumber))
    yield from tried.found[order[:CANDIDATES]]


def _first_that_stands(yard: Yard, recipe: Recipe, bench: Bench, tried: Tried) -> Job | None:
    for layout in _ordered(bench, tried):
        job = made_good(yard, placed(yard, recipe, bench, layout))
        if job is not None:
            return job
    return None


def placed(yard: Yard, recipe: Recipe, bench: Bench, layout: Ints) -> Job:
    """Give the job with a layout's braces, marked from the middle outward, two fasteners a joint.

    Args:
        yard: the wall.
        recipe: the recipe.
        bench: its bench.
        layout: makes, (n,).
    """
    start = middle_of(yard.job.wall)
    makes = sorted(
        (bench.makes[k] for k in layout), key=lambda m: (abs(m.brace.stud_at - start), m.brace.stud_at)
    )
    job = with_recipe(yard.job, recipe)
    braces = tuple(least_fasteners(evolve(m.brace, mark=f"B{k + 1}")) for k, m in enumerate(makes))
    return evolve(job, braces=braces)


def made_good(yard: Yard, job: Job) -> Job | None:
    """Mend a layout until it stands as drawn and with any brace one stud off its mark; None where it cannot.

    Args:
        yard: the wall.
        job: the job with its braces.
    """
    moved = one_stud_off(yard, job)
    count = len(job.braces)
    every = evolve(job, braces=(*job.braces, *(brace for _, brace in moved)))
    model = build_model(every, thunderstorm=yard.thunderstorm)
    sets = [list(range(count))]
    for n, (k, _) in enumerate(moved):
        sets.append([count + n if i == k else i for i in range(count)])
    standing = [keeping(model, chosen) for chosen in sets]
    for _ in range(ROUNDS):
        before = job
        for one in standing:
            finished = finish(with_job(one, _with_counts(one.job, job)), yard.gust)
            if finished.stuck:
                return None
            job = _with_counts(job, finished.job)
        if job == before:
            return job
    return None


def one_stud_off(yard: Yard, job: Job) -> tuple[tuple[int, Brace], ...]:
    """Every brace on the next stud, left or right: which brace, and the brace moved.

    Args:
        yard: the wall.
        job: the job with its braces.
    """
    full = [stud.x for stud in yard.framing.full_height_studs]
    taken = {brace.stud_at for brace in job.braces}
    found = []
    for k, brace in enumerate(job.braces):
        at = full.index(brace.stud_at)
        for other in full[max(0, at - 1) : at] + full[at + 1 : at + 2]:
            if other not in taken:
                head = min(brace.head, yard.job.wall.height_at(other))
                found.append((k, evolve(brace, stud_at=other, head=head)))
    return tuple(found)


def _with_counts(job: Job, other: Job) -> Job:
    """Give a job's braces and places with the fastener counts, straps and spacings another job has, if greater."""
    counts = ("head_fasteners", "cleat_fasteners", "floor_fasteners")
    braces = tuple(
        evolve(a, **{name: max(getattr(a, name), getattr(b, name)) for name in counts})
        for a, b in zip(job.braces, other.braces, strict=True)
    )
    return evolve(job, braces=braces, wall=other.wall)


def at_spacing(yard: Yard, spacing: Inch) -> Answer:
    """Solve a spacing as given: the walk at that spacing, the recipe of least effort that stands.

    Args:
        yard: the wall.
        spacing: farthest step [in].

    Raises:
        NoLayoutError: no recipe stands at that spacing.
    """
    for recipe, bench in yard.benches:
        places = places_at(yard.job.wall, sorted(set(bench.x.tolist())), spacing)
        if not places:
            continue
        by_place = [np.flatnonzero(bench.x == x) for x in places]
        most = max(map(len, by_place))
        layouts = np.array([[k[min(i, len(k) - 1)] for k in by_place] for i in range(most)], dtype=np.intp)
        finished = _first_that_stands(yard, recipe, bench, _as_tried(bench, layouts))
        if finished is not None:
            return Answer(finished, recipe, _grid(yard, 2, 0, proved=False), len(places))
    why = f"at the spacing given: {why_none(yard)}"
    raise NoLayoutError(why, len(yard.benches))
