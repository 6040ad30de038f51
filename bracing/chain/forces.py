"""Forces inside the panel once the braces are solved for: what the loads give less what the braces take."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.links import Rows
from bracing.chain.model import ALIKE, Model
from bracing.codes.ends import lost_in_gust
from bracing.errors import AccuracyError
from bracing.panel.grillage import Compliance, Reduced, Responses, base_nodes
from bracing.panel.loads import Cases
from bracing.panel.mesh import TABLES_KEPT, Mesh
from bracing.panel.reduced import (
    BALANCE_TOLERANCE,
    ROUNDING,
    BraceForces,
    astray,
    solve_in_turn,
    solve_one_way,
)
from bracing.units import Mph

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.intp]
Solved = tuple[Array, Flags, Mph]  # what `solved` gives

NAMES = tuple(a.name for a in Responses.__attrs_attrs__)


def split(force: Array) -> Array:
    """Turn columns (steady, case 1, case 2, ..) into rows of (steady, per mph squared).

    Args:
        force: shape (.., k, 1 + cases).

    Returns:
        Shape (.., cases, k, 2).

    Example:
        >>> split(np.array([[1.0, 2.0, 3.0]])).tolist()
        [[[1.0, 2.0]], [[1.0, 3.0]]]
    """
    steady = np.broadcast_to(force[..., :1], force[..., 1:].shape)
    return np.moveaxis(np.stack([steady, force[..., 1:]], axis=-1), -2, -3)


def inside_panels(
    meshes: Sequence[Mesh], panels: Sequence[Compliance], force: Array, *, sign: float, alike: int,
    nearest_of: tuple[Array, Flags],
) -> tuple[Responses, Array]:  # fmt: skip
    """Give the forces inside each panel: a row a case of each state alike, then one that follows the nearest brace.

    Args:
        meshes: the panels, the same but for their stiffness.
        panels: their compliances.
        force: brace forces, shape (walls, panels, states, cases, n, 2): `alike` states, then one a brace [lb].
        sign: 1 in push, -1 in pull.
        alike: how many states are rows as they are.
        nearest_of: stud of each brace [in], and whether it counts on each wall, (walls, n).

    Returns:
        Responses, each (rows, .., 2), all of one wall before all of the next; and what the plate and then each node of
        a return gives in every state, (walls * panels * states * cases, 1 + held, 2).

    Source: STATICS, force method.
    """
    walls, count, states, cases, n, _ = force.shape
    flat = [_flattened(*each) for each in zip(meshes, panels, strict=True)]
    at, places = flat[0].at, flat[0].places
    inside = np.empty((walls, count, alike + 1, cases, 2, len(places)))
    given_back = np.empty((walls, count, states, cases, 2, 1 + len(meshes[0].held)))
    studs, counts = nearest_of
    by_brace = [_by_brace(nearest(places, studs, some), n) for some in counts] if n else []
    for k, own in enumerate(flat):
        given = sign * own.loads
        taken = force[:, k].swapaxes(-1, -2).reshape(walls, states, cases * 2, n)  # by the braces
        alone = taken[:, :alike].reshape(walls * alike * cases * 2, n) @ own.heads
        np.subtract(given, alone.reshape(walls, alike, *given.shape), out=inside[:, k, :alike])
        inside[:, k, alike] = given
        # Each number is read in one state alone, that of its nearest brace: the others are never worked out.
        for wall, (order, ends) in enumerate(by_brace):
            near = [
                taken[wall, alike + brace] @ own.heads[:, order[start:end]]
                for brace, (start, end) in enumerate(ends)
                if end > start
            ]
            inside[wall, k, alike][..., order] -= np.hstack(near).reshape(given.shape)
        per_head, per_load = own.holding
        given_back[:, k] = (taken @ per_head).reshape(walls, states, cases, 2, -1) - sign * per_load
    rows = inside.reshape(walls * count * (alike + 1) * cases, 2, -1).swapaxes(1, 2)
    found = {name: rows[:, at[name]].reshape(len(rows), *flat[0].shapes[name], 2) for name in NAMES}
    found["stud_allowance"] = np.abs(found["stud_allowance"])
    return Responses(**found), given_back.reshape(-1, *given_back.shape[4:]).swapaxes(1, 2)


@frozen(eq=False)
class _Flattened:
    """The responses of a panel as rows of numbers.

    Attributes:
        at: which of the numbers are whose.
        shapes: of each, for one load.
        loads: from each case, steady and per mph squared, (cases, 2, numbers).
        heads: from a unit force of each head, (n, numbers).
        places: of each number, from LEFT [in].
        holding: what the plate gives in all, and each node of a return, against a unit force of each head
            (n, 1 + held), and under each case (cases, 2, 1 + held).
    """

    at: dict[str, slice]
    shapes: dict[str, tuple[int, ...]]
    loads: Array
    heads: Array
    places: Array
    holding: tuple[Array, Array]


@lru_cache(maxsize=16)
def _flattened(mesh: Mesh, c: Compliance) -> _Flattened:
    shapes = {name: getattr(c.from_loads, name).shape[1:] for name in NAMES}
    sizes = [math.prod(shape) for shape in shapes.values()]
    at = {
        name: slice(stop - size, stop)
        for name, size, stop in zip(NAMES, sizes, np.cumsum(sizes), strict=True)
    }
    loads, heads = (_flat([getattr(part, name) for name in NAMES]) for part in (c.from_loads, c.from_heads))
    pairs = np.stack([np.broadcast_to(loads[:1], loads[1:].shape), loads[1:]], axis=1)
    held = _of_plate(heads, at), _of_plate(pairs, at)
    return _Flattened(at, shapes, pairs, heads, _places(mesh, c.from_loads), held)


def _of_plate(numbers: Array, at: dict[str, slice]) -> Array:
    """What the plate gives in all, and each node of a return, (.., 1 + held)."""
    plate = numbers[..., at["base"]].sum(axis=-1, keepdims=True)
    return np.concatenate([plate, numbers[..., at["returns"]]], axis=-1)


def _flat(parts: list[Array]) -> Array:
    # -1 is no size where there is no brace
    return np.hstack([part.reshape(len(part), math.prod(part.shape[1:])) for part in parts])


def _places(mesh: Mesh, like: Responses) -> Array:
    """Place of every number of the responses from LEFT, (numbers,) [in]."""
    of_kind = np.array([line.kind for line in mesh.lines])[mesh.element_line]
    spans = [line.nodes for line in mesh.lines if line.kind in ("header", "sill")]
    ends = mesh.x[mesh.element_nodes]
    stud = ends[mesh.on_stud, 0]
    places = {
        "stud_moment": stud, "stud_allowance": stud, "stud_shear": stud,
        "base": mesh.x[base_nodes(mesh)], "top": mesh.stud_x,
        "plate_moment": ends[of_kind == "plate"].ravel(), "row_moment": ends[of_kind == "row"].ravel(),
        "span_end": np.array([(mesh.x[nodes[0]] + mesh.x[nodes[-1]]) / 2.0 for nodes in spans]),
        "span_moment": ends[(of_kind == "header") | (of_kind == "sill")].ravel(),
        "returns": mesh.x[list(mesh.held)],
    }  # fmt: skip
    repeats = [math.prod(getattr(like, name).shape[1:]) // max(len(places[name]), 1) for name in NAMES]
    return np.concatenate([np.repeat(places[name], k) for name, k in zip(NAMES, repeats, strict=True)])


def nearest(every: Array, studs: Array, counts: Flags) -> Ints:
    """Give the brace nearest to every place among those that count, half-way the one toward LEFT, shape (places,).

    Args:
        every: the places from LEFT, (places,) [in].
        studs: stud of each brace from LEFT, (n,) [in].
        counts: braces that count, (n,); all where none does.

    Source: STATICS, a place follows the brace beside it.
    """
    order = np.flatnonzero(counts) if counts.any() else np.arange(len(studs))
    order = order[np.argsort(studs[order], kind="stable")]
    half_way = (studs[order][1:] + studs[order][:-1]) / 2.0
    found: Ints = order[np.searchsorted(half_way, every)]
    return found


def _by_brace(nearest: Ints, n: int) -> tuple[Ints, list[tuple[int, int]]]:
    """The numbers in the order of the brace they follow, and where those of each brace start and end."""
    order = np.argsort(nearest, kind="stable")
    ends = np.searchsorted(nearest[order], np.arange(n + 1)).tolist()
    return order, list(pairwise(ends))


DIRECTIONS = ("push", "pull")


@frozen(eq=False)
class States:
    """What holds the wall up in each state: a plate, the joints of every brace, and a case.

    Attributes:
        brace: brace forces, shape (states, n, 2) [lb].
        plate: what the bottom plate gives in all, shape (states, 2) [lb].
        returns: what each node of a return wall gives, shape (states, k, 2) [lb].
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

    They are of one wall, or of several that differ in which of its braces are there: all rows of one before all of the
    next. A brace that is gone has no force.

    Attributes:
        model: the model solved, with every brace that is there on any.
        sign: 1 with the wind pushing the wall toward the braces, -1 pulling it away.
        brace: brace forces, shape (rows, n, 2) [lb].
        held: every motion is held, shape (rows,).
        responses: forces inside the panel, each (rows, .., 2).
        states: what holds the wall in each of its states, from which the rows are taken.
        turned: these are the forces from the other side turned round.
        until: up to which gust, from the one asked, the same braces work [mph].
        there: which braces are there on each of several walls, (walls, n); None is one wall with them all.
        by_plate: what `solved` gave with each plate.
    """

    model: Model
    sign: float
    brace: Array = field(repr=False)
    held: Flags = field(repr=False)
    responses: Responses = field(repr=False)
    states: States = field(repr=False)
    turned: bool = False
    until: Mph = math.inf
    there: Flags | None = field(default=None, repr=False)
    by_plate: tuple[Solved, ...] = field(default=(), repr=False)

    @property
    def direction(self) -> str:
        """The side the wind comes from, one of `DIRECTIONS`."""
        return DIRECTIONS[0] if self.sign > 0.0 else DIRECTIONS[1]

    @property
    def walls(self) -> int:
        """How many walls they are of."""
        return 1 if self.there is None else len(self.there)

    @property
    def sets(self) -> Flags:
        """Which braces are there on each wall, (walls, n)."""
        return np.ones((1, len(self.model.strengths)), dtype=bool) if self.there is None else self.there

    def rows(self, points: tuple[str, ...] = ("",), *, parted: bool = False) -> Rows:
        """Give what the rows of these forces are.

        Args:
            points: where on each piece they are read, one after the other.
            parted: the walls stand beside one another, from `beside`, not under one another.
        """
        return Rows(self.model.rows, points, self.model.gone, 1 if parted else self.walls)

    def beside(self, part: Array) -> Array:
        """Put what is of each brace beside one another, wall after wall, not under one another.

        Args:
            part: shape (walls * rows, n, .., 2).

        Returns:
            Shape (rows, walls * n, .., 2).
        """
        if self.there is None:
            return part
        each = part.reshape(self.walls, -1, *part.shape[1:]).swapaxes(0, 1)
        return each.reshape(len(each[:, 0]), self.walls * part.shape[1], *part.shape[2:])

    def in_rows(self, each: Array, points: int = 1) -> Array:
        """Give what is of each wall to each of its rows: what one wall has stays as it is.

        Args:
            each: of every item of each wall, (walls, i).
            points: how many points on each piece are read.

        Returns:
            Shape (points * walls * rows, i), or (i,) of one wall.
        """
        if self.there is None:
            return np.asarray(each[0])
        return np.tile(np.repeat(each, len(self.brace) // self.walls, axis=0), (points, 1))

    def at(self, part: Array, gust: Mph) -> Array:
        """Give a force at a gust.

        Args:
            part: any array of this object, shape (.., 2).
            gust: the gust [mph].
        """
        value: Array = part[..., 0] + part[..., 1] * gust**2
        return value


def solve_forces(
    model: Model, direction: str, *, gust: Mph, passed_by: int | None = None, there: Flags | None = None,
    followed: Flags | None = None,
) -> Forces:  # fmt: skip
    """Solve every row with the wind from one side.

    Where a brace counts in one direction only, which braces work is found at the gust given and kept for both parts:
    the forces are those of that gust, and of those above it up to where another set of braces works.

    Args:
        model: the model.
        direction: push or pull.
        gust: at which working braces are found [mph].
        passed_by: a brace nothing follows in the rows that follow the nearest, since it is about to go.
        there: of several walls, which braces are there on each, (walls, n); all count in both directions.
        followed: of them, those that may be followed on each; all that are there unless given.

    Returns:
        The forces.

    Raises:
        AccuracyError: forces and loads do not balance to 1e-6.
    """
    every = _with_each_plate(model, direction, gust=gust, there=there)
    follows = _followed(model, passed_by)
    follows = follows if there is None else follows & (there if followed is None else followed)
    return _in_panels(model, direction, every, follows=follows, there=there)


def _with_each_plate(
    model: Model, direction: str, *, gust: Mph, there: Flags | None = None, known: tuple[Solved, ...] = ()
) -> tuple[Solved, ...]:
    """The braces solved with each plate; a plate with which the same braces work until this gust as they were known."""
    kept, counts = known or (None,) * len(model.compliances), counting(model)
    return tuple(
        last
        if last is not None and gust <= last[2]
        else solved(c, model.give, sign=_sign(direction), gust=gust, counts=counts, there=there)
        for c, last in zip(model.compliances, kept, strict=True)
    )


def _followed(model: Model, passed_by: int | None) -> Flags:
    """Which braces the rows that follow the nearest may follow, (1, n)."""
    push, pull = counting(model)
    return np.atleast_2d((push | pull) & (np.arange(len(push)) != passed_by))


def _in_panels(
    model: Model, direction: str, every: tuple[Solved, ...], *, follows: Flags, there: Flags | None = None
) -> Forces:
    """All forces, the braces being solved with each plate."""
    sign = _sign(direction)
    force, held = (
        np.stack(part, axis=-k) for k, part in zip((5, 3), tuple(zip(*every, strict=True))[:2], strict=True)
    )
    if there is None:
        force, held = force[None], held[None]  # (walls, plates, states, cases, ..)
    inside, back = inside_panels(
        model.meshes, model.compliances, force, sign=sign, alike=ALIKE,
        nearest_of=(np.array(model.studs), follows),
    )  # fmt: skip
    brace = np.concatenate([force[:, :, :ALIKE], each_own(force[:, :, ALIKE:])[:, :, None]], axis=2)
    fine = np.concatenate([held[:, :, :ALIKE], held[:, :, ALIKE:].all(axis=2, keepdims=True)], axis=2)
    forces = Forces(
        model=model, sign=sign, brace=brace.reshape(fine.size, -1, 2), held=fine.ravel(), responses=inside,
        states=States(force.reshape(held.size, -1, 2), back[:, 0], back[:, 1:], held.ravel()),
        until=min(until for _, _, until in every), there=there, by_plate=every,
    )  # fmt: skip
    verify_balance(forces)
    return forces


@frozen(eq=False)
class Rising:
    """Solves one wall over and over at gusts that mostly rise: what no other braces work in is not solved again."""

    _found: dict[tuple[str, int | None, int], list[tuple[Mph, Forces]]] = field(factory=dict, init=False)

    def __call__(self, model: Model, direction: str, *, gust: Mph, passed_by: int | None = None) -> Forces:
        """Give what `solve_forces` gives.

        Args:
            model: the wall, or the same with a brace gone.
            direction: push or pull.
            gust: at which working braces are found [mph].
            passed_by: a brace nothing follows, since it is about to go.
        """
        found = self._found.setdefault((direction, passed_by, len(model.strengths)), [])
        before = next((forces for at, forces in reversed(found) if at <= gust), None)
        if before is not None and gust <= before.until:
            return before
        every = _with_each_plate(model, direction, gust=gust, known=() if before is None else before.by_plate)
        forces = _in_panels(model, direction, every, follows=_followed(model, passed_by))
        found[:] = [*found[-1:], (gust, forces)]
        return forces


def _sign(direction: str) -> float:
    return 1.0 if direction == "push" else -1.0


def counting(model: Model) -> tuple[Flags, Flags]:
    """Give the braces that count in push, and those that count in pull, each (n,).

    Args:
        model: the model.
    """
    push = np.array([s.counts_in_push for s in model.strengths], dtype=bool)
    return push, np.array([s.counts_in_pull for s in model.strengths], dtype=bool)


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


def lost_at_once(before: Forces, after: Forces) -> Forces:
    """Give the forces at the worst of the swing when a brace goes while the wind blows: every one R0 + 2 (R1 - R0).

    Args:
        before: forces with the brace there, passed by.
        after: forces with it gone, at rest.

    Source: UFC4-023-03 dynamic factor 2 of a member lost at once (from memory); STATICS.
    """
    if after.there is None:
        gone = [k for k, mark in enumerate(before.model.marks) if mark not in after.model.marks]
        stayed = np.delete(before.brace, gone, axis=1)
    else:
        stayed = before.brace * np.repeat(after.there, len(before.brace) // after.walls, axis=0)[..., None]
    inside = {
        a.name: lost_in_gust(getattr(before.responses, a.name), getattr(after.responses, a.name))
        for a in Responses.__attrs_attrs__
    }
    return evolve(
        after, brace=lost_in_gust(stayed, after.brace), responses=Responses(**inside),
        held=before.held & after.held, until=min(before.until, after.until),
    )  # fmt: skip


def solved(
    c: Reduced,
    give: Array,
    *,
    sign: float,
    gust: Mph,
    counts: tuple[Flags, Flags],
    there: Flags | None = None,
) -> Solved:
    """Solve the reduced system of one wall, or of several joined, in every state of its springs.

    Args:
        c: the reduced system of one plate.
        give: spring give in every state, a state a row: all stiff, all soft, then each in turn stiff [in/lb].
        sign: 1 in push, -1 in pull.
        gust: at which working braces are found [mph].
        counts: braces that count in push, and in pull.
        there: of several walls, which braces are there on each, (walls, n), all of which count both ways or not at all.

    Returns:
        Brace forces (states, cases, n, 2), held flags (states, cases), of several walls each (walls, ..), and until
        which gust the same braces work.

    Source: STATICS, force method.
    """
    push, pull = counts
    (states, n), cases = give.shape, len(c.under_load) - 1
    under, work = sign * c.under_load.T, sign * c.work.T
    if (push == pull).all():
        active = push if there is None else push & there
        found = solve_in_turn(c.flexibility, c.motions, give, active, under_load=under, work=work)
        return split(found.force), np.repeat(found.held[..., None], cases, axis=-1), math.inf
    force, held = np.zeros((states, cases, n, 2)), np.zeros((states, cases), dtype=bool)
    until = [math.inf]
    force[:1], held[:1], until[0] = _one_way(c, give[:1], counts, loads=(under, work), gust=gust)
    if states > 1 and held[0].all():
        # They work mostly as where all are stiff, so there it is begun.
        force[1:2], held[1:2], soft = _one_way(
            c, give[1:2], counts, loads=(under, work), gust=gust, begun=(force[0] != 0.0).any(axis=-1)
        )
        force[2:], held[2:], turns = _in_turn(c, give, counts, loads=(under, work), gust=gust, soft=force[1])
        until += [soft, turns]
    return force, held, min(until)


def _in_turn(
    c: Reduced,
    give: Array,
    counts: tuple[Flags, Flags],
    *,
    loads: tuple[Array, Array],
    gust: Mph,
    soft: Array,
) -> tuple[Array, Flags, Mph]:
    """Brace forces and held flags with each brace in turn stiff among soft ones, and until which gust they stand.

    The braces that work are nearly always those that work where all are soft: with them all these states cost little,
    and where none is astray they are the ones. The few others are looked for from the start.

    Args:
        c: the panel.
        give: all stiff, all soft, then each in turn, (2 + n, n) [in/lb].
        counts: braces that count in push, and in pull.
        loads: wall movement at the heads (n, 1 + cases), and work along each motion (m, 1 + cases) [in, lb].
        gust: at which working braces are found [mph].
        soft: brace forces where all are soft, (cases, n, 2) [lb].
    """
    under, work = loads
    weights = np.array([[1.0], [gust**2]])
    sets, of_case = np.unique((soft != 0.0).any(axis=-1), axis=0, return_inverse=True)
    every = solve_in_turn(c.flexibility, c.motions, give, sets, under_load=under, work=work)
    states, cases = len(give) - 2, len(soft)
    own = np.repeat([(0, k) for k in range(1, cases + 1)], states, axis=0)[:, None]  # steady, and its gust's

    def each(part: NDArray[Any]) -> NDArray[Any]:
        """Of every case, a case a block of rows, what the braces that work in it give in each state."""
        return part[of_case.ravel(), 2:].reshape(states * cases, *part.shape[2:])

    force, motion = (np.take_along_axis(each(part), own, axis=-1) for part in (every.force, every.motion))
    held, working = each(every.held), each(every.working)
    parts = (c.flexibility, c.motions, np.tile(give[2:], (cases, 1)))
    turns = BraceForces(force, motion, held, working)
    moved = np.repeat(split(under), states, axis=0)
    at_gust = evolve(turns, force=force @ weights, motion=motion @ weights)
    wrong, back = astray(at_gust, parts, moved @ weights, working, *counts)
    held = held & ~(wrong | back).any(axis=-1)
    goes = moved - c.flexibility @ force + c.motions @ motion
    until = _same_until(evolve(turns, held=held), goes, parts[2], counts, gust=gust)
    force, held = (
        np.swapaxes(part.reshape(cases, states, *part.shape[1:]), 0, 1).copy() for part in (force, held)
    )
    others = ~held.all(axis=1)
    if others.any():
        some = _one_way(c, give[2:][others], counts, loads=loads, gust=gust)
        force[others], held[others], until = some[0], some[1], min(until, some[2])
    return force, held, until


def _one_way(
    c: Reduced, give: Array, counts: tuple[Flags, Flags], *, loads: tuple[Array, Array], gust: Mph,
    begun: Flags | None = None,
) -> Solved:  # fmt: skip
    """What `solved` gives, of braces some of which count in one direction only."""
    (push, pull), (under, work) = counts, loads
    (states, n), cases = give.shape, under.shape[1] - 1
    rows = states * cases
    weights = np.array([[1.0], [gust**2]])
    flexibility = np.broadcast_to(c.flexibility, (rows, n, n))
    motions = np.broadcast_to(c.motions, (rows, *c.motions.shape))
    gives = np.repeat(give, cases, axis=0)
    under2, work2 = (np.tile(split(part), (states, 1, 1)) for part in (under, work))
    found = solve_one_way(
        flexibility, motions, gives,
        takes_push=np.broadcast_to(push, (rows, n)), takes_pull=np.broadcast_to(pull, (rows, n)),
        under_load=under2, work=work2, weights=weights, begun=begun,
    )  # fmt: skip
    moved = under2 - flexibility @ found.force + motions @ found.motion
    until = _same_until(found, moved, gives, counts, gust=gust)
    return found.force.reshape(states, cases, n, 2), found.held.reshape(states, cases), until


def _same_until(
    found: BraceForces, moved: Array, give: Array, counts: tuple[Flags, Flags], *, gust: Mph
) -> Mph:
    """The least gust from one on at which a working brace would be driven the wrong way, or one left out worked.

    Both are straight lines in the gust squared. `moved` is where the wall goes at each head, (rows, n, 2) [in].
    """
    push, pull = counts
    way = push.astype(float) - pull.astype(float)  # 0 where it works both ways, or not at all
    within = np.where(found.working[..., None], found.force, -moved) * way[:, None]
    little = ROUNDING * np.abs(found.force).max(axis=1, initial=0.0, keepdims=True)
    within = within + little * np.where(found.working, 1.0, give)[..., None] * (way != 0.0)[:, None]
    spare, rate = within[..., 0], within[..., 1]
    falls = (rate < 0.0) & found.held[:, None]
    turns = np.where(falls, spare / np.where(falls, -rate, 1.0), np.inf).min(initial=np.inf)
    return max(gust, math.sqrt(max(turns, 0.0)))


def each_own(force: Array) -> Array:
    """Give the force of each brace in the state where it is the stiff one.

    Args:
        force: shape (.., n, cases, n, 2) [lb].

    Returns:
        Shape (.., cases, n, 2) [lb].

    Source: STATICS, of each state its own brace.
    """
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


def return_levers(mesh: Mesh) -> Array:
    """Give what each node a return holds is worth, in force and in moment about the plate, shape (k, 2) [-, in].

    Args:
        mesh: the grillage.

    Source: STATICS.
    """
    heights = mesh.z[list(mesh.held)]
    return np.stack([np.ones_like(heights), heights], axis=-1)


def verify_balance(forces: Forces) -> None:
    """Check that braces, returns and plate balance the loads in every state, in force and in moment about the plate.

    Args:
        forces: what was solved.

    Raises:
        AccuracyError: a state that holds its motions is out of balance by more than 1e-6 of its load.
    """
    load, moment = applied(forces)
    mesh, states = forces.model.meshes[0], forces.states
    heads = mesh.levers  # a head within 1/8 in of a header, sill or row takes its height
    braces = np.tensordot(states.brace, np.stack([np.ones_like(heads), heads], axis=-1), axes=(1, 0))
    returns = np.tensordot(states.returns, return_levers(mesh), axes=(1, 0))
    force_error = load - braces[..., 0] - returns[..., 0] - states.plate
    moment_error = moment - braces[..., 1] - returns[..., 1]
    for what, error, size in (("forces", force_error, load), ("moments", moment_error, moment)):
        worst = float(
            np.max(np.where(states.held[:, None], np.abs(error) / np.maximum(np.abs(size), 1e-9), 0.0))
        )
        if not worst <= BALANCE_TOLERANCE:
            raise AccuracyError(what, worst, BALANCE_TOLERANCE)
