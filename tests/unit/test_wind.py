"""Wind: single facts of the fields, the readings and the errors."""

import tomllib

import numpy as np
import pytest

from bracing.codes.asce7.velocity import exposure_coefficient, meter_gust, velocity_pressure
from bracing.codes.asce7.walls import (
    end_zone_coefficients,
    force_coefficient,
    open_sign_coefficient,
    opening_factor,
    opening_reduction,
    pressure_fields,
    return_corner_reduction,
)
from bracing.codes.gusts import (
    clear_out_gust,
    clear_zone,
    construction_period_factor,
    equivalent_gust_of_design,
    gust_from_sustained,
    thunderstorm_gust,
)
from bracing.codes.pressures import PressureField, mean_coefficient, outline_properties
from bracing.errors import InputError, MissingDataError
from bracing.sources import SOURCES
from tests.crosschecks.wind import (
    beaufort_upper_limit,
    durst_ratio,
    exposure_coefficient_7_22,
    net_pressure_coefficient,
    peak_velocity_pressure,
    zone_ends,
)
from tests.house.tree import ROOT

LEVEL = ((0.0, 100.0), (400.0, 100.0))  # B/s = 4
LONG = ((0.0, 100.0), (600.0, 100.0))  # B/s = 6, starred
GABLE = ((0.0, 120.0), (216.0, 222.0), (432.0, 120.0))


def by_case(top, **options):
    return {(field.case, field.gap): field for field in pressure_fields(top, **options)}


def test_a_level_wall_on_a_closed_deck():
    """B/s = 4, s/h = 1: Cf 1.35 printed; G 0.85; case C printed 2.90 1.90 1.30 1.10, times 0.8."""
    fields = by_case(LEVEL)
    assert list(fields) == [(case, "closed") for case in ("A", "B left", "B right", "C left", "C right")]
    assert fields["A", "closed"].zones == ((0.0, 400.0, pytest.approx(0.85 * 1.35, abs=1e-12)),)
    end = [0.85 * 0.8 * Cf for Cf in (2.90, 1.90, 1.30, 1.10)]
    assert [c for *_, c in fields["C left", "closed"].zones] == pytest.approx(end, abs=1e-12)
    assert [c for *_, c in fields["C right", "closed"].zones] == pytest.approx(end[::-1], abs=1e-12)
    assert [x for x, *_ in fields["C right", "closed"].zones] == pytest.approx([0, 100, 200, 300], abs=1e-9)


def test_case_b_of_a_level_wall_runs_from_2_2_to_minus_0_2_of_the_mean():
    """0.2 B · (B/2) · A / (A B²/12) = 1.2, not clipped at zero; left is heavier toward LEFT."""
    field = by_case(LEVEL, gaps=(50.0,))["B left", "open"]
    mean = field.zones[0][2]
    assert field.along(0.0) == pytest.approx(2.2 * mean, rel=1e-9)
    assert field.along(400.0) == pytest.approx(-0.2 * mean, rel=1e-9)


def test_both_gaps_are_run_and_the_open_one_takes_its_own_clearance_ratio():
    """A gap of s: s/h = 0.5, Cf 1.70 printed, no 1.8 - s/h, no rise."""
    fields = by_case(LEVEL, gaps=(0.0, 100.0))
    assert len(fields) == 10
    opened = fields["A", "open"]
    assert opened.zones[0][2] == pytest.approx(0.85 * 1.70, abs=1e-12)
    assert opened.rise == 0.0
    assert fields["C left", "open"].zones[0][2] == pytest.approx(0.85 * 2.90, abs=1e-12)


def test_a_gap_given_twice_is_run_once():
    assert len(pressure_fields(LEVEL, gaps=(0.0, 0.0, 0.0))) == 5


def test_a_short_wall_has_no_case_c():
    assert [field.case for field in pressure_fields(((0.0, 100.0), (199.0, 100.0)))] == [
        "A",
        "B left",
        "B right",
    ]


