"""A wall at one gust with every candidate on it: everything the screen of layouts reads.

No link is told here. Every ratio is the chain's own groups asked on a grid of forces; what the grid leaves between two
readings is taken no higher than the chain has it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.brace import BraceStrength, brace_strength, head_arm
from bracing.chain.forces import NAMES, Forces, States
from bracing.chain.links import Group, row_ratios
from bracing.chain.materials import Materials, materials_of
from bracing.chain.model import Model
from bracing.chain.studs import lifted_studs, stud_groups
from bracing.chain.wall import wall_strength
from bracing.choosing import SAME
from bracing.codes.basis import basis_of
from bracing.job.brace import Brace, Kit
from bracing.job.framing import Framing
from bracing.job.job import Job
from bracing.layout.candidates import Candidate, level_of
from bracing.panel.grillage import INSIDE, Compliance, Responses, analyse
from bracing.panel.loads import Cases, load_cases
from bracing.panel.mesh import Mesh, build_mesh
from bracing.panel.reduced import solve
from bracing.units import Inch, Mph, Pound

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

STEP: Pound = 50.0  # a brace's force is read in steps of this, past the most any candidate may give
MOST_RATIO = 1e6  # of a stud pressed past buckling; finite, so that a line from it can be drawn
PROP_GIVE = 1e-4  # of a prop at the top of a stud [in/lb]; any value bends a stud alike
PUSH = ("push",)
# Of one wall, heads of single and of doubled studs: as many are worked out, and asked at one gust after another.
PROPPED = 48

Shape = tuple[
    Inch, Inch, int, Inch
]  # stud, head, head fasteners, set-back: all a stud's links know of its brace


def shape_of(brace: Brace) -> Shape:
    """Give all that the links of a stud know of its brace.

    Args:
        brace: the brace.
    """
    return brace.stud_at, brace.head, brace.head_fasteners, brace.set_back


def at_gust(part: Array, gust: Mph) -> Array:
    """Give the steady row plus each wind row at a gust.

    Args:
        part: row 0 steady, then one wind case a row per mph squared, shape (1 + c, ..).
        gust: the gust [mph].

    Returns:
        Shape (c, ..), in the unit of `part`.

    Example:
        >>> at_gust(np.array([1.0, 0.5]), 2.0).tolist()
        [3.0]
    """
    value: Array = part[:1] + part[1:] * gust**2
    return value


# -- the studs, by the chain's own links -----------------------------------------------------------------


Stood = tuple[Brace, BraceStrength]


def _propped(
    job: Job, framing: Framing, stood: Sequence[Stood], *, gust: Mph, thunderstorm: bool
) -> tuple[Model, Responses]:
    """A wall with a node at the head of each of some braces, which give nothing yet: props at the tops hold it.

    A prop at its top bends no stud, and statics alone decides what passes through one. Responses are (c, ..), at the
    gust.
    """
    braces, strengths = (tuple(part) for part in zip(*stood, strict=True)) if stood else ((), ())
    heads, arms = (
        [(brace.stud_at, brace.head) for brace in braces],
        [head_arm(job, brace) for brace in braces],
    )
    doubled = tuple(brace.stud_at for brace in braces if brace.stud_doubled)
    mesh, cases, panel = _under_props(
        _sail(job), framing, tuple(heads), arms=tuple(arms), doubled=doubled, thunderstorm=thunderstorm
    )
    tops = len(framing.full_height_studs)
    force = solve(
        panel.flexibility, panel.motions, np.full(tops, PROP_GIVE), np.ones(tops, dtype=bool),
        under_load=at_gust(panel.under_load, gust).T, work=at_gust(panel.work, gust).T,
    ).force  # fmt: skip
    loads, each = panel.from_loads, panel.from_heads
    inside = {
        name: at_gust(getattr(loads, name), gust) - np.einsum("hc,h...->c...", force, getattr(each, name))
        for name in NAMES
    }
    model = Model(
        job=evolve(job, braces=braces), framing=framing, studs=tuple(x for x, _ in heads), strengths=strengths,
        meshes=(mesh, mesh), compliances=(panel, panel), crowded_compliances=(panel, panel),
        cases=cases, doubled=doubled,
    )  # fmt: skip
    return model, Responses(**inside)


def _sail(job: Job) -> Job:
    """The wall and its floor: all that the panel and the wind know of a job."""
    told = frozenset(path for path in job.declared if not path.startswith(("kit.", "brace")))
    return evolve(job, braces=(), kit=Kit(), declared=told)


def _kept(part: Array) -> Array:
    """A part of an array that does not keep the whole of it."""
    return np.array(part, copy=True)


@lru_cache(maxsize=PROPPED)
def _under_props(
    sail: Job, framing: Framing, heads: tuple[tuple[Inch, Inch], ...], *, arms: tuple[Inch, ...],
    doubled: tuple[Inch, ...], thunderstorm: bool,
) -> tuple[Mesh, Cases, Compliance]:  # fmt: skip
    """A wall propped at the top of each full-height stud: its mesh with the heads, its loads, the props' part."""
    tops = [(stud.x, sail.wall.height_at(stud.x)) for stud in framing.full_height_studs]
    mesh = build_mesh(
        sail.wall, framing, [*heads, *tops], arms=[*arms, *(0.0 for _ in tops)], doubled=doubled
    )
    cases = load_cases(sail, mesh, basis_of(sail).wind(sail, thunderstorm=thunderstorm)).crowded
    panel = analyse(mesh, cases.together())
    props, none = slice(len(heads), None), np.zeros((0, 0))
    each = Responses(**{name: _kept(getattr(panel.from_heads, name)[props]) for name in NAMES})
    part = evolve(
        panel, flexibility=_kept(panel.flexibility[props, props]), motions=_kept(panel.motions[props]),
        under_load=_kept(panel.under_load[:, props]), from_heads=each, deflection=(none, none, none),
    )  # fmt: skip
    return mesh.keeping(range(len(heads))), cases, part


