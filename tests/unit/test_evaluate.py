"""The limit gust where braces work only one way: followed up from rest through every set of working braces."""

from __future__ import annotations

import pytest
from attrs import evolve

from bracing.chain import evaluate
from bracing.chain.evaluate import all_two_way, keeping, limit_and_chain, limit_gust, worst_ratio
from bracing.chain.model import build_model
from bracing.reading.jobs import job_from_text
from tests.wall_files import wall_text

STURDY = job_from_text(wall_text(), "wall.toml")


def slender(*which):
    """The wall with some braces of a long 2x4 without a tie: too slender to be pushed, and as good as any in pull."""
    braces = tuple(evolve(b, size="2x4", ties=0) if k in which else b for k, b in enumerate(STURDY.braces))
    return build_model(evolve(STURDY, braces=braces))


@pytest.fixture(scope="module", params=[(), (0,), (1,), (1, 2), (0, 3)], ids=str)
def model(request):
    return slender(*request.param)


def highest_within(model):
    """By trying every tenth of a mph: the highest gust up to which the whole chain is within."""
    gusts = [k / 10.0 for k in range(1, 1000)]
    low, high = 0, len(gusts)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if worst_ratio(model, gusts[middle]) <= 1.0 else (low, middle)
    return gusts[low] if worst_ratio(model, gusts[low]) <= 1.0 else 0.0


def test_the_limit_gust_is_the_highest_within(model):
    """Braces that hold only in pull leave the others all the push; where that is too few the wall can move."""
    limit = limit_gust(model)
    assert limit == pytest.approx(highest_within(model), abs=0.1)
    if limit:
        assert worst_ratio(model, limit * 0.999) < 1.0 < worst_ratio(model, limit * 1.001)


def test_a_brace_that_holds_one_way_is_worth_no_more_than_one_that_holds_both():
    both = limit_gust(slender())
    assert all(limit_gust(slender(k)) <= both + 1e-9 for k in range(4))
    assert not all_two_way(slender(1))


def test_single_steps_from_one_set_of_working_braces_to_the_next_give_the_same(model, monkeypatch):
    passed_over = limit_gust(model)
    monkeypatch.setattr(evaluate, "_steps", lambda worst, until: iter([(evaluate.NEXT_SET, 1.0)]))
    assert limit_gust(model) == pytest.approx(passed_over, abs=1e-6)


@pytest.mark.parametrize(
    "too_far", [{"PASSED_OVER": 5.0, "AT_MOST": 5.0}, {"FAR": 5.0}, {"FAR": 5.0, "LIGHTLY": 1.0}], ids=str
)
def test_a_step_too_far_is_taken_back(model, monkeypatch, too_far):
    settled = limit_gust(model)
    for name, value in too_far.items():
        monkeypatch.setattr(evaluate, name, value)
    assert limit_gust(model) == pytest.approx(settled, abs=0.002)


@pytest.mark.parametrize("worst", [0.0, 0.1, 0.2, 0.21, 0.9, 1.0])
def test_half_of_the_gust_is_passed_over_up_to_a_fifth_and_no_more_than_a_tenth_above(worst):
    steps = list(evaluate._steps(worst, 20.0))
    assert steps[-1] == (evaluate.NEXT_SET, 1.0)
    assert [far for far, taken in steps if taken < 1.0] == ([10.0] if worst <= 0.2 else [])
    assert all(far <= 2.0 for far, taken in steps if taken == 1.0)
    assert [far for far, _ in steps] == sorted((far for far, _ in steps), reverse=True)


def test_a_wall_held_by_too_few_in_one_direction_is_worth_nothing():
    """In push two braces between the slender ones at its ends are left of four, and then none."""
    none = slender(0, 1, 2, 3)
    assert limit_gust(none) == 0.0
    _, (_, groups) = limit_and_chain(none)
    assert groups


def test_only_some_of_its_braces_give_what_a_wall_with_those_gives():
    kept = keeping(slender(1), [0, 1, 3])
    alone = build_model(evolve(slender(1).job, braces=tuple(slender(1).job.braces[k] for k in (0, 1, 3))))
    assert limit_gust(kept) == pytest.approx(limit_gust(alone), rel=2e-2)
