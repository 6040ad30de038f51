"""What holds a brace to the ground: a stake pushed sideways, a dead weight that slides.

A stake counts for nothing upward. A weight on the ground is checked for sliding and lifting together.
"""

from __future__ import annotations

import math

from bracing.errors import MissingDataError
from bracing.job.floor import Ground
from bracing.sources import cite, shipped
from bracing.sums import Known, formula
from bracing.units import INCHES_PER_FOOT, PSF_PER_PSI, Inch, Pound, Psi, Radian

_PSF_PER_FOOT = 1.0 / (PSF_PER_PSI * INCHES_PER_FOOT)


def lateral_bearing(soil: str) -> float:
    """Give the presumptive lateral bearing of a soil per depth below grade.

    Args:
        soil: "bedrock", "sedimentary rock", "gravel", "sand" or "clay".

    Returns:
        Lateral bearing per inch of depth [psi/in].

    Raises:
        MissingDataError: no such soil.

    Source: IBC table 1806.2.

    Example:
        >>> round(lateral_bearing("sand") * 144 * 12)
        150
    """
    table = shipped("joints")["soil"]
    known = [name for name, row in table.items() if isinstance(row, dict)]
    if soil not in known:
        where = "soils with a published lateral bearing"
        raise MissingDataError(where, soil, known)
    bearing = float(table[soil]["lateral"]) * _PSF_PER_FOOT
    return Known(bearing, f"bearing of {soil} for each inch of depth", cite("IBC", "table 1806.2"))


@formula
def bearing_at_third(bearing: float, d: Inch) -> Psi:
    """Give the bearing of the soil at a third of the depth: S1 = bearing d / 3.

    Args:
        bearing: lateral bearing per inch of depth [psi/in].
        d: depth [in].

    Returns:
        S1 [psi].

    Source: IBC 1807.3.2.1.

    Example:
        >>> bearing_at_third(0.1, 30.0)
        1.0
    """
    return bearing * d / 3.0


@formula
def stake_constant(d: Inch, h: Inch, second: float) -> Inch:
    """Give the A of a stake so deep: A = d^2 / (d + second / 4 h).

    Args:
        d: depth [in].
        h: height of the push above the ground [in].
        second: 4.36 [-].

    Returns:
        A [in].

    Source: IBC 1807.3.2.1, Eq. 18-1.

    Example:
        >>> stake_constant(30.0, 0.0, 4.36)
        30.0
    """
    return d**2 / (d + second / 4.0 * h)


@formula
def stake_push(S1: Psi, b: Inch, A: Inch, *, first: float) -> Pound:
    """Give the side push a stake takes: P = S1 b A / first.

    Args:
        S1: bearing of the soil at a third of the depth [psi].
        b: width of the stake across the push [in].
        A: from the depth and the height of the push [in].
        first: 2.34 [-].

    Returns:
        P [lb].

    Source: IBC 1807.3.2.1, Eq. 18-1.

    Example:
        >>> stake_push(1.0, 3.5, 20.0, first=2.0)
        35.0
    """
    return S1 * b * A / first


def stake_capacity(depth: Inch, *, width: Inch, h: Inch, bearing: float) -> Pound:
    """Give the sideways push a stake takes: the post formula solved for P, with S1 at a third of the depth.

    From d = 0.5 A [1 + sqrt(1 + 4.36 h/A)]: A = d²/(d + 1.09 h), and P = S1 b A/2.34 with S1 = bearing × d/3.
    Deeper than 12 ft counts as 12 ft. No doubling for isolated poles, no third for wind.

    Args:
        depth: embedment d [in].
        width: width of the stake across the push b [in].
        h: height of the push above the ground [in].
        bearing: lateral bearing per inch of depth [psi/in].

    Returns:
        Push P [lb].

    Source: IBC 1807.3.2.1.

    Example:
        >>> round(stake_capacity(48.0, width=3.5, h=6.0, bearing=lateral_bearing("sand")))
        88
    """
    table = shipped("joints")["post"]
    d = min(depth, table["deepest_ft"] * INCHES_PER_FOOT)
    if d <= 0.0:
        return Known(0.0, "no stake", cite("IBC", "1807.3.2.1"))
    A = stake_constant(d, max(h, 0.0), table["second"])
    return stake_push(bearing_at_third(bearing, d), width, A, first=table["first"])


