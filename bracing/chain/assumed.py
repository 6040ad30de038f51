"""What nobody declared: the low default it took, and what that costs.

One row a field. `usual` is what crews usually have; the cost is the limit gust with every undeclared field at its
usual value, less the limit with this one back at its low default.
"""

from __future__ import annotations

from collections.abc import Callable

from attrs import frozen

from bracing.chain.model import braced_studs
from bracing.errors import InputError
from bracing.job import fields
from bracing.job.fields import LOW, value_at, with_value
from bracing.job.framing import frame_wall
from bracing.job.job import RECORD, Job


@frozen
class Assumption:
    """One field that takes a low default unless declared.

    Attributes:
        field: dotted path; "brace[]" and "wall.opening[]" stand for each of them.
        usual: what crews usually have; it may be the low default.
        why: why the default is the low one, in plain words.
        matters: whether the field plays a part in this job.
        was: the low default of wall files of the edition before; None where it is the same.
        beside: what must be declared beside the usual value, by dotted path.
    """

    field: str
    usual: object
    why: str
    matters: Callable[[Job], bool]
    was: object = None
    beside: tuple[tuple[str, object], ...] = ()


def assumptions(job: type[Job] = Job) -> tuple[Assumption, ...]:
    """Give a row for every field whose low default counts unless it is declared, in the order of the classes.

    Args:
        job: the class of the job.

    Example:
        >>> assumptions()[0].field, assumptions()[0].usual
        ('wall.studs.size', '2x6')
    """
    lows = ((place.path, place.field.metadata[LOW]) for place in fields.places(job))
    return tuple(
        Assumption(path, low.usual, low.why, low.plays, low.was, low.beside) for path, low in lows
        if low is not None and not path.startswith(RECORD)
    )  # fmt: skip


ASSUMPTIONS = assumptions()
_HEAD_BY_LAP = "kit.head.joint"
# What the panel is not made of: its sticks, its loads and its heads stay as they are.
_BESIDE_PANEL = (
    "wall.plate.", "wall.top_plate.", "wall.opening[].header_", "floor.deck", "floor.joists.", "floor.slab.", "kit.",
    "brace[].", "pull_test[].",
)  # fmt: skip


def undeclared(job: Job) -> tuple[Assumption, ...]:
    """Give the rows this job leaves to their low default, in the order of the classes.

    Args:
        job: the job.
    """
    rows = ASSUMPTIONS if type(job) is Job else assumptions(type(job))
    return tuple(row for row in rows if row.matters(job) and places(job, row))


def keeps_panel(row: Assumption) -> bool:
    """Whether the panel of a job is the same whatever this field holds; only strengths and springs differ then.

    Args:
        row: the row.
    """
    return row.field.startswith(_BESIDE_PANEL)


def places(job: Job, row: Assumption) -> tuple[str, ...]:
    """Give the dotted paths at which a row was left undeclared; none where it was declared everywhere.

    Args:
        job: the job.
        row: the row.
    """
    if row.field == _HEAD_BY_LAP and job.kit.head.joint != "plumb":
        return ()  # a declared lap side says it
    side, is_return, _ = row.field.removeprefix("wall.").partition("_return.")
    if is_return and (getattr(job.wall, f"{side}_end") != "return" or side in job.ends_met):
        return ()
    group, each, rest = row.field.partition("[]")
    if not each:
        return () if row.field in job.declared else (row.field,)
    items = value_at(job, group)
    assert isinstance(items, tuple)
    paths = (f"{group}[{k}]{rest}" for k in range(len(items)))
    return tuple(path for path in paths if path not in job.declared)


def at_usual(job: Job, rows: tuple[Assumption, ...]) -> Job:
    """Give the job with every undeclared field at what crews usually have, where its braces can then still stand.

    Args:
        job: the job.
        rows: the undeclared rows.
    """
    for row in rows:
        changed = job
        for path, value in (*row.beside, *((path, row.usual) for path in places(job, row))):
            changed = with_value(changed, path, value)
        if keeps_panel(row) or _stands(changed):
            job = changed
    return job


def _stands(job: Job) -> bool:
    """Whether a wall can be framed so, with a stud at each brace."""
    try:
        braced_studs(job, frame_wall(job.wall))
    except InputError:
        return False
    return True
