"""How each brace is cut: level at the foot, square or plumb at the head.

The brace is a strip about the line from the foot's middle, on the floor, to the head on the plate's inside face.
Its upper edge is the longer one at the foot, and at a plumb-cut head too.
"""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import frozen

from bracing.choosing import greatest, whole_down, whole_up
from bracing.codes.basis import basis_of
from bracing.codes.ends import part_near_cut
from bracing.job.brace import Brace, cleat_shape
from bracing.job.fasteners import Fastener, fastener
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.units import Inch

SIXTEENTH: Inch = 1.0 / 16.0
CLEAR: Inch = 0.25  # a lapped head stays this far inside the outer edge of its stud: sheathing is there
SQUARE, PLUMB = "square", "plumb"
_TOUCH = 1e-9

CutJson = TypedDict("CutJson", {
    "long_point_in": float, "foot_angle_deg": float, "head_angle_deg": float, "head_cut": str, "level_face_in": float,
    "head_fasteners_that_fit": int, "cleat_fasteners_that_fit": int,
})  # fmt: skip


@frozen
class Cut:
    """How one brace is cut.

    Attributes:
        mark: its mark.
        long_point: long point to long point along the upper edge, down to 1/16 in [in].
        foot_angle: of the level cut at the foot, from the stick's edge [deg].
        head_angle: of the cut at the head, from the stick's edge [deg].
        head_cut: square or plumb.
        level_face: length of the level cut [in].
        head_fits: fasteners that fit in the head joint by the published distances.
        cleat_fits: fasteners that fit from brace to cleat by them, all its cleats together.
        foot_out: from the plate's inside face along the floor to the long point of the foot [in].
        head_up: from the floor up the stud's inner edge to where the upper edge crosses it [in].
    """

    mark: str
    long_point: Inch
    foot_angle: float
    head_angle: float
    head_cut: str
    level_face: Inch
    head_fits: int
    cleat_fits: int
    foot_out: Inch
    head_up: Inch

    @property
    def foot_saw(self) -> float:
        """Setting of a saw at the foot, 0 where it cuts square: off square, to the half degree [deg]."""
        return _saw(self.foot_angle)

    @property
    def head_saw(self) -> float:
        """Setting of a saw at the head, as at the foot [deg]."""
        return _saw(self.head_angle)

    def to_dict(self) -> CutJson:
        """Give the cut as a JSON object."""
        return {
            "long_point_in": self.long_point, "foot_angle_deg": self.foot_angle, "head_angle_deg": self.head_angle,
            "head_cut": self.head_cut, "level_face_in": self.level_face,
            "head_fasteners_that_fit": self.head_fits, "cleat_fasteners_that_fit": self.cleat_fits,
        }  # fmt: skip


def _saw(from_edge: float) -> float:
    return round((90.0 - from_edge) * 2.0) / 2.0


def cut_of(job: Job, brace: Brace) -> Cut:
    """Give the cut of a brace.

    Args:
        job: the job.
        brace: the brace.

    Source: STATICS, geometry.
    """
    degrees, head_cut = math.degrees(brace.angle), head_cut_of(job, brace)
    half = section(brace.size).width / 2.0
    return Cut(
        mark=brace.mark,
        long_point=whole_down(long_point(job, brace) / SIXTEENTH) * SIXTEENTH,
        foot_angle=degrees,
        head_angle=90.0 if head_cut == SQUARE else 90.0 - degrees,
        head_cut=head_cut,
        level_face=section(brace.size).width / math.sin(brace.angle),
        head_fits=head_fits(job, brace, head_cut),
        cleat_fits=cleat_fits(job, brace),
        foot_out=brace.set_back + half / math.sin(brace.angle),
        head_up=brace.head + half / math.cos(brace.angle),
    )


def head_cut_of(job: Job, brace: Brace) -> str:
    """Say how the head is cut: plumb against a stud's edge; lapped square, or plumb where square leaves no room.

    Args:
        job: the job.
        brace: the brace.
    """
    if job.kit.head.joint == PLUMB:
        return PLUMB
    return SQUARE if head_fits(job, brace, SQUARE) >= brace.head_fasteners else PLUMB


def past_face(job: Job, brace: Brace, head_cut: str) -> Inch:
    """Give how far the middle of the head runs past the plate's inside face, along the brace [in].

    A square end reaches the stud's outer edge with its upper corner, a plumb one with all of its cut; a head cut
    against the stud's edge stops there.

    Args:
        job: the job.
        brace: the brace.
        head_cut: square or plumb.

    Source: STATICS, geometry.
    """
    if job.kit.head.joint == PLUMB:
        return 0.0
    deep = section(job.wall.studs.size).width - CLEAR
    corner = section(brace.size).width / 2.0 * math.sin(brace.angle) if head_cut == SQUARE else 0.0
    return max(0.0, deep - corner) / math.cos(brace.angle)


def long_point(job: Job, brace: Brace) -> Inch:
    """Give the length of a brace, long point to long point [in].

    Args:
        job: the job.
        brace: the brace.

    Source: STATICS, geometry.
    """
    head_cut, half = head_cut_of(job, brace), section(brace.size).width / 2.0
    head = half * math.tan(brace.angle) if head_cut == PLUMB else 0.0
    return half / math.tan(brace.angle) + brace.length + past_face(job, brace, head_cut) + head


