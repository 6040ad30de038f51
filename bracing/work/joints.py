"""Nails, screws or lags: every joint with every usual fastener, and how many it takes at a gust.

In shear count fasteners; in withdrawal change the fastener, or the detail.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from typing import TypedDict

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.brace import head_joint
from bracing.chain.evaluate import groups_at
from bracing.chain.foot import Strength, brace_to_cleat, cleat_to_floor, roll_factor
from bracing.chain.forces import Forces
from bracing.chain.links import Group, LinkId
from bracing.chain.materials import Materials, materials_of, sheathing_plies
from bracing.chain.model import Model, build_model
from bracing.chain.plate import PlateUse, edge_beside
from bracing.chain.room import FASTENER, Counted, room, shared_by
from bracing.chain.wall import arm_of, plate_set, wall_strength
from bracing.choosing import SAME, first_greatest, greatest, over, whole_up
from bracing.codes.joints import MOISTURES, FastenerCapacity
from bracing.job.brace import MOST_IN_BRACE, Brace, JointId, cleat_shape
from bracing.job.envelope import beyond
from bracing.job.fields import held_part, held_value, with_value
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.results import CAUTIONS, HeaderJson, header
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.units import Inch, Mph, Pound

MOST = 60  # no joint is tried with more fasteners than this
Enough = tuple[int | None, float | None]

ChoiceJson = TypedDict("ChoiceJson", {
    "fastener": str, "kind": str, "moisture": str, "lateral_lb": float, "axial_lb": float, "lateral_mode": str,
    "axial_mode": str, "governs": str, "needed": int | None, "fit": int | None, "fit_bored": int | None, "fits": bool,
    "use": float | None, "notes": list[Said],
})  # fmt: skip
JointJson = TypedDict("JointJson", {
    "joint": str, "mark": str | None, "x_ft": float | None, "shear_lb": float, "tension_lb": float,
    "withdrawal_wind": str | None, "per": Said | str, "choices": list[ChoiceJson], "note": Said | None,
    "unreckoned": Said | None,
})  # fmt: skip
_FastenersKeys = TypedDict("_FastenersKeys", {
    "wall": str, "gust_mph": float, "held": bool, "engineer": list[Said], "as_if_counted": list[str],
    "joints": list[JointJson], "cautions": list[Said],
})  # fmt: skip


class FastenersJson(HeaderJson, _FastenersKeys):
    """What `FastenerChoice` gives."""


@frozen
class Choice:
    """One fastener in one joint, at one moisture.

    Attributes:
        fastener: its name.
        kind: nail, wood screw, structural screw or lag.
        moisture: green or dry.
        lateral: what one holds in shear [lb].
        axial: what one holds in pull [lb].
        lateral_mode: what sets the one in shear.
        axial_mode: what sets the one in pull.
        governs: which of the two sets how many are needed.
        needed: how many, rounded up; None where no number up to MOST will do.
        fit: how many fit driven straight in, by the recommended distances; None where it was not worked out.
        fit_bored: how many fit in bored holes.
        use: share of the joint used with that many; None where none will do.
        notes: what a reader should know.
    """

    fastener: str
    kind: str
    moisture: str
    lateral: Pound
    axial: Pound
    lateral_mode: str
    axial_mode: str
    governs: str
    needed: int | None
    fit: int | None
    fit_bored: int | None
    use: float | None
    notes: tuple[Said, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether the number needed has room, bored for if need be."""
        return self.needed is not None and (self.fit_bored is None or self.needed <= self.fit_bored)

    def to_dict(self) -> ChoiceJson:
        """Give it as a JSON object."""
        return {
            "fastener": self.fastener, "kind": self.kind, "moisture": self.moisture,
            "lateral_lb": self.lateral, "axial_lb": self.axial, "lateral_mode": self.lateral_mode,
            "axial_mode": self.axial_mode, "governs": self.governs, "needed": self.needed, "fit": self.fit,
            "fit_bored": self.fit_bored, "fits": self.fits, "use": self.use, "notes": list(self.notes),
        }  # fmt: skip


