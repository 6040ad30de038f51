"""Drawings into files: SVG, PNG and PDF by matplotlib, DXF by ezdxf. The one module that loads either."""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from bracing.drawing.model import (
    LAYERS,
    Area,
    Box,
    Dimension,
    Dot,
    Drawing,
    DrawnLine,
    Item,
    Point,
    Words,
    dimension_words,
)
from bracing.errors import MissingExtraError
from bracing.reading.files import Output
from bracing.units import Inch

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.text import Text

FORMATS = (".svg", ".png", ".pdf")
OUTPUT = Output("-o", overwrite=True)  # for a caller who says nothing else
DOTS_PER_INCH = 160
TITLE = 0.35  # in of paper over each drawing of a composed picture
DASHES: Any = {"solid": "-", "dashed": (0, (4.0, 3.0)), "dashdot": (0, (8.0, 3.0, 1.5, 3.0))}
TICK = 5.0  # slash at the end of a dimension line [pt]
SAME_BYTES: Any = {
    "svg.hashsalt": "bracing",
    "svg.fonttype": "path",
    "hatch.linewidth": 0.4,
    "axes.unicode_minus": False,
}
DATED = {".svg": {"Date": None}, ".pdf": {"CreationDate": None}, ".png": None}


def new_figure(width: float, height: float, **settings: str) -> Figure:
    """Give an empty figure.

    Args:
        width: [in of paper].
        height: [in of paper].
        settings: passed on.

    Raises:
        MissingExtraError: the drawing library is not installed.
    """
    try:
        from matplotlib.figure import Figure
    except ImportError as error:
        package = "matplotlib"
        raise MissingExtraError(package, "sheet") from error
    return Figure(figsize=(width, height), **settings)  # type: ignore[arg-type]


@contextmanager
def _quiet() -> Iterator[None]:
    """Draw the same bytes each time; a letter the typeface lacks is drawn as a box and is no fault."""
    import matplotlib as mpl

    with mpl.rc_context(SAME_BYTES), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph ")
        warnings.filterwarnings("ignore", message="Matplotlib currently does not support")
        yield


def save_figure(figure: Figure, path: Path, output: Output = OUTPUT) -> Path:
    """Write a figure that is the same bytes each time it is drawn from the same answer.

    Args:
        figure: the figure.
        path: ends in .svg, .png or .pdf.
        output: what it may be written over.

    Raises:
        InputError: the file cannot be written.
    """
    return output.put(path, figure_bytes(figure, path.suffix))


def figure_bytes(figure: Figure, suffix: str) -> bytes:
    """Draw a figure, the same bytes each time.

    Args:
        figure: the figure.
        suffix: .svg, .png or .pdf.
    """
    into = io.BytesIO()
    with _quiet():
        figure.savefig(into, format=suffix.lstrip("."), metadata=DATED[suffix], dpi=DOTS_PER_INCH)
    return into.getvalue()


def as_bytes(drawings: Sequence[Drawing], suffix: str) -> bytes:
    """Draw some drawings under one another.

    Args:
        drawings: one, drawn without a heading; or more, each under its heading.
        suffix: .svg, .png or .pdf.
    """
    return figure_bytes(_composed(drawings), suffix)


def write_picture(drawings: Sequence[Drawing], path: Path) -> Path:
    """Draw some drawings into one file.

    Args:
        drawings: one or more.
        path: ends in .svg, .png or .pdf.
    """
    return save_figure(_composed(drawings), path)


def _composed(drawings: Sequence[Drawing]) -> Figure:
    head = TITLE if len(drawings) > 1 else 0.0
    width = max(drawing.paper.size[0] for drawing in drawings)
    height = sum(drawing.paper.size[1] + head for drawing in drawings)
    figure = new_figure(width, height)
    down = height
    for drawing in drawings:
        wide, tall = drawing.paper.size
        down -= head
        if head:
            _text(figure, (0.15 / width, (down + 0.08) / height), drawing.title, size=11.0, bold=True)
        down -= tall
        axes = figure.add_axes((0.0, down / height, wide / width, tall / height))
        _draw(axes, drawing)
    return figure


