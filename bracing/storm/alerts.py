"""Alerts of a weather service: what gust each stands for, and a forecast with them in it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from attrs import evolve, frozen

from bracing.job.fields import declared
from bracing.sources import shipped
from bracing.storm.clock import Clock
from bracing.storm.forecast import FASTEST, GUST, Forecast, Hour
from bracing.units import Mph

BY_WORDS = (
    "alerts_lay_down",
    "alerts_advisory",
    "alerts_warning",
    "alerts_other",
)  # the first that fits counts
THUNDER = ("thunder", "tornado")


@frozen
class Alert:
    """One alert that is in force or to come.

    Attributes:
        id: its identifier.
        event: what it is of, such as High Wind Warning.
        start: when it begins, in UTC.
        end: when it ends, in UTC.
        gust: the gust it stands for [mph].
        thunderstorm: it is of a thunderstorm.
    """

    id: str = declared("text", "its identifier")
    event: str = declared("text", "what it is of")
    start: datetime = declared("moment", "when it begins")
    end: datetime = declared("moment", "when it ends")
    gust: Mph = declared("speed", "the gust it stands for", least=0.0, most=FASTEST)
    thunderstorm: bool = declared("flag", "it is of a thunderstorm", default=False)


def gust_of_event(event: str, named: Mph | None) -> Mph | None:
    """Give the gust an alert stands for.

    Args:
        event: what it is of.
        named: the gust it names itself [mph]; None where it names none.

    Returns:
        The gust [mph]; None where it is of no wind.

    Example:
        >>> gust_of_event("High Wind Warning", None), gust_of_event("Wind Advisory", 50.0)
        (58.0, 50.0)
        >>> gust_of_event("Tornado Warning", 70.0), gust_of_event("Flood Watch", None)
        (120.0, None)
    """
    words = event.lower()
    table = shipped("forecast")
    lay_down = table[BY_WORDS[0]]
    if any(word in words for word in lay_down["words"]):
        return max(float(lay_down["gust_mph"]), named or 0.0)
    if named is not None:
        return named
    for no_wind in table["alerts_of_no_wind"]["words"]:
        words = words.replace(no_wind, "")
    fits = (table[name] for name in BY_WORDS if any(word in words for word in table[name]["words"]))
    return next((float(row["gust_mph"]) for row in fits), None)


def speaks_of_thunder(event: str) -> bool:
    """Say whether an event comes with a thunderstorm.

    Args:
        event: what an alert is of.
    """
    return any(word in event.lower() for word in THUNDER)


def with_alerts(forecast: Forecast, alerts: Iterable[Alert], clock: Clock) -> Forecast:
    """Plan a forecast for its alerts too: an hour an alert touches has no less than its gust.

    Args:
        forecast: the forecast.
        alerts: the alerts.
        clock: the clock of the place; what is over by now is left out.

    Returns:
        The forecast, with an hour more for each alert that lasts past its end.
    """
    hours = list(forecast.hours)
    for alert in alerts:
        if alert.end <= clock.now:
            continue
        hours = [_raised(hour, alert) for hour in hours]
        last = hours[-1].end
        if last is not None and last < alert.end:
            begins = max(last, alert.start)
            hours.append(Hour(begins, alert.end, alert.gust, GUST, alert.thunderstorm))
    return evolve(forecast, hours=tuple(hours))


def _raised(hour: Hour, alert: Alert) -> Hour:
    """An hour with an alert in it; the alert's gust counts where it is the higher."""
    if alert.end <= hour.start or (hour.end is not None and hour.end <= alert.start):
        return hour
    storms = hour.thunderstorm or alert.thunderstorm
    if alert.gust > hour.gust:
        return evolve(hour, given=alert.gust, basis=GUST, thunderstorm=storms)
    return evolve(hour, thunderstorm=storms)
