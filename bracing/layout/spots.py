"""Where a foot may stand on the floor, and why not."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.brace import Cleat
from bracing.floor import Joists, Partition
from bracing.job import Job
from bracing.lumber import section
from bracing.units import Inch, tape

JOIST_THICKNESS: Inch = 1.5
EDGE_OF_CLEAT: Inch = 0.5  # a fastener stands at least this far inside the cleat's edge
FASTENERS_A_CROSSING = 2  # a cleat across a joist takes two fasteners into it
LEAST_IN_JOISTS = 2


@frozen
class Spot:
    """A place for a foot.

    Attributes:
        stud: centre of the stud from LEFT [in].
        head: head height [in].
        set_back: foot to plate [in].
        lap_side: side of the stud the brace laps.
        cleat_side: side of the brace the cleat lies on.
        foot_x: middle of the foot from LEFT [in].
        joists: how many joists the cleat catches.
        most_fasteners: how many floor fasteners land in wood; 0 is no limit from the joists.
    """

    stud: Inch
    head: Inch
    set_back: Inch
    lap_side: str
    cleat_side: str
    foot_x: Inch
    joists: int
    most_fasteners: int


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


def find_spot(job: Job, *, stud: Inch, head: Inch, set_back: Inch, size: str) -> Spot | Refused:
    """Try a foot on either lap side and either cleat side; give the first that stands, or why none does.

    Args:
        job: the job.
        stud: centre of the stud [in].
        head: head height [in].
        set_back: foot to plate [in].
        size: nominal size of the brace.
    """
    declared = [brace.lap_side for brace in job.braces if abs(brace.stud_at - stud) < 1.0]
    sides = tuple(declared[:1]) or ("left", "right")
    why = ""
    for lap in sides:
        for cleat_side in ("left", "right"):
            found = _try(
                job, stud=stud, head=head, set_back=set_back, size=size, lap=lap, cleat_side=cleat_side
            )
            if isinstance(found, Spot):
                return found
            why = why or found
    return Refused(stud, head, set_back, why)


def _try(
    job: Job, *, stud: Inch, head: Inch, set_back: Inch, size: str, lap: str, cleat_side: str
) -> Spot | str:  # fmt: skip
    brace, cleat = section(size), section(job.kit.cleat.size)
    off = section(job.wall.studs.size).thickness / 2.0 + brace.thickness / 2.0
    if job.kit.head.joint == "plumb":
        off = 0.0
    foot = stud - off if lap == "left" else stud + off
    wide = cleat.thickness if job.kit.cleat.lie == "edge" else cleat.width
    middle = foot + (brace.thickness + wide) / 2.0 * (-1.0 if cleat_side == "left" else 1.0)
    if job.kit.cleat.sides > 1:
        low, high = foot - brace.thickness / 2.0 - wide, foot + brace.thickness / 2.0 + wide
    else:
        low, high = sorted((foot - math.copysign(brace.thickness / 2.0, middle - foot),
                            middle + math.copysign(wide / 2.0, middle - foot)))  # fmt: skip
    near, far = set_back - job.kit.cleat.length / 2.0, set_back + job.kit.cleat.length / 2.0
    why = _blocked(job, (low, high), (near, far), stud=stud, head=head, set_back=set_back)
    if why:
        return why
    joists, most, why = _wood(job, middle, wide, near, far)
    if why:
        return why
    return Spot(stud, head, set_back, lap, cleat_side, foot, joists, most)


def _blocked(
    job: Job, across: tuple[Inch, Inch], along: tuple[Inch, Inch], *, stud: Inch, head: Inch, set_back: Inch
) -> str:  # fmt: skip
    floor = job.floor
    if floor.room is not None and along[1] > floor.room:
        return f"the cleat runs past the room, {tape(floor.room)} deep"
    if along[0] < 0.0:
        return "no room for the cleat before the wall"
    if floor.kind != "ground" and (across[0] < 0.0 or across[1] > job.wall.length):
        return "the foot stands past the end of the wall"
    for keep in floor.keep_outs:
        x0, x1 = sorted((keep.corner[0], keep.opposite[0]))
        y0, y1 = sorted((keep.corner[1], keep.opposite[1]))
        if across[0] < x1 and across[1] > x0 and along[0] < y1 and along[1] > y0:
            return f"the foot stands in {keep.name}"
        if x0 < stud < x1 and y0 < along[0] and keep.name.lower().startswith("door path"):
            return f"the brace crosses {keep.name}"
    for partition in floor.partitions:
        why = _against_partition(job, partition, across, along, stud=stud, head=head, set_back=set_back)
        if why:
            return why
    return ""


def _against_partition(
    job: Job, partition: Partition, across: tuple[Inch, Inch], along: tuple[Inch, Inch], *,
    stud: Inch, head: Inch, set_back: Inch,
) -> str:  # fmt: skip
    """A partition along the braces, or across them."""
    (x0, y0), (x1, y1) = partition.start, partition.end
    if abs(x1 - x0) < abs(y1 - y0):  # runs away from the wall, beside the braces
        near, far = sorted((y0, y1))
        beside = min(abs(across[0] - x0), abs(across[1] - x0)) if not across[0] <= x0 <= across[1] else 0.0
        if near < set_back and far > 0.0 and (beside < JOIST_THICKNESS * 2.0 or abs(stud - x0) < 3.0):
            return f"on the line of the partition at {tape(x0)} from LEFT"
        return ""
    start, stop = sorted((x0, x1))
    if not start - job.wall.studs.spacing < stud < stop + job.wall.studs.spacing:
        return ""
    plate_in = section(job.wall.studs.size).width
    if along[0] - plate_in < y0 < along[1] + plate_in:
        return f"the foot stands on the line of the partition {tape(y0)} out"
    at_partition = head * (1.0 - y0 / set_back)
    if 0.0 < y0 < set_back and at_partition < partition.height:
        return f"the brace crosses the partition {tape(y0)} out below its plate"
    return ""


def _wood(job: Job, middle: Inch, wide: Inch, near: Inch, far: Inch) -> tuple[int, int, str]:
    """Joists the cleat catches, fasteners that land in them, and why none do."""
    joists = job.floor.joists
    if job.floor.kind != "deck" or joists is None:
        return 0, 0, ""
    if joists.run == "away":
        return _along_a_joist(joists, job.kit.cleat, middle, wide)
    first = math.ceil((near + EDGE_OF_CLEAT - joists.first) / joists.spacing)
    last = math.floor((far - EDGE_OF_CLEAT - joists.first) / joists.spacing)
    caught = max(0, last - first + 1)
    if caught < LEAST_IN_JOISTS:
        return caught, 0, f"the cleat catches {caught} joist, needs {LEAST_IN_JOISTS}"
    return caught, caught * FASTENERS_A_CROSSING * job.kit.cleat.sides, ""


def _along_a_joist(joists: Joists, cleat: Cleat, middle: Inch, wide: Inch) -> tuple[int, int, str]:
    """A cleat beside its joist's line: the joist must lie under it, an edge distance in."""
    nearest = joists.first + round((middle - joists.first) / joists.spacing) * joists.spacing
    if abs(nearest - middle) > wide / 2.0 - EDGE_OF_CLEAT:
        return 0, 0, f"no joist under the cleat; the nearest is at {tape(nearest)} from LEFT"
    return 1, 0, ""
