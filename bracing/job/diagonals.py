"""A diagonal in the plane of a frame, which keeps it upright along its own length where no panel does."""

from __future__ import annotations

import math
from itertools import pairwise

from attrs import frozen

from bracing.job.fields import Look, Low, declared
from bracing.job.lumber import nominal
from bracing.job.outline import LONGEST_WALL, TOUCH, Point
from bracing.units import Inch, Pound

Box = tuple[Inch, Inch, Inch, Inch]

LEAST_STEEP, MOST_STEEP = 20.0, 70.0  # degrees from the plate within which a diagonal in the frame counts


def height_on(top: tuple[Point, ...], x: Inch) -> Inch:
    """Give the height of an outline at x [in].

    Args:
        top: the outline, (x, z) from LEFT to right [in].
        x: distance from LEFT [in]; outside the wall the end height is given.

    Source: STATICS, a straight line between its points.

    Example:
        >>> height_on(((0.0, 96.0), (100.0, 196.0)), 50.0)
        146.0
    """
    if x <= top[0][0]:
        return top[0][1]
    for (x0, z0), (x1, z1) in pairwise(top):
        if x <= x1 and x1 > x0:
            return z0 + (z1 - z0) * (x - x0) / (x1 - x0)
    return top[-1][1]


def stamped(size: str) -> str:
    """Give the size whose published values a stick counts with: of a board 1 in thick, the 2 in stick as wide.

    Args:
        size: nominal size.

    Source: JUDGEMENT, boards of the studs' species and grade have no values of their own.

    Example:
        >>> stamped("1x4"), stamped("2x6")
        ('2x4', '2x6')
    """
    _, thick, wide = nominal(size)
    return f"{max(thick, 2)}x{wide}"


@frozen
class Diagonal:
    """A diagonal in the plane of the frame, nailed to both plates and to every stud it crosses.

    Attributes:
        foot: its lower end on the bottom plate, from LEFT [in].
        head: its upper end on the top plate, from LEFT [in].
        size: nominal size.
        kind: on the face of the studs, or let into them.
        end_fastener: the fastener at each end.
        end_fasteners: how many at each end.
        head_strap_lb: allowable of a strap that keeps the stud at its head on both plates [lb]; without one it counts
            for nothing in push.
    """

    foot: Inch = declared(
        "length",
        "lower end on the bottom plate, from LEFT",
        least=0.0,
        most=LONGEST_WALL,
        look=Look.DIAGONALS,
    )
    head: Inch = declared(
        "length", "upper end on the top plate, from LEFT", least=0.0, most=LONGEST_WALL, look=Look.DIAGONALS
    )
    size: str = declared("size", "nominal size", default="1x4", look=Look.DIAGONALS)
    kind: str = declared(
        "word", "face | let-in: on the studs or cut into them", default="face", one_of=("face", "let-in"),
        look=Look.DIAGONALS,
    )  # fmt: skip
    end_fastener: str = declared(
        "fastener", "fastener at each end", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "16d common"), look=Look.DIAGONALS,
    )  # fmt: skip
    end_fasteners: int = declared(
        "count", "how many at each end", default=2, least=0, most=40, low=Low("the fewest usual nails", 3),
        look=Look.DIAGONALS,
    )  # fmt: skip
    head_strap_lb: Pound = declared(
        "force", "strap that keeps the stud at its head on both plates; without one it counts in pull only",
        default=0.0, least=0.0, most=20000.0, look=Look.DIAGONALS,
    )  # fmt: skip


def diagonal_faults(
    top: tuple[Point, ...], openings: tuple[Box, ...], diagonals: tuple[tuple[int, Diagonal], ...]
) -> tuple[tuple[str, str, str], ...]:
    """Say which diagonals cannot be: where, what is there, and what is expected.

    Args:
        top: outline of the top [in].
        openings: left and right edge, bottom and top of each door and window [in].
        diagonals: the diagonals, each with its place in the list.

    Example:
        >>> level = ((0.0, 96.0), (240.0, 96.0))
        >>> diagonal_faults(level, (), ((0, Diagonal(foot=24.0, head=120.0)),))
        ()
        >>> diagonal_faults(level, (), ((0, Diagonal(foot=24.0, head=36.0)),))
        (('diagonal[0].head', '36 in', 'a head 20 to 70 degrees from the plate; with foot 24 in it is 83'),)
    """
    faults = []
    for i, one in diagonals:
        ends = [
            (name, at) for name, at in (("foot", one.foot), ("head", one.head)) if at > top[-1][0] + TOUCH
        ]
        faults += [
            (f"diagonal[{i}].{name}", f"{at:g} in", f"a place on the wall, {top[-1][0]:g} in long")
            for name, at in ends
        ]
        if ends:
            continue
        rise, run = height_on(top, one.head), abs(one.head - one.foot)
        angle = math.degrees(math.atan2(rise, run))
        if not LEAST_STEEP - TOUCH <= angle <= MOST_STEEP + TOUCH:
            expected = f"a head 20 to 70 degrees from the plate; with foot {one.foot:g} in it is {angle:.0f}"
            faults.append((f"diagonal[{i}].head", f"{one.head:g} in", expected))
            continue
        crossed = [k for k, opening in enumerate(openings) if _crosses(one, rise, opening)]
        if crossed:
            across = f"opening[{crossed[0]}] is in its way"
            faults.append(
                (f"diagonal[{i}]", f"from {one.foot:g} to {one.head:g} in", f"no opening: {across}")
            )
    return tuple(faults)


def _crosses(one: Diagonal, rise: Inch, opening: Box) -> bool:
    """Whether a straight line from foot to head runs through an opening."""
    low, high = sorted((one.foot, one.head))
    left, right = max(low, opening[0]), min(high, opening[1])
    if right <= left + TOUCH:
        return False
    at = sorted(rise * (x - one.foot) / (one.head - one.foot) for x in (left, right))
    return at[0] < opening[3] - TOUCH and at[1] > opening[2] + TOUCH
