"""Pressure carried to studs and plate: by hand where that can be done, and no pound lost on odd walls."""

from __future__ import annotations

import numpy as np
import pytest

from bracing.codes.pressures import PressureField
from bracing.errors import InputError
from bracing.job.framing import frame_wall
from bracing.job.wall import Opening, Row, Studs, Wall
from bracing.panel.loads import carry, lay_out_bays
from bracing.panel.mesh import build_mesh

ROUNDING = 1e-9  # relative; the hand answer is exact


def field(wall, *zones, slope=0.0, rise=0.0) -> PressureField:
    whole = zones or ((0.0, wall.length, 1.0),)
    return PressureField("any", "closed", whole, slope, wall.length / 2.0, rise, 50.0)


def framed(top, *openings, rows=(), spacing=24.0) -> Wall:
    return Wall(name="W", top=top, studs=Studs(size="2x6", spacing=spacing), openings=openings, rows=rows)


def carried(wall, *fields, heads=()):
    mesh = build_mesh(wall, frame_wall(wall), heads)
    return mesh, carry(mesh, lay_out_bays(mesh, wall), fields or [field(wall)])


def on_lines(mesh, loads, kind):
    """Force each line of a kind takes in the first case, by the x of its foot."""
    force = loads.element_load[0].mean(axis=1) * mesh.element_length
    return {
        round(float(mesh.x[line.nodes[0]]), 3): force[mesh.element_line == k].sum()
        for k, line in enumerate(mesh.lines)
        if line.kind == kind
    }


def close(value):
    return pytest.approx(value, rel=ROUNDING)


# -- level walls -----------------------------------------------------------------------------------------


def test_one_bay_between_two_end_studs_shares_its_area_evenly():
    mesh, loads = carried(framed(((0.0, 96.0), (24.0, 96.0)), spacing=48.0))
    assert on_lines(mesh, loads, "stud") == {0.75: close(96.0 * 12.0), 23.25: close(96.0 * 12.0)}
    assert not loads.node_load.any()


def test_an_inner_stud_carries_its_spacing_and_an_end_stud_its_overhang_by_the_lever_rule():
    mesh, loads = carried(framed(((0.0, 100.0), (96.0, 100.0))))
    studs = on_lines(mesh, loads, "stud")
    assert studs[48.0] == close(100.0 * 24.0)
    # Bay 0 to 24 about the stud at 24: (24 x 12)/(24 - 0.75) of its width goes to the end stud.
    assert studs[0.75] == close(100.0 * 24.0 * 12.0 / 23.25)
    assert studs[24.0] == close(100.0 * (24.0 * 11.25 / 23.25 + 12.0))


def test_a_uniform_pressure_is_a_uniform_line_load():
    mesh, loads = carried(framed(((0.0, 100.0), (96.0, 100.0))), heads=[(48.0, 70.0)])
    at_48 = [k for k, line in enumerate(mesh.element_line) if mesh.x[mesh.lines[line].nodes[0]] == 48.0
             and mesh.lines[line].kind == "stud"]  # fmt: skip
    assert len(at_48) == 2
    assert loads.element_load[0, at_48] == close(np.full((2, 2), 24.0))


def test_a_pressure_that_grows_with_height_is_a_sloping_line_load():
    wall = framed(((0.0, 100.0), (96.0, 100.0)))
    mesh, loads = carried(wall, field(wall, rise=0.01))  # 0.5 at the floor, 1.5 at the top
    stud = mesh.element_line.tolist().index(mesh.studs[2])
    assert loads.element_load[0, stud] == close([12.0, 36.0])
    assert loads.moment(mesh) == close([96.0 * (0.5 * 100.0**2 / 2.0 + 0.01 * 100.0**3 / 3.0)])


def test_an_end_strip_loads_only_the_studs_it_reaches():
    wall = framed(((0.0, 100.0), (96.0, 100.0)))
    mesh, loads = carried(wall, field(wall, (0.0, 36.0, 2.0), (36.0, 96.0, 0.0)))
    studs = on_lines(mesh, loads, "stud")
    assert studs[48.0] == close(
        2.0 * 100.0 * 12.0 * 6.0 / 24.0
    )  # 12 in of it, middle 6 in from the next stud
    assert studs[72.0] == studs[95.25] == 0.0
    assert loads.total(mesh) == close([2.0 * 36.0 * 100.0])


# -- sloping tops ----------------------------------------------------------------------------------------


