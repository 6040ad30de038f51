"""What a corner brings to the wall that holds another: along itself, and on the fasteners the wind both ways shares.

Wind across a wall and wind along it never have their worst at once: all of one with half of the other, or three
quarters of both, whichever asks more. Shears of one fastener are added as vectors.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from itertools import product

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from bracing.box.walls import JoinedWall
from bracing.chain.along import pushes, times
from bracing.chain.forces import DIRECTIONS, Forces
from bracing.chain.links import Group, LinkId, Rows, Use
from bracing.chain.return_links import groups_of
from bracing.chain.returns import CORNER, FAR, NAILS, RIM, STRAP, Foot, HeldEnd
from bracing.chain.wall import PlateSet
from bracing.choosing import first_greatest
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import Inch, Mph

Array = NDArray[np.float64]
# How much of the wind across and along comes together; ASCE 37-14 6.2, ASCE 7-16 fig. 27.3-8 case 3, from memory.
SHARES = ((1.0, 0.5), (0.5, 1.0), (0.75, 0.75))
NAMES = tuple((f"{100.0 * a:g} % across, {100.0 * b:g} % along", "") for a, b in SHARES)
REACH: Inch = (
    48.0  # what turns a wall over lifts its plate no farther than this from its ends; a panel's width
)


@frozen(eq=False)
class Leans:
    """A wall that leans on another along it.

    Attributes:
        wall: the wall that leans.
        held: the other, as what holds its end.
        forces: in push and in pull.
        along: what all that lean there press the other along itself with, of each, (rows, heights, 2) [lb].
    """

    wall: JoinedWall
    held: HeldEnd
    forces: tuple[Forces, ...]
    along: tuple[Array, ...]


def own_along(wall: JoinedWall, top: Inch, *, crowded: bool) -> Array:
    """Give what the wind along a wall, its lean and a person at its top press it along itself with, (2, 2) [lb].

    By its middle and its top. Half of the wind comes down to the plate: it is put at the middle, which is no less.
    Where the wall is higher than its corners, what acts at its top is put at them with the moment it has there.

    Args:
        wall: the wall.
        top: height of its corners [in].
        crowded: with people about.

    Returns:
        Steady and per gust squared, at each of the two.

    Source: STATICS, on what `chain.along.pushes` gives.
    """
    model, job = wall.model, wall.job
    both = pushes(model.materials, job.site, float(model.cases.pressures.q), gust=1.0, people=crowded)
    push = both[first_greatest([each.wind for each in both])]
    return np.array([[0.0, push.wind / 2.0], times(push.top, job.wall.highest / top)])


def along_groups(file: str, leaning: tuple[Leans, ...]) -> Iterator[Group]:
    """Give every link of a wall along itself: racking, and what holds each of its pieces down and in place.

    Args:
        file: the wall's file.
        leaning: the walls that lean on it.
    """
    for one in leaning:
        for forces, pressed, direction in zip(one.forces, one.along, DIRECTIONS, strict=True):
            of = partial(Group, directions=(direction,), marks=(None,), places=(None,))
            for sense in (CORNER, FAR):
                yield from groups_of(one.held, sense, forces, of=of, nodes=pressed)


def most(lines: Array) -> Array:
    """Give one straight line no other of some rises over, whichever way each acts.

    Args:
        lines: steady and per gust squared, (.., 2).

    Returns:
        The greatest steady part and the greatest rate, (2,).

    Source: STATICS, an upper bound.

    Example:
        >>> most(np.array([[1.0, -3.0], [-2.0, 1.0]])).tolist()
        [2.0, 3.0]
    """
    return np.asarray(np.abs(lines).reshape(-1, 2).max(axis=0, initial=0.0))


def shared(line: Array, share: float) -> Array:
    """Give lines with a part of their wind; what is steady acts in full.

    Args:
        line: steady and per gust squared, (.., 2).
        share: of the wind [-].

    Source: STATICS.

    Example:
        >>> shared(np.array([2.0, 3.0]), 0.5).tolist()
        [2.0, 1.5]
    """
    return np.asarray(line * np.array([1.0, share]))


# -- the corner's own fasteners --------------------------------------------------------------------------


@frozen(eq=False)
class AsVectors:
    """Two forces at right angles on the same fasteners."""

    def __call__(self, first: Array, second: Array) -> Array:
        """Give their resultant, of every item.

        Args:
            first: one way [lb].
            second: the other [lb].
        """
        return np.hypot(first, second)

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        """Give the resultant of one item, as a Sum.

        Args:
            item: which.
            first: one way, steady and per gust squared, (2,) [lb].
            second: the other, the same [lb].
            gust: the gust [mph].
            where: which row of the frame they are of.
        """
        across, along = (float(part[0] + part[1] * gust**2) for part in (first, second))
        told = Known(
            float(np.hypot(across, along)),
            f"{across:.0f} lb one way and {along:.0f} lb the other {where}",
            "",
        )
        return (told,)


@frozen(eq=False)
class _CornerUse:
    """Share of a corner's fasteners used where one wall pushes them across their axis and the other draws them.

    Attributes:
        sets: one fastener, as either wall has it.
        count: how many share each force.
        ways: of each reading, whether the wall itself pushes them; both where nobody knows which wall does.
    """

    sets: tuple[PlateSet, ...]
    count: float
    ways: tuple[bool, ...]

    def __call__(self, first: Array, second: Array) -> Array:
        return np.asarray(
            np.max(np.stack([self._share(*each) for each in self._each(first, second)]), axis=0)
        )

    def _each(self, first: Array, second: Array) -> list[tuple[PlateSet, Array, Array]]:
        a, b = np.abs(first) / self.count, np.abs(second) / self.count
        return [(one, *((a, b) if way else (b, a))) for one in self.sets for way in self.ways]

    def _share(self, one: PlateSet, pushed: Array, drawn: Array) -> Array:
        return np.asarray(one.use(pushed, drawn))

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        a, b = (np.asarray(part[0] + part[1] * gust**2) for part in (first, second))
        one, pushed, drawn = max(self._each(a, b), key=lambda each: float(self._share(*each)))
        V = Known(float(pushed), f"across its axis, on each {where}", "")
        T = Known(float(drawn), f"along its axis, on each {where}", "")
        return (one.used(V, T),)


def corner_groups(
    wall: JoinedWall, forces: tuple[Forces, Forces], leaning: tuple[Leans, ...]
) -> Iterator[Group]:
    """Give the corners of a wall by what they hold of both walls at once, as vectors.

    Args:
        wall: the wall.
        forces: its own, in push and in pull.
        leaning: the walls that lean on it: at a corner that holds both, one of them.
    """
    for i, (held, by) in enumerate(zip(wall.held, wall.by, strict=True)):
        others = [one for one in leaning if one.wall.file == by]
        for one in others:
            corner = wall.nodes[2 * i].corner
            back = next(k for k in range(len(one.wall.by)) if one.wall.nodes[2 * k].corner == corner)
            mine = _at(forces, wall, i)
            theirs = _at((one.forces[0], one.forces[1]), one.wall, back)
            basis = forces[0].model.basis
            across = np.array([[shared(line, a) for line in mine] for a, _ in SHARES])
            along = np.array([[shared(line, b) for line in theirs] for _, b in SHARES])
            other = one.wall.held[back]
            if not (held.shear and other.shear):
                yield _pushed_and_drawn(held, other, across, along, source=basis.clauses.together)
                continue
            each = min(held.each, other.each)
            yield Group(
                link=LinkId.CORNER_BOTH, directions=DIRECTIONS, marks=(None, None), places=(held.x, held.x), unit="lb",
                capacity=np.full(2, float(each) * held.count / 2.0), demand=across, tension=along, use=AsVectors(),
                rows=Rows(NAMES), source=basis.clauses.across, known=held.corner.lateral_known,
                why=(Said("half-of-the-corner", count=held.count, what=held.corner.name,
                          each=Quantity(float(each), Kind.EACH)),) * 2,
            )  # fmt: skip


def _pushed_and_drawn(held: HeldEnd, other: HeldEnd, across: Array, along: Array, *, source: str) -> Group:
    ways = (held.shear,) if held.shear != other.shear else (True, False)
    sets = tuple(PlateSet(each.corner.name, each.corner) for each in (held, other))
    return Group(
        link=LinkId.CORNER_BOTH, directions=DIRECTIONS, marks=(None, None), places=(held.x, held.x), unit="share used",
        capacity=np.ones(2), demand=across, tension=along, use=_CornerUse(sets, held.count / 2.0, ways),
        rows=Rows(NAMES), source=source, why=(Said("across-and-along"),) * 2,
    )  # fmt: skip


def _at(forces: tuple[Forces, ...], wall: JoinedWall, i: int) -> Array:
    """The most one corner gives a wall at the middle and at the top of its end stud, (2, 2) [lb]."""
    at = [2 * i - len(wall.places), 2 * i + 1 - len(wall.places)]
    return np.array([most(np.stack([f.responses.returns[:, k] for f in forces])) for k in at])


# -- the plate's fasteners -------------------------------------------------------------------------------


@frozen(eq=False)
class _Along:
    """What one piece of a wall along itself asks of its plate fasteners.

    Attributes:
        foot: the piece.
        shear: on each of its fasteners, steady and per gust squared [lb].
        pull: on the one drawn most [lb].
        grain: moment in an inch of its plate at that one [lb in].
        rim: share of the nail into the rim that is used most, by turning and by base shear, (2, 2) [-].
    """

    foot: Foot
    shear: Array
    pull: Array
    grain: Array
    rim: Array


def _along_of(leaning: tuple[Leans, ...]) -> tuple[_Along, ...]:
    found = []
    for one in leaning[:1]:
        held = one.held
        heights = np.array(held.heights)
        for k, foot in enumerate(held.feet):
            turned = {NAILS: [np.zeros(2)], STRAP: [np.zeros(2)], RIM: [np.zeros(2)]}
            slid = [np.zeros(2)]
            for other in leaning:
                for sense, pressed in product((CORNER, FAR), other.along):
                    each = np.einsum("hj,rjq->rhq", held.joined(sense).shares[k], pressed)
                    slid.append(most(each.sum(axis=1)))
                    turned[foot.kind(sense, held.height)].append(most(np.einsum("rhq,h->rq", each, heights)))
            by_rim = all(foot.kind(sense, held.height) == RIM for sense in (CORNER, FAR))
            base, moment = most(np.stack(slid)), most(np.stack(turned[NAILS]))
            drawn = np.asarray(foot.drawn(moment)) if moment.any() else np.zeros(2)
            bent = moment * foot.grain_share if moment.any() else np.zeros(2)
            rim = _on_rim(foot, base, most(np.stack(turned[RIM])))
            found.append(_Along(foot, np.zeros(2) if by_rim else base / foot.n, drawn, bent, rim))
    return tuple(found)


def _on_rim(foot: Foot, base: Array, moment: Array) -> Array:
    """Share of the nail into the rim that is used most, by turning and by base shear; none where it holds neither."""
    if not moment.any():
        return np.zeros((2, 2))
    x, S = float(foot.rim_places[-1]), float((foot.rim_places**2).sum())
    return np.stack([moment * x / S, base / len(foot.rim_places)]) / foot.rim


@frozen(eq=False)
class _PlateUse:
    """Share of a plate fastener used across and along, and drawn.

    Attributes:
        feet: of each piece.
    """

    feet: tuple[Foot, ...]

    def __call__(self, first: Array, second: Array) -> Array:
        shear = np.hypot(first[..., 0], first[..., 1])
        pull = np.maximum(second[..., 0], 0.0)
        used = [np.asarray(foot.plate.use(shear[..., k], pull[..., k])) for k, foot in enumerate(self.feet)]
        return np.stack(used, axis=-1)

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        across, along = (float(part[0] + part[1] * gust**2) for part in first)
        drawn = float(second[0, 0] + second[0, 1] * gust**2)
        V = Known(float(np.hypot(across, along)), f"across {across:.0f} lb, along {along:.0f} lb {where}", "")
        T = Known(max(drawn, 0.0), "drawn as the wall turns over along itself", "")
        foot = self.feet[item]
        return (foot.plate.used(V, T),)


@frozen(eq=False)
class _LiftedUse:
    """Share of the plate's fasteners used at each brace, with what the wall along itself uses of them added.

    Attributes:
        own: the share the brace and the wind across use.
    """

    own: Use

    def __call__(self, first: Array, second: Array) -> Array:
        return np.asarray(self.own(first[..., :-1], second[..., :-1])) + first[..., -1]

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        told = self.own.sums(item, first[:-1], second[:-1], gust=gust, where=where)
        more = float(first[-1, 0] + first[-1, 1] * gust**2)
        words = "share of the brace's lift and the wind across, and of the wall along itself"
        return (*told[:-1], Known(float(told[-1]) + more, words, "", by=(told[-1],)))


@frozen(eq=False)
class _RimUse:
    """Share of a nail into the rim used by its brace's lift, by the wall turning along itself, and by base shear."""

    def __call__(self, first: Array, second: Array) -> Array:
        up = np.maximum(second[..., 0], 0.0) + first[..., 0]
        return np.asarray(np.hypot(up, first[..., 1]))

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        turned, slid = (float(part[0] + part[1] * gust**2) for part in first)
        lifted = float(second[0, 0] + second[0, 1] * gust**2)
        told = f"lifted {max(lifted, 0.0):.3f}, turned {turned:.3f}, slid {slid:.3f} of what it takes {where}"
        return (Known(math.hypot(max(lifted, 0.0) + turned, slid), told, ""),)


