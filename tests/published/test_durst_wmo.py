"""Averaging times: the Durst curve of ASCE 7 fig. C26.5-1. Wind in words: the WMO Beaufort scale.

The 60, 600 and 3600 s ratios are from memory, read from the curve.
"""

import pytest

from bracing.codes.gusts import gust_from_sustained
from bracing.units import MPH_PER_KILOMETRE_PER_HOUR, MPH_PER_KNOT
from tests.crosschecks.wind import (
    beaufort_fit,
    beaufort_lower_limit,
    beaufort_upper_limit,
    durst_ratio,
    fastest_mile_to_mean,
)
from tests.published.rows import split

NOT_COMPUTED = {
    "ESDU-3s": "another author's curve, 0.01 from the one used",
    "ESDU-600s": "another author's curve, 0.01 from the one used",
}
ROWS = split("durst_wmo", NOT_COMPUTED)


def beaufort(row):
    force = int(row.number("force"))
    if row.id.startswith("BFT-fit-"):
        return beaufort_fit(force + 0.5)
    unit = {"mph": "mph", "ms": "m/s", "kmh": "km/h", "kn": "kn"}[row.id.split("-")[2]]
    return (beaufort_lower_limit if row.id.endswith("-lo") else beaufort_upper_limit)(force, unit)


COMPUTED = {
    "DURST-ex-hourly": lambda row: fastest_mile_to_mean(row.number("V_fm_mph")),
    "DURST-ex-3s": lambda row: fastest_mile_to_mean(row.number("V_fm_mph"), 3.0),
    "DURST-": lambda row: durst_ratio(row.number("t_s")),
    "GUST-3s-60s": lambda row: durst_ratio(3.0) / durst_ratio(60.0),
    "GUST-3s-10min": lambda row: durst_ratio(3.0) / durst_ratio(600.0),
    "BFT-": beaufort,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_published_value(row):
    function = next(f for prefix, f in COMPUTED.items() if row.id.startswith(prefix))
    assert function(row) == pytest.approx(row.value, abs=row.tolerance)


def test_a_sustained_speed_takes_the_ratio_to_an_hourly_mean():
    (row,) = [row for row in ROWS if row.id == "DURST-3"]
    assert gust_from_sustained(1.0) == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("force", range(1, 12))
def test_the_printed_limits_agree_with_each_other_and_with_the_equation(force):
    """Each unit's column was copied by hand: they must say the same wind."""
    knots = beaufort_upper_limit(force, "kn")
    # The mph column is the knots column, rounded; the others are cut at half a step between two forces.
    assert beaufort_upper_limit(force, "mph") == pytest.approx(knots * MPH_PER_KNOT, abs=0.5)
    km_per_hour = beaufort_upper_limit(force, "km/h") * MPH_PER_KILOMETRE_PER_HOUR / MPH_PER_KNOT
    assert km_per_hour == pytest.approx(knots, abs=1.0)
    assert beaufort_upper_limit(force, "m/s") == pytest.approx(beaufort_fit(force + 0.5), abs=0.15)
