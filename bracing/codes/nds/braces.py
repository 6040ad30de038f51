"""A brace as a member: what one stick, alone or stiffened as a T or an L, carries in push and in pull."""

from __future__ import annotations

import math
from functools import lru_cache

from attrs import frozen

from bracing.codes.nds.adjusted import DesignValues
from bracing.codes.nds.bending_and_axial import (
    Column,
    PushCapacity,
    bending_and_tension,
    bending_less_tension,
    largest_thrust,
)
from bracing.codes.nds.members import (
    RB_LIMIT,
    beam_buckling_stress,
    beam_slenderness,
    beam_stability_factor,
    effective_length,
    equivalent_depth,
    euler_stress,
    euler_stress_of_stiffness,
    slenderness,
)
from bracing.errors import InputError, MissingDataError
from bracing.job.lumber import Section
from bracing.sources import cite
from bracing.units import Inch, Pound, PoundPerInch, Psi, Radian

Pair = tuple[float, float]


@frozen
class Part:
    """One stick of a built-up section.

    Attributes:
        E: modulus of elasticity [psi].
        weak: its dimension in the brace's weak direction [in].
        strong: its dimension in the brace's strong direction [in].
        plies: how many of them side by side, sharing no shear.
    """

    E: Psi
    weak: Inch
    strong: Inch
    plies: int = 1

    @property
    def area(self) -> float:
        """Area [in^2]."""
        return self.plies * self.weak * self.strong

    @property
    def axial_stiffness(self) -> float:
        """Axial stiffness [lb]."""
        return self.E * self.area

    @property
    def bending_stiffness(self) -> Pair:
        """Bending stiffness in the weak and the strong direction [lb in^2]."""
        return self.E * self.area * self.weak**2 / 12.0, self.E * self.area * self.strong**2 / 12.0


@frozen
class BuiltUp:
    """Two parts and how well their fasteners couple them.

    Attributes:
        first: the brace.
        second: the stiffener.
        offset: from the centre of the first to the centre of the second, weak and strong direction [in].
        gamma: efficiency of the connection, 0 (loose) to 1 (glued) [-].
    """

    first: Part
    second: Part
    offset: Pair
    gamma: float


def connection_efficiency(EA: float, *, spacing: Inch, slip_modulus: PoundPerInch, length: Inch) -> float:
    """Give the efficiency of a row of fasteners along a bent built-up member.

    gamma = 1/[1 + pi^2 E A s/(K l^2)]

    Args:
        EA: axial stiffness of the first part [lb].
        spacing: of the fasteners, s [in].
        slip_modulus: of one fastener, K; 0 for none [lb/in].
        length: length between the supports, l [in].

    Returns:
        gamma, 0 to 1 [-].

    Source: EN1995 Annex B, Eq. B.5 (from memory).

    Example:
        >>> round(connection_efficiency(2_000_000.0, spacing=6.0, slip_modulus=4_000.0, length=144.0), 3)
        0.412
    """
    stiff = slip_modulus * length**2
    return stiff / (stiff + math.pi**2 * EA * spacing) if stiff > 0.0 else 0.0


def coupling(section: BuiltUp) -> float:
    """Give the axial stiffness that couples two parts.

    C = gamma EA1 EA2/(gamma EA1 + EA2)

    Args:
        section: the parts and their efficiency.

    Returns:
        C, of which C r^2 is what the coupling adds to the stiffness at a distance r [lb].

    Source: EN1995 Annex B, Eq. B.1 and B.6 put together.

    Example:
        >>> part = Part(E=1_000_000.0, weak=1.5, strong=3.5)
        >>> coupling(BuiltUp(first=part, second=part, offset=(2.5, 0.0), gamma=1.0))
        2625000.0
    """
    first, second = section.gamma * section.first.axial_stiffness, section.second.axial_stiffness
    return first * second / (first + second)


