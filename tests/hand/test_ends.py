"""The ends of the chain worked by hand: every number on the right stands in its own line of arithmetic."""

import math

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.groups import all_that_push
from bracing.chain.plate import ACROSS_GRAIN
from bracing.codes import ends
from bracing.job.wall import Opening, Studs, Wall
from bracing.panel.on_springs import stick_on_springs
from bracing.panel.spread import spread_along
from bracing.panel.weight import plate_pieces, take_off, weight_along, weight_changes, wood_density

EXACT = 1e-9


def near(value, within=EXACT, *, because=""):
    assert because or within == EXACT
    return pytest.approx(value, rel=within, abs=1e-12)


# A stick on springs.


def test_two_springs_are_statics():
    """100 lb over 8 to 12 in of a 20 in stick held at 4 and 14: 60 % is nearer the first. (14 - 10)/10 = 0.4 of it."""
    stick = stick_on_springs((4.0, 14.0), length=20.0, EI=2e5, K=3e4, stretch=(8.0, 12.0))
    assert stick.pull(100.0, 0.0) == near([40.0, 60.0], 1e-6, because="a matrix of stiffness")
    assert stick.pull(0.0, 100.0) == near([-10.0, 10.0], 1e-6, because="a matrix of stiffness")
    # 40 (x - 4) until 8; then less 25 (x - 8)^2/2: most where 40 = 25 (x - 8), x = 9.6: 40 x 5.6 - 12.5 x 2.56 = 192
    assert stick.moment(100.0, 0.0) == near(192.0, 0.01, because="read at eight places of the stretch")


def foundation(K, s, EI, n):
    """Hetenyi's finite beam on an even bed, a load at its middle: worst pressure over the even one."""
    lam = (K / (4.0 * s * EI)) ** 0.25
    q = lam * n * s
    return q / 2.0 * (2.0 + math.cosh(q) + math.cos(q)) / (math.sinh(q) + math.sin(q))


@pytest.mark.parametrize("EI", [3e5, 1.2e6, 1e7, 1e8])
def test_many_springs_are_an_even_bed(EI):
    n, length, K = 81, 24.0, 900.0
    s = length / n
    at = tuple((k + 0.5) * s for k in range(n))
    stick = stick_on_springs(at, length=length, EI=EI, K=K, stretch=(12.0 - 1e-3, 12.0 + 1e-3))
    worst = n * max(stick.pull(1.0, 0.0))
    assert worst == near(foundation(K, s, EI, n), 0.01, because="springs one by one beside an even bed")


def test_the_pulls_balance_the_load_and_the_couple():
    at = (2.5, 7.0, 12.5, 17.0, 22.5)
    stick = stick_on_springs(at, length=24.0, EI=1.18e6, K=3e4, stretch=(9.0, 13.5))
    drawn, turned = stick.pull(1.0, 0.0), stick.pull(0.0, 1.0)
    assert sum(drawn) == near(1.0, 1e-7, because="a matrix of stiffness")
    assert sum(p * x for p, x in zip(drawn, at, strict=True)) == near(
        11.25, 1e-7, because="a matrix of stiffness"
    )
    assert abs(sum(turned)) < 1e-7
    assert sum(p * x for p, x in zip(turned, at, strict=True)) == near(
        1.0, 1e-7, because="a matrix of stiffness"
    )


def test_a_limp_cleat_of_five_screws():
    """A flat 2x4 of 24 in on five 0.22 in screws 1.5 in deep: the worst takes about 2.3 shares; a 2x6 on edge 1.1."""
    K = ends.axial_slip(0.22, 1.5)
    flat = stick_on_springs(
        (3.0, 7.5, 12.0, 16.5, 21.0), length=24.0, EI=1.2e6 * 3.5 * 1.5**3 / 12.0, K=K, stretch=(10.5, 13.5)
    )
    edge = stick_on_springs(
        (3.0, 9.0, 15.0, 21.0), length=24.0, EI=1.2e6 * 1.5 * 5.5**3 / 12.0, K=K, stretch=(8.5, 15.5)
    )
    assert 5.0 * max(flat.pull(1.0, 0.0)) == pytest.approx(2.3, abs=0.05)
    assert 4.0 * max(edge.pull(1.0, 0.0)) == pytest.approx(1.1, abs=0.05)


# Lift spread along a plate.


def most(spread, lifts):
    return (spread.share @ np.array(lifts)).max()


def test_a_lone_lift_peaks_at_a_panel_width():
    assert most(spread_along(((0.0, 480.0),), (240.0,)), [480.0]) == near(10.0)  # 480 / 48


def test_a_lift_at_an_end_is_folded_back():
    """All of it is held by the half of the hat that has plate: twice as much there."""
    assert most(spread_along(((0.0, 480.0),), (0.0,)), [480.0]) == near(20.0)
    # 12 in from a door: its own 1/48 and, of the image 24 in away, half of that
    assert most(spread_along(((100.0, 480.0),), (112.0,)), [480.0]) == near(15.0)


