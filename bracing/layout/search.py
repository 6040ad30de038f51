"""The least number of braces, over the grid or until the budget runs out.

The grid is every set of n candidates, one a stud, none over 10 ft apart and one within 4 ft of each free end. Sets
are built from LEFT; a branch is dropped when what it can still take cannot balance the wind. What is left is
put through the screen in blocks, and what that lets pass is made good by the chain itself.

What the braces of a layout must balance, whatever the stiffness, is a bound that drops whole branches: in every wind
case and for every motion of the wall their forces must do the work of the loads. So for any weight on the motions,
sum(F_i v_i) = w, where no F_i may pass what its brace gives or what its stud stands. A set of braces whose greatest sum
stays under w for one weight fails, and so does every layout that cannot add enough to it.
"""

from __future__ import annotations

import math
from collections.abc import Generator, Iterator, Sequence
from functools import lru_cache

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.choosing import SAME, Budget, ranks
from bracing.job.framing import frame_wall
from bracing.job.wall import Row, Wall
from bracing.layout.grid import Pool
from bracing.layout.outward import most_after, rules_of
from bracing.layout.screen import WITHIN, forces_allowed, ratios_within, stands_off_mark, worst_ratios
from bracing.layout.stretches import Beyond, beyond_of
from bracing.units import Inch

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]

SLACK: Inch = 0.01
AT_ONCE = 512  # part layouts grown in one call
FULL_BLOCK = 2048  # whole layouts put through the chain in one call
GROWING = 0.5  # to grow one part layout by every candidate takes this part of a layout through the chain
SIFTING = 0.1  # to put a layout to the first look, its family solved, takes this part of the whole chain
LOOKING = 0.3  # to look whether a stretch may stand, whatever is beyond it, takes this part; measured
A_LOOK_BEYOND = 4000.0  # layouts' worth of finding what may be beyond; measured
WORTH_LOOKING = (
    5000  # layouts and beginnings of them gone through from which on that is worth finding; measured
)
LEAST_LOOKED = 4  # braces of a layout from which on a stretch says something
KEEP = 128  # fine layouts kept of one number and scheme to choose from


WEIGHTS = 48  # weights tried on the motions
KEPT = 20  # of all the sums, those that drop the most of a sample
STILL_DIGITS = 12  # heads that move alike so far are one
STILL_AT = 1e-9  # two heads that move so nearly alike leave no motion that is told from rounding
SAMPLE = 512
A_BOUND = 2000.0  # layouts' worth of choosing among them; measured


@frozen(eq=False)
class Bounds:
    """The sums kept; j sums, s candidates, p places.

    Attributes:
        need: what each sum must reach, (j,).
        most: the greatest part of each candidate in each sum, (s, j).
        place: place of each candidate, (s,).
        places: where the places are, from LEFT, (p,) [in].
        after: greatest sum m more braces can add past each place, keeping the spacing rules, (m, p, j).
        steps: places that may follow each place, (p, p).
        starts: places the first brace may stand on, (p,).
    """

    need: Array
    most: Array = field(repr=False)
    place: Ints
    places: Array
    after: Array = field(repr=False)
    steps: NDArray[np.bool_] = field(repr=False)
    starts: NDArray[np.bool_] = field(repr=False)


def possible(pool: Pool, wall: Wall, count: int) -> bool:
    """Whether n braces could reach every sum at all, each taken alone; where not, no layout of n stands.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces, n.
    """
    if len(pool.candidates) == 0 or count < 1:
        return False
    bounds = bounds_of(pool, wall, count)
    first = bounds.starts[bounds.place]
    reached = (bounds.most + bounds.after[count - 1, bounds.place])[first]
    return bool((reached.max(axis=0, initial=-np.inf) >= bounds.need).all())


