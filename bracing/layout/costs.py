"""What layouts take in work: at the least, about, and once they are made good."""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.links import LinkId
from bracing.chain.room import wood_blocks
from bracing.job.brace import IN_BLOCK, JOINTS, Brace
from bracing.job.fields import with_value
from bracing.job.job import Job
from bracing.layout.candidates import Scheme, with_scheme
from bracing.layout.grid import Pool
from bracing.layout.mending import LEAST, least_fasteners
from bracing.layout.outward import middle_of
from bracing.layout.space import SearchSpace
from bracing.sources import shipped
from bracing.units import Inch
from bracing.work.minutes import brace_minutes, each_minutes, kind_of, plan_minutes
from bracing.work.parts import board_feet
from bracing.work.remedies import UNDER_EACH, RemedyId, remedies

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

UNEVEN = 1.25  # the brace that carries most carries so much more than all on average, or about
EVEN: Inch = 0.001  # gaps that differ by less are as even
OF_JOINTS = (LinkId.HEAD_JOINT, LinkId.BRACE_TO_CLEAT, LinkId.CLEAT_TO_FLOOR)  # in the order of JOINTS
STUD, STIFFENER = remedies()[RemedyId.STUD], remedies()[RemedyId.STIFFENER]
_NEAR: Inch = 0.01


@frozen(eq=False)
class Costs:
    """The minutes layouts of a pool take at the least, mended as little as mending may; s candidates.

    Attributes:
        pool: the pool.
        base: whatever the braces.
        own: of each candidate, (s,).
        kind: what is cut alike has one number, (s,).
        near: studs no farther apart are neighbours [in].
        joints: of each joint and candidate, the most fasteners and the level force they let it give, (3, s) each [lb].
        blocks: minutes of the blocks of each candidate for each fastener in its floor beyond the least, (s,).
    """

    pool: Pool
    base: float
    own: Array
    kind: Ints
    near: Inch
    joints: tuple[Array, Array]
    blocks: Array

    def of(self, layouts: Ints) -> Array:
        """Give the minutes layouts take at the least, (b,).

        Args:
            layouts: candidates of each layout, from LEFT, (b, n).
        """
        kinds = (np.diff(np.sort(self.kind[layouts], axis=1), axis=1) != 0).sum(axis=1)
        beside = (np.diff(self.pool.x[layouts], axis=1) <= self.near).sum(axis=1)
        extra: Array = each_minutes("cut") * kinds + each_minutes("beside") * beside
        least: Array = self.base + self.own[layouts].sum(axis=1) + extra
        return least

    def expected(self, layouts: Ints) -> Array:
        """Give about what layouts will take once they are made good: only what to try first hangs on it, (b,).

        Args:
            layouts: candidates of each layout, from LEFT, (b, n).
        """
        whole: Array = self.of(layouts) + self._fastened(layouts)
        return whole

    def _fastened(self, layouts: Ints) -> Array:
        moment = float(np.abs(self.pool.panel.moment).max())
        force = UNEVEN * moment / self.pool.head[layouts].sum(axis=1, keepdims=True)
        most, level = self.joints
        counts = np.ceil(most[:, layouts] * force / level[:, layouts])
        alike = np.clip(counts, LEAST, most[:, layouts]).max(axis=2)
        more: Array = each_minutes("fastener") * layouts.shape[1] * (alike - LEAST).sum(axis=0)
        whole: Array = more + self.blocks[layouts].sum(axis=1) * (alike[-1] - LEAST)
        return whole

    def of_count(self, count: int) -> float:
        """Give the minutes any layout of so many braces takes at the least.

        Args:
            count: braces.
        """
        return self.base + count * float(self.own.min(initial=np.inf))

    def expected_of_count(self, count: int) -> float:
        """Give about what so many braces of the strongest kind take.

        Args:
            count: braces.
        """
        strongest = int(np.argmax(self.pool.strongest * self.pool.head))
        alike = np.full((1, count), strongest, dtype=np.intp)
        return float(self.base + count * self.own[strongest] + self._fastened(alike)[0])


