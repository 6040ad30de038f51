"""Where a foot may stand: each reason by itself, joists both ways, and the wood under the cleats."""

import math

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from bracing.chain.room import RUN, floor_distances, in_a_row, woods_under
from bracing.codes.nds.spacing import least_spacing
from bracing.job.brace import Cleat, Head, Kit
from bracing.job.fasteners import fastener
from bracing.job.floor import Blocks, Floor, Joists, KeepOut, Partition
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Opening, Studs, Wall
from bracing.layout.spots import (
    HEADROOM,
    FootPlace,
    Refused,
    Spot,
    find_spots,
    footprint,
    moved_to_joists,
)
from bracing.text.quantities import in_words

SCREW = "structural screw 0.22x5"
CLEAT = Cleat(length=36.0, sides=1, floor_fastener=SCREW)
JOB = Job(
    wall=Wall(name="w", top=((0.0, 144.0), (384.0, 144.0)), studs=Studs(size="2x6", spacing=16.0)),
    floor=Floor(room=288.0),
    kit=Kit(head=Head(joint="lapped"), cleat=CLEAT),
    declared=frozenset({RUN}),
)
STUD, HEAD, BACK = 160.0, 120.0, 120.0


def with_floor(**fields):
    return evolve(JOB, floor=evolve(JOB.floor, **fields))


def with_cleat(job, **fields):
    return evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, **fields)))


def spot(job, *, stud=STUD, head=HEAD, back=BACK, size="2x6"):
    found = find_spots(job, stud=stud, head=head, set_back=back, size=size)
    return found if isinstance(found, Refused) else found[0]


def why(job, **at):
    found = spot(job, **at)
    assert isinstance(found, Refused), found
    return in_words(found.why)


def test_a_foot_lies_half_a_stud_and_half_a_brace_off_its_stud():
    left = footprint(JOB, FootPlace(STUD, HEAD, BACK, "2x6"), lap_side="left", cleat_side="left")
    right = footprint(JOB, FootPlace(STUD, HEAD, BACK, "2x6"), lap_side="right", cleat_side="both")
    assert (left.x, right.x) == (STUD - 1.5, STUD + 1.5)
    # a flat 2x4 is 3.5 in wide and lies against the brace, 0.75 in off its middle
    assert left.cleats == (left.x - 2.5,)
    assert left.across == (left.x - 4.25, left.x + 0.75)
    assert right.cleats == (right.x - 2.5, right.x + 2.5)
    assert left.along == (BACK - 18.0, BACK + 18.0)


def test_a_plumb_head_stands_in_line_with_its_stud():
    job = evolve(JOB, kit=evolve(JOB.kit, head=Head(joint="plumb")))
    assert spot(job).foot_x == STUD


def test_an_end_stud_is_lapped_on_its_inner_side():
    assert spot(JOB, stud=0.75).lap_side == "right"
    assert spot(JOB, stud=383.25).lap_side == "left"


@pytest.mark.parametrize(("stud", "end"), [(0.75, 0.0), (383.25, 384.0)])
def test_a_foot_between_two_cleats_goes_past_the_end_of_a_deck_at_an_end_stud(stud, end):
    """1 1/2 in from the stud to the brace's middle, and 4 1/4 from there to the far side of either cleat."""
    assert abs(end - stud) + 1.5 < 4.25
    assert "past the end of the wall" in why(with_cleat(JOB, sides=2), stud=stud)
    assert isinstance(spot(with_cleat(with_floor(kind="ground"), sides=2), stud=stud), Spot)


def test_the_room_is_for_the_whole_cleat():
    assert isinstance(spot(with_floor(room=BACK + 18.0)), Spot)
    assert "past the room" in why(with_floor(room=BACK + 17.0))
    assert "before the wall" in why(JOB, head=24.0, back=17.0)


