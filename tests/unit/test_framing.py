"""Studs, kings, trimmers, cripples, plates and rows land where a framer would put them."""

from __future__ import annotations

import pytest

from bracing.errors import InputError
from bracing.job.framing import frame_wall, further_kings, header_plies, lapped_at
from bracing.job.wall import Opening, Row, Studs, Wall

SQUARE = ((0.0, 108.0), (240.0, 108.0))


def wall(top=SQUARE, spacing=16.0, first=0.0, openings=(), rows=(), size="2x6") -> Wall:
    return Wall(
        name="W", top=top, studs=Studs(size=size, spacing=spacing, first=first), openings=openings, rows=rows
    )


def xs(framing, *kinds):
    return [round(stick.x0, 6) for stick in framing.of_kind(*kinds)]


def test_layout_starts_at_left_and_end_studs_stand_half_a_thickness_in():
    framing = frame_wall(wall(spacing=24.0))
    assert [line.x for line in framing.full_height_studs] == [
        0.75,
        24,
        48,
        72,
        96,
        120,
        144,
        168,
        192,
        216,
        239.25,
    ]
    assert [line.kind for line in framing.full_height_studs] == ["end", *["common"] * 9, "end"]


def test_first_moves_the_layout():
    framing = frame_wall(wall(spacing=24.0, first=15.25))
    assert xs(framing, "common")[:2] == [15.25, 39.25]


def test_a_layout_that_starts_past_the_wall_leaves_the_end_studs():
    assert xs(frame_wall(wall(top=((0.0, 96.0), (30.0, 96.0)), first=40.0)), "common") == []


def test_studs_run_from_bottom_plate_to_the_underside_of_two_top_plates():
    stud = frame_wall(wall()).of_kind("common")[0]
    assert (stud.z_bottom, stud.z_top, stud.length) == (1.5, 105.0, 103.5)


def test_under_a_slope_the_plates_are_measured_vertically():
    framing = frame_wall(wall(top=((0.0, 96.0), (240.0, 276.0))))  # 3 in 4: vertical thickness is 5/4
    assert framing.of_kind("end")[0].z_top == pytest.approx(96.0 + 0.75 * 0.75 - 3.0 * 1.25, abs=1e-9)
    plate = framing.of_kind("top plate")[0]
    assert (plate.plies, plate.length) == (2, pytest.approx(300.0, abs=1e-9))


def test_a_stud_stands_under_every_vertex_and_takes_the_place_of_a_layout_stud_it_would_touch():
    framing = frame_wall(wall(top=((0.0, 108.0), (113.0, 180.0), (240.0, 108.0))))
    assert 113.0 in xs(framing, "common")
    assert 112.0 not in xs(framing, "common")


def test_beside_an_opening_stand_a_trimmer_and_a_king():
    window = Opening(left=90.0, sill=36.0, width=60.0, height=48.0, header="2-2x8")
    framing = frame_wall(wall(openings=(window,)))
    assert xs(framing, "trimmer") == [89.25, 150.75]
    assert xs(framing, "king") == [87.75, 152.25]
    assert {(s.z_bottom, s.z_top) for s in framing.of_kind("trimmer")} == {(1.5, 84.0)}


def test_layout_studs_in_an_opening_become_cripples_and_none_runs_across_it():
    window = Opening(left=90.0, sill=36.0, width=60.0, height=48.0, header="2-2x8")
    framing = frame_wall(wall(openings=(window,)))
    assert xs(framing, "cripple below") == xs(framing, "cripple above") == [96.0, 112.0, 128.0, 144.0]
    assert {(s.z_bottom, s.z_top) for s in framing.of_kind("cripple below")} == {(1.5, 34.5)}
    assert {(s.z_bottom, s.z_top) for s in framing.of_kind("cripple above")} == {(91.25, 105.0)}
    assert not [line for line in framing.full_height_studs if 90.0 < line.x < 150.0]


def test_header_bears_on_both_trimmers_and_the_sill_lies_flat_between_them():
    window = Opening(left=90.0, sill=36.0, width=60.0, height=48.0, header="2-2x8")
    framing = frame_wall(wall(openings=(window,)))
    header, sill = framing.of_kind("header")[0], framing.of_kind("sill")[0]
    assert (header.size, header.plies, header.x0, header.x1) == ("2x8", 2, 88.5, 151.5)
    assert header.z0 == 84.0 + 7.25 / 2
    assert (sill.x0, sill.x1, sill.z0) == (90.0, 150.0, 35.25)


def test_a_door_has_no_sill_and_no_cripples_below():
    framing = frame_wall(wall(openings=(Opening(left=90.0, width=40.0, height=82.0),)))
    assert not framing.of_kind("sill", "cripple below")
    assert xs(framing, "cripple above") == [96.0, 112.0, 128.0]


