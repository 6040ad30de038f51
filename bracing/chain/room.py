"""How many fasteners a joint of a brace has room for, by the published distances: head, cleat and floor.

The count of a joint is for one brace, all its cleats together. Nothing else decides room: every strength counts what
`counted` gives, layouts and the work before a storm add no more than this, and `fasteners` compares against it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from operator import attrgetter
from typing import TypedDict

from attrs import evolve, frozen

from bracing.chain.cuts import PLUMB, SQUARE, cleat_fits, cleat_rows, head_fits
from bracing.choosing import over, whole_down, whole_up
from bracing.codes.basis import basis_of
from bracing.codes.joints import Spacing
from bracing.job.brace import (
    IN_BLOCK,
    IN_JOIST,
    JOINTS,
    MOST_IN_BRACE,
    MOST_IN_FLOOR,
    ON_CROSS,
    ON_PANEL,
    Brace,
    JointId,
)
from bracing.job.envelope import warnings
from bracing.job.fasteners import Fastener, fastener
from bracing.job.floor import Joists
from bracing.job.framing import stick_at
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch

FASTENER = {
    JointId.HEAD: "kit.head.fastener",
    JointId.CLEAT: "kit.cleat.brace_fastener",
    JointId.FLOOR: "kit.cleat.floor_fastener",
}
ANCHOR, STAKE = "anchor in the slab", "stake or weight"
LEAST_IN_JOISTS = 2  # a cleat across the joists catches two of them
ABREAST = 2  # fasteners side by side in one joist, where the cleat is wide enough
RUN, FIRST_JOIST = "floor.joists.run", "floor.joists.first"
JOIST_WIDE: Inch = 1.5  # of a sawn joist, and no less than of a flange
CLEAT_END: Inch = (
    3.0  # fasteners to the floor stand this far from a cleat's ends, and no nearer than their distance
)
MOST_CLEATS = 2  # at one foot
JOISTS_OF_A_FOOT = 4  # two cross cleats, over two joists each
TAPED: Inch = 1.0  # so much joist and foot may lie off where they were taped; judgement
_TOUCH = 1e-9


def joint_fastener(job: Job, joint: JointId) -> str:
    """Name what holds a joint: into a slab an anchor, into the ground a stake or a weight.

    Args:
        job: the job.
        joint: which.
    """
    instead = {"slab": ANCHOR, "ground": STAKE}.get(job.floor.kind) if joint == JointId.FLOOR else None
    return instead or str(attrgetter(FASTENER[joint])(job))


ALONG, EXTRA = THROUGH_PLATE = ("wall.plate.fastener", "wall.plate.extra.fastener")  # and beside a brace
EXTRA_ROW = "wall.plate.extra.row_from_sheathed_edge"


def plate_fastener(job: Job, path: str = EXTRA) -> str:
    """Name what is put through the bottom plate: into a slab an anchor.

    Args:
        job: the job.
        path: the field that names it, one of THROUGH_PLATE.
    """
    return ANCHOR if job.floor.kind == "slab" else str(attrgetter(path)(job))


def room(
    job: Job, brace: Brace, joint: JointId, *, one: Fastener | None = None, prebored: bool | None = None
) -> int:
    """Count the fasteners a joint has room for by the published distances.

    Args:
        job: the job.
        brace: the brace.
        joint: which.
        one: the fastener; the job's own unless given.
        prebored: holes are bored first; as declared unless given, and into the floor driven.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    if joint == JointId.HEAD:
        cuts = (PLUMB,) if job.kit.head.joint == PLUMB else (SQUARE, PLUMB)
        return max(head_fits(job, brace, cut, one=one, prebored=prebored) for cut in cuts)
    if joint == JointId.CLEAT:
        return cleat_fits(job, brace, one=one, prebored=prebored)
    return _in_floor(job, brace, one=one, prebored=bool(prebored))


CountedJson = TypedDict("CountedJson", {
    "there": int, "have_room": int | None, "counted": int, "part": float,
})  # fmt: skip


