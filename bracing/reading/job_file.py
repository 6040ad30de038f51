"""The tables of `job.toml` that name a job and say how it is watched."""

from __future__ import annotations

from pathlib import Path

from bracing.errors import InputError
from bracing.job.watched import Named, Watched
from bracing.reading.source import JOB_FILE, read_source, tables_of
from bracing.reading.values import Faults, Reading, structure
from bracing.storm.clock import zone_named


def read_watched(folder: Path) -> tuple[Named, Watched]:
    """Read who a job is and how it is watched; what is not there holds its default.

    Args:
        folder: the folder of walls.

    Raises:
        InputError: every fault of the two tables.
    """
    path = folder / JOB_FILE
    if not path.exists():
        return Named(), Watched()
    source = read_source(path, kind=f"a {JOB_FILE} with [job] and [watch]")
    tables, faults = tables_of(source), Faults(source.file)
    named = structure(Named, tables.get("job", {}), "job", reading=Reading(faults))
    watched = structure(Watched, tables.get("watch", {}), "watch", reading=Reading(faults))
    if named is not None:
        try:
            zone_named(named.time_zone)
        except InputError as error:
            faults.add("job.time_zone", named.time_zone, error.faults[0].expected)
    faults.raise_if_any()
    assert named is not None
    assert watched is not None
    return named, watched
