"""Walls joined at their corners: what `bracing box` counts, what it lets leave, and what it refuses."""

from __future__ import annotations

import re
import shutil
import tomllib

import jsonschema
import pytest

from bracing.text.schema import schemas
from tests.box_walls import ALL_TICKS, RING, box, corner_text, hold_one_fault, job_folder, ring_corners
from tests.cli.running import EXAMPLES, WITHIN, run, said

STRONG = {"laps": "rim", "moisture": "dry"}  # sheathing on the rim, all kept dry: corners worth something
EL = ("south", "east")
validator = jsonschema.Draft202012Validator


@pytest.fixture(scope="module")
def el(tmp_path_factory):
    return job_folder(tmp_path_factory.mktemp("el"), EL, **STRONG)


def walls_of(ran):
    return {wall["file"]: wall for wall in ran.json["walls"]}


# -- job.toml is read strictly ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("corners", "field", "expected"),
    [
        (corner_text("sout.toml right", "east.toml left"), "corner[0].walls[0]", "near: south.toml"),
        (corner_text("south.toml top", "east.toml left"), "corner[0].walls", "wall file and its end"),
        (corner_text("south.toml right", "south.toml left"), "corner[0].walls", "two different walls"),
        (
            corner_text("south.toml right", "east.toml left") + corner_text("south.toml right", "east.toml right"),
            "corner[1].walls[0]",
            "corner[0]",
        ),
        (corner_text("south.toml right", "east.toml left", done=("nails",)), "corner[0].done", "edges nailed"),
        (corner_text("south.toml right", "east.toml left", side="inside"), "corner[0].side", "outside"),
        (corner_text("south.toml right", "east.toml left", count='"many"'), "corner[0].count", "whole number"),
        (corner_text("south.toml right", "east.toml left", fastener='"glue"'), "corner[0].fastener", "fasteners"),
        (corner_text("south.toml right", "east.toml left", strap=3), "corner[0].strap", "known key"),
    ],
)  # fmt: skip
def test_a_fault_of_a_corner_names_file_field_value_and_what_is_expected(
    tmp_path, capsys, corners, field, expected
):
    hold_one_fault(box(capsys, job_folder(tmp_path, EL, corners=corners)), field, expected)


def test_a_ring_closes_within_two_inches_whichever_plate_runs_through(tmp_path, capsys):
    """North an inch longer than south is a tape's slack, and 5 in longer is another house."""
    for add, status in ((1, 0), (5, 2)):
        folder = job_folder(
            tmp_path / str(add), walls={"north": {"length": f"24 ft {add} in"}}, corners=ring_corners(done=())
        )
        ran = box(capsys, folder)
        assert ran.status == status, ran.err
    (fault,) = ran.json["errors"]
    assert "2 in is the most" in fault["expected"]


def test_a_ring_that_turns_the_wrong_way_is_no_house_of_right_angles(tmp_path, capsys):
    wrong = ring_corners(RING, closed=False) + corner_text(
        "west.toml right", "south.toml left", side="outside"
    )
    ran = box(capsys, job_folder(tmp_path, corners=wrong))
    assert ran.status == 2
    assert re.fullmatch(r"corner\[[0-3]\]\.side", ran.json["errors"][0]["field"])


def test_a_folder_without_job_toml_is_told_what_it_takes(tmp_path, capsys):
    folder = job_folder(tmp_path, EL)
    (folder / "job.toml").unlink()
    ran = box(capsys, folder)
    assert ran.status == 2
    assert "[[corner]]" in ran.json["errors"][0]["expected"]


def test_other_commands_of_a_folder_leave_job_toml_alone(el, capsys):
    ran = run(capsys, "storm", el, "--gust", "20", "--now", "2026-03-06 15:00", "--budget", "0", "--json")
    assert ran.status in WITHIN
    assert ran.json["left_out"] == []


# -- what counts -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("missing", ALL_TICKS)
def test_a_corner_counts_only_with_its_four_ticks(tmp_path, capsys, missing):
    ticks = tuple(tick for tick in ALL_TICKS if tick != missing)
    folder = job_folder(tmp_path, EL, corners=ring_corners(EL, closed=False, done=ticks), **STRONG)
    ran = box(capsys, folder)
    (corner,) = ran.json["corners"]
    assert corner["counts"] is False
    assert corner["missing"] == [missing]
    assert corner["takes"] == []


