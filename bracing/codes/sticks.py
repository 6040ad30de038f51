"""A stick of lumber, whatever the standard: its design values, how it stands, what it may carry in push and pull."""

from __future__ import annotations

import math
from typing import Protocol, TypeVar

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.errors import InputError, MissingDataError
from bracing.job.lumber import Section
from bracing.said import Said
from bracing.sums import formula
from bracing.units import Inch, InchPound, Pound, PoundPerInch, Psi, Radian

Numbers = TypeVar("Numbers", float, NDArray[np.float64])


@frozen
class DesignValues:
    """Design values adjusted for size, moisture and load duration; stability factors are not in them.

    Attributes:
        Fb: bending on edge, Fb* (no beam stability) [psi].
        Fb_flat: bending flat, with the flat-use factor [psi].
        Ft: tension along the grain [psi].
        Fv: shear along the grain [psi].
        Fc_perp: bearing across the grain [psi].
        Fc: compression along the grain, Fc* (no column stability) [psi].
        E: modulus of elasticity, average [psi].
        Emin: modulus of elasticity for stability [psi].
        G: assigned specific gravity [-].
        source: where the reference values were read.
        known: how they and their size factors are known, one of `bracing.sources.KNOWN`.
        species: of what, so that two of equal values are told apart.
        grade: of which grade.
    """

    Fb: Psi
    Fb_flat: Psi
    Ft: Psi
    Fv: Psi
    Fc_perp: Psi
    Fc: Psi
    E: Psi
    Emin: Psi
    G: float
    source: str
    known: str = "read"
    species: str = ""
    grade: str = ""


@formula
def eccentric_ratio(area: float, e: Inch, S: float) -> float:
    """Give the bending stress of a thrust off the middle, for each psi of it: r = area e / S.

    6 e/d of one rectangle.

    Args:
        area: the thrust is spread over [in^2].
        e: how far it is off the middle [in].
        S: section modulus that way [in^3].

    Returns:
        r [-].

    Source: STATICS.

    Example:
        >>> eccentric_ratio(5.25, 0.75, 1.3125)
        3.0
    """
    return area * e / S


@formula
def slip_of_joint(n: float, gamma: PoundPerInch) -> float:
    """Give how far a joint slips for each pound across it: s = 1 / (n gamma).

    Args:
        n: its fasteners [-].
        gamma: load/slip modulus of one [lb/in].

    Returns:
        s [in/lb].

    Source: STATICS.

    Example:
        >>> slip_of_joint(4.0, 25000.0)
        1e-05
    """
    return 1.0 / (n * gamma)


@formula
def slips_in_line(head: float, cleat: float, floor: float, *, times: float) -> float:
    """Give how far the joints of a brace slip for each pound along it: s = times (head + cleat + floor).

    Args:
        head: of its head [in/lb].
        cleat: of its cleat [in/lb].
        floor: of the floor [in/lb].
        times: how many times the published slip is taken [-].

    Returns:
        s [in/lb].

    Source: STATICS.

    Example:
        >>> slips_in_line(1e-5, 1e-5, 2e-5, times=3.0)
        0.00012
    """
    return times * (head + cleat + floor)


@formula
def level_give(L: Inch, E: Psi, area: float, *, slip: float, angle: Radian) -> float:
    """Give how far a stick lets its head go for each pound level: c = (L / (E area) + slip) / cos(angle°)^2.

    Args:
        L: its length [in].
        E: modulus of elasticity [psi].
        area: of its section [in^2].
        slip: of the joints at its ends, for each pound along it [in/lb].
        angle: from the level [rad].

    Returns:
        c, one over its spring [in/lb].

    Source: STATICS.

    Example:
        >>> level_give(100.0, 1e6, 1.0, slip=1e-4, angle=0.0)
        0.0002
    """
    return (L / (E * area) + slip) / math.cos(angle) ** 2


@formula
def own_moment_of(w: PoundPerInch, angle: Radian, L: Inch) -> float:
    """Give the moment of its own weight at mid-length: M = w cos(angle°) L^2 / 8.

    Args:
        w: own weight, a stiffener's included [lb/in].
        angle: from the floor [rad].
        L: length [in].

    Returns:
        M [lb in].

    Source: STATICS.

    Example:
        >>> own_moment_of(0.2, 0.0, 100.0)
        250.0
    """
    return w * math.cos(angle) * L**2 / 8.0