def test_rise_of_a_level_wall():
    """0.05 s A/I_z = 0.05 s · 12/s² = 0.6/s: 0.7 at the foot, 1.3 at the top."""
    field = by_case(LEVEL)["A", "closed"]
    mean = field.zones[0][2]
    np.testing.assert_allclose(
        field.c(200.0, np.array([0.0, 50.0, 100.0])) / mean, [0.7, 1.0, 1.3], rtol=1e-9
    )


def test_return_wall_at_right_relieves_the_right_end_zone():
    """A return as long as s: 0.75 on the printed 3.30, at that end only."""
    fields = by_case(LONG, right_return=100.0)
    assert fields["C right", "closed"].zones[-1][2] == pytest.approx(0.85 * 0.8 * 0.75 * 3.30, abs=1e-12)
    assert fields["C left", "closed"].zones[0][2] == pytest.approx(0.85 * 0.8 * 3.30, abs=1e-12)


def test_a_return_is_measured_against_the_mean_height():
    """A long gable, s = 120 under a peak of 140: a return of 120 is Lr/s = 1, so 0.75."""
    top = ((0.0, 100.0), (400.0, 140.0), (800.0, 100.0))
    free, held = (by_case(top, left_return=r)["C left", "closed"].zones[0][2] for r in (None, 120.0))
    assert held / free == pytest.approx(0.75, rel=1e-9)


def test_mean_counts_the_rise():
    """1 + 0.01 (z - 20) over a wall 100 high has the mean 1.3."""
    field = PressureField("A", "closed", ((0.0, 400.0, 1.0),), 0.0, 200.0, 0.01, 20.0)
    assert mean_coefficient(LEVEL, field) == pytest.approx(1.3, rel=1e-12)


def test_no_relief_on_an_unstarred_column():
    fields = by_case(LEVEL, left_return=500.0)
    assert fields["C left", "closed"].zones[0][2] == pytest.approx(0.85 * 0.8 * 2.90, abs=1e-12)


def test_floor_lifts_case_a_and_b_and_scales_case_c_to_it():
    top = ((0.0, 100.0), (210.0, 100.0))
    free, floored = by_case(top), by_case(top, floor_gcf=1.5)
    assert floored["A", "closed"].zones[0][2] == pytest.approx(1.5, abs=1e-12)
    a, b = (fields["C left", "closed"] for fields in (free, floored))
    assert mean_coefficient(top, a) < 1.5
    assert mean_coefficient(top, b) == pytest.approx(1.5, rel=1e-9)
    assert b.zones[0][2] / a.zones[0][2] == pytest.approx(b.zones[-1][2] / a.zones[-1][2], rel=1e-12)


def test_floor_below_the_field_changes_nothing():
    assert pressure_fields(LEVEL, floor_gcf=1.0) == pressure_fields(LEVEL)


def test_mean_height_and_not_the_peak_sets_the_aspect_ratio():
    wall = outline_properties(GABLE)
    assert wall.s == pytest.approx(171.0, rel=1e-12)
    assert wall.highest == 222.0
    assert by_case(GABLE)["A", "closed"].zones[0][2] == pytest.approx(
        0.85 * force_coefficient(432.0 / 171.0, 1.0), rel=1e-12
    )


def test_a_step_in_the_outline_counts_once():
    step = outline_properties(((0.0, 100.0), (120.0, 100.0), (120.0, 200.0), (240.0, 200.0)))
    assert step.area == pytest.approx(36000.0, rel=1e-12)
    assert step.I_xz > 0.0


def test_a_step_may_stand_at_an_end():
    """120 over 50 in, and the step at LEFT adds no length: 6,000 sq in, centred at 25 in."""
    step = outline_properties(((0.0, 100.0), (0.0, 120.0), (50.0, 120.0)))
    assert (step.area, step.x_bar, step.z_bar) == pytest.approx((6000.0, 25.0, 60.0), rel=1e-12)