def plate_both_ways(
    wall: JoinedWall, groups: tuple[Group, ...], leaning: tuple[Leans, ...]
) -> Iterator[Group]:
    """Give the plate fasteners of a wall under wind across it and what leans on it along.

    Args:
        wall: the wall.
        groups: its own chain, of the wind across it.
        leaning: the walls that lean on it.
    """
    asked = _along_of(leaning)
    if not asked:
        return
    feet = tuple(one.foot for one in asked)
    across = _ratio_across(groups)
    each = np.array([across * float(foot.plate.lateral) for foot in feet])
    first = np.array(
        [
            [[shared(a, fa), shared(one.shear, fb)] for a, one in zip(each, asked, strict=True)]
            for fa, fb in SHARES
        ]
    )
    second = np.array([[[shared(one.pull, fb), np.zeros(2)] for one in asked] for _, fb in SHARES])
    why = Said("across-and-along")
    yield Group(
        link=LinkId.PLATE_BOTH, directions=DIRECTIONS, marks=(None,) * len(feet), places=(None,) * len(feet),
        unit="share used", capacity=np.ones(len(feet)), demand=first, tension=second, use=_PlateUse(feet),
        rows=Rows(NAMES), source=wall.model.basis.clauses.together, why=(why,) * len(feet),
    )  # fmt: skip
    for group in groups:
        if group.link is LinkId.PLATE_LIFTED:
            yield _more(wall, group, asked, LinkId.PLATE_LIFTED_BOTH)
        elif group.link is LinkId.PLATE_GRAIN:
            yield _more(wall, group, asked, LinkId.PLATE_GRAIN_BOTH)
        elif group.link is LinkId.SHEATHING_TO_RIM and any(one.rim.any() for one in asked):
            yield _rim(wall, group, asked)


