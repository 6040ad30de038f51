"""Strengths of one brace, link by link, in push and in pull; and the spring it is to the wall."""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import NamedTuple, cast

from attrs import evolve, field, frozen

from bracing.chain.foot import (
    Foot,
    Strength,
    along_brace,
    brace_to_cleat,
    cleat_to_floor,
    in_shear,
    joist_bending,
    rows_of,
    upward,
    wherever,
)
from bracing.chain.links import LinkId
from bracing.chain.materials import ACROSS, Materials
from bracing.chain.room import Counted, counted
from bracing.chain.ties import tie_at_brace
from bracing.codes.ends import head_couple
from bracing.codes.joints import FastenerCapacity, lift_of_each, load_of_each
from bracing.codes.sticks import Stick, Stiffener, level_give, slip_of_joint, slips_in_line
from bracing.job.brace import Brace, JointId
from bracing.job.fasteners import kind_of
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.panel.weight import MOISTURE_PERCENT, weight_per_length, wood_density
from bracing.said import Said
from bracing.sources import cite, least
from bracing.sums import Known
from bracing.units import Inch, Pound, Radian

SOFT_SLIP = 3.0  # the published slip modulus is enveloped with a third of it; judgement
SOFT = Known(SOFT_SLIP, "slip at its most over the published", cite("JUDGEMENT"), "judgement")
STIFFENER_SPACING: Inch = 8.0
ANCHOR_DIAMETER: Inch = 0.5  # an undeclared anchor or stake is given the slip of this bolt
LARGE_HOLE: Inch = 0.25  # fasteners from this diameter are drilled for and leave a net section


StickStrength = tuple[Strength, Strength, tuple[float, float]]
HeadJoint = tuple[tuple[Strength, ...], tuple[Strength, ...], FastenerCapacity]


@frozen
class BraceStrength:
    """All that one brace may carry.

    Attributes:
        brace: the brace.
        push: its links with the wind pushing the wall toward it.
        pull: its links with the wind pulling the wall away.
        give: 1/k with the published slip modulus and with a third of it [in/lb].
        head: one head fastener.
        cleat: one brace-to-cleat fastener.
        floor: one cleat-to-floor fastener; None on a slab or the ground.
        worst: pull of the worst floor fastener over an even share; None where no cleat is worked out [-].
        slenderness: le/d of the strong and the weak axis.
    """

    brace: Brace
    push: tuple[Strength, ...]
    pull: tuple[Strength, ...]
    give: tuple[float, float]
    head: FastenerCapacity = field(repr=False)
    cleat: FastenerCapacity = field(repr=False)
    floor: FastenerCapacity | None = field(repr=False)
    worst: float | None
    slenderness: tuple[float, float]

    @cached_property
    def counts_in_push(self) -> bool:
        """Whether any thrust can pass: none of its links in push is worth nothing."""
        return min(s.capacity for s in self.push) > 0.0

    @cached_property
    def counts_in_pull(self) -> bool:
        """Whether any pull can pass: none of its links in pull is worth nothing."""
        return min(s.capacity for s in self.pull) > 0.0

    @property
    def lift_per_pound(self) -> float:
        """Upward force on the stud per pound against the wall in push, tan(angle)."""
        return upward(self.brace.angle)


@lru_cache(maxsize=2048)
def brace_strength(materials: Materials, brace: Brace) -> BraceStrength:
    """Give every strength of one brace.

    Args:
        materials: the job's materials.
        brace: the brace.
    """
    return evolve(_of_shape(materials, wherever(materials.job, brace)), brace=brace)


@lru_cache(maxsize=2048)
def _of_shape(materials: Materials, brace: Brace) -> BraceStrength:
    ends = _ends(materials, evolve(brace, ties=0, stiffener="none", stud_doubled=False))
    head_push, head_pull, head = _head(materials, evolve(brace, ties=0, stiffener="none"))
    cleat, cleat_one = ends.cleat
    stick_push, stick_pull, slenderness = member(materials, brace)
    return BraceStrength(
        brace=brace,
        push=(*head_push, stick_push, *tie_at_brace(materials, brace), cleat, *ends.down, *ends.foot.push),
        pull=(*head_pull, stick_pull, cleat, *ends.up, *ends.foot.pull),
        give=ends.give,
        head=head,
        cleat=cleat_one,
        floor=ends.foot.one,
        worst=ends.foot.worst,
        slenderness=slenderness,
    )


class _Ends(NamedTuple):
    """All of a brace that is the same whatever its ties, its stiffener and its stud but its head."""

    cleat: tuple[Strength, FastenerCapacity]
    foot: Foot
    down: tuple[Strength, ...]
    up: tuple[Strength, ...]
    give: tuple[float, float]


