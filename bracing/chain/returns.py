"""A return wall as what holds an end: whether it counts, how it gives, and what its corner and its foot may carry.

It is a sheathed wall along itself, in pieces between its openings, each on its own anchorage. The end stud it holds
gives it a force at its middle and one at its top. Every answer is taken with its give as reckoned and three times it.
"""

from __future__ import annotations

import math
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.materials import Materials, materials_of, nailing_of, sheathing_plies, under_sheathing
from bracing.chain.wall import ACROSS_GRAIN, Arm, PlateSet, arm_of, plate_set
from bracing.codes import ends
from bracing.codes.basis import Basis, basis_of
from bracing.codes.joints import FastenerCapacity
from bracing.codes.sticks import Sheathed
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.outline import SHORTEST_WALL
from bracing.job.returns import OUTSIDE, Return
from bracing.job.wall import Plate, Studs, Wall
from bracing.panel.corners import STUD, Corner, Piece, fastener_places, turning_of_nails, turning_of_strap
from bracing.panel.mesh import Support
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known, formula
from bracing.units import Inch, InchPound, Pound

Array = NDArray[np.float64]

LEAST_LENGTH = 0.29  # of its height: a shorter piece of a return counts for nothing; judgement
SOFT_RETURN = 3.0  # a return may give so many times what is reckoned; judgement
CORNER, FAR = "corner", "far"  # which end of the return is lifted
NAILS, STRAP, RIM = "nails", "strap", "rim"
NEAR_FAR_END: Inch = 48.0  # a return past this takes a brace of its own so near its far end; judgement
SIDES = ("left", "right")
WHERE_AT = {"left": Said("at-left"), "right": Said("at-right")}


@formula
def far_nail_pull(M: ends.Many, x: Inch, *, S: float, rho: float) -> ends.Many:
    """Give the pull on the fastener of a row that is drawn most: T = M x / S rho.

    Args:
        M: moment that turns the wall about its far end [lb in].
        x: that fastener from the far end [in].
        S: sum of the squares of all their distances from there [in^2].
        rho: how many times the lift draws a fastener [-].

    Returns:
        T [lb].

    Source: STATICS, a row that gives alike turned about its end.

    Example:
        >>> far_nail_pull(9200.0, 92.0, S=36800.0, rho=2.0)
        46.0
    """
    return M * x / S * rho


@formula
def strap_pull(M: ends.Many, b: ends.Many) -> ends.Many:
    """Give the pull on a strap that holds an end of a wall down: T = M / (b - 1.5).

    Args:
        M: moment that turns the wall about its other end [lb in].
        b: length of the wall [in].

    Returns:
        T [lb].

    Source: STATICS.

    Example:
        >>> strap_pull(9450.0, 96.0)
        100.0
    """
    return M / (b - 1.5)


@formula
def both_ways(t: Pound, v: Pound) -> Pound:
    """Give the force on a nail pushed up and along at once: F = √(t^2 + v^2).

    Args:
        t: up [lb].
        v: along [lb].

    Returns:
        F [lb].

    Source: STATICS.

    Example:
        >>> both_ways(3.0, 4.0)
        5.0
    """
    return math.sqrt(t**2 + v**2)


