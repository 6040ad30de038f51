"""Imports run one way, down the steps of the job; and nothing heavy loads with a module."""

import ast
import graphlib

import pytest

from tests.house.tree import AT_THE_TOP, ENTRY, ORDER, PACKAGE, ROOT, imported, module_name, modules, within

PLACE = {name: place for place, name in enumerate(ORDER)}
HEAVY = {
    "scipy", "matplotlib", "pandas", "jinja2", "weasyprint", "ezdxf", "distributed", "PIL", "openseespy",
    "Pynite", "hypothesis", "pytest",
}  # fmt: skip
WITHOUT_NUMPY = ("errors", "choosing", "units", "sources", "job", "reading", "commands.cli")
MODULES = [name for name in modules() if name not in ENTRY]


def test_every_module_has_a_place_and_every_place_a_module():
    tops = {name.split(".")[0] for name in MODULES}
    assert tops - set(PLACE) == set(), "modules without a place: add them to ORDER of tests/house/tree.py"
    assert set(PLACE) - tops == set(), "ORDER names modules that are not there"
    files = sorted(path.name for path in PACKAGE.glob("*.py"))
    assert len(files) <= AT_THE_TOP, f"{len(files)} files at the top, at most {AT_THE_TOP}: {files}"


def test_a_module_imports_only_what_stands_above_it():
    faults = []
    for module in MODULES:
        top = module.split(".")[0]
        others = {name.split(".")[0] for name in imported(modules()[module])} - {top}
        below = sorted(name for name in others if PLACE.get(name, len(PLACE)) >= PLACE[top])
        faults += [f"bracing.{module} imports {below}, which stand below it"] if below else []
    assert not faults, "\n".join(faults)


def test_nothing_imports_the_top_for_a_name():
    faults = [
        module
        for module in MODULES
        for node in ast.walk(modules()[module])
        if isinstance(node, ast.ImportFrom) and node.module == "bracing"
        if not all(alias.name in modules() for alias in node.names)
    ]
    assert not faults


def test_no_module_imports_itself_through_others():
    graph = {}
    for name, tree in modules().items():
        # a package's __init__ gathers names for others; it is no step of its own inside the package
        inside = {other for other in imported(tree) if other != name and not name.startswith(other + ".")}
        graph[name] = inside
    try:
        graphlib.TopologicalSorter(graph).prepare()
    except graphlib.CycleError as fault:
        pytest.fail(" -> ".join(fault.args[1]))


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


def test_nothing_heavy_loads_with_a_module():
    faults = []
    for module, tree in modules().items():
        banned = HEAVY | ({"numpy"} if within(module, WITHOUT_NUMPY) else set())
        found = sorted(set(_loaded_with_the_module(tree)) & banned)
        faults += [f"bracing.{module}: import {found} inside the function that needs it"] if found else []
    assert not faults, "\n".join(faults)


def test_the_rule_sees_an_import_where_it_runs():
    seen = set(
        _loaded_with_the_module(ast.parse("try:\n    import scipy.linalg\nexcept ImportError:\n    pass"))
    )
    assert seen == {"scipy"}
    assert not set(_loaded_with_the_module(ast.parse("def f():\n    import scipy")))


def test_only_absolute_imports():
    relative = [
        f"{module}:{node.lineno}"
        for module, tree in modules().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.level
    ]
    assert not relative


def test_module_names_are_read_from_paths():
    assert module_name(ROOT / "bracing" / "codes" / "nds" / "dowels.py") == "codes.nds.dowels"
    assert module_name(ROOT / "bracing" / "__init__.py") == "bracing"


# What a standard gives reaches the rest through `codes.basis`: another basis is another folder and nothing else.
STANDARDS = ("codes.asce7",)
FROM_ANYWHERE = ("codes", "trace")


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
