"""One fastener in a described joint, against figures worked by hand from the published rows."""

import math

import numpy as np
import pytest
from attrs import evolve

from bracing.codes import ground as stake
from bracing.codes.joints import Joint, Ply
from bracing.codes.nds import dowels as dowel
from bracing.codes.nds import factors, spacing, withdrawal
from bracing.codes.nds import fastener as combined
from bracing.codes.nds.drive import drive
from bracing.codes.nds.fastener import fastener_capacity, hankinson_interaction, least_penetration
from bracing.errors import InputError, MissingDataError
from bracing.job.fasteners import fastener, read_user_fasteners
from bracing.text.quantities import in_words

SPF = Ply("wood", 1.5, 0.42)
POST = Ply("wood", 3.5, 0.42)
JOIST = Ply("wood", 9.25, 0.43)
DECK = Ply("panel", 0.72, 0.50)
COMMON = fastener("16d common")
SCREW = fastener("structural screw 0.22x5")
LAG = fastener("lag 3/8x4")


def capacity(one, *plies, moisture="dry", **more):
    return fastener_capacity(
        Joint(one, plies=plies, moisture=moisture, load_duration=more.pop("CD", 1.0), **more)
    )


def test_nail_in_single_shear_and_withdrawal():
    """16d common, SPF: Z 120 (table 12N), W 1380 x 0.42^2.5 x 0.162 = 25.56 lb/in over 2 in of point."""
    joint = capacity(COMMON, SPF, POST)
    assert (round(joint.lateral), joint.lateral_mode) == (120, "IV")
    assert joint.withdrawal == pytest.approx(2.0 * 25.56, abs=0.02)
    assert joint.axial_mode == "withdrawal"
    assert joint.penetration == 2.0
    assert joint.slip_modulus == pytest.approx(180e3 * 0.162**1.5, rel=1e-12)


def test_green_and_load_duration():
    dry, green = capacity(COMMON, SPF, POST), capacity(COMMON, SPF, POST, moisture="green", CD=1.6)
    assert green.lateral == pytest.approx(dry.lateral * 0.7 * 1.6, rel=1e-12)
    assert green.withdrawal == pytest.approx(dry.withdrawal * 0.25 * 1.6, rel=1e-12)
    assert green.pull_through == pytest.approx(dry.pull_through * 0.7 * 1.6, rel=1e-12)
    assert green.steel == dry.steel
    lag = [capacity(LAG, SPF, POST, moisture="green", rows=rows).lateral for rows in (1, 2)]
    assert lag[1] / lag[0] == pytest.approx(0.4 / 0.7, rel=1e-12)


def test_screw_holds_by_the_thread_in_the_main_member_only():
    """0.22x5 has 3.333 in of thread, from 1.667 in below the head: all past a 1.5 in side member."""
    per_inch = 2850.0 * 0.42**2 * 0.22
    deep = capacity(SCREW, SPF, Ply("wood", 5.5, 0.42))
    assert deep.withdrawal == pytest.approx(per_inch * 10.0 / 3.0, rel=1e-9)
    # A 2 in side member keeps a third of an inch of thread; past a 1.5 in main member 2 in comes out.
    thick = capacity(SCREW, Ply("wood", 2.0, 0.42), Ply("wood", 5.5, 0.42))
    assert thick.withdrawal == pytest.approx(per_inch * 3.0, rel=1e-9)
    out = capacity(SCREW, SPF, SPF)
    assert out.withdrawal == pytest.approx(per_inch * (3.0 - 5.0 / 3.0), rel=1e-9)


def test_a_lag_leaves_its_tip_out():
    """3/8x4 through 1.5 in: 2.5 in of point, less 7/32 of tip; bearing counts half of the tip."""
    placed = drive(LAG, (SPF, POST))
    assert placed.penetration == pytest.approx(2.5 - 7 / 32, abs=1e-12)
    assert placed.holding == pytest.approx(2.5 - 7 / 32, abs=1e-12)
    assert placed.main.length == pytest.approx(2.5 - 7 / 64, abs=1e-12)