def test_two_lifts_two_feet_apart():
    """At either: its own 1/48 and half of the other's."""
    assert most(spread_along(((0.0, 480.0),), (228.0, 252.0)), [480.0, 480.0]) == near(15.0)


def test_a_short_piece_holds_all_of_its_lift_evenly_enough():
    spread = spread_along(((0.0, 12.0),), (6.0,))
    assert np.trapezoid(spread.share[:, 0], spread.x) == near(1.0)
    # Folded eight times over, the hat is 1/12 and little else: mean of what it sums to.
    assert spread.share.min() == near(1.0 / 12.0)
    assert spread.share.max() == near(1.0 / 12.0)


@pytest.mark.parametrize("seed", range(40))
def test_every_lift_is_held_whole_and_on_its_own_piece(seed):
    rng = np.random.default_rng(seed)
    ends_of = np.sort(rng.uniform(0.0, 500.0, 4))
    pieces = ((float(ends_of[0]), float(ends_of[1])), (float(ends_of[2]), float(ends_of[3])))
    lifts = tuple(float(rng.uniform(*pieces[k % 2])) for k in range(5))
    spread = spread_along(pieces, lifts)
    for k in range(5):
        own = spread.piece == k % 2
        assert np.trapezoid(spread.share[own, k], spread.x[own]) == near(
            1.0, 1e-6, because="ends are taken as touching"
        )
        assert not spread.share[~own, k].any()
    # No place between those read has more: the share is a straight line there.
    fine = spread_along(pieces, lifts, also=tuple(rng.uniform(0.0, 500.0, 200)))
    assert most(fine, [1.0, 2.0, 0.5, 3.0, 1.0]) == near(most(spread, [1.0, 2.0, 0.5, 3.0, 1.0]))


# The plate.


def test_the_edge_of_a_plate_lifted():
    assert ends.lift_at_row(100.0, 5.5, 2.75) == near(200.0)  # twice, in the middle
    assert ends.lift_at_row(100.0, 5.5, 4.75) == near(100.0 * 5.5 / 4.75)  # 3/4 in from the sheathed edge
    assert float(ends.lift_at_row(100.0, 5.5, 4.75)) == pytest.approx(116.0, abs=0.5)


def test_an_inch_of_plate_across_the_grain():
    """40 psi x 1.5^2 / 6 = 15 lb in: a row in the middle of a 2x6 meets it at 15/2.75 = 5.45 lb in each inch."""
    m = ends.across_grain_moment(40.0, 1.5)
    assert m == near(15.0)
    assert m / (5.5 - 2.75) == pytest.approx(5.45, abs=0.005)


def test_the_allowable_across_the_grain():
    """0.4 N/mm^2 x 0.9 / 1.3 = 0.277 N/mm^2; 145.04 psi in one: 40.2 psi."""
    allowed = 0.4 * 0.9 / 1.3 * 145.0377
    assert allowed == pytest.approx(40.0, abs=0.25)
    ours = ACROSS_GRAIN
    assert ours == pytest.approx(allowed, abs=0.25)


# The panel under a foot.


def test_a_panel_half_way_between_its_joists():
    assert ends.panel_to_joists(400.0, 8.0, 16.0) == near(200.0)
    assert ends.panel_to_joists(400.0, 0.0, 16.0) == near(400.0)  # nobody knows where: all on one


def test_blocks_under_a_cleat():
    """400 lb on a cleat, its worst of four fasteners at 1.3 of the mean: two blocks, 400 x 1.3 / 2; one has it all.

    Three nails of 60 lb at each end: three take half the lift, 180 lb at one end, 360 at both.
    """
    assert ends.lift_on_block(400.0, 1.3, 2) == near(260.0)
    assert ends.lift_on_block(400.0, 1.3, 1) == near(400.0)
    assert ends.block_ends_hold(60.0, 3) == near(360.0)


def test_cross_cleats_under_both_ends_of_a_foot():
    """A 24 in foot at 45 degrees, its cross cleats 18 in apart, the level force 4 1/4 in above the joists' panel.

    For 100 lb level: half of 100 lb lifted, 50, and 100 x 4.25 / 18 = 23.6: 73.6 lb on one of them. Half-way between
    joists 16 in apart it is a beam with its load in the middle: 36.8 lb at either end, times 8 in, 294.4 lb in. 4 in
    from the nearer joist three quarters of it, 55.2 lb, come to that one.
    """
    U = 100.0 * ends.lift_on_cross_cleat(math.radians(45.0), 4.25, 18.0)
    assert float(U) == near(50.0 + 425.0 / 18.0)
    assert ends.moment_of_cross_cleat(U, 16.0) == near(U / 2.0 * 8.0)
    assert ends.moment_of_cross_cleat(U, 16.0) == pytest.approx(294.4, abs=0.1)
    assert ends.panel_to_joists(U, 4.0, 16.0) == pytest.approx(55.2, abs=0.05)


