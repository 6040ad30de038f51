"""A newcomer's hour comes out: see tests/package/newcomer.py, which shows every screen."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("pexpect")
from tests.package.newcomer import Hour, readme_commands, spend

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("package")]


@pytest.fixture(scope="module")
def hour(tmp_path_factory):
    return Hour(tmp_path_factory.mktemp("hour") / "clean")


@pytest.fixture(scope="module")
def seen(hour):
    return spend(hour)


def test_every_step_ends_as_it_should(seen):
    for name in ("install", "version", "help", "write", "extra", "built", "start"):
        assert seen[name].status == 0, seen[name].settled
    for name in ("no extra", "misspelt"):
        assert seen[name].status == 2, seen[name].settled
    for name, screen in seen.items():
        missing = "short-wal.toml" in screen.line
        assert screen.status in ((2,) if name in ("no extra", "misspelt") or missing else (0, 1)), (
            screen.settled
        )


def test_no_screen_shows_a_fault_of_the_program(seen):
    for screen in seen.values():
        assert "Traceback" not in screen.text
        assert "fault of the program" not in screen.text


def test_no_screen_needs_colour_or_is_wider_than_the_terminal(seen):
    for screen in seen.values():
        # another program's screen, a text message, and faults, which stand on one line each
        if "pip install" in screen.line or "--short" in screen.line or screen.status == 2:
            continue
        assert "\x1b" not in screen.settled
        assert max(map(len, screen.settled.splitlines())) <= 80, screen.line


def test_the_wall_the_questions_made_is_laid_out_written_and_walked(hour, seen):
    written = (hour.home / "south-gable.toml").read_text(encoding="utf-8")
    assert written.startswith("#:schema ./bracing-wall.schema.json\n")
    assert re.search(r'^height = "9 ft 1 1/8 in"', written, re.MULTILINE)
    assert written.count("[[brace]]") >= 2
    assert 'by = "lead framer"' in written
    assert "WITHIN its limit at a gust of 35 mph" in seen["start"].settled
    assert "WITHIN its limit at a gust of 35 mph" in seen["check"].settled
    assert "AS BUILT" in seen["as built"].settled
    assert "AS BUILT" in seen["stages"].settled


def test_what_is_missing_is_installed_by_the_line_it_says(hour, seen):
    assert "'.[sheet]'" in seen["extra"].line
    assert seen["sheet"].status == 0
    assert (hour.home / "south-gable.html").is_file()


def test_a_misspelt_command_is_put_right_by_the_line_it_says(seen):
    assert seen["put right"].line == "bracing check south-gable.toml --gust 35"
    assert "Limit gust" in seen["put right"].settled


@pytest.mark.proof
def test_the_second_command_of_the_first_page_sets_up_work_on_the_code(tmp_path):
    """Up to the checks themselves, which .ci/run runs by the same command."""
    hour = Hour(tmp_path / "clean")
    install, check = readme_commands()[1].rsplit(" && ", 1)
    done = hour.type(install)
    assert done.status == 0, done.settled
    asked = hour.type(f"{check} --help")
    assert asked.status == 0, asked.settled
    published = hour.type("python -m pytest -q --color=no -p no:cacheprovider tests/published")
    assert published.status == 0, published.settled
