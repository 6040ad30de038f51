"""What people act on: which brace comes out, when all are out, what a page says at just a gust; by hand."""

import math
import re
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.materials import materials_of
from bracing.chance.answer import Figures, weeks_of
from bracing.check import check
from bracing.drawing.model import DrawnLine
from bracing.drawing.plan import zone
from bracing.job.framing import frame_wall
from bracing.job.job import Built, Site
from bracing.layout.needed import choose
from bracing.layout.screen import off_mark_ratios, stands_off_mark, worst_ratios
from bracing.layout.space import search_space
from bracing.reading.jobs import read_job
from bracing.said import Said, Verdict
from bracing.sheet.facts import gather
from bracing.sheet.rows import brace_rows, cards, gust_ladder
from bracing.site.sums import worked
from bracing.site.walks import noted
from bracing.stages.stages import stages
from bracing.stages.take_down import Event, Kept, ask_removal, counts, deck_limits
from bracing.stages.walk import read_answer
from bracing.storm.alerts import Alert, gust_of_event, with_alerts
from bracing.storm.answer import storm
from bracing.storm.clock import Clock
from bracing.storm.first import First, Left, LeftBecause
from bracing.storm.forecast import Forecast, Hour
from bracing.storm.ladder import add_brace
from bracing.storm.watch import Look, News, Seen, news_of, seen_without
from bracing.text.page import PLAIN, Page
from bracing.text.storm import short_text, storm_page
from bracing.units import tape
from tests.cli.running import EXAMPLES, run, said
from tests.guards.test_returns import a_return, with_returns
from tests.laws.test_stage_laws import still
from tests.small_walls import small_job
from tests.storm_walls import mended, wall
from tests.wall_files import wall_text

DECK = 10.0 / 12.0  # 10 lb/ft


# -- a brace off its mark ---------------------------------------------------------------------------------


def test_a_brace_off_its_mark_is_never_on_the_stud_of_another():
    """With a brace on every stud none can be off its mark; with one stud free only those beside it can.

    A brace that moves onto the free stud leaves its own: what is left is the wall with that other stud free.
    """
    _, pool, *_ = search_space(choose(small_job()), 20.0).single[0]
    on = {x: int(np.flatnonzero(pool.x == x)[0]) for x in np.unique(pool.x)}
    studs = sorted(on)
    assert len(studs) == 6

    def but(free):
        return np.array([[on[x] for x in studs if x != free]], dtype=np.intp)

    every = but(None)
    assert off_mark_ratios(pool, every)[0] == 0.0
    assert stands_off_mark(pool, every)[0]
    stands = {x: float(worst_ratios(pool, but(x))[0]) for x in studs}
    for k, free in enumerate(studs):
        beside = [stands[studs[j]] for j in (k - 1, k + 1) if 0 <= j < len(studs)]
        assert off_mark_ratios(pool, but(free))[0] == pytest.approx(max(beside), rel=1e-9)


# -- taking down ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("deck", [None, DECK])
@pytest.mark.parametrize("held", [(), ("left",), ("left", "right")])
def test_what_takes_over_from_a_brace(deck, held):
    """docs/how-to: a return that is held and ticked, a deck whose load is stated; a partition never."""
    assert counts(Event.LEFT_TIED, deck, held) == ("left" in held)
    assert counts(Event.RIGHT_TIED, deck, held) == ("right" in held)
    assert not counts(Event.NAILED, deck, held)
    assert counts(Event.DECK_ON, deck, held) == (deck is not None)


def test_a_stated_deck_lets_nothing_go_before_it_is_on():
    rows = stages(mended("short"), keep=5.0, deck=1e6).take_down.events
    assert [row.event for row in rows if row.out] == [Event.DECK_ON]


