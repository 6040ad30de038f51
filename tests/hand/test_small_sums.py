"""Small sums between the large ones, each by hand: a sign, a side, a cosine, a least of three."""

from __future__ import annotations

import math
from datetime import UTC, datetime

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.cuts import cut_of
from bracing.chain.evaluate import Limits
from bracing.chain.foot import along_brace, block_ends, joist_bending, limp_cleat, moment_at_middle
from bracing.chain.forces import mirrored, solve_forces
from bracing.chain.groups import all_groups
from bracing.chain.links import LinkId
from bracing.chain.materials import materials_of
from bracing.chain.model import build_model
from bracing.chain.plate import strap_lever
from bracing.chain.room import blocks_shared, wood_blocks
from bracing.chain.room import counted as joint_counted
from bracing.chain.studs import StudUse, plies_of
from bracing.chain.ties import tie_at_brace
from bracing.chain.wall import wall_strength
from bracing.check import check
from bracing.choosing import first_greatest, whole_up
from bracing.codes.asce7.walls import coefficient_floor, solidity, wind_fields
from bracing.codes.ends import net_lift
from bracing.codes.ground import lateral_bearing, weight_lifted, what_holds
from bracing.codes.gusts import gust_as_heavy, kept_clear
from bracing.codes.nds.bending_and_axial import bending_and_compression
from bracing.codes.nds.factors import toe_nail_main
from bracing.codes.nds.spacing import fasteners_that_fit, least_spacing
from bracing.codes.nds.withdrawal import allowable_withdrawal, least_along
from bracing.codes.pressures import PressureField, Pressures
from bracing.codes.sticks import Stick, level_give, own_moment_of, slip_of_joint, slips_in_line
from bracing.drawing.elevation import elevation
from bracing.drawing.model import Area, DrawnLine
from bracing.errors import InputError
from bracing.job.brace import Brace, Cleat, Head, JointId, Kit, Stock, Tie
from bracing.job.diagonals import Diagonal
from bracing.job.envelope import across_opening, past_practice
from bracing.job.fasteners import fastener
from bracing.job.floor import Blocks, CrossCleat, Floor, Ground, Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job, Site
from bracing.job.lumber import section
from bracing.job.wall import Opening, Row, Studs, TopPlate, Wall
from bracing.layout.candidates import head_heights
from bracing.layout.needed import needed_on_file
from bracing.lift.foot import foot_by_machine, hand_raise
from bracing.lift.hung import weigh_lightly
from bracing.lift.line import TiltBody, rig_for
from bracing.lift.machine import Chart, ChartRow, Machine, hook_path
from bracing.lift.picks import Pick, PickPlan
from bracing.panel.weight import take_off
from bracing.reading.forecast import Declared, read_forecast
from bracing.reading.jobs import job_from_text, read_job
from bracing.results import foot_x
from bracing.stages.stages import start_of
from bracing.storm.clock import Clock
from bracing.storm.ladder import limits_in, profile
from bracing.text.hand_check import widths
from bracing.work.joints import brace_joints
from bracing.work.parts import CutStick, Piece, joint_fasteners, plan_cuts, tie_fasteners, tie_lengths
from bracing.work.remedies import Change, asked_for, counted, enough_blocks, strap_for
from tests.cli.running import EXAMPLES

SPF = {"species": "spruce-pine-fir", "grade": "No.2"}
WALL = Wall(
    name="W", top=((0.0, 120.0), (240.0, 120.0)), layers=("osb 7/16",), moisture="green",
    studs=Studs(size="2x6", spacing=16.0, **SPF),
)  # fmt: skip
KIT = Kit(
    **SPF, head=Head(joint="lapped", fastener="10d common"),
    cleat=Cleat(brace_fastener="10d common", floor_fastener="10d common", sides=2),
)  # fmt: skip
BRACE = Brace(
    mark="B1", stud_at=48.0, head=100.0, set_back=100.0, size="2x4", ties=1,
    head_fasteners=4, cleat_fasteners=4, floor_fasteners=2,
)  # fmt: skip


def job(*braces, wall=WALL, floor=None, kit=KIT):
    return Job(wall=wall, floor=floor or Floor(), kit=kit, braces=braces or (BRACE,))


# -- the brace --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("degrees", "each"), [(0.0, 1.0), (60.0, 2.0), (45.0, math.sqrt(2.0))])
def test_a_steeper_brace_has_more_along_it(degrees, each):
    """The level part of a force F along a brace is F cos(angle): for a pound level, 1/cos."""
    assert along_brace(math.radians(degrees)) == pytest.approx(each, rel=1e-12)


@pytest.mark.parametrize(("degrees", "moment"), [(0.0, 250.0), (60.0, 125.0), (90.0, 0.0)])
def test_a_steeper_brace_is_bent_less_by_its_own_weight(degrees, moment):
    """0.2 lb/in on 100 in: 0.2 x 100^2/8 = 250 lb in level, half of it across a brace at 60 degrees, none upright."""
    assert own_moment_of(0.2, math.radians(degrees), 100.0) == pytest.approx(moment, abs=1e-9)


@pytest.mark.parametrize(("ties", "each"), [(0, 120.0), (1, 60.0), (2, 40.0)])
def test_ties_cut_a_brace_in_one_piece_more(ties, each):
    stick = Stick(section("2x4"), 120.0, math.radians(45.0), 0.1, ties=ties)
    assert stick.segment == pytest.approx(each, rel=1e-12)


