"""How long a module, a function and a signature may be. (Booleans by name only: ruff holds that, FBT.)"""

import ast

from tests.house.tree import PACKAGE, functions, modules, where

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
    "commands.progress.Progress",
    "job.fasteners._Row",
    "panel.mesh.Builder",
    "reading.values.Faults",
)


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


def test_bodies_are_short():
    faults = [
        f"{f.label}: {body_lines(f.node)} lines" for f in functions() if body_lines(f.node) > BODY_LINES
    ]
    assert not faults, f"body over {BODY_LINES} lines:\n" + "\n".join(faults)


def test_signatures_are_short():
    faults = []
    for function in functions():
        if function.top in COMMANDS or function.label.partition(":")[0] in EQUATIONS:
            continue
        positional, named = parameters(function)
        if len(positional) + len(named) > PARAMETERS:
            faults.append(
                f"{function.label}: {len(positional) + len(named)} parameters, ceiling {PARAMETERS}"
            )
        if function.public and len(positional) > POSITIONAL:
            faults.append(f"{function.label}: {len(positional)} by position, past {POSITIONAL} keyword-only")
    assert not faults, "\n".join(faults)


def test_classes_hold_data():
    faults = []
    for module, tree in modules().items():
        for node in ast.walk(tree):
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
                faults.append(f"bracing.{module}.{node.name}: {len(methods)} methods, ceiling {METHODS}")
    assert not faults, "\n".join(faults)


def test_classes_are_frozen():
    """Every class is a frozen record, an exception, an enumeration, a protocol, a number or a listed accumulator."""
    faults = []
    for module, tree in modules().items():
        for node in tree.body:
            if not isinstance(node, ast.ClassDef):
                continue
            decorators = " ".join(ast.unparse(item) for item in node.decorator_list)
            bases = " ".join(ast.unparse(base) for base in node.bases)
            kinds = (
                "Error",
                "Exception",
                "Enum",
                "NamedTuple",
                "Protocol",
                "TypedDict",
                "Json",
                "Command",
                "Group",
                "float",
                "Sum",
            )
            if "frozen" not in decorators and not any(kind in bases for kind in kinds):
                faults.append(f"{module}.{node.name}")
    assert set(ACCUMULATORS) <= set(faults), "an accumulator listed that is none"
    faults = sorted(set(faults) - set(ACCUMULATORS))
    assert not faults, "neither frozen nor an exception:\n" + "\n".join(faults)
