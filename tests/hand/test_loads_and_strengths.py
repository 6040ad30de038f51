"""Loads shared, counted or turned round, and strengths that hang on a direction: by hand, or by statics."""

import math

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.brace import member, stick_of
from bracing.chain.foot import cleat_to_floor, joist_angle
from bracing.chain.forces import mirrored, solve_forces
from bracing.chain.groups import all_groups
from bracing.chain.links import LinkId
from bracing.chain.materials import materials_of
from bracing.chain.model import build_model
from bracing.codes.asce7.walls import wind_fields
from bracing.codes.nds.braces import Stiffener, stiffened_push_capacity
from bracing.codes.nds.spacing import large_spacing, small_spacing
from bracing.job.brace import Brace, Cleat, Head, Kit
from bracing.job.floor import Floor, Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Opening, Plate, Studs, Wall
from bracing.panel.grillage import Responses
from bracing.panel.spread import along_plate, on_a_piece

SPF = {"species": "spruce-pine-fir", "grade": "No.2"}
NAILED = Plate(
    state="final", spacing=16.0, sheathing_laps="plate", sheathing_fastener="8d common",
    sheathing_spacing=6.0, sheathing_field_spacing=12.0,
)  # fmt: skip
WALL = Wall(
    name="W", top=((0.0, 120.0), (240.0, 120.0)), layers=("osb 7/16",), moisture="green", plate=NAILED,
    studs=Studs(size="2x6", spacing=16.0, **SPF),
)  # fmt: skip
KIT = Kit(
    **SPF, head=Head(joint="lapped", fastener="10d common"),
    cleat=Cleat(brace_fastener="10d common", floor_fastener="10d common"),
)  # fmt: skip
ONE = Brace(
    mark="B1", stud_at=48.0, head=100.0, set_back=100.0, size="2x4", ties=1,
    head_fasteners=4, cleat_fasteners=4, floor_fasteners=2,
)  # fmt: skip
THREE = (ONE, evolve(ONE, mark="B2", stud_at=112.0), evolve(ONE, mark="B3", stud_at=192.0))


def job_of(*braces, wall=WALL, floor=None, kit=KIT):
    return Job(wall=wall, floor=floor or Floor(), kit=kit, braces=braces)


# -- openings --------------------------------------------------------------------------------------------

# ASCE 7-16 figure 29.4-2, flat-sided members: Cf on solid area where 0.3 to 0.7 is solid; on gross area so much of it.
# G is 0.85.
OPEN = [(0.35, 1.6), (0.5, 1.6), (0.65, 1.6)]


@pytest.mark.parametrize(("solid", "Cf"), OPEN)
def test_a_wall_with_many_holes_has_no_less_wind_than_an_open_frame_whatever_is_under_it(solid, Cf):
    """20 x 10 ft on a deck 10 ft up, air under it or none: B/s is 2, s/h 1 or 0.5, and the two Cf differ."""
    holes = (1.0 - solid) * 240.0 * 120.0
    opening = Opening(left=20.0, width=200.0, sill=2.0, height=holes / 200.0, covered=False)
    floor = Floor(height_above_ground=120.0, open_below=None, closed_storey=False)
    wall = evolve(WALL, openings=(opening,))
    means = {
        f.gap: f.zones[0][2]
        for f in wind_fields(job_of(wall=wall, floor=floor), frame_wall(wall))
        if f.case == "A"
    }
    assert set(means) == {"closed", "open"}
    assert min(means.values()) == pytest.approx(0.85 * solid * Cf, rel=1e-9)
    assert max(means.values()) > 1.05 * min(means.values())


# -- both sides of the wind ------------------------------------------------------------------------------


