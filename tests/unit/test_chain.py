"""Single joints and links of the chain by hand, of the kinds the two walls of docs/hand do not have."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.brace import brace_strength, member, spring_give, stick_of
from bracing.chain.foot import (
    brace_to_cleat,
    cleat_to_floor,
    joist_bending,
    limp_cleat,
    roll_factor,
    rows_of,
)
from bracing.chain.forces import solve_forces, verify_balance
from bracing.chain.links import HIGHEST, Group, LinkId, Rows
from bracing.chain.materials import Materials, materials_of, panel_ply, sheathing_of
from bracing.chain.model import build_model
from bracing.chain.wall import header_end, splitting_shear
from bracing.check import check
from bracing.codes.nds.factors import group_action
from bracing.codes.nds.strengths import acting_together
from bracing.errors import AccuracyError, InputError
from bracing.job.brace import Brace, Cleat, Head, Kit, cleat_shape
from bracing.job.fasteners import fastener
from bracing.job.floor import CrossCleat, Floor, Ground, Joists, Slab
from bracing.job.job import Job
from bracing.job.layers import layer
from bracing.job.lumber import section
from bracing.job.wall import Opening, Studs, Wall
from bracing.panel.reduced import solve
from tests.approx import printed

SPF = {"species": "spruce-pine-fir", "grade": "No.2"}
WALL = Wall(
    name="W", top=((0.0, 120.0), (240.0, 120.0)), layers=("osb 7/16",), moisture="green",
    studs=Studs(size="2x6", spacing=16.0, **SPF),
)  # fmt: skip
BRACE = Brace(
    mark="B1", stud_at=48.0, head=100.0, set_back=100.0, size="2x4", ties=1,
    head_fasteners=4, cleat_fasteners=4, floor_fasteners=2,
)  # fmt: skip


def materials(*, head=None, cleat=None, floor=None, wall=WALL) -> Materials:
    kit = Kit(
        **SPF, head=Head(joint="lapped", fastener="10d common", **(head or {})) if not head else Head(**head),
        cleat=Cleat(**({"brace_fastener": "10d common", "floor_fastener": "10d common"} | (cleat or {}))),
    )  # fmt: skip
    return materials_of(Job(wall=wall, floor=floor or Floor(), kit=kit, braces=(BRACE,)))


# -- the head --------------------------------------------------------------------------------------------


def test_a_plumb_head_bears_on_the_studs_edge():
    """Green spruce-pine-fir across its grain, 425 x 0.67 psi, on 1.5 x 3.5 in: 1,495 lb."""
    strength = brace_strength(materials(head={"joint": "plumb", "fastener": "10d common"}), BRACE)
    bearing = next(s for s in strength.push if s.link == "head bearing")
    assert (bearing.capacity, bearing.per_pound) == (printed("1494.9"), 1.0)
    wide = materials(head={"joint": "plumb", "fastener": "10d common"})
    deep = brace_strength(wide, evolve(BRACE, size="4x4")).push
    assert next(s for s in deep if s.link == "head bearing").capacity == printed(
        "1494.9"
    )  # the stud is 1 1/2


def test_a_side_cleat_takes_the_pull_of_a_plumb_head_in_shear():
    """Four 10d commons at 111.8 lb (docs/hand/level-wall.md): 447 lb along the brace in pull, and of lift in push."""
    head = {"joint": "plumb", "fastener": "10d common", "side_cleat": True}
    strength = brace_strength(materials(head=head), evolve(BRACE, set_back=50.0))
    lift = next(s for s in strength.push if s.link == "head joint")
    pull = next(s for s in strength.pull if s.link == "head joint")
    assert lift.capacity == pull.capacity == pytest.approx(447.2, abs=0.3)
    assert lift.per_pound == pytest.approx(2.0, rel=1e-12)  # 100 up on 50 out
    assert pull.per_pound == pytest.approx(math.sqrt(5.0), rel=1e-12)


def test_toe_nails_of_a_plumb_head_are_drawn_and_sheared_together():
    """V/Z' + T/W' of the four, with V the lift: 1/(tan/(4 Z') + 1/(4 W'))."""
    head = {"joint": "plumb", "fastener": "10d common"}
    ours = materials(head=head)
    strength = brace_strength(ours, evolve(BRACE, set_back=50.0))
    pull = next(s for s in strength.pull if s.link == "head joint")
    one = ours.capacity("10d common", ours.brace_ply("2x4"), ours.stud_ply(), toe_nailed=True)
    assert pull.capacity == pytest.approx(
        1.0 / (2.0 / (4.0 * one.lateral) + 1.0 / (4.0 * one.axial)), rel=1e-12
    )
    assert pull.per_pound == 1.0
    none = brace_strength(ours, evolve(BRACE, head_fasteners=0))
    assert next(s for s in none.pull if s.link == "head joint").capacity == 0.0
    screwed = brace_strength(materials(head=head | {"fastener": "structural screw 0.22x5"}), BRACE)
    assert (
        next(s for s in screwed.pull if s.link == "head joint").capacity == 0.0
    )  # no rule for a slant screw
    assert not screwed.counts_in_pull


def test_a_lapped_head_in_a_doubled_stud_goes_deeper():
    """16d common, 3 1/2 in: through a 2x4 brace it stands 2 in deep, of which a single stud takes 1 1/2."""
    ours = materials(head={"joint": "lapped", "fastener": "16d common"})
    single, double = (
        brace_strength(ours, evolve(BRACE, stud_doubled=doubled)).head.penetration
        for doubled in (False, True)
    )
    assert (single, double) == (1.5, 2.0)


def test_cross_cleats_hang_on_their_own_nails():
    """2x6, two 16d commons into each of two joists: shear on all eight, one cleat's lift all on the nearer joist.

    By hand, 45 degrees, a flat 2x4 foot of 24 in, its own nails 16d: they keep 15 D = 2.43 in of the cleat's end, so 3;
    in 5.5 in less 5 D = 0.81 stand two one behind another, 2.43 apart: its middle 3 + 1.215 in from the end. Arm
    24 - 8.43 = 15.57 in; 3/4 and 1 1/2 in up: 1/2 + 2.25/15.57 for a pound, 1/(8 Z) + that/(2 W).
    """
    crossed = Floor(cross_cleat=CrossCleat(size="2x6", fastener="16d common", each_joist=2))
    ours = materials(floor=crossed, cleat={"floor_fastener": "16d common"})
    strength = brace_strength(ours, evolve(BRACE, foot_on="cross cleat", floor_fasteners=4))
    one = ours.capacity(
        "16d common", ours.brace_ply("2x6", angle=math.pi / 2.0), ours.deck_ply(), ours.joist_ply(angle=0.0)
    )
    lift = 0.5 + 2.25 / 15.57
    held = next(s for s in strength.pull if s.link == LinkId.CROSS_CLEAT)
    assert held.capacity == pytest.approx(
        1.0 / (1.0 / (8.0 * one.lateral) + lift / (2.0 * one.axial)), rel=1e-9
    )
    pushed = next(s for s in strength.push if s.link == LinkId.CROSS_CLEAT)
    couple = 2.25 / 15.57
    assert pushed.capacity == pytest.approx(
        1.0 / (1.0 / (8.0 * one.lateral) + couple / (2.0 * one.axial)), rel=1e-9
    )
    bent = next(s for s in strength.pull if s.link == LinkId.CROSS_CLEAT_BENDING)
    assert bent.per_pound == pytest.approx(lift * 16.0 / 4.0, rel=1e-9)


# -- the stick -------------------------------------------------------------------------------------------


def test_a_t_weighs_two_sticks():
    ours = materials()
    one, two = (stick_of(ours, evolve(BRACE, stiffener=kind)).weight_per_inch for kind in ("none", "T"))
    assert two == pytest.approx(2.0 * one, rel=1e-12)
    # Green, 30.60 lb a cubic foot (docs/hand/level-wall.md), on 5.25 square inches.
    assert one == pytest.approx(30.60 * 5.25 / 1728.0, abs=1e-5)


def test_own_thrust_is_taken_off_what_a_brace_carries_in_push_and_adds_nothing_in_pull():
    ours = materials()
    push, pull, _ = member(ours, BRACE)
    from bracing.codes.nds.braces import brace_pull_capacity, brace_push_capacity

    stick, values = stick_of(ours, BRACE), ours.brace_values("2x4")
    along = 0.09297 * math.sqrt(0.5) * 100.0 * math.sqrt(2.0) / 2.0  # w sin(45) L/2 = 4.65 lb
    assert push.capacity == pytest.approx(brace_push_capacity(stick, values).capacity_lb - along, abs=0.01)
    assert pull.capacity == brace_pull_capacity(stick, values).capacity_lb
    assert push.per_pound == pull.per_pound == pytest.approx(math.sqrt(2.0), rel=1e-12)


def test_a_lags_holes_leave_a_net_section_and_nails_none():
    """Two 3/8 in holes in 3 1/2 in: the pull is by A - 0.75 x 1.5 in."""
    from bracing.codes.nds.braces import brace_pull_capacity

    lagged = materials(head={"joint": "lapped", "fastener": "lag 3/8x4"})
    nailed = materials()
    stick, values = stick_of(nailed, BRACE), nailed.brace_values("2x4")
    whole, net = (
        brace_pull_capacity(stick, values, holes=holes).capacity_lb for holes in ((), (0.375, 0.375))
    )
    assert member(nailed, BRACE)[1].capacity == whole
    assert member(lagged, BRACE)[1].capacity == net < whole
    one = brace_pull_capacity(stick, values, holes=(0.375,)).capacity_lb
    assert member(lagged, evolve(BRACE, head_fasteners=1))[1].capacity == one
    at_foot = materials(cleat={"brace_fastener": "lag 3/8x4"})
    assert member(at_foot, BRACE)[1].capacity == net


def test_the_spring_of_a_brace_by_hand():
    """k = cos^2/(L/EA + sum 1/(n gamma)); gamma 180,000 D^1.5 of 10d commons, D 0.148: 10,249 lb/in a nail.

    E of green spruce-pine-fir No.2 1,260,000 psi; 141.4 in of 5.25 sq in stretches 2.1379e-5 in/lb.
    """
    joints = 1.0 / (4 * 10248.5) + 1.0 / (4 * 10248.5) + 1.0 / (2 * 10248.5)
    published, soft = spring_give(materials(), BRACE)
    assert published == pytest.approx((2.1379e-5 + joints) / 0.5, rel=1e-4)
    assert soft == pytest.approx((2.1379e-5 + 3.0 * joints) / 0.5, rel=1e-4)
    # On a slab the foot slips like 1/2 in bolts: 180,000 x 0.5^1.5 = 63,640 lb/in each.
    on_slab, _ = spring_give(materials(floor=Floor(kind="slab")), BRACE)
    bolts = 1.0 / (4 * 10248.5) + 1.0 / (4 * 10248.5) + 1.0 / (2 * 63639.6)
    assert on_slab == pytest.approx((2.1379e-5 + bolts) / 0.5, rel=1e-4)
    # A joint with none slips as with one, and is worth nothing elsewhere.
    none, _ = spring_give(materials(), evolve(BRACE, floor_fasteners=0))
    assert none == pytest.approx((2.1379e-5 + 0.5 / 10248.5 + 1.0 / 10248.5) / 0.5, rel=1e-4)


# -- the foot --------------------------------------------------------------------------------------------


def test_rows_of_a_group():
    assert [rows_of(count) for count in (1, 2, 3, 9)] == [1, 1, 2, 2]


def test_a_cleat_on_edge_rolls_about_a_nearer_edge():
    """2x4 on edge beside a 2x6: 3/4 in to its edge, 1 1/2 in to the brace's middle: 1 + 1.5/0.75 = 3."""
    shape = cleat_shape(section("2x4"), section("2x6"), "edge")
    assert (shape.thickness, shape.bearing, shape.offset, shape.rise, shape.side) == (
        3.5,
        0.75,
        1.5,
        1.75,
        1.5,
    )
    assert roll_factor(shape, 1) == pytest.approx(3.0, rel=1e-12)
    assert roll_factor(shape, 2) == 1.0
    flat = cleat_shape(section("2x4"), section("2x6"), "flat")
    assert (flat.thickness, flat.bearing, flat.offset, flat.rise, flat.side) == (1.5, 1.75, 2.5, 0.75, 3.5)