def test_a_tip_that_comes_out_costs_no_bearing():
    assert drive(COMMON, (SPF, SPF)).main.length == pytest.approx(1.5, abs=1e-12)


@pytest.mark.parametrize(
    ("one", "multiple"), [("16d common", 6.0), ("wood screw #10x3", 6.0), ("lag 3/8x4", 4.0)]
)
def test_too_short_counts_for_nothing_in_shear(one, multiple):
    one = fastener(one)
    needed = multiple * one.diameter
    assert least_penetration(one) == pytest.approx(needed, rel=1e-12)
    tip = one.tip if one.kind == "lag" else 0.0
    just, under = one.length - needed - tip, one.length - needed - tip + 0.01
    assert capacity(one, Ply("wood", just, 0.42), Ply("wood", 9.0, 0.42)).lateral > 0.0
    short = capacity(one, Ply("wood", under, 0.42), Ply("wood", 9.0, 0.42))
    assert (short.lateral, short.lateral_mode) == (0.0, "too short")
    assert any(f"needs {multiple:g} D" in note for note in in_words(short.notes))
    assert short.withdrawal > 0.0


def test_a_fastener_that_does_not_come_through_holds_nothing():
    joint = capacity(COMMON, Ply("wood", 3.5, 0.42), POST)
    assert (joint.lateral, joint.withdrawal, joint.axial, joint.penetration) == (0.0, 0.0, 0.0, 0.0)


def test_end_grain():
    end = Ply("wood", 90.0, 0.42, end_grain=True)
    nailed = capacity(COMMON, SPF, end)
    assert nailed.lateral == pytest.approx(0.67 * capacity(COMMON, SPF, POST).lateral, rel=1e-12)
    assert (nailed.withdrawal, nailed.axial) == (0.0, 0.0)
    assert capacity(SCREW, SPF, end).withdrawal == 0.0
    lag_end, lag_side = capacity(LAG, SPF, end), capacity(LAG, SPF, Ply("wood", 90.0, 0.42))
    assert lag_end.withdrawal == pytest.approx(0.75 * lag_side.withdrawal, rel=1e-12)
    assert lag_end.lateral < 0.67 * lag_side.lateral  # and its bearing is that across the grain


def test_deck_between_cleat_and_joist():
    """Shear bears on deck and joist together at the lower Fe; the point is held by the joist alone."""
    placed = drive(SCREW, (SPF, DECK, JOIST))
    assert placed.main.strength == dowel.wood_bearing(0.43, 0.22) == 3500.0
    assert placed.main.length == pytest.approx(3.5 - 0.22, abs=1e-12)
    soft = drive(SCREW, (SPF, Ply("panel", 0.72, 0.42), JOIST))
    assert soft.main.strength == 3350.0
    assert placed.holding == pytest.approx(5.0 - 1.5 - 0.72, abs=1e-12)
    assert placed.held_by == "wood"


def test_deck_alone():
    """A panel holds as G 0.40 whatever it is; green takes 0.75 for a nail, 0.7 for a screw."""
    gun = fastener("gun nail 0.131x3")
    per_inch = 1380.0 * 0.40**2.5 * 0.131
    dry, green = capacity(gun, SPF, DECK), capacity(gun, SPF, DECK, moisture="green")
    assert dry.withdrawal == pytest.approx(per_inch * 0.72, rel=1e-12)
    assert green.withdrawal == pytest.approx(dry.withdrawal * 0.75, rel=1e-12)
    assert "held by the panel alone, not by framing" in in_words(dry.notes)
    wet_screw = capacity(SCREW, SPF, DECK, moisture="green").withdrawal
    assert wet_screw == pytest.approx(0.7 * capacity(SCREW, SPF, DECK).withdrawal, rel=1e-12)
    # 0.72 in is under 6 D = 0.786 in: the nail comes out below, and counts in proportion.
    pair = dowel.yield_modes(
        dowel.Dowel(0.131, 0.131, gun.fyb), drive(gun, (SPF, DECK)).main, drive(gun, (SPF, DECK)).side
    )
    assert dry.lateral == pytest.approx(pair.least * 0.72 / 0.786, rel=1e-9)


