"""`bracing stages` as typed."""

from __future__ import annotations

import json

import pytest

from bracing.chain.evaluate import Limits
from bracing.commands.cli import main
from bracing.stages.take_down import AfterEvent, Removal
from bracing.text.page import Page
from bracing.text.stages import event_lines
from tests.cli.running import EXAMPLES, run
from tests.storm_walls import WALLS


@pytest.fixture(scope="module")
def wall(tmp_path_factory):
    path = tmp_path_factory.mktemp("stages") / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    assert main(["storm", str(path), "--gust", "38", "--write", "--short"]) == 1
    return str(path)


def test_the_page_has_the_hook_line_and_every_stage(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--gust", "15")
    assert status == 0
    assert "Hook stays on until B" in out
    assert "for gusts to 15 mph (clear-out then " in " ".join(out.split())
    assert "matters most" in out
    assert "[ ] left return tied" in out
    assert "Never shelter beside the wall." in " ".join(out.split())
    assert max(len(line) for line in out.splitlines()) <= 80
    assert out.index("CLEAR OUT") < out.index("limit after it")


def test_without_a_gust_there_are_limits_and_no_verdict(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--json")
    answer = json.loads(out)
    assert status == 0
    assert (answer["verdict"], answer["take_down"], answer["hook_stays_until"]) == (None, None, None)
    assert [row["after"] for row in answer["stages"] if not row["tie_rows"]] == answer["order"]
    assert set(answer["one_missing_mph"]) == set(answer["order"])


def test_a_gust_over_the_finished_wall_is_over(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--gust", "90")
    assert status == 1
    assert "The hook stays on, for a gust of the day of 90 mph" in " ".join(out.split())


def test_a_removal_is_refused_until_its_event_is_ticked(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--keep", "10", "--take-out", "B2")
    assert (status, out.startswith("B2 STAYS")) == (1, True)
    words = ("--keep", "10", "--take-out", "B2", "--done", "deck on", "--deck-takes", "200 lb/ft")
    status, out, _ = run(capsys, "stages", wall, *words, "--json")
    answer = json.loads(out)
    assert (status, answer["allowed"]) == (0, True)
    assert answer["clear_out_gust_without_mph"] >= 10


def test_a_wall_without_braces_leads_to_a_layout(capsys):
    status, out, _ = run(capsys, "stages", str(EXAMPLES / "short-wall.toml"), "--gust", "30")
    assert status == 1
    assert "CLEAR OUT now and stay out" in out
    assert "may come out" not in out.lower()
    joined = " ".join(out.replace("\\\n", " ").split())
    assert joined.endswith(f"Next, which braces: bracing layout {EXAMPLES / 'short-wall.toml'} --gust 30")


THIRTY = Limits(30.0, 30.0)


def event(page, *, out=(), stay=()):
    down = AfterEvent("deck on", THIRTY, tuple(Removal(mark, THIRTY) for mark in out), stay, "")
    return " ".join(event_lines(down, page))


def test_who_comes_out_and_who_stays_is_said_where_there_is_somebody():
    page = Page()
    assert event(page, stay=("B1",)) == "[ ] deck on: none may come out."
    assert event(page) == "[ ] deck on: every brace is out by then."
    assert "B1 (clear-out then 25 mph). Stay: B2." in " ".join(event(page, out=("B1",), stay=("B2",)).split())
    assert "B1 (clear-out then 25 mph); then every brace is out." in " ".join(
        event(page, out=("B1",)).split()
    )


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("--take-out", "B9", "--keep", "10"), "--take-out"),
        (("--take-out", "B1"), "--take-out"),
        (("--done", "left return tied", "--keep", "10"), "--done"),
        (("--take-out", "B1", "--keep", "10", "--done", "roof on"), "--done"),
        (("--order", "sideways"), "--order"),
        (("--keep", "fast"), "--keep"),
        (("--deck-takes", "120"), "--deck-takes"),
    ],
)
def test_what_is_refused(capsys, wall, words, field):
    status, out, err = run(capsys, "stages", wall, *words)
    assert (status, out) == (2, "")
    assert f": {field}: got" in err
