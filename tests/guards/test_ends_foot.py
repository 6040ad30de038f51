"""A foot counts what can be built: fasteners with room, a limp cleat, and a layout whose feet have room."""

from __future__ import annotations

import math
import re

import pytest

from bracing.chain.links import Link, LinkId
from bracing.reading.jobs import read_job
from bracing.reading.writing import write_wall
from bracing.work.parts import parts_for
from bracing.work.remedies import apply, options_for
from tests.cli.running import EXAMPLES, run
from tests.layout_walls import random_text as any_wall
from tests.storm_walls import WALLS

# A 2x6 brace at 45 degrees, beside a flat 2x4 on the deck, everything declared but what a test changes.
WALL = """
[wall]
name = "Foot"
length = "16 ft"
height = "9 ft"
studs = { size = "2x6", spacing = "16 in", first = "0 in", species = "spruce-pine-fir", grade = "No.2" }
layers = ["osb 7/16"]
[floor]
deck = "osb 23/32"
height_above_ground = "2 ft"
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = { joint = "lapped", fastener = "structural screw 0.22x3", bored = true }
CLEAT
"""
BRACE = """
[[brace]]
mark = "B{mark}"
stud_at = "{at} in"
head = "7 ft"
set_back = "{back} in"
size = "2x6"
ties = 2
head_fasteners = 4
cleat_fasteners = {cleat}
floor_fasteners = {floor}
foot_on = "joist"
"""
FLAT = {"size": '"2x4"', "lie": '"flat"', "length": '"24 in"', "sides": "1",
        "brace_fastener": '"gun nail 0.131x3"', "floor_fastener": '"structural screw 0.22x5"'}  # fmt: skip
EDGE = FLAT | {"size": '"2x6"', "lie": '"edge"', "sides": "2", "brace_fastener": '"structural screw 0.22x3"',
               "floor_fastener": '"structural screw 0.22x8"'}  # fmt: skip


@pytest.fixture
def foot(capsys, tmp_path):
    """Give the answer of `check` for the wall with a foot: text and JSON."""

    def checked(kit, *, cleat=4, floor=5, back=84.0, count=4):
        path = tmp_path / "foot.toml"
        said = "cleat = { " + ", ".join(f"{key} = {value}" for key, value in kit.items()) + " }"
        braces = "".join(
            BRACE.format(mark=k + 1, at=at, cleat=cleat, floor=floor, back=back)
            for k, at in enumerate((16, 64, 128, 176)[:count])
        )
        path.write_text(WALL.replace("CLEAT", said) + braces)
        return " ".join(run(capsys, "check", path).out.split()), run(capsys, "check", path, "--json").json

    return checked


def link(answer, name, direction="pull", mark="B2"):
    (found,) = [
        each for each in answer["links"]
        if (each["link"], each["direction"], each["mark"]) == (name, direction, mark)
    ]  # fmt: skip
    return found


def test_a_joint_counts_no_more_than_has_room_and_says_so(foot):
    """Nails 0.131 at 35.5 degrees: the level face is 5.5/sin = 9.46 in, less 2 x 0.3275/sin, 1.965 apart: 5.

    The uppermost row stands (1.5 - 0.3275)/sin = 2.02 in from the cut, over 15 D = 1.965: whole. A lower one would keep
    0.5175/sin = 0.89 in, under half.
    """
    back = 84.0 / math.tan(math.radians(35.5))
    said, answer = foot(FLAT, cleat=8, back=round(back, 2))
    assert "B1, B2, B3 and B4: 8 at the cleat, 5 have room, 5 counted" in said.replace(
        "B3, B4:", "B3 and B4:"
    )
    assert {brace["cleat_counted"]["counted"] for brace in answer["braces"]} == {5}
    five = foot(FLAT, cleat=5, back=round(back, 2))[1]
    assert link(answer, "brace to cleat")["capacity"] == link(five, "brace to cleat")["capacity"]
    assert "have room" not in foot(FLAT, cleat=5, back=round(back, 2))[0]


