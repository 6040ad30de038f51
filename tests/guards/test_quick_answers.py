"""An answer while a crew waits: nothing is made that nobody reads, and a refusal is bounded in work, not by a clock."""

from __future__ import annotations

import inspect

import numpy as np
import pytest

from bracing.choosing import LAYOUTS_A_SECOND, Budget
from bracing.commands import layout as command
from bracing.errors import NoLayoutError
from bracing.layout import least, nearest, plan, screen
from bracing.layout.needed import choose
from bracing.layout.plan import lay_out
from bracing.layout.space import search_space
from bracing.reading.jobs import job_from_text
from tests.cli.running import WITHIN, run, said

GABLE = """
[wall]
name = "Gable"
length = "24 ft"
height = "9 ft"
peak = "14 ft"
layers = ["osb 7/16"]

[floor]
room = "20 ft"
joists = { run = "away", spacing = "16 in" }
"""
GARAGE = """
[wall]
name = "Garage front"
length = "24 ft"
height = "9 ft"
layers = ["osb 7/16"]

[[wall.opening]]
left = "4 ft"
width = "16 ft"
height = "7 ft"

[floor]
room = "24 ft"
joists = { run = "away", spacing = "19.2 in", first = "7 in" }
"""


def job(text):
    return job_from_text(text, "wall.toml")


def test_doubled_studs_are_paid_for_before_they_are_made():
    """On single studs a plan stands; what is left of the time does not reach for another look: none is made."""
    found = lay_out(job(GABLE), gust=30.0, budget=0.2)
    assert found.grid.single
    assert lay_out(job(GABLE), gust=30.0, budget=5.0).minutes <= found.minutes


def test_a_foot_that_gives_no_more_than_one_that_failed_is_not_tried(monkeypatch):
    made = []
    monkeypatch.setattr(
        plan, "search_space", lambda *of, **more: made.append(search_space(*of, **more)) or made[-1]
    )
    with pytest.raises(NoLayoutError):
        lay_out(job(GABLE), gust=85.0, budget=0.05)
    assert len(made) == 1


def clocks_of_looks(monkeypatch):
    """The clock of every look for what would do, as each begins."""
    clocks, within = [], nearest.laid_within

    def laid(job, gust, clock, **more):
        clocks.append(clock)
        return within(job, gust, clock, **more)

    monkeypatch.setattr(nearest, "laid_within", laid)
    return clocks


def test_a_wall_of_which_nothing_stands_is_given_up(monkeypatch, capsys, tmp_path):
    """Every look for what would do is bounded, and all of them together."""
    clocks = clocks_of_looks(monkeypatch)
    path = tmp_path / "wall.toml"
    path.write_text(GABLE, encoding="utf-8")
    ran = run(capsys, "layout", path, "--gust", "80", "--budget", "0.5", "--json")
    assert ran.status == 1
    assert ran.json["would_do"]
    assert clocks
    a_step = 0.5
    for clock in clocks:
        searched = (clock.spent[0] - clock.beside[0]) / LAYOUTS_A_SECOND
        assert searched <= nearest.GIVEN_UP + a_step
    whole = sum(clock.spent[0] for clock in clocks) / LAYOUTS_A_SECOND
    assert whole <= 15.0


WIDE = """
[wall]
name = "Barn side"
length = "70 ft"
height = "18 ft"
layers = []

[floor]
kind = "deck"
joists = { run = "along", size = "2x8", species = "hem-fir", grade = "No.2", span = "12 ft" }

[site]
exposure = "D"

[kit.cleat]
sides = 1
lie = "flat"
"""


def test_a_layout_of_many_braces_weighs_as_long_as_it_takes():
    """Up to six braces one is as good as another; of twelve the same count takes twice as long."""
    clock = Budget(1.0)
    for braces in (0, 1, 6):
        clock.spend(100.0, braces)
    assert (clock.spent[0], clock.toil[0]) == (300.0, 300.0)
    clock.spend(60.0, 7)
    assert clock.toil[0] == pytest.approx(370.0, abs=1e-9)
    clock.spend(100.0, 12)
    assert clock.toil[0] == pytest.approx(570.0, abs=1e-9)
    assert clock.spent[0] == 460.0
    assert not clock.over