def test_forces_turned_round_are_those_solved_from_the_other_side():
    """Every force changes its sign and nothing else; what bending between readings may add has none to change."""
    model = build_model(job_of(*THREE))
    push, pull = (solve_forces(model, way, gust=40.0) for way in ("push", "pull"))
    turned = mirrored(push)
    assert turned.brace == pytest.approx(pull.brace, rel=1e-9, abs=1e-9)
    for field in Responses.__attrs_attrs__:
        ours, solved = (getattr(forces.responses, field.name) for forces in (turned, pull))
        assert ours == pytest.approx(solved, rel=1e-7, abs=1e-7), field.name
    assert (turned.responses.stud_allowance >= 0.0).all()
    assert turned.responses.stud_allowance.max() > 0.0
    assert turned.states.plate == pytest.approx(pull.states.plate, rel=1e-9, abs=1e-7)


def test_the_chain_of_forces_turned_round_is_that_of_forces_solved_from_the_other_side():
    """Worked out anew from either side, every link has the demand it has where one side is turned round."""
    model = build_model(job_of(*THREE))
    push, pull = (solve_forces(model, way, gust=40.0) for way in ("push", "pull"))
    reused, anew = ({}, {})
    for found, groups in ((reused, all_groups(push, mirrored(push))), (anew, all_groups(push, pull))):
        for group in groups:
            for way in group.directions:
                found.setdefault((group.link, way), []).append(group.demands(40.0))
    assert reused.keys() == anew.keys()
    for key, demands in anew.items():
        assert np.concatenate(reused[key]) == pytest.approx(np.concatenate(demands), rel=1e-6, abs=1e-6), key


# -- two braces on one stud ------------------------------------------------------------------------------


def two_on_one_stud(**plate):
    wall = evolve(WALL, plate=evolve(NAILED, **plate))
    pair = (
        evolve(ONE, mark="B1", stud_at=112.0, lap_side="left"),
        evolve(ONE, mark="B2", stud_at=112.0, lap_side="right", head=90.0, set_back=60.0),
        evolve(ONE, mark="B3", stud_at=48.0),
        evolve(ONE, mark="B4", stud_at=192.0),
    )
    model = build_model(job_of(*pair, wall=wall))
    push = solve_forces(model, "push", gust=40.0)
    return push, all_groups(push, mirrored(push))


def lift(forces):
    """R tan(angle) of each brace, (rows, braces): B2 at atan 1.5, the others at 45 degrees."""
    return forces.at(forces.brace, 40.0) * np.array([1.0, 1.5, 1.0, 1.0])


@pytest.mark.parametrize(
    ("link", "plate"),
    [(LinkId.STUD_TO_SHEATHING, {}), (LinkId.STRAP, {"strap_at_brace_lb": 900.0, "strap_to": "framing"})],
)
def test_two_braces_lift_their_stud_together(link, plate):
    """Statics: what the sheathing or a strap holds of a stud is the sum of what both braces lift it with."""
    push, groups = two_on_one_stud(**plate)
    up = lift(push)
    both = (up[:, 0] + up[:, 1]).max()
    assert both > 1.2 * up[:, :2].max()
    (group,) = (each for each in groups if each.link is link and each.directions == ("push",))
    demands = dict(zip(group.marks, group.demands(40.0), strict=True))
    assert demands["B1"] == demands["B2"] == pytest.approx(both, rel=1e-9)
    assert demands["B3"] == pytest.approx(up[:, 2].max(), rel=1e-9)


def test_two_braces_draw_their_stud_together():
    """Statics again, of the force along the stud that goes with its bending."""
    push, groups = two_on_one_stud()
    (group,) = (each for each in groups if each.link is LinkId.STUD_LIFTED and each.directions == ("push",))
    along = group.tension[..., 0] + group.tension[..., 1] * 40.0**2
    up = lift(push)
    points = len(along) // len(up)
    together = np.concatenate([np.stack([up[:, 0] + up[:, 1]] * 2 + [up[:, 2], up[:, 3]], axis=1)] * points)
    assert along == pytest.approx(together, rel=1e-9, abs=1e-9)


