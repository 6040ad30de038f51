"""What can be added to a wall, whether there is room, and what it takes: said alike by every command."""

from __future__ import annotations

import math
import re
from collections import Counter

import pytest
from attrs import evolve

from bracing.layout.parts import fasteners_needed
from bracing.reading.jobs import read_job
from bracing.work.parts import truck_for
from bracing.work.remedies import Change
from tests.cli.running import EXAMPLES, run

SHORT_CLEAT = """
[wall]
name = "Short cleats"
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
kind = "deck"
deck = "osb 23/32"
room = "24 ft"
height_above_ground = "3 ft"
open_below = false
joists = { kind = "sawn", run = "away", spacing = "16 in", size = "2x10", span = "12 ft" }
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = { joint = "lapped", fastener = "structural screw 0.22x3" }
[kit.cleat]
size = "2x4"
length = "LENGTH"
brace_fastener = "gun nail 0.131x3-1/4"
floor_fastener = "structural screw 0.22x5"
"""
BRACE = """
[[brace]]
mark = "B{mark}"
stud_at = "{at} in"
head = "7 ft"
set_back = "7 ft"
size = "2x6"
head_fasteners = 3
cleat_fasteners = 3
floor_fasteners = 3
into_joist = true
ties = {ties}
"""


@pytest.fixture
def wall(tmp_path):
    """Writes a wall of three braces whose cleats are so long."""

    def write(length="36 in", ties=0):
        path = tmp_path / "wall.toml"
        braces = "".join(BRACE.format(mark=k + 1, at=at, ties=ties) for k, at in enumerate((32, 96, 160)))
        path.write_text(SHORT_CLEAT.replace("LENGTH", length) + braces)
        return path

    return write


def floor_after_storm(capsys, path, gust):
    """Give the floor fasteners of the file it has written its work into."""
    run(capsys, "storm", path, "--gust", gust, "--write")
    return [int(n) for n in re.findall(r"floor_fasteners = (\d+)", path.read_text())]


@pytest.mark.parametrize(("length", "fit"), [("18 in", 4), ("24 in", 6)])
def test_a_storm_asks_for_no_more_fasteners_than_have_room(capsys, wall, length, fit):
    """0.22 in screws keep 15 D = 3.3 in from the ends and apart: 11.4 in between are 3 spaces, 17.4 in are 5."""
    path = wall(length)
    assert "have room" not in run(capsys, "check", path, "--gust", 38).out
    counts = floor_after_storm(capsys, path, 38)
    cleats = 2 if re.search(r"sides = 2", path.read_text()) else 1
    assert 3 < max(counts) <= cleats * fit
    assert "have room" not in " ".join(run(capsys, "check", path, "--gust", 38).out.split())


# -- parts ------------------------------------------------------------------------------------------------


def test_a_tie_row_is_the_same_sticks_and_fasteners_in_both_lists(capsys, wall):
    """By hand, from where braces stand: a row a foot past both ends, two diagonals of 3/4 of a brace, 2x4."""
    laid = run(capsys, "layout", EXAMPLES / "short-wall.toml", "--gust", 40, "--json").json
    bought = {item["what"]: item["count"] for item in laid["buy"]}
    # 208 in between end braces and a foot past each: two lengths of 128 in; 3/4 of 141.6 in is 106.2 in
    assert bought["2x4 x 12 ft"] == 2
    assert bought["2x4 x 10 ft"] == 2
    assert not any("tie row" in what for what in bought)
    # 5 at each head, 4 to its cleats, 2 where the row crosses it, 4 at each diagonal: 41, and a tenth, in fives
    assert bought["structural screw 0.22x3"] == 50
    rungs = run(capsys, "storm", wall(), "--gust", 34, "--json").json["ladder"]["rungs"]
    (row,) = [rung["truck"] for rung in rungs if rung["kind"] == ["tie"]]
    # 128 in between end braces and a foot past each; 3/4 of 118.8 in is 89.1 in; 2 a brace, 4 a diagonal
    assert row == {"2x4 x 14 ft": 1, "2x4 x 8 ft": 2, "structural screw 0.22x3": 3 * 2 + 2 * 4}


def test_a_t_takes_the_same_fasteners_in_both_lists(wall):
    """As the chain reckons it: one row of the head's fastener, 8 in apart."""
    job = read_job(wall())
    brace = job.braces[0]
    with_t = evolve(job, braces=(evolve(brace, stiffener="T"), *job.braces[1:]))
    added = fasteners_needed(with_t) - fasteners_needed(job)
    assert added == {"structural screw 0.22x3": math.ceil(brace.length / 8.0) + 1}
    change = Change("stiffener", "brace[0].stiffener", "none", "T", "B1")
    assert truck_for(job, [change], ()) == added + Counter({"2x6 x 10 ft": 1})


def test_a_strap_is_asked_for_by_one_name_in_steps_of_25_lb(capsys, wall):
    laid = run(capsys, "layout", EXAMPLES / "short-wall.toml", "--gust", 40, "--json").json
    assert "strap, top plate to stud, allowable 600 lb" in {item["what"] for item in laid["buy"]}
    truck = run(capsys, "storm", wall(), "--gust", 34, "--json").json["ladder"]["truck"]
    (strap,) = [
        re.fullmatch("strap, top plate to stud, allowable ([0-9]+) lb", what)
        for what in truck
        if "strap" in what
    ]
    asked = int(strap[1])
    assert asked % 25 == 0
    assert asked % 50 != 0
