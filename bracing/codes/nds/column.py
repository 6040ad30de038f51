"""Columns: buckling stress, the stability factor and the slenderness limits."""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from bracing.units import Inch, Psi

Numbers = TypeVar("Numbers", float, NDArray[np.float64])

BUCKLING = 0.822  # NDS 3.7.1.5
COLUMN_CONSTANT = 0.8  # NDS 3.7.1.5, c of sawn lumber
LIMIT_IN_SERVICE = 50.0  # NDS 3.7.1.4
LIMIT_DURING_CONSTRUCTION = 75.0  # NDS 3.7.1.4
COV_VISUALLY_GRADED = 0.25  # NDS Appendix D


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


def euler_stress(Emin: Numbers, slenderness: Numbers) -> Numbers:
    """Give the critical buckling stress of a column.

    FcE = 0.822 Emin/(le/d)^2

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


def euler_stress_of_stiffness(EI: Numbers, area: Numbers, length: Numbers) -> Numbers:
    """Give the critical buckling stress from a bending stiffness.

    FcE = 12 (0.822) EI/(A l^2); for a rectangle, with I/A = d^2/12, it is the published form.

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


def column_stability_factor(Fc_star: Numbers, FcE: Numbers, *, c: float = COLUMN_CONSTANT) -> Numbers:
    """Give the column stability factor.

    CP = (1 + a)/(2c) - sqrt([(1 + a)/(2c)]^2 - a/c), a = FcE/Fc*; written as its conjugate, a/c over the
    sum, so that a slender column loses no digits.

    Args:
        Fc_star: compression value with every factor but CP [psi].
        FcE: critical buckling stress [psi].
        c: 0.8 for sawn lumber [-].

    Returns:
        CP, over 0 and at most 1 [-].

    Source: NDS 3.7.1.5, Eq. 3.7-1.

    Example:
        >>> round(column_stability_factor(1450.0, 356.6), 3)
        0.232
    """
    a = FcE / Fc_star
    half = (1.0 + a) / (2.0 * c)
    root: Numbers = (half**2 - a / c) ** 0.5
    return (a / c) / (half + root)


def column_stress(Fc_star: Numbers, Emin: Numbers, slenderness: Numbers) -> Numbers:
    """Give the adjusted compression value of a column during construction, nothing past its limit.

    Fc' = Fc* CP; 0 where le/d > 75

    Args:
        Fc_star: compression value with every factor but CP [psi].
        Emin: adjusted modulus for stability [psi].
        slenderness: the larger le/d [-].

    Returns:
        Fc' [psi].

    Source: NDS 3.7.1.4 and Eq. 3.7-1.

    Example:
        >>> round(column_stress(2024.0, 510_000.0, 64.0), 1), column_stress(2024.0, 510_000.0, 128.0)
        (101.3, 0.0)
    """
    Fc = Fc_star * column_stability_factor(Fc_star, euler_stress(Emin, slenderness))
    return Fc * (slenderness <= LIMIT_DURING_CONSTRUCTION)


def slenderness(unbraced: Inch, depth: Inch, *, Ke: float = 1.0) -> float:
    """Give the slenderness of one axis, le/d = Ke l/d.

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


def longest_unbraced(limit: float, depth: Inch) -> Inch:
    """Give the longest unbraced length a slenderness limit lets a stick have.

    Args:
        limit: slenderness limit, 75 during construction [-].
        depth: dimension that bends [in].

    Returns:
        The length, le = limit times d [in].

    Source: NDS 3.7.1.4.

    Example:
        >>> longest_unbraced(75.0, 1.5)
        112.5
    """
    return limit * depth


def equivalent_depth(EI: float, E: Psi, area: float) -> Inch:
    """Give the depth of the rectangle with the same radius of gyration, d = sqrt(12 EI/(E A)).

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
