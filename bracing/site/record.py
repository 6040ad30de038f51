"""The log as others take it away: a table of its rows, and a backup of it with the walls it is about."""

from __future__ import annotations

import contextlib
import csv
import hashlib
import io
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterable
from datetime import UTC, date, datetime
from pathlib import Path

from bracing.errors import InputError, cells, why_not
from bracing.job.fields import Look
from bracing.reading.log import ENTRY, LINK, LOG, OUTSIDE, SENT, STATE, WALK, Row
from bracing.reading.looking import KEYED
from bracing.said import Said
from bracing.storm.clock import Clock, refuse
from bracing.text.quantities import ENGLISH

COLUMNS = ("seq", "at", "kind", "wall", "who", "link", "told", "hash")


def told(row: Row) -> str:
    """Say what a row tells, on a line.

    Args:
        row: the row.
    """
    if row.kind == ENTRY:
        return _answered(str(row.body.get("mark")), str(row.body.get("answer") or ""))
    if row.kind == WALK:
        return str(row.body.get("event") or "written into the file")
    if row.kind == LINK:
        return f"link {row.body.get('id')}: {row.body.get('role') or 'taken back'}"
    if row.kind == SENT:
        return str(row.body.get("subject"))
    return {OUTSIDE: "changed by hand", STATE: "first seen"}.get(row.kind, "written into the file")


def _answered(mark: str, answer: str) -> str:
    """What was answered, and of what."""
    name, _, number = mark.strip().rpartition(" ")
    if mark.startswith(KEYED):
        what = ENGLISH.said(Said.by(name, {})) if name in set(Look) else "another brace"
        mark = f"{what} {number}" if name and number != "0" else what
    return f"{mark}: {' '.join(answer.split()) or 'as planned'}"


def of_day(rows: tuple[Row, ...], day: str, clock: Clock, *, asked: str) -> tuple[Row, ...]:
    """Give the rows of one day where the clock hangs.

    Args:
        rows: the rows.
        day: as typed, such as 2026-03-06.
        clock: the clock of the place.
        asked: what it was asked as.

    Raises:
        InputError: it is no date.
    """
    try:
        wanted = date.fromisoformat(day).isoformat()
    except ValueError:
        refuse(asked, day, "a date, such as 2026-03-06")
    return tuple(row for row in rows if at_of(row, clock).startswith(wanted))


def table(rows: Iterable[Row], clock: Clock) -> bytes:
    """Write rows as CSV.

    Args:
        rows: the rows.
        clock: the clock of the place.
    """
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, lineterminator="\n")
    writer.writeheader()
    for row in rows:
        plain = {"seq": row.seq, "at": at_of(row, clock), "kind": row.kind, "wall": row.wall, "who": row.who}
        writer.writerow(cells({**plain, "link": row.link, "told": told(row), "hash": row.hash}))
    return stream.getvalue().encode()


def at_of(row: Row, clock: Clock) -> str:
    """Give when a row was written, on the clock of the place.

    Args:
        row: the row.
        clock: the clock of the place.
    """
    moment = datetime.fromtimestamp(row.at / 1000.0, UTC)
    return clock.local(moment).isoformat(timespec="seconds")


def backup(path: Path, files: Iterable[Path]) -> bytes:
    """Make a backup: the log as it is at one moment, the files it is about, and the hash of each.

    Args:
        path: the log.
        files: the wall files, and `job.toml`.

    Raises:
        InputError: the log cannot be read.
    """
    try:
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder) / LOG
            with (
                contextlib.closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as here,
                contextlib.closing(sqlite3.connect(copy)) as there,
            ):
                here.backup(there)
            content = {LOG: copy.read_bytes()}
        content |= {file.name: file.read_bytes() for file in files if file.is_file()}
    except (OSError, sqlite3.Error) as error:
        where = "file"
        raise InputError.of(where, why_not(error), "a log that can be read", file=str(path)) from None
    sums = "".join(f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in content.items())
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {**content, "SHA256SUMS": sums.encode()}.items():
            archive.writestr(name, data)
    return stream.getvalue()
