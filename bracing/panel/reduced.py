"""Brace forces: braces + motions unknowns, for any number of layouts and load cases at once.

Where some braces count in one direction only, the least-energy state of that contact problem is found.
"""

from __future__ import annotations

import numpy as np
from attrs import evolve, field, frozen
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
    """Which of the conditions A x >= b stop the least x; None where no x meets them all.

    One no x has a part in, as of a brace whose force balance alone gives, is met or not, and stops nothing: among the
    others it would be so steep that they no longer counted.
    """
    steep = np.linalg.norm(A, axis=1)
    of_x = steep > ROUNDING * steep.max(initial=0.0)
    if (b[~of_x] > MISSED * np.abs(b).max(initial=0.0)).any():
        return None
    stops = np.zeros(len(b), dtype=bool)
    found = _stopping(A[of_x], b[of_x]) if of_x.any() else stops[:0]
    if found is None:
        return None
    stops[of_x] = found
    return stops


def _stopping(A: Array, b: Array) -> Flags | None:
    """Which of the conditions stop the least x, each of which it has a part in; None where none meets them all."""
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
        working: the braces solved with, (.., n) or (n,).
    """

    force: Array = field(repr=False)
    motion: Array = field(repr=False)
    held: Flags = field(repr=False)
    working: Flags = field(repr=False)


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
    return BraceForces(found[..., :n, :], found[..., n:, :], held, active)


def solve_in_turn(
    flexibility: Array, motions: Array, give: Array, active: Flags, *, under_load: Array, work: Array
) -> BraceForces:
    """Solve layouts in two states of all their springs, then with each spring of the first among those of the second.

    Only one spring differs from the second state: x_i = x - d_i x[i]/(1 + d_i V[i, i]) V[:, i], V the brace forces
    per unit movement at each head. So all the states cost two solutions, not one each.

    Args:
        flexibility: head to head, shape (n, n) [in/lb].
        motions: zero-energy motions at the heads, shape (n, m) [-].
        give: spring give in every state, shape (states, n): of the first two all is read, the others are as above; one
            state alone is solved as it is [in/lb].
        active: braces that count, shape (.., n), a layout a row.
        under_load: wall movement at the heads with no brace, shape (n, cases) [in].
        work: work of the loads along each motion, shape (m, cases) [lb].

    Returns:
        Brace forces of each layout, a state a row.

    Source: STATICS, force method, with the inverse of a matrix changed in one entry.
    """
    each = active[..., None, :]
    if len(give) == 1:
        return solve(flexibility, motions, give, each, under_load=under_load, work=work)
    n, cases = under_load.shape
    units = np.hstack([under_load, np.eye(n)]), np.hstack([work, np.zeros((len(work), n))])
    whole = solve(flexibility, motions, give[:2], each, under_load=units[0], work=units[1])
    found, moved = whole.force[..., 1, :, :], whole.motion[..., 1, :, :]
    (force, per_unit), (motion, motion_per_unit) = (
        np.split(part, [cases], axis=-1) for part in (found, moved)
    )
    change = give[0] - give[1]
    amount = (change / (1.0 + change * np.diagonal(per_unit, axis1=-2, axis2=-1)))[..., None] * force
    turns, moves = (
        part[..., None, :, :] - np.swapaxes(unit, -1, -2)[..., None] * amount[..., None, :]
        for part, unit in ((force, per_unit), (motion, motion_per_unit))
    )
    return BraceForces(
        force=np.concatenate([whole.force[..., :cases], turns], axis=-3),
        motion=np.concatenate([whole.motion[..., :cases], moves], axis=-3),
        held=np.repeat(whole.held[..., :1], len(give), axis=-1),
        working=np.broadcast_to(each, (*active.shape[:-1], *give.shape)),
    )


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
    under_load: Array, work: Array, weights: Array | None = None, begun: Flags | None = None,
) -> BraceForces:  # fmt: skip
    """Solve one load case of each row where some braces count in one direction only.

    Solve with the braces that count, drop those driven the wrong way, restore those the wall would move back
    on to, until nothing changes. Dropping several at once can go round in circles or let go of the wall;
    there the state is found as the least-energy state of the contact problem, which is unique. A state is taken only
    where no working brace is driven the wrong way and the wall moves on to none left out; where there is no such
    state, the braces hold nothing.

    Args:
        flexibility: shape (rows, n, n) [in/lb].
        motions: shape (rows, n, m) [-].
        give: shape (rows, n) [in/lb].
        takes_push: counts when pushed together, shape (rows, n).
        takes_pull: counts when pulled, shape (rows, n).
        under_load: one load case a row, in parts that are added, shape (rows, n, parts) [in].
        work: shape (rows, m, parts) [lb].
        weights: how much of each part there is, shape (parts, 1); all of one part unless given [-].
        begun: braces to begin with, of which enough to hold the wall; all that count unless given, (rows, n).

    Returns:
        Brace forces, part by part, and which braces work; zero and none in a row that is not held.

    Source: STATICS, a contact problem solved by active sets.
    """
    parts, weights = (flexibility, motions, give), np.ones((1, 1)) if weights is None else weights
    moved, worked = under_load @ weights, work @ weights

    def tried(active: Flags) -> tuple[BraceForces, Flags, Flags]:
        now = solve(*parts, active, under_load=under_load, work=work)
        whole = evolve(now, force=now.force @ weights, motion=now.motion @ weights)
        return now, *astray(whole, parts, moved, active, takes_push, takes_pull)

    active = takes_push | takes_pull if begun is None else begun
    for _ in range(ROUNDS):
        now, wrong, back = tried(active)
        if not (wrong | back).any():
            break
        active = (active & ~wrong) | back
    doubtful = np.flatnonzero((wrong | back).any(axis=1) | ~now.held)
    if len(doubtful) == 0:
        return now
    for row in doubtful:
        active[row] = working_braces(
            flexibility[row] + np.diag(give[row]), motions[row], moved[row, :, 0], worked[row, :, 0],
            takes_push=takes_push[row], takes_pull=takes_pull[row],
        )  # fmt: skip
    now, wrong, back = tried(active)
    held = now.held & ~(wrong | back).any(axis=1)
    on = held[:, None]
    return BraceForces(
        np.where(on[..., None], now.force, 0.0),
        np.where(on[..., None], now.motion, 0.0),
        held,
        now.working & on,
    )


def astray(
    now: BraceForces, parts: tuple[Array, Array, Array], under_load: Array, active: Flags, takes_push: Flags,
    takes_pull: Flags,
) -> tuple[Flags, Flags]:  # fmt: skip
    """Find braces driven the wrong way, and braces left out that the wall moves back on to.

    Args:
        now: one load case of each row solved.
        parts: flexibility (.., n, n), motions (.., n, m) and give (rows, n) [in/lb, -, in/lb].
        under_load: wall movement at the heads with no brace, shape (.., n, 1) [in].
        active: braces that counted, shape (.., n).
        takes_push: counts when pushed together, shape (.., n).
        takes_pull: counts when pulled, shape (.., n).

    Returns:
        Flags of both, shape (rows, n).

    Source: STATICS, a contact problem solved by active sets.
    """
    flexibility, motions, give = parts
    force = now.force[..., 0]
    moved = under_load[..., 0] - (flexibility @ now.force)[..., 0] + (motions @ now.motion)[..., 0]
    little = ROUNDING * np.abs(force).max(axis=1, initial=0.0, keepdims=True)
    wrong = active & (((force > little) & ~takes_push) | ((force < -little) & ~takes_pull))
    touch = little * give
    back = ~active & (((moved > touch) & takes_push) | ((moved < -touch) & takes_pull)) & now.held[:, None]
    return wrong, back
