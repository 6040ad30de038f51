"""The limit and the clear-out gust of a wall are one pair of numbers, on whatever screen they stand.

And a file that was written gives, checked, what was promised when it was written, with no warning that nobody told.
"""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest

from bracing.check import check
from bracing.commands.cli import main
from bracing.reading.jobs import job_from_text
from bracing.units import whole_down
from tests.golden.walls import text
from tests.laws.read_back import flat, number

FIRST = 3001  # walls past those that are recorded and those of the law of additions
SLICE, SHEETS = 6, 1
LAID_OUT = (9,)
STORMED = (23, 24)
WALLS, LAYOUTS, BATCH = 2000, 100, 50

Pair = tuple[float | None, float | None]


@pytest.fixture
def ask(tmp_path, monkeypatch, capsys):
    """What runs a command in a place of its own; None where it refuses."""
    monkeypatch.chdir(tmp_path)

    def asked(*words) -> str:
        capsys.readouterr()
        status = main([str(word) for word in words])
        printed = capsys.readouterr()
        assert status in (0, 1, 4), printed.err
        return printed.out

    return asked


def told(ask, *words):
    return json.loads(ask(*words, "--json"))


def pair(answer) -> Pair:
    return answer["limit_gust_mph"], answer["clear_out_gust_mph"]


def shown(page: str) -> Pair:
    """The two as words; out now, where no gust at all is left to wait for."""
    out_now = re.search(r"CLEAR OUT now and stay out", flat(page))
    clear = number(page, r"CLEAR OUT (?:before a forecast|now: the clear-out) gust of (\d+) mph")
    return number(page, r"Limit gust: (\d+) mph"), 0 if out_now else clear


def pairs(ask, name: str, *, sheet: bool) -> dict[str, Pair]:
    """The pair of a wall file as every command gives it; of `stages` once all is up, and while all still is."""
    file = f"{name}.toml"
    result = check(job_from_text(Path(file).read_text("utf-8"), file), effects=False)
    stages = told(ask, "stages", file, "--gust", 10)
    (nailed,) = [each for each in stages["take_down"]["events"] if each["event"] == "partition nailed"]
    Path("list.csv").write_text(f"file\n{file}\n", encoding="utf-8")
    ask("walls", "list.csv", "--gust", 10, "--workers", 1, "--out", f"{name}.csv")
    (row,) = csv.DictReader(Path(f"{name}.csv").read_text("utf-8").splitlines())
    found = {
        "Python": (result.limit and whole_down(result.limit), result.clear_out),
        "check --json": pair(told(ask, "check", file)),
        "check": shown(ask("check", file)),
        "trace --json": pair(told(ask, "trace", file)),
        "storm --json": pair(told(ask, "storm", file, "--gust", 40)),
        "storm": shown(ask("storm", file, "--gust", 40)),
        "stages, all up": pair(stages["stages"][-1]),
        "stages, taking down": pair(nailed),
        "walls": (float(row["limit_gust_mph"]), float(row["clear_out_gust_mph"])),
    }
    if sheet:
        found["sheet --json"] = pair(told(ask, "sheet", file, "-o", f"{name}.html"))
        found["sheet"] = shown(re.sub(r"<[^>]*>", " ", Path(f"{name}.html").read_text("utf-8")))
    return found


def one_number(ask, name: str, *, sheet: bool) -> bool:
    """Hold a wall's screens against one another; False of a wall that has no numbers at all."""
    Path(f"{name}.toml").write_text(text(name), encoding="utf-8")
    if told(ask, "check", f"{name}.toml")["limit_gust_mph"] is None:
        return False
    found = pairs(ask, name, sheet=sheet)
    assert len(set(found.values())) == 1, (name, found)
    return True


def storm_promise(ask, name: str) -> bool:
    """Write a ladder for a little more than a wall takes, and hold its last rung against the file."""
    file = f"{name}.toml"
    Path(file).write_text(text(name), encoding="utf-8")
    limit = told(ask, "check", file)["limit_gust_mph"]
    if limit is None:
        return False
    answer = told(ask, "storm", file, "--gust", limit + 3, "--write")
    if not (answer["ladder"] and answer["ladder"]["rungs"]):
        return False
    last = answer["ladder"]["rungs"][-1]
    after = told(ask, "check", file)
    assert after["limit_gust_mph"] == last["limit_gust_mph"] >= limit + 3, name
    unsaid = set(after["warnings"]) - set(answer["warnings"]) - set(answer["ladder"]["brings"])
    assert not unsaid, (name, unsaid)
    return True


def layout_promise(ask, number: int) -> bool:
    """Lay a wall out into its file, and hold what was promised against the file."""
    name, gust = named(number), 20 + number % 4 * 5
    file = f"{name}.toml"
    Path(file).write_text(text(name), encoding="utf-8")
    promised = told(ask, "layout", file, "--gust", gust, "--budget", "1", "--write")
    if promised.get("limit_gust_mph") is None or not promised["braces"]:
        return False
    found = pairs(ask, name, sheet=False)
    assert {*found.values(), pair(promised)} == {pair(promised)}, (name, pair(promised), found)
    after = told(ask, "check", file)
    assert set(after["warnings"]) <= set(promised["warnings"]), name
    return True


def named(number: int) -> str:
    return f"w{FIRST + number}"


@pytest.mark.parametrize("number", range(SLICE))
def test_every_screen_has_the_same_limit_and_clear_out(ask, number):
    one_number(ask, named(number), sheet=number < SHEETS)


@pytest.mark.parametrize("number", STORMED)
def test_what_storm_writes_is_what_it_promised(ask, number):
    assert storm_promise(ask, named(number))


@pytest.mark.parametrize("number", LAID_OUT)
def test_what_layout_writes_is_what_it_promised(ask, number):
    assert layout_promise(ask, number)


@pytest.mark.proof
@pytest.mark.parametrize("first", range(0, WALLS, BATCH))
def test_two_thousand_walls_have_one_number_each(ask, first):
    with_one = [one_number(ask, named(number), sheet=True) for number in range(first, first + BATCH)]
    assert sum(with_one) > BATCH / 2


@pytest.mark.proof
@pytest.mark.parametrize("first", range(0, WALLS, BATCH))
def test_two_thousand_ladders_give_what_they_promised(ask, first):
    kept = [storm_promise(ask, named(number)) for number in range(first, first + BATCH)]
    assert sum(kept) > BATCH / 10


@pytest.mark.proof
@pytest.mark.parametrize("first", range(0, LAYOUTS, 10))
def test_a_hundred_layouts_give_what_they_promised(ask, first):
    kept = [layout_promise(ask, number) for number in range(first, first + 10)]
    assert sum(kept) > 0
