"""One strength of a brace: what it may carry, and how much of it one pound against the wall uses."""

from __future__ import annotations

import math
from typing import cast

from attrs import frozen

from bracing.chain.materials import ACROSS, Materials
from bracing.codes.ground import (
    deadman_capacity,
    friction_of_weight,
    greater_hold,
    lateral_bearing,
    level_part,
    sliding_factor,
    stake_capacity,
)
from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.codes.nds.drive import Ply
from bracing.codes.nds.factors import axial_stiffness, group_action
from bracing.codes.nds.fastener import FastenerCapacity, linear_interaction, slip_modulus
from bracing.codes.nds.joint import (
    all_of,
    level_force,
    lever_of_many,
    lever_of_one,
    pull_of_each,
    roll_beside,
    shear_of_each,
)
from bracing.codes.nds.members import beam_stability_factor, bending_capacity, lifted_buckling_stress
from bracing.job.brace import Brace
from bracing.job.fasteners import Fastener
from bracing.job.floor import Joists
from bracing.job.lumber import Section, section
from bracing.sources import cite
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, Psi, Radian, down, up


@frozen
class Strength:
    """What one link of a brace may carry.

    Attributes:
        link: which link.
        capacity: allowable value in its own unit.
        per_pound: demand in that unit for each pound the brace gives the wall, level; a Sum unless 1.
        unit: lb or lb in.
        source: the clause.
        why: what sets it, in plain words.
        known: how it is known, one of `bracing.sources.KNOWN`.
    """

    link: str
    capacity: float
    per_pound: float
    unit: str
    source: str
    why: str = ""
    known: str = "read"

    @property
    def level_force(self) -> Pound:
        """Level force on the wall at which the link reaches its allowable value [lb]."""
        return self.capacity / self.per_pound if self.per_pound > 0.0 else math.inf


@formula
def along_brace(angle: Radian) -> float:
    """Give the force along the brace for each pound level: c = 1 / cos(angle°).

    Args:
        angle: angle of the brace from the floor [rad].

    Returns:
        Force along it [lb/lb].

    Source: STATICS.

    Example:
        >>> round(along_brace(math.radians(45.0)), 4)
        1.4142
    """
    return 1.0 / math.cos(angle)


@formula
def upward(angle: Radian) -> float:
    """Give the force upward for each pound level: c = tan(angle°).

    Args:
        angle: angle of the brace from the floor [rad].

    Returns:
        Force upward [lb/lb].

    Source: STATICS.

    Example:
        >>> round(upward(math.radians(45.0)), 4)
        1.0
    """
    return math.tan(angle)


@formula
def moment_at_middle(angle: Radian, span: Inch) -> Inch:
    """Give the moment of the upward force at mid-span for each pound level: c = tan(angle°) span / 4.

    Args:
        angle: angle of the brace from the floor [rad].
        span: between supports [in].

    Returns:
        Moment [lb in/lb].

    Source: STATICS, a load at mid-span.

    Example:
        >>> round(moment_at_middle(math.radians(45.0), 120.0), 4)
        30.0
    """
    return math.tan(angle) * span / 4.0


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
    side_EA, main_EA = (axial_stiffness(E, thick, wide or apart) for E, thick, wide in (side, main))
    return group_action(
        count, spacing=apart, gamma=slip_modulus(fastener.diameter), main=main_EA, side=side_EA
    )


CLEAT_END: Inch = 3.0  # fasteners keep this far from the cleat's ends when their lever is reckoned
MANY_ROWS = 2  # more than this many fasteners stand in more than one row


def rows_of(count: int) -> int:
    """Rows a group stands in: more than two fasteners are taken as two rows, the lower wet-service case.

    Args:
        count: fasteners in the joint.
    """
    return 1 if count <= MANY_ROWS else 2


@frozen
class CleatShape:
    """How the cleat lies.

    Attributes:
        thickness: through which its floor fasteners pass [in].
        bearing: from the floor fasteners to the edge it rolls about [in].
        offset: from the floor fasteners to the middle of the brace [in].
        rise: height of the brace-to-cleat joint above the floor [in].
        side: thickness of cleat behind the brace, for the brace-to-cleat fasteners [in].
    """

    thickness: Inch
    bearing: Inch
    offset: Inch
    rise: Inch
    side: Inch


def cleat_shape(cleat: Section, brace: Section, lie: str) -> CleatShape:
    """Give the distances of a cleat lying flat or on edge beside a brace.

    Args:
        cleat: section of the cleat.
        brace: section of the brace.
        lie: flat or edge.

    Example:
        >>> cleat_shape(section("2x4"), section("2x6"), "flat").offset
        2.5
    """
    tall, wide = (cleat.width, cleat.thickness) if lie == "edge" else (cleat.thickness, cleat.width)
    return CleatShape(tall, wide / 2.0, wide / 2.0 + brace.thickness / 2.0, tall / 2.0, wide)


