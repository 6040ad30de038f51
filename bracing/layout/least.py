"""The layout of the fewest braces that stands; where none does, why, in plain words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import islice

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.links import LinkId
from bracing.chain.model import build_model
from bracing.choosing import Budget, first_greatest, greatest, lowest, over, ranks, sorted_by
from bracing.errors import NoLayoutError
from bracing.job.envelope import BESIDE_OPENING, MOST_APART, MOST_FROM_END
from bracing.job.job import Job
from bracing.layout.candidates import Scheme
from bracing.layout.grid import Pool, SearchSpace
from bracing.layout.mending import finish, made_good, placed, with_enough_blocks
from bracing.layout.outward import climb, places_at, spreads
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
from bracing.said import Kind, Quantity, Said, says
from bracing.units import Inch
from bracing.work.parts import enough_sticks

REASONS = 3


def why_none(space: SearchSpace) -> Said:
    """Say what stops every layout: no foot, too weak a brace, or the link the nearest layout fails at.

    Args:
        space: the wall.
    """
    if not space.pools:
        counts = Counter(refused.why for refused in space.refused)
        idle = Counter({why: many for why, many in counts.items() if says(why, "gives-nothing")})
        reasons = tuple(why for why, _ in (idle or counts).most_common(REASONS))
        if idle:  # a foot can stand there: what its brace lacks is what stands against it
            return Said("nothing-anywhere", reasons=_stronger(idle, space.job))
        if reasons:
            return Said("no-foot-anywhere", reasons=reasons)
        return Said("no-stock-long-enough")
    return _weak(space) or _nearest(space)


def _stronger(idle: Counter[Said], job: Job) -> tuple[Said, ...]:
    """What stops the sturdiest braces too: one too slender has others beside it, tied or stiffened, that are not.

    Anchors that nobody declared hold nothing: that is the reason, whatever else would be.
    """
    if job.floor.kind == "slab" and not (job.floor.slab.tension_lb and job.floor.slab.shear_lb):
        return (Said("no-anchor-declared"),)
    sturdy = [why for why, _ in idle.most_common() if dict(why.values)["link"] != LinkId.BRACE_PUSHED]
    return tuple((sturdy or [*idle])[:REASONS])


def _weak(space: SearchSpace) -> Said | None:
    """A wall whose studs fail alone, or whose braces all together cannot balance the wind."""
    if max(float(np.sort(pool.panel.loose)[0]) for _, pool in space.pools) > WITHIN:
        return Said("studs-bend-anyhow", gust=Quantity(space.gust, Kind.GIVEN))
    shares = []
    for order, (_, pool) in enumerate(space.pools):
        moments = pool.strongest * pool.head
        shares.append(
            (float(moments.max() / np.abs(pool.panel.moment).max()), order, first_greatest(moments))
        )
    share, order, at = greatest(shares, lambda each: each[0])
    studs = len(space.framing.full_height_studs)
    if over(share * studs / 2.0, 1.0):  # a brace on every other stud would do
        return None
    strength = space.pools[order][1].candidates[at].strength
    weak = lowest((*strength.push, *strength.pull), lambda each: each.level_force)
    gust = Quantity(space.gust, Kind.GIVEN)
    return Said("stock-too-weak", share=f"{share:.0%}", gust=gust, link=weak.link, why=weak.why or "")


def _nearest(space: SearchSpace) -> Said:
    """The spread that comes nearest, and the link it fails at."""
    tries = [
        (float(ratio), order, row)
        for order, (_, pool) in enumerate(space.pools)
        for layouts in spreads(pool, space.job.wall)
        for ratio, row in zip(worst_ratios(pool, layouts), layouts, strict=True)
    ]
    if not tries:
        from_end, apart = Quantity(MOST_FROM_END, Kind.FEET), Quantity(MOST_APART, Kind.FEET)
        if any(opening.wide for opening in space.job.wall.openings):
            return Said(
                "no-spots-at-the-edges", from_end=from_end, beside=Quantity(BESIDE_OPENING, Kind.INCHES)
            )
        return Said("spots-too-far-apart", from_end=from_end, apart=apart)
    _, order, row = lowest(tries, lambda each: each[0])
    scheme, pool = space.pools[order]
    job = placed(space, scheme, pool=pool, layout=row)
    many = Said("braces", count=len(row)) if len(row) > 1 else Said("one-brace")
    which = Said("the-nearest", many=many, recipe=scheme.said, gust=Quantity(space.gust, Kind.GIVEN))
    if not space.on_hand(with_enough_blocks(job)):
        return Said("takes-more-than-on-hand", which=which)
    finished = finish(build_model(job, thunderstorm=space.thunderstorm), space.gust)
    stuck = finished.stuck
    if not finished.held:
        return Said("leaves-it-free", which=which)
    if not stuck:
        if space.one_missing is None:
            return Said("over-off-its-mark", which=which)
        return Said("over-off-its-mark-or-gone", which=which)
    worst = stuck[0]
    if not worst.why:
        return Said("over-at-a-link", which=which, link=worst.link)
    return Said("over-at-a-link-since", which=which, link=worst.link, why=worst.why)


Ints = NDArray[np.intp]
Progress = Callable[[Said], None]

CLIMB = 1_500.0  # layouts' worth of one climb
OF_A_SPREAD = 6  # layouts of one spread made good in turn until one stands
MOST_BRACES = 40
EVEN: Inch = 0.001  # gaps that differ by less are as even
LEAST_BRACES = 2  # at least two braces live in push


@frozen
class Grid:
    """What was tried.

    Attributes:
        schemes: schemes tried.
        spots: candidates over all schemes.
        fewer: layouts with fewer braces than the answer in the grid.
        evaluated: of those, how many were solved for; the rest fail in balance alone, or mirror one that was.
        proved: every one of them fails.
        by_chain: continuous rows: the chain itself was asked, layout by layout.
    """

    schemes: int
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
class BestLayout:
    """A layout that stands.

    Attributes:
        job: the job with its braces.
        scheme: what all braces have in common.
        grid: what was tried.
        spread_braces: braces of the spread, or None.
        without_row: braces it takes without the strongback tried; None where none was, or nothing stands.
        interrupted: somebody stopped the search.
    """

    job: Job = field(repr=False)
    scheme: Scheme
    grid: Grid
    spread_braces: int | None
    without_row: int | None = None
    interrupted: bool = False


@frozen(eq=False)
class _Found:
    """A layout made good, and which scheme of the space it is of."""

    order: int
    job: Job

    @property
    def count(self) -> int:
        return len(self.job.braces)


def least(space: SearchSpace, budget: float, progress: Progress) -> BestLayout:
    """Find the least number of braces of the grid; an interrupt gives the best so far.

    Args:
        space: the wall with its pools.
        budget: time for the search of fewer braces [s].
        progress: told what is being done.

    Returns:
        The layout of least number, then least effort and lumber, then evenness.

    Raises:
        NoLayoutError: none stands.
        KeyboardInterrupt: interrupted before any stood.
    """
    best: BestLayout | None = None
    clock = Budget(budget)
    try:
        for found in _better(space, clock, progress):
            best = found
    except KeyboardInterrupt:
        if best is None:
            raise
        return evolve(best, interrupted=True)
    if best is None:
        why = why_none(space)
        why = Said("out-of-budget", why=why) if clock.over else why
        raise NoLayoutError(why, max(1, sum(len(pool.candidates) for _, pool in space.pools)))
    return best


def quick(space: SearchSpace, budget: float) -> BestLayout | None:
    """Give the spread, or fewer braces found by a quick look; nothing is proved.

    Args:
        space: the wall with its pools.
        budget: time for the quick look [s].
    """
    clock = Budget(budget)
    spread = _spread(space)
    found = _climbed(space, spread, clock)
    return None if found is None else _answer(space, found, spread, evaluated=0, proved=False)


def _better(space: SearchSpace, clock: Budget, progress: Progress) -> Iterator[BestLayout]:
    """Give answers, each better than the one before; the last one is the best."""
    progress(Said("walking-outward"))
    if space.job.wall.rows:
        for order, job in walked_by_chain(space, clock):
            yield _by_chain(space, _Found(order, job))
        return
    best = None
    for best in _without_rows(space, clock, progress):
        yield best
    yield from _with_strongback(space, best, Budget(clock.seconds), progress)


def _with_strongback(
    space: SearchSpace, best: BestLayout | None, clock: Budget, progress: Progress
) -> Iterator[BestLayout]:
    """Layouts with fewer braces, or any at all, once a strongback helps the studs and plates between them.

    A list of what is on hand is for braces: a row of framing lumber is not in it, and none is asked for.
    """
    if space.on_hand is not enough_sticks:
        return
    most = MOST_BRACES + 1 if best is None else len(best.job.braces)
    fewest = min((least_possible(pool, space.job.wall) for _, pool in space.pools), default=most)
    if fewest >= most:
        return
    progress(Said("looking-with-a-strongback"))
    stiff = space.with_row(strongback_of(space.job.wall))
    found = least_with_strongback(stiff, most, clock)
    if found is not None:
        answer = _by_chain(stiff, _Found(*found))
        spread_braces, plain = (None, None) if best is None else (best.spread_braces, len(best.job.braces))
        scheme = evolve(answer.scheme, strongback=True)
        yield evolve(answer, scheme=scheme, spread_braces=spread_braces, without_row=plain)


def _without_rows(space: SearchSpace, clock: Budget, progress: Progress) -> Iterator[BestLayout]:
    """Give answers without a row, each better than the one before."""
    spread = _spread(space)
    if spread is not None:
        yield _answer(space, spread, spread, evaluated=0, proved=False)
    progress(Said("looking-for-fewer"))
    best = _climbed(space, spread, Budget(clock.seconds))
    if best is not None and best is not spread:
        yield _answer(space, best, spread, evaluated=0, proved=False)
    most = best.count if best is not None else min(MOST_BRACES, len(space.framing.full_height_studs))
    evaluated, complete = 0, True
    for count in range(LEAST_BRACES, most + 1):
        last = best.order if best is not None and count == most else len(space.pools)
        found, tried, all_tried = _of_count(space, count, last, clock=clock, progress=progress)
        if found is not None:
            yield _answer(space, found, spread, evaluated=evaluated, proved=complete)
            return
        if count < most:
            evaluated, complete = evaluated + tried, complete and all_tried
        if clock.over:
            break
    if best is not None:
        proved = complete and (not clock.over or count == most)
        yield _answer(space, best, spread, evaluated=evaluated, proved=proved)


def _of_count(
    space: SearchSpace, count: int, last: int, *, clock: Budget, progress: Progress
) -> tuple[_Found | None, int, bool]:
    """Try one number of braces with the first schemes: a layout that stands, how many were tried, whether all were."""
    tried, complete = 0, True
    for order, (scheme, pool) in enumerate(space.pools[:last]):
        if least_possible(pool, space.job.wall) > count or not possible(pool, space.job.wall, count):
            continue
        if clock.over:
            return None, tried, False
        progress(Said("trying-braces", count=count, recipe=scheme.said))
        here = search(pool, space.job.wall, count, clock=clock, missing=space.missing[order])
        tried += here.evaluated
        job = _first_that_stands(space, scheme, pool, here, clock=clock)
        if job is not None:
            return _Found(order, job), tried, complete
        complete = complete and here.complete and not clock.over
    return None, tried, complete


def _answer(
    space: SearchSpace, found: _Found, spread: _Found | None, *, evaluated: int, proved: bool
) -> BestLayout:
    count = found.count
    fewer = sum(grid_size(pool, space.job.wall, n) for _, pool in space.pools for n in range(2, count))
    candidates = sum(len(pool.candidates) for _, pool in space.pools)
    grid = Grid(len(space.pools), candidates, fewer, evaluated, proved)
    return BestLayout(found.job, space.pools[found.order][0], grid, None if spread is None else spread.count)


def _by_chain(space: SearchSpace, found: _Found) -> BestLayout:
    made = _answer(space, found, found, evaluated=0, proved=False)
    return evolve(made, grid=evolve(made.grid, by_chain=True))


def _spread(space: SearchSpace) -> _Found | None:
    """The spread with the fewest braces over all schemes that stands; of equals the one of least effort."""
    every = [
        (layouts.shape[1], order, layouts)
        for order, (_, pool) in enumerate(space.pools)
        for layouts in spreads(pool, space.job.wall)
    ]
    for _, order, layouts in sorted(every, key=lambda row: row[:2]):
        scheme, pool = space.pools[order]
        job = _first_that_stands(space, scheme, pool, _as_tried(space, order, layouts))
        if job is not None:
            return _Found(order, job)
    return None


def _climbed(space: SearchSpace, spread: _Found | None, clock: Budget) -> _Found | None:
    """Look quickly for fewer braces than the spread's, number by number up; the first that stands, else the spread."""
    top, wall = spread.count if spread is not None else MOST_BRACES, space.job.wall
    fewest = [least_possible(pool, wall) for _, pool in space.pools]
    for count in range(min(fewest, default=top), top):
        for order, (scheme, pool) in enumerate(space.pools):
            if clock.over:
                return spread
            if fewest[order] > count or not possible(pool, wall, count):
                continue
            clock.spend(CLIMB)
            layout, ratio = climb(pool, wall, count)
            if (
                layout is None
                or ratio > WITHIN
                or not stands_too(pool, space.missing[order], layout[None])[0]
            ):
                continue
            clock.spend(MAKING_GOOD)
            job = made_good(space, placed(space, scheme, pool=pool, layout=layout))
            if job is not None:
                return _Found(order, job)
    return spread


