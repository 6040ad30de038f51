"""Which wall first: held to every order of every choice of small sets, and as the command line tells it.

And of the work itself: every rung gains something, and names no brace that is not up by then.
"""

from __future__ import annotations

import json
import random
import re
from datetime import datetime
from itertools import combinations, permutations

import pytest

from bracing.storm.first import MOST_EXACT, Crew, Task, first_of
from tests.cli.running import EXAMPLES, run, said
from tests.storm_walls import WALLS

# -- the choice ------------------------------------------------------------------------------------------


def by_the_clock(tasks, order, until, there):
    """Whether one order can be worked, minute by minute: written apart from the program's own rule."""
    now, done = 0, set()
    for k in order:
        for _ in range(tasks[k].minutes):
            now += 1
            if now > until:
                return False
            for j, task in enumerate(tasks):
                if j not in done and now > task.by:
                    return False  # a wall that stands as it did has to be cleared: everybody is out
                if j in done and now > task.after:
                    return False
        done.add(k)
    if any(now > tasks[k].after for k in done):
        return False
    return all(sum(tasks[k].takes[i] for k in order) <= most for i, most in enumerate(there))


def best_of_all(tasks, until, there):
    """Most tasks and fewest minutes of every order of every choice."""
    best = (0, 0)
    for size in range(1, len(tasks) + 1):
        for chosen in combinations(range(len(tasks)), size):
            worth = (-size, sum(tasks[k].minutes for k in chosen))
            if worth < best and any(
                by_the_clock(tasks, order, until, there) for order in permutations(chosen)
            ):
                best = worth
    return best


def some_tasks(rng):
    count = rng.randint(1, 5)
    common = rng.choice((20, 40, 1000))
    tasks = []
    for _ in range(count):
        by = rng.choice((common, rng.randint(5, 60), float("inf")))
        after = rng.choice((by, by + rng.randint(0, 40), float("inf")))
        tasks.append(Task(rng.randint(3, 20), by, after, tuple(rng.randint(0, 6) for _ in range(2))))
    return tasks, rng.choice((rng.randint(5, 70), float("inf"))), tuple(rng.randint(2, 14) for _ in range(2))


@pytest.mark.parametrize("seed", range(120))
def test_the_choice_is_the_best_of_every_order_of_every_choice(seed):
    tasks, until, there = some_tasks(random.Random(seed))
    chosen, proved = first_of(tasks, Crew(until, there))
    assert proved
    assert by_the_clock(tasks, chosen, until, there)
    assert (-len(chosen), sum(tasks[k].minutes for k in chosen)) == best_of_all(tasks, until, there)


def test_the_random_sets_are_not_all_alike():
    """They have choices of none, of some and of all."""
    done = [
        (len(first_of(tasks, Crew(until, there))[0]), len(tasks))
        for tasks, until, there in map(some_tasks, map(random.Random, range(120)))
    ]
    assert any(got == 0 for got, _ in done)
    assert any(0 < got < count for got, count in done)
    assert any(got == count > 2 for got, count in done)


@pytest.mark.parametrize("seed", range(20))
def test_beyond_sixteen_walls_what_is_found_can_be_done_and_is_not_called_proved(seed):
    rng = random.Random(seed)
    count = MOST_EXACT + rng.randint(1, 9)
    tasks = [
        Task(rng.randint(3, 30), by := rng.randint(40, 300), by + rng.randint(0, 200), (rng.randint(0, 5),))
        for _ in range(count)
    ]
    until, there = rng.randint(60, 300), (rng.randint(10, 60),)
    chosen, proved = first_of(tasks, Crew(until, there))
    assert not proved
    assert len(set(chosen)) == len(chosen)
    assert by_the_clock(tasks, chosen, until, there)


def test_beyond_sixteen_walls_easy_sets_are_done_whole():
    tasks = [Task(5, 1000.0, 1000.0, (1,)) for _ in range(20)]
    assert len(first_of(tasks, Crew(100.0, (20,)))[0]) == 20


# -- as the command tells it -------------------------------------------------------------------------------

BRACED = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
WHEN = (
    "--gust",
    "45",
    "--from",
    "Fri 5 pm",
    "--now",
    "2026-03-06 12:00",
    "--zone",
    "America/Chicago",
    "--budget",
    "5",
)


def named(name, *changes):
    text = BRACED.replace("Kitchen wall", name)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


