"""Why no layout stands, in plain words."""

from __future__ import annotations

import numpy as np

from bracing.chain.model import build_model
from bracing.choosing import first_greatest, greatest, lowest, over
from bracing.layout.batch import WITHIN, worst_ratios
from bracing.layout.finish import finish
from bracing.layout.standing import placed
from bracing.layout.walk import walks
from bracing.layout.yard import Yard

REASONS = 3


def why_none(yard: Yard) -> str:
    """Say what stops every layout: no foot, too weak a brace, or the link the nearest layout fails at.

    Args:
        yard: the wall.
    """
    if not yard.benches:
        reasons = sorted({refused.why for refused in yard.refused})
        if reasons:
            return "no foot can stand anywhere: " + "; ".join(reasons[:REASONS])
        return "no stock on hand is long enough"
    return _weak(yard) or _nearest(yard)


def _weak(yard: Yard) -> str:
    """A wall whose studs fail alone, or whose braces all together cannot balance the wind."""
    if max(float(np.sort(bench.panel.loose)[0]) for _, bench in yard.benches) > WITHIN:
        return (
            f"studs bend past their allowable value between any braces at {yard.gust:g} mph; ask an engineer"
        )
    shares = []
    for order, (_, bench) in enumerate(yard.benches):
        moments = bench.level * bench.head
        shares.append(
            (float(moments.max() / np.abs(bench.panel.moment).max()), order, first_greatest(moments))
        )
    share, order, at = greatest(shares, lambda each: each[0])
    studs = len(yard.framing.full_height_studs)
    if over(share * studs / 2.0, 1.0):  # a brace on every other stud would do
        return ""
    strength = yard.benches[order][1].makes[at].strength
    weak = lowest((*strength.push, *strength.pull), lambda each: each.level_force)
    return (
        f"the strongest brace of the stock on hand balances {share:.0%} of the wind's moment at {yard.gust:g} mph; "
        f"its weakest link is {weak.link} ({weak.why})"
    )


def _nearest(yard: Yard) -> str:
    """The walk that comes nearest, and the link it fails at."""
    tries = [
        (float(ratio), order, row)
        for order, (_, bench) in enumerate(yard.benches)
        for layouts in walks(bench, yard.job.wall)
        for ratio, row in zip(worst_ratios(bench, layouts), layouts, strict=True)
    ]
    if not tries:
        return "the spots left keep no brace within 4 ft of a free end and none over 10 ft apart"
    _, order, row = lowest(tries, lambda each: each[0])
    recipe, bench = yard.benches[order]
    job = placed(yard, recipe, bench=bench, layout=row)
    many = f"{len(row)} brace{'s' if len(row) > 1 else ''}"
    which = f"the nearest, {many} ({recipe.said()}) at {yard.gust:g} mph"
    if not yard.on_hand(job):
        return f"{which}, takes more than is on hand"
    finished = finish(build_model(job, thunderstorm=yard.thunderstorm), yard.gust)
    stuck = finished.stuck
    if not finished.held:
        return f"{which}, leaves the wall free to move"
    if not stuck:
        other = "one stud off its mark" if yard.one_missing is None else "one stud off its mark, or gone"
        return f"{which}, is over with one brace {other}"
    worst = stuck[0]
    why = f" ({worst.why})" if worst.why else ""
    return f"{which}, is over at {worst.link}{why}, and no more fasteners mend that"
