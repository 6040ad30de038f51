"""The search for the plan of least work and for the fewest braces, one step after another.

No step knows how much of the budget is left: whoever takes them stops when it is over. So a larger budget takes every
step a smaller one takes, in the same order, and then more; and as the best so far is kept, it gives no worse a plan.
"""

from __future__ import annotations

import heapq
from collections.abc import Generator, Iterable, Iterator
from typing import NamedTuple

import numpy as np
from attrs import evolve

from bracing.chain.evaluate import evaluate
from bracing.chain.links import LinkId
from bracing.chain.model import build_model
from bracing.choosing import ranks, sorted_by
from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.layout.candidates import Scheme, with_scheme
from bracing.layout.looking import (
    EVEN,
    PAST_PRACTICE,
    Array,
    Drawn,
    Found,
    Ints,
    Looking,
    Spread,
    weight_of_gaps,
    worth_a_brace,
)
from bracing.layout.mending import (
    bypassed,
    least_fasteners,
    with_enough_blocks,
)
from bracing.layout.outward import A_CALL, Flags, climb, rules_of, spreads, tidied
from bracing.layout.screen import WITHIN, worst_ratios
from bracing.layout.search import (
    Tried,
    blocks,
    covered_by,
    fine_of,
    least_possible,
    none_tried,
    possible,
    search,
    stands_too,
    strongback_of,
)
from bracing.layout.space import SearchSpace
from bracing.said import Said
from bracing.work.minutes import plan_minutes, row_minutes
from bracing.work.parts import enough_sticks
from bracing.work.remedies import RemedyId, remedies

Steps = Iterator[None]

MOST_BRACES = 40
LEAST_BRACES = 2  # at least two braces live in push
HARDLY = 0.95  # what is expected to take more than this part of the best so far is left to the whole grid
# What a plan takes in the end beside what is expected of it, and beside what it takes as drawn, about; measured.
IN_THE_END, FROM_DRAWN = 1.3, 1.1
OF_A_SPREAD = 6  # layouts of one spread made good in turn until one stands
OF_A_NUMBER = (
    6  # so many of one number of braces and scheme are made good, and the one of least work is taken
)
HASTY = 3  # spreads of one number tried under a strongback where none stands without
PROMISING = 12  # spreads of one number tried under a strongback, the nearest first
SPARED = 0.6  # a second stud or stick may go where its links are used no more than this


class _Waiting(NamedTuple):
    """What is to be tried: its rank, minutes expected, scheme, braces, whether none farther apart than in practice.

    Then a spread not yet drawn and those to try after it, or how it stands as drawn, where that is known.
    """

    rank: float
    minutes: float
    order: int
    braces: int
    practice: bool = True
    rows: tuple[tuple[int, ...], ...] = ()
    drawn: Drawn | None = None

    def __lt__(self, other: tuple[object, ...]) -> bool:
        """Of equals the scheme of least effort, then what was put in first."""
        return self[:4] < other[:4]


def make(
    looking: Looking, order: int, layout: Iterable[int], *, space: SearchSpace | None = None
) -> Found | None:
    """Make a layout good, once; None where it does not stand, or can be no better than the best so far.

    Args:
        looking: the search.
        order: its scheme.
        layout: its candidates.
        space: the wall with a row across it, or as it is.
    """
    drawn = looking.drawn(order, layout, space)
    return None if drawn is None else looking.finished(drawn)


# -- from the middle outward


def spread(looking: Looking) -> Steps:
    """The spread that stands with the least work, or the fewest braces; of doubled studs where none else does."""
    looking.progress(Said("walking-outward"))
    for doubled in (False, True):
        if doubled:
            yield from looking.paid()
        for _, order, rows in spreads_passed(looking, doubled=doubled):
            for row in rows[:OF_A_SPREAD]:
                found = make(looking, order, row)
                yield
                if found is not None:
                    return