@lru_cache(maxsize=256)
def bounds_of(pool: Pool, wall: Wall, count: int, *, whole: bool = False) -> Bounds:
    """Find the sums that bind for layouts of n braces.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces, n.
        whole: of every motion that leaves some heads where they are, and not of a few: for a grid gone through.
    """
    places, place = np.unique(pool.x, return_inverse=True)
    rules = rules_of(wall, tuple(places.tolist()))
    most, need = _sums(pool, whole=whole)
    kept = _binding(most, need, place, count)
    most, need = most[:, kept], need[kept]
    best = np.full((len(places), len(need)), -np.inf)
    np.maximum.at(best, place, most)
    after = most_after(best, rules, count)
    return Bounds(need * (1.0 - SAME), most, place.astype(np.intp), places, after, *rules[:2])


def _sums(pool: Pool, *, whole: bool = False) -> tuple[Array, Array]:
    """Every sum: the greatest part of each candidate, (s, all), and what must be reached, (all,)."""
    low, high = forces_allowed(pool)
    parts, needs = [], []
    here = pool.at[: len(pool.candidates)]
    both = [(pool.panel.motions[plate][here], pool.panel.work[plate]) for plate in (0, 1)]
    alike = whole and all(
        one.shape == other.shape and np.allclose(one, other) for one, other in zip(*both, strict=True)
    )
    for motions, work in both[:1] if alike else both:
        scale = np.maximum(np.abs(motions).max(axis=0, initial=0.0), 1e-300)
        weights = (_still(motions / scale) if whole else _directions(motions.shape[1])) / scale
        along, need = motions @ weights.T, work @ weights.T
        need = np.where(
            np.abs(need) > SAME * np.abs(need).max(initial=0.0), need, 0.0
        )  # no work but rounding
        signed = along[:, None] * np.where(need >= 0.0, 1.0, -1.0)  # (s, c, k)
        greatest = np.maximum(low[..., None] * signed, high[..., None] * signed)
        parts.append(np.where((low <= high)[..., None], greatest, -np.inf).reshape(len(along), -1))
        needs.append(np.abs(need).reshape(-1))
    return np.concatenate(parts, axis=1), np.concatenate(needs)


def _directions(motions: int) -> Array:
    """Weights spread over the half sphere of the motions, the same every time, (k, m)."""
    if motions == 0:
        return np.zeros((0, 0))
    spread = np.random.default_rng(0).normal(size=(WEIGHTS, motions))
    whole = np.concatenate([np.eye(motions), spread])
    if motions == 2:
        turn = math.pi * np.arange(WEIGHTS) / WEIGHTS
        whole = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    lengths: Array = np.linalg.norm(whole, axis=1, keepdims=True)
    return whole / lengths


def _still(motions: Array) -> Array:
    """Weights of every motion that leaves the heads of one brace, or of two, where they are, (k, m).

    What some braces can balance at all is a body with flat sides, each square to such a motion: where every one of
    these sums is reached, there are forces that balance the wind. Of four motions or more, or one, the spread.
    """
    heads = np.unique(np.round(motions, STILL_DIGITS), axis=0)
    if motions.shape[1] == 2:
        found = np.stack([-heads[:, 1], heads[:, 0]], axis=1)
    elif motions.shape[1] == 3:
        one, other = np.triu_indices(len(heads), 1)
        found = np.cross(heads[one], heads[other])
    else:
        return _directions(motions.shape[1])
    lengths = np.linalg.norm(found, axis=1)
    moves = lengths > STILL_AT
    whole: Array = found[moves] / lengths[moves, None]
    return whole


