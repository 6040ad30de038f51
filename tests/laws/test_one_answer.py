"""One wall has one answer: JSON, tables, page, its CSV and trace, each read back from what a person is handed.

The JSON carries the numbers unrounded, or rounded as the contract says. Whatever else shows one of them shows it
rounded to the digits it prints: gusts, lengths and strengths down, forces and shares up, angles and sums to nearest.
"""

from __future__ import annotations

import csv
import io
import json
import math
import re

import pytest
from attrs import evolve
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bracing.chain.cuts import cut_of
from bracing.check import check
from bracing.commands.output import as_json
from bracing.job.envelope import beyond
from bracing.sheet.facts import Facts, drawings
from bracing.sheet.writing import WRITERS, page_of
from bracing.stages.stages import StagesResult
from bracing.text.check import Details, check_page
from bracing.text.hand_check import hand_check
from bracing.text.page import Page
from bracing.text.trace import trace, trace_page
from tests.approx import half_of_last_digit, printed
from tests.laws.read_back import TAPE, flat, is_ceiling, is_down, is_floor, is_up, number, taped
from tests.walls import fastened_job, random_job

html5lib = pytest.importorskip("html5lib")
pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

GONE_HEADS = ["brace gone", "limit gust", "lost in the gust"]
DETAILS = Details(links=True, one_missing=True)
SIDES = {"push": "outside", "pull": "brace side"}
WINDS = {**SIDES, "along": "either end"}
LINK_HEADS = ["what", "wind from", "limit gust"]
BRACE_HEADS = ["mark", "stud", "head", "set-back", "deg", "length", "stock", "push", "pull"]
FIRST = (
    "Gives first",
    "Weakest of the links that count",
    "First of what counts for nothing",
    "First to look at",
)
# A length of the JSON, and where it is shown: columns of the text, of the page, of the CSV.
PLACES = (
    ("x_ft", ["stud"], ["Stud from LEFT"], ["stud from LEFT in"]),
    ("head_ft", ["head"], ["Head up"], ["head in"]),
    ("set_back_ft", ["set-back"], ["Foot out"], ["set-back in"]),
    ("foot_x_ft", [], ["Foot from LEFT"], ["foot from LEFT in"]),
    ("length_ft", ["length"], [], []),
)
MOST_GUST = 120.0  # of the envelope: what takes more is not on the page
SIXTEENTH = 1.0 / 16.0
TRIFLE = 1e-9  # of a load that is nothing but the last bits of a sum
MM, MPH, LB = (
    25.4,
    0.44704,
    4.4482216152605,
)  # millimetres in an inch, m/s in a mph, newtons in a pound: exact
NUMBER = r"\(?(-?[\d.]+(?:e[+-]?\d+)?)\)?"


# -- walls ------------------------------------------------------------------------------------------------


KINDS = {
    "fastened": fastened_job,
    "as drawn": random_job,
}  # as drawn most of them can still move: their limit is 0


def is_inside(drawn):
    """Whether the program covers a wall that was drawn."""
    kind, seed, gust = drawn
    return not beyond(KINDS[kind](seed), gust)


DRAWN = st.tuples(
    st.sampled_from(("fastened", "fastened", "as drawn")), st.integers(0, 10**6), st.sampled_from((None, 17.3, 30.0))
)  # fmt: skip


def facts_of(result):
    """What the page says of a wall; its pictures left blank and its stages left out: others hold those."""
    job = result.job
    return Facts(
        as_filed=result, result=result, layout=None, cuts=tuple(cut_of(job, brace) for brace in job.braces),
        stages=StagesResult(job, None, (), (), (), (), None), ladder=None, ladder_gust=58.0, trace=trace(result),
        storm=None,
        drawings=tuple(evolve(drawing, items=()) for drawing in drawings(result)),
    )  # fmt: skip


def told_of(result):
    return json.loads(as_json(result.to_dict()))


# -- reading back -----------------------------------------------------------------------------------------


def text_of(result, *, metric=False):
    """All of the page of text, as wide as the command prints it where there is no terminal."""
    return check_page(
        result, hand_check(result), Page(metric=metric, whole=True), wall="wall.toml", details=DETAILS
    )


