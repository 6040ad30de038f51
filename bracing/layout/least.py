"""Why no layout stands, in plain words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import islice

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.budget import Budget
from bracing.chain.model import build_model
from bracing.choosing import first_greatest, greatest, lowest, over, ranks, sorted_by
from bracing.errors import NoLayoutError
from bracing.job.envelope import BESIDE_OPENING, MOST_APART, MOST_FROM_END
from bracing.job.job import Job
from bracing.layout.candidates import Recipe
from bracing.layout.grid import Bench, Yard
from bracing.layout.mending import finish, made_good, placed
from bracing.layout.outward import climb, places_at, walks
from bracing.layout.screen import WITHIN, worst_ratios
from bracing.layout.search import (
    MAKING_GOOD,
    SLACK,
    Tried,
    grid_size,
    least_possible,
    least_with_strongback,
    possible,
    search,
    stands_too,
    strongback_of,
    walked_by_chain,
)
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch
from bracing.work.parts import enough_sticks

REASONS = 3


def why_none(yard: Yard) -> Said:
    """Say what stops every layout: no foot, too weak a brace, or the link the nearest layout fails at.

    Args:
        yard: the wall.
    """
    if not yard.benches:
        reasons = Counter(refused.why for refused in yard.refused).most_common(REASONS)
        if reasons:
            return Said("no-foot-anywhere", reasons=tuple(why for why, _ in reasons))
        return Said("no-stock-long-enough")
    return _weak(yard) or _nearest(yard)


def _weak(yard: Yard) -> Said | None:
    """A wall whose studs fail alone, or whose braces all together cannot balance the wind."""
    if max(float(np.sort(bench.panel.loose)[0]) for _, bench in yard.benches) > WITHIN:
        return Said("studs-bend-anyhow", gust=Quantity(yard.gust, Kind.GIVEN))
    shares = []
    for order, (_, bench) in enumerate(yard.benches):
        moments = bench.strongest * bench.head
        shares.append(
            (float(moments.max() / np.abs(bench.panel.moment).max()), order, first_greatest(moments))
        )
    share, order, at = greatest(shares, lambda each: each[0])
    studs = len(yard.framing.full_height_studs)
    if over(share * studs / 2.0, 1.0):  # a brace on every other stud would do
        return None
    strength = yard.benches[order][1].makes[at].strength
    weak = lowest((*strength.push, *strength.pull), lambda each: each.level_force)
    gust = Quantity(yard.gust, Kind.GIVEN)
    return Said("stock-too-weak", share=f"{share:.0%}", gust=gust, link=weak.link, why=weak.why or "")


def _nearest(yard: Yard) -> Said:
    """The walk that comes nearest, and the link it fails at."""
    tries = [
        (float(ratio), order, row)
        for order, (_, bench) in enumerate(yard.benches)
        for layouts in walks(bench, yard.job.wall)
        for ratio, row in zip(worst_ratios(bench, layouts), layouts, strict=True)
    ]
    if not tries:
        from_end, apart = Quantity(MOST_FROM_END, Kind.FEET), Quantity(MOST_APART, Kind.FEET)
        if any(opening.wide for opening in yard.job.wall.openings):
            return Said(
                "no-spots-at-the-edges", from_end=from_end, beside=Quantity(BESIDE_OPENING, Kind.INCHES)
            )
        return Said("spots-too-far-apart", from_end=from_end, apart=apart)
    _, order, row = lowest(tries, lambda each: each[0])
    recipe, bench = yard.benches[order]
    job = placed(yard, recipe, bench=bench, layout=row)
    many = Said("braces", count=len(row)) if len(row) > 1 else Said("one-brace")
    which = Said("the-nearest", many=many, recipe=recipe.said, gust=Quantity(yard.gust, Kind.GIVEN))
    if not yard.on_hand(job):
        return Said("takes-more-than-on-hand", which=which)
    finished = finish(build_model(job, thunderstorm=yard.thunderstorm), yard.gust)
    stuck = finished.stuck
    if not finished.held:
        return Said("leaves-it-free", which=which)
    if not stuck:
        if yard.one_missing is None:
            return Said("over-off-its-mark", which=which)
        return Said("over-off-its-mark-or-gone", which=which)
    worst = stuck[0]
    if not worst.why:
        return Said("over-at-a-link", which=which, link=worst.link)
    return Said("over-at-a-link-since", which=which, link=worst.link, why=worst.why)


Ints = NDArray[np.intp]
Told = Callable[[Said], None]

CLIMB = 1_500.0  # layouts' worth of one climb
WALKED = 6  # layouts of one walk made good in turn until one stands
MOST_BRACES = 40
EVEN: Inch = 0.001  # gaps that differ by less are as even
LEAST_BRACES = 2  # at least two braces live in push


@frozen
class Grid:
    """What was tried.

    Attributes:
        recipes: recipes tried.
        spots: makes over all recipes.
        fewer: layouts with fewer braces than the answer in the grid.
        evaluated: of those, how many were solved for; the rest fail in balance alone, or mirror one that was.
        proved: every one of them fails.
        by_chain: continuous rows: the chain itself was asked, layout by layout.
    """

    recipes: int
    spots: int
    fewer: int
    evaluated: int
    proved: bool
    by_chain: bool = False

    @property
    def said(self) -> Said:
        """The proof line."""
        if self.proved and not self.fewer:
            return Said("none-keeps-the-rules")
        if self.proved:
            return Said("none-with-fewer", tried=f"{self.fewer:,}")
        if self.by_chain:
            return Said("best-of-rows")
        return Said("best-found", gone_through=f"{self.evaluated:,}", of=f"{self.fewer:,}")


@frozen(eq=False)
class Answer:
    """A layout that stands.

    Attributes:
        job: the job with its braces.
        recipe: what all braces have in common.
        grid: what was tried.
        walked: braces of the walk, or None.
        without_row: braces it takes without the strongback tried; None where none was, or nothing stands.
        interrupted: somebody stopped the search.
    """

    job: Job = field(repr=False)
    recipe: Recipe
    grid: Grid
    walked: int | None
    without_row: int | None = None
    interrupted: bool = False


@frozen(eq=False)
class _Found:
    """A layout made good, and which recipe of the yard it is of."""

    order: int
    job: Job

    @property
    def count(self) -> int:
        return len(self.job.braces)


def least(yard: Yard, budget: float, progress: Told) -> Answer:
    """Find the least number of braces of the grid; an interrupt gives the best so far.

    Args:
        yard: the wall with its benches.
        budget: time for the search of fewer braces [s].
        progress: told what is being done.

    Returns:
        The layout of least number, then least effort and lumber, then evenness.

    Raises:
        NoLayoutError: none stands.
        KeyboardInterrupt: interrupted before any stood.
    """
    best: Answer | None = None
    clock = Budget(budget)
    try:
        for found in _better(yard, clock, progress):
            best = found
    except KeyboardInterrupt:
        if best is None:
            raise
        return evolve(best, interrupted=True)
    if best is None:
        why = why_none(yard)
        why = Said("out-of-budget", why=why) if clock.over else why
        raise NoLayoutError(why, max(1, sum(len(bench.makes) for _, bench in yard.benches)))
    return best


def quick(yard: Yard, budget: float) -> Answer | None:
    """Give the walk, or fewer braces found by a quick look; nothing is proved.

    Args:
        yard: the wall with its benches.
        budget: time for the quick look [s].
    """
    clock = Budget(budget)
    walk = _walk(yard)
    found = _climbed(yard, walk, clock)
    return None if found is None else _answer(yard, found, walk, evaluated=0, proved=False)


def _better(yard: Yard, clock: Budget, progress: Told) -> Iterator[Answer]:
    """Give answers, each better than the one before; the last one is the best."""
    progress(Said("walking-outward"))
    if yard.job.wall.rows:
        for order, job in walked_by_chain(yard, clock):
            yield _by_chain(yard, _Found(order, job))
        return
    best = None
    for best in _without_rows(yard, clock, progress):
        yield best
    yield from _with_strongback(yard, best, Budget(clock.seconds), progress)


def _with_strongback(yard: Yard, best: Answer | None, clock: Budget, progress: Told) -> Iterator[Answer]:
    """Layouts with fewer braces, or any at all, once a strongback helps the studs and plates between them.

    A list of what is on hand is for braces: a row of framing lumber is not in it, and none is asked for.
    """
    if yard.on_hand is not enough_sticks:
        return
    most = MOST_BRACES + 1 if best is None else len(best.job.braces)
    fewest = min((least_possible(bench, yard.job.wall) for _, bench in yard.benches), default=most)
    if fewest >= most:
        return
    progress(Said("looking-with-a-strongback"))
    stiff = yard.with_row(strongback_of(yard.job.wall))
    found = least_with_strongback(stiff, most, clock)
    if found is not None:
        answer = _by_chain(stiff, _Found(*found))
        walked, plain = (None, None) if best is None else (best.walked, len(best.job.braces))
        recipe = evolve(answer.recipe, strongback=True)
        yield evolve(answer, recipe=recipe, walked=walked, without_row=plain)


def _without_rows(yard: Yard, clock: Budget, progress: Told) -> Iterator[Answer]:
    """Give answers without a row, each better than the one before."""
    walk = _walk(yard)
    if walk is not None:
        yield _answer(yard, walk, walk, evaluated=0, proved=False)
    progress(Said("looking-for-fewer"))
    best = _climbed(yard, walk, Budget(clock.seconds))
    if best is not None and best is not walk:
        yield _answer(yard, best, walk, evaluated=0, proved=False)
    most = best.count if best is not None else MOST_BRACES
    evaluated, complete = 0, True
    for count in range(LEAST_BRACES, most + 1):
        last = best.order if best is not None and count == most else len(yard.benches)
        found, tried, all_tried = _of_count(yard, count, last, clock=clock, progress=progress)
        if found is not None:
            yield _answer(yard, found, walk, evaluated=evaluated, proved=complete)
            return
        if count < most:
            evaluated, complete = evaluated + tried, complete and all_tried
        if clock.over:
            break
    if best is not None:
        proved = complete and (not clock.over or count == most)
        yield _answer(yard, best, walk, evaluated=evaluated, proved=proved)


def _of_count(
    yard: Yard, count: int, last: int, *, clock: Budget, progress: Told
) -> tuple[_Found | None, int, bool]:
    """Try one number of braces with the first recipes: a layout that stands, how many were tried, whether all were."""
    tried, complete = 0, True
    for order, (recipe, bench) in enumerate(yard.benches[:last]):
        if least_possible(bench, yard.job.wall) > count or not possible(bench, yard.job.wall, count):
            continue
        if clock.over:
            return None, tried, False
        progress(Said("trying-braces", count=count, recipe=recipe.said))
        here = search(bench, yard.job.wall, count, clock=clock, gone=yard.gone[order])
        tried += here.evaluated
        job = _first_that_stands(yard, recipe, bench, here, clock=clock)
        if job is not None:
            return _Found(order, job), tried, complete
        complete = complete and here.complete and not clock.over
    return None, tried, complete


def _answer(yard: Yard, found: _Found, walk: _Found | None, *, evaluated: int, proved: bool) -> Answer:
    count = found.count
    fewer = sum(grid_size(bench, yard.job.wall, n) for _, bench in yard.benches for n in range(2, count))
    makes = sum(len(bench.makes) for _, bench in yard.benches)
    grid = Grid(len(yard.benches), makes, fewer, evaluated, proved)
    return Answer(found.job, yard.benches[found.order][0], grid, None if walk is None else walk.count)


def _by_chain(yard: Yard, found: _Found) -> Answer:
    made = _answer(yard, found, found, evaluated=0, proved=False)
    return evolve(made, grid=evolve(made.grid, by_chain=True))


def _walk(yard: Yard) -> _Found | None:
    """The walk with the fewest braces over all recipes that stands; of equals the one of least effort."""
    every = [
        (layouts.shape[1], order, layouts)
        for order, (_, bench) in enumerate(yard.benches)
        for layouts in walks(bench, yard.job.wall)
    ]
    for _, order, layouts in sorted(every, key=lambda row: row[:2]):
        recipe, bench = yard.benches[order]
        job = _first_that_stands(yard, recipe, bench, _as_tried(yard, order, layouts))
        if job is not None:
            return _Found(order, job)
    return None


def _climbed(yard: Yard, walk: _Found | None, clock: Budget) -> _Found | None:
    """Look quickly for fewer braces than the walk's, number by number up; the first that stands, else the walk."""
    top, wall = walk.count if walk is not None else MOST_BRACES, yard.job.wall
    fewest = [least_possible(bench, wall) for _, bench in yard.benches]
    for count in range(min(fewest, default=top), top):
        for order, (recipe, bench) in enumerate(yard.benches):
            if clock.over:
                return walk
            if fewest[order] > count or not possible(bench, wall, count):
                continue
            clock.spend(CLIMB)
            layout, ratio = climb(bench, wall, count)
            if layout is None or ratio > WITHIN or not stands_too(bench, yard.gone[order], layout[None])[0]:
                continue
            clock.spend(MAKING_GOOD)
            job = made_good(yard, placed(yard, recipe, bench=bench, layout=layout))
            if job is not None:
                return _Found(order, job)
    return walk


