"""How the drawings of a wall are plotted: on which paper, at which scale, and what their title block says."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from attrs import evolve

from bracing.drawing.model import short
from bracing.drawing.plotted import PlottedSheet, paper_of, plotted, scale_of
from bracing.errors import Fault, InputError
from bracing.job.job import NO_FILE
from bracing.results import said_first
from bracing.sheet.facts import Facts
from bracing.text.check import clear_out_words, state_words
from bracing.text.languages import OWN

PLOTTED = ".dxf", ".pdf"


class Plot(NamedTuple):
    """How drawings are plotted, where that is asked for.

    Attributes:
        paper: one of PAPERS, or None.
        scale: such as "1/4in", or None.
    """

    paper: str | None = None
    scale: str | None = None


def sheets_to_scale(facts: Facts, plot: Plot) -> tuple[PlottedSheet, ...]:
    """Give the drawings of one wall to scale, on sheets with a title block.

    Args:
        facts: all that is said of it.
        plot: on which paper, at which scale.

    Raises:
        InputError: no such paper or scale, or the wall does not fit.
    """
    page, limit = evolve(facts.page, language=OWN), facts.result.limit_whole
    state = page.said(state_words(facts.job))
    lines = (
        f"{short(facts.job.wall.name)}: {state}",
        *(page.said(each) for each in said_first(facts.as_filed.job, plan=facts.plan)),
        clear_out_words(facts.result, page, up=facts.layout is None),
        f"Limit gust {'none given' if limit is None else page.gust(limit)}",
        "Void if anything differs from this sheet.",
        "Not a stamped design unless it is sealed here.",
    )
    paper = paper_of(plot.paper, metric=page.metric)
    scale = None if plot.scale is None else scale_of(plot.scale)
    return plotted(facts.result, page, paper=paper, scale=scale, lines=lines)


def plot_of(paper: str | None, scale: str | None, path: Path) -> Plot | None:
    """Give how drawings are to be plotted; None where a page is asked for.

    Args:
        paper: the paper asked for, or None.
        scale: the scale asked for, or None.
        path: the file it goes into.

    Raises:
        InputError: no such paper or scale, or a file that has neither.
    """
    faults, suffix = list[Fault](), path.suffix.lower()
    for option, value, read in (("--paper", paper, paper_of), ("--scale", scale, scale_of)):
        if value is None:
            continue
        try:
            if suffix not in PLOTTED:
                raise InputError.of(
                    option, f"{value} for {path.name}", "a .dxf or .pdf, which alone are plotted"
                )
            read(value)
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    return Plot(paper, scale) if suffix == ".dxf" or paper is not None or scale is not None else None


def refuse_plots(paper: str | None, scale: str | None) -> None:
    """Refuse to plot a folder of walls: each has a sheet of its own to fit.

    Args:
        paper: the paper asked for, or None.
        scale: the scale asked for, or None.

    Raises:
        InputError: either was asked for.
    """
    given = (
        (option, value) for option, value in (("--paper", paper), ("--scale", scale)) if value is not None
    )
    faults = [
        Fault(NO_FILE, option, value, "one wall file, not a folder: -o wall.dxf") for option, value in given
    ]
    if faults:
        raise InputError(faults)
