"""A deck over the walls holds their tops once all of it is there; laid in part it is nothing, and that is said."""

from __future__ import annotations

import pytest

from bracing.box.report import report
from bracing.reading.house import read_house
from bracing.text.box import box_page
from bracing.text.page import Page
from tests.box_walls import (
    ALL_OF_A_DECK,
    ALL_TICKS,
    RING,
    box,
    deck_text,
    hold_one_fault,
    job_folder,
    out_of_file,
    ring_corners,
)
from tests.cli.running import run, said

STRONG = {"laps": "rim", "moisture": "dry", "studs": ()}  # no brace is left
BUDGET = ("--budget", "0")
NOTHING = "counts for nothing"


def ring(folder, deck, *, corners=None, **changes):
    return job_folder(
        folder, corners=(ring_corners() if corners is None else corners) + deck, **(STRONG | changes)
    )


def gusts(answer):
    return [(w["file"], w["limit_gust_mph"], w["clear_out_gust_mph"]) for w in answer["walls"]]


@pytest.fixture(scope="module")
def counted(tmp_path_factory):
    return ring(tmp_path_factory.mktemp("deck") / "job", deck_text())


@pytest.fixture(scope="module")
def without(tmp_path_factory):
    """The answer of the same ring with no deck."""
    read = read_house(ring(tmp_path_factory.mktemp("none") / "job", ""))
    return report(read.house, read.jobs, read.placed, kept=None).to_dict()


def test_all_of_it_there_it_counts_and_says_whose_tops_it_holds(counted, without, capsys):
    ran = box(capsys, counted, "--gust", "32", *BUDGET)
    (deck,) = ran.json["decks"]
    assert deck["counts"]
    assert deck["why_not"] == deck["missing"] == []
    assert without["decks"] == []
    assert all(a[1] > b[1] for a, b in zip(gusts(ran.json), gusts(without), strict=True))
    assert "deck 1 counts, at the tops of south, east, north, west." in said(run(capsys, "box", counted).out)


LEFT_OUT = [
    *((deck_text(done=tuple(t for t in ALL_OF_A_DECK if t != tick)), f"{tick} not ticked") for tick in ALL_OF_A_DECK),
    *(
        (deck_text(**{key: None}), f"{key} not declared")
        for key in (
            "sheathing", "nail", "edge_spacing", "whole", "top_fastener", "top_spacing", "lap_fastener", "lap_count",
        )
    ),
    (deck_text(edge_spacing='"8 in"'), "nailed wider than 6/12"),
    (deck_text(field_spacing=None), "nailed wider than 6/12"),
    (deck_text(joists='{ size = "2x10", spacing = "32 in" }'), "nailed wider than 6/12"),
    (deck_text(kind='"roof"', done=()), "a roof; its own wind"),
]  # fmt: skip


@pytest.mark.parametrize(("deck", "why"), LEFT_OUT, ids=[why for _, why in LEFT_OUT])
def test_of_which_anything_is_wanting_it_counts_for_nothing_to_the_last_mph(tmp_path, without, deck, why):
    read = read_house(ring(tmp_path, deck))
    found = report(read.house, read.jobs, read.placed, kept=None)
    answer = found.to_dict()
    assert not answer["decks"][0]["counts"]
    assert gusts(answer) == gusts(without)
    page = said(box_page(found, Page(), command="bracing box job"))
    assert f"deck 1 {NOTHING}" in page
    assert why in page


def test_it_needs_its_four_walls_at_four_corners_that_count(tmp_path, capsys):
    """One corner not ticked; one wall down: no two counted walls each way."""
    ticks = ALL_TICKS[:-1]
    open_ring = ring_corners(RING, closed=False) + ring_corners(("west", "south"), closed=False, done=ticks)
    ran = box(capsys, ring(tmp_path / "a", deck_text(), corners=open_ring), *BUDGET)
    assert ran.json["decks"][0]["why_not"] == [
        "its four walls are not up and joined at four corners that count"
    ]
    folder = ring(tmp_path / "b", deck_text())
    path = folder / "west.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("[wall]\n", '[wall]\nstate = "planned"\n', 1),
        encoding="utf-8",
    )
    assert not box(capsys, folder, *BUDGET).json["decks"][0]["counts"]


def test_it_lies_level_and_is_no_more_than_three_times_as_long_as_deep(tmp_path, capsys):
    high = {"east": {"height": "9 ft 6 in"}}
    ran = box(capsys, ring(tmp_path / "a", deck_text(), walls=high), *BUDGET)
    assert "the tops of its walls are not level" in ran.json["decks"][0]["why_not"]
    narrow = {name: {"length": "7 ft", "studs": ("2 ft 8 in", "5 ft 4 in")} for name in ("east", "west")}
    ran = box(capsys, ring(tmp_path / "b", deck_text(), walls=narrow), *BUDGET)
    assert "over 3.0 times as long as deep" in ran.json["decks"][0]["why_not"]


