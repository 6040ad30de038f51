"""A brace as a stick, alone or as a T, step by step: what it carries in push and in pull."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.chain.brace import SOFT_SLIP, STIFFENER_SPACING, stick_of
from bracing.chain.materials import Materials
from bracing.codes.nds.adjusted import DesignValues
from bracing.codes.nds.braces import (
    BuiltUp,
    Stick,
    Stiffener,
    brace_pull_capacity,
    brace_push_capacity,
    built_up_section,
    coupling,
    edge_buckling,
    shift_of_thrust,
    stiffened_push_capacity,
    stiffness,
    stress_per_moment,
)
from bracing.codes.nds.fastener import slip_modulus
from bracing.codes.nds.members import (
    LIMIT_DURING_CONSTRUCTION,
    column_stability_factor,
    equivalent_depth,
    euler_stress,
    euler_stress_of_stiffness,
)
from bracing.job.brace import Brace
from bracing.job.lumber import section
from bracing.sources import cite
from bracing.trace.cases import Case
from bracing.trace.steps import Step, n
from bracing.units import Psi

SUMS_TO = 1e-6


@frozen
class _Bent:
    """What the sum of a column needs besides its values: strong axis, weak axis.

    Attributes:
        FcE: buckling values [psi].
        own: bending stress of own weight, strong axis [psi].
        r2: bending stress of the thrust's eccentricity for each psi of thrust, weak axis [-].
        Fb2: bending value flat [psi].
        words: what r2 is.
    """

    FcE: tuple[Psi, Psi]
    own: Psi
    r2: float
    Fb2: Psi
    words: str


def push_steps(case: Case) -> list[Step]:
    """Give the column with its own weight and the lap: the thrust at which the sum is 1.

    Args:
        case: the link.
    """
    materials, brace = case.materials, case.brace
    assert brace is not None
    stick, values = stick_of(materials, brace), materials.brace_values(brace.size)
    if brace.stiffener == "T":
        stiffener = _stiffener(materials, brace)
        push = stiffened_push_capacity(stick, values, stiffener=stiffener)
        if push.capacity_lb > brace_push_capacity(stick, values).capacity_lb:
            both = built_up_section(stick, stiffener, values)
            return [*_built_up(stick, stiffener, both, values), *_t_column(case, stick, values, both)]
    return _one_stick(case, stick, values)


def _stiffener(materials: Materials, brace: Brace) -> Stiffener:
    nail = materials.fastener(materials.job.kit.head.fastener)
    return Stiffener(section(brace.size), slip_modulus(nail.diameter) / SOFT_SLIP, STIFFENER_SPACING)


def _one_stick(case: Case, stick: Stick, values: DesignValues) -> list[Step]:
    d1, d2 = stick.section.width, stick.section.thickness
    l1, l2 = stick.unbraced
    slender = [
        Step("le/d of the strong axis", f"{n(l1)} / {n(d1)}", l1 / d1, "", cite("NDS", "3.7.1.3")),
        Step(
            "le/d of the weak axis, between ties", f"{n(l2)} / {n(d2)}", l2 / d2, "", cite("NDS", "3.7.1.3")
        ),
    ]
    if max(l1 / d1, l2 / d2) > LIMIT_DURING_CONSTRUCTION:
        return [*slender, _nothing()]
    E1, E2 = euler_stress(values.Emin, l1 / d1), euler_stress(values.Emin, l2 / d2)
    emin, b1 = n(values.Emin), stick.own_stress[0]
    bent = _Bent((E1, E2), b1, 6.0 * stick.lap / d2, values.Fb_flat, "the lap, 6 e / d")
    return [
        *slender,
        Step("FcE, strong axis", f"0.822 × {emin} / {n(l1 / d1)}^2", E1, "psi", cite("NDS", "3.7.1.5")),
        Step("FcE, weak axis", f"0.822 × {emin} / {n(l2 / d2)}^2", E2, "psi", cite("NDS", "3.7.1.5")),
        Step("fb of its own weight, strong axis",
             f"{n(stick.own_moment)} / {n(stick.section.section_modulus(strong=True))}", b1, "psi",
             cite("STATICS", "w cos L^2 / 8 over S")),
        *_sum_of(case, stick, values, bent),
    ]  # fmt: skip


def _nothing() -> Step:
    return Step("over 75: it counts for nothing in push", "0", 0.0, "lb", cite("NDS", "3.7.1.4"))


def _built_up(stick: Stick, stiffener: Stiffener, both: BuiltUp, values: DesignValues) -> list[Step]:
    """How well the nails couple brace and stiffener, and the bending stiffness of the T about both axes."""
    EA1, EA2 = both.first.axial_stiffness, both.second.axial_stiffness
    length, K = stick.unbraced[1], stiffener.slip_modulus
    C, (weak, strong, _), apart = coupling(both), stiffness(both), both.offset[0]
    (w1, s1), (w2, s2) = both.first.bending_stiffness, both.second.bending_stiffness
    annex, emin = "EN1995", n(values.Emin)
    one, two = both.first, both.second
    return [
        Step("axial stiffness of the brace, Emin A", f"{emin} × {n(one.weak)} × {n(one.strong)}", EA1, "lb"),
        Step("axial stiffness of the stiffener, Emin A", f"{emin} × {n(two.weak)} × {n(two.strong)}", EA2, "lb"),
        Step(f"efficiency of its fasteners, one every {n(stiffener.spacing)} in, a third of the published slip each",
             f"1 / (1 + 3.141593^2 × {n(EA1)} × {n(stiffener.spacing)} / ({n(K)} × {n(length)}^2))", both.gamma, "",
             cite(annex, "Annex B, Eq. B.5")),
        Step("stiffness that couples the two", f"{n(both.gamma)} × {n(EA1)} × {n(EA2)} / ({n(both.gamma)} × {n(EA1)} + "
             f"{n(EA2)})", C, "lb", cite(annex, "Annex B, Eq. B.1")),
        Step(f"bending stiffness along the wall, the middles {n(apart)} in apart",
             f"{n(w1)} + {n(w2)} + {n(C)} × {n(apart)}^2", weak, "lb in2", cite(annex, "Annex B, Eq. B.1")),
        Step("bending stiffness in the upright plane", f"{n(s1)} + {n(s2)}", strong, "lb in2",
             cite(annex, "Annex B, Eq. B.1")),
    ]  # fmt: skip


def _t_column(case: Case, stick: Stick, values: DesignValues, both: BuiltUp) -> list[Step]:
    """The T as a column, one that counts: the thrust enters the brace alone, so stress is taken on its area."""
    weak_EI, strong_EI, _ = stiffness(both)
    l1, l2 = stick.unbraced
    area, whole = both.first.area, both.first.area + both.second.area
    d1, d2 = (equivalent_depth(EI, values.Emin, whole) for EI in (strong_EI, weak_EI))
    emin = n(values.Emin)
    steps = [
        Step(f"le/d of the {axis} axis, d of a rectangle as stiff",
             f"{n(free)} / √(12 × {n(EI)} / ({emin} × {n(whole)}))", free / d, "", cite("NDS", "3.7.1.3"))
        for axis, free, EI, d in (("strong", l1, strong_EI, d1), ("weak", l2, weak_EI, d2))
    ]  # fmt: skip
    E1, E2 = (euler_stress_of_stiffness(EI, area, free) for EI, free in ((strong_EI, l1), (weak_EI, l2)))
    steps += [
        Step(f"FcE, {axis} axis, on the area of the brace", f"12 × 0.822 × {n(EI)} / ({n(area)} × {n(free)}^2)", FcE,
             "psi", cite("NDS", "3.7.1.5"))
        for axis, EI, free, FcE in (("strong", strong_EI, l1, E1), ("weak", weak_EI, l2, E2))
    ]  # fmt: skip
    weak, strong = stress_per_moment(both, (1.0, 0.0)), stress_per_moment(both, (0.0, 1.0))
    deep = max(both.first.strong, both.second.strong)
    own = stick.own_moment * strong
    shift = shift_of_thrust(both)[0]
    off = stick.lap + shift
    r2 = area * off * weak
    slide = coupling(both) * both.offset[0]
    sides = ", ".join(
        f"{n(slide)} / {n(part.axial_stiffness)} + {n(part.weak)} / 2" for part in (both.first, both.second)
    )
    steps += [
        Step("fb of its own weight, strong axis", f"{n(stick.own_moment)} × {emin} × {n(deep)} / 2 / {n(strong_EI)}",
             own, "psi", cite("STATICS", "w cos L^2 / 8")),
        Step("from the middle of the brace to the middle of the T",
             f"{n(coupling(both))} / {n(both.first.axial_stiffness)} × {n(both.offset[0])}", shift, "in",
             cite("STATICS")),
        Step("greatest stress of a moment of 1 lb in along the wall", f"{emin} / {n(weak_EI)} × max({sides})", weak,
             "psi", cite("EN1995", "Annex B, Eq. B.7, B.8")),
        Step("bending stress for each psi of thrust: lap and that distance",
             f"{n(area)} × ({n(stick.lap)} + {n(shift)}) × {n(weak)}", r2, "", cite("STATICS")),
    ]  # fmt: skip
    return [*steps, *_sum_of(case, stick, values, _Bent((E1, E2), own, r2, values.Fb, "lap and T"))]


def _sum_of(case: Case, stick: Stick, values: DesignValues, bent: _Bent) -> list[Step]:
    """Fc', the sum at the thrust that is its limit, and that thrust less the stick's own."""
    (E1, E2), b1, r2 = bent.FcE, bent.own, bent.r2
    _, FbE, Fb1 = edge_buckling(stick, values)
    a = min(E1, E2) / values.Fc
    Fc = values.Fc * column_stability_factor(values.Fc, min(E1, E2))
    half = f"(1 + {n(a)}) / 1.6"
    area, thrust = stick.section.area, case.link.capacity + stick.own_thrust
    fc, sway = thrust / area, (b1 / FbE) ** 2
    room1, room2 = 1.0 - fc / E1, 1.0 - fc / E2 - sway
    if min(room1, room2) <= 0.0:
        return []
    used = (fc / Fc) ** 2 + b1 / (Fb1 * room1)
    used += fc * r2 * (1.0 + 0.234 * fc / E2 + 0.234 * sway) / (bent.Fb2 * room2)
    if not math.isclose(used, 1.0, rel_tol=SUMS_TO):  # own weight alone is over: no thrust at all
        return []
    total = (
        f"({n(fc)} / {n(Fc)})^2 + {n(b1)} / ({n(Fb1)} × (1 - {n(fc)} / {n(E1)})) + "
        f"{n(fc)} × {n(r2)} × (1 + 0.234 × {n(fc)} / {n(E2)} + 0.234 × ({n(b1)} / {n(FbE)})^2) / "
        f"({n(bent.Fb2)} × (1 - {n(fc)} / {n(E2)} - ({n(b1)} / {n(FbE)})^2))"
    )
    return [
        Step("Fc' = Fc* CP, with the lesser FcE over Fc*",
             f"{n(values.Fc)} × ({half} - √(({half})^2 - {n(a)} / 0.8))", Fc, "psi", cite("NDS", "Eq. 3.7-1")),
        Step(f"fc, at a thrust of {n(thrust)} lb", f"{n(thrust)} / {n(area)}", fc, "psi"),
        Step(f"the sum there is its limit: fc, own weight, and {bent.words} ({n(r2)})", total, used, "",
             cite("NDS", "Eq. 15.4-1")),
        Step("less the thrust of its own weight", f"{n(thrust)} - {n(stick.own_thrust)}", case.link.capacity, "lb"),
    ]  # fmt: skip


def pull_steps(case: Case) -> list[Step]:
    """Give tension with the lap and own weight, where that governs and no holes are cut.

    Args:
        case: the link.
    """
    materials, brace = case.materials, case.brace
    assert brace is not None
    stick, values = stick_of(materials, brace), materials.brace_values(brace.size)
    if not math.isclose(brace_pull_capacity(stick, values).capacity_lb, case.link.capacity, rel_tol=SUMS_TO):
        return []
    area, thick, lap, b1 = stick.section.area, stick.section.thickness, stick.lap, stick.own_stress[0]
    value = (1.0 - b1 / values.Fb) / (1.0 / (area * values.Ft) + 6.0 * lap / (area * thick) / values.Fb_flat)
    total = (
        f"(1 - {n(b1)} / {n(values.Fb)}) / (1 / ({n(area)} × {n(values.Ft)}) + "
        f"6 × {n(lap)} / ({n(area)} × {n(thick)} × {n(values.Fb_flat)}))"
    )
    weighs = "its own weight and the stiffener's" if brace.stiffener == "T" else "its own weight"
    return [
        Step(f"fb of {weighs}, strong axis",
             f"{n(stick.own_moment)} / {n(stick.section.section_modulus(strong=True))}", b1, "psi",
             cite("STATICS", "w cos L^2 / 8 over S")),
        Step("pull with the lap, 6 e / (A d), and own weight", total, value, "lb", cite("NDS", "Eq. 3.9-1")),
    ]  # fmt: skip