def test_a_joist_below_never_lowers_what_the_deck_holds():
    """A green nail that reaches a joist by 3/4 in keeps what the deck alone would hold."""
    gun = fastener("gun nail 0.131x3")
    deck, joist = (capacity(gun, *plies, moisture="green") for plies in ((SPF, DECK), (SPF, DECK, JOIST)))
    assert joist.withdrawal >= deck.withdrawal > 0.0


def test_practice_figure_of_a_nail_in_the_deck():
    """22 lb a nail is the trade's own figure: 3/4 in of panel, 0.131 in nail, dry, short-term load."""
    joint = capacity(fastener("gun nail 0.131x3"), SPF, Ply("panel", 0.75, 0.50), CD=1.6)
    assert joint.withdrawal == pytest.approx(22.0, abs=0.5)


def test_steel_side_plate():
    strap = Ply("steel", 0.060)
    joint = capacity(COMMON, strap, Ply("wood", 5.5, 0.50))
    assert joint.lateral == pytest.approx(138.0, abs=0.6)  # table 12P
    assert joint.pull_through is None
    assert joint.axial == min(joint.withdrawal, joint.steel)
    assert joint.slip_modulus == pytest.approx(270e3 * 0.162**1.5, rel=1e-12)


@pytest.mark.parametrize("material", ["concrete", "steel"])
def test_nothing_driven_into_concrete_or_steel_counts(material):
    joint = capacity(COMMON, SPF, Ply(material, 4.0))
    assert (joint.lateral, joint.withdrawal, joint.axial) == (0.0, 0.0, 0.0)
    assert joint.notes


def test_toe_nail():
    joint = capacity(fastener("8d common"), SPF, POST, toe_nailed=True)
    assert joint.lateral == pytest.approx(61.6, abs=0.1)
    assert joint.withdrawal == pytest.approx(21.3, abs=0.1)
    over_deck = capacity(fastener("8d common"), SPF, DECK, JOIST, toe_nailed=True)
    assert over_deck.withdrawal < joint.withdrawal


def test_a_toe_nail_through_a_deck_spends_more_than_its_thickness_there():
    """8d common over 0.72 in: p 1.538 in, 0.72/cos 30 = 0.831 of it in the deck, 0.706 left in the joist.

    W = 1380 x 0.43^2.5 x 0.131 = 21.92 lb/in; times 0.706 and 0.67 for a toe-nail.
    """
    joint = capacity(fastener("8d common"), SPF, DECK, JOIST, toe_nailed=True)
    assert joint.withdrawal == pytest.approx(21.92 * 0.706 * 0.67, abs=0.02)


def test_head_pull_through_governs_a_long_thread_under_a_thin_side():
    joint = capacity(fastener("structural screw 0.22x6"), Ply("panel", 0.4375, 0.50), Ply("wood", 9.0, 0.55))
    assert joint.axial_mode == "pull-through"
    assert joint.axial == pytest.approx(690.0 * math.pi * 0.418 * 0.25 * 0.4375, rel=1e-9)


def test_steel_governs_a_very_long_thread():
    joint = capacity(
        fastener("structural screw 0.17x12"), Ply("steel", 0.25), Ply("wood", 12.0, 0.55), CD=1.6
    )
    root = 0.79 * 0.17
    assert joint.axial_mode == "steel"
    assert joint.axial == pytest.approx(math.pi / 4.0 * root**2 * 90e3 / 1.3 * 0.5, rel=1e-9)


REPORTED = {
    "name": "Yard screw", "kind": "structural screw", "report": "TR-1",
    "diameter": "0.22 in", "length": "5 in",
    "withdrawal_per_inch": "150 lb", "pull_through": "200 lb", "lateral": "240 lb", "steel_tension": "700 lb",
    "report_gravity": 0.42, "report_side": "1.5 in", "report_penetration": "2 in",
}  # fmt: skip