def test_near_the_level_cut_a_nail_keeps_its_part_and_a_screw_nothing(foot):
    """At 45 degrees a nail in a flat cleat has 1.658 of 1.965 in, 0.84; a 0.22 screw 1.344 of 3.3, under half."""
    said, nails = foot(FLAT, cleat=2)
    assert "so near the level cut that each counts 84%" in said
    assert nails["braces"][0]["cleat_counted"]["part"] == pytest.approx(0.8438, abs=5e-4)
    screws = FLAT | {"brace_fastener": '"structural screw 0.22x3"'}
    said, none = foot(screws, cleat=4)
    assert "4 at the cleat, 0 have room, 0 counted" in said
    assert none["limit_gust_mph"] == 0
    # Bored, 10 D = 2.2 in: 0.61 of it.
    bored = foot(screws | {"bored": "true"}, cleat=2)[1]
    assert bored["braces"][0]["cleat_counted"] == {
        "there": 2, "have_room": 3, "counted": 2, "part": pytest.approx(1.3435 / 2.2, abs=1e-3)
    }  # fmt: skip


def test_bored_holes_make_room_and_undeclared_they_are_not_there(foot):
    """On edge 2x6, 45 degrees: driven, 3 whole rows of 2; bored, rows of 3."""
    driven, bored = (foot(kit, cleat=16)[1] for kit in (EDGE, EDGE | {"bored": "true"}))
    assert [each["braces"][0]["cleat_counted"]["counted"] for each in (driven, bored)] == [6, 16]
    assert "kit.cleat.bored" in {each["field"] for each in driven["assumed"]}


def test_the_worst_screw_of_a_limp_cleat_takes_more_than_its_share(foot):
    """Five screws through a flat 2x4 of 24 in: over twice the share. Four through two 2x6 on edge: about it."""
    flat = foot(FLAT, cleat=2, floor=5)[1]["braces"][0]["worst_pull"]
    edge = foot(EDGE | {"bored": "true"}, cleat=4, floor=8)[1]["braces"][0]["worst_pull"]
    assert 2.0 < flat < 3.3
    assert 1.0 <= edge < 1.25


def test_a_limp_cleat_is_bent(foot):
    """A longer cleat with its screws at the ends alone is bent more: two screws, U (b - a/2)/4 and the couple."""
    bent = {
        inches: link(foot(FLAT | {"length": f'"{inches} in"'}, cleat=2, floor=2)[1], "cleat bending")
        for inches in (24, 96)
    }
    assert bent[96]["limit_gust_mph"] < bent[24]["limit_gust_mph"]
    assert all(each["unit"] == "lb in" for each in bent.values())
    # 2x4 flat, green: 875 x 1.5 x 1.1 x 0.85 x 1.6 on 1.3125 cubic inches
    assert bent[24]["capacity"] == pytest.approx(875 * 1.5 * 1.1 * 0.85 * 1.6 * 1.3125, rel=1e-4)


def test_trace_shows_what_the_worst_takes(capsys, foot, tmp_path):
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    steps = next(
        each["steps"] for each in run(capsys, "trace", tmp_path / "foot.toml", "--json").json["links"]
        if each["link"] == "cleat to floor"
    )  # fmt: skip
    words = " ".join(step["what"] for step in steps)
    assert "over an even share" in words
    assert "92100" in " ".join(step["sum"] for step in steps)


@pytest.mark.parametrize("name", ["short-wall", "rake-wall"])
def test_a_layout_says_in_what_order_a_foot_is_screwed(capsys, name):
    laid = run(capsys, "layout", EXAMPLES / f"{name}.toml", "--gust", 30, "--budget", "0.2", "--json").json
    (order,) = [words for words in laid["needed_too"] if words.startswith("feet: ")]
    assert "before the lift fix both cleats on edge from their tops, a brace scrap between" in order
    assert order.endswith("from both outer faces")


def bare(text):
    """A wall file with nothing declared of its feet."""
    return re.sub(r"^(cleat|head) = .*$", "", text, flags=re.MULTILINE)


