"""The bottom plate under a brace's lift: nothing at zero that stands, nothing counted that is not there.

Each guard is of the command line, on walls of the trade.
"""

from __future__ import annotations

import pytest

from tests.cli.running import run, said

TOGETHER, GRAIN = "plate shear and uplift", "plate across the grain"


def ordinary(
    *, studs=("4 ft", "9 ft 4 in", "16 ft"), plate="", wall="", more="", spacing="16 in", laps="plate"
) -> str:
    """A 20 x 10 ft wall of 2x6 under screwed braces at 45 degrees, its plate nailed with 16d common nails, green."""
    braces = "".join(
        f"""
[[brace]]
mark = "B{k}"
stud_at = "{at}"
head = "8 ft"
set_back = "8 ft"
size = "2x6"
ties = 1
head_fasteners = 5
cleat_fasteners = 6
floor_fasteners = 8
foot_on = "joist"
"""
        for k, at in enumerate(studs, start=1)
    )
    return f"""
[wall]
name = "Ordinary"
length = "20 ft"
height = "10 ft"
studs = {{ size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }}
layers = ["osb 7/16"]
{wall}
[wall.plate]
fastener = "16d common"
spacing = "{spacing}"
state = "final"
sheathing_laps = "{laps}"
sheathing_fastener = "8d common"
sheathing_spacing = "6 in"
sheathing_field_spacing = "6 in"
{plate}
[wall.top_plate]
end_nails = 3
end_nail = "16d common"
[site]
top_load = "0 lb/ft"
[floor]
height_above_ground = "3 ft"
joists = {{ size = "2x10", species = "spruce-pine-fir", grade = "No.2", span = "12 ft" }}
[kit]
species = "spruce-pine-fir"
grade = "No.2"
[kit.head]
joint = "lapped"
fastener = "structural screw 0.22x3"
[kit.cleat]
size = "2x6"
length = "36 in"
sides = 2
lie = "edge"
bored = true
brace_fastener = "structural screw 0.22x3"
floor_fastener = "structural screw 0.22x8"
{braces}
{more}
"""


@pytest.fixture
def ran(capsys, tmp_path):
    """Run a command on a wall."""

    def command(text, *words, name="check"):
        path = tmp_path / "wall.toml"
        path.write_text(text, encoding="utf-8")
        return run(capsys, name, path, *words)

    return command


@pytest.fixture
def checked(ran):
    def check(text, *words):
        return ran(text, "--json", *words).json

    return check


def worst(answer, link, key="ratio"):
    values = [row[key] for row in answer["links"] if row["link"] == link and row["direction"] == "push"]
    return None if None in values else max(values, default=None)


def first_at(answer, link):
    """Least gust of a link [mph]."""
    return min(row["limit_gust_mph"] or 400.0 for row in answer["links"] if row["link"] == link)


# -- nothing at zero that stands -------------------------------------------------------------------------


def test_an_ordinary_wall_stands_in_calm_air(checked, ran):
    """Three screwed braces and 16d nails at 16 in: 0 mph and "clear out now" without its weight on the plate."""
    answer = checked(ordinary())
    assert 17 <= answer["limit_gust_mph"] <= 23
    assert answer["gives_first"]["link"] == TOGETHER
    assert answer["limit_gust_without_weight_mph"] < answer["limit_gust_mph"]
    less = answer["limit_gust_without_weight_mph"]
    assert f"counts 0.6 of the wall's weight against lift of the plate; without it {less} mph" in said(
        ran(ordinary()).out
    )


@pytest.mark.parametrize("at", ["5 ft 4 in", "6 ft 8 in", "10 ft 8 in", "12 ft"])
def test_a_brace_more_takes_no_fasteners_from_another(checked, at):
    """With plates cut half-way to the next brace one more cost 28.5 to 19.3 mph."""
    before = checked(ordinary())["limit_gust_mph"]
    after = checked(ordinary(studs=("4 ft", "9 ft 4 in", "16 ft", at)))["limit_gust_mph"]
    assert after >= before - 1


@pytest.mark.parametrize("at", ["5 ft 9-3/4 in", "9 ft 2-1/4 in", "9 ft 4 in"])
def test_a_brace_worth_nothing_beside_a_door_costs_nothing(checked, at):
    """On a door's king it cut the plate of its neighbours to nothing: 40.3 to 0 mph."""
    door = """
[[wall.opening]]
left = "6 ft"
width = "3 ft"
height = "6 ft 8 in"
header_nails = 4
header_fastener = "16d common"
"""
    three = ordinary(studs=("4 ft", "12 ft", "17 ft 4 in"), more=door)
    idle = f"""
[[brace]]
mark = "B4"
stud_at = "{at}"
head = "8 ft"
set_back = "15 ft"
size = "2x4"
head_fasteners = 5
cleat_fasteners = 6
floor_fasteners = 8
foot_on = "joist"
"""
    before, after = checked(three), checked(three + idle)
    assert before["limit_gust_mph"] > 10
    assert after["limit_gust_mph"] == before["limit_gust_mph"]


