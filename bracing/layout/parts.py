"""The parts list: sticks by the cutting plan, cleats, ties, fasteners with a spare, straps, blocks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TypedDict

from attrs import evolve, frozen

from bracing.chain.room import wood_blocks
from bracing.choosing import whole_up
from bracing.job.brace import Stock
from bracing.job.fasteners import Fastener
from bracing.job.floor import Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Row
from bracing.layout.needed import counted
from bracing.units import Inch, tape
from bracing.work.parts import (
    ANCHORS,
    STAKES,
    TIE_SIZE,
    Piece,
    cleats,
    joint_fasteners,
    stick_pieces,
    stock_length,
    strap_names,
    tie_fasteners,
    tie_lengths,
    tie_rows,
    tie_sticks,
)  # fmt: skip

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


def said(stick: CutStick) -> str:
    """Say what comes from a stick.

    Args:
        stick: the stick.
    """
    return f"{stick.name}: " + ", ".join(f"{piece.what} {tape(piece.length)}" for piece in stick.pieces)


SPARE = 1.10  # fasteners are bought with a tenth to spare
BOX_STEP = 5
UNSPARED = (ANCHORS, STAKES)


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
        return counted(self.count, self.what, self.own) if self.fastener else f"{self.count} of {self.what}"


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


def truck_list(job: Job, *, rows: tuple[Row, ...] = (), metric: bool = False) -> tuple[Item, ...]:
    """Give what a layout takes: sticks, cleats, ties, fasteners with a tenth to spare.

    Args:
        job: the job with its braces.
        rows: rows across the studs it needs that the wall did not have.
        metric: pieces in millimetres.
    """
    cuts, count = cutting_plan(job), len(job.braces)
    bought = Counter(stick.name for stick in cuts.sticks)
    bought.update(f"{p.size} x {tape(p.length, metric=metric)}" for p in cuts.missing)
    bought += tie_sticks(job, tie_rows(job))
    items = [Item(what, number) for what, number in sorted(bought.items())]
    items += [Item(f"{row.size} for the {row.kind}", row_feet(job, row), "ft") for row in rows]
    blocks = sum(wood_blocks(job, brace) for brace in job.braces)
    if blocks:
        joists = job.floor.joists or Joists()
        clear = joists.spacing - section(joists.size).thickness
        items.append(Item(f"block {joists.size} x {tape(clear, metric=metric)}", blocks))
    items += [
        Item(name, spared(name, number), fastener=True, own=job.fasteners)
        for name, number in sorted(fasteners_needed(job).items())
        if number
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