def test_an_undeclared_foot_is_a_brace_between_two_2x6_on_edge(capsys, tmp_path):
    text = bare((EXAMPLES / "short-wall.toml").read_text())
    for run_of, length in (("away", "2"), ("along", "3")):
        path = tmp_path / f"{run_of}.toml"
        path.write_text(text.replace('run = "away"', f'run = "{run_of}"'))
        ran = run(capsys, "layout", path, "--gust", 30, "--budget", "0.2", "--write")
        assert ran.status == 0, ran.out
        written = path.read_text()
        for words in ('size = "2x6"', 'lie = "edge"', "sides = 2", f'length = "{length} ft"', "bored = true"):
            assert words in written.partition("[kit.cleat]")[2]
        assert "have room" not in run(capsys, "check", path).out


@pytest.mark.parametrize("seed", range(20))
def test_a_layout_never_proposes_a_foot_without_room(capsys, tmp_path, seed):
    path = tmp_path / "w.toml"
    path.write_text(bare(any_wall(seed)) if seed % 2 else any_wall(seed))
    laid = run(capsys, "layout", path, "--gust", 25, "--budget", "0.1", "--json")
    if laid.status:
        return
    for brace in laid.json["braces"]:
        for joint in ("head", "cleat", "floor"):
            found = brace[f"{joint}_counted"]
            assert found["counted"] == found["there"] > 0, (brace["mark"], joint)


@pytest.mark.parametrize(
    "screw",
    ["lag 3/8x5", "structural screw 0.22x4", "structural screw 0.22x5", "20d common", "wood screw #14x4"],
)
def test_a_joist_under_a_foot_never_costs_it_anything(capsys, foot, tmp_path, screw):
    """A lag too short to bite the joist held in the deck, until somebody declared that a joist is there."""
    kit = FLAT | {"floor_fastener": f'"{screw}"', "size": '"2x6"'}
    _, joist = foot(kit, cleat=2, floor=4)
    path = tmp_path / "foot.toml"
    path.write_text(path.read_text().replace('foot_on = "joist"', 'foot_on = "deck"'))
    deck = run(capsys, "check", path, "--json").json
    for direction in ("push", "pull"):
        there, alone = (link(each, "cleat to floor", direction)["capacity"] for each in (joist, deck))
        assert there >= alone * (1.0 - 1e-9)
    assert link(deck, "cleat to floor")["capacity"] > 0.0


def panel_link(capsys, tmp_path, text):
    path = tmp_path / "deck.toml"
    path.write_text(text)
    return link(run(capsys, "check", path, "--json").json, "panel to joists")


def test_a_deck_panel_is_held_down_by_its_own_nails(capsys, foot, tmp_path):
    """8d common, 2.5 in less 0.719 of panel: 1380 x 0.363^2.5 x 0.131 in the weakest joists; at 12 in, 24 + 16 in.

    Spruce-pine-fir (south) has G 0.36. Green a quarter, ten minutes x 1.6. A pound level lifts a pound at 45 degrees,
    all of it off one joist where nobody knows how they run; B2, 64 in from LEFT, stands at 62.5: 1.5 in off one of
    those that run away every 16 in.
    """
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    text = (tmp_path / "foot.toml").read_text().replace('foot_on = "joist"', 'foot_on = "deck"')
    nail = 1380.0 * 0.36**2.5 * 0.131 * (2.5 - 23.0 / 32.0) * 1.6 * 0.25
    unknown = panel_link(capsys, tmp_path, text)
    assert unknown["capacity"] == pytest.approx(nail * 40.0 / 12.0, rel=1e-3)
    level = link(run(capsys, "check", tmp_path / "deck.toml", "--json").json, "cleat to floor")["demand"]
    assert unknown["demand"] == pytest.approx(level, rel=1e-6)
    joists = text.replace("[kit]", '[floor.joists]\nrun = "away"\nspacing = "16 in"\n[kit]', 1)
    known = panel_link(capsys, tmp_path, joists)
    assert known["limit_gust_mph"] > unknown["limit_gust_mph"]
    level = link(run(capsys, "check", tmp_path / "deck.toml", "--json").json, "cleat to floor")["demand"]
    assert known["demand"] == pytest.approx(level * (1.0 - 1.5 / 16.0), rel=1e-6)
    closer = panel_link(
        capsys, tmp_path, text.replace("[kit]", '[floor.panel_nails]\nspacing = "6 in"\n[kit]', 1)
    )
    assert closer["capacity"] == pytest.approx(2.0 * unknown["capacity"], rel=1e-6)


