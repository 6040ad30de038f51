"""Where no layout reaches the gust asked: the best there is, and what would do, each of it true when it is done."""

from __future__ import annotations

import re
import tomllib

import pytest
import tomlkit
from attrs import evolve

from bracing.errors import NoLayoutError
from bracing.layout.changes import MADE, WHEN, changes, rows
from bracing.layout.nearest import what_would_do
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.text.quantities import in_words
from tests.cli.running import run, said
from tests.small_walls import small_job

WALL = """
[wall]
name = "Small wall"
length = "10 ft"
height = "8 ft"
studs = { size = "2x6", spacing = "24 in", species = "hem-fir", grade = "No.2" }
layers = ["osb 7/16"]
moisture = "dry"
left_end = "free"
right_end = "free"
WALL

[floor]
height_above_ground = "2 ft"
FLOOR

[kit]
stock = [{ size = "2x6", length = "STICK" }]
species = "hem-fir"
grade = "No.2"
ties = 1
head = { joint = "lapped", fastener = "structural screw 0.22x3", bored = true }

[kit.cleat]  # as found in the truck
size = "2x6"
lie = "edge"
bored = true
length = "36 in"
sides = SIDES
brace_fastener = "structural screw 0.22x3"
floor_fastener = "FLOORED"
"""
SHORT = 0.2  # [s]
FILLED = {
    "WALL": "", "FLOOR": 'room = "24 ft"', "STICK": "12 ft", "SIDES": "2", "FLOORED": "structural screw 0.22x8",
}  # fmt: skip
# Each a wall no layout of which reaches its gust, and the field of what would do that is looked for.
DEAD_ENDS = {
    "short sticks": ({"STICK": "6 ft"}, 40, "kit.stock"),
    "one stick": ({"STICK": '12 ft", count = 1 }, { size = "2x6", length = "5 ft'}, 40, "kit.stock"),
    "no room": ({"FLOOR": 'room = "3 ft"'}, 40, "floor.room"),
    "a hole": (
        {"FLOOR": '[[floor.keep_out]]\nname = "pool"\nfrom = ["0 ft", "0 ft"]\nto = ["10 ft", "24 ft"]'}, 40,
        "floor.keep_out",
    ),
    "nails": ({"FLOORED": "gun nail 0.131x3", "SIDES": "1"}, 40, "kit.cleat"),
}  # fmt: skip


def written(path, **changed):
    text = WALL
    for name, value in (FILLED | changed).items():
        text = re.sub(rf"\b{name}\b", value, text)
    path.write_text(text, encoding="utf-8")
    return path


def put(path, field, value):
    """Put a value at a dotted path of a file, as its owner would."""
    document = tomlkit.parse(path.read_text(encoding="utf-8"))
    *way, last = [step for step in re.split(r"[.\[\]]+", field) if step]
    table = document
    for step in way:
        if not step.isdigit() and step not in table:
            table[step] = tomlkit.table()
        table = table[int(step) if step.isdigit() else step]
    table[last] = value
    path.write_text(tomlkit.dumps(document), encoding="utf-8")


def within(capsys, path, one, gust):
    """Lay the wall out with everything one entry says, by the command line alone."""
    before = path.read_text(encoding="utf-8")
    for each in ({"field": one["field"], "value": one["value"]}, *one["also"]):
        if each["field"] == "--gust":
            gust = each["value"]
        else:
            put(path, each["field"], each["value"])
    ran = run(capsys, "layout", path, "--gust", gust, "--budget", SHORT, "--json")
    path.write_text(before, encoding="utf-8")
    assert ran.status == 0, (one, ran.err)
    return ran.json


