"""Two sticks fastened side by side: the stiffness of a T or an L whose fasteners slip.

Directions are the brace's own: weak is across its thickness, strong across its width. The two parts share
every curvature; along the fastened line they slide, and one harmonic of the sliding gives the gamma method.
"""

from __future__ import annotations

import math

from attrs import frozen

from bracing.units import Inch, PoundPerInch, Psi

Pair = tuple[float, float]


@frozen
class Part:
    """One stick of a built-up section.

    Attributes:
        E: modulus of elasticity [psi].
        weak: its dimension in the brace's weak direction [in].
        strong: its dimension in the brace's strong direction [in].
        plies: how many of them side by side, sharing no shear.
    """

    E: Psi
    weak: Inch
    strong: Inch
    plies: int = 1

    @property
    def area(self) -> float:
        """Area [in^2]."""
        return self.plies * self.weak * self.strong

    @property
    def axial_stiffness(self) -> float:
        """Axial stiffness [lb]."""
        return self.E * self.area

    @property
    def bending_stiffness(self) -> Pair:
        """Bending stiffness in the weak and the strong direction [lb in^2]."""
        return self.E * self.area * self.weak**2 / 12.0, self.E * self.area * self.strong**2 / 12.0


@frozen
class BuiltUp:
    """Two parts and how well their fasteners couple them.

    Attributes:
        first: the brace.
        second: the stiffener.
        offset: from the centre of the first to the centre of the second, weak and strong direction [in].
        gamma: efficiency of the connection, 0 (loose) to 1 (glued) [-].
    """

    first: Part
    second: Part
    offset: Pair
    gamma: float


def connection_efficiency(EA: float, *, spacing: Inch, slip_modulus: PoundPerInch, length: Inch) -> float:
    """Give the efficiency of a row of fasteners along a bent built-up member.

    gamma = 1/[1 + pi^2 E A s/(K l^2)]

    Args:
        EA: axial stiffness of the first part [lb].
        spacing: of the fasteners, s [in].
        slip_modulus: of one fastener, K; 0 for none [lb/in].
        length: length between the supports, l [in].

    Returns:
        gamma, 0 to 1 [-].

    Source: EN1995 Annex B, Eq. B.5 (from memory).

    Example:
        >>> round(connection_efficiency(2_000_000.0, spacing=6.0, slip_modulus=4_000.0, length=144.0), 3)
        0.412
    """
    stiff = slip_modulus * length**2
    return stiff / (stiff + math.pi**2 * EA * spacing) if stiff > 0.0 else 0.0


def coupling(section: BuiltUp) -> float:
    """Give the axial stiffness that couples two parts.

    C = gamma EA1 EA2/(gamma EA1 + EA2)

    Args:
        section: the parts and their efficiency.

    Returns:
        C, of which C r^2 is what the coupling adds to the stiffness at a distance r [lb].

    Source: EN1995 Annex B, Eq. B.1 and B.6 put together.

    Example:
        >>> part = Part(E=1_000_000.0, weak=1.5, strong=3.5)
        >>> coupling(BuiltUp(first=part, second=part, offset=(2.5, 0.0), gamma=1.0))
        2625000.0
    """
    first, second = section.gamma * section.first.axial_stiffness, section.second.axial_stiffness
    return first * second / (first + second)


def stiffness(section: BuiltUp) -> tuple[float, float, float]:
    """Give the effective bending stiffness of a built-up section.

    (EI)ef = sum Ei Ii + C r r: weak, strong, and the product that couples them

    Args:
        section: the parts and their efficiency.

    Returns:
        Weak, strong and product stiffness [lb in^2].

    Source: EN1995 Annex B, Eq. B.1, in both directions.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> weak, strong, product = stiffness(BuiltUp(first=part, second=part, offset=(1.5, 0.0), gamma=1.0))
        >>> round(weak, 3), round(3.5 * 3.0**3 / 12.0, 3)
        (7.875, 7.875)
    """
    C, (rw, rs) = coupling(section), section.offset
    (w1, s1), (w2, s2) = section.first.bending_stiffness, section.second.bending_stiffness
    return w1 + w2 + C * rw * rw, s1 + s2 + C * rs * rs, C * rw * rs


def least_stiffness(section: BuiltUp) -> float:
    """Give the bending stiffness about the weaker principal axis of a built-up section.

    (a + b)/2 - sqrt([(a - b)/2]^2 + c^2), of the weak, strong and product stiffness

    Args:
        section: the parts and their efficiency.

    Returns:
        The stiffness [lb in^2].

    Source: STATICS principal axes.

    Example:
        >>> part, leg = Part(E=1.0, weak=1.5, strong=3.5), Part(E=1.0, weak=3.5, strong=1.5)
        >>> round(least_stiffness(BuiltUp(first=part, second=leg, offset=(2.5, 1.0), gamma=1.0)), 3)
        6.344
    """
    a, b, c = stiffness(section)
    return (a + b) / 2.0 - math.hypot((a - b) / 2.0, c)


def stress_per_moment(section: BuiltUp, moment: Pair) -> float:
    """Give the greatest bending stress of a moment on a built-up section, at any corner of either part.

    sigma = E [C r.k/EA + k.x], k the curvature, (EI)ef k = M

    Args:
        section: the parts and their efficiency.
        moment: bending in the weak and the strong direction; (1, 0) gives the stress of a unit [in lb].

    Returns:
        The stress [psi].

    Source: EN1995 Annex B, Eq. B.7 and B.8, in both directions.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> glued = BuiltUp(first=part, second=part, offset=(1.5, 0.0), gamma=1.0)
        >>> round(stress_per_moment(glued, (1.0, 0.0)), 6), round(6.0 / (3.5 * 3.0**2), 6)
        (0.190476, 0.190476)
    """
    a, b, c = stiffness(section)
    weak, strong = moment
    whole = a * b - c * c
    k = (b * weak - c * strong) / whole, (a * strong - c * weak) / whole
    slide = abs(coupling(section) * (section.offset[0] * k[0] + section.offset[1] * k[1]))
    return max(
        part.E * (slide / part.axial_stiffness + abs(k[0]) * part.weak / 2.0 + abs(k[1]) * part.strong / 2.0)
        for part in (section.first, section.second)
    )


def shift_of_thrust(section: BuiltUp) -> Pair:
    """Give how far a thrust on the first part alone lies off the axis of the built-up section.

    gamma a1 = C r/EA1: the whole distance to the common centre where the parts are glued, none where loose

    Args:
        section: the parts and their efficiency.

    Returns:
        Weak and strong distance [in].

    Source: STATICS the first harmonic of two parts sharing a curvature, thrust entering the first.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> shift_of_thrust(BuiltUp(first=part, second=part, offset=(2.5, 0.0), gamma=1.0))
        (1.25, 0.0)
    """
    share = coupling(section) / section.first.axial_stiffness
    return share * section.offset[0], share * section.offset[1]
