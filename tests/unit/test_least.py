"""A search that is stopped, by budget or by hand, and what a layout must stand besides its own drawing."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.evaluate import worst_ratio
from bracing.chain.model import build_model
from bracing.check import check
from bracing.choosing import Budget
from bracing.errors import AccuracyError, NoLayoutError
from bracing.job.envelope import past_practice_of
from bracing.layout import plan
from bracing.layout.candidates import head_heights, shapes
from bracing.layout.least import Grid, quick
from bracing.layout.looking import PAST_PRACTICE
from bracing.layout.mending import finish, one_stud_off, placed
from bracing.layout.needed import choose
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.layout.screen import worst_ratios
from bracing.layout.search import least_possible, mirror_of, search
from bracing.layout.space import search_space
from bracing.said import Verdict
from bracing.text.quantities import in_words
from bracing.work.minutes import plan_minutes
from tests.layout_walls import made_good
from tests.small_walls import small_job

GUST = 60.0
ALONE = LayoutAsked(others=False)
SMALL = small_job()


@pytest.fixture(scope="module")
def space():
    return search_space(choose(SMALL), GUST)


@pytest.fixture(scope="module")
def found():
    return lay_out(SMALL, gust=GUST, budget=1.0, asked=ALONE)


def gone_through(steps):
    """What a search gives once it has been gone through to its end."""
    while True:
        try:
            next(steps)
        except StopIteration as end:
            return end.value


def within(job, gust=GUST):
    return check(job, gust=gust, effects=False).verdict == "within"


# -- stopped ---------------------------------------------------------------------------------------------


class Stop:
    """Presses Ctrl-C when it is told some words, as often as that many times before."""

    def __init__(self, words):
        self.words, self.told = words, []

    def __call__(self, said):
        self.told.append(in_words(said))
        if self.words in self.told[-1]:
            raise KeyboardInterrupt


@pytest.mark.parametrize(
    ("words", "length", "gust"), [("looking for fewer", "20 ft", 30.0), ("trying", "10 ft", 80.0)]
)
def test_an_interrupt_gives_the_best_so_far_and_claims_no_proof(words, length, gust):
    """What stood when it was stopped is given: what the quick look found."""
    stop = Stop(words)
    stopped = lay_out(small_job(length=length), gust=gust, budget=2.0, asked=ALONE, progress=stop)
    assert stopped.interrupted
    assert words in stop.told[-1]
    assert within(stopped.job, gust)
    assert not stopped.grid.proved
    assert in_words(stopped.grid.said).startswith("best found; fewer not ruled out")


def test_an_interrupt_before_anything_stood_is_one():
    with pytest.raises(KeyboardInterrupt):
        lay_out(SMALL, gust=GUST, asked=ALONE, progress=Stop("looking for less work"))


def test_an_interrupt_while_others_are_looked_for_leaves_the_answer_whole(found):
    stop = Stop("another layout")
    stopped = lay_out(SMALL, gust=GUST, budget=1.0, asked=LayoutAsked(others=True), progress=stop)
    assert stopped.others == ()
    assert not stopped.interrupted
    assert stopped.job == found.job
    assert stopped.grid == found.grid


@pytest.mark.parametrize(("length", "gust"), [("10 ft", 40.0), ("24 ft", 40.0)])
def test_no_budget_gives_a_plan_and_claims_no_proof(length, gust):
    hasty = lay_out(small_job(length=length), gust=gust, budget=0.0, asked=ALONE)
    assert within(hasty.job, gust)
    assert len(hasty.job.braces) <= hasty.spread_braces
    assert not hasty.least_work
    assert not hasty.grid.proved


@pytest.mark.parametrize("fewest", [False, True])
@pytest.mark.parametrize(("length", "gust"), [("10 ft", 60.0), ("20 ft", 60.0)])
def test_a_larger_budget_gives_no_worse_a_plan(length, gust, fewest):
    """By what is asked for: the work with what gaps weigh, or the number of braces and then that."""
    job, ranks = small_job(length=length), []
    for budget in (0.0, 0.3, 0.8, 1.5):
        found = lay_out(job, gust=gust, budget=budget, asked=LayoutAsked(others=False, fewest=fewest))
        weighed = found.minutes + PAST_PRACTICE * past_practice_of(found.job)
        ranks.append((len(found.job.braces) if fewest else 0, weighed))
    assert ranks == sorted(ranks, reverse=True)
    assert ranks[0] > ranks[-1] or length == "10 ft" or not fewest


def test_a_search_looks_at_every_layout_the_bounds_let_pass(space):
    pool = space.pools[0][1]
    steps = search(pool, space.job.wall, 3, clock=Budget(0.0))
    assert gone_through(steps).complete


def test_the_reason_says_so_where_the_budget_ran_out_first():
    with pytest.raises(NoLayoutError) as caught:
        lay_out(small_job(ties=0), gust=110.0, budget=0.0, asked=ALONE)
    assert "the budget ran out before all were tried" in in_words(caught.value.why)


@pytest.mark.parametrize(
    ("grid", "said"),
    [
        (Grid(1, 1, 0, 0, proved=True), "no layout with fewer balances the wind"),
        (Grid(1, 1, 1234, 7, proved=True), "no layout with fewer among the 1,234 tried"),
        (Grid(1, 1, 1234, 7, proved=False), "best found; fewer not ruled out (7 of 1,234 gone through)"),
    ],
)
def test_a_proof_is_only_claimed_where_there_is_one(grid, said):
    assert in_words(grid.said) == said


def test_a_quick_look_gives_what_stands_or_nothing(space):
    answer = quick(space, 1.0)
    assert within(answer.job)
    assert not answer.grid.proved
    assert quick(space.only(lambda scheme: False), 1.0) is None


# -- the least work --------------------------------------------------------------------------------------


def weighed(before, job):
    return plan_minutes(before, job) + PAST_PRACTICE * past_practice_of(job)


@pytest.mark.parametrize(
    ("length", "gust", "sides"),
    [
        ("6 ft", 70.0, 2),
        pytest.param("8 ft", 40.0, 1, marks=pytest.mark.proof),
        pytest.param("8 ft", 75.0, 2, marks=pytest.mark.proof),
    ],
)
def test_no_layout_at_all_takes_less_than_the_least_work_that_is_proved(length, gust, sides):
    """Every set of every scheme made good by the chain itself, whatever is expected of it."""
    job = small_job(length=length, ties=0, sides=sides)
    plan = lay_out(job, gust=gust, budget=60.0, asked=ALONE)
    assert plan.least_work
    here = search_space(choose(job), gust)
    took = []
    for scheme, pool in here.pools:
        for count in range(2, len(np.unique(pool.x)) + 1):
            for row in itertools.combinations(np.argsort(pool.x, kind="stable").tolist(), count):
                gaps = np.diff(pool.x[list(row)])
                if (gaps > 1.0).all() and worst_ratios(pool, np.array([row]))[0] <= 1.0:
                    good = made_good(here, placed(here, scheme, pool=pool, layout=np.array(row)))
                    took += [] if good is None else [weighed(here.job, good)]
    assert weighed(here.job, plan.job) == pytest.approx(min(took), abs=1e-6)
    assert max(took) > min(took)


# -- one stud off, and one gone --------------------------------------------------------------------------


def made_in(space, job, braces):
    """A job's own straps, spacings and counts with other braces on it, by the whole chain."""
    return worst_ratio(build_model(evolve(job, braces=braces)).crowded, space.gust)


