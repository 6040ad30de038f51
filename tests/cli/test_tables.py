"""What the pages look like: one screen, never too wide, in the order people need, in the words we allow."""

import itertools
import re
import shlex

import pytest

from bracing.text.page import Page
from tests.cli.running import EXAMPLES, run
from tests.wall_files import wall_file

FILES = sorted(EXAMPLES.glob("*.toml"))
BANNED = re.compile(r"\b(safe|safely|safety|holds|good for|unsafe)\b", re.IGNORECASE)
ORDER = [
    "its limit at a gust of", "CLEAR OUT", "Limit gust", "Gives first", "Keep clear", "Braces,", "ASSUMED",
    "Void if anything differs", "Next",
]  # fmt: skip


@pytest.fixture(params=[80, 60, 40])
def columns(request, monkeypatch):
    monkeypatch.setenv("COLUMNS", str(request.param))
    return request.param


@pytest.mark.parametrize(
    "words",
    [["check"], ["check", "--links", "--assumed", "--one-missing"], ["check", "--metric"], ["fasteners"],
     ["fasteners", "--metric"]],
    ids=" ".join,
)  # fmt: skip
def test_no_line_is_wider_than_the_terminal(capsys, tmp_path, columns, words):
    command, *extra = words
    for path in (EXAMPLES / "as-found.toml", wall_file(tmp_path)):
        ran = run(capsys, command, path, "--gust", 30, *extra)
        too_wide = [line for line in ran.out.splitlines() if len(line) > columns and "\\" not in line]
        long_words = [
            line for line in too_wide if max(map(len, line.split())) > columns - 6
        ]  # a path cannot be broken
        assert too_wide == long_words


def test_a_wide_terminal_still_gets_eighty_columns(capsys, tmp_path, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    ran = run(capsys, "check", wall_file(tmp_path), "--gust", 30)
    assert max(len(line) for line in ran.out.splitlines() if str(tmp_path) not in line) <= 80


@pytest.mark.parametrize("gust", [20, 90])
def test_a_check_is_one_screen_in_order(capsys, tmp_path, monkeypatch, gust):
    monkeypatch.setenv("COLUMNS", "80")
    out = run(capsys, "check", wall_file(tmp_path), "--gust", gust).out
    assert len(out.splitlines()) <= 40
    places = [out.index(words) for words in ORDER]
    assert places == sorted(places)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_example_is_one_screen(capsys, monkeypatch, path):
    monkeypatch.setenv("COLUMNS", "80")
    assert len(run(capsys, "check", path, "--gust", 30).out.splitlines()) <= 40


def test_the_first_number_people_read_is_the_one_they_act_on(capsys, tmp_path):
    lines = run(capsys, "check", wall_file(tmp_path)).out.splitlines()[2:]
    assert re.match(r"CLEAR OUT before a forecast gust of \d+ mph", lines[0])
    assert "on a meter 5 ft above deck" in " ".join(lines[:2])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
@pytest.mark.parametrize("words", [["--gust", "20"], ["--gust", "20", "--links", "--assumed"]])
def test_no_word_promises_anything(capsys, path, words):
    assert BANNED.findall(run(capsys, "check", path, *words).out) == []


def test_what_gives_first_is_in_plain_words(capsys, tmp_path):
    path = wall_file(tmp_path, counts=(8, 8, 2))
    said = " ".join(run(capsys, "check", path, "--gust", 30).out.split())
    assert re.search(
        r"Gives first: cleat to floor at B[14], wind from the brace side, pulling the wall away: 2 x structural "
        r"screw 0\.22x8, into a joist, drawn out",
        said,
    )


def test_links_are_listed_lowest_first_without_a_status_column(capsys, tmp_path):
    lines = run(capsys, "check", wall_file(tmp_path), "--gust", 30, "--links").out.splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith("what "))
    assert re.split(r"  +", lines[start]) == ["what", "wind from", "limit gust"]
    rows = [
        re.split(r"  +", line)
        for line in itertools.takewhile(lambda line: line.endswith("mph"), lines[start + 1 :])
    ]
    gusts = [int(re.search(r"(\d+) mph", row[-1])[1]) for row in rows]
    assert len(gusts) > 40
    assert gusts == sorted(gusts)
    assert {row[1] for row in rows} == {"outside", "brace side", "either end"}


def test_assumed_fields_show_as_typed_with_their_cost(capsys):
    words = ["--length", "24ft", "--height", "9ft", "--studs", "2x6@24in"]
    for at in ("2 ft", "8 ft", "16 ft", "22 ft"):
        words += ["--brace", f"{at}:head 8ft:back 8ft:2x6:ties 1:left:6/6/6:joist"]
    out = run(capsys, "check", *words, "--gust", 20, "--assumed").out
    cost = r"\d+ mph  wall\.plate\.sheathing_spacing = 12 in \(usual 6 in\): the widest usual\s+spacing"
    assert re.search(cost, out)
    assert "wall.moisture = green" in out


def test_a_command_too_long_for_the_line_can_still_be_pasted():
    brace = shlex.quote("18' 2:head 9 ft:back 9 ft")
    words = f"bracing check --length '36 ft' --brace {brace} --gust 45"
    lines = Page(40).command(words)
    assert len(lines) > 2
    # As a shell reads it: a line that ends in a backslash goes on.
    assert shlex.split("\n".join(lines).replace("\\\n", "")) == shlex.split(words)
    assert len(lines[0]) <= 40


def test_numbers_stay_with_their_fraction_and_unit():
    lines = Page(20).para("one brace is 15'-3 5/8\" long and takes 446 lb at 30 mph")
    assert not any(re.search(r"[0-9]$", line) for line in lines)


def test_rounding_is_to_the_cautious_side():
    page, metric = Page(), Page(metric=True)
    assert (page.gust(33.97), page.force(306.1), page.holds(91.9)) == ("33 mph", "307 lb", "91")
    assert (metric.gust(40.0), metric.force(100.0)) == ("17.8 m/s", "0.45 kN")