HOUSE = {
    "kitchen": named("Kitchen"),
    "dining": named("Dining", ("floor_fasteners = 6", "floor_fasteners = 4")),
    "bedroom": named("Bedroom", ("head_fasteners = 4", "head_fasteners = 3")),
    "bare": BRACED[: BRACED.index("[[brace]]")].replace("Kitchen wall", "Bare"),
    "planned": named("Planned", ('name = "Planned"', 'name = "Planned"\nstate = "planned"')),
}


@pytest.fixture
def house(tmp_path):
    folder = tmp_path / "house"
    folder.mkdir()
    for name, text in HOUSE.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder


def first(capsys, house, *words):
    ran = run(capsys, "storm", house, *WHEN, *words, "--json")
    assert ran.status == 1
    return ran.json["first"], {wall["wall"]: wall for wall in ran.json["walls"]}


def test_the_walls_to_do_are_in_order_in_time_and_as_their_ladders_say(capsys, house):
    answer, walls = first(capsys, house, "--people", "2", "--hours", "3")
    assert answer["proved_most"]
    assert {turn["wall"] for turn in answer["first"]} == {"Kitchen", "Dining", "Bedroom"}
    at = datetime.fromisoformat("2026-03-06T12:00:00-06:00")
    for turn in answer["first"]:
        wall = walls[turn["wall"]]
        assert datetime.fromisoformat(turn["start"]) == at
        at = datetime.fromisoformat(turn["done"])
        assert (at - datetime.fromisoformat(turn["start"])).total_seconds() == 60 * turn["minutes"]
        assert turn["minutes"] == wall["ladder"]["minutes_for_two"]
        assert turn["limit_gust_after_mph"] == wall["ladder"]["rungs"][-1]["limit_gust_mph"] >= 45
        assert at <= datetime.fromisoformat(wall["out_by"])
    assert at <= datetime.fromisoformat(answer["until"])
    assert answer["minutes"] == sum(turn["minutes"] for turn in answer["first"])


def test_a_wall_that_cannot_be_done_says_why_and_when_to_be_out(capsys, house):
    answer, _ = first(capsys, house, "--people", "2", "--hours", "3")
    (left,) = answer["left"]
    assert (left["wall"], left["why"]) == ("Bare", "people out now")
    assert left["out_by"].startswith("2026-03-06T12:00")
    assert left["zone_ft"] == 16  # 9 ft, 4 ft and the deck's 3 ft
    assert all(
        "Planned" not in json.dumps(part) for part in (answer["first"], answer["left"], answer["within"])
    )


def test_an_hour_is_too_short_for_all(capsys, house):
    answer, walls = first(capsys, house, "--people", "2", "--hours", "1")
    (turn,) = answer["first"]
    assert turn["minutes"] == min(
        walls[name]["ladder"]["minutes_for_two"] for name in ("Kitchen", "Dining", "Bedroom")
    )
    late = [left for left in answer["left"] if left["why"] == "no time"]
    assert {left["wall"] for left in late} | {turn["wall"]} == {"Kitchen", "Dining", "Bedroom"}
    assert all(left["minutes"] and left["lay_down_before"] for left in late)


def test_four_people_need_half_the_minutes_and_three_no_fewer_than_two(capsys, house):
    two, three, four = (first(capsys, house, "--people", str(people))[0] for people in (2, 3, 4))
    minutes = {
        answer["people"]: {turn["wall"]: turn["minutes"] for turn in answer["first"]}
        for answer in (two, three, four)
    }
    assert minutes[2] == minutes[3]
    assert all(abs(minutes[4][name] - minutes[2][name] / 2) <= 1 for name in minutes[2])


def test_what_is_not_on_hand_is_not_there(capsys, house):
    answer, walls = first(capsys, house, "--people", "2", "--on-hand", "1 box 0.22x3")
    assert "structural screw 0.22x8" in walls["Dining"]["ladder"]["truck"]
    left = {one["wall"]: one for one in answer["left"]}
    assert left["Dining"]["why"] == "not on hand"
    assert left["Dining"]["lacks"] == ["structural screw 0.22x8"]
    assert {turn["wall"] for turn in answer["first"]} == {"Kitchen", "Bedroom"}
    assert any("50 in a box" in one for one in answer["assumed"])
    assert any("strap" in one for one in answer["not_counted"])
    taken = answer["take"].get("structural screw 0.22x3", 0)
    assert 0 < taken <= 50


