"""Bottom plate at a brace: shear and lift on the same fasteners, the better of unlike sets carrying all."""

from __future__ import annotations

import math

from bracing.chain.links import Group
from bracing.chain.wall import PlateSet, wall_strength
from bracing.sources import cite
from bracing.trace.cases import Case
from bracing.trace.joints import Call, Recorder, axial_steps, lateral_steps
from bracing.trace.lifted import shared_forces
from bracing.trace.steps import Step, n
from bracing.units import Mph

LINEAR = ("nail", "structural screw")


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
    steps += _sets(case, V, T)
    return tuple(steps)


def _sets(case: Case, V: float, T: float) -> list[Step]:
    """Each set alone with all of shear and lift; the better counts. Anchors are added up the same way."""
    recorder = Recorder(case.model.job)
    strength, plate = wall_strength.__wrapped__(recorder), case.model.job.wall.plate
    counts = _counts(case)
    steps: list[Step] = []
    shares: list[float] = []
    for kind, count in zip((strength.plate, strength.extra), counts, strict=True):
        if count <= 0:
            continue
        share = float(kind.use(V / count, T / count))
        if not math.isfinite(share):
            steps.append(_worth_nothing(kind, count))
            continue
        steps += _one_set(recorder, kind, count, V, T, share)
        shares.append(share)
    if shares:
        what = "share used" if len(shares) == 1 else "share used: the better set carries all"
        arithmetic = f"min({', '.join(n(s) for s in shares)})" if len(shares) > 1 else n(shares[0])
        steps.append(Step(what, arithmetic, min(shares), "", cite("NDS", "12.4")))
    elif not steps:
        words = f"nothing declared fastens the plate here ({plate.state})"
        steps.append(Step(words, "0", 0.0, "", cite("JUDGEMENT")))
    return steps


def _counts(case: Case) -> tuple[int, int]:
    """Fasteners of the pattern and beside the brace, read off the chain's own words."""
    plate = case.model.job.wall.plate
    said = case.link.why.partition(" over ")[0].split(" or ")
    by_name = {}
    for part in said:
        count, times, name = part.partition(" x ")
        if times and count.isdecimal():
            by_name[name] = int(count)
    anchors = case.model.job.floor.kind == "slab"
    pattern = by_name.get("anchor" if anchors else plate.fastener, 0)
    if anchors or plate.extra.fastener == plate.fastener:
        return pattern, 0
    return pattern, by_name.get(plate.extra.fastener, 0)


def _worth_nothing(kind: PlateSet, count: int) -> Step:
    """What no share can be given of: the load meets an allowable of nothing."""
    none = " or ".join(name for name, each in (("shear", kind.lateral), ("lift", kind.axial)) if each <= 0.0)
    return Step(f"{count} x {kind.name}: nothing allowed in {none}", "0", 0.0, "lb")


def _one_set(recorder: Recorder, kind: PlateSet, count: int, V: float, T: float, share: float) -> list[Step]:
    if kind.one is None:
        sums = " + ".join(
            f"{n(load)} / {count} / {n(each)}"
            for load, each in ((V, kind.lateral), (T, kind.axial))
            if each > 0.0
        )
        return [
            Step(
                f"{count} x {kind.name}, allowables as declared: shear and pull added up",
                sums,
                share,
                "",
                cite("USER"),
            )
        ]
    call: Call = next(call for call in recorder.calls if call.found == kind.one)
    steps = [*lateral_steps(recorder, call), *axial_steps(recorder, call)]
    linear = kind.one.kind in LINEAR or kind.one.reported
    parts = [
        f"{n(load)} / {count} / {n(each)}"
        for load, each in ((V, kind.lateral), (T, kind.axial))
        if each > 0.0 and load > 0.0
    ]
    if linear and parts:
        arithmetic = " + ".join(parts)
    else:
        force = f"√({n(V)}^2 + {n(T)}^2)"
        arithmetic = f"({n(V)}^2 / {n(kind.lateral)} + {n(T)}^2 / {n(kind.axial)}) / {force} / {count}"
    return [
        *steps,
        Step(f"{count} x {kind.name}: share of shear and pull", arithmetic, share, "", cite("NDS", "12.4")),
    ]
