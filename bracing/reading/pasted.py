"""A forecast as it is pasted: an hour to a line, or a table with its hours down or across, in people's words.

    Fri  3 pm   S 15 G 28 mph   Chance T-storms

What is taken apart here stays text; `reading/forecast` makes speeds and moments of it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from attrs import field, frozen

from bracing.errors import InputError, visible
from bracing.reading.source import SourceText
from bracing.reading.values import Faults
from bracing.sources import shipped
from bracing.storm.clock import JUST_PASSED, MONTHS, Clock, days_away
from bracing.storm.forecast import MOST_ROWS
from bracing.units import Second

TIME, WORDS = "time", "words"
DATE_LABELS = ("date", "day")
MOST_CELLS = 400
MOST_LINE = 2000
MOST_LABEL = 200
LONGEST_STEP = timedelta(hours=12)
NEAREST_YEAR = timedelta(days=183)
NOON = 12

# -- speeds ----------------------------------------------------------------------------------------------

_N = r"(?<![0-9.])[0-9]{1,3}(?:\.[0-9]{1,3})?(?![0-9])"
_SPAN = rf"(?P<low>{_N})(?:\s{{0,3}}(?:-|–|to|and)\s{{0,3}}(?P<high>{_N}))?(?!\s?(?:[%°]|deg))"
_UNIT = r"(?P<unit>mph|mi/h|knots?|kts?(?![a-z])|kn(?![a-z])|km/?h|kph|m/s|mps)"
_POINTS = "nnw|nne|nw|ne|n|sse|ssw|se|sw|s|ene|ese|e|wnw|wsw|w|vrb|variable"
_NAMED = "(?:north|south)(?:east|west)?|east|west"
_FILL = r"(?:\s{0,3}(?:to|up|of|as|high|near|around|about|at|from|between|winds?|:|=))*"
_GUST = re.compile(rf"(?<![a-z])g(?:usts?|usting|sts?)?{_FILL}\s{{0,3}}{_SPAN}\s{{0,3}}{_UNIT}?")
_GUST_AFTER = re.compile(rf"{_SPAN}\s{{0,3}}{_UNIT}?\s{{0,3}}gusts?(?![a-z])")
_WIND = re.compile(
    rf"(?<![a-z])(?:{_POINTS}|{_NAMED}|winds?)(?![a-z]){_FILL}\s{{0,3}}{_SPAN}\s{{0,3}}{_UNIT}?"
)
_BESIDE = re.compile(rf"{_SPAN}\s{{0,3}}{_UNIT}")
_CALM = re.compile(r"(?<![a-z])calm(?![a-z])")
_CODED = re.compile(
    r"(?<![a-z0-9])(?:[0-9]{3}|vrb)(?P<low>[0-9]{2,3})(?:g(?P<high>[0-9]{2,3}))?(?P<unit>kts?)(?![a-z])"
)
_ANY_UNIT = re.compile(rf"(?<![a-z]){_UNIT}(?![a-z])")
_UNITS = {
    "mi/h": "mph",
    "knot": "kt",
    "knots": "kt",
    "kts": "kt",
    "kn": "kt",
    "kmh": "km/h",
    "kph": "km/h",
    "mps": "m/s",
}


@frozen
class Speeds:
    """The speeds in some words, each as written with its unit, None where it has none.

    Attributes:
        gusts: what is called a gust.
        winds: what is not.
    """

    gusts: tuple[tuple[str, str | None], ...] = ()
    winds: tuple[tuple[str, str | None], ...] = ()


def speeds_in(text: str) -> Speeds:
    """Find the speeds in some words; of "10 to 20" the higher.

    Args:
        text: the words.

    Example:
        >>> speeds_in("S 15 G 28 mph")
        Speeds(gusts=(('28', 'mph'),), winds=(('15', None),))
        >>> speeds_in("South wind 10 to 20 mph, with gusts as high as 45 mph").gusts
        (('45', 'mph'),)
    """
    left = text.lower()[:MOST_LINE]
    gusts: list[tuple[str, str | None]] = []
    winds: list[tuple[str, str | None]] = []
    for coded in _CODED.finditer(left):
        winds.append((coded["low"], "kt"))
        gusts += [(coded["high"], "kt")] if coded["high"] else []
    left = _CODED.sub(" ", left)
    pattern = _GUST if _GUST.search(left) else _GUST_AFTER
    gusts += [_upper(found) for found in pattern.finditer(left)]
    left = pattern.sub(" ", left)
    for pattern in (_WIND, _BESIDE):
        winds += [_upper(found) for found in pattern.finditer(left)]
        left = pattern.sub(" ", left)
    if _CALM.search(left):
        winds.append(("0", "mph"))
    return Speeds(tuple(gusts), tuple(winds))


def _upper(found: re.Match[str]) -> tuple[str, str | None]:
    higher = max(found["low"], found["high"] or found["low"], key=float)
    return higher, plain_unit(found["unit"])


def plain_unit(unit: str | None) -> str | None:
    """Give a unit of speed as the rest of the program writes it.

    Args:
        unit: as written; None where there is none.
    """
    return None if unit is None else _UNITS.get(unit, unit)


def units_in(text: str) -> set[str]:
    """Give the units of speed named in some words.

    Args:
        text: the words.

    Example:
        >>> units_in("Wind in knots")
        {'kt'}
    """
    return {
        _UNITS.get(found["unit"], found["unit"]) for found in _ANY_UNIT.finditer(text.lower()[:MOST_LINE])
    }


def is_nothing(text: str) -> bool:
    """Whether a cell says that there is nothing: "--".

    Args:
        text: the cell.
    """
    return text.strip().lower() in shipped("forecast")["thunder"]["none"]


def says_storm(text: str) -> bool:
    """Whether the words beside an hour speak of a thunderstorm, however small its chance.

    Args:
        text: the words.

    Example:
        >>> says_storm("Slight Chance T-storms"), says_storm("Chance Rain Showers")
        (True, False)
    """
    return any(word in text.lower() for word in shipped("forecast")["storm_words"]["words"])


def thunder_said(text: str) -> bool | None:
    """Read a cell under Thunder; None where it is neither.

    Args:
        text: the cell.

    Example:
        >>> thunder_said("SChc"), thunder_said("--"), thunder_said("perhaps")
        (True, False, None)
    """
    word = " ".join(text.lower().split())
    if is_nothing(word):
        return False
    percent = re.fullmatch(r"([0-9]{1,3}) ?%", word)
    if percent:
        return int(percent[1]) > 0
    return True if word in shipped("forecast")["thunder"]["some"] or says_storm(word) else None


# -- times -----------------------------------------------------------------------------------------------

_DAY_NAME = (
    r"today|tonight|tomorrow|mon(?:day)?|tue(?:s|sday)?|wed(?:s|nesday)?|thu(?:r|rs|rsday)?|fri(?:day)?|sat(?:urday)?"
    r"|sun(?:day)?"
)
_MONTH = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"
_DATE = (
    r"(?P<iso>[0-9]{4}-[0-9]{2}-[0-9]{2})|(?P<m>[0-9]{1,2})/(?P<d>[0-9]{1,2})(?:/(?P<y>[0-9]{4}|[0-9]{2}))?(?![0-9/])"
    rf"|(?P<month>{_MONTH})[a-z]{{0,6}}\.?\s{{1,3}}(?P<md>[0-9]{{1,2}})(?:st|nd|rd|th)?(?![0-9:]|\s?[ap]m)"
    r"(?:,?\s{1,3}(?P<my>[0-9]{4})(?![0-9:]))?"
)
_CLOCK = (
    r"(?P<word>noon|midnight)(?![a-z])"
    r"|(?P<hour>[0-9]{1,2})(?:[:.](?P<minute>[0-9]{2}))?\s{0,2}(?P<half>[ap])(?:\.?\s?m\b\.?|(?![a-z]))"
    r"|(?P<h24>[0-9]{1,2}):(?P<m24>[0-9]{2})(?::[0-9]{2})?(?![0-9])"
    r"|(?P<h4>[0-9]{2})(?P<m4>[0-9]{2})\s{0,2}(?:hrs?|h)(?![a-z])"
    r"|(?P<hh>[0-9]{1,2})\s?h(?![a-z])"
)
_ZONES = {
    "est": (-5,), "edt": (-4,), "et": (-5, -4), "cst": (-6,), "cdt": (-5,), "ct": (-6, -5), "mst": (-7,), "mdt": (-6,),
    "mt": (-7, -6), "pst": (-8,), "pdt": (-7,), "pt": (-8, -7), "akst": (-9,), "akdt": (-8,), "hst": (-10,),
    "utc": (0,), "gmt": (0,),
}  # fmt: skip
_ZONE = re.compile(rf"(?<![a-z])(?P<zone>{'|'.join(_ZONES)})(?![a-z])")
_UNNAMED = re.sub(r"\?P<\w+>", "?:", _CLOCK)
_WHEN = re.compile(
    rf"\s*(?:(?P<name>{_DAY_NAME})(?![a-z])[.,]?\s*)?(?:(?:{_DATE})[.,]?\s*)?(?:at\s+)?"
    rf"(?P<clock>{_CLOCK})?(?:\s{{0,2}}(?:{'|'.join(_ZONES)})(?![a-z]))?(?P<to>\s{{0,3}}(?:-|–|to|until)\s{{0,3}}(?:{_UNNAMED}))?"
    r"\s*[:,;|-]?\s*"
)
AM_OR_PM = 'an hour of the day, such as "3 pm" or "15:00"'


@frozen
class When:
    """A time as written in a table.

    Attributes:
        text: as written.
        name: the day it names, "fri" or "tonight"; None without one.
        date: month, day and year it names, the year None where it is left out; None without one.
        time: into the day [s]; None where it names a day alone.
        rest: what stands behind it.
    """

    text: str
    name: str | None
    date: tuple[int, int, int | None] | None
    time: Second | None
    rest: str = ""


def when_in(text: str, *, bare: bool = False) -> When | None:
    """Read the time a line or a cell begins with; None where it begins with none, or with one that may be two.

    Args:
        text: the line.
        bare: an hour may stand as a plain number of the 24.

    Example:
        >>> when = when_in("Fri 3 pm  S 15 G 28")
        >>> when.name, when.time, when.rest
        ('fri', 54000.0, 'S 15 G 28')
    """
    line = text[:MOST_LINE]
    if bare and re.fullmatch(r"[0-9]{1,2}", line.strip(), re.ASCII) and int(line) < 2 * NOON:
        return When(line.strip(), None, None, int(line) * 3600.0)
    found = _WHEN.match(line.lower())
    if found is None or not (found["name"] or found["clock"] or _dated(found)):
        return None
    name = found["name"]
    if bare and found["clock"] is None:
        plain = when_in(line[found.end() :], bare=True)
        return None if plain is None else When(line.strip(), name, _dated(found), plain.time)
    time = None if found["clock"] is None else _seconds(found)
    if found["clock"] is not None and (
        time is None or (found["word"] == "midnight" and (name or _dated(found)))
    ):
        return None  # of a day: its beginning or its end?
    end = found.end()
    return When(line[:end].strip(" \t:,;|-"), name, _dated(found), time, line[end:].strip())


def _dated(found: re.Match[str]) -> tuple[int, int, int | None] | None:
    if found["iso"]:
        year, month, day = map(int, found["iso"].split("-"))
        return month, day, year
    if found["m"]:
        years = found["y"]
        return (
            int(found["m"]),
            int(found["d"]),
            None if years is None else int(years) + (2000 if len(years) == 2 else 0),
        )
    if found["month"]:
        month = [name.lower() for name in MONTHS].index(found["month"]) + 1
        return month, int(found["md"]), int(found["my"]) if found["my"] else None
    return None


def _seconds(found: re.Match[str]) -> Second | None:
    if found["word"]:
        return (NOON if found["word"] == "noon" else 0) * 3600.0
    if found["half"]:
        hour, minute = int(found["hour"]), int(found["minute"] or 0)
        if not 1 <= hour <= NOON or minute > 59:
            return None
        return (hour % NOON + (NOON if found["half"] == "p" else 0)) * 3600.0 + minute * 60.0
    for hours, minutes in (("h24", "m24"), ("h4", "m4"), ("hh", "")):
        if found[hours]:
            hour, minute = int(found[hours]), int(found[minutes]) if minutes else 0
            sure = len(found[hours]) == 2  # "8:00" may be morning or evening
            return hour * 3600.0 + minute * 60.0 if sure and hour < 2 * NOON and minute < 60 else None
    return None


def zone_words(text: str) -> set[str]:
    """Give the abbreviations of zones in some words.

    Args:
        text: the words.

    Example:
        >>> zone_words("Hour (CST)")
        {'cst'}
    """
    return {found["zone"] for found in _ZONE.finditer(text.lower()[:MOST_LINE])}


def wrong_zone(words: set[str], shown: datetime, clock: Clock) -> str | None:
    """Give the abbreviation that is not the clock's, as it stands at a time; None where each is.

    Args:
        words: the abbreviations.
        shown: date and time on the clock.
        clock: the clock of the place.
    """
    ahead = clock.local(clock.at(shown)).utcoffset() or timedelta()
    return next(
        (word.upper() for word in sorted(words) if ahead / timedelta(hours=1) not in _ZONES[word]), None
    )


def times_shown(cells: Sequence[str], clock: Clock, *, bare: bool = False) -> list[datetime | str]:
    """Find date and time of each row: where a row names no day, it is the next time the clock shows its hour.

    Args:
        cells: what is written in each.
        clock: the clock of the place.
        bare: an hour may stand as a plain number of the 24.

    Returns:
        As the clock shows it; of a row at fault what is expected there.
    """
    now = clock.local(clock.now).replace(tzinfo=None, fold=0)
    shown: list[datetime | str] = []
    last: datetime | None = None
    for text in cells:
        when = when_in(text, bare=bare)
        if when is None or when.time is None or when.rest:
            shown.append(f'{AM_OR_PM}, or a date and time, such as "2026-03-06 20:00"')
            continue
        found, why = _shown(when, when.time, now, last, clock)
        shown.append(why if found is None else found)
        last = found or last
    return shown


def _shown(
    when: When, time: Second, now: datetime, last: datetime | None, clock: Clock
) -> tuple[datetime | None, str]:
    """Date and time of one row; or why there is none."""
    today = now.replace(hour=0, minute=0, second=0, microsecond=0)
    if when.name is not None or when.date is not None:
        day, why = _day_of(when, time, today)
        return (None, why) if day is None else (day + timedelta(seconds=time), "")
    if last is None:
        first = today + timedelta(seconds=time)
        if now - first > JUST_PASSED:
            return None, f'its day too, such as "today" or "Sat": it is {clock.text(clock.now)} now'
        return first, ""
    found = last.replace(hour=0, minute=0, second=0) + timedelta(seconds=time)
    if found < last or (found == last and not _twice(clock, found)):
        found += timedelta(days=1)
    if found - last > LONGEST_STEP:
        return None, "its day too: it does not come after the row above it"
    return found, ""


def _twice(clock: Clock, shown: datetime) -> bool:
    try:
        return clock.twice(shown)
    except InputError:
        return False


def _day_of(when: When, time: Second, today: datetime) -> tuple[datetime | None, str]:
    away = None if when.name is None else days_away(when.name, time, today.weekday())
    if when.date is None:
        return (None, AM_OR_PM) if away is None else (today + timedelta(days=away), "")
    month, day, year = when.date
    tried = []
    for each in (year,) if year is not None else (today.year - 1, today.year, today.year + 1):
        try:
            tried.append(datetime(each, month, day))
        except ValueError:
            continue
    if not tried:
        return None, "a date of the calendar, month first"
    found = min(tried, key=lambda one: abs(one - today))
    named = away is not None and when.name not in ("today", "tonight", "tomorrow")
    if year is None and abs(found - today) > NEAREST_YEAR:
        return None, "its year too"
    if named and (today + timedelta(days=away or 0)).weekday() != found.weekday():
        return None, f"the day of that date: {found:%Y-%m-%d} is a {found:%A}"
    return found, ""


# -- tables ----------------------------------------------------------------------------------------------


@frozen
class Table:
    """A pasted forecast as rows of cells.

    Attributes:
        names: of its columns; of an hour to a line "time" and "words".
        rows: where each stands, and its cells by name.
        bare: its hours are plain numbers of the 24.
        beside: lines that belong to no hour.
    """

    names: tuple[str, ...]
    rows: tuple[tuple[str, Mapping[str, str]], ...]
    bare: bool = False
    beside: tuple[tuple[int, str], ...] = field(default=())


def cells_of(line: str) -> list[str]:
    """Part a line into cells: by tabs, by bars, or by two blanks.

    Args:
        line: the line.

    Example:
        >>> cells_of("3 pm   S 15 mph   28 mph")
        ['3 pm', 'S 15 mph', '28 mph']
    """
    if "\t" in line:
        return [cell.strip() for cell in line.rstrip("\n").split("\t")]
    if "|" in line:
        return [cell.strip() for cell in line.strip().strip("|").split("|")]
    return re.split(r"\s{2,}", line.strip())


def read_table(source: SourceText, known: dict[str, tuple[str, ...]], faults: Faults) -> Table:
    """Take a pasted forecast apart.

    Args:
        source: its text.
        known: plain names of columns, by what they are.
        faults: takes each line that fits nowhere.
    """
    lines = [(number, line) for number, line in enumerate(source.text.splitlines(), start=1) if line.strip()]
    if len(lines) > MOST_ROWS:
        faults.add("file", f"{len(lines)} lines", f"at most {MOST_ROWS} lines of a forecast")
    endless = next((number for number, line in lines if len(line) > MOST_LINE * 4), None)
    if endless is not None:
        faults.add(f"line {endless}", "a line without an end", f"at most {MOST_LINE * 4} letters in a line")
    faults.raise_if_any()
    hours = [k for k, (_, line) in enumerate(lines) if _hours_across(line, known)]
    if hours:
        return _across(lines, hours, known, faults)
    head = next((k for k, (_, line) in enumerate(lines) if _is_head(cells_of(line), known)), None)
    return _listed(lines) if head is None else _down(lines, head, faults)


def plain_label(text: str) -> str:
    """Give a heading in plain letters, without what stands in brackets.

    Args:
        text: the heading.

    Example:
        >>> plain_label("Surface Wind (mph)")
        'surface wind'
    """
    return " ".join(
        re.sub(r"[\[(][^\])]*[\])]|[:*]", " ", text[:MOST_LABEL])
        .replace("_", " ")
        .replace("-", " ")
        .lower()
        .split()
    )


def _is_head(cells: list[str], known: dict[str, tuple[str, ...]]) -> bool:
    """Whether a line is the heads of columns: a time, and something else that is known."""
    roles = {role for cell in cells for role, names in known.items() if plain_label(cell) in names}
    return len(cells) > 1 and TIME in roles and len(roles) > 1


def _label_and_cells(line: str) -> tuple[str, list[str]]:
    """Part a line of a table whose hours go across; one blank between cells is enough."""
    cells = cells_of(line)
    if len(cells) > 1:
        return cells[0], cells[1:]
    words = line.split()
    first = next((k for k, word in enumerate(words) if k and _is_value(word)), len(words))
    return " ".join(words[:first]), words[first:]


def _is_value(word: str) -> bool:
    """Whether a word is a value under an hour, and no part of a heading."""
    return (
        bool(re.fullmatch(r"[0-9]{1,3}(?:\.[0-9]+)?%?", word))
        or thunder_said(word) is not None
        or when_in(word) is not None
    )


def _hours_across(line: str, known: dict[str, tuple[str, ...]]) -> bool:
    label, cells = _label_and_cells(line)
    said = [cell for cell in cells if cell]
    if plain_label(label) not in known[TIME] or not 1 <= len(said) <= MOST_CELLS:
        return False
    whens = [when_in(cell, bare=True) for cell in said]
    return all(when is not None and when.time is not None and not when.rest for when in whens)


def _across(
    lines: list[tuple[int, str]], hours: list[int], known: dict[str, tuple[str, ...]], faults: Faults
) -> Table:
    """A table whose hours go across, once or in several blocks under one another."""
    names: dict[str, None] = {}
    rows: list[tuple[str, dict[str, str]]] = []
    beside: list[tuple[int, str]] = []
    starts = [
        k - 1 if k and plain_label(_label_and_cells(lines[k - 1][1])[0]) in DATE_LABELS else k for k in hours
    ]
    wanted = {name for role, each in known.items() if role != TIME for name in each}
    beside += lines[: starts[0]]
    for start, hour_line, end in zip(starts, hours, [*starts[1:], len(lines)], strict=True):
        number, line = lines[hour_line]
        label, cells = _label_and_cells(line)
        names[label] = None
        block: list[dict[str, str]] = [{label: cell} for cell in cells]
        dates = _label_and_cells(lines[start][1])[1] if start < hour_line else []
        for cell, day in zip(block, dates if len(dates) == len(cells) else dates[:1], strict=False):
            cell[label] = f"{day} {cell[label]}".strip() if cell[label] else ""
        for other, text in lines[hour_line + 1 : end]:
            name, values = _label_and_cells(text)
            if plain_label(name) not in wanted:
                beside += [] if values else [(other, text)]
                continue
            while len(values) > len(cells) and not values[-1]:
                values.pop()
            if "\t" in text:
                values += [""] * (len(cells) - len(values))
            if len(values) != len(cells):
                what = f"{len(cells)} cells, one under each hour of line {number}; -- where there is none"
                faults.add(f"line {other}, {visible(name)}", f"{len(values)} cells", what)
                continue
            names[name] = None
            for cell, value in zip(block, values, strict=True):
                cell[name] = value
        rows += [(f"hour {k + 1} of line {number}", cell) for k, cell in enumerate(block) if cell[label]]
    return Table(tuple(names), tuple(rows), bare=True, beside=tuple(beside))


def _down(lines: list[tuple[int, str]], head: int, faults: Faults) -> Table:
    """A table with an hour to a row, a day by itself in a row of its own."""
    names = cells_of(lines[head][1])
    if len(set(names)) < len(names):
        names = [name if names.index(name) == k else f"{name} {k + 1}" for k, name in enumerate(names)]
    at = next((k for k, name in enumerate(names) if plain_label(name) in ("time", "hour")), 0)
    rows: list[tuple[str, dict[str, str]]] = []
    day = ""
    for number, line in lines[head + 1 :]:
        cells = cells_of(line)
        alone = when_in(line) if len([cell for cell in cells if cell]) == 1 else None
        if alone is not None and alone.time is None and not alone.rest:
            day = alone.text
            continue
        if "\t" in line:
            cells += [""] * (len(names) - len(cells))
        if len(cells) != len(names):
            what = f"{len(names)} cells, as in line {lines[head][0]}; -- where there is none"
            faults.add(f"line {number}", line.strip(), what)
            continue
        cells[at] = f"{day} {cells[at]}".strip()
        day = ""
        rows.append((f"line {number}", dict(zip(names, cells, strict=True))))
    return Table(tuple(names), tuple(rows), beside=tuple(lines[:head]))


def _listed(lines: list[tuple[int, str]]) -> Table:
    """An hour to a line, or an hour and what belongs to it on the lines below it."""
    rows: list[tuple[str, dict[str, str]]] = []
    beside: list[tuple[int, str]] = []
    day = ""
    for number, line in lines:
        when = when_in(line)
        if when is not None and when.time is not None:
            said = when.text if not day or when.name or when.date else f"{day} {when.text}"
            rows.append((f"line {number}", {TIME: said, WORDS: when.rest}))
            day = ""
        elif when is not None and not when.rest:
            day = when.text
        elif rows and not day:
            rows[-1][1][WORDS] += f"  {line.strip()}"
        else:
            beside.append((number, line.strip()))
    return Table((TIME, WORDS), tuple(rows), beside=tuple(beside))