@lru_cache(maxsize=16)
def _with_heads(
    sail: Job, framing: Framing, heads: tuple[tuple[Inch, Inch, Inch], ...], *, doubled: tuple[Inch, ...],
    plies: int, thunderstorm: bool,
) -> tuple[Mesh, Array, Compliance]:  # fmt: skip
    """A wall with a node at every head: its mesh, the moment of its loads about the plate, and what a screen reads."""
    places, arms = [head[:2] for head in heads], [arm for *_, arm in heads]
    mesh = build_mesh(sail.wall, framing, places, arms=arms, doubled=doubled, plate_plies=plies)
    loads = load_cases(sail, mesh, basis_of(sail).wind(sail, thunderstorm=thunderstorm)).crowded.together()
    panel, none = analyse(mesh, loads), np.zeros((0, 0))
    from_loads, from_heads = (
        Responses(**{name: _kept(part.plate_moment) if name == "plate_moment" else none for name in NAMES})
        for part in (panel.from_loads, panel.from_heads)
    )
    kept = evolve(
        panel, flexibility=_kept(panel.flexibility), under_load=_kept(panel.under_load), work=_kept(panel.work),
        from_loads=from_loads, from_heads=from_heads, deflection=(none, none, none),
    )  # fmt: skip
    return mesh, loads.moment(mesh), kept


def _per_pound(mesh: Mesh) -> tuple[Array, Array]:
    """Bending (e, p) and end shear (e, 2) of each piece of stud per pound against its brace: a beam on two supports."""
    owner = np.searchsorted(np.array(mesh.studs), mesh.element_line[mesh.on_stud])
    heads, couples = np.zeros(len(mesh.studs)), np.zeros(len(mesh.studs))
    at = np.searchsorted(mesh.stud_x, mesh.x[list(mesh.heads)])
    heads[at], couples[at] = mesh.z[list(mesh.heads)], mesh.head_arms
    tops = mesh.z[[mesh.lines[k].nodes[-1] for k in mesh.studs]]
    head, arm, couple = heads[owner, None], (heads / tops)[owner, None], (couples / tops)[owner, None]
    z0, z1 = mesh.z[mesh.element_nodes[mesh.on_stud]].T[..., None]
    z = z0 + (z1 - z0) * INSIDE
    bent, below = np.minimum(z, head) * (1.0 - arm) - np.maximum(z - head, 0.0) * arm, z1 <= head + 1e-9
    bent = bent + couple * (np.where(below, 0.0, tops[owner, None]) - z)
    return bent, (np.where(below, arm - 1.0, arm) + couple) * np.array([-1.0, 1.0])


