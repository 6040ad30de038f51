"""The log: nothing acknowledged is lost, nothing is changed unseen, and what it says of a wall counts at once."""

from __future__ import annotations

import contextlib
import json
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import threading
import time
import zipfile
from pathlib import Path

import pytest

from bracing.errors import InputError
from bracing.reading.jobs import read_job
from bracing.reading.log import KEPT, LOG
from bracing.site.walks import taken_up
from tests import LONGEST_S
from tests.cli.running import EXAMPLES, listen, rest_of_walk, run, said

WALL = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
ZONE = '[job]\ntime_zone = "America/Chicago"\n'
BY = ("--by", "lead framer")


@pytest.fixture
def job(tmp_path, capsys):
    """A folder with a wall of three braces, its log begun."""
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "short.toml").write_text(WALL, encoding="utf-8")
    (folder / "job.toml").write_text(ZONE, encoding="utf-8")
    assert run(capsys, "log", folder, "--begin").status == 0
    return folder


def walked(capsys, monkeypatch, wall, *answers, by=BY):
    """`bracing built` with what is typed; broken off where that ends."""
    lines = iter(answers)

    def typed(_prompt=""):
        try:
            return next(lines)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("builtins.input", typed)
    return run(capsys, "built", wall, *by)


def limit(capsys, wall):
    return run(capsys, "check", wall, "--json").json["limit_gust_mph"]


def rows(capsys, job, *words):
    return run(capsys, "log", job, "--json", *words).json["rows"]


def rest(wall):
    return rest_of_walk(read_job(wall))


def written_by_hand(tmp_path, text, name="hand.toml"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


# -- what it says of a wall ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("answer", "change"),
    [
        ("missing", None),
        ("floor 2", ("floor_fasteners = 6", "floor_fasteners = 2")),
        ("cleat 1", ("cleat_fasteners = 4", "cleat_fasteners = 1")),
    ],
)
def test_bad_news_counts_at_once_in_every_command(capsys, monkeypatch, tmp_path, job, answer, change):
    """As many miles an hour as the file would give with the brace so, while nobody has finished the walk."""
    wall = job / "short.toml"
    head, *braces = WALL.split("[[brace]]")
    first = "" if change is None else "[[brace]]" + braces[0].replace(*change)
    assert change is None or change[0] in braces[0]
    by_hand = written_by_hand(tmp_path, head + first + "".join("[[brace]]" + one for one in braces[1:]))
    ran = walked(capsys, monkeypatch, wall, answer)
    assert ran.status == 130
    assert wall.read_text(encoding="utf-8") == WALL
    expected = limit(capsys, by_hand)
    assert expected < 39
    assert limit(capsys, wall) == expected
    checked = run(capsys, "check", wall)
    assert f"B1: {answer} (lead framer)" in said(checked.out)
    assert ": PLAN" in checked.out.splitlines()[0]
    night = ("--gust", "30", "--budget", "0", "--json")
    assert run(capsys, "storm", wall, *night).json["limit_gust_mph"] == expected
    assert run(capsys, "storm", job, *night).json["walls"][0]["limit_gust_mph"] == expected
    listed = tmp_path / "list.csv"
    listed.write_text("file\njob/short.toml\n", encoding="utf-8")
    assert run(capsys, "walls", listed, "--gust", "30", "--out", tmp_path / "out.csv").status in (0, 1, 4)
    assert f",{expected}," in (tmp_path / "out.csv").read_text(encoding="utf-8")


def test_good_news_counts_when_the_walk_is_finished(capsys, monkeypatch, job):
    wall = job / "short.toml"
    walked(capsys, monkeypatch, wall, "head 8, floor 9")
    assert limit(capsys, wall) == 39
    ran = walked(capsys, monkeypatch, wall, "", "", *rest(wall))
    assert ran.status == 0
    assert "head_fasteners = 8" in wall.read_text(encoding="utf-8")


