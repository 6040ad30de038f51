"""The wall from the brace side: studs, openings, rows, braces and their marks from LEFT."""

from __future__ import annotations

from bracing.drawing.model import (
    BOLD,
    PALE,
    PAPER_WIDTH,
    POINTS_PER_INCH,
    TALLEST,
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
from bracing.job.framing import Framing, frame_wall, further_kings, underside
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Wall
from bracing.results import foot_x
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import Inch

SIDES, TOP = 0.62, 0.25  # margins beside and over the wall [in of paper]
LENGTH_LINE = 0.5  # under the labels, for the length of the wall [in of paper]
BROAD, BROAD_TALLEST = 7.3, 3.3  # in of paper: as wide as a page
LABEL, MARK = 8.0, 9.0  # size of words, and of marks [pt]
LEADER, GAP = 8.0, 2.0  # from the plate to the first labels, and from a leader to its words [pt]
TALL = 23.0  # of a label of two lines, with its gap [pt]
THIN, THICK = 0.6, 1.6
BARE = "not sheathed"
Label = tuple[Inch, str, str]  # where from LEFT, the mark, and the words under it


def elevation(
    job: Job, page: Quantities = ENGLISH, *, narrow: bool = False, scale: float | None = None
) -> Drawing:
    """Draw the wall from the brace side, every brace marked once, under the wall.

    Args:
        job: the job with its braces.
        page: how lengths are written.
        narrow: for a phone: marks alone, where it is else as wide as a page and says how far each stud is from LEFT.
        scale: inches of the wall to an inch of paper; None: as fits the page.
    """
    wall, framing = job.wall, frame_wall(job.wall)
    labels = [
        (foot_x(job, k, brace.stud_at), short(brace.mark), "" if narrow else page.length(brace.stud_at))
        for k, brace in enumerate(job.braces)
    ]
    width, tallest = (PAPER_WIDTH, TALLEST) if narrow else (BROAD, BROAD_TALLEST)
    if scale is not None:
        width = wall.length / scale + 2.0 * SIDES
    rows = rows_of(labels, width)
    margins = (SIDES, (LEADER + rows * TALL) / POINTS_PER_INCH + LENGTH_LINE, SIDES, TOP)
    paper = fit(
        (0.0, 0.0, wall.length, wall.highest),
        margins,
        width=wide_enough(labels, width),
        tallest=tallest,
        scale=scale,
    )
    items: list[Item] = [*_sticks(job.wall, framing), *_openings(job), *_outline(job)]
    items += [
        DrawnLine(((one.foot, 0.0), (one.head, wall.height_at(one.head))), "ROWS", THICK, "dashed")
        for one in wall.diagonals
    ]
    items += [
        DrawnLine(((x, 0.0), (x, wall.height_at(x))), "OPENINGS", THIN, "dashdot")
        for one in wall.bare
        for x in (one.left, one.right)
    ]
    items += _heights(job, paper, page)
    for k, brace in enumerate(job.braces):
        items += _brace(job, k, brace)
    items += under(labels, paper, rows=rows)
    items += _free_words(job, items, paper, page=page)
    marks = ", ".join(
        f"{short(b.mark)} at {page.length(b.stud_at)} from LEFT, head {page.length(b.head)}"
        for b in job.braces
    )
    return Drawing(
        "elevation",
        "The wall from the brace side",
        f"Elevation of the wall, {page.length(wall.length)} long and {page.length(wall.highest)} high, seen from the "
        f"brace side. {len(wall.openings)} openings. Braces: {marks or 'none'}."
        f"{_diagonals(job, page)}{_bare(job, page)}",
        paper,
        tuple(items),
    )


def _diagonals(job: Job, page: Quantities) -> str:
    """Where each diagonal in the frame goes, for who cannot see it; nothing of a wall without one."""
    each = ", ".join(
        f"{one.size} from {page.length(one.foot)} on the plate to {page.length(one.head)} at the top"
        for one in job.wall.diagonals
    )
    return f" Diagonals in the frame: {each}." if each else ""


def _bare(job: Job, page: Quantities) -> str:
    """Where a sheathed wall is not, for who cannot see it; nothing of a wall sheathed all over."""
    each = ", ".join(
        f"{page.length(one.left)} to {page.length(one.right)} from LEFT" for one in job.wall.bare
    )
    return f" Not sheathed: {each}." if each else ""


def _sticks(wall: Wall, framing: Framing) -> list[Item]:
    kinds, thick = {"row": "ROWS", "header": "OPENINGS", "sill": "OPENINGS"}, framing.thickness
    kings: list[Item] = [
        DrawnLine(((x, thick), (x, underside(wall, x, thick))), "STUDS", THIN, "solid", PALE)
        for x in further_kings(wall, thick)
    ]
    return kings + [
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
    named = (f"{page.length(each)} high" for each in (left, right))
    items: list[Item] = [
        Dimension((0.0, 0.0), (0.0, left), -out, next(named), "upright"),
        Dimension((wall.length, 0.0), (wall.length, right), wall.length + out, next(named), "upright"),
    ]
    peak = max(wall.top, key=lambda point: point[1])
    if peak[1] > max(left, right) + 1.0:
        at = wall.length + 2.0 * out
        items.append(Dimension((peak[0], 0.0), peak, at, f"peak {page.length(peak[1])}", "upright"))
    low = paper.box[1] + paper.points(22.0)
    items.append(Dimension((0.0, 0.0), (wall.length, 0.0), low, f"{page.length(wall.length)} long"))
    words = f"LEFT: {wall.left_is}" if wall.left_is else "LEFT"
    items.append(Words((0.0, low - paper.points(4.0)), words, LABEL, "left", "top", bold=True))
    return items


def wide_enough(labels: list[Label], width: float) -> float:
    """Give the width of paper on which the labels stand side by side in two rows at the most [in of paper].

    Args:
        labels: where from LEFT, and the words.
        width: of the paper, if it is enough [in of paper].
    """
    return max(width, (len(labels) + 1) / 2.0 * _step(labels) / POINTS_PER_INCH)


def rows_of(labels: list[Label], room: float) -> int:
    """Give how many rows the labels stand in: one where there is room for all, or two by turns.

    Args:
        labels: where from LEFT, and the words.
        room: for them across the paper [in of paper].
    """
    return 1 if len(labels) * _step(labels) <= room * POINTS_PER_INCH else 2


def _step(labels: list[Label]) -> float:
    """The widest label with a gap [pt]."""
    longest = max(
        (max(BOLD * MARK * length_of(mark), LABEL * length_of(words)) for _, mark, words in labels),
        default=0.0,
    )
    return longest + 2.0 * GAP + 1.0


def under(labels: list[Label], paper: Paper, *, rows: int, start: Inch = 0.0) -> list[Item]:
    """Write level labels under the plate or the floor, spread so that none overlaps, each with a leader to its brace.

    Args:
        labels: where from LEFT, the mark, and the words under it.
        paper: the paper.
        rows: they stand in, by turns.
        start: how high what they stand under is drawn [in].
    """
    labels = sorted(labels)
    step, drop = paper.points(_step(labels) / rows), paper.points(LEADER)
    aside = step * rows / 2.0
    low, high = paper.box[0] + aside, paper.box[2] - aside
    places = spread([at for at, *_ in labels], step, low=low, high=high)
    items: list[Item] = []
    for k, ((at, mark, words), place) in enumerate(zip(labels, places, strict=True)):
        down = drop + paper.points(TALL) * (k % rows)
        items.append(
            DrawnLine(((at, start), (place, start - drop), (place, start - down)), "DIMENSIONS", 0.5)
        )
        top = start - down - paper.points(GAP)
        items.append(Words((place, top), mark, MARK, "center", "top", bold=True))
        if words:
            items.append(Words((place, top - paper.points(MARK + 1.0)), words, LABEL, "center", "top"))
    return items


def _free_words(job: Job, items: list[Item], paper: Paper, *, page: Quantities) -> list[Item]:
    """Sizes of openings, and rows: each where there is room clear of braces, or left to the tables."""
    found: list[Item] = []
    gap = paper.points(4.0)
    wishes: list[list[Words]] = []
    for o in job.wall.openings:
        words = f"{page.length(o.width)} x {page.length(o.height)}"
        middle = ((o.left + o.right) / 2.0, (o.sill + o.top) / 2.0)
        if paper.points(LABEL * length_of(words)) < o.width:
            wishes.append([Words(middle, words, LABEL, "center", "center")])
        elif paper.points(LABEL * length_of(words)) < o.height:
            wishes.append([Words(middle, words, LABEL, "center", "center", 90.0)])
    for one in job.wall.bare:
        up = (0.12, 0.9, 0.25, 0.75, 0.5)
        spots = [
            (one.left + one.width * part, min(z for _, z in job.wall.top) * high)
            for high in up
            for part in (0.5, 0.3, 0.7)
        ]
        wishes.append([Words(spot, BARE, LABEL, "center", "center") for spot in spots])
    for row in job.wall.rows:
        words = f"{row.kind} {row.size} at {page.length(row.height)}"
        wishes.append([Words((x, row.height + gap / 2.0), words, LABEL) for x in _steps(job.wall.length)])
    for wish in wishes:
        placed = first_free(wish, [*items, *found], paper)
        found += [placed] if placed else []
    return found


def _steps(length: Inch) -> list[Inch]:
    return [length * k / 20.0 for k in range(1, 18)]
