"""A wall hung at picks: how hard each pulls and how the wall bends; and where its picks bend it least."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import TypedDict

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.choosing import SAME, first_least, lowest, sorted_by
from bracing.codes.basis import framing_values
from bracing.errors import InputError, MechanismError
from bracing.job.framing import frame_wall
from bracing.job.lumber import section
from bracing.job.wall import Row, Wall
from bracing.panel.grillage import Compliance, analyse
from bracing.panel.loads import LoadSet, lay_out_bays, weight_loads
from bracing.panel.mesh import Mesh, build_mesh
from bracing.panel.reduced import solve
from bracing.panel.weight import TakeOff
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.units import Inch, Pound, Psi, tape

Array = NDArray[np.float64]

# Load duration of a lift: the seven-day factor of construction loads, not the ten-minute one.
LIFT_DURATION: float = shipped("joints")["load_duration"]["seven_days"]
RIGID = 1e-7  # give of a sling against the give of a wall [in/lb]
FIELD = "picks"

PickJson = TypedDict("PickJson", {
    "mark": str, "x_ft": float, "z_ft": float, "load_lb": float, "share": float,
})  # fmt: skip
BendingJson = TypedDict("BendingJson", {
    "sag_in": float, "stud": float, "plate": float, "row": float,
})  # fmt: skip
PicksJson = TypedDict("PicksJson", {
    "picks": list[PickJson], "hook_x_ft": float, "bending": BendingJson, "tried": int,
})  # fmt: skip
WorthJson = TypedDict("WorthJson", {
    "with": Said, "bending": BendingJson | None,
})  # fmt: skip


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

    def to_dict(self) -> BendingJson:
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

    def to_dict(self) -> PicksJson:
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

    def allowable(size: str) -> Psi:
        values = framing_values(wall, size, load_duration=LIFT_DURATION)
        return values.Fb

    return HungWall(
        wall=loose,
        mesh=mesh,
        compliance=analyse(mesh, loads),
        weight=weight,
        loads=loads,
        dynamic=dynamic,
        strength=(allowable(wall.studs.size), tuple(allowable(row.size) for row in wall.rows)),
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


MOST_PICKS = 4
ON_STUD: Inch = 3.0  # a place named this close to a stud means that stud


def choose_picks(hung: HungWall, count: int) -> PickPlan:
    """Choose the studs to pick at: of every set tried, the one whose worst stress ratio is least.

    Sets are pairs on both sides of the centre of gravity; three add the stud nearest it between them, four a
    second pair inside the first. Between equals the less sag, then the one nearer LEFT.

    Args:
        hung: the wall.
        count: how many picks, 2 to 4.

    Returns:
        The best plan.

    Raises:
        InputError: a count outside 2 to 4, or too few studs beside the middle.
        MechanismError: the wall folds at a kink of its top on every set.
    """
    if not 2 <= count <= MOST_PICKS:
        raise InputError.of(FIELD, count, f"2 to {MOST_PICKS}; one pick does not stop the wall from twisting")
    x, middle = hung.stud_x, hung.weight.x_cg
    left = [k for k in range(len(x)) if x[k] < middle - 1e-6]
    right = [k for k in range(len(x)) if x[k] > middle + 1e-6]
    plans: list[PickPlan] = []
    tried = 0
    folds = None
    for a, b in sorted((a, b) for a in left for b in right):
        for studs in _sets(x, (a, b), count, middle):
            tried += 1
            try:
                plan = hang_at(hung, studs)
            except MechanismError as error:
                folds = error
                continue
            except InputError:
                continue
            plans.append(plan)
    if not plans and folds is not None:
        raise folds
    if not plans:
        raise InputError.of(
            FIELD, f"{count} picks", "that many full-height studs on both sides of the middle"
        )
    best = sorted_by(
        plans, lambda plan: plan.bending.worst, lambda plan: plan.bending.sag, lambda plan: plan.picks[0].x
    )
    return evolve(best[0], tried=tried)


def _sets(x: Array, pair: tuple[int, int], count: int, middle: Inch) -> list[tuple[int, ...]]:
    """Give the sets of studs that have this outer pair."""
    a, b = pair
    inside = range(a + 1, b)
    if count == 2:
        return [pair]
    if count == 3:
        near = sorted_by(inside, lambda k: abs(x[k] - middle), lambda k: x[k])[:1]
        return [(a, k, b) for k in near]
    # Four: inner pairs as far in from the outer ones on both sides, to the nearest stud.
    sets: list[tuple[int, ...]] = []
    for c, d in combinations(inside, 2):
        step = abs((x[c] - x[a]) - (x[b] - x[d]))
        if step < 0.5 * float(np.diff(x).min()) + 1e-9:
            sets.append((a, c, d, b))
    return sets


def pick_at(hung: HungWall, places: Sequence[Inch]) -> PickPlan:
    """Hang the wall at the studs a person names.

    Args:
        hung: the wall.
        places: distances from LEFT [in], each within 3 in of a full-height stud.

    Returns:
        The plan.

    Raises:
        InputError: no full-height stud there, or picks that would have to push.
        MechanismError: the wall folds at a kink of its top on these picks.
    """
    studs = []
    for place in places:
        k = first_least(np.abs(hung.stud_x - place))
        if abs(float(hung.stud_x[k]) - place) > ON_STUD:
            near = tape(float(hung.stud_x[k]))
            raise InputError.of(FIELD, tape(place), f"a full-height stud; the nearest is at {near}")
        studs.append(k)
    if len(set(studs)) != len(studs) or len(studs) < 2:
        raise InputError.of(FIELD, ", ".join(tape(p) for p in places), "two or more studs, each named once")
    return hang_at(hung, sorted(studs))


@frozen
class Worth:
    """What one continuous row is worth on the same picks.

    Attributes:
        what: the row.
        bending: how the wall bends with it; None where the wall still folds.
    """

    what: Said
    bending: Bending | None

    def to_dict(self) -> WorthJson:
        """Give it for JSON."""
        return {"with": self.what, "bending": None if self.bending is None else self.bending.to_dict()}


def worth_of_rows(hung: HungWall, picks: Sequence[Pick], *, drop: Inch) -> tuple[Worth, ...]:
    """Say what a strongback, a wale or a nailed-on soffit near the picks is worth, beside no row at all.

    Each is of the studs' own size, straight across 12 in below the lowest point of the top between the picks.

    Args:
        hung: the wall as drawn.
        picks: its picks.
        drop: how far below the top the slings act [in].

    Returns:
        The bending with no row, with each kind of row, on the same studs and picks.
    """
    wall = hung.wall
    between = [x for x, _ in wall.top if picks[0].x <= x <= picks[-1].x]
    height = min(wall.height_at(x) for x in (picks[0].x, picks[-1].x, *between)) - 12.0
    if height < 12.0:
        return ()
    answers, up = [], Quantity(height, Kind.TAPE)
    for what, rows in (
        (Said("no-row"), ()),
        (Said("a-wale", up=up), (Row(height=height, kind="wale", size=wall.studs.size),)),
        (Said("a-strongback", up=up), (Row(height=height, kind="strongback", size=wall.studs.size),)),
        (Said("a-soffit", up=up), (Row(height=height, kind="soffit", size=wall.studs.size),)),
    ):
        only = [pick.x for pick in picks]
        other = hang(evolve(wall, rows=rows), hung.weight, drop=drop, dynamic=hung.dynamic, only=only)
        try:
            bending: Bending | None = pick_at(other, only).bending
        except (InputError, MechanismError):
            bending = None
        answers.append(Worth(what, bending))
    return tuple(answers)


def row_across(wall: Wall) -> Row:
    """Give the strongback that stops a wall from folding at a kink: 12 in below its lowest top.

    Args:
        wall: the wall.

    Example:
        >>> row_across(Wall(name="W", top=((0.0, 96.0), (100.0, 146.0), (200.0, 96.0)))).height
        84.0
    """
    return Row(height=min(z for _, z in wall.top) - 12.0, kind="strongback", size=wall.studs.size)


def slope_at(wall: Wall, x: Inch) -> float:
    """Give the steeper slope of the top at a place, rise over run [-].

    Args:
        wall: the wall.
        x: distance from LEFT [in].

    Example:
        >>> slope_at(Wall(name="W", top=((0.0, 96.0), (100.0, 146.0))), 50.0)
        0.5
    """
    slopes = [
        abs(z1 - z0) / (x1 - x0)
        for (x0, z0), (x1, z1) in pairwise(wall.top)
        if x1 > x0 and x0 - 1e-6 <= x <= x1 + 1e-6
    ]
    return max(slopes, default=0.0)
