"""The joints of the wall itself, each with every usual fastener: plate, top plate, sheathing."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.links import Group
from bracing.chain.materials import Materials, materials_of, panel_ply, sheathing_of
from bracing.chain.wall import plate_set, wall_strength
from bracing.choosing import first_greatest, greatest, over, whole_up
from bracing.codes.nds.fastener import MOISTURES, FastenerCapacity
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.units import Inch, Mph, Pound
from bracing.work.brace_joints import NO_FASTENER
from bracing.work.choices import MOST, Enough, JointChoice, make_choice, names_to_try

Worst = tuple[Pound, str | None, Inch | None]
BESIDE = "in the plate beside each brace"


def wall_joints(job: Job, groups: tuple[Group, ...], gust: Mph) -> Iterator[JointChoice]:
    """Compare the usual fasteners in the joints of the wall.

    Args:
        job: the job.
        groups: its chain, both wind directions.
        gust: the gust [mph].
    """
    if job.floor.kind == "slab":
        yield JointChoice.without_numbers("plate to floor", NO_FASTENER["slab"])
    elif _most(groups, ("plate shear and uplift",), gust) is not None:
        yield _plate_joint(job, groups, gust)
    top = _most(groups, ("top plate to stud",), gust)
    if top is not None:
        names = names_to_try("end_grain", job.wall.top_plate.end_nail)
        yield _plain_joint(job, top, "top plate to stud", _Made(names, _end_nail, "in the end of a stud"))
    sheathing = _most(groups, ("sheathing to plate", "sheathing to rim"), gust)
    if sheathing is not None and job.wall.sheathed:
        names = names_to_try("panel", job.wall.plate.sheathing_fastener)
        yield _plain_joint(job, sheathing, "sheathing to plate", _Made(names, _sheathing_nail, BESIDE))


@frozen
class _Made:
    """Fasteners to try in a joint, how it is made with one, and what the number is for."""

    names: tuple[str, ...]
    make: Callable[[Materials, str], FastenerCapacity]
    per: str


def _most(groups: tuple[Group, ...], links: tuple[str, ...], gust: Mph) -> Worst | None:
    """Largest demand over groups of some links, and where [lb]."""
    found: list[Worst] = []
    for group in groups:
        if group.link in links and len(group.marks):
            demands = group.demands(gust)
            k = first_greatest(demands)
            found.append((float(demands[k]), group.marks[k], group.places[k]))
    return greatest(found, lambda worst: worst[0]) if found else None


def _end_nail(materials: Materials, name: str) -> FastenerCapacity:
    job = materials.job
    top = evolve(job.wall.top_plate, end_nail=name)
    return wall_strength(materials_of(evolve(job, wall=evolve(job.wall, top_plate=top)))).stud_top


def _sheathing_nail(materials: Materials, name: str) -> FastenerCapacity:
    panel = sheathing_of(materials.job)
    assert panel is not None  # a sheathed wall has a panel, the usual thinnest at the least
    stud = materials.stud_ply(thickness=section(materials.job.wall.studs.size).width)
    return materials.capacity(name, panel_ply(panel), stud)


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
        (group, np.abs(_at(group.demand, gust)[:, 0]), np.maximum(_at(group.tension, gust)[:, 0], 0.0))
        for group in groups
        if group.link == "plate shear and uplift" and group.tension is not None
    ]
    shears, pulls = (np.concatenate([load[k] for load in loads]) for k in (1, 2))
    worst = first_greatest(shears + pulls)
    owner = [group for group, shear, _ in loads for _ in shear][worst]
    pulled = bool(pulls.any())
    choices = []
    for moisture in MOISTURES:
        materials = materials_of(evolve(job, wall=evolve(job.wall, moisture=moisture)))
        for name in names_to_try("through_deck", job.wall.plate.fastener):
            one = plate_set(materials, name).one
            assert one is not None  # no slab
            share = float(one.utilisation(shears, pulls).max())
            choices.append(make_choice(name, moisture, one, enough=_enough(share), pulls=pulled))
    return JointChoice(
        "plate to floor", owner.marks[0], owner.places[0], float(shears[worst]), float(pulls[worst]),
        "push" if pulled else None, BESIDE, tuple(choices),
    )  # fmt: skip


def _at(part: NDArray[np.float64] | None, gust: Mph) -> NDArray[np.float64]:
    assert part is not None
    value: NDArray[np.float64] = part[..., 0] + part[..., 1] * gust**2
    return value