def test_an_older_file_says_foot_on_in_its_own_words(capsys, foot, tmp_path):
    """into_joist = true is foot_on = "joist", false "deck": the same answer, with one line that says so."""
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    now = path.read_text()
    for old, new in (("true", "joist"), ("false", "deck")):
        path.write_text(now.replace('foot_on = "joist"', f'foot_on = "{new}"'))
        said = run(capsys, "check", path, "--json").json
        path.write_text(now.replace('foot_on = "joist"', f"into_joist = {old}"))
        older = run(capsys, "check", path, "--json").json
        assert [each["capacity"] for each in older["links"]] == [each["capacity"] for each in said["links"]]
        assert older["limit_gust_mph"] == said["limit_gust_mph"]
        text = " ".join(run(capsys, "check", path).out.split())
        assert text.count("into_joist is read as foot_on") == 1
        assert "brace[].foot_on" not in {each["field"] for each in older["assumed"]}


def test_feet_said_twice_and_otherwise_are_refused_by_both_names(capsys, foot, tmp_path):
    foot(EDGE, cleat=4, floor=8, count=1)
    path = tmp_path / "foot.toml"
    now = path.read_text()
    path.write_text(now.replace('foot_on = "joist"', 'foot_on = "deck"\ninto_joist = true'))
    refused = run(capsys, "check", path)
    assert refused.status == 2
    (line, *_) = refused.err.splitlines()
    assert "brace[0].foot_on" in line
    assert "into_joist" in line
    path.write_text(now.replace('foot_on = "joist"', "into_joist = 1"))
    refused = run(capsys, "check", path)
    assert (refused.status, "brace[0].into_joist" in refused.err) == (2, True)
    path.write_text(now.replace('foot_on = "joist"', 'foot_on = "joist"\ninto_joist = true'))
    assert run(capsys, "check", path).status != 2


def test_a_walk_of_an_older_file_writes_the_foot_once(foot, tmp_path):
    """What is found at a foot stands in the place of the older word: two that disagree would be refused."""
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    path.write_text(path.read_text().replace('foot_on = "joist"', "into_joist = true"))
    job = write_wall(path, changes={"brace[1].foot_on": "deck"})
    assert [brace.foot_on for brace in job.braces] == ["joist", "deck", "joist", "joist"]
    assert path.read_text().count("into_joist") == 3


