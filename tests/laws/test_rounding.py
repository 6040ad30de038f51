"""What is printed is what is computed, rounded to the cautious side; text and JSON never disagree.

Gusts and lengths down, forces, pressures and counts up. The text of a page is read back and held against the
unrounded result.
"""

import json
import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bracing.check import check
from bracing.commands.output import as_json
from bracing.job.envelope import beyond
from bracing.layout.plan import lay_out
from bracing.reading.jobs import job_from_text
from bracing.text.check import Details, check_page
from bracing.text.fasteners import fasteners_page
from bracing.text.hand_check import hand_check
from bracing.text.layout import Shown, layout_page
from bracing.text.page import Page
from bracing.units import down, gust, pounds, tape, up
from bracing.work.joints import choose_fasteners
from tests.laws.read_back import is_ceiling, is_floor, number, rows_of, taped
from tests.wall_files import wall_text
from tests.walls import jobs

WIDE = Page(width=200, whole=True)
METRIC = Page(width=200, metric=True)
DETAILS = Details(links=True, assumed=True, one_missing=True)

# -- one number ------------------------------------------------------------------------------------------


@given(st.floats(0.0, 5000.0))
def test_a_length_is_read_off_the_tape_short(inches):
    assert is_floor(taped(tape(inches)), inches, 1.0 / 16.0)
    assert is_floor(float(tape(inches, metric=True).removesuffix(" mm")) / 25.4, inches, 1.0 / 25.4)


@given(st.floats(0.0, 400.0))
def test_a_gust_is_never_shown_higher(speed):
    assert is_floor(float(gust(speed).removesuffix(" mph")), speed)
    assert is_floor(
        float(gust(speed, metric=True).removesuffix(" m/s")) * 3600.0 / 1609.344,
        speed,
        0.1 * 3600.0 / 1609.344,
    )
    assert is_ceiling(float(WIDE.asked(speed).removesuffix(" mph")), speed, 0.1)


@given(st.floats(0.0, 1e6))
def test_a_force_is_never_shown_lower(load):
    assert is_ceiling(float(pounds(load).removesuffix(" lb")), load)
    newtons = float(pounds(load, metric=True).removesuffix(" kN")) * 1000.0
    assert is_ceiling(newtons / 4.4482216152605, load, 10.0 / 4.4482216152605)
    assert is_floor(float(WIDE.holds(load)), load)
    assert is_ceiling(float(WIDE.pressure(load / 1e4).removesuffix(" psf")), load / 1e4, 0.1)


@given(st.floats(0.0, 1e6), st.integers(0, 3))
def test_up_is_never_lower_and_down_never_higher(value, digits):
    step = 10.0**-digits
    assert is_ceiling(float(up(value, digits)), value, step)
    assert is_floor(float(down(value, digits)), value, step)
    whole = float(int(value))
    assert float(up(whole)) == float(down(whole)) == whole


# -- a wall checked --------------------------------------------------------------------------------------


@settings(max_examples=25)
@given(jobs(), st.sampled_from([None, 17.3, 40.0]))
def test_a_page_of_check_and_its_json_agree_to_the_cautious_side(job, asked):
    result = check(job, gust=asked, effects=False)
    if beyond(job, asked):
        assert result.limit is None
        return
    told = json.loads(as_json(result.to_dict()))
    assert told["limit_gust_mph"] == math.floor(result.limit + 1e-9)
    assert told["clear_out_gust_mph"] == math.floor(0.85 * told["limit_gust_mph"] + 1e-9)
    assert told["limit_gust_one_missing_mph"] == math.floor(min(result.missing) + 1e-9)
    assert told["one_missing_mph"] == {
        brace.mark: math.floor(each + 1e-9) for brace, each in zip(job.braces, result.missing, strict=True)
    }
    text = check_page(result, hand_check(result), WIDE, wall="wall.toml", details=DETAILS)
    assert number(text, r"Limit gust: (\d+) mph") == told["limit_gust_mph"]
    assert number(text, r"any one brace missing: (\d+) mph") == told["limit_gust_one_missing_mph"]
    if told["clear_out_gust_mph"]:
        assert number(text, r"before a forecast gust of (\d+) mph") == told["clear_out_gust_mph"]
        assert number(text, r"\((\d+) mph on a meter") == told["clear_out_on_meter_mph"]
    _braces_agree(text, told, result)
    _links_agree(text, told)


def _braces_agree(text, told, result):
    shown = {cells[0]: cells for cells in rows_of(text, ["mark", "stud"])}
    held = [bool(forces.held.all()) for forces in result.evaluation.forces]
    assert set(shown) == {brace["mark"] for brace in told["braces"]}
    for brace in told["braces"]:
        _, stud, head, back, _, length, stock, push, pull = shown[brace["mark"]]
        for cell, key in ((stud, "x_ft"), (head, "head_ft"), (back, "set_back_ft"), (length, "length_ft")):
            assert is_floor(taped(cell), brace[key] * 12.0, 1.0 / 16.0)
        assert stock == brace["stock"]
        for cell, key, known in ((push, "push_lb", held[0]), (pull, "pull_lb", held[1])):
            assert is_ceiling(float(cell), brace[key]) if known else cell == "-"
    if all(held):
        lift = re.search(
            r"floor down with up to (\d+) lb, and lifts it with (\d+) lb", " ".join(text.split())
        )
        for cell, key in zip(lift.groups(), ("foot_down_lb", "foot_up_lb"), strict=True):
            assert is_ceiling(float(cell), max(brace[key] for brace in told["braces"]))


