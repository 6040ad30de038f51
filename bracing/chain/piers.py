"""Full-height piers of sheathing: what they may carry along a wall, and what holds each stretch of it down."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

from attrs import evolve, frozen

from bracing.chain.along import (
    ROUNDING,
    ROWS,
    TOGETHER,
    Held,
    Lengthwise,
    Line,
    Span,
    along_link,
    held_in,
    plate_along,
    plus,
    times,
)
from bracing.chain.links import Group, LinkId, Rows
from bracing.chain.materials import Materials, nailing_of, sheathing_plies
from bracing.chain.wall import PlateSet
from bracing.codes.along import held_by_weight
from bracing.job.framing import frame_wall
from bracing.job.wall import Wall
from bracing.panel.weight import plate_pieces, weight_along, weight_changes
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import Inch, Pound

SHARE_USED = "share used"


@frozen
class Pier:
    """A full-height piece of sheathing between openings, or an opening and an end.

    Attributes:
        span: from where to where [in].
        height: its height: that of the tallest opening beside it; with none, of the wall there [in].
        strength: what it may carry along the wall [lb].
    """

    span: Span
    height: Inch
    strength: Pound


def stretches(wall: Wall) -> tuple[Span, ...]:
    """Give the stretches of plate between doors that panels stand on, from LEFT [in]: each turns over by itself.

    Args:
        wall: the wall.
    """
    return tuple(part for piece in plate_pieces(wall) for part in wall.covered(piece))


def spans_beside(wall: Wall, piece: Span) -> tuple[tuple[Span, Inch], ...]:
    """Give the full-height pieces of a stretch of wall between its openings, and how high each is for its length.

    Args:
        wall: the wall.
        piece: a stretch of plate between doors [in].

    Source: SDPWS 4.3.4, a pier is as high as the opening beside it (from memory).
    """
    free, cuts = [piece], sorted((one.left, one.right) for one in wall.openings)
    for left, right in cuts:
        free = [
            part
            for low, high in free
            for part in ((low, min(high, left)), (max(low, right), high))
            if part[1] - part[0] > TOGETHER
        ]
    found = []
    for low, high in dict.fromkeys(free):
        beside = [
            o.height for o in wall.openings if abs(o.right - low) < TOGETHER or abs(o.left - high) < TOGETHER
        ]
        found.append(((low, high), max(beside, default=0.0) or highest_over(wall, (low, high))))
    return tuple(found)


def highest_over(wall: Wall, span: Span) -> Inch:
    """Give the highest point of the wall over a stretch of its plate [in].

    Args:
        wall: the wall.
        span: from where to where [in].
    """
    inside = [z for x, z in wall.top if span[0] < x < span[1]]
    return max(wall.height_at(span[0]), wall.height_at(span[1]), *inside)


@lru_cache(maxsize=256)
def piers_of(materials: Materials) -> tuple[Pier, ...]:
    """Give the piers that count; none of a bare frame.

    Args:
        materials: the job's materials.

    Source: SDPWS 4.3.3, 4.3.4.
    """
    nailing = nailing_of(materials)
    if nailing is None:
        return ()
    wall, racked = materials.job.wall, materials.basis.sheathed(nailing)
    return tuple(
        Pier(span, high, racked.strength(high, span[1] - span[0]))
        for piece in stretches(wall)
        for span, high in spans_beside(wall, piece)
        if racked.counts(high, span[1] - span[0])
    )


@lru_cache(maxsize=256)
def weight_over(wall: Wall, piece: Span) -> tuple[Pound, Inch]:
    """Give the weight on a stretch of plate, and its centre of gravity from LEFT [lb, in].

    Args:
        wall: the wall.
        piece: from where to where [in].

    Source: STATICS, trapezia between the places where the weight changes.
    """
    places = sorted({piece[0], piece[1], *(x for x in weight_changes(wall) if piece[0] < x < piece[1])})
    on = weight_along(wall, places)
    weight = moment = 0.0
    for k, (low, high) in enumerate(pairwise(places)):
        start, stop = float(on[k, 1]), float(on[k + 1, 0])
        part = (start + stop) / 2.0 * (high - low)
        weight += part
        moment += (
            part * (low + (high - low) * (start + 2.0 * stop) / (3.0 * (start + stop))) if part > 0.0 else 0.0
        )
    return weight, moment / weight if weight > 0.0 else (piece[0] + piece[1]) / 2.0


# -- the links -------------------------------------------------------------------------------------------


def pier_groups(run: Lengthwise, piers: tuple[Pier, ...]) -> Iterator[Group]:
    """Give the links of a wall its sheathing keeps upright along itself.

    Args:
        run: the wall along itself.
        piers: those that count.
    """
    wall = run.materials.job.wall
    total, nailing = sum(pier.strength for pier in piers), nailing_of(run.materials)
    assert nailing is not None  # piers are sheathed
    racked = run.materials.basis.sheathed(nailing)
    words = f"{len(piers)} piers that count, together"
    made = Known(total, words, racked.source, racked.known, by=tuple(p.strength for p in piers))
    long = Quantity(sum(p.span[1] - p.span[0] for p in piers), Kind.TAPE)
    apart = Quantity(wall.plate.sheathing_spacing, Kind.INCHES)
    why = Said("piers-along", count=len(piers), long=long, what=wall.plate.sheathing_fastener, apart=apart)
    yield along_link(
        LinkId.RACKING, run.tops, [made], places=(None,), why=(why,), source=racked.source, known=racked.known
    )
    if wall.plate.sheathing_laps == "none":
        yield _stud_feet(run, piers)
    for piece in stretches(wall):
        mine = [p for p in piers if piece[0] - 1.0 <= p.span[0] and p.span[1] <= piece[1] + 1.0]
        if mine:
            yield from _piece_groups(run, piece, sum(p.strength for p in mine) / total)


def _stud_feet(run: Lengthwise, piers: tuple[Pier, ...]) -> Group:
    """Studs of the piers on a plate the sheathing is not nailed to: their end nails, as many as at the top."""
    top, basis = run.materials.job.wall.top_plate, run.materials.basis
    studs = [line.x for line in frame_wall(run.materials.job.wall).full_height_studs]
    under = sum(any(p.span[0] - TOGETHER <= x <= p.span[1] + TOGETHER for p in piers) for x in studs)
    each, so_many = (
        Quantity(run.wall.stud_top.lateral, Kind.EACH),
        Said("so-many", count=under * top.end_nails, what=top.end_nail),
    )
    return along_link(
        LinkId.STUD_FEET, run.tops, [basis.acting.all_of(run.wall.stud_top.lateral, under * top.end_nails, 1.0)],
        places=(None,), why=(Said("so-many-each", so_many=so_many, each=each),), source=basis.clauses.end_grain,
        known=run.wall.stud_top.lateral_known,
    )  # fmt: skip


def _piece_groups(run: Lengthwise, piece: Span, share: float) -> Iterator[Group]:
    """One stretch of plate between doors: its fasteners in shear, and the stretch turning over about either end."""
    wall, middle = run.materials.job.wall, (piece[0] + piece[1]) / 2.0
    shears, sets = [times(push.plate, share) for push in run.both], held_in(run, piece)
    yield plate_along(run, shears, sets, middle=middle)
    weight, centre = weight_over(wall, piece)
    toes, said = (piece[1], piece[0]), Known(weight, "weight of the stretch, lumber at 12%", "")
    held = [held_by_weight(said, Known(abs(toe - centre), "from its toe", "")) for toe in toes]
    moments = [times(top, share * highest_over(wall, piece)) for top in run.tops]
    options = [each for each in _tied_down(run, piece, sets) if max(each[1]) < math.inf]
    if not options:
        yield from _by_weight(moments, held, middle)
        return
    one, per = min(options, key=lambda each: max(each[1]))
    across = [times(shear, 1.0 / one.shear) if one.shear > 0.0 else (0.0, 0.0) for shear in shears]
    net = [plus(moment, (-float(weighs), 0.0)) for moment, weighs in zip(moments, held, strict=True)]
    rows = [plus(times(turns, each), shear) for turns, each, shear in zip(net, per, across, strict=True)]
    so_many = Said("so-many", count=len(one.at), what=one.one.name)
    why = Said("pier-held-by", so_many=so_many, weight=Quantity(weight, Kind.STRENGTH))
    yield along_link(
        LinkId.PIER_OVER, [*rows, *across], [Known(1.0, "all of it", "")], places=(middle,), why=(why,),
        source=run.materials.basis.clauses.together, unit=SHARE_USED, known=one.one.known,
        rows=Rows(ROWS.named, ("lift with shear", "shear alone")),
    )  # fmt: skip


def _tied_down(
    run: Lengthwise, piece: Span, sets: tuple[Held, ...]
) -> Iterator[tuple[Held, tuple[float, float]]]:
    """Each set of fasteners that holds a stretch down, and the share a moment about either end uses of it."""
    laps, nails = run.materials.job.wall.plate.sheathing_laps, _sheathing_nails(run.materials, piece)
    if laps == "none" or nails is None:
        return
    panel = _panel_against(run.materials, piece)
    if laps == "rim":
        yield nails, panel
        return
    for one in sets:
        yield one, (max(one.against(piece[1]), panel[0]), max(one.against(piece[0]), panel[1]))


@lru_cache(maxsize=256)
def _panel_against(materials: Materials, piece: Span) -> tuple[float, float]:
    """Share of the nails at the foot of the sheathing a moment about either end of a stretch uses [1/(lb in)]."""
    nails = _sheathing_nails(materials, piece)
    return (math.inf, math.inf) if nails is None else (nails.against(piece[1]), nails.against(piece[0]))


@lru_cache(maxsize=256)
def _sheathing_nails(materials: Materials, piece: Span) -> Held | None:
    """The nails at the foot of the sheathing, in shear both ways."""
    plate = materials.job.wall.plate
    nail = materials.capacity(plate.sheathing_fastener, *sheathing_plies(materials))
    count = int((piece[1] - piece[0]) / plate.sheathing_spacing + ROUNDING)
    if not count:
        return None
    apart = (piece[1] - piece[0]) / count
    both_ways = evolve(nail, axial=nail.lateral, axial_known=nail.lateral_known)
    at = tuple(piece[0] + (k + 0.5) * apart for k in range(count))
    return Held(PlateSet(plate.sheathing_fastener, both_ways), at, 1.0)


def _by_weight(moments: list[Line], held: list[float], middle: Inch) -> Iterator[Group]:
    """A stretch nothing ties down: each way its own weight, as two links of one kind."""
    for k in range(2):
        rows = [moments[k] if i == k else (0.0, 0.0) for i in range(2)]
        yield along_link(
            LinkId.PIER_OVER, rows, [held[k]], places=(middle,), why=(Said("pier-by-weight"),),
            source=cite("ASCE7", "2.4.1"), unit="lb in",
        )  # fmt: skip