def test_under_a_slope_the_plate_takes_half_of_each_triangle():
    """In a bay 24 wide rising 12, slices of the triangle share evenly between tall stud and plate."""
    wall = framed(((0.0, 96.0), (96.0, 144.0)))
    mesh, loads = carried(wall)
    triangle = 24.0 * 12.0 / 2.0
    low, high = wall.height_at(24.0), wall.height_at(48.0)
    studs = on_lines(mesh, loads, "stud")
    assert studs[48.0] == close(12.0 * low + 12.0 * high + triangle / 2.0)
    top = mesh.lines[mesh.studs[2]].nodes[-1]
    # Halves of the plate's share lie, by the lever rule, a third and two thirds along: 1/6 and 1/3 of each
    # triangle.
    assert loads.node_load[0, top] == close(triangle / 3.0 + triangle / 6.0)


def test_a_rake_keeps_its_area_and_its_moment():
    wall = framed(((0.0, 96.0), (240.0, 336.0)))
    mesh, loads = carried(wall)
    assert loads.total(mesh) == pytest.approx([240.0 * 216.0], rel=ROUNDING)
    # integral of h(x)^2 / 2 with h from 96 to 336; slivers past the end studs at their middle: 1e-7
    assert loads.moment(mesh) == pytest.approx([240.0 * (96.0**2 + 96.0 * 336.0 + 336.0**2) / 6.0], rel=1e-6)


# -- openings --------------------------------------------------------------------------------------------


def test_beside_a_door_the_kings_carry_the_door_and_over_it_cripples_carry_the_rest():
    wall = framed(((0.0, 120.0), (240.0, 120.0)), Opening(left=90.0, width=60.0, height=80.0, header="2-2x6"))
    mesh, loads = carried(wall)
    header = 80.0 + 5.5 / 2.0
    kings = (90.0 - 2.25, 150.0 + 2.25)
    studs, cripples = on_lines(mesh, loads, "stud"), on_lines(mesh, loads, "cripple")
    assert list(cripples) == [96.0, 120.0, 144.0]
    assert cripples[120.0] == close(24.0 * (120.0 - header))
    gap_left, gap_over = kings[0] - 72.0, 96.0 - kings[0]
    whole = kings[1] - kings[0]
    assert studs[kings[0]] == close(
        gap_left / 2.0 * 120.0 + whole / 2.0 * header + gap_over / 2.0 * (120.0 - header)
    )


def test_between_sill_and_header_of_a_window_nothing_but_the_kings_is_loaded():
    window = Opening(left=90.0, sill=36.0, width=60.0, height=40.0, header="2-2x8")
    mesh, loads = carried(framed(((0.0, 120.0), (240.0, 120.0)), window))
    force = loads.element_load[0].mean(axis=1) * mesh.element_length
    cripples = [k for k, line in enumerate(mesh.lines) if line.kind == "cripple"]
    area = sum(force[mesh.element_line == k].sum() for k in cripples)
    # 72 in of wall (half a bay beyond 96 and 144 lies partly on the kings), under the sill and over the
    # header
    width = 48.0 + (96.0 - 87.75) / 2.0 + (152.25 - 144.0) / 2.0
    assert area == close(width * (36.0 + 120.0 - 76.0 - 7.25 / 2.0))


# -- everything odd: the whole area, and its moment, and nothing loose -----------------------------------

