"""What must be so, or be added, for a layout: the choices nobody declared, and what mending asked for."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from attrs import evolve

from bracing.chain.assumed import ASSUMPTIONS, Assumption, places
from bracing.chain.materials import materials_of
from bracing.chain.returns import asked_by_returns
from bracing.chain.room import EXTRA, EXTRA_ROW, blocks_hold, known_joists, room, wood_blocks
from bracing.chain.studs import row_holds
from bracing.chain.ties import TIE_SIZE, diagonal_length
from bracing.check import CheckResult
from bracing.choosing import greatest, sorted_by, whole_up
from bracing.job.brace import IN_BLOCK, IN_JOIST, ON_CROSS, Brace, JointId, Stock
from bracing.job.fasteners import fastener, fastener_names
from bracing.job.fields import value_at, with_value
from bracing.job.floor import MOST_BLOCKS, Joists
from bracing.job.job import Job
from bracing.job.lumber import dressed, section
from bracing.job.wall import Row
from bracing.layout.diagonals import diagonals_added, said_of
from bracing.said import Kind, Quantity, Said
from bracing.work.minutes import added_to, plain
from bracing.work.parts import STRAPS, Item, parts_list
from bracing.work.remedies import (
    NEW,
    STANDING,
    UNDER_EACH,
    Change,
    RemedyId,
    asked_for,
    differences,
    enough_blocks,
    remedies,
    screw_for_plate,
)
from bracing.work.words import apart, into_ends, many, work_words

TIES, OF_TIES, BLOCKS, CROSS = "kit.ties", "kit.tie.", "floor.blocks.", "floor.cross_cleat."
UNDER = (BLOCKS, CROSS)  # of what is put under feet

# Fields a layout chooses where nobody declared them, a group with words of its own at a time, each with the id of its
# words; all others are facts and stay low. What is said nowhere here stands beside the braces.
GROUPS: dict[str, dict[str, str]] = {
    "chosen-studs": {
        "wall.studs.size": "chosen",
        "wall.studs.spacing": "every",
        "wall.studs.species": "or-denser",
        "wall.studs.grade": "or-better",
    },
    "chosen-bottom-plate": {
        "wall.plate.state": "not-tacked",
        "wall.plate.fastener": "chosen",
        "wall.plate.spacing": "every",
        "wall.plate.row_from_sheathed_edge": "so-far-from-the-edge",
        "wall.plate.into_framing": "into-framing",
    },
    "chosen-sheathing": {
        "wall.plate.sheathing_laps": "nailed-to-the-bottom",
        "wall.plate.sheathing_fastener": "chosen",
        "wall.plate.sheathing_spacing": "every-there",
        "wall.plate.sheathing_field_spacing": "every-on-studs",
    },
    "chosen-top-plate": {
        "wall.top_plate.end_nails": "nails-in-each-stud",
        "wall.top_plate.end_nail": "chosen",
    },
    "chosen-headers-and-sills": {
        "wall.opening[].header_nails": "nails-in-each-end",
        "wall.opening[].header_fastener": "chosen",
    },
    "chosen-joists-under-the-feet": {
        "floor.joists.size": "or-deeper",
        "floor.joists.span": "spanning-no-more",
        "floor.joists.species": "or-denser",
        "floor.joists.grade": "or-better",
    },
    "chosen-blocks": {
        "floor.blocks.under_each_cleat": "",
        "floor.blocks.fastener": "",
        "floor.blocks.each_end": "",
    },
    "chosen-cross-cleats": {
        "floor.cross_cleat.size": "",
        "floor.cross_cleat.fastener": "",
        "floor.cross_cleat.each_joist": "",
    },
    "chosen-brace-stock": {
        "kit.species": "or-denser",
        "kit.grade": "or-better",
    },
    "chosen-brace-heads": {
        "kit.head.joint": "on-the-studs-side",
        "kit.head.fastener": "",
        "kit.head.bored": "",
    },
    "chosen-tie-rows": {
        "kit.tie.fastener": "chosen",
        "kit.tie.at_each_brace": "at-every-brace",
        "kit.tie.diagonal_fasteners": "at-ends-of-diagonals",
    },
    "chosen-cleats": {
        "kit.cleat.size": "chosen",
        "kit.cleat.lie": "lying",
        "kit.cleat.sides": "",
        "kit.cleat.bored": "",
        "kit.cleat.length": "so-long",
        "kit.cleat.brace_fastener": "",
        "kit.cleat.floor_fastener": "",
    },
}
CHOSEN: dict[str, str] = {name: words for group in GROUPS.values() for name, words in group.items()}

# Feet a crew can build, the first that stands is taken: what nobody declared of the cleats is chosen so.
FEET: tuple[dict[str, object], ...] = (
    {"size": "2x6", "lie": "edge", "sides": 2, "floor_fastener": "structural screw 0.22x8"},
    {"size": "2x6", "lie": "flat", "sides": 2, "floor_fastener": "structural screw 0.22x5"},
    {"size": "2x6", "lie": "flat", "sides": 1, "floor_fastener": "structural screw 0.22x5"},
)
# What braces bring with them beside what every wall has, and what it is without.
ADDED: dict[str, object] = {
    **dict.fromkeys(STRAPS, 0.0), "wall.plate.extra.at_each_brace": 0, "wall.top_plate.spliced": False,
    "kit.head.side_cleat": False,
}  # fmt: skip
CLEATS = "kit.cleat."
LAPPED = ("kit.head.fastener", "kit.cleat.brace_fastener")  # through a brace into the stick beside it
LONG, LONG_ACROSS = 24.0, 36.0  # a cleat across the joists catches two of them

_ANY = Brace(mark="B1", stud_at=0.0, head=96.0, set_back=96.0, foot_on=IN_JOIST, ties=1)
_WITHOUT = {
    "slab": ("kit.cleat.floor_fastener", "wall.plate.row_from_sheathed_edge"),
    "ground": ("kit.cleat.floor_fastener", "kit.cleat.length"),
}
USUAL_STOCK: tuple[Stock, ...] = tuple(
    Stock(size=size, length=feet * 12.0)
    for size, lengths in (("2x4", (8, 10, 12, 14, 16)), ("2x6", (12, 14, 16, 18, 20, 24)))
    for feet in lengths
)


def _open(job: Job) -> Iterator[tuple[str, Assumption, tuple[str, ...]]]:
    """Every field a crew decides that plays a part and nobody declared: its row, and its paths."""
    rows = {row.field: row for row in ASSUMPTIONS}
    kinds = (IN_JOIST, ON_CROSS, *((IN_BLOCK,) if blocks_hold(job) else ()))
    feet = tuple(evolve(_ANY, mark=f"B{k}", foot_on=on) for k, on in enumerate(kinds, start=1))
    footed = evolve(job, braces=feet)  # what a foot in a joist, on blocks or on cross cleats makes matter
    for name in CHOSEN:
        row = rows[name]
        if not row.matters(footed) or name in _WITHOUT.get(job.floor.kind, ()):
            continue
        if paths := places(job, row):
            yield name, row, paths


def choose(job: Job) -> Job:
    """Choose what nobody declared and the crew may decide, with the foot that is tried first.

    Args:
        job: the job as declared.
    """
    return next(choices(job))


def choices(job: Job) -> Iterator[Job]:
    """Choose what nobody declared and the crew may decide, once for each foot there is to try.

    Args:
        job: the job as declared.
    """
    joists, seen = known_joists(job), set()
    # A cleat across joists catches two; where blocks are not known a brace stands between two cross cleats.
    across = job.floor.kind == "deck" and (
        not blocks_hold(job) or (joists is not None and joists.run == "along")
    )
    feet = FEET[1:] if job.floor.kind == "slab" else FEET  # no usual anchor goes through a cleat on edge
    for foot in feet:
        chosen = _chosen_with(job, {**foot, "length": LONG_ACROSS if across else LONG})
        if chosen.kit.cleat not in seen:
            seen.add(chosen.kit.cleat)
            yield chosen


def _chosen_with(job: Job, foot: dict[str, object]) -> Job:
    chosen, most = job, MOST_BLOCKS
    if (job.floor.joists or Joists()).run == "along":
        most = enough_blocks(with_value(job, CLEATS + "length", foot["length"]), ())
    for name, row, paths in _open(job):
        for path in paths:
            own = name.removeprefix(CLEATS) if name.startswith(CLEATS) else ""
            # As many blocks as can be: of a layout made good those that are needed stay.
            value = most if path == UNDER_EACH else foot.get(own, row.usual)
            chosen = with_value(chosen, path, _long_enough(job, str(value)) if path in LAPPED else value)
    nothing_extra = job.wall.plate.extra.at_each_brace == 0 and job.floor.kind != "slab"
    if nothing_extra and EXTRA not in job.declared:
        chosen = with_value(chosen, EXTRA, screw_for_plate(chosen, remedies()[RemedyId.PLATE_SCREWS].screw))
    if not job.kit.stock:
        chosen = evolve(chosen, kit=evolve(chosen.kit, stock=USUAL_STOCK))
    return chosen


def _long_enough(job: Job, usual: str) -> str:
    """The usual fastener through a brace, or the next of its kind as thick that counts through the thickest stick."""
    if not job.kit.stock:
        return usual
    thickest = greatest(job.kit.stock, lambda each: section(each.size).thickness).size
    if section(thickest).thickness <= dressed(2):
        return usual
    materials, one = materials_of(job), fastener(usual)
    longer = sorted_by(
        (
            each for each in map(fastener, fastener_names())
            if (each.kind, each.diameter) == (one.kind, one.diameter) and each.length >= one.length
        ),
        lambda each: each.length,
    )  # fmt: skip
    reach = (
        each.name for each in longer
        if materials.capacity(each.name, materials.brace_ply(thickest), materials.stud_ply()).lateral > 0.0
    )  # fmt: skip
    return next(reach, usual)


def chosen_fields(before: Job, after: Job) -> dict[str, object]:
    """Give what was chosen: each field of CHOSEN nobody declared, and its value now.

    Args:
        before: the job as declared.
        after: the job with its choices.
    """
    return {
        name: value_at(after, paths[0])
        for name, row, paths in _open(before)
        if not name.startswith((OF_TIES, *UNDER)) or row.matters(after)
    }


def rows_added(before: Job, after: Job) -> tuple[Row, ...]:
    """Give the rows across the studs a layout puts after those the wall had.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    return after.wall.rows[len(before.wall.rows) :]


