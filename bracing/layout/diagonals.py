"""Diagonals a bare frame needs along its own length: how many, how long, on which studs, with how many nails."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from attrs import evolve

from bracing.chain.groups import limit_along, over_along
from bracing.chain.links import LinkId
from bracing.choosing import over, whole_up
from bracing.codes.basis import basis_of
from bracing.errors import NoLayoutError
from bracing.job.diagonals import Diagonal, diagonal_faults
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.wall import Wall, box_of
from bracing.said import Kind, Quantity, Said
from bracing.units import INCHES_PER_FOOT, Inch, Mph
from bracing.work.parts import Item, Parts
from bracing.work.remedies import NEW, options_for

SIZE, NAIL = "1x4", "8d common"  # a board on the face, as crews brace a frame they sheathe later
ENDS = (3, 4, 5, 6)  # nails at each end, the fewest tried first
LEAST, WANTED, MOST = 30.0, 45.0, 60.0  # degrees from the plate
APART: Inch = 48.0  # ends so far apart share no plate fastener
MOST_PAIRS = 6
NOT_OF_BRACES = (LinkId.RACKING, LinkId.FRAME_DIAGONAL)  # along the wall: what no brace has a part in
AT_EACH_STUD = 2  # nails of a diagonal where it crosses a stud; judgement


def with_diagonals(job: Job, gust: Mph, *, thunderstorm: bool = False) -> Job:
    """Give the job with the fewest pairs of diagonals that keep it upright along itself at a gust.

    A wall its panels or its own diagonals keep so is left as it is, and one for which none do.

    Args:
        job: the job with its choices, no braces.
        gust: the gust [mph].
        thunderstorm: wind profile of an outflow.
    """
    if job.wall.sheathed or not over(gust, _limit(job, thunderstorm=thunderstorm)):
        return job
    best, most = job, _limit(job, thunderstorm=thunderstorm)
    for tried in _tried(job):
        limit = _limit(tried, thunderstorm=thunderstorm)
        if limit > most:
            best, most = tried, limit
        if not over(gust, limit):
            break
    return best


def refuse_along(job: Job, gust: Mph, *, thunderstorm: bool = False) -> None:
    """Refuse a wall that no brace can lay out: nothing keeps it upright along its own length at the gust.

    What more fasteners in the plate or the sheathing mend is judged with the braces, which bring them; so is one that
    stands less. Braces bring no panel and no diagonal: of those that are over and that nothing mends none is laid out.

    Args:
        job: the job with its choices and diagonals, no braces.
        gust: the gust [mph].
        thunderstorm: wind profile of an outflow.

    Raises:
        NoLayoutError: it is over.
    """
    limit = _limit(job, thunderstorm=thunderstorm)
    if not over(gust, limit):
        return
    wind = basis_of(job).wind(job, thunderstorm=thunderstorm)
    links = over_along(job, float(wind.q), gust=gust, people=True)
    stuck = [link for link in links if not any(options_for(job, link, wall=NEW))]
    brought = job.wall.plate.state == "tacked" or job.wall.plate.extra.at_each_brace or limit > 0.0
    if any(link.link in NOT_OF_BRACES or not brought for link in stuck):
        raise NoLayoutError(Said("over-along", limit=Quantity(limit, Kind.GUST)), 1)


def _limit(job: Job, *, thunderstorm: bool) -> Mph:
    """Limit gust along a wall with people about: a layout stands with them."""
    wind = basis_of(job).wind(job, thunderstorm=thunderstorm)
    return limit_along(job, float(wind.q), people=True)


def _tried(job: Job) -> Iterator[Job]:
    wall = job.wall
    ways = [list(_clear(wall, sign)) for sign in (1.0, -1.0)]
    for pairs in range(1, min(MOST_PAIRS, *map(len, ways)) + 1):
        chosen = [_spread(wall, way, pairs, sign) for way, sign in zip(ways, (1.0, -1.0), strict=True)]
        for nails in ENDS:
            new = [evolve(each, end_fasteners=nails) for both in zip(*chosen, strict=False) for each in both]
            yield evolve(job, wall=evolve(wall, diagonals=(*wall.diagonals, *new)))


def _clear(wall: Wall, sign: float) -> Iterator[Diagonal]:
    """One from each stud to the stud that makes it nearest 45 degrees, no opening in its way."""
    studs = [line.x for line in frame_wall(wall).full_height_studs]
    boxes = tuple(map(box_of, wall.openings))
    for foot in studs:
        ends = [
            (abs(_angle(wall, foot, head) - WANTED), head) for head in studs if sign * (head - foot) > 0.0
        ]
        for _, head in sorted(ends):
            one = Diagonal(
                foot=foot, head=head, size=SIZE, kind="face", end_fastener=NAIL, end_fasteners=ENDS[0]
            )
            if not LEAST <= _angle(wall, foot, head) <= MOST:
                break
            if not diagonal_faults(wall.top, boxes, ((0, one),)):
                yield one
                break


def _angle(wall: Wall, foot: Inch, head: Inch) -> float:
    return math.degrees(math.atan2(wall.height_at(head), abs(head - foot)))


def _spread(wall: Wall, way: list[Diagonal], count: int, sign: float) -> list[Diagonal]:
    """So many of them, from the end the wind comes from, their feet far enough apart where there is room."""
    order, found = way if sign > 0.0 else way[::-1], list[Diagonal]()
    inside = [one for one in order if APART / 2.0 <= one.foot <= wall.length - APART / 2.0]
    for one in [*inside, *order]:
        if len(found) < count and all(abs(one.foot - other.foot) >= APART for other in found):
            found.append(one)
    return found


def diagonals_added(before: Job, after: Job) -> tuple[Diagonal, ...]:
    """Give the diagonals a layout puts after those the wall had.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    return after.wall.diagonals[len(before.wall.diagonals) :]