def test_reported_values_count_within_their_conditions():
    (ours,) = read_user_fasteners([REPORTED])
    joint = capacity(ours, SPF, Ply("wood", 5.5, 0.42))
    assert (joint.lateral, joint.lateral_mode, joint.reported) == (240.0, "report", True)
    assert joint.withdrawal == pytest.approx(150.0 * 10.0 / 3.0, rel=1e-9)
    assert (joint.pull_through, joint.steel, joint.axial_mode) == (200.0, 700.0, "pull-through")
    assert joint.notes == ()
    green = capacity(ours, SPF, Ply("wood", 5.5, 0.42), moisture="green")
    assert green.lateral == pytest.approx(0.7 * 240.0, rel=1e-12)
    assert green.pull_through == pytest.approx(0.7 * 200.0, rel=1e-12)


@pytest.mark.parametrize(
    "plies",
    [
        (SPF, Ply("wood", 5.5, 0.36)),
        (Ply("wood", 1.4, 0.42), Ply("wood", 5.5, 0.42)),
        (SPF, Ply("wood", 1.9, 0.42)),
    ],
    ids=["light wood", "thin side", "shallow"],
)
def test_reported_lateral_falls_back_to_the_equations_outside_them(plies):
    (ours,) = read_user_fasteners([REPORTED])
    joint = capacity(ours, *plies)
    assert joint.lateral == capacity(SCREW, *plies).lateral
    assert any("outside the conditions of report TR-1" in note for note in in_words(joint.notes))


def test_a_ring_shank_nail_made_to_a_standard():
    ring = evolve(COMMON, deformed=True, report="a standard")
    assert capacity(ring, SPF, POST).withdrawal == pytest.approx(2.0 * 1800.0 * 0.42**2 * 0.162, rel=1e-9)
    assert withdrawal.withdrawal_per_inch(evolve(COMMON, kind="bolt"), 0.5) == 0.0


def test_equations_a_row_of_the_kinds_names():
    """By hand: 1800 x 0.50^2 x 0.131 = 58.95; 3 across 10 and 4 along 20 of a screw: (9/10 + 16/20) / 5."""
    assert withdrawal.ring_shank_withdrawal(0.50, 0.131) == pytest.approx(58.95, rel=1e-12)
    assert withdrawal.no_withdrawal(0.50, 0.5) == 0.0
    together = hankinson_interaction(shear=3.0, tension=4.0, lateral=10.0, axial=20.0)
    assert float(together) == pytest.approx(0.34, rel=1e-12)


def test_grain_angle_matters_from_a_quarter_inch():
    across = Ply("wood", 3.5, 0.42, angle_to_grain=math.pi / 2.0)
    assert capacity(COMMON, SPF, across).lateral == capacity(COMMON, SPF, POST).lateral
    assert capacity(LAG, SPF, across).lateral < capacity(LAG, SPF, POST).lateral


def test_utilisation_follows_the_kind():
    nail, lag = capacity(COMMON, SPF, POST), capacity(LAG, SPF, POST)
    half = [(one.lateral / 2.0, one.axial / 2.0) for one in (nail, lag)]
    assert float(nail.utilisation(*half[0])) == pytest.approx(1.0, rel=1e-12)
    assert float(lag.utilisation(*half[1])) < 0.8
    assert nail.utilisation(np.array([0.0, 1.0]), 0.0).shape == (2,)


def test_something_on_nothing_is_infinite_and_nothing_on_nothing_is_nothing():
    for kind in ("nail", "lag"):
        used = combined.together(kind)(shear=np.array([0.0, 1.0]), tension=0.0, lateral=0.0, axial=0.0)
        assert used.tolist() == [0.0, math.inf]
        pulled = combined.together(kind)(shear=0.0, tension=5.0, lateral=0.0, axial=10.0)
        assert float(pulled) == 0.5


