"""Why no layout stands, said of walls in which each reason is the only one."""

from __future__ import annotations

import pytest
from attrs import evolve

from bracing.chain.evaluate import evaluate
from bracing.chain.model import build_model
from bracing.check import check
from bracing.errors import NoLayoutError
from bracing.job.floor import KeepOut
from bracing.layout.least import why_none
from bracing.layout.mending import finish
from bracing.layout.needed import choose
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.layout.space import search_space
from bracing.text.quantities import in_words
from bracing.work.remedies import remedies
from tests.small_walls import small_job

GUST = 40.0
NAILS = {"cleat_fastener": "gun nail 0.131x3", "floor_fastener": "gun nail 0.131x3"}


def why(job, gust=GUST, **asked):
    with pytest.raises(NoLayoutError) as caught:
        lay_out(job, gust=gust, budget=0.2, asked=LayoutAsked(others=False, **asked))
    return in_words(caught.value.why)


def stands(job, gust=GUST, budget=0.2, **asked):
    found = lay_out(job, gust=gust, budget=budget, asked=LayoutAsked(others=False, **asked))
    return check(found.job, gust=gust, effects=False).verdict == "within"


def kept_out(job, *, to, name="pool"):
    hole = KeepOut(name=name, corner=(0.0, 0.0), opposite=(to, 288.0))
    return evolve(job, floor=evolve(job.floor, keep_outs=(hole,)))


def test_a_floor_nobody_may_stand_a_foot_on_is_named():
    job = small_job()
    assert "no foot can stand anywhere: the foot stands in pool" in why(kept_out(job, to=120.0))
    assert stands(kept_out(job, to=40.0))  # with two thirds of the floor there are feet enough


def test_sticks_too_short_to_reach_the_floor_are_named():
    """On 8 ft of wall a head two thirds up, 64 in, takes more than 64 in of stick at any angle."""
    assert why(small_job(stock='[{ size = "2x6", length = "5 ft" }]')) == "no stock on hand is long enough"
    assert stands(small_job(stock='[{ size = "2x6", length = "10 ft" }]'))


def test_feet_only_away_from_one_end_are_warned_of_and_refuse_no_plan():
    """Of 20 ft, 70 in from LEFT are kept free: no brace within 4 ft of that end."""
    long = kept_out(small_job(length="20 ft"), to=70.0)
    found = lay_out(long, gust=GUST, budget=0.0)
    assert min(brace.stud_at for brace in found.job.braces) >= 70.0
    assert found.result.verdict == "within"
    assert "free-end-at-left" in [said.id for said in found.result.warnings]


def test_studs_that_bend_between_any_braces_are_for_an_engineer():
    slender = {"height": "14 ft", "stock": '[{ size = "2x6", length = "24 ft" }]'}
    said = why(small_job(studs="2x4", **slender), 110.0)
    assert "studs bend past their allowable value between any braces at 110 mph" in said
    assert "engineer" in said


def test_braces_too_weak_for_the_wind_are_said_to_be_and_by_which_joint():
    """Gun nails pulled out of the floor: a brace on every other stud is not enough, and screws there are."""
    tall = {
        "lie": "flat",
        "ties": 1,
        "sides": 1,
        "height": "12 ft",
        "stock": '[{ size = "2x6", length = "16 ft" }]',
    }
    said = why(small_job(**NAILS, **tall), 60.0)
    assert "the strongest brace of the stock on hand balances" in said
    assert "its weakest link is cleat to floor" in said
    share = float(said.split("balances ")[1].split("%")[0])
    assert 0.0 < share < 100.0
    assert stands(small_job(**tall), 25.0)


def test_a_fastener_too_short_for_its_cleat_is_named_and_not_the_stock():
    """A nail of 3 in through a cleat 5 1/2 in high reaches no floor."""
    said = why(small_job(floor_fastener="gun nail 0.131x3"))
    assert "no brace gives the wall anything, by cleat to floor" in said
    assert "reaches 0.00 in past the side member" in said
    assert "stock" not in said
    assert "no foot can stand" not in said


def test_of_two_feet_the_one_that_can_stand_says_why_there_is_no_layout():
    """Screws of 5 in go through no cleat on edge, 5 1/2 in high: no reason where flat ones hold, and time was all."""
    job = small_job(floor_fastener="structural screw 0.22x5")
    open_to = ("kit.cleat.size", "kit.cleat.lie", "kit.cleat.sides", "kit.cleat.length")
    job = evolve(job, declared=job.declared - frozenset(open_to))
    assert stands(job, 15.0)
    with pytest.raises(NoLayoutError) as caught:
        lay_out(job, gust=70.0, budget=0.0, asked=LayoutAsked(others=False))
    said = in_words(caught.value.why)
    assert "gives the wall anything" not in said
    assert said.startswith("the nearest, ")


def test_sticks_counted_short_are_said_to_be():
    one = '[{ size = "2x6", length = "12 ft", count = 1 }]'
    assert "takes more than is on hand" in why(small_job(stock=one))
    assert stands(
        small_job(stock=one.replace("1 }", "3 }")), budget=1.0
    )  # two braces, and four cleats of 3 ft from the third


def test_a_single_brace_leaves_the_wall_free_to_move():
    """Feet at one stud of a wall 6 ft long: within 4 ft of both ends, and the wall turns about its one brace."""
    job = small_job(length="6 ft")
    assert stands(job, 20.0)
    holes = [
        KeepOut(name="pool", corner=(x, 0.0), opposite=(y, 288.0)) for x, y in ((0.0, 12.0), (36.0, 72.0))
    ]
    said = why(evolve(job, floor=evolve(job.floor, keep_outs=tuple(holes))), 20.0)
    assert said.startswith("the nearest, 1 brace (")
    assert said.endswith("leaves the wall free to move")


def test_one_stud_off_is_said_apart_from_one_gone():
    assert stands(small_job())
    said = why(small_job(), one_missing=100.0)
    assert "is over with one brace one stud off its mark, or gone" in said


def test_the_link_named_is_one_that_no_more_fasteners_mend():
    job = small_job(sides=1, height="12 ft", length="20 ft", stock='[{ size = "2x6", length = "16 ft" }]')
    said = in_words(why_none(search_space(choose(job), 60.0)))  # of the spreads; a closer look finds a plan
    assert "and no more fasteners mend that" in said
    named = said.split("is over at ")[1].split(" (")[0]
    mendable = {name for row in remedies().values() if row.new != "searched" for name in row.mends}
    assert named not in mendable or "head" in named  # heads have no room for more
    found = lay_out(job, gust=25.0, budget=0.2, asked=LayoutAsked(others=False))
    stuck = finish(build_model(found.job), 150.0).stuck
    assert stuck
    assert {link.link for link in stuck} <= {
        link.link for link in evaluate(build_model(found.job).crowded, 150.0).over
    }
