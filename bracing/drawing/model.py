"""The drawing model: lines, areas, words and dimensions in inches, and the paper they lie on.

One drawing is made once and written by any renderer. Words have a size in points on paper, everything else is
in inches of the real thing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from attrs import frozen

from bracing.units import Inch

Point = tuple[Inch, Inch]
Box = tuple[Inch, Inch, Inch, Inch]

POINTS_PER_INCH = 72.0
PAPER_WIDTH = 3.6  # in of paper: a drawing fills a phone, and two stand side by side on a page
TALLEST = 4.4  # in of paper: two drawings under one another, with their headings, fit one page
INK, PALE = 0.0, 0.45  # grey of lines: 0 is black; pale keeps 4.5 to 1 against white


@frozen
class DrawnLine:
    """A line through some points.

    Attributes:
        points: through which [in].
        layer: one that `dxf.LOOKS` has the look of.
        width: on paper [pt].
        dash: solid, dashed or dashdot.
        ink: grey, 0 is black.
    """

    points: tuple[Point, ...]
    layer: str
    width: float = 0.8
    dash: str = "solid"
    ink: float = INK


@frozen
class Area:
    """A closed outline, filled.

    Attributes:
        points: its corners [in].
        layer: one that `dxf.LOOKS` has the look of.
        shade: grey of its face, 1 is white.
        hatch: "" or "/".
        width: of its outline on paper [pt].
        ink: grey of its outline.
    """

    points: tuple[Point, ...]
    layer: str
    shade: float = 1.0
    hatch: str = ""
    width: float = 0.8
    ink: float = INK


@frozen
class Dot:
    """A fastener seen on its head.

    Attributes:
        at: its middle [in].
        radius: of the mark [in].
        layer: one that `dxf.LOOKS` has the look of.
    """

    at: Point
    radius: Inch
    layer: str = "FASTENERS"


@frozen
class Words:
    """Words.

    Attributes:
        at: where they are anchored [in].
        text: the words, one line.
        size: on paper [pt].
        align: left, center or right of the anchor's side the words' edge is: matplotlib's and DXF's sense.
        valign: bottom, center or top.
        turn: degrees anticlockwise, 0 or 90.
        bold: bold.
        layer: one that `dxf.LOOKS` has the look of.
    """

    at: Point
    text: str
    size: float = 8.0
    align: str = "left"
    valign: str = "bottom"
    turn: float = 0.0
    bold: bool = False
    layer: str = "WORDS"


@frozen
class Dimension:
    """A dimension between two points: level, upright, or along the line between them.

    Attributes:
        start: first point measured [in].
        end: second point measured [in].
        line_at: level: height of its line; upright: where its line stands; along: how far its line lies to the
            left of the way from start to end [in].
        words: what it says.
        kind: level, upright or along.
        size: of the words on paper [pt].
    """

    start: Point
    end: Point
    line_at: Inch
    words: str
    kind: str = "level"
    size: float = 8.0

    @property
    def value(self) -> Inch:
        """Length measured [in]."""
        across, up = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return {"level": abs(across), "upright": abs(up), "along": math.hypot(across, up)}[self.kind]

    @property
    def ends(self) -> tuple[Point, Point]:
        """Both ends of the dimension line [in]."""
        (x0, y0), (x1, y1) = self.start, self.end
        if self.kind == "level":
            return (x0, self.line_at), (x1, self.line_at)
        if self.kind == "upright":
            return (self.line_at, y0), (self.line_at, y1)
        long = math.hypot(x1 - x0, y1 - y0)
        off = (-(y1 - y0) / long * self.line_at, (x1 - x0) / long * self.line_at)
        return (x0 + off[0], y0 + off[1]), (x1 + off[0], y1 + off[1])


Item = DrawnLine | Area | Dot | Words | Dimension


@frozen
class Paper:
    """How a drawing lies on paper.

    Attributes:
        box: what the paper shows: left, bottom, right, top [in].
        scale: inches of the real thing to an inch of paper.
    """

    box: Box
    scale: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the paper [in]."""
        left, bottom, right, top = self.box
        return (right - left) / self.scale, (top - bottom) / self.scale

    def points(self, count: float) -> Inch:
        """Give points on paper in inches of the real thing.

        Args:
            count: points.
        """
        return count / POINTS_PER_INCH * self.scale


