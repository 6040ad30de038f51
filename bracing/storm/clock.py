"""Moments as people say them, on the clock of a place.

Inside, a moment is a datetime in UTC: two moments on one place's clock would otherwise compare as if its
hands were never moved. The clock of a place is a zone by name, or the computer's own where none is given.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import NoReturn
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from attrs import frozen

from bracing.errors import InputError, near_names, with_near
from bracing.job.fields import declared
from bracing.units import Second

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
FULL_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
JUST_PASSED = timedelta(hours=6)
LONG_PAST = timedelta(days=1)
FIRST_YEAR, LAST_YEAR = 1990, 2199
NOON = 12
EARLY = 6  # "tonight 2 am" is on the next day's date
WITHOUT_PLACE = ("UTC", "GMT")
MOMENT = 'a moment, such as "Fri 8 pm", "tomorrow 06:00" or "2026-03-06 20:00"'
_OFFSET = re.compile(r"([+-])([0-9]{2}):?([0-9]{2})")
_ISO = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?(?:Z|[+-][0-9]{2}:?[0-9]{2})?"
)
_SAID = re.compile(
    r"(?:(?P<day>[a-z]+),?\s+)?(?:at\s+)?(?:(?P<noon>noon)|(?P<hour>[0-9]{1,2})(?::(?P<minute>[0-9]{2}))?\s*(?P<half>am|pm)?)"
)


@frozen
class Clock:
    """The clock of a place, and what it shows now.

    Attributes:
        now: the present moment, in UTC.
        zone: the place's zone; None is the computer's own.
    """

    now: datetime = declared("moment", "the present moment")
    zone: tzinfo | None = declared("zone", "the place's zone; none is the computer's own", default=None)

    @property
    def stamp(self) -> str:
        """Date and time now, as a wall file has them."""
        return f"{self.local(self.now):%Y-%m-%d %H:%M}"

    def local(self, moment: datetime) -> datetime:
        """Give a moment as the place's clock shows it.

        Args:
            moment: any moment that has a zone.
        """
        return moment.astimezone(self.zone)

    def at(self, shown: datetime, *, field: str = "time", later: bool = False) -> datetime:
        """Give the moment at which the clock shows a time.

        Args:
            shown: date and time without a zone.
            field: the field named in a fault.
            later: of two such moments, when clocks go back, the later one.

        Returns:
            The moment in UTC.

        Raises:
            InputError: the clock never shows it, as it goes forward over it; a date past all sense.
        """
        folded = this_century(shown, field).replace(fold=int(later))
        here = folded.astimezone() if self.zone is None else folded.replace(tzinfo=self.zone)
        moment = here.astimezone(UTC)
        if self.local(moment).replace(tzinfo=None, fold=0) != shown.replace(fold=0):
            expected = "a time that is on the clock: clocks go forward over this one that night"
            raise InputError.of(field, f"{shown:%Y-%m-%d %H:%M}", expected)
        return moment

    def twice(self, shown: datetime) -> bool:
        """Whether the clock shows a time twice, as it goes back over it.

        Args:
            shown: date and time without a zone.
        """
        return self.at(shown) != self.at(shown, later=True)

    def text(self, moment: datetime) -> str:
        """Write a moment as the place's clock shows it.

        Args:
            moment: the moment.

        Example:
            >>> clock = Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), zone_named("America/Chicago"))
            >>> clock.text(datetime(2026, 3, 7, 2, 0, tzinfo=UTC))
            'Fri Mar 6, 8 pm'
        """
        here = self.local(moment)
        hour = here.hour % NOON or NOON
        minutes = f":{here.minute:02d}" if here.minute else ""
        half = "am" if here.hour < NOON else "pm"
        return f"{DAYS[here.weekday()].title()} {MONTHS[here.month - 1]} {here.day}, {hour}{minutes} {half}"

    def read(self, text: object, *, field: str = "time", later: bool = False) -> datetime:
        """Read a moment as people say it.

        Args:
            text: "Fri 8 pm", "tomorrow 06:00", "tonight 9 pm", "8 pm", "now", or a date and time.
            field: the field named in a fault.
            later: of two such moments, when clocks go back, the later one.

        Returns:
            The moment in UTC.

        Raises:
            InputError: not a moment, one the clock never shows, or one that has passed.

        Example:
            >>> clock = Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), zone_named("America/Chicago"))
            >>> clock.text(clock.read("Sat 6 am"))
            'Sat Mar 7, 6 am'
        """
        words = " ".join(text.strip().lower().split()) if isinstance(text, str) else ""
        if words == "now":
            return self.now
        if isinstance(text, str) and _ISO.fullmatch(text.strip().upper()):
            return self._dated(text.strip(), field, later=later)
        said = _SAID.fullmatch(words)
        time = None if said is None else _time(said)
        if said is None or time is None:
            raise InputError.of(field, text, MOMENT)
        return self._said(str(text), said["day"], time, field=field, later=later)

    def _dated(self, text: str, field: str, *, later: bool) -> datetime:
        try:
            stamp = datetime.fromisoformat(text)
        except ValueError:
            raise InputError.of(field, text, MOMENT) from None
        stamp = this_century(stamp, field)
        moment = self.at(stamp, field=field, later=later) if stamp.tzinfo is None else stamp.astimezone(UTC)
        if moment < self.now - LONG_PAST:
            raise InputError.of(field, text, f"a moment that has not passed; it is {self.text(self.now)} now")
        return moment

    def _said(self, text: str, day: str | None, time: Second, *, field: str, later: bool) -> datetime:
        """Find the day that was meant; where the time has just passed, ask."""
        today = self.local(self.now).replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None, fold=0)
        away = days_away(day, time, today.weekday())
        if away is None:
            refuse(field, text, MOMENT)
        moment = self.at(today + timedelta(days=away, seconds=time), field=field, later=later)
        named = day not in (None, *DAYS, *FULL_DAYS, *_SHORT)
        if named or moment >= self.now:
            return moment
        if day is not None or self.now - moment <= JUST_PASSED:
            expected = f'"now" or "today ..." if it has begun, else a date: it is {self.text(self.now)}'
            raise InputError.of(field, text, expected)
        return self.at(today + timedelta(days=1, seconds=time), field=field, later=later)


_SHORT = {"tues": 1, "weds": 2, "thur": 3, "thurs": 3}


def days_away(day: str | None, time: Second, today: int) -> int | None:
    """Count the days from today to a day said; None where it is no day.

    Args:
        day: as said, in small letters; None where none was.
        time: into that day [s].
        today: day of the week, Monday 0.

    Example:
        >>> days_away("sat", 0.0, 4), days_away("tonight", 7200.0, 4)
        (1, 1)
    """
    if day in (None, "today"):
        return 0
    if day in ("tonight", "tomorrow"):
        return 1 if day == "tomorrow" or time < EARLY * 3600.0 else 0
    for names in (DAYS, FULL_DAYS):
        if day in names:
            return (names.index(day) - today) % len(DAYS)
    return (_SHORT[day] - today) % len(DAYS) if day in _SHORT else None


def this_century(stamp: datetime, field: str) -> datetime:
    """Give a date back where it is one somebody can mean; zones and sums end with the years 1 and 9999.

    Args:
        stamp: date and time.
        field: the field named in a fault.

    Raises:
        InputError: it is not of this century.
    """
    if not FIRST_YEAR <= stamp.year <= LAST_YEAR:
        raise InputError.of(field, f"{stamp:%Y-%m-%d %H:%M}", "a date of this century")
    return stamp


def refuse(field: str, value: object, expected: str, *, file: str = "command line") -> NoReturn:
    """Refuse one thing a person wrote.

    Args:
        field: where it stands.
        value: what was written.
        expected: what is expected there.
        file: the file, or "command line".

    Raises:
        InputError: always.
    """
    raise InputError.of(field, value, expected, file=file)


def _time(said: re.Match[str]) -> Second | None:
    """Seconds into the day; None where it cannot be, or where it may be morning or evening."""
    if said["noon"]:
        return NOON * 3600.0
    hour, minute, half = int(said["hour"]), int(said["minute"] or 0), said["half"]
    if minute > 59:
        return None
    if half:
        if not 1 <= hour <= NOON:
            return None
        return (hour % NOON + (NOON if half == "pm" else 0)) * 3600.0 + minute * 60.0
    full = said["minute"] is not None and len(said["hour"]) == 2  # "8" and "8:00" may be morning or evening
    return hour * 3600.0 + minute * 60.0 if full and hour < 2 * NOON else None


def zone_named(name: str | None, *, field: str = "time zone") -> tzinfo | None:
    """Find a time zone.

    Args:
        name: a place of the zone database, UTC, or an offset such as -06:00; None is the computer's own.
        field: the field named in a fault.

    Returns:
        The zone; None for the computer's own.

    Raises:
        InputError: no such zone, or an abbreviation, which does not say how clocks move.

    Example:
        >>> zone_named("America/Denver")
        zoneinfo.ZoneInfo(key='America/Denver')
    """
    if name is None:
        return None
    clean = name.strip()
    if clean.upper() in (*WITHOUT_PLACE, "Z"):
        return UTC
    offset = _OFFSET.fullmatch(clean)
    if offset is not None and int(offset[2]) < 24 and int(offset[3]) < 60:
        ahead = timedelta(hours=int(offset[2]), minutes=int(offset[3]))
        return timezone(ahead if offset[1] == "+" else -ahead)
    expected = "a place of the zone database, such as America/Chicago"
    try:
        if "/" in clean:
            return ZoneInfo(clean)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        known = available_timezones()
        if not known:
            raise InputError.of(field, name, "time-zone data: install the package tzdata") from None
        expected = with_near(expected, near_names(clean, known))
    raise InputError.of(field, name, expected) from None
