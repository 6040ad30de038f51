"""Parts of the panel by hand or by another way: its cases, its nodes, its elements, its contact problem."""

from __future__ import annotations

import sys
from itertools import pairwise

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from bracing.codes.asce7.walls import coefficient_floor, open_heights, solidity, wind_fields
from bracing.codes.basis import IN_USE
from bracing.errors import ModelError
from bracing.job.brace import Brace
from bracing.job.floor import Floor
from bracing.job.framing import frame_wall
from bracing.job.job import Job, Site
from bracing.job.wall import Opening, Row, Studs, Wall
from bracing.panel import grillage, reduced
from bracing.panel.export import Springs, model, piece_length, subdivide
from bracing.panel.grillage import (
    Factored,
    analyse,
    element_stiffness,
    equivalent_loads,
    inside_moment,
    reading_allowance,
)
from bracing.panel.loads import LoadSet, lay_out_bays, load_cases, top_line_load, weight_loads
from bracing.panel.mesh import Builder, build_mesh, nearest
from bracing.panel.reduced import least_squares_not_negative, solve, working_braces
from bracing.panel.weight import take_off
from tests.approx import printed

LEVEL = Wall(
    name="L", top=((0.0, 120.0), (240.0, 120.0)), layers=("osb 7/16",),
    studs=Studs(size="2x6", spacing=16.0, species="spruce-pine-fir", grade="No.2"),
)  # fmt: skip
GABLE = evolve(LEVEL, top=((0.0, 96.0), (120.0, 192.0), (240.0, 96.0)))


def meshed(wall, heads=(), **more):
    return build_mesh(wall, frame_wall(wall), heads, **more)


# -- which cases -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("above", "declared", "heights"),
    [
        (0.0, None, (0.0,)), (0.0, True, (0.0,)), (36.0, None, (0.0, 36.0)), (36.0, True, (36.0,)),
        (36.0, False, (0.0,)), (0.5, True, (0.5,)),
    ],
)  # fmt: skip
def test_what_may_be_open_under_the_wall_is_tried_unless_declared(above, declared, heights):
    job = Job(wall=LEVEL, floor=Floor(height_above_ground=above, open_below=declared))
    assert open_heights(job) == heights


@pytest.mark.parametrize(
    ("floor", "ends", "least"),
    [
        ({}, ("free", "free"), 1.5),  # nobody said how high: a third storey, over two
        ({"height_above_ground": 36.0}, ("free", "free"), 0.0),
        ({"height_above_ground": 36.0}, ("return", "free"), 1.4),
        ({"height_above_ground": 36.0}, ("free", "return"), 1.4),
        ({"height_above_ground": 72.0}, ("free", "free"), 1.5),
        ({"height_above_ground": 71.9}, ("free", "free"), 0.0),
        ({"height_above_ground": 72.0, "open_below": True}, ("free", "return"), 1.4),
        ({"height_above_ground": 72.0, "kind": "slab"}, ("free", "free"), 0.0),
        ({"closed_storey": True}, ("return", "free"), 1.5),
        ({"height_above_ground": 120.0, "closed_storey": False}, ("free", "free"), 0.0),
    ],
)  # fmt: skip
def test_the_floor_under_the_coefficient(floor, ends, least):
    """docs/judgement.md: 1.4 with a return wall, 1.5 over a closed storey, which 6 ft of deck is taken to be."""
    wall = evolve(LEVEL, left_end=ends[0], right_end=ends[1])
    assert coefficient_floor(Job(wall=wall, floor=Floor(**floor))) == least


def test_solid_part_of_a_wall_with_openings_by_hand():
    """36 x 80 and 24 x 50 in open of 240 x 120: 1 - 4,080/28,800; what is covered counts as solid."""
    door = Opening(left=60.0, width=36.0, height=80.0, covered=False)
    window = Opening(left=140.0, sill=30.0, width=24.0, height=50.0, covered=False)
    shut = Opening(left=190.0, sill=30.0, width=24.0, height=50.0, covered=True)
    wall = evolve(LEVEL, openings=(door, window, shut))
    assert solidity(Job(wall=wall), frame_wall(wall)) == pytest.approx(1.0 - 4080.0 / 28800.0, rel=1e-12)