def test_the_brace_that_is_missed_least_comes_out_first():
    """A brace between two others takes part of what they took; one too slender to push or draw takes nothing.

    A 2x4 of 13 ft without a tie is past le/d 75 about its weak axis: 156 in over 1.5 in is 104 (NDS 3.7.1.4).
    """
    job = mended("short")
    idle = evolve(
        job.braces[1], mark="B9", stud_at=48.0, size="2x4", ties=0, head=96.0, set_back=140.0, stiffener="none",
        head_fasteners=0, cleat_fasteners=0, floor_fasteners=0,
    )  # fmt: skip
    assert math.hypot(idle.head, idle.set_back) / 1.5 > 75.0
    job = evolve(job, braces=(job.braces[0], idle, *job.braces[1:]))
    row = stages(job, keep=5.0, deck=DECK).take_down.events[-1]
    assert row.out[0].mark == "B9"
    assert row.out[0].limits.limit == pytest.approx(row.limits.limit, abs=1e-6)
    left = [one.limits.limit for one in row.out]
    assert left == sorted(
        left, reverse=True
    )  # what is left never grows as more come out of a wall of one kind


def test_a_deck_holds_the_top_and_the_plate_holds_the_foot():
    """Statics: half of what presses on a stud goes to its foot. A plate that holds nothing leaves no wall."""
    job = evolve(still(), site=Site(lean=0.0, top_load=0.0))
    assert deck_limits(job, DECK).limit > 0.0
    tacked = evolve(job, wall=evolve(job.wall, plate=evolve(job.wall.plate, state="tacked")))
    assert deck_limits(tacked, DECK).limit == 0.0
    strong = 1e6
    few = [
        deck_limits(evolve(job, wall=evolve(job.wall, plate=evolve(job.wall.plate, spacing=s))), strong).limit
        for s in (24.0, 96.0)
    ]
    # A quarter of the nails holds half the gust: the load goes as its square.
    assert few[0] == pytest.approx(2.0 * few[1], rel=1e-9)


def test_with_one_return_tied_two_braces_that_push_stay_in_any_calm(tmp_path):
    """docs/how-to, taking down: braces come out one at a time, two that live in push stay until both ends are held."""
    job = read_job(with_returns(tmp_path, a_return()))
    assert len(job.braces) == 3
    (row,) = (one for one in stages(job, keep=1.0).take_down.events if one.event is Event.LEFT_TIED)
    assert (len(row.out), len(row.stay)) == (1, 2)


def test_a_return_that_is_not_tied_yet_does_not_hold_its_end(tmp_path):
    """Two returns hold both ends once both are ticked: with one ticked a wall of two braces has one end free."""
    job = read_job(with_returns(tmp_path, a_return(), a_return(side="right")))
    job = evolve(job, braces=job.braces[:2])
    mark = job.braces[0].mark
    for done, may in ((("left return tied",), False), (("left return tied", "right return tied"), True)):
        asked = ask_removal(job, mark, done=done, keep=Kept(1.0), deck=None)
        assert (asked.allowed, asked.why.id == "two-push-stay") == (may, not may)


def test_studs_under_a_deck_span_from_plate_to_deck():
    """On two ends: p s h^2/8 of a stud against p h/2 of the deck, at the same pressure: V2^2/V1^2 = 4 M/(s D h)."""
    job = evolve(still(), site=Site(lean=0.0, top_load=0.0))
    top, plate = evolve(job.wall.top_plate, end_nails=12), evolve(job.wall.plate, spacing=2.0)
    job = evolve(job, wall=evolve(job.wall, top_plate=top, plate=plate))
    M, s, h = materials_of(job).stud().bending(), 16.0, 108.0
    by_deck, by_studs = deck_limits(job, DECK).limit, deck_limits(job, 1e6).limit
    assert by_studs**2 / by_deck**2 == pytest.approx(4.0 * M / (s * DECK * h), rel=1e-9)


@pytest.mark.parametrize(("answer", "there"), [("", False), ("there", True)])
def test_enter_at_a_brace_that_was_missing_leaves_it_missing(answer, there):
    """Enter says: as it stands here; what stands there is that a walk before did not find it."""
    job = mended("short")
    gone, *others = job.braces
    walked = evolve(job, braces=tuple(others), built=Built("2026-03-06 08:00", "lead", planned=(gone,)))
    assert (read_answer(walked, gone, answer).brace is not None) is there
    assert read_answer(walked, others[0], answer).brace == others[0]


