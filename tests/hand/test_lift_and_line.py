"""Weights off the studs' face, a lift's body, its machine, its foot and a plumbed wall: worked by hand."""

import math

import pytest
from attrs import evolve

from bracing.chain.materials import materials_of
from bracing.job.brace import Brace
from bracing.job.floor import Floor
from bracing.job.job import Job, Site
from bracing.job.lumber import species_names
from bracing.job.wall import Row, Studs, Wall
from bracing.lift.foot import FootDemand, FootHold, foot_by_machine, foot_links, hand_raise
from bracing.lift.hung import weigh, weigh_hung, weigh_lightly, with_braces
from bracing.lift.line import TiltBody
from bracing.lift.links import LiftRequest
from bracing.lift.machine import Chart, ChartRow, Machine, hook_path
from bracing.lift.picks import hang
from bracing.lift.plan import body_of, plan_lift
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


@pytest.mark.parametrize("said", [None, True, False])
def test_what_nobody_said_of_braces_and_lumber_weighs_nothing_against_the_wind(said):
    """A lighter wall slacks its line in less wind: the light side is the wall dry and no heavier than declared."""
    brace = Brace(mark="B1", stud_at=48.0, head=100.0, set_back=100.0, size="2x6")
    job = Job(evolve(WALL, moisture="green"), braces=(brace,))
    heavy, light, _ = weigh_hung(job, braces_on=said)
    assert light.weight == pytest.approx(weigh_lightly(job).weight, rel=1e-12)
    assert heavy.weight > light.weight
    plan = plan_lift(job, LiftRequest(braces_on=said))
    assert plan.gusts.slack == pytest.approx(
        plan_lift(job, LiftRequest(braces_on=False)).gusts.slack, rel=1e-9
    )


def test_braces_of_a_species_nobody_read_weigh_no_less_than_of_any():
    brace = Brace(mark="B1", stud_at=48.0, head=100.0, set_back=100.0, size="2x6")
    job, wall = Job(WALL, braces=(brace,)), take_off(WALL)
    silent = with_braces(job, wall).weight
    for name in species_names():
        told = evolve(job, kit=evolve(job.kit, species=name), declared=frozenset({"kit.species"}))
        assert wall.weight < with_braces(told, wall).weight <= silent + 1e-9


# -- slings and what hangs ---------------------------------------------------------------------------------


def test_the_legs_of_a_raked_wall_pull_hardest_as_it_comes_upright():
    """Two legs to picks at two heights. The chord between the picks keeps its length and tilts; so do both angles.

    Over the chord each leg stands as the law of cosines has it; T1 cos a1 = T2 cos a2 and T1 sin a1 + T2 sin a2 = W.
    """
    job = Job(evolve(WALL, top=((0.0, 96.0), (240.0, 168.0))))
    found = plan_lift(job, LiftRequest(pick_at=(48.0, 192.0), slings=180.0))
    one, other = found.slings.lengths
    first, last = found.picks.picks
    long, up = math.hypot(last.x - first.x, last.z - first.z), last.z - first.z
    over_one = math.acos((one**2 + long**2 - other**2) / (2.0 * one * long))
    over_other = math.acos((other**2 + long**2 - one**2) / (2.0 * other * long))

    def hardest(degrees):
        slope = math.asin(up * math.sin(math.radians(degrees)) / long)
        low, high = over_one + slope, over_other - slope
        return max(math.cos(low), math.cos(high)) / math.sin(low + high)

    assert hardest(90.0) > 1.02 * hardest(0.0)
    assert found.slings.check.tension == pytest.approx(
        max(map(hardest, range(0, 91, 5))) * found.rigged, rel=1e-6
    )


def test_each_sling_of_a_spreader_is_for_the_pick_that_pulls_most():
    """The middle of the wall is at 120 in: of picks at 48 and 144 the nearer carries 72/96, wherever it stands."""
    for places in ((48.0, 144.0), (96.0, 192.0)):
        found = plan_lift(Job(WALL), LiftRequest(spreader=True, pick_at=places))
        assert found.slings.check.tension == pytest.approx(0.75 * found.rigged, rel=1e-3)


def test_wood_that_hangs_carries_for_seven_days_and_not_for_ten_minutes():
    """NDS 2.3.2: 1.25 for construction loads, 1.6 for wind."""
    job = Job(WALL)
    hung = hang(WALL, take_off(WALL), drop=0.0, dynamic=0.25)
    windy = materials_of(job).stud_values().Fb
    assert hung.strength[0] == pytest.approx(windy * 1.25 / 1.6, rel=1e-9)


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


def test_hands_push_the_foot_of_a_wall_hardest_where_the_law_has_it():
    """1000 lb, middle 60 in up, hands at 78 in: past 40.5 degrees they push at 78/sin t along it, 769 cos t sin t.

    Level that is 769 cos t sin^2 t, greatest at 54.7 degrees; of every five degrees at 55: 296 lb.
    """
    foot = hand_raise(EVEN, highest=120.0, length=24.0, lift_each=50.0, reach=78.0).foot
    t = math.radians(55.0)
    by_hand = 1000.0 * 60.0 / 78.0 * math.cos(t) * math.sin(t) ** 2
    assert by_hand == pytest.approx(296.1, abs=0.1)
    assert foot.thrust == pytest.approx(by_hand, rel=1e-9)
    assert foot.thrust_tilt == pytest.approx(t, rel=1e-9)


def test_at_plumb_the_line_leans_on_the_foot_beside_the_wind():
    """Its lever is gone: all of the weight may hang on it, 5 degrees off plumb; 200 lb of wind beside, 287 lb."""
    body = evolve(EVEN, wind_moment_per_mph2=30.0, wind_force_per_mph2=0.5)
    by_hand = 0.5 * 20.0**2 + 1000.0 * math.sin(math.radians(5.0))
    assert foot_by_machine(body, 20.0).thrust == pytest.approx(by_hand, rel=1e-9)


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


def test_a_foot_of_which_nobody_knows_what_is_left_without_it_stays():
    """It is as if its wall held nothing then; one with 30 mph left is let go at 25."""
    rows = [LeanReading(f"B{k}", 100.0 * k, 120.0, 2.0, 4.0) for k in range(3)]
    found = plumb(rows, weight=2400.0, allowed_lean=0.02, loose={"B1": 30}, gust=25.0)
    assert (found.stays, found.order) == (("B0", "B2"), ("B1",))
