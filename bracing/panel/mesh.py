"""Where the nodes and members of the grillage are.

Members bend out of plane only (Euler-Bernoulli, no torsion) and are pinned to one another where they meet, so a
member keeps its rotations to itself: a *line* is one member run through its nodes. A sloping top with a kink has no
moment across the kink: two segments that share a rotation vector and have no torsion can balance only zero moment
there (M1 n1 + M2 n2 = 0 with n1, n2 not parallel), so each straight run of plate is a line of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.framing import Framing, Stick
from bracing.lumber import design_values, section
from bracing.units import Inch
from bracing.wall import Opening, Row, Wall

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

SAME_PLACE = 0.25  # two things closer than this along a stud meet at one node [in]
MIN_HEADER_ROOM = 3.0  # a header closer than this below the plates bears on them: no cripples between [in]
FULL_HEIGHT = ("common", "end", "king")


@frozen
class Line:
    """One member run through its nodes.

    Attributes:
        kind: stud, cripple, plate, header, sill or row.
        nodes: node numbers in order.
        rigidity: flexural rigidity of each element, EI [lb in2].
        plies: plies sharing the bending in each element.
    """

    kind: str
    nodes: tuple[int, ...]
    rigidity: tuple[float, ...]
    plies: tuple[int, ...]


@frozen(eq=False)
class Mesh:
    """The grillage's nodes and lines.

    Attributes:
        x: node positions from LEFT, shape (n,) [in].
        z: node heights, shape (n,) [in].
        pinned: nodes held in y by the bottom plate, shape (n,).
        left_held: nodes held by the return wall at LEFT, shape (n,).
        right_held: nodes held by the return wall at the right, shape (n,).
        lines: members.
        studs: for each full-height stud, its line number.
        heads: node of each brace head asked for.
        element_line: line of each element, shape (e,).
        element_nodes: end nodes of each element, shape (e, 2).
        element_length: lengths, shape (e,) [in].
        element_rigidity: EI, shape (e,) [lb in2].
        element_plies: plies sharing the bending, shape (e,).
        element_dofs: w_i, rotation_i, w_j, rotation_j of each element, shape (e, 4).
        dofs: number of degrees of freedom.
    """

    x: Array
    z: Array
    pinned: NDArray[np.bool_]
    left_held: NDArray[np.bool_]
    right_held: NDArray[np.bool_]
    lines: tuple[Line, ...]
    studs: tuple[int, ...]
    heads: tuple[int, ...]
    element_line: Ints = field(repr=False)
    element_nodes: Ints = field(repr=False)
    element_length: Array = field(repr=False)
    element_rigidity: Array = field(repr=False)
    element_plies: Ints = field(repr=False)
    element_dofs: Ints = field(repr=False)
    dofs: int

    @property
    def held(self) -> NDArray[np.bool_]:
        """Nodes held in y by the plate or a return wall, shape (n,)."""
        return self.pinned | self.left_held | self.right_held

    def stud_x(self) -> Array:
        """Centres of the full-height studs, shape (s,) [in]."""
        return np.array([self.x[self.lines[line].nodes[0]] for line in self.studs])


class _Builder:
    """Collects nodes and lines while the mesh is laid out; used by `build_mesh` only."""

    def __init__(self, wall: Wall) -> None:
        self.wall = wall
        self.points: list[tuple[Inch, Inch]] = []
        self.columns: dict[Inch, dict[Inch, int]] = {}
        self.lines: list[Line] = []

    def node(self, x: Inch, z: Inch) -> int:
        """Give the node at (x, z), making it where none is within SAME_PLACE on that vertical."""
        column = self.columns.setdefault(x, {})
        for at, number in column.items():
            if abs(at - z) < SAME_PLACE:
                return number
        column[z] = len(self.points)
        self.points.append((x, z))
        return column[z]

    def vertical(self, x: Inch, low: Inch, high: Inch) -> list[int]:
        """Give the nodes of the vertical at x between two heights, lowest first."""
        inside = [(z, n) for z, n in self.columns[x].items() if low - SAME_PLACE < z < high + SAME_PLACE]
        return [n for _, n in sorted(inside)]


def rigidity(wall: Wall, size: str, *, strong: bool) -> float:
    """Flexural rigidity of one stick of the wall's framing lumber, EI [lb in2].

    Args:
        wall: gives species, grade and moisture.
        size: nominal size, any plies counted without composite action.
        strong: bends about its strong axis.
    """
    shape = section(size)
    values = design_values(
        wall.studs.species, wall.studs.grade, size, wet=wall.moisture == "green", load_duration=1.0
    )
    return values.E * shape.moment_of_inertia(strong=strong)


def build_mesh(
    wall: Wall,
    framing: Framing,
    heads: Sequence[tuple[Inch, Inch]] = (),
    *,
    doubled: Sequence[Inch] = (),
    plate_plies: int = 2,
) -> Mesh:
    """Lay out the grillage of a wall with a node at every brace head asked for.

    Args:
        wall: the wall.
        framing: where its sticks are.
        heads: (stud centre, head height) of every possible brace [in].
        doubled: centres of studs doubled over their full height [in].
        plate_plies: 2: both top plies continuous; 1: one ply, hinged at outline vertices.

    Returns:
        The mesh.
    """
    build = _Builder(wall)
    full = [stud.x for stud in framing.full_height_studs]
    for x in full:
        build.node(x, 0.0)
        build.node(x, wall.height_at(x))
    head_nodes = [build.node(x, z) for x, z in heads]
    spans = [_open_span(build, framing, opening, full) for opening in wall.openings]
    crossings = [_row_nodes(build, row, full) for row in wall.rows]
    _hold_returns(build, full)
    studs = _stud_lines(build, framing, full, set(doubled))
    for lines in spans:
        for kind, nodes, ei, plies in lines:
            _add(build, kind, nodes, ei, plies)
    _plate_lines(build, plate_plies)
    for row, runs in zip(wall.rows, crossings, strict=True):
        for run in runs:
            ei = rigidity(wall, row.size, strong=row.kind != "wale")
            _add(build, "row", run, ei, 1)
    return _finish(build, full, studs, head_nodes)


def _add(build: _Builder, kind: str, nodes: Sequence[int], ei: float, plies: int) -> None:
    if len(nodes) > 1:
        count = len(nodes) - 1
        build.lines.append(Line(kind, tuple(nodes), (ei,) * count, (plies,) * count))


def _stud_lines(build: _Builder, framing: Framing, full: list[Inch], doubled: set[Inch]) -> list[int]:
    """Add a line for each full-height stud; a trimmer shares the king's bending below its header."""
    wall = build.wall
    single = rigidity(wall, wall.studs.size, strong=True)
    trimmers = [stick for stick in framing.members if stick.kind == "trimmer"]
    numbers = []
    for x in full:
        nodes = build.vertical(x, 0.0, wall.height_at(x))
        own = 2 if x in doubled else 1
        plies = []
        for low, high in pairwise(nodes):
            middle = (build.points[low][1] + build.points[high][1]) / 2.0
            beside = sum(1 for stick in trimmers if _king_of(stick, full) == x and stick.z_top > middle)
            plies.append(own + beside)
        numbers.append(len(build.lines))
        build.lines.append(Line("stud", tuple(nodes), tuple(single * p for p in plies), tuple(plies)))
    return numbers