def table_of(text, heads):
    """Rows of a table of text by its heads, also where it was too wide and each row is a paragraph."""
    lines = text.split("\n")
    for k, line in enumerate(lines):
        if re.split(r"  +", line.strip()) == heads:
            body = (re.split(r"  +", each.strip()) for each in until_blank(lines[k + 1 :]))
            return [dict(zip(heads, cells, strict=True)) for cells in body if len(cells) == len(heads)]
    named = ", ".join(f"{re.escape(head)} (.+?)" for head in heads[1:])
    row = re.compile(rf"(\S.*?): {named}(?=$)")
    stacked = re.sub(r"\n {2,}", " ", text).split("\n")
    return [
        dict(zip(heads, found.groups(), strict=True)) for each in stacked if (found := row.fullmatch(each))
    ]


def until_blank(lines):
    for line in lines:
        if not line.strip():
            return
        yield line


def page_tables(text):
    """Every table of a page: its caption and its rows by their heads; and all the words."""
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)
    found = []
    for table in tree.iter("table"):
        heads = [words(head) for head in table.find("thead").iter("th")]
        rows = [[words(cell) for cell in row] for row in table.find("tbody").iter("tr")]
        found.append((words(table.find("caption")), [dict(zip(heads, row, strict=True)) for row in rows]))
    return found, words(tree.find("body"))


def words(element):
    return flat("".join(element.itertext()))


def captioned(tables, start):
    (rows,) = [rows for caption, rows in tables if caption.startswith(start)]
    return rows


def the_same(links, link):
    """The link of a list that is a given one; of two rows that bend at one place the one that gives first."""
    same = [
        each for each in links if all(each[key] == link[key] for key in ("link", "direction", "mark", "x_ft"))
    ]
    assert same, link
    return same[0]


def is_link(said, link):
    """Whether words name a link and where it is."""
    if not said.startswith(link["link"]):
        return False
    place = re.sub(
        r" \([^()]*\)$", "", said.removeprefix(link["link"]).strip()
    )  # with what it is in plain words
    if link["mark"] is not None:
        return place == f"at {link['mark']}"
    if link["x_ft"] is None:
        return place == "over the wall"
    at = TAPE.fullmatch(place.removeprefix("at ").removesuffix(" from LEFT"))
    return at is not None and is_floor(taped(at[0]), link["x_ft"] * 12.0, SIXTEENTH)


def is_limit(said, link, *, unit="mph", size=1.0):
    """Whether a gust, or the words instead of one, are the limit of a link."""
    limit = link["limit_gust_mph"]
    if said == "counts for nothing":
        return link["capacity"] <= 0.0 and limit in (None, 0.0)
    if limit is None:
        return said == "not loaded" or said.startswith("over ")
    return is_down(said.removesuffix(f" {unit}"), limit, 1.0 / size)


# -- the laws ---------------------------------------------------------------------------------------------


@settings(max_examples=10)
@given(DRAWN.filter(is_inside))
@example(("as drawn", 228696, None))  # two pieces of a stud with the same limit
@example(("fastened", 228695, None))  # a load that is nothing but the last bits of a sum
def test_json_tables_page_csv_and_trace_agree(drawn):
    kind, seed, gust = drawn
    result = check(KINDS[kind](seed), gust=gust, effects=False)
    facts = facts_of(result)
    it = Answer(result, facts)
    for agrees in (_gusts_agree, _links_agree, _braces_agree, _trace_agrees, _metric_agrees):
        agrees(it)


class Answer:
    """All that is handed out of one wall checked."""

    def __init__(self, result, facts):
        self.result, self.facts = result, facts
        self.told = told_of(result)
        self.traced = json.loads(as_json(facts.trace.to_dict()))
        self.text, self.metric = text_of(result), text_of(result, metric=True)
        self.trace_text = trace_page(result, facts.trace, Page())
        self.tables, self.page = page_tables(page_of(facts))
        self.csv = list(csv.DictReader(io.StringIO(WRITERS[".csv"](facts, None).decode())))
        self.held = {
            side: bool(forces.held.all()) for side, forces in zip(SIDES, result.evaluation.forces, strict=True)
        }  # fmt: skip


