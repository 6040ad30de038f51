"""The JSON Schemas of what goes in beside a wall file, and of every answer `--json` gives.

Written short: "text", "number", "count" and "flag", each with "?" where it may be null; a dict is an object with
exactly these keys, those that end in "?" only from the command and not from `to_dict`; a list of one is a list of it;
{"*": x} is an object by names of the job's own, such as marks. Units stand in the keys. The shipped copies are
data/schemas/*.json; tests hold them to this, and real answers to them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from bracing.reading.schema import DIALECT, wall_file_schema
from bracing.results import SCHEMA_VERSION

Shape = Any  # a word, a list of one, or a dict of shapes
TEXTS: Shape = ["text"]
WHERE: Shape = {"link": "text", "direction": "direction", "mark": "text?"}
ASSUMED: Shape = [{"field": "text", "value": "any", "why": "text", "effect_mph": "number?"}]
HEAD: dict[str, Shape] = {"program": "text", "standards": TEXTS, "input_sha256": "text"}
FAULTS: Shape = [{"file": "text", "field": "text", "value": "text", "expected": "text"}]
BRACE: dict[str, Shape] = {
    "mark": "text", "x_ft": "number", "foot_x_ft": "number", "head_ft": "number", "set_back_ft": "number",
    "angle_deg": "number", "length_ft": "number", "stock": "text", "lap_side": "text", "push_lb": "number",
    "pull_lb": "number", "foot_down_lb": "number", "foot_up_lb": "number", "not_counted": "text?",
}  # fmt: skip
LINK: Shape = {
    "link": "text", "direction": "direction", "mark": "text?", "x_ft": "number?", "demand": "number?",
    "capacity": "number", "unit": "text", "ratio": "number?", "limit_gust_mph": "number?", "source": "text",
    "why": "text", "known": "text",
}  # fmt: skip
CASE: Shape = {
    "case": "text", "direction": "direction", "gap": "text", "plates": "text", "slip": "text", "wind_lb": "number",
    "wind_moment_lbft": "number", "total_lb": "number", "moment_about_plate_lbft": "number",
    "plate_shear_lb": "number", "return_lb": "number", "return_moment_lbft": "number", "held": "flag",
    "brace_horizontal_lb": {"*": "number"},
}  # fmt: skip
CHECKED: dict[str, Shape] = {
    **HEAD, "wall": "text", "state": "text", "gust_mph": "number?", "verdict": "verdict?",
    "limit_gust_mph": "count?", "clear_out_gust_mph": "count?", "clear_out_on_meter_mph": "count?",
    "limit_gust_one_missing_mph": "count?", "one_missing_mph": {"*": "count"},
    "gives_first": ("?", {**WHERE, "x_ft": "number?"}), "statement": "text",
    "zone_ft": {"inside": "number", "outside": "number"}, "pressure_psf": "number?", "loads_gust_mph": "number?",
    "construction_period_wind": (
        "?", {"design_speed_mph": "number", "factor": "number", "equivalent_gust_mph": "number"},
    ),
    "engineer": TEXTS, "warnings": TEXTS, "assumed": ASSUMED, "cautions": TEXTS, "braces": [BRACE], "links": [LINK],
    "loads": ("?", {"total_lb": "number", "cases": [CASE]}),
}  # fmt: skip
CHECK: dict[str, Shape] = {
    **CHECKED,
    "hand_check?": ("?", {
        "pressure_psf": "number", "resultant_raised": "flag", "sum_by_hand_lb": "number",
        "sum_of_grillage_lb": "number", "why": TEXTS,
        "braces": [{"mark": "text", "width_ft": "number", "by_hand_lb": "number", "grillage_lb": "number"}],
    }),
}  # fmt: skip
LAID: dict[str, Shape] = {
    **BRACE, "order": "count", "stud": "text", "long_point_in": "number", "foot_angle_deg": "number",
    "head_angle_deg": "number", "head_cut": "text", "level_face_in": "number", "head_fasteners_that_fit": "count",
    "cleat_fasteners_that_fit": "count", "stick": "text?", "ties": "count", "stiffener": "text",
    "stud_doubled": "flag", "head_fasteners": "count", "cleat_fasteners": "count", "floor_fasteners": "count",
    "into_joist": "flag",
}  # fmt: skip
LAYOUT: dict[str, Shape] = {
    **CHECKED, "braces": [LAID], "proved_least": "flag", "recipe": "text", "needed_too": TEXTS,
    "grid": {"recipes": "count", "makes": "count", "layouts_with_fewer": "count", "evaluated": "count",
             "said": "text"},
    "buy": [{"what": "text", "count": "number", "unit": "text"}],
    "cutting": [{"stick": "text", "left_in": "number", "pieces": [{"what": "text", "length_in": "number"}]}],
    "alternatives": [{
        "what": "text", "braces": "count", "recipe": "text", "lumber_board_ft": "number", "fasteners": "count",
        "tie_rows": "count", "studs_doubled": "flag", "limit_gust_mph": "count",
    }],
    "after_each_mph": ["count"], "day_gust_mph": "number", "hook_stays_until": "text?", "hook_needs": TEXTS,
    "walk_braces": "count?",
    "braces_without_strongback": "count?",
    "asked_one_missing_mph": "number?", "braces_ignored": "count", "interrupted": "flag",
}  # fmt: skip
NONE_FOUND: dict[str, Shape] = {
    **HEAD, "wall": "text", "gust_mph": "number?", "verdict": "verdict", "braces": [BRACE], "why": "text",
    "tried": "count",
}  # fmt: skip
FILES: dict[str, Shape] = {"files": TEXTS}
PLANNED: Shape = ("?", {"verdict": "verdict?", "limit_gust_mph": "count?", "clear_out_gust_mph": "count?"})
SHEETS: dict[str, Shape] = {
    **HEAD, **FILES,
    "walls": [{"file": "text", "wall": "text", "input_sha256": "text", "verdict": "verdict?", "why": "text?",
               "limit_gust_mph": "count?", "clear_out_gust_mph": "count?", "state": "text", "plan": PLANNED}],
}  # fmt: skip
STEPS: Shape = [{"what": "text", "sum": "text", "value": "number?", "unit": "text", "source": "text"}]
TRACE: dict[str, Shape] = {
    **HEAD, "wall": "text", "state": "text", "gust_mph": "number", "limit_gust_mph": "count",
    "clear_out_gust_mph": "count", "verdict": "verdict?", "wind": STEPS,
    "links": [{"sentence": "text", **LINK, "steps": STEPS}],
    "never_reached": TEXTS, "cautions": TEXTS,
    "count_for_nothing": [{**WHERE, "limit_gust_mph": "number?"}],
}  # fmt: skip
STOCK: dict[str, Shape] = {
    **HEAD, "wall": "text", "height_ft": "number", "gust_mph": "number", "every_ft": "number",
    "moment_lbft_per_ft": "number", "too_short": TEXTS,
    "rows": [{
        "stock": "text", "ties": "count", "stiffener": "text", "angle_deg": "number", "head_ft": "number",
        "set_back_ft": "number", "force_lb": "number", "push_lb": "number", "pull_lb": "number", "lift_lb": "number",
        "stretch_ft": "number", "governs": "text", "why": "text?",
    }],
}  # fmt: skip
LISTED: dict[str, Shape] = {
    **HEAD, "results": "text", "gust_mph": "number", "rows": "count", "done_before": "count", "done_again": "count",
    "no_braces_on_file": "count",
    "verdicts": {"*": "count"},
}  # fmt: skip
BUILT: dict[str, Shape] = {
    **HEAD, "wall": "text", "file": "text", "state": "text", "when": "text", "by": "text", "asked": "count",
    "differ": "count", "found": [{"mark": "text", "what": "text"}], "braces": TEXTS, "limit_gust_mph": "count?",
    "clear_out_gust_mph": "count?", "limit_gust_as_planned_mph": "count?", "engineer": TEXTS, "cautions": TEXTS,
}  # fmt: skip
FASTENERS: dict[str, Shape] = {
    **HEAD, "wall": "text", "gust_mph": "number", "held": "flag", "engineer": TEXTS, "as_if_counted": TEXTS,
    "cautions": TEXTS,
    "joints": [{
        "joint": "text", "mark": "text?", "x_ft": "number?", "shear_lb": "number", "tension_lb": "number",
        "withdrawal_wind": "text?", "per": "text", "note": "text?", "unreckoned": "text?",
        "choices": [{
            "fastener": "text", "kind": "text", "moisture": "text", "lateral_lb": "number", "axial_lb": "number",
            "lateral_mode": "text", "axial_mode": "text", "governs": "text", "needed": "count?", "fit": "count?",
            "fit_bored": "count?", "fits": "flag", "use": "number?", "notes": TEXTS,
        }],
    }],
}  # fmt: skip
TRUCK: Shape = {"*": "count"}
STORM: dict[str, Shape] = {
    **HEAD, "wall": "text", "file": "text", "state": "text", "verdict": "verdict", "engineer": TEXTS,
    "clear_out_gust_mph": "count?", "clear_out_at": "text?", "out_by": "text?", "lead_s": "number",
    "limit_gust_mph": "count?", "limit_gust_one_missing_mph": "count?", "gives_first": ("?", WHERE),
    "first_over": "text?", "worst": {"from": "text", "gust_mph": "number"},
    "forecast": {"source": "text", "notes": TEXTS, "not_covered_until": "text?"}, "warnings": TEXTS,
    "assumed": ASSUMED, "cautions": TEXTS,
    "hours": [{
        "from": "text", "to": "text?", "given_mph": "number", "basis": "text", "thunderstorm": "flag",
        "gust_mph": "number", "limit_gust_mph": "count", "verdict": "verdict", "out": "flag",
    }],
    "ladder": ("?", {
        "covers": "flag", "why_not": "text?", "plans_tried": "count", "minutes_for_two": "count", "start_by": "text?",
        "time_for_all": "flag", "truck": TRUCK,
        "rungs": [{"kind": TEXTS, "what": TEXTS, "marks": TEXTS, "limit_gust_mph": "count",
                   "minutes_for_two": "count", "truck": TRUCK}],
    }),
    "lay_down": ("?", {"before": "text?", "lift_limit_mph": "number?", "lift_limit_set_by": "text?"}),
    "standing": ("?", {
        "stands_s": "number", "until": "text", "nights": "count", "weekends": "count", "factor": "number",
        "design_speed_mph": "number?", "equivalent_gust_mph": "number?",
    }),
}  # fmt: skip
SCHEMA_OF: dict[str, Shape] = {"schema": "text"}
STORM_JOB: dict[str, Shape] = {
    **HEAD, "verdict": "verdict", "no_braces_on_file": TEXTS, "walls": [{**SCHEMA_OF, **STORM}],
    "truck": TRUCK, "errors": FAULTS,
}  # fmt: skip
AT: Shape = {"x": "number", "z": "number", "behind_face": "number"}
PARTS: Shape = [{
    "part": "text", "pieces": "count", "weight_lb": "number", "x_ft": "number", "z_ft": "number", "source": "text",
}]  # fmt: skip
WEIGHT: dict[str, Shape] = {
    **HEAD, "wall": "text", "weight_lb": "number", "cg_ft": AT, "weight_psf": "number", "moisture_percent": "number",
    "lumber_density_pcf": "number", "if_openings_sheathed_lb": "number", "parts": PARTS, "assumed": ASSUMED,
    "cautions": TEXTS,
}  # fmt: skip
STAGES: dict[str, Shape] = {
    **HEAD, "wall": "text", "state": "text", "verdict": "verdict?", "gust_mph": "number?", "engineer": TEXTS,
    "order": TEXTS, "hook_stays_until": "text?", "hook_needs": TEXTS, "matters_most": "text?",
    "one_missing_mph": {"*": "count"},
    "stages": [{"after": "text", "tie_rows": "count", "limit_gust_mph": "count", "clear_out_gust_mph": "count"}],
    "take_down": ("?", {"keep_mph": "number", "events": [{
        "event": "text", "limit_gust_mph": "count", "clear_out_gust_mph": "count", "stay": TEXTS, "note": "text",
        "may_come_out": [{"mark": "text", "limit_gust_mph": "count", "clear_out_gust_mph": "count"}],
    }]}),
    "cautions": TEXTS,
}  # fmt: skip
PLUMB: dict[str, Shape] = {
    **HEAD, "wall": "text", "order": TEXTS, "mean_lean_in_per_ft": "number", "worst_lean_in_per_ft": "number",
    "lean_force_lb": "number", "lean_force_carried_lb": "number", "within": "flag", "gust_mph": "number",
    "stays": TEXTS, "assumed": ASSUMED,
    "cautions": TEXTS,
    "braces": [{
        "mark": "text", "x_ft": "number", "lean_in": "number", "lean_in_per_ft": "number", "bow_in": "number",
        "length_change_in": "number", "foot_move_in": "number", "turns": "number?", "moved": "flag",
        "clear_out_gust_loose_mph": "count?",
    }],
}  # fmt: skip
BENDING: Shape = {"sag_in": "number", "stud": "number", "plate": "number", "row": "number"}
FOOT: Shape = {
    "thrust_lb": "number", "thrust_tilt_deg": "number", "uplift_lb": "number", "uplift_tilt_deg": "number",
}  # fmt: skip
LIFT: dict[str, Shape] = {
    **HEAD, "wall": "text", "state": "text", "verdict": "verdict?", "over": TEXTS, "weight_lb": "number", "cg_ft": AT,
    "rig_for_lb": "number", "dynamic": "number", "head_force_lb": "number", "gust_mph": "number?",
    "limit_gust_mph": "number?", "limit_gust_gives_first": "text?", "slack_from_deg": "number?",
    "past_plumb_deg": "number?", "tag_line_lb": "number?",
    "tilt": [{
        "tilt_deg": "number", "head_force_lb": "number", "head_force_gust_lb": "number?", "slack": "flag",
        "hinge_up_lb": "number", "hinge_out_lb": "number", "stud": "number?", "plate": "number?", "sag_in": "number?",
        "hook_height_ft": "number", "hook_toward_house_ft": "number",
    }],
    "picks": [{"mark": "text", "x_ft": "number", "z_ft": "number", "load_lb": "number", "share": "number"}],
    "hook_x_ft": "number", "bending": BENDING, "tried": "count",
    "worth": [{"with": "text", "bending": ("?", BENDING)}],
    "links": [{"link": "text", "mark": "text?", "demand_lb": "number", "capacity_lb": "number?", "ratio": "number?",
               "within": "flag?", "why": "text", "source": "text"}],
    "foot_links": [{"link": "text", "demand_lb": "number", "capacity_lb": "number?", "ratio": "number?",
                    "within": "flag?"}],
    "slide_lb": "number",
    "slings": {
        "spreader": "flag", "lengths_ft": ["number"], "thrust_lb": "number", "off_vertical_deg": "number",
        "tension_lb": "number", "rated_lb": "number?", "over_working_limit": "flag", "within": "flag?",
    },
    "foot": FOOT,
    "hands": {"start_lb": "number", "worst_lb": "number", "worst_tilt_deg": "number", "people": "count", "foot": FOOT,
              "rules": TEXTS, "by_hand": "flag"},
    "hook_path": [{"tilt_deg": "number", "reach_ft": "number", "height_ft": "number", "load_lb": "number",
                   "capacity_lb": "number?", "margin_lb": "number?"}],
    "power_line": {"keep_ft": "number?", "source": "text"}, "zone_ft": "number", "needed_too": TEXTS,
    "assumed": ASSUMED,
    "parts": PARTS, "cautions": TEXTS,
    "day?": {"roles": TEXTS, "zone": TEXTS, "go": TEXTS, "stop": TEXTS, "unhook": TEXTS, "hook_stays_until": "text?"},
}  # fmt: skip
REMOVAL: dict[str, Shape] = {
    **HEAD, "keep_mph": "number", "mark": "text", "allowed": "flag", "limit_gust_without_mph": "count?",
    "clear_out_gust_without_mph": "count?", "why": "text",
}  # fmt: skip

RESULTS: dict[str, dict[str, Shape]] = {
    "built": BUILT, "check": CHECK, "fasteners": FASTENERS, "lift": LIFT, "plumb": PLUMB, "removal": REMOVAL,
    "sheets": SHEETS, "stages": STAGES, "storm": STORM, "storm-job": STORM_JOB, "walls": LISTED, "weight": WEIGHT,
}  # fmt: skip
# Answers that come in more than one form: found, none found, and beyond the envelope.
SEVERAL: dict[str, tuple[dict[str, Shape], ...]] = {
    "layout": (LAYOUT, NONE_FOUND, CHECKED),
    "sheet": ({**CHECKED, **FILES, "plan": PLANNED}, {**NONE_FOUND, **FILES}),
    "stock": (STOCK, NONE_FOUND),
    "trace": (TRACE, CHECKED),
}

_WORDS: dict[str, dict[str, Any]] = {
    "text": {"type": "string"},
    "number": {"type": "number"},
    "count": {"type": "integer", "minimum": 0},
    "flag": {"type": "boolean"},
    "direction": {"enum": ["push", "pull"]},
    "verdict": {"enum": ["within", "over", "unknown", "engineer", "not up"]},
    "any": {},
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
    made["errors"] = _head("errors", "faults of the input") | json_schema({"errors": FAULTS})
    return dict(sorted(made.items()))


def schema_text(name: str) -> str:
    """Write one schema as the text that is shipped.

    Args:
        name: its name.
    """
    return json.dumps(schemas()[name], indent=1, ensure_ascii=False) + "\n"


def json_schema(shape: Shape) -> dict[str, Any]:
    """Make the JSON Schema of a shape.

    Args:
        shape: written short, as at the top of this module.

    Example:
        >>> json_schema(["count?"])
        {'type': 'array', 'items': {'anyOf': [{'type': 'integer', 'minimum': 0}, {'type': 'null'}]}}
    """
    if isinstance(shape, str):
        plain = dict(_WORDS[shape.rstrip("?")])
        return _or_null(plain) if shape.endswith("?") else plain
    if isinstance(shape, tuple):
        return _or_null(json_schema(shape[1]))
    if isinstance(shape, list):
        return {"type": "array", "items": json_schema(shape[0])}
    if "*" in shape:
        return {"type": "object", "additionalProperties": json_schema(shape["*"])}
    properties = {key.rstrip("?"): json_schema(inner) for key, inner in shape.items()}
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
        "required": [key for key in shape if key[-1] != "?"],
    }


def _or_null(plain: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [plain, {"type": "null"}]}


def _head(name: str, title: str) -> dict[str, Any]:
    return {"$schema": DIALECT, "$id": f"urn:bracing:{name}:{SCHEMA_VERSION}", "title": f"bracing {title}"}


def _answer(name: str, shape: Mapping[str, Shape]) -> dict[str, Any]:
    made = json_schema({"schema": "text", **shape})
    made["properties"]["schema"] = {"const": f"bracing.{name}.{SCHEMA_VERSION}"}
    return _head(name, f"answer: {name}") | made


def _either(name: str, *shapes: Mapping[str, Shape]) -> dict[str, Any]:
    """Make the schema of an answer that comes in more than one form."""
    forms = [_answer(name, shape) for shape in shapes]
    plain = [{key: value for key, value in form.items() if key[:1] != "$"} for form in forms]
    return _head(name, f"answer: {name}") | {"oneOf": plain}


# -- what goes in beside a wall file ---------------------------------------------------------------------


def _job() -> dict[str, Any]:
    """A job is a folder: seen as an object, its file names with the tables of each wall file."""
    wall = {key: value for key, value in wall_file_schema().items() if key[:1] != "$"}
    return _head("job", "job folder: a wall file each") | {
        "type": "object", "patternProperties": {r"\.toml$": wall}, "minProperties": 1,
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


if __name__ == "__main__":
    write_shipped()