def costs_of(job: Job, scheme: Scheme, pool: Pool) -> Costs:
    """Give what the layouts of a pool take at the least.

    Args:
        job: the wall with its choices.
        scheme: the scheme.
        pool: its pool.
    """
    fitted, free = with_scheme(job, scheme), UNDER_EACH not in job.declared
    if free:
        fitted = with_value(fitted, UNDER_EACH, 1)
    tie = remedies()[RemedyId.TIE]
    more = (
        STUD.minutes * scheme.doubled
        + STIFFENER.minutes * (scheme.stiffener != "none")
        + tie.minutes * scheme.ties
    )
    known = dict[Brace, float]()
    kinds = dict[tuple[str, Inch, Inch], int]()
    own, blocks = [], []
    for candidate in pool.candidates:
        brace = candidate.brace
        if brace not in known:
            bare = least_fasteners(fitted, brace)
            known[brace] = each_minutes("block") * wood_blocks(fitted, bare)
        own.append(known[brace] + brace_minutes(fitted, least_fasteners(fitted, brace)) + more)
        blocks.append(known[brace] / fitted.kit.cleat.sides * (free and brace.foot_on == IN_BLOCK))
        kinds.setdefault(kind_of(brace), len(kinds))
    return Costs(
        pool=pool, base=float(shipped("remedies")["hands_minutes"]) + tie.each_row_minutes * scheme.ties,
        own=np.array(own), kind=np.array([kinds[kind_of(c.brace)] for c in pool.candidates], dtype=np.intp),
        near=job.wall.studs.spacing + _NEAR, joints=_joints(pool), blocks=np.array(blocks),
    )  # fmt: skip


def _joints(pool: Pool) -> tuple[Array, Array]:
    """The most fasteners of each joint of each candidate, and the level force they let it give, (3, s) each."""
    most = [[getattr(c.brace, joint) for c in pool.candidates] for joint in JOINTS]
    level = [
        [
            min(
                (s.level_force for s in (*c.strength.push, *c.strength.pull) if s.link is link),
                default=np.inf,
            )
            for c in pool.candidates
        ]
        for link in OF_JOINTS
    ]
    return np.array(most, dtype=np.float64), np.maximum(np.array(level), 1e-9)


# -- what was found -----------------------------------------------------------------------------------------


@frozen(eq=False)
class Found:
    """A layout made good.

    Attributes:
        job: the job with its braces.
        scheme: what they have in common.
        minutes: the work it takes, for two people.
        by_work: what it is ranked by: its work, peak and kings without a brace, lumber, evenness.
    """

    job: Job = field(repr=False)
    scheme: Scheme
    minutes: float
    by_work: tuple[float, ...]

    @property
    def count(self) -> int:
        """How many braces."""
        return len(self.job.braces)

    @property
    def by_number(self) -> tuple[float, ...]:
        """What it is ranked by where the fewest braces are asked for."""
        return (self.count, *self.by_work)


def found_of(space: SearchSpace, scheme: Scheme, job: Job) -> Found:
    """Rank a layout made good.

    Args:
        space: the wall.
        scheme: what its braces have in common.
        job: the job with its braces.
    """
    studs = sorted(brace.stud_at for brace in job.braces)
    rows = job.wall.rows[len(space.job.wall.rows) :]
    minutes = plan_minutes(space.job, job)
    gaps = np.diff(studs)
    uneven = float(np.std(gaps)) if len(gaps) else 0.0
    return Found(
        job, scheme, minutes,
        (round(minutes, 3), len(worth_a_brace(space) - set(studs)), round(board_feet(job, rows=rows), 3),
         round(uneven / EVEN)),
    )  # fmt: skip


def worth_a_brace(space: SearchSpace) -> set[Inch]:
    """Give the studs that get a brace where it costs nothing: that under the peak, and kings beside openings [in].

    Args:
        space: the wall.
    """
    peak = middle_of(space.job.wall)
    peaks = {stud.x for stud in space.framing.full_height_studs if abs(stud.x - peak) < _NEAR}
    found = peaks if any(abs(x - peak) < _NEAR for x, _ in space.job.wall.top) else set()
    return found | {stick.x for stick in space.framing.of_kind("king")}
