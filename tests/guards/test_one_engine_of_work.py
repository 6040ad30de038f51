"""What can be added to a wall, whether there is room, and what it takes: said alike by every command."""

from __future__ import annotations

import html
import math
import re

import pytest
from attrs import evolve

from bracing.errors import InputError
from bracing.job.minutes import Minutes
from bracing.reading import answers
from bracing.reading.jobs import read_job
from bracing.sources import shipped
from bracing.text.en import WORDS
from bracing.text.quantities import in_words
from bracing.work.parts import fasteners_needed, parts_for
from bracing.work.remedies import CAN, COUNTED, WHOLE, Change, apply, minutes, remedies
from bracing.work.words import work_words
from tests.cli.running import EXAMPLES, ROOT, WITHIN, run
from tests.storm_walls import WALLS

SHORT_CLEAT = """
[wall]
name = "Short cleats"
length = "16 ft"
height = "9 ft"
studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
layers = ["osb 7/16"]
[wall.plate]
fastener = "16d common"
spacing = "16 in"
state = "final"
into_framing = true
sheathing_laps = "plate"
[floor]
kind = "deck"
deck = "osb 23/32"
room = "24 ft"
height_above_ground = "3 ft"
open_below = false
joists = { kind = "sawn", run = "away", spacing = "16 in", size = "2x10", span = "12 ft" }
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = { joint = "lapped", fastener = "structural screw 0.22x3", bored = true }
[kit.cleat]
size = "2x4"
lie = "edge"
bored = true
length = "LENGTH"
brace_fastener = "gun nail 0.131x3-1/4"
floor_fastener = "structural screw 0.22x6"
"""
BRACE = """
[[brace]]
mark = "B{mark}"
stud_at = "{at} in"
head = "7 ft"
set_back = "7 ft"
size = "2x6"
head_fasteners = 3
cleat_fasteners = 3
floor_fasteners = 3
foot_on = "joist"
ties = {ties}
"""


@pytest.fixture
def wall(tmp_path):
    """Writes a wall of three braces whose cleats are so long."""

    def write(length="36 in", ties=0):
        path = tmp_path / "wall.toml"
        braces = "".join(BRACE.format(mark=k + 1, at=at, ties=ties) for k, at in enumerate((32, 96, 160)))
        path.write_text(SHORT_CLEAT.replace("LENGTH", length) + braces)
        return path

    return write


def floor_after_storm(capsys, path, gust):
    """Give the floor fasteners of the file it has written its work into."""
    run(capsys, "storm", path, "--gust", gust, "--write")
    return [int(n) for n in re.findall(r"floor_fasteners = (\d+)", path.read_text())]


@pytest.mark.parametrize(("length", "fit"), [("18 in", 4), ("24 in", 6)])
def test_a_storm_asks_for_no_more_fasteners_than_have_room(capsys, wall, length, fit):
    """0.22 in screws keep 15 D = 3.3 in from the ends and apart: 11.4 in between are 3 spaces, 17.4 in are 5."""
    path = wall(length)
    assert "have room" not in run(capsys, "check", path, "--gust", 38).out
    counts = floor_after_storm(capsys, path, 38)
    cleats = 2 if re.search(r"sides = 2", path.read_text()) else 1
    assert 3 < max(counts) <= cleats * fit
    assert "have room" not in " ".join(run(capsys, "check", path, "--gust", 38).out.split())


# -- parts ------------------------------------------------------------------------------------------------