@pytest.mark.parametrize("name", DEAD_ENDS)
def test_what_would_do_does_once_it_is_put_into_the_file(capsys, tmp_path, name):
    filled, gust, field = DEAD_ENDS[name]
    path = written(tmp_path / "wall.toml", **filled)
    ran = run(capsys, "layout", path, "--gust", gust, "--budget", SHORT, "--json")
    assert (ran.status, ran.json["verdict"], ran.json["braces"]) == (1, "over", [])
    would = ran.json["would_do"]
    assert field in [one["field"] for one in would]
    for one in would:
        laid = within(capsys, path, one, gust)
        assert laid["verdict"] == "within"
        assert len(laid["braces"]) <= one["braces"], one
    tried = {one["change"]: one["limit_gust_mph"] for one in ran.json["tried"]}
    assert all(
        tried[one["change"]] == one["limit_gust_mph"] >= gust
        for one in would
        if one["field"] != "--gust" and not one["also"]
    )


def test_the_nearest_is_a_plan_and_its_gust_gives_it(capsys, tmp_path):
    path = written(tmp_path / "wall.toml")
    ran = run(capsys, "layout", path, "--gust", 110, "--budget", 0, "--json")
    nearest = ran.json["nearest"]
    assert ran.status == 1
    assert 5 <= nearest["gust_mph"] < 110
    assert nearest["clear_out_gust_mph"] <= nearest["limit_gust_mph"]
    assert ran.json["would_do"][-1] == {
        "change": f"on a day of gusts up to {nearest['gust_mph']:g} mph", "field": "--gust", "also": [],
        "value": nearest["gust_mph"], "braces": len(nearest["braces"]), "limit_gust_mph": nearest["limit_gust_mph"],
    }  # fmt: skip
    again = run(capsys, "layout", path, "--gust", nearest["gust_mph"], "--budget", 0, "--json").json
    assert [brace["stud"] for brace in again["braces"]] == [brace["stud"] for brace in nearest["braces"]]
    assert again["limit_gust_mph"] == nearest["limit_gust_mph"]


def test_what_there_was_no_time_for_is_said(capsys, tmp_path):
    """There is a layout for a lower gust, so that no time is taken beyond the budget."""
    path = written(tmp_path / "wall.toml", SIDES="1")
    none = run(capsys, "layout", path, "--gust", 119, "--budget", 0, "--json").json
    some = run(capsys, "layout", path, "--gust", 119, "--budget", 3.0, "--json").json
    assert len(none["untried"]) > len(some["untried"])
    assert len(none["tried"]) < len(some["tried"])
    assert set(none["untried"]) > set(some["untried"])
    ran = run(capsys, "layout", path, "--gust", 119, "--budget", 0)
    assert "NOT TRIED, a larger --budget does" in said(ran.out)
    assert len(ran.out.splitlines()) <= 40


