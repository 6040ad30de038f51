"""What can be done to a wall: one change of one field each, from the table of remedies.

A layout changes a wall that is to be built, every brace alike. The work before a storm changes one that stands: a brace
that is up stays where it is, and a change adds fasteners, wood or a strap to what is there; where nails hold a joint
that screws would hold better, the screws are counted alone and the nails not at all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from enum import StrEnum
from functools import cache, lru_cache
from typing import Any

from attrs import evolve, field, frozen

from bracing.chain.links import Link, LinkId
from bracing.chain.materials import materials_of
from bracing.chain.room import (
    ANCHOR,
    EXTRA,
    EXTRA_ROW,
    JOISTS_OF_A_FOOT,
    STAKE,
    blocks_hold,
    cleats_bare,
    in_each_joist,
    joint_fastener,
    known_joists,
    most_in,
    shared_by,
    within_room,
    wood_blocks,
)
from bracing.chain.wall import SPREAD_HEAD, plate_set
from bracing.choosing import greatest, whole_down, whole_up
from bracing.job.brace import IN_BLOCK, IN_JOIST, JOINTS, ON_CROSS, ON_PANEL, Brace, JointId
from bracing.job.fasteners import fastener
from bracing.job.fields import value_at, with_value
from bracing.job.floor import MOST_BLOCKS, Joists
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.sources import shipped
from bracing.units import Pound

NEW, STANDING = "new", "standing"  # a wall to be built, and one that stands
MORE, DEMAND, SEARCHED = "more", "demand", "searched"
ALL, EACH, BRACE, OPENINGS = "[*]", "[]", "brace[", "wall.opening[]"
MOST_OF_ANY = 99  # where room alone says how far a remedy goes
SIDES = "kit.cleat.sides"
EACH_JOIST = "floor.cross_cleat.each_joist"
UNDER_EACH = "floor.blocks.under_each_cleat"
OF_BLOCKS = (UNDER_EACH, "floor.blocks.fastener", "floor.blocks.each_end")
ENDS_OF_A_BLOCK = 2
ENDS_OF_DIAGONALS = 4  # of a tie row: both ends of the two it runs to
ANY_STRAP: Pound = 1.0  # a link that says a share and no pounds is passed by whatever the strap
WHOLE = {
    LinkId.STUD_SPLITTING: SPREAD_HEAD
}  # links that so many fasteners mend, and fewer do not help at all


class RemedyId(StrEnum):
    """The remedies something else speaks of; any other is a row of the table and nothing more."""

    STUD = "stud"
    BLOCK = "joist"  # as answers have called it from the first
    TIE = "tie"
    STIFFENER = "stiffener"
    HEAD_SIDE_CLEAT = "head side cleat"
    SECOND_CLEAT = "second cleat"
    PLATE_SCREWS = "plate screws"
    FOOT_STRAP = "strap at the foot"
    BRACE = "brace"  # one more


def _in_order(steps: Any) -> tuple[Any, ...] | str:  # noqa: ANN401  (a word or a list of values of any field)
    return steps if isinstance(steps, str) else tuple(steps)


def _links(names: Iterable[str]) -> tuple[LinkId, ...]:
    return tuple(map(LinkId, names))


@frozen
class Remedy:
    """One row of the table: a kind of work.

    Attributes:
        kind: what it is called; its words stand under the same name.
        mends: links it mends.
        path: the field it changes.
        steps: values in order, or "more", or "demand".
        counted: of what its minutes and parts are so many.
        minutes: the row of the table of minutes for each of what is counted; or minutes no crew types.
        new: when it can be done to a wall to be built; empty where it cannot.
        standing: when it can be done to a wall that stands.
        most: as far as it goes; None where its steps end.
        at_once: no fewer at a time.
        fastener: the field that names the fastener it takes, or "after".
        piece: length of the piece it takes beside.
        screw: those one of which is put in where none was declared, a table of usual fasteners.
        edge: how far from the plate's sheathed edge it stands [in].
        ends: what goes into the ends of blocks where none were before, by field.
        each_row_minutes: the row beside, for each new row along the wall; empty where there is none.
    """

    kind: str
    mends: tuple[LinkId, ...] = field(converter=_links)
    path: str
    steps: tuple[Any, ...] | str = field(converter=_in_order)
    counted: str
    minutes: str | float
    new: str = ""
    standing: str = ""
    most: int = MOST_OF_ANY
    at_once: int = 1
    fastener: str = ""
    piece: str = ""
    screw: str = ""
    edge: float = 0.0
    ends: dict[str, Any] = field(factory=dict)
    each_row_minutes: str = ""

    @property
    def name(self) -> str:
        """The last part of the field it changes."""
        return self.path.rpartition(".")[2]


@frozen
class Change:
    """One field changed at one place.

    Attributes:
        kind: the remedy's.
        path: dotted path in the file.
        before: its value now.
        after: its value then.
        mark: the brace; None where it is along the wall.
    """

    kind: str
    path: str
    before: Any
    after: Any
    mark: str | None = None

    @property
    def name(self) -> str:
        """The last part of the field it changes."""
        return self.path.rpartition(".")[2]

    @property
    def more(self) -> Any:  # noqa: ANN401  (a number of any field)
        """How much more it is than before."""
        return self.after - self.before


@cache
def remedies() -> dict[str, Remedy]:
    """Give every remedy by its kind, in the order a crew does them."""
    return {row["kind"]: Remedy(**row) for row in shipped("remedies")["remedy"]}


def order() -> tuple[str, ...]:
    """Give the kinds of step in the order a crew does them; added braces come last.

    Example:
        >>> order()[0], order()[-1]
        ('stud', 'brace')
    """
    return (*remedies(), shipped("remedies")["added_brace"]["kind"])


def asked_for(load: Pound) -> Pound:
    """Round a load a strap or a block's end is asked for up to the step of the table [lb].

    Args:
        load: the load [lb].
    """
    step = float(shipped("remedies")["strap_step_lb"])
    return whole_up(load / step) * step


def strap_for(load: Pound) -> Pound | None:
    """Give the stated allowable a strap is asked for; None where it is past what a strap is asked for [lb].

    Args:
        load: what it must carry [lb].
    """
    asked = asked_for(load)
    return asked if asked <= shipped("remedies")["strap_most_lb"] else None


def apply(job: Job, changes: tuple[Change, ...]) -> Job:
    """Give the job with changes made.

    Args:
        job: the job.
        changes: in order.
    """
    for change in changes:
        job = with_value(job, change.path, change.after)
    return job


def undone(job: Job, changes: Iterable[Change]) -> Job:
    """Give the job with changes that were made taken back.

    Args:
        job: the job with them made.
        changes: in the order they were made.
    """
    return apply(job, tuple(evolve(change, after=change.before) for change in reversed(tuple(changes))))


# -- what mends a link ------------------------------------------------------------------------------------


def options_for(job: Job, link: Link, *, wall: str = STANDING) -> Iterator[tuple[Change, ...]]:
    """Give what could mend a link that is over, in the order of the table: each as the changes it takes together.

    Args:
        job: the job.
        link: the link, at the gust to be met.
        wall: NEW or STANDING.
    """
    name = link.link.forward
    tried = (step(job, row, link, wall=wall) for row in remedies().values() if name in row.mends)
    return (found for found in tried if found)


def step(job: Job, row: Remedy, link: Link, *, wall: str = STANDING) -> tuple[Change, ...]:
    """Give one step of a remedy as far as a link needs it; nothing where it cannot be done or goes no further.

    Args:
        job: the job.
        row: the remedy.
        link: the link, at the gust to be met.
        wall: NEW or STANDING.
    """
    when = getattr(row, wall)
    if not when or not CAN[when](job, row, link):
        return ()
    if row.path == SIDES:
        found = _second_cleat(job, row)
    else:
        places = _places(job, row, link, alike=wall == NEW)
        found = _as_far(job, row, link, places) if places else ()
    # In a new wall nothing but the counts themselves, which keep to the room there is, changes what has room.
    return found if wall == NEW or _has_room(job, found) else ()


@lru_cache(maxsize=1024)
def _has_room(job: Job, changes: tuple[Change, ...]) -> bool:
    """Whether every joint has room after some changes; kept, as many links that are over ask for the same ones."""
    return within_room(job, apply(job, changes))


CAN: dict[str, Callable[[Job, Remedy, Link], bool]] = {
    "any": lambda *_: True,
    SEARCHED: lambda *_: False,
    "deck": lambda job, *_: job.floor.kind == "deck",
    "foot on the panel": lambda job, _, link: blocks_hold(job) and _on_panel(job, link.mark),
    "not ground": lambda job, *_: job.floor.kind != "ground",
    "not slab": lambda job, *_: job.floor.kind != "slab",
    "plumb head": lambda job, *_: job.kit.head.joint == "plumb",
    "laps none": lambda job, *_: job.wall.plate.sheathing_laps == "none" and job.wall.sheathed,
    "final plate": lambda job, *_: job.wall.plate.state == "final",
    "braced stud": lambda _, __, link: link.mark is not None,
    "other stud": lambda _, __, link: link.mark is None,
    "nail": lambda job, row, _: fastener(value_at(job, row.path), job.fasteners).kind == "nail",
    "nail into a deck": lambda *of: CAN["deck"](*of) and CAN["nail"](*of),
}


def _on_panel(job: Job, mark: str | None) -> bool:
    """Whether a brace stands on the deck panel alone: one on blocks already has what blocks would give it."""
    return any(brace.mark == mark and brace.foot_on == ON_PANEL for brace in job.braces)


def _places(job: Job, row: Remedy, link: Link, *, alike: bool) -> tuple[tuple[str, str | None], ...]:
    """Fields a remedy changes for a link, and the brace of each: all braces where they are fastened alike."""
    if row.path.startswith(BRACE):
        every = ALL in row.path or alike
        braces = ((k, b.mark) for k, b in enumerate(job.braces) if every or b.mark == link.mark)
        return tuple((f"brace[{k}].{row.name}", mark) for k, mark in braces)
    if row.path.startswith(OPENINGS):
        holes = ((k, hole) for k, hole in enumerate(job.wall.openings) if link.x is not None)
        here = (k for k, hole in holes if hole.left <= link.x <= hole.right)  # type: ignore[operator]
        return tuple((row.path.replace(EACH, f"[{k}]"), None) for k in here)
    return ((row.path, None),)


def _as_far(
    job: Job, row: Remedy, link: Link, places: tuple[tuple[str, str | None], ...]
) -> tuple[Change, ...]:
    """One step at every place, as far as the link needs it and each has room."""
    values: list[Any] = [value_at(job, path) for path, _ in places]
    marked = [mark for _, mark in places]
    now: Any = values[marked.index(link.mark)] if ALL in row.path and link.mark in marked else max(values)
    most = row.most
    if row.name in JOINTS:
        joint = JointId(row.name)
        most = min(most, *(most_in(job, brace, joint) for brace in job.braces if brace.mark in marked))
    if row.path == EACH_JOIST:
        most = min(most, in_each_joist(job).room or 0)
    after = _next(row, now, link, most=most)
    if after is None:
        return ()
    if row.name in JOINTS:  # as many in each that shares the load
        each = max(shared_by(job, brace, joint) for brace in job.braces if brace.mark in marked)
        after = min(most, whole_up(after / each) * each)
    raised = ALL in row.path or row.steps == MORE  # what has more already is left as it is
    found = tuple(
        Change(row.kind, path, value, after, mark)
        for (path, mark), value in zip(places, values, strict=True)
        if value != after and not (raised and value > after)
    )
    if row.ends:
        return (*_new_blocks(job, row), *found)
    return (*_new_in_plate(job, row), *found) if row.screw and not now and job.floor.kind != "slab" else found


def _new_in_plate(job: Job, row: Remedy) -> Iterator[Change]:
    """Where none stand beside the braces yet: which, and that they stand where the sheathing lifts the plate."""
    if EXTRA not in job.declared:
        yield Change(row.kind, EXTRA, value_at(job, EXTRA), screw_for_plate(job, row.screw))
    edge = job.wall.plate.row_from_sheathed_edge
    if EXTRA_ROW not in job.declared and (edge is None or edge > row.edge):
        yield Change(row.kind, EXTRA_ROW, value_at(job, EXTRA_ROW), row.edge)


def screw_for_plate(job: Job, group: str) -> str:
    """Name what is put through the plate beside the braces where nobody declared it: what takes most for its minutes.

    What one takes is counted as it takes shear and lift that are alike, for a brace brings both.

    Args:
        job: the job.
        group: those to choose from, a table of data/usual_fasteners.toml.
    """
    materials, names = materials_of(job), shipped("usual_fasteners")[group]["names"]

    def worth(name: str) -> float:
        one = plate_set(materials, name)
        both = one.lateral * one.axial / (one.lateral + one.axial) if one.lateral + one.axial > 0.0 else 0.0
        return both / fastener_minutes(job, name)

    return str(greatest(names, worth))


def _new_blocks(job: Job, row: Remedy) -> Iterator[Change]:
    """Where no foot is on blocks yet: what goes into their ends, and one under every fastener of a cleat."""
    if any(brace.foot_on == IN_BLOCK for brace in job.braces):
        return
    for path, value in {UNDER_EACH: enough_blocks(job, job.braces), **row.ends}.items():
        if path not in job.declared and value_at(job, path) != value:
            yield Change(row.kind, path, value_at(job, path), value)


def enough_blocks(job: Job, braces: Iterable[Brace]) -> int:
    """Count the blocks under a cleat that leave none of its fasteners without one; between joists along it one a bay.

    Args:
        job: the job.
        braces: those whose feet are on blocks.
    """
    joists = job.floor.joists or Joists()
    if joists.run == "along":  # they lie along the cleat: one a bay, and each takes what has room in it
        return max(1, whole_down(job.kit.cleat.length / joists.spacing))
    most = max((brace.floor_fasteners for brace in braces), default=0)
    return min(MOST_BLOCKS, max(1, whole_up(most / job.kit.cleat.sides)))


def with_blocks(job: Job, brace: Brace) -> Job:
    """Give the job with what is put into the ends of blocks for the first foot on some.

    Args:
        job: the job.
        brace: the brace whose foot it is.
    """
    if brace.foot_on != IN_BLOCK or any(each.foot_on == IN_BLOCK for each in job.braces):
        return job
    alone = evolve(job, braces=(evolve(brace, foot_on=ON_PANEL),))
    return apply(job, tuple(_new_blocks(alone, remedies()[RemedyId.BLOCK])))


def _second_cleat(job: Job, row: Remedy) -> tuple[Change, ...]:
    """A second cleat takes as many fasteners again, to the brace and to the floor, where they have room."""
    if job.kit.cleat.sides >= 2 or not job.braces:
        return ()
    doubled = [Change(row.kind, SIDES, 1, 2)]
    with_two = with_value(job, SIDES, 2)
    blocked = tuple(_under_second_cleats(with_two))
    doubled += blocked
    with_two = apply(with_two, blocked)
    for k, brace in enumerate(with_two.braces):
        for name in (JointId.CLEAT, JointId.FLOOR):
            count = getattr(brace, name)
            after = max(count, min(2 * count, most_in(with_two, brace, name)))
            if after > count:
                doubled.append(Change(row.kind, f"brace[{k}].{name}", count, after, brace.mark))
    return tuple(doubled)


def _under_second_cleats(job: Job) -> Iterator[Change]:
    """Where one of two cleats lies over no joist: its foot is on blocks, whose ends are checked, not in a joist."""
    row, joists = remedies()[RemedyId.BLOCK], known_joists(job)
    if joists is None or joists.run != "away" or not blocks_hold(job):
        return
    bare = [k for k, brace in enumerate(job.braces) if brace.foot_on == IN_JOIST and cleats_bare(job, brace)]
    if not bare:
        return
    full = tuple(evolve(job.braces[k], floor_fasteners=2 * job.braces[k].floor_fasteners) for k in bare)
    if not any(brace.foot_on == IN_BLOCK for brace in job.braces):
        yield from _new_blocks(evolve(job, braces=full), row)
    for k in bare:
        yield Change(row.kind, f"brace[{k}].{row.name}", IN_JOIST, IN_BLOCK, job.braces[k].mark)


def _next(row: Remedy, now: Any, link: Link, *, most: int) -> Any:  # noqa: ANN401  (a value of any field)
    """The next value beyond the present one, as far as the link needs it; None where there is none."""
    if row.steps == DEMAND:
        needed = strap_for(link.demand if link.unit == "lb" else ANY_STRAP)
        return needed if needed is not None and needed > now else None
    if row.steps == MORE:
        whole = WHOLE.get(link.link.forward)
        if whole is not None:
            return whole if now < whole <= most else None
        wanted = whole_up(now * min(link.ratio, float(shipped("remedies")["ratio_most"])))
        return min(most, max(now + row.at_once, wanted)) if now < most else None
    steps: tuple[Any, ...] = tuple(row.steps)
    if isinstance(now, bool | str):
        return steps[0] if now != steps[0] else None
    if (
        len(steps) > 1 and steps[0] > steps[-1]
    ):  # a spacing: the next closer one, where there is anything to space
        closer = [value for value in steps if value < now - 1e-9 and link.capacity > 0.0]
        reach = [value for value in closer if value <= now / link.ratio + 1e-9]
        return (reach or closer[-1:] or [None])[0]
    return next((value for value in steps if value > now), None)


# -- what a change is so many of --------------------------------------------------------------------------


def _along_plate(job: Job) -> float:
    return job.wall.length


def _along_studs(job: Job) -> float:
    return job.wall.highest * (job.wall.length / job.wall.studs.spacing + 1.0)


def _nailed(spacing: str, run: Callable[[Job], float]) -> Callable[[Job, Change], int]:
    """Fasteners along a run: those a closer spacing adds; of any other change, all of them."""

    def count(job: Job, change: Change) -> int:
        if change.path != spacing:
            return whole_up(run(job) / value_at(job, spacing))  # type: ignore[operator]
        return max(0, whole_up(run(job) / change.after) - whole_down(run(job) / change.before))

    return count


def _in_joint(job: Job, name: str) -> int:
    return sum(getattr(brace, name) for brace in job.braces)


def _ends(job: Job, change: Change) -> int:
    """Header, and sill where there is one, at both ends."""
    opening = job.wall.openings[int(change.path.split("[")[1].split("]")[0])]
    return 2 if opening.sill <= 0.0 else 4


COUNTED: dict[str, Callable[[Job, Change], int]] = {
    "place": lambda *_: 1,
    "every brace": lambda job, _: max(len(job.braces), 1),
    "more": lambda _, change: change.more,
    "more at every brace": lambda job, change: change.more * max(len(job.braces), 1),
    "more at every tie": lambda job, change: change.more * max(len(job.braces), 1) * job.tie_rows,
    "more at every diagonal": lambda job, change: change.more * ENDS_OF_DIAGONALS * job.tie_rows,
    "more at every cross cleat": lambda job, change: (
        change.more * JOISTS_OF_A_FOOT * sum(brace.foot_on == ON_CROSS for brace in job.braces)
    ),
    "more at every block end": lambda job, change: (
        change.more * ENDS_OF_A_BLOCK * sum(wood_blocks(job, brace) for brace in job.braces)
    ),
    "more in every stud": lambda job, change: change.more * len(frame_wall(job.wall).full_height_studs),
    "more in its ends": lambda job, change: change.more * _ends(job, change),
    "plate": _nailed("wall.plate.spacing", _along_plate),
    "sheathing foot": _nailed("wall.plate.sheathing_spacing", _along_plate),
    "sheathing field": _nailed("wall.plate.sheathing_field_spacing", _along_studs),
    **{name: lambda job, _, name=name: _in_joint(job, name) for name in JOINTS},  # type: ignore[misc]
}


def counted(job: Job, change: Change) -> int:
    """Count what a change takes minutes and parts for; what comes with another change takes none of its own.

    Args:
        job: the job before the work.
        change: the change.
    """
    row = remedies()[change.kind]
    return COUNTED[row.counted](job, change) if change.name == row.name else 0


def minutes(job: Job, change: Change) -> float:
    """Give the minutes two people take for one change, by the table of minutes or the crew's own.

    Args:
        job: the job before the work.
        change: the change.
    """
    row, each = remedies()[change.kind], job.kit.minutes
    rows = each.of(row.each_row_minutes) * change.more if row.each_row_minutes else 0.0
    of_joint = row.name in tuple(JOINTS) and row.minutes == "fastener"
    one = fastener_minutes(job, joint_fastener(job, JointId(row.name))) if of_joint else each.of(row.minutes)
    return one * counted(job, change) + rows / max(len(job.braces), 1)


SCREW_OF, LAG_OF = 0.22, 0.25  # the diameters the rows of screws and lags are of [in]


def fastener_minutes(job: Job, name: str) -> float:
    """Give the minutes of one fastener in a joint of a brace, by its kind and diameter.

    Args:
        job: the job.
        name: the fastener.
    """
    each = job.kit.minutes
    if name in (ANCHOR, STAKE):
        return each.fastener
    one = fastener(name, job.fasteners)
    if one.kind == "nail":
        return each.joint_nail
    row, of = (each.lag, LAG_OF) if one.kind == "lag" else (each.fastener, SCREW_OF)
    return row * one.diameter / of


def differences(start: Job, job: Job, *, wall: str = STANDING) -> Iterator[Change]:
    """Give what two jobs differ in as changes, in the order of the table; braces of the second alone are left out.

    Args:
        start: the job before.
        job: the job after.
        wall: NEW or STANDING.
    """
    seen: set[str] = set()
    for row in remedies().values():
        if not getattr(row, wall):
            continue
        places: list[tuple[str, str | None]] = [(row.path, None)]
        if row.path.startswith(BRACE):
            places = [(f"brace[{k}].{row.name}", brace.mark) for k, brace in enumerate(start.braces)]
        elif row.path.startswith(OPENINGS):
            places = [(row.path.replace(EACH, f"[{k}]"), None) for k in range(len(start.wall.openings))]
        for place, mark in places:
            before, after = value_at(start, place), value_at(job, place)
            if before != after and place not in seen:
                seen.add(place)
                yield Change(row.kind, place, before, after, mark)