@frozen
class Counted:
    """How many fasteners of one joint count.

    Attributes:
        there: how many are declared.
        room: how many have room; None where no distance is worked out: toe-nails, anchors, stakes.
        count: how many are counted.
        part: of its value each keeps, so near the end of its stick [-].
    """

    there: int
    room: int | None
    count: int
    part: float = 1.0

    @classmethod
    def all_of(cls, there: int) -> Counted:
        """Count all there are.

        Args:
            there: how many.
        """
        return cls(there, None, there)

    def to_dict(self) -> CountedJson:
        """Give it as a JSON object."""
        return {"there": self.there, "have_room": self.room, "counted": self.count, "part": float(self.part)}


def counted(job: Job, brace: Brace, joint: JointId) -> Counted:
    """Give how many fasteners of a joint count: what are there, and no more than have room.

    Args:
        job: the job.
        brace: the brace.
        joint: one of JOINTS.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    there = int(getattr(brace, joint))
    shared = shared_by(job, brace, joint)
    if not _worked_out(job, joint):
        return Counted(there, None, _evenly(there, shared))
    if joint == JointId.CLEAT:
        rows = cleat_rows(job, brace)
        (most, _), (count, part) = rows.used(), rows.used(_evenly(there, shared))
        return Counted(there, _evenly(most, shared), _evenly(count, shared), part)
    fit = _evenly(room(job, brace, joint), shared)
    return Counted(there, fit, min(_evenly(there, shared), fit))


def shared_by(job: Job, brace: Brace, joint: JointId) -> int:
    """Count what shares the load of a joint evenly, so that the one with the fewest fasteners is told.

    Two cleats take half of a foot each; on cross cleats so does each of the two under either.

    Args:
        job: the job.
        brace: the brace.
        joint: which.

    Source: STATICS.
    """
    if joint == JointId.HEAD or job.floor.kind == "ground":
        return 1
    crossed = joint == JointId.FLOOR and job.floor.kind == "deck" and brace.foot_on == ON_CROSS
    return job.kit.cleat.sides * (2 if crossed else 1)


def _evenly(count: int, shared: int) -> int:
    """So many as each of those that share a load has; of two cleats one alone may be fastened, and rolls."""
    return count if count < shared <= MOST_CLEATS else count - count % shared


def _worked_out(job: Job, joint: JointId) -> bool:
    """Whether distances are worked out: not of a head cut against its stud, a stake, or anchors in a slab."""
    if joint == JointId.HEAD:
        return job.kit.head.joint != PLUMB
    return job.floor.kind == "deck" if joint == JointId.FLOOR else job.floor.kind != "ground"


def most_in(job: Job, brace: Brace, joint: JointId) -> int:
    """Most fasteners that go into a joint: as many as have room, as many in either of two cleats.

    Args:
        job: the job.
        brace: the brace.
        joint: which.
    """
    most = MOST_IN_FLOOR if joint == JointId.FLOOR else MOST_IN_BRACE
    fit = min(most, room(job, brace, joint)) if _worked_out(job, joint) else most
    return _evenly(fit, shared_by(job, brace, joint))


def within_room(before: Job, after: Job) -> bool:
    """Whether no joint has more fasteners than there is room for, or than it had; and none has lost all its room.

    Args:
        before: the job as it was.
        after: the job as it is to be.
    """
    had = {brace.mark: brace for brace in before.braces}
    for brace in after.braces:
        for joint in JOINTS:
            there, most = getattr(brace, joint), most_in(after, brace, joint)
            if there > most and there > (getattr(had[brace.mark], joint) if brace.mark in had else 0):
                return False
            if not most and most_in(before, brace, joint):
                return False
    return True


WHERE = {
    JointId.HEAD: Said("at-the-head"), JointId.CLEAT: Said("at-the-cleat"), JointId.FLOOR: Said("to-the-floor"),
}  # fmt: skip


def warned(job: Job) -> tuple[Said, ...]:
    """Give all a check warns of: inside the envelope and still poor practice, and joints with too little room.

    Args:
        job: a wall that can be checked.
    """
    return (*warnings(job), *room_warnings(job))


def room_warnings(job: Job) -> tuple[Said, ...]:
    """Say where not every fastener of a joint counts, or counts whole.

    Args:
        job: the job with its braces.
    """
    said: dict[tuple[JointId, Counted], list[str]] = {}
    for joint in JOINTS:
        for brace in job.braces:
            found = counted(job, brace, joint)
            if found.count < found.there or (found.there and found.part < 1.0):
                said.setdefault((joint, found), []).append(brace.mark)
    told = [_told(WHERE[joint], found, tuple(marks)) for (joint, found), marks in said.items()]
    crossed = tuple(brace.mark for brace in job.braces if brace.foot_on == ON_CROSS)
    into, deck = in_each_joist(job), job.floor.kind == "deck"
    if deck and crossed and into.count < into.there:
        told.append(_told(Said("at-each-joist"), into, crossed))
    if deck and (tight := tuple(b for b in job.braces if b.foot_on == ON_CROSS and _too_short(job, b))):
        least = Quantity(max(cleat_over_cross_cleats(job, brace) for brace in tight), Kind.TAPE)
        told.append(Said("no-room-between-cross-cleats", marks=tuple(b.mark for b in tight), least=least))
    joists = known_joists(job)
    if joists is not None and joists.run == "away" and job.kit.cleat.sides > 1:
        half = tuple(b.mark for b in job.braces if b.foot_on == IN_JOIST and cleats_bare(job, b))
        if half and blocks_hold(job):
            told.append(Said("cleat-over-no-joist", marks=half))
        elif half:
            told.append(Said("cleat-over-none", marks=half))
    return tuple(told)


def _too_short(job: Job, brace: Brace) -> bool:
    return over(cleat_over_cross_cleats(job, brace), job.kit.cleat.length)


def _told(where: Said, found: Counted, marks: tuple[str, ...]) -> Said:
    if (found.room is None or found.room > found.count) and found.count < found.there:
        each = Said("each-takes-its-share", marks=marks, there=found.there, where=where, count=found.count)
        part = f"{whole_down(found.part * 100.0)}%"
        return each if found.part >= 1.0 or not found.count else Said("near-the-cut", few=each, part=part)
    few = Said("have-room", marks=marks, there=found.there, where=where, room=found.room, count=found.count)
    if not found.count or found.part >= 1.0:
        return few
    part = f"{whole_down(found.part * 100.0)}%"
    if found.count == found.there:
        return Said("all-near-the-cut", marks=marks, there=found.there, where=where, part=part)
    return Said("near-the-cut", few=few, part=part)


@frozen
class Wood:
    """What is under the cleats of one foot.

    Attributes:
        joists: joists they catch; 0 where none are declared, or on a slab or the ground.
        most: fasteners that may be driven, all cleats together.
        blocks: cleats that lie over none, and on solid blocks between the joists.
        why: why no foot can stand here; None where one can.
        on: what a foot is put on here.
    """

    joists: int
    most: int
    blocks: int = 0
    why: Said | None = None
    on: str = IN_JOIST


def known_joists(job: Job) -> Joists | None:
    """Give the joists where somebody declared how they run; None where nobody knows, or there are none.

    Args:
        job: the job.
    """
    return job.floor.joists if job.floor.kind == "deck" and RUN in job.declared else None


def best_foot(job: Job) -> str:
    """Give what a foot is put on first where nobody knows how the joists run: a joist, blocks, or cross cleats.

    Joists that run away, as is taken where nobody knows, lie under one of two cleats beside a brace at the most. Ends
    of blocks are checked in sawn joists alone; over others go cross cleats.

    Args:
        job: the job.
    """
    if job.floor.kind != "deck":
        return ON_PANEL
    away = (job.floor.joists or Joists()).run == "away"
    if not away or job.kit.cleat.sides == 1:
        return IN_JOIST
    return IN_BLOCK if blocks_hold(job) else ON_CROSS


def floor_distances(job: Job, *, one: Fastener | None = None, prebored: bool = False) -> Spacing:
    """Give the distances kept by the fasteners from cleat to floor; the wind loads them toward both ends by turns.

    Args:
        job: the job.
        one: the fastener; the job's own unless given.
        prebored: holes are bored first.

    Source: NDS-C C12.1.5.7.
    """
    one = one or fastener(job.kit.cleat.floor_fastener, job.fasteners)
    return basis_of(job).acting.spacing(one, load="parallel", prebored=prebored)


def in_a_row(job: Job, kept: Spacing) -> int:
    """Count the fasteners one row along one cleat takes, and along the joist under it.

    Args:
        job: the job.
        kept: distances kept [in].

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    return basis_of(job).acting.fit(job.kit.cleat.length, min(_face(job), JOIST_WIDE), kept).per_row


