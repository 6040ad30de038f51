"""From the middle outward, from the stud nearest the middle (the peak, on a gable); and a quick look for fewer."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bracing.choosing import first_least, greatest, lowest, over, ranks
from bracing.job.envelope import MOST_APART, MOST_FROM_END, may_follow, past_practice
from bracing.job.wall import Wall
from bracing.layout.grid import Pool
from bracing.layout.screen import off_mark_ratios, ratios_up_to, worst_ratios
from bracing.units import Inch

_SLACK: Inch = 0.01
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
Rules = tuple[Flags, Flags, Flags]


@lru_cache(maxsize=64)
def rules_of(wall: Wall, places: tuple[Inch, ...], *, practice: bool = False) -> Rules:
    """Give which places may follow which with no brace between them (p, p), and where the first and last may be (p,).

    Args:
        wall: the wall.
        places: studs that take a brace, from LEFT [in].
        practice: as far apart as builders leave them at the most, which a plan need not keep to.
    """

    def may(left: Inch, right: Inch) -> bool:
        return may_follow(wall, left, right) and not (practice and past_practice(wall, left, right))

    steps = np.array([[may(a, b) for b in places] for a in places], dtype=bool)
    starts = [may(-math.inf, x) for x in places]
    stops = [may(x, math.inf) for x in places]
    return steps.reshape(len(places), len(places)), np.array(starts, dtype=bool), np.array(stops, dtype=bool)


def most_after(best: NDArray[np.float64], rules: Rules, count: int) -> NDArray[np.float64]:
    """Give the most that up to n - 1 more braces past each place may add to sums, keeping the rules.

    Args:
        best: the most one brace of each place adds, (p, ..).
        rules: which places may follow which, and where the first and last may be.
        count: braces of a layout, n.

    Returns:
        By how many more, past each place, (n, p, ..); minus infinity where none reach the end.
    """
    steps, _, stops = rules
    after = np.full((count, *best.shape), -np.inf)
    after[0, stops] = 0.0
    for m in range(1, count):
        onward = best + after[m - 1]
        for k, ahead in enumerate(steps):
            after[m, k] = onward[ahead].max(axis=0, initial=-np.inf)
    return after


def middle_of(wall: Wall) -> Inch:
    """Where the spread starts: under the peak if there is one, else mid-length [in].

    Args:
        wall: the wall.
    """
    highest = [x for x, z in wall.top if z >= wall.highest - _SLACK]
    if len(highest) == 1 and 0.0 < highest[0] < wall.length:
        return highest[0]
    return wall.length / 2.0


def places_at(wall: Wall, studs: list[Inch], spacing: Inch) -> tuple[Inch, ...]:
    """Walk outward from the middle at a spacing; where no stud is near enough, to the next one there is.

    Args:
        wall: the wall.
        studs: studs that take a brace, from LEFT [in].
        spacing: farthest step [in].

    Returns:
        Stud places from LEFT, empty where none stands at an edge of a wide opening.
    """
    start = lowest(studs, lambda x: abs(x - middle_of(wall)))
    left = _outward(wall, [x for x in studs if x <= start][::-1], spacing, leftward=True)
    right = _outward(wall, [x for x in studs if x >= start], spacing, leftward=False)
    return tuple(sorted({*left, *right})) if left and right else ()


def _outward(wall: Wall, studs: list[Inch], spacing: Inch, *, leftward: bool) -> tuple[Inch, ...]:
    """Step from the first stud toward an end; empty where an edge of a wide opening has no stud."""
    taken, past = [studs[0]], -math.inf if leftward else math.inf

    def both(rule: Callable[[Wall, Inch, Inch], bool], here: Inch, on: Inch) -> bool:
        return rule(wall, on, here) if leftward else rule(wall, here, on)

    while not both(may_follow, taken[-1], past) or both(past_practice, taken[-1], past):
        ahead = [x for x in studs if both(may_follow, taken[-1], x)]
        if not ahead:
            break
        within = [x for x in ahead if abs(x - taken[-1]) <= spacing + _SLACK]
        taken.append(within[-1] if within else ahead[0])
    return tuple(taken) if both(may_follow, taken[-1], past) else ()


def spacings(wall: Wall) -> tuple[Inch, ...]:
    """Spacings the spread tries, widest first [in].

    Args:
        wall: the wall.
    """
    step = wall.studs.spacing
    return tuple(MOST_APART - k * step for k in range(int(MOST_APART / step)))


def spreads(pool: Pool, wall: Wall) -> Iterator[NDArray[np.intp]]:
    """Give each spread as layouts of one candidate a place: the first of each stud, then the second, and so on.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
    """
    by_place: dict[Inch, list[int]] = {}
    for k, x in enumerate(pool.x.tolist()):
        by_place.setdefault(x, []).append(k)
    seen = set()
    for spacing in spacings(wall):
        places = places_at(wall, sorted(by_place), spacing)
        if not places or places in seen:
            continue
        seen.add(places)
        most = max(len(by_place[x]) for x in places)
        yield np.array(
            [[by_place[x][min(k, len(by_place[x]) - 1)] for x in places] for k in range(most)], dtype=np.intp
        )


STEPS = 40
REACH = 2  # a brace is moved at most this many studs in one step
GOOD = 0.95
NO_BETTER = 1.0 + 1e-6  # what is past this times the ratio so far is no step down, nor as good as one
NEARLY = 1.05  # from here on every brace is also tried one stud off
WORTH = 1.2  # from here on another start is tried where the first came to nothing
A_CALL = 40.0  # layouts' worth of looking at none in one call; measured
TIDYING = 16  # moves toward less work
AT_A_TIME = 12  # layouts of less work looked at in one call, those of least first
Spend = Callable[[float, int], None]


def climb(pool: Pool, wall: Wall, count: int, *, practice: bool, spend: Spend) -> tuple[Ints | None, float]:
    """Look for a layout of n braces with the least worst ratio.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces, n.
        practice: none farther apart than builders leave them.
        spend: told how many layouts were looked at, and their braces.

    Returns:
        The best layout found, from LEFT, and its worst ratio, near 1 with any brace one stud off too; None
        where no spread keeps the rules.
    """
    places = np.unique(pool.x)
    rules = rules_of(wall, tuple(places.tolist()), practice=practice)
    starts = {
        tuple(one) for aims in _aims(wall, count) if (one := _spread(pool, places, rules, aims)) is not None
    }
    if not starts:
        return None, np.inf
    every = np.array(sorted(starts), dtype=np.intp)
    ratios = worst_ratios(pool, every)
    best, least = every[0], np.inf
    for k in np.argsort(ranks(ratios), kind="stable")[:2]:
        found, ratio = _climbed(pool, every[k], rules, spend)
        if ratio < least:
            best, least = found, ratio
        if least <= 1.0 or least > WORTH:
            break
    return best, least


def _climbed(pool: Pool, start: Ints, rules: Rules, spend: Spend) -> tuple[Ints, float]:
    best, ratio = _down(pool, start, rules, spend)
    if ratio > NEARLY:
        return best, ratio
    best, ratio = _down(pool, best, rules, spend, off_mark=True)
    return best, max(ratio, float(worst_ratios(pool, best[None])[0]))


def _down(
    pool: Pool, layout: Ints, rules: Rules, spend: Spend, *, off_mark: bool = False
) -> tuple[Ints, float]:
    """Move one brace at a time while the worst ratio, or that off its mark, falls and is not good enough."""
    best, each = layout, 1.5 * len(layout) if off_mark else 0.5
    ratio = float((off_mark_ratios if off_mark else worst_ratios)(pool, layout[None])[0])
    for _ in range(STEPS):
        near = _neighbours(pool, rules, best)
        if ratio <= GOOD or len(near) == 0:
            break
        spend(A_CALL + each * len(near), len(best))
        tried = (
            off_mark_ratios(pool, near, most=ratio * NO_BETTER, like=best)
            if off_mark
            else ratios_up_to(
                pool, near, ratio * NO_BETTER, like=(best[None], np.zeros(len(near), dtype=np.intp))
            )
        )
        if not over(ratio, float(tried.min())):
            break
        at = first_least(tried)
        best, ratio = near[at], float(tried[at])
    return best, ratio


def _aims(wall: Wall, count: int) -> Iterator[NDArray[np.float64]]:
    """Where n braces would stand: evenly from end to end, nearer the ends, and each under as much of the wind's moment.

    Where a wall is higher more wind comes from higher up: its moment about the plate grows with the square of the
    height.
    """
    for shift in (0.0, 0.5):
        off = MOST_FROM_END * (1.0 - shift)
        yield np.linspace(off, wall.length - off, count) if count > 1 else np.array([wall.length / 2.0])
    x = np.linspace(0.0, wall.length, 1 + 4 * int(wall.length / wall.studs.spacing + 1))
    share = np.cumsum(np.array([wall.height_at(float(at)) for at in x]) ** 2)
    yield np.interp((np.arange(count) + 0.5) / count * share[-1], share, x)


def _spread(
    pool: Pool, places: NDArray[np.float64], rules: Rules, aims: NDArray[np.float64]
) -> list[int] | None:
    """Braces as near to some aims as the rules allow; of each stud the candidate strongest in moment."""
    taken = _nearest_path(places, rules, aims)
    if taken is None:
        return None
    strength = pool.strongest * pool.head
    return [greatest(np.flatnonzero(pool.x == x).tolist(), lambda k: strength[k]) for x in taken]


def _nearest_path(
    places: NDArray[np.float64], rules: Rules, aims: NDArray[np.float64]
) -> NDArray[np.float64] | None:
    """The places that keep the rules and lie nearest to some aims, one each; None where none do."""
    steps, starts, stops = rules
    if not len(places):
        return None
    off = np.where(starts, (places - aims[0]) ** 2, np.inf)
    came = list[NDArray[np.intp]]()
    for aim in aims[1:]:
        before = np.where(steps, off[:, None], np.inf)
        came.append(before.argmin(axis=0))
        off = before.min(axis=0) + (places - aim) ** 2
    off = np.where(stops, off, np.inf)
    last = first_least(off)
    if not math.isfinite(off[last]):
        return None
    path = [last]
    for here in reversed(came):
        path.append(int(here[path[-1]]))
    found: NDArray[np.float64] = places[path[::-1]]
    return found


def _neighbours(pool: Pool, rules: Rules, layout: Ints) -> Ints:
    """Every layout with one brace on another candidate of its stud or of a stud near it."""
    at = np.unique(pool.x, return_inverse=True)[1]
    found = []
    for k, candidate in enumerate(layout):
        close = np.flatnonzero(np.abs(at - at[candidate]) <= REACH)
        close = close[close != candidate]
        rows = np.repeat(layout[None], len(close), axis=0)
        rows[:, k] = close
        found.append(rows)
    return _keeping(rules, at, np.concatenate(found))


def _keeping(rules: Rules, at: Ints, rows: Ints) -> Ints:
    """Those of some layouts that keep the rules."""
    steps, starts, stops = rules
    studs = at[rows]
    kept = starts[studs[:, 0]] & stops[studs[:, -1]] & steps[studs[:, :-1], studs[:, 1:]].all(axis=1)
    return rows[kept]


def tidied(
    pool: Pool, wall: Wall, layout: Ints, *, kind: Ints, cost: Callable[[Ints], NDArray[np.float64]],
    stands: Callable[[Ints], Flags],
) -> Ints:  # fmt: skip
    """Move one brace at a time, or make all of one kind, while the cost falls and the layout stands.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        layout: a layout that stands.
        kind: what is cut alike has one number, (s,).
        cost: gives what layouts cost, (b,).
        stands: says which layouts stand, (b,).
    """
    rules = rules_of(wall, tuple(np.unique(pool.x).tolist()))
    best, least = layout, float(cost(layout[None])[0])
    for _ in range(TIDYING):
        near = np.concatenate([_neighbours(pool, rules, best), _alike(pool, best, kind)])
        costs = cost(near)
        near, costs = near[costs < least - 1e-6], costs[costs < least - 1e-6]
        near = near[np.argsort(ranks(costs), kind="stable")]
        for k in range(0, len(near), AT_A_TIME):
            standing = np.flatnonzero(stands(near[k : k + AT_A_TIME]))
            if len(standing):
                best = near[k + standing[0]]
                least = float(cost(best[None])[0])
                break
        else:
            break
    return best


def _alike(pool: Pool, layout: Ints, kind: Ints) -> Ints:
    """The layout with all braces of one kind, where every stud takes it."""
    found = []
    for one in sorted(set(kind[layout].tolist())):
        same = [np.flatnonzero((pool.x == pool.x[now]) & (kind == one)) for now in layout]
        if all(map(len, same)):
            found.append([each[0] for each in same])
    return np.array(found, dtype=np.intp).reshape(-1, len(layout))
