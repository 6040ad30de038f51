"""The command printed next is one that can be typed: no option twice, the file quoted; and -o is --out everywhere.

`storm --write` printed a next command with `--write --write`, a file name with a blank unquoted, and `-o` was unknown
to `walls`.
"""

from __future__ import annotations

import re
import shlex
import sys

import pytest

from bracing.commands.help import COMMANDS
from tests.cli.running import EXAMPLES, run

KITCHEN = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
NOW = ("--now", "2026-03-06 15:00", "--zone", "UTC")


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "kitchen wall.toml"
    path.write_text(KITCHEN, encoding="utf-8")
    return path


def next_words(out):
    """The words of the command a screen ends with."""
    lines = out.replace("\\\n", " ").splitlines()
    last = [line for line in lines if line.startswith("  bracing ")][-1]
    return shlex.split(last)


def asked(capsys, monkeypatch, *words):
    monkeypatch.setattr(sys, "argv", ["bracing", *map(str, words)])
    return run(capsys, *words)


@pytest.mark.parametrize("write", [(), ("--write",)], ids=["asked", "written"])
def test_a_storm_that_has_written_does_not_ask_to_write_again(capsys, monkeypatch, wall, write):
    ran = asked(capsys, monkeypatch, "storm", wall, "--gust", "42", "--budget", "1", *NOW, *write)
    words = next_words(ran.out)
    assert words.count("--write") == (0 if write else 1)
    assert str(wall) in words
    if write:
        assert "Written into the file." in ran.out
        assert words == ["bracing", "built", str(wall)]


def test_a_file_with_a_blank_in_its_name_is_quoted_in_every_next_command(capsys, monkeypatch, wall):
    for command in (("storm", wall, "--gust", "10", *NOW), ("check", wall)):
        assert str(wall) in next_words(asked(capsys, monkeypatch, *command).out), command[0]
    wall.write_text(KITCHEN[: KITCHEN.index("[[brace]]")], encoding="utf-8")
    ran = asked(capsys, monkeypatch, "storm", wall, "--gust", "30", "--budget", "0", *NOW)
    assert str(wall) in next_words(ran.out)


def test_out_has_one_letter_wherever_there_is_one(capsys):
    with_out = []
    for name in COMMANDS:
        told = run(capsys, name, "--help").out
        short = re.search(r"(?<![\w-])-o\b", told) is not None
        assert short == ("--out" in told), name
        with_out += [name] if short else []
    assert {"walls", "sheet", "stock"} <= set(with_out)


def test_o_writes_the_results_of_a_list(capsys, tmp_path):
    source, target = tmp_path / "list.csv", tmp_path / "mine.csv"
    source.write_text("length,height\n16 ft,8 ft\n", encoding="utf-8")
    run(capsys, "walls", source, "--gust", "30", "--workers", "1", "-o", target)
    assert target.is_file()