def test_a_tie_row_is_the_same_sticks_and_fasteners_in_both_lists(capsys, wall):
    """By hand, from where braces stand: a row a foot past both ends, two diagonals of 3/4 of a brace, 2x4."""
    laid = run(capsys, "layout", EXAMPLES / "long-wall.toml", "--gust", 40, "--budget", 1, "--json").json
    bought = {item["what"]: item["count"] for item in laid["buy"]}
    run_of = [brace["x_ft"] * 12.0 for brace in laid["braces"]]
    # so far between end braces and a foot past each, lapped two feet: four lengths of 168 to 192 in; 3/4 of 141.6 in is
    # 106.2 in
    assert 576.0 < max(run_of) - min(run_of) <= 672.0
    assert bought["2x4 x 16 ft"] == 4
    assert bought["2x4 x 10 ft"] == 2
    assert not any("tie row" in what for what in bought)
    # 4 at each of 7 heads, 4 to its cleats: 56, and a tenth, in fives; 2 nails where the row crosses each, 3 at each
    # end of two diagonals: 26; 3 at both ends of 3 blocks under each of 7 feet: 126; in 60 ft of plate one every 8 in
    # instead of 16: 45; and a tenth
    assert {(brace["head_fasteners"], brace["cleat_fasteners"]) for brace in laid["braces"]} == {(4, 4)}
    assert any("every 8 in instead of 16 in" in line for line in laid["needed_too"])
    assert bought["structural screw 0.22x3"] == 65
    assert bought["block 2x10 x 1'-2 1/2\""] == 21
    assert bought["16d common"] == 220
    rungs = run(capsys, "storm", wall(), "--gust", 34, "--json").json["ladder"]["rungs"]
    (truck,) = [rung["truck"] for rung in rungs if "tie" in rung["kind"]]
    row = {what: count for what, count in truck.items() if what.startswith(("2x4", "gun nail"))}
    # 128 in between end braces and a foot past each; 3/4 of 118.8 in is 89.1 in; nothing is declared of its
    # fasteners: one a brace, one at each end of a diagonal
    assert row == {"2x4 x 14 ft": 1, "2x4 x 8 ft": 2, "gun nail 0.131x3": 3 + 2 * 2}


def test_a_t_takes_the_same_fasteners_in_both_lists(wall):
    """As the chain reckons it: one row of the head's fastener, 8 in apart."""
    job = read_job(wall())
    brace = job.braces[0]
    with_t = evolve(job, braces=(evolve(brace, stiffener="T"), *job.braces[1:]))
    added = fasteners_needed(with_t) - fasteners_needed(job)
    assert added == {"structural screw 0.22x3": math.ceil(brace.length / 8.0) + 1}
    change = Change("stiffener", "brace[0].stiffener", "none", "T", "B1")
    assert in_words(parts_for(job, [change], ())) == {**added, "2x6 x 10 ft": 1}


def test_a_strap_is_asked_for_by_one_name_in_steps_of_25_lb(capsys, wall):
    laid = run(capsys, "layout", EXAMPLES / "short-wall.toml", "--gust", 40, "--json").json
    assert "strap, top plate to stud, allowable 600 lb" in {item["what"] for item in laid["buy"]}
    truck = run(capsys, "storm", wall(), "--gust", 38, "--json").json["ladder"]["truck"]
    (strap,) = [
        re.fullmatch("strap, top plate to stud, allowable ([0-9]+) lb", what)
        for what in truck
        if "strap" in what
    ]
    asked = int(strap[1])
    assert asked % 25 == 0
    assert asked % 50 != 0


# -- one table ----------------------------------------------------------------------------------------------

HEAVIER = {
    "kind": "heavier sheathing nails",
    "mends": ["sheathing to plate", "stud to sheathing", "sheathing off the studs"],
    "path": "wall.plate.sheathing_fastener",
    "steps": ["10d common"],
    "new": "any",
    "standing": "any",
    "counted": "sheathing field",
    "minutes": 0.3,
    "fastener": "after",
}
HEAVIER_WORDS = {
    "short-heavier-sheathing-nails": "heavier nails",
    "remedy-heavier-sheathing-nails": "{after} beside every sheathing nail, then counted alone",
}


