"""The factors on a joint value: moisture, toe-nailing, end grain, duration, temperature, group action."""

from __future__ import annotations

import math

from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.codes.nds.tables import joint_data
from bracing.errors import MissingDataError
from bracing.sources import ABOUT
from bracing.units import Inch


def load_duration(name: str) -> float:
    """Give the load duration factor of a load by the name of its duration.

    Args:
        name: "permanent", "ten_years", "two_months", "seven_days" or "ten_minutes".

    Returns:
        Load duration factor CD; 1.6 is the most allowed for connections [-].

    Raises:
        MissingDataError: no such duration.

    Source: NDS table 2.3.2.

    Example:
        >>> load_duration("ten_minutes")
        1.6
    """
    table = joint_data()["load_duration"]
    if name in ABOUT or name not in table:
        where = "load durations"
        raise MissingDataError(where, name, [key for key in table if key not in ABOUT])
    return float(table[name])


def wet_lateral(D: Inch, *, made_wet: bool, serves_wet: bool, one_row: bool) -> float:
    """Give the wet service factor of a laterally loaded dowel.

    Args:
        D: nominal diameter [in].
        made_wet: over 19% moisture when fastened.
        serves_wet: over 19% moisture in service.
        one_row: one fastener, or one row along the grain.

    Returns:
        Wet service factor CM [-].

    Source: NDS table 11.3.3.

    Example:
        >>> wet_lateral(0.375, made_wet=True, serves_wet=False, one_row=False)
        0.4
    """
    table = joint_data()["wet_service"]
    if serves_wet:
        return float(table["lateral_wet"])
    if not made_wet:
        return 1.0
    if D < LARGE_DOWEL:
        return float(table["lateral_wet_then_dry_small"])
    return float(table["lateral_wet_then_dry_one_row" if one_row else "lateral_wet_then_dry"])


def wet_withdrawal(kind: str, *, made_wet: bool, serves_wet: bool) -> float:
    """Give the wet service factor of a fastener in withdrawal.

    Args:
        kind: kind of fastener.
        made_wet: over 19% moisture when fastened.
        serves_wet: over 19% moisture in service.

    Returns:
        Wet service factor CM [-].

    Source: NDS table 11.3.3.

    Example:
        >>> wet_withdrawal("nail", made_wet=True, serves_wet=False)
        0.25
    """
    table = joint_data()["wet_service"]
    if kind == "nail":
        same = made_wet == serves_wet
        return float(table["nail_withdrawal_same" if same else "nail_withdrawal_changed"])
    return float(table["screw_withdrawal_wet"]) if serves_wet else 1.0


def wet_pull_through(*, serves_wet: bool) -> float:
    """Give the wet service factor of head pull-through.

    Args:
        serves_wet: over 19% moisture in service.

    Returns:
        Wet service factor CM [-].

    Source: NDS table 11.3.3.

    Example:
        >>> wet_pull_through(serves_wet=True)
        0.7
    """
    return float(joint_data()["wet_service"]["pull_through_wet"]) if serves_wet else 1.0


def green_lateral(D: Inch, *, rows: int) -> float:
    """Give the lateral factor of green lumber: the worse of wet now and dried later.

    Args:
        D: nominal diameter [in].
        rows: rows of fasteners along the grain.

    Returns:
        Wet service factor CM [-].

    Source: NDS table 11.3.3, the lower of two rows.

    Example:
        >>> green_lateral(0.22, rows=2), green_lateral(0.375, rows=1), green_lateral(0.375, rows=2)
        (0.7, 0.7, 0.4)
    """
    return min(
        wet_lateral(D, made_wet=True, serves_wet=later_wet, one_row=rows <= 1) for later_wet in (True, False)
    )


def green_withdrawal(kind: str) -> float:
    """Give the withdrawal factor of green lumber: the worse of wet now and dried later.

    Args:
        kind: kind of fastener.

    Returns:
        Wet service factor CM [-].

    Source: NDS table 11.3.3, the lower of two rows.

    Example:
        >>> green_withdrawal("nail"), green_withdrawal("lag")
        (0.25, 0.7)
    """
    return min(wet_withdrawal(kind, made_wet=True, serves_wet=later_wet) for later_wet in (True, False))


def panel_withdrawal_gravity() -> float:
    """Give the specific gravity a wood panel holds a fastener's point with, whatever its species.

    Returns:
        Specific gravity G [-].

    Source: PANELS summary; JUDGEMENT, of screws.

    Example:
        >>> panel_withdrawal_gravity()
        0.4
    """
    return float(joint_data()["panel"]["withdrawal_gravity"])


def panel_withdrawal_wet(kind: str) -> float:
    """Give the wet factor of withdrawal from a panel: 0.75, or the factor of a screw in wood if lower.

    A panel leaves the press dry, so the quarter of a nail driven in green lumber does not apply to it.

    Args:
        kind: kind of fastener.

    Returns:
        Wet factor [-].

    Source: PANELS summary; NDS table 11.3.3 for screws.

    Example:
        >>> panel_withdrawal_wet("nail"), panel_withdrawal_wet("structural screw")
        (0.75, 0.7)
    """
    wet = float(joint_data()["panel"]["withdrawal_wet"])
    return wet if kind == "nail" else min(wet, wet_withdrawal(kind, made_wet=True, serves_wet=True))


