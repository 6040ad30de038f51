"""Where a foot may stand on the floor, and why not."""

from __future__ import annotations

import math
from collections.abc import Iterator

from attrs import frozen

from bracing.chain.room import Wood, floor_distances, joists_crossed, known_joists, woods_under
from bracing.job.brace import IN_JOIST
from bracing.job.floor import KeepOut, Partition
from bracing.job.framing import stick_at
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch

NUDGE: Inch = 0.5  # a foot is moved in steps of this to catch joists
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
        why: what stands against it.
    """

    stud: Inch
    head: Inch
    set_back: Inch
    why: Said


@frozen
class FootPlace:
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

    place: FootPlace
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


def moved_to_joists(job: Job, set_back: Inch) -> Inch:
    """Move a foot to where its cleats catch the most joists, by half a joist spacing at the most [in].

    Args:
        job: the job.
        set_back: foot to plate [in].
    """
    joists = known_joists(job)
    if joists is None or joists.run != "along":
        return set_back
    kept, half = floor_distances(job), job.kit.cleat.length / 2.0
    steps = int(joists.spacing / 2.0 / NUDGE)
    places = [set_back + NUDGE * k for k in sorted(range(-steps, steps + 1), key=abs)]
    return max(places, key=lambda at: joists_crossed(joists, (at - half, at + half), kept))


def find_spots(job: Job, *, stud: Inch, head: Inch, set_back: Inch, size: str) -> tuple[Spot, ...] | Refused:
    """Try a foot on either lap side and either cleat side; give one of each kind that stands, or why none does.

    With joists under all its cleats nothing is put under it, and no other kind is given. Of those on blocks the one
    with the fewest is given.

    Args:
        job: the job.
        stud: centre of the stud [in].
        head: head height [in].
        set_back: foot to plate [in].
        size: nominal size of the brace.
    """
    whys, kinds = [], dict[str, Spot]()
    for lap in SIDES:
        for cleat_side in ("both",) if job.kit.cleat.sides > 1 else SIDES:
            foot = footprint(job, FootPlace(stud, head, set_back, size), lap_side=lap, cleat_side=cleat_side)
            against = next(_objections(job, foot), None)
            for wood in woods_under(job, foot.cleats, foot.along):
                why = against or wood.why
                if why is not None:
                    whys.append(why)
                    continue
                spot = Spot(stud, head, set_back, lap, cleat_side, foot.x, wood)
                if wood.on == IN_JOIST:
                    return (spot,)
                if wood.on not in kinds or wood.blocks < kinds[wood.on].wood.blocks:
                    kinds[wood.on] = spot
    return tuple(kinds.values()) or Refused(stud, head, set_back, whys[0])


def footprint(job: Job, at: FootPlace, *, lap_side: str, cleat_side: str) -> Footprint:
    """Give a foot seen from above.

    Args:
        job: the job.
        at: where the brace would go.
        lap_side: side of the stud the brace laps.
        cleat_side: left or right of the brace; both where there are two.
    """
    brace, cleat = section(at.size), section(job.kit.cleat.size)
    x = stick_at(job.wall, at.stud, lap_side, joint=job.kit.head.joint, thick=brace.thickness)
    wide = cleat.thickness if job.kit.cleat.lie == "edge" else cleat.width
    aside = (brace.thickness + wide) / 2.0
    cleats = tuple(x + aside * way for name, way in zip(SIDES, (-1.0, 1.0), strict=True)
                   if cleat_side in (name, "both"))  # fmt: skip
    edges = [x - brace.thickness / 2.0, x + brace.thickness / 2.0]
    edges += [middle + way * wide / 2.0 for middle in cleats for way in (-1.0, 1.0)]
    half = job.kit.cleat.length / 2.0
    return Footprint(at, x, (min(edges), max(edges)), (at.set_back - half, at.set_back + half), cleats)


def _objections(job: Job, foot: Footprint) -> Iterator[Said]:
    """Why a foot may not stand there, one reason at a time."""
    floor = job.floor
    if floor.room is not None and foot.along[1] > floor.room:
        yield Said("past-the-room", deep=Quantity(floor.room, Kind.TAPE))
    if foot.along[0] < 0.0:
        yield Said("no-room-for-cleat")
    if floor.kind != "ground" and (foot.across[0] < 0.0 or foot.across[1] > job.wall.length):
        yield Said("past-the-end")
    for door in job.wall.openings:
        if door.sill <= _SHORTEST_DOOR_SILL and _overlap(foot.across, (door.left, door.right)):
            yield Said("before-a-door", at=Quantity(door.left, Kind.TAPE))
    for keep in job.keep_outs:
        yield from _against_keep_out(keep, foot)
    for partition in floor.partitions:
        yield from _against_partition(job, partition, foot)


def _overlap(one: tuple[Inch, Inch], other: tuple[Inch, Inch]) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def _against_keep_out(keep: KeepOut, foot: Footprint) -> Iterator[Said]:
    across = min(keep.corner[0], keep.opposite[0]), max(keep.corner[0], keep.opposite[0])
    along = min(keep.corner[1], keep.opposite[1]), max(keep.corner[1], keep.opposite[1])
    if _overlap(foot.across, across) and _overlap(foot.along, along):
        yield Said("foot-stands-in", place=keep.name)
    half = section(foot.place.size).thickness / 2.0
    under = PATH in keep.name.lower() and _overlap((foot.x - half, foot.x + half), across)
    if (
        under
        and along[0] < foot.place.set_back
        and foot.underside(min(along[1], foot.place.set_back)) < HEADROOM
    ):
        yield Said("hangs-low-over", place=keep.name)


def _against_partition(job: Job, partition: Partition, foot: Footprint) -> Iterator[Said]:
    """A partition along the braces, or across them."""
    (x0, y0), (x1, y1) = partition.start, partition.end
    left, right, near, far = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
    if right - left < far - near:  # runs away from the wall, beside the braces
        beside = (left - OFF_PARTITION, right + OFF_PARTITION)
        on_line = _overlap(foot.across, beside) or beside[0] < foot.place.stud < beside[1]
        if on_line and near < foot.along[1] and far > 0.0:
            yield Said("beside-a-partition", at=Quantity(x0, Kind.TAPE))
        return
    bay = job.wall.studs.spacing
    if not left - bay < foot.place.stud < right + bay:
        return
    deep = section(job.wall.studs.size).width
    if foot.along[0] - deep < far and near < foot.along[1] + deep:
        yield Said("foot-on-a-partition", out=Quantity(near, Kind.TAPE))
    elif far < foot.place.set_back and foot.underside(far) < partition.height:
        yield Said("crosses-a-partition", out=Quantity(near, Kind.TAPE))
