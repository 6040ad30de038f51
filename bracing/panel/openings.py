"""Headers, sills and cripples of the grillage.

A cripple stands on the bottom plate or on a header, and reaches a sill or the top plate. A header or sill
runs to the nearest upright on either side that is there at its height: a full-height stud, or a cripple
where one opening's king is cut by another opening.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from bracing.framing import Framing, Stick
from bracing.lumber import section
from bracing.panel.builder import SAME_PLACE, Builder
from bracing.units import Inch
from bracing.wall import Opening

LEAST_ROOM: Inch = 3.0  # a header or sill closer than this to a plate bears on it


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
    cripples = [
        _cripple(build, stick, framing.thickness)
        for stick in framing.members
        if stick.kind.startswith("cripple")
    ]
    for opening in build.wall.openings:
        _header(build, opening, cripples, full)
        if opening.sill > LEAST_ROOM:
            below = [c for c in cripples if c.sill is opening]
            nodes = _across(build, opening, opening.sill, cripples, full)
            _run(build, "sill", [*nodes, *(c.high for c in below)], build.wall.studs.size, strong=True)
    stud = build.wall.studs.size
    for c in cripples:
        build.add("cripple", build.vertical(c.x, c.low, c.high), stud, strong=True)


def header_height(opening: Opening) -> Inch:
    """Middle of an opening's header above the floor [in].

    Args:
        opening: the opening.
    """
    return opening.top + section(opening.header).width / 2.0


def _cripple(build: Builder, stick: Stick, t: Inch) -> Cripple:
    header = sill = None
    for opening in build.wall.openings:
        if not opening.left < stick.x < opening.right:
            continue
        if abs(opening.top + section(opening.header).width - stick.z_bottom) < SAME_PLACE:
            header = opening
        if abs(opening.sill - t - stick.z_top) < SAME_PLACE:
            sill = opening
    low = 0.0 if header is None else header_height(header)
    high = build.top(stick.x) if sill is None else build.node(stick.x, sill.sill)
    return Cripple(stick.x, build.node(stick.x, low), high, header, sill)


def _header(build: Builder, opening: Opening, cripples: list[Cripple], full: Sequence[Inch]) -> None:
    """Add a header; under a vertex of the top with no room for a cripple it meets the plate."""
    above = [c.low for c in cripples if c.header is opening]
    touching = [
        build.top(x)
        for x, z in build.wall.top[1:-1]
        if opening.left < x < opening.right and x not in build.tops and z - opening.top < _clash(opening)
    ]
    nodes = _across(build, opening, header_height(opening), cripples, full)
    if above or touching or not set(nodes) & set(build.tops.values()):
        _run(build, "header", [*nodes, *above, *touching], opening.header, strong=False)


def _clash(opening: Opening) -> Inch:
    return section(opening.header).width + 2.0 * LEAST_ROOM


def _across(
    build: Builder, opening: Opening, z: Inch, cripples: list[Cripple], full: Sequence[Inch]
) -> list[int]:
    """Nodes where a level member over or under an opening ends on the uprights beside it."""
    standing = [(x, build.top(x)) for x in full]
    standing += [(c.x, c.high) for c in cripples if build.z[c.low] < z < build.z[c.high]]
    left = max(p for p in standing if p[0] <= opening.left)
    right = min(p for p in standing if p[0] >= opening.right)
    return [top if build.z[top] - z < LEAST_ROOM else build.node(x, z) for x, top in (left, right)]


def _run(build: Builder, kind: str, nodes: list[int], size: str, *, strong: bool) -> None:
    build.add(kind, sorted(nodes, key=build.x.__getitem__), size, strong=strong)
