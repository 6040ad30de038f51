"""What a thing is, is a member of an enumeration: its id is compared and looked up by nothing but that member."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from bracing.chain.links import LinkId
from bracing.job.brace import JointId
from bracing.said import Verdict
from bracing.stages.take_down import Event
from bracing.work.remedies import RemedyId, remedies
from tests.house.tree import modules, nodes, within

IDS = {str(one) for kind in (JointId, LinkId, Event, Verdict, RemedyId) for one in kind} | {*remedies()}
# Where a word of the ids is that of something else: the kind of a stick, a part of a piece somebody typed.
ELSE = {
    "header": "a kind of stick",
    "stud": "a kind of stick",
    "head": "a field of a brace and of a fastener",
    "floor": "a table of the wall file, and a joint as a person says it",
    "cleat": "a table of the wall file, and a joint as a person says it",
    "brace": "a table of the wall file",
    "tie": "a table of the wall file",
}
KEYS = {("job.layers", "over")}  # a key of the table of layers


def literals(node: ast.expr) -> Iterator[ast.Constant]:
    """The texts an expression compares with: itself, or what stands in a tuple, list or set."""
    for each in node.elts if isinstance(node, ast.Tuple | ast.List | ast.Set) else [node]:
        if isinstance(each, ast.Constant) and isinstance(each.value, str):
            yield each


def compared(tree: ast.AST) -> Iterator[ast.Constant]:
    """Texts that code compares with, looks up, or gets an attribute by."""
    for node in nodes(tree):
        if isinstance(node, ast.Compare):
            for side in (node.left, *node.comparators):
                yield from literals(side)
        elif isinstance(node, ast.Subscript):
            yield from literals(node.slice)
        elif isinstance(node, ast.MatchValue):
            yield from literals(node.value)
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) in (
            "get",
            "getattr",
            "endswith",
            "startswith",
            "index",
        ):
            for each in node.args:
                yield from literals(each)


def faults_in(trees: dict[str, ast.Module]) -> list[str]:
    """Each such use of an id, with its place."""
    return [
        f"bracing/{module.replace('.', '/')}:{text.lineno} {text.value!r}"
        for module, tree in trees.items()
        for text in compared(tree)
        if text.value in IDS and text.value not in ELSE and (module, text.value) not in KEYS
    ]


def test_no_id_is_compared_as_a_text():
    faults = faults_in(modules())
    assert not faults, "\n".join(faults)


def test_the_rule_sees_every_way_of_comparing():
    uses = (
        'x == "over"', 'x in ("a", "second cleat")', 'd["head_fasteners"]', 'd.get("within")',
        'p.endswith(("cleat_fasteners", "floor_fasteners"))', 'getattr(b, "floor_fasteners")',
    )  # fmt: skip
    found = [len(faults_in({"m": ast.parse(use)})) for use in uses]
    assert found == [1, 1, 1, 1, 2, 1]


# Who speaks for the basis itself: what takes it as an argument, and what prints its standards.
SPEAK = ("codes", "check", "results", "chain.model", "chain.materials", "commands.cli")


def test_the_basis_is_asked_of_a_job_or_a_wall():
    takers = [
        module
        for module, tree in modules().items()
        if not within(module, SPEAK)
        and any(isinstance(node, ast.alias) and node.name == "IN_USE" for node in nodes(tree))
    ]
    assert not takers, takers


def test_a_shipped_table_is_opened_by_one_loader():
    """Whoever else parses TOML reads what a person wrote."""
    openers = {
        module
        for module, tree in modules().items()
        if any(isinstance(node, ast.alias) and node.name == "tomllib" for node in nodes(tree))
    }
    assert openers == {"sources", "reading.source"}
