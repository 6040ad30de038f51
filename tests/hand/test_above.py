"""Loads from above by hand: every number on the right stands in its own line of arithmetic.

A 20 x 8 ft sheathed wall, its floor 3 ft up in open country. Trusses of 24 ft, 4/12: the ridge is 15 ft up, where the
velocity pressure is still that of the wall, q = 0.00256 x 0.8489 x 30^2 = 1.956 psf at 30 mph.
"""

from __future__ import annotations

import math

import pytest

from bracing.chain.links import LinkId
from bracing.check import check
from bracing.reading.jobs import job_from_text
from tests.guards.test_along import frame

BASE = frame(wall='layers = ["osb 7/16"]', laps="plate")
TRUSS = '[[wall.load]]\nkind = "trusses"\ncount = 6\nspan = "24 ft"\npitch = "4/12"\nweight = "80 lb"\n'
RAFTERS = TRUSS.replace('"trusses"', '"rafters"')
AT = 'at = "10 ft"\n'
GROUND, HERE = 'tied_to = "ground brace"\n', 'tied_to = "this wall"\n'
Q = 0.00256 * 2.01 * (15.0 / 900.0) ** (2.0 / 9.5) * 30.0**2
# Bottom chord 288 in; top chords 2 x 151.79 = 303.58, their middles 24 in up; webs 2 x 33.94 = 67.88, 12 in up, and
# 2 x 67.88 = 135.76, 24 in up: 795.23 in of wood 3.5 in high, 2783.3 in^2 of a triangle of 6912: solidity 0.40, Cf 1.6.
WOOD = 2783.3
CENTRE = (303.58 * 24.0 + 67.88 * 12.0 + 135.76 * 24.0) / 795.23  # 14.28 in
SIX = 3.0 + 3.0 * 0.85


def checked(load=""):
    return check(job_from_text(BASE + load, "above.toml"), gust=30.0, effects=False)


def case(result):
    """Case A in push, nothing open: what is steady and what the wind makes of it, and their moments."""
    return result.to_dict()["loads"]["cases"][0]


def along(result, kind):
    return next(link for link in result.evaluation.links if link.link == kind)


def test_heels_of_a_row_run_along_the_wall_under_them():
    """285 lb on six; the ridge takes 14.28/48 of it, each wall half of the rest: 100 lb, and 2% of 240 lb on it."""
    row = Q * 0.85 * 1.6 * WOOD / 144.0 * SIX
    assert row == pytest.approx(285.4, abs=0.3)
    heels = row * (1.0 - CENTRE / 48.0) / 2.0
    more = along(checked(TRUSS + GROUND), LinkId.RACKING).demand - along(checked(), LinkId.RACKING).demand
    assert more == pytest.approx(heels + 0.02 * 240.0, rel=1e-4)


def test_a_row_tied_to_the_wall_pushes_its_peak():
    """The ridge takes 285 x 14.28/48 = 84.9 lb of wind and 2% of 480 lb, at the top of the wall, 96 in up."""
    with_row, alone = case(checked(TRUSS + HERE)), case(checked())
    wind = Q * 0.85 * 1.6 * WOOD / 144.0 * SIX * CENTRE / 48.0
    assert with_row["wind_lb"] - alone["wind_lb"] == pytest.approx(wind, rel=1e-4)
    assert with_row["total_lb"] - alone["total_lb"] == pytest.approx(wind + 9.6, rel=1e-4)
    moment = with_row["moment_about_plate_lbft"] - alone["moment_about_plate_lbft"]
    assert moment == pytest.approx((wind + 9.6) * 8.0, rel=1e-4)


def test_rafters_nothing_ties_push_out():
    """Half of 80 lb at the heel; about the ridge 40 x 144 - 40 x 72 = H x 48: 60 lb a pair, and 2% of the half."""
    spread = case(checked(RAFTERS + GROUND + AT))["total_lb"] - case(checked())["total_lb"]
    assert spread == pytest.approx(6 * (60.0 + 0.8), rel=1e-6)
    tied = (
        case(checked(RAFTERS + GROUND + AT + "joists_nailed = true\n"))["total_lb"]
        - case(checked())["total_lb"]
    )
    assert tied == pytest.approx(6 * 0.8, rel=1e-6)


def test_a_bundle_that_leans():
    """1,000 lb, its foot 2 ft out: 1,000 x 12 / 72 = 166.7 lb at 6 ft."""
    load = '[[wall.load]]\nkind = "bundle leaned"\nweight = "1000 lb"\nfoot_out = "2 ft"\n'
    load += 'touches = "6 ft"\nat = "9 ft"\n'
    leaned, alone = case(checked(load)), case(checked())
    assert leaned["total_lb"] - alone["total_lb"] == pytest.approx(166.67, abs=0.01)
    moment = leaned["moment_about_plate_lbft"] - alone["moment_about_plate_lbft"]
    assert moment == pytest.approx(1000.0, rel=1e-6)


def test_the_stud_under_a_bundle_in_calm():
    """1,500 lb on one 2x4 of spruce-pine-fir No.2, dry, 96 in, off its middle by 3.5/6 in; a week of building, 1.25.

    Fc 1150 x 1.15 and Fb 875 x 1.5 for its size, x 1.6 as wind has it and the load x 1.6/1.25 for it; E'min 510,000;
    all as the supplement prints them, from memory. le/d = 96/3.5 = 27.43: FcE = 0.822 x 510,000 / 752.3 = 557 psi.
    """
    load = '[[wall.load]]\nkind = "bundle on the plate"\nweight = "1500 lb"\nat = "0 ft"\n'
    found = checked(load).evaluation.links
    calm = [link for link in found if link.link == LinkId.STUD_LOADED and link.x == 0.75]
    Fc, Fb, FcE = 1150.0 * 1.15 * 1.6, 875.0 * 1.5 * 1.6, 0.822 * 510_000.0 / (96.0 / 3.5) ** 2
    F = FcE / Fc
    CP = (1.0 + F) / 1.6 - math.sqrt(((1.0 + F) / 1.6) ** 2 - F / 0.8)
    fc = 1500.0 * 1.28 / 5.25
    fb = 1500.0 * 1.28 * (3.5 / 6.0) / 3.0625
    share = (fc / (Fc * CP)) ** 2 + fb / (Fb * (1.0 - fc / FcE))
    assert share > 0.5
    assert max(link.ratio for link in calm) >= share * (1.0 - 1e-3)
    group = next(g for g in checked(load).evaluation.groups if g.link == LinkId.STUD_LOADED)
    still = group.of_rows(0.0)[-len(group.rows.named) :, 0]
    assert still == pytest.approx(share, rel=1e-3)


def test_at_the_ridge_the_wind_is_that_of_the_ridge():
    """On a floor 20 ft up: wall 28 ft, ridge 32 ft high; (32/28)^(2/9.5) more."""
    text = BASE.replace('height_above_ground = "3 ft"', 'height_above_ground = "20 ft"')
    high, low = (
        check(job_from_text(base + TRUSS + HERE, "a.toml"), gust=30.0, effects=False) for base in (text, BASE)
    )
    bare = [check(job_from_text(base, "a.toml"), gust=30.0, effects=False) for base in (text, BASE)]
    more, less = (
        case(one)["wind_lb"] - case(other)["wind_lb"] for one, other in zip((high, low), bare, strict=True)
    )
    assert more / less == pytest.approx((32.0 / 15.0) ** (2.0 / 9.5), rel=1e-6)
