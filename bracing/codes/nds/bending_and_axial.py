"""Bending together with compression or tension, as ratios of one.

Where a stress has reached its buckling value the ratio is infinite: the equations stand only below it.
"""

from __future__ import annotations

import math
from typing import cast

import numpy as np
from attrs import frozen

from bracing.codes.nds.members import LIMIT_DURING_CONSTRUCTION, Numbers, column_stress
from bracing.codes.sticks import PushCapacity, stress_on
from bracing.said import Said
from bracing.sources import MEMORY, cite
from bracing.sums import FROM_MEMORY, Known, formula
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


@formula
def bending_and_tension(ft: Numbers, fb: Numbers, *, Ft: Psi, Fb_star: Psi) -> Numbers:
    """Give the ratio of bending with tension: u = ft / Ft + fb / Fb_star.

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


@formula
def bending_less_tension(ft: Numbers, fb: Numbers, *, Fb_star_star: Psi) -> Numbers:
    """Give the ratio of the compression edge in bending with tension: u = (fb - ft) / Fb_star_star.

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


@formula
def bending_and_compression(fc: Numbers, fb: Numbers, *, Fc: Numbers, Fb: Psi, FcE: Numbers) -> Numbers:
    """Give the ratio of bending about one axis with compression: u = (fc / Fc)^2 + fb / (Fb (1 - fc / FcE)).

    The other axis is bent by nothing.

    Args:
        fc: compression stress [psi].
        fb: bending stress [psi].
        Fc: compression value with CP [psi].
        Fb: bending value about that axis [psi].
        FcE: buckling value in its plane [psi].

    Returns:
        The ratio [-].

    Source: NDS Eq. 3.9-3.

    Example:
        >>> round(bending_and_compression(169.7, 1606.6, Fc=1072.9, Fb=2160.0, FcE=1236.5), 3)
        0.887
    """
    return (fc / Fc) ** 2 + _over(fb, Fb, 1.0 - fc / FcE)


@formula
def axial_share(fc: Numbers, Fc: Psi) -> Numbers:
    """Give the share of a column used by its thrust: u0 = (fc / Fc)^2.

    Args:
        fc: compression stress [psi].
        Fc: compression value with CP [psi].

    Returns:
        The share [-].

    Source: NDS Eq. 15.4-1.

    Example:
        >>> axial_share(100.0, 400.0)
        0.0625
    """
    return (fc / Fc) ** 2


@formula
def edge_share(fc: Numbers, fb1: Numbers, r1: float, *, Fb1: Psi, FcE1: Psi) -> Numbers:
    """Give the share of a column used by bending on edge.

    u1 = (fb1 + fc r1 (1 + 0.234 fc / FcE1)) / (Fb1 (1 - fc / FcE1))

    Args:
        fc: compression stress [psi].
        fb1: bending stress on edge [psi].
        r1: bending stress of the eccentricity on edge per unit of compression stress [-].
        Fb1: bending value on edge, stability included [psi].
        FcE1: buckling value of that axis [psi].

    Returns:
        The share [-].

    Source: NDS Eq. 15.4-1.

    Example:
        >>> edge_share(100.0, 300.0, 0.0, Fb1=1000.0, FcE1=400.0)
        0.4
    """
    top = fb1 + fc * r1 * (1.0 + ECCENTRIC_AMPLIFIER * fc / FcE1)
    return _over(top, Fb1, 1.0 - fc / FcE1)


@formula
def sway_share(fc: Numbers, fb1: Numbers, r1: float, *, FbE: Psi) -> Numbers:
    """Give how near bending on edge is to rolling the column over: s = ((fb1 + fc r1) / FbE)^2.

    Args:
        fc: compression stress [psi].
        fb1: bending stress on edge [psi].
        r1: bending stress of the eccentricity on edge per unit of compression stress [-].
        FbE: buckling value of the beam on edge [psi].

    Returns:
        s [-].

    Source: NDS Eq. 15.4-1 (from memory).

    Example:
        >>> sway_share(100.0, 300.0, 0.0, FbE=600.0)
        0.25
    """
    return ((fb1 + fc * r1) / FbE) ** 2


@formula
def flat_share(fc: Numbers, fb2: Numbers, r2: float, *, Fb2: Psi, FcE2: Psi, s: Numbers) -> Numbers:
    """Give the share of a column used by bending flat.

    u2 = (fb2 + fc r2 (1 + 0.234 fc / FcE2 + 0.234 s)) / (Fb2 (1 - fc / FcE2 - s))

    Args:
        fc: compression stress [psi].
        fb2: bending stress flat [psi].
        r2: bending stress of the eccentricity flat per unit of compression stress, 6e/d or A e/S [-].
        Fb2: bending value flat [psi].
        FcE2: buckling value of that axis [psi].
        s: how near bending on edge is to rolling it over [-].

    Returns:
        The share [-].

    Source: NDS Eq. 15.4-1 (from memory).

    Example:
        >>> flat_share(100.0, 300.0, 0.0, Fb2=1000.0, FcE2=400.0, s=0.25)
        0.6
    """
    top = fb2 + fc * r2 * (1.0 + ECCENTRIC_AMPLIFIER * fc / FcE2 + ECCENTRIC_AMPLIFIER * s)
    return _over(top, Fb2, 1.0 - fc / FcE2 - s)


