"""Links of the sticks inside the wall: studs bent, sheared, split and lifted by their brace; rows, headers, sills."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property, lru_cache

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.forces import Forces
from bracing.chain.links import (
    ENDS,
    Group,
    LinkId,
    Made,
    OneOf,
    Rows,
    by_point,
    force_at,
    moment_at,
    one_of,
)  # fmt: skip
from bracing.chain.materials import Materials
from bracing.chain.model import Model
from bracing.chain.plate import strap_lever
from bracing.chain.wall import EDGE_DISTANCE, SPREAD_HEAD, WallStrength, header_end, splitting_shear
from bracing.choosing import lowest
from bracing.codes.joints import plies_together
from bracing.codes.sticks import Member, stress_on
from bracing.job.lumber import section
from bracing.job.wall import Opening, Wall
from bracing.panel.grillage import INSIDE
from bracing.panel.loads import Cases
from bracing.panel.mesh import SAME_HEAD, TABLES_KEPT, Line, Mesh
from bracing.said import Kind, Quantity, Said
from bracing.sources import least
from bracing.sums import Known, formula
from bracing.units import Inch, Mph, Pound

Array = NDArray[np.float64]

Directions = tuple[str, ...]

READINGS = tuple(f"{part:g} up its piece" for part in INSIDE)
ENDS_UP = ("lower end", "upper end")
BESIDE_HEAD = ("below the head", "above the head")


@formula
def turned_round(along: float) -> Pound:
    """Give the thrust that a pull under nothing is: T = 0 - along.

    Args:
        along: the pull [lb].

    Returns:
        T [lb].

    Source: STATICS.

    Example:
        >>> turned_round(-20.0)
        20.0
    """
    return 0.0 - along


def plies_of(model: Model) -> Array:
    """Give how many plies bend in each piece of the studs.

    Args:
        model: the model.
    """
    return np.asarray(plies_of_each(model, np.ones((1, len(model.strengths)), dtype=bool))[0])


def plies_of_each(model: Model, sets: NDArray[np.bool_]) -> Array:
    """Give how many plies bend in each piece of the studs of several walls, (walls, pieces).

    Args:
        model: the model.
        sets: which of its braces are there on each, (walls, n).
    """
    mesh = model.meshes[0]
    plies = np.tile(mesh.element_plies[mesh.on_stud].astype(float), (len(sets), 1))
    if model.doubled:
        x = mesh.x[mesh.element_nodes[mesh.on_stud, 0]]
        for wall, there in enumerate(sets):
            plies[wall] -= np.isin(x, model.single_studs(there))
    return plies


def stud_groups(
    forces: Forces, directions: Directions, materials: Materials, *, wall: WallStrength
) -> Iterator[Group]:
    """Bending and shear of every stud, piece by piece; splitting at each head joint.

    Args:
        forces: what was solved.
        directions: the sides the wind may come from for these forces.
        materials: the job's materials.
        wall: the wall's strengths.

    Source: NDS 3.3.1, 3.4.2, 3.4.3.3.
    """
    mesh = forces.model.meshes[0]
    every = plies_of_each(forces.model, forces.sets)
    plies = every[0]
    starts = np.flatnonzero(np.diff(mesh.element_line[mesh.on_stud], prepend=-1))
    clauses = materials.basis.clauses
    inside, x, marks = forces.responses, mesh.stud_x, forces.model.stud_marks
    for name, demand, allowance, capacity, unit, clause in (
        (
            LinkId.STUD_BENDING,
            inside.stud_moment,
            inside.stud_allowance,
            wall.stud_moment,
            "lb in",
            clauses.bending,
        ),
        (LinkId.STUD_SHEAR, inside.stud_shear, None, wall.stud_shear, "lb", clauses.shear),
    ):
        points = READINGS if name is LinkId.STUD_BENDING else ENDS_UP
        yield Group(
            link=name, directions=directions, marks=marks, places=tuple(x.tolist()), unit=unit,
            capacity=forces.in_rows(capacity * every, len(points)), made=Made(plies_together, (capacity, plies)),
            starts=starts, demand=by_point(demand), rows=forces.rows(points),
            allowance=None if allowance is None else np.concatenate([allowance] * len(points)),
            source=clause, known=materials.stud_values().known,
            why=(Said("no-repetitive-factor"),) * len(x),
        )  # fmt: skip
    yield from _splitting(forces, directions, materials)


def _splitting(forces: Forces, directions: Directions, materials: Materials) -> Iterator[Group]:
    """Shear at each head joint, below it and above it."""
    marks, places, job = forces.model.marks, forces.model.studs, forces.model.job
    if not marks:
        return
    capacity = [
        splitting_shear(
            materials, from_end=job.wall.height_at(x) - brace.head, doubled=brace.stud_doubled,
            count=brace.head_fasteners,
        )
        for x, brace in zip(places, job.braces, strict=True)
    ]  # fmt: skip
    below, above = _beside_heads(forces.model.meshes[0])
    shear = forces.responses.stud_shear
    yield Group(
        link=LinkId.STUD_SPLITTING, directions=directions, marks=marks, places=places, unit="lb",
        capacity=forces.in_rows(where_there(forces, np.array(capacity)), len(BESIDE_HEAD)),
        made=OneOf(tuple(capacity)), demand=np.concatenate([shear[:, *below], shear[:, *above]]),
        rows=forces.rows(BESIDE_HEAD),
        source=materials.basis.clauses.at_joint, known=materials.stud_values().known,
        why=tuple(
            Said("heads-from-edges", edge=Quantity(EDGE_DISTANCE, Kind.INCHES)) if many else Said("heads-in-the-middle")
            for many in (brace.head_fasteners >= SPREAD_HEAD for brace in job.braces)
        ),
    )  # fmt: skip


def where_there(forces: Forces, each: Array) -> Array:
    """Give what each brace's link may carry on each wall, (walls, n): without end where the brace is gone.

    Args:
        forces: what was solved.
        each: of each brace, (n,).
    """
    return np.where(forces.sets, each, np.inf)


@lru_cache(maxsize=TABLES_KEPT)
def _beside_heads(mesh: Mesh) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Piece of stud and its end, below and above each head, (2, heads) both; at a stud's top both are below."""
    nodes = mesh.element_nodes[mesh.on_stud]
    sides = [np.argwhere(nodes == head)[[0, -1]] for head in mesh.heads]
    below, above = np.array(sides).transpose(1, 2, 0)
    return below, above


