"""The panel solved for the job's braces: every force as a steady part and a part per gust squared.

Both wind directions, every case, both plate stiffnesses and both slips are rows of one array. In pull the loads are
turned round; a brace force is positive when the brace is pushed together.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.brace import BraceStrength, brace_strength
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

DIRECTIONS = ("push", "pull")
PLATES = ("both plies", "one ply")
SLIPS = ("published slip", "three times the slip")
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
        """Spring give of each brace for each slip, shape (2, n) [in/lb]."""
        return np.array([s.give for s in self.strengths]).reshape(-1, 2).T

    @property
    def rows(self) -> tuple[tuple[str, str, str, str], ...]:
        """Case, gap, plate and slip of each row."""
        return tuple(
            (pressure.case, pressure.gap, plate, slip)
            for plate in PLATES
            for slip in SLIPS
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
    heads = [(x, brace.head) for x, brace in zip(studs, job.braces, strict=True)]
    doubled = [x for x, brace in zip(studs, job.braces, strict=True) if brace.stud_doubled]
    stiff = build_mesh(job.wall, framing, heads, doubled=doubled, plate_plies=2)
    soft = build_mesh(job.wall, framing, heads, doubled=doubled, plate_plies=1)
    cases = load_cases(job, framing, stiff, thunderstorm=thunderstorm)
    loads = cases.together()
    materials = Materials(job)
    return Model(
        job=job,
        framing=framing,
        studs=studs,
        strengths=tuple(brace_strength(materials, brace) for brace in job.braces),
        meshes=(stiff, soft),
        compliances=(analyse(stiff, loads), analyse(soft, loads)),
        cases=cases,
        doubled=tuple(doubled),
    )


def with_job(model: Model, job: Job) -> Model:
    """Give the model with other fasteners, straps or sizes at the same places; the panel stays.

    Args:
        model: the model.
        job: a job whose studs, openings, heads and doubled studs are the model's own.
    """
    materials = Materials(job)
    return evolve(model, job=job, strengths=tuple(brace_strength(materials, brace) for brace in job.braces))


@frozen(eq=False)
class Forces:
    """All forces with the wind from one side; the last axis is steady part, part per mph squared.

    Attributes:
        model: the model solved.
        sign: 1 with the wind pushing the wall toward the braces, -1 pulling it away.
        brace: brace forces, shape (rows, n, 2) [lb].
        motion: amount of each zero-energy motion, one array for each plate, shape (rows/2, m, 2).
        held: every motion is held, shape (rows,).
        responses: forces inside the panel, each (rows, .., 2).
        turned: these are the forces from the other side turned round.
    """

    model: Model
    sign: float
    brace: Array = field(repr=False)
    motion: tuple[Array, Array] = field(repr=False)
    held: Flags = field(repr=False)
    responses: Responses = field(repr=False)
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
    parts = [
        _rows(model, (plate, slip), sign=sign, gust=gust, counts=(push, pull))
        for plate in (0, 1)
        for slip in (0, 1)
    ]
    brace = np.concatenate([part[0] for part in parts])
    half = len(brace) // 2
    responses = _joined(
        [
            _inside(model.compliances[plate], brace[plate * half : (plate + 1) * half], sign)
            for plate in (0, 1)
        ]
    )
    forces = Forces(
        model=model, sign=sign, brace=brace,
        motion=(np.concatenate([parts[0][1], parts[1][1]]), np.concatenate([parts[2][1], parts[3][1]])),
        held=np.concatenate([part[2] for part in parts]), responses=responses,
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
        forces, sign=-forces.sign, brace=-forces.brace, motion=(-forces.motion[0], -forces.motion[1]),
        responses=Responses(**turned), turned=True,
    )  # fmt: skip


def _rows(
    model: Model, stiffness: tuple[int, int], *, sign: float, gust: Mph, counts: tuple[Flags, Flags]
) -> tuple[Array, Array, Flags]:
    """Brace forces (cases, n, 2), motions (cases, m, 2) and held flags (cases,) of one plate and slip."""
    plate, slip = stiffness
    push, pull = counts
    c, give = model.compliances[plate], model.give[slip]
    n, cases = len(give), len(c.under_load) - 1
    under, work = sign * c.under_load.T, sign * c.work.T
    if (push == pull).all():
        found = solve(c.flexibility, c.motions, give, push, under_load=under, work=work)
        held = np.full(cases, bool(found.held))
        return _split(found.force), _split(found.motion), held
    under2, work2 = _split(under), _split(work)
    weights = np.array([[1.0], [gust**2]])
    shape = (cases, n, n)
    flexibility = np.broadcast_to(c.flexibility, shape)
    motions = np.broadcast_to(c.motions, (cases, *c.motions.shape))
    gives = np.broadcast_to(give, (cases, n))
    at_gust = solve_one_way(
        flexibility, motions, gives,
        takes_push=np.broadcast_to(push, (cases, n)), takes_pull=np.broadcast_to(pull, (cases, n)),
        under_load=under2 @ weights, work=work2 @ weights,
    )  # fmt: skip
    working = (np.abs(at_gust.force[..., 0]) > 0.0) & at_gust.held[:, None]
    found = solve(flexibility, motions, gives, working, under_load=under2, work=work2)
    return found.force, found.motion, at_gust.held & found.held


def _split(force: Array) -> Array:
    """Turn columns (steady, case 1, case 2, ..) into rows of (steady, per mph squared), (cases, .., 2)."""
    steady = np.broadcast_to(force[:, :1], force[:, 1:].shape)
    return np.stack([steady, force[:, 1:]], axis=-1).swapaxes(0, 1)


def _inside(c: Compliance, brace: Array, sign: float) -> Responses:
    """Forces inside one panel: what the loads give less what the braces take."""

    def both(loads: Array, heads: Array) -> Array:
        steady, wind = loads[:1], loads[1:]
        cases = len(wind)
        repeat = len(brace) // cases
        flat = heads.reshape(len(heads), math.prod(heads.shape[1:]))  # -1 is no size where there is no brace
        taken = np.einsum("rnp,nk->rkp", brace, flat).reshape(len(brace), *heads.shape[1:], 2)
        given = np.stack([np.broadcast_to(steady, wind.shape), wind], axis=-1)
        whole: Array = sign * np.concatenate([given] * repeat) - taken
        return whole

    names = [a.name for a in Responses.__attrs_attrs__]
    parts = {name: both(getattr(c.from_loads, name), getattr(c.from_heads, name)) for name in names}
    parts["stud_allowance"] = np.abs(parts["stud_allowance"])
    return Responses(**parts)


def _joined(parts: list[Responses]) -> Responses:
    names = [a.name for a in Responses.__attrs_attrs__]
    return Responses(**{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})


def applied(forces: Forces) -> tuple[Array, Array]:
    """Total load and its moment about the plate, both (rows, 2) [lb, lb in].

    Args:
        forces: what was solved.

    Source: STATICS.
    """
    model = forces.model
    steady, wind, q = model.cases.steady, model.cases.wind, model.cases.pressure_per_mph2
    mesh = model.meshes[0]
    repeat = len(forces.brace) // len(model.cases.fields)
    totals = []
    for always, gusty in ((steady.total(mesh), wind.total(mesh)), (steady.moment(mesh), wind.moment(mesh))):
        pair = np.stack([np.broadcast_to(always, gusty.shape), gusty * q], axis=-1)
        totals.append(forces.sign * np.concatenate([pair] * repeat))
    return totals[0], totals[1]


def verify_balance(forces: Forces) -> None:
    """Check that braces, returns and plate balance the loads, in force and in moment about the plate.

    Args:
        forces: what was solved.

    Raises:
        AccuracyError: a row that holds its motions is out of balance by more than 1e-6 of its load.
    """
    load, moment = applied(forces)
    mesh = forces.model.meshes[0]
    heads = mesh.z[list(mesh.heads)]  # a head within 1/8 in of a header, sill or row takes its height
    inside = forces.responses
    returns = inside.left_return + inside.right_return
    braces = np.moveaxis(forces.brace, -1, 1)
    force_error = load - braces.sum(axis=-1) + inside.base.sum(axis=1) + returns[:, 0]
    moment_error = moment - braces @ heads + returns[:, 1]
    for what, error, size in (("forces", force_error, load), ("moments", moment_error, moment)):
        worst = float(
            np.max(np.where(forces.held[:, None], np.abs(error) / np.maximum(np.abs(size), 1e-9), 0.0))
        )
        if not worst <= BALANCE_TOLERANCE:
            raise AccuracyError(what, worst, BALANCE_TOLERANCE)
