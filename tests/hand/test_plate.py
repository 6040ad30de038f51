"""Fasteners of a plate under lift worked by hand: every number on the right stands in its own line of arithmetic."""

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.materials import materials_of
from bracing.chain.plate import Arm, PlateUse, arm_of, rows_of, strap_lever
from bracing.chain.studs import strap_pull
from bracing.chain.wall import PlateSet, wall_strength
from bracing.job.floor import Floor, Slab
from bracing.job.job import Job
from bracing.job.wall import ExtraPlateFasteners, Opening, Plate, Studs, Wall
from bracing.panel.spread import along_plate, on_a_piece, runs_of

NEAR = {"rel": 1e-9}
FEET = tuple(16.0 * k for k in range(1, 30))  # of a wall of 40 ft
WALL = Wall(
    name="W",
    top=((0.0, 97.5), (480.0, 97.5)),
    studs=Studs(size="2x6", spacing=16.0, species="SPF"),
    layers=("osb 7/16",),
    plate=Plate(state="final", spacing=16.0, sheathing_laps="plate"),
)
W = 2.1293  # what an inch of it carries, worked out in test_ends.py [lb/in]


def used(job, studs, lifts, *, shear=0.0, grain=None, marks=("B1", "B2")):
    """What is used at each brace whose braces lift so much, every foot being pushed so hard [lb]."""
    along = along_plate(job.wall, studs, FEET)
    anchor = evolve(materials_of(job).anchor, lateral=1000.0, axial=1000.0)
    wall = evolve(
        wall_strength(materials_of(job)), plate=PlateSet("nail", anchor), extra=PlateSet("screw", anchor)
    )
    use = PlateUse(
        along, rows_of(job, wall, along), along.weight, marks[: len(studs)], job.wall.plate.state, grain
    )
    lift = np.array(lifts)
    up = np.concatenate([along.share @ lift, lift[:, None]], axis=1)
    base = np.full(len(FEET), shear)
    across = np.concatenate([along.base @ base, (along.beside @ base)[:, None]], axis=1)
    return use(across, up)


def job_of(**plate):
    return Job(evolve(WALL, plate=evolve(WALL.plate, **plate)))


def test_one_lift_on_a_row_in_the_middle():
    """480 lb over 48 in is 10 lb/in at the stud, less 0.6 x 2.129: 8.722; a nail has 16 in of it, twice for 5.5/2.75.

    8.722 x 16 x 2 = 279.1 lb, of 1000 lb 0.2791. Shear of 160 lb a stud, 10 lb/in: 160 lb on each, 0.16 more.
    """
    (share,) = used(job_of(), (240.0,), [480.0])
    assert share == pytest.approx((10.0 - 0.6 * W) * 16.0 * 2.0 / 1000.0, rel=1e-4)
    assert share == pytest.approx(0.2791, abs=5e-5)
    (both,) = used(job_of(), (240.0,), [480.0], shear=160.0)
    assert both == pytest.approx(0.2791 + 0.16, abs=5e-5)


def test_a_row_at_the_sheathed_edge():
    """5.5/4.75 = 1.1579 in the place of 2: 8.722 x 16 x 1.1579 = 161.6 lb."""
    (share,) = used(job_of(row_from_sheathed_edge=0.75), (240.0,), [480.0])
    assert share == pytest.approx(0.1616, abs=5e-5)


def test_two_lifts_two_feet_apart_are_added_up():
    """At either 10 of its own and half of the other's 10: 15 lb/in, less 1.278: 13.72 x 32 = 439.1 lb."""
    both = used(job_of(), (228.0, 252.0), [480.0, 480.0])
    assert both == pytest.approx([0.4391, 0.4391], abs=5e-5)
    # One that lifts nothing changes nothing.
    assert used(job_of(), (228.0, 252.0), [480.0, 0.0])[0] == pytest.approx(0.2791, abs=5e-5)


def test_what_weighs_more_than_it_is_lifted_pulls_nothing():
    """1.2 lb/in at the stud is less than 0.6 x 2.129 = 1.278."""
    assert used(job_of(), (240.0,), [57.6]) == pytest.approx([0.0], abs=1e-12)