def _binding(most: Array, need: Array, place: Ints, count: int) -> Ints:
    """Which sums drop the most of a sample of layouts, (j,)."""
    chance = np.random.default_rng(0)
    studs = place.max(initial=0) + 1
    if len(need) == 0 or studs < count:
        return np.arange(min(KEPT, len(need)), dtype=np.intp)
    want = (np.arange(count) + chance.random((SAMPLE, count))) * studs / count
    order = np.argsort(place, kind="stable")
    first = np.searchsorted(place[order], np.arange(studs + 1))
    at = np.minimum(want.astype(np.intp), studs - 1)
    spread = first[at + 1] - first[at]
    candidates = order[first[at] + (chance.random((SAMPLE, count)) * spread).astype(np.intp)]
    reached = np.zeros((SAMPLE, len(need)))
    for each in candidates.T:
        reached += most[each]
    dropped, chosen = reached < need * (1.0 - SAME), list[int]()
    for _ in range(min(KEPT, len(need))):
        gains = np.count_nonzero(dropped, axis=0)
        if not gains.any():
            break
        chosen.append(int(np.argmax(gains)))
        dropped = dropped[~dropped[:, chosen[-1]]]
    with np.errstate(divide="ignore", invalid="ignore"):
        tightness = need / np.where(np.isfinite(most), most, 0.0).mean(axis=0)
    rest = [
        int(k)
        for k in np.argsort(ranks(-np.nan_to_num(tightness, posinf=0.0)), kind="stable")
        if k not in chosen
    ]
    return np.array(sorted([*chosen, *rest[: max(0, KEPT - len(chosen))]]), dtype=np.intp)


# -- the grid --------------------------------------------------------------------------------------------


@frozen(eq=False)
class Tried:
    """What a search over one number of braces found.

    Attributes:
        found: layouts within at the gust, also with a brace one stud off, as found, (f, count).
        ratios: their worst ratios.
        evaluated: how many were solved for; the rest fail in balance alone, or mirror one that was.
        complete: the grid was gone through to its end.
    """

    found: Ints
    ratios: Array
    evaluated: int
    complete: bool

    @property
    def barren(self) -> bool:
        """Whether no layout of the grid stands."""
        return self.complete and not len(self.found)


def least_possible(pool: Pool, wall: Wall) -> int:
    """Give a number below which no layout can be: by spacing, by motions to hold, by moment about the plate.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
    """
    places = np.unique(pool.x)
    if len(places) == 0:
        return 1
    steps, ahead, stops = rules_of(wall, tuple(places.tolist()))
    count = 0
    while True:  # the set of places that so many braces may reach: no number is passed over
        if not ahead.any() or count > len(places):
            return len(places) + 1
        count += 1
        if bool(np.any(ahead & stops)):
            break
        ahead = np.any(steps[ahead], axis=0).astype(bool)
    best = np.sort([(pool.strongest * pool.head)[pool.x == x].max() for x in places])[::-1]
    need = float(np.abs(pool.panel.moment).max())
    by_moment = int(np.searchsorted(np.cumsum(best), need * (1.0 - SAME))) + 1
    return int(max(count, by_moment, *(motions.shape[1] for motions in pool.panel.motions), 2))


def grid_size(pool: Pool, wall: Wall, count: int) -> int:
    """Count the layouts of the grid, exactly.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces in each.
    """
    places, candidates = np.unique(pool.x, return_counts=True)
    steps, starts, stops = rules_of(wall, tuple(places.tolist()))
    ways = [int(m) if here else 0 for here, m in zip(starts, candidates, strict=True)]
    for _ in range(count - 1):
        ways = [
            int(candidates[k]) * sum(ways[j] for j in range(k) if steps[j, k]) for k in range(len(places))
        ]
    return sum(w for w, here in zip(ways, stops, strict=True) if here)


def none_tried(count: int) -> Tried:
    """Give what a search finds where there is nothing to look for.

    Args:
        count: braces in each layout.
    """
    return Tried(np.zeros((0, count), dtype=np.intp), np.zeros(0), evaluated=0, complete=True)


