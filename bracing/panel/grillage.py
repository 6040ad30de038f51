"""Stiffness, zero-energy motions and compliance of the grillage, and the forces inside it.

The unbraced panel is singular: it can turn about its plate, twist, and fold at a kink. Those motions are found from
geometry alone (every line stays straight), each is held by a stabiliser so the stiffness can be factored once, and
the stabilisers drop out again in the reduced system, where equilibrium along each motion is an equation of its own.
"""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.panel.loads import LoadSet
from bracing.panel.mesh import Mesh

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

# Squared singular values of the straightness conditions under this count as zero; the least that is not a motion is
# about (4.73/n)^4/4 for a plate of n studs, 6e-7 at n = 120.
RANK_TOLERANCE = 1e-12
INSIDE = np.linspace(0.0, 1.0, 9)  # where bending is read along each element


@frozen(eq=False)
class Responses:
    """Forces inside the grillage, as a part from the loads and a part per unit brace force.

    Attributes:
        stud_moment: bending at INSIDE of each stud element, (cases or heads, stud elements, points) [lb in].
        stud_allowance: what bending between readings may add, (.., stud elements) [lb in].
        stud_shear: shear at both ends of each stud element, (.., stud elements, 2) [lb].
        base: what the bottom plate must give each vertical, (.., verticals) [lb].
        top: what the top plate gives each stud, (.., studs) [lb].
        plate_moment: bending of the top plate at both ends of each plate element, (.., elements, 2) [lb in].
        span_end: end shear of each header and sill, (.., spans, 2) [lb].
        left_return: sum of what the return at LEFT gives, and its moment about the plate, (.., 2) [lb, lb in].
        right_return: the same at the right.
    """

    stud_moment: Array = field(repr=False)
    stud_allowance: Array = field(repr=False)
    stud_shear: Array = field(repr=False)
    base: Array = field(repr=False)
    top: Array = field(repr=False)
    plate_moment: Array = field(repr=False)
    span_end: Array = field(repr=False)
    left_return: Array = field(repr=False)
    right_return: Array = field(repr=False)


@frozen(eq=False)
class Compliance:
    """All the reduced system needs of one grillage.

    Attributes:
        flexibility: deflection at head i under unit force at head j, motions held, (h, h) [in/lb].
        motions: each zero-energy motion at each head, (h, m).
        under_load: deflection at each head under each load case, (cases, h) [in].
        work: work of each load case along each motion, (cases, m) [lb].
        from_loads: responses to the load cases.
        from_heads: responses to a unit force of each head *on the wall*, in the direction of push.
        deflection: all node deflections: (cases, n) under loads, (h, n) per unit force, (m, n) of each motion.
    """

    flexibility: Array = field(repr=False)
    motions: Array = field(repr=False)
    under_load: Array = field(repr=False)
    work: Array = field(repr=False)
    from_loads: Responses = field(repr=False)
    from_heads: Responses = field(repr=False)
    deflection: tuple[Array, Array, Array] = field(repr=False)


def element_stiffness(length: Array, rigidity: Array) -> Array:
    """Stiffness of an Euler-Bernoulli element, dofs w_i, r_i, w_j, r_j.

    Args:
        length: element lengths, shape (e,) [in].
        rigidity: EI, shape (e,) [lb in2].

    Returns:
        Stiffness, shape (e, 4, 4) [lb/in, lb, lb in].

    Source: statics, beam theory.

    Example:
        >>> float(element_stiffness(np.array([10.0]), np.array([1000.0]))[0, 0, 0])
        12.0
    """
    L = length
    one = np.ones_like(L)
    shape = np.array(
        [
            [12 * one, 6 * L, -12 * one, 6 * L],
            [6 * L, 4 * L**2, -6 * L, 2 * L**2],
            [-12 * one, -6 * L, 12 * one, -6 * L],
            [6 * L, 2 * L**2, -6 * L, 4 * L**2],
        ]
    )
    stiffness: Array = np.moveaxis(shape, 2, 0) * (rigidity / L**3)[:, None, None]
    return stiffness