# -- a forecast -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gusts", "verdict"),
    [
        ((60.0, 10.0), Verdict.OVER), ((10.0, 60.0), Verdict.OVER), ((10.0, 60.0, 10.0), Verdict.OVER),
        ((10.0, 12.0), Verdict.WITHIN),
    ],
)  # fmt: skip
def test_a_forecast_is_over_where_any_hour_of_it_is(gusts, verdict):
    noon = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
    rows = tuple(
        Hour(noon + timedelta(hours=k), noon + timedelta(hours=k + 1), gust) for k, gust in enumerate(gusts)
    )
    job = mended("short")
    assert 12.0 < check(job, effects=False).limit < 60.0
    assert storm(job, Forecast(rows), Clock(noon, UTC), ladder=None).verdict == verdict


NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
CLOCK = Clock(NOON, UTC)


def hours(*gusts, **more):
    rows = (Hour(NOON + timedelta(hours=k), NOON + timedelta(hours=k + 1), g) for k, g in enumerate(gusts))
    return Forecast(tuple(rows), **more)


def test_shelter_comes_off_no_gust_that_is_over_its_own_ground():
    """A gust over the ground as it is has the shelter in it: exposure B counts as C, and of a typed one as B."""
    job = mended("short")
    here, open_ = (evolve(job, site=evolve(job.site, exposure=each)) for each in "BC")
    found = [
        storm(each, hours(30.0, local=local), CLOCK, ladder=None).check.limit
        for each, local in ((here, True), (open_, True), (here, False))
    ]
    assert found[0] == found[1] < found[2]


@pytest.mark.parametrize(("begins", "gusts"), [(0, [60, 60, 10]), (30, [60, 60, 10]), (60, [10, 60, 10])])
def test_an_hour_an_alert_touches_has_its_gust(begins, gusts):
    """From so many minutes past noon to 2 pm: it may blow at once, and the hour it begins in counts whole."""
    start, end = NOON + timedelta(minutes=begins), NOON + timedelta(hours=2)
    found = with_alerts(hours(10.0, 10.0, 10.0), [Alert("a", "High Wind Warning", start, end, 60.0)], CLOCK)
    assert [hour.gust for hour in found.hours] == gusts


@pytest.mark.parametrize(("named", "gust"), [(None, 120.0), (90.0, 120.0), (140.0, 140.0)])
def test_of_a_tornado_the_greater_of_its_own_gust_and_the_one_it_names_counts(named, gust):
    """docs/judgement.md: past all that is planned for, 120 mph and no less than it says itself."""
    assert gust_of_event("Tornado Warning", named) == gust


def test_it_is_news_that_people_must_be_out_sooner():
    """Over before and after, out by 6 pm and now by 3 pm: nobody who was told 6 pm may be left there."""
    job = mended("short")
    told = {}
    for out, news in ((18, News.FIRST), (15, News.WORSE), (15, None), (18, News.BETTER)):
        look = Look("J", CLOCK, (Seen(job, Verdict.OVER, NOON + timedelta(hours=out - 12)),))
        assert news_of(look, told or None, ()) == news
        told = look.told


def test_where_nobody_knows_the_wind_people_are_out_of_a_wall_for_an_engineer():
    """It has no clear-out gust, so that there is no wind of which anybody knows that they may stay."""
    job = mended("short")
    tall = evolve(job, braces=(), wall=evolve(job.wall, top=((0.0, 372.0), (192.0, 372.0))))
    for each, out in ((job, False), (tall, True)):
        ((seen,), faults) = seen_without((each,), CLOCK)
        assert (faults, seen.out_now) == ((), out)


def test_the_zone_of_a_wall_that_is_left_is_rounded_up():
    """9 ft 2 in of wall on 3 ft of deck and four feet: 16 ft 2 in is 17 ft."""
    job = mended("short")
    job = evolve(job, wall=evolve(job.wall, top=((0.0, 110.0), (192.0, 110.0))))
    left = Left(storm(job, hours(60.0), CLOCK, ladder=None), LeftBecause.TIME)
    told = First(2, None, None, (), (left,), (), (), True, (), (), CLOCK).to_dict()["left"]
    assert [row["zone_ft"] for row in told] == [17]


