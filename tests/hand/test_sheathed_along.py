"""A sheathed wall along its own length, worked on paper: each line is a step, its right side what the paper says.

12 ft of wall 8 ft high, 2x4 at 16 in, dry spruce-pine-fir, 7/16 in OSB with 8d commons at 6 in in its edges and 12 in
between them, nailed to the bottom plate; no opening. The plate is nailed with 16d commons at 12 in through a 23/32 in
deck into joists of the same wood, 3 ft above the ground in open country. The wall leans 2%; nobody is about. 100 mph.

Choices that no clause makes for this wall, as they are printed: edges are not blocked; panels of 7/16 in are not raised
to the 15/32 in row; half the wind comes to the top; the plate is lifted at its edge, so its nails, in the middle, are
drawn twice; 0.6 of the weight on the plate counts, its lumber at 12%, while the lean takes the lumber at 15%.
"""

from __future__ import annotations

import pytest

from bracing.chain.along import along_sums
from bracing.chain.links import ALONG, LinkId
from bracing.chain.model import build_model
from bracing.check import check
from bracing.reading.jobs import job_from_text

WALL = """
[wall]
name = "Twelve"
length = "12 ft"
height = "8 ft"
studs = { size = "2x4", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
layers = ["osb 7/16"]
moisture = "dry"
[wall.plate]
state = "final"
fastener = "16d common"
spacing = "12 in"
into_framing = true
sheathing_laps = "plate"
sheathing_fastener = "8d common"
sheathing_spacing = "6 in"
sheathing_field_spacing = "12 in"
[floor]
kind = "deck"
deck = "osb 23/32"
height_above_ground = "3 ft"
joists = { size = "2x10", species = "spruce-pine-fir", grade = "No.2", span = "12 ft" }
[site]
lean = 0.02
"""
PAPER = {"rel": 3e-3}  # three figures

# What pushes it at 100 mph.
q = 21.7  # 0.00256 x 0.849 x 100^2 [psf], Kz of 15 ft in open country
EDGE = 86.2  # 21.73 x 0.85 x 2.0 x (3.5/12 x 8 = 2.333 ft^2) [lb], ASCE 7-16 fig. 29.4-2
FACES = 125.2  # 21.73 x (0.02 + 0.04) x (12 x 8 = 96 ft^2) [lb], EN 1991-1-4 7.5
LEAN = 2.62  # 0.02 x 251.1 x 50.0 / 96 [lb]: 116.7 of lumber at 28.5 lb/ft^3 and 134.4 of OSB at 1.4 lb/ft^2
TOP = 108.3  # (86.2 + 125.2) / 2 + 2.62 [lb]
PLATE = 214.0  # 108.3 + 105.7, the other half of the wind [lb]

# Racking: SDPWS table 4.3A, 7/16 in, 8d at 6 in, in wind 670 lb/ft; over 2.0 = 335; by 0.92 for G 0.42 = 308.2; by 0.6
# for edges not blocked, studs at 16 in, nails between at 12 in (table 4.3.3.2, from memory) = 184.9 lb/ft; h/b under 2.
RACKING = 2219.0  # 184.9 x 12 ft [lb]

# Plate: NDS table 12N (from memory), 16d common through 1.5 in of spruce-pine-fir: 120 lb; by 1.6, ten minutes, 192.
SHEAR = 2304.0  # 144/12 = 12 of them, x 192 [lb]

# Turning over about its toe. At 12%: lumber 4.092 ft^3 x 28.08 lb/ft^3 = 114.9 lb, OSB 134.4: 249.3 lb, 72 in from it.
HELD = 10_770.0  # 0.6 x 249.3 x 72 [lb in], ASCE 7-16 2.4.1
# A nail drawn, NDS 12.2-3: 1380 x 0.42^2.5 (0.1143) x 0.162 x 1.6 = 40.9 lb/in; 3.5 - 1.5 - 0.719 = 1.281 in in it.
PULL = 52.4  # 40.9 x 1.281 [lb]
SQUARES = 82_800.0  # nails at 6, 18, .. 138 in: 144 x (0.5^2 + 1.5^2 + .. + 11.5^2 = 575) [in^2]
EACH = 6.36e-5  # 138 x 2.0 / (82,800 x 52.4) [1/lb in]: share of the nail farthest off for each pound-inch
# Of its 24 sheathing nails, 66 x 1.6 = 106 lb each (NDS table 12R, from memory): far less, so the plate's nails set it.
PANEL = 8.0e-6  # 141 / (36 x 4606 x 106) [1/lb in]


