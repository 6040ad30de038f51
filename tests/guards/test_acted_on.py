"""No screen that a person should not act on: what a script is told by the exit status, what a folder leaves out, and
the wind braces come out in."""

import json
import os
import re

import pytest

from bracing.commands import cli
from bracing.commands.output import BAD_INPUT, INTERRUPTED, NOT_WITHIN, OUR_FAULT, PEOPLE_OUT, WITHIN
from tests.cli.running import EXAMPLES, ROOT, run, said

KITCHEN = EXAMPLES / "short-wall-braced.toml"  # clear-out between its hook gusts and its limit
NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
ROWS = "time,gust\n2026-03-06 15:00,{0}\n2026-03-06 21:00,{1}\n2026-03-07 03:00,{0}\n"


def numbers(capsys):
    """Clear-out and limit gust of the kitchen wall."""
    answer = run(capsys, "check", KITCHEN, "--json").json
    return answer["clear_out_gust_mph"], answer["limit_gust_mph"]


def forecast(tmp_path, calm, night):
    path = tmp_path / "forecast.csv"
    path.write_text(ROWS.format(calm, night), encoding="utf-8")
    return ("--forecast", path, "--unit", "mph", *NOW)


# -- point 7: the exit status, and what is left out of a folder -------------------------------------------


@pytest.mark.parametrize("command", ["check", "storm", "trace"])
def test_point_7_within_its_limit_and_people_out_is_status_4(capsys, command):
    out, limit = numbers(capsys)
    assert out + 2 < limit
    moment = NOW if command == "storm" else ()
    expected = {out - 1: 0, out: 4, out + 1: 4, limit: 4, limit + 1: 1}
    found = {gust: run(capsys, command, KITCHEN, "--gust", gust, *moment).status for gust in expected}
    assert found == expected


def test_point_7_the_page_says_so_in_its_verdict_and_json_has_a_key(capsys):
    out, _ = numbers(capsys)
    reached, under = (run(capsys, "check", KITCHEN, "--gust", gust) for gust in (out, out - 1))
    assert f"WITHIN its limit at a gust of {out} mph, and people out." in reached.out
    assert f"WITHIN its limit at a gust of {out - 1} mph." in under.out
    for gust, told in ((out, True), (out - 1, False)):
        assert run(capsys, "check", KITCHEN, "--gust", gust, "--json").json["people_out"] is told
    assert run(capsys, "check", KITCHEN, "--json").json["people_out"] is None


def test_point_7_one_hour_of_the_forecast_is_enough(capsys, tmp_path):
    out, _ = numbers(capsys)
    for night, status in ((out - 1, 0), (out, 4)):
        ran = run(capsys, "storm", KITCHEN, *forecast(tmp_path, 10, night), "--json")
        assert (ran.status, ran.json["verdict"]) == (status, "within")
        assert any(hour["out"] for hour in ran.json["hours"]) == (status == 4)


def test_point_7_a_wall_that_is_not_up_and_a_check_without_a_gust_are_no_4(capsys, tmp_path):
    out, _ = numbers(capsys)
    planned = tmp_path / "planned.toml"
    planned.write_text(
        KITCHEN.read_text().replace("[wall]\n", '[wall]\nstate = "planned"\n'), encoding="utf-8"
    )
    assert run(capsys, "check", planned, "--gust", out).status == 1
    assert run(capsys, "check", planned, "--gust", out, "--json").json["people_out"] is None
    assert run(capsys, "check", KITCHEN).status == 0


def house(tmp_path):
    """A folder with the kitchen wall."""
    folder = tmp_path / "house"
    folder.mkdir()
    (folder / "kitchen.toml").write_text(KITCHEN.read_text(), encoding="utf-8")
    return folder


def asked(capsys, command, folder, *words):
    gust = ("--gust", 12)
    if command == "storm":
        return run(capsys, "storm", folder, *gust, *NOW, *words)
    out = ("--out", folder.parent / "pages", "--no-pdf", "--overwrite", "--budget", 0)
    return run(capsys, "sheet", folder, *gust, *out, *words)


def left_out(ran):
    """What stderr says, but for a search that was given no time."""
    return [line for line in ran.err.splitlines() if not line.startswith("the budget of 0 s ran out")]


def test_point_7_a_folder_and_a_list_are_4_as_their_walls_are(capsys, tmp_path):
    out, _ = numbers(capsys)
    folder, listed = house(tmp_path), tmp_path / "list.csv"
    listed.write_text(f"file\n{KITCHEN}\n", encoding="utf-8")
    for gust, status in ((out - 1, 0), (out, 4)):
        assert run(capsys, "storm", folder, "--gust", gust, *NOW).status == status
        ran = run(capsys, "walls", listed, "--gust", gust, "--workers", 1, "--json")
        assert (ran.status, ran.json["people_out"]) == (status, int(status == 4))


