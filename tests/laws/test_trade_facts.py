"""Facts every crew lead knows, found again in the numbers."""

import math

import pytest

from bracing.check import check
from bracing.codes.joints import Joint, Ply
from bracing.codes.nds.fastener import fastener_capacity
from bracing.job.fasteners import fastener
from bracing.reading.jobs import job_from_text
from bracing.text.quantities import in_words
from bracing.work.joints import choose_fasteners
from tests.wall_files import wall_text

NAILS = {
    "head_fastener": "gun nail 0.131x3",
    "cleat_fastener": "gun nail 0.131x3",
    "floor_fastener": "gun nail 0.131x3-1/2",
}
GUST = 30.0


def checked(gust=GUST, **changes):
    return check(job_from_text(wall_text(**changes), "test.toml"), gust=gust, effects=False)


def links(result, name, direction):
    return [link for link in result.evaluation.links if link.link == name and link.direction == direction]


def most(result, name, direction):
    return max(link.demand for link in links(result, name, direction))


def test_a_steeper_brace_lifts_the_wall_harder():
    flat, steep = checked(set_back="10 ft"), checked(set_back="6 ft")
    # The level force changes little (statics fix its sum), so the lift grows nearly as tan does.
    grown = most(steep, "stud to sheathing", "push") / most(flat, "stud to sheathing", "push")
    assert grown == pytest.approx(
        10.0 / 6.0, abs=0.15 * 10.0 / 6.0
    )  # stiffness shares out a little differently


def test_a_steeper_brace_draws_its_foot_harder():
    assert checked(set_back="6 ft").limit < checked(set_back="10 ft", size="2x8").limit
    flat, steep = (links(checked(set_back=d), "cleat to floor", "pull") for d in ("10 ft", "6 ft"))
    assert min(link.limit_gust for link in steep) < min(link.limit_gust for link in flat)


@pytest.mark.parametrize(("high", "low"), [(11.0, 9.0), (10.0, 8.0)])
def test_a_lower_head_takes_more_force(high, low):
    sums = []
    for head in (high, low):
        forces = checked(head=f"{head:g} ft").evaluation.forces[0]
        sums.append(forces.at(forces.states.brace, GUST).sum(axis=1))
    # Moments about the plate: the same wind, all heads at one height.
    assert sums[1] / sums[0] == pytest.approx(high / low, abs=1e-6)


@pytest.mark.parametrize("name", ["gun nail 0.131x3", "16d common", "20d common", "10d box"])
def test_a_nail_in_green_lumber_loses_three_quarters_in_withdrawal(name):
    wood = Ply("wood", 1.5, 0.42)
    green, dry = (
        fastener_capacity(Joint(fastener(name), plies=(wood, wood), moisture=m)) for m in ("green", "dry")
    )
    assert green.withdrawal == pytest.approx(0.25 * dry.withdrawal, abs=1e-9)


@pytest.mark.parametrize("name", ["structural screw 0.22x3", "wood screw #10x3", "lag 1/4x3"])
def test_a_screw_in_green_lumber_loses_only_three_tenths(name):
    wood = Ply("wood", 1.5, 0.42)
    green, dry = (
        fastener_capacity(Joint(fastener(name), plies=(wood, wood), moisture=m)) for m in ("green", "dry")
    )
    assert green.withdrawal == pytest.approx(0.7 * dry.withdrawal, abs=1e-9)


@pytest.mark.parametrize("size", ["2x4", "2x6"])
def test_an_untied_16_ft_2x_counts_for_nothing_in_push(size):
    # 9 ft up and 13 ft 3 in out is 16 ft: le/d = 192/1.5 = 128, and past 75 nothing counts.
    result = checked(size=size, ties=0, set_back="13 ft 3 in")
    assert all(brace.length == pytest.approx(192.0, abs=1.0) for brace in result.job.braces)
    assert all(
        "nothing in push" in in_words(brace.not_counted) and "75" in in_words(brace.not_counted)
        for brace in result.braces
    )
    assert (result.verdict, result.limit) == ("over", 0.0)


def test_one_tie_row_brings_the_16_ft_2x_back():
    result = checked(size="2x4", ties=1, set_back="13 ft 3 in")  # le/d = 64
    assert not any(brace.not_counted for brace in result.braces)
    assert result.limit > 20.0


def test_an_ordinary_plate_at_16_in_lets_go_first_under_steep_braces():
    steep, more = checked(extras=0, set_back="5 ft 6 in"), checked(extras=8, set_back="5 ft 6 in")
    assert steep.gives_first.link == "plate shear and uplift"
    assert "16d common" in in_words(steep.gives_first.why)
    # Screws beside each brace take the lift, and then something else is first.
    assert more.gives_first.link != "plate shear and uplift"
    assert more.limit > steep.limit
    # A flatter brace lifts the same plate less.
    assert checked(extras=0, set_back="11 ft").limit > steep.limit


def test_with_nails_the_wall_is_over_sooner_and_the_joint_that_is_why_is_named():
    """Through a flat cleat: one on edge is too deep for a nail to reach the floor."""
    nails, screws = checked(**NAILS, lie="flat"), checked(lie="flat")
    assert nails.limit < screws.limit
    first = nails.gives_first
    assert (first.link, first.direction) == ("cleat to floor", "pull")
    assert "gun nail 0.131x3-1/2" in in_words(first.why)
    assert "drawn out" in in_words(first.why)


def test_in_shear_nails_catch_up_by_number_in_withdrawal_they_do_not():
    result = choose_fasteners(job_from_text(wall_text(lie="flat"), "test.toml"), gust=28.0)
    needed = {
        (joint.joint, c.fastener): c.needed
        for joint in result.joints
        for c in joint.choices
        if c.moisture == "green"
    }
    # In shear they need the same order of number; pulled out of green wood a nail is worth a fraction.
    assert needed["head", "16d common"] <= 2 * needed["head", "structural screw 0.22x3"]
    assert needed["cleat to floor", "16d common"] >= 4 * needed["cleat to floor", "structural screw 0.22x5"]


def test_twice_the_gust_is_four_times_the_wind_in_every_brace():
    forces = checked().evaluation.forces[0]
    wind = [forces.at(forces.brace, gust) - forces.at(forces.brace, 0.0) for gust in (20.0, 40.0)]
    assert wind[1] == pytest.approx(4.0 * wind[0], rel=1e-9, abs=1e-9)


def test_a_cleat_on_one_side_rolls_and_gives_sooner():
    one, two = (links(checked(sides=n), "cleat to floor", "pull") for n in (1, 2))
    assert min(link.limit_gust for link in one) < min(link.limit_gust for link in two)


def test_the_deck_alone_is_no_joist():
    deck, joist = (links(checked(joist=j), "cleat to floor", "pull") for j in ("deck", "joist"))
    assert min(link.limit_gust for link in deck) < 0.7 * min(link.limit_gust for link in joist)


def test_lift_is_the_level_force_times_the_rise_over_the_run():
    result = checked(set_back="6 ft")
    forces = result.evaluation.forces[0]
    level = forces.at(forces.brace, GUST).max()
    assert most(result, "stud to sheathing", "push") == pytest.approx(
        level * math.tan(math.atan2(9.0, 6.0)), abs=1e-6
    )
