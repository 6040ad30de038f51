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


FOOT = """
[wall]
name = "Foot"
length = "16 ft"
height = "9 ft"
studs = {{ size = "2x6", spacing = "16 in", first = "0 in", species = "spruce-pine-fir", grade = "No.2" }}
layers = ["osb 7/16"]
moisture = "dry"
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = {{ joint = "lapped", fastener = "structural screw 0.22x3", bored = true }}
[kit.cleat]
size = "{size}"
lie = "{lie}"
length = "{length} in"
sides = {sides}
bored = true
brace_fastener = "structural screw 0.22x3"
floor_fastener = "structural screw 0.22x{long}"
[[brace]]
mark = "B1"
stud_at = "64 in"
head = "7 ft"
set_back = "7 ft"
size = "2x6"
ties = 2
head_fasteners = 4
cleat_fasteners = 3
floor_fasteners = {floor}
foot_on = "joist"
"""


@pytest.mark.parametrize(
    ("size", "lie", "sides", "length", "long", "floor"),
    [
        ("2x6", "edge", 2, 24, 8, 8),
        ("2x4", "flat", 1, 24, 5, 5),
        ("2x6", "flat", 1, 36, 5, 4),
        ("2x6", "flat", 2, 24, 5, 6),
    ],
)
def test_the_worst_screw_of_a_walls_own_foot(size, lie, sides, length, long, floor):
    """A pound level at 45 degrees: its lift over the brace's own screws, and its couple half the cleat up."""
    from bracing.chain.foot import cleat_fastener, limp_cleat
    from bracing.chain.materials import materials_of
    from bracing.reading.jobs import job_from_text

    job = job_from_text(
        FOOT.format(size=size, lie=lie, sides=sides, length=length, long=long, floor=floor), "foot.toml"
    )
    ours, brace = materials_of(job), job.braces[0]
    wide, deep = {"2x4": (3.5, 1.5), "2x6": (5.5, 1.5)}[size]
    thick, tall = (deep, wide) if lie == "edge" else (wide, deep)
    # Driven screws of 0.22 in keep 3.3 in from the ends; those to the brace, bored, 2.2 in apart, three in a row.
    each, mine = floor // sides, -(-3 // sides)
    places = tuple(3.3 + (length - 6.6) * k / (each - 1) for k in range(each))
    half = 2.2 * (mine - 1) / 2.0
    one = cleat_fastener(ours, brace, floor)
    K = 92_100.0 * 0.22 * one.holding
    frame, nodes = frame_of(
        places, float(length), (thick, tall), (length / 2.0 - half, length / 2.0 + half), K * E / 1.4e6
    )  # E of the frame is 1.2e6, that of dry No.2 1.4e6: stiffnesses in proportion give the same pulls
    roll = 1.0 if sides > 1 else 1.0 + (thick / 2.0 + 0.75) / (thick / 2.0)
    pulls = [
        K * E / 1.4e6 * (roll * node.DY["load"] + tall / 2.0 * node.DY["couple"]) / sides
        for node in (frame.nodes[f"N{nodes.index(place)}"] for place in places)
    ]
    found = limp_cleat(ours, brace, floor, stiffness=K)
    assert found.pull == pytest.approx(max(pulls), rel=WITHIN)


@pytest.mark.parametrize("size", ["2x4", "2x6"])
def test_a_third_screw_stands_under_the_brace_and_takes_more_than_two_shared(size):
    """A flat cleat is so limp that of three the middle one has most of the lift; of two each has half of it.

    So a screw more can lower what a foot holds, and the frame program says the same: no fault of where they stand.
    """
    wide, deep = {"2x4": (3.5, 1.5), "2x6": (5.5, 1.5)}[size]
    worst = {}
    for count in (2, 3, 4):
        places = tuple(3.3 + 17.4 * k / (count - 1) for k in range(count))
        frame, nodes = frame_of(places, 24.0, (wide, deep), (9.8, 14.2), 30_000.0)
        pulls = [30_000.0 * frame.nodes[f"N{nodes.index(place)}"].DY["load"] for place in places]
        ours = stick_on_springs(
            places, length=24.0, EI=E * wide * deep**3 / 12.0, K=30_000.0, stretch=(9.8, 14.2)
        )
        assert ours.pull(1.0, 0.0) == pytest.approx(pulls, rel=WITHIN, abs=WITHIN)
        worst[count] = max(pulls)
    assert worst[3] > 1.2 * worst[2]
    assert worst[4] < worst[3]
