"""The hand check of brace forces, against sums done by hand."""

import pytest
from attrs import evolve

from bracing.job.returns import Return
from bracing.job.wall import Wall
from bracing.text.hand_check import level_force, widths

LEVEL = Wall(name="L", top=((0.0, 120.0), (240.0, 120.0)))
GABLE = Wall(name="G", top=((0.0, 96.0), (120.0, 192.0), (240.0, 96.0)))
HOLDING = Return(plated=True, nailed=True, sheathed=True, fastened_down=True, count=10)


def test_all_of_a_free_wall_is_shared_out():
    edges = widths([30.0, 100.0, 200.0], LEVEL)
    assert edges == [(0.0, 65.0), (65.0, 150.0), (150.0, 240.0)]


def test_a_return_takes_nothing_of_a_wall():
    held = evolve(LEVEL, left_end="return", left_return=HOLDING)
    assert widths([60.0, 180.0], held) == [(0.0, 120.0), (120.0, 240.0)]


def test_level_wall_is_pressure_times_half_the_height_squared_over_the_head():
    # 1 psf on 20 ft x 10 ft: 200 lb at 5 ft is 1000 lb ft, over a head at 8 ft
    assert level_force(1.0 / 144.0, LEVEL, between=(0.0, 240.0), head=96.0) == pytest.approx(125.0, abs=1e-9)


def test_under_a_gable_the_height_is_squared_along_the_slope():
    # z = 96 + 0.8 x: the integral of z^2/2 over 0..120 is (192^3 - 96^3)/(6 x 0.8) = 1290240 in3
    force = level_force(0.01, GABLE, between=(0.0, 120.0), head=100.0)
    assert force == pytest.approx(0.01 * 1290240.0 / 100.0, abs=1e-6)
    # cut at the peak or not, the parts add up
    left, right = (
        level_force(0.01, GABLE, between=part, head=100.0) for part in ((0.0, 70.0), (70.0, 240.0))
    )
    assert left + right == pytest.approx(2.0 * force, abs=1e-9)


def test_a_resultant_a_twentieth_higher_takes_a_tenth_more():
    # p (1 + r (z - h/2)) lifts the resultant of a level wall by r h²/12: a twentieth of h with r = 0.6/h
    even = level_force(0.05, LEVEL, between=(0.0, 240.0), head=96.0)
    raised = level_force(0.05, LEVEL, between=(0.0, 240.0), head=96.0, rise=(0.6 / 120.0, 60.0))
    assert raised == pytest.approx(1.1 * even, rel=1e-12)
