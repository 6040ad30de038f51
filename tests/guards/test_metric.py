"""With --metric no line mixes units: what is printed is metric, the same quantities, and JSON stays as it is.

Left in US units, each for its reason: the sums of `trace`, whose printed constants are of one system (what each comes
to stands under it), and the sentence that says so; the commands to type next, which repeat what was typed; names: of
lumber ("2x6"), of fasteners ("lag 3/8x3") and those people give.
"""

from __future__ import annotations

import io
import math
import re
import sys

import pytest

from bracing.text.by_hand import BY_HAND
from tests.cli.running import EXAMPLES, run
from tests.wall_files import wall_text

WALLS = sorted(EXAMPLES.glob("*.toml"))
KITCHEN = EXAMPLES / "short-wall-braced.toml"
READING = ("--at", "B1: 2 in, 2 1/2 in", "--turn", "0.25 in")
LIFTED = (
    "--flat-slings",
    "--slings",
    "30 ft",
    "--sling-tag",
    "900 lb",
    "--line-distance",
    "12 ft",
    "--gust",
    "20",
)
SPREAD = (
    "--spreader",
    "--sling-tag",
    "900 lb",
    "--toe-nails",
    "24: 16d common",
    "--straps",
    "6: 400 lb",
    "--gust",
    "40",
)
ON_A_WALL = {
    "check": ("--gust", "45", "--links", "--assumed", "--one-missing"),
    "weight": (),
    "lift": (*SPREAD, "--all"),
    "fasteners": ("--gust", "45"),
    "stages": ("--gust", "45", "--keep", "25", "--deck-takes", "100 lb/ft"),
}
OTHERS = {
    "lift, slings": ("lift", KITCHEN, *LIFTED, "--all"),
    "layout": ("layout", EXAMPLES / "short-wall.toml", "--gust", "30", "--why", "--links", "--budget", "1"),
    "storm": ("storm", EXAMPLES / "short-wall.toml", "--gust", "60", "--budget", "1"),
    "a gable in a storm": ("storm", EXAMPLES / "south-gable.toml", "--gust", "60", "--budget", "1"),
    "stock": ("stock", "--height", "9 ft", "--gust", "45"),
    "plumb": ("plumb", KITCHEN, *READING),
    "one out": ("stages", KITCHEN, "--gust", "45", "--keep", "25", "--take-out", "B1"),
    "beyond": ("check", "--length", "150 ft", "--height", "40 ft", "--gust", "45"),
}
US = re.compile(
    r"(?<![\w.])[0-9](?:[0-9.,]*[0-9])? ?(?:lbs?|mph|ft|in|psf|psi|pcf|plf|lb/ft|lb/in)\b|[0-9]'-?[0-9]|"
    r"\b(?:lbs?|mph|psf|psi|pcf|plf|inch|inches|pounds)\b|\[(?:ft|in)\]"
)
UNITS_OF_SUMS = "printed in, pounds, inches and miles an hour, for"
KILONEWTON, METRE_PER_SECOND, KILOGRAM = 4.4482216152605e-3, 0.44704, 0.45359237


def flat(text):
    return " ".join(text.split())


def without_commands(text):
    """All but the commands to type next, which go on over lines that end in a backslash."""
    lines, more = [], False
    for line in text.splitlines():
        command = more or line.startswith("  bracing ")
        more = command and line.endswith("\\")
        lines += [] if command else [line]
    return "\n".join(lines)


def us_lines(text):
    return [line for line in without_commands(text).splitlines() if US.search(line)]


def test_the_search_for_us_units_finds_them(capsys):
    for command, words in ON_A_WALL.items():
        assert us_lines(run(capsys, command, KITCHEN, *words).out), command


@pytest.mark.parametrize("command", ON_A_WALL)
@pytest.mark.parametrize("wall", WALLS, ids=lambda path: path.stem)
def test_no_us_unit_of_any_wall(capsys, wall, command):
    ran = run(capsys, command, wall, *ON_A_WALL[command], "--metric")
    assert (ran.status in (0, 1), us_lines(ran.out)) == (True, [])


