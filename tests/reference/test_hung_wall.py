"""The hung grillage against a general-purpose frame solver: pulls, sag and plate bending of a level wall.

Level lines and upright studs share no rotation (one turns about x, the other about z), so nodes can be shared
and the members given next to no torsion.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from bracing.job.lumber import section
from bracing.job.wall import Opening, Row, Studs, Wall
from bracing.lift.picks import hang, pick_at
from bracing.panel.weight import take_off

pytestmark = pytest.mark.reference
Pynite = pytest.importorskip("Pynite")

E = 1.0e6
NO_TORSION = 1e-6


def level_wall(**changes) -> Wall:
    return Wall(
        name="L",
        top=((0.0, 120.0), (288.0, 120.0)),
        studs=Studs(size="2x6", spacing=16.0, species="hem-fir", grade="No.2"),
        layers=("osb 7/16",),
        **changes,
    )


def frame_of(mesh, loads, picks):
    """Build the same members in the general solver: x along, y up, z square to the wall."""
    model = Pynite.FEModel3D()
    model.add_material("wood", E, E, 0.3, 1e-9)
    for k, (x, z) in enumerate(zip(mesh.x, mesh.z, strict=True)):
        model.add_node(f"N{k}", float(x), float(z), 0.0)
    line_of = mesh.element_line
    for e, (i, j) in enumerate(mesh.element_nodes):
        inertia = float(mesh.element_rigidity[e]) / E
        model.add_section(f"S{e}", 10.0, inertia, inertia, NO_TORSION)
        model.add_member(f"M{e}", f"N{i}", f"N{j}", "wood", f"S{e}")
        begin, end = loads.element_load[0, e]
        if begin or end:
            model.add_member_dist_load(f"M{e}", "FZ", float(begin), float(end))
    for k, force in enumerate(loads.node_load[0]):
        if force:
            model.add_node_load(f"N{k}", "FZ", float(force))
    upright = {n for e, ends in enumerate(mesh.element_nodes) if _stands(mesh, line_of[e]) for n in ends}
    along = {n for e, ends in enumerate(mesh.element_nodes) if not _stands(mesh, line_of[e]) for n in ends}
    for k in range(len(mesh.x)):
        held = bool(mesh.pinned[k]) or k in picks
        # In the plane nothing moves; a rotation no member bends about is held, and so is torsion.
        model.def_support(f"N{k}", True, True, held, k not in upright, k not in along, True)
    model.analyze(check_statics=False)
    return model


def _stands(mesh, line) -> bool:
    return mesh.lines[line].kind in ("stud", "cripple")


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"rows": (Row(height=96.0, kind="strongback", size="2x6"),)},
        {"openings": (Opening(left=104.0, sill=36.0, width=60.0, height=40.0, header="2-2x8"),)},
    ],
    ids=["plain", "strongback", "window"],
)
def test_pulls_sag_and_plate_bending(changes):
    wall = level_wall(**changes)
    on = hang(wall, take_off(wall), drop=0.0, dynamic=0.0)
    places = [float(x) for x in on.stud_x]
    picks = [min(places, key=lambda x: abs(x - at)) for at in (64.0, 224.0)]
    plan = pick_at(on, picks)
    nodes = {int(on.mesh.heads[places.index(x)]) for x in picks}
    model = frame_of(on.mesh, on.loads, nodes)
    for pick, node in zip(plan.picks, sorted(nodes, key=lambda n: on.mesh.x[n]), strict=True):
        pull = -model.nodes[f"N{node}"].RxnFZ["Combo 1"]
        assert pick.load == pytest.approx(pull, rel=1e-4)
    sag = max(abs(model.nodes[f"N{k}"].DZ["Combo 1"]) for k in range(len(on.mesh.x)))
    assert plan.bending.sag == pytest.approx(sag, rel=1e-3)
    plates = [e for e, k in enumerate(on.mesh.element_line) if on.mesh.lines[k].kind == "plate"]
    ends = [model.members[f"M{e}"].f("Combo 1") for e in plates]
    moment = max(abs(float(v)) for f in ends for v in np.ravel(f)[[4, 5, 10, 11]])
    stick = section("2x6").section_modulus(strong=True)
    ours = plan.bending.plate * on.strength[0] * stick * 2.0
    assert ours == pytest.approx(moment, rel=1e-3)


def test_the_model_is_the_wall():
    """The nodes of the top run from end stud to end stud, so the test above compares like with like."""
    wall = level_wall()
    on = hang(wall, take_off(wall), drop=0.0, dynamic=0.0)
    plate = next(line for line in on.mesh.lines if line.kind == "plate")
    assert all(a < b for a, b in pairwise(on.mesh.x[list(plate.nodes)]))
    assert on.mesh.x[plate.nodes[-1]] == pytest.approx(288.0 - 0.75, abs=1e-9)
