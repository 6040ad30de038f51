"""What is done on a rung, at which brace, in the words of the trade."""

from __future__ import annotations

from collections.abc import Iterable

from bracing.job.brace import Brace
from bracing.job.job import Job
from bracing.storm.ladder import Rung
from bracing.units import pounds, tape
from bracing.work.parts import STRAPS
from bracing.work.remedies import Change

_COUNTED = {"head": "at the head", "cleat": "from brace to cleat", "floor": "from cleat to floor"}
_ALONG = {
    "plate nails": "bottom plate: {fastener}, every {after} instead of {before}",
    "sheathing nails": "sheathing to its foot: {sheathing}, every {after} instead of {before}",
    "sheathing on studs": "sheathing on the studs: {sheathing}, every {after} instead of {before}",
}


def rung_words(rung: Rung) -> tuple[str, ...]:
    """Say what is done on a rung, one line a kind of work.

    Args:
        rung: the rung.
    """
    said = [
        words
        for kind in rung.kind
        for words in _kind(rung.job, kind, [c for c in rung.changes if c.kind == kind])
    ]
    said += [brace_words(rung.job, brace) for brace in rung.added]
    return tuple(said)


def brace_words(job: Job, brace: Brace) -> str:
    """Say where an added brace goes and how it is fastened.

    Args:
        job: the wall with it.
        brace: the brace.
    """
    kit = job.kit
    ties = f", {brace.ties} tie row{'s' if brace.ties > 1 else ''}" if brace.ties else ""
    doubled = ", its stud doubled" if brace.stud_doubled else ""
    stiff = ", with a T" if brace.stiffener == "T" else ""
    joist = " into a joist" if brace.into_joist else ""
    side = f", lapped on its {brace.lap_side}" if kit.head.joint == "lapped" else ""
    return (
        f"add {brace.mark}: {brace.size} on the stud at {tape(brace.stud_at)} from LEFT{side}, head "
        f"{tape(brace.head)}, foot {tape(brace.set_back)} out{ties}{doubled}{stiff}; "
        f"{brace.head_fasteners} x {kit.head.fastener} at the head, {brace.cleat_fasteners} x "
        f"{kit.cleat.brace_fastener} to the cleat, {brace.floor_fasteners} x "
        f"{kit.cleat.floor_fastener} to the floor{joist}"
    )


def _kind(job: Job, kind: str, changes: list[Change]) -> Iterable[str]:
    if not changes:
        return ()
    marks = ", ".join(dict.fromkeys(c.mark for c in changes if c.mark))
    first = changes[-1]
    kit = job.kit
    if kind in _COUNTED:
        name = {
            "head": kit.head.fastener,
            "cleat": kit.cleat.brace_fastener,
            "floor": kit.cleat.floor_fastener,
        }
        each = ", ".join(f"{c.mark} {c.before} to {c.after}" for c in changes)
        return (f"{name[kind]} {_COUNTED[kind]}: {each}",)
    if kind in _ALONG:
        return (
            _ALONG[kind].format(
                fastener=job.wall.plate.fastener, sheathing=job.wall.plate.sheathing_fastener,
                after=tape(first.after), before=tape(first.before),
            ),
        )  # fmt: skip
    return _simple(job, kind, changes, marks)


def _simple(job: Job, kind: str, changes: list[Change], marks: str) -> Iterable[str]:
    first = changes[-1]
    where = {c.path: c for c in changes}
    strap = pounds(first.after) if first.path in STRAPS else ""
    plate = job.wall.plate
    extra = where.get("wall.plate.extra.at_each_brace")
    screw = where.get("wall.plate.extra.fastener")
    said = {
        "stud": f"double the stud over its full height at {marks}",
        "joist": f"block between the joists under the foot of {marks}, and screw the cleat through into it",
        "tie": f"tie rows across every brace, run to a diagonal: {first.before} to {first.after}",
        "stiffener": f"nail a second stick on as a T along {marks}",
        "head side cleat": "a side cleat at the head of every brace, so that it takes pull",
        "head screws": f"{first.after} beside every nail at the heads; the nails then count for nothing",
        "cleat screws": f"{first.after} beside every nail, brace to cleat; the nails then count for nothing",
        "floor screws": f"{first.after} beside every nail, cleat to floor; the nails then count for nothing",
        "second cleat": "a second cleat on the other side of every foot, fastened like the first",
        "plate state": f"nail the bottom plate off for good: {plate.fastener} every {tape(plate.spacing)}",
        "sheathing to plate": (
            f"nail the sheathing to the bottom plate: {plate.sheathing_fastener} every "
            f"{tape(plate.sheathing_spacing)}"
        ),
        "strap": f"at every brace a strap or screws, top plate to stud, stated {strap} or more",
        "strap at the foot": (f"at every brace a strap, stud to floor framing, stated {strap} or more"),
        "header": f"nails through the kings into header and sill ends: {first.before} to {first.after}",
    }
    if kind == "plate screws" and extra is not None:
        name = screw.after if screw else plate.extra.fastener
        return (f"{name} through the bottom plate at every brace: {extra.before} to {extra.after}",)
    return (said[kind],) if kind in said else ()
