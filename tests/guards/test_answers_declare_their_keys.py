"""An answer's keys and types are declared beside the class that gives it; the schema is made of that declaration."""

from __future__ import annotations

import ast
import typing

import pytest

from bracing.check import CheckedJson
from bracing.errors import Fault, FaultJson
from bracing.results import HeaderJson
from bracing.text.schema import json_schema, keys_of, schemas
from tests.house.tree import functions, modules

# Put together of declared parts: one key of one of them is of another type in the whole.
IN_PARTS = {"layout.plan.LayoutResult"}
# Answers to a program say what the result beneath declares, in words: tests/unit/test_calls.py holds each to --json. An
# array says itself, and a table takes whatever has something to say.
IN_WORDS = {
    *(f"calls.answers.{name}Answer" for name in ("Check", "Fasteners", "Layout", "Lift", "Nearest", "Stages", "Storm")),
    "calls.arrays.GustsChecked", "frames.Told",
}  # fmt: skip


def undeclared(found):
    """Classes whose to_dict says no more of what it gives than that it is a dict."""
    return {
        f"{f.module}.{f.owner.name}"
        for f in found
        if f.name == "to_dict" and f.owner is not None and not ast.unparse(f.node.returns).endswith("Json")
    }


def test_every_answer_says_its_keys_and_their_types():
    assert undeclared(functions()) == IN_PARTS | IN_WORDS


def test_every_declared_key_is_in_the_schema_and_no_other():
    made = schemas()
    assert set(made["check"]["properties"]) == {*keys_of(CheckedJson), "hand_check"}
    assert set(made["errors"]["properties"]["errors"]["items"]["properties"]) == set(keys_of(FaultJson))
    assert set(Fault("a", "b", "c", "d").to_dict()) == set(keys_of(FaultJson))
    for name in (
        "check",
        "storm",
        "stages",
        "built",
        "fasteners",
        "lift",
        "plumb",
        "weight",
        "removal",
        "walls",
    ):
        assert set(keys_of(HeaderJson)) <= set(made[name]["properties"]), name


def test_a_key_that_is_added_comes_into_the_schema():
    wider = typing.TypedDict(
        "wider", {**keys_of(FaultJson), "page": int | None, "more": typing.NotRequired[list[FaultJson]]}
    )
    schema = json_schema(wider)
    assert schema["properties"]["page"] == {"anyOf": [{"type": "integer", "minimum": 0}, {"type": "null"}]}
    assert schema["properties"]["more"]["items"] == json_schema(FaultJson)
    assert schema["required"] == [*keys_of(FaultJson), "page"]
    assert schema["additionalProperties"] is False


@pytest.mark.parametrize("kind", [complex, bytes, set[str]])
def test_a_type_json_has_not_is_refused(kind):
    with pytest.raises(KeyError):
        json_schema({"key": kind})


def test_the_rule_sees_a_dict_that_says_nothing():
    assert modules()
    assert undeclared([f for f in functions() if f.module == "layout.plan"]) == IN_PARTS
