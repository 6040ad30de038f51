"""The helper that turns printed digits into a tolerance, and no test is close by default."""

import ast

import pytest

from tests.approx import half_of_last_digit, printed
from tests.house.tree import nodes, trees_of_tests, where


@pytest.mark.parametrize(
    ("text", "half"), [("0.85", 0.005), ("0.850", 0.0005), ("1,380", 0.5), ("12", 0.5), ("1.2e6", 5e4)]
)
def test_half_of_the_last_printed_digit(text, half):
    assert half_of_last_digit(text) == pytest.approx(half, rel=1e-6)


def test_a_value_past_half_the_last_digit_is_another_value():
    assert printed("0.85") == 0.8549
    assert printed("0.85") == 0.845
    assert printed("0.85") != 0.8551
    assert printed("1380") != 1381


def test_a_looser_tolerance_takes_a_reason():
    with pytest.raises(AssertionError, match="needs its reason"):
        printed("72", within=0.6)
    with pytest.raises(AssertionError, match="without a looser tolerance"):
        printed("72", because="why not")
    assert printed("72", within=0.6, because="Fe is rounded to 50 psi there") == 72.6


def _approx(node):
    return isinstance(node, ast.Call) and (
        (isinstance(node.func, ast.Attribute) and node.func.attr == "approx")
        or (isinstance(node.func, ast.Name) and node.func.id == "approx")
    )


def _loose(tree, name):
    """Where a test is close without saying how close, or has what it expects on the left."""
    for node in nodes(tree):
        if _approx(node) and not {word.arg for word in node.keywords} & {"abs", "rel", None}:
            yield f"{name}:{node.lineno}: approx without abs or rel"
        if isinstance(node, ast.Compare) and (_approx(node.left)):
            yield f"{name}:{node.lineno}: approx on the left of =="


def test_every_closeness_states_its_tolerance_and_stands_on_the_right():
    faults = [fault for path, tree in trees_of_tests().items() for fault in _loose(tree, where(path))]
    assert not faults, "\n".join(faults)


def test_the_rule_sees_a_closeness_without_a_tolerance_and_one_on_the_left():
    text = (
        "assert x == approx(1.0)\nassert pytest.approx(1.0, abs=1e-9) == x\nassert x == approx(2.0, rel=1e-9)"
    )
    assert sorted(_loose(ast.parse(text), "t")) == [
        "t:1: approx without abs or rel",
        "t:2: approx on the left of ==",
    ]