def equivalent_loads(length: Array, load: Array) -> Array:
    """Joint forces that stand for a straight-line load on an element.

    Args:
        length: element lengths, shape (e,) [in].
        load: load at both ends, shape (.., e, 2) [lb/in].

    Returns:
        Joint forces for w_i, r_i, w_j, r_j, shape (.., e, 4) [lb, lb in].

    Source: statics, fixed-end forces of a trapezoidal load.

    Example:
        >>> equivalent_loads(np.array([12.0]), np.array([[1.0, 1.0]])).tolist()
        [[6.0, 12.0, 6.0, -12.0]]
    """
    a, b = load[..., 0], load[..., 1]
    L = length
    return np.stack(
        [
            (7 * a + 3 * b) * L / 20,
            (3 * a + 2 * b) * L**2 / 60,
            (3 * a + 7 * b) * L / 20,
            -(2 * a + 3 * b) * L**2 / 60,
        ],
        axis=-1,
    )


def zero_energy_motions(mesh: Mesh) -> Array:
    """Find every way the unbraced panel can move without bending anything.

    Args:
        mesh: the grillage.

    Returns:
        Node deflections of each motion, orthonormal, shape (n, m).
    """
    rows = []
    for line in mesh.lines:
        x, z = mesh.x[list(line.nodes)], mesh.z[list(line.nodes)]
        along = np.hypot(x - x[0], z - z[0])
        for k in range(1, len(line.nodes) - 1):
            part = (along[k] - along[k - 1]) / (along[k + 1] - along[k - 1])
            row = np.zeros(len(mesh.x))
            row[line.nodes[k]] = 1.0
            row[line.nodes[k - 1]] -= 1.0 - part
            row[line.nodes[k + 1]] -= part
            rows.append(row)
    free = ~mesh.held
    straight = np.array(rows).reshape(-1, len(mesh.x))[:, free]
    values, vectors = np.linalg.eigh(straight.T @ straight)
    count = int(np.sum(values < RANK_TOLERANCE))
    motions = np.zeros((len(mesh.x), count))
    motions[free] = vectors[:, :count]
    return motions


def with_rotations(mesh: Mesh, motions: Array) -> Array:
    """Give each motion's rotations too: a line that stays straight turns as one.

    Args:
        mesh: the grillage.
        motions: node deflections, shape (n, m).

    Returns:
        All degrees of freedom of each motion, shape (dofs, m).
    """
    whole = np.zeros((mesh.dofs, motions.shape[1]))
    whole[: len(motions)] = motions
    start, end = mesh.element_nodes.T
    turn = (motions[end] - motions[start]) / mesh.element_length[:, None]
    whole[mesh.element_dofs[:, 1]] = turn
    whole[mesh.element_dofs[:, 3]] = turn
    return whole


def analyse(mesh: Mesh, loads: LoadSet) -> Compliance:
    """Factor the grillage once and read off all the reduced system needs.

    Args:
        mesh: the grillage, with a node at every possible head.
        loads: the load cases.

    Returns:
        The compliance and responses.
    """
    from scipy.linalg import cho_factor, cho_solve

    count, cases = len(mesh.x), len(loads.node_load)
    stiffness = np.zeros((mesh.dofs, mesh.dofs))
    dofs = mesh.element_dofs
    blocks = element_stiffness(mesh.element_length, mesh.element_rigidity)
    np.add.at(stiffness, (dofs[:, :, None], dofs[:, None, :]), blocks)
    motions = zero_energy_motions(mesh)
    hold = float(np.median(np.diag(stiffness)[:count][~mesh.held]))
    stiffness[:count, :count] += hold * (motions @ motions.T)
    right = np.zeros((mesh.dofs, cases + len(mesh.heads)))
    joint = equivalent_loads(mesh.element_length, loads.element_load)
    for case in range(cases):
        right[:count, case] = loads.node_load[case]
        np.add.at(right[:, case], dofs, joint[case])
    right[list(mesh.heads), cases + np.arange(len(mesh.heads))] = 1.0
    free = np.concatenate([~mesh.held, np.ones(mesh.dofs - count, dtype=bool)])
    factor = cho_factor(stiffness[np.ix_(free, free)], check_finite=False)
    moved = np.zeros_like(right)
    moved[free] = cho_solve(factor, right[free], check_finite=False)
    heads = list(mesh.heads)
    return Compliance(
        flexibility=moved[heads, cases:],
        motions=motions[heads],
        under_load=moved[heads, :cases].T.copy(),
        work=right[:, :cases].T @ with_rotations(mesh, motions),
        from_loads=_responses(mesh, blocks, moved[:, :cases].T, loads),
        from_heads=_responses(mesh, blocks, moved[:, cases:].T, None),
        deflection=(moved[:count, :cases].T, moved[:count, cases:].T, motions.T),
    )


