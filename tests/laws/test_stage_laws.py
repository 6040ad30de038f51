"""What must be true of any stage: each is the wall as it is then, and nothing goes below the gust that is kept."""

import math
from functools import cache

import pytest
from attrs import evolve

from bracing.chain.evaluate import NONE, Limits, limits
from bracing.chain.model import build_model
from bracing.check import check
from bracing.errors import InputError
from bracing.job.floor import Partition
from bracing.job.job import Site
from bracing.stages.going_up import Stage
from bracing.stages.stages import in_order, stages, start_of
from bracing.stages.take_down import Event, Kept, ask_removal, deck_limits
from bracing.text.quantities import in_words
from tests.storm_walls import mended, wall

DECK = 400.0 / 12.0
ALIKE = 1e-5  # mph: limit gusts of mirror images come from sums in another order; the first brace is named


def limit(job):
    return check(job, effects=False).limit


@cache
def staged(name="short", gust=20.0, order="given"):
    job = mended(name)
    return stages(evolve(job, braces=in_order(job, order)), gust=gust, deck=DECK)


@pytest.mark.parametrize("name", ["short", "habit"])
@pytest.mark.parametrize("order", ["given", "middle"])
def test_each_stage_is_the_wall_with_the_braces_that_are_up_then(name, order):
    result = staged(name, 20.0, order)
    braces = in_order(mended(name), order)
    rows = [stage for stage in result.stages if not stage.ties]
    for k, stage in enumerate(rows):
        untied = tuple(evolve(brace, ties=0) for brace in braces[: k + 1])
        then = evolve(mended(name), braces=untied)
        assert stage.mark == braces[k].mark
        # The studs of braces still to come are doubled already, where they are doubled at all.
        assert stage.limit == pytest.approx(limit(then), abs=0.05)


@pytest.mark.parametrize("name", ["short", "habit"])
def test_tie_rows_are_a_stage_of_their_own_after_the_last_brace(name):
    job, result = mended(name), staged(name)
    ties = max(brace.ties for brace in job.braces)
    assert [stage.ties for stage in result.stages if stage.ties] == ([ties] if ties else [])
    assert len(result.stages) == len(job.braces) + (ties > 0)
    assert result.stages[-1].mark == job.braces[-1].mark
    assert result.stages[-1].limit == pytest.approx(limit(job), abs=0.05)


@pytest.mark.parametrize("name", ["short", "habit"])
def test_one_missing_is_the_wall_without_that_brace(name):
    job = mended(name)
    result = staged(name)
    for k, gust in enumerate(result.missing):
        rest = evolve(job, braces=tuple(b for j, b in enumerate(job.braces) if j != k))
        assert gust == pytest.approx(limit(rest), abs=0.05)
    costs_most = [b.mark for b in job.braces].index(result.matters_most)
    least = min(result.missing)
    assert result.missing[costs_most] == pytest.approx(least, abs=ALIKE)
    assert all(gust > least + ALIKE for gust in result.missing[:costs_most])


def test_middle_outward_goes_outward():
    job = mended("habit")
    middle = start_of(job.wall)
    away = [abs(b.stud_at - middle) for b in in_order(job, "middle")]
    assert away == sorted(away)
    assert {b.mark for b in in_order(job, "middle")} == {b.mark for b in job.braces}
    with pytest.raises(InputError):
        in_order(job, "backwards")


def test_a_gable_starts_at_its_peak_and_a_level_wall_in_its_middle():
    level = wall("short").wall
    assert start_of(level) == 96.0
    assert start_of(evolve(level, top=((0.0, 96.0), (60.0, 150.0), (192.0, 96.0)))) == 60.0
    assert start_of(evolve(level, top=((0.0, 96.0), (60.0, 96.0), (192.0, 150.0)))) == 96.0