def _as_tried(yard: Yard, order: int, layouts: Ints) -> Tried:
    bench = yard.benches[order][1]
    ratios = worst_ratios(bench, layouts)
    fine = np.flatnonzero(ratios <= WITHIN)
    fine = fine[stands_too(bench, yard.gone[order], layouts[fine])]
    size = len(layouts)
    return Tried(layouts.shape[1], layouts[fine], ratios[fine], size, evaluated=size, complete=True)


def _ordered(bench: Bench, tried: Tried) -> Iterator[Ints]:
    """Fine layouts, least lumber first, then the most even."""
    if not len(tried.found):
        return
    lumber = np.array([m.stick for m in bench.makes])[tried.found].sum(axis=1)
    gaps = np.diff(bench.x[tried.found], axis=1)
    uneven = gaps.std(axis=1) if gaps.shape[1] else np.zeros(len(tried.found))
    yield from tried.found[np.lexsort((ranks(tried.ratios), ranks(uneven, within=EVEN), ranks(lumber)))]


def _first_that_stands(
    yard: Yard, recipe: Recipe, bench: Bench, tried: Tried, *, clock: Budget | None = None
) -> Job | None:
    """The first layout that can be made good: of a walk among its first few, else as long as the budget lasts."""
    for layout in islice(_ordered(bench, tried), WALKED if clock is None else None):
        job = made_good(yard, placed(yard, recipe, bench=bench, layout=layout))
        if job is not None:
            return job
        if clock is not None:
            clock.spend(MAKING_GOOD)
            if clock.over:
                break
    return None