def panel_gravity(name: str) -> float:
    """Give the specific gravity of a panel for bearing and pull-through.

    Args:
        name: "osb", "plywood" or "plywood structural I".

    Returns:
        Specific gravity G [-].

    Raises:
        MissingDataError: no such panel.

    Source: NDS table 12.3.3B (OSB from memory).

    Example:
        >>> panel_gravity("osb")
        0.5
    """
    table = joint_data()["panel"]["gravity"]
    if name in ABOUT or name not in table:
        where = "panels"
        raise MissingDataError(where, name, [key for key in table if key not in ABOUT])
    return float(table[name])


def panel_gravity_known(name: str) -> str:
    """Tell how the gravity of a panel is known: one of `bracing.sources.KNOWN`.

    Args:
        name: as for `panel_gravity`.

    Example:
        >>> panel_gravity_known("osb"), panel_gravity_known("plywood")
        ('memory', 'read')
    """
    table = joint_data()["panel"]["gravity"]
    return "memory" if name in table.get("from_memory", ()) else str(table["known"])


def end_grain_lateral() -> float:
    """Give the end grain factor of a lateral load.

    Returns:
        End grain factor Ceg [-].

    Source: NDS 12.5.2.2.

    Example:
        >>> end_grain_lateral()
        0.67
    """
    return float(joint_data()["end_grain"]["lateral"])


def end_grain_withdrawal(kind: str) -> float:
    """Give the end grain factor of withdrawal: nails and screws hold nothing.

    Args:
        kind: kind of fastener.

    Returns:
        End grain factor Ceg [-].

    Source: NDS 12.5.2.1, 12.2.2.3, 12.2.3.3.

    Example:
        >>> end_grain_withdrawal("nail"), end_grain_withdrawal("lag")
        (0.0, 0.75)
    """
    table = joint_data()["end_grain"]
    return float(table["lag_withdrawal"] if kind == "lag" else table["nail_and_screw_withdrawal"])


def toe_nail_factors() -> tuple[float, float]:
    """Give the toe-nail factor of a lateral load and of withdrawal.

    Returns:
        Toe-nail factors Ctn, lateral and withdrawal [-].

    Source: NDS 12.5.4.

    Example:
        >>> toe_nail_factors()
        (0.83, 0.67)
    """
    table = joint_data()["toe_nail"]
    return float(table["lateral"]), float(table["withdrawal"])


def toe_nail_lengths(length: Inch, side: Inch) -> tuple[Inch, Inch, Inch]:
    """Give the lengths of a toe-nail: ls = L/3, lm = L cos 30° - L/3, p = L - L/(3 cos 30°).

    Args:
        length: nail length L [in].
        side: thickness of the side member, the most ls can be [in].

    Returns:
        Bearing in the side member, bearing in the main member, penetration for withdrawal [in].

    Source: NDS 12.3.10.2; NDS-C C12.5.4.

    Example:
        >>> tuple(round(part, 4) for part in toe_nail_lengths(2.5, 1.5))
        (0.8333, 1.3317, 1.5377)
    """
    cosine = math.cos(math.radians(joint_data()["toe_nail"]["slope_degrees"]))
    return min(length / 3.0, side), length * cosine - length / 3.0, length - length / (3.0 * cosine)


def group_action(n: int, *, spacing: Inch, gamma: float, main: float, side: float) -> float:
    """Give the group action factor of fasteners in a row.

    Cg = [m(1 - m^2n) / (n((1 + R m^n)(1 + m) - 1 + m^2n))] (1 + R)/(1 - m), with R the lesser stiffness
    ratio, u = 1 + γ (s/2)(1/EmAm + 1/EsAs) and m = u - sqrt(u² - 1). It is 1 for fasteners under 1/4 in.

    Args:
        n: fasteners in the row.
        spacing: spacing in the row s [in].
        gamma: load/slip modulus γ of one fastener [lb/in].
        main: axial stiffness EmAm of the main member [lb].
        side: axial stiffness EsAs of the side members together [lb].

    Returns:
        Group action factor Cg [-].

    Source: NDS 11.3-1.

    Example:
        >>> round(group_action(12, spacing=4.0, gamma=180e3, main=64 * 1.4e6, side=64 * 1.4e6), 2)
        0.88
    """
    if n <= 1:
        return 1.0
    R = min(side / main, main / side)
    u = 1.0 + gamma * spacing / 2.0 * (1.0 / main + 1.0 / side)
    m = u - math.sqrt(u**2 - 1.0)
    inside = n * ((1.0 + R * m**n) * (1.0 + m) - 1.0 + m ** (2 * n))
    return m * (1.0 - m ** (2 * n)) / inside * (1.0 + R) / (1.0 - m)
