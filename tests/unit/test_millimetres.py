"""Sticks sold by the millimetre: those that are dressed inches by another name, and those that are not."""

from __future__ import annotations

import pytest

from bracing.errors import MissingDataError
from bracing.job.lumber import flat_use_factor, grade, nominal, section, size_factors
from bracing.reading.spoken import plain_size, stick
from tests.cli.running import WITHIN, run

MM = 25.4


@pytest.mark.parametrize(
    ("typed", "name"),
    [("38x140", "2x6"), ("38 x 89", "2x4"), ("38x184 mm", "2x8"), ("38x235", "2x10"), ("38x286", "2x12"),
     ("2-38x140", "2-2x6"), ("19x89", "1x4"), ("89x89", "4x4")],
)  # fmt: skip
def test_a_dressed_size_in_millimetres_is_its_nominal_one(typed, name):
    """38 x 140 mm is 1.5 x 5.5 in to the millimetre."""
    said = section(typed)
    assert said.name == name
    sides = [float(side) for side in typed.rpartition("-")[2].removesuffix(" mm").split("x")]
    assert [said.thickness * MM, said.width * MM] == pytest.approx(sides, abs=0.75)


@pytest.mark.parametrize(
    ("typed", "next_up"), [("45x145", "2x8"), ("45x95", "2x5"), ("45x220", "2x10"), ("47x100", "2x5")]
)
def test_a_size_of_its_own_is_as_large_as_it_says_and_counts_with_the_lesser_factors(typed, next_up):
    """145 mm is 5.71 in, past the 5.5 in of a 2x6: CF of a 2x8, as NDS-S table 4A gives it by width."""
    thick, wide = (float(side) for side in typed.split("x"))
    said = section(typed)
    assert (said.thickness * MM, said.width * MM) == pytest.approx((thick, wide), abs=1e-9)
    assert said.area == pytest.approx(thick * wide / MM**2, rel=1e-12)
    values = grade("spruce-pine-fir", "No.2", typed)
    assert values == grade("spruce-pine-fir", "No.2", next_up)
    assert size_factors(values, typed) == size_factors(values, next_up)
    smaller = {"2x8": "2x6", "2x5": "2x4", "2x10": "2x8"}[next_up]
    for name, factor in size_factors(values, typed).items():
        assert factor <= size_factors(values, smaller)[name]
    assert flat_use_factor(typed) == flat_use_factor(next_up)
    assert section(next_up).width * MM >= wide > section(smaller).width * MM


def test_plies_are_counted_of_both_kinds():
    assert (section("2-45x145").plies, section("2-45x145").name) == (2, "2-45x145")
    assert nominal("3-45x195") == (3, 2, 10)


@pytest.mark.parametrize("typed", ["45x146", "38x141", "46x145", "45x6", "2x145", "145x45", "0x0", "999x999"])
def test_a_size_nobody_sells_is_refused(typed):
    with pytest.raises(MissingDataError):
        section(typed)


def test_a_stick_is_read_as_it_is_said():
    assert stick("45x145 4.8 m") == {"size": "45x145", "length": "4.8 m"}
    assert plain_size("38 x 140") == "38x140"


WALL = """\
edition = 2
[wall]
name = "North"
length = "16 ft"
height = "9 ft"
studs = {{ size = "{size}", spacing = "16 in", species = "SPF", grade = "No.2" }}
[kit]
stock = [{{ size = "{size}", length = "16 ft" }}]
[[brace]]
stud_at = "4 ft"
head = "7 ft"
set_back = "8 ft"
size = "{size}"
[[brace]]
stud_at = "12 ft"
head = "7 ft"
set_back = "8 ft"
size = "{size}"
"""


def test_a_wall_of_38_by_140_is_the_wall_of_2x6(capsys, tmp_path):
    said = []
    for size in ("38x140", "2x6"):
        path = tmp_path / "wall.toml"
        path.write_text(WALL.format(size=size))
        answer = run(capsys, "check", path, "--gust", "20", "--json").json
        said.append({key: value for key, value in answer.items() if key != "input_sha256"})
    assert said[0] == said[1]


def test_a_wall_of_45_by_145_is_laid_out(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(WALL.format(size="45x145"))
    laid = run(capsys, "layout", path, "--gust", "25", "--budget", "0", "--json")
    assert laid.status in WITHIN
    assert laid.json["limit_gust_mph"] >= 25
    assert {brace["stock"] for brace in laid.json["braces"]} == {"45x145"}
    assert "45x145" in run(capsys, "layout", path, "--gust", "25", "--budget", "0").out
