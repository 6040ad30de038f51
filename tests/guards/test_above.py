"""What comes on a wall from above: unknown where nobody said what ties it, never a help, and told before the first.

Each guard is of the command line.
"""

from __future__ import annotations

import pytest

from tests.cli.running import WITHIN, run, said
from tests.guards.test_along import BRACES, braces, frame

LEANS = {"weight": "9 lb", "at": "9 ft", "foot_out": "1 ft"}
PANELS = 'layers = ["osb 7/16"]'


def load(kind="trusses", **more):
    given = {"span": "24 ft", "pitch": "4/12", "weight": "80 lb"} if kind in ("trusses", "rafters") else {}
    rows = {**given, **more}
    return f'[[wall.load]]\nkind = "{kind}"\n' + "".join(
        f"{key} = {value if isinstance(value, int) else repr(value)}\n"
        for key, value in rows.items()
        if value != ""
    )


def wall(*loads, studs=None):
    text = frame(wall=PANELS, laps="plate")
    return (text if studs is None else text.replace(BRACES, braces(*studs))) + "".join(loads)


@pytest.fixture
def ask(tmp_path, capsys):
    """Run a command on a wall file of some text."""

    def asked(text, command="check", *more, gust="20"):
        path = tmp_path / "wall.toml"
        path.write_text(text)
        return run(capsys, command, path, "--gust", gust, *more)

    return asked


def test_trusses_nobody_said_the_tie_of_are_unknown_and_that_comes_first(ask):
    got = ask(wall(load(count=6)), "check", "--json")
    assert got.status == 1
    assert got.json["verdict"] == "unknown"
    assert (got.json["limit_gust_mph"], got.json["clear_out_gust_mph"]) == (0, 0)
    assert said(ask(wall(load(count=6))).out).index("UNKNOWN: nobody said what keeps the trusses") < 80
    fields = {row["field"]: row["value"] for row in got.json["assumed"]}
    assert fields["wall.load[0].tied_to"] == "unknown"


def test_a_wall_that_is_over_all_the_same_is_over_and_not_unknown(ask):
    assert ask(wall(load(count=6)), "check", "--json", gust="60").json["verdict"] == "over"


def test_tied_to_the_ground_the_wall_is_within_again_and_its_heels_run_along_it(ask):
    alone = ask(wall(), "check", "--json").json
    got = ask(wall(load(count=6, tied_to="ground brace")), "check", "--json").json
    assert got["verdict"] == "within"
    assert 0 < got["limit_gust_along_mph"] < alone["limit_gust_along_mph"]
    assert got["limit_gust_mph"] <= alone["limit_gust_mph"]


def test_the_first_truss_on_a_gable_of_one_brace_leaves_it_0_in_calm(ask):
    got = ask(wall(load(tied_to="this wall"), studs=("10 ft 8 in",)), "check", "--json", gust="5")
    assert (got.json["verdict"], got.json["limit_gust_mph"]) == ("over", 0)


def test_stages_say_how_many_trusses_and_at_that_many_the_wall_stays(ask):
    told = ask(wall(load(tied_to="this wall")), "stages", "--json", gust="15").json["above"]
    (row,) = told["rows"]
    assert (row["kind"], row["count"], row["before_the_first"]) == ("trusses", 1, [])
    most = row["most"]
    assert 1 < most < 100
    clear = [
        ask(wall(load(tied_to="this wall", count=n)), "check", "--json", gust="15").json["clear_out_gust_mph"]
        for n in (most, most + 1)
    ]
    assert clear[0] > 15 >= clear[1]
    assert f"Of the trusses at most {most} as it is braced" in said(
        ask(wall(load(tied_to="this wall")), "stages", gust="15").out
    )


def test_stages_say_what_must_be_there_before_the_first(ask):
    untied = ask(wall(load(count=0)), "stages", "--json", gust="15").json["above"]["rows"][0]
    assert untied["most"] == 0
    assert untied["before_the_first"] == ["tie the trusses, and say to what (tied_to)"]
    weak = ask(wall(load(count=0, tied_to="this wall")), "stages", "--json", gust="30").json["above"]["rows"][
        0
    ]
    assert weak["most"] == 0
    assert "with the first one up it is at its limit before 30 mph" in weak["before_the_first"][0]


