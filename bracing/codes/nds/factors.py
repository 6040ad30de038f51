"""The factors on a joint value: moisture, toe-nailing, end grain, duration, temperature, group action."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.errors import MissingDataError
from bracing.job.fasteners import kind_of
from bracing.sources import ABOUT, cite, cited, shipped
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, PoundPerInch, Psi, Radian


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
    table = shipped("joints")["load_duration"]
    if name in ABOUT or name not in table:
        where = "load durations"
        raise MissingDataError(where, name, [key for key in table if key not in ABOUT])
    return lasting(table[name])


def lasting(CD: float) -> Known:
    """Give a load duration factor with its clause.

    Args:
        CD: load duration factor [-].

    Source: NDS table 2.3.2.
    """
    return Known(CD, "CD, load duration", cited(shipped("joints")["load_duration"]["source"]))


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
    if serves_wet:
        return _wet("lateral_wet")
    if not made_wet:
        return 1.0
    if D < LARGE_DOWEL:
        return _wet("lateral_wet_then_dry_small")
    return _wet("lateral_wet_then_dry_one_row" if one_row else "lateral_wet_then_dry")


def _wet(row: str) -> Known:
    """A row of the table of wet service factors."""
    return Known(shipped("joints")["wet_service"][row], "CM, green lumber", cite("NDS", "table 11.3.3"))


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
    if kind_of(kind).wet == "nail":
        return _wet("nail_withdrawal_same" if made_wet == serves_wet else "nail_withdrawal_changed")
    return _wet("screw_withdrawal_wet") if serves_wet else 1.0


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
    return _wet("pull_through_wet") if serves_wet else 1.0


def toe_nail_wet() -> float:
    """Give the wet service factor of a toe-nail in withdrawal.

    Returns:
        Wet service factor CM, which does not apply: 1 [-].

    Source: NDS 12.5.4.1.

    Example:
        >>> toe_nail_wet()
        1.0
    """
    one = shipped("joints")["wet_service"]["toe_nail_withdrawal"]
    return Known(one, "CM, none for a toe-nail", cite("NDS", "12.5.4.1"))


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
    G = shipped("joints")["panel"]["withdrawal_gravity"]
    return Known(G, "G a panel counts with", cite("PANELS", "summary"))


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
    panel = shipped("joints")["panel"]["withdrawal_wet"]
    wet = Known(panel, "CM, a panel in the wet", cite("PANELS", "summary"))
    return wet if kind_of(kind).driven else min(wet, wet_withdrawal(kind, made_wet=True, serves_wet=True))


@cache
def panel_gravities() -> Mapping[str, Known]:
    """Give the specific gravity of each panel for bearing and pull-through [-].

    Source: NDS table 12.3.3B (OSB from memory).

    Example:
        >>> panel_gravities()["osb"], panel_gravities()["osb"].how, panel_gravities()["plywood"].how
        (0.5, 'memory', 'read')
    """
    table, clause = shipped("joints")["panel"]["gravity"], cite("NDS", "table 12.3.3B")
    recalled = table.get("from_memory", ())
    return {
        name: Known(G, f"G of {name}", clause, "memory" if name in recalled else table["known"])
        for name, G in table.items()
        if name not in ABOUT
    }


def end_grain_lateral() -> float:
    """Give the end grain factor of a lateral load.

    Returns:
        End grain factor Ceg [-].

    Source: NDS 12.5.2.2.

    Example:
        >>> end_grain_lateral()
        0.67
    """
    return Known(shipped("joints")["end_grain"]["lateral"], "Ceg, end grain", cite("NDS", "12.5.2.2"))


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
    left = kind_of(kind).end_grain
    if left > 0.0:
        return Known(left, "Ceg, end grain", cite("NDS", "12.5.2.1"))
    return Known(0.0, "Ceg, end grain holds no nail or screw", cite("NDS", "12.2.2.3, 12.2.3.3"))


def toe_nail_factors() -> tuple[float, float]:
    """Give the toe-nail factor of a lateral load and of withdrawal.

    Returns:
        Toe-nail factors Ctn, lateral and withdrawal [-].

    Source: NDS 12.5.4.

    Example:
        >>> toe_nail_factors()
        (0.83, 0.67)
    """
    table = shipped("joints")["toe_nail"]
    clauses = cite("NDS", "12.5.4.2"), cite("NDS", "12.5.4.1")
    across, along = (
        Known(table[name], "Ctn, toe-nail", clause)
        for name, clause in zip(("lateral", "withdrawal"), clauses, strict=True)
    )
    return across, along


@formula
def toe_nail_side(L: Inch) -> Inch:
    """Give the length of a toe-nail that bears in the side member: ls = L / 3.

    Args:
        L: nail length [in].

    Returns:
        Bearing length ls [in].

    Source: NDS 12.3.10.2.

    Example:
        >>> toe_nail_side(3.0)
        1.0
    """
    return L / 3.0


@formula
def toe_nail_main(L: Inch, slope: Radian) -> Inch:
    """Give the length of a toe-nail that bears in the main member: lm = L cos(slope°) - L / 3.

    Args:
        L: nail length [in].
        slope: of the nail to the member's face [rad].

    Returns:
        Bearing length lm [in].

    Source: NDS-C C12.5.4.

    Example:
        >>> toe_nail_main(3.0, 0.0)
        2.0
    """
    return L * math.cos(slope) - L / 3.0


@formula
def toe_nail_held(L: Inch, slope: Radian) -> Inch:
    """Give the length of a toe-nail that holds in withdrawal: p = L - L / (3 cos(slope°)).

    Args:
        L: nail length [in].
        slope: of the nail to the member's face [rad].

    Returns:
        Length that holds p [in].

    Source: NDS-C C12.5.4.

    Example:
        >>> toe_nail_held(3.0, 0.0)
        2.0
    """
    return L - L / (3.0 * math.cos(slope))


def toe_nail_lengths(length: Inch, side: Inch) -> tuple[Inch, Inch, Inch]:
    """Give the lengths of a toe-nail: in the side member, in the main member, and what holds it in withdrawal.

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
    slope = math.radians(shipped("joints")["toe_nail"]["slope_degrees"])
    return min(toe_nail_side(length), side), toe_nail_main(length, slope), toe_nail_held(length, slope)