def stiffness(section: BuiltUp) -> tuple[float, float, float]:
    """Give the effective bending stiffness of a built-up section.

    (EI)ef = sum Ei Ii + C r r: weak, strong, and the product that couples them

    Args:
        section: the parts and their efficiency.

    Returns:
        Weak, strong and product stiffness [lb in^2].

    Source: EN1995 Annex B, Eq. B.1, in both directions.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> weak, strong, product = stiffness(BuiltUp(first=part, second=part, offset=(1.5, 0.0), gamma=1.0))
        >>> round(weak, 3), round(3.5 * 3.0**3 / 12.0, 3)
        (7.875, 7.875)
    """
    C, (rw, rs) = coupling(section), section.offset
    (w1, s1), (w2, s2) = section.first.bending_stiffness, section.second.bending_stiffness
    return w1 + w2 + C * rw * rw, s1 + s2 + C * rs * rs, C * rw * rs


def least_stiffness(section: BuiltUp) -> float:
    """Give the bending stiffness about the weaker principal axis of a built-up section.

    (a + b)/2 - sqrt([(a - b)/2]^2 + c^2), of the weak, strong and product stiffness

    Args:
        section: the parts and their efficiency.

    Returns:
        The stiffness [lb in^2].

    Source: STATICS principal axes.

    Example:
        >>> part, leg = Part(E=1.0, weak=1.5, strong=3.5), Part(E=1.0, weak=3.5, strong=1.5)
        >>> round(least_stiffness(BuiltUp(first=part, second=leg, offset=(2.5, 1.0), gamma=1.0)), 3)
        6.344
    """
    a, b, c = stiffness(section)
    return (a + b) / 2.0 - math.hypot((a - b) / 2.0, c)


def stress_per_moment(section: BuiltUp, moment: Pair) -> float:
    """Give the greatest bending stress of a moment on a built-up section, at any corner of either part.

    sigma = E [C r.k/EA + k.x], k the curvature, (EI)ef k = M

    Args:
        section: the parts and their efficiency.
        moment: bending in the weak and the strong direction; (1, 0) gives the stress of a unit [in lb].

    Returns:
        The stress [psi].

    Source: EN1995 Annex B, Eq. B.7 and B.8, in both directions.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> glued = BuiltUp(first=part, second=part, offset=(1.5, 0.0), gamma=1.0)
        >>> round(stress_per_moment(glued, (1.0, 0.0)), 6), round(6.0 / (3.5 * 3.0**2), 6)
        (0.190476, 0.190476)
    """
    a, b, c = stiffness(section)
    weak, strong = moment
    whole = a * b - c * c
    k = (b * weak - c * strong) / whole, (a * strong - c * weak) / whole
    slide = abs(coupling(section) * (section.offset[0] * k[0] + section.offset[1] * k[1]))
    return max(
        part.E * (slide / part.axial_stiffness + abs(k[0]) * part.weak / 2.0 + abs(k[1]) * part.strong / 2.0)
        for part in (section.first, section.second)
    )