def test_without_a_corner_that_counts_each_wall_is_what_check_says_of_it(tmp_path, capsys):
    """With the wind of a return of that length beside it, as the other wall stands there."""
    folder = job_folder(tmp_path, EL, corners=ring_corners(EL, closed=False, done=()), **STRONG)
    walls = walls_of(box(capsys, folder))
    for name, end, length in (("south", "right", "16 ft"), ("east", "left", "24 ft")):
        path = folder / f"{name}.toml"
        text = path.read_text(encoding="utf-8")
        text = text.replace("[wall]\n", f'[wall]\n{end}_end = "return"\n', 1)
        path.write_text(
            text + f'\n[wall.{end}_return]\nlength = "{length}"\nnailed = false\n', encoding="utf-8"
        )
        alone = run(capsys, "check", path, "--json").json
        for key in ("limit_gust_mph", "clear_out_gust_mph"):
            assert walls[f"{name}.toml"][key] == alone[key]


def test_undeclared_nails_of_a_corner_count_for_nothing_and_are_listed(tmp_path, capsys):
    bare = ring_corners(EL, closed=False, fastener=None, count=None, joint=None)
    ran = box(capsys, job_folder(tmp_path, EL, corners=bare, **STRONG))
    assert ran.json["corners"][0]["counts"] is False
    assert ran.json["assumed"] == ["corner[0].fastener", "corner[0].count", "corner[0].joint"]
    page = run(capsys, "box", tmp_path)
    assert "ASSUMED" in page.out


def test_a_wall_with_nothing_along_itself_gives_no_corner(tmp_path, capsys):
    """A plate that is tacked takes no base shear: its end of the corner counts for nothing, whatever is ticked."""
    folder = job_folder(tmp_path, EL, **STRONG)
    path = folder / "east.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace('state = "final"', 'state = "tacked"'), encoding="utf-8"
    )
    (corner,) = box(capsys, folder).json["corners"]
    assert "south.toml" not in [one["wall"] for one in corner["takes"]]


# -- which brace may leave -------------------------------------------------------------------------------


def test_without_a_forecast_none_leaves(el, capsys):
    ran = box(capsys, el)
    assert ran.json["leave"] == []
    asked = run(capsys, "box", el, "--take-out", "south:B2")
    assert asked.status == 1
    assert "no forecast: none leaves" in said(asked.out)


@pytest.mark.parametrize(("words", "keep"), [(("--gust", "10"), 25), (("--gust", "32"), 32)])
def test_no_brace_leaves_on_a_calmer_word_than_25(el, capsys, words, keep):
    assert box(capsys, el, *words, "--budget", "0").json["keep_mph"] == keep


def test_thunderstorms_keep_58(el, capsys):
    ran = box(capsys, el, "--gust", "20", "--storms", "--now", "2026-03-06 15:00", "--budget", "0")
    assert ran.json["keep_mph"] == 58
    assert ran.json["leave"] == []


def test_one_at_a_time(el, capsys):
    ran = run(capsys, "box", el, "--gust", "25", "--take-out", "south:B2", "--take-out", "east:B1")
    assert ran.status == 2
    assert "one at a time" in ran.err


def test_a_refusal_names_the_corner_and_what_is_not_ticked(tmp_path, capsys):
    ticks = tuple(tick for tick in ALL_TICKS if tick != "edges nailed")
    folder = job_folder(tmp_path, EL, corners=ring_corners(EL, closed=False, done=ticks), **STRONG)
    ran = run(capsys, "box", folder, "--gust", "45", "--take-out", "south:B2")
    assert ran.status == 1
    assert "south:B2 STAYS" in said(ran.out)
    assert "corner south/east: edges nailed not ticked" in said(ran.out)
    ticked = run(
        capsys, "box", folder, "--gust", "45", "--take-out", "south:B2", "--done", "south/east: edges nailed"
    )
    assert "not ticked" not in said(ticked.out)


def test_a_refusal_says_what_would_be_left_and_what_to_keep(el, capsys):
    ran = run(capsys, "box", el, "--gust", "45", "--take-out", "south:B2")
    assert ran.status == 1
    assert re.search(r"leaves \d+ mph, to stay over 45 mph", said(ran.out))


