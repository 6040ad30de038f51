"""How a brace's lift spreads along the bottom plate: a hat four feet to either side, folded back at ends and doors.

Beside it what else is read at an inch of plate: its shear, what stands on it, how many fasteners of a pattern count.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.job.wall import Wall
from bracing.panel.mesh import Mesh
from bracing.panel.weight import piece_at, plate_pieces, weight_along, weight_changes
from bracing.units import Inch

Array = NDArray[np.float64]
Pieces = tuple[tuple[Inch, Inch], ...]

HALF: Inch = 48.0  # to either side, the width of a panel; judgement
SHORT = 3.0  # spacings: a shorter piece of plate counts whole fasteners
_TOUCH = 1e-6
_ROUNDING = 1e-9


@frozen(eq=False)
class Spread:
    """Where along a plate the lift of braces is read, and how much of each brace's comes there.

    Attributes:
        x: places, from LEFT, (p,) [in].
        piece: which piece of plate each is on, (p,).
        share: of each brace's lift to an inch of plate, (p, n) [1/in].
    """

    x: Array = field(repr=False)
    piece: NDArray[np.intp] = field(repr=False)
    share: Array = field(repr=False)


def hat(x: Array, at: Inch, half: Inch = HALF) -> Array:
    """Give the share of a lift that comes to an inch of plate: φ = (1 - |x - at| / half) / half, or nothing.

    Args:
        x: places [in].
        at: where the lift is [in].
        half: how far it spreads to either side [in].

    Returns:
        Share [1/in].

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.

    Example:
        >>> [round(float(share) * 48.0, 3) for share in hat(np.array([0.0, 24.0, 48.0, 60.0]), 0.0)]
        [1.0, 0.5, 0.0, 0.0]
    """
    return np.asarray(np.clip(1.0 - np.abs(x - at) / half, 0.0, None) / half)


def images(at: Inch, piece: tuple[Inch, Inch], half: Inch = HALF) -> tuple[Inch, ...]:
    """Give where a lift and its images stand: what would pass an end of the piece is folded back, as often as it takes.

    Args:
        at: where the lift is [in].
        piece: the piece of plate [in].
        half: how far it spreads to either side [in].

    Returns:
        Places of the lift and of every image that reaches the piece [in].

    Source: STATICS, all of a lift is held by the piece of plate it is on.

    Example:
        >>> images(10.0, (0.0, 200.0)), images(0.0, (0.0, 200.0)), images(100.0, (0.0, 200.0))
        ((10.0, -10.0), (0.0, 0.0), (100.0,))
    """
    low, high = piece
    length = high - low
    turns = range(-int(half / length) - 2, int(half / length) + 3)
    every = (each for k in turns for each in (at + 2.0 * k * length, 2.0 * low - at + 2.0 * k * length))
    return tuple(place for place in every if low - half < place < high + half)


def share_at(x: Array, piece: tuple[Inch, Inch], lifts: tuple[Inch, ...]) -> Array:
    """Give what of each lift comes to an inch of one piece of plate, at some places on it.

    Args:
        x: places on the piece, from LEFT, (p,) [in].
        piece: near and far end of the piece [in].
        lifts: where each lift is; off the piece it stays out [in].

    Returns:
        Shares, (p, n) [1/in].

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.

    Example:
        >>> share_at(np.array([0.0, 24.0]), (0.0, 240.0), (0.0,)).ravel().tolist() == [2.0 / 48.0, 1.0 / 48.0]
        True
    """
    low, high = piece
    share = np.zeros((len(x), len(lifts)))
    for column, at in enumerate(lifts):
        if low - _TOUCH <= at <= high + _TOUCH:
            for place in images(at, piece):
                share[:, column] += hat(x, place)
    return share


def spread_along(pieces: Pieces, lifts: tuple[Inch, ...], *, also: tuple[Inch, ...] = ()) -> Spread:
    """Spread the lifts of braces along the pieces of a plate they stand on.

    What comes to an inch of plate is a straight line between the places given: its most is at one of them.

    Args:
        pieces: near and far end of each piece of plate, from LEFT [in].
        lifts: where each lift is; on none of the pieces it stays out [in].
        also: places to be read beside, as where the weight above changes [in].

    Returns:
        The places, and the share of each lift there.

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.

    Example:
        >>> whole = spread_along(((0.0, 24.0), (60.0, 240.0)), (12.0, 150.0))
        >>> [round(float(np.trapezoid(whole.share[whole.piece == k, k], whole.x[whole.piece == k])), 6) for k in (0, 1)]
        [1.0, 1.0]
    """
    xs, numbers, shares = [], [], []
    for number, (low, high) in enumerate(pieces):
        here = (at for at in lifts if low - _TOUCH <= at <= high + _TOUCH)
        folded = [place for at in here for place in images(at, (low, high))]
        kinks = [k for place in folded for k in (place - HALF, place, place + HALF)]
        x = np.unique(np.array([low, high, *(k for k in (*kinks, *also) if low < k < high)]))
        xs.append(x)
        numbers.append(np.full(len(x), number))
        shares.append(share_at(x, (low, high), lifts))
    return Spread(np.concatenate(xs), np.concatenate(numbers), np.concatenate(shares))


@frozen(eq=False)
class Along:
    """The places of a plate that the lift of each brace reaches; n braces, p places of each, v feet of verticals.

    Attributes:
        x: the places, from LEFT, (n, p) [in].
        share: of each brace's lift to an inch there, (n, p, n) [1/in].
        own: of its own lift, (n, p) [1/in].
        base: of the shear of each foot to an inch there, (n, p, v) [1/in].
        weight: what stands on an inch there, (n, p) [lb/in].
        run: length of the piece of plate, or of the stud's own stretch, they are on, (n, p) [in].
        step: length of plate each place stands for, (n, p) [in].
        beside: of the shear of each foot, what fasteners beside each brace take, (n, v).
        spreads: a panel carries the lift along the plate.
    """

    x: Array = field(repr=False)
    share: Array = field(repr=False)
    own: Array = field(repr=False)
    base: Array = field(repr=False)
    weight: Array = field(repr=False)
    run: Array = field(repr=False)
    step: Array = field(repr=False)
    beside: Array = field(repr=False)
    spreads: bool

    def per_inch(self, spacing: Inch, told: int | None = None) -> Array:
        """Give how many fasteners of a pattern count to an inch at each place, (n, p) [1/in].

        Args:
            spacing: one every so far [in].
            told: how many are in a short piece; None is as many as whole spacings.
        """
        whole = np.floor(self.run / spacing + _ROUNDING)
        if not self.spreads:
            return whole / self.run
        few = whole if told is None else np.full_like(whole, float(told))
        return np.where(self.run < SHORT * spacing - _ROUNDING, few / self.run, 1.0 / spacing)


def feet_of(mesh: Mesh) -> tuple[Inch, ...]:
    """Give where the verticals stand on the plate, from LEFT [in].

    Args:
        mesh: the grillage.
    """
    return tuple(np.sort(mesh.x[mesh.pinned]).tolist())


def edges_between(feet: tuple[Inch, ...], length: Inch) -> Array:
    """Give the ends of the stretch of plate nearest each foot, (v + 1,) [in].

    Args:
        feet: where the verticals stand [in].
        length: of the wall [in].

    Source: STATICS, geometry.

    Example:
        >>> edges_between((0.75, 16.0, 31.25), 32.0).tolist()
        [0.0, 8.375, 23.625, 32.0]
    """
    x = np.array(feet)
    return np.concatenate([[0.0], (x[1:] + x[:-1]) / 2.0, [length]])


@lru_cache(maxsize=64)
def along_plate(wall: Wall, studs: tuple[Inch, ...], feet: tuple[Inch, ...]) -> Along:
    """Give the places of a wall's plate that the lift of braces on some studs reaches.

    Where no panel is nailed to studs and plate, or a strap lifts the plate, a lift stays in its stud's own stretch.

    Args:
        wall: the wall.
        studs: centre of the stud of each brace [in].
        feet: where the verticals stand [in].

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.
    """
    plate, pieces = wall.plate, plate_pieces(wall)
    spreads = wall.sheathed and plate.sheathing_laps != "none" and not plate.lifted_by_strap
    read = _spread_places if spreads else _own_places
    each = read(wall, pieces, studs, feet)
    most = max(len(x) for x, *_ in each)
    x, share, base, run, step = (
        np.stack([_padded(part[k], most, zero=k == 4) for part in each]) for k in range(5)
    )
    weight = np.array(weight_along(wall, x.ravel().tolist())).reshape(x.shape)
    own = np.einsum("ipi->ip", share)
    if plate.state == "tacked":
        beside = _nearest_takes(wall, pieces, studs, feet)
    else:
        least_of = 1.0 / HALF if spreads else 1.0 / run
        of_shear = own / np.maximum(share.sum(axis=2), least_of)
        beside = np.einsum("ip,ipv->iv", step * of_shear, base)
    return Along(x, share, own, base, weight, run, step, beside, spreads)


_Places = tuple[Array, Array, Array, Array, Array]


def _padded(part: Array, most: int, *, zero: bool) -> Array:
    """The last place named again, as often as it takes; it stands for no more plate."""
    more = np.repeat(part[-1:], most - len(part), axis=0)
    return np.concatenate([part, 0.0 * more if zero else more])


def _stands_for(x: Array) -> Array:
    """Length of plate each place stands for: half-way to the next on either side [in]."""
    gaps = np.diff(x)
    return np.asarray((np.append(gaps, 0.0) + np.append(0.0, gaps)) / 2.0)


def _spread_places(
    wall: Wall, pieces: Pieces, studs: tuple[Inch, ...], feet: tuple[Inch, ...]
) -> list[_Places]:
    spread = spread_along(pieces, studs, also=(*weight_changes(wall), *feet))
    base, step, run = (np.zeros((len(spread.x), *more)) for more in ((len(feet),), (), ()))
    for number, (low, high) in enumerate(pieces):
        here = spread.piece == number
        x = spread.x[here]
        base[here], run[here] = share_at(x, (low, high), feet), high - low
        step[here] = _stands_for(x)
    reached = (np.flatnonzero(spread.share[:, k] > 0.0) for k in range(len(studs)))
    return [(spread.x[at], spread.share[at], base[at], run[at], step[at]) for at in reached]


def _own_places(wall: Wall, pieces: Pieces, studs: tuple[Inch, ...], feet: tuple[Inch, ...]) -> list[_Places]:
    """The stretch of plate nearest each stud: all of its lift, evenly."""
    edges, changes, found = edges_between(feet, wall.length), weight_changes(wall), []
    there = np.array(studs)
    for stud in studs:
        foot = int(np.abs(np.array(feet) - stud).argmin())
        piece = piece_at(pieces, stud)
        low, high = max(float(edges[foot]), piece[0]), min(float(edges[foot + 1]), piece[1])
        x = np.unique([low, high, *(at for at in changes if low < at < high)])
        even = 1.0 / (high - low)
        share = np.repeat((there == stud)[None] * even, len(x), axis=0)
        base = np.repeat((np.arange(len(feet)) == foot)[None] * even, len(x), axis=0)
        found.append((x, share, base, np.full(len(x), high - low), _stands_for(x)))
    return found


def _nearest_takes(wall: Wall, pieces: Pieces, studs: tuple[Inch, ...], feet: tuple[Inch, ...]) -> Array:
    """Part of the shear of each foot that the brace nearest on its own piece of plate takes, nearest of all without.

    Of a plate only tacked nothing holds but what is beside the braces, (n, v).
    """
    there, takes = np.array(studs), np.zeros((len(studs), len(feet)))
    edges = edges_between(feet, wall.length)
    for j, foot in enumerate(feet):
        low, high = piece_at(pieces, foot)
        on_it = there[(low <= there) & (there <= high)]
        near = np.unique(on_it if len(on_it) else there)
        bounds = np.concatenate([[-np.inf], (near[1:] + near[:-1]) / 2.0, [np.inf]])
        overlap = np.minimum(bounds[1:], edges[j + 1]) - np.maximum(bounds[:-1], edges[j])
        for x, part in zip(near, np.clip(overlap, 0.0, None) / (edges[j + 1] - edges[j]), strict=True):
            takes[there == x, j] = part / (there == x).sum()
    return takes
