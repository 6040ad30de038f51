"""Bottom plate at a brace: shear and lift on the same fasteners, the better of unlike sets carrying all."""

from __future__ import annotations

import math
from typing import cast

from bracing.chain.groups import PlateUse
from bracing.chain.links import Group
from bracing.chain.wall import PlateSet
from bracing.codes.nds.fastener import load_of_each, one_load
from bracing.sources import cite
from bracing.sums import Known, Sum
from bracing.trace.cases import Case
from bracing.trace.lifted import shared_forces
from bracing.trace.steps import Step, n, steps_of
from bracing.units import Mph


def plate_use_steps(case: Case, group: Group, item: int, *, gust: Mph) -> tuple[Step, ...]:
    """Give the steps of the share used by shear and lift together, at the gust shown and at the limit gust.

    Args:
        case: the link.
        group: its group.
        item: which of it.
        gust: the gust shown [mph].
    """
    limit = case.link.limit_gust
    at = limit if limit > 0.0 else gust
    _, (V0, V1), (T0, T1) = shared_forces(group, item, at)
    steps: list[Step] = []
    V, T = V0 + V1 * at**2, max(0.0, T0 + T1 * at**2)
    steps += [
        Step(f"shear along the brace's part of the plate at {n(at)} mph, from the frame",
             f"{n(V0)} + {n(V1)} × {n(at)}^2", V, "lb", cite("STATICS")),
        Step(f"lift of the brace at {n(at)} mph; none where a strap or the rim takes it",
             f"max(0, {n(T0)} + {n(T1)} × {n(at)}^2)", T, "lb", cite("STATICS")),
    ]  # fmt: skip
    steps += _sets(case, group, item, (V, T))
    return tuple(steps)


def _sets(case: Case, group: Group, item: int, loads: tuple[float, float]) -> list[Step]:
    """Each set alone with all of shear and lift; the better counts. Anchors are added up the same way."""
    assert isinstance(group.use, PlateUse)
    steps: list[Step] = []
    shares: list[float] = []
    for kind, counts in group.use.sets:
        count = round(float(counts[item]))
        if count <= 0:
            continue
        share = _share(kind, count, loads)
        if not math.isfinite(share):
            steps.append(_worth_nothing(kind, count))
            continue
        steps += steps_of(share, name=f"{count} x {kind.name}")
        shares.append(float(share))
    if shares:
        what = "share used" if len(shares) == 1 else "share used: the better set carries all"
        arithmetic = f"min({', '.join(n(s) for s in shares)})" if len(shares) > 1 else n(shares[0])
        steps.append(Step(what, arithmetic, min(shares), "", cite("NDS", "12.4")))
    elif not steps:
        words = f"nothing declared fastens the plate here ({case.model.job.wall.plate.state})"
        steps.append(Step(words, "0", 0.0, "", cite("JUDGEMENT")))
    return steps


def _share(kind: PlateSet, count: int, loads: tuple[float, float]) -> Sum:
    """Share of each of so many used by both loads, or by the one there is."""
    V, T = (load_of_each(load, count) for load in loads)
    if T <= 0.0 < kind.lateral:
        return cast("Sum", one_load(V, kind.lateral))
    if V <= 0.0 < kind.axial:
        return cast("Sum", one_load(T, kind.axial))
    if V <= 0.0 and T <= 0.0:
        return Known(0.0, "no load", cite("STATICS"))
    return cast("Sum", kind.use(V, T))


def _worth_nothing(kind: PlateSet, count: int) -> Step:
    """What no share can be given of: the load meets an allowable of nothing."""
    none = " or ".join(name for name, each in (("shear", kind.lateral), ("lift", kind.axial)) if each <= 0.0)
    return Step(f"{count} x {kind.name}: nothing allowed in {none}", "0", 0.0, "lb")
