"""A wall weighs the sum of its sticks and layers, and balances where a hand take-off says."""

from __future__ import annotations

import numpy as np
import pytest

from bracing.chain.piers import weight_over
from bracing.job.brace import Brace
from bracing.job.wall import Bare, Opening, Row, Studs, Wall
from bracing.panel.weight import doubled_studs, take_off, weight_along, wood_density

SQUARE = ((0.0, 96.0), (192.0, 96.0))


def wall(top=SQUARE, **changes) -> Wall:
    studs = Studs(size="2x4", spacing=24.0, species="hem-fir", grade="No.2")
    return Wall(**({"name": "W", "top": top, "studs": studs, "moisture": "dry"} | changes))


def parts(off) -> dict[str, float]:
    return {part.name: part.weight_lb for part in off.parts}


def test_a_plain_wall_against_a_hand_take_off():
    """Nine studs of 91.5 in, 48 ft of plate, 2x4 at 29.16 pcf or 1.063 lb/ft; OSB 1.4 psf on 128 sf."""
    off = take_off(wall(layers=("osb 7/16",)))
    assert parts(off)["studs"] == pytest.approx(9 * 91.5 / 12 * 1.063, rel=1e-3)
    assert parts(off)["bottom plate"] + parts(off)["top plates"] == pytest.approx(48 * 1.063, rel=1e-3)
    assert parts(off)["osb 7/16"] == pytest.approx(179.2, abs=1e-6)
    assert off.weight == pytest.approx(sum(parts(off).values()), abs=1e-9)
    assert off.x_cg == pytest.approx(96.0, abs=1e-9)


def test_openings_are_holes_and_their_sheathing_is_told_apart():
    door = Opening(left=60.0, width=36.0, height=80.0)
    off = take_off(wall(layers=("osb 7/16",), openings=(door,)))
    assert parts(off)["osb 7/16"] == pytest.approx((128.0 - 20.0) * 1.4, abs=1e-6)
    assert off.if_openings_sheathed == pytest.approx(20.0 * 1.4, abs=1e-6)
    assert off.face_area == pytest.approx((128.0 - 20.0) * 144.0, rel=1e-9)


def test_the_face_of_a_gable_is_under_its_slopes():
    """16 ft of 8 ft and a triangle of 4 ft on it: 128 and 32 sf."""
    gable = wall(top=((0.0, 96.0), (96.0, 144.0), (192.0, 96.0)))
    assert take_off(gable).face_area == pytest.approx(160.0 * 144.0, rel=1e-9)


# -- sheathed in part ------------------------------------------------------------------------------------

FACED = {"layers": ("osb 7/16",), "bare": (Bare(left=0.0, width=48.0), Bare(left=144.0, width=24.0))}


def test_what_is_bare_has_no_panel_less_what_of_an_opening_lies_in_it():
    """128 sf less a window of 12, less 32 and 16 bare, the window's 4 in the first not twice: 72 sf.

    About LEFT: 128 x 96 - 12 x 54 - (32 x 24 - 4 x 42) - 16 x 156 = 8544, over 72 is 118.67 in.
    """
    window = Opening(left=36.0, sill=24.0, width=36.0, height=48.0)
    off = take_off(wall(openings=(window,), **FACED))
    (panel,) = (part for part in off.parts if part.name == "osb 7/16")
    assert panel.weight_lb == pytest.approx(1.4 * 72.0, rel=1e-9)
    assert panel.x == pytest.approx(8544.0 / 72.0, rel=1e-9)


def test_a_bare_end_of_a_gable_is_as_high_as_its_slope():
    """4 ft from 8 to 10 ft high, 36 sf of 160; 36 x (24 + 48 x 2 / (12 x 18)) from LEFT in inches: 24.89."""
    gable = ((0.0, 96.0), (96.0, 144.0), (192.0, 96.0))
    off = take_off(wall(gable, layers=("osb 7/16",), bare=(Bare(left=0.0, width=48.0),)))
    (panel,) = (part for part in off.parts if part.name == "osb 7/16")
    assert panel.weight_lb == pytest.approx(1.4 * 124.0, rel=1e-9)
    assert panel.x == pytest.approx((160.0 * 96.0 - 36.0 * (24.0 + 48.0 / 54.0)) / 124.0, rel=1e-9)


