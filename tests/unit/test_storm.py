"""A forecast against a wall: when it is over, when people are out, and until when it can be laid down."""

from collections import Counter
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest
from attrs import evolve

from bracing.chain.evaluate import Limits
from bracing.check import check
from bracing.job.job import Built, all_seen
from bracing.storm.answer import begins, lay_down, standing, storm
from bracing.storm.clock import Clock, zone_named
from bracing.storm.forecast import Forecast, Hour
from bracing.storm.ladder import Ladder, RemedyStep
from bracing.text.page import Page
from bracing.text.quantities import in_words
from bracing.text.storm import short_text, storm_page
from bracing.work.added import Cause, Fall
from bracing.work.parts import stick, stock_length
from tests.storm_walls import mended, wall

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
CLOCK = Clock(NOON, UTC)


def hours(*gusts, step=1, first=NOON):
    rows = [first + timedelta(hours=step * k) for k in range(len(gusts) + 1)]
    return Forecast(tuple(Hour(a, b, g) for a, b, g in zip(rows, rows[1:], gusts, strict=False)))


@cache
def limit():
    return check(mended("short"), effects=False).limit


def at(hour):
    return NOON + timedelta(hours=hour)


def held(forecast, **more):
    return storm(mended("short"), forecast, CLOCK, ladder=None, **more)


def test_first_over_worst_and_the_clear_out_time_with_its_lead():
    low, out, over = 0.5 * limit(), 0.95 * limit(), limit() + 5.0
    result = held(hours(low, low, low, out, over, over + 2.0, low))
    assert result.verdict == "over"
    assert result.first_over == at(4)
    assert (result.worst.start, result.worst.gust) == (at(5), over + 2.0)
    assert result.out_at == at(3)
    assert result.out_by == at(1)
    assert not result.out_now
    assert [row.over for row in result.hours] == [False] * 4 + [True, True, False]
    assert [row.out for row in result.hours] == [False] * 3 + [True] * 3 + [False]


def test_a_wall_within_its_limit_is_still_cleared_at_its_clear_out_gust():
    result = held(hours(0.5 * limit(), 0.95 * limit()), lead=0.0)
    assert result.verdict == "within"
    assert result.first_over is None
    assert result.out_by == at(1)


def test_a_calm_forecast_asks_nobody_out():
    result = held(hours(3.0, 8.0))
    assert (result.verdict, result.out_at, result.out_by, result.ladder) == ("within", None, None, None)


def test_a_lead_longer_than_the_time_left_is_now():
    assert held(hours(5.0, limit() + 1.0)).out_now


def test_between_rows_far_apart_the_wind_may_rise_at_any_time():
    forecast = hours(5.0, 5.0, limit() + 5.0, step=3)
    assert begins(forecast.hours, 2) == at(3)
    assert held(forecast).first_over == at(3)
    assert begins(hours(5.0, 9.0).hours, 1) == at(1)


def test_a_wall_nothing_holds_is_cleared_now_whatever_the_forecast():
    result = storm(evolve(mended("short"), braces=()), hours(5.0, 5.0, first=at(20)), CLOCK, ladder=None)
    assert result.verdict == "over"
    assert result.check.clear_out == 0
    assert result.out_by == NOON


def test_beyond_the_envelope_there_is_no_number():
    result = storm(wall("short"), hours(130.0), CLOCK)
    assert result.verdict == "engineer"
    assert result.hours == ()
    assert "ENGINEER" in storm_page(result, Page(), command="bracing storm x")
    assert result.to_dict()["limit_gust_mph"] is None
    assert len(short_text(result, Page()).splitlines()) == 5


def test_hours_that_are_over_do_not_count():
    result = held(hours(120.0, 5.0, 5.0, first=at(-1)))
    assert result.verdict == "within"
    assert len(result.hours) == 2


# -- laid down -------------------------------------------------------------------------------------------


def down(*gusts, lead=1.0, step=1, out=40.0):
    return lay_down(
        wall("short"), hours(*gusts, step=step), out_by=at(out), now=NOON, lead=timedelta(hours=lead)
    )


def test_it_lies_before_the_gust_passes_its_lift_limit_with_the_lead_in_hand():
    found = down(5.0, 5.0, 5.0, 60.0)
    assert found.before == at(2)
    assert 0 < found.limit <= 25


def test_it_lies_before_people_must_be_out():
    assert down(5.0, 5.0, 5.0, 60.0, out=1.5).before == at(1.5)


def test_in_a_wind_over_its_lift_limit_it_is_too_late():
    assert down(60.0, 5.0).before is None
    assert down(5.0, 60.0, lead=2.0).before is None


def test_the_lift_limit_is_that_of_a_lift_of_this_wall():
    from bracing.lift.links import LiftRequest
    from bracing.lift.plan import plan_lift

    planned = plan_lift(wall("short"), LiftRequest()).gusts
    assert down(5.0).limit <= planned.practice
    assert down(5.0).limit == pytest.approx(planned.limit, abs=2.0)


