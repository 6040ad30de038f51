"""The grillage's stiffness, factored with its loose motions held.

A line's rotations are its own, so along all lines they form one tridiagonal system; taken out first, they
leave a system in the free translations alone.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import cache
from importlib.machinery import PathFinder
from importlib.util import module_from_spec
from typing import Any

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.errors import ModelError
from bracing.panel.loads import LoadSet
from bracing.panel.mesh import Mesh

Array = NDArray[np.float64]
Ints = NDArray[np.intp]


@cache
def _lapack() -> Any:  # noqa: ANN401  (a module)
    """Give the routines that factor, as scipy ships them, without loading the rest of its linear algebra.

    That rest takes a quarter of the time of a check of one wall. Where scipy keeps them elsewhere its public name is
    asked; the routines are the same ones.
    """
    import scipy

    name = "scipy.linalg._flapack"
    spec = PathFinder.find_spec(name, [f"{folder}/linalg" for folder in scipy.__path__])
    if name not in sys.modules and spec is not None and spec.loader is not None:
        sys.modules[name] = module = module_from_spec(spec)
        try:
            spec.loader.exec_module(module)
        except ImportError:
            del sys.modules[name]
    if name not in sys.modules:
        from scipy.linalg import lapack

        return lapack
    return sys.modules[name]


def element_stiffness(length: Array, rigidity: Array) -> Array:
    """Stiffness of an Euler-Bernoulli element, dofs w_i, r_i, w_j, r_j.

    Args:
        length: element lengths, shape (e,) [in].
        rigidity: EI, shape (e,) [lb in2].

    Returns:
        Stiffness, shape (e, 4, 4) [lb/in, lb, lb in].

    Source: STATICS, beam theory.

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


