"""Which fasteners the joints of a plan take where nobody declared any: by need, by room, the least work first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice

from attrs import evolve, frozen

from bracing.chain.brace import head_joint
from bracing.chain.evaluate import evaluate
from bracing.chain.foot import Strength, brace_to_cleat, cleat_to_floor
from bracing.chain.links import LinkId
from bracing.chain.materials import Materials, materials_of
from bracing.chain.model import build_model
from bracing.chain.room import FASTENER, most_in, shared_by
from bracing.choosing import over, sorted_by, whole_up
from bracing.job.brace import Brace, JointId
from bracing.job.fasteners import fastener
from bracing.job.fields import value_at, with_value
from bracing.job.job import Job
from bracing.layout.mending import LEAST, standing_moved, with_least_blocks
from bracing.layout.space import SearchSpace
from bracing.units import Pound
from bracing.work.joints import usual_fasteners
from bracing.work.minutes import plan_minutes
from bracing.work.remedies import fastener_minutes, remedies

OFF_ITS_MARK = (
    1.1  # a brace off its mark makes another carry so much more, or about: only what is tried hangs on it
)
ORDER = (JointId.FLOOR, JointId.HEAD, JointId.CLEAT)  # what lifts off first, first
WORTH = 2.0  # minutes another kind of fastener saves, or it stays: one more box to fetch and keep apart; judgement
TRIED = 3  # of the fasteners of less work, as many are put to the whole chain in each joint
OF = {
    JointId.HEAD: LinkId.HEAD_JOINT,
    JointId.CLEAT: LinkId.BRACE_TO_CLEAT,
    JointId.FLOOR: LinkId.CLEAT_TO_FLOOR,
}


@frozen
class Fit:
    """One fastener in one joint of every brace.

    Attributes:
        joint: which.
        name: the fastener.
        count: how many.
        minutes: for two people, at one brace.
    """

    joint: JointId
    name: str
    count: int
    minutes: float


def with_fit_fasteners(space: SearchSpace, job: Job) -> Job:
    """Give a plan with the fasteners of least work in the joints nobody declared any for; as it was if none takes less.

    What is tried is worked out joint by joint at the brace that carries most; what is given stands by the whole chain,
    as any plan does.

    Args:
        space: the wall.
        job: the plan.
    """
    for joint in ORDER:
        if not _is_open(space.job, joint):
            continue
        named = value_at(job, FASTENER[joint])
        now = plan_minutes(space.job, job)
        spent = max(getattr(brace, joint) for brace in job.braces) * fastener_minutes(job, str(named))
        fits = (fit for fit in _fits(space, job, joint) if fit.name != named and over(spent, fit.minutes))
        for fit in islice(fits, TRIED):
            other = evolve(space, job=with_value(space.job, FASTENER[joint], fit.name))
            tried = _with(job, fit)
            saves = partial(_saves, other.job, now)
            stood = standing_moved(other, tried, could=saves) if saves(tried) else None
            if stood is not None and over(now - WORTH, plan_minutes(other.job, stood)):
                space, job = other, stood
                break
    return job


def _saves(start: Job, now: float, job: Job) -> bool:
    """Whether a plan may still save enough: more is put in as it is mended, and nothing is taken out."""
    return over(now - WORTH, plan_minutes(start, with_least_blocks(job)))


def _is_open(job: Job, joint: JointId) -> bool:
    """Whether a layout says what goes into a joint: nobody declared it, and it is no anchor, stake or toe-nail."""
    if FASTENER[joint] in job.declared:
        return False
    if joint == JointId.HEAD:
        return job.kit.head.joint == "lapped"
    return job.floor.kind == "deck" or (joint == JointId.CLEAT and job.floor.kind != "ground")


def _with(job: Job, fit: Fit) -> Job:
    named = with_value(job, FASTENER[fit.joint], fit.name)
    return evolve(named, braces=tuple(evolve(brace, **{fit.joint.value: fit.count}) for brace in job.braces))  # type: ignore[arg-type]


def _fits(space: SearchSpace, job: Job, joint: JointId) -> Iterator[Fit]:
    """Every fastener proposed that the joint has room for as many of as it needs, the least work first."""
    need = _needs(space, job, joint)
    found = []
    for name in proposed(job, joint):
        there = with_value(job, FASTENER[joint], name)
        count = max((_count(there, brace, joint, need.get(brace.mark, 0.0)) or 0) for brace in job.braces)
        if count and all(count <= most_in(there, brace, joint) for brace in job.braces):
            found.append(Fit(joint, name, count, count * fastener_minutes(job, name)))
    yield from sorted_by(found, lambda fit: fit.minutes)


def proposed(job: Job, joint: JointId) -> tuple[str, ...]:
    """Give the fasteners that are proposed for a joint; along a T none that is bored for and turned in by hand.

    Args:
        job: the job with its braces.
        joint: which.
    """
    group = "proposed_lapped"
    if joint == JointId.FLOOR:
        group = "proposed_through_edge" if job.kit.cleat.lie == "edge" else "proposed_through_deck"
    names = usual_fasteners(group)
    if joint == JointId.HEAD and any(brace.stiffener != "none" for brace in job.braces):
        return tuple(name for name in names if fastener(name, job.fasteners).kind != "lag")
    return names


def _needs(space: SearchSpace, job: Job, joint: JointId) -> dict[str, Pound]:
    """The level force each brace asks of a joint at the gust, with people about and without."""
    model, most = build_model(job, thunderstorm=space.thunderstorm), dict[str, float]()
    for each in (model, model.crowded):
        for group in evaluate(each, space.gust).groups:
            if group.link.forward == OF[joint]:
                for link in group.links(space.gust, limits_too=False):
                    most[link.mark or ""] = max(link.ratio, most.get(link.mark or "", 0.0))
    materials = materials_of(job)
    return {b.mark: OFF_ITS_MARK * most.get(b.mark, 0.0) * _level(materials, b, joint) for b in job.braces}


def _level(materials: Materials, brace: Brace, joint: JointId) -> Pound:
    """The level force a joint lets a brace give, either way [lb]."""
    found = STRENGTHS[joint](materials, brace)
    return min((s.level_force for s in found if s.link.forward == OF[joint]), default=0.0)


def _head(materials: Materials, brace: Brace) -> tuple[Strength, ...]:
    push, pull, _ = head_joint(materials, brace)
    return (*push, *pull)


def _floor(materials: Materials, brace: Brace) -> tuple[Strength, ...]:
    foot = cleat_to_floor(materials, brace)
    return (*foot.push, *foot.pull)


STRENGTHS: dict[JointId, Callable[[Materials, Brace], tuple[Strength, ...]]] = {
    JointId.HEAD: _head, JointId.CLEAT: lambda *of: (brace_to_cleat(*of)[0],), JointId.FLOOR: _floor,
}  # fmt: skip


def _count(job: Job, brace: Brace, joint: JointId, need: Pound) -> int | None:
    """How many a joint takes so that it lets the brace give what is needed; None where no number that has room does."""
    each = shared_by(job, brace, joint)
    most = min(most_in(job, brace, joint), next(row.most for row in remedies().values() if row.name == joint))
    least = whole_up(LEAST / each) * each
    for count in range(least, most + 1, each):
        if not over(need, _level(materials_of(job), evolve(brace, **{joint.value: count}), joint)):  # type: ignore[arg-type]
            return count
    return None