@frozen
class JointChoice:
    """One joint with every usual fastener.

    Attributes:
        joint: which.
        mark: brace where it must carry most; None for the whole wall.
        x: place from LEFT [in].
        shear: largest force across its fasteners [lb].
        tension: largest force that pulls them out, before any roll [lb].
        withdrawal_wind: wind direction that pulls them out, push or pull; None where all is shear.
        per: what the number is for; None where there are no numbers.
        choices: every fastener, green and dry.
        note: what else a crew should know.
        unreckoned: why there are no numbers.
    """

    joint: str
    mark: str | None
    x: Inch | None
    shear: Pound
    tension: Pound
    withdrawal_wind: str | None
    per: Said | None
    choices: tuple[Choice, ...] = field(repr=False, default=())
    note: Said | None = None
    unreckoned: Said | None = None

    @classmethod
    def without_numbers(cls, joint: str, why: Said) -> JointChoice:
        """Make a joint there is no fastener to choose for.

        Args:
            joint: which.
            why: why.
        """
        return cls(joint, None, None, 0.0, 0.0, None, None, unreckoned=why)

    def to_dict(self) -> JointJson:
        """Give it as a JSON object."""
        return {
            "joint": self.joint, "mark": self.mark, "x_ft": None if self.x is None else self.x / 12.0,
            "shear_lb": self.shear, "tension_lb": self.tension, "withdrawal_wind": self.withdrawal_wind,
            "per": self.per or "", "choices": [choice.to_dict() for choice in self.choices],
            "note": self.note, "unreckoned": self.unreckoned,
        }  # fmt: skip


@frozen(eq=False)
class FastenerChoice:
    """Every joint of a wall with every usual fastener, at one gust.

    Attributes:
        job: the job.
        gust: the gust [mph].
        held: the braces hold the wall, so that forces could be shared out.
        as_if: braces that count for nothing as they are, and were taken as if they counted.
        joints: the joints.
        beyond: why the answer is for an engineer; nothing where it is not.
    """

    job: Job
    gust: Mph
    held: bool
    as_if: tuple[str, ...]
    joints: tuple[JointChoice, ...]
    beyond: tuple[Said, ...] = ()

    def to_dict(self) -> FastenersJson:
        """Give it as a JSON object."""
        return {
            **header(self.job, "fasteners"),
            "wall": self.job.wall.name,
            "gust_mph": self.gust,
            "held": self.held,
            "engineer": list(self.beyond),
            "as_if_counted": list(self.as_if),
            "joints": [joint.to_dict() for joint in self.joints],
            "cautions": list(CAUTIONS),
        }


@cache
def usual_fasteners(group: str) -> tuple[str, ...]:
    """Give the usual fasteners of a kind of joint.

    Args:
        group: a table of data/usual_fasteners.toml.

    Example:
        >>> usual_fasteners("panel")[0]
        'gun nail 0.113x2-3/8'
    """
    return tuple(shipped("usual_fasteners")[group]["names"])


def names_to_try(group: str, own: str) -> tuple[str, ...]:
    """Give the names to compare: the job's own first, then the usual ones.

    Args:
        group: a table of data/usual_fasteners.toml.
        own: the job's own.
    """
    return tuple(dict.fromkeys((own, *usual_fasteners(group))))


def make_choice(
    name: str, moisture: str, one: FastenerCapacity, *, enough: Enough, pulls: bool, fits: Sequence[int] = ()
) -> Choice:
    """Make a choice of a fastener's capacity.

    Args:
        name: the fastener.
        moisture: green or dry.
        one: what one holds.
        enough: how many, and the share of the joint used then; None where no number will do.
        pulls: the joint pulls it out too.
        fits: how many fit driven, and bored for; none where not worked out.
    """
    needed, use = enough
    fit, fit_bored = fits or (None, None)
    weaker_in_pull = pulls and one.axial < one.lateral
    return Choice(
        fastener=name, kind=one.kind, moisture=moisture, lateral=one.lateral, axial=one.axial,
        lateral_mode=one.lateral_mode, axial_mode=one.axial_mode,
        governs=one.axial_mode if weaker_in_pull else one.lateral_mode, needed=needed, fit=fit,
        fit_bored=fit_bored, use=use, notes=one.notes,
    )  # fmt: skip


