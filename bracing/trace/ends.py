"""Ends of a brace whose strengths are no fasteners: the stud's edge, the joist, the ground."""

from __future__ import annotations

import math

from bracing.chain.foot import SLIDING_FACTOR
from bracing.codes.ground import deadman_capacity, lateral_bearing, stake_capacity
from bracing.codes.nds.members import beam_stability_factor, lifted_buckling_stress
from bracing.codes.nds.tables import joint_data
from bracing.job.floor import Joists
from bracing.job.lumber import section
from bracing.sources import cite
from bracing.trace.cases import Case
from bracing.trace.steps import Step, n


def bearing_steps(case: Case) -> list[Step]:
    """Give the plumb-cut end of a brace bearing on its stud's edge: the stud pressed across its grain.

    Args:
        case: the link.
    """
    materials, brace = case.materials, case.brace
    assert brace is not None
    shape, stud = section(brace.size), section(materials.job.wall.studs.size)
    thick, across = min(shape.thickness, stud.thickness), materials.stud_values().Fc_perp
    return [
        Step(
            "end of the brace on the edge of the stud, pressed across its grain",
            f"{n(across)} × {n(thick)} × {n(shape.width)}", across * thick * shape.width, "lb", cite("NDS", "3.10.2"),
        )
    ]  # fmt: skip


def joist_steps(case: Case) -> list[Step]:
    """Give the joist bent by the foot at mid-span: down with its top edge held, up with its lower edge free.

    Args:
        case: the link.
    """
    materials = case.materials
    joists = case.model.job.floor.joists or Joists()
    shape, values = section(joists.size), materials.joist_values(joists)
    S, Fb = shape.section_modulus(strong=True), values.Fb
    if case.sense == "push":
        return [Step(f"one {joists.size} bent", f"{n(Fb)} × {n(S)}", Fb * S, "lb in", cite("NDS", "3.3.1"))]
    b, d, l, emin = n(shape.thickness), n(shape.width), n(joists.span), n(values.Emin)  # noqa: E741
    FbE = float(lifted_buckling_stress(shape, values.Emin, joists.span))
    CL = float(beam_stability_factor(Fb, FbE))
    a, half = FbE / Fb, f"(1 + {n(FbE / Fb)}) / 1.9"
    buckling = (
        f"1.2 / (3.141593 × 1.84 / 4) × {emin} × ({d} × {b}^3 / 12 × ({d} / 2)^2 × (3.141593 / {l})^2 + "
        f"{b}^3 × {d} × (1 - 0.63 × {b} / {d}) / 3 / 16) / ({d} × {b} × {d}^2 / 6)"
    )
    return [
        Step("FbE, lifted: the lower edge is free to roll about the deck", buckling, FbE, "psi", cite("STATICS")),
        Step("CL", f"{half} - √(({half})^2 - {n(a)} / 0.95)", CL, "", cite("NDS", "Eq. 3.3-6")),
        Step(f"one {joists.size} bent up", f"{n(Fb)} × {n(CL)} × {n(S)}", Fb * CL * S, "lb in", cite("NDS", "3.3.3")),
    ]  # fmt: skip


def ground_steps(case: Case) -> list[Step]:
    """Give the foot to ground: a stake's side bearing or a weight's friction in push, the weight alone in pull.

    Args:
        case: the link.
    """
    ground, brace = case.model.job.floor.ground, case.brace
    assert brace is not None
    mu, W, factor, angle = (
        n(ground.friction),
        n(ground.deadman_lb),
        n(SLIDING_FACTOR),
        n(math.degrees(brace.angle)),
    )
    if case.sense == "pull":
        if ground.deadman_lb <= 0.0:
            return [
                Step(
                    "no dead weight is declared; a stake holds nothing upward",
                    "0",
                    0.0,
                    "lb",
                    cite("STATICS"),
                )
            ]
        along = deadman_capacity(ground.deadman_lb, friction=ground.friction, angle=brace.angle)
        return [
            Step("along the brace, where the weight lifted and drawn slides",
                 f"{mu} × {W} / ({factor} × (cos({angle}°) + {mu} × cos({angle}°) × tan({angle}°)))", along, "lb",
                 cite("STATICS")),
            Step("level", f"{n(along)} × cos({angle}°)", along * math.cos(brace.angle), "lb", cite("STATICS")),
        ]  # fmt: skip
    steps: list[Step] = []
    parts: list[float] = []
    if ground.embedment > 0.0:
        steps, stake = _stake(case)
        parts.append(stake)
    if ground.deadman_lb > 0.0:
        slide = ground.friction * ground.deadman_lb / SLIDING_FACTOR
        steps.append(
            Step("friction of the dead weight", f"{mu} × {W} / {factor}", slide, "lb", cite("STATICS"))
        )
        parts.append(slide)
    if len(parts) > 1:
        steps.append(Step("the greater of the two", f"max({n(parts[0])}, {n(parts[1])})", max(parts), "lb"))
    return steps


def _stake(case: Case) -> tuple[list[Step], float]:
    ground, post = case.model.job.floor.ground, joint_data()["post"]
    d, h, wide = min(ground.embedment, post["deepest_ft"] * 12.0), ground.pull_above, ground.stake_width
    each = lateral_bearing(ground.soil)
    A = d**2 / (d + post["second"] / 4.0 * h)
    S1 = each * d / 3.0
    P = stake_capacity(ground.embedment, width=wide, h=h, bearing=each)
    clause = cite("IBC", "1807.3.2.1, Eq. 18-1")
    return [
        Step(f"bearing of {ground.soil} at a third of the depth, S1", f"{n(each)} × {n(d)} / 3", S1, "psi",
             cite("IBC", "table 1806.2")),
        Step("A of a stake this deep", f"{n(d)}^2 / ({n(d)} + {n(post['second'])} / 4 × {n(h)})", A, "in", clause),
        Step("side push of the stake", f"{n(S1)} × {n(wide)} × {n(A)} / {n(post['first'])}", P, "lb", clause),
    ], P  # fmt: skip
