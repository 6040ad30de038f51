"""Connections by other published rules: EN 1995, ACI anchors, ultimate values.

Used by tests and the docs to see that `bracing.codes.nds` answers in the right size; never by the answer.
Units are those of each source and stand in the docstrings (EN 1995 in newtons and millimetres).
"""

from __future__ import annotations

import math

from bracing.units import Inch, Pound, PoundPerInch, Psi, Radian

# EN 338:2009: bending strength [N/mm²], density [kg/m³], fifth percentile stiffness [N/mm²].
STRENGTH_CLASSES = {"C16": (16.0, 310.0, 5400.0), "C18": (18.0, 320.0, 6000.0), "C24": (24.0, 350.0, 7400.0)}
# EN 1995-1-1 tables 3.1 and 2.3; the instantaneous value and the joints' factor are from memory.
K_MOD = {("medium", 1): 0.8, ("instantaneous", 3): 0.9}
GAMMA_M = {"solid timber": 1.3, "connections": 1.3}
# ACI 318-19 17.6.2.2.1 and 17.6.3.2.2.
K_C = {"cast-in": 24.0, "post-installed": 17.0}
# USDA Wood Handbook ch. 8, and FPL-093.
HANDBOOK = {"nail": 7850.0, "wood screw": 15700.0, "lag": 8100.0}
OLD_NAIL = 6900.0


def nail_yield_regression(D: Inch) -> Psi:
    """Give the bending yield strength of common wire nails by regression: Fyb = 130 400 - 213 900 D.

    Args:
        D: shank diameter [in].

    Returns:
        Bending yield strength [psi].

    Source: NDS-C appendix I, as quoted in university course notes.

    Example:
        >>> round(nail_yield_regression(0.131))
        102379
    """
    return 130_400.0 - 213_900.0 * D


def penetration_scaled(Z: Pound, *, penetration: Inch, D: Inch, load_duration: float) -> Pound:
    """Give a table value for short penetration in the older form: Z CD p/(10 D), no more than Z CD.

    Args:
        Z: table value at full penetration [lb].
        penetration: penetration of the main member p [in].
        D: shank diameter [in].
        load_duration: load duration factor CD [-].

    Returns:
        Adjusted lateral value [lb].

    Source: NDS table 12N footnote 3 (the 2005 edition asks it).

    Example:
        >>> round(penetration_scaled(141.0, penetration=1.25, D=0.162, load_duration=1.6))
        174
    """
    return Z * load_duration * min(1.0, penetration / (10.0 * D))


def handbook_withdrawal(kind: str, G: float, D: Inch) -> PoundPerInch:
    """Give the average ultimate withdrawal per inch: 7850 G^2.5 D, 15 700 G² D or 8100 G^1.5 D^0.75.

    Args:
        kind: "nail", "wood screw" or "lag".
        G: specific gravity, ovendry weight and volume at 12% [-].
        D: shank diameter [in].

    Returns:
        Ultimate withdrawal [lb/in].

    Source: FPL ch. 8.

    Example:
        >>> round(handbook_withdrawal("nail", 0.42, 0.131) * 1.5, 1)
        176.3
    """
    power_G, power_D = {"nail": (2.5, 1.0), "wood screw": (2.0, 1.0), "lag": (1.5, 0.75)}[kind]
    return float(HANDBOOK[kind] * G**power_G * D**power_D)


def nail_yield_moment(d: float, fu: float) -> float:
    """Give the characteristic yield moment of a round nail: My = 0.3 fu d^2.6.

    Args:
        d: nail diameter [mm].
        fu: tensile strength of the wire [N/mm²].

    Returns:
        Yield moment [N mm].

    Source: EN1995 8.14.

    Example:
        >>> round(nail_yield_moment(3.1, 600.0), 1)
        3410.5
    """
    return float(0.3 * fu * d**2.6)