@frozen(eq=False)
class Foot:
    """What holds one piece of a return to the floor.

    Attributes:
        b: length of the piece [in].
        plate: one of its plate fasteners.
        gamma: slip modulus of one [lb/in].
        spacing: of them [in].
        arm: how the plate is held by them.
        rim: one nail of its sheathing into the rim [lb]; 0 where it does not lap the rim.
        rim_gamma: slip modulus of one of those [lb/in].
        rim_spacing: of those [in].
        straps: of the strap at the end toward the corner, and at the far one; 0 is none [lb].
        slip: what a strap gives at that [in].
        thickness: of the plate [in].
    """

    b: Inch
    plate: PlateSet
    gamma: float
    spacing: Inch
    arm: Arm
    rim: Pound
    rim_gamma: float
    rim_spacing: Inch
    straps: tuple[Pound, Pound]
    slip: Inch
    thickness: Inch

    @cached_property
    def places(self) -> Array:
        """Its plate fasteners from the end it turns about [in]."""
        return fastener_places(self.b, self.spacing)

    @cached_property
    def rim_places(self) -> Array:
        """Its rim nails from there [in]."""
        return fastener_places(self.b, self.rim_spacing)

    @property
    def n(self) -> int:
        """How many plate fasteners."""
        return len(self.places)

    @property
    def rho(self) -> float:
        """How many times the lift draws a plate fastener [-]."""
        return self.arm.pull(1.0)

    @property
    def grain(self) -> float:
        """Moment an inch of its plate may carry across the grain, as a Sum [lb in]."""
        f = Known(ACROSS_GRAIN, "bending across the grain", cite("JUDGEMENT"), "judgement")
        return ends.across_grain_moment(f, Known(self.thickness, "thickness of the plate", ""))

    @property
    def grain_share(self) -> float:
        """Moment in an inch of plate at the fastener drawn most for each pound-inch that turns the piece [-]."""
        x = self.places
        return float(x[-1] / (x**2).sum() / self.spacing * self.arm.out)

    def drawn(self, M: ends.Many) -> ends.Many:
        """Give the pull on the plate fastener drawn most [lb].

        Args:
            M: moment that lifts one end of the piece, or many [lb in].
        """
        return far_nail_pull(M, float(self.places[-1]), S=float((self.places**2).sum()), rho=self.rho)

    def strap(self, sense: str) -> Pound:
        """Give the strap that holds the end that lifts [lb].

        Args:
            sense: which end lifts.
        """
        return self.straps[0 if sense == CORNER else 1]

    def kind(self, sense: str, height: Inch) -> str:
        """Give what holds the end that lifts, of what there is the best for a force at the top; never several.

        Args:
            sense: which end lifts.
            height: of the return [in].
        """
        shares = {
            NAILS: self.by_nails(height),
            STRAP: self._by_strap(sense, height),
            RIM: self.by_rim(height),
        }
        return min(shares, key=lambda kind: shares[kind])

    def by_nails(self, height: Inch) -> float:
        """Give what a pound at the top uses of its plate fasteners and its grain; infinite where there are none [-].

        Args:
            height: of the return [in].

        Source: STATICS.
        """
        if not self.n:
            return math.inf
        x, S = float(self.places[-1]), float((self.places**2).sum())
        fastened = float(self.plate.use(1.0 / self.n, self.drawn(height)))
        bent = height * x / S / self.spacing * self.arm.out / self.grain
        return max(fastened, bent)

    def _by_strap(self, sense: str, height: Inch) -> float:
        if not self.n or self.strap(sense) <= 0.0 or self.b <= STUD or self.plate.lateral <= 0.0:
            return math.inf
        return max(strap_pull(height, self.b) / self.strap(sense), 1.0 / (self.n * self.plate.lateral))

    def by_rim(self, height: Inch) -> float:
        """Give what a pound at the top uses of its sheathing's nails into the rim; infinite where there are none [-].

        Args:
            height: of the return [in].

        Source: STATICS.
        """
        if not len(self.rim_places) or self.rim <= 0.0:
            return math.inf
        x, S = float(self.rim_places[-1]), float((self.rim_places**2).sum())
        return both_ways(height * x / S, 1.0 / len(self.rim_places)) / self.rim

    def turning(self, sense: str, height: Inch) -> InchPound:
        """Give what it holds against turning with one end lifted [lb in/rad].

        Args:
            sense: which end lifts.
            height: of the return [in].

        Source: STATICS; NDS 11.3.6 for gamma; JUDGEMENT in withdrawal.
        """
        kind = self.kind(sense, height)
        if kind == STRAP:
            return turning_of_strap(self.strap(sense), self.slip, self.b)
        if kind == RIM:
            return turning_of_nails(self.rim_gamma, float((self.rim_places**2).sum()), 1.0)
        return turning_of_nails(self.gamma, float((self.places**2).sum()), self.rho)


@frozen(eq=False)
class HeldEnd:
    """An end that a return wall holds.

    Attributes:
        side: left or right.
        x: centre of the end stud [in].
        outside: the return runs to the side without braces.
        heights: where it holds the stud: its middle and its top [in].
        height: of the return [in].
        feet: of each of its pieces that count, from the corner on.
        racking: what its sheathing may carry.
        E: modulus of elasticity of its end studs [psi].
        A: section of one [in^2].
        corner: one fastener of the corner.
        across: what one may carry as the wind loads it [lb].
        count: fasteners in the corner.
        shear: the wind pushes them across their axis.
    """

    side: str
    x: Inch
    outside: bool
    heights: tuple[Inch, Inch]
    height: Inch
    feet: tuple[Foot, ...]
    racking: Sheathed
    E: float
    A: float
    corner: FastenerCapacity
    count: int
    shear: bool

    @property
    def each(self) -> Pound:
        """What one fastener of the corner may carry as the wind loads it [lb]."""
        return self.corner.lateral if self.shear else self.corner.axial

    def joined(self, sense: str) -> Corner:
        """Give how it gives with one end lifted.

        Args:
            sense: which end lifts.
        """
        pieces = tuple(
            Piece(
                b=foot.b, A=self.A, E=self.E, Ga=self.racking.stiffness, n=float(foot.n), gamma=foot.gamma,
                K=foot.turning(sense, self.height),
            )
            for foot in self.feet
        )  # fmt: skip
        return Corner(self.heights, pieces, float(self.count), self.corner.slip_modulus)

    def flexibility(self, *, soft: bool) -> Array:
        """Give how far the stud goes at both heights under a pound at each: of both ways lifted the stiffer, or softer.

        Args:
            soft: the softer, three times over.
        """
        both = sorted(
            (self.joined(sense).flexibility() for sense in (CORNER, FAR)), key=lambda F: float(F[1, 1])
        )
        return SOFT_RETURN * both[1] if soft else both[0]

    def support(self, *, soft: bool) -> Support:
        """Give it as what holds the grillage.

        Args:
            soft: as soft as it may be.
        """
        stiff = np.linalg.inv(self.flexibility(soft=soft))
        return Support(self.x, self.heights, tuple(tuple(map(float, row)) for row in (stiff + stiff.T) / 2.0))


