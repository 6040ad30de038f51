"""Dressed sizes and sections of sawn lumber."""

from __future__ import annotations

import re
from functools import cache

from attrs import frozen

from bracing.errors import MissingDataError
from bracing.job import lumber_data as data
from bracing.units import Inch

_SIZE = re.compile(r"^(?:(?P<plies>[1-6])-)?(?P<thickness>[0-9]{1,2})x(?P<width>[0-9]{1,2})$")


@frozen
class Section:
    """The dressed section of one size, all plies standing side by side with no composite action.

    Attributes:
        name: nominal size, such as "2x6" or "2-2x6".
        thickness: of one ply [in].
        width: of one ply, the larger dimension [in].
        plies: how many.
    """

    name: str
    thickness: Inch
    width: Inch
    plies: int = 1

    @property
    def area(self) -> float:
        """Area of all plies [in^2]."""
        return self.plies * self.thickness * self.width

    def moment_of_inertia(self, *, strong: bool) -> float:
        """Give the moment of inertia, I = n b d^3/12 [in^4].

        Args:
            strong: bending on edge; otherwise each ply bends flat by itself.

        Source: NDS-S Table 1B.

        Example:
            >>> round(section("2x6").moment_of_inertia(strong=True), 3)
            20.797
        """
        b, d = (self.thickness, self.width) if strong else (self.width, self.thickness)
        return self.plies * b * d**3 / 12.0

    def section_modulus(self, *, strong: bool) -> float:
        """Give the section modulus, S = n b d^2/6 [in^3].

        Args:
            strong: bending on edge; otherwise each ply bends flat by itself.

        Source: NDS-S Table 1B.

        Example:
            >>> round(section("2x6").section_modulus(strong=True), 3)
            7.562
        """
        b, d = (self.thickness, self.width) if strong else (self.width, self.thickness)
        return self.plies * b * d**2 / 6.0


def nominal(size: str) -> tuple[int, int, int]:
    """Split a nominal size into plies, thickness and width [nominal in].

    Args:
        size: such as "2x6", "2 x 6" or "2-2x6".

    Raises:
        MissingDataError: a size that is not sold.

    Source: NDS-S Table 1B.

    Example:
        >>> nominal("2-2x6")
        (2, 2, 6)
    """
    clean = size.lower().replace("×", "x").replace(" ", "").replace("(", "").replace(")", "-").lstrip("-")
    match = _SIZE.match(clean)
    sold = {int(key): value for key, value in data.table()["sizes"].items() if key != "source"}
    if match is not None and int(match["width"]) in sold.get(int(match["thickness"]), ()):
        return int(match["plies"] or 1), int(match["thickness"]), int(match["width"])
    searched = "lumber sizes"
    raise MissingDataError(searched, size, [f"{t}x{w}" for t, widths in sold.items() for w in widths])


def dressed(nominal_inches: int, *, green: bool = False) -> Inch:
    """Give the smallest dressed dimension of a nominal one [in].

    Args:
        nominal_inches: nominal dimension [in].
        green: as dressed green; a section is always taken dry, the smaller.

    Raises:
        MissingDataError: no such nominal dimension.

    Source: NDS-S Table 1A.

    Example:
        >>> dressed(6), dressed(6, green=True)
        (5.5, 5.625)
    """
    column = data.table()["dressed"]["green" if green else "dry"]
    if str(nominal_inches) not in column:
        searched = "dressed dimensions"
        raise MissingDataError(searched, str(nominal_inches), column)
    return float(column[str(nominal_inches)])


@cache
def section(size: str) -> Section:
    """Give the dressed section of a nominal size.

    Args:
        size: such as "2x6" or "2-2x6".

    Raises:
        MissingDataError: a size that is not sold, with the near ones.

    Source: NDS-S Table 1A.

    Example:
        >>> section("2x4").area, section("2-2x6").area
        (5.25, 16.5)
    """
    plies, thickness, width = nominal(size)
    name = f"{thickness}x{width}" if plies == 1 else f"{plies}-{thickness}x{width}"
    return Section(name=name, thickness=dressed(thickness), width=dressed(width), plies=plies)