WINDOW = {"width": 48.0, "height": 40.0}
ODD = {
    "header up against the plates": (
        ((0.0, 108.0), (240.0, 108.0)), [Opening(left=96.0, width=60.0, height=104.0, header="2-2x12")], ()),
    "vertex over a window": (
        ((0.0, 96.0), (130.0, 160.0), (240.0, 110.0)), [Opening(left=96.0, sill=36.0, **WINDOW)], ()),
    "valley over a header with no room": (
        ((0.0, 130.0), (120.0, 108.0), (240.0, 130.0)), [Opening(left=84.0, width=72.0, height=104.0)], ()),
    "peak over a header against low eaves": (
        ((0.0, 96.0), (120.0, 180.0), (240.0, 96.0)), [Opening(left=10.0, width=220.0, height=95.0)], ()),
    "sill just over the plate": (
        ((0.0, 108.0), (240.0, 108.0)), [Opening(left=96.0, sill=2.0, **WINDOW)], ()),
    "sill near the floor": (
        ((0.0, 108.0), (240.0, 108.0)), [Opening(left=96.0, sill=3.25, **WINDOW)], ()),
    "neighbours with one king between": (
        ((0.0, 108.0), (240.0, 108.0)),
        [Opening(left=60.0, sill=36.0, **WINDOW), Opening(left=111.0, sill=30.0, **WINDOW)], ()),
    "headers of neighbours a quarter inch apart": (
        ((0.0, 108.0), (240.0, 108.0)),
        [Opening(left=60.0, sill=36.0, width=40.0, height=40.0),
         Opening(left=108.0, sill=36.0, width=40.0, height=40.2)], ()),
    "close to the ends": (
        ((0.0, 108.0), (240.0, 108.0)),
        [Opening(left=1.5, sill=36.0, **WINDOW), Opening(left=190.5, width=48.0, height=80.0)], ()),
    "transom over a door": (
        ((0.0, 144.0), (240.0, 144.0)),
        [Opening(left=96.0, width=48.0, height=80.0), Opening(left=96.0, sill=100.0, width=48.0,
        height=24.0)], ()),
    "wide window over two doors": (
        ((0.0, 170.0), (240.0, 190.0)),
        [Opening(left=60.0, width=36.0, height=80.0), Opening(left=130.0, width=36.0, height=76.0),
         Opening(left=48.0, sill=100.0, width=132.0, height=40.0)], ()),
    "two windows over a garage door under a steep rake": (
        ((0.0, 130.0), (240.0, 330.0)),
        [Opening(left=24.0, width=192.0, height=84.0, header="2-2x12"),
         Opening(left=60.0, sill=110.0, width=36.0, height=24.0),
         Opening(left=140.0, sill=150.0, width=36.0, height=60.0)], ()),
    "row across a window and over a rake's low end": (
        ((0.0, 96.0), (240.0, 216.0)), [Opening(left=96.0, sill=36.0, **WINDOW)],
        (Row(height=60.0), Row(height=110.0, kind="strongback"), Row(height=108.0))),
    "row at the top": (((0.0, 108.0), (240.0, 108.0)), [], (Row(height=108.0), Row(height=107.9))),
    "very steep": (((0.0, 96.0), (60.0, 396.0)), [], ()),
    "spike": (((0.0, 96.0), (100.0, 100.0), (104.0, 300.0), (108.0, 100.0), (240.0, 96.0)), [], ()),
    "120 ft at 12 in": (((0.0, 108.0), (720.0, 200.0), (1440.0, 120.0)), [Opening(left=600.0, **WINDOW)], ()),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_no_pound_is_lost_on_odd_walls(name):
    top, openings, rows = ODD[name]
    wall = framed(top, *openings, rows=rows, spacing=12.0 if name.startswith("120") else 16.0)
    some = [
        field(wall),
        field(wall, (0.0, 50.0, 2.0), (50.0, 100.0, 1.5), (100.0, wall.length, 0.7)),
        field(wall, slope=0.004, rise=0.003),
    ]
    mesh, loads = carried(wall, *some)
    force, moment = slowly(wall, some)
    assert loads.total(mesh) == pytest.approx(force, rel=1e-4)  # as fine as the midpoint sums
    assert loads.moment(mesh) == pytest.approx(moment, rel=2e-4)
    assert np.isfinite(loads.element_load).all()


def slowly(wall, fields):
    """Force and moment about the floor by midpoint sums over strips and squares."""
    x = (np.arange(4000) + 0.5) * wall.length / 4000.0
    height = np.interp(x, *zip(*wall.top, strict=True))
    part = (np.arange(400) + 0.5) / 400.0
    z = height[:, None] * part
    cell = wall.length / 4000.0 * height[:, None] / 400.0
    pressure = [f.c(x[:, None], z) * cell for f in fields]
    return [p.sum() for p in pressure], [(p * z).sum() for p in pressure]


@pytest.mark.parametrize("name", ODD)
def test_every_member_of_an_odd_wall_hangs_together(name):
    top, openings, rows = ODD[name]
    wall = framed(top, *openings, rows=rows)
    mesh = build_mesh(wall, frame_wall(wall))
    assert mesh.element_length.min() > 0.1
    for line in mesh.lines:
        x, z = mesh.x[list(line.nodes)], mesh.z[list(line.nodes)]
        run = np.hypot(x[-1] - x[0], z[-1] - z[0])
        off = np.abs((x - x[0]) * (z[-1] - z[0]) - (z - z[0]) * (x[-1] - x[0])) / run
        assert off.max() < 1e-9, line.kind  # a member that turned a corner would carry moment round it
    met = {n for line in mesh.lines for n in line.nodes}
    assert met == set(range(len(mesh.x)))


# -- heads -----------------------------------------------------------------------------------------------


def test_a_head_at_a_header_shares_its_node_and_one_near_it_keeps_its_height():
    door = Opening(left=90.0, width=60.0, height=80.0, header="2-2x6")
    wall = framed(((0.0, 120.0), (240.0, 120.0)), door)
    king = 90.0 - 2.25
    mesh, _ = carried(wall, heads=[(king, 82.75), (king, 83.0)])
    header = next(line for line in mesh.lines if line.kind == "header")
    assert mesh.heads[0] == header.nodes[0]
    assert mesh.heads[1] != mesh.heads[0]
    assert mesh.z[mesh.heads[1]] == 83.0


def test_a_head_on_no_full_height_stud_is_refused_by_name():
    wall = framed(((0.0, 120.0), (240.0, 120.0)))
    with pytest.raises(
        InputError, match=r"brace.stud_at: got 60 in; expected a full-height stud; the nearest"
    ):
        build_mesh(wall, frame_wall(wall), [(60.0, 90.0)])