@pytest.fixture
def heavier(monkeypatch):
    """The table with one row more, and its words."""
    rows = shipped("remedies")
    monkeypatch.setitem(rows, "remedy", [HEAVIER, *rows["remedy"]])
    for name, words in HEAVIER_WORDS.items():
        monkeypatch.setitem(WORDS, name, words)
    remedies.cache_clear()
    yield
    monkeypatch.undo()
    remedies.cache_clear()


def loosely_sheathed(path):
    """The file, its sheathing on few small nails, and nothing else of it changed."""
    nails = 'sheathing_fastener = "6d box"\nsheathing_spacing = "12 in"\nsheathing_field_spacing = "12 in"\n'
    path.write_text(path.read_text().replace("[wall.plate]\n", f"[wall.plate]\n{nails}"))
    return path


def test_one_row_more_is_proposed_said_and_bought_by_layout_and_storm(capsys, heavier, wall):
    path = loosely_sheathed(wall())
    laid = run(capsys, "layout", path, "--gust", 20, "--budget", "0.2", "--json").json
    assert "10d common beside every sheathing nail, then counted alone" in laid["needed_too"]
    bought = {item["what"]: item["count"] for item in laid["buy"]}
    rungs = run(capsys, "storm", path, "--gust", 34, "--json").json["ladder"]["rungs"]
    (row,) = [rung for rung in rungs if HEAVIER["kind"] in rung["kind"]]
    assert "10d common beside every sheathing nail, then counted alone" in row["what"]
    # by hand: 108 in of stud on 192 / 16 + 1 lines, a nail every 12 in, begun ones too
    needed = math.ceil(108.0 * 13 / 12.0)
    assert row["truck"]["10d common"] == needed
    assert bought["10d common"] == math.ceil(needed * 1.1 / 5.0) * 5
    said = run(capsys, "storm", path, "--gust", 34).out
    assert "10d common beside every sheathing nail" in " ".join(said.split())
    assert run(capsys, "storm", path, "--gust", 34, "--write").status in (0, 1)
    assert 'sheathing_fastener = "10d common"' in path.read_text()


def test_without_that_row_neither_proposes_it(capsys, wall):
    path = loosely_sheathed(wall())
    for words in (("layout", path, "--gust", 30, "--budget", "0.2"), ("storm", path, "--gust", 34)):
        assert "10d common" not in run(capsys, *words).out


def test_every_row_of_the_table_can_be_read():
    """Its links are links of the chain, its conditions and counts are ones the engine knows."""
    chain = "".join(path.read_text() for path in (ROOT / "bracing" / "chain").glob("*.py"))
    named = "|".join(
        re.sub("{[a-z_.]+}", "[a-z]+", name) for name in re.findall('"([a-z {}_.]+)"', chain) if len(name) > 3
    )
    for row in remedies().values():
        assert all(re.fullmatch(named, name) for name in row.mends), row.kind
        assert {row.new, row.standing} - {""} <= set(CAN), row.kind
        assert row.new or row.standing, row.kind
        assert row.counted in COUNTED, row.kind
        assert Minutes().of(row.minutes) > 0.0, row.kind
    assert set(WHOLE) <= {name for row in remedies().values() for name in row.mends}


# -- one way to say it --------------------------------------------------------------------------------------


def test_a_tie_row_and_a_strap_are_said_alike_by_layout_and_storm(capsys, wall):
    laid = [
        words
        for path, gust in ((wall(), 50), (EXAMPLES / "long-wall.toml", 40))
        for words in run(capsys, "layout", path, "--gust", gust, "--budget", "0.2", "--json").json[
            "needed_too"
        ]
    ]
    rungs = run(capsys, "storm", wall(), "--gust", 38, "--json").json["ladder"]["rungs"]
    done = [re.sub("[0-9]+ lb", "N lb", words) for rung in rungs for words in rung["what"]]
    said = [re.sub("[0-9]+ lb", "N lb", words) for words in laid]
    for words in (
        "1 tie row fastened at every brace and run to a diagonal at both ends",
        "a strap or screws from top plate to each braced stud, allowable N lb",
    ):
        assert words in done
        assert words in said


