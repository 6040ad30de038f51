"""The wall from the brace side: studs, openings, rows, braces and their marks from LEFT."""

from __future__ import annotations

from bracing.drawing.model import (
    PALE,
    PAPER_WIDTH,
    POINTS_PER_INCH,
    Area,
    Dimension,
    Drawing,
    DrawnLine,
    Item,
    Paper,
    Words,
    first_free,
    fit,
    length_of,
    rectangle,
    short,
    spread,
)
from bracing.job.brace import Brace
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.results import foot_x
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import Inch

SIDES, TOP = 0.62, 0.25  # margins beside and over the wall [in of paper]
LENGTH_LINE = 0.5  # under the labels, for the length of the wall [in of paper]
LABEL = 7.5  # size of words [pt]
MARK = 9.0  # size of marks in the drawing [pt]
STEP = 13.0  # between labels along the plate [pt]
GAP = 2.0  # from leader to words [pt]
LEADER = 14.0  # from plate to labels [pt]
THIN, THICK = 0.6, 1.6
Label = tuple[Inch, str]  # where from LEFT, and the words


def elevation(job: Job, page: Quantities = ENGLISH) -> Drawing:
    """Draw the wall from the brace side.

    Args:
        job: the job with its braces.
        page: how lengths are written.
    """
    wall, framing = job.wall, frame_wall(job.wall)
    labels = [
        (brace.stud_at, f"{short(brace.mark)}  {page.length(brace.stud_at)}, head {page.length(brace.head)}")
        for brace in job.braces
    ]
    margins = (SIDES, room_for(labels) + LENGTH_LINE, SIDES, TOP)
    paper = fit((0.0, 0.0, wall.length, wall.highest), margins, width=wide_enough(len(labels)))
    items: list[Item] = [*_sticks(framing), *_openings(job), *_outline(job)]
    items += _heights(job, paper, page)
    for k, brace in enumerate(job.braces):
        items += _brace(job, k, brace)
    items += along_the_plate(labels, paper, wall.length)
    items += _free_words(job, items, paper, page=page)
    marks = ", ".join(
        f"{short(b.mark)} at {page.length(b.stud_at)} from LEFT, head {page.length(b.head)}"
        for b in job.braces
    )
    return Drawing(
        "elevation",
        "The wall from the brace side",
        f"Elevation of the wall, {page.length(wall.length)} long and {page.length(wall.highest)} high, seen from the "
        f"brace side. {len(wall.openings)} openings. Braces: {marks or 'none'}.",
        paper,
        tuple(items),
    )


def _sticks(framing: Framing) -> list[Item]:
    kinds = {"row": "ROWS", "header": "OPENINGS", "sill": "OPENINGS"}
    return [
        DrawnLine(
            ((s.x0, s.z0), (s.x1, s.z1)), kinds.get(s.kind, "STUDS"), THIN if s.kind != "row" else THICK,
            "dashed" if s.kind == "row" else "solid", PALE,
        )
        for s in framing.members
    ]  # fmt: skip


def _outline(job: Job) -> list[Item]:
    wall = job.wall
    corners = ((0.0, 0.0), *wall.top, (wall.length, 0.0), (0.0, 0.0))
    thick = section(wall.studs.size).thickness
    plates = [DrawnLine(tuple((x, z - ply * thick) for x, z in wall.top), "WALL", THIN) for ply in (1, 2)]
    foot = DrawnLine(((0.0, thick), (wall.length, thick)), "WALL", THIN)
    return [DrawnLine(corners, "WALL", THICK), *plates, foot]


def _openings(job: Job) -> list[Item]:
    items: list[Item] = []
    for o in job.wall.openings:
        items.append(Area(rectangle((o.left, o.sill), (o.right, o.top)), "OPENINGS", width=1.0))
        items.append(DrawnLine(((o.left, o.sill), (o.right, o.top)), "OPENINGS", 0.3, ink=PALE))
        items.append(DrawnLine(((o.left, o.top), (o.right, o.sill)), "OPENINGS", 0.3, ink=PALE))
    return items


def _brace(job: Job, index: int, brace: Brace) -> list[Item]:
    """The stick from floor to head, beside its stud: this view shows its edge."""
    at, half = foot_x(job, index, brace.stud_at), section(brace.size).thickness / 2.0
    items: list[Item] = [
        Area(rectangle((at - half, 0.0), (at + half, brace.head)), "BRACES", shade=0.0, width=0.6),
    ]
    if brace.stud_doubled:
        thick = section(job.wall.studs.size).thickness
        other = thick if brace.lap_side == "left" else -thick
        top = job.wall.height_at(brace.stud_at) - 2.0 * thick
        items += [
            DrawnLine(((x, thick), (x, top)), "STUDS", 1.0) for x in (brace.stud_at, brace.stud_at + other)
        ]
    return items