def test_no_cliff_as_the_fasteners_stand_wider_apart(checked):
    """From 4 in to 36 in apart: never more for fewer, and no drop from one spacing to the next."""
    limits = [first_at(checked(ordinary(spacing=f"{s} in")), TOGETHER) for s in range(4, 37, 4)]
    assert limits == sorted(limits, reverse=True)
    assert limits[0] > limits[-1] + 3.0
    near = [
        first_at(checked(ordinary(spacing=f"{s} in")), TOGETHER) for s in (15.9, 16.0, 16.1, 23.9, 24.0, 24.1)
    ]
    assert near[0] - near[2] < 0.2
    assert near[3] - near[5] < 0.2


# -- the edge --------------------------------------------------------------------------------------------


def test_the_sheathing_lifts_the_plate_by_its_edge(checked):
    """T = U b/e: 2 in the middle of a 2x6, 5.5/4.75 for a row 3/4 in from its sheathed edge."""
    rows = {edge: f'row_from_sheathed_edge = "{edge}"' for edge in ("2-3/4 in", "3/4 in")}
    gusts = {edge: first_at(checked(ordinary(plate=plate)), TOGETHER) for edge, plate in rows.items()}
    assert gusts["3/4 in"] > gusts["2-3/4 in"] + 1.0
    # Undeclared it is the middle, and said to be assumed.
    bare = checked(ordinary())
    assert first_at(bare, TOGETHER) == pytest.approx(gusts["2-3/4 in"], rel=1e-9)
    assumed = {row["field"]: row for row in bare["assumed"]}
    assert "middle" in str(assumed["wall.plate.row_from_sheathed_edge"]["why"])
    assert assumed["wall.plate.row_from_sheathed_edge"]["effect_mph"] >= 1


def test_a_plate_bends_across_its_grain(checked):
    """40 psi x 1.5^2/6 = 15 lb in for an inch; out to a row in the middle 2.75 in, to one 3/4 in from the edge 0.75."""
    middle, near = (
        checked(ordinary(plate=plate), "--gust", 30) for plate in ("", 'row_from_sheathed_edge = "3/4 in"')
    )
    assert worst(middle, GRAIN, "capacity") == pytest.approx(15.0, rel=1e-9)
    assert worst(near, GRAIN) == pytest.approx(worst(middle, GRAIN) * 0.75 / 2.75, rel=1e-9)
    assert middle["links"][0]["known"] in ("read", "judgement", "memory")


def test_a_few_screws_at_the_edge_do_not_mend_the_grain_alone(checked):
    """They must carry all of the lift themselves before the plate bends about them."""
    edge = 'extra = {{ fastener = "structural screw 0.22x5", at_each_brace = {n}, row_from_sheathed_edge = "3/4 in" }}'
    strong = {"wall": 'moisture = "dry"', "spacing": "3 in"}
    none, one, many = (
        checked(ordinary(plate="into_framing = true\n" + (edge.format(n=n) if n else ""), **strong))
        for n in (0, 1, 12)
    )
    assert none["gives_first"]["link"] == GRAIN
    assert one["limit_gust_mph"] == none["limit_gust_mph"]
    assert one["gives_first"]["link"] == GRAIN
    assert many["limit_gust_mph"] > none["limit_gust_mph"]


@pytest.mark.parametrize(
    ("plate", "laps"),
    [("", "rim"), ('strap_at_brace_lb = "2000 lb"', "plate")],
    ids=["sheathing on the rim", "strap to framing"],
)
def test_what_goes_past_the_plate_lifts_no_plate(checked, plate, laps):
    answer = checked(ordinary(plate=plate, laps=laps), "--gust", 30)
    assert not [row for row in answer["links"] if row["link"] == GRAIN]
    assert worst(answer, TOGETHER) < 0.5
    assert not [row for row in answer["assumed"] if row["field"].endswith("row_from_sheathed_edge")]


def test_a_strap_to_the_plate_lifts_it_at_its_middle(checked):
    """Fasteners T = U max(1, b/2e), strap U max(1, 2e/b), the plate across the grain over |e - b/2|."""
    plate = 'strap_at_brace_lb = "2000 lb"\nstrap_to = "plate"\n'
    middle, near = (
        checked(ordinary(plate=plate + row), "--gust", 30)
        for row in ("", 'row_from_sheathed_edge = "3/4 in"')
    )
    strap = "strap at the brace"
    assert worst(near, strap) == pytest.approx(worst(middle, strap) * 2.0 * 4.75 / 5.5, rel=1e-9)
    assert worst(middle, GRAIN) == 0.0
    assert worst(near, GRAIN) > 0.0
    # Nothing spreads then: its own stretch of plate is all there is, one nail of it.
    assert worst(middle, TOGETHER) > worst(checked(ordinary(), "--gust", 30), TOGETHER)


