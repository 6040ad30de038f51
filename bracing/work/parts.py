"""What a brace, a tie row, a T, a strap and every other remedy takes, and the sticks it is cut from; all rounded up.

Said once for layouts and for work before a storm.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TypedDict

from attrs import evolve, frozen

from bracing.chain.assumed import value_at
from bracing.chain.brace import STIFFENER_SPACING
from bracing.chain.cuts import cut_of
from bracing.chain.room import (
    ANCHOR,
    EXTRA,
    STAKE,
    THROUGH_PLATE,
    joint_fastener,
    plate_fastener,
    wood_blocks,
)
from bracing.choosing import whole_up
from bracing.job.brace import JOINTS, Brace, Stock
from bracing.job.fasteners import Fastener
from bracing.job.floor import Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Row
from bracing.units import Inch, Pound, pounds, tape
from bracing.work.remedies import SIDES, Change, RemedyId, apply, counted, remedies
from bracing.work.words import many

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
CROSSING = 2  # fasteners where a tie row crosses a brace
AFTER = "after"

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
    needs: Truck = Counter()
    for joint in JOINTS:
        needs[joint_fastener(job, joint)] += getattr(brace, joint)
    needs[plate_fastener(job)] += job.wall.plate.extra.at_each_brace
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


def stick_fasteners(job: Job, brace: Brace) -> Truck:
    """Give the sticks of one brace as they are bought, and every fastener of it.

    Args:
        job: the job.
        brace: the brace.
    """
    return Counter(stick(p.size, p.length) for p in stick_pieces(job, brace)) + joint_fasteners(job, brace)


def truck_for(job: Job, changes: Iterable[Change], added: Iterable[Brace]) -> Truck:
    """List what the changes and the added braces take.

    Args:
        job: the job with the changes made.
        changes: the changes.
        added: the braces.
    """
    changes, added = tuple(changes), tuple(added)
    up = evolve(job, braces=tuple(brace for brace in job.braces if brace not in added))
    found: Truck = sum((for_change(up, change) for change in changes), Counter())
    if more := more_blocks(job, changes, added):
        found[block_name(job)] += more
    rows = max((change.more for change in changes if change.kind == RemedyId.TIE), default=0)
    found += tie_sticks(job, rows) + tie_fasteners(job, rows)
    return sum((_for_brace(job, brace) for brace in added), found)


def foot_blocks(job: Job) -> int:
    """Count the solid blocks between the joists under the cleats of all feet that lie over none.

    Args:
        job: the job with its braces.
    """
    return sum(wood_blocks(job, brace) for brace in job.braces)


def more_blocks(job: Job, changes: Iterable[Change], added: Iterable[Brace]) -> int:
    """Count the solid blocks that work puts under cleats, beside those that are there.

    Args:
        job: the job with the changes made.
        changes: the changes.
        added: the braces.
    """
    new = tuple(added)
    before = evolve(job, braces=tuple(brace for brace in job.braces if brace not in new))
    undone = tuple(evolve(change, after=change.before) for change in reversed(tuple(changes)))
    now, then = (  # a foot on the deck panel alone takes none
        foot_blocks(evolve(wall, braces=tuple(brace for brace in wall.braces if brace.into_joist)))
        for wall in (job, apply(before, undone))
    )
    return max(0, now - then)


def block_name(job: Job, *, metric: bool = False) -> str:
    """Name a solid block between joists.

    Args:
        job: the job.
        metric: in millimetres.
    """
    joists = job.floor.joists or Joists()
    clear = joists.spacing - section(joists.size).thickness
    return f"block {joists.size} x {tape(clear, metric=metric)}"


def for_change(job: Job, change: Change) -> Truck:
    """List what one change takes; tie rows, which run across all braces, apart.

    Args:
        job: the job with the change made.
        change: the change.
    """
    row, number = remedies()[change.kind], counted(job, change)
    brace = next((b for b in job.braces if b.mark == change.mark), None)
    found: Truck = Counter()
    if brace is not None and change.name != "ties":  # what it is made of then, and was not before
        found += stick_fasteners(job, evolve(brace, **{change.name: change.after}))
        found -= stick_fasteners(job, evolve(brace, **{change.name: change.before}))
    if change.path in STRAPS:
        found[strap_name(change.path, change.after)] += number
    if change.path == SIDES:
        found[_cleat(job)] += number
    if row.piece:
        found[row.piece] += number
    if row.fastener:
        hole = change.path.rpartition(".")[0]
        where = row.fastener.replace("wall.opening[]", hole)
        through = plate_fastener(job, where) if where in THROUGH_PLATE else ""
        found[through or str(change.after if where == AFTER else value_at(job, where))] += number
    return +found


def _cleat(job: Job) -> str:
    return f"{job.kit.cleat.size} cleat, {tape(job.kit.cleat.length)}"


def _for_brace(job: Job, brace: Brace) -> Truck:
    kit, found = job.kit, stick_fasteners(job, brace)
    found[_cleat(job)] += cleats(job)
    found[kit.head.fastener] += CROSSING * brace.ties
    if kit.head.joint == "plumb" and kit.head.side_cleat:
        found[remedies()[RemedyId.HEAD_SIDE_CLEAT].piece] += 1
    found.update(strap_names(job))
    return +found


# -- the cutting plan and what a layout takes in all ---------------------------------------------------------

KERF: Inch = 0.25  # lost at each cut, with the trimming of a ragged end
_TOUCH: Inch = 1e-6

PieceJson = TypedDict("PieceJson", {
    "what": str, "length_in": float,
})  # fmt: skip
CutStickJson = TypedDict("CutStickJson", {
    "stick": str, "left_in": float, "pieces": list[PieceJson],
})  # fmt: skip
BuyJson = TypedDict("BuyJson", {
    "what": str, "count": float, "unit": str,
})  # fmt: skip


@frozen
class CutStick:
    """A stick and what is cut from it.

    Attributes:
        size: nominal size.
        length: length of the stick [in].
        pieces: what comes from it, in order.
    """

    size: str
    length: Inch
    pieces: tuple[Piece, ...] = ()

    @property
    def left(self) -> Inch:
        """What is left of it [in]."""
        return self.length - sum(piece.length + KERF for piece in self.pieces)

    @property
    def name(self) -> str:
        """Give it as a yard does."""
        return f"{self.size} x {self.length / 12.0:g} ft"

    def to_dict(self) -> CutStickJson:
        """Give it as a JSON object."""
        return {
            "stick": self.name, "left_in": self.left,
            "pieces": [{"what": piece.what, "length_in": piece.length} for piece in self.pieces],
        }  # fmt: skip


@frozen
class CuttingPlan:
    """Every piece with its stick.

    Attributes:
        sticks: the sticks used, each with its pieces.
        missing: pieces no stick on hand serves.
    """

    sticks: tuple[CutStick, ...]
    missing: tuple[Piece, ...]

    def stick_of(self, what: str) -> CutStick | None:
        """Give the stick a piece comes from; None where it comes from none.

        Args:
            what: the piece.
        """
        return next((stick for stick in self.sticks if any(p.what == what for p in stick.pieces)), None)


def plan_cuts(pieces: Iterable[Piece], stock: Iterable[Stock]) -> CuttingPlan:
    """Cut every piece from the stock.

    Args:
        pieces: the pieces.
        stock: the sticks on hand; a count of None is as many as needed.
    """
    sticks: list[CutStick] = []
    missing: list[Piece] = []
    left = {(s.size, s.length): s.count for s in stock}
    for piece in sorted(pieces, key=lambda p: (-p.length, p.size, p.what)):
        fits = [k for k, stick in enumerate(sticks) if stick.size == piece.size and _serves(stick, piece)]
        if fits:
            at = min(fits, key=lambda k: (sticks[k].left, k))
            sticks[at] = evolve(sticks[at], pieces=(*sticks[at].pieces, piece))
            continue
        new = [
            CutStick(size, length)
            for (size, length), count in left.items()
            if size == piece.size and count != 0
        ]
        serving = [stick for stick in new if _serves(stick, piece)]
        if not serving:
            missing.append(piece)
            continue
        stick = min(serving, key=lambda s: s.length)
        count = left[stick.size, stick.length]
        left[stick.size, stick.length] = None if count is None else count - 1
        sticks.append(evolve(stick, pieces=(piece,)))
    return CuttingPlan(tuple(sticks), tuple(missing))


def _serves(stick: CutStick, piece: Piece) -> bool:
    return stick.left >= piece.length - _TOUCH


SPARE = 1.10  # fasteners are bought with a tenth to spare
BOX_STEP = 5
UNSPARED = (ANCHOR, STAKE)


@frozen
class Item:
    """One line of the truck list.

    Attributes:
        what: what it is.
        count: how many.
        unit: each, ft.
        fastener: it is a fastener.
        own: the user's own fasteners, of which it may be one.
    """

    what: str
    count: int
    unit: str = "each"
    fastener: bool = False
    own: tuple[Fastener, ...] = ()

    def to_dict(self) -> BuyJson:
        """Give the line as a JSON object."""
        return {"what": self.what, "count": self.count, "unit": self.unit}

    def said(self) -> str:
        """Give the line in plain words."""
        if self.unit == "ft":
            return f"{self.count} ft of {self.what}"
        return many(self.count, self.what, self.own) if self.fastener else f"{self.count} of {self.what}"


def pieces(job: Job) -> tuple[Piece, ...]:
    """Give every piece of lumber a layout takes, tie rows apart.

    Args:
        job: the job with its braces.
    """
    found: list[Piece] = []
    cleat = job.kit.cleat
    for brace in job.braces:
        found += stick_pieces(job, brace)
        found += [Piece(f"cleat of {brace.mark}", cleat.size, cleat.length)] * cleats(job)
    return tuple(found)


def cutting_plan(job: Job) -> CuttingPlan:
    """Give the stick each piece comes from.

    Args:
        job: the job with its braces.
    """
    return plan_cuts(pieces(job), job.kit.stock)


def enough_sticks(job: Job) -> bool:
    """Whether the sticks on hand, where they are counted, give every brace and every piece of their sizes.

    Args:
        job: the job with its braces.
    """
    if all(stock.count is None for stock in job.kit.stock):
        return True
    sizes = {stock.size for stock in job.kit.stock}
    return not any(piece.size in sizes for piece in cutting_plan(job).missing)


def fasteners_needed(job: Job) -> Counter[str]:
    """Count the fasteners of the braces, those beside them and those of tie rows, by name, nothing to spare.

    Args:
        job: the job with its braces.
    """
    each = (joint_fasteners(job, brace) for brace in job.braces)
    return sum(each, tie_fasteners(job, tie_rows(job)))


def row_feet(job: Job, row: Row) -> int:
    """Length of lumber a row across the studs takes, rounded up [ft].

    Args:
        job: the job.
        row: one of its rows.
    """
    only = frame_wall(evolve(job.wall, rows=(row,))).of_kind("row")
    return whole_up(sum(stick.length for stick in only) / 12.0)


AT_BRACES = (
    *STRAPS,
    EXTRA,
    "wall.plate.extra.at_each_brace",
)  # what each brace has is counted with the braces


def along_wall(job: Job, changes: Iterable[Change]) -> Truck:
    """List what the changes take along the wall, beside what is counted with its braces.

    Args:
        job: the job with the changes made.
        changes: the changes.
    """
    there = (change for change in changes if change.mark is None and change.path not in AT_BRACES)
    return sum((for_change(job, change) for change in there), Counter())


def truck_list(
    job: Job, *, rows: tuple[Row, ...] = (), changes: Iterable[Change] = (), metric: bool = False
) -> tuple[Item, ...]:
    """Give what a layout takes: sticks, cleats, ties, fasteners with a tenth to spare.

    Args:
        job: the job with its braces.
        rows: rows across the studs it needs that the wall did not have.
        changes: what it takes beside: each change of the wall.
        metric: pieces in millimetres.
    """
    cuts, count = cutting_plan(job), len(job.braces)
    bought = Counter(stick.name for stick in cuts.sticks)
    bought.update(f"{p.size} x {tape(p.length, metric=metric)}" for p in cuts.missing)
    bought += tie_sticks(job, tie_rows(job))
    items = [Item(what, number) for what, number in sorted(bought.items())]
    items += [Item(f"{row.size} for the {row.kind}", row_feet(job, row), "ft") for row in rows]
    if blocks := foot_blocks(job):
        items.append(Item(block_name(job, metric=metric), blocks))
    beside, made = along_wall(job, changes), {row.piece for row in remedies().values()}
    items += [Item(name, number) for name, number in sorted(beside.items()) if name in made]
    items += [
        Item(name, spared(name, number), fastener=True, own=job.fasteners)
        for name, number in sorted((fasteners_needed(job) + beside).items())
        if number and name not in made
    ]
    items += [Item(name, count) for name in strap_names(job, metric=metric)]
    return tuple(items)


def spared(name: str, number: int) -> int:
    """Give how many to buy: a tenth to spare, in fives; anchors and stakes as many as are needed.

    Args:
        name: the fastener.
        number: how many are needed.
    """
    if name in UNSPARED:
        return number
    return whole_up(number * SPARE / BOX_STEP) * BOX_STEP


def board_feet(job: Job, *, rows: tuple[Row, ...] = ()) -> float:
    """Give the lumber a layout takes, by nominal size [board ft]: the sticks bought, ties, and pieces bought apart.

    Args:
        job: the job with its braces.
        rows: rows across the studs it needs that the wall did not have.
    """
    cuts = cutting_plan(job)
    sticks = [(stick.size, stick.length) for stick in cuts.sticks]
    sticks += [(piece.size, piece.length) for piece in cuts.missing]
    sticks += (
        [(TIE_SIZE, stock_length(length)) for length in tie_lengths(job) * tie_rows(job)]
        if job.braces
        else []
    )
    sticks += [(row.size, row_feet(job, row) * 12.0) for row in rows]
    return sum(_nominal(size) * length / 144.0 for size, length in sticks)


def _nominal(size: str) -> float:
    thick, wide = size.split("x")
    return float(thick) * float(wide)
