"""A wall hung at its picks: pulls by statics, bending against a beam worked by hand, folds found."""

from __future__ import annotations

import numpy as np
import pytest

from bracing.errors import InputError, MechanismError
from bracing.job.wall import Opening, Row, Studs, Wall
from bracing.lift.picks import choose_picks, curvatures, hang, pick_at, row_across, slope_at, worth_of_rows
from bracing.panel.weight import take_off

LEVEL = ((0.0, 120.0), (384.0, 120.0))
GABLE = ((0.0, 108.0), (180.0, 180.0), (360.0, 108.0))


def hung(top=LEVEL, drop=0.0, **changes):
    studs = Studs(size="2x6", spacing=16.0, species="hem-fir", grade="No.2")
    wall = Wall(name="W", top=top, studs=studs, layers=("osb 7/16",), moisture="dry", **changes)
    return hang(wall, take_off(wall), drop=drop, dynamic=0.25)


def test_an_even_wall_pulls_evenly_and_the_hook_hangs_over_its_middle():
    wall = hung()
    plan = pick_at(wall, [96.0, 288.0])
    assert [pick.share for pick in plan.picks] == pytest.approx([0.5, 0.5], abs=1e-9)
    assert plan.hook_x == pytest.approx(192.0, abs=1e-9)
    pulls = sum(pick.load for pick in plan.picks)
    assert pulls == pytest.approx(wall.weight.weight * wall.weight.z_cg / 120.0, rel=1e-6)


def test_top_plate_bending_against_a_beam_by_hand():
    """Each stud hangs on the plate with its width's part of the pull; the overhang bends it at the pick."""
    wall = hung()
    plan = pick_at(wall, [96.0, 288.0])
    per_inch = sum(pick.load for pick in plan.picks) / 384.0
    at_end, between = 0.75 + (16.0 - 0.75) / 2.0, 16.0  # widths of the end stud and of a stud on the layout
    overhang = per_inch * (at_end * (96.0 - 0.75) + between * sum(96.0 - 16.0 * k for k in range(1, 6)))
    width = {0.75: at_end, 16.0: (16.0 - 0.75) / 2.0 + 8.0}
    overhang -= per_inch * (between - width[16.0]) * (96.0 - 16.0)
    middle = per_inch * 384.0 / 2.0 * (192.0 - 96.0) - per_inch * 192.0 * 96.0
    stress = max(overhang, abs(middle)) * 1.25 / (2.0 * 1.5 * 5.5**2 / 6.0)
    allowable = 850.0 * 1.3 * 1.25  # hem-fir No.2, size factor of a 2x6, seven-day load
    assert plan.bending.plate == pytest.approx(stress / allowable, rel=0.02)  # studs are not a smooth load


def test_stud_bending_against_a_simple_beam():
    """A stud between hinge and plate carries its 16 in of the weight: w L^2/8."""
    wall = hung()
    plan = pick_at(wall, [96.0, 288.0])
    load = wall.weight.weight / 384.0 / 120.0 * 16.0
    stress = load * 120.0**2 / 8.0 * 1.25 / (1.5 * 5.5**2 / 6.0)
    assert plan.bending.stud == pytest.approx(stress / (850.0 * 1.3 * 1.25), rel=0.02)


def test_the_best_pair_is_near_a_quarter_in_from_each_end_and_no_named_pair_beats_it():
    wall = hung()
    best = choose_picks(wall, 2)
    assert best.picks[0].x == pytest.approx(0.21 * 384.0, abs=16.0)
    assert best.picks[0].x + best.picks[1].x == pytest.approx(384.0, abs=1e-6)
    for left in (48.0, 64.0, 96.0, 128.0):
        assert pick_at(wall, [left, 384.0 - left]).bending.worst >= best.bending.worst - 1e-9


def test_more_picks_bend_it_less():
    wall = hung()
    worst = [choose_picks(wall, count).bending.plate for count in (2, 3, 4)]
    assert worst == sorted(worst, reverse=True)


def test_a_rake_is_picked_over_its_centre_of_gravity():
    wall = hung(top=((0.0, 108.0), (360.0, 216.0)))
    plan = choose_picks(wall, 2)
    assert plan.hook_x == pytest.approx(wall.weight.x_cg, abs=6.0)
    assert plan.hook_x > 180.0


def test_a_gable_folds_at_its_peak_without_a_row_and_not_with_one():
    with pytest.raises(MechanismError):
        choose_picks(hung(top=GABLE), 2)
    across = row_across(hung(top=GABLE).wall)
    plan = choose_picks(hung(top=GABLE, rows=(across,)), 2)
    assert plan.bending.row > 0.0
    assert plan.hook_x == pytest.approx(180.0, abs=6.0)  # the layout is not the same seen from both ends


def test_a_strongback_is_worth_something_and_a_wale_less():
    wall = hung()
    plan = choose_picks(wall, 2)
    plain, wale, strongback, _ = worth_of_rows(wall, plan.picks, drop=0.0)
    assert strongback.bending.sag < wale.bending.sag < plain.bending.sag
    assert strongback.bending.plate < plain.bending.plate


def test_returns_hold_nothing_in_the_air():
    free, held = hung(), hung(left_end="return", right_end="return")
    assert choose_picks(free, 2).bending == choose_picks(held, 2).bending


def test_slings_below_the_top_pull_more():
    high, low = pick_at(hung(), [96.0, 288.0]), pick_at(hung(drop=24.0), [96.0, 288.0])
    assert sum(p.load for p in low.picks) == pytest.approx(
        sum(p.load for p in high.picks) * 120 / 96, rel=1e-6
    )


@pytest.mark.parametrize("places", [[96.0], [90.0, 288.0], [96.0, 97.0], [16.0, 96.0]])
def test_places_that_cannot_be_picks_are_refused(places):
    with pytest.raises(InputError):
        pick_at(hung(), places)


@pytest.mark.parametrize("count", [1, 5])
def test_counts_outside_two_to_four_are_refused(count):
    with pytest.raises(InputError, match="2 to 4"):
        choose_picks(hung(), count)


def test_a_wide_opening_is_bridged_not_picked():
    door = Opening(left=120.0, width=144.0, height=84.0, header="2-2x12")
    plan = choose_picks(hung(openings=(door,)), 2)
    assert not any(door.left < pick.x < door.right for pick in plan.picks)


def test_curvatures_of_a_beam_over_three_supports_pushed_up_in_the_middle():
    """A span of 2 l with a central deflection d: M = 3 EI d/l^2 at the middle."""
    bent = curvatures(np.array([0.0, 50.0, 100.0]), np.array([0.0, 0.4, 0.0]))
    assert bent.tolist() == pytest.approx([0.0, -3.0 * 0.4 / 50.0**2, 0.0], rel=1e-12)


def test_slope_at_a_peak_is_the_steeper_side():
    wall = Wall(name="W", top=((0.0, 96.0), (100.0, 196.0), (300.0, 146.0)))
    assert slope_at(wall, 100.0) == pytest.approx(1.0, abs=1e-12)
    assert slope_at(wall, 200.0) == pytest.approx(0.25, abs=1e-12)


def test_a_row_declared_is_checked_too():
    wall = hung(rows=(Row(height=96.0, kind="strongback", size="2x6"),))
    assert choose_picks(wall, 2).bending.row > 0.0