@pytest.mark.parametrize("command", ["storm", "sheet"])
def test_point_7_a_folder_left_out_is_a_line_and_2_where_asked_strictly(capsys, tmp_path, command):
    folder = house(tmp_path)
    (folder / "photos").mkdir()  # no wall in it, so nothing is left out
    quiet = asked(capsys, command, folder, "--strict")
    assert (quiet.status, left_out(quiet)) == (0, [])
    deep = folder / "east" / "upper"
    deep.mkdir(parents=True)
    (deep / "gable.toml").write_text("", encoding="utf-8")
    (folder / "notes.toml").write_text("[site]\n", encoding="utf-8")
    ran = asked(capsys, command, folder)
    assert ran.status == 0
    lines = left_out(ran)
    assert [line.partition(": ")[0] for line in lines] == [str(folder / "east"), str(folder / "notes.toml")]
    assert all("LEFT OUT" in line for line in lines)
    strict = asked(capsys, command, folder, "--strict", "--json")
    assert strict.status == 2
    assert [one["file"] for one in strict.json["left_out"]] == [
        str(folder / "east"),
        str(folder / "notes.toml"),
    ]


@pytest.mark.parametrize("command", ["storm", "sheet"])
@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("inline.toml", b'wall = { name = "W", length = 3 }\n'),  # no line begins with [wall]
        ("dotted.toml", b'wall.name = "W"\nwall.length = 3\n'),
        ("SHOUTED.TOML", b"[wall]\nlength = 3\n"),
        ("bytes.toml", b"\xff\xfe\x00"),
        ("empty.toml", b""),
    ],
)
def test_point_7_no_wall_file_of_a_folder_is_passed_over(capsys, tmp_path, command, name, content):
    """Whatever form it has, and whatever is wrong with it, its fault is told, and the status is 2."""
    folder = house(tmp_path)
    (folder / name).write_bytes(content)
    ran = asked(capsys, command, folder)
    assert ran.status == 2
    assert f"{folder / name}: " in ran.err


@pytest.mark.parametrize("command", ["storm", "sheet"])
def test_point_7_fasteners_of_your_own_beside_the_walls_are_nothing_left_out(capsys, tmp_path, command):
    folder = house(tmp_path)
    (folder / "mine.toml").write_text('[[fastener]]\nname = "mine"\n', encoding="utf-8")
    ran = asked(capsys, command, folder, "--strict")
    assert (ran.status, left_out(ran)) == (0, [])


def test_point_7_a_folder_in_it_that_cannot_be_read_is_left_out_with_a_line(capsys, tmp_path, monkeypatch):
    """Refused by a stand-in: whoever runs the tests as root may read all."""
    folder = house(tmp_path)
    (folder / "locked").mkdir()
    plain = os.scandir

    def refused(path="."):
        if os.fspath(path) == str(folder / "locked"):
            raise PermissionError(13, "Permission denied", str(path))
        return plain(path)

    monkeypatch.setattr(os, "scandir", refused)
    ran = asked(capsys, "storm", folder, "--strict")
    assert ran.status == 2
    assert str(folder / "locked") in ran.err


# -- point 1: what stages says, and the wind braces come out in -------------------------------------------


def test_point_1_the_hook_stays_on_where_the_same_gust_sends_people_out(capsys):
    """One rule: at a gust that reaches the clear-out gust nobody is beside the wall, under a hook or not."""
    out, _ = numbers(capsys)
    for gust in (out - 1, out, out + 1):
        clear = run(capsys, "check", KITCHEN, "--gust", gust, "--json").json["people_out"]
        assert (run(capsys, "stages", KITCHEN, "--gust", gust).status == 1) is clear


@pytest.mark.parametrize("wall", ["short-wall-braced.toml", "as-found.toml"])
def test_point_1_no_header_of_the_take_down_promises_what_its_rows_do_not_have(capsys, wall):
    """The wall as it is may be under the gust asked: the line above says of what comes out only what is so."""
    for gust in (10, 25, 60):
        ran = run(capsys, "stages", EXAMPLES / wall, "--gust", gust, "--deck-takes", "120 lb/ft")
        assert "never below" not in said(ran.out)
        assert f"A brace comes out only where the clear-out gust after it is over {gust} mph" in said(ran.out)
        down = run(
            capsys, "stages", EXAMPLES / wall, "--gust", gust, "--deck-takes", "120 lb/ft", "--json"
        ).json
        out = [one for event in down["take_down"]["events"] for one in event["may_come_out"]]
        assert all(one["clear_out_gust_mph"] > gust for one in out)


