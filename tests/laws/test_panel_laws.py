"""What must hold of any wall as a panel: balance, symmetry, superposition, and who takes what."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from attrs import evolve
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from bracing.codes.asce7.walls import pressure_fields
from bracing.codes.pressures import mean_coefficient, outline_properties
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.wall import Row, Studs, Wall
from bracing.panel.export import subdivide
from bracing.panel.grillage import analyse, base_nodes, loose_motions
from bracing.panel.loads import LoadSet
from bracing.panel.mesh import build_mesh
from bracing.panel.reduced import BraceForces, solve, solve_one_way
from tests.walls import HOLDING, Panel, jobs, panel, random_job

TO_ROUNDING = 1e-6
FEW = settings(max_examples=25, deadline=None)


def fields_of(wall: Wall):
    return pressure_fields(wall.top, gaps=(0.0, 36.0))


def solved(it: Panel, counts=None) -> BraceForces:
    c = it.compliance
    on = np.ones(len(it.springs.give), dtype=bool) if counts is None else counts
    return solve(c.flexibility, c.motions, it.springs.give, on, under_load=c.under_load.T, work=c.work.T)


def response(it: Panel, found: BraceForces, name: str):
    """One response with the braces up, cases first."""
    loads, heads = getattr(it.compliance.from_loads, name), getattr(it.compliance.from_heads, name)
    return loads - np.einsum("nc,n...->c...", found.force, heads)


def braced(job: Job) -> Panel:
    it = panel(job, fields_of(job.wall))
    assume(bool(solved(it).held))
    assume(np.abs(it.compliance.moved(solved(it).force, solved(it).motion)).max() < 1e6)
    return it


# -- balance ---------------------------------------------------------------------------------------------


@FEW
@given(jobs())
def test_braces_and_plate_balance_every_case(job):
    it = braced(job)
    found, mesh = solved(it), it.mesh
    base = response(it, found, "base")
    total = it.loads.total(mesh)
    scale = np.abs(total).min()
    assert total - found.force.sum(axis=0) + base.sum(axis=1) == pytest.approx(
        np.zeros(len(total)), abs=TO_ROUNDING * scale
    )
    about_plate = it.loads.moment(mesh) - mesh.z[it.heads] @ found.force
    assert about_plate == pytest.approx(
        np.zeros(len(total)), abs=TO_ROUNDING * np.abs(it.loads.moment(mesh)).min()
    )
    about_left = it.loads.turning(mesh) - mesh.x[it.heads] @ found.force + base @ mesh.x[base_nodes(mesh)]
    assert about_left == pytest.approx(np.zeros(len(total)), abs=TO_ROUNDING * scale * job.wall.length)


@FEW
@given(jobs(), st.integers(1, 2))
def test_the_grillage_gets_the_whole_of_every_field(job, plies):
    fields = fields_of(job.wall)
    it = panel(job, fields, plate_plies=plies)
    area = outline_properties(job.wall.top).area
    whole = [mean_coefficient(job.wall.top, field) * area for field in fields]
    assert it.loads.total(it.mesh) == pytest.approx(np.array(whole), rel=TO_ROUNDING)


# -- symmetry and linearity ------------------------------------------------------------------------------


def mirrored(job: Job) -> Job:
    wall, length = job.wall, job.wall.length
    studs = evolve(wall.studs, first=(length - wall.studs.first) % wall.studs.spacing)
    wall = evolve(
        wall,
        top=tuple((length - x, z) for x, z in reversed(wall.top)),
        openings=tuple(evolve(o, left=length - o.right) for o in wall.openings),
        left_end=wall.right_end, right_end=wall.left_end,
        left_return=wall.right_return, right_return=wall.left_return, studs=studs,
    )  # fmt: skip
    return evolve(job, wall=wall, braces=tuple(evolve(b, stud_at=length - b.stud_at) for b in job.braces))


@FEW
@given(jobs())
def test_a_mirrored_wall_gives_the_mirrored_answer(job):
    it, other = braced(job), mirrored(job)
    theirs = [stick.x for stick in frame_wall(other.wall).members]
    ours = [job.wall.length - stick.x for stick in frame_wall(job.wall).members]
    assume(
        len(theirs) == len(ours) and np.allclose(sorted(theirs), sorted(ours))
    )  # the layout may end otherwise
    fields = [
        evolve(
            f,
            zones=tuple((job.wall.length - b, job.wall.length - a, c) for a, b, c in reversed(f.zones)),
            slope=-f.slope,
            x_bar=job.wall.length - f.x_bar,
        )
        for f in it.fields
    ]
    twin = panel(other, fields)
    scale = np.abs(solved(it).force).max()
    assert solved(twin).force == pytest.approx(solved(it).force, abs=TO_ROUNDING * scale)


@FEW
@given(jobs(), st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_forces_superpose_and_doubled_loads_double_them(job, one, two):
    it = braced(job)
    a, b = it.loads.element_load, it.loads.node_load
    mixed = LoadSet(
        np.stack([a[0], a[1], one * a[0] + two * a[1], 2.0 * a[0]]),
        np.stack([b[0], b[1], one * b[0] + two * b[1], 2.0 * b[0]]),
    )
    again = Panel(job, it.mesh, it.fields, mixed, analyse(it.mesh, mixed), it.springs)
    found = solved(again)
    scale = TO_ROUNDING * np.abs(found.force).max()
    A, B, mix, double = found.force.T
    assert mix == pytest.approx(one * A + two * B, abs=scale)
    assert double == pytest.approx(2.0 * A, abs=scale)
    moment = response(again, found, "stud_moment")
    largest = np.abs(moment).max()
    assert moment[2] == pytest.approx(one * moment[0] + two * moment[1], abs=TO_ROUNDING * largest)


# -- who takes what --------------------------------------------------------------------------------------


@FEW
@given(jobs(), st.integers(0, 20), st.floats(1.5, 20.0))
def test_a_stiffer_brace_attracts_no_less(job, which, times):
    it = braced(job)
    before = solved(it).force
    k = which % len(it.springs.give)
    it.springs.give[k] /= times
    after = solved(it).force
    slack = TO_ROUNDING * np.abs(before).max()
    assert np.all(np.abs(after[k]) >= np.abs(before[k]) - slack)


@FEW
@given(st.integers(0, 10**6), st.floats(0.25, 1.0))
def test_a_rigid_level_panel_on_equal_soft_springs_agrees_with_statics(seed, high):
    job = random_job(seed, shape="level", openings=0, rows=0, returns=False)
    height = job.wall.highest
    job = evolve(job, braces=tuple(evolve(b, head=high * height, stud_doubled=False) for b in job.braces))
    it = panel(job, fields_of(job.wall))
    it.springs.give[:] = 1e6  # so soft that the wall moves as one rigid leaf
    x, h = it.mesh.x[it.heads], it.mesh.z[it.heads][0]
    turning, twisting = it.loads.moment(it.mesh), moment_of_height_and_x(it)
    # R = a + b (x - x_mean): sum R h = turning, sum R h x = twisting
    mean, spread = x.mean(), ((x - x.mean()) ** 2).sum()
    a = turning / (h * len(x))
    b = (twisting / h - a * x.sum()) / spread
    expected = a + b * (x[:, None] - mean)
    assert solved(it).force == pytest.approx(expected, rel=1e-4, abs=1e-4 * np.abs(expected).max())


def moment_of_height_and_x(it: Panel):
    """Work of the loads along the twist w = z x: the product moment about the floor and LEFT."""
    mesh, product = it.mesh, it.mesh.z * it.mesh.x
    start, end = product[mesh.element_nodes].T  # straight along every upright
    a, b = it.loads.element_load[..., 0], it.loads.element_load[..., 1]
    work = ((a * (2.0 * start + end) + b * (start + 2.0 * end)) * mesh.element_length / 6.0).sum(axis=1)
    return work + it.loads.node_load @ product


# -- motions ---------------------------------------------------------------------------------------------

LEVEL = ((0.0, 108.0), (300.0, 108.0))
RAKE = ((0.0, 108.0), (300.0, 200.0))
GABLE = ((0.0, 108.0), (150.0, 200.0), (300.0, 108.0))
THREE = ((0.0, 108.0), (100.0, 180.0), (200.0, 150.0), (300.0, 220.0))


@pytest.mark.parametrize(
    ("top", "ends", "rows", "motions"),
    [
        (LEVEL, "", (), 2),  # turn about the plate, and twist
        (RAKE, "", (), 2),
        (GABLE, "", (), 3),  # a kinked top passes no moment: it can also fold there
        (THREE, "", (), 4),  # one fold for each kink
        (LEVEL, "l", (), 2),  # a return counts for nothing
        (LEVEL, "r", (), 2),
        (LEVEL, "lr", (), 2),
        (GABLE, "lr", (), 3),
        (LEVEL, "", (Row(height=60.0),), 2),  # a row parallel to the plate stops neither motion
        (RAKE, "", (Row(height=60.0),), 1),  # a level row under a rake: straight along both only in a turn
        (GABLE, "", (Row(height=60.0),), 1),  # and the row does not fold at the peak
    ],
)
def test_how_many_ways_a_panel_can_move_without_bending(top, ends, rows, motions):
    wall = Wall(name="W", top=top, rows=rows, studs=Studs(size="2x6", spacing=16.0))
    if "l" in ends:
        wall = evolve(wall, left_end="return", left_return=HOLDING)
    if "r" in ends:
        wall = evolve(wall, right_end="return", right_return=HOLDING)
    assert loose_motions(build_mesh(wall, frame_wall(wall)))[0].shape[1] == motions


@pytest.mark.parametrize("plies", [1, 2])
@pytest.mark.parametrize(
    ("top", "motions"),
    [
        (((0.0, 108.0), (120.0, 108.0), (300.0, 108.0)), 2),  # a point on a straight run is no kink
        (((0.0, 108.0), (120.0, 108.05), (300.0, 108.0)), 2),  # nor is one that a tape reads as on it
        (((0.0, 108.0), (120.0, 144.0), (200.0, 168.0), (300.0, 198.0)), 2),  # nor two up a rake
        (((0.0, 108.0), (120.0, 108.1), (300.0, 108.0)), 3),  # a slight kink is one
        (((0.0, 108.0), (75.0, 154.0), *GABLE[1:]), 3),  # points beside the peak add none to it
        (GABLE, 3),
        (THREE, 4),
    ],
)
def test_a_plate_of_one_ply_or_two_folds_at_every_kink_and_nowhere_else(top, motions, plies):
    wall = Wall(name="W", top=top)
    mesh = build_mesh(wall, frame_wall(wall), plate_plies=plies)
    assert loose_motions(mesh)[0].shape[1] == motions


@FEW
@given(jobs(rows=0))
def test_a_motion_bends_nothing(job):
    mesh = panel(job, fields_of(job.wall)).mesh
    for motion in loose_motions(mesh)[0].T:
        for line in mesh.lines:
            nodes = list(line.nodes)
            along = np.hypot(mesh.x[nodes] - mesh.x[nodes[0]], mesh.z[nodes] - mesh.z[nodes[0]])
            straight = motion[nodes[0]] + (motion[nodes[-1]] - motion[nodes[0]]) * along / along[-1]
            assert motion[nodes] == pytest.approx(straight, abs=1e-5)


@pytest.mark.parametrize(
    ("which", "held"),
    [
        ((), False),
        ((0,), False),
        ((0, -1), False),
        ((0, 3, -1), True),
        ((0, 1, 3, -1), True),
        ((0, 1, 2), False),
    ],
)
def test_a_gable_needs_three_braces_and_not_all_on_one_side_of_its_peak(which, held):
    job = random_job(5, shape="gable", openings=0, rows=0, returns=False)
    job = evolve(job, braces=tuple(job.braces[k] for k in which))
    found = solved(panel(job, fields_of(job.wall)))
    assert bool(found.held) is held
    assert held or not found.force.any()


# -- braces that count one way ---------------------------------------------------------------------------


def one_way(it: Panel, push, pull) -> BraceForces:
    c, rows, n = it.compliance, len(it.fields), len(it.springs.give)
    return solve_one_way(
        np.broadcast_to(c.flexibility, (rows, n, n)),
        np.broadcast_to(c.motions, (rows, *c.motions.shape)),
        np.broadcast_to(it.springs.give, (rows, n)),
        takes_push=np.broadcast_to(push, (rows, n)), takes_pull=np.broadcast_to(pull, (rows, n)),
        under_load=c.under_load[:, :, None], work=c.work[:, :, None],
    )  # fmt: skip


def gap(it: Panel, found: BraceForces):
    """How far the wall at each head is past where its brace, as loaded, would let it be, (rows, n)."""
    c, force = it.compliance, found.force[..., 0]
    moved = c.under_load - force @ c.flexibility.T + found.motion[..., 0] @ c.motions.T
    return moved - force * it.springs.give


some = st.lists(st.sampled_from(("both", "push", "pull", "none")), min_size=20, max_size=20)


@settings(max_examples=60, deadline=None)
@given(jobs(), some)
def test_no_brace_carries_what_it_does_not_count_for_and_none_is_left_out_that_would_work(job, kinds):
    it = braced(job)
    n = len(it.springs.give)
    push = np.array([kind in ("both", "push") for kind in kinds[:n]])
    pull = np.array([kind in ("both", "pull") for kind in kinds[:n]])
    found = one_way(it, push, pull)
    force, past = found.force[..., 0], gap(it, found)
    little = TO_ROUNDING * np.maximum(np.abs(force).max(axis=1, keepdims=True), 1e-12)
    held = found.held[:, None]
    assert np.all((force <= little) | push | ~held)
    assert np.all((force >= -little) | pull | ~held)
    working, far = np.abs(force) > little, little * it.springs.give
    assert np.all((np.abs(past) <= far + 1e-9 * np.abs(it.compliance.under_load).max()) | ~working | ~held)
    assert np.all((past <= far) | working | ~push | ~held)
    assert np.all((past >= -far) | working | ~pull | ~held)


# A wall in which balance alone gives the force of one of the braces that count one way.
DETERMINATE = (
    random_job(1800, rows=0),
    ["push", "pull", "both", "pull", "none", "none", "push", *["both"] * 13],
)


@settings(max_examples=12, deadline=None)
@given(jobs(rows=0), some)
@example(*DETERMINATE)
def test_the_working_braces_are_found_whenever_some_set_of_them_works(job, kinds):
    """Every set of working braces is tried; statics says one at the most is free of contradiction."""
    it = braced(evolve(job, braces=job.braces[:7]))
    n = len(it.springs.give)
    push = np.array([kind in ("both", "push") for kind in kinds[:n]])
    pull = np.array([kind in ("both", "pull") for kind in kinds[:n]])
    found = one_way(it, push, pull)
    expected = np.zeros(len(it.fields), dtype=bool)
    c = it.compliance
    for on in itertools.product((False, True), repeat=n):
        on = np.array(on) & (push | pull)
        trial = solve(c.flexibility, c.motions, it.springs.give, on, under_load=c.under_load.T, work=c.work.T)
        force = trial.force.T
        moved = c.under_load - force @ c.flexibility.T + trial.motion.T @ c.motions.T
        wrong = on & (((force > 0) & ~push) | ((force < 0) & ~pull))
        back = ~on & (((moved > 0) & push) | ((moved < 0) & pull))
        fits = bool(trial.held) & ~(wrong | back).any(axis=1)
        expected |= fits
        scale = TO_ROUNDING * max(1e-9, np.abs(force[fits]).max(initial=0.0))
        assert found.force[fits, :, 0] == pytest.approx(force[fits], abs=scale)
    assert found.held.tolist() == expected.tolist()


@FEW
@given(jobs())
def test_where_every_brace_counts_both_ways_the_answer_is_the_linear_one(job):
    it = braced(job)
    on = np.ones(len(it.springs.give), dtype=bool)
    linear = solved(it).force
    found = one_way(it, on, on).force[..., 0].T
    assert found == pytest.approx(linear, abs=TO_ROUNDING * np.abs(linear).max())


def test_braces_that_count_only_in_pull_hold_nothing_in_push():
    it = panel(random_job(3, shape="level", rows=0, returns=False), fields_of(random_job(3).wall)[:1])
    none, all_of_them = np.zeros(len(it.springs.give), bool), np.ones(len(it.springs.give), bool)
    found = one_way(it, none, all_of_them)
    assert not found.held.any()
    assert not found.force.any()


# -- shape of the calculation ----------------------------------------------------------------------------


@FEW
@given(jobs(), st.lists(st.integers(0, 2**20), min_size=2, max_size=4))
def test_a_batch_of_layouts_is_the_same_as_one_after_another(job, picks):
    it = braced(job)
    c, n = it.compliance, len(it.springs.give)
    active = np.array([[bool(pick >> k & 1) for k in range(n)] for pick in picks])
    under = np.broadcast_to(c.under_load.T, (len(picks), *c.under_load.T.shape))
    batch = solve(
        np.broadcast_to(c.flexibility, (len(picks), n, n)),
        np.broadcast_to(c.motions, (len(picks), *c.motions.shape)),
        np.broadcast_to(it.springs.give, (len(picks), n)), active, under_load=under, work=c.work.T,
    )  # fmt: skip
    for row, on in enumerate(active):
        alone = solved(it, on)
        assert bool(alone.held) is bool(batch.held[row])
        assert batch.force[row] == pytest.approx(
            alone.force, abs=TO_ROUNDING * max(1.0, np.abs(alone.force).max())
        )


@FEW
@given(jobs(), st.floats(5.0, 60.0))
def test_more_nodes_along_the_members_change_nothing(job, longest):
    it = braced(job)
    fine, _ = subdivide(it.mesh, it.loads, longest=longest)
    pieces = np.array([fine.element_nodes[k] for k in range(len(fine.element_length))])
    load = interpolated(it, fine, pieces)
    again = Panel(job, fine, it.fields, load, analyse(fine, load), it.springs)
    assert again.loads.total(fine) == pytest.approx(it.loads.total(it.mesh), rel=1e-9)
    one, two = solved(it), solved(again)
    assert two.force == pytest.approx(one.force, abs=TO_ROUNDING * np.abs(one.force).max())
    before = it.compliance.moved(one.force, one.motion)
    after = again.compliance.moved(two.force, two.motion)[:, : before.shape[1]]
    assert after == pytest.approx(before, abs=TO_ROUNDING * np.abs(before).max())


def interpolated(it: Panel, fine, pieces) -> LoadSet:
    """The same line loads, on the pieces of every element."""
    load = np.zeros((len(it.fields), len(pieces), 2))
    at = 0
    for k, (a, b) in enumerate(it.mesh.element_nodes):
        start = at
        while pieces[at][1] != b:
            at += 1
        at += 1
        axis = fine.z if it.mesh.z[a] != it.mesh.z[b] else fine.x
        part = (axis[pieces[start:at]] - axis[a]) / (axis[b] - axis[a])
        low, high = it.loads.element_load[:, k].T
        load[:, start:at] = low[:, None, None] + (high - low)[:, None, None] * part
    node = np.zeros((len(it.fields), len(fine.x)))
    node[:, : len(it.mesh.x)] = it.loads.node_load
    return LoadSet(load, node)


@settings(max_examples=6, deadline=None)
@given(jobs())
def test_no_bending_between_readings_exceeds_them_by_more_than_the_allowance(job):
    it = braced(job)
    found = solved(it)
    moment, allowance = response(it, found, "stud_moment"), it.compliance.from_loads.stud_allowance
    fine, _ = subdivide(it.mesh, it.loads, longest=12.0)
    pieces = fine.element_nodes
    load = interpolated(it, fine, pieces)
    again = Panel(job, fine, it.fields, load, analyse(fine, load), it.springs)
    closer = np.abs(response(again, solved(again), "stud_moment")).max(axis=(1, 2))
    bound = (np.abs(moment).max(axis=2) + allowance).max(axis=1)
    assert np.all(closer <= bound * (1.0 + TO_ROUNDING))
