"""What commands answer is what is recorded; and a moved number, a lost key and a changed word are each noticed."""

from __future__ import annotations

import copy
import json
import re

import pytest

from tests.golden import compare, runs, store, walls
from tests.golden.__main__ import RECORDED, differing, main

SLICE = [
    name for k, name in enumerate(walls.names()) if k % 25 == 0
]  # each recorded to the end of every list or cut
BLOCK = 30
OF_ONE = "short-wall-braced"


@pytest.fixture(scope="module")
def recorded():
    return store.read(RECORDED)


def hold(recorded, subjects):
    found = differing(recorded, runs.answers(subjects), list(subjects))
    assert not found, "\n" + compare.report(found)


@pytest.mark.parametrize("subject", [*runs.examples(), runs.FOLDER])
def test_examples_answer_as_recorded(recorded, subject):
    hold(recorded, [subject])


@pytest.mark.parametrize("subject", SLICE)
def test_a_slice_of_the_random_walls_answers_as_recorded(recorded, subject):
    hold(recorded, [subject])


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, walls.COUNT, BLOCK))
def test_every_random_wall_answers_as_recorded(recorded, first):
    hold(recorded, walls.names()[first : first + BLOCK])


# -- what is recorded is whole ---------------------------------------------------------------------------


def test_every_wall_and_command_is_recorded(recorded):
    assert set(recorded) == {command.key for command in runs.ONE_WALL} | {"several"}
    assert set(recorded["several"]) == {command.key for command in runs.SEVERAL}
    for command in runs.ONE_WALL:
        asked = {subject for subject in (*runs.examples(), *walls.names()) if runs.is_asked(command, subject)}
        assert set(recorded[command.key]) == asked, command.key


def test_the_walls_are_those_that_were_recorded():
    known = store.about(RECORDED)["walls"]
    others = [name for name in walls.names() if known.get(name) != store.digest(walls.text(name))]
    assert not others, f"tests/golden/walls.py gives other walls than were recorded: {others[:5]}"


def test_recorded_files_are_as_they_were_written_and_for_a_reason_that_is_in_the_changelog():
    assert store.spoilt(RECORDED) == [], "edited by hand: python -m tests.golden --write"
    changelog = " ".join(store.CHANGELOG.read_text("utf-8").split())
    for reason in store.about(RECORDED)["because"]:
        assert reason in changelog, f"recorded anew because of what CHANGELOG.md does not say: {reason}"


def test_the_table_of_limits_is_that_of_the_recorded_answers(recorded):
    assert store.limits(recorded["check"]) == (store.HERE / "limits.csv").read_text("utf-8")


def test_most_walls_have_a_limit_and_there_is_every_kind_of_wall(recorded):
    limits = [recorded["check"][name]["answer"].get("limit_gust_mph") for name in walls.names()]
    assert sum(1 for limit in limits if limit) >= 0.6 * walls.COUNT
    assert len({limit for limit in limits if limit}) > 30  # not one wall three hundred times
    texts = "\n".join(map(walls.text, walls.names()))
    for word in ("peak = ", "left_height", "top = ", "wall.opening", '"slab"', '"ground"', '"along"', '"away"', "mm",
                 "16d common", "structural screw", "lag 1/4x3", "gun nail", '"green"', '"dry"', '"plumb"', '"return"',
                 "strongback", '"tacked"'):  # fmt: skip
        assert texts.count(word) >= 5, word
    assert {text.count("[[brace]]") for text in map(walls.text, walls.names())} >= set(range(1, 12))


# -- what is changed is noticed --------------------------------------------------------------------------


@pytest.fixture(scope="module")
def answer(recorded):
    """What `check` is recorded to answer for one wall."""
    return recorded["check"][OF_ONE]


def spoil(answer, change):
    """The differences where the answer is changed."""
    now = copy.deepcopy(answer)
    change(now["answer"])
    return list(compare.differences("check", OF_ONE, answer, now))


def moved(key, by):
    def change(answer):
        answer["links"][3][key] *= by

    return change


@pytest.mark.parametrize(
    ("change", "path", "why"),
    [
        (moved("demand", 1.0 + 3e-6), "demand", "number moved"),
        (lambda a: a.update(limit_gust_mph=a["limit_gust_mph"] - 1), "limit_gust_mph", "number moved"),
        (lambda a: a["links"][5].pop("capacity"), "capacity", "key lost"),
        (lambda a: a.update(gives=a.pop("gives_first")), "gives_first", "key lost"),
        (lambda a: a["links"][0].update(why=a["links"][0]["why"] + "."), "why", "changed"),
        (lambda a: a["gives_first"].update(link="stud bending"), "gives_first.link", "changed"),
        (lambda a: a.update(verdict="within"), "verdict", "changed"),
        (lambda a: a.update(limit_gust_mph=None), "limit_gust_mph", "changed"),
        (lambda a: a["cautions"].reverse(), "cautions", "changed"),
        (lambda a: a["links"].insert(0, a["links"].pop(7)), "links[]", "order"),
        (lambda a: a["links"].pop(), "links[]", "items of the list"),
        (lambda a: a["warnings"].append("one more"), "warnings", "item new"),
        (lambda a: a["braces"][0].update(push_lb=0), "push_lb", "number moved"),
        (lambda a: a["hand_check"]["braces"][0].update(width_ft=True), "width_ft", "changed"),
    ],
)
def test_what_is_changed_is_noticed(answer, change, path, why):
    found = spoil(answer, change)
    assert any(path in difference.path and difference.why == why for difference in found), found