def lifted_studs(
    forces: Forces, directions: Directions, materials: Materials, *, wall: WallStrength
) -> Iterator[Group]:
    """Braced studs bent while their brace lifts them or bears down on them, from the head to the foot.

    Pushed together, a brace lifts its stud by R tan(angle) and the stud is stretched down to the sheathing and plate
    that hold it; drawn, it presses the stud on its foot. Held by the sheathing, a stud buckles across the wall only.
    A trimmer helps in bending and not along the stud.

    Args:
        forces: what was solved.
        directions: the side the wind comes from.
        materials: the job's materials.
        wall: the wall's strengths.

    Source: NDS 3.9.1, 3.9.2.
    """
    model = forces.model
    marks, places, mesh, job = model.marks, model.studs, model.meshes[0], model.job
    if not marks:
        return
    lifts = np.array([s.lift_per_pound for s in model.strengths])
    there, walls, count = np.array(places), forces.walls, forces.walls * len(marks)
    shared = there[:, None] == there  # two braces on one stud lift it together
    lift = shared.astype(float) @ (forces.brace * lifts[:, None])
    lift = forces.beside(lift)
    every = _below_heads(mesh, places, tuple(map(tuple, forces.sets.tolist())))
    wall_of = np.repeat(np.arange(walls), len(marks))
    plies = plies_of_each(model, forces.sets)[wall_of, every]
    bent = forces.responses.stud_moment
    moment = bent.reshape(walls, -1, *bent.shape[1:])[wall_of, :, every]  # (pieces, items, rows, readings, 2)
    points = len(every) * moment.shape[3]
    rows = (moment / plies[..., None, None, None]).transpose(0, 3, 2, 1, 4).reshape(-1, count, 2)
    heights = np.array([job.wall.height_at(x) for x in places] * walls)
    doubles = forces.sets & np.array([b.stud_doubled for b in job.braces])
    use = stud_use(materials, wall, heights, plies=1.0 + (doubles.astype(float) @ shared > 0.0).ravel())
    yield Group(
        link=LinkId.STUD_LIFTED, directions=directions, marks=marks * walls, places=places * walls, unit="share used",
        capacity=where_there(forces, np.ones(len(marks))).ravel(), demand=rows, tension=np.tile(lift, (points, 1, 1)),
        rows=forces.rows(up_the_stud(len(every)), parted=True), walls=walls,
        use=evolve(use, lever=strap_lever(job)), source=materials.basis.clauses.along,
        known=materials.stud_values().known,
        why=(Said("bent-and-drawn"),) * count,
    )  # fmt: skip


