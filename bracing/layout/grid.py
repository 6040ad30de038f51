"""A wall at one gust with every candidate on it: everything the screen of layouts needs, for every head and make."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.materials import materials_of
from bracing.chain.wall import WallStrength, wall_strength
from bracing.choosing import SAME
from bracing.codes.basis import IN_USE
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.job.wall import Row
from bracing.layout.candidates import Make, Recipe, makes_for, recipes
from bracing.layout.spots import Refused
from bracing.layout.studs import (
    FARTHEST,
    READINGS,
    STEP,
    OwnStuds,
    StudStatics,
    make_ratios,
    own_studs,
    stud_elements,
    stud_statics,
)
from bracing.panel.cases import load_cases
from bracing.panel.grillage import Compliance, analyse
from bracing.panel.mesh import Mesh, build_mesh
from bracing.said import Said
from bracing.units import Inch, Mph
from bracing.work.parts import enough_sticks

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

TOP_PLIES = (
    2  # splices are a remedy, so the search takes both; finish.py asks for them where one is not enough
)


@frozen(eq=False)
class HeadPanel:
    """A wall at one gust with a node at every head; h heads, c wind cases, k readings along the plate.

    Attributes:
        places: number of each (stud, head height).
        stud: stud of each head, an index from LEFT, (h,).
        flexibility: of each plate stiffness, between heads, (2, h, h) [in/lb].
        motions: zero-energy motions at the heads, of each plate stiffness, (h, m).
        under_load: movement at the gust, (2, c, h) [in].
        work: of the loads along each motion at the gust, of each plate stiffness, (c, m) [lb].
        moment: of the loads about the plate at the gust, (c,) [lb in].
        own: what each head's stud takes.
        plate_loads: top plate ratios from the loads, (2, c, k).
        plate_heads: top plate ratios per pound at each head, (2, h, k).
        plate_x: where along the plate they are read, (k,) [in].
        loose: worst ratio of each stud that has no brace, (studs,).
        mesh: the grillage.
        statics: what passes through each stud, at the gust.
    """

    places: dict[tuple[Inch, Inch], int]
    stud: Ints
    flexibility: Array = field(repr=False)
    motions: tuple[Array, Array] = field(repr=False)
    under_load: Array = field(repr=False)
    work: tuple[Array, Array] = field(repr=False)
    moment: Array = field(repr=False)
    own: OwnStuds = field(repr=False)
    plate_loads: Array = field(repr=False)
    plate_heads: Array = field(repr=False)
    plate_x: Array = field(repr=False)
    loose: Array = field(repr=False)
    mesh: Mesh = field(repr=False)
    statics: StudStatics = field(repr=False)


@frozen(eq=False)
class Bench:
    """A wall at one gust with every make of one recipe; s makes.

    Attributes:
        panel: the wall.
        makes: the makes.
        at: head of each make, (s,).
        x: its stud from LEFT, (s,) [in].
        head: its head height, (s,) [in].
        give: for each slip, (2, s) [in/lb].
        level: level force each make may give, (s,) [lb].
        beside: head of the same brace one stud to the left and to the right; -1 where there is none, (2, s).
        table: worst ratio of a make's own stud at each reading of its force: of each in its place, then one stud to the
            left, then one to the right, (3 s, c, READINGS).
    """

    panel: HeadPanel
    makes: tuple[Make, ...]
    at: Ints
    x: Array
    head: Array
    give: Array = field(repr=False)
    level: Array
    beside: Ints
    table: Array = field(repr=False)


def one_off(
    job: Job, framing: Framing, make: Make
) -> tuple[tuple[Inch, Inch] | None, tuple[Inch, Inch] | None]:
    """Give stud and head height of a make put up one stud to the left and one to the right; None past the end.

    Args:
        job: the job.
        framing: its sticks.
        make: the make.
    """
    full = [stud.x for stud in framing.full_height_studs]
    k = full.index(make.brace.stud_at)
    found = []
    for other in (k - 1, k + 1):
        inside = 0 <= other < len(full)
        found.append((full[other], min(make.brace.head, job.wall.height_at(full[other]))) if inside else None)
    return found[0], found[1]


def with_makes(job: Job, framing: Framing, panel: HeadPanel, *, makes: Sequence[Make]) -> Bench:
    """Put the makes of one recipe on a wall.

    Args:
        job: the job.
        framing: its sticks.
        panel: the wall, with a node at every make's head, and at those one stud off.
        makes: the makes.
    """
    at = np.array([panel.places[(m.brace.stud_at, m.brace.head)] for m in makes], dtype=np.intp)
    beside = np.array(
        [[panel.places.get(p, -1) if p else -1 for p in one_off(job, framing, m)] for m in makes],
        dtype=np.intp,
    ).T.reshape(2, -1)
    return Bench(
        panel=panel, makes=tuple(makes), at=at,
        x=np.array([m.brace.stud_at for m in makes]), head=np.array([m.brace.head for m in makes]),
        give=np.array([m.strength.give for m in makes]).reshape(-1, 2).T,
        level=np.array([m.level for m in makes]), beside=beside,
        table=np.concatenate([make_ratios(panel.own, makes, np.where(h < 0, at, h)) for h in (at, *beside)]),
    )  # fmt: skip


def build_panel(
    job: Job,
    framing: Framing,
    heads: Sequence[tuple[Inch, Inch]],
    *,
    gust: Mph,
    doubled: bool,
    thunderstorm: bool = False,
) -> HeadPanel:
    """Prepare a wall at one gust.

    Args:
        job: the job with its choices.
        framing: its sticks.
        heads: (stud centre, head height) of every make [in].
        gust: the gust asked [mph].
        doubled: studs are doubled at the braces.
        thunderstorm: wind profile of an outflow.
    """
    # A stud without a brace is determinate and pinned at both ends: doubling it too changes nothing else.
    twice = [s.x for s in framing.full_height_studs] if doubled else []
    meshes = [build_mesh(job.wall, framing, heads, doubled=twice, plate_plies=plies) for plies in (2, 1)]
    loads = load_cases(job, meshes[0], IN_USE.wind(job, thunderstorm=thunderstorm)).together()
    panels = [analyse(mesh, loads) for mesh in meshes]
    materials = materials_of(job)
    wall = wall_strength(materials)
    studs = meshes[0].stud_x
    plate = [_plate(wall, c, gust) for c in panels]
    stud = np.array([int(np.argmin(np.abs(studs - x))) for x, _ in heads], dtype=np.intp)
    statics = stud_statics(meshes[0], panels[0], stud)
    statics = evolve(
        statics,
        **{
            n: at_gust(getattr(statics, n), gust)
            for n in ("moment", "shear", "top", "base", "span_end", "span_moment")
        },
    )
    spare = at_gust(panels[0].from_loads.stud_allowance, gust)
    return HeadPanel(
        places={place: k for k, place in enumerate(heads)},
        stud=stud,
        flexibility=np.stack([c.flexibility for c in panels]), motions=(panels[0].motions, panels[1].motions),
        under_load=np.stack([at_gust(c.under_load, gust) for c in panels]),
        work=(at_gust(panels[0].work, gust), at_gust(panels[1].work, gust)),
        moment=at_gust(loads.moment(meshes[0]), gust),
        own=own_studs(materials, meshes[0], statics, spare=spare, doubled=doubled),
        plate_loads=np.stack([r[0] for r in plate]), plate_heads=np.stack([r[1] for r in plate]),
        plate_x=_plate_places(meshes[0]),
        loose=_loose(wall, meshes[0], statics, spare, doubled=doubled), mesh=meshes[0], statics=statics,
    )  # fmt: skip


def at_gust(part: Array, gust: Mph) -> Array:
    """Give the steady row plus each wind row at a gust.

    Args:
        part: row 0 steady, then one wind case a row per mph squared, shape (1 + c, ..).
        gust: the gust [mph].

    Returns:
        Shape (c, ..), in the unit of `part`.

    Example:
        >>> at_gust(np.array([1.0, 0.5]), 2.0).tolist()
        [3.0]
    """
    value: Array = part[:1] + part[1:] * gust**2
    return value


def _plate(wall: WallStrength, panel: Compliance, gust: Mph) -> tuple[Array, Array]:
    """Top plate bending as ratios of both plies, spliced: from the loads (c, k), and per pound of each head (h, k)."""
    loads = at_gust(panel.from_loads.plate_moment, gust)
    heads = panel.from_heads.plate_moment
    allowable = wall.stud_moment * TOP_PLIES

    def places(part: Array) -> Array:
        """The two ends of neighbouring elements are one place."""
        return np.concatenate([part[..., 0], part[..., -1:, 1]], axis=-1) / allowable

    return places(loads), places(heads)


def _plate_places(mesh: Mesh) -> Array:
    """Where the top plate is read: at every node on it, (k,) [in]."""
    nodes = mesh.element_nodes[[mesh.lines[k].kind == "plate" for k in mesh.element_line]]
    return np.append(mesh.x[nodes[:, 0]], mesh.x[nodes[-1:, 1]])


def _loose(wall: WallStrength, mesh: Mesh, statics: StudStatics, spare: Array, *, doubled: bool) -> Array:
    """Worst bending and shear ratio of every stud with no brace on it, single, shape (studs,)."""
    every = stud_elements(mesh)
    plies = mesh.element_plies[every].astype(float) - float(doubled)
    bending = (np.abs(statics.moment).max(axis=2) + spare).max(axis=0)
    shear = np.abs(statics.shear).max(axis=(0, 2))
    ratio = np.maximum(bending / (wall.stud_moment * plies), shear / (wall.stud_shear * plies))
    line = mesh.element_line[every]
    return np.array([ratio[line == stud].max() for stud in mesh.studs])


@frozen(eq=False)
class Yard:
    """A wall with the bench of every recipe.

    Attributes:
        job: the job with its choices, no braces.
        framing: its sticks.
        gust: the gust asked [mph].
        thunderstorm: wind profile of an outflow.
        benches: each recipe that has any make, with its bench, least effort first.
        refused: places no foot may stand.
        one_missing: gust at which any one brace may be gone, or None [mph].
        gone: the bench of each recipe at that gust, in the same order; None where none was asked.
        on_hand: whether what is on hand reaches for a layout.
    """

    job: Job
    framing: Framing
    gust: Mph
    thunderstorm: bool
    benches: tuple[tuple[Recipe, Bench], ...] = field(repr=False)
    refused: tuple[Refused, ...] = field(repr=False)
    one_missing: Mph | None = None
    gone: tuple[Bench | None, ...] = field(default=(), repr=False)
    on_hand: Callable[[Job], bool] = enough_sticks

    def with_row(self, row: Row) -> Yard:
        """Give the wall with a continuous row across its studs.

        Args:
            row: the row.
        """
        job = evolve(self.job, wall=evolve(self.job.wall, rows=(row,)))
        return evolve(self, job=job, framing=frame_wall(job.wall))

    def only(self, wanted: Callable[[Recipe], bool]) -> Yard:
        """Give the wall with some recipes only.

        Args:
            wanted: whether a recipe is kept.
        """
        kept = [k for k, (recipe, _) in enumerate(self.benches) if wanted(recipe)]
        return evolve(
            self, benches=tuple(self.benches[k] for k in kept), gone=tuple(self.gone[k] for k in kept)
        )


def make_yard(
    job: Job, gust: Mph, *, angle: float | None = None, thunderstorm: bool = False,
    one_missing: Mph | None = None, on_hand: Callable[[Job], bool] = enough_sticks,
) -> Yard:  # fmt: skip
    """Put every make of every recipe on the wall.

    Args:
        job: the job with its choices, no braces.
        gust: the gust asked [mph].
        angle: angle asked, or None [degrees].
        thunderstorm: wind profile of an outflow.
        one_missing: gust at which any one brace may be gone, or None [mph].
        on_hand: whether what is on hand reaches for a layout.
    """
    framing = frame_wall(job.wall)
    found: list[tuple[Recipe, tuple[Make, ...]]] = []
    refused: dict[tuple[Inch, Inch, Inch, Said], Refused] = {}
    for recipe in recipes(job):
        makes, not_here = makes_for(job, recipe, angle=angle)
        found.append((recipe, makes))
        refused.update({(r.stud, r.head, r.set_back, r.why): r for r in not_here})
    # Rows carry between studs, which a bench leaves out: on such a wall it only orders what the chain then judges.
    plain = evolve(job, wall=evolve(job.wall, rows=()))
    gusts = (gust,) if one_missing is None else (gust, one_missing)
    tables = [_benches(plain, framing, found, at, thunderstorm=thunderstorm) for at in gusts]
    kept = _worth_trying(tables[0])
    return Yard(
        job=job, framing=framing, gust=gust, thunderstorm=thunderstorm,
        benches=tuple(tables[0][k] for k in kept), refused=tuple(refused.values()), one_missing=one_missing,
        gone=tuple(tables[1][k][1] if len(tables) > 1 else None for k in kept), on_hand=on_hand,
    )  # fmt: skip


def _benches(
    job: Job, framing: Framing, found: list[tuple[Recipe, tuple[Make, ...]]], gust: Mph, *, thunderstorm: bool
) -> list[tuple[Recipe, Bench]]:
    """The bench of every recipe that has any make."""
    panels = {
        doubled: build_panel(job, framing, heads, gust=gust, doubled=doubled, thunderstorm=thunderstorm)
        for doubled in (False, True)
        if (heads := _heads(job, framing, (makes for recipe, makes in found if recipe.doubled is doubled)))
    }
    return [
        (recipe, with_makes(job, framing, panels[recipe.doubled], makes=makes))
        for recipe, makes in found
        if makes
    ]


def _worth_trying(benches: list[tuple[Recipe, Bench]]) -> list[int]:
    """Leave out doubled studs where no single stud governs."""
    singles = {recipe: bench for recipe, bench in benches if not recipe.doubled}
    return [
        k
        for k, (recipe, _) in enumerate(benches)
        if not recipe.doubled or studs_govern(singles.get(evolve(recipe, doubled=False)))
    ]


def studs_govern(bench: Bench | None) -> bool:
    """Whether a doubled stud could help: some single stud cannot take all its brace may give.

    Args:
        bench: the same recipe with single studs, or None.
    """
    if bench is None:
        return True
    reading = np.minimum(np.ceil((bench.level + FARTHEST) / STEP), READINGS - 1).astype(np.intp)
    return bool((bench.table[np.arange(len(reading)), :, reading] > 1.0 + SAME).any())


def _heads(job: Job, framing: Framing, makes: Iterable[tuple[Make, ...]]) -> list[tuple[Inch, Inch]]:
    """Heads of every make, and of every make one stud off its mark."""
    every = [m for some in makes for m in some]
    own = {(m.brace.stud_at, m.brace.head) for m in every}
    beside = {place for m in every for place in one_off(job, framing, m) if place is not None}
    return sorted(own | beside)
