"""What each kind of link may carry, step by step."""

from __future__ import annotations

import math
from collections.abc import Callable

from bracing.chain.wall import EDGE_DISTANCE, SPREAD_HEAD, header_end, wall_strength
from bracing.codes.nds.members import CONNECTION_END_ZONE
from bracing.job.lumber import section
from bracing.sources import cite
from bracing.trace.cases import Case, call_of, recorder_of, so_many
from bracing.trace.ends import (
    bearing_steps,
    cleat_steps,
    floor_steps,
    ground_steps,
    head_steps,
    joist_steps,
)
from bracing.trace.joints import axial_steps, lateral_steps
from bracing.trace.steps import Step, n
from bracing.trace.sticks import pull_steps, push_steps

SAME = 1e-6


def capacity_steps(case: Case) -> tuple[Step, ...]:
    """Give the steps to what a link may carry; one step with the chain's own words where no more is to be shown.

    Args:
        case: the link.
    """
    maker = MAKERS.get(case.name)
    steps = maker(case) if maker else []
    if steps and math.isclose(steps[-1].value, case.link.capacity, rel_tol=SAME):
        return tuple(steps)
    said = f"may carry: {case.link.why}" if case.link.why else "may carry"
    return (Step(said, n(case.link.capacity), case.link.capacity, case.link.unit, case.link.source),)


def _stud_bending(case: Case) -> list[Step]:
    materials = recorder_of(case)
    size = case.model.job.wall.studs.size
    S, Fb = section(size).section_modulus(strong=True), materials.stud_values().Fb
    plies = round(case.link.capacity / (S * Fb))
    return [
        Step(
            f"{plies} x {size} bent",
            f"{plies} × {n(Fb)} × {n(S)}",
            plies * Fb * S,
            "lb in",
            cite("NDS", "3.3.1"),
        )
    ]


def _stud_shear(case: Case) -> list[Step]:
    materials = recorder_of(case)
    size = case.model.job.wall.studs.size
    A, Fv = section(size).area, materials.stud_values().Fv
    plies = round(case.link.capacity / (2.0 / 3.0 * A * Fv))
    value = plies * 2.0 / 3.0 * Fv * A
    return [
        Step(
            f"{plies} x {size} in shear",
            f"{plies} × 2 / 3 × {n(Fv)} × {n(A)}",
            value,
            "lb",
            cite("NDS", "Eq. 3.4-2"),
        )
    ]


def _splitting(case: Case) -> list[Step]:
    materials, brace, wall = recorder_of(case), case.brace, case.model.job.wall
    assert brace is not None
    stud, Fv = section(wall.studs.size), materials.stud_values().Fv
    spread = stud.width - EDGE_DISTANCE if brace.head_fasteners >= SPREAD_HEAD else 0.0
    de = max(spread, stud.width / 2.0)
    plies = 2 if brace.stud_doubled else 1
    V = plies * 2.0 * Fv * stud.thickness * de / 3.0
    steps = [
        Step("shear on the depth left below the head fasteners, de",
             f"{plies} × 2 / 3 × {n(Fv)} × {n(stud.thickness)} × {n(de)}", V, "lb", cite("NDS", "3.4.3.3"))
    ]  # fmt: skip
    from_end = wall.height_at(brace.stud_at) - brace.head
    if from_end < CONNECTION_END_ZONE * stud.width:
        near = V * (de / stud.width) ** 2
        steps.append(
            Step(
                "within 5 d of the stud's end",
                f"{n(V)} × ({n(de)} / {n(stud.width)})^2",
                near,
                "lb",
                cite("NDS", "3.4.3.3"),
            )
        )
    return steps


def _stud_top(case: Case) -> list[Step]:
    recorder, top = recorder_of(case), case.model.job.wall.top_plate
    one = wall_strength.__wrapped__(recorder).stud_top
    steps = so_many(top.end_nails, call_of(recorder, one), case)
    nails, strap = steps[-1].value, top.strap_at_brace_lb
    if strap <= nails or math.isclose(nails, case.link.capacity, rel_tol=SAME):
        return steps
    words = "the strap or screws declared at a brace, where they carry more than the nails"
    return [*steps, Step(words, f"max({n(nails)}, {n(strap)})", strap, "lb", cite("USER", "strap"))]


