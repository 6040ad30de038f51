"""How long a search may go on, reckoned in work and not read off a watch, so that an answer is repeatable."""

from __future__ import annotations

from attrs import field, frozen

LAYOUTS_A_SECOND = 50_000.0  # measured by tests/bench/layouts.py on one core
# Layouts' worth of one wall worked out in full, and for each brace of it; measured.
A_WALL, A_BRACE = 200.0, 15.0


@frozen
class Budget:
    """How much work a search may still do.

    Attributes:
        seconds: the budget, each second LAYOUTS_A_SECOND layouts through the chain [s].
        spent: layouts' worth of work done so far, one entry.
    """

    seconds: float
    spent: list[float] = field(factory=lambda: [0.0])

    def spend_on_wall(self, braces: int) -> None:
        """Take one wall worked out in full off the budget.

        Args:
            braces: how many it has.
        """
        self.spend(A_WALL + A_BRACE * braces)

    def spend(self, layouts: float) -> None:
        """Take some work off the budget.

        Args:
            layouts: how many layouts through the chain it is worth.
        """
        self.spent[0] += layouts

    @property
    def over(self) -> bool:
        """Whether the budget has run out."""
        return self.spent[0] > self.seconds * LAYOUTS_A_SECOND
