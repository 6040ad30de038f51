"""Answers as figures of matplotlib, black on white; the extra `plots` brings it.

    from bracing import check_wall, plots, read_job

    plots.limits(check_wall(read_job("south-gable.toml"), gust=45.0)).savefig("limits.svg")

Each gives a Figure that no window knows of; no answer knows of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bracing.check import CheckResult, reached_at
from bracing.choosing import whole_down
from bracing.drawing.elevation import elevation as drawn
from bracing.drawing.picture import composed, new_figure
from bracing.layout.plan import LayoutResult
from bracing.storm.answer import StormResult
from bracing.text.quantities import Quantities
from bracing.units import MPH_PER_METRE_PER_SECOND

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["elevation", "gusts", "limits"]

INK, PALE = "black", "0.6"
LINKS = 12  # of the lowest, that a figure of them shows unless asked
ROW = 0.32  # height of one [in of paper]
WIDE, HEAD = 7.0, 1.3  # [in of paper]
HOURS = (7.0, 3.6)  # [in of paper]
SECONDS = 3600.0


def elevation(answer: CheckResult | LayoutResult, *, metric: bool = False) -> Figure:
    """Draw the wall from the brace side, every brace marked, as the sheet draws it.

    Args:
        answer: of `check_wall` or `lay_out`.
        metric: lengths in millimetres.

    Returns:
        The figure.

    Raises:
        MissingExtraError: matplotlib is not installed.
    """
    return composed([drawn(answer.job, Quantities(metric=metric))])


def limits(answer: CheckResult | LayoutResult, *, most: int = LINKS, metric: bool = False) -> Figure:
    """Draw at what gust each link reaches its limit, the lowest on top; and the gust asked, limit and clear-out gust.

    Args:
        answer: of `check_wall` or `lay_out`.
        most: how many links at the most.
        metric: gusts in metres a second.

    Returns:
        The figure; without a bar where the wall is beyond what is covered.

    Raises:
        MissingExtraError: matplotlib is not installed.
    """
    result = answer.result if isinstance(answer, LayoutResult) else answer
    loose = () if result.evaluation is None else result.evaluation.loose
    found = [(link, reached_at(link, loose)) for link in result.links]
    shown = [(link, gust) for link, gust in found if gust is not None][:most]
    page = Quantities(metric=metric)
    figure = new_figure(WIDE, HEAD + ROW * max(1, len(shown)), layout="constrained")
    axes, per = figure.add_subplot(), MPH_PER_METRE_PER_SECOND if metric else 1.0
    names = [" ".join(filter(None, (str(link.link), link.mark, f"({link.direction})"))) for link, _ in shown]
    rows = range(len(shown))
    axes.barh(rows, [gust / per for _, gust in shown], height=0.6, facecolor="0.85", edgecolor=INK)
    axes.set_yticks(rows, names, fontsize="small", parse_math=False)
    axes.invert_yaxis()
    lines = (
        ("clear out", result.clear_out, "--"),
        ("limit", result.limit_whole, "-"),
        ("asked", result.gust, ":"),
    )
    for name, gust, style in lines:
        if gust is not None:
            said = page.asked(gust) if name == "asked" else page.gust(gust)
            axes.axvline(gust / per, color=INK, linestyle=style, linewidth=1.0, label=f"{name} {said}")
    axes.set_xlim(left=0.0)
    axes.set_xlabel(f"gust, {page.gust(0.0).split()[-1]}")
    axes.set_title(result.job.wall.name, parse_math=False)
    if axes.get_legend_handles_labels()[1]:
        axes.legend(loc="lower right", fontsize="small", frameon=True)
    return figure


def gusts(answer: StormResult, *, metric: bool = False) -> Figure:
    """Draw the gusts of a forecast over its hours, with the wall's limit and clear-out gust in each.

    Args:
        answer: of `check_storm`.
        metric: gusts in metres a second.

    Returns:
        The figure; hours run from the first one of the forecast, by the clock of the place named below.

    Raises:
        MissingExtraError: matplotlib is not installed.
    """
    page, per = Quantities(metric=metric), MPH_PER_METRE_PER_SECOND if metric else 1.0
    figure = new_figure(*HOURS, layout="constrained")
    axes = figure.add_subplot()
    rows = answer.forecast.hours
    first = rows[0].start
    starts = [(row.start - first).total_seconds() / SECONDS for row in rows]
    last = rows[-1].end
    end = starts[-1] + 1.0 if last is None else (last - first).total_seconds() / SECONDS
    steps = [*starts, max(end, starts[-1])]

    def stepped(values: list[float], label: str, style: str, color: str) -> None:
        at = [value / per for value in (*values, values[-1])]
        axes.step(steps, at, where="post", color=color, linestyle=style, label=label)

    stepped([row.gust for row in rows], "gust", "-", INK)
    if answer.hours:
        stepped([float(whole_down(row.limit)) for row in answer.hours], "limit", ":", INK)
        stepped([float(row.clear_out) for row in answer.hours], "clear out", "--", PALE)
    axes.set_ylim(bottom=0.0)
    axes.set_xlabel(f"hours from {answer.clock.text(first)}")
    axes.set_ylabel(f"gust, {page.gust(0.0).split()[-1]}")
    axes.set_title(answer.job.wall.name, parse_math=False)
    axes.legend(fontsize="small", frameon=False)
    return figure
