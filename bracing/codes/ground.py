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
    table = joint_data()["soil"]
    known = [name for name, row in table.items() if isinstance(row, dict)]
    if soil not in known:
        where = "soils with a published lateral bearing"
        raise MissingDataError(where, soil, known)
    return float(table[soil]["lateral"]) * _PSF_PER_FOOT


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
