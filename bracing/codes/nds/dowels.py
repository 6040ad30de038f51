"""One dowel in shear: bearing strength, the six yield modes, the reduction term.

Symbols follow NDS 12.3: D the diameter in the yield equations (root of screws), l the bearing length, Fe the
bearing strength, subscript m for the main (point side) member, s for the side member.
"""

from __future__ import annotations

import math

from attrs import frozen

from bracing.codes.nds.tables import joint_data
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
        return min(self.by_name().values())


def bearing_small(G: float) -> Psi:
    """Give the bearing strength of a dowel under 1/4 in: Fe = 16600 G^1.84, at any angle to grain.

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


def bearing_perpendicular(G: float, D: Inch) -> Psi:
    """Give the bearing strength across the grain, 1/4 in and over: Fe = 6100 G^1.45 / sqrt(D).

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


def bearing_at_angle(parallel: Psi, perpendicular: Psi, angle: Radian) -> Psi:
    """Give the bearing strength at an angle: Fe = Fe∥ Fe⊥ / (Fe∥ sin² θ + Fe⊥ cos² θ).

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


def as_printed(strength: Psi) -> Psi:
    """Round a bearing strength to the nearest 50 psi, as the published table prints it.

    Args:
        strength: dowel bearing strength Fe, unrounded [psi].

    Returns:
        The strength as printed [psi].

    Source: NDS table 12.3.3.

    Example:
        >>> as_printed(4637.0)
        4650.0
    """
    return _BEARING_STEP * math.floor(strength / _BEARING_STEP + 0.5)


def wood_bearing(G: float, D: Inch, *, angle: Radian = 0.0, end_grain: bool = False) -> Psi:
    """Give the bearing strength of wood as the published table prints it.

    Args:
        G: specific gravity of the wood [-].
        D: nominal diameter [in].
        angle: angle of the load to the grain [rad].
        end_grain: the dowel stands in end grain, so the strength is that across the grain (12.3.3.4).

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS table 12.3.3, 12.3.3.4, 12.3-11.

    Example:
        >>> wood_bearing(0.42, 0.162), wood_bearing(0.50, 0.5, angle=math.pi / 2)
        (3350.0, 3150.0)
    """
    if D < LARGE_DOWEL:
        return as_printed(bearing_small(G))
    across = as_printed(bearing_perpendicular(G, D))
    return across if end_grain else bearing_at_angle(as_printed(bearing_parallel(G)), across, angle)


def panel_bearing(G: float, D: Inch) -> Psi:
    """Give the bearing strength of a wood panel: that of wood across the grain.

    Args:
        G: specific gravity of the panel (table 12.3.3B) [-].
        D: nominal diameter [in].

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS table 12.3.3B; JUDGEMENT, the lower direction for 1/4 in and over.

    Example:
        >>> panel_bearing(0.50, 0.131)
        4650.0
    """
    return wood_bearing(G, D, angle=math.pi / 2.0)


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
    table = joint_data()["side_plate"]
    return float(table["steel_quarter_inch"] if thickness >= QUARTER_INCH - 1e-9 else table["steel_gauge"])


def diameter_coefficient(D: Inch) -> float:
    """Give the reduction of small dowels: KD = 2.2 up to 0.17 in, 10 D + 0.5 above.

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
    K = 1.0 + 0.25 * angle / (math.pi / 2.0)
    if dowel.nominal < LARGE_DOWEL:
        KD = diameter_coefficient(dowel.diameter)
        return KD, KD, KD
    if dowel.diameter < LARGE_DOWEL:
        KD = diameter_coefficient(dowel.diameter)
        return KD * K, KD * K, KD * K
    return 4.0 * K, 3.6 * K, 3.2 * K


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
    Re, Rt = Fem / Fes, lm / ls
    k1 = (math.sqrt(Re + 2.0 * Re**2 * (1.0 + Rt + Rt**2) + Rt**2 * Re**3) - Re * (1.0 + Rt)) / (1.0 + Re)
    k2 = -1.0 + math.sqrt(2.0 * (1.0 + Re) + 2.0 * Fyb * (1.0 + 2.0 * Re) * D**2 / (3.0 * Fem * lm**2))
    k3 = -1.0 + math.sqrt(2.0 * (1.0 + Re) / Re + 2.0 * Fyb * (2.0 + Re) * D**2 / (3.0 * Fem * ls**2))
    planes = 2.0 if double_shear else 1.0
    return YieldModes(
        Im=D * lm * Fem / RdI,
        Is=planes * D * ls * Fes / RdI,
        II=math.inf if double_shear else k1 * D * ls * Fes / RdII,
        IIIm=math.inf if double_shear else k2 * D * lm * Fem / ((1.0 + 2.0 * Re) * RdIII),
        IIIs=planes * k3 * D * ls * Fem / ((2.0 + Re) * RdIII),
        IV=planes * D**2 / RdIII * math.sqrt(2.0 * Fem * Fyb / (3.0 * (1.0 + Re))),
    )
