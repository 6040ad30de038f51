"""Strengths of wood members: columns, beams, a joist bent upward.

Loads are not known here. Every function takes floats (the published equations take arrays too) and gives a
strength or a ratio of one.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from bracing.errors import InputError, MissingDataError
from bracing.job.lumber import Section
from bracing.sums import formula
from bracing.units import Inch, InchPound, Pound, Psi, Radian

Numbers = TypeVar("Numbers", float, NDArray[np.float64])

BUCKLING = 0.822  # NDS 3.7.1.5
COLUMN_CONSTANT = 0.8  # NDS 3.7.1.5, c of sawn lumber
LIMIT_IN_SERVICE = 50.0  # NDS 3.7.1.4
LIMIT_DURING_CONSTRUCTION = 75.0  # NDS 3.7.1.4


@formula
def euler_stress(Emin: Numbers, slenderness: Numbers) -> Numbers:
    """Give the critical buckling stress of a column.

    FcE = 0.822 Emin / slenderness^2

    Args:
        Emin: adjusted modulus for stability [psi].
        slenderness: le/d [-].

    Returns:
        FcE [psi].

    Source: NDS 3.7.1.5.

    Example:
        >>> round(euler_stress(510_000.0, 120.0 / 3.5), 1)
        356.6
    """
    return BUCKLING * Emin / slenderness**2


@formula
def euler_stress_of_stiffness(EI: Numbers, area: Numbers, length: Numbers) -> Numbers:
    """Give the critical buckling stress from a bending stiffness.

    FcE = 12 × 0.822 EI / (area length^2)

    For a rectangle, with I/A = d^2/12, it is the published form.

    Args:
        EI: least bending stiffness, with Emin [lb in^2].
        area: area the axial stress is taken on [in^2].
        length: unbraced length [in].

    Returns:
        FcE [psi].

    Source: NDS 3.7.1.5.

    Example:
        >>> round(euler_stress_of_stiffness(510_000.0 * 3.5**4 / 12.0, 3.5**2, 120.0), 1)
        356.6
    """
    return 12.0 * BUCKLING * EI / (area * length**2)


@formula
def column_stability_factor(Fc_star: Numbers, FcE: Numbers) -> Numbers:
    """Give the column stability factor of sawn lumber.

    CP = (1 + FcE / Fc_star) / 1.6 - √(((1 + FcE / Fc_star) / 1.6)^2 - FcE / Fc_star / 0.8)

    Worked out as its conjugate, so that a slender column loses no digits.

    Args:
        Fc_star: compression value with every factor but CP [psi].
        FcE: critical buckling stress [psi].

    Returns:
        CP, over 0 and at most 1 [-].

    Source: NDS 3.7.1.5, Eq. 3.7-1.

    Example:
        >>> round(column_stability_factor(1450.0, 356.6), 3)
        0.232
    """
    a = FcE / Fc_star
    half = (1.0 + a) / (2.0 * COLUMN_CONSTANT)
    root: Numbers = (half**2 - a / COLUMN_CONSTANT) ** 0.5
    return (a / COLUMN_CONSTANT) / (half + root)


@formula
def compression_allowed(Fc_star: Numbers, CP: Numbers) -> Numbers:
    """Give the adjusted compression value of a column: Fc' = Fc_star CP.

    Args:
        Fc_star: compression value with every factor but CP [psi].
        CP: column stability factor [-].

    Returns:
        Fc' [psi].

    Source: NDS 3.7.1.

    Example:
        >>> compression_allowed(2000.0, 0.25)
        500.0
    """
    return Fc_star * CP


def column_stress(Fc_star: Numbers, FcE: Numbers) -> Numbers:
    """Give the adjusted compression value of a column from its buckling value, Fc' = Fc* CP.

    Args:
        Fc_star: compression value with every factor but CP [psi].
        FcE: critical buckling stress, the lesser of both axes [psi].

    Returns:
        Fc' [psi].

    Source: NDS 3.7.1, Eq. 3.7-1.

    Example:
        >>> round(column_stress(2024.0, euler_stress(510_000.0, 64.0)), 1)
        101.3
    """
    return compression_allowed(Fc_star, column_stability_factor(Fc_star, FcE))


@formula
def slenderness(unbraced: Numbers, depth: Inch, *, Ke: float = 1.0) -> Numbers:
    """Give the slenderness of one axis: le/d = unbraced / depth Ke.

    Args:
        unbraced: longest length between supports of that axis [in].
        depth: dimension that bends [in].
        Ke: effective length factor; a brace is pinned at both ends, 1 [-].

    Returns:
        le/d [-].

    Source: NDS 3.7.1.2 and 3.7.1.3.

    Example:
        >>> slenderness(192.0, 1.5)
        128.0
    """
    return Ke * unbraced / depth


@formula
def equivalent_depth(EI: float, E: Psi, area: float) -> Inch:
    """Give the depth of the rectangle with the same radius of gyration: d = √(12 EI / (E area)).

    Args:
        EI: least bending stiffness [lb in^2].
        E: the same modulus [psi].
        area: area of the whole built-up section [in^2].

    Returns:
        d, to be used in le/d [in].

    Source: NDS 3.7.1.3 (r sqrt(12) for d).

    Example:
        >>> round(equivalent_depth(1_000_000.0 * 5.5 * 1.5**3 / 12.0, 1_000_000.0, 8.25), 6)
        1.5
    """
    return math.sqrt(12.0 * EI / (E * area))


RB_LIMIT = 50.0  # NDS 3.3.3.7
BEAM_BUCKLING = 1.20  # NDS 3.3.3.8
CONNECTION_END_ZONE = 5.0  # NDS 3.4.3.3, depths

# NDS Table 3.3.3, single span: le/lu under lu/d = 7, and that to which 3 d are added from there
EFFECTIVE_LENGTH = {"uniform": (2.06, 1.63), "centre point": (1.80, 1.37)}
_SHORT_BEAM = 7.0


@formula
def short_length(lu: Inch, times: float) -> Inch:
    """Give the effective length of a beam under 7 depths between lateral supports: le = times lu.

    Args:
        lu: distance between lateral supports [in].
        times: by the kind of load [-].

    Returns:
        le [in].

    Source: NDS Table 3.3.3.

    Example:
        >>> short_length(30.0, 2.06)
        61.8
    """
    return times * lu


@formula
def long_length(lu: Inch, d: Inch, times: float) -> Inch:
    """Give the effective length of a beam of 7 depths and more between lateral supports: le = times lu + 3 d.

    Args:
        lu: distance between lateral supports [in].
        d: depth [in].
        times: by the kind of load [-].

    Returns:
        le [in].

    Source: NDS Table 3.3.3.

    Example:
        >>> long_length(240.0, 15.25, 1.37)
        374.55
    """
    return times * lu + 3.0 * d


def effective_length(unbraced: Inch, depth: Inch, *, load: str = "uniform") -> Inch:
    """Give the effective length of a single-span beam for lateral stability.

    le = 2.06 lu under lu/d = 7, else 1.63 lu + 3d for a uniform load; 1.80 lu and 1.37 lu + 3d for a point
    load at the centre without a support there.

    Args:
        unbraced: distance between lateral supports, lu [in].
        depth: depth of the beam, d [in].
        load: "uniform" or "centre point".

    Returns:
        le [in].

    Raises:
        MissingDataError: another load.

    Source: NDS Table 3.3.3.

    Example:
        >>> effective_length(240.0, 15.25, load="centre point")
        374.55
    """
    if load not in EFFECTIVE_LENGTH:
        table = "beam loads"
        raise MissingDataError(table, load, EFFECTIVE_LENGTH)
    short, slope = EFFECTIVE_LENGTH[load]
    if unbraced / depth < _SHORT_BEAM:
        return short_length(unbraced, short)
    return long_length(unbraced, depth, slope)


@formula
def beam_slenderness(effective: Inch, depth: Inch, breadth: Inch) -> float:
    """Give the slenderness ratio of a beam: RB = √(effective depth) / breadth.

    Args:
        effective: effective length, le [in].
        depth: d [in].
        breadth: b [in].

    Returns:
        RB, which may not pass 50 [-].

    Source: NDS Eq. 3.3-5.

    Example:
        >>> round(beam_slenderness(375.0, 15.25, 3.5), 1)
        21.6
    """
    return math.sqrt(effective * depth) / breadth


@formula
def beam_buckling_stress(Emin: Numbers, RB: Numbers) -> Numbers:
    """Give the critical buckling value of a beam: FbE = 1.20 Emin / RB^2.

    Args:
        Emin: adjusted modulus for stability [psi].
        RB: slenderness ratio [-].

    Returns:
        FbE [psi].

    Source: NDS 3.3.3.8.

    Example:
        >>> round(beam_buckling_stress(690_000.0, 21.593))
        1776
    """
    return BEAM_BUCKLING * Emin / RB**2


@formula
def beam_stability_factor(Fb_star: Numbers, FbE: Numbers) -> Numbers:
    """Give the beam stability factor.

    CL = (1 + FbE / Fb_star) / 1.9 - √(((1 + FbE / Fb_star) / 1.9)^2 - FbE / Fb_star / 0.95)

    Args:
        Fb_star: bending value with every factor but CL, CV and Cfu [psi].
        FbE: critical buckling value [psi].

    Returns:
        CL, over 0 and at most 1 [-].

    Source: NDS Eq. 3.3-6.

    Example:
        >>> round(beam_stability_factor(1500.0, 1776.0), 3)
        0.876
    """
    a = FbE / Fb_star
    half = (1.0 + a) / 1.9
    root: Numbers = (half**2 - a / 0.95) ** 0.5
    return (a / 0.95) / (half + root)


@formula
def stable_bending(Fb_star: Psi, CL: float) -> Psi:
    """Give the bending value of a beam that may roll over: Fb' = Fb_star CL.

    Args:
        Fb_star: bending value with every factor but CL [psi].
        CL: beam stability factor [-].

    Returns:
        Fb' [psi].

    Source: NDS 3.3.3.

    Example:
        >>> stable_bending(1500.0, 0.5)
        750.0
    """
    return Fb_star * CL


@formula
def moment_allowed(Fb: Psi, CL: float, S: float) -> InchPound:
    """Give the moment one ply carries: M' = Fb CL S.

    Args:
        Fb: bending value, adjusted [psi].
        CL: beam stability factor [-].
        S: section modulus [in^3].

    Returns:
        The moment [lb in].

    Source: NDS 3.3.1, 3.3.2, 4.3.7.

    Example:
        >>> moment_allowed(1000.0, 1.0, 7.5625)
        7562.5
    """
    return Fb * CL * S


@formula
def shear_allowed(Fv: Psi, A: float) -> Pound:
    """Give the shear one rectangular ply carries: V' = 2 Fv A / 3.

    Args:
        Fv: shear value, adjusted [psi].
        A: area [in^2].

    Returns:
        The shear [lb].

    Source: NDS Eq. 3.4-2.

    Example:
        >>> shear_allowed(135.0, 8.25)
        742.5
    """
    return 2.0 * Fv * A / 3.0


@formula
def shear_near_end(V: Pound, de: Inch, d: Inch) -> Pound:
    """Give the shear within 5 d of the member's end: V' = V (de / d)^2.

    Args:
        V: shear on the depth that is left [lb].
        de: depth less the distance from the unloaded edge to the nearest fastener [in].
        d: depth [in].

    Returns:
        The shear [lb].

    Source: NDS 3.4.3.3.

    Example:
        >>> shear_near_end(400.0, 2.75, 5.5)
        100.0
    """
    return V * (de / d) ** 2


@formula
def shear_on_depth_left(Fv: Psi, b: Inch, de: Inch) -> Pound:
    """Give the shear on the depth left below the fasteners: V' = 2 Fv b de / 3.

    Args:
        Fv: shear value, adjusted [psi].
        b: thickness [in].
        de: depth less the distance from the unloaded edge to the nearest fastener [in].

    Returns:
        The shear [lb].

    Source: NDS 3.4.3.3.

    Example:
        >>> shear_on_depth_left(135.0, 1.5, 3.0)
        405.0
    """
    return 2.0 * Fv * b * de / 3.0


def shear_capacity(section: Section, Fv: Psi) -> Pound:
    """Give the shear a rectangular member carries, V' = 2 Fv' b d/3.

    Args:
        section: its section, all plies.
        Fv: shear value, adjusted [psi].

    Returns:
        The shear [lb].

    Source: NDS Eq. 3.4-2.

    Example:
        >>> from bracing.job.lumber import section
        >>> round(shear_capacity(section("2x6"), 135.0), 1)
        742.5
    """
    return shear_allowed(Fv, section.area)


def shear_capacity_at_connection(
    section: Section, Fv: Psi, *, from_loaded_edge: Inch, from_end: Inch
) -> Pound:
    """Give the shear of a member where fasteners load it across the grain.

    V' = 2/3 Fv' b de (de/d)^2 within 5d of the end, else 2/3 Fv' b de

    Args:
        section: its section, all plies.
        Fv: shear value, adjusted [psi].
        from_loaded_edge: de, the depth less the distance from the unloaded edge to the nearest fastener [in].
        from_end: distance of the joint from the member's end [in].

    Returns:
        The shear [lb].

    Raises:
        InputError: de outside the member.

    Source: NDS 3.4.3.3.

    Example:
        >>> from bracing.job.lumber import section
        >>> stud = section("2x6")
        >>> round(shear_capacity_at_connection(stud, 135.0, from_loaded_edge=2.75, from_end=12.0), 1)
        92.8
        >>> round(shear_capacity_at_connection(stud, 135.0, from_loaded_edge=2.75, from_end=60.0), 1)
        371.2
    """
    d, de = section.width, from_loaded_edge
    if not 0.0 <= de <= d:
        field = "effective depth"
        raise InputError.of(field, de, f"a depth from 0 to {d} in")
    V = shear_on_depth_left(Fv, section.plies * section.thickness, de)
    return shear_near_end(V, de, d) if from_end < CONNECTION_END_ZONE * d else V


@formula
def bearing_at_angle(Fc_star: Numbers, Fc_perp: Numbers, angle: Radian) -> Numbers:
    """Give the bearing value at an angle to the grain.

    F = Fc_star Fc_perp / (Fc_star sin(angle°)^2 + Fc_perp cos(angle°)^2)

    Args:
        Fc_star: compression value along the grain, with every factor but CP [psi].
        Fc_perp: bearing value across the grain, adjusted [psi].
        angle: from the direction of the grain [rad].

    Returns:
        The bearing value [psi].

    Source: NDS Eq. 3.10-1.

    Example:
        >>> import math
        >>> round(bearing_at_angle(2160.0, 625.0, math.radians(45.0)), 1)
        969.5
    """
    return Fc_star * Fc_perp / (Fc_star * math.sin(angle) ** 2 + Fc_perp * math.cos(angle) ** 2)


@formula
def bearing_allowed(F: Psi, b: Inch, d: Inch) -> Pound:
    """Give the force an end may bear on a face: N' = F b d.

    Args:
        F: bearing value [psi].
        b: width of the face in contact [in].
        d: its length [in].

    Returns:
        The force [lb].

    Source: NDS 3.10.2.

    Example:
        >>> bearing_allowed(425.0, 1.5, 5.5)
        3506.25
    """
    return F * (b * d)


G_OF_E = 1.0 / 16.0  # shear modulus over modulus of elasticity of lumber
TORSION_LOSS = 0.63  # J = b^3 d (1 - 0.63 b/d)/3
END_MOMENTS = 1.84  # le/lu of equal end moments, NDS table 3.3.3
THEORY = (
    math.pi * END_MOMENTS / 4.0
)  # FbE RB^2/Emin of a free beam under end moments, by theory with G = E/16
KEPT = BEAM_BUCKLING / THEORY  # what the standard keeps of theory: 1.20 of 1.445


@formula
def lifted_buckling_stress(Emin: Numbers, span: Inch, *, b: Inch, d: Inch) -> Numbers:
    """Give the critical buckling value of a beam whose tension edge is held along its length, by a deck nailed to it.

    FbE = 1.2 / (π 1.84 / 4) Emin (d b^3 / 12 (d / 2)^2 (π / span)^2 + b^3 d (1 - 0.63 b / d) / 3 / 16) / (d b d^2 / 6)

    It rolls about its held edge: Iy a^2 (π/l)^2 + G J over 2 a S, with a = d/2 and G = E/16. The standard has no row
    for it; of the 1.445 theory gives a free beam under end moments it keeps 1.20, and so does this.

    Args:
        Emin: adjusted modulus for stability [psi].
        span: between supports that keep it upright, l [in].
        b: its thickness [in].
        d: its depth [in].

    Returns:
        FbE [psi].

    Assumes: the same moment along the whole span, and ends that cannot roll.
    Source: STATICS a beam with an enforced axis of rotation; NDS 3.3.3.8 for what is kept of theory.

    Example:
        >>> round(lifted_buckling_stress(459_000.0, 168.0, b=1.5, d=9.25))
        1162
    """
    Iy, J = d * b**3 / 12.0, b**3 * d * (1.0 - TORSION_LOSS * b / d) / 3.0
    a, S = d / 2.0, b * d**2 / 6.0
    stiffness = Emin * (Iy * a**2 * (math.pi / span) ** 2 + G_OF_E * J)
    return KEPT * stiffness / (2.0 * a * S)
