"""What sticks of lumber and joints may carry by the wood standard, asked of a few objects."""

from __future__ import annotations

import math

import numpy as np
from attrs import frozen

from bracing.codes.joints import Acting
from bracing.codes.nds.bending_and_axial import bending_and_compression, bending_and_tension
from bracing.codes.nds.braces import (
    brace_pull_capacity,
    brace_push_capacity,
    stiffened_push_capacity,
    within_thrust,
)
from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.codes.nds.factors import axial_stiffness, group_action
from bracing.codes.nds.fastener import slip_modulus
from bracing.codes.nds.joint import all_of, along_run, level_force, nails_or_strap
from bracing.codes.nds.members import (
    LIMIT_DURING_CONSTRUCTION,
    Numbers,
    beam_stability_factor,
    bearing_allowed,
    bearing_at_angle,
    column_stress,
    euler_stress,
    lifted_buckling_stress,
    moment_allowed,
    shear_capacity,
    shear_capacity_at_connection,
    slenderness,
)
from bracing.codes.nds.spacing import fasteners_that_fit, least_spacing
from bracing.codes.sticks import Clauses, DesignValues, PullCapacity, PushCapacity, Stick, Stiffener
from bracing.job.fasteners import Fastener
from bracing.job.lumber import Section
from bracing.sources import cite
from bracing.units import Inch, InchPound, Pound, Psi

IN_ROW = 4.0  # diameters apart in a row, NDS table 12.5.1B
CLAUSES = Clauses(
    bending=cite("NDS", "3.3.1"), lifted=cite("NDS", "3.3.3"), shear=cite("NDS", "3.4.2"),
    at_joint=cite("NDS", "3.4.3.3"), bearing=cite("NDS", "3.10.2"), along=cite("NDS", "3.9"),
    across=cite("NDS", "12.3.1"), together=cite("NDS", "12.4"), end_grain=cite("NDS", "12.5.2.2"),
    withdrawal=cite("NDS", "12.2.3"), toe_nailed=cite("NDS", "12.1.6.3"), stake=cite("IBC", "1807.3.2.1"),
    hung_header=cite("NDS", "12.3, 12.5.2"), hung_stud=cite("NDS", "12.3"), foot_toe_nails=cite("NDS", "12.5.4"),
    foot_straps=cite("NDS", "12.2, 12.3"), foot_blocks=cite("NDS", "12.3"),
)  # fmt: skip


