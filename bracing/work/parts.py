"""What a brace, a tie row, a T, a strap and every other remedy takes, and the sticks it is cut from; all rounded up.

Told once for layouts and for work before a storm: a fastener by its name, all else as what it is with its size.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TypedDict

from attrs import evolve, frozen

from bracing.chain.brace import STIFFENER_SPACING
from bracing.chain.cuts import cut_of
from bracing.chain.room import (
    ANCHOR,
    CLEAT_END,
    EXTRA,
    EXTRA_ROW,
    JOISTS_OF_A_FOOT,
    STAKE,
    THROUGH_PLATE,
    joint_fastener,
    plate_fastener,
    wood_blocks,
)
from bracing.chain.ties import TIE_SIZE, diagonal_length
from bracing.choosing import whole_up
from bracing.codes.basis import basis_of
from bracing.job.brace import IN_BLOCK, JOINTS, ON_CROSS, Brace, Stock
from bracing.job.fasteners import Fastener, fastener
from bracing.job.fields import value_at
from bracing.job.floor import Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.lumber import nominal, section
from bracing.job.wall import Row
from bracing.said import Kind, Quantity, Said
from bracing.units import INCHES_PER_FOOT, Inch, Pound
from bracing.units import length as inches
from bracing.work.remedies import (
    EACH_JOIST,
    ENDS_OF_A_BLOCK,
    OF_BLOCKS,
    SIDES,
    Change,
    Remedy,
    RemedyId,
    counted,
    remedies,
    undone,
)
from bracing.work.words import many

STOCK_STEP: Inch = 24.0
SHORTEST_STOCK: Inch = 96.0
TIE_STICK: Inch = 192.0  # the longest a tie row is made of, lapped
TIE_LAP: Inch = 24.0
TIE_PAST: Inch = 12.0  # a row runs so far past its end braces
CROSS_CLEATS = 2  # under a foot
DIAGONALS = 2  # a tie row runs to one at each end
NAIL = "16d common"
ROWS_OF_NAILS, NAIL_EVERY = 2, 12.0  # a second stud is nailed on in two rows, 12 in apart
ENDS_OF_A_DIAGONAL = 2
PLATES: Inch = 4.5  # two plies of top plate and the bottom plate, off the length of a stud
AFTER = "after"

Part = str | Said  # a fastener by its name; anything else as it is said
Parts = Counter[Part]


def stock_length(length: Inch) -> Inch:
    """Round a stick's length up to what is sold: even feet, from 8 ft [in].

    Args:
        length: its length [in].

    Example:
        >>> stock_length(171.5) / 12.0
        16.0
    """
    return max(SHORTEST_STOCK, whole_up(length / STOCK_STEP) * STOCK_STEP)


def stick(size: str, length: Inch, kind: Kind = Kind.FEET) -> Said:
    """Name a stick as a yard does.

    Args:
        size: nominal size.
        length: its length [in].
        kind: how its length is told.
    """
    return Said("stick-of", size=size, length=Quantity(length, kind))


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


def cross_cleats(job: Job, brace: Brace) -> int:
    """Count the cross cleats of one brace: one under each end of its foot.

    Args:
        job: the job.
        brace: the brace.
    """
    return CROSS_CLEATS if job.floor.kind == "deck" and brace.foot_on == ON_CROSS else 0


def cross_cleat_length(job: Job) -> Inch:
    """Give the length of a cross cleat: over two joists, and past each as far as its fasteners keep from its ends [in].

    Args:
        job: the job.
    """
    joists = job.floor.joists or Joists()
    one = fastener(job.floor.cross_cleat.fastener, job.fasteners)
    own = basis_of(job).acting.spacing(one, load="parallel", prebored=False).end
    return whole_up(joists.spacing + 2.0 * max(CLEAT_END, own))


def joint_fasteners(job: Job, brace: Brace) -> Counter[str]:
    """Count the fasteners of one brace: its joints, what is under them, beside it in the plate, its T, its second stud.

    Args:
        job: the job.
        brace: the brace.
    """
    needs: Counter[str] = Counter()
    for joint in JOINTS:
        needs[joint_fastener(job, joint)] += getattr(brace, joint)
    needs[plate_fastener(job)] += job.wall.plate.extra.at_each_brace
    if job.floor.kind == "deck" and brace.foot_on == IN_BLOCK:
        blocks = job.floor.blocks
        needs[blocks.fastener] += ENDS_OF_A_BLOCK * blocks.each_end * wood_blocks(job, brace)
    if job.floor.kind == "deck" and brace.foot_on == ON_CROSS:
        crossed = job.floor.cross_cleat
        needs[crossed.fastener] += JOISTS_OF_A_FOOT * crossed.each_joist
    if brace.stiffener == "T":
        needs += _in_stiffener(job, brace)
    if brace.stud_doubled:
        needs += _in_second_stud(job, brace)
    return needs


def _in_stiffener(job: Job, brace: Brace) -> Counter[str]:
    """As the chain reckons a T: one row of the head's fastener."""
    return Counter({job.kit.head.fastener: whole_up(brace.length / STIFFENER_SPACING) + 1})


