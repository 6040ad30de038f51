"""What must be so, or be added, for a layout: the choices nobody declared, and what mending asked for."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bracing.chain.assumed import value_at
from bracing.chain.brace import STIFFENER_SPACING
from bracing.chain.cuts import cut_of, head_fits
from bracing.chain.studs import row_holds
from bracing.check import CheckResult
from bracing.choosing import whole_up
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.layout.choices import GROUPS, chosen_fields, rows_added
from bracing.layout.wood import known_joists, wood_blocks
from bracing.stages.going_up import ties_on
from bracing.units import Inch, pounds, tape
from bracing.work.words import counted

LOAD_STEP = 25.0  # what a block's end or a strap must carry is asked for in steps of this [lb]
SHORT: Inch = 48.0  # under this a spacing is said in inches


def needed_too(before: Job, after: Job, result: CheckResult, *, metric: bool = False) -> tuple[str, ...]:
    """Say in plain words what a layout needs beside its braces.

    Args:
        before: the job as declared.
        after: the job with the layout.
        result: its check.
        metric: lengths in millimetres.
    """
    said = [*_chosen(before, after, metric=metric)]
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
        load = pounds(whole_up(max(most) / LOAD_STEP) * LOAD_STEP, metric=metric)
        up = tape(row.height, metric=metric)
        yield (
            f"a {row.size} {row.kind} on edge, {up} up, in one length or spliced, fastened to every stud it crosses "
            f"for {load} toward it and away from it"
        )


def _braces(job: Job, *, metric: bool) -> Iterator[str]:
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
    each = whole_up(pull / 2.0 / blocks / LOAD_STEP) * LOAD_STEP
    joists = job.floor.joists or Joists()
    yield (
        f"at each foot {blocks} solid {joists.size} blocks between joists under the cleat that lies over none, their "
        f"ends fastened for {pounds(each, metric=metric)}"
    )
