"""One brace from the side with its angles; its head and foot to scale: what laps what, where the fasteners go."""

from __future__ import annotations

import math
from collections.abc import Callable

from bracing.chain.cuts import PLUMB, Cut, cut_of, head_cut_of, past_face
from bracing.chain.plate import edge_beside
from bracing.chain.room import CLEAT_END, in_cross_cleat
from bracing.choosing import whole_up
from bracing.drawing.model import (
    PALE,
    Area,
    Dimension,
    Dot,
    Drawing,
    DrawnLine,
    Item,
    Paper,
    Point,
    Words,
    fit,
    rectangle,
    short,
)
from bracing.job.brace import IN_BLOCK, ON_CROSS, Brace
from bracing.job.fasteners import fastener
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.layers import layer
from bracing.job.lumber import section
from bracing.results import foot_x
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import Inch

CARD, CARD_TALLEST = 2.1, 2.5  # in of paper: beside the words of a card
SECTION_MARGINS = (0.48, 0.46, 0.46, 0.36)
STUD_SHOWN: Inch = 18.0  # over the head
FIGURE, SMALL = 8.0, 7.5  # size of figures on a card, and of words under a detail [pt]


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


def brace_section(
    job: Job, brace: Brace, page: Quantities = ENGLISH, *, scale: float | None = None
) -> Drawing:
    """Draw one brace from the side, measured as it is taped: to its long points, and to the middle of head and foot.

    Args:
        job: the job.
        brace: the brace.
        page: how lengths are written.
        scale: inches of the brace to an inch of paper; None: as fits its card.
    """
    thick = section(job.wall.studs.size).width
    cut, who = cut_of(job, brace), short(brace.mark)
    high = min(job.wall.height_at(brace.stud_at), cut.head_up + STUD_SHOWN)
    paper = fit(
        (-thick, 0.0, cut.foot_out, high), SECTION_MARGINS, width=CARD, tallest=CARD_TALLEST, scale=scale
    )
    items: list[Item] = [
        Area(rectangle((-thick, 1.5), (0.0, high)), "STUDS", shade=0.93, width=1.0),
        Area(rectangle((-thick, 0.0), (0.0, 1.5)), "WALL", shade=0.8),
        DrawnLine(((-thick - 6.0, 0.0), (cut.foot_out + 6.0, 0.0)), "FLOOR", 1.6),
        Area(brace_outline(job, brace), "BRACES", shade=0.75, width=1.0),
        DrawnLine(((brace.set_back, 0.0), (0.0, brace.head)), "BRACES", 0.4, "dashdot", PALE),
        *_ties(brace),
        *_taped(job, brace, paper, page),
        *_saws(brace, cut, paper),
        *_from_left(job, brace, paper, page),
    ]
    return Drawing(
        f"section-{who}",
        f"{who} from the side",
        f"{who} from the side: top edge on the stud {page.length(cut.head_up)} up, long point of the foot "
        f"{page.length(cut.foot_out)} from the plate, {page.length(cut.long_point)} long point to long point; saw "
        f"{cut.foot_saw:g} degrees at the foot, {cut.head_saw:g} at the head.",
        paper,
        tuple(items),
    )


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


def _taped(job: Job, brace: Brace, paper: Paper, page: Quantities) -> list[Item]:
    """Each length from where the tape is hooked to where it is read."""
    cut, row, plate = cut_of(job, brace), paper.points(FIGURE * 1.7), (0.0, 0.0)
    (toe, top, *_), out = brace_outline(job, brace), -section(job.wall.studs.size).width - paper.points(6.0)
    part = cut.long_point / math.dist(toe, top)  # down to a sixteenth
    end = (toe[0] + part * (top[0] - toe[0]), toe[1] + part * (top[1] - toe[1]))
    along = -paper.points(6.0)
    return [
        Dimension(
            plate, (0.0, cut.head_up), out, f"head, top edge {page.length(cut.head_up)}", "upright", FIGURE
        ),
        Dimension(
            plate, (0.0, brace.head), out - row, f"head, middle {page.length(brace.head)}", "upright", FIGURE
        ),
        Dimension(
            plate, (brace.set_back, 0.0), -row, f"foot, middle {page.length(brace.set_back)}", size=FIGURE
        ),
        Dimension(
            plate,
            (cut.foot_out, 0.0),
            -2.0 * row,
            f"foot, long point {page.length(cut.foot_out)}",
            size=FIGURE,
        ),
        Dimension(toe, end, along, f"cut {page.length(cut.long_point)}", "along", FIGURE),
    ]


