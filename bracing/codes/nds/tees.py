"""Two sticks as one T: how far their fasteners couple them, and what a moment and a thrust make in it."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.sums import formula
from bracing.units import Inch, Pound, PoundPerInch, Psi

Pair = tuple[float, float]


@formula
def axial_stiffness(E: Psi, area: float) -> Pound:
    """Give the axial stiffness of a stick: EA = E area.

    Args:
        E: modulus for stability [psi].
        area: its area [in^2].

    Returns:
        EA [lb].

    Source: STATICS.

    Example:
        >>> axial_stiffness(459_000.0, 8.25)
        3786750.0
    """
    return E * area


@formula
def bending_stiffness(EA: Pound, d: Inch) -> float:
    """Give the bending stiffness of a stick: EI = EA d^2 / 12.

    Args:
        EA: its axial stiffness [lb].
        d: its dimension that bends [in].

    Returns:
        EI [lb in2].

    Source: STATICS.

    Example:
        >>> bending_stiffness(3_000_000.0, 2.0)
        1000000.0
    """
    return EA * d**2 / 12.0


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
    def axial_stiffness(self) -> Pound:
        """Axial stiffness [lb]."""
        return axial_stiffness(self.E, self.area)

    @property
    def bending_stiffness(self) -> Pair:
        """Bending stiffness in the weak and the strong direction [lb in^2]."""
        EA = self.axial_stiffness
        return bending_stiffness(EA, self.weak), bending_stiffness(EA, self.strong)


@frozen
class BuiltUp:
    """Two parts of a T and how well their fasteners couple them.

    Attributes:
        first: the brace.
        second: the stiffener, its edge against the middle of the brace's wide face.
        apart: from the centre of the first to the centre of the second, in the weak direction [in].
        gamma: efficiency of the connection, 0 (loose) to 1 (glued) [-].
    """

    first: Part
    second: Part
    apart: Inch
    gamma: float


@formula
def connection_efficiency(EA: Pound, *, spacing: Inch, slip_modulus: PoundPerInch, length: Inch) -> float:
    """Give the efficiency of its fasteners along a bent built-up member.

    gamma = 1 / (1 + π^2 EA spacing / (slip_modulus length^2))

    Args:
        EA: axial stiffness of the first part [lb].
        spacing: of the fasteners, s [in].
        slip_modulus: of one fastener, K; 0 for none [lb/in].
        length: length between the supports, l [in].

    Returns:
        gamma, 0 to 1 [-].

    Source: EN1995 Annex B, Eq. B.5.

    Example:
        >>> round(connection_efficiency(2_000_000.0, spacing=6.0, slip_modulus=4_000.0, length=144.0), 3)
        0.412
    """
    stiff = slip_modulus * length**2
    return stiff / (stiff + math.pi**2 * EA * spacing) if stiff > 0.0 else 0.0


@formula
def coupling_of(gamma: float, EA1: Pound, EA2: Pound) -> Pound:
    """Give the axial stiffness that couples two parts: C = gamma EA1 EA2 / (gamma EA1 + EA2).

    Args:
        gamma: efficiency of the connection [-].
        EA1: axial stiffness of the first [lb].
        EA2: axial stiffness of the second [lb].

    Returns:
        C, of which C r^2 is what the coupling adds to the stiffness at a distance r [lb].

    Source: EN1995 Annex B, Eq. B.1 and B.6 put together.

    Example:
        >>> coupling_of(1.0, 4_000_000.0, 4_000_000.0)
        2000000.0
    """
    return gamma * EA1 * EA2 / (gamma * EA1 + EA2)


def coupling(section: BuiltUp) -> Pound:
    """Give the axial stiffness that couples the parts of a section, C [lb].

    Args:
        section: the parts and their efficiency.

    Source: EN1995 Annex B, Eq. B.1 and B.6 put together.
    """
    return coupling_of(section.gamma, section.first.axial_stiffness, section.second.axial_stiffness)


@formula
def coupled_stiffness(EI1: float, EI2: float, C: Pound, *, r: Inch) -> float:
    """Give the bending stiffness of two coupled parts along the wall: EI = EI1 + EI2 + C r^2.

    Args:
        EI1: of the first alone [lb in^2].
        EI2: of the second alone [lb in^2].
        C: what couples them [lb].
        r: their middles apart [in].

    Returns:
        EI [lb in2].

    Source: EN1995 Annex B, Eq. B.1.

    Example:
        >>> coupled_stiffness(1e6, 2e6, 1e6, r=2.0)
        7000000.0
    """
    return EI1 + EI2 + C * r**2


@formula
def added_stiffness(EI1: float, EI2: float) -> float:
    """Give the bending stiffness of two parts with their middles level, in the upright plane: EI = EI1 + EI2.

    Args:
        EI1: of the first [lb in^2].
        EI2: of the second [lb in^2].

    Returns:
        EI [lb in2].

    Source: EN1995 Annex B, Eq. B.1.

    Example:
        >>> added_stiffness(1e6, 2e6)
        3000000.0
    """
    return EI1 + EI2


def stiffness(section: BuiltUp) -> Pair:
    """Give the effective bending stiffness of a T, weak and strong [lb in^2].

    Args:
        section: the parts and their efficiency.

    Source: EN1995 Annex B, Eq. B.1.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> weak, strong = stiffness(BuiltUp(first=part, second=part, apart=1.5, gamma=1.0))
        >>> round(weak, 3), round(3.5 * 3.0**3 / 12.0, 3)
        (7.875, 7.875)
    """
    (w1, s1), (w2, s2) = section.first.bending_stiffness, section.second.bending_stiffness
    return coupled_stiffness(w1, w2, coupling(section), r=section.apart), added_stiffness(s1, s2)


@formula
def stress_along(E: Psi, EI: float, EA: Pound, *, C: Pound, r: Inch, d: Inch) -> Psi:
    """Give the stress at the edge of one part of a moment of 1 lb in along the wall.

    f = E / EI (C r / EA + d / 2)

    Args:
        E: modulus of the part [psi].
        EI: bending stiffness of both along the wall [lb in^2].
        EA: axial stiffness of the part [lb].
        C: what couples the parts [lb].
        r: their middles apart [in].
        d: the part's own dimension that bends [in].

    Returns:
        The stress [psi].

    Source: EN1995 Annex B, Eq. B.7 and B.8.

    Example:
        >>> stress_along(1e6, 1e7, 1e6, C=1e6, r=2.0, d=2.0)
        0.3
    """
    return E / EI * (C * r / EA + d / 2.0)


@formula
def stress_upright(E: Psi, EI: float, d: Inch) -> Psi:
    """Give the stress at the edge of the deeper part of a moment of 1 lb in, upright: f = E / EI d / 2.

    Args:
        E: modulus of both [psi].
        EI: bending stiffness of both in the upright plane [lb in^2].
        d: the greater of their dimensions that bend [in].

    Returns:
        The stress [psi].

    Source: EN1995 Annex B, Eq. B.8.

    Example:
        >>> stress_upright(1e6, 1e7, 5.0)
        0.25
    """
    return E / EI * d / 2.0


@formula
def greater_stress(f1: Psi, f2: Psi) -> Psi:
    """Give the greater stress of a moment of 1 lb in along the wall: f = max(f1, f2).

    Args:
        f1: in the first part [psi].
        f2: in the second [psi].

    Returns:
        The stress [psi].

    Source: STATICS.

    Example:
        >>> greater_stress(0.1, 0.2)
        0.2
    """
    return max(f1, f2)


def stress_per_moment(section: BuiltUp) -> Pair:
    """Give the greatest bending stress of a unit moment on a T, in the weak and the strong direction [psi].

    Args:
        section: the parts and their efficiency.

    Source: EN1995 Annex B, Eq. B.7 and B.8.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> glued = BuiltUp(first=part, second=part, apart=1.5, gamma=1.0)
        >>> round(stress_per_moment(glued)[0], 6), round(6.0 / (3.5 * 3.0**2), 6)
        (0.190476, 0.190476)
    """
    (weak_EI, strong_EI), C = stiffness(section), coupling(section)
    first, second = (
        stress_along(part.E, weak_EI, part.axial_stiffness, C=C, r=section.apart, d=part.weak)
        for part in (section.first, section.second)
    )
    deep = max((section.first, section.second), key=lambda part: part.E * part.strong)
    return greater_stress(first, second), stress_upright(deep.E, strong_EI, deep.strong)


@formula
def thrust_shift(C: Pound, EA1: Pound, r: Inch) -> Inch:
    """Give how far the middle of the brace lies off the middle of the T: a = C / EA1 r.

    It is gamma a1: the whole distance to the common centre where the parts are glued, none where loose.

    Args:
        C: what couples the parts [lb].
        EA1: axial stiffness of the brace [lb].
        r: the parts' middles apart [in].

    Returns:
        The distance [in].

    Source: STATICS the first harmonic of two parts sharing a curvature, thrust entering the first.

    Example:
        >>> thrust_shift(2e6, 4e6, 2.5)
        1.25
    """
    return C / EA1 * r


def shift_of_thrust(section: BuiltUp) -> Inch:
    """Give how far a thrust on the first part alone lies off the axis of a T [in].

    Args:
        section: the parts and their efficiency.

    Source: STATICS the first harmonic of two parts sharing a curvature, thrust entering the first.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> shift_of_thrust(BuiltUp(first=part, second=part, apart=2.5, gamma=1.0))
        1.25
    """
    return thrust_shift(coupling(section), section.first.axial_stiffness, section.apart)


@formula
def eccentric_ratio_of_two(area: float, f: Psi, *, lap: Inch, a: Inch) -> float:
    """Give the bending stress of a thrust beside the middle of a T, for each psi of it: r = area (lap + a) f.

    Args:
        area: of the brace, which the thrust enters alone [in^2].
        f: stress of a moment of 1 lb in along the wall [psi].
        lap: of the thrust off the middle of the brace [in].
        a: the middle of the brace off the middle of the T [in].

    Returns:
        r [-].

    Source: STATICS.

    Example:
        >>> eccentric_ratio_of_two(5.25, 0.2, lap=0.75, a=0.25)
        1.05
    """
    return area * (lap + a) * f


@formula
def stress_in_two(M: float, f: Psi) -> Psi:
    """Give the bending stress of the T's own weight: fb = M f.

    Args:
        M: the moment [lb in].
        f: stress of a moment of 1 lb in that way [psi].

    Returns:
        fb [psi].

    Source: STATICS.

    Example:
        >>> stress_in_two(500.0, 0.25)
        125.0
    """
    return M * f
