"""How much of their sum several large fasteners in one joint carry."""

from __future__ import annotations

from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.codes.nds.factors import group_action
from bracing.codes.nds.slip import slip_modulus
from bracing.job.fasteners import Fastener
from bracing.units import Inch, Psi

IN_ROW = 4.0  # diameters apart in a row, NDS table 12.5.1B


def acting_together(
    fastener: Fastener, count: int, *, side: tuple[Psi, Inch, Inch], main: tuple[Psi, Inch, Inch]
) -> float:
    """Give the group action factor of a joint, all its fasteners taken in one row, the lowest; 1 under 1/4 in.

    Across its grain a member counts with its thickness and the least spacing in the row.

    Args:
        fastener: the fastener.
        count: how many are in the joint.
        side: modulus, thickness and width of the side member; no width where loaded across its grain [psi, in, in].
        main: the same of the main member [psi, in, in].

    Returns:
        Cg [-].

    Source: NDS 11.3.6.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> spf = 1.4e6
        >>> lag, nail = fastener("lag 3/8x4"), fastener("16d common")
        >>> round(acting_together(lag, 4, side=(spf, 1.5, 5.5), main=(spf, 3.0, 0.0)), 3)
        0.98
        >>> acting_together(nail, 4, side=(spf, 1.5, 5.5), main=(spf, 1.5, 0.0))
        1.0
    """
    if fastener.diameter < LARGE_DOWEL:
        return 1.0
    apart = IN_ROW * fastener.diameter
    side_EA, main_EA = (E * thick * (wide or apart) for E, thick, wide in (side, main))
    return group_action(
        count, spacing=apart, gamma=slip_modulus(fastener.diameter), main=main_EA, side=side_EA
    )