def test_a_keep_out_is_for_brace_and_cleat():
    """Lapped left with its cleat to the left, brace and cleat take x = 154.25 to 159.25."""
    hole = KeepOut(name="stair opening", corner=(100.0, 60.0), opposite=(220.0, 110.0))
    assert why(with_floor(keep_outs=(hole,))) == "the foot stands in stair opening"
    assert isinstance(
        spot(with_floor(keep_outs=(evolve(hole, opposite=(220.0, 102.0)),))), Spot
    )  # short of it
    beside = KeepOut(name="hole", corner=(0.0, 0.0), opposite=(154.0, 288.0))
    found = spot(with_floor(keep_outs=(beside,)))
    assert (found.lap_side, found.cleat_side) == ("left", "left")
    nearer = spot(with_floor(keep_outs=(evolve(beside, opposite=(155.0, 288.0)),)))
    assert (nearer.lap_side, nearer.cleat_side) == ("left", "right")


def test_corners_may_be_given_either_way_round():
    hole = KeepOut(name="hole", corner=(220.0, 130.0), opposite=(100.0, 60.0))
    assert why(with_floor(keep_outs=(hole,))) == "the foot stands in hole"


def test_a_brace_may_pass_over_a_path_with_headroom():
    """At y the brace's underside is at 120 (1 - y/120) - 2.75/cos 45: 80 in of it at y = 36.1."""
    clear = BACK * (1.0 - (HEADROOM + 2.75 * math.sqrt(2.0)) / HEAD)
    path = KeepOut(name="Door path", corner=(140.0, 0.0), opposite=(180.0, clear - 0.1))
    assert isinstance(spot(with_floor(keep_outs=(path,))), Spot)
    assert "hangs low over Door path" in why(
        with_floor(keep_outs=(evolve(path, opposite=(180.0, clear + 0.1)),))
    )


@pytest.mark.parametrize("name", ["path", "Path to the stair", "DOOR PATH"])
def test_a_path_is_one_however_it_is_written(name):
    """Its far edge is at 100 in, where the brace is lower than a head: 120 - 100 - 3.9 in."""
    path = KeepOut(name=name, corner=(140.0, 0.0), opposite=(180.0, 100.0))
    assert f"hangs low over {name}" in why(with_floor(keep_outs=(path,)))


def test_a_brace_clears_a_slanting_partition_where_it_is_lowest_over_it():
    """From 40 to 60 in out: the brace's underside falls from 120 - 40 - 3.9 to 120 - 60 - 3.9 = 56.1 in over it."""
    low = 120.0 - 60.0 - 2.75 * math.sqrt(2.0)
    slanting = Partition(start=(100.0, 40.0), end=(220.0, 60.0), height=low - 0.1)
    assert isinstance(spot(with_floor(partitions=(slanting,))), Spot)
    assert "below its plate" in why(with_floor(partitions=(evolve(slanting, height=low + 0.1),)))


def test_no_foot_stands_in_front_of_a_door():
    door = Opening(left=150.0, width=40.0, height=80.0, sill=0.0)
    job = evolve(JOB, wall=evolve(JOB.wall, openings=(door,)))
    assert "in front of the door" in why(job, stud=170.0)
    king = 150.0 - 1.5 - 0.75  # beside its trimmer
    found = spot(job, stud=king)
    assert found.foot_x < king
    window = evolve(door, sill=36.0, height=44.0)
    assert isinstance(spot(evolve(job, wall=evolve(job.wall, openings=(window,))), stud=170.0), Spot)


@pytest.mark.parametrize("x", [150.0, 152.0, 164.0, 168.0])
def test_a_foot_keeps_off_the_line_of_a_partition_beside_it(x):
    found = spot(with_floor(partitions=(Partition(start=(x, 0.0), end=(x, 200.0)),)))
    ways = {"left": -1.0, "right": 1.0}
    side = found.foot_x + ways[found.cleat_side] * 4.25
    assert not min(found.foot_x, side) - 0.75 < x < max(found.foot_x, side) + 0.75
    assert min(abs(found.foot_x - x) - 0.75, abs(side - x)) >= 3.0


def test_no_brace_goes_on_the_stud_a_partition_meets():
    meets = Partition(start=(STUD, 0.0), end=(STUD, 200.0))
    assert "on the line of the partition" in why(with_floor(partitions=(meets,)))


