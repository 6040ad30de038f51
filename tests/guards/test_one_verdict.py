"""One wall, one verdict: what check calls unknown no other screen calls within, nor over what check does not.

Each guard is of the command line, of the page at the wall, or of the watch.
"""

from __future__ import annotations

import csv

import pytest

from bracing.site.sums import worked
from bracing.site.walks import noted
from bracing.storm.forecast import utc_now
from tests.cli.running import run, said
from tests.guards.test_above import load, upstairs, wall
from tests.guards.test_watch import JOB, watched
from tests.site_servers import grid

DONE = 'storey_below = "done"\n'
ON_A_STOREY = "UNKNOWN: nobody said that the storey under this wall is done"
TIPPING = "UNKNOWN: nobody said what keeps the trusses from tipping over"
NOBODY_SAID = {
    "storey": (upstairs(), ON_A_STOREY),
    "tie": (wall(load(count=6)), TIPPING),
    "both": (upstairs() + load(count=6), TIPPING),
}
ALL_SAID = {"done": upstairs(DONE), "tied": wall(load(count=6, tied_to="ground brace")), "bare": wall()}
GUSTS = ("10", "24", "60")  # under the clear-out gusts, between, over the limits


def written(folder, text):
    path = folder / "wall.toml"
    path.write_text(text.replace("[wall]", '[wall]\nstate = "standing"', 1), encoding="utf-8")
    return path


def verdicts(capsys, path, gust):
    """The verdict of one wall at one gust, as every command gives it that gives one."""
    now = ("--now", "2026-03-06 08:00", "--zone", "America/Chicago")
    found = {name: run(capsys, name, path, "--gust", gust, "--json").json for name in ("check", "stages")}
    alone = run(capsys, "storm", path, "--gust", gust, "--budget", "0", "--json", *now).json
    found["storm"], found["storm hour"] = alone, alone["hours"][0]
    found["storm folder"] = run(
        capsys, "storm", path.parent, "--gust", gust, "--budget", "0", "--json", *now
    ).json["walls"][0]
    return {name: answer["verdict"] for name, answer in found.items()}


@pytest.mark.parametrize("gust", GUSTS)
@pytest.mark.parametrize("name", [*NOBODY_SAID, *ALL_SAID])
def test_every_command_says_the_verdict_of_check(capsys, tmp_path, name, gust):
    text = ALL_SAID[name] if name in ALL_SAID else NOBODY_SAID[name][0]
    found = verdicts(capsys, written(tmp_path, text), gust)
    hook = found.pop(
        "stages"
    )  # asks whether the hook may leave, so people are beside it: over where it may not
    assert len(set(found.values())) == 1, found
    assert hook in (found["check"], "over")


@pytest.mark.parametrize("name", NOBODY_SAID)
def test_what_nobody_said_is_unknown_on_each_and_said_first(capsys, tmp_path, name):
    text, words = NOBODY_SAID[name]
    path = written(tmp_path, text)
    assert set(verdicts(capsys, path, "10").values()) == {"unknown"}
    for command in ("check", "storm", "stages"):
        ran = run(capsys, command, path, "--gust", "10")
        assert ran.status == 1
        assert words in said(ran.out)[:200]
        assert "WITHIN" not in ran.out
    assert worked(path, noted(tmp_path, (path,), utc_now())).told.lists["told"][0].startswith(words)


@pytest.mark.parametrize("name", ["storey", "done"])
def test_the_page_for_the_crew_is_unknown_where_it_was_within(capsys, tmp_path, name):
    """Its verdict, its table of gusts, and what its slider says."""
    text, words = NOBODY_SAID.get(name) or (ALL_SAID[name], "")
    page = tmp_path / "wall.html"
    ran = run(capsys, "sheet", written(tmp_path, text), "--gust", "10", "--budget", "0", "--json", "-o", page)
    html = said(page.read_text(encoding="utf-8"))
    mine, other = ("unknown", "within") if words else ("within", "unknown")
    assert ran.json["verdict"] == mine
    assert words in html
    assert f'data-label="As drawn"><bdi>{mine}</bdi>' in html
    assert f'data-label="As drawn"><bdi>{other}</bdi>' not in html
    assert 'data-label="As drawn"><bdi>over</bdi>' in html
    assert f"slider-within&#34;: &#34;{mine}&#34;" in html


