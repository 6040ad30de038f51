"""Yield of a dowel found by limit analysis, against the published closed forms.

A rigid-plastic dowel in rigid-plastic wood: the greatest shear that some bearing pressure, within the bearing
strength everywhere, can carry while the moment stays within the plastic moment everywhere. That is a linear
programme over pressures on a fine grid, from equilibrium alone; none of the package's formulas enter it.
"""

import numpy as np
import pytest
from scipy.optimize import linprog

from bracing.codes.nds.dowels import Bearing, Dowel, reduction_terms, yield_modes
from bracing.codes.nds.gaps import modes_across_gap

CELLS = 80
# What a grid of 80 cells a member costs; it falls with finer ones (last test).
GRID = 2e-3


def collapse(segments, moment, cells=CELLS):
    """Greatest side force of a dowel through segments (length, strength per length, belongs to the side)."""
    dx, limit, is_side = [], [], []
    for length, strength, side in segments:
        if length <= 0.0:
            continue
        dx += [length / cells] * cells
        limit += [strength] * cells
        is_side += [side] * cells
    dx, limit, is_side = np.array(dx), np.array(limit), np.array(is_side)
    n = len(dx)
    x = np.cumsum(dx) - dx / 2.0
    edges = np.cumsum(dx)
    # Moment at edge k of the pressures before it: sum of q_j dx_j (edge_k - x_j).
    arm = np.where(np.arange(n)[None, :] <= np.arange(n)[:, None], edges[:, None] - x[None, :], 0.0) * dx
    balance = np.vstack([dx, dx * (edges[-1] - x)])
    result = linprog(
        -(dx * is_side),
        A_ub=np.vstack([arm, -arm]),
        b_ub=np.full(2 * n, moment),
        A_eq=balance,
        b_eq=np.zeros(2),
        bounds=list(zip(-limit, limit, strict=True)),
        method="highs",
    )
    assert result.status == 0
    return -result.fun


CASES = {  # D, Fyb, lm, Fem, ls, Fes
    "Im": (0.5, 45e3, 0.5, 5600.0, 1.5, 5600.0),
    "Is": (0.5, 45e3, 3.5, 5600.0, 0.5, 4000.0),
    "II": (0.75, 45e3, 1.5, 5000.0, 1.5, 3600.0),
    "IIIm": (0.5, 45e3, 1.1, 4000.0, 3.5, 5600.0),
    "IIIs": (0.162, 90e3, 1.838, 4650.0, 0.75, 3350.0),
    "IV": (0.162, 90e3, 1.838, 3350.0, 1.5, 4650.0),
}
# Rd of the mode: the limit analysis finds the yield load, the design value is that over Rd.
GROUP = {"Im": 0, "Is": 0, "II": 1, "IIIm": 2, "IIIs": 2, "IV": 2}


@pytest.mark.parametrize("mode", CASES)
def test_single_shear(mode):
    D, Fyb, lm, Fem, ls, Fes = CASES[mode]
    yield_load = collapse([(ls, Fes * D, True), (lm, Fem * D, False)], Fyb * D**3 / 6.0)
    dowel = Dowel(D, D, Fyb)
    modes = yield_modes(dowel, Bearing(lm, Fem), Bearing(ls, Fes))
    Rd = reduction_terms(dowel, 0.0)
    # Modes differ in Rd, so the least yield load is found before dividing.
    loads = {name: value * Rd[GROUP[name]] for name, value in modes.by_name().items()}
    assert min(loads, key=loads.get) == mode
    assert loads[mode] == pytest.approx(yield_load, rel=GRID)


@pytest.mark.parametrize("gap", [0.1, 0.5])
@pytest.mark.parametrize("mode", ["II", "IIIm", "IIIs", "IV"])
def test_single_shear_across_a_gap(mode, gap):
    D, Fyb, lm, Fem, ls, Fes = CASES[mode]
    segments = [(ls, Fes * D, True), (gap, 0.0, False), (lm, Fem * D, False)]
    yield_load = collapse(segments, Fyb * D**3 / 6.0)
    dowel = Dowel(D, D, Fyb)
    Rd = reduction_terms(dowel, 0.0)
    modes = modes_across_gap(dowel, Bearing(lm, Fem), Bearing(ls, Fes), gap=gap).by_name()
    least = min(value * Rd[GROUP[name]] for name, value in modes.items())
    assert least == pytest.approx(yield_load, rel=GRID)


DOUBLE = {
    "Im": (0.5, 45e3, 1.5, 3150.0, 1.5, 5600.0),
    "Is": (0.5, 45e3, 5.5, 5600.0, 0.5, 3150.0),
    "IIIs": (0.5, 45e3, 5.5, 5600.0, 1.5, 5600.0),
    "IV": (0.25, 70e3, 5.5, 5600.0, 3.5, 5600.0),
}


@pytest.mark.parametrize("mode", DOUBLE)
def test_double_shear(mode):
    D, Fyb, lm, Fem, ls, Fes = DOUBLE[mode]
    segments = [(ls, Fes * D, True), (lm, Fem * D, False), (ls, Fes * D, True)]
    yield_load = collapse(segments, Fyb * D**3 / 6.0)
    dowel = Dowel(D, D, Fyb)
    modes = yield_modes(dowel, Bearing(lm, Fem), Bearing(ls, Fes), double_shear=True)
    Rd = reduction_terms(dowel, 0.0)
    loads = {name: value * Rd[GROUP[name]] for name, value in modes.by_name().items()}
    assert min(loads, key=loads.get) == mode
    assert loads[mode] == pytest.approx(yield_load, rel=GRID)


def test_a_finer_grid_comes_nearer():
    D, Fyb, lm, Fem, ls, Fes = CASES["IIIs"]
    segments, moment = [(ls, Fes * D, True), (lm, Fem * D, False)], Fyb * D**3 / 6.0
    dowel = Dowel(D, D, Fyb)
    exact = yield_modes(dowel, Bearing(lm, Fem), Bearing(ls, Fes)).IIIs * reduction_terms(dowel, 0.0)[2]
    coarse, fine = (abs(collapse(segments, moment, cells) / exact - 1.0) for cells in (10, 80))
    assert fine < coarse / 3.0
