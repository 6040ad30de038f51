"""`bracing check`, end to end: verdicts, exit statuses, faults, and the JSON others build on."""

import contextlib
import io
import json
import os
import subprocess
import sys
from itertools import pairwise

import pytest

import bracing.check
from bracing.commands.cli import main
from bracing.commands.wall_options import WALL_OPTIONS
from bracing.reading.options import OPTIONS
from tests import LONGEST_S
from tests.cli.running import EXAMPLES, ROOT, run
from tests.wall_files import wall_file, wall_text

KEYS = {
    "schema", "program", "standards", "input_sha256", "wall", "gust_mph", "verdict", "limit_gust_mph",
    "clear_out_gust_mph", "limit_gust_one_missing_mph", "gives_first", "zone_ft", "pressure_psf", "assumed",
    "cautions", "braces", "links", "loads",
}  # fmt: skip
BRACE_KEYS = {
    "mark", "x_ft", "foot_x_ft", "head_ft", "set_back_ft", "angle_deg", "length_ft", "stock", "lap_side",
    "push_lb", "pull_lb",
}  # fmt: skip
LINK_KEYS = {
    "link", "direction", "mark", "x_ft", "demand", "capacity", "unit", "ratio", "limit_gust_mph", "source",
}  # fmt: skip
CASE_KEYS = {
    "case", "direction", "wind_lb", "wind_moment_lbft", "total_lb", "moment_about_plate_lbft",
    "plate_shear_lb", "return_lb", "return_moment_lbft", "brace_horizontal_lb",
}  # fmt: skip
RETURNED = """
[wall.left_return]
length = "12 ft"
plated = true
nailed = true
sheathed = true
fastened_down = true
fastener = "16d common"
count = 12
joint = "shear"
"""


def shell(*words, **env):
    """The command as a person runs it."""
    return subprocess.run(
        [sys.executable, "-m", "bracing", *map(str, words)], cwd=ROOT, capture_output=True, text=True,
        timeout=LONGEST_S, stdin=subprocess.DEVNULL, env=os.environ | env,
    )  # fmt: skip


# -- verdicts and statuses -------------------------------------------------------------------------------


@pytest.mark.parametrize(("gust", "status", "word"), [(20, 0, "WITHIN"), (90, 1, "OVER")])
def test_verdict_and_status(tmp_path, capsys, gust, status, word):
    ran = run(capsys, "check", wall_file(tmp_path), "--gust", gust)
    assert ran.status == status
    assert f"{word} its limit at a gust of {gust} mph" in ran.out
    assert ran.err == ""


def test_without_a_gust_there_are_limits_and_no_verdict(tmp_path, capsys):
    path = wall_file(tmp_path)
    assert run(capsys, "check", path).status == 0
    answer = run(capsys, "check", path, "--json").json
    assert (answer["verdict"], answer["gust_mph"]) == (None, None)
    assert answer["limit_gust_mph"] > answer["clear_out_gust_mph"] > 0


def test_beyond_the_envelope_is_for_an_engineer(tmp_path, capsys):
    ran = run(capsys, "check", wall_file(tmp_path), "--gust", 130)
    assert ran.status == 1
    assert "ENGINEER" in ran.out
    assert "130 mph" in ran.out
    assert run(capsys, "check", wall_file(tmp_path), "--gust", 130, "--json").json["verdict"] == "engineer"


def test_a_wall_without_braces_can_still_move_and_the_next_command_is_given(capsys):
    ran = run(capsys, "check", "--length", "36ft", "--height", "10ft", "--peak", "18ft6in", "--gust", 45)
    assert ran.status == 1
    assert "can still move" in ran.out
    assert "its limit gust is 0" in ran.out
    assert "bracing layout --length 36ft --height 10ft --peak 18ft6in --gust 45" in ran.out


