"""Brace forces: braces + motions unknowns, for any number of layouts and load cases at once.

At brace i the wall moves w_i = w0_i - sum_j F_ij R_j + sum_k Z_ik a_k and the brace gives R_i = k_i w_i. Along each
zero-energy motion the braces must balance the loads: sum_i Z_ik R_i = work_k.
"""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

HOLD_TOLERANCE = 1e-6  # least singular value of the motions at the braces, relative to the motions' own size
BALANCE_TOLERANCE = 1e-6


@frozen(eq=False)
class BraceForces:
    """Solution of the reduced system.

    Attributes:
        force: force of each brace on the wall against push, (.., n, cases) [lb].
        motion: amount of each motion, (.., m, cases).
        held: every motion is held by the braces that count, (..,).
    """

    force: Array = field(repr=False)
    motion: Array = field(repr=False)
    held: Flags = field(repr=False)


def solve(
    flexibility: Array, motions: Array, give: Array, active: Flags, *, under_load: Array, work: Array
) -> BraceForces:
    """Solve the reduced system of many layouts.

    Args:
        flexibility: head to head, shape (.., n, n) [in/lb].
        motions: zero-energy motions at the heads, shape (.., n, m).
        give: spring give of each brace, 1/k, shape (.., n) [in/lb].
        active: braces that count, shape (.., n).
        under_load: wall movement at the heads with no brace, shape (.., n, cases) [in].
        work: work of the loads along each motion, shape (.., m, cases) [lb].

    Returns:
        Brace forces; zero where the braces cannot hold every motion, with `held` false.

    Source: statics, force method.

    Example:
        >>> one = np.ones((1, 1))
        >>> rigid = solve(0.0 * one, one, np.ones(1), np.array([True]), under_load=0.0 * one, work=70.0 * one)
        >>> float(rigid.force[0, 0])
        70.0
    """
    n, m = motions.shape[-2:]
    on = active.astype(float)
    reach = motions * on[..., None]
    held = _holds(reach, m)
    size = n + m
    matrix = np.zeros((*active.shape[:-1], size, size))
    matrix[..., :n, :n] = flexibility * (on[..., :, None] * on[..., None, :])
    spot = np.arange(n)
    matrix[..., spot, spot] += np.where(active, give, 1.0)
    matrix[..., :n, n:] = -reach
    matrix[..., n:, :n] = np.swapaxes(reach, -1, -2)
    loose = np.arange(n, size)
    matrix[..., loose, loose] += np.where(held, 0.0, 1.0)[..., None]
    along = np.broadcast_to(work, (*active.shape[:-1], *work.shape[-2:]))
    right = np.concatenate([under_load * on[..., None], along], axis=-2)
    found = np.linalg.solve(matrix, right)
    found = np.where(held[..., None, None], found, 0.0)
    return BraceForces(found[..., :n, :], found[..., n:, :], held)


def _holds(reach: Array, m: int) -> Flags:
    """Whether the active braces hold every motion: the motions at the heads have full rank."""
    if m == 0:
        return np.ones(reach.shape[:-2], dtype=bool)
    if reach.shape[-2] < m:
        return np.zeros(reach.shape[:-2], dtype=bool)
    gram = np.swapaxes(reach, -1, -2) @ reach
    least = np.linalg.eigvalsh(gram)[..., 0]
    held: Flags = least > HOLD_TOLERANCE**2 * m
    return held


def solve_one_way(
    flexibility: Array, motions: Array, give: Array, *, takes_push: Flags, takes_pull: Flags,
    under_load: Array, work: Array,
) -> BraceForces:  # fmt: skip
    """Solve one load case of each row where some braces count in one direction only.

    Solve with the braces that count, drop those driven the wrong way, restore those the wall would move back on to,
    until nothing changes. On cycling the state with the greatest single brace force stands.

    Args:
        flexibility: shape (rows, n, n) [in/lb].
        motions: shape (rows, n, m).
        give: shape (rows, n) [in/lb].
        takes_push: counts when pushed together, shape (rows, n).
        takes_pull: counts when pulled, shape (rows, n).
        under_load: one load case a row, shape (rows, n, 1) [in].
        work: shape (rows, m, 1) [lb].

    Returns:
        Brace forces, one case a row.

    Source: statics; a contact problem solved by active sets.
    """
    rows, n = give.shape
    active = takes_push | takes_pull
    worst, worst_force = None, np.full(rows, -1.0)
    for _ in range(2 * n + 2):
        now = solve(flexibility, motions, give, active, under_load=under_load, work=work)
        force = now.force[..., 0]
        moved = under_load[..., 0] - (flexibility @ now.force)[..., 0] + (motions @ now.motion)[..., 0]
        wrong = active & (((force > 0) & ~takes_push) | ((force < 0) & ~takes_pull))
        back = ~active & (((moved > 0) & takes_push) | ((moved < 0) & takes_pull)) & now.held[:, None]
        changes = (wrong | back).any(axis=1)
        size = np.abs(force).max(axis=1, initial=0.0)
        settled = np.where(changes, -1.0, np.inf)
        rank = np.where(changes, size, settled)
        worst, worst_force = _keep(worst, worst_force, now, rank)
        if not changes.any():
            break
        active = (active & ~wrong) | back
    assert worst is not None  # noqa: S101  (the loop runs at least twice)
    return worst


def _keep(
    best: BraceForces | None, rank: Array, now: BraceForces, now_rank: Array
) -> tuple[BraceForces, Array]:
    """Keep for each row the state that ranks higher: a settled one over all, else the greatest brace force."""
    if best is None:
        return now, now_rank
    take = now_rank >= rank
    return BraceForces(
        np.where(take[:, None, None], now.force, best.force),
        np.where(take[:, None, None], now.motion, best.motion),
        np.where(take, now.held, best.held),
    ), np.maximum(rank, now_rank)
