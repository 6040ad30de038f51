"""One link as sums: what the frame asks of it, in which row, over what it may carry; the gust where the two meet.

Nothing is worked out a second way: each sum takes the numbers of the very row the chain took.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from attrs import frozen

from bracing.chain.evaluate import Evaluation
from bracing.chain.forces import Forces
from bracing.chain.links import ALONG, HIGHEST, Array, At, Group, force_at, may_carry, met, moment_at
from bracing.chain.model import Model
from bracing.choosing import first_greatest
from bracing.codes.ends import head_couple
from bracing.codes.pressures import (
    PressureField,
    along_wall,
    force_on,
    mean_coefficient,
    net_pressure,
    outline_properties,
)
from bracing.job.lumber import section
from bracing.panel.loads import level_load, sideways
from bracing.panel.weight import take_off
from bracing.sums import Known, formula, written
from bracing.units import INCHES_PER_FOOT, Mph

SHARE = "share used"  # unit of what two forces use together: its ratio is itself
SAME_ROW = 5e-13  # of the greatest: such rows are rounding apart, and the first of them is named


@formula
def of_level(level: float, c: float) -> float:
    """Give what the level force asks of the link: F = level c.

    Args:
        level: level force of the brace [lb].
        c: asked for each pound of it [-].

    Returns:
        F [lb or lb in].

    Source: STATICS.

    Example:
        >>> of_level(100.0, 1.25)
        125.0
    """
    return level * c


@formula
def with_more(force: float, more: float) -> float:
    """Give the demand with what the rows leave out: F = force + more.

    Args:
        force: size of what the frame gives [lb or lb in].
        more: what comes on top of it [lb or lb in].

    Returns:
        F [lb or lb in].

    Source: STATICS.

    Example:
        >>> with_more(100.0, 20.0)
        120.0
    """
    return force + more


@formula
def share_of(demand: float, capacity: float) -> float:
    """Give the ratio, demand over what it may carry: r = demand / capacity.

    Args:
        demand: what it must carry [lb or lb in].
        capacity: what it may carry [lb or lb in].

    Returns:
        r [-].

    Source: STATICS.

    Example:
        >>> share_of(50.0, 100.0)
        0.5
    """
    return demand / capacity


@formula
def gust_where_equal(capacity: float, steady: float, rate: float) -> Mph:
    """Give the gust at which the two are equal: V = √((capacity - steady) / rate).

    Args:
        capacity: what it may carry [lb or lb in].
        steady: part of the demand that no wind makes [lb or lb in].
        rate: part that grows with the gust, per mph squared [lb/mph^2 or lb in/mph^2].

    Returns:
        V [mph].

    Source: STATICS.

    Example:
        >>> gust_where_equal(100.0, 20.0, 0.05)
        40.0
    """
    return math.sqrt((capacity - steady) / rate)


@formula
def counted_one_way(force: float) -> float:
    """Give what of a force counts that loads one way only: F = max(force, 0).

    Args:
        force: the force, negative the other way [lb or lb in].

    Returns:
        F [lb or lb in].

    Source: STATICS.

    Example:
        >>> counted_one_way(-20.0)
        0.0
    """
    return max(force, 0.0)


GAPS = {"closed": "nothing open under the wall", "open": "open under the wall"}


def row_words(at: At) -> str:
    """Say which row of the frame it is.

    Args:
        at: the row.

    Example:
        >>> row_words(At("A", "closed", "one ply", "published slip", "left end"))
        'case A, nothing open under the wall, one ply, published slip, left end'
    """
    gone = f"without {' and '.join(at.gone)}" if at.gone else ""
    parts = (
        f"case {at.case}" if at.gap else at.case,
        GAPS.get(at.gap, at.gap),
        at.plates,
        at.slip,
        at.point,
        gone,
    )
    return ", ".join(part for part in parts if part)


@frozen
class RowDemand:
    """What one row of the frame asks of one item at a gust.

    Attributes:
        item: which item of the group.
        row: its place along the first axis of the group's demands.
        at: which row of the frame that is.
        gust: the gust [mph].
        made: what it asks, as a Sum, after those it is made of that are to be shown by themselves.
    """

    item: int
    row: int
    at: At
    gust: Mph
    made: tuple[float, ...]

    @property
    def demand(self) -> float:
        """What it asks: a force, a moment, or the share two forces together use."""
        return self.made[-1]


@frozen
class LinkSums:
    """The sums of one link.

    Attributes:
        asked: what it must carry at the gust asked, in the row that asks most there.
        capacity: what it may carry.
        ratio: one over the other; infinite on a capacity of nothing.
        limit_at: what it must carry at its limit gust, in the row that gets there first; None where none does.
        limit: the gust at which the ratio is 1, a Sum where it is in closed form [mph].
    """

    asked: RowDemand
    capacity: float
    ratio: float
    limit_at: RowDemand | None
    limit: Mph


def link_sums(group: Group, which: int, gust: Mph) -> LinkSums:
    """Give the sums of one link of a group at a gust, as its `links` gives it.

    Args:
        group: links of one kind.
        which: the link, in the order of its `links` in one direction.
        gust: the gust [mph].
    """
    items = _items(group, which)
    item = items[first_greatest(group.ratios(gust)[items])]
    asked = _asked(group, item, _first(group.of_rows(gust**2)[:, item]), gust)
    capacity = may_carry(group, item)
    last = items[_first(-group.limits[items])]
    limit = float(group.limits[last])
    reached = 0.0 < limit < HIGHEST
    ratio: float = 0.0
    if group.unit == SHARE:
        ratio = asked.demand
    elif asked.demand > 0.0:
        ratio = share_of(asked.demand, capacity) if capacity > 0.0 else math.inf
    if group.use is not None:
        row = _first(group.of_rows(limit**2)[:, last])
        return LinkSums(asked, capacity, ratio, _asked(group, last, row, limit) if reached else None, limit)
    if not reached:
        return LinkSums(asked, capacity, ratio, None, limit)
    row, steady, rate = _reaches(group, last)
    equal = gust_where_equal(may_carry(group, last), steady, rate)
    return LinkSums(asked, capacity, ratio, _asked(group, last, row, equal), equal)


def governing_row(evaluation: Evaluation) -> At | None:
    """Give the row of the frame in which the first link reaches its limit; None of a wall that can move.

    Args:
        evaluation: the chain.
    """
    first = evaluation.first
    if first is None or not evaluation.held:
        return None
    for group in evaluation.groups:
        links = group.links(evaluation.gust)
        if first in links:
            each = len(links) // len(group.directions)
            sums = link_sums(group, links.index(first) % each, evaluation.gust)
            return (sums.limit_at or sums.asked).at
    return None


def _items(group: Group, which: int) -> range:
    """Items of one link: itself, or the pieces it is made of."""
    if group.starts is None:
        return range(which, which + 1)
    ends = [*group.starts.tolist(), len(group.capacity)]
    return range(ends[which], ends[which + 1])


def _first(sizes: Array) -> int:
    """The first that is the greatest, to rounding."""
    most = float(sizes.max())
    return (
        int(np.argmax(sizes >= most - SAME_ROW * abs(most))) if math.isfinite(most) else int(sizes.argmax())
    )


def _asked(group: Group, item: int, row: int, gust: Mph) -> RowDemand:
    at, makes = group.rows.at(row), moment_at if group.unit == "lb in" else force_at
    by = row_words(at) if group.directions == (ALONG,) else f"from the frame ({row_words(at)})"
    where = f"at {written(float(gust))} mph, {by}"
    if group.use is not None:
        assert group.tension is not None
        forces = group.demand[row, item], group.tension[row, item]
        return RowDemand(item, row, at, gust, group.use.sums(item, *forces, gust=gust, where=where))
    if group.level is not None:
        steady, rate = (float(part) for part in group.level[row, item])
        demand = force_at(Known(steady, f"level force of the brace {where}", ""), rate, gust)
        if isinstance(group.per_pound[item], Known) or group.per_pound[item] != 1.0:
            demand = of_level(demand, group.per_pound[item])
    else:
        steady, rate = (float(part) for part in group.demand[row, item])
        sign = 1.0 if group.one_way or steady + rate * gust**2 >= 0.0 else -1.0
        grows = group.rates[row] if group.rates else sign * rate
        demand = makes(Known(sign * steady, where, ""), grows, gust)
    if group.one_way and demand < 0.0:
        demand = counted_one_way(demand)
    if group.allowance is not None:
        more = group.allowance[row, min(item, group.allowance.shape[1] - 1)]
        steady, rate = (float(part) for part in more)
        demand = with_more(demand, makes(Known(steady, "allowed for on top of it", ""), rate, gust))
    return RowDemand(item, row, at, gust, (demand,))


def _reaches(group: Group, item: int) -> tuple[int, float, float]:
    """The row in which an item reaches its allowable value first, and steady part and rate of what is asked there."""
    lines = group.lines()
    steady, rate = (np.concatenate([part[:, item] for part in parts]) for parts in zip(*lines, strict=True))
    gusts = met(float(group.capacity[item]) - (steady + rate * group.since), rate, group.since)
    k = _first(-gusts)
    _, row = divmod(k, len(group.demand))  # every row of the first line, then of the second
    return row, float(steady[k]), float(rate[k])


def wind_sums(model: Model, asked: At | None, gust: Mph) -> tuple[float, ...]:
    """Tell the wind at a gust: its mean pressure in case A and the level load, and the case that governs where another.

    Args:
        model: the wall.
        asked: the row of the frame that governs; None for case A alone.
        gust: the gust [mph].

    Source: STATICS.
    """
    cases, job = model.cases, model.job
    wind, area = cases.pressures, outline_properties(job.wall.top).area / INCHES_PER_FOOT**2
    q = wind.at(gust)
    even = force_on(net_pressure(q, wind.mean), area)
    weight = Known(take_off(job.wall).weight, "weight of the wall, no stud doubled", "")
    found = [level_load(even, sideways(job.site.lean, weight))]
    for field in cases.fields:
        if asked is None or (field.case, field.gap) != (asked.case, asked.gap) or field.case == "A":
            continue
        found += [net_pressure(q, part) for part in _parts_of(field)]
        if len(field.zones) > 1:
            mean = Known(
                mean_coefficient(job.wall.top, field), f"mean of case {field.case} over the wall", ""
            )
            found.append(force_on(net_pressure(q, mean), area))
    return tuple(found)


def couple_sums(both: tuple[Forces, Forces], gust: Mph) -> tuple[float, ...]:
    """Tell the couple at the head of the brace that is worked hardest at a gust, where heads are cut plumb.

    Args:
        both: forces with the wind from either side.
        gust: the gust [mph].

    Source: STATICS.
    """
    job, worked = both[0].model.job, [np.abs(forces.at(forces.brace, gust)).max(axis=0) for forces in both]
    if not both[0].model.meshes[0].arms:
        return ()
    k = first_greatest(np.maximum(*worked))
    brace, level = job.braces[k], float(max(part[k] for part in worked))
    words = f"level force of {brace.mark} at {written(float(gust))} mph, the greatest, from the frame"
    return (head_couple(Known(level, words, ""), brace.angle, section(job.wall.studs.size).width),)


def _parts_of(field: PressureField) -> Iterator[float]:
    """Coefficient of each zone; of one that changes along the wall, at the end that takes most."""
    for start, end, GCf in field.zones:
        if field.slope == 0.0:
            yield GCf
        else:
            heavy, side = (start, "LEFT") if field.slope < 0.0 else (end, "the right end")
            yield along_wall(
                GCf, field.slope, Known(heavy, f"case {field.case}, at {side}", ""), x_bar=field.x_bar
            )
