"""Tables of a file into the input classes, value by value, by what their fields declare; unknown keys are faults."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from itertools import count
from math import inf
from typing import Any, TypeVar

import attrs
from attrs import field, frozen

from bracing import units
from bracing.errors import (
    Fault,
    InputError,
    MissingDataError,
    counted,
    near_names,
    shown,
    table_and_near,
    with_near,
)
from bracing.job.fasteners import Fastener, fastener
from bracing.job.fields import KIND, LISTS, MOST, Metadata, class_of, fields_by_key, hold, listed

_PER_CENT = re.compile(r"^([0-9]+(?:\.[0-9]+)?) ?%$")
_LINE_LOAD = 'a load along a line, such as "5 lb/ft" or "70 N/m"'

MOST_FAULTS = 200


class Faults:
    """The faults of one file, in the order they are found.

    Attributes:
        file: the file they are in, or "command line".
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self._found: list[Fault] = []

    def add(self, field: str, value: object, expected: str) -> None:
        """Note one fault.

        Args:
            field: dotted path of the field.
            value: what was written.
            expected: what is expected there.

        Raises:
            InputError: there are too many to go on; all found so far.
        """
        self._found.append(Fault(self.file, field, shown(value), expected))
        if len(self._found) >= MOST_FAULTS:
            self._found.append(
                Fault(self.file, "file", f"{MOST_FAULTS} faults", "fewer: the rest is not read")
            )
            self.raise_if_any()

    def take(self, faults: Iterable[Fault]) -> None:
        """Note faults found elsewhere, each already with its file."""
        self._found.extend(faults)

    def raise_if_any(self) -> None:
        """Raise all of them together.

        Raises:
            InputError: there is at least one.
        """
        if self._found:
            raise InputError(self._found)


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
        metadata: of the field, from declared().
        where: dotted path, for a fault.
        reading: where faults go.

    Returns:
        The value in base units; None where it was refused and the fault noted.
    """
    kind = metadata[KIND]
    try:
        if kind in LISTS:
            read = listed(value, metadata, where, one=partial(read_value, reading=reading))
            return None if kind != "layers" and None in read else read
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


_READERS: dict[str, Callable[..., Any]] = {  # of the kinds whose text is not the value itself
    "length": _quantity(units.length),
    "speed": _quantity(units.speed, bare=True),
    "force": _force,
    "pressure": _quantity(units.pressure),
    "line load": _quantity(line_load),
    "time": _quantity(units.duration),
    "pitch": _quantity(units.pitch),
    "share": _share,
    "fastener": _fastener,
}


T = TypeVar("T")
NO_NAME = '""'  # TOML takes an empty key


def structure(cls: type[T], table: object, where: str, *, reading: Reading) -> T | None:
    """Make one input class of its table.

    Args:
        cls: the class.
        table: as parsed.
        where: dotted path of the table.
        reading: where faults go.

    Returns:
        The object; None where a value was refused or is missing.
    """
    if not isinstance(table, dict):
        reading.faults.add(where, table, f"a table, [{where}]")
        return None
    values = read_fields(cls, table, where, reading=reading)
    if any(missing(value) for value in values.values()):
        return None
    try:
        return cls(**values)
    except InputError as error:  # each field is good by itself: they do not fit together
        for fault in error.faults:
            reading.faults.add(f"{where}.{_key(cls, fault.field)}", fault.value, fault.expected)
        return None


def _key(cls: type[Any], where: str) -> str:
    """Give the key in the file of a field that a class names in a fault, such as "KeepOut.opposite"."""
    name = where.removeprefix(f"{cls.__name__}.")
    return next((key for key, field in fields_by_key(cls).items() if field.name == name), name)


def read_fields(
    cls: type[Any],
    table: Mapping[str, object],
    where: str,
    *,
    reading: Reading,
    beside: Iterable[str] = (),
) -> dict[str, Any]:
    """Read the fields of one table.

    Args:
        cls: the class they belong to.
        table: as parsed.
        where: dotted path of the table; empty for the file itself.
        reading: where faults go.
        beside: keys of the table that are read elsewhere.

    Returns:
        By field name what the file gives; None for what was refused or is missing.
    """
    fields, beside = fields_by_key(cls), tuple(beside)
    values: dict[str, Any] = {}
    for key, value in table.items():
        path = f"{where}.{key or NO_NAME}" if where else key or NO_NAME
        if key in fields:
            values[fields[key].name] = _read(cls, fields[key], value, path, reading=reading)
        elif key not in beside:
            near = near_names(key, (*fields, *beside)) if len(key) <= 40 else ()
            reading.faults.add(path, value, with_near("a known key", near))
    for key, one in fields.items():
        if one.default is attrs.NOTHING and key not in table and key not in beside:
            reading.faults.add(f"{where}.{key}" if where else key, None, one.metadata["help"])
            values[one.name] = None
    return values


def missing(value: object) -> bool:
    """Whether a value was refused, or a list holds one that was.

    Args:
        value: as given by read_fields().
    """
    return value is None or (isinstance(value, tuple) and None in value)


def nested(values: Mapping[str, object]) -> dict[str, Any]:
    """Give values as the tables of a wall file.

    Args:
        values: by dotted path.

    Example:
        >>> nested({"wall.length": "36 ft", "wall.studs.size": "2x6"})
        {'wall': {'length': '36 ft', 'studs': {'size': '2x6'}}}
    """
    tables: dict[str, Any] = {}
    for path, value in values.items():
        put(tables, path, value)
    return tables


def put(tables: dict[str, Any], path: str, value: object) -> None:
    """Put a value into the tables of a wall file.

    Args:
        tables: the tables.
        path: its dotted path.
        value: the value.
    """
    *on_the_way, last = path.split(".")
    for name in on_the_way:
        tables = tables.setdefault(name, {})
    tables[last] = value


def marked(braces: Any) -> Any:  # noqa: ANN401  (whatever is written there)
    """Give braces without a mark theirs: B1, B2, ... from LEFT, past those that are taken.

    Args:
        braces: tables of braces; anything else is given back as it is.

    Example:
        >>> [brace["mark"] for brace in marked([{"stud_at": "9 ft"}, {"stud_at": "4-0"}, {"mark": "B1"}])]
        ['B3', 'B2', 'B1']
    """
    if not isinstance(braces, list) or all(not isinstance(one, Mapping) or "mark" in one for one in braces):
        return braces
    taken = {one["mark"] for one in braces if isinstance(one, Mapping) and isinstance(one.get("mark"), str)}
    free = (mark for mark in map("B{}".format, count(1)) if mark not in taken)
    bare = [i for i, one in enumerate(braces) if isinstance(one, Mapping) and "mark" not in one]
    marks = dict(zip(sorted(bare, key=lambda i: _place(braces[i])), free, strict=False))
    return [{"mark": marks[i], **one} if i in marks else one for i, one in enumerate(braces)]


def _place(brace: Mapping[str, Any]) -> units.Inch:
    """Give where a brace stands; past every other where that cannot be read, which is a fault of its own."""
    try:
        return units.length(brace.get("stud_at"))
    except InputError:
        return inf


def declared_paths(tables: Mapping[str, object]) -> frozenset[str]:
    """Give the dotted path of every value a person gave.

    Args:
        tables: as parsed.

    Example:
        >>> sorted(declared_paths({"wall": {"layers": ["osb 7/16"], "row": [{"size": "2x4"}]}}))
        ['wall.layers', 'wall.row[0].size']
    """
    return frozenset(_leaves("", tables))


def _leaves(where: str, value: object) -> Iterable[str]:
    if isinstance(value, Mapping):
        for key, inside in value.items():
            yield from _leaves(f"{where}.{key}" if where else key, inside)
    elif isinstance(value, list) and value and all(isinstance(item, Mapping) for item in value):
        for i, item in enumerate(value):
            yield from _leaves(f"{where}[{i}]", item)
    else:
        yield where


def _read(cls: type[Any], field: attrs.Attribute[Any], value: object, path: str, *, reading: Reading) -> Any:  # noqa: ANN401  (any field value)
    kind = field.metadata[KIND]
    if kind == "part":
        return structure(class_of(cls, field.name), value, path, reading=reading)
    if kind == "parts":
        most = int(field.metadata[MOST])
        if not isinstance(value, list) or len(value) > most:
            reading.faults.add(path, counted(value), f"at most {most} tables, each headed [[{path}]]")
            return None
        part = class_of(cls, field.name)
        return tuple(structure(part, item, f"{path}[{i}]", reading=reading) for i, item in enumerate(value))
    return read_value(value, field.metadata, path, reading=reading)
