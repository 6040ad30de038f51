"""Walls with continuous rows: a row carries between studs, so the batch does not hold and the chain itself is asked."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bracing.budget import Budget
from bracing.choosing import SAME, sorted_by
from bracing.job.job import Job
from bracing.job.wall import Row, Wall
from bracing.layout.batch import worst_ratios
from bracing.layout.search import least_possible
from bracing.layout.standing import made_good, placed
from bracing.layout.walk import walks
from bracing.layout.yard import Yard
from bracing.units import Inch

Ints = NDArray[np.intp]

ROW_STEP: Inch = 6.0  # a strongback's height is given in whole steps of this
PROMISING = 12  # walks of one number tried under a strongback, the nearest first
MAKING_GOOD = 7_500.0  # layouts' worth of mending one layout and holding it one stud off


def walked_by_chain(yard: Yard, clock: Budget) -> Iterator[tuple[int, Job]]:
    """Give the walk that stands by the whole chain, and after it any with fewer braces that does.

    Args:
        yard: the wall.
        clock: the budget; the first answer is looked for past it.

    Returns:
        Which recipe of the yard, and the job made good, each with fewer braces than the one before.
    """
    tries = []
    for order, (_, bench) in enumerate(yard.benches):
        need = float(np.abs(bench.panel.moment).max()) * (1.0 - SAME)
        for layouts in walks(bench, yard.job.wall):
            for row in layouts:
                enough = float((bench.level * bench.head)[row].sum()) >= need
                if enough and len(row) >= least_possible(bench, yard.job.wall):
                    tries.append((len(row), order, row))
    best = None
    for count, order, row in sorted(tries, key=lambda each: each[:2]):
        if best is not None and (clock.over or count >= best):
            return
        recipe, bench = yard.benches[order]
        clock.spend(MAKING_GOOD)
        job = made_good(yard, placed(yard, recipe, bench=bench, layout=row))
        if job is not None:
            best = count
            yield order, job


def strongback_of(wall: Wall) -> Row:
    """Give the strongback tried as a remedy: of the studs' own size, two thirds up the lowest part of the wall.

    Args:
        wall: the wall.

    Example:
        >>> strongback_of(Wall(name="W", top=((0.0, 144.0), (240.0, 144.0)))).height
        96.0
    """
    lowest = min(z for _, z in wall.top)
    height = max(ROW_STEP, round(lowest * 2.0 / 3.0 / ROW_STEP) * ROW_STEP)
    return Row(height=height, kind="strongback", size=wall.studs.size)


def least_with_strongback(yard: Yard, most: int, clock: Budget) -> tuple[int, Job] | None:
    """Give the walk with the fewest braces that stands under a strongback, if fewer than a number.

    Args:
        yard: the wall with the strongback.
        most: one more than it may have.
        clock: the budget.

    Returns:
        Which recipe of the yard, and the job made good; None where none does.
    """
    by_count: dict[int, list[tuple[float, int, Ints]]] = {}
    for order, (_, bench) in enumerate(yard.benches):
        for layouts in walks(bench, yard.job.wall):
            if least_possible(bench, yard.job.wall) <= layouts.shape[1] < most:
                # A bench knows no row: its ratios are not the wall's, but say which layouts are nearest.
                tries = zip(worst_ratios(bench, layouts).tolist(), layouts, strict=True)
                by_count.setdefault(layouts.shape[1], []).extend(
                    (ratio, order, each) for ratio, each in tries
                )
    for count in sorted(by_count):
        for _, order, nearest in sorted_by(by_count[count], lambda each: each[0], lambda each: each[1])[
            :PROMISING
        ]:
            if clock.over:
                return None
            recipe, bench = yard.benches[order]
            clock.spend(MAKING_GOOD)
            job = made_good(yard, placed(yard, recipe, bench=bench, layout=nearest))
            if job is not None:
                return order, job
    return None
