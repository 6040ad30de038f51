"""A strictly typed program of somebody else: the checker passes it, it runs, and the checker sees its slips."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import bracing
from tests import LONGEST_S
from tests.house.tree import ROOT

CLIENT = Path(__file__).with_name("client")


def checked(name, folder):
    """What strict mypy says of a program, in a folder of its own, with the package on its path."""
    pytest.importorskip("mypy")
    name, text = f"{Path(name).stem}.py", (CLIENT / name).read_text(encoding="utf-8")
    (folder / name).write_text(text, encoding="utf-8")
    command = [sys.executable, "-m", "mypy", "--strict", "--follow-imports=silent", "--config-file=", name]
    done = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=LONGEST_S, check=False,
        env={**os.environ, "MYPYPATH": str(ROOT)},
    )  # fmt: skip
    return done.returncode, done.stdout


@pytest.mark.slow
def test_a_strict_checker_passes_a_program_and_sees_four_slips(tmp_path):
    status, told = checked("good.py", tmp_path)
    assert status == 0, told
    status, told = checked("misspelt.txt", tmp_path)
    faults = re.findall(r"^misspelt\.py:(\d+): error: .*\[([a-z-]+)\]$", told, re.MULTILINE)
    assert status == 1
    assert faults == [("6", "attr-defined"), ("9", "attr-defined"), ("10", "call-arg"), ("11", "arg-type")]


def test_the_program_runs():
    done = subprocess.run(
        [sys.executable, CLIENT / "good.py"], capture_output=True, text=True, timeout=LONGEST_S, check=True
    )
    version, verdict, mark, *rest = done.stdout.split()
    assert (version, verdict, rest) == (bracing.__version__, "within", ["(1,)", "False", "within"])
    assert re.fullmatch(r"B\d", mark)
