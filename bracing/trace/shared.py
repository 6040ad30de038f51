"""Two forces on one thing: shear and lift on the plate's fasteners, bending and a force along a braced stud."""

from __future__ import annotations

import numpy as np

from bracing.chain.links import Array, Group
from bracing.choosing import TIED, first_greatest, slack
from bracing.sums import Known
from bracing.trace.steps import Step, n, steps_of
from bracing.units import Mph


def shared_forces(group: Group, item: int, at: Mph) -> tuple[int, tuple[float, float], tuple[float, float]]:
    """Give the row in which two forces together use most of an item, and both: steady part and part per mph squared.

    The second draws where it is positive and presses where it is negative.

    Args:
        group: links with a `use`; its tension draws where positive and presses where negative.
        item: which.
        at: the gust [mph].
    """
    assert group.use is not None
    assert group.tension is not None
    first = np.abs(group.demand[..., 0] + group.demand[..., 1] * at**2)
    second = group.tension[..., 0] + group.tension[..., 1] * at**2
    row = first_greatest(group.use(first, second)[:, item])
    one = _without_rounding(group.demand[row, item], at, greatest=float(first.max()))
    two = _without_rounding(group.tension[row, item], at, greatest=float(np.abs(second).max()))
    if one[0] + one[1] * at**2 < 0.0:
        one = (-one[0], -one[1])
    return row, one, two


def _without_rounding(parts: Array, at: Mph, *, greatest: float) -> tuple[float, float]:
    """Steady part and part per mph squared, each nothing where it is but the rounding of the greatest beside it."""
    steady, rate = (float(part) for part in parts)
    little = slack(greatest, TIED)
    return steady if abs(steady) > little else 0.0, rate if abs(rate) * at**2 > little else 0.0


def shared_steps(group: Group, item: int, *, limit: Mph, gust: Mph) -> tuple[Step, ...]:
    """Give the steps of the share two forces together use, at the limit gust.

    Args:
        group: links with a `use`.
        item: which of it.
        limit: the gust at which all of it is used [mph].
        gust: the gust shown where that is 0 [mph].
    """
    assert group.use is not None
    at = limit if limit > 0.0 else gust
    _, one, two = shared_forces(group, item, at)
    first, second = (
        load(Known(parts[0], f"{words} at {n(at)} mph, from the frame", ""), parts[1], at)
        for parts, (load, words) in zip((one, two), group.use.loads, strict=True)
    )
    return tuple(steps_of(first, second, *group.use.at(item, first, second)))
