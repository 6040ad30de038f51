"""Openings as wide as a garage door, people who are out by the clear-out gust, and what nobody declared."""

from __future__ import annotations

import textwrap

import pytest

from tests.cli.running import run, said

# 20 x 10 ft, three screwed braces, 16d at 16 in: an ordinary wall.
ORDINARY = """
    [wall]
    name = "Ordinary wall"
    length = "20 ft"
    height = "10 ft"
    studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
    layers = ["osb 7/16"]
    moisture = "dry"
    [wall.plate]
    fastener = "16d common"
    spacing = "16 in"
    into_framing = true
    state = "final"
    sheathing_laps = "plate"
    sheathing_fastener = "8d common"
    sheathing_spacing = "6 in"
    [floor]
    kind = "deck"
    deck = "osb 23/32"
    room = "24 ft"
    height_above_ground = "3 ft"
    open_below = false
    joists = { kind = "sawn", run = "away", spacing = "16 in", size = "2x10", species = "hem-fir" }
    [kit]
    species = "spruce-pine-fir"
    grade = "No.2"
    ties = 1
    [kit.head]
    joint = "lapped"
    fastener = "structural screw 0.22x3"
    [kit.cleat]
    size = "2x6"
    lie = "edge"
    length = "36 in"
    sides = 2
    brace_fastener = "structural screw 0.22x3"
    floor_fastener = "structural screw 0.22x8"
    [site]
    exposure = "C"
    PEOPLE
"""
BRACE = """
    [[brace]]
    mark = "{mark}"
    stud_at = "{at} in"
    lap_side = "left"
    head = "8 ft"
    set_back = "8 ft"
    size = "2x6"
    ties = 1
    head_fasteners = 6
    cleat_fasteners = 8
    floor_fasteners = 8
"""


def ordinary(folder, people="", name="ordinary.toml"):
    text = ORDINARY.replace("PEOPLE", f'top_load = "{people}"' if people else "")
    text += "".join(BRACE.format(mark=f"B{k}", at=at) for k, at in enumerate((32, 112, 192), start=1))
    path = folder / name
    path.write_text(textwrap.dedent(text))
    return path


# -- a floor nobody has said the height of ------------------------------------------------------------------

HEIGHT = 'height_above_ground = "3 ft"'


def at_height(capsys, folder, line, *words):
    path = ordinary(folder)
    path.write_text(path.read_text().replace(HEIGHT, line))
    return run(capsys, "check", path, *words)


def test_a_floor_of_undeclared_height_counts_as_a_third_storey(capsys, tmp_path):
    """Two storeys of 11 ft 7 in and 3 ft, in whole feet; declared, it gives the same number."""
    undeclared = at_height(capsys, tmp_path, "", "--json").json
    third = at_height(capsys, tmp_path, 'height_above_ground = "26 ft"', "--json").json
    first = at_height(capsys, tmp_path, HEIGHT, "--json").json
    assert undeclared["limit_gust_mph"] == third["limit_gust_mph"] < first["limit_gust_mph"]
    (row,) = [row for row in undeclared["assumed"] if row["field"] == "floor.height_above_ground"]
    assert row["effect_mph"] >= first["limit_gust_mph"] - undeclared["limit_gust_mph"] - 1 > 0
    assert not [row for row in first["assumed"] if row["field"] == "floor.height_above_ground"]


def test_the_page_says_what_the_undeclared_height_costs(capsys, tmp_path):
    page = said(at_height(capsys, tmp_path, "", "--assumed").out)
    assert "third storey" in page


def test_a_meter_over_a_floor_of_undeclared_height_reads_as_at_the_ground(capsys, tmp_path):
    """It reads least there, so people act soonest: 5 ft up, less of the same gust than 8 ft or 31 ft up."""
    part = [
        (told["clear_out_on_meter_mph"] + 1) / told["clear_out_gust_mph"]
        for told in (
            at_height(capsys, tmp_path, line, "--json").json
            for line in ("", 'height_above_ground = "0 ft"', 'height_above_ground = "26 ft"')
        )
    ]
    assert part[0] <= part[2]
    undeclared = at_height(capsys, tmp_path, "", "--json").json
    # (5 / 33)^(1/9.5) of the gust in open country
    assert undeclared["clear_out_on_meter_mph"] == int(
        undeclared["clear_out_gust_mph"] * (5.0 / 33.0) ** (1 / 9.5)
    )


# -- people are out by the clear-out gust ------------------------------------------------------------------


def test_nobody_stands_there_at_the_limit_gust_and_they_do_at_the_clear_out_gust(capsys, tmp_path):
    """Heavier people lower the limit with people and the clear-out gust, never the limit gust."""
    walls = [
        run(capsys, "check", ordinary(tmp_path, people), "--json").json
        for people in ("0 lb/ft", "5 lb/ft", "30 lb/ft")
    ]
    assert len({wall["limit_gust_mph"] for wall in walls}) == 1
    with_people = [wall["limit_gust_with_people_mph"] for wall in walls]
    assert with_people == sorted(with_people, reverse=True)
    assert with_people[0] > with_people[2]
    for wall in walls:
        least = min(17 * wall["limit_gust_mph"] // 20, wall["limit_gust_with_people_mph"])
        assert wall["clear_out_gust_mph"] == least
    assert walls[0]["clear_out_gust_mph"] > walls[2]["clear_out_gust_mph"]


def test_the_limit_gust_is_that_of_the_same_wall_without_people(capsys, tmp_path):
    """What people weigh goes into no link of it: every link is that of the wall with nobody there."""
    some, none = (run(capsys, "check", ordinary(tmp_path, p), "--json").json for p in ("5 lb/ft", "0 lb/ft"))
    assert some["links"] == none["links"]
    assert some["loads"] == none["loads"]


@pytest.mark.parametrize("people", ["5 lb/ft", "30 lb/ft"])
def test_every_command_prints_the_same_two_gusts(capsys, tmp_path, people):
    path = ordinary(tmp_path, people)
    told = run(capsys, "check", path, "--json").json
    two = told["clear_out_gust_mph"], told["limit_gust_mph"]
    stage = run(capsys, "stages", path, "--json").json["stages"][-1]
    assert (stage["clear_out_gust_mph"], stage["limit_gust_mph"]) == two
    assert stage["limit_gust_with_people_mph"] == told["limit_gust_with_people_mph"]
    traced = run(capsys, "trace", path, "--json").json
    assert (traced["clear_out_gust_mph"], traced["limit_gust_mph"]) == two
    assert int(traced["clear_out"][-1]["value"]) == two[0]
    stormy = run(capsys, "storm", path, "--gust", "10", "--json").json
    assert (stormy["clear_out_gust_mph"], stormy["limit_gust_mph"]) == two
    for command in ("check", "trace"):
        page = said(run(capsys, command, path).out)
        assert str(two[0]) in page
    page = run(capsys, "check", path).out
    assert page.index("CLEAR OUT") < page.index("Limit gust")
    governs = told["clear_out_gust_mph"] < 17 * told["limit_gust_mph"] // 20
    assert ("With people on it or beside it" in said(page)) == governs