def test_a_count_that_reaches_for_one_wall_is_not_spent_twice(capsys, house):
    (house / "second.toml").write_text(HOUSE["bedroom"].replace("Bedroom", "Second"), encoding="utf-8")
    answer, walls = first(
        capsys, house, "--people", "2", "--on-hand", "100 structural screw 0.22x8, 3 0.22x3"
    )
    need = walls["Bedroom"]["ladder"]["truck"]["structural screw 0.22x3"]
    assert need == walls["Second"]["ladder"]["truck"]["structural screw 0.22x3"] == 3
    done = {turn["wall"] for turn in answer["first"]}
    assert len(done & {"Bedroom", "Second"}) == 1
    other = next(left for left in answer["left"] if left["wall"] in {"Bedroom", "Second"})
    assert (other["why"], other["lacks"]) == ("not on hand", ["more than 3 of structural screw 0.22x3"])


def test_the_screen_fits_and_says_it_in_words(capsys, house):
    out = run(capsys, "storm", house, *WHEN, "--people", "2", "--hours", "1", "--on-hand", "1 box 0.22x3").out
    lines = out.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80
    text = said(out)
    assert text.startswith("WHAT FIRST, for 2 people on one wall at a time, from now until Fri Mar 6, 1 pm.")
    assert "no other choice does more" in text
    assert "Bare: NOT SAVED, people must be out of its zone now" in text
    assert "LAY IT DOWN before" in text
    assert "ASSUMED: 50 in a box of structural screw 0.22x3." in text
    assert not re.search(r"\bsafe\b|\bholds\b|good for", text)


def test_people_nobody_named_are_two_and_it_is_said(capsys, house):
    out = said(run(capsys, "storm", house, *WHEN, "--hours", "3").out)
    assert "for 2 people" in out
    assert "ASSUMED: two people." in out


def test_a_message_has_a_line_a_wall(capsys, house):
    lines = run(capsys, "storm", house, *WHEN, "--people", "2", "--hours", "3", "--short").out.splitlines()
    assert [line[:2] for line in lines[1:4]] == ["1.", "2.", "3."]
    assert "Bare: NOT SAVED" in lines[4]


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("--people", "1"), "--people"),
        (("--people", "two"), "--people"),
        (("--hours", "-3"), "--hours"),
        (("--hours", "0"), "--hours"),
        (("--hours", "soon"), "--hours"),
        (("--on-hand", "a box of things"), "--on-hand"),
        (("--on-hand", "1 box 9.99x9"), "--on-hand"),
        (("--on-hand", ""), "--on-hand"),
    ],
)
def test_what_cannot_be_read_is_one_line(capsys, house, words, field):
    ran = run(capsys, "storm", house, *WHEN, *words, "--json")
    assert ran.status == 2
    (fault,) = json.loads(ran.out)["errors"]
    assert fault["field"] == field


def test_one_wall_is_nothing_to_choose_from(capsys, house):
    ran = run(capsys, "storm", house / "kitchen.toml", *WHEN, "--people", "2", "--json")
    assert ran.status == 2
    assert json.loads(ran.out)["errors"][0]["expected"] == "a folder of walls to choose from"


# -- the work itself -----------------------------------------------------------------------------------------


def braced(tmp_path, name):
    path = tmp_path / "wall.toml"
    path.write_text(WALLS.get(name) or BRACED, encoding="utf-8")
    return path


@pytest.mark.parametrize(("name", "gust"), [("short", 40), ("two", 40), ("habit", 30), ("example", 50)])
def test_every_rung_gains_and_names_no_brace_that_is_not_up(capsys, tmp_path, name, gust):
    path = braced(tmp_path, name)
    before = run(capsys, "check", path, "--json").json
    up = {brace["mark"] for brace in before["braces"]}
    ran = run(capsys, "storm", path, "--gust", gust, *WHEN[2:-1], 10, "--json")
    rungs = ran.json["ladder"]["rungs"]
    assert rungs
    last = before["limit_gust_mph"]
    for rung in rungs:
        assert rung["limit_gust_mph"] > last
        last = rung["limit_gust_mph"]
        if "brace" in rung["kind"]:
            up |= set(rung["marks"])
        words = " ".join((*rung["what"], *rung["falls"]))
        assert set(re.findall(r"\bB[0-9]+\b", words)) | set(rung["marks"]) <= up


def test_a_narrow_screen_lists_all_that_goes_in_the_truck(capsys, monkeypatch):
    """At the width of a phone a list too wide for it lost its first line."""
    listed = {}
    for width in (80, 44):
        monkeypatch.setenv("COLUMNS", str(width))
        asked = (
            "storm",
            EXAMPLES / "short-wall-braced.toml",
            "--gust",
            45,
            "--now",
            "2026-05-08T12:00",
            "--all",
        )
        text = said(run(capsys, *asked).out)
        listed[width] = re.search(r"In the truck: (.*?) About [0-9]+ min", text)[1]
    assert listed[44] == listed[80]
    assert listed[80].startswith("3 strap")