def woods_under(
    job: Job, cleats: Iterable[Inch], along: tuple[Inch, Inch], *, kept: Spacing | None = None
) -> tuple[Wood, ...]:
    """Find every way to have wood under the cleats of a foot.

    A joist under them needs nothing more, and is then the only one. Else solid blocks between the joists; or, where the
    joists run away, two cleats across two of them. Where neither can be, the deck panel alone is left.

    Args:
        job: the job.
        cleats: middle of each cleat from LEFT [in].
        along: near and far end of the cleats from the plate [in].
        kept: distances kept [in]; those of the job's own fastener, driven, unless given.
    """
    kept = kept or floor_distances(job)
    joists, rows = known_joists(job), in_a_row(job, kept) * job.kit.cleat.sides
    if job.floor.kind != "deck":
        return (Wood(0, rows, on=ON_PANEL),)
    if joists is None:
        if best_foot(job) == IN_JOIST:
            return (Wood(0, rows),)
        found: tuple[Wood, ...] = ()
        if blocks_hold(job):
            found = (Wood(0, _blocked(job, kept), job.kit.cleat.sides, on=IN_BLOCK),)
        found += _on_cross_cleats(job, 0)
        return found or (_panel_alone(job, 0, Said("no-room-across")),)
    if joists.run == "away":
        return _over_joists(job, joists, tuple(cleats), kept)
    caught = joists_crossed(joists, along, kept)
    if caught >= LEAST_IN_JOISTS:
        return (Wood(caught, caught * _abreast(job, kept) * job.kit.cleat.sides),)
    if blocks_hold(job):
        return (Wood(caught, _blocked(job, kept), job.kit.cleat.sides, on=IN_BLOCK),)
    many = Said("a-joist") if caught == 1 else Said("joists", count=caught)
    return (_panel_alone(job, caught, Said("too-few-joists", caught=many, needed=LEAST_IN_JOISTS)),)