def test_a_list_taken_up_again_asks_a_wall_anew_of_which_something_was_said(
    capsys, monkeypatch, tmp_path, job
):
    listed, out = tmp_path / "list.csv", tmp_path / "out.csv"
    listed.write_text("file\njob/short.toml\n", encoding="utf-8")
    run(capsys, "walls", listed, "--gust", "30", "--out", out)
    before = out.read_text(encoding="utf-8")
    walked(capsys, monkeypatch, job / "short.toml", "missing")
    run(capsys, "walls", listed, "--gust", "30", "--out", out)
    assert out.read_text(encoding="utf-8") != before


def test_what_was_found_beside_the_braces_counts_too(capsys, monkeypatch, tmp_path, job):
    """A top plate whose strap is gone, or a plate nailed wider: as a file that says so."""
    wall = job / "short.toml"
    typed = ["" for _ in rest(wall)]
    read = read_job(wall)
    from bracing.reading.looking import things_to_see

    k = next(k for k, seen in enumerate(things_to_see(read)) if "wall.plate.spacing" in seen.paths)
    typed[1 + k] = "spacing 48 in"
    walked(capsys, monkeypatch, wall, "", "", "", *typed[: k + 2])
    old = next(line for line in WALL.split("[wall.plate]")[1].splitlines() if line.startswith("spacing"))
    by_hand = written_by_hand(tmp_path, WALL.replace(old, 'spacing = "48 in"', 1))
    assert limit(capsys, wall) == limit(capsys, by_hand) < 39


def test_nothing_is_written_over_a_walk_that_is_not_finished(capsys, monkeypatch, job):
    wall = job / "short.toml"
    walked(capsys, monkeypatch, wall, "missing")
    ran = run(capsys, "storm", wall, "--gust", "40", "--write")
    assert ran.status == 2
    assert "a walk that is not finished" in ran.err
    assert wall.read_text(encoding="utf-8") == WALL


def test_a_watch_answers_from_the_log_and_its_mail_carries_the_head(capsys, monkeypatch, job):
    from tests.site_servers import NOW, grid

    (job.parent / "grid.json").write_text(json.dumps(grid(15.0)), encoding="utf-8")
    words = ("watch", job, "--forecast", job.parent / "grid.json", "--now", NOW, "--json")
    assert run(capsys, *words).json["walls"][0]["limit_gust_mph"] == 39
    walked(capsys, monkeypatch, job / "short.toml", "missing", "missing")
    ran = run(capsys, *words, "--daily")
    assert ran.json["walls"][0]["limit_gust_mph"] == 0
    assert ran.json["news"] == "worse"
    head = ran.json["message"]["text"].rpartition("Log ")[2]
    assert run(capsys, "log", job, "--head", head).status == 0


# -- two people on one wall ------------------------------------------------------------------------------


def session(job, who):
    wall = job / "short.toml"
    found = taken_up(job / KEPT / LOG, read_job(wall), who=who)
    found.read()
    return found


def test_two_who_differ_are_both_counted_and_nobody_finishes(capsys, monkeypatch, job):
    wall = job / "short.toml"
    one, other = session(job, "lead framer"), session(job, "helper")
    one.write("B1", "missing")
    assert limit(capsys, wall) == 34
    other.write("B1", "")  # did not know of it
    assert limit(capsys, wall) == 34
    with pytest.raises(InputError, match="one answer: look again"):
        other.finish(lambda: pytest.fail("written"), by="helper", when="2026-03-06 16:00")
    assert wall.read_text(encoding="utf-8") == WALL
    ran = walked(capsys, monkeypatch, wall, "", "", "", *rest(wall))  # B1 is asked again, and settled
    assert ran.status == 0
    assert limit(capsys, wall) == 39
    assert "AS BUILT" in run(capsys, "check", wall).out


def test_two_share_a_walk(capsys, monkeypatch, job):
    wall = job / "short.toml"
    session(job, "helper").write("B3", "missing")
    typed = []

    def ask(prompt=""):
        typed.append(prompt)
        return ""

    monkeypatch.setattr("builtins.input", ask)
    assert run(capsys, "built", wall, *BY).status == 0
    asked = " ".join(typed)
    assert "B1:" in asked
    assert "B3:" not in asked  # said already
    assert 'what = "missing"' in wall.read_text(encoding="utf-8")


