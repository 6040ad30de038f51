"""Which stick each piece is cut from: longest pieces first, an offcut before a new stick, the shortest that serves."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import evolve, frozen

from bracing.job.brace import Stock
from bracing.units import Inch, tape

KERF: Inch = 0.25  # lost at each cut, with the trimming of a ragged end
_TOUCH: Inch = 1e-6


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

    def to_dict(self) -> dict[str, object]:
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
