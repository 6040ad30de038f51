"""The few equations brace forces come from, of one state of a wall: small enough to be solved by hand."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS, Forces, counting, nearest
from bracing.chain.links import At, Link
from bracing.chain.model import ALIKE, SLIPS, Model
from bracing.units import Mph

Array = NDArray[np.float64]


class State(NamedTuple):
    """One state of a wall, each by its number: what holds it up, and the wind.

    Attributes:
        plates: of `Model.plates`.
        slip: of `Model.give`.
        case: of the load cases.
    """

    plates: int
    slip: int
    case: int

    def row(self, model: Model) -> int:
        """Give its place among `Model.states`.

        Args:
            model: the model.
        """
        return (self.plates * len(model.give) + self.slip) * len(model.cases.fields) + self.case


@frozen(eq=False)
class ByHand:
    """The equations of one state: (F + 1/k) R - Z a = w, Z' R = L, for the braces that work in it.

    Attributes:
        state: which it is.
        at: the case, and what holds the wall up in it.
        slip: how far the fasteners of each brace give.
        stiff: mark of the brace alone at the published slip, or None.
        direction: push or pull.
        marks: of the braces, n.
        working: whether each works in this state, (n,).
        flexibility: F, movement of each head for a pound at each, (n, n) [in/lb].
        give: 1/k, what each brace itself gives, (n,) [in/lb].
        motions: Z, movement of each head in each motion that bends nothing, (n, m) [-].
        moved: w, movement of each head under the loads alone, steady and per mph squared, (n, 2) [in].
        work: L, of the loads along each motion, steady and per mph squared, (m, 2) [lb].
        force: R, of each brace as it was solved, steady and per mph squared, (n, 2) [lb].
    """

    state: State
    at: At
    slip: str
    stiff: str | None
    direction: str
    marks: tuple[str, ...]
    working: tuple[bool, ...]
    flexibility: Array = field(repr=False)
    give: Array = field(repr=False)
    motions: Array = field(repr=False)
    moved: Array = field(repr=False)
    work: Array = field(repr=False)
    force: Array = field(repr=False)

    def force_at(self, gust: Mph) -> Array:
        """Give the force of each brace at a gust, (n,) [lb].

        Args:
            gust: the gust [mph].

        Source: STATICS, brace forces are straight lines in the gust squared.
        """
        forces: Array = self.force[:, 0] + self.force[:, 1] * gust**2
        return forces


def state_of(model: Model, link: Link, at: At) -> State:
    """Find the state a row is of: one that follows the nearest brace is that brace's own at the link's place.

    Args:
        model: the model.
        link: the link.
        at: which row of the frame asks it.
    """
    slip = SLIPS.index(at.slip) if at.slip else 0
    if slip == ALIKE:
        slip += _followed(model, link)
    cases = [(each.case, each.gap) for each in model.cases.fields]
    return State(model.plates.index(at.plates) if at.plates else 0, slip, cases.index((at.case, at.gap)))


def _followed(model: Model, link: Link) -> int:
    """Which brace a link follows: its own, or that nearest to its place."""
    if link.mark in model.marks:
        return model.marks.index(link.mark)
    push, pull = counting(model)
    return int(nearest(np.array([link.x or 0.0]), np.array(model.studs), push | pull)[0])


def by_hand(forces: tuple[Forces, Forces], link: Link, at: At) -> ByHand | None:
    """Give the equations of the state in which a link governs; None where braces have no part in it, or hold nothing.

    Args:
        forces: push and pull, as solved.
        link: the link.
        at: which row of the frame asks it.

    Source: STATICS, force method.
    """
    if not at.slip or link.direction not in DIRECTIONS:
        return None
    found = forces[DIRECTIONS.index(link.direction)]
    return equations_of(found, state_of(found.model, link, at)) if found.held.all() else None


def equations_of(found: Forces, state: State) -> ByHand:
    """Give the equations of a state.

    Args:
        found: forces with the wind from one side, every motion held.
        state: the state.

    Source: STATICS, force method.
    """
    model, row = found.model, state.row(found.model)
    case, gap, plates, slip = model.states[row]
    panel, n, force = model.compliances[state.plates], len(model.marks), found.states.brace[row]
    columns, stiff = [0, state.case + 1], state.slip - ALIKE
    return ByHand(
        state=state, at=At(case, gap, plates, slip), slip=slip, stiff=model.marks[stiff] if stiff >= 0 else None,
        direction=found.direction, marks=model.marks, working=tuple((force != 0.0).any(axis=1).tolist()),
        flexibility=panel.flexibility[:n, :n], give=model.give[state.slip], motions=panel.motions[:n],
        moved=found.sign * panel.under_load[columns, :n].T, work=found.sign * panel.work[columns].T, force=force,
    )  # fmt: skip