def test_lever_of_one_fastener_and_of_two():
    """24 in of cleat, 18 in between its end fasteners; a 6 in one still has half its length."""
    lever = {
        (length, count): limp_cleat(materials(cleat={"length": length}), BRACE, count, stiffness=1e4).lever
        for length, count in ((24.0, 1), (24.0, 2), (6.0, 2))
    }
    assert lever[24.0, 1] == pytest.approx(0.75 / 9.0, rel=1e-9)
    assert lever[24.0, 2] == pytest.approx(0.75 / 18.0, rel=1e-6)  # one presses, one holds: V h/s
    assert lever[6.0, 2] == pytest.approx(0.75 / 3.0, rel=1e-6)


SLAB = Slab(tension_lb=800.0, shear_lb=1200.0, report="pull test")


@pytest.mark.parametrize(("sides", "pull"), [(1, "503.4"), (2, "914.3")])
def test_two_anchors_in_a_slab_by_hand(sides, pull):
    """A pound is 1/2 lb of shear on each, 0.0417 of lever; in pull 1/2 lb of lift, x (1 + 2.5/1.75) by one cleat.

    1/(0.5/1200 + 0.0417/800) = 2,133 lb; 1/(0.5/1200 + 1.2560/800) = 503; between two cleats 1/(.. + 0.5417/800) = 914.
    """
    floor = Floor(kind="slab", slab=SLAB)
    ours = materials(floor=floor, cleat={"sides": sides})
    found = cleat_to_floor(ours, BRACE)
    assert (found.push[-1].capacity, found.pull[-1].capacity, found.one) == (
        printed("2133.3"),
        printed(pull),
        None,
    )
    none = cleat_to_floor(ours, evolve(BRACE, floor_fasteners=0))
    assert (none.push[-1].capacity, none.pull[-1].capacity) == (0.0, 0.0)
    weak = cleat_to_floor(materials(floor=evolve(floor, slab=evolve(SLAB, tension_lb=0.0))), BRACE)
    assert (weak.push[-1].capacity, weak.pull[-1].capacity) == (
        0.0,
        0.0,
    )  # the lever needs tension in push too


