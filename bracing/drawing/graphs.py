"""Pictures of a lift (force over tilt, the hook beside its chart, slings) and of every stick; black on white."""

from __future__ import annotations

import math
from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import frozen

from bracing.drawing.picture import FORMATS, OUTPUT, figure_bytes, new_figure, save_figure
from bracing.errors import InputError
from bracing.layout.sticks import StickRow, Sticks
from bracing.lift.plan import LiftPlan
from bracing.reading.files import Output
from bracing.text.quantities import COMES_TO, ENGLISH, Quantities
from bracing.units import INCHES_PER_FOOT, Inch, Pound

if TYPE_CHECKING:
    from matplotlib.axes import Axes


PICTURES = Output("--pictures", overwrite=True)  # for a caller who says nothing else
_INK = "black"
_PALE = "0.6"


@frozen
class Scale:
    """The axes of a picture, in feet and pounds or in metres and kilonewtons.

    Attributes:
        page: how quantities are written.
    """

    page: Quantities

    @property
    def far_in(self) -> str:
        """Unit of what is far."""
        return "m" if self.page.metric else "ft"

    @property
    def hard_in(self) -> str:
        """Unit of what is hard."""
        return "kN" if self.page.metric else "lb"

    def far(self, inches: Inch) -> float:
        """Give a length on an axis.

        Args:
            inches: the length [in].
        """
        return inches * 0.0254 if self.page.metric else inches / INCHES_PER_FOOT

    def hard(self, load: Pound) -> float:
        """Give a force on an axis.

        Args:
            load: the force [lb].
        """
        return load * COMES_TO["lb"][0] if self.page.metric else load


def draw_lift(
    plan: LiftPlan,
    folder: Path,
    page: Quantities = ENGLISH,
    *,
    suffix: str = ".svg",
    output: Output = PICTURES,
) -> tuple[Path, ...]:
    """Draw every picture of a lift into a folder.

    Args:
        plan: the lift.
        folder: where the files go; made where it is not there.
        page: how quantities are written.
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
        draw(plan, figure.add_subplot(), Scale(page))
        drawn[f"{name}{suffix}"] = figure_bytes(figure, suffix)
    return output.fill(folder, drawn)


def _force(plan: LiftPlan, axes: Axes, scale: Scale) -> None:
    """Pull of the line over tilt, still and in the gust, and where the gust slacks it."""
    tilts = [math.degrees(row.tilt) for row in plan.tilt]
    still = [math.nan if row.head is None else scale.hard(row.head) for row in plan.tilt]
    windy = [math.nan if row.windy is None else scale.hard(row.windy) for row in plan.tilt]
    page, gust = scale.page, scale.page.asked(plan.gust)
    axes.plot(tilts, still, color=_INK, linewidth=2.0, label="line, still air")
    axes.plot(tilts, windy, color=_INK, linestyle="--", label=f"line, {gust} from outside")
    axes.axhline(
        scale.hard(plan.rigged), color=_INK, linestyle=":", label=f"rig for {page.force(plan.rigged)}"
    )
    slack, past = math.degrees(plan.slack_from), math.degrees(plan.past)
    axes.axvline(slack, color=_PALE, label=f"{gust} from inside slacks it past {slack:.0f} deg")
    axes.axvline(past, color=_PALE, linestyle="-.", label=f"runs on to plumb past {past:.0f} deg")
    axes.set(
        xlim=(0.0, 90.0),
        ylim=(0.0, 1.1 * scale.hard(plan.rigged)),
        xlabel="tilt from the floor, degrees",
        ylabel=f"pull, {scale.hard_in}",
        title=f"{plan.job.wall.name}: {page.mass(plan.weight.weight)}",
    )
    axes.legend(loc="lower left", fontsize="small", frameon=False)


def _hook(plan: LiftPlan, axes: Axes, scale: Scale) -> None:
    """The hook from flat to plumb; on the chart's own reach and height where a machine is declared."""
    chart, page, far, unit = plan.request.chart, scale.page, scale.far, scale.far_in
    if plan.path and chart is not None:
        reach = [far(point.reach) for point in plan.path]
        height = [far(point.height) for point in plan.path]
        for row in chart.rows:
            level = 0.0 if row.height is None else far(row.height)
            axes.plot(far(row.reach), level, marker="+", color=_PALE, linestyle="none")
            axes.annotate(
                page.strength(row.capacity).split()[0],
                (far(row.reach), level),
                fontsize="x-small",
                color="0.3",
            )
        axes.set(xlabel=f"reach on the chart, {unit}", ylabel=f"hook above the machine's ground, {unit}")
        labels = ["off" if point.capacity is None else page.strength(point.capacity) for point in plan.path]
    else:
        reach = [far(row.toward_house) for row in plan.tilt]
        height = [far(row.hook) for row in plan.tilt]
        axes.set(xlabel=f"toward the house from the plate, {unit}", ylabel=f"hook above the floor, {unit}")
        labels = [""] * len(reach)
    axes.plot(reach, height, color=_INK, marker="o", markersize=3.0)
    for k in range(0, len(reach), 3):
        words = f" {math.degrees(plan.tilt[k].tilt):.0f} deg {labels[k]}".rstrip()
        axes.annotate(words, (reach[k], height[k]), fontsize="small")
    axes.margins(0.15)
    axes.set_title(f"{plan.job.wall.name}: hook over the arc, {page.force(plan.rigged)} and rigging on it")