@pytest.mark.parametrize(("lap", "at"), [("left", 46.5), ("right", 49.5)])
def test_a_foot_lies_on_the_side_its_brace_laps(lap, at):
    """Half a stud and half a brace, 3/4 in each, off the middle of the stud at 48 in."""
    assert foot_x(job(evolve(BRACE, lap_side=lap)), 0, 48.0) == pytest.approx(at, abs=1e-12)


# -- studs ------------------------------------------------------------------------------------------------------


def test_a_stud_drawn_is_used_as_its_pull_and_one_pressed_as_the_square_of_its_push():
    """NDS 3.9-1 and 3.9-3 without a moment: T/(A Ft'), and (fc/Fc')^2."""
    stud = materials_of(job()).stud()
    use = StudUse(area=np.array([8.25]), allowed=1e4, stud=stud, heights=np.array([120.0]))
    none = np.zeros(1)
    once, twice = (use(none, np.array([pull]))[0] for pull in (500.0, 1000.0))
    assert twice == pytest.approx(2.0 * once, rel=1e-9)
    once, twice = (use(none, np.array([-push]))[0] for push in (500.0, 1000.0))
    assert twice == pytest.approx(4.0 * once, rel=1e-9)
    assert once > 0.0


@pytest.mark.parametrize(("doubled", "plies"), [(False, 1.0), (True, 2.0)])
def test_a_stud_doubled_at_a_brace_bends_as_two(doubled, plies):
    model = build_model(job(evolve(BRACE, stud_doubled=doubled)))
    mesh = model.meshes[0]
    at = np.isclose(mesh.x[mesh.element_nodes[mesh.on_stud, 0]], 48.0)
    assert at.any()
    assert set(plies_of(model)[at]) == {plies}


def test_a_cover_bends_its_header_by_a_quarter_of_its_width_times_the_force_at_its_end():
    """An even load w on a span L: w L/2 at each end, w L^2/8 in the middle, which is L/4 times as much."""
    door = Opening(left=96.0, width=60.0, height=84.0)
    model = build_model(job(wall=evolve(WALL, openings=(door,))))
    push = solve_forces(model, "push", gust=40.0)
    groups = {group.link: group for group in all_groups(push, mirrored(push))}
    ends, bent = (
        np.abs(groups[link].allowance).max() for link in (LinkId("header end"), LinkId("header bending"))
    )
    assert ends > 0.0
    assert bent == pytest.approx(ends * 60.0 / 4.0, rel=1e-9)


# -- the foot ---------------------------------------------------------------------------------------------------


def test_a_joist_bent_up_has_its_lower_edge_free():
    """NDS 3.3.3: the factor for beam stability is under 1, and falls with the span; bent down the deck holds it."""

    def share(span):
        floor = Floor(kind="deck", joists=Joists(run="away", spacing=16.0, size="2x10", span=span, **SPF))
        down, up = joist_bending(materials_of(job(floor=floor)), evolve(BRACE, foot_on="joist"))
        return up.capacity / down.capacity

    shares = [share(span) for span in (96.0, 144.0, 192.0)]
    assert 1.0 > shares[0] > shares[1] > shares[2] > 0.0


