"""The ends of the chain: a cleat's fasteners, the plate's edge, the panel under a foot, ties, a head held for plumbing.

Statics and the few published rules that stand beside it; each a formula of numbers or arrays.
"""

from __future__ import annotations

import math
from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from bracing.sources import cite
from bracing.sums import formula
from bracing.units import Inch, InchPound, Pound, PoundPerInch, Psi, Radian

Many = TypeVar("Many", float, NDArray[np.float64])

TIE_PART = 50.0  # of the force in what it steadies; EN 1995-1-1 9.2.5.2, table 9.1, sawn timber, from memory
TIES_BY = cite("EN1995", "9.2.5.2 (from memory)")
SLIP = 92_100.0  # 25 d l in newtons and millimetres
WEIGHT_PART = 0.6  # of the weight where it resists; ASCE 7-16 2.4.1
WITHIN_SHARE = 0.5  # of the end distance: nearer the cut a fastener counts for nothing


@formula
def axial_slip(D: Inch, l: Inch) -> PoundPerInch:  # noqa: E741  (as printed)
    """Give how stiff a screw or nail is along its axis: K = 92100 D l.

    It is 25 d l in newtons and millimetres; a stiff fastener takes more than its part, so nothing is taken off it.

    Args:
        D: outside diameter of the thread, or of the shank [in].
        l: length that holds, l [in].

    Returns:
        Stiffness [lb/in].

    Source: EN1995 axial slip in European technical assessments of screws (from memory).

    Example:
        >>> round(axial_slip(0.22, 1.5))
        30393
    """
    return SLIP * D * l


@formula
def pull_of_worst(U: Pound, n: float, *, roll: float, f: float, couple: Pound) -> Pound:
    """Give the pull on the worst fastener of a limp cleat: T = U / n roll f + couple.

    Args:
        U: what the brace lifts on this cleat [lb].
        n: fasteners of the cleat [-].
        roll: roll factor of the cleat [-].
        f: pull of the worst over an even share [-].
        couple: pull of the couple that enters above the floor [lb].

    Returns:
        Pull on the worst fastener [lb].

    Source: STATICS, a beam on springs.

    Example:
        >>> pull_of_worst(400.0, 4.0, roll=1.0, f=2.3, couple=10.0)
        240.0
    """
    return U / n * roll * f + couple


@formula
def part_of_distance(actual: Inch, full: Inch) -> float:
    """Give the part of its value a fastener keeps near the end of its stick: C = min(1, actual / full).

    Args:
        actual: its distance from the end along the grain [in].
        full: distance that needs no reduction [in].

    Returns:
        Part of its value it keeps [-].

    Source: NDS 12.5.1.2; JUDGEMENT under 1/4 in.

    Example:
        >>> part_of_distance(3.0, 4.0), part_of_distance(9.0, 4.0)
        (0.75, 1.0)
    """
    return min(1.0, actual / full)


def part_near_cut(actual: Inch, full: Inch) -> float:
    """Give the part of its value a fastener keeps near the end of its stick: nothing under half the distance.

    Args:
        actual: its distance from the end along the grain [in].
        full: distance that needs no reduction [in].

    Returns:
        Part of its value it keeps [-].

    Source: NDS 12.5.1.2; JUDGEMENT under 1/4 in.

    Example:
        >>> part_near_cut(3.0, 4.0), part_near_cut(1.9, 4.0), part_near_cut(9.0, 4.0)
        (0.75, 0.0, 1.0)
    """
    part = part_of_distance(actual, full)
    return part if part >= WITHIN_SHARE else 0.0


@formula
def kept_near_cut(Z: Pound, C: float) -> Pound:
    """Give what a fastener near the end of its stick may carry: Z' = Z C.

    Args:
        Z: what it may carry far from it [lb].
        C: part of its value it keeps [-].

    Returns:
        What it may carry [lb].

    Source: NDS 11.3.1.

    Example:
        >>> kept_near_cut(100.0, 0.75)
        75.0
    """
    return Z * C


@formula
def lift_on_cleat(angle: Radian, cleats: float) -> float:
    """Give the lift on one cleat for each pound level: U = tan(angle°) / cleats.

    Args:
        angle: of the brace above level [rad].
        cleats: cleats that share it [-].

    Returns:
        Lift on one [lb/lb].

    Source: STATICS.

    Example:
        >>> round(lift_on_cleat(math.pi / 4.0, 2), 6)
        0.5
    """
    return math.tan(angle) / cleats


@formula
def pull_of_couple(h: Inch, cleats: float, c: float) -> float:
    """Give the pull of the couple on one fastener for each pound level: t = h / cleats c.

    The level force enters the cleat above the floor.

    Args:
        h: height it enters at [in].
        cleats: cleats that share it [-].
        c: pull on that fastener for each pound inch on its cleat [1/in].

    Returns:
        Pull [lb/lb].

    Source: STATICS, a beam on springs.

    Example:
        >>> pull_of_couple(2.75, 2, 0.04)
        0.055
    """
    return h / cleats * c