@pytest.mark.parametrize(
    "change",
    [
        lambda a: None,
        moved("demand", 1.0 + 3e-7),
        lambda a: a.update(new="a key more"),
        lambda a: a["links"][2].update(new=1.0),
    ],
)
def test_what_is_allowed_is_not(answer, change):
    assert spoil(answer, change) == []


def test_the_report_begins_with_the_limits(answer):
    found = spoil(answer, lambda a: (a.update(limit_gust_mph=36), moved("demand", 2.0)(a)))
    first, second, *rest = compare.report(found).splitlines()
    assert first == "Limits:"
    assert re.fullmatch(rf"  {OF_ONE}: limit_gust_mph \d+ -> 36", second)
    assert "check: answer.links[*].demand: number moved, 1 times on 1 walls, at most by 1e+02%" in rest


# -- recording anew --------------------------------------------------------------------------------------

CHANGELOG = (
    "# Changelog\n\n## Unreleased\n\n### Numbers changed\n\n* Old.\n\n### Added\n\n* A thing.\n\n## 0.1\n"
)


@pytest.fixture
def place(tmp_path, capsys):
    """A folder in which one wall is recorded, beside a changelog."""
    changelog = tmp_path / "CHANGELOG.md"
    changelog.write_text(CHANGELOG, encoding="utf-8")
    asked = {"folder": tmp_path / "recorded", "changelog": changelog}

    def ask(*words):
        status = main([*words, "w004", "--workers", "1", "--keep", str(tmp_path / "asked")], **asked)
        return status, capsys.readouterr().out

    assert ask("--write")[0] == 0  # the first time needs no reason
    return asked, ask


def tamper(folder):
    """Move one recorded number, and keep up what is known of the file."""
    path = folder / "random" / "weight.json.xz"
    text = store.text_of(path)
    weight = json.loads(text)["w004"]["answer"]["weight_lb"]
    path.write_bytes(store.packed(text.replace(f'"weight_lb":{weight}', f'"weight_lb":{weight + 1.0}', 1)))


def test_recording_anew_is_refused_without_a_new_entry_and_done_with_one(place):
    asked, ask = place
    assert ask() == (0, "Everything is as recorded.\n")
    tamper(asked["folder"])
    assert store.spoilt(asked["folder"]) == ["random/weight.json.xz"]
    status, out = ask()
    assert status == 1
    assert "number moved" in out
    before = {path: path.read_bytes() for path in asked["folder"].rglob("*") if path.is_file()}
    for words in (("--write",), ("--write", "--added")):
        status, out = ask(*words)
        assert status == 2
        assert out.splitlines()[-1].startswith("not recorded: ")
    assert ask("--write")[1].count("\n") == 1
    assert before == {path: path.read_bytes() for path in asked["folder"].rglob("*") if path.is_file()}
    changelog = asked["changelog"]
    changelog.write_text(CHANGELOG.replace("* A thing", "* A thing.\n* Not a number"), encoding="utf-8")
    assert ask("--write")[0] == 2
    changelog.write_text(CHANGELOG.replace("* Old.", "* Old.\n* New\n  and longer."), encoding="utf-8")
    assert ask("--write")[0] == 0
    assert store.about(asked["folder"])["because"] == ["New and longer."]
    assert store.spoilt(asked["folder"]) == []
    assert ask()[0] == 0


def test_recording_twice_leaves_the_same_bytes(place):
    asked, ask = place
    before = {path: path.read_bytes() for path in asked["folder"].rglob("*") if path.is_file()}
    assert ask("--write", "--added")[0] == 0
    assert before == {path: path.read_bytes() for path in asked["folder"].rglob("*") if path.is_file()}


def test_an_entry_under_a_release_is_none_under_unreleased():
    released = "## Unreleased\n\n### Added\n\n* Thing.\n\n## 0.1\n\n### Numbers changed\n\n* Old.\n"
    assert store.entries(released) == []
    known = [store.digest("Old.")]
    assert store.new_entries(CHANGELOG, known) == []
    assert store.new_entries(CHANGELOG.replace("Old.", "Older."), known) == ["Older."]
