"""Openings as wide as a garage door, people who are out by the clear-out gust, and what nobody declared."""

from __future__ import annotations

import textwrap

import pytest
from attrs import evolve

from bracing.chain.room import cleats_bare
from bracing.drawing.elevation import elevation
from bracing.drawing.model import Area, DrawnLine
from bracing.layout.spots import FootPlace, footprint
from bracing.reading.jobs import read_job
from bracing.results import foot_x
from tests.cli.running import WITHIN, run, said

# 20 x 10 ft, three screwed braces, 16d at 16 in: an ordinary wall.
ORDINARY = """
    [wall]
    name = "Ordinary wall"
    length = "20 ft"
    height = "10 ft"
    studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
    layers = ["osb 7/16"]
    moisture = "dry"
    [wall.plate]
    fastener = "16d common"
    spacing = "16 in"
    into_framing = true
    state = "final"
    sheathing_laps = "plate"
    sheathing_fastener = "8d common"
    sheathing_spacing = "6 in"
    [floor]
    kind = "deck"
    deck = "osb 23/32"
    room = "24 ft"
    height_above_ground = "3 ft"
    open_below = false
    joists = { kind = "sawn", run = "away", spacing = "16 in", size = "2x10", species = "hem-fir" }
    [kit]
    species = "spruce-pine-fir"
    grade = "No.2"
    ties = 1
    [kit.head]
    joint = "lapped"
    fastener = "structural screw 0.22x3"
    [kit.cleat]
    size = "2x6"
    lie = "edge"
    length = "36 in"
    sides = 2
    brace_fastener = "structural screw 0.22x3"
    floor_fastener = "structural screw 0.22x8"
    [site]
    exposure = "C"
    PEOPLE
"""
BRACE = """
    [[brace]]
    mark = "{mark}"
    stud_at = "{at} in"
    lap_side = "left"
    head = "8 ft"
    set_back = "8 ft"
    size = "2x6"
    ties = 1
    head_fasteners = 6
    cleat_fasteners = 8
    floor_fasteners = 8
"""


def ordinary(folder, people="", name="ordinary.toml"):
    text = ORDINARY.replace("PEOPLE", f'top_load = "{people}"' if people else "")
    text += "".join(BRACE.format(mark=f"B{k}", at=at) for k, at in enumerate((32, 112, 192), start=1))
    path = folder / name
    path.write_text(textwrap.dedent(text))
    return path


# -- a floor nobody has said the height of ------------------------------------------------------------------

HEIGHT = 'height_above_ground = "3 ft"'


def at_height(capsys, folder, line, *words):
    path = ordinary(folder)
    path.write_text(path.read_text().replace(HEIGHT, line))
    return run(capsys, "check", path, *words)


def test_a_floor_of_undeclared_height_counts_as_a_third_storey(capsys, tmp_path):
    """Two storeys of 11 ft 7 in and 3 ft, in whole feet; declared, it gives the same number."""
    undeclared = at_height(capsys, tmp_path, "", "--json").json
    third = at_height(capsys, tmp_path, 'height_above_ground = "26 ft"', "--json").json
    first = at_height(capsys, tmp_path, HEIGHT, "--json").json
    assert undeclared["limit_gust_mph"] == third["limit_gust_mph"] < first["limit_gust_mph"]
    (row,) = [row for row in undeclared["assumed"] if row["field"] == "floor.height_above_ground"]
    assert row["effect_mph"] >= first["limit_gust_mph"] - undeclared["limit_gust_mph"] - 1 > 0
    assert not [row for row in first["assumed"] if row["field"] == "floor.height_above_ground"]


def test_the_page_says_what_the_undeclared_height_costs(capsys, tmp_path):
    page = said(at_height(capsys, tmp_path, "", "--assumed").out)
    assert "third storey" in page


def test_a_meter_over_a_floor_of_undeclared_height_reads_as_at_the_ground(capsys, tmp_path):
    """It reads least there, so people act soonest: 5 ft up, less of the same gust than 8 ft or 31 ft up."""
    part = [
        (told["clear_out_on_meter_mph"] + 1) / told["clear_out_gust_mph"]
        for told in (
            at_height(capsys, tmp_path, line, "--json").json
            for line in ("", 'height_above_ground = "0 ft"', 'height_above_ground = "26 ft"')
        )
    ]
    assert part[0] <= part[2]
    undeclared = at_height(capsys, tmp_path, "", "--json").json
    # (5 / 33)^(1/9.5) of the gust in open country
    assert undeclared["clear_out_on_meter_mph"] == int(
        undeclared["clear_out_gust_mph"] * (5.0 / 33.0) ** (1 / 9.5)
    )


