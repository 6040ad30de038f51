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
from attrs import frozen
from numpy.typing import NDArray

from bracing.choosing import SAME
from bracing.layout.grid import STEP, HeadPanel, Pool
from bracing.units import Pound

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
Like = tuple[Ints, Ints]  # layouts (f, n), and which of them others are of, (b,)
Forces = tuple[Array, Array, NDArray[np.bool_]]  # as `brace_forces` gives them

BLOCK = 384  # layouts in one call: their working set stays in the processor's cache
AT_ONCE = 2 * BLOCK  # layouts off their marks that are looked at together, whichever of them fail
WITHIN = 1.0 + SAME  # a ratio up to this is one
FAMILIES = 256  # families of layouts that share all but their last brace, in one call
ALIKE = 3  # fewer of a family than so many on average are solved one by one
SURE = 1e6  # a family whose system is no worse conditioned than this keeps ten digits
MANY = 10  # from so many braces on a layout near to a solved one is quicker put to it than solved whole; measured
KEPT = 1e-4  # what a change of one brace leaves of a pivot, and keeps ten digits
UNHELD = 1e-13  # so that a motion nothing holds has an inverse, of no use
NEAR: Pound = 0.01  # over what a brace may give by less is left to the whole solution
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
    may = np.flatnonzero(may_stand(pool, layouts))
    left = may[_first_look(pool, layouts[may]) <= WITHIN]
    worst[left] = worst_ratios(pool, layouts[left])
    return worst


def ratios_up_to(pool: Pool, layouts: Ints, most: float, *, like: Like | None = None) -> Array:
    """Give the worst ratio of each layout up to a ratio; of those past it one past it too, at a quarter of the work.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each layout, from LEFT, shape (b, n).
        most: the ratio.
        like: where each layout is another with one brace elsewhere, those others and which each is of.

    Returns:
        Worst ratios, shape (b,).
    """
    near = _near(pool, layouts, like) if like is not None and layouts.shape[1] >= MANY else None
    worst = np.empty(len(layouts))
    for k in range(0, len(layouts), BLOCK):
        some = np.arange(k, min(k + BLOCK, len(layouts)))
        worst[some] = _first_look(pool, layouts[some]) if near is None else near.first_look(some)
        left = some[worst[some] <= most * WITHIN]
        if len(left):
            worst[left] = _block(pool, layouts[left].T.copy()) if near is None else near.worst(left)
    return worst


def _first_look(pool: Pool, layouts: Ints) -> Array:
    """The worst ratio of the braces and their own studs in one state, all joints slack and both plies, (b,)."""
    worst = np.empty(len(layouts))
    for k in range(0, len(layouts), BLOCK):
        rows = layouts[k : k + BLOCK].T.copy()
        system, under, work = _reduced(pool, rows, plate=0)
        slack, _, held = brace_forces(*system, under=under, work=work, gaps=False)
        worst[k : k + BLOCK] = np.where(held, _of_braces(pool, rows, slack), np.inf)
    return worst


def _of_braces(pool: Pool, rows: Ints, force: Array) -> Array:
    """The worst ratio of the braces and their own studs under some forces (n, c, b), (b,)."""
    level = _of_level(np.abs(force).max(axis=1), pool, rows)
    ratio: Array = np.maximum(level.max(axis=0), _alone(pool, rows, force))
    return ratio


def may_stand(pool: Pool, layouts: Ints) -> NDArray[np.bool_]:
    """Whether layouts may stand: where neighbours in the list share all but their last brace, at a few sums each.

    Such a family is solved once without that brace, and each last brace put to it as one spring more: a system with a
    row and a column more, of which the part before is known (Schur). What is over by hardly more than rounding, and a
    family that does not hold the wall by itself, is left to the whole solution.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each layout in their places, from LEFT, shape (b, n).

    Source: STATICS, force method, by the equations of bracing.panel.reduced.
    """
    may, panel = np.ones(len(layouts), dtype=bool), pool.panel
    starts = np.flatnonzero(_begins(layouts))
    if layouts.shape[1] <= panel.motions[0].shape[1] or len(layouts) < ALIKE * len(starts):
        return may
    sizes = np.diff(np.append(starts, len(layouts)))
    for k in range(0, len(starts), FAMILIES):
        some = slice(k, k + FAMILIES)
        low, high = starts[some][0], starts[some][-1] + sizes[some][-1]
        of = np.repeat(np.arange(len(starts[some])), sizes[some])
        may[low:high] = _last_put_to(pool, layouts[starts[some], :-1], of, last=layouts[low:high, -1])
    return may