@lru_cache(maxsize=256)
def covered_by(pool: Pool, other: Pool) -> NDArray[np.bool_]:
    """Say which candidates another pool of the wall has too, as stiff and at least as strong wherever they stand, (s,).

    Layouts of such candidates share the wind out as those of the other pool do: where none of those stands, none does.

    Args:
        pool: the wall with its candidates.
        other: the same wall with others.
    """
    if pool.panel is not other.panel:
        return np.zeros(len(pool.candidates), dtype=bool)
    (own, level), (others, levels) = _alike_in(pool), _alike_in(other)
    same = (own[:, None] == others).all(axis=2) & (levels >= level[:, None]).all(axis=2)
    found: NDArray[np.bool_] = same.any(axis=1)
    return found


def _alike_in(pool: Pool) -> tuple[Array, Array]:
    """Of each candidate, there and a stud off, heads, shapes and give, (s, 12); and what it may give, (s, 3) [lb]."""
    size = len(pool.candidates)
    alike = [each.reshape(3, size).T.astype(np.float64) for each in (pool.at, pool.shape, *pool.give)]
    return np.concatenate(alike, axis=1), pool.level.reshape(3, size).T


def search(
    pool: Pool,
    wall: Wall,
    count: int,
    *,
    clock: Budget,
    missing: Pool | None = None,
    among: Flags | None = None,
) -> Generator[None, None, Tried]:
    """Go through the grid of one number of braces, a block at a time; it stops at KEEP fine layouts.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces in each layout.
        clock: the budget it spends; whoever goes through it looks at what is left.
        missing: the same at the gust at which any one brace may be gone, or None.
        among: only layouts that have one of these candidates, (s,); all unless given.

    Yields:
        After each block.
    """
    found, ratios, evaluated, kept = [], [], 0, 0
    for block in blocks(pool, wall, count, clock=clock, among=among):
        if len(block):
            fine, worst = fine_of(pool, block, clock=clock, missing=missing, most=KEEP - kept)
            evaluated += len(block)
            kept += len(fine)
            found.append(fine)
            ratios.append(worst)
        yield
        if kept >= KEEP:
            break
    return Tried(
        np.concatenate(found) if found else np.zeros((0, count), dtype=np.intp),
        np.concatenate(ratios) if ratios else np.zeros(0), evaluated=evaluated, complete=kept < KEEP,
    )  # fmt: skip


def fine_of(
    pool: Pool, layouts: Ints, *, clock: Budget, missing: Pool | None, most: int | None = None
) -> tuple[Ints, Array]:
    """Give those of some layouts that are within at the gust, also with a brace one stud off, and their worst ratios.

    Args:
        pool: the wall with its candidates.
        layouts: candidates of each layout, (b, n).
        clock: the budget it spends.
        missing: the same at the gust at which any one brace may be gone, or None.
        most: once so many are found the rest is left; all are looked at unless given.
    """
    worst = ratios_within(pool, layouts)
    count = layouts.shape[1]
    clock.spend(SIFTING * len(layouts) + np.isfinite(worst).sum(), count)
    fine = np.flatnonzero(worst <= WITHIN)
    kept: list[Ints] = []
    for k in range(0, len(fine), KEEP):
        some = fine[k : k + KEEP]
        clock.spend(2.0 * count * len(some), count)
        kept.append(some[stands_too(pool, missing, layouts[some])])
        if most is not None and sum(map(len, kept)) >= most:
            break
    rows = np.concatenate(kept) if kept else np.zeros(0, dtype=np.intp)
    return layouts[rows], worst[rows]


def stands_too(pool: Pool, missing: Pool | None, layouts: Ints) -> NDArray[np.bool_]:
    """Whether each layout also stands with any brace one stud off, and with any gone at the gust for that, (b,).

    Args:
        pool: the wall with its candidates.
        missing: the same at the gust at which any one brace may be gone, or None.
        layouts: candidates of each layout, (b, n).
    """
    fine = stands_off_mark(pool, layouts)
    if missing is not None:
        for k in range(layouts.shape[1]):
            left = np.flatnonzero(fine)
            fine[left] = worst_ratios(missing, np.delete(layouts[left], k, axis=1)) <= WITHIN
    return fine


