"""Where a plate is read: no fastener counts that a door has taken out, and no brace is told its neighbour's lift."""

from __future__ import annotations

import pytest

from tests.cli.running import run
from tests.guards.test_ends_plate import TOGETHER, ordinary

SHEATHING, SHEAR = "sheathing to plate", "plate shear"


def door(left: str, width: str) -> str:
    return f"""
[[wall.opening]]
left = "{left}"
width = "{width}"
height = "6 ft 8 in"
header_nails = 4
header_fastener = "16d common"
"""


@pytest.fixture
def pushed(capsys, tmp_path):
    """The links of a wall pushed at 30 mph, by name."""

    def links(text):
        path = tmp_path / "wall.toml"
        path.write_text(text, encoding="utf-8")
        found = {}
        for row in run(capsys, "check", path, "--json", "--gust", 30).json["links"]:
            if row["direction"] == "push":
                found.setdefault(row["link"], []).append(row)
        return found

    return links


@pytest.mark.parametrize("width", ["3 ft", "4 ft", "6 ft"])
def test_fasteners_in_a_door_hold_no_plate(pushed, width):
    """A king at 45-3/4 in, a stud at 32, the door from 48: 38-7/8 to 48 in is its run, 9-1/8 in however wide the door.

    A common stud has a nail's worth, 16 in. Half of a 4 ft door counted as plate gave the king 2.07 of a nail for 0.57.
    """
    shear = {
        round(12.0 * row["x_ft"], 2): row["capacity"]
        for row in pushed(ordinary(studs=("1 ft 4 in", "16 ft"), more=door("4 ft", width)))[SHEAR]
    }
    assert shear[45.75] == pytest.approx(shear[208.0] * 9.125 / 16.0, rel=1e-9)


def test_a_short_piece_of_plate_takes_shear_on_whole_fasteners(pushed):
    """24 in of plate beside a door, one nail for 1.5: the end stud's run, to 8 in, has a third of it for a half."""
    links = pushed(ordinary(studs=("9 ft 4 in", "16 ft"), more=door("2 ft", "3 ft")))
    shear = {round(12.0 * row["x_ft"], 2): row["capacity"] for row in links[SHEAR]}
    assert shear[0.75] == pytest.approx(shear[208.0] * (0.75 + 16.0) / 2.0 / 24.0, rel=1e-9)


def test_no_brace_is_told_its_neighbours_lift(pushed):
    """B2 holds the longer part of the wall; B1, 32 in off, was told of the lift at B2's own stud as its own."""
    links = pushed(ordinary(studs=("5 ft 4 in", "8 ft")))
    for link in (TOGETHER, SHEATHING):
        ratio = {row["mark"]: row["ratio"] for row in links[link]}
        assert ratio["B1"] < 0.5 * ratio["B2"], link
