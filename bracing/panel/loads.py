"""Pressure over the wall, carried to the grillage.

Sheathing spans level from stud to stud. Each *bay* between two neighbouring verticals hands its pressure to them by
the lever rule, slice by slice; under a sloping top a slice that ends at the plate hands that end to the plate. Force
and moment about the plate are exact for every bay; along one vertical the load is taken as the straight line that has
that force and moment.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.panel.mesh import MIN_HEADER_ROOM, SAME_PLACE, Mesh
from bracing.units import Inch
from bracing.wall import Opening, Wall
from bracing.wind import PressureField

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

GAUSS_POINTS, GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(4)


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
        return (self.element_load.mean(axis=2) * run).sum(axis=1) + self.node_load.sum(axis=1)

    def moment(self, mesh: Mesh) -> Array:
        """Moment of the loads about the plate line, shape (cases,) [lb in]."""
        low, high = mesh.z[mesh.element_nodes].T
        qa, qb = self.element_load[..., 0], self.element_load[..., 1]
        arms = (qa * (2.0 * low + high) + qb * (low + 2.0 * high)) * mesh.element_length / 6.0
        return arms.sum(axis=1) + (self.node_load * mesh.z).sum(axis=1)


@frozen(eq=False)
class Bays:
    """The bays of a wall, one row each.

    Attributes:
        left: x of the vertical on the left, shape (b,) [in].
        right: x of the vertical on the right [in].
        start: where the bay's area starts, a stud's half thickness out at LEFT [in].
        stop: where it stops [in].
        low: bottom of the bay [in].
        top_left: its top at the left vertical [in].
        top_right: its top at the right vertical [in].
        line_left: line of the left vertical.
        line_right: line of the right vertical.
        node_left: plate node over the left vertical.
        node_right: plate node over the right vertical.
    """

    left: Array
    right: Array
    start: Array
    stop: Array
    low: Array
    top_left: Array
    top_right: Array
    line_left: Ints
    line_right: Ints
    node_left: Ints
    node_right: Ints


def lay_out_bays(mesh: Mesh, wall: Wall) -> Bays:
    """Divide the outline into bays between neighbouring verticals.

    Args:
        mesh: the grillage.
        wall: the wall.

    Returns:
        The bays, covering the outline once.
    """
    studs = [(float(mesh.x[mesh.lines[k].nodes[0]]), k) for k in mesh.studs]
    cripples = [
        (float(mesh.x[line.nodes[0]]), k) for k, line in enumerate(mesh.lines) if line.kind == "cripple"
    ]
    rows: list[tuple[float, ...]] = []
    for (x0, k0), (x1, k1) in zip(studs, studs[1:], strict=False):
        opening = next((o for o in wall.openings if x0 < o.left + o.width / 2.0 < x1), None)
        for low, high in _levels(mesh, opening, k0):
            inner = [
                (x, k)
                for x, k in cripples
                if x0 < x < x1 and high != low and _spans(mesh, k, low, high if high is not None else np.inf)
            ]
            chain = [(x0, k0), *sorted(inner), (x1, k1)]
            for (xa, ka), (xb, kb) in zip(chain, chain[1:], strict=False):
                tops = [wall.height_at(x) if high is None else high for x in (xa, xb)]
                start = 0.0 if xa == studs[0][0] else xa
                stop = wall.length if xb == studs[-1][0] else xb
                plate = [mesh.lines[k].nodes[-1] for k in (ka, kb)]
                rows.append((xa, xb, start, stop, low, *tops, ka, kb, *plate))
    table = np.array(rows, dtype=float)
    whole = table[:, 7:].astype(np.intp)
    return Bays(*table[:, :7].T, *whole.T)


def _levels(mesh: Mesh, opening: Opening | None, king: int) -> list[tuple[Inch, Inch | None]]:
    """Bottom and top of each level of bays between two neighbouring studs; None is the outline."""
    if opening is None:
        return [(0.0, None)]
    heights = mesh.z[list(mesh.lines[king].nodes)]
    above = heights[(heights > opening.top + SAME_PLACE) & _meets(mesh, king, "header")]
    levels: list[tuple[Inch, Inch | None]] = []
    low = 0.0
    if opening.sill > MIN_HEADER_ROOM:
        levels.append((0.0, opening.sill))
        low = opening.sill
    if len(above) == 0:
        return [*levels, (low, None)]
    header = float(above[0])
    return [*levels, (low, header), (header, None)]


def _meets(mesh: Mesh, king: int, kind: str) -> NDArray[np.bool_]:
    """Which nodes of a stud a line of that kind ends on."""
    ends = {line.nodes[k] for line in mesh.lines if line.kind == kind for k in (0, -1)}
    return np.array([node in ends for node in mesh.lines[king].nodes])


def _spans(mesh: Mesh, line: int, low: float, high: float) -> bool:
    z = mesh.z[list(mesh.lines[line].nodes)]
    return bool(z[0] >= low - SAME_PLACE and z[-1] <= high + SAME_PLACE)


def _areas(pressure: PressureField, x: Array) -> tuple[Array, Array]:
    """Integrals from 0 to x of c(t) dt and of t c(t) dt, on a level line."""
    zero = pressure.slope * (x * x / 2.0 - pressure.x_bar * x)
    first = pressure.slope * (x**3 / 3.0 - pressure.x_bar * x * x / 2.0)
    for start, stop, coefficient in pressure.zones:
        t = np.clip(x, start, stop)
        zero = zero + coefficient * (t - start)
        first = first + coefficient * (t * t - start * start) / 2.0
    return zero, first


def carry(mesh: Mesh, bays: Bays, fields: Sequence[PressureField]) -> LoadSet:
    """Carry unit pressure fields to the grillage.

    Args:
        mesh: the grillage.
        bays: its bays.
        fields: pressure per unit of q, each giving c(x, z).

    Returns:
        Loads per unit of q [in2 of area times coefficient, so lb per psi].
    """
    entries = _entries(mesh, bays)
    element_load = np.zeros((len(fields), len(mesh.element_length), 2))
    node_load = np.zeros((len(fields), len(mesh.x)))
    for case, pressure in enumerate(fields):
        for side in (0, 1):
            force, moment, plate = _bay_side(bays, pressure, side)
            top = bays.top_right if side else bays.top_left
            height = top - bays.low
            arm = np.divide(moment, force, out=height / 2.0 + bays.low, where=np.abs(force) > 0) - bays.low
            at_low = force / height * (4.0 - 6.0 * arm / height)
            at_high = force / height * (6.0 * arm / height - 2.0)
            bay, element, begin, end = entries[side]
            for column, part in ((0, begin), (1, end)):
                load = at_low[bay] + (at_high - at_low)[bay] * part
                np.add.at(element_load[case, :, column], element, load)
            np.add.at(node_load[case], bays.node_right if side else bays.node_left, plate)
    return LoadSet(element_load, node_load)


Entries = tuple[Ints, Ints, Array, Array]


def _entries(mesh: Mesh, bays: Bays) -> tuple[Entries, Entries]:
    """For each side, which bay loads which element, and where on the bay's height its ends lie (0 to 1)."""
    by_line: dict[int, list[int]] = {}
    for element, line in enumerate(mesh.element_line):
        by_line.setdefault(int(line), []).append(element)
    sides = []
    for lines, tops in ((bays.line_left, bays.top_left), (bays.line_right, bays.top_right)):
        rows = []
        for bay, (line, low, top) in enumerate(zip(lines, bays.low, tops, strict=True)):
            for element in by_line[int(line)]:
                z0, z1 = mesh.z[mesh.element_nodes[element]]
                if z0 > low - SAME_PLACE and z1 < top + SAME_PLACE:
                    rows.append((bay, element, (z0 - low) / (top - low), (z1 - low) / (top - low)))
        table = np.array(rows, dtype=float)
        sides.append((table[:, 0].astype(np.intp), table[:, 1].astype(np.intp), table[:, 2], table[:, 3]))
    return sides[0], sides[1]


