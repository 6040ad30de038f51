"""The links a deck brings to the walls under it: its fasteners into their tops, its shear, its chords."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bracing.box.both import NAMES, SHARES, AsVectors, most, shared
from bracing.box.deck import CountedDeck, alone_on, line_of
from bracing.box.system import Solved
from bracing.box.walls import JoinedWall
from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import Group, LinkId, OneOf, Rows, one_of
from bracing.said import Kind, Quantity, Said

Array = NDArray[np.float64]
Leaning = tuple[tuple[JoinedWall, tuple[Solved, Solved]], ...]


def _alone(deck: CountedDeck, across: JoinedWall) -> Array:
    """What a deck itself gives to one of two walls, with the wind across a wall under it, (2,) [lb]."""
    return alone_on(deck, across.model.cases.pressures, across.job.site.lean)


def along_with_decks(wall: JoinedWall, across: JoinedWall) -> Array:
    """Give what decks themselves press a wall along itself with, at the middle and the top, (2, 2) [lb].

    Args:
        wall: the wall along the wind.
        across: one that leans on it.
    """
    mine = {deck.k for deck in wall.decks}
    tops = [_alone(deck, across) for deck in across.decks if deck.k in mine]
    return np.array([np.zeros(2), np.sum(tops, axis=0) if tops else np.zeros(2)])


def decks_across(wall: JoinedWall, solved: tuple[Solved, Solved], leaning: Leaning) -> Iterator[Group]:
    """Give the links of decks over a wall the wind blows across: its tops, both ways, and its top plates as chord.

    Args:
        wall: the wall.
        solved: of it, in push and in pull.
        leaning: the walls that lean on it, with what was solved of them: its tops give the deck's shear to it too.
    """
    basis = wall.model.basis
    for deck in wall.decks:
        at = [k for k, top in enumerate(wall.tops) if top.deck == deck.k]
        tops = [wall.tops[k] for k in at]
        places = tuple(top.x for top in tops)
        returns = [one.forces.responses.returns[:, len(wall.tops) * -1 :][:, at] for one in solved]
        own = np.stack([most(np.concatenate([each[:, i] for each in returns])) for i in range(len(at))])
        along = _given(wall, deck, leaning)
        parts = np.array([top.part for top in tops])[:, None] * along
        each = Quantity(float(deck.top.lateral), Kind.EACH)
        yield Group(
            link=LinkId.DECK_TOPS, directions=DIRECTIONS, marks=(None,) * len(at), places=places, unit="lb",
            capacity=float(deck.top.lateral) * np.array([top.count for top in tops]),
            demand=np.array([shared(own, a) for a, _ in SHARES]),
            tension=np.array([shared(parts, b) for _, b in SHARES]),
            use=AsVectors(), rows=Rows(NAMES), source=basis.clauses.across, known=deck.top.lateral_known,
            why=(Said("deck-tops", count=deck.tops, what=deck.top.name, each=each),) * len(at),
        )  # fmt: skip
        lap = basis.acting.all_of(deck.lap.lateral, float(deck.made.lap_count), 1.0)
        alone = _alone(deck, wall)
        for one, direction in zip(solved, DIRECTIONS, strict=True):
            yield Group(
                link=LinkId.DECK_CHORD, directions=(direction,), marks=(None,) * len(at), places=places, unit="lb",
                capacity=np.full(len(at), float(lap)), made=one_of(len(at), lap),
                demand=line_of(one.decks[deck.k].bends, deck, alone), rows=one.forces.rows(),
                source=basis.clauses.across, known=deck.lap.lateral_known,
                why=(Said("deck-chord", count=deck.made.lap_count, what=deck.lap.name),) * len(at),
            )  # fmt: skip


def _given(wall: JoinedWall, deck: CountedDeck, leaning: Leaning) -> Array:
    """The most a deck gives to a wall along itself, by all its fasteners, (2,) [lb]."""
    found = [np.zeros((1, 2))]
    for other, solved in leaning:
        for over in other.decks:  # the same deck, as long as the wall the wind blows across
            if over.k == deck.k:
                found += [
                    one.decks[over.k].gives[wall.file] + one.forces.sign * _alone(over, other)
                    for one in solved
                ]
    return most(np.concatenate(found))


def decks_along(wall: JoinedWall, leaning: Leaning) -> Iterator[Group]:
    """Give the shear of decks beside a wall they give it to.

    Args:
        wall: the wall.
        leaning: the walls that lean on it, with what was solved of them.
    """
    mine = {deck.k for deck in wall.decks}
    for other, solved in leaning:
        for deck in other.decks:
            if deck.k not in mine:
                continue
            made = deck.panels.strength(deck.depth)
            why = Said("deck-shear", deep=Quantity(deck.depth, Kind.TAPE))
            for one, direction in zip(solved, DIRECTIONS, strict=True):
                demand = one.decks[deck.k].gives[wall.file] + one.forces.sign * _alone(deck, other)
                yield Group(
                    link=LinkId.DECK_SHEAR, directions=(direction,), marks=(None,), places=(None,), unit="lb",
                    capacity=np.array([float(made)]), made=OneOf((made,)), demand=demand[:, None],
                    rows=one.forces.rows(), source=deck.panels.source, known=deck.panels.known, why=(why,),
                )  # fmt: skip
