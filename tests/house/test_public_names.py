"""What a caller may import: exactly these names, loaded late, and every result with a to_dict."""

import json
import subprocess
import sys

import attrs
import pytest

import bracing
from tests import LONGEST_S

NAMES = {
    "Brace", "BracingError", "CheckResult", "Clock", "Floor", "Forecast", "InputError", "Job", "Kit", "LayoutResult",
    "Site", "StormResult", "Wall", "__version__", "check_storm", "check_wall", "choose_fasteners", "in_order",
    "in_words", "job_from_options", "job_from_text", "lay_out", "plan_lift", "read_forecast", "read_job", "take_stages",
    "typed_forecast", "weigh", "what_would_do",
}  # fmt: skip
RESULTS = ("CheckResult", "LayoutResult", "StormResult")


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


@pytest.mark.parametrize("name", RESULTS)
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
        alias.asname or alias.name: (node.module.removeprefix("bracing."), alias.name)
        for node in guard.body
        for alias in node.names
    }
    assert seen == bracing._HOME


def test_a_result_survives_json():
    result = bracing.check_wall(
        bracing.job_from_options(length="20 ft", height="8 ft"), gust=20.0, effects=False
    )
    assert json.loads(json.dumps(bracing.in_words(result), allow_nan=False))["verdict"] == "over"
