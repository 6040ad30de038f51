"""What mending does to each joint: the least that is within, nothing else, and a reason where nothing helps."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from bracing.chain.evaluate import evaluate, worst_ratio
from bracing.chain.links import Link, LinkId
from bracing.chain.model import build_model
from bracing.chain.room import most_in
from bracing.job.brace import JointId
from bracing.job.diagonals import Diagonal
from bracing.job.fields import value_at, with_value
from bracing.job.wall import Opening
from bracing.layout.mending import ROUNDS, finish, least_fasteners
from bracing.reading.jobs import job_from_text
from bracing.sources import shipped
from bracing.work.remedies import NEW, apply, options_for, remedies
from tests.wall_files import wall_text

STRAP_STEP, MOST_STRAP = (shipped("remedies")[name] for name in ("strap_step_lb", "strap_most_lb"))
ROWS = remedies()
MOST_EXTRA, MOST_END_NAILS, MOST_HEADER_NAILS = (
    ROWS[k].most for k in ("plate screws", "end nails", "header")
)
PLATE_SPACINGS, NAIL_SPACINGS = ROWS["plate nails"].steps, ROWS["sheathing nails"].steps
MENDABLE = sorted({name for row in ROWS.values() if row.new not in ("", "searched") for name in row.mends})
GUST = 40.0  # every link of the sound wall is within at it
COUNTS = ("head_fasteners", "cleat_fasteners", "floor_fasteners")
PLATE, TOP = "wall.plate.", "wall.top_plate."
EDGE = PLATE + "row_from_sheathed_edge"
FIELDS = (
    PLATE + "spacing", PLATE + "extra.at_each_brace", PLATE + "strap_at_brace_lb", PLATE + "sheathing_spacing",
    PLATE + "sheathing_field_spacing", TOP + "end_nails", TOP + "strap_at_brace_lb", TOP + "spliced",
    PLATE + "extra.row_from_sheathed_edge", "kit.tie.at_each_brace", "kit.tie.diagonal_fasteners",
    "floor.blocks.each_end", "floor.cross_cleat.each_joist",
)  # fmt: skip


def by_the_edge(job):
    """Its plate's fasteners stand where the sheathing lifts it, so that it does not bend across its grain."""
    return with_value(job, EDGE, 0.75)


SOUND = by_the_edge(job_from_text(wall_text(), "wall.toml"))


def weak(job=SOUND, **fields):
    """The job with some fields changed, in all its braces where they are of a brace."""
    counts = {name: value for name, value in fields.items() if name in COUNTS}
    job = evolve(job, braces=tuple(evolve(brace, **counts) for brace in job.braces))
    for name in fields.keys() - counts.keys():
        job = with_value(job, name, fields[name])
    return job


def over(job, gust=GUST):
    return {link.link for link in evaluate(build_model(job).crowded, gust).over}


def mended(job, gust=GUST):
    return finish(build_model(job), gust)


def changes(before, after):
    """What mending changed: every field of every input class, by name."""
    found = {name for name in FIELDS if value_at(before, name) != value_at(after, name)}
    found |= {
        name for name in COUNTS for a, b in pairs(before, after) if getattr(a, name) != getattr(b, name)
    }
    # Those put back, nothing else has changed.
    back = weak(after, **{name: value_at(before, name) for name in found if name in FIELDS})
    back = evolve(
        back, braces=tuple(evolve(b, **{n: getattr(a, n) for n in COUNTS}) for a, b in pairs(before, after))
    )
    openings = zip(before.wall.openings, back.wall.openings, strict=True)
    nails = tuple(evolve(b, header_nails=a.header_nails) for a, b in openings)
    assert evolve(back, wall=evolve(back.wall, openings=nails)) == before
    return found


def pairs(before, after):
    return zip(before.braces, after.braces, strict=True)


def test_a_sound_wall_is_left_as_it_is():
    found = mended(SOUND)
    assert found.stands
    assert found.job == SOUND


