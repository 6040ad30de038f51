"""One step of a sum: what it is, the arithmetic with its numbers, the value, the clause."""

from __future__ import annotations

import math
from decimal import Decimal

from attrs import frozen

from bracing.choosing import past_half

DIGITS = 7


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

    def to_dict(self) -> dict[str, object]:
        """Give the step as a JSON object."""
        value = self.value if math.isfinite(self.value) else None
        return {"what": self.what, "sum": self.sum, "value": value, "unit": self.unit, "source": self.source}


def n(value: float) -> str:
    """Write a number so that a sum with it comes out to four figures or more.

    Args:
        value: any number.

    Example:
        >>> n(1600000.0), n(0.123456789), n(-2.0), n(2e-7)
        ('1600000', '0.1234568', '(-2)', '0.0000002')
    """
    size = past_half(abs(value))
    text = f"{size:.{DIGITS}g}"
    if "e" in text:
        text = f"{abs(value):.0f}" if size > 1.0 else format(Decimal(text), "f")
    return f"(-{text})" if value < 0.0 and float(text) != 0.0 else text
