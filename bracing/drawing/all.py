"""Every drawing of one wall."""

from __future__ import annotations

from bracing.check import CheckResult
from bracing.drawing.details import details
from bracing.drawing.elevation import elevation
from bracing.drawing.model import Drawing
from bracing.drawing.plan import plan, zone
from bracing.drawing.section import brace_section
from bracing.job.brace import Brace
from bracing.job.job import Job

MOST_ALIKE = 4  # braces of different make drawn in section; the rest are in the tables


def alike(job: Job) -> tuple[tuple[Brace, tuple[str, ...]], ...]:
    """Give one brace of each make (head, set-back, size, ties) and the marks of all like it.

    Args:
        job: the job.
    """
    groups: dict[tuple[object, ...], list[Brace]] = {}
    for brace in job.braces:
        make = (brace.head, brace.set_back, brace.size, brace.ties)
        groups.setdefault(make, []).append(brace)
    return tuple((group[0], tuple(b.mark for b in group)) for group in groups.values())


def drawings(result: CheckResult) -> tuple[Drawing, ...]:
    """Draw the wall, the floor, the zone, each make of brace in section, and head and foot of the first.

    Args:
        result: the wall checked.
    """
    job = result.job
    makes = alike(job)[:MOST_ALIKE]
    sections = (brace_section(job, brace, same=marks) for brace, marks in makes)
    close = details(job, makes[0][0]) if makes else ()
    return (elevation(job), plan(result), zone(result), *sections, *close)
