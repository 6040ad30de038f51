"""Every load of a standing wall, carried to the grillage: wind bay by bay to the uprights beside it, weight, people."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TypeVar

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.codes.pressures import PressureField, Pressures, outline_properties
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.panel.above import carried, level_forces, there
from bracing.panel.mesh import SAME_PLACE, Mesh
from bracing.panel.weight import TakeOff, take_off
from bracing.sums import formula
from bracing.units import Inch, Pound, PoundPerInch, Psi

Array = NDArray[np.float64]
Many = TypeVar("Many", float, Array)
Ints = NDArray[np.intp]

NO_TOP: Inch = 1e9  # a bay that reaches the outline

Tip = tuple[int, Inch, Inch, float, Inch]


@frozen
class _Upright:
    """A full-height stud or a cripple."""

    x: Inch
    line: int
    node: int
    low: Inch
    high: Inch
    on_plate: bool


@frozen(eq=False)
class Bays:
    """The bays of a wall. A *side* is a bay's hold on one upright: all left sides, then all right sides.

    Attributes:
        left: x of the upright on the left, shape (b,) [in].
        right: x of the upright on the right [in].
        start: where the bay's area starts, a stud's half thickness out at LEFT [in].
        stop: where it stops [in].
        low: bottom of the bay [in].
        high: its top, where that is not the outline [in].
        top_left: the outline at the left upright [in].
        top_right: the outline at the right upright [in].
        run_low: bottom of the elements each side loads, shape (2 b,) [in].
        run_high: their top [in].
        entry_element: an element a side loads; sorted, shape (k,).
        entry_side: that side.
        entry_part: where on the side's run the element starts and ends, 0 to 1, shape (k, 2).
        entry_first: first entry of each element that is loaded at all.
        plate: nodes of the top plate from LEFT.
        plate_x: their x [in].
        tips: end slivers: plate node, from x, to x, signed area, height of its middle.
    """

    left: Array
    right: Array
    start: Array
    stop: Array
    low: Array
    high: Array
    top_left: Array
    top_right: Array
    run_low: Array = field(repr=False)
    run_high: Array = field(repr=False)
    entry_element: Ints = field(repr=False)
    entry_side: Ints = field(repr=False)
    entry_part: Array = field(repr=False)
    entry_first: Ints = field(repr=False)
    plate: Ints = field(repr=False)
    plate_x: Array = field(repr=False)
    tips: tuple[Tip, ...] = field(repr=False)


Row = tuple[_Upright, _Upright, Inch, Inch]


def lay_out_bays(mesh: Mesh, wall: Wall) -> Bays:
    """Divide the outline into bays between neighbouring uprights.

    Args:
        mesh: the grillage.
        wall: the wall.

    Returns:
        The bays, covering the outline once.
    """
    z = mesh.z.tolist()
    plate = sorted(
        {n for line in mesh.lines if line.kind == "plate" for n in line.nodes}, key=mesh.x.__getitem__
    )
    uprights = _uprights(mesh, z, plate)
    studs = set(mesh.studs)
    places = [k for k, upright in enumerate(uprights) if upright.line in studs]
    rows = [row for a, b in pairwise(places) for row in _levels(uprights[a : b + 1])]
    ends = [uprights[places[0]], uprights[places[-1]]]
    table = np.array(
        [(a.x, b.x, low, high, wall.height_at(a.x), wall.height_at(b.x)) for a, b, low, high in rows]
    )
    left, right, low, high, top_left, top_right = table.T
    first, last = ends[0].x, ends[1].x
    sides = [_run(mesh, z, a, low, high) for a, _, low, high in rows]
    sides += [_run(mesh, z, b, low, high) for _, b, low, high in rows]
    runs = np.array(sides)
    run_low = mesh.z[mesh.element_nodes[runs[:, 0], 0]]
    run_high = mesh.z[mesh.element_nodes[runs[:, 1] - 1, 1]]
    element, side, part = _entries(mesh, runs, run_low, run_high)
    return Bays(
        left=left, right=right,
        start=np.where(left == first, 0.0, left), stop=np.where(right == last, wall.length, right),
        low=low, high=high, top_left=top_left, top_right=top_right,
        run_low=run_low, run_high=run_high,
        entry_element=element, entry_side=side, entry_part=part,
        entry_first=np.flatnonzero(np.diff(element, prepend=-1)),
        plate=np.array(plate), plate_x=mesh.x[plate], tips=_tips(wall, ends),
    )  # fmt: skip


def _uprights(mesh: Mesh, z: list[Inch], plate: list[int]) -> list[_Upright]:
    """Every stud, cripple and post, from LEFT."""
    on_plate = set(plate)
    found = []
    for k, line in enumerate(mesh.lines):
        if line.kind in ("stud", "cripple"):
            low, high = line.nodes[0], line.nodes[-1]
            found.append(_Upright(float(mesh.x[low]), k, high, z[low], z[high], on_plate=high in on_plate))
    return sorted(found, key=lambda upright: upright.x)


def _levels(uprights: list[_Upright]) -> list[Row]:
    """Bays between two neighbouring studs, level by level; the first and last upright are the studs."""
    left, *inner, right = uprights
    if not inner:
        return [(left, right, 0.0, NO_TOP)]
    breaks = [0.0]
    ends = [u.low for u in inner] + [u.high for u in inner if not u.on_plate]
    for z in sorted(ends):
        if z > breaks[-1] + 2.0 * SAME_PLACE:
            breaks.append(z)
    rows: list[Row] = []
    for low, high in pairwise([*breaks, NO_TOP]):
        chain = [
            u for u in uprights if u.low < low + SAME_PLACE and (u.on_plate or u.high > high - SAME_PLACE)
        ]
        rows += [(a, b, low, high) for a, b in pairwise(chain)]
    return rows


def _run(mesh: Mesh, z: list[Inch], upright: _Upright, low: Inch, high: Inch) -> tuple[int, int]:
    """Elements of an upright that cover a bay's height, first and one past the last."""
    start, stop = mesh.line_start[upright.line], mesh.line_start[upright.line + 1]
    if low == 0.0 and high == NO_TOP:
        return start, stop
    nodes = mesh.lines[upright.line].nodes
    last = len(nodes) - 2
    begin = next((k for k in range(last) if z[nodes[k + 1]] > low + SAME_PLACE), last)
    end = next((k for k in range(last, begin, -1) if z[nodes[k]] < high - SAME_PLACE), begin)
    return start + begin, start + end + 1


