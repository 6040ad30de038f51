"""A forecast as gusts to plan for, hour by hour.

What was given is kept beside what is planned for: a sustained speed is multiplied by 1.53, and thunderstorms
plan at no less than 58 mph.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo
from typing import NoReturn

from attrs import evolve, frozen

from bracing.codes.gusts import gust_from_sustained, thunderstorm_gust
from bracing.errors import refused
from bracing.job.fields import declared, held_part, held_value
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.storm.clock import Clock, refuse
from bracing.units import Mph, speed

GUST, SUSTAINED, THUNDERSTORM = "gust", "sustained", "thunderstorm"
FASTEST: Mph = 250.0
MOST_ROWS = 5000
ONE_HOUR = timedelta(hours=1)


@frozen
class Hour:
    """One row of a forecast: from its time to the next row's.

    Attributes:
        start: when it begins, in UTC.
        end: when the next row begins; None where nobody said how long it blows.
        given: speed as given [mph].
        basis: gust, sustained, or thunderstorm where only the word was given.
        thunderstorm: thunderstorms are in the forecast.
    """

    start: datetime = declared("moment", "when it begins")
    end: datetime | None = declared("moment", "when the next row begins")
    given: Mph = declared("speed", "speed as given", least=0.0, most=FASTEST)
    basis: str = declared("word", "what the speed is", default=GUST, one_of=(GUST, SUSTAINED, THUNDERSTORM))
    thunderstorm: bool = declared("flag", "thunderstorms are in the forecast", default=False)

    def __attrs_post_init__(self) -> None:
        if self.end is not None and self.end <= self.start:
            where = "Hour.end"
            raise refused(where, self.end, f"after its start, {self.start}")

    @property
    def gust(self) -> Mph:
        """The 3-second gust planned for [mph]."""
        gust = gust_from_sustained(self.given) if self.basis == SUSTAINED else self.given
        return thunderstorm_gust(gust) if self.thunderstorm else gust

    @property
    def how(self) -> tuple[Said, ...]:
        """How the gust planned for follows from what was given; empty where it is the same."""
        gust, said = self.given, []
        if self.basis == SUSTAINED:
            gust, factor = gust_from_sustained(gust), shipped("wind")["sustained"]["gust_over_hourly_mean"]
            given, planned = Quantity(self.given, Kind.GIVEN), Quantity(gust, Kind.ASKED)
            said.append(Said("times-sustained", given=given, factor=f"{factor:g}", gust=planned))
        if self.thunderstorm and self.gust > gust:
            said.append(Said("no-less-in-storms", gust=Quantity(self.gust, Kind.ASKED)))
        return tuple(said)


@frozen
class Forecast:
    """A forecast.

    Attributes:
        hours: its rows in order of time.
        source: file it came from, or "typed".
        notes: what a reader should know of how it was read.
        zone: zone its times are shown in; None is the computer's own.
        understood: what was read of it, said back; None of what was typed.
        made: when it was made; None where it does not say.
        local: its gusts are those over the ground as it is there, so that no shelter comes off them again.
    """

    hours: tuple[Hour, ...] = declared("parts", "its rows", most=MOST_ROWS)
    source: str = declared("text", "file it came from", default="typed")
    notes: tuple[str, ...] = declared("texts", "how it was read", default=())
    zone: tzinfo | None = declared("zone", "zone its times are shown in", default=None)
    understood: Said | None = declared("part", "what was read of it, said back", default=None)
    made: datetime | None = declared("moment", "when it was made", default=None)
    local: bool = declared("flag", "its gusts are over the ground as it is", default=False)

    def __attrs_post_init__(self) -> None:
        if not self.hours:
            where = "Forecast.hours"
            raise refused(where, "no rows", "at least one")

    @property
    def thunderstorm(self) -> bool:
        """Whether thunderstorms are in it."""
        return any(hour.thunderstorm for hour in self.hours)

    @property
    def highest(self) -> Mph:
        """The highest gust planned for [mph]."""
        return max(hour.gust for hour in self.hours)

    def gap_from(self, now: datetime) -> tuple[datetime, datetime] | None:
        """Give the first stretch of time from now to its end that no row covers; None where there is none.

        Args:
            now: the present moment.
        """
        covered: datetime | None = now
        for hour in self.hours:
            if covered is None:
                return None
            if hour.start > covered:
                return covered, hour.start
            covered = None if hour.end is None else max(covered, hour.end)
        return None


def typed_forecast(
    clock: Clock,
    *,
    gust: object = None,
    sustained: object = None,
    storms: bool = False,
    start: str | None = None,
    until: str | None = None,
) -> Forecast:
    """Make a forecast of what a person types.

    Args:
        clock: the clock of the place.
        gust: 3-second gust, as written.
        sustained: sustained speed, as written.
        storms: thunderstorms are in the forecast.
        start: from when, as people say it; now unless given.
        until: until when; unless given, nobody knows.

    Returns:
        The forecast.

    Raises:
        InputError: no speed, both speeds, a speed past all sense, times that cannot be.

    Example:
        >>> clock = Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), UTC)
        >>> hour = typed_forecast(clock, sustained="30", start="Sat 2 am").hours[0]
        >>> round(hour.gust, 1), clock.text(hour.start), hour.how[0].id
        (45.9, 'Sat Mar 7, 2 am', 'times-sustained')
    """
    held_part(clock, Clock, "clock")
    storms = held_value(storms, "flag", "storms")
    if gust is not None and sustained is not None:
        refuse("--sustained", sustained, "--gust or --sustained, not both: the gust if you have it")
    if gust is None and sustained is None and not storms:
        refuse("--gust", "nothing", "the gust of the forecast, such as --gust 50")
    basis = GUST if gust is not None else SUSTAINED if sustained is not None else THUNDERSTORM
    given = shipped("wind")["thunderstorm"]["least_gust_mph"]
    if basis != THUNDERSTORM:
        given = checked_speed(gust if gust is not None else sustained, f"--{basis}")
    begins = clock.now if start is None else clock.read(start, field="--from")
    ends = None if until is None else clock.read(until, field="--until", later=True)
    if ends is not None and ends <= max(begins, clock.now):
        refuse("--until", until, "a time after --from and after now")
    return Forecast((Hour(begins, ends, given, basis, storms),), zone=clock.zone)


def checked_speed(text: object, field: str) -> Mph:
    """Read a speed of a forecast.

    Args:
        text: as written; a bare number is mph.
        field: the field named in a fault.

    Returns:
        The speed [mph].

    Raises:
        InputError: not a speed, or past all sense.
    """
    value = speed(text, field=field)
    if value > FASTEST:
        refuse(field, text, f"a speed up to {FASTEST:g} mph: is the unit right?")
    return value


def refuse_bare_wind(
    value: object, field: str, *, answers: tuple[str, str], file: str = "command line"
) -> NoReturn:
    """Refuse a wind that is not said to be sustained or a gust, with the question to answer.

    Args:
        value: what was written.
        field: where.
        answers: how to write it as sustained, and as a gust.
        file: the file, or "command line".

    Raises:
        InputError: always.
    """
    expected = (
        f"the answer to: is {value} the sustained wind or the gust? "
        f"Then {answers[0]} or {answers[1]}: taking one for the other halves the pressure"
    )
    refuse(field, value, expected, file=file)


def from_now_on(forecast: Forecast, now: datetime) -> Forecast:
    """Leave out the rows that are over.

    Args:
        forecast: the forecast.
        now: the present moment.

    Raises:
        InputError: all of it is over.
    """
    left = tuple(hour for hour in forecast.hours if hour.end is None or hour.end > now)
    if not left:
        last = f"its last row ends {forecast.hours[-1].end:%Y-%m-%d %H:%M} UTC"
        refuse("forecast", last, "a forecast that has not run out", file=forecast.source)
    gone = len(forecast.hours) - len(left)
    note = (f"left out, as they are over: {gone} of {len(forecast.hours)} rows",) if gone else ()
    return evolve(forecast, hours=left, notes=(*forecast.notes, *note))


def up_to(forecast: Forecast, end: datetime, clock: Clock) -> Forecast:
    """Leave out the rows that begin after a moment the forecast must reach.

    Args:
        forecast: the forecast, without the rows that are over.
        end: that moment.
        clock: the clock of the place.

    Raises:
        InputError: it ends before then; the moment is past.
    """
    if end <= clock.now:
        refuse("--until", clock.text(end), "a time after now")
    last = forecast.hours[-1].end
    if last is not None and last < end:
        expected = f"a time the forecast reaches: its last row ends {clock.text(last)}; or a longer forecast"
        refuse("--until", clock.text(end), expected)
    left = tuple(
        evolve(hour, end=end if hour.end is None or hour.end > end else hour.end)
        for hour in forecast.hours
        if hour.start < end
    )
    if not left:
        begins = clock.text(forecast.hours[0].start)
        refuse("--until", clock.text(end), f"a time after the forecast begins, {begins}")
    return evolve(forecast, hours=left)


def is_old(made: datetime, clock: Clock) -> bool:
    """Say whether a forecast made at a moment is old.

    Args:
        made: when it was made.
        clock: the clock of the place.
    """
    return clock.now - made > timedelta(hours=shipped("forecast")["old"]["hours"])


def utc_now() -> datetime:
    """Give the present moment, to the minute."""
    return datetime.now(UTC).replace(second=0, microsecond=0)
