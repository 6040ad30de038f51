"""What is kept from one question to the next: nothing is worked out twice, and only what is the same is shared."""

from __future__ import annotations

from collections import Counter

import pytest
from attrs import evolve

from bracing.chain import brace as braces_strength
from bracing.chain.brace import brace_strength
from bracing.chain.materials import materials_of
from bracing.choosing import Budget
from bracing.reading.jobs import job_from_text
from bracing.storm import ladder
from bracing.storm.ladder import WorstHour, find_ladder
from bracing.work import remedies
from tests.storm_walls import WALLS


def strengths(text):
    job = job_from_text(text, "wall.toml")
    materials = materials_of(job)
    return [brace_strength(materials, brace) for brace in job.braces]


@pytest.mark.parametrize("name", WALLS)
def test_over_joists_nobody_knows_braces_alike_have_the_very_same_strengths(name):
    first, *others = strengths(WALLS[name].replace('run = "away", ', ""))
    assert others
    for each in others:
        assert (each.push, each.pull, each.give) == (first.push, first.pull, first.give)
        assert each.push is first.push
        assert each.brace.stud_at != first.brace.stud_at


def test_over_joists_that_run_away_a_foot_on_the_panel_is_lifted_as_far_off_them_as_it_stands():
    """Studs 48, 144 and 240 in from LEFT, all a whole number of joists: a stud moved 5 in is not."""
    there = strengths(WALLS["habit"])
    moved = strengths(WALLS["habit"].replace('stud_at = "48 in"', 'stud_at = "53 in"'))
    lifted = [[s.per_pound for s in each.pull if s.link == "panel to joists"] for each in (*there, *moved)]
    assert all(lifted)
    assert lifted[0] == lifted[1] == lifted[2] == lifted[4]
    assert lifted[3] < lifted[0]


@pytest.mark.parametrize("name", WALLS)
def test_what_is_shared_is_what_each_brace_would_have_alone(name):
    job = job_from_text(WALLS[name], "wall.toml")
    materials = materials_of(job)
    for brace in job.braces:
        for other in (
            evolve(brace, ties=2),
            evolve(brace, head_fasteners=1),
            evolve(brace, stud_doubled=True),
        ):
            braces_strength.brace_strength.cache_clear()
            braces_strength._of_shape.cache_clear()
            alone = braces_strength._of_shape.__wrapped__(materials, other)
            shared = brace_strength(materials, other)
            assert (shared.push, shared.pull, shared.give) == (alone.push, alone.pull, alone.give)
            assert shared.brace == other


@pytest.fixture
def asked(monkeypatch):
    """How often a wall was solved, and how often a set of changes was tried for room."""
    found = Counter()

    def evaluate(model, gust, was=ladder.evaluate):
        found["solved", model.job] += 1
        return was(model, gust)

    def within_room(before, after, was=remedies.within_room):
        found["room", before, after] += 1
        return was(before, after)

    monkeypatch.setattr(ladder, "evaluate", evaluate)
    monkeypatch.setattr(remedies, "within_room", within_room)
    return found


def test_a_storm_solves_a_wall_once_and_asks_of_room_once(asked):
    """As many kinds of work are preferred by turns: each begins with the same wall, and asks for much of the same."""
    remedies._has_room.cache_clear()
    ladder._options.cache_clear()
    job = job_from_text(WALLS["habit"], "wall.toml")
    found = find_ladder(job, WorstHour(58.0, thunderstorm=True))
    assert found.tried > 1
    assert {what for what, *_ in asked} == {"solved", "room"}
    assert set(asked.values()) == {1}


def test_what_is_kept_takes_its_part_of_the_budget_all_the_same():
    """A budget is reckoned in questions: how long a search goes on does not hang on what was kept."""
    job = job_from_text(WALLS["two"], "wall.toml")
    hour = WorstHour(35.0, thunderstorm=False, clock=Budget(10.0))
    spent = []
    for _ in range(2):
        before = hour.clock.spent[0]
        links, covers = hour.over(job), hour.covers(job)
        spent.append(hour.clock.spent[0] - before)
    assert links
    assert not covers
    assert spent[0] == spent[1] > 0.0
