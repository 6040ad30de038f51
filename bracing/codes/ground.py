"""What holds a brace to the ground: a stake pushed sideways, a dead weight that slides.

A stake counts for nothing upward. A weight on the ground is checked for sliding and lifting together.
"""

from __future__ import annotations

import math

from bracing.codes.nds.tables import joint_data
from bracing.errors import MissingDataError
from bracing.units import INCHES_PER_FOOT, PSF_PER_PSI, Inch, Pound, Radian

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
    return _soil(soil, "lateral") * _PSF_PER_FOOT


def sliding_friction(soil: str) -> float:
    """Give the presumptive coefficient of sliding friction of concrete on a soil; clay has none.

    Args:
        soil: "bedrock", "sedimentary rock", "gravel" or "sand".

    Returns:
        Coefficient of friction μ [-].

    Raises:
        MissingDataError: no such soil, or none published for it.

    Source: IBC table 1806.2.

    Example:
        >>> sliding_friction("sand")
        0.25
    """
    return _soil(soil, "friction")


def _soil(soil: str, value: str) -> float:
    table = joint_data()["soil"]
    known = [name for name, row in table.items() if isinstance(row, dict) and value in row]
    if soil not in known:
        where = f"soils with a published value of {value}"
        raise MissingDataError(where, soil, known)
    return float(table[soil][value])


def post_embedment_once(A: Inch, h: Inch) -> Inch:
    """Give one pass of the depth of a post free to move at the ground: d = 0.5 A [1 + sqrt(1 + 4.36 h/A)].

    Args:
        A: 2.34 P/(S1 b) [in].
        h: height of the push above the ground [in].

    Returns:
        Depth d [in].

    Source: IBC 18-1.

    Example:
        >>> round(post_embedment_once(17.594 * 12, 8 * 12) / 12, 2)
        23.99
    """
    return 0.5 * A * (1.0 + math.sqrt(1.0 + joint_data()["post"]["second"] * h / A))


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
    table = joint_data()["post"]
    d = min(depth, table["deepest_ft"] * INCHES_PER_FOOT)
    if d <= 0.0:
        return 0.0
    A = d**2 / (d + table["second"] / 4.0 * max(h, 0.0))
    return float(bearing * d / 3.0 * width * A / table["first"])


def deadman_capacity(weight: Pound, *, friction: float, angle: Radian) -> Pound:
    """Give the brace tension a dead weight takes: N ≤ μ W / [1.5 (cos θ + μ sin θ)].

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
    factor = joint_data()["deadman"]["factor"]
    return float(friction * weight / (factor * (math.cos(angle) + friction * math.sin(angle))))


def deadman_weight(tension: Pound, *, friction: float, angle: Radian) -> Pound:
    """Give the weight that holds a brace tension: the inverse of `deadman_capacity`.

    Args:
        tension: brace force N [lb].
        friction: coefficient of sliding friction μ [-].
        angle: angle of the brace from the ground θ [rad].

    Returns:
        Weight W [lb].

    Source: STATICS, 1.5 on the whole of the brace force.

    Example:
        >>> round(deadman_weight(500.0, friction=0.35, angle=math.radians(45.0)))
        2046
    """
    return tension / deadman_capacity(1.0, friction=friction, angle=angle)
