"""A braced stud bent across the wall while its brace lifts it or bears down on it."""

from __future__ import annotations

import numpy as np

from bracing.chain.links import Array, Group
from bracing.chain.materials import materials_of
from bracing.choosing import TIED, first_greatest, slack
from bracing.codes.nds.members import column_stability_factor, euler_stress
from bracing.job.lumber import section
from bracing.sources import cite
from bracing.trace.cases import Case
from bracing.trace.steps import Step, n
from bracing.units import Mph

LINK = "stud bending with lift"


def shared_forces(group: Group, item: int, at: Mph) -> tuple[int, tuple[float, float], tuple[float, float]]:
    """Give the row in which two forces together use most of an item, and both: steady part and part per mph squared.

    The second draws where it is positive and presses where it is negative.

    Args:
        group: links with a `use`; its tension draws where positive and presses where negative.
        item: which.
        at: the gust [mph].
    """
    assert group.use is not None
    assert group.tension is not None
    first = np.abs(group.demand[..., 0] + group.demand[..., 1] * at**2)
    second = group.tension[..., 0] + group.tension[..., 1] * at**2
    row = first_greatest(group.use(first, second)[:, item])
    one = _without_rounding(group.demand[row, item], at, greatest=float(first.max()))
    two = _without_rounding(group.tension[row, item], at, greatest=float(np.abs(second).max()))
    if one[0] + one[1] * at**2 < 0.0:
        one = (-one[0], -one[1])
    return row, one, two


def _without_rounding(parts: Array, at: Mph, *, greatest: float) -> tuple[float, float]:
    """Steady part and part per mph squared, each nothing where it is but the rounding of the greatest beside it."""
    steady, rate = (float(part) for part in parts)
    little = slack(greatest, TIED)
    return steady if abs(steady) > little else 0.0, rate if abs(rate) * at**2 > little else 0.0


def lifted_stud_steps(case: Case, group: Group, item: int, *, gust: Mph) -> tuple[Step, ...]:
    """Give the steps of the share used by bending and the force along a stud, at its limit gust.

    Args:
        case: the link.
        group: its group.
        item: which of it.
        gust: the gust shown where the limit is 0 [mph].
    """
    limit = case.link.limit_gust
    at = limit if limit > 0.0 else gust
    _, (m0, m1), (t0, t1) = shared_forces(group, item, at)
    drawn = t0 + t1 * at**2 >= 0.0
    if not drawn:
        t0, t1 = -t0, -t1
    M, T = m0 + m1 * at**2, t0 + t1 * at**2
    job, materials = case.model.job, materials_of(case.model.job)
    stud, values = section(job.wall.studs.size), materials.stud_values()
    x = case.link.x or 0.0
    doubled = any(b.stud_doubled for b, here in zip(job.braces, case.model.studs, strict=True) if here == x)
    plies = 2 if doubled else 1
    S = stud.section_modulus(strong=True)
    allowed, area = values.Fb * S, plies * stud.area
    steps = [
        Step("bending one ply may carry", f"{n(values.Fb)} × {n(S)}", allowed, "lb in", cite("NDS", "3.3.1")),
        Step(f"moment in one ply at {n(at)} mph, from the frame", f"{n(m0)} + {n(m1)} × {n(at)}^2", M, "lb in",
             cite("STATICS")),
        Step(f"{'pull' if drawn else 'thrust'} of the brace along the stud at {n(at)} mph",
             f"{n(t0)} + {n(t1)} × {n(at)}^2", T, "lb", cite("STATICS")),
    ]  # fmt: skip
    if drawn:
        share = T / (area * values.Ft) + M / allowed
        arithmetic = f"{n(T)} / ({n(area)} × {n(values.Ft)}) + {n(M)} / {n(allowed)}"
        return (
            *steps,
            Step("share used, stretched and bent", arithmetic, share, "", cite("NDS", "Eq. 3.9-1")),
        )
    slender = job.wall.height_at(x) / stud.width
    FcE = float(euler_stress(values.Emin, slender))
    a = FcE / values.Fc
    Fc = float(values.Fc * column_stability_factor(values.Fc, FcE))
    fc, half = T / area, f"(1 + {n(a)}) / 1.6"
    return (
        *steps,
        Step("FcE, across the wall", f"0.822 × {n(values.Emin)} / {n(slender)}^2", FcE, "psi",
             cite("NDS", "3.7.1.5")),
        Step("Fc' = Fc* CP", f"{n(values.Fc)} × ({half} - √(({half})^2 - {n(a)} / 0.8))", Fc, "psi",
             cite("NDS", "Eq. 3.7-1")),
        Step("share used, pressed and bent",
             f"({n(fc)} / {n(Fc)})^2 + {n(M)} / ({n(allowed)} × (1 - {n(fc)} / {n(FcE)}))",
             (fc / Fc) ** 2 + M / (allowed * (1.0 - fc / FcE)), "", cite("NDS", "Eq. 3.9-3")),
    )  # fmt: skip