def _begins(layouts: Ints) -> NDArray[np.bool_]:
    """Whether each layout is the first of a family, neighbours that share all but their last brace, (b,)."""
    return np.append(True, (layouts[1:, :-1] != layouts[:-1, :-1]).any(axis=1))


def _last_put_to(pool: Pool, families: Ints, of: Ints, *, last: Ints) -> NDArray[np.bool_]:
    """Whether the braces of each family (f, n - 1) and a last one of its own may stand, all joints slack, (b,)."""
    one = put_to(pool, families, of, last=last)
    least, most = forces_allowed(pool)
    least, most = least - NEAR, most + NEAR
    may = np.asarray(((one.own >= least[last]) & (one.own <= most[last])).all(axis=1))
    left = np.flatnonzero(may)
    rest, others = families[of[left]], one.others(left)
    may[left] = ((others >= least[rest]) & (others <= most[rest])).all(axis=(1, 2))
    return np.logical_or(may, ~one.solved.sure[of])


@frozen(eq=False)
class PutTo:
    """Families of braces solved, and last ones put to them, all joints slack; b of those, c wind cases, m motions.

    Attributes:
        solved: the families, of n - 1 braces.
        of: which of them each last brace is put to, (b,).
        drawn: what it draws of each force and motion per unit of its own, (b, n - 1 + m).
        alone: what it gives by itself, (b,) [in/lb].
        pivot: what is left of that, (b,) [in/lb].
        own: what it carries, (b, c) [lb].

    Source: STATICS, force method, by the equations of bracing.panel.reduced; a row and a column more (Schur).
    """

    solved: Solved
    of: Ints
    drawn: Array
    alone: Array
    pivot: Array
    own: Array

    def others(self, some: Ints) -> Array:
        """Give the forces of the other braces, (.., n - 1, c) [lb].

        Args:
            some: which last braces.
        """
        found: Array = self._before(some)[:, : self._count]
        return found

    def whole(self) -> Solved:
        """Give the layouts as they are solved whole."""
        n, of, size = self._count, self.of, self.drawn.shape[1] + 1
        at = np.delete(np.arange(size), n)
        column = np.full((len(of), size), -1.0)
        column[:, at] = self.drawn
        inverse = (column / self.pivot[:, None])[:, :, None] * column[:, None]
        inverse[:, at[:, None], at] += self.solved.inverse[of]
        diagonal = np.insert(self.solved.pivot[of], n, self.alone, axis=1)
        found = np.insert(self._before(np.arange(len(of))), n, self.own, axis=1)
        sure = self.solved.sure[of] & (self.pivot > KEPT * self.alone)
        return Solved(sure, diagonal, inverse, found, count=n + 1)

    @property
    def _count(self) -> int:
        """Braces of a family."""
        return self.solved.count

    def _before(self, some: Ints) -> Array:
        """Forces and motions of the families with the last braces there, (.., n - 1 + m, c)."""
        found: Array = (
            self.solved.found[self.of[some]] - self.drawn[some][:, :, None] * self.own[some][:, None]
        )
        return found


def put_to(pool: Pool, families: Ints, of: Ints, *, last: Ints) -> PutTo:
    """Solve families of braces, and put a last one of its own to each.

    Args:
        pool: the wall at one gust.
        families: candidates of each, from LEFT, (f, n - 1).
        of: which of them each last brace is put to, (b,).
        last: the last braces, (b,).
    """
    panel, one = pool.panel, pool.at[last]
    at, flexibility, motions = pool.at[families], panel.flexibility[0], panel.motions[0]
    solved = solved_whole(pool, families, plate=0)
    column = np.concatenate([flexibility[at[of], one[:, None]], -motions[one]], axis=1)
    drawn = _each_times(solved.inverse, of, column)
    alone = flexibility[one, one] + pool.give[1][last]
    pivot = alone - (column * drawn).sum(axis=1)
    own = panel.under_load[0].T[one] - (column[:, None] @ solved.found[of])[:, 0]
    own /= pivot[:, None]
    return PutTo(solved, of, drawn, alone, pivot, own)


