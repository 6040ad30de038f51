"""Where every stick of a wall is: studs on the layout, what stands beside an opening, plates, rows.

End studs stand half a thickness in from each end; kings and trimmers beside each opening; a stud at every
vertex of the top; layout studs in an opening become cripples, and no stud runs full height across one. Two
studs that would overlap are one. Pieces run between the plates; lengths along the centre line, in inches.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise

from attrs import frozen

from bracing.choosing import sorted_by
from bracing.errors import Fault, InputError
from bracing.job.lumber import section
from bracing.job.wall import Opening, Wall
from bracing.units import Inch

_TOUCH: Inch = 1e-6
_TOP_PLIES = 2
_CRIPPLES = ("cripple above", "cripple below")


@frozen
class StudLine:
    """A stud that runs full height.

    Attributes:
        x: its centre from LEFT [in].
        kind: end, king or common.
    """

    x: Inch
    kind: str


@frozen
class Stick:
    """One piece of lumber, by the two ends of its centre line.

    Attributes:
        kind: common, end, king, trimmer, cripple above, cripple below, header, sill, bottom plate, top
            plate or row.
        size: nominal size of one ply.
        plies: how many lie together.
        x0: its left or lower end, from LEFT [in].
        z0: that end above the floor [in].
        x1: its other end, from LEFT [in].
        z1: that end above the floor [in].
    """

    kind: str
    size: str
    plies: int
    x0: Inch
    z0: Inch
    x1: Inch
    z1: Inch

    @property
    def x(self) -> Inch:
        """Middle of the stick from LEFT [in]."""
        return (self.x0 + self.x1) / 2.0

    @property
    def z(self) -> Inch:
        """Middle of the stick above the floor [in]."""
        return (self.z0 + self.z1) / 2.0

    @property
    def z_bottom(self) -> Inch:
        """Lower end of the centre line above the floor [in]."""
        return min(self.z0, self.z1)

    @property
    def z_top(self) -> Inch:
        """Upper end of the centre line above the floor [in]."""
        return max(self.z0, self.z1)

    @property
    def length(self) -> Inch:
        """Length of the centre line [in]."""
        return math.hypot(self.x1 - self.x0, self.z1 - self.z0)


@frozen
class Framing:
    """Every stick of a wall.

    Attributes:
        members: the sticks, studs from LEFT first.
        full_height_studs: the studs that run full height, from LEFT.
        thickness: thickness of a stud and of a plate [in].
    """

    members: tuple[Stick, ...]
    full_height_studs: tuple[StudLine, ...]
    thickness: Inch

    def of_kind(self, *kinds: str) -> tuple[Stick, ...]:
        """Give the sticks of some kinds, in order.

        Args:
            kinds: the kinds wanted.
        """
        return tuple(stick for stick in self.members if stick.kind in kinds)


@lru_cache(maxsize=256)
def frame_wall(wall: Wall) -> Framing:
    """Frame a wall.

    Args:
        wall: the wall.

    Returns:
        Every stick, and which studs run full height.

    Raises:
        InputError: openings that overlap, run off the wall or reach the plate; each is named.
        MissingDataError: a lumber size that is in no table.

    Example:
        >>> plain = Wall(name="W", top=((0.0, 96.0), (48.0, 96.0)))
        >>> [line.x for line in frame_wall(plain).full_height_studs]
        [0.75, 24.0, 47.25]
    """
    t = section(wall.studs.size).thickness
    _refuse_bad_openings(wall, t)
    lines = _lines(wall, t)
    uprights = [piece for line in lines for piece in _pieces(wall, line, t)]
    uprights += [stick for opening in wall.openings for stick in _trimmers(wall, opening, lines, t)]
    full = tuple(
        StudLine(stick.x0, stick.kind) for stick in uprights if stick.kind in ("end", "king", "common")
    )
    across = [stick for opening in wall.openings for stick in _header_and_sill(wall, opening, t)]
    members = (*sorted(uprights, key=lambda s: (s.x0, s.z0)), *across, *_plates(wall, t), *_rows(wall))
    return Framing(members, full, t)


def _refuse_bad_openings(wall: Wall, t: Inch) -> None:
    faults = []
    for i, opening in enumerate(wall.openings):
        where = f"wall.opening[{i}]"
        if opening.left < t or opening.right > wall.length - t:
            faults.append(
                Fault(
                    "wall", where, f"{opening.left:g} to {opening.right:g} in", "an end stud beyond each side"
                )
            )
        elif opening.top > _lowest_underside(wall, opening.left, opening.right, t):
            faults.append(
                Fault(
                    "wall", where, f"top at {opening.top:g} in", "a top below the underside of the top plate"
                )
            )
        faults += [
            Fault(
                "wall", where, f"{opening.left:g} to {opening.right:g} in", f"a stud's width clear of [{j}]"
            )
            for j, other in enumerate(wall.openings[:i])
            if _share_height(opening, other)
            and opening.left < other.right + t
            and other.left < opening.right + t
        ]
    if faults:
        raise InputError(faults)


def _share_height(one: Opening, other: Opening) -> bool:
    return one.sill < other.top and other.sill < one.top


def _over(openings: Iterable[Opening], x: Inch) -> list[Opening]:
    return [opening for opening in openings if opening.left + _TOUCH < x < opening.right - _TOUCH]


# -- stud lines ------------------------------------------------------------------------------------------


def _lines(wall: Wall, t: Inch) -> list[StudLine]:
    """Give the lines studs and cripples stand on, from LEFT, before openings are cut out of them."""
    ends = [t / 2.0, wall.length - t / 2.0]
    kings = [x for x in _kings(wall, t) if not _near(x, ends, t)]
    more = [x for x in _further_kings(wall, t) if t / 2.0 < x < wall.length - t / 2.0]
    vertices = sorted({x for x, _ in wall.top[1:-1] if t < x < wall.length - t})
    loose, moved = [], []
    for vertex in vertices:
        king = None if _over(wall.openings, vertex) else _only_nearest(vertex, kings, 2.0 * t)
        if king is None:
            loose.append(vertex)
        else:
            kings.remove(king)  # one that stands under a vertex is not taken from it for the next
            moved.append(vertex)
    kings = [*kings, *moved]
    taken = [*ends, *kings, *loose]
    beside = [x for opening in wall.openings for x in _trimmer_lines(opening, t)]
    layout = []
    for k in range(int((wall.length - wall.studs.first) / wall.studs.spacing) + 1):
        x = wall.studs.first + k * wall.studs.spacing
        if (
            x < wall.length
            and not _near(x, [*taken, *more], t)
            and (_over(wall.openings, x) or not _near(x, beside, t))
        ):
            layout.append(x)
    kinds = (("end", ends), ("king", kings), ("common", loose), ("common", layout))
    lines = [StudLine(x, kind) for kind, places in kinds for x in places]
    return sorted(lines, key=lambda line: line.x)


def _kings(wall: Wall, t: Inch) -> list[Inch]:
    """Place a king outside each trimmer; between two openings too close for two kings, one in the middle."""
    places = []
    for opening in wall.openings:
        left, right = opening.left - 1.5 * t, opening.right + 1.5 * t
        for other in wall.openings:
            if other is opening or not _share_height(opening, other):
                continue
            if other.right < opening.left < other.right + 4.0 * t:
                left = (other.right + opening.left) / 2.0
            if opening.right < other.left < opening.right + 4.0 * t:
                right = (opening.right + other.left) / 2.0
        places += [max(left, t / 2.0), min(right, wall.length - t / 2.0)]
    return _merged(places, t)


def _further_kings(wall: Wall, t: Inch) -> list[Inch]:
    """Where kings past the first of each edge stand: no common stud does."""
    return [
        edge + side * (1.5 + k) * t
        for opening in wall.openings
        for edge, side in ((opening.left, -1.0), (opening.right, 1.0))
        for k in range(1, opening.kings)
    ]


def further_kings(wall: Wall, t: Inch) -> tuple[Inch, ...]:
    """Give the middle of each king past the first of its edge, as a `Stick` of several plies does not [in].

    Args:
        wall: the wall.
        t: thickness of a stud [in].

    Source: STATICS, geometry.
    """
    inside = (x for x in _further_kings(wall, t) if t / 2.0 < x < wall.length - t / 2.0)
    return tuple(x for x in inside if not _over(wall.openings, x))


def _merged(places: list[Inch], t: Inch) -> list[Inch]:
    """Make one of every run of places closer than a stud's thickness, at the run's mean."""
    runs: list[list[Inch]] = []
    for x in sorted(places):
        if runs and x - runs[-1][-1] < t - _TOUCH:
            runs[-1].append(x)
        else:
            runs.append([x])
    return [sum(run) / len(run) for run in runs]


def _near(x: Inch, places: Iterable[Inch], t: Inch) -> bool:
    return any(abs(x - place) < t - _TOUCH for place in places)


def _only_nearest(x: Inch, places: list[Inch], reach: Inch) -> Inch | None:
    """Give the one place nearest x within reach; None where there is none, or two equally near."""
    ranked = sorted_by(places, lambda place: abs(place - x))
    if not ranked or abs(ranked[0] - x) > reach:
        return None
    if len(ranked) > 1 and abs(abs(ranked[1] - x) - abs(ranked[0] - x)) < _TOUCH:
        return None
    return ranked[0]


# -- pieces ----------------------------------------------------------------------------------------------


def underside(wall: Wall, x: Inch, t: Inch) -> Inch:
    """Give the height of the underside of the double top plate, at the steeper side of a vertex [in].

    Args:
        wall: the wall.
        x: distance from LEFT [in].
        t: thickness of one ply [in].

    Returns:
        Height above the floor [in].

    Source: STATICS, geometry.

    Example:
        >>> underside(Wall(name="W", top=((0.0, 96.0), (48.0, 96.0))), 24.0, 1.5)
        93.0
    """
    slopes = [
        abs(z1 - z0) / (x1 - x0)
        for (x0, z0), (x1, z1) in pairwise(wall.top)
        if x1 > x0 and x0 - _TOUCH <= x <= x1 + _TOUCH
    ]
    return wall.height_at(x) - _TOP_PLIES * t * math.hypot(1.0, max(slopes, default=0.0))


def _lowest_underside(wall: Wall, left: Inch, right: Inch, t: Inch) -> Inch:
    places = [left, right, *(x for x, _ in wall.top if left < x < right)]
    return min(underside(wall, x, t) for x in places)


def _pieces(wall: Wall, line: StudLine, t: Inch) -> list[Stick]:
    """Cut the openings, their headers and sills out of one stud line."""
    runs = [(t, underside(wall, line.x, t))]
    for opening in _over(wall.openings, line.x):
        bottom = opening.sill - t if opening.sill > t else 0.0
        top = opening.top + _header_depth(opening)
        runs = [
            cut
            for z0, z1 in runs
            for cut in ((z0, min(z1, bottom)), (max(z0, top), z1))
            if cut[1] - cut[0] > _TOUCH
        ]
    whole = len(runs) == 1 and not _over(wall.openings, line.x)
    sticks = []
    for z0, z1 in runs:
        kind = line.kind if whole else _CRIPPLES[1 if z0 <= t + _TOUCH else 0]
        plies = kings_at(wall, line.x, t) if kind == "king" else 1
        sticks.append(Stick(kind, wall.studs.size, plies, line.x, z0, line.x, z1))
    return sticks


def kings_at(wall: Wall, x: Inch, t: Inch) -> int:
    """Give how many kings stand side by side at one king's place: of two openings that share it, the more.

    Args:
        wall: the wall.
        x: the king nearest the opening [in].
        t: thickness of a stud [in].
    """
    beside = (o.kings for o in wall.openings if min(abs(x - o.left), abs(x - o.right)) <= 3.5 * t + _TOUCH)
    return max(beside, default=1)


def lapped_at(wall: Wall, stud: Inch, lap_side: str, *, thick: Inch) -> Inch:
    """Give the middle of a stick that laps a stud, from LEFT: against its face, or that of the king beside it [in].

    Kings past the first of an edge stand on its side away from the opening, nailed to its face: a stick that laps that
    side lies against the outermost.

    Args:
        wall: the wall.
        stud: centre of the stud [in].
        lap_side: side of the stud it laps, left or right.
        thick: thickness of the stick [in].

    Source: STATICS, geometry.

    Example:
        >>> door = Opening(left=96.0, width=48.0, height=82.0, kings=2)
        >>> wall = Wall(name="W", top=((0.0, 108.0), (240.0, 108.0)), openings=(door,))
        >>> [lapped_at(wall, 93.75, side, thick=1.5) for side in ("left", "right")]
        [90.75, 95.25]
    """
    t, way = section(wall.studs.size).thickness, -1.0 if lap_side == "left" else 1.0
    return stud + way * ((t + thick) / 2.0 + _kings_beyond(wall, stud, way, t) * t)


def stick_at(wall: Wall, stud: Inch, lap_side: str, *, joint: str, thick: Inch) -> Inch:
    """Give the middle of a brace from LEFT: on its stud where its head is cut plumb, else beside what it laps [in].

    Args:
        wall: the wall.
        stud: centre of the stud [in].
        lap_side: side of the stud it laps, left or right.
        joint: how its head is joined, lapped or plumb.
        thick: thickness of the stick [in].

    Source: STATICS, geometry.

    Example:
        >>> wall = Wall(name="W", top=((0.0, 108.0), (240.0, 108.0)))
        >>> [stick_at(wall, 96.0, "left", joint=joint, thick=1.5) for joint in ("lapped", "plumb")]
        [94.5, 96.0]
    """
    return stud if joint == "plumb" else lapped_at(wall, stud, lap_side, thick=thick)


def _kings_beyond(wall: Wall, stud: Inch, way: float, t: Inch) -> int:
    """Count the kings nailed to one face of a stud: to none but a king, and to that away from the opening."""
    edges = [
        (o.kings - 1, edge)
        for o in wall.openings
        for edge, out in ((o.left, -1.0), (o.right, 1.0))
        if out == way
    ]
    further = max((more for more, edge in edges if 0.0 <= (stud - edge) * way <= 3.5 * t + _TOUCH), default=0)
    if not further or all(abs(king.x - stud) > t / 2.0 + _TOUCH for king in frame_wall(wall).of_kind("king")):
        return 0
    return further


def header_plies(name: str) -> tuple[str, int]:
    """Split a header's name into the size of one ply and how many.

    Args:
        name: such as "2-2x8".

    Raises:
        MissingDataError: a size that is not sold.

    Example:
        >>> header_plies("2-2x8")
        ('2x8', 2)
    """
    found = section(name)
    return found.name.partition("-")[2] or found.name, found.plies


def _header_depth(opening: Opening) -> Inch:
    return section(opening.header).width


def _trimmer_lines(opening: Opening, t: Inch) -> tuple[Inch, Inch]:
    return opening.left - t / 2.0, opening.right + t / 2.0


def _trimmers(wall: Wall, opening: Opening, lines: list[StudLine], t: Inch) -> list[Stick]:
    standing = [line.x for line in lines if not _over(wall.openings, line.x)]
    return [
        Stick("trimmer", wall.studs.size, 1, x, t, x, opening.top)
        for x in _trimmer_lines(opening, t)
        if not _near(x, standing, t) and opening.top > t
    ]


def _header_and_sill(wall: Wall, opening: Opening, t: Inch) -> list[Stick]:
    size, plies = header_plies(opening.header)
    x0, x1 = max(opening.left - t, t), min(opening.right + t, wall.length - t)
    middle = opening.top + _header_depth(opening) / 2.0
    sticks = [Stick("header", size, plies, x0, middle, x1, middle)]
    if opening.sill > t:
        z = opening.sill - t / 2.0
        sticks.append(Stick("sill", wall.studs.size, 1, opening.left, z, opening.right, z))
    return sticks


def _plates(wall: Wall, t: Inch) -> list[Stick]:
    """Lay the bottom plate, and two plies along each straight run of the top."""
    sticks = [Stick("bottom plate", wall.studs.size, 1, 0.0, t / 2.0, wall.length, t / 2.0)]
    for (x0, z0), (x1, z1) in pairwise(wall.top):
        if x1 > x0:
            down = t * math.hypot(1.0, (z1 - z0) / (x1 - x0))
            sticks.append(Stick("top plate", wall.studs.size, _TOP_PLIES, x0, z0 - down, x1, z1 - down))
    return sticks


def _rows(wall: Wall) -> list[Stick]:
    """Lay each continuous row over every stretch of the wall that is higher than the row."""
    return [
        Stick("row", row.size, 1, x0, row.height, x1, row.height)
        for row in wall.rows
        for x0, x1 in _stretches_above(wall, row.height)
    ]


def _stretches_above(wall: Wall, z: Inch) -> list[tuple[Inch, Inch]]:
    stretches: list[tuple[Inch, Inch]] = []
    for (x0, z0), (x1, z1) in pairwise(wall.top):
        if x1 <= x0 or max(z0, z1) < z:
            continue
        start = x0 if z0 >= z else x0 + (z - z0) * (x1 - x0) / (z1 - z0)
        end = x1 if z1 >= z else x0 + (z - z0) * (x1 - x0) / (z1 - z0)
        if stretches and abs(stretches[-1][1] - start) < _TOUCH:
            stretches[-1] = (stretches[-1][0], end)
        elif end > start:
            stretches.append((start, end))
    return stretches