@formula
def own_thrust_of(w: PoundPerInch, angle: Radian, L: Inch) -> Pound:
    """Give the thrust of its own weight at mid-length: N0 = w sin(angle°) L / 2.

    Args:
        w: own weight, a stiffener's included [lb/in].
        angle: from the floor [rad].
        L: length [in].

    Returns:
        N0 [lb].

    Source: STATICS.

    Example:
        >>> round(own_thrust_of(0.2, math.pi / 2.0, 100.0), 9)
        10.0
    """
    return w * math.sin(angle) * L / 2.0


@formula
def stress_of_moment(M: float, S: float) -> Psi:
    """Give the bending stress of its own weight: fb = M / S.

    Args:
        M: the moment [lb in].
        S: section modulus [in^3].

    Returns:
        fb [psi].

    Source: STATICS.

    Example:
        >>> stress_of_moment(500.0, 2.5)
        200.0
    """
    return M / S


LIES = ("lapped", "flat")
_SEGMENT_TOLERANCE = 0.25  # in: ties are taped, not machined


@frozen
class Stick:
    """A brace between its two joints.

    Attributes:
        section: its section; plies share no shear, so each buckles across its own thickness.
        length: between the joints [in].
        angle: from the floor [rad].
        weight_per_inch: own weight, a stiffener's included [lb/in].
        ties: how many anchored tie rows, evenly spaced; or the lengths of the segments between them [in].
        lie: "lapped" (on edge, beside the stud) or "flat".
        eccentricity: of the thrust across the thickness, both ends; None is a lap, half the thickness [in].
    """

    section: Section
    length: Inch
    angle: Radian
    weight_per_inch: PoundPerInch
    ties: int | tuple[Inch, ...] = 0
    lie: str = "lapped"
    eccentricity: Inch | None = None

    def __attrs_post_init__(self) -> None:
        require(
            self.length > 0.0 and math.isfinite(self.length),
            "brace length",
            self.length,
            expected="over 0 in",
        )
        require(0.0 <= self.angle <= math.pi / 2.0, "brace angle", self.angle, expected="0 to 90 degrees")
        require(self.weight_per_inch >= 0.0, "brace weight", self.weight_per_inch, expected="0 or more")
        require(
            self.eccentricity is None or self.eccentricity >= 0.0,
            "eccentricity",
            self.eccentricity,
            expected="0 or more",
        )
        if self.lie not in LIES:
            table = "ways a brace lies"
            raise MissingDataError(table, self.lie, LIES)
        if isinstance(self.ties, int):
            require(self.ties >= 0, "ties", self.ties, expected="0 or more")
        else:
            right = (
                all(s > 0.0 for s in self.ties) and abs(sum(self.ties) - self.length) <= _SEGMENT_TOLERANCE
            )
            require(right, "ties", self.ties, expected=f"segments that add up to {self.length:.2f} in")

    @property
    def segment(self) -> Inch:
        """Longest length between tie rows [in]."""
        if isinstance(self.ties, int):
            return self.length / (self.ties + 1)
        return max(self.ties)

    @property
    def unbraced(self) -> tuple[Inch, Inch]:
        """Unbraced length of the strong and of the weak axis [in]."""
        return (self.length, self.segment) if self.lie == "lapped" else (self.segment, self.length)

    @property
    def lap(self) -> Inch:
        """Eccentricity of the thrust across the thickness [in]."""
        if self.eccentricity is not None:
            return self.eccentricity
        return self.section.plies * self.section.thickness / 2.0

    @property
    def lap_ratio(self) -> float:
        """Bending stress of the lap per unit of axial stress, A e/S; 6e/d of one rectangle [-]."""
        return eccentric_ratio(self.section.area, self.lap, self.section.section_modulus(strong=False))

    @property
    def own_moment(self) -> float:
        """Moment of its own weight at mid-length, w cos(angle) L^2/8 [in lb]."""
        return own_moment_of(self.weight_per_inch, self.angle, self.length)

    @property
    def own_thrust(self) -> Pound:
        """Thrust of its own weight at mid-length, w sin(angle) L/2, for the demand in push [lb]."""
        return own_thrust_of(self.weight_per_inch, self.angle, self.length)

    @property
    def own_stress(self) -> tuple[Psi, Psi]:
        """Bending stress of its own weight, strong and weak axis [psi]."""
        strong = self.lie == "lapped"
        stress = stress_of_moment(self.own_moment, self.section.section_modulus(strong=strong))
        return (stress, 0.0) if strong else (0.0, stress)