@pytest.fixture(scope="module")
def links():
    found = check(job_from_text(WALL, "twelve.toml"), gust=100.0, effects=False).evaluation.links
    return {link.link: link for link in found if link.direction == ALONG}


def test_the_paper_adds_up():
    """The steps above, from the one before."""
    assert q == pytest.approx(0.00256 * 0.849 * 100.0**2, **PAPER)
    top, each = (EDGE + FACES) / 2.0 + LEAN, 138.0 * 2.0 / (SQUARES * PULL)
    assert top == pytest.approx(TOP, **PAPER)
    assert each == pytest.approx(EACH, **PAPER)
    assert sum((6.0 + 12.0 * k) ** 2 for k in range(12)) == SQUARES
    assert PANEL < EACH


def test_these_links_and_no_others(links):
    assert set(links) == {LinkId.RACKING, LinkId.PLATE_ALONG, LinkId.PIER_OVER}


def test_racking(links):
    assert links[LinkId.RACKING].demand == pytest.approx(TOP, **PAPER)
    assert links[LinkId.RACKING].capacity == pytest.approx(RACKING, **PAPER)


def test_the_plate_in_shear(links):
    assert links[LinkId.PLATE_ALONG].demand == pytest.approx(PLATE, **PAPER)
    assert links[LinkId.PLATE_ALONG].capacity == pytest.approx(
        SHEAR, rel=5e-3
    )  # the table is printed to a pound


def test_turning_over(links):
    """At 100 mph 108.3 x 96 = 10,400 lb in, under what its weight holds: the nails have the shear alone, 214/2304.

    At its limit V: 6.36e-5 (0.01057 V^2 + 2.62) 96 - 6.36e-5 x 10,770 + (0.02114 V^2 + 2.62) / 2304 = 1. That is
    V^2 (6.45e-5 + 0.92e-5) = 1 + 0.685 - 0.016 - 0.001 = 1.668, V = 150 mph.
    """
    assert TOP * 96.0 < HELD
    assert links[LinkId.PIER_OVER].ratio == pytest.approx(PLATE / SHEAR, rel=5e-3)
    assert links[LinkId.PIER_OVER].limit_gust == pytest.approx(150.4, **PAPER)


def test_the_first_of_them_is_the_limit_along():
    told = check(job_from_text(WALL, "twelve.toml"), gust=100.0, effects=False).to_dict()
    assert told["limit_gust_along_mph"] == 150


# -- the same 12 ft at LEFT of 24 ft whose other half is bare --------------------------------------------

HALF_BARE = WALL.replace('length = "12 ft"', 'length = "24 ft"').replace(
    "[wall.plate]", '[[wall.bare]]\nleft = "12 ft"\nwidth = "12 ft"\n[wall.plate]'
)
BOTH_FACES = 250.3  # 21.73 x 0.06 x 192 ft^2: the bare half too [lb]
# Studs of the bare half at 144, 160, .. 272 and, against one another, 286.5 with none beside: ten, the fourth and those
# behind it 0.85 each: 3 + 7 x 0.85 = 8.95 of 86.2.
STUDS = 771.0  # [lb]
LEAN_24 = 4.0  # 0.02 x 2 x (116.7 + 134.4/2) x about 52 / 96 [lb]


@pytest.fixture(scope="module")
def half():
    found = check(job_from_text(HALF_BARE, "half.toml"), gust=100.0, effects=False).evaluation.links
    return {link.link: link for link in found if link.direction == ALONG}


