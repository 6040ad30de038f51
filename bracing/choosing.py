"""Choices that the last bits of a sum do not decide, and how long a search may go on.

Two processors add the same numbers up to sums that differ in their last digits. So a number nearer to a limit, or to a
whole number, than 1e-9 of its scale is that number; and of candidates nearer to the best than 1e-7, as far as the
solution of a long wall can be off, the first in the stated order is taken. No word, order, case, verdict or whole
number hangs on less. The scale is the number's own size, and 1 where that is smaller: a pound, an inch, a mph, a ratio.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, TypeVar

from attrs import field, frozen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Item = TypeVar("Item")

SAME = 1e-9  # nearer than this part of its scale to a limit a number is at it
TIED = 1e-7  # nearer than this part of their scale two candidates are as good as one another


def slack(value: float, part: float = SAME) -> float:
    """Give how far from a number another may be and be the same; nothing where it is infinite.

    Args:
        value: the number, in any unit.
        part: of its scale [-].
    """
    return part * max(1.0, abs(value)) if math.isfinite(value) else 0.0


def over(value: float, limit: float) -> bool:
    """Whether a number is past a limit, and not the same.

    Args:
        value: the number, in any unit.
        limit: the limit, in the same.

    Example:
        >>> over(1.0 + 1e-12, 1.0), over(1.001, 1.0)
        (False, True)
    """
    return value > limit + slack(limit)


def whole_up(value: float) -> int:
    """Round a count, or a load people must reckon with, up; what is the same as a whole number is that number.

    Args:
        value: in any unit.

    Example:
        >>> whole_up(4.0 + 1e-12), whole_up(4.01)
        (4, 5)
    """
    return math.ceil(value - slack(value))


def whole_down(value: float) -> int:
    """Round a gust, or a strength people rely on, down; what is the same as a whole number is that number.

    Args:
        value: in any unit.

    Example:
        >>> whole_down(40.0 - 1e-12), whole_down(40.9)
        (40, 40)
    """
    return math.floor(value + slack(value))


def past_half(value: float) -> float:
    """Give a number to be written with fewer digits: one the same as half-way between two goes away from zero.

    Args:
        value: in any unit.

    Example:
        >>> f"{6431.25 - 1e-12:.1f}", f"{past_half(6431.25 - 1e-12):.1f}", f"{past_half(6431.25 + 1e-12):.1f}"
        ('6431.2', '6431.3', '6431.3')
    """
    return value * (1.0 + SAME)


def first_greatest(values: Sequence[float] | NDArray[np.float64]) -> int:
    """Give the place of the greatest; of those that are the same, the first.

    Args:
        values: in any unit; at least one.

    Example:
        >>> first_greatest([1.0, 3.0, 3.0 + 1e-12])
        1
    """
    if isinstance(values, list):  # a few: an array takes longer to make than to look through
        most = max(values)
        least = most - slack(most, TIED)
        return next((k for k, value in enumerate(values) if value >= least), 0)
    import numpy as np

    row = np.asarray(values, dtype=float)
    most = float(row.max())
    return int(np.argmax(row >= most - slack(most, TIED)))


def first_least(values: Sequence[float] | NDArray[np.float64]) -> int:
    """Give the place of the least; of those that are the same, the first.

    Args:
        values: in any unit; at least one.

    Example:
        >>> first_least([2.0, 1.0 + 1e-12, 1.0])
        1
    """
    if isinstance(values, list):
        least = min(values)
        most = least + slack(least, TIED)
        return next((k for k, value in enumerate(values) if value <= most), 0)
    import numpy as np

    row = np.asarray(values, dtype=float)
    least = float(row.min())
    return int(np.argmax(row <= least + slack(least, TIED)))


def greatest(items: Iterable[Item], key: Callable[[Item], float]) -> Item:
    """Give the item whose number is greatest; of those that are the same, the first.

    Args:
        items: at least one.
        key: gives the number of an item.
    """
    every = list(items)
    return every[first_greatest([key(item) for item in every])]


def lowest(items: Iterable[Item], key: Callable[[Item], float]) -> Item:
    """Give the item whose number is least; of those that are the same, the first.

    Args:
        items: at least one.
        key: gives the number of an item.
    """
    every = list(items)
    return every[first_least([key(item) for item in every])]


def ranks(values: Sequence[float] | NDArray[np.float64], within: float | None = None) -> NDArray[np.intp]:
    """Give each number's rank from the least, 0 first; those that are the same share one.

    Args:
        values: in any unit.
        within: nearer than this they are the same; TIED of their scale unless given.

    Returns:
        Ranks, whole and without gaps [-].

    Example:
        >>> ranks([2.0, 1.0 + 1e-12, 1.0, float("inf")]).tolist()
        [1, 0, 0, 2]
    """
    import numpy as np

    row = np.asarray(values, dtype=float)
    order = np.argsort(row, kind="stable")
    found = np.zeros(len(row), dtype=np.intp)
    rank, edge = -1, -math.inf
    for k, value in zip(order.tolist(), row[order].tolist(), strict=True):
        if value > edge or rank < 0:
            rank, edge = rank + 1, value + (slack(value, TIED) if within is None else within)
        found[k] = rank
    return found


def sorted_by(items: Iterable[Item], *keys: Callable[[Item], float]) -> list[Item]:
    """Sort by one number, then by the next; items that are the same in all keep the order they came in.

    Args:
        items: any.
        keys: give the numbers of an item.

    Example:
        >>> sorted_by([(2.0, "a"), (1.0 + 1e-12, "b"), (1.0, "c")], lambda pair: pair[0])
        [(1.000000000001, 'b'), (1.0, 'c'), (2.0, 'a')]
    """
    every = list(items)
    by_key = [ranks([key(item) for item in every]).tolist() for key in keys]
    return [every[k] for k in sorted(range(len(every)), key=lambda k: [row[k] for row in by_key])]


# -- how long a search may go on -------------------------------------------------------------------------

LAYOUTS_A_SECOND = 50_000.0  # measured by tests/bench/layouts.py on one core
# Layouts' worth of one wall worked out in full, and for each brace of it; measured.
A_WALL, A_BRACE = 200.0, 15.0
# A layout's worth takes as long as is counted up to so many braces, and of n braces n over this as long; measured.
NARROW = 6.0


@frozen
class Budget:
    """How much work a search may still do.

    Attributes:
        seconds: the budget, each second LAYOUTS_A_SECOND layouts through the chain [s].
        spent: layouts' worth of work done so far, one entry.
        beside: the same of work that had to be done whatever the budget, and is not taken off it, one entry.
        toil: what was spent, weighed by what so many braces take: how long it took, one entry.
        while_none: so much toil it goes on at the most while there is nothing to answer with [s].
    """

    seconds: float
    spent: list[float] = field(factory=lambda: [0.0])
    beside: list[float] = field(factory=lambda: [0.0])
    toil: list[float] = field(factory=lambda: [0.0])
    while_none: float = math.inf

    def spend_on_wall(self, braces: int) -> None:
        """Take one wall worked out in full off the budget.

        Args:
            braces: how many it has.
        """
        self.spend(A_WALL + A_BRACE * braces)

    def spend(self, layouts: float, braces: int = 0) -> None:
        """Take some work off the budget.

        Args:
            layouts: how many layouts through the chain it is worth.
            braces: how many they have.
        """
        self.spent[0] += layouts
        self.toil[0] += layouts * max(1.0, braces / NARROW)

    @property
    def over(self) -> bool:
        """Whether the budget has run out."""
        return self.spent[0] > self.seconds * LAYOUTS_A_SECOND