def _entries(mesh: Mesh, runs: Ints, low: Array, high: Array) -> tuple[Ints, Ints, Array]:
    """Which element each side loads, sorted by element, and where on the side's run it lies."""
    counts = runs[:, 1] - runs[:, 0]
    side = np.repeat(np.arange(len(runs)), counts)
    element = np.arange(len(side)) + np.repeat(runs[:, 0] - (np.cumsum(counts) - counts), counts)
    order = np.argsort(element, kind="stable")
    element, side = element[order], side[order]
    part = (mesh.z[mesh.element_nodes[element]] - low[side, None]) / (high - low)[side, None]
    return element, side, part


def _tips(wall: Wall, ends: list[_Upright]) -> tuple[Tip, ...]:
    """The sliver of a sloping end between its end stud's centre and the wall's end."""
    tips = []
    for upright, x in zip(ends, (0.0, wall.length), strict=True):
        stud, end = wall.height_at(upright.x), wall.height_at(x)
        area = (end - stud) * abs(x - upright.x) / 2.0
        tips.append((upright.node, min(x, upright.x), max(x, upright.x), area, stud + (end - stud) / 3.0))
    return tuple(tips)


_GAUSS_AT, _GAUSS_WEIGHT = np.polynomial.legendre.leggauss(4)
GAUSS_AT, GAUSS_WEIGHT = (_GAUSS_AT + 1.0) / 2.0, _GAUSS_WEIGHT / 2.0  # on 0 to 1
SLIVER = 1e-12  # a part of a slope shorter than this is none


