"""The panel solved for the job's braces: every force as a steady part and a part per gust squared.

Both wind directions, every case, both plate stiffnesses and every slip are rows of one array. In pull the loads are
turned round; a brace force is positive when the brace is pushed together.
"""

from __future__ import annotations

from functools import cached_property, lru_cache

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.brace import BraceStrength, brace_strength
from bracing.chain.inside import inside_panels, split
from bracing.chain.materials import Materials, materials_of
from bracing.errors import AccuracyError, Fault, InputError
from bracing.framing import Framing, frame_wall
from bracing.job import Job
from bracing.panel.cases import Cases, load_cases
from bracing.panel.grillage import Compliance, Responses, analyse
from bracing.panel.mesh import TABLES_KEPT, Mesh, build_mesh
from bracing.panel.reduced import BALANCE_TOLERANCE, solve, solve_one_way
from bracing.units import Inch, Mph, tape

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

DIRECTIONS = ("push", "pull")
PLATES = ("both plies", "one ply")
SLIPS = (
    "published slip",
    "three times the slip",
    "the nearest brace at the published slip, the others three times it",
)
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
        meshes: the grillage with both top plies and with one.
        compliances: of each mesh.
        cases: load cases, on the first mesh.
        doubled: studs doubled in the meshes [in].
    """

    job: Job
    framing: Framing
    studs: tuple[Inch, ...]
    strengths: tuple[BraceStrength, ...]
    meshes: tuple[Mesh, Mesh]
    compliances: tuple[Compliance, Compliance]
    cases: Cases
    doubled: tuple[Inch, ...] = ()

    @cached_property
    def materials(self) -> Materials:
        """The job's materials."""
        return materials_of(self.job)

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """Mark of each brace."""
        return tuple(brace.mark for brace in self.job.braces)

    @cached_property
    def stud_marks(self) -> tuple[str | None, ...]:
        """Mark of the first brace on each full-height stud; None where there is none."""
        at = {x: mark for x, mark in reversed(tuple(zip(self.studs, self.marks, strict=True)))}
        return tuple(at.get(x) for x in self.meshes[0].stud_x.tolist())

    def single_studs(self) -> tuple[Inch, ...]:
        """Studs the meshes have doubled that no brace of this job doubles [in]."""
        mine = {x for x, brace in zip(self.studs, self.job.braces, strict=True) if brace.stud_doubled}
        return tuple(x for x in self.doubled if x not in mine)

    @cached_property
    def give(self) -> Array:
        """Spring give of each brace: all stiff, all soft, then each in turn stiff among soft, (2 + n, n) [in/lb].

        A brace fastened tight among slack ones draws the most load. Of every mixture of stiff and soft these leave
        out, none lowers a limit gust by more than half a percent (docs/uncertainty.md).
        """
        stiff, soft = np.array([s.give for s in self.strengths]).reshape(-1, 2).T
        return np.vstack([stiff, soft, np.where(np.eye(len(stiff), dtype=bool), stiff, soft)])

    @property
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
            for plate in PLATES
            for slip in slips
            for pressure in self.cases.fields
        )


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
        near = float(full[np.abs(full - brace.stud_at).argmin()])
        if abs(near - brace.stud_at) > ON_STUD:
            two = np.sort(full[np.abs(full - brace.stud_at).argsort(kind="stable")[:2]]).tolist()
            nearest = " and ".join(map(tape, two))
            expected = f"the centre of a full-height stud; the nearest are at {nearest} from LEFT"
            faults.append(Fault(job.file, f"brace[{k}].stud_at", tape(brace.stud_at), expected))
        elif brace.head > job.wall.height_at(near):
            expected = f"a head no higher than its stud, {tape(job.wall.height_at(near))}"
            faults.append(Fault(job.file, f"brace[{k}].head", tape(brace.head), expected))
        found.append(near)
    if faults:
        raise InputError(faults)
    return tuple(found)


def build_model(job: Job, *, thunderstorm: bool = False) -> Model:
    """Make the model of a job.

    Args:
        job: the job.
        thunderstorm: wind profile of an outflow.

    Returns:
        The model.

    Raises:
        InputError: a brace that is on no full-height stud.
    """
    framing = frame_wall(job.wall)
    studs = braced_studs(job, framing)
    heads = tuple((x, brace.head) for x, brace in zip(studs, job.braces, strict=True))
    doubled = tuple(x for x, brace in zip(studs, job.braces, strict=True) if brace.stud_doubled)
    bare = Job(job.wall, floor=job.floor, site=job.site)
    meshes, compliances, cases = _panel(bare, heads, doubled, thunderstorm=thunderstorm)
    return Model(
        job=job,
        framing=framing,
        studs=studs,
        strengths=_strengths(job),
        meshes=meshes,
        compliances=compliances,
        cases=cases,
        doubled=doubled,
    )


