"""The walk: start at the stud nearest the middle (the peak, on a gable) and go outward both ways.

At each step take the farthest stud no more than the spacing away; the last brace stands within 4 ft of a free end. The
spacing starts at 10 ft and shrinks until the chain is within at the gust.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bracing.choosing import lowest
from bracing.job.envelope import MOST_APART, MOST_FROM_END
from bracing.job.wall import Wall
from bracing.layout.bench import Bench
from bracing.units import Inch

_SLACK: Inch = 0.01


def middle_of(wall: Wall) -> Inch:
    """Where the walk starts: under the peak if there is one, else mid-length [in].

    Args:
        wall: the wall.
    """
    highest = [x for x, z in wall.top if z >= wall.highest - _SLACK]
    if len(highest) == 1 and 0.0 < highest[0] < wall.length:
        return highest[0]
    return wall.length / 2.0


def places_at(wall: Wall, studs: list[Inch], spacing: Inch) -> tuple[Inch, ...]:
    """Walk outward from the middle at a spacing.

    Args:
        wall: the wall.
        studs: studs that take a brace, from LEFT [in].
        spacing: farthest step [in].

    Returns:
        Stud places from LEFT, empty where a step finds no stud.
    """
    start = lowest(studs, lambda x: abs(x - middle_of(wall)))
    left = _outward([x for x in studs if x <= start][::-1], MOST_FROM_END, spacing)
    length = wall.length
    right = _outward([length - x for x in studs if x >= start], MOST_FROM_END, spacing)
    return tuple(sorted({*left, *(length - x for x in right)})) if left and right else ()


def _outward(studs: list[Inch], reach: Inch, spacing: Inch) -> tuple[Inch, ...]:
    """Step toward an end, given by distances from it, farthest first; empty where a gap passes 10 ft."""
    taken = [studs[0]]
    while taken[-1] > reach + _SLACK:
        ahead = [x for x in studs if x < taken[-1] - _SLACK]
        within = [x for x in ahead if x >= taken[-1] - spacing - _SLACK]
        if not ahead or taken[-1] - ahead[0] > MOST_APART + _SLACK:
            return ()
        taken.append(within[-1] if within else ahead[0])  # past an opening the next stud, however far
    return tuple(taken)


def spacings(wall: Wall) -> tuple[Inch, ...]:
    """Spacings the walk tries, widest first [in].

    Args:
        wall: the wall.
    """
    step = wall.studs.spacing
    return tuple(MOST_APART - k * step for k in range(int(MOST_APART / step)))


def walks(bench: Bench, wall: Wall) -> Iterator[NDArray[np.intp]]:
    """Give each walk as layouts of one make per place, the first make of each stud, then the second, and so on.

    Args:
        bench: the wall with its makes.
        wall: the wall.
    """
    by_place: dict[Inch, list[int]] = {}
    for k, x in enumerate(bench.x.tolist()):
        by_place.setdefault(x, []).append(k)
    seen = set()
    for spacing in spacings(wall):
        places = places_at(wall, sorted(by_place), spacing)
        if not places or places in seen:
            continue
        seen.add(places)
        most = max(len(by_place[x]) for x in places)
        yield np.array(
            [[by_place[x][min(k, len(by_place[x]) - 1)] for x in places] for k in range(most)], dtype=np.intp
        )
