"""What is typed in a yard is read as it is meant there, in a file, an option and an answer alike."""

from __future__ import annotations

import tomllib

import pytest

from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.fasteners import fastener, fastener_names
from bracing.reading.writing import write_wall
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


def test_options_take_yard_talk_as_a_file_does(capsys):
    """The same wall said two ways on the command line: the same job comes of it."""
    same = ("--layers", "osb 7/16", "--brace", "4-0:head 7-0:back 7-6", "--gust", 20, "--json")
    plain = run(
        capsys, "check", "--length", "24ft", "--height", "9ft1in", "--studs", "2x6@16in", "--stock", "2x6@16ft",
        "--opening", "12ft6in:sill 2ft8in:3ft x 5ft", *same,
    )  # fmt: skip
    yard = run(
        capsys, "check", "--length", "24-0", "--height", "9-1", "--studs", "2x6 16 oc", "--stock", "2x6x16",
        "--opening", "3-0 x 5-0 at 12-6, sill 2-8", *same,
    )  # fmt: skip
    assert yard.status == plain.status == 1, yard.err
    assert yard.json["limit_gust_mph"] == plain.json["limit_gust_mph"]
    assert yard.json["braces"] == plain.json["braces"]


@pytest.mark.parametrize(
    "typed",
    [
        "3-0 x 5-0 at 4-0 from right, sill 2-8",  # measured from the other end
        "3-0 x 5-0 centered at 12-6",  # its centre, not its edge
        "36 x 60 at 12-6",  # feet or inches?
        "12-6, 14-0, 3-0 x 5-0",  # which of them is the edge?
        "3-0 x 5-0",
    ],
)
def test_an_opening_that_may_be_meant_otherwise_is_refused(capsys, typed):
    told = run(capsys, "check", "--length", "24-0", "--height", "9-1", "--opening", typed, "--gust", 20)
    assert told.status == 2
    assert told.err


GABLE = '[wall]\nlength = "28-0"\nheight = "9-0"\n'


@pytest.mark.parametrize("pitch", ["6/12", "6:12", "6 in 12", "6/12 pitch"])
def test_a_pitch_stands_for_the_peak(capsys, tmp_path, pitch):
    """14 ft of run at 6 in 12 is 7 ft up from 9 ft: a peak at 16 ft."""
    weights = []
    for more in (f'pitch = "{pitch}"', 'peak = "16 ft"'):
        (tmp_path / "wall.toml").write_text(GABLE + more + "\n", encoding="utf-8")
        weights.append(run(capsys, "weight", tmp_path / "wall.toml", "--json").json["weight_lb"])
    level = GABLE.replace("9-0", "12-6")
    assert weights[0] == weights[1]
    (tmp_path / "wall.toml").write_text(level, encoding="utf-8")
    assert run(capsys, "weight", tmp_path / "wall.toml", "--json").json["weight_lb"] != weights[0]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('pitch = "6/12"\npeak = "16 ft"', "no peak beside pitch"),
        ('pitch = "6/12"\npeak_at = "10 ft"', "no peak_at beside pitch"),
        ('pitch = "half"', "a pitch, up for 12 along"),
        ('pitch = "30/12"', "wall.pitch"),
    ],
)
def test_a_pitch_that_does_not_fit_is_one_clear_line(capsys, tmp_path, more, said):
    (tmp_path / "wall.toml").write_text(GABLE + more + "\n", encoding="utf-8")
    told = run(capsys, "weight", tmp_path / "wall.toml")
    assert told.status == 2
    assert said in told.err


BARE = """[wall]
length = "24-0"
height = "9-1"
layers = ["osb 7/16"]
[[brace]]  # the far one
stud_at = "20-0"
head = "7-0"
set_back = "7-6"
[[brace]]
stud_at = "4-0"
head = "7-0"
set_back = "7-6"
[[brace]]
mark = "B1"
stud_at = "12-0"
head = "7-0"
set_back = "7-6"
"""


def test_braces_without_a_mark_are_marked_from_left_past_those_taken(capsys, tmp_path):
    (tmp_path / "wall.toml").write_text(BARE, encoding="utf-8")
    told = run(capsys, "check", tmp_path / "wall.toml", "--gust", 20, "--json")
    assert told.status == 1, told.err
    assert (
        "edition" not in run(capsys, "check", tmp_path / "wall.toml", "--gust", 20).out
    )  # no mark makes it no old file
    assert {brace["mark"]: round(brace["x_ft"], 6) for brace in told.json["braces"]} == {
        "B3": 20.0, "B2": 4.0, "B1": 12.0,
    }  # fmt: skip


def test_what_is_written_into_such_a_file_leaves_every_brace_the_mark_it_was_called_by(tmp_path):
    """A brace put in nearer to LEFT would have moved the marks of those that have none."""
    path = tmp_path / "wall.toml"
    path.write_text(BARE, encoding="utf-8")
    write_wall(path, [Brace(mark="B9", stud_at=24.0, head=84.0, set_back=90.0)])
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    assert [brace["mark"] for brace in tables["brace"]] == ["B3", "B2", "B1", "B9"]
    assert "# the far one" in path.read_text(encoding="utf-8")
