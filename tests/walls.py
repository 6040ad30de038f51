"""Random walls, framed and braced, for tests that must hold on any wall.

`random_wall` and `random_job` give the same thing for the same seed; `walls()` and `jobs()` are the same as
hypothesis strategies. Openings the framing refuses are left out again.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from attrs import evolve
from hypothesis import strategies as st

from bracing.codes.pressures import PressureField
from bracing.errors import InputError
from bracing.job.brace import Brace
from bracing.job.floor import Floor
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.returns import Return
from bracing.job.wall import Opening, Row, Studs, Wall
from bracing.panel.export import Springs
from bracing.panel.grillage import Compliance, analyse
from bracing.panel.loads import LoadSet, carry, lay_out_bays
from bracing.panel.mesh import Mesh, build_mesh

SCREW, LONG_SCREW = "structural screw 0.22x3", "structural screw 0.22x5"
SHAPES = ("level", "rake", "gable", "polyline")
HOLDING = Return(length=96.0, plated=True, nailed=True, sheathed=True, fastened_down=True, count=20)


def random_top(rng: random.Random, shape: str) -> tuple[tuple[float, float], ...]:
    """An outline of a shape: 8 to 60 ft long, now and then 120 ft, 8 ft at the least."""
    length = 1440.0 if rng.random() < 0.02 else round(rng.uniform(96.0, 720.0) * 4.0) / 4.0
    low = round(rng.uniform(96.0, 144.0) * 4.0) / 4.0
    rise = round(min(rng.uniform(0.02, 0.8) * length, 200.0) * 4.0) / 4.0
    if shape == "level":
        return ((0.0, low), (length, low))
    if shape == "rake":
        ends = (low, low + rise)
        left, right = ends if rng.random() < 0.5 else ends[::-1]
        return ((0.0, left), (length, right))
    if shape == "gable":
        peak = length / 2.0 if rng.random() < 0.7 else round(length * rng.uniform(0.3, 0.7))
        return ((0.0, low), (peak, low + rise), (length, low))
    parts = sorted(rng.sample(range(2, 9), rng.randint(2, 3)))
    inner = tuple((round(length * p / 10.0), low + rise * rng.random()) for p in parts)
    return ((0.0, low), *inner, (length, low + rise * rng.random()))


def random_opening(rng: random.Random, wall: Wall) -> Opening:
    """A door or window somewhere in the wall; it may not fit."""
    width = rng.choice((24.0, 30.0, 36.0, 48.0, 72.0, 96.0, 144.0))
    left = round(rng.uniform(2.0, max(3.0, wall.length - width - 2.0)) * 2.0) / 2.0
    sill = rng.choice((0.0, 0.0, 2.0, 8.0, 24.0, 36.0, 44.0))
    room = min(wall.height_at(left), wall.height_at(left + width)) - sill
    height = round(rng.choice((80.0 - sill, 48.0, room - 12.0, room - 5.0, room * 0.6)) * 2.0) / 2.0
    return Opening(
        left=left, sill=sill, width=width, height=max(height, 12.0), covered=rng.random() < 0.8,
        header=rng.choice(("2-2x6", "2-2x8", "2-2x10", "2-2x12")),
    )  # fmt: skip


def random_wall(
    seed: int,
    *,
    shape: str | None = None,
    openings: int | None = None,
    rows: int | None = None,
    returns: bool | None = None,
) -> Wall:
    """A wall; what is not asked for is left to chance."""
    rng = random.Random(seed)
    wall = Wall(
        name=f"random {seed}",
        top=random_top(rng, shape or rng.choice(SHAPES)),
        studs=Studs(
            size=rng.choice(("2x4", "2x6", "2x8")), spacing=rng.choice((12.0, 16.0, 19.2, 24.0)),
            first=rng.choice((0.0, 15.25, 7.0)), species="spruce-pine-fir", grade="No.2",
        ),
        layers=("osb 7/16",),
        moisture=rng.choice(("green", "dry")),
    )  # fmt: skip
    for _ in range(rng.choice((0, 0, 1, 2, 4)) if openings is None else openings):
        wall = with_opening(wall, random_opening(rng, wall))
    for _ in range(rng.choice((0, 0, 1, 2)) if rows is None else rows):
        height = round(rng.uniform(0.3, 1.0) * wall.highest)
        row = Row(
            height=height, kind=rng.choice(("wale", "strongback", "soffit")), size=rng.choice(("2x4", "2x6"))
        )
        wall = evolve(wall, rows=(*wall.rows, row))
    held = (
        rng.choice(((), (), ("left",), ("right",), ("left", "right")))
        if returns is None
        else ("left",) * returns
    )
    for end in held:
        wall = evolve(wall, **{f"{end}_end": "return", f"{end}_return": HOLDING})
    return wall


def with_opening(wall: Wall, opening: Opening) -> Wall:
    """The wall with one more opening, or as it was where the framing refuses it."""
    more = evolve(wall, openings=(*wall.openings, opening))
    try:
        full = frame_wall(more).full_height_studs
    except InputError:
        return wall
    return more if len(full) > 3 else wall


def random_braces(rng: random.Random, wall: Wall) -> tuple[Brace, ...]:
    """Braces on distinct full-height studs, spread over the wall; enough to hold it, as a rule."""
    studs = [line.x for line in frame_wall(wall).full_height_studs]
    count = min(len(studs), rng.randint(4, 8) + len(wall.top) - 2)
    groups = np.array_split(np.array(studs), count)
    braces = []
    for k, group in enumerate(groups):
        x = float(rng.choice(list(group)))
        head = round(rng.uniform(0.67, 0.97) * wall.height_at(x) * 16.0) / 16.0
        braces.append(
            Brace(
                mark=f"B{k + 1}",
                stud_at=x,
                head=head,
                set_back=round(head * rng.uniform(0.7, 1.3)),
                lap_side=rng.choice(("left", "right")),
                size=rng.choice(("2x4", "2x6")),
                ties=rng.randint(0, 2),
                head_fasteners=rng.randint(2, 6),
                cleat_fasteners=rng.randint(2, 6),
                floor_fasteners=rng.randint(3, 8),
                foot_on="joist" if rng.random() < 0.5 else "deck",
                stud_doubled=rng.random() < 0.2,
            )
        )
    return tuple(braces)


def random_job(seed: int, **asked: object) -> Job:
    """A wall on a deck with its braces up; `asked` is passed on to random_wall."""
    rng = random.Random(-1 - seed)
    wall = random_wall(seed, **asked)  # type: ignore[arg-type]
    floor = Floor(
        height_above_ground=rng.choice((0.0, 18.0, 36.0, 120.0)),
        open_below=rng.choice((None, True, False)),
        room=288.0,
    )
    return Job(wall=wall, floor=floor, braces=random_braces(rng, wall))


def fastened_job(seed: int) -> Job:
    """A random wall fastened so that a gust or a joint governs: plate nailed off and strapped, feet in joists."""
    rng, job = random.Random(seed), random_job(seed, rows=0)
    plate, top = job.wall.plate, job.wall.top_plate
    wall = evolve(
        job.wall,
        plate=evolve(
            plate, state="final", into_framing=True, sheathing_laps="plate", sheathing_spacing=3.0,
            extra=evolve(plate.extra, fastener=LONG_SCREW, at_each_brace=8),
        ),
        top_plate=evolve(top, end_nails=4, strap_at_brace_lb=2000.0, spliced=True),
    )  # fmt: skip
    kit = evolve(
        job.kit,
        head=evolve(
            job.kit.head, joint=rng.choice(("lapped", "lapped", "plumb")), fastener=SCREW, bored=True
        ),
        cleat=evolve(
            job.kit.cleat,
            size="2x6",
            lie="edge",
            length=48.0,
            sides=2,
            brace_fastener=SCREW,
            floor_fastener="structural screw 0.22x8",
            bored=True,
        ),
    )
    braces = tuple(
        evolve(b, ties=2, foot_on="joist", head_fasteners=rng.randint(5, 9), cleat_fasteners=8, floor_fasteners=10)
        for b in job.braces
    )  # fmt: skip
    return evolve(job, wall=wall, kit=kit, braces=braces)


def slender_job(seed: int) -> Job:
    """A fastened wall of at most six braces, some too slender to be pushed, or with heads that hold little in pull."""
    rng, job = random.Random(seed * 7 + 1), fastened_job(seed)
    drawn = rng.random()
    braces = []
    for brace in job.braces[:6]:
        slender = {"size": "2x4", "ties": 0, "set_back": round(brace.head * rng.uniform(1.0, 1.6))}
        braces.append(evolve(brace, **slender) if rng.random() < 0.5 else brace)
    head = job.kit.head
    if drawn < 0.4:
        head = evolve(head, joint="plumb", side_cleat=False, fastener=rng.choice((SCREW, "16d common")))
    site = evolve(job.site, top_load=rng.choice((0.0, 5 / 12, 5 / 12)), lean=rng.choice((0.0, 0.02)))
    return evolve(job, braces=tuple(braces), kit=evolve(job.kit, head=head), site=site)


def walls(**asked: object) -> st.SearchStrategy[Wall]:
    """Any wall."""
    return st.integers(0, 10**6).map(lambda seed: random_wall(seed, **asked))  # type: ignore[arg-type]


def jobs(**asked: object) -> st.SearchStrategy[Job]:
    """Any wall with its braces."""
    return st.integers(0, 10**6).map(lambda seed: random_job(seed, **asked))


@dataclass
class Panel:
    """A job's wall as a panel under some pressure fields, and springs for its braces.

    The springs are any numbers of the right size; what a brace is really worth is the chain's affair.
    """

    job: Job
    mesh: Mesh
    fields: Sequence[PressureField]
    loads: LoadSet
    compliance: Compliance
    springs: Springs

    @property
    def heads(self) -> list[int]:
        return list(self.mesh.heads)


def panel(job: Job, fields: Sequence[PressureField], *, plate_plies: int = 2) -> Panel:
    """Analyse a job's wall under fields of one psi."""
    framing = frame_wall(job.wall)
    heads = [(brace.stud_at, brace.head) for brace in job.braces]
    doubled = [brace.stud_at for brace in job.braces if brace.stud_doubled]
    mesh = build_mesh(job.wall, framing, heads, doubled=doubled, plate_plies=plate_plies)
    loads = carry(mesh, lay_out_bays(mesh, job.wall), fields)
    n = len(heads)
    give = np.array(
        [1.0 / (500.0 + 400.0 * b.head_fasteners + 100.0 * b.floor_fasteners) for b in job.braces]
    )
    springs = Springs(tuple(b.mark for b in job.braces), give, np.ones(n, bool), np.ones(n, bool))
    return Panel(job, mesh, fields, loads, analyse(mesh, loads), springs)
