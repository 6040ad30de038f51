"""`bracing start` through a real terminal, as somebody new would use it, and its templates."""

from __future__ import annotations

import json
import os
import sys
import tomllib
from functools import partial

import pytest

from tests import LONGEST_S
from tests.cli.running import listen, run, struck

pexpect = pytest.importorskip("pexpect")
ANSWERS = (
    ("What do you call this wall", "South gable"),
    ("level, gable or rake", "gable end"),
    ("LEFT is at your left hand", "driveway end"),
    ("Tape the bottom plate", "36"),  # no unit: asked again
    ("expected a length with its unit", "36 ft"),
    ("Tape from the floor", "2.75 m"),
    ("How high is the peak", "back"),
    ("Enter keeps it", "9 ft"),
    ("How high is the peak", "16 ft"),
    ("Studs: what size", "2x6 16 in"),
    ("nailed on", "osb 7/16, housewrap"),
    ("Doors and windows", ""),
    ("What do the braces stand on", "?"),
    ("Slab: concrete", "deck"),
    ("on which storey", "first storey"),
    ("Joists", "solid 2x10, 16 in, away, first at 8 in"),
    ("Fasteners for the braces", "structural screw 0.22x3"),
    ("Sticks on hand", "2x6 16 ft, 2x6 20 ft"),
    ("go on?", "done"),
)


def terminal(folder, *words, columns=80):
    return pexpect.spawn(
        sys.executable, ["-m", "bracing", *words], encoding="utf-8", timeout=LONGEST_S, cwd=str(folder),
        preexec_fn=listen, dimensions=(30, columns),
        env={**os.environ, "COLUMNS": str(columns), "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip


def tell(child, answers):
    for asked, answer in answers:
        child.expect_exact(asked)
        child.expect_exact("> ")
        child.sendline(answer)


def test_a_dozen_questions_and_a_layout(tmp_path):
    child = terminal(tmp_path, "start")
    tell(child, ANSWERS)
    child.expect_exact("Wrote south-gable.toml")
    child.expect_exact("bracing layout south-gable.toml --gust 45")
    child.expect_exact("Lay it out now?")
    child.sendline("fast")
    child.expect_exact("Expected a speed")
    child.sendline("30")
    child.expect("WITHIN its limit at a gust of 30 mph|NO PLAN REACHES A GUST OF 30 mph")
    child.expect(pexpect.EOF)
    child.wait()  # to close it on the end of its output alone would hang up on what is still ending
    child.close()
    assert child.exitstatus in (0, 1)
    tables = tomllib.loads((tmp_path / "south-gable.toml").read_text(encoding="utf-8"))
    assert (tables["wall"]["length"], tables["wall"]["height"], tables["wall"]["peak"]) == (
        "36 ft",
        "9 ft",
        "16 ft",
    )
    assert "species" not in tables["wall"]["studs"]
    assert (tmp_path / "bracing-wall.schema.json").is_file()


@pytest.mark.parametrize("how", ["quit", "interrupt", "end of input"])
def test_breaking_off_writes_nothing(tmp_path, how):
    child = terminal(tmp_path, "start")
    tell(child, ANSWERS[:2])
    child.expect_exact("> ")
    end = {
        "quit": partial(child.sendline, "quit"),
        "interrupt": child.sendintr,
        "end of input": child.sendeof,
    }
    struck(child, end[how], "no file was written")
    child.expect(pexpect.EOF)
    child.wait()  # to close it on the end of its output alone would hang up on what is still ending
    child.close()
    assert child.exitstatus == 130
    assert not list(tmp_path.iterdir())


def test_enter_at_the_last_question_leaves_the_layout_for_later(tmp_path):
    child = terminal(tmp_path, "start", "mine.toml", columns=40)
    tell(
        child,
        [
            ("What do you call", ""),
            ("rake?", ""),
            ("What is there?", ""),
            ("bottom plate", "20 ft"),
            ("Tape from", "8 ft"),
            ("Studs", "done"),
        ],
    )
    child.expect_exact("Wrote mine.toml")
    child.expect_exact("later > ")
    child.sendline("")
    child.expect(pexpect.EOF)
    child.wait()  # to close it on the end of its output alone would hang up on what is still ending
    child.close()
    assert child.exitstatus == 0
    assert (tmp_path / "mine.toml").is_file()


def test_a_file_that_is_there_is_refused_before_anything_is_asked(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text("mine", encoding="utf-8")
    ran = run(capsys, "start", path)
    assert ran.status == 2
    assert "a name that is not taken" in ran.err
    assert path.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["level", "gable", "rake", "slab"])
def test_a_template_is_checked_and_laid_out_as_it_is(capsys, tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, "start", "--template", name)
    assert ran.status == 0
    assert f"bracing layout {name}.toml" in ran.out
    answer = run(capsys, "layout", f"{name}.toml", "--gust", 30, "--budget", 1, "--json")
    assert answer.json["verdict"] == "within"


def test_an_unknown_template_names_those_there_are(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, "start", "--template", "gabel")
    assert ran.status == 2
    assert "near: gable" in ran.err
    assert not list(tmp_path.iterdir())


def test_answers_can_come_from_a_pipe(tmp_path):
    import subprocess

    done = subprocess.run(
        [sys.executable, "-m", "bracing", "start"], input="A\nlevel\n\n30 ft\n9 ft\ndone\n\n", cwd=tmp_path, text=True,
        capture_output=True, env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}, timeout=LONGEST_S,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert tomllib.loads((tmp_path / "a.toml").read_text(encoding="utf-8"))["wall"]["length"] == "30 ft"
    schema = json.loads((tmp_path / "bracing-wall.schema.json").read_text(encoding="utf-8"))
    assert schema["title"] == "bracing wall file"
