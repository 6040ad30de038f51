"""Fasteners of one joint: what so many of them may carry, and what one pound of level force asks of each."""

from __future__ import annotations

import math
from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from bracing.sums import formula
from bracing.units import Inch, Pound, Radian

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
def along_run(Z: Pound, run: Many, spacing: Inch) -> Many:
    """Give the force of a row of fasteners along a run of plate: F = Z run / spacing.

    Args:
        Z: force one may carry [lb].
        run: length of plate nearest this stud [in].
        spacing: one every so far [in].

    Returns:
        Force they may carry [lb].

    Source: NDS 11.3.1, 11.2.2.

    Example:
        >>> along_run(100.0, 16.0, 8.0)
        200.0
    """
    return Z * run / spacing


@formula
def plies_together(each: float, plies: Many) -> Many:
    """Give the value of so many plies: R = each plies.

    Args:
        each: what one ply carries [lb or lb in].
        plies: how many [-].

    Returns:
        What they carry [lb or lb in].

    Source: STATICS, plies side by side bend together.

    Example:
        >>> plies_together(742.5, 2.0)
        1485.0
    """
    return each * plies


@formula
def shear_of_each(n: float, Cg: float) -> float:
    """Give the shear on one fastener for each pound level: v = 1 / n / Cg.

    Args:
        n: how many fasteners [-].
        Cg: group action factor [-].

    Returns:
        Shear on one [lb/lb].

    Source: STATICS.

    Example:
        >>> shear_of_each(4, 1.0)
        0.25
    """
    return 1.0 / n / Cg


@formula
def lift_of_each(angle: Radian, n: float) -> float:
    """Give the upward force on one fastener for each pound level: v = tan(angle°) / n.

    Args:
        angle: of the brace above level [rad].
        n: how many fasteners [-].

    Returns:
        Upward force on one [lb/lb].

    Source: STATICS.

    Example:
        >>> round(lift_of_each(math.pi / 4.0, 2), 6)
        0.5
    """
    return math.tan(angle) / n


@formula
def pull_of_each(angle: Radian, n: float, roll: float, *, lever: float) -> float:
    """Give the pull on one fastener for each pound level, of uplift, roll and lever.

    t = tan(angle°) / n roll + lever

    Args:
        angle: of the brace above level [rad].
        n: how many fasteners [-].
        roll: roll factor of the cleat [-].
        lever: pull of the lever above the floor [lb/lb].

    Returns:
        Pull on one [lb/lb].

    Source: STATICS.

    Example:
        >>> round(pull_of_each(math.pi / 4.0, 2, 2.0, lever=0.05), 6)
        1.05
    """
    return math.tan(angle) / n * roll + lever


@formula
def roll_beside(e: Inch, l: Inch) -> float:  # noqa: E741  (as printed)
    """Give the roll factor of one cleat beside a brace: roll = 1 + e / l.

    Args:
        e: from the fasteners to the middle of the brace [in].
        l: from the fasteners to the edge the cleat rolls about [in].

    Returns:
        Pull in the fasteners for each pound of uplift [lb/lb].

    Source: STATICS, moments about the edge the cleat rolls about.

    Example:
        >>> roll_beside(2.5, 1.25)
        3.0
    """
    return 1.0 + e / l


@formula
def lever_of_one(h: Inch, s: Inch) -> float:
    """Give the pull of the lever on a single fastener: t = h / (s / 2).

    Args:
        h: height of the shear above the floor [in].
        s: length of cleat that bears [in].

    Returns:
        Pull for each pound of shear [lb/lb].

    Source: STATICS.

    Example:
        >>> lever_of_one(0.75, 3.0)
        0.5
    """
    return h / (s / 2.0)


@formula
def lever_of_many(h: Inch, n: float, s: Inch) -> float:
    """Give the pull of the lever on the end fastener: t = 6 h (n - 1) / (n (n + 1) s).

    Args:
        h: height of the shear above the floor [in].
        n: how many fasteners [-].
        s: their spread along the cleat [in].

    Returns:
        Pull for each pound of shear [lb/lb].

    Source: STATICS.

    Example:
        >>> lever_of_many(1.0, 2, 10.0)
        0.1
    """
    return 6.0 * h * (n - 1) / (n * (n + 1) * s)


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
