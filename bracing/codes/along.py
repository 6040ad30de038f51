"""Wind along a wall and what holds a frame against it: force on each stud, friction on the faces, diagonals."""

from __future__ import annotations

from bracing.sums import formula
from bracing.units import Inch, InchPound, Pound

GUST_FACTOR = 0.85  # ASCE 7-16 26.11.1
FLAT_SIDED = 2.0  # net force coefficient of flat-sided members, ASCE 7-16 fig. 29.4-2, solidity under 0.1
FOURTH = 0.85  # what the fourth stud in a line and those behind it take of the first; from memory
UNSHIELDED = 3  # studs in a line that take all of it; from memory
ON_PANEL = 0.02  # friction of a face of panels, EN 1991-1-4 table 7.10, rough
ON_STUDS = 0.04  # of the side the studs are on, EN 1991-1-4 table 7.10, very rough (ribs), from memory
COUNTED_WEIGHT = 0.6  # of the wall's own weight against a pier turning over; ASCE 7-16 2.4.1
PERSON: Pound = 50.0  # what a person on a ladder pushes at the top, along the wall; ASCE 37-14, from memory


@formula
def on_a_stud(q: float, d: Inch, h: Inch) -> Pound:
    """Give the wind along a wall on one stud, or on a sheathed wall's end: F = q 0.85 2.0 d h / 144.

    Args:
        q: velocity pressure [psf].
        d: depth of the stud across the wall [in].
        h: its height [in].

    Returns:
        F [lb].

    Source: ASCE7 26.11.1, figure 29.4-2.

    Example:
        >>> round(on_a_stud(2.0, 3.5, 96.0), 3)
        7.933
    """
    return q * GUST_FACTOR * FLAT_SIDED * d * h / 144.0


def of_the_first(k: int) -> float:
    """Give what the wind on one of several behind one another is of that on the first, whose own is 1 [-].

    Args:
        k: which, from 0.

    Source: ASCE7 figure 29.4-2 (from memory).

    Example:
        >>> [of_the_first(k) for k in range(5)]
        [1.0, 1.0, 1.0, 0.85, 0.85]
    """
    return 1.0 if k < UNSHIELDED else FOURTH


@formula
def behind_one_another(first: Pound, n: float) -> Pound:
    """Give the wind on studs of one height, trusses or rafters behind one another: F = first n.

    Args:
        first: on the first of them [lb].
        n: how many, the fourth and those behind it counted 0.85 each [-].

    Returns:
        F [lb].

    Source: ASCE7 figure 29.4-2 (from memory).

    Example:
        >>> behind_one_another(10.0, 3.85)
        38.5
    """
    return first * n


@formula
def friction(q: float, area: float) -> Pound:
    """Give the friction of the wind on both faces of a sheathed wall: F = q (0.02 + 0.04) area.

    Args:
        q: velocity pressure [psf].
        area: of the outline [ft^2].

    Returns:
        F [lb].

    Source: EN1991 7.5 (from memory).

    Example:
        >>> friction(4.0, 100.0)
        24.0
    """
    return q * (ON_PANEL + ON_STUDS) * area


@formula
def lean_at_top(part: float, W: Pound, *, z: Inch, h: Inch) -> Pound:
    """Give what a wall out of plumb along itself pushes at its top: P = part W z / h.

    Args:
        part: of its weight, acting sideways at its centre of gravity [-].
        W: its weight [lb].
        z: centre of gravity above the floor [in].
        h: its height [in].

    Returns:
        P [lb].

    Source: STATICS, moments about the plate.

    Example:
        >>> lean_at_top(0.02, 500.0, z=48.0, h=96.0)
        5.0
    """
    return part * W * z / h


@formula
def at_top(wind: Pound, lean: Pound, person: Pound) -> Pound:
    """Give the force at the top of a wall along itself: H = wind / 2 + lean + person.

    Args:
        wind: all the wind along it [lb].
        lean: of its weight [lb].
        person: of a person or a ladder; 0 where nobody is about [lb].

    Returns:
        H [lb].

    Source: STATICS, half the wind goes to the top and half to the plate.

    Example:
        >>> at_top(100.0, 5.0, 50.0)
        105.0
    """
    return wind / 2.0 + lean + person


@formula
def held_by_weight(W: Pound, x: Inch) -> InchPound:
    """Give the moment a stretch of wall holds against turning over by its own weight: M = 0.6 W x.

    Args:
        W: its weight, lumber at 12% [lb].
        x: its centre of gravity from the toe [in].

    Returns:
        M [lb in].

    Source: ASCE7 2.4.1.

    Example:
        >>> held_by_weight(100.0, 60.0)
        3600.0
    """
    return COUNTED_WEIGHT * W * x
