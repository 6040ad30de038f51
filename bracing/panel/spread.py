"""How a brace's lift spreads along the bottom plate: a hat four feet to either side, folded back at ends and doors."""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.units import Inch

Array = NDArray[np.float64]
Pieces = tuple[tuple[Inch, Inch], ...]

HALF: Inch = 48.0  # to either side, the width of a panel; judgement
_TOUCH = 1e-6


@frozen(eq=False)
class Spread:
    """Where along a plate the lift of braces is read, and how much of each brace's comes there.

    Attributes:
        x: places, from LEFT, (p,) [in].
        piece: which piece of plate each is on, (p,).
        share: of each brace's lift to an inch of plate, (p, n) [1/in].
    """

    x: Array = field(repr=False)
    piece: NDArray[np.intp] = field(repr=False)
    share: Array = field(repr=False)


def hat(x: Array, at: Inch, half: Inch = HALF) -> Array:
    """Give the share of a lift that comes to an inch of plate: φ = (1 - |x - at| / half) / half, or nothing.

    Args:
        x: places [in].
        at: where the lift is [in].
        half: how far it spreads to either side [in].

    Returns:
        Share [1/in].

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.

    Example:
        >>> [round(float(share) * 48.0, 3) for share in hat(np.array([0.0, 24.0, 48.0, 60.0]), 0.0)]
        [1.0, 0.5, 0.0, 0.0]
    """
    return np.asarray(np.clip(1.0 - np.abs(x - at) / half, 0.0, None) / half)


def images(at: Inch, piece: tuple[Inch, Inch], half: Inch = HALF) -> tuple[Inch, ...]:
    """Give where a lift and its images stand: what would pass an end of the piece is folded back, as often as it takes.

    Args:
        at: where the lift is [in].
        piece: the piece of plate [in].
        half: how far it spreads to either side [in].

    Returns:
        Places of the lift and of every image that reaches the piece [in].

    Source: STATICS, all of a lift is held by the piece of plate it is on.

    Example:
        >>> images(10.0, (0.0, 200.0)), images(0.0, (0.0, 200.0)), images(100.0, (0.0, 200.0))
        ((10.0, -10.0), (0.0, 0.0), (100.0,))
    """
    low, high = piece
    length = high - low
    turns = range(-int(half / length) - 2, int(half / length) + 3)
    every = (each for k in turns for each in (at + 2.0 * k * length, 2.0 * low - at + 2.0 * k * length))
    return tuple(place for place in every if low - half < place < high + half)


def spread_along(pieces: Pieces, lifts: tuple[Inch, ...], *, also: tuple[Inch, ...] = ()) -> Spread:
    """Spread the lifts of braces along the pieces of a plate they stand on.

    What comes to an inch of plate is a straight line between the places given: its most is at one of them.

    Args:
        pieces: near and far end of each piece of plate, from LEFT [in].
        lifts: where each lift is; on none of the pieces it stays out [in].
        also: places to be read beside, as where the weight above changes [in].

    Returns:
        The places, and the share of each lift there.

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.

    Example:
        >>> whole = spread_along(((0.0, 24.0), (60.0, 240.0)), (12.0, 150.0))
        >>> [round(float(np.trapezoid(whole.share[whole.piece == k, k], whole.x[whole.piece == k])), 6) for k in (0, 1)]
        [1.0, 1.0]
    """
    xs, numbers, shares = [], [], []
    for number, (low, high) in enumerate(pieces):
        here = [low - _TOUCH <= at <= high + _TOUCH for at in lifts]
        folded = [images(at, (low, high)) if on else () for at, on in zip(lifts, here, strict=True)]
        kinks = [k for places in folded for p in places for k in (p - HALF, p, p + HALF)]
        x = np.unique(np.array([low, high, *(k for k in (*kinks, *also) if low < k < high)]))
        share = np.zeros((len(x), len(lifts)))
        for column, places in enumerate(folded):
            share[:, column] = sum((hat(x, place) for place in places), np.zeros(len(x)))
        xs.append(x)
        numbers.append(np.full(len(x), number))
        shares.append(share)
    return Spread(np.concatenate(xs), np.concatenate(numbers), np.concatenate(shares))
