"""One dowel in shear: bearing strength, the six yield modes, the reduction term.

Symbols follow NDS 12.3: D the diameter in the yield equations (root of screws), l the bearing length, Fe the
bearing strength, subscript m for the main (point side) member, s for the side member.
"""

from __future__ import annotations

import math

from attrs import frozen

from bracing.sources import cite, shipped
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, Psi, Radian

LARGE_DOWEL = 0.25
SMALL_KD = 0.17
QUARTER_INCH = 0.25
_BEARING_STEP = 50.0


@frozen
class Bearing:
    """What one member offers a dowel.

    Attributes:
        length: bearing length l [in].
        strength: dowel bearing strength Fe [psi].
    """

    length: Inch
    strength: Psi


@frozen
class Dowel:
    """The dowel in the yield equations.

    Attributes:
        nominal: nominal diameter, which sets Fe and the kind of reduction term [in].
        diameter: diameter D in the yield equations [in].
        fyb: bending yield strength Fyb [psi].
    """

    nominal: Inch
    diameter: Inch
    fyb: Psi


@frozen
class YieldModes:
    """Lateral value by yield mode, already divided by its reduction term.

    Attributes:
        Im: bearing in the main member [lb].
        Is: bearing in the side member [lb].
        II: the dowel turning without yielding; infinite in double shear [lb].
        IIIm: one hinge, bearing in the main member; infinite in double shear [lb].
        IIIs: one hinge, bearing in the side member [lb].
        IV: two hinges [lb].
    """

    Im: Pound
    Is: Pound
    II: Pound
    IIIm: Pound
    IIIs: Pound
    IV: Pound

    def by_name(self) -> dict[str, Pound]:
        """Give the six values by the name of the mode [lb]."""
        return {name: getattr(self, name) for name in ("Im", "Is", "II", "IIIm", "IIIs", "IV")}

    @property
    def governing(self) -> str:
        """Name of the mode with the least value."""
        values = self.by_name()
        return min(values, key=lambda name: values[name])

    @property
    def least(self) -> Pound:
        """Reference lateral value Z: the least of the six [lb]."""
        if math.isinf(self.II):
            return min(self.by_name().values())
        return least_mode(self.Im, self.Is, self.II, IIIm=self.IIIm, IIIs=self.IIIs, IV=self.IV)


@formula
def bearing_small(G: float) -> Psi:
    """Give the bearing strength of a dowel under 1/4 in, at any angle to grain: Fe = 16600 G^1.84.

    Args:
        G: specific gravity of the wood [-].

    Returns:
        Dowel bearing strength Fe, unrounded [psi].

    Source: NDS table 12.3.3 footnote 2.

    Example:
        >>> round(bearing_small(0.50))
        4637
    """
    return float(16600.0 * G**1.84)


@formula
def bearing_parallel(G: float) -> Psi:
    """Give the bearing strength along the grain, 1/4 in and over: Fe = 11200 G.

    Args:
        G: specific gravity of the wood [-].

    Returns:
        Dowel bearing strength Fe, unrounded [psi].

    Source: NDS table 12.3.3 footnote 2.

    Example:
        >>> bearing_parallel(0.50)
        5600.0
    """
    return 11200.0 * G


@formula
def bearing_perpendicular(G: float, D: Inch) -> Psi:
    """Give the bearing strength across the grain, 1/4 in and over: Fe = 6100 G^1.45 / √(D).

    Args:
        G: specific gravity of the wood [-].
        D: nominal diameter [in].

    Returns:
        Dowel bearing strength Fe, unrounded [psi].

    Source: NDS table 12.3.3 footnote 2.

    Example:
        >>> round(bearing_perpendicular(0.50, 0.5))
        3158
    """
    return float(6100.0 * G**1.45) / math.sqrt(D)


@formula
def bearing_at_angle(parallel: Psi, perpendicular: Psi, angle: Radian) -> Psi:
    """Give the bearing strength of a dowel at an angle to the grain.

    Fe = parallel perpendicular / (parallel sin(angle°)^2 + perpendicular cos(angle°)^2)

    Args:
        parallel: bearing strength along the grain Fe∥ [psi].
        perpendicular: bearing strength across the grain Fe⊥ [psi].
        angle: angle θ of the load to the grain [rad].

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS 12.3-11.

    Example:
        >>> round(bearing_at_angle(5600.0, 3150.0, math.radians(45.0)))
        4032
    """
    return parallel * perpendicular / (parallel * math.sin(angle) ** 2 + perpendicular * math.cos(angle) ** 2)


