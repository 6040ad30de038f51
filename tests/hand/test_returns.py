"""Returns of 4, 8 and 12 ft worked by hand: how they give, what they may carry, step by step from printed values.

A wall 20 ft long and 8 ft high, kept dry, of 2x6 spruce-pine-fir No.2; the return the same, 7/16 OSB on it with 8d
common at 6 in, blocked, its plate nailed with 16d common at 8 in through a 23/32 deck into hem-fir joists, 12 in the
corner.
"""

import math

import attrs
import numpy as np
import pytest
from attrs import evolve

from bracing.chain.materials import materials_of
from bracing.chain.returns import (
    CORNER,
    FAR,
    NAILS,
    STRAP,
    held_ends,
    pieces_of,
)
from bracing.chain.wall import plate_set
from bracing.job.floor import Floor, Joists
from bracing.job.job import Job
from bracing.job.returns import Return, ReturnCorner, ReturnOpening, ReturnPlate, ReturnStuds
from bracing.job.wall import Studs, Wall
from bracing.sums import Known

H = 96.0
AREA, E = 1.5 * 5.5, 1.4e6  # NDS Supplement: 2x6; spruce-pine-fir No.2
GAMMA = 180_000.0 * 0.162**1.5  # NDS 11.3.6, a 16d common
GA = 15.0  # SDPWS table 4.3A, 7/16 OSB, 8d at 6 in [kips/in]
RHO = 2.0  # nails in the middle of a plate: b/e = 5.5/2.75
DRAWN = 1380.0 * 0.43**2.5 * 0.162 * 1.6 * (3.5 - 1.5 - 0.71875)  # NDS 12.2-3 in the joist [lb]


