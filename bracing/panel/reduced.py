"""Brace forces: braces + motions unknowns, for any number of layouts and load cases at once.

At brace i the wall moves w_i = w0_i - sum_j F_ij R_j + sum_k Z_ik a_k and the brace gives R_i = k_i w_i.
Along each zero-energy motion the braces must balance the loads: sum_i Z_ik R_i = work_k.
"""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.panel.contact import ROUNDING, working_braces

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

HOLD_TOLERANCE = 1e-6  # least singular value of the motions at the braces, relative to the motions' own size
BALANCE_TOLERANCE = 1e-6
ROUNDS = 12  # of dropping and restoring; walls settle in two to four


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
        motions: zero-energy motions at the heads, shape (.., n, m) [-].
        give: spring give of each brace, 1/k, shape (.., n) [in/lb].
        active: braces that count, shape (.., n), or (n,) where they are the same in all.
        under_load: wall movement at the heads with no brace, shape (.., n, cases) [in].
        work: work of the loads along each motion, shape (.., m, cases) [lb].

    Returns:
        Brace forces; zero where the braces cannot hold every motion, with `held` false.

    Source: STATICS, force method.

    Example:
        >>> one = np.ones((1, 1))
        >>> rigid = solve(0.0 * one, one, np.ones(1), np.array([True]), under_load=0.0 * one, work=70.0 * one)
        >>> float(rigid.force[0, 0])
        70.0
    """
    n, m = motions.shape[-2:]
    on = active.astype(float)
    reach = motions * on[..., None]
    rows = np.broadcast_shapes(active.shape, give.shape)[:-1]
    held = np.broadcast_to(_holds(reach, m), rows)
    size = n + m
    matrix = np.zeros((*rows, size, size))
    matrix[..., :n, :n] = flexibility * (on[..., :, None] * on[..., None, :])
    spot = np.arange(n)
    matrix[..., spot, spot] += np.where(active, give, 1.0)
    matrix[..., :n, n:] = -reach
    matrix[..., n:, :n] = np.swapaxes(reach, -1, -2)
    loose = np.arange(n, size)
    matrix[..., loose, loose] += np.where(held, 0.0, 1.0)[..., None]
    right = np.empty((*rows, size, work.shape[-1]))
    right[..., :n, :], right[..., n:, :] = under_load * on[..., None], work
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

    Solve with the braces that count, drop those driven the wrong way, restore those the wall would move back
    on to, until nothing changes. Dropping several at once can go round in circles or let go of the wall;
    there the state is found as the least-energy state of the contact problem, which is unique. Where even
    that is not to be found, the state with the greatest single brace force stands.

    Args:
        flexibility: shape (rows, n, n) [in/lb].
        motions: shape (rows, n, m) [-].
        give: shape (rows, n) [in/lb].
        takes_push: counts when pushed together, shape (rows, n).
        takes_pull: counts when pulled, shape (rows, n).
        under_load: one load case a row, shape (rows, n, 1) [in].
        work: shape (rows, m, 1) [lb].

    Returns:
        Brace forces, one case a row.

    Source: STATICS, a contact problem solved by active sets.
    """
    parts = (flexibility, motions, give)
    active = takes_push | takes_pull
    best, rank = None, np.full(len(give), -1.0)
    for _ in range(ROUNDS):
        now = solve(*parts, active, under_load=under_load, work=work)
        wrong, back = _astray(now, parts, under_load, active, takes_push, takes_pull)
        size = np.abs(now.force[..., 0]).max(axis=1, initial=0.0)
        now_rank = np.where((wrong | back).any(axis=1), size, np.where(now.held, np.inf, -1.0))
        best, rank = _keep(best, rank, now, now_rank)
        if not (wrong | back).any():
            break
        active = (active & ~wrong) | back
    doubtful = np.flatnonzero(rank < np.inf)
    if best is None or len(doubtful) == 0:
        return now if best is None else best
    for row in doubtful:
        active[row] = working_braces(
            flexibility[row] + np.diag(give[row]), motions[row], under_load[row, :, 0], work[row, :, 0],
            takes_push=takes_push[row], takes_pull=takes_pull[row],
        )  # fmt: skip
    let_go = (rank < np.inf) & ~now.held
    now = solve(*parts, active, under_load=under_load, work=work)
    wrong, back = _astray(now, parts, under_load, active, takes_push, takes_pull)
    good = now.held & ~(wrong | back).any(axis=1)
    best, _ = _keep(best, rank, now, np.where(good, np.inf, -1.0))
    lost = let_go & ~good
    return BraceForces(
        np.where(lost[:, None, None], 0.0, best.force),
        np.where(lost[:, None, None], 0.0, best.motion),
        best.held & ~lost,
    )


def _astray(
    now: BraceForces,
    parts: tuple[Array, Array, Array],
    under_load: Array,
    active: Flags,
    takes_push: Flags,
    takes_pull: Flags,
) -> tuple[Flags, Flags]:
    """Braces driven the wrong way, and braces left out that the wall moves back on to."""
    flexibility, motions, give = parts
    force = now.force[..., 0]
    moved = under_load[..., 0] - (flexibility @ now.force)[..., 0] + (motions @ now.motion)[..., 0]
    little = ROUNDING * np.abs(force).max(axis=1, initial=0.0, keepdims=True)
    wrong = active & (((force > little) & ~takes_push) | ((force < -little) & ~takes_pull))
    touch = little * give
    back = ~active & (((moved > touch) & takes_push) | ((moved < -touch) & takes_pull)) & now.held[:, None]
    return wrong, back


def _keep(
    best: BraceForces | None, rank: Array, now: BraceForces, now_rank: Array
) -> tuple[BraceForces, Array]:
    """Keep for each row the state that ranks higher: a settled one, else the greatest brace force."""
    if best is None:
        return now, now_rank
    take = now_rank > rank
    return BraceForces(
        np.where(take[:, None, None], now.force, best.force),
        np.where(take[:, None, None], now.motion, best.motion),
        np.where(take, now.held, best.held),
    ), np.maximum(rank, now_rank)