def test_options_say_what_a_file_says(tmp_path, capsys):
    text = '[wall]\nname = "wall"\nlength = "20 ft"\nheight = "9 ft"\n'
    text += 'studs = { size = "2x6", spacing = "16 in" }\n'
    braces = ["2 ft 8 in", "9 ft 4 in", "16 ft"]
    for k, at in enumerate(braces, start=1):
        text += (
            f'[[brace]]\nmark = "B{k}"\nstud_at = "{at}"\nhead = "8 ft"\nset_back = "8 ft"\nsize = "2x6"\n'
            'ties = 1\nhead_fasteners = 4\ncleat_fasteners = 4\nfloor_fasteners = 5\nfoot_on = "joist"\n'
        )
    path = tmp_path / "wall.toml"
    path.write_text(text)
    words = ["--length", "20 ft", "--height", "9 ft", "--studs", "2x6@16in"]
    for at in braces:
        words += ["--brace", f"{at}:head 8ft:back 8ft:2x6:ties 1:4/4/5:joist"]
    by_file = run(capsys, "check", path, "--gust", 20, "--json").json
    by_options = run(capsys, "check", *words, "--gust", 20, "--json").json
    for answer in (by_file, by_options):
        del answer["input_sha256"]
    assert by_options == by_file


def test_storms_plan_for_58_mph(tmp_path, capsys):
    ran = run(capsys, "check", wall_file(tmp_path), "--gust", 30, "--storms", "--json")
    assert ran.json["gust_mph"] == 58.0
    text = run(capsys, "check", wall_file(tmp_path), "--gust", 30, "--storms").out
    assert "Thunderstorms: planned for 58 mph at the least; a gust can exceed any number." in " ".join(
        text.split()
    )


def test_a_sustained_speed_is_multiplied_and_shown(tmp_path, capsys):
    ran = run(capsys, "check", wall_file(tmp_path), "--gust", 20, "--sustained")
    assert "A sustained 20 mph, times 1.53, is planned as a gust of 30.6 mph." in " ".join(ran.out.split())
    assert (
        run(capsys, "check", wall_file(tmp_path), "--gust", 20, "--sustained", "--json").json["gust_mph"]
        == 30.6
    )


# -- bad input -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["chek"], "command line: command: got chek; expected a known command; near: check"),
        (["check", "--gst", "45"], "command line: --gst: got --gst; expected a known option; near: --gust"),
        (["check"], "command line: FILE: got nothing; expected a wall file, or the wall in options"),
        (["check", "--gust"], "command line: --gust: got nothing; expected a value after it"),
        (["check", "nowhere.toml"], "nowhere.toml: file: got no such file; expected a wall file that exists"),
        (["check", "a.toml", "b.toml"], "command line: arguments: got b.toml; expected nothing more"),
        (
            ["check", "a.toml", "--peak", "9ft"],
            "command line: --peak: got 9ft; expected it in a.toml, or no file",
        ),
        (["check", "--length", "3", "--height", "9ft"], "command line: --length: got 3; expected a length"),
        (
            ["check", "--length", "30ft", "--height", "9ft", "--gust", "x"],
            "command line: --gust: got x; expected",
        ),
        (
            ["check", "--length", "30ft", "--height", "9ft", "--sustained"],
            "command line: --sustained: got no --gust",
        ),
        (["--nope"], "command line: --nope: got --nope; expected a known option"),
        (
            ["fasteners", "--length", "30ft", "--height", "9ft"],
            "command line: --gust: got nothing; expected the gust",
        ),
    ],
)
def test_a_fault_is_one_line_with_the_next_and_status_2(capsys, words, said):
    ran = run(capsys, *words)
    assert ran.status == 2
    assert ran.err.startswith(said)
    assert ran.err.count("\n") == 2  # and the line to type next
    assert ran.out == ""


