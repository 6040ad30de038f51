"""The links more fasteners can mend, for many layouts at once: with them the batch holds the whole chain.

Shear and lift on the bottom plate, sheathing or strap under the lift, top plate to stud. The stretch of plate a brace's
lift may use depends only on the braced studs beside it, so every stretch there can be is tabled.
"""

from __future__ import annotations

import math

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS
from bracing.chain.groups import plate_sets, plate_use, strongest
from bracing.chain.materials import Materials, materials_of
from bracing.chain.spans import span_groups
from bracing.chain.wall import SPREAD, WallStrength, stretch_of_plate, wall_strength
from bracing.job.job import Job
from bracing.layout.bench import Bench
from bracing.layout.readings import FORCES
from bracing.panel.cases import Cases
from bracing.units import Mph

Array = NDArray[np.float64]
Ints = NDArray[np.intp]


@frozen(eq=False)
class Joined:
    """Tables of a wall's mendable links at one gust; u studs, h heads, s makes, c wind cases.

    Attributes:
        job: the job, for its counts and spacings.
        strength: strengths of the wall.
        low: where the stretch of a stud starts, by the braced stud before it (0 is none), (u + 1, u) [in].
        high: where it stops, by the braced stud after it (u is none), (u, u + 1) [in].
        sum_low: shear of the plate from LEFT up to `low`, (c, u + 1, u) [lb].
        sum_high: the same up to `high`, (c, u, u + 1) [lb].
        base: what the plate gives under its stud per pound of each make, (s,).
        own: worst ratio of a make's own stud, its top joint and its plate shear at each reading of its force, (s, c,
            READINGS).
        loose: worst ratio of both at each stud that has no brace, (u,).
        always: worst ratio of links no brace changes.
        along_stud: lift the sheathing nails along the stud below each make may take, (s,) [lb].
        lift: lift per pound of each make, (s,).
    """

    job: Job
    strength: WallStrength = field(repr=False)
    low: Array = field(repr=False)
    high: Array = field(repr=False)
    sum_low: Array = field(repr=False)
    sum_high: Array = field(repr=False)
    base: Array = field(repr=False)
    own: Array = field(repr=False)
    loose: Array = field(repr=False)
    always: float
    along_stud: Array = field(repr=False)
    lift: Array = field(repr=False)


def join(job: Job, bench: Bench, *, cases: Cases, gust: Mph) -> Joined:
    """Table the mendable links of a wall.

    Args:
        job: the job with its counts, spacings and straps.
        bench: the wall with its makes.
        cases: its load cases, for what no brace changes.
        gust: the gust [mph].
    """
    materials, panel = materials_of(job), bench.panel
    wall, mesh, statics = wall_strength(materials), panel.mesh, panel.statics
    plate, studs = job.wall.plate, mesh.stud_x
    verticals = np.sort(mesh.x[mesh.pinned])
    edge = np.concatenate([[0.0], (verticals[1:] + verticals[:-1]) / 2.0, [job.wall.length]])
    low, high = _stretches(job, studs)
    running = np.concatenate([np.zeros((len(statics.base), 1)), np.cumsum(statics.base, axis=1)], axis=1)

    def up_to(x: Array) -> Array:
        return np.stack([np.interp(x, edge, row) for row in running])

    own_vertical = np.searchsorted(verticals, studs)
    each = (
        wall.plate.lateral * np.diff(edge) / plate.spacing
        if plate.state == "final"
        else np.full(len(verticals), math.inf)
    )
    nails = job.wall.top_plate.end_nails * wall.stud_top.lateral
    loose = np.maximum(
        np.abs(statics.top).max(axis=0) / nails, (np.abs(statics.base).max(axis=0) / each)[own_vertical]
    )
    others = np.delete(np.abs(statics.base).max(axis=0) / each, own_vertical)
    stud = panel.stud[bench.at]
    base = -(1.0 - statics.arm[bench.at])
    return Joined(
        job=job, strength=wall, low=low, high=high, sum_low=up_to(low), sum_high=up_to(high), base=base,
        own=_own(bench, nails=max(nails, job.wall.top_plate.strap_at_brace_lb), plate=each[own_vertical[stud]]),
        loose=loose, always=max(_always(materials, bench, cases, gust), float(others.max(initial=0.0))),
        along_stud=np.floor(bench.head / plate.sheathing_field_spacing + 1e-9) * wall.sheathing_nail,
        lift=np.array([m.strength.lift_per_pound for m in bench.makes]),
    )  # fmt: skip


