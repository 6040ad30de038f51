"""Worked cases, edges and refusals of the members."""

import math

import numpy as np
import pytest

from bracing.codes.nds import bending_and_axial as combined
from bracing.codes.nds import members as beam
from bracing.codes.nds import members as column
from bracing.codes.nds.adjusted import design_values
from bracing.codes.nds.braces import (
    Stick,
    Stiffener,
    brace_pull_capacity,
    brace_push_capacity,
    stiffened_push_capacity,
)
from bracing.codes.nds.tees import connection_efficiency
from bracing.errors import InputError, MissingDataError
from bracing.job.lumber import section
from bracing.text.quantities import in_words

SPF_2X6 = design_values("SPF", "No.2", "2x6", wet=True)
ANGLE = math.radians(45.0)


def stick(**changes):
    facts = {"section": section("2x6"), "length": 168.0, "angle": ANGLE, "weight_per_inch": 0.17, "ties": 1}
    return Stick(**(facts | changes))


def test_untied_16_ft_2x4_counts_for_nothing_in_push():
    """192 in over 1.5 in is 128, past 75."""
    values = design_values("DFL", "Select Structural", "2x4", wet=False)
    answer = brace_push_capacity(stick(section=section("2x4"), length=192.0, ties=0), values)
    assert answer.capacity_lb == pytest.approx(0.0, abs=1e-12)
    assert not answer.counts
    assert answer.slenderness_weak == pytest.approx(128.0, abs=1e-9)
    assert "75" in in_words(answer.governing)
    assert "the thin way" in in_words(answer.governing)


@pytest.mark.parametrize(("length", "counts"), [(112.5, True), (112.6, False)])
def test_the_limit_of_75_is_9_ft_4_and_a_half(length, counts):
    assert brace_push_capacity(stick(length=length, ties=0), SPF_2X6).counts is counts


def test_the_strong_axis_has_its_limit_too():
    """A 2x4 on edge, 24 ft with two ties: 288/3.5 is 82."""
    values = design_values("SPF", "No.2", "2x4", wet=False)
    answer = brace_push_capacity(stick(section=section("2x4"), length=288.0, ties=2), values)
    assert not answer.counts
    assert in_words(answer.governing) == "too long for its thickness, the wide way (le/d over 75)"


def test_push_by_hand():
    """2x6 SPF No.2 green, 14 ft at 45 degrees, one tie, lapped; the equation worked with a pencil.

    At N = 687 lb: fc = 83.3, FcE2 = 120.3, FcE1 = 404.4, FbE = 1470, fb1 = 56.1 psi.
    """
    N = brace_push_capacity(stick(), SPF_2X6).capacity_lb
    fc = N / 8.25
    Emin = 0.9 * 510_000.0
    FcE1, FcE2 = 0.822 * Emin / (168.0 / 5.5) ** 2, 0.822 * Emin / (84.0 / 1.5) ** 2
    Fc_star = 1150.0 * 1.1 * 0.8 * 1.6
    half = (1.0 + FcE2 / Fc_star) / 1.6
    Fc = Fc_star * (half - math.sqrt(half**2 - FcE2 / Fc_star / 0.8))
    fb1 = 0.17 * math.cos(ANGLE) * 168.0**2 / 8.0 / (1.5 * 5.5**2 / 6.0)
    RB2 = (1.63 * 84.0 + 3.0 * 5.5) * 5.5 / 1.5**2
    FbE = 1.2 * Emin / RB2
    Fb_star = 875.0 * 1.3 * 1.6
    half = (1.0 + FbE / Fb_star) / 1.9
    Fb1 = Fb_star * (half - math.sqrt(half**2 - FbE / Fb_star / 0.95))
    Fb2 = Fb_star * 1.15
    edge = (fb1 / FbE) ** 2
    lap = fc * 3.0 * (1.0 + 0.234 * fc / FcE2 + 0.234 * edge)
    ratio = (fc / Fc) ** 2 + fb1 / (Fb1 * (1.0 - fc / FcE1)) + lap / (Fb2 * (1.0 - fc / FcE2 - edge))
    assert ratio == pytest.approx(1.0, abs=1e-6)