def solved_in_turn(pool: Pool, layouts: Ints) -> Solved:
    """Give layouts solved whole where neighbours in the list share all but their last brace: each put to those.

    Those whose other braces do not hold the wall by themselves, or not well, are solved afresh.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each in their places, from LEFT, (b, n).
    """
    if layouts.shape[1] <= pool.panel.motions[0].shape[1]:
        return solved_whole(pool, layouts, plate=0)
    new = _begins(layouts)
    found = put_to(pool, layouts[new, :-1], np.cumsum(new) - 1, last=layouts[:, -1]).whole()
    afresh = np.flatnonzero(~found.sure)
    if len(afresh):
        again = solved_whole(pool, layouts[afresh], plate=0)
        for part in ("sure", "pivot", "inverse", "found"):
            getattr(found, part)[afresh] = getattr(again, part)
    return found


def _systems(pool: Pool, layouts: Ints, *, plate: int) -> tuple[Array, Array]:
    """Of each layout (f, n), all joints slack: its system, braces and motions (f, n + m, n + m), and loads (.., c)."""
    panel, at, count = pool.panel, pool.at[layouts], layouts.shape[1]
    motions = panel.motions[plate]
    size = count + motions.shape[1]
    whole = np.zeros((len(layouts), size, size))
    whole[:, :count, :count] = panel.flexibility[plate][at[:, :, None], at[:, None]]
    whole[:, range(count), range(count)] += pool.give[1][layouts]
    whole[:, :count, count:] = -motions[at]
    whole[:, count:, :count] = -motions[at].swapaxes(1, 2)
    loads = np.empty((len(layouts), size, len(panel.work[plate])))
    loads[:, :count], loads[:, count:] = panel.under_load[plate].T[at], -panel.work[plate].T
    return whole, loads


def _inverses(whole: Array, count: int) -> tuple[NDArray[np.bool_], Array]:
    """Which systems of braces and motions keep their digits, (f,), and the inverses of all, (f, n + m, n + m)."""
    spot, size = np.arange(whole.shape[1]), whole.shape[1]
    scale = np.ones((len(whole), size))
    scale[:, :count] = 1.0 / np.sqrt(whole[:, spot[:count], spot[:count]])
    moved = np.abs(whole[:, :count, count:] * scale[:, :count, None]).max(axis=1)
    scale[:, count:] = 1.0 / np.maximum(moved, 1e-300)
    both = scale[:, :, None] * scale[:, None]
    scaled = whole * both
    scaled[:, spot[count:], spot[count:]] -= UNHELD
    inverse = np.linalg.inv(scaled)
    sizes = (np.abs(each).sum(axis=1).max(axis=1) for each in (scaled, inverse))
    sure: NDArray[np.bool_] = next(sizes) * next(sizes) < SURE
    return sure, inverse * both


@frozen(eq=False)
class Solved:
    """Layouts solved whole with one top ply or both, all joints slack; f of them, n braces, m motions, c wind cases.

    Attributes:
        sure: which keep their digits, (f,).
        pivot: the diagonal of their systems, (f, n + m).
        inverse: of their systems, (f, n + m, n + m).
        found: forces and motions of each case, (f, n + m, c).
        count: braces, n.
    """

    sure: NDArray[np.bool_]
    pivot: Array
    inverse: Array
    found: Array
    count: int

    def some(self, which: Ints) -> Solved:
        """Give some of them.

        Args:
            which: which.
        """
        return Solved(
            self.sure[which], self.pivot[which], self.inverse[which], self.found[which], count=self.count
        )