def _stretches(job: Job, studs: Array) -> tuple[Array, Array]:
    """Where each stud's stretch of plate starts and stops, by the braced stud before and after it."""
    reach = SPREAD if job.wall.plate.state == "final" else math.inf
    count, places = len(studs), studs.tolist()
    low, high = np.zeros((count + 1, count)), np.zeros((count, count + 1))
    for j, x in enumerate(places):
        for i in range(count + 1):
            before = places[i - 1] if 0 < i <= j else None
            after = places[i] if j < i < count else None
            low[i, j] = stretch_of_plate(job.wall, x, before=before, after=None, reach=reach)[0]
            high[j, i] = stretch_of_plate(job.wall, x, before=None, after=after, reach=reach)[1]
    return low, high


def _own(bench: Bench, *, nails: float, plate: Array) -> Array:
    """Worst of stud, top joint and plate shear at a make's own stud, at each reading of its force, (s, c, READINGS)."""
    statics, stud = bench.panel.statics, bench.panel.stud[bench.at]
    verticals = np.sort(bench.panel.mesh.x[bench.panel.mesh.pinned])
    vertical = np.searchsorted(verticals, bench.panel.mesh.stud_x)[stud]
    arm = statics.arm[bench.at][:, None, None]
    top = np.abs(statics.top[:, stud].T[..., None] + arm * FORCES)
    base = np.abs(statics.base[:, vertical].T[..., None] + (1.0 - arm) * FORCES)
    joints = np.maximum(top / nails, base / plate[:, None, None])
    return np.maximum(bench.table[: len(stud)], joints)


def _always(materials: Materials, bench: Bench, cases: Cases, gust: Mph) -> float:
    """Worst ratio of sheathing off the studs, and of headers and sills."""
    mesh, statics = bench.panel.mesh, bench.panel.statics
    ends, bent = (
        np.stack([part, np.zeros_like(part)], axis=-1) for part in (statics.span_end, statics.span_moment)
    )
    spans = span_groups(mesh, cases, materials, ends=ends, bent=bent, directions=DIRECTIONS)
    of_spans = max((float(group.ratios(gust).max()) for group in spans), default=0.0)
    job, wall = materials.job, wall_strength(materials)
    q = cases.pressure_per_mph2 * gust**2
    worst = strongest(cases, mesh, job.wall.highest)
    area = job.wall.studs.spacing * job.wall.plate.sheathing_field_spacing
    off = worst * q * area / wall.sheathing_off if wall.sheathing_off > 0.0 else 0.0
    return max(off, of_spans)


def joined_ratios(bench: Bench, joined: Joined, chosen: Ints, *, low: Array, high: Array) -> Array:
    """Give the worst ratio of the mendable links of a block of layouts.

    Args:
        bench: the wall with its makes.
        joined: its tables.
        chosen: makes of each layout, from LEFT, (n, b).
        low: least force of each brace over the stiffnesses, (n, c, b) [lb].
        high: greatest force, (n, c, b) [lb].

    Returns:
        Worst ratios, (b,).
    """
    stud = bench.panel.stud[bench.at[chosen]]
    none = np.zeros((1, stud.shape[1]), dtype=np.intp)
    before = np.concatenate([none, stud[:-1] + 1])
    after = np.concatenate([stud[1:], none + len(joined.loose)])
    plate = joined.job.wall.plate
    run = joined.high[stud, after] - joined.low[before, stud]
    shear = (joined.sum_high[:, stud, after] - joined.sum_low[:, before, stud]).swapaxes(0, 1)
    final = plate.state == "final"
    counts = np.floor(run / plate.spacing + 1e-9) if final else np.zeros_like(run)
    use = plate_use(plate_sets(joined.strength, counts[:, None], plate.extra.at_each_brace))
    strapped = plate.strap_at_brace_lb > 0.0
    past = strapped or plate.sheathing_laps == "rim"
    lift = joined.lift[chosen][:, None]
    base = joined.base[chosen][:, None]
    worst = np.full(chosen.shape[1], joined.always)
    for force in (low, high):
        pull = np.zeros_like(force) if past else np.abs(force) * lift
        worst = np.maximum(worst, use(np.abs(shear - base * force), pull).max(axis=(0, 1)))
    most = np.maximum(high.max(axis=1), -low.min(axis=1)) * joined.lift[chosen]
    laps = plate.sheathing_laps != "none"
    along_plate = np.floor(run / plate.sheathing_spacing + 1e-9) * joined.strength.sheathing_nail * laps
    paths = (
        np.full_like(run, plate.strap_at_brace_lb)
        if strapped
        else np.minimum(along_plate, joined.along_stud[chosen])
    )
    with np.errstate(divide="ignore"):
        lifted: Array = np.where(most > 0.0, most / paths, 0.0).max(axis=0)
    whole: Array = np.maximum(worst, lifted)
    return whole
