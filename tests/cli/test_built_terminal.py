"""`bracing built` driven through a real pseudo-terminal, to its end and into a sudden death."""

from __future__ import annotations

import json
import os
import signal
import sys
import tomllib
from functools import partial
from pathlib import Path

import pytest

from bracing.reading.jobs import read_job
from tests import LONGEST_S
from tests.cli.running import listen, rest_of_walk, struck
from tests.storm_walls import WALLS, wall

NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
REST = rest_of_walk(wall("short"))
pexpect = pytest.importorskip("pexpect")
BLOWS = [getattr(signal, name) for name in ("SIGINT", "SIGKILL", "SIGHUP") if hasattr(signal, name)]


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    return path


def terminal(file, *words, hangups=signal.SIG_DFL, **options):
    """The walk in a terminal of its own; hang-ups end it, whatever this process was told of them, or are ignored."""

    def hear():
        listen()
        if hasattr(signal, "SIGHUP"):
            signal.signal(signal.SIGHUP, hangups)

    return pexpect.spawn(
        sys.executable, ["-m", "bracing", "built", str(file), *words, *NOW], encoding="utf-8", timeout=LONGEST_S,
        cwd=str(Path(__file__).parents[2]), preexec_fn=hear, **options,
    )  # fmt: skip


def ended(child):
    """Wait until a child has ended of itself, however long a busy machine takes; give its exit status.

    To close it on the end of its output alone would hang up on what is still ending.
    """
    child.expect(pexpect.EOF)
    child.wait()
    child.close()
    return child.exitstatus


def look_at_the_rest(child):
    """Enter at each thing beside the braces, each once it is asked."""
    for answer in REST:
        child.expect("> ")
        child.sendline(answer)


def test_through_a_terminal(file):
    child = terminal(file)
    child.expect("B1: 2x6")
    child.expect("> ")
    child.sendline("")
    child.expect("B2: 2x6")
    child.sendline("floor 2, joist missed")
    child.expect("B3: 2x6")
    child.sendline("wrong")
    child.expect("Enter = as planned")
    child.sendline("missing")
    look_at_the_rest(child)
    child.expect("by role")
    child.sendline("lead framer")
    child.expect("AS BUILT, 2026-03-06 15:00, by lead framer")
    assert ended(child) == 0
    tables = tomllib.loads(file.read_text(encoding="utf-8"))
    assert [brace["mark"] for brace in tables["brace"]] == ["B1", "B2"]
    assert tables["brace"][1]["floor_fasteners"] == 2
    assert tables["built"]["by"] == "lead framer"


def test_a_narrow_terminal_breaks_no_word(file):
    child = terminal(file, "--by", "lead framer", dimensions=(30, 40), env={**os.environ, "COLUMNS": "40"})
    shown = ""
    for _ in range(3 + len(REST)):
        child.expect("> ")
        shown += child.before
        child.sendline("")
    child.expect("AS BUILT")
    shown += child.before
    assert ended(child) == 0
    assert "Enter = as planned" in shown
    assert max(map(len, shown.splitlines())) <= 40


@pytest.mark.parametrize("blow", BLOWS)
def test_a_terminal_that_dies_mid_walk_loses_no_answer(file, blow):
    text = file.read_bytes()
    child = half_walked(file)
    struck(child, partial(child.kill, blow), pexpect.EOF)
    ended(child)
    kept_and_taken_up(file, text)


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="no hang-ups there")
def test_a_terminal_that_goes_where_hang_ups_are_ignored_loses_no_answer(file):
    """As under nohup: nothing tells the walk but that there is nobody to read from any more."""
    text = file.read_bytes()
    child = half_walked(file, hangups=signal.SIG_IGN)
    child.kill(signal.SIGHUP)
    os.close(child.child_fd)
    _, status = os.waitpid(child.pid, 0)
    assert not os.WIFSIGNALED(status)
    kept_and_taken_up(file, text)


def half_walked(file, **options):
    child = terminal(file, **options)
    child.expect("B1: 2x6")
    child.sendline("floor 2")
    child.expect("B2: 2x6")
    child.sendline("missing")
    child.expect("B3: 2x6")
    return child


def kept_and_taken_up(file, text):
    """The wall file is as it was, both answers are kept, and a new walk goes on from them."""
    assert file.read_bytes() == text
    kept = Path(f"{file}.walk").read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["answer"] for line in kept[1:]] == ["floor 2", "missing"]
    again = terminal(file)
    again.expect("Taken up again: 2 of 3 braces")
    again.expect("B3: 2x6")
    again.sendline("")
    look_at_the_rest(again)
    again.expect("by role")
    again.sendline("lead framer")
    assert ended(again) == 0
    assert [b.mark for b in read_job(file).braces] == ["B1", "B3"]
