"""Cuts by coordinates: the stick is drawn as a polygon here, corner by corner, and measured."""

import math

import numpy as np
import pytest
from attrs import evolve
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bracing.chain.cuts import CLEAR, PLUMB, SQUARE, cut_of, head_fits, long_point, top_corner
from bracing.chain.room import RUN
from bracing.codes.nds.spacing import least_spacing
from bracing.job.brace import Brace, Cleat, Head, Kit, Stock
from bracing.job.fasteners import fastener
from bracing.job.floor import Floor, Joists
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Studs, Wall
from bracing.text.quantities import in_words
from bracing.work.parts import (
    KERF,
    Piece,
    board_feet,
    fasteners_needed,
    parts_list,
    pieces,
    plan_cuts,
    tie_sticks,
)

JOB = Job(
    wall=Wall(name="w", top=((0.0, 240.0), (384.0, 240.0)), studs=Studs(size="2x6", spacing=16.0)),
    kit=Kit(
        head=Head(joint="lapped", fastener="structural screw 0.22x3", bored=True),
        cleat=Cleat(
            brace_fastener="structural screw 0.22x3", floor_fastener="structural screw 0.22x5", length=36.0
        ),
    ),
)
BRACE = Brace(mark="B1", stud_at=160.0, head=120.0, set_back=120.0, size="2x6", head_fasteners=4)


def crossing(p, q, r, s):
    """Where the line through p and q meets the line through r and s."""
    turn = np.array([np.subtract(q, p), -np.subtract(s, r)]).T
    along = np.linalg.solve(turn, np.subtract(r, p))
    return np.asarray(p) + along[0] * np.subtract(q, p)


def polygon(brace, cut, *, stud=5.5, joint="lapped"):
    """Corners (y, z): upper and lower edge at the foot, lower and upper edge at the head."""
    foot, head = np.array([brace.set_back, 0.0]), np.array([0.0, brace.head])
    up = (head - foot) / np.linalg.norm(head - foot)
    out = np.array([up[1], -up[0]])  # across the stick, away from the wall where that is up
    if out[1] < 0.0:
        out = -out
    half = section(brace.size).width / 2.0
    upper, lower = (foot + half * out, head + half * out), (foot - half * out, head - half * out)
    floor = ((0.0, 0.0), (1.0, 0.0))
    at_foot = [crossing(*edge, *floor) for edge in (upper, lower)]
    if joint == "plumb" or cut.head_cut == PLUMB:
        y = 0.0 if joint == "plumb" else -(stud - CLEAR)
        plumb = ((y, 0.0), (y, 1.0))
        at_head = [crossing(*edge, *plumb) for edge in (upper, lower)]
    else:  # square: its outermost corner just clear of the sheathing
        reach = np.linalg.norm(head - foot) + (stud - CLEAR - half * abs(out[0])) / abs(up[0])
        at_head = [foot + reach * up + way * half * out for way in (1.0, -1.0)]
    return [*at_foot, at_head[1], at_head[0]]


braces = st.builds(
    lambda head, degrees, size, count: evolve(
        BRACE, head=head, set_back=head / math.tan(math.radians(degrees)), size=size, head_fasteners=count
    ),
    st.floats(60.0, 200.0), st.floats(26.0, 64.0), st.sampled_from(("2x4", "2x6", "2x8")), st.integers(2, 12),
)  # fmt: skip


@given(brace=braces, joint=st.sampled_from(("lapped", "plumb")))
def test_a_cut_brace_measures_what_is_said(brace, joint):
    job = evolve(JOB, kit=evolve(JOB.kit, head=evolve(JOB.kit.head, joint=joint)))
    cut = cut_of(job, brace)
    upper_foot, lower_foot, lower_head, upper_head = polygon(brace, cut, joint=joint)
    longest = np.linalg.norm(upper_head - upper_foot)
    assert longest >= np.linalg.norm(lower_head - lower_foot)
    assert long_point(job, brace) == pytest.approx(longest, abs=1e-6)
    assert 0.0 <= longest - cut.long_point < 1.0 / 16.0 + 1e-6
    assert cut.long_point * 16.0 == pytest.approx(round(cut.long_point * 16.0), abs=1e-9)
    assert upper_foot[1] == pytest.approx(0.0, abs=1e-9)
    assert cut.level_face == pytest.approx(np.linalg.norm(upper_foot - lower_foot), abs=1e-6)
    along = (upper_head - upper_foot) / longest
    for face, angle in ((lower_foot - upper_foot, cut.foot_angle), (lower_head - upper_head, cut.head_angle)):
        between = math.degrees(math.acos(abs(float(face @ along)) / np.linalg.norm(face)))
        assert between == pytest.approx(angle, abs=1e-6)
    assert top_corner(job, brace) == pytest.approx(max(upper_head[1], lower_head[1]), abs=1e-6)


