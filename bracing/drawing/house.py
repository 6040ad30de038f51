"""The walls of a job from above: where each stands, its braces and feet, and what each corner counts for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bracing.drawing.elevation import SIDES, THIN
from bracing.drawing.model import (
    PALE,
    Area,
    Dot,
    Drawing,
    DrawnLine,
    Item,
    Paper,
    Point,
    Words,
    first_free,
    fit,
    short,
)
from bracing.job.house import ENDS, House, Placed, TopDeck, deck_name, hang_together
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.results import foot_x
from bracing.units import Inch

MARGINS = (SIDES, 0.4, SIDES, 0.4)
TALLEST = 6.0  # of the plan [in of paper]
RING: Inch = 9.0  # around a corner
APART: Inch = 36.0


def house_plan(
    house: House, jobs: Mapping[str, Job], placed: Mapping[str, Placed], *, counting: set[str]
) -> Drawing:
    """Draw the walls of a job from above.

    Args:
        house: the job, with what is ticked.
        jobs: its walls, by file.
        placed: where each stands.
        counting: the names of the corners and decks that count.
    """
    here = _apart(house, jobs, placed)
    points = [point for file, place in here.items() for point in _reach(jobs[file], place)]
    xs, ys = zip(*points, strict=True) if points else ((0.0, 120.0), (0.0, 120.0))
    paper = fit((min(xs), min(ys), max(xs), max(ys)), MARGINS, tallest=TALLEST)
    items: list[Item] = [item for file, place in here.items() for item in _wall(jobs[file], place)]
    for corner in house.corners:
        file, end = corner.ends[0]
        if file in here:
            at = here[file].end(end, jobs[file].wall.length)
            items.append(Dot(at, RING if corner.name in counting else RING / 2.5, "ROWS"))
    decks = [(deck_name(k), _between(deck, jobs, here)) for k, deck in enumerate(house.decks)]
    for name, (low, high) in decks:
        dash = "solid" if name in counting else "dashed"
        across = ((low, high), ((low[0], high[1]), (high[0], low[1])))
        items += [DrawnLine(ends, "JOISTS", THIN, dash, PALE) for ends in across]
    wishes = [
        _in_the_middle(f"{name}: {'counts' if name in counting else 'nothing'}", *over)
        for name, over in decks
    ]
    wishes += [choices for file, place in here.items() for choices in _words(file, jobs[file], place, paper)]
    words: list[Item] = []
    for choices in wishes:
        chosen = first_free(choices, [*items, *words], paper, clear_of=("WALL", "BRACES"))
        words += [chosen] if chosen else []
    told = _told((corner.name for corner in house.corners), counting)
    alt = f"The walls of the job from above, each brace to its foot. Corners that count: {told}."
    alt += f" Decks that count: {_told((name for name, _ in decks), counting)}." if decks else ""
    return Drawing("house", "The job from above", alt, paper, (*items, *words))


def _told(names: Iterable[str], counting: set[str]) -> str:
    return ", ".join(name for name in names if name in counting) or "none"


def _apart(house: House, jobs: Mapping[str, Job], placed: Mapping[str, Placed]) -> dict[str, Placed]:
    """Where each wall is drawn: parts no corner joins stand one beneath another, which says nothing of the site."""
    here: dict[str, Placed] = {}
    low = 0.0
    for part in hang_together(house, jobs):
        ys = [y for file in part for _, y in _reach(jobs[file], placed[file])]
        down = low - max(ys) if here else 0.0
        for file in part:
            x, y = placed[file].start
            here[file] = placed[file]._replace(start=(x, y + down))
        low = min(ys) + down - APART
    return here


def _at(place: Placed, along: Inch, out: Inch) -> Point:
    """A place so far along a wall from LEFT and so far from its plate, on its brace side."""
    (x, y), (ax, ay), (bx, by) = place.start, place.along, place.to_braces
    return x + ax * along + bx * out, y + ay * along + by * out


def _reach(job: Job, place: Placed) -> list[Point]:
    outs = [0.0, *(brace.set_back + job.kit.cleat.length for brace in job.braces)]
    return [_at(place, along, out) for along in (0.0, job.wall.length) for out in (-24.0, max(outs))]


def _wall(job: Job, place: Placed) -> list[Item]:
    half, long = section(job.wall.studs.size).width / 2.0, job.wall.length
    edges = ((0.0, -half), (long, -half), (long, half), (0.0, half))
    shade = 0.6 if job.wall.up else 1.0  # one that is not up is an outline
    items: list[Item] = [Area(tuple(_at(place, *edge) for edge in edges), "WALL", shade=shade)]
    for k, brace in enumerate(job.braces):
        at, foot, thick = brace.stud_at, foot_x(job, k, brace.stud_at), section(brace.size).thickness / 2.0
        shape = (
            (at - thick, half),
            (at + thick, half),
            (foot + thick, brace.set_back),
            (foot - thick, brace.set_back),
        )
        items.append(Area(tuple(_at(place, *point) for point in shape), "BRACES", shade=0.0, width=THIN))
        items.append(Dot(_at(place, foot, brace.set_back), 4.0, "BRACES"))
    return items


def _between(deck: TopDeck, jobs: Mapping[str, Job], here: Mapping[str, Placed]) -> tuple[Point, Point]:
    """The lower left and the upper right of what a deck lies on."""
    ends = [
        here[file].end(end, jobs[file].wall.length) for file in deck.walls for end in ENDS if file in here
    ]
    xs, ys = zip(*ends, strict=True) if ends else ((0.0,), (0.0,))
    return (min(xs), min(ys)), (max(xs), max(ys))


def _in_the_middle(text: str, low: Point, high: Point) -> list[Words]:
    """Words in the middle of a deck, with the places they may stand instead."""
    (x0, y0), (x1, y1) = low, high
    return [
        Words((x0 + (x1 - x0) * across, y0 + (y1 - y0) * up), text, 8.5, "center", "center")
        for up in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8) for across in (0.5, 0.25, 0.75, 0.35, 0.65)
    ]  # fmt: skip


def _words(file: str, job: Job, place: Placed, paper: Paper) -> list[list[Words]]:
    """Name of a wall, LEFT, and the mark of each brace, each with the places it may stand."""
    gap, long = paper.points(4.0), job.wall.length
    name = short(file.removesuffix(".toml"))
    turn = 0.0 if place.along[1] == 0.0 else 90.0
    found = [
        [
            Words(_at(place, long * part, -gap * out), name, 9.0, "center", "center", turn, bold=True)
            for out in (3.0, 4.5, 6.0) for part in (0.5, 0.35, 0.65)
        ],
        [
            Words(_at(place, gap * along, -gap * out), "LEFT", 8.0, "center", "center", turn)
            for out in (2.5, 4.5, 6.5) for along in (4.0, 8.0, 12.0)
        ],
    ]  # fmt: skip
    for k, brace in enumerate(job.braces):
        foot = foot_x(job, k, brace.stud_at)
        spots = [(foot, brace.set_back + gap * out) for out in (3.0, 4.0)]
        spots += [
            (foot + gap * aside, brace.set_back * part)
            for part in (0.95, 0.5, 0.3, 0.7)
            for aside in (3.0, -3.0)
        ]
        mark = short(brace.mark)
        found.append([Words(_at(place, *spot), mark, 8.5, "center", "center") for spot in spots])
    return found
