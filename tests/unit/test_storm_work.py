"""The work before a storm: which change mends which link, what it takes in parts, where one more brace goes."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from bracing.chain.evaluate import evaluate
from bracing.chain.links import Link, LinkId
from bracing.chain.model import build_model
from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.envelope import FAIR_HEAD
from bracing.job.framing import frame_wall
from bracing.job.wall import Opening
from bracing.layout.spots import Refused, find_spots
from bracing.reading.jobs import job_from_text, read_job
from bracing.reading.source import wall_folder
from bracing.reading.writing import write_ladder
from bracing.storm.answer import storm
from bracing.storm.clock import Clock
from bracing.storm.folder import storm_folder
from bracing.storm.forecast import Forecast, Hour
from bracing.storm.ladder import Ladder, WorstHour, add_brace, find_ladder
from bracing.text.quantities import in_words
from bracing.work.parts import parts_for
from bracing.work.remedies import Change, apply, options_for
from tests.storm_walls import DECK, NAILED, WALLS, climbed, mended, wall
from tests.unit.test_storm import CLOCK, NOON, at, held, hours

SCREW, LONG = "structural screw 0.22x3", "structural screw 0.22x8"
WINDOW = Opening(left=50.0, sill=36.0, width=36.0, height=36.0, header="2-2x8", header_nails=2)
DOOR = Opening(left=110.0, sill=0.0, width=36.0, height=80.0, header="2-2x8", header_nails=2)


def opened():
    """The short wall with a window and a door."""
    job = wall("short")
    return evolve(job, wall=evolve(job.wall, openings=(WINDOW, DOOR)))


def over(job, name, ratio):
    """A link of the chain, worst of its name, asked for so much more than it may carry."""
    links = evaluate(build_model(job), 30.0).links
    worst = max((link for link in links if link.link == name), key=lambda link: link.ratio)
    return evolve(worst, demand=ratio * worst.capacity, ratio=ratio)


# -- what mends what -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("x", "index"), [(50.0, 0), (86.0, 0), (110.0, 1), (128.0, 1)])
def test_nails_go_into_the_opening_whose_header_is_over(x, index):
    """The window is from 50 to 86 in, the door from 110 to 146; between them there is no header."""
    link = Link(LinkId.HEADER_END, "push", None, x, 150.0, 100.0, "lb", 1.5, 30.0, "", "")
    ((change,),) = tuple(options_for(opened(), link))
    assert change == Change("header", f"wall.opening[{index}].header_nails", 2, 3)
    assert tuple(options_for(opened(), evolve(link, x=98.0))) == ()


@pytest.mark.parametrize(
    ("name", "ratio"),
    [
        ("header end", 1.4),
        ("header end", 2.6),
        ("head joint", 1.9),
    ],
)
def test_fasteners_asked_for_are_enough_for_what_the_link_must_carry(name, ratio):
    """Worked out again by the chain: what the link may carry then is no less than what was asked of it."""
    job = opened()
    link = over(job, name, ratio)
    (change, *_), *_ = tuple(options_for(job, link))
    links = evaluate(build_model(apply(job, (change,))), 30.0).links
    key = (link.link, link.direction, link.mark, link.x)
    (then,) = [each for each in links if (each.link, each.direction, each.mark, each.x) == key]
    assert then.capacity >= link.demand * (1.0 - 1e-9)


def test_no_more_goes_into_a_joint_than_the_table_says():
    """Twelve nails an end; past that only a strap, or nothing, mends a header."""
    job, link = opened(), over(opened(), "header end", 50.0)
    for count in (8, 12):  # no more than four times as many at once
        ((change,),) = tuple(options_for(job, link))
        assert change.after == count
        job = apply(job, (change,))
    assert tuple(options_for(job, evolve(link, ratio=1.2))) == ()


def test_a_link_along_the_wall_is_not_mended_at_a_brace():
    """Of a stud that carries no brace there is none to double; only work along the wall is offered."""
    link = Link(LinkId.STUD_BENDING, "push", None, 64.0, 2.0, 1.0, "lb in", 2.0, 20.0, "", "")
    assert tuple(options_for(wall("short"), link)) == ()
    braced = evolve(link, mark="B2")
    assert next(options_for(wall("short"), braced))[0].path == "brace[1].stud_doubled"


# -- the parts -------------------------------------------------------------------------------------------


def parts(job, *changes, added=()):
    return in_words(parts_for(job, changes, added))


def test_a_doubled_stud_takes_a_stick_and_two_rows_of_nails():
    """9 ft high: a 10 ft stick; 103.5 in between the plates are 9 nails a row, two rows."""
    change = Change("stud", "brace[0].stud_doubled", False, True, "B1")
    assert parts(wall("short"), change) == {"2x6 x 10 ft": 1, "16d common": 18}


def test_a_t_takes_a_stick_as_long_as_its_brace_and_a_head_fastener_every_8_in():
    """7 ft up and 7 ft out: 118.8 in, a 10 ft stick, 15 spaces of 8 in at the most: 16 screws."""
    change = Change("stiffener", "brace[1].stiffener", "none", "T", "B2")
    assert parts(wall("short"), change) == {"2x6 x 10 ft": 1, SCREW: 16}


def test_nails_of_a_header_go_into_both_ends_and_those_of_a_window_into_its_sill_too():
    job = opened()
    for index, ends in ((0, 4), (1, 2)):
        change = Change("header", f"wall.opening[{index}].header_nails", 2, 5)
        assert parts(job, change) == {WINDOW.header_fastener: 3 * ends}


def test_an_added_brace_takes_all_that_it_is_made_of():
    """Counted off the brace: sticks of brace, T and stud; the nails of T and stud; its joints; its tie rows."""
    job = wall("short")
    job = evolve(job, wall=evolve(job.wall, plate=evolve(job.wall.plate, strap_at_brace_lb=900.0)))
    brace = Brace(
        mark="B4", stud_at=128.0, head=84.0, set_back=84.0, size="2x6", ties=2, head_fasteners=4, cleat_fasteners=5,
        floor_fasteners=6, foot_on="joist", stud_doubled=True, stiffener="T",
    )  # fmt: skip
    assert parts(job, added=[brace]) == {
        "2x6 x 10 ft": 2,
        "2x6 x 12 ft": 1,  # the brace, long point to long point
        "16d common": 18,
        "2x6 cleat, 3'-0\"": 1,
        SCREW: 4 + 5 + 16,
        "gun nail 0.131x3": 2,  # nobody said what holds a tie row: one where each crosses it
        LONG: 6,
        "strap, stud to floor framing, allowable 900 lb": 1,
    }


def test_an_added_brace_takes_as_much_as_a_plain_one_and_its_changes_made_after():
    """Whether a brace goes up with a doubled stud and a T, or gets them once it is up, the parts is the same."""
    job = wall("short")
    plain = Brace(
        mark="B4", stud_at=128.0, head=84.0, set_back=84.0, size="2x6", head_fasteners=4, cleat_fasteners=4,
        floor_fasteners=6, foot_on="joist",
    )  # fmt: skip
    up = evolve(job, braces=(*job.braces, plain))
    later = (
        Change("stud", "brace[3].stud_doubled", False, True, "B4"),
        Change("stiffener", "brace[3].stiffener", "none", "T", "B4"),
    )
    at_once = parts_for(job, (), [evolve(plain, stud_doubled=True, stiffener="T")])
    assert at_once == parts_for(job, (), [plain]) + parts_for(up, later, ())


def test_an_added_brace_with_a_plumb_head_takes_its_side_cleat():
    job = wall("short")
    head = evolve(job.kit.head, joint="plumb", side_cleat=True)
    brace = evolve(job.braces[0], mark="B4", stud_at=128.0)
    with_cleat = parts_for(evolve(job, kit=evolve(job.kit, head=head)), (), [brace])
    assert in_words(with_cleat - parts_for(job, (), [brace])) == {"2x4 side cleat, 2 ft, at the head": 1}


# -- one more brace --------------------------------------------------------------------------------------


@pytest.mark.parametrize("feet", [8.0, 8.5, 9.0, 13.0, 17.5, 20.0, 23.0])
def test_an_added_brace_is_high_enough_not_too_long_and_stands_where_it_may(feet):
    job = wall("short")
    job = evolve(
        job, braces=(), floor=evolve(job.floor, room=360.0),
        wall=evolve(job.wall, top=((0.0, 12.0 * feet), (192.0, 12.0 * feet))),
    )  # fmt: skip
    grown = add_brace(job, frame_wall(job.wall))
    (brace,) = grown.braces
    top = 12.0 * feet
    assert FAIR_HEAD * top - 1e-9 <= brace.head <= top - 6.0
    assert math.hypot(brace.head, brace.set_back) <= 276.0
    assert 40.0 - 3.0 <= math.degrees(brace.angle) <= 55.0 + 3.0  # aimed at, then put on 6 in
    spots = find_spots(job, stud=brace.stud_at, head=brace.head, set_back=brace.set_back, size=brace.size)
    assert not isinstance(spots, Refused)


def test_with_a_brace_on_every_stud_there_is_no_place_for_one_more():
    job = wall("short")
    framing = frame_wall(job.wall)
    studs = [line.x for line in framing.full_height_studs]
    full = tuple(evolve(job.braces[0], mark=f"B{k}", stud_at=x) for k, x in enumerate(studs))
    assert add_brace(evolve(job, braces=full), framing) is None
    grown = add_brace(evolve(job, braces=full[::2]), framing)
    assert grown.braces[-1].stud_at in studs[1::2]


def test_a_brace_goes_into_the_widest_gap_and_beside_what_needs_help():
    """Braces at 32, 96 and 160 of 192 in: 32 in at a free end count as 64, like the gaps; help draws it."""
    job, framing = wall("short"), frame_wall(wall("short").wall)
    assert 32.0 < add_brace(job, framing, beside=64.0).braces[-1].stud_at < 96.0
    assert 96.0 < add_brace(job, framing, beside=128.0).braces[-1].stud_at < 160.0
    assert add_brace(job, framing, beside=188.0).braces[-1].stud_at > 160.0


# -- when to begin ---------------------------------------------------------------------------------------


def test_work_begins_so_early_that_it_is_done_before_all_are_out():
    result = storm(mended("short"), hours(*[5.0] * 20, 45.0), CLOCK)
    assert result.out_by == at(18)  # two hours before the hour that is over
    assert result.ladder.covers
    assert (result.out_by - result.start_by).total_seconds() / 60.0 == math.ceil(result.ladder.minutes)
    assert held(hours(5.0)).start_by is None


# -- written in ------------------------------------------------------------------------------------------


def test_a_file_changed_meanwhile_is_left_alone(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    job = read_job(path)
    changed = WALLS["short"].replace('name = "Short"', 'name = "Shorter"')
    path.write_text(changed, encoding="utf-8")
    with pytest.raises(InputError, match="changed since it was read"):
        write_ladder(job, climbed("short", 38.0, False)[2], NOON)
    assert path.read_text(encoding="utf-8") == changed


def test_no_rungs_write_nothing(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(WALLS["short"], encoding="utf-8")
    assert write_ladder(read_job(path), Ladder((), "", 0), NOON) == read_job(path)
    assert path.read_text(encoding="utf-8") == WALLS["short"]


# -- a job of many walls ---------------------------------------------------------------------------------


def calm(job):
    return storm(job, Forecast((Hour(at(0), at(1), 5.0),)), Clock(NOON, NOON.tzinfo), ladder=None)


def test_a_wall_that_cannot_be_worked_out_is_reported_and_the_others_answered(tmp_path):
    """One brace on no full-height stud; one file that is no text at all: each is a fault, none hides the other wall."""
    (tmp_path / "a.toml").write_text(WALLS["short"], encoding="utf-8")
    (tmp_path / "b.toml").write_text(WALLS["short"].replace('"96 in"', '"100 in"'), encoding="utf-8")
    (tmp_path / "c.toml").write_bytes(b"\xff\xfe\x00[wall]")
    (tmp_path / "notes.toml").write_text("[site]\n", encoding="utf-8")
    files = wall_folder(tmp_path).files
    assert [path.name for path in files] == ["a.toml", "b.toml", "c.toml"]
    found = storm_folder(files, calm, read_job)
    assert [result.job.file for result in found.results] == [str(tmp_path / "a.toml")]
    faults = {str(fault.file).rpartition("/")[2] for fault in found.faults}
    assert faults == {"b.toml", "c.toml"}


def test_nothing_a_crew_can_add_is_said_with_the_link_that_stays_over():
    """Joists of 2x4 a man could not stand on: no fastener, strap or brace makes a joist."""
    text = NAILED.replace('size = "2x10"', 'size = "2x4"').replace('span = "12 ft"', 'span = "16 ft"')
    job = job_from_text(text + WALLS["short"].removeprefix(NAILED), "weak.toml")
    result = storm(job, hours(5.0, 5.0, 5.0, 55.0), CLOCK)
    assert not result.ladder.covers
    assert result.ladder.why_not.startswith("joist")
    assert result.to_dict()["ladder"]["why_not"] == result.ladder.why_not
    assert result.start_by is None


# -- a strap at the foot, on a deck and on a slab ------------------------------------------------------------

SLAB = """
[floor]
kind = "slab"
room = "24 ft"
height_above_ground = "0 ft"
[floor.slab]
tension_lb = "6000 lb"
shear_lb = "6000 lb"
report = "pull test"
"""


def strapped(floor, strap):
    """The short wall with a strap from stud to floor framing at each brace, under the lift of which it is asked."""
    laps = 'sheathing_laps = "plate"'
    text = WALLS["short"].replace(DECK, floor).replace(laps, f'{laps}\nstrap_at_brace_lb = "{strap} lb"')
    text = text.replace('foot_on = "joist"', 'foot_on = "deck"') if floor == SLAB else text
    assert text.count("strap_at_brace_lb") == 1
    return job_from_text(text, "strapped.toml")


def test_a_strap_at_the_foot_is_raised_on_a_deck_and_not_on_a_slab():
    """389 lb in steps of 25 lb is 400; into a slab it would be an anchor of which nothing is known."""
    for floor, expected in ((DECK, [400.0]), (SLAB, [])):
        link = over(strapped(floor, 375), LinkId.STRAP, 389.0 / 375.0)
        found = [change for changes in options_for(strapped(floor, 375), link) for change in changes]
        assert [change.after for change in found if change.kind == "strap at the foot"] == expected


def test_on_a_slab_it_is_said_why_nothing_mends_a_strap():
    found = find_ladder(strapped(SLAB, 25), WorstHour(30.0, thunderstorm=False))
    assert "strap at the brace at B" in found.why_not
    assert "fastened into the slab, where an anchor counts by its report or a pull alone" in found.why_not
