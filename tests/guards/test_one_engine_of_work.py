"""What can be added to a wall, whether there is room, and what it takes: said alike by every command."""

from __future__ import annotations

import re

import pytest

from tests.cli.running import run

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
