"""How a field of an input class says what it holds: reading, schemas and the manual look it up here.

A class holds every value it is made with to what its field declares, as strictly as the reader of files does.
"""

from __future__ import annotations

from types import NoneType
from typing import Any, get_args, get_type_hints

import attrs
from attrs import NOTHING, Converter, field

from bracing.errors import refused
from bracing.job.holding import HELP, KEY, KIND, LEAST, MOST, ONE_OF, held_part, hold

__all__ = [
    "HELP",
    "KEY",
    "KIND",
    "LEAST",
    "MOST",
    "NO_KEY",
    "ONE_OF",
    "beside",
    "class_of",
    "declared",
    "keyed",
]
NO_KEY = ""  # of a field that no key of the file gives
_HINTS: dict[type[Any], dict[str, Any]] = {}


def declared(
    kind: str,
    about: str,
    *,
    default: Any = NOTHING,  # noqa: ANN401  (any field value)
    one_of: tuple[str, ...] = (),
    least: float | None = None,
    most: float | None = None,
) -> Any:  # noqa: ANN401  (attrs' own signature)
    """Declare one field of an input class.

    Args:
        kind: a quantity ("length", "speed", "force", "pressure", "line load", "time"), "count", "number",
            "share" (a number or a percentage), "flag", "word" (one of a few), "name" (free text), a name that
            is in a table ("size", "header", "species", "grade", "fastener", "deck", "soil", "layers"), "point"
            (x, y), "points", "part" (another class) or "parts" (a tuple of one).
        about: one line for the manual: what it is, and its low default.
        default: the low default; none means the file must give it.
        one_of: the words allowed, for kind "word".
        least: least value allowed, in base units.
        most: greatest value allowed, in base units; of "parts", how many.

    Returns:
        The attrs field.
    """
    metadata = {KIND: kind, HELP: about, ONE_OF: one_of, LEAST: least, MOST: most, KEY: None}
    return field(default=default, metadata=metadata, converter=_CONVERTER)


def keyed(
    key: str,
    kind: str,
    about: str,
    *,
    default: Any = NOTHING,  # noqa: ANN401  (any field value)
    most: float | None = None,
) -> Any:  # noqa: ANN401  (attrs' own signature)
    """Declare a field whose key in the file is not its name, such as "opening" for the tuple of openings.

    Args:
        key: the key in the file.
        kind: as for declared().
        about: one line for the manual.
        default: the low default; none means the file must give it.
        most: greatest value allowed, in base units; of "parts", how many.

    Returns:
        The attrs field.
    """
    metadata = {KIND: kind, HELP: about, ONE_OF: (), LEAST: None, MOST: most, KEY: key}
    return field(default=default, metadata=metadata, converter=_CONVERTER)


def beside(
    kind: str,
    *,
    default: Any = NOTHING,  # noqa: ANN401  (any field value)
    most: float | None = None,
) -> Any:  # noqa: ANN401  (attrs' own signature)
    """Declare a field of an input class that no key of the file gives; it is held to its kind all the same.

    Args:
        kind: as for declared().
        default: what it is unless given.
        most: of "parts", how many.

    Returns:
        The attrs field.
    """
    metadata = {KIND: kind, HELP: "", ONE_OF: (), LEAST: None, MOST: most, KEY: NO_KEY}
    return field(default=default, metadata=metadata, converter=_CONVERTER)


def class_of(cls: type[Any], name: str) -> type[Any]:
    """Give the class that a field of kind "part" or "parts" holds.

    Args:
        cls: the class the field is in.
        name: the field.

    Example:
        >>> from bracing.job.wall import Wall
        >>> class_of(Wall, "openings").__name__
        'Opening'
    """
    hint = _hints(cls)[name]
    inside = [kind for kind in get_args(hint) if attrs.has(kind)]
    return inside[0] if inside else hint


def _hints(cls: type[Any]) -> dict[str, Any]:
    if cls not in _HINTS:
        _HINTS[cls] = get_type_hints(cls)
    return _HINTS[cls]


# -- an object that is being made ------------------------------------------------------------------------


def _made_with(value: object, made: object, of: attrs.Attribute[Any]) -> Any:  # noqa: ANN401  (any field value)
    """Hold a value that an object is made with; its own default has been held before."""
    if value is of.default:
        return value
    kind, where = of.metadata[KIND], f"{type(made).__name__}.{of.name}"
    if value is None and NoneType in get_args(_hints(type(made))[of.name]):
        return None
    if kind == "part":
        return held_part(value, class_of(type(made), of.name), where)
    if kind == "parts":
        return _parts(value, class_of(type(made), of.name), int(of.metadata[MOST]), where)
    return hold(value, of.metadata, where)


_CONVERTER = Converter(_made_with, takes_self=True, takes_field=True)


def _parts(value: object, cls: type[Any], most: int, where: str) -> tuple[object, ...]:
    if not isinstance(value, tuple | list) or len(value) > most:
        raise refused(where, value, f"a tuple of at most {most}, each a {cls.__name__}")
    return tuple(held_part(item, cls, f"{where}[{i}]") for i, item in enumerate(value))