@frozen
class Member:
    """One size of lumber, and what it may carry.

    Attributes:
        section: its section.
        values: its design values.
        most_slender: le/d past which a brace counts for nothing in push [-].
    """

    section: Section
    values: DesignValues
    most_slender: float = LIMIT_DURING_CONSTRUCTION

    def bending(self, *, flat: bool = False, lifted: Inch | None = None) -> InchPound:
        """Give the moment it carries, no repetitive factor [lb in].

        Args:
            flat: bent flat; otherwise on edge.
            lifted: span of a joist bent up, whose lower edge nothing holds [in]; otherwise its edge in compression is.

        Source: NDS 3.3.1, 3.3.3, 4.3.7.
        """
        S = self.section.section_modulus(strong=not flat)
        if flat:
            return moment_allowed(self.values.Fb_flat, 1.0, S)
        if lifted is None:
            return moment_allowed(self.values.Fb, 1.0, S)
        b, d = self.section.thickness, self.section.width
        FbE = lifted_buckling_stress(self.values.Emin, lifted, b=b, d=d)
        return moment_allowed(self.values.Fb, beam_stability_factor(self.values.Fb, FbE), S)

    def shear(self) -> Pound:
        """Give the shear it carries [lb].

        Source: NDS 3.4.2.
        """
        return shear_capacity(self.section, self.values.Fv)

    def shear_at_joint(self, *, from_loaded_edge: Inch, from_end: Inch) -> Pound:
        """Give the shear it carries where fasteners load it across the grain [lb].

        Args:
            from_loaded_edge: depth less the distance from the unloaded edge to the nearest fastener [in].
            from_end: distance of the joint from its end [in].

        Source: NDS 3.4.3.3.
        """
        return shear_capacity_at_connection(
            self.section, self.values.Fv, from_loaded_edge=from_loaded_edge, from_end=from_end
        )

    def bearing(self, across: DesignValues, *, b: Inch, d: Inch) -> Pound:
        """Give what its end may bear on a face across that one's grain [lb].

        Args:
            across: design values of what it bears on.
            b: width of the face in contact [in].
            d: its length [in].

        Source: NDS 3.10.2.
        """
        return bearing_allowed(bearing_at_angle(self.values.Fc, across.Fc_perp, math.pi / 2.0), b, d)

    def push(self, stick: Stick, *, stiffener: Stiffener | None = None) -> PushCapacity:
        """Give the thrust of its demand a brace may carry.

        Args:
            stick: how it stands.
            stiffener: a second stick nailed on as a T, or None.

        Source: NDS 3.7.1; NDS Eq. 15.4-1 (from memory).
        """
        if stiffener is None:
            found = brace_push_capacity(stick, self.values, self.most_slender)
        else:
            found = stiffened_push_capacity(
                stick, self.values, stiffener=stiffener, most_slender=self.most_slender
            )
        if not found.counts:
            return found
        return found.carrying(within_thrust(found.capacity_lb, stick.own_thrust))

    def pull(self, stick: Stick, *, holes: tuple[Inch, ...] = ()) -> PullCapacity:
        """Give the pull a brace may carry.

        Args:
            stick: how it stands.
            holes: diameters of the holes across one section [in].

        Source: NDS 3.9.1.
        """
        return brace_pull_capacity(stick, self.values, holes=holes)

    def column(self, height: Numbers) -> tuple[Numbers, Numbers]:
        """Give compression value and buckling value of a stud across the wall, held along it [psi].

        Args:
            height: its height, one or many [in].

        Source: NDS 3.7.1.
        """
        FcE: Numbers = euler_stress(_each(self.values.Emin, height), slenderness(height, self.section.width))
        return column_stress(_each(self.values.Fc, height), FcE), FcE

    def drawn(self, stress: Numbers, moment: Numbers, *, allowed: InchPound) -> Numbers:
        """Give the share used by bending and a pull: moment over the moment it may carry, for stress over strength [-].

        Args:
            stress: of the pull [psi].
            moment: in one ply [lb in].
            allowed: moment one ply may carry [lb in].

        Source: NDS Eq. 3.9-1.
        """
        return bending_and_tension(stress, moment, Ft=self.values.Ft, Fb_star=allowed)

    def pressed(
        self, stress: Numbers, moment: Numbers, *, allowed: InchPound, column: tuple[Numbers, Numbers]
    ) -> Numbers:
        """Give the share used by bending and a thrust [-].

        Args:
            stress: of the thrust [psi].
            moment: in one ply [lb in].
            allowed: moment one ply may carry [lb in].
            column: from `column` [psi].

        Source: NDS Eq. 3.9-3.
        """
        Fc, FcE = column
        return bending_and_compression(stress, moment, Fc=Fc, Fb=allowed, FcE=FcE)


def _each(value: Psi, like: Numbers) -> Numbers:
    """A value for each of many, or itself for one, which keeps its sum."""
    return np.full_like(like, value) if isinstance(like, np.ndarray) else value


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
    side_EA, main_EA = (axial_stiffness(E, thick, wide or apart) for E, thick, wide in (side, main))
    return group_action(
        count, spacing=apart, gamma=slip_modulus(fastener.diameter), main=main_EA, side=side_EA
    )


ACTING = Acting(
    all_of=all_of, along_run=along_run, nails_or_strap=nails_or_strap, level_force=level_force,
    group=acting_together, slip=slip_modulus, spacing=least_spacing, fit=fasteners_that_fit,
)  # fmt: skip