def as_printed(strength: Psi, *, of: str = "wood") -> Psi:
    """Round a bearing strength to the nearest 50 psi, as the published table prints it.

    Args:
        strength: dowel bearing strength Fe, unrounded [psi].
        of: what member it is of.

    Returns:
        The strength as printed [psi].

    Source: NDS table 12.3.3.

    Example:
        >>> as_printed(4637.0)
        4650.0
    """
    rounded = _BEARING_STEP * math.floor(strength / _BEARING_STEP + 0.5)
    return Known(rounded, f"Fe of {of} as printed, to 50 psi", cite("NDS", "table 12.3.3"), by=(strength,))


def wood_bearing(G: float, D: Inch, *, angle: Radian = 0.0, end_grain: bool = False, of: str = "wood") -> Psi:
    """Give the bearing strength of wood as the published table prints it.

    Args:
        G: specific gravity of the wood [-].
        D: nominal diameter [in].
        angle: angle of the load to the grain [rad].
        end_grain: the dowel stands in end grain, so the strength is that across the grain (12.3.3.4).
        of: what member it is of.

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS table 12.3.3, 12.3.3.4, 12.3-11.

    Example:
        >>> wood_bearing(0.42, 0.162), wood_bearing(0.50, 0.5, angle=math.pi / 2)
        (3350.0, 3150.0)
    """
    if D < LARGE_DOWEL:
        return as_printed(bearing_small(G), of=of)
    across = as_printed(bearing_perpendicular(G, D), of=of)
    along = as_printed(bearing_parallel(G), of=of)
    return across if end_grain else bearing_at_angle(along, across, angle)


def panel_bearing(G: float, D: Inch, *, of: str = "panel") -> Psi:
    """Give the bearing strength of a wood panel: that of wood across the grain.

    Args:
        G: specific gravity of the panel (table 12.3.3B) [-].
        D: nominal diameter [in].
        of: what member it is of.

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS table 12.3.3B; JUDGEMENT, the lower direction for 1/4 in and over.

    Example:
        >>> panel_bearing(0.50, 0.131)
        4650.0
    """
    return wood_bearing(G, D, angle=math.pi / 2.0, of=of)


def steel_bearing(thickness: Inch) -> Psi:
    """Give the bearing strength of a steel side plate: 61 850 psi, or 87 000 psi from 1/4 in.

    Args:
        thickness: plate thickness [in].

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS tables 12K and 12P.

    Example:
        >>> steel_bearing(0.060)
        61850.0
    """
    table = shipped("joints")["side_plate"]
    found = table["steel_quarter_inch"] if thickness >= QUARTER_INCH - 1e-9 else table["steel_gauge"]
    return Known(found, "Fe of steel", cite("NDS", "tables 12K, 12P"))


@formula
def diameter_coefficient(D: Inch) -> float:
    """Give the reduction of small dowels: KD = max(2.2, 10 D + 0.5).

    The two are equal at 0.17 in.

    Args:
        D: diameter in the yield equations, under 1/4 in [in].

    Returns:
        Diameter coefficient KD [-].

    Source: NDS table 12.3.1B.

    Example:
        >>> diameter_coefficient(0.162), diameter_coefficient(0.192)
        (2.2, 2.42)
    """
    return 2.2 if D <= SMALL_KD else 10.0 * D + 0.5


@formula
def angle_coefficient(theta: Radian) -> float:
    """Give the coefficient of the angle of load to grain: Kθ = 1 + 0.25 theta / (π / 2).

    Args:
        theta: greatest angle of the load to the grain in any member [rad].

    Returns:
        Angle coefficient Kθ [-].

    Source: NDS table 12.3.1B.

    Example:
        >>> angle_coefficient(math.pi / 2.0)
        1.25
    """
    return 1.0 + 0.25 * theta / (math.pi / 2.0)


@formula
def reduction_term(K: float, Ktheta: float) -> float:
    """Give the reduction term of a yield mode: Rd = K Ktheta.

    Args:
        K: 4 for modes I, 3.6 for mode II, 3.2 for modes III and IV, or KD [-].
        Ktheta: angle coefficient Kθ [-].

    Returns:
        Reduction term Rd [-].

    Source: NDS table 12.3.1B.

    Example:
        >>> reduction_term(4.0, 1.25)
        5.0
    """
    return K * Ktheta


