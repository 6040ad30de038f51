"""A layout is the plan of least work a crew would choose, of sticks a yard sells; the fewest braces are said beside it.

A wall had braces on three neighbouring studs, eleven doubled studs, and a stick of 16'-11 15/16" to buy.
"""

from __future__ import annotations

import math
import re

import pytest

from tests.cli.running import WITHIN, run, said

ALONG = """
[wall]
name = "Joists along"
length = "32 ft"
height = "9 ft"
layers = ["osb 7/16"]
left_end = "free"
right_end = "free"
[floor]
room = "24 ft"
height_above_ground = "3 ft"
joists = { run = "along", spacing = "16 in", first = "4 in", size = "2x10", span = "12 ft" }
"""


@pytest.fixture(scope="module")
def along(tmp_path_factory):
    path = tmp_path_factory.mktemp("walls") / "along.toml"
    path.write_text(ALONG)
    return path


def laid(capsys, *words):
    ran = run(capsys, "layout", *words, "--json")
    assert ran.status in WITHIN, ran.err
    return ran.json


def test_more_braces_of_less_work_are_taken_and_the_fewest_are_said(capsys, along):
    plan = laid(capsys, along, "--gust", 35)
    few = laid(capsys, along, "--gust", 35, "--fewest")
    assert len(few["braces"]) < len(plan["braces"])
    assert few["work_minutes"] > plan["work_minutes"]
    assert few["fewest"] is None
    assert plan["fewest"]["braces"] < len(plan["braces"])
    assert plan["fewest"]["work_minutes"] > plan["work_minutes"]
    assert not plan["proved_least"]
    words = said(run(capsys, "layout", along, "--gust", 35).out)
    more = plan["fewest"]["work_minutes"] - plan["work_minutes"]
    assert f"Work: about {plan['work_minutes']} minutes for two" in words
    assert f"{plan['fewest']['braces']} would do, with {more} minutes more work: --fewest" in words


def test_the_command_that_writes_it_asks_for_the_same_plan(capsys, along):
    ran = run(capsys, "layout", along, "--gust", 35, "--fewest", "--budget", "0.2")
    assert "--fewest --write" in said(ran.out.replace("\\\n", " "))


def test_nothing_is_bought_that_no_yard_sells(capsys):
    """Second studs, cleats and second sticks of a size that is not on hand come from sticks of even feet."""
    words = (
        "--length",
        "24ft",
        "--height",
        "9ft",
        "--peak",
        "17ft",
        "--height-above-ground",
        "3ft",
        "--gust",
        45,
    )
    for more in (("--stock", "2x4x20"), ()):
        plan = laid(capsys, *words, *more, "--budget", "0.5")
        sticks = [item["what"] for item in plan["buy"] if re.match(r"\d+x\d+ x ", item["what"])]
        assert sticks
        assert all(re.fullmatch(r"\d+x\d+ x (8|10|12|14|16|18|20|22|24) ft", what) for what in sticks), sticks


SCREWED = """[kit]
ties = 0
[kit.head]
fastener = "structural screw 0.22x3"
[kit.cleat]
brace_fastener = "structural screw 0.22x3"
floor_fastener = "structural screw 0.22x8"
"""


def test_the_minutes_are_added_up_from_the_table(capsys, tmp_path):
    """By hand, two braces: 15 to fetch; 30 each with 14 fasteners, 0.75 for each more, or fewer, or in the plate.

    10 for each second cleat, 15 for each second stud or stick, 6 for a second kind of brace.
    """
    path = tmp_path / "wall.toml"
    path.write_text(ALONG.replace('"32 ft"', '"8 ft"').replace("[floor]", f"{SCREWED}[floor]"))
    plan = laid(capsys, path, "--gust", 25)
    braces, needed = plan["braces"], " ".join(plan["needed_too"])
    assert not any(word in needed for word in ("strap", "more nails", "splice"))
    in_plate = re.search(
        r"(\d+) (?:structural screw|lag)s [0-9/.]+x[0-9/. ]+ through the bottom plate", needed
    )
    minutes = 15.0
    for brace in braces:
        counts = sum(brace[name] for name in ("head_fasteners", "cleat_fasteners", "floor_fasteners"))
        counts += int(in_plate[1]) if in_plate else 0
        doubled, stiffened = brace["stud_doubled"], brace["stiffener"] == "T"
        minutes += 30.0 + 0.75 * (counts - 14) + 10.0 + 15.0 * doubled + 15.0 * stiffened
    minutes += 6.0 * (len({(brace["head_ft"], brace["set_back_ft"]) for brace in braces}) - 1)
    assert plan["work_minutes"] == math.ceil(minutes)
