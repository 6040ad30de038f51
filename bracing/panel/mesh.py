"""Where the nodes and members of the grillage are: studs, plates, headers, sills, cripples and rows."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.choosing import greatest, lowest
from bracing.codes.basis import framing_values
from bracing.errors import InputError
from bracing.job.above import Above
from bracing.job.framing import Framing, Stick
from bracing.job.lumber import section
from bracing.job.wall import Opening, Row, Wall
from bracing.units import Inch

SAME_PLACE: Inch = 0.25  # two things closer than this along a stud meet at one node
SAME_HEAD: Inch = (
    0.125  # a brace head this near a header, sill, row or plate is at it; else it keeps its height
)


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


class Builder:
    """Collects the nodes and lines of one wall.

    Attributes:
        wall: the wall.
        x: node positions from LEFT [in].
        z: node heights [in].
        tops: node on the top plate over each vertical, by its x.
        lines: member runs.
    """

    def __init__(self, wall: Wall) -> None:
        self.wall = wall
        self.x: list[Inch] = []
        self.z: list[Inch] = []
        self.tops: dict[Inch, int] = {}
        self.lines: list[Line] = []
        self._columns: dict[Inch, list[int]] = {}
        self._levels: list[Inch] = [0.0, *(z for _, z in wall.top)]

    def node(self, x: Inch, z: Inch, *, within: Inch = SAME_PLACE) -> int:
        """Give the nearest node on the vertical at x, or a new one where none is near enough.

        Args:
            x: the vertical [in].
            z: height [in].
            within: how near is the same place [in].
        """
        column = self._columns.setdefault(x, [])
        best, near = within, -1
        for n in column:
            off = abs(self.z[n] - z)
            if off < best:
                best, near = off, n
        if near >= 0:
            return near
        column.append(len(self.x))
        self.x.append(x)
        self.z.append(z)
        return len(self.x) - 1

    def level(self, z: Inch) -> Inch:
        """Give the height at which level members near z run, so that each stays straight through its nodes.

        Args:
            z: height of a header, sill or row [in].

        Returns:
            That height, or the one already in use near it [in].
        """
        near = nearest(z, self._levels)
        if abs(near - z) < SAME_PLACE:
            return near
        self._levels.append(z)
        return z

    def top(self, x: Inch) -> int:
        """Give the node where the vertical at x meets the top plate.

        Args:
            x: the vertical [in].
        """
        if x not in self.tops:
            self.tops[x] = self.node(x, self.wall.height_at(x))
        return self.tops[x]

    def vertical(self, x: Inch, low: int, high: int) -> list[int]:
        """Give the nodes of the vertical at x from one of its nodes up to another.

        Args:
            x: the vertical [in].
            low: its lowest node.
            high: its highest node.
        """
        z = self.z
        inside = [n for n in self._columns[x] if z[low] <= z[n] <= z[high]]
        return sorted(inside, key=z.__getitem__)

    def add(self, kind: str, nodes: Sequence[int], size: str, *, strong: bool, plies: int = 1) -> None:
        """Add a member of one size through all its nodes; one that meets fewer than two is nothing.

        Args:
            kind: what it is.
            nodes: its nodes in order.
            size: nominal size.
            strong: bends about its strong axis.
            plies: sticks of that size side by side.
        """
        count = len(nodes) - 1
        if count > 0:
            ei = plies * rigidity(self.wall, size, strong=strong)
            self.lines.append(Line(kind, tuple(nodes), (ei,) * count, (plies,) * count))


def nearest(x: Inch, places: Iterable[Inch]) -> Inch:
    """Give the place nearest x [in].

    Args:
        x: where [in].
        places: some places [in].
    """
    return lowest(places, lambda place: abs(place - x))


def rigidity(wall: Wall, size: str, *, strong: bool) -> float:
    """Flexural rigidity of one stick of the wall's framing lumber, EI [lb in2].

    Args:
        wall: gives species, grade and moisture.
        size: nominal size, any plies counted without composite action.
        strong: bends about its strong axis.

    Source: STATICS.
    """
    return framing_values(wall, size).E * section(size).moment_of_inertia(strong=strong)


LEAST_ROOM: Inch = 1.0  # a header up against the plates is put this far under them
ON_PLATE: Inch = 3.0  # a sill lower than this lies on the bottom plate


@frozen
class Cripple:
    """A cut-off stud in the grillage.

    Attributes:
        x: its centre [in].
        low: its lower node.
        high: its upper node.
        header: the opening whose header it stands on.
        sill: the opening whose sill it holds up.
    """

    x: Inch
    low: int
    high: int
    header: Opening | None
    sill: Opening | None


def add_openings(build: Builder, framing: Framing, full: Sequence[Inch]) -> None:
    """Add the nodes and lines of every opening.

    Args:
        build: the grillage so far: full-height studs have their ends.
        framing: where the sticks are.
        full: centres of the full-height studs [in].
    """
    openings = build.wall.openings
    cut = [stick for stick in framing.members if stick.kind.startswith("cripple")]
    heights = [build.level(_header_height(build, opening, cut, full)) for opening in openings]
    cripples = [_cripple(build, stick, framing.thickness, heights) for stick in cut]
    cripples += _posts(build, heights)
    size = build.wall.studs.size
    for opening, height in zip(openings, heights, strict=True):
        nodes = _across(build, opening, height, cripples, full)
        nodes += [c.low for c in cripples if c.header is opening]
        build.add("header", sorted(nodes, key=build.x.__getitem__), opening.header, strong=False)
        if opening.sill > ON_PLATE:
            nodes = _across(build, opening, build.level(opening.sill), cripples, full)
            nodes += [c.high for c in cripples if c.sill is opening]
            build.add("sill", sorted(nodes, key=build.x.__getitem__), size, strong=True)
    for c in cripples:
        build.add("cripple", build.vertical(c.x, c.low, c.high), size, strong=True)


def _header_height(build: Builder, opening: Opening, cut: list[Stick], full: Sequence[Inch]) -> Inch:
    """Middle of a header, or as high as the plates over it let it be."""
    standing = [*full, *(stick.x for stick in cut if stick.z_bottom < opening.top < stick.z_top)]
    left = max(x for x in standing if x <= opening.left)
    right = min(x for x in standing if x >= opening.right)
    tops = [build.wall.height_at(x) for x in (left, right)]
    tops += [z for x, z in build.wall.top if left < x < right]
    return min(opening.top + section(opening.header).width / 2.0, min(tops) - LEAST_ROOM)


def _cripple(build: Builder, stick: Stick, t: Inch, heights: list[Inch]) -> Cripple:
    header = sill = None
    low = 0.0
    for opening, height in zip(build.wall.openings, heights, strict=True):
        if not opening.left < stick.x < opening.right:
            continue
        if abs(opening.top + section(opening.header).width - stick.z_bottom) < SAME_PLACE:
            header, low = opening, height
        if abs(opening.sill - t - stick.z_top) < SAME_PLACE:
            sill = opening
    high = build.top(stick.x) if sill is None else build.node(stick.x, build.level(sill.sill))
    return Cripple(stick.x, build.node(stick.x, low), high, header, sill)


def _posts(build: Builder, heights: list[Inch]) -> list[Cripple]:
    """Under a vertex of the top with no room for a cripple, the plate bears on the header."""
    posts = []
    for x, _ in build.wall.top[1:-1]:
        under = [
            (height, opening)
            for opening, height in zip(build.wall.openings, heights, strict=True)
            if opening.left < x < opening.right
        ]
        if under and x not in build.tops:
            height, opening = greatest(under, lambda pair: pair[0])
            posts.append(Cripple(x, build.node(x, height), build.top(x), opening, None))
    return posts


def _across(
    build: Builder, opening: Opening, z: Inch, cripples: list[Cripple], full: Sequence[Inch]
) -> list[int]:
    """Nodes where a level member over or under an opening ends on the uprights beside it."""
    standing = [*full, *(c.x for c in cripples if build.z[c.low] < z < build.z[c.high])]
    left = max(x for x in standing if x <= opening.left)
    right = min(x for x in standing if x >= opening.right)
    return [build.node(left, z), build.node(right, z)]


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
        arms: couple on the stud for each pound of each head, or nothing where no head has one [lb in/lb].
        held: nodes of end studs that return walls hold, those of one wall after those of another.
        holding: stiffness with which they do, shape (k, k) [lb/in].
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
    arms: tuple[Inch, ...] = ()
    held: tuple[int, ...] = ()
    holding: Array = field(repr=False, factory=lambda: np.zeros((0, 0)))

    @cached_property
    def head_arms(self) -> Array:
        """Couple on the stud for each pound of each head, shape (h,) [lb in/lb]."""
        return np.array(self.arms) if self.arms else np.zeros(len(self.heads))

    @cached_property
    def head_turns(self) -> Ints:
        """Rotation of the stud at each head, shape (h,)."""
        ends, turns = (
            self.element_nodes[self.on_stud].ravel(),
            self.element_dofs[self.on_stud][:, [1, 3]].ravel(),
        )
        return np.array([turns[np.flatnonzero(ends == head)[0]] for head in self.heads], dtype=np.intp)

    @property
    def levers(self) -> Array:
        """What the moment about the plate is of each pound level at each head, shape (h,) [in]."""
        levers: Array = self.z[list(self.heads)] + self.head_arms
        return levers

    def keeping(self, keep: Sequence[int]) -> Mesh:
        """Give the mesh with only some of its heads.

        Args:
            keep: which, in order.
        """
        arms = tuple(self.arms[k] for k in keep) if self.arms else ()
        return evolve(self, heads=tuple(self.heads[k] for k in keep), arms=arms)

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


@frozen
class Support:
    """A return wall that holds an end stud.

    Attributes:
        x: centre of the end stud [in].
        heights: where it holds it [in].
        stiffness: of what holds it, a row a height [lb/in].
    """

    x: Inch
    heights: tuple[Inch, ...]
    stiffness: tuple[tuple[float, ...], ...]


def build_mesh(
    wall: Wall,
    framing: Framing,
    heads: Sequence[tuple[Inch, Inch]] = (),
    *,
    arms: Sequence[Inch] = (),
    doubled: Sequence[Inch] = (),
    plate_plies: int = 2,
) -> Mesh:
    """Lay out the grillage of a wall with a node at every brace head asked for.

    Args:
        wall: the wall.
        framing: where its sticks are.
        heads: (stud centre, head height) of every possible brace [in].
        arms: couple on the stud for each pound of each brace; none unless given [lb in/lb].
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
    corners = len(
        build.x
    )  # where sticks meet: what a stud is made of does not hang on where a brace's head is
    for one in wall.above:
        if one.touches is not None and one.count > 0:
            build.node(*touching(wall, one, full), within=SAME_HEAD)
    head_nodes = [build.node(_stud_at(x, full, reach), z, within=SAME_HEAD) for x, z in heads]
    studs = _add_studs(build, framing, full, twice, corners)
    _add_plates(build, plate_plies)
    return evolve(_finish(build, studs, head_nodes), arms=tuple(arms) if any(arms) else ())


