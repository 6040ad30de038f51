"""The work of a storm's rungs written into the wall file it was worked out for."""

from __future__ import annotations

from datetime import datetime

from bracing.job.fields import KIND, class_of
from bracing.job.job import Job
from bracing.reading.jobs import read_job
from bracing.reading.structure import fields_by_key
from bracing.reading.writing import append_braces, length_text
from bracing.storm.ladder import Ladder
from bracing.units import Inch


def write_ladder(job: Job, ladder: Ladder, now: datetime) -> Job:
    """Write every rung into the file in one step; a wall that was walked is a plan again until somebody walks it.

    Args:
        job: the wall as it was read.
        ladder: the rungs.
        now: on the clock of the place.

    Returns:
        The wall as the file now gives it.

    Raises:
        ChangedError: the file is no longer as it was read.
        InputError: it cannot be written.
    """
    changes = {change.path: _written(change.path, change.after) for change in ladder.changes}
    if job.built is not None:
        changes["built.since"] = f"{now:%Y-%m-%d %H:%M} storm work written in, not yet found"
    if not ladder.added and not changes:
        return read_job(job.file)
    return append_braces(job.file, ladder.added, changes=changes, was=job.sha256)


def _written(path: str, value: object) -> object:
    """Write a value as the file takes it: a length with its unit."""
    at: type = Job
    kind = ""
    for step in path.split("."):
        field = fields_by_key(at)[step.partition("[")[0]]
        kind = str(field.metadata[KIND])
        if kind in ("part", "parts"):
            at = class_of(at, field.name)
    return length_text(Inch(value)) if kind == "length" and isinstance(value, float) else value
