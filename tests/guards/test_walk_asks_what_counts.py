"""A wall is called AS BUILT only once somebody has looked at all it counts on, and only while its file says that still.

The braces were asked about and nothing else: no plate screws took a wall from 44 to 10 mph, a sheathing foot that was
not nailed to 0, and both stood AS BUILT.
"""

from __future__ import annotations

import io
import sys
from collections import Counter

import pytest

from bracing.job.fields import LOOK, places
from bracing.job.job import Job
from bracing.reading.jobs import read_job
from bracing.reading.looking import things_to_see
from bracing.stages.walk import fact_name, planned_braces
from bracing.text.page import PLAIN
from tests.cli.running import EXAMPLES, run, said

KITCHEN = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
BRACES = KITCHEN.count("[[brace]]")
WALK = ("--now", "2026-03-06 15:00", "--zone", "UTC", "--by", "lead framer")
NO_BRACE = KITCHEN[: KITCHEN.index("[[brace]]")]


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "kitchen.toml"
    path.write_text(KITCHEN, encoding="utf-8")
    return path


@pytest.fixture
def walk(capsys, monkeypatch):
    """Walk a wall: what is told of things by the words they are asked with, Enter at all others."""

    def walked(path, told=(), *, extra=(), json=True):
        answers, job = dict(told), read_job(path)
        things = [PLAIN.said(seen.named) for seen in things_to_see(job)]
        marks = [brace.mark for brace in planned_braces(job)]
        typed = [*("" for _ in marks), *extra, "", *(answers.pop(thing, "") for thing in things)]
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{text}\n" for text in typed)))
        ran = run(capsys, "built", path, *WALK, *(("--json",) if json else ()))
        assert ran.status == 0, ran.err
        assert answers == {}, "it was not asked"
        return ran

    return walked


def limit(capsys, path):
    return run(capsys, "check", path, "--json").json["limit_gust_mph"]


def test_a_wall_whose_every_thing_was_seen_is_as_built(capsys, wall, walk):
    assert walk(wall).json["state"] == "AS BUILT"
    assert run(capsys, "check", wall).out.splitlines()[0].endswith("AS BUILT")


@pytest.mark.parametrize(
    "thing",
    [
        "bottom plate", "bottom plate at each brace", "foot of the sheathing", "top plate", "joists",
        "heads of the braces", "cleats at their feet", "openings, no. 1", "studs", "layers",
        "tie rows, and the diagonals that anchor them",
    ],
)  # fmt: skip
def test_what_nobody_looked_at_leaves_it_a_plan_and_is_listed(capsys, wall, walk, thing):
    answer = walk(wall, {thing: "not seen"}).json
    named = thing.partition(", no.")[0]
    assert (answer["state"], answer["not_seen"]) == ("PLAN", [named])
    for command in ("check", "storm", "stages", "trace"):
        words = ("--gust", "20") if command == "storm" else ()
        out = said(run(capsys, command, wall, *words).out)
        assert "AS BUILT" not in out
        assert f"a PLAN still: not looked at, or changed since: {named}." in out


@pytest.mark.parametrize(
    "told",
    [
        {"foot of the sheathing": "none"},
        {"bottom plate": "spacing 48 in, fastener 8d common", "bottom plate at each brace": "none"},
        {"tie rows, and the diagonals that anchor them": "none"},
        {"joists": "size 2x6"},
    ],
    ids=["sheathing foot", "plate", "ties", "joists"],
)
def test_what_is_found_otherwise_moves_the_limit_everywhere(capsys, wall, walk, told):
    planned = limit(capsys, wall)
    answer = walk(wall, told).json
    assert answer["limit_gust_as_planned_mph"] == planned
    assert answer["limit_gust_mph"] == limit(capsys, wall)
    assert answer["facts"] or answer["found"]
    assert planned >= 37
    assert answer["limit_gust_mph"] <= planned
    if "joists" not in told:
        assert answer["limit_gust_mph"] < planned
    again = walk(wall, json=False)  # what was found stays found, and the plan stays the plan
    assert f"As planned it would be {planned} mph" in said(again.out) or answer["limit_gust_mph"] == planned
    assert "Every brace is as planned." not in said(again.out) or answer["facts"]