def moved(space, job):
    """Every set of the braces with one of them on the next stud."""
    for k, brace in one_stud_off(space, job):
        yield (*job.braces[:k], brace, *job.braces[k + 1 :])


def test_a_layout_made_good_stands_however_one_brace_is_put_up_and_none_is_lost(space):
    """All pairs of one scheme, by the chain itself: one that is given up cannot be mended in some place of a brace."""
    scheme, pool = space.pools[-1]
    pairs = [
        k for k in itertools.combinations(range(len(pool.candidates)), 2) if pool.x[k[0]] + 1.0 < pool.x[k[1]]
    ]
    stood = {True: 0, False: 0}
    for pair in pairs[:: max(1, len(pairs) // 12)]:
        job = placed(space, scheme, pool=pool, layout=np.array(pair))
        alone, good = finish(build_model(job), space.gust), made_good(space, job)
        if good is not None:
            assert alone.stands
            assert all(
                made_in(space, good, braces) <= 1.0 + 1e-6 for braces in (good.braces, *moved(space, good))
            )
        elif alone.stands:
            ways = [
                finish(build_model(evolve(alone.job, braces=braces)), space.gust)
                for braces in moved(space, alone.job)
            ]
            assert not all(way.stands for way in ways)
        stood[good is not None] += 1
    assert all(stood.values())  # both were met


# -- a spacing as given ----------------------------------------------------------------------------------


@pytest.mark.parametrize("spacing", [48.0, 96.0])
def test_a_wall_too_short_for_a_walk_has_two_braces_at_a_spacing(spacing):
    """Within 4 ft of both ends of 6 ft stands one stud, and one brace holds no wall."""
    short = lay_out(
        small_job(length="6 ft"), gust=30.0, budget=0.2, asked=LayoutAsked(spacing=spacing, others=False)
    )
    places = sorted(brace.stud_at for brace in short.job.braces)
    assert len(places) == 2
    assert places[1] - places[0] <= spacing
    assert within(short.job, 30.0)


def test_a_spacing_at_which_nothing_stands_says_why():
    with pytest.raises(NoLayoutError) as caught:
        lay_out(SMALL, gust=115.0, budget=0.2, asked=LayoutAsked(spacing=96.0, others=False))
    assert in_words(caught.value.why).startswith("at the spacing given: ")


# -- rows ------------------------------------------------------------------------------------------------

ROW = '[[wall.row]]\nheight = "6 ft"\nkind = "wale"\nsize = "2x6"'


def test_a_wall_with_a_row_is_laid_out_by_the_chain_itself():
    found = lay_out(small_job(wall=ROW), gust=40.0, budget=1.0, asked=ALONE)
    assert found.job.wall.rows
    assert within(found.job, 40.0)
    assert not found.grid.proved
    assert "continuous rows" in in_words(found.grid.said)


def test_a_wall_with_a_row_that_nothing_holds_says_why():
    with pytest.raises(NoLayoutError) as caught:
        lay_out(small_job(wall=ROW, ties=0), gust=118.0, budget=1.0, asked=ALONE)
    assert "118 mph" in in_words(caught.value.why)


# -- bounds ----------------------------------------------------------------------------------------------


def test_no_fewer_than_the_least_possible_is_ever_found(space):
    for order, (_, pool) in enumerate(space.pools):
        floor = least_possible(pool, space.job.wall)
        for count in range(2, floor):
            steps = search(pool, space.job.wall, count, clock=Budget(60.0), missing=space.missing[order])
            assert not len(gone_through(steps).found)
        assert floor >= 2


def test_makes_mirror_each_other_only_where_they_carry_as_much(space):
    """A foot with room for fewer fasteners on one side: of two layouts alike but for that, both are tried."""
    pool = space.pools[0][1]
    assert mirror_of(pool, space.job.wall) is not None
    one = np.arange(len(pool.level)) == np.flatnonzero(pool.x < pool.x.mean())[0]
    weaker = evolve(pool, level=pool.level * np.where(one, 0.9, 1.0))
    softer = evolve(pool, give=pool.give * np.where(one, 1.1, 1.0))
    assert mirror_of(weaker, space.job.wall) is None
    assert mirror_of(softer, space.job.wall) is None


# -- what is tried ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("height", [*range(20, 130, 3), 200, 360])
def test_heads_are_from_two_thirds_up_to_under_the_plates(height):
    """Where a stud is so short that no step of 6 in lies between, the one head there is under the plates."""
    heads = head_heights(float(height))
    assert list(heads) == sorted(set(heads), reverse=True)
    assert heads[0] <= height - 9.0
    assert heads[0] > height - 15.0
    assert heads[-1] >= 2.0 / 3.0 * height - 1e-9 or heads == (height - 9.0,)


@pytest.mark.parametrize("head", [18.0, 30.0, 48.0, 90.0])
def test_a_foot_moved_to_its_joists_makes_no_brace_steep_or_flat(head):
    """Joists across the braces move a foot by up to half their spacing: a low head would stand at a poor angle."""
    joists = 'joists = { run = "along", spacing = "24 in", first = "10 in", size = "2x10" }'
    job = choose(small_job(floor=joists))
    tried = shapes(job, "2x6", head, angle=None)
    assert all(30.0 <= math.degrees(brace.angle) + 1e-6 <= 60.0 + 2e-6 for brace, _ in tried)
    assert all(stick >= math.hypot(brace.head, brace.set_back) for brace, stick in tried)
    assert tried or head < 48.0


def test_a_layout_its_own_check_does_not_call_within_is_not_given(monkeypatch):
    """The same chain made it good: should they ever differ, there is no answer rather than a wrong one."""
    checked = plan.check
    monkeypatch.setattr(
        plan, "check", lambda *of, **more: evolve(checked(*of, **more), as_drawn=Verdict.OVER)
    )
    with pytest.raises(AccuracyError, match="its own check"):
        lay_out(SMALL, gust=GUST, budget=0.2, asked=ALONE)