def test_what_nothing_covers_is_laid_down_or_left(monkeypatch):
    monkeypatch.setattr(
        "bracing.storm.answer.find_ladder", lambda job, bench: Ladder((), "joist at B1 stays over", 3)
    )
    result = storm(mended("short"), hours(*[5.0] * 8, 100.0), CLOCK)
    assert result.lay_down.before == at(6)
    page = storm_page(result, Page(), command="bracing storm x")
    assert "LAY IT DOWN before Fri Mar 6, 6 pm" in page
    assert "joist at B1 stays over" in page
    assert "lay it down before Fri Mar 6, 6 pm" in short_text(result, Page())
    late = storm(mended("short"), hours(5.0, 100.0), CLOCK)
    assert "STAY OUT" in storm_page(late, Page(), command="bracing storm x")


def test_work_that_alone_would_lower_the_limit_says_why(monkeypatch):
    """A strongback draws load to a slender brace: the step that takes it along with the tie rows says so."""
    job = mended("short")
    link = check(job, gust=30.0, effects=False).evaluation.links[0]
    why = Fall(29.8, 26.3, link, Cause.DRAWS).said
    step = RemedyStep((), (), (), job, Limits(60.0, 55.0), 30.0, Counter(), (why,))
    monkeypatch.setattr("bracing.storm.answer.find_ladder", lambda job, bench: Ladder((step,), "", 1))
    result = storm(job, hours(5.0, 58.0), CLOCK)
    page = " ".join(storm_page(result, Page(), command="bracing storm x").split())
    assert "takes the limit gust from 29.8 mph to 26.3 mph: it is stiffer and draws load" in page
    assert f"{link.link} at {link.mark} gives first then" in page
    assert result.to_dict()["ladder"]["rungs"][0]["falls"] == [why]


# -- time standing ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("days", "nights", "weekends"),
    [(0.1, 0, 0), (0.6, 1, 1), (1.0, 1, 1), (2.4, 2, 1), (3.0, 3, 1), (8.0, 8, 2)],
)
def test_nights_and_weekends_from_a_friday_noon(days, nights, weekends):
    found = standing(CLOCK, days * 86400.0, None)
    assert (found.nights, found.weekends) == (nights, weekends)
    assert found.equivalent_gust is None


def test_nights_are_those_of_the_place():
    # Friday noon in UTC is Friday 11 pm in Auckland: one hour more and it is Saturday there.
    there = Clock(NOON, zone_named("Pacific/Auckland"))
    assert standing(there, 2 * 3600.0, None).weekends == 1
    assert standing(CLOCK, 2 * 3600.0, None).weekends == 0


def test_the_wind_of_the_whole_time_stands_beside_the_forecast():
    result = held(hours(5.0), standing=standing(CLOCK, 21 * 86400.0, 115.0))
    page = storm_page(result, Page(), command="bracing storm x")
    assert "21 nights and 3 weekends" in page
    assert "115 mph x 0.75" in page
    assert "62 mph" in page


# -- text ------------------------------------------------------------------------------------------------


@cache
def habit():
    return storm(wall("habit"), hours(5.0, 25.0), CLOCK)


@pytest.mark.parametrize("width", [40, 60, 80])
def test_a_page_keeps_its_width_and_ends_with_the_cautions(width):
    result = habit()
    page = storm_page(result, Page(width=width), command="bracing storm habit.toml --gust 25")
    assert max(len(line) for line in page.splitlines()) <= width
    flat = " ".join(page.split())
    assert "Never shelter beside the wall." in flat
    assert flat.index("CLEAR OUT") < flat.index("Limit gust")
    for k in range(len(result.ladder.steps)):
        assert f" {k + 1}. " in flat


def test_a_text_message_has_five_lines():
    result = habit()
    lines = short_text(result, Page()).splitlines()
    assert len(lines) == 5
    assert lines[0].startswith("Habit (PLAN): OVER")
    assert lines[1].startswith("OUT now")


def test_as_built_is_said_until_something_is_written_in_after_the_walk():
    job = mended("short")
    job = evolve(job, built=Built(when="2026-03-06 11:00", by="lead framer", seen=all_seen(job)))
    result = storm(job, hours(5.0), CLOCK)
    assert "AS BUILT" in storm_page(result, Page(), command="x").splitlines()[0]
    assert result.to_dict()["state"] == "AS BUILT"
    later = evolve(job, built=evolve(job.built, since="2026-03-06 12:00 storm work written in"))
    assert storm(later, hours(5.0), CLOCK).to_dict()["state"] == "PLAN"


def test_sticks_are_bought_in_even_feet():
    assert stock_length(96.0) == 96.0
    assert stock_length(96.1) == 120.0
    assert in_words(stick("2x4", stock_length(12.0))) == "2x4 x 8 ft"
