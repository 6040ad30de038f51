"""A brace as a member: what one stick, alone or stiffened as a T or an L, carries in push and in pull."""

from __future__ import annotations

import math
from functools import lru_cache

from attrs import evolve

from bracing.codes.nds.bending_and_axial import (
    Column,
    bending_and_tension,
    bending_less_tension,
    largest_thrust,
)
from bracing.codes.nds.members import (
    LIMIT_DURING_CONSTRUCTION,
    RB_LIMIT,
    beam_buckling_stress,
    beam_slenderness,
    beam_stability_factor,
    effective_length,
    equivalent_depth,
    euler_stress,
    euler_stress_of_stiffness,
    slenderness,
    stable_bending,
)
from bracing.codes.nds.tees import (
    BuiltUp,
    Part,
    connection_efficiency,
    eccentric_ratio_of_two,
    shift_of_thrust,
    stiffness,
    stress_in_two,
    stress_per_moment,
)
from bracing.codes.sticks import DesignValues, PullCapacity, PushCapacity, Stick, Stiffener, require
from bracing.said import Said
from bracing.sources import cite
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, Psi


def edge_buckling(stick: Stick, values: DesignValues) -> tuple[float, Psi, Psi]:
    """Give how a brace on edge stands against rolling over between its ties under its own weight.

    Args:
        stick: the brace.
        values: its design values.

    Returns:
        RB [-], FbE [psi] and Fb' = Fb* CL [psi].

    Source: NDS 3.3.3.

    Example:
        >>> from bracing.codes.nds.adjusted import design_values
        >>> from bracing.job.lumber import section
        >>> spf = design_values("SPF", "No.2", "2x6", wet=False)
        >>> stick = Stick(section=section("2x6"), length=180.0, angle=0.8, weight_per_inch=0.15, ties=1)
        >>> [round(x, 1) for x in edge_buckling(stick, spf)]
        [20.0, 1534.1, 1344.2]
    """
    b, d = stick.section.thickness, stick.section.width
    free = stick.segment
    RB = beam_slenderness(effective_length(free, d), d, b)
    FbE = beam_buckling_stress(values.Emin, RB)
    return RB, FbE, stable_bending(values.Fb, beam_stability_factor(values.Fb, FbE))


@formula
def within_thrust(N: Pound, N0: Pound) -> Pound:
    """Give the thrust of its demand a brace may carry, less that of its own weight: P = max(0, N - N0).

    Args:
        N: thrust at which the sum is 1 [lb].
        N0: thrust of its own weight at mid-length [lb].

    Returns:
        The thrust [lb].

    Source: STATICS.

    Example:
        >>> within_thrust(800.0, 10.0)
        790.0
    """
    return max(0.0, N - N0)


@formula
def room_of_two(fb1: Psi, fb2: Psi, *, Fb1: Psi, Fb2: Psi) -> float:
    """Give what bending under own weight leaves: room = 1 - fb1 / Fb1 - fb2 / Fb2.

    Args:
        fb1: stress of own weight on edge [psi].
        fb2: stress of own weight flat [psi].
        Fb1: bending value on edge [psi].
        Fb2: bending value flat [psi].

    Returns:
        The room [-].

    Source: NDS Eq. 3.9-1.

    Example:
        >>> room_of_two(250.0, 0.0, Fb1=1000.0, Fb2=1000.0)
        0.75
    """
    return 1.0 - fb1 / Fb1 - fb2 / Fb2


@formula
def net_area(b: Inch, d: Inch, holes: Inch) -> float:
    """Give the area left beside the holes across one section: An = b (d - holes).

    Args:
        b: thickness of all plies [in].
        d: width [in].
        holes: their diameters added up [in].

    Returns:
        An [in2].

    Source: NDS 3.1.2.

    Example:
        >>> net_area(1.5, 5.5, 0.5)
        7.5
    """
    return b * (d - holes)


@formula
def stress_of_pound(A: float) -> float:
    """Give the stress of one pound of pull: f = 1 / A.

    Args:
        A: area it is spread over [in^2].

    Returns:
        f [psi/lb].

    Source: STATICS.

    Example:
        >>> stress_of_pound(8.0)
        0.125
    """
    return 1.0 / A


@formula
def lap_of_pound(r: float, An: float) -> float:
    """Give the bending stress of one pound of pull off the middle: fb = r / An.

    Args:
        r: bending stress for each psi of pull [-].
        An: area it is spread over [in^2].

    Returns:
        fb [psi/lb].

    Source: STATICS.

    Example:
        >>> lap_of_pound(3.0, 6.0)
        0.5
    """
    return r / An


@formula
def edge_of_pound(fb: float, Fb: Psi, less: float) -> float:
    """Give what one pound of pull asks of the compression edge: u = fb / Fb + less.

    Args:
        fb: bending stress of one pound off the middle [psi/lb].
        Fb: bending value flat [psi].
        less: what its tension takes off, under nothing [1/lb].

    Returns:
        Share of one for each pound [1/lb].

    Source: NDS Eq. 3.9-2.

    Example:
        >>> edge_of_pound(0.5, 1000.0, -0.0001)
        0.0004
    """
    return fb / Fb + less


