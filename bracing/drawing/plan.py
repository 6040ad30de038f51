"""The floor from above: joists, keep-outs, partitions, braces to their feet; and the zone to clear."""

from __future__ import annotations

from bracing.check import CheckResult
from bracing.drawing.elevation import (
    LEADER,
    SIDES,
    TALL,
    THICK,
    THIN,
    TOP,
    Label,
    rows_of,
    under,
    wide_enough,
)
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
    Point,
    Words,
    first_free,
    fit,
    rectangle,
    short,
)
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.results import foot_x
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import Inch

DEEPEST = 3.0  # of the plan [in of paper]
ZONE_MARGINS = (0.3, 0.15, 0.3, 0.15)
FARTHEST: Inch = 480.0
MOST_JOISTS = 400


def plan(result: CheckResult, page: Quantities = ENGLISH, *, scale: float | None = None) -> Drawing:
    """Draw the floor from above, the wall at the top, the braces and their feet below it.

    Args:
        result: gives the job.
        page: how lengths are written.
        scale: inches of the floor to an inch of paper; None: as fits.
    """
    job = result.job
    wall, thick = job.wall, section(job.wall.studs.size).width
    foot = job.kit.cleat.length / 2.0 + 12.0
    far = [brace.set_back + foot for brace in job.braces]
    far += [max(out.corner[1], out.opposite[1]) for out in job.keep_outs]
    far += [max(part.start[1], part.end[1]) for part in job.floor.partitions]
    deepest = min(max([48.0, *far]), FARTHEST)
    labels = [(foot_x(job, k, brace.stud_at), short(brace.mark), "") for k, brace in enumerate(job.braces)]
    width, low, rows = PAPER_WIDTH, 0.3, 0
    if scale is not None:
        width = wall.length / scale + 2.0 * SIDES
        rows = rows_of(labels, width)
        low, width = (LEADER + rows * TALL) / POINTS_PER_INCH, wide_enough(labels, width)
    paper = fit(
        (0.0, -deepest, wall.length, thick),
        (SIDES, low, SIDES, TOP),
        width=width,
        tallest=DEEPEST,
        scale=scale,
    )
    items: list[Item] = [
        *_floor(job, deepest),
        Area(rectangle((0.0, 0.0), (wall.length, thick)), "WALL", shade=0.85),
    ]
    items += [Area(rectangle((o.left, 0.0), (o.right, thick)), "OPENINGS") for o in wall.openings]
    for k in range(len(job.braces)):
        items += _foot(job, k)
    gap = paper.points(3.0)
    items += [
        Words((-gap * 2.0, 0.0), "LEFT", 8.0, "right", "top", bold=True),
        Words((wall.length / 2.0, thick + gap), "OUTSIDE", 8.0, "center", bold=True),
    ]
    items += _names(job, items, paper)
    items += (
        _marks_under(job, labels, paper, deepest=deepest, rows=rows) if rows else _marks(job, items, paper)
    )
    feet = ", ".join(f"{short(b.mark)} {page.length(b.set_back)} out" for b in job.braces)
    return Drawing(
        "plan",
        "The floor from above",
        f"Plan. The wall runs left to right, outside is above it, the brace side below. Feet: {feet or 'none'}.",
        paper,
        tuple(items),
    )


def zone(result: CheckResult, page: Quantities = ENGLISH, *, scale: float | None = None) -> Drawing:
    """Draw the zone to clear around the wall.

    Args:
        result: gives the job and the zone.
        page: how lengths are written.
        scale: inches of the place to an inch of paper; None: as fits.
    """
    job, (inside, outside) = result.job, result.zone
    long, thick, past = job.wall.length, section(job.wall.studs.size).width, max(inside, outside)
    paper = fit((-past, -inside, long + past, outside), ZONE_MARGINS, tallest=2.6, scale=scale)
    items: list[Item] = [
        Area(rectangle((0.0, 0.0), (long, thick)), "WALL", shade=0.0, width=1.6),
        *(DrawnLine(((b.stud_at, 0.0), (b.stud_at, -b.set_back)), "BRACES", 1.6) for b in job.braces),
        *_zone(job, inside, outside, paper=paper, page=page),
    ]
    return Drawing(
        "zone",
        "The zone to clear",
        f"The zone to clear, from above: {page.length(inside)} on the brace side, {page.length(outside)} outside, and "
        "as far past both ends of the wall.",
        paper,
        tuple(items),
    )


def _floor(job: Job, deepest: Inch) -> list[Item]:
    """Joists, keep-outs and partitions; y runs from the plate toward the braces, drawn downward."""
    floor, long = job.floor, job.wall.length
    depth = min(floor.room or deepest, deepest)
    items: list[Item] = []
    if floor.kind == "deck" and floor.joists is not None:
        items += _joists(floor.joists, long, depth)
    if floor.room is not None and floor.room <= deepest:
        items.append(DrawnLine(((0.0, -floor.room), (long, -floor.room)), "FLOOR", 1.0))
    for out in job.keep_outs:
        (x0, y0), (x1, y1) = out.corner, out.opposite
        items.append(Area(rectangle((x0, -y0), (x1, -y1)), "KEEP-OUT", hatch="///", width=1.0))
    for part in floor.partitions:
        items.append(DrawnLine(_down(part.start, part.end), "FLOOR", 2.4, ink=PALE))
    return items


def _down(*points: Point) -> tuple[Point, ...]:
    return tuple((x, -y) for x, y in points)