def test_who_comes_second_is_told(capsys, monkeypatch, job):
    wall = job / "short.toml"
    late = session(job, "helper")
    assert walked(capsys, monkeypatch, wall, "", "", "", *rest(wall)).status == 0
    late.write("B1", "missing")  # for a state of the file that is no more: it counts all the same
    assert limit(capsys, wall) == 34
    assert walked(capsys, monkeypatch, wall, "", "", "", *rest(wall)).status == 0
    assert limit(capsys, wall) == 39


def test_many_writers_at_once_leave_one_whole_chain(capsys, job):
    code = (
        "import sys; from pathlib import Path; from datetime import UTC, datetime\n"
        "from bracing.reading.log import writing\n"
        "for k in range(40):\n"
        "    with writing(Path(sys.argv[1]), datetime.now(UTC)) as log:\n"
        "        log.add('entry', {'id': f'{sys.argv[2]}-{k}', 'mark': 'B9', 'answer': ''}, wall='short.toml')\n"
    )
    words = [sys.executable, "-c", code, str(job / KEPT / LOG)]
    running = [subprocess.Popen([*words, str(n)]) for n in range(3)]
    assert [one.wait(LONGEST_S) for one in running] == [0, 0, 0]
    ran = run(capsys, "log", job, "--verify", "--json")
    assert ran.json["verified"]
    assert len({row["body"]["id"] for row in ran.json["rows"] if row["kind"] == "entry"}) == 120


# -- nothing acknowledged is lost ------------------------------------------------------------------------


def killed(job, delay):
    """Walk a wall from a process of its own, kill it some time after its first question; how many answers it had taken.

    An answer is acknowledged when the next question is asked.
    """
    words = [sys.executable, "-m", "bracing", "built", str(job / "short.toml"), *BY]
    seen = bytearray()
    with subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, preexec_fn=listen
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        stdout = process.stdout

        def read():
            while chunk := os.read(stdout.fileno(), 65536):
                seen.extend(chunk)

        reader = threading.Thread(target=read, daemon=True)
        reader.start()
        asked = time.monotonic() + LONGEST_S
        while b"> " not in seen and time.monotonic() < asked:
            time.sleep(0.005)
        with contextlib.suppress(BrokenPipeError):
            process.stdin.write(b"missing\nfloor 2\n\n" + b"\n" * 40)
            process.stdin.flush()
        time.sleep(delay)
        process.kill()
        process.wait()
        reader.join(LONGEST_S)
        with contextlib.suppress(BrokenPipeError):
            process.stdin.close()
    return max(seen.count(b"> ") - 1, 0)


def kill_somewhere(capsys, job, delay):
    before = len([row for row in rows(capsys, job) if row["kind"] == "entry"])
    acknowledged = killed(job, delay)
    ran = run(capsys, "log", job, "--verify", "--json")
    assert ran.json["verified"], ran.err
    entries = [row["body"] for row in ran.json["rows"] if row["kind"] == "entry"]
    assert len(entries) - before >= acknowledged
    return acknowledged, entries[before:], ran.json["rows"]


@pytest.mark.skipif(sys.platform == "win32", reason="kill -9")
def test_a_kill_loses_no_acknowledged_answer(capsys, job):
    """A few moments in every check; two hundred with the proofs."""
    wall = job / "short.toml"
    for delay in (0.02, 0.15, 0.4):
        (wall).write_text(WALL, encoding="utf-8")
        shutil.rmtree(job / KEPT)
        run(capsys, "log", job, "--begin")
        acknowledged, entries, _ = kill_somewhere(capsys, job, delay)
        if acknowledged:
            assert (entries[0]["mark"], entries[0]["answer"]) == ("B1", "missing")
            assert limit(capsys, wall) <= 34


