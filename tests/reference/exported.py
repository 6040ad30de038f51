"""Random walls written out as models, and how closely another program's answer must agree."""

from __future__ import annotations

import random
from typing import Any

import numpy as np

from bracing.codes.asce7.walls import pressure_fields
from bracing.panel.export import model
from bracing.panel.loads import LoadSet
from tests.walls import SHAPES, panel, random_job

AGREE = 1e-3  # 0.1% of the greatest deflection, and of the greatest brace force
NO_TORSION = 1e-7  # GJ over EI
NO_SPRING = 1e-3  # turning spring at every node, so that one no member turns with is not loose [lb in/rad]
TOO_FAR = 100.0  # [in]
MODULUS = 1.0e6  # any: only EI is given [psi]
BIG_AREA = 100.0
PRESSURE = 0.05  # about 7 psf [psi]

Model = dict[str, Any]


def grillage(pynite: Any, found: Model) -> Any:
    """A model's nodes and beams as a frame of another program; its springs and loads are left to the caller."""
    frame = pynite.FEModel3D()
    frame.add_material("any", MODULUS, MODULUS, 0.0, 0.0)
    for node in found["nodes"]:
        frame.add_node(node["id"], node["x_in"], 0.0, node["z_in"])
        frame.def_support(node["id"], True, node["held"], True, False, True, False)
        frame.def_support_spring(node["id"], "RX", NO_SPRING)
        frame.def_support_spring(node["id"], "RZ", NO_SPRING)
    for rigidity in {beam["EI_lbin2"] for beam in found["beams"]}:
        inertia = rigidity / MODULUS
        frame.add_section(str(rigidity), BIG_AREA, inertia, inertia, NO_TORSION * inertia)
    for k, beam in enumerate(found["beams"]):
        name, at_i, at_j = f"M{k}", beam["release_i"], beam["release_j"]
        frame.add_member(name, beam["i"], beam["j"], "any", str(beam["EI_lbin2"]))
        frame.def_releases(name, Ryi=at_i, Rzi=at_i, Ryj=at_j, Rzj=at_j)
    return frame


def random_model(seed: int, *, longest: float = 48.0, one_way: bool = False) -> Model | None:
    """The model of a random wall under three wind cases; None where its braces cannot hold it."""
    job = random_job(seed, shape=SHAPES[seed % len(SHAPES)], openings=seed // 4 % 3)
    fields = pressure_fields(job.wall.top, gaps=(0.0,))
    fields = fields[:2] + fields[-1:]
    it = panel(job, fields, plate_plies=1 + seed % 2)
    sign = np.array([1.0, -1.0, 1.0])
    loads = LoadSet(
        it.loads.element_load * PRESSURE * sign[:, None, None], it.loads.node_load * PRESSURE * sign[:, None]
    )
    if one_way:
        rng = random.Random(seed)
        it.springs.takes_pull[:] = [rng.random() < 0.5 for _ in job.braces]
        it.springs.takes_push[:] = True
    directions = ("push", "pull", "push")
    cases = [(f.case, direction) for f, direction in zip(fields, directions, strict=True)]
    found = model(it.mesh, loads, cases, springs=it.springs, longest=longest)
    held = all(case["deflection_in"] for case in found["cases"])
    return found if held and _moves_little(found) else None


def _moves_little(found: Model) -> bool:
    """Whether linear theory has a meaning: a wall barely held by a thin row moves by miles on paper."""
    return all(max(map(abs, case["deflection_in"].values())) < TOO_FAR for case in found["cases"])


def disagreement(case: Model, deflection: dict[str, float], k: dict[str, tuple[str, float]]) -> float:
    """Greatest difference in deflection and brace force from another program, over the greatest."""
    ours = np.array(list(case["deflection_in"].values()))
    theirs = np.array([deflection[name] for name in case["deflection_in"]])
    worst = np.abs(ours - theirs).max() / np.abs(ours).max()
    marks = [mark for mark in k if mark not in case["springs_left_out"]]
    force = np.array([case["brace_horizontal_lb"][mark] for mark in marks])
    other = np.array([k[mark][1] * deflection[k[mark][0]] for mark in marks])
    return float(max(worst, np.abs(force - other).max() / np.abs(force).max()))


def springs_of(found: Model) -> dict[str, tuple[str, float]]:
    return {spring["mark"]: (spring["node"], spring["k_lb_per_in"]) for spring in found["springs"]}