@pytest.mark.parametrize(
    ("stake", "weight", "push", "pull"),
    [(42.0, 0.0, "69.2", "0"), (0.0, 1500.0, "350.0", "259.3"), (42.0, 1500.0, "350.0", "259.3"),
     (42.0, 200.0, "69.2", "34.6"), (0.0, 0.0, "0", "0")],
)  # fmt: skip
def test_a_stake_and_a_dead_weight_by_hand(stake, weight, push, pull):
    """Sand, 150 psf a foot: A = 42^2/(42 + 1.09 x 4) = 38.05, P = 0.0868 x 14 x 3.5 x 38.05/2.34 = 69.2 lb.

    0.35 x 1500/1.5 = 350 lb slides; drawn up at 45 degrees 525/(1.5 (cos + 0.35 sin)) = 366.7, level 259.3.
    """
    ground = Ground(
        soil="sand", stake_width=3.5, embedment=stake, pull_above=4.0, deadman_lb=weight, friction=0.35
    )
    found = cleat_to_floor(materials(floor=Floor(kind="ground", ground=ground)), BRACE)
    assert (found.push[-1].capacity, found.pull[-1].capacity, found.one) == (
        printed(push),
        printed(pull),
        None,
    )


def test_fasteners_through_cleat_and_deck_by_hand():
    """V/Z' + T/W' of nails in the deck: the values of one nail are the joints' own, the levers are worked here."""
    ours = materials()
    foot = cleat_to_floor(ours, BRACE)
    push, pull, one = foot.push[1], foot.pull[1], foot.one
    lever, lift = 0.75 / 18.0, 0.5 * (1.0 + 2.5 / 1.75)
    assert push.capacity == pytest.approx(1.0 / (0.5 / one.lateral + lever / one.axial), rel=1e-6)
    assert pull.capacity == pytest.approx(1.0 / (0.5 / one.lateral + (lever + lift) / one.axial), rel=1e-6)
    assert one.penetration == pytest.approx(0.71875, abs=1e-9)  # the deck alone, 23/32
    joist = cleat_to_floor(ours, evolve(BRACE, foot_on="joist")).one
    assert joist.penetration == pytest.approx(1.5, abs=1e-9)  # 3 in less the cleat