def test_no_panel_that_is_not_there_holds_a_plate_down():
    """1.4 psf x 8 ft, 11.2 lb/ft: none where it is bare; of all the plate 1.4 x 48 sf less, about LEFT too."""
    part, whole = wall(**FACED), wall(layers=("osb 7/16",))
    here, there = (weight_along(each, (20.0, 100.0, 150.0)) for each in (part, whole))
    assert there - here == pytest.approx(
        np.array([[11.2 / 12.0] * 2, [0.0, 0.0], [11.2 / 12.0] * 2]), abs=1e-6
    )
    less, all_of_it = (weight_over(each, (0.0, 192.0)) for each in (part, whole))
    assert all_of_it[0] - less[0] == pytest.approx(1.4 * 48.0, rel=1e-4)
    about = all_of_it[0] * all_of_it[1] - less[0] * less[1]
    assert about == pytest.approx(1.4 * (32.0 * 24.0 + 16.0 * 156.0), rel=1e-4)


@pytest.mark.parametrize(
    ("at", "pieces", "x"), [((24.0,), 1, 24.0), ((24.0, 24.0), 1, 24.0), ((24.0, 72.0, 72.0), 2, 48.0)]
)
def test_a_stud_doubled_at_two_braces_has_one_ply_more(at, pieces, x):
    """A stud of 91.5 in at 1.063 lb/ft, as above, at each place once."""
    braces = [
        Brace(mark=f"B{k}", stud_at=one, head=84.0 - k, set_back=84.0, stud_doubled=True)
        for k, one in enumerate(at)
    ]
    (found,) = doubled_studs(wall(), braces, 29.16)
    assert (found.pieces, found.x) == (pieces, pytest.approx(x, rel=1e-9))
    assert found.weight_lb == pytest.approx(pieces * 91.5 / 12.0 * 1.063, rel=1e-3)


def test_windows_weigh_their_openings_and_nothing_is_sheathed_over():
    window = Opening(left=60.0, sill=36.0, width=36.0, height=36.0)
    off = take_off(wall(layers=("osb 7/16", "windows"), openings=(window,)))
    assert parts(off)["windows"] == pytest.approx(9.0 * 8.0, abs=1e-6)
    assert off.if_openings_sheathed == 0.0


def test_headers_are_weighed_by_the_ply():
    window = Opening(left=60.0, sill=36.0, width=36.0, height=36.0, header="2-2x8")
    header = next(p for p in take_off(wall(openings=(window,))).parts if p.name == "headers")
    assert header.pieces == 2
    assert header.weight_lb == pytest.approx(2 * 39.0 * 1.5 * 7.25 * 29.16 / 1728, rel=1e-3)


def test_a_heavy_side_window_draws_the_centre_of_gravity():
    window = Opening(left=20.0, sill=30.0, width=36.0, height=36.0)
    bare, glazed = (take_off(wall(layers=names, openings=(window,))) for names in ((), ("windows",)))
    assert glazed.x_cg < bare.x_cg


def test_green_lumber_is_heavier_than_dry_by_the_published_densities():
    green, dry = take_off(wall(moisture="green")), take_off(wall())
    assert green.weight / dry.weight == pytest.approx(31.25 / 29.16, rel=1e-3)
    assert (green.moisture_percent, dry.moisture_percent) == (30.0, 15.0)


def test_an_undeclared_species_can_be_weighed_heavy():
    off = take_off(wall(), heavy_species_G=0.55)
    assert off.density_pcf == pytest.approx(wood_density(0.55, 15.0), abs=1e-12)
    assert off.weight > take_off(wall()).weight


def test_added_weight_sits_at_the_centre_of_gravity():
    plain, added = take_off(wall()), take_off(wall(extra_weight=100.0))
    assert added.weight == pytest.approx(plain.weight + 100.0, abs=1e-9)
    assert (added.x_cg, added.z_cg) == pytest.approx((plain.x_cg, plain.z_cg), abs=1e-9)


def test_layers_push_the_centre_of_gravity_outward_and_an_inside_row_back():
    bare = take_off(wall()).behind_cg
    assert bare == pytest.approx(1.75, abs=1e-9)
    assert take_off(wall(layers=("osb 7/16",))).behind_cg > bare
    assert take_off(wall(rows=(Row(height=90.0),))).behind_cg < bare


def test_a_gable_balances_lower_than_its_mean_height():
    """Even layers only: a triangle on a rectangle, 3000 at 50 and 1500 at 100 + 100/3, by hand."""
    gable = wall(top=((0.0, 100.0), (15.0, 200.0), (30.0, 100.0)), layers=("lead 200 psf",))
    lead = next(part for part in take_off(gable).parts if part.name == "lead 200 psf")
    assert lead.z == pytest.approx((3000 * 50 + 1500 * (100 + 100 / 3)) / 4500, rel=1e-9)


def test_json_has_the_weight_and_the_centre_of_gravity():
    answer = take_off(wall()).to_dict()
    assert answer["weight_lb"] > 0.0
    assert answer["cg_ft"]["x"] == pytest.approx(8.0, abs=1e-9)
    assert sum(part["weight_lb"] for part in answer["parts"]) == pytest.approx(answer["weight_lb"], abs=1e-9)
