"""`bracing walls` as typed, and killed at random moments."""

from __future__ import annotations

import json
import random
import subprocess
import sys
import time

import pytest

from tests import LONGEST_S
from tests.cli.running import ROOT, run
from tests.unit.test_many import BARE, GOOD, HEAD, LIST

KILLS = 10


@pytest.fixture
def listed(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def test_a_list_is_checked_into_a_file_beside_it(capsys, listed):
    status, out, _ = run(capsys, "walls", str(listed), "--gust", "30", "--workers", "1")
    assert status == 2
    assert out.startswith("NO BRACES ON FILE: 2 of the walls")
    assert "5 rows: 2 bad row, 3 over." in out
    assert len(listed.with_suffix(".checked.csv").read_text(encoding="utf-8").splitlines()) == 6
    status, out, _ = run(capsys, "walls", str(listed), "--gust", "30", "--workers", "1", "--json")
    answer = json.loads(out)
    assert (answer["rows"], answer["done_before"], answer["verdicts"]) == (5, 5, {"bad row": 2, "over": 3})


def test_a_list_without_bad_rows_is_within_or_over(capsys, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(HEAD + BARE, encoding="utf-8")
    assert run(capsys, "walls", str(path), "--gust", "30", "--workers", "1")[0] == 1


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("nowhere.csv", "--gust", "30"), "file"),
        (("LIST", "--gust", "fast"), "--gust"),
        (("LIST", "--gust", "30", "--workers", "0"), "--workers"),
        (("LIST",), "--gust"),
        (("LIST", "--gust", "30", "--out", "LIST", "--workers", "1"), "--out"),
    ],
)
def test_what_is_refused(capsys, listed, words, field):
    text = listed.read_text(encoding="utf-8")
    status, out, err = run(capsys, "walls", *(str(listed) if word == "LIST" else word for word in words))
    assert (status, out) == (2, "")
    assert f"{field}: got" in err
    assert listed.read_text(encoding="utf-8") == text


@pytest.mark.slow
@pytest.mark.parametrize("workers", ["1", "2"])
def test_killed_at_ten_random_moments_it_ends_in_the_same_file(tmp_path, workers):
    draw = random.Random(5)
    source = tmp_path / "list.csv"
    # No two alike, or the second is told at once what the first was: the file grows a few rows at a time.
    rows = [GOOD.replace("A,16 ft", f"A{k},{192 + k} in") if k % 3 else f"B{k}" + BARE[1:] for k in range(48)]
    source.write_text(HEAD + "".join(rows), encoding="utf-8")

    def command(target):
        words = [sys.executable, "-m", "bracing", "walls", str(source), "--gust", "30"]
        return [*words, "--workers", workers, "--out", str(target)]

    uninterrupted, killed = tmp_path / "whole.csv", tmp_path / "killed.csv"
    subprocess.run(command(uninterrupted), cwd=ROOT, capture_output=True, timeout=LONGEST_S)
    full, grown = uninterrupted.stat().st_size, []

    def written():
        return killed.stat().st_size if killed.exists() else 0

    for _ in range(KILLS):
        goal = draw.uniform(0.0, 1.0) * full  # not by the clock: a busy machine is slow at any time
        child = subprocess.Popen(command(killed), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        with child:
            while child.poll() is None and written() < goal:
                time.sleep(0.002)
            time.sleep(draw.uniform(0.0, 0.05))
            child.kill()
        size = written()
        assert uninterrupted.read_bytes().startswith(killed.read_bytes()[:size] if size else b"")
        grown.append(size)
        if size == full:
            killed.unlink()  # it was done: begin again
    assert len(set(grown)) > 2, "the kills came too early or too late to prove anything"
    subprocess.run(command(killed), cwd=ROOT, capture_output=True, timeout=LONGEST_S)
    assert killed.read_bytes() == uninterrupted.read_bytes()