@given(brace=braces)
def test_a_lapped_head_stays_clear_of_the_sheathing(brace):
    corners = polygon(brace, cut_of(JOB, brace))
    assert min(corner[0] for corner in corners) >= -(5.5 - CLEAR) - 1e-9


def test_by_hand_at_45_degrees():
    """2x6 at 45 degrees, 120 in up and out: L = 169.706 in.

    Square head: its upper corner is (5.25 - 2.75 sin 45)/cos 45 = 4.675 in past the face; the level cut adds 2.75
    in. 177.13 in, down to 177 1/8. The level face is 5.5/sin 45 = 7.778 in.
    """
    cut = cut_of(JOB, BRACE)
    assert (cut.head_cut, cut.long_point) == (SQUARE, 177.125)
    assert (cut.foot_angle, cut.head_angle) == pytest.approx((45.0, 90.0), abs=1e-9)
    assert cut.level_face == pytest.approx(7.778, abs=5e-4)


STEP = 0.02


@pytest.mark.parametrize("head_cut", [SQUARE, PLUMB])
@settings(max_examples=40)
@given(brace=braces)
def test_as_many_fasteners_fit_as_can_be_placed_one_by_one(head_cut, brace):
    """Every fastener keeps its distance to both stud edges, both brace edges and, along the grain, to the cut."""
    one = fastener("structural screw 0.22x3")
    kept = least_spacing(one, load="parallel", prebored=True)
    edge = least_spacing(one, load="perpendicular", prebored=True).edge
    length = math.hypot(brace.head, brace.set_back)
    level, rise = brace.set_back / length, brace.head / length
    wide = section(brace.size).width
    reach = (5.5 - CLEAR - (wide / 2.0 * rise if head_cut == SQUARE else 0.0)) / level
    assume(reach > 0.0)
    rows = int((wide - 2.0 * kept.edge) / kept.between_rows + 1e-9) + 1
    u = np.arange(-20.0, 40.0, STEP)

    def placed(slack):
        count = 0
        for row in range(rows):
            v = (row - (rows - 1) / 2.0) * kept.between_rows
            end = reach + (v * rise / level if head_cut == PLUMB else 0.0)
            depth = u * level - v * rise  # into the stud from the plate's inside face
            fine = (depth >= edge - slack) & (depth <= 5.5 - edge + slack) & (end - u >= kept.end - slack)
            last = -math.inf
            for spot in u[fine]:
                if spot - last >= kept.in_row - slack:
                    count, last = count + 1, spot
        return count

    assert placed(-2.0 * STEP) <= head_fits(JOB, brace, head_cut) <= placed(2.0 * STEP)


def test_more_fasteners_than_a_square_head_takes_are_cut_plumb():
    few, many = (
        evolve(BRACE, head_fasteners=n)
        for n in (head_fits(JOB, BRACE, SQUARE), head_fits(JOB, BRACE, SQUARE) + 1)
    )
    assert cut_of(JOB, few).head_cut == SQUARE
    assert cut_of(JOB, many).head_cut == PLUMB
    assert cut_of(JOB, many).head_angle == pytest.approx(45.0, abs=1e-9)


# -- sticks ----------------------------------------------------------------------------------------------

piece_lists = st.lists(
    st.tuples(st.sampled_from(("2x4", "2x6")), st.floats(12.0, 250.0)), min_size=1, max_size=14
).map(
    lambda rows: [Piece(f"P{k}", size, round(length * 16.0) / 16.0) for k, (size, length) in enumerate(rows)]
)
stocks = st.lists(
    st.tuples(
        st.sampled_from(("2x4", "2x6")), st.sampled_from((96.0, 144.0, 192.0, 240.0)), st.none() | st.integers(0, 5)
    ),
    min_size=1, max_size=5, unique_by=lambda row: row[:2],
).map(lambda rows: [Stock(size=s, length=x, count=n) for s, x, n in rows])  # fmt: skip