def _king_of(trimmer: Stick, full: list[Inch]) -> Inch:
    return min(full, key=lambda x: abs(x - trimmer.x))


Span = tuple[str, list[int], float, int]


def _open_span(build: _Builder, framing: Framing, opening: Opening, full: list[Inch]) -> list[Span]:
    """Add the nodes of an opening's header, sill and cripples; give its lines."""
    wall = build.wall
    left = max(x for x in full if x <= opening.left + SAME_PLACE)
    right = min(x for x in full if x >= opening.right - SAME_PLACE)
    inside = [s for s in framing.members if s.kind.startswith("cripple") and left < s.x < right]
    lines: list[Span] = []
    stud = rigidity(wall, wall.studs.size, strong=True)
    header = section(opening.header)
    at = opening.top + header.width / 2.0
    if all(wall.height_at(x) - at > MIN_HEADER_ROOM for x in (left, right)):
        above = sorted({s.x for s in inside if s.kind == "cripple above"})
        nodes = [build.node(x, at) for x in (left, *above, right)]
        lines.append(("header", nodes, rigidity(wall, opening.header, strong=False), 1))
        for x, low in zip(above, nodes[1:-1], strict=True):
            lines.append(("cripple", [low, build.node(x, wall.height_at(x))], stud, 1))
    if opening.sill > MIN_HEADER_ROOM:
        below = sorted({s.x for s in inside if s.kind == "cripple below"})
        nodes = [build.node(x, opening.sill) for x in (left, *below, right)]
        lines.append(("sill", nodes, rigidity(wall, wall.studs.size, strong=True), 1))
        for x, high in zip(below, nodes[1:-1], strict=True):
            lines.append(("cripple", [build.node(x, 0.0), high], stud, 1))
    return lines