def _links_agree(text, told):
    rows = rows_of(text, ["what", "wind", "from"])
    assert len(rows) == len(told["links"])
    for cells, link in zip(rows, told["links"], strict=True):
        assert cells[0].startswith(link["link"])
        assert cells[1] == {"push": "outside", "pull": "brace side", "along": "either end"}[link["direction"]]
        if cells[2].endswith("mph") and not cells[2].startswith("over"):
            assert is_floor(float(cells[2].removesuffix(" mph")), link["limit_gust_mph"])
        else:
            assert link["limit_gust_mph"] is None or (link["capacity"] <= 0.0 == link["limit_gust_mph"])
            assert (cells[2] == "counts for nothing") == (link["capacity"] <= 0.0)


@settings(max_examples=10)
@given(jobs())
def test_a_metric_page_is_the_same_answer_to_the_cautious_side(job):
    result = check(job, effects=False)
    if result.limit is None:
        return
    text = check_page(result, None, METRIC, wall="wall.toml", details=Details())
    shown = number(text, r"Limit gust: ([\d.]+) m/s")
    assert is_floor(shown * 3600.0 / 1609.344, result.limit_whole, 0.1 * 3600.0 / 1609.344)
    if result.clear_out:
        clear = number(text, r"before a forecast gust of ([\d.]+) m/s")
        assert is_floor(clear * 3600.0 / 1609.344, result.clear_out, 0.1 * 3600.0 / 1609.344)


# -- fasteners -------------------------------------------------------------------------------------------


@settings(max_examples=8)
@given(jobs(), st.sampled_from([20.0, 33.3]))
def test_fasteners_are_counted_up_and_their_strength_shown_down(job, asked):
    if beyond(job, asked):
        return
    result = choose_fasteners(job, gust=asked)
    told = json.loads(as_json(result.to_dict()))
    text = fasteners_page(result, WIDE, wall="wall.toml")
    for joint in told["joints"]:
        for choice in joint["choices"]:
            needed = choice["needed"]
            if needed is None:
                continue
            assert needed == int(needed) >= 1
            assert choice["use"] is None or choice["use"] <= 1.0 + 1e-9
            if joint["withdrawal_wind"] is None:
                assert (
                    needed * choice["lateral_lb"] >= joint["shear_lb"] * (1.0 - 1e-9)
                    or joint["per"] != "in all"
                )
    _choices_agree(text, told)


def _choices_agree(text, told):
    blocks = text.split("\n\n")
    for joint in told["joints"]:
        block = next(b for b in blocks if b.startswith(joint["joint"].upper()))
        green = {c["fastener"]: c for c in joint["choices"] if c["moisture"] == "green"}
        for cells in rows_of(block, ["fastener", "green"]):
            choice = green[cells[0]]
            shear = cells[1].split("/")
            assert is_floor(float(shear[0]), choice["lateral_lb"])
            if len(shear) > 1:
                assert is_floor(float(shear[1]), choice["axial_lb"])
            assert cells[2] == ("-" if choice["needed"] is None else str(choice["needed"]))


# -- a layout --------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def layout():
    job = job_from_text(wall_text(length="16 ft", studs=("2 ft 8 in", "13 ft 4 in")), "wall.toml")
    return lay_out(job, gust=33.0, budget=0.0)


def test_a_layout_is_cut_short_counted_up_and_bought_whole(layout):
    told = json.loads(as_json(layout.to_dict()))
    assert told["limit_gust_mph"] == math.floor(layout.result.limit + 1e-9)
    assert told["after_each_mph"] == [math.floor(each + 1e-9) for each in layout.after_each]
    for brace in told["braces"]:
        sixteenths = brace["long_point_in"] * 16.0
        assert sixteenths == round(sixteenths)
        # Longer than the middle line, and cut from a stick that is longer still.
        stick = float(re.search(r"x ([\d.]+) ft", brace["stick"])[1])
        assert brace["length_ft"] * 12.0 < brace["long_point_in"] <= stick * 12.0
    used = sum(brace["floor_fasteners"] for brace in told["braces"])
    kit = layout.job.kit.cleat.floor_fastener
    bought = sum(item["count"] for item in told["buy"] if kit.split(" ")[-1] in item["what"])
    assert bought >= used
    assert all(item["count"] == int(item["count"]) > 0 for item in told["buy"])


def test_a_page_of_layout_and_its_json_agree(layout):
    told = json.loads(as_json(layout.to_dict()))
    text = layout_page(layout, WIDE, wall="wall.toml", shown=Shown())
    assert number(text, r"Limit gust: (\d+) mph") == told["limit_gust_mph"]
    assert number(text, r"before a forecast gust of (\d+) mph") == told["clear_out_gust_mph"]
    rows = rows_of(text, ["mark", "stud"])
    assert len(rows) == len(told["braces"])
    for cells, brace, after in zip(rows, told["braces"], told["after_each_mph"], strict=True):
        assert cells[0] == brace["mark"]
        taken = [brace[key] * 12.0 for key in ("x_ft", "head_ft", "set_back_ft")]
        for cell, inches in zip(cells[1:5], [*taken, brace["long_point_in"]], strict=True):
            assert is_floor(taped(cell), inches, 1.0 / 16.0)
        assert cells[6] in brace["stick"]
        assert cells[-1] == str(after)
