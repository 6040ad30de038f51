"""Head and foot of a brace step by step: on a stud, on a cleat, in a deck, on a slab, in the ground."""

from __future__ import annotations

import math

from bracing.chain.brace import head_joint
from bracing.chain.foot import (
    IN_ROW,
    SLIDING_FACTOR,
    brace_to_cleat,
    cleat_shape,
    cleat_to_floor,
    lever_tension,
    roll_factor,
)
from bracing.codes.ground import deadman_capacity, lateral_bearing, stake_capacity
from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.codes.nds.factors import group_action
from bracing.codes.nds.fastener import HANKINSON_KINDS, slip_modulus
from bracing.codes.nds.members import beam_stability_factor, lifted_buckling_stress
from bracing.codes.nds.tables import joint_data
from bracing.job.brace import Brace
from bracing.job.floor import Joists
from bracing.job.lumber import section
from bracing.sources import cite
from bracing.trace.cases import Case, call_of, recorder_of, so_many
from bracing.trace.joints import Recorder, axial_steps, lateral_steps
from bracing.trace.steps import Step, n
from bracing.units import Inch, Psi

Member = tuple[Psi, Inch, Inch]
MANY = 1  # of large fasteners, from which they share unevenly


def group_steps(
    recorder: Recorder, name: str, count: int, *, side: Member, main: Member
) -> tuple[list[Step], float]:
    """Give the group action factor of a row of large fasteners, and the steps to it; none for small ones.

    Args:
        recorder: the materials.
        name: the fastener.
        count: how many.
        side: modulus, thickness and width of the side member; no width where loaded across its grain [psi, in, in].
        main: the same of the main member [psi, in, in].
    """
    D = recorder.fastener(name).diameter
    if D < LARGE_DOWEL or count <= MANY:
        return [], 1.0
    s, gamma = IN_ROW * D, slip_modulus(D)
    EAs, EAm = (E * thick * (wide or s) for E, thick, wide in (side, main))
    said = [f"{n(E)} × {n(thick)} × {n(wide or s)}" for E, thick, wide in (side, main)]
    u = 1.0 + gamma * s / 2.0 * (1.0 / EAm + 1.0 / EAs)
    m, R = u - math.sqrt(u**2 - 1.0), min(EAs / EAm, EAm / EAs)
    Cg = group_action(count, spacing=s, gamma=gamma, main=EAm, side=EAs)
    k, U, M, r = count, f"{u:.10f}", f"{m:.10f}", f"{R:.10f}"
    clause = cite("NDS", "11.3.6")
    total = (
        f"{M} × (1 - {M}^{2 * k}) / ({k} × ((1 + {r} × {M}^{k}) × (1 + {M}) - 1 + {M}^{2 * k})) × "
        f"(1 + {r}) / (1 - {M})"
    )
    return [
        Step("EA of the side member", said[0], EAs, "lb", clause),
        Step("EA of the main member; across its grain it counts one spacing wide", said[1], EAm, "lb", clause),
        Step(f"u, {n(s)} in apart, slip {n(gamma)} lb/in",
             f"1 + {n(gamma)} × {n(s)} / 2 × (1 / {n(EAm)} + 1 / {n(EAs)})", u, "", clause),
        Step("m", f"{U} - √({U}^2 - 1)", m, "", clause),
        Step(f"group action factor of {k} in a row, Cg", total, Cg, "", clause),
    ], Cg  # fmt: skip


def head_steps(case: Case) -> list[Step]:
    """Give the head joint: lapped in shear; plumb cut in lift, in a side cleat, or toe-nailed.

    Args:
        case: the link.
    """
    recorder, brace = recorder_of(case), case.brace
    assert brace is not None
    head, job = recorder.job.kit.head, recorder.job
    _, _, one = head_joint(recorder, brace)
    call, plumb = call_of(recorder, one), head.joint == "plumb"
    if plumb and case.sense == "pull" and not head.side_cleat:
        return _toe_nailed(case, recorder, brace)
    shape, stud = section(brace.size), section(job.wall.studs.size).thickness
    thick = stud * (2 if brace.stud_doubled and not plumb else 1)
    steps, together = group_steps(
        recorder, head.fastener, brace.head_fasteners,
        side=(recorder.brace_values(brace.size).E, shape.thickness, shape.width),
        main=(recorder.stud_values().E, thick, 0.0),
    )  # fmt: skip
    return [*steps, *so_many(brace.head_fasteners, call, case, together=together)]


def _toe_nailed(case: Case, recorder: Recorder, brace: Brace) -> list[Step]:
    """Toe-nails drawn out while the brace lifts: shares of shear and withdrawal add up to 1."""
    _, _, one = head_joint(recorder, brace)
    if one.kind != "nail" or one.lateral <= 0.0 or one.axial <= 0.0 or not brace.head_fasteners:
        return []
    call, count, angle = call_of(recorder, one), brace.head_fasteners, n(math.degrees(brace.angle))
    share = (math.tan(brace.angle) / one.lateral + 1.0 / one.axial) / count
    return [
        *lateral_steps(recorder, call), *axial_steps(recorder, call),
        Step(f"level pull where withdrawal and lift use all of {count}",
             f"{count} / (tan({angle}°) / {n(one.lateral)} + 1 / {n(one.axial)})", 1.0 / share, "lb", case.link.source),
    ]  # fmt: skip


