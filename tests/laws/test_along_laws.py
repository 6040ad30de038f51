"""Laws of a wall along its own length: what it may not hang on, and which way it may go with more of anything."""

from __future__ import annotations

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from bracing.box.both import own_along
from bracing.box.walls import joined_walls
from bracing.chain.along import pushes
from bracing.chain.evaluate import limits
from bracing.chain.groups import along_groups, limit_along
from bracing.chain.links import LinkId
from bracing.chain.materials import nailing_of
from bracing.chain.model import build_model
from bracing.chain.returns import held_ends
from bracing.codes.basis import IN_USE, basis_of
from bracing.job.brace import Brace
from bracing.job.diagonals import Diagonal
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.returns import Return, ReturnPlate, ReturnStuds
from bracing.job.wall import Opening, Plate, Studs, Wall
from bracing.reading.house import read_house
from bracing.reading.jobs import job_from_text
from tests.box_walls import job_folder, ring_corners
from tests.guards.test_along import frame

GUST = 60.0
NEAR = {"rel": 1e-9, "abs": 1e-12}
PLATE = Plate(
    fastener="16d common", spacing=16.0, state="final", into_framing=True, sheathing_laps="plate",
    sheathing_fastener="8d common", sheathing_spacing=6.0, sheathing_field_spacing=12.0,
)  # fmt: skip
LEVEL = ((0.0, 96.0), (288.0, 96.0))
TOPS = [LEVEL, ((0.0, 108.0), (288.0, 204.0)), ((0.0, 108.0), (96.0, 168.0), (288.0, 120.0))]
DOOR = Opening(left=160.0, sill=0.0, width=48.0, height=80.0)
PAIR = tuple(
    Diagonal(foot=foot, head=head, size="1x4", kind="face", end_fastener="8d common", end_fasteners=3)
    for foot, head in ((16.0, 96.0), (272.0, 192.0))
)
HEAVIER = ((), ("housewrap",), ("gypsum 1/2",), ("stucco",), ("stucco", "brick"))


def job_of(top=LEVEL, *, plate=PLATE, studs=(80.0, 208.0), layers=("osb 7/16",), **said) -> Job:
    wall = Wall(
        name="w", top=top, studs=Studs(size="2x6", spacing=16.0, species="hem-fir", grade="No.2"),
        plate=plate, layers=layers, moisture="dry", **said,
    )  # fmt: skip
    at = frame_wall(wall).full_height_studs
    braces = tuple(
        Brace(mark=f"B{k}", stud_at=min(at, key=lambda line: abs(line.x - x)).x, head=84.0, set_back=84.0)
        for k, x in enumerate(studs)
    )
    return Job(wall, braces=braces)


def bare(*diagonals, **said) -> Job:
    return job_of(layers=(), sheathed=False, diagonals=diagonals, **said)


def links(job):
    return [link for group in along_groups(build_model(job)) for link in group.links(GUST)]


def of_kind(job, kind):
    return [link for link in links(job) if link.link == kind]


def limit(job):
    return limit_along(job, float(basis_of(job).wind(job, thunderstorm=False).q), people=False)


def mirrored(job):
    length, wall = job.wall.length, job.wall
    wall = evolve(
        wall,
        top=tuple((length - x, z) for x, z in reversed(wall.top)),
        openings=tuple(evolve(o, left=length - o.right) for o in wall.openings),
        diagonals=tuple(evolve(d, foot=length - d.foot, head=length - d.head) for d in wall.diagonals),
    )
    braces = tuple(evolve(b, stud_at=length - b.stud_at) for b in reversed(job.braces))
    return evolve(job, wall=wall, braces=braces)


JOBS = {
    **{f"sheathed {k}": job_of(top) for k, top in enumerate(TOPS)},
    **{f"with a door {k}": job_of(top, openings=(DOOR,), studs=(80.0,)) for k, top in enumerate(TOPS)},
    "bare": bare(*PAIR),
    "bare, one pushed against a strap": bare(evolve(PAIR[0], head_strap_lb=800.0)),
    "bare, nothing": bare(),
}