def test_every_fault_is_said_and_json_has_them_all(tmp_path, capsys):
    path = tmp_path / "bad.toml"
    path.write_text('[wall]\nlength = "40"\nhight = "9 ft"\nmoisture = "damp"\n')
    plain, as_json = run(capsys, "check", path), run(capsys, "check", path, "--json")
    assert plain.status == as_json.status == 2
    errors = as_json.json["errors"]
    assert len(errors) + 1 == plain.err.count("\n") == len(plain.err.splitlines()) >= 5
    assert {tuple(error) for error in errors} == {("file", "field", "value", "expected")}
    assert any(error["field"] == "wall.hight" and "height" in error["expected"] for error in errors)


def test_a_fault_of_our_own_is_one_line_that_says_how_to_report_it(tmp_path, capsys, monkeypatch):
    def broken(*_, **__):
        message = "two lines\nof detail"
        raise RuntimeError(message)

    monkeypatch.setattr(bracing.check, "check", broken)
    ran = run(capsys, "check", wall_file(tmp_path))
    assert ran.status == 3
    assert ran.err.count("\n") == 1
    assert "RuntimeError: two lines of detail" in ran.err
    assert "report it" in ran.err
    assert "Traceback" not in ran.err


def test_interrupted_is_130(tmp_path, capsys, monkeypatch):
    def stopped(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(bracing.check, "check", stopped)
    assert run(capsys, "check", wall_file(tmp_path)).status == 130


# -- as a person runs it ---------------------------------------------------------------------------------


def test_the_command_runs_as_a_program():
    ran = shell("check", EXAMPLES / "as-found.toml", "--gust", 30)
    assert (ran.returncode, ran.stderr) == (1, "")
    assert ran.stdout.startswith("North wall, as found")


def test_a_closed_pipe_is_quiet():
    command = f'"{sys.executable}" -m bracing check "{EXAMPLES / "as-found.toml"}" --links | head -n 1'
    ran = subprocess.run(command, shell=True, cwd=ROOT, capture_output=True, text=True, timeout=LONGEST_S)
    assert ran.stderr == ""
    assert ran.stdout.startswith("North wall")


def test_help_loads_nothing_heavy_and_a_check_only_what_it_calls():
    """All of scipy.linalg would be a quarter of the time of a check."""
    code = (
        "import sys; from bracing.commands.cli import main; main(['--help']); "
        "print(sorted({'numpy', 'scipy', 'cattrs', 'matplotlib', 'rich'} & set(sys.modules))); "
        f"assert main(['check', {str(EXAMPLES / 'as-found.toml')!r}, '--json']) < 2; "
        "print(sorted({'scipy.linalg', 'scipy.optimize', 'matplotlib', 'pandas'} & set(sys.modules)))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=LONGEST_S
    )
    assert [line for line in ran.stdout.splitlines() if line.startswith("[")] == ["[]", "[]"]


def test_version_names_the_editions(capsys):
    ran = run(capsys, "--version")
    assert ran.status == 0
    assert {"  NDS 2018", "  ASCE 7-16", "  ASCE 37-14"} <= set(ran.out.splitlines())


def test_no_words_at_all_gives_the_help(capsys):
    ran = run(capsys)
    assert ran.status == 0
    assert "check" in ran.out


def test_every_option_of_a_wall_is_offered():
    assert {name for name, _, _ in WALL_OPTIONS} == set(OPTIONS)


# -- JSON ------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    """A wall with free ends and one with a return wall, checked."""
    folder = tmp_path_factory.mktemp("walls")
    free, returned = folder / "free.toml", folder / "returned.toml"
    free.write_text(wall_text())
    returned.write_text(
        wall_text().replace('moisture = "green"', 'moisture = "green"\n left_end = "return"', 1) + RETURNED
    )
    answers = []
    for path in (free, returned):
        with contextlib.redirect_stdout(io.StringIO()) as out:
            main(["check", str(path), "--gust", "40", "--json"])
        answers.append(json.loads(out.getvalue()))
    return answers


def test_json_has_what_the_contract_promises(answers):
    for answer in answers:
        assert set(answer) >= KEYS
        assert set(answer["gives_first"]) == {"link", "direction", "mark", "x_ft"}
        assert set(answer["zone_ft"]) == {"inside", "outside"}
        assert all(set(brace) >= BRACE_KEYS for brace in answer["braces"])
        assert all(set(link) >= LINK_KEYS for link in answer["links"])
        assert all(set(case) >= CASE_KEYS for case in answer["loads"]["cases"])
        assert all(
            set(each) == {"field", "value", "usual", "why", "effect_mph"} for each in answer["assumed"]
        )
        assert {case["direction"] for case in answer["loads"]["cases"]} == {"push", "pull"}
        assert all(brace["push_lb"] >= 0.0 and brace["pull_lb"] >= 0.0 for brace in answer["braces"])


def test_forces_and_moments_balance_from_the_json_alone(answers):
    for answer in answers:
        heads = {brace["mark"]: brace["head_ft"] for brace in answer["braces"]}
        assert len(answer["loads"]["cases"]) >= 8
        for case in answer["loads"]["cases"]:
            braces = case["brace_horizontal_lb"]
            forces = sum(braces.values()) + case["return_lb"] + case["plate_shear_lb"]
            moments = sum(force * heads[mark] for mark, force in braces.items()) + case["return_moment_lbft"]
            assert forces == pytest.approx(case["total_lb"], rel=1e-6)
            assert moments == pytest.approx(case["moment_about_plate_lbft"], rel=1e-6)
    assert all(case["return_lb"] == 0.0 for case in answers[1]["loads"]["cases"])


def test_largest_brace_forces_are_those_of_the_cases(answers):
    for answer in answers:
        for brace in answer["braces"]:
            level = [case["brace_horizontal_lb"][brace["mark"]] for case in answer["loads"]["cases"]]
            along = brace["length_ft"] / brace["set_back_ft"]
            assert brace["push_lb"] == pytest.approx(max(0.0, *level) * along, abs=1e-6)
            assert brace["pull_lb"] == pytest.approx(max(0.0, *(-each for each in level)) * along, abs=1e-6)


def test_at_the_limit_gust_the_first_link_is_fully_used(tmp_path, capsys):
    answer = run(capsys, "check", wall_file(tmp_path), "--json").json
    links = answer["links"]
    assert max(link["ratio"] for link in links) == pytest.approx(1.0, abs=1e-6)
    assert links[0]["ratio"] == pytest.approx(1.0, abs=1e-6)
    assert links[0]["limit_gust_mph"] == pytest.approx(answer["loads_gust_mph"], abs=1e-6)
    assert int(answer["loads_gust_mph"]) == answer["limit_gust_mph"]
    reached = [link["limit_gust_mph"] for link in links if link["limit_gust_mph"] is not None]
    assert all(
        later >= sooner * (1.0 - 1e-7) for sooner, later in pairwise(reached)
    )  # ties keep the chain's order
    assert all(link["limit_gust_mph"] is None for link in links[len(reached) :])


def test_no_link_is_given_a_gust_it_never_reaches(capsys):
    """What counts for nothing while the wall can move has the wall's own limit, 0; what no gust loads has none."""
    answer = run(capsys, "check", EXAMPLES / "as-found.toml", "--gust", 30, "--json").json
    links = answer["links"]
    first = next(link for link in links if link["mark"] == answer["gives_first"]["mark"])
    assert (first["link"], first["limit_gust_mph"]) == (answer["gives_first"]["link"], 0.0)
    assert answer["limit_gust_mph"] == 0
    limits = [link["limit_gust_mph"] for link in links]
    assert None in limits
    assert max(limit for limit in limits if limit is not None) < 400.0
    for link in links:
        if link["limit_gust_mph"] is None:
            assert link["ratio"] < 1.0


def test_clear_out_is_85_percent_of_the_limit_rounded_down(answers):
    for answer in answers:
        assert answer["clear_out_gust_mph"] == answer["limit_gust_mph"] * 85 // 100


def test_the_zone_is_the_height_and_four_feet_and_the_drop_outside(answers):
    assert answers[0]["zone_ft"] == {"inside": 16.0, "outside": 18.0}  # 12 ft of wall, a deck 2 ft up


def test_the_hand_check_is_beside_the_frame_and_near_it(answers):
    hand = answers[0]["hand_check"]
    assert hand["sum_by_hand_lb"] == pytest.approx(
        sum(each["by_hand_lb"] for each in hand["braces"]), abs=1e-6
    )
    # p L h times (0.50 + 0.05) h over the head height, on 24 ft of wall 12 ft high with heads at 9 ft
    assert hand["resultant_raised"]
    assert hand["sum_by_hand_lb"] == pytest.approx(
        hand["pressure_psf"] * 24.0 * 12.0 * 0.55 * 12.0 / 9.0, rel=1e-9
    )
    assert hand["sum_of_grillage_lb"] == pytest.approx(hand["sum_by_hand_lb"], rel=0.02)


def test_a_metric_file_gives_the_same_numbers(tmp_path, capsys):
    metric = {
        "length": "7.3152 m", "height": "3.6576 m", "head": "2743.2 mm", "set_back": "2743.2 mm",
        "studs": ("812.8 mm", "2844.8 mm", "4470.4 mm", "6096 mm"),
    }  # fmt: skip
    (tmp_path / "si").mkdir()
    uneven = wall_file(
        tmp_path, studs=("2 ft 8 in", "9 ft 4 in", "14 ft 8 in", "20 ft")
    )  # no two links alike
    us = run(capsys, "check", uneven, "--gust", "40", "--json").json
    si = run(capsys, "check", wall_file(tmp_path / "si", **metric), "--gust", "17.8816 m/s", "--json").json
    for answer in (us, si):
        del answer["input_sha256"]
        # Links at the same gust to the last bit may change places.
        answer["links"].sort(
            key=lambda link: (link["link"], link["direction"], link["mark"] or "", link["x_ft"] or 0.0)
        )
    assert _rounded(si) == _rounded(us)


def _rounded(value):
    """Numbers to eight digits, so that 7.3152 m and 24 ft compare."""
    if isinstance(value, float):
        return float(f"{value:.8g}") if abs(value) > 1e-6 else 0.0
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in value.items()}
    return [_rounded(each) for each in value] if isinstance(value, list) else value


