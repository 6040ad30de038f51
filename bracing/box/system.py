"""All walls that stand across one wind, solved together: their braces, their loose motions, and the corners both ways.

Walls at right angles to them hold their ends, each as it gives along itself, and two that meet the same wall feel one
another over it. Across and along do not mix: what a wall gives along itself no wind across it takes away. So the system
falls into two, one for each way the walls run.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from itertools import product
from typing import NamedTuple

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.box.deck import CountedDeck, TopNode
from bracing.box.walls import JoinedWall, Node, holds_by
from bracing.chain.evaluate import Chain
from bracing.chain.forces import DIRECTIONS, Forces, States, each_own, inside_panels, return_levers, solved
from bracing.chain.groups import all_groups
from bracing.chain.model import ALIKE, PLATES, SLIPS, Model
from bracing.chain.returns import SOFT_RETURN
from bracing.errors import AccuracyError
from bracing.panel.grillage import Compliance, Reduced
from bracing.panel.reduced import BALANCE_TOLERANCE
from bracing.units import Inch, Mph

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.intp]

CORNERS = ("corners as reckoned", "corners three times softer")
PANELS = tuple((ply, soft) for ply in range(len(PLATES)) for soft in (False, True))


class Case(NamedTuple):
    """One wind on the walls that stand across it: which case of its own each takes.

    Attributes:
        of: by wall, the case of its own.
    """

    of: tuple[int, ...]


@frozen(eq=False)
class JoinedModel(Model):
    """A wall's model whose rows are those of the winds on it and on the walls beside it.

    Attributes:
        winds: case and gap of each of its rows.
    """

    winds: tuple[tuple[str, str], ...] = ()

    @cached_property
    def rows(self) -> tuple[tuple[str, str, str, str], ...]:
        """Case, gap, plate and slip of each row."""
        return self._named(SLIPS)

    def _named(self, slips: tuple[str, ...]) -> tuple[tuple[str, str, str, str], ...]:
        return tuple(
            (case, gap, f"{plate}, {corners}", slip)
            for plate in PLATES
            for corners in CORNERS
            for slip in slips
            for case, gap in self.winds
        )


@frozen(eq=False)
class Axis:
    """The walls that run one way and are joined, however far round.

    Attributes:
        walls: the walls.
        crowded: people are about.
    """

    walls: tuple[JoinedWall, ...]
    crowded: bool = False

    @cached_property
    def starts(self) -> tuple[int, ...]:
        """Where the heads of each wall start among all."""
        sizes = [len(wall.model.meshes[0].heads) for wall in self.walls]
        return tuple(np.concatenate([[0], np.cumsum(sizes)]).astype(int).tolist())

    @cached_property
    def nodes(self) -> tuple[tuple[int, Node | TopNode], ...]:
        """Every place at which a wall leans on another with its place among all heads."""
        return tuple(
            (start + len(wall.job.braces) + k, node)
            for start, wall in zip(self.starts, self.walls, strict=False)
            for k, node in enumerate(wall.places)
        )

    def corners(self, *, soft: bool) -> Array:
        """Give how far each head is moved over corners and decks by a pound at each, shape (n, n) [in/lb].

        Args:
            soft: the corners give three times as far as reckoned; decks as far as they may, where they are stiff else.
        """
        n = self.starts[-1]
        found = np.zeros((n, n))
        for by in dict.fromkeys(lean.by for _, node in self.nodes for lean in node.leans):
            mine = [(at, node, lean) for at, node in self.nodes for lean in node.leans if lean.by == by]
            at, ways = [k for k, *_ in mine], np.array([lean.way * lean.share for *_, lean in mine])
            held = next(held for wall in self.walls for held in wall.held_by(by))
            gives = holds_by(held, tuple(node.z for _, node, _ in mine), soft=soft)
            found[np.ix_(at, at)] += gives * np.outer(ways, ways)
        for k in self.decks if soft else ():
            at, ways, shares = self.over(k)
            found[np.ix_(at, at)] += SOFT_RETURN * self.deck(k).sways(shares) * np.outer(ways, ways)
        return found

    @property
    def decks(self) -> tuple[int, ...]:
        """Which decks of the job hold these walls."""
        return tuple(dict.fromkeys(node.deck for _, node in self.nodes if isinstance(node, TopNode)))

    def deck(self, k: int) -> CountedDeck:
        """Give a deck as the first of these walls finds it.

        Args:
            k: which of the job.
        """
        return next(deck for wall in self.walls for deck in wall.decks if deck.k == k)

    def over(self, k: int) -> tuple[list[int], Array, Array]:
        """Give the places a deck holds: which head, which way its wall's push moves it, what of it goes to one side.

        Args:
            k: which deck of the job.
        """
        on = [(at, node) for at, node in self.nodes if isinstance(node, TopNode) and node.deck == k]
        side = on[0][1].leans[0].by
        leans = [next(lean for lean in node.leans if lean.by == side) for _, node in on]
        return (
            [at for at, _ in on],
            np.array([lean.way for lean in leans]),
            np.array([lean.share for lean in leans]),
        )

    def give(self, *, soft: bool) -> Array:
        """Give the spring give of every head: all stiff, all soft, then each in turn, (2 + n, n) [in/lb].

        Args:
            soft: the corners' fasteners give three times as far as published.
        """
        times = SOFT_RETURN if soft else 1.0
        both = [
            pair
            for wall in self.walls
            for pair in (
                *(s.give for s in wall.model.strengths),
                *((slip * times,) * 2 for slip in wall.slips),
            )
        ]
        stiff, slack = np.array(both).reshape(-1, 2).T
        return np.vstack([stiff, slack, np.where(np.eye(len(stiff), dtype=bool), stiff, slack)])

    @cached_property
    def counts(self) -> tuple[Flags, Flags]:
        """Heads that count in push, and in pull."""
        push, pull = (
            [
                counts
                for wall in self.walls
                for counts in (
                    *(getattr(s, name) for s in wall.model.strengths),
                    *(True for _ in wall.places),
                )
            ]
            for name in ("counts_in_push", "counts_in_pull")
        )
        return np.array(push, dtype=bool), np.array(pull, dtype=bool)

    @property
    def two_way(self) -> bool:
        """Whether every brace counts both ways."""
        push, pull = self.counts
        return bool((push == pull).all())

    def compliance(self, wall: JoinedWall, ply: int, *, soft: bool) -> Compliance:
        """Give a panel of a wall.

        Args:
            wall: the wall.
            ply: 0 with both plies of its top plate, 1 with one.
            soft: returns of its own that hold its ends, where it has any, give three times as far.
        """
        model = wall.model
        return (model.crowded_compliances if self.crowded else model.compliances)[
            panel_at(model, ply, soft=soft)
        ]

    def reduced(self, ply: int, cases: tuple[Case, ...], ways: Array, *, soft: bool) -> Reduced:
        """Put the walls together under some winds.

        Args:
            ply: 0 with both plies of every top plate, 1 with one.
            cases: the winds.
            ways: of each wall, 1 where they push it toward its braces, -1 where they pull it away.
            soft: the corners give three times as far as reckoned.
        """
        every = [self.compliance(wall, ply, soft=soft) for wall in self.walls]
        n, m = self.starts[-1], sum(c.motions.shape[1] for c in every)
        flexibility, motions = self.corners(soft=soft), np.zeros((n, m))
        under, work, column = np.zeros((1 + len(cases), n)), np.zeros((1 + len(cases), m)), 0
        for k, (c, start, end) in enumerate(zip(every, self.starts, self.starts[1:], strict=False)):
            to = column + c.motions.shape[1]
            rows = [0, *(1 + case.of[k] for case in cases)]
            flexibility[start:end, start:end] += c.flexibility
            motions[start:end, column:to] = c.motions
            under[:, start:end] = ways[k] * c.under_load[rows]
            work[:, column:to] = ways[k] * c.work[rows]
            column = to
        return Reduced(flexibility, motions, under, work)

    def ways(self, k: int) -> Array:
        """Which way every wall is pressed when one is pushed toward its braces.

        Args:
            k: that one.
        """
        toward = [np.array(wall.placed.to_braces) for wall in self.walls]
        return np.array([float(each @ toward[k]) for each in toward])

    def winds(self, k: int) -> tuple[Case, ...]:
        """Winds a wall is asked under: each case of its own with each of the walls next to it over one wall between.

        A wall farther off takes the case of the same name as this one. The gap under all is the same.

        Args:
            k: which wall.
        """
        fields = [wall.model.cases.fields for wall in self.walls]
        mine = self.walls[k].leans_on
        found: list[Case] = []
        for own, pressure in enumerate(fields[k]):
            choices = []
            for j, other in enumerate(fields):
                same = [i for i, f in enumerate(other) if f.gap == pressure.gap] or list(range(len(other)))
                if j == k:
                    choices.append([own])
                elif self.walls[j].leans_on & mine:
                    choices.append(same)
                else:
                    choices.append([next((i for i in same if other[i].case == pressure.case), same[0])])
            found += [Case(tuple(each)) for each in product(*choices)]
        return tuple(found)


@frozen(eq=False)
class Solved:
    """One wall of an axis, pushed or pulled, under every wind it is asked under.

    Attributes:
        forces: its own, as any wall's. What its corners give it stands last among the returns.
        along: by wall that holds it, what presses that one along itself, by the middle and the top of the end studs, in
            the sense of this wall's push, (rows, 2, 2) [lb].
        decks: by deck of the job, what it takes of all walls under it.
    """

    forces: Forces
    along: Mapping[str, Array] = field(repr=False)
    decks: Mapping[int, DeckForces] = field(factory=dict, repr=False)


@frozen(eq=False)
class DeckForces:
    """What a deck takes of the walls across the wind, in the rows of one of them.

    Attributes:
        gives: by wall along the wind, what the deck presses it along itself with, as `Solved.along`, (rows, 2) [lb].
        bends: moment of the deck at each place it holds the wall whose rows these are, (rows, places, 2) [lb in].
    """

    gives: Mapping[str, Array]
    bends: Array


def solve_wall(axis: Axis, k: int, direction: str, *, gust: Mph) -> Solved:
    """Solve one wall with all it is joined to, the wind from one side.

    Args:
        axis: the walls.
        k: which.
        direction: push or pull, of that wall.
        gust: at which working braces are found [mph].

    Raises:
        AccuracyError: forces and loads do not balance to 1e-6.
    """
    wall, cases, model = axis.walls[k], axis.winds(k), axis.walls[k].model
    sign = 1.0 if direction == DIRECTIONS[0] else -1.0
    ways = sign * axis.ways(k)
    heads = np.arange(axis.starts[k], axis.starts[k + 1])
    braces = len(wall.job.braces)
    found = [
        solved(
            axis.reduced(ply, cases, ways, soft=soft),
            axis.give(soft=soft),
            sign=1.0,
            gust=gust,
            counts=axis.counts,
        )
        for ply, soft in PANELS
    ]
    every, held = (np.stack(part) for part in tuple(zip(*found, strict=True))[:2])
    states = [*range(ALIKE), *(ALIKE + heads)]
    force, held = every[:, states][..., heads, :], held[:, states]
    rows = [0, *(1 + case.of[k] for case in cases)]
    own = [axis.compliance(wall, ply, soft=soft).under(rows) for ply, soft in PANELS]
    counting = np.logical_or(*axis.counts)[heads] & (np.arange(len(heads)) < braces)
    places = np.array([*model.studs, *(node.x for node in wall.places)])
    inside, back = inside_panels(
        [model.meshes[panel_at(model, ply, soft=soft)] for ply, soft in PANELS], own, force[None], sign=sign,
        alike=ALIKE, nearest_of=(places, counting[None]),
    )  # fmt: skip
    nodes = [_of_rows(every, axis, k, node, node.x) for node in wall.places]
    more = np.stack([-node for node in nodes], axis=1) if nodes else np.zeros((len(inside.base), 0, 2))
    brace = np.concatenate([force[:, :ALIKE], each_own(force[:, ALIKE:])[:, None]], axis=1)[..., :braces, :]
    fine = np.concatenate([held[:, :ALIKE], held[:, ALIKE:].all(axis=1, keepdims=True)], axis=1)
    forces = Forces(
        model=_joined_model(axis, k, cases), sign=sign, brace=brace.reshape(fine.size, braces, 2), held=fine.ravel(),
        responses=evolve(inside, returns=np.concatenate([inside.returns, more], axis=1)),
        states=States(force.reshape(held.size, len(heads), 2), back[:, 0], back[:, 1:], held.ravel()),
        until=min(until for *_, until in found),
    )  # fmt: skip
    _refuse_unbalanced(axis, k, forces, cases)
    along = {by: _along(every, axis, k, by) for by in dict.fromkeys(node.by for node in wall.nodes)}
    return Solved(forces, along, {deck.k: _of_deck(every, axis, k, deck.k) for deck in wall.decks})


def panel_at(model: Model, ply: int, *, soft: bool) -> int:
    """Give which mesh of a wall it is; one without returns of its own has none that are soft.

    Args:
        model: the wall.
        ply: 0 with both plies of its top plate, 1 with one.
        soft: its returns give three times as far.
    """
    return ply if len(model.meshes) == len(PLATES) else 2 * ply + int(soft)


def _of_rows(every: Array, axis: Axis, k: int, node: Node | TopNode, near: Inch) -> Array:
    """Force of one node against push of its wall, in the rows of wall k's chain at a place: (rows, 2).

    All stiff, all soft, and of that wall the brace nearest to the place stiff among soft.
    """
    wall = axis.walls[k]
    counts = [s.counts_in_push or s.counts_in_pull for s in wall.model.strengths]
    order = sorted(range(len(counts)), key=lambda i: (not counts[i], abs(wall.model.studs[i] - near)))
    states = [*range(ALIKE), ALIKE + axis.starts[k] + (order[0] if order else 0)]
    at = next(place for place, one in axis.nodes if one is node)
    return every[:, states][..., at, :].reshape(-1, 2)


def _along(every: Array, axis: Axis, k: int, by: str) -> Array:
    """What all walls that lean on one press it along itself with, in the sense of wall k's push, (rows, 2, 2).

    By the middle of their end studs, and by the top.
    """
    mine = next(node for node in axis.walls[k].nodes if node.by == by)
    leaning = [(node, lean) for _, node in axis.nodes for lean in node.leans if lean.by == by]
    parts = [
        lean.share * lean.way * mine.way * _of_rows(every, axis, k, node, mine.x) for node, lean in leaning
    ]
    levels: list[Array] = [
        np.sum([part for part, (node, _) in zip(parts, leaning, strict=True) if node.top is top], axis=0)
        for top in (False, True)
    ]
    return np.stack(levels, axis=1)


def _of_deck(every: Array, axis: Axis, k: int, deck: int) -> DeckForces:
    """What one deck takes of all walls under it, in the rows of wall k."""
    at, ways, shares = axis.over(deck)
    wall, one = axis.walls[k], next(each for each in axis.walls[k].decks if each.k == deck)
    nodes = {place: node for place, node in axis.nodes}
    own = [node for node in wall.tops if node.deck == deck]
    middle = own[len(own) // 2].x
    taken = np.stack([_of_rows(every, axis, k, nodes[place], middle) for place in at])  # (n, rows, 2)
    mine = [i for i, place in enumerate(at) if any(nodes[place] is node for node in own)]
    gives = {}
    for by in dict.fromkeys(lean.by for lean in own[0].leans):
        sense = next(lean.way for lean in own[0].leans if lean.by == by)
        of = np.array([next(x.way * x.share for x in nodes[place].leans if x.by == by) for place in at])
        gives[by] = np.einsum("n,nrq->rq", sense * of, taken)
    moments = np.einsum("ij,j,jrq->riq", one.bends(shares)[mine], ways, taken)
    return DeckForces(gives, moments)


def _joined_model(axis: Axis, k: int, cases: tuple[Case, ...]) -> JoinedModel:
    model = axis.walls[k].model.crowded if axis.crowded else axis.walls[k].model
    fields = model.cases.fields
    winds = tuple((_named(axis, k, case), fields[case.of[k]].gap) for case in cases)
    parts = {a.name: getattr(model, a.name) for a in Model.__attrs_attrs__}
    braces = range(len(model.strengths))
    parts |= {
        "meshes": tuple(
            mesh.keeping(braces) for mesh in model.meshes
        ),  # what is read of heads is read of braces
        "held": (*model.held, *axis.walls[k].held),
    }
    return JoinedModel(**parts, winds=winds)


def _named(axis: Axis, k: int, case: Case) -> str:
    """The wall's own case, and those of the walls it is joined to."""
    names = [wall.model.cases.fields[i].case for wall, i in zip(axis.walls, case.of, strict=True)]
    beside = ", ".join(f"{names[j]} on {wall.file}" for j, wall in enumerate(axis.walls) if j != k)
    return f"{names[k]} with {beside}" if beside else names[k]


