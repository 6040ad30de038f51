"""Pulls of the picks balance the wall, whatever its outline, openings and picks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bracing.errors import InputError
from bracing.job.wall import Opening, Studs, Wall
from bracing.lift.picks import hang, hang_at
from bracing.panel.weight import take_off


def mirrored(wall: Wall) -> Wall:
    top = tuple((wall.length - x, z) for x, z in reversed(wall.top))
    openings = tuple(
        Opening(left=wall.length - o.right, sill=o.sill, width=o.width, height=o.height)
        for o in wall.openings
    )
    return Wall(name="M", top=top, studs=wall.studs, openings=openings, layers=wall.layers)


@st.composite
def walls(draw):
    bays = draw(st.integers(8, 24))
    length = 16.0 * bays
    left, right = draw(st.floats(96.0, 180.0)), draw(st.floats(96.0, 180.0))
    openings = ()
    if draw(st.booleans()):
        at = draw(st.floats(0.15, 0.5))
        openings = (Opening(left=at * length, sill=36.0, width=40.0, height=36.0),)
    return Wall(
        name="R",
        top=((0.0, left), (length, right)),
        studs=Studs(size="2x6", spacing=16.0, species="hem-fir", grade="No.2"),
        openings=openings,
        layers=("osb 7/16",),
    )


def hung(wall):
    return hang(wall, take_off(wall), drop=0.0, dynamic=0.0)


@settings(max_examples=40, deadline=None)
@given(wall=walls(), first=st.floats(0.05, 0.4), second=st.floats(0.6, 0.95))
def test_pulls_balance_the_weight_about_the_plate(wall, first, second):
    on = hung(wall)
    x = list(on.stud_x)
    studs = [min(range(len(x)), key=lambda k: abs(x[k] - part * wall.length)) for part in (first, second)]
    try:
        plan = hang_at(on, studs)
    except InputError:
        return  # a pick that would have to push is refused
    about_plate = sum(pick.load * pick.z for pick in plan.picks)
    assert about_plate == pytest.approx(float(on.loads.moment(on.mesh)[0]), rel=1e-6)
    assert about_plate == pytest.approx(on.weight.weight * on.weight.z_cg, rel=1e-6)
    assert min(pick.x for pick in plan.picks) < plan.hook_x < max(pick.x for pick in plan.picks)


@settings(max_examples=15, deadline=None)
@given(wall=walls())
def test_a_mirrored_wall_bends_the_same(wall):
    one, other = hung(wall), hung(mirrored(wall))
    last = len(one.stud_x) - 1
    a, b = 2, last - 3
    if len(other.stud_x) != len(one.stud_x):
        return  # an opening off the layout frames differently seen from the other end
    pairs = zip(one.stud_x, reversed(list(other.stud_x)), strict=True)
    if any(abs(p - (wall.length - q)) > 1e-6 for p, q in pairs):
        return
    try:
        first = hang_at(one, [a, b])
    except InputError:
        return
    second = hang_at(other, [last - b, last - a])
    assert second.bending.worst == pytest.approx(first.bending.worst, rel=1e-6)
    assert second.hook_x == pytest.approx(wall.length - first.hook_x, rel=1e-9)