def test_a_gust_that_reaches_the_clear_out_gust_lets_no_brace_leave(el, capsys):
    """It would send people out: one rule for who may be beside a wall, and for what may leave it."""
    left = box(capsys, el, "--gust", "26", "--take-out", "south:B2").json["asked"]
    reached = left["clear_out_gust_without_mph"]
    assert left["allowed"]
    assert reached > 27
    assert not box(capsys, el, "--gust", reached, "--take-out", "south:B2").json["asked"]["allowed"]
    assert box(capsys, el, "--gust", reached - 1, "--take-out", "south:B2").json["asked"]["allowed"]


NOON = ("--now", "2026-03-06 12:00", "--zone", "UTC")


def foretold(folder, *rows):
    """A forecast of some hours of a day, gusts of 20 mph."""
    path = folder / "forecast.csv"
    lines = [f"2026-03-06T{hour:02d}:00Z,20" for hour in rows]
    path.write_text("\n".join(["time,gust_mph", *lines]) + "\n", encoding="utf-8")
    return path


def of_forecast(capsys, el, path, *more):
    return box(capsys, el, "--forecast", path, "--take-out", "south:B2", *NOON, *more)


def test_a_forecast_that_does_not_cover_the_time_up_to_the_next_event_lets_none_leave(el, tmp_path, capsys):
    """Begun by now it lets a brace out; that begins at 3 pm it says nothing of noon, whatever it says of tonight."""
    assert of_forecast(capsys, el, foretold(tmp_path, *range(11, 20))).json["asked"]["allowed"]
    ran = of_forecast(capsys, el, foretold(tmp_path, *range(15, 20)))
    assert ran.status == 1
    assert ran.json["keep_mph"] is None
    page = run(capsys, "box", el, "--forecast", tmp_path / "forecast.csv", *NOON)
    assert "nothing foretold from" in said(page.out)
    assert "none leaves" in said(page.out)


def test_a_forecast_reaches_the_next_event_or_is_refused(el, tmp_path, capsys):
    path = foretold(tmp_path, *range(11, 20))
    assert of_forecast(capsys, el, path, "--until", "Fri 6 pm").json["asked"]["allowed"]
    ran = of_forecast(capsys, el, path, "--until", "Sat 6 am")
    assert ran.status == 2
    assert ran.json["errors"][0]["field"] == "--until"
    page = run(capsys, "box", el, "--forecast", path, "--until", "Fri 6 pm", *NOON)
    assert "The forecast counts until Fri Mar 6, 6 pm: the next event is done by then" in said(page.out)


def test_a_brace_no_wall_has_is_refused(el, capsys):
    ran = box(capsys, el, "--gust", "25", "--take-out", "south:B9")
    assert ran.status == 2
    assert ran.json["errors"][0]["field"] == "--take-out"


def test_what_leaves_is_over_its_word_read_from_the_files_without_it(el, tmp_path, capsys):
    """Step by step: each brace out of its file, all asked anew; and two that push stay where an end is open."""
    ran = box(capsys, el, "--gust", "40")
    assert ran.json["leave"]
    folder = tmp_path / "after"
    shutil.copytree(el, folder)
    for step in ran.json["leave"]:
        path = folder / step["file"]
        head, *braces = path.read_text(encoding="utf-8").split("[[brace]]")
        rest = [brace for brace in braces if f'mark = "{step["mark"]}"' not in brace]
        assert len(rest) == len(braces) - 1
        path.write_text("[[brace]]".join([head, *rest]), encoding="utf-8")
        after = box(capsys, folder, "--gust", "40", "--budget", "0").json
        assert after["clear_out_gust_mph"] == step["clear_out_gust_mph"] > 40
        assert f"before any gust of {step['clear_out_gust_mph']} mph or over" in step["said"]
    stay = {
        name: sum(one["file"] == name for one in ran.json["stay"]) for name in ("south.toml", "east.toml")
    }
    assert min(stay.values()) >= 2


