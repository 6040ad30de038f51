"""How each brace is cut, and what must be bought."""

from __future__ import annotations

import math
from collections import Counter

from attrs import frozen

from bracing.brace import Brace
from bracing.fasteners import fastener
from bracing.job import Job
from bracing.joints.spacing import fasteners_that_fit, least_spacing
from bracing.lumber import section
from bracing.units import Inch, tape

HEAD_PAST: Inch = 4.0  # a lapped head runs this far past its joint's middle, for end distance
SIXTEENTH: Inch = 1.0 / 16.0
SPARE = 1.10  # fasteners are bought with a tenth to spare
BOX_STEP = 5


@frozen
class Cut:
    """How one brace is cut.

    Attributes:
        mark: its mark.
        long_point: long point to long point, down to 1/16 in [in].
        foot_angle: angle of the level cut at the foot, from the stick's edge [deg].
        head_angle: angle of the cut at the head, from the stick's edge [deg].
        level_face: length of the level cut [in].
        stick: stock it is cut from, as "2x6 x 16 ft", or "" where none is long enough.
        head_fits: fasteners that fit where brace and stud cross.
    """

    mark: str
    long_point: Inch
    foot_angle: float
    head_angle: float
    level_face: Inch
    stick: str
    head_fits: int

    def to_dict(self) -> dict[str, object]:
        """Give the cut as a JSON object."""
        return {
            "long_point_in": self.long_point, "foot_angle_deg": self.foot_angle, "head_angle_deg": self.head_angle,
            "level_face_in": self.level_face, "stick": self.stick or None, "head_fasteners_that_fit": self.head_fits,
        }  # fmt: skip


def cut_of(job: Job, brace: Brace) -> Cut:
    """Give the cut of a brace: level at the foot, square past a lapped head, plumb against an edge.

    Args:
        job: the job.
        brace: the brace.

    Source: geometry.
    """
    wide, angle = section(brace.size).width, brace.angle
    lapped = job.kit.head.joint == "lapped"
    foot = wide / 2.0 / math.tan(angle)
    head = HEAD_PAST if lapped else wide / 2.0 * math.tan(angle)
    point = math.floor((brace.length + foot + head) / SIXTEENTH + 1e-6) * SIXTEENTH
    sticks = sorted(s.length for s in job.kit.stock if s.size == brace.size and s.length >= point)
    stick = f"{brace.size} x {sticks[0] / 12.0:g} ft" if sticks else ""
    degrees = math.degrees(angle)
    return Cut(
        brace.mark,
        point,
        degrees,
        90.0 if lapped else 90.0 - degrees,
        wide / math.sin(angle),
        stick,
        _head_fits(job, brace),
    )


def _head_fits(job: Job, brace: Brace) -> int:
    """Fasteners that fit where the brace crosses the stud, by published spacing."""
    stud, stick = section(job.wall.studs.size).width, section(brace.size).width
    one = fastener(job.kit.head.fastener, job.fasteners)
    spacing = least_spacing(one, load="parallel", prebored=one.kind != "nail")
    along = min(stud / math.sin(math.pi / 2.0 - brace.angle), brace.length) + HEAD_PAST
    return fasteners_that_fit(along, stick, spacing).count


@frozen
class Item:
    """One line of the truck list.

    Attributes:
        what: what it is.
        count: how many.
        unit: each, ft.
    """

    what: str
    count: int
    unit: str = "each"

    def to_dict(self) -> dict[str, object]:
        """Give the line as a JSON object."""
        return {"what": self.what, "count": self.count, "unit": self.unit}


def truck_list(job: Job) -> tuple[Item, ...]:
    """Give what a layout takes: sticks, cleats, ties, fasteners with a tenth to spare.

    Args:
        job: the job with its braces.
    """
    sticks = Counter(
        cut_of(job, brace).stick or f"{brace.size} longer than any on hand" for brace in job.braces
    )
    kit, plate, count = job.kit, job.wall.plate, len(job.braces)
    items = [Item(what, number) for what, number in sorted(sticks.items())]
    if job.floor.kind != "ground":
        items.append(Item(f"cleat {kit.cleat.size} x {tape(kit.cleat.length)}", count * kit.cleat.sides))
    ties = max((brace.ties for brace in job.braces), default=0)
    if ties and count > 1:
        run = max(b.stud_at for b in job.braces) - min(b.stud_at for b in job.braces)
        feet = math.ceil(ties * (run / 12.0 + 2.0 * max(b.length for b in job.braces) / 12.0 * 0.75))
        items.append(Item("2x4 for tie rows and their diagonals", feet, "ft"))
    doubled = sum(brace.stud_doubled for brace in job.braces)
    if doubled:
        items.append(Item(f"{job.wall.studs.size} to double a stud, full height", doubled))
    needs: Counter[str] = Counter()
    for brace in job.braces:
        needs[kit.head.fastener] += brace.head_fasteners
        needs[kit.cleat.brace_fastener] += brace.cleat_fasteners
        needs["anchor in the slab" if job.floor.kind == "slab" else kit.cleat.floor_fastener] += (
            brace.floor_fasteners
        )
        if plate.extra.at_each_brace:
            needs[plate.extra.fastener] += plate.extra.at_each_brace
    items += [
        Item(name, math.ceil(number * SPARE / BOX_STEP) * BOX_STEP)
        for name, number in sorted(needs.items())
        if number
    ]
    for pounds, what in (
        (job.wall.top_plate.strap_at_brace_lb, "strap, top plate to stud"),
        (plate.strap_at_brace_lb, "strap, stud to floor framing"),
    ):
        if pounds > 0.0:
            items.append(Item(f"{what}, allowable {pounds:.0f} lb", count))
    return tuple(items)
