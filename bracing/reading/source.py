"""The bytes of a wall file and the tables in them: all that can be wrong before a field is looked at."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import re
import stat
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import islice
from pathlib import Path
from typing import Any

from attrs import frozen

from bracing.errors import Fault, InputError, why_not
from bracing.job.house import JOB_FILE
from bracing.reading.files import note_read

WALL_FILE = "a wall file"
MOST_BYTES = 1_000_000
MOST_MARKS = 15_000
MOST_DEPTH = 5
MOST_TWICE = 20
MOST_LOOKED = 5000  # files of a folder in a folder that are looked at for a wall
NEWLINE = b"\n"
MOST_INTEGER = 1_000_000_000_000
_STRING_OR_COMMENT = re.compile(  # an open string runs on to the end, so that the scan is one pass
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:""")?|\'\'\'(?:[^\']|\'(?!\'\'))*+(?:\'\'\')?'
    r'|"(?:[^"\\\n]|\\.)*+"?|\'[^\'\n]*+\'?|\#[^\n]*+',
    re.DOTALL,
)
_PLACE = re.compile(r"\s*\(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)")
_TWICE = ("Cannot overwrite a value", "Cannot declare", "Cannot mutate", "Duplicate")


@frozen
class SourceText:
    """A file as read.

    Attributes:
        file: its name, as given.
        text: its text.
        sha256: hash of its bytes.
    """

    file: str
    text: str
    sha256: str


def read_source(path: str | os.PathLike[str], *, kind: str = WALL_FILE) -> SourceText:
    """Read the bytes of a file a person named.

    Args:
        path: the file.
        kind: what it should be, for faults.

    Returns:
        Its text, with the hash of its bytes.

    Raises:
        InputError: missing, a folder, unreadable, too long, or not text.
    """
    name = os.fspath(path)
    try:
        mode = os.stat(name).st_mode
        content = _first_bytes(name) if stat.S_ISREG(mode) else b""
    except FileNotFoundError:
        raise _refused(name, "no such file", f"{kind} that exists") from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        raise _refused(name, why_not(error).lower(), "a file that can be read") from None
    if stat.S_ISDIR(mode):
        raise _refused(name, "a folder", "a wall file, such as wall.toml" if kind == WALL_FILE else kind)
    if not stat.S_ISREG(mode):
        raise _refused(name, "a device or pipe", "a plain file")
    note_read(Path(name))
    return source_of(content, file=name, kind=kind)


@frozen
class WallFolder:
    """The wall files of a folder, for every command that takes one.

    Attributes:
        files: by name: every TOML file with a wall in it; what cannot be read is one, so that its fault is seen.
        left_out: what is not asked and might have been: a TOML file without a wall, a folder in it that holds any.
    """

    files: tuple[Path, ...]
    left_out: tuple[Fault, ...]


def wall_folder(folder: str | os.PathLike[str]) -> WallFolder:
    """Look through a folder for wall files; a file of fasteners beside them is none, and nothing left out.

    Args:
        folder: the folder.

    Raises:
        InputError: no wall file in it, or a folder that cannot be read.
    """
    where = os.fspath(folder)
    try:
        inside = sorted(Path(where).iterdir())
    except OSError as error:
        raise _refused(where, why_not(error).lower(), "a folder that can be read") from None
    files, left = [], []
    for path in inside:
        if path.is_dir():
            if _may_hold_walls(path):
                left.append(
                    Fault(str(path), "file", "a folder in the folder, LEFT OUT", "to be asked by itself")
                )
        elif path.suffix.lower() == ".toml":
            inside_it = _keys_of(path)
            if inside_it is None or "wall" in inside_it:
                files.append(path)
            elif "fastener" not in inside_it and path.name != JOB_FILE:
                left.append(Fault(str(path), "file", "no [wall] table in it, LEFT OUT", "a wall file"))
    if not files:
        argument = "FILE"
        raise InputError.of(argument, where, "a folder with wall files in it, each with a [wall] table")
    return WallFolder(tuple(files), tuple(left))


def _keys_of(path: Path) -> set[str] | None:
    """Tables of a file by name; None where it cannot be read."""
    try:
        return set(tables_of(read_source(path)))
    except InputError:
        return None


def _may_hold_walls(folder: Path) -> bool:
    """Whether a TOML file stands anywhere in a folder; so it may where it cannot be read, or where it has no end."""
    unread: list[OSError] = []
    looked = 0
    for _, _, names in os.walk(folder, onerror=unread.append):
        looked += 1 + len(names)
        if any(name.lower().endswith(".toml") for name in names) or looked > MOST_LOOKED:
            return True
    return bool(unread)


def _first_bytes(name: str) -> bytes:
    with Path(name).open("rb") as stream:
        return stream.read(MOST_BYTES + 1)


def source_of(content: bytes, *, file: str, kind: str = WALL_FILE) -> SourceText:
    """Turn the bytes of a file into its text.

    Args:
        content: the bytes.
        file: its name, for faults.
        kind: what it should be, for faults.

    Raises:
        InputError: too long, empty, or not text.
    """
    if len(content) > MOST_BYTES:
        raise _refused(file, "more than 1 MB", "a file of 1 MB at most")
    if b"\0" in content:
        raise _refused(file, "not text", f"a text file ({'TOML, ' if kind == WALL_FILE else ''}UTF-8)")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        where = f"line {content[: error.start].count(NEWLINE) + 1}"
        raise InputError.of(where, "not UTF-8", "a text file in UTF-8", file=file) from None
    if not text.strip():
        inside = "a [wall] table" if kind == WALL_FILE else "at least one line"
        raise _refused(file, "empty", f"{kind} with {inside}")
    return SourceText(file=file, text=text, sha256=hashlib.sha256(content).hexdigest())