# -- people are out by the clear-out gust ------------------------------------------------------------------


def test_nobody_stands_there_at_the_limit_gust_and_they_do_at_the_clear_out_gust(capsys, tmp_path):
    """Heavier people lower the limit with people and the clear-out gust, never the limit gust."""
    walls = [
        run(capsys, "check", ordinary(tmp_path, people), "--json").json
        for people in ("0 lb/ft", "5 lb/ft", "30 lb/ft")
    ]
    assert len({wall["limit_gust_mph"] for wall in walls}) == 1
    with_people = [wall["limit_gust_with_people_mph"] for wall in walls]
    assert with_people == sorted(with_people, reverse=True)
    assert with_people[0] > with_people[2]
    for wall in walls:
        least = min(17 * wall["limit_gust_mph"] // 20, wall["limit_gust_with_people_mph"])
        assert wall["clear_out_gust_mph"] == least
    assert walls[0]["clear_out_gust_mph"] > walls[2]["clear_out_gust_mph"]


def test_the_limit_gust_is_that_of_the_same_wall_without_people(capsys, tmp_path):
    """What people weigh goes into no link of it: every link is that of the wall with nobody there."""
    some, none = (run(capsys, "check", ordinary(tmp_path, p), "--json").json for p in ("5 lb/ft", "0 lb/ft"))
    assert some["links"] == none["links"]
    assert some["loads"] == none["loads"]


@pytest.mark.parametrize("people", ["5 lb/ft", "30 lb/ft"])
def test_every_command_prints_the_same_two_gusts(capsys, tmp_path, people):
    path = ordinary(tmp_path, people)
    told = run(capsys, "check", path, "--json").json
    two = told["clear_out_gust_mph"], told["limit_gust_mph"]
    stage = run(capsys, "stages", path, "--json").json["stages"][-1]
    assert (stage["clear_out_gust_mph"], stage["limit_gust_mph"]) == two
    assert stage["limit_gust_with_people_mph"] == told["limit_gust_with_people_mph"]
    traced = run(capsys, "trace", path, "--json").json
    assert (traced["clear_out_gust_mph"], traced["limit_gust_mph"]) == two
    assert int(traced["clear_out"][-1]["value"]) == two[0]
    stormy = run(capsys, "storm", path, "--gust", "10", "--json").json
    assert (stormy["clear_out_gust_mph"], stormy["limit_gust_mph"]) == two
    for command in ("check", "trace"):
        page = said(run(capsys, command, path).out)
        assert str(two[0]) in page
    page = run(capsys, "check", path).out
    assert page.index("CLEAR OUT") < page.index("Limit gust")
    governs = told["clear_out_gust_mph"] < 17 * told["limit_gust_mph"] // 20
    assert ("With people on it or beside it" in said(page)) == governs


# -- openings as wide as a garage door ---------------------------------------------------------------------

DOOR = """
    [[wall.opening]]
    left = "6 ft"
    sill = "0 ft"
    width = "{width}"
    height = "7 ft"
    header = "2-2x12"
    header_nails = 12
    header_fastener = "16d common"
    kings = {kings}
    covered = false
"""


def garage(folder, *, width="16 ft", kings=2, at=(0.75, 69.75, 266.25, 335.25), name="garage.toml"):
    """28 ft of wall with a door in it, and a brace at each edge of it and at each end."""
    text = ORDINARY.replace("PEOPLE", "").replace('length = "20 ft"', 'length = "28 ft"')
    text += DOOR.format(width=width, kings=kings)
    text += "".join(BRACE.format(mark=f"B{k}", at=x) for k, x in enumerate(at, start=1))
    path = folder / name
    path.write_text(textwrap.dedent(text))
    return path


def test_a_wall_with_a_brace_at_both_edges_of_a_wide_opening_is_checked(capsys, tmp_path):
    """King to king over a 16 ft door: 192 + 2 x 2.25 in is 16 ft 4-1/2 in."""
    told = run(capsys, "check", garage(tmp_path), "--gust", "15", "--json")
    assert told.json["verdict"] == "within"
    assert told.status in WITHIN
    assert told.json["engineer"] == []
    page = said(run(capsys, "check", garage(tmp_path)).out)
    assert "16'-4 1/2\" between B2 and B3: header carries it" in page
    assert "over 10'-0\" apart" not in page


def test_a_wide_opening_without_a_brace_at_an_edge_is_warned_of(capsys, tmp_path):
    """18 in from an edge at 264 in is 282 in: a stud at 288 in is past it."""
    page = said(run(capsys, "check", garage(tmp_path, at=(0.75, 69.75, 288.0, 335.25))).out)
    assert (
        "an opening 16'-0\" wide takes a brace within 18 in of each edge; at 22'-0\" from LEFT there is none"
        in page
    )
    assert "header carries it" not in page


def test_an_opening_over_18_ft_is_refused_in_one_line(capsys, tmp_path):
    told = run(capsys, "check", garage(tmp_path, width="18 ft 1 in", at=(0.75, 69.75)), "--json")
    assert (told.json["verdict"], told.json["limit_gust_mph"]) == (None, None)
    assert len(told.json["engineer"]) == 1
    asked = run(capsys, "layout", garage(tmp_path, width="18 ft 1 in", at=()), "--gust", "20")
    assert asked.status == 1
    assert "an opening 18'-1\" wide; this tool covers up to" in said(asked.out)


def test_a_second_king_carries_as_much_again(capsys, tmp_path):
    """Plies of a stud bend side by side, each as much as one: twice one at the edge of the door, none elsewhere."""

    def carries(kings):
        links = run(capsys, "check", garage(tmp_path, kings=kings), "--json").json["links"]
        return {
            round(link["x_ft"] * 12.0, 2): link["capacity"]
            for link in links
            if link["link"] == "stud bending" and link["direction"] == "push"
        }

    one, two = carries(1), carries(2)
    # Above the header, where the trimmer has ended, one king stands alone.
    assert two[69.75] >= 2.0 * min(one.values()) - 1e-6
    assert two[69.75] > one[69.75]
    assert two[0.75] == one[0.75]


def test_a_brace_beside_two_kings_stands_clear_of_the_second(capsys, tmp_path):
    """72 in less a trimmer, two kings and half the brace: 72 - 1.5 - 3 - 0.75 = 66.75 in; of one king 68.25.

    On the other side of the door, lapped toward it, no further king is in the way: 266.25 - 1.5 in.
    """
    for kings, foot in ((2, 66.75), (1, 68.25)):
        braces = run(capsys, "check", garage(tmp_path, kings=kings), "--json").json["braces"]
        assert [round(12.0 * brace["foot_x_ft"], 6) for brace in braces[1:3]] == [foot, 264.75]


def test_no_brace_is_drawn_through_a_king(tmp_path):
    """The edges of a brace and the middle line of every king are at least half a king apart."""
    job = read_job(garage(tmp_path))
    items = elevation(job).items
    braces = [item.points for item in items if isinstance(item, Area) and item.layer == "BRACES"]
    kings = (64.5 + 3.75, 72.0 - 2.25, 264.0 + 2.25, 264.0 + 3.75)
    upright = {
        round(item.points[0][0], 6) for item in items if isinstance(item, DrawnLine) and item.layer == "STUDS"
    }
    assert set(kings) <= upright
    for points in braces[:2]:
        low, high = min(x for x, _ in points), max(x for x, _ in points)
        assert all(high <= king - 0.75 + 1e-9 or low >= king + 0.75 - 1e-9 for king in kings)


@pytest.mark.parametrize("kings", [1, 2, 3])
def test_a_layout_looks_for_room_where_the_foot_is_drawn(tmp_path, kings):
    job = read_job(garage(tmp_path, kings=kings))
    for k, brace in enumerate(job.braces):
        place = FootPlace(brace.stud_at, brace.head, brace.set_back, brace.size)
        assert footprint(job, place, lap_side=brace.lap_side, cleat_side="both").x == foot_x(
            job, k, brace.stud_at
        )


def test_joists_are_looked_for_where_the_foot_beside_two_kings_is(capsys, tmp_path):
    """Joists every 16 in from 4.25 in: one at 4.25 + 4 x 16 = 68.25 in.

    The cleats of a foot at 66.75 in lie 1.5 in to either side of it, at 65.25 and 68.25: the second is over the joist.
    Those of a foot at 68.25, beside one king, lie at 66.75 and 69.75: neither is.
    """
    first = 'spacing = "16 in", first = "4.25 in"'
    path = garage(tmp_path, at=(0.75, 69.75))
    text = path.read_text().replace('run = "away", spacing = "16 in"', f'run = "away", {first}')
    path.write_text(text)
    job = read_job(path)
    one_king = evolve(job, wall=evolve(job.wall, openings=(evolve(job.wall.openings[0], kings=1),)))
    assert [cleats_bare(each, each.braces[1]) for each in (job, one_king)] == [1, 2]


def test_undeclared_kings_are_one_and_named_at_a_wide_opening_only(capsys, tmp_path):
    path = garage(tmp_path)
    path.write_text(path.read_text().replace("kings = 2\n", ""))
    rows = run(capsys, "check", path, "--json").json["assumed"]
    assert [row["value"] for row in rows if row["field"] == "wall.opening[0].kings"] == [1]
    path = garage(tmp_path, width="6 ft", at=(0.75, 69.75))
    path.write_text(path.read_text().replace("kings = 2\n", ""))
    rows = run(capsys, "check", path, "--json").json["assumed"]
    assert not [row for row in rows if row["field"].endswith(".kings")]


def test_the_header_of_a_wide_opening_bends_flat_all_plies_summed(capsys, tmp_path):
    """2-2x12 spruce-pine-fir No.2, dry, by hand (NDS Supplement table 4A, Fb 875 psi, CF 1.0, Cfu 1.2; CD 1.6, Cr 1).

    Fb' = 875 x 1.6 x 1.0 x 1.2 = 1680 psi; each ply S = 11.25 x 1.5^2 / 6 = 4.21875 in3; two: M = 14175 lb in.
    """
    links = run(capsys, "check", garage(tmp_path), "--json").json["links"]
    (header,) = [k for k in links if (k["link"], k["direction"]) == ("header bending", "push")]
    assert header["capacity"] == pytest.approx(14175.0, abs=0.5)


def test_a_layout_puts_a_brace_at_both_edges_of_a_wide_opening(capsys, tmp_path):
    told = run(capsys, "layout", garage(tmp_path, at=()), "--gust", "20", "--json")
    assert told.status == 0
    places = [brace["x_ft"] * 12.0 for brace in told.json["braces"]]
    assert any(72.0 - 18.0 <= x <= 72.0 for x in places)
    assert any(264.0 <= x <= 264.0 + 18.0 for x in places)
    assert told.json["verdict"] == "within"
    assert told.json["clear_out_gust_mph"] >= 17  # people may still be about under 0.85 of the gust asked


# -- a file of an older edition ----------------------------------------------------------------------------


def older(capsys, folder, *, edition="edition = 1\n", height="", words=("--json",), people="0 lb/ft"):
    path = ordinary(folder, people)
    path.write_text(edition + path.read_text().replace(HEIGHT, height))
    return run(capsys, "check", path, *words)


def test_a_file_of_an_older_edition_says_once_how_far_its_wall_went_and_why(capsys, tmp_path):
    """Undone, the height counts 3 ft: that wall, checked by itself, has that limit."""
    told = older(capsys, tmp_path).json
    first = older(capsys, tmp_path, height=HEIGHT).json
    went = told["went"]
    assert went["limit_gust_now_mph"] == told["limit_gust_mph"]
    assert went["limit_gust_then_mph"] == first["limit_gust_mph"] > went["limit_gust_now_mph"]
    height = {"field": "floor.height_above_ground", "was": 36.0, "now": 312.0}
    assert went["causes"] == [height | {"limit_gust_else_mph": first["limit_gust_mph"]}]
    page = said(older(capsys, tmp_path, words=()).out)
    line = f"Your wall went from {went['limit_gust_then_mph']} mph to {went['limit_gust_now_mph']} mph: "
    assert page.count(line) == 1
    assert "floor, height above ground undeclared, 36 in then and 26'-0\" now" in page


def test_people_who_counted_at_the_limit_gust_are_a_cause_too(capsys, tmp_path):
    told = older(capsys, tmp_path, height=HEIGHT, people="30 lb/ft").json
    assert [cause["field"] for cause in told["went"]["causes"]] == ["site.top_load"]
    assert told["went"]["limit_gust_then_mph"] == told["limit_gust_with_people_mph"] < told["limit_gust_mph"]


def test_a_file_of_this_edition_is_told_nothing_of_an_older_one(capsys, tmp_path):
    assert older(capsys, tmp_path, edition="edition = 2\n").json["went"] is None
    assert "Your wall went" not in older(capsys, tmp_path, edition="edition = 2\n", words=()).out


def test_only_what_moves_the_wall_is_named(capsys, tmp_path):
    told = older(capsys, tmp_path, height=HEIGHT).json
    fields = [cause["field"] for cause in told["went"]["causes"]] if told["went"] else []
    assert "floor.height_above_ground" not in fields


OLD_WORD = (
    "ties = 1\ninto_joist = true\nhead_fasteners = 6"  # what every file written before says of its feet
)


def of_before(folder):
    """The ordinary wall on a floor of undeclared height, in the words of a file of before."""
    path = ordinary(folder, "0 lb/ft", name="before.toml")
    path.write_text(path.read_text().replace(HEIGHT, "").replace("ties = 1\nhead_fasteners = 6", OLD_WORD))
    assert path.read_text().count("into_joist") == 3
    return path


def test_a_file_that_nothing_shows_to_be_old_is_told_nothing(capsys, tmp_path):
    """Written by hand today, without an edition: it was told on every run how far it went."""
    new = older(capsys, tmp_path, edition="").json
    assert new["went"] is None
    assert "edition" not in older(capsys, tmp_path, edition="", words=()).out
    assert older(capsys, tmp_path).json["went"] is not None


def test_a_file_in_the_words_of_before_is_told_and_check_writes_nothing(capsys, tmp_path):
    path = of_before(tmp_path)
    before = path.read_bytes()
    told = run(capsys, "check", path, "--json").json
    assert told["went"]["edition"] == 1
    assert told["went"]["causes"][0]["field"] == "floor.height_above_ground"
    page = run(capsys, "check", path, "--gust", "12")
    assert said(page.out).count("Your wall went from ") == 1
    assert said(page.out).count("Write edition = 2 at its top") == 1
    assert said(page.out).count("into_joist is read as foot_on") == 1
    assert path.read_bytes() == before
    lines = page.out.splitlines()
    assert len(lines) <= 40
    assert max(len(line) for line in lines if str(tmp_path) not in line) <= 80
    path.write_text("edition = 2\n" + path.read_text())
    now = run(capsys, "check", path, "--json").json
    assert now["went"] is None
    assert now["limit_gust_mph"] == told["limit_gust_mph"]


@pytest.mark.parametrize("command", ["layout", "storm", "built"])
def test_what_is_written_into_an_older_file_records_that_it_was_read(capsys, tmp_path, monkeypatch, command):
    """Braces laid out anew went nowhere; who writes beside those of before says it for the last time."""
    path = of_before(tmp_path)
    limit = run(capsys, "check", path, "--json").json["went"]
    now = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
    if command == "layout":
        ran = run(capsys, "layout", path, "--gust", "20", "--write")
    elif command == "storm":
        hours = ("--from", "Sat 8 am", "--until", "Sat 6 pm")
        ran = run(capsys, "storm", path, "--gust", "24", *hours, "--write", *now)
        assert "Written into the file." in ran.out
    else:
        monkeypatch.setattr("builtins.input", lambda *_: "")  # all as planned
        ran = run(capsys, "built", path, "--by", "lead framer", *now)
    assert ran.status in (0, 1), ran.err
    line = f"Your wall went from {limit['limit_gust_then_mph']} mph to {limit['limit_gust_now_mph']} mph"
    assert said(ran.out).count(line) == (0 if command == "layout" else 1)
    assert path.read_text().count("edition = 2") == 1
    assert path.read_text().index("edition = 2") < path.read_text().index("[wall]")
    assert run(capsys, "check", path, "--json").json["went"] is None


def test_an_edition_that_is_none_is_refused_in_one_line(capsys, tmp_path):
    ran = older(capsys, tmp_path, edition="edition = 7\n", words=())
    assert ran.status == 2
    assert "edition" in ran.err
    assert "Traceback" not in ran.err
