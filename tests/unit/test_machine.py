"""The hook over the arc, and a load chart read down."""

from __future__ import annotations

import math

import pytest

from bracing.errors import InputError
from bracing.lift.line import TiltBody
from bracing.lift.machine import Machine, hook_path, least_margin, power_line_distance
from bracing.reading.charts import chart_from_text, read_chart

EVEN = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 75.0, 1.25)
GRID = "reach_ft,height_ft,capacity_lb\n10,0,8000\n20,0,4000\n30,0,2000\n10,20,7000\n20,20,3500\n10,40,6000\n"


def test_between_rows_the_lower_capacity_is_read_and_never_one_in_between():
    chart = chart_from_text(GRID)
    assert chart.capacity(120.0, 0.0) == 8000.0
    assert chart.capacity(120.1, 0.0) == 4000.0
    assert chart.capacity(150.0, 60.0) == 3500.0
    assert chart.capacity(120.0, 239.0) == 7000.0


@pytest.mark.parametrize(
    "point", [(119.0, 0.0), (361.0, 0.0), (120.0, 481.0), (241.0, 120.0), (130.0, 300.0)]
)
def test_off_the_chart_is_a_no(point):
    """Nearer than the first row, past the last, higher than it goes, or beside a row that is not there."""
    assert chart_from_text(GRID).capacity(*point) is None


def test_a_chart_without_heights_is_read_by_reach():
    chart = chart_from_text("reach_m,capacity_kg\n3,3000\n6,1200\n")
    assert chart.capacity(4.0 / 0.0254, 9999.0) == pytest.approx(1200 * 2.2046226, rel=1e-6)


def test_the_hook_comes_in_and_up_over_the_arc_from_outside_and_goes_out_from_inside():
    chart = chart_from_text("reach_ft,capacity_lb\n0,5000\n60,5000\n")
    tilts = [math.radians(d) for d in (0, 30, 60, 90)]

    def path(side):
        return hook_path(EVEN, Machine(side, 200.0, -36.0), chart, sling_rise=60.0, load=1250.0, tilts=tilts)

    outside, inside = path("outside"), path("inside")
    assert [p.reach for p in outside] == sorted((p.reach for p in outside), reverse=True)
    assert [p.height for p in outside] == sorted(p.height for p in outside)
    assert inside[0].reach == pytest.approx(80.0, abs=1e-9)
    assert inside[-1].reach == pytest.approx(200.0, abs=1e-9)


def test_rigging_hangs_on_the_hook_too_and_the_boom_can_run_out():
    chart = chart_from_text("reach_ft,capacity_lb\n0,5000\n60,5000\n")
    machine = Machine("outside", 200.0, -36.0, rigging=300.0, most_height=180.0)
    path = hook_path(EVEN, machine, chart, sling_rise=60.0, load=1250.0, tilts=(0.0, math.pi / 2))
    assert path[0].load == 1550.0
    assert path[0].margin == 3450.0
    assert path[1].capacity is None
    assert least_margin(path) is path[1]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", ["file"]),
        (" , ,\n", ["line 1"]),
        ("reach,capacity\n1,2\n", ["line 1", "line 1"]),
        ("reach_ft,height_ft\n1,2\n", ["line 1"]),
        ("reach_ft,reach_m,capacity_lb\n1,2,3\n", ["line 1"]),
        ("reach_ft,capacity_lb\n", ["line 2"]),
        (
            "reach_ft,capacity_lb\nten,6000\n20,\n30,-5\n",
            ["line 2, reach", "line 3, capacity", "line 4, capacity"],
        ),
        ("reach_ft,capacity_lb\n10,6000,1\n20,nan\n", ["line 2", "line 3, capacity"]),
        ("reach_ft,capacity_lb\n10,6000\n\n10,6000\n", ["line 4"]),
        ("reach_ft,capacity_lb\n10,2500\n20,6000\n", ["line 3, capacity"]),
        ("reach_ft,capacity_lb\n10,0\n", ["line 2, capacity"]),
    ],
)
def test_a_bad_chart_is_refused_line_by_line(text, lines):
    with pytest.raises(InputError) as caught:
        chart_from_text(text)
    assert [fault.field for fault in caught.value.faults] == lines


def test_a_chart_that_is_not_there_or_not_text_is_refused(tmp_path):
    with pytest.raises(InputError, match="a load chart, CSV, that exists"):
        read_chart(tmp_path / "none.csv")
    wrong = tmp_path / "chart.csv"
    wrong.write_bytes(b"reach_ft,capacity_lb\n\xff\xfe,1\n")
    with pytest.raises(InputError, match="UTF-8"):
        read_chart(wrong)


def test_an_unknown_voltage_takes_the_larger_distance_and_past_the_table_there_is_none():
    assert power_line_distance(None)[0] == 600.0
    assert power_line_distance(1001.0)[0] == math.inf
