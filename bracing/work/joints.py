"""Nails, screws or lags: every joint with every usual fastener, and how many it takes at a gust.

In shear count fasteners; in withdrawal change the fastener, or the detail.
"""

from __future__ import annotations

import numpy as np
from attrs import evolve

from bracing.chain.evaluate import groups_at
from bracing.chain.forces import Forces
from bracing.chain.model import Model, build_model
from bracing.choosing import SAME
from bracing.job.envelope import beyond
from bracing.job.holding import held_part, held_value
from bracing.job.job import Job
from bracing.units import Mph, Pound
from bracing.work.brace_joints import brace_joints
from bracing.work.choices import Choice, FastenerChoice, JointChoice, usual_fasteners
from bracing.work.wall_joints import wall_joints

__all__ = ["Choice", "FastenerChoice", "JointChoice", "choose_fasteners", "usual_fasteners"]

# Where a brace as it is counts for nothing, forces are shared out as if it had these.
GOOD_HEAD, GOOD_FLOOR, GOOD_COUNT = "structural screw 0.22x3", "structural screw 0.22x5", 8
MOST_TIES = 2


def choose_fasteners(job: Job, *, gust: Mph) -> FastenerChoice:
    """Compare the usual fasteners in every joint of a wall.

    Args:
        job: the job, with its braces.
        gust: the gust: an actual 3-second gust at 33 ft in open country [mph].

    Returns:
        Every joint; none beyond the envelope, or where the braces do not hold the wall even as if every one
        of them counted.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    held_part(job, Job, "job")
    gust = held_value(gust, "speed", "gust", least=0.0)
    outside = beyond(job, gust)
    if outside:
        return FastenerChoice(job, gust, False, (), (), outside)  # noqa: FBT003
    model, as_if = _counted(job)
    (push, pull), groups = groups_at(model, gust)
    held = bool(push.held.all() and pull.held.all())
    if not held:
        return FastenerChoice(job, gust, False, as_if, ())  # noqa: FBT003
    loads = _level_forces((push, pull), gust)
    joints = (*brace_joints(job, loads), *wall_joints(job, groups, gust))
    return FastenerChoice(job, gust, True, as_if, joints)  # noqa: FBT003


def _counted(job: Job) -> tuple[Model, tuple[str, ...]]:
    """Give the model to share forces out with, and the braces that count for nothing as they are."""
    model = build_model(job)
    idle = tuple(
        brace.mark
        for brace, strength in zip(job.braces, model.strengths, strict=True)
        if not (strength.counts_in_push and strength.counts_in_pull)
    )
    if not idle:
        return model, ()
    kit = evolve(
        job.kit,
        head=evolve(job.kit.head, joint="lapped", fastener=GOOD_HEAD),
        cleat=evolve(job.kit.cleat, brace_fastener=GOOD_HEAD, floor_fastener=GOOD_FLOOR),
    )
    braces = tuple(
        evolve(
            brace,
            ties=MOST_TIES,
            head_fasteners=GOOD_COUNT,
            cleat_fasteners=GOOD_COUNT,
            floor_fasteners=GOOD_COUNT,
        )
        for brace in job.braces
    )
    return build_model(evolve(job, kit=kit, braces=braces)), idle


def _level_forces(both: tuple[Forces, Forces], gust: Mph) -> list[tuple[Pound, Pound]]:
    """Largest level force of each brace when pushed together and when pulled [lb]."""
    level = np.concatenate([forces.at(forces.brace, gust) for forces in both])
    level = np.where(np.abs(level) > SAME * max(1.0, float(np.abs(level).max(initial=0.0))), level, 0.0)
    push, pull = np.maximum(level.max(axis=0), 0.0), np.maximum(-level.min(axis=0), 0.0)
    return list(zip(push.tolist(), pull.tolist(), strict=True))