def no_part(job: Job) -> frozenset[str]:
    """Give the fields that play no part on this kind of floor.

    Args:
        job: the job.
    """
    return frozenset(_WITHOUT.get(job.floor.kind, ()))


def chosen_paths(before: Job, after: Job) -> dict[str, object]:
    """Give every field a layout set, by its dotted path: choices, and what mending raised.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    found = {
        path: value_at(after, path)
        for name, row, paths in _open(before)
        for path in paths
        if not name.startswith(UNDER) or row.matters(after)
    }
    mended = [change.path for change in differences(_bare(before), _bare(after), wall=NEW)]
    mended += [name for name in (EXTRA, EXTRA_ROW, TIES) if value_at(before, name) != value_at(after, name)]
    mended += [
        f"wall.row[{k}].{name}"
        for k in range(len(before.wall.rows), len(after.wall.rows))
        for name in ("height", "kind", "size")
    ]
    mended += [
        f"wall.diagonal[{k}].{name}"
        for k in range(len(before.wall.diagonals), len(after.wall.diagonals))
        for name in ("foot", "head", "size", "kind", "end_fastener", "end_fasteners")
    ]
    return found | {name: value_at(after, name) for name in mended}


def _bare(job: Job) -> Job:
    return evolve(job, braces=())


def changes_made(before: Job, after: Job) -> tuple[Change, ...]:
    """Give what a layout changes of a wall beyond what was declared or chosen, and what it adds beside its braces.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    return added_to(choose(before), after)