DECK = ("--deck-takes", "120 lb/ft")


@pytest.mark.parametrize(("night", "goes"), [(40, True), (58, False)])
def test_point_1_removals_keep_the_worse_of_today_and_the_forecast_and_say_for_how_long(
    capsys, tmp_path, night, goes
):
    """With the deck alone its clear-out gust is 51: a night of 58 keeps every brace in, whatever blows today."""
    words = (KITCHEN, "--gust", 20, *DECK)
    today = run(capsys, "stages", *words)
    assert "NOTHING IS KNOWN OF TONIGHT (--forecast, --storms)" in said(today.out)
    assert "May come out" in today.out
    ran = run(capsys, "stages", *words, *forecast(tmp_path, 20, night))
    assert ("May come out" in ran.out) is goes
    told = said(ran.out)
    assert f"is over {night} mph: the worst of today and the forecast, that of Fri Mar 6, 9 pm." in told
    assert "It counts from now until Sat Mar 7, 9 am: then ask again." in told
    kept = run(capsys, "stages", *words, *forecast(tmp_path, 20, night), "--json").json["take_down"]
    assert (kept["keep_mph"], kept["keep_until"]) == (night, "2026-03-07T09:00:00-06:00")
    take = ("--done", "deck on", "--take-out", "B2")
    asked_one = run(capsys, "stages", *words, *forecast(tmp_path, 20, night), *take)
    assert asked_one.status == (0 if goes else 1)
    assert "until Sat Mar 7, 9 am" in said(asked_one.out)


def test_point_1_a_worse_today_than_the_night_counts(capsys, tmp_path):
    kept = run(capsys, "stages", KITCHEN, "--gust", 50, *forecast(tmp_path, 20, 40), "--json").json[
        "take_down"
    ]
    assert kept["keep_mph"] == 50


def test_point_1_with_thunderstorms_the_outflow_is_kept(capsys):
    """No less than 58 mph, held against the wall in the wind of an outflow, which is the heavier one."""
    words = (
        "stages",
        KITCHEN,
        "--gust",
        20,
        "--deck-takes",
        "135 lb/ft",
        "--done",
        "deck on",
        "--take-out",
        "B2",
    )
    plain, storms = (run(capsys, *words, *more, "--json") for more in ((), ("--storms", *NOW)))
    assert (plain.json["keep_mph"], storms.json["keep_mph"]) == (20, 58)
    assert storms.json["keep_thunderstorm"] is True
    assert storms.json["clear_out_gust_without_mph"] < plain.json["clear_out_gust_without_mph"]
    assert (plain.status, storms.status) == (0, 1)
    assert "nobody said until when" in storms.json["keep_why"]
    until = run(capsys, *words, "--storms", "--until", "Sat 6 am", *NOW, "--json").json
    assert until["keep_until"] == "2026-03-07T06:00:00-06:00"


def test_point_1_a_forecast_that_is_over_and_a_removal_in_no_wind_are_refused(capsys, tmp_path):
    old = (*forecast(tmp_path, 20, 30)[:4], "--now", "2026-03-09 15:00", "--zone", "America/Chicago")
    assert run(capsys, "stages", KITCHEN, *old).status == 2
    ran = run(capsys, "stages", KITCHEN, "--take-out", "B1", "--done", "deck on", "--json")
    assert ran.status == 2
    assert json.loads(ran.out)["errors"][0]["field"] == "--take-out"


# -- point 7: every list of statuses ----------------------------------------------------------------------


def test_point_7_every_list_of_exit_statuses_has_every_one():
    """The table of the manual, and the first lines of the command line."""
    statuses = {WITHIN, NOT_WITHIN, BAD_INPUT, OUR_FAULT, PEOPLE_OUT, INTERRUPTED}
    page = (ROOT / "docs" / "how-to.md").read_text(encoding="utf-8")
    assert {int(row) for row in re.findall(r"^\| ([0-9]+) \|", page, re.MULTILINE)} == statuses
    assert {
        int(word) for word in re.findall(r"(?:^|; )([0-9]+) [a-z]", cli.__doc__, re.MULTILINE)
    } == statuses


# -- point 2: plumb and lift ------------------------------------------------------------------------------