@pytest.mark.parametrize(
    ("plies", "more", "field"),
    [
        ((SPF,), {}, "plies"),
        ((SPF, Ply("cheese", 1.5, 0.4)), {}, "plies[1].material"),
        ((SPF, Ply("wood", 0.0, 0.42)), {}, "plies[1].thickness"),
        ((SPF, Ply("wood", math.nan, 0.42)), {}, "plies[1].thickness"),
        ((Ply("wood", 1.5), POST), {}, "plies[0].G"),
        ((SPF, Ply("wood", 1.5, 0.42, 2.0)), {}, "plies[1].angle_to_grain"),
        ((SPF, POST), {"moisture": "damp"}, "moisture"),
        ((SPF, POST), {"load_duration": 2.0}, "load_duration"),
        ((SPF, POST), {"rows": 0}, "rows"),
    ],
)
def test_a_joint_that_makes_no_sense_is_refused(plies, more, field):
    with pytest.raises(InputError) as caught:
        fastener_capacity(Joint(COMMON, plies=plies, **({"moisture": "dry"} | more)))
    assert [fault.field for fault in caught.value.faults] == [field]


def test_only_nails_are_toe_nailed():
    with pytest.raises(InputError, match="toe_nailed"):
        capacity(SCREW, SPF, POST, toe_nailed=True)


def test_one_fastener_acts_in_no_group():
    assert factors.group_action(1, spacing=4.0, gamma=2e5, main=1e7, side=1e7) == 1.0


def test_unknown_words_of_the_tables():
    for lookup in (
        factors.load_duration,
        stake.lateral_bearing,
    ):
        for word in ("cheese", "source"):
            with pytest.raises(MissingDataError):
                lookup(word)


def test_spacing_words_and_sizes():
    with pytest.raises(InputError, match="load"):
        spacing.least_spacing(COMMON, load="askew")
    with pytest.raises(InputError, match="end"):
        spacing.least_spacing(COMMON, load="parallel", end="middle")
    slender = spacing.large_spacing(0.25, load="parallel", end="tension", bearing=3.0)
    assert slender.edge == pytest.approx(max(1.5 * 0.25, 1.5 * 0.25 / 2.0), abs=1e-12)
    bored = spacing.least_spacing(COMMON, load="parallel", prebored=True)
    assert bored.end == pytest.approx(10.0 * 0.162, abs=1e-12)


def test_how_many_screws_a_cleat_takes():
    """36 in of 2x4: ends, steps 15 D = 3.3 in, edges 2.5 D = 0.55, rows 5 D = 1.1: (36 - 6.6)/3.3 = 8.9."""
    fit = spacing.fasteners_that_fit(36.0, 3.5, spacing.least_spacing(SCREW, load="parallel"))
    assert (fit.per_row, fit.rows, fit.count) == (9, 3, 27)
    nothing = spacing.fasteners_that_fit(6.0, 3.5, spacing.least_spacing(SCREW, load="parallel"))
    assert (nothing.per_row, nothing.rows, nothing.count) == (0, 0, 0)


def test_wood_that_was_never_wet_keeps_its_fasteners():
    """NDS table 11.3.3: dry when made and dry in service, 1.0; made wet, by diameter and rows."""
    assert factors.wet_lateral(0.5, made_wet=False, serves_wet=False, one_row=False) == 1.0
    assert factors.wet_lateral(0.5, made_wet=False, serves_wet=True, one_row=False) == 0.7
    assert factors.wet_lateral(0.249, made_wet=True, serves_wet=False, one_row=False) == 0.7
    assert factors.wet_lateral(0.25, made_wet=True, serves_wet=False, one_row=False) == 0.4
    assert factors.wet_lateral(0.25, made_wet=True, serves_wet=False, one_row=True) == 1.0


def test_a_stake_over_ground_holds_nothing_and_depth_stops_at_twelve_feet():
    sand = stake.lateral_bearing("sand")
    assert stake.stake_capacity(0.0, width=3.5, h=6.0, bearing=sand) == 0.0
    deep = [stake.stake_capacity(d, width=3.5, h=6.0, bearing=sand) for d in (144.0, 200.0)]
    assert deep[0] == deep[1]
