"""One fastener pulled along its axis: withdrawal of the point, pull-through of the head, the steel."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeVar

from bracing.job.fasteners import Fastener, kind_of
from bracing.sources import cite, shipped
from bracing.sums import JUDGEMENT, Known, formula
from bracing.units import Inch, Pound, PoundPerInch, Psi

EQUATIONS: dict[str, Callable[[float, Inch], PoundPerInch]] = {}  # by the name a row of the kinds has for it
Equation = TypeVar("Equation", bound=Callable[[float, Inch], PoundPerInch])


def equation(name: str) -> Callable[[Equation], Equation]:
    """Let a row of the table of kinds name a formula of withdrawal, of specific gravity and diameter.

    Args:
        name: what a row calls it.
    """

    def named(of: Equation) -> Equation:
        EQUATIONS[name] = of
        return of

    return named


@equation("none")
@formula
def no_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of what nothing holds along its axis, a bolt: W = 0 G D.

    Args:
        G: specific gravity of the member that holds the point [-].
        D: diameter [in].

    Returns:
        Reference withdrawal W [lb/in].

    Source: NDS 12.2.

    Example:
        >>> no_withdrawal(0.5, 0.5)
        0.0
    """
    return 0.0 * G * D


@equation("nail")
@formula
def nail_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of a smooth nail per inch of penetration: W = 1380 G^(5/2) D.

    Args:
        G: specific gravity of the member that holds the point [-].
        D: shank diameter [in].

    Returns:
        Reference withdrawal W [lb/in].

    Assumes side grain.
    Source: NDS 12.2-3.

    Example:
        >>> round(nail_withdrawal(0.50, 0.148))
        36
    """
    return float(1380.0 * G**2.5) * D


@equation("ring shank")
@formula
def ring_shank_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of a ring-shank nail made to a standard, per inch: W = 1800 G^2 D.

    Args:
        G: specific gravity of the member that holds the point [-].
        D: shank diameter [in].

    Returns:
        Reference withdrawal W [lb/in].

    Assumes side grain.
    Source: NDS 12.2-5.

    Example:
        >>> round(ring_shank_withdrawal(0.50, 0.131))
        59
    """
    return 1800.0 * G**2 * D


@equation("wood screw")
@formula
def screw_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of a wood screw per inch of thread: W = 2850 G^2 D.

    Args:
        G: specific gravity of the member that holds the point [-].
        D: nominal diameter [in].

    Returns:
        Reference withdrawal W [lb/in].

    Assumes side grain.
    Source: NDS 12.2-2.

    Example:
        >>> round(screw_withdrawal(0.42, 0.164))
        82
    """
    return 2850.0 * G**2 * D


@equation("lag")
@formula
def lag_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of a lag screw per inch of thread: W = 1800 G^(3/2) D^(3/4).

    Args:
        G: specific gravity of the member that holds the point [-].
        D: nominal diameter [in].

    Returns:
        Reference withdrawal W [lb/in].

    Assumes side grain.
    Source: NDS 12.2-1.

    Example:
        >>> round(lag_withdrawal(0.50, 0.25))
        225
    """
    return float(1800.0 * G**1.5 * D**0.75)


def withdrawal_per_inch(fastener: Fastener, G: float) -> PoundPerInch:
    """Give the withdrawal of a fastener by the equation of its kind, stated values apart.

    Args:
        fastener: the fastener.
        G: specific gravity of the member that holds the point [-].

    Returns:
        Reference withdrawal W [lb/in].

    Source: NDS 12.2.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> round(withdrawal_per_inch(fastener("structural screw 0.22x5"), 0.42))
        111
    """
    kind = kind_of(fastener.kind)
    name = kind.deformed if fastener.deformed and kind.deformed else kind.withdrawal
    return EQUATIONS[name](G, fastener.diameter)


@formula
def head_pull_through(G: float, DH: Inch, t: Inch) -> Pound:
    """Give the pull-through of a head: WH = 690 π DH G^2 min(t, 2.5 DH).

    From a thickness of 2.5 DH on it is the other equation, 1725 π DH² G².

    Args:
        G: specific gravity of the side member [-].
        DH: head diameter [in].
        t: net thickness of the side member [in].

    Returns:
        Reference pull-through WH [lb].

    Source: NDS 12.2-6a, 12.2-6b.

    Example:
        >>> round(head_pull_through(0.50, 0.312, 1.0)), round(head_pull_through(0.50, 0.234, 0.3125))
        (132, 40)
    """
    return 690.0 * math.pi * DH * G**2 * min(t, 2.5 * DH)


