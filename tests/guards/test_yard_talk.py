"""What is typed in a yard is read as it is meant there, in a file, an option and an answer alike."""

from __future__ import annotations

import pytest

from bracing.errors import InputError
from bracing.job.fasteners import fastener, fastener_names
from bracing.units import length
from tests.cli.running import run

WALL = """[wall]
name = "Garage"
length = "{length}"
height = "{height}"
layers = ["{layer}", "{wrap}"]
[wall.studs]
size = "{size}"
spacing = "{spacing}"
species = "{species}"
grade = "{grade}"
[wall.plate]
state = "final"
fastener = "{nail}"
spacing = "16 in"
[[wall.opening]]
left = "{left}"
sill = "3 ft"
width = "{width}"
height = "4 ft"
[kit.head]
fastener = "{gun}"
[[brace]]
mark = "B1"
stud_at = "4 ft"
head = "7 ft"
set_back = "{back}"
"""
PLAIN = {
    "length": "18 ft 1/2 in", "height": "10 ft 1 1/8 in", "layer": "osb 7/16", "wrap": "housewrap", "size": "2x6",
    "spacing": "16 in", "species": "spruce-pine-fir", "grade": "No.2", "nail": "16d sinker", "left": "8 ft",
    "width": "3 ft", "gun": "gun nail 0.131x3-1/4", "back": "7 ft 6 in",
}  # fmt: skip
YARD = {
    "length": "18-0 1/2", "height": "10 foot 1 1/8", "layer": "7/16 osb", "wrap": "building wrap", "size": "2 by 6",
    "spacing": "16 oc", "species": "SPF", "grade": "#2 & better", "nail": "16d sinkers", "left": "8-0",
    "width": "3-0", "gun": "gun nails 3-1/4 x .131", "back": "7' 6",
}  # fmt: skip


def test_a_file_in_yard_talk_gives_the_same_answer_as_one_written_out(capsys, tmp_path):
    answers = []
    for words in (PLAIN, YARD):
        (tmp_path / "wall.toml").write_text(WALL.format(**words), encoding="utf-8")
        told = run(capsys, "check", tmp_path / "wall.toml", "--gust", 20, "--links", "--json")
        assert told.status in (0, 1), told.err
        answers.append(told.json)
    plain, yard = answers
    assert plain["links"]
    assert yard["limit_gust_mph"] == plain["limit_gust_mph"]
    assert yard["links"] == plain["links"]


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("8-0", 96.0), ("18-0 1/2", 216.5), ("18-0-1/2", 216.5), ('8-0"', 96.0), ("10 foot 1 1/8", 121.125),
        ("10' 6", 126.0), ("8 ft. 2 in.", 98.0), ("16-ft", 192.0), ("7 1/2", 7.5), ("3-1/4", 3.25), ("½", 0.5),
        ("7½″", 7.5), ("16 o.c.", 16.0), ('24" on center', 24.0), ("2 metres", 2000.0 / 25.4),
    ],
)  # fmt: skip
def test_a_length_as_it_is_said(typed, inches):
    assert length(typed) == pytest.approx(inches, abs=1e-9)


@pytest.mark.parametrize(
    "typed", ["36", "9-13", "9 ft 19", "6/12", "6:12", "3-4 in", "36 ft 4 cm", "3 1/3", "-8-0"]
)
def test_what_may_be_two_lengths_or_none_is_refused(typed):
    with pytest.raises(InputError):
        length(typed)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("16d sinkers", "16d sinker"), ("16 penny commons", "16d common"),
        ("gun nails 3-1/4 x .131", "gun nail 0.131x3-1/4"),
        ("3-1/4 x 131 gun nails", "gun nail 0.131x3-1/4"), ("framing nails .131 x 3", "gun nail 0.131x3"),
        ("3/8 x 4 lags", "lag 3/8x4"), ("#10 x 3 wood screws", "wood screw #10x3"), ("galv. 8d commons", "8d common"),
        ("structural screws 3 × .22", "structural screw 0.22x3"),
    ],
)  # fmt: skip
def test_a_fastener_as_it_is_said(typed, name):
    assert fastener(typed).name == name


@pytest.mark.parametrize("typed", ["16d", "0.131 x 3", "gun nails", "12 16d common", "16d common 16 in"])
def test_what_may_be_two_fasteners_or_none_is_not_guessed(typed):
    with pytest.raises(LookupError):
        fastener(typed)


def test_every_name_of_the_table_is_still_its_own():
    """Sizes are read in either order now: no two names may come to the same."""
    assert [fastener(f" {name.upper()} ").name for name in fastener_names()] == list(fastener_names())
