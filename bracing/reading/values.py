"""One value of a file, by the kind its field declares: read, held to its limits, or noted as a fault."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import Any

from attrs import field, frozen

from bracing import units
from bracing.errors import InputError, MissingDataError
from bracing.fasteners import Fastener, fastener
from bracing.fields import KIND, LEAST, MOST, ONE_OF
from bracing.layers import layer
from bracing.lumber import section, species_name
from bracing.lumber.data import names, plain
from bracing.reading.faults import Faults, table_and_near

Metadata = Mapping[str, Any]
MOST_LETTERS = 80
MOST_LAYERS = 40
MOST_POINTS = 100
SLACK = 1e-9
_PER_CENT = re.compile(r"^([0-9]+(?:\.[0-9]+)?) ?%$")
_POINT = 'two lengths, such as ["8 ft", "3 ft"]'
_POINTS = 'points from LEFT to right, such as [["0 ft", "9 ft"], ["20 ft", "14 ft"]]'
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
        read = _READERS[kind](value, metadata, where, reading)
        _hold_to_limits(read, metadata, where)
    except InputError as error:
        reading.faults.add(where, value, error.faults[0].expected)
        return None
    except MissingDataError as error:
        reading.faults.add(where, value, table_and_near(error))
        return None
    return read


def amount(value: float, kind: str) -> str:
    """Write a limit in the unit people use.

    Args:
        value: in base units.
        kind: kind of the field.

    Example:
        >>> amount(48.0, "length"), amount(30.0, "length"), amount(250.0, "speed")
        ('4 ft', '30 in', '250 mph')
    """
    if kind in ("length", "point", "points"):
        whole_feet = value >= units.INCHES_PER_FOOT and value % units.INCHES_PER_FOOT == 0.0
        return f"{value / units.INCHES_PER_FOOT:g} ft" if whole_feet else f"{value:g} in"
    scale, unit = _PRINTED.get(kind, (1.0, ""))
    return f"{value / scale:g} {unit}".strip()


_PRINTED = {
    "speed": (1.0, "mph"),
    "force": (1.0, "lb"),
    "line load": (1.0 / units.INCHES_PER_FOOT, "lb/ft"),
    "time": (3600.0, "hours"),
}


def _hold_to_limits(value: object, metadata: Metadata, where: str) -> None:
    least, most, kind = metadata[LEAST], metadata[MOST], metadata[KIND]
    if not isinstance(value, float | int) or isinstance(value, bool):
        return
    low = least is not None and value < least - SLACK * max(1.0, abs(least))
    high = most is not None and value > most + SLACK * max(1.0, abs(most))
    if low or high:
        if least is not None and most is not None:
            raise InputError.of(where, value, f"from {amount(least, kind)} to {amount(most, kind)}")
        raise InputError.of(
            where, value, f"at least {amount(least, kind)}" if low else f"at most {amount(most, kind)}"
        )


# -- one value -------------------------------------------------------------------------------------------


def _quantity(unit: Callable[..., float], *, bare: bool = False) -> Callable[..., float]:
    """Make the reader of a quantity; a bare number is handed on only where the unit function takes one."""

    def read(value: object, metadata: Metadata, where: str, reading: Reading) -> float:
        if not isinstance(value, str) and not (bare and _plain_number(value)):
            try:
                unit("", field=where)
            except InputError as error:
                hint = " (a bare number has no unit)" if _plain_number(value) else ""
                raise InputError.of(where, value, error.faults[0].expected + hint) from None
        return unit(value, field=where)

    return read


def _force(value: object, metadata: Metadata, where: str, reading: Reading) -> float:
    """Read a force; a key that ends in _lb names its unit, so a bare number there is pounds."""
    if where.endswith("_lb") and _plain_number(value):
        return _number(value, metadata, where, reading)
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


def _plain_number(value: object) -> bool:
    """Whether it is a finite number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _number(value: object, metadata: Metadata, where: str, reading: Reading) -> float:
    if not _plain_number(value):
        raise InputError.of(where, value, "a number")
    return float(value)  # type: ignore[arg-type]  # _plain_number has looked


def _share(value: object, metadata: Metadata, where: str, reading: Reading) -> float:
    per_cent = _PER_CENT.match(value.strip()) if isinstance(value, str) else None
    if per_cent is not None:
        return float(per_cent[1]) / 100.0
    if not _plain_number(value):
        raise InputError.of(where, value, 'a part of one, such as 0.02 or "2 %"')
    return float(value)  # type: ignore[arg-type]  # _plain_number has looked


