"""The plan of least work, or of the fewest braces, that stands; where none does, why, in plain words."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from typing import TypedDict

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.links import LinkId
from bracing.chain.model import build_model
from bracing.choosing import (
    LAYOUTS_A_SECOND,
    Budget,
    first_greatest,
    greatest,
    lowest,
    over,
    sorted_by,
    whole_up,
)
from bracing.errors import NoLayoutError
from bracing.job.envelope import BESIDE_OPENING, past_practice_of
from bracing.job.job import Job
from bracing.layout.candidates import Scheme
from bracing.layout.looking import Found, Looking, Progress
from bracing.layout.mending import finish, placed, with_enough_blocks
from bracing.layout.outward import places_at, spreads
from bracing.layout.screen import WITHIN, worst_ratios
from bracing.layout.search import SLACK, grid_size
from bracing.layout.space import SearchSpace
from bracing.layout.steps import LEAST_BRACES, Steps, every_step, make, passed
from bracing.said import Kind, Quantity, Said, says
from bracing.units import Inch, Mph

REASONS = 3


def why_none(space: SearchSpace) -> Said:
    """Say what stops every layout: no foot, too weak a brace, or the link the nearest layout fails at.

    Args:
        space: the wall.
    """
    if not space.made:
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
    if max(float(np.sort(pool.panel.loose)[0]) for _, pool in space.made) > WITHIN:
        return Said("studs-bend-anyhow", gust=Quantity(space.gust, Kind.GIVEN))
    shares = []
    for order, (_, pool) in enumerate(space.made):
        moments = pool.strongest * pool.head
        shares.append(
            (float(moments.max() / np.abs(pool.panel.moment).max()), order, first_greatest(moments))
        )
    share, order, at = greatest(shares, lambda each: each[0])
    studs = len(space.framing.full_height_studs)
    if over(share * studs / 2.0, 1.0):  # a brace on every other stud would do
        return None
    strength = space.made[order][1].candidates[at].strength
    weak = lowest((*strength.push, *strength.pull), lambda each: each.level_force)
    gust = Quantity(space.gust, Kind.GIVEN)
    return Said("stock-too-weak", share=f"{share:.0%}", gust=gust, link=weak.link, why=weak.why or "")


def the_nearest(count: int, scheme: Scheme, gust: Mph) -> Said:
    """Name the layout that comes nearest to a gust.

    Args:
        count: its braces.
        scheme: what they have in common.
        gust: the gust [mph].
    """
    many = Said("braces", count=count) if count > 1 else Said("one-brace")
    return Said("the-nearest", many=many, recipe=scheme.said, gust=Quantity(gust, Kind.GIVEN))


def off_its_mark(which: Said, one_missing: Mph | None) -> Said:
    """Say of a layout that stands as drawn that it does not with a brace off its mark, or gone where that is asked.

    Args:
        which: the layout.
        one_missing: gust at which any one brace may be gone, or None [mph].
    """
    if one_missing is None:
        return Said("over-off-its-mark", which=which)
    return Said("over-off-its-mark-or-gone", which=which)


def _nearest(space: SearchSpace) -> Said:
    """The spread that comes nearest, and the link it fails at."""
    tries = [
        (float(ratio), order, row)
        for order, (_, pool) in enumerate(space.made)
        for layouts in spreads(pool, space.job.wall)
        for ratio, row in zip(worst_ratios(pool, layouts), layouts, strict=True)
    ]
    if not tries:
        return Said("no-spots-at-the-edges", beside=Quantity(BESIDE_OPENING, Kind.INCHES))
    _, order, row = lowest(tries, lambda each: each[0])
    scheme, pool = space.made[order]
    job = placed(space, scheme, pool=pool, layout=row)
    which = the_nearest(len(row), scheme, space.gust)
    if not space.on_hand(with_enough_blocks(job)):
        return Said("takes-more-than-on-hand", which=which)
    finished = finish(build_model(job, thunderstorm=space.thunderstorm), space.gust)
    stuck = finished.stuck
    if not finished.held:
        return Said("leaves-it-free", which=which)
    if not stuck:
        return off_its_mark(which, space.one_missing)
    worst = stuck[0]
    if not worst.why:
        return Said("over-at-a-link", which=which, link=worst.link)
    return Said("over-at-a-link-since", which=which, link=worst.link, why=worst.why)


Ints = NDArray[np.intp]

FewestJson = TypedDict("FewestJson", {
    "braces": int, "work_minutes": int, "past_practice": int, "proved": bool,
})  # fmt: skip

# So long past a budget the search goes on while nothing stands [s], and no longer than so many times the budget.
A_WHILE, OF_BUDGET = 1.6, 10.0
# So long, and so many times the budget, it goes on while no spread passes the screen and nothing stands [s]; guessed.
NOTHING_LIKE, OF_DOUBT = 2.3, 14.0
MOST_OF_A_PLACE = 6  # layouts of one spacing made good in turn until one stands


@frozen
class Grid:
    """What was tried.

    Attributes:
        schemes: schemes tried.
        spots: candidates over all schemes.
        fewer: layouts with fewer braces than the fewest found in the grid.
        evaluated: of those, how many were solved for; the rest fail in balance alone, or mirror one that was.
        proved: every one of them fails.
        by_chain: continuous rows: the chain itself was asked, layout by layout.
        single: no layout with doubled studs was looked at.
    """

    schemes: int
    spots: int
    fewer: int
    evaluated: int
    proved: bool
    by_chain: bool = False
    single: bool = False

    @property
    def said(self) -> Said:
        """The proof line."""
        if self.proved and not self.fewer:
            return Said("none-keeps-the-rules")
        if self.proved:
            return Said("none-with-fewer", tried=f"{self.fewer:,}")
        if self.by_chain:
            return Said("best-of-rows")
        gone, of = f"{self.evaluated:,}", f"{self.fewer:,}"
        if self.single:
            return Said("best-found-single", gone_through=gone, of=of)
        return Said("best-found", gone_through=gone, of=of)


@frozen
class Fewest:
    """The fewest braces found, where the plan of least work has more.

    Attributes:
        braces: how many.
        minutes: the work they take, for two people.
        past_practice: gaps and ends longer than builders leave.
        proved: no layout of the grid has fewer.
    """

    braces: int
    minutes: float
    past_practice: int
    proved: bool

    def to_dict(self) -> FewestJson:
        """Give it as a JSON object."""
        return {
            "braces": self.braces, "work_minutes": whole_up(self.minutes), "past_practice": self.past_practice,
            "proved": self.proved,
        }  # fmt: skip


@frozen(eq=False)
class BestLayout:
    """A layout that stands.

    Attributes:
        job: the job with its braces.
        scheme: what all braces have in common.
        grid: what was tried.
        minutes: the work it takes, for two people.
        least_work: no layout of the grid takes less.
        fewest: the fewest braces found; None where it has no more.
        spread_braces: braces of the first spread that passed the screen, or None.
        without_row: braces it takes without the strongback it has; None where it has none, or nothing stands.
        interrupted: somebody stopped the search.
    """

    job: Job = field(repr=False)
    scheme: Scheme
    grid: Grid
    minutes: float
    least_work: bool
    fewest: Fewest | None
    spread_braces: int | None
    without_row: int | None = None
    interrupted: bool = False


def least(space: SearchSpace, clock: Budget, progress: Progress, *, fewest: bool = False) -> BestLayout:
    """Find the plan of least work, or that of the fewest braces; an interrupt gives the best so far.

    Args:
        space: the wall with its pools.
        clock: the time for the search, of which it takes what it spends.
        progress: told what is being done.
        fewest: the fewest braces, and of those the least work.

    Returns:
        The plan; of equal ones that with peak and kings braced, of least lumber, the most even.

    Raises:
        NoLayoutError: none stands.
        KeyboardInterrupt: interrupted before any stood.
    """
    looking = Looking(space, clock, progress, fewest)
    interrupted = False
    try:
        taken(looking, every_step(looking))
    except KeyboardInterrupt:
        if looking.answer is None:
            raise
        interrupted = True
    if looking.answer is None:
        why = why_none(space)
        why = Said("out-of-budget", why=why) if looking.clock.over else why
        raise NoLayoutError(why, max(1, sum(len(pool.candidates) for _, pool in space.made)))
    return _answer(looking, looking.answer, interrupted=interrupted)


def taken(looking: Looking, steps: Steps) -> None:
    """Take the steps of a search until the budget is over; past it, while nothing stands, the spreads and a while more.

    Args:
        looking: the search.
        steps: its steps.
    """
    clock = looking.clock
    for _ in steps:
        searched = (clock.spent[0] - looking.space.tables.paid) / LAYOUTS_A_SECOND
        late = searched - clock.seconds
        tired = "spread" in looking.proved and late > min(A_WHILE, OF_BUDGET * clock.seconds)
        toiled = (clock.toil[0] - looking.space.tables.paid) / LAYOUTS_A_SECOND
        # Under continuous rows no spread is screened: nothing is known of them, and all are looked at.
        doubtful = bool(looking.spreads) and not any(looking.spreads.values())
        most = NOTHING_LIKE + OF_DOUBT * clock.seconds if doubtful else math.inf
        if clock.over and (looking.best or tired or toiled > min(clock.while_none, most)):
            return


def quick(space: SearchSpace, budget: float, *, fewest: bool = False) -> BestLayout | None:
    """Give the spread, or what a quick look finds better; nothing is proved.

    Args:
        space: the wall with its pools.
        budget: time for the quick look [s].
        fewest: the fewest braces, and of those the least work.
    """
    looking = Looking(space, Budget(budget), lambda _: None, fewest)
    taken(looking, every_step(looking, grid=False))
    return None if looking.answer is None else _answer(looking, looking.answer)


def _answer(looking: Looking, found: Found, *, interrupted: bool = False) -> BestLayout:
    space, number = looking.space, looking.best["number"]
    made = space.tables.all_made
    pools = [pool for _, pool, _ in (space.rows if made else space.single)]
    rows = bool(found.job.wall.rows)
    proved = "number" in looking.proved and not space.job.wall.rows
    count = number.count
    fewer = sum(grid_size(pool, space.job.wall, n) for pool in pools for n in range(2, count))
    more = number.count < found.count
    grid = Grid(
        len(pools), sum(len(pool.candidates) for pool in pools), fewer, looking.looked[0],
        proved=proved and not more and not rows, by_chain=rows, single=not made,
    )  # fmt: skip
    plain = looking.best.get("plain")
    spreads_out = [one for every in looking.spreads.values() for one in every]
    return BestLayout(
        job=found.job, scheme=found.scheme, grid=grid, minutes=found.minutes,
        least_work="work" in looking.proved and not rows,
        fewest=Fewest(
            number.count, number.minutes, past_practice_of(number.job), proved and not number.scheme.strongback
        ) if more else None,
        spread_braces=spreads_out[0][2].shape[1] if spreads_out else None,
        without_row=plain.count if plain is not None and found.scheme.strongback else None,
        interrupted=interrupted,
    )  # fmt: skip


def at_spacing(space: SearchSpace, spacing: Inch) -> BestLayout:
    """Solve a spacing as given: the spread at that spacing, the scheme of least effort that stands.

    Where it does not stand with a brace one stud off, the braces at the ends go nearer to them, or one more does.

    Args:
        space: the wall.
        spacing: farthest step [in].

    Raises:
        NoLayoutError: no scheme stands at that spacing.
    """
    looking = Looking(space, Budget(0.0), lambda _: None)
    for more in (0, 1, 2):
        for order, (_, pool) in enumerate(space.pools):
            studs = sorted(set(pool.x.tolist()))
            spread = places_at(space.job.wall, studs, spacing)
            for places in _nearer_ends(spread, studs, spacing):
                if len(places) != len(spread) + more:
                    continue
                by_place = [np.flatnonzero(pool.x == x) for x in places]
                most = max(map(len, by_place))
                rows = [[k[min(i, len(k) - 1)] for k in by_place] for i in range(most)]
                for layout in islice(passed(looking, order, np.array(rows, dtype=np.intp)), MOST_OF_A_PLACE):
                    found = make(looking, order, layout)
                    if found is not None:
                        return _answer(looking, found)
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