@frozen(eq=False)
class Factored:
    """Stiffness of a grillage, factored.

    Attributes:
        free: nodes that may move, shape (f,).
        turn: stiffness of rotations against free translations, shape (r, f).
        bands: stiffness of the rotations, factored: its diagonal and the band beside it.
        per_shift: rotations that go with free translations, sign turned, shape (r, f).
        factor: Cholesky factor of what is left, shape (f, f).
        hold: stiffness that holds each loose motion [lb/in].
    """

    free: Ints = field(repr=False)
    turn: Array = field(repr=False)
    bands: tuple[Array, Array] = field(repr=False)
    per_shift: Array = field(repr=False)
    factor: Array = field(repr=False)
    hold: float

    @classmethod
    def of(cls, mesh: Mesh, loose: Array) -> Factored:
        """Factor a grillage.

        Args:
            mesh: the grillage.
            loose: motions to hold, orthonormal, shape (n, m) [-].

        Raises:
            ModelError: some part of the grillage is not held by the rest.
        """
        lapack = _lapack()
        free = np.flatnonzero(~mesh.pinned)
        blocks = element_stiffness(mesh.element_length, mesh.element_rigidity)
        shift, turn, diagonal, beside = _split_stiffness(mesh, blocks, free)
        *bands, turning = lapack.dpttrf(diagonal, beside[:-1])
        per_shift = lapack.dpttrs(*bands, turn)[0]
        if mesh.held:
            at = np.searchsorted(free, mesh.held)
            shift[np.ix_(at, at)] += mesh.holding
        hold = np.sort(np.diag(shift))[len(free) // 2]
        held = hold * (loose[free] @ loose[free].T)
        factor, shifting = lapack.dpotrf(shift - turn.T @ per_shift + held)
        if turning or shifting:
            message = "a part of the panel is held by nothing, or by next to nothing"
            raise ModelError(message)
        return cls(free, turn, (bands[0], bands[1]), per_shift, factor, float(hold))

    def solve(self, right: Array) -> Array:
        """Movements under columns of joint forces, every loose motion held.

        Args:
            right: joint forces, shape (dofs, columns) [lb, lb in].

        Returns:
            Movements, shape (dofs, columns) [in, rad].
        """
        lapack = _lapack()
        count = len(right) - len(self.turn)
        per_moment = lapack.dpttrs(*self.bands, right[count:])[0]
        moved = np.zeros_like(right)
        force = right[self.free] - self.turn.T @ per_moment
        moved[self.free] = lapack.dpotrs(self.factor, force)[0]
        moved[count:] = per_moment - self.per_shift @ moved[self.free]
        return moved

    def with_rotations(self, shifts: Array) -> Array:
        """Give node deflections the rotations that go with them where no moment acts.

        Args:
            shifts: node deflections, shape (n, columns) [in].

        Returns:
            All degrees of freedom, shape (dofs, columns) [in, rad].
        """
        whole: Array = np.concatenate([shifts, -self.per_shift @ shifts[self.free]])
        return whole


def _split_stiffness(mesh: Mesh, blocks: Array, free: Ints) -> tuple[Array, Array, Array, Array]:
    """Stiffness of free translations (f, f), rotations against them (r, f), of rotations: diagonal and band."""
    count, f = len(mesh.x), len(free)
    number = np.full(count, f)  # held nodes share a last column, which is dropped
    number[free] = np.arange(f)
    at, turn = number[mesh.element_nodes], mesh.element_dofs[:, [1, 3]] - count
    turns, wide = mesh.dofs - count, f + 1
    shift = np.zeros(wide * wide)
    shift += np.bincount(
        (at[:, :, None] * wide + at[:, None, :]).ravel(), blocks[:, ::2, ::2].ravel(), wide * wide
    )
    mixed = np.zeros(turns * wide)
    mixed += np.bincount(
        (turn[:, :, None] * wide + at[:, None, :]).ravel(), blocks[:, 1::2, ::2].ravel(), turns * wide
    )
    diagonal, beside = np.zeros(turns), np.zeros(turns)
    diagonal += np.bincount(turn.ravel(), blocks[:, [1, 3], [1, 3]].ravel(), turns)
    beside[turn[:, 0]] = blocks[:, 1, 3]
    return shift.reshape(wide, wide)[:f, :f], mixed.reshape(turns, wide)[:, :f], diagonal, beside


# Squared singular values of the straightness conditions under this count as zero; the least that is not a
# motion is about (4.73/n)^4/4 for a plate of n studs, 6e-7 at n = 120.
RANK_TOLERANCE = 1e-12
HELD_FAST = 1e3  # so much a return's hold counts beside straightness: a soft motion moves none
SOFT = 1e-5  # under this a motion bends so little that it is solved for apart
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
        row_moment: bending of rows at both ends of each row element, (.., elements, 2) [lb in].
        span_end: end shear of each header and sill, (.., spans, 2) [lb].
        span_moment: bending of headers and sills at both ends of each of their elements, (.., elements, 2) [lb in].
        returns: what return walls must give at each node they hold, (.., held) [lb].
    """

    stud_moment: Array = field(repr=False)
    stud_allowance: Array = field(repr=False)
    stud_shear: Array = field(repr=False)
    base: Array = field(repr=False)
    top: Array = field(repr=False)
    plate_moment: Array = field(repr=False)
    row_moment: Array = field(repr=False)
    span_end: Array = field(repr=False)
    span_moment: Array = field(repr=False)
    returns: Array = field(repr=False)

    def part(self, rows: slice) -> Responses:
        """Give some of the rows.

        Args:
            rows: which.
        """
        return Responses(**{a.name: getattr(self, a.name)[rows] for a in self.__attrs_attrs__})


@frozen(eq=False)
class Reduced:
    """What brace forces are solved for from: of one grillage, or of several joined.

    Attributes:
        flexibility: deflection at head i under unit force at head j, motions held, (h, h) [in/lb].
        motions: each zero-energy motion at each head, (h, m).
        under_load: deflection at each head under each load case, (cases, h) [in].
        work: work of each load case along each motion, (cases, m) [lb].
    """

    flexibility: Array = field(repr=False)
    motions: Array = field(repr=False)
    under_load: Array = field(repr=False)
    work: Array = field(repr=False)


@frozen(eq=False)
class Compliance(Reduced):
    """All the reduced system needs of one grillage, and what is read off it.

    Attributes:
        from_loads: responses to the load cases.
        from_heads: responses to a unit force of each head *on the wall*, in the direction of push.
        deflection: all node deflections: (cases, n) under loads, (h, n) per unit force, (m, n) of each
        motion.
    """

    from_loads: Responses = field(repr=False)
    from_heads: Responses = field(repr=False)
    deflection: tuple[Array, Array, Array] = field(repr=False)

    def under(self, cases: Sequence[int]) -> Compliance:
        """Give it for some of its load cases.

        Args:
            cases: which, in order.
        """
        some, (moved, per_head, motions) = list(cases), self.deflection
        loads = Responses(
            **{a.name: getattr(self.from_loads, a.name)[some] for a in Responses.__attrs_attrs__}
        )
        return evolve(
            self, under_load=self.under_load[some], work=self.work[some], from_loads=loads,
            deflection=(moved[some], per_head, motions),
        )  # fmt: skip

    def moved(self, force: Array, motion: Array) -> Array:
        """Deflection of every node, once the braces are solved for.

        Args:
            force: brace forces, shape (.., h, cases) [lb].
            motion: amount of each motion, shape (.., m, cases) [-].

        Returns:
            Deflections, shape (.., cases, n) [in].
        """
        under, per_force, motions = self.deflection
        result: Array = under - np.swapaxes(force, -1, -2) @ per_force + np.swapaxes(motion, -1, -2) @ motions
        return result


def equivalent_loads(length: Array, load: Array) -> Array:
    """Joint forces that stand for a straight-line load on an element.

    Args:
        length: element lengths, shape (e,) [in].
        load: load at both ends, shape (.., e, 2) [lb/in].

    Returns:
        Joint forces for w_i, r_i, w_j, r_j, shape (.., e, 4) [lb, lb in].

    Source: STATICS, fixed-end forces of a trapezoidal load.

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


def loose_motions(mesh: Mesh) -> tuple[Array, Array]:
    """Find every way the unbraced panel can move that bends nothing, and those that bend next to nothing.

    A full-height stud turns about its foot, so its top speaks for all its nodes; every other line must stay
    straight, and how far it does not is the measure.

    Args:
        mesh: the grillage.

    Returns:
        Node deflections of each motion, orthonormal, shapes (n, m) and (n, k) [-].

    Source: STATICS straight lines between the ends of each line.
    """
    spread = _turning_studs(mesh)
    same = mesh.element_line[1:] == mesh.element_line[:-1]
    inner = np.flatnonzero(same & ~mesh.on_stud[1:])
    before, at = mesh.element_nodes[inner].T
    after = mesh.element_nodes[inner + 1, 1]
    part = mesh.element_length[inner] / (mesh.element_length[inner] + mesh.element_length[inner + 1])
    bent = spread[at] - (1.0 - part)[:, None] * spread[before] - part[:, None] * spread[after]
    # What moves a stud a return wall holds is no loose motion: it works the return.
    bent = np.concatenate([bent, HELD_FAST * spread[list(mesh.held)]])
    _, singular, rows = np.linalg.svd(bent)
    values = np.zeros(len(rows))
    values[: len(singular)] = singular**2
    count = int(np.sum(values < RANK_TOLERANCE))
    modes, _ = np.linalg.qr(spread @ rows[values < SOFT][::-1].T)
    return modes[:, :count], modes[:, count:]


def _turning_studs(mesh: Mesh) -> Array:
    """Node deflections per unit of each free one: of stud tops, and of nodes on no full-height stud."""
    speaks = np.arange(len(mesh.x))
    studs, last = mesh.on_stud, mesh.element_nodes[mesh.line_start[1:] - 1, 1]
    speaks[mesh.element_nodes[studs]] = last[mesh.element_line[studs], None]
    part = np.divide(mesh.z, mesh.z[speaks], out=np.ones(len(mesh.x)), where=mesh.z[speaks] > 0.0)
    held = mesh.pinned
    free = np.flatnonzero(~held & ~held[speaks])
    spread = np.zeros((len(mesh.x), len(mesh.x)))
    spread[free, speaks[free]] = part[free]
    return spread[:, spread.any(axis=0)]


def with_rotations(mesh: Mesh, motions: Array) -> Array:
    """Give each motion's rotations too: a line that stays straight turns as one.

    Args:
        mesh: the grillage.
        motions: node deflections, shape (n, m) [-].

    Returns:
        All degrees of freedom of each motion, shape (dofs, m) [-].

    Source: STATICS, a rigid line.
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
    count, cases, heads = len(mesh.x), len(loads.node_load), list(mesh.heads)
    joint = equivalent_loads(mesh.element_length, loads.element_load)
    right = np.zeros((mesh.dofs, cases + len(heads)))
    right[:, :cases] = _gathered(joint.reshape(cases, -1), mesh.element_dofs.ravel(), mesh.dofs).T
    right[:count, :cases] += loads.node_load.T
    right[heads, cases + np.arange(len(heads))] = 1.0
    if mesh.arms:
        np.add.at(right, (mesh.head_turns, cases + np.arange(len(heads))), mesh.head_arms)
    motions, soft = loose_motions(mesh)
    turned = with_rotations(mesh, motions)
    work = right.T @ turned
    right[:count] -= motions @ work.T  # what moves the panel is the braces' to take; what bends it is left
    moved, element = _moved(mesh, soft, Factored.of(mesh, np.hstack([motions, soft])), right)
    element[:cases] -= joint
    inside = _responses(mesh, element, loads, moved)
    at_heads = _at_heads(mesh, moved)
    return Compliance(
        flexibility=at_heads[:, cases:],
        motions=_at_heads(mesh, turned),
        under_load=at_heads[:, :cases].T.copy(),
        work=work[:cases],
        from_loads=inside.part(slice(None, cases)),
        from_heads=inside.part(slice(cases, None)),
        deflection=(moved[:count, :cases].T, moved[:count, cases:].T, motions.T),
    )


def _at_heads(mesh: Mesh, moved: Array) -> Array:
    """How far each brace is pushed together, level: how its stud goes, and turns where it bears off the middle."""
    at: Array = moved[list(mesh.heads)]
    return at + mesh.head_arms[:, None] * moved[mesh.head_turns] if mesh.arms else at


def _moved(mesh: Mesh, soft: Array, factored: Factored, right: Array) -> tuple[Array, Array]:
    """Movements (dofs, columns) and element end forces (columns, e, 4) under each column of joint forces.

    A motion that bends next to nothing would move so far that element forces drown in rounding. It is held
    like the others; how it moves is found from its own forces, in which a stud, staying straight, has no
    part.
    """
    moved, element = _refined(mesh, soft, factored, right)
    if soft.shape[1] == 0:
        return moved, element
    shape = factored.with_rotations(soft)
    own = _end_forces(mesh, shape)
    own[:, mesh.on_stud] = 0.0
    force = _gathered(own.reshape(len(own), -1), mesh.element_dofs.ravel(), mesh.dofs).T
    force[list(mesh.held)] += mesh.holding @ shape[list(mesh.held)]
    eased, released = _refined(mesh, soft, factored, force)
    shape -= eased
    own -= released
    stiffness = shape.T @ force
    amount = np.linalg.solve((stiffness + stiffness.T) / 2.0, shape.T @ right)
    return moved + shape @ amount, element + np.einsum("kc,kei->cei", amount, own)


def _refined(mesh: Mesh, soft: Array, factored: Factored, right: Array) -> tuple[Array, Array]:
    """Movements and element end forces under joint forces that move nothing loose, soft motions held; refined once.

    A short, stiff piece beside long, soft ones takes its forces from movements nearly alike, and they drown in
    rounding. What they leave unbalanced is put on as joint forces again, and what that moves and bends is added.
    """
    count = len(mesh.x)
    moved = factored.solve(right)
    element = _end_forces(mesh, moved)
    left = right - _gathered(element.reshape(len(element), -1), mesh.element_dofs.ravel(), mesh.dofs).T
    left[:count] -= factored.hold * (soft @ (soft.T @ moved[:count]))
    left[list(mesh.held)] -= mesh.holding @ moved[list(mesh.held)]
    more = factored.solve(left)
    return moved + more, element + _end_forces(mesh, more)


def _end_forces(mesh: Mesh, moved: Array) -> Array:
    """End forces (columns, e, 4) of moved elements, each in balance: from how far each end turns off the chord.

    Source: STATICS, slope deflection.
    """
    ends, length = moved[mesh.element_dofs], mesh.element_length[:, None]
    chord = (ends[:, 2] - ends[:, 0]) / length
    at, on = ends[:, 1] - chord, ends[:, 3] - chord
    stiff = 2.0 * mesh.element_rigidity[:, None] / length
    near, far = stiff * (2.0 * at + on), stiff * (at + 2.0 * on)
    across = (near + far) / length
    forces: Array = np.moveaxis(np.stack([across, near, -across, far], axis=1), 2, 0)
    return forces


def _gathered(values: Array, places: Ints, size: int) -> Array:
    """Sum values that share a place, along the last axis: shape (.., k) at k places gives (.., size)."""
    order = np.argsort(places, kind="stable")
    first = np.flatnonzero(np.diff(places[order], prepend=-1))
    total = np.zeros((*values.shape[:-1], size))
    total[..., places[order][first]] = np.add.reduceat(values[..., order], first, axis=-1)
    return total


def _responses(mesh: Mesh, element: Array, loads: LoadSet, moved: Array) -> Responses:
    """Read the forces inside off the end forces (columns, e, 4) and movements; the first columns are loaded."""
    cases, columns = len(loads.node_load), len(element)
    load = np.zeros((columns, len(mesh.element_length), 2))
    load[:cases] = loads.element_load
    ends = element[:, :, [0, 2]]
    # What the grillage's members ask of each node beyond what the loads give it.
    needed = _gathered(ends.reshape(columns, -1), mesh.element_nodes.ravel(), len(mesh.x))
    needed[:cases] -= loads.node_load
    kinds = np.array([line.kind for line in mesh.lines])
    of_kind = kinds[mesh.element_line]
    studs = np.flatnonzero(mesh.on_stud)
    spans = np.flatnonzero((kinds == "header") | (kinds == "sill"))
    last = mesh.line_start[1:] - 1
    return Responses(
        stud_moment=inside_moment(mesh.element_length[studs], element[:, studs], load[:, studs]),
        stud_allowance=reading_allowance(mesh.element_length[studs], load[:, studs]),
        stud_shear=ends[:, studs],
        base=needed[:, base_nodes(mesh)],
        top=element[:, last[list(mesh.studs)], 2],
        plate_moment=element[:, of_kind == "plate"][:, :, [1, 3]],
        row_moment=element[:, of_kind == "row"][:, :, [1, 3]],
        span_end=np.stack([element[:, mesh.line_start[spans], 0], element[:, last[spans], 2]], axis=-1),
        span_moment=element[:, (of_kind == "header") | (of_kind == "sill")][:, :, [1, 3]],
        returns=-(mesh.holding @ moved[list(mesh.held)]).T,
    )


def base_nodes(mesh: Mesh) -> Ints:
    """Nodes on the bottom plate, from LEFT."""
    nodes = np.flatnonzero(mesh.pinned)
    return nodes[np.argsort(mesh.x[nodes])]


def inside_moment(length: Array, ends: Array, load: Array) -> Array:
    """Bending EI w'' along elements from their end forces, read at INSIDE.

    Args:
        length: element lengths, shape (e,) [in].
        ends: end forces for w_i, r_i, w_j, r_j, shape (.., e, 4) [lb, lb in].
        load: load at both ends, shape (.., e, 2) [lb/in].

    Returns:
        Bending, shape (.., e, points) [lb in].

    Source: STATICS, equilibrium of the part to one side.

    Example:
        >>> span = inside_moment(np.array([96.0]), np.array([[[-48.0, 0.0, -48.0, 0.0]]]), np.ones((1, 1, 2)))
        >>> float(-span.min())
        1152.0
    """
    s = length[:, None] * INSIDE
    a, b = load[..., 0][..., None], load[..., 1][..., None]
    shear, turn = ends[..., 0][..., None], ends[..., 1][..., None]
    slope = (b - a) / length[:, None]
    moment: Array = ((slope / 6.0 * s + a / 2.0) * s + shear) * s - turn
    return moment


def reading_allowance(length: Array, load: Array) -> Array:
    """How much the bending between two readings can exceed both.

    w d^2 / 8 with d the distance between readings and w the greatest load there.

    Args:
        length: element lengths, shape (e,) [in].
        load: load at both ends, shape (.., e, 2) [lb/in].

    Returns:
        Allowance, shape (.., e) [lb in].

    Source: STATICS, a parabola over its chord.

    Example:
        >>> float(reading_allowance(np.array([80.0]), np.ones((1, 1, 2)))[0, 0])
        12.5
    """
    between = length * (INSIDE[1] - INSIDE[0])
    allowance: Array = np.abs(load).max(axis=-1) * between**2 / 8.0
    return allowance