def test_a_list_says_it_too_and_has_a_column_that_answers_it(capsys, tmp_path):
    written(tmp_path, upstairs())
    rows = {
        "file": "file\nwall.toml\n",
        "columns": "length,height,height_above_ground,storey_below\n20 ft,8 ft,10 ft,done\n",
    }
    said_of = {}
    for name, text in rows.items():
        path = tmp_path / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        run(capsys, "walls", path, "--gust", "10", "--workers", "1")
        with path.with_suffix(".checked.csv").open(encoding="utf-8") as lines:
            (said_of[name],) = [row["verdict"] for row in csv.DictReader(lines)]
    assert said_of == {"file": "unknown", "columns": "over"}  # no brace is on file: over, and not a bad row


def test_the_option_answers_it(capsys):
    words = ("--length", "20ft", "--height", "8ft", "--height-above-ground", "10ft", "--gust", "20", "--json")
    layout = run(capsys, "layout", *words)
    assert layout.json["verdict"] == "unknown"
    assert run(capsys, "layout", *words, "--storey-below", "done").json["verdict"] == "within"


# -- who works first, and who leaves ---------------------------------------------------------------------


def test_with_a_crew_it_is_neither_within_nor_work(capsys, tmp_path):
    written(tmp_path, upstairs())
    asked = ("storm", tmp_path, "--gust", "10", "--people", "2")
    first = run(capsys, *asked, "--json").json["first"]
    assert (first["within"], first["unknown"], first["left"]) == ([], ["Frame"], [])
    assert f"Frame: {ON_A_STOREY}" in said(run(capsys, *asked).out)


def test_no_brace_leaves_while_it_is_unknown(capsys, tmp_path):
    asked = ("stages", "--gust", "5", "--deck-takes", "200 lb/ft", "--json")
    known = run(capsys, asked[0], written(tmp_path, upstairs(DONE)), *asked[1:]).json["take_down"]["events"][
        -1
    ]
    unknown = run(capsys, asked[0], written(tmp_path, upstairs()), *asked[1:]).json["take_down"]["events"][-1]
    assert known["may_come_out"]
    assert unknown["may_come_out"] == []
    assert "UNKNOWN" in str(unknown["note"])
    one = ("--done", "deck on", "--take-out", "B1")
    assert not run(capsys, asked[0], tmp_path / "wall.toml", *asked[1:], *one).json["allowed"]
    assert run(capsys, asked[0], written(tmp_path, upstairs(DONE)), *asked[1:], *one).json["allowed"]


# -- the watch -------------------------------------------------------------------------------------------


@pytest.fixture
def job(tmp_path):
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    written(folder, upstairs())
    return folder


def test_the_watch_calls_it_unknown_and_says_why(capsys, job):
    ran = watched(capsys, job, grid(10.0), "--dry-run")
    assert ran.status == 1
    assert ON_A_STOREY in said(ran.out)
    assert "UNKNOWN wind" not in ran.out
    assert watched(capsys, job, grid(10.0), "--dry-run", "--json").json["verdict"] == "unknown"


def news(capsys, job, page):
    return watched(capsys, job, page, "--json").json["news"]


def test_a_worse_hour_of_an_unknown_wall_is_told_at_once(capsys, job):
    assert news(capsys, job, grid(10.0)) == "first"
    assert news(capsys, job, grid(10.0)) is None
    assert news(capsys, job, grid(24.0)) == "worse"  # people out, and unknown as before
    assert news(capsys, job, grid(24.0)) is None
    assert news(capsys, job, grid(60.0)) == "worse"  # over
    assert news(capsys, job, grid(24.0)) is None  # better is told when it was so twice running
    assert news(capsys, job, grid(24.0)) == "better"


def test_a_wind_nobody_knows_is_worse_than_a_wall_nobody_knows(capsys, job):
    assert news(capsys, job, grid(10.0)) == "first"
    assert news(capsys, job, "not a forecast") == "worse"
    assert news(capsys, job, "not a forecast") is None
    assert news(capsys, job, grid(24.0)) == "worse"


def test_what_was_said_of_the_storey_is_better_and_what_was_taken_back_is_worse(capsys, job):
    assert news(capsys, job, grid(10.0)) == "first"
    written(job, upstairs(DONE))
    assert [news(capsys, job, grid(10.0)) for _ in range(2)] == [None, "better"]
    written(job, upstairs())
    assert news(capsys, job, grid(10.0)) == "worse"


def test_a_wall_that_is_over_says_it_of_a_folder_too(capsys, tmp_path):
    """No work done to it makes it within while nobody says that the storey is done."""
    written(tmp_path, upstairs())
    out = said(run(capsys, "storm", tmp_path, "--gust", "30", "--budget", "0").out)
    assert " over " in out
    assert f"Frame: {ON_A_STOREY}" in out
