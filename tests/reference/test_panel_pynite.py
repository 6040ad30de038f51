"""The exported model, rebuilt from its documented keys alone in PyNiteFEA."""

from __future__ import annotations

import pytest

from tests.reference.exported import (
    AGREE,
    Model,
    disagreement,
    grillage,
    random_model,
    springs_of,
)

pynite = pytest.importorskip("Pynite")
pytestmark = pytest.mark.reference


def build(found: Model):
    frame = grillage(pynite, found)
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
