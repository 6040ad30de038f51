"""What a field of an input class may hold, kind by kind: the one statement of each rule.

The reader of files, the classes and the functions that take a gust all hold a value to it here. A value is given in
base units, as the class holds it; a file's text is turned into one by `reading.values`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from datetime import datetime, tzinfo
from functools import cache
from importlib.resources import files
from numbers import Integral
from typing import Any, TypeVar

from bracing.errors import MissingDataError, refused, table_and_near
from bracing.job.fasteners import fastener, refuse_not_structural
from bracing.job.layers import layer
from bracing.job.lumber import grade as reference_values
from bracing.job.lumber import names, plain, section, size_factors, species_name
from bracing.units import INCHES_PER_FOOT, finite_number

ONE_OF = "one_of"
KIND = "kind"
KEY = "key"
HELP = "help"
LEAST = "least"
MOST = "most"
MOST_LETTERS = 80
MOST_LAYERS = 40
MOST_POINTS = 100
SLACK = 1e-9
A_POINT = 'two lengths, such as ["8 ft", "3 ft"]'
SOME_POINTS = f'2 to {MOST_POINTS} points from LEFT to right, such as [["0 ft", "9 ft"], ["20 ft", "14 ft"]]'
_IN_BASE_UNITS = {
    "length": "a length, in inches", "speed": "a speed, in mph", "force": "a force, in pounds",
    "pressure": "a pressure, in psi", "line load": "a load along a line, in pounds per inch",
    "time": "a time, in seconds", "number": "a number", "share": 'a part of one, such as 0.02 or "2 %"',
}  # fmt: skip
_PRINTED = {
    "speed": (1.0, "mph"),
    "force": (1.0, "lb"),
    "line load": (1.0 / INCHES_PER_FOOT, "lb/ft"),
    "time": (3600.0, "hours"),
}
Metadata = Mapping[str, Any]
Part = TypeVar("Part")


def hold(value: object, metadata: Metadata, where: str) -> Any:  # noqa: ANN401  (any field value)
    """Hold one value, in base units, to what its field declares.

    Args:
        value: the value; any kind of number counts as one, NaN and infinity do not.
        metadata: of the field, from declared() or keyed().
        where: dotted path, for a fault.

    Returns:
        The value as the class holds it: a plain number, a name as its table writes it.

    Raises:
        InputError: it is of another kind, in no table, or outside its limits.

    Example:
        >>> kzt = {KIND: "number", ONE_OF: (), LEAST: 1.0, MOST: 4.0}
        >>> hold(2, kzt, "site.kzt")
        2.0
    """
    try:
        held = _HOLDERS[metadata[KIND]](value, metadata, where)
    except MissingDataError as error:
        raise refused(where, value, table_and_near(error)) from None
    if isinstance(held, float | int) and not isinstance(held, bool):
        _hold_to_limits(held, metadata, where)
    return held


def held_value(
    value: object, kind: str, where: str, *, least: float | None = None, most: float | None = None
) -> Any:  # noqa: ANN401
    """Hold an argument of a function to its kind and limits; None stays None.

    Args:
        value: the argument.
        kind: as for declared().
        where: its name.
        least: least value allowed, in base units.
        most: greatest value allowed, in base units.

    Raises:
        InputError: it is of another kind, or outside its limits.

    Example:
        >>> held_value(45, "speed", "gust", least=0.0), held_value(None, "speed", "gust")
        (45.0, None)
    """
    return None if value is None else hold(value, {KIND: kind, ONE_OF: (), LEAST: least, MOST: most}, where)


def lumber_instead(species: str, grade: str, size: str) -> str:
    """Say what is expected instead of lumber that has no published values; nothing where it has them.

    Args:
        species: as in its table.
        grade: as in its table.
        size: nominal size.

    Example:
        >>> lumber_instead("hem-fir", "No.2", "2x6")
        ''
    """
    try:
        size_factors(reference_values(species, grade, size), size)
    except MissingDataError as error:
        near = f"; near: {', '.join(error.near)}" if error.near else ""
        return f"lumber with published values: {error.key} is not among {error.table}{near}"
    return ""


def hold_lumber(species: str, grade: str, size: str, *, where: str) -> None:
    """Hold a species, its grade and size to lumber that has published values.

    Args:
        species: as in its table.
        grade: as in its table.
        size: nominal size.
        where: the class and its field, for the fault.

    Raises:
        InputError: it has none.
    """
    instead = lumber_instead(species, grade, size)
    if instead:
        raise refused(where, " ".join((species, grade, size)), instead)


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
        whole_feet = value >= INCHES_PER_FOOT and value % INCHES_PER_FOOT == 0.0
        return f"{value / INCHES_PER_FOOT:g} ft" if whole_feet else f"{value:g} in"
    scale, unit = _PRINTED.get(kind, (1.0, ""))
    return f"{value / scale:g} {unit}".strip()


def held_part(value: object, cls: type[Part], where: str) -> Part:
    """Hold a value to a class.

    Args:
        value: the value.
        cls: the class.
        where: the class and its field, or the argument, for the fault.

    Raises:
        InputError: it is of another.
    """
    if not isinstance(value, cls):
        raise refused(where, value, f"a {cls.__name__}")
    return value


# -- one value -------------------------------------------------------------------------------------------


def _hold_to_limits(value: float, metadata: Metadata, where: str) -> None:
    least, most, kind = metadata[LEAST], metadata[MOST], metadata[KIND]
    low = least is not None and value < least - SLACK * max(1.0, abs(least))
    high = most is not None and value > most + SLACK * max(1.0, abs(most))
    if low or high:
        if least is not None and most is not None:
            raise refused(where, value, f"from {amount(least, kind)} to {amount(most, kind)}")
        raise refused(
            where, value, f"at least {amount(least, kind)}" if low else f"at most {amount(most, kind)}"
        )


def _number(value: object, metadata: Metadata, where: str) -> float:
    number = finite_number(value)
    if number is None:
        raise refused(where, value, _IN_BASE_UNITS[metadata[KIND]])
    return number


def _count(value: object, metadata: Metadata, where: str) -> int:
    if type(value) is int:
        return value
    if isinstance(value, bool) or not isinstance(value, Integral):
        raise refused(where, value, "a whole number")
    return int(value)


def _flag(value: object, metadata: Metadata, where: str) -> bool:
    if not isinstance(value, bool):
        raise refused(where, value, "true or false")
    return value


def _word(value: object, metadata: Metadata, where: str) -> str:
    if not isinstance(value, str) or value not in metadata[ONE_OF]:
        raise refused(where, value, f"one of: {', '.join(metadata[ONE_OF])}")
    return str(value)


def _name(value: object, metadata: Metadata, where: str) -> str:
    if (
        not isinstance(value, str)
        or not value.strip()
        or len(value) > MOST_LETTERS
        or not value.isprintable()
    ):
        raise refused(where, value, f"text of 1 to {MOST_LETTERS} letters")
    return str(value).strip()


def _text(value: object, metadata: Metadata, where: str) -> str:
    if not isinstance(value, str):
        raise refused(where, value, "text")
    return str(value)


def _texts(value: object, metadata: Metadata, where: str) -> tuple[str, ...] | frozenset[str]:
    """Hold several texts, in order or as a set; one text is not several."""
    if not isinstance(value, tuple | list | frozenset | set):
        raise refused(where, value, "a tuple or set of texts")
    held = [_text(item, metadata, where) for item in value]
    return frozenset(held) if isinstance(value, frozenset | set) else tuple(held)


def _moment(value: object, metadata: Metadata, where: str) -> datetime:
    if not isinstance(value, datetime) or value.tzinfo is None:
        raise refused(where, value, "a date and time with its zone")
    return value


def _zone(value: object, metadata: Metadata, where: str) -> tzinfo:
    if not isinstance(value, tzinfo):
        raise refused(where, value, "a time zone")
    return value


# -- names that are in a table ---------------------------------------------------------------------------


def _size(value: object, metadata: Metadata, where: str) -> str:
    name = _header(value, metadata, where)
    if section(name).plies != 1:
        raise refused(where, value, "one stick, such as 2x6")
    return name


def _header(value: object, metadata: Metadata, where: str) -> str:
    name = _name(value, metadata, where)
    section(name.rpartition("-")[2])  # near names are of one stick
    return section(name).name


def _species(value: object, metadata: Metadata, where: str) -> str:
    return species_name(_name(value, metadata, where))


def _grade(value: object, metadata: Metadata, where: str) -> str:
    name, known = _name(value, metadata, where), names("grade")
    if plain(name) not in known:
        table = "grades"
        raise MissingDataError(table, name, dict.fromkeys(known.values()))
    return known[plain(name)]


def _fastener(value: object, metadata: Metadata, where: str) -> str:
    """Hold the name of a fastener; one that is in no table may be the user's own, which the job knows."""
    name = _name(value, metadata, where)
    refuse_not_structural(name, where=where)
    try:
        return fastener(name).name
    except MissingDataError:
        return name