def _bay_side(bays: Bays, pressure: PressureField, side: int) -> tuple[Array, Array, Array]:
    """Force and moment about z = 0 a bay hands to one vertical, and the force to the plate node above it.

    Args:
        bays: the bays.
        pressure: the unit field.
        side: 0 the left vertical, 1 the right.
    """
    own, far = (bays.right, bays.left) if side else (bays.left, bays.right)
    own_top, far_top = (bays.top_right, bays.top_left) if side else (bays.top_left, bays.top_right)
    zero_a, first_a = _areas(pressure, bays.start)
    zero_b, first_b = _areas(pressure, bays.stop)
    share = ((first_b - first_a) - far * (zero_b - zero_a)) / (own - far)
    low, high = bays.low, np.minimum(own_top, far_top)
    level = high - low
    swing = pressure.rise * ((high + low) / 2.0 - pressure.z_bar)
    force = share * level * (1.0 + swing)
    moment = share * (
        (1.0 - pressure.rise * pressure.z_bar) * (high**2 - low**2) / 2.0
        + pressure.rise * (high**3 - low**3) / 3.0
    )
    rise = np.abs(own_top - far_top)
    plate = np.zeros_like(force)
    for point, weight in zip((GAUSS_POINTS + 1.0) / 2.0, GAUSS_WEIGHTS / 2.0, strict=True):
        z = high + rise * point
        scale = (1.0 + pressure.rise * (z - pressure.z_bar)) * rise * weight
        up = own_top > far_top
        cut = np.where(up, far + (own - far) * point, own + (far - own) * point)
        tall = np.where(up, own, far)
        beyond = np.where(tall > cut, bays.stop, bays.start)
        stud, at_plate = _slice(pressure, cut, tall, beyond)
        force = force + np.where(up, stud * scale, 0.0)
        moment = moment + np.where(up, stud * scale * z, 0.0)
        plate = plate + at_plate * scale * np.where(up, point, 1.0 - point)
    return force, moment, plate


def _slice(pressure: PressureField, cut: Array, tall: Array, beyond: Array) -> tuple[Array, Array]:
    """Split a slice between the taller vertical and the plate that cuts it; what lies beyond the vertical is its own."""
    zero_c, first_c = _areas(pressure, cut)
    zero_t, first_t = _areas(pressure, tall)
    zero_e, _ = _areas(pressure, beyond)
    whole, about = zero_t - zero_c, first_t - first_c
    stud = (about - cut * whole) / (tall - cut)
    sign = np.sign(tall - cut)
    return sign * (stud + zero_e - zero_t), sign * (whole - stud)
