"""A brace as a member: what one stick, alone or stiffened, carries in push and in pull.

A brace lapped on a stud's side stands on edge: its weak axis bends along the wall and is held there by
anchored tie rows; its strong axis bends in the upright plane over the whole length, and its own weight bends
it there. A brace fixed flat is turned: its own weight bends its weak axis, in the upright plane, where a tie
row holds nothing. The part of its own weight that runs along the brace is a demand: Stick.own_thrust.
"""

from __future__ import annotations

import math
from functools import lru_cache

from attrs import frozen

from bracing.codes.nds.adjusted import DesignValues
from bracing.codes.nds.beam import (
    RB_LIMIT,
    beam_buckling_stress,
    beam_slenderness,
    beam_stability_factor,
    effective_length,
)
from bracing.codes.nds.column import euler_stress, slenderness
from bracing.codes.nds.thrust import Column, PushCapacity, largest_thrust
from bracing.errors import InputError, MissingDataError
from bracing.job.lumber import Section
from bracing.sources import cite
from bracing.units import Inch, Pound, PoundPerInch, Psi, Radian

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
        >>> from bracing.job.lumber import design_values, section
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

    Source: NDS Eq. 15.4-1 and 3.7.1.4.

    Example:
        >>> from bracing.job.lumber import design_values, section
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
            eccentric=(0.0, 6.0 * stick.lap / section.thickness),
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
        >>> from bracing.job.lumber import design_values, section
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
    lap = stick.lap * 6.0 / (net * section.thickness)
    bent = own2 / values.Fb_flat
    limits = [
        (
            _at_most(1.0 - own1 / values.Fb - bent, 1.0 / (net * values.Ft) + lap / values.Fb_flat),
            "tension on the net section with the lap and own weight",
            cite("NDS", "Eq. 3.9-1"),
        ),
        (
            _at_most(
                1.0 - own1 / Fb_edge - bent,
                lap / values.Fb_flat - 1.0 / (section.area * max(Fb_edge, values.Fb_flat)),
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
