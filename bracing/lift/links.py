"""What is asked of a lift; what the slings hold the wall by, and what holds its foot, as links.

End nails of a plate count zero: a sling round the plate alone pulls it off the studs. A choked stud hands the
wall to its sheathing nails, a choked header to the nails in its ends. Anything else is declared by report.
"""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import frozen

from bracing.chain.materials import ACROSS, Materials, materials_of, pulls_of, sheathing_plies
from bracing.choosing import over, whole_down
from bracing.codes.joints import FastenerCapacity, Joint, Ply
from bracing.job.fields import declared
from bracing.job.job import Job
from bracing.lift.foot import FootHold
from bracing.lift.machine import Chart, Machine
from bracing.lift.picks import LIFT_DURATION, PickPlan
from bracing.said import Said
from bracing.sources import cite, shipped
from bracing.units import INCHES_PER_FOOT, Inch, Mph, Pound

MOST_COUNT = 400
ATTACHMENTS = ("stud", "header", "plate")
STRAP_STEEL: Inch = 0.036  # 20 gauge, the usual strap
STATED = shipped("lifting")["lift"]
HANDS: Inch = STATED["reach_ft"] * INCHES_PER_FOOT

PickLinkJson = TypedDict("PickLinkJson", {
    "link": str, "mark": str | None, "demand_lb": float, "capacity_lb": float | None, "ratio": float | None,
    "within": bool | None, "why": Said, "source": str,
})  # fmt: skip


@frozen
class PickLink:
    """How one pick holds the wall.

    Attributes:
        mark: the pick.
        by: what the sling is round.
        demand: the pull on it, the whole weight and its dynamic part shared by the picks [lb].
        capacity: what is counted [lb].
        why: what is counted, in words.
        source: where it comes from.
    """

    mark: str
    by: str
    demand: Pound
    capacity: Pound
    why: Said
    source: str

    @property
    def within(self) -> bool:
        """Demand no greater than the capacity."""
        return not over(self.demand, self.capacity)

    def to_dict(self) -> PickLinkJson:
        """Give it for JSON."""
        return {
            "link": f"sling to {self.by}",
            "mark": self.mark,
            "demand_lb": self.demand,
            "capacity_lb": self.capacity,
            "ratio": self.demand / self.capacity if self.capacity > 0.0 else None,
            "within": self.within,
            "why": self.why,
            "source": self.source,
        }


def pick_links(
    job: Job, plan: PickPlan, rigged: Pound, *, by: str, declared: Pound | None = None
) -> tuple[PickLink, ...]:
    """Hold each pick's pull against what it is attached to.

    Args:
        job: the job.
        plan: the picks.
        rigged: the whole weight and its dynamic part [lb].
        by: stud, header or plate.
        declared: allowable of one attachment the user declares, with its report [lb].

    Returns:
        A link for each pick.

    Source: NDS 12.3; JUDGEMENT, the zero of end nails.
    """
    links = []
    for pick in plan.picks:
        capacity, why, source = _attachment(job, pick.z, by)
        if declared is not None:
            capacity, why, source = declared, Said("declared"), cite("USER")
        links.append(PickLink(pick.mark, by, pick.share * rigged, capacity, why, source))
    return tuple(links)


def _attachment(job: Job, height: Inch, by: str) -> tuple[Pound, Said, str]:
    if by == "plate":
        return 0.0, Said("end-nails-count-zero"), cite("JUDGEMENT")
    materials = materials_of(job)
    if by == "header":
        if not job.wall.openings:
            return 0.0, Said("no-header"), cite("JUDGEMENT")
        # The nails into the ends of a header go into its end grain; both ends share.
        least = []
        for opening in job.wall.openings:
            end_grain = materials.stud_ply(thickness=12.0, end_grain=True)
            one = _one(materials, opening.header_fastener, materials.stud_ply(), end_grain)
            least.append((2 * opening.header_nails * one.lateral, opening.header_nails))
        capacity, count = min(least)
        return capacity, Said("header-end-nails", count=count), materials.basis.clauses.hung_header
    plies = sheathing_plies(materials, angle=0.0)
    if not plies:
        return 0.0, Said("bare-frame"), cite("JUDGEMENT")
    plate = job.wall.plate
    one = _one(materials, plate.sheathing_fastener, *plies)
    count = whole_down(height / plate.sheathing_field_spacing)
    return count * one.lateral, Said("sheathing-nails", count=count), materials.basis.clauses.hung_stud


