"""What fits from cleat to floor, and which joints there are to choose a fastener for."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from bracing.chain.room import RUN
from bracing.chain.room import room as room_in
from bracing.job.brace import JointId
from bracing.job.fasteners import fastener
from bracing.reading.jobs import job_from_text
from bracing.work.joints import MOST, choose_fasteners
from tests.wall_files import wall_text

SCREW = fastener("structural screw 0.22x5")
GUST = 40.0


def job(**joists):
    """Cleats of 48 in, flat; joists 1 1/2 in thick, of which some fields are changed."""
    read = job_from_text(wall_text(), "wall.toml")
    floor = evolve(read.floor, joists=evolve(read.floor.joists, **joists))
    return evolve(read, floor=floor, declared=read.declared | {RUN})


def room(job, *, lie="flat", foot_on="joist", sides=1):
    job = evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, lie=lie, sides=sides)))
    return room_in(job, evolve(job.braces[0], foot_on=foot_on), JointId.FLOOR, one=SCREW, prebored=False)


def test_a_cleat_along_a_joist_has_the_room_of_the_joist_it_lies_on():
    """0.22 in, not bored: 15 D = 3.3 in from ends and apart, and one row in 1 1/2 in: 48 - 6.6 is 12 spaces."""
    assert room(job(run="away")) == 13
    assert room(job(run="away"), sides=2) == 2 * 13


@pytest.mark.parametrize("first", [0.0, 5.0, 11.0])
@pytest.mark.parametrize("spacing", [12.0, 16.0, 19.2])
def test_a_cleat_across_joists_has_two_abreast_at_each_it_crosses(spacing, first):
    """Joists from the wall at so many inches; those 3.3 in in from both ends of 48 in of cleat count."""
    foot = job(run="along").braces[0].set_back
    at = [first + k * spacing for k in range(60)]
    crossed = sum(foot - 24.0 + 3.3 <= x <= foot + 24.0 - 3.3 for x in at)
    assert room(job(run="along", spacing=spacing, first=first)) == 2 * crossed


def test_a_cleat_on_edge_has_less_room_across_and_the_deck_more_than_a_joist():
    across = job(run="along")
    assert room(across, lie="edge") <= room(across)
    assert room(job(run="away"), foot_on="deck") > room(job(run="away"))


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
