"""A sheathed wall that is bare in part: what is bare counts for nothing, weighs nothing of panels, and lifts none."""

from __future__ import annotations

import textwrap

import pytest

from bracing.box.answer import stand
from bracing.chain.links import LinkId
from bracing.chain.piers import stretches
from bracing.check import check
from bracing.drawing.elevation import elevation
from bracing.drawing.model import DrawnLine, Words
from bracing.errors import InputError
from bracing.job.house import of_file
from bracing.job.returns import Return
from bracing.lift.hung import weigh
from bracing.panel.weight import take_off
from bracing.reading.house import read_house
from bracing.reading.jobs import job_from_text
from tests.box_walls import ALL_TICKS, RING, bare_in, job_folder, ring_corners
from tests.wall_files import wall_text


def job(*bare, **changes):
    tables = "".join(f'\n[[wall.bare]]\nleft = "{left}"\nwidth = "{width}"' for left, width in bare)
    text = textwrap.dedent(wall_text(**changes)).replace("[wall.plate]", f"{tables}\n[wall.plate]", 1)
    return job_from_text(text, "wall.toml")


@pytest.mark.parametrize(
    ("bare", "field", "expected"),
    [
        ([("20 ft", "8 ft")], "wall.bare[0].width", "within the wall, 24"),
        ([("2 ft", "8 ft"), ("9 ft", "2 ft")], "wall.bare[1].left", "beside the others"),
        ([("2 ft", "0 ft")], "wall.bare[0].width", "1"),
    ],
)
def test_a_stretch_past_the_end_or_over_another_is_refused_in_a_line(bare, field, expected):
    with pytest.raises(InputError) as told:
        job(*bare)
    (fault,) = told.value.faults
    assert fault.field == field
    assert expected in fault.expected


def test_of_a_bare_frame_no_stretch_is_said():
    text = textwrap.dedent(wall_text()).replace('layers = ["osb 7/16"]', "sheathed = false")
    text = text.replace("[wall.plate]", '[[wall.bare]]\nleft = "2 ft"\nwidth = "2 ft"\n[wall.plate]', 1)
    with pytest.raises(InputError, match="all of it is bare"):
        job_from_text(text, "wall.toml")


def test_its_panels_weigh_where_they_are():
    """12 ft high, 1.4 lb/ft2 of OSB: 8 of 24 ft bare at the right end, 134.4 lb less, which stood at 20 ft."""
    whole, part = (take_off(job(*bare).wall) for bare in ((), (("16 ft", "8 ft"),)))
    assert whole.weight - part.weight == pytest.approx(1.4 * 8.0 * 12.0, rel=1e-6)
    gone = whole.weight * whole.x_cg - part.weight * part.x_cg
    assert gone == pytest.approx(1.4 * 8.0 * 12.0 * 240.0, rel=1e-6)


def test_a_lift_says_what_more_hangs_where_panels_are_tacked_on_it():
    """The same 134.4 lb: one that is tacked at its corners holds nothing, and hangs on the hook all the same."""
    _, assumed = weigh(job(("16 ft", "8 ft")))
    (one,) = (each for each in assumed if each.field == "wall.bare")
    assert dict(one.why.values)["more"].value == pytest.approx(134.4, rel=1e-6)
    assert not any(each.field == "wall.bare" for each in weigh(job())[1])


def lifted(made):
    found = check(made, gust=30.0, effects=False).evaluation.links
    return {
        (link.link, link.mark): link.capacity
        for link in found
        if link.link in (LinkId.SHEATHING_TO_PLATE, LinkId.STUD_TO_SHEATHING)
    }


def test_a_brace_within_a_panel_of_what_is_bare_lifts_no_panel():
    """B1 at 2 ft 8 in, B2 at 9 ft 4 in, B3 and B4 farther: bare from 13 ft 6 in on, 50 in from B2, 14 in from B3."""
    whole, part = lifted(job()), lifted(job(("13 ft 6 in", "10 ft 6 in")))
    assert whole.keys() == part.keys()
    for (link, mark), capacity in part.items():
        assert whole[link, mark] > 0.0
        assert capacity == (whole[link, mark] if mark in ("B1", "B2") else 0.0)
    near = lifted(job(("13 ft", "11 ft")))
    assert near[LinkId.STUD_TO_SHEATHING, "B2"] == 0.0


