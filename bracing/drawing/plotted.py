"""Drawings to scale on sheets with a title block: which views, how large, and where each lies on the paper."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, pairwise
from typing import NamedTuple

from attrs import evolve, frozen

from bracing.check import CheckResult
from bracing.drawing.details import brace_section, details
from bracing.drawing.elevation import elevation
from bracing.drawing.model import (
    POINTS_PER_INCH,
    Dimension,
    Drawing,
    DrawnLine,
    Item,
    Paper,
    Words,
    length_of,
    rectangle,
)
from bracing.drawing.plan import plan, zone
from bracing.errors import InputError
from bracing.job.titles import TitleBlock
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import INCHES_PER_FOOT, MM_PER_INCH, Inch, length

Spot = tuple[float, float]

# Width and height lying down [in of paper]: ANSI/ASME Y14.1 A and B, and ISO 216 A3.
PAPERS: dict[str, Spot] = {
    "letter": (11.0, 8.5), "tabloid": (17.0, 11.0), "A3": (420.0 / MM_PER_INCH, 297.0 / MM_PER_INCH),
}  # fmt: skip
# Inches of paper to a foot of the wall as a scale ruler has them, largest first; and 1 to so many.
TO_A_FOOT: dict[str, float] = {
    "1 1/2 in": 1.5, "1 in": 1.0, "3/4 in": 0.75, "1/2 in": 0.5, "3/8 in": 0.375, "1/4 in": 0.25, "3/16 in": 0.1875,
    "1/8 in": 0.125, "3/32 in": 0.09375, "1/16 in": 0.0625,
}  # fmt: skip
FOOT_RULER = {INCHES_PER_FOOT / inches: words for words, inches in TO_A_FOOT.items()}
ONE_TO = (10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 150.0, 200.0)
CAP_HEIGHT = 0.72  # height of a capital over the size of the words
LETTERS = (
    3.0 / 32.0
)  # height of a capital as plotted, the least a print of a print is still read at [in of paper]
DRAWN_AT = 8.0  # size of the smallest words but those under a detail, as drawings are made [pt]
GROWN = LETTERS * POINTS_PER_INCH / (DRAWN_AT * CAP_HEIGHT)
EDGE, STRIP, GAP = 0.4, 1.9, 0.3  # of the paper; height of the title block; between views [in of paper]
UNDER = 0.34  # under a view, for its name and scale [in of paper]
SEAL = 1.6  # side of the empty box for a seal [in of paper]
NOT_TO_SCALE = "not to scale"
BLANK = "_" * 14  # to write on
REVISIONS_SHOWN = 5
BOXES = (0.36, 0.64)  # where the box of the wall and that of the job end, of the width
LINE = 0.19  # of the title block [in of paper]


class View(NamedTuple):
    """One drawing on a sheet.

    Attributes:
        drawing: it, its words as large as they are plotted.
        at: its lower left corner [in of paper].
        scale: what its scale is called.
    """

    drawing: Drawing
    at: Spot
    scale: str


@frozen(eq=False)
class PlottedSheet:
    """One sheet.

    Attributes:
        frame: its border, its title block, and the name and scale under each view, in inches of paper.
        views: the drawings on it.
    """

    frame: Drawing
    views: tuple[View, ...]

    @property
    def size(self) -> Spot:
        """Width and height [in of paper]."""
        return self.frame.paper.size


def scale_of(text: str, *, field: str = "--scale") -> float:
    """Read a scale as it is written on drawings, in inches of the real thing to an inch of paper.

    Args:
        text: such as "1/4in", which is to a foot, or "1:50".
        field: named in a fault.

    Raises:
        InputError: none that a scale ruler has.

    Example:
        >>> scale_of("1/4in"), scale_of("1:50")
        (48.0, 50.0)
    """
    clean, found = text.strip(), None
    if one_to := re.fullmatch(r"1\s*:\s*([0-9]{1,4})", clean):
        found = float(one_to[1])
    else:
        try:
            inches = length(clean, field=field)
        except InputError:
            inches = 0.0
        found = INCHES_PER_FOOT / inches if inches > 0.0 else None
    if found is None or found not in {*ONE_TO, *FOOT_RULER}:
        raise InputError.of(field, text, f"{', '.join(TO_A_FOOT)} to a foot, or 1:10 to 1:200, such as 1:50")
    return found


def paper_of(name: str | None, *, metric: bool = False, field: str = "--paper") -> str:
    """Give the paper asked for by name; where none was, A3 for a page in millimetres and tabloid for one in inches.

    Args:
        name: its name, or None.
        metric: lengths are in millimetres.
        field: named in a fault.

    Raises:
        InputError: no such paper.
    """
    if name is None:
        return "A3" if metric else "tabloid"
    for one in PAPERS:
        if name.lower() == one.lower():
            return one
    raise InputError.of(field, name, f"one of {', '.join(PAPERS)}")


def scale_words(scale: float) -> str:
    """Say a scale.

    Args:
        scale: inches of the real thing to an inch of paper.

    Example:
        >>> scale_words(48.0), scale_words(50.0)
        ('scale 1/4 in = 1 ft', 'scale 1:50')
    """
    return f"scale {FOOT_RULER[scale]} = 1 ft" if scale in FOOT_RULER else f"scale 1:{scale:g}"


def grown(drawing: Drawing) -> Drawing:
    """Give a drawing with its words as large as they are plotted, and its paper as much larger.

    Args:
        drawing: the drawing, made for paper so much smaller.
    """
    smallest = min(
        (item.size for item in drawing.items if isinstance(item, Words | Dimension)), default=DRAWN_AT
    )
    by = GROWN * DRAWN_AT / min(smallest, DRAWN_AT)
    items = tuple(
        evolve(item, size=item.size * by) if isinstance(item, Words | Dimension) else item
        for item in drawing.items
    )
    return evolve(drawing, items=items, paper=Paper(drawing.paper.box, drawing.paper.scale / by))


def plotted(
    result: CheckResult, page: Quantities = ENGLISH, *, paper: str, scale: float | None = None,
    lines: Sequence[str] = (),
) -> tuple[PlottedSheet, ...]:  # fmt: skip
    """Lay the drawings of a wall to scale on sheets: the wall and its floor, the zone, each brace, head and foot.

    Args:
        result: the wall checked.
        page: how lengths are written.
        paper: one of PAPERS.
        scale: of the wall, its floor and its braces; None is the largest on the ruler that the paper has room for.
        lines: what the title block says of the wall.

    Raises:
        InputError: the paper is too small for the wall at the scale asked.
    """
    room, job = _room(paper), result.job
    ruler = ONE_TO if page.metric else tuple(FOOT_RULER)
    alone = (one for one in ruler if _fits(map(_size, _wall(result, page, one)), room))
    if scale is None:
        both = (one for one in ruler if _fits([_stacked(_wall(result, page, one))], room))
        scale = next(chain(both, alone), ruler[-1])
    drawn = _wall(result, page, scale)
    if not _fits(map(_size, drawn), room):
        fitting = next(alone, None)
        what = f"{scale_words(fitting)} or smaller" if fitting else "none on the ruler does"
        field = "--scale"
        raise InputError.of(field, scale_words(scale), f"one at which the wall fits {paper} paper: {what}")
    views = [(each, scale_words(scale)) for each in drawn]
    views += [
        (grown(brace_section(job, brace, page, scale=scale * GROWN)), scale_words(scale))
        for brace in job.braces
    ]
    around = [(one, grown(zone(result, page, scale=one * GROWN))) for one in ruler]
    around = [(one, each) for one, each in around if _fits([_size(each)], room)] or [
        (ruler[-1], around[-1][1])
    ]
    one, cleared = next((each for each in around if each[0] >= 2.0 * scale), around[-1])
    views.append((cleared, scale_words(one)))
    close = details(job, job.braces[0], page) if job.braces else ()
    views += [(grown(each), NOT_TO_SCALE) for each in close]
    shelved = list(_shelved(views, room))
    return tuple(
        _sheet(
            placed, (*lines, f"Sheet S{k + 1} of {len(shelved)}; go by the figures"), job.title, paper=paper
        )
        for k, placed in enumerate(shelved)
    )


def _room(paper: str) -> Spot:
    wide, tall = PAPERS[paper]
    return wide - 2.0 * EDGE - 2.0 * GAP, tall - 2.0 * EDGE - STRIP - GAP


def _wall(result: CheckResult, page: Quantities, scale: float) -> list[Drawing]:
    return [
        grown(elevation(result.job, page, scale=scale * GROWN)), grown(plan(result, page, scale=scale * GROWN)),
    ]  # fmt: skip


def _size(drawing: Drawing) -> Spot:
    """What a drawing takes of a sheet, with its name under it."""
    wide, tall = drawing.paper.size
    return wide, tall + UNDER


def _stacked(drawings: Sequence[Drawing]) -> Spot:
    sizes = [_size(each) for each in drawings]
    return max(wide for wide, _ in sizes), sum(tall for _, tall in sizes) + GAP * (len(sizes) - 1)


def _fits(sizes: Iterable[Spot], room: Spot) -> bool:
    """Whether each has room on a sheet of its own."""
    return all(wide <= room[0] and tall <= room[1] for wide, tall in sizes)


def _shelved(views: Sequence[tuple[Drawing, str]], room: Spot) -> Iterator[list[View]]:
    """Put views side by side on shelves, shelves under one another, and on the next sheet what has no room left."""
    placed, across, down, tallest = list[View](), 0.0, 0.0, 0.0
    for drawing, scale in views:
        wide, tall = _size(drawing)
        if across and across + wide > room[0]:
            across, down, tallest = 0.0, down + tallest + GAP, 0.0
        if placed and down + tall > room[1]:
            yield placed
            placed, across, down, tallest = [], 0.0, 0.0, 0.0
        low = EDGE + STRIP + room[1] - down - tall + UNDER
        placed.append(View(drawing, (EDGE + GAP + across, low), scale))
        across, tallest = across + wide + GAP, max(tallest, tall)
    yield placed


def _sheet(views: list[View], lines: tuple[str, ...], title: TitleBlock, *, paper: str) -> PlottedSheet:
    wide, tall = PAPERS[paper]
    items: list[Item] = [
        _box((EDGE, EDGE), (wide - EDGE, tall - EDGE), width=1.4),
        *_block(lines, title, wide),
    ]
    for view in views:
        long, (x, y) = view.drawing.paper.size[0], view.at
        items += [
            _words((x, y - 0.05), view.drawing.title.upper(), bold=True, valign="top"),
            _words((x + long, y - 0.05), view.scale, align="right", valign="top"),
        ]
    frame = Drawing("frame", lines[-1], "", Paper((0.0, 0.0, wide, tall), 1.0), tuple(items))
    return PlottedSheet(frame, tuple(views))


def _box(corner: Spot, opposite: Spot, width: float = 0.7) -> DrawnLine:
    corners = rectangle(corner, opposite)
    return DrawnLine((*corners, corners[0]), "TITLE", width)


def _words(at: Spot, text: str, **look: object) -> Words:
    size = DRAWN_AT * GROWN
    return Words(at, text, size, layer="TITLE", **look)  # type: ignore[arg-type]


def _block(lines: tuple[str, ...], title: TitleBlock, wide: Inch) -> Iterator[Item]:
    """The title block along the foot of a sheet: the wall, the job, its revisions, and room for a seal."""
    top, right = EDGE + STRIP, wide - EDGE
    edges = (EDGE, *(EDGE + (right - EDGE) * part for part in BOXES), right - SEAL, right)
    boxes = [*pairwise(edges)]
    for left, end in boxes:
        yield _box((left, EDGE), (end, top))
    job = [f"{name}: {said or BLANK}" for name, said in title.rows]
    revisions = ["Revisions", *(title.changes[-REVISIONS_SHOWN:] or ["none listed"])]
    for box, told in zip(boxes[:-1], (lines, job, revisions), strict=True):
        yield from _lines(*box, top=top, lines=told)
    yield _words((right - SEAL / 2.0, top - 0.06), "SEAL", align="center", valign="top")


def _lines(left: Inch, right: Inch, *, top: Inch, lines: Sequence[str]) -> Iterator[Item]:
    """Lines of words under one another, each broken to what its box has room for: none is cut short."""
    most = (right - left - 0.2) * POINTS_PER_INCH / (DRAWN_AT * GROWN)
    broken = [part for line in lines for part in _broken(line, most)]
    step = min(LINE, (STRIP - 0.1) / len(broken))
    for k, text in enumerate(broken):
        yield _words((left + 0.1, top - 0.06 - k * step), text, valign="top")


def _broken(line: str, most: float) -> Iterator[str]:
    """Break a line between words, or within one that is longer than a line."""
    said = ""
    for word in line.split():
        longer = f"{said} {word}".strip()
        if length_of(longer) <= most:
            said = longer
            continue
        if said:
            yield said
        said = word
        while length_of(said) > most:
            fits = next(k for k in range(len(said), 0, -1) if length_of(said[:k]) <= most)
            yield said[:fits]
            said = said[fits:]
    yield said
