"""Laws of the pressure fields and of the readings of a gust, over walls of any outline.

The integrals here are apart from the package's own: shoelace sums for the outline, Simpson's rule on the
public c(x, z) for the fields.
"""

from itertools import pairwise

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from bracing.codes.asce7.velocity import exposure_coefficient, meter_gust, velocity_pressure
from bracing.codes.asce7.walls import (
    end_zone_coefficients,
    force_coefficient,
    open_frame_coefficient,
    opening_reduction,
    pressure_fields,
    return_corner_reduction,
)
from bracing.codes.gusts import clear_out_gust, construction_period_factor
from bracing.codes.pressures import mean_coefficient, outline_properties
from tests.crosschecks.wind import force_coefficient_fit

heights = st.floats(48.0, 360.0)
quick = settings(max_examples=40, deadline=None)


@st.composite
def outlines(draw):
    length = draw(st.floats(96.0, 1440.0))
    inner = sorted(draw(st.lists(st.floats(0.02, 0.98), max_size=4)))
    xs = [0.0, *(part * length for part in inner), length]
    return tuple((x, draw(heights)) for x in xs)


def simpson(f, a, b, pieces):
    x = np.linspace(a, b, 2 * pieces + 1)
    weight = np.ones(2 * pieces + 1)
    weight[1:-1:2], weight[2:-1:2] = 4.0, 2.0
    return float((weight * f(x)).sum() * (b - a) / (6.0 * pieces))


def resultant(top, field):
    """Force per unit of velocity pressure, and where it acts: (F, x, z)."""
    cuts = [end for _, end, _ in field.zones]
    sums = np.zeros(3)
    for (x0, z0), (x1, z1) in pairwise(top):
        inner = [cut for cut in cuts if x0 < cut < x1]
        for a, b in pairwise([x0, *inner, x1]):
            if b <= a:
                continue
            hair = (b - a) * 1e-12  # inside the zone, not on its end

            def column(arm, x, a=a, b=b, hair=hair, x0=x0, x1=x1, z0=z0, z1=z1):
                h = z0 + (z1 - z0) * (x - x0) / (x1 - x0)
                at = np.clip(x, a + hair, b - hair)
                z = np.linspace(0.0, 1.0, 3)[:, None] * h
                values = field.c(at, z) * (1.0 if arm is None else (at if arm == "x" else z))
                return (values[0] + 4.0 * values[1] + values[2]) * h / 6.0

            for i, arm in enumerate((None, "x", "z")):
                sums[i] += simpson(lambda x, arm=arm, column=column: column(arm, x), a, b, 24)
    return sums[0], sums[1] / sums[0], sums[2] / sums[0]


def shoelace(top):
    """Area, centroid and second moments about the origin's axes of the polygon."""
    corners = [(0.0, 0.0), (top[-1][0], 0.0), *reversed(top)]
    A = Sx = Sz = Ixx = Izz = Ixz = 0.0
    for (x0, z0), (x1, z1) in pairwise([*corners, corners[0]]):
        cross = x0 * z1 - x1 * z0
        A += cross / 2.0
        Sx += (x0 + x1) * cross / 6.0
        Sz += (z0 + z1) * cross / 6.0
        Ixx += (x0 * x0 + x0 * x1 + x1 * x1) * cross / 12.0
        Izz += (z0 * z0 + z0 * z1 + z1 * z1) * cross / 12.0
        Ixz += (x0 * z1 + 2.0 * x0 * z0 + 2.0 * x1 * z1 + x1 * z0) * cross / 24.0
    return A, Sx / A, Sz / A, Ixx, Izz, Ixz


def mirror(top):
    return tuple((top[-1][0] - x, z) for x, z in reversed(top))


