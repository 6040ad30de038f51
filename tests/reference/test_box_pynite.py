"""Walls joined at their corners, built as one frame in PyNiteFEA: an L, a U, a ring of four, and one under a deck.

Each wall's grillage is taken from its exported keys; each wall that holds others along itself is a pole there, of its
end studs' bending, on a spring that slides and one that turns; a corner's slip is a spring between wall and pole. That
program's members do not shear: the walls are given stiff sheathing for it, and all else is as it is. A deck is a truss
there, from the pole at one of its ends to that at the other, whose chords and posts do not give and whose diagonals
give what its shear does, or nothing where it is stiff.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from attrs import evolve

from bracing.box.answer import stand
from bracing.box.deck import STIFFNESS, TopNode
from bracing.box.system import Axis, Case
from bracing.chain.forces import solved
from bracing.chain.returns import CORNER, FAR, SOFT_RETURN
from bracing.panel.export import Springs, model
from bracing.panel.loads import LoadSet
from bracing.reading.house import read_house
from tests.box_walls import RING, deck_text, job_folder, ring_corners
from tests.reference.exported import AGREE, BIG_AREA, MODULUS, grillage

pynite = pytest.importorskip("Pynite")
pytestmark = pytest.mark.reference
GUST = 40.0
STIFF = 1e9  # of the sheathing [kips/in]
APART = 100.0  # between walls [in]
AWAY = (
    1e6  # from a wall to the pole that holds it: so far off that the springs between lie straight across [in]
)
STATES = {"stiff": 0, "soft": 1}  # of a deck, its corners and its braces; the first two of every solution
DEEP = 100.0  # of the truss a deck is there; any [in]
TIED = 1e9  # a deck to the walls it is carried by [lb/in]


def axes(folder, names, *, deck="", **changes):
    closed = len(names) == len(RING)
    corners = ring_corners(names, closed=closed) + deck
    read = read_house(job_folder(folder, names, corners=corners, **changes))
    box = stand(read.house, read.jobs, read.placed)
    return [evolve(each.axis, walls=tuple(map(stiffened, each.axis.walls))) for each in box.axes]


def stiffened(wall):
    """The wall, those that hold it having sheathing that does not shear."""
    return evolve(wall, held=tuple(evolve(h, racking=evolve(h.racking, stiffness=STIFF)) for h in wall.held))


def loads_of(wall, case, way):
    cases = wall.model.cases
    squared = cases.pressure_per_mph2 * GUST**2
    element = cases.steady.element_load[0] + cases.wind.element_load[case] * squared
    node = cases.steady.node_load[0] + cases.wind.node_load[case] * squared
    return LoadSet(way * element[None], way * node[None])


def merged(axis, parts):
    """Grillages of several walls as one, each where it stands along the axis."""
    nodes, beams = [], []
    for k, part in enumerate(parts):
        nodes += [
            {**n, "id": f"W{k}{n['id']}", "x_in": along(axis.walls[k], n["x_in"])} for n in part["nodes"]
        ]
        beams += [{**b, "i": f"W{k}{b['i']}", "j": f"W{k}{b['j']}"} for b in part["beams"]]
    return {"nodes": nodes, "beams": beams}


def along(wall, x):
    """Where a place of a wall lies along the way it runs."""
    way = 0 if wall.placed.along[0] else 1
    return wall.placed.start[way] + wall.placed.along[way] * x


def runs_up(wall):
    """Whether its right end is the one that lies farther along."""
    return along(wall, 1.0) > along(wall, 0.0)


def theirs(axis: Axis, case: Case, *, soft: bool = False) -> list[float]:
    """Force of every head of an axis in the other program, toward each wall's own brace side being positive push."""
    ways, give = axis.ways(0), axis.give(soft=soft)[STATES["soft" if soft else "stiff"]]
    parts = []
    for k, wall in enumerate(axis.walls):
        n = len(wall.model.meshes[0].heads)
        springs = Springs(
            tuple(f"H{i}" for i in range(n)),
            give[axis.starts[k] : axis.starts[k + 1]],
            np.ones(n, bool),
            np.ones(n, bool),
        )
        # Every wall of the axis is moved along one way: that of the first wall's braces.
        parts.append(
            model(wall.model.meshes[0], loads_of(wall, case.of[k], 1.0), [("any", "push")], springs=springs)
        )
    frame = grillage(pynite, merged(axis, parts))
    for name, node in frame.nodes.items():
        node.Y = APART * float(
            name[1]
        )  # a node of one wall on a stick of another would be taken for one of its own
    poles = {}
    for by in dict.fromkeys(lean.by for _, node in axis.nodes for lean in node.leans):
        poles[by] = pole(frame, by, axis, len(poles), soft=soft)
    deck = truss(frame, axis, poles, soft=soft)
    heads = []
    for k, (wall, part) in enumerate(zip(axis.walls, parts, strict=True)):
        braces = len(wall.job.braces)
        for i, spring in enumerate(part["springs"]):
            name, stiffness = f"W{k}{spring['node']}", spring["k_lb_per_in"]
            if i < braces:
                frame.def_support_spring(name, "DY", stiffness)
                heads.append((name, None, stiffness))
            else:
                held = wall.places[i - braces]
                to = deck[held] if isinstance(held, TopNode) else poles[held.by][held.z]
                frame.add_spring(f"S{k}-{i}", name, to, stiffness)
                heads.append((name, to, stiffness))
        # The wind blows one way over all: a wall whose braces face the other way it pulls, by as much.
        for node, load in part["cases"][0]["loads_lb"].items():
            frame.add_node_load(f"W{k}{node}", "FY", load)
    frame.analyze_linear(check_stability=False)
    at = {name: node.DY["Combo 1"] for name, node in frame.nodes.items()}
    signs = np.repeat(ways, np.diff(axis.starts))
    return [
        float(sign) * k * (at[name] - (0.0 if to is None else at[to]))
        for sign, (name, to, k) in zip(signs, heads, strict=True)
    ]


