"""With what is on hand: what is not named is not there, never bought in silence; what is of no use is said.

`--on-hand "10 2x6x12, 200 16d box"` answered with a layout that bought 195 screws.
"""

from __future__ import annotations

import shlex

from tests.cli.running import run, said
from tests.wall_files import wall_text

SCREWS = "60 structural screw 0.22x3, 60 structural screw 0.22x5, 60 structural screw 0.22x8"
STICKS = "8 2x6x12, 8 2x4x16"


def small(tmp_path):
    path = tmp_path / "wall.toml"
    text = wall_text()
    path.write_text(text[: text.index("[[brace]]")], encoding="utf-8")
    return path


def laid(capsys, path, on_hand, *words):
    return run(capsys, "layout", path, "--on-hand", on_hand, "--budget", "0.5", *words)


def test_what_is_not_named_is_not_bought(capsys, tmp_path):
    ran = laid(capsys, small(tmp_path), "10 2x6x12, 200 16d box")
    assert ran.status == 1
    assert "WITHIN" not in ran.out
    told = said(ran.out + ran.err)
    assert "What is not named is not there" in told
    assert "structural screw" in told


def test_sticks_that_nobody_names_are_not_there(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text('[wall]\nlength = "16 ft"\nheight = "8 ft"\n', encoding="utf-8")
    ran = laid(capsys, path, "500 screws, 500 nails")
    assert (ran.status, ran.out) == (2, "")
    assert "what is not named is not there" in ran.err


def test_what_is_of_no_use_and_what_must_be_bought_is_said(capsys, tmp_path):
    path = small(tmp_path)
    on_hand = f"{STICKS}, {SCREWS}, 300 nails, 40 lag 3/8x4"
    ran = laid(capsys, path, on_hand)
    assert ran.status == 0, ran.err
    out = said(ran.out)
    assert "BUY" not in ran.out
    assert "Of no use here:" in out
    assert "lag 3/8x4" in out.partition("Of no use here:")[2].partition(".")[0]
    again = shlex.split(ran.out.partition("Next, into the file:")[2].replace("\\\n", " "))
    assert again[again.index("--on-hand") + 1] == on_hand
    json = laid(capsys, path, on_hand, "--json")
    assert "Of no use here:" in json.err


def test_what_to_fetch_is_said_and_does(capsys, tmp_path):
    """Nothing stands with what is on hand: what is fetched beside it makes a layout, typed as it is printed."""
    path = small(tmp_path)
    ran = laid(capsys, path, "4 2x6x12, 200 16d box", "--gust", "25", "--json")
    (one,) = ran.json["would_do"]
    assert (ran.status, ran.json["nearest"], one["field"]) == (1, None, "--on-hand")
    assert one["limit_gust_mph"] >= 25
    assert "200 16d box" in one["value"]
    then = laid(capsys, path, one["value"], "--gust", "25", "--json")
    assert then.status == 0, then.err
    assert then.json["limit_gust_mph"] >= 25
    out = laid(capsys, path, "4 2x6x12, 200 16d box", "--gust", "25").out
    again = shlex.split(out.partition("Next, with that fetched:")[2].replace("\\\n", " "))
    assert again[again.index("--on-hand") + 1] == one["value"]


def test_how_far_what_is_on_hand_goes_is_the_nearest(capsys, tmp_path):
    path, on_hand = small(tmp_path), f"{STICKS}, {SCREWS}, 300 nails"
    ran = laid(capsys, path, on_hand, "--gust", "60", "--json")
    assert (ran.status, ran.json["verdict"]) == (1, "over")
    nearest, would = ran.json["nearest"], ran.json["would_do"]
    assert 5 <= nearest["clear_out_gust_mph"] <= nearest["limit_gust_mph"] < 60
    assert nearest["braces"]
    (one,) = would
    gust = next((each["value"] for each in one["also"] if each["field"] == "--gust"), 60)
    assert one["limit_gust_mph"] >= gust
    assert laid(capsys, path, one["value"], "--gust", gust).status == 0
    told = said(laid(capsys, path, on_hand, "--gust", "60").out)
    assert "TO REACH A GUST OF 60 mph:" in told or "on a day of gusts up to" in told