def _from_left(job: Job, brace: Brace, paper: Paper, page: Quantities) -> list[Item]:
    """Where the stud is, and the middle of the foot, which lies beside it."""
    foot = foot_x(job, job.braces.index(brace), brace.stud_at)
    right, top = paper.box[2] - paper.points(4.0), paper.box[3] - paper.points(3.0)
    said = (f"stud {page.length(brace.stud_at)} from LEFT", f"foot {page.length(foot)} from LEFT")
    return [
        Words((right, top - k * paper.points(FIGURE * 1.4)), words, FIGURE, "right", "top")
        for k, words in enumerate(said)
    ]


def _saws(brace: Brace, cut: Cut, paper: Paper) -> list[Item]:
    """What the saw is set to, beside each cut."""
    low, under = (brace.set_back * 0.5, paper.points(3.0)), (paper.points(4.0), brace.head * 0.45)
    return [
        Words(low, f"saw {cut.foot_saw:g}°", FIGURE, "center", layer="DIMENSIONS"),
        Words(under, f"saw {cut.head_saw:g}°", FIGURE, "left", "top", layer="DIMENSIONS"),
    ]


DETAIL = 2.85  # tallest, so that six stand on a page in words of their own size [in of paper]
MARGINS = (0.3, 1.15, 0.3, 0.32)  # the words stand under the drawing
EDGE: Inch = 0.75  # fasteners are drawn no nearer an edge
FINEST: Inch = 0.3
JOIST_SHOWN: Inch = 7.0
SLAB_SHOWN: Inch = 4.0


def details(job: Job, brace: Brace, page: Quantities = ENGLISH) -> tuple[Drawing, ...]:
    """Draw the head; the foot from the side, from its end and from above; the bottom plate from its end.

    Args:
        job: the job.
        brace: the brace.
        page: how lengths are written.
    """
    feet = () if job.floor.kind == "ground" else (_foot_side, _foot_end, _foot_above)
    return (_head(job, brace, page), *(draw(job, brace, page) for draw in feet), *plate_section(job, page))


def plate_section(job: Job, page: Quantities = ENGLISH) -> tuple[Drawing, ...]:
    """Draw the bottom plate from its end: its sheathed edge, which the sheathing lifts, and where its rows stand.

    Args:
        job: the job; on a bare frame there is no such edge.
        page: how lengths are written.
    """
    plate, shape = job.wall.plate, section(job.wall.studs.size)
    if not job.wall.sheathed:
        return ()
    wide, thick, panel, deck = shape.width, shape.thickness, 0.5, SLAB_SHOWN / 2.0
    rows = [("rows", plate.fastener, plate.row_from_sheathed_edge)] if plate.state == "final" else []
    if plate.extra.at_each_brace:
        rows.append(("at each brace", plate.extra.fastener, edge_beside(plate)))
    if job.floor.kind == "slab":  # what is declared of a fastener into wood has no part in concrete
        rows = [(what, "anchor", edge) for what, _, edge in rows]
    paper = fit((-wide - 4.0, -deck, 4.0, 8.0), MARGINS, tallest=DETAIL)
    items: list[Item] = [
        Area(rectangle((-wide - 4.0, -deck), (4.0, 0.0)), "FLOOR", shade=0.97),
        Area(rectangle((-wide, 0.0), (0.0, thick)), "STUDS", shade=0.88, width=1.2),
        Area(rectangle((-wide, thick), (0.0, 8.0)), "STUDS", shade=0.93, width=1.0),
        Area(rectangle((-wide - panel, 0.0), (-wide, 8.0)), "STUDS", shade=0.75, width=1.0),
    ]
    said = ["sheathed edge to the left; from it:"]
    for k, (what, name, edge) in enumerate(rows):
        at = wide / 2.0 if edge is None else edge
        items.append(DrawnLine(((-wide + at, thick), (-wide + at, -deck)), "FASTENERS", 1.1))
        items.append(Dot((-wide + at, thick), 0.2))
        level = 8.0 + paper.points(5.0) if k == 0 else 5.0
        items.append(
            Dimension((-wide, thick), (-wide + at, thick), level, f"{what} {page.length(at)}", size=SMALL)
        )
        where = "in the middle" if edge is None else page.length(edge).removeprefix("0'-").removeprefix("0 ")
        said.append(f"{what}: {short(name)}, {where}")
    items += legend(tuple(said), paper, -deck)
    return (
        Drawing(
            "plate", "Bottom plate, from its end",
            f"The bottom plate to scale, its rows from its sheathed edge: {'; '.join(said[1:])}.",
            paper, tuple(items),
        ),
    )  # fmt: skip


