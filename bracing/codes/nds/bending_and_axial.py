"""Bending together with compression or tension, as ratios of one.

Where a stress has reached its buckling value the ratio is infinite: the equations stand only below it.
"""

from __future__ import annotations

import math

import numpy as np
from attrs import frozen

from bracing.codes.nds.members import LIMIT_DURING_CONSTRUCTION, Numbers, column_stress
from bracing.sources import cite
from bracing.units import Pound, Psi

ECCENTRIC_AMPLIFIER = 0.234  # NDS 15.4


@frozen
class AxisStrength:
    """What a column resists about one axis.

    Attributes:
        Fb: bending value about it, stability included [psi].
        FcE: buckling value in its plane [psi].
    """

    Fb: Psi
    FcE: Psi


def bending_and_tension(ft: Numbers, fb: Numbers, *, Ft: Psi, Fb_star: Psi) -> Numbers:
    """Give the ratio of bending with tension, ft/Ft' + fb/Fb*.

    Args:
        ft: tension stress on the net section [psi].
        fb: bending stress [psi].
        Ft: tension value, adjusted [psi].
        Fb_star: bending value with every factor but CL [psi].

    Returns:
        The ratio [-].

    Source: NDS Eq. 3.9-1.

    Example:
        >>> round(bending_and_tension(292.4, 520.0, Ft=1008.0, Fb_star=1632.0), 3)
        0.609
    """
    return ft / Ft + fb / Fb_star


def bending_less_tension(ft: Numbers, fb: Numbers, *, Fb_star_star: Psi) -> Numbers:
    """Give the ratio of the compression edge in bending with tension, (fb - ft)/Fb**.

    Args:
        ft: tension stress [psi].
        fb: bending stress [psi].
        Fb_star_star: bending value with every factor but CV [psi].

    Returns:
        The ratio [-].

    Source: NDS Eq. 3.9-2.

    Example:
        >>> bending_less_tension(200.0, 700.0, Fb_star_star=1000.0)
        0.5
    """
    return (fb - ft) / Fb_star_star


def bending_and_compression(
    fc: Numbers,
    fb1: Numbers,
    fb2: Numbers,
    *,
    Fc: float | Numbers,
    axes: tuple[AxisStrength, AxisStrength],
    FbE: Psi,
) -> Numbers:
    """Give the ratio of bending about both axes with compression.

    (fc/Fc')^2 + fb1/{Fb1'[1 - fc/FcE1]} + fb2/{Fb2'[1 - fc/FcE2 - (fb1/FbE)^2]}

    Args:
        fc: compression stress [psi].
        fb1: bending stress on edge [psi].
        fb2: bending stress flat [psi].
        Fc: compression value with CP [psi].
        axes: strength on edge (1), flat (2).
        FbE: buckling value of the beam on edge [psi].

    Returns:
        The ratio [-].

    Source: NDS Eq. 3.9-3.

    Example:
        >>> axes = AxisStrength(Fb=2160.0, FcE=1236.5), AxisStrength(Fb=2484.0, FcE=1236.5)
        >>> round(bending_and_compression(169.7, 1606.6, 0.0, Fc=1072.9, axes=axes, FbE=1e9), 3)
        0.887
    """
    first, second = axes
    room1 = 1.0 - fc / first.FcE
    room2 = 1.0 - fc / second.FcE - (fb1 / FbE) ** 2
    return (fc / Fc) ** 2 + _over(fb1, first.Fb, room1) + _over(fb2, second.Fb, room2)


def eccentric_column(
    fc: Numbers,
    fb: tuple[Numbers, Numbers],
    eccentric: tuple[float, float],
    *,
    Fc: Psi,
    axes: tuple[AxisStrength, AxisStrength],
    FbE: Psi,
) -> Numbers:
    """Give the ratio of a column with side loads and its load off centre at both ends, to the same side.

    (fc/Fc')^2 + [fb1 + fc r1 (1 + 0.234 fc/FcE1)]/{Fb1'[1 - fc/FcE1]}
      + [fb2 + fc r2 {1 + 0.234 fc/FcE2 + 0.234 [(fb1 + fc r1)/FbE]^2}]
        /{Fb2'[1 - fc/FcE2 - [(fb1 + fc r1)/FbE]^2]},  r = 6e/d

    Args:
        fc: compression stress [psi].
        fb: bending stresses of the side loads, on edge and flat [psi].
        eccentric: r1 and r2, bending stress per unit of compression stress: 6e/d for a rectangle,
            A e/S for any section [-].
        Fc: compression value with CP [psi].
        axes: strength on edge (1), flat (2).
        FbE: buckling value of the beam on edge [psi].

    Returns:
        The ratio [-].

    Assumes: both ends bend the column to the same side (single curvature), the worst of the ways they can.
        The tests hold it to 3.9-3 and to the secant formula it stands for.

    Source: NDS Eq. 15.4-1 (from memory).

    Example:
        >>> axes = AxisStrength(Fb=2000.0, FcE=1200.0), AxisStrength(Fb=2300.0, FcE=400.0)
        >>> round(eccentric_column(80.0, (300.0, 0.0), (0.0, 3.0), Fc=380.0, axes=axes, FbE=5000.0), 3)
        0.342
    """
    fb1, fb2 = fb
    r1, r2 = eccentric
    first, second = axes
    edge = fb1 + fc * r1
    sway = (edge / FbE) ** 2
    k = ECCENTRIC_AMPLIFIER
    top1 = fb1 + fc * r1 * (1.0 + k * fc / first.FcE)
    top2 = fb2 + fc * r2 * (1.0 + k * fc / second.FcE + k * sway)
    room1 = 1.0 - fc / first.FcE
    room2 = 1.0 - fc / second.FcE - sway
    return (fc / Fc) ** 2 + _over(top1, first.Fb, room1) + _over(top2, second.Fb, room2)