def _as_tried(space: SearchSpace, order: int, layouts: Ints) -> Tried:
    pool = space.pools[order][1]
    ratios = worst_ratios(pool, layouts)
    fine = np.flatnonzero(ratios <= WITHIN)
    fine = fine[stands_too(pool, space.missing[order], layouts[fine])]
    size = len(layouts)
    return Tried(layouts.shape[1], layouts[fine], ratios[fine], size, evaluated=size, complete=True)


def _ordered(pool: Pool, tried: Tried) -> Iterator[Ints]:
    """Fine layouts, least lumber first, then the most even."""
    if not len(tried.found):
        return
    lumber = np.array([m.stick for m in pool.candidates])[tried.found].sum(axis=1)
    gaps = np.diff(pool.x[tried.found], axis=1)
    uneven = gaps.std(axis=1) if gaps.shape[1] else np.zeros(len(tried.found))
    yield from tried.found[np.lexsort((ranks(tried.ratios), ranks(uneven, within=EVEN), ranks(lumber)))]


def _first_that_stands(
    space: SearchSpace, scheme: Scheme, pool: Pool, tried: Tried, *, clock: Budget | None = None
) -> Job | None:
    """The first layout that can be made good: of a spread among its first few, else as long as the budget lasts."""
    for layout in islice(_ordered(pool, tried), OF_A_SPREAD if clock is None else None):
        job = made_good(space, placed(space, scheme, pool=pool, layout=layout))
        if job is not None:
            return job
        if clock is not None:
            clock.spend(MAKING_GOOD)
            if clock.over:
                break
    return None


