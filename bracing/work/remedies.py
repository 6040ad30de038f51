"""What a crew can do to a standing wall: one change of one field each, from the table of moves.

A brace that is up stays where it is. A change adds fasteners, wood or a strap to what is there; where nails
hold a joint that screws would hold better, the screws are counted alone and the nails not at all.
"""

from __future__ import annotations

import math
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from attrs import frozen

from bracing.chain.assumed import value_at, with_value
from bracing.chain.links import Link
from bracing.chain.room import JOINTS, most_in, within_room
from bracing.choosing import first_least, whole_down, whole_up
from bracing.job.fasteners import fastener
from bracing.job.job import Job
from bracing.units import Pound

MORE, DEMAND = "more", "demand"
ALL, EACH, OPENINGS = "[*]", "[]", "wall.opening[]"
MOST_OF_ANY = 99  # where room alone says how far a move goes
REVERSED = ", in reverse"


@frozen
class Move:
    """One kind of change.

    Attributes:
        kind: the rung it belongs to.
        mends: links it mends.
        path: the field it changes.
        steps: values in order, or "more", or "demand".
        most: as far as it goes; None where its steps end.
        minutes: for two people, each change at each place.
        only: where it can be done at all.
        screw: fastener put in where none was declared.
        each_row_minutes: beside, for each new row along the wall.
    """

    kind: str
    mends: tuple[str, ...]
    path: str
    steps: tuple[Any, ...] | str
    most: float | None = None
    minutes: float = 0.0
    only: str = ""
    screw: str = ""
    each_row_minutes: float = 0.0


@frozen
class Change:
    """One field changed at one place.

    Attributes:
        kind: the rung it belongs to.
        path: dotted path in the file.
        before: its value now.
        after: its value then.
        mark: the brace; None where it is along the wall.
    """

    kind: str
    path: str
    before: Any
    after: Any
    mark: str | None = None


@cache
def table() -> dict[str, Any]:
    """Read the table of moves."""
    return tomllib.loads((files("bracing") / "data" / "storm.toml").read_text(encoding="utf-8"))


def asked_for(load: Pound) -> Pound:
    """Round a load a strap or a block's end is asked for up to the step of the table [lb].

    Args:
        load: the load [lb].
    """
    step = float(table()["strap_step_lb"])
    return whole_up(load / step) * step


def strap_for(load: Pound) -> Pound | None:
    """Give the stated allowable a strap is asked for; None where it is past what a strap is asked for [lb].

    Args:
        load: what it must carry [lb].
    """
    asked = asked_for(load)
    return asked if asked <= table()["strap_most_lb"] else None


@cache
def moves() -> tuple[Move, ...]:
    """Give every move in the order a crew does them."""

    def steps(value: Any) -> Any:  # noqa: ANN401  (a word or a list)
        return value if isinstance(value, str) else tuple(value)

    return tuple(
        Move(**{**row, "mends": tuple(row["mends"]), "steps": steps(row["steps"])}) for row in table()["move"]
    )


@cache
def order() -> tuple[str, ...]:
    """Give the kinds of rung in the order a crew does them; added braces come last.

    Example:
        >>> order()[0], order()[-1]
        ('stud', 'brace')
    """
    return (*(move.kind for move in moves()), table()["added_brace"]["kind"])


def apply(job: Job, changes: tuple[Change, ...]) -> Job:
    """Give the job with changes made.

    Args:
        job: the job.
        changes: in order.
    """
    for change in changes:
        job = with_value(job, change.path, change.after)
    return job


def changes_for(job: Job, link: Link) -> tuple[tuple[Change, ...], ...]:
    """Give what could mend a link that is over, in the order of the table.

    Args:
        job: the job.
        link: the link, at the gust to be met.

    Returns:
        Each alternative as the changes it takes together.
    """
    name = link.link.removesuffix(REVERSED)
    tried = (step(job, move, link) for move in moves() if name in move.mends)
    return tuple(found for found in tried if found)


def step(job: Job, move: Move, link: Link) -> tuple[Change, ...]:
    """Give one step of a move as far as a link needs it; nothing where it cannot be done or goes no further.

    Args:
        job: the job.
        move: the move.
        link: the link, at the gust to be met.
    """
    if not _can(job, move, link):
        return ()
    found = _second_cleat(job, move) if move.kind == "second cleat" else _step(job, move, link)
    return found if within_room(job, apply(job, found)) else ()


def _step(job: Job, move: Move, link: Link) -> tuple[Change, ...]:
    marks = [brace.mark for brace in job.braces]
    if ALL in move.path:
        paths = [move.path.replace(ALL, f"[{k}]") for k in range(len(marks))]
        own = value_at(job, paths[marks.index(link.mark)]) if link.mark in marks else 0
        after = _next(move, own, link)
        changed = [(path, k) for k, path in enumerate(paths) if after and _number(job, path) < after]
        return tuple(Change(move.kind, p, value_at(job, p), after, marks[k]) for p, k in changed)
    mark, path = None, move.path
    if path.startswith("brace[]"):
        if link.mark not in marks:
            return ()
        mark = link.mark
        path = path.replace(EACH, f"[{marks.index(link.mark)}]")
    elif path.startswith(OPENINGS):
        nearest = first_least([abs(_middle(job, k) - (link.x or 0.0)) for k in range(len(job.wall.openings))])
        path = path.replace(EACH, f"[{nearest}]")
    before = value_at(job, path)
    after = _next(move, before, link)
    joint = path.rpartition(".")[2]
    if mark and joint in JOINTS and after is not None:
        after = min(after, most_in(job, job.braces[marks.index(mark)], joint))
    if after is None or (joint in JOINTS and after <= before):
        return ()
    first: tuple[Change, ...] = ()
    if move.screw and not before:
        declared = job.wall.plate.extra.fastener
        first = (Change(move.kind, "wall.plate.extra.fastener", declared, move.screw),)
    return (*first, Change(move.kind, path, before, after, mark))