def _count(value: object, metadata: Metadata, where: str, reading: Reading) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InputError.of(where, value, "a whole number")
    return value


def _flag(value: object, metadata: Metadata, where: str, reading: Reading) -> bool:
    if not isinstance(value, bool):
        raise InputError.of(where, value, "true or false")
    return value


def _word(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    if value not in metadata[ONE_OF]:
        raise InputError.of(where, value, f"one of: {', '.join(metadata[ONE_OF])}")
    return str(value)


def _name(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    good = isinstance(value, str) and value.strip() != "" and len(value) <= MOST_LETTERS
    if not good or not str(value).isprintable():
        raise InputError.of(where, value, f"text of 1 to {MOST_LETTERS} letters")
    return str(value).strip()


# -- names that are in a table ---------------------------------------------------------------------------


def _size(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    name = _header(value, metadata, where, reading)
    if section(name).plies != 1:
        raise InputError.of(where, value, "one stick, such as 2x6")
    return name


def _header(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    name = _name(value, metadata, where, reading)
    section(name.rpartition("-")[2])  # near names are of one stick
    return section(name).name


def _species(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    return species_name(_name(value, metadata, where, reading))


def _grade(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    name, known = _name(value, metadata, where, reading), names("grade")
    if plain(name) not in known:
        table = "grades"
        raise MissingDataError(table, name, dict.fromkeys(known.values()))
    return known[plain(name)]


def _fastener(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    return fastener(_name(value, metadata, where, reading), reading.fasteners).name


def _layer(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    return layer(_name(value, metadata, where, reading)).name


def _deck(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    found = layer(_name(value, metadata, where, reading))
    if not found.panel or found.thickness <= 0.0:
        raise InputError.of(where, value, "a structural panel with its thickness, such as osb 23/32")
    return found.name


def _soil(value: object, metadata: Metadata, where: str, reading: Reading) -> str:
    from bracing.joints.stake import (
        lateral_bearing,
    )  # the joints load numpy; only a wall on the ground needs them

    name = _name(value, metadata, where, reading)
    lateral_bearing(name)
    return name


# -- lists of values, whose faults name the item ---------------------------------------------------------


def _layers(value: object, metadata: Metadata, where: str, reading: Reading) -> tuple[str | None, ...] | None:
    if not isinstance(value, list) or len(value) > MOST_LAYERS:
        reading.faults.add(where, value, f'at most {MOST_LAYERS} layers, such as ["osb 7/16", "housewrap"]')
        return None
    one = {KIND: "layer", LEAST: None, MOST: None, ONE_OF: ()}
    return tuple(read_value(item, one, f"{where}[{i}]", reading=reading) for i, item in enumerate(value))


def _point(value: object, metadata: Metadata, where: str, reading: Reading) -> tuple[float, float] | None:
    if not isinstance(value, list) or len(value) != 2:
        reading.faults.add(where, value, _POINT)
        return None
    one = {KIND: "length", LEAST: 0.0, MOST: metadata[MOST], ONE_OF: ()}
    x, y = (read_value(item, one, f"{where}[{i}]", reading=reading) for i, item in enumerate(value))
    return None if x is None or y is None else (x, y)


def _points(
    value: object, metadata: Metadata, where: str, reading: Reading
) -> tuple[tuple[float, float], ...] | None:
    if not isinstance(value, list) or not 2 <= len(value) <= MOST_POINTS:
        reading.faults.add(where, value, f"2 to {MOST_POINTS} {_POINTS}")
        return None
    points = [_point(item, metadata, f"{where}[{i}]", reading) for i, item in enumerate(value)]
    read = tuple(point for point in points if point is not None)
    return read if len(read) == len(points) else None


_READERS: dict[str, Callable[..., Any]] = {
    "length": _quantity(units.length),
    "speed": _quantity(units.speed, bare=True),
    "force": _force,
    "pressure": _quantity(units.pressure),
    "line load": _quantity(line_load),
    "time": _quantity(units.duration),
    "count": _count,
    "number": _number,
    "share": _share,
    "flag": _flag,
    "word": _word,
    "name": _name,
    "size": _size,
    "header": _header,
    "species": _species,
    "grade": _grade,
    "fastener": _fastener,
    "layer": _layer,
    "deck": _deck,
    "soil": _soil,
}
_LISTS: dict[str, Callable[..., Any]] = {"layers": _layers, "point": _point, "points": _points}
