"""The order to stand walls in and the deck each takes, found by eye on a ring of four."""

from __future__ import annotations

import pytest
from attrs import evolve

from bracing.box.leaving import keeps_at_least
from bracing.box.order import FOOT, deck_needed, to_stand
from bracing.reading.house import read_house
from bracing.stages.take_down import Kept
from tests.box_walls import RING, job_folder, ring_corners

INCHES = 12.0


def ring(tmp_path, up):
    read = read_house(job_folder(tmp_path, corners=ring_corners(done=())))
    jobs = {
        file: evolve(
            job, wall=evolve(job.wall, state="standing" if file.removesuffix(".toml") in up else "planned")
        )
        for file, job in read.jobs.items()
    }
    return read.house, jobs


def test_with_none_up_the_smallest_goes_first_and_each_next_finds_a_corner(tmp_path):
    """East and west are 16 ft, south and north 24; north and south each meet both of the others, east none of west."""
    found = to_stand(*ring(tmp_path, up=()))
    assert [one.file for one in found] == ["east.toml", "north.toml", "west.toml", "south.toml"]
    assert [set(one.finds) for one in found] == [
        set(),
        {"east.toml"},
        {"north.toml"},
        {"east.toml", "west.toml"},
    ]


def test_walls_that_are_up_are_not_stood_again(tmp_path):
    assert [one.file for one in to_stand(*ring(tmp_path, up=("east", "west", "north")))] == ["south.toml"]
    assert to_stand(*ring(tmp_path, up=RING)) == ()


def test_a_wall_lies_on_the_deck_before_and_its_feet_stand_there_after(tmp_path):
    """9 ft high, feet 7 ft off: 7 ft and 2 ft of cleat are the 9 it takes lying. Feet 9 ft off take 11 ft."""
    _, jobs = ring(tmp_path, up=())
    job = jobs["east.toml"]
    assert FOOT == 24.0
    assert deck_needed(job) == pytest.approx(9.0 * INCHES, abs=1e-9)
    far = evolve(job, braces=tuple(evolve(b, set_back=9.0 * INCHES) for b in job.braces))
    assert deck_needed(far) == pytest.approx(11.0 * INCHES, abs=1e-9)
    assert deck_needed(evolve(job, braces=())) == pytest.approx(9.0 * INCHES, abs=1e-9)


@pytest.mark.parametrize(
    ("gust", "storms", "keep"),
    [(10.0, False, 25.0), (40.0, False, 40.0), (10.0, True, 58.0), (40.0, True, 58.0), (70.0, True, 70.0)],
)
def test_a_brace_leaves_a_job_on_no_calmer_word_than_a_breeze_or_an_outflow(gust, storms, keep):
    """docs/judgement.md: 25 mph at the least, and 58 with thunderstorms in the forecast."""
    assert keeps_at_least(Kept(gust, thunderstorm=storms)) == keep