def test_solid_part_of_a_bare_frame_by_hand():
    """10 x 8 ft: 6 studs of 1 1/2 in, 91.5 in between plates; two top plates and a bottom one of 1 1/2 in; a 2x6 row.

    With studs at 0.75, 24, 48, 72, 96 and 119.25: 6 x 1.5 x 91.5 + 3 x 1.5 x 120 = 1,363.5 of 11,520 square inches.
    """
    wall = evolve(
        LEVEL, top=((0.0, 96.0), (120.0, 96.0)), sheathed=False, layers=(),
        studs=evolve(LEVEL.studs, spacing=24.0),
    )  # fmt: skip
    bare = solidity(Job(wall=wall), frame_wall(wall))
    assert bare == pytest.approx(1363.5 / 11520.0, rel=1e-9)
    ribbed = evolve(wall, rows=(Row(height=48.0, kind="wale", size="2x6"),))
    more = solidity(Job(wall=ribbed), frame_wall(ribbed))
    assert more == pytest.approx(
        (1363.5 + 5.5 * 120.0) / 11520.0, rel=0.02
    )  # the row may stop at the end studs


def test_what_is_open_lowers_every_case_alike():
    """Uncovered openings of 4,080 in 28,800: 1 - 0.14167^1.5 = 0.94668 of the solid wall, with no floor."""
    door = Opening(left=60.0, width=36.0, height=80.0, covered=False)
    window = Opening(left=140.0, sill=30.0, width=24.0, height=50.0, covered=False)
    wall = evolve(LEVEL, openings=(door, window))
    whole, part = (wind_fields(Job(wall=w), frame_wall(w)) for w in (LEVEL, wall))
    for a, b in zip(whole, part, strict=True):
        assert b.along(40.0) / a.along(40.0) == pytest.approx(1.0 - 0.1416667**1.5, abs=1e-5)


def test_pressure_is_taken_at_the_highest_point_over_the_ground():
    """Exposure C, top of the wall 10 + 20 ft up: Kz 0.98 printed at 30 ft; x Kzt 1.3; a thunderstorm: 1."""
    job = Job(wall=LEVEL, floor=Floor(height_above_ground=240.0), site=Site(kzt=1.3))
    mesh = meshed(LEVEL)
    q = load_cases(job, mesh, IN_USE.wind(job)).pressure_per_mph2 * 144.0
    assert q / (0.00256 * 1.3) == printed("0.98")
    outflow = load_cases(job, mesh, IN_USE.wind(job, thunderstorm=True)).pressure_per_mph2 * 144.0
    assert outflow / (0.00256 * 1.3) == printed("1.00")


def test_steady_loads_are_the_weight_that_lean_turns_and_people_along_the_top():
    """3% of the weight, at its own centre, and 6 lb/ft along 20 ft at 10 ft up."""
    window = Opening(left=150.0, sill=30.0, width=48.0, height=50.0, header="2-2x10")
    for wall in (evolve(LEVEL, openings=(window,)), GABLE):
        mesh = meshed(wall)
        job = Job(wall=wall, site=Site(lean=0.03, top_load=0.5))
        cases, heavy = load_cases(job, mesh, IN_USE.wind(job)), take_off(wall)
        steady = cases.with_people
        assert cases.steady.total(mesh) == pytest.approx([0.03 * heavy.weight], rel=1e-6)
        assert steady.total(mesh) == pytest.approx([0.03 * heavy.weight + 120.0], rel=1e-6)
        top = sum(0.5 * (wall.height_at(x + 0.5) - 0.0) for x in range(240))  # by the inch
        assert steady.moment(mesh) == pytest.approx([0.03 * heavy.weight * heavy.z_cg + top], rel=1e-3)
        assert steady.turning(mesh) == pytest.approx(
            [0.03 * heavy.weight * heavy.x_cg + 120.0 * 120.0], rel=1e-3
        )
        weight = weight_loads(mesh, lay_out_bays(mesh, wall), wall, weight=heavy)
        assert weight.total(mesh) == pytest.approx([heavy.weight], rel=1e-6)