def test_a_wide_wall_of_which_nothing_stands_is_given_up_as_soon(monkeypatch, capsys, tmp_path):
    """Twenty braces and more: what a look at them takes is told by how many they are."""
    first, clocks = [], clocks_of_looks(monkeypatch)

    def began(budget):
        first.append(Budget(budget))
        return first[-1]

    monkeypatch.setattr(plan, "Budget", began)
    path = tmp_path / "wall.toml"
    path.write_text(WIDE, encoding="utf-8")
    ran = run(capsys, "layout", path, "--gust", "45", "--budget", "0.1", "--json")
    assert ran.status == 1
    assert clocks
    a_step = 1.0
    for clock in clocks:
        assert clock.toil[0] / LAYOUTS_A_SECOND <= nearest.GIVEN_UP + a_step
    whole = sum(clock.toil[0] for clock in (first[0], *clocks)) / LAYOUTS_A_SECOND
    assert whole <= 9.0
    assert first[0].toil[0] > 2.0 * first[0].spent[0]


@pytest.mark.parametrize(
    ("row", "gust"),
    [("", 30.0), ('[[wall.row]]\nheight = "5 ft"\nkind = "wale"\n\n', 40.0)],
    ids=["plain", "under a row"],
)
def test_where_a_spread_may_stand_a_search_goes_on_until_one_does(row, gust, monkeypatch):
    """One that the screen lets pass, or under a row, which the screen does not see: no doubt ends the search."""
    monkeypatch.setattr(least, "NOTHING_LIKE", 0.0)
    monkeypatch.setattr(least, "OF_DOUBT", 0.0)
    assert lay_out(job(GABLE.replace("[floor]", f"{row}[floor]")), gust=gust, budget=0.0).job.braces


def gable_layouts():
    """A pool of a gable, and layouts of six braces drawn at random."""
    space = search_space(choose(job(GABLE)), 30.0)
    _, pool, _ = space.single[0]
    chance, studs = np.random.default_rng(3), np.unique(pool.x)
    rows = [
        [chance.choice(np.flatnonzero(pool.x == x)) for x in sorted(chance.choice(studs, 6, replace=False))]
        for _ in range(60)
    ]
    return pool, np.array(rows, dtype=np.intp)


def test_what_is_asked_no_further_off_its_mark_is_no_better_so():
    """The look off the mark stops at what a step down must stay under: what it gives of the rest is exact."""
    pool, layouts = gable_layouts()
    every = screen.off_mark_ratios(pool, layouts)
    most = float(np.median(every))
    some = screen.off_mark_ratios(pool, layouts, most=most, like=layouts[0])
    assert (some[every <= most] == every[every <= most]).all()
    assert (some[every > most] > most).all()
    assert (some <= every).all()


def test_a_ratio_is_exact_up_to_what_is_asked_and_past_it_where_it_is_past():
    pool, layouts = gable_layouts()
    every = screen.worst_ratios(pool, layouts)
    most = float(np.median(every))
    some = screen.ratios_up_to(pool, layouts, most)
    assert (some[every <= most] == every[every <= most]).all()
    assert (some[every > most] > most).all()
    assert (some < every).any()


def test_the_command_looks_as_long_as_the_library():
    asked = inspect.signature(command.layout).parameters["budget"].default
    assert asked == plan.BUDGET == inspect.signature(lay_out).parameters["budget"].default


@pytest.mark.parametrize("gust", [25, 30])
def test_the_front_of_a_garage_has_a_plan(capsys, tmp_path, gust):
    """Its piers turn over along the wall on plate nails alone: the screws a layout puts beside braces hold them."""
    path = tmp_path / "wall.toml"
    path.write_text(GARAGE, encoding="utf-8")
    ran = run(capsys, "layout", path, "--gust", gust, "--budget", "0.5")
    assert ran.status in WITHIN, ran.out
    assert "WITHIN its limit" in said(ran.out)
