"""The foot: kick-out, see-saw, hands and the published rules of raising by hand."""

from __future__ import annotations

import pytest

from bracing.lift.foot import FootHold, foot_by_machine, foot_links, hand_raise, push_by_hand
from bracing.lift.line import TiltBody
from bracing.text.quantities import in_words

EVEN = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25)


def by_hand(body=EVEN, highest=120.0, length=240.0, lift_each=50.0, reach=78.0):
    return hand_raise(body, highest=highest, length=length, lift_each=lift_each, reach=reach)


def test_still_air_and_a_plumb_line_leave_the_foot_on_the_floor():
    assert foot_by_machine(EVEN, 0.0).uplift == 0.0


def test_thrust_grows_with_the_gust():
    thrusts = [foot_by_machine(EVEN, gust).thrust for gust in (0.0, 10.0, 20.0, 25.0)]
    assert thrusts == sorted(thrusts)
    assert thrusts[-1] > thrusts[0]


def test_a_pick_below_the_centre_of_gravity_lifts_the_foot():
    under = TiltBody(1000.0, 60.0, 0.0, 50.0, 0.0, 75.0, 1.25)
    assert foot_by_machine(under, 0.0).uplift >= 200.0 - 1e-9


def test_hands_push_hardest_at_half_tilt_once_the_head_is_out_of_reach():
    """N = W cos sin c/reach past asin(reach/head): greatest at 45 degrees, 1000 x 60/(2 x 78)."""
    found = by_hand()
    assert found.start == pytest.approx(500.0, abs=1e-9)
    assert push_by_hand(EVEN, 0.785398163, 78.0) == pytest.approx(1000 * 60 / (2 * 78), rel=1e-6)


def test_a_tall_wall_pushes_harder_half_way_up_than_at_the_start():
    tall = TiltBody(2000.0, 108.0, 0.0, 216.0, 0.0, 75.0, 1.25)
    found = by_hand(tall, highest=216.0)
    assert found.worst > found.start
    assert found.worst == pytest.approx(2000 * 108 / (2 * 78), rel=1e-3)


def test_people_are_the_larger_of_the_lift_each_and_one_for_every_ten_feet():
    light = TiltBody(100.0, 48.0, 0.0, 96.0, 0.0, 1.0, 1.0)
    assert by_hand(light, highest=96.0, length=600.0).people == 5
    assert by_hand().people == 10


@pytest.mark.parametrize(
    ("highest", "count", "allowed"), [(119.9, 1, True), (120.0, 2, True), (215.9, 2, True), (216.0, 3, False)]
)
def test_the_ten_and_eighteen_foot_rules(highest, count, allowed):
    found = by_hand(highest=highest)
    assert (len(found.rules), found.by_hand) == (count, allowed)
    assert all("(" in rule for rule in in_words(list(found.rules)))


def test_unlike_holds_are_not_added():
    straps = FootHold("straps", 4, 300.0, 250.0, "report 1")
    blocks = FootHold("stop blocks", 6, 150.0, 0.0, "report 2")
    demand = foot_by_machine(EVEN, 20.0)
    kick, saw = foot_links(demand, (straps, blocks))
    assert (kick.capacity, saw.capacity) == (1200.0, 1000.0)


def test_nothing_declared_holds_nothing():
    kick, _ = foot_links(foot_by_machine(EVEN, 20.0), ())
    assert (kick.capacity, kick.within, kick.ratio) == (0.0, False, None)