def _on_cross_cleats(job: Job, joists: int) -> tuple[Wood, ...]:
    """Two cleats across two joists under the ends of a foot, where they have room beside one another."""
    most = 2 * in_cross_cleat(job)[0] * job.kit.cleat.sides
    return (Wood(joists, most, on=ON_CROSS),) if most and in_each_joist(job).room else ()


def _panel_alone(job: Job, joists: int, why: Said) -> Wood:
    """The deck panel alone, and why there is no wood; no foot can stand where it has no room for a fastener either."""
    fit = basis_of(job).acting.fit(job.kit.cleat.length, _face(job), floor_distances(job)).count
    return Wood(joists, fit * job.kit.cleat.sides, 0, None if fit else why, ON_PANEL)


def _abreast(job: Job, kept: Spacing, one: Fastener | None = None, *, prebored: bool = False) -> int:
    """Fasteners in one joist a cleat crosses: they load it across its grain, toward both edges by turns."""
    across = _across(job, one, prebored=prebored)
    return 0 if over(2.0 * across.edge, JOIST_WIDE) else _side_by_side(_face(job), kept, across)


def _across(job: Job, one: Fastener | None, *, prebored: bool) -> Spacing:
    """Distances kept in what a fastener from cleat to floor loads across its grain."""
    one = one or fastener(job.kit.cleat.floor_fastener, job.fasteners)
    return basis_of(job).acting.spacing(one, load="perpendicular", prebored=prebored)


