"""The panel solved for the job's braces: every force as a steady part and a part per gust squared.

Both wind directions, every case, both plate stiffnesses and every slip are rows of one array. In pull the loads are
turned round; a brace force is positive when the brace is pushed together.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.brace import BraceStrength, brace_strength
from bracing.chain.inside import inside_panel, split
from bracing.chain.materials import Materials
from bracing.errors import AccuracyError, Fault, InputError
from bracing.framing import Framing, frame_wall
from bracing.job import Job
from bracing.panel.cases import Cases, load_cases
from bracing.panel.grillage import Compliance, Responses, analyse
from bracing.panel.mesh import Mesh, build_mesh
from bracing.panel.reduced import BALANCE_TOLERANCE, solve, solve_one_way
from bracing.units import Inch, Mph, tape

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

Parts = TypeVar("Parts", Responses, "States")

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
    full = [stud.x for stud in framing.full_height_studs]
    found, faults = [], []
    for k, brace in enumerate(job.braces):
        near = sorted(full, key=lambda x: abs(x - brace.stud_at))
        if abs(near[0] - brace.stud_at) > ON_STUD:
            nearest = " and ".join(tape(x) for x in sorted(near[:2]))
            expected = f"the centre of a full-height stud; the nearest are at {nearest} from LEFT"
            faults.append(Fault(job.file, f"brace[{k}].stud_at", tape(brace.stud_at), expected))
        elif brace.head > job.wall.height_at(near[0]):
            expected = f"a head no higher than its stud, {tape(job.wall.height_at(near[0]))}"
            faults.append(Fault(job.file, f"brace[{k}].head", tape(brace.head), expected))
        found.append(near[0])
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
    materials = Materials(job)
    return Model(
        job=job,
        framing=framing,
        studs=studs,
        strengths=tuple(brace_strength(materials, brace) for brace in job.braces),
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
    materials = Materials(job)
    return evolve(model, job=job, strengths=tuple(brace_strength(materials, brace) for brace in job.braces))


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
    brace, held, inside = [], [], []
    states: list[States] = []
    nearest = (np.array(model.studs), push | pull)
    for mesh, compliance in zip(model.meshes, model.compliances, strict=True):
        force, fine = _solved(compliance, model.give, sign=sign, gust=gust, counts=(push, pull))
        brace += [force[0], force[1], _each_own(force[ALIKE:])]
        held += [fine[0], fine[1], fine[ALIKE:].all(axis=0)]
        rows, reactions = inside_panel(mesh, compliance, force, sign=sign, alike=ALIKE, nearest_of=nearest)
        inside.append(rows)
        states.append(States(force.reshape(fine.size, *force.shape[2:]), *reactions, fine.ravel()))
    forces = Forces(
        model=model, sign=sign, brace=np.concatenate(brace), held=np.concatenate(held),
        responses=_joined(inside), states=_joined(states),
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
        active = np.broadcast_to(push, give.shape)
        found = solve(c.flexibility, c.motions, give, active, under_load=under, work=work)
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
    """Force of each brace in the state where it is the stiff one: (n, cases, n, 2) gives (cases, n, 2)."""
    each = np.arange(len(force))
    return force[each, :, each].swapaxes(0, 1)


def _joined(parts: list[Parts]) -> Parts:
    names = [a.name for a in parts[0].__attrs_attrs__]
    return type(parts[0])(**{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})


def applied(forces: Forces) -> tuple[Array, Array]:
    """Total load and its moment about the plate, both (states, 2) [lb, lb in].

    Args:
        forces: what was solved.

    Source: STATICS.
    """
    model = forces.model
    steady, wind, q = model.cases.steady, model.cases.wind, model.cases.pressure_per_mph2
    mesh = model.meshes[0]
    repeat = len(forces.states.held) // len(model.cases.fields)
    totals = []
    for always, gusty in ((steady.total(mesh), wind.total(mesh)), (steady.moment(mesh), wind.moment(mesh))):
        pair = np.stack([np.broadcast_to(always, gusty.shape), gusty * q], axis=-1)
        totals.append(forces.sign * np.concatenate([pair] * repeat))
    return totals[0], totals[1]


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