@formula
def column_share(u0: Numbers, u1: Numbers, u2: Numbers) -> Numbers:
    """Give the ratio of a column with side loads and its thrust off centre: u = u0 + u1 + u2.

    Args:
        u0: share of the thrust [-].
        u1: share of bending on edge [-].
        u2: share of bending flat [-].

    Returns:
        The ratio [-].

    Source: NDS Eq. 15.4-1 (from memory).

    Example:
        >>> column_share(0.25, 0.25, 0.5)
        1.0
    """
    return u0 + u1 + u2


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
    (fb1, fb2), (r1, r2), (first, second) = fb, eccentric, axes
    s = sway_share(fc, fb1, r1, FbE=FbE)
    return column_share(
        axial_share(fc, Fc),
        edge_share(fc, fb1, r1, Fb1=first.Fb, FcE1=first.FcE),
        flat_share(fc, fb2, r2, Fb2=second.Fb, FcE2=second.FcE, s=s),
    )


def _over(stress: Numbers, strength: Psi, room: Numbers) -> Numbers:
    """Divide a stress by strength times room; infinite where no room is left, even with no stress."""
    if isinstance(room, np.ndarray):
        safe = np.where(room > 0.0, room, 1.0)
        return np.where(room > 0.0, stress / (strength * safe), np.inf)
    return stress / (strength * room) if room > 0.0 else math.inf


ECCENTRIC = f"Eq. 15.4-1 ({MEMORY})"  # of one axis read, of both at once recalled
_TRIALS = 200
_NEAR = 1e-15
_HALVE_EVERY = 4  # so that a kink cannot hold the trial up
Pair = tuple[float, float]


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
        most_slender: le/d past which it counts for nothing; a rule of design, and none of strength [-].
    """

    area: float
    Fc_star: Psi
    slenderness: Pair
    FcE: Pair
    Fb: Pair
    FbE: Psi
    own_stress: Pair
    eccentric: Pair
    most_slender: float = LIMIT_DURING_CONSTRUCTION

    @property
    def Fc(self) -> Psi:  # noqa: N802  (its symbol)
        """Compression value with CP, of the axis that buckles first [psi]."""
        return column_stress(self.Fc_star, min(self.FcE))


def _used(column: Column, Fc: Psi, thrust: Pound) -> float:
    (Fb1, Fb2), (FcE1, FcE2) = column.Fb, column.FcE
    return eccentric_column(
        stress_on(thrust, column.area),
        column.own_stress,
        column.eccentric,
        Fc=Fc,
        axes=(AxisStrength(Fb1, FcE1), AxisStrength(Fb2, FcE2)),
        FbE=column.FbE,
    )


def largest_thrust(column: Column) -> PushCapacity:
    """Give the thrust at which the interaction of a column reaches 1, by trial.

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
    if max(strong, weak) > column.most_slender:
        words = f"le/d over {LIMIT_DURING_CONSTRUCTION:.0f}, {axis}: it counts for nothing in push"
        why = Said("too-slender", limit=round(LIMIT_DURING_CONSTRUCTION), axis=_named(axis))
        return _answer(Known(0.0, words, cite("NDS", "3.7.1.4"), by=column.slenderness), why, column)
    Fc, by_trial = column.Fc, cite("NDS", ECCENTRIC)
    at_rest = _used(column, Fc, Known(0.0, "no thrust", cite("STATICS")))
    if at_rest >= 1.0:
        words = "own weight alone: it counts for nothing in push"
        return _answer(
            Known(0.0, words, by_trial, FROM_MEMORY, by=(at_rest,)), Said("own-weight-alone"), column
        )
    N = Known(
        _closed(column, Fc, at_rest - 1.0), "thrust at which the sum is 1, by trial", by_trial, FROM_MEMORY
    )
    found = Known(N, N.words, N.source, N.how, by=(*column.slenderness, _used(column, Fc, N)))
    return _answer(found, Said("thrust-with-bending", axis=_named(axis)), column)


def _closed(column: Column, Fc: Psi, under: float) -> Pound:
    """Close a bracket on the thrust whose ratio is 1, the end that stays having its excess halved; its low end [lb]."""
    low, high = 0.0, column.area * min(column.Fc_star, *column.FcE)
    over, side = math.inf, 0.0
    for turn in range(_TRIALS):
        chord = low - under * (high - low) / (over - under) if over < math.inf else low
        fair = low < chord < high and turn % _HALVE_EVERY < _HALVE_EVERY - 1
        middle = chord if fair else (low + high) / 2.0
        excess = _used(column, Fc, middle) - 1.0
        if excess > 0.0:
            under = under / 2.0 if side > 0.0 else under
            high, over, side = middle, excess, 1.0
        else:
            over = over / 2.0 if side < 0.0 else over
            low, under, side = middle, excess, -1.0
        if high - low <= _NEAR * high or under >= -_NEAR:
            break
    return low


def _named(axis: str) -> Said:
    """Name an axis."""
    return Said("strong-axis") if axis == "strong axis" else Said("weak-axis")


def _answer(capacity: Known, governing: Said, column: Column) -> PushCapacity:
    return PushCapacity(
        capacity_lb=cast("Pound", capacity),
        governing=governing,
        slenderness_strong=column.slenderness[0],
        slenderness_weak=column.slenderness[1],
        counts=capacity > 0.0,
        source=capacity.source.removesuffix(f" ({MEMORY})"),
        known="memory" if capacity.how == FROM_MEMORY else "read",
    )
