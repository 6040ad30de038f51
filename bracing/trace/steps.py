"""One step of a sum: what it is, the arithmetic with its numbers, the value, the clause."""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import evolve, frozen

from bracing.choosing import past_half
from bracing.sources import beside
from bracing.sums import Known, Sum, arithmetic, leaves, parts, printed
from bracing.sums import written as n

__all__ = ["Step", "n", "steps_of"]

StepJson = TypedDict("StepJson", {
    "what": str, "sum": str, "value": float | None, "unit": str, "source": str,
})  # fmt: skip


@frozen
class Step:
    """One step.

    Attributes:
        what: what comes out, in words.
        sum: the arithmetic with numbers in it: × / + - ^, brackets, √( ), min( , ), max( , ), cos( °), tan( °).
        value: what comes out.
        unit: its unit, or "".
        source: the clause, or "".
    """

    what: str
    sum: str
    value: float
    unit: str = ""
    source: str = ""

    @property
    def shown(self) -> str:
        """What comes out with its unit, as every screen prints it.

        Example:
            >>> Step("most it may carry", "1932 × 5.4375", 10505.25, "lb in").shown
            '10505.3 lb in'
        """
        value = past_half(self.value)
        digits = f"{value:.4g}" if abs(value) < 1000.0 else f"{value:.1f}"
        return f"{digits} {self.unit}".rstrip()

    def to_dict(self) -> StepJson:
        """Give the step as a JSON object."""
        value = self.value if math.isfinite(self.value) else None
        return {"what": self.what, "sum": self.sum, "value": value, "unit": self.unit, "source": self.source}


def steps_of(*made: float, unit: str = "") -> list[Step]:
    """Give the steps of sums: what each was made of first, with its own clause and those of what it was given.

    Args:
        made: the sums, what is worked out first before what is made of it.
        unit: of the last step, where its formula serves several.
    """
    steps = [_step(part) for part in parts(*made)]
    if unit:
        steps[-1] = evolve(steps[-1], unit=unit)
    return steps


def _step(made: Sum) -> Step:
    if isinstance(made, Known):
        return Step(_words(made), n(made), float(made), "", made.source)
    assert made.of is not None
    said, given = printed(made.of), leaves(made)
    known = f": {'; '.join(dict.fromkeys(_words(leaf) for leaf in given))}" if given else ""
    clauses = dict.fromkeys((beside(said.source, said.how), *(leaf.source for leaf in given)))
    what = f"{said.words}, {said.symbol}{known}"
    return Step(what, arithmetic(made), float(made), said.unit, "; ".join(filter(None, clauses)))


def _words(leaf: Known) -> str:
    return beside(leaf.words, leaf.how)
