"""How a brace's lift spreads along the bottom plate: a hat four feet to either side, folded back at ends and doors.

Beside it what else is read at an inch of plate: its shear, what stands on it, how many fasteners of a pattern count.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

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
GAUSS = tuple(  # three points of a stretch and their weights: exact to the fifth power
    (0.5 + part * math.sqrt(0.15), weight / 18.0) for part, weight in ((-1.0, 5.0), (0.0, 8.0), (1.0, 5.0))
)
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


def hat(x: Array, at: Inch | Array, half: Inch = HALF) -> Array:
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


@lru_cache(maxsize=4096)
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
    every = [images(at, piece) if low - _TOUCH <= at <= high + _TOUCH else () for at in lifts]
    share, most = np.zeros((len(x), len(lifts))), max(map(len, every), default=0)
    for turn in range(most):  # the first image of every lift, then the second of those that have one
        some = [column for column, places in enumerate(every) if len(places) > turn]
        share[:, some] += hat(x[:, None], np.array([every[column][turn] for column in some]))
    return share


def _bends(piece: tuple[Inch, Inch], places: tuple[Inch, ...]) -> list[Inch]:
    """Where what forces at some places bring to an inch of one piece changes its slope; one off it stays out [in]."""
    low, high = piece
    here = (at for at in places if low - _TOUCH <= at <= high + _TOUCH)
    folded = [place for at in here for place in images(at, piece)]
    return [bend for place in folded for bend in (place - HALF, place, place + HALF) if low < bend < high]


def _met(x: Array, before: Array, after: Array) -> Array:
    """Where a straight line from one place to the next comes down through nothing [in]."""
    passed = (before > 0.0) & (after < 0.0)
    part = before[passed] / (before[passed] - after[passed])
    return np.asarray(x[:-1][passed] + np.diff(x)[passed] * part)


def where_parted(x: Array, share: Array) -> Array:
    """Give where the lift with the most share changes, and where all of them together pass an even lift's share.

    Args:
        x: places, straight lines between them, (p,) [in].
        share: of each lift, (p, n) [1/in].

    Returns:
        Places between them [in].

    Source: STATICS, geometry.

    Example:
        >>> x = np.array([100.0, 124.0])
        >>> where_parted(x, share_at(x, (0.0, 240.0), (100.0, 124.0))).tolist()
        [112.0]
    """
    most, k, over = share.argmax(axis=1), np.arange(len(x) - 1), share.sum(axis=1) - 1.0 / HALF
    more = tuple(share[at, most[:-1]] - share[at, most[1:]] for at in (k, k + 1))
    pairs = (more, (over[:-1], over[1:]), (-over[:-1], -over[1:]))
    return np.concatenate([_met(x, *pair) for pair in pairs])


def spread_along(
    pieces: Pieces, lifts: tuple[Inch, ...], *, also: tuple[Inch, ...] = (), feet: tuple[Inch, ...] = ()
) -> Spread:
    """Spread the lifts of braces along the pieces of a plate they stand on.

    What comes to an inch of plate is a straight line between the places given: its most is at one of them.

    Args:
        pieces: near and far end of each piece of plate, from LEFT [in].
        lifts: where each lift is; on none of the pieces it stays out [in].
        also: places to be read beside, as where the weight above changes [in].
        feet: of verticals, whose shear spreads as a lift does [in].

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
        bends = _bends((low, high), (*lifts, *feet))
        x = np.unique(np.array([low, high, *bends, *(at for at in also if low < at < high)]))
        if lifts:
            x = np.unique([*x, *where_parted(x, share_at(x, (low, high), lifts))])
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
        read: whether the plate is read there for it: no other brace has more of a share, (n, p).
        base: of the shear of each foot to an inch there, (n, p, v) [1/in].
        weight: what stands on an inch just left of it and just right, (n, p, 2) [lb/in].
        run: length of the piece of plate, or of the stud's own stretch, they are on, (n, p) [in].
        beside: of the shear of each foot, what fasteners beside each brace take, (n, v).
        spreads: a panel carries the lift along the plate.
    """

    x: Array = field(repr=False)
    share: Array = field(repr=False)
    own: Array = field(repr=False)
    read: NDArray[np.bool_] = field(repr=False)
    base: Array = field(repr=False)
    weight: Array = field(repr=False)
    run: Array = field(repr=False)
    beside: Array = field(repr=False)
    spreads: bool

    def per_inch(self, spacing: Inch, told: int | None = None) -> Array:
        """Give how many fasteners of a pattern count to an inch at each place, (n, p) [1/in].

        Args:
            spacing: one every so far [in].
            told: how many are in a short piece; None is as many as whole spacings.
        """
        if not self.spreads:
            return np.floor(self.run / spacing + _ROUNDING) / self.run
        return on_a_piece(self.run, spacing, told)


def on_a_piece(length: Array, spacing: Inch, told: int | None = None) -> Array:
    """Give how many fasteners of a pattern count to an inch of a piece of plate: of a short one whole fasteners [1/in].

    Args:
        length: of the piece [in].
        spacing: one every so far [in].
        told: how many are in a short piece; None is as many as whole spacings.

    Source: JUDGEMENT, a piece under three spacings has whole fasteners, no part of one.

    Example:
        >>> on_a_piece(np.array([40.0, 48.0]), 16.0).tolist(), on_a_piece(np.array([40.0]), 16.0, told=4).tolist()
        ([0.05, 0.0625], [0.1])
    """
    few = np.floor(length / spacing + _ROUNDING) if told is None else np.full_like(length, float(told))
    return np.where(length < SHORT * spacing - _ROUNDING, few / length, 1.0 / spacing)


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


@lru_cache(maxsize=256)
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
    x, share, base, run, weight = (np.stack([_padded(part[k], most) for part in each]) for k in range(5))
    own = np.einsum("ipi->ip", share)
    if plate.state == "tacked":
        beside = _nearest_takes(wall, pieces, studs, feet)
    else:
        least_of = np.full_like(run, 1.0 / HALF) if spreads else 1.0 / run
        beside = _shear_beside(x, own, np.maximum(share.sum(axis=2), least_of), base)
    first = (own > 0.0) & (own >= share.max(axis=2) * (1.0 - _ROUNDING))
    return Along(x, share, own, first, base, weight, run, beside, spreads)


@lru_cache(maxsize=32)
def along_each(
    wall: Wall, studs: tuple[Inch, ...], feet: tuple[Inch, ...], *, sets: tuple[tuple[bool, ...], ...]
) -> Along:
    """Give the places of a plate that the lift of braces reaches where not all of them are there.

    Args:
        wall: the wall.
        studs: centre of the stud of each brace [in].
        feet: where the verticals stand [in].
        sets: several times, which of the braces are there.

    Returns:
        What `along_plate` gives of each set, one after the other, a brace that is gone having no share anywhere.

    Source: STATICS, geometry.
    """
    kept = [np.flatnonzero(there) for there in sets]
    alone = [along_plate(wall, tuple(studs[k] for k in keep), feet) for keep in kept if len(keep)]
    n, most, spreads = len(studs), max((one.x.shape[1] for one in alone), default=1), alone[0].spreads
    made = {
        "x": np.zeros((len(sets), n, most)), "share": np.zeros((len(sets), n, most, n)),
        "own": np.zeros((len(sets), n, most)), "read": np.zeros((len(sets), n, most), dtype=bool),
        "base": np.zeros((len(sets), n, most, len(feet))), "weight": np.zeros((len(sets), n, most, 2)),
        "run": np.ones((len(sets), n, most)), "beside": np.zeros((len(sets), n, len(feet))),
    }  # fmt: skip
    for number, keep in enumerate(kept):
        if not len(keep):
            continue
        one = along_plate(wall, tuple(studs[k] for k in keep), feet)
        named = np.minimum(np.arange(most), one.x.shape[1] - 1)  # the last place again, as often as it takes
        for name in ("x", "own", "read", "base", "weight", "run"):
            made[name][number, keep] = getattr(one, name)[:, named]
        made["share"][number][np.ix_(keep, np.arange(most), keep)] = one.share[:, named]
        made["beside"][number, keep] = one.beside
    return Along(**{name: part.reshape(-1, *part.shape[2:]) for name, part in made.items()}, spreads=spreads)


_Places = tuple[Array, Array, Array, Array, Array]


def _padded(part: Array, most: int) -> Array:
    """The last place named again, as often as it takes: no plate lies between."""
    return np.concatenate([part, np.repeat(part[-1:], most - len(part), axis=0)])


def part_way(values: Array, part: Array | float) -> Array:
    """Give what is so far along the stretch from each place to the next.

    Args:
        values: at each place, (.., p) [any].
        part: 0 at the place, 1 at the next [-].

    Returns:
        On each stretch, (.., p - 1) [of values].

    Source: STATICS, geometry.

    Example:
        >>> part_way(np.array([2.0, 4.0, 4.0]), 0.25).tolist()
        [2.5, 4.0]
    """
    return np.asarray(values[..., :-1] + np.diff(values) * part)


def _shear_beside(x: Array, own: Array, of: Array, base: Array) -> Array:
    """Part of the shear of each foot that fasteners beside each brace take, as it has a share of the lift, (n, v)."""
    taken, feet = np.zeros((len(x), base.shape[2])), np.moveaxis(base, 2, 0)
    for part, weight in GAUSS:
        share = np.diff(x) * part_way(own, part) / part_way(of, part)
        taken += weight * (part_way(feet, part) * share).sum(axis=-1).T
    return taken


def _sides(wall: Wall, x: Array) -> Array:
    """What stands on an inch to the left and to the right of places on one piece of plate, no plate past its ends."""
    weight = weight_along(wall, x.tolist())
    weight[0, 0], weight[-1, 1] = weight[0, 1], weight[-1, 0]
    return weight


def _spread_places(
    wall: Wall, pieces: Pieces, studs: tuple[Inch, ...], feet: tuple[Inch, ...]
) -> list[_Places]:
    spread, found = spread_along(pieces, studs, also=weight_changes(wall), feet=feet), list[_Places]()
    on = {}
    for number, (low, high) in enumerate(pieces):
        x = spread.x[spread.piece == number]
        on[number] = share_at(x, (low, high), feet), np.full(len(x), high - low), _sides(wall, x)
    for k, stud in enumerate(studs):
        number = pieces.index(piece_at(pieces, stud))
        here = spread.piece == number
        reached = np.flatnonzero(spread.share[here, k] > 0.0)
        at = slice(max(int(reached[0]) - 1, 0), int(reached[-1]) + 2)  # to where its share comes to nothing
        base, run, weight = (part[at] for part in on[number])
        found.append((spread.x[here][at], spread.share[here][at], base, run, weight))
    return found


@lru_cache(maxsize=64)
def runs_of(wall: Wall, feet: tuple[Inch, ...]) -> tuple[tuple[Inch, Inch], ...]:
    """Give the stretch of plate nearest each foot, as far as there is plate: none of it in a door [in].

    Args:
        wall: the wall.
        feet: where the verticals stand [in].

    Source: STATICS, geometry.

    Example:
        >>> from bracing.job.wall import Opening
        >>> door = Opening(left=60.0, sill=0.0, width=36.0, height=80.0)
        >>> wall = Wall(name="W", top=((0.0, 96.0), (240.0, 96.0)), openings=(door,))
        >>> runs_of(wall, (0.75, 57.75, 98.25, 239.25))
        ((0.0, 29.25), (29.25, 60.0), (96.0, 168.75), (168.75, 240.0))
    """
    pieces, edges = plate_pieces(wall), edges_between(feet, wall.length).tolist()
    on = (piece_at(pieces, foot) for foot in feet)
    each = zip(on, pairwise(edges), strict=True)
    return tuple((max(low, start), min(high, stop)) for (low, high), (start, stop) in each)


def _own_places(wall: Wall, pieces: Pieces, studs: tuple[Inch, ...], feet: tuple[Inch, ...]) -> list[_Places]:
    """The stretch of plate nearest each stud: all of its lift, evenly."""
    runs, found = runs_of(wall, feet), []
    there, stands = np.array(studs), np.array(feet)
    for stud in studs:
        foot = int(np.abs(stands - stud).argmin())
        low, high = runs[foot]
        x, weight = _of_stretch(wall, low, high)
        even = 1.0 / (high - low)
        share = np.repeat((there == stud)[None] * even, len(x), axis=0)
        base = np.repeat((np.arange(len(feet)) == foot)[None] * even, len(x), axis=0)
        found.append((x, share, base, np.full(len(x), high - low), weight))
    return found


@lru_cache(maxsize=512)
def _of_stretch(wall: Wall, low: Inch, high: Inch) -> tuple[Array, Array]:
    """The places of a stretch of plate where the weight on it changes, (p,), and that weight to either side, (p, 2)."""
    x = np.unique([low, high, *(at for at in weight_changes(wall) if low < at < high)])
    return x, _sides(wall, x)


def _nearest_takes(wall: Wall, pieces: Pieces, studs: tuple[Inch, ...], feet: tuple[Inch, ...]) -> Array:
    """Part of the shear of each foot that the brace nearest on its own piece of plate takes, nearest of all without.

    Of a plate only tacked nothing holds but what is beside the braces, (n, v).
    """
    there, takes = np.array(studs), np.zeros((len(studs), len(feet)))
    edges, on = edges_between(feet, wall.length), [piece_at(pieces, foot) for foot in feet]
    long = np.diff(edges)
    for low, high in dict.fromkeys(on):
        feet_on = np.array([piece == (low, high) for piece in on])
        on_it = there[(low <= there) & (there <= high)]
        near, of = np.unique(on_it if len(on_it) else there, return_inverse=True)
        bounds = np.concatenate([[-np.inf], (near[1:] + near[:-1]) / 2.0, [np.inf]])
        overlap = np.minimum(bounds[1:, None], edges[1:]) - np.maximum(bounds[:-1, None], edges[:-1])
        part = np.clip(overlap, 0.0, None) / long / np.bincount(of)[:, None]
        takes += (there[:, None] == near).astype(float) @ (part * feet_on)
    return takes
