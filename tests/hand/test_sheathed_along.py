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

from bracing.chain.links import ALONG, LinkId
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