def roll_factor(shape: CleatShape, sides: int) -> float:
    """Tension in the floor fasteners per pound of uplift: 1 + e/l beside one cleat, 1 between two.

    Args:
        shape: the cleat.
        sides: cleats at the foot.

    Source: STATICS, moments about the edge the cleat rolls about.

    Example:
        >>> round(roll_factor(CleatShape(1.5, 1.75, 2.5, 0.75, 3.5), 1), 3)
        2.429
    """
    return 1.0 if sides > 1 else roll_beside(shape.offset, shape.bearing)


def lever_tension(rise: Inch, length: Inch, count: int) -> float:
    """Tension in the end fastener per pound of shear that enters the cleat above the floor.

    V h is balanced by the fasteners spread evenly along the cleat: T = 6 V h (n - 1)/(n (n + 1) s), s their spread; a
    single fastener has only the half cleat that bears: T = V h/(s/2).

    Args:
        rise: height of the shear above the floor, h [in].
        length: length of the cleat [in].
        count: fasteners, n.

    Returns:
        Tension of one fastener per pound of shear [lb/lb].

    Source: STATICS.

    Example:
        >>> round(lever_tension(0.75, 36.0, 4), 4)
        0.0225
    """
    spread = max(length - 2.0 * CLEAT_END, length / 2.0)
    if count <= 1:
        return lever_of_one(rise, spread)
    return lever_of_many(rise, count, spread)


def brace_to_cleat(materials: Materials, brace: Brace) -> tuple[Strength, FastenerCapacity]:
    """Brace to cleat: all shear, along the brace.

    Args:
        materials: the job's materials.
        brace: the brace.
    """
    cleat = materials.job.kit.cleat
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    one = materials.capacity(
        cleat.brace_fastener,
        materials.brace_ply(brace.size),
        materials.brace_ply(cleat.size, thickness=shape.side, angle=brace.angle),
        rows=rows_of(brace.cleat_fasteners),
    )
    axial = along_brace(brace.angle)
    why = f"{brace.cleat_fasteners} x {cleat.brace_fastener}, {down(one.lateral)} lb each in shear, {one.lateral_words}"
    stick, E = section(brace.size), materials.brace_values(cleat.size).E
    together = acting_together(
        materials.fastener(cleat.brace_fastener), brace.cleat_fasteners,
        side=(materials.brace_values(brace.size).E, stick.thickness, stick.width), main=(E, shape.side, 0.0),
    )  # fmt: skip
    total = all_of(one.lateral, brace.cleat_fasteners, together)
    return Strength("brace to cleat", total, axial, "lb", cite("NDS", "12.3.1"), why, one.lateral_known), one


def cleat_fastener(materials: Materials, brace: Brace) -> FastenerCapacity:
    """One fastener from cleat to floor: into a joist where declared, else into the deck panel alone.

    Args:
        materials: the job's materials.
        brace: the brace.
    """
    cleat = materials.job.kit.cleat
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    plies: tuple[Ply, ...] = (
        materials.brace_ply(cleat.size, thickness=shape.thickness),
        materials.deck_ply(),
    )
    if brace.into_joist:
        plies = (*plies, materials.joist_ply(angle=joist_angle(materials)))
    return materials.capacity(cleat.floor_fastener, *plies, rows=rows_of(brace.floor_fasteners))


def joist_angle(materials: Materials) -> Radian:
    """Angle between the foot's pull and the joists: none where they run away from the wall [rad]."""
    joists = materials.job.floor.joists or Joists()
    return 0.0 if joists.run == "away" else ACROSS


def cleat_to_floor(materials: Materials, brace: Brace) -> tuple[Strength, Strength, FastenerCapacity | None]:
    """Cleat to floor in push (shear) and in pull (shear and roll-amplified uplift together).

    Args:
        materials: the job's materials.
        brace: the brace.

    Returns:
        Push, pull, and the single fastener where there is one.
    """
    kind = materials.job.floor.kind
    if kind == "ground":
        return (*_on_ground(materials, brace), None)
    count, cleat = brace.floor_fasteners, materials.job.kit.cleat
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    lever = lever_tension(shape.rise, cleat.length, count)
    drawn = pull_of_each(brace.angle, max(count, 1), roll_factor(shape, cleat.sides), lever=lever)
    across: Pound
    along: Pound
    if kind == "slab":
        slab = materials.job.floor.slab
        one = None
        shear = shear_of_each(max(count, 1), 1.0)
        source, what = f"{cite('USER')}, {slab.report or 'no report named'}", "anchor"
        across, along = (
            Known(value, f"allowable of one anchor {way}, as declared", cite("USER", slab.report or ""))
            for value, way in ((slab.shear_lb, "across"), (slab.tension_lb, "along"))
        )
        uses = [
            linear_interaction(shear=shear, tension=t, lateral=across, axial=along) for t in (lever, drawn)
        ]
    else:
        one = cleat_fastener(materials, brace)
        across, along = one.lateral, one.axial
        shear = shear_of_each(max(count, 1), _along_cleat(materials, brace))
        uses = [one.utilisation(shear, tension) for tension in (lever, drawn)]
        source, what = cite("NDS", "12.4"), cleat.floor_fastener
    known = "read" if one is None else one.known
    nothing = Known(0.0, f"nothing is allowed across or along one of {count} x {what}", source)
    counts = count > 0 and across > 0.0 and along > 0.0
    push, pull = (level_force(cast("float", use)) if counts else nothing for use in uses)
    where = "" if kind == "slab" else (", into a joist" if brace.into_joist else ", in the deck panel only")
    roll = (
        ""
        if cleat.sides > 1
        else f"; the cleat rolls: pull on each is {up(roll_factor(shape, 1), 1)} x its share"
    )
    return (
        Strength("cleat to floor", push, 1.0, "lb", source, f"{count} x {what}{where}, in shear", known),
        Strength(
            "cleat to floor",
            pull,
            1.0,
            "lb",
            source,
            f"{count} x {what}{where}, in withdrawal and shear{roll}",
            known,
        ),
        one,
    )