def test_metric_changes_text_only(tmp_path, capsys):
    path = wall_file(tmp_path)
    assert run(capsys, "check", path, "--json").out == run(capsys, "check", path, "--json", "--metric").out
    assert " m/s" in run(capsys, "check", path, "--metric").out


def test_the_model_file_holds_the_frame(tmp_path, capsys):
    out = tmp_path / "model.json"
    run(capsys, "check", wall_file(tmp_path), "--gust", 40, "--model", out)
    model = json.loads(out.read_text())
    assert {"nodes", "beams", "springs", "cases"} <= set(model)
    assert {spring["mark"] for spring in model["springs"]} == {"B1", "B2", "B3", "B4"}
    case = next(case for case in model["cases"] if case["direction"] == "push" and case["case"] == "A")
    held = {node["id"] for node in model["nodes"] if node["held"]}
    # Loads on held nodes go straight to the plate, which has no arm about itself.
    heights = {node["id"]: node["z_in"] for node in model["nodes"]}
    moment = sum(load * heights[node] for node, load in case["loads_lb"].items())
    heads = {spring["mark"]: heights[spring["node"]] for spring in model["springs"]}
    braces = sum(force * heads[mark] for mark, force in case["brace_horizontal_lb"].items())
    assert all(heights[node] == 0.0 for node in held)
    assert braces == pytest.approx(moment, rel=1e-6)


def test_a_model_file_that_cannot_be_written_is_bad_input(tmp_path, capsys):
    ran = run(capsys, "check", wall_file(tmp_path), "--model", tmp_path / "no" / "model.json")
    assert ran.status == 2
    assert "--model" in ran.err