def _gusts_agree(it):
    """Clear-out, limit and one-missing gusts, which brace it is, and the zone: JSON, text, page, CSV and trace."""
    told, text = it.told, flat(it.text)
    limit, clear, missing = (
        told[f"{key}_mph"] for key in ("limit_gust", "clear_out_gust", "limit_gust_one_missing")
    )
    assert [it.traced[key] for key in ("limit_gust_mph", "clear_out_gust_mph", "verdict")] == [
        limit, clear, told["verdict"]
    ]  # fmt: skip
    for shown in (text, it.page):
        assert number(shown, r"Limit gust: (\d+) mph") == limit
        assert number(shown, r"With any one brace missing: (\d+) mph") == missing
        mark = re.search(r"one brace missing: \d+ mph \((\S+) gone\)", shown)[1]
        assert told["one_missing_mph"][mark] == missing == min(told["one_missing_mph"].values())
        assert number(shown, r"CLEAR OUT before a forecast gust of (\d+) mph") == (clear or None)
        metered = number(shown, r"\((\d+) mph on a meter")
        assert metered == (told["clear_out_on_meter_mph"] if clear else None)
        assert ("CLEAR OUT now and stay out" in shown) == (clear == 0)
        asked = number(shown, r"(?:WITHIN|OVER) its limit at a gust of ([\d.]+) mph")
        assert asked is None or is_ceiling(asked, told["gust_mph"], 0.1)
        zone = re.search(
            r"Keep clear:? (\S+(?: \S+\")?) from the wall on the brace side, (.+?) outside", shown
        )
        for cell, key in zip(zone.groups(), ("inside", "outside"), strict=True):
            assert is_floor(taped(cell), told["zone_ft"][key] * 12.0, SIXTEENTH)
    gone = table_of(it.text, GONE_HEADS)
    for head, key in zip(GONE_HEADS[1:], ("one_missing_mph", "one_lost_mph"), strict=True):
        assert {row["brace gone"]: row[head] for row in gone} == {
            mark: f"{gust} mph" for mark, gust in told[key].items()
        }
    for row in captioned(it.tables, "Within or over its limit"):
        gust = int(row["Gust"].removesuffix(" mph"))
        assert row["As drawn"] == ("within" if gust <= limit else "over")
        assert row["One brace gone"] == ("within" if gust <= missing else "over")
        assert row["People"] == ("under the clear-out gust" if gust < clear else "out of the zone")
    assert {row["clear-out mph of the wall"] for row in it.csv} == {str(clear)}


def _links_agree(it):
    """What gives first; every link of the list of text; and those of the page with all their figures."""
    told, first = it.told, it.told["gives_first"]
    for shown in (flat(it.text), it.page):
        first_of = rf"(?:{'|'.join(FIRST)}): (.+?), wind (?:along the wall, )?from (?:the )?"
        said = re.search(rf"{first_of}(outside|brace side|either end)", shown)
        assert is_link(said[1], first)
        assert said[2] == WINDS[first["direction"]]
    lowest = {}  # of each kind with each wind, as the page has them
    for row, link in zip(table_of(it.text, LINK_HEADS), told["links"], strict=True):
        assert is_link(row["what"], link)
        assert row["wind from"] == WINDS[link["direction"]]
        assert is_limit(row["limit gust"], link)
        if re.fullmatch(r"\d+ mph", row["limit gust"]) and link["limit_gust_mph"] <= MOST_GUST:
            lowest.setdefault((link["link"], link["direction"]), link)
    shown = captioned(it.tables, "Links, lowest first")
    assert len(shown) == len(lowest)
    for row in shown:
        same = [
            link for link in lowest.values()
            if WINDS[link["direction"]] == row["Wind from"] and is_link(row["What"], link)
        ]  # fmt: skip
        assert len(same) == 1, row
        _figures_agree(row, same[0])


def _figures_agree(row, link):
    """Demand, capacity, ratio, limit gust and clause of a row of the page."""
    figures = re.fullmatch(rf"(any|{NUMBER}) of ({NUMBER}) (.+)", row["Demand of capacity"])
    demand, capacity, unit = figures[1], figures[3], figures[5]
    assert demand == "any" if link["demand"] is None else is_up(demand, link["demand"])
    assert is_down(capacity, link["capacity"])
    assert row["Ratio"] == "no capacity" if link["ratio"] is None else is_up(row["Ratio"], link["ratio"])
    assert is_limit(row["Reaches its limit at"], link)
    recalled = " (from memory)" if link["known"] == "memory" and "from memory" not in link["source"] else ""
    assert (unit, row["Clause"]) == (link["unit"], link["source"] + recalled)


