"""One fastener pulled along its axis: withdrawal of the point, pull-through of the head, the steel."""

from __future__ import annotations

import math

from bracing.job.fasteners import Fastener, fastener_data
from bracing.units import Inch, Pound, PoundPerInch

RING_SHANK = "NDS 12.2.3.2 (from memory)"


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


def ring_shank_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of a ring-shank nail made to a standard, per inch: W = 1800 G² D.

    Args:
        G: specific gravity of the member that holds the point [-].
        D: shank diameter [in].

    Returns:
        Reference withdrawal W [lb/in].

    Assumes side grain.
    Source: NDS 12.2.3.2 (from memory).

    Example:
        >>> round(ring_shank_withdrawal(0.50, 0.131))
        59
    """
    return 1800.0 * G**2 * D


def screw_withdrawal(G: float, D: Inch) -> PoundPerInch:
    """Give the withdrawal of a wood screw per inch of thread: W = 2850 G² D.

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
    D = fastener.diameter
    if fastener.kind == "nail":
        return ring_shank_withdrawal(G, D) if fastener.deformed else nail_withdrawal(G, D)
    if fastener.kind == "bolt":
        return 0.0
    return lag_withdrawal(G, D) if fastener.kind == "lag" else screw_withdrawal(G, D)


def head_pull_through(G: float, head: Inch, thickness: Inch) -> Pound:
    """Give the pull-through of a head: 690 π D_H G² t, or 1725 π D_H² G² where t is over 2.5 D_H.

    Args:
        G: specific gravity of the side member [-].
        head: head diameter D_H [in].
        thickness: net thickness of the side member t [in].

    Returns:
        Reference pull-through W_H [lb].

    Source: NDS 12.2-6a, 12.2-6b.

    Example:
        >>> round(head_pull_through(0.50, 0.312, 1.0)), round(head_pull_through(0.50, 0.234, 0.3125))
        (132, 40)
    """
    return 690.0 * math.pi * head * G**2 * min(thickness, 2.5 * head)


def steel_tension(fastener: Fastener) -> Pound:
    """Give the tension the steel may take: as stated, else A_root Fyb / 1.3 × 0.5.

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
        return fastener.steel_tension
    table = fastener_data()["steel"]
    area = math.pi * fastener.root**2 / 4.0
    return float(area * fastener.fyb / table["yield_to_bending"] * table["allowable_of_yield"])