def at_spacing(yard: Yard, spacing: Inch) -> Answer:
    """Solve a spacing as given: the walk at that spacing, the recipe of least effort that stands.

    Where it does not stand with a brace one stud off, the braces at the ends go nearer to them, or one more does.

    Args:
        yard: the wall.
        spacing: farthest step [in].

    Raises:
        NoLayoutError: no recipe stands at that spacing.
    """
    for more in (0, 1, 2):
        for order, (recipe, bench) in enumerate(yard.benches):
            studs = sorted(set(bench.x.tolist()))
            walked = places_at(yard.job.wall, studs, spacing)
            for places in _nearer_ends(walked, studs, spacing):
                if len(places) != len(walked) + more:
                    continue
                by_place = [np.flatnonzero(bench.x == x) for x in places]
                most = max(map(len, by_place))
                rows = [[k[min(i, len(k) - 1)] for k in by_place] for i in range(most)]
                tried = _as_tried(yard, order, np.array(rows, dtype=np.intp))
                finished = _first_that_stands(yard, recipe, bench, tried)
                if finished is not None:
                    found = _Found(order, finished)
                    return _answer(yard, found, None, evaluated=0, proved=False)
    why = Said("at-the-spacing-given", why=why_none(yard))
    raise NoLayoutError(why, max(1, len(yard.benches)))


def _nearer_ends(places: tuple[Inch, ...], studs: list[Inch], spacing: Inch) -> Iterator[tuple[Inch, ...]]:
    """The walk, and the walk with its first and last brace nearer to the ends, or one more beyond them.

    A wall so short that the walk takes one brace has two, about the middle, farthest apart first.
    """
    if len(places) < LEAST_BRACES:
        pairs = [
            (a, b)
            for a in studs
            for b in studs
            for x in places
            if a <= x <= b and 0.0 < b - a <= spacing + SLACK
        ]
        yield from sorted_by(pairs, lambda pair: pair[0] - pair[1])
        return
    left = [x for x in studs if x <= places[0] and places[1] - x <= spacing + SLACK][::-1]
    right = [x for x in studs if x >= places[-1] and x - places[-2] <= spacing + SLACK]
    beyond = [x for x in studs if x < places[0] and places[0] - x <= spacing + SLACK]
    past = [x for x in studs if x > places[-1] and x - places[-1] <= spacing + SLACK]
    firsts = [(x,) for x in left] + [(x, places[0]) for x in beyond[::-1]]
    lasts = [(x,) for x in right] + [(places[-1], x) for x in past]
    for first in firsts:
        for last in lasts:
            yield (*first, *places[1:-1], *last)
