"""`weight`, `lift` and `plumb` as typed: exit status, JSON, faults by option and by line."""

from __future__ import annotations

import json
import re

import pytest

from tests.cli.running import run

WALL = """
[wall]
name = "South wall"
length = "36 ft"
height = "12 ft"
studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
layers = ["osb 7/16"]
moisture = "dry"
[[brace]]
mark = "B1"
stud_at = "8 ft"
head = "10 ft"
set_back = "9 ft"
[[brace]]
mark = "B2"
stud_at = "28 ft"
head = "10 ft"
set_back = "9 ft"
"""


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(WALL, encoding="utf-8")
    return str(path)


def test_weight_in_words_and_in_json_say_the_same(capsys, wall):
    status, text, _ = run(capsys, "weight", wall)
    assert status == 0
    status, out, _ = run(capsys, "weight", wall, "--json")
    answer = json.loads(out)
    assert status == 0
    assert f"{-int(-answer['weight_lb'] // 1):,} lb" in text
    assert sum(part["weight_lb"] for part in answer["parts"]) == pytest.approx(answer["weight_lb"], rel=1e-9)


def test_a_lift_without_a_gust_is_over_only_where_something_is(capsys, wall):
    """Nothing is declared at the foot: over; with the foot held there is no verdict, as no gust was asked."""
    status, out, _ = run(capsys, "lift", wall, "--no-braces-on", "--json")
    answer = json.loads(out)
    assert (status, answer["verdict"]) == (1, "over")
    status, held, _ = run(
        capsys,
        "lift",
        wall,
        "--blocks",
        "20: 8 of 16d common",
        "--straps",
        "12: 2000 lb",
        "--pick-lb",
        "2000 lb",
        "--json",
    )
    assert (status, json.loads(held)["verdict"]) == (0, None), json.loads(held)["over"]
    assert answer["head_force_lb"] == pytest.approx(answer["weight_lb"] / 2.0, rel=0.05)
    assert len(answer["tilt"]) == 19
    assert answer["day"]["roles"]


def test_a_gust_over_the_lift_exits_one(capsys, wall):
    status, out, _ = run(capsys, "lift", wall, "--gust", "40")
    assert status == 1
    assert "OVER at 40 mph" in out


def test_every_option_at_fault_is_named(capsys, wall, tmp_path):
    chart = tmp_path / "chart.csv"
    chart.write_text("reach_ft,capacity_lb\n10,six\n20,3000\n", encoding="utf-8")
    words = ["--gust", "fast", "--slings", "12", "--straps", "6", "--chart", str(chart), "--jib", "1,2,3"]
    status, out, err = run(capsys, "lift", wall, *words)
    assert (status, out) == (2, "")
    for named in ("--gust", "--slings", "--straps", "line 2, capacity", "--jib"):
        assert named in err
    assert "Traceback" not in err


def test_a_chart_and_a_distance_come_together(capsys, wall, tmp_path):
    chart = tmp_path / "chart.csv"
    chart.write_text("reach_ft,capacity_lb\n0,9000\n40,5000\n", encoding="utf-8")
    assert run(capsys, "lift", wall, "--chart", str(chart))[0] == 2
    status, out, _ = run(capsys, "lift", wall, "--chart", str(chart), "--distance", "10 ft", "--json")
    assert status == 1  # nothing is declared at its foot, and that is over
    assert [point["capacity_lb"] for point in json.loads(out)["hook_path"]] == [5000.0] * 19


def test_the_foot_as_typed_is_counted(capsys, wall):
    typed = [
        "--straps",
        "6: 5 of 16d common",
        "--blocks",
        "8: 4 of 16d common",
        "--toe-nails",
        "20: 16d common",
    ]
    answer = json.loads(run(capsys, "lift", wall, *typed, "--json")[1])
    kick, saw = answer["foot_links"]
    assert kick["link"] == "kick-out"
    assert kick["capacity_lb"] > saw["capacity_lb"] > 0.0


