"""What a brace, a tie row, a T or a strap takes, said once for layouts and for work before a storm; all rounded up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from attrs import evolve, frozen

from bracing.chain.brace import STIFFENER_SPACING
from bracing.chain.cuts import cut_of
from bracing.choosing import whole_up
from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.units import Inch, Pound, pounds, tape
from bracing.work.remedies import Change, fasteners_added

STOCK_STEP: Inch = 24.0
SHORTEST_STOCK: Inch = 96.0
TIE_SIZE = "2x4"
TIE_STICK: Inch = 192.0  # the longest a tie row is made of, lapped
TIE_LAP: Inch = 24.0
TIE_PAST: Inch = 12.0  # a row runs so far past its end braces
DIAGONALS = 2  # a tie row runs to one at each end
DIAGONAL = 0.75  # of the longest brace, from the row to the floor or the wall
NAIL = "16d common"
ROWS_OF_NAILS, NAIL_EVERY = 2, 12.0  # a second stud is nailed on in two rows, 12 in apart
AT_A_DIAGONAL = 4  # fasteners at its two ends
PLATES: Inch = 4.5  # two plies of top plate and the bottom plate, off the length of a stud
ANCHORS, STAKES = "anchor in the slab", "stake or weight"
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


@frozen
class Piece:
    """A piece to be cut.

    Attributes:
        what: the brace's mark, or what it is.
        size: nominal size.
        length: its length [in].
    """

    what: str
    size: str
    length: Inch


def stick_pieces(job: Job, brace: Brace) -> tuple[Piece, ...]:
    """Give the sticks of one brace: its own, the second of a T, and that beside its stud.

    Args:
        job: the job.
        brace: the brace.
    """
    found = [Piece(brace.mark, brace.size, cut_of(job, brace).long_point)]
    if brace.stiffener == "T":
        found.append(Piece(f"stiffener of {brace.mark}", brace.size, brace.length))
    if brace.stud_doubled:
        tall = job.wall.height_at(brace.stud_at) - PLATES
        found.append(Piece(f"second stud at {brace.mark}", job.wall.studs.size, tall))
    return tuple(found)


def cleats(job: Job) -> int:
    """Count the cleats of one brace.

    Args:
        job: the job.
    """
    return 0 if job.floor.kind == "ground" else job.kit.cleat.sides


def joint_fasteners(job: Job, brace: Brace) -> Truck:
    """Count the fasteners of one brace: its joints, those beside it in the plate, its T and its second stud.

    Args:
        job: the job.
        brace: the brace.
    """
    kit, extra, slab = job.kit, job.wall.plate.extra, job.floor.kind == "slab"
    needs: Truck = Counter()
    needs[kit.head.fastener] += brace.head_fasteners
    needs[kit.cleat.brace_fastener] += brace.cleat_fasteners
    needs[{"slab": ANCHORS, "ground": STAKES}.get(job.floor.kind, kit.cleat.floor_fastener)] += (
        brace.floor_fasteners
    )
    needs[ANCHORS if slab else extra.fastener] += extra.at_each_brace
    if brace.stiffener == "T":
        needs += _in_stiffener(job, brace)
    if brace.stud_doubled:
        needs += _in_second_stud(job, brace)
    return needs


def _in_stiffener(job: Job, brace: Brace) -> Truck:
    """As the chain reckons a T: one row of the head's fastener."""
    return Counter({job.kit.head.fastener: whole_up(brace.length / STIFFENER_SPACING) + 1})


def _in_second_stud(job: Job, brace: Brace) -> Truck:
    tall = job.wall.height_at(brace.stud_at) - PLATES
    return Counter({NAIL: ROWS_OF_NAILS * whole_up(tall / NAIL_EVERY)})


def tie_lengths(job: Job) -> tuple[Inch, ...]:
    """Give the pieces of one tie row, in equal lengths lapped, and its diagonals [in].

    Args:
        job: the job with its braces.
    """
    places = [brace.stud_at for brace in job.braces]
    run = max(places) - min(places) + 2.0 * TIE_PAST
    count = max(1, whole_up((run - TIE_LAP) / (TIE_STICK - TIE_LAP)))
    diagonal = DIAGONAL * max(brace.length for brace in job.braces)
    return ((run + (count - 1) * TIE_LAP) / count,) * count + (diagonal,) * DIAGONALS