def reduction_terms(dowel: Dowel, angle: Radian) -> tuple[float, float, float]:
    """Give the reduction term Rd of modes I, of mode II, and of modes III and IV.

    Rd = 4 Kθ, 3.6 Kθ, 3.2 Kθ from 1/4 in, with Kθ = 1 + 0.25 θ/90°; KD under 1/4 in; KD Kθ where the nominal
    diameter is 1/4 in or more and the root is under it.

    Args:
        dowel: the dowel.
        angle: greatest angle of the load to the grain in any member [rad].

    Returns:
        The three reduction terms [-].

    Source: NDS table 12.3.1B.

    Example:
        >>> reduction_terms(Dowel(0.5, 0.5, 45000.0), math.pi / 2)
        (5.0, 4.5, 4.0)
    """
    K = angle_coefficient(angle)
    if dowel.nominal < LARGE_DOWEL:
        KD = diameter_coefficient(dowel.diameter)
        return KD, KD, KD
    if dowel.diameter < LARGE_DOWEL:
        KD = diameter_coefficient(dowel.diameter)
        one = reduction_term(KD, K)
        return one, one, one
    return reduction_term(4.0, K), reduction_term(3.6, K), reduction_term(3.2, K)


@formula
def strength_ratio(Fem: Psi, Fes: Psi) -> float:
    """Give the bearing strength of the main over the side member: Re = Fem / Fes.

    Args:
        Fem: bearing strength of the main member [psi].
        Fes: bearing strength of the side member [psi].

    Returns:
        Ratio Re [-].

    Source: NDS table 12.3.1A.

    Example:
        >>> strength_ratio(3350.0, 6700.0)
        0.5
    """
    return Fem / Fes


@formula
def length_ratio(lm: Inch, ls: Inch) -> float:
    """Give the bearing length of the main over the side member: Rt = lm / ls.

    Args:
        lm: bearing length in the main member [in].
        ls: bearing length in the side member [in].

    Returns:
        Ratio Rt [-].

    Source: NDS table 12.3.1A.

    Example:
        >>> length_ratio(3.0, 1.5)
        2.0
    """
    return lm / ls


@formula
def turning_coefficient(Re: float, Rt: float) -> float:
    """Give the coefficient of a dowel that turns without yielding.

    k1 = (√(Re + 2 Re^2 (1 + Rt + Rt^2) + Rt^2 Re^3) - Re (1 + Rt)) / (1 + Re)

    Args:
        Re: bearing strengths, main over side [-].
        Rt: bearing lengths, main over side [-].

    Returns:
        Coefficient k1 [-].

    Source: NDS table 12.3.1A.

    Example:
        >>> round(turning_coefficient(1.0, 1.0), 4)
        0.4142
    """
    return (math.sqrt(Re + 2.0 * Re**2 * (1.0 + Rt + Rt**2) + Rt**2 * Re**3) - Re * (1.0 + Rt)) / (1.0 + Re)


@formula
def main_hinge_coefficient(Re: float, Fyb: Psi, D: Inch, *, Fem: Psi, lm: Inch) -> float:
    """Give the coefficient of one hinge with bearing in the main member.

    k2 = √(2 (1 + Re) + 2 Fyb (1 + 2 Re) D^2 / (3 Fem lm^2)) - 1

    Args:
        Re: bearing strengths, main over side [-].
        Fyb: bending yield strength [psi].
        D: diameter [in].
        Fem: bearing strength of the main member [psi].
        lm: bearing length in the main member [in].

    Returns:
        Coefficient k2 [-].

    Source: NDS table 12.3.1A.

    Example:
        >>> round(main_hinge_coefficient(1.0, 100e3, 0.2, Fem=4000.0, lm=1.0), 4)
        1.4495
    """
    return -1.0 + math.sqrt(2.0 * (1.0 + Re) + 2.0 * Fyb * (1.0 + 2.0 * Re) * D**2 / (3.0 * Fem * lm**2))