def test_people_along_the_top_by_the_lever_rule():
    """Studs at 0.75, 24, 48, .. in: the first plate node takes 24 x 12/23.25 in of it, as an end stud does."""
    wall = evolve(LEVEL, top=((0.0, 120.0), (96.0, 120.0)), studs=evolve(LEVEL.studs, spacing=24.0))
    mesh = meshed(wall)
    force = top_line_load(mesh, 96.0, 2.0)
    at = {round(float(x), 3): 0.0 for x in mesh.x}
    for x, f in zip(mesh.x, force, strict=True):
        at[round(float(x), 3)] += f
    assert at[48.0] == pytest.approx(48.0, rel=1e-12)
    assert at[0.75] == pytest.approx(2.0 * 24.0 * 12.0 / 23.25, rel=1e-12)
    assert at[24.0] == pytest.approx(2.0 * (24.0 * 11.25 / 23.25 + 12.0), rel=1e-12)
    assert sum(at.values()) == pytest.approx(192.0, rel=1e-12)


# -- nodes -----------------------------------------------------------------------------------------------


def test_two_things_within_a_quarter_inch_meet_at_one_node():
    build = Builder(LEVEL)
    low, other = build.node(16.0, 40.0), build.node(32.0, 40.0)
    assert build.node(16.0, 40.2) == low != other
    assert build.node(16.0, 40.25) != low
    assert build.node(16.0, 40.1, within=0.05) not in (low, other)
    near = Builder(LEVEL)
    first, second = near.node(0.0, 10.0), near.node(0.0, 10.3)
    assert near.node(0.0, 10.2) == second != first  # the nearer of two
    assert (build.level(60.0), build.level(60.2), build.level(60.3)) == (60.0, 60.0, 60.3)
    assert build.level(119.9) == 120.0  # the top is a level too
    assert nearest(5.0, (1.0, 6.0, 9.0)) == 6.0


def test_a_vertical_is_given_from_one_of_its_nodes_to_another():
    build = Builder(LEVEL)
    foot, high, middle = build.node(16.0, 0.0), build.node(16.0, 90.0), build.node(16.0, 40.0)
    top = build.top(16.0)
    assert build.top(16.0) == top
    assert build.z[top] == 120.0
    assert build.vertical(16.0, foot, top) == [foot, middle, high, top]
    assert build.vertical(16.0, middle, high) == [middle, high]


def test_a_doubled_stud_and_a_trimmer_share_the_bending():
    """E I of one green 2x6, 1,260,000 x 20.797; a king with a trimmer has two plies up to the header."""
    door = Opening(left=96.0, width=40.0, height=80.0, header="2-2x6")
    mesh = meshed(evolve(LEVEL, openings=(door,)), doubled=[16.0])
    one = 1.26e6 * 1.5 * 5.5**3 / 12.0
    lines = {round(float(mesh.x[mesh.lines[k].nodes[0]]), 2): mesh.lines[k] for k in mesh.studs}
    assert lines[32.0].rigidity == pytest.approx((one,), rel=1e-9)
    assert lines[16.0].rigidity == pytest.approx((2.0 * one,), rel=1e-9)
    king = lines[93.75]
    heights = mesh.z[list(king.nodes)]
    assert king.plies == tuple(2 if (a + b) / 2.0 < 80.0 else 1 for a, b in pairwise(heights))
    assert set(king.plies) == {1, 2}


@pytest.mark.parametrize("head", [30.0, 72.0, 79.0, 81.0, 82.0, 84.0, 111.0])
def test_how_stiff_a_king_is_does_not_hang_on_where_a_head_is(head):
    """Two plies up to the middle of its header, 80 in and half of 5.5; one above: the same length of each."""
    door = Opening(left=96.0, width=40.0, height=80.0, header="2-2x6")
    mesh = meshed(evolve(LEVEL, openings=(door,)), heads=[(93.75, head)])
    (king,) = (mesh.lines[k] for k in mesh.studs if mesh.x[mesh.lines[k].nodes[0]] == 93.75)
    runs = np.diff(mesh.z[list(king.nodes)])
    two = np.isclose(king.rigidity, max(king.rigidity), rtol=1e-12)
    assert king.rigidity[0] == pytest.approx(2.0 * king.rigidity[-1], rel=1e-12)
    assert runs[two].sum() == pytest.approx(82.75, rel=1e-12)
    assert runs[~two].sum() == pytest.approx(120.0 - 82.75, rel=1e-12)


