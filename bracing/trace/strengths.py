"""What each kind of link may carry, step by step."""

from __future__ import annotations

import math
from collections.abc import Callable

from attrs import frozen

from bracing.brace import Brace
from bracing.chain.brace import head_joint, stick_of
from bracing.chain.foot import brace_to_cleat, cleat_shape, cleat_to_floor, lever_tension, roll_factor
from bracing.chain.forces import Model
from bracing.chain.links import Link
from bracing.chain.strength import Strength
from bracing.chain.wall import EDGE_DISTANCE, SPREAD_HEAD, header_end, return_corner, wall_strength
from bracing.floor import Joists
from bracing.joints.single import FastenerCapacity
from bracing.lumber import section
from bracing.members.beam import CONNECTION_END_ZONE
from bracing.members.brace import edge_buckling
from bracing.members.column import LIMIT_DURING_CONSTRUCTION, column_stability_factor, euler_stress
from bracing.sources import cite
from bracing.trace.joints import Call, Recorder, axial_steps, lateral_steps
from bracing.trace.steps import Step, n


@frozen
class Case:
    """A link to be traced.

    Attributes:
        model: the model.
        link: the link.
        index: which brace, or None.
        strength: the brace's strength behind it, or None.
    """

    model: Model
    link: Link
    index: int | None
    strength: Strength | None

    @property
    def brace(self) -> Brace | None:
        """The brace, or None."""
        return None if self.index is None else self.model.job.braces[self.index]

    @property
    def name(self) -> str:
        """What the link is, either way round."""
        return self.link.link.removesuffix(", in reverse")


def capacity_steps(case: Case) -> tuple[Step, ...]:
    """Give the steps to what a link may carry; one step with the chain's own words where no more is to be shown.

    Args:
        case: the link.
    """
    maker = MAKERS.get(case.name)
    steps = maker(case) if maker else []
    if steps and math.isclose(steps[-1].value, case.link.capacity, rel_tol=1e-6):
        return tuple(steps)
    said = f"may carry: {case.link.why}" if case.link.why else "may carry"
    return (Step(said, n(case.link.capacity), case.link.capacity, case.link.unit, case.link.source),)


def _recorder(case: Case) -> Recorder:
    return Recorder(case.model.job)


def _call(recorder: Recorder, found: FastenerCapacity) -> Call:
    return next(call for call in recorder.calls if call.found == found)


def _many(count: float, call: Call, recorder: Recorder, case: Case) -> list[Step]:
    """So many fasteners, each across."""
    each = call.found.lateral
    last = Step(f"{n(count)} of them", f"{n(count)} × {n(each)}", count * each, "lb", case.link.source)
    return [*lateral_steps(recorder, call), last]


def _head(case: Case) -> list[Step]:
    recorder, brace = _recorder(case), case.brace
    assert brace is not None
    _, _, one = head_joint(recorder, brace)
    return _many(brace.head_fasteners, _call(recorder, one), recorder, case)


def _cleat(case: Case) -> list[Step]:
    recorder, brace = _recorder(case), case.brace
    assert brace is not None
    _, one = brace_to_cleat(recorder, brace)
    return _many(brace.cleat_fasteners, _call(recorder, one), recorder, case)


def _floor(case: Case) -> list[Step]:
    """The level force at which one floor fastener's shares of shear and pull add up to 1."""
    recorder, brace = _recorder(case), case.brace
    assert brace is not None
    cleat, count = case.model.job.kit.cleat, max(brace.floor_fasteners, 1)
    _, _, one = cleat_to_floor(recorder, brace)
    if one is None or one.kind in ("wood screw", "lag") or one.lateral <= 0.0 or one.axial <= 0.0:
        return []
    call = _call(recorder, one)
    shape = cleat_shape(section(cleat.size), section(brace.size), cleat.lie)
    lever = lever_tension(shape.rise, cleat.length, count)
    tension, words = n(lever), "lever of the joint above the floor"
    pull = _sense(case) == "pull"
    roll = roll_factor(shape, cleat.sides)
    if pull:
        angle = n(math.degrees(brace.angle))
        tension = f"tan({angle}°) / {count} × {n(roll)} + {n(lever)}"
        words = f"uplift, roll of the cleat × {n(roll)}, and lever"
    along = (math.tan(brace.angle) / count * roll if pull else 0.0) + lever
    share = (1.0 / count) / one.lateral + along / one.axial
    return [
        *lateral_steps(recorder, call), *axial_steps(recorder, call),
        Step(f"pull on one fastener for each pound level: {words}", tension, along, "lb/lb", cite("STATICS")),
        Step(
            f"level force where shear and pull on one of {count} use all of it",
            f"1 / (1 / {count} / {n(one.lateral)} + {n(along)} / {n(one.axial)})", 1.0 / share, "lb",
            cite("NDS", "12.4"),
        ),
    ]  # fmt: skip


