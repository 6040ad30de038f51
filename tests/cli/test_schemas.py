"""Every schema that is shipped: what goes in, and what each command really gives, held to it key by key."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import subprocess
import sys
import tomllib
from datetime import UTC, datetime
from typing import NotRequired

import jsonschema
import pytest
from attrs import evolve

import bracing
from bracing.commands.help import COMMANDS
from bracing.lift.links import LiftRequest
from bracing.reading.charts import chart_from_text
from bracing.reading.jobs import read_job
from bracing.results import SCHEMA_VERSION
from bracing.sources import shipped_schema
from bracing.text.schema import json_schema, schema_text, schemas
from tests import LONGEST_S
from tests.cli.running import EXAMPLES, rest_of_walk, run
from tests.storm_walls import WALLS
from tests.wall_files import wall_file

MOMENT = ("--now", "2026-03-06 12:00", "--zone", "America/Chicago")
NIGHT = ("--from", "Fri 8 pm", "--until", "Sat 6 am", *MOMENT)
CHECKED = jsonschema.Draft202012Validator


def held(answer):
    """Hold an answer to the schema it names."""
    name = answer["schema"].split(".")[1] if "schema" in answer else "errors"
    CHECKED(schemas()[name]).validate(answer)
    return name


@pytest.fixture
def short(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    return path


@pytest.mark.parametrize("name", schemas())
def test_the_shipped_copy_is_the_one_made(name):
    """Write them anew with: python -m bracing.text.schema."""
    assert shipped_schema(f"{name}.json") == schema_text(name)
    CHECKED.check_schema(schemas()[name])


def test_what_is_written_short_means_exactly_these_keys():
    made = json_schema({"a": int | None, "b": [{"c": str}], "d": dict[str, float]})
    check = CHECKED(made).is_valid
    assert check({"a": None, "b": [{"c": "x"}], "d": {"any": 1.5}})
    assert not check({"a": 1, "b": [], "d": {}, "e": 1})
    assert not check({"a": 1, "b": []})
    assert not check({"a": -1, "b": [], "d": {}})
    assert not check({"a": 1.5, "b": [], "d": {}})
    assert not check({"a": 1, "b": [{"c": None}], "d": {}})
    assert not check({"a": 1, "b": [], "d": {"any": "x"}})


EXAMPLE_WALLS = sorted(EXAMPLES.glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLE_WALLS, ids=lambda path: path.stem)
def test_wall_files(path):
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    CHECKED(schemas()["wall"]).validate(tables)
    CHECKED(schemas()["job"]).validate({path.name: tables})
    assert not CHECKED(schemas()["job"]).is_valid({path.name: {**tables, "wal": {}}})


@pytest.mark.parametrize("path", EXAMPLE_WALLS, ids=lambda path: path.stem)
@pytest.mark.parametrize(
    "words",
    [("check", "--gust", 30), ("check",), ("weight",), ("stages", "--gust", 20), ("stages",),
     ("fasteners", "--gust", 30)],
    ids=lambda words: " ".join(map(str, words)),
)  # fmt: skip
def test_answers_about_the_examples(capsys, path, words):
    answer = run(capsys, words[0], path, *words[1:], "--json").json
    assert held(answer) == words[0]


def test_beyond_the_envelope(capsys):
    wall = ("--length", "130 ft", "--height", "9 ft")
    for words in (
        ("check", "--gust", 30),
        ("check",),
        ("stages", "--gust", 20),
        ("storm", "--gust", 40, *NIGHT),
    ):
        answer = run(capsys, *words, *wall, "--json").json
        assert held(answer) == words[0]
        assert answer["engineer"]


def test_faults(capsys):
    answer = run(capsys, "check", "--length", "9", "--height", "x", "--json").json
    assert held(answer) == "errors"
    assert len(answer["errors"]) == 2


@pytest.mark.parametrize("gust", [15, 38, 60])
def test_a_storm(capsys, short, gust):
    assert (
        held(run(capsys, "storm", short, "--gust", gust, *NIGHT, "--stands", "3 weeks", "--json").json)
        == "storm"
    )


def test_a_job_of_walls_in_a_storm(capsys, short):
    (short.parent / "broken.toml").write_text('[wall]\nlength = "9"\n', encoding="utf-8")
    answer = run(capsys, "storm", short.parent, "--gust", 20, *NIGHT, "--json").json
    assert held(answer) == "storm-job"
    assert answer["errors"]
    assert answer["walls"]


def test_what_to_do_first(capsys, short):
    """With walls to do, walls left, and things nobody counted: the same shape."""
    crew = ("--people", 2, "--hours", 3, "--on-hand", "1 box 0.22x3")
    braced = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
    (short.parent / "kitchen.toml").write_text(braced, encoding="utf-8")
    answer = run(capsys, "storm", short.parent, "--gust", 45, *NIGHT, *crew, "--json").json
    assert held(answer) == "storm-job"
    assert answer["first"]["first"]
    assert answer["first"]["left"]
    assert answer["first"]["not_counted"]


def test_a_forecast(capsys, short, tmp_path):
    forecast = {
        "time_zone": "America/Chicago", "unit": "mph",
        "hours": [{"time": "2026-03-06 20:00", "gust": 45},
                  {"time": "2026-03-06 21:00", "gust": 25, "thunderstorm": "no"}],
    }  # fmt: skip
    CHECKED(schemas()["forecast"]).validate(forecast)
    file = tmp_path / "forecast.json"
    file.write_text(json.dumps(forecast), encoding="utf-8")
    assert len(run(capsys, "storm", short, "--forecast", file, *MOMENT[:2], "--json").json["hours"]) == 2
    del forecast["hours"][0]["gust"]
    assert not CHECKED(schemas()["forecast"]).is_valid(forecast)
    file.write_text(json.dumps(forecast), encoding="utf-8")
    assert run(capsys, "storm", short, "--forecast", file, *MOMENT[:2]).status == 2


@pytest.mark.parametrize(
    ("text", "fits"),
    [
        ("reach_ft,capacity_lb\n10,6000\n20,2500\n", True),
        ("reach_m,height_m,capacity_kg\n3,6,2500\n6,6,1000\n", True),
        ("reach_ft,capacity_lb\n10,six\n", False),
        ("reach_ft\n10\n", False),
    ],
)
def test_a_chart_fits_where_it_can_be_read(text, fits):
    rows = list(csv.DictReader(io.StringIO(text)))
    assert CHECKED(schemas()["chart"]).is_valid(rows) is fits
    if fits:
        assert len(chart_from_text(text).rows) == len(rows)
    else:
        with pytest.raises(ValueError, match="expected"):
            chart_from_text(text)


def test_a_lift(capsys, tmp_path):
    wall = wall_file(tmp_path)
    chart = tmp_path / "chart.csv"
    chart.write_text("reach_ft,capacity_lb\n0,9000\n40,5000\n", encoding="utf-8")
    plain = run(capsys, "lift", wall, "--json").json
    full = run(capsys, "lift", wall, "--gust", 15, "--chart", chart, "--distance", "10 ft", "--straps", "6: 400 lb",
               "--sling-tag", "9000 lb", "--pick-lb", "5000 lb", "--json").json  # fmt: skip
    assert held(plain) == held(full) == "lift"
    assert full["hook_path"]


def test_plumb_and_a_removal(capsys, tmp_path):
    wall = wall_file(tmp_path)
    at = [word for k in (1, 2, 3, 4) for word in ("--at", f"B{k}: 2 in, 2 1/4 in")]
    assert held(run(capsys, "plumb", wall, *at, "--json").json) == "plumb"
    assert held(run(capsys, "plumb", wall, *at, "--turn", "1/4 in", "--json").json) == "plumb"
    removal = run(
        capsys, "stages", wall, "--take-out", "B1", "--done", "left return tied", "--gust", 20, "--json"
    )
    assert held(removal.json) == "removal"


@pytest.mark.parametrize("gust", [30, 110])
def test_a_layout(capsys, gust):
    words = (
        "--length",
        "20 ft",
        "--height",
        "8 ft",
        "--studs",
        "2x6@16in",
        "--budget",
        0,
        "--gust",
        gust,
        "--json",
    )
    answer = run(capsys, "layout", *words).json
    assert held(answer) == "layout"
    assert bool(answer["braces"]) is (gust == 30)


BEYOND = ("--length", "130 ft", "--height", "9 ft", "--gust", 30, "--json")


@pytest.mark.parametrize("name", ["check", "layout", "sheet", "stock", "trace"])
def test_an_answer_for_an_engineer_names_its_own_command(capsys, tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, name, *BEYOND)
    assert held(ran.json) == name
    assert (ran.status, ran.json["verdict"]) == (1, "engineer")
    assert not list(tmp_path.iterdir())


def test_the_sums_behind_a_wall(capsys):
    answer = run(capsys, "trace", EXAMPLES / "short-wall-braced.toml", "--gust", 40, "--json").json
    assert held(answer) == "trace"
    assert answer["wind"]
    assert answer["links"][0]["steps"]
    assert held(run(capsys, "trace", EXAMPLES / "as-found.toml", "--json").json) == "trace"


def test_the_sticks_for_a_height(capsys):
    answer = run(capsys, "stock", "--height", "10 ft", "--gust", 40, "--json").json
    assert held(answer) == "stock"
    assert answer["rows"]


@pytest.mark.slow
def test_a_sheet_and_the_sheets_of_a_folder(capsys, tmp_path, monkeypatch):
    pytest.importorskip("jinja2")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "short.toml").write_text(WALLS["short"], encoding="utf-8")
    answer = run(capsys, "sheet", "short.toml", "--gust", 20, "--json").json
    assert held(answer) == "sheet"
    assert answer["files"] == ["short.html"]
    for words in (("--gust", 20), ()):
        job = run(capsys, "sheet", ".", *words, "--no-pdf", "--overwrite", "--json")
        assert held(job.json) == "sheets"
        assert (job.json["walls"][0]["verdict"] is None) is (words == ())


def test_a_list_of_walls(capsys, tmp_path):
    source = tmp_path / "walls.csv"
    source.write_text("length,height\n20 ft,8 ft\n20 ft,8\n", encoding="utf-8")
    ran = run(capsys, "walls", source, "--gust", 30, "--workers", 1, "--json")
    assert held(ran.json) == "walls"
    assert ran.json["input_sha256"] == hashlib.sha256(source.read_bytes()).hexdigest()
    assert ran.json["verdicts"] == {"bad row": 1, "over": 1}


def test_a_walk_asks_on_stderr_and_answers_on_stdout(short):
    words = [sys.executable, "-m", "bracing", "built", str(short), "--by", "lead framer", "--json", *MOMENT]
    typed = "\n".join(("", "floor 2", "missing", *rest_of_walk(read_job(short)), ""))
    done = subprocess.run(words, input=typed, capture_output=True, text=True, timeout=LONGEST_S)
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert held(answer) == "built"
    assert (answer["asked"], answer["differ"], answer["braces"]) == (3, 2, ["B1", "B2"])
    assert {one["mark"] for one in answer["found"]} == {"B2", "B3"}
    assert "B1: 2x6" in done.stderr
    assert answer["limit_gust_mph"] <= answer["limit_gust_as_planned_mph"]


def test_results_from_python_fit_them_too():
    job = bracing.read_job(EXAMPLES / "short-wall-braced.toml")
    clock = bracing.Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), UTC)
    tonight = bracing.typed_forecast(clock, gust="50", start="Fri 11 pm", until="Sat 6 am")
    answers = {
        "check": bracing.check_wall(job, gust=30.0, effects=False),
        "layout": bracing.lay_out(evolve(job, braces=()), gust=30.0, budget=0.0),
        "storm": bracing.check_storm(job, tonight, clock),
        "stages": bracing.take_stages(job, gust=20.0),
        "fasteners": bracing.choose_fasteners(job, gust=30.0),
        "lift": bracing.plan_lift(job, LiftRequest()),
    }
    for name, answer in answers.items():
        assert held(json.loads(json.dumps(bracing.in_words(answer), allow_nan=False))) == name


def test_what_only_the_command_adds_is_not_asked_for():
    check = CHECKED(json_schema({"a": int, "b": NotRequired[str]})).is_valid
    assert check({"a": 1})
    assert check({"a": 1, "b": "x"})
    assert not check({"b": "x"})
    assert not check({"a": 1, "b": 2})


def test_every_command_that_gives_json_has_a_schema(capsys):
    with_json = [name for name in COMMANDS if "JSON instead of text" in run(capsys, name, "--help").out]
    assert set(COMMANDS) - set(with_json) == {"start", "schema"}  # a file, and a schema, which is JSON itself
    assert set(with_json) <= set(schemas())
    assert all(schemas()[name].get("$id") == f"urn:bracing:{name}:{SCHEMA_VERSION}" for name in with_json)


@pytest.mark.parametrize("name", ["wall", "check"])
def test_the_command_prints_it(capsys, name):
    assert run(capsys, "schema", name).json == schemas()[name]


def test_the_command_lists_them_and_knows_near_names(capsys):
    listed = run(capsys, "schema")
    assert all(name in listed.out for name in schemas())
    wrong = run(capsys, "schema", "chek")
    assert wrong.status == 2
    assert "near: check" in wrong.err