def test_a_mirrored_job_gives_mirrored_answers(el, tmp_path, capsys):
    """East at the other end of south, every stud and brace mirrored with it."""
    mirrored = job_folder(
        tmp_path, EL, corners=corner_text("south.toml left", "east.toml right"), **STRONG,
        walls={"east": {"studs": ("13 ft 4 in", "8 ft", "2 ft 8 in")},
               "south": {"studs": ("21 ft 4 in", "14 ft 8 in", "9 ft 4 in", "2 ft 8 in")}},
    )  # fmt: skip
    for name in EL:
        path = mirrored / f"{name}.toml"
        path.write_text(path.read_text(encoding="utf-8").replace('"left"', '"right"'), encoding="utf-8")
    here, there = (box(capsys, folder, "--gust", "30", "--budget", "0").json for folder in (el, mirrored))
    for a, b in zip(here["walls"], there["walls"], strict=True):
        assert (a["file"], a["limit_gust_mph"], a["clear_out_gust_mph"]) == (
            b["file"], b["limit_gust_mph"], b["clear_out_gust_mph"],
        )  # fmt: skip
    for a, b in zip(here["corners"][0]["takes"], there["corners"][0]["takes"], strict=True):
        assert a["top_lb"] == pytest.approx(b["top_lb"], rel=1e-6)


def test_the_answer_and_the_job_keep_to_their_schemas(el, capsys):
    answer = box(capsys, el, "--gust", "40", "--budget", "0").json
    validator(schemas()["box"]).validate(answer)
    files = {path.name: tomllib.loads(path.read_text(encoding="utf-8")) for path in el.glob("*.toml")}
    validator(schemas()["job"]).validate(files)
    files["job.toml"]["corner"][0]["strap"] = 3
    assert not validator(schemas()["job"]).is_valid(files)


def test_the_example_of_five_walls(capsys):
    """Three of its four corners count; the fourth has an edge nobody has ticked, and keeps the braces there."""
    ran = box(capsys, EXAMPLES / "five-walls", "--gust", "32", "--budget", "0")
    assert ran.status == 0
    assert [corner["counts"] for corner in ran.json["corners"]] == [True, True, True, False]
    asked = run(capsys, "box", EXAMPLES / "five-walls", "--gust", "32", "--take-out", "yard:B1")
    assert "corner inner/yard: edges nailed not ticked" in said(asked.out)


def test_walls_are_stood_so_that_each_finds_a_corner_the_big_one_last(tmp_path, capsys):
    """Only east is up: north finds it, then west, and south, the longest, last between both; each with its deck."""
    folder = job_folder(
        tmp_path,
        corners=ring_corners(done=()),
        walls={"south": {"length": "30 ft"}, "north": {"length": "30 ft"}},
    )
    for name in ("south", "north", "west"):
        path = folder / f"{name}.toml"
        text = path.read_text(encoding="utf-8").replace("[wall]\n", '[wall]\nstate = "planned"\n', 1)
        path.write_text(text.replace("[floor]\n", '[floor]\nroom = "8 ft"\n', 1), encoding="utf-8")
    ran = box(capsys, folder)
    order = ran.json["stand"]
    assert [one["file"] for one in order] == ["north.toml", "west.toml", "south.toml"]
    assert [len(one["finds"]) for one in order] == [1, 1, 2]
    assert all(one["deck_ft"] == pytest.approx(9.0, abs=1e-9) and not one["has_room"] for one in order)
    page = said(run(capsys, "box", folder).out)
    assert "TOO LITTLE" in page
    assert "1 of 4 walls up" in page


# -- the screen ------------------------------------------------------------------------------------------


def test_one_screen_clear_out_first(el, capsys):
    ran = run(capsys, "box", el, "--gust", "40")
    lines = ran.out.splitlines()
    assert lines[0].startswith("CLEAR OUT before a forecast gust of")
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80
    assert "Count for nothing here: decks, roofs" in said(ran.out)


def test_check_of_a_wall_is_never_over_what_box_says_of_it(tmp_path, capsys):
    """With nothing ticked they are the same: the wall at its corner catches wind for both. With the example's ticks box
    may say more."""
    ticked = box(capsys, EXAMPLES / "five-walls", "--budget", "0").json["walls"]
    shutil.copytree(EXAMPLES / "five-walls", tmp_path / "bare")
    path = tmp_path / "bare" / "job.toml"
    path.write_text(re.sub("done = .*", "done = []", path.read_text(encoding="utf-8")), encoding="utf-8")
    bare = box(capsys, path.parent, "--budget", "0").json["walls"]
    for one, other in zip(ticked, bare, strict=True):
        alone = run(capsys, "check", EXAMPLES / "five-walls" / one["file"], "--json").json
        for key in ("limit_gust_mph", "limit_gust_with_people_mph", "clear_out_gust_mph"):
            assert alone[key] == other[key]
            assert alone[key] <= one[key]