@lru_cache(maxsize=16)
def _panel(
    bare: Job, heads: tuple[tuple[Inch, Inch], ...], doubled: tuple[Inch, ...], *, thunderstorm: bool
) -> tuple[tuple[Mesh, Mesh], tuple[Compliance, Compliance], Cases]:
    """The grillages of a wall with nodes at the heads, analysed under every case; kept: often only braces change."""
    framing = frame_wall(bare.wall)
    stiff, soft = (
        build_mesh(bare.wall, framing, heads, doubled=doubled, plate_plies=plies) for plies in (2, 1)
    )
    cases = load_cases(bare, framing, stiff, thunderstorm=thunderstorm)
    loads = cases.together()
    return (stiff, soft), (analyse(stiff, loads), analyse(soft, loads)), cases


def with_job(model: Model, job: Job) -> Model:
    """Give the model with other fasteners, straps or sizes at the same places; the panel stays.

    Args:
        model: the model.
        job: a job whose studs, openings, heads and doubled studs are the model's own.
    """
    return evolve(model, job=job, strengths=_strengths(job))


def _strengths(job: Job) -> tuple[BraceStrength, ...]:
    materials = materials_of(job)
    return tuple(brace_strength(materials, brace) for brace in job.braces)


@frozen(eq=False)
class States:
    """What holds the wall up in each state: a plate, the joints of every brace, and a case.

    Attributes:
        brace: brace forces, shape (states, n, 2) [lb].
        plate: what the bottom plate gives in all, shape (states, 2) [lb].
        returns: what the returns give, and its moment about the plate, shape (states, 2, 2) [lb, lb in].
        held: every motion is held, shape (states,).
    """

    brace: Array = field(repr=False)
    plate: Array = field(repr=False)
    returns: Array = field(repr=False)
    held: Flags = field(repr=False)

    def turned(self) -> States:
        """Give the same with the wind from the other side."""
        return States(-self.brace, -self.plate, -self.returns, self.held)


@frozen(eq=False)
class Forces:
    """All forces with the wind from one side; the last axis is steady part, part per mph squared.

    Attributes:
        model: the model solved.
        sign: 1 with the wind pushing the wall toward the braces, -1 pulling it away.
        brace: brace forces, shape (rows, n, 2) [lb].
        held: every motion is held, shape (rows,).
        responses: forces inside the panel, each (rows, .., 2).
        states: what holds the wall in each of its states, from which the rows are taken.
        turned: these are the forces from the other side turned round.
    """

    model: Model
    sign: float
    brace: Array = field(repr=False)
    held: Flags = field(repr=False)
    responses: Responses = field(repr=False)
    states: States = field(repr=False)
    turned: bool = False

    def at(self, part: Array, gust: Mph) -> Array:
        """Give a force at a gust.

        Args:
            part: any array of this object, shape (.., 2).
            gust: the gust [mph].
        """
        value: Array = part[..., 0] + part[..., 1] * gust**2
        return value


def solve_forces(model: Model, direction: str, *, gust: Mph, standing: Flags | None = None) -> Forces:
    """Solve every row with the wind from one side.

    Where a brace counts in one direction only, which braces work is found at the gust given and kept for both parts.

    Args:
        model: the model.
        direction: push or pull.
        gust: at which working braces are found [mph].
        standing: braces that are there; all unless given, shape (n,).

    Returns:
        The forces.

    Raises:
        AccuracyError: forces and loads do not balance to 1e-6.
    """
    sign = 1.0 if direction == "push" else -1.0
    there = np.ones(len(model.strengths), dtype=bool) if standing is None else standing
    push = there & np.array([s.counts_in_push for s in model.strengths], dtype=bool)
    pull = there & np.array([s.counts_in_pull for s in model.strengths], dtype=bool)
    nearest = (np.array(model.studs), push | pull)
    solved = [
        _solved(compliance, model.give, sign=sign, gust=gust, counts=(push, pull))
        for compliance in model.compliances
    ]
    force, held = (np.stack(part) for part in zip(*solved, strict=True))  # (plates, states, cases, ..)
    inside, reactions = inside_panels(
        model.meshes, model.compliances, force, sign=sign, alike=ALIKE, nearest_of=nearest
    )
    brace = np.concatenate([force[:, :ALIKE], _each_own(force[:, ALIKE:])[:, None]], axis=1)
    fine = np.concatenate([held[:, :ALIKE], held[:, ALIKE:].all(axis=1, keepdims=True)], axis=1)
    forces = Forces(
        model=model, sign=sign, brace=brace.reshape(fine.size, len(push), 2), held=fine.ravel(), responses=inside,
        states=States(force.reshape(held.size, len(push), 2), *reactions, held.ravel()),
    )  # fmt: skip
    verify_balance(forces)
    return forces


def mirrored(forces: Forces) -> Forces:
    """Give the forces with the wind from the other side, where every brace works both ways: all turn round.

    Args:
        forces: the forces with the wind from one side.
    """
    turned = {a.name: -getattr(forces.responses, a.name) for a in Responses.__attrs_attrs__}
    turned["stud_allowance"] = forces.responses.stud_allowance
    return evolve(
        forces, sign=-forces.sign, brace=-forces.brace, responses=Responses(**turned),
        states=forces.states.turned(), turned=True,
    )  # fmt: skip


