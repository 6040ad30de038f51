"""EN 1991-1-4:2005 wind actions, 7.4.1 free-standing walls; EN 1991-1-6:2005 actions during execution.

All of EN 1991-1-6 is from memory (so marked in the csv).
"""

import pytest

from tests.crosschecks.wind import (
    execution_least_velocity,
    execution_return_period,
    net_pressure_coefficient,
    peak_velocity_pressure,
    probability_factor,
    roughness_length,
)
from tests.published.rows import split

NOT_COMPUTED: dict[str, str] = {}
ROWS = split("en1991", NOT_COMPUTED)
DAYS = {
    "EN16-T2": (1.0, 3.0),
    "EN16-T5": (4.0, 90.0),
    "EN16-T10": (100.0, 365.0),
    "EN16-T50": (400.0, 5000.0),
}


def worked_example(row):
    """Wall 2 m high on a base of 8 m, terrain III: the pressure of each zone at 10 m."""
    velocity = row.number("vb0") * probability_factor(row.number("T"))
    pressure = peak_velocity_pressure(velocity, terrain=row.inputs["terrain"], height=row.number("z"))
    zone = row.id.rsplit("-", 1)[1]
    return pressure * net_pressure_coefficient(
        zone, length_over_height=row.number("l/h"), solidity=row.number("solidity")
    )


COMPUTED = {
    "EN79-phi1-": lambda row: net_pressure_coefficient(
        row.inputs["zone"], length_over_height=row.number("l_over_h")
    ),
    "EN79-corner-": lambda row: net_pressure_coefficient(
        row.inputs["zone"], length_over_height=5.0, corner_over_height=1.0
    ),
    "EN79-phi08": lambda row: [
        net_pressure_coefficient(zone, length_over_height=l_over_h, solidity=0.8)
        for zone in "ABCD"
        for l_over_h in (2.0, 5.0, 20.0)
    ],
    "EN-ex-": worked_example,
    "EN-cprob-": lambda row: probability_factor(row.number("T_years")),
    "EN-z0-": lambda row: roughness_length(row.inputs["terrain"]),
    "EN16-T": lambda row: [execution_return_period(days) for days in DAYS[row.id]],
    "EN16-vmin": lambda row: execution_least_velocity(30.0),
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_published_value(row):
    function = next(f for prefix, f in COMPUTED.items() if row.id.startswith(prefix))
    actual = function(row)
    for value in actual if isinstance(actual, list) else [actual]:
        assert value == pytest.approx(row.value, abs=row.tolerance)


def test_a_corner_shorter_than_the_wall_is_high_lies_between():
    free, half, full = (
        net_pressure_coefficient("A", length_over_height=5.0, corner_over_height=r) for r in (0.0, 0.5, 1.0)
    )
    assert half == pytest.approx((free + full) / 2.0, abs=1e-12)