@formula
def lateral_allowable(Z: Pound, CD: float, CM: float, *, Ceg: float, Ctn: float, part: float) -> Pound:
    """Give the force allowed across one fastener: Z' = Z CD CM Ceg Ctn part.

    Args:
        Z: reference lateral value [lb].
        CD: load duration factor [-].
        CM: wet service factor [-].
        Ceg: end grain factor [-].
        Ctn: toe-nail factor [-].
        part: part of it a short penetration leaves [-].

    Returns:
        Allowable force across Z' [lb].

    Source: NDS 11.3.1, 12.3.

    Example:
        >>> round(lateral_allowable(120.0, 1.6, 0.7, Ceg=1.0, Ctn=1.0, part=1.0), 1)
        134.4
    """
    return Z * (CD * part * CM * Ceg * Ctn)


@formula
def penetration_part(p: Inch, least: Inch) -> float:
    """Give the part of the value a short penetration leaves: part = p / least.

    Args:
        p: penetration past the side member [in].
        least: least penetration that counts in full [in].

    Returns:
        The part [-].

    Source: JUDGEMENT, right through a panel a fastener keeps the part p/p_min.

    Example:
        >>> penetration_part(0.5, 1.0)
        0.5
    """
    return p / least


@formula
def axial_stiffness(E: Psi, thick: Inch, wide: Inch) -> float:
    """Give the axial stiffness of a member of a joint: EA = E thick wide.

    Across its grain a member counts one spacing wide.

    Args:
        E: modulus [psi].
        thick: thickness [in].
        wide: width [in].

    Returns:
        Axial stiffness EA [lb].

    Source: NDS 11.3.6.

    Example:
        >>> axial_stiffness(1.4e6, 1.5, 5.5)
        11550000.0
    """
    return E * thick * wide


@formula
def slip_term(gamma: PoundPerInch, s: Inch, EAm: Pound, *, EAs: Pound) -> float:
    """Give the term of slip over stretch in a row: u = 1 + gamma s / 2 (1 / EAm + 1 / EAs).

    Args:
        gamma: load/slip modulus γ of one fastener [lb/in].
        s: spacing in the row [in].
        EAm: axial stiffness of the main member [lb].
        EAs: axial stiffness of the side members together [lb].

    Returns:
        u [-].

    Source: NDS 11.3-1.

    Example:
        >>> slip_term(2e5, 4.0, 8e6, EAs=8e6)
        1.1
    """
    return 1.0 + gamma * s / 2.0 * (1.0 / EAm + 1.0 / EAs)


@formula
def slip_root(u: float) -> float:
    """Give the part one fastener hands to the next: m = u - √(u^2 - 1).

    Args:
        u: slip over stretch [-].

    Returns:
        m [-].

    Source: NDS 11.3-1.

    Example:
        >>> slip_root(1.25)
        0.5
    """
    return u - math.sqrt(u**2 - 1.0)


@formula
def lesser_stiffness(EAs: Pound, EAm: Pound) -> float:
    """Give the lesser ratio of the members' stiffnesses: R = min(EAs / EAm, EAm / EAs).

    Args:
        EAs: axial stiffness of the side members together [lb].
        EAm: axial stiffness of the main member [lb].

    Returns:
        R [-].

    Source: NDS 11.3-1.

    Example:
        >>> lesser_stiffness(4e6, 8e6)
        0.5
    """
    return min(EAs / EAm, EAm / EAs)


@formula
def group_factor(n: float, m: float, R: float) -> float:
    """Give the group action factor of a row.

    Cg = m (1 - m^(2 n)) / (n ((1 + R m^n) (1 + m) - 1 + m^(2 n))) (1 + R) / (1 - m)

    Args:
        n: fasteners in the row [-].
        m: part one fastener hands to the next [-].
        R: lesser ratio of the members' stiffnesses [-].

    Returns:
        Group action factor Cg [-].

    Source: NDS 11.3-1.

    Example:
        >>> group_factor(2, 0.5, 0.5)
        0.9375
    """
    inside = n * ((1.0 + R * m**n) * (1.0 + m) - 1.0 + m ** (2 * n))
    return float(m * (1.0 - m ** (2 * n)) / inside * (1.0 + R) / (1.0 - m))


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
    R, m = lesser_stiffness(side, main), slip_root(slip_term(gamma, spacing, main, EAs=side))
    return group_factor(n, m, R)