@pytest.mark.parametrize("head", [58.0, 70.0, 84.0])
def test_a_brace_added_beside_a_low_one_has_a_fair_head(head):
    """docs/judgement.md: a head under two thirds of the height is warned of; nobody puts one up for a storm."""
    job = mended("short")
    job = evolve(job, braces=tuple(evolve(one, head=head, set_back=head) for one in job.braces[:2]))
    made = add_brace(job, frame_wall(job.wall)).braces[-1]
    assert made.head >= 108.0 * 2.0 / 3.0
    assert made.head >= head - 1.0


# -- pages ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("speed", "gust"),
    [("115 mph", 62), ("100 mph", 54), ("112 mph", 60), ("112.03 mph", 61), ("112.1 mph", 61)],
)
def test_the_gust_of_a_design_speed_is_printed_rounded_up(capsys, tmp_path, speed, gust):
    """V 0.75 √(0.6 · 0.85): 61.59 of 115 mph, 53.56 of 100, 59.99 of 112, 60.004 of 112.03 (ASCE 37-14)."""
    path = tmp_path / "wall.toml"
    path.write_text(f'{wall_text()}[site]\ndesign_speed = "{speed}"\nstands = "3 weeks"\n', encoding="utf-8")
    out = said(run(capsys, "check", path, "--gust", "30", "--all").out)
    assert f"design wind for the time it stands comes to a gust of {gust} mph" in out


def ladder(clear, limit, *, storm_out=None):
    """The gusts a page shows, each with what is said of people, for a wall with these gusts."""
    result = SimpleNamespace(
        one_missing=0, clear_out=clear, at=lambda gust: Verdict.WITHIN if gust <= limit else Verdict.OVER
    )
    rows = gust_ladder(SimpleNamespace(result=result, page=Page(), storm_out=storm_out))
    return {row.cells[0]: row.cells[-1] for row in rows}


@pytest.mark.parametrize(("clear", "stay"), [(0, ""), (20, ""), (21, "20"), (30, "20 25"), (31, "20 25 30")])
def test_on_a_page_people_are_out_at_just_the_clear_out_gust_and_stay_under_it(clear, stay):
    """The gusts a page shows are 20, 25, 30 ... mph; `check` has people out at just the clear-out gust."""
    shown = ladder(clear, 40.0)
    out = shown["58 mph"]
    assert out != ladder(99, 120.0)["58 mph"]
    assert [gust.split()[0] for gust, words in shown.items() if words != out] == stay.split()


@pytest.mark.parametrize(
    ("asked", "kept"), [(None, 32.0), (20.0, 20.0), (31.0, 31.0), (32.0, 32.0), (50.0, 32.0)]
)
def test_no_removal_of_a_page_goes_below_the_gust_asked_or_the_wall_s_own(asked, kept):
    """The short wall is cleared at 32 mph: past it nobody is there to take a brace out."""
    job = mended("short")
    assert check(job, effects=False).clear_out == 32
    assert gather(job, gust=asked, budget=0.0).stages.take_down.keep.gust == kept


def test_a_page_says_within_with_a_brace_gone_only_where_that_is_within_too():
    """As drawn to 40 mph, with one gone to 24."""
    result = SimpleNamespace(
        one_missing=24, clear_out=34, at=lambda gust: Verdict.WITHIN if gust <= 40.0 else Verdict.OVER
    )
    rows = gust_ladder(SimpleNamespace(result=result, page=Page(), storm_out=None))
    gone = {row.cells[0]: row.cells[1:3] for row in rows}
    assert gone["20 mph"] == ("within", "within")
    assert gone["25 mph"] == ("within", "over")
    assert gone["45 mph"] == ("over", "over")


def test_a_text_message_has_people_out_at_the_clear_out_gust():
    """85 of 100 of the limit gust: 33 mph of 38, and it is the 33 that is said of people."""
    job = mended("short")
    checked = check(job, effects=False)
    for gust in (10.0, 60.0):
        out = short_text(storm(job, hours(10.0, gust), CLOCK, ladder=None), Page()).splitlines()[1]
        assert re.findall(r"([0-9]+) mph", out)[:1] == [str(checked.clear_out)]
        assert checked.clear_out < checked.limit_whole