def _side_by_side(face: Inch, kept: Spacing, across: Spacing) -> int:
    """Fasteners side by side where two sticks cross, in the face of the one that is loaded along its grain."""
    if over(2.0 * kept.edge, face):
        return 0
    return min(ABREAST, whole_down((face - 2.0 * kept.edge) / max(kept.between_rows, across.in_row)) + 1)


def _one_behind_another(face: Inch, kept: Spacing, across: Spacing) -> tuple[int, Inch]:
    """Fasteners one behind another, in the face of the crossing stick loaded across its grain; and how far apart."""
    apart = max(kept.in_row, across.between_rows)
    return (0 if over(2.0 * across.edge, face) else whole_down((face - 2.0 * across.edge) / apart) + 1), apart


def in_cross_cleat(job: Job, *, one: Fastener | None = None, prebored: bool = False) -> tuple[int, Inch]:
    """Count the fasteners of one cleat that go into each of the two cross cleats under it, and say where that one lies.

    Args:
        job: the job.
        one: the fastener; the job's own unless given.
        prebored: holes are bored first.

    Returns:
        How many, none where the two cross cleats would lie on one another; and from the cleat's end to the middle of
        the cross cleat [in].

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    kept, across = (
        floor_distances(job, one=one, prebored=prebored),
        _across(job, one, prebored=prebored),
    )
    wide = section(job.floor.cross_cleat.size).width
    rows, apart = _one_behind_another(wide, kept, across)
    middle = max(CLEAT_END, kept.end) + apart * max(rows - 1, 0) / 2.0
    clear = not over(wide, job.kit.cleat.length - 2.0 * middle)
    return (rows * _side_by_side(_face(job), kept, across) if clear else 0), middle


def cleat_over_cross_cleats(job: Job, brace: Brace, middle: Inch | None = None) -> Inch:
    """Give the shortest cleat that leaves a brace room between its two cross cleats, down to the deck [in].

    The brace takes half its level cut to the one side and, to the wall's, that and its slope over a cross cleat's
    thickness. A foot without that room cannot be built, and none of its floor fasteners count.

    Args:
        job: the job.
        brace: the brace.
        middle: from a cleat's end to the middle of a cross cleat; of the job's own fastener unless given [in].

    Source: STATICS, geometry.
    """
    crossed = section(job.floor.cross_cleat.size)
    out = in_cross_cleat(job)[1] if middle is None else middle
    level = section(brace.size).width / 2.0 / math.sin(brace.angle) + crossed.thickness / math.tan(
        brace.angle
    )
    return 2.0 * (out + crossed.width / 2.0 + level)


def in_each_joist(job: Job) -> Counted:
    """Count what goes through a cross cleat into one of its two joists: what is there, and no more than has room.

    Args:
        job: the job.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    crossed = job.floor.cross_cleat
    one, acting = fastener(crossed.fastener, job.fasteners), basis_of(job).acting
    kept, across = (acting.spacing(one, load=load, prebored=False) for load in ("parallel", "perpendicular"))
    rows, _ = _one_behind_another(section(crossed.size).width, kept, across)
    fit = rows * _side_by_side(JOIST_WIDE, kept, across)
    return Counted(crossed.each_joist, fit, min(crossed.each_joist, fit))


def _blocked(job: Job, kept: Spacing) -> int:
    """Fasteners of all cleats of a foot on blocks: those of the cleat over a joist are no more."""
    joists = job.floor.joists or Joists()
    return _in_blocks(job, joists, kept, None, prebored=False) * job.kit.cleat.sides


def _over_joists(job: Job, joists: Joists, cleats: tuple[Inch, ...], kept: Spacing) -> tuple[Wood, ...]:
    """Cleats along joists: each must have one under it, its edge distance in; else what is put there.

    Two cleats beside one brace cannot both lie over one joist: solid blocks take the fasteners of one that lies over
    none. Ends of blocks are checked in sawn joists alone.
    """
    reach, rows = _face(job) / 2.0 - kept.edge, in_a_row(job, kept) * job.kit.cleat.sides
    nearest = [_nearest(joists, middle) for middle in cleats]
    over = [abs(joist - middle) <= reach + _TOUCH for joist, middle in zip(nearest, cleats, strict=True)]
    there, bare = sum(over), len(cleats) - sum(over)
    if not bare:
        return (Wood(there, rows),)
    blocked = min(rows, _blocked(job, kept)) if there else _blocked(job, kept)
    blocks = (Wood(there, blocked, bare, None, IN_BLOCK),) if blocks_hold(job) else ()
    found = (*blocks, *_on_cross_cleats(job, there))
    return found or (
        _panel_alone(job, there, Said("no-joist-under", nearest=Quantity(nearest[0], Kind.TAPE))),
    )


