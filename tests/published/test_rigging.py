"""Rigging and raising as published: slings, power lines, hand raising, the start of a tilt.

Sling tension-factor charts on the basis of ASME B30.9; 29 CFR 1926.1408 Table A and 1926.1409; US Navy training manual
NAVEDTRA 14044; statics of a hinged wall. Weights of the same table are in test_weights.py.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from bracing.lift.line import TiltBody, pull
from bracing.lift.machine import power_line_distance
from bracing.lift.slings import bridle, tension_factor
from bracing.sources import shipped

with Path(__file__).with_name("rigging.csv").open(encoding="utf-8", newline="") as file:
    ROWS = {
        row["id"]: row for row in csv.DictReader(file) if not row["id"].startswith(("DL-", "DENS-", "PLF-"))
    }

POWER_LINES = {
    "CFR1408-le50": (50.0,),
    "CFR1408-50-200": (51.0, 200.0),
    "CFR1408-200-350": (201.0, 350.0),
    "CFR1408-350-500": (351.0, 500.0),
    "CFR1408-500-750": (501.0, 750.0),
    "CFR1408-750-1000": (751.0, 1000.0),
}
TAGS = "capacities are typed from the user's own tags"
NOT_COMPUTED = {
    "DF-synthetic-web": TAGS,
    "DF-synthetic-roundsling": TAGS,
    "DF-wire-rope": TAGS,
    "DF-alloy-chain": TAGS,
    "DF-shackles-and-rigging-hardware": TAGS,
    "CHOKER": TAGS,
    "BASKET": TAGS,
    "CFR251-proof": TAGS,
    "CFR704b": "inserts cast into concrete panels; a framed wall has none",
    "CFR704c": "inserts cast into concrete panels; a framed wall has none",
    "CFR704d": "hardware for precast concrete; the user's own tags carry their factor",
    "CFR1431g": "personnel platforms; nobody is lifted here",
}


def printed(key: str) -> tuple[float, float]:
    return float(ROWS[key]["value"]), float(ROWS[key]["tolerance"])


def inputs(key: str) -> dict[str, float]:
    return {k: float(v) for k, v in (pair.split("=", 1) for pair in ROWS[key]["inputs"].split(";"))}


def off_vertical(key: str) -> float:
    given = inputs(key)
    return math.radians(90.0 - given.get("angle_from_horizontal_deg", given.get("angle_deg", math.nan)))


def angle_of_leg(given: dict[str, float]) -> float:
    return math.acos(given["H_in"] / given["L_in"])


@pytest.mark.parametrize("key", [key for key in ROWS if key.startswith("SLING-T-")])
def test_sling_tension_factors(key):
    value, tolerance = printed(key)
    assert tension_factor(off_vertical(key)) == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize("key", [key for key in ROWS if key.startswith("SLING-R-")])
def test_sling_reduction_factors(key):
    value, tolerance = printed(key)
    assert 1.0 / tension_factor(off_vertical(key)) == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize("key", [key for key in ROWS if key.startswith("SLING-leg-")] + ["SLING-ex-4"])
def test_leg_tensions(key):
    value, tolerance = printed(key)
    given = inputs(key)
    assert given["legs"] == 2
    each = 60.0 / math.sin(off_vertical(key))
    ours = [given["load_lbf"] * share for share in bridle(120.0, 0.0, (each, each)).tensions]
    assert ours[0] == pytest.approx(ours[1], rel=1e-12)
    assert ours[0] == pytest.approx(value, abs=tolerance)


def test_example_of_a_reduced_capacity_from_height_and_length():
    value, _ = printed("SLING-ex-1")
    given = inputs("SLING-ex-1")
    ours = given["rating_lbf"] / tension_factor(angle_of_leg(given))
    assert ours == pytest.approx(value, abs=1e-6)


def test_example_of_a_required_rating_from_height_and_length():
    value, _ = printed("SLING-ex-2")
    given = inputs("SLING-ex-2")
    ours = given["load_lbf"] * tension_factor(angle_of_leg(given))
    assert ours == pytest.approx(value, abs=1e-6)


def test_example_of_the_ten_inch_rule():
    value, _ = printed("SLING-ex-5")
    given = inputs("SLING-ex-5")
    assert tension_factor(angle_of_leg(given)) == pytest.approx(value, abs=1e-9)


def test_least_horizontal_angle_is_the_angle_never_passed():
    value, _ = printed("SLING-min-angle")
    assert 90.0 - shipped("lifting")["sling"]["never_deg"] == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize("key", POWER_LINES)
def test_power_line_distances(key):
    for kilovolts in POWER_LINES[key]:
        assert power_line_distance(kilovolts)[0] / 12.0 == pytest.approx(printed(key)[0], abs=1e-9)


def test_of_an_unknown_voltage_the_distance_of_lines_over_350_kv_counts():
    """1926.1409(a): of lines over 350 kV, 50 ft wherever 1926.1408 says 20 ft."""
    assert power_line_distance(None)[0] / 12.0 == pytest.approx(printed("CFR1409-unknown")[0], abs=1e-9)
    assert power_line_distance(None)[0] > power_line_distance(1000.0)[0]


def test_crew_of_the_navy_manual():
    assert shipped("lifting")["crew"]["feet_of_wall_each"] == pytest.approx(
        printed("NAVY-crew")[0], abs=1e-12
    )


@pytest.mark.parametrize("key", [key for key in ROWS if key.startswith("TILT-lift-")])
def test_start_of_the_tilt_of_an_even_wall_is_half_its_weight(key):
    value, _ = printed(key)
    high = inputs(key)["height_ft"] * 12.0
    even = TiltBody(1000.0, high / 2.0, 2.75, high, 2.75, 0.0, 0.0)
    assert pull(even, 0.0).line == pytest.approx(1000.0 * value, abs=1e-9)


def test_every_published_row_is_computed_or_said_not_to_be():
    computed = {key for key in ROWS if key.startswith(("SLING-", "TILT-lift-"))}
    computed |= {"CFR1409-unknown", "NAVY-crew"}
    assert computed | set(POWER_LINES) | set(NOT_COMPUTED) == set(ROWS)
