r"""Text from outside made visible: a letter that would act on a terminal or in a sheet is shown instead of obeyed.

A wall's name, a heading of a forecast, a report number, the name of a file: each may hold an escape that clears the
screen, a mark that turns the line round, or a formula. `visible` is for lines, `cell` for cells of CSV.
"""

from __future__ import annotations

import contextlib
import difflib
import json
import math
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypedDict

from bracing.said import Said

FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")  # a cell that begins so is run by some programs
NUMBER = re.compile(r"-[0-9]+(?:\.[0-9]+)?")  # a foot out past LEFT is no formula
NEWLINE = "\n"
_BYTES = range(0xDC80, 0xDD00)  # what stands in a file's name for a byte that is no UTF-8

FaultJson = TypedDict("FaultJson", {
    "file": str, "field": str, "value": str, "expected": str,
})  # fmt: skip


def plain(letter: str) -> bool:
    r"""Whether a letter only shows itself: no control, no escape, no mark that turns or hides its neighbours.

    Args:
        letter: one letter.

    Example:
        >>> plain("é"), plain(" "), plain("\x1b"), plain("\u202e"), plain("\u200b")
        (True, True, False, False, False)
    """
    return letter.isprintable() or unicodedata.category(letter) == "Zs"


def visible(text: str, *, keep: str = "") -> str:
    r"""Show a text on one line, each letter that would act written out.

    Args:
        text: the text.
        keep: letters that stay as they are all the same, such as the newline between our own lines.

    Example:
        >>> print(visible("gable\x1b[2J\nover"))
        gable\x1b[2J\nover
        >>> print(visible("wall-\udcff.toml"))
        wall-\xff.toml
    """
    return _with_acting_letters(text, keep, _written_out)


def _with_acting_letters(text: str, keep: str, write: Callable[[str], str]) -> str:
    """Write the letters that would act otherwise: each kind of letter is looked at once, however long the text."""
    if text.isprintable():
        return text
    acting = {ord(letter): write(letter) for letter in set(text) if letter not in keep and not plain(letter)}
    return text.translate(acting) if acting else text


def _written_out(letter: str) -> str:
    if ord(letter) in _BYTES:
        return f"\\x{ord(letter) - 0xDC00:02x}"
    return letter.encode("unicode_escape").decode("ascii")


def visible_json(text: str) -> str:
    r"""Show the text of a JSON document: the same document, each letter that would act as JSON writes it in ASCII.

    Args:
        text: the document.

    Example:
        >>> print(visible_json('{"wall": "a\u202eb"}'))
        {"wall": "a\u202eb"}
    """
    return _with_acting_letters(text, NEWLINE, lambda letter: json.dumps(letter)[1:-1])


def cell(value: object) -> str:
    r"""Write one cell of CSV: a number as it is, a text on one line that no program runs as a formula.

    Args:
        value: a number, a text, or None for an empty cell.

    Example:
        >>> cell(-4.5), cell("=1+1"), cell("-4.5"), cell("two\nlines"), cell(None)
        ('-4.5', "'=1+1", '-4.5', 'two\\nlines', '')
    """
    if value is None:
        return ""
    text = visible(str(value))
    if not isinstance(value, str) or NUMBER.fullmatch(text):
        return text
    return f"'{text}" if text.lstrip().startswith(FORMULA) else text


def cells(row: Mapping[str, object]) -> dict[str, str]:
    """Write the cells of one row of CSV.

    Args:
        row: by column.
    """
    return {name: cell(value) for name, value in row.items()}


MOST_SHOWN = 200
CODE = "code"  # the "file" of a fault in an object that a program builds
NOTHING_GIVEN = "nothing"


