"""Where the nodes and members of the grillage are.

Members bend out of plane only (Euler-Bernoulli, no torsion) and are pinned to one another where they meet,
so a member keeps its rotations to itself: a *line* is one member run through its nodes. A sloping top with
a kink has no moment across the kink: two segments that share a rotation vector and have no torsion can
balance only zero moment there (M1 n1 + M2 n2 = 0 with n1, n2 not parallel), so each straight run of plate
is a line of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.errors import InputError
from bracing.job.framing import Framing
from bracing.job.wall import Row, Wall
from bracing.panel.builder import SAME_HEAD, SAME_PLACE, Builder, Line, nearest, rigidity
from bracing.panel.openings import add_openings
from bracing.units import Inch

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

KING_REACH = 2.5  # a trimmer this many stud thicknesses from a stud, centre to centre, is nailed to it
TABLES_KEPT = (
    32  # of what is read off a mesh time and again: a layout is made good on some two dozen meshes in turn
)


@frozen(eq=False)
class Mesh:
    """The grillage's nodes and lines.

    Attributes:
        x: node positions from LEFT, shape (n,) [in].
        z: node heights, shape (n,) [in].
        pinned: nodes held in y by the bottom plate, shape (n,).
        lines: members.
        studs: for each full-height stud, its line number.
        heads: node of each brace head asked for.
        line_start: first element of each line, and one past the last, shape (lines + 1,).
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
    lines: tuple[Line, ...]
    studs: tuple[int, ...]
    heads: tuple[int, ...]
    line_start: Ints = field(repr=False)
    element_line: Ints = field(repr=False)
    element_nodes: Ints = field(repr=False)
    element_length: Array = field(repr=False)
    element_rigidity: Array = field(repr=False)
    element_plies: Ints = field(repr=False)
    element_dofs: Ints = field(repr=False)
    dofs: int

    @cached_property
    def on_stud(self) -> NDArray[np.bool_]:
        """Elements of full-height studs, shape (e,) [-]."""
        studs = np.zeros(len(self.lines), dtype=bool)
        studs[list(self.studs)] = True
        return studs[self.element_line]

    @cached_property
    def stud_x(self) -> Array:
        """Centres of the full-height studs, shape (s,) [in]."""
        return np.array([self.x[self.lines[line].nodes[0]] for line in self.studs])


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
        plate_plies: of the top plate, continuous along each straight run and hinged at its corners: 2, or 1.

    Returns:
        The mesh.

    Raises:
        InputError: a head that is on no full-height stud.
    """
    build = Builder(wall)
    full = [stud.x for stud in framing.full_height_studs]
    for x in full:
        build.node(x, 0.0)
        build.top(x)
    reach = framing.thickness / 2.0
    twice = {_stud_at(x, full, reach) for x in doubled}
    add_openings(build, framing, full)
    for row in wall.rows:
        for run in _row_runs(build, row, full):
            build.add("row", run, row.size, strong=row.kind != "wale")
    head_nodes = [build.node(_stud_at(x, full, reach), z, within=SAME_HEAD) for x, z in heads]
    studs = _add_studs(build, framing, full, twice)
    _add_plates(build, plate_plies)
    return _finish(build, studs, head_nodes)


def _stud_at(x: Inch, full: list[Inch], reach: Inch) -> Inch:
    stud = nearest(x, full)
    if abs(stud - x) > reach:
        field_name = "brace.stud_at"
        raise InputError.of(field_name, f"{x:g} in", f"a full-height stud; the nearest is at {stud:g} in")
    return stud


def _add_studs(build: Builder, framing: Framing, full: list[Inch], doubled: set[Inch]) -> list[int]:
    """Add a line for each full-height stud; a trimmer shares the king's bending below its header."""
    wall = build.wall
    single = rigidity(wall, wall.studs.size, strong=True)
    beside: dict[Inch, list[Inch]] = {}
    for stick in framing.members:
        if stick.kind == "trimmer":
            king = nearest(stick.x, full)
            if abs(king - stick.x) <= KING_REACH * framing.thickness:
                beside.setdefault(king, []).append(stick.z_top)
    first = len(build.lines)
    for x in full:
        nodes = build.vertical(x, build.node(x, 0.0), build.top(x))
        own, tops = 2 if x in doubled else 1, beside.get(x, ())
        middles = [(build.z[low] + build.z[high]) / 2.0 for low, high in pairwise(nodes)]
        plies = tuple(own + sum(top > middle for top in tops) for middle in middles)
        build.lines.append(Line("stud", tuple(nodes), tuple(single * p for p in plies), plies))
    return list(range(first, len(build.lines)))


def _row_runs(build: Builder, row: Row, full: list[Inch]) -> list[list[int]]:
    """Give the runs of a continuous row; it stops where the outline or an opening interrupts it."""
    crossed = [o for o in build.wall.openings if o.sill < row.height < o.top]
    height = build.level(row.height)
    runs: list[list[int]] = [[]]
    for x, after in pairwise([*full, full[-1]]):
        room = build.wall.height_at(x) - height
        if room == 0.0 or room > SAME_PLACE:
            runs[-1].append(build.node(x, height))
        else:
            runs.append([])
        if any(x < o.right and o.left < after for o in crossed):
            runs.append([])
    return runs


def _add_plates(build: Builder, plies: int) -> None:
    """Add the top plate, one line for each straight run of the outline."""
    hinges = [x for x, _ in build.wall.top[1:-1]]  # corners, all of them: no plate passes moment round one
    run: list[int] = []
    for x, node in sorted(build.tops.items()):
        run.append(node)
        if any(abs(x - hinge) < SAME_PLACE for hinge in hinges):
            build.add("plate", run, build.wall.studs.size, strong=True, plies=plies)
            run = [node]
    build.add("plate", run, build.wall.studs.size, strong=True, plies=plies)


def _finish(build: Builder, studs: list[int], heads: list[int]) -> Mesh:
    x, z = np.array(build.x), np.array(build.z)
    pinned = z == 0.0
    return Mesh(
        x=x, z=z, pinned=pinned, studs=tuple(studs), heads=tuple(heads),
        **number_lines(x, z, build.lines),
    )  # fmt: skip


def number_lines(x: Array, z: Array, lines: Sequence[Line]) -> dict[str, Any]:
    """Number elements and degrees of freedom along the lines of a mesh.

    A line keeps its rotations to itself: they are numbered along it, after all translations.

    Args:
        x: node positions [in].
        z: node heights [in].
        lines: the members.

    Returns:
        The fields of a Mesh from `lines` and `line_start` on.
    """
    counts = np.array([len(line.nodes) - 1 for line in lines])
    ends = np.array([pair for line in lines for pair in pairwise(line.nodes)])
    which = np.repeat(np.arange(len(counts)), counts)
    turn = len(x) + np.arange(len(ends)) + which
    start, end = ends.T
    return {
        "lines": tuple(lines),
        "line_start": np.concatenate([[0], np.cumsum(counts)]),
        "element_line": which,
        "element_nodes": ends,
        "element_length": np.hypot(x[end] - x[start], z[end] - z[start]),
        "element_rigidity": np.array([ei for line in lines for ei in line.rigidity]),
        "element_plies": np.array([plies for line in lines for plies in line.plies]),
        "element_dofs": np.stack([start, turn, end, turn + 1], axis=1),
        "dofs": len(x) + len(ends) + len(counts),
    }