@frozen(eq=False)
class LoadSet:
    """Loads on the grillage for several unit fields at once.

    Attributes:
        element_load: line load at both ends of each element, shape (cases, e, 2) [lb/in].
        node_load: force on each node, shape (cases, n) [lb].
    """

    element_load: Array = field(repr=False)
    node_load: Array = field(repr=False)

    def total(self, mesh: Mesh) -> Array:
        """Sum of the loads, shape (cases,) [lb]."""
        run = mesh.element_length
        result: Array = (self.element_load.mean(axis=2) * run).sum(axis=1) + self.node_load.sum(axis=1)
        return result

    def moment(self, mesh: Mesh) -> Array:
        """Moment of the loads about the plate line, shape (cases,) [lb in]."""
        return self._about(mesh, mesh.z)

    def turning(self, mesh: Mesh) -> Array:
        """Moment of the loads about the vertical at LEFT, shape (cases,) [lb in]."""
        return self._about(mesh, mesh.x)

    def _about(self, mesh: Mesh, arm: Array) -> Array:
        start, end = arm[mesh.element_nodes].T
        qa, qb = self.element_load[..., 0], self.element_load[..., 1]
        arms = (qa * (2.0 * start + end) + qb * (start + 2.0 * end)) * mesh.element_length / 6.0
        result: Array = arms.sum(axis=1) + self.node_load @ arm
        return result


@frozen(eq=False)
class _Fields:
    """Several pressure fields side by side, and their integrals along a level line.

    Attributes:
        zones: start, end and coefficient of each zone, shape (3, fields, zones); short fields end in empty
        zones.
        slope: change along the wall, shape (fields, 1).
        x_bar: where the slope adds nothing, shape (fields, 1).
        rise: relative change with height, shape (fields, 1).
        z_bar: height where the rise adds nothing, shape (fields, 1).
    """

    zones: Array
    slope: Array
    x_bar: Array
    rise: Array
    z_bar: Array

    @classmethod
    def of(cls, fields: Sequence[PressureField]) -> _Fields:
        most = max(len(f.zones) for f in fields)
        zones = np.zeros((len(fields), most, 3))
        for k, f in enumerate(fields):
            zones[k, : len(f.zones)] = f.zones
        shape = np.array([(f.slope, f.x_bar, f.rise, f.z_bar) for f in fields])
        return cls(np.moveaxis(zones, 2, 0), *shape.T[:, :, None])

    def edges(self) -> Array:
        """Where some field jumps [in]."""
        return np.unique(self.zones[:2])

    def integrals(self, x: Array) -> tuple[Array, Array]:
        """Integrals from 0 to x of c dt and of t c dt along a level line, without the rise, (fields, x)."""
        zero = self.slope * x * (x / 2.0 - self.x_bar)
        first = self.slope * x * x * (x / 3.0 - self.x_bar / 2.0)
        for start, end, c in zip(*(zone.T[:, :, None] for zone in self.zones), strict=True):
            t = np.minimum(np.maximum(x, start), end)
            zero += c * (t - start)
            first += c / 2.0 * (t * t - start * start)
        return zero, first

    def height(self, z: Array) -> Array:
        """Factor of the pressure at height z, (fields, z)."""
        return 1.0 + self.rise * (z - self.z_bar)


@frozen(eq=False)
class _Slices:
    """Level slices cut off by a sloping top: Gauss points over the sloping part of every bay.

    Attributes:
        bay: bay of each, shape (s,).
        tall: 0 where the taller upright is on the left, 1 on the right.
        z: height [in].
        cut: where the slice meets the plate [in].
        stand: the taller upright's x [in].
        beyond: how far the slice reaches past it [in].
        weight: height the slice stands for [in].
    """

    bay: Ints
    tall: Ints
    z: Array
    cut: Array
    stand: Array
    beyond: Array
    weight: Array