def fit(
    box: Box,
    margins: Box,
    *,
    width: float = PAPER_WIDTH,
    tallest: float = TALLEST,
    scale: float | None = None,
) -> Paper:
    """Lay a box on paper with margins for words, as large as fits; a narrow one is centred.

    Args:
        box: left, bottom, right, top of what is drawn [in].
        margins: left, bottom, right, top [in of paper].
        width: of the paper [in].
        tallest: greatest height of the paper [in].
        scale: inches of the real thing to an inch of paper, which is then as large as that takes; None: as fits.

    Example:
        >>> fit((0.0, 0.0, 60.0, 30.0), (0.5, 0.5, 0.5, 0.5)).size
        (3.6, 2.3)
    """
    left, bottom, right, top = margins
    if scale is None:
        scale = max((box[2] - box[0]) / (width - left - right), (box[3] - box[1]) / (tallest - bottom - top))
    else:
        width = max(width, (box[2] - box[0]) / scale + left + right)
    spare = width * scale - (box[2] - box[0]) - (left + right) * scale
    low, high = box[1] - bottom * scale, box[3] + top * scale
    start = box[0] - left * scale - spare / 2.0
    return Paper((start, low, start + width * scale, high), scale)


@frozen
class Drawing:
    """One drawing.

    Attributes:
        name: short, for file names and layers.
        title: its heading.
        alt: what it shows, in words, for those who cannot see it.
        paper: how it lies on paper.
        items: in the order they are drawn.
    """

    name: str
    title: str
    alt: str
    paper: Paper
    items: tuple[Item, ...]

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        """Its dimensions."""
        return tuple(item for item in self.items if isinstance(item, Dimension))


def rectangle(corner: Point, opposite: Point) -> tuple[Point, ...]:
    """Give the corners of an upright rectangle.

    Args:
        corner: one corner [in].
        opposite: the other [in].
    """
    (x0, y0), (x1, y1) = corner, opposite
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


LETTER = 0.66  # width of a letter over the size of the words, a little more than any usual line has
NARROW, THIN_LETTERS = 0.46, frozenset(" ',.-:;/|!\"()[]")  # and of these
BOLD = 1.15  # bold letters are so much wider
LINE = 1.25  # height of a line over the size of the words
LONGEST = 28  # letters of a name in a drawing
WORDS_OFF_LINE = 2.0  # words stand this far off a dimension line [pt]


def short(name: str) -> str:
    """Cut a name to what a drawing has room for.

    Args:
        name: as typed by a person.

    Example:
        >>> short("stair opening"), len(short("x" * 500))
        ('stair opening', 28)
    """
    clean = " ".join("".join(letter if letter.isprintable() else " " for letter in name).split())
    return clean if len(clean) <= LONGEST else clean[: LONGEST - 1] + "…"


def length_of(text: str) -> float:
    r"""Reckon how long some words are over their size, a little more than they come out.

    Args:
        text: the words, one line.

    Example:
        >>> round(length_of("B1"), 2), round(length_of("12'-0\""), 2)
        (1.32, 3.36)
    """
    return sum(NARROW if letter in THIN_LETTERS else LETTER for letter in text)


def box_of(words: Words, paper: Paper) -> Box:
    """Reckon the box some words take, a little large.

    Args:
        words: the words.
        paper: gives their size in inches of the real thing.
    """
    size = words.size * (BOLD if words.bold else 1.0)
    long, tall = paper.points(size * length_of(words.text)), paper.points(size * LINE)
    wide, high = (tall, long) if words.turn else (long, tall)
    x, y = words.at
    left = x - {"left": 0.0, "center": 0.5, "right": 1.0}[words.align] * wide
    low = y - {"bottom": 0.0, "center": 0.5, "top": 1.0}[words.valign] * high
    return left, low, left + wide, low + high


