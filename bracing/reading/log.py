"""The log of a job: rows that are only ever added, each with a hash of itself and of the one before it.

The wall file is the truth of what stands; the log says how it came so, and what a walk that is not finished has found.
One lock for every write; a row is on the disk when `Writer` has been left. A chain shows a row that was changed or
taken out of the middle; a tail that was cut off it does not show: for that its head is kept elsewhere, in a mail.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from bracing.errors import Fault, InputError, why_not
from bracing.reading.files import digest, locked

if TYPE_CHECKING:
    import sqlite3  # loaded where there is a log, and not with every wall file

KEPT = ".bracing"
LOG = "log.sqlite3"
FIRST = "0" * 64  # the hash before the first row
VERSION = 1
BUSY_S = 30.0
HEAD_LETTERS = 12  # of a head, as people write it down
WALK, ENTRY, OUTSIDE, STATE, WRITTEN, SENT, LINK = (
    "walk", "entry", "changed outside", "state", "written", "sent", "link",
)  # fmt: skip
BEGUN, FINISHING, FINISHED, REOPENED = "begun", "finishing", "finished", "reopened"
_TABLE = """
CREATE TABLE log (seq INTEGER PRIMARY KEY, at INTEGER NOT NULL, kind TEXT NOT NULL, wall TEXT NOT NULL,
 who TEXT NOT NULL, link TEXT NOT NULL, body TEXT NOT NULL, prev TEXT NOT NULL, hash TEXT NOT NULL UNIQUE) STRICT;