def _responses(mesh: Mesh, blocks: Array, moved: Array, loads: LoadSet | None) -> Responses:
    """Read the forces inside the grillage off its movements, shape (columns, dofs)."""
    element = np.einsum("eij,cej->cei", blocks, moved[:, mesh.element_dofs])
    cases = len(moved)
    load = np.zeros((cases, len(blocks), 2)) if loads is None else loads.element_load
    on_nodes = np.zeros((cases, len(mesh.x))) if loads is None else loads.node_load
    element = element - equivalent_loads(mesh.element_length, load)
    kinds = np.array([mesh.lines[k].kind for k in mesh.element_line])
    studs, plates = np.flatnonzero(kinds == "stud"), np.flatnonzero(kinds == "plate")
    gives = np.zeros((cases, len(mesh.x)))  # what the grillage's members ask of each node
    for k, column in ((0, 0), (1, 2)):
        np.add.at(gives, (slice(None), mesh.element_nodes[:, k]), element[:, :, column])
    needed = gives - on_nodes
    ends = [(int(np.flatnonzero(mesh.element_line == k)[0]), int(np.flatnonzero(mesh.element_line == k)[-1]))
            for k, line in enumerate(mesh.lines) if line.kind in ("header", "sill")]  # fmt: skip
    last = [int(np.flatnonzero(mesh.element_line == k)[-1]) for k in mesh.studs]
    return Responses(
        stud_moment=inside_moment(mesh.element_length[studs], element[:, studs], load[:, studs]),
        stud_allowance=reading_allowance(mesh.element_length[studs], load[:, studs]),
        stud_shear=element[:, studs][:, :, [0, 2]],
        base=needed[:, base_nodes(mesh)],
        top=element[:, last, 2],
        plate_moment=element[:, plates][:, :, [1, 3]],
        span_end=np.stack(
            [element[:, [a for a, _ in ends], 0], element[:, [b for _, b in ends], 2]], axis=-1
        ),
        left_return=_held_by(mesh, needed, mesh.left_held),
        right_return=_held_by(mesh, needed, mesh.right_held),
    )


def base_nodes(mesh: Mesh) -> Ints:
    """Nodes on the bottom plate, from LEFT."""
    nodes = np.flatnonzero(mesh.pinned)
    return nodes[np.argsort(mesh.x[nodes])]


def _held_by(mesh: Mesh, needed: Array, nodes: NDArray[np.bool_]) -> Array:
    return np.stack([needed[:, nodes].sum(axis=1), (needed[:, nodes] * mesh.z[nodes]).sum(axis=1)], axis=-1)


def inside_moment(length: Array, ends: Array, load: Array) -> Array:
    """Bending EI w'' along elements from their end forces, read at INSIDE.

    Args:
        length: element lengths, shape (e,) [in].
        ends: end forces for w_i, r_i, w_j, r_j, shape (.., e, 4) [lb, lb in].
        load: load at both ends, shape (.., e, 2) [lb/in].

    Returns:
        Bending, shape (.., e, points) [lb in].

    Example:
        >>> span = inside_moment(np.array([96.0]), np.array([[[-48.0, 0.0, -48.0, 0.0]]]), np.ones((1, 1, 2)))
        >>> float(-span.min())
        1152.0
    """
    s = length[:, None] * INSIDE
    a, b = load[..., 0][..., None], load[..., 1][..., None]
    shear, turn = ends[..., 0][..., None], ends[..., 1][..., None]
    slope = (b - a) / length[:, None]
    return -turn + shear * s + a * s**2 / 2.0 + slope * s**3 / 6.0


def reading_allowance(length: Array, load: Array) -> Array:
    """How much the bending between two readings can exceed both.

    w d^2 / 8 with d the distance between readings and w the greatest load there.

    Args:
        length: element lengths, shape (e,) [in].
        load: load at both ends, shape (.., e, 2) [lb/in].

    Returns:
        Allowance, shape (.., e) [lb in].

    Source: statics; a parabola over its chord.

    Example:
        >>> float(reading_allowance(np.array([80.0]), np.ones((1, 1, 2)))[0, 0])
        12.5
    """
    between = length * (INSIDE[1] - INSIDE[0])
    return np.abs(load).max(axis=-1) * between**2 / 8.0
