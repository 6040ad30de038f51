"""A joist bent upward: its tension edge is held by the deck, its compression edge by nothing but its own stiffness."""

from __future__ import annotations

import math

from bracing.codes.nds.beam import BEAM_BUCKLING
from bracing.codes.nds.column import Numbers
from bracing.job.lumber import Section
from bracing.units import Inch

G_OF_E = 1.0 / 16.0  # shear modulus over modulus of elasticity of lumber
TORSION_LOSS = 0.63  # J = b^3 d (1 - 0.63 b/d)/3
END_MOMENTS = 1.84  # le/lu of equal end moments, NDS table 3.3.3
THEORY = (
    math.pi * END_MOMENTS / 4.0
)  # FbE RB^2/Emin of a free beam under end moments, by theory with G = E/16
KEPT = BEAM_BUCKLING / THEORY  # what the standard keeps of theory: 1.20 of 1.445


def lifted_buckling_stress(section: Section, Emin: Numbers, span: Inch) -> Numbers:
    """Give the critical buckling value of a beam whose tension edge is held along its length, by a deck nailed to it.

    FbE = (1.20/1.445) [Emin Iy a^2 (pi/l)^2 + G J]/(2 a S), a = d/2, G = Emin/16: it rolls about its held edge. The
    standard has no row for it; of the 1.445 theory gives a free beam under end moments it keeps 1.20, and so does this.

    Args:
        section: its section.
        Emin: adjusted modulus for stability [psi].
        span: between supports that keep it upright, l [in].

    Returns:
        FbE [psi].

    Assumes: the same moment along the whole span, and ends that cannot roll.
    Source: STATICS a beam with an enforced axis of rotation; NDS 3.3.3.8 for what is kept of theory.

    Example:
        >>> from bracing.job.lumber import section
        >>> round(lifted_buckling_stress(section("2x10"), 459_000.0, 168.0))
        1162
    """
    b, d = section.thickness, section.width
    Iy, J = d * b**3 / 12.0, b**3 * d * (1.0 - TORSION_LOSS * b / d) / 3.0
    a, S = d / 2.0, b * d**2 / 6.0
    stiffness = Emin * (Iy * a**2 * (math.pi / span) ** 2 + G_OF_E * J)
    return KEPT * stiffness / (2.0 * a * S)
