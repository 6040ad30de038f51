"""`bracing built` driven through a real pseudo-terminal, to its end and into a sudden death."""

from __future__ import annotations

import json
import os
import signal
import sys
import tomllib
from pathlib import Path

import pytest

from bracing.reading import read_job
from tests.storm_walls import WALLS

NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
pexpect = pytest.importorskip("pexpect")
BLOWS = [getattr(signal, name) for name in ("SIGINT", "SIGKILL", "SIGHUP") if hasattr(signal, name)]


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    return path


def terminal(file):
    words = ["-m", "bracing", "built", str(file), *NOW]
    return pexpect.spawn(
        sys.executable, words, encoding="utf-8", timeout=60, cwd=str(Path(__file__).parents[2])
    )


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
    child.expect("by role")
    child.sendline("lead framer")
    child.expect("AS BUILT, 2026-03-06 15:00, by lead framer")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    tables = tomllib.loads(file.read_text(encoding="utf-8"))
    assert [brace["mark"] for brace in tables["brace"]] == ["B1", "B2"]
    assert tables["brace"][1]["floor_fasteners"] == 2
    assert tables["built"]["by"] == "lead framer"


def test_a_narrow_terminal_breaks_no_word(file):
    words = ["-m", "bracing", "built", str(file), "--by", "lead framer", *NOW]
    child = pexpect.spawn(
        sys.executable,
        words,
        encoding="utf-8",
        timeout=60,
        cwd=str(Path(__file__).parents[2]),
        dimensions=(30, 40),
        env={**os.environ, "COLUMNS": "40"},
    )
    shown = ""
    for _ in range(3):
        child.expect("> ")
        shown += child.before
        child.sendline("")
    child.expect("AS BUILT")
    shown += child.before
    child.close()
    assert "Enter = as planned" in shown
    assert max(map(len, shown.splitlines())) <= 40


@pytest.mark.parametrize("blow", BLOWS)
def test_a_terminal_that_dies_mid_walk_loses_no_answer(file, blow):
    text = file.read_bytes()
    child = terminal(file)
    child.expect("B1: 2x6")
    child.sendline("floor 2")
    child.expect("B2: 2x6")
    child.sendline("missing")
    child.expect("B3: 2x6")
    child.kill(blow)
    child.expect(pexpect.EOF)
    child.close()
    assert file.read_bytes() == text
    kept = Path(f"{file}.walk").read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["answer"] for line in kept[1:]] == ["floor 2", "missing"]
    again = terminal(file)
    again.expect("Taken up again: 2 of 3 braces")
    again.expect("B3: 2x6")
    again.sendline("")
    again.expect("by role")
    again.sendline("lead framer")
    again.expect(pexpect.EOF)
    again.close()
    assert again.exitstatus == 0
    assert [b.mark for b in read_job(file).braces] == ["B1", "B3"]