@lru_cache(maxsize=TABLES_KEPT)
def up_the_stud(pieces: int) -> tuple[str, ...]:
    """Name where each reading is, piece by piece from the foot.

    Args:
        pieces: how many.
    """
    return tuple(f"{part:g} up piece {k + 1}" for k in range(pieces) for part in INSIDE)


@lru_cache(maxsize=TABLES_KEPT)
def _below_heads(
    mesh: Mesh, places: tuple[Inch, ...], sets: tuple[tuple[bool, ...], ...]
) -> NDArray[np.intp]:
    """Pieces of each braced stud under its highest head, (pieces, braces); where fewer, the last is named again.

    Of several walls, with the braces there on each, those of one before those of the next.
    """
    foot, top = mesh.element_nodes[mesh.on_stud].T
    there, high = np.array(places), mesh.z[list(mesh.heads)][: len(places)]
    same, own = there[:, None] == there, np.eye(len(places), dtype=bool)
    parts = []
    for braces in sets:
        up_to = np.where(same & (braces | own), high, 0.0).max(axis=1) + SAME_HEAD
        parts += [
            np.flatnonzero((mesh.x[foot] == x) & (mesh.z[top] <= z))
            for x, z in zip(there, up_to, strict=True)
        ]
    most = max(map(len, parts))
    return np.array([np.append(part, np.repeat(part[-1], most - len(part))) for part in parts]).T


def stud_use(materials: Materials, wall: WallStrength, heights: Array, *, plies: Array) -> StudUse:
    """Give the share of a braced stud used by bending and a force along it, drawing it where positive.

    Bending is for one ply, the force along for all. Drawn: T/(A Ft') + M/M'. Pressed: (fc/Fc')^2 + M/[M' (1 - fc/FcE)].

    Args:
        materials: the job's materials.
        wall: the wall's strengths.
        heights: of each stud [in].
        plies: of each stud.

    Source: NDS Eq. 3.9-1, 3.9-3.
    """
    stud = section(materials.job.wall.studs.size)
    return StudUse(stud.area * plies, wall.stud_moment, materials.stud(), heights)