def _braces_agree(it):
    """Where each stands, how it lies, its forces, and the lowest limit of its own links."""
    rows = (
        it.told["braces"], table_of(it.text, BRACE_HEADS), captioned(it.tables, "Braces, with the largest force"),
        it.csv, re.findall(r"Stick (\S+), .+? Cut (.+?) on the top edge", it.page),
    )  # fmt: skip
    for brace, text, page, cells, card in zip(*rows, strict=True):
        assert {text["mark"], page["Brace"], cells["mark"]} == {brace["mark"]}
        assert {text["stock"], page["Stock"], cells["stock"], card[0]} == {brace["stock"]}
        assert {page["Laps"], cells["lap side"]} == {brace["lap_side"]}
        for key, in_text, on_page, in_csv in PLACES:
            inches = brace[key] * 12.0
            for said in [text[head] for head in in_text] + [page[head] for head in on_page]:
                assert is_floor(abs(taped(said)), abs(inches), SIXTEENTH)
                assert taped(said) * inches >= 0.0  # a foot out past LEFT is on its side
            for column in in_csv:
                assert inches == printed(cells[column])
        for said in (text["deg"], page["From the floor"].removesuffix("°"), cells["angle deg"]):
            assert brace["angle_deg"] == printed(said)
        # Cut from long point to long point, it is longer than along its middle.
        assert taped(card[1]) > brace["length_ft"] * 12.0 - SIXTEENTH
        for side, known in it.held.items():
            for said in (text[side], page[side.title()].removesuffix(" lb")):
                assert is_up(said, brace[f"{side}_lb"]) if known else said == "-"
            assert is_up(cells[f"{side} lb"], brace[f"{side}_lb"])
        _own_limit_agrees(page["Own lowest limit"], brace, it.told)


def _own_limit_agrees(said, brace, told):
    """A brace that counts neither way has no limit to show; else it is the lowest of its own links."""
    neither = all(f"nothing in {way}" in (brace["not_counted"] or "") for way in SIDES)
    assert (said == "counts for nothing") == neither
    own = [link["limit_gust_mph"] for link in told["links"] if link["mark"] == brace["mark"]]
    reached = [limit for limit in own if limit is not None]
    if not neither:
        assert is_down(said.removesuffix(" mph"), min(reached)) if reached else said == "over 400 mph"


BEFORE_LINKS = ("weight", "springs", "wind", "along", "head_couple", "clear_out")


def _trace_agrees(it):
    """Its sums are the same lines on the page and in the text, and each link is the link of check."""
    blocks = [flat(block) for block in it.trace_text.split("\n\n")]
    on_page = [rows for _, rows in it.tables if rows and set(rows[0]) == {"What", "Sum", "Is", "Clause"}]
    assert it.traced["gust_mph"] == it.told["loads_gust_mph"]
    before = [steps for part in BEFORE_LINKS if (steps := it.traced[part])]
    for steps, rows in zip(before, on_page[: len(before)], strict=True):
        for step, row in zip(steps, rows, strict=True):
            assert step["value"] == printed(row["Is"].removesuffix(step["unit"]).strip())
            assert (row["What"], row["Clause"]) == (flat(step["what"]), step["source"])
            assert flat(f"{row['Sum']} = {row['Is']}") in flat(it.trace_text)
    for link, rows in zip(it.traced["links"], on_page[len(before) :], strict=True):
        sentence = flat(link["sentence"])
        (block,) = [block for block in blocks if block.startswith(sentence)]
        assert sentence in it.page
        for step, row in zip(link["steps"], rows, strict=True):
            value = row["Is"].removesuffix(step["unit"]).strip()
            assert step["value"] == printed(value)
            assert row["What"] == flat(step["what"])
            assert row["Clause"] == step["source"]
            assert flat(f"{row['Sum']} = {row['Is']}") in block
        _ends_at(link, the_same(it.told["links"], link), block)
    if it.traced["links"] and it.told["limit_gust_mph"]:
        assert the_same(it.traced["links"], it.told["gives_first"]) == it.traced["links"][0]