def _lines_in_force(model: Model, inside: Responses) -> Forces:
    """The forces of a wall as the chain holds them, a row a case: what grows is each brace's force, not the gust."""

    def both(name: str, rate: Array | float = 0.0) -> Array:
        steady: Array = getattr(inside, name)
        return np.stack([steady, np.broadcast_to(rate, steady.shape)], axis=-1)

    bent, cut = _per_pound(model.meshes[0])
    rates = {"stud_moment": bent, "stud_shear": cut}
    rows, count = len(inside.stud_moment), len(model.marks)
    brace = np.broadcast_to([0.0, 1.0], (rows, count, 2))
    held, none = np.ones(rows, dtype=bool), np.zeros((rows, 2))
    responses = Responses(**{name: both(name, rates.get(name, 0.0)) for name in NAMES})
    return Forces(model, 1.0, brace, held, responses, States(brace, none, np.zeros((rows, 0, 2)), held))


def _by_case(group: Group, ratio: Array, cases: int) -> Array:
    """The worst of a group's rows of each case, of each link: (k, rows, items) gives (k, c, links)."""
    worst = ratio.reshape(len(ratio), -1, cases, ratio.shape[-1]).max(axis=1)
    return worst if group.starts is None else np.maximum.reduceat(worst, group.starts, axis=-1)


def _on_braces(groups: Iterable[Group], model: Model, force: Array) -> Array:
    """The worst ratio of some groups at each brace, at each force of it, (k, c, n)."""
    cases = len(model.cases.fields)
    ratios: Array = np.max([
        _by_case(group, row_ratios(group, force), cases)[..., [group.marks.index(mark) for mark in model.marks]]
        for group in groups
    ], axis=0)  # fmt: skip
    return ratios


def _most_across(points: Array, force: Array) -> tuple[Array, Array]:
    """The most force across of any point up a stud that grows as its brace is worked harder, and that falls, (k, c, n).

    Each point's is steady and per pound of the brace, (points, c, n, 2); one a brace does not bend falls.
    """
    steady, rate = points[..., 0], points[..., 1]
    turned = np.where(rate < 0.0, -steady, steady) * (rate != 0.0)
    each, grid = np.abs(rate), force[:, None, None]
    high = np.zeros((len(force), *steady.shape[1:]))
    low, one = np.zeros_like(high), np.empty_like(high)
    for start, slope in zip(turned, each, strict=True):
        np.add(np.multiply(slope, grid, out=one), start, out=one)
        np.maximum(high, one, out=high)
        np.minimum(low, one, out=low)
    low, still = -low, np.abs(steady * (rate == 0.0)).max(axis=0)
    up = np.where(grid > 0.0, high, np.where(grid < 0.0, low, 0.0))
    down = np.where(grid > 0.0, low, np.where(grid < 0.0, high, np.maximum(high, low)))
    return up, np.maximum(down, still)


def _along(group: Group, force: Array, cases: int) -> tuple[Array, Array, Array]:
    """The share of two forces together where the one across grows as its brace is worked harder, (k, c, n).

    Then the share where it falls, and how much that may curve down over two steps about each reading. Both forces are
    straight lines in the brace's; the share is straight in the one across and curves up in the one along. Where both
    grow it curves up; where one falls it curves down by no more than twice their mixed difference one step farther out.
    """
    assert group.use is not None
    assert group.tension is not None
    along = group.tension[:cases, :, 0] + group.tension[:cases, :, 1] * force[:, None, None]
    assert (group.tension.reshape(-1, *group.tension[:cases].shape) == group.tension[:cases]).all()
    # The share grows with the force across: of many points up a stud the one bent most is asked, and no other.
    up, down = (
        np.maximum(group.use(size, along), group.use(size, -along))  # from either side
        for size in _most_across(group.demand.reshape(-1, cases, *group.demand.shape[1:]), force)
    )
    rise, pull = (np.abs(part[..., 1]).max(axis=0) * STEP for part in (group.demand, group.tension))
    near = -(np.abs(force)[:, None] / STEP + 1.0) * pull
    size = np.broadcast_to(rise, near.shape)
    with np.errstate(invalid="ignore"):
        mixed = (group.use(size, near - pull) - group.use(size, near)) - (
            group.use(0.0 * size, near - pull) - group.use(0.0 * size, near)
        )
    dips = np.minimum(np.nan_to_num(2.0 * mixed, nan=MOST_RATIO, posinf=MOST_RATIO), MOST_RATIO)
    return up, down, np.broadcast_to(dips[:, None], down.shape)


