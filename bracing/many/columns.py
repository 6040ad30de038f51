"""What the columns of a list of walls may be, and the wall of a row: of its own, or like a file with other values.

A column is an option of a wall, a short name of a field that a wall needs to stand, the dotted path of any field as a
wall file has it, or a column of the office's own, which is kept and not read. One that nearly is one of the first three
is taken for misspelt: a value that is not read would be taken for undeclared.
"""

from __future__ import annotations

import csv
import difflib
import hashlib
import importlib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from functools import cache
from pathlib import Path
from typing import Any, TextIO

from attrs import frozen

from bracing.errors import Fault, InputError, from_extra
from bracing.job.fields import HELP, places
from bracing.job.job import Job
from bracing.reading.files import note_read, refuse_unplain
from bracing.reading.jobs import Origin, assemble, read_job
from bracing.reading.options import OPTIONS, SEVERAL, job_from_options, options_of, tables_of_options
from bracing.reading.source import read_source, tables_of
from bracing.reading.values import put
from bracing.storm.clock import refuse

FILE, LIKE, LOT, NAME = "file", "like", "lot", "name"
OWN = "x_"  # what a column of the office's own may begin with, whatever it resembles
WORKBOOKS = (".xlsx", ".xlsm")
SEMICOLON, COMMA = ";", ","
# A short name of a field beside the options: what a wall needs to stand.
SHORT = {
    "into_framing": "wall.plate.into_framing",
    "plate_extra": "wall.plate.extra.fastener",
    "plate_extra_each": "wall.plate.extra.at_each_brace",
    "plate_strap_lb": "wall.plate.strap_at_brace_lb",
    "plate_strap_to": "wall.plate.strap_to",
    "sheathing_laps": "wall.plate.sheathing_laps",
    "sheathing_fastener": "wall.plate.sheathing_fastener",
    "sheathing_spacing": "wall.plate.sheathing_spacing",
    "end_nails": "wall.top_plate.end_nails",
    "end_nail": "wall.top_plate.end_nail",
    "top_strap_lb": "wall.top_plate.strap_at_brace_lb",
    "top_spliced": "wall.top_plate.spliced",
    "left_end": "wall.left_end",
    "right_end": "wall.right_end",
    "left_return": "wall.left_return.wall",
    "right_return": "wall.right_return.wall",
    "joist_first": "floor.joists.first",
    "joist_span": "floor.joists.span",
    "joist_species": "floor.joists.species",
    "joist_grade": "floor.joists.grade",
    "cleat_size": "kit.cleat.size",
    "cleat_lie": "kit.cleat.lie",
    "cleat_length": "kit.cleat.length",
    "cleat_sides": "kit.cleat.sides",
    "top_load": "site.top_load",
}
NOT_CELLS = ("part", "parts", "points", "point", "moment", "zone", "basis")
LISTS = ("layers", "names", "forces", "counts", "lengths")
NEAR = 0.75  # how alike a column is to one that is read, of 1, from which it is taken for misspelt
YES, NO = ("yes", "y", "true", "x"), ("no", "n", "false")


@cache
def by_path() -> dict[str, tuple[str, str]]:
    """Give the kind of every field one cell can give, by its dotted path, with one line about it.

    Example:
        >>> by_path()["floor.joists.span"][0], "brace[].mark" in by_path()
        ('length', False)
    """
    return {
        place.path: (place.kind, str(place.field.metadata[HELP]))
        for place in places(Job)
        if place.kind not in NOT_CELLS
        and "[]" not in place.path
        and not place.path.startswith(("built.", "pull_test"))
    }


@cache
def known_columns() -> tuple[str, ...]:
    """Give every column that is read: options, short names, dotted paths, and those of the list itself."""
    return (*dict.fromkeys((*OPTIONS, *SHORT, FILE, LIKE, LOT, *by_path())),)


def about_column(name: str) -> str:
    """Give one line about a column that is read.

    Args:
        name: its name.

    Example:
        >>> about_column("height")
        'top of the plate; of a gable, at its ends'
    """
    own = {
        FILE: "a wall file; beside it only a name and a lot",
        LIKE: "a wall file whose values count where the row has none",
        LOT: "the lot or house it belongs to; the results have it too",
    }
    if name in own:
        return own[name]
    option = options_of().get(name)
    return option.about if option is not None else by_path()[SHORT.get(name, name)][1]


@frozen
class Columns:
    """The first line of a list.

    Attributes:
        names: of every column as it is read: small letters, with _ for a blank.
        heads: as written.
        own: those of the office's own, which are kept.
    """

    names: tuple[str, ...]
    heads: tuple[str, ...]
    own: tuple[str, ...]


def read_head(cells: Sequence[str], *, file: str) -> Columns:
    """Read the first line of a list.

    Args:
        cells: its cells.
        file: the list, for a fault.

    Raises:
        InputError: no columns; one that nearly is one that is read; one twice.

    Example:
        >>> read_head(["Lot", "length", "Superintendent"], file="list.csv").own
        ('superintendent',)
    """
    names, where = tuple(map(plain_name, cells)), "line 1"
    if not any(names):
        refuse(where, "nothing", "the columns: options of a wall, such as length,height", file=file)
    known, own = known_columns(), []
    for name in names:
        if names.count(name) > 1:
            refuse(where, name, "each column once", file=file)
        if name in known:
            continue
        near = difflib.get_close_matches(name, known, cutoff=NEAR)
        if not name or (near and not name.startswith(OWN)):
            expected = f"a column that is read; near: {', '.join(near) or 'length, height'}"
            refuse(
                where,
                name or "an empty column",
                f"{expected}; one of your own, kept, begins with x-",
                file=file,
            )
        own.append(name)
    if not set(names) - set(own) - {NAME, LOT}:
        expected = "a column that says what the wall is: length, file or like"
        refuse(where, ", ".join(names), expected, file=file)
    return Columns(names, tuple(cells), tuple(own))