def test_two_openings_too_close_for_two_kings_share_one():
    pair = (
        Opening(left=40.0, sill=36.0, width=40.0, height=40.0),
        Opening(left=85.0, sill=36.0, width=40.0, height=40.0),
    )
    framing = frame_wall(wall(openings=pair))
    assert xs(framing, "king") == [37.75, 82.5, 127.25]


def test_a_vertex_beside_an_opening_takes_the_king():
    door = Opening(left=90.0, width=40.0, height=82.0)
    framing = frame_wall(wall(top=((0.0, 108.0), (88.0, 140.0), (240.0, 108.0)), openings=(door,)))
    assert xs(framing, "king") == [88.0, 132.25]


def test_a_row_on_a_gable_ends_where_the_wall_is_lower():
    framing = frame_wall(
        wall(top=((0.0, 108.0), (120.0, 168.0), (240.0, 108.0)), rows=(Row(height=138.0, kind="strongback"),))
    )
    row = framing.of_kind("row")[0]
    assert (row.x0, row.x1, row.z0) == (60.0, 180.0, 138.0)


def test_a_mirrored_wall_has_mirrored_framing():
    left = Opening(left=30.0, sill=30.0, width=50.0, height=50.0)
    right = Opening(left=240.0 - 80.0, sill=30.0, width=50.0, height=50.0)
    top = ((0.0, 108.0), (100.0, 168.0), (240.0, 120.0))
    mirrored_top = tuple((240.0 - x, z) for x, z in reversed(top))
    one = frame_wall(wall(top=top, openings=(left,)))
    other = frame_wall(wall(top=mirrored_top, openings=(right,)))
    kinds = ("end", "king", "common", "trimmer", "cripple above", "cripple below", "header", "sill")
    a = sorted((s.kind, round(s.x, 6), round(s.length, 6)) for s in one.of_kind(*kinds))
    b = sorted((s.kind, round(240.0 - s.x, 6), round(s.length, 6)) for s in other.of_kind(*kinds))
    assert a == b


@pytest.mark.parametrize(
    "openings",
    [
        (Opening(left=1.0, width=40.0, height=80.0),),
        (Opening(left=210.0, width=40.0, height=80.0),),
        (Opening(left=40.0, width=40.0, height=107.0),),
        (Opening(left=40.0, width=40.0, height=80.0), Opening(left=80.5, width=40.0, height=80.0)),
    ],
)
def test_openings_that_cannot_be_framed_are_refused_by_name(openings):
    with pytest.raises(InputError, match=r"wall\.opening\["):
        frame_wall(wall(openings=openings))


def test_unknown_sizes_are_refused_with_near_names():
    with pytest.raises(InputError, match="near: 2x"):
        frame_wall(wall(size="2x7"))


@pytest.mark.parametrize(
    ("name", "expected"), [("2-2x8", ("2x8", 2)), ("2x6", ("2x6", 1)), ("4x8", ("4x8", 1))]
)
def test_header_names(name, expected):
    assert header_plies(name) == expected


# -- what laps a king ------------------------------------------------------------------------------------


def with_kings(count):
    """A window from 90 to 150 in: a trimmer of 1.5 in beside each edge, then so many kings of 1.5 in."""
    return wall(openings=(Opening(left=90.0, sill=36.0, width=60.0, height=48.0, kings=count),))


@pytest.mark.parametrize(("count", "left"), [(1, 86.25), (2, 84.75), (3, 83.25)])
def test_a_stick_lapping_kings_lies_against_the_outermost(count, left):
    """90 in less a trimmer, the kings and half the stick: 90 - 1.5 - 1.5 count - 0.75; mirrored, 240 less that."""
    assert lapped_at(with_kings(count), 87.75, "left", thick=1.5) == left
    assert lapped_at(with_kings(count), 152.25, "right", thick=1.5) == 240.0 - left


def test_kings_stand_on_one_face_alone_and_on_no_other_stud():
    """Toward the opening a king has none beside it; the stud at 80 in, 10 in from the edge, is no king."""
    assert lapped_at(with_kings(3), 152.25, "left", thick=1.5) == 152.25 - 1.5
    assert lapped_at(with_kings(2), 80.0, "left", thick=1.5) == 78.5
    assert lapped_at(with_kings(2), 160.0, "right", thick=1.5) == 161.5


def test_further_kings_stand_one_beside_the_other_away_from_the_opening():
    """Each 1.5 in beyond the one before; the first stands at 90 - 1.5 - 0.75 = 87.75 in."""
    assert sorted(further_kings(with_kings(3), 1.5)) == [84.75, 86.25, 153.75, 155.25]
    assert not further_kings(with_kings(1), 1.5)
