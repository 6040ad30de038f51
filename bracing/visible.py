r"""Text from outside made visible: a letter that would act on a terminal or in a sheet is shown instead of obeyed.

A wall's name, a heading of a forecast, a report number, the name of a file: each may hold an escape that clears the
screen, a mark that turns the line round, or a formula. `visible` is for lines, `cell` for cells of CSV.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping

FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")  # a cell that begins so is run by some programs
NUMBER = re.compile(r"-[0-9]+(?:\.[0-9]+)?")  # a foot out past LEFT is no formula
NEWLINE = "\n"
_BYTES = range(0xDC80, 0xDD00)  # what stands in a file's name for a byte that is no UTF-8


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
    if text.isprintable():
        return text
    return "".join(letter if letter in keep or plain(letter) else _written_out(letter) for letter in text)


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
    return "".join(
        letter if letter == NEWLINE or plain(letter) else json.dumps(letter)[1:-1] for letter in text
    )


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
