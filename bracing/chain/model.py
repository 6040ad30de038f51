"""A job's wall ready to be solved for any of its braces: framing, grillages, load cases, strengths of the braces."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, lru_cache

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.chain.brace import BraceStrength, brace_strength, head_arm
from bracing.chain.materials import Materials, materials_of
from bracing.chain.returns import HeldEnd, bare_of, held_ends
from bracing.choosing import first_least
from bracing.codes.basis import IN_USE, Basis, basis_of
from bracing.codes.pressures import Pressures
from bracing.errors import Fault, InputError
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.panel.above import there
from bracing.panel.grillage import Compliance, analyse
from bracing.panel.loads import Cases, joined, load_cases
from bracing.panel.mesh import Mesh, build_mesh, held_by
from bracing.units import Inch, tape

Array = NDArray[np.float64]

PLATES = ("both plies", "one ply")
RETURNS = ("return as reckoned", "return three times softer")  # where one holds an end
SLIPS = (
    "published slip",
    "three times the slip",
    "the nearest brace at the published slip, the others three times it",
)
PANELS_KEPT = 32  # a list of walls has its like walls anywhere in it
ALIKE = 2  # of SLIPS that are one state of the whole wall
ON_STUD: Inch = 0.75  # a brace's declared stud may be taped this far from the stud's centre


@frozen(eq=False)
class Model:
    """A job's wall ready to be solved for any of its braces.

    Attributes:
        job: the job.
        framing: its sticks.
        studs: centre of the stud of each brace [in].
        strengths: strengths of each brace.
        meshes: the grillage with both top plies and with one; each again with its returns soft, where it has any.
        compliances: of each mesh, nobody on the wall or beside it.
        crowded_compliances: the same with people about.
        cases: load cases, on the first mesh.
        doubled: studs doubled in the meshes [in].
        basis: what gives pressures and strengths.
        gone: marks of the braces taken out of it.
        people: people are on it and beside it.
        unloaded: the same with nothing on it from above, which may be taken away at any time; None where nothing is.
        weighs: what stands on the plate holds it down against the braces' lift.
        held: ends that a return wall holds.
    """

    job: Job
    framing: Framing
    studs: tuple[Inch, ...]
    strengths: tuple[BraceStrength, ...]
    meshes: tuple[Mesh, ...]
    compliances: tuple[Compliance, ...]
    crowded_compliances: tuple[Compliance, ...]
    cases: Cases
    doubled: tuple[Inch, ...] = ()
    basis: Basis = IN_USE
    gone: tuple[str, ...] = ()
    weighs: bool = True
    held: tuple[HeldEnd, ...] = ()
    people: bool = False
    unloaded: Model | None = None

    @property
    def plates(self) -> tuple[str, ...]:
        """What each mesh is: its plies, and where a return holds an end how soft that is."""
        return plates_of(PLATES, held=bool(self.held))

    @cached_property
    def crowded(self) -> Model:
        """The same wall with people on and beside it."""
        bare = None if self.unloaded is None else self.unloaded.crowded
        return evolve(
            self, compliances=self.crowded_compliances, cases=self.cases.crowded, people=True, unloaded=bare
        )

    @cached_property
    def materials(self) -> Materials:
        """The job's materials."""
        return materials_of(self.job, self.basis)

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """Mark of each brace."""
        return tuple(brace.mark for brace in self.job.braces)

    @cached_property
    def stud_marks(self) -> tuple[str | None, ...]:
        """Mark of the first brace on each full-height stud; None where there is none."""
        at = {x: mark for x, mark in reversed(tuple(zip(self.studs, self.marks, strict=True)))}
        return tuple(at.get(x) for x in self.meshes[0].stud_x.tolist())

    def single_studs(self, there: Sequence[bool] | None = None) -> tuple[Inch, ...]:
        """Studs the meshes have doubled that no brace of this job doubles [in].

        Args:
            there: which of its braces are there; all unless given.
        """
        stands = [True] * len(self.studs) if there is None else there
        each = zip(self.studs, self.job.braces, stands, strict=True)
        mine = {x for x, brace, up in each if up and brace.stud_doubled}
        return tuple(x for x in self.doubled if x not in mine)

    @cached_property
    def give(self) -> Array:
        """Spring give of each brace: all stiff, all soft, then each in turn stiff among soft, (2 + n, n) [in/lb].

        A brace fastened tight among slack ones draws the most load. Of every mixture of stiff and soft these leave
        out, none lowers a limit gust by more than half a percent (docs/uncertainty.md).
        """
        stiff, soft = np.array([s.give for s in self.strengths]).reshape(-1, 2).T
        return np.vstack([stiff, soft, np.where(np.eye(len(stiff), dtype=bool), stiff, soft)])

    @cached_property
    def rows(self) -> tuple[tuple[str, str, str, str], ...]:
        """Case, gap, plate and slip of each row."""
        return self._named(SLIPS)

    @property
    def states(self) -> tuple[tuple[str, str, str, str], ...]:
        """Case, gap, plate and slip of each state."""
        alone = (f"{b.mark} at the published slip, the others three times it" for b in self.job.braces)
        return self._named((*SLIPS[:ALIKE], *alone))

    def _named(self, slips: tuple[str, ...]) -> tuple[tuple[str, str, str, str], ...]:
        return tuple(
            (pressure.case, pressure.gap, plate, slip)
            for plate in self.plates
            for slip in slips
            for pressure in self.cases.fields
        )


def plates_of(plates: tuple[str, ...], *, held: bool) -> tuple[str, ...]:
    """Name the meshes of a wall.

    Args:
        plates: the plies of their top plates.
        held: a return holds an end.
    """
    return tuple(f"{plate}, {end}" for plate in plates for end in RETURNS) if held else plates


