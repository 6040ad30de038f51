"""How far fasteners stand from ends, edges and one another, and how many fit."""

from __future__ import annotations

from functools import cache

from bracing.choosing import over, whole_down
from bracing.codes.joints import Fit, Spacing
from bracing.codes.nds.dowels import LARGE_DOWEL
from bracing.errors import InputError
from bracing.job.fasteners import Fastener
from bracing.sources import shipped
from bracing.sums import formula
from bracing.units import Inch

LOADS = ("parallel", "perpendicular")
ENDS = ("tension", "compression")


@formula
def row_distance_perpendicular(D: Inch, l: Inch) -> Inch:  # noqa: E741  (as printed)
    """Give the distance between rows, load across the grain: s = min(5 D, max(2.5 D, (5 l + 10 D) / 8)).

    Args:
        D: nominal diameter, 1/4 in and over [in].
        l: bearing length, the lesser of main and side member [in].

    Returns:
        Least distance between rows [in].

    Source: NDS table 12.5.1D.

    Example:
        >>> row_distance_perpendicular(0.5, 2.0)
        1.875
    """
    least, most = shipped("joints")["spacing"]["large"]["rows_perpendicular"]
    return float(min(most * D, max(least * D, (5.0 * l + 10.0 * D) / 8.0)))


def large_spacing(D: Inch, *, load: str, end: str, bearing: Inch) -> Spacing:
    """Give the distances of fasteners of 1/4 in and over for a geometry factor of 1.

    Args:
        D: nominal diameter [in].
        load: "parallel" or "perpendicular" to the grain.
        end: "tension" toward the end, or "compression".
        bearing: bearing length l, the lesser of main and side member [in].

    Returns:
        The distances [in].

    Assumes softwood, and a load across the grain that may come from either side.
    Source: NDS tables 12.5.1A to 12.5.1D.

    Example:
        >>> large_spacing(0.5, load="parallel", end="tension", bearing=1.5).end
        3.5
    """
    table = shipped("joints")["spacing"]["large"]
    in_row = table["in_row"][1] * D
    if load == "perpendicular":
        return Spacing(
            end=table["end_compression"][1] * D,
            edge=table["edge_loaded"] * D,
            in_row=in_row,
            between_rows=row_distance_perpendicular(D, bearing),
        )
    rows = table["rows_parallel"] * D
    edge = table["edge_parallel"] * D
    slender = bearing / D > 6.0
    far = table["end_tension" if end == "tension" else "end_compression"][1] * D
    return Spacing(far, max(edge, rows / 2.0) if slender else edge, in_row, rows)


def small_spacing(D: Inch, *, load: str, end: str, prebored: bool) -> Spacing:
    """Give the recommended distances of fasteners under 1/4 in, wood side members.

    Args:
        D: nominal diameter [in].
        load: "parallel" or "perpendicular" to the grain.
        end: "tension" toward the end, or "compression".
        prebored: holes are bored first.

    Returns:
        The distances [in].

    Source: NDS-C tables C12.1.5.7 and C12.1.6.6.

    Example:
        >>> round(small_spacing(0.22, load="parallel", end="tension", prebored=False).end, 2)
        3.3
    """
    table = shipped("joints")["spacing"]["small_prebored" if prebored else "small"]
    toward = "end_tension" if end == "tension" and load == "parallel" else "end_compression"
    return Spacing(
        end=table[toward] * D,
        edge=table["edge"] * D,
        in_row=table[f"in_row_{load}"] * D,
        between_rows=table["rows"] * D,
    )


@cache
def least_spacing(
    fastener: Fastener, *, load: str, end: str = "tension", bearing: Inch = 1.5, prebored: bool = False
) -> Spacing:
    """Give the distances a fastener needs for its full value.

    Args:
        fastener: the fastener.
        load: "parallel" or "perpendicular" to the grain.
        end: "tension" toward the end, or "compression".
        bearing: bearing length, the lesser of main and side member; matters from 1/4 in [in].
        prebored: holes are bored first; matters under 1/4 in.

    Returns:
        The distances [in].

    Raises:
        InputError: an unknown load or end.

    Source: NDS 12.5.1; NDS-C C12.1.5.7, C12.1.6.6.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> least_spacing(fastener("lag 3/8x4"), load="perpendicular").edge
        1.5
    """
    for name, word, words in (("load", load, LOADS), ("end", end, ENDS)):
        if word not in words:
            raise InputError.of(name, word, f"one of: {', '.join(words)}")
    if fastener.diameter < LARGE_DOWEL:
        return small_spacing(fastener.diameter, load=load, end=end, prebored=prebored)
    return large_spacing(fastener.diameter, load=load, end=end, bearing=bearing)


def fasteners_that_fit(length: Inch, width: Inch, spacing: Spacing) -> Fit:
    """Count the fasteners that fit in a rectangular face, none closer than the distances kept.

    Rows further apart than 5 in across the grain are not counted (12.5.1.3).

    Args:
        length: size of the face along the grain [in].
        width: size of the face across the grain [in].
        spacing: distances kept; both ends and both edges alike [in].

    Returns:
        Rows and fasteners in each.

    Source: NDS 12.5.1.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> kept = least_spacing(fastener("16d common"), load="parallel")
        >>> fasteners_that_fit(12.0, 3.5, kept)
        Fit(rows=4, per_row=3, spacing=Spacing(end=2.43, edge=0.405, in_row=2.43, between_rows=0.81))
    """
    spread = min(
        width - 2.0 * spacing.edge, float(shipped("joints")["spacing"]["large"]["most_across_grain_in"])
    )
    rows = _how_many(spread, spacing.between_rows)
    per_row = _how_many(length - 2.0 * spacing.end, spacing.in_row)
    return Fit(rows if per_row else 0, per_row if rows else 0, spacing)


def _how_many(clear: Inch, step: Inch) -> int:
    return whole_down(clear / step) + 1 if not over(0.0, clear) else 0
