"""The job of a folder of walls: `job.toml` beside the wall files, and what must fit together across them."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from attrs import evolve, frozen

from bracing.errors import Fault, InputError
from bracing.job.fasteners import Fastener
from bracing.job.house import (
    JOB_FILE,
    House,
    Laid,
    Meeting,
    Placed,
    Tick,
    deck_name,
    lay_out,
    refuse_unknown_ends,
)
from bracing.job.job import Job
from bracing.job.watched import Named, Watched
from bracing.reading.jobs import job_of
from bracing.reading.source import read_source, tables_of, wall_folder
from bracing.reading.unfinished import as_reported
from bracing.reading.values import Faults, Reading, declared_paths, read_fields
from bracing.storm.clock import zone_named


@frozen(eq=False)
class Read:
    """A folder of walls as it was read.

    Attributes:
        house: what its `job.toml` declares.
        jobs: its walls, by file.
        placed: where each stands in plan.
        left_out: what else stands in the folder, and was not asked.
    """

    house: House
    jobs: Mapping[str, Job]
    placed: Mapping[str, Placed]
    left_out: tuple[Fault, ...] = ()


def read_house(folder: str | os.PathLike[str]) -> Read:
    """Read the job of a folder, or of its `job.toml`, with all its walls.

    Args:
        folder: the folder, or the file in it.

    Raises:
        InputError: every fault of the file and of every wall; corners that do not fit together.
    """
    where = Path(folder)
    if where.name == JOB_FILE and not where.is_dir():
        where = where.parent
    found = wall_folder(where)
    jobs: dict[str, Job] = {}
    faults: list[Fault] = []
    for path in found.files:
        try:
            jobs[path.name] = as_reported(job_of(read_source(path)))  # its corners are read once, below
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    house = _house(where / JOB_FILE, jobs)
    refuse_unknown_ends(house, jobs)
    return Read(house, jobs, lay_out(house, jobs), found.left_out)


def _house(path: Path, jobs: Mapping[str, Job]) -> House:
    source = read_source(
        path, kind=f"a {JOB_FILE} beside the wall files, with a [[corner]] for each two that meet"
    )
    own = tuple(dict.fromkeys(one for job in jobs.values() for one in job.fasteners))
    made = _structured(tables_of(source), source.file, own)
    together = "".join((source.sha256, *(jobs[name].sha256 for name in sorted(jobs))))
    return evolve(made, sha256=hashlib.sha256(together.encode()).hexdigest())


def _structured(tables: Mapping[str, Any], file: str, own: tuple[Fastener, ...] = ()) -> House:
    faults = Faults(file)
    values = read_fields(House, tables, "", reading=Reading(faults, own))
    named = values.get("job")
    if named is not None:
        try:
            zone_named(named.time_zone)
        except InputError as error:
            faults.add("job.time_zone", named.time_zone, error.faults[0].expected)
    faults.raise_if_any()
    return House(**values, declared=declared_paths(tables), file=file)


def read_watched(folder: Path) -> tuple[Named, Watched]:
    """Read who a job is and how it is watched; what is not there holds its default.

    Its corners are read with its walls, whose own fasteners they may name.

    Args:
        folder: the folder of walls.

    Raises:
        InputError: every fault of the two tables.
    """
    path = folder / JOB_FILE
    if not path.exists():
        return Named(), Watched()
    source = read_source(path, kind=f"a {JOB_FILE} with [job] and [watch]")
    tables = tables_of(source)
    house = _structured(
        {key: value for key, value in tables.items() if key not in ("corner", "below", "deck")}, source.file
    )
    return house.job, house.watch


def language_beside(path: Path) -> str:
    """Give the language in which `job.toml` beside a wall asks commands to print.

    Args:
        path: the wall file, or the folder of walls.

    Raises:
        InputError: every fault of what it says of the job.
    """
    named, _ = read_watched(path if path.is_dir() else path.parent)
    return named.language


def ticked(house: House, done: tuple[str, ...]) -> House:
    """Add what is said to be done on the command line to what the file says.

    Args:
        house: the job.
        done: each a corner and what is done there, such as "south/east: edges nailed".

    Raises:
        InputError: no such corner, or no such tick.
    """
    faults = Faults("command line")
    corners, decks = list(house.corners), list(house.decks)
    by_name = {deck_name(k): k for k in range(len(decks))}
    for text in done:
        name, _, tick = (part.strip() for part in text.rpartition(":"))
        at, what = by_name.get(name), "deck"
        ticks: tuple[str, ...] = tuple(Laid)
        things: list[Any] = decks
        if at is None:
            at, what = next((k for k, each in enumerate(corners) if name in _names(each)), None), "corner"
            ticks, things = tuple(Tick), corners
        if at is None:
            every = ", ".join((*(corner.name for corner in corners), *by_name)) or "there is none"
            faults.add("--done", text, f"a corner of this job and what is done there; its corners: {every}")
        elif tick not in ticks:
            faults.add("--done", text, f"after the {what} one of: {', '.join(ticks)}")
        else:
            things[at] = evolve(things[at], done=tuple(dict.fromkeys((*things[at].done, tick))))
    faults.raise_if_any()
    return evolve(house, corners=tuple(corners), decks=tuple(decks))


def _names(corner: Meeting) -> tuple[str, ...]:
    first, second = corner.ends
    return corner.name, f"{second.name}/{first.name}"
