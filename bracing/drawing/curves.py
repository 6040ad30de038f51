"""The chances of a wall over the gust: black curves, named at their ends, with clear-out and limit."""

from __future__ import annotations

import numpy as np

from bracing.chain.forces import DIRECTIONS
from bracing.chance.answer import ChanceResult
from bracing.drawing.picture import figure_bytes, new_figure
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import Mph

_INK = "black"
STEPS = 60
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
    taken = result.figures.drawn.taken()
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
    figure = new_figure(6.0, 3.2)
    axes = figure.add_subplot()
    gusts, curves = points_of(result)
    for name, shares in curves.items():
        axes.plot(
            gusts, [100.0 * share for share in shares], color=_INK, linestyle=_STYLES[name], linewidth=1.0
        )
        words = {"first": "first link", "line": "line goes", "missed": "one joint in twenty missed"}[name]
        k = next((k for k, share in enumerate(shares) if share >= _NAMED_AT[name]), len(shares) - 1)
        axes.annotate(words, (gusts[k], 100.0 * shares[k]), fontsize=8, ha="right", va="bottom")
    for words, gust in (("clear out", result.check.clear_out), ("limit", result.check.limit_whole)):
        if gust:
            axes.axvline(gust, color=_INK, linewidth=0.6)
            axes.annotate(
                f"{words} {page.gust(gust)}", (gust, 101.0), fontsize=8, rotation=90, va="top", ha="right"
            )
    axes.set_ylim(0.0, 102.0)
    axes.set_xlim(left=0.0)
    axes.set_xlabel("gust, mph")
    axes.set_ylabel("of 100 such walls")
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure_bytes(figure, ".svg")


_NAMED_AT = {"first": 0.9, "line": 0.6, "missed": 0.35}