def shift_of_thrust(section: BuiltUp) -> Pair:
    """Give how far a thrust on the first part alone lies off the axis of the built-up section.

    gamma a1 = C r/EA1: the whole distance to the common centre where the parts are glued, none where loose

    Args:
        section: the parts and their efficiency.

    Returns:
        Weak and strong distance [in].

    Source: STATICS the first harmonic of two parts sharing a curvature, thrust entering the first.

    Example:
        >>> part = Part(E=1.0, weak=1.5, strong=3.5)
        >>> shift_of_thrust(BuiltUp(first=part, second=part, offset=(2.5, 0.0), gamma=1.0))
        (1.25, 0.0)
    """
    share = coupling(section) / section.first.axial_stiffness
    return share * section.offset[0], share * section.offset[1]


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
        _require(self.length > 0.0 and math.isfinite(self.length), "brace length", self.length, "over 0 in")
        _require(0.0 <= self.angle <= math.pi / 2.0, "brace angle", self.angle, "0 to 90 degrees")
        _require(self.weight_per_inch >= 0.0, "brace weight", self.weight_per_inch, "0 or more")
        _require(
            self.eccentricity is None or self.eccentricity >= 0.0,
            "eccentricity",
            self.eccentricity,
            "0 or more",
        )
        if self.lie not in LIES:
            table = "ways a brace lies"
            raise MissingDataError(table, self.lie, LIES)
        if isinstance(self.ties, int):
            _require(self.ties >= 0, "ties", self.ties, "0 or more")
        else:
            right = (
                all(s > 0.0 for s in self.ties) and abs(sum(self.ties) - self.length) <= _SEGMENT_TOLERANCE
            )
            _require(right, "ties", self.ties, f"segments that add up to {self.length:.2f} in")

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
        return self.section.area * self.lap / self.section.section_modulus(strong=False)

    @property
    def own_moment(self) -> float:
        """Moment of its own weight at mid-length, w cos(angle) L^2/8 [in lb]."""
        return self.weight_per_inch * math.cos(self.angle) * self.length**2 / 8.0

    @property
    def own_thrust(self) -> Pound:
        """Thrust of its own weight at mid-length, w sin(angle) L/2, for the demand in push [lb]."""
        return self.weight_per_inch * math.sin(self.angle) * self.length / 2.0

    @property
    def own_stress(self) -> tuple[Psi, Psi]:
        """Bending stress of its own weight, strong and weak axis [psi]."""
        strong = self.lie == "lapped"
        stress = self.own_moment / self.section.section_modulus(strong=strong)
        return (stress, 0.0) if strong else (0.0, stress)


@frozen
class PullCapacity:
    """What a brace carries in pull.

    Attributes:
        capacity_lb: axial pull [lb].
        governing: what sets it.
        source: the clause.
    """

    capacity_lb: Pound
    governing: str
    source: str


def _require(fine: bool, name: str, value: object, expected: str) -> None:  # noqa: FBT001  (an assertion)
    if not fine:
        raise InputError.of(name, value, expected)


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
    return RB, FbE, values.Fb * beam_stability_factor(values.Fb, FbE)


@lru_cache(maxsize=8192)
def brace_push_capacity(stick: Stick, values: DesignValues) -> PushCapacity:
    """Give what a brace carries in push, by the column with side load and end eccentricity.

    Nothing where le/d > 75 on either axis, or where its own weight alone is too much.

    Args:
        stick: the brace.
        values: its design values, adjusted.

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
    _require(left > 0.0, "holes", holes, f"less than the {section.width} in of the stick")
    net = section.plies * section.thickness * left
    RB, _, Fb_edge = edge_buckling(stick, values)
    if stick.lie == "lapped" and RB > RB_LIMIT:
        return PullCapacity(0.0, "rolls over under its own weight: RB over 50", cite("NDS", "3.3.3.7"))
    own1, own2 = stick.own_stress
    lap = stick.lap_ratio / net
    bent = own2 / values.Fb_flat
    limits = [
        (
            _at_most(
                1.0 - own1 / values.Fb - bent,
                bending_and_tension(1.0 / net, lap, Ft=values.Ft, Fb_star=values.Fb_flat),
            ),
            "tension on the net section with the lap and own weight",
            cite("NDS", "Eq. 3.9-1"),
        ),
        (
            _at_most(
                1.0 - own1 / Fb_edge - bent,
                lap / values.Fb_flat
                + bending_less_tension(1.0 / section.area, 0.0, Fb_star_star=max(Fb_edge, values.Fb_flat)),
            ),
            "compression edge in bending, less the tension",
            cite("NDS", "Eq. 3.9-2"),
        ),
    ]
    return PullCapacity(*min(limits, key=lambda limit: limit[0]))


def _at_most(room: float, per_pound: float) -> Pound:
    """Give the force that uses up the room own weight leaves: none, or any if it costs nothing."""
    if room <= 0.0:
        return 0.0
    return room / per_pound if per_pound > 0.0 else math.inf


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
        >>> from bracing.codes.nds.adjusted import design_values
        >>> from bracing.job.lumber import section
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