def length_of(wall: Wall, one: Diagonal) -> Inch:
    """Give the length of a diagonal, from its lower to its upper end [in].

    Args:
        wall: the wall.
        one: the diagonal.

    Source: STATICS, by Pythagoras.
    """
    return math.hypot(wall.height_at(one.head), one.head - one.foot)


def crossed(wall: Wall, one: Diagonal) -> int:
    """Give how many studs a diagonal crosses.

    Args:
        wall: the wall.
        one: the diagonal.
    """
    low, high = sorted((one.foot, one.head))
    return sum(low <= line.x <= high for line in frame_wall(wall).full_height_studs)


def minutes_of(before: Job, after: Job) -> float:
    """Give the minutes two people take for the diagonals of a layout.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    return sum(
        after.kit.minutes.row / 2.0 + after.kit.minutes.row_at_stud * crossed(after.wall, one)
        for one in diagonals_added(before, after)
    )


def said_of(job: Job, some: tuple[Diagonal, ...]) -> Iterator[Said]:
    """Say of each diagonal where it goes, how long it is, and with what.

    Args:
        job: the job with them.
        some: those to be said.
    """
    for one in some:
        foot, head, long = (
            Quantity(value, Kind.TAPE) for value in (one.foot, one.head, length_of(job.wall, one))
        )
        yield Said(
            "a-diagonal", size=one.size, foot=foot, head=head, long=long, count=one.end_fasteners,
            what=one.end_fastener, each=AT_EACH_STUD,
        )  # fmt: skip


def nails_of(wall: Wall, some: tuple[Diagonal, ...]) -> Parts:
    """Count the fasteners of diagonals: at both ends, and where they cross a stud between.

    Args:
        wall: the wall.
        some: the diagonals.
    """
    found: Parts = Counter()
    for one in some:
        found[one.end_fastener] += 2 * one.end_fasteners + AT_EACH_STUD * max(0, crossed(wall, one) - 2)
    return found


def boards_of(wall: Wall, some: tuple[Diagonal, ...]) -> tuple[Item, ...]:
    """Give the lumber of diagonals, as the lines of a parts list.

    Args:
        wall: the wall.
        some: the diagonals.
    """
    feet: Counter[str] = Counter()
    for one in some:
        feet[one.size] += whole_up(length_of(wall, one) / INCHES_PER_FOOT)
    return tuple(Item(Said("boards-for-diagonals", size=size), many, "ft") for size, many in feet.items())
