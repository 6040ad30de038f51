"""What must be so, or be added, for a layout: the choices nobody declared, and what mending asked for."""

from __future__ import annotations

import math
from collections.abc import Iterator

from attrs import evolve

from bracing.chain.assumed import ASSUMPTIONS, Assumption, places, value_at, with_value
from bracing.chain.cuts import cut_of, head_fits
from bracing.chain.room import known_joists, wood_blocks
from bracing.chain.studs import row_holds
from bracing.check import CheckResult
from bracing.job.brace import Brace, Stock
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.wall import Row
from bracing.said import Said
from bracing.units import pounds, tape
from bracing.work.remedies import EXTRA, NEW, SIDES, Change, asked_for, differences, remedies
from bracing.work.words import SHORT, work_words

TIES = "kit.ties"

# Fields a layout chooses where nobody declared them, with what is then said of each; all others are facts and stay
# low. What is said nowhere here stands beside the braces.
GROUPS: dict[str, dict[str, str]] = {
    "studs": {
        "wall.studs.size": "{value}",
        "wall.studs.spacing": "every {value}",
        "wall.studs.species": "{value} or denser",
        "wall.studs.grade": "{value} or better",
    },
    "bottom plate": {
        "wall.plate.state": "in its final state, not tacked",
        "wall.plate.fastener": "{value}",
        "wall.plate.spacing": "every {value}",
        "wall.plate.into_framing": "into joists, rim or blocking",
    },
    "sheathing": {
        "wall.plate.sheathing_laps": "nailed to the bottom {value}",
        "wall.plate.sheathing_fastener": "{value}",
        "wall.plate.sheathing_spacing": "every {value} there",
        "wall.plate.sheathing_field_spacing": "every {value} on the studs",
    },
    "top plate": {
        "wall.top_plate.end_nails": "{value} nails into each stud",
        "wall.top_plate.end_nail": "{value}",
    },
    "headers and sills": {
        "wall.opening[].header_nails": "{value} nails into each end",
        "wall.opening[].header_fastener": "{value}",
    },
    "joists under the feet": {
        "floor.joists.size": "{value} or deeper",
        "floor.joists.span": "spanning no more than {value}",
        "floor.joists.species": "{value} or denser",
        "floor.joists.grade": "{value} or better",
    },
    "brace stock": {"kit.species": "{value} or denser", "kit.grade": "{value} or better"},
    "brace heads": {"kit.head.joint": "{value} on the stud's side", "kit.head.fastener": ""},
    "cleats": {
        "kit.cleat.length": "{value} long",
        "kit.cleat.brace_fastener": "",
        "kit.cleat.floor_fastener": "",
    },
}
CHOSEN: dict[str, str] = {name: words for group in GROUPS.values() for name, words in group.items()}

