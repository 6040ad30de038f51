"""The line, the foot and the lift's wind limit, against sums done by hand."""

from __future__ import annotations

import math

import pytest

from bracing.lift.line import LiftGust, TiltBody, lift_gust, past_centre, pull, rig_for, tag_line_pull
from bracing.text.quantities import in_words

# 1000 lb, 10 ft, even and thin; at 20 mph the wind is 500 lb at mid-height
EVEN = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25)


def test_a_low_pick_takes_more_than_half_and_can_lift_the_foot():
    low = TiltBody(1000.0, 60.0, 0.0, 80.0, 0.0, 75.0, 1.25)
    assert pull(low, 0.0).line == pytest.approx(750.0, abs=1e-9)
    under = TiltBody(1000.0, 60.0, 0.0, 50.0, 0.0, 75.0, 1.25)
    assert pull(under, 0.0).line == pytest.approx(1200.0, abs=1e-9)
    assert pull(under, 0.0).foot_up == pytest.approx(-200.0, abs=1e-9)


def test_thickness_lets_the_line_off_as_the_wall_comes_up():
    thick = TiltBody(1000.0, 60.0, 3.0, 120.0, 3.0, 75.0, 1.25)
    forces = [pull(thick, math.radians(d)).line for d in (0, 45, 80, 86)]
    assert forces == sorted(forces, reverse=True)
    assert math.degrees(past_centre(thick)) == pytest.approx(87.1376, abs=1e-4)


def test_wind_from_outside_adds_to_the_line_and_from_inside_takes_from_it():
    tilt = math.radians(60.0)  # lever 30 in; wind 500 lb at 60 in; line lever 60 in
    assert pull(EVEN, tilt, gust=20.0).line == pytest.approx((30_000 + 30_000) / 60, abs=1e-6)
    assert pull(EVEN, tilt, gust=19.0, from_outside=False).line == pytest.approx(
        (30_000 - 27_075) / 60, abs=1e-6
    )
    assert pull(EVEN, tilt, gust=21.0, from_outside=False).line == 0.0


def test_a_line_with_no_lever_left_says_so():
    low_and_deep = TiltBody(1000.0, 60.0, 0.5, 60.0, 6.0, 75.0, 1.25)
    assert pull(low_and_deep, math.radians(88.0)).line is None


def test_a_leaning_line_pushes_the_foot_the_other_way():
    out = pull(EVEN, 0.0, lean=math.radians(5.0))
    back = pull(EVEN, 0.0, lean=math.radians(-5.0))
    assert out.foot_out == pytest.approx(-500.0 * math.tan(math.radians(5.0)), abs=1e-9)
    assert back.foot_out == pytest.approx(500.0 * math.tan(math.radians(5.0)), abs=1e-9)


def test_tag_lines_hold_the_wind_at_plumb():
    assert tag_line_pull(EVEN, 20.0, 120.0) == pytest.approx(500.0 * 60.0 / 120.0, abs=1e-9)


@pytest.mark.parametrize(
    ("gusts", "limit", "first"),
    [
        (LiftGust(25.0, 31.9, None), 25, "published practice"),
        (LiftGust(25.0, 14.99, None), 14, "slack"),
        (LiftGust(25.0, 31.9, 11.2), 11, "tag lines"),
    ],
)
def test_the_limit_is_the_least_rounded_down(gusts, limit, first):
    assert gusts.limit == limit
    assert first in in_words(gusts.gives_first)


def test_declared_tag_lines_can_only_lower_the_limit():
    free = lift_gust(EVEN, tag_height=120.0)
    assert lift_gust(EVEN, tag_height=120.0, tag_pull=50.0).limit < free.limit
    assert lift_gust(EVEN, tag_height=120.0, tag_pull=1e6).limit == free.limit


def test_rigging_is_for_the_whole_weight_and_its_dynamic_part():
    assert rig_for(1000.0, 0.25) == pytest.approx(1250.0, abs=1e-9)