def needed_too(before: Job, after: Job, result: CheckResult) -> tuple[Said, ...]:
    """Say what a layout needs beside its braces.

    Args:
        before: the job as declared.
        after: the job with the layout.
        result: its check.
    """
    changed = [c for c in changes_made(before, after) if c.path in before.declared or c.path not in CHOSEN]
    diagonals = said_of(after, diagonals_added(before, after))
    return (*diagonals, *_needed(chosen_fields(before, after), changed, rows_added(before, after), result))


def needed_on_file(result: CheckResult) -> tuple[Said, ...]:
    """Say all that braces on file need beside them: what a layout asks for, in its words, whoever declared it.

    Args:
        result: the wall checked.
    """
    job = result.job
    if not job.braces or result.evaluation is None:
        return ()
    return (
        *said_of(job, job.wall.diagonals),
        *_needed(_on_file(job), added_on_file(job), job.wall.rows, result),
    )


def bought_on_file(job: Job) -> tuple[Item, ...]:
    """Give the parts list of braces on file and of what is added with them; of usual sticks where none are declared.

    Args:
        job: the job with its braces.
    """
    stocked = job if job.kit.stock else evolve(job, kit=evolve(job.kit, stock=USUAL_STOCK))
    return parts_list(stocked, rows=job.wall.rows, changes=added_on_file(job)) if job.braces else ()


