"""Plumbing a wall from offset readings: lean, bow, how far each foot moves, in which order feet are let go.

At each brace two offsets are read from one plumb line or laser: at the floor and at the head, both from the
line to the same face, positive toward the braces. A head offset larger than the floor's leans toward them.

A brace that has nothing to move is not let go, and none is while the gust of the day reaches the clear-out gust of the
wall without it: people stand beside the wall then.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TypedDict

from attrs import frozen

from bracing.chain.evaluate import limits, without
from bracing.chain.model import build_model
from bracing.choosing import over, sorted_by
from bracing.codes.gusts import people_may_stay
from bracing.errors import refused
from bracing.job.brace import LEAST_REACH
from bracing.job.envelope import beyond
from bracing.job.fields import declared
from bracing.job.job import Job
from bracing.stages.going_up import DAY_GUST
from bracing.units import INCHES_PER_FOOT, Inch, Mph, Pound, Radian, feet

STEEPEST = 0.25  # a lean past this is a slip of the tape
TOO_STEEP = "a lean under a quarter of the height it is read over"
LEAST_MOVE: Inch = 0.03125  # a lean that is nearer to nothing than to a sixteenth is not moved; judgement

MoveJson = TypedDict("MoveJson", {
    "mark": str, "x_ft": float, "lean_in": float, "lean_in_per_ft": float, "bow_in": float,
    "length_change_in": float | None, "foot_move_in": float | None,
    "turns": float | None, "moved": bool, "clear_out_gust_loose_mph": int | None,
})  # fmt: skip
PlumbJson = TypedDict("PlumbJson", {
    "braces": list[MoveJson], "order": list[str], "stays": list[str], "gust_mph": float, "mean_lean_in_per_ft": float,
    "worst_lean_in_per_ft": float, "lean_force_lb": float, "lean_force_carried_lb": float, "within": bool,
})  # fmt: skip


@frozen
class LeanReading:
    """Offsets read at one brace.

    Attributes:
        mark: the brace.
        x: its stud from LEFT [in].
        head_height: height of the head reading above the floor reading [in].
        floor_offset: offset of the face at the floor, toward the braces [in].
        head_offset: offset of the face at the head, toward the braces [in].
        set_back: foot of the brace to the plate's inside face [in]; None where not known.
        head: head of the brace above the floor [in]; None where not known.
    """

    mark: str = declared("name", "the brace")
    x: Inch = declared("length", "its stud from LEFT", least=0.0)
    head_height: Inch = declared("length", "from the floor reading up to the head reading", least=LEAST_REACH)
    floor_offset: Inch = declared("length", "offset at the floor, toward the braces")
    head_offset: Inch = declared("length", "offset at the head, toward the braces")
    set_back: Inch | None = declared(
        "length", "foot to the plate's inside face", default=None, least=LEAST_REACH
    )
    head: Inch | None = declared("length", "head of the brace", default=None, least=LEAST_REACH)

    def __attrs_post_init__(self) -> None:
        if abs(self.head_offset - self.floor_offset) > self.head_height * STEEPEST:
            where, lean = "Reading.head_offset", self.head_offset - self.floor_offset
            raise refused(where, lean, TOO_STEEP)


@frozen
class Move:
    """What one brace needs.

    Attributes:
        mark: the brace.
        x: its stud from LEFT [in].
        lean: head out of plumb, toward the braces [in].
        slope: lean over height [rad].
        bow: head off the straight line between the two outer heads, toward the braces [in].
        length_change: change of the brace's length that brings it plumb; longer is positive [in].
        foot_move: move of its foot on the floor that does the same, away from the wall positive [in].
        turns: turns of its adjuster; None without one.
        loose: clear-out gust while its foot is loose; None where the wall is for an engineer [mph].
    """

    mark: str
    x: Inch
    lean: Inch
    slope: Radian
    bow: Inch
    length_change: Inch | None
    foot_move: Inch | None
    turns: float | None
    loose: int | None

    @property
    def moved(self) -> bool:
        """Its lean is at least what a tape shows."""
        return abs(self.lean) >= LEAST_MOVE

    def to_dict(self) -> MoveJson:
        """Give the move for JSON."""
        return {
            "mark": self.mark,
            "x_ft": feet(self.x),
            "lean_in": self.lean,
            "lean_in_per_ft": self.slope * INCHES_PER_FOOT,
            "bow_in": self.bow,
            "length_change_in": self.length_change,
            "foot_move_in": self.foot_move,
            "turns": self.turns,
            "moved": self.moved,
            "clear_out_gust_loose_mph": self.loose,
        }


@frozen
class Plumb:
    """The answer of a set of readings.

    Attributes:
        moves: a move for each brace, from LEFT.
        gust: gust of the day [mph].
        mean_slope: mean lean over height [rad].
        worst_slope: greatest lean over height, either way [rad].
        lean_force: level force the worst lean puts on the braces together, at the centre of gravity [lb].
        allowed_lean_force: the force the checks already carry for lean [lb].
    """

    moves: tuple[Move, ...]
    gust: Mph
    mean_slope: Radian
    worst_slope: Radian
    lean_force: Pound
    allowed_lean_force: Pound

    @property
    def order(self) -> tuple[str, ...]:
        """Marks in the order their feet are let go, one at a time: the two ends, then the rest, worst lean first."""
        free = [move for move in self.moves if move.moved and move.mark not in self.stays]
        ends = {self.moves[0].mark, self.moves[-1].mark} if self.moves else set()
        first = sorted_by([move for move in free if move.mark in ends], lambda move: move.x)
        inner = [move for move in free if move.mark not in ends]
        then = sorted_by(inner, lambda move: -abs(move.lean), lambda move: move.x)
        return tuple(move.mark for move in (*first, *then))

    @property
    def stays(self) -> tuple[str, ...]:
        """Marks with something to move whose feet are not let go at the gust of the day."""
        return tuple(m.mark for m in self.moves if m.moved and not people_may_stay(m.loose or 0, self.gust))

    @property
    def alike(self) -> bool:
        """Several braces all read the same lean, which the instrument alone may make."""
        leans = [move.lean for move in self.moves]
        return len(leans) > 1 and max(leans) - min(leans) < LEAST_MOVE

    @property
    def within(self) -> bool:
        """The lean left is no more than what the checks carry."""
        return not over(self.lean_force, self.allowed_lean_force)

    def to_dict(self) -> PlumbJson:
        """Give the answer for JSON."""
        return {
            "braces": [move.to_dict() for move in self.moves],
            "order": list(self.order),
            "stays": list(self.stays),
            "gust_mph": self.gust,
            "mean_lean_in_per_ft": self.mean_slope * INCHES_PER_FOOT,
            "worst_lean_in_per_ft": self.worst_slope * INCHES_PER_FOOT,
            "lean_force_lb": self.lean_force,
            "lean_force_carried_lb": self.allowed_lean_force,
            "within": self.within,
        }


def foot_move(lean: Inch, *, head: Inch, set_back: Inch, head_height: Inch) -> Inch:
    """Give the move of a brace's foot that brings its head plumb, the brace's length kept [in].

    The head goes back by lean h/H; the foot goes to sqrt(L^2 - h^2) from the head's new plumb line.

    Args:
        lean: head reading out of plumb, toward the braces [in].
        head: head of the brace above the floor, h [in].
        set_back: foot to the plate's inside face as it stands, d [in].
        head_height: height of the head reading, H [in].

    Returns:
        Move on the floor, away from the wall positive [in].

    Source: STATICS.

    Example:
        >>> round(foot_move(0.5, head=96.0, set_back=96.0, head_height=96.0), 3)
        -0.501
    """
    at_head = lean * head / head_height
    level = set_back - at_head
    length = math.hypot(level, head * math.sqrt(1.0 - (lean / head_height) ** 2))
    return math.sqrt(length**2 - head**2) - set_back


def length_change(lean: Inch, *, head: Inch, set_back: Inch, head_height: Inch) -> Inch:
    """Give the change of a brace's length that brings its head plumb, its foot kept [in].

    Args:
        lean: head reading out of plumb, toward the braces [in].
        head: head of the brace above the floor, h [in].
        set_back: foot to the plate's inside face, d [in].
        head_height: height of the head reading, H [in].

    Returns:
        Change of length, longer positive [in].

    Source: STATICS.

    Example:
        >>> round(length_change(0.5, head=96.0, set_back=96.0, head_height=96.0), 3)
        0.354
    """
    at_head = lean * head / head_height
    now = math.hypot(set_back - at_head, head * math.sqrt(1.0 - (lean / head_height) ** 2))
    return math.hypot(set_back, head) - now


def plumb(
    readings: Sequence[LeanReading],
    *,
    weight: Pound,
    allowed_lean: float,
    inches_per_turn: Inch | None = None,
    loose: Mapping[str, int],
    gust: Mph = DAY_GUST,
) -> Plumb:
    """Turn readings into moves and an order.

    Args:
        readings: offsets at each brace.
        weight: weight of the wall [lb].
        allowed_lean: part of the weight the checks already carry sideways [-].
        inches_per_turn: change of length of one turn of the adjuster [in]; None without adjusters.
        loose: clear-out gust of the wall with each brace gone, by mark; empty where it is for an engineer [mph].
        gust: gust of the day [mph].

    Returns:
        The moves from LEFT, the order, and what the remaining lean adds.

    Source: STATICS.

    Example:
        >>> two = (LeanReading("B1", 0.0, 96.0, 1.0, 1.5), LeanReading("B2", 120.0, 96.0, 1.0, 1.0))
        >>> plumb(two, weight=2000.0, allowed_lean=0.02, loose={"B1": 30, "B2": 30}).order
        ('B1',)
    """
    ordered = sorted(readings, key=lambda reading: reading.x)
    moves = tuple(
        _move(reading, ordered, loose.get(reading.mark), inches_per_turn=inches_per_turn)
        for reading in ordered
    )
    slopes = [move.slope for move in moves]
    worst = max((abs(slope) for slope in slopes), default=0.0)
    return Plumb(
        moves=moves,
        gust=gust,
        mean_slope=sum(slopes) / len(slopes) if slopes else 0.0,
        worst_slope=worst,
        lean_force=weight * math.tan(worst),
        allowed_lean_force=weight * allowed_lean,
    )


def loose_feet(job: Job) -> dict[str, int]:
    """Give the clear-out gust while the foot of each brace is loose, as if that brace were gone [mph].

    Args:
        job: the job.

    Returns:
        By mark; empty where the wall is for an engineer.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    if beyond(job, None):
        return {}
    model = build_model(job)
    return {mark: limits(without(model, k)).clear_out for k, mark in enumerate(model.marks)}


def _move(
    reading: LeanReading, ordered: Sequence[LeanReading], loose: int | None, *, inches_per_turn: Inch | None
) -> Move:
    lean = reading.head_offset - reading.floor_offset
    longer = moved = turns = None
    if reading.head is not None and reading.set_back is not None:
        head, set_back, height = reading.head, reading.set_back, reading.head_height
        longer = length_change(lean, head=head, set_back=set_back, head_height=height)
        moved = foot_move(lean, head=head, set_back=set_back, head_height=height)
        turns = longer / inches_per_turn if inches_per_turn else None
    first, last = ordered[0], ordered[-1]
    run = last.x - first.x
    part = (reading.x - first.x) / run if run > 0.0 else 0.0
    line = first.head_offset + (last.head_offset - first.head_offset) * part
    return Move(
        mark=reading.mark,
        x=reading.x,
        lean=lean,
        slope=math.asin(lean / reading.head_height),
        bow=reading.head_offset - line,
        length_change=longer,
        foot_move=moved,
        turns=turns,
        loose=loose,
    )
