"""Pressure over the wall, carried to the grillage.

Sheathing spans level from upright to upright. Each *bay* between two neighbours hands its pressure to them
by the lever rule, slice by slice; under a sloping top a slice that ends at the plate hands that end to the
plate. Force and moment about the plate are exact for every bay; along one upright the load is taken as the
straight line that has that force and moment.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.codes.wind import PressureField
from bracing.panel.bays import Bays, lay_out_bays
from bracing.panel.mesh import Mesh

__all__ = ["Bays", "LoadSet", "carry", "lay_out_bays"]

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

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