def test_pull_by_hand():
    """The same brace in pull with one 1/4-in hole: N (1/(A Ft') + 3/(A Fb2)) + fb1/Fb* = 1."""
    net = 1.5 * 5.25
    Ft, Fb = 450.0 * 1.3 * 1.6, 875.0 * 1.3 * 1.6
    fb1 = 0.17 * math.cos(ANGLE) * 168.0**2 / 8.0 / 7.5625
    by_hand = (1.0 - fb1 / Fb) / (1.0 / (net * Ft) + 3.0 / (net * 1.15 * Fb))
    answer = brace_pull_capacity(stick(), SPF_2X6, holes=(0.25,))
    assert answer.capacity_lb == pytest.approx(by_hand, abs=1e-6)
    assert "net section" in in_words(answer.governing)


def test_pull_of_a_long_deep_untied_brace_that_would_roll_over():
    """2x12, 26 ft, untied, on edge: RB = sqrt((1.63 x 312 + 3 x 11.25) x 11.25)/1.5 is over 50."""
    values = design_values("SPF", "No.2", "2x12", wet=False)
    long = stick(section=section("2x12"), length=312.0, ties=0)
    assert brace_pull_capacity(long, values).capacity_lb == pytest.approx(0.0, abs=1e-12)


def test_compression_edge_can_govern_in_pull():
    """A heavy untied brace on edge: its top edge would roll over before the pull has straightened it."""
    heavy = stick(ties=0, weight_per_inch=1.9)
    lu = 168.0
    FbE = 1.2 * SPF_2X6.Emin * 1.5**2 / ((1.63 * lu + 3.0 * 5.5) * 5.5)
    half = (1.0 + FbE / SPF_2X6.Fb) / 1.9
    Fb_edge = SPF_2X6.Fb * (half - math.sqrt(half**2 - FbE / SPF_2X6.Fb / 0.95))
    fb1 = 1.9 * math.cos(ANGLE) * lu**2 / 8.0 / 7.5625
    answer = brace_pull_capacity(heavy, SPF_2X6)
    N = answer.capacity_lb
    ratio = fb1 / Fb_edge + N * 3.0 / (8.25 * SPF_2X6.Fb_flat) - N / (8.25 * SPF_2X6.Fb_flat)
    assert ratio == pytest.approx(1.0, abs=1e-9)
    assert "3.9-2" in answer.source


def test_a_tie_row_does_not_hold_a_flat_brace():
    """Ties run along the wall; a flat brace buckles up and down."""
    values = design_values("SPF", "No.2", "2x6", wet=False)
    untied, tied = (brace_push_capacity(stick(lie="flat", ties=n), values) for n in (0, 2))
    assert untied.slenderness_weak == pytest.approx(168.0 / 1.5, abs=1e-9)
    assert tied.slenderness_weak == pytest.approx(untied.slenderness_weak, abs=1e-9)
    assert not tied.counts


# Where the parts of a glued T lie, as on paper: the brace 1.5 x 5.5 about (0, 0), a 2x4 on edge against its face.
PARTS = ((0.0, 0.0, 1.5, 5.5), (2.5, 0.0, 3.5, 1.5))


def whole_section(parts):
    """Centre, second moments and greatest stress of a unit moment, of rectangles glued together, corner by corner."""
    areas = np.array([w * s for *_, w, s in parts])
    centres = np.array([part[:2] for part in parts])
    centre = areas @ centres / areas.sum()
    second = np.zeros((2, 2))
    for A, at, (*_, w, s) in zip(areas, centres - centre, parts, strict=True):
        second += A * (np.diag([w**2, s**2]) / 12.0 + np.outer(at, at))
    corners = [
        at + np.array([i * w, j * s]) / 2.0
        for at, (*_, w, s) in zip(centres - centre, parts, strict=True)
        for i in (-1, 1)
        for j in (-1, 1)
    ]
    stress = [max(abs(corner @ np.linalg.solve(second, unit)) for corner in corners) for unit in np.eye(2)]
    return areas.sum(), centre, second, stress


