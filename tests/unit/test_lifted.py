"""A joist lifted by a foot: what its free lower edge leaves of its bending strength."""

import math

import numpy as np
import pytest

from bracing.codes.nds.members import KEPT, beam_buckling_stress, beam_slenderness, lifted_buckling_stress
from bracing.job.lumber import section

EMIN = 510_000.0


def energy_buckling_moment(b, d, span, *, pieces=60):
    """Least moment at which a beam rolling about its held edge has an energy of nothing, by Rayleigh and Ritz.

    Lateral movement of the centre is a times the roll; the roll is a sum of sines. Bending, twist and the work of the
    moment are integrated on a grid, so nothing of the closed form is used.
    """
    a, Iy, J = d / 2.0, d * b**3 / 12.0, b**3 * d / 3.0 * (1.0 - 0.63 * b / d)
    x = (np.arange(2000) + 0.5) / 2000.0 * span
    k = np.arange(1, pieces + 1)[:, None] * math.pi / span
    slope, bow = k * np.cos(k * x), -(k**2) * np.sin(k * x)
    dx = span / len(x)
    stiff = EMIN * Iy * a**2 * bow @ bow.T * dx + EMIN / 16.0 * J * slope @ slope.T * dx
    work = 2.0 * a * slope @ slope.T * dx
    return float(np.min(np.real(np.linalg.eigvals(np.linalg.solve(work, stiff)))))


@pytest.mark.parametrize("size", ["2x6", "2x8", "2x10", "2x12"])
@pytest.mark.parametrize("span", [96.0, 168.0, 240.0])
def test_a_lifted_joist_buckles_where_its_energy_says(size, span):
    shape = section(size)
    M = energy_buckling_moment(shape.thickness, shape.width, span)
    stress = M / shape.section_modulus(strong=True)
    assert lifted_buckling_stress(EMIN, span, b=shape.thickness, d=shape.width) == pytest.approx(
        KEPT * stress, rel=1e-6
    )


@pytest.mark.parametrize("size", ["2x8", "2x10", "2x12"])
def test_a_deck_on_the_tension_edge_helps_and_does_not_hold_the_other_edge(size):
    """Stiffer than a beam with neither edge held under end moments (le = 1.84 lu), and not without limit."""
    shape, span = section(size), 168.0
    RB = beam_slenderness(1.84 * span, shape.width, shape.thickness)
    free = beam_buckling_stress(EMIN, RB)
    held = lifted_buckling_stress(EMIN, span, b=shape.thickness, d=shape.width)
    assert free < held < 5.0 * free