@pytest.mark.parametrize("name", JOBS)
def test_a_mirrored_wall_has_the_mirrored_links_along_and_the_same_limit(name):
    """Studs stand alike from both ends: 24 ft is a whole number of spacings."""
    job = JOBS[name]
    other = mirrored(job)

    def told(of, at):
        found = [
            (str(link.link), round(at(link.x), 6) if link.x is not None else -1.0, link) for link in links(of)
        ]
        return sorted(found, key=lambda each: (*each[:2], each[2].capacity, each[2].demand))

    ours, theirs = told(job, lambda x: x), told(other, lambda x: job.wall.length - x)
    assert [each[:2] for each in ours] == [each[:2] for each in theirs]
    for (*_, one), (*_, two) in zip(ours, theirs, strict=True):
        assert (one.capacity, one.demand) == pytest.approx((two.capacity, two.demand), **NEAR)
    assert limit(job) == pytest.approx(limit(other), **NEAR)
    assert (limit(job) > 0.0) is (name != "bare, nothing")


@settings(max_examples=12, deadline=None)
@given(
    feet=st.integers(8, 30),
    more=st.integers(1, 20),
    high=st.integers(8, 14),
    apart=st.sampled_from((3.0, 6.0, 12.0)),
)
def test_a_longer_sheathed_wall_is_used_no_more_in_racking(feet, more, high, apart):
    """Its strength goes with its length, of the wind only the friction does."""

    def used(long):
        top = ((0.0, 12.0 * high), (12.0 * long, 12.0 * high))
        (link,) = of_kind(job_of(top, plate=evolve(PLATE, sheathing_spacing=apart), studs=()), LinkId.RACKING)
        return link.demand / link.capacity if link.capacity > 0.0 else float("inf")

    assert used(feet + more) <= used(feet) * (1.0 + 1e-12)


@pytest.mark.parametrize("field", ["sheathing_spacing", "sheathing_field_spacing"])
def test_closer_nails_of_the_sheathing_never_lower_a_limit_along(field):
    """Edges 12 to 2 in, nails between them 24 to 4 in. Where its nails in the rim hold it down, closer edges gain."""
    edges = field == "sheathing_spacing"
    spacings = (12.0, 8.0, 6.0, 4.0, 2.0) if edges else (24.0, 16.0, 12.0, 6.0, 4.0)
    jobs = [job_of(plate=evolve(PLATE, sheathing_laps="rim", **{field: each})) for each in spacings]
    racked = [of_kind(job, LinkId.RACKING)[0].capacity for job in jobs]
    assert racked == sorted(racked)
    assert racked[0] < racked[-1]
    least = [limit(job) for job in jobs]
    assert least == sorted(least)
    assert least[0] < least[-1]
    if not edges:  # of those the table has nails for the strength is the same
        assert racked[:2] == [0.0, 0.0]
        assert least[:2] == [0.0, 0.0]


def test_nails_between_the_edges_past_the_table_count_for_nothing_in_a_return_too():
    """The table goes to 12 in, of a wall along itself and of a return; blocked edges are no way round it."""
    past, close = (job_of(plate=evolve(PLATE, sheathing_field_spacing=each)) for each in (12.25, 12.0))
    assert [of_kind(job, LinkId.RACKING)[0].capacity > 0.0 for job in (past, close)] == [False, True]
    for blocked in (False, True):
        shears = [
            IN_USE.sheathed(nailing_of(build_model(job).materials, blocked=blocked)).shear
            for job in (past, close)
        ]
        assert [shear > 0.0 for shear in shears] == [False, True]


