"""Parts of the wood standard and of the building code that no answer uses, and that published examples need."""

from __future__ import annotations

import math

from bracing.codes.nds.members import Numbers
from bracing.sources import shipped
from bracing.units import Inch

COV_VISUALLY_GRADED = 0.25  # NDS Appendix D
BEARING_CREDIT = 0.375  # NDS 3.10.4
BEARING_LONG = 6.0  # NDS 3.10.4, in
BEARING_FROM_END = 3.0  # NDS 3.10.4, in


def emin_from_e(E: Numbers, *, cov: float = COV_VISUALLY_GRADED) -> Numbers:
    """Give the modulus for stability of a modulus of elasticity.

    Emin = E (1 - 1.645 COV) 1.03/1.66

    Args:
        E: modulus of elasticity [psi].
        cov: coefficient of variation of E [-].

    Returns:
        Emin [psi].

    Source: NDS Appendix D, D-4.

    Example:
        >>> round(emin_from_e(1_400_000.0))
        511432
    """
    return E * (1.0 - 1.645 * cov) * 1.03 / 1.66


def bearing_area_factor(bearing: Inch, *, from_end: Inch) -> float:
    """Give the bearing area factor, Cb = (lb + 0.375)/lb.

    Args:
        bearing: length of the bearing along the grain, lb [in].
        from_end: distance of the bearing from the member's end [in].

    Returns:
        Cb; 1 for a bearing of 6 in and more, or nearer than 3 in to the end [-].

    Source: NDS 3.10.4.

    Example:
        >>> bearing_area_factor(1.5, from_end=12.0), bearing_area_factor(1.5, from_end=0.0)
        (1.25, 1.0)
    """
    if bearing >= BEARING_LONG or from_end < BEARING_FROM_END:
        return 1.0
    return (bearing + BEARING_CREDIT) / bearing


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
    return 0.5 * A * (1.0 + math.sqrt(1.0 + shipped("joints")["post"]["second"] * h / A))
