"""A wall on its way up is in balance at every tilt, whatever it is like and whatever the wind does."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bracing.lift.line import TiltBody, past_centre, pull, slack_gust, slack_tilt
from bracing.lift.slings import bridle

bodies = st.builds(
    TiltBody,
    weight=st.floats(100.0, 20_000.0),
    up=st.floats(30.0, 200.0),
    behind=st.floats(0.5, 8.0),
    pick_up=st.floats(40.0, 360.0),
    pick_behind=st.floats(0.0, 8.0),
    wind_moment_per_mph2=st.floats(1.0, 2_000.0),
    wind_force_per_mph2=st.floats(0.05, 20.0),
)


@settings(max_examples=200, deadline=None)
@given(
    body=bodies,
    degrees=st.floats(0.0, 90.0),
    gust=st.floats(0.0, 40.0),
    from_outside=st.booleans(),
    lean_degrees=st.floats(-10.0, 10.0),
)
def test_forces_and_moments_balance_at_any_tilt(body, degrees, gust, from_outside, lean_degrees):
    """Rebuilt from points and vectors in the plane across the wall, not from the levers of the module."""
    tilt, lean = math.radians(degrees), math.radians(lean_degrees)
    found = pull(body, tilt, gust=gust, from_outside=from_outside, lean=lean)
    if not found.line:
        return
    along = complex(math.cos(tilt), math.sin(tilt))  # up the wall; the real axis runs toward the house
    square = along * 1j  # from the inside face outward
    wind = body.wind_force_per_mph2 * gust**2 * (-square if from_outside else square)
    wind_at = along * body.wind_moment_per_mph2 / body.wind_force_per_mph2
    line = found.line * complex(-math.sin(lean), math.cos(lean))
    line_at = along * body.pick_up + square * body.pick_behind
    weight = complex(0.0, -body.weight)
    weight_at = along * body.up + square * body.behind
    foot = complex(-found.foot_out, found.foot_up)
    total = wind + line + weight + foot
    turning = sum(
        (at.conjugate() * f).imag for at, f in ((wind_at, wind), (line_at, line), (weight_at, weight))
    )
    size = body.weight + abs(wind) + found.line
    assert abs(total) <= 1e-9 * size
    assert abs(turning) <= 1e-9 * size * (body.pick_up + body.up + abs(wind_at))


@settings(max_examples=200, deadline=None)
@given(weight=st.floats(100.0, 20_000.0), high=st.floats(72.0, 360.0))
def test_an_even_wall_picked_at_its_top_starts_at_half_its_weight(weight, high):
    even = TiltBody(weight, high / 2.0, 0.0, high, 0.0, 1.0, 1.0)
    for degrees in (0, 30, 60, 85):
        assert pull(even, math.radians(degrees)).line == pytest.approx(weight / 2.0, rel=1e-9)


@settings(max_examples=200, deadline=None)
@given(body=bodies)
def test_the_line_goes_slack_past_the_centre_and_not_before(body):
    over = past_centre(body)
    assert pull(body, min(over + 0.01, math.pi / 2.0 + 0.01)).line == 0.0
    before = pull(body, over - 0.01).line
    assert before is None or before > 0.0


@settings(max_examples=200, deadline=None)
@given(body=bodies, gust=st.floats(1.0, 40.0))
def test_slack_tilt_and_slack_gust_are_two_readings_of_one_balance(body, gust):
    tilt = slack_tilt(body, gust)
    if tilt > 0.0:
        assert slack_gust(body, tilt) == pytest.approx(gust, rel=1e-6)
        assert pull(body, tilt + 1e-3, gust=gust, from_outside=False).line == 0.0


@settings(max_examples=200, deadline=None)
@given(body=bodies, gust=st.floats(1.0, 30.0))
def test_more_wind_slacks_the_line_earlier(body, gust):
    assert slack_tilt(body, gust * 1.2) <= slack_tilt(body, gust)


@settings(max_examples=200, deadline=None)
@given(
    apart=st.floats(60.0, 400.0),
    rise=st.floats(-80.0, 80.0),
    one=st.floats(1.02, 2.5),
    uneven=st.floats(-0.15, 0.15),
)
def test_a_bridle_balances_the_hook(apart, rise, one, uneven):
    straight = math.hypot(apart, rise)
    lengths = (one * straight, (one + uneven) * straight)
    try:
        hung = bridle(apart, rise, lengths)
    except ValueError:
        return  # slings that do not hang the hook between the picks are refused
    first = hung.tensions[0] * math.sin(hung.angles[0]), hung.tensions[0] * math.cos(hung.angles[0])
    second = hung.tensions[1] * math.sin(hung.angles[1]), hung.tensions[1] * math.cos(hung.angles[1])
    assert first[0] == pytest.approx(second[0], abs=1e-9)
    assert first[1] + second[1] == pytest.approx(1.0, abs=1e-9)
    assert math.hypot(hung.along, hung.above) == pytest.approx(lengths[0], rel=1e-9)
    assert math.hypot(apart - hung.along, hung.above - rise) == pytest.approx(lengths[1], rel=1e-9)


@pytest.mark.proof
@pytest.mark.parametrize(
    "law", [test_forces_and_moments_balance_at_any_tilt, test_a_bridle_balances_the_hook]
)
def test_balances_at_ten_thousand(law):
    settings(max_examples=10_000, deadline=None)(law)()
