"""`bracing stages` as typed."""

from __future__ import annotations

import json

import pytest

from bracing.cli import main
from tests.storm_walls import WALLS


@pytest.fixture(scope="module")
def wall(tmp_path_factory):
    path = tmp_path_factory.mktemp("stages") / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    assert main(["storm", str(path), "--gust", "38", "--write", "--short"]) == 1
    return str(path)


def run(capsys, *words):
    capsys.readouterr()
    status = main(list(words))
    told = capsys.readouterr()
    return status, told.out, told.err


def test_the_page_has_the_hook_line_and_every_stage(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--gust", "15")
    assert status == 0
    assert "Hook stays on until B" in out
    assert "is fully screwed, for gusts to 15 mph" in out
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
    assert [row["after"] for row in answer["stages"]] == answer["order"]
    assert set(answer["one_missing_mph"]) == set(answer["order"])


def test_a_gust_over_the_finished_wall_is_over(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--gust", "90")
    assert status == 1
    assert "The hook stays on: no stage is within" in " ".join(out.split())


def test_a_removal_is_refused_until_its_event_is_ticked(capsys, wall):
    status, out, _ = run(capsys, "stages", wall, "--keep", "10", "--take-out", "B2")
    assert (status, out.startswith("B2 STAYS")) == (1, True)
    words = ("--keep", "10", "--take-out", "B2", "--done", "left return tied", "--done", "right return tied")
    status, out, _ = run(capsys, "stages", wall, *words, "--json")
    answer = json.loads(out)
    assert status == (0 if answer["allowed"] else 1)
    assert answer["allowed"] == (answer["limit_gust_without_mph"] >= 10)


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
