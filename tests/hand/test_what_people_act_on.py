"""What people act on: which brace comes out, when all are out, what a page says at just a gust; by hand."""

import math
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import numpy as np
import pytest
from attrs import evolve

from bracing.check import check
from bracing.job.job import Site
from bracing.layout.needed import choose
from bracing.layout.screen import off_mark_ratios, stands_off_mark, worst_ratios
from bracing.layout.space import search_space
from bracing.said import Verdict
from bracing.sheet.facts import gather
from bracing.sheet.rows import gust_ladder
from bracing.stages.stages import stages
from bracing.stages.take_down import Event, counts, deck_limits
from bracing.storm.answer import storm
from bracing.storm.clock import Clock
from bracing.storm.forecast import Forecast, Hour
from bracing.text.page import Page
from tests.cli.running import run, said
from tests.laws.test_stage_laws import still
from tests.small_walls import small_job
from tests.storm_walls import mended
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