@pytest.mark.parametrize(
    ("name", "joint"),
    [
        ("head_fasteners", "head joint"),
        ("cleat_fasteners", "brace to cleat"),
        ("floor_fasteners", "cleat to floor"),
    ],
)
def test_a_joint_gets_the_fewest_fasteners_that_are_within(name, joint):
    """Every count is tried one by one: the first that is within is what mending gives, in all braces alike."""
    start = weak(**{name: 2})
    assert over(start) == {joint}
    least = next(n for n in range(2, 20) if not over(weak(start, **{name: n})))
    found = mended(start)
    assert found.stands
    assert [getattr(brace, name) for brace in found.job.braces] == [least] * len(start.braces)
    assert changes(start, found.job) == {name}


UPRIGHT = tuple(
    Diagonal(foot=foot, head=head, size="2x4", end_fastener="16d common", end_fasteners=6)
    for foot, head in ((36.0, 132.0), (96.0, 192.0), (252.0, 156.0), (192.0, 96.0))
)


@pytest.mark.parametrize(
    ("field", "spacing", "choices", "links"),
    [
        ("spacing", 96.0, PLATE_SPACINGS, {"plate shear"}),
        ("sheathing_spacing", 24.0, NAIL_SPACINGS, {"sheathing to plate"}),
        ("sheathing_field_spacing", 24.0, NAIL_SPACINGS, {"stud to sheathing", "sheathing off the studs"}),
    ],
)
def test_a_spacing_is_the_widest_that_is_within(field, spacing, choices, links):
    """Also where one spacing mends two links: it is not made closer once for each of them."""
    upright = evolve(SOUND, wall=evolve(SOUND.wall, diagonals=UPRIGHT))  # along itself whatever its nails
    start = weak(upright, **{PLATE + field: spacing})
    assert over(start) == links
    widest = next(each for each in choices if not over(weak(start, **{PLATE + field: each})))
    found = mended(start)
    assert found.stands
    assert value_at(found.job, PLATE + field) == widest
    assert changes(start, found.job) == {PLATE + field}


# -- straps and what stands in for them ------------------------------------------------------------------


def lift_of(job, gust=GUST):
    """The greatest lift of a brace, by its plain geometry: the level force times the tangent of its angle."""
    model = build_model(weak(job, **{PLATE + "strap_at_brace_lb": 1.0})).crowded
    strap = [link for link in evaluate(model, gust).over if link.link == "strap at the brace"]
    return max(link.demand for link in strap)


def strap_for(job, gust=GUST):
    return math.ceil(lift_of(job, gust) / STRAP_STEP) * STRAP_STEP


@pytest.mark.parametrize("declared", [25.0, 300.0])
def test_a_strap_too_weak_is_asked_for_as_strong_as_the_lift(declared):
    start = weak(**{PLATE + "strap_at_brace_lb": declared})
    assert over(start) == {"strap at the brace"}
    found = mended(start)
    assert found.stands
    strap = found.job.wall.plate.strap_at_brace_lb
    assert strap == strap_for(SOUND)
    assert over(weak(start, **{PLATE + "strap_at_brace_lb": strap - STRAP_STEP})) == {"strap at the brace"}
    assert changes(start, found.job) == {PLATE + "strap_at_brace_lb"}


@pytest.mark.parametrize("laps", ["none", "plate", "rim"])
@pytest.mark.parametrize("spacing", [3.0, 12.0])
def test_a_bare_frame_gets_straps_and_no_sheathing_nails(laps, spacing):
    """No sheathing carries the lift on: both links through it are worth nothing, and only a strap passes them by."""
    bare = evolve(SOUND, wall=evolve(SOUND.wall, layers=(), sheathed=False, diagonals=UPRIGHT))
    start = weak(bare, **{PLATE + "sheathing_laps": laps, PLATE + "sheathing_spacing": spacing})
    start = weak(start, **{PLATE + "sheathing_field_spacing": spacing})
    assert over(start) == {"stud to sheathing", "sheathing to rim" if laps == "rim" else "sheathing to plate"}
    found = mended(start)
    assert found.stands
    assert found.job.wall.plate.strap_at_brace_lb == strap_for(bare)
    assert changes(start, found.job) == {PLATE + "strap_at_brace_lb"}


def test_sheathing_nailed_to_nothing_below_is_passed_by_with_a_strap_not_with_more_nails():
    start = weak(**{PLATE + "sheathing_laps": "none", PLATE + "sheathing_spacing": 12.0})
    found = mended(start)
    assert found.stands
    assert changes(start, found.job) == {PLATE + "strap_at_brace_lb"}