def test_the_screen_says_it_in_a_crews_words(capsys, tmp_path, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    path = written(tmp_path / "wall.toml", STICK="6 ft")
    ran = run(capsys, "layout", path, "--gust", 40, "--budget", SHORT)
    assert (ran.status, ran.err.count("no layout found")) == (1, 0)
    lines = ran.out.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80
    assert "NO PLAN REACHES A GUST OF 40 mph" in lines[0]
    assert ran.out.count("no stock on hand is long enough") == 1
    assert re.search(r"- with 1\d ft 2x[46]: \d+ braces, limit \d+ mph", said(ran.out))
    assert "CLEAR OUT" not in ran.out  # nothing stands with such sticks: there is no gust to say
    nails = written(tmp_path / "nails.toml", FLOORED="gun nail 0.131x3", SIDES="1")
    ran = run(capsys, "layout", nails, "--gust", 40, "--budget", SHORT)
    assert len(ran.out.splitlines()) <= 40
    assert max(map(len, ran.out.splitlines())) <= 80


def test_outside_the_envelope_nothing_is_tried(capsys, tmp_path):
    path = written(tmp_path / "wall.toml")
    ran = run(capsys, "layout", path, "--gust", 130, "--json")
    assert (ran.status, ran.json["verdict"]) == (1, "engineer")
    assert "would_do" not in ran.json


def test_the_call_from_python_gives_the_same(capsys, tmp_path):
    import bracing

    path = written(tmp_path / "wall.toml", STICK="6 ft")
    answer = run(capsys, "layout", path, "--gust", 40, "--budget", SHORT, "--json").json
    job = bracing.read_job(path)
    found = bracing.what_would_do(job, gust=40.0, budget=SHORT)
    assert [bracing.in_words(one.words) for one in found.would_do] == [
        one["change"] for one in answer["would_do"]
    ]
    assert [one.limit for one in found.would_do] == [one["limit_gust_mph"] for one in answer["would_do"]]


def test_what_would_do_is_what_was_asked_and_no_less():
    """It must also stand at 15 mph with any one brace gone: what would do stands that too."""
    asked = LayoutAsked(one_missing=15.0)
    job = small_job(stock='[{ size = "2x6", length = "6 ft" }]')
    found = what_would_do(job, gust=25.0, budget=SHORT, asked=asked)
    stick = next(one for one in found.would_do if one.does)
    assert stick.change is not None
    laid = lay_out(stick.change.job, gust=25.0, budget=SHORT, asked=asked)
    assert min(laid.result.missing) >= 15.0
    assert len(laid.job.braces) == stick.braces


def test_every_row_of_the_table_can_be_read_and_changes_something():
    """Of some wall each row changes what it says it does, and of a wall that has it already nothing."""
    hole = 'keep_out = [{ name = "a", from = ["0 ft", "2 ft"], to = ["2 ft", "4 ft"] }]'
    door = '[[wall.opening]]\nleft = "2 ft"\nwidth = "16 ft"\nheight = "7 ft"'
    nail = "gun nail 0.131x3"
    one = '[{ size = "2x4", length = "12 ft", count = 2 }]'
    deck = small_job(length="24 ft", wall=door, stock=one, ties=0, sides=1, lie="flat", floor=hole,
                     cleat_fastener=nail, floor_fastener=nail)  # fmt: skip
    head = evolve(deck.kit.head, joint="plumb", fastener=nail, bored=False)
    cleat = evolve(deck.kit.cleat, size="2x4", bored=False)
    deck = evolve(deck, kit=evolve(deck.kit, head=head, cleat=cleat), declared=deck.declared | {
        "floor.blocks.under_each_cleat", "floor.blocks.each_end", "floor.cross_cleat.each_joist",
        "wall.plate.state", "wall.plate.sheathing_laps", "wall.plate.into_framing", "kit.head.side_cleat"})  # fmt: skip
    jobs = [
        evolve(deck, floor=evolve(deck.floor, kind=kind, room=60.0)) for kind in ("deck", "slab", "ground")
    ]
    unused = [row.kind for row in rows() if not any(changes(job, row) for job in jobs)]
    assert unused == []
    for job in jobs:
        for row in rows():
            for steps in changes(job, row):
                assert all(step.job != job for step in steps)
                again = [one for more in changes(steps[-1].job, row) for one in more]
                same = [one for one in again if one.fields == steps[-1].fields]
                assert not same, row.kind
    assert {row.when for row in rows()} <= set(WHEN)
    assert {row.made for row in rows()} - {""} == set(MADE)


def test_a_table_of_several_fields_keeps_what_the_file_says_beside_them(capsys, tmp_path):
    path = written(tmp_path / "wall.toml", FLOORED="gun nail 0.131x3", SIDES="1")
    would = run(capsys, "layout", path, "--gust", 40, "--budget", SHORT, "--json").json["would_do"]
    cleats = next(one["value"] for one in would if one["field"] == "kit.cleat")
    declared = tomllib.loads(path.read_text(encoding="utf-8"))["kit"]["cleat"]
    assert declared.keys() <= cleats.keys()
    assert cleats["brace_fastener"] == declared["brace_fastener"]


def test_reasons_are_said_once():
    job = small_job(stock='[{ size = "2x6", length = "5 ft" }]')
    with pytest.raises(NoLayoutError) as caught:
        lay_out(job, gust=40.0, budget=0.0)
    reasons = in_words(caught.value.why).split("; ")
    assert len(reasons) == len({*reasons})