def nearest_studs(framing: Framing, x: Inch) -> tuple[Inch, ...]:
    """Give the two full-height studs nearest a place, from LEFT [in].

    Args:
        framing: the sticks of the wall.
        x: the place from LEFT [in].
    """
    full = np.array([stud.x for stud in framing.full_height_studs])
    return tuple(np.sort(full[np.abs(full - x).argsort(kind="stable")[:2]]).tolist())


def braced_studs(job: Job, framing: Framing) -> tuple[Inch, ...]:
    """Find the full-height stud each brace is on.

    Args:
        job: the job.
        framing: its sticks.

    Returns:
        Stud centres [in].

    Raises:
        InputError: a brace that is on no full-height stud; the nearest are named.
    """
    full = np.array([stud.x for stud in framing.full_height_studs])
    found, faults = [], []
    for k, brace in enumerate(job.braces):
        near = float(full[first_least(np.abs(full - brace.stud_at))])
        if abs(near - brace.stud_at) > ON_STUD:
            nearest = " and ".join(map(tape, nearest_studs(framing, brace.stud_at)))
            expected = f"the centre of a full-height stud; the nearest are at {nearest} from LEFT"
            faults.append(Fault(job.file, f"brace[{k}].stud_at", tape(brace.stud_at), expected))
        elif brace.head > job.wall.height_at(near):
            expected = f"a head no higher than its stud, {tape(job.wall.height_at(near))}"
            faults.append(Fault(job.file, f"brace[{k}].head", tape(brace.head), expected))
        found.append(near)
    if faults:
        raise InputError(faults)
    return tuple(found)


def build_model(
    job: Job,
    *,
    thunderstorm: bool = False,
    basis: Basis | None = None,
    corners: tuple[tuple[Inch, Inch], ...] = (),
) -> Model:
    """Make the model of a job.

    Args:
        job: the job.
        thunderstorm: wind profile of an outflow.
        basis: what gives pressures and strengths; that of the job unless given.
        corners: end stud and height of each place at which a corner holds the wall, heads past the braces' [in].

    Returns:
        The model.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    basis = basis_of(job) if basis is None else basis
    framing = frame_wall(job.wall)
    studs = braced_studs(job, framing)
    heads = (
        *((x, brace.head, head_arm(job, brace)) for x, brace in zip(studs, job.braces, strict=True)),
        *((x, z, 0.0) for x, z in corners),
    )
    doubled = tuple(x for x, brace in zip(studs, job.braces, strict=True) if brace.stud_doubled)
    bare = Job(job.wall, floor=job.floor, site=job.site, fasteners=job.fasteners, basis=job.basis)
    held = held_ends(bare_of(job), basis)
    meshes, compliances, crowded, cases = _panel(
        bare, heads, doubled, wind=basis.wind(bare, thunderstorm=thunderstorm), held=held
    )
    return Model(
        job=job,
        framing=framing,
        studs=studs,
        strengths=_strengths(job, basis),
        meshes=meshes,
        compliances=compliances,
        crowded_compliances=crowded,
        cases=cases,
        doubled=doubled,
        basis=basis,
        held=held,
        unloaded=build_model(nothing_above(job), thunderstorm=thunderstorm, basis=basis, corners=corners)
        if there(job.wall)
        else None,
    )


def nothing_above(job: Job) -> Job:
    """Give a job whose wall has nothing on it from above.

    Args:
        job: the job.
    """
    return evolve(job, wall=evolve(job.wall, above=())) if job.wall.above else job


@lru_cache(maxsize=PANELS_KEPT)
def _panel(
    bare: Job,
    heads: tuple[tuple[Inch, Inch, Inch], ...],
    doubled: tuple[Inch, ...],
    *,
    wind: Pressures,
    held: tuple[HeldEnd, ...] = (),
) -> tuple[tuple[Mesh, ...], tuple[Compliance, ...], tuple[Compliance, ...], Cases]:
    """The grillages of a wall with nodes at the heads, analysed under every case; kept: often only braces change."""
    framing = frame_wall(bare.wall)
    corners = [(end.x, z) for end in held for z in end.heights]
    places, arms = (
        [*(head[:2] for head in heads), *corners],
        [*(arm for *_, arm in heads), *(0.0 for _ in corners)],
    )
    meshes = tuple(
        held_by(
            build_mesh(bare.wall, framing, places, arms=arms, doubled=doubled, plate_plies=plies),
            [end.support(soft=soft) for end in held],
        )
        for plies in (2, 1)
        for soft in ((False, True) if held else (False,))
    )  # fmt: skip
    cases = load_cases(bare, meshes[0], wind)
    loads = joined(cases.with_people, cases.together())
    every = [analyse(mesh, loads) for mesh in meshes]
    winds = range(2, len(loads.node_load))
    alone, crowded = (tuple(c.under([steady, *winds]) for c in every) for steady in (1, 0))
    return meshes, alone, crowded, cases


def with_job(model: Model, job: Job) -> Model:
    """Give the model with other fasteners, straps or sizes at the same places; the panel stays.

    Args:
        model: the model.
        job: a job whose studs, openings, heads and doubled studs are the model's own.
    """
    bare = None if model.unloaded is None else with_job(model.unloaded, nothing_above(job))
    return evolve(model, job=job, strengths=_strengths(job, model.basis), unloaded=bare)


def _strengths(job: Job, basis: Basis) -> tuple[BraceStrength, ...]:
    materials = materials_of(job, basis)
    return tuple(brace_strength(materials, brace) for brace in job.braces)
