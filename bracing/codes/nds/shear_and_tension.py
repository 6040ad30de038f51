"""Shear and tension on the same fastener."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bracing.units import Pound

HANKINSON_KINDS = ("wood screw", "lag")
Load = float | NDArray[np.float64]


def _ratio(load: Load, capacity: Pound) -> NDArray[np.float64]:
    """Divide, with nothing on nothing 0 and something on nothing infinite."""
    loads = np.asarray(load, dtype=float)
    if capacity > 0.0:
        return loads / capacity
    return np.where(loads > 0.0, np.inf, 0.0)


def linear_interaction(*, shear: Load, tension: Load, lateral: Pound, axial: Pound) -> NDArray[np.float64]:
    """Give the utilisation of a nail: V/Z' + T/(W'p).

    Args:
        shear: force across the fastener V, one or many [lb].
        tension: force along the fastener T, pulling; one or many [lb].
        lateral: lateral capacity Z' [lb].
        axial: axial capacity W'p [lb].

    Returns:
        Utilisation, 1 at the allowable value; infinite on a capacity of nothing [-].

    Source: NDS 12.4-2.

    Example:
        >>> float(linear_interaction(shear=50.0, tension=25.0, lateral=100.0, axial=50.0))
        1.0
    """
    V, T = np.abs(shear), np.maximum(tension, 0.0)
    return np.asarray(_ratio(V, lateral) + _ratio(T, axial))


def hankinson_interaction(*, shear: Load, tension: Load, lateral: Pound, axial: Pound) -> NDArray[np.float64]:
    """Give the utilisation of a wood screw or lag screw: (V/Z') cos α + (T/W'p) sin α, with tan α = T/V.

    Args:
        shear: force across the fastener V, one or many [lb].
        tension: force along the fastener T, pulling; one or many [lb].
        lateral: lateral capacity Z' [lb].
        axial: axial capacity W'p [lb].

    Returns:
        Utilisation, 1 at the allowable value; infinite on a capacity of nothing [-].

    Source: NDS 12.4-1.

    Example:
        >>> float(hankinson_interaction(shear=3.0, tension=4.0, lateral=10.0, axial=10.0))
        0.5
    """
    V, T = np.abs(shear), np.maximum(tension, 0.0)
    force = np.hypot(V, T)
    share = np.where(force > 0.0, force, 1.0)
    across, along = _ratio(V, lateral), _ratio(T, axial)
    # A zero share must not meet an infinite ratio: that product is not a number.
    first = np.where(V > 0.0, across, 0.0) * np.where(V > 0.0, V / share, 1.0)
    second = np.where(T > 0.0, along, 0.0) * np.where(T > 0.0, T / share, 1.0)
    return np.asarray(first + second)


def interaction(
    kind: str, *, shear: Load, tension: Load, lateral: Pound, axial: Pound, reported: bool = False
) -> NDArray[np.float64]:
    """Give the utilisation of one fastener in shear and tension together, by its kind.

    Nails, structural screws and anything with reported values: linear. Wood screws and lags: Hankinson.

    Args:
        kind: kind of fastener.
        shear: force across the fastener, one or many [lb].
        tension: force along the fastener, pulling; one or many [lb].
        lateral: lateral capacity [lb].
        axial: axial capacity [lb].
        reported: its capacities come from a report.

    Returns:
        Utilisation, 1 at the allowable value; infinite on a capacity of nothing [-].

    Source: NDS 12.4.

    Example:
        >>> float(interaction("nail", shear=50.0, tension=50.0, lateral=100.0, axial=100.0))
        1.0
        >>> round(float(interaction("lag", shear=50.0, tension=50.0, lateral=100.0, axial=100.0)), 3)
        0.707
    """
    if kind in HANKINSON_KINDS and not reported:
        return hankinson_interaction(shear=shear, tension=tension, lateral=lateral, axial=axial)
    return linear_interaction(shear=shear, tension=tension, lateral=lateral, axial=axial)
