"""What a plan takes in work: minutes for two people, by the one table of remedies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from attrs import evolve

from bracing.chain.room import wood_blocks
from bracing.job.brace import JOINTS, Brace
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.sources import shipped
from bracing.units import Inch
from bracing.work.parts import cleats, cross_cleats
from bracing.work.remedies import NEW, SIDES, Change, RemedyId, differences, minutes, remedies

SAME_PLACE: Inch = 0.01


def each_minutes(name: str) -> float:
    """Give a row of the table of what a plan takes, in minutes for two people.

    Args:
        name: its name there.
    """
    return float(shipped("remedies")["plan"][name])


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
    bare, wall = evolve(before, braces=plain(after)), after.wall
    rows = wall.rows[len(before.wall.rows) :]
    across = each_minutes("row") + each_minutes("row_at_stud") * len(frame_wall(wall).full_height_studs)
    return (
        float(shipped("remedies")["hands_minutes"])
        + sum(brace_minutes(after, brace) for brace in after.braces)
        + sum(minutes(bare, change) for change in added_to(before, after) if change.mark is not None)
        + sum(foot_minutes(after, brace) for brace in after.braces)
        + each_minutes("cut") * max(0, len(set(map(kind_of, after.braces))) - 1)
        + each_minutes("beside") * sum(neighbours(wall, (brace.stud_at for brace in after.braces)))
        + across * len(rows)
    )


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
    added = shipped("remedies")["added_brace"]
    more = sum(getattr(brace, joint) for joint in JOINTS) - sum(added["counts"])
    second = remedies()[RemedyId.SECOND_CLEAT].minutes * max(0, cleats(job) - 1)
    whole: float = added["minutes"] + each_minutes("fastener") * more + second
    return whole


def foot_minutes(job: Job, brace: Brace) -> float:
    """Give the minutes of what is put under the cleats of one brace: blocks between joists, or cross cleats.

    Args:
        job: the job.
        brace: the brace.
    """
    crossed = each_minutes("cross_cleat") * cross_cleats(job, brace)
    return each_minutes("block") * wood_blocks(job, brace) + crossed


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