def _over(stress: Numbers, strength: Psi, room: Numbers) -> Numbers:
    """Divide a stress by strength times room; infinite where no room is left, even with no stress."""
    if isinstance(room, np.ndarray):
        safe = np.where(room > 0.0, room, 1.0)
        return np.where(room > 0.0, stress / (strength * safe), np.inf)
    return stress / (strength * room) if room > 0.0 else math.inf


ECCENTRIC = "Eq. 15.4-1"  # from memory
_HALVINGS = 60
Pair = tuple[float, float]


@frozen
class PushCapacity:
    """What a brace carries in push.

    Attributes:
        capacity_lb: axial thrust; 0 where it counts for nothing [lb].
        governing: what sets it.
        slenderness_strong: le/d in the strong direction [-].
        slenderness_weak: le/d in the weak direction [-].
        counts: it carries something.
        source: the clause.
        known: how it is known, one of `bracing.sources.KNOWN`.
    """

    capacity_lb: Pound
    governing: str
    slenderness_strong: float
    slenderness_weak: float
    counts: bool
    source: str
    known: str = "read"


@frozen
class Column:
    """A column ready for its interaction; every pair is strong axis, weak axis.

    Attributes:
        area: the thrust is spread over [in^2].
        Fc_star: compression value with every factor but CP [psi].
        slenderness: le/d [-].
        FcE: buckling values [psi].
        Fb: bending values, stability included [psi].
        FbE: buckling value of bending on edge [psi].
        own_stress: bending stresses of own weight [psi].
        eccentric: bending stress per unit of compression stress, A e/S [-].
    """

    area: float
    Fc_star: Psi
    slenderness: Pair
    FcE: Pair
    Fb: Pair
    FbE: Psi
    own_stress: Pair
    eccentric: Pair


def interaction(column: Column, thrust: Pound) -> float:
    """Give the ratio a thrust uses of a column; 1 is its allowable value.

    Args:
        column: the column.
        thrust: the thrust [lb].

    Returns:
        The ratio, infinite from a buckling value on [-].

    Source: NDS Eq. 15.4-1 (from memory).

    Example:
        >>> short = Column(area=5.25, Fc_star=1000.0, slenderness=(1.0, 1.0), FcE=(1e6, 1e6),
        ...                Fb=(1e3, 1e3), FbE=1e6, own_stress=(0.0, 0.0), eccentric=(0.0, 0.0))
        >>> round(interaction(short, 2625.0), 3)
        0.25
    """
    Fc = column_stress(column.Fc_star, min(column.FcE))
    (Fb1, Fb2), (FcE1, FcE2) = column.Fb, column.FcE
    return eccentric_column(
        thrust / column.area,
        column.own_stress,
        column.eccentric,
        Fc=Fc,
        axes=(AxisStrength(Fb1, FcE1), AxisStrength(Fb2, FcE2)),
        FbE=column.FbE,
    )


def largest_thrust(column: Column) -> PushCapacity:
    """Give the thrust at which the interaction of a column reaches 1, by halving.

    Args:
        column: the column.

    Returns:
        The capacity; 0 past the slenderness limit or where own weight alone is over.

    Source: NDS 3.7.1.4; NDS Eq. 15.4-1 (from memory).

    Example:
        >>> post = Column(area=10.0, Fc_star=1000.0, slenderness=(20.0, 20.0), FcE=(800.0, 800.0),
        ...               Fb=(1000.0, 1000.0), FbE=1e6, own_stress=(0.0, 0.0), eccentric=(0.0, 0.0))
        >>> round(largest_thrust(post).capacity_lb)
        6096
    """
    strong, weak = column.slenderness
    axis = "weak axis" if weak >= strong else "strong axis"
    if max(strong, weak) > LIMIT_DURING_CONSTRUCTION:
        return _answer(0.0, f"le/d over 75, {axis}", column, clause="3.7.1.4")
    if interaction(column, 0.0) >= 1.0:
        return _answer(0.0, "own weight alone", column, clause=ECCENTRIC)
    low, high = 0.0, column.area * min(column.Fc_star, *column.FcE)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if interaction(column, middle) <= 1.0 else (low, middle)
    return _answer(low, f"thrust with bending, {axis}", column, clause=ECCENTRIC)


def _answer(capacity: Pound, governing: str, column: Column, *, clause: str) -> PushCapacity:
    return PushCapacity(
        capacity_lb=capacity,
        governing=governing,
        slenderness_strong=column.slenderness[0],
        slenderness_weak=column.slenderness[1],
        counts=capacity > 0.0,
        source=cite("NDS", clause),
        known="memory" if clause == ECCENTRIC else "read",
    )