def spreads_passed(looking: Looking, *, doubled: bool) -> list[Spread]:
    """Give the spreads the screen lets pass, once: what each is expected to take, its scheme, its layouts.

    Args:
        looking: the search.
        doubled: those of doubled studs, and not of single ones.
    """
    if doubled not in looking.spreads:
        every = [
            (
                (fine.shape[1] if looking.fewest else float(looking.costs(order).expected(fine[:1])[0])),
                order,
                fine,
            )
            for order in _orders(looking, doubled=doubled)
            for layouts in spreads(looking.row(order)[1], looking.space.job.wall)
            if len(fine := np.array(list(passed(looking, order, layouts)), dtype=np.intp))
        ]
        looking.spreads[doubled] = sorted_by(every, lambda each: each[0], lambda each: each[1])
    return looking.spreads[doubled]


def _orders(looking: Looking, *, doubled: bool) -> list[int]:
    """The schemes of single studs, or those of doubled ones."""
    return [k for k in looking.orders(doubled=doubled) if not doubled or k >= len(looking.space.single)]


def passed(looking: Looking, order: int, layouts: Ints) -> Iterator[Ints]:
    """Give those of some layouts that the screen lets pass, those expected to take least work first.

    Args:
        looking: the search.
        order: their scheme.
        layouts: candidates of each, (b, n).
    """
    _, pool, missing = looking.row(order)
    fine = layouts[worst_ratios(pool, layouts) <= WITHIN]
    fine = fine[stands_too(pool, missing, fine)]
    if len(fine):
        yield from _in_order(looking, order, fine)


def _in_order(looking: Looking, order: int, layouts: Ints) -> Iterator[Ints]:
    """Layouts, those expected to take least work first, then least lumber, then the most even."""
    _, pool, _ = looking.row(order)
    lumber = np.array([m.stick for m in pool.candidates])[layouts].sum(axis=1)
    gaps = np.diff(pool.x[layouts], axis=1)
    uneven = gaps.std(axis=1) if gaps.shape[1] else np.zeros(len(layouts))
    expected = looking.costs(order).expected(layouts)
    yield from layouts[np.lexsort((ranks(uneven, within=EVEN), ranks(lumber), ranks(expected)))]


# -- a quick look


def climbs(looking: Looking) -> Steps:
    """A quick look at every scheme, with one brace more after another until one stands: the least work first.

    The spreads wait among them. What stands as drawn waits until nothing that is still to be tried is expected to
    take less: to make it good takes longer than anything before.
    """
    looking.progress(Said("looking-for-fewer") if looking.fewest else Said("looking-for-less-work"))
    wall = looking.space.job.wall
    for doubled in (False, True):
        if doubled:
            if not _doubled_could(looking):
                return
            yield from looking.paid()
        waiting = [
            _climb_of(looking, order, least_possible(looking.row(order)[1], wall), practice=practice)
            for order in _orders(looking, doubled=doubled)
            for practice in (True, False)
        ]
        spread_out = spreads_passed(looking, doubled=doubled)
        waiting += [_spread_of(looking, order, rows) for _, order, rows in spread_out]
        heapq.heapify(waiting)
        while waiting:
            next_one = heapq.heappop(waiting)
            if looking.better(HARDLY * next_one.minutes, next_one.braces) and next_one.braces <= _most(
                looking
            ):
                for each in (yield from _looked_at(looking, next_one)):
                    heapq.heappush(waiting, each)


def _looked_at(looking: Looking, one: _Waiting) -> Generator[None, None, list[_Waiting]]:
    """Try what was waiting, and give what is to be tried after it."""
    if one.drawn is not None:
        stood = looking.finished(one.drawn)
        yield
        more = stood is None and one.drawn not in looking.given_up and not one.rows
        more = more and looking.better(HARDLY * one.minutes, one.braces)
        return [_climb_of(looking, one.order, one.braces + 1, practice=one.practice)] if more else []
    if one.rows:
        drawn = looking.drawn(one.order, one.rows[0])
        yield
        if drawn is not None:
            return [_drawn_of(looking, one.order, drawn)]
        return [_spread_of(looking, one.order, np.array(one.rows[1:]))] if one.rows[1:] else []
    every = yield from climbed(looking, one.order, one.braces, practice=one.practice)
    if every:
        return [_drawn_of(looking, one.order, each, practice=one.practice) for each in every]
    return [_climb_of(looking, one.order, one.braces + 1, practice=one.practice)]