def _sense(case: Case) -> str:
    reverse = case.link.link.endswith(", in reverse")
    return {"push": "pull", "pull": "push"}[case.link.direction] if reverse else case.link.direction


def _push(case: Case) -> list[Step]:
    """The column with its own weight and the lap: the thrust at which the sum is 1."""
    materials, brace = _recorder(case), case.brace
    assert brace is not None
    if brace.stiffener == "T":
        return []
    stick, values = stick_of(materials, brace), materials.brace_values(brace.size)
    d1, d2 = stick.section.width, stick.section.thickness
    l1, l2 = stick.unbraced
    slender = [
        Step("le/d of the strong axis", f"{n(l1)} / {n(d1)}", l1 / d1, "", cite("NDS", "3.7.1.3")),
        Step(
            "le/d of the weak axis, between ties", f"{n(l2)} / {n(d2)}", l2 / d2, "", cite("NDS", "3.7.1.3")
        ),
    ]
    if max(l1 / d1, l2 / d2) > LIMIT_DURING_CONSTRUCTION:
        return [
            *slender,
            Step("over 75: it counts for nothing in push", "0", 0.0, "lb", cite("NDS", "3.7.1.4")),
        ]
    E1, E2 = euler_stress(values.Emin, l1 / d1), euler_stress(values.Emin, l2 / d2)
    _, FbE, Fb1 = edge_buckling(stick, values)
    Fc = values.Fc * column_stability_factor(values.Fc, min(E1, E2))
    thrust = case.link.capacity + stick.own_thrust
    fc, r2 = thrust / stick.section.area, 6.0 * stick.lap / d2
    b1, emin = stick.own_stress[0], n(values.Emin)
    a = min(E1, E2) / values.Fc
    half = f"(1 + {n(a)}) / 1.6"
    total = (
        f"({n(fc)} / {n(Fc)})^2 + {n(b1)} / ({n(Fb1)} × (1 - {n(fc)} / {n(E1)})) + "
        f"{n(fc)} × {n(r2)} × (1 + 0.234 × {n(fc)} / {n(E2)} + 0.234 × ({n(b1)} / {n(FbE)})^2) / "
        f"({n(values.Fb_flat)} × (1 - {n(fc)} / {n(E2)} - ({n(b1)} / {n(FbE)})^2))"
    )
    return [
        *slender,
        Step("FcE, strong axis", f"0.822 × {emin} / {n(l1 / d1)}^2", E1, "psi", cite("NDS", "3.7.1.5")),
        Step("FcE, weak axis", f"0.822 × {emin} / {n(l2 / d2)}^2", E2, "psi", cite("NDS", "3.7.1.5")),
        Step("Fc' = Fc* CP, with the lesser FcE over Fc*",
             f"{n(values.Fc)} × ({half} - √(({half})^2 - {n(a)} / 0.8))", Fc, "psi", cite("NDS", "Eq. 3.7-1")),
        Step("fb of its own weight, strong axis",
             f"{n(stick.own_moment)} / {n(stick.section.section_modulus(strong=True))}", b1, "psi",
             cite("STATICS", "w cos L^2 / 8 over S")),
        Step(f"the sum at a thrust of {n(thrust)} lb is its limit: fc, own weight, and the lap (6 e / d = {n(r2)})",
             total, 1.0, "", cite("NDS", "Eq. 15.4-1")),
        Step("less the thrust of its own weight", f"{n(thrust)} - {n(stick.own_thrust)}", case.link.capacity, "lb"),
    ]  # fmt: skip