def end_height(wall: Wall, side: str) -> Inch:
    """Give the height of a wall at an end [in].

    Args:
        wall: the wall.
        side: left or right.
    """
    return wall.top[0][1] if side == "left" else wall.top[-1][1]


def return_at(wall: Wall, side: str) -> Return | None:
    """Give the return declared at an end; None where there is none.

    Args:
        wall: the wall.
        side: left or right.
    """
    return getattr(wall, f"{side}_return") if getattr(wall, f"{side}_end") == "return" else None


@lru_cache(maxsize=64)
def held_ends(job: Job, basis: Basis | None = None) -> tuple[HeldEnd, ...]:
    """Give the ends of a wall that a return holds: those of whose return all is declared, and something of it counts.

    Args:
        job: the job.
        basis: what gives strengths; that of the job unless given.
    """
    basis = basis_of(job) if basis is None else basis
    found = []
    for side in SIDES:
        end = return_at(job.wall, side)
        if end is not None and not end.missing:
            held = held_end(job, side, end, basis=basis)
            found += [held] if held is not None else []
    return tuple(found)


def said_of_returns(job: Job) -> tuple[Said, ...]:
    """Say of every declared return that holds nothing why it does not, and of one on straps what is not looked at.

    Args:
        job: the job.
    """
    holding, said = sides_held(job), []
    for side, where in WHERE_AT.items():
        end = None if side in job.ends_met else return_at(job.wall, side)
        if end is not None and end.missing:
            said.append(Said("return-lacks", where=where, lacks=end.missing))
        elif end is not None and side not in holding:
            said.append(Said("return-too-little", where=where))
        elif end is not None and max(end.straps) > 0.0:
            said.append(Said("return-straps-on", where=where))
    return tuple(said)


def with_corners(job: Job, sides: tuple[str, ...] = ()) -> Job:
    """Give the wall with only some of its corners nailed: another return stands beside it and holds nothing yet.

    Args:
        job: the job.
        sides: ends whose corner is nailed, left or right.
    """
    wall = job.wall
    for side in SIDES:
        end = return_at(wall, side)
        if end is not None and side not in sides:
            loose = evolve(end, nailed=False)
            wall = evolve(wall, left_return=loose) if side == "left" else evolve(wall, right_return=loose)
    return job if wall is job.wall else evolve(job, wall=wall)


def sides_held(job: Job) -> tuple[str, ...]:
    """Give the ends that a return holds, left or right.

    Args:
        job: the job.
    """
    return tuple(held.side for held in held_ends(bare_of(job)))


def asked_by_returns(job: Job) -> tuple[Said, ...]:
    """Say what returns ask for: a strap where plate nails alone hold one down, a brace of its own while free.

    Args:
        job: the job.
    """
    nailed = held_by_nails_alone(job)
    said = [Said("return-asks-straps", where=WHERE_AT[side]) for side in nailed]
    for side, where in WHERE_AT.items():
        end = None if side in job.ends_met else return_at(job.wall, side)
        if end is not None and end.length is not None and end.length > NEAR_FAR_END:
            said.append(Said("return-asks-brace", where=where, near=Quantity(NEAR_FAR_END, Kind.FEET)))
    return tuple(said)


def held_by_nails_alone(job: Job) -> tuple[str, ...]:
    """Give the ends, left or right, that a return holds by its plate fasteners alone where one of its ends is lifted.

    Args:
        job: the job.
    """
    return tuple(
        held.side for held in held_ends(bare_of(job))
        if any(foot.kind(sense, held.height) == NAILS for foot in held.feet for sense in (CORNER, FAR))
    )  # fmt: skip


def bare_of(job: Job) -> Job:
    """Give the wall of a job with what its returns stand on and are nailed with, whatever its braces.

    Args:
        job: the job.
    """
    return Job(job.wall, floor=job.floor, kit=job.kit, fasteners=job.fasteners, basis=job.basis)