@pytest.mark.parametrize("lie", ["lapped", "flat"])
def test_a_glued_t_is_one_section(lie):
    """2x6 with a 2x4 glued along it, 14 ft at 45 degrees, one tie: at its thrust the equation worked here is 1."""
    glued = Stiffener(section=section("2x4"), slip_modulus=1e15, spacing=6.0)
    brace = stick(lie=lie, weight_per_inch=0.34)
    answer = stiffened_push_capacity(brace, SPF_2X6, stiffener=glued)
    area, centre, second, (weak, strong) = whole_section(PARTS)
    EI_weak, EI_strong = np.diag(second)
    free_strong, free_weak = (84.0, 168.0) if lie == "flat" else (168.0, 84.0)
    Emin, A1, fc = 0.9 * 510_000.0, 8.25, answer.capacity_lb / 8.25
    assert answer.slenderness_weak == pytest.approx(free_weak / math.sqrt(12.0 * EI_weak / area), rel=1e-6)
    assert answer.slenderness_strong == pytest.approx(
        free_strong / math.sqrt(12.0 * EI_strong / area), rel=1e-6
    )
    FcE1, FcE2 = (
        12.0 * 0.822 * Emin * inertia / (A1 * free**2)
        for inertia, free in ((EI_strong, free_strong), (EI_weak, free_weak))
    )
    Fc_star, Fb = 1150.0 * 1.1 * 0.8 * 1.6, 875.0 * 1.3 * 1.6
    FcE = min(FcE1, FcE2)
    half = (1.0 + FcE / Fc_star) / 1.6
    Fc = Fc_star * (half - math.sqrt(half**2 - FcE / Fc_star / 0.8))
    FbE = 1.2 * Emin * 1.5**2 / ((1.63 * 84.0 + 3.0 * 5.5) * 5.5)
    half = (1.0 + FbE / Fb) / 1.9
    Fb1 = Fb * (half - math.sqrt(half**2 - FbE / Fb / 0.95))
    M = 0.34 * math.cos(ANGLE) * 168.0**2 / 8.0
    fb1, fb2 = (M * strong, 0.0) if lie == "lapped" else (0.0, M * weak)
    r1, r2 = A1 * centre[1] * strong, A1 * (0.75 + centre[0]) * weak
    sway = ((fb1 + fc * r1) / FbE) ** 2
    edge = (fb1 + fc * r1 * (1.0 + 0.234 * fc / FcE1)) / (Fb1 * (1.0 - fc / FcE1))
    flat = (fb2 + fc * r2 * (1.0 + 0.234 * fc / FcE2 + 0.234 * sway)) / (Fb * (1.0 - fc / FcE2 - sway))
    assert (fc / Fc) ** 2 + edge + flat == pytest.approx(1.0, abs=1e-6)


def test_segments_can_be_given():
    even = brace_push_capacity(stick(ties=2), SPF_2X6)
    given = brace_push_capacity(stick(ties=(56.0, 56.0, 56.0)), SPF_2X6)
    assert given.capacity_lb == pytest.approx(even.capacity_lb, abs=1e-6)
    uneven = brace_push_capacity(stick(ties=(40.0, 56.0, 72.0)), SPF_2X6)
    assert uneven.slenderness_weak == pytest.approx(48.0, abs=1e-9)


def test_own_weight_alone_can_be_too_much():
    answer = brace_push_capacity(stick(weight_per_inch=5.0, length=288.0, ties=3), SPF_2X6)
    assert (answer.capacity_lb, in_words(answer.governing)) == (0.0, "own weight alone")


def test_own_thrust_is_half_the_weight_along_the_brace():
    assert stick().own_thrust == pytest.approx(0.17 * 168.0 * math.sin(ANGLE) / 2.0, abs=1e-9)


@pytest.mark.parametrize(
    "wrong",
    [
        {"length": 0.0},
        {"length": math.inf},
        {"angle": -0.1},
        {"weight_per_inch": -1.0},
        {"eccentricity": -0.5},
        {"ties": -1},
        {"ties": (100.0, 20.0)},
        {"ties": (188.0, -20.0)},
        {"ties": ()},
    ],
)
def test_sticks_that_cannot_be(wrong):
    with pytest.raises(InputError):
        stick(**wrong)


def test_unknown_words():
    with pytest.raises(MissingDataError):
        stick(lie="leaning")
    with pytest.raises(MissingDataError):
        beam.effective_length(100.0, 5.5, load="two points")
    with pytest.raises(InputError):
        beam.shear_capacity_at_connection(section("2x6"), 135.0, from_loaded_edge=6.0, from_end=10.0)
    with pytest.raises(InputError):
        brace_pull_capacity(stick(), SPF_2X6, holes=(3.0, 3.0))