@quick
@given(outlines())
def test_outline_agrees_with_the_polygon_formulas(top):
    A, x_bar, z_bar, Ixx, Izz, Ixz = shoelace(top)
    wall = outline_properties(top)
    assert wall.area == pytest.approx(A, rel=1e-9)
    assert wall.s == pytest.approx(A / top[-1][0], rel=1e-9)
    assert (wall.x_bar, wall.z_bar) == pytest.approx((x_bar, z_bar), rel=1e-9)
    assert wall.I_x == pytest.approx(Ixx - A * x_bar**2, rel=1e-7)
    assert wall.I_z == pytest.approx(Izz - A * z_bar**2, rel=1e-7)
    assert wall.I_xz == pytest.approx(Ixz - A * x_bar * z_bar, rel=1e-7, abs=1e-9 * (Ixx + Izz))
    assert wall.highest == max(z for _, z in top)


@quick
@given(outlines(), st.sampled_from([0.0, 12.0, 60.0]))
def test_cases_a_and_b_carry_the_same_total(top, gap):
    wall = outline_properties(top)
    Cf = force_coefficient(wall.width / wall.s, wall.s / (wall.s + gap))
    for field in pressure_fields(top, gaps=(gap,)):
        if field.case[0] in "AB":
            assert resultant(top, field)[0] == pytest.approx(0.85 * Cf * wall.area, rel=1e-7)


@quick
@given(outlines())
def test_case_b_acts_a_fifth_of_the_length_off_the_centroid(top):
    wall = outline_properties(top)
    at = {field.case: resultant(top, field)[1] for field in pressure_fields(top, gaps=(36.0,))}
    assert at["A"] == pytest.approx(wall.x_bar, rel=1e-7)
    assert wall.x_bar - at["B left"] == pytest.approx(0.2 * wall.width, rel=1e-6)
    assert at["B right"] - wall.x_bar == pytest.approx(0.2 * wall.width, rel=1e-6)


@quick
@given(outlines())
def test_with_nothing_open_below_every_resultant_sits_a_twentieth_of_s_higher(top):
    s = outline_properties(top).s
    for field in pressure_fields(top, gaps=(0.0,)):
        force, _, height = resultant(top, field)
        flat_force, _, flat_height = resultant(top, evolve(field, rise=0.0))
        assert force == pytest.approx(flat_force, rel=1e-6)
        assert height - flat_height == pytest.approx(0.05 * s, rel=1e-5)


@quick
@given(outlines())
def test_rise_of_case_a_is_the_linear_field_about_the_centroid(top):
    wall = outline_properties(top)
    case_a = pressure_fields(top)[0]
    assert case_a.rise == pytest.approx(0.05 * wall.s * wall.area / wall.I_z, rel=1e-7)
    assert case_a.z_bar == pytest.approx(wall.z_bar, rel=1e-9)


@quick
@given(outlines())
def test_an_open_gap_leaves_no_rise_and_no_smaller_case_a(top):
    closed, opened = (pressure_fields(top, gaps=(gap,)) for gap in (0.0, 24.0))
    assert all(field.rise == 0.0 and field.gap == "open" for field in opened)
    assert mean_coefficient(top, opened[0]) >= mean_coefficient(top, closed[0])


@quick
@given(outlines(), st.one_of(st.none(), st.floats(1.0, 500.0)), st.one_of(st.none(), st.floats(1.0, 500.0)))
def test_a_mirrored_wall_has_mirrored_fields(top, left, right):
    length = top[-1][0]
    here = pressure_fields(top, gaps=(0.0, 30.0), left_return=left, right_return=right)
    there = pressure_fields(mirror(top), gaps=(0.0, 30.0), left_return=right, right_return=left)
    swap = {"left": "right", "right": "left"}
    twins = {(field.case, field.gap): field for field in there}
    x = np.linspace(0.0, length, 97)[1:-1] + 1e-4  # off the zone ends
    z = np.linspace(0.0, max(height for _, height in top), 7)[:, None]
    for field in here:
        kind, _, side = field.case.partition(" ")
        twin = twins[f"{kind} {swap[side]}" if side else kind, field.gap]
        edges = [edge for *ends, _ in field.zones for edge in ends]
        clear = np.all(np.abs(x[:, None] - np.array(edges)) > 1e-6, axis=1)
        np.testing.assert_allclose(field.c(x[clear], z), twin.c(length - x[clear], z), rtol=1e-6, atol=1e-9)