def _joists(joists: Joists, long: Inch, depth: Inch) -> list[Item]:
    away = joists.run == "away"
    far = long if away else depth
    items: list[Item] = []
    at = joists.first % joists.spacing
    while at <= far + 1e-6 and len(items) < MOST_JOISTS:
        ends = ((at, 0.0), (at, -depth)) if away else ((0.0, -at), (long, -at))
        items.append(DrawnLine(ends, "JOISTS", 0.35, "dashed", PALE))
        at += joists.spacing
    return items


def _zone(job: Job, inside: Inch, outside: Inch, *, paper: Paper, page: Quantities) -> list[Item]:
    long, gap = job.wall.length, paper.points(3.0)
    edge = (
        (-outside, outside), (long + outside, outside), (long + outside, 0.0), (long + inside, 0.0),
        (long + inside, -inside), (-inside, -inside), (-inside, 0.0), (-outside, 0.0), (-outside, outside),
    )  # fmt: skip
    near, far = (long + min(inside, outside) * part for part in (0.3, 0.7))
    return [
        DrawnLine(edge, "ZONE", THICK, "dashdot"),
        Dimension((far, 0.0), (far, outside), far, f"{page.length(outside)} clear", "upright"),
        Dimension((near, -inside), (near, 0.0), near, f"{page.length(inside)} clear", "upright"),
        Dimension(
            (-inside, -inside * 0.5), (0.0, -inside * 0.5), -inside * 0.5, f"{page.length(inside)} clear"
        ),
        Dimension(
            (-outside, outside * 0.5), (0.0, outside * 0.5), outside * 0.5, f"{page.length(outside)} clear"
        ),
        Words((long / 2.0, outside * 0.5), "OUTSIDE", 8.0, "center", "center", bold=True),
        Words((long / 2.0, -inside + gap), "BRACE SIDE", 8.0, "center", bold=True),
    ]


def _foot(job: Job, index: int) -> list[Item]:
    brace, cleat = job.braces[index], job.kit.cleat
    at, half = foot_x(job, index, brace.stud_at), section(brace.size).thickness / 2.0
    shape = section(cleat.size)
    wide = shape.width if cleat.lie == "flat" else shape.thickness
    y0, y1 = brace.set_back - cleat.length / 2.0, brace.set_back + cleat.length / 2.0
    sides = (-1.0, 1.0) if cleat.sides > 1 else ((1.0,) if brace.lap_side == "left" else (-1.0,))
    items: list[Item] = []
    if job.floor.kind != "ground":
        for side in sides:
            edge = at + side * half
            items.append(Area(rectangle((edge, -y0), (edge + side * wide, -y1)), "BRACES", width=THIN))
    items.append(
        Area(rectangle((at - half, 0.0), (at + half, -brace.set_back)), "BRACES", shade=0.0, width=THIN)
    )
    return items


def _names(job: Job, items: list[Item], paper: Paper) -> list[Item]:
    """Names of keep-outs and partitions, then marks at the feet, each where there is room."""
    found: list[Item] = []
    gap = paper.points(4.0)
    for out in job.keep_outs:
        x, y = (out.corner[0] + out.opposite[0]) / 2.0, (out.corner[1] + out.opposite[1]) / 2.0
        words = [
            Words((x + gap * aside, -y + gap * k), short(out.name), 8.0, "center", "center", turn)
            for turn in (0.0, 90.0)
            for aside in (0.0, 1.0, -1.0, 3.0, -3.0, 5.0, -5.0)
            for k in (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0)
        ]
        found += _placed(words, items, found, paper)
    for part in job.floor.partitions:
        x, y = (part.start[0] + part.end[0]) / 2.0, (part.start[1] + part.end[1]) / 2.0
        words = [
            Words((x + s * gap, -y + gap * k), "partition", 8.0, "left" if s > 0.0 else "right", turn=90.0)
            for k in (0.0, 4.0, -4.0, 8.0, -8.0)
            for s in (0.6, -0.6)
        ]
        found += _placed(words, items, found, paper)
    return found


def _marks(job: Job, items: list[Item], paper: Paper) -> list[Item]:
    """The mark of each brace at its foot, where there is room."""
    found: list[Item] = []
    gap = paper.points(4.0)
    for k, brace in enumerate(job.braces):
        at, mark = foot_x(job, k, brace.stud_at), short(brace.mark)
        past = (-_foot_end(job, k) - gap * far for far in (0.5, 3.5, 6.5))
        choices = [Words((at, y), mark, 8.5, "center", "top", bold=True) for y in past]
        down = [brace.set_back * part for part in (0.5, 0.35, 0.65, 0.2, 0.8)]
        spots = [(at + side * gap * 1.5, -y) for y in down for side in (-1.0, 1.0)]
        choices += [
            Words(spot, mark, 8.5, "right" if spot[0] < at else "left", "center", bold=True) for spot in spots
        ]
        placed = first_free(choices, [*items, *found], paper, clear_of=("BRACES", "KEEP-OUT"))
        found += [placed] if placed else []
    return found


def _foot_end(job: Job, index: int) -> Inch:
    """How far out a foot with its cleats reaches."""
    return job.braces[index].set_back + job.kit.cleat.length / 2.0


def _marks_under(job: Job, labels: list[Label], paper: Paper, *, deepest: Inch, rows: int) -> list[Item]:
    """The mark of each brace under the floor, clear of all that is drawn on it, with a line from its foot."""
    down = [
        DrawnLine(((at, -_foot_end(job, k)), (at, -deepest)), "DIMENSIONS", 0.5)
        for k, (at, *_) in enumerate(labels)
    ]
    return [*down, *under(labels, paper, rows=rows, start=-deepest)]


def _placed(choices: list[Words], items: list[Item], found: list[Item], paper: Paper) -> list[Item]:
    placed = first_free(choices, [*items, *found], paper)
    return [placed] if placed else []
