"""Feet where no joist lies under the cleats: on blocks or cross cleats, each proposed, counted and written down."""

from __future__ import annotations

import pytest

from tests.cli.running import WITHIN, run, said

WALL = """
[wall]
name = "Small wall"
length = "10 ft"
height = "8 ft"
studs = {{ size = "2x6", spacing = "24 in", species = "hem-fir", grade = "No.2" }}
layers = ["osb 7/16"]
moisture = "dry"
left_end = "free"
right_end = "free"

[floor]
height_above_ground = "2 ft"
room = "24 ft"
{joists}

[kit]
stock = [{{ size = "2x6", length = "12 ft" }}]
species = "hem-fir"
grade = "No.2"
ties = 1
head = {{ joint = "lapped", fastener = "structural screw 0.22x3", bored = true }}
{cleat}
"""
CLEAT = (
    'cleat = {{ size = "2x6", lie = "{lie}", bored = true, length = "{length} in", sides = {sides}, '
    'brace_fastener = "structural screw 0.22x3", floor_fastener = "structural screw 0.22x{long}" }}'
)
ONE_EDGE, TWO_EDGE, TWO_FLAT = ("edge", 36, 1, 8), ("edge", 36, 2, 8), ("flat", 24, 2, 5)


def wall(path, joists, cleat=None, braces=""):
    lie = (
        ""
        if cleat is None
        else CLEAT.format(**dict(zip(("lie", "length", "sides", "long"), cleat, strict=True)))
    )
    path.write_text(WALL.format(joists=joists, cleat=lie) + braces, encoding="utf-8")
    return path


def joists(run="away", spacing="16 in", first="0 in", kind="sawn"):
    return (
        f'joists = {{ kind = "{kind}", run = "{run}", spacing = "{spacing}", first = "{first}", size = "2x10", '
        'species = "hem-fir", grade = "No.2", span = "12 ft" }'
    )


# How the joists lie, what was declared of the cleats, and what every foot may be on.
OFF = {
    "between two, one cleat": (joists(spacing="24 in", first="12 in"), ONE_EDGE, {"block", "cross cleat"}),
    "between two, two cleats": (joists(spacing="24 in", first="12 in"), TWO_EDGE, {"block", "cross cleat"}),
    "12 in, two flat cleats": (joists(spacing="12 in", first="6 in"), TWO_FLAT, {"block", "cross cleat"}),
    "19.2 in, nothing declared": (joists(spacing="19.2 in", first="7 in"), None, {"joist", "block", "cross cleat"}),
    "I-joists": (joists(spacing="24 in", first="12 in", kind="i-joist"), ONE_EDGE, {"cross cleat"}),
    "trusses, nothing declared": (joists(spacing="24 in", first="12 in", kind="truss"), None, {"joist", "cross cleat"}),
    "along, 24 in, short cleats": (joists("along", spacing="24 in", first="9 in"), TWO_FLAT, {"joist", "block"}),
}  # fmt: skip


@pytest.mark.parametrize("name", OFF)
def test_a_foot_off_the_joists_has_a_plan_that_lays_out_and_checks_within(capsys, tmp_path, name):
    """Each but where nothing was declared was refused: no joist under the cleat, or one where it needs two."""
    lie, cleat, may_be = OFF[name]
    path = wall(tmp_path / "wall.toml", lie, cleat)
    laid = run(capsys, "layout", path, "--gust", 20, "--budget", "0.2", "--json", "--write")
    assert laid.status in WITHIN, laid.out
    feet = {brace["foot_on"] for brace in laid.json["braces"]}
    assert feet <= may_be
    assert feet - {"joist"} or name == "trusses, nothing declared"
    checked = run(capsys, "check", path, "--gust", 20, "--json")
    assert checked.status in WITHIN
    assert checked.json["limit_gust_mph"] >= 20.0
    assert all(f'foot_on = "{kind}"' in path.read_text() for kind in feet)
    links = {link["link"] for link in checked.json["links"]}
    assert ("block ends" in links) is ("block" in feet)
    assert ("cross cleat to joists" in links) is ("cross cleat" in feet)


def test_cross_cleats_are_asked_for_bought_and_worked(capsys, tmp_path):
    """Of two walls alike but for where the joists lie, cross cleats cost lumber, screws and minutes."""
    plans = {}
    for first in ("0 in", "12 in"):  # under the cleat beside a stud, and half-way between two studs
        path = wall(tmp_path / "wall.toml", joists(spacing="24 in", first=first, kind="truss"), ONE_EDGE)
        plans[first] = run(capsys, "layout", path, "--gust", 20, "--budget", "0.2", "--json").json
    over, off = plans.values()
    assert {brace["foot_on"] for brace in over["braces"]} == {"joist"}
    (line,) = [words for words in off["needed_too"] if "across two joists" in words]
    assert line.startswith("at each foot two flat 2x6 cleats across two joists")
    assert "2 structural screws 0.22x5 through each into each joist" in line
    pieces = [piece for stick in off["cutting"] for piece in stick["pieces"]]
    crossed = [piece for piece in pieces if piece["what"].startswith("cross cleat of")]
    assert len(crossed) == 2 * len(off["braces"])
    # over two trusses at 24 in, and 15 D of a 0.22 screw, 3.3 in, past each: up to the whole inch
    assert {piece["length_in"] for piece in crossed} == {31.0}
    screws = {str(item["what"]): item["count"] for item in off["buy"]}["structural screw 0.22x5"]
    assert screws >= 8 * len(off["braces"]) * 1.1
    if len(off["braces"]) == len(over["braces"]):
        assert off["work_minutes"] > over["work_minutes"]