@quick
@given(outlines(), st.floats(0.0, 2.0), st.floats(0.2, 1.0))
def test_no_case_has_a_mean_under_the_floor(top, floor, reduction):
    for field in pressure_fields(top, gaps=(0.0, 20.0), floor_gcf=floor, reduction=reduction):
        assert mean_coefficient(top, field) >= floor * reduction * (1.0 - 1e-9)


@quick
@given(outlines(), st.floats(0.2, 1.0), st.sampled_from([0.0, 1.4, 1.5]))
def test_a_reduction_scales_every_field(top, reduction, floor):
    x, z = np.linspace(0.0, top[-1][0], 31), np.array([[0.0], [60.0]])
    whole = pressure_fields(top, floor_gcf=floor)
    part = pressure_fields(top, floor_gcf=floor, reduction=reduction)
    for a, b in zip(whole, part, strict=True):
        wanted = reduction * a.c(x, z)
        # Case B of a long wall crosses zero: there a value is the rest of two that cancel, as exact as they are.
        np.testing.assert_allclose(b.c(x, z), wanted, rtol=1e-9, atol=1e-9 * np.abs(wanted).max())


@quick
@given(outlines(), st.sampled_from([0.25, 0.5, 2.0, 4.0]))
def test_a_larger_wall_of_the_same_shape_has_the_same_coefficients(top, k):
    larger = tuple((k * x, k * z) for x, z in top)
    for a, b in zip(pressure_fields(top), pressure_fields(larger), strict=True):
        assert [c for *_, c in a.zones] == pytest.approx([c for *_, c in b.zones], rel=1e-9)
        assert a.rise == pytest.approx(k * b.rise, rel=1e-6)
        assert a.slope == pytest.approx(k * b.slope, rel=1e-6)


@quick
@given(outlines())
def test_zones_cover_the_wall_once(top):
    for field in pressure_fields(top, gaps=(0.0, 20.0)):
        assert field.zones[0][0] == pytest.approx(0.0, abs=1e-9 * top[-1][0])
        assert field.zones[-1][1] == pytest.approx(top[-1][0], rel=1e-12)
        for (_, end, _), (start, _, _) in pairwise(field.zones):
            assert start == pytest.approx(end, rel=1e-12)


@quick
@given(outlines(), st.floats(10.0, 400.0))
def test_a_return_wall_relieves_only_its_own_end(top, length):
    free, held = (
        {field.case: field for field in pressure_fields(top, left_return=r)} for r in (None, length)
    )
    for case, field in free.items():
        assert (held[case].zones == field.zones) or case == "C left"
    if "C left" in free:
        first, *rest = zip(free["C left"].zones, held["C left"].zones, strict=True)
        assert first[1][2] <= first[0][2]
        assert all(a == b for a, b in rest)


@quick
@given(st.floats(1.0, 120.0), st.floats(0.4, 1.5), st.floats(1.1, 3.0))
def test_pressure_goes_with_the_square_of_the_gust(gust, kz, k):
    q = velocity_pressure(gust, kz=kz)
    assert velocity_pressure(k * gust, kz=kz) == pytest.approx(k**2 * q, rel=1e-12)
    many = velocity_pressure(np.array([gust, k * gust]), kz=kz)
    np.testing.assert_allclose(many, [q, k**2 * q], rtol=1e-12)


