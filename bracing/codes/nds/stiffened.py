"""A brace stiffened with a second stick nailed along it, as a T or an L."""

from __future__ import annotations

from attrs import frozen

from bracing.codes.nds.adjusted import DesignValues
from bracing.codes.nds.brace import Stick, brace_push_capacity, edge_buckling
from bracing.codes.nds.built_up import (
    BuiltUp,
    Part,
    connection_efficiency,
    least_stiffness,
    shift_of_thrust,
    stiffness,
    stress_per_moment,
)
from bracing.codes.nds.column import equivalent_depth, euler_stress_of_stiffness, slenderness
from bracing.codes.nds.thrust import Column, PushCapacity, largest_thrust
from bracing.errors import MissingDataError
from bracing.job.lumber import Section
from bracing.units import Inch, PoundPerInch

SHAPES = ("T", "L")


@frozen
class Stiffener:
    """A second stick of the same species and grade, full length, its edge against the brace's wide face.

    Attributes:
        section: its section.
        slip_modulus: K of one fastener, a third of the published load/slip modulus [lb/in].
        spacing: of the fasteners [in].
        shape: "T" at the middle of the face, "L" at its edge.
    """

    section: Section
    slip_modulus: PoundPerInch
    spacing: Inch
    shape: str = "T"

    def __attrs_post_init__(self) -> None:
        if self.shape not in SHAPES:
            table = "stiffener shapes"
            raise MissingDataError(table, self.shape, SHAPES)


def built_up_section(stick: Stick, stiffener: Stiffener, values: DesignValues) -> BuiltUp:
    """Give the T or L of a brace and its stiffener, with the efficiency of its fasteners.

    A T slides only as its weak direction bends, between that axis's supports; an L bends every way at once,
    so its ties are left out and the whole length taken.

    Args:
        stick: the brace.
        stiffener: what is nailed on.
        values: design values of both.

    Returns:
        The built-up section.

    Source: EN1995 Annex B.

    Example:
        >>> from bracing.job.lumber import design_values, section
        >>> spf = design_values("SPF", "No.2", "2x4", wet=False)
        >>> stick = Stick(section=section("2x4"), length=168.0, angle=0.785, weight_per_inch=0.2)
        >>> nailed = Stiffener(section=section("2x4"), slip_modulus=3900.0, spacing=8.0)
        >>> built_up_section(stick, nailed, spf).offset
        (2.5, 0.0)
    """
    face, leg = stick.section, stiffener.section
    brace = Part(E=values.Emin, weak=face.thickness, strong=face.width, plies=face.plies)
    other = Part(E=values.Emin, weak=leg.width, strong=leg.thickness, plies=leg.plies)
    aside = 0.0 if stiffener.shape == "T" else (face.width - leg.plies * leg.thickness) / 2.0
    return BuiltUp(
        first=brace,
        second=other,
        offset=((face.plies * face.thickness + leg.width) / 2.0, aside),
        gamma=connection_efficiency(
            brace.axial_stiffness,
            spacing=stiffener.spacing,
            slip_modulus=stiffener.slip_modulus,
            length=stick.unbraced[1] if stiffener.shape == "T" else stick.length,
        ),
    )


def stiffened_push_capacity(stick: Stick, values: DesignValues, *, stiffener: Stiffener) -> PushCapacity:
    """Give what a stiffened brace carries in push: no less than the brace without its stiffener.

    The thrust enters the brace alone, so stress is taken on its area, and its eccentricity grows by the shift
    of the common axis toward the stiffener. A T buckles about its two axes, an L about its weaker principal.

    Args:
        stick: the brace, its weight with the stiffener's.
        values: design values of both.
        stiffener: what is nailed on.

    Returns:
        The capacity, its slenderness and what governs.

    Assumes: bending on edge under own weight rolls over no sooner than the brace alone; bending values take
        no flat-use factor.

    Source: NDS Eq. 15.4-1 with EN1995 Annex B.

    Example:
        >>> from bracing.job.lumber import design_values, section
        >>> spf = design_values("SPF", "No.2", "2x4", wet=False)
        >>> stick = Stick(section=section("2x4"), length=168.0, angle=0.785, weight_per_inch=0.2)
        >>> nailed = Stiffener(section=section("2x4"), slip_modulus=3900.0, spacing=8.0)
        >>> brace_push_capacity(stick, spf).counts
        False
        >>> stiffened_push_capacity(stick, spf, stiffener=nailed).counts
        True
    """
    both = built_up_section(stick, stiffener, values)
    column = _column(stick, values, both, shape=stiffener.shape)
    return max(brace_push_capacity(stick, values), largest_thrust(column), key=lambda push: push.capacity_lb)


def _column(stick: Stick, values: DesignValues, both: BuiltUp, *, shape: str) -> Column:
    weak_EI, strong_EI, _ = stiffness(both)
    free_strong, free_weak = stick.unbraced
    if shape == "L":
        weak_EI = strong_EI = least_stiffness(both)
        free_strong = free_weak = stick.length
    area, whole = both.first.area, both.first.area + both.second.area
    weak, strong = stress_per_moment(both, (1.0, 0.0)), stress_per_moment(both, (0.0, 1.0))
    shift_weak, shift_strong = shift_of_thrust(both)
    _, FbE, Fb_edge = edge_buckling(stick, values)
    lapped = stick.lie == "lapped"
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
        own_stress=(stick.own_moment * strong, 0.0) if lapped else (0.0, stick.own_moment * weak),
        eccentric=(area * shift_strong * strong, area * (stick.lap + shift_weak) * weak),
    )
