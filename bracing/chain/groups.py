"""The chain, group by group: panel forces on one side, strengths on the other."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.chain.along import Lengthwise, along_link, pushes
from bracing.chain.diagonals import diagonal_groups
from bracing.chain.foot import Strength, along_brace
from bracing.chain.forces import DIRECTIONS, Forces
from bracing.chain.least import least_limit
from bracing.chain.links import (
    ENDS,
    Group,
    Link,
    LinkId,
    Made,
    OneOf,
    Rows,
    by_point,
    one_of,
    turned,
)
from bracing.chain.loaded import loaded_studs
from bracing.chain.materials import Materials, materials_of, sheathing_of
from bracing.chain.model import Model
from bracing.chain.piers import pier_groups, piers_of
from bracing.chain.plate import past_what_is_under, plate_at_braces, plate_shear
from bracing.chain.return_links import return_groups
from bracing.chain.studs import lifted_studs, opening_groups, row_groups, stud_groups
from bracing.chain.ties import RowStrength, row_strength
from bracing.chain.wall import WallStrength, wall_strength
from bracing.choosing import over
from bracing.codes.ends import along_diagonal, tie_force
from bracing.job.job import Job, Site
from bracing.job.wall import Wall
from bracing.panel.loads import Cases
from bracing.panel.mesh import TABLES_KEPT, Mesh
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, least
from bracing.sums import Known, formula
from bracing.units import PSF_PER_PSI, Inch, Mph

Array = NDArray[np.float64]

Directions = tuple[str, ...]
_STILL = 1e-9
PUSH, PULL, BOTH = ("push",), ("pull",), ("push", "pull")


def all_groups(push: Forces, pull: Forces) -> tuple[Group, ...]:
    """Give every link of the chain, with the wind from both sides.

    Where every brace works both ways the forces in the wall only turn round with the wind, so the wall's own links are
    worked out once and named for both sides.

    Args:
        push: the panel solved with the wind pushing it toward the braces.
        pull: the same with the wind pulling it away.
    """
    materials = push.model.materials
    wall = wall_strength(materials)
    sides = ((push, PUSH), (pull, PULL))
    alike = ((push, BOTH),) if pull.turned else sides
    groups: list[Group] = []
    for forces, directions in alike:
        groups += stud_groups(forces, directions, materials, wall=wall)
        groups += _top_groups(forces, directions, materials, wall)
        groups += row_groups(forces, directions, materials)
        groups += opening_groups(forces, directions, materials)
        groups += plate_shear(forces, directions, materials, wall=wall)
    braces, lifted = _links_of(push.model), list[Group]()
    for forces, directions in sides:
        groups += _brace_groups(forces, directions, braces)
        groups += _tie_rows(forces, directions, materials)
        if lifted and pull.turned:
            lifted = [turned(group, directions) for group in lifted]
        else:
            lifted = [
                *lifted_studs(forces, directions, materials, wall=wall),
                *plate_at_braces(forces, directions, materials, wall=wall),
            ]
        groups += lifted
        groups += loaded_studs(forces, directions, materials, wall=wall)
        groups += _sheathing_off(forces, directions, materials, wall)
        groups += return_groups(forces, directions)
    return (*groups, *(along_groups(push.model) if push.there is None else ()))


def along_groups(model: Model) -> tuple[Group, ...]:
    """Give every link of a wall along its own length: of its sheathing where that counts, else of its diagonals.

    No brace has a part in it but by the plate fasteners beside it, so it is worked out once for a wall.

    Args:
        model: the wall.
    """
    beside = tuple(sorted(model.studs)) if model.job.wall.plate.extra.at_each_brace else ()
    return _along(
        model.materials, model.job.site, float(model.cases.pressures.q), beside, people=model.people
    )


def limits_along(model: Model, sets: NDArray[np.bool_]) -> tuple[Mph, ...]:
    """Give the gust at which the first link along the wall reaches its limit, some of its braces gone [mph].

    Args:
        model: the wall.
        sets: several times, which of its braces are there, (walls, n).
    """
    extra = model.job.wall.plate.extra.at_each_brace
    of_each = [tuple(sorted(x for x, up in zip(model.studs, there, strict=True) if up)) for there in sets]
    q, site = float(model.cases.pressures.q), model.job.site
    return tuple(
        _least_along(model.materials, site, q, beside if extra else (), people=model.people)
        for beside in of_each
    )


@lru_cache(maxsize=512)
def _least_along(
    materials: Materials, site: Site, q: float, beside: tuple[Inch, ...], *, people: bool
) -> Mph:
    return least_limit(_along(materials, site, q, beside, people=people))


def limit_along(job: Job, q: float, *, people: bool) -> Mph:
    """Give the gust at which the first link along a wall reaches its limit, without its braces [mph].

    Args:
        job: the job.
        q: velocity pressure at a gust of 1 mph [psf].
        people: with people about.
    """
    return _least_along(materials_of(job), job.site, q, (), people=people)


def over_along(job: Job, q: float, *, gust: Mph, people: bool) -> tuple[Link, ...]:
    """Give the links along a wall that are over at a gust, without its braces.

    Args:
        job: the job.
        q: velocity pressure at a gust of 1 mph [psf].
        gust: the gust [mph].
        people: with people about.
    """
    groups = _along(materials_of(job), job.site, q, (), people=people)
    links = (link for group in groups for link in group.links(gust, limits_too=False))
    return tuple(link for link in links if over(link.ratio, 1.0))


@lru_cache(maxsize=512)
def _along(
    materials: Materials, site: Site, q: float, beside: tuple[Inch, ...], *, people: bool
) -> tuple[Group, ...]:
    both = pushes(materials, site, q, gust=1.0, people=people)
    run, wall = Lengthwise(materials, wall_strength(materials), both, beside), materials.job.wall
    return (*_kept_upright(run), *_untied(wall))


def _untied(wall: Wall) -> Iterator[Group]:
    """Rows of trusses nobody said what ties: they count as tied to nothing."""
    none = Known(0.0, "nobody said what ties them", cite("STATICS"))
    for one in wall.above:
        if one.untied:
            yield along_link(
                LinkId.ROW_TIE, [(one.each * one.count, 0.0)] * 2, [none], places=(None,),
                why=(Said("above-untied", what=one.named),), source=cite("STATICS"),
            )  # fmt: skip


def _kept_upright(run: Lengthwise) -> tuple[Group, ...]:
    """What keeps the wall itself upright along its length."""
    wall, piers = run.materials.job.wall, piers_of(run.materials)
    if piers:
        return tuple(pier_groups(run, piers))
    if wall.diagonals:
        return tuple(diagonal_groups(run))
    none = Known(0.0, "nothing stands against it", cite("STATICS"))
    what, why = LinkId.FRAME_DIAGONAL, Said("nothing-along")
    if wall.sheathed:
        what, why = LinkId.RACKING, Said("nothing-along-sheathed")
    return (along_link(what, run.tops, [none], places=(None,), why=(why,), source=cite("STATICS")),)


@frozen(eq=False)
class _BraceLink:
    """One link of every brace that has it, in one sense.

    Attributes:
        first: as the first brace has it.
        index: the braces.
        capacity: of each.
        sums: the same, as what they are made of.
        per_pound: demand for each pound a brace gives the wall.
        why: of each.
        known: how they are known, one of `bracing.sources.KNOWN`.
    """

    first: Strength
    index: list[int]
    capacity: Array
    sums: OneOf
    per_pound: tuple[float, ...]
    why: tuple[Said | None, ...]
    known: str


def _links_of(model: Model) -> dict[str, list[_BraceLink]]:
    """Every link of the braces, by sense."""
    found = {}
    for sense in DIRECTIONS:
        sets: list[tuple[Strength, ...]] = [getattr(strength, sense) for strength in model.strengths]
        by_name: dict[LinkId, list[tuple[int, Strength]]] = {}
        for k, links in enumerate(sets):
            for strength in links:
                by_name.setdefault(strength.link, []).append((k, strength))
        found[sense] = [
            _BraceLink(
                rows[0][1], [k for k, _ in rows], np.array([s.capacity for _, s in rows]),
                OneOf(tuple(s.capacity for _, s in rows)),
                tuple(s.per_pound for _, s in rows), tuple(s.why for _, s in rows),
                least(*(s.known for _, s in rows)),
            )
            for rows in by_name.values()
        ]  # fmt: skip
    return found


def _brace_groups(
    forces: Forces, directions: Directions, links: dict[str, list[_BraceLink]]
) -> Iterator[Group]:
    """Head joint, stick, cleat, floor and joist of each brace, in the sense it is meant to work and in reverse.

    A brace near a heavy end can be worked in reverse by the plate; that counts against its strengths there. A brace
    that does not count in a sense lets go before it is loaded so.
    """
    model = forces.model
    marks, places = model.marks, model.studs
    for sense, sign in zip(DIRECTIONS, (1.0, -1.0), strict=True):
        counts = np.array(
            [getattr(strength, f"counts_in_{sense}") for strength in model.strengths], dtype=bool
        )
        brace = forces.brace * (sign * counts)[:, None]
        reverse = sense not in directions
        if reverse and not (brace[..., 1] > 0.0).any():
            continue
        for link in links[sense]:
            level = brace if len(link.index) == len(marks) else brace[:, link.index]
            yield Group(
                link=link.first.link.reversed if reverse else link.first.link, directions=directions,
                marks=tuple(marks[k] for k in link.index),
                places=tuple(places[k] for k in link.index), unit=link.first.unit, capacity=link.capacity,
                demand=level * np.array(link.per_pound)[:, None], level=level, per_pound=link.per_pound,
                one_way=True, rows=forces.rows(),
                source=link.first.source, why=link.why, known=link.known, made=link.sums,
            )  # fmt: skip


def _tie_rows(forces: Forces, directions: Directions, materials: Materials) -> Iterator[Group]:
    """A tie row, its diagonal and the fasteners at each of its ends: what all tied braces in push ask together.

    A brace that is drawn needs no tie, and takes nothing off what others ask: at a gust all that push are summed.
    """
    job, tied = forces.model.job, tied_braces(forces.model)
    along = np.array([along_brace(job.braces[k].angle) for k in tied])
    row = tie_force(all_that_push(forces.brace[:, tied] * along[:, None]))[:, None]
    if not row.any():
        return
    points = ("", *(f"past where {job.braces[k].mark} turns" for k in tied))
    every = [_row_of(materials, job, there) for there in forces.sets]
    cosines = np.array([[along_diagonal(1.0, made.angle)] for made in every])
    sloping = row * np.reshape(forces.in_rows(cosines, len(points)), (-1, 1, 1))
    for name, demand in (("row", row), ("diagonal", sloping), ("nails", sloping)):
        each: list[Strength] = [getattr(made, name) for made in every]
        strength, capacity = each[0], np.array([[one.capacity] for one in each])
        yield Group(
            link=strength.link, directions=directions, marks=(None,), places=(None,), unit=strength.unit,
            capacity=forces.in_rows(capacity, len(points)), made=one_of(1, strength.capacity), demand=demand,
            one_way=True, rows=forces.rows(points), source=strength.source, known=strength.known, why=(strength.why,),
        )  # fmt: skip


def _row_of(materials: Materials, job: Job, there: NDArray[np.bool_]) -> RowStrength:
    """A tie row across the braces of a job that are there; of those that are not where none of them is tied."""
    up = tuple(brace for brace, stands in zip(job.braces, there, strict=True) if stands)
    return row_strength(materials, up if any(brace.ties for brace in up) else job.braces)


def tied_braces(model: Model) -> list[int]:
    """Give which braces a tie row holds: those with ties that count in push.

    Args:
        model: the model.
    """
    strengths = model.strengths
    return [k for k, brace in enumerate(model.job.braces) if brace.ties and strengths[k].counts_in_push]


def all_that_push(thrusts: Array) -> Array:
    """Give the sum of the thrusts that push, as straight lines the greatest of which it is at any gust.

    In calm air some push; at the gust at which one turns there is one more or one fewer: a line for each, of every row.

    Args:
        thrusts: steady and per gust squared, (rows, n, 2) [lb].

    Returns:
        The lines, all rows of one after all of another, ((n + 1) rows, 2) [lb].

    Source: STATICS.

    Example:
        >>> all_that_push(np.array([[[100.0, -1.0], [50.0, 2.0]]])).tolist()
        [[150.0, 1.0], [50.0, 2.0], [150.0, 1.0]]
    """
    lines = (that_push(thrusts)[..., None] * thrusts[:, None]).sum(axis=2)
    return np.concatenate(list(np.moveaxis(lines, 1, 0)))


def that_push(thrusts: Array) -> NDArray[np.bool_]:
    """Tell which braces push in calm air, and at the gust at which each turns, (rows, n + 1, n).

    Args:
        thrusts: steady and per gust squared, (rows, n, 2) [lb].

    Source: STATICS.

    Example:
        >>> that_push(np.array([[[100.0, -1.0], [50.0, 2.0]]])).tolist()
        [[[True, True], [False, True], [True, True]]]
    """
    steady, rate = thrusts[..., 0], thrusts[..., 1]
    falls = np.where(steady * rate < 0.0, -rate, np.inf)
    turns = np.concatenate([np.zeros((len(steady), 1)), steady / falls], axis=1)
    there = steady[:, None] + rate[:, None] * turns[..., None]
    still = np.abs(there) <= _STILL * np.abs(steady)[:, None]
    return np.where(still, rate[:, None] > 0.0, there > 0.0)


def _top_groups(
    forces: Forces, directions: Directions, materials: Materials, wall: WallStrength
) -> Iterator[Group]:
    """Top plate to each stud, and the top plate's own bending."""
    mesh, top = forces.model.meshes[0], materials.job.wall.top_plate
    places = set(forces.model.studs)
    x = tuple(float(at) for at in mesh.stud_x)
    strap = np.array([top.strap_at_brace_lb if at in places else 0.0 for at in x])
    acting, nail = materials.basis.acting, wall.stud_top.lateral
    nailed = Made(acting.all_of, (nail, np.full(len(x), float(top.end_nails)), 1.0))
    made = Made(acting.nails_or_strap, (nail, top.end_nails, strap)) if strap.any() else nailed
    nails, at_brace = top.end_nails * nail, made.all()
    braced = forces.sets.astype(float) @ (np.array(forces.model.studs)[:, None] == mesh.stud_x) > 0.0
    capacity = np.where(braced, at_brace, nailed.all())
    each = Quantity(wall.stud_top.lateral, Kind.EACH)
    why = Said("into-end-grain", so_many=Said("so-many", count=top.end_nails, what=top.end_nail), each=each)
    yield Group(
        link=LinkId.TOP_TO_STUD, directions=directions,
        marks=forces.model.stud_marks, places=x, unit="lb", capacity=forces.in_rows(capacity), made=made,
        demand=forces.responses.top, rows=forces.rows(),
        source=materials.basis.clauses.end_grain, known=wall.stud_top.lateral_known,
        why=tuple(Said("and-a-strap", why=why) if c > nails else why for c in at_brace),
    )  # fmt: skip
    elements = np.flatnonzero([mesh.lines[k].kind == "plate" for k in mesh.element_line])
    middle = mesh.x[mesh.element_nodes[elements]].mean(axis=1)
    yield Group(
        link=LinkId.TOP_BENDING, directions=directions, marks=(None,) * len(middle),
        places=tuple(float(at) for at in middle), unit="lb in",
        capacity=np.full(len(middle), wall.top_plate_moment), made=one_of(len(middle), wall.top_plate_moment),
        demand=by_point(forces.responses.plate_moment), rows=forces.rows(ENDS),
        source=materials.basis.clauses.bending, known=materials.stud_values().known,
        why=(Said("both-plies") if top.spliced else Said("one-ply"),) * len(middle),
    )  # fmt: skip