@formula
def stress_on(thrust: Numbers, area: float) -> Numbers:
    """Give the stress of a force along a member: fc = thrust / area.

    Args:
        thrust: the force [lb].
        area: it is spread over [in^2].

    Returns:
        The stress [psi].

    Source: STATICS.

    Example:
        >>> stress_on(525.0, 5.25)
        100.0
    """
    return thrust / area


@frozen
class Stiffener:
    """A second stick of the same species and grade, full length, its edge against the middle of the brace's wide face.

    Attributes:
        section: its section.
        slip_modulus: K of one fastener, a third of the published load/slip modulus [lb/in].
        spacing: of the fasteners [in].
    """

    section: Section
    slip_modulus: PoundPerInch
    spacing: Inch


@frozen
class PushCapacity:
    """What a brace carries in push.

    Attributes:
        capacity_lb: axial thrust; 0 where it counts for nothing [lb].
        governing: what sets it.
        slenderness_strong: le/d in the strong direction [-].
        slenderness_weak: le/d in the weak direction [-].
        counts: it carries something.
        source: the clause.
        known: how it is known, one of `bracing.sources.KNOWN`.
    """

    capacity_lb: Pound
    governing: Said
    slenderness_strong: float
    slenderness_weak: float
    counts: bool
    source: str
    known: str = "read"

    def carrying(self, capacity: Pound) -> PushCapacity:
        """Give the same with another capacity.

        Args:
            capacity: axial thrust [lb].
        """
        return evolve(self, capacity_lb=capacity)


@frozen
class PullCapacity:
    """What a brace carries in pull.

    Attributes:
        capacity_lb: axial pull [lb].
        governing: what sets it.
        source: the clause.
    """

    capacity_lb: Pound
    governing: Said
    source: str


def require(fine: bool, name: str, value: object, *, expected: str) -> None:  # noqa: FBT001  (an assertion)
    """Refuse what a stick cannot have.

    Args:
        fine: what must be so.
        name: the field.
        value: what was given.
        expected: what is expected.

    Raises:
        InputError: it is not so.
    """
    if not fine:
        raise InputError.of(name, value, expected)


class Member(Protocol):
    """What one size of lumber may carry."""

    def bending(self, *, flat: bool = False, lifted: Inch | None = None) -> InchPound:
        """Give the moment it carries, no repetitive factor [lb in].

        Args:
            flat: bent flat; otherwise on edge.
            lifted: span of a joist bent up, whose lower edge nothing holds [in]; otherwise its edge in compression is.
        """

    def shear(self) -> Pound:
        """Give the shear it carries [lb]."""

    def shear_at_joint(self, *, from_loaded_edge: Inch, from_end: Inch) -> Pound:
        """Give the shear it carries where fasteners load it across the grain [lb].

        Args:
            from_loaded_edge: depth less the distance from the unloaded edge to the nearest fastener [in].
            from_end: distance of the joint from its end [in].
        """

    def bearing(self, across: DesignValues, *, b: Inch, d: Inch) -> Pound:
        """Give what its end may bear on a face across that one's grain [lb].

        Args:
            across: design values of what it bears on.
            b: width of the face in contact [in].
            d: its length [in].
        """

    def push(self, stick: Stick, *, stiffener: Stiffener | None = None) -> PushCapacity:
        """Give the thrust of its demand a brace may carry.

        Args:
            stick: how it stands.
            stiffener: a second stick nailed on as a T, or None.
        """

    def pull(self, stick: Stick, *, holes: tuple[Inch, ...] = ()) -> PullCapacity:
        """Give the pull a brace may carry.

        Args:
            stick: how it stands.
            holes: diameters of the holes across one section [in].
        """

    def column(self, height: Numbers) -> tuple[Numbers, Numbers]:
        """Give compression value and buckling value of a stud across the wall, held along it [psi].

        Args:
            height: its height, one or many [in].
        """

    def drawn(self, stress: Numbers, moment: Numbers, *, allowed: InchPound) -> Numbers:
        """Give the share used by bending and a pull: moment over the moment it may carry, for stress over strength [-].

        Args:
            stress: of the pull [psi].
            moment: in one ply [lb in].
            allowed: moment one ply may carry [lb in].
        """

    def pressed(
        self, stress: Numbers, moment: Numbers, *, allowed: InchPound, column: tuple[Numbers, Numbers]
    ) -> Numbers:
        """Give the share used by bending and a thrust [-].

        Args:
            stress: of the thrust [psi].
            moment: in one ply [lb in].
            allowed: moment one ply may carry [lb in].
            column: from `column` [psi].
        """


