"""Fasteners of one joint: what so many of them may carry together."""

from __future__ import annotations

from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from bracing.sums import formula
from bracing.units import Pound

Many = TypeVar("Many", float, NDArray[np.float64])


@formula
def all_of(Z: Pound, n: Many, Cg: float) -> Many:
    """Give the force so many of them may carry: F = Z n Cg.

    Args:
        Z: force one may carry [lb].
        n: how many [-].
        Cg: group action factor [-].

    Returns:
        Force they may carry [lb].

    Source: NDS 11.3.1, 11.2.2.

    Example:
        >>> all_of(100.0, 4, 0.5)
        200.0
    """
    return Cg * n * Z


@formula
def nails_or_strap(Z: Pound, n: float, strap: Many) -> Many:
    """Give the force of the nails, or of a strap declared there: F = max(Z n, strap).

    Args:
        Z: force one nail may carry [lb].
        n: how many [-].
        strap: allowable force declared; 0 where none is [lb].

    Returns:
        Force they may carry, the greater [lb].

    Source: NDS 11.3.1; USER strap.

    Example:
        >>> nails_or_strap(100.0, 2, 450.0)
        450.0
    """
    return cast("Many", np.maximum(n * Z, strap))


@formula
def along_run(Z: Pound, run: Many, *, n: Many, length: Many) -> Many:
    """Give the force of a row of fasteners along a run of plate: F = n Z run / length.

    Args:
        Z: force one may carry [lb].
        run: length of plate nearest this stud [in].
        n: how many there are in a length, one a spacing [-].
        length: the spacing, or the whole of a short piece of plate [in].

    Returns:
        Force they may carry [lb].

    Source: NDS 11.3.1, 11.2.2.

    Example:
        >>> along_run(100.0, 16.0, n=1.0, length=8.0)
        200.0
    """
    return n * Z * run / length


@formula
def level_force(use: float) -> Pound:
    """Give the level force that uses all of a fastener: F = 1 / use.

    Args:
        use: share of one used by each pound level [1/lb].

    Returns:
        Level force [lb].

    Source: NDS 12.4.

    Example:
        >>> level_force(0.004)
        250.0
    """
    return 1.0 / use