def test_where_the_closest_nails_do_not_carry_the_lift_a_strap_does():
    """Steep braces lift nearly twice their level force: small nails every 3 in are over, and none stand closer."""
    steep = by_the_edge(
        job_from_text(wall_text(set_back="5 ft", counts=(10, 10, 16), extras=24), "wall.toml")
    )
    closest = NAIL_SPACINGS[-1]
    start = weak(steep, **{PLATE + "sheathing_fastener": "6d box", PLATE + "sheathing_spacing": 12.0})
    start = weak(start, **{PLATE + "sheathing_field_spacing": closest})
    assert over(weak(start, **{PLATE + "sheathing_spacing": closest})) == {"sheathing to plate"}
    found = mended(start)
    assert found.stands
    assert found.job.wall.plate.strap_at_brace_lb == strap_for(start)


def test_plate_fasteners_that_cannot_take_the_lift_give_way_to_a_strap():
    """Gun nails hold next to nothing upward: with as many as there is room for it is over, with a strap within."""
    steep = by_the_edge(job_from_text(wall_text(set_back="5 ft", counts=(10, 10, 16)), "wall.toml"))
    nails = {PLATE + "fastener": "gun nail 0.131x3", PLATE + "extra.fastener": "gun nail 0.131x3"}
    start = weak(steep, **{**nails, PLATE + "extra.at_each_brace": 2})
    assert over(start) == {"plate shear and uplift"}
    most = {PLATE + "extra.at_each_brace": MOST_EXTRA, PLATE + "spacing": PLATE_SPACINGS[-1]}
    assert over(weak(start, **most)) == {"plate shear and uplift"}
    found = mended(start)
    assert found.stands
    assert found.job.wall.plate.strap_at_brace_lb == strap_for(start)


def test_fasteners_beside_each_brace_take_what_the_pattern_cannot():
    start = weak(**{PLATE + "extra.at_each_brace": 0, PLATE + "spacing": 96.0})
    assert over(start) == {"plate shear and uplift", "plate shear"}
    found = mended(start)
    assert found.stands
    assert changes(start, found.job) == {PLATE + "spacing", PLATE + "extra.at_each_brace"}
    # plate shear alone asks for the widest that is within, and what the braces still lack is put beside them
    extra = found.job.wall.plate.extra.at_each_brace
    assert over(weak(found.job, **{PLATE + "extra.at_each_brace": extra - 2})) == {"plate shear and uplift"}


def test_a_top_plate_is_strapped_to_braced_studs_and_nailed_to_the_others():
    start = weak(**{TOP + "end_nails": 0, TOP + "strap_at_brace_lb": 0.0})
    found = mended(start)
    assert found.stands
    top = found.job.wall.top_plate
    assert changes(start, found.job) == {TOP + "end_nails", TOP + "strap_at_brace_lb"}
    assert over(weak(found.job, **{TOP + "end_nails": top.end_nails - 1})) == {"top plate to stud"}
    strap = top.strap_at_brace_lb - STRAP_STEP
    assert over(weak(found.job, **{TOP + "strap_at_brace_lb": strap})) == {"top plate to stud"}
    assert not over(weak(found.job, **{TOP + "end_nails": 12, TOP + "strap_at_brace_lb": 0.0}))


def test_a_top_plate_is_spliced_where_one_ply_is_over():
    """Two braces on 24 ft of 2x4 wall: 30 mph bends one ply past its allowable value and not two."""
    text = wall_text(studs=("4 ft", "20 ft"), head="10 ft 6 in", set_back="10 ft 6 in")
    two = job_from_text(text.replace('studs = { size = "2x6"', 'studs = { size = "2x4"'), "wall.toml")
    start = weak(two, **{TOP + "spliced": False})
    assert over(start, 30.0) == {"top plate bending"}
    found = mended(start, 30.0)
    assert found.stands
    assert changes(start, found.job) == {TOP + "spliced"}
    assert "top plate bending" in over(two, 50.0)
    assert not mended(two, 50.0).stands  # both plies count already


# -- heads -----------------------------------------------------------------------------------------------


