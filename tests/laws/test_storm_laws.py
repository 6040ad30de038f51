"""What must be true of any storm: steps never lower the limit, cover the worst hour, and none is idle."""

import random
from datetime import UTC, datetime, timedelta

import pytest
from attrs import evolve

from bracing.check import check
from bracing.job.fields import value_at
from bracing.storm.answer import storm
from bracing.storm.clock import Clock
from bracing.storm.forecast import Forecast, Hour
from bracing.storm.ladder import WorstHour, find_ladder, limits_in
from bracing.work.remedies import OF_BLOCKS, apply
from tests.storm_walls import CASES, WALLS, climbed, mended
from tests.walls import fastened_job

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
CLOCK = Clock(NOON, UTC)
OF_THE_SCREWS = (
    "extra.fastener",
    "extra.row_from_sheathed_edge",
)  # which, and where: no work without their count


@pytest.fixture(params=CASES, ids=str)
def case(request):
    job, bench, ladder = climbed(*request.param)
    assert bench.limits(job).limit < bench.gust, "the case must begin over"
    assert ladder.covers, ladder.why_not
    return job, bench, ladder


def limit_of(job, bench):
    """The limit as `check` finds it, from a new model."""
    return check(job, gust=bench.gust, thunderstorm=bench.thunderstorm, effects=False)


def test_no_rung_lowers_the_limit_and_each_says_what_check_says(case):
    job, bench, ladder = case
    before = limit_of(job, bench).limit
    for step in ladder.steps:
        after = limit_of(step.job, bench).limit
        assert after == pytest.approx(step.limit, abs=0.02)
        assert after >= before - 0.02
        before = after


def test_only_the_last_rung_is_within_in_the_worst_hour(case):
    _, bench, ladder = case
    verdicts = [limit_of(step.job, bench).verdict for step in ladder.steps]
    assert verdicts == ["over"] * (len(verdicts) - 1) + ["within"]


def test_braces_that_are_up_stay_where_they_are(case):
    job, _, ladder = case
    then = ladder.steps[-1].job.braces
    where = [(b.mark, b.stud_at, b.head, b.set_back, b.size, b.lap_side) for b in job.braces]
    assert [(b.mark, b.stud_at, b.head, b.set_back, b.size, b.lap_side) for b in then[: len(where)]] == where
    for brace, done in zip(job.braces, then, strict=False):
        for count in ("head_fasteners", "cleat_fasteners", "floor_fasteners", "ties"):
            assert getattr(done, count) >= getattr(brace, count)


def test_no_work_in_the_ladder_is_idle(case):
    """Leave out any one change, or any added brace, and the worst hour is no longer covered."""
    job, bench, ladder = case
    for change in ladder.changes:
        if change.kind in ("second cleat", "tie") or change.path.endswith(OF_THE_SCREWS):
            continue
        if change.kind == "joist" and (change.path in OF_BLOCKS or change.before == "joist"):
            continue  # what a block is fastened with comes with it, and it with a second cleat
        less = apply(job, tuple(c for c in ladder.changes if c is not change))
        less = evolve(less, braces=(*less.braces, *ladder.added))
        assert limit_of(less, bench).verdict == "over", change
    for brace in ladder.added:
        less = apply(job, ladder.changes)
        less = evolve(less, braces=(*less.braces, *(b for b in ladder.added if b is not brace)))
        assert limit_of(less, bench).verdict == "over", brace.mark


def test_the_rungs_stand_in_the_crews_order(case):
    from bracing.work.remedies import order

    _, _, ladder = case
    places = [order().index(kind) for step in ladder.steps for kind in step.kind]
    assert places == sorted(places)


def test_the_truck_takes_every_fastener_added_at_a_brace(case):
    job, _, ladder = case
    then = ladder.steps[-1].job
    added = sum(brace.head_fasteners for brace in then.braces) - sum(b.head_fasteners for b in job.braces)
    if (
        then.kit.head.fastener == job.kit.head.fastener
        and then.kit.cleat.brace_fastener != then.kit.head.fastener
    ):
        assert ladder.parts[then.kit.head.fastener] >= added
    assert all(isinstance(count, int) and count > 0 for count in ladder.parts.values())


@pytest.mark.parametrize("seed", [3, 4, 6, 8, 10])
def test_of_any_wall_the_work_covers_by_check_or_what_stays_over_is_over(seed):
    """Random walls: what the ladder says of its last step, or of the link that stays over, check says too."""
    job = fastened_job(seed)
    bench = WorstHour(30.0, thunderstorm=False)
    ladder = find_ladder(job, bench)
    if ladder.covers:
        assert limit_of(ladder.steps[-1].job, bench).verdict == "within"
        marks = [brace.mark for brace in ladder.steps[-1].job.braces]
        assert len(set(marks)) == len(marks)
        for step in ladder.steps:
            for change in step.changes:
                assert value_at(step.job, change.path) == change.after != change.before
    else:
        name = ladder.why_not.partition(" stays over")[0].partition(" at ")[0]
        links = limit_of(job, bench).evaluation.links
        assert any(link.link == name and link.ratio > 1.0 for link in links)


def forecast(*gusts, step=1, storms=()):
    hours = tuple(
        Hour(
            NOON + timedelta(hours=step * k),
            NOON + timedelta(hours=step * (k + 1)),
            gust,
            "gust",
            k in storms,
        )
        for k, gust in enumerate(gusts)
    )
    return Forecast(hours)


@pytest.mark.parametrize("seed", range(6))
def test_a_forecast_shuffled_in_time_gives_the_same_verdict(seed):
    draw = random.Random(seed)
    gusts = [draw.uniform(5.0, 45.0) for _ in range(12)]
    shuffled = draw.sample(gusts, len(gusts))
    job = mended("short")
    one, other = (storm(job, forecast(*order), CLOCK, ladder=None) for order in (gusts, shuffled))
    assert one.verdict == other.verdict
    assert one.worst.gust == other.worst.gust == max(gusts)
    assert (one.check.limit, one.check.clear_out) == (other.check.limit, other.check.clear_out)
    assert sum(row.over for row in one.hours) == sum(row.over for row in other.hours)
    assert sum(row.out for row in one.hours) == sum(row.out for row in other.hours)


@pytest.mark.parametrize("name", sorted(WALLS))
def test_the_verdict_of_every_hour_is_that_of_check(name):
    job = mended(name)
    limit = check(job, effects=False).limit
    assert limit > 12.0
    gusts = [limit - 1.0, limit + 1.0, 0.5 * limit]
    result = storm(job, forecast(*gusts, 60.0, storms=(3,)), CLOCK, ladder=None)
    for row in result.hours:
        asked = check(job, gust=row.hour.gust, thunderstorm=row.hour.thunderstorm, effects=False)
        assert row.over == (asked.verdict == "over")


@pytest.mark.parametrize("name", ["short", "two"])
def test_one_limit_gives_that_of_the_other_profile(name):
    """Found again from nothing under the outflow's profile."""
    job = mended(name)
    calm, outflow = (check(job, gust=60.0, thunderstorm=flag, effects=False).limits for flag in (False, True))
    assert limits_in(job, calm, worst=False, hour=True).limit == pytest.approx(outflow.limit, rel=1e-3)
    assert outflow.limit < calm.limit


def test_a_stronger_wind_never_takes_less_work():
    costs = [climbed("short", gust, False)[2].minutes for gust in (30.0, 38.0, 45.0)]
    assert costs == sorted(costs)
