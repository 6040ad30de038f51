"""What nobody declared: the low default it took, and what that costs.

One row a field. `usual` is what crews usually have; the cost is the limit gust with every undeclared field at its
usual value, less the limit with this one back at its low default.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from attrs import evolve, frozen

from bracing.chain.model import braced_studs
from bracing.errors import InputError
from bracing.job.floor import Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job


@frozen
class Assumption:
    """One field that takes a low default unless declared.

    Attributes:
        field: dotted path; "brace[]" and "wall.opening[]" stand for each of them.
        usual: what crews usually have; None where the low default is usual too.
        why: why the default is the low one, in plain words.
        matters: whether the field plays a part in this job.
    """

    field: str
    usual: object
    why: str
    matters: Callable[[Job], bool] = lambda _: True


def _deck(job: Job) -> bool:
    return job.floor.kind == "deck"


def _in_joist(job: Job) -> bool:
    return _deck(job) and any(brace.into_joist for brace in job.braces)


def _sawn(job: Job) -> bool:
    return _in_joist(job) and (job.floor.joists or Joists()).kind == "sawn"


def _raised(job: Job) -> bool:
    return job.floor.height_above_ground > 0.0


def _sheathed(job: Job) -> bool:
    return job.wall.sheathed


def _slab(job: Job) -> bool:
    return job.floor.kind == "slab"


def _plate_nails(job: Job) -> bool:
    return job.floor.kind != "slab"


YES = True

ASSUMPTIONS: tuple[Assumption, ...] = (
    Assumption("wall.studs.size", "2x6", "the weaker usual stud"),
    Assumption("wall.studs.spacing", 16.0, "the wider usual spacing"),
    Assumption("wall.studs.species", "spruce-pine-fir", "the weakest common species: read the stamp"),
    Assumption("wall.studs.grade", "No.2", "the lowest common grade: read the stamp"),
    Assumption("wall.moisture", "dry", "framing outdoors counts as wet unless kept dry from nailing on"),
    Assumption("wall.layers", None, "weighed as bare framing, full sail; layers add weight and nailing"),
    Assumption("wall.plate.state", "final", "only what is declared beside the braces is counted", _plate_nails),
    Assumption("wall.plate.fastener", "16d common", "the weakest usual nail", _plate_nails),
    Assumption("wall.plate.spacing", 16.0, "the widest usual spacing", _plate_nails),
    Assumption("wall.plate.into_framing", YES, "nails may miss the joists and reach the deck only", _deck),
    Assumption("wall.plate.sheathing_laps", "plate", "nothing ties the studs down until nailed", _sheathed),
    Assumption("wall.plate.sheathing_fastener", "8d common", "the weakest usual sheathing nail", _sheathed),
    Assumption("wall.plate.sheathing_spacing", 6.0, "the widest usual spacing", _sheathed),
    Assumption("wall.plate.sheathing_field_spacing", 6.0, "the widest usual spacing", _sheathed),
    Assumption("wall.top_plate.end_nails", 3, "the fewest usual end nails"),
    Assumption("wall.top_plate.end_nail", "16d common", "the weakest usual nail"),
    Assumption("wall.top_plate.strap_at_brace_lb", None, "a strap counts only where it is declared"),
    Assumption("wall.top_plate.spliced", YES, "a joint may fall anywhere: one ply counts"),
    Assumption("wall.opening[].header", "2-2x8", "the least usual header"),
    Assumption("wall.opening[].header_nails", 4, "the fewest usual nails"),
    Assumption("wall.opening[].header_fastener", "16d common", "the weakest usual nail"),
    Assumption("wall.opening[].covered", None, "the full sail"),
    Assumption("floor.kind", None, "the usual floor; a slab or the ground must be said"),
    Assumption("floor.deck", None, "the usual subfloor panel", _deck),
    Assumption("floor.height_above_ground", None, "a raised deck counts in the wind height"),
    Assumption("floor.open_below", None, "worked out with and without a gap under the wall, the worse counts", _raised),
    Assumption("floor.joists.kind", None, "the usual joist; I-joists and trusses must be said", _in_joist),
    Assumption("floor.joists.size", "2x10", "the least usual joist", _sawn),
    Assumption("floor.joists.span", 144.0, "the longest usual span", _sawn),
    Assumption("floor.joists.species", "spruce-pine-fir", "the weakest common species", _in_joist),
    Assumption("floor.joists.grade", "No.2", "the lowest common grade", _sawn),
    Assumption("floor.slab.tension_lb", None, "no anchor counts without a report or pull test", _slab),
    Assumption("floor.slab.shear_lb", None, "no anchor counts without a report or pull test", _slab),
    Assumption("site.exposure", None, "open country; shelter needs a reason"),
    Assumption("site.kzt", None, "flat ground; on a hill or ridge the wind is faster: give kzt"),
    Assumption("kit.species", "spruce-pine-fir", "the weakest common species: read the stamp"),
    Assumption("kit.grade", "No.2", "the lowest common grade: read the stamp"),
    Assumption("kit.head.joint", "lapped", "a plumb-cut head holds nothing in pull"),
    Assumption("kit.head.fastener", "structural screw 0.22x3", "the weakest usual nail"),
    Assumption("kit.cleat.size", None, "the usual cleat"),
    Assumption("kit.cleat.lie", None, "the usual way; on edge must be said"),
    Assumption("kit.cleat.sides", 2, "a brace beside one cleat rolls it"),
    Assumption("kit.cleat.length", 36.0, "the shortest usual cleat"),
    Assumption("kit.cleat.brace_fastener", "structural screw 0.22x3", "the weakest usual nail"),
    Assumption("kit.cleat.floor_fastener", "structural screw 0.22x5", "the weakest usual nail"),
    Assumption("brace[].size", "2x6", "the smaller usual stick"),
    Assumption("brace[].ties", 1, "a tie row counts only where it is anchored"),
    Assumption("brace[].head_fasteners", 4, "one fastener lets it swing; more must be said"),
    Assumption("brace[].cleat_fasteners", 4, "more must be said"),
    Assumption("brace[].floor_fasteners", 5, "more must be said"),
    Assumption("brace[].into_joist", YES, "fasteners not known to be in a joist hold in the deck panel alone", _deck),
)  # fmt: skip

_HEAD_BY_LAP = "kit.head.joint"
# What the panel is not made of: its sticks, its loads and its heads stay as they are.
_BESIDE_PANEL = (
    "wall.plate.", "wall.top_plate.", "wall.opening[].header_", "floor.deck", "floor.joists.", "floor.slab.", "kit.",
    "brace[].",
)  # fmt: skip


def undeclared(job: Job) -> tuple[Assumption, ...]:
    """Give the rows of the table this job leaves to their low default, in the table's order.

    Args:
        job: the job.
    """
    return tuple(row for row in ASSUMPTIONS if row.matters(job) and places(job, row))


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
    for group, count in (("brace[]", len(job.braces)), ("wall.opening[]", len(job.wall.openings))):
        if row.field.startswith(group):
            stem = group[:-2]
            paths = (row.field.replace(group, f"{stem}[{k}]") for k in range(count))
            return tuple(path for path in paths if path not in job.declared)
    return () if row.field in job.declared else (row.field,)


def value_at(job: Job, path: str) -> object:
    """Give the value of a field by its dotted path.

    Args:
        job: the job.
        path: such as "wall.plate.spacing" or "brace[0].ties".
    """
    value: object = job
    for step in _steps(path):
        if value is None:
            value = Joists()
        value = value[step] if isinstance(step, int) else getattr(value, step)  # type: ignore[index]
    return value


def with_value(job: Job, path: str, value: object) -> Job:
    """Give the job with one field changed.

    Args:
        job: the job.
        path: dotted path.
        value: the new value.
    """
    changed = _replaced(job, _steps(path), value)
    assert isinstance(changed, Job)
    return changed


_PLURAL = {"brace": "braces", "opening": "openings", "row": "rows"}


def _steps(path: str) -> list[str | int]:
    steps: list[str | int] = []
    for part in path.split("."):
        name, bracket, index = part.partition("[")
        steps.append(_PLURAL.get(name, name) if bracket else name)
        if bracket:
            steps.append(int(index.rstrip("]")))
    return steps


def _replaced(thing: Any, steps: list[str | int], value: object) -> object:  # noqa: ANN401
    if not steps:
        return value
    first, rest = steps[0], steps[1:]
    if isinstance(first, int):
        assert isinstance(thing, tuple)
        return (*thing[:first], _replaced(thing[first], rest, value), *thing[first + 1 :])
    inner = getattr(thing, first)
    if inner is None and rest:
        inner = Joists()  # the only part that may be left out whole
    return evolve(thing, **{first: _replaced(inner, rest, value)})


def at_usual(job: Job, rows: tuple[Assumption, ...]) -> Job:
    """Give the job with every undeclared field at what crews usually have, where its braces can then still stand.

    Args:
        job: the job.
        rows: the undeclared rows.
    """
    for row in rows:
        if row.usual is not None:
            changed = job
            for path in places(job, row):
                changed = with_value(changed, path, row.usual)
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