@formula
def friction_of_weight(mu: float, W: Pound, factor: float) -> Pound:
    """Give the level push a dead weight takes by friction: F = mu W / factor.

    Args:
        mu: coefficient of sliding friction μ [-].
        W: weight of the dead weight [lb].
        factor: against sliding [-].

    Returns:
        F [lb].

    Source: STATICS, 1.5 on the whole of the brace force.

    Example:
        >>> friction_of_weight(0.5, 300.0, 1.5)
        100.0
    """
    return mu * W / factor


@formula
def weight_lifted(mu: float, W: Pound, factor: float, *, theta: Radian) -> Pound:
    """Give the brace tension a dead weight lifted and drawn takes: N = mu W / (factor (cos(theta°) + mu sin(theta°))).

    Args:
        mu: coefficient of sliding friction μ [-].
        W: weight of the dead weight [lb].
        factor: against sliding [-].
        theta: angle of the brace from the ground [rad].

    Returns:
        N [lb].

    Source: STATICS, 1.5 on the whole of the brace force.

    Example:
        >>> weight_lifted(0.5, 300.0, 1.5, theta=0.0)
        100.0
    """
    return mu * W / (factor * (math.cos(theta) + mu * math.sin(theta)))


@formula
def level_part(N: Pound, angle: Radian) -> Pound:
    """Give the level part of a force along a brace: F = N cos(angle°).

    Args:
        N: the force [lb].
        angle: of the brace above level [rad].

    Returns:
        F [lb].

    Source: STATICS.

    Example:
        >>> level_part(100.0, 0.0)
        100.0
    """
    return N * math.cos(angle)


@formula
def greater_hold(stake: Pound, weight: Pound) -> Pound:
    """Give the greater of a stake's push and a dead weight's friction: P = max(stake, weight).

    Args:
        stake: side push of the stake [lb].
        weight: friction of the dead weight [lb].

    Returns:
        P [lb].

    Source: IBC 1807.3.2.1; STATICS.

    Example:
        >>> greater_hold(100.0, 200.0)
        200.0
    """
    return max(stake, weight)


def sliding_factor() -> float:
    """Give the factor against sliding of a dead weight [-].

    Source: STATICS, sliding and lifting together, 1.5 on the load.
    """
    return float(shipped("joints")["deadman"]["factor"])


def deadman_capacity(weight: Pound, *, friction: float, angle: Radian) -> Pound:
    """Give the brace tension a dead weight takes.

    Args:
        weight: weight of the dead weight W [lb].
        friction: coefficient of sliding friction μ [-].
        angle: angle of the brace from the ground θ [rad].

    Returns:
        Brace force N [lb].

    Assumes the brace pulls through the middle of the weight, so it slides before it tips.
    Source: STATICS, 1.5 on the whole of the brace force.

    Example:
        >>> round(deadman_capacity(2000.0, friction=0.35, angle=math.radians(45.0)))
        489
    """
    return weight_lifted(friction, weight, sliding_factor(), theta=angle)


def what_holds(ground: Ground, angle: Radian) -> tuple[Pound, Pound]:
    """Give the level push and pull a foot in the ground takes: a stake has no hold upward, a weight slides.

    Args:
        ground: what is declared of it.
        angle: of the brace from the ground [rad].

    Returns:
        Push and pull [lb].

    Source: IBC 1807.3.2.1; STATICS.
    """
    holds: list[Pound] = []
    if ground.embedment > 0.0:
        bearing = lateral_bearing(ground.soil)
        holds.append(
            stake_capacity(ground.embedment, width=ground.stake_width, h=ground.pull_above, bearing=bearing)
        )
    weight: Pound = Known(0.0, "no dead weight is declared; a stake holds nothing upward", cite("STATICS"))
    if ground.deadman_lb > 0.0:
        axial = deadman_capacity(ground.deadman_lb, friction=ground.friction, angle=angle)
        weight = level_part(axial, angle)
        holds.append(friction_of_weight(ground.friction, ground.deadman_lb, sliding_factor()))
    none = Known(0.0, "neither a stake nor a dead weight is declared", cite("STATICS"))
    return (greater_hold(*holds) if len(holds) > 1 else holds[0] if holds else none), weight