@frozen
class FootRequest:
    """What the user says holds the foot while it swings.

    Attributes:
        toe_nails: how many, through the plate into the floor.
        toe_nail: which nail.
        straps: how many.
        strap_nails: fasteners of a strap into the floor.
        strap_fastener: which.
        strap_lb: allowable of a strap with its report [lb]; None computes its fasteners.
        blocks: stop blocks nailed to the floor outside the plate.
        block_nails: fasteners in each block.
        block_fastener: which.
    """

    toe_nails: int = declared(
        "count", "through the plate into the floor", default=0, least=0, most=MOST_COUNT
    )
    toe_nail: str = declared("fastener", "which", default="16d common")
    straps: int = declared("count", "how many", default=0, least=0, most=MOST_COUNT)
    strap_nails: int = declared(
        "count", "fasteners of a strap into the floor", default=0, least=0, most=MOST_COUNT
    )
    strap_fastener: str = declared("fastener", "which", default="16d common")
    strap_lb: Pound | None = declared(
        "force", "allowable of a strap with its report", default=None, least=0.0
    )
    blocks: int = declared("count", "stop blocks outside the plate", default=0, least=0, most=MOST_COUNT)
    block_nails: int = declared("count", "fasteners in each block", default=0, least=0, most=MOST_COUNT)
    block_fastener: str = declared("fastener", "which", default="16d common")


def foot_holds(job: Job, request: FootRequest) -> tuple[FootHold, ...]:
    """Give the allowable thrust and uplift of what holds the foot.

    A strap's fasteners are in shear against thrust and in withdrawal against uplift: it lies on the floor. A
    stop block takes thrust only.

    Args:
        job: the job.
        request: what the user says is there.

    Returns:
        The holds that are there.

    Source: NDS 12.2, 12.3, 12.5.4.
    """
    materials = materials_of(job)
    floor = _floor_plies(materials)
    holds = []
    if request.toe_nails:
        one = _one(materials, request.toe_nail, materials.stud_ply(), *floor, toe_nailed=True)
        source = materials.basis.clauses.foot_toe_nails
        holds.append(FootHold("toe-nails", request.toe_nails, one.lateral, one.axial, source))
    if request.straps and request.strap_lb is not None:
        holds.append(FootHold("straps", request.straps, request.strap_lb, request.strap_lb, cite("USER")))
    elif request.straps and request.strap_nails:
        one = _one(materials, request.strap_fastener, Ply("steel", STRAP_STEEL), *floor)
        n = request.strap_nails
        holds.append(
            FootHold(
                "straps", request.straps, n * one.lateral, n * one.axial, materials.basis.clauses.foot_straps
            )
        )
    if request.blocks and request.block_nails:
        one = _one(materials, request.block_fastener, materials.stud_ply(), *floor)
        thrust = request.block_nails * one.lateral
        holds.append(
            FootHold("stop blocks", request.blocks, thrust, 0.0, materials.basis.clauses.foot_blocks)
        )
    return tuple(holds)


def _one(materials: Materials, name: str, *plies: Ply, toe_nailed: bool = False) -> FastenerCapacity:
    """One fastener at the load duration of a lift."""
    one, moisture = materials.fastener(name), materials.moisture
    return materials.basis.fastener(
        Joint(
            one,
            plies,
            moisture,
            toe_nailed=toe_nailed,
            load_duration=LIFT_DURATION,
            pulls=pulls_of(materials, one),
        )
    )


