"""One picture of every stick: what it may carry against how long it is, and what it must."""

from __future__ import annotations

import math
from collections import defaultdict
from pathlib import Path

from bracing.drawing.picture import FORMATS, OUTPUT, new_figure, save_figure
from bracing.errors import InputError
from bracing.layout.sticks import StickRow, Sticks
from bracing.reading.files import Output

MARKERS = "osD^vPX*"
LINES = {"-": ":", "1 tie": "--", "2 ties": "-", "T": "-."}


def draw_stock(sticks: Sticks, path: Path, output: Output = OUTPUT) -> Path:
    """Draw the sticks.

    Args:
        sticks: the table.
        path: ends in .svg, .png or .pdf.
        output: what it may be written over.

    Raises:
        InputError: another suffix, or a file that cannot be written.
        MissingExtraError: the drawing library is not installed.
    """
    if path.suffix not in FORMATS:
        option = "-o"
        raise InputError.of(option, str(path), "a file that ends in .svg, .png or .pdf")
    figure = new_figure(8.0, 5.5, layout="constrained")
    axes = figure.add_subplot()
    lines: dict[tuple[str, str], list[StickRow]] = defaultdict(list)
    for row in sticks.rows:
        lines[row.size, row.made].append(row)
    sizes = sorted({size for size, _ in lines})
    for (size, made), rows in sorted(lines.items()):
        along = sorted(rows, key=lambda row: row.stock)
        axes.plot(
            [row.stock / 12.0 for row in along], [min(row.push, row.pull) for row in along], color="black",
            marker=MARKERS[sizes.index(size) % len(MARKERS)], linestyle=LINES[made], fillstyle="none",
            label=f"{size}, {'no tie' if made == '-' else made}",
        )  # fmt: skip
    need = {row.stock: row for row in sticks.rows}
    places = sorted(need)
    axes.plot([x / 12.0 for x in places], [need[x].force for x in places], color="0.6", linewidth=3.0,
              label=f"needed for {sticks.every / 12.0:g} ft of wall")  # fmt: skip
    for x in places:
        words = f"{math.degrees(need[x].angle):.0f}°"
        axes.annotate(
            words, (x / 12.0, need[x].force), textcoords="offset points", xytext=(0, 6), ha="center"
        )
    axes.set(
        xlabel="length of the stick, ft (its angle from the floor beside the line)",
        ylabel="along the brace, lb: the less of push and pull", ylim=(0.0, None),
        title=f"{sticks.job.wall.name}, {sticks.height / 12.0:g} ft high, {sticks.gust:g} mph",
    )  # fmt: skip
    axes.legend(fontsize="small", frameon=False)
    return save_figure(figure, path, output)