def test_a_brace_is_said_alike_by_storm_and_on_the_sheet(capsys, tmp_path):
    """The braces a storm adds, written into the file, stand on the sheet in the same words."""
    path = tmp_path / "two.toml"
    path.write_text(WALLS["two"])
    rungs = run(capsys, "storm", path, "--gust", 55, "--json", "--write").json["ladder"]["rungs"]
    added = [
        words.partition(": ")[2] for rung in rungs for words in rung["what"] if words.startswith("add B")
    ]
    assert added
    page = tmp_path / "two.html"
    run(capsys, "sheet", path, "--gust", 30, "-o", page)
    shown = " ".join(html.unescape(page.read_text()).split())
    for words in added:
        place, _, joints = words.partition("; ")
        assert place in shown, words
        assert joints.partition(" at the head")[0] in shown


@pytest.mark.parametrize(("name", "gust"), [("short", 38), ("habit", 25), ("two", 35)])
def test_what_a_storm_writes_is_accepted_by_check_without_a_word(capsys, tmp_path, name, gust):
    path = tmp_path / f"{name}.toml"
    path.write_text(WALLS[name])
    before = run(capsys, "check", path, "--gust", gust, "--json").json
    ran = run(capsys, "storm", path, "--gust", gust, "--write")
    assert "written" in ran.out.lower() or ran.status in (0, 1)
    then = run(capsys, "check", path, "--gust", gust, "--json")
    assert (before["verdict"], then.json["verdict"]) == ("over", "within")
    assert then.status in WITHIN
    had, has = (
        {re.sub("[0-9]+", "N", re.sub("^(B[0-9]+(, )?)+: ", "", words)) for words in ran["warnings"]}
        for ran in (before, then.json)
    )
    assert has <= had


@pytest.mark.parametrize(("floor", "name"), [("ground", "stake or weight"), ("slab", "anchor in the slab")])
def test_a_foot_on_the_ground_or_a_slab_is_fastened_alike_on_the_sheet_and_in_the_list(
    capsys, tmp_path, floor, name
):
    """No cleat's nail goes into either; the sheet named one for a foot on the ground."""
    start, end = (SHORT_CLEAT.index(part) for part in ("[floor]", "[kit]"))
    text = f'{SHORT_CLEAT[:start]}[floor]\nkind = "{floor}"\nroom = "24 ft"\n{SHORT_CLEAT[end:]}'
    path, page = tmp_path / "wall.toml", tmp_path / "wall.html"
    braces = (BRACE.format(mark=k + 1, at=at, ties=0) for k, at in enumerate((32, 96, 160)))
    path.write_text((text.replace("LENGTH", "36 in") + "".join(braces)).replace('foot_on = "joist"\n', ""))
    run(capsys, "sheet", path, "--gust", 30, "-o", page)
    shown = html.unescape(page.read_text())
    row = re.search(f"Cleat to floor, {floor}(.*?)</tr>", shown, re.S)
    assert row
    assert name in row[1]
    job = read_job(path)
    assert fasteners_needed(job)[name] == 9
    assert job.kit.cleat.floor_fastener not in fasteners_needed(job)


def test_a_storm_asks_for_no_more_in_the_floor_than_a_brace_may_have(capsys, tmp_path):
    """Doubled for a second cleat, 33 fasteners were more than the 60 a brace takes, and the storm ended in a fault."""
    path = tmp_path / "habit.toml"
    path.write_text(WALLS["habit"])
    ran = run(capsys, "storm", path, "--gust", 46, "--json")
    assert ran.status == 1, ran.err
    assert ran.json["ladder"]["rungs"] or ran.json["ladder"]["why_not"]