def _sheathing(case: Case) -> list[Step]:
    recorder = recorder_of(case)
    nail = wall_strength.__wrapped__(recorder).sheathing_nail
    call = next((c for c in recorder.calls if c.found.lateral == nail), None)
    return [] if call is None or nail <= 0.0 else so_many(round(case.link.capacity / nail), call, case)


def _sheathing_off(case: Case) -> list[Step]:
    recorder = recorder_of(case)
    nail = wall_strength.__wrapped__(recorder).sheathing_off
    call = next((c for c in recorder.calls if c.found.axial == nail), None)
    return [] if call is None else axial_steps(recorder, call)


def _plate_shear(case: Case) -> list[Step]:
    recorder, spacing = recorder_of(case), case.model.job.wall.plate.spacing
    kind = wall_strength.__wrapped__(recorder).plate
    if kind.lateral <= 0.0:
        return []
    run = case.link.capacity / kind.lateral * spacing
    words = f"over the {n(run)} in of plate nearest this stud, one every {n(spacing)} in"
    source = case.link.source if kind.one is not None else cite("USER", "anchor")
    last = Step(words, f"{n(kind.lateral)} × {n(run)} / {n(spacing)}", case.link.capacity, "lb", source)
    return [last] if kind.one is None else [*lateral_steps(recorder, call_of(recorder, kind.one)), last]


def _header(case: Case) -> list[Step]:
    """The nails of one end; where openings stand over one another, of the one that has this strength."""
    recorder, wall = recorder_of(case), case.model.job.wall
    near = sorted(wall.openings, key=lambda o: abs(o.left + o.width / 2.0 - (case.link.x or 0.0)))
    for opening in near:
        if math.isclose(header_end.__wrapped__(recorder, opening), case.link.capacity, rel_tol=SAME):
            return so_many(opening.header_nails, recorder.calls[-1], case)
    return []


def _bent(case: Case) -> list[Step]:
    """A header, a sill or a row bent across the wall: on edge, or each ply flat."""
    materials, wall = recorder_of(case), case.model.job.wall
    sizes = {
        "header bending": [opening.header for opening in wall.openings],
        "row bending": [row.size for row in wall.rows],
    }.get(case.name, [wall.studs.size])
    for size in dict.fromkeys(sizes):
        values, shape = materials.stud_values(size), section(size)
        for Fb, strong, how in ((values.Fb, True, "on edge"), (values.Fb_flat, False, "flat")):
            S = shape.section_modulus(strong=strong)
            if math.isclose(Fb * S, case.link.capacity, rel_tol=SAME):
                return [
                    Step(
                        f"{size} bent {how}",
                        f"{n(Fb)} × {n(S)}",
                        Fb * S,
                        "lb in",
                        cite("NDS", "3.3.1, 4.3.7"),
                    )
                ]
    return []


MAKERS: dict[str, Callable[[Case], list[Step]]] = {
    "head joint": head_steps,
    "head bearing": bearing_steps,
    "brace to cleat": cleat_steps,
    "cleat to floor": floor_steps,
    "brace in push": push_steps,
    "brace in pull": pull_steps,
    "joist": joist_steps,
    "foot to ground": ground_steps,
    "stud bending": _stud_bending,
    "top plate bending": _stud_bending,
    "stud shear": _stud_shear,
    "stud splitting at the head": _splitting,
    "top plate to stud": _stud_top,
    "plate shear": _plate_shear,
    "sheathing to plate": _sheathing,
    "sheathing to rim": _sheathing,
    "stud to sheathing": _sheathing,
    "sheathing off the studs": _sheathing_off,
    "header bending": _bent,
    "sill bending": _bent,
    "row bending": _bent,
    "header end": _header,
    "sill end": _header,
}