def held_end(job: Job, side: str, end: Return, *, basis: Basis) -> HeldEnd | None:
    """Give one end that a return holds; None where nothing of the return counts.

    Args:
        job: the wall.
        side: its end, left or right.
        end: the return, all of it declared.
        basis: what gives strengths.
    """
    own = materials_of(own_job(job, side, end), basis)
    wall, height = own.job.wall, own.job.wall.highest
    nailing = nailing_of(own, blocked=end.blocked)
    if nailing is None:
        return None
    racking = basis.sheathed(nailing)
    feet = tuple(
        foot for foot in _feet(own, end) if foot.b >= LEAST_LENGTH * height and racking.counts(height, foot.b)
    )  # fmt: skip
    feet = tuple(
        foot for foot in feet if foot.n and foot.gamma > 0.0 and math.isfinite(foot.by_nails(height))
    )
    studs = frame_wall(job.wall).full_height_studs
    tied, stick = end.tied, section(wall.studs.size)
    shear = tied.joint == "shear"
    both = (own, materials_of(job, basis))  # the fastener is in an end stud of each
    corner = min(
        (one.capacity(str(tied.fastener), one.stud_ply(), one.stud_ply()) for one in both),
        key=lambda one: one.lateral if shear else one.axial,
    )
    if (
        not feet
        or tied.count < 2
        or under_sheathing(own.job)
        or (corner.lateral if shear else corner.axial) <= 0.0
    ):
        return None
    top = min(height, end_height(job.wall, side))
    return HeldEnd(
        side=side, x=studs[0 if side == "left" else -1].x, outside=end.side == OUTSIDE, heights=(top / 2.0, top),
        height=height, feet=feet, racking=racking, E=own.stud_values().E, A=stick.area, corner=corner,
        count=tied.count, shear=shear,
    )  # fmt: skip


def own_job(job: Job, side: str, end: Return) -> Job:
    """Give a return as a wall of its own, on the same floor.

    Args:
        job: the wall it holds.
        side: its end.
        end: the return.
    """
    high = end.height or end_height(job.wall, side)
    plate, more = end.plate, dict[str, Any]()
    if end.sheathing is not None:
        more = {"layers": (*end.under, end.sheathing)}
    fitted = Plate(
        state="final", fastener=plate.fastener or Plate().fastener, spacing=plate.spacing or Plate().spacing,
        row_from_sheathed_edge=plate.row_from_sheathed_edge, into_framing=plate.into_framing,
        sheathing_laps=plate.laps, sheathing_fastener=end.edge_nail or Plate().sheathing_fastener,
        sheathing_spacing=end.edge_spacing or Plate().sheathing_spacing, sheathing_field_spacing=end.field_spacing,
    )  # fmt: skip
    studs = Studs(
        size=end.studs.size, spacing=end.studs.spacing, species=end.studs.species, grade=end.studs.grade
    )
    wall = Wall(
        name=f"return at {side}", top=((0.0, high), (max(end.length or 0.0, SHORTEST_WALL), high)), studs=studs,
        moisture=end.moisture or job.wall.moisture, plate=fitted, **more,
    )  # fmt: skip
    return Job(wall, floor=job.floor, kit=job.kit, fasteners=job.fasteners)


def pieces_of(end: Return) -> tuple[tuple[Inch, Inch], ...]:
    """Give the pieces of a return between its openings, from this wall on, each by where it starts and ends [in].

    Args:
        end: the return.

    Example:
        >>> from bracing.job.returns import ReturnOpening
        >>> pieces_of(Return(length=144.0, openings=(ReturnOpening(left=60.0, width=36.0),)))
        ((0.0, 60.0), (96.0, 144.0))
    """
    edges, at, length = [], 0.0, end.length or 0.0
    for opening in sorted(end.openings, key=lambda each: each.left):
        edges.append((at, min(max(opening.left, at), length)))
        at = max(at, opening.right)
    edges.append((at, length))
    return tuple((low, high) for low, high in edges if high > low)


def _feet(own: Materials, end: Return) -> tuple[Foot, ...]:
    job, plate, pieces = own.job, own.job.wall.plate, pieces_of(end)
    one, arm = plate_set(own, plate.fastener), arm_of(own.job, plate.row_from_sheathed_edge)
    nail = own.capacity(plate.sheathing_fastener, *sheathing_plies(own))
    rim = nail.lateral if plate.sheathing_laps == "rim" else 0.0
    return tuple(
        Foot(
            b=high - low, plate=one, gamma=one.one.slip_modulus, spacing=plate.spacing, arm=arm, rim=rim,
            rim_gamma=nail.slip_modulus, rim_spacing=plate.sheathing_spacing,
            straps=(
                end.straps[0] if k == 0 else 0.0, end.straps[1] if k == len(pieces) - 1 else 0.0,
            ),
            slip=end.strap_slip, thickness=section(job.wall.studs.size).thickness,
        )
        for k, (low, high) in enumerate(pieces)
    )  # fmt: skip