def at_8_in(b):
    """Nails 4, 12, 20 .. in from the far end: how many, the last, and the sum of squares."""
    x = [4.0 + 8.0 * k for k in range(int(b // 8))]
    return len(x), x[-1], sum(each**2 for each in x)


def give(b, zi, zj, K):
    """Bends, shears, turns, slides: each in its own line, for a pound at zi, read at zj."""
    lo, hi = sorted((zi, zj))
    n, _, _ = at_8_in(b)
    bends = lo**2 * (3.0 * hi - lo) / (6.0 * E * (AREA * b * b / 2.0))
    shears = lo / (1000.0 * GA * b)
    turns = zi * zj / K
    slides = 1.0 / (n * GAMMA)
    return bends + shears + turns + slides


def by_hand(b, K):
    corner = 2.0 / (12 * GAMMA)
    mid, top, both = give(b, 48.0, 48.0, K), give(b, 96.0, 96.0, K), give(b, 48.0, 96.0, K)
    return np.array([[mid + corner, both], [both, top + corner]])


def job(length, *, dry=True, **changed):
    studs = {"size": "2x6", "spacing": 16.0, "species": "spruce-pine-fir", "grade": "No.2"}
    end = Return(
        length=length, studs=ReturnStuds(**studs), sheathing="osb 7/16", edge_nail="8d common", edge_spacing=6.0,
        **{
            "plated": True, "nailed": True, "sheathed": True, "fastened_down": True, "blocked": True,
            "plate": ReturnPlate("16d common", 8.0, "plate", into_framing=True), "strap_source": "report 1",
            "corner": ReturnCorner("16d common", 12, "shear"), **changed,
        },
    )  # fmt: skip
    wall = Wall(
        name="W", top=((0.0, H), (240.0, H)), studs=Studs(**studs), moisture="dry" if dry else "green",
        layers=("osb 7/16",), left_end="return", left_return=end,
    )  # fmt: skip
    floor = Floor(deck="osb 23/32", joists=Joists(size="2x10", species="hem-fir", grade="No.2"))
    return Job(wall, floor=floor)


def held(length, **changed):
    (end,) = held_ends(job(length, **changed))
    return end


LENGTHS = (48.0, 96.0, 144.0)


@pytest.mark.parametrize("b", LENGTHS)
def test_how_it_gives_on_its_nails(b):
    n, _, squares = at_8_in(b)
    assert (n, squares) == {48.0: (6, 4576.0), 96.0: (12, 36800.0), 144.0: (18, 124320.0)}[b]
    hand = by_hand(b, GAMMA * squares / RHO**2)
    assert held(b).flexibility(soft=False) == pytest.approx(hand, rel=1e-9)
    assert held(b).flexibility(soft=True) == pytest.approx(3.0 * hand, rel=1e-9)


@pytest.mark.parametrize("b", LENGTHS)
def test_how_it_gives_on_straps(b):
    """2000 lb at 1/8 in on the inner end stud: 16 000 lb/in, its arm b - 1.5."""
    end = held(b, strap_corner_lb=2000.0, strap_far_lb=2000.0, strap_slip=0.125)
    assert end.flexibility(soft=False) == pytest.approx(by_hand(b, 16_000.0 * (b - 1.5) ** 2), rel=1e-9)


@pytest.mark.parametrize("b", LENGTHS)
def test_with_one_strap_both_ways_it_turns_are_in_the_envelope(b):
    """The stiffer way as it is, the softer three times over: of 12 ft the nails are stiffer than this strap."""
    end = held(b, strap_corner_lb=2000.0)
    _, _, squares = at_8_in(b)
    strap, nails = 16_000.0 * (b - 1.5) ** 2, GAMMA * squares / 4.0
    assert (strap > nails) == (b < 144.0)
    assert end.flexibility(soft=False) == pytest.approx(by_hand(b, max(strap, nails)), rel=1e-9)
    assert end.flexibility(soft=True) == pytest.approx(3.0 * by_hand(b, min(strap, nails)), rel=1e-9)
    assert [end.feet[0].kind(sense, H) for sense in (CORNER, FAR)] == [STRAP, NAILS]


@pytest.mark.parametrize(("b", "V"), [(48.0, 1232.8), (96.0, 2465.6), (144.0, 3698.4)])
def test_racking(b, V):
    """670 lb/ft over 2.0, 1 - (0.5 - 0.42) = 0.92 for the framing, h/b of 2 or less: 308.2 lb/ft."""
    end = held(b)
    assert end.racking.strength(H, b) == pytest.approx(V, rel=1e-9)
    assert held(b, dry=False).racking.strength(H, b) == pytest.approx(0.7 * V, rel=1e-9)


def test_racking_of_a_narrow_one():
    """3 ft at 8 ft: h/b 2.667, 1.25 - 0.125 x 2.667 = 0.91667; 308.2 x 3 x 0.91667 = 847.55 lb."""
    assert held(36.0).racking.strength(H, 36.0) == pytest.approx(847.55, rel=1e-5)


@pytest.mark.parametrize("b", LENGTHS)
def test_overturning_with_base_shear_on_the_same_nails(b):
    """100 lb at the top: M = 9600; the last nail is drawn M x/S twice over; all of them slide."""
    n, last, squares = at_8_in(b)
    foot = held(b).feet[0]
    lateral = foot.plate.lateral
    drawn = 9600.0 * last / squares * RHO
    assert foot.plate.axial == pytest.approx(DRAWN, rel=2e-3)  # the wood takes G to the hundredth
    hand = drawn / DRAWN + 100.0 / n / lateral
    grain = (
        9600.0 * last / squares / 8.0 * 2.75 / 15.0
    )  # lift of an inch of plate, 2.75 in past the row, 15 lb in
    assert 100.0 * foot.by_nails(H) == pytest.approx(max(hand, grain), rel=2e-3)


def test_a_return_of_8_ft_on_its_nails_is_worth_a_few_hundredths_of_its_racking():
    """Dry, in the middle of the plate about 90 lb at the top; 3/4 in from the sheathed edge 160.

    Green, a nail in the joist keeps a quarter, in the deck panel three quarters: the greater counts; they never add.
    """
    middle, edge = (
        held(96.0),
        held(96.0, plate=ReturnPlate("16d common", 8.0, "plate", 0.75, into_framing=True)),
    )
    green = held(96.0, dry=False)
    worth = [1.0 / end.feet[0].by_nails(H) for end in (middle, edge, green)]
    assert worth[0] == pytest.approx(100.0, abs=20.0)
    assert worth[1] == pytest.approx(175.0, abs=30.0)
    deck = 1380.0 * 0.40**2.5 * 0.162 * 1.6 * 0.71875
    assert green.feet[0].plate.axial == pytest.approx(max(0.25 * DRAWN, 0.75 * deck), rel=5e-3)
    assert worth[2] / worth[0] == pytest.approx(0.75 * deck / DRAWN, abs=0.02)
    assert worth[0] < 0.05 * middle.racking.strength(H, 96.0)


def test_the_corner():
    """Half of 12 nails at each height. A nail drawn out of green wood keeps a quarter: NDS table 11.3.3."""
    dry, green = (held(96.0, dry=dry, corner=ReturnCorner("16d common", 12)) for dry in (True, False))
    W = 1380.0 * 0.42**2.5 * 0.162 * 1.6 * 1.5
    assert dry.each == pytest.approx(W, rel=2e-3)
    assert green.each == pytest.approx(W / 4.0, rel=2e-3)
    assert held(96.0).each > dry.each


def test_pieces_on_either_side_of_a_door_work_side_by_side():
    """12 ft with a door 3 ft wide 5 ft from the corner: 60 and 48 in, each on its own nails."""
    end = held(144.0, openings=(ReturnOpening(left=60.0, width=36.0),))
    assert [foot.b for foot in end.feet] == [60.0, 48.0]
    each = []
    for b in (60.0, 48.0):
        _, _, squares = at_8_in(b)
        K = GAMMA * squares / 4.0
        each.append(np.linalg.inv([[give(b, i, j, K) for j in (48.0, 96.0)] for i in (48.0, 96.0)]))
    hand = np.linalg.inv(sum(each)) + 2.0 / (12 * GAMMA) * np.eye(2)
    assert end.flexibility(soft=False) == pytest.approx(hand, rel=1e-9)


def test_a_piece_too_short_for_its_height_counts_for_nothing():
    """0.29 of 96 in is 27.84: a piece of 27 in is left out, one of 28 counts where edges are blocked."""
    assert pieces_of(Return(length=60.0, openings=(ReturnOpening(left=27.0, width=5.0),))) == (
        (0.0, 27.0),
        (32.0, 60.0),
    )
    assert [foot.b for foot in held(60.0, openings=(ReturnOpening(left=27.0, width=5.0),)).feet] == [28.0]
    assert held_ends(job(27.0)) == ()
    assert held_ends(job(40.0, blocked=False)) == ()  # h/b 2.4 where edges are not blocked
    assert len(held_ends(job(48.0, blocked=False))) == 1


def test_what_is_not_declared_leaves_the_end_free():
    whole = job(96.0).wall.left_return
    assert whole.missing == ()
    for changed in (
        {"sheathing": None}, {"edge_nail": None}, {"edge_spacing": None}, {"plate": ReturnPlate(None, 8.0, "plate")},
        {"plate": ReturnPlate("16d common", laps="plate")}, {"plate": ReturnPlate("16d common", 8.0)},
        {"corner": ReturnCorner("16d common")}, {"nailed": False},
        {"plated": False}, {"sheathed": False}, {"fastened_down": False}, {"side": "outside"},
    ):  # fmt: skip
        end = attrs.evolve(whole, **changed)
        it = job(96.0)
        assert len(end.missing) == 1
        assert held_ends(attrs.evolve(it, wall=attrs.evolve(it.wall, left_return=end))) == ()


def test_the_best_of_what_holds_it_down_and_never_the_sum():
    """Nailed to the rim at 6 in: 16 nails of shear against 12 drawn out; a strap of 10 lb is worse than either."""
    end = held(96.0, plate=ReturnPlate("16d common", 8.0, "rim", into_framing=True), strap_corner_lb=10.0)
    foot = end.feet[0]
    x = [3.0 + 6.0 * k for k in range(16)]
    up, along = 96.0 * x[-1] / sum(each**2 for each in x), 1.0 / 16
    assert 1.0 / foot.by_rim(H) == pytest.approx(foot.rim / math.hypot(up, along), rel=1e-9)
    assert foot.kind(CORNER, H) == "rim"
    assert 400.0 < 1.0 / foot.by_rim(H) < 650.0


def test_a_fastener_that_may_carry_no_pull_is_told_so_and_uses_what_shear_alone_does():
    """10 lb across of 100 is a tenth; with 5 lb of pull nothing may carry it, and no share is worked out."""
    one = plate_set(materials_of(Job(Wall(name="w", top=((0.0, 96.0), (240.0, 96.0))))), "16d common")
    held = evolve(one, one=evolve(one.one, lateral=100.0, axial=0.0))
    assert float(held.used(10.0, 0.0)) == pytest.approx(0.1, abs=1e-12)
    nothing = held.used(10.0, 5.0)
    assert isinstance(nothing, Known)
    assert "nothing allowed in lift" in nothing.words
