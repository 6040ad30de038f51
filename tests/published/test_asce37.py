"""ASCE/SEI 37-14, Design Loads on Structures during Construction, 6.2.1: construction-period wind.

0.80 is seen in print; the other factors are from memory (so marked in the csv).
"""

import pytest

from bracing.codes.asce7.velocity import velocity_pressure
from bracing.codes.gusts import construction_period_factor, equivalent_gust_of_design
from tests.published.rows import split

NOT_COMPUTED: dict[str, str] = {}
ROWS = split("asce37", NOT_COMPUTED)
WEEK, YEAR = 604800.0, 31557600.0
INSIDE = {
    "lt6wk": (0.0, 5.99 * WEEK),
    "6wk-1yr": (6.0 * WEEK, 0.99 * YEAR),
    "1-2yr": (YEAR, 1.99 * YEAR),
    "2-5yr": (2.0 * YEAR, 4.99 * YEAR),
}


@pytest.mark.parametrize("row", [row for row in ROWS if row.id.startswith("A37")], ids=lambda row: row.id)
def test_factor_on_the_design_speed(row):
    for stands in INSIDE[row.inputs["duration"]]:
        factor = construction_period_factor(stands)
        if row.id.endswith("-q"):
            # On pressure: the same wall at the reduced and at the full design speed.
            reduced, full = (
                velocity_pressure(equivalent_gust_of_design(115.0, factor=f), kz=0.85) for f in (factor, 1.0)
            )
            assert reduced / full == pytest.approx(row.value, abs=row.tolerance)
        else:
            assert factor == pytest.approx(row.value, abs=row.tolerance)


def test_tilt_up_guideline_speed():
    """100 mph and 0.8 make the guideline's 80 mph, strength level (so without the 0.6 and 0.85)."""
    (row,) = [row for row in ROWS if not row.id.startswith("A37")]
    factor = construction_period_factor(0.5 * YEAR)
    actual = equivalent_gust_of_design(row.number("basic_mph"), factor=factor, kd=1.0, load_factor=1.0)
    assert actual == pytest.approx(row.value, abs=row.tolerance)


def test_no_reduction_past_five_years():
    assert construction_period_factor(5.0 * YEAR) == pytest.approx(1.0, abs=1e-12)
