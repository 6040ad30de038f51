"""What a plan takes in work: minutes for two people, by the one table of minutes or the crew's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from attrs import evolve, fields

from bracing.chain.room import joint_fastener, wood_blocks
from bracing.choosing import whole_up
from bracing.job.brace import JOINTS, Brace
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.minutes import Minutes
from bracing.job.wall import Wall
from bracing.said import Said
from bracing.sources import shipped
from bracing.units import Inch
from bracing.work.parts import cleats, cross_cleats
from bracing.work.remedies import NEW, SIDES, Change, differences, fastener_minutes, minutes

SAME_PLACE: Inch = 0.01
OF_MINUTES = "kit.minutes."
TYPED_SHOWN = 3  # of the rows a crew has typed, on a screen


def own_minutes(job: Job) -> dict[str, float]:
    """Give the rows of the table of minutes a crew has typed, each with its own minutes, in the order of the table.

    Args:
        job: the job.
    """
    typed = (one.name for one in fields(Minutes) if f"{OF_MINUTES}{one.name}" in job.declared)
    return {name: job.kit.minutes.of(name) for name in typed}


def by_own(job: Job) -> Said | None:
    """Say which minutes of the crew's own go into what work takes; None where the table alone does.

    Args:
        job: the job.
    """
    typed = [f"{name.replace('_', ' ')} {each:g}" for name, each in own_minutes(job).items()]
    more = [f"{len(typed) - TYPED_SHOWN} more"] if len(typed) > TYPED_SHOWN else []
    return Said("by-own-minutes", rows=(*typed[:TYPED_SHOWN], *more)) if typed else None


def work_said(job: Job, minutes: float) -> Said:
    """Say how much work something is.

    Args:
        job: the job.
        minutes: what it takes.
    """
    return Said("about-so-much-work", minutes=whole_up(minutes), own=by_own(job) or "")


def added_to(before: Job, after: Job) -> tuple[Change, ...]:
    """Give what a plan changes of a wall, and what it adds to its braces: ties, second studs, stiffeners.

    Args:
        before: the wall with what was chosen for it.
        after: the wall with the plan.
    """
    found = differences(evolve(before, braces=plain(after)), after, wall=NEW)
    return tuple(change for change in found if change.path != SIDES)  # cleats go with the braces


def plan_minutes(before: Job, after: Job) -> float:
    """Give the minutes two people take for a plan, from fetching the sticks to the last screw.

    Args:
        before: the wall with what was chosen for it.
        after: the wall with the plan.
    """
    bare = evolve(before, braces=plain(after))
    return braces_minutes(before, after) + sum(
        minutes(bare, change) for change in added_to(before, after) if change.mark is None
    )


def braces_minutes(before: Job, after: Job) -> float:
    """Give the minutes of a plan without what else is done to the wall.

    Args:
        before: the wall with what was chosen for it.
        after: the wall with the plan.
    """
    bare, wall, each = evolve(before, braces=plain(after)), after.wall, after.kit.minutes
    rows = wall.rows[len(before.wall.rows) :]
    return (
        each.fetch
        + sum(brace_minutes(after, brace) for brace in after.braces)
        + sum(minutes(bare, change) for change in added_to(before, after) if change.mark is not None)
        + sum(foot_minutes(after, brace) for brace in after.braces)
        + each.cut * max(0, len(set(map(kind_of, after.braces))) - 1)
        + each.beside * sum(neighbours(wall, (brace.stud_at for brace in after.braces)))
        + row_minutes(after) * len(rows)
    )


def row_minutes(job: Job) -> float:
    """Give the minutes of a row across the studs.

    Args:
        job: the job.
    """
    each = job.kit.minutes
    return each.row + each.row_at_stud * len(frame_wall(job.wall).full_height_studs)


def plain(job: Job) -> tuple[Brace, ...]:
    """Give the braces of a job without what is added to them: ties, second studs, stiffeners.

    Args:
        job: the job.
    """
    return tuple(evolve(brace, ties=0, stiffener="none", stud_doubled=False) for brace in job.braces)


def brace_minutes(job: Job, brace: Brace) -> float:
    """Give the minutes of one brace, plain: cut, carried, raised and fastened, with its cleats.

    Args:
        job: the job.
        brace: the brace.
    """
    each = job.kit.minutes
    joints = sum(getattr(brace, j) * fastener_minutes(job, joint_fastener(job, j)) for j in JOINTS)
    second = each.second_cleat * max(0, cleats(job) - 1)
    whole: float = (
        each.brace + joints - each.fastener * sum(shipped("remedies")["added_brace"]["counts"]) + second
    )
    return whole


def foot_minutes(job: Job, brace: Brace) -> float:
    """Give the minutes of what is put under the cleats of one brace: blocks between joists, or cross cleats.

    Args:
        job: the job.
        brace: the brace.
    """
    each = job.kit.minutes
    return each.block * wood_blocks(job, brace) + each.cross_cleat * cross_cleats(job, brace)


def kind_of(brace: Brace) -> tuple[str, Inch, Inch]:
    """Give what is cut alike: braces of one kind are marked and sawn together.

    Args:
        brace: the brace.
    """
    return brace.size, round(brace.head, 3), round(brace.set_back, 3)


def neighbours(wall: Wall, studs: Iterable[Inch]) -> Iterator[bool]:
    """Say of every two braces one after another whether they stand on neighbouring studs.

    Args:
        wall: the wall.
        studs: studs of the braces [in].
    """
    near = wall.studs.spacing + SAME_PLACE
    return (b - a <= near for a, b in pairwise(sorted(studs)))
