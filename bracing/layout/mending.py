"""What more fasteners, nails or straps can mend is mended here, link by link, until the chain is within."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.evaluate import evaluate, keeping
from bracing.chain.links import Link
from bracing.chain.model import Model, build_model, with_job
from bracing.chain.room import most_in, shared_by
from bracing.choosing import sorted_by
from bracing.job.brace import IN_BLOCK, JOINTS, Brace, JointId
from bracing.job.fields import with_value
from bracing.job.job import Job
from bracing.layout.candidates import Scheme, with_scheme
from bracing.layout.grid import Pool
from bracing.layout.outward import middle_of
from bracing.layout.space import SearchSpace
from bracing.units import Mph
from bracing.work.parts import enough_sticks
from bracing.work.remedies import (
    NEW,
    OPENINGS,
    UNDER_EACH,
    WHOLE,
    Change,
    apply,
    differences,
    enough_blocks,
    options_for,
    remedies,
    step,
    undone,
)

ROUNDS = 24
STRAP = "wall.plate.strap_at_brace_lb"
LEAST = 2  # fasteners in a joint to start mending from


@frozen(eq=False)
class Finished:
    """A layout with its joints made good.

    Attributes:
        job: the job with braces, fastener counts, straps and spacings.
        stuck: the links nothing here can mend.
        held: the braces hold every motion of the wall.
        rounds: how often it was looked at.
    """

    job: Job
    stuck: tuple[Link, ...]
    held: bool = True
    rounds: int = 1

    @property
    def stands(self) -> bool:
        """Whether it is within."""
        return self.held and not self.stuck


def finish(model: Model, gust: Mph) -> Finished:
    """Mend what can be mended. People still about are planned for, so that they need not be out long before.

    Args:
        model: the wall with its braces.
        gust: the gust asked [mph].
    """
    over: tuple[Link, ...] = ()
    for k in range(ROUNDS):
        found = evaluate(model.crowded, gust)
        over = found.over or (evaluate(model, gust).over if found.held else ())
        if not over:  # links of a wall that can still move carry nothing
            return Finished(model.job, (), held=found.held, rounds=k + 1)
        mended, stuck = _mend(model.job, over)
        if stuck:
            return Finished(model.job, stuck, rounds=k + 1)
        if mended == model.job:
            break
        model = with_job(model, mended)
    return Finished(model.job, over, rounds=ROUNDS)


def _mend(job: Job, over: tuple[Link, ...]) -> tuple[Job, tuple[Link, ...]]:
    """Take the first remedy of every link that is over, each once, or once an opening; and say what has none left.

    What another remedy of the same round has changed already, such as the fasteners at a head, is looked at again; a
    link that one of them mends too, as a strap does, waits for the next round.
    """
    rows, worst = remedies(), dict[object, Link]()
    at_openings = {name for row in rows.values() if row.path.startswith(OPENINGS) for name in row.mends}
    for link in over:  # worst first
        name = link.link.forward
        worst.setdefault((name, link.mark is None, link.x if name in at_openings else None), link)
    mended, stuck, taken, passed_by = job, [], set(), set[str]()
    for link in worst.values():
        first = next(options_for(job, link, wall=NEW), None)
        if first is None:
            stuck.append(link)
            continue
        if link.link.forward in passed_by:
            continue
        what = tuple(change.path for change in first), WHOLE.get(link.link)
        if what not in taken:
            taken.add(what)
            mended = apply(mended, step(mended, rows[first[0].kind], link, wall=NEW))
            passed_by |= set(rows[first[0].kind].mends) - at_openings
    return mended, tuple(stuck)


def least_fasteners(job: Job, brace: Brace) -> Brace:
    """Give a brace with the fewest fasteners to start mending from: two a joint, or one in each that shares its load.

    Args:
        job: the job.
        brace: the brace.
    """
    head, cleat, floor = (
        min(max(LEAST, shared_by(job, brace, joint)), most_in(job, brace, joint)) for joint in JOINTS
    )
    return evolve(brace, head_fasteners=head, cleat_fasteners=cleat, floor_fasteners=floor)


Ints = NDArray[np.intp]

STANDING_ROUNDS = 4
# Layouts' worth of a wall's panel, and of its whole chain, with people about and without, with so much for each brace.
A_MODEL, A_CHAIN, A_CHAIN_BRACE = 1000.0, 500.0, 25.0  # measured
ON_HAND = 300.0  # layouts' worth of counting a layout against what is on hand; guessed
Spend = Callable[[float, int], None]


def _nothing(layouts: float, braces: int) -> None:
    """Keep no account."""


def _worth(job: Job) -> float:
    return A_CHAIN + A_CHAIN_BRACE * len(job.braces)


def placed(space: SearchSpace, scheme: Scheme, *, pool: Pool, layout: Ints) -> Job:
    """Give the job with a layout's braces, marked from the middle outward, two fasteners a joint.

    Args:
        space: the wall.
        scheme: the scheme.
        pool: its pool.
        layout: candidates, (n,).
    """
    start = middle_of(space.job.wall)
    candidates = sorted_by(
        (pool.candidates[k] for k in layout),
        lambda m: abs(m.brace.stud_at - start),
        lambda m: m.brace.stud_at,
    )
    job = with_scheme(space.job, scheme)
    braces = tuple(least_fasteners(job, evolve(m.brace, mark=f"B{k + 1}")) for k, m in enumerate(candidates))
    return evolve(job, braces=braces)


def standing_alone(space: SearchSpace, job: Job, *, spend: Spend = _nothing) -> Job | None:
    """Mend a layout until it stands as drawn; None where it cannot, or where what is on hand does not reach.

    Args:
        space: the wall.
        job: the job with its braces.
        spend: told what it is worth, in layouts, and its braces.
    """
    count = len(job.braces)
    if space.on_hand is not enough_sticks:
        spend(ON_HAND, count)
    if not space.on_hand(with_enough_blocks(job)):
        return None
    alone = finish(build_model(job, thunderstorm=space.thunderstorm), space.gust)
    spend(A_MODEL + _worth(job) * alone.rounds, count)
    return alone.job if alone.stands else None


def standing_moved(
    space: SearchSpace, job: Job, *, spend: Spend = _nothing, could: Callable[[Job], bool] = lambda _: True
) -> Job | None:
    """Mend a layout that stands as drawn until it stands with a brace off its mark, or gone, too; None where it cannot.

    Args:
        space: the wall.
        job: the job with its braces, as it stands as drawn.
        spend: told what it is worth, in layouts, and its braces.
        could: asked as it is mended: where it says no the layout is given up.
    """
    count = len(job.braces)
    spend(A_MODEL, count)
    # Those likely to ask most come first: what is put in for them the others need not be looked at for twice.
    standing = sorted_by(_must_stand(space, job), lambda each: -_most_worked(each[0].job))
    stood: dict[int, Job] = {}
    for _ in range(STANDING_ROUNDS):
        before = job
        for k, (model, gust) in enumerate(standing):
            now = with_counts(model.job, job)
            if stood.get(k) == now:  # nothing was put in since
                continue
            finished = finish(with_job(model, now), gust)
            spend(_worth(now) * finished.rounds, count)
            if not finished.stands:
                return None
            stood[k] = finished.job
            job = with_counts(job, finished.job)
            if not could(job):
                return None
        if job == before:
            job = _with_few_blocks(with_enough_blocks(_without_bypassed(space, job, standing)), standing)
            return job if space.on_hand(job) else None
    return None


def _most_worked(job: Job) -> float:
    """About the moment of the wind on the brace that takes most of it, as height squared times its stretch of wall."""
    wall, places = job.wall, sorted(brace.stud_at for brace in job.braces)
    edges = [0.0, *((a + b) / 2.0 for a, b in pairwise(places)), wall.length]
    stretches = zip(places, pairwise(edges), strict=True)
    return max((wall.height_at(x) ** 2 * (b - a) for x, (a, b) in stretches), default=0.0)


def with_enough_blocks(job: Job) -> Job:
    """Give a layout with one block under every fastener of a cleat, and no more, unless it is declared how many.

    Args:
        job: the job with its braces.
    """
    on_blocks = [brace for brace in job.braces if brace.foot_on == IN_BLOCK]
    if not on_blocks or UNDER_EACH in job.declared:
        return job
    return with_value(job, UNDER_EACH, enough_blocks(job, on_blocks))


def with_least_blocks(job: Job) -> Job:
    """Give a layout with the fewest blocks that have room for the fasteners of its cleats, unless they are declared.

    Args:
        job: the job with its braces.
    """
    enough = with_enough_blocks(job)
    if enough is job:
        return job
    for many in range(1, enough.floor.blocks.under_each_cleat):
        fewer = with_value(job, UNDER_EACH, many)
        on_blocks = (brace for brace in fewer.braces if brace.foot_on == IN_BLOCK)
        if all(most_in(fewer, brace, JointId.FLOOR) >= brace.floor_fasteners for brace in on_blocks):
            return fewer
    return enough


def _with_few_blocks(job: Job, standing: list[tuple[Model, Mph]]) -> Job:
    """Two fasteners may stand in one block of a wide cleat: the fewest blocks with which the layout still stands."""
    least = with_least_blocks(job)
    for many in range(least.floor.blocks.under_each_cleat, job.floor.blocks.under_each_cleat):
        fewer = with_value(job, UNDER_EACH, many)
        if all(
            _stands_as_it_is(with_job(model, with_counts(model.job, fewer)), gust) for model, gust in standing
        ):
            return fewer
    return job


def _without_bypassed(space: SearchSpace, job: Job, standing: list[tuple[Model, Mph]]) -> Job:
    """Take back what the wall was given along its plate before a strap came that carries the lift past it."""
    for change in _perhaps_bypassed(space, job):
        less = undone(job, [change])
        if all(
            _stands_as_it_is(with_job(model, with_counts(model.job, less)), gust) for model, gust in standing
        ):
            job = less
    return job


def _perhaps_bypassed(space: SearchSpace, job: Job) -> tuple[Change, ...]:
    """What was changed along the plate, where a strap came too."""
    if job.wall.plate.strap_at_brace_lb <= space.job.wall.plate.strap_at_brace_lb:
        return ()
    every = differences(space.job, job, wall=NEW)
    return tuple(change for change in every if change.path.startswith("wall.plate.") and change.path != STRAP)


def bypassed(space: SearchSpace, job: Job) -> Job:
    """Give a layout without all a strap may carry the lift past, whether it stands so or not.

    Args:
        space: the wall.
        job: the job with its braces.
    """
    return undone(job, _perhaps_bypassed(space, job))


def _stands_as_it_is(model: Model, gust: Mph) -> bool:
    found = evaluate(model.crowded, gust)
    return found.held and not found.over and not evaluate(model, gust).over


def _must_stand(space: SearchSpace, job: Job) -> Iterator[tuple[Model, Mph]]:
    """Every set of braces that must stand, and at which gust."""
    moved = one_stud_off(space, job)
    count = len(job.braces)
    model = build_model(
        evolve(job, braces=(*job.braces, *(brace for _, brace in moved))), thunderstorm=space.thunderstorm
    )
    yield keeping(model, list(range(count))), space.gust
    for n, (k, _) in enumerate(moved):
        yield keeping(model, [count + n if i == k else i for i in range(count)]), space.gust
    if space.one_missing is not None:
        for k in range(count):
            yield keeping(model, [i for i in range(count) if i != k]), space.one_missing


def one_stud_off(space: SearchSpace, job: Job) -> tuple[tuple[int, Brace], ...]:
    """Every brace on the next stud, left or right: which brace, and the brace moved.

    Args:
        space: the wall.
        job: the job with its braces.
    """
    full = [stud.x for stud in space.framing.full_height_studs]
    taken = {brace.stud_at for brace in job.braces}
    found = []
    for k, brace in enumerate(job.braces):
        at = full.index(brace.stud_at)
        for other in full[max(0, at - 1) : at] + full[at + 1 : at + 2]:
            if other not in taken:
                head = min(brace.head, space.job.wall.height_at(other))
                found.append((k, evolve(brace, stud_at=other, head=head)))
    return tuple(found)


def with_counts(job: Job, other: Job) -> Job:
    """Give a job's braces with the greatest fastener counts of another job, and the other's wall.

    Every brace of a layout is fastened alike, so that nobody mixes them up.

    Args:
        job: gives the braces and their places.
        other: gives the counts, if greater, and straps and spacings.
    """
    most = {
        name: max((getattr(b, name) for one in (job, other) for b in one.braces), default=0)
        for name in JOINTS
    }
    braces = tuple(evolve(brace, **most) for brace in job.braces)  # type: ignore[arg-type]
    return evolve(job, braces=braces, wall=other.wall, kit=other.kit, floor=other.floor)