def inside(points: tuple[Point, ...], at: Point, margin: Inch) -> bool:
    """Whether a point lies in a convex outline, at least so far from its edges.

    Args:
        points: corners, either way round [in].
        at: the point [in].
        margin: least distance to every edge [in].

    Example:
        >>> inside(((0, 0), (4, 0), (4, 4), (0, 4)), (1.0, 2.0), 0.9)
        True
    """
    sides = []
    for k, (x0, y0) in enumerate(points):
        x1, y1 = points[(k + 1) % len(points)]
        sides.append(((x1 - x0) * (at[1] - y0) - (y1 - y0) * (at[0] - x0)) / math.hypot(x1 - x0, y1 - y0))
    return all(s >= margin for s in sides) or all(s <= -margin for s in sides)


def pattern(count: int, middle: Point, *, fits: Callable[[Point], bool], along: Point) -> tuple[Point, ...]:
    """Give places for fasteners where they fit, in rows along a direction, nearest the middle of what fits.

    Args:
        count: how many.
        middle: about where [in].
        fits: whether one may stand at a point.
        along: direction of the rows, of unit length.
    """
    step = 2.5
    while count and step >= FINEST:
        across = (-along[1], along[0])
        spots = [
            (
                middle[0] + (i * along[0] + j * across[0]) * step,
                middle[1] + (i * along[1] + j * across[1]) * step,
            )
            for i in (k / 2.0 for k in range(-24, 25, 2))
            for j in (k / 2.0 for k in range(-9, 10, 2))
        ]
        spots = [spot for spot in spots if fits(spot)]
        if len(spots) >= count:
            centre = (sum(s[0] for s in spots) / len(spots), sum(s[1] for s in spots) / len(spots))
            return tuple(sorted(spots, key=lambda s: math.dist(s, centre))[:count])
        step *= 0.9
    return ()


def _head(job: Job, brace: Brace, page: Quantities) -> Drawing:
    stud = section(job.wall.studs.size).width
    lapped, z = job.kit.head.joint == "lapped", brace.head
    top = min(job.wall.height_at(brace.stud_at), z + 13.0)
    low = z - 15.0
    paper = fit((-stud - 3.0, low, 15.0, top), MARGINS, tallest=DETAIL)
    outline = brace_outline(job, brace)
    shown = tuple(_clipped(outline, low))
    upright = rectangle((-stud, low), (0.0, top))
    along = (-math.cos(brace.angle), math.sin(brace.angle))
    spots: tuple[Point, ...] = ()
    if lapped:
        middle = (-stud / 2.0, z + stud / 2.0 * math.tan(brace.angle))
        spots = pattern(
            brace.head_fasteners,
            middle,
            fits=lambda p: inside(outline, p, EDGE) and inside(upright, p, EDGE),
            along=along,
        )
    level = z - 15.0 - paper.points(14.0)
    head = job.kit.head
    said = f"{brace.head_fasteners} x {short(head.fastener)}"
    items: list[Item] = [
        Area(upright, "STUDS", shade=0.93, width=1.0),
        Area(shown, "BRACES", shade=0.75, width=1.2),
        DrawnLine(upright[1:3], "STUDS", 0.6, "dashed"),
        *(Dot(spot, 0.22) for spot in spots),
        Dimension((-stud, low), (0.0, low), level, f"stud {page.length(stud)}"),
    ]
    items += [
        DrawnLine(((-stud - 2.0, z), (8.0, z)), "DIMENSIONS", 0.5, "dashdot"),
        Words((8.0, z + paper.points(2.0)), f"head {page.length(z)}", SMALL),
        *legend(
            (
                said,
                f"{head.joint}, {head_cut_of(job, brace)} cut, {brace.size} on {job.wall.studs.size}",
                f"{math.degrees(brace.angle):.1f}° from the floor",
            ),
            paper,
            level,
        ),
    ]
    return Drawing(
        f"head-{short(brace.mark)}", "Head, from the side",
        f"The head of {short(brace.mark)} to scale: a {brace.size} {head.joint} on a {job.wall.studs.size} stud at "
        f"{page.length(z)}, {said}.",
        paper, tuple(items),
    )  # fmt: skip