def test_brace_to_cleat_counts_its_nails_along_the_brace():
    """10d, 2 1/2 D under the upper edge of 1 1/2 in: 1.13 up, 1.598 along from the cut, of 15 D 0.7199 are kept.

    3.5/sin 45 less 2 x 0.37/sin 45 is 3.903 along, 2.22 apart: two of the four have room.
    """
    joint, one = brace_to_cleat(materials(), BRACE)
    assert joint.capacity == pytest.approx(2.0 * 0.7199 * one.lateral, rel=1e-4)
    assert joint.capacity == pytest.approx(161.0, abs=0.1)
    assert joint.per_pound == pytest.approx(math.sqrt(2.0), rel=1e-12)


def test_only_a_sawn_joist_under_the_foot_is_bent():
    """2x8 green spruce-pine-fir (south) No.3, 16 ft: M = R tan 45 x 192/4."""
    into = evolve(BRACE, foot_on="joist")
    down, _ = joist_bending(materials(), into)
    assert down.per_pound == pytest.approx(48.0, rel=1e-9)
    assert joist_bending(materials(), BRACE) is None
    assert joist_bending(materials(floor=Floor(joists=Joists(kind="i-joist"))), into) is None
    assert joist_bending(materials(floor=Floor(kind="slab")), into) is None


