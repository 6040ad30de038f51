"""A quick look for a layout of n braces: from an even spread, move one brace or change its make while that helps.

It proves nothing; it gives the exact search an answer to beat, and an answer at all where the grid is too large.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from bracing.choosing import first_least, greatest, over
from bracing.job.envelope import MOST_APART, MOST_FROM_END
from bracing.job.wall import Wall
from bracing.layout.batch import off_mark_ratios, worst_ratios
from bracing.layout.bench import Bench
from bracing.units import Inch

Ints = NDArray[np.intp]

STEPS = 40
REACH = 2  # a brace is moved at most this many studs in one step
GOOD = 0.95
NEARLY = 1.05  # from here on every brace is also tried one stud off
_SLACK: Inch = 0.01


def climb(bench: Bench, wall: Wall, count: int) -> tuple[Ints | None, float]:
    """Look for a layout of n braces with the least worst ratio.

    Args:
        bench: the wall with its makes.
        wall: the wall.
        count: braces, n.

    Returns:
        The best layout found, from LEFT, and its worst ratio, near 1 with any brace one stud off too; None
        where no spread keeps the spacing rules.
    """
    places = np.unique(bench.x)
    starts = [
        layout for shift in (0.0, 0.5) if (layout := _spread(bench, wall, places, count, shift)) is not None
    ]
    if not starts:
        return None, np.inf
    ratios = worst_ratios(bench, np.array(starts, dtype=np.intp))
    best = np.array(starts[first_least(ratios)], dtype=np.intp)
    best, ratio = _down(bench, wall, places, best, worst_ratios)
    if ratio > NEARLY:
        return best, ratio
    best, ratio = _down(bench, wall, places, best, off_mark_ratios)
    return best, max(ratio, float(worst_ratios(bench, best[None])[0]))


Ratios = Callable[[Bench, Ints], NDArray[np.float64]]


def _down(
    bench: Bench, wall: Wall, places: NDArray[np.float64], layout: Ints, ratios: Ratios
) -> tuple[Ints, float]:
    """Move one brace at a time while the worst ratio falls and is not good enough."""
    best, ratio = layout, float(ratios(bench, layout[None])[0])
    for _ in range(STEPS):
        near = _neighbours(bench, wall, places, best)
        if ratio <= GOOD or len(near) == 0:
            break
        tried = ratios(bench, near)
        if not over(ratio, float(tried.min())):
            break
        at = first_least(tried)
        best, ratio = near[at], float(tried[at])
    return best, ratio


def _spread(
    bench: Bench, wall: Wall, places: NDArray[np.float64], count: int, shift: float
) -> list[int] | None:
    """Spread n braces evenly, ends within reach; the strongest make of each stud in moment about the plate."""
    left = right = MOST_FROM_END
    start, stop = left * (1.0 - shift), wall.length - right * (1.0 - shift)
    aims = np.linspace(start, stop, count) if count > 1 else np.array([wall.length / 2.0])
    taken: list[float] = []
    for aim in aims:
        free = [x for x in places if x not in taken]
        if not free:
            return None
        taken.append(free[first_least([abs(x - aim) for x in free])])
    taken.sort()
    if not _keeps_rules(wall, np.array(taken)):
        return None
    strength = bench.level * bench.head
    return [greatest(np.flatnonzero(bench.x == x).tolist(), lambda k: strength[k]) for x in taken]


def _keeps_rules(wall: Wall, x: NDArray[np.float64]) -> bool:
    left = right = MOST_FROM_END
    gaps = np.diff(x)
    ends = x[0] <= left + _SLACK and wall.length - x[-1] <= right + _SLACK
    return bool(ends and (gaps <= MOST_APART + _SLACK).all() and (gaps > _SLACK).all())


def _neighbours(bench: Bench, wall: Wall, places: NDArray[np.float64], layout: Ints) -> Ints:
    """Every layout with one brace on another make of its stud or of a stud near it."""
    found = []
    for k, make in enumerate(layout):
        at = int(np.searchsorted(places, bench.x[make]))
        for x in places[max(0, at - REACH) : at + REACH + 1]:
            moved = bench.x[layout].copy()
            moved[k] = x
            if not _keeps_rules(wall, moved):
                continue
            for other in np.flatnonzero(bench.x == x):
                if other != make:
                    row = layout.copy()
                    row[k] = other
                    found.append(row)
    return np.array(found, dtype=np.intp).reshape(-1, len(layout))
