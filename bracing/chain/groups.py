"""The chain, group by group: panel forces on one side, strengths on the other."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.chain.foot import Strength
from bracing.chain.forces import DIRECTIONS, Forces
from bracing.chain.links import ENDS, Group, LinkId, Made, OneOf, Rows, by_point, force_at, one_of, turned
from bracing.chain.materials import Materials, sheathing_of, under_sheathing
from bracing.chain.model import Model
from bracing.chain.studs import lifted_studs, opening_groups, row_groups, stud_groups
from bracing.chain.wall import SPREAD, PlateSet, WallStrength, wall_strength, windows_along_plate
from bracing.choosing import whole_down
from bracing.job.job import Job
from bracing.panel.loads import Cases
from bracing.panel.mesh import TABLES_KEPT, Mesh
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, least
from bracing.sums import Known, formula
from bracing.units import Inch

Array = NDArray[np.float64]

Directions = tuple[str, ...]
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
        groups += _plate_shear(forces, directions, materials, wall)
    braces, lifted = _links_of(push.model), list[Group]()
    for forces, directions in sides:
        groups += _brace_groups(forces, directions, braces)
        if lifted and pull.turned:
            lifted = [turned(group, directions) for group in lifted]
        else:
            lifted = [
                *lifted_studs(forces, directions, materials, wall=wall),
                *_plate_at_braces(forces, directions, materials, wall),
            ]
        groups += lifted
        groups += _sheathing_off(forces, directions, materials, wall)
    return tuple(groups)


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


def _top_groups(
    forces: Forces, directions: Directions, materials: Materials, wall: WallStrength
) -> Iterator[Group]:
    """Top plate to each stud, and the top plate's own bending."""
    mesh, top = forces.model.meshes[0], materials.job.wall.top_plate
    places = set(forces.model.studs)
    x = tuple(float(at) for at in mesh.stud_x)
    strap = np.array([top.strap_at_brace_lb if at in places else 0.0 for at in x])
    made = Made(materials.basis.acting.nails_or_strap, (wall.stud_top.lateral, top.end_nails, strap))
    if not strap.any():
        made = Made(
            materials.basis.acting.all_of, (wall.stud_top.lateral, np.full(len(x), float(top.end_nails)), 1.0)
        )
    nails, at_brace = top.end_nails * wall.stud_top.lateral, made.all()
    each = Quantity(wall.stud_top.lateral, Kind.EACH)
    why = Said("into-end-grain", so_many=Said("so-many", count=top.end_nails, what=top.end_nail), each=each)
    yield Group(
        link=LinkId.TOP_TO_STUD, directions=directions,
        marks=forces.model.stud_marks, places=x, unit="lb", capacity=at_brace, made=made,
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


def _feet(mesh: Mesh, length: Inch) -> tuple[Array, Array]:
    """Where the verticals stand (v,), and the edges of the plate each has (v + 1,)."""
    x = np.sort(mesh.x[mesh.pinned])
    return x, np.concatenate([[0.0], (x[1:] + x[:-1]) / 2.0, [length]])


def _shares(mesh: Mesh, low: Array, high: Array, length: Inch) -> Array:
    """Share of each vertical's foot in each stretch of plate, (w, v)."""
    _, edge = _feet(mesh, length)
    overlap = np.minimum(high[:, None], edge[None, 1:]) - np.maximum(low[:, None], edge[None, :-1])
    shares: Array = np.clip(overlap, 0.0, None) / np.diff(edge)
    return shares


def _plate_shear(
    forces: Forces, directions: Directions, materials: Materials, wall: WallStrength
) -> Iterator[Group]:
    """Bottom plate in shear under every vertical; a tacked plate has only what is declared at the braces."""
    plate = materials.job.wall.plate
    if plate.state == "tacked":
        return
    x, edge = _feet(forces.model.meshes[0], materials.job.wall.length)
    made = Made(materials.basis.acting.along_run, (wall.plate.lateral, np.diff(edge), plate.spacing))
    yield Group(
        link=LinkId.PLATE_SHEAR, directions=directions, marks=(None,) * len(x), places=tuple(x.tolist()), unit="lb",
        capacity=made.all(), made=made, demand=forces.responses.base, rows=forces.rows(),
        source=materials.basis.clauses.across, known=wall.plate.lateral_known,
        why=(
            Said(
                "apart-each", what=wall.plate.name, apart=Quantity(plate.spacing, Kind.INCHES),
                each=Quantity(wall.plate.lateral, Kind.EACH),
            ),
        ) * len(x),
    )  # fmt: skip


def _plate_at_braces(
    forces: Forces, directions: Directions, materials: Materials, wall: WallStrength
) -> Iterator[Group]:
    """Bottom plate at each brace: shear with the lift it spreads along the plate, on the same fasteners."""
    marks, places = forces.model.marks, forces.model.studs
    if not marks:
        return
    job, plate = forces.model.job, materials.job.wall.plate
    tacked = plate.state == "tacked"
    windows = windows_along_plate(job.wall, places, reach=math.inf if tacked else SPREAD)
    low, high = np.array(windows).T
    shares = _shares(forces.model.meshes[0], low, high, job.wall.length)
    lifts = np.array([s.lift_per_pound for s in forces.model.strengths])
    there = np.array(places)
    shared = (there[:, None] == there[None, :]).astype(float)  # two braces on one stud lift the same plate
    lift = shared @ (forces.brace * lifts[:, None])
    shear = shares @ forces.responses.base
    past_plate = plate.sheathing_laps == "rim" or plate.strap_at_brace_lb > 0.0
    spacing = math.inf if tacked else plate.spacing
    sets = plate_sets(wall, np.floor((high - low) / spacing + 1e-9), plate.extra.at_each_brace)
    yield Group(
        link=LinkId.PLATE_LIFTED, directions=directions, marks=marks, places=places, unit="share used",
        capacity=np.ones(len(marks)), demand=shear, tension=np.zeros_like(lift) if past_plate else lift,
        use=PlateUse(sets, plate.state), rows=forces.rows(),
        source=materials.basis.clauses.together, known=least(*(kind.known for kind, _ in sets)),
        why=tuple(_said(sets, k, run) for k, run in enumerate(high - low)),
    )  # fmt: skip
    yield from _lift_paths(forces, directions, wall, windows, lift)


def plate_sets(wall: WallStrength, counts: Array, extra: int) -> tuple[tuple[PlateSet, Array], ...]:
    """Give the sets of like fasteners in each stretch of plate: the pattern's, and those beside the brace.

    Args:
        wall: the wall's strengths.
        counts: fasteners of the pattern in each stretch, any shape.
        extra: fasteners beside each brace.

    Source: NDS 11.2.1, unlike fasteners are not added up.
    """
    if wall.plate.name == wall.extra.name:
        return ((wall.plate, counts + extra),)
    return (wall.plate, counts), (wall.extra, np.full_like(counts, float(extra)))


@formula
def better_set(u1: float, u2: float) -> float:
    """Give the share used where the better of two unlike sets carries all: u = min(u1, u2).

    Args:
        u1: share of the first used by both loads [-].
        u2: share of the second used by both loads [-].

    Returns:
        The share [-].

    Source: NDS 11.2.1, unlike fasteners are not added up.

    Example:
        >>> better_set(0.5, 0.75)
        0.5
    """
    return min(u1, u2)


@frozen(eq=False)
class PlateUse:
    """The share used by shear and lift in each stretch: the better set carries all.

    An object and no closure, so that an answer can go to another process.

    Attributes:
        sets: sets of like fasteners, and how many of each in each stretch, from `plate_sets`.
        state: of the plate, for where nothing fastens it.
    """

    loads = (
        (force_at, "shear along the brace's part of the plate"),
        (force_at, "lift of the brace, none where a strap or the rim takes it"),
    )

    sets: tuple[tuple[PlateSet, Array], ...]
    state: str = ""

    def __call__(self, across: Array, lift: Array) -> Array:
        """Give the share used in each stretch.

        Args:
            across: shear in each stretch [lb].
            lift: lift in each stretch [lb].
        """
        pull, shares = np.maximum(lift, 0.0), []
        for kind, count in self.sets:
            if count.max(initial=0.0) > 0.0:
                each = np.maximum(count, 1.0)
                share = np.asarray(kind.use(across / each, pull / each))
                shares.append(np.where(count > 0.0, share, np.inf))
        none = np.where((across > 0.0) | (pull > 0.0), np.inf, 0.0)
        return np.min(shares, axis=0) if shares else none

    def at(self, item: int, across: float, lift: float) -> tuple[float, ...]:
        """Give the share used in one stretch, as a Sum, after what of it is worth nothing.

        Args:
            item: which stretch.
            across: shear in it [lb].
            lift: lift in it [lb].
        """
        pull = max(lift, 0.0)
        here = [(kind, round(float(count[item]))) for kind, count in self.sets]
        here = [(kind, count) for kind, count in here if count > 0]
        if not here:
            return (Known(0.0, f"nothing declared fastens the plate here ({self.state})", cite("JUDGEMENT")),)
        nothing = [kind.worth_nothing(count, across, pull) for kind, count in here]
        shares = [
            kind.use_of(count, across, pull)
            for (kind, count), none in zip(here, nothing, strict=True)
            if none is None
        ]
        said = [none for none in nothing if none is not None]
        return (*said, *((better_set(*shares),) if len(shares) > 1 else shares))


def _said(sets: tuple[tuple[PlateSet, Array], ...], k: int, run: Inch) -> Said:
    there = (
        Said("so-many", count=round(float(count[k])), what=kind.name)
        for kind, count in sets
        if count[k] > 0.0
    )
    here, over = tuple(there), Quantity(run, Kind.TENTH_FEET)
    return Said("over-a-run", here=here, run=over) if here else Said("nothing-over-a-run", run=over)


def _lift_paths(
    forces: Forces,
    directions: Directions,
    wall: WallStrength,
    windows: list[tuple[Inch, Inch]],
    lift: Array,
) -> Iterator[Group]:
    """How a brace's lift leaves its stud: through a declared strap; else stud to sheathing, sheathing to plate or rim.

    Nails in the ends of the stud count for nothing.
    """
    job = forces.model.job
    plate = job.wall.plate
    marks, places = tuple(brace.mark for brace in job.braces), tuple(brace.stud_at for brace in job.braces)
    nail, strap, nailed = wall.sheathing_nail, plate.strap_at_brace_lb, plate.sheathing_fastener
    under = partial(_past_what_is_under, job)
    each = Quantity(nail, Kind.EACH)
    if strap > 0.0:
        declared = Known(strap, "allowable of the strap, as declared", cite("USER", "strap"))
        yield Group(
            link=LinkId.STRAP, directions=directions, marks=marks, places=places, unit="lb",
            capacity=np.full(len(marks), strap), made=one_of(len(marks), declared), demand=lift, one_way=True,
            rows=forces.rows(),
            source=cite("USER", "strap"),
            why=(Said("declared-allowable"),) * len(marks),
        )  # fmt: skip
        return
    laps = plate.sheathing_laps != "none"
    along_plate = [whole_down((high - low) / plate.sheathing_spacing) if laps else 0 for low, high in windows]
    apart = plate.sheathing_field_spacing
    along_stud = [whole_down(brace.head / apart) for brace in job.braces]
    to = LinkId.SHEATHING_TO_RIM if plate.sheathing_laps == "rim" else LinkId.SHEATHING_TO_PLATE
    for name, counts in ((to, along_plate), (LinkId.STUD_TO_SHEATHING, along_stud)):
        made = Made(forces.model.basis.acting.all_of, (nail, np.array(counts, dtype=float), 1.0))
        yield Group(
            link=name, directions=directions, marks=marks, places=places, unit="lb",
            capacity=made.all(), made=made, demand=lift, rows=forces.rows(), one_way=True,
            source=forces.model.basis.clauses.across, known=wall.sheathing_known,
            why=tuple(
                under(Said("so-many-each", so_many=Said("so-many", count=count, what=nailed), each=each))
                if count else Said("sheathing-not-nailed")
                for count in counts
            ),
        )  # fmt: skip


def _past_what_is_under(job: Job, nails: Said) -> Said:
    """Say of sheathing nails what they reach across, where something stands under the panel."""
    under = under_sheathing(job)
    if not under:
        return nails
    thick = Quantity(sum(each.thickness for each in under), Kind.HUNDREDTHS)
    return Said("across-what-is-under", nails=nails, thick=thick, under=tuple(each.name for each in under))


def _sheathing_off(
    forces: Forces, directions: Directions, materials: Materials, wall: WallStrength
) -> Iterator[Group]:
    """Wind that pulls the wall away from its braces drags the sheathing off the studs' outer edges."""
    if directions != PULL or sheathing_of(materials.job) is None:
        return
    job, model = materials.job, forces.model
    each = strongest_of_each(model.cases, model.meshes[0], job.wall.highest)
    area = job.wall.studs.spacing * job.wall.plate.sheathing_field_spacing
    demand = np.array([[[0.0, c * model.cases.pressure_per_mph2 * area]] for c in each])
    plate = job.wall.plate
    apart = Quantity(plate.sheathing_field_spacing, Kind.INCHES)
    yield Group(
        link=LinkId.SHEATHING_OFF, directions=directions, marks=(None,), places=(None,), unit="lb",
        capacity=np.array([wall.sheathing_off]), made=one_of(1, wall.sheathing_off), demand=demand,
        rows=Rows(tuple((field.case, field.gap) for field in model.cases.fields)),
        source=materials.basis.clauses.withdrawal, known=wall.sheathing_off_known,
        why=(_past_what_is_under(job, Said("apart-out", what=plate.sheathing_fastener, apart=apart)),),
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
