"""Load charts and offset readings typed by the user, from CSV or one by one; every fault named by its line."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from bracing.errors import Fault, InputError, near_names
from bracing.job.job import Job
from bracing.lift.machine import MOST_ROWS, Chart, ChartRow
from bracing.lift.plumb import TOO_STEEP, LeanReading
from bracing.reading.source import SourceText, csv_lines, read_source, source_of
from bracing.units import INCHES_PER_FOOT, INCHES_PER_METRE, POUNDS_PER_NEWTON, Inch, length

_POUNDS_PER_KILOGRAM = 9.80665 * POUNDS_PER_NEWTON
_UNITS = {
    "reach_ft": ("reach", INCHES_PER_FOOT),
    "reach_m": ("reach", INCHES_PER_METRE),
    "height_ft": ("height", INCHES_PER_FOOT),
    "height_m": ("height", INCHES_PER_METRE),
    "capacity_lb": ("capacity", 1.0),
    "capacity_kg": ("capacity", _POUNDS_PER_KILOGRAM),
}
_COLUMNS = (
    "reach_ft or reach_m, capacity_lb or capacity_kg, and height_ft or height_m where the chart has heights"
)
_CHART = "load chart"
_FIRST = "line 1"
_MOST_COLUMNS = 20
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9}")


def read_chart(path: Path) -> Chart:
    """Read a load chart.

    Args:
        path: the CSV file.

    Returns:
        The chart.

    Raises:
        InputError: every fault of the file, each with its line.
    """
    return _chart_of(read_source(path, kind="a load chart, CSV,"))


def chart_from_text(text: str, *, name: str = "load chart") -> Chart:
    """Read a load chart from its text.

    Args:
        text: the CSV text.
        name: the file named in faults.

    Returns:
        The chart.

    Raises:
        InputError: every fault, each with its line.

    Example:
        >>> lines = ("reach_ft,capacity_lb", "10,6000", "20,2500")
        >>> chart_from_text(chr(10).join(lines)).rows[1].capacity
        2500.0
    """
    return _chart_of(source_of(text.encode("utf-8", "surrogatepass"), file=name, kind="a load chart, CSV,"))


def _chart_of(source: SourceText) -> Chart:
    name, lines = source.file, list(csv_lines(source))
    if not lines:
        raise InputError.of(_FIRST, "nothing", f"column names: {_COLUMNS}", file=name)
    columns = _columns(lines[0], name)
    if len(lines) - 1 > MOST_ROWS:
        raise InputError.of(_CHART, f"{len(lines) - 1} rows", f"at most {MOST_ROWS}", file=name)
    faults: list[Fault] = []
    rows = [_row(number, cells, columns, name=name, faults=faults) for number, cells in lines[1:]]
    good = [row for row in rows if row is not None]
    faults += _crossed(good, name)
    if not rows:
        faults.append(Fault(name, "line 2", "nothing", "at least one row of the chart"))
    if faults:
        raise InputError(sorted(faults, key=lambda fault: int(fault.field.split()[1].rstrip(","))))
    return Chart(tuple(good), name=name, sha256=source.sha256)


def _columns(line: tuple[int, list[str]], name: str) -> list[tuple[str, float]]:
    number, cells = line
    if len(cells) > _MOST_COLUMNS:
        where = f"line {number}"
        raise InputError.of(where, f"{len(cells)} columns", _COLUMNS, file=name)
    faults = []
    for cell in cells:
        if cell.lower() not in _UNITS:
            near = near_names(cell, _UNITS)
            hint = f" (near: {', '.join(near)})" if near else ""
            faults.append(Fault(name, f"line {number}", cell or "an empty column name", _COLUMNS + hint))
    columns = [_UNITS[cell.lower()] for cell in cells if cell.lower() in _UNITS]
    kinds = [kind for kind, _ in columns]
    if not faults:
        faults += [
            Fault(name, f"line {number}", f"no column of {kind}", _COLUMNS)
            for kind in ("reach", "capacity")
            if kind not in kinds
        ]
        faults += [
            Fault(name, f"line {number}", f"two columns of {kind}", f"one column of {kind}")
            for kind in sorted(set(kinds))
            if kinds.count(kind) > 1
        ]
    if faults:
        raise InputError(faults)
    return columns


def _row(
    number: int, cells: list[str], columns: list[tuple[str, float]], *, name: str, faults: list[Fault]
) -> ChartRow | None:
    where = f"line {number}"
    if len(cells) != len(columns):
        faults.append(Fault(name, where, f"{len(cells)} cells", f"{len(columns)} cells, as in the first row"))
        return None
    before = len(faults)
    values: dict[str, float] = {}
    for cell, (kind, unit) in zip(cells, columns, strict=True):
        value = float(cell) if _NUMBER.fullmatch(cell) else math.nan
        if not math.isfinite(value) or value < 0.0 or (kind == "capacity" and value == 0.0):
            wanted = "a number above 0" if kind == "capacity" else "a number, 0 or more"
            faults.append(Fault(name, f"{where}, {kind}", cell or "nothing", wanted))
        values[kind] = value * unit
    if len(faults) > before:
        return None
    return ChartRow(values["reach"], values.get("height"), values["capacity"], number)


def _crossed(rows: list[ChartRow], name: str) -> list[Fault]:
    """Find rows said twice, and capacities that rise with reach at one height: both are slips of typing."""
    faults = []
    seen: dict[tuple[float, float | None], ChartRow] = {}
    for row in rows:
        first = seen.setdefault((row.reach, row.height), row)
        if first is not row:
            faults.append(
                Fault(
                    name,
                    f"line {row.line}",
                    "a reach and height again",
                    f"each once; first on line {first.line}",
                )
            )
    by_height: dict[float | None, list[ChartRow]] = {}
    for row in seen.values():
        by_height.setdefault(row.height, []).append(row)
    for group in by_height.values():
        ordered = sorted(group, key=lambda row: row.reach)
        faults += [
            Fault(
                name,
                f"line {far.line}, capacity",
                f"{far.capacity:g} lb, more than nearer in on line {near.line}",
                f"at most {near.capacity:g} lb: capacity falls with reach; check the chart",
            )
            for near, far in pairwise(ordered)
            if far.capacity > near.capacity + 1e-9
        ]
    return faults


_READING_COLUMNS = ("mark", "floor", "head", "height")
_FIRST_READING = "line 1"
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


def read_offsets(job: Job, *, path: Path | None = None, typed: Sequence[str] = ()) -> tuple[LeanReading, ...]:
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
    if head not in ([*_READING_COLUMNS[:3]], [*_READING_COLUMNS]):
        raise InputError.of(_FIRST_READING, ", ".join(head) or "nothing", _WANTED, file=name)
    return [(name, f"line {number}", cells) for number, cells in lines[1:]]


def _reading(job: Job, row: tuple[str, str, list[str]], faults: list[Fault]) -> LeanReading | None:
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
    for cell, what in zip(cells[1:], _READING_COLUMNS[1:], strict=False):
        try:
            values.append(signed_length(cell, field=f"{where}, {what}"))
        except InputError as error:
            faults += [Fault(file, fault.field, fault.value, fault.expected) for fault in error.faults]
    if len(faults) > before:
        return None
    height = values[2] if len(values) > 2 else brace.head
    try:
        return LeanReading(
            brace.mark, brace.stud_at, height, values[0], values[1], brace.set_back, brace.head
        )
    except InputError:
        faults.append(Fault(file, where, ", ".join(cells), TOO_STEEP))
        return None
