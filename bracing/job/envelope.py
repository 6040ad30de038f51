"""Where the tool stops and an engineer begins; and what it warns of inside that."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TypedDict

from attrs import frozen

from bracing.choosing import over
from bracing.job.brace import INTO_JOIST
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.wall import Opening, Wall
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
WIDEST_OPENING: Inch = 216.0
APART_SLACK: Inch = 0.01  # studs taped to the hundredth
BESIDE_OPENING: Inch = 18.0  # a brace at a wide opening stands this near its edge
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
    said += [
        Said(
            "beyond-opening",
            width=Quantity(opening.width, Kind.TAPE),
            most=Quantity(WIDEST_OPENING, Kind.FEET),
        )
        for opening in wall.openings
        if opening.width > WIDEST_OPENING + _SLACK
    ]
    for brace in job.braces:
        angle = math.degrees(brace.angle)
        if over(ANGLES[0], angle) or over(angle, ANGLES[1]):
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
        if over(angle, FAIR_ANGLES[1]):
            said.append(Said("steep-brace", mark=brace.mark, angle=Quantity(brace.angle, Kind.DEGREES)))
        if over(FAIR_ANGLES[0], angle):
            said.append(Said("flat-brace", mark=brace.mark, angle=Quantity(brace.angle, Kind.DEGREES)))
        if brace.head < FAIR_HEAD * job.wall.height_at(brace.stud_at) - _SLACK:
            said.append(Said("low-head", mark=brace.mark))
    return (*said, *_gaps(job), *_underfoot(job), *_under_loads(job), *_older_words(job))


def _under_loads(job: Job) -> list[Said]:
    """What nothing is checked of under a load from above."""
    return [Said("above-headers")] if any(one.stands and one.count for one in job.wall.above) else []


def _older_words(job: Job) -> list[Said]:
    """Say once of an older file that it names the feet by a field of before."""
    feet = [path for path in job.declared if path.endswith(f".{INTO_JOIST}")]
    return [Said("into-joist-is-foot-on", was=INTO_JOIST)] if feet else []


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
    if kind != "sawn" and any(brace.in_wood for brace in job.braces):
        return [Said("feet-on-i-joists") if kind == "i-joist" else Said("feet-on-trusses")]
    return []


Edge = tuple[Inch, Inch, Inch]


def edges_of(opening: Opening) -> tuple[Edge, Edge]:
    """Give both edges of an opening, each with the stretch in which a brace stands at it [in].

    Args:
        opening: the opening.
    """
    left, right = opening.left, opening.right
    return (left, left - BESIDE_OPENING, left), (right, right, right + BESIDE_OPENING)


def across_opening(wall: Wall, left: Inch, right: Inch) -> bool:
    """Whether two braces stand at the edges of one wide opening, whose header carries what is between them.

    Args:
        wall: the wall.
        left: stud of the one toward LEFT [in].
        right: stud of the other [in].

    Source: JUDGEMENT, wide openings.

    Example:
        >>> door = Opening(left=60.0, width=192.0, height=84.0)
        >>> garage = Wall(name="W", top=((0.0, 108.0), (312.0, 108.0)), openings=(door,))
        >>> across_opening(garage, 57.75, 254.25), across_opening(garage, 36.0, 254.25)
        (True, False)
    """
    return any(
        all(
            low - _SLACK <= x <= high + _SLACK
            for x, (_, low, high) in zip((left, right), edges_of(opening), strict=True)
        )
        for opening in wall.openings
        if opening.wide
    )


def may_follow(wall: Wall, left: Inch, right: Inch) -> bool:
    """Whether a layout may have two braces next to one another, none between them.

    No edge of a wide opening is passed over; how far apart they stand is practice, see `past_practice`.

    Args:
        wall: the wall.
        left: stud of the one toward LEFT; -inf for none before the first [in].
        right: stud of the other; inf for none after the last [in].

    Source: JUDGEMENT, wide openings.
    """
    wide = [opening for opening in wall.openings if opening.wide]
    if any(left < low - _SLACK and right > high + _SLACK for o in wide for _, low, high in edges_of(o)):
        return False
    return left < right


def past_practice(wall: Wall, left: Inch, right: Inch) -> bool:
    """Whether more wall lies between two braces, or past the last one, than builders leave.

    Over 10 ft between two braces, but for those at both edges of a wide opening, and over 4 ft past the last. The
    chain alone says whether it stands so.

    Args:
        wall: the wall.
        left: stud of the one toward LEFT; -inf for none before the first [in].
        right: stud of the other; inf for none after the last [in].

    Source: JUDGEMENT, spacing of braces.
    """
    if math.isinf(left) or math.isinf(right):
        return (right if math.isinf(left) else wall.length - left) > MOST_FROM_END + APART_SLACK
    return right - left > MOST_APART + APART_SLACK and not across_opening(wall, left, right)


GapJson = TypedDict("GapJson", {
    "left": str | None, "right": str | None, "ft": float, "most_ft": float, "across_opening": bool,
})  # fmt: skip


@frozen
class Gap:
    """A stretch between two braces, or past the last one, longer than builders leave.

    Attributes:
        left: mark of the brace toward LEFT; None at the end of the wall.
        right: mark of the other; None at the end of the wall.
        length: how long it is [in].
        most: the longest builders leave [in].
        across_opening: a header carries it, from brace to brace at both edges of a wide opening.
    """

    left: str | None
    right: str | None
    length: Inch
    most: Inch
    across_opening: bool = False

    def to_dict(self) -> GapJson:
        """Give it as a JSON object."""
        return {
            "left": self.left, "right": self.right, "ft": round(self.length / 12.0, 3), "most_ft": self.most / 12.0,
            "across_opening": self.across_opening,
        }  # fmt: skip


def gaps(job: Job) -> tuple[Gap, ...]:
    """Give each gap over 10 ft between braces, from LEFT, and each end over 4 ft from its brace.

    Args:
        job: the job with its braces.
    """
    wall, braces = job.wall, sorted(job.braces, key=lambda brace: brace.stud_at)
    found = [
        Gap(a.mark, b.mark, b.stud_at - a.stud_at, MOST_APART, across_opening(wall, a.stud_at, b.stud_at))
        for a, b in pairwise(braces)
        if b.stud_at - a.stud_at > MOST_APART + APART_SLACK
    ]
    if braces and past_practice(wall, -math.inf, braces[0].stud_at):
        found.insert(0, Gap(None, braces[0].mark, braces[0].stud_at, MOST_FROM_END))
    if braces and past_practice(wall, braces[-1].stud_at, math.inf):
        found.append(Gap(braces[-1].mark, None, wall.length - braces[-1].stud_at, MOST_FROM_END))
    return tuple(found)


def past_practice_of(job: Job) -> int:
    """Count the gaps and ends longer than builders leave; none across a wide opening.

    Args:
        job: the job with its braces.
    """
    return sum(not gap.across_opening for gap in gaps(job))


def _gaps(job: Job) -> list[Said]:
    """Free ends and gaps between braces longer than builders leave, and wide openings with no brace at an edge."""
    if not job.braces:
        return []
    places = sorted(brace.stud_at for brace in job.braces)
    found = gaps(job)
    said = [_gap_said(gap) for gap in found if gap.left is not None and gap.right is not None]
    said += [
        Said(
            "no-brace-at-the-edge", width=Quantity(opening.width, Kind.TAPE), edge=Quantity(edge, Kind.TAPE),
            most=Quantity(BESIDE_OPENING, Kind.INCHES),
        )
        for opening in job.wall.openings
        if opening.wide
        for edge, low, high in edges_of(opening)
        if not any(low - _SLACK <= x <= high + _SLACK for x in places)
    ]  # fmt: skip
    return said + [_gap_said(gap) for gap in found if gap.left is None or gap.right is None]


def _gap_said(gap: Gap) -> Said:
    long, most = Quantity(gap.length, Kind.TAPE), Quantity(gap.most, Kind.FEET)
    if gap.left is None:
        return Said("free-end-at-left", distance=long, most=most)
    if gap.right is None:
        return Said("free-end-at-right", distance=long, most=most)
    if gap.across_opening:
        return Said("header-carries", apart=long, first=gap.left, second=gap.right)
    return Said("braces-far-apart", apart=long, first=gap.left, second=gap.right, most=most)