@quick
@given(st.floats(0.0, 1200.0), st.floats(0.0, 600.0))
def test_exposure_grows_with_height_and_openness(z, more):
    for exposure in "BCD":
        assert exposure_coefficient(z + more, exposure) >= exposure_coefficient(z, exposure)
        assert exposure_coefficient(z, exposure, thunderstorm=True) >= 1.0
    assert exposure_coefficient(z, "B") < exposure_coefficient(z, "C") < exposure_coefficient(z, "D")


@quick
@given(st.floats(5.0, 120.0), st.floats(12.0, 600.0), st.sampled_from("BCD"))
def test_a_meter_never_shows_more_than_the_gust_nor_more_than_design_would_say(gust, z, exposure):
    shown = meter_gust(gust, exposure=exposure, height_above_ground=z)
    assert 0.0 < shown <= gust
    reference = exposure_coefficient(33.0 * 12.0, "C")
    assert shown <= gust * (exposure_coefficient(z, exposure) / reference) ** 0.5 * (1.0 + 1e-12)
    assert shown <= meter_gust(gust, exposure=exposure, height_above_ground=z + 60.0)


@quick
@given(st.floats(5.0, 120.0), st.floats(0.0, 1.0))
def test_people_are_out_below_the_limit_and_below_what_they_themselves_put_on_it(limit, part):
    out = clear_out_gust(limit, part * limit)
    assert isinstance(out, int)
    assert out <= min(0.85, part) * limit + 1e-6 < out + 1 + 1e-6


@quick
@given(st.floats(0.01, 60.0), st.floats(0.05, 1.0), st.floats(0.0, 0.3))
def test_coefficient_falls_as_the_gap_closes(aspect_ratio, clearance_ratio, less):
    closer = min(1.0, clearance_ratio + less)
    assert force_coefficient(aspect_ratio, closer) <= force_coefficient(aspect_ratio, clearance_ratio) + 1e-12


@quick
@given(st.floats(0.1, 45.0), st.floats(0.16, 1.0))
def test_between_its_cells_the_table_stays_near_the_fit(aspect_ratio, clearance_ratio):
    """Two roundings to 0.05 apart, at the most."""
    fit = force_coefficient_fit(aspect_ratio, clearance_ratio)
    assert force_coefficient(aspect_ratio, clearance_ratio) == pytest.approx(fit, abs=0.05)


@quick
@given(st.floats(2.0, 60.0))
def test_end_zones_fall_away_from_the_end_and_cover_the_wall(aspect_ratio):
    zones = end_zone_coefficients(aspect_ratio)
    assert zones[0].start == 0.0
    assert zones[-1].end == aspect_ratio
    for a, b in pairwise(zones):
        assert a.end == b.start
        assert a.coefficient >= b.coefficient > 0.0
    assert [zone.starred for zone in zones] == [aspect_ratio >= 5.0] + [False] * (len(zones) - 1)


@quick
@given(st.floats(0.7, 1.0), st.floats(0.7, 1.0))
def test_more_open_is_never_more_load(a, b):
    low, high = sorted((a, b))
    assert opening_reduction(low) <= opening_reduction(high) <= 1.0
    assert opening_reduction(low) >= low  # a hole relieves less than its area


@quick
@given(st.floats(0.01, 0.7))
def test_an_open_frame_is_not_taken_lighter_than_its_floor(solidity):
    assert open_frame_coefficient(solidity) >= 0.3 * 1.6 - 1e-12
    assert open_frame_coefficient(solidity) >= solidity * 1.6 - 1e-12


@quick
@given(st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_a_longer_return_relieves_no_less(a, b):
    short, long = sorted((a, b))
    assert 0.6 <= return_corner_reduction(long) <= return_corner_reduction(short) <= 1.0


@quick
@given(st.floats(0.0, 3e8), st.floats(0.0, 3e8))
def test_standing_longer_is_never_a_lower_speed(a, b):
    short, long = sorted((a, b))
    assert construction_period_factor(short) <= construction_period_factor(long) <= 1.0
