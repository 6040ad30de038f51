"""What is under the cleats of a foot: the joists they catch, and how many fasteners land in wood."""

from __future__ import annotations

import math
from collections.abc import Iterable

from attrs import frozen

from bracing.choosing import whole_up
from bracing.codes.nds.spacing import Spacing, least_spacing
from bracing.job.brace import Brace
from bracing.job.fasteners import fastener
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.units import Inch, tape

LEAST_IN_JOISTS = 2  # a cleat across the joists catches two of them
ABREAST = 2  # fasteners side by side in one joist, where the cleat is wide enough
NUDGE: Inch = 0.5  # a foot is moved in steps of this to catch joists
RUN = "floor.joists.run"
_TOUCH = 1e-9


@frozen
class Wood:
    """What is under the cleats of one foot.

    Attributes:
        joists: joists they catch; 0 where none are declared, or on a slab or the ground.
        most: fasteners that may be driven, all cleats together.
        blocks: solid blocks between the joists, under the cleat that lies over none.
        why: why no foot can stand here, or "".
    """

    joists: int
    most: int
    blocks: int = 0
    why: str = ""


def known_joists(job: Job) -> Joists | None:
    """Give the joists where somebody declared how they run; None where nobody knows, or there are none.

    Args:
        job: the job.
    """
    return job.floor.joists if job.floor.kind == "deck" and RUN in job.declared else None


def kept_distances(job: Job) -> Spacing:
    """Give the distances kept by the fasteners from cleat to floor, driven without boring.

    Args:
        job: the job.

    Source: NDS-C C12.1.5.7.
    """
    return least_spacing(
        fastener(job.kit.cleat.floor_fastener, job.fasteners), load="parallel", end="compression"
    )


def in_a_row(job: Job) -> int:
    """Count the fasteners one row along one cleat takes.

    Args:
        job: the job.

    Source: NDS-C C12.1.5.7.
    """
    kept = kept_distances(job)
    return max(1, int((job.kit.cleat.length - 2.0 * kept.end) / kept.in_row + _TOUCH) + 1)


def wood_under(job: Job, cleats: Iterable[Inch], along: tuple[Inch, Inch]) -> Wood:
    """Find what is under the cleats of a foot.

    Args:
        job: the job.
        cleats: middle of each cleat from LEFT [in].
        along: near and far end of the cleats from the plate [in].
    """
    joists, rows = known_joists(job), in_a_row(job) * job.kit.cleat.sides
    if joists is None:
        return Wood(0, rows)
    kept = kept_distances(job)
    lies = job.kit.cleat.lie
    wide = section(job.kit.cleat.size).thickness if lies == "edge" else section(job.kit.cleat.size).width
    if joists.run == "away":
        return _over_joists(joists, tuple(cleats), wide / 2.0 - kept.edge, rows)
    caught = _crossed(joists, along, kept)
    if caught < LEAST_IN_JOISTS:
        joist = "joist" if caught == 1 else "joists"
        return Wood(caught, 0, 0, f"the cleat catches {caught} {joist}, needs {LEAST_IN_JOISTS}")
    abreast = ABREAST if wide - 2.0 * kept.edge >= kept.between_rows - _TOUCH else 1
    return Wood(caught, caught * abreast * job.kit.cleat.sides)


def _over_joists(joists: Joists, cleats: tuple[Inch, ...], reach: Inch, rows: int) -> Wood:
    """Cleats along joists: each must have one under it, its edge distance in; else blocks for it.

    Two cleats beside one brace cannot both lie over one joist. One of them must; solid blocks between the joists
    take the fasteners of the other, two to a block.
    """
    nearest = [_nearest(joists, middle) for middle in cleats]
    over = [abs(joist - middle) <= reach + _TOUCH for joist, middle in zip(nearest, cleats, strict=True)]
    if not any(over):
        return Wood(0, 0, 0, f"no joist under the cleat; the nearest is at {tape(nearest[0])} from LEFT")
    bare = len(cleats) - sum(over)
    return Wood(sum(over), rows, bare * whole_up(rows / len(cleats) / ABREAST))


def _nearest(joists: Joists, x: Inch) -> Inch:
    return joists.first + max(0, round((x - joists.first) / joists.spacing)) * joists.spacing


def _crossed(joists: Joists, along: tuple[Inch, Inch], kept: Spacing) -> int:
    """Joists across a cleat whose middle lies the end distance in from both its ends."""
    first = math.ceil((along[0] + kept.end - joists.first) / joists.spacing - _TOUCH)
    last = math.floor((along[1] - kept.end - joists.first) / joists.spacing + _TOUCH)
    return max(0, last - max(first, 0) + 1)


def moved_to_joists(job: Job, set_back: Inch) -> Inch:
    """Move a foot to where its cleats catch the most joists, by half a joist spacing at the most [in].

    Args:
        job: the job.
        set_back: foot to plate [in].
    """
    joists = known_joists(job)
    if joists is None or joists.run != "along":
        return set_back
    kept, half = kept_distances(job), job.kit.cleat.length / 2.0
    steps = int(joists.spacing / 2.0 / NUDGE)
    places = [set_back + NUDGE * k for k in sorted(range(-steps, steps + 1), key=abs)]
    return max(places, key=lambda at: _crossed(joists, (at - half, at + half), kept))


def most_in_floor(job: Job, brace: Brace) -> int:
    """Most fasteners from cleat to floor at a brace: what lands in wood, in rows at the published spacing.

    Args:
        job: the job.
        brace: the brace.

    Source: NDS-C C12.1.5.7.
    """
    joists = known_joists(job)
    if joists is not None and joists.run == "along":
        half = job.kit.cleat.length / 2.0
        return max(1, wood_under(job, (), (brace.set_back - half, brace.set_back + half)).most)
    return in_a_row(job) * job.kit.cleat.sides


def wood_blocks(job: Job, brace: Brace) -> int:
    """Solid blocks between the joists at a brace's foot, under the cleat that lies over no joist.

    Args:
        job: the job.
        brace: the brace.
    """
    joists, sides = known_joists(job), job.kit.cleat.sides
    if joists is None or joists.run != "away" or sides == 1:
        return 0
    return whole_up(brace.floor_fasteners / sides / ABREAST)