@pytest.mark.parametrize("words", OTHERS.values(), ids=list(OTHERS))
def test_no_us_unit_of_any_command(capsys, words):
    ran = run(capsys, *words, "--metric")
    assert (ran.status in (0, 1), us_lines(ran.out)) == (True, [])
    assert ran.out


@pytest.mark.parametrize("wall", WALLS, ids=lambda path: path.stem)
def test_trace_has_us_units_in_its_sums_alone_and_says_what_each_comes_to(capsys, wall):
    page = text = flat(run(capsys, "trace", wall, "--gust", "45", "--metric").out)
    answer = run(capsys, "trace", wall, "--gust", "45", "--json").json
    first = [step for part in ("weight", "springs", "wind", "along", "clear_out") for step in answer[part]]
    steps = [*first, *(s for link in answer["links"] for s in link["steps"])]
    assert steps
    hand = answer["by_hand"]
    if hand is not None:  # its equations are sums too, each force said in metric units beside
        begins = text.index(BY_HAND)
        ends = [found.end() for found in re.finditer(r"R \S+: [^:]*? mph, which is \S+ kN", text)]
        assert len(ends) == len(hand["marks"])
        sums = [
            found.end()
            for found in re.finditer(r" \S+ at [0-9.]+ mph, which is -?[0-9.]+ (?:kN/m|kN|N m)", text)
        ]
        assert len(sums) == len(re.findall(r"[0-9] (?:lb|lb/in|lb in|in-lb) at [0-9.]+ mph", text))
        text = text[:begins] + text[sums[-1] :]
    for step in steps:
        said = f"{step['what']} [{step['source']}]" if step["source"] else step["what"]
        assert flat(said) in page
        text = text.replace(flat(said), " ")
        text = re.sub(rf"{re.escape(flat(step['sum']))} = \S+ {re.escape(step['unit'])}(?= |$)", " ", text)
    assert UNITS_OF_SUMS in text
    assert US.search(text.replace(UNITS_OF_SUMS, "")) is None
    forces = [step["value"] for step in steps if step["unit"] == "lb"]
    for force in forces:
        assert f"which is {float(f'{force * KILONEWTON:.4g}'):.10g} kN" in page


def test_no_us_unit_beside_a_load_chart(capsys, tmp_path):
    chart = tmp_path / "chart.csv"
    rows = [f"{r},{h},{c}" for r, c in ((0, 9000), (20, 500), (40, 300)) for h in (0, 60)]
    chart.write_text("\n".join(["reach_ft,height_ft,capacity_lb", *rows]), encoding="utf-8")
    words = (
        "lift",
        KITCHEN,
        "--chart",
        chart,
        "--distance",
        "6 ft",
        "--line-kv",
        "60",
        "--line-distance",
        "8 ft",
    )
    ran = run(capsys, *words, "--metric")
    assert ("least margin" in flat(ran.out), "power line at" in flat(ran.out), us_lines(ran.out)) == (
        True,
        True,
        [],
    )


def test_no_us_unit_of_a_wall_to_lay_down(capsys, tmp_path):
    """110 mph is past what work on hand covers: the short text says up to which gust the wall may be laid down."""
    wall = tmp_path / "wall.toml"
    wall.write_text(wall_text())
    when = ("--from", "Fri 8 pm", "--now", "2026-03-06 12:00", "--zone", "America/Chicago")
    ran = run(capsys, "storm", wall, "--gust", "110", *when, "--short", "--metric")
    assert ("lay it down before" in flat(ran.out), us_lines(ran.out)) == (True, [])


# -- the same quantities ---------------------------------------------------------------------------------


def shown(text, before, unit):
    """The number after some words and before its unit."""
    found = re.search(rf"{before} ([0-9.,]+) {unit}", flat(text))
    assert found, (before, unit)
    return float(found[1].replace(",", ""))


