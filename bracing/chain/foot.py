"""One strength of a brace: what it may carry, and how much of it one pound against the wall uses."""

from __future__ import annotations

import math
from typing import cast

from attrs import frozen

from bracing.chain.links import LinkId
from bracing.chain.materials import ACROSS, Materials
from bracing.codes.joints import (
    FastenerCapacity,
    Ply,
    lever_of_many,
    lever_of_one,
    pull_of_each,
    roll_beside,
    shear_of_each,
)
from bracing.job.brace import Brace
from bracing.job.floor import Joists
from bracing.job.lumber import Section, section
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, Radian


@frozen
class Strength:
    """What one link of a brace may carry.

    Attributes:
        link: which link.
        capacity: allowable value in its own unit.
        per_pound: demand in that unit for each pound the brace gives the wall, level; a Sum unless 1.
        unit: lb or lb in.
        source: the clause.
        why: what sets it; None where nothing need be said.
        known: how it is known, one of `bracing.sources.KNOWN`.
    """

    link: LinkId
    capacity: float
    per_pound: float
    unit: str
    source: str
    why: Said | None = None
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
    why = in_shear(brace.cleat_fasteners, cleat.brace_fastener, one)
    stick, E = section(brace.size), materials.brace_values(cleat.size).E
    acting = materials.basis.acting
    together = acting.group(
        materials.fastener(cleat.brace_fastener), brace.cleat_fasteners,
        side=(materials.brace_values(brace.size).E, stick.thickness, stick.width), main=(E, shape.side, 0.0),
    )  # fmt: skip
    total = acting.all_of(one.lateral, brace.cleat_fasteners, together)
    return Strength(
        LinkId.BRACE_TO_CLEAT, total, axial, "lb", materials.basis.clauses.across, why, one.lateral_known
    ), one


def in_shear(count: int, name: str, one: FastenerCapacity) -> Said:
    """Say how many of a fastener are in shear, and what one may carry.

    Args:
        count: how many.
        name: the fastener.
        one: what one may carry.
    """
    each = Quantity(one.lateral, Kind.EACH)
    return Said(
        "each-in-shear", so_many=Said("so-many", count=count, what=name), each=each, mode=one.lateral_words
    )


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
    if kind == "slab":
        one, together = materials.anchor, 1.0
        report = materials.job.floor.slab.report or "no report named"
        source, what = f"{cite('USER')}, {report}", one.name
    else:
        one, together = cleat_fastener(materials, brace), _along_cleat(materials, brace)
        source, what = materials.basis.clauses.together, cleat.floor_fastener
    shear = shear_of_each(max(count, 1), together)
    uses = [one.utilisation(shear, tension) for tension in (lever, drawn)]
    nothing = Known(0.0, f"nothing is allowed across or along one of {count} x {what}", source)
    counts = count > 0 and one.lateral > 0.0 and one.axial > 0.0
    push, pull = (
        materials.basis.acting.level_force(cast("float", use)) if counts else nothing for use in uses
    )
    so_many = Said("so-many", count=count, what=what)
    where = Said("into-a-joist", so_many=so_many) if brace.into_joist else Said("deck-only", so_many=so_many)
    where = so_many if kind == "slab" else where
    drawn_out = Said("drawn-and-in-shear", where=where)
    if cleat.sides == 1:
        times = Quantity(roll_factor(shape, 1), Kind.TIMES)
        drawn_out = Said("drawn-in-shear-and-rolled", where=where, times=times)
    return (
        Strength(LinkId.CLEAT_TO_FLOOR, push, 1.0, "lb", source, Said("in-shear", where=where), one.known),
        Strength(LinkId.CLEAT_TO_FLOOR, pull, 1.0, "lb", source, drawn_out, one.known),
        None if kind == "slab" else one,
    )


def _along_cleat(materials: Materials, brace: Brace) -> float:
    """How much of their sum the fasteners along a cleat carry in shear; deck or joist taken across the grain."""
    cleat, joists = materials.job.kit.cleat, materials.job.floor.joists or Joists()
    shape = section(cleat.size)
    E = materials.joist_values(joists).E
    thick = section(joists.size).thickness if brace.into_joist else materials.deck_ply().thickness
    return materials.basis.acting.group(
        materials.fastener(cleat.floor_fastener), brace.floor_fasteners,
        side=(materials.brace_values(cleat.size).E, shape.thickness, shape.width), main=(E, thick, 0.0),
    )  # fmt: skip


def _on_ground(materials: Materials, brace: Brace) -> tuple[Strength, Strength]:
    """A stake has no vertical holding in pull; only a dead weight counts then."""
    most, weight = materials.basis.ground(materials.job.floor.ground, brace.angle)
    push = Strength(
        LinkId.FOOT_TO_GROUND, most, 1.0, "lb", materials.basis.clauses.stake,
        Said("stake-or-friction"),
    )  # fmt: skip
    pull = Strength(
        LinkId.FOOT_TO_GROUND, weight, 1.0, "lb", cite("STATICS"),
        Said("dead-weight-alone"),
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
    values = materials.joist_values(joists)
    arm = moment_at_middle(brace.angle, joists.span)
    why = Said("one-joist", size=joists.size, span=Quantity(joists.span, Kind.WHOLE_FEET))
    joist, clauses = materials.basis.member(section(joists.size), values), materials.basis.clauses
    return (
        Strength(LinkId.JOIST, joist.bending(), arm, "lb in", clauses.bending, why, values.known),
        Strength(
            LinkId.JOIST,
            joist.bending(lifted=joists.span),
            arm,
            "lb in",
            clauses.lifted,
            Said("lifted-joist", why=why),
            values.known,
        ),
    )
