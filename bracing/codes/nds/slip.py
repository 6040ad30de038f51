"""How far a fastener slips under load."""

from __future__ import annotations

from bracing.units import Inch, PoundPerInch


def slip_modulus(D: Inch, *, steel_side: bool = False) -> PoundPerInch:
    """Give the load/slip modulus of one fastener: γ = 180 000 D^1.5, 270 000 D^1.5 with a steel side.

    Args:
        D: nominal diameter [in].
        steel_side: one member is steel.

    Returns:
        Load/slip modulus γ [lb/in].

    Source: NDS 11.3.6.

    Example:
        >>> round(slip_modulus(0.22))
        18574
    """
    return float((270e3 if steel_side else 180e3) * D**1.5)
