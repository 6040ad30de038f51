"""Shear and tension on the same fastener."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from attrs import evolve, field, frozen

from bracing.codes.joints import (
    MOISTURES,
    MOST_LOAD_DURATION,
    FastenerCapacity,
    Joint,
    Load,
    Ply,
    Together,
    check_plies,
    share_used,
)
from bracing.codes.nds import factors
from bracing.codes.nds.dowels import Dowel, yield_modes
from bracing.codes.nds.drive import Drive, drive, gravity
from bracing.codes.nds.gaps import modes_across_gap
from bracing.codes.nds.withdrawal import (
    allowable_pull_through,
    allowable_withdrawal,
    head_pull_through,
    least_along,
    least_along_steel_plate,
    reported,
    steel_tension,
    withdrawal_per_inch,
)
from bracing.codes.pulls import counted, in_joint
from bracing.errors import Fault, InputError
from bracing.job.fasteners import Fastener, kind_of
from bracing.job.pulls import PullTest
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, least
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, PoundPerInch


@formula
def linear_interaction(*, shear: Load, tension: Load, lateral: Pound, axial: Pound) -> Load:
    """Give the share of a fastener used by shear and pull together.

    u = shear / lateral + max(tension, 0) / axial

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
    return np.asarray(share_used(V, lateral) + share_used(T, axial))