def _layer(value: object, metadata: Metadata, where: str) -> str:
    return layer(_name(value, metadata, where)).name


def _deck(value: object, metadata: Metadata, where: str) -> str:
    found = layer(_name(value, metadata, where))
    if not found.panel or found.thickness <= 0.0:
        raise refused(where, value, "a structural panel with its thickness, such as osb 23/32")
    return found.name


def _soil(value: object, metadata: Metadata, where: str) -> str:
    name, table = _name(value, metadata, where), "soils with a published value of lateral"
    if name not in _soils():
        raise MissingDataError(table, name, _soils())
    return name


@cache
def _soils() -> tuple[str, ...]:
    """Give the classes of the table of soils; the joints that use it load numpy, and most walls need none of it."""
    text = files("bracing").joinpath("data/joints.toml").read_text(encoding="utf-8")
    return tuple(
        key for key, row in tomllib.loads(text)["soil"].items() if isinstance(row, dict) and "lateral" in row
    )


# -- lists of values, whose faults name the item ---------------------------------------------------------


def _layers(value: object, metadata: Metadata, where: str) -> tuple[str, ...]:
    if not isinstance(value, tuple | list) or len(value) > MOST_LAYERS:
        raise refused(where, value, f'at most {MOST_LAYERS} layers, such as ["osb 7/16", "housewrap"]')
    one = {KIND: "layer", LEAST: None, MOST: None, ONE_OF: ()}
    return tuple(hold(item, one, f"{where}[{i}]") for i, item in enumerate(value))