def _clipped(outline: tuple[Point, ...], low: Inch) -> list[Point]:
    """Cut an outline off below a level."""
    kept: list[Point] = []
    for k, (x1, y1) in enumerate(outline):
        x0, y0 = outline[k - 1]
        if (y0 < low) != (y1 < low):
            part = (low - y0) / (y1 - y0)
            kept.append((x0 + part * (x1 - x0), low))
        if y1 >= low:
            kept.append((x1, y1))
    return kept


def _under(job: Job, brace: Brace) -> tuple[list[tuple[str, Inch]], str]:
    """Give what lies under the cleat, from the top: name and depth; and what the fasteners must reach."""
    if job.floor.kind == "slab":
        return [("slab", SLAB_SHOWN)], "anchors, as declared"
    deck = layer(job.floor.deck).thickness
    joists = job.floor.joists or Joists()
    under = [(f"deck {short(job.floor.deck)}", deck)]
    if brace.foot_on == ON_CROSS:
        below = (f"joist {joists.size}" if joists.kind == "sawn" else joists.kind, JOIST_SHOWN)
        return [*under, below], "into the cross cleats"
    if brace.in_wood:
        if brace.foot_on == IN_BLOCK:
            return [*under, (f"block {joists.size}", JOIST_SHOWN)], "into blocks"
        joist = f"joist {joists.size}" if joists.kind == "sawn" else joists.kind
        return [*under, (f"{joist} or blocking", JOIST_SHOWN)], "into a joist"
    return under, "deck panel only"


def _raised(job: Job, brace: Brace) -> Inch:
    """How far the cleats of a foot lie above the floor: on cross cleats, with the brace between those on the deck."""
    crossed = job.floor.kind == "deck" and brace.foot_on == ON_CROSS
    return section(job.floor.cross_cleat.size).thickness if crossed else 0.0


def _foot_side(job: Job, brace: Brace, page: Quantities) -> Drawing:
    cleat, shape, wide = job.kit.cleat, section(job.kit.cleat.size), section(brace.size).width
    low = _raised(job, brace)
    tall = low + (shape.thickness if cleat.lie == "flat" else shape.width)
    y0, y1 = -cleat.length / 2.0, cleat.length / 2.0
    under, reach = _under(job, brace)
    deep = sum(depth for _, depth in under)
    high = 14.0
    paper = fit((y0 - 2.0, -deep, y1 + 2.0, high), MARGINS, tallest=DETAIL)
    outline = tuple((y - brace.set_back, z) for y, z in brace_outline(job, brace))
    box, spots = rectangle((y0, low), (y1, tall)), _into_cleats(job, brace)
    items: list[Item] = []
    down = 0.0
    for _, depth in under:
        items.append(
            Area(rectangle((y0 - 2.0, down - depth), (y1 + 2.0, down)), "FLOOR", shade=0.97, width=0.8)
        )
        down -= depth
    if low:
        crossed = (rectangle((near, 0.0), (far, low)) for near, far in _cross_cleats_at(job))
        items += [Area(each, "FLOOR", shade=0.82, width=1.0) for each in crossed]
    items.append(Area(box, "BRACES", shade=0.88, width=1.0))
    items.append(Area(tuple(_clipped_above(outline, high)), "BRACES", shade=0.75, width=1.2))
    items.append(DrawnLine(((y0, tall), (y1, tall)), "BRACES", 0.6, "dashed"))
    items += [Dot(spot, 0.2) for spot in spots]
    items += _floor_fasteners(job, brace, tall)
    half = wide / 2.0 / math.sin(brace.angle)
    below = -deep - paper.points(16.0)
    items += [
        Dimension((y0, -deep), (y1, -deep), below, f"cleat {cleat.size} {page.length(cleat.length)}"),
        Dimension((-half, 0.0), (half, 0.0), high + paper.points(5.0), f"level cut {page.length(2.0 * half)}"),
        *legend(
            (
                "the wall is to the left",
                f"{brace.cleat_fasteners} to cleat; {brace.floor_fasteners} to floor, {reach}",
                *_named(job, brace, under),
            ), paper, below,
        ),
    ]  # fmt: skip
    return Drawing(
        f"foot-{short(brace.mark)}", "Foot, from the side",
        f"The foot of {short(brace.mark)} to scale: {cleat.size} cleat {page.length(cleat.length)} long lying "
        f"{cleat.lie}, {brace.cleat_fasteners} fasteners from brace to cleat, {brace.floor_fasteners} to the floor, "
        f"{reach}.",
        paper, tuple(items),
    )  # fmt: skip