NO_FASTENER = {
    "slab": Said("anchors-as-typed"),
    "ground": Said("stakes-are-no-fasteners"),
}

Sides = tuple[tuple[Strength, ...], tuple[Strength, ...], FastenerCapacity]
Maker = Callable[[Materials, Brace, int], Sides]


def _head(materials: Materials, brace: Brace, count: int) -> Sides:
    push, pull, one = head_joint(materials, brace, Counted.all_of(count))
    return tuple(s for s in push if s.link is LinkId.HEAD_JOINT), pull, one


def _cleat(materials: Materials, brace: Brace, count: int) -> Sides:
    both, one = brace_to_cleat(materials, brace, Counted.all_of(count))
    return (both,), (both,), one


def _floor(materials: Materials, brace: Brace, count: int) -> Sides:
    foot = cleat_to_floor(materials, brace, Counted.all_of(count))
    assert foot.one is not None  # a deck: slab and ground have no fastener to choose
    push, pull = (
        tuple(s for s in side if s.link is LinkId.CLEAT_TO_FLOOR) for side in (foot.push, foot.pull)
    )
    return push, pull, foot.one


@frozen
class _Joint:
    """A joint of a brace: its name, fasteners to try, how it is made, which it is, which wind pulls it out."""

    name: str
    names: tuple[str, ...]
    make: Maker
    joint: JointId
    wind: str | None
    roomy: bool = False  # its room is not worked out
    note: Said | None = None


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
        job,
        loads,
        _Joint("head", head, _head, JointId.HEAD, "pull" if toe_nailed else None, roomy=not lapped),
    )
    cleat = names_to_try("lapped", kit.cleat.brace_fastener)
    yield _compared(job, loads, _Joint("brace to cleat", cleat, _cleat, JointId.CLEAT, None))
    if job.floor.kind == "deck":
        floor = names_to_try("through_edge" if edge else "through_deck", kit.cleat.floor_fastener)
        yield _compared(
            job, loads, _Joint("cleat to floor", floor, _floor, JointId.FLOOR, "pull", note=_roll(job))
        )
    else:
        yield JointChoice.without_numbers("cleat to floor", NO_FASTENER[job.floor.kind])


def _roll(job: Job) -> Said | None:
    """Say how a brace beside one cleat rolls it."""
    cleat = job.kit.cleat
    if cleat.sides > 1:
        return None
    worst = max(
        roll_factor(cleat_shape(section(cleat.size), section(brace.size), cleat.lie), 1)
        for brace in job.braces
    )
    return Said("one-cleat-rolls", times=Quantity(worst, Kind.TIMES))


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
        per=Said("at-each-brace"), choices=choices, note=joint.note,
    )  # fmt: skip


def _one(job: Job, loads: list[tuple[Pound, Pound]], joint: _Joint, name: str) -> Choice:
    """One fastener in one joint, by the brace that needs most of it."""
    materials, braces = materials_of(with_value(job, FASTENER[joint.joint], name)), job.braces
    found: list[Enough] = []
    for brace, load in zip(braces, loads, strict=True):
        found.append(_needed(materials, brace, load, joint=joint))
        if found[-1][0] is None:
            break  # no other needs more
    worst = first_greatest([math.inf if count is None else float(count) for count, _ in found])
    one = joint.make(materials, braces[worst], found[worst][0] or 1)[2]
    fits = [
        room(job, braces[worst], joint.joint, one=materials.fastener(name), prebored=bored)
        for bored in (False, True)
        if not joint.roomy
    ]
    return make_choice(
        name, materials.moisture, one, enough=found[worst], fits=fits, pulls=joint.wind is not None
    )


def _needed(materials: Materials, brace: Brace, load: tuple[Pound, Pound], *, joint: _Joint) -> Enough:
    """Least number that holds push and pull, as many in either of two cleats, and the share of the joint used then."""
    step = shared_by(materials.job, brace, joint.joint)
    for count in range(step, (MOST if joint.make is _floor else MOST_IN_BRACE) + 1, step):
        *sides, one = joint.make(materials, brace, count)
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


Worst = tuple[Pound, str | None, Inch | None]
BESIDE = Said("beside-each-brace")


