"""Pictures of a lift (force over tilt, the hook beside its chart, slings) and of every stick; black on white."""

from __future__ import annotations

import math
from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

from bracing.choosing import whole_down, whole_up
from bracing.drawing.picture import FORMATS, OUTPUT, figure_bytes, new_figure, save_figure
from bracing.errors import InputError
from bracing.layout.sticks import StickRow, Sticks
from bracing.lift.plan import LiftPlan
from bracing.reading.files import Output
from bracing.units import feet

if TYPE_CHECKING:
    from matplotlib.axes import Axes


PICTURES = Output("--pictures", overwrite=True)  # for a caller who says nothing else
_INK = "black"
_PALE = "0.6"


def draw_lift(
    plan: LiftPlan, folder: Path, *, suffix: str = ".svg", output: Output = PICTURES
) -> tuple[Path, ...]:
    """Draw every picture of a lift into a folder.

    Args:
        plan: the lift.
        folder: where the files go; made where it is not there.
        suffix: .svg, .png or .pdf.
        output: what they may be written over.

    Returns:
        The files written.

    Raises:
        InputError: another suffix, or a folder that cannot be written.
        MissingExtraError: the drawing library is not installed.
    """
    if suffix not in FORMATS:
        what = "--format"
        raise InputError.of(what, suffix.lstrip("."), "svg, png or pdf")
    drawn = {}
    for name, draw in (("lift-force", _force), ("lift-hook", _hook), ("lift-slings", _slings)):
        figure = new_figure(7.0, 5.0, layout="constrained")
        draw(plan, figure.add_subplot())
        drawn[f"{name}{suffix}"] = figure_bytes(figure, suffix)
    return output.fill(folder, drawn)


def _force(plan: LiftPlan, axes: Axes) -> None:
    """Pull of the line over tilt, still and in the gust, and where the gust slacks it."""
    tilts = [math.degrees(row.tilt) for row in plan.tilt]
    still = [math.nan if row.head is None else row.head for row in plan.tilt]
    windy = [math.nan if row.windy is None else row.windy for row in plan.tilt]
    axes.plot(tilts, still, color=_INK, linewidth=2.0, label="line, still air")
    axes.plot(tilts, windy, color=_INK, linestyle="--", label=f"line, {plan.gust:.0f} mph from outside")
    axes.axhline(plan.rigged, color=_INK, linestyle=":", label=f"rig for {whole_up(plan.rigged)} lb")
    slack, past = math.degrees(plan.slack_from), math.degrees(plan.past)
    axes.axvline(slack, color=_PALE, label=f"{plan.gust:.0f} mph from inside slacks it past {slack:.0f} deg")
    axes.axvline(past, color=_PALE, linestyle="-.", label=f"runs on to plumb past {past:.0f} deg")
    axes.set(
        xlim=(0.0, 90.0),
        ylim=(0.0, 1.1 * plan.rigged),
        xlabel="tilt from the floor, degrees",
        ylabel="pull, lb",
        title=f"{plan.job.wall.name}: {whole_up(plan.weight.weight)} lb",
    )
    axes.legend(loc="lower left", fontsize="small", frameon=False)


def _hook(plan: LiftPlan, axes: Axes) -> None:
    """The hook from flat to plumb; on the chart's own reach and height where a machine is declared."""
    chart = plan.request.chart
    if plan.path and chart is not None:
        reach = [feet(point.reach) for point in plan.path]
        height = [feet(point.height) for point in plan.path]
        for row in chart.rows:
            level = 0.0 if row.height is None else feet(row.height)
            axes.plot(feet(row.reach), level, marker="+", color=_PALE, linestyle="none")
            axes.annotate(f"{row.capacity:.0f}", (feet(row.reach), level), fontsize="x-small", color="0.3")
        axes.set(xlabel="reach on the chart, ft", ylabel="hook above the machine's ground, ft")
        labels = [
            "off" if point.capacity is None else f"{whole_down(point.capacity)} lb" for point in plan.path
        ]
    else:
        reach = [feet(row.toward_house) for row in plan.tilt]
        height = [feet(row.hook) for row in plan.tilt]
        axes.set(xlabel="toward the house from the plate, ft", ylabel="hook above the floor, ft")
        labels = [""] * len(reach)
    axes.plot(reach, height, color=_INK, marker="o", markersize=3.0)
    for k in range(0, len(reach), 3):
        words = f" {math.degrees(plan.tilt[k].tilt):.0f} deg {labels[k]}".rstrip()
        axes.annotate(words, (reach[k], height[k]), fontsize="small")
    axes.margins(0.15)
    axes.set_title(f"{plan.job.wall.name}: hook over the arc, {whole_up(plan.rigged)} lb and rigging on it")


def _slings(plan: LiftPlan, axes: Axes) -> None:
    """The wall upright with its picks, slings, hook and centre of gravity."""
    wall, slings = plan.job.wall, plan.slings
    x = [0.0, *(feet(a) for a, _ in wall.top), feet(wall.length), 0.0]
    z = [0.0, *(feet(b) for _, b in wall.top), 0.0, 0.0]
    axes.plot(x, z, color=_INK, linewidth=1.5)
    for opening in wall.openings:
        left, right, low, high = (feet(v) for v in (opening.left, opening.right, opening.sill, opening.top))
        axes.plot([left, right, right, left, left], [low, low, high, high, low], color=_PALE)
    top = max(pick.z for pick in plan.picks.picks)
    hook = feet(plan.picks.hook_x), feet(top + slings.rise)
    for pick in plan.picks.picks:
        at = feet(pick.x), feet(pick.z)
        end = (at[0], hook[1]) if slings.spreader else hook
        axes.plot([at[0], end[0]], [at[1], end[1]], color=_INK, linestyle="--", linewidth=1.0)
        axes.annotate(f" {pick.mark} {at[0]:.2f} ft", at, fontsize="small")
    axes.plot(*hook, marker="v", color=_INK)
    axes.annotate(f" hook {hook[0]:.2f} ft, {whole_up(plan.rigged)} lb", hook, fontsize="small")
    centre = feet(plan.weight.x_cg), feet(plan.weight.z_cg)
    axes.plot(*centre, marker="x", color=_INK)
    axes.annotate(" centre of gravity", centre, fontsize="small")
    axes.set_aspect("equal")
    angle = math.degrees(slings.check.angle)
    said = "plumb from a spreader" if slings.spreader else f"{angle:.0f} deg off vertical"
    axes.set(
        xlabel="from LEFT, ft",
        ylabel="up, ft",
        title=f"Slings {said}, {whole_up(slings.check.tension)} lb a leg",
    )


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
