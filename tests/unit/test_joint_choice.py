"""What fits from cleat to floor, and which joints there are to choose a fastener for."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from bracing.job.fasteners import fastener
from bracing.reading.jobs import job_from_text
from bracing.work.joints import MOST, choose_fasteners, floor_room
from tests.wall_files import wall_text

SCREW = fastener("structural screw 0.22x5")
GUST = 40.0


def job(**joists):
    """Cleats of 48 in, flat; joists 1 1/2 in thick, of which some fields are changed."""
    read = job_from_text(wall_text(), "wall.toml")
    return evolve(read, floor=evolve(read.floor, joists=evolve(read.floor.joists, **joists)))


def room(job, *, lie="flat", into_joist=True):
    job = evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, lie=lie)))
    return floor_room(job, evolve(job.braces[0], into_joist=into_joist), one=SCREW, prebored=False)


def test_a_cleat_along_a_joist_has_the_room_of_the_joist_it_lies_on():
    """0.22 in, not bored: 15 D = 3.3 in from ends and apart, and one row in 1 1/2 in: 48 - 6.6 is 12 spaces."""
    assert room(job(run="away")) == 13


@pytest.mark.parametrize(("spacing", "crossed"), [(12.0, 4), (16.0, 3), (19.2, 2), (24.0, 2), (48.0, 1)])
def test_a_cleat_across_joists_has_the_room_of_each_it_is_sure_to_cross(spacing, crossed):
    """48 in cross so many joists wherever they start, and the foot of one that is declared to be in a joist one."""
    one = room(job(run="along", spacing=48.0))
    assert one >= 1
    assert room(job(run="along", spacing=spacing)) == crossed * one
    if crossed > 1:
        caught = [
            sum(0.0 <= first + k * spacing <= 48.0 for k in range(5))
            for first in (0.0, 0.5 * spacing, spacing)
        ]
        assert min(caught) >= crossed


def test_a_cleat_on_edge_has_less_room_across_and_the_deck_more_than_a_joist():
    across = job(run="along")
    assert room(across, lie="edge") <= room(across)
    assert room(job(run="away"), into_joist=False) > room(job(run="away"))


def test_an_i_joist_has_the_room_of_its_flange():
    assert room(job(run="away", kind="i-joist")) == room(job(run="away", size="2x12"))


def joints(job, gust=GUST):
    return {each.joint: each for each in choose_fasteners(job, gust=gust).joints}


def test_a_bare_frame_has_no_sheathing_to_nail():
    sheathed = job_from_text(wall_text(strap="0 lb"), "wall.toml")
    bare = evolve(sheathed, wall=evolve(sheathed.wall, layers=(), sheathed=False))
    assert "sheathing to plate" in joints(sheathed)
    assert "sheathing to plate" not in joints(bare)
    assert "top plate to stud" in joints(bare)


def test_a_joint_that_most_fasteners_do_not_carry_says_none_and_not_a_number_past_all_room():
    """Two braces lift hard in 118 mph: a joint takes more than at 40 mph, and one that takes over MOST none."""
    two = job_from_text(wall_text(studs=("4 ft", "20 ft")), "wall.toml")
    calm, storm = joints(two), joints(two, 118.0)
    for name, joint in storm.items():
        for before, now in zip(calm[name].choices, joint.choices, strict=True):
            assert now.needed is None or (before.needed is not None and before.needed <= now.needed <= MOST)
    one_nail = next(c for c in storm["sheathing to plate"].choices if c.needed is None and c.lateral > 0.0)
    assert storm["sheathing to plate"].shear / one_nail.lateral > MOST
    assert one_nail.use is None


def test_a_number_given_is_the_least_that_carries_the_load():
    for name in ("top plate to stud", "sheathing to plate"):
        joint = joints(job())[name]
        for choice in joint.choices:
            if choice.needed is not None:
                assert choice.needed * choice.lateral >= joint.shear * (1.0 - 1e-9)
                assert choice.needed == 1 or (choice.needed - 1) * choice.lateral < joint.shear
                assert choice.use == pytest.approx(joint.shear / choice.lateral / choice.needed, rel=1e-9)
                assert not math.isnan(choice.use)
