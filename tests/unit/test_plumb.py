"""Offset readings into lean, bow, moves and an order of release."""

from __future__ import annotations

import math

import pytest

from bracing.lift.plumb import LeanReading, foot_move, length_change, plumb


def reading(mark, x, floor, at_head, **more):
    return LeanReading(mark, x, 120.0, floor, at_head, **more)


def answer(*readings, loose=30, **more):
    each = {each.mark: loose for each in readings}
    return plumb(readings, weight=2400.0, allowed_lean=0.02, loose=each, **more)


def test_lean_is_head_less_floor_and_bow_is_off_the_line_of_the_ends():
    found = answer(
        reading("B1", 0.0, 2.0, 2.0), reading("B2", 100.0, 2.0, 2.75), reading("B3", 200.0, 2.0, 2.5)
    )
    assert [move.lean for move in found.moves] == [0.0, 0.75, 0.5]
    assert [move.bow for move in found.moves] == pytest.approx([0.0, 0.5, 0.0], abs=1e-12)


def test_a_moved_foot_or_a_changed_length_brings_the_head_plumb():
    """Checked on the brace itself: foot and head apart by its length, head over the plate, plumb."""
    lean, head, set_back, height = 1.5, 96.0, 90.0, 120.0
    level, up = set_back - lean * head / height, head * math.sqrt(1 - (lean / height) ** 2)
    before = math.hypot(level, up)
    moved = set_back + foot_move(lean, head=head, set_back=set_back, head_height=height)
    assert math.hypot(moved, head) == pytest.approx(before, rel=1e-12)
    longer = before + length_change(lean, head=head, set_back=set_back, head_height=height)
    assert math.hypot(set_back, head) == pytest.approx(longer, rel=1e-12)


def test_a_wall_leaning_toward_the_braces_is_pushed_out_by_longer_braces():
    found = answer(reading("B1", 0.0, 2.0, 2.5, head=96.0, set_back=96.0), inches_per_turn=0.25)
    move = found.moves[0]
    assert move.length_change > 0.0
    assert move.foot_move < 0.0
    assert move.turns == pytest.approx(move.length_change * 4.0, rel=1e-12)


def test_the_ends_go_first_and_then_the_worst():
    rows = [reading(f"B{k}", 100.0 * k, 0.0, lean) for k, lean in enumerate((0.1, 0.2, -0.9, 0.3, 0.4, 0.1))]
    assert answer(*rows).order == ("B0", "B5", "B2", "B4", "B3", "B1")


def test_a_brace_with_nothing_to_move_is_not_let_go():
    """1/64 in shows as nothing on a tape read to sixteenths; 1/16 in shows."""
    rows = [
        reading(f"B{k}", 100.0 * k, 2.0, 2.0 + lean) for k, lean in enumerate((0.0, 1 / 16, -1 / 64, -1 / 16))
    ]
    found = answer(*rows)
    assert [move.moved for move in found.moves] == [False, True, False, True]
    assert found.order == ("B3", "B1")


@pytest.mark.parametrize("count", [1, 2, 5])
def test_where_floor_and_head_read_the_same_everywhere_nothing_is_let_go(count):
    found = answer(*(reading(f"B{k}", 100.0 * k, 2.0, 2.0) for k in range(count)))
    assert (found.order, found.stays) == ((), ())
    assert found.alike == (count > 1)


@pytest.mark.parametrize(("loose", "gust", "goes"), [(26, 25.0, True), (25, 25.0, False), (0, 0.0, False)])
def test_no_foot_is_let_go_where_the_gust_of_the_day_reaches_the_clear_out_with_it_loose(loose, gust, goes):
    found = answer(reading("B1", 0.0, 2.0, 2.5), loose=loose, gust=gust)
    assert (found.order, found.stays) == ((("B1",), ()) if goes else ((), ("B1",)))


def test_past_the_envelope_no_foot_is_let_go():
    rows = [reading("B1", 0.0, 2.0, 2.5)]
    found = plumb(rows, weight=2400.0, allowed_lean=0.02, loose={})
    assert (found.order, found.stays) == ((), ("B1",))


def test_the_lean_left_is_held_against_what_the_checks_carry():
    within = answer(reading("B1", 0.0, 0.0, 2.0))
    over = answer(reading("B1", 0.0, 0.0, -3.0))
    assert within.within
    assert not over.within
    assert over.lean_force == pytest.approx(2400.0 * 3.0 / math.sqrt(120**2 - 9), rel=1e-12)