def test_a_trimmer_carries_nothing_of_a_moment_above_its_top():
    """A head at 81 in, an inch over the trimmer: what bends there is the king alone."""
    door = Opening(left=96.0, width=40.0, height=80.0, header="2-2x6")
    mesh = meshed(evolve(LEVEL, openings=(door,)), heads=[(93.75, 81.0)])
    (king,) = (mesh.lines[k] for k in mesh.studs if mesh.x[mesh.lines[k].nodes[0]] == 93.75)
    above = [
        plies for node, plies in zip(king.nodes, king.plies, strict=False) if mesh.z[node] >= 81.0 - 1e-9
    ]
    assert above
    assert set(above) == {1}


def test_a_row_stops_at_a_door_and_at_a_low_top_and_crosses_a_sill():
    """A row at 48 in: two runs beside a door; under a window's sill at 60 one run."""
    door = Opening(left=96.0, width=40.0, height=80.0)
    window = Opening(left=96.0, sill=60.0, width=40.0, height=30.0)
    runs = []
    for opening in (door, window):
        mesh = meshed(evolve(LEVEL, openings=(opening,), rows=(Row(height=48.0),)))
        runs.append([line for line in mesh.lines if line.kind == "row"])
    assert [len(found) for found in runs] == [2, 1]
    mesh = meshed(evolve(LEVEL, top=((0.0, 96.0), (240.0, 216.0)), rows=(Row(height=126.0),)))
    (row,) = (line for line in mesh.lines if line.kind == "row")
    assert mesh.x[row.nodes[0]] == 64.0  # the first stud taller than it: 96 + 32 = 128


# -- elements --------------------------------------------------------------------------------------------


def test_an_element_bends_as_beam_tables_say():
    """A cantilever, w = P L^3/3EI and P L^2/2EI; a beam turned at one end, M L/3EI and M L/6EI."""
    L, EI = 40.0, 2.0e6
    (K,) = element_stiffness(np.array([L]), np.array([EI]))
    tip = np.linalg.solve(K[2:, 2:], [1.0, 0.0])
    assert tip == pytest.approx([L**3 / (3.0 * EI), L**2 / (2.0 * EI)], rel=1e-12)
    turned = np.linalg.solve(K[np.ix_([1, 3], [1, 3])], [1.0, 0.0])
    assert turned == pytest.approx([L / (3.0 * EI), -L / (6.0 * EI)], rel=1e-12)
    assert np.allclose(K, K.T)
    as_one = K @ [0.0, 1.0, L, 1.0]
    assert as_one == pytest.approx(np.zeros(4), abs=1e-6)  # turning as one bends nothing


def test_fixed_end_forces_of_a_triangle_and_bending_under_it():
    """w L^2/20 and w L^2/30 at the ends, 3/20 and 7/20 w L of shear; simply supported, w L^2/(9 sqrt 3) at 0.577 L."""
    L, w = 60.0, 2.0
    ends = equivalent_loads(np.array([L]), np.array([[[0.0, w]]]))[0, 0]
    assert ends == pytest.approx(
        [3.0 * w * L / 20.0, w * L**2 / 30.0, 7.0 * w * L / 20.0, -(w * L**2) / 20.0], rel=1e-12
    )
    pinned = np.array([[[-w * L / 6.0, 0.0, -w * L / 3.0, 0.0]]])
    moment = inside_moment(np.array([L]), pinned, np.array([[[0.0, w]]]))[0, 0]
    s = np.linspace(0.0, L, 9)
    assert moment == pytest.approx(-(w * L * s / 6.0 - w * s**3 / (6.0 * L)), abs=1e-9)
    allowance = reading_allowance(np.array([L]), np.array([[[0.0, -w]]]))[0, 0]
    assert allowance == pytest.approx(w * (L / 8.0) ** 2 / 8.0, rel=1e-12)
    assert np.abs(moment).max() + allowance >= w * L**2 / (9.0 * 3.0**0.5) >= np.abs(moment).max()


def test_a_wall_that_hangs_together_by_nothing_is_refused():
    mesh = meshed(GABLE)
    with pytest.raises(ModelError, match="held by nothing"):
        Factored.of(mesh, np.zeros((len(mesh.x), 1)))


