"""The chain for many layouts at once, at one gust: the worst ratio of each, and what more fasteners would mend."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS
from bracing.chain.groups import PlateUse, plate_sets, strongest
from bracing.chain.materials import Materials, materials_of
from bracing.chain.studs import span_groups
from bracing.chain.wall import SPREAD, WallStrength, stretch_of_plate, wall_strength
from bracing.choosing import SAME
from bracing.job.job import Job
from bracing.layout.grid import Bench, HeadPanel
from bracing.layout.studs import FORCES, READINGS, STEP
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
    use = PlateUse(plate_sets(joined.strength, counts[:, None], plate.extra.at_each_brace))
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


BLOCK = 384  # layouts in one call: their working set stays in the processor's cache
WITHIN = 1.0 + SAME  # a ratio up to this is one
SINGULAR = 1e-9  # a motion's pivot under this part of the largest is a motion nothing holds


def worst_ratios(bench: Bench, layouts: Ints, joined: Joined | None = None) -> Array:
    """Give the worst ratio of each layout; infinite where the wall can still move.

    Args:
        bench: the wall at one gust.
        layouts: makes of each layout, from LEFT, shape (b, n).
        joined: tables of the links more fasteners can mend; without them those are left out.

    Returns:
        Worst ratios, shape (b,).
    """
    return _in_blocks(bench, layouts, bench.at[layouts], layouts, joined)


def ratios_within(bench: Bench, layouts: Ints) -> Array:
    """Give the worst ratio of each layout that is within; of most others infinity, at a quarter of the work.

    A layout is dropped where a brace or its own stud is over in one state alone: all joints slack, both top plies.

    Args:
        bench: the wall at one gust.
        layouts: makes of each layout, from LEFT, shape (b, n).

    Returns:
        Worst ratios, shape (b,).
    """
    worst = np.full(len(layouts), np.inf)
    for k in range(0, len(layouts), BLOCK):
        chosen = layouts[k : k + BLOCK].T.copy()
        system, under, work = _reduced(bench, chosen, bench.at[chosen], plate=0)
        slack, _, held = brace_forces(*system, under=under, work=work, gaps=False)
        level = np.abs(slack).max(axis=1) / bench.level[chosen]
        fine = held & (np.maximum(level.max(axis=0), _read(bench.table, chosen, slack)) <= WITHIN)
        worst[k : k + BLOCK][fine] = 0.0
    left = worst == 0.0
    worst[left] = worst_ratios(bench, layouts[left])
    return worst


def off_mark_ratios(bench: Bench, layouts: Ints) -> Array:
    """Give the worst ratio of each layout with any one brace put up one stud off its mark.

    Args:
        bench: the wall at one gust.
        layouts: makes of each layout, shape (b, n).

    Returns:
        Worst ratios over all such slips, shape (b,).
    """
    worst = np.zeros(len(layouts))
    for side, k in product((0, 1), range(layouts.shape[1])):
        worst = np.maximum(worst, _moved_ratios(bench, layouts, k, side=side))
    return worst


def stands_off_mark(bench: Bench, layouts: Ints) -> NDArray[np.bool_]:
    """Whether each layout stands with any one brace put up one stud off its mark; what has failed is asked no more.

    Args:
        bench: the wall at one gust.
        layouts: makes of each layout, shape (b, n).

    Returns:
        Flags, shape (b,).
    """
    stands = np.ones(len(layouts), dtype=bool)
    for side, k in product((0, 1), range(layouts.shape[1])):
        stands[stands] = _moved_ratios(bench, layouts[stands], k, side=side) <= WITHIN
    return stands


def _moved_ratios(bench: Bench, layouts: Ints, k: int, *, side: int) -> Array:
    """Worst ratios with brace k one stud to a side; 0 where no stud is free there."""
    at, rows = bench.at[layouts], layouts.copy()
    beside = bench.beside[side][layouts[:, k]]
    taken = (bench.panel.stud[beside][:, None] == bench.panel.stud[at]).any(axis=1)
    moves = (beside >= 0) & ~taken
    at[moves, k] = beside[moves]
    rows[:, k] += (side + 1) * len(bench.makes)
    ratios = np.zeros(len(layouts))
    ratios[moves] = _in_blocks(bench, layouts[moves], at[moves], rows[moves])
    return ratios


def _in_blocks(bench: Bench, layouts: Ints, at: Ints, rows: Ints, joined: Joined | None = None) -> Array:
    parts = [
        _block(bench, *(part[k : k + BLOCK].T.copy() for part in (layouts, at, rows)), joined=joined)
        for k in range(0, len(layouts), BLOCK)
    ]
    return np.concatenate(parts) if parts else np.zeros(0)


def _block(bench: Bench, chosen: Ints, at: Ints, rows: Ints, *, joined: Joined | None) -> Array:
    """Worst ratios of a block; `chosen` are its makes, `at` their heads and `rows` of the bench's table, all (n, b)."""
    n, count = chosen.shape
    panel = bench.panel
    firmer = bench.give[1][chosen] - bench.give[0][chosen]
    spot = np.arange(n)
    nearest = _nearest(bench, at)
    found, held = [], np.ones(count, dtype=bool)
    worst = _left_out(panel.loose, panel.stud[at])
    for plate in (0, 1):
        system, under, work = _reduced(bench, chosen, at, plate=plate)
        slack, per_gap, fine = brace_forces(*system, under=under, work=work)
        gap = drawn_by_stiff(slack, per_gap, firmer)
        held &= fine
        found += [slack, slack + gap * per_gap[spot, spot, None]]
        worst = np.maximum(worst, _plate(panel, plate, at, slack, drawn=(gap, per_gap, nearest)))
    low, high = np.minimum.reduce(found), np.maximum.reduce(found)
    level = np.maximum(high.max(axis=1), -low.min(axis=1)) / bench.level[chosen]
    worst = np.maximum(worst, level.max(axis=0))
    if joined is not None:
        worst = np.maximum(worst, joined_ratios(bench, joined, chosen, low=low, high=high))
        worst = np.maximum(worst, _left_out(joined.loose, bench.panel.stud[at]))
    table = bench.table if joined is None else joined.own
    for force in (low, high):
        worst = np.maximum(worst, _read(table, rows, force))
    return np.where(held, worst, np.inf)