# -- fasteners in a stretch ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("long", "apart", "count"),
    [(15.9, 16.0, 0), (16.0, 16.0, 1), (31.9, 16.0, 1), (32.0, 16.0, 2), (33.0, 16.0, 2), (47.9, 16.0, 2)],
)  # fmt: skip
def test_a_short_piece_of_plate_has_whole_fasteners_and_no_part_of_one(long, apart, count):
    """In 33 in at 16 in two are sure to be there: a third would take 48, wherever the first stands."""
    assert on_a_piece(np.array([long]), apart)[0] == pytest.approx(count / long, rel=1e-12)


@pytest.mark.parametrize(
    ("long", "per_inch"), [(47.99, 2.0 / 47.99), (48.0, 1.0 / 16.0), (480.0, 1.0 / 16.0)]
)
def test_from_three_spacings_on_a_piece_has_one_to_every_spacing(long, per_inch):
    assert on_a_piece(np.array([long]), 16.0)[0] == pytest.approx(per_inch, rel=1e-12)


@pytest.mark.parametrize(
    ("spacing", "count"), [(24.0, 1), (16.0, 1), (12.0, 2), (10.0, 2), (25.0, 0), (8.0, 3), (7.9, 3)]
)
def test_in_a_studs_own_stretch_whole_fasteners_count(spacing, count):
    """A strap to the plate keeps its lift in its stud's own stretch, here 24 in: 16 goes into it once, 10 twice."""
    wall = evolve(
        WALL, top=((0.0, 120.0), (240.0, 120.0)), studs=evolve(WALL.studs, spacing=24.0),
        plate=evolve(NAILED, strap_at_brace_lb=900.0, strap_to="plate"),
    )  # fmt: skip
    feet = tuple(24.0 * k for k in range(11))
    along = along_plate(wall, (120.0,), feet)
    assert along.per_inch(spacing)[0, 0] * 24.0 == pytest.approx(count, abs=1e-9)


def nails_of_a_stud(head, *, apart):
    """What the nails from each braced stud to its sheathing hold, up to a head [lb]."""
    braces = tuple(evolve(each, head=head) for each in THREE)
    wall = evolve(WALL, plate=evolve(NAILED, sheathing_field_spacing=apart))
    push = solve_forces(build_model(job_of(*braces, wall=wall)), "push", gust=40.0)
    (group,) = (
        each for each in all_groups(push, mirrored(push))
        if each.link is LinkId.STUD_TO_SHEATHING and each.directions == ("push",)
    )  # fmt: skip
    return group.capacity


@pytest.mark.parametrize(("head", "nails"), [(96.0, 8), (95.9, 7), (100.0, 8), (107.9, 8), (108.0, 9)])
def test_nails_up_a_stud_to_the_head_are_counted_down(head, nails):
    """One every 12 in of 100 in: eight stand below the head for certain, wherever the first does."""
    two = nails_of_a_stud(60.0, apart=24.0)
    assert nails_of_a_stud(head, apart=12.0) == pytest.approx(nails * two / 2.0, rel=1e-9)


# -- strengths that hang on a direction ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("load", "end", "large", "small", "bored"),
    [
        ("parallel", "tension", 7, 15, 10), ("parallel", "compression", 4, 10, 5),
        ("perpendicular", "tension", 4, 10, 5), ("perpendicular", "compression", 4, 10, 5),
    ],
)  # fmt: skip
def test_end_distances(load, end, large, small, bored):
    """NDS table 12.5.1A: 7 D drawn toward the end, 4 D pressed from it or loaded across the grain; the commentary's

    tables C12.1.5.7 and C12.1.6.6, for nails and screws: 15 D and 10 D, bored 10 D and 5 D. Across the grain nothing
    draws toward the end, so that what is called the end then changes nothing.
    """
    assert large_spacing(1.0, load=load, end=end, bearing=1.5).end == large
    assert small_spacing(0.2, load=load, end=end, prebored=False).end == pytest.approx(0.2 * small, rel=1e-12)
    assert small_spacing(0.2, load=load, end=end, prebored=True).end == pytest.approx(0.2 * bored, rel=1e-12)