def added_on_file(job: Job) -> tuple[Change, ...]:
    """Give what a wall with braces has that one without them need not have, as changes.

    Args:
        job: the job with its braces.
    """
    bare = evolve(job, braces=plain(job))
    for path, nothing in ADDED.items():
        bare = with_value(bare, path, nothing)
    kinds = (differences(bare, job, wall=wall) for wall in (NEW, STANDING))
    return tuple({change.path: change for each in kinds for change in each}.values())


def _on_file(job: Job) -> dict[str, object]:
    """Every field of CHOSEN somebody declared that plays a part, and its value; of openings each that differs."""
    found: dict[str, object] = {}
    for row in ASSUMPTIONS:
        if row.field not in CHOSEN or row.field in no_part(job) or not row.matters(job):
            continue
        group, each, rest = row.field.partition("[]")
        paths = [row.field] if not each else [f"{group}[{k}]{rest}" for k in range(len(job.wall.openings))]
        values = dict.fromkeys(value_at(job, path) for path in paths if path in job.declared)
        if values:
            found[row.field] = values.popitem()[0] if len(values) == 1 else tuple(values)
    return found


def _needed(
    values: dict[str, object], changed: Iterable[Change], rows: tuple[Row, ...], result: CheckResult
) -> tuple[Said, ...]:
    job = result.job
    return (
        *_joists(job),
        *_chosen(values),
        *work_words(job, changed),
        *_rows(rows, result),
        *_ties(job),
        *_heads(job),
        *_feet(job),
        *_floor(job, result),
        *asked_by_returns(job),
    )


def _chosen(values: dict[str, object]) -> Iterator[Said]:
    """What was chosen, a group of fields at a time."""
    for lead, group in GROUPS.items():
        parts = tuple(
            Said.by(words, {"value": _value(values[name])})
            for name, words in group.items()
            if words and name in values
        )
        if parts:
            yield Said.by(lead, {"parts": parts})


def _value(value: object) -> object:
    if isinstance(value, tuple):
        return tuple(map(_value, value))
    return apart(value) if isinstance(value, float) else str(value)