def test_a_wall_is_told_which_walls_its_job_has_at_its_ends(tmp_path, capsys):
    page = said(run(capsys, "check", EXAMPLES / "five-walls" / "inner.toml").out)
    assert "job.toml: north.toml at LEFT, yard.toml at the right" in page
    shutil.copytree(EXAMPLES / "five-walls", tmp_path / "five")
    folder = tmp_path / "five"
    without = run(capsys, "check", folder / "yard.toml", "--json").json["limit_gust_mph"]
    (folder / "job.toml").unlink()
    assert run(capsys, "check", folder / "yard.toml", "--json").json["limit_gust_mph"] > without
    (folder / "job.toml").write_text('[[corner]]\nwalls = ["yard.toml"]\n', encoding="utf-8")
    ran = run(capsys, "check", folder / "yard.toml", "--json")
    assert ran.status == 2
    assert ran.json["errors"][0]["field"] == "corner[0].walls"


def test_a_nail_one_wall_pushes_across_its_axis_the_other_draws(tmp_path, capsys):
    """Two nails, so that they give first: least where nobody knows which wall draws them; most where each is pushed."""
    limits = []
    for k, say in enumerate(({"joint": None}, {}, {"second_joint": '"shear"'})):
        corners = ring_corners(EL, closed=False, count=2, **say)
        walls = walls_of(
            box(capsys, job_folder(tmp_path / str(k), EL, corners=corners, **STRONG), "--budget", "0")
        )
        limits.append([walls[f"{name}.toml"]["limit_gust_mph"] for name in EL])
    low, one, both = limits
    for a, b, c in zip(low, one, both, strict=True):
        assert a <= b < c


def test_a_piece_under_a_rake_is_as_high_as_its_top_not_as_its_corner(tmp_path, capsys):
    """A 6 ft return, 9 ft high, edges unblocked: 1.5 to 1, and counted; rising to 14 ft it is 2.3 to 1, and is not."""
    held = []
    for name, high in (
        ("level", 'height = "9 ft"\n'),
        ("rake", 'left_height = "9 ft"\nright_height = "14 ft"\n'),
    ):
        folder = job_folder(
            tmp_path / name, EL, walls={"east": {"length": "6 ft", "studs": ("2 ft 8 in",)}}, **STRONG
        )
        path = folder / "east.toml"
        text = path.read_text(encoding="utf-8")
        assert 'height = "9 ft"\n' in text
        path.write_text(text.replace('height = "9 ft"\n', high, 1), encoding="utf-8")
        (corner,) = box(capsys, folder, "--budget", "0").json["corners"]
        held.append("south.toml" in [one["wall"] for one in corner["takes"]])
    assert held == [True, False]


def test_the_sums_of_every_wall_with_its_corners(tmp_path, capsys):
    """The governing link of every kind, lowest first; the first of each wall is what gives first."""
    folder = job_folder(tmp_path, EL, laps="plate", moisture="green", counts=(4, 4, 4), extras=4)
    ran = box(capsys, folder, "--gust", "20", "--trace")
    assert ran.status in (*WITHIN, 1)
    validator(schemas()["box"]).validate(ran.json)
    walls = walls_of(ran)
    for traced in ran.json["trace"]:
        first = traced["links"][0]
        assert first["link"] == walls[traced["file"]]["gives_first"]["link"]
        assert int(first["limit_gust_mph"]) == walls[traced["file"]]["limit_gust_mph"]
        assert "plate fasteners across and along" in {one["link"] for one in traced["links"]}
        assert all(one["steps"] for one in traced["links"])
    out = said(run(capsys, "box", folder, "--gust", "20", "--trace").out)
    assert "Trace of the sums of each wall with its corners" in out
    assert "SOUTH, South" in out
    assert "trace" not in box(capsys, folder, "--gust", "20").json