def _doubled_could(looking: Looking) -> bool:
    """Whether layouts of doubled studs could be better, were a brace to take no less than on a single one."""
    wall, second = looking.space.job.wall, looking.space.job.kit.minutes.second_stud
    least = []
    for order in looking.orders(doubled=False):
        count = least_possible(looking.row(order)[1], wall)
        least.append((looking.costs(order).expected_of_count(count) + count * second, count))
    return any(looking.better(minutes, count) for minutes, count in least) or not least


def _climb_of(looking: Looking, order: int, count: int, *, practice: bool) -> _Waiting:
    expected = IN_THE_END * looking.costs(order).expected_of_count(count) + (not practice) * PAST_PRACTICE
    return _Waiting((count if looking.fewest else expected), expected, order, count, practice)


def _spread_of(looking: Looking, order: int, rows: Ints) -> _Waiting:
    expected = FROM_DRAWN * float(looking.costs(order).expected(rows[:1])[0])
    every = tuple(tuple(row.tolist()) for row in rows[:OF_A_SPREAD])
    return _Waiting(
        (rows.shape[1] if looking.fewest else expected), expected, order, rows.shape[1], rows=every
    )


def _drawn_of(looking: Looking, order: int, drawn: Drawn, *, practice: bool = True) -> _Waiting:
    whole, count = bypassed(looking.space, with_enough_blocks(drawn.job)), len(drawn.job.braces)
    expected = FROM_DRAWN * plan_minutes(looking.space.job, whole) + weight_of_gaps(drawn.job)
    return _Waiting((count if looking.fewest else expected), expected, order, count, practice, drawn=drawn)


def fewer(looking: Looking) -> Steps:
    """A quick look at fewer braces than were found so far, whatever work they take."""
    looking.progress(Said("looking-for-fewer"))
    wall = looking.space.job.wall
    for doubled in (False, True):
        if "number" in looking.best and looking.best["number"].count <= least_at_edges(looking.space):
            return
        if doubled:
            yield from looking.paid()
        every = looking.orders(doubled=doubled)
        fewest = {order: least_possible(looking.row(order)[1], wall) for order in every}
        top = looking.best["number"].count if "number" in looking.best else _most(looking)
        for count in range(min(fewest.values(), default=top), top):
            stood = False
            for order in every:
                if fewest[order] <= count and not stood:
                    for drawn in (yield from climbed(looking, order, count, practice=False)):
                        stood = stood or looking.finished(drawn) is not None
                        yield
            if stood:
                break


def climbed(
    looking: Looking, order: int, count: int, *, practice: bool
) -> Generator[None, None, list[Drawn]]:
    """Climb to a layout of so many braces, once, and tidy it up; those of both that stand as drawn.

    Args:
        looking: the search.
        order: the scheme.
        count: braces.
        practice: none farther apart than builders leave them.
    """
    if (order, count, practice) in looking.climbed_to:
        return looking.climbed_to[order, count, practice]
    found = looking.climbed_to.setdefault((order, count, practice), [])
    _, pool, missing = looking.row(order)
    wall = looking.space.job.wall
    if not possible(pool, wall, count) or count > len(np.unique(pool.x)):
        return found
    layout, ratio = climb(pool, wall, count, practice=practice, spend=looking.clock.spend)
    yield
    if layout is None or ratio > WITHIN or not stands_too(pool, missing, layout[None])[0]:
        return found
    for each in (_tidied(looking, order, layout), layout):
        drawn = looking.drawn(order, each)
        yield
        if drawn is not None and drawn not in found:
            found.append(drawn)
    return found