def test_plumb_readings_typed_and_in_a_file(capsys, wall, tmp_path):
    status, out, _ = run(
        capsys,
        "plumb",
        wall,
        "--at",
        "B1: 2 in, 2 1/2 in",
        "--at",
        "B2: 2 in, 1 7/8 in",
        "--turn",
        "1/4 in",
        "--json",
    )
    answer = json.loads(out)
    assert status == 1  # one foot is not let go at the gust of the day
    assert answer["stays"]
    assert [brace["lean_in"] for brace in answer["braces"]] == [0.5, -0.125]
    assert answer["braces"][0]["turns"] == pytest.approx(
        answer["braces"][0]["length_change_in"] * 4, rel=1e-12
    )
    table = tmp_path / "offsets.csv"
    table.write_text("mark,floor,head\nB1,2 in,2 1/2 in\nB2,2 in,1 7/8 in\n", encoding="utf-8")
    again = json.loads(run(capsys, "plumb", wall, "--readings", str(table), "--turn", "1/4 in", "--json")[1])
    assert again["braces"] == answer["braces"]


def test_a_lean_past_what_the_checks_carry_exits_one(capsys, wall):
    assert run(capsys, "plumb", wall, "--at", "B1: 2 in, 5 in")[0] == 1


@pytest.mark.parametrize(
    ("table", "named"),
    [
        ("", "file: got empty"),
        ("mark,floor\nB1,2 in\n", "line 1"),
        ("mark,floor,head\nB9,2 in,2 in\n", "line 2: got B9"),
        ("mark,floor,head\nB1,2,2 in\n", "line 2, floor"),
        ("mark,floor,head\nB1,2 in,2 in\nB1,2 in,2 in\n", "one reading of each brace"),
        ("mark,floor,head\nB1,2 in,90 in\n", "a lean under a quarter"),
        ("mark,floor,head\nB1,2 in\n", "line 2"),
    ],
)
def test_bad_readings_are_refused_line_by_line(capsys, wall, tmp_path, table, named):
    path = tmp_path / "offsets.csv"
    path.write_text(table, encoding="utf-8")
    status, _, err = run(capsys, "plumb", wall, "--readings", str(path))
    assert status == 2
    assert named in err


def test_plumb_without_readings_says_how_to_give_them(capsys, wall):
    status, _, err = run(capsys, "plumb", wall)
    assert status == 2
    assert "--at" in err


def test_a_wall_in_options_alone_can_be_weighed(capsys):
    status, out, _ = run(capsys, "weight", "--length", "24ft", "--height", "9ft", "--json")
    assert status == 0
    fields = [row["field"] for row in json.loads(out)["assumed"]]
    assert "wall.studs.species" in fields


def test_plumb_says_from_which_side_the_line_is_read_and_a_minus_turns_it_round(capsys, wall):
    """A line hung on the braces' side is farther from a wall that leans out: the same tape, the other way."""
    told = {}
    for sign in ("", "-"):
        at = [word for mark in ("B1", "B2") for word in ("--at", f"{mark}: {sign}2 in, {sign}2 1/2 in")]
        out = run(capsys, "plumb", wall, *at)[1]
        assert "Read from a line on the side away from them" in " ".join(out.split())
        told[sign] = json.loads(run(capsys, "plumb", wall, *at, "--json")[1])["braces"]
    assert [each["lean_in"] > 0.0 for each in told[""]] == [True, True]
    turned = [-each["lean_in"] for each in told["-"]]
    assert turned == pytest.approx([each["lean_in"] for each in told[""]], rel=1e-12)


def test_the_tilt_past_which_it_runs_on_to_plumb_is_one_number(capsys, wall):
    out = " ".join(run(capsys, "lift", wall, "--no-braces-on", "--all")[1].split())
    said = re.findall(r"past (\d+) deg it runs on to plumb", out)
    assert len(said) >= 2
    assert len(set(said)) == 1