def test_a_storm_leaves_a_declared_fastener_as_it_is(capsys, wall):
    """A layout keeps to what was declared through the plate beside a brace; a storm put screws in its place."""
    path = wall()
    extra = '[wall.plate.extra]\nfastener = "structural screw 0.22x8"\n[floor]\n'
    path.write_text(path.read_text().replace("[floor]\n", extra, 1))
    rungs = run(capsys, "storm", path, "--gust", 34, "--json").json["ladder"]["rungs"]
    (screws,) = [words for rung in rungs for words in rung["what"] if "through the bottom plate" in words]
    assert re.match("[0-9]+ structural screws 0.22x8 through", screws)


def test_a_slab_takes_anchors_along_the_plate_and_beside_braces(capsys, tmp_path):
    """A layout on a slab asked for gun nails every 24 in, and bought them, where the chain counted anchors."""
    path = tmp_path / "slab.toml"
    text = (EXAMPLES / "slab-wall.toml").read_text().replace('spacing = "32 in" ', 'spacing = "72 in" ')
    path.write_text(text.replace('shear_lb = "900 lb"', 'shear_lb = "450 lb"'))
    found = run(capsys, "layout", path, "--gust", 52, "--json").json
    (plate,) = [line for line in found["needed_too"] if line.startswith("bottom plate: ")]
    assert re.match(r"bottom plate: anchor in the slab every \d+ in instead of 6'-0\"", plate)
    bought = {item["what"]: item["count"] for item in found["buy"]}
    assert not any("gun nail" in what for what in bought)
    assert bought["anchor in the slab"] > 0


def test_two_tie_rows_take_twice_the_minutes_of_one(wall):
    """10 a brace and 30 a row: 60 for a row on three braces, 120 for two; two were 90, and "start by" too late."""
    job = read_job(wall())
    for rows, expected in ((1, 60.0), (2, 120.0)):
        changes = [
            Change("tie", f"brace[{k}].ties", 0, rows, brace.mark) for k, brace in enumerate(job.braces)
        ]
        assert sum(minutes(job, change) for change in changes) == pytest.approx(expected, rel=1e-12)


def test_the_list_for_the_truck_has_the_blocks_a_second_cleat_stands_on(wall):
    """Along joists one of two cleats lies over none: two fasteners a block, ten of a brace in two cleats are three."""
    job = read_job(wall())
    after = evolve(
        job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, sides=2)),
        braces=tuple(evolve(brace, floor_fasteners=10) for brace in job.braces),
    )  # fmt: skip
    changes = [
        Change("second cleat", "kit.cleat.sides", 1, 2),
        *(Change("second cleat", f"brace[{k}].floor_fasteners", 3, 10, f"B{k + 1}") for k in range(3)),
    ]
    assert in_words(parts_for(after, changes, ()))["block 2x10 x 1'-2 1/2\""] == 9
    added = evolve(after.braces[0], mark="B4", stud_at=128.0)
    with_one_more = evolve(after, braces=(*after.braces, added))
    assert in_words(parts_for(with_one_more, (), [added]))["block 2x10 x 1'-2 1/2\""] == 3


def test_a_second_cleat_says_how_many_fasteners_there_are_then(wall):
    """Said "like the first", a crew that had added to the first read half of what the numbers stand on."""
    job = read_job(wall())
    changes = (
        Change("second cleat", "kit.cleat.sides", 1, 2),
        Change("second cleat", "brace[0].cleat_fasteners", 3, 6, "B1"),
        Change("second cleat", "brace[0].floor_fasteners", 6, 18, "B1"),
    )
    (words,) = in_words(work_words(job, changes))
    assert "B1 3 to 6" in words
    assert "B1 6 to 18" in words


def test_nothing_is_spaced_closer_along_a_plate_that_is_only_tacked(wall):
    """What is along a tacked plate counts for nothing: nails every 3 in were asked for before the strap that helps."""
    job = read_job(wall())
    tacked = evolve(job, wall=evolve(job.wall, plate=evolve(job.wall.plate, state="tacked")))
    row = remedies()["plate nails"]
    assert CAN[row.new](job, row, None)
    assert not CAN[row.new](tacked, row, None)