def lines_under(up: Array, may_dip: Array, dips: Array) -> Array:
    """Give two lines between every two readings of a ratio, no higher than the ratio.

    What curves up lies over any chord of it drawn on; what may curve down is let down by as much.

    Args:
        up: the ratio of what curves up in the force, (.., readings) [-].
        may_dip: of what may curve down, (.., readings) [-].
        dips: by how much over two steps, (.., readings) [-].

    Returns:
        Of each line its start, and its rise over a step, (.., readings - 1, 4) [-].

    Source: STATICS, chords of a convex curve.

    Example:
        >>> flat = np.zeros(4)
        >>> lines_under(np.array([3.0, 2.0, 1.0, 2.0]), flat, flat)[1].tolist()
        [2.0, -1.0, 0.0, 1.0]
    """
    dips = dips.copy()
    dips[..., [1, -2]] = MOST_RATIO  # past the ends
    ratio = np.minimum(np.maximum(up, may_dip), MOST_RATIO)
    rise, first = np.diff(ratio), may_dip >= up
    mixed = first[..., 1:] | first[..., :-1]
    past = ratio >= MOST_RATIO
    out, back = past[..., :-1] & ~past[..., 1:], past[..., 1:] & ~past[..., :-1]
    on = np.empty((*rise.shape, 2))  # from the left: the chord before, drawn on
    on[..., 0], on[..., 1:, 1] = ratio[..., :-1], rise[..., :-1] - mixed[..., :-1] * dips[..., 1:-1]
    off = np.empty_like(on)  # from the right: the chord after, drawn back
    off[..., :-1, 1] = rise[..., 1:] + mixed[..., 1:] * dips[..., 1:-1]
    off[..., :-1, 0] = ratio[..., 1:-1] - off[..., :-1, 1]
    on[..., 0, :], off[..., -1, :] = off[..., 0, :], on[..., -1, :]  # past the ends there is no chord
    lines = np.where(out[..., None], off, on), np.where(back[..., None], on, off)
    return np.concatenate(lines, axis=-1)


