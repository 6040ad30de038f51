"""What a layout needs beside its braces: everything mending raised is said with its number, and nothing else is."""

from __future__ import annotations

import math
import re

import pytest
from attrs import evolve

from bracing.check import check
from bracing.errors import MissingDataError
from bracing.job.fasteners import fastener
from bracing.job.fields import with_value
from bracing.job.wall import Opening
from bracing.layout.needed import needed_too
from bracing.reading.jobs import job_from_text
from bracing.text.quantities import Quantities
from bracing.work.words import many
from tests.wall_files import wall_text

# Every field that matters declared, feet in joists nobody said the way of, one row of ties and doubled studs.
DECLARED = job_from_text(wall_text(laps="plate", strap="100 lb"), "wall.toml")
WIDE = {"plate.spacing": 24.0, "plate.sheathing_spacing": 6.0, "plate.sheathing_field_spacing": 12.0}
BEFORE = DECLARED
for _name, _value in WIDE.items():
    BEFORE = with_value(BEFORE, f"wall.{_name}", _value)
BEFORE = with_value(with_value(BEFORE, "wall.top_plate.spliced", False), "wall.plate.extra.at_each_brace", 2)
GUST = 30.0


def said(before, after, **asked):
    lines = needed_too(before, after, check(after, gust=GUST, effects=False))
    return [Quantities(**asked).said(line) for line in lines]


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("wall.plate.spacing", 16.0, "bottom plate: 16d common every 16 in instead of 24 in"),
        (
            "wall.plate.extra.at_each_brace",
            6,
            "6 structural screws 0.22x5 through the bottom plate within 24 in of each brace",
        ),
        ("wall.plate.strap_at_brace_lb", 650.0, "stud to floor framing at each brace, allowable 650 lb"),
        ("wall.plate.sheathing_spacing", 4.0, "every 4 in instead of 6 in"),
        ("wall.plate.sheathing_field_spacing", 6.0, "every 6 in instead of 12 in"),
        ("wall.top_plate.strap_at_brace_lb", 300.0, "top plate to each braced stud, allowable 300 lb"),
        ("wall.top_plate.end_nails", 5, "5 16d common nails through the top plate into each stud"),
        ("wall.top_plate.spliced", True, "both top plates nailed together, joints lapped 4'-0\""),
    ],
)
def test_a_thing_that_was_raised_is_said_and_a_thing_that_was_not_is_not(field, value, words):
    after = with_value(BEFORE, field, value)
    more = set(said(BEFORE, after)) - set(said(BEFORE, BEFORE))
    assert len(more) == 1
    assert words in more.pop()
    assert not any(words in line for line in said(after, after))


def test_in_metric_every_length_and_force_is_metric():
    after = BEFORE
    for field, value in (
        ("plate.spacing", 16.0),
        ("plate.strap_at_brace_lb", 650.0),
        ("plate.sheathing_spacing", 4.0),
    ):
        after = with_value(after, f"wall.{field}", value)
    lines = said(BEFORE, after, metric=True)
    assert "bottom plate: 16d common every 406 mm instead of 609 mm" in lines
    assert any(
        "every 101 mm instead of 152 mm" in line for line in lines
    )  # 101.6: never farther apart than asked
    assert not any(re.search(r"[0-9] (in|lb|ft)\b|[0-9]'|[0-9]\"", line) for line in lines)


def test_header_nails_are_said_for_the_opening_they_go_into():
    window = Opening(
        left=184.0, width=32.0, height=60.0, sill=30.0, header_nails=2, header_fastener="16d common"
    )
    moved = job_from_text(
        wall_text(studs=("2 ft 8 in", "9 ft 4 in", "13 ft 4 in", "21 ft 4 in")), "wall.toml"
    )
    own = {f"wall.opening[{k}].header_nails" for k in (0, 1)}
    wall = evolve(moved.wall, openings=(evolve(window, left=48.0), window))
    before = evolve(moved, wall=wall, declared=moved.declared | own)
    nailed = (before.wall.openings[0], evolve(window, header_nails=5))
    lines = said(before, evolve(before, wall=evolve(before.wall, openings=nailed)))
    assert [line for line in lines if "ends of the opening" in line] == [
        "5 16d common nails into header and sill ends of the opening at 15'-4\" instead of 2"
    ]


def test_ties_stiffeners_and_doubled_studs_are_said_once_for_all_braces():
    lines = said(BEFORE, BEFORE)
    assert "1 tie row fastened at every brace and run to a diagonal at both ends" in lines
    assert "a second stud full height at every brace, on the side away from the brace" in lines

    def with_braces(**fields):
        return evolve(BEFORE, braces=tuple(evolve(brace, **fields) for brace in BEFORE.braces))

    two = said(BEFORE, with_braces(ties=2, stud_doubled=False))
    assert "2 tie rows fastened at every brace and run to a diagonal at both ends" in two
    assert not any("second stud" in line for line in two)
    stiff = said(BEFORE, with_braces(ties=0, stiffener="T"))
    assert any(line.startswith("a second 2x6 along every brace, edge to its face as a T") for line in stiff)
    assert not any("tie row" in line for line in stiff)


# -- under the feet --------------------------------------------------------------------------------------


def away(sides, floor=8):
    joists = 'joists = { run = "away", spacing = "16 in", size = "2x12"'
    text = wall_text(sides=sides, counts=(8, 8, floor)).replace('joists = { size = "2x12"', joists)
    return job_from_text(text, "wall.toml")


def test_joists_nobody_said_the_way_of_are_asked_about():
    assert any("declare the joist run first" in line for line in said(BEFORE, BEFORE)[:1])
    assert not any("declare the joist run" in line for line in said(away(2), away(2)))


def test_blocks_between_joists_are_counted_and_their_load_is_half_the_lift_over_them():
    """Of two cleats one lies over no joist: half the 8 screws, two to a block, and half the lift of the brace."""
    job = away(2)
    result = check(job, gust=GUST, effects=False)
    lift = max(brace.pull * math.sin(brace.angle) for brace in result.braces)
    (line,) = (line for line in said(job, job) if "blocks" in line)
    assert line.startswith(
        "at each foot 2 solid 2x12 blocks between joists under the cleat that lies over none"
    )
    load = float(line.split("fastened for ")[1].split(" lb")[0])
    assert lift / 2.0 / 2 <= load < lift / 2.0 / 2 + 25.0
    assert load % 25.0 == 0.0


def test_one_cleat_over_its_joist_and_a_slab_need_no_blocks():
    assert not any("block" in line for line in said(away(1), away(1)))
    slab = evolve(BEFORE, floor=evolve(BEFORE.floor, kind="slab"))
    assert not any("joist" in line or "block" in line for line in said(slab, slab))


def test_plate_fasteners_of_a_slab_are_anchors():
    slab = evolve(BEFORE, floor=evolve(BEFORE.floor, kind="slab"))
    after = with_value(slab, "wall.plate.extra.at_each_brace", 3)
    assert any(
        line.startswith("3 anchors in the slab through the bottom plate") for line in said(slab, after)
    )


# -- counts in words -------------------------------------------------------------------------------------


def test_a_fastener_that_does_not_say_what_it_is_gets_its_kind_and_a_plural():
    own = evolve(fastener("structural screw 0.22x5"), name="long ones")
    assert many(1, "16d common", ()) == "1 16d common nail"
    assert many(4, "gun nail 0.131x3", ()) == "4 gun nails 0.131x3"
    assert many(3, "long ones", (own,)) == "3 long ones fasteners"
    with pytest.raises(MissingDataError):
        many(2, "no such thing", ())