def test_of_a_wall_sheathed_over_its_half_that_half_counts_and_the_wind_finds_the_bare_studs(half):
    top = (EDGE + BOTH_FACES + STUDS) / 2.0 + LEAN_24
    assert half[LinkId.RACKING].capacity == pytest.approx(RACKING, **PAPER)
    assert half[LinkId.RACKING].demand == pytest.approx(top, rel=5e-3)
    assert half[LinkId.PLATE_ALONG].capacity == pytest.approx(SHEAR, rel=5e-3)


def test_it_turns_over_about_its_own_toe_on_its_own_nails_and_weight(half):
    """Nothing of the bare half holds it down: 558 x 96 - 10,770 = 42,800 lb in, x 6.36e-5 = 2.72, and shear."""
    top = half[LinkId.RACKING].demand
    shear = top + (EDGE + BOTH_FACES + STUDS) / 2.0
    assert half[LinkId.PIER_OVER].ratio == pytest.approx((top * 96.0 - HELD) * EACH + shear / SHEAR, rel=0.02)


TWO = WALL.replace('length = "12 ft"', 'length = "24 ft"').replace(
    "[wall.plate]",
    """[[wall.bare]]
left = "4 ft"
width = "2 ft"
[[wall.bare]]
left = "16 ft"
width = "2 ft"
[wall.plate]""",
)


def test_of_two_bare_stretches_each_parts_it_and_the_wind_finds_the_studs_of_both():
    """4, 10 and 6 ft of panels, 20 together; studs at 48, 64, 192 and 208 in: 3 + 0.85 = 3.85 of 86.2."""
    found = check(job_from_text(TWO, "two.toml"), gust=100.0, effects=False).evaluation.links
    along = [link for link in found if link.direction == ALONG]
    (racked,) = (link for link in along if link.link is LinkId.RACKING)
    wind = EDGE + BOTH_FACES + 3.85 * 86.2
    top = wind / 2.0 + 0.02 * (2.0 * 116.7 + 1.4 * 160.0) * 50.0 / 96.0
    assert racked.capacity == pytest.approx(RACKING / 12.0 * 20.0, **PAPER)
    assert racked.demand == pytest.approx(top, rel=5e-3)
    slid = [link for link in along if link.link is LinkId.PLATE_ALONG]  # from LEFT
    for link, long in zip(slid, (4.0, 10.0, 6.0), strict=True):
        assert link.capacity == pytest.approx(SHEAR / 12.0 * long, rel=5e-3)
        assert link.demand == pytest.approx((top + wind / 2.0) * long / 20.0, rel=5e-3)


def test_its_end_is_as_high_as_its_highest_point():
    """A gable of 8 to 12 ft: 86.2 x 144 / 96 = 129.3 lb, from either end."""
    gable = WALL.replace('height = "8 ft"', 'peak = "12 ft"\nheight = "8 ft"')
    end, faces, *_ = along_sums(build_model(job_from_text(gable, "gable.toml")), 100.0)
    assert float(end) == pytest.approx(EDGE * 1.5, **PAPER)
    assert float(faces) == pytest.approx(FACES * 1.25, **PAPER)


def test_less_of_it_sheathed_never_stands_in_more_and_none_of_it_in_nothing():
    """Bare from the right: 0, 4, .. 24 ft of 24."""
    limits = []
    for feet in range(0, 25, 4):
        text = WALL.replace('length = "12 ft"', 'length = "24 ft"')
        if feet:
            text = text.replace(
                "[wall.plate]", f'[[wall.bare]]\nleft = "{24 - feet} ft"\nwidth = "{feet} ft"\n[wall.plate]'
            )
        limits.append(
            check(job_from_text(text, "half.toml"), gust=30.0, effects=False).to_dict()[
                "limit_gust_along_mph"
            ]
        )
    assert limits == sorted(limits, reverse=True)
    assert limits[0] > limits[3] > limits[-1] == 0
