"""Where the tool stops and an engineer begins; and what it warns of inside that."""

from __future__ import annotations

import math
from itertools import pairwise

from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch, Mph

# The envelope of use, design section 6; engineering judgement, docs/judgement.md.
GUSTS: tuple[Mph, Mph] = (5.0, 120.0)
HEIGHTS: tuple[Inch, Inch] = (48.0, 360.0)
LONGEST: Inch = 1440.0
WIDEST_SPACING: Inch = 24.0
ANGLES = (25.0, 65.0)
FAIR_ANGLES = (30.0, 60.0)
LONGEST_BRACE: Inch = 288.0
LEAST_HEAD = 0.5
FAIR_HEAD = 2.0 / 3.0
MOST_APART: Inch = 120.0
MOST_FROM_END: Inch = 48.0
_SLACK = 1e-6


def beyond(job: Job, gust: Mph | None) -> tuple[Said, ...]:
    """Say what lies outside the envelope of use; nothing if all is inside.

    Args:
        job: the job.
        gust: the gust asked, or None [mph].
    """
    wall = job.wall
    lowest = min(z for _, z in wall.top)
    said = []
    if gust is not None and not GUSTS[0] <= gust <= GUSTS[1]:
        low, high = (Quantity(each, Kind.GIVEN) for each in GUSTS)
        said.append(Said("beyond-gust", gust=Quantity(gust, Kind.GIVEN), low=low, high=high))
    if lowest < HEIGHTS[0] - _SLACK or wall.highest > HEIGHTS[1] + _SLACK:
        least, most = (Quantity(each, Kind.FEET) for each in HEIGHTS)
        tall = Quantity(wall.highest, Kind.TAPE)
        said.append(Said("beyond-height", low=Quantity(lowest, Kind.TAPE), high=tall, least=least, most=most))
    if wall.length > LONGEST + _SLACK:
        long = Quantity(wall.length, Kind.TAPE)
        said.append(Said("beyond-length", length=long, most=Quantity(LONGEST, Kind.FEET)))
    if wall.studs.spacing > WIDEST_SPACING + _SLACK:
        apart = Quantity(wall.studs.spacing, Kind.INCHES)
        said.append(Said("beyond-spacing", apart=apart, most=Quantity(WIDEST_SPACING, Kind.INCHES)))
    for brace in job.braces:
        angle = math.degrees(brace.angle)
        if not ANGLES[0] <= angle <= ANGLES[1]:
            flat, steep = (Quantity(math.radians(each), Kind.DEGREES) for each in ANGLES)
            said.append(
                Said(
                    "beyond-angle",
                    mark=brace.mark,
                    angle=Quantity(brace.angle, Kind.TENTHS),
                    low=flat,
                    high=steep,
                )
            )
        if brace.length > LONGEST_BRACE + _SLACK:
            long = Quantity(brace.length, Kind.TAPE)
            most = Quantity(LONGEST_BRACE, Kind.FEET)
            said.append(Said("beyond-brace-length", mark=brace.mark, length=long, most=most))
        if brace.head < LEAST_HEAD * wall.height_at(brace.stud_at) - _SLACK:
            said.append(Said("beyond-head", mark=brace.mark))
    return tuple(said)


def warnings(job: Job) -> tuple[Said, ...]:
    """Say what is inside the envelope and still poor practice."""
    said = []
    for brace in job.braces:
        angle = math.degrees(brace.angle)
        if angle > FAIR_ANGLES[1]:
            said.append(Said("steep-brace", mark=brace.mark, angle=Quantity(brace.angle, Kind.DEGREES)))
        if angle < FAIR_ANGLES[0]:
            said.append(Said("flat-brace", mark=brace.mark, angle=Quantity(brace.angle, Kind.DEGREES)))
        if brace.head < FAIR_HEAD * job.wall.height_at(brace.stud_at) - _SLACK:
            said.append(Said("low-head", mark=brace.mark))
    return (*said, *_gaps(job), *_underfoot(job), *_returns(job))


def _returns(job: Job) -> list[Said]:
    """Say of a declared return that it holds nothing."""
    ends = (job.wall.left_end == "return", job.wall.right_end == "return")
    if all(ends):
        return [Said("returns-at-both-ends")]
    return [Said("return-at-left")] * ends[0] + [Said("return-at-right")] * ends[1]


def _underfoot(job: Job) -> list[Said]:
    """What the feet stand on and no table proves."""
    floor = job.floor
    if not job.braces:
        return []
    if floor.kind == "ground":
        return [Said("feet-on-the-ground")]
    if floor.kind == "slab":
        return [Said("feet-on-a-slab")]
    kind = (floor.joists or Joists()).kind
    if kind != "sawn" and any(brace.into_joist for brace in job.braces):
        return [Said("feet-on-i-joists") if kind == "i-joist" else Said("feet-on-trusses")]
    return []


def _gaps(job: Job) -> list[Said]:
    """Free ends and gaps between braces past the judgement of the design."""
    places = sorted(brace.stud_at for brace in job.braces)
    if not places:
        return []
    most, most_end = Quantity(MOST_APART, Kind.FEET), Quantity(MOST_FROM_END, Kind.FEET)
    said = [
        Said("braces-far-apart", first=Quantity(a, Kind.TAPE), second=Quantity(b, Kind.TAPE), most=most)
        for a, b in pairwise(places)
        if b - a > MOST_APART + _SLACK
    ]
    left, right = places[0], job.wall.length - places[-1]
    if left > MOST_FROM_END + _SLACK:
        said.append(Said("free-end-at-left", distance=Quantity(left, Kind.TAPE), most=most_end))
    if right > MOST_FROM_END + _SLACK:
        said.append(Said("free-end-at-right", distance=Quantity(right, Kind.TAPE), most=most_end))
    return said