@frozen(eq=False)
class StudUse:
    """The use of bending and a force along; an object and no closure, so that an answer can go to another process.

    Attributes:
        area: of each stud [in^2].
        allowed: bending one ply may carry [lb in].
        stud: what one ply may carry.
        heights: of each stud [in].
        lever: what a pull on it is for each pound its brace lifts.
    """

    area: Array
    allowed: float
    stud: Member
    heights: Array
    lever: float = 1.0

    @cached_property
    def column(self) -> tuple[Array, Array]:
        """Compression value with CP, and buckling value across the wall, of each stud [psi]."""
        return self.stud.column(self.heights)

    def __call__(self, moment: Array, along: Array) -> Array:
        """Give the share of each stud used.

        Args:
            moment: in one ply [lb in].
            along: force along it, drawing where positive [lb].
        """
        # Moment over the moment it may carry, for stress over strength; held along the wall, so no buckling that way.
        drawn = self.stud.drawn(along * self.lever / self.area, moment, allowed=self.allowed)
        pressed = self.stud.pressed(along / -self.area, moment, allowed=self.allowed, column=self.column)
        return np.where(along >= 0.0, drawn, pressed)

    def sums(self, item: int, moment: Array, along: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        """Tell the moment, the force along, and the share of one stud they use, as Sums.

        Args:
            item: which.
            moment: in one ply, steady and per gust squared, (2,) [lb in].
            along: force along it, drawing where positive, the same [lb].
            gust: the gust [mph].
            where: which row of the frame they are of.
        """
        steady, rate = (float(part) for part in moment)
        sign = -1.0 if steady + rate * gust**2 < 0.0 else 1.0  # it counts by its size
        M = moment_at(Known(sign * steady, f"moment in one ply {where}", ""), sign * rate, gust)
        steady, rate = (float(part) for part in along)
        words = f"pull along the stud, drawing where positive {where}"
        F = force_at(Known(steady, words, ""), rate, gust)
        return M, F, self.share(item, M, F)

    def share(self, item: int, moment: float, along: float) -> float:
        """Give the share of one stud used, as a Sum.

        Args:
            item: which.
            moment: in one ply [lb in].
            along: force along it, drawing where positive [lb].
        """
        if along >= 0.0:
            pulled = along if self.lever == 1.0 else strap_pull(along, self.lever)
            return self.stud.drawn(stress_on(pulled, float(self.area[item])), moment, allowed=self.allowed)
        stress = stress_on(turned_round(along), float(self.area[item]))
        column = self.stud.column(float(self.heights[item]))
        return self.stud.pressed(stress, moment, allowed=self.allowed, column=column)


@formula
def strap_pull(U: Pound, lever: float) -> Pound:
    """Give the pull on a stud whose strap lifts the plate off its fasteners' line: T = U lever.

    Args:
        U: lift of the brace [lb].
        lever: pull for each pound of it [-].

    Returns:
        T [lb].

    Source: STATICS, moments about the inner edge of the plate.

    Example:
        >>> strap_pull(100.0, 1.25)
        125.0
    """
    return U * lever


def row_groups(forces: Forces, directions: Directions, materials: Materials) -> Iterator[Group]:
    """Bending of continuous rows: a wale flat on the studs, any other on edge, of the wall's framing lumber.

    Args:
        forces: what was solved.
        directions: the sides the wind may come from for these forces.
        materials: the job's materials.

    Source: NDS 3.3.1.
    """
    mesh, wall = forces.model.meshes[0], materials.job.wall
    elements, which = _row_pieces(forces.model)
    if len(elements) == 0:
        return
    rows = [wall.rows[k] for k in which]
    middle = mesh.x[mesh.element_nodes[elements]].mean(axis=1)
    capacity = [materials.stud(row.size).bending(flat=row.kind == "wale") for row in rows]
    yield Group(
        link=LinkId.ROW_BENDING, directions=directions, marks=(None,) * len(rows), places=tuple(middle.tolist()),
        unit="lb in", capacity=np.array(capacity), made=OneOf(tuple(capacity)),
        demand=by_point(forces.responses.row_moment), rows=forces.rows(ENDS), source=materials.basis.clauses.bending,
        known=least(*(materials.stud_values(row.size).known for row in rows)),
        why=tuple(Said("row-at", size=row.size, kind=row.kind, at=Quantity(row.height, Kind.TAPE)) for row in rows),
    )  # fmt: skip


def row_holds(forces: Forces, gust: Mph) -> tuple[Pound, ...]:
    """Give the most each continuous row of the wall and any stud it crosses push or pull each other [lb].

    What a row hands over at a stud is the step in its shear there, and its shear is read off its bending.

    Args:
        forces: what was solved.
        gust: the gust [mph].

    Source: STATICS, a beam between its supports.
    """
    mesh = forces.model.meshes[0]
    elements, which = _row_pieces(forces.model)
    ends = forces.at(forces.responses.row_moment, gust)
    shear = ends.sum(axis=2) / mesh.element_length[elements]
    most = np.zeros(len(forces.model.job.wall.rows))
    for line in np.unique(mesh.element_line[elements]):
        run = mesh.element_line[elements] == line
        steps = np.diff(shear[:, run], axis=1, prepend=0.0, append=0.0)
        np.maximum.at(most, which[run], np.abs(steps).max())
    return tuple(most.tolist())


def _row_pieces(model: Model) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pieces of the continuous rows, and which row of the wall each is of: the nearest in height."""
    mesh = model.meshes[0]
    elements = np.flatnonzero([mesh.lines[k].kind == "row" for k in mesh.element_line])
    heights = np.array([row.height for row in model.job.wall.rows])
    off = np.abs(mesh.z[mesh.element_nodes[elements, 0]][:, None] - heights)
    return elements, off.argmin(axis=1) if len(heights) else np.zeros(0, dtype=np.intp)


def opening_groups(forces: Forces, directions: Directions, materials: Materials) -> Iterator[Group]:
    """Ends and bending of each header and sill.

    Args:
        forces: what was solved.
        directions: the sides the wind may come from for these forces.
        materials: the job's materials.
    """
    inside, model = forces.responses, forces.model
    groups = span_groups(
        model.meshes[0], model.cases, materials, ends=inside.span_end, bent=inside.span_moment, directions=directions
    )  # fmt: skip
    return (evolve(group, rows=forces.rows(group.rows.points)) for group in groups)


def span_groups(
    mesh: Mesh, cases: Cases, materials: Materials, *, ends: Array, bent: Array, directions: Directions
) -> Iterator[Group]:
    """Ends and bending of each header and sill, from the forces in them; which rows those are is not said.

    What is nailed over a covered opening hands its wind to the kings in the panel, and here all of it to its header and
    sill as well: nobody knows which way a cover spans.

    Args:
        mesh: the grillage.
        cases: its load cases.
        materials: the job's materials.
        ends: end shear, (rows, spans, 2, 2) [lb].
        bent: bending at both ends of each element, (rows, elements, 2, 2) [lb in].
        directions: the sides the wind may come from for these forces.

    Source: NDS 12.5.2.2, 3.3.1.
    """
    spans = [k for k, line in enumerate(mesh.lines) if line.kind in ("header", "sill")]
    owner = mesh.element_line[np.isin(mesh.element_line, spans)]
    for k, at in enumerate(spans):
        line = mesh.lines[at]
        middle = float(mesh.x[[line.nodes[0], line.nodes[-1]]].mean())
        opening = opening_of(materials.job.wall, line.kind, x=middle, z=float(mesh.z[line.nodes[0]]))
        cover = _cover(cases, opening, middle)
        nails = header_end(materials, opening)
        at_ends = np.concatenate([ends[:, k, 0], ends[:, k, 1]])
        yield Group(
            link=LinkId(f"{line.kind} end"), directions=directions, marks=(None,), places=(middle,), unit="lb",
            capacity=np.array([nails]), made=one_of(1, nails), demand=at_ends[:, None], rows=Rows((), ENDS),
            allowance=_steady_none(cover * opening.width / 2.0, len(at_ends)), source=materials.basis.clauses.end_grain,
            why=(Said("through-the-king", count=opening.header_nails, what=opening.header_fastener),),
        )  # fmt: skip
        own = bent[:, np.flatnonzero(owner == at)]
        own = own.reshape(len(own), 2 * own.shape[1], 2)
        size, capacity = span_moment_capacity(materials, line, opening)
        yield Group(
            link=LinkId(f"{line.kind} bending"), directions=directions, marks=(None,), places=(middle,), unit="lb in",
            capacity=np.full(own.shape[1], capacity), made=one_of(own.shape[1], capacity),
            demand=own, rows=Rows(()), starts=np.zeros(1, dtype=np.intp),
            allowance=_steady_none(cover * opening.width**2 / 8.0, len(own)), source=materials.basis.clauses.bending,
            known=materials.stud_values().known,
            why=(Said("bent-across", size=size, wide=Quantity(opening.width, Kind.TENTH_FEET)),),
        )  # fmt: skip


def _cover(cases: Cases, opening: Opening, middle: Inch) -> Array:
    """Wind on half the height of a cover, of each case, per mph squared [lb/in]."""
    half = opening.height / 2.0 if opening.covered else 0.0
    return np.array(
        [abs(float(f.c(middle, opening.top))) * cases.pressure_per_mph2 * half for f in cases.fields]
    )


def _steady_none(wind: Array, rows: int) -> Array:
    """An allowance with no steady part, for every row, (rows, 1, 2)."""
    allowance = np.zeros((rows, 1, 2))
    allowance[:, 0, 1] = np.tile(wind, rows // len(wind))
    return allowance


def span_moment_capacity(materials: Materials, line: Line, opening: Opening) -> tuple[str, float]:
    """Give the size of a header or sill, and the bending across the wall it may carry [lb in].

    A header stands on edge, so wind bends each ply flat; a sill lies flat, so wind bends it on edge.

    Args:
        materials: the job's materials.
        line: the header or sill.
        opening: its opening.

    Source: NDS 3.3.1, 4.3.7.
    """
    header = line.kind == "header"
    size = opening.header if header else materials.job.wall.studs.size
    return size, materials.stud(size).bending(flat=header)


def opening_of(wall: Wall, kind: str, *, x: Inch, z: Inch) -> Opening:
    """Give the opening a header or sill belongs to: where openings stand over one another, the nearest in height too.

    Args:
        wall: the wall.
        kind: header or sill.
        x: its middle from LEFT [in].
        z: its height [in].
    """

    def off(opening: Opening) -> Inch:
        edge = opening.top if kind == "header" else opening.sill
        return abs(opening.left + opening.width / 2.0 - x) + abs(edge - z)

    return lowest(wall.openings, off)
