"""Where the faults of one file are gathered."""

from __future__ import annotations

from collections.abc import Iterable

from bracing.errors import Fault, InputError, shown

MOST_FAULTS = 200


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