def _ratio_across(groups: tuple[Group, ...]) -> Array:
    """The most any foot asks of its fasteners in shear across the wall, over what they may carry, (2,)."""
    found = [np.zeros(2)]
    for group in groups:
        if group.link is LinkId.PLATE_SHEAR:
            counts = group.capacity > 0.0
            found.append(most(group.demand[:, counts] / group.capacity[counts][None, :, None]))
    return np.asarray(np.max(found, axis=0))


def _near(wall: JoinedWall, group: Group, asked: tuple[_Along, ...]) -> Array:
    """Which items of a group stand where what turns the wall along itself lifts it: near its ends, or its pieces'."""
    long, each = (
        wall.job.wall.length,
        group.demand.shape[1] // len(group.places),
    )  # several items of each brace
    near = [len(asked) > 1 or min(x or 0.0, long - (x or 0.0)) <= REACH for x in group.places]
    return np.repeat(np.array(near), each)


def _more(wall: JoinedWall, group: Group, asked: tuple[_Along, ...], link: LinkId) -> Group:
    """The plate at each brace, with what the wall along itself asks: base shear everywhere, its pull near the ends."""
    assert group.tension is not None
    assert group.use is not None
    shear, pull = np.zeros(2), np.zeros(2)
    for one in asked:
        if link is LinkId.PLATE_GRAIN_BOTH:
            pull = np.maximum(pull, one.grain)
            continue
        lateral, axial = float(one.foot.plate.lateral), float(one.foot.plate.axial)
        shear = np.maximum(shear, one.shear / lateral if lateral > 0.0 else 0.0)
        pull = np.maximum(pull, one.pull / axial if axial > 0.0 else 0.0)
    more = shear + pull * _near(wall, group, asked)[:, None]  # (braces, 2)
    demand = _joined(group.demand, more[:, None])
    return evolve(
        group, link=link, demand=demand, tension=_joined(group.tension, np.zeros((len(more), 1, 2))),
        use=_LiftedUse(group.use), rows=_rows_both(group), why=(Said("across-and-along"),) * len(group.why),
        source=cite("JUDGEMENT"), known="judgement",
    )  # fmt: skip


