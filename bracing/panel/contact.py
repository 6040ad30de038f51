"""Which braces work, where some count in one direction only: the least-energy state of a contact problem."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

ROUNDING = 1e-9  # a brace force this small against the largest is none
CONTRADICTION = 1e-7  # a misfit this small says that no forces of allowed sign balance
MISSED = 1e-6  # of the loads left over: under this it is for the energy to say
TINY = 1e-12


def working_braces(
    soft: Array, motions: Array, under_load: Array, work: Array, *, takes_push: Flags, takes_pull: Flags
) -> Flags:
    """Find which braces work: least R'GR/2 - w0'R over forces of allowed sign that balance every motion.

    The forces that balance are one set of them and all that balance nothing, R = R0 + N t. In the coordinates
    where the energy is x'x/2 it is the point nearest the origin of those the signs allow.

    Args:
        soft: flexibility with the give of the braces, G, shape (n, n) [in/lb].
        motions: zero-energy motions at the heads, shape (n, m) [-].
        under_load: wall movement at the heads with no brace, w0, shape (n,) [in].
        work: work of the load along each motion, shape (m,) [lb].
        takes_push: counts when pushed together, shape (n,).
        takes_pull: counts when pulled, shape (n,).

    Returns:
        Flags, shape (n,); none where no forces of allowed sign balance.

    Source: STATICS, least complementary energy, solved as Lawson and Hanson (1974), chapter 23.

    Example:
        >>> G, Z, w0, load = np.eye(2), np.array([[1.0], [-1.0]]), np.zeros(2), np.array([10.0])
        >>> both, none = np.array([True, True]), np.array([False, False])
        >>> working_braces(G, Z, w0, load, takes_push=both, takes_pull=none).tolist()
        [True, False]
    """
    counts = takes_push | takes_pull
    on = np.flatnonzero(counts)
    m = motions.shape[1]
    if len(on) < m:
        return np.zeros_like(counts)
    sign = np.where(takes_push[on], 1.0, -1.0)
    if not can_balance_all(motions, work, takes_push=takes_push, takes_pull=takes_pull):
        return np.zeros_like(counts)
    span, _ = np.linalg.qr(motions[on], mode="complete")
    idle = span[:, m:]
    some = np.linalg.lstsq(motions[on].T, work, rcond=None)[0]
    G = soft[np.ix_(on, on)]
    root = np.linalg.cholesky(idle.T @ G @ idle)
    per_x = np.linalg.solve(root, idle.T).T
    least = some + per_x @ (per_x.T @ (under_load[on] - G @ some))
    bound = np.flatnonzero(takes_push[on] != takes_pull[on])
    stops = _stops(sign[bound, None] * per_x[bound], -sign[bound] * least[bound])
    if stops is None:
        return np.zeros_like(counts)
    working = counts.copy()
    working[on[bound[stops]]] = False
    return working


def can_balance_all(motions: Array, work: Array, *, takes_push: Flags, takes_pull: Flags) -> bool:
    """Say whether forces of allowed sign may balance every motion: for certain where not; a few equations.

    Args:
        motions: zero-energy motions at the heads, shape (n, m) [-].
        work: work of the load along each motion, shape (m,) [lb].
        takes_push: counts when pushed together, shape (n,).
        takes_pull: counts when pulled, shape (n,).

    Source: STATICS, by the method of Lawson and Hanson (1974), chapter 23.

    Example:
        >>> Z, load = np.array([[1.0]]), np.array([10.0])
        >>> yes, no = np.array([True]), np.array([False])
        >>> can_balance_all(Z, load, takes_push=yes, takes_pull=no)
        True
        >>> can_balance_all(Z, load, takes_push=no, takes_pull=yes)
        False
    """
    reach = np.vstack([motions[takes_push], -motions[takes_pull]]).T
    if reach.size == 0:
        return not np.any(work)
    left = reach @ least_squares_not_negative(reach, work) - work
    return float(np.linalg.norm(left)) <= MISSED * float(np.linalg.norm(work))


def _stops(A: Array, b: Array) -> Flags | None:
    """Which of the conditions A x >= b stop the least x; None where no x meets them all."""
    steep = np.linalg.norm(A, axis=1) + TINY * (1.0 + np.abs(b))
    A, b = A / steep[:, None], b / steep
    rows = np.concatenate([A.T, b[None] / max(float(np.abs(b).max(initial=0.0)), TINY)])
    end = np.zeros(len(rows))
    end[-1] = 1.0
    y = least_squares_not_negative(rows, end)
    return None if float(np.linalg.norm(rows @ y - end)) < CONTRADICTION else y > 0.0


def least_squares_not_negative(rows: Array, right: Array) -> Array:
    """Least |rows x - right| over x of which no entry is negative: one more entry at a time, none left wrong.

    Args:
        rows: shape (k, n) [-].
        right: shape (k,) [-].

    Returns:
        x, shape (n,) [-].

    Source: STATICS, no clause, by the method of Lawson and Hanson (1974), chapter 23.

    Example:
        >>> least_squares_not_negative(np.eye(2), np.array([3.0, -1.0])).tolist()
        [3.0, 0.0]
    """
    n = rows.shape[1]
    x, free = np.zeros(n), np.zeros(n, dtype=bool)
    enough = ROUNDING * float(np.abs(rows.T @ right).max(initial=0.0))
    for _ in range(3 * n):
        pull = np.where(free, -np.inf, rows.T @ (right - rows @ x))
        if free.all() or pull.max() <= enough:
            break
        free[np.argmax(pull)] = True
        best = _on(rows, right, free)
        while (best[free] <= 0.0).any():
            falling = free & (best <= 0.0)
            reach = np.min(x[falling] / (x[falling] - best[falling] + TINY))
            x = x + reach * (best - x)
            free &= x > TINY * max(1.0, float(x.max()))
            x[~free] = 0.0
            best = _on(rows, right, free)
        x = best
    return x


def _on(rows: Array, right: Array, free: Flags) -> Array:
    """Least squares over some of the entries, the others zero."""
    x = np.zeros(len(free))
    x[free] = np.linalg.lstsq(rows[:, free], right, rcond=None)[0]
    return x