class BracingError(Exception):
    """Base of every exception of this package."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in what a person wrote.

    Attributes:
        file: the file, or "command line".
        field: dotted path of the field, such as "wall.opening[0].width".
        value: what was written, as text.
        expected: what is expected there, in plain words.
    """

    file: str
    field: str
    value: str
    expected: str

    def __str__(self) -> str:
        got = self.value if self.value.strip() else f'"{self.value}"'
        got = got if len(got) <= 60 else got[:57] + "..."
        return visible(f"{self.file}: {self.field}: got {got}; expected {self.expected}")

    def to_dict(self) -> FaultJson:
        """Give the fault as the JSON object of the design, section 12."""
        return {"file": self.file, "field": self.field, "value": self.value, "expected": self.expected}


def shown(value: object) -> str:
    """Show a value as it was written, as text on one line.

    Args:
        value: what was written; None is nothing.

    Example:
        >>> shown(True), shown("9 ft"), shown(["0 ft", 9]), shown(None), shown("")
        ('true', '9 ft', '["0 ft", 9]', 'nothing', '""')
        >>> shown(10**5000)
        'a whole number of 5001 digits'
    """
    if value is None:
        return NOTHING_GIVEN
    if isinstance(value, str):
        text = value or '""'
    elif (
        isinstance(value, int) and value.bit_length() > MOST_SHOWN
    ):  # Python writes no more than some 4300 digits
        text = f"a whole number of {_digits(abs(value))} digits"
    elif isinstance(value, bool | list | tuple | dict):
        text = _as_written(value)
    else:
        text = str(value)
    text = visible(text[: MOST_SHOWN + 1])
    return text if len(text) <= MOST_SHOWN else text[: MOST_SHOWN - 3] + "..."


def counted(value: object) -> str:
    """Show what was written where a list of tables is expected: how many there are, where they are tables.

    Args:
        value: what was written.

    Example:
        >>> counted([{"name": "a"}] * 101), counted(7), counted([1])
        ('101 tables', '7', '[1]')
    """
    tables = isinstance(value, list) and len(value) > 0 and all(isinstance(row, dict) for row in value)
    return f"{len(value)} tables" if isinstance(value, list) and tables else shown(value)


def _digits(value: int) -> int:
    about = math.floor(math.log10(value))
    return about + 1 if value >= 10**about else about  # the logarithm of many nines is rounded up


def _as_written(value: object) -> str:
    try:
        return json.dumps(value, default=str, ensure_ascii=False)
    except ValueError:  # an integer of more digits than Python will write
        return "a list or table with a huge number in it"
    except RecursionError:
        return "a list or table in a list, many deep"