def touching(wall: Wall, one: Above, studs: list[Inch]) -> tuple[Inch, Inch]:
    """Give where a bundle that leans touches a wall [in]: on the stud nearest its place, no higher than that stud.

    Args:
        wall: the wall.
        one: the bundle.
        studs: centres of its full-height studs [in].
    """
    assert one.at is not None
    assert one.touches is not None  # else it was refused
    x = nearest(one.at, studs)
    return x, min(one.touches, wall.height_at(x))


def held_by(mesh: Mesh, supports: Sequence[Support]) -> Mesh:
    """Give a grillage held by return walls at its last heads, a height of each after the other; they are no heads then.

    Args:
        mesh: the grillage, those heights of the end studs being its last heads.
        supports: the return walls.
    """
    keep = len(mesh.heads) - sum(len(support.heights) for support in supports)
    return evolve(mesh.keeping(range(keep)), held=mesh.heads[keep:], holding=_side_by_side(supports))


def _side_by_side(supports: Sequence[Support]) -> Array:
    """Stiffness of all supports, none of which knows of another."""
    size = sum(len(support.heights) for support in supports)
    whole, at = np.zeros((size, size)), 0
    for support in supports:
        n = len(support.heights)
        whole[at : at + n, at : at + n] = support.stiffness
        at += n
    return whole


