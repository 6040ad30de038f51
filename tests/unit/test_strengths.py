"""What the basis answers of sticks and of so many fasteners, worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bracing.codes.basis import IN_USE
from bracing.codes.nds.fastener import hankinson_interaction
from bracing.codes.nds.joint import all_of, along_run, level_force, nails_or_strap
from bracing.codes.nds.strengths import Member
from bracing.codes.nds.withdrawal import no_withdrawal, ring_shank_withdrawal
from bracing.job.lumber import section
from tests.approx import printed

# SPF No.2, dry: 875, 450, 135 and 1150 psi, E 1,400,000, Emin 510,000; CF of a 2x6 1.3 and 1.1, CD 1.6, Cfu 1.15.
DRY = IN_USE.lumber("SPF", "No.2", "2x6", wet=False)
STUD = Member(section("2x6"), DRY)


def test_a_stud_bent_on_edge_and_flat():
    """875 x 1.3 x 1.6 = 1820 psi on 1.5 x 5.5^2/6 = 7.5625 in3; x 1.15 on 5.5 x 1.5^2/6 = 2.0625 in3."""
    assert STUD.bending() == pytest.approx(1820.0 * 7.5625, rel=1e-12)
    assert STUD.bending(flat=True) == pytest.approx(1820.0 * 1.15 * 2.0625, rel=1e-12)


def test_a_joist_lifted_keeps_less_than_one_pressed_down_and_more_on_a_short_span():
    joist = IN_USE.member(section("2x10"), IN_USE.lumber("SPF", "No.2", "2x10", wet=False))
    down, short, long = joist.bending(), joist.bending(lifted=96.0), joist.bending(lifted=192.0)
    assert long < short < down


def test_shear_beside_a_joint():
    """135 x 1.6 = 216 psi; 2/3 of 216 x 1.5 x 4 is 864 lb, near the end times (4/5.5)^2."""
    far, near = (STUD.shear_at_joint(from_loaded_edge=4.0, from_end=end) for end in (60.0, 12.0))
    assert far == pytest.approx(864.0, rel=1e-12)
    assert near == pytest.approx(864.0 * (4.0 / 5.5) ** 2, rel=1e-12)


def test_a_stud_pressed_and_drawn_along_while_it_is_bent():
    """96 in over 5.5: le/d 17.45, FcE 0.822 x 510,000/17.45^2 = 1376 psi; Fc* 1150 x 1.1 x 1.6 = 2024 psi."""
    Fc, FcE = STUD.column(96.0)
    assert FcE == printed("1376", within=0.5, because="le/d is not rounded here")
    a = FcE / 2024.0
    half = (1.0 + a) / 1.6
    assert Fc == pytest.approx(2024.0 * (half - math.sqrt(half**2 - a / 0.8)), rel=1e-9)
    drawn = STUD.drawn(93.6, 1000.0, allowed=4000.0)  # Ft 450 x 1.3 x 1.6 = 936
    assert drawn == pytest.approx(0.1 + 0.25, rel=1e-12)
    pressed = STUD.pressed(100.0, 1000.0, allowed=4000.0, column=(400.0, 200.0))
    assert pressed == pytest.approx(0.0625 + 0.5, rel=1e-12)
    many = STUD.column(np.array([96.0, 120.0]))
    assert many[1][0] == pytest.approx(float(FcE), rel=1e-12)
    assert many[1][1] < many[1][0]


def test_so_many_fasteners():
    assert all_of(100.0, 4, 0.5) == 200.0
    assert [nails_or_strap(100.0, 2, strap) for strap in (150.0, 450.0)] == [200.0, 450.0]
    assert along_run(100.0, 24.0, n=1.0, length=8.0) == 300.0
    assert (
        along_run(100.0, 24.0, n=2.0, length=48.0) == 100.0
    )  # two in a short piece of 48 in: half of each is nearest this stud
    assert along_run(100.0, 24.0, n=0.0, length=48.0) == 0.0  # none on it
    assert level_force(0.004) == 250.0


def test_shear_and_pull_by_the_cosine_rule():
    """V 30, T 40, Z' 100, W' 50: (900/100 + 1600/50)/50 = 0.82."""
    assert float(hankinson_interaction(shear=30.0, tension=40.0, lateral=100.0, axial=50.0)) == pytest.approx(
        0.82, rel=1e-12
    )


def test_what_a_ring_shank_holds_and_a_bolt_does_not():
    """1800 x 0.25 x 0.2 = 90 lb an inch."""
    assert ring_shank_withdrawal(0.5, 0.2) == pytest.approx(90.0, rel=1e-12)
    assert no_withdrawal(0.5, 0.5) == 0.0
