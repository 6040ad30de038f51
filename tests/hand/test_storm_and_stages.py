"""Hours of a forecast, work before a storm and stages: worked by hand, or by the law that one answer is another's."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.assumed import at_usual, undeclared
from bracing.chain.evaluate import Limits, limits, one_lost, one_missing, without
from bracing.chain.links import Link, LinkId
from bracing.chain.model import build_model
from bracing.chain.room import most_in, room
from bracing.check import check
from bracing.job.brace import JointId
from bracing.job.fields import with_value
from bracing.job.job import Site
from bracing.layout.mending import one_stud_off, placed, standing_alone, standing_moved
from bracing.layout.needed import choose
from bracing.layout.space import search_space
from bracing.panel.weight import take_off
from bracing.reading.forecast import Declared, read_forecast
from bracing.reading.jobs import job_from_text
from bracing.stages.stages import stages
from bracing.stages.take_down import deck_limits
from bracing.storm.answer import HourAnswer, storm
from bracing.storm.clock import Clock
from bracing.storm.forecast import Forecast, Hour
from bracing.storm.ladder import Ladder, RemedyStep, worst_hour
from bracing.text.page import Page
from bracing.text.storm import short_text
from bracing.work.minutes import plan_minutes
from bracing.work.parts import Parts
from bracing.work.remedies import RemedyId, remedies, step
from tests.cli.running import EXAMPLES
from tests.guards.test_what_assumed_costs import LEFT, LINES
from tests.laws.test_stage_laws import still
from tests.small_walls import small_job
from tests.storm_walls import mended, wall

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
CLOCK = Clock(NOON, UTC)


def hour(k, gust, **more):
    return Hour(NOON + timedelta(hours=k), NOON + timedelta(hours=k + 1), gust, **more)


# -- hours -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gust", "worst"), [(58.0, 1), (62.0, 1), (62.9, 1), (63.0, 0), (64.0, 0), (70.0, 0)]
)
def test_the_worst_hour_is_that_of_the_greatest_pressure(gust, worst):
    """9 ft on a 3 ft deck, open country: Kz 0.849 (printed 0.85) of a plain gust, 1 of an outflow.

    58 mph of an outflow press as much as 58/√0.849 = 62.95 mph of a plain gust do.
    """
    job = evolve(wall("short"), site=Site())
    rows = (hour(0, gust), hour(1, 50.0, thunderstorm=True))
    assert worst_hour(job, Forecast(rows)) is rows[worst]
    assert worst_hour(job, Forecast(rows[::-1])) is rows[worst]
    plain = (hour(0, gust), hour(1, gust + 0.1))
    assert worst_hour(job, Forecast(plain)) is plain[1]
    alike = (hour(0, gust), hour(1, gust))
    assert worst_hour(job, Forecast(alike)) is alike[0]


@pytest.mark.parametrize(
    ("given", "storms", "gust"),
    [
        (30.0, False, 45.9), (50.0, False, 76.5), (30.0, True, 58.0), (37.9, True, 58.0), (38.0, True, 58.14),
        (50.0, True, 76.5), (57.0, True, 87.21), (60.0, True, 91.8),
    ],
)  # fmt: skip
def test_a_sustained_wind_is_a_gust_before_it_is_held_against_a_thunderstorms(given, storms, gust):
    """1.53 V (Durst), and no less than 58 mph with thunderstorms: 58/1.53 is 37.908."""
    assert hour(0, given, basis="sustained", thunderstorm=storms).gust == pytest.approx(gust, abs=1e-9)
    assert hour(0, given, thunderstorm=storms).gust == max(given, 58.0 if storms else 0.0)


@pytest.mark.parametrize(
    ("times", "minutes"),
    [
        (("20:00",), 60), (("20:00", "21:00"), 60), (("18:00", "21:00"), 180), (("12:00", "18:00"), 360),
        (("20:00", "20:30"), 60), (("12:00", "18:00", "19:00"), 60),
    ],
)  # fmt: skip
def test_the_last_row_blows_as_long_as_the_one_before_and_no_less_than_an_hour(tmp_path, times, minutes):
    path = tmp_path / "series.csv"
    path.write_text("\n".join(["time,gust", *(f"2026-03-06 {at},40" for at in times)]), encoding="utf-8")
    last = read_forecast(str(path), CLOCK, Declared(unit="mph", zone="UTC")).hours[-1]
    assert last.end - last.start == timedelta(minutes=minutes)


@pytest.mark.parametrize(
    ("said", "weather", "storms"),
    [("no", "Thunderstorms likely", True), ("no", "sunny", False), ("yes", "sunny", True), ("no", "", False)],
)
def test_thunder_in_words_counts_whatever_a_column_says(tmp_path, said, weather, storms):
    """Where a row says two things of thunder, the one that keeps people away counts: 58 mph and not 20."""
    path = tmp_path / "series.csv"
    path.write_text(
        f"time,gust,thunderstorm,weather\n2026-03-06 20:00,20,{said},{weather}\n", encoding="utf-8"
    )
    (row,) = read_forecast(str(path), CLOCK, Declared(unit="mph", zone="UTC")).hours
    assert (row.thunderstorm, row.gust) == (storms, 58.0 if storms else 20.0)


def test_people_are_out_in_the_very_last_hour_of_a_forecast(tmp_path):
    """At 20:30 the row of 20:00 is the last there is, and it blows."""
    path = tmp_path / "series.csv"
    path.write_text("time,gust\n2026-03-06 19:00,5\n2026-03-06 20:00,80\n", encoding="utf-8")
    late = Clock(datetime(2026, 3, 6, 20, 30, tzinfo=UTC), UTC)
    found = storm(
        mended("short"), read_forecast(str(path), late, Declared(unit="mph", zone="UTC")), late, ladder=None
    )
    assert (found.verdict, found.out_now, len(found.hours)) == ("over", True, 1)


@pytest.mark.parametrize(("gust", "out", "over"), [(33.0, False, False), (33.99, False, False), (34.0, True, False),
                                                   (40.0, True, False), (40.01, True, True)])  # fmt: skip
def test_an_hour_at_just_the_clear_out_gust_has_people_out_and_the_wall_within(gust, out, over):
    """A limit gust of 40 mph: 0.85 of it is 34."""
    row = HourAnswer(hour(0, gust), Limits(40.0, 40.0))
    assert (row.out, row.over) == (out, over)


def test_the_hour_people_are_out_at_is_that_whose_gust_is_the_clear_out_gust():
    """The ladder of a wall and `check` draw the line in the same place: at it people are out, under it they stay."""
    job = mended("short")
    edge = float(check(job, effects=False).clear_out)
    rows = (hour(1, edge - 0.01), hour(2, edge), hour(3, edge - 0.01))
    found = storm(job, Forecast(rows), CLOCK, ladder=None, lead=0.0)
    assert [row.out for row in found.hours] == [False, True, False]
    assert found.out_at == rows[1].start
    assert [check(job, gust=one.gust, effects=False).people_out for one in rows] == [False, True, False]


def long_sticks(ties=1):
    """The short wall on long 2x4: without a tie they buckle and it holds nothing, with one its limit is 40.76 mph."""
    job = mended("short")
    return evolve(
        job, braces=tuple(evolve(b, size="2x4", head=84.0, set_back=120.0, ties=ties) for b in job.braces)
    )


@pytest.mark.parametrize(("made", "nearer"), [(long_sticks, 41), (lambda: mended("short"), 38)])
def test_a_text_message_rounds_a_limit_down(made, nearer):
    limit = check(made(), effects=False).limit
    assert round(limit) == nearer
    said = short_text(storm(made(), Forecast((hour(1, 55.0),)), CLOCK, ladder=None), Page())
    assert f"limit {math.floor(limit)} mph" in said


@pytest.mark.parametrize(("gust", "said"), [(45.0, "45"), (45.1, "46"), (45.9, "46")])
def test_a_text_message_rounds_the_gust_of_a_forecast_up(gust, said):
    text = short_text(storm(mended("short"), Forecast((hour(1, gust),)), CLOCK, ladder=None), Page())
    assert f"gusts to {said} mph" in text or f"gusts to {gust:g} mph" in text
    assert f"gusts to {math.floor(gust)} mph" not in text or gust == math.floor(gust)


# -- work ------------------------------------------------------------------------------------------------


def rungs(*minutes):
    job = wall("short")
    return tuple(RemedyStep((), (), (), job, Limits(30.0, 30.0), each, Parts()) for each in minutes)


@pytest.mark.parametrize(("minutes", "whole"), [((), 0.0), ((10.0,), 25.0), ((10.0, 30.0), 55.0)])
def test_fetching_and_setting_out_is_in_the_minutes_once(minutes, whole):
    """docs/judgement.md: 15 minutes to fetch, set out and walk round; of no work none."""
    assert Ladder(rungs(*minutes), "", 1).minutes == whole


def test_fetching_and_setting_out_is_in_the_minutes_of_a_plan_once():
    """A brace costs the same whether it is the first or the third of three alike; the first has 15 minutes more."""
    job = wall("short")
    apart = tuple(
        evolve(brace, stud_at=at) for brace, at in zip(job.braces, (32.0, 96.0, 160.0), strict=True)
    )
    bare = evolve(job, braces=())
    one, two, three = (plan_minutes(bare, evolve(job, braces=apart[:count])) for count in (1, 2, 3))
    each = three - two
    assert two - one == pytest.approx(each, abs=1e-9)
    assert one - each == pytest.approx(15.0, abs=1e-9)


# -- stages ----------------------------------------------------------------------------------------------


def test_both_gusts_of_a_stage_are_those_of_the_wall_as_it_is_then():
    """The limit gust and that with people about: each worked out anew, of a wall with only the braces that are up."""
    job = mended("short")
    for k, stage in enumerate(stages(job, gust=20.0).stages):
        untied = evolve(job, braces=tuple(evolve(brace, ties=0) for brace in job.braces[: k + 1]))
        found = limits(build_model(job if stage.ties else untied))
        # The studs of braces still to come are doubled already, where they are doubled at all.
        assert stage.limit == pytest.approx(found.limit, abs=0.05)
        assert stage.limits.with_people == pytest.approx(found.with_people, abs=0.05)


def test_the_stage_of_the_tie_rows_is_the_wall_with_them():
    """Long sticks that buckle without a tie and not with one: a stage before, and one after, tell them apart."""
    job = long_sticks()
    without_ties, with_ties = (limits(build_model(long_sticks(ties))) for ties in (0, 1))
    assert with_ties.limit > without_ties.limit + 2.0
    found = stages(job, gust=20.0).stages
    assert [stage.ties for stage in found] == [0, 0, 0, 1]
    for stage, then in zip(found[-2:], (without_ties, with_ties), strict=True):
        assert (stage.limit, stage.limits.with_people) == pytest.approx(
            (then.limit, then.with_people), abs=1e-6
        )


@pytest.mark.parametrize("gone", [0, 1, 2])
def test_with_a_brace_gone_people_count_as_on_a_wall_that_never_had_it(gone):
    job = mended("short")
    found = limits(without(build_model(job), gone))
    anew = limits(build_model(evolve(job, braces=tuple(b for k, b in enumerate(job.braces) if k != gone))))
    assert (found.limit, found.with_people) == pytest.approx(
        (anew.limit, anew.with_people), rel=1e-6, abs=1e-6
    )


def test_a_brace_lost_in_the_gust_asks_more_than_one_that_was_never_there():
    """Statics: R0 + 2 (R1 - R0) is more than R1 wherever the wall leant on it; so the gust is less, not the same."""
    model = build_model(mended("short"))
    at_rest = one_missing(model)
    lost = one_lost(model, at_rest)
    assert all(swung < still for swung, still in zip(lost, at_rest, strict=True) if still > 0.0)
    assert max(at_rest) > 5.0


@pytest.mark.parametrize(("lean", "people"), [(0.01, 0.0), (0.02, 0.0), (0.0, 5.0), (0.02, 5.0)])
def test_lean_and_people_take_their_part_of_a_deck(lean, people):
    """A deck of 10 lb/ft: p h/2 = 10 - lean W/L, less what people put along the top; p as the gust squared.

    The deck is the least of what could give, so that both gusts are the still wall's times √(left of 10 lb/ft / 10).
    """
    plain, deck = still(), 10.0 / 12.0
    alone = deck_limits(plain, deck).limit
    weight = take_off(plain.wall).weight
    leans = evolve(plain, site=evolve(plain.site, lean=lean, top_load=people / 12.0))
    along = lean * weight / plain.wall.length
    found = deck_limits(leans, deck)
    assert found.limit == pytest.approx(alone * math.sqrt((deck - along) / deck), rel=1e-4)
    assert found.with_people == pytest.approx(
        alone * math.sqrt((deck - along - people / 12.0) / deck), rel=1e-4
    )


# -- what layouts are held against -----------------------------------------------------------------------


def test_a_layout_is_held_against_each_brace_on_the_next_stud_either_way():
    job = small_job()
    space = search_space(job, 20.0)
    full = [stud.x for stud in space.framing.full_height_studs]
    like = mended("short").braces[0]
    at = evolve(like, mark="B1", stud_at=full[2], head=70.0, set_back=70.0)
    moved = [(k, brace.stud_at) for k, brace in one_stud_off(space, evolve(job, braces=(at,)))]
    assert moved == [(0, full[1]), (0, full[3])]
    ends = tuple(evolve(at, mark=mark, stud_at=x) for mark, x in (("B1", full[0]), ("B2", full[-1])))
    moved = [(k, brace.stud_at) for k, brace in one_stud_off(space, evolve(job, braces=ends))]
    assert moved == [(0, full[1]), (1, full[-2])]
    beside = tuple(evolve(at, mark=mark, stud_at=x) for mark, x in (("B1", full[1]), ("B2", full[2])))
    moved = [(k, brace.stud_at) for k, brace in one_stud_off(space, evolve(job, braces=beside))]
    assert moved == [(0, full[0]), (1, full[3])]  # where another stands, none can


def gone_from(gust):
    """Three braces mended until they stand, at 20 mph and with any of them gone at a gust: what they then stand."""
    space = search_space(choose(small_job()), 20.0, one_missing=gust)
    scheme, pool = space.pools[1]
    drawn = standing_alone(space, placed(space, scheme, pool=pool, layout=np.array([1, 3, 5])))
    return min(one_missing(build_model(standing_moved(space, drawn))))


def test_with_any_brace_gone_a_layout_stands_at_the_gust_asked_and_not_at_half_of_it():
    """Laid out without that wish the wall falls short of it, so that the wish is what holds it."""
    assert gone_from(None) < 25.0
    assert gone_from(25.0) >= 25.0
    assert gone_from(12.5) < 25.0


# -- what is not said ------------------------------------------------------------------------------------

FIELDS = ("site.exposure", "floor.height_above_ground", "floor.open_below", "wall.plate.spacing")


@pytest.mark.parametrize("field", FIELDS)
def test_what_an_assumption_costs_is_rounded_up(field):
    """The whole mph that are no less than the two limits lie apart: all else usual, with it and with its low value."""
    text = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
    assert LINES[field] in text
    job = job_from_text(text.replace(LINES[field], LEFT.get(field, ""), 1), "wall.toml")
    (row,) = (one for one in check(job).assumed if one.field == field)
    usual = at_usual(job, undeclared(job))
    low = with_value(usual, field, row.value)
    apart = check(usual, effects=False).limit - check(low, effects=False).limit
    assert apart > 0.0
    assert apart <= row.effect < apart + 1.0


# -- fasteners -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("floor", "joint", "most"),
    [
        ("slab", JointId.FLOOR, 60), ("ground", JointId.FLOOR, 60), ("ground", JointId.CLEAT, 40),
        ("deck", JointId.HEAD, 40),
    ],
)  # fmt: skip
def test_where_no_room_is_worked_out_a_joint_has_no_more_than_a_file_may_say(floor, joint, most):
    """docs/wall-files: 0 to 40 in the joints of a stick, 0 to 60 into a floor; the head cut plumb against its stud."""
    job = wall("short")
    job = evolve(
        job,
        floor=evolve(job.floor, kind=floor),
        kit=evolve(job.kit, head=evolve(job.kit.head, joint="plumb")),
    )
    assert most_in(job, job.braces[0], joint) == most


@pytest.mark.parametrize("joint", JointId)
def test_where_room_is_worked_out_no_more_go_in_than_have_room(joint):
    for name in ("short", "habit"):
        job = wall(name)
        for brace in job.braces:
            most = 60 if joint is JointId.FLOOR else 40
            assert 0 < most_in(job, brace, joint) == room(job, brace, joint) < most


@pytest.mark.parametrize(("cleat", "floor"), [(1, 1), (2, 3), (3, 4), (4, 5), (9, 2), (2, 30)])
def test_a_second_cleat_takes_as_many_fasteners_again_where_they_have_room(cleat, floor):
    """Statics: two cleats alike, each with what the one had, as many in either; never fewer than there were."""
    job = wall("habit")
    job = evolve(
        job, braces=tuple(evolve(b, cleat_fasteners=cleat, floor_fasteners=floor) for b in job.braces)
    )
    changes = {c.path: c.after for c in step(job, remedies()[RemedyId.SECOND_CLEAT], over_at_the_floor())}
    assert changes["kit.cleat.sides"] == 2
    two = with_value(job, "kit.cleat.sides", 2)
    for k, brace in enumerate(job.braces):
        for name, count in ((JointId.CLEAT, cleat), (JointId.FLOOR, floor)):
            fit = room(two, brace, name)
            twice = max(count, min(2 * count, fit - fit % 2))
            assert changes.get(f"brace[{k}].{name}", count) == twice
    assert any(path.startswith("brace") for path in changes) or min(cleat, floor) > 8


def over_at_the_floor():
    return Link(LinkId.CLEAT_TO_FLOOR, "push", "B1", 48.0, 150.0, 100.0, "lb", 1.5, 30.0, "", None)


# -- results ---------------------------------------------------------------------------------------------


def test_what_a_brace_is_pushed_and_drawn_with_is_the_greatest_of_its_cases_along_it():
    """Statics: R level is R / cos(angle) along the stick. One that cannot be pushed is drawn only."""
    job = mended("short")
    slack = evolve(job.braces[1], size="2x4", ties=0, head=96.0, set_back=140.0, stiffener="none")
    job = evolve(job, braces=(job.braces[0], slack, *job.braces[2:]))
    result = check(job, gust=20.0, effects=False)
    cases = result.to_dict()["loads"]["cases"]
    for brace, found in zip(job.braces, result.braces, strict=True):
        level = np.array([case["brace_horizontal_lb"][brace.mark] for case in cases])
        along = math.hypot(brace.head, brace.set_back) / brace.set_back
        assert found.push >= max(level.max(), 0.0) * along * (1.0 - 1e-9)
        assert found.pull >= max(-level.min(), 0.0) * along * (1.0 - 1e-9)
        told = found.to_dict()
        assert (told["push_lb"], told["pull_lb"]) == (found.push, found.pull)
    drawn = result.braces[1]
    assert drawn.push == 0.0
    assert drawn.pull > 50.0
    assert result.braces[0].push > 50.0
