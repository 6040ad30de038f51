"""A fastener of the user's own, named wherever a wall file takes one, is known to every command."""

from __future__ import annotations

import pytest

from tests.cli.running import run
from tests.wall_files import wall_text

# A nail of the tables under a name of the user's own, as long, so that lines break alike.
TABLE, OWN = "16d common", "yard nails"
OURS = f"""
[[fastener]]
name = "{OWN}"
kind = "nail"
diameter = "0.162 in"
head = "0.344 in"
length = "3.5 in"
fyb = "90000 psi"
"""
JOINTS = ("plate", "extra", "head_fastener", "cleat_fastener", "floor_fastener")
ALIKE = (
    ("check", "--gust", "20"),
    ("stages", "--gust", "15"),
    ("trace", "--gust", "20"),
    ("lift",),
    ("weight",),
)
CHOOSING = (
    ("fasteners", "--gust", "20"),
    ("storm", "--gust", "20", "--budget", "1"),
    ("layout", "--gust", "15", "--budget", "1"),
)


def answered(capsys, folder, name, command):
    """What a command says of a wall whose every joint has that fastener, and the wall file beside it."""
    folder.mkdir()
    wall = folder / "w.toml"
    wall.write_text(wall_text(**dict.fromkeys(JOINTS, name)) + OURS, encoding="utf-8")
    ran = run(capsys, command[0], wall, *command[1:])
    assert ran.status in (0, 1), ran.err
    return ran.status, ran.out.replace(str(folder), "")


@pytest.mark.parametrize("command", ALIKE, ids=lambda words: words[0])
def test_a_fastener_of_ones_own_gives_the_answer_of_its_like_in_the_tables(capsys, tmp_path, command):
    status, text = answered(capsys, tmp_path / "a", TABLE, command)
    again, own = answered(capsys, tmp_path / "b", OWN, command)
    assert (again, own.replace(OWN, TABLE)) == (status, text)


@pytest.mark.parametrize("command", CHOOSING, ids=lambda words: words[0])
def test_a_fastener_of_ones_own_is_known_where_others_are_compared_with_it(capsys, tmp_path, command):
    answered(capsys, tmp_path / "a", OWN, command)
