"""`bracing storm` as typed: exit status, what is refused, JSON, a job folder, the rungs written in."""

from __future__ import annotations

import errno
import json
from pathlib import Path

import pytest

import bracing.reading.files
from bracing.reading.jobs import read_job
from tests.cli.running import EXAMPLES, run, walk_text
from tests.storm_walls import WALLS

WHEN = ("--now", "2026-03-06 12:00", "--zone", "America/Chicago")
FRIDAY = ("--from", "Fri 8 pm", *WHEN)
CSV = "time [America/Chicago],gust [mph]\n2026-03-06 19:00,10\n2026-03-06 20:00,38\n2026-03-06 21:00,12\n"


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    return str(path)


def test_the_form_a_person_types(capsys, wall):
    status, out, _ = run(capsys, "storm", wall, "--gust", "38", *FRIDAY)
    assert status == 1
    assert out.startswith("Short, 16'-0\" long")
    assert "OVER its limit from Fri Mar 6, 8 pm" in out
    assert "1. " in out
    assert "In the truck:" in out


def test_nobody_is_sent_to_walk_a_wall_they_are_told_to_stay_out_from(capsys):
    found = run(capsys, "storm", EXAMPLES / "as-found.toml", "--gust", "45", *FRIDAY)
    assert "CLEAR OUT now and stay out" in found.out
    assert "Next" not in found.out


def test_the_rungs_written_in_are_within_at_the_worst_hour(capsys, wall):
    status, _, _ = run(capsys, "storm", wall, "--gust", "38", *FRIDAY, "--write", "--short")
    assert status == 1
    status, out, _ = run(capsys, "check", wall, "--gust", "38")
    assert status == 4  # within, over its clear-out gust: nobody is beside it then
    assert "WITHIN its limit at a gust of 38 mph" in out
    status, out, _ = run(capsys, "storm", wall, "--gust", "38", *FRIDAY, "--json")
    answer = json.loads(out)
    assert (status, answer["verdict"], answer["ladder"]) == (4, "within", None)


def test_writing_leaves_braces_that_are_up_and_comments_as_they_were(capsys, wall):
    before = read_job(wall)
    with open(wall, "a", encoding="utf-8") as stream:
        stream.write("# last word\n")
    run(capsys, "storm", wall, "--gust", "38", *FRIDAY, "--write", "--short")
    after = read_job(wall)
    assert [b.stud_at for b in after.braces[: len(before.braces)]] == [b.stud_at for b in before.braces]
    assert "# last word" in Path(wall).read_text(encoding="utf-8")


def test_a_walk_is_out_of_date_once_rungs_are_written_in(capsys, wall):
    text = Path(wall).read_text(encoding="utf-8")
    Path(wall).write_text(text + walk_text(text, when="2026-03-06 11:00"), encoding="utf-8")
    _, out, _ = run(capsys, "storm", wall, "--gust", "38", *FRIDAY, "--json")
    assert json.loads(out)["state"] == "AS BUILT"
    run(capsys, "storm", wall, "--gust", "38", *FRIDAY, "--write", "--short")
    assert read_job(wall).state == "PLAN"
    assert read_job(wall).built.by == "lead framer"


def test_a_write_that_fails_leaves_the_file_as_it_was(capsys, wall, monkeypatch):
    def full(path, content, **_):
        raise OSError(errno.ENOSPC, "no space left on device")

    before = Path(wall).read_bytes()
    monkeypatch.setattr(bracing.reading.files, "put_in_place", full)
    status, _, err = run(capsys, "storm", wall, "--gust", "50", *FRIDAY, "--write", "--short")
    assert (status, Path(wall).read_bytes()) == (2, before)
    assert "the file was not changed" in err


def test_json_says_what_the_page_says(capsys, wall):
    status, out, _ = run(capsys, "storm", wall, "--gust", "38", *FRIDAY, "--json")
    answer = json.loads(out)
    assert status == 1
    assert answer["schema"] == "bracing.storm.1"
    assert answer["hours"][0]["from"] == "2026-03-06T20:00:00-06:00"
    assert answer["ladder"]["covers"]
    limits = [rung["limit_gust_mph"] for rung in answer["ladder"]["rungs"]]
    assert limits == sorted(limits)
    assert limits[-1] >= 38
    assert answer["ladder"]["truck"]
    assert answer["first_over"] == "2026-03-06T20:00:00-06:00"


