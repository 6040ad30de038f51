"""A crew's own minutes go where the table's went: into the plan that is taken and into every screen that tells minutes.

One table says what work takes, by common practice and by no source; a crew that doubles studs slowly had the plan of
one that does it fast, and was told to start by the other's time.
"""

from __future__ import annotations

import re

import pytest

from tests.cli.running import WITHIN, run, said

# docs/judgement.md, "What work takes"
TABLE = {
    "fetch": 15.0, "brace": 30.0, "cut": 6.0, "beside": 15.0, "fastener": 0.75, "joint_nail": 0.6,
    "lag": 1.25, "screw_for_nail": 1.0,
    "plate_nail": 0.5, "sheathing_nail": 0.2, "second_stud": 15.0, "second_stick": 15.0, "second_cleat": 10.0,
    "head_cleat": 6.0, "block": 5.0, "foot_on_blocks": 20.0, "cross_cleat": 6.0, "tie": 10.0, "tie_row": 30.0,
    "row": 30.0, "row_at_stud": 1.0, "foot_strap": 8.0, "strap": 6.0, "splice": 30.0,
}  # fmt: skip
BARE = """
[wall]
name = "Two braces"
length = "8 ft"
height = "9 ft"
layers = ["osb 7/16"]
left_end = "free"
right_end = "free"
studs = { size = "2x4", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
[floor]
room = "24 ft"
height_above_ground = "3 ft"
joists = { run = "away", spacing = "16 in", size = "2x10", span = "12 ft" }
"""
UP = """
[wall]
name = "Three braces"
length = "16 ft"
height = "9 ft"
studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
layers = ["osb 7/16"]
[wall.plate]
fastener = "16d common"
spacing = "16 in"
state = "final"
into_framing = true
sheathing_laps = "plate"
[floor]
deck = "osb 23/32"
room = "24 ft"
height_above_ground = "3 ft"
open_below = false
joists = { kind = "sawn", run = "away", spacing = "16 in", size = "2x10", span = "12 ft" }
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = { joint = "lapped", fastener = "structural screw 0.22x3", bored = true }
cleat = { size = "2x4", lie = "edge", bored = true, length = "36 in", brace_fastener = "gun nail 0.131x3-1/4", \
floor_fastener = "structural screw 0.22x6" }
""" + "".join(
    f"""
[[brace]]
mark = "B{mark}"
stud_at = "{at} in"
head = "7 ft"
set_back = "7 ft"
size = "2x6"
head_fasteners = 3
cleat_fasteners = 3
floor_fasteners = 3
foot_on = "joist"
"""
    for mark, at in ((1, 32), (2, 96), (3, 160))
)


@pytest.fixture
def typed(tmp_path):
    """Writes a wall with the minutes a crew has typed."""

    def write(text, **minutes):
        path = tmp_path / "wall.toml"
        rows = "".join(f"{name} = {each}\n" for name, each in minutes.items())
        path.write_text(text + (f"\n[kit.minutes]\n{rows}" if rows else ""))
        return path

    return write


def laid(capsys, path):
    ran = run(capsys, "layout", path, "--gust", 40, "--budget", "0.5", "--json")
    assert ran.status in WITHIN, ran.err
    return ran.json


def doubled(plan):
    return sum(brace["stud_doubled"] for brace in plan["braces"])


def ladder(capsys, path):
    return run(capsys, "storm", path, "--gust", 58, "--json").json["ladder"]


def on_the_sheet(capsys, path):
    """Minutes of the work before a storm on the page for the clipboard."""
    page = path.with_suffix(".html")
    run(capsys, "sheet", path, "--gust", 20, "-o", page, "--overwrite")
    found = re.search(
        r"limit to a gust of 58 mph, in this order: about ([0-9]+) minutes", said(page.read_text())
    )
    assert found is not None
    return int(found[1])


def test_a_crew_that_doubles_studs_slowly_doubles_fewer(capsys, typed):
    plain, slow = laid(capsys, typed(BARE)), laid(capsys, typed(BARE, second_stud=60))
    assert doubled(plain) > doubled(slow)
    assert plain["own_minutes"] == {}
    assert slow["own_minutes"] == {"second_stud": 60.0}
    assert slow["work_minutes"] < plain["work_minutes"] + 45 * doubled(plain)  # of the plan it would have had