def _rim(wall: JoinedWall, group: Group, asked: tuple[_Along, ...]) -> Group:
    """The nails into the rim at each brace: its lift and the wall's turning one way, base shear the other."""
    near = _near(wall, group, asked)
    turned, slid = (np.max([one.rim[k] for one in asked], axis=0) for k in (0, 1))
    capacity = np.where(
        group.capacity > 0.0, group.capacity, np.inf
    )  # nails that hold nothing: a link of their own
    across = group.demand / capacity[None, :, None]
    along = np.stack([turned * near[:, None], np.broadcast_to(slid, (len(near), 2))], axis=1)
    return evolve(
        group, link=LinkId.SHEATHING_RIM_BOTH, unit="share used", made=None, one_way=False, capacity=np.ones(len(near)),
        demand=_joined(np.zeros((*across.shape[:2], 0, 2)), along),
        tension=_joined(across[:, :, None], np.zeros((len(near), 1, 2))),
        use=_RimUse(), rows=_rows_both(group), why=(Said("across-and-along"),) * len(group.why),
    )  # fmt: skip


def _joined(lines: Array, more: Array) -> Array:
    """Lines of the wind across, (rows, items, parts, 2), with those along beside them, (items, parts, 2), by SHARES."""
    return np.concatenate(
        [
            np.concatenate(
                [shared(lines, a), np.broadcast_to(shared(more, b), (len(lines), *more.shape))], axis=2
            )
            for a, b in SHARES
        ]
    )


def _rows_both(group: Group) -> Rows:
    named = tuple((f"{row[0]}; {shares[0]}", *row[1:]) for shares in NAMES for row in group.rows.named)
    return Rows(named, group.rows.points, group.rows.gone)
