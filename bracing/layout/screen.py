"""A screen of layouts, many at once at one gust: never over the chain's own worst ratio of the same braces.

It asks the chain's own links, tabulated in `grid`, at brace forces solved for in blocks. What it drops is over by the
chain, so it may decide a proof; what it lets pass goes to the chain itself, which alone is printed. It leaves out, and
so may lie under the chain by what they would ask more:

* joints all at the published slip: each is read among slack ones, where a brace alone draws the most;
* links that more fasteners, nails or straps mend: top plate to stud, plate, sheathing, headers and sills; and one ply
  of a top plate with no splices declared: the mending that follows puts these right or gives the layout up;
* of a curve between two readings of a force, 50 lb apart, what lies over the chords of its neighbours drawn on.

Joints are as full as the search makes them. One with fewer fasteners gives more, and its forces are others: a layout
that stands only with softer joints is not looked for.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from bracing.choosing import SAME
from bracing.layout.grid import STEP, HeadPanel, Pool

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

BLOCK = 384  # layouts in one call: their working set stays in the processor's cache
AT_ONCE = 2 * BLOCK  # layouts off their marks that are looked at together, whichever of them fail
WITHIN = 1.0 + SAME  # a ratio up to this is one
SINGULAR = 1e-9  # a motion's pivot under this part of the largest is a motion nothing holds


def worst_ratios(pool: Pool, layouts: Ints) -> Array:
    """Give the worst ratio of each layout; infinite where the wall can still move.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each layout, from LEFT, shape (b, n).

    Returns:
        Worst ratios, shape (b,).
    """
    parts = [_block(pool, layouts[k : k + BLOCK].T.copy()) for k in range(0, len(layouts), BLOCK)]
    return np.concatenate(parts) if parts else np.zeros(0)


def ratios_within(pool: Pool, layouts: Ints) -> Array:
    """Give the worst ratio of each layout that is within; of most others infinity, at a quarter of the work.

    A layout is dropped where a brace or its own stud is over in one state alone: all joints slack, both top plies.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each layout, from LEFT, shape (b, n).

    Returns:
        Worst ratios, shape (b,).
    """
    worst = np.full(len(layouts), np.inf)
    for k in range(0, len(layouts), BLOCK):
        rows = layouts[k : k + BLOCK].T.copy()
        system, under, work = _reduced(pool, rows, plate=0)
        slack, _, held = brace_forces(*system, under=under, work=work, gaps=False)
        level = _of_level(np.abs(slack).max(axis=1), pool, rows)
        fine = held & (np.maximum(level.max(axis=0), _alone(pool, rows, slack)) <= WITHIN)
        worst[k : k + BLOCK][fine] = 0.0
    left = worst == 0.0
    worst[left] = worst_ratios(pool, layouts[left])
    return worst


def off_mark_ratios(pool: Pool, layouts: Ints, *, most: float = np.inf, like: Ints | None = None) -> Array:
    """Give the worst ratio of each layout with any one brace put up one stud off its mark.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each layout, shape (b, n).
        most: a layout past this is asked no further: what is given of it is past this too.
        like: a layout near to all of them, whose worst slips are asked first, (n,).

    Returns:
        Worst ratios over all such slips, shape (b,).
    """
    slips, worst = list(product((1, 2), range(layouts.shape[1]))), np.zeros(len(layouts))
    if like is not None:
        moved = [_off_mark(pool, like[None], k, side=side)[0] for side, k in slips]
        there = [slip for slip, rows in zip(slips, moved, strict=True) if len(rows)]
        own = worst_ratios(pool, np.concatenate(moved))
        slips = [there[k] for k in np.argsort(-own, kind="stable")] + [s for s in slips if s not in there]
    asked = np.arange(len(layouts))
    while slips and len(asked):
        some, slips = slips[: (at_once := max(1, BLOCK // len(asked)))], slips[at_once:]
        off = [_off_mark(pool, layouts[asked], k, side=side) for side, k in some]
        of = asked[np.concatenate([of for _, of in off])]
        np.maximum.at(worst, of, worst_ratios(pool, np.concatenate([rows for rows, _ in off])))
        asked = asked[worst[asked] <= most]
    return worst


def stands_off_mark(pool: Pool, layouts: Ints) -> NDArray[np.bool_]:
    """Whether each layout stands with any one brace put up one stud off its mark; what has failed is asked no more.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each layout, shape (b, n).

    Returns:
        Flags, shape (b,).
    """
    if 2 * layouts.size <= AT_ONCE:
        few: NDArray[np.bool_] = off_mark_ratios(pool, layouts, most=WITHIN) <= WITHIN
        return few
    stands = np.ones(len(layouts), dtype=bool)
    for side, k in product((1, 2), range(layouts.shape[1])):
        rows, of = _off_mark(pool, layouts, k, side=side)
        left = stands[of]
        stands[of[left]] = worst_ratios(pool, rows[left]) <= WITHIN
    return stands


def _off_mark(pool: Pool, layouts: Ints, k: int, *, side: int) -> tuple[Ints, Ints]:
    """Layouts with brace k one stud to the left (1) or right (2), and which each is of; none where no stud is free."""
    rows, stud = layouts.copy(), pool.panel.stud
    rows[:, k] += side * len(pool.candidates)
    there = pool.at[rows[:, k]]
    moves = (there >= 0) & ~(stud[there][:, None] == stud[pool.at[layouts]]).any(axis=1)
    return rows[moves], np.flatnonzero(moves)


def _block(pool: Pool, rows: Ints) -> Array:
    """Worst ratios of a block; `rows` are its candidates as the pool holds them, (n, b)."""
    panel, at = pool.panel, pool.at[rows]
    firmer = pool.give[1][rows] - pool.give[0][rows]
    spot, nearest = np.arange(len(rows)), _nearest(panel, at)
    found, held = [], np.ones(rows.shape[1], dtype=bool)
    worst = _left_out(panel.loose, panel.stud[at])
    for plate in (0, 1):
        system, under, work = _reduced(pool, rows, plate=plate)
        slack, per_gap, fine = brace_forces(*system, under=under, work=work)
        gap = drawn_by_stiff(slack, per_gap, firmer)
        held &= fine
        found += [slack, slack + gap * per_gap[spot, spot, None]]
        worst = np.maximum(worst, _plate(panel, plate, at, slack, drawn=(gap, per_gap, nearest)))
    low, high = np.minimum.reduce(found), np.maximum.reduce(found)
    level = _of_level(np.maximum(high.max(axis=1), -low.min(axis=1)), pool, rows)
    worst = np.maximum(worst, level.max(axis=0))
    for force in (low, high):
        worst = np.maximum(worst, _alone(pool, rows, force))
    return np.where(held, worst, np.inf)


def _of_level(force: Array, pool: Pool, rows: Ints) -> Array:
    """Forces over what each brace may give; infinite of one that gives nothing, as on a stud too short for it."""
    level = pool.level[rows]
    return np.divide(force, level, out=np.full_like(force, np.inf), where=level > 0.0)


def _reduced(pool: Pool, rows: Ints, *, plate: int) -> tuple[tuple[Array, Array, Array], Array, Array]:
    """The reduced system of each layout of a block, all joints slack, and its loads: what `brace_forces` takes."""
    panel, at = pool.panel, pool.at[rows]
    flexibility = panel.flexibility[plate][at[:, None], at[None, :]]
    motions = panel.motions[plate][at].transpose(0, 2, 1)
    under = panel.under_load[plate][:, at].swapaxes(0, 1)
    return (flexibility, motions, pool.give[1][rows]), under, panel.work[plate]


def brace_forces(
    flexibility: Array, motions: Array, give: Array, *, under: Array, work: Array, gaps: bool = True
) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Solve the reduced systems of a block by elimination without pivoting.

    The braces' part is positive definite and the motions' part becomes negative definite, so no pivot vanishes unless
    a motion is not held.

    Args:
        flexibility: (n, n, b) [in/lb].
        motions: (n, m, b).
        give: (n, b) [in/lb].
        under: (n, c, b) [in].
        work: (c, m) [lb].
        gaps: give what a unit gap does too.

    Returns:
        Brace forces (n, c, b) [lb]; what a unit gap at each brace gives every brace, (n, n, b) [lb/in]; which layouts
        hold every motion (b,).

    Source: STATICS, force method, by the equations of bracing.panel.reduced.
    """
    n, m, count = motions.shape
    cases = under.shape[1]
    size = n + m
    start = size + cases
    whole = np.zeros((size, start + n * gaps, count))
    whole[:n, :n] = flexibility
    spot = np.arange(n)
    whole[spot, spot] += give
    whole[:n, n:size] = -motions
    whole[n:, :n] = -motions.swapaxes(0, 1)
    whole[:n, size:start] = under
    whole[n:, size:start] = -work.T[:, :, None]
    if gaps:
        whole[spot, start + spot] = 1.0
    held = np.ones(count, dtype=bool)
    top = np.abs(whole[spot, spot]).max(axis=0)
    for p in range(size):
        pivot = whole[p, p]
        if p >= n:
            loose = np.abs(pivot) < SINGULAR / top
            held &= ~loose
            pivot = np.where(loose, -1.0, pivot)
        stop = start + p + 1  # no gap past this brace's own has reached its row yet
        row = whole[p, p + 1 : stop] / pivot
        whole[p, p + 1 : stop] = row
        whole[p + 1 :, p + 1 : stop] -= whole[p + 1 :, p, None] * row[None]
    found = whole[:, size:]
    for p in range(size - 2, -1, -1):
        found[p] -= (whole[p, p + 1 : size, None] * found[p + 1 :]).sum(axis=0)
    return found[:n, :cases], found[:n, cases:], held