def _point(value: object, metadata: Metadata, where: str) -> tuple[float, float]:
    if not isinstance(value, tuple | list) or len(value) != 2:
        raise refused(where, value, A_POINT)
    one = {KIND: "length", LEAST: 0.0, MOST: metadata[MOST], ONE_OF: ()}
    x, y = (hold(item, one, f"{where}[{i}]") for i, item in enumerate(value))
    return x, y


def _points(value: object, metadata: Metadata, where: str) -> tuple[tuple[float, float], ...]:
    if not isinstance(value, tuple | list) or not 2 <= len(value) <= MOST_POINTS:
        raise refused(where, value, SOME_POINTS)
    return tuple(_point(item, metadata, f"{where}[{i}]") for i, item in enumerate(value))


def _lengths(value: object, metadata: Metadata, where: str) -> tuple[float, ...]:
    if not isinstance(value, tuple | list) or len(value) > MOST_POINTS:
        raise refused(where, value, f"at most {MOST_POINTS} lengths, in inches")
    one = {**metadata, KIND: "length"}
    return tuple(hold(item, one, f"{where}[{i}]") for i, item in enumerate(value))


_HOLDERS: dict[str, Callable[[object, Metadata, str], Any]] = {
    **dict.fromkeys(_IN_BASE_UNITS, _number),
    "count": _count,
    "flag": _flag,
    "word": _word,
    "name": _name,
    "text": _text,
    "texts": _texts,
    "moment": _moment,
    "zone": _zone,
    "size": _size,
    "header": _header,
    "species": _species,
    "grade": _grade,
    "fastener": _fastener,
    "layer": _layer,
    "deck": _deck,
    "soil": _soil,
    "layers": _layers,
    "point": _point,
    "points": _points,
    "lengths": _lengths,
}