@frozen(eq=False)
class Near:
    """Layouts of which each is a solved one with one brace elsewhere; b of them.

    A brace out and another in its place are two changes of one row of the system: of n braces that takes n² sums
    where the whole takes n³. What does not keep its digits is solved whole.

    Attributes:
        pool: the wall at one gust.
        layouts: candidates of each, (b, n).
        of: which of those solved each is of, (b,).
        place: which brace of it is elsewhere, (b,).
        at: heads of those solved, (f, n).
        solved: they, with both plies, and with one where that is asked.

    Source: STATICS, force method, by the equations of bracing.panel.reduced; a change of one row (Sherman, Morrison).
    """

    pool: Pool
    layouts: Ints
    of: Ints
    place: Ints
    at: Ints
    solved: tuple[Solved, ...]

    def first_look(self, some: Ints) -> Array:
        """Give what `_first_look` does.

        Args:
            some: which.
        """
        slack, _, sure = self.forces(some, plate=0, gaps=False)
        worst = _of_braces(self.pool, self.layouts[some].T.copy(), slack)
        worst[~sure] = _first_look(self.pool, self.layouts[some[~sure]])
        return worst

    def worst(self, some: Ints) -> Array:
        """Give what `_block` does.

        Args:
            some: which.
        """
        forces = [self.forces(some, plate=plate) for plate in (0, 1)]
        ratios = _worst(self.pool, self.layouts[some].T.copy(), forces)
        unsure = np.flatnonzero(~np.logical_and.reduce([sure for _, _, sure in forces]))
        if len(unsure):
            ratios[unsure] = _block(self.pool, self.layouts[some[unsure]].T.copy())
        return ratios

    def forces(self, some: Ints, *, plate: int, gaps: bool = True) -> Forces:
        """Give what `brace_forces` does, and which keep their digits.

        Args:
            some: which.
            plate: 0 with both plies, 1 with one.
            gaps: give what a unit gap does too.
        """
        of, place, solved, panel = self.of[some], self.place[some], self.solved[plate], self.pool.panel
        count, each = self.layouts.shape[1], np.arange(len(some))
        new = self.layouts[some, place]
        one, at = self.pool.at[new], self.at[of]
        flexibility, motions = panel.flexibility[plate], panel.motions[plate]
        column = np.concatenate([flexibility[at, one[:, None]], -motions[one]], axis=1)
        # without the brace that goes elsewhere
        out = solved.inverse[of, :, place]
        own = out[each, place]
        sure = solved.sure[of] & (own * solved.pivot[of, place] > KEPT)
        own = np.where(sure, own, 1.0)
        left = solved.found[of] - out[:, :, None] * (solved.found[of, place] / own[:, None])[:, None]
        # and with it there
        drawn = _each_times(solved.inverse, of, column)
        drawn -= out * ((out * column).sum(axis=1) / own)[:, None]
        alone = flexibility[one, one] + self.pool.give[1][new]
        pivot = alone - (column * drawn).sum(axis=1)
        sure &= pivot > KEPT * alone
        pivot = np.where(sure, pivot, 1.0)
        force = (panel.under_load[plate].T[one] - (column[:, None] @ left)[:, 0]) / pivot[:, None]
        drawn[each, place] = -1.0
        slack = (left - drawn[:, :, None] * force[:, None])[:, :count].transpose(1, 2, 0).copy()
        slack[:, :, ~sure] = 0.0
        if not gaps:
            return slack, slack[:, :0], sure
        per_gap = solved.inverse[of, :count, :count]
        per_gap -= (out / own[:, None])[:, :count, None] * out[:, None, :count]
        per_gap += (drawn / pivot[:, None])[:, :count, None] * drawn[:, None, :count]
        return slack, per_gap.transpose(1, 2, 0), sure


def _near(pool: Pool, layouts: Ints, like: Like) -> Near:
    """Layouts beside those they are like, solved once."""
    bases, of = like
    solved = solved_whole(pool, bases, plate=0), solved_whole(pool, bases, plate=1)
    place = (layouts != bases[of]).argmax(axis=1)
    return Near(pool, layouts, of, place, pool.at[bases], solved)


def solved_whole(pool: Pool, layouts: Ints, *, plate: int) -> Solved:
    """Give layouts solved whole, all joints slack.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each, (f, n).
        plate: 0 with both top plies, 1 with one.
    """
    whole, loads = _systems(pool, layouts, plate=plate)
    sure, inverse = _inverses(whole, layouts.shape[1])
    return Solved(sure, np.einsum("fii->fi", whole), inverse, inverse @ loads, count=layouts.shape[1])


