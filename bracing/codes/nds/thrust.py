"""The largest thrust a column with side load and end eccentricity carries during construction."""

from __future__ import annotations

from attrs import frozen

from bracing.codes.nds.bending_and_axial import AxisStrength, eccentric_column
from bracing.codes.nds.column import LIMIT_DURING_CONSTRUCTION, column_stability_factor
from bracing.sources import cite
from bracing.units import Pound, Psi

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
    """

    capacity_lb: Pound
    governing: str
    slenderness_strong: float
    slenderness_weak: float
    counts: bool
    source: str


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

    Source: NDS Eq. 15.4-1.

    Example:
        >>> short = Column(area=5.25, Fc_star=1000.0, slenderness=(1.0, 1.0), FcE=(1e6, 1e6),
        ...                Fb=(1e3, 1e3), FbE=1e6, own_stress=(0.0, 0.0), eccentric=(0.0, 0.0))
        >>> round(interaction(short, 2625.0), 3)
        0.25
    """
    Fc = column.Fc_star * column_stability_factor(column.Fc_star, min(column.FcE))
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

    Source: NDS Eq. 15.4-1 and 3.7.1.4.

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
        return _answer(0.0, "own weight alone", column, clause="Eq. 15.4-1")
    low, high = 0.0, column.area * min(column.Fc_star, *column.FcE)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if interaction(column, middle) <= 1.0 else (low, middle)
    return _answer(low, f"thrust with bending, {axis}", column, clause="Eq. 15.4-1")


def _answer(capacity: Pound, governing: str, column: Column, *, clause: str) -> PushCapacity:
    return PushCapacity(
        capacity_lb=capacity,
        governing=governing,
        slenderness_strong=column.slenderness[0],
        slenderness_weak=column.slenderness[1],
        counts=capacity > 0.0,
        source=cite("NDS", clause),
    )