def top_corner(job: Job, brace: Brace) -> Inch:
    """Give the height of the highest point of the head above the floor; the plates must be higher [in].

    Args:
        job: the job.
        brace: the brace.

    Source: STATICS, geometry.
    """
    head_cut, half, angle = head_cut_of(job, brace), section(brace.size).width / 2.0, brace.angle
    past = past_face(job, brace, head_cut)
    if head_cut == PLUMB:
        return brace.head + past * math.sin(angle) + half / math.cos(angle)
    return brace.head + past * math.sin(angle) + half * math.cos(angle)


def head_fits(
    job: Job, brace: Brace, head_cut: str, *, one: Fastener | None = None, prebored: bool | None = None
) -> int:
    """Count the fasteners that fit where a brace laps its stud, row by row along the brace.

    A row v off the brace's middle runs from the stud's inner edge distance, u = (edge + v sin)/cos past the face, to
    its outer one or to the end distance from the cut, whichever comes first.

    Args:
        job: the job.
        brace: the brace.
        head_cut: square or plumb.
        one: the fastener; the job's own unless given.
        prebored: holes are bored first; as declared unless given.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    one = one or fastener(job.kit.head.fastener, job.fasteners)
    prebored = job.kit.head.bored if prebored is None else prebored
    kept = basis_of(job).acting.spacing(one, load="parallel", prebored=prebored)
    edge = basis_of(job).acting.spacing(one, load="perpendicular", prebored=prebored).edge
    stud, wide = section(job.wall.studs.size).width, section(brace.size).width
    sine, level = math.sin(brace.angle), math.cos(brace.angle)
    past = past_face(job, brace, head_cut)
    spread = wide / 2.0 - kept.edge
    rows = int(2.0 * spread / kept.between_rows + _TOUCH) + 1 if spread >= 0.0 else 0
    count = 0
    for row in range(rows):
        v = -(rows - 1) * kept.between_rows / 2.0 + row * kept.between_rows
        slope = v * sine / level if head_cut == PLUMB else 0.0
        start, stop = (edge + v * sine) / level, (stud - edge + v * sine) / level
        room = min(stop, past + slope - kept.end) - start
        count += int(room / kept.in_row + _TOUCH) + 1 if room >= -_TOUCH else 0
    return count


@frozen
class CleatRows:
    """Rows of fasteners from a brace's level-cut foot into its cleats, from the uppermost down.

    Attributes:
        each: fasteners in one row of the brace, all cleats together.
        parts: of its value each keeps where so many rows are used, the lowest for them all [-].
        apart: between two in a row, along the cleat [in].
        cleats: cleats they are shared by.
    """

    each: int
    parts: tuple[float, ...]
    apart: Inch
    cleats: int

    def used(self, there: float = math.inf) -> tuple[int, float]:
        """Give how many of so many are best counted, and what each of them then keeps.

        Args:
            there: how many there are [-].
        """
        ways = [(min(there, rows * self.each), part) for rows, part in enumerate(self.parts, start=1)]
        best = greatest(ways, lambda way: way[0] * way[1]) if ways and self.each else (0.0, 1.0)
        return int(best[0]), best[1]

    def stretch(self, count: int) -> Inch:
        """Give how far along the cleat the outermost of so many stand apart, as near as they may stand [in].

        Args:
            count: how many are counted.
        """
        rows = whole_up(count / self.each) if self.each else 1
        return self.apart * max(0, whole_up(count / max(rows, 1) / self.cleats) - 1)


def cleat_rows(
    job: Job, brace: Brace, *, one: Fastener | None = None, prebored: bool | None = None
) -> CleatRows:
    """Give the rows of fasteners a brace's level-cut foot has room for.

    One at height y stands y/sin along the grain from the level cut. Nearer than the end distance it keeps the part of
    its value that it has of the distance; under half of it, nothing. Two cleats share the room of the brace: their
    fasteners pass one another in its wood.

    Args:
        job: the job.
        brace: the brace.
        one: the fastener; the job's own unless given.
        prebored: holes are bored first; as declared unless given.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    cleat, stick, rise = job.kit.cleat, section(brace.size), math.sin(brace.angle)
    shape = cleat_shape(section(cleat.size), stick, cleat.lie)
    one = one or fastener(cleat.brace_fastener, job.fasteners)
    prebored = cleat.bored if prebored is None else prebored
    kept = basis_of(job).acting.spacing(one, load="parallel", prebored=prebored)
    # Pulled, the brace draws them up toward the upper edge of the cleat, and across its grain.
    highest = (
        shape.thickness - basis_of(job).acting.spacing(one, load="perpendicular", prebored=prebored).edge
    )
    rows = max(0, whole_down((highest - kept.edge) / kept.between_rows) + 1)
    parts = (part_near_cut((highest - k * kept.between_rows) / rise, kept.end) for k in range(rows))
    along = stick.width / rise - 2.0 * kept.edge / rise
    each = max(0, whole_down(along / kept.in_row) + 1)
    return CleatRows(each, tuple(part for part in parts if part), kept.in_row, cleat.sides)


def cleat_fits(job: Job, brace: Brace, *, one: Fastener | None = None, prebored: bool | None = None) -> int:
    """Count the fasteners that have room from a brace's level-cut foot into its cleats.

    Args:
        job: the job.
        brace: the brace.
        one: the fastener; the job's own unless given.
        prebored: holes are bored first; as declared unless given.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    return cleat_rows(job, brace, one=one, prebored=prebored).used()[0]
