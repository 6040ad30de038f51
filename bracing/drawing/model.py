"""The drawing model: lines, areas, words and dimensions in inches, and the paper they lie on.

One drawing is made once and written by any renderer. Words have a size in points on paper, everything else is
in inches of the real thing.
"""

from __future__ import annotations

import math

from attrs import frozen

from bracing.units import Inch

Point = tuple[Inch, Inch]
Box = tuple[Inch, Inch, Inch, Inch]

POINTS_PER_INCH = 72.0
PAPER_WIDTH = 3.6  # in of paper: a drawing fills a phone, and two stand side by side on a page
TALLEST = 4.4  # in of paper: two drawings under one another, with their headings, fit one page
INK, PALE = 0.0, 0.45  # grey of lines: 0 is black; pale keeps 4.5 to 1 against white

LAYERS = (
    "WALL", "STUDS", "OPENINGS", "ROWS", "BRACES", "FASTENERS", "FLOOR", "JOISTS", "KEEP-OUT", "ZONE", "WORDS",
    "DIMENSIONS",
)  # fmt: skip


@frozen
class Line:
    """A line through some points.

    Attributes:
        points: through which [in].
        layer: of LAYERS.
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
        layer: of LAYERS.
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
        layer: of LAYERS.
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
        layer: of LAYERS.
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


Item = Line | Area | Dot | Words | Dimension


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


def fit(box: Box, margins: Box, *, width: float = PAPER_WIDTH, tallest: float = TALLEST) -> Paper:
    """Lay a box on paper with margins for words, as large as fits; a narrow one is centred.

    Args:
        box: left, bottom, right, top of what is drawn [in].
        margins: left, bottom, right, top [in of paper].
        width: of the paper [in].
        tallest: greatest height of the paper [in].

    Example:
        >>> fit((0.0, 0.0, 60.0, 30.0), (0.5, 0.5, 0.5, 0.5)).size
        (3.6, 2.3)
    """
    left, bottom, right, top = margins
    scale = max((box[2] - box[0]) / (width - left - right), (box[3] - box[1]) / (tallest - bottom - top))
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
