"""How a wall along itself gives at its corner: a return that holds this wall's end, or this wall holding another's.

A unit force on the end stud at one height, and how far the stud goes at another. Of each piece of the wall between
openings: bending of its end studs, shear of its sheathing, its turn about its foot, its slide on its plate fasteners;
of the corner: slip of its fasteners. Pieces stand side by side; the corner stands before them all.
"""

from __future__ import annotations

from typing import cast

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.sums import formula
from bracing.units import Inch, InchPound, Pound, PoundPerInch, Psi

Array = NDArray[np.float64]

STUD: Inch = 1.5  # a strap stands on the inner end stud: its arm is the piece's length less one stud


@formula
def end_stud_inertia(A: float, b: Inch) -> float:
    """Give the second moment of area of a piece of wall bending along itself: I = A b^2 / 2.

    Args:
        A: section of one end stud [in^2].
        b: length of the piece [in].

    Returns:
        I [in^4].

    Source: SDPWS 4.3-1, first term; STATICS.

    Example:
        >>> end_stud_inertia(5.25, 96.0)
        24192.0
    """
    return A * b**2 / 2.0


@formula
def bending_give(lo: Inch, hi: Inch, *, E: Psi, I: float) -> float:  # noqa: E741  (as printed)
    """Give how far a piece of wall bends along itself: f = lo^2 (3 hi - lo) / (6 E I).

    Args:
        lo: the lower of the heights of the force and of what it moves [in].
        hi: the higher [in].
        E: modulus of elasticity of the end studs [psi].
        I: second moment of area [in^4].

    Returns:
        f, of each pound [in/lb].

    Source: SDPWS 4.3-1, first term; STATICS, a cantilever.

    Example:
        >>> round(1e6 * bending_give(48.0, 96.0, E=1.4e6, I=24192.0), 2)
        2.72
    """
    return lo**2 * (3.0 * hi - lo) / (6.0 * E * I)


@formula
def shear_give(lo: Inch, Ga: float, b: Inch) -> float:
    """Give how far a piece of wall shears along itself: f = lo / (1000 Ga b).

    Args:
        lo: the lower of the heights of the force and of what it moves [in].
        Ga: apparent shear stiffness of its sheathing and nails [kips/in].
        b: length of the piece [in].

    Returns:
        f, of each pound [in/lb].

    Source: SDPWS 4.3-1, second term.

    Example:
        >>> round(1e6 * shear_give(96.0, 15.0, 96.0), 2)
        66.67
    """
    return lo / (1000.0 * Ga * b)


@formula
def turning_give(zi: Inch, zj: Inch, K: float) -> float:
    """Give how far a piece of wall goes as it turns about its foot: f = zi zj / K.

    Args:
        zi: height of the force [in].
        zj: height of what it moves [in].
        K: what its anchorage gives against turning [lb in/rad].

    Returns:
        f, of each pound [in/lb].

    Source: SDPWS 4.3-1, third term; STATICS.

    Example:
        >>> turning_give(48.0, 96.0, 4.608e6)
        0.001
    """
    return zi * zj / K


@formula
def slide_give(n: float, gamma: PoundPerInch) -> float:
    """Give how far a row of fasteners slides: f = 1 / (n gamma).

    Args:
        n: fasteners in the row [-].
        gamma: slip modulus of one [lb/in].

    Returns:
        f, of each pound [in/lb].

    Source: NDS 11.3.6 for gamma; STATICS.

    Example:
        >>> slide_give(10.0, 10000.0)
        1e-05
    """
    return 1.0 / (n * gamma)


@formula
def corner_give(nc: float, gamma: PoundPerInch) -> float:
    """Give how far the corner slips at one of its two heights, half its fasteners being at each: f = 2 / (nc gamma).

    In withdrawal gamma is as in shear: for smooth nails none is published.

    Args:
        nc: fasteners in the corner [-].
        gamma: slip modulus of one [lb/in].

    Returns:
        f, of each pound [in/lb].

    Source: NDS 11.3.6 for gamma; STATICS; JUDGEMENT in withdrawal.

    Example:
        >>> corner_give(10.0, 10000.0)
        2e-05
    """
    return 2.0 / (nc * gamma)


@formula
def turning_of_nails(gamma: PoundPerInch, S: float, rho: float) -> float:
    """Give what a row of plate fasteners gives against turning about its far end: K = gamma S / rho^2.

    The sheathing lifts the plate by its edge, so each fastener is drawn rho times what it holds of the wall.

    Args:
        gamma: slip modulus of one [lb/in].
        S: sum of the squares of their distances from the far end [in^2].
        rho: how many times the lift draws a fastener [-].

    Returns:
        K [lb in/rad].

    Source: STATICS; NDS 11.3.6 for gamma; JUDGEMENT in withdrawal.

    Example:
        >>> turning_of_nails(10000.0, 500.0, 2.0)
        1250000.0
    """
    return gamma * S / rho**2


@formula
def turning_of_strap(strap: Pound, slip: Inch, b: Inch) -> float:
    """Give what a strap on an end stud gives against turning: K = strap / slip (b - 1.5)^2.

    Args:
        strap: its allowable [lb].
        slip: how far it gives at that [in].
        b: length of the piece of wall [in].

    Returns:
        K [lb in/rad].

    Source: STATICS; USER for strap and slip.

    Example:
        >>> turning_of_strap(1000.0, 0.125, 97.5)
        73728000.0
    """
    return strap / slip * (b - 1.5) ** 2