def _ties(job: Job) -> Iterator[Said]:
    """Where tie rows stand along the braces, and where their diagonals go."""
    if rows := job.tie_rows:
        where = Said("half-way-along") if rows == 1 else Said("at-equal-parts", count=rows + 1)
        long = Quantity(whole_up(diagonal_length(job.braces)), Kind.TAPE)
        yield Said("ties-and-diagonals", size=TIE_SIZE, where=where, long=long)


def _rows(new: tuple[Row, ...], result: CheckResult) -> Iterator[Said]:
    """Rows across the studs; how they are fastened is no link of the chain, so it is asked for here."""
    found = result.evaluation
    if not new or found is None:
        return
    for row, *most in zip(
        new, *(row_holds(forces, found.gust)[-len(new) :] for forces in found.forces), strict=True
    ):
        up, load = Quantity(row.height, Kind.TAPE), Quantity(asked_for(max(most)), Kind.LOAD)
        yield Said("a-row-across", size=row.size, kind=row.kind, up=up, load=load)


def _feet(job: Job) -> Iterator[Said]:
    """In what order a foot is put together, so that no screw's head is hidden behind a brace."""
    cleat = job.kit.cleat
    if job.floor.kind == "ground" or not job.braces:
        return
    if cleat.sides == 1:
        yield Said("foot-one-flat")
    elif cleat.lie == "edge":
        yield Said("foot-between")
    else:
        yield Said("foot-two-flat")


def _heads(job: Job) -> Iterator[Said]:
    """Joints that have no room for their fasteners unless holes are bored."""
    if job.kit.head.joint == "lapped" and _only_bored(job, JointId.HEAD):
        yield Said("heads-bored-for")
    if job.floor.kind != "ground" and _only_bored(job, JointId.CLEAT):
        yield Said("cleats-bored-for")


def _only_bored(job: Job, joint: JointId) -> bool:
    return any(room(job, brace, joint, prebored=False) < getattr(brace, joint) for brace in job.braces)


def _joists(job: Job) -> Iterator[Said]:
    """That nobody declared how the joists run: said first, for less may do once it is."""
    if job.floor.kind == "deck" and job.braces and known_joists(job) is None:
        yield Said("cleats-over-wood")


def _floor(job: Job, result: CheckResult) -> Iterator[Said]:
    """What is put under the cleats: solid blocks, so many at which feet, and cross cleats."""
    if job.floor.kind != "deck":
        return
    size, crossed = (job.floor.joists or Joists()).size, job.floor.cross_cleat
    under: dict[int, list[str]] = {}
    for brace in job.braces:
        if brace.foot_on == IN_BLOCK:
            under.setdefault(wood_blocks(job, brace), []).append(brace.mark)
    for count, marks in under.items():
        if count:
            where = _at_feet(job, marks)
            yield Said("blocks-at-each-foot", where=where, count=count, size=size, ends=into_ends(job))
    if across := [brace.mark for brace in job.braces if brace.foot_on == ON_CROSS]:
        each = many(crossed.each_joist, crossed.fastener, job.fasteners)
        yield Said("cross-cleats-at-each-foot", where=_at_feet(job, across), size=crossed.size, each=each)
    loose = [(brace, wood_blocks(job, brace)) for brace in job.braces if brace.foot_on == IN_JOIST]
    if blocks := max((count for _, count in loose), default=0):
        pull = max(brace.pull * math.sin(brace.angle) for brace in result.braces)
        load = Quantity(asked_for(pull / 2.0 / blocks), Kind.LOAD)
        where = _at_feet(job, [brace.mark for brace, count in loose if count])
        yield Said("blocks-between-joists", where=where, count=blocks, size=size, load=load)


def _at_feet(job: Job, marks: list[str]) -> Said:
    return (
        Said("at-each-foot") if len(marks) == len(job.braces) else Said("at-the-feet-of", marks=tuple(marks))
    )