def drawn_by_stiff(force: Array, per_gap: Array, firmer: Array) -> Array:
    """Give the gap that stands for each brace's joints being the stiff ones among slack ones.

    A' = A - d e e', so A'⁻¹ b = x + [d x_k / (1 - d G_kk)] G e_k.

    Args:
        force: forces of all slack, (n, c, b) [lb].
        per_gap: G, what a unit gap at each brace gives every brace, (n, n, b) [lb/in].
        firmer: d, give each brace loses, (n, b) [in/lb].

    Returns:
        Gaps, (n, c, b) [in].

    Source: STATICS, a change of one spring (Sherman and Morrison).

    Example:
        >>> one = np.ones((1, 1, 1))
        >>> float(drawn_by_stiff(600.0 * one, 0.5 * one, np.ones((1, 1)))[0, 0, 0])
        1200.0
    """
    spot = np.arange(len(force))
    gap: Array = force * (firmer / (1.0 - firmer * per_gap[spot, spot]))[:, None]
    return gap


def _nearest(panel: HeadPanel, at: Ints) -> Ints:
    """Brace nearest to each place along the plate, shape (b, k)."""
    x = panel.stud_x[panel.stud[at]]
    half_way = (x[1:] + x[:-1]) / 2.0
    nearest: Ints = (panel.plate_x[None, None] > half_way[..., None]).sum(axis=0)
    return nearest


