"""Where to pick a wall: the studs whose slings bend it least, and what a continuous row is worth there.

Two picks are statics; three or more want a spreader, and their slings are still counted two at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.choosing import first_least, sorted_by
from bracing.errors import InputError, MechanismError
from bracing.job.wall import Row, Wall
from bracing.lift.picks import FIELD, Bending, HungWall, Pick, PickPlan, hang, hang_at
from bracing.units import Inch, tape

Array = NDArray[np.float64]

MOST_PICKS = 4
ON_STUD: Inch = 3.0  # a place named this close to a stud means that stud


def choose_picks(hung: HungWall, count: int) -> PickPlan:
    """Choose the studs to pick at: of every set tried, the one whose worst stress ratio is least.

    Sets are pairs on both sides of the centre of gravity; three add the stud nearest it between them, four a
    second pair inside the first. Between equals the less sag, then the one nearer LEFT.

    Args:
        hung: the wall.
        count: how many picks, 2 to 4.

    Returns:
        The best plan.

    Raises:
        InputError: a count outside 2 to 4, or too few studs beside the middle.
        MechanismError: the wall folds at a kink of its top on every set.
    """
    if not 2 <= count <= MOST_PICKS:
        raise InputError.of(FIELD, count, f"2 to {MOST_PICKS}; one pick does not stop the wall from twisting")
    x, middle = hung.stud_x, hung.weight.x_cg
    left = [k for k in range(len(x)) if x[k] < middle - 1e-6]
    right = [k for k in range(len(x)) if x[k] > middle + 1e-6]
    plans: list[PickPlan] = []
    tried = 0
    folds = None
    for a, b in sorted((a, b) for a in left for b in right):
        for studs in _sets(x, (a, b), count, middle):
            tried += 1
            try:
                plan = hang_at(hung, studs)
            except MechanismError as error:
                folds = error
                continue
            except InputError:
                continue
            plans.append(plan)
    if not plans and folds is not None:
        raise folds
    if not plans:
        raise InputError.of(
            FIELD, f"{count} picks", "that many full-height studs on both sides of the middle"
        )
    best = sorted_by(
        plans, lambda plan: plan.bending.worst, lambda plan: plan.bending.sag, lambda plan: plan.picks[0].x
    )
    return evolve(best[0], tried=tried)


def _sets(x: Array, pair: tuple[int, int], count: int, middle: Inch) -> list[tuple[int, ...]]:
    """Give the sets of studs that have this outer pair."""
    a, b = pair
    inside = range(a + 1, b)
    if count == 2:
        return [pair]
    if count == 3:
        near = sorted_by(inside, lambda k: abs(x[k] - middle), lambda k: x[k])[:1]
        return [(a, k, b) for k in near]
    # Four: inner pairs as far in from the outer ones on both sides, to the nearest stud.
    sets: list[tuple[int, ...]] = []
    for c, d in combinations(inside, 2):
        step = abs((x[c] - x[a]) - (x[b] - x[d]))
        if step < 0.5 * float(np.diff(x).min()) + 1e-9:
            sets.append((a, c, d, b))
    return sets


def pick_at(hung: HungWall, places: Sequence[Inch]) -> PickPlan:
    """Hang the wall at the studs a person names.

    Args:
        hung: the wall.
        places: distances from LEFT [in], each within 3 in of a full-height stud.

    Returns:
        The plan.

    Raises:
        InputError: no full-height stud there, or picks that would have to push.
        MechanismError: the wall folds at a kink of its top on these picks.
    """
    studs = []
    for place in places:
        k = first_least(np.abs(hung.stud_x - place))
        if abs(float(hung.stud_x[k]) - place) > ON_STUD:
            near = tape(float(hung.stud_x[k]))
            raise InputError.of(FIELD, tape(place), f"a full-height stud; the nearest is at {near}")
        studs.append(k)
    if len(set(studs)) != len(studs) or len(studs) < 2:
        raise InputError.of(FIELD, ", ".join(tape(p) for p in places), "two or more studs, each named once")
    return hang_at(hung, sorted(studs))


@frozen
class Worth:
    """What one continuous row is worth on the same picks.

    Attributes:
        what: the row, in words.
        bending: how the wall bends with it; None where the wall still folds.
    """

    what: str
    bending: Bending | None

    def to_dict(self) -> dict[str, object]:
        """Give it for JSON."""
        return {"with": self.what, "bending": None if self.bending is None else self.bending.to_dict()}


def worth_of_rows(hung: HungWall, picks: Sequence[Pick], *, drop: Inch) -> tuple[Worth, ...]:
    """Say what a strongback, a wale or a nailed-on soffit near the picks is worth, beside no row at all.

    Each is of the studs' own size, straight across 12 in below the lowest point of the top between the picks.

    Args:
        hung: the wall as drawn.
        picks: its picks.
        drop: how far below the top the slings act [in].

    Returns:
        The bending with no row, with each kind of row, on the same studs and picks.
    """
    wall = hung.wall
    between = [x for x, _ in wall.top if picks[0].x <= x <= picks[-1].x]
    height = min(wall.height_at(x) for x in (picks[0].x, picks[-1].x, *between)) - 12.0
    if height < 12.0:
        return ()
    answers = []
    for what, rows in (
        ("no row", ()),
        ("wale", (Row(height=height, kind="wale", size=wall.studs.size),)),
        ("strongback", (Row(height=height, kind="strongback", size=wall.studs.size),)),
        ("soffit", (Row(height=height, kind="soffit", size=wall.studs.size),)),
    ):
        only = [pick.x for pick in picks]
        other = hang(evolve(wall, rows=rows), hung.weight, drop=drop, dynamic=hung.dynamic, only=only)
        try:
            bending: Bending | None = pick_at(other, only).bending
        except (InputError, MechanismError):
            bending = None
        answers.append(Worth(what if not rows else f"{what} {tape(height)} up", bending))
    return tuple(answers)


def row_across(wall: Wall) -> Row:
    """Give the strongback that stops a wall from folding at a kink: 12 in below its lowest top.

    Args:
        wall: the wall.

    Example:
        >>> row_across(Wall(name="W", top=((0.0, 96.0), (100.0, 146.0), (200.0, 96.0)))).height
        84.0
    """
    return Row(height=min(z for _, z in wall.top) - 12.0, kind="strongback", size=wall.studs.size)


def slope_at(wall: Wall, x: Inch) -> float:
    """Give the steeper slope of the top at a place, rise over run [-].

    Args:
        wall: the wall.
        x: distance from LEFT [in].

    Example:
        >>> slope_at(Wall(name="W", top=((0.0, 96.0), (100.0, 146.0))), 50.0)
        0.5
    """
    slopes = [
        abs(z1 - z0) / (x1 - x0)
        for (x0, z0), (x1, z1) in pairwise(wall.top)
        if x1 > x0 and x0 - 1e-6 <= x <= x1 + 1e-6
    ]
    return max(slopes, default=0.0)