def pole(frame, by, axis, k, *, soft):
    """The wall that holds others along itself: its foot slides and turns, its end studs bend."""
    held = next(held for wall in axis.walls for held in wall.held_by(by))
    which, times = (max, SOFT_RETURN) if soft else (min, 1.0)
    (piece,) = which(
        (held.joined(sense) for sense in (CORNER, FAR)), key=lambda c: c.flexibility()[1, 1]
    ).pieces
    x = np.mean([along(wall, node.x) for wall in axis.walls for node in wall.nodes if node.by == by])
    heights = sorted({node.z for _, node in axis.nodes for lean in node.leans if lean.by == by})
    inertia = piece.A * piece.b**2 / 2.0 * piece.E / MODULUS / times
    frame.add_section(f"pole {by}", BIG_AREA, inertia, inertia, inertia)
    names = {}
    for z in (0.0, *heights):
        names[z] = f"P{k}-{z:g}"
        frame.add_node(names[z], x, AWAY, z)
        frame.def_support(names[z], True, False, True, False, True, True)
    frame.def_support_spring(names[0.0], "DY", piece.n * piece.gamma / times)
    frame.def_support_spring(names[0.0], "RX", piece.K / times)
    for low, high in zip((0.0, *heights), heights, strict=False):
        frame.add_member(f"pole {k} {low:g}", names[low], names[high], "any", f"pole {by}")
    return names


