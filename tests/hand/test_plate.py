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
from bracing.panel.spread import along_plate

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

    the triangle above has 8.722 x 41.87 = 365.2 lb; on 4 screws, twice for the middle: 182.6 lb each.
    """
    extra = ExtraPlateFasteners(at_each_brace=4)
    (share,) = used(job_of(state="tacked", extra=extra), (240.0,), [480.0])
    assert share == pytest.approx(0.1826, rel=0.01)  # the last place is a little past the triangle's end
    assert share >= 0.1826


def test_the_better_set_carries_all():
    """Nails at 16 in use 0.2791; one screw 365.2 x 2 = 730 lb, four 182.6: the nails, then the screws."""
    one, four = (
        used(job_of(extra=ExtraPlateFasteners("16d common", n)), (240.0,), [480.0])[0] for n in (1, 4)
    )
    assert one == pytest.approx(0.2791, abs=5e-5)
    assert four == pytest.approx(0.1826, rel=0.01)


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
