"""A wall along its own length: a bare frame nothing keeps upright is over, and what keeps it so is counted once.

Each guard is of the command line.
"""

from __future__ import annotations

import html

import pytest

from bracing.layout import plan
from bracing.layout.least import least
from tests.cli.running import WITHIN, run, said

DOOR = '[[wall.opening]]\nleft = "4 ft"\nwidth = "3 ft"\nheight = "80 in"\n'
LEFT, RIGHT = ("2 ft", "10 ft"), ("18 ft", "10 ft")


def braces(*studs):
    return "".join(
        f"""
[[brace]]
mark = "B{k}"
stud_at = "{at}"
head = "7 ft"
set_back = "7 ft"
size = "2x6"
ties = 1
head_fasteners = 4
cleat_fasteners = 4
floor_fasteners = 6
foot_on = "joist"
"""
        for k, at in enumerate(studs, start=1)
    )


BRACES = braces("4 ft", "10 ft 8 in", "16 ft")


def diagonal(ends, *, nails=3, more=""):
    foot, head = ends
    return (
        f'[[wall.diagonal]]\nfoot = "{foot}"\nhead = "{head}"\nsize = "2x4"\nend_fastener = "16d common"\n'
        f"end_fasteners = {nails}\n{more}\n"
    )


def frame(*diagonals, wall="sheathed = false", laps="none", more=""):
    """A 20 x 8 ft wall, screwed braces, its plate nailed with 16d commons at 8 in into joists, dry."""
    return f"""
[wall]
name = "Frame"
length = "20 ft"
height = "8 ft"
studs = {{ size = "2x4", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }}
moisture = "dry"
{wall}
[wall.plate]
fastener = "16d common"
spacing = "8 in"
state = "final"
into_framing = true
strap_at_brace_lb = 1000
sheathing_laps = "{laps}"
sheathing_fastener = "8d common"
sheathing_spacing = "6 in"
sheathing_field_spacing = "12 in"
[wall.top_plate]
end_nails = 3
end_nail = "16d common"
strap_at_brace_lb = 1000
{"".join(diagonals)}
{more}
[floor]
height_above_ground = "3 ft"
joists = {{ size = "2x10", species = "spruce-pine-fir", grade = "No.2", span = "12 ft" }}
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = {{ joint = "lapped", fastener = "structural screw 0.22x3", bored = true }}
cleat = {{ size = "2x6", lie = "edge", length = "24 in", sides = 2, brace_fastener = "structural screw 0.22x3", floor_fastener = "structural screw 0.22x8", bored = true }}
{BRACES}
"""  # noqa: E501


@pytest.fixture
def checked(tmp_path, capsys):
    """JSON of `check` on a wall file."""

    def asked(text):
        path = tmp_path / "frame.toml"
        path.write_text(text)
        ran = run(capsys, "check", path, "--gust", "25", "--json")
        assert ran.status in (*WITHIN, 1), ran.err
        return ran.json

    return asked


def test_a_bare_frame_with_no_diagonal_is_over_at_any_gust(checked, tmp_path, capsys):
    got = checked(frame())
    assert (got["verdict"], got["limit_gust_mph"], got["limit_gust_along_mph"]) == ("over", 0, 0)
    assert got["gives_first"]["direction"] == "along"
    ran = run(capsys, "check", tmp_path / "frame.toml", "--gust", "5")
    assert ran.status == 1
    assert "keeps this frame upright along its own length" in said(ran.out)


def test_the_limit_is_the_lesser_of_across_and_along(checked):
    both = checked(frame(diagonal(LEFT), diagonal(RIGHT)))
    assert both["limit_gust_along_mph"] > 0
    assert both["limit_gust_mph"] <= both["limit_gust_along_mph"]
    least = min(link["limit_gust_mph"] for link in both["links"] if link["limit_gust_mph"] is not None)
    assert both["limit_gust_mph"] == int(least)


def test_one_diagonal_works_one_way_and_counts_the_other_way_only_with_a_strap(checked):
    assert checked(frame(diagonal(LEFT)))["limit_gust_along_mph"] == 0
    assert checked(frame(diagonal(LEFT), diagonal(("4 ft", "12 ft"))))["limit_gust_along_mph"] == 0
    assert checked(frame(diagonal(LEFT, more="head_strap_lb = 800")))["limit_gust_along_mph"] > 0


