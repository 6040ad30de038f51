"""The least number of braces, over the grid or until the budget runs out.

The grid is every set of n makes, one a stud, none over 10 ft apart and one within 4 ft of each free end. Sets are built
from LEFT; a branch is dropped when the braces it can still take cannot balance the wind's moment about the plate, which
holds whatever the stiffness. What is left is put through the whole chain in blocks.
"""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.envelope import MOST_APART
from bracing.layout.batch import BLOCK, off_mark_ratios, worst_ratios
from bracing.layout.bench import Bench
from bracing.layout.walk import end_reach
from bracing.units import Inch
from bracing.wall import Wall

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

_SLACK: Inch = 0.01
KEEP = 400  # fine layouts kept of one number and recipe to choose from


@frozen(eq=False)
class Tried:
    """What a search over one number of braces found.

    Attributes:
        count: braces in each layout.
        found: layouts within at the gust, also with a brace one stud off, as found, (f, count).
        ratios: their worst ratios.
        grid: how many layouts the grid holds.
        evaluated: how many went through the whole chain; the rest fail in balance alone.
        complete: the grid was gone through to its end.
    """

    count: int
    found: Ints
    ratios: Array
    grid: int
    evaluated: int
    complete: bool


class Clock:
    """How much of the budget is left."""

    def __init__(self, seconds: float) -> None:
        self.end = time.monotonic() + seconds

    @property
    def over(self) -> bool:
        """Whether the budget has run out."""
        return time.monotonic() > self.end


def least_possible(bench: Bench, wall: Wall) -> int:
    """Give a number below which no layout can be: by spacing, by motions to hold, by moment about the plate.

    Args:
        bench: the wall with its makes.
        wall: the wall.
    """
    places = np.unique(bench.x)
    if len(places) == 0:
        return 1
    left, right = end_reach(wall)
    at, count = left, 1
    reachable = places[places <= at + _SLACK]
    if len(reachable) == 0:
        return len(places) + 1
    at = float(reachable[-1])
    while wall.length - at > right + _SLACK:
        ahead = places[(places > at + _SLACK) & (places <= at + MOST_APART + _SLACK)]
        if len(ahead) == 0:
            return len(places) + 1
        at, count = float(ahead[-1]), count + 1
    best = np.sort([(bench.level * bench.head)[bench.x == x].max() for x in places])[::-1]
    need = float(np.abs(bench.panel.moment).max())
    returns = wall.left_return.holds or wall.right_return.holds
    by_moment = 1 if returns else int(np.searchsorted(np.cumsum(best), need) + 1)
    return max(count, by_moment, bench.panel.motions.shape[2], 2)


def grid_size(bench: Bench, wall: Wall, count: int) -> int:
    """Count the layouts of the grid, exactly.

    Args:
        bench: the wall with its makes.
        wall: the wall.
        count: braces in each.
    """
    places, makes = np.unique(bench.x, return_counts=True)
    left, right = end_reach(wall)
    ways = [int(m) if x <= left + _SLACK else 0 for x, m in zip(places, makes, strict=True)]
    for _ in range(count - 1):
        ways = [
            int(makes[k]) * sum(ways[j] for j in range(k) if places[k] - places[j] <= MOST_APART + _SLACK)
            for k in range(len(places))
        ]
    return sum(w for w, x in zip(ways, places, strict=True) if wall.length - x <= right + _SLACK)


def search(bench: Bench, wall: Wall, count: int, clock: Clock, *, enough: int = KEEP) -> Tried:
    """Go through the grid of one number of braces.

    Args:
        bench: the wall with its makes.
        wall: the wall.
        count: braces in each layout.
        clock: the budget.
        enough: fine layouts after which the search stops.
    """
    found, ratios, evaluated = [], [], 0
    complete = True
    for block in _blocks(bench, wall, count):
        worst = worst_ratios(bench, block)
        evaluated += len(block)
        fine = np.flatnonzero(worst <= 1.0)
        fine = fine[off_mark_ratios(bench, block[fine]) <= 1.0]
        found.append(block[fine])
        ratios.append(worst[fine])
        if sum(map(len, found)) >= enough or clock.over:
            complete = False
            break
    return Tried(
        count, np.concatenate(found) if found else np.zeros((0, count), dtype=np.intp),
        np.concatenate(ratios) if ratios else np.zeros(0),
        grid=grid_size(bench, wall, count), evaluated=evaluated, complete=complete,
    )  # fmt: skip


def _blocks(bench: Bench, wall: Wall, count: int) -> Iterator[Ints]:
    waiting: list[list[int]] = []
    for layout in _sets(bench, wall, count):
        waiting.append(layout)
        if len(waiting) >= BLOCK * 4:
            yield np.array(waiting, dtype=np.intp)
            waiting = []
    if waiting:
        yield np.array(waiting, dtype=np.intp)


def _sets(bench: Bench, wall: Wall, count: int) -> Iterator[list[int]]:
    """Every layout of the grid whose braces can balance the wind's moment, middle-most spacing first."""
    places = sorted(set(bench.x.tolist()))
    makes = {x: np.flatnonzero(bench.x == x).tolist() for x in places}
    weight = bench.level * bench.head
    best = {x: max(weight[k] for k in makes[x]) for x in places}
    left, right = end_reach(wall)
    returns = wall.left_return.holds or wall.right_return.holds
    need = 0.0 if returns else float(np.abs(bench.panel.moment).max())
    rest = _best_rest(places, best, count)

    def grow(chosen: list[int], at: int, moment: float) -> Iterator[list[int]]:
        missing = count - len(chosen)
        if missing == 0:
            if wall.length - places[at] <= right + _SLACK and moment >= need * (1.0 - 1e-9):
                yield list(chosen)
            return
        far = wall.length - right - _SLACK - MOST_APART * (missing - 1)
        for k in range(at + 1, len(places)):
            step = places[k] - (places[at] if at >= 0 else 0.0)
            if step > (MOST_APART if at >= 0 else left) + _SLACK:
                break
            if places[k] < far - _SLACK or len(places) - k < missing:
                continue
            for pick in makes[places[k]]:
                now = moment + float(weight[pick])
                if now + rest[missing - 1][k + 1] >= need * (1.0 - 1e-9):
                    yield from grow([*chosen, pick], k, now)

    yield from grow([], -1, 0.0)


def _best_rest(places: list[Inch], best: dict[Inch, float], count: int) -> list[list[float]]:
    """Greatest moment m more braces can give from place k on, for every m and k."""
    table = [[0.0] * (len(places) + 2)]
    for m in range(1, count + 1):
        row = [0.0] * (len(places) + 2)
        for k in range(len(places) - 1, -1, -1):
            row[k] = max(row[k + 1], best[places[k]] + table[m - 1][k + 1])
        table.append(row)
    return table