@formula
def panel_to_joists(U: Pound, a: Inch, s: Inch) -> Pound:
    """Give what a panel, or a cleat across, lifts off the nearer of two joists under a foot: F = U (1 - a / s).

    Args:
        U: what the foot lifts [lb].
        a: from the foot to the nearer joist; 0 where nobody knows [in].
        s: joist spacing [in].

    Returns:
        Lift off that joist [lb].

    Source: STATICS, a beam between two joists.

    Example:
        >>> panel_to_joists(400.0, 4.0, 16.0)
        300.0
    """
    return U * (1.0 - a / s)


@formula
def panel_nails_hold(W: Pound, cleat: Inch, s: Inch, *, spacing: Inch) -> Pound:
    """Give what the nails of a deck panel in one joist hold of a foot's lift: F = W (cleat + s) / spacing.

    Args:
        W: withdrawal of one nail, allowed [lb].
        cleat: length of joist under the foot; half a bay beyond each end is added [in].
        s: joist spacing, of which half a bay beyond each end counts [in].
        spacing: one nail every so far along the joist [in].

    Returns:
        What they hold [lb].

    Source: NDS 12.2; JUDGEMENT half a bay beyond each end.

    Example:
        >>> panel_nails_hold(60.0, 24.0, 16.0, spacing=12.0)
        200.0
    """
    return W * (cleat + s) / spacing


@formula
def lift_on_block(U: float, f: float, n: float) -> float:
    """Give the lift on the worst of the blocks under one cleat, for each pound level: B = U min(1, f / n).

    Args:
        U: lift on the cleat for each pound level [lb/lb].
        f: pull of the worst of its fasteners over an even share [-].
        n: blocks under the cleat [-].

    Returns:
        Lift on one [lb/lb].

    Source: STATICS, a block takes what its fasteners take, and never more than all.

    Example:
        >>> lift_on_block(0.5, 1.2, 2), lift_on_block(0.5, 1.2, 1)
        (0.3, 0.5)
    """
    return U * min(1.0, f / n)


@formula
def block_ends_hold(Z: Pound, n: float) -> Pound:
    """Give what a block between two joists holds against lift at its middle: F = 2 n Z.

    Args:
        Z: allowed across one fastener into its end grain [lb].
        n: fasteners at each end [-].

    Returns:
        What both ends hold together [lb].

    Source: STATICS, half the lift at each end; NDS 12.5.2.2 is in Z.

    Example:
        >>> block_ends_hold(80.0, 3)
        480.0
    """
    return 2.0 * n * Z


@formula
def lift_on_cross_cleat(angle: Radian, h: Inch, arm: Inch) -> float:
    """Give the lift on the cross cleat under one end of a foot, for each pound level: U = tan(angle°) / 2 + h / arm.

    Half of what the brace lifts, and the couple of the level force that enters above.

    Args:
        angle: of the brace above level [rad].
        h: height the level force enters at, above the joists' panel [in].
        arm: from one cross cleat to the other, middle to middle [in].

    Returns:
        Lift on one [lb/lb].

    Source: STATICS.

    Example:
        >>> round(lift_on_cross_cleat(math.pi / 4.0, 4.5, 18.0), 6)
        0.75
    """
    return math.tan(angle) / 2.0 + h / arm


@formula
def moment_of_cross_cleat(U: Pound, s: Inch) -> InchPound:
    """Give the moment in a cleat laid across two joists: M = U s / 4.

    Args:
        U: what the end of the foot lifts on it [lb].
        s: joist spacing [in].

    Returns:
        Moment at its middle [lb in].

    Source: STATICS, a beam with its load at mid-span.

    Example:
        >>> moment_of_cross_cleat(200.0, 16.0)
        800.0
    """
    return U * s / 4.0


@formula
def lift_at_row(U: Many, b: Inch, e: Inch) -> Many:
    """Give the pull on fasteners of a plate whose outer edge is lifted: T = U b / e.

    The plate turns about its inner edge.

    Args:
        U: lift at the outer edge [lb, or lb/in].
        b: width of the plate [in].
        e: from its inner edge to the row of fasteners [in].

    Returns:
        Pull on the fasteners [lb, or lb/in].

    Source: STATICS, moments about the inner edge of the plate.

    Example:
        >>> lift_at_row(100.0, 5.5, 2.75), round(lift_at_row(100.0, 5.5, 4.75), 3)
        (200.0, 115.789)
    """
    return U * b / e