CREATE INDEX log_wall ON log (wall, kind, seq);
CREATE TRIGGER log_no_update BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'a log is only added to'); END;
CREATE TRIGGER log_no_delete BEFORE DELETE ON log BEGIN SELECT RAISE(ABORT, 'a log is only added to'); END;
"""


class Row(NamedTuple):
    """One row.

    Attributes:
        seq: its number, from 1.
        at: when it was written, milliseconds since 1970 in UTC.
        kind: what it tells of.
        wall: name of the wall's file; empty where it is of the whole job.
        who: who, by role.
        link: by which link it came in; empty from a command.
        body: what it tells.
        prev: hash of the row before it.
        hash: its own.
    """

    seq: int
    at: int
    kind: str
    wall: str
    who: str
    link: str
    body: Mapping[str, Any]
    prev: str
    hash: str


def hash_of(prev: str, *first: object) -> str:
    """Give the hash of a row: of the hash before it, a newline, and its first seven columns as JSON.

    Args:
        prev: hash of the row before it.
        first: seq, at, kind, wall, who, link, body.

    Example:
        >>> hash_of("0" * 64, 1, 0, "state", "a.toml", "", "", {})[:12]
        '37a5d3d1cd19'
    """
    text = json.dumps(list(first), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(f"{prev}\n{text}".encode()).hexdigest()


def log_of(wall: Path) -> Path | None:
    """Give the log beside a wall file; None where none was begun.

    Args:
        wall: the wall file.
    """
    path = wall.parent / KEPT / LOG
    return path if path.is_file() else None


class Writer(NamedTuple):
    """What may be added to a log while its lock is had.

    Attributes:
        connection: to the database, in a transaction.
        now: the present moment.
    """

    connection: sqlite3.Connection
    now: datetime

    def rows(self, wall: str | None = None) -> tuple[Row, ...]:
        """Give the rows there are, those just added among them.

        Args:
            wall: of this wall only.
        """
        return _rows(self.connection, wall)

    def add(
        self, kind: str, body: Mapping[str, object], *, wall: str = "", who: str = "", link: str = ""
    ) -> None:
        """Add a row.

        Args:
            kind: what it tells of.
            body: what it tells; no floats.
            wall: name of the wall's file.
            who: who, by role.
            link: by which link it came in; empty from a command.
        """
        last = self.connection.execute("SELECT seq, hash FROM log ORDER BY seq DESC LIMIT 1").fetchone()
        seq, prev = (last[0] + 1, last[1]) if last else (1, FIRST)
        at = int(self.now.timestamp() * 1000.0)
        first = (seq, at, kind, wall, who, link)
        kept = json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        row = (*first, kept, prev, hash_of(prev, *first, body))
        self.connection.execute("INSERT INTO log VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", row)


@contextlib.contextmanager
def writing(path: Path, now: datetime) -> Iterator[Writer]:
    """Write into a log, one writer at a time: when this is left all of it is on the disk, or nothing.

    Args:
        path: its file; begun where it is not there.
        now: the present moment.

    Raises:
        InputError: it cannot be written, or is of a newer version.
    """
    import sqlite3

    with contextlib.ExitStack() as held:
        try:
            held.enter_context(locked(path))
            connection = held.enter_context(contextlib.closing(_opened(path)))
        except (OSError, sqlite3.Error) as error:
            raise _refused(path, error) from None
        try:
            connection.execute("BEGIN IMMEDIATE")
            yield Writer(connection, now)
            connection.execute("COMMIT")
        except sqlite3.Error as error:
            raise _refused(path, error) from None


def _opened(path: Path) -> sqlite3.Connection:
    import sqlite3

    connection = sqlite3.connect(path, timeout=BUSY_S, isolation_level=None)
    try:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        _refuse_newer(path, version)
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")
        if version == 0:
            connection.executescript(f"BEGIN;{_TABLE}PRAGMA user_version={VERSION};COMMIT;")
    except BaseException:
        connection.close()
        raise
    return connection


def _refuse_newer(path: Path, version: int) -> None:
    if version > VERSION:
        where = "file"
        raise InputError.of(
            where, f"a log of version {version}", f"version {VERSION}: update this program", file=str(path)
        )


def _refused(path: Path, error: Exception) -> InputError:
    where = "file"
    return InputError.of(where, why_not(error), "a log that can be read and written", file=str(path))


def _rows(connection: sqlite3.Connection, wall: str | None) -> tuple[Row, ...]:
    where, values = ("", ()) if wall is None else (" WHERE wall = ?", (wall,))
    found = connection.execute(f"SELECT * FROM log{where} ORDER BY seq", values)
    return tuple(Row(*(*row[:6], _body(row[6]), *row[7:])) for row in found)


def _body(text: object) -> Mapping[str, Any]:
    try:
        body = json.loads(text) if isinstance(text, str) else None
    except ValueError:
        body = None
    return body if isinstance(body, dict) else {"not JSON": str(text)}


def read_rows(path: Path, wall: str | None = None) -> tuple[Row, ...]:
    """Read a log; nothing is written.

    Args:
        path: its file.
        wall: of this wall only.

    Raises:
        InputError: it cannot be read, or is of a newer version.
    """
    import sqlite3

    try:
        uri = f"{path.resolve().as_uri()}?mode=ro"
        with contextlib.closing(sqlite3.connect(uri, uri=True, timeout=BUSY_S)) as connection:
            _refuse_newer(path, connection.execute("PRAGMA user_version").fetchone()[0])
            return _rows(connection, wall)
    except sqlite3.Error as error:
        raise _refused(path, error) from None


def last_rows(path: Path) -> dict[str, int]:
    """Give the number of the last row of each wall, by the name of its file; under "" those of the whole job.

    Args:
        path: the log.

    Raises:
        InputError: it cannot be read.
    """
    import sqlite3

    try:
        uri = f"{path.resolve().as_uri()}?mode=ro"
        with contextlib.closing(sqlite3.connect(uri, uri=True, timeout=BUSY_S)) as connection:
            return dict(connection.execute("SELECT wall, max(seq) FROM log GROUP BY wall"))
    except sqlite3.Error as error:
        raise _refused(path, error) from None


def chain_faults(rows: tuple[Row, ...], path: Path, *, heads: tuple[str, ...] = ()) -> tuple[Fault, ...]:
    """Say where the chain of a log is broken, and which heads kept elsewhere it no longer has.

    Args:
        rows: all its rows.
        path: its file.
        heads: heads, or their first letters, from tags and mails.
    """
    faults, prev = [], FIRST
    for k, row in enumerate(rows):
        expected = f"row {k + 1} as it was written, after the one before it"
        if row.seq != k + 1 or row.prev != prev or row.hash != hash_of(prev, *row[:7]):
            faults.append(Fault(str(path), f"row {row.seq}", "changed, or one before it taken out", expected))
            break
        prev = row.hash
    known = {FIRST, *(row.hash for row in rows)}
    for head in heads:
        if not any(one.startswith(head.lower()) for one in known):
            expected = f"the row of that head among {len(rows)}: the log was cut short, or is another"
            faults.append(Fault(str(path), "head", head, expected))
    return tuple(faults)


def head_of(rows: tuple[Row, ...]) -> str:
    """Give the head of a log as people write it down; nothing of an empty one.

    Args:
        rows: all its rows.
    """
    return rows[-1].hash[:HEAD_LETTERS] if rows else ""


def note_write(wall: Path, kind: str, now: datetime, *, before: str, after: str) -> None:
    """Note that a command has written a wall file, where a log was begun.

    Args:
        wall: the wall file.
        kind: what was written.
        now: the present moment.
        before: digest of the file before it.
        after: digest of the file now.
    """
    path = log_of(wall)
    if path is not None:
        with writing(path, now) as log:
            log.add(kind, {"before": before, "after": after}, wall=wall.name)


def note_outside(log: Writer, walls: tuple[Path, ...]) -> tuple[str, ...]:
    """Note wall files that somebody has changed by hand since the log last told of them.

    Args:
        log: what is written into.
        walls: the wall files.

    Returns:
        The names of those files.
    """
    known: dict[str, str] = {}
    for row in log.rows():
        after = row.body.get("after")
        if isinstance(after, str):
            known[row.wall] = after
    changed = []
    for wall in walls:
        there = digest(wall)
        if there is not None and known.get(wall.name) != there:
            kind = OUTSIDE if wall.name in known else STATE
            log.add(kind, {"before": known.get(wall.name), "after": there}, wall=wall.name)
            changed += [wall.name] if kind == OUTSIDE else []
    return tuple(changed)
