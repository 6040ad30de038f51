"""The ends of the chain on pages and screens: the same words everywhere, and pictures that show them."""

from __future__ import annotations

import html
import re
import shutil

import pytest

from tests.cli.running import run, said
from tests.house.tree import ROOT

EXAMPLES = ROOT / "examples"
BRACED = EXAMPLES / "short-wall-braced.toml"
NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
LATER = ("--from", "Sat 8 am", "--until", "Sat 6 pm")


# -- when to be out, in one wording --------------------------------------------------------------------------


def test_when_to_be_out_is_said_in_one_wording_by_every_screen(capsys, tmp_path):
    """storm and the sheet said that "a meter held 5 ft above the deck then shows" what check put in brackets."""
    path = tmp_path / "wall.toml"
    shutil.copy(BRACED, path)
    told = run(capsys, "check", path, "--json").json
    gust, meter = told["clear_out_gust_mph"], told["clear_out_on_meter_mph"]
    words = f"CLEAR OUT before a forecast gust of {gust} mph ({meter} mph on a meter 5 ft above deck)"
    assert words in said(run(capsys, "check", path).out)
    assert words in said(run(capsys, "storm", path, "--gust", "20", *LATER, *NOW).out)
    page = tmp_path / "page.html"
    assert run(capsys, "sheet", path, "-o", page).status == 0
    assert words in said(re.sub(r"<[^>]+>", " ", page.read_text(encoding="utf-8")))
    out = said(run(capsys, "layout", EXAMPLES / "short-wall.toml", "--gust", "30").out)
    assert re.search(
        r"CLEAR OUT before a forecast gust of \d+ mph \(\d+ mph on a meter 5 ft above deck\)\.", out
    )
    due = said(run(capsys, "storm", path, "--gust", str(gust + 4), *LATER, *NOW).out)
    assert f"({meter} mph on a meter 5 ft above deck)" in due


@pytest.mark.parametrize("command", ["check", "storm", "stages", "sheet"])
def test_a_wall_to_be_out_of_now_is_never_given_a_gust_of_0_to_wait_for(capsys, tmp_path, command):
    path, page = tmp_path / "wall.toml", tmp_path / "page.html"
    shutil.copy(EXAMPLES / "as-found.toml", path)
    words = {
        "storm": (path, "--gust", "20", *LATER, *NOW), "sheet": (path, "--gust", "20", "-o", page),
    }.get(command, (path, "--gust", "20"))  # fmt: skip
    shown = run(capsys, command, *words).out
    shown += page.read_text(encoding="utf-8") if page.exists() else ""
    assert "CLEAR OUT now and stay out: its clear-out gust is 0" in said(shown)
    assert "CLEAR OUT before" not in said(shown)


# -- a foot from above and from its end, with the order it is put together in -----------------------------------


def page_of_wall(capsys, folder, change=("", "")):
    path, page = folder / "wall.toml", folder / "page.html"
    path.write_text(BRACED.read_text(encoding="utf-8").replace(*change), encoding="utf-8")
    assert run(capsys, "sheet", path, "-o", page, "--overwrite").status in (0, 1, 4)
    return said(html.unescape(page.read_text(encoding="utf-8")))  # with what is said of each picture


def test_the_page_shows_the_foot_from_above_with_the_order_of_screwing(capsys, tmp_path):
    """It showed where fasteners go and never which first: those between brace and cleats hide heads of the floor's."""
    text = page_of_wall(capsys, tmp_path)
    assert "Foot, from above" in text
    steps = [
        "1 before the lift: both cleats on edge, a scrap of brace between; 6 x structural screw 0.22x8, "
        "through their top edges",
        "2 wall up: take the scrap out, drop the brace in, plumb",
        "3 4 x structural screw 0.22x3, from both outer faces",
    ]  # fmt: skip
    places = [text.index(step) for step in steps]
    assert places == sorted(places)


def test_a_flat_cleat_goes_down_before_and_the_other_after_its_brace(capsys, tmp_path):
    text = page_of_wall(capsys, tmp_path, ('size = "2x6", lie = "edge"', 'size = "2x4", lie = "flat"'))
    one, two = (
        text.index("1 before the lift: one flat cleat down"),
        text.index("2 wall up: set the brace against it"),
    )
    assert one < two < text.index("3 then the other cleat, drawn tight against it, the same")


def test_the_page_shows_the_rows_of_the_plate_from_its_sheathed_edge(capsys, tmp_path):
    near = page_of_wall(
        capsys, tmp_path, ("[wall.plate]\n", '[wall.plate]\nrow_from_sheathed_edge = "3/4 in"\n')
    )
    assert re.search(r"its rows from its sheathed edge: rows: 16d common, 3/4", near)
    assert re.search(
        r"its rows from its sheathed edge: rows: 16d common, in the middle", page_of_wall(capsys, tmp_path)
    )