def test_a_mirrored_frame_has_the_same_limit(checked):
    one = frame(diagonal(LEFT, more="head_strap_lb = 800"))
    other = frame(diagonal(RIGHT, more="head_strap_lb = 800"))
    pair = [checked(text)["limit_gust_along_mph"] for text in (one, other)]
    assert pair[0] == pair[1] > 0


def test_more_nails_and_a_closer_plate_never_lower_it(checked):
    nails = [
        checked(frame(diagonal(LEFT, nails=n), diagonal(RIGHT, nails=n)))["limit_gust_along_mph"]
        for n in (1, 2, 4)
    ]
    assert nails == sorted(nails)
    assert nails[0] < nails[-1]
    text = frame(diagonal(LEFT), diagonal(RIGHT))
    plates = [checked(text.replace('"8 in"', f'"{s} in"'))["limit_gust_along_mph"] for s in (16, 12, 8)]
    assert plates == sorted(plates)
    assert plates[0] < plates[-1]


def test_no_nails_at_the_ends_hold_nothing(checked):
    assert checked(frame(diagonal(LEFT, nails=0), diagonal(RIGHT, nails=0)))["limit_gust_along_mph"] == 0


def test_undeclared_nails_are_the_fewest_and_listed(checked):
    bare = '[[wall.diagonal]]\nfoot = "2 ft"\nhead = "10 ft"\n[[wall.diagonal]]\nfoot = "18 ft"\nhead = "10 ft"\n'
    fields = {row["field"]: row["value"] for row in checked(frame(bare))["assumed"]}
    assert fields["wall.diagonal[].end_fasteners"] == 2
    assert fields["wall.diagonal[].end_fastener"] == "gun nail 0.131x3"


def test_people_push_its_end_too(checked):
    got = checked(frame(diagonal(LEFT), diagonal(RIGHT)))
    still = [link for link in got["links"] if link["link"] == "frame diagonal ends"]
    assert still
    assert got["limit_gust_with_people_mph"] <= got["limit_gust_mph"]


def test_a_stud_a_board_is_let_into_counts_less_across(checked):
    face = checked(frame(diagonal(LEFT), diagonal(RIGHT)))
    cut = checked(frame(diagonal(LEFT, more='kind = "let-in"'), diagonal(RIGHT, more='kind = "let-in"')))
    bends = [
        min(link["capacity"] for link in got["links"] if link["link"] == "stud bending")
        for got in (face, cut)
    ]
    assert bends[1] == pytest.approx(bends[0] * (2.0 / 3.5) ** 2, rel=0.2)
    assert bends[1] < bends[0]


def test_a_sheathed_wall_is_not_held_back_by_it_and_one_in_paper_is(checked):
    panel = checked(frame(wall='layers = ["osb 7/16"]', laps="plate"))
    assert panel["limit_gust_along_mph"] > 100
    assert panel["gives_first"]["direction"] != "along"
    paper = checked(frame(wall='layers = ["housewrap"]', laps="plate"))
    assert paper["limit_gust_along_mph"] == 0


def test_a_pier_narrower_than_half_the_door_beside_it_counts_nothing(checked):
    def beside_a_door(inches, *studs):
        door = f'[[wall.opening]]\nleft = "{inches} in"\nwidth = "{240 - 2 * inches} in"\nheight = "84 in"\n'
        text = frame(wall='layers = ["osb 7/16"]', laps="plate", more=door)
        return checked(text.replace(BRACES, braces(*studs)))["limit_gust_along_mph"]

    assert beside_a_door(40, "16 in", "224 in") == 0
    assert beside_a_door(48, "16 in", "224 in") > 0


@pytest.mark.parametrize(
    ("written", "field", "expected"),
    [
        (diagonal(("2 ft", "30 ft")), "wall.diagonal[0].head", "a place on the wall"),
        (diagonal(("2 ft", "3 ft")), "wall.diagonal[0].head", "20 to 70 degrees"),
        (diagonal(LEFT, more='kind = "cable"'), "wall.diagonal[0].kind", "face, let-in"),
        (diagonal(LEFT) + DOOR, "wall.diagonal[0]", "no opening"),
    ],
)  # fmt: skip
def test_a_diagonal_that_cannot_be_is_one_line(tmp_path, capsys, written, field, expected):
    path = tmp_path / "frame.toml"
    path.write_text(frame(written))
    ran = run(capsys, "check", path, "--gust", "25")
    assert ran.status == 2
    assert not ran.out
    faults = [line for line in ran.err.splitlines() if field in line]
    assert len(faults) == 1
    assert expected in faults[0]


