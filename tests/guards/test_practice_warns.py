"""How far apart builders leave braces is warned of, with each gap, and refuses no plan the chain lets stand.

A wall with nowhere to stand a foot within 4 ft of one end, or for 12 ft in the middle, got "no layout found".
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.cli.running import EXAMPLES, WITHIN, run, said

WALL = """
[wall]
name = "Hole in the floor"
length = "24 ft"
height = "9 ft"
layers = ["osb 7/16"]
left_end = "free"
right_end = "free"
[floor]
room = "24 ft"
height_above_ground = "3 ft"
joists = { run = "away", spacing = "16 in" }
"""
HOLE = """
[[floor.keep_out]]
name = "stair"
from = ["FROM", "0 ft"]
to = ["TO", "24 ft"]
"""


def laid(capsys, path, gust, *words):
    ran = run(capsys, "layout", path, "--gust", gust, "--budget", "0.3", *words, "--json")
    assert ran.status in WITHIN, ran.err
    return ran.json


@pytest.fixture
def wall(tmp_path):
    def made(left="", right=""):
        path = tmp_path / "wall.toml"
        hole = HOLE.replace("FROM", left).replace("TO", right) if left else ""
        path.write_text(WALL + hole, encoding="utf-8")
        return path

    return made


def test_no_foot_near_an_end_is_a_plan_with_a_warning(capsys, wall):
    path = wall("0 ft", "6 ft")
    plan = laid(capsys, path, 30)
    studs = [brace["x_ft"] for brace in plan["braces"]]
    first = plan["gaps"][0]
    assert min(studs) > 6.0
    assert (first["left"], first["most_ft"]) == (None, 4.0)
    assert first["ft"] == pytest.approx(min(studs), abs=0.01)
    words = said(run(capsys, "layout", path, "--gust", 30, "--budget", "0.3").out)
    assert "in from a free end, over 4 ft" in words


def test_no_foot_for_twelve_feet_is_a_plan_with_a_warning(capsys, wall):
    path = wall("6 ft", "18 ft")
    plan = laid(capsys, path, 30)
    studs = sorted(brace["x_ft"] for brace in plan["braces"])
    widest = max(b - a for a, b in pairwise(studs))
    assert widest > 12.0
    assert [gap["ft"] for gap in plan["gaps"]] == [pytest.approx(widest, abs=0.01)]
    words = said(run(capsys, "layout", path, "--gust", 30, "--budget", "0.3").out)
    assert "over the 10 ft builders leave" in words


def test_with_feet_everywhere_the_plan_keeps_to_practice_and_more_than_that_is_only_told(capsys, wall):
    """The fewest may be farther apart: it is said so, and asked for by --fewest it is given with its gaps."""
    plan = laid(capsys, wall(), 25, "--budget", "2")
    assert plan["gaps"] == []
    assert not any("builders leave" in words for words in plan["warnings"])
    few = laid(capsys, wall(), 25, "--fewest")
    assert len(few["braces"]) < len(plan["braces"])
    assert few["gaps"]
    assert plan["fewest"]["past_practice"] >= 1


def test_check_gives_each_gap_of_a_wall_that_stands(capsys):
    answer = run(capsys, "check", EXAMPLES / "as-found.toml", "--json").json
    studs = sorted(brace["x_ft"] for brace in answer["braces"])
    far = [b - a for a, b in pairwise(studs) if b - a > 10.001]
    assert [gap["ft"] for gap in answer["gaps"] if gap["left"] and gap["right"]] == pytest.approx(
        far, abs=0.01
    )