BRACE = """
[[brace]]
mark = "B{k}"
stud_at = "{at} in"
lap_side = "left"
head = "72 in"
set_back = "72 in"
size = "2x6"
ties = 1
head_fasteners = 4
cleat_fasteners = {cleat}
floor_fasteners = {floor}
foot_on = "{on}"
"""


def checked(capsys, path, lie, kit, **brace):
    given = {"cleat": 4, "floor": 4, "on": "joist"} | brace
    braces = "".join(BRACE.format(k=k, at=at, **given) for k, at in ((1, 24), (2, 96)))
    wall(path, lie, kit, braces)
    return run(capsys, "check", path, "--gust", 20, "--json").json


ALONG = joists("along")


@pytest.mark.parametrize("name", ["cleat", "floor"])
def test_an_odd_count_in_two_cleats_is_counted_for_the_lesser_cleat(capsys, tmp_path, name):
    """Each cleat takes half of the foot: five in two are two and three, and the two give first, as four do."""
    path = tmp_path / "wall.toml"
    few, odd, more = (checked(capsys, path, ALONG, TWO_EDGE, **{name: n}) for n in (2, 3, 4))
    kind = {"cleat": "brace to cleat", "floor": "cleat to floor"}[name]
    held = [
        [link["limit_gust_mph"] for link in each["links"] if link["link"] == kind]
        for each in (few, odd, more)
    ]
    assert held[0] == pytest.approx(held[1], rel=1e-6)
    assert max(held[1]) < max(held[2])
    assert odd["braces"][0][f"{name}_counted"] | {"part": 1.0, "have_room": 0} == {
        "there": 3, "have_room": 0, "counted": 2, "part": 1.0,
    }  # fmt: skip
    checked(capsys, path, ALONG, TWO_EDGE, **{name: 3})
    assert "cannot be shared evenly, 2 counted" in said(run(capsys, "check", path, "--gust", 20, "--all").out)


def test_one_cleat_counts_every_fastener(capsys, tmp_path):
    odd = checked(capsys, tmp_path / "wall.toml", ALONG, ONE_EDGE, floor=3)
    assert odd["braces"][0]["floor_counted"]["counted"] in (2, 3)  # what has room, which says so
    found = odd["braces"][0]["floor_counted"]
    assert found["counted"] == min(found["there"], found["have_room"])


@pytest.mark.parametrize("gust", [20, 25, 30])
def test_a_layout_puts_as_many_into_either_cleat(capsys, tmp_path, gust):
    path = wall(tmp_path / "wall.toml", ALONG, TWO_EDGE)
    for brace in run(capsys, "layout", path, "--gust", gust, "--budget", "0.2", "--json").json["braces"]:
        assert brace["cleat_fasteners"] % 2 == 0
        assert brace["floor_fasteners"] % 2 == 0


@pytest.mark.parametrize("kind", ["i-joist", "truss"])
def test_a_cleat_over_no_joist_of_a_kind_nothing_is_known_of_has_the_panel_alone(capsys, tmp_path, kind):
    """Blocks between I-joists or trusses are nobody's known value: half the foot hangs on the deck panel."""
    path = tmp_path / "wall.toml"
    lie = joists(spacing="24 in", first="0 in", kind=kind)
    on_joist = checked(capsys, path, lie, TWO_EDGE)
    assert "nothing is known of blocks between joists of this kind" in said(
        run(capsys, "check", path, "--gust", 20, "--all").out
    )
    on_panel = checked(capsys, path, lie, TWO_EDGE, on="deck")
    sawn = checked(capsys, path, joists(spacing="24 in"), TWO_EDGE, on="block")
    foot = ("cleat to floor", "panel to joists", "block ends")
    limits = [
        min(link["limit_gust_mph"] for link in each["links"] if link["link"] in foot)
        for each in (on_joist, on_panel, sawn)
    ]
    assert limits[0] == pytest.approx(limits[1], rel=1e-6)
    assert limits[2] > limits[0]


def test_an_unknown_joist_run_is_asked_for_first_and_takes_no_more_than_counts(capsys, tmp_path):
    path = wall(tmp_path / "wall.toml", "")
    laid = run(capsys, "layout", path, "--gust", 20, "--budget", "0.2", "--json").json
    assert laid["needed_too"][0].startswith("declare the joist run first")
    known = wall(tmp_path / "wall.toml", joists())
    assert not any(
        "joist run" in words
        for words in run(capsys, "layout", known, "--gust", 20, "--json").json["needed_too"]
    )


def test_a_block_between_two_joists_runs_under_both_cleats(capsys, tmp_path):
    """Half-way between joists 24 in apart: one block a pair of screws, where apart it would be two."""
    path = tmp_path / "wall.toml"
    half_way = checked(capsys, path, joists(spacing="24 in", first="12 in") + BLOCKS, TWO_EDGE, on="block")
    apart = checked(capsys, path, joists(spacing="24 in", first="22.5 in") + BLOCKS, TWO_EDGE, on="block")
    loads = [
        max(link["demand"] / each["gust_mph"] ** 2 for link in each["links"] if link["link"] == "block ends")
        for each in (half_way, apart)
    ]
    # both cleats of a foot on them, and one
    assert loads[0] == pytest.approx(2.0 * loads[1], rel=0.02)


BLOCKS = '\n[floor.blocks]\nunder_each_cleat = 2\nfastener = "16d common"\neach_end = 3\n'
