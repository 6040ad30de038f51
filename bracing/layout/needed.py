"""What must be so, or be added, for a layout: the choices nobody declared, and what mending asked for."""

from __future__ import annotations

import math
from collections.abc import Iterator

from attrs import evolve

from bracing.chain.assumed import ASSUMPTIONS, Assumption, places, value_at, with_value
from bracing.chain.brace import STIFFENER_SPACING
from bracing.chain.cuts import cut_of, head_fits
from bracing.chain.room import known_joists, wood_blocks
from bracing.chain.studs import row_holds
from bracing.check import CheckResult
from bracing.job.brace import Brace, Stock
from bracing.job.fasteners import Fastener, fastener
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.wall import Row
from bracing.said import Said
from bracing.stages.going_up import ties_on
from bracing.units import Inch, pounds, tape
from bracing.work.remedies import asked_for

_WORDS = ("screw", "nail", "lag", "bolt", "anchor", "strap", "block", "stud", "stake", "weight")


def counted(count: int, name: str, own: tuple[Fastener, ...]) -> str:
    """Say how many of a fastener.

    Args:
        count: how many.
        name: the fastener.
        own: the user's own fasteners.

    Example:
        >>> counted(8, "structural screw 0.22x3", ()), counted(2, "16d common", ()), counted(1, "gun nail 0.131x3", ())
        ('8 structural screws 0.22x3', '2 16d common nails', '1 gun nail 0.131x3')
    """
    words = name.split()
    named = next((k for k, word in enumerate(words) if word in _WORDS), None)
    if named is None:
        what = "nail" if fastener(name, own).kind == "nail" else "fastener"
        words, named = [*words, what], len(words)
    if count != 1:
        words[named] += "s"
    return f"{count} {' '.join(words)}"


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
EXTRA = "wall.plate.extra.fastener"
# Fields of the wall and kit that mending or a recipe may change.
MENDED = (
    "wall.plate.spacing", EXTRA, "wall.plate.extra.at_each_brace", "wall.plate.strap_at_brace_lb",
    "wall.plate.sheathing_spacing", "wall.plate.sheathing_field_spacing", "wall.top_plate.end_nails",
    "wall.top_plate.strap_at_brace_lb", "wall.top_plate.spliced", "kit.cleat.sides", "kit.ties",
)  # fmt: skip
_WITHOUT = {
    "slab": ("kit.cleat.floor_fastener",),
    "ground": ("kit.cleat.floor_fastener", "kit.cleat.length"),
}
USUAL_EXTRA = "structural screw 0.22x5"
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
        chosen = with_value(chosen, EXTRA, USUAL_EXTRA)
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
    mended = [name for name in MENDED if value_at(before, name) != value_at(after, name)]
    mended += [
        f"wall.opening[{k}].header_nails"
        for k, (a, b) in enumerate(zip(before.wall.openings, after.wall.openings, strict=True))
        if a.header_nails != b.header_nails
    ]
    mended += [
        f"wall.row[{k}].{name}"
        for k in range(len(before.wall.rows), len(after.wall.rows))
        for name in ("height", "kind", "size")
    ]
    return found | {name: value_at(after, name) for name in mended}


SHORT: Inch = 48.0  # under this a spacing is said in inches


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
    said += [*_plate(before, after, metric=metric), *_wall(before, after, metric=metric)]
    said += [*_rows(before, result, metric=metric)]
    said += [*_braces(after, metric=metric), *_floor(after, result, metric=metric)]
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
    return apart(value, metric=metric) if isinstance(value, float) else str(value)


def _more(before: Job, after: Job, path: str) -> bool:
    """Whether a declared field was changed: one that was chosen is said with the choices."""
    return path in before.declared and value_at(before, path) != value_at(after, path)


def apart(inches: Inch, *, metric: bool = False) -> str:
    r"""Write a spacing or a short length.

    Args:
        inches: the length [in].
        metric: millimetres instead.

    Example:
        >>> apart(12.0), apart(60.0)
        ('12 in', '5\'-0"')
    """
    return tape(inches, metric=metric) if metric or inches >= SHORT else f"{inches:g} in"


def _plate(before: Job, after: Job, *, metric: bool) -> Iterator[str]:
    was, now = before.wall.plate, after.wall.plate
    if _more(before, after, "wall.plate.spacing"):
        yield f"bottom plate fasteners every {apart(now.spacing, metric=metric)}"
    if now.extra.at_each_brace > was.extra.at_each_brace:
        what = "anchor" if after.floor.kind == "slab" else now.extra.fastener
        many = counted(now.extra.at_each_brace, what, after.fasteners)
        yield f"{many} through the plate within {apart(24.0, metric=metric)} of each brace"
    if now.strap_at_brace_lb > was.strap_at_brace_lb:
        load = pounds(now.strap_at_brace_lb, metric=metric)
        yield f"a strap from stud to floor framing at each brace, allowable {load}"
    if _more(before, after, "wall.plate.sheathing_spacing"):
        yield f"sheathing nails every {apart(now.sheathing_spacing, metric=metric)} along the plate"
    if _more(before, after, "wall.plate.sheathing_field_spacing"):
        yield f"sheathing nails every {apart(now.sheathing_field_spacing, metric=metric)} on the studs"


def _wall(before: Job, after: Job, *, metric: bool) -> Iterator[str]:
    was, now = before.wall.top_plate, after.wall.top_plate
    if now.strap_at_brace_lb > was.strap_at_brace_lb:
        load = pounds(now.strap_at_brace_lb, metric=metric)
        yield f"a strap or screws from top plate to each braced stud, allowable {load}"
    if _more(before, after, "wall.top_plate.end_nails"):
        many = counted(now.end_nails, now.end_nail, after.fasteners)
        yield f"{many} through the top plate into each stud"
    if now.spliced and not was.spliced:
        yield "both top plates nailed together, joints lapped " + tape(48.0, metric=metric)
    for a, b in zip(before.wall.openings, after.wall.openings, strict=True):
        if b.header_nails > a.header_nails:
            at = tape(b.left, metric=metric)
            many = counted(b.header_nails, b.header_fastener, after.fasteners)
            yield f"{many} into header and sill ends of the opening at {at}"


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


def _braces(job: Job, *, metric: bool) -> Iterator[Said | str]:
    first = job.braces[0]
    if first.ties:
        yield ties_on(first.ties)
    if first.stiffener == "T":
        every = apart(STIFFENER_SPACING, metric=metric)
        yield (
            f"a second {first.size} along each brace, edge to its face as a T, {job.kit.head.fastener} every {every}"
        )
    if first.stud_doubled:
        yield "every braced stud doubled full height, on the side away from its brace"
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