def fastener_places(b: Inch, s: Inch) -> Array:
    """Give where the plate fasteners of a piece of wall stand from its far end: (i - 1/2) s, whole spacings, (n,) [in].

    Args:
        b: length of the piece [in].
        s: spacing of the fasteners [in].

    Source: JUDGEMENT whole spacings, rounded down.

    Example:
        >>> fastener_places(48.0, 16.0).tolist()
        [8.0, 24.0, 40.0]
    """
    return np.asarray((np.arange(int((b + 1e-6) // s)) + 0.5) * s, dtype=np.float64)


def _inverse(matrix: Array) -> Array:
    return cast("Array", np.linalg.inv(matrix))


@frozen
class Foot:
    """What holds the foot of a piece of wall against turning: a strap where there is one, else its plate fasteners.

    They are never added: a strap is taut before nails that draw out are.

    Attributes:
        b: length of the piece [in].
        spacing: of its plate fasteners [in].
        gamma: slip modulus of one of them [lb/in].
        rho: how many times the lift draws a fastener [-].
        strap: allowable of the strap on the end stud that lifts; 0 is none [lb].
        slip: how far the strap gives at that [in].
    """

    b: Inch
    spacing: Inch
    gamma: PoundPerInch
    rho: float = 2.0
    strap: Pound = 0.0
    slip: Inch = 0.125

    @property
    def places(self) -> Array:
        """Where its plate fasteners stand from the far end, shape (n,) [in]."""
        return fastener_places(self.b, self.spacing)

    @property
    def turning(self) -> InchPound:
        """What it gives against turning; 0 where nothing holds it [lb in/rad]."""
        if self.strap > 0.0 and self.b > STUD:
            return turning_of_strap(self.strap, self.slip, self.b)
        squares = float(np.sum(self.places**2))
        return turning_of_nails(self.gamma, squares, self.rho)


@frozen
class Piece:
    """A piece of a wall along itself, between openings, all its sheathing over its whole height.

    Attributes:
        b: its length [in].
        A: section of one of its end studs [in^2].
        E: their modulus of elasticity [psi].
        Ga: apparent shear stiffness of its sheathing [kips/in].
        n: plate fasteners under it [-].
        gamma: slip modulus of one of them [lb/in].
        K: what its anchorage gives against turning [lb in/rad].
    """

    b: Inch
    A: float
    E: Psi
    Ga: float
    n: float
    gamma: PoundPerInch
    K: InchPound

    def give(self, zi: Inch, zj: Inch) -> float:
        """Give how far it goes at one height under a pound at another [in/lb].

        Args:
            zi: height of the force [in].
            zj: height of what it moves [in].

        Source: SDPWS 4.3-1 and the slip of its foot.

        Example:
            >>> piece = Piece(b=96.0, A=5.25, E=1.4e6, Ga=15.0, n=12.0, gamma=10000.0, K=4.608e6)
            >>> round(1e6 * piece.give(48.0, 96.0), 1), piece.give(48.0, 96.0) == piece.give(96.0, 48.0)
            (1044.4, True)
        """
        lo, hi = min(zi, zj), max(zi, zj)
        inertia = end_stud_inertia(self.A, self.b)
        bends = bending_give(lo, hi, E=self.E, I=inertia)
        turns = turning_give(zi, zj, self.K)
        return bends + shear_give(lo, self.Ga, self.b) + turns + slide_give(self.n, self.gamma)

    def flexibility(self, heights: tuple[Inch, ...]) -> Array:
        """Give how far it goes at each height under a pound at each, shape (h, h) [in/lb].

        Args:
            heights: of the nodes it holds [in].
        """
        rows: Array = np.array([[self.give(zi, zj) for zj in heights] for zi in heights])
        return rows


@frozen
class Corner:
    """The corner of two walls: pieces of the one that hold the other's end stud.

    Attributes:
        heights: nodes of the end stud it holds, such as its middle and its top [in].
        pieces: those of the wall along itself that count.
        fasteners: in the corner, over its height [-].
        gamma: slip modulus of one of them [lb/in].
    """

    heights: tuple[Inch, ...]
    pieces: tuple[Piece, ...]
    fasteners: float
    gamma: PoundPerInch

    def stiffness_of(self, piece: Piece) -> Array:
        """Give the stiffness of one piece at the heights, shape (h, h) [lb/in].

        Args:
            piece: the piece.
        """
        return _inverse(piece.flexibility(self.heights))

    @property
    def shares(self) -> Array:
        """What each piece takes of a force at each height, shape (pieces, h, h): forces on it = share @ forces [-]."""
        each = np.stack([self.stiffness_of(piece) for piece in self.pieces])
        shares: Array = each @ _inverse(each.sum(axis=0))
        return shares

    def flexibility(self) -> Array:
        """Give how far the end stud goes at each height under a pound at each, shape (h, h) [in/lb].

        Source: SDPWS 4.3-1; STATICS, pieces side by side and the corner before them.

        Example:
            >>> piece = Piece(b=96.0, A=5.25, E=1.4e6, Ga=15.0, n=12.0, gamma=10000.0, K=4.608e6)
            >>> Corner((48.0, 96.0), (piece,), 12.0, 10000.0).flexibility().round(6).tolist()
            [[0.000559, 0.001044], [0.001044, 0.0021]]
        """
        together = _inverse(np.stack([self.stiffness_of(piece) for piece in self.pieces]).sum(axis=0))
        slips = corner_give(self.fasteners, self.gamma)
        found: Array = together + slips * np.eye(len(self.heights))
        return found
