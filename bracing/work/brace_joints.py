"""The joints of a brace, each with every usual fastener: head, brace to cleat, cleat to floor."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from attrs import evolve, frozen

from bracing.chain.brace import head_joint
from bracing.chain.cuts import cleat_fits, head_room
from bracing.chain.foot import brace_to_cleat, cleat_shape, cleat_to_floor, roll_factor
from bracing.chain.materials import Materials, materials_of
from bracing.chain.strength import Strength
from bracing.choosing import first_greatest, over
from bracing.codes.nds.fastener import MOISTURES, FastenerCapacity
from bracing.job.brace import MOST_IN_BRACE, Brace
from bracing.job.fasteners import Fastener
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.units import Pound, up
from bracing.work.choices import MOST, Choice, Enough, JointChoice, make_choice, names_to_try
from bracing.work.room import floor_room

NO_FASTENER = {
    "slab": "anchors in a slab: only the allowables typed in, from a report or a pull test, count",
    "ground": "stakes and dead weights are no fasteners; `bracing check` reckons them",
}

Sides = tuple[tuple[Strength, ...], tuple[Strength, ...], FastenerCapacity]
Maker = Callable[[Materials, Brace, str, int], Sides]


def _head(materials: Materials, brace: Brace, name: str, count: int) -> Sides:
    job = materials.job
    job = evolve(job, kit=evolve(job.kit, head=evolve(job.kit.head, fastener=name)))
    push, pull, one = head_joint(materials_of(job), evolve(brace, head_fasteners=count))
    return tuple(s for s in push if s.link == "head joint"), pull, one


def _cleat(materials: Materials, brace: Brace, name: str, count: int) -> Sides:
    job = materials.job
    job = evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, brace_fastener=name)))
    both, one = brace_to_cleat(materials_of(job), evolve(brace, cleat_fasteners=count))
    return (both,), (both,), one


def _floor(materials: Materials, brace: Brace, name: str, count: int) -> Sides:
    job = materials.job
    job = evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, floor_fastener=name)))
    push, pull, one = cleat_to_floor(materials_of(job), evolve(brace, floor_fasteners=count))
    assert one is not None  # a deck: slab and ground have no fastener to choose
    return (push,), (pull,), one


Room = Callable[..., int]


def _both_cleats(job: Job, brace: Brace, *, one: Fastener, prebored: bool) -> int:
    return cleat_fits(job, brace, one=one, prebored=prebored) * job.kit.cleat.sides


@frozen
class _Joint:
    """A joint of a brace: its name, fasteners to try, how it is made, what fits, which wind pulls it out."""

    name: str
    names: tuple[str, ...]
    make: Maker
    room: Room | None
    wind: str | None
    note: str = ""


def brace_joints(job: Job, loads: list[tuple[Pound, Pound]]) -> Iterator[JointChoice]:
    """Compare the usual fasteners in each joint of the braces.

    Args:
        job: the job.
        loads: largest level force of each brace in push and in pull [lb].
    """
    if not loads:
        return  # return walls alone hold it
    kit = job.kit
    lapped, edge = kit.head.joint == "lapped", kit.cleat.lie == "edge"
    toe_nailed = not lapped and not kit.head.side_cleat
    head = names_to_try("lapped", kit.head.fastener)
    yield _compared(
        job, loads, _Joint("head", head, _head, head_room if lapped else None, "pull" if toe_nailed else None)
    )
    cleat = names_to_try("lapped", kit.cleat.brace_fastener)
    yield _compared(job, loads, _Joint("brace to cleat", cleat, _cleat, _both_cleats, None))
    if job.floor.kind == "deck":
        floor = names_to_try("through_edge" if edge else "through_deck", kit.cleat.floor_fastener)
        yield _compared(job, loads, _Joint("cleat to floor", floor, _floor, floor_room, "pull", _roll(job)))
    else:
        yield JointChoice.without_numbers("cleat to floor", NO_FASTENER[job.floor.kind])


def _roll(job: Job) -> str:
    """Say how a brace beside one cleat rolls it."""
    cleat = job.kit.cleat
    if cleat.sides > 1:
        return ""
    worst = max(
        roll_factor(cleat_shape(section(cleat.size), section(brace.size), cleat.lie), 1)
        for brace in job.braces
    )
    return f"beside one cleat the brace rolls it: each is pulled {up(worst, 1)} times its share; two cleats end that"


def _compared(job: Job, loads: list[tuple[Pound, Pound]], joint: _Joint) -> JointChoice:
    angles = [brace.angle for brace in job.braces]
    hardest = first_greatest([max(load) / math.cos(angle) for load, angle in zip(loads, angles, strict=True)])
    choices = tuple(
        _one(evolve(job, wall=evolve(job.wall, moisture=moisture)), loads, joint, name)
        for moisture in MOISTURES
        for name in joint.names
    )
    (push, pull), brace = loads[hardest], job.braces[hardest]
    along = 1.0 if joint.wind else 1.0 / math.cos(brace.angle)
    return JointChoice(
        joint=joint.name, mark=brace.mark, x=brace.stud_at, shear=max(push, pull) * along,
        tension=pull * math.tan(brace.angle) if joint.wind else 0.0, withdrawal_wind=joint.wind,
        per="at each brace", choices=choices, note=joint.note,
    )  # fmt: skip


def _one(job: Job, loads: list[tuple[Pound, Pound]], joint: _Joint, name: str) -> Choice:
    """One fastener in one joint, by the brace that needs most of it."""
    materials, braces = materials_of(job), job.braces
    found = [
        _needed(materials, *each, name=name, make=joint.make) for each in zip(braces, loads, strict=True)
    ]
    worst = first_greatest([math.inf if count is None else float(count) for count, _ in found])
    one = joint.make(materials, braces[worst], name, found[worst][0] or 1)[2]
    fits = [
        joint.room(job, braces[worst], one=materials.fastener(name), prebored=bored)
        for bored in (False, True)
        if joint.room is not None
    ]
    return make_choice(
        name, materials.moisture, one, enough=found[worst], fits=fits, pulls=joint.wind is not None
    )


def _needed(
    materials: Materials, brace: Brace, load: tuple[Pound, Pound], *, name: str, make: Maker
) -> Enough:
    """Least number that holds push and pull, and the share of the joint used then."""
    for count in range(1, (MOST if make is _floor else MOST_IN_BRACE) + 1):
        *sides, one = make(materials, brace, name, count)
        if one.lateral <= 0.0:
            return None, None
        uses = [
            force / s.level_force if s.level_force > 0.0 else math.inf
            for strengths, force in zip(sides, load, strict=True)
            if force > 0.0
            for s in strengths
        ]
        if not over(max(uses, default=0.0), 1.0):
            return count, max(uses, default=0.0)
    return None, None
