"""What must be in the truck for a rung: sticks by length, fasteners by count, all rounded up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from bracing.choosing import whole_up
from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.units import Inch, tape
from bracing.work.remedies import Change, fasteners_added

STOCK_STEP: Inch = 24.0
SHORTEST_STOCK: Inch = 96.0
TIE_STICK: Inch = 192.0
TIE_LAP: Inch = 24.0
NAIL = "16d common"
ROWS_OF_NAILS, NAIL_EVERY = 2, 12.0  # a doubled stud or a T is nailed in two rows, 12 in apart
ENDS_OF_A_DIAGONAL = 4
CROSSING = 2  # fasteners where a tie row crosses a brace
SIDE_CLEAT = "2x4 side cleat, 2 ft, at the head"
BLOCKING = "blocking of the joists' size, 2 ft"

Truck = Counter[str]


def stock_length(length: Inch) -> Inch:
    """Round a stick's length up to what is sold: even feet, from 8 ft [in].

    Args:
        length: its length [in].

    Example:
        >>> stock_length(171.5) / 12.0
        16.0
    """
    return max(SHORTEST_STOCK, whole_up(length / STOCK_STEP) * STOCK_STEP)


def stick(size: str, length: Inch) -> str:
    """Name a stick as it is bought.

    Args:
        size: nominal size.
        length: length needed [in].

    Example:
        >>> stick("2x6", 171.5)
        '2x6 x 16 ft'
    """
    return f"{size} x {stock_length(length) / 12.0:.0f} ft"


def truck_for(job: Job, changes: Iterable[Change], added: Iterable[Brace]) -> Truck:
    """List what the changes and the added braces take.

    Args:
        job: the job before this rung.
        changes: the changes.
        added: the braces.
    """
    found: Truck = Counter()
    for change in changes:
        found.update(_for_change(job, change))
    for brace in added:
        found.update(_for_brace(job, brace))
    return Counter({item: count for item, count in found.items() if count > 0})


def _for_change(job: Job, change: Change) -> dict[str, int]:
    brace = next((b for b in job.braces if b.mark == change.mark), None)
    braces, plate, kit = len(job.braces), job.wall.plate, job.kit
    more = change.after - change.before if _counts(change) else 0
    last = change.path.rpartition(".")[2]
    if change.kind in ("stud", "stiffener") and brace is not None:
        if change.kind == "stiffener":
            return _nailed_on(brace.size, brace.length)
        return _nailed_on(job.wall.studs.size, job.wall.height_at(brace.stud_at))
    if change.kind == "tie":
        return _for_tie(job, change)
    if last in _JOINT_OF:
        return {_JOINT_OF[last](job): more}
    if change.kind in _SWAPPED:
        return {str(change.after): sum(getattr(b, _SWAPPED[change.kind]) for b in job.braces)}
    # the allowable asked for is a whole number of pounds
    simple: dict[str, dict[str, int]] = {
        "joist": {BLOCKING: 1},
        "head side cleat": {SIDE_CLEAT: braces},
        "strap": {f"strap, stated allowable {change.after} lb or more, plate to stud": braces},
        "strap at the foot": {
            f"strap, stated allowable {change.after} lb or more, stud to floor framing": braces
        },
    }
    if change.kind in simple:
        return simple[change.kind]
    if change.path == "kit.cleat.sides":
        return {f"{kit.cleat.size} cleat, {tape(kit.cleat.length)}": braces}
    if last == "at_each_brace":
        return {plate.extra.fastener: more * braces}
    if change.kind.startswith("sheathing"):
        return {plate.sheathing_fastener: fasteners_added(job, change)}
    if change.kind in ("plate nails", "plate state"):
        return {plate.fastener: fasteners_added(job, change)}
    return _along(job, change, more)


def _nailed_on(size: str, length: Inch) -> dict[str, int]:
    """A stick nailed along another, as a second stud or a T, and its nails."""
    return {stick(size, length): 1, NAIL: ROWS_OF_NAILS * whole_up(length / NAIL_EVERY)}


def _along(job: Job, change: Change, more: int) -> dict[str, int]:
    """Fasteners in headers."""
    if change.kind == "header":
        index = int(change.path.split("[")[1].split("]")[0])
        opening = job.wall.openings[index]
        ends = 2 if opening.sill <= 0.0 else 4  # header, and sill where there is one, at both ends
        return {opening.header_fastener: more * ends}
    return {}


_JOINT_OF = {
    "head_fasteners": lambda job: job.kit.head.fastener,
    "cleat_fasteners": lambda job: job.kit.cleat.brace_fastener,
    "floor_fasteners": lambda job: job.kit.cleat.floor_fastener,
}
_SWAPPED = {
    "head screws": "head_fasteners",
    "cleat screws": "cleat_fasteners",
    "floor screws": "floor_fasteners",
}


def _counts(change: Change) -> bool:
    return all(isinstance(v, int) and not isinstance(v, bool) for v in (change.before, change.after))


def _for_tie(job: Job, change: Change) -> dict[str, int]:
    """A row along all braces and its diagonal, shared out over the braces it crosses, first one first."""
    marks = [brace.mark for brace in job.braces]
    fasteners = {job.kit.head.fastener: CROSSING * (change.after - change.before)}
    if change.mark != marks[0]:
        return fasteners
    places = [brace.stud_at for brace in job.braces]
    run = max(places) - min(places) + 2.0 * TIE_LAP
    sticks = whole_up(run / (TIE_STICK - TIE_LAP)) + 1  # and one for the diagonal
    rows = change.after - change.before
    fasteners[job.kit.head.fastener] += ENDS_OF_A_DIAGONAL * rows
    return {stick("2x4", TIE_STICK): sticks * rows, **fasteners}


def _for_brace(job: Job, brace: Brace) -> dict[str, int]:
    kit = job.kit
    found: Truck = Counter()
    found[stick(brace.size, brace.length)] += 1
    found[f"{kit.cleat.size} cleat, {tape(kit.cleat.length)}"] += kit.cleat.sides
    found[kit.head.fastener] += brace.head_fasteners + CROSSING * brace.ties
    found[kit.cleat.brace_fastener] += brace.cleat_fasteners
    found[kit.cleat.floor_fastener] += brace.floor_fasteners
    if brace.stud_doubled:
        found.update(_nailed_on(job.wall.studs.size, job.wall.height_at(brace.stud_at)))
    if brace.stiffener == "T":
        found.update(_nailed_on(brace.size, brace.length))
    if kit.head.joint == "plumb" and kit.head.side_cleat:
        found[SIDE_CLEAT] += 1
    if job.wall.plate.extra.at_each_brace:
        found[job.wall.plate.extra.fastener] += job.wall.plate.extra.at_each_brace
    for what, allowable in (
        ("plate to stud", job.wall.top_plate.strap_at_brace_lb),
        ("stud to floor framing", job.wall.plate.strap_at_brace_lb),
    ):
        if allowable > 0.0:
            found[f"strap, stated allowable {allowable:g} lb or more, {what}"] += 1
    return found