def _in_second_stud(job: Job, brace: Brace) -> Counter[str]:
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
    diagonal = diagonal_length(job.braces)
    return ((run + (count - 1) * TIE_LAP) / count,) * count + (diagonal,) * DIAGONALS


def tie_sticks(job: Job, rows: int) -> Counter[Said]:
    """Give the sticks of tie rows with their diagonals, as they are bought.

    Args:
        job: the job with its braces.
        rows: how many rows.
    """
    if not rows:
        return Counter()
    return Counter([stick(TIE_SIZE, stock_length(length)) for length in tie_lengths(job)] * rows)


def tie_fasteners(job: Job, rows: int) -> Counter[str]:
    """Count the fasteners of tie rows: at every brace a row crosses, and at both ends of its diagonals.

    Args:
        job: the job with its braces.
        rows: how many rows.
    """
    tie = job.kit.tie
    each = tie.at_each_brace * len(job.braces) + tie.diagonal_fasteners * ENDS_OF_A_DIAGONAL * DIAGONALS
    return Counter({tie.fastener: each * rows}) if rows else Counter()


STRAPS = {
    "wall.top_plate.strap_at_brace_lb": Said("strap-at-the-top"),
    "wall.plate.strap_at_brace_lb": Said("strap-at-the-foot"),
}


def strap(path: str, allowable: Pound) -> Said:
    """Name a strap as it is asked for.

    Args:
        path: the field that asks for it.
        allowable: its stated allowable [lb].
    """
    return Said("strap-of", strap=STRAPS[path], load=Quantity(allowable, Kind.LOAD))


def straps_of(job: Job) -> dict[str, Pound]:
    """Give the straps at each brace: the allowable of each by the field that asks for it [lb].

    Args:
        job: the job.
    """
    loads = (job.wall.top_plate.strap_at_brace_lb, job.wall.plate.strap_at_brace_lb)
    return {path: load for path, load in zip(STRAPS, loads, strict=True) if load > 0.0}


def stick_fasteners(job: Job, brace: Brace) -> Parts:
    """Give the sticks of one brace as they are bought, and every fastener of it.

    Args:
        job: the job.
        brace: the brace.
    """
    sticks = Counter(stick(p.size, stock_length(p.length)) for p in stick_pieces(job, brace))
    return sticks + joint_fasteners(job, brace)


def parts_for(job: Job, changes: Iterable[Change], added: Iterable[Brace]) -> Parts:
    """List what the changes and the added braces take.

    Args:
        job: the job with the changes made.
        changes: the changes.
        added: the braces.
    """
    changes, added = tuple(changes), tuple(added)
    up = evolve(job, braces=tuple(brace for brace in job.braces if brace not in added))
    before = undone(up, changes)
    found: Parts = sum((for_change(up, change, before=before) for change in changes), Counter())
    if more := more_blocks(job, changes, added):
        found[block(job)] += more
    rows = max((change.more for change in changes if change.kind == RemedyId.TIE), default=0)
    ties = tie_sticks(job, rows) + tie_fasteners(job, rows)
    return sum((_for_brace(job, brace) for brace in added), found + ties)


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
    now, then = (  # a foot on the deck panel alone takes none
        foot_blocks(evolve(wall, braces=tuple(brace for brace in wall.braces if brace.in_wood)))
        for wall in (job, undone(before, changes))
    )
    return max(0, now - then)


