"""`bracing built`: what a person types at each brace, through a real terminal too; and what a crash leaves."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path

import pytest
from attrs import evolve

from bracing.commands.cli import main
from bracing.reading.jobs import read_job
from bracing.said import Said
from bracing.stages.walk import Journal, read_answer
from tests.cli.running import rest_of_walk, said
from tests.storm_walls import WALLS, wall

REST = rest_of_walk(wall("short"))
NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text("# keep me\n" + WALLS["short"], encoding="utf-8")
    return path


def walked(monkeypatch, capsys, file, *typed):
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in typed)))
    status = main(["built", str(file), *NOW])
    told = capsys.readouterr()
    return status, told.out, told.err


# -- one answer ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "field", "value"),
    [
        ("floor 3", "floor_fasteners", 3),
        ("3 floor", "floor_fasteners", 3),
        ("2 at the head", "head_fasteners", 2),
        ("CLEAT 1", "cleat_fasteners", 1),
        ("joist missed", "foot_on", "deck"),
        ("no joist", "foot_on", "deck"),
        ("split cleat", "cleat_fasteners", 0),
        ("stud 4 ft", "stud_at", 48.0),
        ("foot at 6 ft out", "set_back", 72.0),
        ("head at 6 ft", "head", 72.0),
        ("ties 1", "ties", 1),
        ("2x4", "size", "2x4"),
    ],
)
def test_one_thing_found_changes_one_field(typed, field, value):
    job = wall("short")
    brace = job.braces[0]
    answer = read_answer(job, brace, typed)
    assert answer.brace == evolve(brace, **{field: value})
    assert len(answer.found) == 1


@pytest.mark.parametrize("typed", ["stud not doubled", "Not doubled"])
def test_a_stud_found_single_is_written_single(typed):
    job = wall("short")
    brace = evolve(job.braces[0], stud_doubled=True)
    answer = read_answer(job, brace, typed)
    assert answer.brace == evolve(brace, stud_doubled=False)
    assert len(answer.found) == 1


def test_enter_is_as_planned_and_several_things_stand_with_commas():
    job = wall("short")
    assert read_answer(job, job.braces[0], "  ").brace == job.braces[0]
    answer = read_answer(job, job.braces[0], "floor 2, joist missed, split head")
    found = answer.brace
    assert (found.floor_fasteners, found.foot_on, found.head_fasteners) == (2, "deck", 0)
    assert len(answer.found) == 3


@pytest.mark.parametrize("typed", ["missing", "gone", "split stick"])
def test_a_brace_that_is_not_there_or_split_counts_for_nothing(typed):
    job = wall("short")
    assert read_answer(job, job.braces[0], typed).brace is None


@pytest.mark.parametrize(
    "typed",
    [
        "3",
        "fine",
        "head 99",
        "floor -1",
        "stud 5",
        "stud 40 in",
        "2x7",
        "head at 20 ft",
        "split",
        "ties 7",
        ",",
    ],
)
def test_what_cannot_be_is_asked_again(typed):
    job = wall("short")
    assert isinstance(read_answer(job, job.braces[0], typed), Said)


# -- a walk ----------------------------------------------------------------------------------------------


def test_a_walk_with_enter_at_every_brace_is_the_plan_as_built(monkeypatch, capsys, file):
    before = read_job(file)
    status, out, _ = walked(monkeypatch, capsys, file, "", "", "", *REST, "lead framer")
    after = read_job(file)
    assert status == 0
    assert after.braces == before.braces
    assert (after.state, after.built.by, after.built.when) == ("AS BUILT", "lead framer", "2026-03-06 15:00")
    assert (after.built.found, after.built.planned) == ((), ())
    assert "Every brace is as planned." in out
    assert file.read_text(encoding="utf-8").startswith("# keep me")
    assert after.declared - before.declared == {"built.when", "built.by", "built.seen"}


def test_what_is_found_is_written_with_the_plan_beside_it(monkeypatch, capsys, file):
    before = read_job(file)
    status, out, _ = walked(
        monkeypatch, capsys, file, "floor 2, joist missed", "missing", "", *REST, "lead framer"
    )
    after = read_job(file)
    assert status == 0
    assert [b.mark for b in after.braces] == ["B1", "B3"]
    assert after.braces[0] == evolve(before.braces[0], floor_fasteners=2, foot_on="deck")
    assert after.braces[1] == before.braces[2]
    assert [(f.mark, f.what) for f in after.built.found] == [
        ("B1", "floor 2, planned 4"),
        ("B1", "joist missed"),
        ("B2", "missing"),
    ]
    assert after.built.planned == before.braces[:2]
    assert "2 of 3 braces differ from the plan" in out
    assert not file.with_name("short.toml.walk").exists()


def test_a_second_walk_asks_for_the_missing_one_too(monkeypatch, capsys, file):
    before = read_job(file)
    walked(monkeypatch, capsys, file, "floor 2", "missing", "", *REST, "lead framer")
    status, out, _ = walked(monkeypatch, capsys, file, "", "", "there", *REST, "carpenter")
    after = read_job(file)
    assert status == 0
    assert "MISSING at the last walk" in out
    assert {b.mark: b for b in after.braces}["B2"] == before.braces[1]
    assert [(f.mark, f.what) for f in after.built.found] == [("B1", "floor 2, planned 4")]
    assert after.built.planned == before.braces[:1]
    walked(monkeypatch, capsys, file, "floor 4", "", "", *REST, "carpenter")
    last = read_job(file)
    assert (last.built.found, last.built.planned) == ((), ())
    assert sorted(last.braces, key=lambda b: b.mark) == list(before.braces)


def test_a_wrong_answer_is_asked_again_and_the_last_one_can_be_taken_back(monkeypatch, capsys, file):
    status, out, _ = walked(
        monkeypatch, capsys, file, "fine", "floor 1", "back", "floor 3", "?", "", "", *REST, "foreman"
    )
    assert status == 0
    assert out.count("Enter = as planned") == 3  # at the start, after the wrong answer, and when asked
    assert read_job(file).braces[0].floor_fasteners == 3


def test_a_brace_found_where_one_was_found_already_is_asked_again(monkeypatch, capsys, file):
    """B2 typed with the stud and head of B1: two sticks cannot be in one place. Then as planned."""
    first, second, _ = read_job(file).braces
    there = f"stud {first.stud_at:g} in, head at {first.head:g} in"
    assert first.lap_side == second.lap_side
    status, out, _ = walked(monkeypatch, capsys, file, "", there, "", "", *REST, "foreman")
    assert status == 0
    assert f"of {first.mark}, which is there" in said(out)
    assert read_job(file).braces[1] == second


def test_a_brace_in_no_file_is_not_one_that_was_found_already(monkeypatch, capsys, file):
    first = read_job(file).braces[0]
    extra = (
        f"{first.stud_at:g}in:head {first.head:g}in:back {first.set_back:g}in:{first.size}:{first.lap_side}"
    )
    more, *rest = REST
    status, out, _ = walked(monkeypatch, capsys, file, "", "", "", extra, more, *rest, "foreman")
    assert status == 0
    assert f"of {first.mark}, which is there" in said(out)
    assert len(read_job(file).braces) == 3


def test_two_braces_that_changed_places_are_written_so(monkeypatch, capsys, file):
    one, two, _ = read_job(file).braces
    at = [f"stud {b.stud_at:g} in, head at {b.head:g} in" for b in (two, one)]
    status, _, _ = walked(monkeypatch, capsys, file, *at, "", *REST, "foreman")
    assert status == 0
    assert [b.stud_at for b in read_job(file).braces[:2]] == [two.stud_at, one.stud_at]


def test_a_walk_without_a_role_writes_nothing(monkeypatch, capsys, file):
    text = file.read_bytes()
    status, _, err = walked(monkeypatch, capsys, file, "", "", "", *REST, " ")
    assert (status, "--by" in err) == (2, True)
    assert file.read_bytes() == text


# -- broken off ------------------------------------------------------------------------------------------


def test_a_file_changed_during_the_walk_is_walked_again(monkeypatch, capsys, file):
    """Somebody writes into the file while the brace is looked at: what was found may not fit what stands there now."""
    changed = file.read_text(encoding="utf-8").replace('name = "Short"', 'name = "Shorter"')

    def look(*_, **__):
        file.write_text(changed, encoding="utf-8")
        return ""

    monkeypatch.setattr("bracing.commands.stages.asker", lambda stream, page: look)
    status = main(["built", str(file), *NOW, "--by", "lead framer"])
    err = capsys.readouterr().err
    assert status == 2
    assert "changed since it was read" in err
    assert file.read_text(encoding="utf-8") == changed


def test_a_walk_broken_off_goes_on_from_there(monkeypatch, capsys, file):
    text = file.read_bytes()
    status, _, err = walked(monkeypatch, capsys, file, "floor 2", "missing")
    assert status == 130
    assert "answers are kept" in err
    assert file.read_bytes() == text
    status, out, _ = walked(monkeypatch, capsys, file, "", *REST, "lead framer")
    assert status == 0
    assert "Taken up again: 2 of 3 braces" in out
    assert [b.mark for b in read_job(file).braces] == ["B1", "B3"]


def test_answers_about_another_state_of_the_file_are_not_used(monkeypatch, capsys, file):
    walked(monkeypatch, capsys, file, "missing")
    with file.open("a", encoding="utf-8") as stream:
        stream.write("# changed\n")
    status, out, _ = walked(monkeypatch, capsys, file, "", "", "", *REST, "lead framer")
    assert status == 0
    assert "Taken up again" not in out
    assert len(read_job(file).braces) == 3


def test_a_line_broken_off_in_a_crash_loses_only_itself(tmp_path):
    journal = Journal(tmp_path / "a.walk", "abc")
    journal.start()
    journal.write("B1", "floor 2")
    journal.write("B2", "missing")
    whole = journal.path.read_bytes()
    for cut in range(len(whole)):
        journal.path.write_bytes(whole[:cut])
        kept = journal.read()
        assert kept in ({}, {"B1": "floor 2"}, {"B1": "floor 2", "B2": "missing"})
        assert len(kept) >= whole[:cut].count(b"\n") - 1


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="tells files apart by /proc")
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_crash_while_the_file_is_written_leaves_the_file_and_the_answers(monkeypatch, capsys, file, step):
    text = file.read_bytes()
    real = getattr(os, step)

    def crash(*args, **kwargs):
        if step == "replace" or not str(os.readlink(f"/proc/self/fd/{args[0]}")).endswith(".walk"):
            raise KeyboardInterrupt
        return real(*args, **kwargs)

    with monkeypatch.context() as broken:
        broken.setattr(os, step, crash)
        status, _, _ = walked(broken, capsys, file, "floor 2", "missing", "", *REST, "lead framer")
    assert status == 130
    assert file.read_bytes() == text
    status, out, _ = walked(monkeypatch, capsys, file, "lead framer")
    assert status == 0
    assert "Taken up again: 3 of 3 braces" in out
    assert [b.mark for b in read_job(file).braces] == ["B1", "B3"]