def _solved(
    c: Compliance, give: Array, *, sign: float, gust: Mph, counts: tuple[Flags, Flags]
) -> tuple[Array, Flags]:
    """Brace forces (states, cases, n, 2) and held flags (states, cases) of one plate, a state a row of `give`."""
    push, pull = counts
    (states, n), cases = give.shape, len(c.under_load) - 1
    under, work = sign * c.under_load.T, sign * c.work.T
    if (push == pull).all():
        found = solve(c.flexibility, c.motions, give, push, under_load=under, work=work)
        return split(found.force), np.repeat(found.held[:, None], cases, axis=1)
    force, held = np.zeros((states, cases, n, 2)), np.zeros((states, cases), dtype=bool)
    for some in (slice(0, ALIKE), slice(ALIKE, states)):
        # Whether braces that count one way can balance the loads at all has nothing to do with how much they give.
        if some.start == 0 or held[:ALIKE].all():
            force[some], held[some] = _one_way(c, give[some], counts, under=under, work=work, gust=gust)
    return force, held


def _one_way(
    c: Compliance, give: Array, counts: tuple[Flags, Flags], *, under: Array, work: Array, gust: Mph
) -> tuple[Array, Flags]:
    """Brace forces (states, cases, n, 2) and held flags of braces some of which count in one direction only."""
    push, pull = counts
    (states, n), cases = give.shape, under.shape[1] - 1
    rows = states * cases
    weights = np.array([[1.0], [gust**2]])
    flexibility = np.broadcast_to(c.flexibility, (rows, n, n))
    motions = np.broadcast_to(c.motions, (rows, *c.motions.shape))
    gives = np.repeat(give, cases, axis=0)
    under2, work2 = (np.tile(split(part), (states, 1, 1)) for part in (under, work))
    at_gust = solve_one_way(
        flexibility, motions, gives,
        takes_push=np.broadcast_to(push, (rows, n)), takes_pull=np.broadcast_to(pull, (rows, n)),
        under_load=under2 @ weights, work=work2 @ weights,
    )  # fmt: skip
    working = (np.abs(at_gust.force[..., 0]) > 0.0) & at_gust.held[:, None]
    found = solve(flexibility, motions, gives, working, under_load=under2, work=work2)
    held = (at_gust.held & found.held).reshape(states, cases)
    return found.force.reshape(states, cases, n, 2), held


def _each_own(force: Array) -> Array:
    """Force of each brace in the state where it is the stiff one: (.., n, cases, n, 2) gives (.., cases, n, 2)."""
    own: Array = np.einsum("...icip->...cip", force)
    return own


def applied(forces: Forces) -> tuple[Array, Array]:
    """Total load and its moment about the plate, both (states, 2) [lb, lb in].

    Args:
        forces: what was solved.

    Source: STATICS.
    """
    model = forces.model
    repeat = len(forces.states.held) // len(model.cases.fields)
    total, moment = _totals(model.cases, model.meshes[0])
    return forces.sign * np.concatenate([total] * repeat), forces.sign * np.concatenate([moment] * repeat)


@lru_cache(maxsize=TABLES_KEPT)
def _totals(cases: Cases, mesh: Mesh) -> tuple[Array, Array]:
    """Total load and its moment about the plate, steady and per mph squared, of each case, (cases, 2)."""
    steady, wind, q = cases.steady, cases.wind, cases.pressure_per_mph2
    always = (steady.total(mesh), steady.moment(mesh))
    gusty = (wind.total(mesh) * q, wind.moment(mesh) * q)
    total, moment = (
        np.stack([np.broadcast_to(a, b.shape), b], axis=-1) for a, b in zip(always, gusty, strict=True)
    )
    return total, moment


def verify_balance(forces: Forces) -> None:
    """Check that braces, returns and plate balance the loads in every state, in force and in moment about the plate.

    Args:
        forces: what was solved.

    Raises:
        AccuracyError: a state that holds its motions is out of balance by more than 1e-6 of its load.
    """
    load, moment = applied(forces)
    mesh, states = forces.model.meshes[0], forces.states
    heads = mesh.z[list(mesh.heads)]  # a head within 1/8 in of a header, sill or row takes its height
    braces = np.moveaxis(states.brace, -1, 1)
    force_error = load - braces.sum(axis=-1) - states.plate - states.returns[:, 0]
    moment_error = moment - braces @ heads - states.returns[:, 1]
    for what, error, size in (("forces", force_error, load), ("moments", moment_error, moment)):
        worst = float(
            np.max(np.where(states.held[:, None], np.abs(error) / np.maximum(np.abs(size), 1e-9), 0.0))
        )
        if not worst <= BALANCE_TOLERANCE:
            raise AccuracyError(what, worst, BALANCE_TOLERANCE)