@formula
def wind_on_nail(q: float, GCf: float, s: Inch, *, f: Inch) -> float:
    """Give what wind draws on a nail that keeps its field of sheathing on, for each mph squared: r = q GCf s f / 144.

    Args:
        q: velocity pressure of a gust of 1 mph [psf].
        GCf: net pressure for each unit of it [-].
        s: studs apart [in].
        f: nails apart along a stud [in].

    Returns:
        r [lb/mph2].

    Source: STATICS, each nail takes half-way to the next.

    Example:
        >>> round(wind_on_nail(0.002, 1.5, 16.0, f=12.0), 4)
        0.004
    """
    return q * GCf * s * f / PSF_PER_PSI


def _sheathing_off(
    forces: Forces, directions: Directions, materials: Materials, wall: WallStrength
) -> Iterator[Group]:
    """Wind that pulls the wall away from its braces drags the sheathing off the studs' outer edges."""
    if directions != PULL or sheathing_of(materials.job) is None:
        return
    job, model = materials.job, forces.model
    each = strongest_of_each(model.cases, model.meshes[0], job.wall.highest)
    s, f = (
        Known(job.wall.studs.spacing, "studs apart", ""),
        Known(job.wall.plate.sheathing_field_spacing, "nails apart along a stud", ""),
    )
    q = Known(float(model.cases.pressures.q), "velocity pressure of a gust of 1 mph", "")
    rates = tuple(
        wind_on_nail(
            q, Known(c, f"greatest GCf of case {field.case} at any stud, at its foot or top", ""), s, f=f
        )
        for c, field in zip(each, model.cases.fields, strict=True)
    )
    demand = np.array([[[0.0, rate]] for rate in rates])
    plate = job.wall.plate
    apart = Quantity(plate.sheathing_field_spacing, Kind.INCHES)
    yield Group(
        link=LinkId.SHEATHING_OFF, directions=directions, marks=(None,), places=(None,), unit="lb",
        capacity=np.array([wall.sheathing_off]), made=one_of(1, wall.sheathing_off), demand=demand,
        rates=rates, rows=Rows(tuple((field.case, field.gap) for field in model.cases.fields)),
        source=materials.basis.clauses.withdrawal, known=wall.sheathing_off_known,
        why=(past_what_is_under(job, Said("apart-out", what=plate.sheathing_fastener, apart=apart)),),
    )  # fmt: skip


@lru_cache(maxsize=TABLES_KEPT)
def strongest_of_each(cases: Cases, mesh: Mesh, highest: Inch) -> tuple[float, ...]:
    """Give the greatest force coefficient of each case at any stud, at its foot or as high as the wall is anywhere [-].

    Args:
        cases: the load cases.
        mesh: the grillage, for its studs.
        highest: the highest point of the wall [in].
    """
    x = mesh.stud_x
    return tuple(max(float(np.max(f.c(x, z))) for z in (0.0, highest)) for f in cases.fields)