@given(wanted=piece_lists, stock=stocks)
def test_every_piece_has_one_stick_that_is_long_enough(wanted, stock):
    plan = plan_cuts(wanted, stock)
    cut = [piece for stick in plan.sticks for piece in stick.pieces]
    assert sorted([*cut, *plan.missing], key=lambda p: p.what) == sorted(wanted, key=lambda p: p.what)
    for stick in plan.sticks:
        assert all(piece.size == stick.size for piece in stick.pieces)
        assert sum(p.length for p in stick.pieces) + KERF * (len(stick.pieces) - 1) <= stick.length + 1e-6
    for one in stock:
        used = sum((stick.size, stick.length) == (one.size, one.length) for stick in plan.sticks)
        assert one.count is None or used <= one.count


@given(wanted=piece_lists, stock=stocks)
def test_a_piece_is_missing_only_where_no_stick_and_no_offcut_serves(wanted, stock):
    plan = plan_cuts(wanted, stock)
    for piece in plan.missing:
        assert all(stick.left < piece.length for stick in plan.sticks if stick.size == piece.size)
        for one in stock:
            used = sum((stick.size, stick.length) == (one.size, one.length) for stick in plan.sticks)
            assert one.size != piece.size or one.length < piece.length or one.count == used


def test_an_offcut_serves_before_a_new_stick():
    plan = plan_cuts(
        [Piece("B1", "2x4", 140.0), Piece("cleat", "2x4", 36.0)], [Stock(size="2x4", length=192.0)]
    )
    assert len(plan.sticks) == 1
    assert in_words(plan.stick_of("cleat").name) == "2x4 x 16 ft"


# -- the parts list --------------------------------------------------------------------------------------


def laid_out(**kit):
    braces = tuple(evolve(BRACE, mark=f"B{k}", stud_at=x, cleat_fasteners=5, floor_fasteners=6)
                   for k, x in enumerate((48.0, 160.0, 272.0), 1))  # fmt: skip
    stock = (Stock(size="2x6", length=192.0), Stock(size="2x4", length=96.0))
    return evolve(JOB, braces=braces, kit=evolve(JOB.kit, stock=stock, **kit))


def counts(job):
    return {in_words(item.what): item.count for item in parts_list(job)}


def test_the_truck_list_by_hand():
    """Three braces of 14 ft 9 1/8 in, three 3 ft cleats: two come out of one 8 ft stick.

    12 head and 15 cleat screws: 27, with a tenth 29.7, in fives 30. 18 floor screws: 19.8, 20.
    """
    bought = counts(laid_out())
    assert bought["2x6 x 16 ft"] == 3
    assert bought["2x4 x 8 ft"] == 2
    assert bought["structural screw 0.22x3"] == 30
    assert bought["structural screw 0.22x5"] == 20
    # 3 x 2x6x16 is 48 board ft, 2 x 2x4x8 is 10.67
    assert board_feet(laid_out()) == pytest.approx(48.0 + 2 * 8 * 8 / 12, abs=1e-6)


def test_ties_doubled_studs_stiffeners_and_second_cleats_are_bought():
    job = laid_out(cleat=evolve(JOB.kit.cleat, sides=2))
    more = evolve(job, braces=tuple(evolve(b, ties=1, stud_doubled=True, stiffener="T") for b in job.braces))
    whats = [piece.what for piece in pieces(more)]
    assert sum(what.startswith("cleat") for what in whats) == 6
    assert sum(what.startswith("second stud") for what in whats) == 3
    assert sum(what.startswith("stiffener") for what in whats) == 3
    # 224 in between end braces and a foot past each, in two lengths lapped 2 ft; two diagonals of 3/4 x 169.7 in
    assert in_words(tie_sticks(more, 1)) == {"2x4 x 12 ft": 4}
    plain = evolve(more, braces=tuple(evolve(b, ties=0) for b in more.braces))
    assert counts(more)["2x4 x 12 ft"] == counts(plain).get("2x4 x 12 ft", 0) + 4
    # a T takes a screw every 8 in of 169.7 and one more: 23 each, beside 4 + 5
    assert fasteners_needed(more)["structural screw 0.22x3"] == 3 * (4 + 5 + 23)
    # nobody said what holds the row: one gun nail at each of three braces, and at both ends of its two diagonals
    assert fasteners_needed(more)["gun nail 0.131x3"] == 3 + 2 * 2


def test_blocks_are_bought_where_a_second_cleat_lies_over_no_joist():
    joists = Joists(run="away", spacing=16.0, first=0.0, size="2x10")
    job = evolve(
        laid_out(cleat=evolve(JOB.kit.cleat, sides=2)), floor=Floor(joists=joists), declared=frozenset({RUN})
    )
    # three of six screws in each second cleat, two to a block: two blocks a foot, 16 - 1 1/2 in long
    assert counts(job)["block 2x10 x 1'-2 1/2\""] == 6
