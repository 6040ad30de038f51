"""What a result of a list of walls is known by, and which results of before are still those of their rows.

Each stands under a key of all it was made of: the row, the files it names, what was asked, the program and its tables.
"""

from __future__ import annotations

import csv
import hashlib
import json
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from attrs import asdict, evolve, frozen

from bracing.many.columns import FILE, LIKE
from bracing.reading.jobs import content_sha256
from bracing.results import header_of_several
from bracing.storm.clock import refuse
from bracing.units import Mph

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

SHORT_KEY = 12


@frozen
class ListRow:
    """One row of the list.

    Attributes:
        line: its last line in the file.
        cells: by column; empty cells are left out.
        fault: why it is no row; empty where it is one.
        kept: its result from before, of all the same; None where it is to be worked out.
        own: its cells in columns of the office's own.
    """

    line: int
    cells: Mapping[str, str]
    fault: str = ""
    kept: RowResult | None = None
    own: tuple[tuple[str, str], ...] = ()

    @property
    def files(self) -> tuple[str, ...]:
        """The wall files it names."""
        return tuple(self.cells[name] for name in (FILE, LIKE) if name in self.cells)


@frozen
class ListAsked:
    """What is asked of every wall.

    Attributes:
        gust: the gust [mph].
        thunderstorm: the forecast says thunderstorms.
        folder: where wall files that rows name are looked for.
        chance_on: the day chances are asked of, such as 2026-03-06; empty where none are.
        lay: braces are laid out for the gust, and those of the list are not kept.
        own: columns of the office's own, kept after all others.
    """

    gust: Mph
    thunderstorm: bool = False
    folder: str = "."
    chance_on: str = ""
    lay: bool = False
    own: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns of the results: those of layouts and of chances where they are asked, then the office's own."""
        of_chances, laid = OF_CHANCES if self.chance_on else (), OF_LAYOUTS if self.lay else ()
        return (*COLUMNS, *laid, *of_chances, *(OWN_COLUMN + name for name in self.own))

    def key(self, row: ListRow) -> str:
        """Give what a result is known by: all that it is made of, the files of the row as they are now."""
        read = [content_sha256(Path(self.folder) / named) for named in row.files]
        asked = [self.gust, self.thunderstorm, self.lay, *([self.chance_on] if self.chance_on else [])]
        cells = [sorted(row.cells.items()), list(row.own)]
        told = [row.line, cells, row.fault, read, asked, program(), package_sha256()]
        return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:SHORT_KEY]


def program() -> str:
    """Give the program's name and version, as every answer has it."""
    return str(header_of_several([], "walls")["program"])


@cache
def package_sha256() -> str:
    """Give a hash of the program itself: every table of its data, and every module that works with them."""
    digest = hashlib.sha256()
    for path in sorted(_files(files("bracing")), key=lambda found: found[0]):
        digest.update(path[0].encode())
        digest.update(path[1].read_bytes())
    return digest.hexdigest()


def _files(folder: Traversable, where: str = "") -> Iterator[tuple[str, Traversable]]:
    for inside in folder.iterdir():
        name = f"{where}/{inside.name}"
        if inside.is_dir():
            yield from _files(inside, name)
        elif name.endswith((".py", ".toml")):
            yield name, inside


@frozen
class RowResult:
    """The answer for one row.

    Attributes:
        line: its line.
        key: what it is known by.
        wall: name of the wall.
        verdict: within, over, engineer, not up, or bad row.
        clear_out_gust_mph: clear-out gust.
        limit_gust_mph: limit gust.
        limit_gust_one_missing_mph: with the brace gone that matters most.
        gives_first: the link; no braces on file, where there are none.
        mark: the brace it is at.
        error: what is wrong with the row.
        lot: the lot it belongs to.
        why: why the verdict is no better than it is; empty where it is within.
        braces: how many braces a layout has; empty where none was asked or is found.
        work_minutes: how long two people take for it.
        laid_out: its braces, as the column `brace` takes them.
        needed_too: what must be so, or be added, for it.
        tonight_of_100: of a hundred such walls, how many lines go tonight; empty where no chance was asked or is given.
        tonight_low: the same with every mean strength higher.
        tonight_high: the same with every one lower.
        tonight_missed_of_100: how many go with one joint in twenty missed.
        tonight_missed_low: the same with every mean strength higher.
        tonight_missed_high: the same with every one lower.
        weeks_of_100: how many go over the weeks they stand.
        weeks_low: the same with every mean strength higher.
        weeks_high: the same with every one lower.
        weeks_missed_of_100: how many do with one joint in twenty missed.
        weeks_missed_low: the same with every mean strength higher.
        weeks_missed_high: the same with every one lower.
        weeks_at_least: yes, where the published gusts count too few peaks so low.
        no_chance: why a chance is not given.
        own: its cells in columns of the office's own.
    """

    line: int
    key: str
    wall: str
    verdict: str
    clear_out_gust_mph: int | None = None
    limit_gust_mph: int | None = None
    limit_gust_one_missing_mph: int | None = None
    gives_first: str = ""
    mark: str = ""
    error: str = ""
    lot: str = ""
    why: str = ""
    braces: str = ""
    work_minutes: str = ""
    laid_out: str = ""
    needed_too: str = ""
    tonight_of_100: str = ""
    tonight_low: str = ""
    tonight_high: str = ""
    tonight_missed_of_100: str = ""
    tonight_missed_low: str = ""
    tonight_missed_high: str = ""
    weeks_of_100: str = ""
    weeks_low: str = ""
    weeks_high: str = ""
    weeks_missed_of_100: str = ""
    weeks_missed_low: str = ""
    weeks_missed_high: str = ""
    weeks_at_least: str = ""
    no_chance: str = ""
    own: tuple[tuple[str, str], ...] = ()

    def row(self) -> dict[str, object]:
        """Give it by column of the results."""
        told = asdict(self)
        del told["own"]
        return {**told, **{OWN_COLUMN + name: value for name, value in self.own}}


