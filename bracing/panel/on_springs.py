"""A stick on springs: a cleat drawn up by its brace, held down by its fasteners, each giving as it pulls."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.units import Inch, InchPound, PoundPerInch

Array = NDArray[np.float64]
_TOUCH = 1e-9


@frozen
class OnSprings:
    """A stick on springs under a pound drawn up, and under a pound-inch turned, each number for one of either.

    Attributes:
        pulls: of every spring, drawn positive: by the load, by the couple [lb/lb, lb/(lb in)].
        moments: along the stick: by the load, by the couple [lb in/lb, -].
    """

    pulls: tuple[tuple[float, ...], tuple[float, ...]]
    moments: tuple[tuple[float, ...], tuple[float, ...]]

    def pull(self, load: float, couple: float) -> Array:
        """Give the pull of every spring, (springs,) [lb].

        Args:
            load: drawn up [lb].
            couple: turned about the middle of the stretch [lb in].
        """
        return load * np.array(self.pulls[0]) + couple * np.array(self.pulls[1])

    def moment(self, load: float, couple: float) -> InchPound:
        """Give the greatest moment in the stick [lb in].

        Args:
            load: drawn up [lb].
            couple: turned about the middle of the stretch [lb in].
        """
        along = load * np.array(self.moments[0]) + couple * np.array(self.moments[1])
        return float(np.abs(along).max(initial=0.0))


PIECES = 8  # of the stretch the load is spread over: the moment is read at their ends


@lru_cache(maxsize=4096)
def stick_on_springs(
    springs: tuple[Inch, ...], *, length: Inch, EI: float, K: PoundPerInch, stretch: tuple[Inch, Inch]
) -> OnSprings:
    """Solve a stick with free ends on springs that work both ways.

    A beam element between any two of its ends, springs and places of load; moments from what lies to their left.

    Args:
        springs: place of each from one end [in].
        length: of the stick [in].
        EI: modulus times second moment of area [lb in^2].
        K: of each spring [lb/in].
        stretch: near and far end of the load, spread evenly [in].

    Returns:
        Pulls and moments of a unit load on the stretch and of a unit couple in its middle.

    Source: STATICS, stiffness method of a beam on springs.

    Example:
        >>> stiff = stick_on_springs((3.0, 9.0, 15.0, 21.0), length=24.0, EI=1e9, K=1e4, stretch=(9.0, 15.0))
        >>> [round(float(pull), 1) for pull in stiff.pull(100.0, 0.0)]
        [25.0, 25.0, 25.0, 25.0]
        >>> [round(float(pull), 1) for pull in stiff.pull(0.0, 180.0)]
        [-9.0, -3.0, 3.0, 9.0]
        >>> round(stiff.moment(100.0, 0.0))
        225
    """
    (low, high), middle = stretch, sum(stretch) / 2.0
    x = _nodes((0.0, length, middle, *springs, *np.linspace(low, high, PIECES + 1).tolist()))
    loads, stiffness = np.zeros((2 * len(x), 2)), np.zeros((2 * len(x), 2 * len(x)))
    for k, (start, stop) in enumerate(pairwise(x)):
        own = slice(2 * k, 2 * k + 4)
        stiffness[own, own] += _element(stop - start, EI)
        if start >= low - _TOUCH and stop <= high + _TOUCH:
            loads[own, 0] += _spread(stop - start, 1.0 / (high - low))
    loads[2 * int(np.argmin(np.abs(x - middle))) + 1, 1] = 1.0
    held = [2 * int(np.argmin(np.abs(x - place))) for place in springs]
    stiffness[held, held] += K
    pulls = np.asarray(K * np.linalg.solve(stiffness, loads)[held], dtype=np.float64)
    # Drawn down by the springs on the left, up by the load there; the couple is met on both sides of the middle.
    x, past = np.append(x, middle), np.append(x > middle + _TOUCH, True)
    down = np.clip(x[:, None] - np.array(springs), 0.0, None) @ pulls
    up = (np.clip(x - low, 0.0, None) ** 2 - np.clip(x - high, 0.0, None) ** 2) / 2.0 / (high - low)
    moments = down - np.stack([up, -1.0 * past], axis=1)
    return OnSprings(_pair(pulls), _pair(moments))


def _pair(columns: Array) -> tuple[tuple[float, ...], tuple[float, ...]]:
    return tuple(columns[:, 0].tolist()), tuple(columns[:, 1].tolist())


def _nodes(places: tuple[float, ...]) -> Array:
    """The places in order, those that touch taken as one."""
    ordered = np.sort(np.array(places))
    return np.asarray(ordered[np.concatenate([[True], np.diff(ordered) > _TOUCH])], dtype=np.float64)


def _element(l: Inch, EI: float) -> Array:  # noqa: E741  (as printed)
    """Stiffness of a beam element: deflection and slope at either end."""
    shape = np.array([
        [12.0, 6.0 * l, -12.0, 6.0 * l], [6.0 * l, 4.0 * l**2, -6.0 * l, 2.0 * l**2],
        [-12.0, -6.0 * l, 12.0, -6.0 * l], [6.0 * l, 2.0 * l**2, -6.0 * l, 4.0 * l**2],
    ])  # fmt: skip
    return np.asarray(EI / l**3 * shape, dtype=np.float64)


def _spread(l: Inch, q: float) -> Array:  # noqa: E741  (as printed)
    """An even load on an element as forces and moments at its ends."""
    return np.array([q * l / 2.0, q * l**2 / 12.0, q * l / 2.0, -q * l**2 / 12.0])
