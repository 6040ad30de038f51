"""How long a module, a function and a signature may be. (Booleans by name only: ruff holds that, FBT.)"""

import ast

import pytest

from tests.house.tree import PACKAGE, functions, functions_of, modules, nodes, where

MODULE_LINES = 700  # one job each; most are far shorter
BODY_LINES = 50
PARAMETERS = 6
POSITIONAL = 3
METHODS = 10
# The reduced system's own symbols, read beside its equations: F, Z, 1/k and which braces count.
EQUATIONS = ("bracing/panel/reduced",)
# A command's parameters are the options on its screen, and a reader of an option knows it by name.
COMMANDS = ("commands",)
# Accumulators: made, filled and read inside one function of their own package, never handed to a caller.
ACCUMULATORS = (
    "commands.output.Progress",
    "panel.mesh.Builder",
    "reading.values.Faults",
)
# What a class may be that is no frozen record, by its bases.
KINDS = (
    "Error", "Exception", "Enum", "NamedTuple", "Protocol", "TypedDict", "Json", "Command", "Group", "float", "Sum",
    "str", "OwnName",  # a name that brings its values
    "RedirectHandler",  # the library calls it back; it keeps nothing
)  # fmt: skip


def too_long(texts):
    """Which of some texts, by name, have more lines than a module may."""
    lines = {name: len(text.splitlines()) for name, text in texts.items()}
    return [
        f"{name}: {count} lines, ceiling {MODULE_LINES}"
        for name, count in lines.items()
        if count > MODULE_LINES
    ]


def test_no_module_has_two_jobs():
    faults = too_long(
        {where(path): path.read_text(encoding="utf-8") for path in sorted(PACKAGE.rglob("*.py"))}
    )
    assert not faults, "\n".join(faults)


def test_the_rule_sees_a_module_of_one_line_too_many():
    assert too_long({"a": "x\n" * MODULE_LINES, "b": "x\n" * (MODULE_LINES + 1)}) == [
        "b: 701 lines, ceiling 700"
    ]


def body_lines(node):
    """Lines of a body without its docstring."""
    body = node.body[1:] if ast.get_docstring(node) is not None else node.body
    return body[-1].end_lineno - body[0].lineno + 1 if body else 0


def parameters(function):
    """Those a caller gives: positional and keyword-only; self apart."""
    args = function.node.args
    positional = [*args.posonlyargs, *args.args]
    decorators = {ast.unparse(item) for item in function.node.decorator_list}
    if function.owner is not None and "staticmethod" not in decorators:
        positional = positional[1:]
    return positional, args.kwonlyargs


def long_bodies(these):
    """Functions with more lines in their body than one may have."""
    lines = {f.label: body_lines(f.node) for f in these}
    return [f"{label}: {count} lines" for label, count in lines.items() if count > BODY_LINES]


def long_signatures(these):
    """Functions with more parameters than one may have, or more by position."""
    found = []
    for function in these:
        if function.top in COMMANDS or function.label.partition(":")[0] in EQUATIONS:
            continue
        positional, named = parameters(function)
        count = len(positional) + len(named)
        if count > PARAMETERS:
            found.append(f"{function.label}: {count} parameters, ceiling {PARAMETERS}")
        if function.public and len(positional) > POSITIONAL:
            found.append(f"{function.label}: {len(positional)} by position, past {POSITIONAL} keyword-only")
    return found


def of_many_methods(trees):
    """Classes with more methods than one that holds data may have."""
    found = []
    for module, tree in trees.items():
        for node in nodes(tree):
            if not isinstance(node, ast.ClassDef):
                continue
            properties = ("property", "cached_property")
            methods = [
                item.name
                for item in node.body
                if isinstance(item, ast.FunctionDef)
                if not any(ast.unparse(mark) in properties for mark in item.decorator_list)
            ]
            if len(methods) > METHODS and f"{module}.{node.name}" not in ACCUMULATORS:
                found.append(f"bracing.{module}.{node.name}: {len(methods)} methods, ceiling {METHODS}")
    return found


def not_frozen(trees):
    """Classes that are neither frozen records nor exceptions, enumerations, protocols or numbers."""
    found = []
    for module, tree in trees.items():
        for node in tree.body:
            if not isinstance(node, ast.ClassDef):
                continue
            decorators = " ".join(ast.unparse(item) for item in node.decorator_list)
            bases = " ".join(ast.unparse(base) for base in node.bases)
            if "frozen" not in decorators and not any(kind in bases for kind in KINDS):
                found.append(f"{module}.{node.name}")
    return found


def test_bodies_are_short():
    faults = long_bodies(functions())
    assert not faults, f"body over {BODY_LINES} lines:\n" + "\n".join(faults)


def test_signatures_are_short():
    faults = long_signatures(functions())
    assert not faults, "\n".join(faults)


def test_classes_hold_data():
    faults = of_many_methods(modules())
    assert not faults, "\n".join(faults)


def test_classes_are_frozen():
    """Every class is a frozen record, an exception, an enumeration, a protocol, a number or a listed accumulator."""
    faults = not_frozen(modules())
    assert set(ACCUMULATORS) <= set(faults), "an accumulator listed that is none"
    faults = sorted(set(faults) - set(ACCUMULATORS))
    assert not faults, "neither frozen nor an exception:\n" + "\n".join(faults)


def told(rule, text):
    """What a rule about functions or classes says of a module of this text."""
    trees = {"m": ast.parse(text)}
    return rule(functions_of(trees) if rule in (long_bodies, long_signatures) else trees)


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        (long_bodies, "def f():\n    'Say.'\n" + "    x = 1\n" * 50, "def f():\n" + "    x = 1\n" * 51),
        (long_signatures, "def f(a, b, c, *, d, e, g): ...", "def f(a, *, b, c, d, e, g, h): ..."),
        (long_signatures, "class A:\n    def f(self, a, b, c): ...", "def f(a, b, c, d): ..."),
        (
            of_many_methods,
            "class A:\n" + "".join(f"    def f{k}(self): ...\n" for k in range(10)),
            "class A:\n" + "".join(f"    def f{k}(self): ...\n" for k in range(11)),
        ),
        (
            of_many_methods,
            "class A:\n" + "".join(f"    @property\n    def f{k}(self): ...\n" for k in range(11)),
            "def f():\n    class A:\n" + "".join(f"        def f{k}(self): ...\n" for k in range(11)),
        ),
        (not_frozen, "@frozen\nclass A: ...", "@define\nclass A: ..."),
        (not_frozen, "class A(ValueError): ...\nclass B(StrEnum): ...", "class A(dict): ..."),
    ],
)
def test_the_rule_sees_what_is_too_long_or_not_frozen(rule, good, bad):
    assert told(rule, good) == []
    assert len(told(rule, bad)) == 1