def test_a_lift_in_metric_is_the_same_lift(capsys):
    words = ("lift", KITCHEN, *LIFTED)
    answer, text = run(capsys, *words, "--json").json, run(capsys, *words, "--metric", "--all").out
    for before, key in (
        ("Rig for", "rig_for_lb"),
        ("hook in 0 deg", "head_force_lb"),
        ("at plumb:", "tag_line_lb"),
    ):
        exact = answer[key] * KILONEWTON
        assert exact - 1e-9 <= shown(text, before, "kN") < exact + 0.01 + 1e-9  # demands up
    kilograms = answer["weight_lb"] * KILOGRAM
    assert kilograms <= shown(text, "Rig for [0-9.]+ kN:", "kg") < kilograms + 1.0
    link = answer["links"][0]
    exact = link["capacity_lb"] * KILONEWTON
    assert exact - 0.01 < shown(text, r"P1 round the stud: [0-9.]+ kN of", "kN") <= exact  # strengths down
    limit = answer["limit_gust_mph"] * METRE_PER_SECOND
    assert limit - 0.1 < shown(text, "Lift only up to gusts of", "m/s") <= limit  # gusts down
    assert shown(text, r"\(tag", "kN") == math.floor(900.0 * KILONEWTON * 100.0) / 100.0


def test_a_check_in_metric_is_the_same_check(capsys):
    words = ("check", KITCHEN, "--gust", "45")
    answer, text = run(capsys, *words, "--json").json, run(capsys, *words, "--metric").out
    for before, key in (("forecast gust of", "clear_out_gust_mph"), ("Limit gust:", "limit_gust_mph")):
        exact = answer[key] * METRE_PER_SECOND
        assert exact - 0.1 < shown(text, before, "m/s") <= exact + 1e-9


def test_readings_in_metric_are_the_same_readings(capsys):
    text = run(capsys, "plumb", KITCHEN, *READING, "--metric").out
    assert re.search(
        r"Lengthen B1 \(at [0-9]+ mm\) [0-9]+ mm, 1\.6 turns: top leans in 13 mm", flat(text)
    )  # half an inch


RIGGED = ("--flat-slings", "--slings")
SAME = {
    "lift": (
        ("lift", KITCHEN, "--lift-each", "50 lb", "--gust", "20"),
        ("lift", KITCHEN, "--lift-each", "222.41108 N", "--gust", "8.9408 m/s"),
    ),
    "rigging": (
        ("lift", KITCHEN, *RIGGED, "20 ft", "--sling-tag", "900 lb", "--straps", "6: 400 lb"),
        (
            "lift",
            KITCHEN,
            *RIGGED,
            "6.096 m",
            "--sling-tag",
            "4.003399454 kN",
            "--straps",
            "6: 1.779288646 kN",
        ),
    ),
    "near a power line": (
        ("lift", KITCHEN, "--line-distance", "12 ft", "--hand-reach", "6 ft", "--below-top", "6 in"),
        (
            "lift",
            KITCHEN,
            "--line-distance",
            "3657.6 mm",
            "--hand-reach",
            "182.88 cm",
            "--below-top",
            "15.24 cm",
        ),
    ),
    "stages": (
        ("stages", KITCHEN, "--gust", "25", "--keep", "20", "--deck-takes", "100 lb/ft"),
        (
            "stages",
            KITCHEN,
            "--gust",
            "11.176 m/s",
            "--keep",
            "8.9408 m/s",
            "--deck-takes",
            "1.459390294 kN/m",
        ),
    ),
    "plumb": (
        ("plumb", KITCHEN, "--at", "B1: 2 in, 3 in", "--turn", "1 in", "--gust", "25"),
        ("plumb", KITCHEN, "--at", "B1: 50.8 mm, 76.2 mm", "--turn", "2.54 cm", "--gust", "11.176 m/s"),
    ),
    "check": (
        ("check", "--length", "20 ft", "--height", "8 ft", "--studs", "2x6@16in", "--gust", "45"),
        (
            "check",
            "--length",
            "6.096 m",
            "--height",
            "243.84 cm",
            "--studs",
            "2x6@406.4mm",
            "--gust",
            "20.1168 m/s",
        ),
    ),
    "stock": (
        ("stock", "--height", "9 ft", "--gust", "45", "--every", "8 ft"),
        ("stock", "--height", "2.7432 m", "--gust", "20.1168 m/s", "--every", "2.4384 m"),
    ),
}


