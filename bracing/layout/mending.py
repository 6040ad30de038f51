"""What more fasteners, nails or straps can mend is mended here, link by link, until the chain is within."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.evaluate import evaluate, keeping
from bracing.chain.links import Link
from bracing.chain.model import Model, build_model, with_job
from bracing.chain.room import CLEAT, FLOOR, HEAD, JOINTS, most_in
from bracing.chain.wall import SPREAD_HEAD
from bracing.choosing import sorted_by, whole_up
from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.layout.candidates import Recipe, full_joint, with_recipe
from bracing.layout.grid import Bench, Yard
from bracing.layout.outward import middle_of
from bracing.units import Inch, Mph
from bracing.work.remedies import asked_for, strap_for

ROUNDS = 24
MOST_EXTRA = 24
PLATE_SPACINGS = (24.0, 16.0, 12.0, 8.0, 6.0, 4.0, 3.0)
NAIL_SPACINGS = (12.0, 6.0, 4.0, 3.0)
MOST_END_NAILS = 8
MOST_HEADER_NAILS = 16

Remedy = Callable[[Job, Link], "Job | None"]


@frozen(eq=False)
class Finished:
    """A layout with its joints made good.

    Attributes:
        job: the job with braces, fastener counts, straps and spacings.
        stuck: the links nothing here can mend.
        held: the braces hold every motion of the wall.
    """

    job: Job
    stuck: tuple[Link, ...]
    held: bool = True

    @property
    def stands(self) -> bool:
        """Whether it is within."""
        return self.held and not self.stuck


def finish(model: Model, gust: Mph) -> Finished:
    """Mend what can be mended.

    Args:
        model: the wall with its braces.
        gust: the gust asked [mph].
    """
    over: tuple[Link, ...] = ()
    for _ in range(ROUNDS):
        found = evaluate(model, gust)
        over = found.over
        if not over:  # links of a wall that can still move carry nothing
            return Finished(model.job, (), held=found.held)
        mended, stuck = _mend(model.job, over)
        if stuck:
            return Finished(model.job, stuck)
        if mended == model.job:
            break
        model = with_job(model, mended)
    return Finished(model.job, over)


def _mend(job: Job, over: tuple[Link, ...]) -> tuple[Job, tuple[Link, ...]]:
    """Apply every remedy called for, each once, or once an opening, for the worst it mends; and what has none left.

    What another remedy of the same round has changed already, such as the fasteners at a head, is looked at again.
    """
    worst: dict[tuple[str | Remedy, Inch | None], Link] = {}
    for link in over:  # worst first
        name = link.link.removesuffix(", in reverse")
        remedy = REMEDIES.get(name)
        worst.setdefault((remedy or name, link.x if remedy is _header_nails else None), link)
    mended, stuck = job, []
    for (mends, _), link in worst.items():
        if isinstance(mends, str) or mends(job, link) is None:
            stuck.append(link)
        else:
            mended = mends(mended, link) or mended
    return mended, tuple(stuck)


def _braces(job: Job, **counts: int) -> Job:
    return evolve(job, braces=tuple(evolve(brace, **counts) for brace in job.braces))  # type: ignore[arg-type]


def _more(
    job: Job, link: Link, joint: str, most: Callable[[Job, Brace, str], int] = full_joint
) -> Job | None:
    """More fasteners in a joint of every brace, as far as every one has room."""
    fits, now = (
        min(most(job, b, joint) for b in job.braces),
        max(getattr(b, joint) for b in job.braces),
    )
    wanted = max(now + 1, whole_up(now * min(link.ratio, 4.0)))
    return None if now >= fits else _braces(job, **{joint: min(wanted, fits)})


def _head(job: Job, link: Link) -> Job | None:
    return _more(job, link, HEAD)


def _spread_head(job: Job, link: Link) -> Job | None:
    """Fasteners out to the stud's edges, where every head has room for so many; more than that help no further."""
    now = max(brace.head_fasteners for brace in job.braces)
    fits = min(most_in(job, brace, HEAD) for brace in job.braces) >= SPREAD_HEAD
    return _braces(job, head_fasteners=SPREAD_HEAD) if now < SPREAD_HEAD and fits else None


def _cleat(job: Job, link: Link) -> Job | None:
    return _more(job, link, CLEAT)


def _floor(job: Job, link: Link) -> Job | None:
    return _more(job, link, FLOOR, most_in)