def _nearest(joists: Joists, x: Inch) -> Inch:
    return joists.first + max(0, round((x - joists.first) / joists.spacing)) * joists.spacing


def under_panel(job: Job, brace: Brace) -> tuple[Inch, Inch]:
    """Give how far a foot on the deck panel stands from the nearer joist, and how much of that joist is under it.

    Args:
        job: the job.
        brace: the brace.

    Returns:
        The distance, 0 where nobody knows how the joists run; and the length [in].

    Source: STATICS, geometry.
    """
    joists, cleat = known_joists(job), job.kit.cleat
    if joists is None:
        return 0.0, cleat.length
    if joists.run == "along":
        return abs(_nearest(joists, brace.set_back) - brace.set_back), _face(job) * cleat.sides
    x = _foot_at(job, brace)
    return abs(_nearest(joists, x) - x), cleat.length


def _foot_at(job: Job, brace: Brace) -> Inch:
    """Middle of a brace from LEFT: beside its stud where it laps it."""
    thick = section(brace.size).thickness
    return stick_at(job.wall, brace.stud_at, brace.lap_side, joint=job.kit.head.joint, thick=thick)


def joists_crossed(joists: Joists, along: tuple[Inch, Inch], kept: Spacing) -> int:
    """Count the joists across a cleat whose middle lies the end distance in from both its ends.

    Args:
        joists: the joists.
        along: near and far end of the cleat from the plate [in].
        kept: distances kept [in].
    """
    first = math.ceil((along[0] + kept.end - joists.first) / joists.spacing - _TOUCH)
    last = math.floor((along[1] - kept.end - joists.first) / joists.spacing + _TOUCH)
    return max(0, last - max(first, 0) + 1)


def _face(job: Job) -> Inch:
    """Width of the face of a cleat that lies on the floor [in]."""
    cleat = section(job.kit.cleat.size)
    return cleat.thickness if job.kit.cleat.lie == "edge" else cleat.width


def _in_floor(job: Job, brace: Brace, *, one: Fastener | None, prebored: bool) -> int:
    """On a deck panel alone the face of its cleats; into joists what lands in wood, one row along each."""
    kept, cleat = floor_distances(job, one=one, prebored=prebored), job.kit.cleat
    if job.floor.kind == "deck" and not brace.in_wood:
        return basis_of(job).acting.fit(cleat.length, _face(job), kept).count * cleat.sides
    if brace.foot_on == ON_CROSS:
        each, middle = in_cross_cleat(job, one=one, prebored=prebored)
        return (
            0 if over(cleat_over_cross_cleats(job, brace, middle), cleat.length) else 2 * each * cleat.sides
        )
    joists = job.floor.joists or Joists()
    if brace.foot_on == IN_BLOCK:
        return _in_blocks(job, joists, kept, one, prebored=prebored) * cleat.sides
    if joists.run == "away":
        return in_a_row(job, kept) * cleat.sides
    half = cleat.length / 2.0
    caught = joists_crossed(joists, (brace.set_back - half, brace.set_back + half), kept)
    return caught * _abreast(job, kept, one, prebored=prebored) * cleat.sides


def _in_blocks(job: Job, joists: Joists, kept: Spacing, one: Fastener | None, *, prebored: bool) -> int:
    """Of one cleat: blocks between joists that run away lie across it; between those along the wall, along it."""
    many, cleat = job.floor.blocks.under_each_cleat, job.kit.cleat
    if joists.run == "away":
        return min(many, in_a_row(job, kept)) * _abreast(job, kept, one, prebored=prebored)
    clear = min(joists.spacing - JOIST_WIDE, cleat.length / many)
    return many * basis_of(job).acting.fit(clear, min(_face(job), JOIST_WIDE), kept).per_row


