"""Reads numbers back out of what is printed, and says whether each is its value rounded to the cautious side."""

from __future__ import annotations

import re
from decimal import Decimal

TAPE = re.compile(r"(-?)(\d+)'-(\d+)(?: (\d+)/(\d+))?\"")
BIT = 2e-6  # the slack every rounding has for a last bit


def flat(text):
    """The words of a text with one blank between them: however it was wrapped."""
    return " ".join(text.split())


def number(text, pattern):
    """The number a pattern finds in a text, or None."""
    found = re.search(pattern, flat(text))
    return None if found is None else float(found[1])


def taped(text):
    """Inches of a length as printed."""
    sign, feet, inches, over, under = TAPE.fullmatch(text).groups()
    size = int(feet) * 12.0 + int(inches) + (int(over) / int(under) if over else 0.0)
    return -size if sign else size


def is_floor(shown, actual, step=1.0):
    """Whether a number is another rounded down to a step."""
    return actual - step - BIT < shown <= actual + BIT * max(1.0, abs(actual))


def is_ceiling(shown, actual, step=1.0):
    """Whether a number is another rounded up to a step."""
    return actual - BIT * max(1.0, abs(actual)) <= shown < actual + step + BIT


def last_digit(text):
    """One of the last digit printed: 0.1 of "36.2", 1 of "412"."""
    return 10.0 ** Decimal(text).as_tuple().exponent


def is_down(text, actual, unit=1.0):
    """Whether a printed number, times its unit, is a value rounded down to its last digit."""
    return is_floor(float(text) * unit, actual, last_digit(text) * unit)


def is_up(text, actual, unit=1.0):
    """Whether a printed number, times its unit, is a value rounded up to its last digit."""
    return is_ceiling(float(text) * unit, actual, last_digit(text) * unit)


def rows_of(text, head):
    """Cells of the table whose first line begins so."""
    lines = text.split("\n")
    at = next((k for k, line in enumerate(lines) if line.split()[: len(head)] == head), None)
    if at is None:
        return []
    found = []
    for line in lines[at + 1 :]:
        cells = re.split(r"  +", line.strip())
        if not line.strip() or len(cells) < 2:
            break
        found.append(cells)
    return found