# -- contact ---------------------------------------------------------------------------------------------


@settings(max_examples=200, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 8), st.integers(1, 8))
def test_least_squares_without_negatives_are_those_of_another_solver(seed, rows, columns):
    rng = np.random.default_rng(seed)
    A, b = rng.normal(size=(rows, columns)), rng.normal(size=rows)
    ours, (theirs, distance) = least_squares_not_negative(A, b), nnls(A, b)
    assert (ours >= 0.0).all()
    assert np.linalg.norm(A @ ours - b) == pytest.approx(distance, abs=1e-7)
    if columns <= rows and np.linalg.cond(A) < 1e4:
        assert ours == pytest.approx(theirs, abs=1e-6)


def test_which_of_three_props_work_by_hand():
    """A rigid bar on three equal springs at -1, 0, 1, pushed at 2: R = (1/3 - 1, 1/3, 1/3 + 1); the first lifts off.

    Without it two springs balance alone: at 0 and 1, the push at 2 needs -1 and 2. None holds in push only.
    At 0.5 of it (1/3 - 1/4, 1/3, 1/3 + 1/4): all work.
    """
    G, x = np.eye(3), np.array([-1.0, 0.0, 1.0])
    Z = np.stack([np.ones(3), x], axis=1)
    yes, no = np.ones(3, bool), np.zeros(3, bool)

    def works(at, push, pull):
        work = np.array([1.0, at])
        return working_braces(G, Z, np.zeros(3), work, takes_push=push, takes_pull=pull).tolist()

    assert works(0.5, yes, no) == [True, True, True]
    assert works(0.9, yes, no) == [False, True, True]  # (1/3 - 0.45) < 0: 0.1 and 0.9 on the other two
    assert works(2.0, yes, no) == [False, False, False]
    assert works(2.0, yes, yes) == [True, True, True]
    assert works(0.5, np.array([True, False, True]), no) == [True, False, True]
    assert works(0.5, np.array([True, False, False]), no) == [False, False, False]


@pytest.mark.parametrize("rounds", [1, 12])
def test_dropping_props_one_round_or_many_ends_at_the_same_state(monkeypatch, rounds):
    """The bar pushed at 0.9: 0.1 and 0.9 on two. After one round the least-energy state has to be found instead."""
    monkeypatch.setattr(reduced, "ROUNDS", rounds)
    x = np.array([-1.0, 0.0, 1.0])
    found = reduced.solve_one_way(
        np.zeros((2, 3, 3)), np.broadcast_to(np.stack([np.ones(3), x], axis=1), (2, 3, 2)), np.ones((2, 3)),
        takes_push=np.ones((2, 3), bool), takes_pull=np.zeros((2, 3), bool),
        under_load=np.zeros((2, 3, 1)), work=np.array([[[10.0], [9.0]], [[10.0], [5.0]]]),
    )  # fmt: skip
    assert found.held.all()
    assert found.force[0, :, 0] == pytest.approx([0.0, 1.0, 9.0], abs=1e-9)
    assert found.force[1, :, 0] == pytest.approx([10.0 / 3.0 - 2.5, 10.0 / 3.0, 10.0 / 3.0 + 2.5], abs=1e-9)


def test_three_equal_props_share_a_push_by_hand():
    """The same bar, no flexibility but the springs': R_i = 1/3 + a x_i/2."""
    x = np.array([-1.0, 0.0, 1.0])
    found = solve(
        np.zeros((3, 3)), np.stack([np.ones(3), x], axis=1), np.full(3, 0.01), np.ones(3, bool),
        under_load=np.zeros((3, 1)), work=np.array([[1.0], [0.5]]),
    )  # fmt: skip
    assert found.force[:, 0] == pytest.approx([1.0 / 3.0 - 0.25, 1.0 / 3.0, 1.0 / 3.0 + 0.25], rel=1e-12)
    assert found.motion[:, 0] == pytest.approx([0.01 / 3.0, 0.01 * 0.25], rel=1e-12)
    two = solve(
        np.zeros((3, 3)), np.stack([np.ones(3), x], axis=1), np.full(3, 0.01), np.array([True, True, False]),
        under_load=np.zeros((3, 1)), work=np.array([[1.0], [0.5]]),
    )  # fmt: skip
    assert found.held
    assert two.held
    assert two.force[:, 0] == pytest.approx([-0.5, 1.5, 0.0], abs=1e-12)