def _heights(job: Job, paper: Paper, page: Quantities) -> list[Item]:
    wall = job.wall
    left, right = wall.top[0][1], wall.top[-1][1]
    out = paper.points(16.0)
    items: list[Item] = [
        Dimension((0.0, 0.0), (0.0, left), -out, page.length(left), "upright"),
        Dimension((wall.length, 0.0), (wall.length, right), wall.length + out, page.length(right), "upright"),
    ]
    peak = max(wall.top, key=lambda point: point[1])
    if peak[1] > max(left, right) + 1.0:
        items.append(
            Dimension((peak[0], 0.0), peak, wall.length + 2.0 * out, page.length(peak[1]), "upright")
        )
    low = paper.box[1] + paper.points(22.0)
    items.append(Dimension((0.0, 0.0), (wall.length, 0.0), low, page.length(wall.length)))
    items.append(
        Words(
            (0.0, low - paper.points(4.0)),
            f"LEFT: {wall.left_is}" if wall.left_is else "LEFT",
            LABEL,
            "left",
            "top",
            bold=True,
        )
    )
    return items


def wide_enough(count: int) -> float:
    """Give the width of paper on which so many labels stand side by side: two drawings to a page, one to a phone.

    Args:
        count: of the labels.

    Example:
        >>> wide_enough(5), round(wide_enough(20), 1)
        (3.6, 4.9)
    """
    return max(PAPER_WIDTH, 2.0 * SIDES + count * STEP / POINTS_PER_INCH)


def room_for(labels: list[Label]) -> float:
    """Give the paper labels turned a quarter take under the plate [in of paper].

    Args:
        labels: where from LEFT, and the words.
    """
    longest = max((length_of(words) for _, words in labels), default=0.0)
    return (LEADER + GAP + LABEL * longest) / POINTS_PER_INCH + 0.1


def along_the_plate(labels: list[Label], paper: Paper, length: Inch) -> list[Item]:
    """Write labels turned a quarter under the plate, spread so that none overlaps, each with a leader.

    Args:
        labels: where from LEFT, and the words.
        paper: the paper.
        length: of the wall [in].
    """
    labels = sorted(labels)
    step, drop = paper.points(STEP), paper.points(LEADER)
    places = spread([at for at, _ in labels], step, low=step / 2.0, high=length - step / 2.0)
    items: list[Item] = []
    for (at, words), place in zip(labels, places, strict=True):
        bend = -drop / 2.0
        items.append(
            DrawnLine(((at, 0.0), (at, bend / 2.0), (place, bend), (place, -drop)), "DIMENSIONS", 0.5)
        )
        under = -drop - paper.points(GAP)
        items.append(Words((place, under), words, LABEL, "center", "top", 90.0))
    return items


def _free_words(job: Job, items: list[Item], paper: Paper, *, page: Quantities) -> list[Item]:
    """Marks at the heads, sizes of openings, and rows: each where there is room, or left to the tables."""
    found: list[Item] = []
    gap = paper.points(4.0)
    wishes: list[list[Words]] = []
    for k, brace in enumerate(job.braces):
        at, mark = foot_x(job, k, brace.stud_at), short(brace.mark)
        spots = [(at, brace.head + gap), (at - gap * 2, brace.head + gap), (at + gap * 2, brace.head + gap)]
        spots += [(at, brace.head + gap * n) for n in (4, 7, 10)]
        over = [Words(spot, mark, MARK, "center", bold=True) for spot in spots]
        aside = [
            Words((at + side * gap, brace.head * part), mark, MARK, align, bold=True)
            for part in (0.5, 0.3, 0.1)
            for side, align in sorted(((1.0, "left"), (-1.0, "right")), reverse=at < job.wall.length / 2.0)
        ]
        tall = paper.points(MARK * 1.5)
        under = [
            w for w in over if w.at[1] + tall < job.wall.height_at(min(max(w.at[0], 0.0), job.wall.length))
        ]
        wishes.append([*under, *aside])
    for o in job.wall.openings:
        words = f"{page.length(o.width)} x {page.length(o.height)}"
        middle = ((o.left + o.right) / 2.0, (o.sill + o.top) / 2.0)
        if paper.points(6.5 * length_of(words)) < o.width:
            wishes.append([Words(middle, words, 6.5, "center", "center")])
        elif paper.points(6.5 * length_of(words)) < o.height:
            wishes.append([Words(middle, words, 6.5, "center", "center", 90.0)])
    for row in job.wall.rows:
        words = f"{row.kind} {row.size} at {page.length(row.height)}"
        wishes.append([Words((x, row.height + gap / 2.0), words, 6.5) for x in _steps(job.wall.length)])
    for wish in wishes:
        placed = first_free(wish, [*items, *found], paper)
        found += [placed] if placed else []
    return found


def _steps(length: Inch) -> list[Inch]:
    return [length * k / 20.0 for k in range(1, 18)]
