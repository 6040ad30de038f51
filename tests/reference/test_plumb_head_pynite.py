"""A head cut plumb, built as it stands: the brace is a pinned strut that bears on the inner edge of its stud.

Nothing of the program's couple is in it: the frame has a stiff arm from the stud's middle to its edge, and the strut
runs from there at its angle to a pin. Level forces of braces and deflections agree within 1 %.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bracing.check import check
from bracing.reading.jobs import job_from_text
from bracing.text.frame import frame_model
from tests.cli.running import EXAMPLES
from tests.reference.exported import MODULUS, grillage

pynite = pytest.importorskip("Pynite")
pytestmark = pytest.mark.reference
STIFF = 1.0e5  # of the arm: its area and moment of inertia
STRUT = 100.0  # its length [in]; its area is what gives the spring
WITHIN = 0.01
TEXT = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
PLUMB = TEXT.replace('joint = "lapped"', 'joint = "plumb", side_cleat = true')
WALLS = {
    "37 deg": PLUMB,
    "52 deg": PLUMB.replace('set_back = "8 ft"', 'set_back = "4 ft 8 in"'),
    "head at the top": PLUMB.replace('head = "6 ft"', 'head = "8 ft 10 in"'),
}


def built(found, job):
    frame = grillage(pynite, found)
    frame.add_section("arm", STIFF, STIFF, STIFF, STIFF)
    at = {node["id"]: (node["x_in"], node["z_in"]) for node in found["nodes"]}
    for spring, brace in zip(found["springs"], job.braces, strict=True):
        (x, z), mark = at[spring["node"]], spring["mark"]
        level, up, out = math.cos(brace.angle), math.sin(brace.angle), 5.5 / 2.0
        frame.add_node(f"E{mark}", x, out, z)
        frame.def_support(f"E{mark}", True, False, False, False, True, True)
        frame.add_node(f"F{mark}", x, out + STRUT * level, z - STRUT * up)
        frame.def_support(f"F{mark}", True, True, True, True, True, True)
        frame.add_section(f"S{mark}", spring["k_lb_per_in"] * STRUT / (MODULUS * level**2), 1e-9, 1e-9, 1e-9)
        frame.add_member(f"A{mark}", spring["node"], f"E{mark}", "any", "arm")
        frame.add_member(f"B{mark}", f"E{mark}", f"F{mark}", "any", f"S{mark}")
        frame.def_releases(f"B{mark}", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    for k, case in enumerate(found["cases"]):
        for node, load in case["loads_lb"].items():
            frame.add_node_load(node, "FY", load, case=f"L{k}")
        frame.add_load_combo(f"C{k}", {f"L{k}": 1.0})
    frame.analyze_linear(check_stability=False)
    return frame


@pytest.mark.parametrize("name", WALLS)
def test_forces_and_deflections(name):
    job = job_from_text(WALLS[name], "plumb.toml")
    found = frame_model(check(job, gust=30.0, effects=False))
    frame, levels = built(found, job), [math.cos(brace.angle) for brace in job.braces]
    for k, case in enumerate(found["cases"]):
        ours = np.array([case["brace_horizontal_lb"][brace.mark] for brace in job.braces])
        theirs = np.array([
            frame.members[f"B{brace.mark}"].max_axial(f"C{k}") * level
            for brace, level in zip(job.braces, levels, strict=True)
        ])  # fmt: skip
        assert ours == pytest.approx(theirs, abs=WITHIN * np.abs(theirs).max())
        moved = case["deflection_in"]
        there = np.array([frame.nodes[node].DY[f"C{k}"] for node in moved])
        assert np.array(list(moved.values())) == pytest.approx(there, abs=WITHIN * np.abs(there).max())


def test_without_the_couple_the_frame_would_not_agree():
    """The couple is worth more than the tolerance: the same wall, lapped, has other forces."""
    lapped, plumb = (
        frame_model(check(job_from_text(text, "w.toml"), gust=30.0, effects=False)) for text in (TEXT, PLUMB)
    )
    for one, other in zip(lapped["cases"], plumb["cases"], strict=True):
        total, less = (sum(case["brace_horizontal_lb"].values()) for case in (one, other))
        assert less / total == pytest.approx(
            72.0 / (72.0 + 0.75 * 2.75), rel=1e-6
        )  # tan of 6 ft on 8 ft, half of 5 1/2 in