def test_a_cleat_fastener_bites_an_i_joist_by_its_flange():
    floor = Floor(joists=Joists(kind="i-joist", flange=1.25))
    ours = materials(floor=floor, cleat={"floor_fastener": "structural screw 0.22x5"})
    one = cleat_to_floor(ours, evolve(BRACE, foot_on="joist")).one
    assert one.penetration == pytest.approx(0.71875 + 1.25, abs=1e-9)


def test_lags_in_a_row_share_by_stiffness():
    """3/8 in lags at 4 D, 1 1/2 in: EA 1.4e6 x 1.5 x 5.5 along, 1.4e6 x 3 x 1.5 across; gamma 180,000 x 0.375^1.5."""
    lag = fastener("lag 3/8x4")
    found = acting_together(lag, 4, side=(1.4e6, 1.5, 5.5), main=(1.4e6, 3.0, 0.0))
    assert found == pytest.approx(
        group_action(4, spacing=1.5, gamma=41335.0, main=6.3e6, side=11.55e6), abs=1e-6
    )


# -- the wall --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("count", "from_end", "doubled", "lb"),
    [
        (4, 20.0, False, "443"),  # docs/hand/level-wall.md, B1
        (4, 30.0, False, "838"),  # and B2
        (4, 20.0, True, "887"),
        (3, 30.0, False, "838"),
        (2, 30.0, False, "576"),  # in the middle: de 2.75
        (4, -1.0, False, "443"),
    ],
)
def test_a_stud_at_its_head_joint(count, from_end, doubled, lb):
    """2/3 x 209.5 x 1.5 de, de 4 in for three fasteners and more, x (de/d)^2 within 27.5 in of the end."""
    assert splitting_shear(materials(), from_end=from_end, doubled=doubled, count=count) == printed(lb)


def test_ends_of_a_header():
    """16d commons: 89.7 lb in end grain (docs/hand)."""
    ours = materials()
    door = Opening(
        left=60.0, width=36.0, height=80.0, header="2-2x8", header_nails=4, header_fastener="16d common"
    )
    assert header_end(ours, door) == pytest.approx(4.0 * 89.7, abs=0.2)


def test_which_panel_is_on_the_studs():
    """The first structural panel; the usual one where none is named; none on a bare frame."""
    plain, board, bare = (
        evolve(WALL, **changes)
        for changes in (
            {"layers": ("house wrap", "plywood 15/32")},
            {"layers": ("gypsum 1/2",)},
            {"sheathed": False, "layers": ()},
        )
    )
    assert sheathing_of(materials(wall=plain).job).name == layer("plywood 15/32").name
    assert sheathing_of(materials(wall=board).job).name == layer("osb 7/16").name
    assert sheathing_of(materials(wall=bare).job) is None
    assert panel_ply(layer("plywood 15/32")).G == 0.42  # NDS table 12.3.3B, other than Structural I
    assert panel_ply(layer("osb 7/16")).G == 0.50


# -- the whole -------------------------------------------------------------------------------------------


def test_forces_out_of_balance_are_not_answered():
    """A brace force one part in a hundred thousand off is no answer."""
    two = (BRACE, evolve(BRACE, mark="B2", stud_at=192.0))
    forces = solve_forces(build_model(evolve(materials().job, braces=two)), "push", gust=30.0)
    verify_balance(forces)
    assert forces.held.shape == (len(forces.model.rows),)
    assert forces.states.held.shape == (len(forces.model.states),)
    off = forces.states.brace.copy()
    off[0, 0] *= 1.00001
    with pytest.raises(AccuracyError):
        verify_balance(evolve(forces, states=evolve(forces.states, brace=off)))


