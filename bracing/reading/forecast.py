"""A forecast's series from a CSV or JSON file whose columns, units, zone and kind of wind are declared.

    time [America/Chicago],gust [mph],thunderstorm
    2026-03-06 20:00,45,no

    {"time_zone": "America/Chicago", "unit": "mph", "hours": [{"time": "2026-03-06 20:00", "gust": 45}]}

What a file does not declare is said beside it: which column is which, the unit, the zone. A column that is
only "wind" is refused: a sustained speed taken for a gust halves the pressure.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from typing import Any

from attrs import evolve, field, frozen

from bracing.errors import InputError, near_names, shown, visible, with_near
from bracing.reading.source import SourceText, csv_lines, json_of, read_source
from bracing.reading.values import Faults
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
REFUSED: Mph = -1.0  # a speed that was there and could not be read
TIME, STORM, WEATHER, WIND = "time", "thunderstorm", "weather", "wind"
NAMES: dict[str, tuple[str, ...]] = {
    TIME: ("time", "valid time", "date time", "datetime", "start", "start time", "hour"),
    GUST: ("gust", "gusts", "wind gust", "wind gusts", "gust speed"),
    SUSTAINED: ("sustained", "sustained wind", "sustained speed"),
    STORM: ("thunderstorm", "thunderstorms", "thunder", "storms"),
    WEATHER: ("weather", "conditions", "forecast"),
    WIND: ("wind", "wind speed", "windspeed", "speed", "winds"),
}
_UNIT_ENDS = {"mph": "mph", "kt": "kt", "kts": "kt", "kmh": "km/h", "kph": "km/h", "ms": "m/s", "mps": "m/s"}
_YES, _NO = ("yes", "true", "y", "1"), ("no", "false", "n", "0", "")
_IN_BRACKETS = re.compile(r"(.*?)\s*[\[(](.+)[\])]")
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})")
_STORM_WORDS = ("thunder", "tstm", "t-storm", "tstorm", "squall", "downburst", "microburst")


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
        path: a CSV or JSON file.
        clock: the clock of the place, its zone shows times that carry an offset.
        declared: what is said beside it.

    Returns:
        The forecast, its rows in order of time.

    Raises:
        InputError: every fault in it, each with its line.
    """
    source = read_source(path, kind="a forecast, CSV or JSON,")
    told = declared or Declared()
    faults = Faults(source.file)
    rows, columns, told = (_json_rows if _is_json(source) else _csv_rows)(source, told, faults)
    _check_columns(columns, told, faults)
    faults.raise_if_any()
    zone = clock.zone if told.zone is None else zone_named(told.zone)
    reader = _Rows(columns, told, Clock(clock.now, zone), faults)
    read = [row for where, cells in rows if (row := reader.row(where, cells)) is not None]
    hours = _in_order(read, reader, faults)
    faults.raise_if_any()
    unused = [column.name for role, column in columns.items() if role.startswith("?")]
    notes = [visible(f"not used: {', '.join(unused)}")] if unused else []
    return Forecast(hours, source.file, (*notes, *reader.notes), reader.clock.zone)


def _is_json(source: SourceText) -> bool:
    return source.text.lstrip()[:1] in "{["


_Found = tuple[Iterator[tuple[str, Mapping[str, Any]]], dict[str, _Column], Declared]


# -- rows ------------------------------------------------------------------------------------------------


def _csv_rows(source: SourceText, told: Declared, faults: Faults) -> _Found:
    first = source.text.split("\n", 1)[0]
    mark = max(",;\t", key=first.count)
    lines = csv_lines(source, delimiter=mark)
    header = next(lines, (1, []))[1]
    columns = _roles(header, told, faults, where="line 1")

    def rows() -> Iterator[tuple[str, Mapping[str, Any]]]:
        for number, cells in lines:
            where = f"line {number}"
            if number > MOST_ROWS:
                faults.add(where, "more rows", f"at most {MOST_ROWS} rows")
                return
            if len(cells) != len(header):
                faults.add(where, mark.join(cells), f"{len(header)} cells, as in the first line")
                continue
            yield where, dict(zip(header, cells, strict=True))

    zone = columns[TIME].unit if TIME in columns else None
    return rows(), columns, evolve(told, zone=_one_of("time zone", told.zone, zone, faults))


