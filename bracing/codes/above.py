"""What comes on a wall from above: wind on a row of trusses, rafters that push out, a bundle that leans."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.codes.along import GUST_FACTOR, of_the_first
from bracing.sums import formula
from bracing.units import Inch, Pound

FACE: Inch = 3.5  # of a chord or a web, edge-on to nobody: no drawing of the truss is known; judgement
DRAG = ((0.3, 1.6), (0.1, 1.8), (0.0, 2.0))  # force coefficient from a solidity on, ASCE 7-16 fig. 29.4-2
PERSON_SIDEWAYS: Pound = 50.0  # what a person pushes level, ASCE 37-14, from memory
UNEVEN = 6.0  # what stands on a plate bears a sixth of the stud's depth off its middle; judgement


@frozen
class Face:
    """The wood of a truss or of a pair of rafters as the wind sees it, square to its plane.

    Attributes:
        area: of its wood [in^2].
        z: centre of that area above the heels [in].
        solidity: its part of the triangle it stands in [-].
    """

    area: float
    z: Inch
    solidity: float


def face_of(span: Inch, rise: Inch, *, webs: bool) -> Face:
    """Give the wood face of a truss with webs like a W, or of a pair of rafters.

    Webs run from the thirds of the bottom chord to the middles of the top chords and to the ridge.

    Args:
        span: from heel to heel [in].
        rise: from the heels to the ridge [in].
        webs: with a bottom chord and webs; else two rafters alone.

    Source: JUDGEMENT, chords and webs 3.5 in high.

    Example:
        >>> found = face_of(288.0, 48.0, webs=True)
        >>> round(found.area / 144.0, 2), round(found.z, 2), round(found.solidity, 3)
        (19.33, 14.28, 0.403)
    """
    sticks = [(2.0 * math.hypot(span / 2.0, rise), rise / 2.0)]  # length, and how high its middle
    if webs:
        sticks += [
            (span, 0.0),
            (2.0 * math.hypot(span / 12.0, rise / 2.0), rise / 4.0),
            (2.0 * math.hypot(span / 6.0, rise), rise / 2.0),
        ]
    long = sum(length for length, _ in sticks)
    area = FACE * long
    z = sum(length * middle for length, middle in sticks) / long
    return Face(area, z, area / (span * rise / 2.0))


def drag(solidity: float) -> float:
    """Give the net force coefficient of a lattice of flat-sided members [-].

    Args:
        solidity: wood over the whole of what it stands in [-].

    Source: ASCE7 figure 29.4-2.

    Example:
        >>> drag(0.05), drag(0.1), drag(0.403)
        (2.0, 1.8, 1.6)
    """
    return next(Cf for least, Cf in DRAG if solidity >= least)


def in_the_wind(count: int) -> float:
    """Give how many trusses of a row the wind sees: the fourth and those behind it count 0.85 each [-].

    Args:
        count: of the row.

    Source: ASCE7 figure 29.4-2 (from memory).

    Example:
        >>> in_the_wind(2), round(in_the_wind(6), 2)
        (2.0, 5.55)
    """
    return math.fsum(map(of_the_first, range(count)))


@formula
def on_wood(q: float, Cf: float, area: float) -> Pound:
    """Give the wind on one truss, square to its plane: F = q 0.85 Cf area / 144.

    Args:
        q: velocity pressure at its ridge [psf].
        Cf: force coefficient of its solidity [-].
        area: of its wood [in^2].

    Returns:
        F [lb].

    Source: ASCE7 26.11.1, figure 29.4-2.

    Example:
        >>> round(on_wood(2.0, 1.6, 2783.0), 2)
        52.57
    """
    return q * GUST_FACTOR * Cf * area / 144.0


@formula
def at_each_heel(F: Pound, z: Inch, rise: Inch) -> Pound:
    """Give what one of the two walls under a row of trusses takes along itself: H = F (1 - z / rise) / 2.

    Args:
        F: wind on the row [lb].
        z: centre of the wood above the heels [in].
        rise: from the heels to the ridge, where the row is tied [in].

    Returns:
        H [lb].

    Source: STATICS, moments about the ridge.

    Example:
        >>> at_each_heel(100.0, 12.0, 48.0)
        37.5
    """
    return F * (1.0 - z / rise) / 2.0


@formula
def with_above(H: Pound, V: Pound, *, lean: float, heels: Pound) -> Pound:
    """Give the force at the top of a wall along itself with what stands on it: H = H + lean V + heels.

    Args:
        H: of the wall alone [lb].
        V: weight that stands on it from above [lb].
        lean: part of that acting sideways [-].
        heels: what the heels of trusses push [lb].

    Returns:
        H [lb].

    Source: STATICS.

    Example:
        >>> with_above(100.0, 500.0, lean=0.02, heels=40.0)
        150.0
    """
    return H + lean * V + heels


@formula
def at_brace_line(F: Pound, z: Inch, rise: Inch, *, lean: float, W: Pound, person: Pound) -> Pound:
    """Give what the tie of a row of trusses takes at their ridge: H = F z / rise + lean W + person.

    Args:
        F: wind on the row [lb].
        z: centre of the wood above the heels [in].
        rise: from the heels to the ridge [in].
        lean: part of their weight acting sideways [-].
        W: weight of the row [lb].
        person: of a person; 0 where nobody is about [lb].

    Returns:
        H [lb].

    Source: STATICS, moments about the heels.

    Example:
        >>> at_brace_line(100.0, 12.0, 48.0, lean=0.02, W=500.0, person=50.0)
        85.0
    """
    return F * z / rise + lean * W + person


@formula
def thrust_of_rafters(W: Pound, pitch: float) -> Pound:
    """Give what a pair of rafters nothing ties pushes out at each foot: H = W / (4 pitch).

    Args:
        W: weight of the pair [lb].
        pitch: rise over run [-].

    Returns:
        H [lb].

    Source: STATICS, moments of one rafter about the ridge.

    Example:
        >>> thrust_of_rafters(100.0, 0.5)
        50.0
    """
    return W / (4.0 * pitch)


@formula
def leaned_push(W: Pound, a: Inch, z: Inch) -> Pound:
    """Give what a bundle that leans pushes level where it touches: H = W (a / 2) / z.

    Args:
        W: weight of the bundle [lb].
        a: its foot from the wall [in].
        z: how high it touches [in].

    Returns:
        H [lb].

    Source: STATICS, moments about its foot, a wall without friction.

    Example:
        >>> leaned_push(1000.0, 24.0, 96.0)
        125.0
    """
    return W * (a / 2.0) / z