def dimension_words(item: Dimension, paper: Paper) -> Words:
    """Give the words of a dimension, beside the middle of its line.

    Args:
        item: the dimension.
        paper: gives the gap.
    """
    (x0, y0), (x1, y1) = item.ends
    middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    gap = paper.points(WORDS_OFF_LINE)
    if item.kind == "level":
        return Words((middle[0], middle[1] + gap), item.words, item.size, "center", layer="DIMENSIONS")
    if item.kind == "upright":
        return Words(
            (middle[0] - gap, middle[1]), item.words, item.size, "right", "center", 90.0, layer="DIMENSIONS"
        )
    align = "left" if item.line_at * (y1 - y0) < 0.0 else "right"
    away = gap if align == "left" else -gap
    up = "bottom" if item.line_at * (x1 - x0) > 0.0 else "top"
    return Words((middle[0] + away, middle[1]), item.words, item.size, align, up, layer="DIMENSIONS")


def apart(one: Box, other: Box) -> bool:
    """Whether two boxes do not overlap.

    Args:
        one: a box.
        other: another.
    """
    return one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def first_free(
    choices: Iterable[Words], taken: Sequence[Item], paper: Paper, *, clear_of: tuple[str, ...] = ("BRACES",)
) -> Words | None:
    """Give the first of some places that overlaps no words and no brace; None where all do or leave the paper.

    Args:
        choices: the same words at places, best first.
        taken: items of the drawing so far.
        paper: the paper.
        clear_of: layers of areas it stays off.
    """
    boxes = [
        box_of(item if isinstance(item, Words) else dimension_words(item, paper), paper)
        for item in taken
        if isinstance(item, Words | Dimension)
    ]
    boxes += [_around(item) for item in taken if isinstance(item, Area) and item.layer in clear_of]
    low_x, low_y, high_x, high_y = paper.box
    for words in choices:
        box = box_of(words, paper)
        inside = box[0] >= low_x and box[1] >= low_y and box[2] <= high_x and box[3] <= high_y
        if inside and all(apart(box, other) for other in boxes):
            return words
    return None


def _around(item: Area) -> Box:
    x, y = zip(*item.points, strict=True)
    return min(x), min(y), max(x), max(y)


def spread(wanted: Sequence[Inch], step: Inch, *, low: Inch, high: Inch) -> tuple[Inch, ...]:
    """Move places along a line no more than needed so that they stand a step apart, in the same order.

    Args:
        wanted: where each would be, rising [in].
        step: least distance [in]; less where they would not fit.
        low: the first place there may be [in].
        high: the last [in].

    Example:
        >>> spread([5.0, 5.5, 6.0, 20.0], 2.0, low=0.0, high=30.0)
        (3.5, 5.5, 7.5, 20.0)
    """
    if not wanted:
        return ()
    if len(wanted) > 1:
        step = min(step, (high - low) / (len(wanted) - 1))
    runs: list[list[float]] = []  # middle wanted, count
    for place in wanted:
        runs.append([place, 1.0])
        while (
            len(runs) > 1
            and _end(runs[-2], step, low, high) + step > _start(runs[-1], step, low, high) + 1e-9
        ):
            last, before = runs.pop(), runs.pop()
            count = last[1] + before[1]
            runs.append([(last[0] * last[1] + before[0] * before[1]) / count, count])
    placed = []
    for run in runs:
        start = _start(run, step, low, high)
        placed += [start + k * step for k in range(int(run[1]))]
    return tuple(placed)


def _start(run: list[float], step: Inch, low: Inch, high: Inch) -> Inch:
    long = (run[1] - 1.0) * step
    return min(max(run[0] - long / 2.0, low), high - long)


def _end(run: list[float], step: Inch, low: Inch, high: Inch) -> Inch:
    return _start(run, step, low, high) + (run[1] - 1.0) * step