def truss(frame, axis, poles, *, soft):
    """A deck between the tops of two poles, by where each place it holds stands along its wall; of each, its node."""
    tops = {node: wall for wall in axis.walls for node in wall.tops}
    if not tops:
        return {}
    span = next(iter(tops.values())).job.wall.length
    z = next(iter(tops)).z
    deep = min(foot.b for wall in axis.walls for held in wall.held for foot in held.feet)  # each is one piece
    low, high = sorted(poles, key=lambda by: frame.nodes[poles[by][0.0]].X)
    at = {node: round(node.x if runs_up(wall) else span - node.x, 6) for node, wall in tops.items()}
    places = sorted({0.0, *at.values(), span})
    frame.add_section("chord", 100.0 * BIG_AREA, 1e-6, 1e-6, 1e-6)
    for k, x in enumerate(places):
        for name, y in ((f"D{k}", -AWAY), (f"E{k}", -AWAY - DEEP)):
            frame.add_node(name, x, y, z)
            frame.def_support(name, name == "D0", False, True, True, True, True)
        frame.add_member(f"post {k}", f"D{k}", f"E{k}", "any", "chord")
    for k, (a, b) in enumerate(pairwise(places)):
        give = (
            SOFT_RETURN * (b - a) / (1000.0 * STIFFNESS * deep) if soft else 0.0
        )  # of the bay in shear [in/lb]
        long = np.hypot(b - a, DEEP)
        area = long**3 / (give * DEEP**2 * MODULUS) if soft else 100.0 * BIG_AREA
        frame.add_section(f"diagonal {k}", area, 1e-6, 1e-6, 1e-6)
        for name, i, j, of in (
            ("near", "D", "D", "chord"), ("far", "E", "E", "chord"), ("across", "D", "E", f"diagonal {k}"),
        ):  # fmt: skip
            frame.add_member(f"{name} {k}", f"{i}{k}", f"{j}{k + 1}", "any", of)
    for by, k in ((low, 0), (high, len(places) - 1)):
        frame.add_spring(f"carried by {by}", f"D{k}", poles[by][z], TIED)
    return {node: f"D{places.index(x)}" for node, x in at.items()}


@pytest.mark.parametrize("state", STATES)
def test_a_ring_under_a_deck(tmp_path, state):
    """Every force of braces, corners and places a deck holds within 0.1% of the greatest, stiff and soft."""
    soft = state == "soft"
    for axis in axes(tmp_path, RING, deck=deck_text(), laps="rim", moisture="dry"):
        assert len(axis.walls) == 2
        assert all(wall.tops and wall.job.braces for wall in axis.walls)
        (case,) = axis.winds(0)[1:2]
        force, held, _ = solved(
            axis.reduced(0, (case,), axis.ways(0), soft=soft), axis.give(soft=soft),
            sign=1.0, gust=GUST, counts=axis.counts,
        )  # fmt: skip
        assert held.all()
        k = STATES[state]
        ours = force[k, 0, :, 0] + force[k, 0, :, 1] * GUST**2
        other = np.array(theirs(axis, case, soft=soft))
        of_braces = [
            start + i
            for start, wall in zip(axis.starts, axis.walls, strict=False)
            for i in range(len(wall.job.braces))
        ]
        for at in (slice(None), of_braces):
            assert np.abs(ours - other)[at].max() / np.abs(ours[at]).max() < AGREE


@pytest.mark.parametrize(
    "names", [("south", "east"), ("south", "east", "north"), RING], ids=["L", "U", "ring"]
)
def test_joined_walls(tmp_path, names):
    """Every brace force and corner force within 0.1% of the greatest, under each kind of case."""
    for axis in axes(tmp_path, names):
        if not axis.nodes:
            continue
        cases = tuple(dict.fromkeys((axis.winds(0)[0], axis.winds(0)[-1])))
        force, held, _ = solved(
            axis.reduced(0, cases, axis.ways(0), soft=False),
            axis.give(soft=False),
            sign=1.0,
            gust=GUST,
            counts=axis.counts,
        )
        assert held.all()
        for k, case in enumerate(cases):
            ours = force[0, k, :, 0] + force[0, k, :, 1] * GUST**2
            other = np.array(theirs(axis, case))
            assert np.abs(ours - other).max() / np.abs(ours).max() < AGREE