@pytest.mark.parametrize(("width", "lifts"), [("4 in", True), ("6 in", False)])
def test_no_more_does_one_with_what_is_bare_on_its_left(width, lifts):
    """B2 at 112 in reaches from 64 on: bare from 60 to 64 in, and to 66."""
    found = lifted(job(("5 ft", width)))
    assert (found[LinkId.SHEATHING_TO_PLATE, "B2"] > 0.0) is lifts
    assert (found[LinkId.STUD_TO_SHEATHING, "B2"] > 0.0) is lifts


def test_what_is_bare_parts_the_pieces_of_a_return_and_of_the_wall():
    made = job(("6 ft", "4 ft"))
    assert stretches(made.wall) == ((0.0, 72.0), (120.0, 288.0))
    for met, left in (("left", 72.0), ("right", 168.0)):
        (gap,) = of_file(Return(), made, met=met).openings
        assert (gap.left, gap.width) == (left, 48.0)


@pytest.mark.parametrize(
    ("left", "width", "at_left", "at_right"),
    [
        ("0 ft", "1 ft", False, True), ("3 ft", "5 ft", False, True), ("4 ft", "5 ft", True, True),
        ("23 ft", "1 ft", True, False), ("15 ft", "6 ft", True, False), ("15 ft", "5 ft", True, True),
    ],
)  # fmt: skip
def test_a_wall_holds_another_where_its_panels_reach_the_corner(left, width, at_left, at_right):
    """Four feet of them, a panel's width: 24 ft, bare nearer to an end than that holds none there."""
    made = job((left, width))
    for met, holds in (("left", at_left), ("right", at_right)):
        assert of_file(Return(sheathed=True), made, met=met).sheathed is holds


def test_a_corner_on_no_panel_is_as_one_whose_edges_nobody_nailed(tmp_path):
    """To the last digit: a ring whose walls are bare for a foot at each end, and the same with that tick wanting."""
    limits, long = [], {"studs": ("9 ft 4 in", "14 ft 8 in")}
    walls = {"south": long, "north": long, "east": {"studs": ("8 ft",)}, "west": {"studs": ("8 ft",)}}
    for name, done in (("ticked", ALL_TICKS), ("not", tuple(t for t in ALL_TICKS if t != "edges nailed"))):
        folder = job_folder(
            tmp_path / name, corners=ring_corners(done=done), walls=walls, laps="rim", moisture="dry"
        )
        for wall in RING:
            far = "23 ft" if wall in ("south", "north") else "15 ft"
            bare_in(folder, wall, ("0 ft", "1 ft"), (far, "1 ft"))
        read = read_house(folder)
        limits.append([one.limits for one in stand(read.house, read.jobs, read.placed).answers])
    assert limits[0] == limits[1]
    assert max(one.limit for one in limits[0]) > 0.0


def test_the_elevation_shows_where_a_wall_is_not_sheathed():
    """A line from plate to top at either end of the stretch, and the words between them."""
    made = job(("4 ft", "6 ft"))
    drawing = elevation(made)
    (one,) = made.wall.bare
    lines = [item.points for item in drawing.items if isinstance(item, DrawnLine) and item.dash == "dashdot"]
    assert lines == [((x, 0.0), (x, made.wall.height_at(x))) for x in (48.0, 120.0)]
    (words,) = (item for item in drawing.items if isinstance(item, Words) and item.text == "not sheathed")
    assert one.left < words.at[0] < one.right
    assert "Not sheathed: 4'-0\" to 10'-0\" from LEFT." in drawing.alt
    whole = elevation(job())
    assert "sheathed" not in whole.alt
    assert not [item for item in whole.items if isinstance(item, DrawnLine) and item.dash == "dashdot"]