@pytest.mark.parametrize("gust", [5.0, 15.0, 25.0, 35.0])
def test_the_hook_comes_off_where_this_and_every_later_stage_has_the_clear_out(gust):
    result = evolve(staged(), gust=gust)
    off = result.hook.off_after
    if off is None:
        assert result.stages[-1].clear_out <= gust
        return
    first = result.stages.index(off)
    assert all(stage.clear_out > gust for stage in result.stages[first:])
    assert first == 0 or result.stages[first - 1].clear_out <= gust
    assert result.hook_until == off.mark


def test_the_hook_is_not_let_go_at_a_stage_that_is_enough_before_one_that_is_not():
    """40, 20, 40 mph: clear-outs of 34, 17 and 34; at a gust of 18 the second is not enough."""
    result = evolve(
        staged(),
        stages=tuple(Stage(f"B{k}", Limits(gust, gust)) for k, gust in ((1, 40.0), (2, 20.0), (3, 40.0))),
    )
    assert evolve(result, gust=18.0).hook_until == "B3"
    assert evolve(result, gust=16.0).hook_until == "B1"
    assert evolve(result, gust=35.0).hook_until is None


def test_no_brace_holds_the_hook_for_a_wall_without_braces():
    result = stages(evolve(mended("short"), braces=()), gust=10.0)
    assert (result.stages, result.hook_until, result.verdict) == ((), None, "over")


# -- taking down -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "keep"), [("short", 10.0), ("short", 20.0), ("habit", 12.0)])
@pytest.mark.parametrize("deck", [None, 0.5, 4.0])
def test_no_removal_goes_below_the_clear_out_gust_that_is_kept(name, keep, deck):
    job = mended(name)
    down = stages(job, keep=keep, deck=deck).take_down
    assert [row.event for row in down.events] == list(Event)
    for row in down.events:
        counted = row.event == Event.DECK_ON and deck is not None
        assert counted or row.out == ()
        floor = deck_limits(job, deck) if counted else NONE
        assert row.limit == pytest.approx(max(limit(job), floor.limit), abs=0.05)
        for removal in row.out:
            job = evolve(job, braces=tuple(b for b in job.braces if b.mark != removal.mark))
            assert removal.clear_out > keep
            assert removal.limit == pytest.approx(max(limit(job), floor.limit), abs=0.05)
        assert row.stay == tuple(b.mark for b in job.braces)


def test_removals_stop_only_where_every_further_one_would_go_below():
    keep, deck = 20.0, 0.5 / 12.0
    job = mended("short")
    row = stages(job, keep=keep, deck=deck).take_down.events[-1]
    job = evolve(job, braces=tuple(b for b in job.braces if b.mark in row.stay))
    assert job.braces
    for brace in job.braces:
        less = build_model(evolve(job, braces=tuple(b for b in job.braces if b is not brace)))
        assert limits(less).clear_out <= keep


def asked(mark, *done, keep=10.0, deck=None, job=None):
    return ask_removal(job or mended("short"), mark, done=done, keep=Kept(keep), deck=deck)


def test_a_removal_without_a_ticked_event_is_refused_however_much_there_is_to_spare():
    found = asked("B1", keep=1.0)
    assert not found.allowed
    assert "no event is ticked" in in_words(found.why)


@pytest.mark.parametrize(
    "done",
    [
        (Event.LEFT_TIED,),
        (Event.LEFT_TIED, Event.RIGHT_TIED),
        (Event.NAILED,),
        (Event.LEFT_TIED, Event.DECK_ON),
    ],
)
def test_what_counts_for_nothing_lets_nothing_go(done):
    found = asked("B1", *done, keep=1.0)
    assert not found.allowed
    assert "nothing that counts has taken over" in in_words(found.why)


def test_a_removal_is_allowed_on_a_stated_deck_and_never_below_the_gust_that_is_kept():
    found = asked("B1", Event.DECK_ON, deck=1000.0)
    out = found.limits.clear_out
    assert found.allowed
    assert asked("B1", Event.DECK_ON, deck=1000.0, keep=out - 1.0).allowed
    over = asked("B1", Event.DECK_ON, deck=1000.0, keep=float(out))  # its limit gust is still over this
    assert over.limit > out
    assert not over.allowed


