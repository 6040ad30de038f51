"""One strength of a brace: what it may carry, and how much of it one pound against the wall uses."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import cast

from attrs import evolve, frozen

from bracing.chain.cuts import cleat_rows
from bracing.chain.links import LinkId
from bracing.chain.materials import ACROSS, Materials
from bracing.chain.room import (
    CLEAT_END,
    JOISTS_OF_A_FOOT,
    Counted,
    blocks_shared,
    counted,
    floor_distances,
    half_on_panel,
    in_cross_cleat,
    in_each_joist,
    known_joists,
    under_panel,
)
from bracing.choosing import first_greatest, over
from bracing.codes.ends import (
    axial_slip,
    block_ends_hold,
    kept_near_cut,
    lift_on_block,
    lift_on_cleat,
    lift_on_cross_cleat,
    moment_of_cross_cleat,
    panel_nails_hold,
    panel_to_joists,
    pull_of_couple,
    pull_of_worst,
)
from bracing.codes.joints import (
    FastenerCapacity,
    Ply,
    lever_of_one,
    load_of_each,
    roll_beside,
    shear_of_each,
)
from bracing.job.brace import IN_BLOCK, IN_JOIST, ON_CROSS, ON_PANEL, Brace, CleatShape, JointId, cleat_shape
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.panel.on_springs import stick_on_springs
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known, formula
from bracing.units import Inch, Pound, PoundPerInch, Radian


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


BLOCK_LONG: Inch = 12.0  # of a block along its grain: more than any fastener into its end reaches
POINT: Inch = 0.05  # what stands in for no length
MANY_ROWS = 2  # more than this many fasteners stand in more than one row


def rows_of(count: int) -> int:
    """Rows a group stands in: more than two fasteners are taken as two rows, the lower wet-service case.

    Args:
        count: fasteners in the joint.
    """
    return 1 if count <= MANY_ROWS else 2


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


@frozen
class LimpCleat:
    """One cleat on its fasteners: what a pound level of its brace asks of the worst of them, and of the cleat.

    Attributes:
        pull: on the worst fastener, the brace drawn toward the wall [lb/lb].
        lever: on the worst, by the couple alone [lb/lb].
        worst: of the lift alone, pull of the worst over an even share, f [-].
        bent: moment in the cleat, the brace drawn, and pushed [in].
    """

    pull: float
    lever: float
    worst: float
    bent: tuple[Inch, Inch]


RIGID = 1e7  # of an anchor, which is taken not to give: a stiff fastener draws more than its share [lb/in]


def limp_cleat(materials: Materials, brace: Brace, count: int, *, stiffness: PoundPerInch) -> LimpCleat:
    """Solve one cleat as a beam on its fasteners, under its part of lift and shear.

    The lift is spread over the length of its own fasteners to the brace; the couple of the shear, which enters above
    the floor, stands in the middle of it. The fasteners stand evenly, as far out as the end distance lets them; on
    cross cleats half of them in each. Of an odd count the cleat, or the cross cleat, with fewer is told.

    Args:
        materials: the job's materials.
        brace: the brace.
        count: fasteners to the floor that count.
        stiffness: of one along its axis [lb/in].

    Source: STATICS, a beam with free ends on springs.
    """
    job, cleat = materials.job, materials.job.kit.cleat
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    cleats = cleat.sides if count >= cleat.sides else 1
    each, roll = max(count // cleats, 1), roll_factor(shape, cleats)
    lift, levered = lift_on_cleat(brace.angle, cleats), shape.rise / cleats
    own = 0.0 if job.floor.kind == "slab" else floor_distances(job).end
    far = max(cleat.length - 2.0 * max(CLEAT_END, own), cleat.length / 2.0)
    crossed = job.floor.kind == "deck" and brace.foot_on == ON_CROSS
    if crossed:
        far = _between_cross_cleats(materials)
    reach = cleat_rows(job, brace).stretch(counted(job, brace, JointId.CLEAT).count)
    if each == 1:
        lever = lever_of_one(levered, far)
        t = pull_of_worst(lift, 1, roll=roll, f=1.0, couple=lever)
        return LimpCleat(t, lever, 1.0, (lift * roll * reach / 8.0 + levered, levered))
    places = 2 if crossed else each
    per = each // places
    near, stretch = (cleat.length - far) / 2.0, min(max(reach, POINT), cleat.length) / 2.0
    thick, wide = section(cleat.size).thickness, section(cleat.size).width
    deep, across = (wide, thick) if cleat.lie == "edge" else (thick, wide)
    stick = stick_on_springs(
        tuple(near + far * k / (places - 1) for k in range(places)), length=cleat.length,
        EI=materials.brace_values(cleat.size).E * across * deep**3 / 12.0, K=float(stiffness) * per,
        stretch=(cleat.length / 2.0 - stretch, cleat.length / 2.0 + stretch),
    )  # fmt: skip
    by_lift, by_couple = stick.pulls
    at = first_greatest(stick.pull(lift * roll, levered).tolist())
    end = first_greatest(by_couple)
    f, c, most = (
        Known(value, words, cite("STATICS"), by=(stiffness,))
        for value, words in (
            (
                places * by_lift[at],
                f"pull of that one of {each} over an even share of the lift, a limp cleat on them",
            ),
            (by_couple[at] / per, "pull on it for each pound inch of couple"),
            (by_couple[end] / per, "pull on the end fastener for each pound inch of couple, a limp cleat"),
        )
    )
    return LimpCleat(
        pull=pull_of_worst(lift, per * places, roll=roll, f=f, couple=pull_of_couple(shape.rise, cleats, c)),
        lever=pull_of_couple(shape.rise, cleats, most), worst=places * max(by_lift),
        bent=(stick.moment(lift * roll, levered), stick.moment(0.0, levered)),
    )  # fmt: skip


def _between_cross_cleats(materials: Materials) -> Inch:
    """From the middle of one cross cleat of a foot to the middle of the other."""
    length = materials.job.kit.cleat.length
    return max(length - 2.0 * in_cross_cleat(materials.job)[1], length / 4.0)


def cleat_bending(materials: Materials, limp: LimpCleat) -> tuple[Strength, Strength]:
    """Give the cleat in bending, in push and in pull.

    Args:
        materials: the job's materials.
        limp: the cleat on its fasteners.

    Source: NDS 3.3.1.
    """
    cleat = materials.job.kit.cleat
    values, flat = materials.brace_values(cleat.size), cleat.lie == "flat"
    member = materials.basis.member(section(cleat.size), values)
    holds = member.bending(flat=True) if flat else member.bending(lifted=cleat.length)
    words = "moment in the cleat for each pound level, a beam on its fasteners"
    drawn, pushed = (
        Strength(
            LinkId.CLEAT_BENDING, holds, Known(moment, words, cite("STATICS")), "lb in",
            materials.basis.clauses.bending, Said("a-limp-cleat", size=cleat.size, lie=cleat.lie), values.known,
        )
        for moment in limp.bent
    )  # fmt: skip
    return pushed, drawn


def wherever(job: Job, brace: Brace) -> Brace:
    """Give the brace wherever it stands: its mark, and over joists nobody knows its stud, change none of its strengths.

    Args:
        job: gives what is known of the joists.
        brace: the brace.
    """
    return _shape(brace, any_stud=known_joists(job) is None)


@lru_cache(maxsize=2048)
def _shape(brace: Brace, *, any_stud: bool) -> Brace:
    if any_stud:
        return evolve(brace, mark="any", stud_at=0.0, lap_side="left")
    return evolve(brace, mark="any")


@lru_cache(maxsize=2048)
def _at_foot(shape: Brace) -> Brace:
    """The brace as its foot knows it, whatever its head and its ties."""
    return evolve(shape, head_fasteners=0, ties=0, stiffener="none", stud_doubled=False)


def brace_to_cleat(
    materials: Materials, brace: Brace, counts: Counted | None = None
) -> tuple[Strength, FastenerCapacity]:
    """Brace to cleat: all shear, along the brace.

    Args:
        materials: the job's materials.
        brace: the brace.
        counts: how many count; those that have room unless given.
    """
    counts = counts or counted(materials.job, brace, JointId.CLEAT)
    return _brace_to_cleat(materials, brace.size, brace.angle, counts)


@lru_cache(maxsize=2048)
def _brace_to_cleat(
    materials: Materials, size: str, angle: Radian, counts: Counted
) -> tuple[Strength, FastenerCapacity]:
    cleat = materials.job.kit.cleat
    shape = cleat_shape(section(cleat.size), section(size), cleat.lie)
    one = materials.capacity(
        cleat.brace_fastener,
        materials.brace_ply(size),
        materials.brace_ply(cleat.size, thickness=shape.side, angle=angle),
        rows=rows_of(counts.count),
    )
    axial = along_brace(angle)
    why = in_shear(counts, cleat.brace_fastener, one)
    stick, E = section(size), materials.brace_values(cleat.size).E
    acting = materials.basis.acting
    together = acting.group(
        materials.fastener(cleat.brace_fastener), counts.count,
        side=(materials.brace_values(size).E, stick.thickness, stick.width), main=(E, shape.side, 0.0),
    )  # fmt: skip
    each = one.lateral if counts.part == 1.0 else kept_near_cut(one.lateral, counts.part)
    total = acting.all_of(each, counts.count, together)
    return Strength(
        LinkId.BRACE_TO_CLEAT, total, axial, "lb", materials.basis.clauses.across, why, one.lateral_known
    ), one


def so_many(counts: Counted, what: str) -> Said:
    """Say how many of a fastener count, and of how many where not all have room.

    Args:
        counts: how many count.
        what: the fastener.
    """
    if counts.count == counts.there:
        return Said("so-many", count=counts.count, what=what)
    return Said("so-many-of", count=counts.count, there=counts.there, what=what)


def in_shear(counts: Counted, name: str, one: FastenerCapacity) -> Said:
    """Say how many of a fastener are in shear, and what one may carry.

    Args:
        counts: how many count.
        name: the fastener.
        one: what one may carry.
    """
    each = Quantity(one.lateral, Kind.EACH)
    return Said("each-in-shear", so_many=so_many(counts, name), each=each, mode=one.lateral_words)


def cleat_fastener(materials: Materials, brace: Brace, count: int) -> FastenerCapacity:
    """One fastener from cleat to floor: into a joist or a cross cleat where declared, else into the deck panel alone.

    Args:
        materials: the job's materials.
        brace: the brace.
        count: how many count.
    """
    cleat = materials.job.kit.cleat
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    side = materials.brace_ply(cleat.size, thickness=shape.thickness)
    crossed = materials.job.floor.cross_cleat
    if brace.foot_on == ON_CROSS:  # nothing below it counts: its own screws hold it to the joists
        under = materials.brace_ply(crossed.size, angle=ACROSS)
        return materials.capacity(cleat.floor_fastener, side, under, rows=rows_of(count))
    plies: tuple[Ply, ...] = (side, materials.deck_ply())
    if brace.in_wood:
        angle = joist_angle(materials, brace)
        plies = (*plies, materials.joist_ply(angle=angle, block=brace.foot_on == IN_BLOCK))
    return materials.capacity(cleat.floor_fastener, *plies, rows=rows_of(count))


def joist_angle(materials: Materials, brace: Brace) -> Radian:
    """Angle between the foot's pull and the grain of what it is in: joists that run away, or blocks across them [rad].

    Args:
        materials: the job's materials.
        brace: the brace.
    """
    away = (materials.job.floor.joists or Joists()).run == "away"
    return 0.0 if away is not (brace.foot_on == IN_BLOCK) else ACROSS


@frozen
class Foot:
    """Cleats and floor of one foot.

    Attributes:
        push: its links in push.
        pull: its links in pull.
        one: one fastener to the floor; None on a slab or the ground.
        worst: pull of the worst fastener over an even share of the lift, f; None where no cleat is worked out [-].
        drawn: pull on the worst fastener for each pound level, the brace drawn; 0 where no cleat is worked out [lb/lb].
    """

    push: tuple[Strength, ...]
    pull: tuple[Strength, ...]
    one: FastenerCapacity | None = None
    worst: float | None = None
    drawn: float = 0.0


def cleat_to_floor(materials: Materials, brace: Brace, counts: Counted | None = None) -> Foot:
    """Cleat to floor in push (shear) and in pull (shear and the lift on the worst fastener together), and the cleat.

    Into a joist it holds what the deck panel alone would hold at the least, for the panel is there too: the better of
    the two counts, each way. They are not added up.

    Args:
        materials: the job's materials.
        brace: the brace.
        counts: how many count; those that have room unless given.
    """
    return _cleat_to_floor(materials, _at_foot(wherever(materials.job, brace)), counts)


@lru_cache(maxsize=2048)
def _cleat_to_floor(materials: Materials, brace: Brace, counts: Counted | None) -> Foot:
    if half_on_panel(materials.job, brace):
        brace = evolve(brace, foot_on=ON_PANEL)
    found = _foot(materials, brace, counts)
    if materials.job.floor.kind != "deck" or not brace.in_wood or brace.foot_on == ON_CROSS:
        return found
    deck = _foot(materials, evolve(brace, foot_on=ON_PANEL), counts)
    pulled = _better(found.pull, deck.pull)
    holds = found if pulled is found.pull else deck
    return Foot(_better(found.push, deck.push), pulled, holds.one, holds.worst, holds.drawn)


def _better(joist: tuple[Strength, ...], deck: tuple[Strength, ...]) -> tuple[Strength, ...]:
    """Of the links of a foot those of the joist, unless the deck alone holds more."""
    joist_holds, deck_holds = (min(s.level_force for s in links) for links in (joist, deck))
    return deck if over(deck_holds, joist_holds) else joist


def _foot(materials: Materials, brace: Brace, counts: Counted | None) -> Foot:
    kind = materials.job.floor.kind
    if kind == "ground":
        return _on_ground(materials, brace)
    cleat, counts = materials.job.kit.cleat, counts or counted(materials.job, brace, JointId.FLOOR)
    count = counts.count
    K: PoundPerInch = Known(RIGID, "K of an anchor, which is taken not to give", cite("JUDGEMENT"))
    if kind == "slab":
        one, together = materials.anchor, 1.0
        report = materials.job.floor.slab.report or "no report named"
        source, what = f"{cite('USER')}, {report}", one.name
    else:
        one, together = cleat_fastener(materials, brace, count), _along_cleat(materials, brace, count)
        source, what = materials.basis.clauses.together, cleat.floor_fastener
        K = axial_slip(materials.fastener(what).diameter, max(one.holding, POINT))
    limp = limp_cleat(materials, brace, count, stiffness=K)
    shear = shear_of_each(max(count, 1), together)
    uses = [one.utilisation(shear, tension) for tension in (limp.lever, limp.pull)]
    nothing = Known(0.0, f"nothing is allowed across or along one of {count} x {what}", source)
    counting = count > 0 and one.lateral > 0.0 and one.axial > 0.0
    push, pull = (
        materials.basis.acting.level_force(cast("float", use)) if counting else nothing for use in uses
    )
    how = _floor_words(
        materials, brace, so_many(counts, what), limp=limp, nothing=() if counting else one.notes
    )
    bent = cleat_bending(materials, limp)
    links = [
        Strength(LinkId.CLEAT_TO_FLOOR, level, 1.0, "lb", source, why, one.known)
        for level, why in zip((push, pull), how, strict=True)
    ]
    pressed, lifted = _under(materials, brace, limp) if kind == "deck" else ((), ())
    return Foot(
        (bent[0], links[0], *pressed),
        (bent[1], links[1], *lifted),
        None if kind == "slab" else one,
        limp.worst if count else None,
        limp.pull if count else 0.0,
    )


def _under(
    materials: Materials, brace: Brace, limp: LimpCleat
) -> tuple[tuple[Strength, ...], tuple[Strength, ...]]:
    """What holds down what the cleats of a foot on a deck are fastened to, in push and in pull."""
    if brace.foot_on == ON_CROSS:
        return cross_cleats(materials, brace)
    if brace.foot_on == IN_BLOCK:
        return (), (block_ends(materials, brace, limp),)
    return (), () if brace.in_wood else (panel_to_floor(materials, brace),)


def cross_cleats(materials: Materials, brace: Brace) -> tuple[tuple[Strength, ...], tuple[Strength, ...]]:
    """Give the cross cleats under the ends of a foot, in push and in pull: screws into joists, and bending.

    Args:
        materials: the job's materials.
        brace: the brace.

    Source: NDS 12.4, 3.3.1; STATICS.
    """
    job = materials.job
    crossed, joists = job.floor.cross_cleat, job.floor.joists or Joists()
    counts, clauses, acting = in_each_joist(job), materials.basis.clauses, materials.basis.acting
    shape, values = section(crossed.size), materials.brace_values(crossed.size)
    one = materials.capacity(
        crossed.fastener, materials.brace_ply(crossed.size, angle=ACROSS), materials.deck_ply(),
        materials.joist_ply(angle=0.0), rows=rows_of(counts.count),
    )  # fmt: skip
    together = acting.group(
        materials.fastener(crossed.fastener), counts.count, side=(values.E, shape.thickness, shape.width),
        main=(materials.joist_values(joists).E, section(joists.size).thickness, 0.0),
    )  # fmt: skip
    foot = cleat_shape(section(job.kit.cleat.size), section(brace.size), job.kit.cleat.lie)
    h, arm = foot.rise + shape.thickness, _between_cross_cleats(materials)
    drawn, pushed = (lift_on_cross_cleat(angle, h, arm) for angle in (brace.angle, 0.0))
    a = min(under_panel(job, brace)[0], joists.spacing / 2.0)
    many = so_many(counts, crossed.fastener)
    counting = counts.count > 0 and one.lateral > 0.0 and one.axial > 0.0
    nothing = Known(
        0.0,
        f"nothing is allowed across or along one of {counts.count} x {crossed.fastener}",
        clauses.together,
    )
    member, found = materials.basis.member(shape, values), []
    for lift in (pushed, drawn):
        use = one.utilisation(
            shear_of_each(JOISTS_OF_A_FOOT * max(counts.count, 1), together),
            load_of_each(panel_to_joists(lift, a, joists.spacing), max(counts.count, 1)),
        )
        level = acting.level_force(cast("float", use)) if counting else nothing
        found.append((
            Strength(LinkId.CROSS_CLEAT, level, 1.0, "lb", clauses.together,
                     Said("cross-cleat-screwed", size=crossed.size, so_many=many), one.known),
            Strength(LinkId.CROSS_CLEAT_BENDING, member.bending(flat=True), moment_of_cross_cleat(lift, joists.spacing),
                     "lb in", clauses.bending, Said("cross-cleat-bent", size=crossed.size), values.known),
        ))  # fmt: skip
    return found[0], found[1]


def panel_to_floor(materials: Materials, brace: Brace) -> Strength:
    """Give what the deck panel under a foot is held down by: its own nails into the nearer joist.

    Args:
        materials: the job's materials.
        brace: the brace.

    Source: NDS 12.2; JUDGEMENT half a bay beyond each end.
    """
    job, nails = materials.job, materials.job.floor.panel_nails
    joists = job.floor.joists or Joists()
    a, under = under_panel(job, brace)
    one = materials.capacity(nails.fastener, materials.deck_ply(), materials.joist_ply(angle=0.0))
    lifted = panel_to_joists(upward(brace.angle), min(a, joists.spacing / 2.0), joists.spacing)
    holds = panel_nails_hold(one.axial, under, joists.spacing, spacing=nails.spacing)
    apart = Quantity(nails.spacing, Kind.INCHES)
    why = Said("panel-nailed", what=nails.fastener, apart=apart, each=Quantity(one.axial, Kind.EACH))
    return Strength(
        LinkId.PANEL_TO_JOISTS, holds, lifted, "lb", materials.basis.clauses.withdrawal, why, one.axial_known
    )


def block_ends(materials: Materials, brace: Brace, limp: LimpCleat) -> Strength:
    """Give what blocks are held down by: fasteners through the joists into their ends.

    Those under one cleat take its part of the lift, those that run under both all of it.

    Args:
        materials: the job's materials.
        brace: the brace.
        limp: the cleat on its fasteners.

    Source: NDS 12.5.2.2; STATICS.
    """
    job, blocks = materials.job, materials.job.floor.blocks
    joist = section((job.floor.joists or Joists()).size).thickness
    one = materials.capacity(
        blocks.fastener, materials.joist_ply(thickness=joist),
        materials.joist_ply(thickness=BLOCK_LONG, end_grain=True),
    )  # fmt: skip
    f = Known(limp.worst, "pull of the worst fastener over an even share of the lift", cite("STATICS"))
    each = max(counted(job, brace, JointId.FLOOR).count // job.kit.cleat.sides, 1)  # no more blocks take any
    sharing = 1 if blocks_shared(job, brace) else job.kit.cleat.sides
    lifted = lift_on_block(lift_on_cleat(brace.angle, sharing), f, min(blocks.under_each_cleat, each))
    why = Said("blocks-nailed", count=blocks.under_each_cleat, so_many=Said("so-many", count=blocks.each_end,
               what=blocks.fastener), each=Quantity(one.lateral, Kind.EACH))  # fmt: skip
    return Strength(
        LinkId.BLOCK_ENDS, block_ends_hold(one.lateral, blocks.each_end), lifted, "lb",
        materials.basis.clauses.end_grain, why, one.lateral_known,
    )  # fmt: skip


def _floor_words(
    materials: Materials, brace: Brace, many: Said, *, limp: LimpCleat, nothing: tuple[Said, ...]
) -> tuple[Said, Said]:
    """What sets a foot in push, and in pull; what keeps its fasteners from counting, where they are worth nothing."""
    cleat = materials.job.kit.cleat
    where = {
        IN_JOIST: Said("into-a-joist", so_many=many),
        IN_BLOCK: Said("into-blocks", so_many=many),
        ON_CROSS: Said("into-cross-cleats", so_many=many),
        ON_PANEL: Said("deck-only", so_many=many),
    }[brace.foot_on]
    where = many if materials.job.floor.kind == "slab" else where
    if nothing:
        return (Said("worth-nothing", where=where, since=nothing),) * 2
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    times = Quantity(limp.worst * roll_factor(shape, cleat.sides), Kind.TIMES)
    drawn = Said("drawn-evenly-and-in-shear", where=where)
    if round(times.value, 1) > 1.0:
        drawn = Said("drawn-and-in-shear", where=where, times=times)
    if cleat.sides == 1:
        drawn = Said("drawn-in-shear-and-rolled", where=where, times=times)
    return Said("in-shear", where=where), drawn


def _along_cleat(materials: Materials, brace: Brace, count: int) -> float:
    """How much of their sum the fasteners along a cleat carry in shear; deck or joist taken across the grain."""
    cleat, joists = materials.job.kit.cleat, materials.job.floor.joists or Joists()
    shape = section(cleat.size)
    E = materials.joist_values(joists).E
    thick = section(joists.size).thickness if brace.in_wood else materials.deck_ply().thickness
    if brace.foot_on == ON_CROSS:
        crossed = materials.job.floor.cross_cleat.size
        E, thick = materials.brace_values(crossed).E, section(crossed).thickness
    return materials.basis.acting.group(
        materials.fastener(cleat.floor_fastener), count,
        side=(materials.brace_values(cleat.size).E, shape.thickness, shape.width), main=(E, thick, 0.0),
    )  # fmt: skip


def _on_ground(materials: Materials, brace: Brace) -> Foot:
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
    return Foot((push,), (pull,))


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
    if materials.job.floor.kind != "deck" or not brace.in_wood or joists.kind != "sawn":
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