@frozen(eq=False)
class _Branch:
    """Part layouts of one number of braces, from LEFT.

    Attributes:
        chosen: their candidates, (b, t).
        sums: what they reach of each sum, (b, j).
    """

    chosen: Ints
    sums: Array


def blocks(
    pool: Pool, wall: Wall, count: int, *, clock: Budget, among: Flags | None = None
) -> Iterator[Ints]:
    """Give every layout of the grid that the bounds let pass, in blocks; of two that mirror each other, one.

    A block may be empty: so much was looked at, and none was let pass.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces in each layout.
        clock: the budget it spends.
        among: only layouts that have one of these candidates, (s,); all unless given.
    """
    if len(pool.candidates) == 0 or (among is not None and not among.any()):
        return
    clock.spend(A_BOUND)
    bounds, mirror = bounds_of(pool, wall, count, whole=True), mirror_of(pool, wall)
    if mirror is not None and among is not None and (among[mirror] != among).any():
        mirror = None  # what mirrors a layout may have none of them
    beyond, seen, worth = None, 0, WORTH_LOOKING if count >= LEAST_LOOKED else math.inf
    waiting = [_Branch(np.zeros((1, 0), dtype=np.intp), np.zeros((1, len(bounds.need))))]
    while waiting:
        branch = waiting.pop()
        if len(branch.chosen) > AT_ONCE:
            waiting.append(_Branch(branch.chosen[AT_ONCE:], branch.sums[AT_ONCE:]))
            branch = _Branch(branch.chosen[:AT_ONCE], branch.sums[:AT_ONCE])
        grown = _grow(bounds, branch, count)
        clock.spend(len(branch.chosen) * GROWING)
        if among is not None:
            ahead = bounds.place[grown.chosen[:, -1]] < bounds.place[among].max()
            grown = _some_of(
                grown, among[grown.chosen].any(axis=1) | (ahead & (grown.chosen.shape[1] < count))
            )
        seen += len(grown.chosen)
        if seen > worth:
            clock.spend(A_LOOK_BEYOND)
            beyond, worth = looked_beyond(pool, wall, count), math.inf
        if grown.chosen.shape[1] < count:
            if beyond is not None and len(grown.chosen):
                may, looks = beyond.may_go_on(grown.chosen, left=count - grown.chosen.shape[1])
                grown = _some_of(grown, may)
                clock.spend(LOOKING * looks)
            if len(grown.chosen):
                waiting.append(grown)
            yield np.zeros((0, count), dtype=np.intp)
            continue
        whole = grown.chosen
        if mirror is not None:
            whole = whole[_first_of_pair(whole, mirror[whole][:, ::-1])]
        for k in range(0, len(whole), FULL_BLOCK):
            yield whole[k : k + FULL_BLOCK]


def _some_of(branch: _Branch, which: NDArray[np.bool_] | Ints) -> _Branch:
    return _Branch(branch.chosen[which], branch.sums[which])


@lru_cache(maxsize=64)
def looked_beyond(pool: Pool, wall: Wall, count: int) -> Beyond | None:
    """Find what may lie beyond the stretches of layouts of n braces, and which wind cases to ask of them.

    Args:
        pool: the wall with its candidates.
        wall: the wall.
        count: braces, n.
    """
    beyond, bounds = beyond_of(pool, wall, count), bounds_of(pool, wall, count, whole=True)
    if beyond is None:
        return None
    chance = np.random.default_rng(0)
    branch = _Branch(np.zeros((1, 0), dtype=np.intp), np.zeros((1, len(bounds.need))))
    for _ in range(max(2, count - 2)):
        branch = _grow(bounds, branch, count)
        if len(branch.chosen) > SAMPLE:
            some = np.sort(chance.choice(len(branch.chosen), SAMPLE, replace=False))
            branch = _some_of(branch, some)
    return beyond.asking_least(branch.chosen, left=count - branch.chosen.shape[1])