def test_screws_beside_the_brace_alone():
    """Of a tacked plate: 480 lb less 0.6 w where u is more. u = 10 (1 - x/48) meets 1.278 at 41.87 in from the stud;

    the triangle above has 8.72242 x 41.8676 = 365.19 lb; on 4 screws, twice for the middle: 182.59 lb each.
    """
    extra = ExtraPlateFasteners(at_each_brace=4)
    (share,) = used(job_of(state="tacked", extra=extra), (240.0,), [480.0])
    assert share == pytest.approx(0.18259, abs=5e-6)


def test_screws_beside_two_braces_on_one_stud():
    """Each has half of u = 20 (1 - x/48), which meets 1.278 at 44.934 in: of 18.72242 x 44.934 = 841.27 lb 420.63."""
    extra = ExtraPlateFasteners(at_each_brace=4)
    both = used(job_of(state="tacked", extra=extra), (240.0, 240.0), [480.0, 480.0])
    assert both == pytest.approx([0.210317] * 2, abs=5e-6)


def test_screws_beside_two_braces_that_share_the_plate():
    """What the weight leaves of each lift, ∫ net U φ / u, added up here inch by hundredth of an inch."""
    studs, lifts = (228.0, 252.0), np.array([480.0, 240.0])
    x = np.arange(150.005, 350.0, 0.01)
    φ = np.clip(1.0 - np.abs(x[:, None] - np.array(studs)) / 48.0, 0.0, None) / 48.0
    u = φ @ lifts
    part = np.maximum(u - 0.6 * W, 0.0) / np.where(u > 0.0, u, 1.0)
    held = lifts * (φ * part[:, None]).sum(axis=0) * 0.01
    extra = ExtraPlateFasteners(at_each_brace=4)
    both = used(job_of(state="tacked", extra=extra), studs, lifts)
    assert both == pytest.approx(held * 2.0 / 4.0 / 1000.0, rel=3e-5)
    assert 0.0 < both[1] < both[0] < 0.24  # all of either would be 0.24 and 0.12


def test_each_brace_is_read_where_its_own_share_is_the_greatest():
    """480 lb at 240 and 120 lb at 264 in: 10 + 1.25 = 11.25 lb/in at the first, 5 + 2.5 at the other.

    Half-way, 252 in, the shares are alike: 7.5 + 1.875 = 9.375 lb/in, which is the most past there.
    (11.25 - 1.278) x 32 = 319.1 lb and (9.375 - 1.278) x 32 = 259.1 lb; it is 319.1 of neither but the first.
    """
    both = used(job_of(), (240.0, 264.0), [480.0, 120.0])
    assert both == pytest.approx([0.3191, 0.2591], abs=5e-5)
    # More places to read it at, where a row of cripples changes the weight, change nothing but that weight.
    window = Opening(left=300.0, sill=40.0, width=40.0, height=40.0)
    more = evolve(job_of(), wall=evolve(job_of().wall, openings=(window,)))
    assert used(more, (240.0, 264.0), [480.0, 120.0]) == pytest.approx(both, abs=5e-5)


def test_what_stands_past_the_end_of_a_plate_is_not_what_stands_on_it():
    """A brace 16 in from the end: 480 lb, folded back, bring 10 (1 + 1/3) = 13.333 lb/in to all of those 16 in.

    Nowhere there stands less than 2.129 lb/in: 13.333 - 1.278 = 12.056, x 32 = 385.8 lb. Past the end stands nothing.
    """
    (share,) = used(job_of(), (464.0,), [480.0])
    assert share == pytest.approx(0.3858, abs=5e-5)


def test_fasteners_in_a_door_take_no_shear():
    """Feet at 0.75, 57.75, 98.25 and 239.25 in, a door from 60 to 96: the near foot's run is 29.25 to 60, not to 78.

    On 60 in of plate are 60/16 nails; 40 in, short of three spacings, have two, or what is told.
    """
    door = Opening(left=60.0, sill=0.0, width=36.0, height=80.0)
    wall = evolve(WALL, top=((0.0, 97.5), (240.0, 97.5)), openings=(door,))
    runs = [high - low for low, high in runs_of(wall, (0.75, 57.75, 98.25, 239.25))]
    assert runs == pytest.approx([29.25, 30.75, 72.75, 71.25], **NEAR)
    assert sum(runs) == pytest.approx(240.0 - 36.0, **NEAR)
    assert 60.0 * on_a_piece(np.array([60.0]), 16.0) == pytest.approx([3.75], **NEAR)
    assert 40.0 * on_a_piece(np.array([40.0]), 16.0) == pytest.approx([2.0], **NEAR)
    assert 40.0 * on_a_piece(np.array([40.0]), 16.0, 5) == pytest.approx([5.0], **NEAR)


