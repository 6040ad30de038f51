"""Tables of a file into the input classes, by what their fields declare; unknown keys and gaps are faults.

A table is read to its end whatever is wrong in it, so that a person sees every fault at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

import attrs

from bracing.errors import InputError, counted, near_names
from bracing.job.fields import KEY, KIND, MOST, NO_KEY, class_of
from bracing.reading.values import Reading, read_value

T = TypeVar("T")
NO_NAME = '""'  # TOML takes an empty key
_FIELDS: dict[type[Any], dict[str, attrs.Attribute[Any]]] = {}


def fields_by_key(cls: type[Any]) -> dict[str, attrs.Attribute[Any]]:
    """Give the declared fields of an input class by their key in the file.

    Args:
        cls: the class.

    Example:
        >>> from bracing.job.floor import KeepOut
        >>> list(fields_by_key(KeepOut))
        ['name', 'from', 'to']
    """
    if cls not in _FIELDS:
        declared = (field for field in attrs.fields(cls) if field.metadata.get(KEY, NO_KEY) != NO_KEY)
        _FIELDS[cls] = {field.metadata[KEY] or field.name: field for field in declared}
    return _FIELDS[cls]


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
            reading.faults.add(
                path, value, f"a known key; near: {', '.join(near)}" if near else "a known key"
            )
    for key, field in fields.items():
        if field.default is attrs.NOTHING and key not in table and key not in beside:
            reading.faults.add(f"{where}.{key}" if where else key, None, field.metadata["help"])
            values[field.name] = None
    return values


def missing(value: object) -> bool:
    """Whether a value was refused, or a list holds one that was.

    Args:
        value: as given by read_fields().
    """
    return value is None or (isinstance(value, tuple) and None in value)


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
