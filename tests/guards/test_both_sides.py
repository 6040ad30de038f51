"""More thresholds people stand under, just inside, on and just past, each as the manual or a table states it.

Those of the envelope, of the clear-out gust and of what is printed are in `test_thresholds.py`.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest

from bracing.chain.materials import materials_of
from bracing.chain.wall import splitting_shear
from bracing.codes.along import of_the_first
from bracing.codes.ends import part_near_cut
from bracing.codes.nds.members import shear_capacity_at_connection
from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.diagonals import Diagonal, diagonal_faults
from bracing.job.floor import Floor, Partition
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Opening, Plate, Studs, Wall, row_faults
from bracing.lift.line import TiltBody, pull
from bracing.lift.plumb import LeanReading, plumb
from bracing.stages.take_down import on_partition_lines
from bracing.storm.clock import Clock
from bracing.storm.forecast import Forecast, Hour, checked_speed
from bracing.storm.watch import why_unknown

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
CLOCK = Clock(NOON, UTC)
HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
HAIR = 0.01  # an inch or a mph past a threshold that a person could have written


def on_both_sides(holds, at, hair):
    """What a condition says a hair under a threshold, on it and a hair past it."""
    return [holds(at - hair), holds(at), holds(at + hair)]


# -- the wall and its floor -------------------------------------------------------------------------------


def test_an_opening_is_wide_from_nine_feet():
    assert on_both_sides(lambda x: Opening(left=60.0, width=x, height=84.0).wide, 108.0, HAIR) == [
        False,
        True,
        True,
    ]


def test_a_deck_stands_over_a_closed_storey_from_six_feet_up():
    def over(height):
        return Floor(kind="deck", height_above_ground=height).over_storey

    assert on_both_sides(over, 72.0, HAIR) == [False, True, True]


@pytest.mark.parametrize(("size", "wide"), [("2x4", 3.5), ("2x6", 5.5), ("2x8", 7.25)])
def test_a_row_of_plate_nails_ends_three_eighths_off_the_far_edge(size, wide):
    def refused(row):
        return bool(row_faults(Plate(row_from_sheathed_edge=row), Studs(size=size)))

    assert on_both_sides(refused, wide - 0.375, HAIR) == [False, False, True]


def run_at(degrees):
    """How far along a wall 96 in high a diagonal of so many degrees reaches."""
    return 96.0 / math.tan(math.radians(degrees))


@pytest.mark.parametrize("foot", [24.0, 300.0])
def test_a_diagonal_stands_at_twenty_to_seventy_degrees(foot):
    def refused(degrees):
        head = foot + run_at(degrees)
        return bool(diagonal_faults(((0.0, 96.0), (720.0, 96.0)), (), ((0, Diagonal(foot=foot, head=head)),)))

    assert on_both_sides(refused, 20.0, 0.05) == [True, False, False]
    assert on_both_sides(refused, 70.0, 0.05) == [False, False, True]


def test_a_brace_under_a_foot_off_a_partition_is_on_its_line():
    """`docs/judgement.md`: within 12 in; at 12 in it is not."""
    wall = Wall(name="W", top=((0.0, 96.0), (240.0, 96.0)))
    line = Partition(start=(120.0, 0.0), end=(120.0, 100.0))

    def on_line(off):
        braces = (Brace(mark="B1", stud_at=120.0 + off, head=84.0, set_back=84.0),)
        return on_partition_lines(Job(wall, floor=Floor(partitions=(line,)), braces=braces)) == ("B1",)

    for side in (1.0, -1.0):
        assert on_both_sides(lambda off, side=side: on_line(side * off), 12.0, HAIR) == [True, False, False]


# -- strengths ---------------------------------------------------------------------------------------------


def test_a_fastener_counts_for_nothing_under_half_its_end_distance():
    """NDS 12.5.1.2: the factor is the part of the distance there is, and none is allowed under half of it."""
    assert [part_near_cut(x, 4.0) for x in (1.99, 2.0, 2.01)] == pytest.approx([0.0, 0.5, 0.5025], rel=1e-9)
    assert [part_near_cut(x, 4.0) for x in (3.99, 4.0, 4.01)] == pytest.approx([0.9975, 1.0, 1.0], rel=1e-9)


def test_three_studs_in_a_line_take_all_of_the_wind_and_the_fourth_less():
    """ASCE 7-16 figure 29.4-2, from memory: the first three frames take all of it."""
    assert [of_the_first(k) for k in (1, 2)] == [1.0, 1.0]
    assert of_the_first(3) == of_the_first(9) < 1.0


def test_a_joint_near_an_end_is_one_under_five_depths():
    """NDS 3.4.3.3, from memory: Vr = 2/3 Fv b de (de/d)^2, and from 5 d on without the square."""
    stud = section("2x6")

    def carries(from_end):
        return shear_capacity_at_connection(stud, 150.0, from_loaded_edge=4.0, from_end=from_end)

    far = 2.0 / 3.0 * 150.0 * 1.5 * 4.0
    near = far * (4.0 / 5.5) ** 2
    assert on_both_sides(carries, 27.5, HAIR) == pytest.approx([near, far, far], rel=1e-9)


def test_fewer_than_three_fasteners_stand_in_the_middle_of_a_stud():
    """`docs/judgement.md`: de of two is half the stud's width, from three on it less 1 1/2 in."""
    materials = materials_of(Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0)), studs=Studs(size="2x6"))))
    two, three, four = (
        splitting_shear(materials, from_end=60.0, doubled=False, count=count) for count in (2, 3, 4)
    )
    assert three / two == pytest.approx((5.5 - 1.5) / 2.75, rel=1e-9)
    assert four == three