OWN_COLUMN = "list."  # before a column of the office's own in the results: it may be called as one of them
OF_CHANCES = tuple(
    name for name in RowResult.__annotations__ if name.startswith(("tonight_", "weeks_", "no_chance"))
)
OF_LAYOUTS = ("braces", "work_minutes", "laid_out", "needed_too")
COLUMNS = tuple(name for name in RowResult.__annotations__ if name not in (*OF_CHANCES, *OF_LAYOUTS, "own"))
WHOLE_NUMBERS = ("line", "clear_out_gust_mph", "limit_gust_mph", "limit_gust_one_missing_mph")
OLDEST = ("line", "wall", "verdict")  # columns results have had from the first
MOST_HEAD = 1000


# -- the file of results, taken up again -----------------------------------------------------------------


def taken_up(
    target: Path, rows: Iterator[ListRow], asked: ListAsked, *, after: BinaryIO, counts: dict[str, int],
    count: Callable[[RowResult], None],
) -> Iterator[ListRow]:  # fmt: skip
    """Give the rows still to be written, and leave the file of results ready for the first of them.

    Results stay where they are up to the first that is of something else. Those after it go into `after`, and come back
    with their rows where those are the same.

    Args:
        target: the file of results.
        rows: the rows of the list, from the first.
        asked: what is asked.
        after: an open file of its own, where results wait for their rows.
        counts: how many results are old, and kept; added to.
        count: told each result that stays.
    """
    at = _ready(target, asked.columns)
    with target.open("rb") as old:
        old.seek(at)
        row = None
        for line in old:
            counts["old"] += 1
            row, found = next(rows, None), _read_back(line, asked.columns)
            if row is None or found is None or found.key != asked.key(row):
                after.write(line)
                shutil.copyfileobj(old, after)
                break
            counts["kept"] += 1
            count(found)
            at, row = at + len(line), None
    with target.open("r+b") as cut:
        cut.truncate(at)
    after.seek(0)
    return _with_kept(rows if row is None else chain([row], rows), asked, after, counts)


def _with_kept(
    rows: Iterable[ListRow], asked: ListAsked, after: BinaryIO, counts: dict[str, int]
) -> Iterator[ListRow]:
    """Give each row with its result from before, where that is of all the same."""
    first = True
    for row in rows:
        line = after.readline()
        found = _read_back(line, asked.columns) if line else None
        counts["old"] += bool(line) and not first  # the first of them is counted
        first = False
        if found is None or found.key != asked.key(row):
            yield row
        else:
            counts["kept"] += 1
            yield evolve(row, kept=found)


def _read_back(line: bytes, columns: tuple[str, ...]) -> RowResult | None:
    """Give a result as it was written; None where it is none."""
    try:
        (cells,) = csv.reader([line.decode("utf-8")])
        said: dict[str, object] = dict(zip(columns, cells, strict=True))
        said |= {name: int(cells[columns.index(name)]) if said[name] else None for name in WHOLE_NUMBERS}
    except (ValueError, csv.Error):
        return None
    own = tuple(
        (name.removeprefix(OWN_COLUMN), said.pop(name)) for name in columns if name.startswith(OWN_COLUMN)
    )
    return RowResult(**said, own=own) if said["line"] else None  # type: ignore[arg-type]


def _ready(target: Path, columns: tuple[str, ...]) -> int:
    """Give where the results begin in their file, which is left with whole lines only."""
    head = ",".join(columns) + "\n"
    try:
        whole = _whole_lines(target)
        if whole <= len(head):  # nothing, or a first line broken off
            _check_head(target, head[:whole], whole)
            target.write_text(head, encoding="utf-8", newline="")
            return len(head)
        _check_head(target, head, len(head))
        with target.open("r+b") as broken:
            broken.truncate(whole)
    except OSError as error:
        refuse(
            "--out", (error.strerror or str(error)).lower(), "a file that can be written", file=str(target)
        )
    return len(head)


def _whole_lines(target: Path) -> int:
    """Bytes up to the last whole line; 0 where there is no file."""
    if not target.exists():
        return 0
    whole = 0
    with target.open("rb") as stream:
        for line in stream:
            whole += len(line) if line.endswith(b"\n") else 0
    return whole


def _check_head(target: Path, head: str, size: int) -> None:
    if not target.exists():
        return
    with target.open("rb") as stream:
        found = stream.readline(MOST_HEAD)
        columns = found.decode("utf-8", "replace").rstrip("\n").split(",")
        if found.endswith(b"\n") and found != head.encode() and set(OLDEST) <= set(columns):
            got = "results of another version, which cannot be told from stale ones"
            refuse("--out", got, "that file removed first, or another file", file=str(target))
        stream.seek(0)
        if stream.read(size) != head.encode():
            refuse("--out", "a file with something else in it", "another file, or none", file=str(target))
