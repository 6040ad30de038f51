"""The links of a return that holds an end: corner, racking, and what holds each piece down and in place, both ways."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import cast

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from bracing.chain.forces import Forces
from bracing.chain.links import Group, LinkId, Made, OneOf, by_point, force_at, moment_at
from bracing.chain.returns import (
    CORNER,
    FAR,
    NAILS,
    RIM,
    STRAP,
    Foot,
    HeldEnd,
    both_ways,
    far_nail_pull,
    strap_pull,
)
from bracing.codes import ends
from bracing.codes.joints import load_of_each, one_load
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, least
from bracing.sums import Known
from bracing.units import Mph

Array = NDArray[np.float64]
Directions = tuple[str, ...]
ONE = np.zeros(1, dtype=np.intp)  # all pieces make one link


@frozen(eq=False)
class NailsUse:
    """What base shear and turning use of the plate fasteners under each piece.

    Attributes:
        feet: of each piece.
    """

    feet: tuple[Foot, ...]

    def __call__(self, shear: Array, moment: Array) -> Array:
        """Give the share of the fastener drawn most, of each piece.

        Args:
            shear: along the return, (.., pieces) [lb].
            moment: that lifts one end, (.., pieces) [lb in].
        """
        used = [
            foot.plate.use(shear[..., k] / foot.n, foot.drawn(np.maximum(moment[..., k], 0.0)))
            for k, foot in enumerate(self.feet)
        ]
        return np.stack([np.asarray(each) for each in used], axis=-1)

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        """Give what one piece uses, as sums.

        Args:
            item: which piece.
            first: shear, steady and per gust squared, (2,) [lb].
            second: moment, the same [lb in].
            gust: the gust [mph].
            where: which row of the frame they are of.
        """
        foot = self.feet[item]
        R, M = _told(first, second, gust, where)
        S = Known(float((foot.places**2).sum()), "sum of the squares of their distances from the far end", "")
        x = Known(float(foot.places[-1]), "the one furthest from it", "")
        b, e = (
            Known(foot.arm.b, "width of the plate", ""),
            Known(foot.arm.e, "from its inner edge to the row", ""),
        )
        T = far_nail_pull(M, x, S=S, rho=ends.lift_at_row(1.0, b, e))
        n = Known(float(foot.n), f"{foot.plate.name} under the piece", "")
        V = cast("float", load_of_each(R, n))
        return (foot.plate.used(V, T),)


@frozen(eq=False)
class RimUse:
    """What base shear and turning use of the sheathing's nails into the rim under each piece.

    Attributes:
        feet: of each piece.
    """

    feet: tuple[Foot, ...]

    def __call__(self, shear: Array, moment: Array) -> Array:
        """Give the share of the nail loaded most, of each piece.

        Args:
            shear: along the return, (.., pieces) [lb].
            moment: that lifts one end, (.., pieces) [lb in].
        """
        used = []
        for k, foot in enumerate(self.feet):
            x = foot.rim_places
            up = np.maximum(moment[..., k], 0.0) * x[-1] / float((x**2).sum())
            used.append(np.hypot(up, shear[..., k] / len(x)) / foot.rim)
        return np.stack(used, axis=-1)

    def sums(self, item: int, first: Array, second: Array, *, gust: Mph, where: str) -> tuple[float, ...]:
        """Give what one piece uses, as sums.

        Args:
            item: which piece.
            first: shear, steady and per gust squared, (2,) [lb].
            second: moment, the same [lb in].
            gust: the gust [mph].
            where: which row of the frame they are of.
        """
        foot = self.feet[item]
        x = foot.rim_places
        R, M = _told(first, second, gust, where)
        S = Known(float((x**2).sum()), "sum of the squares of their distances from the far end", "")
        t = far_nail_pull(M, Known(float(x[-1]), "the one furthest from it", ""), S=S, rho=1.0)
        v = cast("float", load_of_each(R, Known(float(len(x)), "nails into the rim", "")))
        return (cast("float", one_load(both_ways(t, v), foot.rim)),)


def _told(first: Array, second: Array, gust: Mph, where: str) -> tuple[float, float]:
    """Base shear and the moment that lifts, as sums, none under nothing."""
    steady, rate = (float(part) for part in first)
    sign = -1.0 if steady + rate * gust**2 < 0.0 else 1.0
    R = force_at(Known(sign * steady, f"along the return {where}", ""), sign * rate, gust)
    steady, rate = (float(part) for part in second)
    if steady + rate * gust**2 <= 0.0:
        return R, Known(0.0, f"nothing lifts that end {where}", "")
    return R, moment_at(Known(steady, f"about the other end of the return {where}", ""), rate, gust)


HEIGHTS = ("at the middle of the end stud", "at its top")
LEVELS = ("under its middle", "over its middle")


@frozen(eq=False)
class Turned:
    """What some pieces of a return are asked with one end lifted.

    Attributes:
        sense: which end lifts.
        feet: of each piece.
        shear: along each, (rows, pieces, 2) [lb].
        moment: that lifts that end, (rows, pieces, 2) [lb in].
        lift: what braces on the end stud lift there too, (rows, pieces, 2) [lb].
        of: makes a group of its links.
        forces: what was solved.
    """

    sense: str
    feet: tuple[Foot, ...]
    shear: Array
    moment: Array
    lift: Array
    of: Callable[..., Group]
    forces: Forces

    @property
    def all_moment(self) -> Array:
        """The moment with what the braces lift, about the other end of each piece [lb in]."""
        b = np.array([foot.b for foot in self.feet])
        both: Array = self.moment + self.lift * b[:, None]
        return both

    @property
    def why(self) -> tuple[Said]:
        """Which end lifts, and what holds it."""
        where = Said("corner-lifted") if self.sense == CORNER else Said("far-end-lifted")
        foot = self.feet[0]
        return (
            Said(
                "end-of-return", where=where, what=foot.plate.name, apart=Quantity(foot.spacing, Kind.INCHES)
            ),
        )


def return_groups(forces: Forces, directions: Directions) -> Iterator[Group]:
    """Give every link of the returns that hold an end: corner, racking, and what holds each piece down and in place.

    Args:
        forces: what was solved.
        directions: the side the wind comes from.
    """
    at = 0
    for held in forces.model.held:
        nodes = -forces.responses.returns[:, at : at + len(held.heights)]
        at += len(held.heights)
        of = partial(Group, directions=directions, marks=(None,), places=(held.x,))
        yield _corner_group(held, forces, of, nodes)
        for sense in (CORNER, FAR):
            yield from groups_of(held, sense, forces, of=of, nodes=nodes)


def _corner_group(held: HeldEnd, forces: Forces, of: Callable[..., Group], nodes: Array) -> Group:
    basis = forces.model.basis
    made = Made(basis.acting.all_of, (held.each, np.array([float(held.count // 2)]), 1.0))
    each = Quantity(held.each, Kind.EACH)
    return of(
        link=LinkId.RETURN_CORNER, unit="lb", capacity=made.all(), made=made, demand=by_point(nodes[:, None]),
        rows=forces.rows(HEIGHTS), source=basis.clauses.across if held.shear else basis.clauses.withdrawal,
        known=held.corner.lateral_known if held.shear else held.corner.axial_known,
        why=(Said("half-of-the-corner", count=held.count, what=held.corner.name, each=each),),
    )  # fmt: skip


def groups_of(
    held: HeldEnd, sense: str, forces: Forces, *, of: Callable[..., Group], nodes: Array
) -> Iterator[Group]:
    """Give racking of each piece of a return, and what holds it down with one end lifted.

    Args:
        held: the return.
        sense: which end lifts.
        forces: what was solved.
        of: makes a group of its links.
        nodes: what presses it along itself, at the heights it holds, (rows, heights, 2) [lb].
    """
    lifts = 1.0 if (sense == CORNER) != held.outside else -1.0
    each = np.einsum("phk,rkq->rphq", held.joined(sense).shares, nodes) * lifts  # (rows, pieces, heights, 2)
    shear, moment = each.sum(axis=2), np.einsum("rphq,h->rpq", each, np.array(held.heights))
    if sense == CORNER:
        strengths = OneOf(tuple(held.racking.strength(held.height, foot.b) for foot in held.feet))
        lengths = tuple(Quantity(foot.b, Kind.TAPE) for foot in held.feet)
        yield of(
            link=LinkId.RETURN_RACKING, unit="lb", capacity=np.array(strengths.sums), made=strengths,
            demand=by_point(np.stack([shear, each[:, :, -1]], axis=2)), rows=forces.rows(LEVELS), starts=ONE,
            source=held.racking.source, known=held.racking.known, why=(Said("pieces-of-return", lengths=lengths),),
        )  # fmt: skip
    lift = np.zeros_like(shear)
    if sense == CORNER:
        lift[:, 0] = _brace_lift(held, forces)
    kinds = [foot.kind(sense, held.height) for foot in held.feet]
    for kind, links in _HELD_BY.items():
        some = [k for k, one in enumerate(kinds) if one == kind]
        if some:
            feet = tuple(held.feet[k] for k in some)
            yield from links(Turned(sense, feet, shear[:, some], moment[:, some], lift[:, some], of, forces))


def _by_nails(turned: Turned) -> Iterator[Group]:
    feet, clauses = turned.feet, turned.forces.model.basis.clauses
    yield turned.of(
        link=LinkId.RETURN_FOOT, unit="share used", capacity=np.ones(len(feet)), demand=turned.shear,
        tension=turned.all_moment, use=NailsUse(feet), rows=turned.forces.rows(), starts=ONE, source=clauses.together,
        known=least(*(foot.plate.known for foot in feet)), why=turned.why,
    )  # fmt: skip
    if any(foot.arm.out > 0.0 for foot in feet):
        grain = OneOf(tuple(foot.grain for foot in feet))
        out = np.array([foot.grain_share for foot in feet])
        yield turned.of(
            link=LinkId.RETURN_GRAIN, unit="lb in", capacity=np.array(grain.sums), made=grain,
            demand=turned.all_moment * out[:, None], one_way=True, rows=turned.forces.rows(), starts=ONE,
            source=cite("JUDGEMENT"), known="judgement", why=turned.why,
        )  # fmt: skip


def _by_strap(turned: Turned) -> Iterator[Group]:
    feet, basis = turned.feet, turned.forces.model.basis
    words, source = "allowable of the strap, as declared", cite("USER", "strap")
    allowed = OneOf(tuple(Known(foot.strap(turned.sense), words, source) for foot in feet))
    yield turned.of(
        link=LinkId.RETURN_STRAP, unit="lb", capacity=np.array(allowed.sums), made=allowed,
        demand=strap_pull(turned.moment, np.array([foot.b for foot in feet])[:, None]) + turned.lift, one_way=True,
        rows=turned.forces.rows(), starts=ONE, source=source, why=turned.why,
    )  # fmt: skip
    lateral = OneOf(tuple(basis.acting.all_of(foot.plate.lateral, float(foot.n), 1.0) for foot in feet))
    yield turned.of(
        link=LinkId.RETURN_SHEAR, unit="lb", capacity=np.array(lateral.sums), made=lateral, demand=turned.shear,
        rows=turned.forces.rows(), starts=ONE, source=basis.clauses.across,
        known=least(*(foot.plate.lateral_known for foot in feet)), why=turned.why,
    )  # fmt: skip


def _by_rim(turned: Turned) -> Iterator[Group]:
    yield turned.of(
        link=LinkId.RETURN_RIM, unit="share used", capacity=np.ones(len(turned.feet)), demand=turned.shear,
        tension=turned.all_moment, use=RimUse(turned.feet), rows=turned.forces.rows(), starts=ONE,
        source=turned.forces.model.basis.clauses.across, why=turned.why,
    )  # fmt: skip


_HELD_BY: dict[str, Callable[[Turned], Iterator[Group]]] = {NAILS: _by_nails, STRAP: _by_strap, RIM: _by_rim}


def _brace_lift(held: HeldEnd, forces: Forces) -> Array:
    """What braces on the end stud lift it, (rows, 2): it comes on top of the return's own lift [lb]."""
    model = forces.model
    on = np.array([x == held.x for x in model.studs], dtype=float)
    lift = forces.brace * (on * np.array([s.lift_per_pound for s in model.strengths]))[:, None]
    both: Array = (lift * (lift[..., 1:] > 0.0)).sum(axis=1)
    return both
