"""The load cases of a standing wall: what is always there, and the wind per unit of velocity pressure."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.codes.pressures import PressureField, Pressures, outline_properties
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.panel.loads import Bays, LoadSet, carry, lay_out_bays
from bracing.panel.mesh import Mesh
from bracing.panel.weight import TakeOff, take_off
from bracing.sums import formula
from bracing.units import Inch, Pound, PoundPerInch, Psi

Array = NDArray[np.float64]
Many = TypeVar("Many", float, Array)


@frozen(eq=False)
class Cases:
    """Load cases of one wall.

    Attributes:
        pressures: the wind on it.
        steady: what is always there, one case.
        wind: one case a field, per unit velocity pressure [lb per psi].
    """

    pressures: Pressures = field(repr=False)
    steady: LoadSet = field(repr=False)
    wind: LoadSet = field(repr=False)

    @property
    def fields(self) -> tuple[PressureField, ...]:
        """The wind fields, G·Cf."""
        return self.pressures.fields

    @property
    def pressure_per_mph2(self) -> Psi:
        """Velocity pressure at the wall's highest point per gust squared [psi]."""
        return self.pressures.per_mph2

    def together(self) -> LoadSet:
        """Give steady and wind as one set: row 0 steady, then the wind per mph squared."""
        q = self.pressure_per_mph2
        return LoadSet(
            np.concatenate([self.steady.element_load, self.wind.element_load * q]),
            np.concatenate([self.steady.node_load, self.wind.node_load * q]),
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
    return Cases(
        pressures=wind,
        steady=_steady(job, mesh, weight_loads(mesh, bays, job.wall, weight=take_off(job.wall))),
        wind=carry(mesh, bays, wind.fields),
    )


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
def level_load(wind: Pound, lean: Pound, people: Pound) -> Pound:
    """Give the level load on the whole wall, with lean and people: H = wind + lean + people.

    Args:
        wind: force of the wind on it [lb].
        lean: part of the weight that lean turns sideways [lb].
        people: load of people and ladders along the top [lb].

    Returns:
        H [lb].

    Source: STATICS.

    Example:
        >>> level_load(1000.0, 20.0, 120.0)
        1140.0
    """
    return wind + lean + people


def _steady(job: Job, mesh: Mesh, weight: LoadSet) -> LoadSet:
    """The part of the weight that lean turns sideways, and people and ladders along the top."""
    lean = job.site.lean
    node_load = sideways(lean, weight.node_load)
    node_load[0] += top_line_load(mesh, job.wall.length, job.site.top_load)
    return LoadSet(sideways(lean, weight.element_load), node_load)


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