def test_a_return_racks_as_the_same_wall_does_along_itself():
    """A return of 8 ft by 8 ft with this wall's studs, panel and nails: a pound of each is the same pound."""
    own = job_of(((0.0, 96.0), (96.0, 96.0)), studs=())
    (racking,) = of_kind(own, LinkId.RACKING)
    made = Return(
        length=96.0, height=96.0, sheathing="osb 7/16", edge_nail="8d common", edge_spacing=6.0, moisture="dry",
        plated=True, nailed=True, sheathed=True, fastened_down=True, fastener="16d common", count=20, joint="shear",
        plate=ReturnPlate("16d common", 16.0, "plate", into_framing=True),
        studs=ReturnStuds("2x6", 16.0, "hem-fir", "No.2"),
    )  # fmt: skip
    (held,) = held_ends(job_of(left_end="return", left_return=made))
    assert held.racking.strength(96.0, 96.0) == pytest.approx(racking.capacity, **NEAR)


def test_weight_leans_on_the_wall_and_never_raises_its_limit_across():
    """More layers lean more: racking along is used more, and no wall stands more wind across for them."""
    job = job_from_text(frame(laps="plate", wall='layers = ["osb 7/16"]'), "frame.toml")
    jobs = [evolve(job, wall=evolve(job.wall, layers=("osb 7/16", *more))) for more in HEAVIER]
    used = [of_kind(job, LinkId.RACKING)[0].demand for job in jobs]
    assert used == sorted(used)
    assert used[0] < used[-1]
    across = [limits(build_model(job)).limit for job in jobs]
    assert across[-1] > 0.0
    assert across == sorted(across, reverse=True)


@pytest.mark.parametrize("name", ["sheathed 0", "sheathed 2", "bare"])
def test_braces_have_no_part_in_it(name):
    """None, one or two: no link along the wall moves, where none brings plate fasteners of its own."""
    job = JOBS[name]
    every = [
        [(link.link, link.x, link.capacity, link.demand) for link in links(each)]
        for each in (job, evolve(job, braces=job.braces[:1]), evolve(job, braces=()))
    ]
    assert every[0] == every[1] == every[2]


@pytest.mark.parametrize("top", TOPS, ids=["level", "rake", "gable"])
def test_a_bare_frame_with_no_diagonal_has_nothing_whatever_else_it_has(top):
    assert limit(bare(top=top)) == 0.0
    assert limit(bare(top=top, plate=evolve(PLATE, spacing=4.0))) == 0.0


# -- what a box asks ---------------------------------------------------------------------------------------


def stood(folder, high):
    names = ("south", "east")
    corners = ring_corners(names, closed=False)
    read = read_house(
        job_folder(
            folder, names, corners=corners, laps="rim", moisture="dry", walls={"east": {"height": high}}
        )
    )
    return {wall.file: wall for wall in joined_walls(read.house, read.jobs, read.placed)}


@pytest.mark.parametrize("crowded", [False, True])
def test_a_box_presses_a_wall_along_itself_with_what_check_does_and_a_lower_corner_with_its_moment(
    tmp_path, crowded
):
    """9 ft of wall: at corners of 9 ft the force at its top, at 8 ft 9/8 of it; half the wind at the middle."""
    wall = stood(tmp_path / "job", "8 ft")["south.toml"]
    q = float(wall.model.cases.pressures.q)
    push, _ = pushes(wall.model.materials, wall.job.site, q, gust=1.0, people=crowded)
    same, lower = (own_along(wall, top, crowded=crowded) for top in (108.0, 96.0))
    assert same.ravel() == pytest.approx([0.0, push.wind / 2.0, *push.top], **NEAR)
    assert lower[1] * 96.0 == pytest.approx(same[1] * 108.0, **NEAR)
    by_hand = q * (
        0.85 * 2.0 * 5.5 / 12.0 * 9.0 + 0.06 * 24.0 * 9.0
    )  # 2x6, 24 x 9 ft, on its edge and its faces
    assert push.wind == pytest.approx(by_hand, rel=1e-9)
    assert bool(same[1, 0] > 50.0) is crowded
