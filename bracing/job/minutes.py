"""What work takes a crew: minutes for two people, a field for each row of the table of minutes.

Undeclared is the table's value. It is no low default and no number anybody stands under: minutes say which of the plans
that stand is taken and when work must start.
"""

from __future__ import annotations

from typing import Any

from attrs import frozen

from bracing.job.fields import declared
from bracing.sources import shipped

LEAST, MOST = 0.01, 600.0  # a job of no minutes is not worked, and one of over ten hours is mistyped


def _row(name: str, about: str) -> Any:  # noqa: ANN401  (as of declared)
    return declared("number", about, default=shipped("minutes")[name], least=LEAST, most=MOST)


@frozen(cache_hash=True)
class Minutes:
    """Minutes two people take, each of what is said.

    Attributes:
        fetch: to fetch, set out and walk round, once.
        brace: a brace.
        cut: each further kind of brace.
        beside: two braces on neighbouring studs.
        fastener: a screw more in a joint, of 0.22 in; others in proportion to their diameter.
        joint_nail: a nail more in a joint.
        lag: a lag more in a joint, of 1/4 in, bored for and turned in; others in proportion.
        screw_for_nail: a screw where nails stand.
        plate_nail: a nail along the plates.
        sheathing_nail: a nail in the sheathing.
        second_stud: a stud doubled.
        second_stick: a second stick on a brace.
        second_cleat: a second cleat at a foot.
        head_cleat: a cleat beside a plumb-cut head.
        block: a block between joists.
        foot_on_blocks: a foot that stands put on blocks.
        cross_cleat: a cross cleat.
        tie: a tie row at a brace.
        tie_row: the diagonal of a tie row.
        row: a row across the studs.
        row_at_stud: that row at a stud.
        foot_strap: a strap at a foot of the wall.
        strap: a strap from stud to top plate.
        splice: a splice of the top plate.
    """

    fetch: float = _row("fetch", "minutes two take to fetch, set out and walk round, once")
    brace: float = _row("brace", "minutes two take for a brace: cut, carried, raised, fastened")
    cut: float = _row("cut", "minutes two take for each further kind of brace: another stick to mark and saw")
    beside: float = _row("beside", "minutes two take more for braces on neighbouring studs")
    fastener: float = _row(
        "fastener", "minutes two take for a screw more in a joint, of 0.22 in; others in proportion"
    )
    joint_nail: float = _row("joint_nail", "minutes two take for a nail more in a joint")
    lag: float = _row("lag", "minutes two take for a lag of 1/4 in more in a joint; others in proportion")
    screw_for_nail: float = _row("screw_for_nail", "minutes two take for a screw where nails stand already")
    plate_nail: float = _row("plate_nail", "minutes two take for a nail along the plates")
    sheathing_nail: float = _row("sheathing_nail", "minutes two take for a nail in the sheathing")
    second_stud: float = _row("second_stud", "minutes two take to double a stud")
    second_stick: float = _row("second_stick", "minutes two take for a second stick nailed on as a T")
    second_cleat: float = _row("second_cleat", "minutes two take for a second cleat at a foot")
    head_cleat: float = _row("head_cleat", "minutes two take for a cleat beside a plumb-cut head")
    block: float = _row("block", "minutes two take for a block between joists, cut and nailed")
    foot_on_blocks: float = _row("foot_on_blocks", "minutes two take to put a foot that stands on blocks")
    cross_cleat: float = _row("cross_cleat", "minutes two take for a cross cleat over two joists")
    tie: float = _row("tie", "minutes two take for a tie row at each brace")
    tie_row: float = _row("tie_row", "minutes two take for the anchored diagonal of a tie row")
    row: float = _row("row", "minutes two take for a row across the studs")
    row_at_stud: float = _row("row_at_stud", "minutes two take for such a row at each stud")
    foot_strap: float = _row("foot_strap", "minutes two take for a strap at a foot of the wall")
    strap: float = _row("strap", "minutes two take for a strap from a stud to the top plate")
    splice: float = _row("splice", "minutes two take for a splice of the top plate")

    def of(self, row: str | float) -> float:
        """Give the minutes of a row, or minutes as they are.

        Args:
            row: its name; minutes that stand in no row of the table are given themselves.

        Example:
            >>> Minutes().of("second_stud"), Minutes(second_stud=40.0).of("second_stud"), Minutes().of(0.3)
            (15.0, 40.0, 0.3)
        """
        return float(getattr(self, row)) if isinstance(row, str) else row
