"""Where one more brace goes: the stud nearest the middle of the widest gap, with a spot for its foot."""

from __future__ import annotations

import math
from itertools import pairwise

from attrs import evolve

from bracing.choosing import lowest, sorted_by, whole_down, whole_up
from bracing.job.brace import LEAST_REACH, Brace
from bracing.job.envelope import FAIR_HEAD
from bracing.job.framing import Framing
from bracing.job.job import Job
from bracing.layout.spots import Spot, find_spot
from bracing.units import Inch
from bracing.work.remedies import table

FOOT_STEP: Inch = 6.0
LONGEST: Inch = 276.0
BELOW_PLATES: Inch = 6.0
SAME_STUD: Inch = 1.0
FREE_END = 2.0  # a gap at a free end counts as this many times its width
BESIDE = 3.0  # a gap beside the place that needs help counts as this many times its width
ANGLES = (45.0, 50.0, 55.0, 40.0)


def add_brace(job: Job, framing: Framing, beside: Inch | None = None) -> Job | None:
    """Add one brace; None where no stud has a spot for one more.

    Args:
        job: the job.
        framing: its sticks.
        beside: the place that needs help most, which draws it into a gap beside it [in]; or None.
    """
    studs = [s.x for s in framing.full_height_studs]
    studs = [x for x in studs if all(abs(x - brace.stud_at) > SAME_STUD for brace in job.braces)]
    for x in sorted_by(studs, *(lambda x, k=k: _distance(job, x, beside)[k] for k in (0, 1))):
        made = _on_stud(job, x)
        if made is not None:
            return evolve(job, braces=(*job.braces, made))
    return None


def _distance(job: Job, x: Inch, beside: Inch | None) -> tuple[float, float]:
    """Order of places: the widest gap first, in it the middle."""
    length = job.wall.length
    marks = sorted(brace.stud_at for brace in job.braces)
    if not marks:
        return 0.0, abs(x - length / 2.0)
    spans = [(low, high, (high - low) * FREE_END) for low, high in ((0.0, marks[0]), (marks[-1], length))]
    spans += [(low, high, high - low) for low, high in pairwise(marks)]
    low, high, size = next(s for s in spans if s[0] - 1e-6 <= x <= s[1] + 1e-6)
    if beside is not None and low - SAME_STUD <= beside <= high + SAME_STUD:
        size *= BESIDE
    return -size, abs(x - (low + high) / 2.0)


def _on_stud(job: Job, x: Inch) -> Brace | None:
    """A brace like its neighbours where a foot may stand; else flatter or steeper."""
    made = table()["added_brace"]
    near = lowest(job.braces, lambda b: abs(b.stud_at - x)) if job.braces else None
    top = job.wall.height_at(x)
    part = FAIR_HEAD if near is None else near.head / job.wall.height_at(near.stud_at)
    like = whole_down(part * top / FOOT_STEP) * FOOT_STEP
    least = whole_up(FAIR_HEAD * top / FOOT_STEP) * FOOT_STEP
    head = min(max(like, least), top - BELOW_PLATES)
    size = "2x6" if near is None else near.size
    aims = ANGLES if near is None else (math.degrees(near.angle), *ANGLES)
    for aim in aims:
        back = whole_down(head / math.tan(math.radians(aim)) / FOOT_STEP + 0.5) * FOOT_STEP
        if min(head, back) < LEAST_REACH or math.hypot(back, head) > LONGEST:
            continue
        spot = find_spot(job, stud=x, head=head, set_back=back, size=size)
        if isinstance(spot, Spot):
            counts, sides = made["counts"], job.kit.cleat.sides
            return Brace(
                mark=_next_mark(job), stud_at=x, lap_side=spot.lap_side, head=head, set_back=back, size=size,
                ties=max((brace.ties for brace in job.braces), default=0), head_fasteners=counts[0],
                cleat_fasteners=counts[1] * sides, floor_fasteners=counts[2] * sides,
                into_joist=job.floor.kind == "deck",
            )  # fmt: skip
    return None


def _next_mark(job: Job) -> str:
    used = {brace.mark for brace in job.braces}
    return next(f"B{k}" for k in range(1, 1000) if f"B{k}" not in used)