@pytest.mark.parametrize(("us", "metric"), SAME.values(), ids=list(SAME))
def test_what_is_typed_in_metric_is_the_same_question(capsys, us, metric):
    asked, again = (run(capsys, *words, "--json") for words in (us, metric))
    assert asked.status == again.status
    left, right = (numbers(ran.json) for ran in (asked, again))
    assert len(left) == len(right)
    assert left == pytest.approx(right, rel=1e-4, abs=1e-4)


def numbers(answer):
    if isinstance(answer, dict):
        return [each for key, value in answer.items() if key != "input_sha256" for each in numbers(value)]
    if isinstance(answer, list):
        return [each for value in answer for each in numbers(value)]
    return [float(answer)] if isinstance(answer, int | float) and not isinstance(answer, bool) else []


# -- JSON, names, width ----------------------------------------------------------------------------------


@pytest.mark.parametrize("command", [*ON_A_WALL, "trace", "plumb"])
def test_json_is_the_same_with_and_without(capsys, command):
    words = {**ON_A_WALL, "trace": ("--gust", "45"), "plumb": READING}[command]
    plain = run(capsys, command, KITCHEN, *words, "--json")
    assert run(capsys, command, KITCHEN, *words, "--json", "--metric").out == plain.out
    assert plain.json


@pytest.mark.parametrize("command", ["check", "lift", "weight"])
def test_a_name_stays_as_people_gave_it(capsys, tmp_path, command):
    wall = tmp_path / "wall.toml"
    named = wall_text().replace("Test wall", "The 8 ft wall, 45 mph lot")
    wall.write_text(named, encoding="utf-8")
    assert "The 8 ft wall, 45 mph lot" in flat(run(capsys, command, wall, "--metric").out)


@pytest.mark.parametrize("metric", [(), ("--metric",)], ids=["us", "metric"])
@pytest.mark.parametrize("width", [40, 60, 80])
@pytest.mark.parametrize("command", [*ON_A_WALL, "trace", "plumb"])
def test_every_line_fits_the_terminal(capsys, monkeypatch, command, width, metric):
    monkeypatch.setenv("COLUMNS", str(width))
    words = {**ON_A_WALL, "trace": ("--gust", "45"), "plumb": READING}[command]
    text = without_commands(run(capsys, command, KITCHEN, *words, *metric).out)
    assert text
    assert [line for line in text.splitlines() if len(line) > width] == []


# -- walks ----------------------------------------------------------------------------------------------


WALK = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago", "--by", "lead framer")


def test_a_walk_is_metric_in_and_out(capsys, monkeypatch, tmp_path):
    said = {}
    for name, moved, words in (("us", "stud 4 ft", ()), ("metric", "stud 1219.2 mm", ("--metric",))):
        file = tmp_path / f"{name}.toml"
        file.write_text(standing(KITCHEN.read_text(encoding="utf-8")), encoding="utf-8")
        monkeypatch.setattr(sys, "stdin", io.StringIO(f"{moved}\n" + 40 * "\n"))
        said[name] = run(capsys, "built", file, *WALK, *words)
        assert said[name].status == 0, said[name]
    assert us_lines(said["metric"].out) == []
    assert "1219 mm, planned 2844 mm" in flat(said["metric"].out)
    us, metric = ((tmp_path / f"{name}.toml").read_text(encoding="utf-8") for name in ("us", "metric"))
    assert us == metric.replace("1219.2 mm", "4 ft")


def standing(text):
    return text.replace("[wall]\n", '[wall]\nstate = "standing"\n', 1)