def nail_embedment(d: float, rho: float) -> float:
    """Give the characteristic embedment strength of a nail without predrilling: fh = 0.082 ρ d^-0.3.

    Args:
        d: nail diameter [mm].
        rho: characteristic density [kg/m³].

    Returns:
        Embedment strength [N/mm²].

    Source: EN1995 8.15.

    Example:
        >>> round(nail_embedment(3.1, 350.0), 2)
        20.44
    """
    return float(0.082 * rho * d**-0.3)


def johansen(d: float, *, t1: float, t2: float, fh1: float, fh2: float, My: float) -> dict[str, float]:
    """Give the six yield modes of a single shear plane without rope effect.

    Args:
        d: dowel diameter [mm].
        t1: thickness of the head side member [mm].
        t2: penetration of the point side member [mm].
        fh1: embedment strength of the head side member [N/mm²].
        fh2: embedment strength of the point side member [N/mm²].
        My: yield moment [N mm].

    Returns:
        Characteristic load of modes a to f [N].

    Source: EN1995 8.6.

    Example:
        >>> round(min(johansen(3.1, t1=38.0, t2=52.0, fh1=20.44, fh2=20.44, My=3410.5).values()))
        756
    """
    b, r, bearing = fh2 / fh1, t2 / t1, fh1 * t1 * d
    one = 4.0 * b * (2.0 + b) * My / (fh1 * d * t1**2)
    two = 4.0 * b * (1.0 + 2.0 * b) * My / (fh1 * d * t2**2)
    turning = math.sqrt(b + 2.0 * b**2 * (1.0 + r + r**2) + b**3 * r**2) - b * (1.0 + r)
    return {
        "a": bearing,
        "b": fh2 * t2 * d,
        "c": bearing / (1.0 + b) * turning,
        "d": 1.05 * bearing / (2.0 + b) * (math.sqrt(2.0 * b * (1.0 + b) + one) - b),
        "e": 1.05 * fh1 * t2 * d / (1.0 + 2.0 * b) * (math.sqrt(2.0 * b**2 * (1.0 + b) + two) - b),
        "f": 1.15 * math.sqrt(2.0 * b / (1.0 + b)) * math.sqrt(2.0 * My * fh1 * d),
    }


def nail_head_strength(rho: float) -> float:
    """Give the characteristic head pull-through strength of a smooth nail: 70e-6 ρ².

    Args:
        rho: characteristic density [kg/m³].

    Returns:
        Pull-through strength [N/mm²].

    Source: EN1995 8.26.

    Example:
        >>> round(nail_head_strength(350.0), 3)
        8.575
    """
    return 70e-6 * rho**2


def screw_withdrawal_strength(d: float, length: float, rho: float) -> float:
    """Give the characteristic withdrawal strength of a screw: fax = 0.52 d^-0.5 lef^-0.1 ρ^0.8.

    Args:
        d: outer thread diameter [mm].
        length: thread in the point side member lef [mm].
        rho: characteristic density [kg/m³].

    Returns:
        Withdrawal strength [N/mm²].

    Source: EN1995 8.39.

    Example:
        >>> round(screw_withdrawal_strength(6.0, 40.0, 350.0), 2)
        15.92
    """
    return float(0.52 * d**-0.5 * length**-0.1 * rho**0.8)


def screw_axial(d: float, length: float, rho: float, *, angle: Radian) -> float:
    """Give the withdrawal of one screw: fax d lef kd / (1.2 cos² α + sin² α), kd = min(d/8, 1).

    Args:
        d: outer thread diameter [mm].
        length: thread in the point side member lef [mm].
        rho: characteristic density [kg/m³].
        angle: angle α of the screw to the grain [rad].

    Returns:
        Withdrawal capacity [N].

    Source: EN1995 8.38.

    Example:
        >>> round(screw_axial(6.0, 40.0, 350.0, angle=math.pi / 2))
        2866
    """
    strength = screw_withdrawal_strength(d, length, rho)
    slant = 1.2 * math.cos(angle) ** 2 + math.sin(angle) ** 2
    return strength * d * length * min(d / 8.0, 1.0) / slant