@lru_cache(maxsize=2048)
def _ends(materials: Materials, brace: Brace) -> _Ends:
    joist = joist_bending(materials, brace)
    down, up = ((), ()) if joist is None else ((joist[0],), (joist[1],))
    return _Ends(
        brace_to_cleat(materials, brace), cleat_to_floor(materials, brace),
        down, up, spring_give(materials, brace),
    )  # fmt: skip


def head_arm(job: Job, brace: Brace) -> Inch:
    """Give the couple a brace brings into its stud for each pound level [lb in/lb].

    Where its head is cut plumb it bears on the stud's inner edge; lapped on the stud's side it brings none.

    Args:
        job: gives the head joint and the studs.
        brace: the brace.
    """
    if job.kit.head.joint != "plumb":
        return 0.0
    return head_couple(1.0, brace.angle, section(job.wall.studs.size).width)


@lru_cache(maxsize=2048)
def _head(materials: Materials, brace: Brace) -> HeadJoint:
    return head_joint(materials, brace)


def head_joint(materials: Materials, brace: Brace, counts: Counted | None = None) -> HeadJoint:
    """Head joint in push and pull.

    Lapped on the stud's side: all shear. Plumb cut against the stud's edge: push by bearing, the lift held by the
    fasteners; pull only by a side cleat, or by toe-nails.

    Args:
        materials: the job's materials.
        brace: the brace.
        counts: how many count; those that have room unless given.
    """
    counts = counts or counted(materials.job, brace, JointId.HEAD)
    if materials.job.kit.head.joint == "plumb":
        return _plumb_head(materials, brace.size, brace.angle, counts)
    thick = section(materials.job.wall.studs.size).thickness * (2 if brace.stud_doubled else 1)
    return _lapped_head(materials, brace.size, brace.angle, thick, counts)


@lru_cache(maxsize=2048)
def _lapped_head(materials: Materials, size: str, angle: Radian, thick: Inch, counts: Counted) -> HeadJoint:
    head = materials.job.kit.head
    one = materials.capacity(
        head.fastener,
        materials.brace_ply(size),
        materials.stud_ply(thickness=thick, angle=ACROSS - angle),
        rows=rows_of(counts.count),
    )
    acting, clauses = materials.basis.acting, materials.basis.clauses
    why = in_shear(counts, head.fastener, one)
    shape, E = section(size), materials.brace_values(size).E
    together = acting.group(
        materials.fastener(head.fastener), counts.count,
        side=(E, shape.thickness, shape.width), main=(materials.stud_values().E, thick, 0.0),
    )  # fmt: skip
    both = Strength(
        LinkId.HEAD_JOINT, acting.all_of(one.lateral, counts.count, together), along_brace(angle), "lb",
        clauses.across, why, one.lateral_known,
    )  # fmt: skip
    return (both,), (both,), one


@lru_cache(maxsize=2048)
def _plumb_head(materials: Materials, size: str, angle: Radian, counts: Counted) -> HeadJoint:
    head, stud = materials.job.kit.head, materials.stud_values()
    acting, clauses = materials.basis.acting, materials.basis.clauses
    shape = section(size)
    count = counts.count
    so_many = Said("so-many", count=count, what=head.fastener)
    end = materials.basis.member(shape, materials.brace_values(size))
    thick = min(shape.thickness, section(materials.job.wall.studs.size).thickness)
    bearing = Strength(
        LinkId.HEAD_BEARING,
        end.bearing(stud, b=thick, d=shape.width),
        1.0,
        "lb",
        clauses.bearing,
        Said("end-on-the-edge"),
        least(materials.brace_values(size).known, stud.known),
    )
    rise = upward(angle)
    stick_E, stud_E = materials.brace_values(size).E, stud.E
    together = acting.group(
        materials.fastener(head.fastener), count, side=(stick_E, shape.thickness, shape.width),
        main=(stud_E, section(materials.job.wall.studs.size).thickness, 0.0),
    )  # fmt: skip
    if head.side_cleat:
        one = materials.capacity(
            head.fastener,
            materials.brace_ply(size),
            materials.stud_ply(angle=ACROSS - angle),
            rows=rows_of(count),
        )
        pull = Strength(LinkId.HEAD_JOINT, acting.all_of(one.lateral, count, together), along_brace(angle), "lb",
                        clauses.across, Said("side-cleat-in-shear", so_many=so_many),
                        one.lateral_known)  # fmt: skip
    else:
        nail = kind_of(materials.fastener(head.fastener).kind).driven
        one = materials.capacity(
            head.fastener, materials.brace_ply(size), materials.stud_ply(), toe_nailed=nail
        )
        drawn: Pound = Known(0.0, "nothing is allowed across or along one toe-nail", clauses.toe_nailed)
        if nail and count and one.lateral > 0.0 and one.axial > 0.0:
            use = one.utilisation(lift_of_each(angle, count), load_of_each(1.0, count))
            drawn = acting.level_force(cast("float", use))
        pull = Strength(LinkId.HEAD_JOINT, drawn, 1.0, "lb",
                        clauses.toe_nailed, Said("toe-nailed-out", so_many=so_many),
                        one.known)  # fmt: skip
    lift = Strength(LinkId.HEAD_JOINT, acting.all_of(one.lateral, count, together), rise, "lb", clauses.across,
                    Said("plumb-head-lift", so_many=so_many), one.lateral_known)  # fmt: skip
    return (bearing, lift), (pull,), one


