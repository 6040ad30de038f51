"""The wind case a trace names is the one that asks what it shows."""

from __future__ import annotations

import re

import pytest

from tests.cli.running import run
from tests.wall_files import wall_text

STUDS = 18  # bays of 16 in
CASE = re.compile(r"from the frame \(case (A|[BC] (?:left|right)),")
MIRROR = {"A": "A", "B left": "B right", "B right": "B left", "C left": "C right", "C right": "C left"}


def named(capsys, path, studs, kind):
    """The case a trace names for a kind of link, and its limit gust."""
    path.write_text(wall_text(studs=[f"{16 * k} in" for k in studs], doubled="false"), encoding="utf-8")
    answer = run(capsys, "trace", path, "--gust", "40", "--json").json
    (found,) = [each for each in answer["links"] if each["link"] == kind]
    (case,) = {m[1] for step in found["steps"] if (m := CASE.search(step["what"]))}
    return case, found["limit_gust_mph"]


@pytest.mark.parametrize("studs", [(1, 2, 8), (1, 5, 16), (2, 4, 5)])
def test_of_two_walls_that_mirror_each_other_the_cases_do_too(capsys, tmp_path, studs):
    """The top plate bent at the same place from either end: what is left in one is right in the other."""
    mirrored = [STUDS - k for k in reversed(studs)]
    one = named(capsys, tmp_path / "a.toml", studs, "top plate bending")
    other = named(capsys, tmp_path / "b.toml", mirrored, "top plate bending")
    assert other[1] == pytest.approx(one[1], rel=1e-9)
    assert one[0] != "A"
    assert MIRROR[one[0]] == other[0]


def test_the_wind_shown_is_that_of_the_case_that_governs(capsys, tmp_path):
    """Beside the even pressure stands what the governing case asks for, with the case's own name."""
    path = tmp_path / "w.toml"
    path.write_text(wall_text(), encoding="utf-8")
    answer = run(capsys, "trace", path, "--gust", "30", "--json").json
    governs = answer["links"][0]
    (case,) = {m[1] for step in governs["steps"] if (m := CASE.search(step["what"]))} or {"A"}
    shown = [step["what"] for step in answer["wind"]]
    assert any("Cf of case A" in what for what in shown)
    if case != "A":
        assert any(f"case {case.split()[0]}" in what for what in shown), (case, shown)
