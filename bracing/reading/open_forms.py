"""A page of an open forecast: layers of values over spans of time (the grid), or periods with a beginning and an end.

Source: NWS-API gridpoints: `validTime` "start/PT3H", `value` or null, `uom` of a layer; of periods its schema.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

from attrs import evolve, frozen

from bracing.errors import InputError, shown
from bracing.reading.pasted import plain_unit, says_storm, speeds_in
from bracing.reading.values import Faults
from bracing.sources import shipped
from bracing.storm.clock import Clock, this_century
from bracing.storm.forecast import GUST, MOST_ROWS, ONE_HOUR, SUSTAINED, Hour, checked_speed, is_old
from bracing.units import Mph

LAYERS = ("windGust", "windSpeed")
WEATHER = "weather"
LONGEST_SPAN = timedelta(days=31)
_SPAN = re.compile(
    r"P(?:(?P<days>[0-9]{1,3})D)?(?:T(?:(?P<hours>[0-9]{1,4})H)?(?:(?P<minutes>[0-9]{1,4})M)?)?"
)

_Span = tuple[datetime, datetime, Any]


def _inside(tree: Any) -> dict[str, Any]:  # noqa: ANN401  (any JSON value)
    inside = tree.get("properties", tree) if isinstance(tree, dict) else {}
    return inside if isinstance(inside, dict) else {}


def is_open(tree: Any) -> bool:  # noqa: ANN401  (any JSON value)
    """Whether a page is one of the open forms.

    Args:
        tree: what was read of it.
    """
    inside = _inside(tree)
    return isinstance(inside.get("periods"), list) or any(
        isinstance(inside.get(name), dict) for name in LAYERS
    )


@frozen
class OpenForm:
    """What an open form says.

    Attributes:
        hours: its hours in order.
        made: when it was made; None where it does not say.
        notes: what a reader should know.
    """

    hours: tuple[Hour, ...]
    made: datetime | None
    notes: tuple[str, ...]


def open_form(tree: Any, clock: Clock, faults: Faults) -> OpenForm:  # noqa: ANN401  (any JSON value)
    """Read the hours of an open form; a gust that is null is taken from the wind there.

    Args:
        tree: the page.
        clock: the clock of the place.
        faults: takes every fault, each with its place.

    Raises:
        InputError: what is not read so far, each fault with its place.
    """
    inside = _inside(tree)
    periods = inside.get("periods")
    spans = _periods(periods, faults) if isinstance(periods, list) else _grid(inside, faults)
    faults.raise_if_any()
    hours = _hourly(spans)
    if not hours:
        faults.add("properties", "no values", "at least one value of windGust or windSpeed")
    for before, after in pairwise(hours):
        if before.end is not None and before.end < after.start:
            gap = f"nothing from {clock.text(before.end)} to {clock.text(after.start)}"
            faults.add("windGust and windSpeed", gap, "a value for every hour between its first and its last")
    if len(hours) > MOST_ROWS:
        faults.add("properties", f"{len(hours)} hours", f"at most {MOST_ROWS}")
    # When a page was put together says nothing of how old its forecast is.
    made = next((at for name in ("updateTime", "updated") if (at := stamp_of(inside.get(name)))), None)
    return OpenForm(tuple(hours), made, _age(made, clock))


def _age(made: datetime | None, clock: Clock) -> tuple[str, ...]:
    """Say how old a forecast is, where that is long; nothing where it does not say when it was made."""
    if made is None or not is_old(made, clock):
        return ()
    age = (clock.now - made) / ONE_HOUR
    return (f"this forecast was made {clock.text(made)}, {age:.0f} h ago: look for a newer one",)


def stamp_of(text: object) -> datetime | None:
    """Read a moment with its offset.

    Args:
        text: as written.

    Returns:
        The moment in UTC; None where it is none.
    """
    try:
        stamp = this_century(datetime.fromisoformat(text), "time") if isinstance(text, str) else None
    except (ValueError, InputError):
        return None
    return None if stamp is None or stamp.tzinfo is None else stamp.astimezone(UTC)


# -- the grid ----------------------------------------------------------------------------------------------


def _grid(inside: dict[str, Any], faults: Faults) -> list[tuple[datetime, datetime, Hour]]:
    layers = {name: _speeds(name, inside.get(name), faults) for name in LAYERS}
    storms = [
        (start, end, True)
        for start, end, value in _values(WEATHER, inside.get(WEATHER), faults)
        if _thunder(value)
    ]
    edges = sorted({edge for spans in layers.values() for start, end, _ in spans for edge in (start, end)})
    edges = sorted({*edges, *(edge for start, end, _ in storms for edge in (start, end))})
    gusts, winds = (_over(edges, layers[name]) for name in LAYERS)
    stormy = _over(edges, storms)
    found = []
    for k, (start, end) in enumerate(pairwise(edges)):
        gust, wind = gusts.get(k), winds.get(k)
        if gust is None and wind is None:
            continue
        given, basis = (max(gust, wind or 0.0), GUST) if gust is not None else (wind or 0.0, SUSTAINED)
        found.append((start, end, Hour(start, end, given, basis, k in stormy)))
    return found


def _over(edges: list[datetime], spans: list[_Span]) -> dict[int, Any]:
    """The greatest value over each step between two edges."""
    found: dict[int, Any] = {}
    for start, end, value in spans:
        for k in range(bisect_left(edges, start), bisect_left(edges, end)):
            found[k] = max(found.get(k, value), value)
    return found


def _values(name: str, layer: object, faults: Faults) -> list[_Span]:
    """The values of a layer that are not null, each with its span."""
    if layer is None:
        return []
    values = layer.get("values") if isinstance(layer, dict) else None
    if not isinstance(values, list) or len(values) > MOST_ROWS:
        faults.add(f"{name}.values", shown(values), f"a list of at most {MOST_ROWS} values")
        return []
    spans = []
    for k, item in enumerate(values):
        where = f"{name}.values[{k}]"
        valid = item.get("validTime") if isinstance(item, dict) else None
        span = _span(valid)
        if span is None:
            faults.add(
                f"{where}.validTime", valid, 'a span of time, such as "2026-03-06T20:00:00+00:00/PT3H"'
            )
        elif item.get("value") is not None:
            spans.append((*span, item["value"]))
    return spans


def _speeds(name: str, layer: object, faults: Faults) -> list[_Span]:
    spans = _values(name, layer, faults)
    unit = _unit(layer.get("uom") if isinstance(layer, dict) else None)
    if spans and unit is None:
        uom = layer.get("uom") if isinstance(layer, dict) else None
        faults.add(f"{name}.uom", uom, "a unit of speed that is known, such as wmoUnit:km_h-1")
        return []
    found = []
    for start, end, value in spans:
        speed = _number(value, unit or "", f"{name} at {start:%Y-%m-%dT%H:%M}Z", faults)
        if speed is not None:
            found.append((start, end, speed))
    return found


def _unit(code: object) -> str | None:
    """The unit of a code, "wmoUnit:km_h-1" or "unit:km_h-1"."""
    if not isinstance(code, str):
        return None
    known = shipped("forecast")["open_units"]
    name = code.rpartition(":")[2]
    return str(known[name]) if name in known and name not in ("source", "known", "from_memory") else None


def _number(value: object, unit: str, where: str, faults: Faults) -> Mph | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        faults.add(where, value, "a number, or null where there is none")
        return None
    try:
        return checked_speed(f"{value} {unit}", where)
    except InputError as error:
        faults.add(where, f"{value:.6g} {unit}", error.faults[0].expected)
        return None


def _span(text: object) -> tuple[datetime, datetime] | None:
    """Beginning and end of "start/PT3H", or of "start/end"."""
    if not isinstance(text, str) or len(text) > 80:
        return None
    first, _, length = text.partition("/")
    start = stamp_of(first)
    match = _SPAN.fullmatch(length)
    if start is None or not length:
        return None
    if match is None:
        end = stamp_of(length)
        return None if end is None or not start < end <= start + LONGEST_SPAN else (start, end)
    days, hours, minutes = (int(match[name] or 0) for name in ("days", "hours", "minutes"))
    lasts = timedelta(days=days, hours=hours, minutes=minutes)
    return (start, start + lasts) if timedelta() < lasts <= LONGEST_SPAN else None


def _thunder(value: object) -> bool:
    """Whether a piece of weather is a thunderstorm, of any coverage."""
    for item in value if isinstance(value, list) else ():
        if isinstance(item, dict):
            said = [
                item.get("weather"),
                *(item["attributes"] if isinstance(item.get("attributes"), list) else ()),
            ]
            if any(isinstance(each, str) and says_storm(each) for each in said):
                return True
    return False


# -- periods -----------------------------------------------------------------------------------------------


def _periods(periods: list[Any], faults: Faults) -> list[tuple[datetime, datetime, Hour]]:
    found = []
    if len(periods) > MOST_ROWS:
        faults.add("periods", f"{len(periods)} periods", f"at most {MOST_ROWS}")
        return []
    for k, period in enumerate(periods):
        where = f"periods[{k}]"
        if not isinstance(period, dict):
            faults.add(where, shown(period), "a period with its startTime, endTime and windSpeed")
            continue
        start, end = (stamp_of(period.get(name)) for name in ("startTime", "endTime"))
        for name, stamp in (("startTime", start), ("endTime", end)):
            if stamp is None:
                faults.add(
                    f"{where}.{name}",
                    period.get(name),
                    'a time with its offset, such as "2026-03-06T20:00:00-06:00"',
                )
        said = " ".join(
            text
            for name in ("shortForecast", "detailedForecast")
            if isinstance(text := period.get(name), str)
        )
        wind = _said_speed(period.get("windSpeed"), f"{where}.windSpeed", faults)
        gust = _said_speed(period.get("windGust"), f"{where}.windGust", faults)
        more = [checked_speed(f"{number} {unit}", where) for number, unit in speeds_in(said).gusts if unit]
        gust = max([gust, *more] if gust is not None else more, default=None)
        if start is None or end is None:
            continue
        if not start < end <= start + LONGEST_SPAN:
            faults.add(f"{where}.endTime", period.get("endTime"), "a time after its startTime")
        elif gust is None and wind is None:
            faults.add(f"{where}.windSpeed", period.get("windSpeed"), 'a speed, such as "10 to 20 mph"')
        else:
            given, basis = (max(gust, wind or 0.0), GUST) if gust is not None else (wind or 0.0, SUSTAINED)
            found.append((start, end, Hour(start, end, given, basis, says_storm(said))))
    found.sort(key=lambda one: one[0])
    for (_, before, _), (after, _, _) in pairwise(found):
        if after < before:
            faults.add("periods", f"{after:%Y-%m-%dT%H:%M}Z", "periods that do not overlap")
    return found


def _said_speed(value: object, where: str, faults: Faults) -> Mph | None:
    """A speed as "10 to 20 mph", the higher counts; or as a value with its unit code; None where there is none."""
    if value is None or value == "":
        return None
    if isinstance(value, dict):
        unit = _unit(value.get("unitCode"))
        numbers = [value[name] for name in ("maxValue", "value", "minValue") if value.get(name) is not None]
        if not numbers:
            return None
        if unit is None:
            faults.add(
                f"{where}.unitCode",
                value.get("unitCode"),
                "a unit of speed that is known, such as wmoUnit:km_h-1",
            )
            return None
        return _number(numbers[0], unit, where, faults)
    said = speeds_in(value) if isinstance(value, str) else None
    pieces = [] if said is None else [*said.gusts, *said.winds]
    if not pieces or any(unit is None for _, unit in pieces):
        faults.add(where, value, 'a speed with its unit, such as "10 to 20 mph"')
        return None
    try:
        return max(checked_speed(f"{number} {plain_unit(unit)}", where) for number, unit in pieces)
    except InputError as error:
        faults.add(where, value, error.faults[0].expected)
        return None


def _hourly(spans: list[tuple[datetime, datetime, Hour]]) -> list[Hour]:
    """Part spans into hours: a value of three hours blows in each of them."""
    hours: list[Hour] = []
    for start, end, hour in spans:
        at = start
        while at < end and len(hours) <= MOST_ROWS:
            hours.append(evolve(hour, start=at, end=min(at + ONE_HOUR, end)))
            at += ONE_HOUR
    return hours