def test_the_couple_of_a_plumb_head():
    assert ends.head_couple(500.0, math.radians(50.0), 5.5) == near(
        500.0 * math.tan(math.radians(50.0)) * 2.75
    )


def test_a_brace_lost_in_the_gust_never_asks_less_than_at_rest():
    assert ends.lost_in_gust(100.0, 160.0) == near(220.0)
    assert ends.lost_in_gust(0.0, 60.0) == near(120.0)


def test_a_fastener_near_the_level_cut():
    assert ends.part_near_cut(2.52, 3.0) == near(0.84)
    assert ends.part_near_cut(1.49, 3.0) == 0.0


def test_a_tie_and_its_diagonal():
    assert ends.tie_force(2000.0) == near(40.0)
    assert ends.along_diagonal(3 * 40.0, math.radians(60.0)) == near(240.0)


# What the wall weighs on its plate.

PLAIN = Wall(name="W", top=((0.0, 97.5), (192.0, 97.5)), layers=("osb 7/16",))


def test_the_weight_along_a_level_wall():
    """2x6 SPF at 12%: 62.4 x 0.42/(1 + 0.009 x 0.42 x 12) x 1.12 = 28.08 lb/ft3, x 8.25/1728 = 0.1341 lb/in a stick.

    Three plates 0.4022; a stud of 93 in every 16 in 12.47/16 = 0.7793; panel 1.4 psf (0.00972 psi) x 97.5 = 0.948.
    """
    wall = Wall(
        name="W",
        top=((0.0, 97.5), (192.0, 97.5)),
        studs=Studs(size="2x6", spacing=16.0, species="SPF"),
        layers=("osb 7/16",),
    )
    density = 62.4 * 0.42 / (1.0 + 0.009 * 0.42 * 12.0) * 1.12
    each = density * 8.25 / 1728.0
    expected = 3.0 * each + 93.0 * each / 16.0 + 1.4 / 144.0 * 97.5
    assert weight_along(wall, [103.0])[0] == near([expected, expected])
    assert expected == pytest.approx(2.13, abs=0.005)


def test_all_of_a_wall_stands_on_its_plate():
    """But the header and its cripples over a door, which stand on nothing there."""
    whole = take_off(evolve(PLAIN, moisture="dry"))
    lumber = sum(part.weight_lb for part in whole.parts if part.name not in PLAIN.layers)
    at = np.unique([*np.linspace(0.0, 192.0, 20_001), *weight_changes(PLAIN)])
    sides = weight_along(PLAIN, at.tolist())
    along = np.sum(np.diff(at) * (sides[:-1, 1] + sides[1:, 0]) / 2.0)
    dry = wood_density(0.36, 12.0) / wood_density(0.36, 15.0)  # spruce-pine-fir (south), undeclared
    assert along == near(
        whole.weight - lumber + lumber * dry, 1e-6, because="a step is read a millionth of an inch from it"
    )


def test_a_door_carries_nothing_below_its_header():
    wall = evolve(PLAIN, openings=(Opening(left=60.0, sill=0.0, width=36.0, height=80.0),))
    assert plate_pieces(wall) == ((0.0, 60.0), (96.0, 192.0))
    assert weight_along(wall, [30.0])[0] == near(weight_along(PLAIN, [30.0])[0].tolist())


def test_three_ties_on_one_row():
    """Thrusts of 1000, 1500 and 500 lb: 20, 30 and 10 lb at the ties, 60 in the row; a diagonal 3/4 of the brace long
    from its middle rises by 1/2 in 3/4: sin 2/3, cos 0.745356; 60 / 0.745356 = 80.50 lb."""
    each = [ends.tie_force(N) for N in (1000.0, 1500.0, 500.0)]
    assert each == near([20.0, 30.0, 10.0])
    assert ends.along_diagonal(sum(each), math.asin(2.0 / 3.0)) == near(
        80.498, 1e-4, because="worked to five figures"
    )


def test_a_brace_that_turns_takes_nothing_off_the_row():
    """Thrusts 100 - v^2, 50 + 2 v^2 and -30 + 0.5 v^2 lb by gust squared v^2; those that push are summed.

    At 0: 150. At 50: 50 + 150 + 0 = 200. At 64: 36 + 178 + 2 = 216. At 144: 0 + 338 + 42 = 380.
    """
    lines = all_that_push(np.array([[[100.0, -1.0], [50.0, 2.0], [-30.0, 0.5]]]))
    for squared, expected in ((0.0, 150.0), (50.0, 200.0), (64.0, 216.0), (144.0, 380.0)):
        assert (lines[:, 0] + lines[:, 1] * squared).max() == near(expected)