# A brace pulls away from the wall. Joists that run away lie along that pull, and blocks between them across; joists
# along the wall lie across it, and blocks between them along.
@pytest.mark.parametrize(
    ("run", "on", "degrees"),
    [("away", "joist", 0.0), ("away", "block", 90.0), ("along", "joist", 90.0), ("along", "block", 0.0)],
)
def test_the_grain_under_a_foot(run, on, degrees):
    floor = Floor(joists=Joists(run=run))
    brace = evolve(ONE, foot_on=on)
    assert math.degrees(joist_angle(materials_of(job_of(brace, floor=floor)), brace)) == pytest.approx(
        degrees, abs=1e-9
    )


def test_a_lag_across_the_joists_holds_less_than_along_them():
    """NDS 12.3.3: from 1/4 in on bearing across the grain is the lesser."""
    kit = evolve(KIT, cleat=evolve(KIT.cleat, floor_fastener="lag 3/8x6"))

    def one(run, on):
        brace = evolve(ONE, foot_on=on)
        return cleat_to_floor(
            materials_of(job_of(brace, kit=kit, floor=Floor(joists=Joists(run=run)))), brace
        ).one

    assert one("away", "joist").lateral == pytest.approx(one("along", "block").lateral, rel=1e-12)
    assert one("away", "block").lateral == pytest.approx(one("along", "joist").lateral, rel=1e-12)
    assert one("along", "joist").lateral < 0.95 * one("away", "joist").lateral


def test_a_foot_in_a_joist_holds_the_better_of_joist_and_deck():
    """The panel is there too. Five inches of screw reach a joist, and hold more there than in the panel alone."""

    def holds(screw, on):
        kit = evolve(KIT, cleat=evolve(KIT.cleat, floor_fastener=screw))
        brace = evolve(ONE, foot_on=on)
        foot = cleat_to_floor(
            materials_of(job_of(brace, kit=kit, floor=Floor(joists=Joists(run="away")))), brace
        )
        return [min(s.level_force for s in way) for way in (foot.push, foot.pull)]

    for screw in ("structural screw 0.22x5", "lag 3/8x6", "10d common", "wood screw #8x2"):
        panel, joist = holds(screw, "deck"), holds(screw, "joist")
        assert all(there >= alone * (1.0 - 1e-9) for there, alone in zip(joist, panel, strict=True))
    long = holds("structural screw 0.22x5", "deck"), holds("structural screw 0.22x5", "joist")
    assert all(there > 1.2 * alone for alone, there in zip(*long, strict=True))


def test_the_nails_of_a_stiffener_are_a_third_as_stiff_as_published():
    """180,000 D^1.5 (NDS 11.3.6) of 10d commons, D 0.148, is 10,248.5 lb/in; a third of it 3,416.2, one every 8 in.

    Off what it carries comes its own thrust, two sticks of 0.09297 lb/in (test_chain.py): w sin(45) L/2.
    """
    brace = evolve(ONE, stiffener="T", ties=0, head=110.0, set_back=110.0)
    ours = materials_of(job_of(brace))
    stick, values = stick_of(ours, brace), ours.brace_values("2x4")

    def holds(K):
        whole = stiffened_push_capacity(
            stick, values, stiffener=Stiffener(section("2x4"), K, 8.0)
        ).capacity_lb
        return whole - 2.0 * 0.09297 * 110.0 / 2.0

    found = member(ours, brace)[0].capacity
    assert found == pytest.approx(holds(3416.2), rel=1e-4)
    assert holds(3416.2 * 2.0 / 3.0) < 0.999 * found
    assert holds(3416.2 * 1.5) > 1.001 * found
