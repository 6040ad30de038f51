"""Slings: angles, two counted legs, and what is flagged or refused."""

from __future__ import annotations

import math

import pytest

from bracing.errors import InputError
from bracing.lift.slings import (
    bridle,
    check_sling,
    sling_for_angle,
    tension_factor,
)


def test_even_slings_hang_the_hook_over_the_middle():
    hung = bridle(100.0, 0.0, (130.0, 130.0))
    assert (hung.along, hung.above) == pytest.approx((50.0, 120.0), rel=1e-12)
    assert hung.thrust == pytest.approx(0.5 * 50.0 / 120.0, rel=1e-12)


def test_uneven_slings_on_a_rake_hang_the_hook_between_the_picks():
    """A 3-4-5 right triangle: hook 60 along and 80 above the first pick, 40 from the second, 20 above it."""
    hung = bridle(100.0, 60.0, (100.0, math.hypot(40.0, 20.0)))
    assert (hung.along, hung.above) == pytest.approx((60.0, 80.0), rel=1e-9)
    assert sum(hung.shares) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("lengths", [(40.0, 50.0), (300.0, 100.0), (101.0, 10.0)])
def test_slings_that_cannot_hang_the_hook_between_the_picks_are_refused(lengths):
    with pytest.raises(InputError):
        bridle(100.0, 0.0, lengths)


def test_past_30_degrees_is_flagged_and_past_45_is_refused_unless_asked():
    assert not check_sling(math.radians(30.0), 1.0, None).over_working_limit
    assert check_sling(math.radians(31.0), 1.0, None).over_working_limit
    with pytest.raises(InputError, match="spreader"):
        check_sling(math.radians(46.0), 1.0, None)
    assert check_sling(math.radians(46.0), 1.0, None, allow_flat=True).over_working_limit
    with pytest.raises(InputError):
        check_sling(math.radians(61.0), 1.0, None, allow_flat=True)


def test_a_tag_decides_within_or_over_and_no_tag_decides_nothing():
    assert check_sling(0.1, 999.0, 1000.0).within is True
    assert check_sling(0.1, 1001.0, 1000.0).within is False
    assert check_sling(0.1, 1001.0, None).within is None


def test_a_level_leg_is_refused():
    with pytest.raises(InputError):
        tension_factor(math.radians(90.0))


def test_thirty_degrees_takes_slings_as_long_as_the_picks_are_apart():
    assert sling_for_angle(96.0, math.radians(30.0)) == pytest.approx(96.0, rel=1e-12)