def _into_cleats(job: Job, brace: Brace) -> tuple[Point, ...]:
    """Where the fasteners between a brace and its cleats stand, seen from the side: out from the foot's middle, up."""
    cleat, shape = job.kit.cleat, section(job.kit.cleat.size)
    tall, low = shape.thickness if cleat.lie == "flat" else shape.width, _raised(job, brace)
    outline = tuple((y - brace.set_back, z) for y, z in brace_outline(job, brace))
    box = rectangle((-cleat.length / 2.0, low), (cleat.length / 2.0, low + tall))
    return pattern(
        brace.cleat_fasteners, (0.0, low + tall / 2.0),
        fits=lambda p: inside(outline, p, EDGE / 2.0) and inside(box, p, min(EDGE, tall / 4.0)), along=(1.0, 0.0),
    )  # fmt: skip


def _sides(job: Job, brace: Brace) -> tuple[float, ...]:
    """On which sides of the brace its cleats lie: -1 toward LEFT."""
    return (-1.0, 1.0) if job.kit.cleat.sides > 1 else ((1.0,) if brace.lap_side == "left" else (-1.0,))


def _across(job: Job, brace: Brace) -> tuple[tuple[Inch, Inch], ...]:
    """The shank of each fastener between a brace and its cleats, across the foot: where its head is and its point.

    Two cleats on edge go down first and are screwed to the brace from their outer faces, by turns; a flat one is
    fastened through the brace.
    """
    cleat, thick, sides = job.kit.cleat, section(brace.size).thickness, _sides(job, brace)
    wide, long = section(cleat.size).thickness, fastener(cleat.brace_fastener, job.fasteners).length
    found = []
    for k in range(brace.cleat_fasteners):
        side = sides[k % len(sides)]
        head = side * (thick / 2.0 + wide) if _between(job) else -side * thick / 2.0
        found.append((head, head - side * long if _between(job) else head + side * long))
    return tuple(found)


def _between(job: Job) -> bool:
    """Whether the brace drops in between two cleats on edge that are down before it comes."""
    return job.kit.cleat.sides > 1 and job.kit.cleat.lie == "edge"


def _order(job: Job, brace: Brace) -> tuple[str, ...]:
    """In what order a foot is put together, as numbered in its drawings."""
    cleat = job.kit.cleat
    floor = "anchors" if job.floor.kind == "slab" else short(cleat.floor_fastener)
    down, held = (
        f"{brace.floor_fasteners} x {floor}",
        f"{brace.cleat_fasteners} x {short(cleat.brace_fastener)}",
    )
    if _between(job):
        return (
            "1 before the lift: both cleats on edge, a scrap of brace between;", f"   {down}, through their top edges",
            "2 wall up: take the scrap out, drop the brace in, plumb",
            f"3 {held}, from both outer faces",
        )  # fmt: skip
    if cleat.sides > 1:
        return (
            "1 before the lift: one flat cleat down",
            "2 wall up: set the brace against it, plumb, fasten through it",
            "3 then the other cleat, drawn tight against it, the same",
            f"   in all {down}, to the floor,", f"   {held}, to the brace",
        )  # fmt: skip
    return (
        "1 before the lift: the cleat down,", f"   {down}", "2 wall up: set the brace against it, plumb",
        f"3 {held}, through the brace",
    )  # fmt: skip


