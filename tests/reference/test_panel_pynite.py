"""The exported model, rebuilt from its documented keys alone in PyNiteFEA."""

from __future__ import annotations

import pytest

from tests.reference.exported import (
    AGREE,
    NO_SPRING,
    NO_TORSION,
    Model,
    disagreement,
    random_model,
    springs_of,
)

pynite = pytest.importorskip("Pynite")
pytestmark = pytest.mark.reference
STEEL = 1.0e6  # any modulus: only EI is given
BIG_AREA = 100.0


def build(found: Model):
    frame = pynite.FEModel3D()
    frame.add_material("any", STEEL, STEEL, 0.0, 0.0)
    for node in found["nodes"]:
        frame.add_node(node["id"], node["x_in"], 0.0, node["z_in"])
        frame.def_support(node["id"], True, node["held"], True, False, True, False)
        frame.def_support_spring(node["id"], "RX", NO_SPRING)
        frame.def_support_spring(node["id"], "RZ", NO_SPRING)
    for rigidity in {beam["EI_lbin2"] for beam in found["beams"]}:
        inertia = rigidity / STEEL
        frame.add_section(str(rigidity), BIG_AREA, inertia, inertia, NO_TORSION * inertia)
    for k, beam in enumerate(found["beams"]):
        name, at_i, at_j = f"M{k}", beam["release_i"], beam["release_j"]
        frame.add_member(name, beam["i"], beam["j"], "any", str(beam["EI_lbin2"]))
        frame.def_releases(name, Ryi=at_i, Rzi=at_i, Ryj=at_j, Rzj=at_j)
    for node, stiffness in springs_of(found).values():
        frame.def_support_spring(node, "DY", stiffness)
    for k, case in enumerate(found["cases"]):
        for node, load in case["loads_lb"].items():
            frame.add_node_load(node, "FY", load, case=f"L{k}")
        frame.add_load_combo(f"C{k}", {f"L{k}": 1.0})
    frame.analyze_linear(check_stability=False)
    return frame


@pytest.mark.parametrize(
    "batch", [pytest.param(0), *(pytest.param(k, marks=pytest.mark.proof) for k in range(1, 10))]
)
def test_random_walls(batch):
    held = 0
    for seed in range(3000 + 5 * batch, 3005 + 5 * batch):
        found = random_model(seed)
        if found is None:
            continue
        held += 1
        frame = build(found)
        for k, case in enumerate(found["cases"]):
            deflection = {name: node.DY[f"C{k}"] for name, node in frame.nodes.items()}
            assert disagreement(case, deflection, springs_of(found)) < AGREE, (seed, case["case"])
    assert held >= 3
