"""Longer against stiffer against steeper: the table of every stick, held to statics and to the trade."""

import math

import pytest

from bracing.check import check
from bracing.layout.sticks import moment_per_inch, sticks_for
from bracing.reading.options import job_from_options


def sticks(**asked):
    return sticks_for(job_from_options(length="40ft", height="10ft"), gust=45.0, **asked)


def test_longer_is_flatter_takes_less_force_and_lifts_less():
    rows = [row for row in sticks().rows if row.size == "2x6" and row.ties == 2]
    assert len(rows) >= 4
    # where the head stays as high, a longer stick is flatter
    same = [row for row in rows if row.head == rows[-1].head]
    angles, forces, lifts = (
        [f(r) for r in same] for f in (lambda r: r.angle, lambda r: r.force, lambda r: r.lift)
    )
    assert angles == sorted(angles, reverse=True)
    assert forces == sorted(forces, reverse=True)
    assert lifts == sorted(lifts, reverse=True)


def test_an_untied_16_ft_2x_counts_for_nothing_in_push_and_a_tie_makes_it():
    by_made = {row.made: row for row in sticks().rows if (row.size, row.stock) == ("2x4", 192.0)}
    assert by_made["-"].push == 0.0
    assert by_made["-"].reach == 0.0
    assert 0.0 < by_made["1 tie"].push < by_made["2 ties"].push <= by_made["T"].push
    assert all(row.pull == pytest.approx(by_made["-"].pull, abs=1e-9) for row in by_made.values())


def test_a_shorter_stick_bows_later():
    tied = [row for row in sticks().rows if (row.size, row.made) == ("2x6", "1 tie") and row.stock >= 168.0]
    pushes = [row.push for row in tied]
    assert pushes == sorted(pushes, reverse=True)


def test_the_force_is_the_moment_of_its_stretch_over_its_head():
    """On a level wall the wind's moment is the same on every foot of it."""
    found = sticks(every=120.0)
    row = found.rows[0]
    evaluation = check(found.job, gust=45.0, effects=False).evaluation
    assert moment_per_inch(found.job, evaluation) == pytest.approx(found.moment, rel=1e-9)
    level = found.moment * 120.0 / row.head
    assert row.force == pytest.approx(level / math.cos(row.angle), rel=1e-9)
    assert row.lift == pytest.approx(level * math.tan(row.angle), rel=1e-9)
