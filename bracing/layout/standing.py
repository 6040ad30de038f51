"""A layout made good: its joints mended until it stands as drawn, one stud off any mark, and with any brace gone."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from bracing.chain.evaluate import keeping
from bracing.chain.model import Model, build_model, with_job
from bracing.choosing import sorted_by
from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.layout.bench import Bench
from bracing.layout.finish import finish, least_fasteners
from bracing.layout.makes import Recipe, with_recipe
from bracing.layout.walk import middle_of
from bracing.layout.yard import Yard
from bracing.units import Mph

Ints = NDArray[np.intp]

ROUNDS = 4
COUNTS = ("head_fasteners", "cleat_fasteners", "floor_fasteners")


def placed(yard: Yard, recipe: Recipe, *, bench: Bench, layout: Ints) -> Job:
    """Give the job with a layout's braces, marked from the middle outward, two fasteners a joint.

    Args:
        yard: the wall.
        recipe: the recipe.
        bench: its bench.
        layout: makes, (n,).
    """
    start = middle_of(yard.job.wall)
    makes = sorted_by(
        (bench.makes[k] for k in layout), lambda m: abs(m.brace.stud_at - start), lambda m: m.brace.stud_at
    )
    job = with_recipe(yard.job, recipe)
    braces = tuple(least_fasteners(evolve(m.brace, mark=f"B{k + 1}")) for k, m in enumerate(makes))
    return evolve(job, braces=braces)


def made_good(yard: Yard, job: Job) -> Job | None:
    """Mend a layout until it stands; None where it cannot, or where what is on hand does not reach.

    Args:
        yard: the wall.
        job: the job with its braces.
    """
    if not yard.on_hand(job):
        return None
    alone = finish(build_model(job, thunderstorm=yard.thunderstorm), yard.gust)
    if not alone.stands:
        return None
    standing = list(_must_stand(yard, alone.job))
    job = alone.job
    for _ in range(ROUNDS):
        before = job
        for model, gust in standing:
            finished = finish(with_job(model, with_counts(model.job, job)), gust)
            if not finished.stands:
                return None
            job = with_counts(job, finished.job)
        if job == before:
            return job if yard.on_hand(job) else None
    return None


def _must_stand(yard: Yard, job: Job) -> Iterator[tuple[Model, Mph]]:
    """Every set of braces that must stand, and at which gust."""
    moved = one_stud_off(yard, job)
    count = len(job.braces)
    model = build_model(
        evolve(job, braces=(*job.braces, *(brace for _, brace in moved))), thunderstorm=yard.thunderstorm
    )
    yield keeping(model, list(range(count))), yard.gust
    for n, (k, _) in enumerate(moved):
        yield keeping(model, [count + n if i == k else i for i in range(count)]), yard.gust
    if yard.one_missing is not None:
        for k in range(count):
            yield keeping(model, [i for i in range(count) if i != k]), yard.one_missing


def one_stud_off(yard: Yard, job: Job) -> tuple[tuple[int, Brace], ...]:
    """Every brace on the next stud, left or right: which brace, and the brace moved.

    Args:
        yard: the wall.
        job: the job with its braces.
    """
    full = [stud.x for stud in yard.framing.full_height_studs]
    taken = {brace.stud_at for brace in job.braces}
    found = []
    for k, brace in enumerate(job.braces):
        at = full.index(brace.stud_at)
        for other in full[max(0, at - 1) : at] + full[at + 1 : at + 2]:
            if other not in taken:
                head = min(brace.head, yard.job.wall.height_at(other))
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
        for name in COUNTS
    }
    braces = tuple(evolve(brace, **most) for brace in job.braces)  # type: ignore[arg-type]
    return evolve(job, braces=braces, wall=other.wall)
