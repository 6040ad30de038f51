"""Weights off the studs' face, a lift's body, its machine, its foot and a plumbed wall: worked by hand."""

import math

import pytest
from attrs import evolve

from bracing.job.floor import Floor
from bracing.job.job import Job, Site
from bracing.job.wall import Row, Studs, Wall
from bracing.lift.foot import FootDemand, FootHold, foot_links
from bracing.lift.hung import weigh
from bracing.lift.line import TiltBody
from bracing.lift.machine import Chart, ChartRow, Machine, hook_path
from bracing.lift.plan import body_of
from bracing.lift.plumb import LeanReading, plumb
from bracing.panel.weight import take_off
from tests.approx import printed

WALL = Wall(
    name="W", top=((0.0, 120.0), (240.0, 120.0)), moisture="dry",
    studs=Studs(size="2x6", spacing=16.0, species="hem-fir", grade="No.2"),
)  # fmt: skip


def behind(name, **wall):
    """How far behind the studs' inner face a part's centre of gravity is [in]."""
    return next(part.behind for part in take_off(evolve(WALL, **wall)).parts if part.name == name)


# -- where the weight is ---------------------------------------------------------------------------------


def test_layers_lie_one_on_another_outside_the_studs():
    """2x6: studs 0 to 5.5 in, their middle at 2.75; 7/16 on them to 5.9375, its middle at 5.71875; 1/2 more on that."""
    assert behind("studs") == 2.75
    assert behind("osb 7/16", layers=("osb 7/16",)) == pytest.approx(5.71875, abs=1e-9)
    two = {"layers": ("osb 7/16", "plywood 1/2")}
    assert behind("osb 7/16", **two) == pytest.approx(5.71875, abs=1e-9)
    assert behind("plywood 1/2", **two) == pytest.approx(5.9375 + 0.25, abs=1e-9)


@pytest.mark.parametrize(
    ("kind", "size", "at"),
    [
        ("wale", "2x6", -0.75),
        ("wale", "4x6", -1.75),
        ("strongback", "2x6", -2.75),
        ("strongback", "2x8", -3.625),
    ],
)
def test_a_row_stands_off_the_studs_inner_face(kind, size, at):
    """A wale lies flat, 1 1/2 in off the studs; a strongback stands on edge, its whole width off them."""
    assert behind("rows", rows=(Row(height=90.0, kind=kind, size=size),)) == pytest.approx(at, abs=1e-9)


def test_rows_of_two_kinds_have_their_centre_between_them():
    """Alike in size and length, they weigh alike: (0.75 + 2.75)/2."""
    rows = (Row(height=40.0, kind="wale", size="2x6"), Row(height=90.0, kind="strongback", size="2x6"))
    assert behind("rows", rows=rows) == pytest.approx(-1.75, abs=1e-9)


# -- the body of a lift ----------------------------------------------------------------------------------


def body(*, deck, exposure="C"):
    floor = Floor(height_above_ground=deck, open_below=False, closed_storey=False)
    job = Job(WALL, floor=floor, site=Site(exposure=exposure))
    return body_of(job, weigh(job)[0], 120.0)


@pytest.mark.parametrize(("deck", "Kz"), [(0.0, "0.85"), (60.0, "0.85"), (240.0, "0.98"), (360.0, "1.04")])
def test_the_wind_of_a_lift_is_that_of_the_height_of_the_deck(deck, Kz):
    """ASCE 7-16 table 26.10-1, exposure C, as printed: 0.85 to 15 ft, 0.98 at 30 ft, 1.04 at 40 ft; the wall is 10 ft.

    Nothing else changes with the deck while no air passes under the wall; it is raised 0.05 of its height.
    """
    low, high = body(deck=0.0), body(deck=deck)
    assert 0.849 * high.wind_force_per_mph2 / low.wind_force_per_mph2 == printed(Kz)
    assert high.wind_moment_per_mph2 == pytest.approx(high.wind_force_per_mph2 * 66.0, rel=1e-9)