def test_a_series_against_a_wall(capsys, wall, tmp_path):
    path = tmp_path / "gusts.csv"
    path.write_text(CSV, encoding="utf-8")
    status, out, _ = run(
        capsys, "storm", wall, "--forecast", str(path), "--now", "2026-03-06 12:00-06:00", "--json"
    )
    answer = json.loads(out)
    assert status == 1
    assert [hour["gust_mph"] for hour in answer["hours"]] == [10.0, 38.0, 12.0]
    assert answer["worst"]["from"] == "2026-03-06T20:00:00-06:00"


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("--wind", "30"), "--wind"),
        (("--gust", "50", "--from", "whenever"), "--from"),
        (("--gust", "50", "--zone", "CST"), "--zone"),
        (("--gust", "50", "--lead", "soon"), "--lead"),
        (("--gust", "50", "--stands", "long"), "--stands"),
        (("--gust", "50", "--now", "noon"), "--now"),
        (("--gust", "50", "--unit", "mph"), "--unit"),
        (("--gust", "50", "--forecast", "x.csv"), "--gust"),
        (("--forecast", "nowhere.csv"), "file"),
        ((), "--gust"),
    ],
)
def test_what_is_refused(capsys, wall, words, field):
    status, out, err = run(capsys, "storm", wall, *words)
    assert status == 2
    assert out == ""
    assert f": {field}: got" in err


def test_a_bare_wind_is_met_with_the_question(capsys, wall):
    _, _, err = run(capsys, "storm", wall, "--wind", "30")
    assert "is 30 the sustained wind or the gust? Then --sustained 30 or --gust 30" in err


def test_a_wall_from_options_alone_has_no_file_to_write_into(capsys):
    words = ("--length", "16ft", "--height", "9ft", "--gust", "30")
    status, out, _ = run(capsys, "storm", *words)
    assert status == 1
    assert "CLEAR OUT now" in out
    status, _, err = run(capsys, "storm", *words, "--write")
    assert (status, "--write" in err) == (2, True)


def test_time_standing_beside_a_file(capsys, wall):
    _, out, _ = run(capsys, "storm", wall, "--gust", "10", *FRIDAY, "--stands", "3 weeks")
    assert "21 nights and 3 weekends" in out
    assert "Declare site.design_speed" in out


# -- a job of walls --------------------------------------------------------------------------------------


@pytest.fixture
def job(tmp_path):
    for name in ("short", "two"):
        (tmp_path / f"{name}.toml").write_text(WALLS[name].replace('name = "Short"', f'name = "{name}"'))
    (tmp_path / "mine.toml").write_text('[[fastener]]\nname = "my screw"\n')
    return tmp_path


def test_a_job_has_one_table_worst_first_and_one_truck(capsys, job):
    status, out, _ = run(capsys, "storm", str(job), "--gust", "30", *FRIDAY, "--json")
    answer = json.loads(out)
    assert status == 1
    assert {wall["wall"] for wall in answer["walls"]} == {"short", "two"}
    margins = [wall["limit_gust_mph"] for wall in answer["walls"]]
    assert margins == sorted(margins)
    both = [wall["ladder"]["truck"] for wall in answer["walls"] if wall["ladder"]]
    items = {item for truck in both for item in truck}
    assert answer["truck"] == {item: sum(truck.get(item, 0) for truck in both) for item in sorted(items)}
    status, text, _ = run(capsys, "storm", str(job), "--gust", "30", *FRIDAY)
    assert "2 walls, worst first" in text
    assert text.count("Never") == 1
    assert max(len(line) for line in text.splitlines()) <= 80


def test_a_wall_that_cannot_be_read_is_reported_and_the_others_answered(capsys, job):
    (job / "broken.toml").write_text('[wall]\nlength = "36"\nheight = "9 ft"\n')
    status, out, err = run(capsys, "storm", str(job), "--gust", "30", *FRIDAY, "--json")
    answer = json.loads(out)
    assert status == 2
    assert "wall.length" in err
    assert len(answer["walls"]) == 2
    assert answer["errors"][0]["field"] == "wall.length"


def test_a_folder_without_walls_is_bad_input(capsys, tmp_path):
    status, _, err = run(capsys, "storm", str(tmp_path), "--gust", "30")
    assert status == 2
    assert "wall files" in err


def test_a_job_spread_over_the_cores_gives_what_one_core_gives(capsys, job):
    for k in range(3):
        (job / f"copy{k}.toml").write_text((job / "two.toml").read_text().replace('"two"', f'"copy{k}"'))
    words = ("storm", str(job), "--gust", "30", *FRIDAY, "--json")
    _, spread, _ = run(capsys, *words)
    from bracing.commands import storms

    before, storms.MANY_WALLS = storms.MANY_WALLS, 100
    try:
        _, alone, _ = run(capsys, *words)
    finally:
        storms.MANY_WALLS = before
    assert json.loads(spread) == json.loads(alone)
