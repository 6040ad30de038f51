"""The least limit gust of a chain, of one wall or of several whose links are asked in one frame."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bracing.chain.links import HIGHEST, MAY_BE, Group, met, spare_of
from bracing.units import Mph

Array = NDArray[np.float64]


def least_limits(groups: tuple[Group, ...], walls: int) -> Array:
    """Give the least limit gust of each of several walls whose links are asked together, (walls,) [mph].

    Args:
        groups: the links of all; some may have theirs in common.
        walls: how many.

    Source: STATICS, a demand is a straight line in the gust squared.
    """
    squared = np.full(walls, HIGHEST**2)
    with np.errstate(divide="ignore", invalid="ignore"):
        for group in groups:
            for spare, rate in spare_of(group) if group.use is None else ():
                apart = _apart(group, spare.shape)
                if spare.min(initial=0.0) < 0.0:
                    least = met(spare, rate, group.since).reshape(apart).min(axis=(0, 2), initial=np.inf)
                else:
                    part = np.fmax.reduce((rate / spare).reshape(apart), axis=(0, 2), initial=0.0)
                    least = np.where(part > 0.0, group.since + 1.0 / part, np.inf)
                np.minimum(squared, least, out=squared)
    for group in groups:
        if group.use is not None:
            each = (
                np.repeat(squared, len(group.capacity) // group.walls) if group.walls > 1 else squared.max()
            )
            if group.ratio_rows(each).max(initial=0.0) > 1.0 - MAY_BE:
                found = group.limits.reshape(_apart(group, (1, len(group.limits)))).min(axis=(0, 2))
                np.minimum(squared, found**2, out=squared)
    return np.asarray(np.sqrt(squared))


def _apart(group: Group, shape: tuple[int, ...]) -> tuple[int, int, int]:
    """How rows and items of a group part into those of each wall, the second axis; of all in common one."""
    rows, items = shape
    if group.walls > 1:
        return rows, group.walls, items // group.walls
    block = len(group.rows.named) if group.rows.walls > 1 else rows
    return rows // (block * group.rows.walls), group.rows.walls, block * items


def least_limit(groups: tuple[Group, ...]) -> Mph:
    """Give the least limit gust of a chain, searching only where closed forms leave one that could be lower [mph].

    Args:
        groups: the chain, of one gust.

    Source: STATICS, a demand is a straight line in the gust squared.
    """
    least = math.sqrt(min((group.least_squared for group in groups if group.use is None), default=HIGHEST**2))
    for group in groups:
        if least > 0.0 and group.use is not None and group.reaches(least):
            least = min(least, float(group.limits.min(initial=HIGHEST)))
    return least