_ANY = Brace(mark="B1", stud_at=0.0, head=96.0, set_back=96.0, into_joist=True)
_WITHOUT = {
    "slab": ("kit.cleat.floor_fastener",),
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
    footed = evolve(job, braces=(_ANY,))  # what a foot in a joist makes matter
    for name in CHOSEN:
        row = rows[name]
        if row.usual is None or not row.matters(footed) or name in _WITHOUT.get(job.floor.kind, ()):
            continue
        if paths := places(job, row):
            yield name, row, paths


def choose(job: Job) -> Job:
    """Choose what nobody declared and the crew may decide.

    Args:
        job: the job as declared.
    """
    chosen = job
    for _, row, paths in _open(job):
        for path in paths:
            chosen = with_value(chosen, path, row.usual)
    nothing_extra = job.wall.plate.extra.at_each_brace == 0 and job.floor.kind != "slab"
    if nothing_extra and EXTRA not in job.declared:
        chosen = with_value(chosen, EXTRA, remedies()["plate screws"].screw)
    if not job.kit.stock:
        chosen = evolve(chosen, kit=evolve(chosen.kit, stock=USUAL_STOCK))
    return chosen


def chosen_fields(before: Job, after: Job) -> dict[str, object]:
    """Give what was chosen: each field of CHOSEN nobody declared, and its value now.

    Args:
        before: the job as declared.
        after: the job with its choices.
    """
    return {name: value_at(after, paths[0]) for name, _, paths in _open(before)}


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
    found = {path: value_at(after, path) for _, _, paths in _open(before) for path in paths}
    mended = [change.path for change in differences(_bare(before), _bare(after), wall=NEW)]
    mended += [name for name in (EXTRA, TIES) if value_at(before, name) != value_at(after, name)]
    mended += [
        f"wall.row[{k}].{name}"
        for k in range(len(before.wall.rows), len(after.wall.rows))
        for name in ("height", "kind", "size")
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
    plain = tuple(evolve(brace, ties=0, stiffener="none", stud_doubled=False) for brace in after.braces)
    found = differences(evolve(choose(before), braces=plain), after, wall=NEW)
    return tuple(
        change for change in found if change.path != SIDES
    )  # cleats are said, and bought, with the braces


def needed_too(
    before: Job, after: Job, result: CheckResult, *, metric: bool = False
) -> tuple[Said | str, ...]:
    """Say in plain words what a layout needs beside its braces.

    Args:
        before: the job as declared.
        after: the job with the layout.
        result: its check.
        metric: lengths in millimetres.
    """
    said: list[Said | str] = [*_chosen(before, after, metric=metric)]
    changed = [c for c in changes_made(before, after) if c.path in before.declared or c.path not in CHOSEN]
    said += [*work_words(after, changed), *_rows(before, result, metric=metric)]
    said += [*_heads(after), *_floor(after, result, metric=metric)]
    return tuple(said)


def _chosen(before: Job, after: Job, *, metric: bool) -> Iterator[str]:
    """What was chosen, a group of fields at a time."""
    values = chosen_fields(before, after)
    for lead, group in GROUPS.items():
        parts = [
            words.format(value=_value(values[name], metric=metric))
            for name, words in group.items()
            if words and name in values
        ]
        if parts:
            yield f"{lead} {', '.join(parts)}"


def _value(value: object, *, metric: bool) -> str:
    if not isinstance(value, float):
        return str(value)
    return tape(value, metric=metric) if metric or value >= SHORT else f"{value:g} in"


def _rows(before: Job, result: CheckResult, *, metric: bool) -> Iterator[str]:
    """Rows the wall did not have; how they are fastened is no link of the chain, so it is asked for here."""
    new, found = rows_added(before, result.job), result.evaluation
    if not new or found is None:
        return
    for row, *most in zip(
        new, *(row_holds(forces, found.gust)[-len(new) :] for forces in found.forces), strict=True
    ):
        load = pounds(asked_for(max(most)), metric=metric)
        up = tape(row.height, metric=metric)
        yield (
            f"a {row.size} {row.kind} on edge, {up} up, in one length or spliced, fastened to every stud it crosses "
            f"for {load} toward it and away from it"
        )


def _heads(job: Job) -> Iterator[str]:
    cuts = [cut_of(job, brace) for brace in job.braces]
    splits = any(
        head_fits(job, brace, cut.head_cut, prebored=False) < brace.head_fasteners
        for brace, cut in zip(job.braces, cuts, strict=True)
    )
    if splits and job.kit.head.joint == "lapped":
        yield "head fasteners bored for, or they split the wood"


def _floor(job: Job, result: CheckResult, *, metric: bool) -> Iterator[str]:
    if job.floor.kind != "deck":
        return
    if known_joists(job) is None:
        yield "every cleat over joists or solid blocks, its fasteners into them: declare which way the joists run"
        return
    blocks = max(wood_blocks(job, brace) for brace in job.braces)
    if not blocks:
        return
    pull = max(brace.pull * math.sin(brace.angle) for brace in result.braces)
    each = asked_for(pull / 2.0 / blocks)
    joists = job.floor.joists or Joists()
    yield (
        f"at each foot {blocks} solid {joists.size} blocks between joists under the cleat that lies over none, their "
        f"ends fastened for {pounds(each, metric=metric)}"
    )