def wall_joints(job: Job, groups: tuple[Group, ...], gust: Mph) -> Iterator[JointChoice]:
    """Compare the usual fasteners in the joints of the wall.

    Args:
        job: the job.
        groups: its chain, both wind directions.
        gust: the gust [mph].
    """
    if job.floor.kind == "slab":
        yield JointChoice.without_numbers("plate to floor", NO_FASTENER["slab"])
    elif _most(groups, (LinkId.PLATE_LIFTED,), gust) is not None:
        yield _plate_joint(job, groups, gust)
    top = _most(groups, (LinkId.TOP_TO_STUD,), gust)
    if top is not None:
        names = names_to_try("end_grain", job.wall.top_plate.end_nail)
        yield _plain_joint(job, top, "top plate to stud", _Made(names, _end_nail, Said("in-a-stud-end")))
    sheathing = _most(groups, (LinkId.SHEATHING_TO_PLATE, LinkId.SHEATHING_TO_RIM), gust)
    if sheathing is not None and job.wall.sheathed:
        names = names_to_try("panel", job.wall.plate.sheathing_fastener)
        yield _plain_joint(job, sheathing, "sheathing to plate", _Made(names, _sheathing_nail, BESIDE))


@frozen
class _Made:
    """Fasteners to try in a joint, how it is made with one, and what the number is for."""

    names: tuple[str, ...]
    make: Callable[[Materials, str], FastenerCapacity]
    per: Said


def _most(groups: tuple[Group, ...], links: tuple[LinkId, ...], gust: Mph) -> Worst | None:
    """Largest demand over groups of some links, and where [lb]."""
    found: list[Worst] = []
    for group in groups:
        if group.link in links and len(group.marks):
            every = group.links(gust, limits_too=False)
            link = every[first_greatest([each.demand for each in every])]
            found.append((link.demand, link.mark, link.x))
    return greatest(found, lambda worst: worst[0]) if found else None


def _end_nail(materials: Materials, name: str) -> FastenerCapacity:
    job = materials.job
    top = evolve(job.wall.top_plate, end_nail=name)
    return wall_strength(materials_of(evolve(job, wall=evolve(job.wall, top_plate=top)))).stud_top


def _sheathing_nail(materials: Materials, name: str) -> FastenerCapacity:
    return materials.capacity(name, *sheathing_plies(materials))


def _plain_joint(job: Job, worst: Worst, joint: str, made: _Made) -> JointChoice:
    """A joint all in shear, whose fasteners share its load evenly."""
    load, mark, x = worst
    choices = []
    for moisture in MOISTURES:
        materials = materials_of(evolve(job, wall=evolve(job.wall, moisture=moisture)))
        for name in made.names:
            one = made.make(materials, name)
            share = load / one.lateral if one.lateral > 0.0 else math.inf
            choices.append(make_choice(name, moisture, one, enough=_enough(share), pulls=False))
    return JointChoice(joint, mark, x, load, 0.0, None, made.per, tuple(choices))


def _enough(share: float) -> Enough:
    """How many fasteners carry this share of one, and how much of them is used; None where MOST do not."""
    if over(share, MOST):
        return None, None
    count = max(1, whole_up(share))
    return count, share / count


def _plate_joint(job: Job, groups: tuple[Group, ...], gust: Mph) -> JointChoice:
    """Plate to floor beside a brace: shear and lift on the same fasteners, all of one kind.

    What shear and lift use of a fastener together grows in proportion with both, so that n of them use 1/n.
    """
    loads = [
        (group, *group.use.beside(np.abs(_at(group.demand, gust)), _at(group.tension, gust)))
        for group in groups
        if group.link is LinkId.PLATE_LIFTED and isinstance(group.use, PlateUse) and group.tension is not None
    ]
    arm = arm_of(job, edge_beside(job.wall.plate))
    shears = np.concatenate([shear for _, shear, _ in loads])
    pulls = np.concatenate([arm.pull(held) for *_, held in loads])
    worst, owner = first_greatest((shears + pulls).ravel()), loads[0][0]
    brace = worst % len(owner.marks)
    pulled = bool(pulls.any())
    choices = []
    for moisture in MOISTURES:
        materials = materials_of(evolve(job, wall=evolve(job.wall, moisture=moisture)))
        for name in names_to_try("through_deck", job.wall.plate.fastener):
            one = plate_set(materials, name).one
            assert one is not None  # no slab
            share = float(np.max(one.utilisation(shears, pulls)))
            choices.append(make_choice(name, moisture, one, enough=_enough(share), pulls=pulled))
    return JointChoice(
        "plate to floor", owner.marks[brace], owner.places[brace], float(shears.flat[worst]), float(pulls.flat[worst]),
        "push" if pulled else None, BESIDE, tuple(choices),
    )  # fmt: skip