def _draw(axes: Axes, drawing: Drawing) -> list[Text]:
    left, bottom, right, top = drawing.paper.box
    axes.set(xlim=(left, right), ylim=(bottom, top))
    axes.axis("off")
    return [text for item in drawing.items for text in _item(axes, drawing, item)]


def _item(axes: Axes, drawing: Drawing, item: Item) -> list[Text]:
    if isinstance(item, DrawnLine):
        x, y = zip(*item.points, strict=True)
        axes.plot(x, y, color=str(item.ink), linewidth=item.width, linestyle=DASHES[item.dash])
    elif isinstance(item, Area):
        x, y = zip(*item.points, strict=True)
        axes.fill(
            x,
            y,
            facecolor=str(item.shade),
            edgecolor=str(item.ink),
            linewidth=item.width,
            hatch=item.hatch or None,
        )
    elif isinstance(item, Dot):
        from matplotlib.patches import Circle

        axes.add_patch(Circle(item.at, item.radius, facecolor="0", edgecolor="0"))
    elif isinstance(item, Words):
        return [_words(axes, item)]
    else:
        return [_dimension(axes, drawing, item)]
    return []


def _words(axes: Axes, item: Words) -> Text:
    return axes.text(
        *item.at, item.text, fontsize=item.size, ha=item.align, va=item.valign, rotation=item.turn,
        fontweight="bold" if item.bold else "normal", parse_math=False,
        bbox={"facecolor": "1", "edgecolor": "none", "pad": 0.5},
    )  # fmt: skip


def _dimension(axes: Axes, drawing: Drawing, item: Dimension) -> Text:
    """Its line with a slash at each end, extension lines to what is measured, and its words."""
    ends, thin = item.ends, {"color": "0", "linewidth": 0.5}
    axes.plot(*zip(*ends, strict=True), **thin)  # type: ignore[arg-type]
    tick = drawing.paper.points(TICK) / 2.0
    for (x, y), at in zip(ends, (item.start, item.end), strict=True):
        axes.plot((x - tick, x + tick), (y - tick, y + tick), color="0", linewidth=1.0)
        axes.plot((at[0], x), (at[1], y), color="0.45", linewidth=0.4)
    return _words(axes, dimension_words(item, drawing.paper))


def _text(figure: Figure, at: tuple[float, float], words: str, *, size: float, bold: bool) -> None:
    figure.text(*at, words, fontsize=size, fontweight="bold" if bold else "normal", parse_math=False)


def text_boxes(drawing: Drawing) -> tuple[tuple[str, Box], ...]:
    """Measure the box of all words of a drawing as they are drawn.

    Args:
        drawing: the drawing.

    Returns:
        Words and box: left, bottom, right, top [in of paper].
    """
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    figure = new_figure(*drawing.paper.size)
    canvas: Any = FigureCanvasAgg(figure)
    with _quiet():
        texts = _draw(figure.add_axes((0.0, 0.0, 1.0, 1.0)), drawing)
        canvas.draw()
        boxes = [text.get_window_extent(canvas.get_renderer()) for text in texts]
    return tuple(
        (
            text.get_text(),
            (box.x0 / figure.dpi, box.y0 / figure.dpi, box.x1 / figure.dpi, box.y1 / figure.dpi),
        )
        for text, box in zip(texts, boxes, strict=True)
    )


# -- the same as DXF ---------------------------------------------------------------------------------------

VERSION = "R2010"
INCHES, MILLIMETRES = 1, 4  # $INSUNITS
LINETYPES = {"solid": "CONTINUOUS", "dashed": "DASHED", "dashdot": "DASHDOT"}
CAP_HEIGHT = 0.72  # height of a capital over the size of the words
APART = 24.0  # between drawings [in]
ALIGN = {
    ("left", "bottom"): "BOTTOM_LEFT", ("center", "bottom"): "BOTTOM_CENTER", ("right", "bottom"): "BOTTOM_RIGHT",
    ("left", "center"): "MIDDLE_LEFT", ("center", "center"): "MIDDLE_CENTER", ("right", "center"): "MIDDLE_RIGHT",
    ("left", "top"): "TOP_LEFT", ("center", "top"): "TOP_CENTER", ("right", "top"): "TOP_RIGHT",
}  # fmt: skip


