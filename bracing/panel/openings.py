"""Headers, sills and cripples of the grillage.

A cripple stands on the bottom plate or on a header, and reaches a sill or the top plate. A header or sill
runs to the nearest upright on either side that is there at its height: a full-height stud, or a cripple
where one opening's king is cut by another opening.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from bracing.choosing import greatest
from bracing.job.framing import Framing, Stick
from bracing.job.lumber import section
from bracing.job.wall import Opening
from bracing.panel.builder import SAME_PLACE, Builder
from bracing.units import Inch

LEAST_ROOM: Inch = 1.0  # a header up against the plates is put this far under them
ON_PLATE: Inch = 3.0  # a sill lower than this lies on the bottom plate


@frozen
class Cripple:
    """A cut-off stud in the grillage.

    Attributes:
        x: its centre [in].
        low: its lower node.
        high: its upper node.
        header: the opening whose header it stands on.
        sill: the opening whose sill it holds up.
    """

    x: Inch
    low: int
    high: int
    header: Opening | None
    sill: Opening | None


def add_openings(build: Builder, framing: Framing, full: Sequence[Inch]) -> None:
    """Add the nodes and lines of every opening.

    Args:
        build: the grillage so far: full-height studs have their ends.
        framing: where the sticks are.
        full: centres of the full-height studs [in].
    """
    openings = build.wall.openings
    cut = [stick for stick in framing.members if stick.kind.startswith("cripple")]
    heights = [build.level(_header_height(build, opening, cut, full)) for opening in openings]
    cripples = [_cripple(build, stick, framing.thickness, heights) for stick in cut]
    cripples += _posts(build, heights)
    size = build.wall.studs.size
    for opening, height in zip(openings, heights, strict=True):
        nodes = _across(build, opening, height, cripples, full)
        nodes += [c.low for c in cripples if c.header is opening]
        build.add("header", sorted(nodes, key=build.x.__getitem__), opening.header, strong=False)
        if opening.sill > ON_PLATE:
            nodes = _across(build, opening, build.level(opening.sill), cripples, full)
            nodes += [c.high for c in cripples if c.sill is opening]
            build.add("sill", sorted(nodes, key=build.x.__getitem__), size, strong=True)
    for c in cripples:
        build.add("cripple", build.vertical(c.x, c.low, c.high), size, strong=True)


def _header_height(build: Builder, opening: Opening, cut: list[Stick], full: Sequence[Inch]) -> Inch:
    """Middle of a header, or as high as the plates over it let it be."""
    standing = [*full, *(stick.x for stick in cut if stick.z_bottom < opening.top < stick.z_top)]
    left = max(x for x in standing if x <= opening.left)
    right = min(x for x in standing if x >= opening.right)
    tops = [build.wall.height_at(x) for x in (left, right)]
    tops += [z for x, z in build.wall.top if left < x < right]
    return min(opening.top + section(opening.header).width / 2.0, min(tops) - LEAST_ROOM)


def _cripple(build: Builder, stick: Stick, t: Inch, heights: list[Inch]) -> Cripple:
    header = sill = None
    low = 0.0
    for opening, height in zip(build.wall.openings, heights, strict=True):
        if not opening.left < stick.x < opening.right:
            continue
        if abs(opening.top + section(opening.header).width - stick.z_bottom) < SAME_PLACE:
            header, low = opening, height
        if abs(opening.sill - t - stick.z_top) < SAME_PLACE:
            sill = opening
    high = build.top(stick.x) if sill is None else build.node(stick.x, build.level(sill.sill))
    return Cripple(stick.x, build.node(stick.x, low), high, header, sill)


def _posts(build: Builder, heights: list[Inch]) -> list[Cripple]:
    """Under a vertex of the top with no room for a cripple, the plate bears on the header."""
    posts = []
    for x, _ in build.wall.top[1:-1]:
        under = [
            (height, opening)
            for opening, height in zip(build.wall.openings, heights, strict=True)
            if opening.left < x < opening.right
        ]
        if under and x not in build.tops:
            height, opening = greatest(under, lambda pair: pair[0])
            posts.append(Cripple(x, build.node(x, height), build.top(x), opening, None))
    return posts


def _across(
    build: Builder, opening: Opening, z: Inch, cripples: list[Cripple], full: Sequence[Inch]
) -> list[int]:
    """Nodes where a level member over or under an opening ends on the uprights beside it."""
    standing = [*full, *(c.x for c in cripples if build.z[c.low] < z < build.z[c.high])]
    left = max(x for x in standing if x <= opening.left)
    right = min(x for x in standing if x >= opening.right)
    return [build.node(left, z), build.node(right, z)]
