"""Laws of one fastener in a joint, over many joints."""

import math

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from bracing.codes import ground as stake
from bracing.codes.joints import GAP, Joint, Ply
from bracing.codes.nds import fastener as combined
from bracing.codes.nds import spacing
from bracing.codes.nds.dowels import Bearing, Dowel, yield_modes
from bracing.codes.nds.drive import drive
from bracing.codes.nds.fastener import fastener_capacity
from bracing.codes.nds.gaps import modes_across_gap
from bracing.job.fasteners import fastener, fastener_names

# Bounds meet themselves but for floating point.
EXACT = 1e-9

NAMES = fastener_names()
fasteners = st.sampled_from(NAMES).map(fastener)
nails = st.sampled_from([one for one in map(fastener, NAMES) if one.kind == "nail"])
gravities = st.floats(0.31, 0.70)
thicknesses = st.floats(0.4, 3.5)
moistures = st.sampled_from(["green", "dry"])
angles = st.floats(0.0, math.pi / 2.0)
strengths = st.floats(1500.0, 12000.0)
lengths = st.floats(0.3, 8.0)
diameters = st.floats(0.1, 1.0)
loads = st.floats(0.0, 2000.0)
capacities = st.floats(1.0, 2000.0)


def joint(one, side=1.5, main=12.0, G=0.42, *, moisture="dry", **more):
    return fastener_capacity(
        Joint(one, plies=(Ply("wood", side, G), Ply("wood", main, G)), moisture=moisture, **more)
    )


@given(one=nails, side=thicknesses, G=gravities)
def test_a_nail_driven_green_keeps_a_quarter_of_its_withdrawal(one, side, G):
    green, dry = (joint(one, side, G=G, moisture=moisture).withdrawal for moisture in ("green", "dry"))
    assert green == pytest.approx(dry / 4.0, rel=EXACT)


@given(one=fasteners, side=thicknesses, G=gravities, rows=st.integers(1, 3))
def test_green_is_never_better_than_dry(one, side, G, rows):
    green, dry = (joint(one, side, G=G, moisture=moisture, rows=rows) for moisture in ("green", "dry"))
    assert green.lateral <= dry.lateral
    assert green.axial <= dry.axial


@given(one=fasteners, side=thicknesses, more=st.floats(0.0, 3.0), G=gravities, moisture=moistures)
def test_a_longer_point_never_holds_less(one, side, more, G, moisture):
    """Same head, same thread, more of the point in a main member deep enough for it."""
    longer = evolve(one, length=one.length + more, thread=one.thread + more)
    short, long = (
        joint(one, side, 40.0, G, moisture=moisture),
        joint(longer, side, 40.0, G, moisture=moisture),
    )
    assert long.lateral >= short.lateral * (1.0 - EXACT)
    assert long.withdrawal >= short.withdrawal * (1.0 - EXACT)
    assert long.penetration >= short.penetration


@given(one=fasteners, side=thicknesses, G=gravities, denser=st.floats(0.0, 0.2), moisture=moistures)
def test_denser_wood_never_holds_less(one, side, G, denser, moisture):
    light, dense = joint(one, side, G=G, moisture=moisture), joint(one, side, G=G + denser, moisture=moisture)
    assert dense.lateral >= light.lateral * (1.0 - EXACT)
    assert dense.axial >= light.axial * (1.0 - EXACT)


@given(one=fasteners, side=thicknesses, main=thicknesses, G=gravities, moisture=moistures)
def test_capacities_are_finite_and_the_axial_one_is_the_least(one, side, main, G, moisture):
    held = joint(one, side, main, G, moisture=moisture)
    for value in (
        held.lateral,
        held.withdrawal,
        held.pull_through,
        held.steel,
        held.axial,
        held.slip_modulus,
    ):
        assert value >= 0.0
        assert math.isfinite(value)
    assert held.axial == min(held.withdrawal, held.pull_through, held.steel)


@given(one=fasteners, side=thicknesses, G=gravities, duration=st.floats(0.9, 1.6))
def test_lateral_and_withdrawal_scale_with_load_duration_and_steel_does_not(one, side, G, duration):
    base, longer = joint(one, side, G=G, load_duration=0.8), joint(one, side, G=G, load_duration=duration)
    assert longer.lateral == pytest.approx(base.lateral * duration / 0.8, rel=EXACT)
    assert longer.withdrawal == pytest.approx(base.withdrawal * duration / 0.8, rel=EXACT)
    assert longer.steel == base.steel