class InputError(BracingError, ValueError):
    """One or more faults in what a person wrote.

    Attributes:
        faults: every fault found, in file order.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

    @classmethod
    def of(cls, field: str, value: object, expected: str, *, file: str = "command line") -> InputError:
        """Make the error of a single fault.

        Args:
            field: dotted path of the field.
            value: what was written.
            expected: what is expected there.
            file: the file, or "command line".
        """
        return cls([Fault(file, field, shown(value), expected)])

    def in_file(self, file: str) -> InputError:
        """Give the same faults as those of a file.

        Args:
            file: its name.

        Example:
            >>> str(InputError.of("wall.height", "9", "a length").in_file("north.toml"))
            'north.toml: wall.height: got 9; expected a length'
        """
        return InputError(replace(fault, file=file) for fault in self.faults)


CHANGED = "changed since it was read"


class ChangedError(InputError):
    """A file is no longer what an answer was worked out from: what somebody else wrote there stands."""

    def __init__(self, file: str) -> None:
        expected = "the file as it was read: nothing was written; run it again on the file as it is now"
        super().__init__([Fault(file, "file", CHANGED, expected)])


def refused(where: str, value: object, expected: str) -> InputError:
    """Make the error of one value that an object or a function does not take.

    Args:
        where: the class and its field.
        value: what was given.
        expected: what is expected there.
    """
    return InputError([Fault(CODE, where, shown(value), expected)])


class MissingDataError(BracingError, LookupError):
    """A name that is in no table.

    Attributes:
        table: which table was searched, such as "fasteners".
        key: the name looked for.
        near: the nearest names the table does have.
    """

    def __init__(self, table: str, key: str, known: Iterable[str]) -> None:
        self.table = table
        self.key = key
        self.near = near_names(key, known)
        super().__init__(with_near(f"{key!r} is not in the table of {table}", self.near))


class ModelError(BracingError, ArithmeticError):
    """The analysis cannot stand behind a number."""


class MechanismError(ModelError):
    """Too few supports to hold every zero-energy motion of the panel.

    Attributes:
        motions: how many motions the unbraced panel has.
        held: how many the supports hold.
    """

    def __init__(self, motions: int, held: int) -> None:
        self.motions = motions
        self.held = held
        super().__init__(
            f"the wall can still move: {motions} free motions, the braces hold {held}; add a brace"
        )


class AccuracyError(ModelError):
    """A balance check missed its tolerance.

    Attributes:
        what: what was being balanced.
        error: the relative error found.
        limit: the limit it had to meet.
    """

    def __init__(self, what: str, error: float, limit: float) -> None:
        self.what = what
        self.error = error
        self.limit = limit
        super().__init__(f"{what}: out of balance by {error:.2e} of the load, limit {limit:.0e}")


class NoLayoutError(BracingError, RuntimeError):
    """No layout was found within the limits given.

    Attributes:
        why: what stops every layout tried.
        trials: how many layouts were evaluated.
    """

    def __init__(self, why: Said | str, trials: int) -> None:
        self.why = why
        self.trials = trials
        super().__init__(f"no layout found after {trials} tried; bracing.in_words(error.why) says why")


class MissingExtraError(BracingError, ImportError):
    """An optional package is needed.

    Attributes:
        package: the package that is not installed.
        extra: the extra that brings it.
    """

    def __init__(self, package: str, extra: str) -> None:
        self.package = package
        self.extra = extra
        super().__init__(f"this needs {package}; install it with: pip install 'bracing[{extra}]'")


@contextlib.contextmanager
def from_extra(package: str, extra: str) -> Iterator[None]:
    """Say which extra brings an optional package that is imported here and is not installed.

    Args:
        package: the package.
        extra: the extra.

    Raises:
        MissingExtraError: it is not installed.

    Example:
        >>> with from_extra("no_such_package", "sheet"):
        ...     import no_such_package
        Traceback (most recent call last):
        ...
        bracing.errors.MissingExtraError: this needs no_such_package; install it with: pip install 'bracing[sheet]'
    """
    try:
        yield
    except ImportError as error:
        raise MissingExtraError(package, extra) from error


def near_names(key: str, known: Iterable[str], *, most: int = 3) -> tuple[str, ...]:
    """Give the known names nearest to a misspelt one, nearest first.

    Args:
        key: what was written.
        known: the names there are.
        most: how many to give at the most.

    Example:
        >>> near_names("hight", ["height", "length", "peak"])
        ('height',)
    """
    lower = {name.lower(): name for name in known}
    close = difflib.get_close_matches(key.lower(), lower, n=most, cutoff=0.55)
    return tuple(lower[name] for name in close)


def with_near(expected: str, near: Iterable[str]) -> str:
    """Say what is expected, and the nearest names there are.

    Args:
        expected: what is expected.
        near: the names; none where none is near.

    Example:
        >>> with_near("a known key", ("height",)), with_near("a known key", ())
        ('a known key; near: height', 'a known key')
    """
    names = ", ".join(near)
    return f"{expected}; near: {names}" if names else expected


def why_not(error: Exception) -> str:
    """Say why the system would not read or write.

    Args:
        error: an OSError; or a ValueError, of a NUL in a name.
    """
    return getattr(error, "strerror", None) or str(error)


def table_and_near(error: MissingDataError) -> str:
    """Say what a name that is in no table should have been.

    Args:
        error: the look-up that failed.

    Example:
        >>> table_and_near(MissingDataError("species", "hem fur", ["hem-fir", "redwood"]))
        'a name in the table of species; near: hem-fir'
    """
    return with_near(f"a name in the table of {error.table}", error.near)
