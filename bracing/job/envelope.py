"""Where the tool stops and an engineer begins; and what it warns of inside that."""

from __future__ import annotations

import math
from itertools import pairwise

from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.units import Inch, Mph, tape

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


def beyond(job: Job, gust: Mph | None) -> tuple[str, ...]:
    """Say in plain words what lies outside the envelope of use; nothing if all is inside.

    Args:
        job: the job.
        gust: the gust asked, or None [mph].
    """
    wall = job.wall
    lowest = min(z for _, z in wall.top)
    said = []
    if gust is not None and not GUSTS[0] <= gust <= GUSTS[1]:
        said.append(f"gust {gust:g} mph; this tool covers {GUSTS[0]:g} to {GUSTS[1]:g} mph")
    if lowest < HEIGHTS[0] - _SLACK or wall.highest > HEIGHTS[1] + _SLACK:
        said.append(f"height {tape(lowest)} to {tape(wall.highest)}; this tool covers 4 ft to 30 ft")
    if wall.length > LONGEST + _SLACK:
        said.append(f"length {tape(wall.length)}; this tool covers up to 120 ft")
    if wall.studs.spacing > WIDEST_SPACING + _SLACK:
        said.append(f"studs at {wall.studs.spacing:g} in; this tool covers up to 24 in")
    for brace in job.braces:
        angle = math.degrees(brace.angle)
        if not ANGLES[0] <= angle <= ANGLES[1]:
            said.append(
                f"{brace.mark} at {angle:.1f} degrees from the floor; braces count from 25 to 65 degrees"
            )
        if brace.length > LONGEST_BRACE + _SLACK:
            said.append(f"{brace.mark} is {tape(brace.length)} long; braces count up to 24 ft")
        if brace.head < LEAST_HEAD * wall.height_at(brace.stud_at) - _SLACK:
            said.append(
                f"{brace.mark} meets its stud under half its height; the plate is kicked the other way"
            )
    return tuple(said)


def warnings(job: Job) -> tuple[str, ...]:
    """Say in plain words what is inside the envelope and still poor practice.

    Args:
        job: the job.
    """
    said = []
    for brace in job.braces:
        angle = math.degrees(brace.angle)
        if angle > FAIR_ANGLES[1]:
            said.append(f"{brace.mark} is steep, {angle:.0f} degrees: it lifts wall and foot hard")
        if angle < FAIR_ANGLES[0]:
            said.append(f"{brace.mark} is flat, {angle:.0f} degrees: long, and it buckles sooner")
        if brace.head < FAIR_HEAD * job.wall.height_at(brace.stud_at) - _SLACK:
            said.append(f"{brace.mark} meets its stud below two thirds of its height: more force in it")
    return (*said, *_gaps(job), *_underfoot(job), *_returns(job))


def _returns(job: Job) -> list[str]:
    """Say of a declared return that it holds nothing."""
    ends = ((job.wall.left_end, "LEFT"), (job.wall.right_end, "the right"))
    named = " and at ".join(name for end, name in ends if end == "return")
    return (
        [f"the return at {named} counts for nothing yet: end free, whatever is fastened there"]
        if named
        else []
    )


def _underfoot(job: Job) -> list[str]:
    """What the feet stand on and no table proves."""
    floor = job.floor
    if not job.braces:
        return []
    if floor.kind == "ground":
        return ["feet on the ground: no soil table is this soil; prove a stake or a weight by a pull test"]
    if floor.kind == "slab":
        return [
            "anchors in a slab carry what was typed in only where it is proved: pull one at the slab's age"
        ]
    kind = (floor.joists or Joists()).kind
    if kind != "sawn" and any(brace.into_joist for brace in job.braces):
        name = {"i-joist": "I-joists", "truss": "floor trusses"}[kind]
        return [f"{name} are not checked under the feet: their maker says what a foot may lift or press"]
    return []


def _gaps(job: Job) -> list[str]:
    """Free ends and gaps between braces past the judgement of the design."""
    places = sorted(brace.stud_at for brace in job.braces)
    if not places:
        return []
    said = [
        f"braces at {tape(a)} and {tape(b)} are over 10 ft apart"
        for a, b in pairwise(places)
        if b - a > MOST_APART + _SLACK
    ]
    for distance, name in ((places[0], "LEFT"), (job.wall.length - places[-1], "the right")):
        if distance > MOST_FROM_END + _SLACK:
            said.append(f"the first brace from {name} is {tape(distance)} in from a free end, over 4 ft")
    return said
