"""The top of a wall: the keys that draw it, its ends and corners, and what an outline may be."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from attrs import frozen

from bracing.job.fields import Option, declared
from bracing.units import Inch

Point = tuple[Inch, Inch]

# What reading takes at all; the envelope of use is narrower, and beyond it the answer is "engineer".
LOWEST_WALL: Inch = 12.0
HIGHEST_WALL: Inch = 720.0
SHORTEST_WALL: Inch = 24.0
LONGEST_WALL: Inch = 4800.0
STRAIGHT: Inch = (
    0.0625  # a point of the top this near the line between its neighbours is on it: 1/16 in, as tapes read
)
TOUCH: Inch = 1e-6


def corners(top: tuple[Point, ...]) -> tuple[Point, ...]:
    """Give the ends and corners of an outline: points on a straight run, within 1/16 in, are left out.

    Of the points between two corners the one furthest from the straight line is a corner, if it is off it.

    Args:
        top: (x, height) from LEFT to right [in].

    Source: STATICS, geometry.

    Example:
        >>> corners(((0.0, 96.0), (120.0, 108.0), (240.0, 120.0)))
        ((0.0, 96.0), (240.0, 120.0))
    """
    if len(top) < 3 or any(after[0] <= before[0] for before, after in pairwise(top)):
        return top  # no outline that can be straightened; what cannot be drawn is refused elsewhere
    (x0, z0), (x1, z1) = top[0], top[-1]
    off = [abs(z - z0 - (z1 - z0) * (x - x0) / (x1 - x0)) for x, z in top]
    furthest = max(range(len(top)), key=off.__getitem__)
    if off[furthest] <= STRAIGHT:
        return top[0], top[-1]
    return (*corners(top[: furthest + 1])[:-1], *corners(top[furthest:]))


def _height(about: str, option: str) -> Any:  # noqa: ANN401  (an attrs field)
    least, most = LOWEST_WALL, HIGHEST_WALL
    return declared("length", about, default=None, least=least, most=most, option=Option(option))


@frozen
class TopKeys:
    """The keys of [wall] that draw its top; the first that are given together decide the shape.

    Attributes:
        length: along the plate [in].
        height: of a level top, or of the ends of a gable [in].
        peak: height of the peak of a gable [in].
        pitch: pitch of a gable in its place, the peak mid length [-].
        peak_at: where the peak is, from LEFT [in].
        left_height: height at LEFT of a rake [in].
        right_height: height at the right of a rake [in].
        top: any other outline, (x, height) from LEFT [in].
    """

    length: Inch | None = declared(
        "length", "along the plate", default=None, least=SHORTEST_WALL, most=LONGEST_WALL,
        option=Option("length", 'along the plate, such as "36 ft" or 11.1m'),
    )  # fmt: skip
    height: Inch | None = _height("top of the plate; of a gable, at its ends", "height")
    peak: Inch | None = _height("height of the peak of a gable", "peak")
    pitch: float | None = declared(
        "pitch", "pitch of a gable, in the place of its peak", default=None, least=1.0 / 24.0, most=2.0,
        option=Option("pitch", "pitch of a gable in the place of its peak, such as 6/12"),
    )  # fmt: skip
    peak_at: Inch | None = declared(
        "length", "the peak from LEFT; undeclared is mid length", default=None, least=0.0, most=LONGEST_WALL,
        option=Option("peak_at", "where the peak is, from LEFT; mid length if not given"),
    )  # fmt: skip
    left_height: Inch | None = _height("height at LEFT of a rake", "left_height")
    right_height: Inch | None = _height("height at the right of a rake", "right_height")
    top: tuple[Point, ...] | None = declared(
        "points", "any outline, (x, height) from LEFT to right", default=None, most=LONGEST_WALL
    )


def top_faults(top: tuple[Point, ...]) -> tuple[tuple[str, str, str], ...]:
    """Say what is wrong with an outline of the top: where, what is there, and what is expected.

    Args:
        top: (x, height) from LEFT to right [in].

    Example:
        >>> top_faults(((0.0, 96.0), (240.0, 96.0)))
        ()
        >>> top_faults(((0.0, 96.0), (240.0, -96.0)))
        (('top[1][1]', '-96 in', 'a height from 1 ft to 60 ft'),)
    """
    faults = []
    if abs(top[0][0]) > TOUCH:
        faults.append(("top[0][0]", f"{top[0][0]:g} in", "0 ft: the outline starts at LEFT"))
    for i, ((x0, _), (x1, _)) in enumerate(pairwise(top), start=1):
        if x1 <= x0 + TOUCH:
            expected = f"more than {x0:g} in: no steps, from LEFT to right"
            faults.append((f"top[{i}][0]", f"{x1:g} in", expected))
    for i, (_, z) in enumerate(top):
        if not LOWEST_WALL - TOUCH <= z <= HIGHEST_WALL + TOUCH:
            faults.append((f"top[{i}][1]", f"{z:g} in", "a height from 1 ft to 60 ft"))
    end = top[-1][0]
    if not faults and end < SHORTEST_WALL - TOUCH:
        faults.append((f"top[{len(top) - 1}][0]", f"{end:g} in", "a wall of 2 ft or longer"))
    return tuple(faults)