def _pull(case: Case) -> list[Step]:
    """Tension on the whole section with the lap and own weight, where that governs and no holes are cut."""
    materials, brace = _recorder(case), case.brace
    assert brace is not None
    if brace.stiffener == "T":
        return []
    stick, values = stick_of(materials, brace), materials.brace_values(brace.size)
    area, thick = stick.section.area, stick.section.thickness
    lap = 6.0 * stick.lap / (area * thick)
    b1 = stick.own_stress[0]
    value = (1.0 - b1 / values.Fb) / (1.0 / (area * values.Ft) + lap / values.Fb_flat)
    total = f"(1 - {n(b1)} / {n(values.Fb)}) / (1 / ({n(area)} × {n(values.Ft)}) + {n(lap)} / {n(values.Fb_flat)})"
    return [
        Step("pull with the lap (6 e / (A d)) and own weight", total, value, "lb", cite("NDS", "Eq. 3.9-1"))
    ]


def _joist(case: Case) -> list[Step]:
    materials = _recorder(case)
    joists = case.model.job.floor.joists or Joists()
    S, Fb = section(joists.size).section_modulus(strong=True), materials.joist_values(joists).Fb
    return [Step(f"one {joists.size} bent", f"{n(Fb)} × {n(S)}", Fb * S, "lb in", cite("NDS", "3.3.1"))]


def _stud_bending(case: Case) -> list[Step]:
    materials = _recorder(case)
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
    materials = _recorder(case)
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
    materials, brace, wall = _recorder(case), case.brace, case.model.job.wall
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
    recorder, top = _recorder(case), case.model.job.wall.top_plate
    one = wall_strength.__wrapped__(recorder).stud_top
    return _many(top.end_nails, _call(recorder, one), recorder, case)


def _sheathing(case: Case) -> list[Step]:
    recorder = _recorder(case)
    nail = wall_strength.__wrapped__(recorder).sheathing_nail
    call = next((c for c in recorder.calls if c.found.lateral == nail), None)
    return (
        [] if call is None or nail <= 0.0 else _many(round(case.link.capacity / nail), call, recorder, case)
    )


def _sheathing_off(case: Case) -> list[Step]:
    recorder = _recorder(case)
    nail = wall_strength.__wrapped__(recorder).sheathing_off
    call = next((c for c in recorder.calls if c.found.axial == nail), None)
    return [] if call is None else axial_steps(recorder, call)


def _plate_shear(case: Case) -> list[Step]:
    recorder, spacing = _recorder(case), case.model.job.wall.plate.spacing
    one = wall_strength.__wrapped__(recorder).plate.one
    if one is None or one.lateral <= 0.0:
        return []
    run = case.link.capacity / one.lateral * spacing
    words = f"over the {n(run)} in of plate nearest this stud, one every {n(spacing)} in"
    last = Step(
        words, f"{n(one.lateral)} × {n(run)} / {n(spacing)}", case.link.capacity, "lb", case.link.source
    )
    return [*lateral_steps(recorder, _call(recorder, one)), last]


def _header(case: Case) -> list[Step]:
    recorder, wall = _recorder(case), case.model.job.wall
    opening = min(wall.openings, key=lambda o: abs(o.left + o.width / 2.0 - (case.link.x or 0.0)))
    header_end.__wrapped__(recorder, opening)
    return _many(opening.header_nails, recorder.calls[-1], recorder, case)


def _corner(case: Case) -> list[Step]:
    recorder, wall = _recorder(case), case.model.job.wall
    corner = wall.left_return if (case.link.x or 0.0) <= wall.length / 2.0 else wall.right_return
    return_corner(recorder, corner)
    call = recorder.calls[-1]
    if corner.joint == "shear":
        return _many(corner.count, call, recorder, case)
    each = call.found.axial
    last = Step(
        f"{corner.count} of them", f"{corner.count} × {n(each)}", corner.count * each, "lb", case.link.source
    )
    return [*axial_steps(recorder, call), last]


MAKERS: dict[str, Callable[[Case], list[Step]]] = {
    "head joint": _head,
    "brace to cleat": _cleat,
    "cleat to floor": _floor,
    "brace in push": _push,
    "brace in pull": _pull,
    "joist": _joist,
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
    "header end": _header,
    "sill end": _header,
    "return corner": _corner,
}
