"""What the `job.toml` beside a wall file says of that wall alone: which walls stand at its ends."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator
from pathlib import Path

from attrs import evolve

from bracing.errors import InputError
from bracing.job.house import ENDS, JOB_FILE, House, Meeting, as_joined
from bracing.job.job import Job
from bracing.reading.source import SourceText, read_source, tables_of
from bracing.reading.values import Faults


def in_its_job(job: Job, *, read: Callable[[SourceText], Job]) -> Job:
    """Give a wall with the wind of the walls that a `job.toml` beside its file has stand at its ends.

    Args:
        job: the wall as its file has it.
        read: reads the file of another.

    Raises:
        InputError: corners there that cannot be read.
    """
    path = Path(job.file)
    corners = _corners_at(path)
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
    corners = _corners_at(path)
    if corners:
        yield path.parent / JOB_FILE
    for corner in corners:
        yield from (path.parent / end.file for end in corner.ends if end.file != path.name)


def _corners_at(path: Path) -> tuple[Meeting, ...]:
    """The corners of the job beside a wall file that are of this wall."""
    beside = path.parent / JOB_FILE
    if not beside.is_file():
        return ()
    source = read_source(beside)
    faults, found, rows = Faults(source.file), [], tables_of(source).get("corner", [])
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
        if any(end.file == path.name for end in one.ends):
            found.append(one)
    faults.raise_if_any()
    return tuple(found)


def _is_end(text: object) -> bool:
    return isinstance(text, str) and text.rpartition(" ")[2] in ENDS
