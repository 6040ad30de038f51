"""Sheets of drawings into DXF by ezdxf: full size in model space, to scale through the viewports of its sheets.

Line widths and types follow ISO 128: narrow, wide and extra-wide as 1 to 2 to 4, 0.18, 0.35 and 0.70 mm, dashes of
12 and gaps of 3 widths (ISO 128-2 and 128-23, from memory).
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

from bracing.drawing.model import Area, Dimension, Dot, Drawing, DrawnLine, Item, Point, Words
from bracing.drawing.plotted import CAP_HEIGHT, PlottedSheet, View
from bracing.errors import from_extra
from bracing.reading.files import Output
from bracing.units import MM_PER_INCH, Inch

OUTPUT = Output("-o", overwrite=True)  # for a caller who says nothing else
VERSION = "R2010"
INCHES, MILLIMETRES = 1, 4  # $INSUNITS
NARROW, WIDE, EXTRA_WIDE = 18, 35, 70  # 1/100 mm
TYPES = {"solid": "Continuous", "dashed": "DASHED", "dashdot": "DASHDOT"}
# Each as drawn by a wide line: dash, gap, dot, gap in its widths [mm].
PATTERNS = {
    "DASHED": ("__ __ __", (12.0, -3.0)), "DASHDOT": ("____ . ____ .", (24.0, -3.0, 0.5, -3.0)),
}  # fmt: skip
WIDTH_MM = 0.35
LOOKS: dict[str, tuple[int, str]] = {
    "WALL": (EXTRA_WIDE, "solid"), "STUDS": (NARROW, "solid"), "OPENINGS": (WIDE, "solid"), "ROWS": (WIDE, "dashed"),
    "BRACES": (EXTRA_WIDE, "solid"), "FASTENERS": (WIDE, "solid"), "FLOOR": (WIDE, "solid"),
    "JOISTS": (NARROW, "dashed"), "KEEP-OUT": (WIDE, "solid"), "ZONE": (WIDE, "dashdot"), "WORDS": (NARROW, "solid"),
    "DIMENSIONS": (NARROW, "solid"), "TITLE": (WIDE, "solid"),
}  # fmt: skip
VIEWPORTS = "VIEWPORTS"  # not plotted: the edges of what a sheet shows of the model
STYLE = "Standard"  # every file has it: one of our own would leave it unused
APART: Inch = 24.0  # between drawings, beyond the paper of each
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
    sheets: Sequence[PlottedSheet], path: Path, output: Output = OUTPUT, *, metric: bool = False
) -> Path:
    """Write sheets: their drawings apart in model space at full size, each sheet a layout that shows its own to scale.

    Args:
        sheets: the sheets.
        path: the file.
        output: what it may be written over.
        metric: in millimetres.

    Returns:
        The file.

    Raises:
        MissingExtraError: ezdxf is not installed.
        InputError: the file cannot be written.
    """
    with from_extra("ezdxf", "dxf"):
        import ezdxf
    unit = MM_PER_INCH if metric else 1.0
    document = _started(ezdxf.new(VERSION), sheets, metric=metric)  # type: ignore[attr-defined]
    space, down = document.modelspace(), 0.0
    for k, sheet in enumerate(sheets):
        layout = document.layouts.new(f"S{k + 1}")
        size = tuple(side * unit for side in sheet.size)
        layout.page_setup(size=size, margins=(0, 0, 0, 0), units="mm" if metric else "inch")
        for item in sheet.frame.items:
            _add(layout, sheet.frame, item, _Place(0.0, 0.0, unit))
        for view in sheet.views:
            left, bottom, _, top = view.drawing.paper.box
            place = _Place(-left, down - top, unit)
            for item in view.drawing.items:
                _add(space, view.drawing, item, place)
            _show(layout, view, place)
            down -= top - bottom + APART
    document.layouts.delete("Layout1")
    into = io.StringIO()
    document.write(into)
    return output.put(path, into.getvalue().encode(document.output_encoding, "dxfreplace"))


def _started(document: Any, sheets: Sequence[PlottedSheet], *, metric: bool) -> Any:  # noqa: ANN401
    """Units, and the layers and types of lines that are drawn: no others."""
    document.header["$INSUNITS"] = MILLIMETRES if metric else INCHES
    document.header["$MEASUREMENT"] = int(metric)
    document.header["$PSLTSCALE"] = 1  # dashes as long as plotted, whatever the scale
    drawings = [each for sheet in sheets for each in (sheet.frame, *(view.drawing for view in sheet.views))]
    items = [item for drawing in drawings for item in drawing.items]
    layers = {"DIMENSIONS" if isinstance(item, Dimension) else item.layer for item in items}
    dashes = {item.dash for item in items if isinstance(item, DrawnLine)} | {
        LOOKS[name][1] for name in layers
    }
    for name in (TYPES[dash] for dash in TYPES if dash in dashes):
        if name in PATTERNS:
            about, widths = PATTERNS[name]
            parts = [part * WIDTH_MM / (1.0 if metric else MM_PER_INCH) for part in widths]
            document.linetypes.add(name, [sum(map(abs, parts)), *parts], description=about)
    for name in (name for name in LOOKS if name in layers):
        weight, dash = LOOKS[name]
        document.layers.add(name, lineweight=weight, linetype=TYPES[dash])
    document.layers.add(VIEWPORTS, lineweight=NARROW).dxf.plot = 0
    return document


def _show(layout: Any, view: View, place: _Place) -> None:  # noqa: ANN401
    """Let a sheet show a drawing of the model."""
    (wide, tall), unit, (left, bottom, right, top) = (
        view.drawing.paper.size,
        place.scale,
        view.drawing.paper.box,
    )
    middle = ((view.at[0] + wide / 2.0) * unit, (view.at[1] + tall / 2.0) * unit)
    made = layout.add_viewport(
        center=middle, size=(wide * unit, tall * unit),
        view_center_point=place.at(((left + right) / 2.0, (bottom + top) / 2.0)),
        view_height=(top - bottom) * unit,
    )  # fmt: skip
    made.dxf.layer = VIEWPORTS


def _add(space: Any, drawing: Drawing, item: Item, place: _Place) -> None:  # noqa: ANN401
    if isinstance(item, DrawnLine | Area):
        dash = item.dash if isinstance(item, DrawnLine) else "solid"
        look = {"layer": item.layer, "linetype": "BYLAYER" if LOOKS[item.layer][1] == dash else TYPES[dash]}
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
            p1=start, p2=end, distance=item.line_at * place.scale, text=item.words, override=look, dimstyle=STYLE,
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
    else:
        base = place.at(item.ends[0])
        angle = 0.0 if item.kind == "level" else 90.0
        made = space.add_linear_dim(
            base=base, p1=start, p2=end, angle=angle, text=item.words, override=look, dimstyle=STYLE,
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
    made.render()
    assert math.isclose(
        made.dimension.get_measurement(), item.value * place.scale, abs_tol=1e-6 * place.scale
    )