def test_the_better_set_carries_all():
    """Nails at 16 in use 0.2791; one screw 365.2 x 2 = 730 lb, four 182.6: the nails, then the screws."""
    one, four = (
        used(job_of(extra=ExtraPlateFasteners("16d common", n)), (240.0,), [480.0])[0] for n in (1, 4)
    )
    assert one == pytest.approx(0.2791, abs=5e-5)
    assert four == pytest.approx(0.18259, abs=5e-6)


def test_across_the_grain():
    """8.722 lb/in x 2.75 in = 23.98 lb in of the 15 an inch may carry; 0.75 in from the edge 6.541."""
    assert used(job_of(), (240.0,), [480.0], grain=15.0) == pytest.approx([23.98], abs=0.01)
    near = job_of(row_from_sheathed_edge=0.75)
    assert used(near, (240.0,), [480.0], grain=15.0) == pytest.approx([6.541], abs=0.001)


def test_a_short_piece_of_plate():
    """A brace in the middle of 40 in between two doors: 2 whole spacings of 16 in, 2 nails in 40 in.

    Folded, 480 lb over 40 in: 1/48 of its own at the stud and what is folded back from 20 in on either side,
    (1 - 40/48)/48 twice: 10 + 3.333 = 13.33 lb/in, less 1.278; a nail to 20 in, twice: 12.06 x 20 x 2 = 482.2 lb.
    """
    doors = tuple(Opening(left=left, width=60.0, height=80.0) for left in (160.0, 260.0))
    job = job_of()
    job = evolve(job, wall=evolve(job.wall, openings=doors))
    (share,) = used(job, (240.0,), [480.0])
    assert share == pytest.approx(0.4822, abs=5e-5)
    told = evolve(job, wall=evolve(job.wall, plate=evolve(job.wall.plate, in_short_pieces=4)))
    assert used(told, (240.0,), [480.0])[0] == pytest.approx(share / 2.0, rel=1e-9)


def test_a_strap_to_the_plate_stays_in_its_stretch():
    """240 lb on the stud's own 16 in is 15 lb/in, less 1.278; one nail of 16 in at the middle: 13.72 x 16 = 219.6 lb.

    3/4 in from the edge the nail has no less, the strap 2 x 4.75/5.5 = 1.727; an inch bends 13.72 x 2 = 27.44 lb in.
    """
    strap = {"strap_at_brace_lb": 900.0, "strap_to": "plate"}
    assert used(job_of(**strap), (240.0,), [240.0])[0] == pytest.approx(0.2196, abs=1e-4)
    near = job_of(**strap, row_from_sheathed_edge=0.75)
    assert used(near, (240.0,), [240.0])[0] == pytest.approx(0.2196, abs=1e-4)
    assert used(near, (240.0,), [240.0], grain=15.0)[0] == pytest.approx(27.44, abs=0.02)
    assert strap_lever(job_of(**strap)) == pytest.approx(1.0, **NEAR)
    assert strap_lever(near) == pytest.approx(2.0 * 4.75 / 5.5, **NEAR)
    assert strap_pull(100.0, strap_lever(near)) == pytest.approx(172.7, abs=0.05)
    assert strap_lever(job_of()) == 1.0


def test_plate_washers():
    """3 in square in the middle of a 2x6: their edge is 2.75 + 1.5 = 4.25 in from the inner one."""
    slab = Floor(kind="slab", slab=Slab(washers=True))
    assert arm_of(Job(WALL, floor=slab), None) == Arm(5.5, 4.25, 1.25, by_strap=False)
    assert arm_of(Job(WALL, floor=Floor(kind="slab")), None) == Arm(5.5, 2.75, 2.75, by_strap=False)
    assert arm_of(Job(WALL), 0.75) == Arm(5.5, 4.75, 0.75, by_strap=False)