def test_a_count_in_raised_figures_is_refused_not_a_fault():
    """A raised two is a digit to Python and no number: the questions ended there and every answer was lost."""
    with pytest.raises(InputError):
        answers.corner("² 16d common")
    with pytest.raises(InputError):
        answers._READERS["count",]("²", ("kit.ties",))


# -- what two changes of one row of fasteners take ------------------------------------------------------------


def taken(job, *changes):
    """What changes take, made one after another."""
    return in_words(parts_for(apply(job, changes), changes, ()))


def test_nails_of_a_row_that_is_made_heavier_and_closer_at_once_are_counted_once(heavier, wall):
    """By hand: 108 in of stud on 192 / 16 + 1 lines, one every 6 in, are 234; half of them were counted twice."""
    job = read_job(loosely_sheathed(wall()))
    field = "wall.plate.sheathing_field_spacing"
    other = Change(HEAVIER["kind"], "wall.plate.sheathing_fastener", "6d box", "10d common")
    closer = Change("sheathing on studs", field, 12.0, 6.0)
    assert taken(job, other, closer) == {"10d common": 234}
    assert taken(job, closer) == {"6d box": 117}


def test_nails_of_a_plate_nailed_off_closer_are_counted_once(wall):
    """By hand: 192 in at 8 in are 24 nails, none of a tacked plate's counting: 12 of them were counted twice."""
    path = wall()
    path.write_text(path.read_text().replace('state = "final"', 'state = "tacked"'))
    off = Change("plate state", "wall.plate.state", "tacked", "final")
    closer = Change("plate nails", "wall.plate.spacing", 16.0, 8.0)
    assert taken(read_job(path), off, closer) == {"16d common": 24}
    assert taken(read_job(path), closer) == {"16d common": 12}


def test_screws_in_place_of_nails_and_more_of_them_are_counted_once(wall):
    """By hand: three braces of so many at the head, one more at the first: the one more was counted twice."""
    job = read_job(wall())
    head = job.kit.head.fastener
    there = sum(brace.head_fasteners for brace in job.braces)
    nailed = evolve(job, kit=evolve(job.kit, head=evolve(job.kit.head, fastener="16d common")))
    other = Change("head screws", "kit.head.fastener", "16d common", head)
    count = job.braces[0].head_fasteners
    more = Change("head", "brace[0].head_fasteners", count, count + 1, job.braces[0].mark)
    assert taken(nailed, other, more) == {head: there + 1}


def test_more_nails_at_the_ties_of_a_row_that_goes_on_with_them_are_counted_once(wall):
    """By hand: at every brace 2 and 1 at both ends of two diagonals; the second at every brace was counted twice."""
    job = read_job(wall())
    plain = evolve(job, braces=tuple(evolve(brace, ties=0) for brace in job.braces))
    row = tuple(Change("tie", f"brace[{k}].ties", 0, 1, brace.mark) for k, brace in enumerate(job.braces))
    more = Change("tie nails", "kit.tie.at_each_brace", 1, 2)
    nails = 2 * len(job.braces) + job.kit.tie.diagonal_fasteners * 2 * 2
    assert taken(plain, *row, more)[job.kit.tie.fastener] == nails


def test_a_layout_whose_strap_carries_the_lift_past_the_plate_buys_no_anchors_the_strap_makes_idle(capsys):
    """By hand: those of each foot and the 2 declared in the plate beside it; 24 beside each were bought, 104 in all."""
    laid = run(capsys, "layout", EXAMPLES / "slab-wall.toml", "--gust", 45, "--json").json
    assert any("strap from stud to floor framing" in said for said in laid["needed_too"])
    assert not any("anchors in the slab through the bottom plate" in said for said in laid["needed_too"])
    bought = {item["what"]: item["count"] for item in laid["buy"]}
    assert bought["anchor in the slab"] == sum(2 + brace["floor_fasteners"] for brace in laid["braces"])
    assert laid["verdict"] == "within"