def _stud_at(x: Inch, full: list[Inch], reach: Inch) -> Inch:
    stud = nearest(x, full)
    if abs(stud - x) > reach:
        field_name = "brace.stud_at"
        raise InputError.of(field_name, f"{x:g} in", f"a full-height stud; the nearest is at {stud:g} in")
    return stud


def _add_studs(
    build: Builder, framing: Framing, full: list[Inch], doubled: set[Inch], corners: int
) -> list[int]:
    """Add a line for each full-height stud; a trimmer shares the king's bending below its header.

    The first nodes, so many, are where sticks meet; between two of them a stud has as many plies all along.
    """
    wall = build.wall
    single = rigidity(wall, wall.studs.size, strong=True)
    beside: dict[Inch, list[Inch]] = {}
    for stick in framing.members:
        if stick.kind == "trimmer":
            king = nearest(stick.x, full)
            if abs(king - stick.x) <= KING_REACH * framing.thickness:
                beside.setdefault(king, []).append(stick.z_top)
    kings = {stick.x: stick.plies for stick in framing.members if stick.kind == "king"}
    first = len(build.lines)
    for x in full:
        nodes = build.vertical(x, build.node(x, 0.0), build.top(x))
        own, tops = kings.get(x, 1) + (x in doubled), beside.get(x, ())
        met = [build.z[n] for n in nodes if n < corners]
        after = [bisect_right(met, build.z[low]) for low in nodes[:-1]]
        middles = [(met[k - 1] + met[k]) / 2.0 for k in after]
        stiff = tuple(single * (own + sum(top > middle for top in tops)) for middle in middles)
        # A trimmer that ends under a piece stiffens the king up to its header and carries none of its moment.
        starts = tuple(max(middle, build.z[low]) for middle, low in zip(middles, nodes[:-1], strict=True))
        plies = tuple(own + sum(top > start for top in tops) for start in starts)
        build.lines.append(Line("stud", tuple(nodes), stiff, plies))
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
