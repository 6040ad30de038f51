"""Where the hook goes while the wall comes up, and what a machine's load chart says there.

A chart is typed by the user. Between its rows the lower capacity is taken, never one in between; past its
rows the answer is no. Reach is level, from the point the chart counts it from (usually the front of the front
tyres, or the centre of rotation of a crane).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypedDict

from attrs import frozen

from bracing.job.fields import declared
from bracing.lift.line import TiltBody
from bracing.sources import cited, shipped
from bracing.units import INCHES_PER_FOOT, Inch, Pound, Radian, feet

SIDES = ("outside", "inside")
MOST_ROWS = 5_000  # of a chart

HookPointJson = TypedDict("HookPointJson", {
    "tilt_deg": float, "reach_ft": float, "height_ft": float, "load_lb": float, "capacity_lb": float | None,
    "margin_lb": float | None,
})  # fmt: skip


@frozen
class ChartRow:
    """One row of a load chart.

    Attributes:
        reach: level reach [in].
        height: height of the hook above the ground [in]; None where the chart has no heights.
        capacity: capacity there [lb].
        line: line of the file it stands on.
    """

    reach: Inch = declared("length", "level reach", least=0.0)
    height: Inch | None = declared("length", "height of the hook above the ground", least=0.0)
    capacity: Pound = declared("force", "capacity there", least=0.0)
    line: int = declared("count", "line of the file", least=1)


@frozen
class Chart:
    """A load chart.

    Attributes:
        rows: its rows.
        name: file it was read from.
        sha256: hash of the file.
        aside: columns it has that are not read: reach and height say where the hook is.
    """

    rows: tuple[ChartRow, ...] = declared("parts", "its rows", most=MOST_ROWS)
    name: str = declared("text", "file it was read from", default="load chart")
    sha256: str = declared("text", "hash of the file", default="")
    aside: tuple[str, ...] = declared("names", "columns that are not read", default=())

    def capacity(self, reach: Inch, height: Inch) -> Pound | None:
        """Read the chart down: the least of the rows around a point, None off the chart [lb].

        Args:
            reach: level reach [in].
            height: height of the hook above the ground [in].

        Returns:
            The capacity [lb]; None where any of the rows around the point is missing.

        Example:
            >>> rows = (ChartRow(120.0, None, 6000.0, 2), ChartRow(240.0, None, 2500.0, 3))
            >>> chart = Chart(rows)
            >>> chart.capacity(121.0, 0.0), chart.capacity(120.0, 0.0), chart.capacity(241.0, 0.0)
            (2500.0, 6000.0, None)
        """
        reaches = _around(reach, sorted({row.reach for row in self.rows}))
        if all(row.height is None for row in self.rows):
            found = [row.capacity for row in self.rows if row.reach in reaches]
            return min(found) if reaches else None
        heights = _around(height, sorted({row.height for row in self.rows if row.height is not None}))
        corners = [(r, h) for r in reaches for h in heights]
        listed = {(row.reach, row.height): row.capacity for row in self.rows}
        if not corners or any(corner not in listed for corner in corners):
            return None
        return min(listed[corner] for corner in corners)


def _around(value: float, steps: Sequence[float]) -> tuple[float, ...]:
    """Give the step at a value, or the two around it; none outside."""
    near = [step for step in steps if abs(step - value) < 1e-6]
    if near:
        return (near[0],)
    below = [step for step in steps if step < value]
    above = [step for step in steps if step > value]
    return (below[-1], above[0]) if below and above else ()


@frozen
class Machine:
    """Where a machine stands and how the load hangs from it.

    Attributes:
        side: outside, on the ground beyond the wall's plate, or inside, on the floor.
        distance: from the plate's inside face to the point the chart counts reach from [in].
        ground: its ground above the floor the wall stands on; below is negative [in].
        jib_reach: how far the hook hangs beyond the point the chart is for [in].
        jib_rise: how far the hook hangs above that point [in].
        rigging: weight of jib, spreader, slings and hook [lb].
        most_height: greatest hook height the boom gives above its ground [in]; None where the chart says it.
    """

    side: str = declared("word", "outside | inside", one_of=SIDES)
    distance: Inch = declared("length", "from the plate to where the chart counts from", least=0.0)
    ground: Inch = declared("length", "its ground above the floor")
    jib_reach: Inch = declared("length", "how far the hook hangs beyond that point", default=0.0)
    jib_rise: Inch = declared("length", "how far the hook hangs above it", default=0.0)
    rigging: Pound = declared("force", "jib, spreader, slings and hook", default=0.0, least=0.0)
    most_height: Inch | None = declared("length", "greatest hook height", default=None, least=0.0)


@frozen
class HookPoint:
    """The hook at one tilt.

    Attributes:
        tilt: from the floor [rad].
        reach: reach on the chart [in].
        height: hook height above the machine's ground, on the chart [in].
        load: load on the hook: the whole weight, its dynamic part and the rigging [lb].
        capacity: from the chart [lb]; None off it.
    """

    tilt: Radian
    reach: Inch
    height: Inch
    load: Pound
    capacity: Pound | None

    @property
    def margin(self) -> Pound | None:
        """Capacity less load [lb]; None off the chart."""
        return None if self.capacity is None else self.capacity - self.load

    def to_dict(self) -> HookPointJson:
        """Give the point for JSON."""
        return {
            "tilt_deg": math.degrees(self.tilt),
            "reach_ft": feet(self.reach),
            "height_ft": feet(self.height),
            "load_lb": self.load,
            "capacity_lb": self.capacity,
            "margin_lb": self.margin,
        }


def hook_path(
    body: TiltBody, machine: Machine, chart: Chart, *, sling_rise: Inch, load: Pound, tilts: Sequence[Radian]
) -> tuple[HookPoint, ...]:
    """Follow the hook over the arc and read the chart at each point.

    Args:
        body: the wall; its pick is where the line pulls.
        machine: where the machine stands.
        chart: its load chart.
        sling_rise: hook above the pick [in].
        load: load to rig for, rigging not in it [lb].
        tilts: tilts from the floor [rad].

    Returns:
        A point for each tilt.

    Source: STATICS.

    Example:
        >>> even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0)
        >>> chart = Chart((ChartRow(0.0, None, 5000.0, 2), ChartRow(400.0, None, 5000.0, 3)))
        >>> machine = Machine("outside", 100.0, -36.0)
        >>> path = hook_path(even, machine, chart, sling_rise=60.0, load=1250.0, tilts=(0.0, math.pi / 2))
        >>> [(round(point.reach), round(point.height)) for point in path]
        [(220, 96), (100, 216)]
    """
    toward_house = 1.0 if machine.side == "outside" else -1.0
    points = []
    for tilt in tilts:
        y = body.pick_up * math.cos(tilt) - body.pick_behind * math.sin(tilt)
        z = body.pick_up * math.sin(tilt) + body.pick_behind * math.cos(tilt)
        reach = machine.distance + toward_house * y - machine.jib_reach
        height = z + sling_rise - machine.ground - machine.jib_rise
        capacity = chart.capacity(reach, height)
        if machine.most_height is not None and height > machine.most_height:
            capacity = None
        points.append(HookPoint(tilt, reach, height, load + machine.rigging, capacity))
    return tuple(points)


def least_margin(path: Sequence[HookPoint]) -> HookPoint:
    """Give the point with the least margin; a point off the chart is less than any.

    Args:
        path: the hook over the arc.

    Example:
        >>> points = [HookPoint(0.0, 1.0, 1.0, 10.0, 15.0), HookPoint(0.5, 1.0, 1.0, 10.0, None)]
        >>> least_margin(points).capacity is None
        True
    """
    return min(path, key=lambda point: -math.inf if point.margin is None else point.margin)


def power_line_distance(kilovolts: float | None) -> tuple[Inch, str]:
    """Give the distance machine, load and rigging keep from a power line [in], and its source.

    Args:
        kilovolts: voltage of the line [kV]; None where nobody knows it.

    Returns:
        The distance [in] and where it comes from. Over the table: the owner of the line says.

    Source: OSHA 1926.1408 Table A; OSHA 1926.1409(a).

    Example:
        >>> power_line_distance(12.0)[0] / 12.0, power_line_distance(None)[0] / 12.0
        (10.0, 50.0)
    """
    rule, table = shipped("lifting")["power_line_rule"], shipped("lifting")["power_line"]
    if kilovolts is None:
        said = "voltage not known; less where the owner of the line says it is 350 kV or under"
        return rule["unknown_feet"] * INCHES_PER_FOOT, f"{cited(rule['source'])}; {said}"
    source = cited(table[-1]["source"])
    for row in table:
        if kilovolts <= row["kv"]:
            return row["feet"] * INCHES_PER_FOOT, source
    return math.inf, f"{source}; past the table, the owner of the line says the distance"