def _foot_above(job: Job, brace: Brace, page: Quantities) -> Drawing:
    """The foot from above, the wall to the left: floor fasteners in its cleats, those into the brace, and the order."""
    cleat, shape, thick = job.kit.cleat, section(job.kit.cleat.size), section(brace.size).thickness
    wide = shape.width if cleat.lie == "flat" else shape.thickness
    sides, half = _sides(job, brace), section(brace.size).width / 2.0 / math.sin(brace.angle)
    y0, y1, edge = -cleat.length / 2.0, cleat.length / 2.0, thick / 2.0 + wide + 2.5
    paper = fit((y0 - 2.0, -edge, y1 + 2.0, edge), MARGINS, tallest=DETAIL)
    items: list[Item] = [Area(rectangle((y0 - 2.0, -edge), (y1 + 2.0, edge)), "FLOOR", shade=0.97)]
    run = cleat.length - 2.0 * CLEAT_END
    lies = _cross_cleats_at(job) if _raised(job, brace) else ()
    items += [
        Area(rectangle((near, -edge), (far, edge)), "FLOOR", shade=0.82, width=1.0) for near, far in lies
    ]
    for k, side in enumerate(sides):
        x0, x1 = sorted((side * thick / 2.0, side * (thick / 2.0 + wide)))
        items.append(Area(rectangle((y0, x0), (y1, x1)), "BRACES", shade=0.88, width=1.0))
        count = (brace.floor_fasteners + (k == 0) * (len(sides) - 1)) // len(sides)
        places = [0.0] if count == 1 else [-run / 2.0 + run * i / (count - 1) for i in range(count)]
        places = [(near + far) / 2.0 for near, far in lies] or places
        items += [Dot((y, (x0 + x1) / 2.0), 0.25) for y in places]
    items.append(
        Area(rectangle((y0 - 2.0, -thick / 2.0), (half, thick / 2.0)), "BRACES", shade=0.75, width=1.2)
    )
    items.append(DrawnLine(((-half, -thick / 2.0), (-half, thick / 2.0)), "BRACES", 0.6, "dashed"))
    for (y, _), (head, point) in zip(_into_cleats(job, brace), _across(job, brace), strict=False):
        items.append(DrawnLine(((y, head), (y, point)), "FASTENERS", 1.1))
    one, other = (
        (sides[-1], sides[-1]) if _between(job) else (sides[0], sides[-1] if len(sides) > 1 else -sides[0])
    )
    far = thick / 2.0 + wide
    items += [
        _beside_line("1", y1 - CLEAT_END, one * far, paper),
        Words((y0 - 1.0, 0.0), "2", SMALL, "center", "center"),
        _beside_line("3", 0.0, other * (far if len(sides) > 1 else thick / 2.0), paper),
        Dimension(
            (y0, -edge),
            (y1, -edge),
            -edge - paper.points(16.0),
            f"cleat {cleat.size} {page.length(cleat.length)}",
        ),
        *legend(_order(job, brace), paper, -edge - paper.points(16.0)),
    ]
    return Drawing(
        f"foot-above-{short(brace.mark)}", "Foot, from above, the wall to the left",
        f"The foot of {short(brace.mark)} from above, to scale: "
        f"{'; '.join(line.strip(' ,;') for line in _order(job, brace))}.",
        paper, tuple(items),
    )  # fmt: skip


def _beside_line(words: str, at: Inch, out: Inch, paper: Paper) -> Words:
    """Words just outside an edge that lies so far to one side of the brace's middle."""
    clear = out + math.copysign(paper.points(3.0), out)
    return Words((at, clear), words, SMALL, "center", "bottom" if out > 0.0 else "top")


def legend(lines: tuple[str, ...], paper: Paper, under: Inch) -> list[Item]:
    """Write lines of words under a drawing.

    Args:
        lines: the words.
        paper: the paper.
        under: level they stand under [in].
    """
    left = paper.box[0] + paper.points(8.0)
    top = under - paper.points(8.0)
    return [
        Words((left, top - k * paper.points(12.0)), words, SMALL, valign="top")
        for k, words in enumerate(lines)
    ]


def _named(job: Job, brace: Brace, under: list[tuple[str, Inch]]) -> tuple[str, ...]:
    below = ", then ".join(name for name, _ in under)
    if not _raised(job, brace):
        return (f"under it {below}",)
    return (
        f"its cleats on two cross cleats {job.floor.cross_cleat.size},",
        f"the brace between them on {below}",
    )


def _clipped_above(outline: tuple[Point, ...], high: Inch) -> list[Point]:
    turned = _clipped(tuple((x, -y) for x, y in outline), -high)
    return [(x, -y) for x, y in turned]