def carry(mesh: Mesh, bays: Bays, fields: Sequence[PressureField]) -> LoadSet:
    """Carry unit pressure fields to the grillage.

    Args:
        mesh: the grillage.
        bays: its bays.
        fields: pressure per unit of q, each giving c(x, z).

    Returns:
        Loads per unit of q [in2 of area times coefficient, so lb per psi].
    """
    several = _Fields.of(fields)
    force, moment = _level_part(bays, several)
    slices = _slices(bays, several.edges())
    on_upright, on_plate = _cut_part(slices, several)
    count = len(bays.left)
    column = slices.bay + slices.tall * count
    gather = np.zeros((len(column), 2 * count))
    gather[np.arange(len(column)), column] = 1.0
    force += on_upright @ gather
    moment += (on_upright * slices.z) @ gather
    node_load = np.zeros((len(fields), len(mesh.x)))
    node_load[:, bays.plate] = on_plate @ _plate_shares(bays.plate_x, slices.cut)
    _add_tips(node_load, bays, several)
    return LoadSet(_line_loads(bays, force, moment, len(mesh.element_length)), node_load)


def _level_part(bays: Bays, fields: _Fields) -> tuple[Array, Array]:
    """Force and moment about the floor of each bay up to its lower top: left sides, then right."""
    zero, first = fields.integrals(np.concatenate([bays.start, bays.stop]))
    count = len(bays.left)
    whole, about = zero[:, count:] - zero[:, :count], first[:, count:] - first[:, :count]
    right = (about - bays.left * whole) / (bays.right - bays.left)
    share = np.concatenate([whole - right, right], axis=1)
    low = bays.low
    high = np.maximum(low, np.minimum(bays.high, np.minimum(bays.top_left, bays.top_right)))
    area = (high - low) * fields.height((high + low) / 2.0)
    lever = (1.0 - fields.rise * fields.z_bar) * (high**2 - low**2) / 2.0
    lever += fields.rise * (high**3 - low**3) / 3.0
    return share * np.tile(area, 2), share * np.tile(lever, 2)


def _slices(bays: Bays, edges: Array) -> _Slices:
    """Lay Gauss points over the sloping part of every bay, split where a pressure field jumps."""
    tall = (bays.top_right > bays.top_left).astype(np.intp)
    foot, stand = np.where(tall, (bays.left, bays.right), (bays.right, bays.left))
    least, most = np.minimum(bays.top_left, bays.top_right), np.maximum(bays.top_left, bays.top_right)
    rise = np.where(most > least, most - least, 1.0)
    first = np.clip((bays.low - least) / rise, 0.0, 1.0)
    last = np.where(most > least, np.clip((bays.high - least) / rise, first, 1.0), first)
    jumps = (edges[:, None] - foot) / (stand - foot)
    cuts = np.sort(np.concatenate([[first], np.clip(jumps, first, last), [last]]), axis=0)
    part, bay = np.nonzero(np.diff(cuts, axis=0) > SLIVER)
    begin, length = cuts[part, bay], cuts[part + 1, bay] - cuts[part, bay]
    p = (begin[:, None] + length[:, None] * GAUSS_AT).ravel()
    bay = np.repeat(bay, len(GAUSS_AT))
    return _Slices(
        bay=bay, tall=tall[bay], z=least[bay] + rise[bay] * p, cut=foot[bay] + (stand - foot)[bay] * p,
        stand=stand[bay], beyond=np.where(tall, bays.stop, bays.start)[bay],
        weight=rise[bay] * (length[:, None] * GAUSS_WEIGHT).ravel(),
    )  # fmt: skip


def _cut_part(slices: _Slices, fields: _Fields) -> tuple[Array, Array]:
    """Force each slice hands to the taller upright and to the plate; past the upright it is the upright's."""
    zero, first = fields.integrals(np.concatenate([slices.cut, slices.stand, slices.beyond]))
    (zero_c, zero_t, zero_e), (first_c, first_t, _) = np.split(zero, 3, axis=1), np.split(first, 3, axis=1)
    whole, about = zero_t - zero_c, first_t - first_c
    upright = (about - slices.cut * whole) / (slices.stand - slices.cut)
    scale = np.where(slices.tall, 1.0, -1.0) * slices.weight * fields.height(slices.z)
    return (upright + zero_e - zero_t) * scale, (whole - upright) * scale