def lagged(size):
    """Heads 9 in under the top with two lags: between 33.7 and 34.7 mph the stud splits and the joint is within."""
    text = wall_text(
        head_fastener="lag 3/8x4", counts=(2, 12, 12), head="11 ft 3 in", set_back="11 ft 3 in", doubled="false",
        ties=2, studs=("2 ft 8 in", "6 ft 8 in", "10 ft 8 in", "13 ft 4 in", "17 ft 4 in", "21 ft 4 in"), size=size,
    )  # fmt: skip
    return job_from_text(text, "wall.toml")


def test_head_fasteners_reach_the_studs_edge_where_two_would_split_it():
    """NDS 3.4.3.3 by way of the judgement that three reach it: of every count tried, the least that is within."""
    start = lagged("2x6")
    assert over(start, 34.2) == {"stud splitting at the head"}
    found = mended(start, 34.2)
    assert found.stands
    assert changes(start, found.job) == {"head_fasteners"}
    least = next(n for n in range(2, 9) if not over(weak(start, head_fasteners=n), 34.2))
    assert {brace.head_fasteners for brace in found.job.braces} == {least}
    assert "stud splitting at the head" not in over(weak(start, head_fasteners=3), 34.2)


# -- openings --------------------------------------------------------------------------------------------


def windows(*openings):
    studs = ("2 ft 8 in", "9 ft 4 in", "13 ft 4 in", "21 ft 4 in")
    job = by_the_edge(job_from_text(wall_text(studs=studs), "wall.toml"))
    return evolve(job, wall=evolve(job.wall, openings=openings))


def window(left, nails):
    return Opening(
        left=left, width=32.0, height=60.0, sill=30.0, header_nails=nails, header_fastener="16d common"
    )


def nails_of(job):
    return [opening.header_nails for opening in job.wall.openings]


def least_nails(gust):
    """The fewest nails into a header and sill that are within, counted up one by one."""
    return next(n for n in range(20) if not over(windows(window(184.0, n), window(48.0, n)), gust))


@pytest.mark.parametrize("gust", [25.0, 36.0])
def test_header_and_sill_get_the_fewest_nails_that_are_within(gust):
    """Header and sill are mended by the same nails: they are not counted up once for each."""
    start = windows(window(184.0, 0), window(48.0, 0))
    assert over(start, gust) == {"header end", "sill end"}
    found = mended(start, gust)
    assert found.stands
    assert max(nails_of(found.job)) == least_nails(gust)
    assert changes(start, found.job) == set()


def test_more_nails_than_mending_asks_for_in_one_header_stand_in_no_other_ones_way():
    start = windows(window(184.0, 0), window(48.0, MOST_HEADER_NAILS + 4))
    found = mended(start)
    assert found.stands
    low, declared = nails_of(found.job)
    assert declared == MOST_HEADER_NAILS + 4
    assert 0 < low <= MOST_HEADER_NAILS


# -- where nothing helps ---------------------------------------------------------------------------------


def test_a_stick_that_is_too_slender_is_stuck_and_named():
    found = mended(SOUND, 50.0)
    assert not found.stands
    assert found.held
    assert [link.link for link in found.stuck] == ["brace in push"]
    assert worst_ratio(build_model(found.job).crowded, 50.0) > 1.0


def test_what_more_fasteners_mend_is_not_said_to_be_what_stops_it():
    """Two screws a joint are over by more than the stick is, and eight mend them: the stick is named."""
    found = mended(weak(**dict.fromkeys(COUNTS, 2)), 50.0)
    assert [link.link for link in found.stuck] == ["brace in push"]


def test_a_wall_with_one_brace_can_move_and_does_not_stand():
    one = evolve(SOUND, braces=SOUND.braces[:1])
    found = mended(one)
    assert not found.stands


def test_floor_fasteners_stop_at_what_the_cleats_have_room_for():
    short = evolve(SOUND, kit=evolve(SOUND.kit, cleat=evolve(SOUND.kit.cleat, length=12.0, sides=1)))
    start = weak(short, floor_fasteners=2)
    found = mended(start)
    assert not found.stands
    assert "cleat to floor" in {link.link for link in found.stuck}
    # twice as long, it has room for as many as it takes
    longer = evolve(start, kit=evolve(start.kit, cleat=evolve(start.kit.cleat, length=48.0, sides=2)))
    assert mended(longer).stands