def test_zone_value_at_its_ends():
    field = PressureField("C left", "open", ((0.0, 10.0, 3.0), (10.0, 30.0, 1.0)), 0.0, 15.0, 0.0, 5.0)
    np.testing.assert_array_equal(field.along(np.array([0.0, 10.0, 10.001, 30.0])), [3.0, 3.0, 1.0, 1.0])


@pytest.mark.parametrize(
    "top",
    [
        ((0.0, 100.0),),
        ((5.0, 100.0), (50.0, 100.0)),
        ((0.0, 100.0), (50.0, 100.0), (40.0, 90.0)),
        ((0.0, 100.0), (50.0, 0.0)),
        ((0.0, 100.0), (0.0, 90.0)),
    ],
)
def test_an_outline_that_is_not_one_is_refused(top):
    with pytest.raises(InputError) as caught:
        outline_properties(top)
    assert caught.value.faults[0].field == "wall.top"


def test_a_spike_that_no_rise_can_lift_is_refused():
    """A thin spike at the light end of case B carries load backwards at 80 times the wall's height."""
    with pytest.raises(InputError, match="spike"):
        pressure_fields(((0.0, 1.0), (99.999, 1.0), (99.999, 1000.0), (100.0, 1000.0)))


@pytest.mark.parametrize("gaps", [(), (-1.0,), (0.0, -0.1)])
def test_a_gap_under_zero_or_none_is_refused(gaps):
    with pytest.raises(InputError):
        pressure_fields(LEVEL, gaps=gaps)


def test_case_c_between_columns_and_over_blank_cells():
    """B/s 2.5: the third region is blank at 2, so it takes column 3. B/s 11.5: half way from 10 to 13."""
    assert [zone.coefficient for zone in end_zone_coefficients(2.5)] == pytest.approx(
        [2.425, 1.60, 1.15], abs=1e-12
    )
    assert [zone.coefficient for zone in end_zone_coefficients(11.5)] == pytest.approx(
        [3.875, 2.525, 1.925, 1.225, 1.15, 0.925, 0.55], abs=1e-12
    )
    assert end_zone_coefficients(1.99) == ()
    assert len(end_zone_coefficients(2.0 - 1e-12)) == 2  # rounding does not drop the case
    assert [zone.coefficient for zone in end_zone_coefficients(80.0)] == [
        4.3,
        2.55,
        1.95,
        1.85,
        1.85,
        1.1,
        0.55,
    ]


def test_table_ends_are_held():
    assert force_coefficient(0.01, 1.0) == 1.80
    assert force_coefficient(100.0, 0.05) == 1.95


def test_a_short_return_gives_nothing():
    assert return_corner_reduction(0.299) == 1.0
    assert return_corner_reduction(0.3) == pytest.approx(0.90, abs=1e-12)
    assert return_corner_reduction(0.65) == pytest.approx(0.825, abs=1e-12)
    assert return_corner_reduction(9.0) == pytest.approx(0.60, abs=1e-12)


def test_thirty_percent_open_is_an_open_frame():
    """At exactly 30% the open-sign coefficient on solid area: 0.7 · 1.6 on gross area."""
    assert opening_factor(0.7, 1.4) * 1.4 == pytest.approx(1.12, abs=1e-12)
    assert opening_factor(0.71, 1.4) == opening_reduction(0.71)
    assert opening_factor(1.0, 1.4) == 1.0


@pytest.mark.parametrize("ratio", [0.69, 1.01, float("nan")])
def test_reduction_for_openings_outside_its_range_is_refused(ratio):
    with pytest.raises(InputError):
        opening_reduction(ratio)


def test_a_frame_with_no_gap_left_is_a_frame_still():
    """Figure 29.4-2: 1.6 from a solidity of 0.3, up to 1."""
    assert open_sign_coefficient(1.0) == 1.6


@pytest.mark.parametrize("solidity", [0.0, -0.1, 1.1])
def test_solidity_outside_its_range_is_refused(solidity):
    with pytest.raises(InputError):
        open_sign_coefficient(solidity)