def test_it_needs_a_stud_between_the_ends_of_each_wall_to_hold(tmp_path):
    """Walls 2 ft long with studs at 24 in, 4 ft high: two corners each and nothing between them."""
    few = {name: {"length": "2 ft", "height": "4 ft", "head": "3 ft"} for name in RING}
    folder = ring(tmp_path / "job", deck_text(), walls=few)
    for name in RING:
        path = folder / f"{name}.toml"
        text = path.read_text(encoding="utf-8")
        path.write_text(
            text.replace('spacing = "16 in", species', 'spacing = "24 in", species'), encoding="utf-8"
        )
    read = read_house(folder)
    (deck,) = report(read.house, read.jobs, read.placed, kept=None).to_dict()["decks"]
    assert not deck["counts"]
    assert [why.id for why in deck["why_not"]] == ["deck-no-studs"]


def test_a_roof_that_is_on_is_for_an_engineer(tmp_path, capsys):
    """The wind that lifts it is not covered: no gust is given, no brace leaves."""
    ran = box(capsys, ring(tmp_path, deck_text(kind='"roof"')), "--gust", "32", *BUDGET)
    assert ran.status == 1
    assert ran.json["verdict"] == "engineer"
    assert ran.json["clear_out_gust_mph"] is None
    assert ran.json["leave"] == []
    not_yet = box(capsys, ring(tmp_path / "b", deck_text(kind='"roof"', done=())), "--gust", "32", *BUDGET)
    assert not_yet.json["verdict"] == "within"


@pytest.mark.parametrize(
    ("deck", "field", "expected"),
    [
        (deck_text(walls=("south", "east", "north")), "deck[0].walls", "four walls"),
        (deck_text(walls=("south", "east", "north", "north")), "deck[0].walls", "four walls"),
        (deck_text(walls=("south", "east", "north", "wes")), "deck[0].walls[3]", "near: west.toml"),
        (deck_text(done=("nailed",)), "deck[0].done", "nailed off"),
        (deck_text(kind='"joists"'), "deck[0].kind", "roof"),
        (deck_text(strap=3), "deck[0].strap", "known key"),
        (deck_text(nail='"glue"'), "deck[0].nail", "fasteners"),
        (
            deck_text() + deck_text(kind='"roof"', done=()) + deck_text(done=()),
            "deck[2].walls", "deck[0] lies on south",
        ),
    ],
)  # fmt: skip
def test_a_fault_of_a_deck_names_file_field_value_and_what_is_expected(
    tmp_path, capsys, deck, field, expected
):
    hold_one_fault(box(capsys, ring(tmp_path, deck)), field, expected)


def test_it_is_ticked_on_the_command_line(tmp_path, capsys):
    folder = ring(tmp_path, deck_text(done=ALL_OF_A_DECK[:2]))
    assert not box(capsys, folder, *BUDGET).json["decks"][0]["counts"]
    assert box(capsys, folder, *BUDGET, "--done", "deck 1: tops fastened").json["decks"][0]["counts"]
    for words in ("deck 2: laid", "deck 1: all"):
        ran = box(capsys, folder, "--done", words)
        assert ran.status == 2
        assert ran.json["errors"][0]["field"] == "--done"


def test_every_brace_leaves_once_it_counts_each_over_its_word_read_from_the_files(tmp_path, capsys):
    """Under a deck both ends and the top are held: with two braces on one wall both leave, and none without it."""
    few = {name: {"studs": ()} for name in ("east", "north", "west")} | {
        "south": {"studs": ("9 ft 4 in", "14 ft 8 in")}
    }
    folder = ring(tmp_path / "job", deck_text(), walls=few)
    ran = box(capsys, folder, "--gust", "39")
    assert sorted(one["mark"] for one in ran.json["leave"]) == ["B1", "B2"]
    for step in ran.json["leave"]:
        out_of_file(folder, step["file"], step["mark"])
        after = box(capsys, folder, "--gust", "39", *BUDGET).json
        assert after["clear_out_gust_mph"] == step["clear_out_gust_mph"] > 39
    part = ring(tmp_path / "part", deck_text(done=("laid", "tops fastened")), walls=few)
    assert box(capsys, part, "--gust", "39").json["leave"] == []


def test_the_page_of_the_job_has_its_ticks(counted, tmp_path, capsys):
    page = tmp_path / "job.html"
    assert run(capsys, "box", counted, *BUDGET, "-o", page).status == 0
    text = page.read_text(encoding="utf-8")
    assert "all three and declared" in text
    assert "✓ nailed off" in text