@pytest.mark.parametrize("direction", ["push", "pull"])
def test_beside_each_brace_the_wall_is_as_that_brace_alone_tight_leaves_it(direction):
    """Loads less what the braces take, worked out anew with each brace in turn stiff among soft ones."""
    braces = tuple(
        evolve(BRACE, mark=f"B{k}", stud_at=x, ties=2) for k, x in enumerate((32.0, 96.0, 160.0, 224.0))
    )
    model = build_model(evolve(materials(cleat={"sides": 2}).job, braces=braces))
    forces = solve_forces(model, direction, gust=30.0)
    sign = 1.0 if direction == "push" else -1.0
    fields = len(model.cases.fields)
    mesh, c = model.meshes[0], model.compliances[0]
    assert all(s.counts_in_push and s.counts_in_pull for s in model.strengths)
    for k, x in enumerate(model.studs):
        stiff = [s.give[0 if j == k else 1] for j, s in enumerate(model.strengths)]
        found = solve(
            c.flexibility,
            c.motions,
            np.array(stiff),
            np.ones(4, bool),
            under_load=c.under_load.T,
            work=c.work.T,
        )
        for name, at in (("top", np.flatnonzero(mesh.stud_x == x)), ("base", _foot_at(mesh, x))):
            loads, heads = getattr(c.from_loads, name)[:, at], getattr(c.from_heads, name)[:, at]
            whole = sign * (loads - found.force.T @ heads)
            rows = getattr(forces.responses, name)[2 * fields : 3 * fields, at]
            assert rows[..., 1] == pytest.approx(whole[1:], rel=1e-6, abs=1e-9)
            assert rows[..., 0] == pytest.approx(
                np.broadcast_to(whole[:1], whole[1:].shape), rel=1e-6, abs=1e-9
            )


def _foot_at(mesh, x):
    return np.flatnonzero(np.sort(mesh.x[mesh.pinned]) == x)


def test_the_top_plate_is_bent_between_neighbouring_studs():
    """Studs at 0.75, 16, 32, .. 224, 239.25 in: a link in the middle of each bay."""
    two = (BRACE, evolve(BRACE, mark="B2", stud_at=192.0))
    links = check(evolve(materials().job, braces=two), gust=30.0, effects=False).evaluation.links
    bent = [link.x for link in links if (link.link, link.direction) == ("top plate bending", "push")]
    studs = [0.75, *range(16, 225, 16), 239.25]
    assert sorted(bent) == pytest.approx([(a + b) / 2.0 for a, b in pairwise(studs)], abs=1e-9)
    assert bent[0] in (
        40.0,
        56.0,
        184.0,
        200.0,
    )  # beside a braced stud, which takes from the plate what others give


def test_a_brace_on_no_stud_or_over_its_top_is_refused_with_the_others():
    """Studs at 16 in: 40 is between two; 3/4 in off is the tape; 121 in is over a wall of 120."""
    wrong = (evolve(BRACE, stud_at=40.0), evolve(BRACE, mark="B2", stud_at=64.75),
             evolve(BRACE, mark="B3", stud_at=192.0, head=121.0))  # fmt: skip
    with pytest.raises(InputError) as caught:
        build_model(evolve(materials().job, braces=wrong))
    assert [fault.field for fault in caught.value.faults] == ["brace[0].stud_at", "brace[2].head"]
    assert "2'-8\" and 4'-0\"" in caught.value.faults[0].expected


# -- links -----------------------------------------------------------------------------------------------


def test_a_link_worked_in_reverse_is_a_link_of_its_own():
    reverse = [link for link in LinkId if link.endswith("in reverse")]
    assert len(reverse) == 14  # those of a brace
    assert all(link.forward.reversed is link and link.forward.forward is link.forward for link in reverse)


def group(capacity, demand, **more) -> Group:
    items, rows = len(capacity), Rows((("A", "closed", "both plies", "published slip"),) * len(demand))
    return Group(
        link="a link", directions=("push",), marks=(None,) * items, places=(None,) * items, unit="lb",
        capacity=np.array(capacity), demand=np.array(demand), source="by hand", why=("",) * items, rows=rows, **more,
    )  # fmt: skip


