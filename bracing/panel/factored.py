"""The grillage's stiffness, factored with its loose motions held.

A line's rotations are its own, so along all lines they form one tridiagonal system; taken out first, they
leave a system in the free translations alone.
"""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.errors import ModelError
from bracing.panel.mesh import Mesh

Array = NDArray[np.float64]
Ints = NDArray[np.intp]


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
        blocks: stiffness of each element, shape (e, 4, 4).
        free: nodes that may move, shape (f,).
        turn: stiffness of rotations against free translations, shape (r, f).
        bands: stiffness of the rotations, factored: its diagonal and the band beside it.
        per_shift: rotations that go with free translations, sign turned, shape (r, f).
        factor: Cholesky factor of what is left, shape (f, f).
    """

    blocks: Array = field(repr=False)
    free: Ints = field(repr=False)
    turn: Array = field(repr=False)
    bands: tuple[Array, Array] = field(repr=False)
    per_shift: Array = field(repr=False)
    factor: Array = field(repr=False)

    @classmethod
    def of(cls, mesh: Mesh, loose: Array) -> Factored:
        """Factor a grillage.

        Args:
            mesh: the grillage.
            loose: motions to hold, orthonormal, shape (n, m) [-].

        Raises:
            ModelError: some part of the grillage is not held by the rest.
        """
        from scipy.linalg.lapack import dpotrf, dpttrf, dpttrs

        free = np.flatnonzero(~mesh.pinned)
        blocks = element_stiffness(mesh.element_length, mesh.element_rigidity)
        shift, turn, diagonal, beside = _split_stiffness(mesh, blocks, free)
        *bands, turning = dpttrf(diagonal, beside[:-1])
        per_shift = dpttrs(*bands, turn)[0]
        hold = np.sort(np.diag(shift))[len(free) // 2]
        held = hold * (loose[free] @ loose[free].T)
        factor, shifting = dpotrf(shift - turn.T @ per_shift + held)
        if turning or shifting:
            message = "a part of the panel is held by nothing, or by next to nothing"
            raise ModelError(message)
        return cls(blocks, free, turn, (bands[0], bands[1]), per_shift, factor)

    def solve(self, right: Array) -> Array:
        """Movements under columns of joint forces, every loose motion held.

        Args:
            right: joint forces, shape (dofs, columns) [lb, lb in].

        Returns:
            Movements, shape (dofs, columns) [in, rad].
        """
        from scipy.linalg.lapack import dpotrs, dpttrs

        count = len(right) - len(self.turn)
        per_moment = dpttrs(*self.bands, right[count:])[0]
        moved = np.zeros_like(right)
        force = right[self.free] - self.turn.T @ per_moment
        moved[self.free] = dpotrs(self.factor, force)[0]
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