@frozen
class Clauses:
    """Where a standard says what each thing may carry, as printed beside it.

    Attributes:
        bending: of a member bent.
        lifted: of a joist bent up.
        shear: of a member.
        at_joint: of a member's shear beside fasteners that load it across the grain.
        bearing: of an end on a face.
        along: of bending and a force along together.
        across: of a fastener across its axis.
        together: of shear and pull on one fastener.
        end_grain: of a fastener in end grain.
        withdrawal: of a nail drawn out.
        toe_nailed: of a toe-nail drawn.
        stake: of a stake pushed sideways.
        hung_header: of a header hung by the nails in its ends.
        hung_stud: of a stud hung by its sheathing.
        foot_toe_nails: of toe-nails that hold a foot.
        foot_straps: of straps that hold a foot.
        foot_blocks: of blocks that hold a foot.
    """

    bending: str
    lifted: str
    shear: str
    at_joint: str
    bearing: str
    along: str
    across: str
    together: str
    end_grain: str
    withdrawal: str
    toe_nailed: str
    stake: str
    hung_header: str
    hung_stud: str
    foot_toe_nails: str
    foot_straps: str
    foot_blocks: str


@frozen
class Nailing:
    """How a wall is sheathed and nailed, as far as its strength along itself asks.

    Attributes:
        panel: "osb" or "plywood".
        thickness: of the panel [in].
        nail: in its edges, by name.
        spacing: of the nails in its edges [in].
        field_spacing: of those between the edges [in].
        blocked: every edge is nailed, those off the studs to blocking.
        studs: stud spacing [in].
        gravity: specific gravity of the framing [-].
        green: framing over 19% moisture when nailed.
        beside_8d: what one of the nails holds across its axis over what an 8d common does there [-].
    """

    panel: str
    thickness: Inch
    nail: str
    spacing: Inch
    field_spacing: Inch = 12.0
    blocked: bool = False
    studs: Inch = 24.0
    gravity: float = 0.36
    green: bool = False
    beside_8d: float = 1.0


class Panelled(Protocol):
    """What panels nailed off may carry in their own plane, a foot of them."""

    @property
    def shear(self) -> float:
        """Allowable unit shear [lb/ft]."""

    @property
    def known(self) -> str:
        """How the shear is known, one of `bracing.sources.KNOWN`."""

    @property
    def source(self) -> str:
        """The clause of it."""


class Decked(Panelled, Protocol):
    """What a deck of panels may carry in its own plane."""

    @property
    def most_aspect(self) -> float:
        """Length over depth up to which it counts [-]."""

    def strength(self, depth: Inch) -> Pound:
        """Give what it may carry in shear over its depth, as a Sum [lb].

        Args:
            depth: across its span [in].
        """


class Sheathed(Panelled, Protocol):
    """What a sheathed wall may carry along itself, and how stiff it is."""

    @property
    def stiffness(self) -> float:
        """Apparent shear stiffness [kips/in]."""

    @property
    def laid(self) -> Decked:
        """What the same panels and nails may carry as a deck."""

    def counts(self, height: Inch, length: Inch) -> bool:
        """Say whether a piece of wall counts.

        Args:
            height: of the piece [in].
            length: of it [in].
        """

    def strength(self, height: Inch, length: Inch) -> Pound:
        """Give what a piece of wall may carry along itself, as a Sum [lb].

        Args:
            height: of the piece [in].
            length: of it [in].
        """
