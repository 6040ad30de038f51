"""One brace from the side, in its own upright plane: set-back, head, length and both angles."""

from __future__ import annotations

import math

from bracing.chain.cuts import PLUMB, cut_of, head_cut_of, past_face
from bracing.drawing.model import (
    PALE,
    Area,
    Dimension,
    Drawing,
    Item,
    Line,
    Paper,
    Point,
    Words,
    fit,
    rectangle,
)
from bracing.drawing.place import short
from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.units import Inch, Radian, tape

MARGINS = (0.85, 0.6, 0.35, 0.2)
ARC_STEPS = 24
SMALL = 7.5
LONGEST_TITLE = 50


def brace_outline(job: Job, brace: Brace) -> tuple[Point, ...]:
    """Give the outline of a brace in its upright plane: level at the floor, square or plumb at the head.

    y runs from the plate's inside face toward the foot, z up.

    Args:
        job: gives the stud it laps.
        brace: the brace.
    """
    wide, angle = section(brace.size).width, brace.angle
    away, up = math.cos(angle), math.sin(angle)  # along the brace: toward the wall and up
    half = wide / 2.0 / up
    foot_out, foot_in = (brace.set_back + half, 0.0), (brace.set_back - half, 0.0)
    head_cut = head_cut_of(job, brace)
    past = past_face(job, brace, head_cut)
    end = (-past * away, brace.head + past * up)
    if head_cut == PLUMB:
        rise = wide / 2.0 / away
        return (foot_out, (end[0], end[1] + rise), (end[0], end[1] - rise), foot_in)
    over = (end[0] + wide / 2.0 * up, end[1] + wide / 2.0 * away)
    under = (end[0] - wide / 2.0 * up, end[1] - wide / 2.0 * away)
    return (foot_out, over, under, foot_in)


def brace_section(job: Job, brace: Brace, *, same: tuple[str, ...] = ()) -> Drawing:
    """Draw one brace from the side.

    Args:
        job: the job.
        brace: the brace.
        same: marks of the braces that are alike.
    """
    wall = job.wall
    high, thick = wall.height_at(brace.stud_at), section(wall.studs.size).width
    paper = fit((-thick, -12.0, brace.set_back + 8.0, high), MARGINS)
    cut = cut_of(job, brace)
    items: list[Item] = [
        Area(rectangle((-thick, 1.5), (0.0, high)), "STUDS", shade=0.93, width=1.0),
        Area(rectangle((-thick, 0.0), (0.0, 1.5)), "WALL", shade=0.8),
        Line(((-thick - 12.0, 0.0), (brace.set_back + 24.0, 0.0)), "FLOOR", 1.6),
        Area(brace_outline(job, brace), "BRACES", shade=0.75, width=1.0),
        Line(((brace.set_back, 0.0), (0.0, brace.head)), "BRACES", 0.4, "dashdot", PALE),
        *_ties(brace),
    ]
    items += _sizes(brace, paper, thick, high)
    items += _angles(brace, paper)
    turned = f"level cut at the foot {cut.foot_angle:.1f} degrees, {cut.head_cut} cut at the head {cut.head_angle:.1f}"
    who = _who([short(mark) for mark in same or (brace.mark,)])
    return Drawing(
        f"section-{short(brace.mark)}",
        f"{who} from the side",
        f"Section through {who}: head {tape(brace.head)}, foot {tape(brace.set_back)} out, "
        f"{tape(brace.length)} long, {math.degrees(brace.angle):.1f} degrees from the floor; {turned}.",
        paper,
        tuple(items),
    )


def _who(marks: list[str]) -> str:
    listed = ", ".join(marks)
    return listed if len(listed) <= LONGEST_TITLE else f"{marks[0]} and {len(marks) - 1} like it"


def _ties(brace: Brace) -> list[Item]:
    """A tie row is seen on its end: a 2x4 on the edge of the brace."""
    wide, items = section(brace.size).width / 2.0, []
    for k in range(1, brace.ties + 1):
        part = k / (brace.ties + 1)
        y, z = brace.set_back * (1.0 - part), brace.head * part
        across = (math.sin(brace.angle), math.cos(brace.angle))
        near = (y + wide * across[0], z + wide * across[1])
        along = (-math.cos(brace.angle) * 1.75, math.sin(brace.angle) * 1.75)
        far = (near[0] + 1.5 * across[0], near[1] + 1.5 * across[1])
        corners = tuple(
            (p[0] + s * along[0], p[1] + s * along[1])
            for p, s in ((near, -1), (near, 1), (far, 1), (far, -1))
        )
        items.append(Area(corners, "ROWS", shade=1.0, width=1.0))
    return list(items)


def _sizes(brace: Brace, paper: Paper, thick: Inch, high: Inch) -> list[Item]:
    left = -thick - paper.points(18.0)
    return [
        Dimension((0.0, 0.0), (0.0, brace.head), left, f"head {tape(brace.head)}", "upright"),
        Dimension((0.0, 0.0), (0.0, high), left - paper.points(22.0), f"stud {tape(high)}", "upright"),
        Dimension((0.0, 0.0), (brace.set_back, 0.0), -paper.points(22.0), f"set-back {tape(brace.set_back)}"),
        Dimension(
            (brace.set_back, 0.0), (0.0, brace.head),
            -(section(brace.size).width / 2.0 + paper.points(14.0)), tape(brace.length), "along",
        ),
    ]  # fmt: skip


def _angles(brace: Brace, paper: Paper) -> list[Item]:
    angle, size = brace.angle, paper.points(44.0)
    degrees = math.degrees(angle)
    foot, head = (brace.set_back, 0.0), (0.0, brace.head)
    half = angle / 2.0
    reach = size + paper.points(6.0)
    low = (foot[0] - reach * math.cos(half), foot[1] + reach * math.sin(half))
    turn = (math.pi / 2.0 - angle) / 2.0
    under = (head[0] + reach * math.sin(turn), head[1] - reach * math.cos(turn))
    return [
        Line(_arc(foot, size, math.pi - angle, math.pi), "DIMENSIONS", 0.6),
        Line(_arc(head, size, -math.pi / 2.0, -angle), "DIMENSIONS", 0.6),
        Words(low, f"{degrees:.1f}°", SMALL, "right", "center", layer="DIMENSIONS"),
        Words(under, f"{90.0 - degrees:.1f}°", SMALL, "center", "top", layer="DIMENSIONS"),
    ]


def _arc(centre: Point, radius: Inch, start: Radian, end: Radian) -> tuple[Point, ...]:
    steps = [start + (end - start) * k / ARC_STEPS for k in range(ARC_STEPS + 1)]
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in steps)