def lowest_of(lines: Array) -> Array:
    """Give the least two lines let a ratio be between two readings, (..,).

    Args:
        lines: from `lines_under`, (.., 4) [-].

    Example:
        >>> float(lowest_of(np.array([1.0, -1.0, -1.0, 1.0])))
        0.0
    """
    first, slope, second, rise = np.moveaxis(lines, -1, 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        meet = np.clip(np.nan_to_num((second - first) / (slope - rise)), 0.0, 1.0)
    at = (np.zeros_like(meet), meet, np.ones_like(meet))
    least: Array = np.min([np.maximum(first + slope * t, second + rise * t) for t in at], axis=0)
    return least


def _loose(job: Job, framing: Framing, *, gust: Mph, thunderstorm: bool) -> Array:
    """The worst ratio of every stud with no brace on it, (studs,)."""
    model, inside = _propped(job, framing, (), gust=gust, thunderstorm=thunderstorm)
    forces, materials = _lines_in_force(model, inside), materials_of(job)
    groups = stud_groups(forces, PUSH, materials, wall=wall_strength(materials))
    cases = len(model.cases.fields)
    ratios = [_by_case(group, row_ratios(group, np.zeros(1)), cases) for group in groups]
    return np.asarray(np.max(ratios, axis=(0, 1, 2)))


# -- the wall --------------------------------------------------------------------------------------------


@frozen(eq=False)
class HeadPanel:
    """A wall at one gust with a node at every head; h heads, c wind cases, k readings along the plate.

    Attributes:
        places: which head each shape of brace has: of a stud, a height and a couple.
        shapes: number of each shape of brace.
        stud: stud of each head, an index from LEFT, (h,).
        stud_x: centre of each stud from LEFT, (studs,) [in].
        flexibility: of each plate stiffness, between heads, (2, h, h) [in/lb].
        motions: zero-energy motions at the heads, of each plate stiffness, (h, m).
        under_load: movement at the gust, (2, c, h) [in].
        work: of the loads along each motion at the gust, of each plate stiffness, (c, m) [lb].
        moment: of the loads about the plate at the gust, (c,) [lb in].
        lines: under the worst ratio of the stud of each shape, between readings of its force, (shapes, c, cells, 4).
        stands: least and greatest force the stud of each shape may take, (2, shapes, c) [lb].
        plate_loads: top plate ratios from the loads, (2, c, k).
        plate_heads: top plate ratios per pound at each head, (2, h, k).
        plate_x: where along the plate they are read, (k,) [in].
        loose: worst ratio of each stud that has no brace, (studs,).
    """

    places: dict[Shape, int]
    shapes: dict[Shape, int]
    stud: Ints
    stud_x: Array
    flexibility: Array = field(repr=False)
    motions: tuple[Array, Array] = field(repr=False)
    under_load: Array = field(repr=False)
    work: tuple[Array, Array] = field(repr=False)
    moment: Array = field(repr=False)
    lines: Array = field(repr=False)
    stands: Array = field(repr=False)
    plate_loads: Array = field(repr=False)
    plate_heads: Array = field(repr=False)
    plate_x: Array = field(repr=False)
    loose: Array = field(repr=False)


def build_panel(
    job: Job,
    framing: Framing,
    stood: dict[Shape, Stood],
    *,
    reach: Pound,
    gust: Mph,
    thunderstorm: bool = False,
) -> HeadPanel:
    """Prepare a wall at one gust.

    Args:
        job: the job with its choices.
        framing: its sticks.
        stood: a brace of every shape, and what it may carry; all of them double their studs, or none.
        reach: the most any candidate may give [lb].
        gust: the gust asked [mph].
        thunderstorm: wind profile of an outflow.
    """
    arms = {shape: head_arm(job, brace) for shape, (brace, _) in stood.items()}
    heads = sorted({(*shape[:2], arm) for shape, arm in arms.items()})
    # A stud without a brace is determinate and pinned at both ends: doubling it too changes nothing else.
    doubled = any(brace.stud_doubled for brace, _ in stood.values())
    twice = tuple(s.x for s in framing.full_height_studs) if doubled else ()
    analysed = [
        _with_heads(_sail(job), framing, tuple(heads), doubled=twice, plies=plies, thunderstorm=thunderstorm)
        for plies in (2, 1)
    ]
    mesh, moment, _ = analysed[0]
    panels = [panel for *_, panel in analysed]
    plate = [_plate(job, panel, gust) for panel in panels]
    steps = math.ceil(reach / STEP) + 2
    force = STEP * np.arange(-steps, steps + 1, dtype=np.float64)
    shapes, lines = every_shape(job, framing, stood, force=force, gust=gust, thunderstorm=thunderstorm)
    fine = lowest_of(lines) <= 1.0 + SAME
    nodes = mesh.element_nodes[[mesh.lines[k].kind == "plate" for k in mesh.element_line]]
    return HeadPanel(
        places={shape: heads.index((*shape[:2], arm)) for shape, arm in arms.items()}, shapes=shapes,
        stud=np.array([int(np.argmin(np.abs(mesh.stud_x - x))) for x, *_ in heads], dtype=np.intp),
        stud_x=mesh.stud_x, flexibility=np.stack([c.flexibility for c in panels]),
        motions=(panels[0].motions, panels[1].motions),
        under_load=np.stack([at_gust(c.under_load, gust) for c in panels]),
        work=(at_gust(panels[0].work, gust), at_gust(panels[1].work, gust)),
        moment=at_gust(moment, gust), lines=lines,
        stands=np.stack([
            np.where(fine, force[:-1], np.inf).min(axis=-1), np.where(fine, force[1:], -np.inf).max(axis=-1),
        ]),
        plate_loads=np.stack([r[0] for r in plate]), plate_heads=np.stack([r[1] for r in plate]),
        plate_x=np.append(mesh.x[nodes[:, 0]], mesh.x[nodes[-1:, 1]]),
        loose=_loose(job, framing, gust=gust, thunderstorm=thunderstorm),
    )  # fmt: skip


def every_shape(
    job: Job, framing: Framing, stood: dict[Shape, Stood], *, force: Array, gust: Mph, thunderstorm: bool
) -> tuple[dict[Shape, int], Array]:
    """Give lines under the worst ratio of the stud of every shape of brace, by the chain's own links.

    One head on each stud is worked out at a time, and with it one set-back after another.

    Args:
        job: the job with its choices.
        framing: its sticks.
        stood: a brace of every shape, marked by its stud, and what it may carry.
        force: readings of its force, STEP apart [lb].
        gust: the gust asked [mph].
        thunderstorm: wind profile of an outflow.

    Returns:
        Number of each shape; and the lines, (shapes, c, readings - 1, 4).
    """
    shapes = {shape: k for k, shape in enumerate(sorted(stood))}
    by_stud: dict[Inch, dict[tuple[float, ...], list[Shape]]] = {}
    for shape in shapes:
        alike = (*shape[:3], head_arm(job, stood[shape][0]))
        by_stud.setdefault(shape[0], {}).setdefault(alike, []).append(shape)
    materials = materials_of(job)
    wall, lines = wall_strength(materials), np.zeros((0, 0, 0, 0))
    for k in range(max(map(len, by_stud.values()))):
        heads = [list(some.values())[k] for some in by_stud.values() if k < len(some)]
        each = [stood[here[0]] for here in heads]
        model, inside = _propped(job, framing, each, gust=gust, thunderstorm=thunderstorm)
        forces, cases = _lines_in_force(model, inside), len(model.cases.fields)
        apart = _on_braces(stud_groups(forces, PUSH, materials, wall=wall), model, force)
        if not lines.size:
            lines = np.empty((len(shapes), cases, len(force) - 1, 4))
        for n in range(max(map(len, heads))):
            here = [some[min(n, len(some) - 1)] for some in heads]
            braces, strengths = zip(*(stood[shape] for shape in here), strict=True)
            model = evolve(model, job=evolve(job, braces=braces), strengths=strengths)
            (group,) = lifted_studs(evolve(forces, model=model), PUSH, materials, wall=wall)
            up, down, dips = _along(group, force, cases)
            parts = (part.transpose(2, 1, 0) for part in (np.maximum(up, apart), down, dips))
            lines[[shapes[shape] for shape in here]] = lines_under(*parts)
    return shapes, lines


def _plate(job: Job, panel: Compliance, gust: Mph) -> tuple[Array, Array]:
    """Top plate bending as ratios, splices a remedy: from the loads (c, k), and per pound of each head (h, k)."""
    spliced = evolve(job, wall=evolve(job.wall, top_plate=evolve(job.wall.top_plate, spliced=True)))
    allowable = wall_strength(materials_of(spliced)).top_plate_moment

    def places(part: Array) -> Array:
        """The two ends of neighbouring elements are one place."""
        return np.concatenate([part[..., 0], part[..., -1:, 1]], axis=-1) / allowable

    return places(at_gust(panel.from_loads.plate_moment, gust)), places(panel.from_heads.plate_moment)


@frozen(eq=False)
class Pool:
    """The candidates of one scheme on a wall at one gust; s candidates.

    Each candidate is held three times: in its place, then one stud to the left, then one to the right.

    Attributes:
        panel: the wall.
        candidates: the candidates.
        x: stud of each from LEFT, (s,) [in].
        head: its lever about the plate: its head height, with the couple of a head cut plumb, (s,) [in].
        at: its head, -1 where there is no stud, (3 s,).
        shape: its shape, (3 s,).
        give: for each slip, (2, 3 s) [in/lb].
        level: level force it may give, (3 s,) [lb].
    """

    panel: HeadPanel
    candidates: tuple[Candidate, ...]
    x: Array
    head: Array
    at: Ints
    shape: Ints
    give: Array = field(repr=False)
    level: Array

    @property
    def strongest(self) -> Array:
        """Level force each candidate may give in its place, (s,) [lb]."""
        return self.level[: len(self.candidates)]


Places = tuple[Shape | None, Shape | None, Shape | None]


def places_of(job: Job, framing: Framing, candidate: Candidate) -> Places:
    """Give the shape of a candidate in its place, and one stud to the left and to the right; None past the end.

    Args:
        job: the job.
        framing: its sticks.
        candidate: the candidate.
    """
    full = [stud.x for stud in framing.full_height_studs]
    own = shape_of(candidate.brace)
    k = full.index(own[0])
    off = [
        (full[n], min(own[1], job.wall.height_at(full[n])), *own[2:]) if 0 <= n < len(full) else None
        for n in (k - 1, k + 1)
    ]
    return own, off[0], off[1]


def pool_of(job: Job, panel: HeadPanel, *, candidates: Sequence[Candidate], places: Sequence[Places]) -> Pool:
    """Put the candidates of one scheme on a wall.

    Args:
        job: the job with the scheme's cleats.
        panel: the wall, with every shape of every candidate.
        candidates: the candidates.
        places: of each, from `places_of`.
    """
    materials = materials_of(job)
    every = [
        (candidate, each[side])
        for side in range(3)
        for candidate, each in zip(candidates, places, strict=True)
    ]
    strengths = [strength_at(materials, candidate, shape) for candidate, shape in every]
    return Pool(
        panel=panel, candidates=tuple(candidates),
        x=np.array([m.brace.stud_at for m in candidates]),
        head=np.array([m.brace.head + head_arm(job, m.brace) for m in candidates]),
        at=np.array([-1 if shape is None else panel.places[shape] for _, shape in every], dtype=np.intp),
        shape=np.array([0 if shape is None else panel.shapes[shape] for _, shape in every], dtype=np.intp),
        give=np.array([strength.give for strength in strengths]).reshape(-1, 2).T,
        level=np.array([level_of(strength) for strength in strengths]),
    )  # fmt: skip


def pools_of(
    job: Job,
    framing: Framing,
    found: Sequence[tuple[Job, tuple[Candidate, ...]]],
    *,
    gust: Mph,
    thunderstorm: bool = False,
) -> list[Pool]:
    """Put candidates on one wall at a gust: a pool of each of several sets of them, all of single studs or of doubled.

    Args:
        job: the job with its choices.
        framing: its sticks.
        found: of each set the job with its cleats, and the candidates.
        gust: the gust asked [mph].
        thunderstorm: wind profile of an outflow.
    """
    if not found:
        return []
    placed = [
        (own, candidates, [places_of(job, framing, candidate) for candidate in candidates])
        for own, candidates in found
    ]
    stood: dict[Shape, Stood] = {}
    for own, candidates, places in placed:
        materials = materials_of(own)
        for candidate, shapes in zip(candidates, places, strict=True):
            for shape in shapes:
                if shape is not None and shape not in stood:
                    brace = evolve(candidate.brace, mark=f"B{shape[0]:g}", stud_at=shape[0], head=shape[1])
                    stood[shape] = brace, strength_at(materials, candidate, shape)
    reach = max((candidate.level for _, candidates in found for candidate in candidates), default=0.0)
    panel = build_panel(job, framing, stood, reach=reach, gust=gust, thunderstorm=thunderstorm)
    return [pool_of(own, panel, candidates=candidates, places=places) for own, candidates, places in placed]


def strength_at(materials: Materials, candidate: Candidate, shape: Shape | None) -> BraceStrength:
    """Give what a candidate may carry in a place: on a stud too short for its head it is another brace.

    Args:
        materials: the job's materials.
        candidate: the candidate.
        shape: its shape there; None where there is no stud.
    """
    if shape is None or shape[1] == candidate.brace.head:
        return candidate.strength
    return brace_strength(materials, evolve(candidate.brace, head=shape[1]))
