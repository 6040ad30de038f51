"""The JSON Schema of the wall file, made from what the fields of the input classes declare.

The shipped copy is data/schemas/wall.json; a test holds it to this. A schema tells an editor keys, kinds,
words and limits of numbers; what only reading can judge (a length's unit and limits, names in tables, what
must fit together) stays with reading.
"""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import attrs

from bracing.job.fields import (
    HELP,
    KIND,
    LEAST,
    MOST,
    MOST_LAYERS,
    MOST_LETTERS,
    MOST_POINTS,
    ONE_OF,
    class_of,
    fields_by_key,
)
from bracing.job.job import Job
from bracing.job.wall import Wall

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


def wall_file_schema(job: type[Job] = Job) -> dict[str, Any]:
    """Make the schema of the wall file.

    Args:
        job: the class of the job.

    Returns:
        The schema, as a JSON object.

    Example:
        >>> wall_file_schema()["properties"]["site"]["properties"]["exposure"]["enum"]
        ['B', 'C', 'D']
    """
    schema = _table(job)
    schema["properties"]["fastener"] = {"type": "array", "items": {"type": "object"}, "maxItems": 100}
    schema["properties"]["fasteners_file"] = {"type": "string", "description": "file of [[fastener]] tables"}
    return {"$schema": DIALECT, "title": "bracing wall file", **schema}


def shipped_schema(name: str = WALL_FILE) -> str:
    """Give the text of a schema shipped with the package.

    Args:
        name: its file name.
    """
    return (files("bracing") / "data" / "schemas" / name).read_text(encoding="utf-8")


def _table(cls: type[Any]) -> dict[str, Any]:
    fields = fields_by_key(cls)
    properties = {key: _field(cls, field) for key, field in fields.items()}
    table = {"type": "object", "additionalProperties": False, "properties": properties}
    needed = [key for key, field in fields.items() if field.default is attrs.NOTHING]
    return (
        {**table, "required": needed} if needed and not issubclass(cls, Wall) else table
    )  # named by its file


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