@formula
def hankinson_interaction(*, shear: Load, tension: Load, lateral: Pound, axial: Pound) -> Load:
    """Give the share of a wood screw or lag screw used by shear and pull together.

    u = (shear^2 / lateral + tension^2 / axial) / √(shear^2 + tension^2)

    It is (V/Z') cos α + (T/W'p) sin α, with tan α = T/V.

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
    across, along = share_used(V, lateral), share_used(T, axial)
    # A zero share must not meet an infinite ratio: that product is not a number.
    first = np.where(V > 0.0, across, 0.0) * np.where(V > 0.0, V / share, 1.0)
    second = np.where(T > 0.0, along, 0.0) * np.where(T > 0.0, T / share, 1.0)
    return np.asarray(first + second)


ANCHOR = "anchor"
TOGETHER: dict[str, Together] = {
    "linear": linear_interaction,
    "hankinson": hankinson_interaction,
}  # by a row's name for it


def together(kind: str, *, reported: bool = False) -> Together:
    """Give the rule for shear and pull on one fastener, by its kind.

    Nails, structural screws, anchors and anything with reported values: linear. Wood screws and lags: Hankinson.

    Args:
        kind: kind of fastener, or "anchor".
        reported: its capacities come from a report.

    Returns:
        The rule.

    Source: NDS 12.4.

    Example:
        >>> float(together("nail")(shear=50.0, tension=50.0, lateral=100.0, axial=100.0))
        1.0
        >>> round(float(together("lag")(shear=50.0, tension=50.0, lateral=100.0, axial=100.0)), 3)
        0.707
    """
    return TOGETHER["linear" if reported or kind == ANCHOR else kind_of(kind).together]


@formula
def slip_of(K: float, D: Inch) -> PoundPerInch:
    """Give the load/slip modulus of one fastener: γ = K D^1.5.

    Args:
        K: 180 000, or 270 000 with a steel side [-].
        D: nominal diameter [in].

    Returns:
        Load/slip modulus γ [lb/in].

    Source: NDS 11.3.6.

    Example:
        >>> round(slip_of(180e3, 0.22))
        18574
    """
    return float(K * D**1.5)


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
    return slip_of(270e3 if steel_side else 180e3, D)


PLIES_OF_A_PAIR = 2


@frozen
class _Case:
    """A fastener in its joint, with the factors that apply to all its values."""

    fastener: Fastener
    plies: tuple[Ply, ...]
    placed: Drive
    green: bool
    toe_nailed: bool
    rows: int
    duration: float
    pulls: tuple[PullTest, ...]
    notes: list[Said] = field(factory=list, eq=False)


@lru_cache(maxsize=8192)
def _capacity(joint: Joint) -> FastenerCapacity:
    fastener, plies = joint.fastener, joint.plies
    placed = drive(fastener, plies, toe_nailed=joint.toe_nailed)
    case = _Case(
        fastener, plies, placed, joint.moisture == "green", joint.toe_nailed, joint.rows, joint.load_duration,
        joint.pulls,
    )  # fmt: skip
    lateral, lateral_mode = _lateral(case)
    withdrawal, pull_through, steel = _withdrawal(case), _pull_through(case), steel_tension(fastener)
    limits = {"withdrawal": withdrawal, "pull-through": pull_through, "steel": steel}
    counted = {name: value for name, value in limits.items() if value is not None}
    axial_mode = min(counted, key=lambda name: counted[name])
    return FastenerCapacity(
        name=fastener.name,
        kind=fastener.kind,
        reported=fastener.report is not None,
        lateral=lateral,
        lateral_mode=lateral_mode,
        withdrawal=withdrawal,
        pull_through=pull_through,
        steel=steel,
        axial=least_along_steel_plate(withdrawal, steel)
        if pull_through is None
        else least_along(withdrawal, pull_through, steel),
        axial_mode=axial_mode,
        slip_modulus=slip_modulus(
            fastener.diameter, steel_side=any(ply.material == "steel" for ply in plies)
        ),
        penetration=placed.penetration,
        notes=tuple(case.notes),
        sources=_sources(case),
        lateral_known="read" if lateral_mode == "report" else least(*(ply.known for ply in plies)),
        axial_known=_axial_known(case, axial_mode),
        together=together(fastener.kind, reported=fastener.report is not None),
        holding=placed.holding,
    )


def fastener_capacity(joint: Joint) -> FastenerCapacity:
    """Give the allowable values of one fastener in a described joint.

    Args:
        joint: the fastener and its members.

    Returns:
        Lateral and axial allowable values, slip modulus and notes [lb, lb/in].

    Raises:
        InputError: members that make no joint, an unknown moisture, a toe-nailed screw, CD over 1.6.

    Assumes end, edge and row distances at or over those of `bracing.codes.nds.spacing`; no group action.
    Source: NDS 11.3, 12.2, 12.3, 12.5.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> spf = Ply("wood", 1.5, 0.42)
        >>> nail = fastener("16d common")
        >>> one = fastener_capacity(Joint(nail, (spf, spf), "dry", load_duration=1.0))
        >>> one.lateral_mode, round(one.lateral), round(one.withdrawal)
        ('IV', 120, 38)
    """
    check_plies(joint.plies)
    fastener = joint.fastener
    asked = {
        "moisture": (joint.moisture in MOISTURES, joint.moisture, "green or dry"),
        "toe_nailed": (
            not joint.toe_nailed or kind_of(fastener.kind).driven,
            fastener.name,
            "a nail; no factors for others",
        ),
        "load_duration": (
            0.0 < joint.load_duration <= MOST_LOAD_DURATION,
            joint.load_duration,
            f"{MOST_LOAD_DURATION:g} at most in joints",
        ),
        "rows": (joint.rows >= 1, joint.rows, "one row or more"),
    }
    faults = [Fault("joint", name, str(got), want) for name, (fine, got, want) in asked.items() if not fine]
    if faults:
        raise InputError(faults)
    return _capacity(joint)


def least_penetration(fastener: Fastener) -> Inch:
    """Give the least penetration of the main member: 6 D for nails and screws, 4 D for lags without the tip.

    Args:
        fastener: the fastener.

    Returns:
        Least penetration [in].

    Source: NDS 12.1.4.6, 12.1.5.6, 12.1.6.4.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> round(least_penetration(fastener("16d common")), 3)
        0.972
    """
    return kind_of(fastener.kind).depth * fastener.diameter


def _lateral(case: _Case) -> tuple[Pound, str]:
    fastener, placed = case.fastener, case.placed
    if case.plies[-1].material in {"steel", "concrete"} and fastener.kind != "bolt":
        into = case.plies[-1].material
        case.notes.append(Said("nothing-in-that", kind=fastener.kind, into=into))
        return _nothing(f"nothing across: a {fastener.kind} into {into} counts for nothing"), "no hold"
    reach = _reach(case)
    if reach <= 0.0:
        return _nothing("nothing across, too short to reach the main member"), "too short"
    Z, mode = _reference_lateral(case)
    value = factors.lateral_allowable(
        Z,
        factors.lasting(case.duration),
        factors.green_lateral(fastener.diameter, rows=case.rows) if case.green else 1.0,
        Ceg=factors.end_grain_lateral() if placed.end_grain else 1.0,
        Ctn=factors.toe_nail_factors()[0] if case.toe_nailed else 1.0,
        part=reach,
    )
    return value, mode


def _nothing(words: str, clause: str = "12.3.1") -> Known:
    return Known(0.0, words, cite("NDS", clause))


def _reach(case: _Case) -> float:
    """Part of the lateral value the penetration allows: all of it from the least penetration on, none below.

    A fastener right through a panel with no framing under it cannot reach deeper: it keeps the part p / p_min, on a
    value already worked out for the panel's own thickness (bracing judgement).
    """
    fastener, placed = case.fastener, case.placed
    needed = least_penetration(fastener)
    if placed.main.length > 0.0 and placed.penetration >= needed - 1e-9:
        return 1.0
    reaches, least = (Quantity(each, Kind.HUNDREDTHS) for each in (placed.penetration, needed))
    short = Said("reaches", reaches=reaches, times=round(needed / fastener.diameter), needed=least)
    through = fastener.length > sum(ply.thickness for ply in case.plies) + 1e-9
    if placed.main.length > 0.0 and case.plies[-1].material == "panel" and through and not case.toe_nailed:
        case.notes.append(Said("right-through-the-panel", short=short))
        return factors.penetration_part(placed.penetration, needed)
    case.notes.append(Said("too-short-in-shear", short=short))
    return 0.0


def _reference_lateral(case: _Case) -> tuple[Pound, str]:
    fastener, placed = case.fastener, case.placed
    if fastener.lateral is not None and not case.toe_nailed and not placed.gap:
        gravities = [ply.G for ply in case.plies if ply.material in {"wood", "panel"}]
        deep = placed.penetration >= (fastener.report_penetration or 0.0) - 1e-9
        if deep and _meets_report(fastener, min(gravities), case.plies[0].thickness):
            return reported(fastener.lateral, "lateral value", fastener), "report"
        case.notes.append(Said("outside-report-across", report=fastener.report))
    dowel = Dowel(fastener.diameter, fastener.yield_diameter, fastener.fyb)
    if placed.gap:
        gap = Known(placed.gap, f"gap under the {case.plies[0].of or case.plies[0].material}", cite("USER"))
        modes = modes_across_gap(dowel, placed.main, placed.side, gap=gap, angle=placed.angle)
    else:
        modes = yield_modes(dowel, placed.main, placed.side, angle=placed.angle)
    return modes.least, modes.governing


def _meets_report(fastener: Fastener, gravity: float, side: Inch | None = None) -> bool:
    """Whether the wood, and the side member where it matters, reach what the report asks."""
    if gravity < (fastener.report_gravity or 0.0) - 1e-9:
        return False
    return side is None or side >= (fastener.report_side or 0.0) - 1e-9


def _withdrawal(case: _Case) -> Pound:
    fastener, placed = case.fastener, case.placed
    if placed.held_by in {"steel", "concrete"}:
        return _nothing(f"nothing is counted in withdrawal from {placed.held_by}", "12.2")
    if placed.gap and placed.penetration < least_penetration(fastener) - 1e-9:
        return _nothing("nothing along, too short past the gap", "12.1.6.4")
    W = withdrawal_per_inch(fastener, placed.holding_gravity)
    if fastener.withdrawal_per_inch is not None:
        if _meets_report(fastener, placed.holding_gravity):
            W = reported(fastener.withdrawal_per_inch, "withdrawal an inch", fastener)
        else:
            case.notes.append(Said("outside-report-out", report=fastener.report))
    Ceg = factors.end_grain_withdrawal(fastener.kind) if placed.end_grain else 1.0
    if placed.end_grain and Ceg <= 0.0:
        case.notes.append(Said("end-grain-out"))
    if placed.held_by == "panel":
        case.notes.append(Said("held-by-panel"))
    Ctn = factors.toe_nail_factors()[1] if case.toe_nailed else 1.0
    words, by = f"p, length held by {placed.held_by}", (placed.holding,)
    length = Known(placed.holding, words, cite("STATICS"), by=by)
    own = allowable_withdrawal(
        W, length, factors.lasting(case.duration), CM=_withdrawal_moisture(case), Ceg=Ceg, Ctn=Ctn
    )
    if _tests(case):  # it was drawn out of deck and joist together: the deck by itself held no more
        return _as_pulled(case, own)
    return max(own, _panel_between(case))


def tests_that_tell(pulls: tuple[PullTest, ...], last: Ply, *, toe_nailed: bool) -> tuple[PullTest, ...]:
    """Give the pull tests that tell how the point of a fastener holds: out of that board, across its grain.

    Args:
        pulls: tests of that fastener.
        last: the member its point is in.
        toe_nailed: driven as a toe-nail.
    """
    if toe_nailed or last.end_grain or not last.board:
        return ()
    return tuple(test for test in pulls if test.into == last.board)


def _tests(case: _Case) -> tuple[PullTest, ...]:
    return tests_that_tell(case.pulls, case.plies[-1], toe_nailed=case.toe_nailed)


def _as_pulled(case: _Case, table: Pound) -> Pound:
    """Withdrawal as the fastener was pulled out of that board, the least of several tests."""
    fastener, least = case.fastener, table
    for k, test in enumerate(_tests(case)):
        found = counted(test, fastener.kind, green=case.green, reported=fastener.report is not None)
        one = in_joint(found, table, case.placed.holding, CD=case.duration)
        least = one if k == 0 else min(least, one)
    return least


def _panel_between(case: _Case) -> Pound:
    """What the deck between cleat and joist holds by itself: never added to the joist, but never less."""
    plies = case.plies
    if len(plies) <= PLIES_OF_A_PAIR or plies[1].material != "panel" or case.toe_nailed:
        return 0.0
    alone = evolve(case, plies=plies[:2], placed=drive(case.fastener, plies[:2]), notes=[])
    return _withdrawal(alone)


def _withdrawal_moisture(case: _Case) -> float:
    if not case.green:
        return 1.0
    if case.placed.held_by == "panel":
        return factors.panel_withdrawal_wet(case.fastener.kind)
    if case.toe_nailed:
        return factors.toe_nail_wet()
    return factors.green_withdrawal(case.fastener.kind)


def _pull_through(case: _Case) -> Pound | None:
    fastener, side = case.fastener, case.plies[0]
    if side.material in {"steel", "concrete"}:
        return None
    WH = head_pull_through(gravity(side), fastener.head, case.placed.side.length)
    if fastener.pull_through is not None:
        if _meets_report(fastener, side.G, side.thickness):
            WH = reported(fastener.pull_through, "pull-through", fastener)
        else:
            case.notes.append(Said("outside-report-head", report=fastener.report))
    CM = factors.wet_pull_through(serves_wet=True) if case.green else 1.0
    return allowable_pull_through(WH, factors.lasting(case.duration), CM)


def _axial_known(case: _Case, mode: str) -> str:
    """How what sets the pull is known: of the head as the gravity of the side member is."""
    if mode == "withdrawal" and _tests(case):
        return "memory"  # the partial factors, and the rule for few pulls, were recalled
    if mode != "pull-through":
        return "read"
    fastener, side = case.fastener, case.plies[0]
    stated = fastener.pull_through is not None and _meets_report(fastener, side.G, side.thickness)
    return "read" if stated else side.known


def _sources(case: _Case) -> tuple[str, ...]:
    used = [cite("NDS", "12.3.1"), cite("NDS", "12.2"), cite("NDS", "11.3")]
    if case.green:
        used.append(cite("NDS", "table 11.3.3"))
    if case.toe_nailed or case.placed.end_grain:
        used.append(cite("NDS", "12.5"))
    if case.placed.gap:
        used.append(cite("TR12", "table 1-1 (from memory)"))
    if case.placed.held_by == "panel":
        key = "PANELS" if kind_of(case.fastener.kind).driven else "JUDGEMENT"  # the tests were of nails
        used.append(cite(key, "panel withdrawal at G 0.40"))
    used += [cite("USER", f"pull test {test.name}") for test in _tests(case)]
    if case.fastener.report:
        used.append(cite("USER", case.fastener.report))
    return (*used, case.fastener.source)