def _json_rows(source: SourceText, told: Declared, faults: Faults) -> _Found:
    tree = json_of(source, expected="a JSON object with hours")
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
    return (
        ((f"hours[{k}]", row) for k, row in enumerate(hours)),
        _roles(names, told, faults, where="hours"),
        told,
    )


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


def _check_columns(columns: dict[str, _Column], told: Declared, faults: Faults) -> None:
    if TIME not in columns:
        faults.add("columns", ", ".join(c.name for c in columns.values())[:80], 'a column "time"')
    speeds = [role for role in (GUST, SUSTAINED) if role in columns]
    if not speeds and WIND in columns:
        name = columns[WIND].name
        answers = f'--columns "sustained={name}"', f'--columns "gust={name}"'
        try:
            refuse_bare_wind(name, "columns", answers=answers, file=faults.file)
        except InputError as error:
            faults.take(error.faults)
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
        try:
            zone_named(told.zone)
        except (InputError, AttributeError):
            faults.add("time zone", told.zone, "a place of the zone database, such as America/Chicago")


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
    notes: list[str] = field(factory=list)

    def row(self, where: str, cells: Mapping[str, Any]) -> _Row | None:
        """Read one row; None where it is at fault.

        Args:
            where: its line.
            cells: by column name.
        """
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
        try:
            stamp = datetime.fromisoformat(text.strip())
        except (ValueError, AttributeError):
            self.faults.add(place, text, 'a date and time, such as "2026-03-06 20:00"')
            return None
        if stamp.tzinfo is None and self.told.zone is None:
            self.faults.add("time zone", "nothing", "the zone of its times, such as --zone America/Chicago")
            self.faults.raise_if_any()
        try:
            if stamp.tzinfo is not None:
                return this_century(stamp, place).astimezone(UTC), None
            return self.clock.at(stamp, field=place), stamp
        except InputError as error:
            self.faults.add(place, text, error.faults[0].expected)
        return None

    def _speed(self, where: str, cells: Mapping[str, Any]) -> tuple[Mph | None, str]:
        gust, sustained = (self._one_speed(where, cells, role) for role in (GUST, SUSTAINED))
        if REFUSED in (gust, sustained):
            return None, GUST
        if gust is None and sustained is None:
            role = GUST if GUST in self.columns else SUSTAINED
            self.faults.add(f"{where}, {self.columns[role].name}", "nothing", "a speed; 0 where it is calm")
            return None, GUST
        if gust is not None and sustained is not None and gust < sustained:
            where = f"{where}, {self.columns[GUST].name}"
            self.faults.add(where, f"{gust:g}", f"a gust no less than the sustained {sustained:g} beside it")
        return (gust, GUST) if gust is not None else (sustained, SUSTAINED)

    def _one_speed(self, where: str, cells: Mapping[str, Any], role: str) -> Mph | None:
        value = self._cell(role, cells)
        if value is None or value == "":
            return None
        column = self.columns[role]
        unit, place = column.unit or self.told.unit, f"{where}, {column.name}"
        number = isinstance(value, int | float) and not isinstance(value, bool)
        bare = number or (isinstance(value, str) and _NUMBER.fullmatch(value.strip()) is not None)
        if bare and unit is None:
            self.faults.add(f"unit of {column.name}", "nothing", "mph, kt, km/h or m/s, such as --unit mph")
            self.faults.raise_if_any()
        try:
            return checked_speed(f"{value} {unit}" if bare else value, place)
        except InputError as error:
            self.faults.add(place, value, error.faults[0].expected)
            return REFUSED

    def _storm(self, where: str, cells: Mapping[str, Any]) -> bool | None:
        weather, said = self._cell(WEATHER, cells), self._cell(STORM, cells)
        in_words = isinstance(weather, str) and any(word in weather.lower() for word in _STORM_WORDS)
        if said is None or isinstance(said, bool):
            return bool(said) or in_words
        word = str(said).strip().lower()
        if word not in (*_YES, *_NO):
            self.faults.add(f"{where}, {self.columns[STORM].name}", said, "yes or no")
            return None
        return word in _YES or in_words


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