def test_a_wall_goes_up_with_nothing_on_it_yet(ask):
    empty = ask(wall(), "stages", "--json", gust="15").json
    full = ask(wall(load(count=20, tied_to="this wall")), "stages", "--json", gust="15").json
    assert full["stages"] == empty["stages"]
    assert (empty["above"], full["hook_stays_until"]) == (None, empty["hook_stays_until"])


def test_the_trace_shows_the_row_and_its_heels(ask):
    out = said(ask(wall(load(count=6, tied_to="ground brace")), "trace").out)
    assert "wood of one of the trusses, 3.5 in high" in out
    assert "what one of the two walls under a row of trusses takes along itself" in out.lower()


@pytest.mark.parametrize(
    ("written", "field", "expected"),
    [
        (load(weight=""), "wall.load[0].weight", "trusses cannot do without"),
        (load(span=""), "wall.load[0].span", "trusses cannot do without"),
        (load(kind="rafters", pitch=""), "wall.load[0].pitch", "rafters cannot do without"),
        (load("bundle leaned", weight="9 lb", touches="6 ft", at="9 ft"), "wall.load[0].foot_out", "cannot do without"),
        (load(kind="bundle on the plate", at="9 ft"), "wall.load[0].weight", "cannot do without"),
        (load(kind="bundle on the plate", weight="500 lb", at="9 ft", span="24 ft"), "wall.load[0].span", "nothing"),
        (load(kind="person on the plate", at="9 ft", tied_to="this wall"), "wall.load[0].tied_to", "nothing"),
        (load(kind="person on the plate", at="30 ft"), "wall.load[0].at", "a place on the wall"),
        (load("bundle leaned", **LEANS, touches="9 ft"), "wall.load[0].touches", "no higher than the wall"),
        (load(kind="person on the plate"), "wall.load[0].at", "person on the plate cannot do without"),
        (load(kind="crane"), "wall.load[0].kind", "trusses, rafters"),
        (load(tied_to="the sky"), "wall.load[0].tied_to", "ground brace"),
        (load(count=-1), "wall.load[0].count", "0"),
    ],
)  # fmt: skip
def test_a_load_that_cannot_be_is_one_line(ask, written, field, expected):
    ran = ask(wall(written))
    assert ran.status == 2
    assert not ran.out
    faults = [line for line in ran.err.splitlines() if field in line]
    assert len(faults) == 1
    assert expected in ran.err


def test_layout_braces_a_wall_for_what_leans_on_it(ask, tmp_path):
    leaned = load(kind="bundle leaned", weight="300 lb", foot_out="2 ft", touches="6 ft", at="10 ft")
    ran = ask(wall(leaned), "layout", "--write", gust="25")
    assert ran.status in WITHIN, ran.err
    assert ask((tmp_path / "wall.toml").read_text(), "check", "--json", gust="25").json["verdict"] == "within"


# -- the storey below ------------------------------------------------------------------------------------

ON_A_STOREY = 'height_above_ground = "10 ft"\nopen_below = false\n'


def upstairs(more=""):
    return wall().replace('height_above_ground = "3 ft"', f"{ON_A_STOREY}{more}")


def test_on_a_storey_nobody_said_is_done_the_answer_is_unknown_first(ask):
    got = ask(upstairs(), "check", "--json", gust="10")
    assert (got.status, got.json["verdict"]) == (1, "unknown")
    assert (
        said(ask(upstairs(), gust="10").out).index("UNKNOWN: nobody said that the storey under this wall")
        < 80
    )
    fields = {row["field"]: row["value"] for row in got.json["assumed"]}
    assert fields["floor.storey_below"] == "unknown"
    assert ask(upstairs(), "check", "--json", gust="60").json["verdict"] == "over"


def test_on_one_that_is_done_it_is_within_says_what_it_hands_down_and_clears_it_too(ask):
    text = upstairs('storey_below = "done"\n')
    got = ask(text, "check", "--json", gust="10")
    assert got.status in WITHIN
    assert got.json["verdict"] == "within"
    out = said(ask(text, "check", "--all", gust="10").out)
    assert "the storey below takes up to" in out
    assert "past both ends, and the storey below" in out
    assert got.json["zone_ft"]["outside"] == 8.0 + 10.0 + 4.0


def test_of_a_floor_nobody_taped_the_storey_below_is_not_asked(ask):
    text = wall().replace('height_above_ground = "3 ft"\n', "")
    got = ask(text, "check", "--json", gust="10").json
    assert got["verdict"] != "unknown"
    assert "floor.storey_below" not in {row["field"] for row in got["assumed"]}