# -- written out -----------------------------------------------------------------------------------------


def test_pieces_of_a_written_model():
    """Load kept in force and in both moments; 4 in pieces of a small wall; a spring and a stick each as they are."""
    braces = (Brace(mark="B1", stud_at=48.0, head=90.0, set_back=90.0),
              Brace(mark="B2", stud_at=192.0, head=90.0, set_back=90.0))  # fmt: skip
    mesh = meshed(LEVEL, [(brace.stud_at, brace.head) for brace in braces])
    job = Job(wall=LEVEL, braces=braces)
    wind = load_cases(job, mesh, IN_USE.wind(job)).wind
    fine, lumped = subdivide(mesh, wind)
    assert not lumped.element_load.any()
    for sum_of in ("total", "moment", "turning"):
        assert getattr(lumped, sum_of)(fine) == pytest.approx(getattr(wind, sum_of)(mesh), rel=1e-9)
    whole = 16 * 120.0  # studs at 0.75, 16, .. 224 and 239.25
    assert piece_length(mesh, wind) == 4.0
    studs = np.array([line.kind == "stud" for line in fine.lines])[fine.element_line]
    assert fine.element_length[studs].max() <= 4.0 + 1e-9
    assert fine.element_length[studs].sum() == pytest.approx(whole, rel=1e-9)
    springs = Springs(("B1", "B2"), np.array([0.001, 0.002]), np.ones(2, bool), np.ones(2, bool))
    names = [(f"case {k}", "push") for k in range(len(wind.node_load))]
    written = model(mesh, wind, names, springs=springs, longest=30.0)
    assert [spring["k_lb_per_in"] for spring in written["springs"]] == pytest.approx(
        [1000.0, 500.0], rel=1e-12
    )
    case = written["cases"][0]
    # Level, free at both ends: two braces, two equations of moments; case A is even along the wall.
    about_plate = float(wind.moment(mesh)[0])
    assert case["brace_horizontal_lb"]["B1"] == pytest.approx(about_plate / 90.0 / 2.0, rel=1e-6)
    assert sum(case["loads_lb"].values()) == pytest.approx(float(wind.total(mesh)[0]), rel=1e-9)
    assert case["springs_left_out"] == []
    ends = [beam for beam in written["beams"] if beam["release_i"] or beam["release_j"]]
    assert len([beam for beam in written["beams"] if beam["release_i"]]) == len(fine.lines)
    assert len(ends) <= 2 * len(fine.lines)


def test_movements_of_a_turning_wall_by_hand():
    """Stiff studs on two soft springs turn about the plate: every node moves z/90 of its head."""
    mesh = meshed(LEVEL, [(48.0, 90.0), (192.0, 90.0)])
    force = np.zeros((1, len(mesh.x)))
    force[0, list(mesh.heads)] = 1.0
    c = analyse(mesh, LoadSet(np.zeros((1, len(mesh.element_length), 2)), force))
    found = solve(
        c.flexibility, c.motions, np.full(2, 1.0), np.ones(2, bool), under_load=c.under_load.T, work=c.work.T
    )
    moved = c.moved(found.force, found.motion)[0]
    assert found.force[:, 0] == pytest.approx([1.0, 1.0], rel=1e-9)
    assert moved == pytest.approx(mesh.z / 90.0, abs=1e-4)


ROUTINES = ("dpotrf", "dpotrs", "dpttrf", "dpttrs")


@pytest.mark.parametrize("kept_elsewhere", [False, True])
def test_the_routines_that_factor_are_those_scipy_gives_by_name(monkeypatch, kept_elsewhere):
    from scipy.linalg import lapack

    if kept_elsewhere:
        monkeypatch.delitem(sys.modules, "scipy.linalg._flapack")
        monkeypatch.setattr(grillage.PathFinder, "find_spec", lambda *_: None)
    found = grillage._lapack.__wrapped__()
    assert [getattr(found, name) for name in ROUTINES] == [getattr(lapack, name) for name in ROUTINES]