@pytest.mark.proof
@pytest.mark.skipif(sys.platform == "win32", reason="kill -9")
def test_two_hundred_kills_lose_no_acknowledged_answer(capsys, monkeypatch, job):
    chance, wall, moments = random.Random(7), job / "short.toml", set()
    for _ in range(200):
        wall.write_text(WALL, encoding="utf-8")
        shutil.rmtree(job / KEPT)
        run(capsys, "log", job, "--begin")
        acknowledged, _, all_rows = kill_somewhere(capsys, job, chance.uniform(0.0, 0.6))
        moments.add(acknowledged)
        events = [row["body"].get("event") for row in all_rows if row["kind"] == "walk"]
        if "finished" in events:
            assert limit(capsys, wall) <= 34
            continue
        if acknowledged:
            assert limit(capsys, wall) <= 34
        walked(capsys, monkeypatch, wall, *[""] * 60)  # and the walk is finished from there
        after = read_job(wall)
        assert after.walked
        if acknowledged:
            assert "B1" not in [brace.mark for brace in after.braces]
    assert len(moments) >= 5  # killed at many a place


@pytest.mark.parametrize("written", [False, True])
def test_a_walk_killed_while_it_is_finished_is_brought_to_its_end(capsys, monkeypatch, job, written):
    """Before the wall file was written the walk is open again, after it it is taken in."""
    wall, log = job / "short.toml", job / KEPT / LOG
    walked(capsys, monkeypatch, wall, "missing", "", "", *rest(wall)[:-1])

    class Killed(BaseException):
        pass

    from bracing.reading import writing as module
    from bracing.site import walks

    real = module.write_walk

    def broken(*args, **words):
        if written:
            real(*args, **words)
        raise Killed

    monkeypatch.setattr(module, "write_walk", broken)
    monkeypatch.setattr(walks, "recover", lambda *_: None)  # nobody is there to do it
    with pytest.raises(Killed):
        walked(capsys, monkeypatch, wall, "", "", "", *rest(wall))
    monkeypatch.undo()
    assert limit(capsys, wall) == 34
    events = [row["body"].get("event") for row in rows(capsys, job) if row["kind"] == "walk"]
    assert events[-1] == ("finished" if written else "reopened")
    assert log.is_file()
    assert limit(capsys, wall) == 34
    assert ("AS BUILT" in run(capsys, "check", wall).out) is written


# -- the chain -------------------------------------------------------------------------------------------


def tampered(job, *statements):
    path = job / KEPT / LOG
    with contextlib.closing(sqlite3.connect(path)) as connection:
        for name in ("log_no_update", "log_no_delete"):
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
        connection.commit()


@pytest.fixture
def full(capsys, monkeypatch, job):
    walked(capsys, monkeypatch, job / "short.toml", "missing", "", "", *rest(job / "short.toml"))
    return job


def test_a_log_takes_no_change(full):
    with contextlib.closing(sqlite3.connect(full / KEPT / LOG)) as connection:
        for statement in ("UPDATE log SET who = 'x'", "DELETE FROM log"):
            with pytest.raises(sqlite3.IntegrityError, match="only added to"):
                connection.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE log SET body = replace(body, 'missing', '') WHERE seq = 3",
        "UPDATE log SET at = at + 1 WHERE seq = 4",
        "UPDATE log SET who = 'somebody' WHERE seq = 3",
        "DELETE FROM log WHERE seq = 5",
    ],
)
def test_a_row_that_was_changed_is_seen(capsys, full, statement):
    assert run(capsys, "log", full, "--verify").status == 0
    tampered(full, statement)
    ran = run(capsys, "log", full, "--verify", "--json")
    assert ran.status == 1
    assert ran.json["verified"] is False
    assert "changed, or one before it taken out" in ran.err


def test_a_tail_that_was_cut_off_is_seen_from_a_head(capsys, full):
    head = run(capsys, "log", full, "--json").json["head"]
    tampered(full, "DELETE FROM log WHERE seq > 3")
    assert run(capsys, "log", full, "--verify").status == 0  # the chain alone does not show it
    ran = run(capsys, "log", full, "--verify", "--head", head)
    assert ran.status == 1
    assert "cut short" in ran.err


def test_the_hash_is_the_one_that_is_written_down(capsys, full):
    """Worked out here from the description: SHA-256 of the hash before, a newline, and a JSON array of seven."""
    import hashlib

    with contextlib.closing(sqlite3.connect(full / KEPT / LOG)) as connection:
        found = connection.execute("SELECT * FROM log ORDER BY seq").fetchall()
    prev = "0" * 64
    for *first, body, before, digest in found:
        text = json.dumps(
            [*first, json.loads(body)], sort_keys=True, separators=(",", ":"), ensure_ascii=False
        )
        assert before == prev
        assert digest == hashlib.sha256(prev.encode() + b"\n" + text.encode()).hexdigest()
        prev = digest
    assert len(found) > 10