def stick_of(materials: Materials, brace: Brace) -> Stick:
    """The brace as a member, its stiffener's weight included.

    Args:
        materials: the job's materials.
        brace: the brace.
    """
    density = wood_density(materials.brace_values(brace.size).G, MOISTURE_PERCENT[materials.moisture])
    weight = weight_per_length(section(brace.size).area, density) * (2.0 if brace.stiffener == "T" else 1.0)
    return Stick(
        section=section(brace.size),
        length=brace.length,
        angle=brace.angle,
        weight_per_inch=weight,
        ties=brace.ties,
    )


def member(materials: Materials, brace: Brace) -> StickStrength:
    """The stick itself in push and pull, and its slenderness.

    Args:
        materials: the job's materials.
        brace: the brace.

    Source: NDS 3.7.1, 3.9.1 and 15.4.1.
    """
    stick, holes = stick_of(materials, brace), _holes(materials, brace)
    return _member(materials, brace.size, stick, holes, stiffened=brace.stiffener == "T")


@lru_cache(maxsize=2048)
def _member(
    materials: Materials, size: str, stick: Stick, holes: tuple[Inch, ...], *, stiffened: bool
) -> StickStrength:
    values = materials.brace_values(size)
    lumber, stiffener = materials.basis.member(stick.section, values), None
    if stiffened:
        nail = materials.fastener(materials.job.kit.head.fastener)
        K = materials.basis.acting.slip(nail.diameter) / SOFT_SLIP
        stiffener = Stiffener(section(size), K, STIFFENER_SPACING)
    push = lumber.push(stick, stiffener=stiffener)
    pull = lumber.pull(stick, holes=holes)
    axial = along_brace(stick.angle)
    return (
        Strength(
            LinkId.BRACE_PUSHED,
            push.capacity_lb,
            axial,
            "lb",
            push.source,
            push.governing,
            least(push.known, values.known),
        ),
        Strength(
            LinkId.BRACE_PULLED, pull.capacity_lb, axial, "lb", pull.source, pull.governing, values.known
        ),
        (push.slenderness_strong, push.slenderness_weak),
    )


def _holes(materials: Materials, brace: Brace) -> tuple[Inch, ...]:
    """Holes across one section of the brace, of the larger end joint's fasteners, two to a section."""
    kit = materials.job.kit
    holes: tuple[Inch, ...] = ()
    for name, count in (
        (kit.head.fastener, brace.head_fasteners),
        (kit.cleat.brace_fastener, brace.cleat_fasteners),
    ):
        diameter = materials.fastener(name).diameter
        if diameter >= LARGE_HOLE:
            holes = max(holes, (diameter,) * min(count, 2), key=sum)
    return holes


def spring_give(materials: Materials, brace: Brace) -> tuple[float, float]:
    """Give 1/k with the published slip modulus and with a third of it.

    Every fastener that is there stiffens its joint, whether or not it has room.

    Args:
        materials: the job's materials.
        brace: the brace.

    Returns:
        Both values [in/lb].

    Source: STATICS; NDS 11.3.6 for gamma.
    """
    kit, slip = materials.job.kit, materials.basis.acting.slip
    floor = (
        materials.fastener(kit.cleat.floor_fastener).diameter
        if materials.job.floor.kind == "deck"
        else ANCHOR_DIAMETER
    )
    joints = (
        (brace.head_fasteners, materials.fastener(kit.head.fastener).diameter),
        (brace.cleat_fasteners, materials.fastener(kit.cleat.brace_fastener).diameter),
        (brace.floor_fasteners, floor),
    )
    head, cleat, foot = (slip_of_joint(max(count, 1), slip(diameter)) for count, diameter in joints)
    published, soft = (
        level_give(
            brace.length, materials.brace_values(brace.size).E, section(brace.size).area,
            slip=slips_in_line(head, cleat, foot, times=times), angle=brace.angle,
        )
        for times in (1.0, SOFT)
    )  # fmt: skip
    return published, soft