def test_a_partition_and_a_return_count_for_nothing():
    assert asked("B2", Event.NAILED, Event.LEFT_TIED, Event.RIGHT_TIED).limit == pytest.approx(
        asked("B2").limit, abs=1e-9
    )


def test_a_brace_in_the_way_of_a_partition_is_named_on_the_line_it_stands_on():
    """A partition running away from the wall at 96 in, B2's own stud; one along the wall is in nobody's way."""
    away = Partition(start=(96.0, 0.0), end=(96.0, 120.0))
    along = Partition(start=(0.0, 60.0), end=(192.0, 60.0))
    job = mended("short")

    def note(*partitions):
        floor = evolve(job.floor, partitions=partitions)
        rows = stages(evolve(job, floor=floor), keep=300.0).take_down.events  # no brace is out by then
        return in_words(next(row.note for row in rows if row.event == Event.NAILED))

    assert "On its line: B2; put a new brace in before the old one comes out" in note(away, along)
    assert "On its line" not in note(along)


def test_beyond_the_envelope_no_stage_has_a_limit():
    job = mended("short")
    high = evolve(job, wall=evolve(job.wall, top=((0.0, 500.0), (192.0, 500.0))))
    found = stages(high, gust=20.0)
    assert (found.limit, found.verdict, found.stages, found.matters_most) == (None, "engineer", (), None)


@pytest.mark.parametrize(("mark", "done"), [("B9", (Event.LEFT_TIED,)), ("B1", ("roof on",))])
def test_an_unknown_brace_or_event_is_bad_input(mark, done):
    with pytest.raises(InputError):
        asked(mark, *done)


# -- a deck along the top --------------------------------------------------------------------------------


def still():
    """A wall without lean and people along its top: every load is the wind's."""
    job = mended("short")
    return evolve(job, site=evolve(job.site, lean=0.0, top_load=0.0))


def test_a_deck_of_four_times_the_load_takes_twice_the_gust_while_it_governs():
    small = 5.0 / 12.0
    assert deck_limits(still(), 4.0 * small).limit == pytest.approx(
        2.0 * deck_limits(still(), small).limit, rel=1e-9
    )


def test_the_decks_gust_by_hand():
    """9 ft wall on a 3 ft deck, open country: the greatest local pressure of the cases, half of it at the top."""
    from bracing.codes.asce7.walls import wind_fields
    from bracing.job.framing import frame_wall

    job = evolve(still(), site=Site(lean=0.0, top_load=0.0))
    fields = wind_fields(job, frame_wall(job.wall))
    most = max(f.c(x, z) for f in fields for x in (0.0, 96.0, 192.0) for z in (0.0, 108.0))
    psf = most * 0.00256 * 0.849  # Kz of exposure C at 15 ft and under, as printed: 0.85
    by_hand = math.sqrt(10.0 / (psf * 9.0 / 2.0))  # 10 lb/ft
    assert deck_limits(job, 10.0 / 12.0).limit == pytest.approx(by_hand, rel=2e-3)


def test_past_the_deck_its_nails_its_studs_or_its_plate_govern():
    many = deck_limits(mended("short"), 1e6).limit
    assert many == deck_limits(mended("short"), 1e7).limit
    assert 0.0 < many < 120.0


def test_a_deck_without_a_stated_load_lets_nothing_go_and_says_so():
    row = stages(mended("short"), keep=45.0).take_down.events[-1]
    assert row.event == Event.DECK_ON
    assert row.out == ()
    assert "counts for nothing until its level load is stated" in in_words(row.note)


def test_a_deck_that_takes_the_gust_lets_every_brace_go():
    kept = 0.8 * deck_limits(mended("short"), 1e6).limit
    row = stages(mended("short"), keep=kept, deck=1e6).take_down.events[-1]
    assert row.stay == ()
    assert all(one.clear_out >= kept for one in row.out)