def csv_lines(source: SourceText, *, delimiter: str = ",") -> Iterator[tuple[int, list[str]]]:
    r"""Read a file row by row, each with the number of its last line; rows of blanks are left out.

    Args:
        source: the file.
        delimiter: what stands between cells.

    Raises:
        InputError: a cell or a quote that runs on past all sense.

    Example:
        >>> list(csv_lines(source_of(b"mark,floor\n\nB1, 2 in\n", file="demo.csv")))
        [(1, ['mark', 'floor']), (3, ['B1', '2 in'])]
    """
    rows = csv.reader(source.text.splitlines(), delimiter=delimiter)
    while True:
        try:
            cells = next(rows, None)
        except csv.Error as error:
            where = f"line {rows.line_num}"
            raise InputError.of(
                where, str(error), "cells with commas between them", file=source.file
            ) from None
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield rows.line_num, [cell.strip() for cell in cells]


def json_of(source: SourceText, *, expected: str) -> Any:  # noqa: ANN401  (any JSON value)
    """Parse JSON in which every key stands once: of two the later would count, and nobody would know.

    Args:
        source: the file.
        expected: what it should be, for faults.

    Raises:
        InputError: not JSON, with line and column; every key that stands twice, with its place.
    """
    read: list[tuple[dict[str, Any], list[str]]] = []  # each object, with its keys that stand twice

    def made(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        counts = Counter(key for key, _ in pairs)
        read.append((dict(pairs), [key for key, count in counts.items() if count > 1]))
        return read[-1][0]

    try:
        tree = json.loads(source.text, parse_constant=lambda name: name, object_pairs_hook=made)
        again = {id(one): keys for one, keys in read}
        twice = list(islice(_twice("", tree, again), MOST_TWICE))
    except (ValueError, RecursionError) as error:
        at = (
            f"line {error.lineno}, column {error.colno}"
            if isinstance(error, json.JSONDecodeError)
            else "file"
        )
        raise InputError.of(at, "not JSON", expected, file=source.file) from None
    if twice:
        raise InputError(Fault(source.file, where, "the key twice", "each key once") for where in twice)
    return tree


def _twice(where: str, value: object, again: Mapping[int, list[str]]) -> Iterator[str]:
    """Paths of keys that stand twice, the outermost first."""
    if isinstance(value, dict):
        yield from (f"{where}.{key}" if where else key for key in again[id(value)])
        for key, inside in value.items():
            yield from _twice(f"{where}.{key}" if where else key, inside, again)
    elif isinstance(value, list):
        for i, inside in enumerate(value):
            yield from _twice(f"{where}[{i}]", inside, again)


def tables_of(source: SourceText) -> dict[str, Any]:
    """Parse the tables of a file.

    Args:
        source: the file.

    Raises:
        InputError: not TOML, with line and column; or nested past all sense.
    """
    _refuse_endless(source)
    try:
        tables = tomllib.loads(source.text)
    except tomllib.TOMLDecodeError as error:
        raise _located(str(error), source) from None
    except (RecursionError, ValueError):  # ValueError: an integer of thousands of digits
        raise _refused(source.file, "a value past all sense", "TOML with plain values") from None
    _refuse_huge("", tables, source.file)
    return tables


def _refused(file: str, value: str, expected: str) -> InputError:
    """Make the error of a file that cannot be looked at at all."""
    return InputError.of("file", value, expected, file=file)


def _refuse_endless(source: SourceText) -> None:
    """Refuse what no wall has before parsing it: the parser's time grows with the square of the nesting."""
    plain = _STRING_OR_COMMENT.sub("s", source.text)
    if sum(plain.count(mark) for mark in ",=[\n") > MOST_MARKS:
        raise _refused(
            source.file, "thousands of values", f"a wall file of at most {MOST_MARKS // 2} lines and values"
        )
    depth = deepest = 0
    for bracket in re.findall(r"[\[\]{}]", plain):
        depth = depth + 1 if bracket in "[{" else max(depth - 1, 0)
        deepest = max(deepest, depth)
    dots = max(part.count(".") for part in re.split(r"[=,\[\]{}\n]", plain))
    if max(deepest, dots) > MOST_DEPTH:
        raise _refused(source.file, "nested too deep", f"at most {MOST_DEPTH} levels")


def _refuse_huge(where: str, value: object, file: str) -> None:
    """Refuse integers past all sense, which floats cannot hold and Python will not print."""
    if isinstance(value, dict):
        for key, inside in value.items():
            _refuse_huge(f"{where}.{key}" if where else key, inside, file)
    elif isinstance(value, list):
        for i, inside in enumerate(value):
            _refuse_huge(f"{where}[{i}]", inside, file)
    elif isinstance(value, int) and abs(value) > MOST_INTEGER:
        raise InputError.of(where, value, f"a number of at most {MOST_INTEGER}", file=file)


def _located(message: str, source: SourceText) -> InputError:
    match = _PLACE.search(message)
    lines = source.text.split("\n")
    line = int(match["line"]) if match and match["line"] else len(lines)
    where = f"line {line}, column {match['column']}" if match and match["line"] else "end of file"
    written = lines[line - 1].strip() if line <= len(lines) else ""
    if message.startswith(_TWICE):
        expected = "each key and each table once"
    else:
        expected = 'a line of TOML, such as height = "9 ft" (text stands in quotes)'
    return InputError.of(where, written or "nothing", expected, file=source.file)
