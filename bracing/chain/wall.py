"""Strengths of the wall itself: studs, plates, the fasteners under and on them, headers, sheathing."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import cast

from attrs import evolve, field, frozen

from bracing.chain.materials import Materials, pulled_out_of, sheathing_plies
from bracing.codes import ends
from bracing.codes.joints import FastenerCapacity, Load, Ply, one_load, plies_together
from bracing.codes.sticks import Member
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.pulls import JOIST
from bracing.job.wall import Opening, Wall
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import Inch, InchPound, Pound, Psi

EDGE_DISTANCE: Inch = 1.5  # the outer head fasteners stand this far from the stud's edges; judgement
ACROSS_GRAIN: Psi = 40.0  # bending of a plate across its grain; judgement
WASHER: Inch = 3.0  # of the plate washer of SDPWS 4.3.6.4.3, from memory
SPREAD_HEAD = 3  # fewer fasteners than this do not reach both edges: they stand in the middle; judgement


@frozen
class PlateSet:
    """One kind of fastener through the bottom plate.

    Attributes:
        name: which.
        one: what one may carry.
    """

    name: str
    one: FastenerCapacity = field(repr=False)

    @property
    def lateral(self) -> Pound:
        """What one may carry in shear [lb]."""
        return self.one.lateral

    @property
    def axial(self) -> Pound:
        """What one may carry in pull [lb]."""
        return self.one.axial

    @property
    def known(self) -> str:
        """How shear and pull together are known."""
        return self.one.known

    @property
    def lateral_known(self) -> str:
        """How the shear is known."""
        return self.one.lateral_known

    def use(self, shear: Load, tension: Load) -> Load:
        """Share of one fastener used by shear and tension together.

        Args:
            shear: [lb].
            tension: [lb].
        """
        return self.one.utilisation(shear, tension)

    def worth_nothing(self, shear: Pound, tension: Pound, words: str) -> Known | None:
        """Say of one of them that a load meets an allowable of nothing; None where none does.

        Args:
            shear: on it [lb].
            tension: on it [lb].
            words: what they are.
        """
        ways = (("shear", shear, self.lateral), ("lift", tension, self.axial))
        if not any(load > 0.0 and allowed <= 0.0 for _, load, allowed in ways):
            return None
        none = " or ".join(way for way, _, allowed in ways if allowed <= 0.0)
        return Known(0.0, f"{words}: nothing allowed in {none}", "")

    def used(self, V: Pound, T: Pound) -> float:
        """Share used of one of them, as a Sum; nothing of one that may carry nothing of what it has to.

        Args:
            V: shear on it [lb].
            T: pull on it [lb].
        """
        nothing = self.worth_nothing(V, T, self.name)
        return self.use_of(V, T, self.name) if nothing is None else nothing

    def use_of(self, V: Pound, T: Pound, words: str) -> float:
        """Share used of one of them by both loads, or by the one there is, as a Sum.

        Args:
            V: shear on it [lb].
            T: pull on it [lb].
            words: what they are.
        """
        if V <= 0.0 and T <= 0.0:
            return Known(0.0, f"{words}: no load", cite("STATICS"))
        if T <= 0.0:
            return cast("float", one_load(V, self.lateral))
        if V <= 0.0:
            return cast("float", one_load(T, self.axial))
        return cast("float", self.use(V, T))


@frozen
class Arm:
    """How a plate is lifted and held: by its edge or its middle, by a row so far from its inner edge.

    Attributes:
        b: width of the plate [in].
        e: from its inner edge to the row, or to the edge of the washers there [in].
        out: from there to where it is lifted [in].
        by_strap: lifted at its middle, not by its edge.
    """

    b: Inch
    e: Inch
    out: Inch
    by_strap: bool

    def pull(self, lift: ends.Many) -> ends.Many:
        """Give the pull on fasteners whose plate is lifted.

        Args:
            lift: where the plate is lifted [lb].
        """
        return (ends.lift_at_middle if self.by_strap else ends.lift_at_row)(lift, self.b, self.e)


def arm_of(job: Job, edge: Inch | None) -> Arm:
    """Give how a job's plate is held by a row of fasteners.

    Args:
        job: the job.
        edge: from its sheathed edge to the row; None is its middle [in].

    Source: STATICS, moments about the inner edge of the plate.
    """
    b = section(job.wall.studs.size).width
    e = b / 2.0 if edge is None else b - edge
    half = WASHER / 2.0 if job.floor.kind == "slab" and job.floor.slab.washers else 0.0
    if job.wall.plate.lifted_by_strap:
        return Arm(b, e, max(abs(e - b / 2.0) - half, 0.0), by_strap=True)
    e = min(e + half, b)
    return Arm(b, e, b - e, by_strap=False)


@frozen
class WallStrength:
    """What the wall's own links may carry.

    Attributes:
        stud_moment: one stud in bending [lb in].
        stud_shear: one stud in shear [lb].
        top_plate_moment: the plies of the top plate that count [lb in].
        stud_top: end nails of the top plate in one stud [lb].
        plate: the fasteners of the bottom plate's pattern.
        extra: the fasteners beside each brace.
        sheathing_nail: one sheathing nail into plate or stud, shear along the panel [lb].
        sheathing_off: one sheathing nail pulled off a stud [lb].
        sheathing_known: how the first of these two is known, one of `bracing.sources.KNOWN`.
        sheathing_off_known: how the second is known.
    """

    stud_moment: InchPound
    stud_shear: Pound
    top_plate_moment: InchPound
    stud_top: FastenerCapacity
    plate: PlateSet
    extra: PlateSet
    sheathing_nail: Pound
    sheathing_off: Pound
    sheathing_known: str = "read"
    sheathing_off_known: str = "read"


@lru_cache(maxsize=256)
def wall_strength(materials: Materials) -> WallStrength:
    """Give the strengths of a wall's own links.

    Args:
        materials: the job's materials.

    Source: NDS 3.3.1, 3.4.2, 12.2, 12.3, 12.5.2; TR12 table 1-1 across what stands under a panel (from memory).
    """
    wall = materials.job.wall
    stud = materials.stud()
    bending = cut_stud(materials).bending() if let_into(wall) else stud.bending()
    bare, plies = (
        Known(0.0, "a bare frame has no sheathing nails", cite("STATICS")),
        sheathing_plies(materials),
    )
    nail = materials.capacity(wall.plate.sheathing_fastener, *plies) if plies else None
    return WallStrength(
        stud_moment=bending,
        stud_shear=stud.shear(),
        top_plate_moment=plies_together(stud.bending(), 2.0 if wall.top_plate.spliced else 1.0),
        stud_top=materials.capacity(
            wall.top_plate.end_nail, materials.stud_ply(), materials.stud_ply(thickness=12.0, end_grain=True)
        ),
        plate=plate_set(materials, wall.plate.fastener),
        extra=plate_set(materials, wall.plate.extra.fastener),
        sheathing_nail=nail.lateral if nail else bare,
        sheathing_off=nail.axial if nail else bare,
        sheathing_known=nail.lateral_known if nail else "read",
        sheathing_off_known=nail.axial_known if nail else "read",
    )


def let_into(wall: Wall) -> Inch:
    """Give how deep the diagonals let into a wall's studs cut them; 0 where none is [in].

    Args:
        wall: the wall.

    Source: STATICS, a board let in flush cuts its own thickness.
    """
    cuts = (section(each.size).thickness for each in wall.diagonals if each.kind == "let-in")
    return max(cuts, default=0.0)


def cut_stud(materials: Materials) -> Member:
    """Give what a stud may carry where a diagonal is let into it; every stud counts so.

    Args:
        materials: the job's materials.

    Source: NDS 3.2.3, the net section of a notch (from memory).
    """
    wall = materials.job.wall
    whole = section(wall.studs.size)
    left = evolve(whole, width=whole.width - let_into(wall))
    return materials.basis.member(left, materials.stud_values())


def plate_set(materials: Materials, name: str) -> PlateSet:
    """One fastener through the bottom plate into the floor; on a slab, one declared anchor.

    Args:
        materials: the job's materials.
        name: the fastener.
    """
    floor = materials.job.floor
    if floor.kind == "slab":
        return PlateSet("anchor", materials.anchor)
    plies: tuple[Ply, ...] = (materials.stud_ply(), materials.deck_ply())
    deck = materials.capacity(name, *plies)
    if not materials.job.wall.plate.into_framing:
        return PlateSet(name, deck)
    joist = materials.capacity(name, *plies, materials.joist_ply(angle=math.pi / 2.0))
    # Across and along the better of deck and joist holds it; they are never added, for nobody has published that.
    across = joist if joist.lateral >= deck.lateral else deck
    along = joist if joist.axial >= deck.axial or pulled_out_of(materials, name, JOIST) else deck
    better = evolve(
        joist, lateral=across.lateral, lateral_mode=across.lateral_mode, lateral_known=across.lateral_known,
        axial=along.axial, axial_mode=along.axial_mode, axial_known=along.axial_known,
    )  # fmt: skip
    return PlateSet(name, better)


def splitting_shear(
    materials: Materials, *, from_end: Inch, doubled: bool, count: int = SPREAD_HEAD
) -> Pound:
    """Shear a stud may carry at its brace's head joint without splitting [lb].

    Args:
        materials: the job's materials.
        from_end: the head's distance below the top of the stud [in].
        doubled: the stud is doubled.
        count: fasteners in the head joint.

    Source: NDS 3.4.3.3.
    """
    stud = section(materials.job.wall.studs.size)
    spread = stud.width - EDGE_DISTANCE if count >= SPREAD_HEAD else 0.0
    loaded = max(spread, stud.width / 2.0)
    one = materials.stud().shear_at_joint(from_loaded_edge=loaded, from_end=max(from_end, 0.0))
    return plies_together(one, 2.0 if doubled else 1.0)


@lru_cache(maxsize=256)
def header_end(materials: Materials, opening: Opening) -> Pound:
    """One end of a header or sill: nails through the king into its end grain [lb].

    Args:
        materials: the job's materials.
        opening: gives the fastener and how many.

    Source: NDS 12.5.2.2.
    """
    one = materials.capacity(
        opening.header_fastener, materials.stud_ply(), materials.stud_ply(thickness=12.0, end_grain=True)
    )
    return materials.basis.acting.all_of(one.lateral, opening.header_nails, 1.0)