def _reduced(
    bench: Bench, chosen: Ints, at: Ints, *, plate: int
) -> tuple[tuple[Array, Array, Array], Array, Array]:
    """The reduced system of each layout of a block, all joints slack, and its loads: what `brace_forces` takes."""
    panel = bench.panel
    flexibility = panel.flexibility[plate][at[:, None], at[None, :]]
    motions = panel.motions[plate][at].transpose(0, 2, 1)
    under = panel.under_load[plate][:, at].swapaxes(0, 1)
    return (flexibility, motions, bench.give[1][chosen]), under, panel.work[plate]


def brace_forces(
    flexibility: Array, motions: Array, give: Array, *, under: Array, work: Array, gaps: bool = True
) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Solve the reduced systems of a block by elimination without pivoting.

    The braces' part is positive definite and the motions' part becomes negative definite, so no pivot vanishes unless
    a motion is not held.

    Args:
        flexibility: (n, n, b) [in/lb].
        motions: (n, m, b).
        give: (n, b) [in/lb].
        under: (n, c, b) [in].
        work: (c, m) [lb].
        gaps: give what a unit gap does too.

    Returns:
        Brace forces (n, c, b) [lb]; what a unit gap at each brace gives every brace, (n, n, b) [lb/in]; which layouts
        hold every motion (b,).

    Source: STATICS, force method, by the equations of bracing.panel.reduced.
    """
    n, m, count = motions.shape
    cases = under.shape[1]
    size = n + m
    start = size + cases
    whole = np.zeros((size, start + n * gaps, count))
    whole[:n, :n] = flexibility
    spot = np.arange(n)
    whole[spot, spot] += give
    whole[:n, n:size] = -motions
    whole[n:, :n] = -motions.swapaxes(0, 1)
    whole[:n, size:start] = under
    whole[n:, size:start] = -work.T[:, :, None]
    if gaps:
        whole[spot, start + spot] = 1.0
    held = np.ones(count, dtype=bool)
    top = np.abs(whole[spot, spot]).max(axis=0)
    for p in range(size):
        pivot = whole[p, p]
        if p >= n:
            loose = np.abs(pivot) < SINGULAR / top
            held &= ~loose
            pivot = np.where(loose, -1.0, pivot)
        stop = start + p + 1  # no gap past this brace's own has reached its row yet
        row = whole[p, p + 1 : stop] / pivot
        whole[p, p + 1 : stop] = row
        whole[p + 1 :, p + 1 : stop] -= whole[p + 1 :, p, None] * row[None]
    found = whole[:, size:]
    for p in range(size - 2, -1, -1):
        found[p] -= (whole[p, p + 1 : size, None] * found[p + 1 :]).sum(axis=0)
    return found[:n, :cases], found[:n, cases:], held


def drawn_by_stiff(force: Array, per_gap: Array, firmer: Array) -> Array:
    """Give the gap that stands for each brace's joints being the stiff ones among slack ones.

    A' = A - d e e', so A'⁻¹ b = x + [d x_k / (1 - d G_kk)] G e_k.

    Args:
        force: forces of all slack, (n, c, b) [lb].
        per_gap: G, what a unit gap at each brace gives every brace, (n, n, b) [lb/in].
        firmer: d, give each brace loses, (n, b) [in/lb].

    Returns:
        Gaps, (n, c, b) [in].

    Source: STATICS, a change of one spring (Sherman and Morrison).

    Example:
        >>> one = np.ones((1, 1, 1))
        >>> float(drawn_by_stiff(600.0 * one, 0.5 * one, np.ones((1, 1)))[0, 0, 0])
        1200.0
    """
    spot = np.arange(len(force))
    gap: Array = force * (firmer / (1.0 - firmer * per_gap[spot, spot]))[:, None]
    return gap


def _nearest(bench: Bench, at: Ints) -> Ints:
    """Brace nearest to each place along the plate, shape (b, k)."""
    x = bench.panel.mesh.stud_x[bench.panel.stud[at]]
    half_way = (x[1:] + x[:-1]) / 2.0
    nearest: Ints = (bench.panel.plate_x[None, None] > half_way[..., None]).sum(axis=0)
    return nearest


def _plate(
    panel: HeadPanel, plate: int, at: Ints, slack: Array, *, drawn: tuple[Array, Array, Ints]
) -> Array:
    """Worst top plate ratio of all slack, and of each place with its nearest brace tight, shape (b,)."""
    influence = panel.plate_heads[plate][at.T]
    gap, per_gap, nearest = drawn
    left = panel.plate_loads[plate] - slack.transpose(2, 1, 0) @ influence
    worst = np.abs(left).max(axis=(1, 2))
    more = np.take_along_axis(per_gap.transpose(2, 1, 0) @ influence, nearest[:, None], axis=1)
    left -= np.take_along_axis(gap.transpose(2, 1, 0), nearest[:, None], axis=2) * more
    return np.asarray(np.maximum(worst, np.abs(left, out=left).max(axis=(1, 2))))


def _read(table: Array, row: Ints, force: Array) -> Array:
    """Worst ratio over braces and cases, read off chords between READINGS, shape (b,)."""
    place = force / STEP + (READINGS - 1) / 2.0
    at = np.clip(place.astype(np.intp), 0, READINGS - 2)
    part = place - at
    cases = np.arange(force.shape[1])[None, :, None]
    first, second = table[row[:, None], cases, at], table[row[:, None], cases, at + 1]
    ratio: Array = (first + (second - first) * part).max(axis=(0, 1))
    return ratio


def _left_out(ratios: Array, studs: Ints) -> Array:
    """Greatest ratio of the studs left without a brace, shape (b,)."""
    worst = np.zeros(studs.shape[1])
    for stud in np.argsort(-ratios)[len(studs) :: -1]:
        braced = (studs == stud).any(axis=0)
        worst = np.where(braced, worst, np.maximum(worst, ratios[stud]))
    return worst
