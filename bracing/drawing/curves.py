"""The chances of a wall over the gust: black curves, named at their ends, with clear-out and limit."""

from __future__ import annotations

import numpy as np

from bracing.chain.forces import DIRECTIONS
from bracing.chance.answer import ChanceResult
from bracing.drawing.picture import figure_bytes, new_figure
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import MPH_PER_METRE_PER_SECOND, Mph

_INK = "black"
SIZE = (6.0, 3.2)  # [in of paper]
STEPS = 60
NAME_HEIGHT = 6.0  # of a name, in parts of a hundred of the height
PAST = 1.6  # of the limit gust: how far the curves go
_STYLES = {"first": ":", "line": "-", "missed": "--"}


def points_of(result: ChanceResult) -> tuple[tuple[Mph, ...], dict[str, tuple[float, ...]]]:
    """Give the curves: gusts [mph], and of each curve the chance there [-].

    Args:
        result: the answer.
    """
    if result.figures is None:
        return (), {}
    limit = float(result.check.limit_whole or 0)
    gusts = np.linspace(0.0, PAST * limit, STEPS + 1)[1:]
    taken = result.figures.taken
    found = {}
    for name in _STYLES:
        sides = [
            np.searchsorted(np.sort(getattr(taken[way], name)), gusts, side="right") for way in DIRECTIONS
        ]
        found[name] = tuple((np.maximum(*sides) / result.figures.drawn.draws).tolist())
    return tuple(gusts.tolist()), found


def chance_svg(result: ChanceResult, page: Quantities = ENGLISH) -> bytes:
    """Draw the curves; without a figure, nothing but the limits.

    Args:
        result: the answer.
        page: how quantities are written.
    """
    figure = new_figure(*SIZE)
    axes = figure.add_subplot()
    gusts, curves = points_of(result)
    per = MPH_PER_METRE_PER_SECOND if page.metric else 1.0
    for name, shares in curves.items():
        at, of_hundred = [gust / per for gust in gusts], [100.0 * share for share in shares]
        axes.plot(at, of_hundred, color=_INK, linestyle=_STYLES[name], linewidth=1.0)
    for name, height in _apart({name: 100.0 * shares[-1] for name, shares in curves.items()}).items():
        axes.text(1.01 * gusts[-1] / per, height, _NAMES[name], fontsize=8, va="center")
    for words, gust in (("clear out", result.check.clear_out), ("limit", result.check.limit_whole)):
        if gust:
            axes.axvline(gust / per, color=_INK, linewidth=0.6)
            said = f"{words} {page.gust(gust)}"
            axes.annotate(said, (gust / per, 101.0), fontsize=8, rotation=90, va="top", ha="right")
    axes.set_ylim(0.0, 102.0)
    axes.set_xlim(0.0, gusts[-1] / per if gusts else 1.0)
    figure.subplots_adjust(left=0.1, right=0.77, bottom=0.16, top=0.96)
    axes.set_xlabel(f"gust, {page.gust(0.0).split()[-1]}")
    axes.set_ylabel("of 100 such walls")
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure_bytes(figure, ".svg")


_NAMES = {"first": "first link", "line": "line goes", "missed": "1 joint in 20 missed"}


def _apart(ends: dict[str, float]) -> dict[str, float]:
    """Where each name stands beside the end of its curve: none over another, the lower ones moved down."""
    found: dict[str, float] = {}
    for name in sorted(ends, key=lambda name: -ends[name]):
        found[name] = min([ends[name], *(height - NAME_HEIGHT for height in found.values())])
    return found
