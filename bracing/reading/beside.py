"""What the `job.toml` beside a wall file says of that wall alone: what stands at its ends, and its title block."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from attrs import evolve, fields

from bracing.errors import InputError
from bracing.job.fields import fields_by_key
from bracing.job.house import ENDS, JOB_FILE, House, Meeting, as_joined
from bracing.job.job import Job
from bracing.job.titles import TitleBlock
from bracing.reading.source import SourceText, read_source, tables_of
from bracing.reading.values import Faults, Reading, read_fields


def in_its_job(job: Job, *, read: Callable[[SourceText], Job]) -> Job:
    """Give a wall with the title block of the `job.toml` beside it, and the wind of the walls it has stand at its ends.

    Args:
        job: the wall as its file has it; what that says itself of its title block stays.
        read: reads the file of another.

    Raises:
        InputError: corners or a title block there that cannot be read.
    """
    path = Path(job.file)
    said = _said_beside(path)
    if said is None:
        return job
    job = evolve(job, title=_title_of(job, said))
    corners = _corners_of(path.name, said)
    if not corners:
        return job
    jobs, hashes = {path.name: job}, [job.sha256]
    for corner in corners:
        hashes += [*corner.walls, corner.side]
        for end in corner.ends:
            try:
                source = read_source(path.parent / end.file)
                hashes.append(source.sha256)
                jobs.setdefault(end.file, read(source))
            except InputError as error:  # its own answer says so; here its length is unknown
                hashes.append(str(error))
    made = as_joined(House(corners=corners), jobs, path.name)
    if not made.met:
        return job
    together = "".join(hashes).encode("utf-8", "replace")
    return evolve(made, sha256=hashlib.sha256(together).hexdigest())


def files_of_its_job(path: str | os.PathLike[str]) -> Iterator[Path]:
    """Give the other files that say what wind a wall finds at its ends: `job.toml` beside it, and those it meets.

    Args:
        path: the wall file.

    Raises:
        InputError: corners there that cannot be read.
    """
    path = Path(path)
    said = _said_beside(path)
    if said is None:
        return
    yield path.parent / JOB_FILE
    for corner in _corners_of(path.name, said):
        yield from (path.parent / end.file for end in corner.ends if end.file != path.name)


class _Said(NamedTuple):
    """The `job.toml` beside a wall file, read once.

    Attributes:
        file: its name, as faults name it.
        tables: what it says.
    """

    file: str
    tables: dict[str, Any]


def _said_beside(path: Path) -> _Said | None:
    """What the job beside a wall file says; None where there is none."""
    beside = path.parent / JOB_FILE
    if not beside.is_file():
        return None
    source = read_source(beside)
    return _Said(source.file, tables_of(source))


def _title_of(job: Job, said: _Said) -> TitleBlock:
    """The title block of a wall: what its own file says, and for the rest the job beside it."""
    names = {one.name for one in fields(TitleBlock)}
    table, faults = said.tables.get("job"), Faults(said.file)
    if not isinstance(table, dict):
        return job.title
    told = {key: value for key, value in table.items() if key in fields_by_key(TitleBlock)}
    values = read_fields(TitleBlock, told, "job", reading=Reading(faults, ()))
    faults.raise_if_any()
    mine = {name: getattr(job.title, name) for name in names if getattr(job.title, name)}
    return TitleBlock(**{**values, **mine})


def _corners_of(name: str, said: _Said) -> tuple[Meeting, ...]:
    """The corners of the job beside a wall file that are of this wall."""
    faults, found, rows = Faults(said.file), [], said.tables.get("corner", [])
    for k, row in enumerate(rows if isinstance(rows, list) else [rows]):
        walls = row.get("walls") if isinstance(row, dict) else None
        if not isinstance(walls, list) or not all(_is_end(each) for each in walls) or len(walls) != 2:
            expected = 'two, each a wall file and its end, such as ["south.toml right", "east.toml left"]'
            faults.add(f"corner[{k}].walls", walls, expected)
            continue
        try:
            one = Meeting(walls=tuple(walls), side=row.get("side", "brace side"))
        except InputError:
            faults.add(f"corner[{k}].side", row.get("side"), "brace side | outside: where the second runs")
            continue
        if any(end.file == name for end in one.ends):
            found.append(one)
    faults.raise_if_any()
    return tuple(found)


def _is_end(text: object) -> bool:
    return isinstance(text, str) and text.rpartition(" ")[2] in ENDS
