"""Offset readings for plumbing a wall: from a CSV of mark, floor and head, or typed one by one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bracing.errors import Fault, InputError, near_names
from bracing.job.job import Job
from bracing.lift.plumb import TOO_STEEP, Reading
from bracing.reading.source import csv_lines, read_source
from bracing.units import Inch, length

_COLUMNS = ("mark", "floor", "head", "height")
_FIRST = "line 1"
_FIELD = "readings"
_WANTED = "columns mark, floor, head and, where the head reading is not at the brace, height"


def signed_length(text: str, *, field: str) -> Inch:
    """Read a length that may be negative.

    Args:
        text: such as "-1/4 in".
        field: the field named in a fault.

    Returns:
        The length [in].

    Raises:
        InputError: not a length.

    Example:
        >>> signed_length("-1/4 in", field="head")
        -0.25
    """
    clean = text.strip()
    if clean.startswith(("-", "−")):
        return -length(clean[1:].strip(), field=field)
    return length(clean.removeprefix("+"), field=field)


def read_offsets(job: Job, *, path: Path | None = None, typed: Sequence[str] = ()) -> tuple[Reading, ...]:
    """Read offsets from a file and from the command line.

    Args:
        job: the job whose braces they belong to.
        path: CSV file; None without one.
        typed: readings such as "B1: 2 in, 2 1/2 in", floor then head.

    Returns:
        The readings, each at its brace.

    Raises:
        InputError: every fault, each with its line or its text.
    """
    rows: list[tuple[str, str, list[str]]] = []
    if path is not None:
        rows += _from_file(path)
    for text in typed:
        mark, _, rest = text.partition(":")
        cells = [mark, *rest.split(",")]
        rows.append(("command line", f"--at {text!r}", [cell.strip() for cell in cells]))
    if not rows:
        raise InputError.of(_FIELD, "none", 'a file of readings, or --at "B1: 2 in, 2 1/2 in"')
    faults: list[Fault] = []
    read = [_reading(job, row, faults) for row in rows]
    marks = [reading.mark for reading in read if reading is not None]
    faults += [
        Fault("command line", _FIELD, mark, "one reading of each brace")
        for mark in sorted({mark for mark in marks if marks.count(mark) > 1})
    ]
    if faults:
        raise InputError(faults)
    return tuple(reading for reading in read if reading is not None)


def _from_file(path: Path) -> list[tuple[str, str, list[str]]]:
    source = read_source(path, kind="a file of readings, CSV,")
    name, lines = source.file, list(csv_lines(source))
    head = [cell.lower() for cell in lines[0][1]] if lines else []
    if head not in ([*_COLUMNS[:3]], [*_COLUMNS]):
        raise InputError.of(_FIRST, ", ".join(head) or "nothing", _WANTED, file=name)
    return [(name, f"line {number}", cells) for number, cells in lines[1:]]


def _reading(job: Job, row: tuple[str, str, list[str]], faults: list[Fault]) -> Reading | None:
    file, where, cells = row
    if len(cells) not in (3, 4):
        faults.append(
            Fault(file, where, ", ".join(cells), "a mark, an offset at the floor and one at the head")
        )
        return None
    marks = {brace.mark.lower(): brace for brace in job.braces}
    brace = marks.get(cells[0].lower())
    if brace is None:
        near = near_names(cells[0], [b.mark for b in job.braces]) or tuple(b.mark for b in job.braces)
        hint = f" (near: {', '.join(near)})" if near else "; the wall file has no [[brace]]"
        faults.append(Fault(file, where, cells[0] or "no mark", f"the mark of a brace{hint}"))
        return None
    before = len(faults)
    values = []
    for cell, what in zip(cells[1:], _COLUMNS[1:], strict=False):
        try:
            values.append(signed_length(cell, field=f"{where}, {what}"))
        except InputError as error:
            faults += [Fault(file, fault.field, fault.value, fault.expected) for fault in error.faults]
    if len(faults) > before:
        return None
    height = values[2] if len(values) > 2 else brace.head
    try:
        return Reading(brace.mark, brace.stud_at, height, values[0], values[1], brace.set_back, brace.head)
    except InputError:
        faults.append(Fault(file, where, ", ".join(cells), TOO_STEEP))
        return None