def _floor_plies(materials: Materials) -> tuple[Ply, ...]:
    if materials.job.wall.plate.into_framing:
        return (materials.deck_ply(), materials.joist_ply(angle=ACROSS))
    return (materials.deck_ply(),)


def slide(load: Pound, slope: float) -> Pound:
    """Give the force that slides a sling along a sloping plate, P sin(slope) [lb].

    Args:
        load: pull of the sling [lb].
        slope: rise over run of the plate [-].

    Returns:
        The force along the plate [lb]; a cleat above the sling has to take it.

    Source: STATICS.

    Example:
        >>> round(slide(1000.0, 0.75))
        600
    """
    return load * math.sin(math.atan(slope))


MOST_GUST: Mph = 120.0


@frozen
class LiftRequest:
    """What a person asks of a lift.

    Attributes:
        gust: the gust of the day [mph]; None plans for the lift's own limit.
        dynamic: dynamic part of the load [-].
        picks: how many picks.
        pick_at: studs to pick at, from LEFT [in]; empty chooses them.
        drop: how far below the top the slings act [in].
        by: what the slings are round: stud, header or plate.
        pick_lb: declared allowable of one attachment [lb].
        slings: length of the longer sling [in]; None takes the 30 degree one.
        sling_lb: capacity on the tag of one sling, in the hitch used [lb].
        flat_slings: the user asked for slings past 45 degrees off vertical.
        spreader: the slings hang plumb from a spreader.
        lift_each: lift of one person [lb].
        reach: how high hands push [in].
        people: how many people there are.
        braces_on: the braces of the file go up with the wall; None where nobody said.
        tag_pull: level pull all tag lines together hold [lb]; None where nobody declared it.
        foot: what holds the foot.
        machine: the machine; None without one.
        chart: its chart; None without one.
        line_kv: voltage of a power line near by [kV]; None where nobody knows it.
        line_distance: least distance of machine, load and rigging from it [in]; None without a line.
    """

    gust: Mph | None = declared("speed", "gust of the day", default=None, least=0.0, most=MOST_GUST)
    dynamic: float = declared(
        "number", "dynamic part of the load", default=STATED["dynamic"], least=0.0, most=2.0
    )
    picks: int = declared("count", "how many picks", default=2, least=2, most=4)
    pick_at: tuple[Inch, ...] = declared("lengths", "studs to pick at, from LEFT", default=(), least=0.0)
    drop: Inch = declared("length", "how far below the top the slings act", default=0.0, least=0.0)
    by: str = declared("word", "what the slings are round", default="stud", one_of=ATTACHMENTS)
    pick_lb: Pound | None = declared("force", "allowable of one attachment", default=None, least=0.0)
    slings: Inch | None = declared("length", "length of the longer sling", default=None, least=0.0)
    sling_lb: Pound | None = declared("force", "capacity on the tag of one sling", default=None, least=0.0)
    flat_slings: bool = declared("flag", "slings past 45 degrees asked for", default=False)
    spreader: bool = declared("flag", "the slings hang plumb from a spreader", default=False)
    lift_each: Pound = declared(
        "force", "lift of one person", default=STATED["lift_each_lb"], least=10.0, most=200.0
    )
    reach: Inch = declared("length", "how high hands push", default=HANDS, least=36.0, most=120.0)
    people: int = declared("count", "how many people there are", default=3, least=2, most=40)
    braces_on: bool | None = declared("flag", "the braces go up with the wall", default=None)
    tag_pull: Pound | None = declared("force", "level pull of all tag lines", default=None, least=0.0)
    foot: FootRequest = declared("part", "what holds the foot", default=FootRequest())
    machine: Machine | None = declared("part", "the machine", default=None)
    chart: Chart | None = declared("part", "its chart", default=None)
    line_kv: float | None = declared("number", "voltage of a power line near by, kV", default=None, least=0.0)
    line_distance: Inch | None = declared("length", "least distance from it", default=None, least=0.0)
