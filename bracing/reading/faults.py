"""Where the faults of one file are gathered, and how a value is shown in one."""

from __future__ import annotations

import json
from collections.abc import Iterable

from bracing.errors import Fault, InputError, MissingDataError

MOST_FAULTS = 200
MOST_SHOWN = 200
NOTHING_GIVEN = "nothing"


class Faults:
    """The faults of one file, in the order they are found.

    Attributes:
        file: the file they are in, or "command line".
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self._found: list[Fault] = []

    def add(self, field: str, value: object, expected: str) -> None:
        """Note one fault.

        Args:
            field: dotted path of the field.
            value: what was written.
            expected: what is expected there.

        Raises:
            InputError: there are too many to go on; all found so far.
        """
        self._found.append(Fault(self.file, field, shown(value), expected))
        if len(self._found) >= MOST_FAULTS:
            self._found.append(
                Fault(self.file, "file", f"{MOST_FAULTS} faults", "fewer: the rest is not read")
            )
            self.raise_if_any()

    def take(self, faults: Iterable[Fault]) -> None:
        """Note faults found elsewhere, each already with its file.

        Args:
            faults: the faults.
        """
        self._found.extend(faults)

    def raise_if_any(self) -> None:
        """Raise all of them together.

        Raises:
            InputError: there is at least one.
        """
        if self._found:
            raise InputError(self._found)


def shown(value: object) -> str:
    """Show a value of a file as text on one line.

    Args:
        value: what was written; None is nothing.

    Example:
        >>> shown(True), shown("9 ft"), shown(["0 ft", 9]), shown(None), shown("")
        ('true', '9 ft', '["0 ft", 9]', 'nothing', '""')
    """
    if value is None:
        return NOTHING_GIVEN
    if isinstance(value, str):
        text = value or '""'
    else:
        try:
            text = json.dumps(value, default=str, ensure_ascii=False)
        except (ValueError, RecursionError):  # an integer of more digits than Python will write
            text = "a huge value"
    text = "".join(letter if letter.isprintable() else "?" for letter in text[: MOST_SHOWN + 1])
    return text if len(text) <= MOST_SHOWN else text[: MOST_SHOWN - 3] + "..."


def table_and_near(error: MissingDataError) -> str:
    """Say what a name that is in no table should have been.

    Args:
        error: the look-up that failed.

    Example:
        >>> table_and_near(MissingDataError("species", "hem fur", ["hem-fir", "redwood"]))
        'a name in the table of species; near: hem-fir'
    """
    near = f"; near: {', '.join(error.near)}" if error.near else ""
    return f"a name in the table of {error.table}{near}"