def block(job: Job) -> Said:
    """Name a solid block between joists.

    Args:
        job: the job.
    """
    joists = job.floor.joists or Joists()
    clear = joists.spacing - section(joists.size).thickness
    return Said("block-of", size=joists.size, length=Quantity(clear, Kind.TAPE))


def beside(row: Remedy) -> Said:
    """Name the piece a remedy takes beside.

    Args:
        row: the remedy.
    """
    return Said.by(f"piece-{row.kind.replace(' ', '-')}", {"length": Quantity(inches(row.piece), Kind.FEET)})


def for_change(job: Job, change: Change, *, before: Job) -> Parts:
    """List what one change takes beside the others; tie rows, which run across all braces, apart.

    Args:
        job: the job with every change made.
        change: the change.
        before: the job with none made: each change takes what it adds to that, so that nothing is counted by two.
    """
    row, number = remedies()[change.kind], counted(before, change)
    brace = next((b for b in job.braces if b.mark == change.mark), None)
    found: Parts = Counter()
    if brace is not None and change.name != "ties":  # what it is made of then, and was not before
        found += stick_fasteners(job, evolve(brace, **{change.name: change.after}))
        found -= stick_fasteners(job, evolve(brace, **{change.name: change.before}))
    if change.path in STRAPS:
        found[strap(change.path, change.after)] += number
    if change.path == SIDES:
        found[_cleat(job)] += number
    if row.piece:
        found[beside(row)] += number
    if row.fastener:
        hole = change.path.rpartition(".")[0]
        where = row.fastener.replace("wall.opening[]", hole)
        through = plate_fastener(job, where) if where in THROUGH_PLATE else ""
        found[through or str(change.after if where == AFTER else value_at(job, where))] += number
    return +found


def _cleat(job: Job) -> Said:
    return Said("cleat-of", size=job.kit.cleat.size, length=Quantity(job.kit.cleat.length, Kind.TAPE))


def _for_brace(job: Job, brace: Brace) -> Parts:
    kit, found = job.kit, stick_fasteners(job, brace)
    found[_cleat(job)] += cleats(job)
    across = Said(
        "cleat-of", size=job.floor.cross_cleat.size, length=Quantity(cross_cleat_length(job), Kind.TAPE)
    )
    found[across] += cross_cleats(job, brace)
    found[kit.tie.fastener] += kit.tie.at_each_brace * brace.ties
    if kit.head.joint == "plumb" and kit.head.side_cleat:
        found[beside(remedies()[RemedyId.HEAD_SIDE_CLEAT])] += 1
    found.update(strap(path, load) for path, load in straps_of(job).items())
    return +found


# -- the cutting plan and what a layout takes in all ---------------------------------------------------------

KERF: Inch = 0.25  # lost at each cut, with the trimming of a ragged end
_TOUCH: Inch = 1e-6