# -- readings of plumb, and the line ---------------------------------------------------------------------------


def leaning(*leans):
    readings = tuple(LeanReading(f"B{k}", 100.0 * k, 120.0, 2.0, 2.0 + lean) for k, lean in enumerate(leans))
    return plumb(readings, weight=2400.0, allowed_lean=0.02, loose={one.mark: 30 for one in readings})


def test_a_lean_is_moved_from_a_thirty_second():
    """`docs/judgement.md`: nearer to nothing than to a sixteenth is not moved; either way it leans."""
    for way in (1.0, -1.0):
        found = leaning(*(way * lean for lean in (0.03, 0.03125, 0.0325)))
        assert [move.moved for move in found.moves] == [False, True, True]


def test_leans_are_alike_under_a_thirty_second():
    assert on_both_sides(lambda lean: leaning(0.25, 0.25 + lean).alike, 0.03125, 0.001) == [
        True,
        False,
        False,
    ]


def test_a_lean_past_a_quarter_of_the_height_is_a_slip_of_the_tape():
    def taken(lean):
        try:
            LeanReading("B1", 0.0, 120.0, 0.0, lean)
        except InputError:
            return False
        return True

    assert on_both_sides(taken, 30.0, HAIR) == [True, True, False]
    assert on_both_sides(taken, -30.0, HAIR) == [False, True, True]


def test_a_line_holds_from_half_an_inch_of_lever():
    """Plumb, with its pick behind the hinge alone, the lever of the line at a lean is that times its sine."""

    def line(lever):
        body = TiltBody(1000.0, 60.0, 0.0, lever, 0.0, 0.0, 0.0)
        return pull(body, 0.0).line

    none, on, past = on_both_sides(line, 0.5, HAIR)
    assert (none, on) == (None, None)
    assert past == pytest.approx(60_000.0 / 0.51, rel=1e-9)


# -- what is told of the wind ------------------------------------------------------------------------------------


def unknown(*, made=NOON, start=NOON - HOUR, end=NOON + 48 * HOUR):
    forecast = Forecast((Hour(start, end, 20.0),), zone=UTC, made=made)
    return {said.id for said in why_unknown(forecast, CLOCK)}


# Moments of a forecast, from now [minutes]: what is said a minute before the threshold, on it and a minute past it.
SAID_OF = {
    "made twelve hours ago": ("watch-old", "made", -12 * 60, [True, False, False]),
    "made an hour from now": ("watch-from-the-future", "made", 60, [False, False, True]),
    "begins now": ("watch-begins-late", "start", 0, [False, False, True]),
    "ends now": ("watch-over", "end", 0, [True, True, False]),
    "ends in a day": ("watch-ends-soon", "end", 24 * 60, [True, False, False]),
}  # fmt: skip


@pytest.mark.parametrize("name", SAID_OF)
def test_a_forecast_is_known_from_there_to_there(name):
    said, which, minutes, expected = SAID_OF[name]
    assert on_both_sides(lambda x: said in unknown(**{which: NOON + x * MINUTE}), minutes, 1) == expected


def test_speeds_of_a_forecast_end_at_250_mph():
    def taken(gust):
        try:
            return checked_speed(f"{gust:g} mph", "--gust") == gust
        except InputError:
            return False

    assert on_both_sides(taken, 250.0, HAIR) == [True, True, False]


def test_tonight_is_the_next_day_before_six_in_the_morning():
    """Friday noon: 5:59 of tonight is on Saturday; 6:00 is no longer of the night, and is Friday's, as of today."""
    assert CLOCK.read("tonight 5:59 am") == datetime(2026, 3, 7, 5, 59, tzinfo=UTC)
    assert CLOCK.read("tonight 6:00 am") == datetime(2026, 3, 6, 6, 0, tzinfo=UTC)
    assert CLOCK.read("tonight 6:01 am") == datetime(2026, 3, 6, 6, 1, tzinfo=UTC)


def test_a_time_that_passed_six_hours_ago_is_asked_about_and_one_before_is_of_tomorrow():
    for said in ("6:01 am", "6:00 am"):
        with pytest.raises(InputError, match="has begun"):
            CLOCK.read(said)
    assert CLOCK.read("5:59 am") == datetime(2026, 3, 7, 5, 59, tzinfo=UTC)


def test_a_date_may_be_a_day_past_and_no_more():
    assert CLOCK.read("2026-03-05 12:00") == NOON - timedelta(days=1)
    assert CLOCK.read("2026-03-05 12:01") == NOON - timedelta(days=1) + MINUTE
    with pytest.raises(InputError, match="has not passed"):
        CLOCK.read("2026-03-05 11:59")