def _row_nodes(build: _Builder, row: Row, full: list[Inch]) -> list[list[int]]:
    """Add the nodes of a continuous row; it stops where the outline or an opening interrupts it."""
    runs: list[list[int]] = [[]]
    for k, x in enumerate(full):
        if build.wall.height_at(x) < row.height:
            runs.append([])
            continue
        runs[-1].append(build.node(x, row.height))
        if k + 1 < len(full) and any(
            x < o.left + o.width / 2.0 < full[k + 1] and o.sill < row.height < o.top
            for o in build.wall.openings
        ):
            runs.append([])
    return [run for run in runs if len(run) > 1]


def _hold_returns(build: _Builder, full: list[Inch]) -> None:
    """Give an end stud that a return wall holds its nodes at mid-height; the corner fasteners run full height."""
    wall = build.wall
    for end, declared, x in (
        (wall.left_end, wall.left_return, full[0]),
        (wall.right_end, wall.right_return, full[-1]),
    ):
        if end == "return" and declared.holds:
            build.node(x, wall.height_at(x) / 2.0)


def _plate_lines(build: _Builder, plies: int) -> None:
    """Add the top plate, one line for each straight run of the outline."""
    wall = build.wall
    tops = []
    for x in sorted(build.columns):
        height = wall.height_at(x)
        number = next((n for z, n in build.columns[x].items() if abs(z - height) < SAME_PLACE), None)
        if number is not None:
            tops.append((x, number))
    ei = plies * rigidity(wall, wall.studs.size, strong=True)
    run: list[int] = []
    for x, number in tops:
        run.append(number)
        if _hinge_at(wall, x, one_ply=plies == 1):
            _add(build, "plate", run, ei, plies)
            run = [number]
    _add(build, "plate", run, ei, plies)


def _hinge_at(wall: Wall, x: Inch, *, one_ply: bool) -> bool:
    for (x0, z0), (x1, z1), (x2, z2) in zip(wall.top, wall.top[1:], wall.top[2:], strict=False):
        if abs(x1 - x) < SAME_PLACE:
            return one_ply or abs((z1 - z0) / (x1 - x0) - (z2 - z1) / (x2 - x1)) > 1e-9  # noqa: PLR2004
    return False


def _finish(build: _Builder, full: list[Inch], studs: list[int], heads: list[int]) -> Mesh:
    wall = build.wall
    x, z = (np.array(v, dtype=float) for v in zip(*build.points, strict=True))
    count = len(build.points)
    pinned = z == 0.0
    holds = []
    for end, declared, at in (
        (wall.left_end, wall.left_return, full[0]),
        (wall.right_end, wall.right_return, full[-1]),
    ):
        holds.append((x == at) & ~pinned & (end == "return" and declared.holds))
    rows = [
        (k, a, b, x[b] - x[a], z[b] - z[a], line.rigidity[e], line.plies[e], count + offset + e)
        for k, (line, offset) in enumerate(zip(build.lines, _offsets(build.lines), strict=True))
        for e, (a, b) in enumerate(pairwise(line.nodes))
    ]
    table = np.array(rows, dtype=float)
    nodes = table[:, 1:3].astype(np.intp)
    turn = table[:, 7].astype(np.intp)
    return Mesh(
        x=x, z=z, pinned=pinned, left_held=holds[0], right_held=holds[1],
        lines=tuple(build.lines), studs=tuple(studs), heads=tuple(heads),
        element_line=table[:, 0].astype(np.intp), element_nodes=nodes,
        element_length=np.hypot(table[:, 3], table[:, 4]), element_rigidity=table[:, 5],
        element_plies=table[:, 6].astype(np.intp),
        element_dofs=np.stack([nodes[:, 0], turn, nodes[:, 1], turn + 1], axis=1),
        dofs=count + sum(len(line.nodes) for line in build.lines),
    )  # fmt: skip


def _offsets(lines: list[Line]) -> list[int]:
    """Where each line's rotations start after the translations."""
    starts, at = [], 0
    for line in lines:
        starts.append(at)
        at += len(line.nodes)
    return starts
