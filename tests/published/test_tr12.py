"""AWC Technical Report 12 (2015), General Dowel Equations: table 1-1 and example 3.1."""

import pytest

from bracing.codes.nds.dowels import Bearing, Dowel, wood_bearing
from bracing.codes.nds.gaps import modes_across_gap
from bracing.job.fasteners import bending_yield
from tests.published.rows import Rows, label

ROWS = Rows("tr12")


def reduced(inputs, gap):
    D, Fe = float(inputs["D_in"]), float(inputs["Fe_psi"])
    main, side = (Bearing(float(inputs[length]), Fe) for length in ("lm_in", "ls_in"))
    return modes_across_gap(Dowel(D, D, float(inputs["Fyb_psi"])), main, side, gap=gap).by_name()


EXAMPLE = ROWS.of("TR12-ex3p1-g0")


@pytest.mark.parametrize("row", EXAMPLE, ids=label)
def test_example_3_1_without_a_gap(row):
    inputs = next(other.inputs for other in EXAMPLE if "Fe_psi" in other.inputs)
    assert wood_bearing(float(inputs["G"]), 0.5) == float(inputs["Fe_psi"])
    values = reduced(inputs, 0.0)
    mode = row.id.rsplit("-", 1)[1]
    value = min(values.values()) if mode == "Z" else values[mode]
    assert value == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("TR12-gap", "TR12-nail-gap"), ids=label)
def test_dowel_across_a_gap(row):
    if row.id.startswith("TR12-nail"):
        assert bending_yield(row.number("D_in")) == row.number("Fyb_psi")
    values = reduced(row.inputs, row.number("gap_in"))
    assert min(values.values()) == pytest.approx(row.value, abs=row.tolerance)
    assert min(values, key=values.get) == row.mode


def test_every_row_is_computed():
    assert ROWS.complete(), ROWS.faults()
    assert len(ROWS.every) == 9
