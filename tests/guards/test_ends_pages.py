"""The ends of the chain on pages and screens: the same words everywhere, and pictures that show them."""

from __future__ import annotations

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