def _plate_shares(plate_x: Array, x: Array) -> Array:
    """Part of a force on the plate at x that each plate node takes, shape (x, plate nodes)."""
    after = np.clip(np.searchsorted(plate_x, x), 1, len(plate_x) - 1)
    share = (x - plate_x[after - 1]) / (plate_x[after] - plate_x[after - 1])
    shares = np.zeros((len(x), len(plate_x)))
    spot = np.arange(len(x))
    shares[spot, after - 1] = 1.0 - share
    shares[spot, after] = share
    return shares


def _add_tips(node_load: Array, bays: Bays, fields: _Fields) -> None:
    """Add the sliver of a sloping end past its end stud's centre to the plate's end node."""
    for node, x0, x1, area, z in bays.tips:
        zero, _ = fields.integrals(np.array([x0, x1]))
        pressure = (zero[:, 1] - zero[:, 0]) / (x1 - x0) * fields.height(np.array([z]))[:, 0]
        node_load[:, node] += pressure * area


def _line_loads(bays: Bays, force: Array, moment: Array, elements: int) -> Array:
    """Straight-line loads with the force and moment of each bay side, on the elements of its upright."""
    run, height = bays.run_high - bays.run_low, moment - force * bays.run_low
    at_low = (4.0 * force - 6.0 * height / run) / run
    at_high = (6.0 * height / run - 2.0 * force) / run
    side, part = bays.entry_side, bays.entry_part
    grow = (at_high - at_low)[:, side, None]
    each = at_low[:, side, None] + grow * part
    load = np.zeros((len(force), elements, 2))
    load[:, bays.entry_element[bays.entry_first]] = np.add.reduceat(each, bays.entry_first, axis=1)
    return load


@frozen(eq=False)
class Cases:
    """Load cases of one wall.

    Attributes:
        pressures: the wind on it.
        steady: what is always there, one case.
        with_people: the same with people and ladders along the top, who are there up to the clear-out gust.
        wind: one case a field, per unit velocity pressure [lb per psi].
    """

    pressures: Pressures = field(repr=False)
    steady: LoadSet = field(repr=False)
    with_people: LoadSet = field(repr=False)
    wind: LoadSet = field(repr=False)

    @property
    def fields(self) -> tuple[PressureField, ...]:
        """The wind fields, G·Cf."""
        return self.pressures.fields

    @property
    def pressure_per_mph2(self) -> Psi:
        """Velocity pressure at the wall's highest point per gust squared [psi]."""
        return self.pressures.per_mph2

    @property
    def crowded(self) -> Cases:
        """The same cases with people about."""
        return evolve(self, steady=self.with_people)

    def together(self) -> LoadSet:
        """Give steady and wind as one set: row 0 steady, then the wind per mph squared."""
        q = self.pressure_per_mph2
        return joined(self.steady, LoadSet(self.wind.element_load * q, self.wind.node_load * q))


def joined(*sets: LoadSet) -> LoadSet:
    """Give the cases of several sets as one, in their order.

    Args:
        sets: loads on one grillage.
    """
    return LoadSet(
        np.concatenate([each.element_load for each in sets]),
        np.concatenate([each.node_load for each in sets]),
    )


def load_cases(job: Job, mesh: Mesh, wind: Pressures) -> Cases:
    """Carry every load on the wall to the grillage.

    Args:
        job: the wall and site.
        mesh: the grillage.
        wind: the wind on the wall.

    Returns:
        The cases.
    """
    bays = lay_out_bays(mesh, job.wall)
    alone = _leaning(job, weight_loads(mesh, bays, job.wall, weight=take_off(job.wall)))
    cases = Cases(
        pressures=wind,
        steady=alone,
        with_people=evolve(
            alone, node_load=alone.node_load + top_line_load(mesh, job.wall.length, job.site.top_load)
        ),
        wind=carry(mesh, bays, wind.fields),
    )
    return _with_above(cases, job, mesh) if there(job.wall) else cases


def _with_above(cases: Cases, job: Job, mesh: Mesh) -> Cases:
    """The cases of a wall with what stands on it or leans on it; the wind on that is the same in every case."""
    steady, people, wind = carried(mesh, level_forces(job))
    sets = ((cases.steady, steady), (cases.with_people, steady + people), (cases.wind, wind))
    alone, crowded, blown = (evolve(each, node_load=each.node_load + more) for each, more in sets)
    return evolve(cases, steady=alone, with_people=crowded, wind=blown)