def tie_sticks(job: Job, rows: int) -> Truck:
    """Give the sticks of tie rows with their diagonals, as they are bought.

    Args:
        job: the job with its braces.
        rows: how many rows.
    """
    return Counter([stick(TIE_SIZE, length) for length in tie_lengths(job)] * rows) if rows else Counter()


def tie_fasteners(job: Job, rows: int) -> Truck:
    """Count the fasteners of tie rows: at every brace a row crosses, and at both ends of its diagonals.

    Args:
        job: the job with its braces.
        rows: how many rows.
    """
    each = CROSSING * len(job.braces) + AT_A_DIAGONAL * DIAGONALS
    return Counter({job.kit.head.fastener: each * rows}) if rows else Counter()


def tie_rows(job: Job) -> int:
    """Count the tie rows of a layout.

    Args:
        job: the job with its braces.
    """
    return max((brace.ties for brace in job.braces), default=0)


STRAPS = {
    "wall.top_plate.strap_at_brace_lb": "strap, top plate to stud",
    "wall.plate.strap_at_brace_lb": "strap, stud to floor framing",
}


def strap_name(path: str, allowable: Pound, *, metric: bool = False) -> str:
    """Name a strap as it is asked for.

    Args:
        path: the field that asks for it.
        allowable: its stated allowable [lb].
        metric: in newtons.

    Example:
        >>> strap_name("wall.plate.strap_at_brace_lb", 600.0)
        'strap, stud to floor framing, allowable 600 lb'
    """
    return f"{STRAPS[path]}, allowable {pounds(allowable, metric=metric)}"


def strap_names(job: Job, *, metric: bool = False) -> tuple[str, ...]:
    """Name the straps at each brace.

    Args:
        job: the job.
        metric: in newtons.
    """
    loads = (job.wall.top_plate.strap_at_brace_lb, job.wall.plate.strap_at_brace_lb)
    return tuple(
        strap_name(path, load, metric=metric) for path, load in zip(STRAPS, loads, strict=True) if load > 0.0
    )


def truck_for(job: Job, changes: Iterable[Change], added: Iterable[Brace]) -> Truck:
    """List what the changes and the added braces take.

    Args:
        job: the job before this rung.
        changes: the changes.
        added: the braces.
    """
    found: Truck = Counter()
    changes = tuple(changes)
    for change in changes:
        found.update(_for_change(job, change))
    rows = max((change.after - change.before for change in changes if change.kind == "tie"), default=0)
    found += tie_sticks(job, rows) + tie_fasteners(job, rows)
    for brace in added:
        found.update(_for_brace(job, brace))
    return Counter({item: count for item, count in found.items() if count > 0})


def _for_change(job: Job, change: Change) -> Mapping[str, int]:
    brace = next((b for b in job.braces if b.mark == change.mark), None)
    braces, plate, kit = len(job.braces), job.wall.plate, job.kit
    more = change.after - change.before if _counts(change) else 0
    last = change.path.rpartition(".")[2]
    if change.kind in ("stud", "stiffener") and brace is not None:
        plain = evolve(brace, stud_doubled=False, stiffener="none")
        return _for_stick(job, evolve(plain, **{last: change.after})) - _for_stick(job, plain)
    if change.kind == "tie":
        return {}
    if last in _JOINT_OF:
        return {_JOINT_OF[last](job): more}
    if change.kind in _SWAPPED:
        return {str(change.after): sum(getattr(b, _SWAPPED[change.kind]) for b in job.braces)}
    simple: dict[str, dict[str, int]] = {
        "joist": {BLOCKING: 1},
        "head side cleat": {SIDE_CLEAT: braces},
    }
    if change.path in STRAPS:
        return {strap_name(change.path, change.after): braces}
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


def _for_stick(job: Job, brace: Brace) -> Truck:
    """The sticks of a brace, and every fastener of it."""
    return Counter(stick(p.size, p.length) for p in stick_pieces(job, brace)) + joint_fasteners(job, brace)


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


def _for_brace(job: Job, brace: Brace) -> Truck:
    kit, found = job.kit, _for_stick(job, brace)
    found[f"{kit.cleat.size} cleat, {tape(kit.cleat.length)}"] += cleats(job)
    found[kit.head.fastener] += CROSSING * brace.ties
    if kit.head.joint == "plumb" and kit.head.side_cleat:
        found[SIDE_CLEAT] += 1
    found.update(strap_names(job))
    return found