PieceJson = TypedDict("PieceJson", {
    "what": str, "length_in": float,
})  # fmt: skip
CutStickJson = TypedDict("CutStickJson", {
    "stick": Said, "left_in": float, "pieces": list[PieceJson],
})  # fmt: skip
BuyJson = TypedDict("BuyJson", {
    "what": Part, "count": float, "unit": str,
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
    def name(self) -> Said:
        """Give it as a yard does."""
        return stick(self.size, self.length)

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
    """One line of the parts list.

    Attributes:
        what: what it is.
        count: how many.
        unit: each, ft.
        own: the user's own fasteners, of which it may be one.
    """

    what: Part
    count: int
    unit: str = "each"
    own: tuple[Fastener, ...] = ()

    def to_dict(self) -> BuyJson:
        """Give the line as a JSON object."""
        return {"what": self.what, "count": self.count, "unit": self.unit}

    @property
    def much(self) -> int | Quantity:
        """How many, or how long in all."""
        return self.count if self.unit == "each" else Quantity(self.count * INCHES_PER_FOOT, Kind.FEET)

    @property
    def said(self) -> Part:
        """The line in plain words."""
        if isinstance(self.what, str):
            return many(self.count, self.what, self.own)
        return Said("so-much-of", much=self.much, what=self.what)


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
        found += [_crossed(job, brace)] * cross_cleats(job, brace)
    return tuple(found)


def _crossed(job: Job, brace: Brace) -> Piece:
    return Piece(f"cross cleat of {brace.mark}", job.floor.cross_cleat.size, cross_cleat_length(job))


def cutting_plan(job: Job) -> CuttingPlan:
    """Give the stick each piece comes from.

    Args:
        job: the job with its braces.
    """
    return plan_cuts(pieces(job), job.kit.stock)


def bought_apart(cuts: CuttingPlan) -> tuple[CutStick, ...]:
    """Give the sticks, as they are sold, that pieces come from which no stick on hand serves.

    Args:
        cuts: the cutting plan.
    """
    longest = max((piece.length for piece in cuts.missing), default=SHORTEST_STOCK)
    lengths = range(int(SHORTEST_STOCK), int(stock_length(longest)) + 1, int(STOCK_STEP))
    sizes = sorted({piece.size for piece in cuts.missing})
    return plan_cuts(
        cuts.missing, [Stock(size, float(length)) for size in sizes for length in lengths]
    ).sticks


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
    return sum(each, tie_fasteners(job, job.tie_rows))


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
    EXTRA_ROW,
    "wall.plate.extra.at_each_brace",
    "kit.tie.at_each_brace",
    "kit.tie.diagonal_fasteners",
    *OF_BLOCKS,
    EACH_JOIST,
)  # what each brace has is counted with the braces


def along_wall(job: Job, changes: Iterable[Change]) -> Parts:
    """List what the changes take along the wall, beside what is counted with its braces.

    Args:
        job: the job with the changes made.
        changes: the changes.
    """
    changes = tuple(changes)
    before = undone(job, changes)
    there = (change for change in changes if change.mark is None and change.path not in AT_BRACES)
    return sum((for_change(job, change, before=before) for change in there), Counter())


def parts_list(
    job: Job,
    *,
    rows: tuple[Row, ...] = (),
    nails: Parts | None = None,
    changes: Iterable[Change] = (),
) -> tuple[Item, ...]:
    """Give what a layout takes: sticks, cleats, ties, fasteners with a tenth to spare.

    Args:
        job: the job with its braces.
        rows: rows across the studs it needs that the wall did not have.
        nails: fasteners of diagonals in the frame it needs.
        changes: what it takes beside: each change of the wall.
    """
    cuts, count = cutting_plan(job), len(job.braces)
    bought = Counter(each.name for each in cuts.sticks)
    bought.update(each.name for each in bought_apart(cuts))
    bought.update(tie_sticks(job, job.tie_rows))
    items = [Item(what, number) for what, number in sorted(bought.items(), key=_by_size)]
    items += [Item(Said("lumber-for", size=row.size, row=row.kind), row_feet(job, row), "ft") for row in rows]
    if blocks := foot_blocks(job):
        items.append(Item(block(job), blocks))
    along = along_wall(job, changes)
    items += [Item(what, number) for what, number in along.items() if isinstance(what, Said)]
    needed = {
        name: n
        for name, n in (fasteners_needed(job) + along + (nails or Counter())).items()
        if isinstance(name, str)
    }
    items += [Item(name, spared(name, n), own=job.fasteners) for name, n in sorted(needed.items())]
    items += [Item(strap(path, load), count) for path, load in straps_of(job).items()]
    return tuple(items)


def _by_size(one: tuple[Said, int]) -> tuple[object, str]:
    """As a list of sticks is ordered: by their size, then as their lengths are spelt."""
    (_, size), (_, length) = one[0].values
    assert isinstance(length, Quantity)
    return size, f"{length.value / INCHES_PER_FOOT:g}"


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
    sticks += [(each.size, each.length) for each in bought_apart(cuts)]
    sticks += (
        [(TIE_SIZE, stock_length(length)) for length in tie_lengths(job) * job.tie_rows] if job.braces else []
    )
    sticks += [(row.size, row_feet(job, row) * 12.0) for row in rows]
    return sum(_nominal(size) * length / 144.0 for size, length in sticks)


def _nominal(size: str) -> float:
    _, thick, wide = nominal(size)
    return float(thick * wide)
