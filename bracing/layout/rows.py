"""Walls with continuous rows: a row carries between studs, so the batch does not hold and the chain itself is asked."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bracing.job import Job
from bracing.layout.search import Clock, least_possible
from bracing.layout.standing import made_good, placed
from bracing.layout.walk import walks
from bracing.layout.yard import Yard

_ROUNDING = 1e-9
MAKING_GOOD = 7_500.0  # layouts' worth of mending one layout and holding it one stud off


def walked_by_chain(yard: Yard, clock: Clock) -> Iterator[tuple[int, Job]]:
    """Give the walk that stands by the whole chain, and after it any with fewer braces that does.

    Args:
        yard: the wall.
        clock: the budget; the first answer is looked for past it.

    Returns:
        Which recipe of the yard, and the job made good, each with fewer braces than the one before.
    """
    tries = []
    for order, (_, bench) in enumerate(yard.benches):
        need = float(np.abs(bench.panel.moment).max()) * (1.0 - _ROUNDING)
        returns = yard.job.wall.left_return.holds or yard.job.wall.right_return.holds
        for layouts in walks(bench, yard.job.wall):
            for row in layouts:
                enough = returns or float((bench.level * bench.head)[row].sum()) >= need
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
