"""Every quantity has its unit and every formula its source, in the docstring, where a reader looks."""

import ast
import re
from functools import cache

import pytest

from bracing.sources import SOURCES
from tests.house.tree import CITES, FORMULAS, Function, functions, functions_of, within

# Annotations that carry a quantity. Anything else (a name, a class of this package, a count) has no unit.
QUANTITIES = re.compile(
    r"\b(float|Inch|Pound|Psi|Radian|Mph|InchPound|PoundPerInch|Second|NDArray|Array|Numbers|Top|Zone)\b"
)
UNIT = re.compile(r"\[[^\[\]]+\]")
SECTION = re.compile(
    r"^(Args|Returns|Raises|Example|Examples|Attributes|Assumes|Source|Note)\b.*:", re.MULTILINE
)


def public(parts):
    return [f for f in functions() if f.public and within(f.module, parts) and not f.name.startswith("__")]


@cache
def sections(function: Function) -> dict[str, str]:
    """Split a google docstring into its sections, by name."""
    text = ast.get_docstring(function.node) or ""
    parts: dict[str, str] = {"": ""}
    name = ""
    for line in text.splitlines():
        found = SECTION.match(line)
        if found:
            name = found[1]
            parts[name] = parts.get(name, "") + line[found.end() :] + "\n"
        else:
            parts[name] = parts.get(name, "") + line + "\n"
    return parts


def described(section: str) -> dict[str, str]:
    """Name to text of each argument of an Args section."""
    found: dict[str, str] = {}
    name = ""
    for line in section.splitlines():
        start = re.match(r"^ {4}(\*{0,2}\w+)( \(.*?\))?:(.*)$", line)
        if start:
            name = start[1].lstrip("*")
            found[name] = start[3]
        elif name:
            found[name] += " " + line.strip()
    return found


def given(function: Function) -> list[ast.arg]:
    args = function.node.args
    every = [*args.posonlyargs, *args.args, *args.kwonlyargs]
    return every[1:] if function.owner is not None and every and every[0].arg in ("self", "cls") else every


def is_quantity(annotation: ast.expr | None) -> bool:
    return annotation is not None and bool(QUANTITIES.search(ast.unparse(annotation)))


def unit_faults(function: Function) -> list[str]:
    parts = sections(function)
    told = described(parts.get("Args", ""))
    faults = [
        f"{function.label}: {arg.arg} has no [unit]"
        for arg in given(function)
        if is_quantity(arg.annotation) and not UNIT.search(told.get(arg.arg, ""))
    ]
    # where there is no Returns section, the sentence says what is given, and its unit
    if is_quantity(function.node.returns) and not UNIT.search(parts.get("Returns", parts[""])):
        faults.append(f"{function.label}: what it returns has no [unit]")
    return faults


def computes(function: Function) -> bool:
    """Whether a body multiplies, divides or takes a power: the sign of a formula."""
    return any(
        isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div | ast.Pow)
        for node in ast.walk(function.node)
    )


def cited(function: Function) -> list[str]:
    """The sources a docstring names, in order: "NDS 12.2-3; JUDGEMENT, half" names NDS and JUDGEMENT."""
    text = sections(function).get("Source", "").strip().rstrip(".")
    return [part.strip() for part in text.split(";") if part.strip()]


def key_of(citation: str) -> str | None:
    found = re.match(r"[A-Z][A-Za-z0-9.-]*", citation)
    return found[0].rstrip(".") if found and found[0].rstrip(".") in SOURCES else None


def unsourced(these):
    """Formulas that name no source."""
    return [
        f"{function.label}: a formula without a Source: line"
        for function in these
        if function.owner is None and is_quantity(function.node.returns)
        if computes(function) and not cited(function)
    ]


def unkeyed(these):
    """Citations that begin with no key of the sources."""
    return [
        f"{function.label}: {citation!r}"
        for function in these
        for citation in cited(function)
        if key_of(citation) is None
    ]


def test_every_quantity_has_its_unit():
    faults = [fault for function in public(FORMULAS) for fault in unit_faults(function)]
    assert not faults, "\n".join(faults)


def test_every_formula_cites_a_source():
    faults = unsourced(public(CITES))
    assert not faults, "\n".join(faults)


def test_every_citation_begins_with_a_key():
    faults = unkeyed(functions())
    assert not faults, "no key of bracing/sources.py at its head:\n" + "\n".join(faults)


def test_the_rule_sees_a_formula_without_its_source():
    text = (
        "def a(x: float) -> float:\n    'Give it.'\n    return 2.0 * x\n"
        "def b(x: float) -> float:\n    'Give it.\\n\\n    Source: NDS 3.7; nothing 4.'\n    return x / 2.0\n"
        "def c(x: float) -> float:\n    'Give it.'\n    return x\n"
        "def d(x: float) -> str:\n    'Give it.'\n    return 'a' * 3\n"
    )
    these = functions_of({"codes.x": ast.parse(text)})
    assert [fault.split()[1] for fault in unsourced(these)] == ["a:"]
    assert [fault.partition(": ")[2] for fault in unkeyed(these)] == ["'nothing 4'"]


@pytest.mark.parametrize("citation", ["ASCE 7-16 fig. 29.3-1", "statics", "nds 3.7.1", "Annex B"])
def test_the_rule_refuses_a_citation_without_a_key(citation):
    assert key_of(citation) is None


@pytest.mark.parametrize(
    ("citation", "key"), [("NDS-S Table 4A", "NDS-S"), ("STATICS.", "STATICS"), ("B30.9", "B30.9")]
)
def test_the_rule_takes_a_citation_with_a_key(citation, key):
    assert key_of(citation) == key


def test_the_rule_sees_a_missing_unit():
    doc = "Give it.\\n\\n    Args:\\n        a: one [in].\\n        b: name.\\n\\n    Returns:\\n        It."
    text = f"def f(a: float, b: str) -> float:\n    '{doc}'\n    return a * 2.0"
    function = Function("x", "f", ast.parse(text).body[0], None)
    assert unit_faults(function) == [f"{function.label}: what it returns has no [unit]"]
    assert computes(function)
    assert not cited(function)
    assert within("codes.nds.dowels", FORMULAS)
    assert not within("codesign", ("codes",))