@formula
def lift_at_middle(U: Many, b: Inch, e: Inch) -> Many:
    """Give the pull on fasteners of a plate a stud's strap lifts at its middle: T = U max(1, b / (2 e)).

    Args:
        U: lift at the middle of the plate [lb].
        b: width of the plate [in].
        e: from its inner edge to the row of fasteners [in].

    Returns:
        Pull on the fasteners [lb].

    Source: STATICS, moments about the inner edge of the plate.

    Example:
        >>> lift_at_middle(100.0, 5.5, 4.75), lift_at_middle(100.0, 5.5, 2.0)
        (100.0, 137.5)
    """
    return U * max(1.0, b / (2.0 * e))


@formula
def lift_on_strap(U: Many, b: Inch, e: Inch) -> Many:
    """Give the pull on a strap or stud whose plate is held off its middle: T = U max(1, 2 e / b).

    Args:
        U: lift of the stud [lb].
        b: width of the plate [in].
        e: from its inner edge to the row of fasteners [in].

    Returns:
        Pull on the strap and the stud [lb].

    Source: STATICS, moments about the inner edge of the plate.

    Example:
        >>> round(lift_on_strap(100.0, 5.5, 4.75), 2), lift_on_strap(100.0, 5.5, 2.0)
        (172.73, 100.0)
    """
    return U * max(1.0, 2.0 * e / b)


@formula
def net_lift(u: Many, w: Many) -> Many:
    """Give the lift that the weight above leaves to the fasteners: net = max(0, u - 0.6 w).

    Args:
        u: lift that comes to an inch of plate [lb/in].
        w: weight that stands on an inch of plate [lb/in].

    Returns:
        Lift of an inch of plate [lb/in].

    Source: ASCE7 2.4.1, dead load at 0.6 where it resists.

    Example:
        >>> net_lift(6.0, 2.0), net_lift(1.0, 2.0)
        (4.8, 0.0)
    """
    return cast("Many", np.maximum(0.0, u - WEIGHT_PART * w))


@formula
def moment_across_grain(net: Many, out: Inch) -> Many:
    """Give the moment in an inch of plate whose edge is lifted past its fasteners: m = net out.

    Args:
        net: lift of an inch of plate [lb/in].
        out: from the row of fasteners to where the plate is lifted [in].

    Returns:
        Moment for an inch of plate [lb in].

    Source: STATICS.

    Example:
        >>> moment_across_grain(4.0, 2.75)
        11.0
    """
    return net * out


@formula
def across_grain_moment(f: Psi, t: Inch) -> float:
    """Give what an inch of plate may carry bent across its grain: m = f t^2 / 6.

    Args:
        f: bending stress allowed across the grain [psi].
        t: thickness of the plate [in].

    Returns:
        Moment for an inch of plate [lb in].

    Source: JUDGEMENT plate across the grain; NDS 3.8.2 has no value.

    Example:
        >>> across_grain_moment(40.0, 1.5)
        15.0
    """
    return f * t**2 / 6.0


@formula
def tie_force(N: Many) -> Many:
    """Give the force a tie must carry to steady one brace at its middle: F = N / 50.

    Args:
        N: compression in the brace [lb].

    Returns:
        Force in the tie [lb].

    Source: EN1995 9.2.5.2 (from memory).

    Example:
        >>> tie_force(1500.0)
        30.0
    """
    return N / TIE_PART


@formula
def along_diagonal(F: Many, angle: Radian) -> Many:
    """Give the force in a diagonal that holds a row of ties: D = F / cos(angle°).

    Args:
        F: level force of the row [lb].
        angle: of the diagonal to the row [rad].

    Returns:
        Force along the diagonal [lb].

    Source: STATICS.

    Example:
        >>> round(along_diagonal(100.0, math.pi / 4.0), 2)
        141.42
    """
    return F / math.cos(angle)


@formula
def head_couple(R: Many, angle: Radian, d: Inch) -> Many:
    """Give the couple a plumb-cut head brings into its stud: C = R tan(angle°) d / 2.

    The brace bears on the stud's inner edge, half its depth off its middle.

    Args:
        R: level force of the brace [lb].
        angle: of the brace above level [rad].
        d: depth of the stud [in].

    Returns:
        Couple [lb in].

    Source: STATICS.

    Example:
        >>> round(head_couple(500.0, math.pi / 4.0, 5.5), 1)
        1375.0
    """
    return R * math.tan(angle) * d / 2.0


@formula
def lost_in_gust(R0: Many, R1: Many) -> Many:
    """Give the force when a brace is lost while the wind blows: R = R0 + 2 (R1 - R0).

    Args:
        R0: force with the brace there [lb].
        R1: force with the brace gone, at rest [lb].

    Returns:
        Force at the worst of the swing [lb].

    Source: UFC4-023-03 dynamic factor 2 of a member lost at once (from memory); STATICS.

    Example:
        >>> lost_in_gust(100.0, 160.0)
        220.0
    """
    return R0 + 2.0 * (R1 - R0)