# -- the machine -----------------------------------------------------------------------------------------

EVEN = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0)
CHART = Chart((ChartRow(0.0, None, 5000.0, 2), ChartRow(400.0, None, 5000.0, 3)))


@pytest.mark.parametrize(("out", "up"), [(0.0, 0.0), (24.0, 0.0), (0.0, 12.0), (24.0, 12.0)])
@pytest.mark.parametrize(("side", "reaches"), [("outside", (220.0, 100.0)), ("inside", (-20.0, 100.0))])
def test_a_jib_takes_its_reach_and_its_rise_off_what_the_chart_is_read_at(out, up, side, reaches):
    """The wall lies toward the house: its pick 120 in in, the machine 100 in off the plate, its ground 36 in lower.

    What hangs 24 in out on a jib is reached by a boom whose point stands 24 in nearer, and 12 in lower where it rises.
    """
    machine = Machine(side, 100.0, -36.0, jib_reach=out, jib_rise=up)
    path = hook_path(EVEN, machine, CHART, sling_rise=60.0, load=1250.0, tilts=(0.0, math.pi / 2.0))
    assert [point.reach for point in path] == pytest.approx([each - out for each in reaches], abs=1e-9)
    assert [point.height for point in path] == pytest.approx([96.0 - up, 216.0 - up], abs=1e-9)


# -- the foot --------------------------------------------------------------------------------------------


def test_of_unlike_things_that_hold_a_foot_the_best_counts_alone():
    """Straps 4 x 300 = 1200 lb both ways; blocks 3 x 500 = 1500 level and none up; nails 2 x 80 and 2 x 30."""
    holds = (
        FootHold("straps", 4, 300.0, 300.0, "report"), FootHold("stop blocks", 3, 500.0, 0.0, "report"),
        FootHold("toe-nails", 2, 80.0, 30.0, "NDS"),
    )  # fmt: skip
    for order in (holds, holds[::-1]):
        kick, saw = foot_links(FootDemand(1500.0, 0.0, 1200.0, 0.0), order)
        assert (kick.capacity, saw.capacity) == (1500.0, 1200.0)
        assert kick.within  # just what they may carry is within
        assert saw.within
    kick, saw = foot_links(FootDemand(1500.1, 0.0, 1200.1, 0.0), holds)
    assert not kick.within
    assert not saw.within
    assert [link.capacity for link in foot_links(FootDemand(0.0, 0.0, 0.0, 0.0), ())] == [0.0, 0.0]


# -- plumb -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("leans", "worst", "mean"),
    [
        ((2.0, -2.0), 2.0, 0.0),
        ((1.0, -3.0), 3.0, -1.0),
        ((-1.0, -2.0), 2.0, -1.5),
        ((0.5, 1.5, 1.0), 1.5, 1.0),
    ],
)
def test_the_worst_lean_counts_whichever_way_it_goes(leans, worst, mean):
    """120 in high: tan(asin(2/120)) of the weight. Two that lean apart are no plumb wall, though their mean is none."""
    rows = [LeanReading(f"B{k}", 100.0 * k, 120.0, 2.0, 2.0 + lean) for k, lean in enumerate(leans)]
    found = plumb(rows, weight=2400.0, allowed_lean=0.02, loose={each.mark: 30 for each in rows})
    force = 2400.0 * worst / math.sqrt(120.0**2 - worst**2)
    assert found.lean_force == pytest.approx(force, rel=1e-12)
    assert found.worst_slope == pytest.approx(math.asin(worst / 120.0), rel=1e-12)
    assert found.mean_slope == pytest.approx(
        sum(math.asin(lean / 120.0) for lean in leans) / len(leans), abs=1e-12
    )
    assert sum(leans) / len(leans) == mean
    assert found.within == (force <= 48.0)