def _each_times(matrices: Array, of: Ints, columns: Array) -> Array:
    """Each column (b, s) times the symmetric matrix (f, s, s) it is of, (b, s)."""
    if len(matrices) == 1:
        alike: Array = columns @ matrices[0]
        return alike
    found: Array = (matrices[of] @ columns[..., None])[..., 0]
    return found


def forces_allowed(pool: Pool) -> tuple[Array, Array]:
    """Give the least and the greatest force each candidate may carry in each wind case.

    Args:
        pool: the wall with its candidates.

    Returns:
        Both (s, c) [lb]; the least over the greatest where its stud stands no force at all.
    """
    low, high = allowed_anywhere(pool)[:, : len(pool.candidates)]
    return low, high


def allowed_anywhere(pool: Pool) -> Array:
    """Give the same of each candidate in its place, then one stud to the left, then to the right, (2, 3 s, c) [lb].

    Args:
        pool: the wall with its candidates.
    """
    low, high = pool.panel.stands[:, pool.shape]
    return np.stack([np.maximum(low, -pool.level[:, None]), np.minimum(high, pool.level[:, None])])


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
        moved = [off_mark(pool, like[None], k, side=side)[0] for side, k in slips]
        there = [slip for slip, rows in zip(slips, moved, strict=True) if len(rows)]
        own = worst_ratios(pool, np.concatenate(moved))
        slips = [there[k] for k in np.argsort(-own, kind="stable")] + [s for s in slips if s not in there]
    asked = np.arange(len(layouts))
    while slips and len(asked):
        some, slips = slips[: (at_once := max(1, BLOCK // len(asked)))], slips[at_once:]
        drawn = layouts[asked]
        off = [off_mark(pool, drawn, k, side=side) for side, k in some]
        rows, of = (np.concatenate(each) for each in zip(*off, strict=True))
        np.maximum.at(worst, asked[of], ratios_up_to(pool, rows, most, like=(drawn, of)))
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
        rows, of = off_mark(pool, layouts, k, side=side)
        left = stands[of]
        stands[of[left]] = worst_ratios(pool, rows[left]) <= WITHIN
    return stands


def off_mark(pool: Pool, layouts: Ints, k: int, *, side: int) -> tuple[Ints, Ints]:
    """Give layouts with one brace one stud off its mark, and which each is of; none where no stud is free.

    Args:
        pool: the wall at one gust.
        layouts: candidates of each, (b, n).
        k: which brace.
        side: one stud to the left (1) or to the right (2).
    """
    rows, stud = layouts.copy(), pool.panel.stud
    rows[:, k] += side * len(pool.candidates)
    there = pool.at[rows[:, k]]
    moves = (there >= 0) & ~(stud[there][:, None] == stud[pool.at[layouts]]).any(axis=1)
    return rows[moves], np.flatnonzero(moves)


def _block(pool: Pool, rows: Ints) -> Array:
    """Worst ratios of a block; `rows` are its candidates as the pool holds them, (n, b)."""
    forces = list[Forces]()
    for plate in (0, 1):
        system, under, work = _reduced(pool, rows, plate=plate)
        forces.append(brace_forces(*system, under=under, work=work))
    return np.where(forces[0][2] & forces[1][2], _worst(pool, rows, forces), np.inf)


def _worst(pool: Pool, rows: Ints, forces: list[Forces]) -> Array:
    """Worst ratios of a block (n, b) at its forces, with both plies and with one."""
    panel, at = pool.panel, pool.at[rows]
    firmer = pool.give[1][rows] - pool.give[0][rows]
    spot, nearest = np.arange(len(rows)), _nearest(panel, at)
    found = list[Array]()
    worst: Array = _left_out(panel.loose, panel.stud[at])
    for plate, (slack, per_gap, _) in enumerate(forces):
        gap = drawn_by_stiff(slack, per_gap, firmer)
        found += [slack, slack + gap * per_gap[spot, spot, None]]
        worst = np.maximum(worst, _plate(panel, plate, at, slack, drawn=(gap, per_gap, nearest)))
    low, high = np.minimum.reduce(found), np.maximum.reduce(found)
    level = _of_level(np.maximum(high.max(axis=1), -low.min(axis=1)), pool, rows)
    worst = np.maximum(worst, level.max(axis=0))
    for force in (low, high):
        worst = np.maximum(worst, _alone(pool, rows, force))
    return worst


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
