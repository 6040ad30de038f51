"""Links of headers and sills: their ends, and their bending across the wall."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bracing.chain.forces import Forces
from bracing.chain.links import Group
from bracing.chain.materials import Materials
from bracing.chain.wall import header_end
from bracing.choosing import lowest
from bracing.job.lumber import section
from bracing.job.wall import Opening, Wall
from bracing.panel.builder import Line
from bracing.panel.cases import Cases
from bracing.panel.mesh import Mesh
from bracing.sources import cite
from bracing.units import Inch

Array = NDArray[np.float64]
Directions = tuple[str, ...]


def opening_groups(forces: Forces, directions: Directions, materials: Materials) -> Iterator[Group]:
    """Ends and bending of each header and sill.

    Args:
        forces: what was solved.
        directions: the sides the wind may come from for these forces.
        materials: the job's materials.
    """
    inside, model = forces.responses, forces.model
    return span_groups(
        model.meshes[0],
        model.cases,
        materials,
        ends=inside.span_end,
        bent=inside.span_moment,
        directions=directions,
    )


def span_groups(
    mesh: Mesh, cases: Cases, materials: Materials, *, ends: Array, bent: Array, directions: Directions
) -> Iterator[Group]:
    """Ends and bending of each header and sill, from the forces in them.

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
        at_ends = np.concatenate([ends[:, k, 0], ends[:, k, 1]])
        yield Group(
            link=f"{line.kind} end", directions=directions, marks=(None,), places=(middle,), unit="lb",
            capacity=np.array([header_end(materials, opening)]), demand=at_ends[:, None],
            allowance=_steady_none(cover * opening.width / 2.0, len(at_ends)), source=cite("NDS", "12.5.2.2"),
            why=(f"{opening.header_nails} x {opening.header_fastener} through the king into end grain",),
        )  # fmt: skip
        own = bent[:, np.flatnonzero(owner == at)]
        own = own.reshape(len(own), 2 * own.shape[1], 2)
        size, capacity = span_moment_capacity(materials, line, opening)
        yield Group(
            link=f"{line.kind} bending", directions=directions, marks=(None,), places=(middle,), unit="lb in",
            capacity=np.full(own.shape[1], capacity), demand=own, starts=np.zeros(1, dtype=np.intp),
            allowance=_steady_none(cover * opening.width**2 / 8.0, len(own)), source=cite("NDS", "3.3.1"),
            why=(f"{size} bent across the wall, {opening.width / 12.0:.1f} ft between kings",),
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
    values = materials.stud_values(size)
    Fb = values.Fb_flat if header else values.Fb
    return size, Fb * section(size).section_modulus(strong=not header)


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
