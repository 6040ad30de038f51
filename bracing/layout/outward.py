"""From the middle outward, from the stud nearest the middle (the peak, on a gable); and a quick look for fewer."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bracing.choosing import first_least, greatest, lowest, over
from bracing.job.envelope import APART_SLACK, MOST_APART, MOST_FROM_END, may_follow
from bracing.job.wall import Wall
from bracing.layout.grid import Pool
from bracing.layout.screen import off_mark_ratios, worst_ratios
from bracing.units import Inch

_SLACK: Inch = 0.01
Flags = NDArray[np.bool_]


@lru_cache(maxsize=64)
def rules_of(wall: Wall, places: tuple[Inch, ...]) -> tuple[Flags, Flags, Flags]:
    """Give which places may follow which with no brace between them (p, p), and where the first and last may be (p,).

    Args:
        wall: the wall.
        places: studs that take a brace, from LEFT [in].
    """
    reach = MOST_FROM_END + APART_SLACK
    steps = np.array([[may_follow(wall, a, b) for b in places] for a in places], dtype=bool)
    starts = [x <= reach and may_follow(wall, -math.inf, x) for x in places]
    stops = [wall.length - x <= reach and may_follow(wall, x, math.inf) for x in places]
    return steps.reshape(len(places), len(places)), np.array(starts, dtype=bool), np.array(stops, dtype=bool)


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
    """Walk outward from the middle at a spacing.

    Args:
        wall: the wall.
        studs: studs that take a brace, from LEFT [in].
        spacing: farthest step [in].

    Returns:
        Stud places from LEFT, empty where a step finds no stud.
    """
    start = lowest(studs, lambda x: abs(x - middle_of(wall)))
    left = _outward(wall, [x for x in studs if x <= start][::-1], wall.length, spacing)
    right = _outward(wall, [x for x in studs if x >= start], 0.0, spacing)
    return tuple(sorted({*left, *right})) if left and right else ()


def _outward(wall: Wall, studs: list[Inch], behind: Inch, spacing: Inch) -> tuple[Inch, ...]:
    """Step from the first stud toward the end that is not behind; empty where no stud may follow."""
    taken, leftward = [studs[0]], behind > 0.0
    end = wall.length - behind

    def follows(x: Inch) -> bool:
        return may_follow(wall, x, taken[-1]) if leftward else may_follow(wall, taken[-1], x)

    def stops(x: Inch) -> bool:
        last = may_follow(wall, -math.inf, x) if leftward else may_follow(wall, x, math.inf)
        return abs(x - end) <= MOST_FROM_END + _SLACK and last

    while not stops(taken[-1]):
        ahead = [x for x in studs if abs(x - behind) > abs(taken[-1] - behind) + _SLACK and follows(x)]
        within = [x for x in ahead if abs(x - taken[-1]) <= spacing + _SLACK]
        if not ahead:
            return ()
        taken.append(within[-1] if within else ahead[0])  # past an opening the next stud, however far
    return tuple(taken)


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


Ints = NDArray[np.intp]

STEPS = 40
REACH = 2  # a brace is moved at most this many studs in one step
GOOD = 0.95
NEARLY = 1.05  # from here on every brace is also tried one stud off


def climb(pool: Pool, wall: Wall, count: int) -> tuple[Ints | None, float]:
    """Look for a layout of n braces with the least worst ratio.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces, n.

    Returns:
        The best layout found, from LEFT, and its worst ratio, near 1 with any brace one stud off too; None
        where no spread keeps the spacing rules.
    """
    places = np.unique(pool.x)
    starts = [
        layout for shift in (0.0, 0.5) if (layout := _spread(pool, wall, places, count, shift)) is not None
    ]
    if not starts:
        return None, np.inf
    ratios = worst_ratios(pool, np.array(starts, dtype=np.intp))
    best = np.array(starts[first_least(ratios)], dtype=np.intp)
    best, ratio = _down(pool, wall, places, best, worst_ratios)
    if ratio > NEARLY:
        return best, ratio
    best, ratio = _down(pool, wall, places, best, off_mark_ratios)
    return best, max(ratio, float(worst_ratios(pool, best[None])[0]))


Ratios = Callable[[Pool, Ints], NDArray[np.float64]]


def _down(
    pool: Pool, wall: Wall, places: NDArray[np.float64], layout: Ints, ratios: Ratios
) -> tuple[Ints, float]:
    """Move one brace at a time while the worst ratio falls and is not good enough."""
    best, ratio = layout, float(ratios(pool, layout[None])[0])
    for _ in range(STEPS):
        near = _neighbours(pool, wall, places, best)
        if ratio <= GOOD or len(near) == 0:
            break
        tried = ratios(pool, near)
        if not over(ratio, float(tried.min())):
            break
        at = first_least(tried)
        best, ratio = near[at], float(tried[at])
    return best, ratio


def _spread(
    pool: Pool, wall: Wall, places: NDArray[np.float64], count: int, shift: float
) -> list[int] | None:
    """Spread n braces as evenly as the rules allow; the strongest candidate of each stud in moment about the plate."""
    start, stop = MOST_FROM_END * (1.0 - shift), wall.length - MOST_FROM_END * (1.0 - shift)
    aims = np.linspace(start, stop, count) if count > 1 else np.array([wall.length / 2.0])
    taken = _nearest_path(wall, places, aims)
    if taken is None:
        return None
    strength = pool.strongest * pool.head
    return [greatest(np.flatnonzero(pool.x == x).tolist(), lambda k: strength[k]) for x in taken]


def _nearest_path(
    wall: Wall, places: NDArray[np.float64], aims: NDArray[np.float64]
) -> NDArray[np.float64] | None:
    """The places that keep the rules and lie nearest to some aims, one each; None where none do."""
    steps, starts, stops = rules_of(wall, tuple(places.tolist()))
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


def _keeps_rules(wall: Wall, x: NDArray[np.float64]) -> bool:
    steps = all(may_follow(wall, a, b) for a, b in pairwise(x.tolist()))
    _, starts, stops = rules_of(wall, (float(x[0]), float(x[-1])))
    return bool(starts[0] and stops[1] and steps)


def _neighbours(pool: Pool, wall: Wall, places: NDArray[np.float64], layout: Ints) -> Ints:
    """Every layout with one brace on another candidate of its stud or of a stud near it."""
    found = []
    for k, candidate in enumerate(layout):
        at = int(np.searchsorted(places, pool.x[candidate]))
        for x in places[max(0, at - REACH) : at + REACH + 1]:
            moved = pool.x[layout].copy()
            moved[k] = x
            if not _keeps_rules(wall, moved):
                continue
            for other in np.flatnonzero(pool.x == x):
                if other != candidate:
                    row = layout.copy()
                    row[k] = other
                    found.append(row)
    return np.array(found, dtype=np.intp).reshape(-1, len(layout))
