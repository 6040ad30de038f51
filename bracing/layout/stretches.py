"""Whether the braces of a stretch of wall from LEFT may stand, whatever braces stand beyond it.

Past a cut between two studs the rest of a wall acts on the stretch through its top plate alone, by two numbers: what
its braces do along the motions of the wall. So the forces of the stretch's braces are those of a wall that they alone
hold, and what each of those two adds. Where no two numbers, of all that any braces beyond could do, leave every brace
of the stretch within what it may carry, no layout that begins so stands; nor where it is so with one of its braces a
stud off its mark, as any brace of a plan may be.

That the rest acts so is not taken for granted: it is found out of every cut of a panel, and where it is not so to
rounding, as beside a continuous row, the stretch to that cut is let pass.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.choosing import SAME
from bracing.job.wall import Wall
from bracing.layout.grid import HeadPanel, Pool
from bracing.layout.outward import Rules, most_after, rules_of
from bracing.layout.screen import NEAR, Near, allowed_anywhere, forces_allowed, off_mark, solved_in_turn
from bracing.units import Inch

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
Lines = tuple[Array, Array]  # where each starts, and its rise

AT_ONCE = 4096  # stretches looked at in one call; measured
Slips = tuple[tuple[int, int], ...]
# Which braces, counted from the cut, are tried a stud off too, to the left (1) or right (2); the rest were before.
SLIPS: Slips = ((2, 1), (2, 2), (1, 1), (3, 2), (3, 1))
FACES = 8  # sides of the polygon drawn about what the braces beyond may do
ASLANT = (0.15, 0.4, 1.0, 2.5)  # and how far each is also turned to what must balance by itself, either way
NEARLY = 0.97  # of what not every wind case drops
NOWHERE = 1e9  # how far short of everything no braces at all reach
RANK = 1e-9  # a part under this of the largest is none
LIKE = 1e-9  # what is left over, as a part of the largest, where two numbers tell all
FLAT = 1e-4  # a brace that one of the second number moves by less counts as moved so much [lb]
ROUNDS = 12  # of cutting down where a common point may be; left open after them, it may
_CLEAR: Inch = 1.0


@frozen(eq=False)
class Side:
    """What lies beyond cuts through which it acts alike; h heads, c wind cases, m motions.

    Attributes:
        still: motions that move the stretch, (m, r).
        drawn: movement of each head per unit of what the braces beyond do along each motion, (h, m) [in/lb].
        base: of each wind case, of what they do along each motion the part that is known, (c, m) [lb].
        free: that along two directions that are not, (m, 2).
    """

    still: Array
    drawn: Array
    base: Array
    free: Array


@frozen(eq=False)
class Beyond:
    """What braces beyond each place of a pool may do to the stretch up to it.

    Attributes:
        sides: what lies beyond.
        pools: of each the pool, its load cases followed by the two numbers at one each.
        side: which of them is beyond each place, -1 where none is known, (p,).
        place: place of each candidate, (s,).
        faces: directions the polygon is measured in, (e, 2).
        reach: of each side, how far m braces beyond a place may reach in each, (sides, m, p, c, e).
        cases: the wind cases that are asked.
        allowed: least and greatest force of each candidate, there and a stud off, (2, 3 s, c) [lb].
    """

    sides: tuple[Side, ...]
    pools: tuple[Pool, ...]
    side: Ints
    place: Ints
    faces: Array
    reach: Array = field(repr=False)
    cases: tuple[int, ...]
    allowed: Array = field(repr=False)

    def asking_least(self, some: Ints, *, left: int) -> Beyond:
        """Ask only the wind cases that drop nearly all of some stretches that not every case drops.

        Args:
            some: candidates of each from LEFT, (b, t).
            left: braces still to come, one or more.
        """
        each = [evolve(self, cases=(case,)).may_go_on(some, left=left, slips=())[0] for case in self.cases]
        dropped = ~np.array(each)
        every, chosen = dropped.any(axis=0) & ~dropped.all(axis=0), list[int]()
        while np.count_nonzero(every & dropped[chosen].any(axis=0)) < NEARLY * np.count_nonzero(every):
            open_ = every & ~dropped[chosen].any(axis=0)
            chosen.append(int(np.argmax(np.count_nonzero(dropped & open_, axis=1))))
        return evolve(self, cases=tuple(chosen)) if chosen else self

    def may_go_on(self, stretches: Ints, *, left: int, slips: Slips = SLIPS) -> tuple[Flags, int]:
        """Say which stretches may be the beginning of a layout that stands; and how many had to be looked at for it.

        Args:
            stretches: candidates of each from LEFT, the same but for the last side by side, (b, t).
            left: braces still to come, one or more.
            slips: which of their braces, counted from the last, may each be a stud off, and to which side.
        """
        may, looks = np.ones(len(stretches), dtype=bool), 0
        sides = self.side[self.place[stretches[:, -1]]]
        for k, pool in enumerate(self.pools):
            here = np.flatnonzero(sides == k)
            if stretches.shape[1] < pool.panel.motions[0].shape[1]:
                continue
            for n in range(0, len(here), AT_ONCE):
                some = here[n : n + AT_ONCE]
                may[some], more = self._stands(pool, stretches[some], self.reach[k, left], slips)
                looks += more
        return may, looks

    def _stands(self, pool: Pool, rows: Ints, reach: Array, slips: Slips) -> tuple[Flags, int]:
        """Whether stretches of one side may stand, there and with a brace off its mark, (b,)."""
        far = reach[self.place[rows[:, -1]]]
        solved = solved_in_turn(pool, rows)
        may = self._meets(solved.found[:, : solved.count].transpose(1, 2, 0).copy(), rows, far) | ~solved.sure
        looks, left = len(rows), np.flatnonzero(may)
        if not slips:
            return may, looks
        own = rows[left]
        near_to = (solved.some(left),)
        for back, side in slips:
            k = rows.shape[1] - back
            if k < 0:
                continue
            asked = np.flatnonzero(may[left])
            moved, of = off_mark(pool, own[asked], k, side=side)
            if len(of):
                of = asked[of]
                near = Near(pool, moved, of, np.full(len(of), k), pool.at[own], near_to)
                force, _, sure = near.forces(np.arange(len(of)), plate=0, gaps=False)
                may[left[of]] &= self._meets(force, moved, far[left[of]]) | ~sure
                looks += len(of)
        return may, looks

    def _meets(self, force: Array, rows: Ints, reach: Array) -> Flags:
        """Whether every wind case has forces (t, c + 2, b) that the braces may carry, of what may act beyond, (b,)."""
        may = np.ones(len(rows), dtype=bool)
        for case in self.cases:
            left = np.flatnonzero(may)
            if not len(left):
                break
            some, here = force[:, :, left], rows[left].T
            low, high = (each[here] - some[:, case] for each in self.allowed[:, :, case])
            may[left] = common_point(
                (some[:, -2], some[:, -1]), low, high, sides=(self.faces, reach[left, case].T)
            )
        return may


def common_point(
    across: tuple[Array, Array], low: Array, high: Array, *, sides: tuple[Array, Array]
) -> Flags:
    """Say whether a point of the plane may lie in some strips and a polygon: never that none does where one does.

    Along the first axis, the room that strips and polygon leave on the second is a concave line. Its tangents at two
    places bound how high it gets between them: where that is below naught there is no point, else it is asked there.

    Args:
        across: what each strip measures along the first axis and along the second, (t, b) each.
        low: the least it may measure, (t, b).
        high: the most, (t, b).
        sides: directions of the polygon's sides, evenly all round from the first axis, (e, 2); how far each is, (e, b).

    Returns:
        Flags, (b,).

    Source: STATICS, a linear programme of two unknowns by the bounds of its dual.

    Example:
        >>> square = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]]), np.ones((4, 2))
        >>> one = np.ones((1, 2))
        >>> common_point((one, one), np.array([[1.9, 2.1]]), 3.0 * one, sides=square).tolist()
        [True, False]
    """
    tops, floors = _lines(across, low, high, sides)
    reach = sides[1]
    a, b = -reach[len(reach) // 2], reach[0]
    may: Flags = a <= b
    left = np.arange(len(may))
    start, stop = _room(tops, floors, a), _room(tops, floors, b)
    for _ in range(ROUNDS):
        (room, more), (other, less) = start, stop
        apart = more - less
        at = np.clip((other - room + more * a - less * b) / np.where(apart > 0.0, apart, 1.0), a, b)
        open_ = (room < 0.0) & (other < 0.0)
        none = open_ & ((more <= 0.0) | (less >= 0.0) | (room + more * (at - a) < 0.0))
        may[left[none]] = False
        keep = np.flatnonzero(open_ & ~none)
        if not len(keep):
            break
        left, a, b, at = left[keep], a[keep], b[keep], at[keep]
        tops, floors = [(each[:, keep], slope[:, keep]) for each, slope in (tops, floors)]
        here = _room(tops, floors, at)
        onward = here[1] > 0.0
        a, b = np.where(onward, at, a), np.where(onward, b, at)
        start = np.where(onward, here[0], room[keep]), np.where(onward, here[1], more[keep])
        stop = np.where(onward, other[keep], here[0]), np.where(onward, less[keep], here[1])
    return may


def _lines(
    across: tuple[Array, Array], low: Array, high: Array, sides: tuple[Array, Array]
) -> tuple[Lines, Lines]:
    """Strips and sides as lines over the first axis, those above and those below: start and rise, (lines, b) each."""
    run, rise = across
    rise = np.where(np.abs(rise) < FLAT, np.where(rise < 0.0, -FLAT, FLAT), rise)
    slope, one, other = -run / rise, low / rise, high / rise
    faces, reach = sides
    half = len(faces) // 2
    drawn = []
    for ends, some in (
        (np.maximum(one, other), slice(1, half)), (np.minimum(one, other), slice(half + 1, 2 * half)),
    ):  # fmt: skip
        steep = faces[some, 1, None]
        straight = np.broadcast_to(-faces[some, 0, None] / steep, (half - 1, reach.shape[1]))
        drawn.append((np.concatenate([ends, reach[some] / steep]), np.concatenate([slope, straight])))
    return drawn[0], drawn[1]


def _room(tops: Lines, floors: Lines, at: Array) -> tuple[Array, Array]:
    """How far the lowest line above lies over the highest below, and how that grows along the axis, (b,)."""
    (start, slope), (base, lean) = tops, floors
    above, below = start + slope * at, base + lean * at
    lowest, highest = above.min(axis=0), below.max(axis=0)
    grows = np.where(above <= lowest, slope, -np.inf).max(axis=0)
    falls = np.where(below >= highest, lean, -np.inf).max(axis=0)
    return lowest - highest, grows - falls


# -- what may lie beyond -----------------------------------------------------------------------------------


@lru_cache(maxsize=32)
def sides_of(panel: HeadPanel) -> tuple[tuple[Side, ...], dict[Inch, int]]:
    """Find how what lies past each stud acts on the wall up to it.

    Args:
        panel: the wall at one gust.

    Returns:
        The sides; and of each stud, by its place from LEFT [in], which is beyond it, where it acts by two numbers.
    """
    x = panel.stud_x[panel.stud]
    found: dict[tuple[int, int], Side] = {}
    where: dict[Inch, int] = {}
    for cut in np.unique(x)[-2::-1]:  # from RIGHT: the first of a kind holds for the longest stretch
        stretch = x < cut + _CLEAR
        still, ranks = _ranks(panel, stretch)
        if ranks not in found:
            side = _side(panel, stretch, still)
            if side is None:
                continue
            found[ranks] = side
        if _acts_so(panel, stretch, found[ranks], still):
            where[float(cut)] = [*found].index(ranks)
    return tuple(found.values()), where


def _ranks(panel: HeadPanel, stretch: Flags) -> tuple[Array, tuple[int, int]]:
    """Motions that move a stretch, (m, r), and how many do; and how many move what is beyond."""
    still, beyond = _moving(panel.motions[0][stretch]), _moving(panel.motions[0][~stretch])
    return still, (still.shape[1], beyond.shape[1])


def _moving(motions: Array) -> Array:
    """Motions that move some heads, square to one another, (m, r)."""
    if not motions.size:
        return np.zeros((motions.shape[1], 0))
    _, sizes, turned = np.linalg.svd(motions, full_matrices=False)
    moving: Array = turned[sizes > RANK * sizes.max(initial=0.0)].T
    return moving


def _within(panel: HeadPanel, stretch: Flags) -> Array:
    """What a unit force on each head beyond moves the heads of a stretch by, its own motions apart, (h, beyond)."""
    return _apart(panel.motions[0][stretch], panel.flexibility[0][np.ix_(stretch, ~stretch)])


def _apart(motions: Array, moved: Array) -> Array:
    """What heads are moved by, (h, ..), without what their motions do."""
    heads, sizes, _ = np.linalg.svd(motions, full_matrices=False)
    moves = heads[:, sizes > RANK * sizes.max(initial=0.0)]
    rest: Array = moved - moves @ (moves.T @ moved)
    return rest


def _side(panel: HeadPanel, stretch: Flags, still: Array) -> Side | None:
    """What lies beyond a stretch; None where it acts by other than two numbers."""
    motions, work = panel.motions[0], panel.work[0]
    drawn = np.zeros_like(motions)
    drawn[stretch] = np.linalg.lstsq(motions[~stretch], _within(panel, stretch).T, rcond=RANK)[0].T
    # What must balance by itself beyond, and what nothing beyond can do.
    by_itself, nothing = _rest(still), _rest(_moving(motions[~stretch]))
    known = np.concatenate([nothing, by_itself], axis=1)[:, : len(still) - 2]
    free = _rest(known)
    if free.shape[1] != 2 or _moving(known.T).shape[1] < known.shape[1]:
        return None
    amounts = np.concatenate([np.zeros((len(work), nothing.shape[1])), work @ by_itself], axis=1)[
        :, : known.shape[1]
    ]
    base = np.linalg.lstsq(known.T, amounts.T, rcond=RANK)[0].T if known.shape[1] else np.zeros_like(work)
    reach = motions[~stretch] @ free
    sizes, turned = np.linalg.eigh(reach.T @ reach)
    return Side(still, drawn, base, free @ (turned * np.sqrt(np.maximum(sizes, RANK * sizes.max()))))


def _rest(some: Array) -> Array:
    """Directions square to some that are square to one another, (m, rest)."""
    if some.shape[1] == 0:
        return np.eye(len(some))
    rest: Array = np.linalg.svd(some, full_matrices=True)[0][:, some.shape[1] :]
    return rest


def _acts_so(panel: HeadPanel, stretch: Flags, side: Side, still: Array) -> bool:
    """Whether what is beyond a cut acts on a stretch as a side has it, to rounding."""
    motions, within = panel.motions[0], _within(panel, stretch)
    drawn = _apart(motions[stretch], side.drawn[stretch])
    most = np.abs(panel.flexibility[0][np.ix_(stretch, ~stretch)]).max(initial=0.0)
    alike = np.abs(still @ still.T - side.still @ side.still.T).max(initial=0.0)
    return bool(np.abs(within - drawn @ motions[~stretch].T).max() <= LIKE * most and alike <= LIKE)


@lru_cache(maxsize=64)
def beyond_of(pool: Pool, wall: Wall, count: int) -> Beyond | None:
    """Find what braces beyond each place may do to the stretch up to it; None where nothing is known of any.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces of a layout.
    """
    sides, where = sides_of(pool.panel)
    places, place = np.unique(pool.x, return_inverse=True)
    side = np.array([where.get(float(x), -1) for x in places], dtype=np.intp)
    if not (side >= 0).any():
        return None
    allowed = allowed_anywhere(pool)
    turn = 2.0 * math.pi * np.arange(FACES) / FACES
    faces = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    rules = rules_of(wall, tuple(places.tolist()))
    scaled = tuple(evolve(each, free=each.free * _a_force(allowed)) for each in sides)
    reach = [_reach(pool, each, faces, rules=rules, place=place, count=count) for each in scaled]
    return Beyond(
        sides=scaled, pools=tuple(_with_two(pool, each) for each in scaled), side=side,
        place=place.astype(np.intp), faces=faces, reach=np.stack(reach), cases=tuple(range(len(pool.panel.moment))),
        allowed=allowed + np.array([-NEAR, NEAR])[:, None, None],
    )  # fmt: skip


def _a_force(allowed: Array) -> float:
    """A force such as a brace may carry [lb]."""
    return max(1.0, float(np.median(np.maximum(allowed[1], -allowed[0]))))


def _with_two(pool: Pool, side: Side) -> Pool:
    """A pool whose load cases are followed by the two numbers at one each, as the stretch before a side has them."""
    panel = pool.panel
    under = np.concatenate([panel.under_load[0] - side.base @ side.drawn.T, -(side.drawn @ side.free).T])
    work = np.concatenate([(panel.work[0] - side.base) @ side.still, -side.free.T @ side.still])
    motions = panel.motions[0] @ side.still
    return evolve(
        pool,
        panel=evolve(
            panel, motions=(motions, motions), under_load=np.stack([under, under]), work=(work, work)
        ),
    )


def _reach(pool: Pool, side: Side, faces: Array, *, rules: Rules, place: Ints, count: int) -> Array:
    """How far m braces beyond each place reach in the two numbers, in each direction and wind case, (m, p, c, e)."""
    along = _directions(side, faces)  # (m, e * turns)
    here = pool.panel.motions[0][pool.at[: len(pool.candidates)]] @ along
    low, high = (each[..., None] for each in forces_allowed(pool))
    own = np.where(low <= high, np.maximum(low * here[:, None], high * here[:, None]), -np.inf)
    best = np.full((len(rules[1]), *own.shape[1:]), -np.inf)
    np.maximum.at(best, place, own)
    after = most_after(best, rules, count)
    after -= side.base @ along
    after += SAME * np.abs(np.where(np.isfinite(after), after, 0.0)) + SAME
    reach = after.reshape(*after.shape[:3], -1, len(faces)).min(axis=3)
    return np.where(np.isfinite(reach), reach, -NOWHERE)


def _directions(side: Side, faces: Array) -> Array:
    """What to measure along the motions for each direction of the two numbers, straight and turned, (m, turns * e)."""
    square = np.linalg.inv(side.free.T @ side.free)
    straight = faces @ square @ side.free.T  # (e, m)
    sizes = np.linalg.norm(straight, axis=1, keepdims=True)
    turned = [
        straight + sign * slant * sizes * by
        for by in _rest(_moving(side.free.T)).T
        for slant in ASLANT
        for sign in (1.0, -1.0)
    ]
    found: Array = np.concatenate([straight, *turned]).T
    return found