@formula
def side_hinge_coefficient(Re: float, Fyb: Psi, D: Inch, *, Fem: Psi, ls: Inch) -> float:
    """Give the coefficient of one hinge with bearing in the side member.

    k3 = √(2 (1 + Re) / Re + 2 Fyb (2 + Re) D^2 / (3 Fem ls^2)) - 1

    Args:
        Re: bearing strengths, main over side [-].
        Fyb: bending yield strength [psi].
        D: diameter [in].
        Fem: bearing strength of the main member [psi].
        ls: bearing length in the side member [in].

    Returns:
        Coefficient k3 [-].

    Source: NDS table 12.3.1A.

    Example:
        >>> round(side_hinge_coefficient(1.0, 100e3, 0.2, Fem=4000.0, ls=2.0), 4)
        1.1213
    """
    return -1.0 + math.sqrt(2.0 * (1.0 + Re) / Re + 2.0 * Fyb * (2.0 + Re) * D**2 / (3.0 * Fem * ls**2))


@formula
def mode_Im(D: Inch, lm: Inch, Fem: Psi, *, Rd: float) -> Pound:  # noqa: N802  (the mode's own name)
    """Give the value of yield mode Im, bearing in the main member: Z = D lm Fem / Rd.

    Args:
        D: diameter [in].
        lm: bearing length in the main member [in].
        Fem: bearing strength of the main member [psi].
        Rd: reduction term [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: NDS 12.3-1, 12.3-7.

    Example:
        >>> round(mode_Im(0.162, 1.838, 3350.0, Rd=2.2))
        453
    """
    return D * lm * Fem / Rd


@formula
def mode_Is(D: Inch, ls: Inch, Fes: Psi, *, Rd: float, planes: float) -> Pound:  # noqa: N802
    """Give the value of yield mode Is, bearing in the side member: Z = D ls Fes planes / Rd.

    Args:
        D: diameter [in].
        ls: bearing length in the side member [in].
        Fes: bearing strength of the side member [psi].
        Rd: reduction term [-].
        planes: shear planes, 1 or 2 [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: NDS 12.3-2, 12.3-8.

    Example:
        >>> round(mode_Is(0.162, 1.5, 3350.0, Rd=2.2, planes=1.0))
        370
    """
    return planes * D * ls * Fes / Rd


@formula
def mode_II(k1: float, D: Inch, ls: Inch, *, Fes: Psi, Rd: float) -> Pound:  # noqa: N802
    """Give the value of yield mode II, the dowel turning without yielding: Z = k1 D ls Fes / Rd.

    Args:
        k1: coefficient [-].
        D: diameter [in].
        ls: bearing length in the side member [in].
        Fes: bearing strength of the side member [psi].
        Rd: reduction term [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: NDS 12.3-3.

    Example:
        >>> round(mode_II(0.4142, 0.162, 1.5, Fes=3350.0, Rd=2.2))
        153
    """
    return k1 * D * ls * Fes / Rd


@formula
def mode_IIIm(k2: float, D: Inch, lm: Inch, *, Fem: Psi, Re: float, Rd: float) -> Pound:  # noqa: N802
    """Give the value of yield mode IIIm, one hinge, bearing in the main member: Z = k2 D lm Fem / ((1 + 2 Re) Rd).

    Args:
        k2: coefficient [-].
        D: diameter [in].
        lm: bearing length in the main member [in].
        Fem: bearing strength of the main member [psi].
        Re: bearing strengths, main over side [-].
        Rd: reduction term [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: NDS 12.3-4.

    Example:
        >>> round(mode_IIIm(1.1012, 0.162, 1.838, Fem=3350.0, Re=1.0, Rd=2.2))
        166
    """
    return k2 * D * lm * Fem / ((1.0 + 2.0 * Re) * Rd)


@formula
def mode_IIIs(k3: float, D: Inch, ls: Inch, *, Fem: Psi, Re: float, Rd: float) -> Pound:  # noqa: N802
    """Give the value of yield mode IIIs, one hinge, bearing in the side member: Z = k3 D ls Fem / ((2 + Re) Rd).

    In double shear k3 comes twice, once for each plane.

    Args:
        k3: coefficient, times the shear planes [-].
        D: diameter [in].
        ls: bearing length in the side member [in].
        Fem: bearing strength of the main member [psi].
        Re: bearing strengths, main over side [-].
        Rd: reduction term [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: NDS 12.3-5, 12.3-9.

    Example:
        >>> round(mode_IIIs(1.1485, 0.162, 1.5, Fem=3350.0, Re=1.0, Rd=2.2))
        142
    """
    return k3 * D * ls * Fem / ((2.0 + Re) * Rd)