def _along_cleat(materials: Materials, brace: Brace) -> float:
    """How much of their sum the fasteners along a cleat carry in shear; deck or joist taken across the grain."""
    cleat, joists = materials.job.kit.cleat, materials.job.floor.joists or Joists()
    shape = section(cleat.size)
    E = materials.joist_values(joists).E
    thick = section(joists.size).thickness if brace.into_joist else materials.deck_ply().thickness
    return acting_together(
        materials.fastener(cleat.floor_fastener), brace.floor_fasteners,
        side=(materials.brace_values(cleat.size).E, shape.thickness, shape.width), main=(E, thick, 0.0),
    )  # fmt: skip


def _on_ground(materials: Materials, brace: Brace) -> tuple[Strength, Strength]:
    """A stake has no vertical holding in pull; only a dead weight counts then."""
    ground = materials.job.floor.ground
    holds: list[Pound] = []
    if ground.embedment > 0.0:
        bearing = lateral_bearing(ground.soil)
        holds.append(
            stake_capacity(ground.embedment, width=ground.stake_width, h=ground.pull_above, bearing=bearing)
        )
    weight: Pound = Known(0.0, "no dead weight is declared; a stake holds nothing upward", cite("STATICS"))
    if ground.deadman_lb > 0.0:
        axial = deadman_capacity(ground.deadman_lb, friction=ground.friction, angle=brace.angle)
        weight = level_part(axial, brace.angle)
        holds.append(friction_of_weight(ground.friction, ground.deadman_lb, sliding_factor()))
    none = Known(0.0, "neither a stake nor a dead weight is declared", cite("STATICS"))
    most = greater_hold(*holds) if len(holds) > 1 else holds[0] if holds else none
    push = Strength(
        "foot to ground", most, 1.0, "lb", cite("IBC", "1807.3.2.1"),
        "the stake's side bearing, or the dead weight's friction, the greater of the two",
    )  # fmt: skip
    pull = Strength(
        "foot to ground", weight, 1.0, "lb", cite("STATICS"),
        "a stake holds nothing upward; only a dead weight counts, N = mu W/(1.5 (cos + mu sin))",
    )  # fmt: skip
    return push, pull


def joist_bending(materials: Materials, brace: Brace) -> tuple[Strength, Strength] | None:
    """A sawn joist bent by the foot at mid-span, down in push and up in pull; None where it is not in one.

    Bent down, its compression edge is held by the deck. Bent up, its compression edge is the lower one, which nothing
    is known to hold between its supports: it rolls about the deck, and beam stability takes its part.
    I-joists and trusses are not checked: their maker's values are needed, and the output says so.

    Args:
        materials: the job's materials.
        brace: the brace.

    Returns:
        Push, pull.

    Source: NDS 3.3.1 and 3.3.3, with M = U l/4.
    """
    joists = materials.job.floor.joists or Joists()
    if materials.job.floor.kind != "deck" or not brace.into_joist or joists.kind != "sawn":
        return None
    values, shape = materials.joist_values(joists), section(joists.size)
    arm = moment_at_middle(brace.angle, joists.span)
    FbE = lifted_buckling_stress(values.Emin, joists.span, b=shape.thickness, d=shape.width)
    CL = beam_stability_factor(values.Fb, FbE)
    why = f"one {joists.size}, {joists.span / 12.0:.0f} ft span, the foot at mid-span"
    down, up = bending_capacity(shape, values.Fb), bending_capacity(shape, values.Fb, CL=CL)
    return (
        Strength("joist", down, arm, "lb in", cite("NDS", "3.3.1"), why, values.known),
        Strength(
            "joist",
            up,
            arm,
            "lb in",
            cite("NDS", "3.3.3"),
            f"{why}; lifted, its lower edge is free",
            values.known,
        ),
    )