def _tidied(looking: Looking, order: int, layout: Ints) -> Ints:
    """Less work: fewer kinds, none on neighbouring studs, peak and kings braced, as far as the screen lets it."""
    _, pool, missing = looking.row(order)
    costs, wall = looking.costs(order), looking.space.job.wall
    favoured = np.isin(pool.x, sorted(worth_a_brace(looking.space))) * 0.01

    def cost(layouts: Ints) -> Array:
        worth: Array = costs.expected(layouts) - favoured[layouts].sum(axis=1)
        return worth

    def stands(layouts: Ints) -> Flags:
        count = layouts.shape[1]
        looking.clock.spend(A_CALL + len(layouts) * (1.0 + 2.0 * count) / 2.0, count)
        fine: Flags = worst_ratios(pool, layouts) <= WITHIN
        fine[fine] = stands_too(pool, missing, layouts[fine])
        return fine

    return tidied(pool, wall, layout, kind=costs.kind, cost=cost, stands=stands)


# -- second studs and sticks where they are not needed


def trim(looking: Looking) -> Steps:
    """Of the best so far, second studs and second sticks are left out where a brace does without."""
    found = looking.answer
    if found is None or found.job in looking.trimmed:
        return
    looking.trimmed.add(found.job)
    for without, links in (
        ({"stud_doubled": False}, remedies()[RemedyId.STUD].mends),
        ({"stiffener": "none"}, remedies()[RemedyId.STIFFENER].mends),
    ):
        use = _used(found.job, looking.space, links)
        with_it = [b.mark for b in found.job.braces if evolve(b, **without) != b]
        idle = sorted(
            (mark for mark in with_it if use.get(mark, 0.0) <= SPARED), key=lambda m: use.get(m, 0.0)
        )
        while idle:
            braces = tuple(
                least_fasteners(found.job, evolve(b, **(without if b.mark in idle else {})))
                for b in found.job.braces
            )
            fitted = with_scheme(looking.space.job, found.scheme)
            start = evolve(fitted, wall=evolve(fitted.wall, rows=found.job.wall.rows), braces=braces)
            drawn = looking.standing(looking.space, _scheme_of(found.scheme, braces), start)
            stood = None if drawn is None else looking.finished(drawn)
            yield
            if stood is not None:
                found = stood
                break
            idle = idle[: len(idle) // 2]


# -- a strongback


def strongback(looking: Looking, most: int = PROMISING) -> Steps:
    """Layouts once a strongback helps the studs and plates between the braces.

    A list of what is on hand is for braces: a row of framing lumber is not in it, and none is asked for.

    Args:
        looking: the search.
        most: so many of one number of braces are tried, the nearest first.
    """
    if looking.space.on_hand is not enough_sticks:
        return
    looking.progress(Said("looking-with-a-strongback"))
    yield from looking.paid()
    stiff = looking.space.with_row(strongback_of(looking.space.job.wall))
    row = row_minutes(looking.space.job)
    by_count: dict[int, list[tuple[float, float, int, Ints]]] = {}
    for order in looking.orders(doubled=True):
        for layouts in _balanced(looking, order):
            # A pool knows no row: its ratios are not the wall's, but say which layouts are nearest.
            ratios = worst_ratios(looking.row(order)[1], layouts).tolist()
            tries = zip(ratios, looking.costs(order).of(layouts).tolist(), layouts, strict=True)
            by_count.setdefault(layouts.shape[1], []).extend(
                (ratio, least + row, order, each) for ratio, least, each in tries
            )
    for count in sorted(by_count):
        nearest = sorted_by(by_count[count], lambda each: each[0], lambda each: each[2])[:most]
        for _, least, order, layout in nearest:
            if looking.better(least, count):
                found = make(looking, order, layout, space=stiff)
                yield
                if found is not None:
                    return


def _hasty(looking: Looking, *, grid: bool) -> Steps:
    """Where no spread passes the screen, a look under a strongback too."""
    if grid:
        yield from strongback(looking, HASTY)
    looking.proved.add("spread")


def _balanced(looking: Looking, order: int) -> Iterator[Ints]:
    """The spreads of a scheme that hold the wind's moment about the plate, whatever the row across the studs."""
    _, pool, _ = looking.row(order)
    wall = looking.space.job.wall
    least, need = least_possible(pool, wall), float(np.abs(pool.panel.moment).max()) * (1.0 - _SLIGHT)
    for layouts in spreads(pool, wall):
        enough = layouts[(pool.strongest * pool.head)[layouts].sum(axis=1) >= need]
        if len(enough) and layouts.shape[1] >= least:
            yield enough


def with_rows(looking: Looking) -> Steps:
    """On a wall with continuous rows: spread after spread, by the whole chain, those of least work first."""
    looking.progress(Said("walking-outward"))
    yield from looking.paid()
    tries = []
    for order in looking.orders(doubled=True):
        for layouts in _balanced(looking, order):
            least = looking.costs(order).of(layouts)
            tries += [
                (len(row) if looking.fewest else float(least[k]), float(least[k]), order, row)
                for k, row in enumerate(layouts)
            ]
    for _, least_minutes, order, row in sorted_by(tries, lambda t: t[0], lambda t: t[2]):
        if looking.better(least_minutes, len(row)):
            make(looking, order, row)
            yield


# -- the whole grid


def number(looking: Looking) -> Steps:
    """The least number of braces: every layout of the grid with fewer, one number after another."""
    yield from looking.paid()
    whole = True
    for count in range(least_at_edges(looking.space), _most(looking) + 1):
        if "number" in looking.best and count >= looking.best["number"].count:
            break
        tries: dict[int, Tried] = {}
        for order in looking.orders(doubled=True):
            tried = yield from _tried(looking, order, count, tries)
            if tried.barren and not tried.evaluated:
                continue
            stood = yield from _some_that_stand(looking, order, tried)
            if stood:
                break
            looking.looked[0] += tried.evaluated
            whole = whole and tried.complete
    if looking.best and whole:
        looking.proved.add("number")


def _tried(
    looking: Looking, order: int, count: int, tries: dict[int, Tried], *, ahead: bool = True
) -> Generator[None, None, Tried]:
    """Search one number of braces of one scheme; what a scheme at least as strong has tried in vain is left out.

    The strongest of those is tried ahead of its turn.
    """
    if order in tries:
        return tries[order]
    scheme, pool, missing = looking.row(order)
    wall = looking.space.job.wall
    if least_possible(pool, wall) > count or not possible(pool, wall, count):
        tries[order] = none_tried(count)
        return tries[order]
    if ahead and (other := _stronger_than(looking, order)) is not None:
        yield from _tried(looking, other, count, tries, ahead=False)
    among = None
    for one, tried in tries.items():
        left = ~_covered(looking, order, one)
        if tried.barren and (among is None or np.count_nonzero(left) < np.count_nonzero(among)):
            among = left
    looking.progress(Said("trying-braces", count=count, recipe=scheme.said))
    found = yield from search(pool, wall, count, clock=looking.clock, missing=missing, among=among)
    if found.barren:
        looking.barren.add((order, count))
    tries[order] = found
    return found


def _stronger_than(looking: Looking, order: int) -> int | None:
    """The scheme that covers most of the candidates of one, half at the least and more than that one of its own."""
    found = [
        (more, -other)
        for other in looking.orders(doubled=True)
        if (more := np.count_nonzero(covers := _covered(looking, order, other))) * 2 >= len(covers)
        and more > np.count_nonzero(_covered(looking, other, order))
    ]
    return -max(found)[1] if found else None


def _covered(looking: Looking, order: int, other: int) -> Flags:
    """Which candidates of a scheme another has too, at least as strong, also where any brace may be gone, (s,)."""
    (_, pool, missing), (_, others, gone) = looking.row(order), looking.row(other)
    found = covered_by(pool, others)
    return found if missing is None or gone is None else found & covered_by(missing, gone)


def _some_that_stand(looking: Looking, order: int, tried: Tried) -> Generator[None, None, bool]:
    stood, given_up = 0, len(looking.given_up)
    for layout in _in_order(looking, order, tried.found) if len(tried.found) else ():
        stood += make(looking, order, layout) is not None
        yield
        if stood + len(looking.given_up) - given_up >= OF_A_NUMBER:
            break
    return stood > 0


def work(looking: Looking) -> Steps:
    """The least work: every layout of the grid that could take less, those of the least at the least first."""
    if looking.fewest:
        return
    yield from looking.paid()
    wall = looking.space.job.wall
    waiting = []
    for order in looking.orders(doubled=True):
        _, pool, _ = looking.row(order)
        for count in range(max(LEAST_BRACES, least_possible(pool, wall)), _most(looking) + 1):
            least = looking.costs(order).of_count(count)
            if not looking.better(least, count) or count > len(np.unique(pool.x)):
                break
            waiting.append((least, order, count))
    for least, order, count in sorted(waiting):
        _, pool, missing = looking.row(order)
        barren = (order, count) in looking.barren or not possible(pool, wall, count)
        if barren or not looking.better(least, count):
            continue
        costs = looking.costs(order)
        for block in blocks(pool, wall, count, clock=looking.clock):
            answer = looking.best.get("work")
            could = block if answer is None else block[costs.of(block) < answer.minutes - 1e-6]
            fine, _ = fine_of(pool, could, clock=looking.clock, missing=missing)
            yield
            for layout in _in_order(looking, order, fine) if len(fine) else ():
                if looking.better(float(costs.of(layout[None])[0]), count):
                    make(looking, order, layout)
                    yield
            yield from trim(looking)
    if looking.best:
        looking.proved.add("work")


_SLIGHT = 1e-9


def _scheme_of(scheme: Scheme, braces: tuple[Brace, ...]) -> Scheme:
    """What braces still have in common, some second studs and sticks left out."""
    doubled, stiffened = any(b.stud_doubled for b in braces), any(b.stiffener != "none" for b in braces)
    return evolve(scheme, doubled=doubled, stiffener=scheme.stiffener if stiffened else "none")


def _used(job: Job, space: SearchSpace, links: Iterable[LinkId]) -> dict[str, float]:
    """The greatest ratio of some links at each brace, at the gust asked."""
    evaluation = evaluate(build_model(job, thunderstorm=space.thunderstorm).crowded, space.gust)
    found: dict[str, float] = {}
    for group in evaluation.groups:
        if group.link.forward in links:
            for link in group.links(space.gust, limits_too=False):
                if link.mark is not None:
                    found[link.mark] = max(found.get(link.mark, 0.0), link.ratio)
    return found


def least_at_edges(space: SearchSpace) -> int:
    """Give a number below which no layout braces both edges of every wide opening, whatever its braces."""
    wall, places = space.job.wall, [stud.x for stud in space.framing.full_height_studs]
    steps, ahead, stops = rules_of(wall, tuple(places))
    for count in range(1, len(places) + 1):
        if bool(np.any(ahead & stops)):
            return max(LEAST_BRACES, count)
        ahead = np.any(steps[ahead], axis=0).astype(bool)
        if not ahead.any():
            break
    return LEAST_BRACES


def _most(looking: Looking) -> int:
    """No layout has more braces: a stud each at the most."""
    return min(MOST_BRACES, len(looking.space.framing.full_height_studs))


def in_turn(*steps: Steps) -> Steps:
    """Take a step of each in turn, until all are done.

    Args:
        steps: the steps of each.
    """
    left = list(steps)
    while left:
        for each in tuple(left):
            try:
                next(each)
            except StopIteration:
                left.remove(each)
            else:
                yield


def every_step(looking: Looking, *, grid: bool = True) -> Steps:
    """Give all steps of a search, in order.

    Args:
        looking: the search.
        grid: go on through the whole grid.
    """
    if looking.space.job.wall.rows:
        yield from with_rows(looking)
        return
    passed_any = bool(spreads_passed(looking, doubled=False))
    if not passed_any:
        yield from looking.paid()
        passed_any = bool(spreads_passed(looking, doubled=True))
    if passed_any:
        yield from climbs(looking)
        if not looking.best:
            yield from spread(looking)
        looking.proved.add("spread")
    else:
        yield from in_turn(climbs(looking), _hasty(looking, grid=grid))
    yield from trim(looking)
    if not looking.fewest:
        yield from fewer(looking)
        yield from trim(looking)
    if grid:
        yield from in_turn(number(looking), work(looking), strongback(looking))
        yield from trim(looking)