def anchor_breakout(kc: float, fc: Psi, hef: Inch) -> Pound:
    """Give the basic concrete breakout of one anchor: Nb = kc sqrt(f'c) hef^1.5, normal weight concrete.

    Args:
        kc: 24 cast-in, 17 post-installed [lb^0.5/in^0.5].
        fc: concrete strength f'c [psi].
        hef: effective embedment [in].

    Returns:
        Strength-level breakout Nb [lb].

    Source: ACI318 17.6.2.2.1.

    Example:
        >>> round(anchor_breakout(24.0, 4000.0, 4.69))
        15417
    """
    return kc * math.sqrt(fc) * float(hef**1.5)


def anchor_breakout_area(hef: Inch) -> float:
    """Give the breakout area of one anchor far from edges: ANco = 9 hef².

    Args:
        hef: effective embedment [in].

    Returns:
        Area [in²].

    Source: ACI318 17.6.2.1.4.

    Example:
        >>> anchor_breakout_area(2.0)
        36.0
    """
    return 9.0 * hef**2


def headed_pullout(bearing_area: float, fc: Psi) -> Pound:
    """Give the pullout of a headed anchor: Np = 8 Abrg f'c.

    Args:
        bearing_area: net bearing area of the head Abrg [in²].
        fc: concrete strength f'c [psi].

    Returns:
        Strength-level pullout [lb].

    Source: ACI318 17.6.3.2.2.

    Example:
        >>> round(headed_pullout(0.59, 4000.0))
        18880
    """
    return 8.0 * bearing_area * fc


def anchor_steel(area: float, futa: Psi) -> Pound:
    """Give the steel strength of an anchor: Nsa = Ase futa.

    Args:
        area: net tensile area Ase [in²].
        futa: tensile strength [psi].

    Returns:
        Strength-level steel tension [lb].

    Source: ACI318 17.6.1.2.

    Example:
        >>> round(anchor_steel(0.3068, 65000.0))
        19942
    """
    return area * futa


def welded_stud_shear_breakout(diameter: Inch, bearing: Inch, *, fc: Psi, edge: Inch) -> Pound:
    """Give the shear breakout of a welded stud: Vb = 8 (le/da)^0.2 sqrt(da) sqrt(f'c) ca1^1.5.

    Args:
        diameter: stud diameter da [in].
        bearing: load-bearing length le, at most 8 da [in].
        fc: concrete strength f'c [psi].
        edge: distance to the edge pushed toward ca1 [in].

    Returns:
        Strength-level breakout [lb].

    Assumes far side edges and thick concrete (area ratio 1), cracked concrete.
    Source: ACI318 17.7.2.2.2 (from memory).

    Example:
        >>> round(welded_stud_shear_breakout(0.5, 3.06, fc=4000.0, edge=10.0))
        16254
    """
    le = min(bearing, 8.0 * diameter)
    return 8.0 * float((le / diameter) ** 0.2) * math.sqrt(diameter * fc) * float(edge**1.5)


def sliding_only_weight(tension: Pound, *, friction: float, angle: Radian, factor: float) -> Pound:
    """Give the dead weight with a factor on sliding alone: W = factor H/μ + V, less cautious than ours.

    Args:
        tension: brace force [lb].
        friction: coefficient of sliding friction μ [-].
        angle: angle of the brace from the ground [rad].
        factor: factor on sliding [-].

    Returns:
        Weight [lb].

    Source: STATICS.

    Example:
        >>> round(sliding_only_weight(500.0, friction=0.35, angle=math.radians(45.0), factor=1.5))
        1869
    """
    return factor * tension * math.cos(angle) / friction + tension * math.sin(angle)