def test_a_file_changed_by_hand_is_noted(capsys, job):
    wall = job / "short.toml"
    wall.write_text(WALL.replace("Kitchen wall", "Kitchen"), encoding="utf-8")
    found = rows(capsys, job)
    assert [row["kind"] for row in found] == ["state", "changed outside"]
    assert [row["kind"] for row in rows(capsys, job)] == ["state", "changed outside"]  # once


def test_what_a_command_writes_is_no_change_by_hand(capsys, job):
    assert run(capsys, "layout", job / "short.toml", "--gust", "30", "--write", "--budget", "2").status in (
        0,
        1,
        4,
    )
    assert [row["kind"] for row in rows(capsys, job)] == ["state", "written"]


# -- reading it ------------------------------------------------------------------------------------------


def test_a_day_a_table_and_a_backup(capsys, full, tmp_path):
    everything = rows(capsys, full)
    day = everything[0]["at"][:10]
    assert rows(capsys, full, "--day", "2020-01-01") == []
    assert len(rows(capsys, full, "--day", day)) == len(everything)
    out, archive = tmp_path / "log.csv", tmp_path / "log.zip"
    ran = run(capsys, "log", full, "-o", out, "--backup", archive)
    assert ran.status == 0
    assert len(out.read_text(encoding="utf-8").splitlines()) == len(everything) + 1
    with zipfile.ZipFile(archive) as opened:
        assert {"log.sqlite3", "short.toml", "job.toml", "SHA256SUMS"} == set(opened.namelist())
        opened.extractall(tmp_path / "again" / KEPT)
    again = tmp_path / "again"
    shutil.move(again / KEPT / "short.toml", again / "short.toml")
    assert len(rows(capsys, again, "--verify")) == len(everything)
    assert run(capsys, "log", full, "--backup", archive).status == 2  # a name that is taken


def test_a_log_of_a_newer_program_is_refused(capsys, job):
    with contextlib.closing(sqlite3.connect(job / KEPT / LOG)) as connection:
        connection.execute("PRAGMA user_version = 9")
    for words in (("log", job), ("check", job / "short.toml")):
        ran = run(capsys, *words)
        assert ran.status == 2
        assert "version 9" in ran.err


def test_a_log_that_cannot_be_read_leaves_no_wall_unasked(capsys, job):
    """What is said of a wall there may be bad: it is not left out in silence."""
    (job / KEPT / LOG).write_bytes(b"no database, but long enough to be looked at" * 40)
    ran = run(capsys, "check", job / "short.toml")
    assert ran.status == 2
    assert "a log that can be read" in ran.err


def test_no_log_is_begun_by_itself(capsys, monkeypatch, tmp_path):
    wall = tmp_path / "short.toml"
    wall.write_text(WALL, encoding="utf-8")
    walked(capsys, monkeypatch, wall, "missing", "", "", *rest(wall))
    assert not (tmp_path / KEPT).exists()
    assert run(capsys, "log", tmp_path).status == 2


def test_a_screen_has_its_last_rows(capsys, full):
    ran = run(capsys, "log", full)
    assert len(ran.out.splitlines()) <= 40
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    assert "finished" in ran.out


def test_nothing_of_it_loads_with_the_other_commands(tmp_path):
    wall = tmp_path / "short.toml"
    wall.write_text(WALL, encoding="utf-8")
    code = "import sys; from bracing.commands.cli import main; main(['check', sys.argv[1]]); "
    code += "heavy = ('smtplib', 'sqlite3', 'urllib.request'); "
    code += "print([m for m in sys.modules if m.startswith('bracing.site') or m in heavy])"
    done = subprocess.run(
        [sys.executable, "-c", code, str(wall)], capture_output=True, text=True, check=True, timeout=LONGEST_S
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_paths_of_the_log_are_those_of_the_folder():
    assert Path(KEPT, LOG).as_posix() == ".bracing/log.sqlite3"