@formula
def pull_within(room: float, u: float) -> Pound:
    """Give the pull that uses up the room own weight leaves: N = room / u.

    Args:
        room: what own weight leaves [-].
        u: share of one used by each pound [1/lb].

    Returns:
        The pull [lb].

    Source: NDS 3.9.1.

    Example:
        >>> pull_within(0.5, 0.0005)
        1000.0
    """
    return room / u


@lru_cache(maxsize=8192)
def brace_push_capacity(
    stick: Stick, values: DesignValues, most_slender: float = LIMIT_DURING_CONSTRUCTION
) -> PushCapacity:
    """Give what a brace carries in push, by the column with side load and end eccentricity.

    Nothing where le/d > 75 on either axis, or where its own weight alone is too much.

    Args:
        stick: the brace.
        values: its design values, adjusted.
        most_slender: le/d past which it counts for nothing [-].

    Returns:
        The capacity, its slenderness and what governs.

    Source: NDS 3.7.1.4; NDS Eq. 15.4-1 (from memory).

    Example:
        >>> from bracing.codes.nds.adjusted import design_values
        >>> from bracing.job.lumber import section
        >>> spf = design_values("SPF", "No.2", "2x4", wet=False)
        >>> untied = Stick(section=section("2x4"), length=192.0, angle=0.785, weight_per_inch=0.1)
        >>> answer = brace_push_capacity(untied, spf)
        >>> answer.capacity_lb, answer.slenderness_weak, answer.counts
        (0.0, 128.0, False)
    """
    section = stick.section
    depths = section.width, section.thickness
    ratios = tuple(slenderness(free, d) for free, d in zip(stick.unbraced, depths, strict=True))
    _, FbE, Fb_edge = edge_buckling(stick, values)
    return largest_thrust(
        Column(
            area=section.area,
            Fc_star=values.Fc,
            slenderness=(ratios[0], ratios[1]),
            FcE=(euler_stress(values.Emin, ratios[0]), euler_stress(values.Emin, ratios[1])),
            Fb=(Fb_edge, values.Fb_flat),
            FbE=FbE,
            own_stress=stick.own_stress,
            eccentric=(0.0, stick.lap_ratio),
            most_slender=most_slender,
        )
    )


def brace_pull_capacity(stick: Stick, values: DesignValues, *, holes: tuple[Inch, ...] = ()) -> PullCapacity:
    """Give what a brace carries in pull: tension on the net section, bent by its lap and its own weight.

    N/(An Ft') + N e/(Sn Fb2) + fb1/Fb1* <= 1, and the compression edge without the tension's help passing it

    Args:
        stick: the brace.
        values: its design values, adjusted.
        holes: diameters of the holes across one section; none for nails and screws under 1/4 in [in].

    Returns:
        The capacity and what governs.

    Assumes: own weight bends the whole section at mid-length, where no holes are; the greatest of each effect
        is added to the others wherever along the brace it stands.

    Raises:
        InputError: holes that leave no wood.

    Source: NDS Eq. 3.9-1 and 3.9-2.

    Example:
        >>> from bracing.codes.nds.adjusted import design_values
        >>> from bracing.job.lumber import section
        >>> spf = design_values("SPF", "No.2", "2x4", wet=False)
        >>> stick = Stick(section=section("2x4"), length=168.0, angle=0.785, weight_per_inch=0.1)
        >>> round(brace_pull_capacity(stick, spf).capacity_lb)
        2268
    """
    section = stick.section
    left = section.width - sum(holes)
    require(left > 0.0, "holes", holes, expected=f"less than the {section.width} in of the stick")
    net = net_area(section.plies * section.thickness, section.width, sum(holes))
    RB, _, Fb_edge = edge_buckling(stick, values)
    if stick.lie == "lapped" and RB > RB_LIMIT:
        words, clause = "rolls over under its own weight: RB over 50", cite("NDS", "3.3.3.7")
        return PullCapacity(Known(0.0, words, clause, by=(RB,)), Said("rolls-over"), clause)
    own1, own2 = stick.own_stress
    Fb2, lap = values.Fb_flat, lap_of_pound(stick.lap_ratio, net)
    drawn = bending_and_tension(stress_of_pound(net), lap, Ft=values.Ft, Fb_star=Fb2)
    less = bending_less_tension(stress_of_pound(section.area), 0.0, Fb_star_star=max(Fb_edge, Fb2))
    limits = [
        (
            _at_most(room_of_two(own1, own2, Fb1=values.Fb, Fb2=Fb2), drawn),
            Said("tension-on-net-section"),
            cite("NDS", "Eq. 3.9-1"),
        ),
        (
            _at_most(room_of_two(own1, own2, Fb1=Fb_edge, Fb2=Fb2), edge_of_pound(lap, Fb2, less)),
            Said("compression-edge"),
            cite("NDS", "Eq. 3.9-2"),
        ),
    ]
    return PullCapacity(*min(limits, key=lambda limit: limit[0]))


