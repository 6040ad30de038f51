"""Studs under a load from above: pressed off their middle, and bent by the wind at once."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.chain.forces import Forces
from bracing.chain.links import Array, Group, LinkId
from bracing.chain.materials import Materials, sheathing_of
from bracing.chain.studs import plies_of, stud_use, up_the_stud
from bracing.chain.wall import WallStrength
from bracing.codes.above import UNEVEN
from bracing.job.lumber import section
from bracing.panel.above import on_studs
from bracing.panel.mesh import TABLES_KEPT, Mesh
from bracing.said import Kind, Quantity, Said

SIDES = ("bearing toward the braces", "bearing away from them")
CALM = "in calm air, for days"
FOR_DAYS = 1.6 / 1.25  # what lumber carries for ten minutes over a week of building; NDS table 2.3.2


def loaded_studs(
    forces: Forces, directions: tuple[str, ...], materials: Materials, *, wall: WallStrength
) -> Iterator[Group]:
    """Studs under a load from above; none without such a load.

    The load stands a sixth of the stud's depth off its middle, to either side, and bends it so all the way down. What a
    brace presses a stud with comes on top; what it lifts is asked by itself. In calm air it is there for days.

    Args:
        forces: what was solved.
        directions: the side the wind comes from.
        materials: the job's materials.
        wall: the wall's strengths.

    Source: NDS 3.9.2.
    """
    mesh, job = forces.model.meshes[0], materials.job
    x = tuple(mesh.stud_x.tolist())
    on = on_studs(job.wall, x, people=forces.model.people)
    if not on.any():
        return
    asked = _asked(forces, on)
    stick = section(job.wall.studs.size)
    heights = np.array([job.wall.height_at(each) for each in x])
    if sheathing_of(job) is None:  # no panel keeps it from going along the wall
        heights = heights * stick.width / stick.thickness
    yield Group(
        link=LinkId.STUD_LOADED, directions=directions, marks=forces.model.stud_marks, places=x, unit="share used",
        capacity=np.ones(len(x)), demand=asked.moment, tension=asked.along, rows=forces.rows(asked.points),
        use=stud_use(materials, wall, heights, plies=asked.plies), source=materials.basis.clauses.along,
        known=materials.stud_values().known,
        why=tuple(Said("stands-on-it", load=Quantity(each, Kind.LOAD)) for each in on.tolist()),
    )  # fmt: skip


@frozen(eq=False)
class _Asked:
    """What is asked of the studs: moment in one ply and force along, (rows, studs, 2), and where each row is read."""

    moment: Array
    along: Array
    points: tuple[str, ...]
    plies: Array


def _asked(forces: Forces, on: Array) -> _Asked:
    model, mesh = forces.model, forces.model.meshes[0]
    there = mesh.stud_x[:, None] == np.array(model.studs)[None, :]
    lifts = np.array([s.lift_per_pound for s in model.strengths])
    lift = there.astype(float) @ (forces.brace * lifts[:, None])
    every = _of_each_stud(mesh)
    plies = plies_of(model)[every]
    moment = forces.responses.stud_moment[:, every] / plies[..., None, None]
    count = len(every) * moment.shape[3]
    bent = moment.transpose(1, 3, 0, 2, 4).reshape(count * len(moment), len(on), 2)
    least = plies.min(axis=0)
    off, pressed = np.zeros((len(on), 2)), np.concatenate([lift] * (2 * count))
    off[:, 0] = on / least * section(model.job.wall.studs.size).width / UNEVEN
    pressed[..., 0] -= on
    still = np.zeros_like(lift)
    still[..., 0] = on
    calm = np.broadcast_to(off, still.shape)
    named = tuple(f"{side}, {each}" for side in SIDES for each in up_the_stud(len(every)))
    return _Asked(
        np.concatenate([bent + off, bent - off, calm * FOR_DAYS]), np.concatenate([pressed, still * -FOR_DAYS]),
        (*named, CALM), least,
    )  # fmt: skip


@lru_cache(maxsize=TABLES_KEPT)
def _of_each_stud(mesh: Mesh) -> NDArray[np.intp]:
    """Pieces of each full-height stud from its foot, (pieces, studs); where fewer, the last is named again."""
    foot = mesh.x[mesh.element_nodes[mesh.on_stud, 0]]
    parts = [np.flatnonzero(foot == x) for x in mesh.stud_x]
    most = max(map(len, parts))
    return np.array([np.append(part, np.repeat(part[-1], most - len(part))) for part in parts]).T
