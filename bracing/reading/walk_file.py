"""What a walk found, written into the wall file in one step."""

from __future__ import annotations

from attrs import fields

from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.job import Built, Job
from bracing.reading.writing import write_built
from bracing.stages.walk import MOST_LETTERS, Walk
from bracing.storm.clock import Clock

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
