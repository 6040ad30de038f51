"""USDA Wood Handbook, chapter 8: average ultimate withdrawal; FPL-093 for the older nail constant.

The screw and lag equations were seen on public pages that print them, not in the handbook itself.
"""

import pytest

from bracing.codes.nds.withdrawal import lag_withdrawal, nail_withdrawal
from tests.crosschecks.connections import HANDBOOK, OLD_NAIL, handbook_withdrawal
from tests.published.rows import Rows, label

ROWS = Rows("fpl")
KIND = {"nail": "nail", "screw": "wood screw", "lag": "lag"}


@pytest.mark.parametrize("row", ROWS.of("WH-nail", "WH-screw", "WH-lag"), ids=label)
def test_ultimate_withdrawal(row):
    kind = KIND[row.id.split("-")[1]]
    value = handbook_withdrawal(kind, row.number("G"), row.number("D_in")) * row.number("L_in")
    assert value == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("WH-const"), ids=label)
def test_handbook_constant(row):
    assert HANDBOOK[KIND[row.id.rsplit("-", 1)[1]]] == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("FPL093"), ids=label)
def test_older_nail_constant(row):
    constant = float(OLD_NAIL)
    assert constant == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("NDS-ratio"), ids=label)
def test_design_values_lie_a_known_factor_under_the_ultimate(row):
    G, D = 0.43, 0.375
    if row.id.endswith("lag"):
        ratio = handbook_withdrawal("lag", G, D) / lag_withdrawal(G, D)
    else:
        ratio = OLD_NAIL * G**2.5 * D / nail_withdrawal(G, D)
    assert ratio == pytest.approx(row.value, abs=row.tolerance)


def test_every_row_is_computed():
    assert ROWS.complete(), ROWS.faults()
    assert len(ROWS.every) == 29