def test_a_plan_takes_as_much_less_as_its_studs_are_doubled_faster(capsys, typed):
    plain, fast = laid(capsys, typed(BARE)), laid(capsys, typed(BARE, second_stud=5))
    places = [[(brace["x_ft"], brace["stud_doubled"]) for brace in plan["braces"]] for plan in (plain, fast)]
    assert places[0] == places[1]
    assert doubled(plain) > 0
    assert plain["work_minutes"] - fast["work_minutes"] == 10 * doubled(plain)
    words = said(run(capsys, "layout", typed(BARE, second_stud=5), "--gust", 40, "--budget", "0.5").out)
    assert f"about {fast['work_minutes']} minutes for two (judgement; your own: second stud 5)" in words


def test_minutes_typed_as_the_table_has_them_change_nothing(capsys, typed):
    plain, same = laid(capsys, typed(BARE)), laid(capsys, typed(BARE, **TABLE))
    assert plain["work_minutes"] == same["work_minutes"]
    assert plain["braces"] == same["braces"]
    assert same["own_minutes"] == TABLE


def test_twice_the_minutes_of_all_is_twice_the_work_before_a_storm(capsys, typed):
    plain, twice = (
        ladder(capsys, typed(UP)),
        ladder(capsys, typed(UP, **{k: 2 * v for k, v in TABLE.items()})),
    )
    assert [rung["what"] for rung in plain["rungs"]] == [rung["what"] for rung in twice["rungs"]]
    assert 0 <= 2 * plain["minutes_for_two"] - twice["minutes_for_two"] <= 1  # each rounded up
    assert twice["own_minutes"]["tie_row"] == 60.0


def test_layout_storm_and_sheet_take_the_same_minutes_for_the_same_work(capsys, typed):
    """Fetching and setting out is in each once: typed 100 minutes more it is 100 more in each."""
    every = []
    for more in (0, 100):
        fetch = {"fetch": TABLE["fetch"] + more} if more else {}
        up = typed(UP, **fetch)
        storm, sheet = ladder(capsys, up)["minutes_for_two"], on_the_sheet(capsys, up)
        assert storm == sheet
        every.append((storm, sheet, laid(capsys, typed(BARE, **fetch))["work_minutes"]))
    assert [after - before for before, after in zip(*every, strict=True)] == [100, 100, 100]
    words = said(run(capsys, "storm", typed(UP, fetch=115), "--gust", 58).out)
    assert f"About {every[1][0]} min for two (judgement; your own: fetch 115)" in words


@pytest.mark.parametrize("value", ["-4", "0", "0.0", "601", '"40 min"', "true", "nan", "[15]"])
def test_what_is_no_minutes_is_refused_in_one_line(capsys, typed, value):
    path = typed(BARE, block=value, splice=30)
    for words in (("layout", path, "--gust", 40), ("check", path), ("storm", path, "--gust", 40)):
        ran = run(capsys, *words)
        assert ran.status == 2
        (line,) = [line for line in ran.err.splitlines() if "kit.minutes" in line]
        assert re.search(r"kit\.minutes\.block: got .*; expected (a number|from 0\.01 to 600)", line)
        assert not ran.out


def test_work_nobody_knows_is_refused_with_what_is_near(capsys, typed):
    ran = run(capsys, "check", typed(BARE, second_studs=15))
    assert ran.status == 2
    assert "kit.minutes.second_studs" in ran.err
    assert "second_stud" in ran.err.replace("second_studs", "")


def test_minutes_are_nothing_a_wall_stands_on(capsys, typed):
    """None is listed as assumed, and no limit moves with them."""
    plain = run(capsys, "check", typed(UP), "--json").json
    own = run(capsys, "check", typed(UP, **{name: 9 for name in TABLE}), "--json").json
    assert not any("minutes" in str(each) for each in plain["assumed"])
    assert own["limit_gust_mph"] == plain["limit_gust_mph"]
    assert own["assumed"] == plain["assumed"]