@pytest.mark.parametrize(("screws", "most"), [(2, True), (4, False)])
def test_no_more_blocks_are_lifted_than_have_a_screw(screws, most):
    """At 45 degrees a pound level lifts a pound, half of it at each of two cleats; one screw hangs it on one block."""
    floor = Floor(
        kind="deck", joists=Joists(run="away", size="2x10", **SPF), blocks=Blocks(under_each_cleat=2)
    )
    brace = evolve(BRACE, foot_on="block", floor_fasteners=screws)
    found = materials_of(job(brace, floor=floor))
    lifted = block_ends(found, brace, limp_cleat(found, brace, screws // 2, stiffness=1e4)).per_pound
    assert lifted == pytest.approx(0.5, rel=1e-9) if most else lifted < 0.499


def test_the_least_of_thread_head_and_steel_counts():
    assert [least_along(*each) for each in ((1.0, 2.0, 3.0), (2.0, 1.0, 3.0), (3.0, 2.0, 1.0))] == [1.0] * 3


# -- weight and wind --------------------------------------------------------------------------------------------


def test_people_keep_away_by_height_drop_and_four_feet():
    """OSHA 1926.706(a)(2): the height and four feet; a wall whose ground lies 3 ft lower falls 3 ft further."""
    assert kept_clear(120.0, 36.0, 4.0) == 120.0 + 36.0 + 48.0


def test_against_the_wind_a_wall_of_undeclared_moisture_is_weighed_dry():
    """Hem-fir at 15 and 30%: 29.16 and 31.25 lb/ft3 (NDS-S Table 1B)."""
    wall = evolve(WALL, layers=(), studs=Studs(size="2x6", spacing=16.0, species="hem-fir", grade="No.2"))
    assert take_off(wall).weight / weigh_lightly(job(wall=wall)).weight == pytest.approx(
        31.25 / 29.16, rel=1e-3
    )
    told = evolve(job(wall=wall), declared=frozenset({"wall.moisture"}))
    assert weigh_lightly(told).weight == take_off(wall).weight


def test_of_two_gusts_in_a_row_the_greater_counts(tmp_path):
    path = tmp_path / "f.csv"
    said = {20: "G 30 mph, later G 45 mph", 21: "G 50 mph, later G 45 mph"}
    rows = [f"2026-03-06 {hour}:00;{text}" for hour, text in said.items()]
    path.write_text("\n".join(["time;gust", *rows, ""]), encoding="utf-8")
    clock = Clock(datetime(2026, 3, 6, 12, 0, tzinfo=UTC), UTC)
    found = read_forecast(str(path), clock, Declared(zone="America/Chicago"))
    assert [hour.given for hour in found.hours] == [45.0, 50.0]


def test_what_is_nailed_over_an_opening_stops_the_wind():
    """20 x 10 ft with 5 x 7 ft left open or covered: 165 of 200 sf are solid, or all."""
    for covered, part in ((True, 1.0), (False, (200.0 - 35.0) / 200.0)):
        door = Opening(left=96.0, width=60.0, height=84.0, covered=covered)
        told = job(wall=evolve(WALL, openings=(door,)))
        assert solidity(told, frame_wall(told.wall)) == pytest.approx(part, rel=1e-9)


@pytest.mark.parametrize("hour", [False, True])
def test_a_limit_of_another_profile_has_the_same_pressure(hour):
    """A gust squared times its profile is the pressure the wall goes at, whichever way the wind is made."""
    told, found = evolve(job(), site=Site(exposure="B")), Limits(40.0, 36.0)
    turned = limits_in(told, found, worst=not hour, hour=hour)
    pressure = [profile(told, thunderstorm=one) for one in (not hour, hour)]
    assert pressure[0] != pressure[1]
    assert turned.limit**2 * pressure[1] == pytest.approx(40.0**2 * pressure[0], rel=1e-9)
    assert turned.with_people**2 * pressure[1] == pytest.approx(36.0**2 * pressure[0], rel=1e-9)


# -- places and cuts --------------------------------------------------------------------------------------------


def test_the_top_of_a_window_is_its_sill_and_its_height():
    assert Opening(left=96.0, width=36.0, height=48.0, sill=36.0).top == 84.0


def test_bracing_starts_at_the_peak_of_a_gable_and_in_the_middle_of_a_level_wall():
    gable = evolve(WALL, top=((0.0, 96.0), (60.0, 100.0), (90.0, 150.0), (240.0, 96.0)))
    assert (start_of(gable), start_of(WALL)) == (90.0, 120.0)


@pytest.mark.parametrize("off", [17.99, 18.0, 18.01])
def test_a_brace_stands_at_a_wide_opening_within_a_foot_and_a_half_of_its_edge(off):
    """`docs/judgement.md`, wide openings."""
    door = Opening(left=60.0, width=120.0, height=84.0)
    wall = evolve(WALL, openings=(door,))
    assert across_opening(wall, 60.0 - off, 180.0 + 1.0) == (off <= 18.0)
    assert across_opening(wall, 60.0 - 1.0, 180.0 + off) == (off <= 18.0)


@pytest.mark.parametrize("degrees", [30.0, 60.0])
def test_a_plumb_head_is_cut_at_what_the_foot_leaves_of_a_right_angle(degrees):
    """Plumb against level: the two cuts of one stick make 90 degrees."""
    kit = evolve(KIT, head=evolve(KIT.head, joint="plumb"))
    back = 100.0 / math.tan(math.radians(degrees))
    cut = cut_of(job(kit=kit), evolve(BRACE, set_back=back))
    assert (cut.foot_angle, cut.head_angle) == (
        pytest.approx(degrees, rel=1e-9),
        pytest.approx(90.0 - degrees, rel=1e-9),
    )


@pytest.mark.parametrize(("apart", "pieces"), [(144.0, (168.0,)), (168.0, (192.0,)), (169.0, (108.5, 108.5))])
def test_a_tie_row_runs_a_foot_past_both_its_end_braces(apart, pieces):
    """24 in longer than from brace to brace; one stick of 16 ft to 192 in, then two of equal length lapped 24 in."""
    braces = (BRACE, evolve(BRACE, mark="B2", stud_at=48.0 + apart))
    wall = evolve(WALL, top=((0.0, 120.0), (480.0, 120.0)))
    found = tie_lengths(job(*braces, wall=wall))[: len(pieces)]
    assert found == pytest.approx(pieces, rel=1e-9)


# -- joints -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("degrees", "deep"), [(0.0, 2.0), (30.0, 3.0 * math.sqrt(0.75) - 1.0), (60.0, 0.5)])
def test_a_toe_nail_starts_a_third_of_its_length_up(degrees, deep):
    """NDS-C C12.5.4: driven a third of its length from the end, so much of it is in the side member."""
    assert toe_nail_main(3.0, math.radians(degrees)) == pytest.approx(deep, rel=1e-9)


@pytest.mark.parametrize(("degrees", "moment"), [(45.0, 30.0), (60.0, 30.0 * math.sqrt(3.0))])
def test_a_foot_at_mid_span_bends_its_joist_by_a_quarter_of_lift_times_span(degrees, moment):
    """A load P at the middle of L: P L/4; a pound level lifts tan(angle)."""
    assert moment_at_middle(math.radians(degrees), 120.0) == pytest.approx(moment, rel=1e-9)


@pytest.mark.parametrize("wide", [7.25, 9.25, 11.25])
def test_rows_stand_no_further_apart_than_five_inches_over_all(wide):
    """NDS 12.5.1.3: 5 in between the outer rows of fasteners, unless the wood may shrink freely."""
    kept = least_spacing(fastener("lag 1/2x5"), load="parallel")
    rows = fasteners_that_fit(48.0, wide, kept).rows
    assert rows >= 1
    assert (rows - 1) * kept.between_rows <= 5.0
    free = math.floor((wide - 2.0 * kept.edge) / kept.between_rows + 1e-9) + 1
    assert rows < free or (free - 1) * kept.between_rows <= 5.0


@pytest.mark.parametrize("count", [1, 2, 3])
def test_so_many_nails_hold_a_stud_to_its_top_plate(count):
    wall = evolve(WALL, top_plate=TopPlate(end_nails=count))
    push = solve_forces(build_model(job(wall=wall)), "push", gust=40.0)
    (group,) = [each for each in all_groups(push, mirrored(push)) if each.link is LinkId.TOP_TO_STUD][:1]
    one = evolve(WALL, top_plate=TopPlate(end_nails=1))
    push = solve_forces(build_model(job(wall=one)), "push", gust=40.0)
    (single,) = [each for each in all_groups(push, mirrored(push)) if each.link is LinkId.TOP_TO_STUD][:1]
    assert group.capacity == pytest.approx(count * np.asarray(single.capacity), rel=1e-9)
    assert not [why for why in group.why if why.id == "and-a-strap"]  # there is none


def test_a_column_is_used_as_the_square_of_its_push_and_its_bending_grows_with_it():
    """NDS 3.9-3: (fc/Fc)^2 + fb/(Fb (1 - fc/FcE)); 300 of 600 and 200 of 1000 psi, FcE 500: 1/4 + 0.2/0.4."""
    assert bending_and_compression(300.0, 0.0, Fc=600.0, Fb=1000.0, FcE=500.0) == pytest.approx(
        0.25, rel=1e-9
    )
    assert bending_and_compression(300.0, 200.0, Fc=600.0, Fb=1000.0, FcE=500.0) == pytest.approx(
        0.75, rel=1e-9
    )


def test_a_nail_in_wet_wood_that_dries_holds_a_quarter():
    """NDS 12.2.1 and table 11.3.3, from memory: W' = W p CD CM, CM 0.25 for nails fastened wet and dry in service."""
    held = allowable_withdrawal(30.0, 2.0, 1.6, CM=0.25, Ceg=1.0, Ctn=1.0)
    assert held == pytest.approx(30.0 * 2.0 * 1.6 / 4.0, rel=1e-9)


def test_a_plate_heavier_than_its_lift_is_not_pushed_up():
    """0.6 D holds it down (ASCE 7-16 2.4.1): 10 lb/in of lift less 0.6 x 5, and nothing of less than the weight."""
    assert net_lift(np.array([10.0, 2.0]), np.array([5.0, 5.0])) == pytest.approx([7.0, 0.0], abs=1e-12)


def test_a_design_speed_is_as_heavy_as_a_gust_of_its_factored_load():
    """V sqrt(0.6 x 0.85) of ASCE 7-16 2.4.1 and table 26.6-1, and three quarters for a short stand: 61.6 of 115."""
    heavy = gust_as_heavy(115.0, 0.75, 0.85, load_factor=0.6)
    assert heavy == pytest.approx(115.0 * 0.75 * math.sqrt(0.51), rel=1e-9)


def test_counts_are_whole_and_the_first_of_equals_counts():
    assert [whole_up(x) for x in (2.0, 2.01, 2.5, 2.99, 3.0)] == [2, 3, 3, 3, 3]
    assert [first_greatest(row) for row in ([1.0, 3.0, 3.0], [3.0, 3.0, 1.0], [2.0])] == [1, 0, 0]


# -- people, and what they see ----------------------------------------------------------------------------------


def test_people_enough_lift_the_wall():
    """1000 lb with its centre half-way up lifts at the head as 500 lb: ten people at 51 lb, twelve at 45."""
    even = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0)
    for each in (51.0, 47.0, 45.0):
        found = hand_raise(even, highest=120.0, length=24.0, lift_each=each, reach=78.0)
        assert found.people * each >= max(500.0, found.worst)
        assert (found.people - 1) * each < max(found.start, found.worst)


def test_what_is_rigged_for_has_its_dynamic_part():
    assert rig_for(1000.0, 0.25) == pytest.approx(1250.0, rel=1e-12)


def test_a_brace_is_drawn_beside_its_stud():
    """The stick of a 2x4 on edge, 1 1/2 in wide, about the middle of its foot: 46 1/2 in where it laps left."""
    (stick,) = [
        item for item in elevation(job(evolve(BRACE, lap_side="left"))).items
        if isinstance(item, Area) and item.layer == "BRACES" and max(z for _, z in item.points) == 100.0
    ]  # fmt: skip
    assert sorted({x for x, _ in stick.points}) == pytest.approx([45.75, 47.25], rel=1e-9)


def test_braces_hold_the_wall_to_half_way_to_their_neighbours():
    assert widths([24.0, 72.0, 168.0], WALL) == [(0.0, 48.0), (48.0, 120.0), (120.0, 240.0)]


@pytest.mark.parametrize("height", [96.0, 120.0, 144.0])
def test_no_head_is_tried_under_two_thirds_of_a_stud(height):
    """`docs/judgement.md`: a head under two thirds of the height is warned of."""
    assert min(head_heights(height)) >= height * 2.0 / 3.0


# -- the lift ---------------------------------------------------------------------------------------------------

EVEN = TiltBody(1000.0, 60.0, 0.0, 120.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(("most", "reads"), [(215.9, False), (216.0, True), (216.1, True), (None, True)])
def test_a_hook_past_the_boom_has_no_capacity(most, reads):
    """Upright the pick is at 120, its sling 60 above it and the machine's ground 36 below the floor: 216 in."""
    chart = Chart((ChartRow(0.0, None, 5000.0, 2), ChartRow(400.0, None, 5000.0, 3)))
    machine = Machine("outside", 100.0, -36.0, most_height=most)
    tilts = (0.0, math.pi / 2.0)
    low, high = hook_path(EVEN, machine, chart, sling_rise=60.0, load=1250.0, tilts=tilts)
    assert low.capacity == 5000.0
    assert (high.capacity is not None) is reads


def test_a_line_that_leans_toward_the_house_counts():
    """Picked at 50 in, under its centre at 60: at 45 degrees the line leans a off plumb, W 60/50 cos 45/cos(45 + a).

    Of it the sine of a is at the foot. Leaning the other way that is never over W 60/50 tan(a), as flat on the floor.
    """
    a, low = math.radians(5.0), evolve(EVEN, pick_up=50.0)
    at_45 = 1200.0 * math.cos(math.pi / 4.0) / math.cos(math.pi / 4.0 + a) * math.sin(a)
    assert foot_by_machine(low, 0.0).thrust >= at_45 > 1200.0 * math.tan(a)


def test_a_pitch_rises_over_half_of_a_gable():
    """6 in 12 over 12 ft is 6 ft: 14 ft at the peak of a wall of 24 ft, 8 ft at its ends."""
    told = job_from_text('[wall]\nlength = "24 ft"\nheight = "8 ft"\npitch = "6/12"\n', "gable.toml")
    assert told.wall.top == ((0.0, 96.0), (144.0, 168.0), (288.0, 96.0))


def test_a_line_acts_where_its_picks_share_it():
    """A quarter of it at 100 in and three quarters at 140: at 130 in."""
    picks = (Pick("P1", 48.0, 100.0, 200.0, 0.25), Pick("P2", 192.0, 140.0, 600.0, 0.75))
    assert PickPlan(picks, hook_x=156.0, bending=None, tried=1).up == pytest.approx(130.0, rel=1e-12)


def test_three_fasteners_of_a_cleat_take_two_blocks():
    """Two stand side by side in one, so three take a second: six at a foot of two cleats over no joist."""
    floor = Floor(kind="deck", joists=Joists(run="away", spacing=16.0, first=0.0))
    kit = Kit(cleat=Cleat(sides=2))
    brace = Brace(mark="B1", stud_at=24.0, head=84.0, set_back=84.0, floor_fasteners=6, foot_on="joist")
    declared = frozenset({"floor.joists.run", "floor.joists.first", "floor.joists.spacing"})
    job = Job(wall=WALL, floor=floor, kit=kit, braces=(brace,), declared=declared)
    assert wood_blocks(job, brace) == 2
    assert wood_blocks(job, evolve(brace, floor_fasteners=8)) == 2
    assert wood_blocks(job, evolve(brace, floor_fasteners=10)) == 3


@pytest.mark.parametrize(("before", "after", "more"), [(16.0, 8.0, 15), (12.0, 8.0, 10), (16.0, 12.0, 5)])
def test_a_closer_spacing_takes_the_nails_it_adds(before, after, more):
    """Along 20 ft: 240 in at 16, 12 and 8 in are 15, 20 and 30."""
    job = Job(wall=evolve(WALL, plate=evolve(WALL.plate, spacing=before)))
    change = Change("plate nails", "wall.plate.spacing", before, after)
    assert counted(job, change) == more


@pytest.mark.parametrize("cases", [(1.2, 1.5), (1.5, 1.2)])
def test_the_mean_is_the_greater_of_open_and_closed_under_the_wall(cases):
    """Case B is heavier at an end and no mean."""
    fields = [
        PressureField("A", gap, ((0.0, 240.0, mean),), slope=0.0, x_bar=120.0, rise=0.0, z_bar=60.0)
        for gap, mean in zip(("closed", "open"), cases, strict=True)
    ]
    turned = evolve(fields[0], case="B left", zones=((0.0, 240.0, 9.0),))
    assert Pressures((turned, *fields), q=0.002).mean == 1.5


def test_a_strap_to_the_plate_alone_carries_no_lift_past_it():
    assert not evolve(WALL.plate, strap_at_brace_lb=900.0, strap_to="plate").bypassed
    assert evolve(WALL.plate, strap_at_brace_lb=900.0, strap_to="framing").bypassed
    assert not evolve(WALL.plate, strap_at_brace_lb=0.0, strap_to="framing").bypassed


@pytest.mark.parametrize(
    ("left", "stands"), [(1.5, True), (1.4, False), (202.5, True), (202.6, False), (204.0, False)]
)
def test_an_opening_leaves_the_stud_at_either_end(left, stands):
    """Of a wall of 240 in an opening 36 wide ends 1.5 in before the end stud's far side: at 238.5."""
    opening = Opening(left=left, sill=36.0, width=36.0, height=36.0)
    if stands:
        assert frame_wall(evolve(WALL, openings=(opening,))).members
        return
    with pytest.raises(InputError, match="end stud"):
        frame_wall(evolve(WALL, openings=(opening,)))


def test_people_are_out_of_a_wall_beyond_what_is_covered():
    """It has no clear-out gust: at any gust asked nobody may be beside it."""
    tall = Job(wall=evolve(WALL, top=((0.0, 372.0), (240.0, 372.0))))
    result = check(tall, gust=5.0, effects=False)
    assert (result.clear_out, result.people_out) == (None, True)


def test_a_meter_is_held_over_its_own_floor():
    """5 ft over a floor 55 ft up it is nearly as high as the wall, and reads nearly what it feels."""
    readings = {}
    for floor in (0.0, 660.0):
        declared = frozenset({"floor.height_above_ground"})
        job = Job(wall=WALL, floor=Floor(kind="slab", height_above_ground=floor), declared=declared)
        held = evolve(check(job, effects=False), limits=Limits(100.0, 100.0))
        readings[floor] = held.clear_out_on_meter / held.clear_out
    assert readings[660.0] > readings[0.0]


def test_a_foot_presses_with_the_upright_part_of_its_thrust():
    """At 30 degrees half of 100 lb along the brace; level it would be 86.6."""
    one = next(iter(check(CHECKED, effects=False).braces))
    tilted = evolve(one, push=100.0, angle=math.radians(30.0))
    assert tilted.foot_down == pytest.approx(50.0, rel=1e-12)
    assert evolve(tilted, angle=math.radians(60.0)).foot_down == pytest.approx(86.6025, rel=1e-6)


def test_the_brace_that_matters_most_is_that_of_the_wall_at_rest():
    """At rest the first costs most, lost in the gust the second: one line tells the one, another the other."""
    told = check(CHECKED, effects=False)
    for name, gusts in (("missing", (12.0, 20.0, 30.0)), ("lost", (9.0, 7.0, 30.0))):
        object.__setattr__(told, name, gusts)
    first, second = (brace.mark for brace in CHECKED.braces[:2])
    assert (told.one_missing, told.matters_most, told.one_lost) == (12, first, (7, second))


CHECKED = read_job(EXAMPLES / "short-wall-braced.toml")


def test_a_head_goes_level_as_its_stick_shortens_and_its_joints_slip():
    """12 ft 2x4 of E 1.4e6 at 60 degrees: 144 / (1.4e6 x 5.25) = 1.959e-5; joints of 4, 4 and 5 at 18,574 lb/in.

    1/(4 x 18574) = 1.346e-5 twice and 1/(5 x 18574) = 1.077e-5 make 3.769e-5. A pound level is two along the stick,
    and what the stick shortens lets the head go twice as far: four times the sum, 2.291e-4; with three times the
    slip 5.307e-4.
    """
    joints = [slip_of_joint(count, 18574.0) for count in (4.0, 4.0, 5.0)]
    assert joints == pytest.approx([1.346e-5, 1.346e-5, 1.077e-5], abs=0.0005e-5)
    for times, each in ((1.0, 2.291e-4), (3.0, 5.307e-4)):
        slip = slips_in_line(*joints, times=times)
        assert slip == pytest.approx(times * 3.769e-5, rel=2e-4)
        give = level_give(144.0, 1.4e6, 5.25, slip=slip, angle=math.radians(60.0))
        assert give == pytest.approx(each, rel=3e-4)


# -- what is bought, asked for and told -------------------------------------------------------------------------


def test_a_saw_takes_its_own_off_a_stick():
    """docs/judgement.md: a quarter of an inch a cut. Two of 8 ft come out of no stick of 16 ft."""
    left = CutStick("2x4", 192.0, (Piece("a", "2x4", 60.0), Piece("b", "2x4", 60.0))).left
    assert left == pytest.approx(192.0 - 120.0 - 0.5, abs=1e-9)
    halves = [Piece(name, "2x4", 96.0) for name in ("a", "b")]
    assert len(plan_cuts(halves, [Stock("2x4", 192.0)]).sticks) == 2


@pytest.mark.parametrize("rows", [1, 2])
def test_a_tie_row_takes_fasteners_at_every_brace_and_at_both_ends_of_both_its_diagonals(rows):
    """Three braces of two each, and four ends of three: 18 a row."""
    kit = evolve(KIT, tie=Tie(at_each_brace=2, diagonal_fasteners=3))
    braces = tuple(evolve(BRACE, mark=f"B{k}", stud_at=48.0 * k) for k in (1, 2, 3))
    found = tie_fasteners(job(*braces, kit=kit), rows)
    assert found == {kit.tie.fastener: 18 * rows}


def test_a_foot_on_cross_cleats_takes_screws_into_four_joists():
    """Two cleats, each over two joists, so many into each."""
    crossed = CrossCleat(fastener="structural screw 0.22x5", each_joist=3)
    floor = Floor(kind="deck", cross_cleat=crossed)
    brace = evolve(BRACE, foot_on="cross cleat")
    assert joint_fasteners(job(brace, floor=floor), brace)[crossed.fastener] == 2 * 2 * 3


@pytest.mark.parametrize(("load", "asked"), [(100.0, 100.0), (101.0, 125.0), (110.0, 125.0), (124.0, 125.0)])
def test_a_strap_is_asked_for_that_holds_all_of_the_load(load, asked):
    assert (asked_for(load), strap_for(load)) == (asked, asked)


@pytest.mark.parametrize(("screws", "blocks"), [(2, 1), (4, 2), (5, 3), (6, 3), (7, 4)])
def test_every_screw_of_two_cleats_has_a_block(screws, blocks):
    """So many as the fuller of the two has: of seven one has four."""
    brace = evolve(BRACE, foot_on="block", floor_fasteners=screws)
    floor = Floor(kind="deck", joists=Joists(run="away"))
    assert enough_blocks(job(brace, floor=floor), (brace,)) == blocks


@pytest.mark.parametrize("loads", [(100.0, 300.0), (300.0, 100.0)])
def test_a_joint_is_asked_for_the_greater_of_push_and_pull(loads):
    """At 45 degrees 300 lb level are 300 √2 along the brace, whichever way it is worked."""
    floor = Floor(kind="deck", joists=Joists(run="away", size="2x10", **SPF))
    cleat = next(each for each in brace_joints(job(floor=floor), [loads]) if each.joint == "brace to cleat")
    assert cleat.shear == pytest.approx(300.0 * math.sqrt(2.0), rel=1e-9)


def test_blocks_between_joists_are_asked_to_hold_the_upright_part_of_the_pull():
    """Each end of so many blocks takes its part of half of what is drawn up: the pull times the sine of its angle."""
    floor = Floor(kind="deck", joists=Joists(run="away", spacing=16.0, first=8.0))
    declared = frozenset({"floor.joists.run", "floor.joists.first", "floor.joists.spacing"})
    steep = Brace(
        mark="B1", stud_at=32.0, head=100.0, set_back=60.0, size="2x6", ties=1, head_fasteners=6, cleat_fasteners=8,
        floor_fasteners=6, foot_on="joist",
    )  # fmt: skip
    braces = tuple(evolve(steep, mark=f"B{k}", stud_at=x) for k, x in enumerate((32.0, 128.0, 208.0), 1))
    told = evolve(job(*braces, floor=floor), declared=declared)
    result = check(told, gust=20.0, effects=False)
    (said,) = [each for each in needed_on_file(result) if each.id == "blocks-between-joists"]
    values = dict(said.values)
    pull = max(brace.pull * brace.head / math.hypot(brace.head, brace.set_back) for brace in result.braces)
    each = pull / 2.0 / values["count"]
    assert pull > 0.0
    assert each <= values["load"].value < each + 25.0


@pytest.mark.parametrize(
    ("at", "left", "right"), [(40.0, False, True), (60.0, True, True), (200.0, True, False)]
)
def test_an_end_past_its_brace_is_as_long_as_from_there_to_its_own_end(at, left, right):
    """`docs/judgement.md`: over 4 ft from the last brace to an end of a 20 ft wall is warned of."""
    assert past_practice(WALL, -math.inf, at) is left
    assert past_practice(WALL, at, math.inf) is right


def test_the_second_stud_is_drawn_on_the_far_side_of_the_brace():
    """The brace laps left of the stud at 48 in: the second stud stands right of it, and what is drawn of it."""
    for lap, other in (("left", 49.5), ("right", 46.5)):
        drawn = elevation(job(evolve(BRACE, lap_side=lap, stud_doubled=True))).items
        doubled = {
            x for item in drawn if isinstance(item, DrawnLine) and item.layer == "STUDS" and item.width == 1.0
            for x, _ in item.points
        }  # fmt: skip
        assert doubled == {48.0, other}


# -- more of the chain --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [30.0, 45.0, 60.0])
def test_the_long_point_of_a_foot_lies_half_a_stick_over_its_sine_out(degrees):
    """A 2x4 cut level: 1.75 in across it are 1.75/sin(angle) along the floor."""
    brace = evolve(BRACE, set_back=100.0 / math.tan(math.radians(degrees)))
    out = cut_of(job(), brace).foot_out - brace.set_back
    assert out == pytest.approx(1.75 / math.sin(math.radians(degrees)), rel=1e-9)


@pytest.mark.parametrize(("there", "count"), [(1, 1), (2, 2), (3, 2), (4, 4)])
def test_of_two_cleats_the_one_with_fewer_fasteners_is_told(there, count):
    """They share the load evenly: the third of three is alone in one of them."""
    floor = Floor(kind="slab")
    found = joint_counted(job(floor=floor), evolve(BRACE, floor_fasteners=there), JointId.FLOOR)
    assert found.count == count


@pytest.mark.parametrize("beside", [None, 0.75])
def test_a_strap_is_pulled_by_the_row_farther_off(beside):
    """A 2x6 plate, 5.5 in, held 0.75 in from its sheathed edge, 4.75 from the other: 2 x 4.75/5.5."""
    plate = evolve(
        WALL.plate, strap_at_brace_lb=900.0, strap_to="plate", row_from_sheathed_edge=0.75,
        extra=evolve(WALL.plate.extra, at_each_brace=2, row_from_sheathed_edge=2.75 if beside is None else beside),
    )  # fmt: skip
    assert strap_lever(job(wall=evolve(WALL, plate=plate))) == pytest.approx(2.0 * 4.75 / 5.5, rel=1e-9)


def test_a_diagonal_let_in_takes_its_depth_out_of_every_stud():
    """3/4 in out of 5 1/2: bending goes as the square of what is left, (4.75/5.5)^2 = 0.746."""
    frame = evolve(WALL, sheathed=False, layers=())
    cut = evolve(frame, diagonals=(Diagonal(foot=0.0, head=112.0, kind="let-in"),))
    whole, left = (wall_strength(materials_of(job(wall=each))).stud_moment for each in (frame, cut))
    assert left / whole == pytest.approx((4.75 / 5.5) ** 2, rel=1e-9)


@pytest.mark.parametrize("degrees", [30.0, 60.0])
def test_a_tie_holds_a_fiftieth_of_what_is_along_its_brace(degrees):
    """EN 1995-1-1 9.2.5.2, from memory: 1/50 of the thrust, which is 1/cos of the level force."""
    back = 100.0 / math.tan(math.radians(degrees))
    (tie,) = tie_at_brace(materials_of(job()), evolve(BRACE, set_back=back, ties=1))
    assert tie.per_pound == pytest.approx(1.0 / (50.0 * math.cos(math.radians(degrees))), rel=1e-9)


@pytest.mark.parametrize(("stud", "lifted"), [(32.0, 1.0), (48.0, 0.5)])
def test_one_block_under_both_cleats_is_lifted_by_both(stud, lifted):
    """Joists at 0, 24, 48: a foot between two stands on one block, one astride a joist on one for each cleat."""
    floor = Floor(
        kind="deck", joists=Joists(run="away", spacing=24.0, first=0.0, size="2x10", **SPF),
        blocks=Blocks(under_each_cleat=1),
    )  # fmt: skip
    brace = evolve(BRACE, foot_on="block", stud_at=stud, lap_side="left", floor_fasteners=2)
    declared = frozenset({"floor.joists.run", "floor.joists.first", "floor.joists.spacing"})
    found = materials_of(evolve(job(brace, floor=floor), declared=declared))
    assert blocks_shared(found.job, brace) is (lifted == 1.0)
    assert block_ends(found, brace, limp_cleat(found, brace, 1, stiffness=1e4)).per_pound == pytest.approx(
        lifted, rel=1e-9
    )


def test_a_head_near_the_top_of_its_stud_splits_it_sooner_than_one_lower_down():
    """NDS 3.4.3.3: within five depths of the end, 27.5 in of a 2x6, a joint loaded across the grain holds less."""

    def holds(head):
        push = solve_forces(build_model(job(evolve(BRACE, head=head))), "push", gust=40.0)
        (group,) = [each for each in all_groups(push, mirrored(push)) if each.link is LinkId.STUD_SPLITTING]
        return float(np.ravel(group.capacity)[0])

    assert holds(112.0) < holds(88.0)
    assert holds(88.0) == pytest.approx(holds(70.0), rel=1e-9)


def test_a_wale_bends_flat_and_a_strongback_on_edge():
    """2x6: S 5.5 x 1.5^2/6 = 2.0625 flat and 7.5625 on edge; Cfu of a 2x6 1.15 (NDS-S table 4A)."""

    def holds(kind):
        wall = evolve(WALL, rows=(Row(height=90.0, kind=kind, size="2x6"),))
        push = solve_forces(build_model(job(wall=wall)), "push", gust=40.0)
        (group,) = [each for each in all_groups(push, mirrored(push)) if each.link is LinkId.ROW_BENDING]
        return float(np.ravel(group.capacity)[0])

    assert holds("wale") / holds("strongback") == pytest.approx(1.15 * 2.0625 / 7.5625, rel=1e-9)


def test_a_return_nobody_measured_traps_pressure():
    """`docs/judgement.md`: no less than 1.4 with a return; how short it is nobody said, so that it counts."""
    low = Floor(height_above_ground=24.0, closed_storey=False)
    unmeasured = evolve(WALL, left_end="return")
    stub = evolve(unmeasured, left_return=evolve(WALL.left_return, length=1.0))
    found = [coefficient_floor(job(wall=each, floor=low)) for each in (WALL, stub, unmeasured)]
    assert found == [0.0, 0.0, 1.4]


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_return_takes_wind_off_the_corner_it_stands_at(side):
    """ASCE 7-16 fig. 29.3-1, case C from B/s 5 on: 0.60 in the windward zone beside a return of two heights."""
    long = evolve(WALL, top=((0.0, 120.0), (720.0, 120.0)))
    other = {"left": "right", "right": "left"}[side]
    wall = evolve(
        long,
        **{f"{side}_end": "return", f"{side}_return": evolve(WALL.left_return, length=240.0)},
        **{f"{other}_return": evolve(WALL.left_return, length=None)},
    )
    low = Floor(height_above_ground=24.0, closed_storey=False)
    windward = {}
    for told, name in ((wall, "with"), (long, "free")):
        found = {field.case: field for field in wind_fields(job(wall=told, floor=low), frame_wall(told))}
        windward[name] = found["C left"].zones[0][2], found["C right"].zones[-1][2]
    at, away = (0, 1) if side == "left" else (1, 0)
    # With a return the mean is no less than 1.4 (judgement), to which all zones are lifted alike.
    assert windward["free"][away] <= windward["with"][away] < 1.02 * windward["free"][away]
    assert windward["with"][at] < 0.9 * windward["free"][at]


@pytest.mark.parametrize(("degrees", "holds"), [(0.0, 0.5 * 600.0 / 1.5), (90.0, 600.0 / 1.5)])
def test_a_dead_weight_slides_when_drawn_level_and_is_lifted_when_drawn_up(degrees, holds):
    """600 lb, friction 0.5, factor 1.5: level half of it, plumb all of it."""
    assert weight_lifted(0.5, 600.0, 1.5, theta=math.radians(degrees)) == pytest.approx(holds, rel=1e-9)


def test_a_stake_tied_higher_up_holds_less():
    """IBC 1807.3.2.1: d = A/2 (1 + √(1 + 4.36 h/A)): the deeper for the same push the higher it is pulled."""
    low, high = (
        what_holds(Ground(soil="clay", stake_width=3.5, embedment=36.0, pull_above=h), math.radians(45.0))[0]
        for h in (0.0, 18.0)
    )
    S1, b = float(lateral_bearing("clay")) * 36.0 / 3.0, 3.5
    for push, h in ((low, 0.0), (high, 18.0)):
        A = 2.34 * push / (S1 * b)
        assert A / 2.0 * (1.0 + math.sqrt(1.0 + 4.36 * h / A)) == pytest.approx(36.0, rel=1e-6)