POOR = {
    "strap": {PLATE + "strap_at_brace_lb": 25.0},
    "top strap": {TOP + "strap_at_brace_lb": 25.0, TOP + "end_nails": 0},
    "end nails": {TOP + "end_nails": 1, TOP + "end_nail": "6d box", TOP + "strap_at_brace_lb": 20000.0},
    "plate": {PLATE + "spacing": 96.0, PLATE + "extra.at_each_brace": 0},
}


def mendable(job, link):
    return bool(tuple(options_for(job, link, wall=NEW)))


@pytest.mark.parametrize("gust", [60.0, 120.0, 240.0])
@pytest.mark.parametrize("poor", POOR.values(), ids=POOR)
def test_whatever_the_gust_no_more_is_asked_for_than_can_be_put_in(poor, gust):
    start = weak(windows(window(184.0, 1), window(48.0, 1)), **poor)
    found = mended(start, gust)
    wall, begun = found.job.wall, start.wall
    assert wall.plate.strap_at_brace_lb <= MOST_STRAP
    assert wall.top_plate.strap_at_brace_lb <= max(MOST_STRAP, begun.top_plate.strap_at_brace_lb)
    assert wall.top_plate.end_nails <= MOST_END_NAILS
    assert wall.plate.extra.at_each_brace <= MOST_EXTRA
    assert max(nails_of(found.job)) <= MOST_HEADER_NAILS
    assert all(brace.head_fasteners <= most_in(found.job, brace, JointId.HEAD) for brace in found.job.braces)
    assert found.stands is (worst_ratio(build_model(found.job).crowded, gust) <= 1.0 + 1e-9)
    assert found.stands or found.stuck
    assert {link.link for link in found.stuck} <= over(found.job, gust)
    assert not any(mendable(found.job, link) for link in found.stuck)


def endless(name, mark):
    """A link that nothing carries, over the middle of a window."""
    return Link(
        link=LinkId(name), direction="push", mark=mark, x=200.0, demand=2.0 * MOST_STRAP, capacity=1.0, unit="lb",
        ratio=math.inf, limit_gust=0.0, source="", why="",
    )  # fmt: skip


@pytest.mark.parametrize("mark", ["B1", None])
@pytest.mark.parametrize("name", MENDABLE)
def test_every_remedy_comes_to_an_end(name, mark):
    """It gives more each time and then nothing: no layout asks for what cannot be put in."""
    job, steps = (
        weak(windows(window(184.0, 1), window(48.0, 1)), **POOR["plate"], **dict.fromkeys(COUNTS, 1)),
        0,
    )
    job = weak(job, **{PLATE + "sheathing_spacing": 24.0, PLATE + "sheathing_field_spacing": 24.0})
    job = weak(job, **{TOP + "spliced": False})
    while found := tuple(options_for(job, endless(name, mark), wall=NEW)):
        more = apply(job, found[0])
        assert changes(job, more) or nails_of(more) > nails_of(job)
        job, steps = more, steps + 1
        assert steps <= ROUNDS
    assert job.wall.plate.strap_at_brace_lb <= MOST_STRAP
    assert job.wall.top_plate.strap_at_brace_lb <= SOUND.wall.top_plate.strap_at_brace_lb
    assert job.wall.top_plate.end_nails <= MOST_END_NAILS
    assert nails_of(job)[1] == 1  # the window the link is not over keeps its nails
    assert nails_of(job)[0] <= MOST_HEADER_NAILS
    assert max(getattr(brace, count) for brace in job.braces for count in COUNTS) <= most_in_a_joint(job)


def most_in_a_joint(job):
    return max(ROWS["head"].most, *(most_in(job, brace, JointId.FLOOR) for brace in job.braces))


def test_mending_starts_from_two_a_joint():
    brace = least_fasteners(SOUND, SOUND.braces[0])
    assert [getattr(brace, name) for name in COUNTS] == [2, 2, 2]
    assert weak(evolve(SOUND, braces=(brace,)), **dict.fromkeys(COUNTS, 8)).braces == SOUND.braces[:1]