def test_the_trace_shows_what_pushes_it_and_what_stands_against_it(tmp_path, capsys):
    path = tmp_path / "frame.toml"
    path.write_text(frame(diagonal(LEFT), diagonal(RIGHT)))
    out = said(run(capsys, "trace", path, "--gust", "25").out)
    assert "Wind along the wall, end to end" in out
    assert "Force at the top of a wall along itself, H" in out
    assert "Frame diagonal ends at" in out


def test_layout_places_diagonals_in_a_bare_frame_and_the_file_then_checks_within(tmp_path, capsys):
    path = tmp_path / "frame.toml"
    path.write_text(frame())
    told = run(capsys, "layout", path, "--gust", "30", "--json").json
    assert len(told["diagonals"]) >= 2
    assert {one["head_ft"] > one["foot_ft"] for one in told["diagonals"]} == {True, False}
    assert any("across the frame" in needed for needed in told["needed_too"])
    assert any("diagonals" in item["what"] for item in told["buy"])
    assert run(capsys, "layout", path, "--gust", "30", "--write").status == 0
    ran = run(capsys, "check", path, "--gust", "30", "--json")
    assert ran.status in WITHIN
    assert ran.json["verdict"] == "within"
    again = run(capsys, "layout", path, "--gust", "30", "--json").json
    assert again["diagonals"] == []


def test_a_wall_no_brace_can_lay_out_says_so_at_once(tmp_path, capsys):
    path = tmp_path / "frame.toml"
    path.write_text(frame(wall='layers = ["housewrap"]', laps="plate"))
    ran = run(capsys, "layout", path, "--gust", "30", "--budget", "0", "--json")
    assert ran.status == 1
    assert "along its own length" in ran.json["why"]


@pytest.mark.parametrize("state", ["tacked", "final"])
@pytest.mark.parametrize(("spacing", "stands"), [("24 in", False), ("6 in", True)])
def test_panels_no_table_has_a_row_for_are_not_searched_braces_for(
    tmp_path, capsys, monkeypatch, state, spacing, stands
):
    """SDPWS 4.3A has no row for edges nailed 24 in apart: they count for nothing, and braces bring no panel."""
    path, asked = tmp_path / "wall.toml", []
    path.write_text(
        f"""
        [wall]
        name = "Side"
        length = "28 ft"
        height = "9 ft"
        layers = ["osb 7/16"]
        plate = {{ state = "{state}", sheathing_fastener = "8d common", sheathing_spacing = "{spacing}" }}
        """
    )
    monkeypatch.setattr(plan, "least", lambda *given, **also: asked.append(given) or least(*given, **also))
    ran = run(capsys, "layout", path, "--gust", "30", "--budget", "0", "--json")
    assert (ran.status in WITHIN) == bool(asked) == stands
    assert stands or "along its own length the wall reaches its limit at 0 mph" in ran.json["why"]


def test_the_page_draws_them_and_says_where_they_go(tmp_path, capsys):
    path, page = tmp_path / "frame.toml", tmp_path / "frame.html"
    path.write_text(frame(diagonal(LEFT), diagonal(RIGHT)))
    assert run(capsys, "sheet", path, "--gust", "25", "-o", page).status in WITHIN
    assert "Diagonals in the frame: 2x4 from 2'-0" in html.unescape(page.read_text())


def test_storm_on_a_bare_frame_says_that_diagonals_mend_it_and_they_do(tmp_path, capsys):
    path = tmp_path / "frame.toml"
    path.write_text(frame())
    why = run(capsys, "storm", "--gust", "30", path, "--json").json["ladder"]["why_not"]
    assert "diagonals as layout places them (1x4, 3 8d common at each end), which mend it" in why
    assert "no work" not in why
    made = run(capsys, "layout", path, "--gust", "30", "--json", "--budget", "1").json["diagonals"]
    assert f"{len(made)} diagonals" in why
