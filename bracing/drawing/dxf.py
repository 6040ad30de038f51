"""DXF of drawings: one unit is one inch, layers by what a line is, dimensions that measure. Uses ezdxf."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bracing.drawing.model import LAYERS, Area, Dimension, Dot, Drawing, DrawnLine, Item, Point, Words
from bracing.errors import MissingExtraError
from bracing.reading.files import Output

VERSION = "R2010"
OUTPUT = Output("-o", overwrite=True)  # for a caller who says nothing else
INCHES = 1  # $INSUNITS
LINETYPES = {"solid": "CONTINUOUS", "dashed": "DASHED", "dashdot": "DASHDOT"}
CAP_HEIGHT = 0.72  # height of a capital over the size of the words
APART = 24.0  # between drawings [in]
ALIGN = {
    ("left", "bottom"): "BOTTOM_LEFT", ("center", "bottom"): "BOTTOM_CENTER", ("right", "bottom"): "BOTTOM_RIGHT",
    ("left", "center"): "MIDDLE_LEFT", ("center", "center"): "MIDDLE_CENTER", ("right", "center"): "MIDDLE_RIGHT",
    ("left", "top"): "TOP_LEFT", ("center", "top"): "TOP_CENTER", ("right", "top"): "TOP_RIGHT",
}  # fmt: skip


def write_dxf(drawings: Sequence[Drawing], path: Path, output: Output = OUTPUT) -> Path:
    """Write some drawings under one another into the model space of one file, all full size.

    Args:
        drawings: the drawings.
        path: the file.
        output: what it may be written over.

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
    document.header["$INSUNITS"] = INCHES
    document.header["$MEASUREMENT"] = 0
    for layer in LAYERS:
        document.layers.add(layer)
    space, down = document.modelspace(), 0.0
    for drawing in drawings:
        left, bottom, _, top = drawing.paper.box
        move = (-left, down - top)
        height = drawing.paper.points(11.0 * CAP_HEIGHT)
        _add_words(space, Words((0.0, down), drawing.title), (0.0, down), height)
        for item in drawing.items:
            _add(space, drawing, item, move)
        down -= top - bottom + APART
    into = io.StringIO()
    document.write(into)
    return output.put(path, into.getvalue().encode(document.output_encoding, "dxfreplace"))


def _moved(at: Point, move: Point) -> Point:
    return at[0] + move[0], at[1] + move[1]


def _add(space: Any, drawing: Drawing, item: Item, move: Point) -> None:  # noqa: ANN401
    if isinstance(item, DrawnLine | Area):
        kind = LINETYPES[item.dash] if isinstance(item, DrawnLine) else "CONTINUOUS"
        look = {"layer": item.layer, "linetype": kind}
        points = [_moved(at, move) for at in item.points]
        space.add_lwpolyline(points, close=isinstance(item, Area), dxfattribs=look)
    elif isinstance(item, Dot):
        space.add_circle(_moved(item.at, move), item.radius, dxfattribs={"layer": item.layer})
    elif isinstance(item, Words):
        _add_words(space, item, _moved(item.at, move), drawing.paper.points(item.size * CAP_HEIGHT))
    else:
        _add_dimension(space, drawing, item, move)


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


def _add_dimension(space: Any, drawing: Drawing, item: Dimension, move: Point) -> None:  # noqa: ANN401
    look = {
        "dimtxt": drawing.paper.points(item.size * CAP_HEIGHT), "dimtsz": drawing.paper.points(3.0),
        "dimgap": drawing.paper.points(2.0), "dimexo": 0.0, "dimexe": drawing.paper.points(2.0),
    }  # fmt: skip
    start, end = _moved(item.start, move), _moved(item.end, move)
    if item.kind == "along":
        made = space.add_aligned_dim(
            p1=start, p2=end, distance=item.line_at, text=item.words, override=look,
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
    else:
        base = _moved(item.ends[0], move)
        angle = 0.0 if item.kind == "level" else 90.0
        made = space.add_linear_dim(
            base=base, p1=start, p2=end, angle=angle, text=item.words, override=look,
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
    made.render()
    assert math.isclose(made.dimension.get_measurement(), item.value, abs_tol=1e-6)