def _cross_cleats_at(job: Job) -> tuple[tuple[Inch, Inch], ...]:
    """Where the two cross cleats lie under the ends of a foot, from its middle."""
    half = section(job.floor.cross_cleat.size).width / 2.0
    out = job.kit.cleat.length / 2.0 - in_cross_cleat(job)[1]
    return tuple((middle - half, middle + half) for middle in (-out, out))


def _long(job: Job) -> Inch:
    """How far a floor fastener reaches below the top of its cleat; an anchor is drawn to the slab's shown depth."""
    if job.floor.kind == "slab":
        return section(job.kit.cleat.size).thickness + SLAB_SHOWN * 0.75
    return fastener(job.kit.cleat.floor_fastener, job.fasteners).length


def _floor_fasteners(job: Job, brace: Brace, tall: Inch) -> list[Item]:
    """Their shanks, spread evenly along the cleat (over two cleats the nearer one's share is drawn)."""
    sides, length = job.kit.cleat.sides, job.kit.cleat.length
    count = whole_up(brace.floor_fasteners / sides)
    run = length - 2.0 * CLEAT_END
    places = [0.0] if count == 1 else [-run / 2.0 + run * k / (count - 1) for k in range(count)]
    if job.floor.kind == "deck" and brace.foot_on == ON_CROSS:
        places = [(near + far) / 2.0 for near, far in _cross_cleats_at(job)]
    return [DrawnLine(((y, tall), (y, tall - _long(job))), "FASTENERS", 1.1) for y in places]


def _foot_end(job: Job, brace: Brace, page: Quantities) -> Drawing:
    """The foot seen along the brace: the brace between or beside its cleats, and the fasteners' reach."""
    cleat, shape, thick = job.kit.cleat, section(job.kit.cleat.size), section(brace.size).thickness
    tall, wide = (shape.thickness, shape.width) if cleat.lie == "flat" else (shape.width, shape.thickness)
    low = _raised(job, brace)
    tall += low
    under, reach = _under(job, brace)
    deep = sum(depth for _, depth in under)
    sides = _sides(job, brace)
    edge = thick / 2.0 + wide + 2.0
    paper = fit((-edge - 6.0, -deep, edge + 6.0, 9.0), MARGINS, tallest=DETAIL)
    items: list[Item] = []
    down = 0.0
    for k, (_, depth) in enumerate(under):
        if k == 0:
            items.append(Area(rectangle((-edge, -depth), (edge, 0.0)), "FLOOR", shade=0.97))
        else:
            # Where the joist is under this foot is not known here: what each row of fasteners must find is dashed.
            for side in sides:
                x = side * (thick / 2.0 + wide / 2.0)
                sought = (*rectangle((x - 0.75, down - depth), (x + 0.75, down)), (x - 0.75, down - depth))
                items.append(DrawnLine(sought, "JOISTS", 0.8, "dashed"))
        down -= depth
    if low:
        items.append(Area(rectangle((-edge, 0.0), (edge, low)), "FLOOR", shade=0.82, width=1.0))
    items.append(Area(rectangle((-thick / 2.0, 0.0), (thick / 2.0, 9.0)), "BRACES", shade=0.75, width=1.2))
    for side in sides:
        x = side * thick / 2.0
        items.append(Area(rectangle((x, low), (x + side * wide, tall)), "BRACES", shade=0.88, width=1.0))
        middle = x + side * wide / 2.0
        items.append(DrawnLine(((middle, tall), (middle, tall - _long(job))), "FASTENERS", 1.1))
    for (_, z), (head, point) in zip(_into_cleats(job, brace), _across(job, brace), strict=False):
        items.append(DrawnLine(((head, z), (point, z)), "FASTENERS", 1.1))
    first = sides[-1]
    items.append(
        Dimension(
            (0.0, 0.0), (first * (thick / 2.0 + wide / 2.0), 0.0), 9.0 + paper.points(4.0),
            f"{page.length(thick / 2.0 + wide / 2.0)} off the middle", size=SMALL,
        )
    )  # fmt: skip
    items += legend((*_named(job, brace, under), f"floor fasteners {reach}"), paper, -deep)
    return Drawing(
        f"foot-end-{short(brace.mark)}", "Foot, from its end",
        f"The foot of {short(brace.mark)} seen along the brace, to scale: {len(sides)} cleat"
        f"{'s' if len(sides) > 1 else ''} {cleat.size} lying {cleat.lie}, fasteners {reach}.",
        paper, tuple(items),
    )  # fmt: skip
