"""The JSON Schemas of what goes in beside a wall file, and of every answer `--json` gives.

An answer's shape stands with the class that gives it: its keys and their types, to which the type checker holds
`to_dict`. What only a command puts together is put together here of the same shapes. Units stand in the keys. The
shipped copies are data/schemas/*.json; tests hold them to this, and real answers to them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from enum import StrEnum
from types import NoneType, UnionType
from typing import Annotated, Any, NotRequired, Union, get_args, get_origin, get_type_hints, is_typeddict

import attrs

from bracing.box.report import BoxJson
from bracing.chance.answer import ChanceJson
from bracing.chance.mends import MendsJson
from bracing.check import AssumedJson, CheckedJson
from bracing.errors import FaultJson
from bracing.job.brace import Brace
from bracing.job.fields import (
    HELP,
    KIND,
    LEAST,
    MOST,
    MOST_LAYERS,
    MOST_LETTERS,
    MOST_NAMES,
    MOST_POINTS,
    ONE_OF,
    class_of,
    fields_by_key,
)
from bracing.job.house import JOB_FILE, House
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.layout.nearest import NoLayoutJson
from bracing.layout.plan import LaidJson, PlanJson
from bracing.layout.sticks import StockJson
from bracing.lift.day import DayJson
from bracing.lift.plan import LiftJson
from bracing.lift.plumb import PlumbJson
from bracing.panel.weight import TakeOffJson
from bracing.pull.answer import PullJson
from bracing.results import SCHEMA_VERSION, BraceJson, HeaderJson, LinkedJson, ListedJson, LogJson
from bracing.said import Said, Verdict
from bracing.stages.stages import StagesJson
from bracing.stages.take_down import AskedJson, KeptJson
from bracing.stages.walk import BuiltJson
from bracing.storm.answer import StormJson
from bracing.storm.folder import StormJobJson
from bracing.storm.watch import WatchJson
from bracing.text.box import WallTracedJson
from bracing.text.frame import FrameJson
from bracing.text.hand_check import HandCheckJson
from bracing.text.trace import TraceJson
from bracing.work.joints import FastenersJson
from bracing.work.parts import BuyJson

Shape = Mapping[str, Any]  # by key, the type of its value


def keys_of(*shapes: Any) -> dict[str, Any]:  # noqa: ANN401  (a TypedDict, which is no class to the checker)
    """Give the keys of shapes with the types of their values.

    Args:
        shapes: one or more, the later ones over the earlier.

    Example:
        >>> keys_of(FaultJson)["expected"]
        <class 'str'>
    """
    return {key: kind for shape in shapes for key, kind in get_type_hints(shape, include_extras=True).items()}


HEAD, CHECKED = keys_of(HeaderJson), keys_of(CheckedJson)
TOLD: Shape = {"wall": str, "assumed": list[AssumedJson], "cautions": list[Said]}
NONE_FOUND: Shape = {
    **HEAD, "wall": str, "gust_mph": float | None, "verdict": Verdict, "braces": list[BraceJson], "why": str,
    "tried": int,
}  # fmt: skip
FILES: Shape = {"files": list[str]}
PLANNED: Shape = {
    "verdict": Verdict | None, "limit_gust_mph": int | None, "clear_out_gust_mph": int | None,
    "clear_out_gust_with_storms_mph": int | None,
}  # fmt: skip
SHEETS: Shape = {
    **HEAD, **FILES, "left_out": list[FaultJson],
    "walls": [{"file": str, "wall": str, "input_sha256": str, "verdict": Verdict | None, "why": str | None,
               "limit_gust_mph": int | None, "clear_out_gust_mph": int | None,
               "clear_out_gust_with_storms_mph": int | None, "state": str, "plan": (PLANNED,)}],
}  # fmt: skip

BESIDE: Shape = {"clear_out_gust_with_storms_mph": int | None, "needed_too": list[Said], "buy": list[BuyJson]}

RESULTS: dict[str, Shape] = {
    "box": {**keys_of(BoxJson), "trace": NotRequired[list[WallTracedJson]]},
    "built": keys_of(BuiltJson),
    "chance": {**keys_of(ChanceJson), "mends": NotRequired[MendsJson]},
    "check": {**CHECKED, "hand_check": NotRequired[HandCheckJson | None]},
    "fasteners": keys_of(FastenersJson), "lift": {**keys_of(LiftJson), "day": NotRequired[DayJson]},
    "model": keys_of(FrameJson),
    "plumb": {**HEAD, **TOLD, **keys_of(PlumbJson)}, "removal": {**HEAD, **keys_of(KeptJson), **keys_of(AskedJson)},
    "sheets": SHEETS, "stages": keys_of(StagesJson), "storm": keys_of(StormJson), "storm-job": keys_of(StormJobJson),
    "log": keys_of(LogJson), "pull": keys_of(PullJson), "serve": keys_of(LinkedJson),
    "walls": keys_of(ListedJson), "watch": keys_of(WatchJson), "weight": {**HEAD, **TOLD, **keys_of(TakeOffJson)},
}  # fmt: skip
# Answers that come in more than one form: found, none found, and beyond the envelope.
SEVERAL: dict[str, tuple[Shape, ...]] = {
    "layout": ({**CHECKED, **keys_of(PlanJson), "braces": list[LaidJson]}, keys_of(NoLayoutJson), CHECKED),
    "sheet": ({**CHECKED, **FILES, **BESIDE, "plan": (PLANNED,)}, {**NONE_FOUND, **FILES}),
    "stock": (keys_of(StockJson), NONE_FOUND),
    "trace": (keys_of(TraceJson), CHECKED),
}
_PLAIN: dict[Any, dict[str, Any]] = {
    str: {"type": "string"},
    Said: {"type": "string"},
    float: {"type": "number"},
    int: {"type": "integer", "minimum": 0},
    bool: {"type": "boolean"},
    object: {},
    NoneType: {"type": "null"},
}


def schemas() -> dict[str, dict[str, Any]]:
    """Make every schema.

    Returns:
        By name: the wall file, the job folder, forecast, chart, errors, and each answer.

    Example:
        >>> schemas()["check"]["properties"]["schema"]
        {'const': 'bracing.check.1'}
    """
    made = {"wall": wall_file_schema(), "job": _job(), "forecast": _forecast(), "chart": _chart()}
    made |= {name: _answer(name, shape) for name, shape in RESULTS.items()}
    made |= {name: _either(name, *forms) for name, forms in SEVERAL.items()}
    made["errors"] = _head("errors", "faults of the input") | json_schema({"errors": list[FaultJson]})
    return dict(sorted(made.items()))


def schema_text(name: str) -> str:
    """Write one schema as the text that is shipped.

    Args:
        name: its name.
    """
    return json.dumps(schemas()[name], indent=1, ensure_ascii=False) + "\n"


def json_schema(shape: Any) -> dict[str, Any]:  # noqa: ANN401  (any type)
    """Make the JSON Schema of a type.

    Args:
        shape: a plain type, a list or mapping of one, a TypedDict; or keys with their types, a list of one, a tuple of
            one where it may be null.

    Example:
        >>> json_schema(list[int | None])
        {'type': 'array', 'items': {'anyOf': [{'type': 'integer', 'minimum': 0}, {'type': 'null'}]}}
    """
    origin, inside = get_origin(shape), get_args(shape)
    if isinstance(shape, tuple):
        return {"anyOf": [json_schema(shape[0]), _PLAIN[NoneType]]}
    if isinstance(shape, list) or origin is list:
        return {"type": "array", "items": json_schema((inside or shape)[0])}
    if origin in (Union, UnionType):
        forms = [json_schema(kind) for kind in inside]
        several = [form for k, form in enumerate(forms) if form not in forms[:k]]
        return {"anyOf": several} if len(several) > 1 else several[0]
    if isinstance(shape, type) and issubclass(shape, StrEnum):
        return {"enum": [one.value for one in shape]}
    if origin is Annotated:
        return {"enum": list(shape.__metadata__[0])}
    if origin is dict:
        return {"type": "object", "additionalProperties": json_schema(inside[1])}
    if not is_typeddict(shape) and not isinstance(shape, dict):
        return dict(_PLAIN[shape])
    keys = keys_of(shape) if is_typeddict(shape) else shape
    optional = {key: get_args(kind)[0] for key, kind in keys.items() if get_origin(kind) is NotRequired}
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": {key: json_schema(optional.get(key, kind)) for key, kind in keys.items()},
        "required": [key for key in keys if key not in optional],
    }


def _head(name: str, title: str) -> dict[str, Any]:
    return {"$schema": DIALECT, "$id": f"urn:bracing:{name}:{SCHEMA_VERSION}", "title": f"bracing {title}"}


def _answer(name: str, shape: Shape) -> dict[str, Any]:
    made = json_schema({**shape})
    made["properties"]["schema"] = {"const": f"bracing.{name}.{SCHEMA_VERSION}"}
    return _head(name, f"answer: {name}") | made


def _either(name: str, *shapes: Shape) -> dict[str, Any]:
    """Make the schema of an answer that comes in more than one form."""
    forms = [_answer(name, shape) for shape in shapes]
    plain = [{key: value for key, value in form.items() if key[:1] != "$"} for form in forms]
    return _head(name, f"answer: {name}") | {"oneOf": plain}


# -- what goes in beside a wall file ---------------------------------------------------------------------


def _job() -> dict[str, Any]:
    """A job is a folder: seen as an object, its file names with the tables of each wall file, and of its job.toml."""
    wall = {key: value for key, value in wall_file_schema().items() if key[:1] != "$"}
    return _head("job", "job folder: a wall file each") | {
        "type": "object", "properties": {JOB_FILE: _table(House)}, "minProperties": 1,
        "patternProperties": {rf"^(?!{re.escape(JOB_FILE)}$).*\.toml$": wall},
    }  # fmt: skip


def _forecast() -> dict[str, Any]:
    speed = {"anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": "[0-9]"}]}
    flag = {"anyOf": [{"type": "boolean"}, {"type": "string"}, {"type": "integer"}]}
    row = {
        "type": "object", "required": ["time"], "anyOf": [{"required": ["gust"]}, {"required": ["sustained"]}],
        "properties": {"time": {"type": "string"}, "gust": speed, "sustained": speed, "thunderstorm": flag,
                       "weather": {"type": "string"}},
    }  # fmt: skip
    return _head("forecast", "forecast, hour by hour") | {
        "type": "object", "required": ["hours"],
        "properties": {"time_zone": {"type": "string"}, "unit": {"enum": ["mph", "kt", "km/h", "m/s"]},
                       "hours": {"type": "array", "minItems": 1, "items": row}},
    }  # fmt: skip


def _chart() -> dict[str, Any]:
    """A load chart is CSV: seen as a list, each line as an object by the names of its columns."""
    cell = {"type": "string", "pattern": r"^\s*-?[0-9]+(\.[0-9]+)?\s*$"}
    names = ("reach_ft", "reach_m", "height_ft", "height_m", "capacity_lb", "capacity_kg")
    one_of = [[{"required": [f"{what}_{unit}"]} for unit in units] for what, units in
              (("reach", ("ft", "m")), ("capacity", ("lb", "kg")))]  # fmt: skip
    row = {
        "type": "object", "additionalProperties": False, "properties": dict.fromkeys(names, cell),
        "allOf": [{"oneOf": choice} for choice in one_of],
    }  # fmt: skip
    return _head("chart", "load chart, a line each") | {"type": "array", "minItems": 1, "items": row}


def write_shipped() -> None:
    """Write the shipped copies anew, from a checkout."""
    from importlib.resources import as_file, files

    for name in schemas():
        with as_file(files("bracing") / "data" / "schemas") as folder:
            (folder / f"{name}.json").write_text(schema_text(name), encoding="utf-8", newline="\n")


# -- the wall file itself, of what the fields of the input classes declare -------------------------------

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_EXAMPLES = {
    "length": ["36 ft", "36'-4 1/2\"", "11.1 m"],
    "force": ["700 lb", "3.1 kN"],
    "pressure": ["2.4 psf"],
    "line load": ["5 lb/ft"],
    "time": ["3 weeks", "2 h"],
    "speed": ["115 mph", "51 m/s"],
    "share": ["2 %"],
    "pitch": ["6/12"],
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


def _table(cls: type[Any]) -> dict[str, Any]:
    fields = fields_by_key(cls)
    properties = {key: _field(cls, field) for key, field in fields.items()}
    table = {"type": "object", "additionalProperties": False, "properties": properties}
    needed = [key for key, field in fields.items() if field.default is attrs.NOTHING]
    if issubclass(cls, Wall | Brace):  # a wall is named by its file, a brace by where it stands
        needed = [key for key in needed if key not in ("name", "mark")]
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
    "names": {
        "type": "array",
        "maxItems": MOST_NAMES,
        "items": {"type": "string", "minLength": 1, "maxLength": MOST_LETTERS},
    },
    "forces": {"type": "array", "minItems": 1, "maxItems": MOST_POINTS, "items": _LENGTH},
    "counts": {"type": "array", "minItems": 1, "maxItems": MOST_POINTS, "items": {"type": "integer"}},
    "point": _POINT,
    "points": {"type": "array", "minItems": 2, "maxItems": MOST_POINTS, "items": _POINT},
}


if __name__ == "__main__":
    write_shipped()
