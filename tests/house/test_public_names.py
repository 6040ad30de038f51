"""What a caller may import: exactly these names, loaded late, and every result with a to_dict."""

import inspect
import json
import re
import subprocess
import sys
import typing

import attrs
import pytest

import bracing
from tests import LONGEST_S
from tests.house.tree import ROOT

NAMES = {
    "Above", "Acting", "Bare", "Basis", "Blocks", "Brace", "BracingError", "Built", "Chart", "ChartRow", "CheckAnswer",
    "CheckResult", "Clauses", "Cleat", "Clock", "CrossCleat", "Declared", "DesignValues", "Diagonal",
    "ExtraPlateFasteners", "Fastener", "FastenerCapacity", "FastenersAnswer", "Fault", "Floor", "FootRequest",
    "Forecast", "Found", "FoundFact", "Ground", "GustsChecked", "Head", "Hour", "InputError", "Job", "Joint",
    "Joists", "KeepOut", "Kept", "Kit", "Known", "LayoutAnswer", "LayoutAsked", "LayoutResult", "LayoutsRated",
    "LeftOut", "Lever", "LiftAnswer", "LiftRequest", "Link", "LinkId", "Machine", "Member", "Minutes",
    "MissingExtraError", "Nailing", "NearestAnswer", "Night", "NoLayoutError", "Opening", "OwnGrade", "OwnLayer",
    "PanelNails", "Partition", "Plate", "PressureField", "Pressures", "PullTest", "Return", "ReturnCorner",
    "Revision", "TitleBlock", "ReturnOpening", "ReturnPlate", "ReturnStuds", "Row", "Said", "Section", "Sheathed",
    "Site", "Slab", "StagesAnswer", "Standing", "Stock", "StormAnswer", "StormResult", "Strengths", "Studs",
    "Tie", "Together", "TopPlate", "Verdict", "Wall", "__version__", "basis_of", "check_many", "check_storm",
    "check_wall",
    "choose_fasteners", "evaluate_layouts", "in_order", "in_words", "job_from_options", "job_from_text", "lay_out",
    "limit_gusts", "own_grade", "own_layer", "own_wind", "plan_lift", "read_forecast", "read_job", "take_stages",
    "typed_forecast", "uniform_wind", "weigh", "what_would_do",
}  # fmt: skip
RESULTS = ("CheckResult", "LayoutResult", "StormResult")
ANSWERS = (
    "CheckAnswer", "FastenersAnswer", "LayoutAnswer", "LiftAnswer", "NearestAnswer", "StagesAnswer", "StormAnswer",
)  # fmt: skip


def test_the_list_is_exact():
    assert set(bracing.__all__) == NAMES
    assert sorted(bracing.__all__) == bracing.__all__


def test_every_name_is_there_documented_and_in_dir():
    assert set(dir(bracing)) >= NAMES
    things = {name: getattr(bracing, name) for name in NAMES}
    assert not [name for name, thing in things.items() if not (isinstance(thing, str) or thing.__doc__)]


def test_no_public_name_is_a_module_of_the_package():
    """`bracing.check` is a module once something has loaded it: a function may not go by the same name."""
    from tests.house.tree import modules

    assert not NAMES & set(modules())


def test_another_name_is_refused_by_name():
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        bracing.nothing  # noqa: B018


@pytest.mark.parametrize("name", [*RESULTS, *ANSWERS])
def test_results_are_frozen_and_give_a_dict(name):
    cls = getattr(bracing, name)
    assert attrs.has(cls)
    assert "to_dict" in vars(cls)
    assert cls.__setattr__ is not object.__setattr__


def test_the_package_says_that_it_is_typed():
    from importlib.resources import files

    assert (files("bracing") / "py.typed").is_file()


def test_importing_the_package_loads_nothing_else():
    code = "import sys; import bracing; print(sorted(name for name in sys.modules if name.split('.')[0] in "
    code += "('numpy', 'scipy', 'attrs', 'cattrs', 'typer', 'tabulate', 'tomlkit') or name.startswith('bracing.')))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=LONGEST_S
    )
    assert done.stdout.strip() == "['bracing._version']"


def test_the_checker_sees_the_same_names_as_the_interpreter():
    """The names under TYPE_CHECKING are those of the table, each from the module the table names."""
    import ast

    from tests.house.tree import PACKAGE

    tree = ast.parse((PACKAGE / "__init__.py").read_text(encoding="utf-8"))
    (guard,) = [node for node in tree.body if isinstance(node, ast.If)]
    seen = {
        alias.name: node.module.removeprefix("bracing.")
        for node in guard.body
        for alias in node.names
        if alias.asname is None
    }
    assert seen == bracing._HOME
    assert set(seen) == NAMES - {"__version__"}


def classes_in(hint):
    """Classes of this package in an annotation, however deep."""
    if isinstance(hint, type) and hint.__module__.startswith("bracing."):
        yield hint
    for inner in typing.get_args(hint):
        for one in inner if isinstance(inner, list) else [inner]:
            yield from classes_in(one)


def argument_types(thing):
    """Classes of this package that a caller needs to call something: a function's, or those a class is made with."""
    hints = typing.get_type_hints(inspect.unwrap(thing))
    if inspect.isclass(thing):
        made = [one.name for one in attrs.fields(thing) if one.init] if attrs.has(thing) else []
        hints = {name: hints[name] for name in made if name in hints}
    else:
        hints.pop("return", None)
    return {one for hint in hints.values() for one in classes_in(hint)}


def without_a_name(names):
    """Classes that an argument takes, or that is made with, and that have no public name."""
    waiting = {getattr(bracing, name) for name in names if not isinstance(getattr(bracing, name), str)}
    waiting = {thing for thing in waiting if inspect.isfunction(thing)}
    seen = set()
    while waiting:
        seen |= waiting
        waiting = set().union(*(argument_types(thing) for thing in waiting)) - seen
    given = {thing.__name__ for thing in seen if inspect.isclass(thing)}
    return given - set(names)


def test_every_type_an_argument_takes_has_a_public_name():
    assert without_a_name(NAMES) == set()


def test_the_manual_lists_every_name():
    page = (ROOT / "docs" / "api.md").read_text(encoding="utf-8")
    listed = re.findall(r"`(\w+)`", page.partition("## Every name")[2])
    assert sorted(listed) == sorted(NAMES - {"__version__"})


def test_the_rule_sees_a_type_without_a_name():
    assert without_a_name(NAMES - {"Night", "LayoutAsked"}) == {"Night", "LayoutAsked"}


def test_a_result_survives_json():
    result = bracing.check_wall(
        bracing.job_from_options(length="20 ft", height="8 ft"), gust=20.0, effects=False
    )
    assert json.loads(json.dumps(bracing.in_words(result), allow_nan=False))["verdict"] == "over"
