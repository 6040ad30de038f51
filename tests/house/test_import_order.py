"""Imports run one way: words, things, sums, answers, edges; and nothing heavy loads with a module."""

import ast
import graphlib
from itertools import chain

import pytest

from tests.house.tree import BANDS, ENTRY, ROOT, imported, module_name, modules

ORDER = {name: place for place, name in enumerate(chain(*BANDS.values()))}
HEAVY = {
    "scipy", "matplotlib", "pandas", "jinja2", "weasyprint", "ezdxf", "distributed", "PIL", "openseespy",
    "Pynite", "hypothesis", "pytest",
}  # fmt: skip
WITHOUT_NUMPY = (
    "errors",
    "units",
    "sources",
    "wall",
    "floor",
    "brace",
    "job",
    "lumber",
    "fasteners",
    "reading",
    "cli",
)
MODULES = [name for name in modules() if name not in ENTRY]


def test_every_module_has_a_band_and_every_entry_a_module():
    tops = {name.split(".")[0] for name in MODULES}
    assert tops - set(ORDER) == set(), "modules without a band: add them to BANDS of tests/house/tree.py"
    assert set(ORDER) - tops == set(), "bands name modules that are not there"


@pytest.mark.parametrize("module", MODULES)
def test_a_module_imports_only_what_stands_above_it(module):
    top = module.split(".")[0]
    mine = ORDER.get(top, -1)
    others = {name for name in imported(modules()[module]) if name.split(".")[0] != top}
    below = sorted(name for name in others if ORDER.get(name.split(".")[0], mine) >= mine)
    assert not below, f"bracing.{module} imports {below}, which stand below it"


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


def test_nothing_but_tests_and_docs_reads_the_crosschecks():
    readers = [
        name
        for name, tree in modules().items()
        if any(other.startswith("crosschecks") for other in imported(tree))
    ]
    assert all(name.startswith("crosschecks") for name in readers), readers


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


@pytest.mark.parametrize("module", modules())
def test_nothing_heavy_loads_with_a_module(module):
    loaded = set(_loaded_with_the_module(modules()[module]))
    banned = HEAVY | ({"numpy"} if module.split(".")[0] in WITHOUT_NUMPY else set())
    assert not loaded & banned, (
        f"bracing.{module}: import {sorted(loaded & banned)} inside the function that needs it"
    )


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
    assert module_name(ROOT / "bracing" / "joints" / "dowel.py") == "joints.dowel"
    assert module_name(ROOT / "bracing" / "__init__.py") == "bracing"
