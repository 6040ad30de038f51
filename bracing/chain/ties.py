"""Tie rows that steady braces between their ends: what a tie, its row and the diagonal at its end must carry.

Each brace in push bows toward either side at each of its ties, and the row sums them up: all of them may bow the same
way. The diagonals at both ends take turns, since the one that is drawn carries all.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from attrs import frozen

from bracing.chain.foot import Strength, along_brace
from bracing.chain.links import LinkId
from bracing.chain.materials import ACROSS, Materials
from bracing.codes.ends import TIES_BY, tie_force
from bracing.codes.joints import FastenerCapacity
from bracing.codes.sticks import Stick
from bracing.job.brace import Brace
from bracing.job.lumber import section
from bracing.panel.weight import MOISTURE_PERCENT, weight_per_length, wood_density
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import Inch, Radian

TIE_SIZE = "2x4"
DIAGONAL = 0.75  # of the longest brace, from the row to the floor or the wall; judgement


def diagonal_length(braces: tuple[Brace, ...]) -> Inch:
    """Give the length of a tie row's diagonal [in].

    Args:
        braces: the job's braces.

    Source: JUDGEMENT, 0.75 of the longest brace.
    """
    return DIAGONAL * max(brace.length for brace in braces)


def diagonal_angle(braces: tuple[Brace, ...]) -> Radian:
    """Give the angle of the steepest diagonal to its row, that of the row nearest the heads, along the braces [rad].

    Args:
        braces: the job's braces, some of them tied.

    Source: STATICS, the rise of the top row over the length of its diagonal.
    """
    rows = max(brace.ties for brace in braces)
    angle = math.asin(rows / (rows + 1.0) / DIAGONAL)
    return Known(angle, "angle of the diagonal to its row", cite("JUDGEMENT", "0.75 of a brace"))


def one_at_tie(materials: Materials, size: str) -> FastenerCapacity:
    """Give what one fastener holds where a tie row crosses a brace's edge.

    Args:
        materials: the job's materials.
        size: nominal size of the brace.
    """
    tie, brace = (
        materials.brace_ply(TIE_SIZE),
        materials.brace_ply(size, thickness=section(size).width, angle=ACROSS),
    )
    return materials.capacity(materials.job.kit.tie.fastener, tie, brace)


def tie_at_brace(materials: Materials, brace: Brace) -> tuple[Strength, ...]:
    """Give the link of a tie where it crosses a brace; nothing where none does.

    Args:
        materials: the job's materials.
        brace: the brace.
    """
    if not brace.ties:
        return ()
    tie, one = materials.job.kit.tie, one_at_tie(materials, brace.size)
    return (
        Strength(
            LinkId.TIE_AT_BRACE, materials.basis.acting.all_of(one.lateral, tie.at_each_brace, 1.0),
            tie_force(along_brace(brace.angle)), "lb", f"{TIES_BY}; {materials.basis.clauses.across}",
            _said(one, tie.at_each_brace), "memory",
        ),
    )  # fmt: skip


def _said(one: FastenerCapacity, count: int) -> Said:
    return Said(
        "so-many-each",
        so_many=Said("so-many", count=count, what=one.name),
        each=Quantity(one.lateral, Kind.EACH),
    )


@frozen
class RowStrength:
    """What the parts of a tie row may carry.

    Attributes:
        row: along the row, drawn.
        diagonal: along its diagonal, drawn.
        nails: the fasteners at one end of the diagonal.
        angle: of the diagonal to the row [rad].
    """

    row: Strength
    diagonal: Strength
    nails: Strength
    angle: Radian


@lru_cache(maxsize=256)  # asked with the wind from either side
def row_strength(materials: Materials, braces: tuple[Brace, ...]) -> RowStrength:
    """Give what a tie row, its diagonal and the fasteners at each of its ends may carry.

    Args:
        materials: the job's materials.
        braces: the job's braces, some of them tied.

    Source: EN1995 9.2.5.2 (from memory); NDS 3.9.1.
    """
    angle, length, tie = diagonal_angle(braces), diagonal_length(braces), materials.job.kit.tie
    values, shape = materials.brace_values(TIE_SIZE), section(TIE_SIZE)
    weight = weight_per_length(shape.area, wood_density(values.G, MOISTURE_PERCENT[materials.moisture]))
    member, ply = materials.basis.member(shape, values), materials.brace_ply(TIE_SIZE)
    places = sorted({brace.stud_at for brace in braces})
    level = member.pull(Stick(shape, max((b - a for a, b in pairwise(places)), default=length), 0.0, weight))
    sloping = member.pull(Stick(shape, length, angle, weight))
    one = materials.capacity(tie.fastener, ply, ply)
    nails = materials.basis.acting.all_of(one.lateral, tie.diagonal_fasteners, 1.0)
    across = materials.basis.clauses.across
    row, diagonal, fasteners = (
        Strength(link, capacity, 1.0, "lb", f"{TIES_BY}; {source}", why, "memory")
        for link, capacity, source, why in (
            (LinkId.TIE_ROW, level.capacity_lb, level.source, level.governing),
            (LinkId.DIAGONAL, sloping.capacity_lb, sloping.source, sloping.governing),
            (LinkId.DIAGONAL_NAILS, nails, across, _said(one, tie.diagonal_fasteners)),
        )
    )
    return RowStrength(row, diagonal, fasteners, angle)
