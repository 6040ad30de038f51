"""What a brace's own stud takes, as a table over the brace's force.

Without continuous rows every stud is determinate: what passes through it depends on its own brace alone. So at a gust
each make has, for every wind case, a worst ratio of its stud that is a function of its brace's force; it is kept as
chords between READINGS. Bending, shear and splitting are convex, so a chord never lies below them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.materials import Materials
from bracing.chain.studs import stud_use
from bracing.chain.wall import SPREAD_HEAD, splitting_shear, wall_strength
from bracing.layout.makes import Make
from bracing.layout.studs import StudStatics, stud_elements
from bracing.panel.builder import SAME_HEAD
from bracing.panel.mesh import Mesh
from bracing.units import Pound

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

READINGS = 161
FARTHEST: Pound = 4000.0  # a make's force is read from minus this to this
STEP = 2.0 * FARTHEST / (READINGS - 1)
MOST_RATIO = 1e6  # of a stud pressed past buckling; finite, so that a chord to it can be read
FORCES = np.linspace(-FARTHEST, FARTHEST, READINGS)


@frozen(eq=False)
class OwnStuds:
    """What the stud of every head takes; h heads, c wind cases.

    Attributes:
        materials: the job's materials.
        alone: worst of bending, shear and splitting; with fasteners out to the stud's edges, then with a few in the
            middle, (2, h, c, READINGS).
        below: greatest bending of one ply from the head down, (h, c, READINGS) [lb in].
        height: of each head's stud, (h,) [in].
        plies: of the stud.
    """

    materials: Materials
    alone: Array = field(repr=False)
    below: Array = field(repr=False)
    height: Array
    plies: float


def own_studs(
    materials: Materials, mesh: Mesh, statics: StudStatics, *, spare: Array, doubled: bool
) -> OwnStuds:
    """Table what the stud of every head takes.

    Args:
        materials: the job's materials.
        mesh: the grillage.
        statics: what passes through each stud, at the gust.
        spare: what bending between readings may add, (c, stud elements) [lb in].
        doubled: studs are doubled at the braces.
    """
    every, wall = stud_elements(mesh), wall_strength(materials)
    line, nodes = mesh.element_line[every], mesh.element_nodes[every]
    plies = mesh.element_plies[every].astype(float)
    shape = (len(mesh.heads), len(spare), READINGS)
    alone, below, height = np.empty((2, *shape)), np.empty(shape), np.empty(shape[0])
    for at, node in enumerate(mesh.heads):
        here = mesh.studs[int(np.argmin(np.abs(mesh.stud_x - mesh.x[node])))]
        part = np.flatnonzero(line == here)
        bent = np.abs(statics.moment[:, part, :, None] - statics.head_moment[at, part][..., None] * FORCES)
        over = (bent + spare[:, part, None, None]) / (wall.stud_moment * plies[part])[:, None, None]
        sheared = np.abs(statics.shear[:, part, :, None] - statics.head_shear[at, part][..., None] * FORCES)
        cut = sheared / (wall.stud_shear * plies[part])[:, None, None]
        element, end = np.nonzero(nodes[part] == node)
        height[at] = materials.job.wall.height_at(mesh.x[node])
        whole = np.maximum(over.max(axis=(1, 2)), cut.max(axis=(1, 2)))
        for few, count in enumerate((SPREAD_HEAD, 1)):
            splitting = splitting_shear(
                materials, from_end=float(height[at] - mesh.z[node]), doubled=doubled, count=count
            )
            alone[few, at] = np.maximum(whole, (sheared[:, element, end] / splitting).max(axis=1))
        low = mesh.z[nodes[part, 1]] <= mesh.z[node] + SAME_HEAD
        below[at] = (bent[:, low] / plies[part][low, None, None]).max(axis=(1, 2))
    return OwnStuds(materials, alone, below, height, 1.0 + doubled)


def make_ratios(own: OwnStuds, makes: Sequence[Make], at: Ints) -> Array:
    """Give the worst ratio of the stud of each make at each reading of its force.

    Args:
        own: what the stud of every head takes.
        makes: the makes.
        at: the head each is put up at, (s,).

    Returns:
        Ratios, (s, c, READINGS).
    """
    few = np.array([int(m.brace.head_fasteners < SPREAD_HEAD) for m in makes], dtype=np.intp)
    lift = np.array([m.strength.lift_per_pound for m in makes])
    use = stud_use(
        own.materials, wall_strength(own.materials), own.height[at], plies=np.full(len(at), own.plies)
    )
    bent = np.moveaxis(own.below[at], 0, -1)
    along = np.broadcast_to(np.abs(FORCES)[:, None] * lift, bent.shape)
    lifted = np.moveaxis(np.maximum(use(bent, along), use(bent, -along)), -1, 0)
    ratios: Array = np.maximum(own.alone[few, at], lifted)
    return np.minimum(ratios, MOST_RATIO)