def test_a_foot_on_blocks_hangs_on_nails_into_their_ends(capsys, foot, tmp_path):
    """0.131 x 3 in through a joist into a block of the weakest joists, G 0.36, by hand.

    Mode IV, the least: 0.131^2 / 2.2 x sqrt(2 x 16600 x 0.36^1.84 x 100000 / (3 x 2)) = 71.7 lb; into end grain 0.67,
    wet 0.7, ten minutes 1.6. Two at each end hold four times that. At 45 degrees each of two cleats lifts half the
    level force, all of it on one block, and with two blocks under each cleat its worst fastener's share.
    """
    kit = EDGE | {"bored": "true"}
    foot(kit, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    text = path.read_text().replace('foot_on = "joist"', 'foot_on = "block"')
    path.write_text(text)
    answer = run(capsys, "check", path, "--json").json
    one = 0.131**2 / 2.2 * math.sqrt(2.0 * 16600.0 * 0.36**1.84 * 1e5 / 6.0) * 1.6 * 0.67 * 0.7
    ends = link(answer, "block ends")
    assert ends["capacity"] == pytest.approx(4.0 * one, rel=0.01)
    assert ends["demand"] == pytest.approx(link(answer, "cleat to floor")["demand"] / 2.0, rel=1e-3)
    assert answer["braces"][0]["floor_counted"]["counted"] == 2  # one block, one fastener in it, two cleats
    assumed = {each["field"] for each in answer["assumed"]}
    assert {f"floor.blocks.{each}" for each in ("under_each_cleat", "fastener", "each_end")} <= assumed
    two = "[floor.blocks]\nunder_each_cleat = 2\neach_end = 3\n[kit]"
    path.write_text(text.replace("[kit]", two, 1))
    more = run(capsys, "check", path, "--json").json
    assert more["braces"][0]["floor_counted"]["counted"] == 4
    f = more["braces"][0]["worst_pull"]
    assert link(more, "block ends")["capacity"] == pytest.approx(1.5 * ends["capacity"], rel=1e-6)
    level = link(more, "cleat to floor")["demand"]
    assert link(more, "block ends")["demand"] == pytest.approx(level / 2.0 * f / 2.0, rel=1e-3)
    assert "into blocks between joists" in link(more, "cleat to floor")["why"]


def test_blocks_between_joists_whose_ends_nobody_can_check_are_refused(capsys, foot, tmp_path):
    foot(EDGE, cleat=4, floor=8, count=1)
    path = tmp_path / "foot.toml"
    text = path.read_text().replace('foot_on = "joist"', 'foot_on = "block"')
    path.write_text(text.replace("[kit]", '[floor.joists]\nkind = "i-joist"\n[kit]', 1))
    refused = run(capsys, "check", path)
    assert refused.status == 2
    (line, *_) = refused.err.splitlines()
    assert "brace[0].foot_on" in line
    assert "floor.joists.kind" in line


def test_a_foot_on_blocks_is_not_told_to_go_onto_blocks(capsys, foot, tmp_path):
    """It would be counted as in a joist from then on, and nobody would look at the ends of its blocks again."""
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    text = path.read_text()
    asked = ("--gust", "45", "--from", "Fri 8 pm", "--until", "Sat 6 am", "--now", "2026-03-06 15:00",
             "--zone", "America/Chicago")  # fmt: skip
    said = {}
    for word in ("block", "deck"):
        path.write_text(text.replace('foot_on = "joist"', f'foot_on = "{word}"'))
        said[word] = " ".join(run(capsys, "storm", path, *asked).out.split())
    assert "solid blocks between the joists under the foot" in said["deck"]
    assert "solid blocks between the joists under the foot" not in said["block"]


def crossed(capsys, foot, tmp_path, *, floor="", kit=None):
    """Give a wall on cross cleats: the text of its file, and the answer of `check`."""
    foot((kit or EDGE | {"bored": "true"}) | {"length": '"27 in"'}, cleat=4, floor=4)
    path = tmp_path / "foot.toml"
    text = path.read_text().replace('foot_on = "joist"', 'foot_on = "cross cleat"')
    path.write_text(text.replace("[kit]", f"{floor}\n[kit]", 1))
    return run(capsys, "check", path, "--json").json


TWO_BY_SIX = """
[floor.joists]
spacing = "16 in"
run = "away"
[floor.cross_cleat]
size = "2x6"
fastener = "structural screw 0.22x5"
each_joist = 2
"""


def test_a_foot_on_cross_cleats_is_held_by_their_screws_and_bends_them(capsys, foot, tmp_path):
    """Two flat 2x6 over joists at 16 in, a brace between two 2x6 on edge, 45 degrees, 27 in, 0.22 screws, by hand.

    Room: across the grain 0.22 screws keep 2.5 D = 0.55 in of the edge, 15 D = 3.3 in apart: 5.5 - 1.1 = 4.4, two one
    behind another; of a cleat 1.5 in wide, and of a joist, one abreast. So 2 x 2 x 2 = 8 for the foot, two a joist.
    The outer one 3.3 in from the cleat's end, the middle of the cross cleat 3.3 + 1.65 = 4.95, 27 - 9.9 = 17.1 in from
    the other. The level force enters 2.75 in up the cleat and 1.5 in of cross cleat: 4.25 in. Lift on one for a pound:
    1/2 + 4.25/17.1.

    Flat 2x6 of SPF No.2: 875 x 1.3 = 1138 psi, under the 1150 to which green takes nothing off; x 1.15 flat x 1.6, on
    5.5 x 1.5^2 / 6 = 2.0625 cubic inches.
    """
    answer = crossed(capsys, foot, tmp_path, floor=TWO_BY_SIX)
    lift = 0.5 + 4.25 / 17.1
    level = link(answer, "cleat to floor")["demand"]
    bent = link(answer, "cross cleat bending")
    assert bent["unit"] == "lb in"
    assert bent["demand"] == pytest.approx(level * lift * 16.0 / 4.0, rel=1e-4)
    assert bent["capacity"] == pytest.approx(875 * 1.3 * 1.15 * 1.6 * 2.0625, rel=1e-4)
    held = link(answer, "cross cleat to joists")
    trace = run(capsys, "trace", tmp_path / "foot.toml", "--json").json["links"]
    steps = next(each["steps"] for each in trace if each["link"] == "cross cleat to joists")
    shown = " ".join(step["sum"] for step in steps)
    assert held["demand"] == pytest.approx(level, rel=1e-9)
    assert "17.1" in shown
    assert answer["braces"][0]["floor_counted"] == {"there": 4, "have_room": 8, "counted": 4, "part": 1.0}
    # Each end of the foot takes half of the lift and no screw more than its share: a beam on two supports.
    assert answer["braces"][0]["worst_pull"] == pytest.approx(1.0, abs=1e-6)


def test_the_screws_of_a_foot_bite_the_cross_cleat_and_nothing_below_it(capsys, foot, tmp_path):
    """0.22 x 8 through a cleat on edge, 5.5 in: 1.5 in of cross cleat, however deep the joist. So does 0.22 x 10.

    What holds the cross cleat is its own: with no fastener into the joists nothing holds; with two more than with one.
    """
    kit = EDGE | {"bored": "true"}
    pulls = {}
    for long in (8, 10):
        named = kit | {"floor_fastener": f'"structural screw 0.22x{long}"'}
        answer = crossed(capsys, foot, tmp_path, floor=TWO_BY_SIX, kit=named)
        pulls[long] = link(answer, "cleat to floor")["capacity"]
    assert pulls[8] == pytest.approx(pulls[10], rel=1e-9)
    held = [
        link(crossed(capsys, foot, tmp_path, floor=TWO_BY_SIX.replace("each_joist = 2", f"each_joist = {n}")),
             "cross cleat to joists")["capacity"]
        for n in (0, 1, 2)
    ]  # fmt: skip
    assert held[0] == 0.0
    assert held[2] == pytest.approx(2.0 * held[1], rel=1e-6)


def test_undeclared_cross_cleats_are_low_and_said(capsys, foot, tmp_path):
    answer = crossed(capsys, foot, tmp_path)
    assumed = {each["field"] for each in answer["assumed"]}
    assert {f"floor.cross_cleat.{each}" for each in ("size", "fastener", "each_joist")} <= assumed
    said = " ".join(run(capsys, "check", tmp_path / "foot.toml").out.split())
    few = crossed(capsys, foot, tmp_path, floor=TWO_BY_SIX.replace("each_joist = 2", "each_joist = 5"))
    said = " ".join(run(capsys, "check", tmp_path / "foot.toml").out.split())
    assert "5 through a cross cleat into each joist, 2 have room, 2 counted" in said
    two = crossed(capsys, foot, tmp_path, floor=TWO_BY_SIX)
    assert link(few, "cross cleat to joists")["capacity"] == link(two, "cross cleat to joists")["capacity"]


def test_work_before_a_storm_puts_more_into_cross_cleats(capsys, foot, tmp_path):
    crossed(
        capsys,
        foot,
        tmp_path,
        floor=TWO_BY_SIX.replace("each_joist = 2", "each_joist = 1").replace("0.22x5", "0.22x4"),
    )
    asked = ("--gust", "45", "--from", "Fri 8 pm", "--until", "Sat 6 am", "--now", "2026-03-06 15:00",
             "--zone", "America/Chicago")  # fmt: skip
    said = " ".join(run(capsys, "storm", tmp_path / "foot.toml", *asked).out.split())
    assert "2 structural screws 0.22x4 through every cross cleat into each of its joists" in said


def laid(capsys, tmp_path, change=lambda text: text, *, gust=30):
    """Give the layout of the short wall, its feet chosen, and the file with it written in."""
    path = tmp_path / "laid.toml"
    path.write_text(change(bare((EXAMPLES / "short-wall.toml").read_text())))
    found = run(capsys, "layout", path, "--gust", gust, "--budget", "0.2", "--json").json
    assert run(capsys, "layout", path, "--gust", gust, "--budget", "0.2", "--write").status == 0
    return found, path


def test_a_layout_whose_second_cleat_lies_over_no_joist_is_on_blocks_that_are_checked(capsys, tmp_path):
    """Joists that run away lie under one of two cleats. The other hangs on nails in end grain, a block a screw."""
    found, path = laid(capsys, tmp_path)
    assert {brace["foot_on"] for brace in found["braces"]} == {"block"}
    (line,) = [words for words in found["needed_too"] if "between joists" in words]
    each = -(-found["braces"][0]["floor_fasteners"] // 2)
    assert line.startswith(f"at each foot {each} solid 2x10 blocks between joists")
    assert "3 16d common nails through the joists into each end" in line
    bought = {str(item["what"]): item["count"] for item in found["buy"]}
    assert bought["block 2x10 x 1'-2 1/2\""] == each * len(found["braces"])
    assert bought["16d common"] >= each * len(found["braces"]) * 6
    written = path.read_text()
    assert 'foot_on = "block"' in written
    assert f"under_each_cleat = {each}" in written
    checked = run(capsys, "check", path, "--json").json
    ends = [each for each in checked["links"] if each["link"] == "block ends"]
    assert {each["mark"] for each in ends} == {brace["mark"] for brace in found["braces"]}
    assert all(each["limit_gust_mph"] >= 30.0 for each in ends)


def test_a_layout_over_joists_that_run_along_is_in_joists(capsys, tmp_path):
    found, _ = laid(capsys, tmp_path, lambda text: text.replace('run = "away"', 'run = "along"'))
    assert {brace["foot_on"] for brace in found["braces"]} == {"joist"}
    assert not any("block" in str(item["what"]) for item in found["buy"])


def test_a_layout_laps_the_side_where_no_block_is_needed(capsys, tmp_path):
    """Two flat 2x6 stand 7 in apart, over joists every 8 in: at 4 1/2 in both lie over one only beside a right lap."""

    def flat(text):
        text = re.sub(r"^joists = .*$", "", text, flags=re.MULTILINE)
        return text + (
            '\n[floor.joists]\nrun = "away"\nspacing = "8 in"\nfirst = "4.5 in"\nsize = "2x10"\n'
            '[kit.cleat]\nsize = "2x6"\nlie = "flat"\nsides = 2\nfloor_fastener = "structural screw 0.22x5"\n'
        )

    found, _ = laid(capsys, tmp_path, flat, gust=20)
    assert {(brace["lap_side"], brace["foot_on"]) for brace in found["braces"]} == {("right", "joist")}


def test_work_before_a_storm_puts_blocks_under_a_foot_that_are_checked(capsys, foot, tmp_path):
    foot(EDGE | {"bored": "true"}, cleat=4, floor=4)
    path = tmp_path / "foot.toml"
    path.write_text(path.read_text().replace('foot_on = "joist"', 'foot_on = "deck"'))
    asked = ("--gust", "45", "--from", "Fri 8 pm", "--until", "Sat 6 am", "--now", "2026-03-06 15:00",
             "--zone", "America/Chicago")  # fmt: skip
    said = " ".join(run(capsys, "storm", path, *asked, "--write").out.split())
    assert "3 16d common nails through the joists into each end" in said
    written = path.read_text()
    assert 'foot_on = "block"' in written
    assert 'foot_on = "joist"' not in written
    assert "each_end = 3" in written
    checked = run(capsys, "check", path, "--json").json
    assert "block ends" in {each["link"] for each in checked["links"]}
    assert "panel to joists" not in {each["link"] for each in checked["links"]}


def test_more_goes_into_the_ends_of_blocks(foot, tmp_path):
    """Twice what one nail at each end may carry: two. They are bought for both ends of every block under every foot."""
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    text = path.read_text().replace('foot_on = "joist"', 'foot_on = "block"')
    path.write_text(text.replace("[kit]", "[floor.blocks]\nunder_each_cleat = 4\neach_end = 1\n[kit]", 1))
    job = read_job(path)
    over = Link(LinkId.BLOCK_ENDS, "pull", "B2", 64.0, 200.0, 100.0, "lb", 2.0, 20.0, "NDS", None)
    ((change,),) = options_for(job, over)
    assert (change.path, change.before, change.after) == ("floor.blocks.each_end", 1, 2)
    assert parts_for(apply(job, (change,)), (change,), ()) == {"gun nail 0.131x3": 4 * 2 * 4 * 2}


AWAY = '[floor.joists]\nrun = "away"\nspacing = "16 in"\nfirst = "{first} in"\n[kit]'


def test_check_says_that_the_second_cleat_needs_a_block(capsys, foot, tmp_path):
    """B1 at 16 in laps left at 14.5, its cleats at 13 and 16: a joist at 16 lies under one of them alone."""
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    text = path.read_text()
    path.write_text(text.replace("[kit]", AWAY.format(first=0), 1))
    said = " ".join(run(capsys, "check", path).out.split())
    assert "B1, B2, B3, B4: one cleat of two lies over no joist and needs blocks under it" in said.replace(
        "B3 and B4", "B3, B4"
    )
    for other in (
        text,
        path.read_text().replace('foot_on = "joist"', 'foot_on = "block"'),
        path.read_text().replace('run = "away"', 'run = "along"'),
    ):
        path.write_text(other)
        assert "lies over no joist" not in run(capsys, "check", path).out


def refused(capsys, path, text):
    path.write_text(text)
    ran = run(capsys, "check", path)
    assert ran.status == 2
    return ran.err


def test_a_foot_in_a_joist_that_is_not_there_is_refused_by_both_names(capsys, foot, tmp_path):
    """Joists at 6, 22, 38 ..: the cleats of B1 at 13 and 16 in lie 6 in from the next, less 3/4 and 3/4: past an inch.

    Where nobody taped the first one, or the foot lies within an inch of it, nobody knows that none is there.
    """
    foot(EDGE | {"bored": "true"}, cleat=4, floor=8)
    path = tmp_path / "foot.toml"
    text = path.read_text()
    err = refused(capsys, path, text.replace("[kit]", AWAY.format(first=6), 1))
    assert "brace[0].foot_on" in err
    assert "floor.joists.first" in err
    unknown = AWAY.format(first=6).replace('first = "6 in"\n', "")
    for fine in (unknown, AWAY.format(first=1.5), AWAY.format(first=6).replace('"away"', '"along"')):
        path.write_text(text.replace("[kit]", fine, 1))
        assert run(capsys, "check", path).status != 2
    for word in ("joist", "block", "cross cleat"):
        slab = text.replace('deck = "osb 23/32"', 'kind = "slab"').replace('"joist"', f'"{word}"')
        err = refused(capsys, path, slab)
        assert "brace[0].foot_on" in err
        assert "floor.kind" in err
    along = AWAY.format(first=0).replace('"away"', '"along"')
    crossed = text.replace('"joist"', '"cross cleat"').replace("[kit]", along, 1)
    err = refused(capsys, path, crossed)
    assert "brace[0].foot_on" in err
    assert "floor.joists.run" in err


def test_a_second_cleat_over_no_joist_comes_with_blocks_that_are_checked(tmp_path):
    """Its foot was in a joist with one cleat; of two one lies over none."""
    path = tmp_path / "two.toml"
    path.write_text(WALLS["two"])
    job = read_job(path)
    assert {brace.foot_on for brace in job.braces} == {"joist"}
    over = Link(LinkId.CLEAT_BENDING, "pull", "B1", 32.0, 200.0, 100.0, "lb in", 2.0, 20.0, "NDS", None)
    (changes,) = options_for(job, over)
    two = apply(job, changes)
    assert two.kit.cleat.sides == 2
    assert {brace.foot_on for brace in two.braces} == {"block"}
    most = max(brace.floor_fasteners for brace in two.braces)
    assert 2 * two.floor.blocks.under_each_cleat >= most
    assert (two.floor.blocks.fastener, two.floor.blocks.each_end) == ("16d common", 3)