def test_a_limit_gust_by_hand():
    """20 lb always, 0.05 lb a mph squared, 100 lb allowed: sqrt(80/0.05) = 40 mph; at 20 mph 40 lb, 0.4 of it."""
    one = group([100.0], [[[20.0, 0.05]]])
    assert one.limits == pytest.approx([40.0], rel=1e-12)
    assert one.demands(20.0) == pytest.approx([40.0], rel=1e-12)
    assert one.ratios(20.0) == pytest.approx([0.4], rel=1e-12)


def test_a_demand_that_turns_round_is_held_by_its_size_unless_it_counts_one_way():
    """20 - 0.05 q: under -100 from q = 2,400; one way it never counts."""
    both, one_way = (group([100.0], [[[20.0, -0.05]]], one_way=flag) for flag in (False, True))
    assert both.limits == pytest.approx([math.sqrt(2400.0)], rel=1e-12)
    assert one_way.limits.tolist() == [HIGHEST]
    assert (both.demands(60.0)[0], one_way.demands(60.0)[0]) == pytest.approx((160.0, 0.0), rel=1e-12)


def test_the_worst_row_and_the_allowance_count():
    """Rows 0.05 and 0.10 q, 10 lb and 0.01 q more for what may lie between: sqrt(90/0.11)."""
    two = group([100.0], [[[0.0, 0.05]], [[0.0, 0.10]]], allowance=np.array([[[10.0, 0.01]], [[10.0, 0.01]]]))
    assert two.limits == pytest.approx([math.sqrt(90.0 / 0.11)], rel=1e-12)
    assert two.demands(10.0) == pytest.approx([10.0 + 11.0], rel=1e-12)


def test_a_link_over_at_rest_has_no_gust_and_a_link_of_nothing_is_infinite():
    assert group([100.0], [[[120.0, 0.05]]]).limits.tolist() == [0.0]
    assert group([100.0], [[[-120.0, -0.05]]]).limits.tolist() == [0.0]
    nothing = group([0.0, 0.0], [[[0.0, 0.05], [0.0, 0.0]]])
    assert nothing.ratios(30.0).tolist() == [math.inf, 0.0]
    assert nothing.limits.tolist() == [0.0, HIGHEST]


def test_shear_and_tension_together_by_search():
    """(2 + 0.02 q)/100 + (-2 + 0.04 q)/100 = 1 at q = 1,666.7, 40.8 mph."""
    both = group(
        [1.0], [[[2.0, 0.02]]], tension=np.array([[[-2.0, 0.04]]]),
        use=lambda shear, pull: shear / 100.0 + pull / 100.0,
    )  # fmt: skip
    assert both.limits == pytest.approx([math.sqrt(1.0 / 0.0006)], rel=1e-8)
    assert both.ratios(40.0) == pytest.approx([0.96], rel=1e-12)
    over = group(
        [1.0], [[[200.0, 0.0]]], tension=np.zeros((1, 1, 2)), use=lambda shear, pull: (shear + pull) / 100.0
    )
    assert over.limits.tolist() == [0.0]
    never = group(
        [1.0], [[[20.0, 0.0]]], tension=np.zeros((1, 1, 2)), use=lambda shear, pull: (shear + pull) / 100.0
    )
    assert never.limits.tolist() == [HIGHEST]


def test_pieces_of_one_stud_are_one_link_by_the_worst():
    """Three pieces, two studs: ratios 0.5, 0.8 and 0.2 at 10 mph."""
    studs = group([100.0, 50.0, 100.0], [[[50.0, 0.0], [40.0, 0.01], [20.0, 0.0]]], starts=np.array([0, 2]))
    studs = evolve(studs, marks=("B1", None), places=(16.0, 32.0), why=("one", "two"))
    first, second = studs.links(10.0)
    assert (first.demand, first.capacity, first.ratio) == pytest.approx((41.0, 50.0, 0.82), rel=1e-12)
    assert (second.demand, second.ratio, second.mark, second.x) == (20.0, 0.2, None, 32.0)
    assert first.limit_gust == pytest.approx(math.sqrt(10.0 / 0.01), rel=1e-12)
    assert first.to_dict()["x_ft"] == pytest.approx(16.0 / 12.0, rel=1e-12)
    assert [link.limit_gust for link in studs.links(10.0, limits_too=False)] == [HIGHEST, HIGHEST]