def _ends_at(link, same, block):
    """A link as traced, and its lines as printed, against the same link of check."""
    at = re.search(
        r"reaches its limit at ([\d.]+) mph, with wind from (?:the )?(outside|brace side|either end)", block
    )
    assert is_floor(float(at[1]), same["limit_gust_mph"], 0.1)
    assert at[2] == WINDS[same["direction"]]
    assert link["limit_gust_mph"] == pytest.approx(same["limit_gust_mph"], rel=1e-9)
    # Of a stud's pieces the trace follows the one with the lowest limit, the list the worst at the gust asked.
    asked, used = (math.inf if each["ratio"] is None else each["ratio"] for each in (link, same))
    assert asked <= used * (1.0 + 1e-9) + TRIFLE
    if asked < used * (1.0 - 1e-9):
        return
    asked, most = (math.inf if each["demand"] is None else each["demand"] for each in (link, same))
    assert asked <= most * (1.0 + 1e-6) + TRIFLE
    assert link["capacity"] == pytest.approx(same["capacity"], rel=1e-9)
    ratio = re.search(rf"ratio: demand over what it may carry ({NUMBER}) / ({NUMBER}) = ({NUMBER})", block)
    if ratio is not None and float(ratio[2]) > TRIFLE:
        demand, capacity, share = float(ratio[2]), float(ratio[4]), ratio[6]
        assert demand <= asked * (1.0 + 1e-6) + TRIFLE
        assert capacity == pytest.approx(same["capacity"], rel=1e-6)
        tie = half_of_last_digit(share) + 1e-6 * demand / capacity
        assert demand / capacity == printed(
            share, within=tie, because="its terms are printed to seven figures"
        )
    equal = re.search(r"gust at which the two are equal √\(\(.+?\) / .+?\) = ([\d.]+) mph", block)
    if equal is not None:
        assert same["limit_gust_mph"] == printed(equal[1])


def _metric_agrees(it):
    """Every number of the metric text is that of the JSON once its unit is turned back."""
    told, text = it.told, flat(it.metric)
    speeds = {
        r"Limit gust: ([\d.]+) m/s": "limit_gust_mph",
        r"any one brace missing: ([\d.]+) m/s": "limit_gust_one_missing_mph",
    }
    if told["clear_out_gust_mph"]:
        speeds[r"forecast gust of ([\d.]+) m/s"] = "clear_out_gust_mph"
        speeds[r"\(([\d.]+) m/s on a meter"] = "clear_out_on_meter_mph"
    for pattern, key in speeds.items():
        assert is_down(re.search(pattern, text)[1], told[key], 1.0 / MPH), key
    gone = table_of(it.metric, GONE_HEADS)
    for row, (mark, gust) in zip(gone, told["one_missing_mph"].items(), strict=True):
        assert row["brace gone"] == mark
        assert is_down(row["limit gust"].removesuffix(" m/s"), gust, 1.0 / MPH)
    zone = re.search(r"Keep clear: (\d+) mm from the wall on the brace side, (\d+) mm outside", text)
    for cell, key in zip(zone.groups(), ("inside", "outside"), strict=True):
        assert is_down(cell, told["zone_ft"][key] * 12.0, 1.0 / MM)
    for row, brace in zip(table_of(it.metric, BRACE_HEADS), told["braces"], strict=True):
        for key, in_text, _, _ in PLACES:
            for head in in_text:
                assert is_down(row[head].removesuffix(" mm"), brace[key] * 12.0, 1.0 / MM)
        for side, known in it.held.items():
            assert is_up(row[side], brace[f"{side}_lb"], 1000.0 / LB) if known else row[side] == "-"
        assert brace["angle_deg"] == printed(row["deg"])
    for row, link in zip(table_of(it.metric, LINK_HEADS), told["links"], strict=True):
        assert is_limit(row["limit gust"], link, unit="m/s", size=MPH)


@settings(max_examples=5)
@given(DRAWN.filter(lambda drawn: not is_inside(drawn)))
def test_beyond_the_envelope_nothing_shows_a_number_to_act_on(drawn):
    kind, seed, gust = drawn
    result = check(KINDS[kind](seed), gust=gust, effects=False)
    facts, told = facts_of(result), told_of(result)
    tables, page = page_tables(page_of(facts))
    numbers = ("limit_gust_mph", "clear_out_gust_mph", "limit_gust_one_missing_mph", "gives_first")
    assert [told[key] for key in numbers] == [None] * 4
    assert told["verdict"] == (None if gust is None else "engineer")
    assert (told["braces"], told["links"], facts.trace) == ([], [], None)
    for shown in (flat(text_of(result)), page, flat(trace_page(result, None, Page()))):
        assert "For an ENGINEER" in shown
        assert "Limit gust:" not in shown
        assert not re.search(r"CLEAR OUT (?:before|now)", shown)
        assert all(flat(why) in shown for why in told["engineer"])
    assert not [caption for caption, _ in tables if caption.startswith(("Braces", "Links", "Within"))]
