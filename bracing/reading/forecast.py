"""A forecast as people have it: a CSV or JSON file, a table pasted as text, a page of one of the open forms.

    time [America/Chicago],gust [mph],thunderstorm
    2026-03-06 20:00,45,no

    {"time_zone": "America/Chicago", "unit": "mph", "hours": [{"time": "2026-03-06 20:00", "gust": 45}]}

What a file does not declare is said beside it: which column is which, the unit, the zone. A wind with no gust anywhere
is refused: a sustained speed taken for a gust halves the pressure. Beside a gust it is the sustained speed.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

from attrs import evolve, field, frozen

from bracing.errors import InputError, near_names, shown, visible, with_near
from bracing.reading.open_forms import is_open, open_form
from bracing.reading.pasted import (
    DATE_LABELS,
    TIME,
    WORDS,
    is_nothing,
    plain_label,
    plain_unit,
    read_table,
    says_storm,
    speeds_in,
    thunder_said,
    times_shown,
    units_in,
    when_in,
    wrong_zone,
    zone_words,
)
from bracing.reading.prose import is_prose, read_prose
from bracing.reading.source import MOST_BYTES, SourceText, csv_lines, json_of, read_source, source_of
from bracing.reading.values import Faults
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.storm.clock import Clock, refuse, this_century, zone_named
from bracing.storm.forecast import (
    GUST,
    MOST_ROWS,
    ONE_HOUR,
    SUSTAINED,
    Forecast,
    Hour,
    checked_speed,
    refuse_bare_wind,
)
from bracing.units import Mph

MOST_COLUMNS, MOST_LETTERS = 200, 80
WRONG = "\0wrong"  # in place of its cells: what a row has, and should have
REFUSED: Mph = -1.0  # a speed that was there and could not be read
PASTED = "-"  # the name of what is pasted into the command
STORM, WEATHER, WIND, DATE = "thunderstorm", "weather", "wind", "date"
NAMES: dict[str, tuple[str, ...]] = {
    TIME: ("time", "valid time", "date time", "datetime", "start", "start time", "hour"),
    GUST: ("gust", "gusts", "wind gust", "wind gusts", "gust speed", "peak gust"),
    SUSTAINED: ("sustained", "sustained wind", "sustained speed"),
    STORM: ("thunderstorm", "thunderstorms", "thunder", "storms"),
    WEATHER: ("weather", "conditions", "forecast", "condition", "description"),
    WIND: ("wind", "wind speed", "windspeed", "speed", "winds", "surface wind", "surface winds"),
    DATE: DATE_LABELS,
}
_UNIT_ENDS = {"mph": "mph", "kt": "kt", "kts": "kt", "kmh": "km/h", "kph": "km/h", "ms": "m/s", "mps": "m/s"}
_IN_BRACKETS = re.compile(r"(.*?)\s*[\[(](.+)[\])]")
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})")


@frozen
class Declared:
    """What is said beside a file about it.

    Attributes:
        columns: role (time, gust, sustained, thunderstorm, weather) to the column's name.
        unit: unit of its speeds.
        zone: zone of its times.
        storms: thunderstorms are in every row.
    """

    columns: Mapping[str, str] = field(factory=dict)
    unit: str | None = None
    zone: str | None = None
    storms: bool = False


@frozen
class _Column:
    name: str
    unit: str | None


def read_columns(text: str) -> dict[str, str]:
    """Read which column is which.

    Args:
        text: "time=valid, gust=WGST".

    Raises:
        InputError: not pairs of a known role and a name; a role or a name twice.

    Example:
        >>> read_columns("time=valid, gust=Peak Wind")
        {'time': 'valid', 'gust': 'Peak Wind'}
    """
    roles = (TIME, GUST, SUSTAINED, STORM, WEATHER)
    found: dict[str, str] = {}
    for piece in text.split(","):
        role, sign, name = (part.strip() for part in piece.partition("="))
        if role == WIND and name:
            refuse_bare_wind(name, "--columns", answers=(f"sustained={name}", f"gust={name}"))
        if not sign or not name or role not in roles:
            expected = f'pairs such as "time=valid, gust=peak", of: {", ".join(roles)}'
            refuse("--columns", piece.strip() or text, expected)
        if role in found or name in found.values():
            refuse("--columns", piece.strip(), "each of them once, each with a column of its own")
        found[role] = name
    return found


def read_forecast(path: str, clock: Clock, declared: Declared | None = None) -> Forecast:
    """Read a series.

    Args:
        path: a file: CSV, JSON, pasted text or a page of an open form; "-" is what is pasted in.
        clock: the clock of the place, its zone shows times that carry an offset.
        declared: what is said beside it.

    Returns:
        The forecast, its rows in order of time.

    Raises:
        InputError: every fault in it, each with its line.
    """
    kind = "a forecast, CSV, JSON or pasted text,"
    return forecast_of(_pasted_in() if path == PASTED else read_source(path, kind=kind), clock, declared)


def forecast_of(source: SourceText, clock: Clock, declared: Declared | None = None) -> Forecast:
    """Read the text of a series; see `read_forecast`.

    Args:
        source: the text.
        clock: the clock of the place.
        declared: what is said beside it.

    Raises:
        InputError: every fault in it.
    """
    told = declared or Declared()
    faults = Faults(source.file)
    if told.zone is not None:
        _check_zone(told.zone, faults)
        faults.raise_if_any()
    tree = json_of(source, expected="a JSON object with hours") if source.text.lstrip()[:1] in "{[" else None
    if is_open(tree):
        return _open_form(source, tree, clock, told, faults)
    if tree is None and is_prose(source):
        return _sentences(source, clock, told, faults)
    if tree is not None:
        found = _json_rows(source, tree, told, faults)
    else:
        found = (
            _csv_rows(source, told, faults) if _is_csv(source, told) else _pasted_rows(source, told, faults)
        )
    columns, told = found.columns, found.told
    _check_columns(found, faults)
    faults.raise_if_any()
    zone = clock.zone if told.zone is None else zone_named(told.zone)
    reader = _Rows(
        columns,
        told,
        Clock(clock.now, zone),
        faults,
        found.unit,
        _moments(found, Clock(clock.now, zone), faults),
    )
    read = [row for where, cells in found.rows if (row := reader.row(where, cells)) is not None]
    hours = _in_order(read, reader, faults)
    faults.raise_if_any()
    unused = [column.name for role, column in columns.items() if role.startswith("?")]
    notes = [visible(f"not used: {', '.join(unused)}")] if unused else []
    return Forecast(
        hours, source.file, (*notes, *found.notes, *reader.notes), zone, _understood(hours, reader.clock)
    )


def _pasted_in() -> SourceText:
    """Read what is pasted into the command, to the end of it."""
    return source_of(sys.stdin.buffer.read(MOST_BYTES + 1), file="pasted", kind="a forecast")


def _open_form(source: SourceText, tree: Any, clock: Clock, told: Declared, faults: Faults) -> Forecast:  # noqa: ANN401  (any JSON value)
    """Read a page of an open form: it says itself what is what."""
    for name, given in (("--columns", told.columns), ("--unit", told.unit)):
        if given:
            refuse(
                name,
                ", ".join(given) if isinstance(given, Mapping) else given,
                "nothing: this form says its own",
            )
    place = Clock(clock.now, clock.zone if told.zone is None else zone_named(told.zone))
    form = open_form(tree, place, faults)
    faults.raise_if_any()
    hours = tuple(evolve(hour, thunderstorm=hour.thunderstorm or told.storms) for hour in form.hours)
    told_back = _understood(hours, place)
    return Forecast(hours, source.file, form.notes, place.zone, told_back, form.made, local=True)


def _sentences(source: SourceText, clock: Clock, told: Declared, faults: Faults) -> Forecast:
    """Read a forecast in sentences: it has parts of days, and no columns."""
    if told.columns:
        refuse("--columns", ", ".join(told.columns), "nothing: these are sentences")
    place = Clock(clock.now, clock.zone if told.zone is None else zone_named(told.zone))
    hours, notes = read_prose(source, place, faults, unit=told.unit, storms=told.storms)
    return Forecast(hours, source.file, notes, place.zone, _understood(hours, place))


def _understood(hours: tuple[Hour, ...], clock: Clock) -> Said:
    """Say back what was read, in a line."""
    gusts, winds = (
        [
            Quantity(hour.given, Kind.ASKED)
            for hour in sorted(hours, key=lambda h: h.given)
            if hour.basis == basis
        ]
        for basis in (GUST, SUSTAINED)
    )
    what = [Said("read-gusts", count=len(gusts), speeds=_between(gusts))] if gusts else []
    if winds:
        factor = f"{shipped('wind')['sustained']['gust_over_hourly_mean']:g}"
        what.append(Said("read-winds", count=len(winds), factor=factor, speeds=_between(winds)))
    storms = sum(hour.thunderstorm for hour in hours)
    what += [Said("read-storms", count=storms)] if storms else []
    end = hours[-1].end or hours[-1].start
    zone = Said("read-own-clock") if clock.zone is None else str(clock.zone)
    return Said(
        "read-back",
        count=len(hours),
        start=clock.text(hours[0].start),
        end=clock.text(end),
        zone=zone,
        what=tuple(what),
    )


def _between(speeds: list[Quantity]) -> Quantity | Said:
    return speeds[0] if speeds[0] == speeds[-1] else Said("speeds-between", low=speeds[0], high=speeds[-1])


_RowsOfCells = Sequence[tuple[str, Mapping[str, Any]]]


@frozen
class _Found:
    """A series taken apart.

    Attributes:
        rows: where each stands, and its cells by name.
        columns: by what they are.
        told: what is said of it, beside it and in it.
        bare: its hours are plain numbers of the 24.
        unit: the one unit of speed named in it; None where there is none, or more than one.
        notes: what a reader should know.
    """

    rows: _RowsOfCells
    columns: dict[str, _Column]
    told: Declared
    bare: bool = False
    unit: str | None = None
    notes: tuple[str, ...] = ()


# -- rows ------------------------------------------------------------------------------------------------


def _is_csv(source: SourceText, told: Declared) -> bool:
    """Whether the first line names columns; of pasted text it does not, or with two blanks between them."""
    lines = source.text.splitlines()
    first = next((line for line in lines if line.strip()), "")[: MOST_COLUMNS * MOST_LETTERS]
    names = [plain_label(name) for name in first.split(_mark(first))]
    label, _, rest = first.partition("\t")
    if (
        plain_label(label) in (*NAMES[TIME], *DATE_LABELS)
        and rest
        and when_in(rest.split("\t")[0], bare=True)
    ):
        return False  # a table whose hours go across
    known = {_column(name[:MOST_LETTERS])[1] for name in first.split(_mark(first))} | set(names)
    return any(name in known for role in (TIME, GUST, SUSTAINED, WIND) for name in NAMES[role]) or any(
        wanted.lower() in first.lower() for wanted in told.columns.values() if _mark(first) in first
    )


def _mark(line: str) -> str:
    return max(",;\t", key=line.count)


def _csv_rows(source: SourceText, told: Declared, faults: Faults) -> _Found:
    first = source.text.split("\n", 1)[0]
    mark = _mark(first)
    lines = csv_lines(source, delimiter=mark)
    header = next(lines, (1, []))[1]
    columns = _roles(header, told, faults, where="line 1")
    rows: list[tuple[str, Mapping[str, Any]]] = []
    for number, cells in lines:
        where = f"line {number}"
        if number > MOST_ROWS:
            faults.add(where, "more rows", f"at most {MOST_ROWS} rows")
            break
        if len(cells) != len(header):
            rows.append((where, {WRONG: (mark.join(cells), f"{len(header)} cells, as in the first line")}))
            continue
        rows.append((where, dict(zip(header, cells, strict=True))))
    zone = columns[TIME].unit if TIME in columns else None
    if zone is not None and zone_words(zone) - {"utc", "gmt"}:
        zone = None  # an abbreviation is held against the clock, and names no place
    told = evolve(told, zone=_one_of("time zone", told.zone, zone, faults))
    return _Found(tuple(rows), columns, told, unit=_one_unit(rows, columns))


def _one_unit(rows: _RowsOfCells, columns: dict[str, _Column], *beside: str) -> str | None:
    """The one unit of speed that is named anywhere; None where there is none, or more than one."""
    roles = [role for role in (GUST, SUSTAINED, WIND, WORDS) if role in columns]
    named = {columns[role].unit for role in roles} - {None}
    cells = (cells.get(columns[role].name) for _, cells in rows for role in roles)
    named |= {unit for cell in cells if isinstance(cell, str) for unit in units_in(cell)}
    named |= {unit for line in beside for unit in units_in(line)}
    return next(iter(named)) if len(named) == 1 else None


def _pasted_rows(source: SourceText, told: Declared, faults: Faults) -> _Found:
    table = read_table(source, NAMES, faults)
    faults.raise_if_any()
    if not table.rows:
        expected = 'an hour to a line, such as "3 pm S 15 G 28 mph", or a table with its hours, its wind and its gusts'
        faults.add("file", source.text.strip().splitlines()[0], expected)
    faults.raise_if_any()
    if table.names == (TIME, WORDS):
        columns = {TIME: _Column(TIME, None), WORDS: _Column(WORDS, None)}
        for role, name in told.columns.items():
            if name.lower() == WIND and role in (GUST, SUSTAINED):
                columns[WIND] = _Column(WIND, None)
            else:
                faults.add("--columns", name, 'with an hour to a line only "sustained=wind" or "gust=wind"')
    else:
        columns = _roles(list(table.names), told, faults, where="line of hours")
    said = [line.strip() for _, line in table.beside]
    for number, line in table.beside:
        if speeds_in(line).gusts:
            faults.add(f"line {number}", line.strip(), "its hour before it: a line that begins with a time")
    storms = [line for line in said if says_storm(line) and WORDS in columns]
    notes = [f"for all of it: {'; '.join(storms)}"] if storms else []
    other = [line for line in said if line not in storms]
    notes += [f"not used: {'; '.join(other)}"] if other else []
    rows = list(table.rows)
    return _Found(
        tuple(rows), columns, evolve(told, storms=told.storms or bool(storms)), bare=table.bare,
        unit=_one_unit(rows, columns, *said), notes=tuple(visible(note)[:200] for note in notes),
    )  # fmt: skip


def _json_rows(source: SourceText, tree: Any, told: Declared, faults: Faults) -> _Found:  # noqa: ANN401  (any JSON value)
    table: Mapping[str, Any] = tree if isinstance(tree, dict) else {"hours": tree}
    hours = table.get("hours")
    if (
        not isinstance(hours, list)
        or not all(isinstance(row, dict) for row in hours)
        or len(hours) > MOST_ROWS
    ):
        expected = f'"hours": a list of at most {MOST_ROWS} objects, each with its time and gust'
        refuse("hours", shown(hours), expected, file=source.file)
    for key in table:
        if key not in ("hours", "time_zone", "unit"):
            near = near_names(key, ("hours", "time_zone", "unit"))
            faults.add(key, table[key], with_near("a known key", near))
    names = list(dict.fromkeys(name for row in hours for name in row))
    told = evolve(
        told,
        zone=_one_of("time_zone", told.zone, table.get("time_zone"), faults),
        unit=_one_of("unit", told.unit, table.get("unit"), faults),
    )
    rows = tuple((f"hours[{k}]", row) for k, row in enumerate(hours))
    columns = _roles(names, told, faults, where="hours")
    return _Found(rows, columns, told, unit=_one_unit(list(rows), columns))


def _one_of(name: str, beside: str | None, inside: Any, faults: Faults) -> Any:  # noqa: ANN401  (any JSON value)
    """What is said beside the file or in it; where both are and differ, a fault."""
    if beside is not None and inside is not None and beside != inside:
        faults.add(name, inside, f"the same as said beside the file, {beside}")
    return inside if beside is None else beside


def _roles(names: list[str], told: Declared, faults: Faults, *, where: str) -> dict[str, _Column]:
    """Find which column is which; a column nobody uses is kept under "?name"."""
    columns: dict[str, _Column] = {}
    if len(names) > MOST_COLUMNS or any(len(name) > MOST_LETTERS for name in names):
        expected = f"at most {MOST_COLUMNS} columns, each named in {MOST_LETTERS} letters"
        refuse(where, names[0][:MOST_LETTERS], expected, file=faults.file)
    for wanted in told.columns.values():
        if wanted not in names:
            near = near_names(wanted, names)
            faults.add(
                where, wanted, f"a column of the file; near: {', '.join(near) or ', '.join(names)[:60]}"
            )
    given = {name: role for role, name in told.columns.items()}
    for name in names:
        column, plain = _column(name)
        role = given.get(name) or next((r for r, known in NAMES.items() if plain in known), f"?{name}")
        if role in columns:
            faults.add(
                where, name, f"one column for {role}; {columns[role].name} is another: say which, --columns"
            )
        columns.setdefault(role, column)
    return columns


def _column(name: str) -> tuple[_Column, str]:
    """Take a header apart: its name and unit, and the name in plain letters."""
    match = _IN_BRACKETS.fullmatch(name.strip())
    plain, unit = (match[1], match[2].strip()) if match else (name, None)
    plain = plain.strip().lower().replace("_", " ").replace("-", " ")
    start, _, end = plain.rpartition(" ")
    if unit is None and start and end in _UNIT_ENDS:
        plain, unit = start, _UNIT_ENDS[end]
    return _Column(name, unit), plain


def _check_columns(found: _Found, faults: Faults) -> None:
    columns, told = found.columns, found.told
    if TIME not in columns:
        faults.add("columns", ", ".join(c.name for c in columns.values())[:80], 'a column "time"')
    speeds = [role for role in (GUST, SUSTAINED) if role in columns]
    if not speeds and (WIND in columns or WORDS in columns):
        if not told.columns and not _shows_gusts(found):
            _refuse_winds(found, faults)
    elif not speeds:
        faults.add(
            "columns", ", ".join(c.name for c in columns.values())[:80], 'a column "gust" or "sustained"'
        )
    for role in speeds:
        unit = columns[role].unit or told.unit
        if unit is not None:
            try:
                checked_speed(f"1 {unit}", "unit")
            except InputError:
                faults.add(columns[role].name, unit, "a unit of speed: mph, kt, km/h or m/s")
    if told.zone is not None:
        _check_zone(told.zone, faults)


def _check_zone(zone: Any, faults: Faults) -> None:  # noqa: ANN401  (any JSON value)
    try:
        zone_named(zone)
    except (InputError, AttributeError):
        faults.add("time zone", zone, "a place of the zone database, such as America/Chicago")


def _shows_gusts(found: _Found) -> bool:
    """Whether any cell of a wind, or of words, speaks of a gust: then what stands without one is the sustained wind."""
    names = [found.columns[role].name for role in (WIND, WORDS) if role in found.columns]
    cells = (cells.get(name) for _, cells in found.rows for name in names)
    return any(isinstance(cell, str) and speeds_in(cell).gusts for cell in cells)


def _refuse_winds(found: _Found, faults: Faults) -> None:
    listed = WORDS in found.columns
    cells = [(where, cells) for where, cells in found.rows if listed and speeds_in(cells[WORDS]).winds]
    if listed and not cells:
        faults.add(found.rows[0][0], found.rows[0][1][WORDS], 'a gust, such as "G 28 mph"')
        return
    name = WIND if listed else found.columns[WIND].name
    where = f"{cells[0][0]}, {cells[0][1][WORDS].strip()}" if listed else "columns"
    answers = f'--columns "sustained={name}"', f'--columns "gust={name}"'
    try:
        refuse_bare_wind(name, visible(where)[:80], answers=answers, file=faults.file)
    except InputError as error:
        faults.take(error.faults)


def _moments(found: _Found, clock: Clock, faults: Faults) -> dict[str, datetime | str]:
    """Date and time of the rows whose time is said, not written out; by where they stand, or what is expected there."""
    if TIME not in found.columns:
        return {}
    name, beside = found.columns[TIME].name, found.columns.get(DATE)
    said: dict[str, str] = {}
    for where, cells in found.rows:
        text = cells.get(name)
        if beside is not None and isinstance(text, str) and isinstance(cells.get(beside.name), str):
            text = f"{cells[beside.name]} {text}"
        if isinstance(text, str) and not _written_out(text):
            said[where] = text
    shown = times_shown(tuple(said.values()), clock, bare=found.bare)
    words = zone_words(name) | {word for text in said.values() for word in zone_words(text)}
    first = next((stamp for stamp in shown if isinstance(stamp, datetime)), None)
    wrong = None
    if first is not None:
        with suppress(InputError):  # a time the clock never shows: its row says so
            wrong = wrong_zone(words, first, clock)
    if wrong is not None:
        zone = "this computer's own clock" if clock.zone is None else str(clock.zone)
        expected = f"the times of {zone}; else the place of the forecast, such as --zone America/Chicago"
        faults.add(f"{next(iter(said))}, {name}", wrong, expected)
    return dict(zip(said, shown, strict=True))


def _written_out(text: str) -> bool:
    try:
        datetime.fromisoformat(text.strip())
    except ValueError:
        return False
    return True


# -- one row ---------------------------------------------------------------------------------------------


@frozen
class _Row:
    where: str
    shown: datetime | None  # as the place's clock shows it, where the row has no offset
    hour: Hour


@frozen(eq=False)
class _Rows:
    """Reads rows; a fault names its line and column."""

    columns: dict[str, _Column]
    told: Declared
    clock: Clock
    faults: Faults
    unit: str | None
    moments: Mapping[str, datetime | str]
    notes: list[str] = field(factory=list)

    def row(self, where: str, cells: Mapping[str, Any]) -> _Row | None:
        """Read one row; None where it is at fault.

        Args:
            where: its line.
            cells: by column name.
        """
        if WRONG in cells:
            self.faults.add(where, *cells[WRONG])
            return None
        speed, basis = self._speed(where, cells)
        moment = self._moment(where, cells)
        storm = self._storm(where, cells)
        if moment is None or speed is None or storm is None:
            return None
        start, clock_time = moment
        return _Row(where, clock_time, Hour(start, None, speed, basis, storm or self.told.storms))

    def _cell(self, role: str, cells: Mapping[str, Any]) -> Any:  # noqa: ANN401  (any JSON value)
        return cells.get(self.columns[role].name) if role in self.columns else None

    def _moment(self, where: str, cells: Mapping[str, Any]) -> tuple[datetime, datetime | None] | None:
        text, place = self._cell(TIME, cells), f"{where}, {self.columns[TIME].name}"
        if where in self.moments:
            found = self.moments[where]
            if isinstance(found, datetime):
                return self._placed(found, place, text)
            self.faults.add(place, text, found)
            return None
        date = self._cell(DATE, cells)
        try:
            stamp = datetime.fromisoformat(text.strip() if date is None else f"{date} {text}".strip())
        except (ValueError, AttributeError):
            self.faults.add(place, text, 'a date and time, such as "2026-03-06 20:00"')
            return None
        if stamp.tzinfo is None and self.told.zone is None:
            self.faults.add("time zone", "nothing", "the zone of its times, such as --zone America/Chicago")
            self.faults.raise_if_any()
        return self._placed(stamp, place, text)

    def _placed(self, stamp: datetime, place: str, text: object) -> tuple[datetime, datetime | None] | None:
        try:
            if stamp.tzinfo is not None:
                return this_century(stamp, place).astimezone(UTC), None
            return self.clock.at(stamp, field=place), stamp
        except InputError as error:
            self.faults.add(place, text, error.faults[0].expected)
        return None

    def _speed(self, where: str, cells: Mapping[str, Any]) -> tuple[Mph | None, str]:
        found: dict[str, list[Mph]] = {GUST: [], SUSTAINED: []}
        for role in (GUST, SUSTAINED, WIND, WORDS):
            if role == WIND and found[GUST] and not found[SUSTAINED] and self._plain(role, cells):
                continue  # the gust beside it counts
            for kind, value in self._speeds(where, cells, role):
                found[kind].append(value)
        gust, sustained = (max(found[kind], default=None) for kind in (GUST, SUSTAINED))
        if REFUSED in (*found[GUST], *found[SUSTAINED]):
            return None, GUST
        if gust is None and sustained is None:
            role = next(role for role in (GUST, SUSTAINED, WIND, WORDS) if role in self.columns)
            said = self._cell(WORDS, cells) or "nothing"
            self.faults.add(f"{where}, {self.columns[role].name}", said, "a speed; 0 where it is calm")
            return None, GUST
        if gust is not None and sustained is not None and gust < sustained:
            where = f"{where}, {self.columns[GUST].name}" if GUST in self.columns else where
            self.faults.add(where, f"{gust:g}", f"a gust no less than the sustained {sustained:g} beside it")
        return (gust, GUST) if gust is not None else (sustained, SUSTAINED)

    def _plain(self, role: str, cells: Mapping[str, Any]) -> bool:
        """Whether a cell is a plain number."""
        value = self._cell(role, cells)
        return not isinstance(value, str) or _NUMBER.fullmatch(value.strip()) is not None

    def _speeds(self, where: str, cells: Mapping[str, Any], role: str) -> list[tuple[str, Mph]]:
        """The speeds of one cell, each with what it is."""
        value = self._cell(role, cells)
        if value is None or (isinstance(value, str) and is_nothing(value) and value.strip() != "0"):
            return []
        kind = GUST if role == GUST or self.told.columns.get(GUST, "").lower() == WIND else SUSTAINED
        column = self.columns[role]
        place = f"{where}, {column.name}"
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if role != WORDS and (
            number or not isinstance(value, str) or _NUMBER.fullmatch(value.strip()) is not None
        ):
            return [(kind, self._one(value, None if number or isinstance(value, str) else "", column, place))]
        said = speeds_in(value)
        gusts = [(GUST, each) for each in said.gusts]
        found = gusts + [(kind, each) for each in said.winds if role != GUST or not gusts]
        if not found and role != WORDS:
            return [(kind, self._one(value, "", column, place))]
        return [(each, self._one(number, unit, column, place)) for each, (number, unit) in found]

    def _one(self, value: object, unit: str | None, column: _Column, place: str) -> Mph:
        """Read one speed; with a unit of its own, with that of its column or of the table, or, of "", as it is."""
        if unit is None:
            unit = plain_unit(column.unit) or self.told.unit or self.unit
            if unit is None:
                self.faults.add(
                    f"unit of {column.name}", "nothing", "mph, kt, km/h or m/s, such as --unit mph"
                )
                self.faults.raise_if_any()
        try:
            return checked_speed(f"{value} {unit}" if unit else value, place)
        except InputError as error:
            self.faults.add(place, value, error.faults[0].expected)
            return REFUSED

    def _storm(self, where: str, cells: Mapping[str, Any]) -> bool | None:
        words = [self._cell(role, cells) for role in (WEATHER, WORDS, WIND)]
        in_words = any(isinstance(each, str) and says_storm(each) for each in words)
        said = self._cell(STORM, cells)
        if said is None or isinstance(said, bool):
            return bool(said) or in_words
        found = thunder_said(str(said))
        if found is None:
            self.faults.add(
                f"{where}, {self.columns[STORM].name}", said, 'yes or no, "--", SChc, Chc, Lkly or Def'
            )
            return None
        return found or in_words


def _in_order(rows: list[_Row], reader: _Rows, faults: Faults) -> tuple[Hour, ...]:
    """Sort rows by time, each to run to the next; a time the clock shows twice is two rows of one height."""
    faults.raise_if_any()
    if not rows:
        faults.add("file", "no rows", "at least one row of the forecast")
        return ()
    at: dict[datetime, list[_Row]] = {}
    for row in rows:
        at.setdefault(row.hour.start, []).append(row)
    hours: list[Hour] = []
    for start, same in at.items():
        hour, clock_time = same[0].hour, same[0].shown
        if len(same) == 2 and clock_time is not None and reader.clock.twice(clock_time):
            hour = max((row.hour for row in same), key=lambda h: h.gust)
            hour = evolve(hour, thunderstorm=any(row.hour.thunderstorm for row in same))
            hours.append(evolve(hour, start=reader.clock.at(clock_time, later=True)))
        elif len(same) > 1:
            also = ", ".join(row.where for row in same[:-1])
            faults.add(same[-1].where, f"{start:%Y-%m-%d %H:%M} UTC", f"each time once; also at {also}")
        hours.append(hour)
    hours.sort(key=lambda hour: hour.start)
    step = hours[-1].start - hours[-2].start if len(hours) > 1 else ONE_HOUR
    ends = [*(hour.start for hour in hours[1:]), hours[-1].start + max(step, ONE_HOUR)]
    wide = max(end - hour.start for hour, end in zip(hours, ends, strict=True))
    if wide > ONE_HOUR:
        reader.notes.append(f"rows up to {wide} apart: between two rows the higher one may come at any time")
    return tuple(evolve(hour, end=end) for hour, end in zip(hours, ends, strict=True))
