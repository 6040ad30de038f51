"""Imports run one way, down the steps of the job; and nothing heavy loads with a module."""

import ast
import graphlib

import pytest

from tests.house.tree import (
    AT_THE_TOP,
    ENTRY,
    ORDER,
    PACKAGE,
    ROOT,
    imported,
    module_name,
    modules,
    nodes,
    within,
)

PLACE = {name: place for place, name in enumerate(ORDER)}
HEAVY = {
    "scipy", "matplotlib", "pandas", "jinja2", "weasyprint", "ezdxf", "distributed", "PIL", "openseespy",
    "Pynite", "hypothesis", "pytest",
}  # fmt: skip
WITHOUT_NUMPY = ("errors", "choosing", "units", "sources", "job", "reading", "commands.cli")


def misplaced(trees):
    """Modules without a place, and places without a module."""
    tops = {name.split(".")[0] for name in trees if name not in ENTRY}
    return [
        *(f"{top}: add it to ORDER of tests/house/tree.py" for top in sorted(tops - set(PLACE))),
        *(f"{top}: ORDER names it and it is not there" for top in sorted(set(PLACE) - tops)),
    ]


def upwards(trees):
    """Modules that import what stands below them."""
    found = []
    known = frozenset(trees)
    for module, tree in trees.items():
        if module in ENTRY:
            continue
        top = module.split(".")[0]
        others = {name.split(".")[0] for name in imported(tree, known)} - {top}
        below = sorted(name for name in others if PLACE.get(name, len(PLACE)) >= PLACE[top])
        found += [f"bracing.{module} imports {below}, which stand below it"] if below else []
    return found


def names_from_the_top(trees):
    """Modules that import the package itself for a name of it."""
    return [
        module
        for module, tree in trees.items()
        if module not in ENTRY
        for node in nodes(tree)
        if isinstance(node, ast.ImportFrom) and node.module == "bracing"
        if not all(alias.name in trees for alias in node.names)
    ]


def circle(trees):
    """Modules that import themselves through others, in a circle; none where there is none."""
    known = frozenset(trees)
    # a package's __init__ gathers names for others; it is no step of its own inside the package
    graph = {
        name: {o for o in imported(tree, known) if o != name and not name.startswith(o + ".")}
        for name, tree in trees.items()
    }
    try:
        graphlib.TopologicalSorter(graph).prepare()
    except graphlib.CycleError as fault:
        return list(fault.args[1])
    return []


def relative(trees):
    """Imports that begin with a dot."""
    return [
        f"{module}:{node.lineno}"
        for module, tree in trees.items()
        for node in nodes(tree)
        if isinstance(node, ast.ImportFrom) and node.level
    ]


def heavy(trees):
    """Modules that load something heavy as they are loaded."""
    found = []
    for module, tree in trees.items():
        banned = HEAVY | ({"numpy"} if within(module, WITHOUT_NUMPY) else set())
        names = sorted(set(_loaded_with_the_module(tree)) & banned)
        found += [f"bracing.{module}: import {names} inside the function that needs it"] if names else []
    return found


RULES = (misplaced, upwards, names_from_the_top, circle, relative, heavy)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_imports_run_one_way_and_nothing_heavy_loads_with_a_module(rule):
    faults = rule(modules())
    assert not faults, "\n".join(faults)


def test_few_files_stand_at_the_top():
    files = sorted(path.name for path in PACKAGE.glob("*.py"))
    assert len(files) <= AT_THE_TOP, f"{len(files)} files at the top, at most {AT_THE_TOP}: {files}"


def _loaded_with_the_module(tree):
    """Top names of imports that run with the module: not those in functions or for the type checker."""
    waiting = list(tree.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.split(".")[0]
        elif isinstance(node, ast.If):
            checking = isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
            waiting += node.orelse if checking else [*node.body, *node.orelse]
        elif isinstance(node, ast.Try | ast.With | ast.ClassDef):
            waiting += node.body


def test_the_rule_sees_an_import_where_it_runs():
    seen = set(
        _loaded_with_the_module(ast.parse("try:\n    import scipy.linalg\nexcept ImportError:\n    pass"))
    )
    assert seen == {"scipy"}
    assert not set(_loaded_with_the_module(ast.parse("def f():\n    import scipy")))


@pytest.mark.parametrize(
    ("rule", "texts", "faults"),
    [
        (upwards, {"check": "from bracing.panel.mesh import Mesh", "panel.mesh": ""}, 0),
        (upwards, {"check": "", "panel.mesh": "def f():\n    from bracing.check import check"}, 1),
        (names_from_the_top, {"check": "from bracing import panel", "panel": ""}, 0),
        (names_from_the_top, {"check": "from bracing import __version__"}, 1),
        (circle, {"job.a": "import bracing.job.b", "job.b": "", "job.c": "from bracing.job import a"}, 0),
        (circle, {"job.a": "import bracing.job.b", "job.b": "from bracing.job import a"}, 3),
        (relative, {"job.a": "from bracing.job import b"}, 0),
        (relative, {"job.a": "from . import b"}, 1),
        (heavy, {"job.a": "import attrs", "panel.mesh": "import numpy"}, 0),
        (heavy, {"job.a": "import numpy", "panel.mesh": "if x:\n    import scipy.linalg"}, 2),
    ],
)
def test_the_rule_sees_an_import_that_may_not_be(rule, texts, faults):
    assert len(rule({name: ast.parse(text) for name, text in texts.items()})) == faults


def test_the_rule_sees_a_module_without_a_place_and_a_place_without_a_module():
    trees = {f"{top}.a": ast.parse("") for top in PLACE if top != "lift"} | {"barn": ast.parse("")}
    assert [fault.partition(":")[0] for fault in misplaced(trees)] == ["barn", "lift"]


def test_module_names_are_read_from_paths():
    assert module_name(ROOT / "bracing" / "codes" / "nds" / "dowels.py") == "codes.nds.dowels"
    assert module_name(ROOT / "bracing" / "__init__.py") == "bracing"


# What a standard gives reaches the rest through `codes.basis`: another basis is another folder and nothing else.
STANDARDS = ("codes.asce7", "codes.nds", "codes.ground", "codes.sdpws")
FROM_ANYWHERE = ("codes",)


def named_standards(trees):
    """Modules that import a standard's own folder, of those that may not."""
    return {
        f"{module} imports {other}"
        for module, tree in trees.items()
        if not within(module, FROM_ANYWHERE)
        for other in imported(tree)
        if within(other, STANDARDS)
    }


def test_nothing_above_the_codes_imports_a_standard():
    assert named_standards(modules()) == set()


def test_the_rule_sees_a_standard_imported():
    text = "from bracing.codes.asce7.velocity import meter_gust"
    assert named_standards({"chain.x": ast.parse(text)}) != set()
    assert named_standards({"codes.basis": ast.parse(text)}) == set()