@given(one=fasteners, side=thicknesses, G=gravities, panel=st.floats(0.3, 1.2), panel_G=gravities)
def test_deck_and_joist_are_never_added_up_in_withdrawal(one, side, G, panel, panel_G):
    """Withdrawal is the greater of framing at that depth and deck alone; shear takes the lower bearing."""
    cleat, deck, joist = Ply("wood", side, G), Ply("panel", panel, panel_G), Ply("wood", 20.0, G)
    through = fastener_capacity(Joint(one, plies=(cleat, deck, joist), moisture="dry"))
    thicker = fastener_capacity(Joint(one, plies=(Ply("wood", side + panel, G), joist), moisture="dry"))
    alone = fastener_capacity(Joint(one, plies=(cleat, deck), moisture="dry"))
    better = max(thicker.withdrawal, alone.withdrawal)
    assert through.withdrawal == pytest.approx(better, rel=EXACT, abs=EXACT)
    placed = drive(one, (cleat, deck, joist))
    assert placed.main.strength <= drive(one, (cleat, joist)).main.strength


@given(
    D=diameters,
    Fyb=st.floats(40e3, 110e3),
    lm=lengths,
    ls=lengths,
    Fem=strengths,
    Fes=strengths,
    angle=angles,
)
def test_z_is_the_least_mode_and_every_mode_is_positive(D, Fyb, lm, ls, Fem, Fes, angle):
    modes = yield_modes(Dowel(D, D, Fyb), Bearing(lm, Fem), Bearing(ls, Fes), angle=angle)
    values = modes.by_name()
    assert modes.least == min(values.values()) == values[modes.governing]
    assert min(values.values()) > 0.0


@given(D=diameters, Fyb=st.floats(40e3, 110e3), lm=lengths, ls=lengths, Fem=strengths, Fes=strengths)
def test_turning_a_joint_round_swaps_its_modes(D, Fyb, lm, ls, Fem, Fes):
    one = yield_modes(Dowel(D, D, Fyb), Bearing(lm, Fem), Bearing(ls, Fes))
    other = yield_modes(Dowel(D, D, Fyb), Bearing(ls, Fes), Bearing(lm, Fem))
    for name, turned in (("Im", "Is"), ("II", "II"), ("IIIm", "IIIs"), ("IV", "IV")):
        # Differences of near-equal roots lose a few digits.
        assert getattr(one, name) == pytest.approx(getattr(other, turned), rel=1e-7)


@given(D=diameters, Fyb=st.floats(40e3, 110e3), lm=lengths, ls=lengths, Fem=strengths, Fes=strengths)
def test_general_dowel_equations_without_a_gap_are_the_yield_equations(D, Fyb, lm, ls, Fem, Fes):
    dowel, main, side = Dowel(D, D, Fyb), Bearing(lm, Fem), Bearing(ls, Fes)
    modes, general = yield_modes(dowel, main, side), modes_across_gap(dowel, main, side, gap=0.0)
    for name, value in modes.by_name().items():
        # Two algebraic forms of the same root, each a difference: seven digits are left.
        assert value == pytest.approx(general.by_name()[name], rel=1e-7)


@given(
    D=diameters,
    lm=lengths,
    ls=lengths,
    Fem=strengths,
    Fes=strengths,
    gap=st.floats(0.0, 1.0),
    more=st.floats(0.01, 1.0),
)
def test_a_wider_gap_never_holds_more(D, lm, ls, Fem, Fes, gap, more):
    narrow, wide = (
        modes_across_gap(Dowel(D, D, 80e3), Bearing(lm, Fem), Bearing(ls, Fes), gap=g)
        for g in (gap, gap + more)
    )
    for name in ("Im", "Is", "II", "IIIm", "IIIs", "IV"):
        assert getattr(wide, name) <= getattr(narrow, name) * (1.0 + EXACT)


