"""Lists of slips: every one can be put in again, and what cannot be is told."""

import pytest

from tests.house.tree import ROOT
from tests.mutants.groups import GROUPS
from tests.mutants.slips import LISTS, Slip, lists, nearest_tests, read

SLIP = Slip("one", "about it", "code.py", "a = 1", "a = 2", ("unit.py::test_a",))


@pytest.fixture
def tree(tmp_path):
    """A program of one file, and its test."""
    (tmp_path / "code.py").write_text("a = 1\nb = 1\n", encoding="utf-8")
    (tmp_path / "table.toml").write_text("part = 0.85\n", encoding="utf-8")
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests" / "unit.py").write_text("def test_a(): ...\n", encoding="utf-8")
    return tmp_path


def changed(**fields):
    return SLIP._replace(**fields)


def test_a_slip_is_put_in_once_and_nothing_else_changes(tree):
    assert SLIP.faults(tree) == []
    assert SLIP.put_into("a = 1\nb = 1\n") == "a = 2\nb = 1\n"


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"file": "gone.py"}, "there is no gone.py"),
        ({"old": "a = 3"}, "stands 0 times in code.py"),
        ({"old": " = 1"}, "stands 2 times in code.py"),
        ({"new": "a  =  1"}, "is the same program"),
        ({"new": "a = ("}, "or none at all"),
        ({"file": "table.toml", "old": "0.85", "new": "0.850"}, "says the same with it"),
        ({"tests": ("none.py",)}, "there is no tests/none.py"),
        ({"tests": ("unit.py::test_b",)}, "there is no test_b in tests/unit.py"),
        ({"tests": ()}, "no test is named, and code.py is in no group"),
    ],
)
def test_what_cannot_be_put_in_is_told(tree, fields, words):
    (fault,) = changed(**fields).faults(tree)
    assert words in fault


def test_a_case_of_a_test_and_a_table_are_taken(tree):
    assert changed(tests=("unit.py::test_a[one]",)).faults(tree) == []
    assert changed(file="table.toml", old="0.85", new="0.86").faults(tree) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[[slip]]\nname = "a"\nabout = "b"\nfile = "c"\nold = "d"\n', r"slip 1: lacks \['new'\]"),
        (
            '[[slip]]\nname = "a"\nabout = "b"\nfile = "c"\nold = "d"\nnew = "e"\ntest = []\n',
            r"does not know \['test'\]",
        ),
        (
            '[[slip]]\nname = "a"\nabout = "b"\nfile = "c"\nold = "d"\nnew = "e"\n' * 2,
            "two slips have the name a",
        ),
    ],
)
def test_a_list_that_is_none_is_told(tmp_path, text, words):
    path = tmp_path / "slips_own.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=words):
        read(path)


def test_a_file_has_the_nearest_tests_the_group_nearest_to_it():
    assert nearest_tests("bracing/panel/weight.py") == GROUPS["weight"].tests
    assert nearest_tests("bracing/panel/mesh.py") == GROUPS["panel"].tests
    assert nearest_tests("bracing/codes/gusts.py") == GROUPS["gusts"].tests
    assert nearest_tests("bracing/errors.py") == GROUPS["check"].tests  # in no group
    assert nearest_tests("docs/index.md") == ()


def test_groups_have_the_code_and_the_tests_they_name():
    for name, group in GROUPS.items():
        assert [code for code in group.code if not (ROOT / "bracing" / code).exists()] == [], name
        assert [test for test in group.tests if not (ROOT / "tests" / test).exists()] == [], name


STALE = {"reviewed": 0}  # slips of a list that may wait to be written again; of any other one in twenty


@pytest.mark.parametrize("name", lists())
def test_every_slip_of_the_lists_can_be_put_in_again(name):
    slips = read(LISTS / f"slips_{name}.toml")
    assert slips
    faults = [fault for slip in slips for fault in slip.faults(ROOT)]
    assert len(faults) <= STALE.get(name, len(slips) // 20), "\n".join(faults)
