"""Draws the pictures of README and manual from the example walls.

    python docs/pictures/draw.py

writes docs/pictures/*.svg (but uncertainty.svg, which has a script of its own). tests/house/test_manual.py fails
where a page shows a picture this does not draw.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np

from bracing.check import check
from bracing.drawing.details import brace_section, details
from bracing.drawing.elevation import elevation
from bracing.drawing.model import Drawing
from bracing.drawing.picture import new_figure, save_figure, write_picture
from bracing.drawing.plan import plan, zone
from bracing.reading.jobs import read_job

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
WALL = EXAMPLES / "short-wall-braced.toml"
GUST = 40.0


def wall_drawings() -> dict[str, tuple[Drawing, ...]]:
    """The drawings of the wall the manual works with, by name of the picture."""
    result = check(read_job(WALL), gust=GUST, effects=False)
    job = result.job
    head, *foot = details(job, job.braces[0])
    return {
        "elevation": (elevation(job),),
        "plan": (plan(result),),
        "zone": (zone(result),),
        "section": (brace_section(job, job.braces[0]),),
        "head": (head,),
        "foot": tuple(foot),
    }


def pressure_curve(path: Path) -> None:
    """Pressure over gust, and where the clear-out and the limit gust of the wall lie."""
    result = check(read_job(WALL), gust=GUST, effects=False)
    gusts = np.linspace(5.0, 60.0, 111)
    at_asked = result.pressure_psf
    assert at_asked is not None
    assert result.limit_whole is not None
    assert result.clear_out is not None
    figure = new_figure(6.4, 3.2)
    axes = figure.add_axes((0.1, 0.16, 0.86, 0.78))
    axes.plot(gusts, at_asked * (gusts / GUST) ** 2, color="black", linewidth=1.2)
    for gust, words in ((result.clear_out, "clear-out gust"), (result.limit_whole, "limit gust")):
        psf = at_asked * (gust / GUST) ** 2
        axes.plot([gust, gust], [0.0, psf], color="black", linewidth=0.8, linestyle="--")
        axes.annotate(f"{words} {gust} mph, {psf:.1f} psf", (gust, psf), xytext=(-6, 4), textcoords="offset points",
                      ha="right", fontsize=8)  # fmt: skip
    axes.set_xlabel("3-second gust at 33 ft in open country, mph", fontsize=8)
    axes.set_ylabel("mean pressure, psf", fontsize=8)
    axes.set_ylim(bottom=0.0)
    axes.tick_params(labelsize=8)
    save_figure(figure, path)


def lift_line(path: Path) -> None:
    """Head force over the tilt while the wall comes up."""
    from bracing.lift.links import LiftRequest
    from bracing.lift.plan import plan_lift

    rows = plan_lift(read_job(WALL), LiftRequest()).to_dict()["tilt"]
    assert isinstance(rows, list)
    figure = new_figure(6.4, 3.0)
    axes = figure.add_axes((0.11, 0.16, 0.85, 0.78))
    tilt = [row["tilt_deg"] for row in rows]
    axes.plot(tilt, [row["head_force_lb"] for row in rows], color="black", linewidth=1.2, label="at the hook")
    axes.plot(
        tilt,
        [row["hinge_up_lb"] for row in rows],
        color="black",
        linewidth=1.0,
        linestyle="--",
        label="at the foot",
    )
    axes.set_xlabel("tilt from the deck, degrees", fontsize=8)
    axes.set_ylabel("lb", fontsize=8)
    axes.tick_params(labelsize=8)
    axes.legend(fontsize=8, frameon=False)
    save_figure(figure, path)


OTHERS: dict[str, Callable[[Path], None]] = {"pressure": pressure_curve, "lift": lift_line}


def main(folder: Path = HERE) -> None:
    """Draw everything into a folder."""
    for name, drawn in wall_drawings().items():
        write_picture(drawn, folder / f"{name}.svg")
    for name, draw in OTHERS.items():
        draw(folder / f"{name}.svg")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
