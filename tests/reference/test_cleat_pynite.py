"""A cleat on its fasteners, rebuilt in PyNiteFEA: pulls within 1 %, moments too."""

from __future__ import annotations

import pytest

from bracing.panel.on_springs import stick_on_springs

pynite = pytest.importorskip("Pynite")
pytestmark = pytest.mark.reference
E = 1.2e6
WITHIN = 0.01
CLEATS = [
    # springs, length, width x depth, stretch
    ((3.0, 7.5, 12.0, 16.5, 21.0), 24.0, (3.5, 1.5), (10.5, 13.5)),
    ((3.0, 9.0, 15.0, 21.0), 24.0, (1.5, 5.5), (8.5, 15.5)),
    ((3.0, 15.0, 33.0), 36.0, (5.5, 1.5), (20.0, 26.0)),
    ((4.0, 20.0), 24.0, (3.5, 1.5), (11.0, 13.0)),
]


def frame_of(springs, length, shape, stretch, K):
    """The same stick as a frame: nodes at ends, springs, and ends and middle of the stretch."""
    wide, deep = shape
    middle = sum(stretch) / 2.0
    places = sorted({0.0, length, middle, *stretch, *springs})
    frame = pynite.FEModel3D()
    frame.add_material("any", E, E, 0.3, 0.0)
    inertia = wide * deep**3 / 12.0
    frame.add_section("stick", 100.0, inertia, inertia, inertia)
    for k, place in enumerate(places):
        frame.add_node(f"N{k}", place, 0.0, 0.0)
        frame.def_support(f"N{k}", k == 0, False, True, True, True, False)
        if place in springs:
            frame.def_support_spring(f"N{k}", "DY", K)
    for k in range(len(places) - 1):
        frame.add_member(f"M{k}", f"N{k}", f"N{k + 1}", "any", "stick")
        if stretch[0] <= places[k] and places[k + 1] <= stretch[1]:
            q = 1.0 / (stretch[1] - stretch[0])
            frame.add_member_dist_load(f"M{k}", "Fy", q, q, case="load")
    frame.add_node_load(f"N{places.index(middle)}", "MZ", 1.0, case="couple")
    frame.add_load_combo("load", {"load": 1.0})
    frame.add_load_combo("couple", {"couple": 1.0})
    frame.analyze_linear(check_stability=False)
    return frame, places


@pytest.mark.parametrize("cleat", CLEATS, ids=lambda cleat: f"{len(cleat[0])} in {cleat[1]:.0f} in")
def test_pulls_and_moments(cleat):
    springs, length, shape, stretch = cleat
    K = 30_000.0
    frame, places = frame_of(springs, length, shape, stretch, K)
    stick = stick_on_springs(
        springs, length=length, EI=E * shape[0] * shape[1] ** 3 / 12.0, K=K, stretch=stretch
    )
    for combo, load, couple in (("load", 1.0, 0.0), ("couple", 0.0, 1.0)):
        theirs = [K * frame.nodes[f"N{places.index(place)}"].DY[combo] for place in springs]
        ours = stick.pull(load, couple)
        assert ours == pytest.approx(theirs, rel=WITHIN, abs=WITHIN * max(map(abs, theirs)))
        most = max(
            max(abs(member.max_moment("Mz", combo)), abs(member.min_moment("Mz", combo)))
            for member in frame.members.values()
        )
        assert stick.moment(load, couple) == pytest.approx(most, rel=WITHIN)
