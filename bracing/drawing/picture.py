"""Drawings into files: SVG, PNG and PDF by matplotlib. The one module that loads it."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from bracing.drawing.model import (
    Area,
    Box,
    Dimension,
    Dot,
    Drawing,
    DrawnLine,
    Item,
    Words,
    dimension_words,
)
from bracing.drawing.plotted import PlottedSheet
from bracing.errors import from_extra
from bracing.reading.files import Output

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
    with from_extra("matplotlib", "sheet"):
        from matplotlib.figure import Figure
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
    return figure_bytes(composed(drawings), suffix)


def svg_with_words(drawings: Sequence[Drawing], title: str) -> bytes:
    """Draw some drawings under one another into an SVG whose words stay words, named and told for who cannot see it.

    Args:
        drawings: the drawings.
        title: what it is called.
    """
    import matplotlib as mpl

    into, told = io.BytesIO(), escape(" ".join(drawing.alt for drawing in drawings))
    with _quiet(), mpl.rc_context({"svg.fonttype": "none"}):
        composed(drawings).savefig(
            into, format="svg", metadata={"Date": None, "Title": title}, dpi=DOTS_PER_INCH
        )
    return into.getvalue().replace(b"</title>", f"</title>\n <desc>{told}</desc>".encode(), 1)


def write_picture(drawings: Sequence[Drawing], path: Path) -> Path:
    """Draw some drawings into one file.

    Args:
        drawings: one or more.
        path: ends in .svg, .png or .pdf.
    """
    return save_figure(composed(drawings), path)


def plotted_pdf(sheets: Sequence[PlottedSheet]) -> bytes:
    """Plot sheets to scale, a page each.

    Args:
        sheets: the sheets.
    """
    from matplotlib.backends.backend_pdf import PdfPages

    into = io.BytesIO()
    with _quiet(), PdfPages(into, metadata=DATED[".pdf"]) as pages:
        for sheet in sheets:
            wide, tall = sheet.size
            figure = new_figure(wide, tall)
            _draw(figure.add_axes((0.0, 0.0, 1.0, 1.0)), sheet.frame)
            for view in sheet.views:
                (x, y), (long, high) = view.at, view.drawing.paper.size
                _draw(figure.add_axes((x / wide, y / tall, long / wide, high / tall)), view.drawing)
            pages.savefig(figure)
    return into.getvalue()


def composed(drawings: Sequence[Drawing]) -> Figure:
    """Draw some drawings under one another on one figure.

    Args:
        drawings: one, drawn without a heading; or more, each under its heading.

    Raises:
        MissingExtraError: the drawing library is not installed.
    """
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