def test_velocity_pressure_factors_multiply():
    base = velocity_pressure(50.0, kz=1.0)
    assert base == pytest.approx(6.4, abs=1e-12)
    assert velocity_pressure(50.0, kz=0.9, kzt=1.2, kd=0.85, ke=0.9) == pytest.approx(
        base * 0.9 * 1.2 * 0.85 * 0.9, rel=1e-12
    )


def test_design_speed_reading_by_hand():
    """115 mph, three weeks: 115 · 0.75 · √0.51 = 61.6 mph."""
    gust = equivalent_gust_of_design(115.0, factor=construction_period_factor(3 * 604800.0))
    assert gust == pytest.approx(61.6, abs=0.05)


def test_readings_of_a_forecast():
    assert gust_from_sustained(20.0) == pytest.approx(30.6, abs=1e-9)
    assert thunderstorm_gust(57.9) == 58.0
    assert thunderstorm_gust(62.0) == 62.0


@pytest.mark.parametrize(
    ("limit", "out"), [(40.0, 34), (20.0, 17), (100.0, 85), (39.99, 33), (45.0, 38), (0.0, 0)]
)
def test_clear_out_gust_rounds_down(limit, out):
    assert clear_out_gust(limit, limit) == out


def test_clear_out_gust_of_whole_limits_is_exact():
    """In whole numbers 0.85 is 17/20; no limit loses a mile an hour to floating point."""
    assert [clear_out_gust(float(limit), float(limit)) for limit in range(121)] == [
        17 * limit // 20 for limit in range(121)
    ]


def test_meter_five_feet_over_a_deck():
    """Exposure C, 8 ft over the ground: 35 mph · (8/33)^(1/9.5) = 30.1 mph."""
    shown = meter_gust(35.0, exposure="C", height_above_ground=96.0)
    assert shown == pytest.approx(35.0 * (8.0 / 33.0) ** (1.0 / 9.5), rel=1e-12)
    assert meter_gust(35.0, exposure="D", height_above_ground=720.0) == 35.0


def test_a_meter_may_lie_on_the_ground():
    """Half an inch up, exposure C: 40 (1/24/33)^(1/9.5) = 40 x 0.4953 = 19.8 mph."""
    assert meter_gust(40.0, exposure="C", height_above_ground=0.5) == pytest.approx(19.8, abs=0.05)


def test_clear_zone_by_hand():
    assert clear_zone(222.0) == 270.0
    assert clear_zone(222.0, drop=36.0) == 306.0


@pytest.mark.parametrize("function", [exposure_coefficient, exposure_coefficient_7_22])
@pytest.mark.parametrize("name", ["E", "source", "scale", ""])
def test_an_unknown_exposure_is_named(function, name):
    with pytest.raises(MissingDataError):
        function(240.0, name)


def test_bad_heights_and_times_are_refused():
    with pytest.raises(InputError):
        meter_gust(30.0, exposure="C", height_above_ground=0.0)
    with pytest.raises(InputError):
        construction_period_factor(-1.0)


def test_cross_checks_refuse_what_is_outside_their_tables():
    with pytest.raises(InputError):
        durst_ratio(2.0)
    with pytest.raises(InputError):
        beaufort_upper_limit(12, "mph")
    with pytest.raises(MissingDataError):
        beaufort_upper_limit(5, "furlongs")
    with pytest.raises(InputError):
        net_pressure_coefficient("E", length_over_height=5.0)
    with pytest.raises(InputError):
        net_pressure_coefficient("A", length_over_height=5.0, solidity=0.5)


def test_eurocode_height_is_not_under_the_terrains_least():
    low, least = (peak_velocity_pressure(26.0, terrain="III", height=z) for z in (1.0, 5.0))
    assert low == least
    assert zone_ends(100.0) == {"A": 30.0, "B": 200.0, "C": 400.0}


@pytest.mark.parametrize("table", ["bracing/data/wind.toml", "tests/crosschecks/wind.toml"])
def test_every_block_of_the_tables_cites_a_known_source(table):
    for block in tomllib.loads((ROOT / table).read_text(encoding="utf-8")).values():
        assert block["source"].split()[0] in SOURCES
