"""Parts every answer shares: JSON header, braces with their forces, load cases, what is said first and last."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Iterable
from typing import TypedDict, TypeVar

import numpy as np
from attrs import frozen

from bracing._version import __version__
from bracing.chain.evaluate import Evaluation
from bracing.chain.forces import DIRECTIONS, applied, return_levers
from bracing.chain.links import Direction
from bracing.chain.model import Model
from bracing.chain.room import Counted, CountedJson, counted
from bracing.choosing import first_least, sorted_by, whole_down
from bracing.codes.basis import IN_USE, Basis, basis_of, named_standards
from bracing.errors import FaultJson
from bracing.job.brace import JointId
from bracing.job.job import Job
from bracing.job.wall import LAID_DOWN
from bracing.said import Kind, Quantity, Said, Term, Verdict
from bracing.units import Inch, Mph, Pound

CAUTIONS = (
    Said("no-stamped-design"),
    Said("what-is-covered"),
    Said("void-if-anything-differs"),
    Said("never-shelter"),
)

LIMIT_STATEMENT = Said("at-the-limit")


def by_mark(job: Job, gusts: tuple[Mph, ...]) -> dict[str, int]:
    """Give a gust of each brace by its mark, rounded down [mph].

    Args:
        job: the job.
        gusts: one a brace, or none [mph].
    """
    return {brace.mark: whole_down(gust) for brace, gust in zip(job.braces, gusts, strict=False)}


def least_by_mark(job: Job, gusts: tuple[Mph, ...]) -> tuple[int, str] | None:
    """Give the least gust, rounded down, and whose it is, of the same the first; None without braces.

    Args:
        job: the job.
        gusts: one a brace, or none [mph].
    """
    k = first_least(gusts) if gusts else None
    return None if k is None else (whole_down(gusts[k]), job.braces[k].mark)


HeaderJson = TypedDict("HeaderJson", {
    "schema": str, "program": str, "standards": list[str], "input_sha256": str,
})  # fmt: skip
BraceJson = TypedDict("BraceJson", {
    "mark": str, "x_ft": float, "foot_x_ft": float, "head_ft": float, "set_back_ft": float, "angle_deg": float,
    "length_ft": float, "stock": str, "lap_side": str, "push_lb": float, "pull_lb": float, "foot_down_lb": float,
    "foot_up_lb": float, "not_counted": Said | None,
    "head_counted": CountedJson, "cleat_counted": CountedJson, "floor_counted": CountedJson,
    "worst_pull": float | None,
})  # fmt: skip
CaseJson = TypedDict("CaseJson", {
    "case": str, "direction": Direction, "gap": str, "plates": str, "slip": str, "wind_lb": float,
    "wind_moment_lbft": float, "total_lb": float, "moment_about_plate_lbft": float, "plate_shear_lb": float,
    "return_lb": float, "return_moment_lbft": float, "held": bool, "brace_horizontal_lb": dict[str, float],
    "head_couple_lbft": dict[str, float],
})  # fmt: skip
LoadsJson = TypedDict("LoadsJson", {
    "total_lb": float, "cases": list[CaseJson],
})  # fmt: skip
_ListedKeys = TypedDict("_ListedKeys", {
    "results": str, "gust_mph": float, "rows": int, "done_before": int, "done_again": int, "no_braces_on_file": int,
    "people_out": int, "verdicts": dict[str, int],
})  # fmt: skip


class ListedJson(HeaderJson, _ListedKeys):
    """What a list of walls gives, in all."""


LogRowJson = TypedDict("LogRowJson", {
    "seq": int, "at": str, "kind": str, "wall": str, "who": str, "link": str, "told": str, "body": object, "prev": str,
    "hash": str,
})  # fmt: skip
_LogKeys = TypedDict("_LogKeys", {
    "head": str, "rows_in_all": int, "verified": bool | None, "rows": list[LogRowJson], "files": list[str],
    "errors": list[FaultJson],
})  # fmt: skip


class LogJson(HeaderJson, _LogKeys):
    """What `bracing log` gives."""


_LinkedKeys = TypedDict("_LinkedKeys", {
    "id": str, "role": str, "until": str, "revoked": bool, "link": str | None,
})  # fmt: skip


class LinkedJson(HeaderJson, _LinkedKeys):
    """What `bracing serve` gives of a link."""


SCHEMA_VERSION = 1


def header(job: Job, kind: str) -> HeaderJson:
    """Give what every JSON object starts with.

    Args:
        job: gives the hash of the input.
        kind: the command.
    """
    return header_of_hash(job.sha256, kind, basis=basis_of(job))


def header_of_hash(sha256: str, kind: str, *, basis: Basis = IN_USE) -> HeaderJson:
    """Give what a JSON object starts with, of an input whose hash is known.

    Args:
        sha256: hash of the input.
        kind: the command.
        basis: what the numbers rest on.
    """
    return {
        "schema": f"bracing.{kind}.{SCHEMA_VERSION}",
        "program": f"bracing {__version__}",
        "standards": named_standards(basis),
        "input_sha256": sha256,
    }


@frozen
class BraceResult:
    """One brace with its geometry and largest forces.

    Attributes:
        mark: its mark.
        x: its stud from LEFT [in].
        foot_x: middle of its foot from LEFT [in].
        head: head height [in].
        set_back: foot to plate [in].
        angle: from the floor [rad].
        length: head to foot [in].
        stock: nominal size.
        lap_side: left or right.
        push: largest thrust along it over all cases [lb].
        pull: largest pull along it [lb].
        not_counted: in which direction it counts for nothing, and why; None where it counts in both.
        head_counted: how many of its head fasteners count.
        cleat_counted: how many from brace to cleat count.
        floor_counted: how many from cleat to floor count.
        worst: pull of the worst of those over an even share of the lift; None where no cleat is worked out [-].
    """

    mark: str
    x: Inch
    foot_x: Inch
    head: Inch
    set_back: Inch
    angle: float
    length: Inch
    stock: str
    lap_side: str
    push: Pound
    pull: Pound
    not_counted: Said | None
    head_counted: Counted
    cleat_counted: Counted
    floor_counted: Counted
    worst: float | None

    @property
    def foot_down(self) -> Pound:
        """What the foot presses the floor down with at its largest thrust [lb]."""
        return self.push * math.sin(self.angle)

    @property
    def foot_up(self) -> Pound:
        """What the foot lifts the floor with at its largest pull [lb]."""
        return self.pull * math.sin(self.angle)

    def to_dict(self) -> BraceJson:
        """Give it as the JSON object of the design, section 12."""
        return {
            "mark": self.mark, "x_ft": self.x / 12.0, "foot_x_ft": self.foot_x / 12.0, "head_ft": self.head / 12.0,
            "set_back_ft": self.set_back / 12.0, "angle_deg": math.degrees(self.angle),
            "length_ft": self.length / 12.0, "stock": self.stock, "lap_side": self.lap_side,
            "push_lb": self.push, "pull_lb": self.pull,
            "foot_down_lb": self.foot_down, "foot_up_lb": self.foot_up, "not_counted": self.not_counted,
            "head_counted": self.head_counted.to_dict(), "cleat_counted": self.cleat_counted.to_dict(),
            "floor_counted": self.floor_counted.to_dict(),
            "worst_pull": self.worst,
        }  # fmt: skip


def foot_x(job: Job, index: int, stud: Inch) -> Inch:
    """Middle of a brace's foot from LEFT: beside its stud, and any king nailed to it, on the side it laps [in].

    The second ply of a doubled stud goes on the other side, where it is out of the way of head and foot.

    Args:
        job: the job.
        index: which brace.
        stud: centre of its stud [in].
    """
    from bracing.job.framing import stick_at
    from bracing.job.lumber import section

    brace = job.braces[index]
    thick = section(brace.size).thickness
    return stick_at(job.wall, stud, brace.lap_side, joint=job.kit.head.joint, thick=thick)


def brace_results(job: Job, model: Model | None, evaluation: Evaluation | None) -> tuple[BraceResult, ...]:
    """Give each brace with its largest push and pull.

    Args:
        job: the job.
        model: its model, or None beyond the envelope.
        evaluation: the chain evaluated, or None.
    """
    if model is None or evaluation is None:
        return ()
    level = np.concatenate([f.at(f.brace, evaluation.gust) for f in evaluation.forces])
    largest = np.maximum(level.max(axis=0, initial=0.0), 0.0)
    least = np.maximum(-level.min(axis=0, initial=0.0), 0.0)
    found = []
    for k, (brace, stud, strength) in enumerate(zip(job.braces, model.studs, model.strengths, strict=True)):
        axial = 1.0 / math.cos(brace.angle)
        whys = [min(sense, key=lambda s: s.capacity).why for sense in (strength.push, strength.pull)]
        push = None if strength.counts_in_push else Said("nothing-in-push", why=whys[0] or "")
        pull = None if strength.counts_in_pull else Said("nothing-in-pull", why=whys[1] or "")
        neither = push and pull and Said("nothing-in-either", push=push, pull=pull)
        found.append(
            BraceResult(
                brace.mark, stud, foot_x(job, k, stud), brace.head, brace.set_back, brace.angle, brace.length,
                brace.size, brace.lap_side, float(largest[k]) * axial, float(least[k]) * axial, neither or push or pull,
                head_counted=counted(job, brace, JointId.HEAD), cleat_counted=counted(job, brace, JointId.CLEAT),
                floor_counted=counted(job, brace, JointId.FLOOR), worst=strength.worst,
            )
        )  # fmt: skip
    return tuple(found)


def load_results(evaluation: Evaluation) -> LoadsJson:
    """Give the load cases: what is applied, and what braces and plate give back, in balance.

    Args:
        evaluation: the chain evaluated.
    """
    gust = evaluation.gust
    cases: list[CaseJson] = []
    for direction, forces in zip(DIRECTIONS, evaluation.forces, strict=True):
        load, moment = applied(forces)
        total, about = forces.at(load, gust), forces.at(moment, gust)
        plate, brace = (forces.at(part, gust) for part in (forces.states.plate, forces.states.brace))
        returns = forces.at(forces.states.returns, gust) @ return_levers(forces.model.meshes[0])
        marks, arms = [b.mark for b in forces.model.job.braces], forces.model.meshes[0].head_arms
        for row, (case, gap, plates, slip) in enumerate(forces.model.states):
            cases.append(
                {
                    "case": case, "direction": direction, "gap": gap, "plates": plates, "slip": slip,
                    "wind_lb": float(load[row, 1]) * gust**2,
                    "wind_moment_lbft": float(moment[row, 1]) * gust**2 / 12.0,
                    "total_lb": float(total[row]), "moment_about_plate_lbft": float(about[row]) / 12.0,
                    "plate_shear_lb": float(plate[row]), "return_lb": float(returns[row, 0]),
                    "return_moment_lbft": float(returns[row, 1]) / 12.0, "held": bool(forces.states.held[row]),
                    "brace_horizontal_lb": dict(zip(marks, brace[row].tolist(), strict=True)),
                    "head_couple_lbft": dict(zip(marks, (brace[row] * arms / 12.0).tolist(), strict=True)),
                }
            )  # fmt: skip
    greatest = max((abs(c["total_lb"]) for c in cases), default=0.0)
    return {"total_lb": greatest, "cases": cases}


def header_of_several(hashes: Iterable[str], kind: str) -> HeaderJson:
    """Give what a JSON object about several inputs starts with.

    Args:
        hashes: the hash of each input, in any order.
        kind: the command.

    Example:
        >>> header_of_several([], "walls")["schema"]
        'bracing.walls.1'
    """
    return header_of_hash(hashlib.sha256("".join(sorted(hashes)).encode()).hexdigest(), kind)


# -- what is said of a wall before any number ------------------------------------------------------------

WORST_FIRST = (Verdict.ENGINEER, Verdict.OVER, Verdict.UNKNOWN, Verdict.WITHIN, Verdict.NOT_UP)
NO_MARGIN = -1.0
Item = TypeVar("Item")


def without_braces(job: Job) -> bool:
    """Whether a wall is up and its file has no brace: it comes before all others.

    Args:
        job: the wall as its file has it.
    """
    return job.wall.up and not job.braces


def unknown_said(job: Job) -> tuple[Said, ...]:
    """Say what nobody said of a wall that comes before every number: with any of it no wall is within.

    Args:
        job: the wall as its file has it.

    Returns:
        Trusses nobody said the tie of, and a storey below that nobody said is done; nothing where all is known.
    """
    said = [Said("above-unknown", what=one.named) for one in job.wall.above if one.untied]
    return (*said, Said("storey-unknown")) if job.storey_unknown else tuple(said)


def loads_said(job: Job) -> tuple[Said, ...]:
    """Say what a wall is counted with from above; nothing where nothing is declared.

    Args:
        job: the wall as its file has it.
    """
    rows = []
    for one in job.wall.above:
        if not one.count:
            continue
        span = "" if one.span is None else Said("load-span", span=Quantity(one.span, Kind.TAPE))
        at = "" if one.at is None else Said("load-at", at=Quantity(one.at, Kind.TAPE))
        tied = Said("load-tied", to=Term(one.tied_to)) if one.tips else ""
        each = Quantity(one.each, Kind.LOAD)
        rows.append(
            Said("load-row", count=one.count, what=Term(one.kind), each=each, span=span, at=at, tied=tied)
        )
    return (Said("loads-declared", what=tuple(rows)),) if rows else ()


def said_first(job: Job, *, plan: Said | None = None) -> tuple[Said, ...]:
    """Say what stands before every number: not up, no braces on file, and that what follows is a plan.

    Before all of it come trusses nobody said the tie of, and a storey below that nobody said is done.

    Args:
        job: the wall as its file has it.
        plan: what a layout that follows is for, such as a gust of 40 mph; None where none follows.

    Returns:
        A paragraph each; none of a wall that is up with its braces.
    """
    said = list(unknown_said(job))
    if job.wall.state == LAID_DOWN:
        said.append(Said("laid-down", state=job.wall.state))
    elif not job.wall.up:
        said.append(Said("not-up", state=job.wall.state))
    if not job.braces:
        said.append(Said("no-brace-keeps") if job.wall.up else Said("no-brace-would-keep"))
    if job.met:
        met = tuple(
            Said("at-end-left", file=file) if end == "left" else Said("at-end-right", file=file)
            for end, _, file in (each.partition(" ") for each in job.met)
        )
        said.append(Said("met-by-its-job", met=met))
    if job.reported:
        said.append(Said("walk-unfinished", told=job.reported))
    if job.built is not None and job.not_seen:
        looks = tuple(Said.by(look, {}) for look in job.not_seen)
        said.append(Said("walked-not-seen", when=job.built.when, looks=looks))
    if plan is not None:
        said.append(Said("a-plan", plan=plan))
    return tuple(said)


def verdict_rank(verdict: str) -> int:
    """Give how bad a verdict is among those of several walls, 0 the worst.

    Args:
        verdict: within, over, unknown, engineer or not up; any other is as bad as the worst.
    """
    return WORST_FIRST.index(verdict) if verdict in WORST_FIRST else 0


WallAsked = tuple[
    Job, str | None, float | None
]  # a wall as its file has it, its verdict, its limit gust or margin


def worst_first(items: Iterable[Item], asked: Callable[[Item], WallAsked]) -> list[Item]:
    """Sort the walls of a job, on every screen that lists several.

    No braces on file; then an engineer's, over, unknown, within, each the least margin first, then by file name; last
    what is not up.

    Args:
        items: the walls, or what is said of them.
        asked: gives of one its job, its verdict (None where no gust was asked), and its limit gust or margin.
    """
    by_file = sorted(items, key=lambda item: asked(item)[0].file)
    return sorted_by(
        by_file,
        lambda item: _place(*asked(item)),
        lambda item: NO_MARGIN if asked(item)[2] is None else float(asked(item)[2] or 0.0),
    )


def _place(job: Job, verdict: str | None, margin: float | None) -> int:
    if without_braces(job):
        return -1
    if not job.wall.up:
        return verdict_rank(Verdict.NOT_UP)
    if verdict is None:
        return verdict_rank(Verdict.ENGINEER if margin is None else Verdict.OVER)
    return verdict_rank(verdict)