def _refuse_unbalanced(axis: Axis, k: int, forces: Forces, cases: tuple[Case, ...]) -> None:
    """Hold braces, corners and plate to the loads on a wall, in force and in moment about the plate."""
    wall = axis.walls[k]
    model = wall.model.crowded if axis.crowded else wall.model
    mesh, loads = model.meshes[0], model.cases.together()
    rows = [1 + case.of[k] for case in cases]
    states = forces.states
    repeat = len(states.held) // len(cases)
    for what, each, arms in (
        ("forces", loads.total(mesh), np.ones(len(mesh.heads))),
        ("moments", loads.moment(mesh), mesh.levers),
    ):
        load = forces.sign * np.stack([np.broadcast_to(each[0], len(rows)), each[rows]], axis=-1)
        load = np.concatenate([load] * repeat)
        taken = np.einsum("shp,h->sp", states.brace, arms)
        taken += np.einsum("shp,h->sp", states.returns, return_levers(mesh)[:, int(what == "moments")])
        left = load - taken - (states.plate if what == "forces" else 0.0)
        worst = float(
            np.max(np.where(states.held[:, None], np.abs(left) / np.maximum(np.abs(load), 1e-9), 0.0))
        )
        if not worst <= BALANCE_TOLERANCE:
            raise AccuracyError(what, worst, BALANCE_TOLERANCE)


def chain_of(axis: Axis, k: int, gust: Mph) -> tuple[Chain, tuple[Solved, Solved]]:
    """Give the chain of one wall with all it is joined to, and what was solved.

    Args:
        axis: the walls.
        k: which.
        gust: at which working braces are found [mph].
    """
    push, pull = (solve_wall(axis, k, direction, gust=gust) for direction in DIRECTIONS)
    groups = all_groups(push.forces, pull.forces)
    if not axis.two_way:
        groups = tuple(evolve(group, since=gust**2) for group in groups)
    return ((push.forces, pull.forces), groups), (push, pull)