def test_a_partition_that_starts_past_the_foot_is_no_matter():
    assert isinstance(
        spot(with_floor(partitions=(Partition(start=(160.0, 140.0), end=(160.0, 240.0)),))), Spot
    )


def test_a_brace_crosses_a_partition_above_its_plate_or_not_at_all():
    """Set 24 in out, the underside is at 120 x 0.8 - 3.9 = 92.1 in."""
    across = Partition(start=(100.0, 24.0), end=(220.0, 24.0), height=92.0)
    assert isinstance(spot(with_floor(partitions=(across,))), Spot)
    assert "below its plate" in why(with_floor(partitions=(evolve(across, height=92.3),)))
    past = evolve(across, start=(100.0, 200.0), end=(220.0, 200.0), height=200.0)
    assert isinstance(spot(with_floor(partitions=(past,))), Spot)  # beyond the foot
    at = evolve(across, start=(100.0, 140.0), end=(220.0, 140.0), height=20.0)
    assert "on the line of the partition" in why(with_floor(partitions=(at,)))


def test_a_crossing_partition_counts_a_bay_past_its_end():
    short = Partition(start=(0.0, 24.0), end=(145.0, 24.0), height=97.0)
    assert "below its plate" in why(with_floor(partitions=(short,)))
    assert isinstance(spot(with_floor(partitions=(evolve(short, end=(143.0, 24.0)),))), Spot)


# -- wood under the cleats -------------------------------------------------------------------------------


def away(first=0.0, **fields):
    return with_floor(joists=Joists(run="away", spacing=16.0, first=first, size="2x10", **fields))


def along(first=0.0, **fields):
    return with_floor(joists=Joists(run="along", spacing=16.0, first=first, size="2x10", **fields))


def test_a_cleat_along_the_joists_lies_over_one():
    """On a joist's own stud the brace is 1.5 in off and the middle of its cleat 1 in beyond the joist."""
    found = spot(away())
    assert found.joists == 1
    assert abs(found.foot_x + (2.5 if found.cleat_side == "right" else -2.5) - STUD) <= 1.25
    between = spot(away(first=8.0))
    assert (between.joists, between.wood.on, between.wood.blocks) == (0, "block", 1)
    # 8 in of flat 2x4: of the two cross cleats under its ends each would lie on the other. Nothing is known of blocks
    # between trusses: the deck panel alone is left.
    short = with_cleat(away(first=8.0, kind="truss"), length=8.0)
    assert spot(short).wood.on == "deck"


@given(first=st.floats(0.0, 16.0), sides=st.sampled_from((1, 2)), size=st.sampled_from(("2x4", "2x6")))
def test_a_spot_has_a_joist_under_every_cleat_or_blocks_under_those_that_have_none(first, sides, size):
    job = with_cleat(away(first=first), sides=sides, size=size)
    reach = section(size).width / 2.0 - least_spacing(fastener(SCREW), load="parallel").edge
    off = []
    for lap in (-1.5, 1.5):
        for side in (-1.0, 1.0):
            middle = STUD + lap + side * (0.75 + section(size).width / 2.0)
            off.append(min(abs(middle - (first + 16.0 * k)) for k in range(-1, 30)))
    found = spot(job)
    if abs(min(off) - reach) > 1e-6:
        assert (found.joists > 0) is (min(off) < reach)
    assert (found.wood.on == "joist") is (found.joists == sides)
    assert found.wood.blocks == sides - found.joists


def test_blocks_take_the_fasteners_of_the_cleat_that_lies_over_no_joist():
    """Two flat 2x4 beside a brace are 5 in apart, middle to middle: never both over one 1 1/2 in joist."""
    job = with_cleat(away(), sides=2)
    found = spot(job)
    assert found.joists == 1
    assert (found.wood.blocks, found.wood.on) == (1, "block")
    # Two to a block of a flat 2x4, and in the cleat over the joist no more; not past one row along a cleat.
    one = in_a_row(job, floor_distances(job))
    for under, most in ((1, 2 * 2), (3, 2 * 6), (8, 2 * one)):
        blocked = evolve(job, floor=evolve(job.floor, blocks=Blocks(under_each_cleat=under)))
        assert spot(blocked).most_fasteners == most


