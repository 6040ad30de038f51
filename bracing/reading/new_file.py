"""Values into a wall file a person goes on editing: every field there is, with what it means.

A field nobody knows stands as a comment with the low value that counts for it: taking the "# " away changes nothing
but that it is declared.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import attrs

from bracing._version import __version__
from bracing.errors import ChangedError
from bracing.job.fields import HELP, KIND, ON, PARTS, fields_by_key, places
from bracing.job.job import Job
from bracing.job.wall import TopKeys
from bracing.reading.answers import refuse
from bracing.reading.files import compare_and_replace
from bracing.reading.schema import shipped_schema
from bracing.reading.writing import length_text
from bracing.units import INCHES_PER_FOOT

SCHEMA_FILE = "bracing-wall.schema.json"
COLUMN = 46
HEAD = f"""\
#:schema ./{SCHEMA_FILE}
# {{name}}. Written by `bracing start`, bracing {__version__}.
#
# A line such as `# spacing = "24 in"` is not known: that low value counts until you take the "# " away and write
# what is so. Lengths, speeds and forces carry their unit: "36 ft", "36'-4 1/2\\"", "11.1 m", "58 mph", "700 lb".
# x is taped along the wall from LEFT: left for somebody on the brace side, facing the wall.
"""


def wall_text(values: Mapping[str, object]) -> str:
    """Write a wall file.

    Args:
        values: by dotted path, as typed.

    Returns:
        The text of the file.
    """
    lines = [HEAD.rstrip().format(name=values.get("wall.name", "A wall"))]
    for place in places(Job):
        where = place.path
        if place.kind == "part" and place.inside is not None and _shown(where, values):
            lines += [f"\n[{where}]", *_fields(where, place.inside, values)]
        elif place.kind == "parts":
            lines += _list_tables(where, values)
    lines += _list_tables("fastener", values)
    return "\n".join(lines) + "\n"


def write_new_wall(path: str | os.PathLike[str], values: Mapping[str, object]) -> tuple[str, ...]:
    """Write a new wall file, and the schema its first line names beside it.

    Args:
        path: the file; one that is there is never written over.
        values: by dotted path.

    Returns:
        The files written.

    Raises:
        InputError: the file is there, or cannot be written.
    """
    file = Path(path)
    written = [str(file)]
    try:
        compare_and_replace(file, wall_text(values).encode("utf-8"), was=None)
        written += _schema_beside(file)
    except (ChangedError, FileExistsError):
        refuse("FILE", str(file), "a name that is not taken; the file was not changed")
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        refuse("FILE", str(file), f"a file that can be written ({why.lower()})")
    return tuple(written)


def _schema_beside(file: Path) -> list[str]:
    """Write the schema beside a wall file, unless there is one or another run is just writing it."""
    schema = file.parent / SCHEMA_FILE
    with contextlib.suppress(ChangedError, FileExistsError):
        compare_and_replace(schema, shipped_schema().encode("utf-8"), was=None)
        return [str(schema)]
    return []


def tables_of(values: Mapping[str, object]) -> dict[str, Any]:
    """Give values as the tables of a wall file.

    Args:
        values: by dotted path.

    Example:
        >>> tables_of({"wall.length": "36 ft", "wall.studs.size": "2x6"})
        {'wall': {'length': '36 ft', 'studs': {'size': '2x6'}}}
    """
    tables: dict[str, Any] = {}
    for path, value in values.items():
        *on_the_way, last = path.split(".")
        here = tables
        for name in on_the_way:
            here = here.setdefault(name, {})
        here[last] = value
    return tables


ONLY_ON = {place.path: place.field.metadata[ON] for place in places(Job) if place.field.metadata[ON]}


def _shown(where: str, values: Mapping[str, object]) -> bool:
    """Tables that play no part are left out: those of another floor, returns at free ends, and a walk."""
    if where in ONLY_ON:
        given = any(path.startswith(f"{where}.") for path in values)
        return _floor_fits(where, values) and (given or where != "floor.joists")
    if where.endswith("_return"):
        return values.get(where.replace("_return", "_end")) == "return"
    return where != "built"


def _floor_fits(path: str, values: Mapping[str, object]) -> bool:
    return path not in ONLY_ON or ONLY_ON[path] == values.get("floor.kind", "deck")


def _fields(where: str, cls: type[Any], values: Mapping[str, object]) -> Iterator[str]:
    fields = fields_by_key(cls)
    for key in sorted(fields, key=lambda key: key != "name"):  # the name of a thing stands first
        path = f"{where}.{key}"
        if fields[key].metadata[KIND] not in PARTS and _floor_fits(path, values):
            line = _line(key, fields[key], path, values)
            if line:
                yield line


def _line(key: str, field: attrs.Attribute[Any], path: str, values: Mapping[str, object]) -> str:
    about = field.metadata[HELP]
    if path in values:
        return _beside(f"{key} = {_toml(values[path])}", about)
    default = field.default
    if default is None or default is attrs.NOTHING or default in ((), ""):
        top = path.startswith("wall.") and key in fields_by_key(TopKeys)
        return "" if top or default is attrs.NOTHING else f"# {key}: {about}; not known"
    return _beside(f"# {key} = {_toml(written(default, field.metadata[KIND]))}", about)


def _beside(setting: str, about: str) -> str:
    return f"{setting:<{COLUMN}}# {about}" if len(setting) < COLUMN else f"{setting}  # {about}"


def written(value: object, kind: str) -> object:
    """Write a value in base units as a wall file has it.

    Args:
        value: the value.
        kind: the kind of its field.

    Example:
        >>> written(24.0, "length"), written(0.02, "share"), written(5.0 / 12.0, "line load")
        ('24 in', 0.02, '5 lb/ft')
    """
    if not isinstance(value, int | float) or isinstance(value, bool):
        return value
    if kind == "length":
        inches = f"{value:g} in"  # what is under 4 ft is said in inches
        return inches if value < 48.0 and float(f"{value:g}") == value else length_text(float(value))
    if kind == "force":
        return f"{value:g} lb"
    if kind == "line load":
        return f"{value * INCHES_PER_FOOT:g} lb/ft"
    return value


def _list_tables(path: str, values: Mapping[str, object]) -> Iterator[str]:
    rows = values.get(path, [])
    for row in rows if isinstance(rows, list) else []:
        yield f"\n[[{path}]]"
        yield from (f"{key} = {_toml(value)}" for key, value in row.items())


def _toml(value: object) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_toml(item) for item in value)}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{key} = {_toml(item)}' for key, item in value.items())} }}"
    return json.dumps(value, ensure_ascii=False)
