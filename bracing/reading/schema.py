"""The JSON Schema of the wall file, made from what the fields of the input classes declare.

The shipped copy is data/schemas/wall.json; a test holds it to this. A schema tells an editor keys, kinds,
words and limits of numbers; what only reading can judge (a length's unit and limits, names in tables, what
must fit together) stays with reading.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

import attrs

from bracing.job.fields import HELP, KIND, LEAST, MOST, ONE_OF, class_of
from bracing.job.holding import MOST_LAYERS, MOST_LETTERS, MOST_POINTS
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.reading.assemble import TopKeys
from bracing.reading.values import fields_by_key

DIALECT = "https://json-schema.org/draft/2020-12/schema"
WALL_FILE = "wall.json"
_EXAMPLES = {
    "length": ["36 ft", "36'-4 1/2\"", "11.1 m"],
    "force": ["700 lb", "3.1 kN"],
    "pressure": ["2.4 psf"],
    "line load": ["5 lb/ft"],
    "time": ["3 weeks", "2 h"],
    "speed": ["115 mph", "51 m/s"],
    "share": ["2 %"],
}
_NAMED = ("name", "size", "header", "species", "grade", "fastener", "deck", "soil", "layer")


def wall_file_schema() -> dict[str, Any]:
    """Make the schema of the wall file.

    Returns:
        The schema, as a JSON object.

    Example:
        >>> wall_file_schema()["properties"]["site"]["properties"]["exposure"]["enum"]
        ['B', 'C', 'D']
    """
    schema = _table(Job)
    schema["properties"]["fastener"] = {"type": "array", "items": {"type": "object"}, "maxItems": 100}
    schema["properties"]["fasteners_file"] = {"type": "string", "description": "file of [[fastener]] tables"}
    return {"$schema": DIALECT, "title": "bracing wall file", **schema}


def wall_file_schema_text() -> str:
    """Write the schema of the wall file as the text that is shipped."""
    return json.dumps(wall_file_schema(), indent=1, ensure_ascii=False) + "\n"


def shipped_schema(name: str = WALL_FILE) -> str:
    """Give the text of a schema shipped with the package.

    Args:
        name: its file name.
    """
    return (files("bracing") / "data" / "schemas" / name).read_text(encoding="utf-8")


def _table(cls: type[Any]) -> dict[str, Any]:
    properties = {key: _field(cls, field) for key, field in fields_by_key(cls).items()}
    needed = [key for key, field in fields_by_key(cls).items() if field.default is attrs.NOTHING]
    if cls is Wall:  # its top is drawn by keys of their own, and a wall nobody named takes its file's name
        properties |= {key: _field(TopKeys, field) for key, field in fields_by_key(TopKeys).items()}
        needed = []
    table = {"type": "object", "additionalProperties": False, "properties": properties}
    return {**table, "required": needed} if needed else table


def _field(cls: type[Any], field: attrs.Attribute[Any]) -> dict[str, Any]:
    kind, about = field.metadata[KIND], {"description": field.metadata[HELP]}
    if kind == "part":
        return about | _table(class_of(cls, field.name))
    if kind == "parts":
        items = _table(class_of(cls, field.name))
        return about | {"type": "array", "maxItems": int(field.metadata[MOST]), "items": items}
    return about | _value(kind, field)


def _value(kind: str, field: attrs.Attribute[Any]) -> dict[str, Any]:
    quantity = {"type": "string", "pattern": "[0-9]", "examples": _EXAMPLES.get(kind, [])}
    if kind in ("count", "number", "share"):
        number = {"type": "integer" if kind == "count" else "number", **_limits(field)}
        return {"anyOf": [number, quantity]} if kind == "share" else number
    if kind == "speed" or (kind == "force" and field.name.endswith("_lb")):
        return {"anyOf": [{"type": "number", **_limits(field)}, quantity]}
    if kind == "flag":
        return {"type": "boolean"}
    if kind == "word":
        return {"enum": list(field.metadata[ONE_OF])}
    if kind in _NAMED:
        return {"type": "string", "minLength": 1, "maxLength": MOST_LETTERS}
    return _LISTS.get(kind, quantity)


def _limits(field: attrs.Attribute[Any]) -> dict[str, float]:
    limits = {"minimum": field.metadata[LEAST], "maximum": field.metadata[MOST]}
    return {key: limit for key, limit in limits.items() if limit is not None}


_LENGTH = {"type": "string", "pattern": "[0-9]"}
_POINT = {"type": "array", "minItems": 2, "maxItems": 2, "items": _LENGTH}
_LISTS = {
    "layers": {"type": "array", "maxItems": MOST_LAYERS, "items": {"type": "string", "minLength": 1}},
    "point": _POINT,
    "points": {"type": "array", "minItems": 2, "maxItems": MOST_POINTS, "items": _POINT},
}