def test_point_2_moves_are_told_as_a_person_does_them(capsys):
    """A top that leans in wants its brace longer, or its foot nearer; one that leans out the contrary."""
    at = ("--at", "B1: 2 in, 2 1/2 in", "--at", "B2: 2 in, 1 1/2 in", "--at", "B3: 2 in, 2 in")
    told = said(run(capsys, "plumb", KITCHEN, *at, "--gust", 8).out)
    assert re.search(
        r"Lengthen B1 \(at 9'-4\"\) 3/8\": top leans in 1/2\", .*?Or its foot 1/2\" toward the wall", told
    )
    assert re.search(
        r"Shorten B2 \(at 1'-4\"\) 3/8\": top leans out 1/2\".*?Or its foot 1/2\" away from the wall", told
    )
    assert "Leave B3: plumb." in told
    assert told.index("Shorten B2") < told.index("Lengthen B1")  # an end goes first
    assert not re.search(r"[+-][0-9.]+ in\b", told)  # no sign to be read against a legend
    turned = said(run(capsys, "plumb", KITCHEN, *at, "--turn", "1/8 in", "--metric").out)
    assert re.search(r"Lengthen B1 \(at 2844 mm\) 10 mm, 3\.[0-9] turns: top leans in 13 mm", turned)


HELD = ("--gust", 8, "--straps", "6: 2000 lb", "--pick-lb", "3000 lb")
TAG, LINES = ("--sling-tag", "3000 lb"), ("--tag-lines", "500 lb")


def test_point_2_what_must_carry_and_is_not_declared_is_not_within(capsys, tmp_path):
    chart = tmp_path / "chart.csv"
    rows = [f"{reach},{height},{9000 - 100 * reach}" for reach in (0, 20, 40) for height in (0, 80)]
    chart.write_text("\n".join(["reach_ft,height_ft,capacity_lb", *rows]), encoding="utf-8")
    machine = ("--chart", chart, "--distance", "10 ft")
    for missing, words in (
        ("tag lines", (*TAG, *machine)),
        ("the tag of a sling", (*LINES, *machine)),
        ("the machine's chart", (*TAG, *LINES)),
    ):
        ran = run(capsys, "lift", KITCHEN, *HELD, *words)
        assert ran.status == 1
        assert ran.out.startswith("Kitchen wall: UNKNOWN at 8 mph")
        (line,) = re.findall(r"NO-GO: not declared, and so not within either: (.*)", ran.out)
        assert line.startswith(missing)
    ran = run(capsys, "lift", KITCHEN, *HELD, *TAG, *LINES, *machine)
    assert (ran.status, ran.out.startswith("Kitchen wall: WITHIN at 8 mph")) == (0, True)
    assert "NO-GO: not declared" not in ran.out
    assert not run(capsys, "lift", KITCHEN).out.startswith(
        "Kitchen wall: lift"
    )  # no word that reads as leave


def weight(capsys, command, wall, *words):
    return run(capsys, command, wall, *words, "--json").json["weight_lb"]


def test_point_2_doubled_studs_are_weighed(capsys, tmp_path):
    """Three 2x6 of 8 ft 7.5 in, green: 8.25 sq in at 30.6 pcf, by hand."""
    doubled = tmp_path / "doubled.toml"
    text = KITCHEN.read_text()
    doubled.write_text(text.replace("stud_doubled = false", "stud_doubled = true"), encoding="utf-8")
    by_hand = 3 * 103.5 * 8.25 * 30.6 / 1728.0
    for command, words in (("weight", ()), ("lift", ("--no-braces-on",))):
        more = weight(capsys, command, doubled, *words) - weight(capsys, command, KITCHEN, *words)
        assert abs(more - by_hand) < 0.1


def test_point_2_braces_that_go_up_with_the_wall_are_weighed_and_resist_no_wind_undeclared(capsys):
    """Three 2x6 of 10 ft by hand; where nobody says, they hang on the hook and count for nothing against the wind."""
    silent, on, off = (
        run(capsys, "lift", KITCHEN, *words, "--json").json
        for words in ((), ("--braces-on",), ("--no-braces-on",))
    )
    by_hand = 3 * 120.0 * 8.25 * 30.6 / 1728.0
    for answer in (silent, on):
        assert abs(answer["weight_lb"] - off["weight_lb"] - by_hand) < 0.1
    assert silent["limit_gust_mph"] == off["limit_gust_mph"]
    assert [one["field"] for one in silent["assumed"]][-1] == "--braces-on"
    assert "--braces-on" not in [one["field"] for one in (*on["assumed"], *off["assumed"])]