@given(
    name=st.sampled_from(
        [name for name in NAMES if fastener(name).length <= 5.5]
    ),  # none comes out of the stud
    gap=st.floats(0.0, 2.0),
    more=st.floats(0.0, 1.0),
    moisture=st.sampled_from(["green", "dry"]),
)
def test_more_foam_under_a_panel_never_holds_more(name, gap, more, moisture):
    panel, stud = Ply("panel", 0.4375, 0.5), Ply("wood", 5.5, 0.42)
    thin, thick = (
        fastener_capacity(Joint(fastener(name), (panel, *([Ply(GAP, g)] if g > 0.0 else []), stud), moisture))
        for g in (gap, gap + more)
    )
    assert thick.lateral <= thin.lateral * (1.0 + 1e-6)  # two forms of one equation, with a gap and without
    assert thick.axial <= thin.axial * (1.0 + EXACT)


@given(
    kind=st.sampled_from(["nail", "wood screw", "structural screw", "lag"]),
    V=loads, T=loads, Z=capacities, W=capacities, times=st.floats(0.01, 10.0), reported=st.booleans(),
)  # fmt: skip
def test_interaction_grows_in_proportion_and_meets_the_pure_cases(kind, V, T, Z, W, times, reported):
    def used(shear, tension):
        return float(
            combined.together(kind, reported=reported)(shear=shear, tension=tension, lateral=Z, axial=W)
        )

    assert used(times * V, times * T) == pytest.approx(times * used(V, T), rel=1e-6, abs=1e-12)
    assert used(V, 0.0) == pytest.approx(V / Z, rel=EXACT)
    assert used(0.0, T) == pytest.approx(T / W, rel=EXACT)
    assert used(V, T) <= V / Z + T / W + 1e-12
    assert used(V, -T) == pytest.approx(V / Z, rel=EXACT)


@given(V=st.lists(loads, min_size=1, max_size=8), T=loads)
def test_interaction_of_many_is_that_of_each(V, T):
    for kind in ("nail", "lag"):
        many = combined.together(kind)(shear=np.array(V), tension=T, lateral=100.0, axial=50.0)
        each = [float(combined.together(kind)(shear=one, tension=T, lateral=100.0, axial=50.0)) for one in V]
        assert many.tolist() == each


@given(
    length=st.floats(0.0, 60.0), width=st.floats(0.0, 12.0), one=fasteners,
    load=st.sampled_from(spacing.LOADS), end=st.sampled_from(spacing.ENDS),
)  # fmt: skip
def test_what_fits_does_fit_and_one_more_does_not(length, width, one, load, end):
    kept = spacing.least_spacing(one, load=load, end=end)
    fit = spacing.fasteners_that_fit(length, width, kept)
    if not fit.count:
        assert length < 2.0 * kept.end or width < 2.0 * kept.edge
        return
    # The count allows the last fastener a billionth of a step over the line, as tapes do.
    slack = 1e-6
    assert 2.0 * kept.end + (fit.per_row - 1) * kept.in_row <= length + slack
    assert 2.0 * kept.end + fit.per_row * kept.in_row > length - slack
    assert 2.0 * kept.edge + (fit.rows - 1) * kept.between_rows <= width + slack
    assert (fit.rows - 1) * kept.between_rows <= 5.0 + slack


@given(
    depth=st.floats(6.0, 143.0),
    more=st.floats(0.0, 60.0),
    h=st.floats(0.0, 60.0),
    soil=st.sampled_from(["sand", "clay"]),
)
def test_a_deeper_stake_never_holds_less_and_the_published_depth_is_met(depth, more, h, soil):
    bearing = stake.lateral_bearing(soil)
    push = stake.stake_capacity(depth, width=3.5, h=h, bearing=bearing)
    assert stake.stake_capacity(depth + more, width=3.5, h=h, bearing=bearing) >= push
    # The published equation, with S1 at a third of this depth, asks for this depth.
    A = 2.34 * push / (bearing * depth / 3.0 * 3.5)
    assert 0.5 * A * (1.0 + math.sqrt(1.0 + 4.36 * h / A)) == pytest.approx(depth, rel=1e-9)


@given(weight=st.floats(10.0, 5000.0), mu=st.floats(0.1, 0.9), angle=st.floats(0.0, 1.5))
def test_a_dead_weight_neither_slides_nor_lifts_at_one_and_a_half_times(weight, mu, angle):
    pull = 1.5 * stake.deadman_capacity(weight, friction=mu, angle=angle)
    left = weight - pull * math.sin(angle)
    assert left >= -1e-9 * weight
    assert pull * math.cos(angle) == pytest.approx(mu * left, rel=1e-6, abs=1e-9 * weight)
