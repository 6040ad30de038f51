"""A stick on springs: a cleat drawn up by its brace, held down by its fasteners, each giving as it pulls."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.units import Inch, InchPound, PoundPerInch

Array = NDArray[np.float64]
_TOUCH = 1e-9


@frozen(eq=False)
class OnSprings:
    """A stick on springs under a pound drawn up, and under a pound-inch turned, each number for one of either.

    Attributes:
        pulls: of every spring, drawn positive: by the load, by the couple [lb/lb, lb/(lb in)].
        moments: along the stick: by the load, by the couple, (2, places) [lb in/lb, -].
    """

    pulls: tuple[tuple[float, ...], tuple[float, ...]]
    moments: Array

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
        along = load * self.moments[0] + couple * self.moments[1]
        return float(np.abs(along).max(initial=0.0))


PIECES = 128  # of the stretch the load is spread over: the moment is read at their ends, a hundredth of a percent low


@lru_cache(maxsize=4096)
def stick_on_springs(
    springs: tuple[Inch, ...], *, length: Inch, EI: float, K: PoundPerInch, stretch: tuple[Inch, Inch]
) -> OnSprings:
    """Solve a stick with free ends on springs that work both ways.

    Its deflection is a straight line and what the load, the couple and every pull bend it by; each spring gives as the
    stick moves there, and the pulls balance load and couple.

    Args:
        springs: place of each from one end [in].
        length: of the stick [in].
        EI: modulus times second moment of area [lb in^2].
        K: of each spring [lb/in].
        stretch: near and far end of the load, spread evenly [in].

    Returns:
        Pulls and moments of a unit load on the stretch and of a unit couple in its middle.

    Source: STATICS, a beam with free ends on springs, by integration.

    Example:
        >>> stiff = stick_on_springs((3.0, 9.0, 15.0, 21.0), length=24.0, EI=1e9, K=1e4, stretch=(9.0, 15.0))
        >>> [round(float(pull), 1) for pull in stiff.pull(100.0, 0.0)]
        [25.0, 25.0, 25.0, 25.0]
        >>> [round(float(pull), 1) for pull in stiff.pull(0.0, 180.0)]
        [-9.0, -3.0, 3.0, 9.0]
        >>> round(stiff.moment(100.0, 0.0))
        225
    """
    n, (low, high), middle = len(springs), stretch, sum(stretch) / 2.0
    at, x = np.array(springs), np.linspace(low, high, PIECES + 1)
    everywhere = np.unique(np.concatenate([at, x]))
    bent = np.stack([_drawn(at, stretch, 4) / 24.0, -_past(at, middle, 2) / 2.0], axis=1)
    left, right = np.zeros((n + 2, n + 2)), np.zeros((n + 2, 2))
    left[:n, :n] = np.eye(n) * EI / K / length**3 + _past(at[:, None], at, 3) / 6.0 / length**3
    left[:n, n], left[:n, n + 1] = -1.0, -at / length
    left[n, :n], left[n + 1, :n] = 1.0, at / length
    right[:n] = bent / length**3
    right[n:] = [[1.0, 0.0], [middle / length, 1.0 / length]]
    pulls = np.asarray(np.linalg.solve(left, right)[:n], dtype=np.float64)
    down = _past(everywhere[:, None], at, 1) @ pulls
    up = np.stack([_drawn(everywhere, stretch, 2) / 2.0, -1.0 * (everywhere > middle + _TOUCH)], axis=1)
    turned = _past(np.full((1, n), middle), at, 1) @ pulls  # past the couple
    turned -= np.array([[_drawn(np.array([middle]), stretch, 2)[0] / 2.0, -1.0]])
    moments = np.ascontiguousarray(np.concatenate([down - up, turned]).T)
    moments.setflags(write=False)
    return OnSprings((tuple(pulls[:, 0].tolist()), tuple(pulls[:, 1].tolist())), moments)


def _past(x: Array, at: Array | float, power: int) -> Array:
    """Macaulay's bracket: how far past a place, to a power, and nothing before it."""
    return np.asarray(np.clip(x - at, 0.0, None) ** power, dtype=np.float64)


def _drawn(x: Array, stretch: tuple[Inch, Inch], power: int) -> Array:
    """The bracket of a pound spread over a stretch."""
    low, high = stretch
    return np.asarray((_past(x, low, power) - _past(x, high, power)) / (high - low), dtype=np.float64)
