"""What the braces of a layout must balance, whatever the stiffness: a bound that drops whole branches of the grid.

In every wind case and for every motion of the wall the braces' forces must do the work of the loads. So for any weight
on the motions, sum(F_i v_i) = w, where no F_i may pass what its brace gives or what its stud stands. A set of braces
whose greatest sum stays under w for one weight fails, and so does every layout that cannot add enough to it.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.choosing import SAME, ranks
from bracing.job.envelope import MOST_APART, MOST_FROM_END
from bracing.job.wall import Wall
from bracing.layout.grid import Bench
from bracing.layout.studs import FORCES, STEP
from bracing.units import Inch

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

WEIGHTS = 48  # weights tried on the motions
KEPT = 20  # of all the sums, those that drop the most of a sample
SAMPLE = 512
SLACK: Inch = 0.01


@frozen(eq=False)
class Bounds:
    """The sums kept; j sums, s makes, p places.

    Attributes:
        need: what each sum must reach, (j,).
        most: the greatest part of each make in each sum, (s, j).
        place: place of each make, (s,).
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


def forces_allowed(bench: Bench) -> tuple[Array, Array]:
    """Give the least and the greatest force each make may carry in each wind case.

    Args:
        bench: the wall with its makes.

    Returns:
        Both (s, c) [lb]; the least over the greatest where its stud stands no force at all.
    """
    stands = bench.table[: len(bench.at)] <= 1.0 + SAME
    low = np.where(stands, FORCES, np.inf).min(axis=-1) - STEP
    high = np.where(stands, FORCES, -np.inf).max(axis=-1) + STEP
    return np.maximum(low, -bench.level[:, None]), np.minimum(high, bench.level[:, None])


def possible(bench: Bench, wall: Wall, count: int) -> bool:
    """Whether n braces could reach every sum at all, each taken alone; where not, no layout of n stands.

    Args:
        bench: the wall with its makes.
        wall: the wall.
        count: braces, n.
    """
    if len(bench.makes) == 0 or count < 1:
        return False
    bounds = bounds_of(bench, wall, count)
    first = bounds.starts[bounds.place]
    reached = (bounds.most + bounds.after[count - 1, bounds.place])[first]
    return bool((reached.max(axis=0, initial=-np.inf) >= bounds.need).all())


@lru_cache(maxsize=256)
def bounds_of(bench: Bench, wall: Wall, count: int) -> Bounds:
    """Find the sums that bind for layouts of n braces.

    Args:
        bench: the wall with its makes.
        wall: the wall.
        count: braces, n.
    """
    places, place = np.unique(bench.x, return_inverse=True)
    left = right = MOST_FROM_END
    gaps = places[None, :] - places[:, None]
    steps = (gaps > SLACK) & (gaps <= MOST_APART + SLACK)
    starts, ends = places <= left + SLACK, wall.length - places <= right + SLACK
    most, need = _sums(bench)
    kept = _binding(most, need, place, count)
    most, need = most[:, kept], need[kept]
    best = np.full((len(places), len(need)), -np.inf)
    np.maximum.at(best, place, most)
    after = np.full((count, len(places), len(need)), -np.inf)
    after[0, ends] = 0.0
    for m in range(1, count):
        onward = best + after[m - 1]
        for k in range(len(places)):
            after[m, k] = onward[steps[k]].max(axis=0, initial=-np.inf)
    return Bounds(need * (1.0 - SAME), most, place.astype(np.intp), places, after, steps, starts)


def _sums(bench: Bench) -> tuple[Array, Array]:
    """Every sum: the greatest part of each make, (s, all), and what must be reached, (all,)."""
    low, high = forces_allowed(bench)
    parts, needs = [], []
    for plate in (0, 1):
        motions, work = bench.panel.motions[plate][bench.at], bench.panel.work[plate]
        scale = np.maximum(np.abs(motions).max(axis=0, initial=0.0), 1e-300)
        weights = _directions(motions.shape[1]) / scale
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
    makes = order[first[at] + (chance.random((SAMPLE, count)) * spread).astype(np.intp)]
    dropped = most[makes].sum(axis=1) < need * (1.0 - SAME)
    chosen: list[int] = []
    alive = np.ones(SAMPLE, dtype=bool)
    for _ in range(min(KEPT, len(need))):
        gains = dropped[alive].sum(axis=0)
        if not gains.any():
            break
        chosen.append(int(np.argmax(gains)))
        alive &= ~dropped[:, chosen[-1]]
    with np.errstate(divide="ignore", invalid="ignore"):
        tightness = need / np.where(np.isfinite(most), most, 0.0).mean(axis=0)
    rest = [
        int(k)
        for k in np.argsort(ranks(-np.nan_to_num(tightness, posinf=0.0)), kind="stable")
        if k not in chosen
    ]
    return np.array(sorted([*chosen, *rest[: max(0, KEPT - len(chosen))]]), dtype=np.intp)