class _Place(NamedTuple):
    """Where a drawing stands in the file, and how many units of the file an inch is."""

    right: Inch
    up: Inch
    scale: float

    def at(self, point: Point) -> Point:
        return (point[0] + self.right) * self.scale, (point[1] + self.up) * self.scale


def write_dxf(
    drawings: Sequence[Drawing], path: Path, output: Output = OUTPUT, *, metric: bool = False
) -> Path:
    """Write some drawings under one another into the model space of one file, all full size.

    Args:
        drawings: the drawings.
        path: the file.
        output: what it may be written over.
        metric: in millimetres.

    Returns:
        The file.

    Raises:
        MissingExtraError: ezdxf is not installed.
        InputError: the file cannot be written.
    """
    try:
        import ezdxf
    except ImportError as error:
        package = "ezdxf"
        raise MissingExtraError(package, "dxf") from error
    document = ezdxf.new(VERSION, setup=True)  # type: ignore[attr-defined]
    document.header["$INSUNITS"] = MILLIMETRES if metric else INCHES
    document.header["$MEASUREMENT"] = int(metric)
    for layer in LAYERS:
        document.layers.add(layer)
    space, down, scale = document.modelspace(), 0.0, 25.4 if metric else 1.0
    for drawing in drawings:
        left, bottom, _, top = drawing.paper.box
        height = drawing.paper.points(11.0 * CAP_HEIGHT) * scale
        _add_words(space, Words((0.0, down), drawing.title), (0.0, down * scale), height)
        for item in drawing.items:
            _add(space, drawing, item, _Place(-left, down - top, scale))
        down -= top - bottom + APART
    into = io.StringIO()
    document.write(into)
    return output.put(path, into.getvalue().encode(document.output_encoding, "dxfreplace"))


def _add(space: Any, drawing: Drawing, item: Item, place: _Place) -> None:  # noqa: ANN401
    if isinstance(item, DrawnLine | Area):
        kind = LINETYPES[item.dash] if isinstance(item, DrawnLine) else "CONTINUOUS"
        look = {"layer": item.layer, "linetype": kind}
        points = [place.at(point) for point in item.points]
        space.add_lwpolyline(points, close=isinstance(item, Area), dxfattribs=look)
    elif isinstance(item, Dot):
        space.add_circle(place.at(item.at), item.radius * place.scale, dxfattribs={"layer": item.layer})
    elif isinstance(item, Words):
        height = drawing.paper.points(item.size * CAP_HEIGHT) * place.scale
        _add_words(space, item, place.at(item.at), height)
    else:
        _add_dimension(space, drawing, item, place)


# Words turned a quarter: what is left and right on paper is below and above their own line.
TURNED = {
    (align, valign): ALIGN[
        {"bottom": "left", "center": "center", "top": "right"}[valign],
        {"left": "top", "center": "center", "right": "bottom"}[align],
    ]
    for align, valign in ALIGN
}


def _add_words(space: Any, words: Words, at: Point, height: float) -> None:  # noqa: ANN401
    from ezdxf.enums import TextEntityAlignment

    table = TURNED if words.turn else ALIGN
    plain = words.text.replace("%%", "% %")  # a doubled per cent sign begins a control code
    entity = space.add_text(plain, height=height, rotation=words.turn, dxfattribs={"layer": words.layer})
    entity.set_placement(at, align=TextEntityAlignment[table[words.align, words.valign]])


def _add_dimension(space: Any, drawing: Drawing, item: Dimension, place: _Place) -> None:  # noqa: ANN401
    sizes = {"dimtxt": item.size * CAP_HEIGHT, "dimtsz": 3.0, "dimgap": 2.0, "dimexo": 0.0, "dimexe": 2.0}
    look = {name: drawing.paper.points(size) * place.scale for name, size in sizes.items()}
    start, end = place.at(item.start), place.at(item.end)
    if item.kind == "along":
        made = space.add_aligned_dim(
            p1=start, p2=end, distance=item.line_at * place.scale, text=item.words, override=look,
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
    else:
        base = place.at(item.ends[0])
        angle = 0.0 if item.kind == "level" else 90.0
        made = space.add_linear_dim(
            base=base, p1=start, p2=end, angle=angle, text=item.words, override=look,
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
    made.render()
    assert math.isclose(
        made.dimension.get_measurement(), item.value * place.scale, abs_tol=1e-6 * place.scale
    )