def _at(part: NDArray[np.float64] | None, gust: Mph) -> NDArray[np.float64]:
    assert part is not None
    value: NDArray[np.float64] = part[..., 0] + part[..., 1] * gust**2
    return value


# Where a brace as it is counts for nothing, forces are shared out as if it had these.
GOOD_HEAD, GOOD_FLOOR, GOOD_COUNT = "structural screw 0.22x3", "structural screw 0.22x8", 8
GOOD_CLEAT, GOOD_LENGTH = "2x6", 24.0  # of two on edge, which has room for them
MOST_TIES = 2


def choose_fasteners(job: Job, *, gust: Mph) -> FastenerChoice:
    """Compare the usual fasteners in every joint of a wall.

    Args:
        job: the job, with its braces.
        gust: the gust: an actual 3-second gust at 33 ft in open country [mph].

    Returns:
        Every joint; none beyond the envelope, or where the braces do not hold the wall even as if every one
        of them counted.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    held_part(job, Job, "job")
    gust = held_value(gust, "speed", "gust", least=0.0)
    outside = beyond(job, gust)
    if outside:
        return FastenerChoice(job, gust, False, (), (), outside)  # noqa: FBT003
    model, as_if = _counted(job)
    (push, pull), groups = groups_at(model, gust)
    held = bool(push.held.all() and pull.held.all())
    if not held:
        return FastenerChoice(job, gust, False, as_if, ())  # noqa: FBT003
    loads = _level_forces((push, pull), gust)
    joints = (*brace_joints(job, loads), *wall_joints(job, groups, gust))
    return FastenerChoice(job, gust, True, as_if, joints)  # noqa: FBT003


def _counted(job: Job) -> tuple[Model, tuple[str, ...]]:
    """Give the model to share forces out with, and the braces that count for nothing as they are."""
    model = build_model(job)
    idle = tuple(
        brace.mark
        for brace, strength in zip(job.braces, model.strengths, strict=True)
        if not (strength.counts_in_push and strength.counts_in_pull)
    )
    if not idle:
        return model, ()
    kit = evolve(
        job.kit,
        head=evolve(job.kit.head, joint="lapped", fastener=GOOD_HEAD, bored=True),
        cleat=evolve(
            job.kit.cleat,
            size=GOOD_CLEAT,
            lie="edge",
            sides=2,
            length=max(job.kit.cleat.length, GOOD_LENGTH),
            brace_fastener=GOOD_HEAD,
            floor_fastener=GOOD_FLOOR,
            bored=True,
        ),
    )
    braces = tuple(
        evolve(
            brace,
            ties=MOST_TIES,
            head_fasteners=GOOD_COUNT,
            cleat_fasteners=GOOD_COUNT,
            floor_fasteners=GOOD_COUNT,
        )
        for brace in job.braces
    )
    return build_model(evolve(job, kit=kit, braces=braces)), idle


def _level_forces(both: tuple[Forces, Forces], gust: Mph) -> list[tuple[Pound, Pound]]:
    """Largest level force of each brace when pushed together and when pulled [lb]."""
    level = np.concatenate([forces.at(forces.brace, gust) for forces in both])
    level = np.where(np.abs(level) > SAME * max(1.0, float(np.abs(level).max(initial=0.0))), level, 0.0)
    push, pull = np.maximum(level.max(axis=0), 0.0), np.maximum(-level.min(axis=0), 0.0)
    return list(zip(push.tolist(), pull.tolist(), strict=True))
