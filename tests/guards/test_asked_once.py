"""What is kept from one question to the next: nothing is worked out twice, and only what is the same is shared."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from attrs import evolve

from bracing import check as checks
from bracing.chain import brace as braces_strength
from bracing.chain import foot
from bracing.chain.brace import brace_strength, head_joint, member, spring_give
from bracing.chain.foot import brace_to_cleat, cleat_to_floor
from bracing.chain.materials import materials_of
from bracing.choosing import Budget
from bracing.errors import InputError
from bracing.reading.jobs import job_from_text
from bracing.storm import ladder
from bracing.storm.ladder import WorstHour, find_ladder
from bracing.work import remedies
from tests.cli.running import EXAMPLES, WITHIN, run
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


def forget():
    for module in (braces_strength, foot):
        for each in vars(module).values():
            if hasattr(each, "cache_clear"):
                each.cache_clear()


@pytest.mark.parametrize("name", WALLS)
def test_what_is_shared_is_what_each_brace_would_have_alone(name):
    """Its ends, its stick and its foot are each kept for all they do not hang on, and for no more."""
    job = job_from_text(WALLS[name], "wall.toml")
    materials = materials_of(job)
    others = [
        evolve(brace, **changed)
        for brace in job.braces
        for changed in (
            {}, {"ties": 2}, {"stiffener": "T"}, {"head_fasteners": 1}, {"cleat_fasteners": 1}, {"floor_fasteners": 2},
            {"stud_doubled": True}, {"size": "2x8"}, {"head": brace.head - 6.0}, {"set_back": brace.set_back - 6.0},
        )
    ]  # fmt: skip
    forget()
    shared = [brace_strength(materials, other) for other in others]
    for other, found in zip(others, shared, strict=True):
        forget()
        (pushed, pulled, head), (cleat, _) = head_joint(materials, other), brace_to_cleat(materials, other)
        stick, under = member(materials, other), cleat_to_floor(materials, other)
        assert (found.push[: len(pushed) + 1], found.pull[: len(pulled) + 2]) == (
            (*pushed, stick[0]), (*pulled, stick[1], cleat)
        )  # fmt: skip
        assert (found.push[-len(under.push) :], found.pull[-len(under.pull) :]) == (under.push, under.pull)
        assert (found.head, found.floor, found.slenderness) == (head, under.one, stick[2])
        assert (found.give, found.brace) == (spring_give(materials, other), other)
        assert cleat in found.push


def test_braces_that_differ_in_their_ties_alone_share_their_ends():
    job = job_from_text(WALLS["habit"], "wall.toml")
    forget()
    bare, tied = (brace_strength(materials_of(job), evolve(job.braces[0], ties=n)) for n in (0, 2))
    assert tied.head is bare.head
    assert tied.pull[0] is bare.pull[0]
    assert tied.slenderness != bare.slenderness


def test_a_value_that_was_held_once_is_held_to_its_own_kind_again():
    """True and 1.0 equal 1, and are none."""
    brace = job_from_text(WALLS["habit"], "wall.toml").braces[0]
    assert evolve(brace, ties=1).ties == 1
    for other in (True, 1.0):
        with pytest.raises(InputError):
            evolve(brace, ties=other)
    assert math.copysign(1.0, evolve(brace, stud_at=0.0).stud_at) == 1.0
    assert math.copysign(1.0, evolve(brace, stud_at=-0.0).stud_at) == -1.0


def test_a_layout_works_out_once_what_it_takes_for_granted(capsys, monkeypatch):
    """However often its screen is written until it has room."""
    asked, was = [], checks._assumed
    monkeypatch.setattr(checks, "_assumed", lambda job, **named: asked.append(job) or was(job, **named))
    assert (
        run(capsys, "layout", EXAMPLES / "short-wall.toml", "--gust", "35", "--budget", "0").status in WITHIN
    )
    assert len(asked) == 1


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
