"""Diagonals in the plane of a frame: what each takes of the push along the wall, and what it may carry."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache

import numpy as np
from attrs import frozen

from bracing.chain.along import Held, Lengthwise, Line, Span, along_link, held_in, plate_along, plus, times
from bracing.chain.links import Array, Group, LinkId
from bracing.chain.materials import Materials
from bracing.chain.piers import SHARE_USED
from bracing.codes.sticks import Stick, level_give, slip_of_joint
from bracing.job.diagonals import Diagonal, stamped
from bracing.job.lumber import section
from bracing.panel.weight import piece_at, plate_pieces
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, least
from bracing.sums import Known
from bracing.units import Inch, Pound, Radian

SIGNS = (1.0, -1.0)  # which way the wind from LEFT and from the right pushes
NEAR_FOOT: Inch = 24.0  # plate fasteners so near a diagonal's end take its lift; judgement


@frozen
class Acting:
    """A diagonal in the frame and what it may carry.

    Attributes:
        one: as declared.
        angle: from the plate [rad].
        give: how far the top goes for each pound it takes [in/lb].
        ends: fasteners at one end [lb].
        pull: between studs, drawn [lb].
        push: between studs, pressed [lb].
        clauses: of ends, pull and push.
        known: how each is known.
        each: what one of its end fasteners may carry [lb].
    """

    one: Diagonal
    angle: Radian
    give: float
    ends: Pound
    pull: Pound
    push: Pound
    clauses: tuple[str, str, str]
    known: tuple[str, str, str]
    each: Pound

    def sense(self, side: int) -> float:
        """Give 1 where the wind from a side draws it, -1 where it pushes it and a strap lets it count, 0 where not.

        Args:
            side: 0 of the wind from LEFT, 1 from the right.
        """
        leans = SIGNS[side] * (self.one.head - self.one.foot)
        return 1.0 if leans > 0.0 else (-1.0 if self.one.head_strap_lb > 0.0 else 0.0)


@lru_cache(maxsize=256)
def acting_of(materials: Materials) -> tuple[Acting, ...]:
    """Give what each diagonal of a frame may carry.

    Args:
        materials: the job's materials.

    Source: NDS 3.7.1, 3.9.1, 12.3.1, 11.3.6.
    """
    wall, found = materials.job.wall, []
    for one in wall.diagonals:
        rise, run = wall.height_at(one.head), abs(one.head - one.foot)
        angle = Known(math.atan2(rise, run), "angle of the diagonal from the plate", "")
        shape, values = section(one.size), materials.stud_values(stamped(one.size))
        member = materials.basis.member(shape, values)
        between = Stick(shape, min(wall.studs.spacing, run) / math.cos(angle), 0.0, 0.0)
        push, pull = member.push(between), member.pull(between)
        side = materials.stud_ply(thickness=shape.thickness, angle=0.0)
        into = materials.stud_ply(thickness=section(wall.studs.size).width, angle=float(angle))
        nail = materials.capacity(one.end_fastener, side, into)
        slip = materials.basis.acting.slip(materials.fastener(one.end_fastener).diameter)
        ends = 2.0 * slip_of_joint(max(one.end_fasteners, 1), slip)
        give = level_give(math.hypot(rise, run), values.E, shape.area, slip=ends, angle=angle)
        found.append(
            Acting(
                one, angle, give, materials.basis.acting.all_of(nail.lateral, one.end_fasteners, 1.0),
                pull.capacity_lb, push.capacity_lb, (materials.basis.clauses.across, pull.source, push.source),
                (nail.lateral_known, least(values.known), least(push.known, values.known)), nail.lateral,
            )
        )  # fmt: skip
    return tuple(found)


def shares_of(acting: tuple[Acting, ...], side: int) -> tuple[float, ...]:
    """Give what part of the force at the top each diagonal takes, by its stiffness among those that act [-].

    Args:
        acting: the diagonals.
        side: 0 of the wind from LEFT, 1 from the right.

    Source: STATICS.
    """
    stiff = [1.0 / each.give if each.sense(side) else 0.0 for each in acting]
    total = sum(stiff)
    return tuple(k / total if total > 0.0 else 0.0 for k in stiff)


# -- the links -------------------------------------------------------------------------------------------


def diagonal_groups(run: Lengthwise) -> Iterator[Group]:
    """Give the links of a frame its diagonals keep upright along itself.

    Args:
        run: the wall along itself.
    """
    acting = acting_of(run.materials)
    shares = (shares_of(acting, 0), shares_of(acting, 1))
    for side in range(2):
        if sum(shares[side]) <= 0.0:
            yield _none_this_way(run, side)
    forces = np.array(
        [
            [times(top, part / math.cos(each.angle)) for part, each in zip(parts, acting, strict=True)]
            for top, parts in zip(run.tops, shares, strict=True)
        ]
    )
    senses = np.array([[each.sense(k) for each in acting] for k in range(2)])[..., None]
    rises = forces * np.array([math.sin(each.angle) for each in acting])[None, :, None]
    yield from _of_sticks(acting, forces, senses)
    pushed = np.where(senses < 0.0, rises, 0.0)
    if pushed.any():
        straps = [Known(e.one.head_strap_lb, "strap at its head, as declared", cite("USER")) for e in acting]
        heads = tuple(each.one.head for each in acting)
        yield along_link(
            LinkId.FRAME_STRAP, pushed, straps, places=heads, why=(None,) * len(acting), source=cite("USER")
        )
    pieces = plate_pieces(run.materials.job.wall)
    for piece in pieces:
        mine = [i for i, each in enumerate(acting) if piece_at(pieces, each.one.foot) == piece]
        parts = [sum(shares[k][i] for i in mine) for k in range(2)]
        if any(parts):
            shears = [times(push.plate, part) for push, part in zip(run.both, parts, strict=True)]
            yield from _plate_under(run, piece, shears, {i: rises[:, i] for i in mine})


def _none_this_way(run: Lengthwise, side: int) -> Group:
    rows = [run.tops[k] if k == side else (0.0, 0.0) for k in range(2)]
    words = "no diagonal is drawn, and none that is pushed has a strap at its head"
    why = Said("no-diagonal-this-way", side=("LEFT", "the right")[side])
    none = Known(0.0, words, cite("STATICS"))
    return along_link(LinkId.FRAME_DIAGONAL, rows, [none], places=(None,), why=(why,), source=cite("STATICS"))


def _of_sticks(acting: tuple[Acting, ...], forces: Array, senses: Array) -> Iterator[Group]:
    """The fasteners at the ends of each, and the stick itself between two studs, drawn and pushed."""
    feet = tuple(each.one.foot for each in acting)
    counts = (Said("so-many", count=e.one.end_fasteners, what=e.one.end_fastener) for e in acting)
    whys = [
        Said("so-many-each", so_many=so_many, each=Quantity(e.each, Kind.EACH))
        for e, so_many in zip(acting, counts, strict=True)
    ]
    yield along_link(
        LinkId.FRAME_ENDS, forces, [e.ends for e in acting], places=feet, why=tuple(whys), source=acting[0].clauses[0],
        known=least(*(e.known[0] for e in acting)),
    )  # fmt: skip
    drawn = tuple(Said("diagonal-drawn", size=each.one.size) for each in acting)
    pushed = tuple(Said("diagonal-pushed", size=each.one.size) for each in acting)
    for sense, name, which, said in ((1.0, "pull", 1, drawn), (-1.0, "push", 2, pushed)):
        counted = np.where(senses == sense, forces, 0.0)
        if counted.any():
            yield along_link(
                LinkId.FRAME_DIAGONAL, counted, [getattr(e, name) for e in acting], places=feet, why=said,
                source=acting[0].clauses[which], known=least(*(e.known[which] for e in acting)),
            )  # fmt: skip


def _plate_under(
    run: Lengthwise, piece: Span, shears: list[Line], lifts: Mapping[int, Array]
) -> Iterator[Group]:
    """A stretch of plate: its shear, and the lift of each diagonal on it with that shear on the same fasteners."""
    sets, acting = held_in(run, piece), acting_of(run.materials)
    yield plate_along(run, shears, sets, middle=(piece[0] + piece[1]) / 2.0)
    for i, lift in lifts.items():
        each = acting[i]
        for end, sense in ((each.one.foot, 1.0), (each.one.head, -1.0)):
            sides = [k for k in range(2) if each.sense(k) == sense]
            if sides:
                rows = [
                    (float(lift[k, 0]), float(lift[k, 1])) if k in sides else (0.0, 0.0) for k in range(2)
                ]
                yield _lift_at(run, end, rows, (shears, sets))


def _lift_at(
    run: Lengthwise, end: Inch, lifts: list[Line], plate: tuple[list[Line], tuple[Held, ...]]
) -> Group:
    """Lift at the foot of a drawn diagonal, or under the head of a pushed one, on the fasteners near it."""
    (shears, sets), source = plate, run.materials.basis.clauses.together
    own = piece_at(plate_pieces(run.materials.job.wall), end)
    near = held_in(run, (max(own[0], end - NEAR_FOOT), min(own[1], end + NEAR_FOOT)))
    found = [one for one in near if one.one.axial > 0.0 and one.shear > 0.0]
    best = max(found, key=lambda one: one.one.axial * len(one.at) / one.lever, default=None)
    if best is None:
        none, why = Known(0.0, "no fastener within 24 in", ""), Said("nothing-in-the-plate")
        return along_link(LinkId.FRAME_LIFT, lifts, [none], places=(end,), why=(why,), source=source)
    all_along = max((one.shear for one in sets if one.one == best.one), default=best.shear)
    pulled = best.lever / (len(best.at) * best.one.axial)
    rows = [
        plus(times(lift, pulled), times(shear, 1.0 / all_along)) if any(lift) else (0.0, 0.0)
        for lift, shear in zip(lifts, shears, strict=True)
    ]
    lever = Quantity(best.lever, Kind.TIMES)
    so_many, within = (
        Said("so-many", count=len(best.at), what=best.one.name),
        Quantity(NEAR_FOOT, Kind.INCHES),
    )
    said = Said("plate-near-a-diagonal", so_many=so_many, near=within, lever=lever)
    return along_link(
        LinkId.FRAME_LIFT, rows, [Known(1.0, "all of it", "")], places=(end,), why=(said,), source=source,
        unit=SHARE_USED, known=best.one.known,
    )  # fmt: skip