def _plate(
    panel: HeadPanel, plate: int, at: Ints, slack: Array, *, drawn: tuple[Array, Array, Ints]
) -> Array:
    """Worst top plate ratio of all slack, and of each place with its nearest brace tight, shape (b,)."""
    influence = panel.plate_heads[plate][at.T]
    gap, per_gap, nearest = drawn
    left = panel.plate_loads[plate] - slack.transpose(2, 1, 0) @ influence
    worst = np.abs(left).max(axis=(1, 2))
    more = np.take_along_axis(per_gap.transpose(2, 1, 0) @ influence, nearest[:, None], axis=1)
    left -= np.take_along_axis(gap.transpose(2, 1, 0), nearest[:, None], axis=2) * more
    return np.asarray(np.maximum(worst, np.abs(left, out=left).max(axis=(1, 2))))


def _alone(pool: Pool, rows: Ints, force: Array) -> Array:
    """Worst ratio of the braces' own studs over braces and cases, between readings, shape (b,)."""
    _, cases, cells, each = pool.panel.lines.shape
    place = force / STEP + cells // 2
    at = np.clip(place.astype(np.intp), 0, cells - 1)
    part = place - at
    at += (pool.shape[rows] * cases * cells)[:, None] + np.arange(cases)[:, None] * cells
    lines = pool.panel.lines.reshape(-1, each).take(at, axis=0, mode="clip")
    first, second = (lines[..., k] + lines[..., k + 1] * part for k in (0, 2))
    ratio: Array = np.maximum(first, second).max(axis=(0, 1))
    return ratio


def _left_out(ratios: Array, studs: Ints) -> Array:
    """Greatest ratio of the studs left without a brace, shape (b,)."""
    worst = np.zeros(studs.shape[1])
    for stud in np.argsort(-ratios)[len(studs) :: -1]:
        braced = (studs == stud).any(axis=0)
        worst = np.where(braced, worst, np.maximum(worst, ratios[stud]))
    return worst