def _plate_at_brace(job: Job, link: Link) -> Job | None:
    """More fasteners through the plate beside each brace; then a strap that takes the lift past the plate."""
    plate = job.wall.plate
    now = plate.extra.at_each_brace
    if now < MOST_EXTRA:
        wanted = min(MOST_EXTRA, max(now + 2, whole_up(now * min(link.ratio, 4.0))))
        return _plate(job, extra=evolve(plate.extra, at_each_brace=wanted))
    # This link says a share and no pounds: any strap takes the lift past it, and is then made as strong as it must be.
    return None if plate.strap_at_brace_lb > 0.0 else _plate(job, strap_at_brace_lb=asked_for(1.0))


def _plate(job: Job, **fields: object) -> Job:
    return evolve(job, wall=evolve(job.wall, plate=evolve(job.wall.plate, **fields)))  # type: ignore[arg-type]


def _strap(job: Job, link: Link) -> Job | None:
    """A strap from stud to floor framing at each brace, for the whole lift; another link may have asked for it."""
    wanted = strap_for(link.demand)
    if wanted is None:
        return None
    return _plate(job, strap_at_brace_lb=max(wanted, job.wall.plate.strap_at_brace_lb))


def _top_joint(job: Job, link: Link) -> Job | None:
    """At a brace a strap or screws from plate to stud; elsewhere more end nails."""
    top = job.wall.top_plate
    if link.mark is not None:
        wanted = strap_for(link.demand)
        if wanted is None:
            return None
        return evolve(job, wall=evolve(job.wall, top_plate=evolve(top, strap_at_brace_lb=wanted)))
    if top.end_nails >= MOST_END_NAILS:
        return None
    return evolve(job, wall=evolve(job.wall, top_plate=evolve(top, end_nails=top.end_nails + 1)))


def _spliced(job: Job, link: Link) -> Job | None:
    top = job.wall.top_plate
    return None if top.spliced else evolve(job, wall=evolve(job.wall, top_plate=evolve(top, spliced=True)))


def _closer(now: float, choices: tuple[float, ...]) -> float | None:
    nearer = [choice for choice in choices if choice < now - 1e-9]
    return nearer[0] if nearer else None


def _plate_spacing(job: Job, link: Link) -> Job | None:
    spacing = _closer(job.wall.plate.spacing, PLATE_SPACINGS)
    return None if spacing is None else _plate(job, spacing=spacing)


def _nails(link: Link, now: float) -> float | None:
    """The next closer spacing of sheathing nails; none where no sheathing is nailed there at all."""
    return _closer(now, NAIL_SPACINGS) if link.capacity > 0.0 else None


def _field_nails(job: Job, link: Link) -> Job | None:
    spacing = _nails(link, job.wall.plate.sheathing_field_spacing)
    if spacing is None:
        return _strap(job, link) if link.link == "stud to sheathing" else None
    return _plate(job, sheathing_field_spacing=spacing)


def _foot_nails(job: Job, link: Link) -> Job | None:
    spacing = _nails(link, job.wall.plate.sheathing_spacing)
    return _strap(job, link) if spacing is None else _plate(job, sheathing_spacing=spacing)


def _header_nails(job: Job, link: Link) -> Job | None:
    openings = []
    for opening in job.wall.openings:
        if link.x is None or not opening.left <= link.x <= opening.right:
            openings.append(opening)
            continue
        wanted = max(opening.header_nails + 1, whole_up(opening.header_nails * min(link.ratio, 8.0)))
        if wanted > MOST_HEADER_NAILS:
            return None
        openings.append(evolve(opening, header_nails=wanted))
    return evolve(job, wall=evolve(job.wall, openings=tuple(openings)))


REMEDIES: dict[str, Remedy] = {
    "head joint": _head,
    "stud splitting at the head": _spread_head,
    "brace to cleat": _cleat,
    "cleat to floor": _floor,
    "plate shear and uplift": _plate_at_brace,
    "plate shear": _plate_spacing,
    "sheathing to plate": _foot_nails,
    "sheathing to rim": _foot_nails,
    "stud to sheathing": _field_nails,
    "strap at the brace": _strap,
    "top plate to stud": _top_joint,
    "top plate bending": _spliced,
    "header end": _header_nails,
    "sill end": _header_nails,
    "sheathing off the studs": _field_nails,
}


def least_fasteners(brace: Brace) -> Brace:
    """Give a brace with the fewest fasteners to start mending from: two a joint.

    Args:
        brace: the brace.
    """
    return evolve(brace, head_fasteners=2, cleat_fasteners=2, floor_fasteners=2)


Ints = NDArray[np.intp]

STANDING_ROUNDS = 4


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
    for _ in range(STANDING_ROUNDS):
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
        for name in JOINTS
    }
    braces = tuple(evolve(brace, **most) for brace in job.braces)  # type: ignore[arg-type]
    return evolve(job, braces=braces, wall=other.wall)