def _grow(bounds: Bounds, branch: _Branch, count: int) -> _Branch:
    """Add one more brace in every way the spacing rules and the bounds allow."""
    left = count - branch.chosen.shape[1] - 1
    if branch.chosen.shape[1]:
        allowed = bounds.steps[bounds.place[branch.chosen[:, -1]]][:, bounds.place]
    else:
        allowed = bounds.starts[bounds.place][None]
    row, candidate = np.nonzero(allowed)
    sums = branch.sums[row] + bounds.most[candidate]
    fine = (sums + bounds.after[left, bounds.place[candidate]] >= bounds.need).all(axis=1)
    row, candidate = row[fine], candidate[fine]
    return _Branch(np.concatenate([branch.chosen[row], candidate[:, None]], axis=1), sums[fine])


def mirror_of(pool: Pool, wall: Wall) -> Ints | None:
    """Give the candidate that mirrors each one and carries as much, on a wall that mirrors itself; else None, (s,).

    Args:
        pool: the wall with its candidates.
        wall: the wall.
    """
    if not _mirrors_itself(wall):
        return None
    found = []
    carries = np.stack([pool.level, *pool.give])[:, : len(pool.candidates)]
    for k, candidate in enumerate(pool.candidates):
        same = [
            other
            for other in np.flatnonzero(np.abs(pool.x - (wall.length - pool.x[k])) < SLACK)
            if abs(pool.head[other] - pool.head[k]) < SLACK
            and abs(pool.candidates[other].brace.set_back - candidate.brace.set_back) < SLACK
            and np.allclose(carries[:, other], carries[:, k], rtol=SAME, atol=0.0)
        ]
        if len(same) != 1:
            return None
        found.append(int(same[0]))
    return np.array(found, dtype=np.intp)


def _mirrors_itself(wall: Wall) -> bool:
    """Whether outline, openings and ends mirror; studs show in the candidates."""

    def alike(one: Sequence[tuple[float, ...]], other: Sequence[tuple[float, ...]]) -> bool:
        return len(one) == len(other) and bool(np.allclose(one, other, atol=SLACK))

    top = [(x, z) for x, z in wall.top]
    turned = [(wall.length - x, z) for x, z in wall.top[::-1]]
    holes = sorted((o.left, o.sill, o.width, o.height, float(o.covered)) for o in wall.openings)
    others = sorted((wall.length - o.right, *row[1:]) for o, row in (
        (o, (o.left, o.sill, o.width, o.height, float(o.covered))) for o in wall.openings))  # fmt: skip
    free = wall.left_end == wall.right_end == "free"  # wind beside a return
    studs = frame_wall(wall).of_kind("common", "end", "king", "trimmer")
    uprights = sorted(stick.x for stick in studs)
    return (
        free and alike(top, turned) and alike(holes, others)
        and bool(np.allclose(uprights, sorted(wall.length - x for x in uprights), atol=SLACK))
    )  # fmt: skip


def _first_of_pair(layouts: Ints, mirrored: Ints) -> NDArray[np.bool_]:
    """Whether a layout comes before its mirror image, or is it, (b,)."""
    differ = layouts != mirrored
    at = differ.argmax(axis=1)
    row = np.arange(len(layouts))
    first: NDArray[np.bool_] = ~differ.any(axis=1) | (layouts[row, at] < mirrored[row, at])
    return first


ROW_STEP: Inch = 6.0  # a strongback's height is given in whole steps of this


def strongback_of(wall: Wall) -> Row:
    """Give the strongback tried as a remedy: of the studs' own size, two thirds up the lowest part of the wall.

    Args:
        wall: the wall.

    Example:
        >>> strongback_of(Wall(name="W", top=((0.0, 144.0), (240.0, 144.0)))).height
        96.0
    """
    lowest = min(z for _, z in wall.top)
    height = max(ROW_STEP, round(lowest * 2.0 / 3.0 / ROW_STEP) * ROW_STEP)
    return Row(height=height, kind="strongback", size=wall.studs.size)
