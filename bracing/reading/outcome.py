"""What a walk found, and the work of a storm's rungs, written into the wall file it was worked out for."""

from __future__ import annotations

from datetime import datetime

from attrs import fields

from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.fields import place_at
from bracing.job.job import Built, Job
from bracing.reading.jobs import read_job
from bracing.reading.writing import append_braces, length_text, write_built
from bracing.stages.walk import MOST_LETTERS, Walk
from bracing.storm.clock import Clock
from bracing.storm.ladder import Ladder


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
    changes = {change.path: _rung_written(change.path, change.after) for change in ladder.changes}
    if job.built is not None:
        changes["built.since"] = f"{now:%Y-%m-%d %H:%M} storm work written in, not yet found"
    if not ladder.added and not changes:
        return read_job(job.file)
    return append_braces(job.file, ladder.added, changes=changes, was=job.sha256)


def _rung_written(path: str, value: object) -> object:
    """Write a value as the file takes it: a length with its unit."""
    return length_text(value) if place_at(Job, path).kind == "length" and isinstance(value, float) else value


PLACE = ("mark", "stud_at", "head", "set_back")


def write_walk(walk: Walk, by: str, clock: Clock) -> Job:
    """Write a walk into its wall file.

    Args:
        walk: what was found.
        by: who walked, by role.
        clock: the clock of the place.

    Returns:
        The wall as the file now gives it.

    Raises:
        ChangedError: the file has changed meanwhile: what another walk found stands.
        InputError: no role was given, or the file cannot be written.
    """
    role = " ".join(by.split())
    if not role or len(role) > MOST_LETTERS or not role.isprintable():
        what = "--by"
        raise InputError.of(what, by or "nothing", "who walked, by role, such as lead framer")
    when = f"{clock.local(clock.now):%Y-%m-%d %H:%M}"
    built = Built(when=when, by=role, found=walk.found, planned=walk.planned)
    return write_built(walk.job.file, walk.braces, built, declared=_declared(walk), was=walk.job.sha256)


def _declared(walk: Walk) -> frozenset[str]:
    """Fields the file gave, and those that were found otherwise; all that nobody said stays assumed."""
    before = {brace.mark: k for k, brace in enumerate(walk.job.braces)}
    planned = {brace.mark: brace for brace in (walk.job.built.planned if walk.job.built else ())}
    paths = set()
    for k, brace in enumerate(walk.braces):
        old = before.get(brace.mark)
        was = planned[brace.mark] if old is None else walk.job.braces[old]
        for one in fields(Brace):
            said = old is None or f"brace[{old}].{one.name}" in walk.job.declared
            if said or one.name in PLACE or getattr(brace, one.name) != getattr(was, one.name):
                paths.add(f"brace[{k}].{one.name}")
    return frozenset(paths)
