"""Where a foot may stand on the floor, and why not; and what is under its cleats."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from attrs import frozen

from bracing.choosing import whole_up
from bracing.codes.nds.spacing import Spacing, least_spacing
from bracing.job.brace import Brace
from bracing.job.fasteners import fastener
from bracing.job.floor import Joists, KeepOut, Partition
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.units import Inch, tape

LEAST_IN_JOISTS = 2  # a cleat across the joists catches two of them
ABREAST = 2  # fasteners side by side in one joist, where the cleat is wide enough
NUDGE: Inch = 0.5  # a foot is moved in steps of this to catch joists
RUN = "floor.joists.run"
_TOUCH = 1e-9


@frozen
class Wood:
    """What is under the cleats of one foot.

    Attributes:
        joists: joists they catch; 0 where none are declared, or on a slab or the ground.
        most: fasteners that may be driven, all cleats together.
        blocks: solid blocks between the joists, under the cleat that lies over none.
        why: why no foot can stand here, or "".
    """

    joists: int
    most: int
    blocks: int = 0
    why: str = ""


def known_joists(job: Job) -> Joists | None:
    """Give the joists where somebody declared how they run; None where nobody knows, or there are none.

    Args:
        job: the job.
    """
    return job.floor.joists if job.floor.kind == "deck" and RUN in job.declared else None


def kept_distances(job: Job) -> Spacing:
    """Give the distances kept by the fasteners from cleat to floor, driven without boring.

    Args:
        job: the job.

    Source: NDS-C C12.1.5.7.
    """
    return least_spacing(
        fastener(job.kit.cleat.floor_fastener, job.fasteners), load="parallel", end="compression"
    )


def in_a_row(job: Job) -> int:
    """Count the fasteners one row along one cleat takes.

    Args:
        job: the job.

    Source: NDS-C C12.1.5.7.
    """
    kept = kept_distances(job)
    return max(1, int((job.kit.cleat.length - 2.0 * kept.end) / kept.in_row + _TOUCH) + 1)


def wood_under(job: Job, cleats: Iterable[Inch], along: tuple[Inch, Inch]) -> Wood:
    """Find what is under the cleats of a foot.

    Args:
        job: the job.
        cleats: middle of each cleat from LEFT [in].
        along: near and far end of the cleats from the plate [in].
    """
    joists, rows = known_joists(job), in_a_row(job) * job.kit.cleat.sides
    if joists is None:
        return Wood(0, rows)
    kept = kept_distances(job)
    lies = job.kit.cleat.lie
    wide = section(job.kit.cleat.size).thickness if lies == "edge" else section(job.kit.cleat.size).width
    if joists.run == "away":
        return _over_joists(joists, tuple(cleats), wide / 2.0 - kept.edge, rows)
    caught = _crossed(joists, along, kept)
    if caught < LEAST_IN_JOISTS:
        joist = "joist" if caught == 1 else "joists"
        return Wood(caught, 0, 0, f"the cleat catches {caught} {joist}, needs {LEAST_IN_JOISTS}")
    abreast = ABREAST if wide - 2.0 * kept.edge >= kept.between_rows - _TOUCH else 1
    return Wood(caught, caught * abreast * job.kit.cleat.sides)


def _over_joists(joists: Joists, cleats: tuple[Inch, ...], reach: Inch, rows: int) -> Wood:
    """Cleats along joists: each must have one under it, its edge distance in; else blocks for it.

    Two cleats beside one brace cannot both lie over one joist. One of them must; solid blocks between the joists
    take the fasteners of the other, two to a block.
    """
    nearest = [_nearest(joists, middle) for middle in cleats]
    over = [abs(joist - middle) <= reach + _TOUCH for joist, middle in zip(nearest, cleats, strict=True)]
    if not any(over):
        return Wood(0, 0, 0, f"no joist under the cleat; the nearest is at {tape(nearest[0])} from LEFT")
    bare = len(cleats) - sum(over)
    return Wood(sum(over), rows, bare * whole_up(rows / len(cleats) / ABREAST))


def _nearest(joists: Joists, x: Inch) -> Inch:
    return joists.first + max(0, round((x - joists.first) / joists.spacing)) * joists.spacing


def _crossed(joists: Joists, along: tuple[Inch, Inch], kept: Spacing) -> int:
    """Joists across a cleat whose middle lies the end distance in from both its ends."""
    first = math.ceil((along[0] + kept.end - joists.first) / joists.spacing - _TOUCH)
    last = math.floor((along[1] - kept.end - joists.first) / joists.spacing + _TOUCH)
    return max(0, last - max(first, 0) + 1)


def moved_to_joists(job: Job, set_back: Inch) -> Inch:
    """Move a foot to where its cleats catch the most joists, by half a joist spacing at the most [in].

    Args:
        job: the job.
        set_back: foot to plate [in].
    """
    joists = known_joists(job)
    if joists is None or joists.run != "along":
        return set_back
    kept, half = kept_distances(job), job.kit.cleat.length / 2.0
    steps = int(joists.spacing / 2.0 / NUDGE)
    places = [set_back + NUDGE * k for k in sorted(range(-steps, steps + 1), key=abs)]
    return max(places, key=lambda at: _crossed(joists, (at - half, at + half), kept))


def most_in_floor(job: Job, brace: Brace) -> int:
    """Most fasteners from cleat to floor at a brace: what lands in wood, in rows at the published spacing.

    Args:
        job: the job.
        brace: the brace.

    Source: NDS-C C12.1.5.7.
    """
    joists = known_joists(job)
    if joists is not None and joists.run == "along":
        half = job.kit.cleat.length / 2.0
        return max(1, wood_under(job, (), (brace.set_back - half, brace.set_back + half)).most)
    return in_a_row(job) * job.kit.cleat.sides


def wood_blocks(job: Job, brace: Brace) -> int:
    """Solid blocks between the joists at a brace's foot, under the cleat that lies over no joist.

    Args:
        job: the job.
        brace: the brace.
    """
    joists, sides = known_joists(job), job.kit.cleat.sides
    if joists is None or joists.run != "away" or sides == 1:
        return 0
    return whole_up(brace.floor_fasteners / sides / ABREAST)


SIDES = ("left", "right")
OFF_PARTITION: Inch = 3.0  # a foot keeps this far from the line of a partition beside it
HEADROOM: Inch = 80.0  # a brace over a path leaves this much below it
PATH = "path"  # a keep-out named so is walked through: no brace may hang low over it
_SHORTEST_DOOR_SILL: Inch = 2.0


@frozen
class Spot:
    """A place for a foot.

    Attributes:
        stud: centre of the stud from LEFT [in].
        head: head height [in].
        set_back: foot to plate [in].
        lap_side: side of the stud the brace laps.
        cleat_side: side of the brace the cleat lies on; both, or nothing on the ground.
        foot_x: middle of the foot from LEFT [in].
        wood: what is under its cleats.
    """

    stud: Inch
    head: Inch
    set_back: Inch
    lap_side: str
    cleat_side: str
    foot_x: Inch
    wood: Wood

    @property
    def joists(self) -> int:
        """How many joists the cleats catch."""
        return self.wood.joists

    @property
    def most_fasteners(self) -> int:
        """How many floor fasteners may be driven."""
        return self.wood.most


@frozen
class Refused:
    """A place no foot may stand, and why.

    Attributes:
        stud: centre of the stud from LEFT [in].
        head: head height [in].
        set_back: foot to plate [in].
        why: plain words.
    """

    stud: Inch
    head: Inch
    set_back: Inch
    why: str

    def to_dict(self) -> dict[str, object]:
        """Give it as a JSON object."""
        return {"stud_ft": self.stud / 12.0, "head_ft": self.head / 12.0, "set_back_ft": self.set_back / 12.0,
                "why": self.why}  # fmt: skip


@frozen
class Place:
    """Where a brace would go.

    Attributes:
        stud: centre of its stud [in].
        head: head height [in].
        set_back: foot to plate [in].
        size: nominal size of the brace.
    """

    stud: Inch
    head: Inch
    set_back: Inch
    size: str


@frozen
class Footprint:
    """A foot seen from above.

    Attributes:
        place: of the brace.
        x: middle of the brace [in].
        across: least and greatest x of brace and cleats [in].
        along: least and greatest y of the cleats [in].
        cleats: middle of each cleat, x [in].
    """

    place: Place
    x: Inch
    across: tuple[Inch, Inch]
    along: tuple[Inch, Inch]
    cleats: tuple[Inch, ...]

    def underside(self, y: Inch) -> Inch:
        """Height of the brace's underside at a distance from the plate [in].

        Args:
            y: from the plate [in].
        """
        at = self.place
        level = at.set_back / math.hypot(at.set_back, at.head)
        return at.head * (1.0 - y / at.set_back) - section(at.size).width / (2.0 * level)


def find_spot(job: Job, *, stud: Inch, head: Inch, set_back: Inch, size: str) -> Spot | Refused:
    """Try a foot on either lap side and either cleat side; give the first that stands, or why none does.

    Args:
        job: the job.
        stud: centre of the stud [in].
        head: head height [in].
        set_back: foot to plate [in].
        size: nominal size of the brace.
    """
    whys = []
    for lap in SIDES:
        for cleat_side in ("both",) if job.kit.cleat.sides > 1 else SIDES:
            foot = footprint(job, Place(stud, head, set_back, size), lap_side=lap, cleat_side=cleat_side)
            wood = wood_under(job, foot.cleats, foot.along)
            why = next(_objections(job, foot), wood.why)
            if not why:
                return Spot(stud, head, set_back, lap, cleat_side, foot.x, wood)
            whys.append(why)
    return Refused(stud, head, set_back, whys[0])


def footprint(job: Job, at: Place, *, lap_side: str, cleat_side: str) -> Footprint:
    """Give a foot seen from above.

    Args:
        job: the job.
        at: where the brace would go.
        lap_side: side of the stud the brace laps.
        cleat_side: left or right of the brace; both where there are two.
    """
    brace, cleat = section(at.size), section(job.kit.cleat.size)
    off = (section(job.wall.studs.size).thickness + brace.thickness) / 2.0
    if job.kit.head.joint == "plumb":
        off = 0.0
    x = at.stud - off if lap_side == "left" else at.stud + off
    wide = cleat.thickness if job.kit.cleat.lie == "edge" else cleat.width
    aside = (brace.thickness + wide) / 2.0
    cleats = tuple(x + aside * way for name, way in zip(SIDES, (-1.0, 1.0), strict=True)
                   if cleat_side in (name, "both"))  # fmt: skip
    edges = [x - brace.thickness / 2.0, x + brace.thickness / 2.0]
    edges += [middle + way * wide / 2.0 for middle in cleats for way in (-1.0, 1.0)]
    half = job.kit.cleat.length / 2.0
    return Footprint(at, x, (min(edges), max(edges)), (at.set_back - half, at.set_back + half), cleats)


def _objections(job: Job, foot: Footprint) -> Iterator[str]:
    """Why a foot may not stand there, one reason at a time."""
    floor = job.floor
    if floor.room is not None and foot.along[1] > floor.room:
        yield f"the cleat runs past the room, {tape(floor.room)} deep"
    if foot.along[0] < 0.0:
        yield "no room for the cleat before the wall"
    if floor.kind != "ground" and (foot.across[0] < 0.0 or foot.across[1] > job.wall.length):
        yield "the foot stands past the end of the wall"
    for door in job.wall.openings:
        if door.sill <= _SHORTEST_DOOR_SILL and _overlap(foot.across, (door.left, door.right)):
            yield f"the foot stands in front of the door at {tape(door.left)} from LEFT"
    for keep in floor.keep_outs:
        yield from _against_keep_out(keep, foot)
    for partition in floor.partitions:
        yield from _against_partition(job, partition, foot)


def _overlap(one: tuple[Inch, Inch], other: tuple[Inch, Inch]) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def _against_keep_out(keep: KeepOut, foot: Footprint) -> Iterator[str]:
    across = min(keep.corner[0], keep.opposite[0]), max(keep.corner[0], keep.opposite[0])
    along = min(keep.corner[1], keep.opposite[1]), max(keep.corner[1], keep.opposite[1])
    if _overlap(foot.across, across) and _overlap(foot.along, along):
        yield f"the foot stands in {keep.name}"
    half = section(foot.place.size).thickness / 2.0
    under = PATH in keep.name.lower() and _overlap((foot.x - half, foot.x + half), across)
    if (
        under
        and along[0] < foot.place.set_back
        and foot.underside(min(along[1], foot.place.set_back)) < HEADROOM
    ):
        yield f"the brace hangs low over {keep.name}"


def _against_partition(job: Job, partition: Partition, foot: Footprint) -> Iterator[str]:
    """A partition along the braces, or across them."""
    (x0, y0), (x1, y1) = partition.start, partition.end
    left, right, near, far = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
    if right - left < far - near:  # runs away from the wall, beside the braces
        beside = (left - OFF_PARTITION, right + OFF_PARTITION)
        on_line = _overlap(foot.across, beside) or beside[0] < foot.place.stud < beside[1]
        if on_line and near < foot.along[1] and far > 0.0:
            yield f"on the line of the partition at {tape(x0)} from LEFT"
        return
    bay = job.wall.studs.spacing
    if not left - bay < foot.place.stud < right + bay:
        return
    deep = section(job.wall.studs.size).width
    if foot.along[0] - deep < far and near < foot.along[1] + deep:
        yield f"the foot stands on the line of the partition {tape(near)} out"
    elif far < foot.place.set_back and foot.underside(far) < partition.height:
        yield f"the brace crosses the partition {tape(near)} out below its plate"
