"""What a link is asked, summed from the loads and the brace forces: each force in the panel is a straight line in both.

The panel's own forces are what the loads give with its motions held, and what a pound at each head gives. So whoever
has the brace forces of a state sums the rest on a calculator. The shares are not worked out a second way: the chain's
own links are asked again with a pound at one head.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.by_hand import State, state_of
from bracing.chain.foot import along_brace
from bracing.chain.forces import DIRECTIONS, Forces, counting, inside_panels
from bracing.chain.groups import all_groups, that_push, tied_braces
from bracing.chain.link_sums import RowDemand
from bracing.chain.links import PARTED, Group, Link, LinkId, force_at, moment_at
from bracing.chain.model import ALIKE, SLIPS, Model
from bracing.chain.plate import line_at, spread_lift
from bracing.panel.grillage import Responses
from bracing.sums import Known, Sum, parts, printed
from bracing.units import Mph

Array = NDArray[np.float64]

TIES = (LinkId.TIE_ROW, LinkId.DIAGONAL, LinkId.DIAGONAL_NAILS)
SAME = 1e-9  # of the greatest piece: a sum that comes out so near is the chain's own number
NOTHING = 1e-12  # of the greatest: a share this small is none


@frozen(eq=False)
class Share:
    """What a pound of each brace adds, of the braces of one state.

    Attributes:
        direction: the side the wind of the state comes from, "push" or "pull".
        state: the state.
        per_pound: of each brace, (n,) [-, in, 1/in].
    """

    direction: str
    state: State
    per_pound: Array = field(repr=False)


@frozen(eq=False)
class Line:
    """One force or moment of a link: loads + shares x brace forces.

    Attributes:
        words: what it is.
        unit: of it.
        loads: what the loads give with the motions held, steady and per mph squared, (2,).
        shares: what the braces of each state add.
        total: what both come to, steady and per mph squared, (2,).
    """

    words: str
    unit: str
    loads: Array = field(repr=False)
    shares: tuple[Share, ...]
    total: Array = field(repr=False)


@frozen(eq=False)
class _Probe:
    """The chain's links under the loads alone, then with a pound at one head after another.

    Attributes:
        direction: the side the wind comes from.
        groups: the links; each demand has `many` rows for every row of a point.
        many: rows: the loads alone, then one for each brace of each state.
        states: the states, of each of which every brace has a row.
        signs: of the pound of each brace, (n,).
    """

    direction: str
    groups: tuple[Group, ...]
    many: int
    states: tuple[State, ...]
    signs: Array = field(repr=False)


@frozen(eq=False)
class Summing:
    """Sums links of a wall from its loads and brace forces; what it asked the panel once it keeps.

    Attributes:
        forces: push and pull, as solved.
        asked: what the panel was asked, by direction, plates, slip and case.
    """

    forces: tuple[Forces, Forces]
    asked: dict[tuple[str, State], _Probe] = field(factory=dict, repr=False)

    def lines(self, group: Group, link: Link, row: RowDemand) -> tuple[Line, ...]:
        """Give what a link is asked in one row, force by force; nothing where braces have no part in it.

        Args:
            group: the links it is one of.
            link: the link.
            row: which row of the frame asks it, and its sums.

        Source: STATICS, what is asked is a straight line in the brace forces.
        """
        if not row.at.slip or link.direction not in DIRECTIONS:
            return ()
        found = self.forces[DIRECTIONS.index(link.direction)]
        if not found.held.all():
            return ()
        mixed = SLIPS.index(row.at.slip) == ALIKE
        state = state_of(found.model, link, row.at)
        key = state._replace(slip=ALIKE) if mixed else state
        if (link.direction, key) not in self.asked:
            self.asked[link.direction, key] = _probe(found, key, mixed=mixed)
        probe = self.asked[link.direction, key]
        every = _tie_lines(group, row, found, probe) if group.link in TIES else _lines(group, row, probe)
        return tuple(_told(row, list(every), found))


def _probe(found: Forces, key: State, *, mixed: bool) -> _Probe:
    """Ask every link under the loads alone and with a pound of each brace of each state the rows are read in."""
    model = found.model
    n, alike = len(model.marks), 0 if mixed else 1
    cases, push, pull = len(model.cases.fields), *counting(model)
    states = tuple(key._replace(slip=ALIKE + k) for k in range(n)) if mixed else (key,)
    own = [state.row(model) for state in states]
    rate = found.states.brace[own, range(n), 1] if mixed else found.states.brace[own[0], :, 1]
    signs = np.where(rate < 0.0, -1.0, 1.0)
    whole_cases = -(-(1 + len(states) * n) // cases) * cases  # some links take their rows case by case
    rows, brace = [], np.zeros((whole_cases, n, 2))
    for at in range(len(brace)):
        force = np.zeros((1, alike + n, cases, n, 2))
        which, k = divmod(at - 1, n)
        if 0 < at <= len(states) * n:
            force[0, which, key.case, k] = signs[k]
            brace[at, k] = signs[k] if not mixed or which == k else 0.0
        inside, _ = inside_panels(
            model.meshes[key.plates : key.plates + 1], model.compliances[key.plates : key.plates + 1], force[None],
            sign=found.sign, alike=alike, nearest_of=(np.array(model.studs), (push | pull)[None]),
        )  # fmt: skip
        rows.append(inside.part(slice(key.case, key.case + 1)))
    whole = {
        a.name: np.concatenate([getattr(row, a.name) for row in rows]) for a in Responses.__attrs_attrs__
    }
    asked = evolve(found, brace=brace, responses=Responses(**whole), turned=False)
    groups = all_groups(asked, asked)
    return _Probe(found.direction, groups, len(rows), states, signs)


def _lines(group: Group, row: RowDemand, probe: _Probe) -> Iterator[tuple[Array, tuple[Share, ...]]]:
    """Loads and shares of each force the row asks of the item."""
    like = (group.link, group.marks, group.places)
    ways = [each for each in probe.groups if (each.link, each.marks, each.places) == like]
    other = next((each for each in ways if each.directions[0] == group.directions[0]), None)
    if other is None:
        return
    point, n = row.row // len(group.rows.named), len(probe.signs)
    rows = slice(point * probe.many, (point + 1) * probe.many)
    asked = [other.level] if other.level is not None else [other.demand, other.tension]
    for part in asked:
        if part is None:
            continue
        of_item = part[rows, row.item]  # (rows, 2), or (rows, parts, 2)
        each = (of_item[:, None] if part.ndim < PARTED else of_item)[: 1 + len(probe.states) * n]
        for k in range(each.shape[1]):
            more = each[1:, k, 0] - each[0, k, 0]
            per = more.reshape(len(probe.states), -1) * probe.signs
            least = NOTHING * np.abs(per).max(initial=0.0)
            yield (
                each[0, k],
                tuple(
                    Share(probe.direction, state, np.where(np.abs(pounds) > least, pounds, 0.0))
                    for state, pounds in zip(probe.states, per, strict=True)
                    if np.abs(pounds).max(initial=0.0) > least
                ),
            )
    if group.allowance is not None:
        yield group.allowance[row.row, min(row.item, group.allowance.shape[1] - 1)], ()


def _tie_lines(
    group: Group, row: RowDemand, found: Forces, probe: _Probe
) -> Iterator[tuple[Array, tuple[Share, ...]]]:
    """What the tied braces that push ask of a tie row: each so much of its thrust."""
    model, tied = found.model, tied_braces(found.model)
    along = np.array([along_brace(model.job.braces[k].angle) for k in tied])
    point, k = divmod(row.row, len(group.rows.named))
    thrusts = found.brace[k : k + 1, tied] * along[:, None]
    pushing = that_push(thrusts)[0, point]
    all_of_them = float((thrusts[0, :, 1] * pushing).sum())
    if not all_of_them:
        return
    part = float(group.demand[row.row, row.item, 1]) / all_of_them
    per = np.zeros((len(probe.states), len(model.marks)))
    for which, brace in enumerate(tied):
        per[brace if len(probe.states) > 1 else 0, brace] = part * along[which] * pushing[which]
    yield (
        np.zeros(2),
        tuple(
            Share(probe.direction, state, pounds)
            for state, pounds in zip(probe.states, per, strict=True)
            if pounds.any()
        ),
    )


def _told(row: RowDemand, every: list[tuple[Array, tuple[Share, ...]]], found: Forces) -> Iterator[Line]:
    """Of all that is asked of an item what its sums begin with, in their words; each once."""
    totals = [(loads, shares, _total(loads, shares, found)) for loads, shares in every]
    seen = set[str]()
    for made in parts(*(each for each in row.made if isinstance(each, Sum))):
        if made.of not in (force_at, moment_at, line_at, spread_lift):
            continue
        if made.of is spread_lift:
            words, right = printed(spread_lift).words, None
        else:
            steady = made.arguments["steady"]
            words = steady.words if isinstance(steady, Known) else ""
            right = np.array([steady, made.arguments["rate"]], dtype=float)
        found_one = _same(totals, right, float(made), row.gust)
        if found_one is not None and words not in seen:
            seen.add(words)
            loads, shares, total = found_one
            yield Line(words, printed(made.of).unit, loads, shares, total)


def _same(
    totals: list[tuple[Array, tuple[Share, ...], Array]], right: Array | None, value: float, gust: Mph
) -> tuple[Array, tuple[Share, ...], Array] | None:
    """Which of some lines is a sum's own, turned where the sum is: by its steady part and rate, or by its value."""
    for loads, shares, total in totals:
        size = float(np.abs(loads).max(initial=0.0) + np.abs(total).max(initial=0.0))
        for sign in (1.0, -1.0):
            if right is not None:
                near = bool(np.abs(sign * total - right).max() <= SAME * size)
            else:
                at = sign * float(total[0] + total[1] * gust**2)
                near = math.isclose(at, value, rel_tol=SAME)
            if near and (shares or np.any(total)):
                turned = tuple(evolve(share, per_pound=sign * share.per_pound) for share in shares)
                return sign * loads, turned, sign * total
    return None


def _total(loads: Array, shares: tuple[Share, ...], found: Forces) -> Array:
    """What loads and braces come to, steady and per mph squared."""
    model: Model = found.model
    braces = (share.per_pound @ found.states.brace[share.state.row(model)] for share in shares)
    return loads + sum(braces, np.zeros(2))
