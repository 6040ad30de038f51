"""One value of a file, by the kind its field declares: read, held to its limits, or noted as a fault."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from attrs import field, frozen

from bracing import units
from bracing.errors import InputError, MissingDataError, table_and_near
from bracing.job.fasteners import Fastener, fastener
from bracing.job.fields import KIND, LEAST, MOST, ONE_OF
from bracing.job.holding import A_POINT, MOST_LAYERS, MOST_POINTS, SOME_POINTS, Metadata, hold
from bracing.reading.faults import Faults

_PER_CENT = re.compile(r"^([0-9]+(?:\.[0-9]+)?) ?%$")
_LINE_LOAD = 'a load along a line, such as "5 lb/ft" or "70 N/m"'


@frozen
class Reading:
    """What the reader of a value needs beside it.

    Attributes:
        faults: where faults go.
        fasteners: the user's own fasteners, looked up before the table.
    """

    faults: Faults
    fasteners: tuple[Fastener, ...] = field(default=())


def read_value(value: object, metadata: Metadata, where: str, *, reading: Reading) -> Any:  # noqa: ANN401
    """Read one value by the kind its field declares.

    Args:
        value: as parsed.
        metadata: of the field, from declared() or keyed().
        where: dotted path, for a fault.
        reading: where faults go.

    Returns:
        The value in base units; None where it was refused and the fault noted.
    """
    kind = metadata[KIND]
    if kind in _LISTS:
        return _LISTS[kind](value, metadata, where, reading)
    try:
        reader = _READERS.get(kind)
        return hold(value if reader is None else reader(value, metadata, where, reading), metadata, where)
    except InputError as error:
        reading.faults.add(where, value, error.faults[0].expected)
        return None
    except MissingDataError as error:
        reading.faults.add(where, value, table_and_near(error))
        return None


# -- one value -------------------------------------------------------------------------------------------


def _quantity(unit: Callable[..., float], *, bare: bool = False) -> Callable[..., float]:
    """Make the reader of a quantity; a bare number is handed on only where the unit function takes one."""

    def read(value: object, metadata: Metadata, where: str, reading: Reading) -> float:
        if not isinstance(value, str) and not (bare and units.finite_number(value) is not None):
            try:
                unit("", field=where)
            except InputError as error:
                hint = " (a bare number has no unit)" if units.finite_number(value) is not None else ""
                raise InputError.of(where, value, error.faults[0].expected + hint) from None
        return unit(value, field=where)

    return read


def _force(value: object, metadata: Metadata, where: str, reading: Reading) -> float:
    """Read a force; a key that ends in _lb names its unit, so a bare number there is pounds."""
    if where.endswith("_lb") and units.finite_number(value) is not None:
        return float(value)  # type: ignore[arg-type]  # it is a number
    return _quantity(units.force)(value, metadata, where, reading)


def line_load(text: object, *, field: str = "load") -> units.PoundPerInch:
    """Read a load along a line.

    Args:
        text: "5 lb/ft" or "70 N/m".
        field: the field named in a fault.

    Returns:
        The load [lb/in].

    Raises:
        InputError: not a load along a line.

    Example:
        >>> line_load("6 lb/ft")
        0.5
    """
    load, _, unit = text.rpartition("/") if isinstance(text, str) else ("", "", "")
    try:
        return units.force(load, field=field) / units.length(f"1 {unit.strip()}", field=field)
    except InputError:
        raise InputError.of(field, text, _LINE_LOAD) from None


def _share(value: object, metadata: Metadata, where: str, reading: Reading) -> object:
    """Read a percentage; a number is held as it is."""
    per_cent = _PER_CENT.match(value.strip()) if isinstance(value, str) else None
    return value if per_cent is None else float(per_cent[1]) / 100.0


def _fastener(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    return fastener(hold(value, metadata, where), reading.fasteners).name


# -- lists of values, whose faults name the item ---------------------------------------------------------


def _layers(value: object, metadata: Metadata, where: str, reading: Reading) -> tuple[str | None, ...] | None:
    if not isinstance(value, list) or len(value) > MOST_LAYERS:
        reading.faults.add(where, value, f'at most {MOST_LAYERS} layers, such as ["osb 7/16", "housewrap"]')
        return None
    one = {KIND: "layer", LEAST: None, MOST: None, ONE_OF: ()}
    return tuple(read_value(item, one, f"{where}[{i}]", reading=reading) for i, item in enumerate(value))


def _point(value: object, metadata: Metadata, where: str, reading: Reading) -> tuple[float, float] | None:
    if not isinstance(value, list) or len(value) != 2:
        reading.faults.add(where, value, A_POINT)
        return None
    one = {KIND: "length", LEAST: 0.0, MOST: metadata[MOST], ONE_OF: ()}
    x, y = (read_value(item, one, f"{where}[{i}]", reading=reading) for i, item in enumerate(value))
    return None if x is None or y is None else (x, y)


def _points(
    value: object, metadata: Metadata, where: str, reading: Reading
) -> tuple[tuple[float, float], ...] | None:
    if not isinstance(value, list) or not 2 <= len(value) <= MOST_POINTS:
        reading.faults.add(where, value, SOME_POINTS)
        return None
    points = [_point(item, metadata, f"{where}[{i}]", reading) for i, item in enumerate(value)]
    read = tuple(point for point in points if point is not None)
    return read if len(read) == len(points) else None


_READERS: dict[str, Callable[..., Any]] = {  # of the kinds whose text is not the value itself
    "length": _quantity(units.length),
    "speed": _quantity(units.speed, bare=True),
    "force": _force,
    "pressure": _quantity(units.pressure),
    "line load": _quantity(line_load),
    "time": _quantity(units.duration),
    "share": _share,
    "fastener": _fastener,
}
_LISTS: dict[str, Callable[..., Any]] = {"layers": _layers, "point": _point, "points": _points}
