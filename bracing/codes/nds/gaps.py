"""One dowel across a gap, such as a sheathing nail past foam: the general dowel equations.

In each member the dowel turns, or yields: one side of every equation is made of what it finds there.
"""

from __future__ import annotations

import math

from bracing.codes.nds.dowels import Bearing, Dowel, YieldModes, mode_Im, mode_Is, reduction_terms
from bracing.sums import formula
from bracing.units import Inch, InchPound, Pound, PoundPerInch, Psi, Radian


@formula
def bearing_of_inch(D: Inch, Fe: Psi) -> PoundPerInch:
    """Give what an inch of a dowel bears in one member: q = D Fe.

    Args:
        D: diameter [in].
        Fe: bearing strength of the member [psi].

    Returns:
        Bearing q of an inch [lb/in].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> round(bearing_of_inch(0.131, 3350.0), 2)
        438.85
    """
    return D * Fe


@formula
def dowel_moment(Fyb: Psi, D: Inch) -> InchPound:
    """Give the moment at which a dowel yields: M = Fyb D^3 / 6.

    Args:
        Fyb: bending yield strength [psi].
        D: diameter [in].

    Returns:
        Moment M [lb in].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> round(dowel_moment(100e3, 0.131), 2)
        37.47
    """
    return Fyb * D**3 / 6.0


@formula
def turning_moment(q: PoundPerInch, l: Inch) -> InchPound:  # noqa: E741  (as printed)
    """Give the moment a dowel finds where it turns in a member without yielding: M = q l^2 / 4.

    Args:
        q: what an inch of it bears there [lb/in].
        l: bearing length [in].

    Returns:
        Moment M [lb in].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> turning_moment(400.0, 2.0)
        400.0
    """
    return q * l**2 / 4.0


@formula
def coefficient_A(a: float, qs: PoundPerInch, b: float, *, qm: PoundPerInch) -> float:  # noqa: N802  (as printed)
    """Give the first coefficient of a dowel across a gap: A = 1 / (a qs) + 1 / (b qm).

    Args:
        a: 4 where the dowel turns in the side member, 2 where it yields there [-].
        qs: what an inch of it bears in the side member [lb/in].
        b: the same of the main member [-].
        qm: what an inch of it bears in the main member [lb/in].

    Returns:
        Coefficient A [in/lb].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> coefficient_A(4.0, 500.0, 2.0, qm=500.0)
        0.0015
    """
    return 1.0 / (a * qs) + 1.0 / (b * qm)


@formula
def coefficient_B(ls: Inch, g: Inch, lm: Inch) -> Inch:  # noqa: N802  (as printed)
    """Give the second coefficient of a dowel across a gap: B = ls / 2 + g + lm / 2.

    Args:
        ls: bearing length in the side member; 0 where it yields there [in].
        g: distance between the members [in].
        lm: bearing length in the main member; 0 where it yields there [in].

    Returns:
        Coefficient B [in].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> coefficient_B(0.5, 1.0, 1.5)
        2.0
    """
    return ls / 2.0 + g + lm / 2.0


@formula
def across_gap(A: float, B: Inch, Ms: InchPound, *, Mm: InchPound, Rd: float) -> Pound:
    """Give the value of a yield mode across a gap: Z = (√(B^2 + 4 A (Ms + Mm)) - B) / (2 A) / Rd.

    Args:
        A: first coefficient [in/lb].
        B: second coefficient [in].
        Ms: moment of the dowel in the side member [lb in].
        Mm: moment of it in the main member [lb in].
        Rd: reduction term [-].

    Returns:
        Reference lateral value of the mode [lb].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> round(across_gap(0.001, 1.0, 100.0, Mm=100.0, Rd=2.2), 2)
        77.65
    """
    return (math.sqrt(B**2 + 4.0 * A * (Ms + Mm)) - B) / (2.0 * A) / Rd


def modes_across_gap(
    dowel: Dowel, main: Bearing, side: Bearing, *, gap: Inch, angle: Radian = 0.0
) -> YieldModes:
    """Give the six yield modes of one dowel in single shear across a gap, by the general dowel equations.

    In each member the dowel turns or yields: that gives modes II (turns in both), IIIm (turns in the main), IIIs
    (turns in the side) and IV.

    Args:
        dowel: the dowel.
        main: bearing of the main member.
        side: bearing of the side member.
        gap: distance between them that bears nothing [in].
        angle: greatest angle of the load to the grain in any member [rad].

    Returns:
        The value of each mode, divided by its reduction term [lb].

    Source: TR12 table 1-1 (from memory).

    Example:
        >>> osb, spf = Bearing(0.4375, 4650.0), Bearing(1.4315, 3350.0)
        >>> modes = modes_across_gap(Dowel(0.131, 0.131, 100e3), spf, osb, gap=0.5)
        >>> modes.governing, round(modes.least * 1.6)
        ('IIIs', 58)
    """
    D = dowel.diameter
    RdI, RdII, RdIII = reduction_terms(dowel, angle)
    qm, qs, yields = (
        bearing_of_inch(D, main.strength),
        bearing_of_inch(D, side.strength),
        dowel_moment(dowel.fyb, D),
    )
    turns_m, turns_s = turning_moment(qm, main.length), turning_moment(qs, side.length)

    def mode(*, in_side: bool, in_main: bool, Rd: float) -> Pound:
        A = coefficient_A(4.0 if in_side else 2.0, qs, 4.0 if in_main else 2.0, qm=qm)
        B = coefficient_B(side.length if in_side else 0.0, gap, main.length if in_main else 0.0)
        return across_gap(A, B, turns_s if in_side else yields, Mm=turns_m if in_main else yields, Rd=Rd)

    return YieldModes(
        Im=mode_Im(D, main.length, main.strength, Rd=RdI),
        Is=mode_Is(D, side.length, side.strength, Rd=RdI, planes=1.0),
        II=mode(in_side=True, in_main=True, Rd=RdII),
        IIIm=mode(in_side=False, in_main=True, Rd=RdIII),
        IIIs=mode(in_side=True, in_main=False, Rd=RdIII),
        IV=mode(in_side=False, in_main=False, Rd=RdIII),
    )