def weight_loads(mesh: Mesh, bays: Bays, wall: Wall, *, weight: TakeOff) -> LoadSet:
    """Spread the weight over the outline: its total and centre of gravity are those of the take-off.

    w = m + s (x - x_bar) + r (z - z_bar), carried as a field that changes along, one that changes up, less one that
    changes in neither.

    Args:
        mesh: the grillage.
        bays: its bays.
        wall: the wall.
        weight: its take-off.

    Returns:
        One case, the whole weight acting across the wall [lb].

    Source: STATICS.
    """
    outline = outline_properties(wall.top)
    mean = weight.weight / outline.area
    inertia = np.array([[outline.I_x, outline.I_xz], [outline.I_xz, outline.I_z]])
    off = np.array([weight.x_cg - outline.x_bar, weight.z_cg - outline.z_bar])
    along, up = np.linalg.solve(inertia, weight.weight * off)
    zones = ((0.0, wall.length, mean),)
    x_bar, z_bar = outline.x_bar, outline.z_bar
    fields = [
        PressureField("along", "closed", zones, float(along), x_bar, 0.0, z_bar),
        PressureField("up", "closed", zones, 0.0, x_bar, float(up) / mean, z_bar),
        PressureField("even", "closed", zones, 0.0, x_bar, 0.0, z_bar),
    ]
    parts = carry(mesh, bays, fields)
    sign = np.array([1.0, 1.0, -1.0])
    return LoadSet(np.einsum("c,cek->ek", sign, parts.element_load)[None], (sign @ parts.node_load)[None])


@formula
def sideways(lean: float, weight: Many) -> Many:
    """Give the part of the weight that lean turns sideways: H = lean weight.

    Args:
        lean: part of the weight [-].
        weight: of the wall [lb].

    Returns:
        H [lb].

    Source: JUDGEMENT, lean.

    Example:
        >>> sideways(0.02, 1000.0)
        20.0
    """
    return lean * weight


@formula
def people_along(load: PoundPerInch, run: Many) -> Many:
    """Give the load of people and ladders along the top: H = load run.

    Args:
        load: load per length of wall [lb/in].
        run: length of wall [in].

    Returns:
        H [lb].

    Source: JUDGEMENT, people and ladders.

    Example:
        >>> people_along(0.5, 240.0)
        120.0
    """
    return load * run


@formula
def level_load(wind: Pound, lean: Pound) -> Pound:
    """Give the level load on the whole wall, with lean: H = wind + lean.

    Args:
        wind: force of the wind on it [lb].
        lean: part of the weight that lean turns sideways [lb].

    Returns:
        H [lb].

    Source: STATICS.

    Example:
        >>> level_load(1000.0, 20.0)
        1020.0
    """
    return wind + lean


def _leaning(job: Job, weight: LoadSet) -> LoadSet:
    """The part of the weight, which acts across the wall, that lean turns sideways."""
    lean = job.site.lean
    return LoadSet(sideways(lean, weight.element_load), sideways(lean, weight.node_load))


def top_line_load(mesh: Mesh, length: Inch, load: PoundPerInch) -> Array:
    """Carry an even load along the top to the plate nodes by the lever rule.

    Args:
        mesh: the grillage.
        length: wall length [in].
        load: load per length of wall [lb/in].

    Returns:
        Force on each node, shape (n,) [lb].

    Source: STATICS, the lever rule.
    """
    nodes = sorted(
        {n for line in mesh.lines if line.kind == "plate" for n in line.nodes}, key=lambda n: mesh.x[n]
    )
    x = mesh.x[nodes]
    force = np.zeros(len(mesh.x))
    edge = np.concatenate([[0.0], x[1:-1], [length]])
    part = ((edge[:-1] + edge[1:]) / 2.0 - x[:-1]) / np.diff(x)
    each = people_along(load, np.diff(edge))
    force[nodes[:-1]] += each * (1.0 - part)
    force[nodes[1:]] += each * part
    return force