def test_what_the_file_says_otherwise_after_the_walk_is_a_plan_again(capsys, wall, walk):
    walk(wall)
    text = wall.read_text(encoding="utf-8")
    for old, new, named in (
        ('spacing = "12 in"\nstate', 'spacing = "8 in"\nstate', "bottom plate"),
        ("head_fasteners = 4", "head_fasteners = 6", "braces"),
    ):
        assert old in text
        wall.write_text(text.replace(old, new, 1), encoding="utf-8")
        out = said(run(capsys, "check", wall).out)
        assert "AS BUILT" not in out
        assert f"not looked at, or changed since: {named}." in out


def test_a_walk_of_before_that_kept_only_braces_is_a_plan(capsys, wall):
    wall.write_text(KITCHEN + '\n[built]\nwhen = "2026-03-06 15:00"\nby = "lead"\n', encoding="utf-8")
    out = run(capsys, "check", wall).out
    assert out.splitlines()[0].endswith(": PLAN")
    assert "bottom plate" in said(out).partition("not looked at")[2][:300]


def test_a_brace_that_no_file_names_is_written_in_as_low_as_it_was_told(capsys, wall, walk):
    ran = walk(wall, extra=("6 ft 8 in, head 6 ft, back 8 ft, 2x6",))
    assert ran.json["extra"] == [f"B{BRACES + 1}"]
    brace = read_job(wall).braces[-1]
    assert (brace.stud_at, brace.head_fasteners, brace.foot_on) == (80.0, 1, "deck")
    assert "brace[3].head_fasteners" not in read_job(wall).declared


def test_of_a_wall_without_braces_it_is_not_said_that_every_brace_is_as_planned(wall, walk):
    wall.write_text(NO_BRACE, encoding="utf-8")
    out = said(walk(wall, json=False).out)
    assert "as planned" not in out.rpartition("NO BRACES")[2]
    assert "No brace was on file." in out


# Why nothing of these is looked at on a walk.
OF_THE_WALL_ITSELF = "taped for the file: another wall is another file"
NOT_LOOKED_AT = {
    "wall.name": "a name", "wall.left_is": "words for those who read the file", "wall.pitch": OF_THE_WALL_ITSELF,
    "wall.length": OF_THE_WALL_ITSELF, "wall.height": OF_THE_WALL_ITSELF,
    "wall.peak": OF_THE_WALL_ITSELF, "wall.peak_at": OF_THE_WALL_ITSELF, "wall.left_height": OF_THE_WALL_ITSELF,
    "wall.right_height": OF_THE_WALL_ITSELF, "wall.top": OF_THE_WALL_ITSELF, "wall.studs.first": OF_THE_WALL_ITSELF,
    "wall.opening[].left": OF_THE_WALL_ITSELF, "wall.opening[].sill": OF_THE_WALL_ITSELF,
    "wall.opening[].width": OF_THE_WALL_ITSELF, "wall.opening[].height": OF_THE_WALL_ITSELF,
    "wall.left_end": "a return counts for nothing", "wall.right_end": "a return counts for nothing",
    "wall.extra_weight": "weight is for the lift", "wall.state": "a walk is of a wall that is up",
    "floor.room": "where feet may go", "kit.ties": "what the crew will put in; what is in stands with the braces",
}  # fmt: skip
GROUPS_NOT_LOOKED_AT = {
    "wall.left_return.": "a return counts for nothing", "wall.right_return.": "a return counts for nothing",
    "wall.bare[].": "it counts for nothing; whether the wall is sheathed is looked at by itself",
    "floor.keep_out[].": "where feet may go", "floor.partition[].": "where feet may go",
    "site.": "of the place and the time, and not of what was built", "kit.stock[].": "what is on hand",
    "kit.minutes.": "how long a crew takes, and not what was built",
    "job.": "of the drawings, and not of what was built",
    "pull_test[].": "pulled once, and written down then",
    "brace[].": "asked brace by brace", "built.": "the walk itself",
}  # fmt: skip


def test_every_field_of_a_wall_is_looked_at_or_is_none_of_a_walk():
    fields = [place for place in places(Job) if place.inside is None and "." in place.path]
    looked = {place.path for place in fields if place.field.metadata[LOOK] is not None}
    left = {
        place.path for place in fields
        if place.path not in NOT_LOOKED_AT and not place.path.startswith(tuple(GROUPS_NOT_LOOKED_AT))
    }  # fmt: skip
    assert {path for path in looked if not path.startswith(("brace[].", "built."))} == left


def test_names_of_what_is_looked_at_at_once_differ():
    names = Counter(
        (place.field.metadata[LOOK], fact_name(place.path))
        for place in places(Job)
        if place.field.metadata[LOOK] is not None and not place.path.startswith(("brace[].", "built."))
    )
    assert [each for each, count in names.items() if count > 1] == []
