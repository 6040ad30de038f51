"""The few equations brace forces come from, of one state of a wall: small enough to be solved by hand."""

from __future__ import annotations

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS, Forces
from bracing.chain.links import At, Link
from bracing.chain.model import ALIKE, SLIPS, Model
from bracing.choosing import first_least
from bracing.units import Inch, Mph

Array = NDArray[np.float64]


@frozen(eq=False)
class ByHand:
    """The equations of one state: (F + 1/k) R - Z a = w, Z' R = L, for the braces that work in it.

    Attributes:
        at: the case, and what holds the wall up in it.
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

    at: At
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
    model = found.model
    if not found.held.all():
        return None
    stiff = _stiff(model, link, at)
    slips = SLIPS[:ALIKE].index(at.slip) if stiff is None else ALIKE + stiff
    cases = [(each.case, each.gap) for each in model.cases.fields]
    plate, case = model.plates.index(at.plates), cases.index((at.case, at.gap))
    row = (plate * len(model.give) + slips) * len(cases) + case
    panel, n = model.compliances[plate], len(model.marks)
    columns = [0, case + 1]
    return ByHand(
        at=at, stiff=None if stiff is None else model.marks[stiff], direction=link.direction, marks=tuple(model.marks),
        working=tuple((found.states.brace[row] != 0.0).any(axis=1).tolist()),
        flexibility=panel.flexibility[:n, :n], give=model.give[slips], motions=panel.motions[:n],
        moved=found.sign * panel.under_load[columns, :n].T, work=found.sign * panel.work[columns].T,
        force=found.states.brace[row],
    )  # fmt: skip


def _stiff(model: Model, link: Link, at: At) -> int | None:
    """Which brace is the stiff one among slack ones; None where all are alike."""
    if at.slip in SLIPS[:ALIKE]:
        return None
    if link.mark in model.marks:
        return model.marks.index(link.mark)
    place: Inch = link.x or 0.0
    counts = [k for k, each in enumerate(model.strengths) if each.counts_in_push or each.counts_in_pull]
    order = sorted(counts, key=lambda k: model.studs[k])
    return order[first_least([abs(model.studs[k] - place) for k in order])]