def test_over_joists_between_which_blocks_cannot_be_checked_go_cross_cleats():
    job = with_cleat(away(), sides=2)
    trussed = evolve(job, floor=evolve(job.floor, joists=evolve(job.floor.joists, kind="truss")))
    found = spot(trussed)
    assert (found.wood.blocks, found.wood.on) == (0, "cross cleat")
    # Flat 2x4 on 2x4, 3.5 - 2 x 0.55 = 2.4 in either way: two abreast, 5 D apart, one such row, as 15 D are 3.3 in.
    assert found.most_fasteners == 2 * 2 * 2
    kinds = find_spots(job, stud=STUD, head=HEAD, set_back=BACK, size="2x6")
    assert [each.wood.on for each in kinds] == ["block", "cross cleat"]


def test_fasteners_in_a_row_keep_their_distances():
    """0.22 in screws, not bored: 15 D = 3.3 in from both ends, as the wind loads them toward either, and apart.

    36 - 2 x 3.3 = 29.4 in: 8.9 spaces, so 9 screws.
    """
    assert in_a_row(JOB, floor_distances(JOB)) == 9
    assert in_a_row(with_cleat(JOB, length=6.7), floor_distances(JOB)) == 1
    assert in_a_row(with_cleat(JOB, length=6.0), floor_distances(JOB)) == 0  # no room for one


@pytest.mark.parametrize(
    ("near", "caught"),
    # 36 in of cleat, 3.3 in in from both ends: 29.4 in reach two joists 16 in apart, now and then only one
    [(0.0 - 3.3, 2), (16.0 - 3.3, 2), (1.0, 2), (13.9, 1), (15.4, 2)],
)
def test_a_cleat_across_the_joists_knows_which_it_catches(near, caught):
    found = woods_under(along(), (STUD,), (near, near + 36.0))[0]
    assert found.joists == caught
    by_hand = [j for j in range(0, 400, 16) if near + 3.3 - 1e-9 <= j <= near + 36.0 - 3.3 + 1e-9]
    assert len(by_hand) == caught
    assert (found.on == "joist") is (caught >= 2)
    assert found.on in ("joist", "block")


def test_two_fasteners_a_crossing_side_by_side_and_one_on_edge():
    flat, edge = along(), with_cleat(along(), lie="edge")
    assert woods_under(flat, (STUD,), (100.0, 136.0))[0].most == 2 * 2
    assert woods_under(edge, (STUD,), (100.0, 136.0))[0].most == 2
    assert woods_under(with_cleat(flat, sides=2), (STUD,), (100.0, 136.0))[0].most == 8


@given(back=st.floats(60.0, 200.0), first=st.floats(0.0, 16.0), length=st.sampled_from((24.0, 36.0, 48.0)))
def test_a_foot_is_moved_to_where_it_catches_most(back, first, length):
    job = with_cleat(along(first=first), length=length)
    moved = moved_to_joists(job, back)

    def caught(at):
        return woods_under(job, (STUD,), (at - length / 2.0, at + length / 2.0))[0].joists

    assert abs(moved - back) <= 8.0
    assert caught(moved) >= max(caught(back + step / 2.0) for step in range(-16, 17))
    if caught(moved) == caught(back):
        assert moved == back


def test_joists_nobody_declared_bind_nothing():
    unknown = evolve(away(first=8.0), declared=frozenset())
    assert spot(unknown).joists == 0
    assert moved_to_joists(unknown, BACK) == BACK


@pytest.mark.parametrize("kind", ["slab", "ground"])
def test_there_are_no_joists_in_a_slab_or_the_ground(kind):
    assert spot(evolve(away(first=8.0), floor=evolve(away(first=8.0).floor, kind=kind))).joists == 0