def blocks_hold(job: Job) -> bool:
    """Whether solid blocks may stand between the joists: their ends are checked in sawn ones alone.

    Args:
        job: the job.
    """
    return job.floor.kind == "deck" and (job.floor.joists or Joists()).kind == "sawn"


def cleats_bare(job: Job, brace: Brace) -> int:
    """Count the cleats of a foot that lie over no joist; all of them where nobody knows, none across the joists.

    Args:
        job: the job.
        brace: the brace.

    Source: STATICS, geometry.
    """
    joists, sides = known_joists(job), job.kit.cleat.sides
    if joists is None:
        return sides
    if joists.run != "away":
        return 0
    x, reach = _foot_at(job, brace), _face(job) / 2.0 - floor_distances(job).edge
    aside = (section(brace.size).thickness + _face(job)) / 2.0
    over_one = [
        abs(_nearest(joists, x + way * aside) - x - way * aside) <= reach + _TOUCH for way in (-1.0, 1.0)
    ]
    return sides - (sum(over_one) if sides > 1 else int(any(over_one)))


def half_on_panel(job: Job, brace: Brace) -> bool:
    """Whether one cleat of two lies over no joist, and nothing is published of blocks between joists of that kind.

    That cleat takes its half of the foot, and has the deck panel alone to take it with.

    Args:
        job: the job.
        brace: the brace.
    """
    known = job.kit.cleat.sides > 1 and brace.foot_on == IN_JOIST and known_joists(job) is not None
    return known and not blocks_hold(job) and bool(cleats_bare(job, brace))


def blocks_shared(job: Job, brace: Brace) -> bool:
    """Whether each block of a foot runs under both its cleats: they are known to stand between the same two joists.

    Args:
        job: the job.
        brace: the brace.

    Source: STATICS, geometry.
    """
    joists, sides = known_joists(job), job.kit.cleat.sides
    if sides == 1 or joists is None or joists.run != "away" or cleats_bare(job, brace) < sides:
        return False
    x, aside = _foot_at(job, brace), (section(brace.size).thickness + _face(job)) / 2.0
    left, right = (math.floor((x + way * aside - joists.first) / joists.spacing) for way in (-1.0, 1.0))
    return left == right


def off_joists(job: Job, brace: Brace, *, laps: tuple[str, ...] = ()) -> Inch | None:
    """Give how far the nearest joist lies off the cleats of a foot; None where one may lie under them, or nobody knows.

    Args:
        job: the job.
        brace: the brace.
        laps: sides of the stud it may lap; its own unless given.

    Source: STATICS, geometry.
    """
    joists = known_joists(job)
    if joists is None or FIRST_JOIST not in job.declared:
        return None
    if joists.run == "along":
        middles, half = [brace.set_back], job.kit.cleat.length / 2.0
    else:
        aside = (section(brace.size).thickness + _face(job)) / 2.0
        feet = (_foot_at(job, evolve(brace, lap_side=lap)) for lap in laps or (brace.lap_side,))
        middles, half = [x + way * aside for x in feet for way in (-1.0, 1.0)], _face(job) / 2.0
    off = min(abs(_nearest(joists, x) - x) for x in middles) - half - JOIST_WIDE / 2.0
    return off if off > TAPED else None


def wood_blocks(job: Job, brace: Brace) -> int:
    """Solid blocks between the joists at a brace's foot, under the cleats that lie over no joist.

    Args:
        job: the job.
        brace: the brace.
    """
    joists, sides = known_joists(job), job.kit.cleat.sides
    if brace.foot_on == IN_BLOCK:
        away = (job.floor.joists or Joists()).run == "away"
        under = 1 if blocks_shared(job, brace) else cleats_bare(job, brace) if away else sides
        return job.floor.blocks.under_each_cleat * under
    if brace.foot_on == ON_CROSS or joists is None or joists.run != "away" or sides == 1:
        return 0
    return whole_up(brace.floor_fasteners / sides / ABREAST)