def test_plate_washers_hold_the_plate_from_their_edge(checked):
    slab = ordinary().replace('height_above_ground = "3 ft"', 'kind = "slab"\nheight_above_ground = "0 ft"')
    slab = slab.replace(
        'joists = { size = "2x10", species = "spruce-pine-fir", grade = "No.2", span = "12 ft" }', ""
    )
    slab = slab.replace('foot_on = "joist"\n', "")
    anchors = '\n[floor.slab]\ntension_lb = "400 lb"\nshear_lb = "900 lb"\nreport = "test"\n{}\n'
    plain, washers = (checked(slab + anchors.format(more), "--gust", 30) for more in ("", "washers = true"))
    assert worst(plain, GRAIN) == pytest.approx(worst(washers, GRAIN) * 2.75 / 1.25, rel=1e-9)
    assert worst(washers, TOGETHER) < worst(plain, TOGETHER)


def test_a_short_piece_of_plate_counts_whole_fasteners(checked):
    """A brace on 20 in of plate beside a door, 16 in spacing: one nail; with four told, four."""
    door = """
[[wall.opening]]
left = "20 in"
width = "3 ft"
height = "6 ft 8 in"
header_nails = 4
header_fastener = "16d common"
"""
    text = ordinary(studs=("1 ft 4 in", "9 ft 4 in", "16 ft"), more=door)
    told = text.replace('state = "final"\n', 'state = "final"\nin_short_pieces = 4\n')
    one, four, none = (
        worst(checked(each, "--gust", 30), TOGETHER)
        for each in (text, told, told.replace("in_short_pieces = 4", "in_short_pieces = 0"))
    )
    assert one > four
    assert none is None  # no number: nothing fastens that piece
    for each, words in (
        (text, "1 x 16d common on a piece of plate 1'-8\" long"),
        (told, "4 x 16d common on a piece of plate 1'-8\" long"),
        (told.replace("in_short_pieces = 4", "in_short_pieces = 0"), "none counted of 16d common at 16 in"),
    ):
        sliding = [row for row in checked(each, "--gust", 30)["links"] if row["link"] == "plate shear"]
        assert any(words in row["why"] for row in sliding if row["x_ft"] < 20.0 / 12.0)
        assert all("16d common at 16 in, " in row["why"] for row in sliding if row["x_ft"] > 57.0 / 12.0)


# -- on every screen -------------------------------------------------------------------------------------


def test_a_row_off_its_plate_is_refused_by_both_names(ran):
    answer = ran(ordinary(plate='row_from_sheathed_edge = "5-1/2 in"'))
    assert answer.status == 2
    assert "wall.plate.row_from_sheathed_edge" in answer.err
    assert "wall.studs.size" in answer.err
    assert "Traceback" not in answer.err


def test_the_sums_show_share_weight_and_arm(ran):
    """Every number of the trace stands in its line: the share of the lift, what stands on the plate, b and e."""
    text = said(ran(ordinary(), name="trace").out)
    for words in ("φ of B3", "weight that stands on an inch there", "× 5.5 / 2.75", "0.02083"):
        assert words in text, words
    assert "one every 16 in" in text


def test_a_layout_asks_for_rows_at_the_sheathed_edge(ran):
    bare = "\n".join(
        line
        for line in ordinary(studs=()).splitlines()
        if not line.startswith(('fastener = "16d', "state ="))
    )
    answer = ran(bare, "--gust", 30, "--json", name="layout")
    text = said(ran(bare, "--gust", 30, name="layout").out)
    assert answer.status in (0, 1)
    assert "0.75 in from the sheathed edge" in text


def test_work_before_a_storm_offers_screws_at_the_sheathed_edge(ran):
    text = ordinary().replace('name = "Ordinary"', 'name = "Ordinary"\nstate = "standing"')
    out = said(ran(text, "--gust", 30, "--now", "2026-03-06 15:00", "--zone", "UTC", name="storm").out)
    assert "from the sheathed edge of the plate" in out


def test_the_sheet_says_where_the_rows_stand(ran, tmp_path):
    page = tmp_path / "sheet.html"
    ran(ordinary(plate='row_from_sheathed_edge = "3/4 in"'), "--out", page, name="sheet")
    text = page.read_text(encoding="utf-8")
    assert "3/4&#34; from the sheathed edge" in text
    assert "Bottom plate, from its end" in text


def test_on_a_slab_the_plate_is_drawn_with_anchors_and_not_with_what_goes_into_wood(ran, tmp_path):
    page, floor = tmp_path / "sheet.html", '[floor]\nkind = "slab"\n'
    text = ordinary().replace('foot_on = "joist"\n', "")
    start = text.index("[floor]")
    end = text.find("\n[", start + 1)
    ran(text[:start] + floor + (text[end:] if end > 0 else ""), "--out", page, name="sheet")
    drawn = page.read_text(encoding="utf-8")
    told = drawn[drawn.index("The bottom plate to scale, its rows") :].split('"')[0]
    assert "rows: anchor" in told
    assert "16d" not in told
