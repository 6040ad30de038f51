"""What stands on a wall from above or leans on it, as level forces on the grillage and weight on its studs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.codes.above import (
    PERSON_SIDEWAYS,
    Face,
    at_brace_line,
    at_each_heel,
    drag,
    face_of,
    in_the_wind,
    leaned_push,
    on_wood,
    thrust_of_rafters,
)
from bracing.codes.along import GUST_FACTOR, behind_one_another
from bracing.codes.basis import basis_of
from bracing.job.above import BUNDLE, HERE, PERSON, RAFTERS, TIPPING, TRUSSES, Above
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.panel.mesh import Mesh, touching
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import Inch, Pound

Array = NDArray[np.float64]

APART: Inch = 24.0  # from one truss or pair of rafters to the next; judgement


@frozen
class LevelForce:
    """A level force across the wall from what stands on it or leans on it.

    Attributes:
        x: where, from LEFT [in].
        z: how high; None is the top of the wall [in].
        steady: what is always there [lb].
        people: what persons put there, up to the clear-out gust [lb].
        wind: for each psi of velocity pressure at the wall's highest point [lb/psi].
    """

    x: Inch
    z: Inch | None
    steady: Pound
    people: Pound = 0.0
    wind: float = 0.0


def there(wall: Wall) -> tuple[Above, ...]:
    """Give what stands on a wall or leans on it; not that of which there is none.

    Args:
        wall: the wall.
    """
    return tuple(one for one in wall.above if one.count > 0)


def face(one: Above) -> Face:
    """Give the wood face of one of a row of trusses or rafters.

    Args:
        one: the row.

    Source: JUDGEMENT, no drawing of the truss is known.
    """
    assert one.span is not None  # else it was refused
    return face_of(one.span, one.rise, webs=one.kind == TRUSSES)


def higher(job: Job, rise: Inch) -> float:
    """Give how much more the velocity pressure is at a ridge than at the wall's highest point [-].

    In the profile of an outflow, which is as strong low down, it is never more than this.

    Args:
        job: the wall, its floor and the site.
        rise: of the ridge over the wall [in].

    Source: ASCE7 table 26.10-1.
    """
    highest, floor = job.wall.highest, job.floor.height_above_ground
    low, high = (basis_of(job).velocity_pressure(job.site, highest + more, floor) for more in (0.0, rise))
    return high / low


def level_forces(job: Job) -> tuple[LevelForce, ...]:
    """Give every level force across a wall from what stands on it or leans on it.

    Args:
        job: the wall, its floor and the site.

    Source: STATICS.
    """
    return tuple(force for one in there(job.wall) for force in _forces(job, one))


def _forces(job: Job, one: Above) -> Iterator[LevelForce]:
    wall, site, every = job.wall, job.site, one.each * one.count
    if one.kind in TIPPING and one.tied_to == HERE:
        yield _tie(job, one)
        return
    if one.kind in TIPPING:
        each = site.lean * one.each / 2.0 + _thrust(one)
        yield from (LevelForce(x, None, each) for x in _row(wall, one))
        return
    assert one.at is not None  # else it was refused
    if one.kind == PERSON:
        yield LevelForce(one.at, None, 0.0, one.count * PERSON_SIDEWAYS + site.lean * every)
    elif one.kind == BUNDLE:
        yield LevelForce(one.at, None, site.lean * every)
    else:
        assert one.foot_out is not None  # else it was refused
        x, z = touching(wall, one, [stud.x for stud in frame_wall(wall).full_height_studs])
        yield LevelForce(x, z, float(leaned_push(every, one.foot_out, z)))


def _tie(job: Job, one: Above) -> LevelForce:
    """What a row tied to this wall pushes it with, across it, at its peak."""
    wall, wood = job.wall, face(one)
    per_psi = GUST_FACTOR * drag(wood.solidity) * wood.area * in_the_wind(one.count) * higher(job, one.rise)
    x = _peak(wall) if one.at is None else one.at
    lean, W = job.site.lean, one.each * one.count
    steady = at_brace_line(0.0, wood.z, one.rise, lean=lean, W=W, person=0.0)
    wind = at_brace_line(per_psi, wood.z, one.rise, lean=0.0, W=0.0, person=0.0)
    return LevelForce(x, None, float(steady), PERSON_SIDEWAYS, float(wind))


def _peak(wall: Wall) -> Inch:
    """Where a wall is highest; the middle of a level stretch there."""
    at = [x for x, z in wall.top if z >= wall.highest]
    return (at[0] + at[-1]) / 2.0


def _thrust(one: Above) -> Pound:
    if one.kind != RAFTERS or one.joists_nailed or one.pitch is None:
        return 0.0
    return float(thrust_of_rafters(one.each, one.pitch))


def _row(wall: Wall, one: Above) -> list[Inch]:
    """Where the trusses or rafters of a row stand about its middle, as far as the wall has room.

    Where nobody said, rafters that push out stand on all of the wall: its trusses only lean as the wall does.
    """
    middle, count = (wall.length / 2.0, one.count) if one.at is None else (one.at, one.count)
    if one.at is None and _thrust(one) > 0.0:
        count = max(count, int(wall.length / APART) + 1)
    apart = min(APART, wall.length / max(count - 1, 1))
    long = apart * (count - 1)
    start = min(max(middle - long / 2.0, 0.0), wall.length - long)
    return [start + k * apart for k in range(count)]


def carried(mesh: Mesh, forces: Sequence[LevelForce]) -> Array:
    """Carry level forces to the nodes: at the top by the lever rule between plate nodes, else to their own node.

    Args:
        mesh: the grillage, with a node at each force under its top.
        forces: the forces.

    Returns:
        Steady, of people, and for each psi, on each node, (3, n) [lb, lb, lb/psi].

    Source: STATICS, the lever rule.
    """
    found = np.zeros((3, len(mesh.x)))
    plate = sorted(
        {n for line in mesh.lines if line.kind == "plate" for n in line.nodes}, key=lambda n: mesh.x[n]
    )
    x = mesh.x[plate]
    for force in forces:
        parts = np.array([force.steady, force.people, force.wind])
        if force.z is not None:
            near = np.hypot(mesh.x - force.x, mesh.z - force.z)
            found[:, int(np.argmin(near))] += parts
            continue
        after = int(np.clip(np.searchsorted(x, force.x), 1, len(x) - 1))
        share = (force.x - x[after - 1]) / (x[after] - x[after - 1])
        found[:, plate[after - 1]] += parts * (1.0 - share)
        found[:, plate[after]] += parts * share
    return found


def on_studs(wall: Wall, studs: Sequence[Inch], *, people: bool) -> Array:
    """Give the weight each full-height stud may have on it from above, shape (s,) [lb].

    Half of a truss may stand on any stud; what stands at one place is on the stud nearest it, all of it.

    Args:
        wall: the wall.
        studs: centres of its full-height studs [in].
        people: with people about.

    Source: STATICS.
    """
    found, x = np.zeros(len(studs)), np.asarray(studs)
    for one in there(wall):
        if one.row_on_plate:
            found += one.each / 2.0
        elif one.kind == BUNDLE or (one.kind == PERSON and people):
            assert one.at is not None  # else it was refused
            found[int(np.argmin(np.abs(x - one.at)))] += one.each * one.count
    return found


def weight_on(wall: Wall, *, people: bool) -> Pound:
    """Give all the weight that stands on a wall from above [lb].

    Args:
        wall: the wall.
        people: with people about.

    Source: STATICS.
    """
    on = 0.0
    for one in there(wall):
        if one.row_on_plate:
            on += one.each * one.count / 2.0
        elif one.kind == BUNDLE or (one.kind == PERSON and people):
            on += one.each * one.count
    return on


def heels_along(job: Job, q: float) -> tuple[tuple[float, ...], ...]:
    """Give what the heels of each row of trusses push a wall under them along itself, what it is made of first [lb].

    The wind along the wall is the one square to the trusses.

    Args:
        job: the wall, its floor and the site.
        q: velocity pressure at the wall's highest point [psf].

    Source: ASCE7 figure 29.4-2; STATICS.
    """
    rows = (one for one in there(job.wall) if one.row_on_plate)
    return tuple(_heels(job, one, q) for one in rows)


def _heels(job: Job, one: Above, q: float) -> tuple[float, ...]:
    wood = face(one)
    at_ridge = Known(q * higher(job, one.rise), "velocity pressure at the ridge", cite("ASCE7", "26.10"))
    Cf = Known(drag(wood.solidity), f"of solidity {wood.solidity:.2f}", cite("ASCE7", "figure 29.4-2"))
    area = Known(wood.area, f"wood of one of the {one.kind}, 3.5 in high", cite("JUDGEMENT"), "judgement")
    each = on_wood(at_ridge, Cf, area)
    words = f"{one.count} of them, the fourth and those behind it 0.85 each"
    row = behind_one_another(each, Known(in_the_wind(one.count), words, cite("ASCE7"), "memory"))
    z = Known(wood.z, "centre of the wood over the heels", cite("STATICS"))
    return each, row, at_each_heel(row, z, one.rise)