def plain_name(cell: str) -> str:
    """Give the name of a column as it is read.

    Args:
        cell: as written.

    Example:
        >>> plain_name(" --Joist span"), plain_name("wall.plate.state")
        ('joist_span', 'wall.plate.state')
    """
    return cell.strip().lower().lstrip("-").replace("-", "_").replace(" ", "_")


# -- the rows of a table -----------------------------------------------------------------------------------


def rows_of_table(source: Path, stream: TextIO | None) -> Iterator[tuple[int, list[str] | str]]:
    """Give the rows of a list with their numbers; in the place of one that is none, what is wrong with it.

    Args:
        source: the list: CSV with commas or semicolons, or the first sheet of a workbook.
        stream: its text, of CSV.

    Raises:
        MissingExtraError: a workbook, and the package that reads it is not installed.
        InputError: a workbook that cannot be read.
    """
    if stream is None:
        yield from _of_workbook(source)
        return
    head = stream.readline()
    delimiter = SEMICOLON if head.count(SEMICOLON) > head.count(COMMA) else COMMA
    reader = csv.reader(_again(head, stream), delimiter=delimiter)
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as error:
            yield reader.line_num, f"not a row of CSV: {error}"
            continue
        if cells is None:
            return
        yield reader.line_num, cells


def _again(head: str, stream: TextIO) -> Iterator[str]:
    yield head
    yield from stream


def is_workbook(source: Path) -> bool:
    """Whether a list is a workbook.

    Args:
        source: the list.
    """
    return source.suffix.lower() in WORKBOOKS


def openpyxl() -> Any:  # noqa: ANN401  (a package without types)
    """Give the package that reads and writes workbooks.

    Raises:
        MissingExtraError: it is not installed.
    """
    with from_extra("openpyxl", "office"):
        return importlib.import_module("openpyxl")


def _of_workbook(source: Path) -> Iterator[tuple[int, list[str] | str]]:
    package = openpyxl()
    try:
        refuse_unplain(source)
        note_read(source)
        book = package.load_workbook(source, read_only=True, data_only=True)
    except OSError as error:
        refuse(
            "file",
            (error.strerror or str(error)).lower(),
            "a list of walls that can be read",
            file=str(source),
        )
    except Exception as error:  # noqa: BLE001  (whatever such a package makes of a broken file)
        refuse("file", str(error)[:60] or "nothing", "a workbook (.xlsx)", file=str(source))
    try:
        sheet = book.worksheets[0]
        for number, row in enumerate(sheet.iter_rows(values_only=True), start=1):
            cells = [_cell(value) for value in row]
            while cells and not cells[-1]:
                cells.pop()
            yield number, cells
    finally:
        book.close()


def _cell(value: object) -> str:
    """A cell of a sheet as it would be typed."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES[0] if value else NO[0]
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, datetime | date):
        return value.isoformat(sep=" ") if isinstance(value, datetime) else value.isoformat()
    return str(value)


# -- the wall of a row -------------------------------------------------------------------------------------


def job_of_row(cells: Mapping[str, str], folder: Path) -> Job:
    """Give the wall of a row.

    Args:
        cells: by column, without those of the office's own.
        folder: where the files that rows name are looked for.

    Raises:
        InputError: every fault in it, named by column where one is at fault.
    """
    given = {name: value for name, value in cells.items() if name != LOT}
    named, like = given.pop(FILE, None), given.pop(LIKE, None)
    if named is not None:
        if like is not None or set(given) - {NAME}:
            refuse(FILE, named, "the wall in a file or in columns, not both; or the file under like")
        return read_job(folder / named)
    if like is None and not set(given) - set(OPTIONS):
        return job_from_options(**_options(given))
    source = None if like is None else read_source(folder / like)
    tables = {"wall": dict[str, Any]()} if source is None else tables_of(source)
    faults = _filled(tables, given)
    sha = hashlib.sha256(repr(sorted(given.items())).encode("utf-8", "replace"))
    sha.update(b"" if source is None else source.sha256.encode())
    try:
        job = assemble(tables, Origin("list" if source is None else source.file, sha.hexdigest()))
    except InputError as error:
        raise InputError((*faults, *error.faults)) from None
    if faults:
        raise InputError(faults)
    return job


def _options(given: Mapping[str, str]) -> dict[str, object]:
    return {
        name: [part.strip() for part in text.split(SEMICOLON) if part.strip()] if name in SEVERAL else text
        for name, text in given.items()
    }


def _filled(tables: dict[str, Any], given: Mapping[str, str]) -> list[Fault]:
    """Put what a row says into the tables of its wall, over what is there."""
    options = _options({name: value for name, value in given.items() if name in OPTIONS})
    made, faults = tables_of_options(options)
    for path, value in _leaves(made):
        put(tables, path, value)
    for name, value in given.items():
        if name not in OPTIONS:
            path = SHORT.get(name, name)
            put(tables, path, _typed(value, by_path()[path][0]))
    return faults


def _leaves(tables: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    for name, value in tables.items():
        if isinstance(value, Mapping):
            yield from _leaves(value, f"{before}{name}.")
        else:
            yield f"{before}{name}", value


def _typed(text: str, kind: str) -> object:
    """What is in a cell as a wall file has it; its field judges it."""
    if kind == "flag":
        return True if text.lower() in YES else False if text.lower() in NO else text
    if kind in LISTS:
        return [] if text.lower() == "none" else [part.strip() for part in text.split(",") if part.strip()]
    if kind in ("count", "number", "share", "force"):
        for read in (int, float):
            try:
                return read(text)
            except ValueError:
                continue
    return text