@formula
def allowable_withdrawal(W: PoundPerInch, p: Inch, CD: float, *, CM: float, Ceg: float, Ctn: float) -> Pound:
    """Give the withdrawal of the point: W' = W p CD CM Ceg Ctn.

    Args:
        W: reference withdrawal an inch [lb/in].
        p: length that holds [in].
        CD: load duration factor [-].
        CM: wet service factor [-].
        Ceg: end grain factor [-].
        Ctn: toe-nail factor [-].

    Returns:
        Allowable withdrawal of the point [lb].

    Source: NDS 11.3.1, 12.2.

    Example:
        >>> round(allowable_withdrawal(36.0, 2.0, 1.6, CM=0.25, Ceg=1.0, Ctn=1.0), 1)
        28.8
    """
    return W * p * (CD * Ceg * Ctn) * CM


@formula
def allowable_pull_through(WH: Pound, CD: float, CM: float) -> Pound:
    """Give the pull-through allowed of a head: WH' = WH CD CM.

    Args:
        WH: reference pull-through [lb].
        CD: load duration factor [-].
        CM: wet service factor [-].

    Returns:
        Allowable pull-through [lb].

    Source: NDS 11.3.1, 12.2.5.

    Example:
        >>> round(allowable_pull_through(100.0, 1.6, 0.7), 1)
        112.0
    """
    return WH * CD * CM


@formula
def tension_of_root(root: Inch, fyb: Psi, bending_of_yield: float, *, part: float) -> Pound:
    """Give the tension the steel may take: T = π root^2 / 4 fyb / bending_of_yield part.

    Args:
        root: root diameter [in].
        fyb: bending yield strength [psi].
        bending_of_yield: bending strength over yield strength [-].
        part: part of the yield force allowed [-].

    Returns:
        Allowable tension [lb].

    Source: JUDGEMENT, half the yield force of the root, the bending strength being taken as 1.3 of the yield.

    Example:
        >>> round(tension_of_root(0.16, 90e3, 1.3, part=0.5))
        696
    """
    return math.pi * root**2 / 4.0 * fyb / bending_of_yield * part


def steel_tension(fastener: Fastener) -> Pound:
    """Give the tension the steel may take: as stated, else half the yield force of its root.

    Args:
        fastener: the fastener.

    Returns:
        Allowable tension [lb].

    Source: JUDGEMENT, half the yield force of the root, the bending strength being taken as 1.3 of the yield.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> round(steel_tension(fastener("structural screw 0.22x5")))
        730
    """
    if fastener.steel_tension is not None:
        return reported(fastener.steel_tension, "tension of the steel", fastener)
    table = shipped("fasteners")["steel"]
    source = cite("JUDGEMENT")
    ratio = Known(table["yield_to_bending"], "bending strength over yield", source, JUDGEMENT)
    part = Known(table["allowable_of_yield"], "part of the yield force allowed", source, JUDGEMENT)
    return tension_of_root(fastener.root, fastener.fyb, ratio, part=part)


def reported(value: float, what: str, fastener: Fastener) -> Known:
    """Give a value a person read in a fastener's report.

    Args:
        value: as typed [lb or lb/in].
        what: what it is.
        fastener: names the report.
    """
    return Known(value, f"{what} of {fastener.name} as reported", cite("USER", fastener.report or ""))


@formula
def least_along(thread: Pound, head: Pound, steel: Pound) -> Pound:
    """Give the force allowed along the fastener, the least of thread, head and steel.

    T' = min(thread, head, steel)

    Args:
        thread: allowable withdrawal of the point [lb].
        head: allowable pull-through of the head [lb].
        steel: allowable tension of the steel [lb].

    Returns:
        Allowable force along [lb].

    Source: NDS 12.2, 11.2.3.

    Example:
        >>> least_along(80.0, 120.0, 700.0)
        80.0
    """
    return min(thread, head, steel)


@formula
def least_along_steel_plate(thread: Pound, steel: Pound) -> Pound:
    """Give the force allowed along the fastener under a steel plate, the least of thread and steel.

    T' = min(thread, steel)

    Args:
        thread: allowable withdrawal of the point [lb].
        steel: allowable tension of the steel [lb].

    Returns:
        Allowable force along [lb].

    Source: NDS 12.2, 11.2.3.

    Example:
        >>> least_along_steel_plate(80.0, 700.0)
        80.0
    """
    return min(thread, steel)
