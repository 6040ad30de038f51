"""Nodes and member runs while a grillage is being laid out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from attrs import frozen

from bracing.choosing import lowest
from bracing.codes.nds.adjusted import design_values
from bracing.job.lumber import section
from bracing.job.wall import Wall
from bracing.units import Inch

SAME_PLACE: Inch = 0.25  # two things closer than this along a stud meet at one node
SAME_HEAD: Inch = (
    0.125  # a brace head this near a header, sill, row or plate is at it; else it keeps its height
)


@frozen
class Line:
    """One member run through its nodes.

    Attributes:
        kind: stud, cripple, plate, header, sill or row.
        nodes: node numbers in order.
        rigidity: flexural rigidity of each element, EI [lb in2].
        plies: plies sharing the bending in each element.
    """

    kind: str
    nodes: tuple[int, ...]
    rigidity: tuple[float, ...]
    plies: tuple[int, ...]


class Builder:
    """Collects the nodes and lines of one wall.

    Attributes:
        wall: the wall.
        x: node positions from LEFT [in].
        z: node heights [in].
        tops: node on the top plate over each vertical, by its x.
        lines: member runs.
    """

    def __init__(self, wall: Wall) -> None:
        self.wall = wall
        self.x: list[Inch] = []
        self.z: list[Inch] = []
        self.tops: dict[Inch, int] = {}
        self.lines: list[Line] = []
        self._columns: dict[Inch, list[int]] = {}
        self._levels: list[Inch] = [0.0, *(z for _, z in wall.top)]

    def node(self, x: Inch, z: Inch, *, within: Inch = SAME_PLACE) -> int:
        """Give the nearest node on the vertical at x, or a new one where none is near enough.

        Args:
            x: the vertical [in].
            z: height [in].
            within: how near is the same place [in].
        """
        column = self._columns.setdefault(x, [])
        best, near = within, -1
        for n in column:
            off = abs(self.z[n] - z)
            if off < best:
                best, near = off, n
        if near >= 0:
            return near
        column.append(len(self.x))
        self.x.append(x)
        self.z.append(z)
        return len(self.x) - 1

    def level(self, z: Inch) -> Inch:
        """Give the height at which level members near z run, so that each stays straight through its nodes.

        Args:
            z: height of a header, sill or row [in].

        Returns:
            That height, or the one already in use near it [in].
        """
        near = nearest(z, self._levels)
        if abs(near - z) < SAME_PLACE:
            return near
        self._levels.append(z)
        return z

    def top(self, x: Inch) -> int:
        """Give the node where the vertical at x meets the top plate.

        Args:
            x: the vertical [in].
        """
        if x not in self.tops:
            self.tops[x] = self.node(x, self.wall.height_at(x))
        return self.tops[x]

    def vertical(self, x: Inch, low: int, high: int) -> list[int]:
        """Give the nodes of the vertical at x from one of its nodes up to another.

        Args:
            x: the vertical [in].
            low: its lowest node.
            high: its highest node.
        """
        z = self.z
        inside = [n for n in self._columns[x] if z[low] <= z[n] <= z[high]]
        return sorted(inside, key=z.__getitem__)

    def add(self, kind: str, nodes: Sequence[int], size: str, *, strong: bool, plies: int = 1) -> None:
        """Add a member of one size through all its nodes; one that meets fewer than two is nothing.

        Args:
            kind: what it is.
            nodes: its nodes in order.
            size: nominal size.
            strong: bends about its strong axis.
            plies: sticks of that size side by side.
        """
        count = len(nodes) - 1
        if count > 0:
            ei = plies * rigidity(self.wall, size, strong=strong)
            self.lines.append(Line(kind, tuple(nodes), (ei,) * count, (plies,) * count))


def nearest(x: Inch, places: Iterable[Inch]) -> Inch:
    """Give the place nearest x [in].

    Args:
        x: where [in].
        places: some places [in].
    """
    return lowest(places, lambda place: abs(place - x))


def rigidity(wall: Wall, size: str, *, strong: bool) -> float:
    """Flexural rigidity of one stick of the wall's framing lumber, EI [lb in2].

    Args:
        wall: gives species, grade and moisture.
        size: nominal size, any plies counted without composite action.
        strong: bends about its strong axis.
    """
    studs = wall.studs
    return _rigidity(studs.species, studs.grade, size, wet=wall.moisture == "green", strong=strong)


@cache
def _rigidity(species: str, grade: str, size: str, *, wet: bool, strong: bool) -> float:
    E = design_values(species, grade, size, wet=wet, load_duration=1.0).E
    return E * section(size).moment_of_inertia(strong=strong)