def _slings(plan: LiftPlan, axes: Axes, scale: Scale) -> None:
    """The wall upright with its picks, slings, hook and centre of gravity."""
    wall, slings, page, far, unit = plan.job.wall, plan.slings, scale.page, scale.far, scale.far_in
    x = [0.0, *(far(a) for a, _ in wall.top), far(wall.length), 0.0]
    z = [0.0, *(far(b) for _, b in wall.top), 0.0, 0.0]
    axes.plot(x, z, color=_INK, linewidth=1.5)
    for opening in wall.openings:
        left, right, low, high = (far(v) for v in (opening.left, opening.right, opening.sill, opening.top))
        axes.plot([left, right, right, left, left], [low, low, high, high, low], color=_PALE)
    top = max(pick.z for pick in plan.picks.picks)
    hook = far(plan.picks.hook_x), far(top + slings.rise)
    for pick in plan.picks.picks:
        at = far(pick.x), far(pick.z)
        end = (at[0], hook[1]) if slings.spreader else hook
        axes.plot([at[0], end[0]], [at[1], end[1]], color=_INK, linestyle="--", linewidth=1.0)
        axes.annotate(f" {pick.mark} {at[0]:.2f} {unit}", at, fontsize="small")
    axes.plot(*hook, marker="v", color=_INK)
    axes.annotate(f" hook {hook[0]:.2f} {unit}, {page.force(plan.rigged)}", hook, fontsize="small")
    centre = far(plan.weight.x_cg), far(plan.weight.z_cg)
    axes.plot(*centre, marker="x", color=_INK)
    axes.annotate(" centre of gravity", centre, fontsize="small")
    axes.set_aspect("equal")
    angle = math.degrees(slings.check.angle)
    said = "plumb from a spreader" if slings.spreader else f"{angle:.0f} deg off vertical"
    axes.set(
        xlabel=f"from LEFT, {unit}",
        ylabel=f"up, {unit}",
        title=f"Slings {said}, {page.force(slings.check.tension)} a leg",
    )


MARKERS = "osD^vPX*"
LINES = {"-": ":", "1 tie": "--", "2 ties": "-", "T": "-."}


def draw_stock(sticks: Sticks, path: Path, output: Output = OUTPUT, *, page: Quantities = ENGLISH) -> Path:
    """Draw the sticks.

    Args:
        sticks: the table.
        path: ends in .svg, .png or .pdf.
        output: what it may be written over.
        page: how quantities are written.

    Raises:
        InputError: another suffix, or a file that cannot be written.
        MissingExtraError: the drawing library is not installed.
    """
    if path.suffix not in FORMATS:
        option = "-o"
        raise InputError.of(option, str(path), "a file that ends in .svg, .png or .pdf")
    figure = new_figure(8.0, 5.5, layout="constrained")
    axes, scale = figure.add_subplot(), Scale(page)
    far, hard = scale.far, scale.hard
    lines: dict[tuple[str, str], list[StickRow]] = defaultdict(list)
    for row in sticks.rows:
        lines[row.size, row.made].append(row)
    sizes = sorted({size for size, _ in lines})
    for (size, made), rows in sorted(lines.items()):
        along = sorted(rows, key=lambda row: row.stock)
        axes.plot(
            [far(row.stock) for row in along], [hard(min(row.push, row.pull)) for row in along], color="black",
            marker=MARKERS[sizes.index(size) % len(MARKERS)], linestyle=LINES[made], fillstyle="none",
            label=f"{size}, {'no tie' if made == '-' else made}",
        )  # fmt: skip
    need = {row.stock: row for row in sticks.rows}
    places = sorted(need)
    axes.plot([far(x) for x in places], [hard(need[x].force) for x in places], color="0.6", linewidth=3.0,
              label=f"needed for {far(sticks.every):.4g} {scale.far_in} of wall")  # fmt: skip
    for x in places:
        words = f"{math.degrees(need[x].angle):.0f}°"
        axes.annotate(
            words, (far(x), hard(need[x].force)), textcoords="offset points", xytext=(0, 6), ha="center"
        )
    axes.set(
        xlabel=f"length of the stick, {scale.far_in} (its angle from the floor beside the line)",
        ylabel=f"along the brace, {scale.hard_in}: the less of push and pull", ylim=(0.0, None),
        title=f"{sticks.job.wall.name}, {page.length(sticks.height)} high, {page.asked(sticks.gust)}",
    )  # fmt: skip
    axes.legend(fontsize="small", frameon=False)
    return save_figure(figure, path, output)
