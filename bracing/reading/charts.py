"""Load charts and offset readings typed by the user, from CSV or one by one; every fault named by its line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from attrs import frozen

from bracing.errors import Fault, InputError, near_names
from bracing.job.job import Job
from bracing.lift.machine import MOST_ROWS, Chart, ChartRow
from bracing.lift.plumb import TOO_STEEP, LeanReading
from bracing.reading.pasted import cells_of
from bracing.reading.source import SourceText, csv_lines, read_source, source_of
from bracing.units import INCHES_PER_FOOT, INCHES_PER_METRE, POUNDS_PER_NEWTON, Inch, length

_POUNDS_PER_KILOGRAM = 9.80665 * POUNDS_PER_NEWTON
_LENGTHS = {"ft": INCHES_PER_FOOT, "feet": INCHES_PER_FOOT, "foot": INCHES_PER_FOOT, "'": INCHES_PER_FOOT}
_LENGTHS |= {
    "m": INCHES_PER_METRE,
    "metre": INCHES_PER_METRE,
    "metres": INCHES_PER_METRE,
    "meter": INCHES_PER_METRE,
}
_LENGTHS |= {"meters": INCHES_PER_METRE}
_WEIGHTS = {
    "lb": 1.0,
    "lbs": 1.0,
    "pound": 1.0,
    "pounds": 1.0,
    "kg": _POUNDS_PER_KILOGRAM,
    "kgs": _POUNDS_PER_KILOGRAM,
}
REACH, HEIGHT, CAPACITY, BOOM, ANGLE = "reach", "height", "capacity", "boom length", "boom angle"
_NAMES = {  # headings as charts have them, their units apart
    REACH: (
        "reach", "radius", "load radius", "operating radius", "working radius", "lift radius", "horizontal reach",
        "forward reach", "distance",
    ),
    HEIGHT: ("height", "lift height", "hook height", "tip height", "boom tip height", "load height"),
    CAPACITY: (
        "capacity", "load capacity", "rated capacity", "lift capacity", "lifting capacity", "max capacity", "load",
        "maximum capacity", "gross capacity", "rated load", "max load", "maximum load",
    ),
    BOOM: ("boom", "boom length", "main boom length"),
    ANGLE: ("angle", "boom angle", "main boom angle"),
}  # fmt: skip
_UNITS_OF = {REACH: _LENGTHS, HEIGHT: _LENGTHS, CAPACITY: _WEIGHTS, BOOM: _LENGTHS, ANGLE: {}}
_SAYS = {REACH: "ft or m", HEIGHT: "ft or m", CAPACITY: "lb or kg"}
_COLUMNS = (
    'such as "radius (ft)", "capacity (lb)", and "height (ft)" where it has heights; units ft, m, lb or kg'
)
_CHART = "load chart"
_FIRST = "line 1"
_MOST_COLUMNS = 20
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9}")
_THOUSANDS = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]{1,9})?")
_WITH_UNIT = re.compile(r"(?P<number>[0-9.,]{1,12})\s?(?P<unit>[a-z']{1,6})\.?")


@frozen
class _Column:
    """A column of a chart: what it is, and how much its unit is; None where its cells say theirs."""

    kind: str
    unit: float | None


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
    name, lines = source.file, _lines(source)
    if not lines:
        raise InputError.of(_FIRST, "nothing", f"column names: {_COLUMNS}", file=name)
    columns = _columns(lines[0], name)
    if len(lines) - 1 > MOST_ROWS:
        raise InputError.of(_CHART, f"{len(lines) - 1} rows", f"at most {MOST_ROWS}", file=name)
    faults = _without_unit(lines, columns, name)
    if faults:
        raise InputError(faults)
    rows = [_row(number, cells, columns, name=name, faults=faults) for number, cells in lines[1:]]
    faults += _booms(lines[1:], columns, name)
    good = [row for row in rows if row is not None]
    faults += _crossed(good, name)
    if not rows:
        faults.append(Fault(name, "line 2", "nothing", "at least one row of the chart"))
    if faults:
        raise InputError(sorted(faults, key=lambda fault: int(fault.field.split()[1].rstrip(","))))
    aside = tuple(column.kind for column in columns if column.kind in (BOOM, ANGLE))
    return Chart(tuple(good), name=name, sha256=source.sha256, aside=aside)


def _lines(source: SourceText) -> list[tuple[int, list[str]]]:
    """Rows of cells; commas, tabs, semicolons, bars or two blanks stand between them."""
    first = next((line for line in source.text.splitlines() if line.strip()), "")
    mark = max(",;\t", key=first.count)
    if mark in first:
        return list(csv_lines(source, delimiter=mark))
    rows = enumerate(source.text.splitlines(), start=1)
    return [(number, cells_of(line)) for number, line in rows if line.strip()]


def _heading(cell: str) -> _Column | None:
    """What a heading is, and its unit: "Load radius (ft)", "capacity lbs", "reach_ft"; None of a heading not known."""
    words = re.sub(r"[\[\]()_.:]", " ", cell.lower()).split()
    for said in (words, words[:-1]):
        kind = next((kind for kind, names in _NAMES.items() if " ".join(said) in names), None)
        if kind is None:
            continue
        if kind == ANGLE:
            return _Column(kind, 1.0)
        unit = None if said is words else _UNITS_OF[kind].get(words[-1])
        return _Column(kind, unit) if said is words or unit is not None else None
    return _Column(ANGLE, 1.0) if " ".join(words[:-1]) in _NAMES[ANGLE] else None


def _columns(line: tuple[int, list[str]], name: str) -> list[_Column]:
    number, cells = line
    if len(cells) > _MOST_COLUMNS:
        where = f"line {number}"
        raise InputError.of(where, f"{len(cells)} columns", _COLUMNS, file=name)
    faults = []
    known = [heading for names in _NAMES.values() for heading in names]
    columns = []
    for cell in cells:
        column = _heading(cell)
        if column is None:
            near = near_names(cell, known)
            hint = f" (near: {', '.join(near)})" if near else ""
            faults.append(Fault(name, f"line {number}", cell or "an empty column name", _COLUMNS + hint))
        else:
            columns.append(column)
    kinds = [column.kind for column in columns]
    if not faults:
        faults += [
            Fault(name, f"line {number}", f"no column of {kind}", _COLUMNS)
            for kind in (REACH, CAPACITY)
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


def _without_unit(lines: list[tuple[int, list[str]]], columns: list[_Column], name: str) -> list[Fault]:
    """Headings without a unit over cells of which none has one either."""
    return [
        Fault(name, f"line {lines[0][0]}", lines[0][1][k], f"its unit, {_SAYS[column.kind]}, beside it")
        for k, column in enumerate(columns)
        if column.unit is None and column.kind in _SAYS
        and not any(_WITH_UNIT.fullmatch(cells[k].lower()) for _, cells in lines[1:] if len(cells) > k)
    ]  # fmt: skip


def _joined(cells: list[str], columns: list[_Column]) -> list[str]:
    """Put a capacity whose thousands a comma has parted together again: 10,6,000 under two headings."""
    at = next(k for k, column in enumerate(columns) if column.kind == CAPACITY)
    more = len(cells) - len(columns)
    pieces = cells[at : at + more + 1]
    if more > 0 and _THOUSANDS.fullmatch(",".join(pieces)):
        return [*cells[:at], ",".join(pieces), *cells[at + more + 1 :]]
    return cells


def _row(
    number: int, cells: list[str], columns: list[_Column], *, name: str, faults: list[Fault]
) -> ChartRow | None:
    where = f"line {number}"
    cells = _joined(cells, columns)
    if len(cells) != len(columns):
        faults.append(Fault(name, where, f"{len(cells)} cells", f"{len(columns)} cells, as in the first row"))
        return None
    before = len(faults)
    values: dict[str, float] = {}
    for cell, column in zip(cells, columns, strict=True):
        if column.kind in (BOOM, ANGLE):
            continue
        value = _value(cell, column)
        if value is None or value < 0.0 or (column.kind == CAPACITY and value == 0.0):
            wanted = "a number above 0" if column.kind == CAPACITY else "a number, 0 or more"
            if column.unit is None:
                wanted += f" with its unit, {_SAYS[column.kind]}, here or in the heading"
            faults.append(Fault(name, f"{where}, {column.kind}", cell or "nothing", wanted))
        else:
            values[column.kind] = value
    if len(faults) > before:
        return None
    return ChartRow(values[REACH], values.get(HEIGHT), values[CAPACITY], number)


def _value(cell: str, column: _Column) -> float | None:
    """A number in base units; None where it is none, or has no unit."""
    text, unit = cell.strip().lower(), column.unit
    said = _WITH_UNIT.fullmatch(text)
    if said and said["unit"] in _UNITS_OF[column.kind]:
        own = _UNITS_OF[column.kind][said["unit"]]
        if unit is not None and own != unit:
            return None  # the heading says another unit
        text, unit = said["number"], own
    if _THOUSANDS.fullmatch(text):
        text = text.replace(",", "")
    if unit is None or not _NUMBER.fullmatch(text):
        return None
    return float(text) * unit


def _booms(lines: list[tuple[int, list[str]]], columns: list[_Column], name: str) -> list[Fault]:
    """A chart of several boom lengths says several capacities at one radius: whose is asked, nobody said."""
    at = next((k for k, column in enumerate(columns) if column.kind == BOOM), None)
    if at is None:
        return []
    rows = ((number, _joined(cells, columns)) for number, cells in lines)
    said = [(number, cells[at]) for number, cells in rows if len(cells) == len(columns)]
    other = next(((number, cell) for number, cell in said if cell != said[0][1]), None)
    if other is None:
        return []
    where = f"line {other[0]}, {BOOM}"
    return [
        Fault(name, where, other[1] or "nothing", f"the rows of one boom length alone, such as {said[0][1]}")
    ]


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
            faults += error.in_file(file).faults
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