def test_with_all_of_the_work_done_the_last_gusts_are_printed():
    """Each step of it holds more than the one before; what the wall holds then is what the last one left it."""
    found = storm(wall("short"), hours(30.0), CLOCK, ladder=10.0)
    steps = found.ladder.steps
    assert len(steps) > 1
    assert steps[0].limit < steps[-1].limit - 1.0
    text = " ".join(storm_page(found, Page(), command="bracing storm").split())
    last = re.search(r"With all of it: clear-out gust ([0-9]+) mph, limit gust ([0-9]+) mph", text)
    assert last.groups() == (str(steps[-1].clear_out), str(math.floor(steps[-1].limit)))


def test_a_page_gives_of_each_brace_the_least_of_its_own_links():
    facts = gather(mended("short"), gust=20.0, budget=0.0)
    links = facts.result.evaluation.links
    for row, brace in zip(brace_rows(facts), facts.job.braces, strict=True):
        own = [link.limit_gust for link in links if link.mark == brace.mark]
        assert len(set(own)) > 3
        assert row.cells[-1] == f"{math.floor(min(own) + 1e-9)} mph"


def test_a_card_has_the_top_of_a_head_over_its_middle():
    """The top edge of a stick stands half its width over the cosine higher than its middle; a tape reads down."""
    job = mended("short")
    for card, brace in zip(cards(job, Page()), job.braces, strict=True):
        said = next(words for what, words in card.lines if what == PLAIN.said(Said("card-head")))
        half = {"2x4": 1.75, "2x6": 2.75}[brace.size]
        top, middle = (tape(each) for each in (brace.head + half / math.cos(brace.angle), brace.head))
        assert 0 <= said.index(top) < said.index(middle)


def test_the_zone_is_drawn_deeper_where_a_wall_falls_off_its_deck():
    """9 ft and four feet on the deck, 13 ft; outside 3 ft lower and so 3 ft more, 16 ft. Outside is drawn up."""
    drawn = zone(check(mended("short"), effects=False)).items
    (edge,) = (item for item in drawn if isinstance(item, DrawnLine) and item.layer == "ZONE")
    heights = [y for _, y in edge.points]
    assert (min(heights), max(heights)) == (-13.0 * 12.0, 16.0 * 12.0)


@pytest.mark.parametrize(("days", "nights"), [(0.2, 1), (1.0, 1), (2.0, 2), (2.5, 3), (14.01, 15)])
def test_a_night_begun_counts(days, nights):
    job = evolve(mended("short"), site=Site(design_speed=115.0, stands=days * 86400.0))
    assert weeks_of(job)[0].nights == nights


@pytest.mark.parametrize("worse", ["push", "pull"])
def test_of_the_two_sides_the_wind_may_come_from_the_worse_counts(worse):
    """Of four draws a gust over 30 mph takes two from the one side and three from the other: 0.75."""
    taken = {side: np.array([10.0, 20.0, 25.0 if side == worse else 40.0, 50.0]) for side in ("push", "pull")}
    drawn = SimpleNamespace(draws=4, taken=lambda times=1.0: taken)
    assert Figures(drawn, None).share(lambda gusts: gusts, 30.0).chance == 0.75


def test_a_page_at_the_wall_says_by_which_gust_people_are_out_in_storms(tmp_path):
    """An outflow is stronger near the ground: 33 mph of a plain gust press as 30 of its do, 33 √0.849 (Kz of C)."""
    file = tmp_path / "wall.toml"
    file.write_bytes((EXAMPLES / "short-wall-braced.toml").read_bytes())
    job = read_job(file)
    plain = check(job, effects=False)
    out = math.floor(0.85 * math.floor(plain.limit * math.sqrt(0.8489)))
    assert out < plain.clear_out
    told = worked(file, noted(tmp_path, (file,), NOON)).english.words
    assert f"{plain.clear_out} mph" in told["out"]
    assert f"{out} mph" in told["storm"]