def test_point_2_the_strongback_a_gable_needs_is_weighed(capsys):
    """It is asked for at the kink, so it hangs on the hook; a 2x6 at the least, of the length it crosses."""
    words = ("--no-braces-on",)
    lifted = run(capsys, "lift", EXAMPLES / "south-gable.toml", *words, "--json").json
    assert lifted["needed_too"]
    assert lifted["weight_lb"] > weight(capsys, "weight", EXAMPLES / "south-gable.toml") + 10.0


def test_point_2_wind_is_held_against_the_light_side_of_what_nobody_declared(capsys, tmp_path):
    """The heaviest species, wet, is for the hook; its weight against the wind is that of the lightest, dry."""
    text = KITCHEN.read_text().replace(
        ', species = "spruce-pine-fir", grade = "No.2" }\nlayers', " }\nlayers"
    )
    silent = tmp_path / "silent.toml"
    silent.write_text(text.replace('moisture = "green"\n', ""), encoding="utf-8")
    heavy, known = (run(capsys, "lift", wall, "--no-braces-on", "--json").json for wall in (silent, KITCHEN))
    assert heavy["weight_lb"] > known["weight_lb"]
    assert heavy["limit_gust_mph"] <= known["limit_gust_mph"]
    assert heavy["slack_from_deg"] is not None


# -- point 8: the frame for other programs ----------------------------------------------------------------


def frame(capsys, tmp_path, wall=KITCHEN, gust=30):
    path = tmp_path / "model.json"
    assert run(capsys, "check", wall, "--gust", gust, "--model", path, "--overwrite").status in (0, 1, 4)
    return json.loads(path.read_text(encoding="utf-8"))


def test_point_8_the_model_has_every_state_and_fits_its_schema(capsys, tmp_path):
    """Both plates, by all stiff, all soft and each brace stiff alone; brace forces as check gives them, row by row."""
    found, jsonschema = frame(capsys, tmp_path), pytest.importorskip("jsonschema")
    jsonschema.Draft202012Validator(run(capsys, "schema", "model").json).validate(found)
    rows = [
        (
            state["plates"],
            state["slip"],
            case["case"],
            case["gap"],
            case["direction"],
            case["brace_horizontal_lb"],
        )
        for state in found["states"]
        for case in state["cases"]
    ]
    assert len(found["states"]) == 2 * (2 + 3)
    loads = run(capsys, "check", KITCHEN, "--gust", 30, "--json").json["loads"]["cases"]
    key = ("plates", "slip", "case", "gap", "direction", "brace_horizontal_lb")
    assert sorted(map(repr, rows)) == sorted(repr(tuple(row[name] for name in key)) for row in loads)
    stiff, soft = (found["states"][k]["k_lb_per_in"] for k in (0, 1))
    assert all(stiff[mark] > soft[mark] > 0.0 for mark in ("B1", "B2", "B3"))
    assert any(beam["EI_one_ply_lbin2"] < beam["EI_lbin2"] for beam in found["beams"])


def test_point_8_the_governing_state_is_marked_and_its_forces_balance(capsys, tmp_path):
    """Loads are what braces and plate give back, and turn about the plate with them; each from the file alone."""
    found, checked = frame(capsys, tmp_path), run(capsys, "check", KITCHEN, "--gust", 30, "--json").json
    marked = [(state, case) for state in found["states"] for case in state["cases"] if case["governs"]]
    ((state, case),) = marked
    governs = found["governing"]
    assert {name: governs[name] for name in ("link", "mark", "direction")} == {
        name: checked["gives_first"][name] for name in ("link", "mark", "direction")
    }
    assert (governs["plates"], governs["slip"]) == (state["plates"], state["slip"])
    assert governs["brace_horizontal_lb"] == pytest.approx(case["brace_horizontal_lb"], rel=1e-3, abs=0.05)
    height = {node["id"]: node["z_in"] for node in found["nodes"]}
    total = sum(governs["loads_lb"].values())
    braces = governs["brace_horizontal_lb"]
    assert total == pytest.approx(sum(braces.values()) + sum(governs["base_lb"].values()), rel=1e-6)
    assert sum(governs["base_lb"].values()) == pytest.approx(case["plate_shear_lb"], rel=1e-3)
    turning = sum(load * height[node] for node, load in governs["loads_lb"].items())
    held = sum(braces[s["mark"]] * (height[s["node"]] + s["arm_in"]) for s in found["springs"])
    assert turning == pytest.approx(held, rel=1e-6)
    assert governs["beam_moments"]


def test_point_8_a_wall_that_can_move_has_no_governing_state(capsys, tmp_path):
    found = frame(capsys, tmp_path, EXAMPLES / "as-found.toml")
    assert found["governing"] is None
    assert not any(case["governs"] for state in found["states"] for case in state["cases"])