def test_own_weight_alone_can_use_up_a_pull():
    """5 lb/in over 24 ft at 45 degrees: M = 36,657 in lb, 4,847 psi on edge, past 1,820."""
    assert brace_pull_capacity(stick(weight_per_inch=5.0, length=288.0, ties=3), SPF_2X6).capacity_lb == 0.0


def test_holes_right_across_leave_nothing():
    with pytest.raises(InputError, match="holes"):
        brace_pull_capacity(stick(), SPF_2X6, holes=(2.75, 2.75))


def test_a_t_needs_its_fasteners():
    """With none, the two sticks still bend together; with many they nearly act as one."""
    tee = {"section": section("2x6"), "spacing": 6.0}
    loose, nailed, glued = (
        stiffened_push_capacity(
            stick(ties=0, weight_per_inch=0.34), SPF_2X6, stiffener=Stiffener(slip_modulus=K, **tee)
        )
        for K in (0.0, 3000.0, 1e12)
    )
    assert loose.slenderness_weak > nailed.slenderness_weak > glued.slenderness_weak
    assert connection_efficiency(1e6, spacing=6.0, slip_modulus=0.0, length=100.0) == pytest.approx(
        0.0, abs=1e-12
    )


def test_arrays_go_through_the_published_equations():
    Fc_star, FcE = np.full(3, 2000.0), np.array([50.0, 500.0, 5000.0])
    CP = column.column_stability_factor(Fc_star, FcE)
    one_by_one = [column.column_stability_factor(2000.0, x) for x in FcE]
    assert CP.tolist() == pytest.approx(one_by_one, abs=1e-12)
    assert column.column_stress(Fc_star, FcE).tolist() == pytest.approx((Fc_star * CP).tolist(), rel=1e-12)
    fc = np.array([0.0, 50.0, 500.0])
    axes = combined.AxisStrength(Fb=1000.0, FcE=400.0), combined.AxisStrength(Fb=1000.0, FcE=100.0)
    ratio = combined.eccentric_column(fc, (fc * 0.0, fc * 0.0), (0.0, 3.0), Fc=90.0, axes=axes, FbE=1e4)
    assert ratio[0] == pytest.approx(0.0, abs=1e-12)
    assert 0.0 < ratio[1] < math.inf
    assert ratio[2] == math.inf


def test_bending_with_tension_by_hand():
    """NDS 3.9-1 and 3.9-2: 100/500 + 300/1000 = 0.5; (300 - 100)/800 = 0.25."""
    assert combined.bending_and_tension(100.0, 300.0, Ft=500.0, Fb_star=1000.0) == pytest.approx(
        0.5, abs=1e-12
    )
    assert combined.bending_less_tension(100.0, 300.0, Fb_star_star=800.0) == pytest.approx(0.25, abs=1e-12)


def test_the_lap_bends_a_brace_as_six_times_it_over_the_thickness():
    """NDS 15.4, 6 e/d, of one stick and of two that share no shear: 6 x 0.75/1.5 = 3, and 6 x 1.5/1.5 = 6."""
    assert stick().lap_ratio == pytest.approx(3.0, rel=1e-12)
    assert stick(section=section("2-2x6")).lap_ratio == pytest.approx(6.0, rel=1e-12)


@pytest.mark.parametrize(
    ("load", "deep", "expected"),
    [
        ("uniform", 6.0, 2.06 * 60.0), ("uniform", 6.99, 2.06 * 69.9), ("uniform", 7.0, 1.63 * 70.0 + 30.0),
        ("uniform", 7.01, 1.63 * 70.1 + 30.0), ("centre point", 6.0, 1.80 * 60.0), ("centre point", 6.99, 1.80 * 69.9),
        ("centre point", 7.0, 1.37 * 70.0 + 30.0),
    ],
)  # fmt: skip
def test_a_beam_is_long_from_seven_depths_on(load, deep, expected):
    """NDS Table 3.3.3 on both sides of lu/d = 7 and on it, a beam 10 in deep."""
    assert beam.effective_length(deep * 10.0, 10.0, load=load) == pytest.approx(expected, rel=1e-12)
