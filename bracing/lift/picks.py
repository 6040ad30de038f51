"""A wall hung at picks: how hard each pulls and how the wall bends, on the grillage the braces are sized on.

The wall lies on its hinge and hangs at its picks. Its weight acts square to it times the cosine of the tilt,
so bending is greatest as it leaves the floor. Sheathing gives no stiffness here, so a wall with a kink in its
top folds there unless a continuous row crosses it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.choosing import SAME, lowest
from bracing.codes.nds.adjusted import design_values
from bracing.errors import InputError, MechanismError
from bracing.job.framing import frame_wall
from bracing.job.lumber import section
from bracing.job.wall import Row, Wall
from bracing.panel.cases import weight_loads
from bracing.panel.grillage import Compliance, analyse
from bracing.panel.loads import LoadSet, lay_out_bays
from bracing.panel.mesh import Mesh, build_mesh
from bracing.panel.reduced import solve
from bracing.panel.weight import TakeOff
from bracing.units import Inch, Pound, Psi, tape

Array = NDArray[np.float64]

LIFT_DURATION = (
    1.25  # load duration of a lift: the seven-day factor of construction loads, not the ten-minute one
)
RIGID = 1e-7  # give of a sling against the give of a wall [in/lb]
FIELD = "picks"


@frozen
class Pick:
    """One pick.

    Attributes:
        mark: P1, P2, ... from LEFT.
        x: its stud from LEFT [in].
        z: where on the stud, above the plate's foot [in].
        load: pull square to the wall as it leaves the floor, no dynamic part [lb].
        share: its part of the line [-].
    """

    mark: str
    x: Inch
    z: Inch
    load: Pound
    share: float


@frozen
class Bending:
    """How the hung wall bends as it leaves the floor, the dynamic part in the stresses and not in the sag.

    Attributes:
        sag: greatest movement off the plane through picks and hinge [in].
        stud: greatest bending stress of a stud over its allowable [-].
        plate: greatest bending stress of the top plate over its allowable, one continuous pair of plies [-].
        row: greatest bending stress of a continuous row over its allowable [-]; 0 without a row.
    """

    sag: Inch
    stud: float
    plate: float
    row: float

    @property
    def worst(self) -> float:
        """The greatest of the three ratios [-]."""
        return max(self.stud, self.plate, self.row)

    def to_dict(self) -> dict[str, float]:
        """Give it for JSON."""
        return {"sag_in": self.sag, "stud": self.stud, "plate": self.plate, "row": self.row}


@frozen
class PickPlan:
    """Picks for a wall.

    Attributes:
        picks: from LEFT.
        hook_x: where the resultant of the picks acts, so where the hook hangs, from LEFT [in].
        bending: how the wall bends on them.
        tried: how many sets were tried.
    """

    picks: tuple[Pick, ...]
    hook_x: Inch
    bending: Bending
    tried: int

    @property
    def up(self) -> Inch:
        """Height up the wall at which the line acts [in]."""
        return sum(pick.share * pick.z for pick in self.picks)

    def to_dict(self) -> dict[str, object]:
        """Give the plan for JSON."""
        return {
            "picks": [
                {
                    "mark": pick.mark,
                    "x_ft": pick.x / 12.0,
                    "z_ft": pick.z / 12.0,
                    "load_lb": pick.load,
                    "share": pick.share,
                }
                for pick in self.picks
            ],
            "hook_x_ft": self.hook_x / 12.0,
            "bending": self.bending.to_dict(),
            "tried": self.tried,
        }


@frozen(eq=False)
class HungWall:
    """A wall lying on its hinge, ready to be hung at any of its full-height studs.

    Attributes:
        wall: the wall.
        mesh: its grillage; head k is the pick on stud k.
        compliance: its answers to its own weight and to a pull at each stud.
        weight: what it weighs.
        loads: its weight square to it.
        dynamic: dynamic part of the load [-].
        strength: allowable bending of stud and plate, and of each row [psi].
    """

    wall: Wall
    mesh: Mesh
    compliance: Compliance = field(repr=False)
    weight: TakeOff = field(repr=False)
    loads: LoadSet = field(repr=False)
    dynamic: float
    strength: tuple[Psi, tuple[Psi, ...]]

    @property
    def stud_x(self) -> Array:
        """Full-height studs from LEFT [in]."""
        return self.mesh.x[list(self.mesh.heads)]


def hang(wall: Wall, weight: TakeOff, *, drop: Inch, dynamic: float, only: Sequence[Inch] = ()) -> HungWall:
    """Make a wall ready to be hung.

    Args:
        wall: the wall.
        weight: what it weighs.
        drop: how far below the top of the wall the slings act [in].
        dynamic: dynamic part of the load [-].
        only: the studs it may be picked at, from LEFT [in]; empty is every full-height stud.

    Returns:
        The hung wall.
    """
    loose = evolve(wall, left_end="free", right_end="free")
    framed = frame_wall(loose)
    studs = [line.x for line in framed.full_height_studs if not only or line.x in only]
    heads = [(x, loose.height_at(x) - drop) for x in studs]
    mesh = build_mesh(loose, framed, heads)
    loads = weight_loads(mesh, lay_out_bays(mesh, loose), loose, weight=weight)
    wet = wall.moisture == "green"
    lumber = wall.studs

    def allowable(size: str) -> Psi:
        values = design_values(lumber.species, lumber.grade, size, wet=wet, load_duration=LIFT_DURATION)
        return values.Fb

    return HungWall(
        wall=loose,
        mesh=mesh,
        compliance=analyse(mesh, loads),
        weight=weight,
        loads=loads,
        dynamic=dynamic,
        strength=(allowable(lumber.size), tuple(allowable(row.size) for row in wall.rows)),
    )


def hang_at(hung: HungWall, studs: Sequence[int]) -> PickPlan:
    """Hang the wall at some of its studs.

    Args:
        hung: the wall.
        studs: numbers of the full-height studs, from LEFT.

    Returns:
        The pull of each pick and how the wall bends.

    Raises:
        MechanismError: the picks do not hold every way the wall can move.
        InputError: a pick would have to push.
    """
    pull, motion = _pulls(hung, studs)
    if min(pull) <= SAME * max(map(abs, pull)):
        where = ", ".join(tape(float(hung.stud_x[k])) for k in studs)
        raise InputError.of(
            FIELD, where, "picks on both sides of the centre of gravity, none that has to push"
        )
    total = sum(pull)
    x = [float(hung.stud_x[k]) for k in studs]
    z = [float(hung.mesh.z[hung.mesh.heads[k]]) for k in studs]
    marks = [f"P{k + 1}" for k in range(len(studs))]
    picks = tuple(Pick(m, a, b, p, p / total) for m, a, b, p in zip(marks, x, z, pull, strict=True))
    hook = sum(pick.share * pick.x for pick in picks)
    return PickPlan(picks, hook, _bending(hung, studs, np.array(pull), motion), 1)


def _pulls(hung: HungWall, studs: Sequence[int]) -> tuple[list[float], Array]:
    c, at = hung.compliance, list(studs)
    motions = c.motions[at]
    found = solve(
        c.flexibility[np.ix_(at, at)],
        motions,
        np.full(len(at), RIGID),
        np.ones(len(at), dtype=bool),
        under_load=c.under_load[:1, at].T,
        work=c.work[:1].T,
    )
    if not bool(found.held):
        raise MechanismError(motions.shape[1], min(len(at), motions.shape[1] - 1))
    return [float(p) for p in found.force[:, 0]], np.asarray(found.motion[:, 0])


def _bending(hung: HungWall, studs: Sequence[int], pull: Array, motion: Array) -> Bending:
    mesh, c, at = hung.mesh, hung.compliance, list(studs)
    kinds = np.array([mesh.lines[k].kind for k in mesh.element_line])
    stick = section(hung.wall.studs.size)
    modulus = stick.section_modulus(strong=True)
    moved = c.deflection[0][0] - pull @ c.deflection[1][at] + motion @ c.deflection[2]
    stud = np.abs(c.from_loads.stud_moment[0] - np.einsum("h,hep->ep", pull, c.from_heads.stud_moment[at]))
    stud = (stud.max(axis=1) + c.from_loads.stud_allowance[0]) / mesh.element_plies[kinds == "stud"]
    plate = np.abs(c.from_loads.plate_moment[0] - np.einsum("h,hep->ep", pull, c.from_heads.plate_moment[at]))
    plate = plate.max(axis=1) / mesh.element_plies[kinds == "plate"]
    grown = 1.0 + hung.dynamic
    allowable, _ = hung.strength
    return Bending(
        sag=float(np.abs(moved).max()),
        stud=float(stud.max()) * grown / modulus / allowable,
        plate=float(plate.max(initial=0.0)) * grown / modulus / allowable,
        row=_row_ratio(hung, moved) * grown,
    )


def _row_ratio(hung: HungWall, moved: Array) -> float:
    """Greatest bending of a row over its allowable, from its shape: nothing loads it between studs."""
    worst = 0.0
    lines = [line for line in hung.mesh.lines if line.kind == "row"]
    for line in lines:
        row, allowable = _row_of(hung, line.nodes)
        nodes = list(line.nodes)
        moment = line.rigidity[0] * curvatures(hung.mesh.x[nodes], moved[nodes])
        modulus = section(row.size).section_modulus(strong=row.kind != "wale")
        worst = max(worst, float(np.abs(moment).max()) / modulus / allowable)
    return worst


def _row_of(hung: HungWall, nodes: Sequence[int]) -> tuple[Row, Psi]:
    z = float(hung.mesh.z[nodes[0]])
    rows = list(zip(hung.wall.rows, hung.strength[1], strict=True))
    return lowest(rows, lambda pair: abs(pair[0].height - z))


def curvatures(x: Array, w: Array) -> Array:
    """Give the curvature at the supports of a beam bent through given points, no load between them [1/in].

    The three-moment equation: h0 k0 + 2 (h0 + h1) k1 + h1 k2 = 6 [(w2 - w1)/h1 - (w1 - w0)/h0]; ends free
    to turn.

    Args:
        x: places of the points, rising [in].
        w: deflection there [in].

    Returns:
        Curvature at each point [1/in].

    Source: STATICS.

    Example:
        >>> curvatures(np.array([0.0, 10.0, 20.0]), np.array([0.0, 1.0, 0.0])).round(3).tolist()
        [0.0, -0.03, 0.0]
    """
    h, slope = np.diff(x), np.diff(w) / np.diff(x)
    n = len(x)
    matrix, right = np.eye(n), np.zeros(n)
    for k in range(1, n - 1):
        matrix[k, k - 1 : k + 2] = h[k - 1], 2.0 * (h[k - 1] + h[k]), h[k]
        right[k] = 6.0 * (slope[k] - slope[k - 1])
    return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
