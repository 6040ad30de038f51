"""The bays of a wall: what area of sheathing lies between which two neighbouring uprights.

Between two full-height studs with an opening, the bays change at every header and sill that a cripple ends
on; over the opening itself there is no cripple, and its kings carry everything.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.job.wall import Wall
from bracing.panel.builder import SAME_PLACE
from bracing.panel.mesh import Mesh
from bracing.units import Inch

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

NO_TOP: Inch = 1e9  # a bay that reaches the outline

Tip = tuple[int, Inch, Inch, float, Inch]


@frozen
class _Upright:
    """A full-height stud or a cripple."""

    x: Inch
    line: int
    node: int
    low: Inch
    high: Inch
    on_plate: bool


@frozen(eq=False)
class Bays:
    """The bays of a wall. A *side* is a bay's hold on one upright: all left sides, then all right sides.

    Attributes:
        left: x of the upright on the left, shape (b,) [in].
        right: x of the upright on the right [in].
        start: where the bay's area starts, a stud's half thickness out at LEFT [in].
        stop: where it stops [in].
        low: bottom of the bay [in].
        high: its top, where that is not the outline [in].
        top_left: the outline at the left upright [in].
        top_right: the outline at the right upright [in].
        run_low: bottom of the elements each side loads, shape (2 b,) [in].
        run_high: their top [in].
        entry_element: an element a side loads; sorted, shape (k,).
        entry_side: that side.
        entry_part: where on the side's run the element starts and ends, 0 to 1, shape (k, 2).
        entry_first: first entry of each element that is loaded at all.
        plate: nodes of the top plate from LEFT.
        plate_x: their x [in].
        tips: end slivers: plate node, from x, to x, signed area, height of its middle.
    """

    left: Array
    right: Array
    start: Array
    stop: Array
    low: Array
    high: Array
    top_left: Array
    top_right: Array
    run_low: Array = field(repr=False)
    run_high: Array = field(repr=False)
    entry_element: Ints = field(repr=False)
    entry_side: Ints = field(repr=False)
    entry_part: Array = field(repr=False)
    entry_first: Ints = field(repr=False)
    plate: Ints = field(repr=False)
    plate_x: Array = field(repr=False)
    tips: tuple[Tip, ...] = field(repr=False)


Row = tuple[_Upright, _Upright, Inch, Inch]


def lay_out_bays(mesh: Mesh, wall: Wall) -> Bays:
    """Divide the outline into bays between neighbouring uprights.

    Args:
        mesh: the grillage.
        wall: the wall.

    Returns:
        The bays, covering the outline once.
    """
    z = mesh.z.tolist()
    plate = sorted(
        {n for line in mesh.lines if line.kind == "plate" for n in line.nodes}, key=mesh.x.__getitem__
    )
    uprights = _uprights(mesh, z, plate)
    studs = set(mesh.studs)
    places = [k for k, upright in enumerate(uprights) if upright.line in studs]
    rows = [row for a, b in pairwise(places) for row in _levels(uprights[a : b + 1])]
    ends = [uprights[places[0]], uprights[places[-1]]]
    table = np.array(
        [(a.x, b.x, low, high, wall.height_at(a.x), wall.height_at(b.x)) for a, b, low, high in rows]
    )
    left, right, low, high, top_left, top_right = table.T
    first, last = ends[0].x, ends[1].x
    sides = [_run(mesh, z, a, low, high) for a, _, low, high in rows]
    sides += [_run(mesh, z, b, low, high) for _, b, low, high in rows]
    runs = np.array(sides)
    run_low = mesh.z[mesh.element_nodes[runs[:, 0], 0]]
    run_high = mesh.z[mesh.element_nodes[runs[:, 1] - 1, 1]]
    element, side, part = _entries(mesh, runs, run_low, run_high)
    return Bays(
        left=left, right=right,
        start=np.where(left == first, 0.0, left), stop=np.where(right == last, wall.length, right),
        low=low, high=high, top_left=top_left, top_right=top_right,
        run_low=run_low, run_high=run_high,
        entry_element=element, entry_side=side, entry_part=part,
        entry_first=np.flatnonzero(np.diff(element, prepend=-1)),
        plate=np.array(plate), plate_x=mesh.x[plate], tips=_tips(wall, ends),
    )  # fmt: skip


def _uprights(mesh: Mesh, z: list[Inch], plate: list[int]) -> list[_Upright]:
    """Every stud, cripple and post, from LEFT."""
    on_plate = set(plate)
    found = []
    for k, line in enumerate(mesh.lines):
        if line.kind in ("stud", "cripple"):
            low, high = line.nodes[0], line.nodes[-1]
            found.append(_Upright(float(mesh.x[low]), k, high, z[low], z[high], on_plate=high in on_plate))
    return sorted(found, key=lambda upright: upright.x)


def _levels(uprights: list[_Upright]) -> list[Row]:
    """Bays between two neighbouring studs, level by level; the first and last upright are the studs."""
    left, *inner, right = uprights
    if not inner:
        return [(left, right, 0.0, NO_TOP)]
    breaks = [0.0]
    ends = [u.low for u in inner] + [u.high for u in inner if not u.on_plate]
    for z in sorted(ends):
        if z > breaks[-1] + 2.0 * SAME_PLACE:
            breaks.append(z)
    rows: list[Row] = []
    for low, high in pairwise([*breaks, NO_TOP]):
        chain = [
            u for u in uprights if u.low < low + SAME_PLACE and (u.on_plate or u.high > high - SAME_PLACE)
        ]
        rows += [(a, b, low, high) for a, b in pairwise(chain)]
    return rows


def _run(mesh: Mesh, z: list[Inch], upright: _Upright, low: Inch, high: Inch) -> tuple[int, int]:
    """Elements of an upright that cover a bay's height, first and one past the last."""
    start, stop = mesh.line_start[upright.line], mesh.line_start[upright.line + 1]
    if low == 0.0 and high == NO_TOP:
        return start, stop
    nodes = mesh.lines[upright.line].nodes
    last = len(nodes) - 2
    begin = next((k for k in range(last) if z[nodes[k + 1]] > low + SAME_PLACE), last)
    end = next((k for k in range(last, begin, -1) if z[nodes[k]] < high - SAME_PLACE), begin)
    return start + begin, start + end + 1


def _entries(mesh: Mesh, runs: Ints, low: Array, high: Array) -> tuple[Ints, Ints, Array]:
    """Which element each side loads, sorted by element, and where on the side's run it lies."""
    counts = runs[:, 1] - runs[:, 0]
    side = np.repeat(np.arange(len(runs)), counts)
    element = np.arange(len(side)) + np.repeat(runs[:, 0] - (np.cumsum(counts) - counts), counts)
    order = np.argsort(element, kind="stable")
    element, side = element[order], side[order]
    part = (mesh.z[mesh.element_nodes[element]] - low[side, None]) / (high - low)[side, None]
    return element, side, part


def _tips(wall: Wall, ends: list[_Upright]) -> tuple[Tip, ...]:
    """The sliver of a sloping end between its end stud's centre and the wall's end."""
    tips = []
    for upright, x in zip(ends, (0.0, wall.length), strict=True):
        stud, end = wall.height_at(upright.x), wall.height_at(x)
        area = (end - stud) * abs(x - upright.x) / 2.0
        tips.append((upright.node, min(x, upright.x), max(x, upright.x), area, stud + (end - stud) / 3.0))
    return tuple(tips)