def bearing_steps(case: Case) -> list[Step]:
    """Give the plumb-cut end of a brace bearing on its stud's edge: the stud pressed across its grain.

    Args:
        case: the link.
    """
    materials, brace = recorder_of(case), case.brace
    assert brace is not None
    shape, stud = section(brace.size), section(materials.job.wall.studs.size)
    thick, across = min(shape.thickness, stud.thickness), materials.stud_values().Fc_perp
    return [
        Step(
            "end of the brace on the edge of the stud, pressed across its grain",
            f"{n(across)} × {n(thick)} × {n(shape.width)}", across * thick * shape.width, "lb", cite("NDS", "3.10.2"),
        )
    ]  # fmt: skip


def cleat_steps(case: Case) -> list[Step]:
    """Give brace to cleat: all shear.

    Args:
        case: the link.
    """
    recorder, brace = recorder_of(case), case.brace
    assert brace is not None
    cleat, stick = recorder.job.kit.cleat, section(brace.size)
    shape = cleat_shape(section(cleat.size), stick, cleat.lie)
    _, one = brace_to_cleat(recorder, brace)
    steps, together = group_steps(
        recorder, cleat.brace_fastener, brace.cleat_fasteners,
        side=(recorder.brace_values(brace.size).E, stick.thickness, stick.width),
        main=(recorder.brace_values(cleat.size).E, shape.side, 0.0),
    )  # fmt: skip
    return [
        *steps,
        *so_many(brace.cleat_fasteners, call_of(recorder, one), case, together=together),
    ]


def floor_steps(case: Case) -> list[Step]:
    """Give the level force at which one floor fastener's shares of shear and pull add up to 1.

    Args:
        case: the link.
    """
    recorder, brace = recorder_of(case), case.brace
    assert brace is not None
    job, cleat = recorder.job, recorder.job.kit.cleat
    _, _, one = cleat_to_floor(recorder, brace)
    steps: list[Step] = []
    together = 1.0
    if one is None:
        lateral, axial = job.floor.slab.shear_lb, job.floor.slab.tension_lb
    else:
        lateral, axial = one.lateral, one.axial
        joists, shape = job.floor.joists or Joists(), section(cleat.size)
        thick = section(joists.size).thickness if brace.into_joist else recorder.deck_ply().thickness
        steps, together = group_steps(
            recorder, cleat.floor_fastener, brace.floor_fasteners,
            side=(recorder.brace_values(cleat.size).E, shape.thickness, shape.width),
            main=(recorder.joist_values(joists).E, thick, 0.0),
        )  # fmt: skip
        call = call_of(recorder, one)
        steps += [*lateral_steps(recorder, call), *axial_steps(recorder, call)]
    if lateral <= 0.0 or axial <= 0.0 or not brace.floor_fasteners:
        return []
    both = one is not None and one.kind in HANKINSON_KINDS and not one.reported
    return [*steps, *_used_up(case, brace, (lateral, axial), together=together, along_thread=both)]


def _used_up(
    case: Case, brace: Brace, each: tuple[float, float], *, together: float, along_thread: bool
) -> list[Step]:
    """Shear and pull of one floor fastener for a pound of level force, and the force at which they use all of it."""
    cleat, count, (lateral, axial) = case.model.job.kit.cleat, brace.floor_fasteners, each
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    lever, roll = lever_tension(shape.rise, cleat.length, count), roll_factor(shape, cleat.sides)
    shear, along, tension, words = (
        1.0 / count / together,
        lever,
        n(lever),
        "lever of the joint above the floor",
    )
    if case.sense == "pull":
        along += math.tan(brace.angle) / count * roll
        tension = f"tan({n(math.degrees(brace.angle))}°) / {count} × {n(roll)} + {n(lever)}"
        words = f"uplift, roll of the cleat × {n(roll)}, and lever"
    V, T, Z, W = n(shear), n(along), n(lateral), n(axial)
    if along_thread:
        force = math.hypot(shear, along)
        use = (shear**2 / lateral + along**2 / axial) / force
        total = f"√({V}^2 + {T}^2) / ({V}^2 / {Z} + {T}^2 / {W})"
    else:
        use, total = shear / lateral + along / axial, f"1 / ({V} / {Z} + {T} / {W})"
    apart = f"1 / {count}" if together >= 1.0 else f"1 / {count} / {n(together)}"
    clause = cite("USER", "anchor") if case.model.job.floor.kind == "slab" else cite("NDS", "12.4")
    return [
        Step("shear on one fastener for each pound level", apart, shear, "lb/lb", cite("STATICS")),
        Step(f"pull on one fastener for each pound level: {words}", tension, along, "lb/lb", cite("STATICS")),
        Step(f"level force where shear and pull on one of {count} use all of its {Z} lb across and {W} lb along", total,
             1.0 / use, "lb", clause),
    ]  # fmt: skip


def joist_steps(case: Case) -> list[Step]:
    """Give the joist bent by the foot at mid-span: down with its top edge held, up with its lower edge free.

    Args:
        case: the link.
    """
    materials = recorder_of(case)
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
