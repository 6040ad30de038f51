"""ACI 318-19 chapter 17, with examples A1 to A3 of ACI 349.2R-07.

A cross-check only: the program computes no anchor, it takes the allowables the user types.
"""

import math

import pytest

from tests.crosschecks import connections as anchors
from tests.published.rows import Rows, label

ROWS = Rows("aci318")
PHI_DUCTILE_STEEL = 0.8


def kip(value):
    return value / 1000.0


@pytest.mark.parametrize("row", ROWS.of("ACI-A1-Nb", "ACI-A3-Nb", "ACI-Nb17"), ids=label)
def test_concrete_breakout(row):
    value = anchors.anchor_breakout(row.number("kc"), row.number("f'c_psi"), row.number("hef_in"))
    if row.id.startswith("ACI-A"):
        value = kip(value)
    assert value == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("ACI-A1-Npn", "ACI-A3-Npn"), ids=label)
def test_pullout_of_a_headed_stud(row):
    value = kip(anchors.headed_pullout(row.number("Abrg_in2"), row.number("f'c_psi")))
    assert value == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("ACI-A3-Nsa"), ids=label)
def test_steel_of_a_stud(row):
    value = kip(anchors.anchor_steel(row.number("Ase_in2"), row.number("futa_psi")))
    assert value == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("ACI-A1-phiN"), ids=label)
def test_design_tension_of_example_a1(row):
    """Half-inch stud, futa 65 ksi: the printed 12.7627 kip is checked on the way."""
    steel = kip(anchors.anchor_steel(math.pi / 4.0 * 0.5**2, 65000.0))
    assert steel == pytest.approx(row.number("Nsa_kip"), abs=0.0005)
    assert PHI_DUCTILE_STEEL * steel == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("ACI-A2-Vcb"), ids=label)
def test_shear_breakout_of_example_a2(row):
    """Half-inch stud welded to a plate; side edge and thickness over 1.5 ca1, so the area ratio is 1."""
    ca1 = row.number("ca1_in")
    assert min(row.number("ca2_in"), row.number("ha_in")) >= 1.5 * ca1
    value = anchors.welded_stud_shear_breakout(0.5, row.number("hef_in"), fc=row.number("f'c_psi"), edge=ca1)
    assert kip(value) == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("ACI-kc"), ids=label)
def test_breakout_constant(row):
    assert anchors.K_C[row.inputs["anchor"]] == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("ACI-ANco"), ids=label)
def test_breakout_area(row):
    assert anchors.anchor_breakout_area(row.number("hef_in")) == pytest.approx(row.value, abs=row.tolerance)


def test_every_row_is_computed():
    assert ROWS.complete(), ROWS.faults()
    assert len(ROWS.every) == 18