@formula
def mode_IV(D: Inch, Fem: Psi, Fyb: Psi, *, Re: float, Rd: float, planes: float) -> Pound:  # noqa: N802
    """Give the value of yield mode IV, two hinges: Z = D^2 / Rd √(2 Fem Fyb / (3 (1 + Re))) planes.

    Args:
        D: diameter [in].
        Fem: bearing strength of the main member [psi].
        Fyb: bending yield strength [psi].
        Re: bearing strengths, main over side [-].
        Rd: reduction term [-].
        planes: shear planes, 1 or 2 [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: NDS 12.3-6, 12.3-10.

    Example:
        >>> round(mode_IV(0.162, 3350.0, 90e3, Re=1.0, Rd=2.2, planes=1.0))
        120
    """
    return planes * D**2 / Rd * math.sqrt(2.0 * Fem * Fyb / (3.0 * (1.0 + Re)))


@formula
def least_mode(Im: Pound, Is: Pound, II: Pound, *, IIIm: Pound, IIIs: Pound, IV: Pound) -> Pound:
    """Give the least of the yield modes Im, Is, II, IIIm, IIIs and IV in single shear.

    Z = min(Im, Is, II, IIIm, IIIs, IV)

    Shown: the least alone.

    Args:
        Im: value of mode Im [lb].
        Is: value of mode Is [lb].
        II: value of mode II [lb].
        IIIm: value of mode IIIm [lb].
        IIIs: value of mode IIIs [lb].
        IV: value of mode IV [lb].

    Returns:
        Reference lateral value Z [lb].

    Source: NDS table 12.3.1A.

    Example:
        >>> least_mode(453.0, 370.0, 153.0, IIIm=166.0, IIIs=142.0, IV=120.0)
        120.0
    """
    return min(Im, Is, II, IIIm, IIIs, IV)


def yield_modes(
    dowel: Dowel, main: Bearing, side: Bearing, *, angle: Radian = 0.0, double_shear: bool = False
) -> YieldModes:
    """Give the six yield modes of one dowel, each divided by its reduction term.

    Args:
        dowel: the dowel.
        main: bearing of the main member (the middle one in double shear).
        side: bearing of the side member (one of the two in double shear).
        angle: greatest angle of the load to the grain in any member [rad].
        double_shear: two shear planes: Im, 2 Is, 2 IIIs, 2 IV.

    Returns:
        The value of each mode [lb].

    Assumes no gap between the members.
    Source: NDS table 12.3.1A, 12.3-1 to 12.3-10.

    Example:
        >>> spf = 3350.0
        >>> modes = yield_modes(Dowel(0.162, 0.162, 90e3), Bearing(1.838, spf), Bearing(1.5, spf))
        >>> modes.governing, round(modes.least)
        ('IV', 120)
    """
    D, Fyb = dowel.diameter, dowel.fyb
    lm, Fem, ls, Fes = main.length, main.strength, side.length, side.strength
    RdI, RdII, RdIII = reduction_terms(dowel, angle)
    Re = strength_ratio(Fem, Fes)
    k1 = turning_coefficient(Re, length_ratio(lm, ls))
    k2 = main_hinge_coefficient(Re, Fyb, D, Fem=Fem, lm=lm)
    k3 = side_hinge_coefficient(Re, Fyb, D, Fem=Fem, ls=ls)
    planes = 2.0 if double_shear else 1.0
    return YieldModes(
        Im=mode_Im(D, lm, Fem, Rd=RdI),
        Is=mode_Is(D, ls, Fes, Rd=RdI, planes=planes),
        II=math.inf if double_shear else mode_II(k1, D, ls, Fes=Fes, Rd=RdII),
        IIIm=math.inf if double_shear else mode_IIIm(k2, D, lm, Fem=Fem, Re=Re, Rd=RdIII),
        IIIs=mode_IIIs(2.0 * k3 if double_shear else k3, D, ls, Fem=Fem, Re=Re, Rd=RdIII),
        IV=mode_IV(D, Fem, Fyb, Re=Re, Rd=RdIII, planes=planes),
    )
