"""The grillage's stiffness, factored with its loose motions held.

A line's rotations are its own, so along all lines they form one tridiagonal system; taken out first, they
leave a system in the free translations alone.
"""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

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


@frozen(eq=False)
class Factored:
    """Stiffness of a grillage, factored.

    Attributes:
        blocks: stiffness of each element, shape (e, 4, 4).
        free: nodes that may move, shape (f,).
        turn: stiffness of rotations against free translations, shape (r, f).
        bands: stiffness of the rotations, diagonal and the band beside it, shape (2, r).
        per_shift: rotations that go with free translations, sign turned, shape (r, f).
        factor: Cholesky factor of what is left, shape (f, f).
    """

    blocks: Array = field(repr=False)
    free: Ints = field(repr=False)
    turn: Array = field(repr=False)
    bands: Array = field(repr=False)
    per_shift: Array = field(repr=False)
    factor: tuple[Array, bool] = field(repr=False)

    @classmethod
    def of(cls, mesh: Mesh, loose: Array) -> Factored:
        """Factor a grillage.

        Args:
            mesh: the grillage.
            loose: motions to hold, orthonormal, shape (n, m).
        """
        from scipy.linalg import cho_factor, solveh_banded

        free = np.flatnonzero(~mesh.held)
        blocks = element_stiffness(mesh.element_length, mesh.element_rigidity)
        shift, turn, bands = _split_stiffness(mesh, blocks, free)
        per_shift = solveh_banded(bands, turn, lower=True, check_finite=False)
        hold = float(np.median(np.diag(shift)))
        held = hold * (loose[free] @ loose[free].T)
        factor = cho_factor(shift - turn.T @ per_shift + held, check_finite=False)
        return cls(blocks, free, turn, bands, per_shift, factor)

    def solve(self, right: Array) -> Array:
        """Movements under columns of joint forces, every loose motion held.

        Args:
            right: joint forces, shape (dofs, columns) [lb, lb in].

        Returns:
            Movements, shape (dofs, columns) [in, rad].
        """
        from scipy.linalg import cho_solve, solveh_banded

        count = len(right) - len(self.turn)
        per_moment = solveh_banded(self.bands, right[count:], lower=True, check_finite=False)
        moved = np.zeros_like(right)
        force = right[self.free] - self.turn.T @ per_moment
        moved[self.free] = cho_solve(self.factor, force, check_finite=False)
        moved[count:] = per_moment - self.per_shift @ moved[self.free]
        return moved

    def with_rotations(self, shifts: Array) -> Array:
        """Give node deflections the rotations that go with them where no moment acts.

        Args:
            shifts: node deflections, shape (n, columns) [in].

        Returns:
            All degrees of freedom, shape (dofs, columns).
        """
        whole: Array = np.concatenate([shifts, -self.per_shift @ shifts[self.free]])
        return whole


def _split_stiffness(mesh: Mesh, blocks: Array, free: Ints) -> tuple[Array, Array, Array]:
    """Stiffness of free translations (f, f), rotations against them (r, f), rotations as two bands."""
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
    bands = np.zeros((2, turns))
    bands[0] = np.bincount(turn.ravel(), blocks[:, [1, 3], [1, 3]].ravel(), turns)
    bands[1, turn[:, 0]] = blocks[:, 1, 3]
    return shift.reshape(wide, wide)[:f, :f], mixed.reshape(turns, wide)[:, :f], bands