def _number(job: Job, path: str) -> int:
    value = value_at(job, path)
    return value if isinstance(value, int) else 0


def _middle(job: Job, index: int) -> float:
    opening = job.wall.openings[index]
    return opening.left + opening.width / 2.0


def _second_cleat(job: Job, move: Move) -> tuple[Change, ...]:
    """A second cleat takes as many fasteners again, to the brace and to the floor."""
    if job.kit.cleat.sides >= 2 or not job.braces:
        return ()
    doubled = [Change(move.kind, "kit.cleat.sides", 1, 2)]
    for k, brace in enumerate(job.braces):
        for name in ("cleat_fasteners", "floor_fasteners"):
            count = getattr(brace, name)
            doubled.append(Change(move.kind, f"brace[{k}].{name}", count, 2 * count, brace.mark))
    return tuple(doubled)


def _can(job: Job, move: Move, link: Link) -> bool:
    plate, kit = job.wall.plate, job.kit
    possible = {
        "": True,
        "deck": job.floor.kind == "deck",
        "not ground": job.floor.kind != "ground",
        "not slab": job.floor.kind != "slab",
        "plumb head": kit.head.joint == "plumb",
        "laps none": plate.sheathing_laps == "none" and job.wall.sheathed,
        "braced stud": link.mark is not None,
        "nail": _is_nail(job, move),
    }
    return possible[move.only]


def _is_nail(job: Job, move: Move) -> bool:
    names = {
        "head screws": job.kit.head.fastener,
        "cleat screws": job.kit.cleat.brace_fastener,
        "floor screws": job.kit.cleat.floor_fastener,
    }
    name = names.get(move.kind)
    if name is None or (move.kind == "floor screws" and job.floor.kind != "deck"):
        return False
    return fastener(name, job.fasteners).kind == "nail"


def _next(move: Move, before: Any, link: Link) -> Any:  # noqa: ANN401  (a value of any field)
    """The next value beyond the present one, as far as the link needs it; None where there is none."""
    if move.steps == DEMAND:
        needed = strap_for(link.demand)
        return needed if needed is not None and needed > before else None
    if move.steps == MORE:
        most = int(move.most or MOST_OF_ANY)
        if before >= most:
            return None
        wanted = whole_up(before * link.ratio) if math.isfinite(link.ratio) else before + 1
        return min(most, max(before + 1, wanted))
    steps = move.steps
    if isinstance(before, bool | str):
        return steps[0] if before != steps[0] else None
    if len(steps) > 1 and steps[0] > steps[-1]:  # a spacing: the next closer one
        closer = [value for value in steps if value < before - 1e-9]
        wanted_spacing = before / link.ratio if link.ratio > 0.0 else before
        reach = [value for value in closer if value <= wanted_spacing + 1e-9]
        return (reach or closer[-1:] or [None])[0]
    further = [value for value in steps if value > before]
    return further[0] if further else None


def minutes(job: Job, change: Change) -> float:
    """Give the minutes two people take for one change, by the judged table.

    Args:
        job: the job before the work.
        change: the change.
    """
    move = next(move for move in moves() if move.kind == change.kind)
    braces = max(len(job.braces), 1)
    if change.path.endswith(("extra.fastener",)):
        return 0.0
    if move.kind in ("second cleat", "tie"):
        return _shared(move, change, braces)
    if move.steps == MORE:
        places = braces if change.path.endswith("at_each_brace") else 1
        return move.minutes * float(change.after - change.before) * places
    if change.path.endswith("strap_at_brace_lb"):
        return move.minutes * braces
    if move.kind.endswith("screws") and move.kind != "plate screws":
        return move.minutes * sum(_count(brace, move.kind) for brace in job.braces)
    if move.kind == "head side cleat":
        return move.minutes * braces
    if isinstance(change.after, float) or move.kind in ("plate state", "sheathing to plate"):
        return move.minutes * fasteners_added(job, change)
    return move.minutes


def _shared(move: Move, change: Change, braces: int) -> float:
    if move.kind == "tie":
        return move.minutes + move.each_row_minutes / braces
    return move.minutes * braces if change.path == "kit.cleat.sides" else 0.0


def _count(brace: Any, kind: str) -> int:  # noqa: ANN401  (a Brace)
    name = {
        "head screws": "head_fasteners",
        "cleat screws": "cleat_fasteners",
        "floor screws": "floor_fasteners",
    }
    return int(getattr(brace, name[kind]))


def fasteners_added(job: Job, change: Change) -> int:
    """Count the fasteners a closer spacing, or a plate nailed off, adds along the wall.

    Args:
        job: the job before the work.
        change: the change.
    """
    wall = job.wall
    runs = wall.length
    if change.kind == "sheathing on studs":
        runs = wall.highest * (wall.length / wall.studs.spacing + 1.0)
    if change.kind == "plate state":
        return whole_up(runs / wall.plate.spacing)
    if change.kind == "sheathing to plate":
        return whole_up(runs / wall.plate.sheathing_spacing)
    more: int = whole_up(runs / change.after) - whole_down(runs / change.before)
    return max(0, more)