def _at_most(room: float, per_pound: float) -> Pound:
    """Give the force that uses up the room own weight leaves: none, or any if it costs nothing."""
    if room <= 0.0:
        return Known(0.0, "own weight alone: nothing is left for a pull", cite("NDS", "3.9.1"), by=(room,))
    return pull_within(room, per_pound) if per_pound > 0.0 else math.inf


def built_up_section(stick: Stick, stiffener: Stiffener, values: DesignValues) -> BuiltUp:
    """Give the T of a brace and its stiffener, with the efficiency of its fasteners.

    It slides only as its weak direction bends, between that axis's supports.

    Args:
        stick: the brace.
        stiffener: what is nailed on.
        values: design values of both.

    Returns:
        The built-up section.

    Source: EN1995 Annex B.

    Example:
        >>> from bracing.codes.nds.adjusted import design_values
        >>> from bracing.job.lumber import section
        >>> spf = design_values("SPF", "No.2", "2x4", wet=False)
        >>> stick = Stick(section=section("2x4"), length=168.0, angle=0.785, weight_per_inch=0.2)
        >>> nailed = Stiffener(section=section("2x4"), slip_modulus=3900.0, spacing=8.0)
        >>> built_up_section(stick, nailed, spf).apart
        2.5
    """
    face, leg = stick.section, stiffener.section
    brace = Part(E=values.Emin, weak=face.thickness, strong=face.width, plies=face.plies)
    other = Part(E=values.Emin, weak=leg.width, strong=leg.thickness, plies=leg.plies)
    return BuiltUp(
        first=brace,
        second=other,
        apart=(face.plies * face.thickness + leg.width) / 2.0,
        gamma=connection_efficiency(
            brace.axial_stiffness,
            spacing=stiffener.spacing,
            slip_modulus=stiffener.slip_modulus,
            length=stick.unbraced[1],
        ),
    )


def stiffened_push_capacity(
    stick: Stick,
    values: DesignValues,
    *,
    stiffener: Stiffener,
    most_slender: float = LIMIT_DURING_CONSTRUCTION,
) -> PushCapacity:
    """Give what a stiffened brace carries in push: no less than the brace without its stiffener.

    The thrust enters the brace alone, so stress is taken on its area, and its eccentricity grows by the shift
    of the common axis toward the stiffener.

    Args:
        stick: the brace, its weight with the stiffener's.
        values: design values of both.
        stiffener: what is nailed on.
        most_slender: le/d past which it counts for nothing [-].

    Returns:
        The capacity, its slenderness and what governs.

    Assumes: bending on edge under own weight rolls over no sooner than the brace alone; bending values take
        no flat-use factor.

    Source: NDS Eq. 15.4-1 (from memory); EN1995 Annex B.

    Example:
        >>> from bracing.codes.nds.adjusted import design_values
        >>> from bracing.job.lumber import section
        >>> spf = design_values("SPF", "No.2", "2x4", wet=False)
        >>> stick = Stick(section=section("2x4"), length=168.0, angle=0.785, weight_per_inch=0.2)
        >>> nailed = Stiffener(section=section("2x4"), slip_modulus=3900.0, spacing=8.0)
        >>> brace_push_capacity(stick, spf).counts
        False
        >>> stiffened_push_capacity(stick, spf, stiffener=nailed).counts
        True
    """
    column = _column(stick, values, built_up_section(stick, stiffener, values))
    alone = brace_push_capacity(stick, values, most_slender)
    both = largest_thrust(evolve(column, most_slender=most_slender))
    return max(alone, both, key=lambda push: push.capacity_lb)


def _column(stick: Stick, values: DesignValues, both: BuiltUp) -> Column:
    (weak_EI, strong_EI), (weak, strong) = stiffness(both), stress_per_moment(both)
    free_strong, free_weak = stick.unbraced
    area, whole = both.first.area, both.first.area + both.second.area
    _, FbE, Fb_edge = edge_buckling(stick, values)
    lapped = stick.lie == "lapped"
    own = stress_in_two(stick.own_moment, strong if lapped else weak)
    return Column(
        area=area,
        Fc_star=values.Fc,
        slenderness=(
            slenderness(free_strong, equivalent_depth(strong_EI, values.Emin, whole)),
            slenderness(free_weak, equivalent_depth(weak_EI, values.Emin, whole)),
        ),
        FcE=(
            euler_stress_of_stiffness(strong_EI, area, free_strong),
            euler_stress_of_stiffness(weak_EI, area, free_weak),
        ),
        Fb=(Fb_edge, values.Fb),
        FbE=FbE,
        own_stress=(own, 0.0) if lapped else (0.0, own),
        eccentric=(0.0, eccentric_ratio_of_two(area, weak, lap=stick.lap, a=shift_of_thrust(both))),
    )
