"""What passes through each stud, which statics alone decides; and what its brace's force makes of it, as a table."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.materials import Materials
from bracing.chain.studs import stud_use
from bracing.chain.wall import SPREAD_HEAD, splitting_shear, wall_strength
from bracing.layout.candidates import Make
from bracing.panel.grillage import INSIDE, Compliance
from bracing.panel.mesh import SAME_HEAD, Mesh
from bracing.panel.reduced import solve
from bracing.units import Pound

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

PROP_GIVE = 1e-4  # of a prop [in/lb]; any value gives the same forces in a stud no prop is on
SPARE_PROPS = 4
READ = ("stud_moment", "stud_shear", "top", "base", "span_end", "span_moment")


@frozen(eq=False)
class StudStatics:
    """Forces in the studs; e stud elements, p points, u studs, h heads.

    Attributes:
        moment: from the loads, (1 + c, e, p) [lb in].
        shear: (1 + c, e, 2) [lb].
        top: (1 + c, u) [lb].
        base: under each vertical, (1 + c, v) [lb].
        span_end: end shear of each header and sill, which no brace changes, (1 + c, spans, 2) [lb].
        span_moment: bending at both ends of their elements, (1 + c, elements, 2) [lb in].
        head_moment: per pound of a head on its own stud, (h, e, p), zero elsewhere [lb in/lb].
        head_shear: (h, e, 2) [lb/lb].
        arm: head height over stud height, the part of a brace's force the top plate gives, (h,).
    """

    moment: Array = field(repr=False)
    shear: Array = field(repr=False)
    top: Array = field(repr=False)
    base: Array = field(repr=False)
    span_end: Array = field(repr=False)
    span_moment: Array = field(repr=False)
    head_moment: Array = field(repr=False)
    head_shear: Array = field(repr=False)
    arm: Array


def stud_elements(mesh: Mesh) -> Ints:
    """Give the elements that belong to full-height studs.

    Args:
        mesh: the grillage.
    """
    return np.flatnonzero([mesh.lines[k].kind == "stud" for k in mesh.element_line])


def stud_statics(mesh: Mesh, panel: Compliance, stud: Ints) -> StudStatics:
    """Work out what passes through each stud.

    Args:
        mesh: the grillage.
        panel: its compliance.
        stud: stud of each head, (h,).

    Source: STATICS.
    """
    sets = _prop_sets(stud, panel.motions.shape[1])
    propped = [_propped(panel, chosen) for chosen in sets]
    free_of_first = ~np.isin(np.arange(len(mesh.studs)), stud[sets[0]])
    every = stud_elements(mesh)
    owner = np.searchsorted(np.array(mesh.studs), mesh.element_line[every])
    first, second = propped
    verticals = np.sort(mesh.x[mesh.pinned])
    at = np.searchsorted(verticals, mesh.stud_x)
    by_vertical = np.ones(len(verticals), dtype=bool)
    by_vertical[at] = free_of_first
    head_moment, head_shear, arm = _head_parts(mesh, every, owner, stud)
    return StudStatics(
        moment=np.where(free_of_first[owner][None, :, None], first[0], second[0]),
        shear=np.where(free_of_first[owner][None, :, None], first[1], second[1]),
        top=np.where(free_of_first[None], first[2], second[2]),
        base=np.where(by_vertical[None], first[3], second[3]),
        span_end=first[4], span_moment=first[5], head_moment=head_moment, head_shear=head_shear, arm=arm,
    )  # fmt: skip


def _prop_sets(stud: Ints, motions: int) -> tuple[Ints, Ints]:
    """Two sets of heads on studs that differ, each spread along the wall and enough to hold every motion."""
    places, first = np.unique(stud, return_index=True)
    count = min(motions + SPARE_PROPS, len(places) // 2)
    even = np.unique(np.linspace(0, len(places) - 1, 2 * count).astype(int))
    return first[even[::2]], first[even[1::2]]


def _propped(panel: Compliance, chosen: Ints) -> tuple[Array, ...]:
    """Forces READ in a wall on props, for each row of the loads."""
    found = solve(
        panel.flexibility[np.ix_(chosen, chosen)], panel.motions[chosen], np.full(len(chosen), PROP_GIVE),
        np.ones(len(chosen), dtype=bool), under_load=panel.under_load[:, chosen].T, work=panel.work.T,
    )  # fmt: skip
    loads, heads = panel.from_loads, panel.from_heads

    def both(name: str) -> Array:
        taken = np.einsum("hc,h...->c...", found.force, getattr(heads, name)[chosen])
        return np.asarray(getattr(loads, name) - taken)

    return tuple(both(name) for name in READ)


def _head_parts(mesh: Mesh, every: Ints, owner: Ints, stud: Ints) -> tuple[Array, Array, Array]:
    """A stud as a simple beam under a unit force at each head: bending, end forces, and head over stud height."""
    z0, z1 = mesh.z[mesh.element_nodes[every]].T
    z = z0[:, None] + (z1 - z0)[:, None] * INSIDE
    heads = mesh.z[list(mesh.heads)]
    high = np.array([mesh.z[mesh.lines[k].nodes[-1]] for k in mesh.studs])[stud]
    arm = heads / high
    on = owner[None, :] == stud[:, None]
    below = np.minimum(z[None], heads[:, None, None]) * (1.0 - arm)[:, None, None]
    beyond = np.maximum(z[None] - heads[:, None, None], 0.0) * arm[:, None, None]
    under = (z1[None] <= heads[:, None] + 1e-9)[..., None]
    pair = np.array([-1.0, 1.0])
    ends = np.where(under, (1.0 - arm)[:, None, None] * pair, -arm[:, None, None] * pair)
    return -(below - beyond) * on[..., None], ends * on[..., None], arm


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