def at_spacing(space: SearchSpace, spacing: Inch) -> BestLayout:
    """Solve a spacing as given: the spread at that spacing, the scheme of least effort that stands.

    Where it does not stand with a brace one stud off, the braces at the ends go nearer to them, or one more does.

    Args:
        space: the wall.
        spacing: farthest step [in].

    Raises:
        NoLayoutError: no scheme stands at that spacing.
    """
    for more in (0, 1, 2):
        for order, (scheme, pool) in enumerate(space.pools):
            studs = sorted(set(pool.x.tolist()))
            spread = places_at(space.job.wall, studs, spacing)
            for places in _nearer_ends(spread, studs, spacing):
                if len(places) != len(spread) + more:
                    continue
                by_place = [np.flatnonzero(pool.x == x) for x in places]
                most = max(map(len, by_place))
                rows = [[k[min(i, len(k) - 1)] for k in by_place] for i in range(most)]
                tried = _as_tried(space, order, np.array(rows, dtype=np.intp))
                finished = _first_that_stands(space, scheme, pool, tried)
                if finished is not None:
                    found = _Found(order, finished)
                    return _answer(space, found, None, evaluated=0, proved=False)
    why = Said("at-the-spacing-given", why=why_none(space))
    raise NoLayoutError(why, max(1, len(space.pools)))


def _nearer_ends(places: tuple[Inch, ...], studs: list[Inch], spacing: Inch) -> Iterator[tuple[Inch, ...]]:
    """The spread, and the spread with its first and last brace nearer to the ends, or one more beyond them.

    A wall so short that the spread takes one brace has two, about the middle, farthest apart first.
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
