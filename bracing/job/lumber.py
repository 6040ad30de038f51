"""Sawn lumber: dressed sizes and reference design values, looked up in data/lumber.toml."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from attrs import evolve, frozen

from bracing.errors import MissingDataError
from bracing.job.own import OwnGrade, ReferenceValues
from bracing.sources import ABOUT, beside, cited, shipped
from bracing.units import MM_PER_INCH, Inch, clean


def plain(name: str) -> str:
    """Fold a name to what tells it apart: lower case, "#" as "no", letters and digits only.

    Args:
        name: as a person writes it.

    Example:
        >>> plain("No. 2"), plain("#2"), plain("SPF (South)")
        ('no2', 'no2', 'spfsouth')
    """
    folded = name.lower().replace("#", "no").replace("&", "and")
    return re.sub(r"[^a-z0-9]", "", folded)


@cache
def names(block: str) -> dict[str, str]:
    """Map every folded name and alias of a block to the name in the table.

    Args:
        block: "species" or "grade".
    """
    return {
        plain(alias): row["name"]
        for row in shipped("lumber")[block]
        for alias in (row["name"], *row["aliases"])
    }


_SIZE = re.compile(r"^(?:(?P<plies>[1-6])-)?(?P<thickness>[0-9]{1,3})x(?P<width>[0-9]{1,3})$")


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

    def _sides(self, *, strong: bool) -> tuple[Inch, Inch]:
        return (self.thickness, self.width) if strong else (self.width, self.thickness)

    def moment_of_inertia(self, *, strong: bool) -> float:
        """Give the moment of inertia, I = n b d^3/12 [in^4].

        Args:
            strong: bending on edge; otherwise each ply bends flat by itself.

        Source: NDS-S Table 1B.

        Example:
            >>> round(section("2x6").moment_of_inertia(strong=True), 3)
            20.797
        """
        b, d = self._sides(strong=strong)
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
        b, d = self._sides(strong=strong)
        return self.plies * b * d**2 / 6.0


def nominal(size: str) -> tuple[int, int, int]:
    """Split a size into plies, thickness and width, in nominal inches; of one in millimetres as thin and as wide.

    Args:
        size: such as "2x6", "2 x 6", "2-2x6" or "45x145".

    Raises:
        MissingDataError: a size that is not sold.

    Source: NDS-S Table 1B.

    Example:
        >>> nominal("2-2x6"), nominal("38x140"), nominal("45x145")
        ((2, 2, 6), (1, 2, 6), (1, 2, 8))
    """
    plies, *sides = _typed(size)
    if not _in_millimetres(sides):
        return plies, sides[0], sides[1]
    thick, wide = (side / MM_PER_INCH for side in sides)
    every = [int(one) for one in shipped("lumber")["dressed"]["dry"]]
    no_thicker = max(one for one in every if dressed(one) <= thick)
    return plies, no_thicker, min(one for one in every if dressed(one) >= wide)


def _typed(size: str) -> tuple[int, int, int]:
    """Plies, thickness and width as a size is called: in nominal inches, or in millimetres where it has none."""
    typed = clean(size).replace("by", "x").replace(" ", "").replace("(", "").replace(")", "-").lstrip("-")
    match = _SIZE.match(typed.removesuffix("s").replace("mm", ""))
    sold = {int(key): value for key, value in shipped("lumber")["sizes"].items() if key not in ABOUT}
    if match is not None:
        plies, thickness, width = int(match["plies"] or 1), int(match["thickness"]), int(match["width"])
        same = shipped("lumber")["millimetres"]["dressed"]
        if str(thickness) in same and str(width) in same:
            thickness, width = same[str(thickness)], same[str(width)]
        if width in sold.get(thickness, ()) or _in_millimetres((thickness, width)):
            return plies, thickness, width
    searched = "lumber sizes"
    raise MissingDataError(searched, size, [f"{t}x{w}" for t, widths in sold.items() for w in widths])


def _in_millimetres(sides: Sequence[int]) -> bool:
    """Whether a thickness and a width are of a size that is sold by the millimetre alone."""
    thickness, width = sides
    return width in shipped("lumber")["millimetres"]["sold"].get(str(thickness), ())


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
    column = shipped("lumber")["dressed"]["green" if green else "dry"]
    if str(nominal_inches) not in column:
        searched = "dressed dimensions"
        raise MissingDataError(searched, str(nominal_inches), column)
    return float(column[str(nominal_inches)])


@cache
def section(size: str) -> Section:
    """Give the dressed section of a size.

    Args:
        size: such as "2x6", "2-2x6", "38x140" or "45x145".

    Raises:
        MissingDataError: a size that is not sold, with the near ones.

    Source: NDS-S Table 1A.

    Example:
        >>> section("2x4").area, section("2-2x6").area, section("38x140").name, round(section("45x145").width, 3)
        (5.25, 16.5, '2x6', 5.709)
    """
    plies, *sides = _typed(size)
    one = "x".join(map(str, sides))
    thickness, width = (
        (side / MM_PER_INCH for side in sides)
        if _in_millimetres(sides)
        else (dressed(side) for side in sides)
    )
    return Section(
        name=one if plies == 1 else f"{plies}-{one}", thickness=thickness, width=width, plies=plies
    )


_THICK_COLUMN_FROM = 4
SIZED = ("Fb", "Ft", "Fc")  # what a size factor changes
STRENGTHS = ("Fb", "Ft", "Fv", "Fc_perp", "Fc", "E", "Emin")
FIRST_STUD_WIDTH_AS_NO3 = 8


def species_names() -> tuple[str, ...]:
    """Give every species that has design values here."""
    return tuple(dict.fromkeys(block["species"] for block in shipped("lumber")["values"]))


def species_name(name: str) -> str:
    """Give the table's name of a species written by name or short name.

    Args:
        name: as a person writes it.

    Raises:
        MissingDataError: no such species.

    Example:
        >>> species_name("SPF"), species_name("Doug Fir")
        ('spruce-pine-fir', 'douglas fir-larch')
    """
    known = names("species")
    if plain(name) not in known:
        searched = "species"
        raise MissingDataError(searched, name, [row["name"] for row in shipped("lumber")["species"]])
    return known[plain(name)]


def specific_gravity(species: str) -> float:
    """Give the assigned specific gravity of a species, G [-].

    Args:
        species: as a person writes it.

    Raises:
        MissingDataError: no such species.

    Source: NDS Table 12.3.3A.

    Example:
        >>> specific_gravity("hem-fir")
        0.43
    """
    name = species_name(species)
    return next(float(row["G"]) for row in shipped("lumber")["species"] if row["name"] == name)


def grade(species: str, grade: str, size: str) -> ReferenceValues:
    """Look up the reference design values of a species, grade and size.

    Args:
        species: as a person writes it.
        grade: as on the grade stamp.
        size: nominal size; southern pine depends on it, and Stud grade from 8 in wide takes No.3 values.

    Raises:
        MissingDataError: no such species, grade or size, or no values for that size.

    Source: NDS-S Tables 4A and 4B.

    Example:
        >>> grade("SPF", "#2", "2x6").Fb
        875.0
    """
    if isinstance(grade, OwnGrade):
        return evolve(grade.values, species=species_name(species), G=specific_gravity(species))
    _, thickness, width = nominal(size)
    searched = "sizes with design values"
    if thickness < 2:
        raise MissingDataError(searched, size, ())
    kind = species_name(species)
    wanted = names("grade").get(plain(grade), grade)
    if wanted == "Stud" and width >= FIRST_STUD_WIDTH_AS_NO3:
        wanted = "No.3"
    blocks = [block for block in shipped("lumber")["values"] if block["species"] == kind]
    rows = [(block, row) for block in blocks for row in block["rows"]]
    graded = [(block, row) for block, row in rows if row["grade"] == wanted]
    if not graded:
        searched = f"grades of {kind}"
        raise MissingDataError(searched, grade, dict.fromkeys(row["grade"] for _, row in rows))
    for block, row in graded:
        least, most = row.get("widths", (0, 99))
        if least <= width <= most:
            return _reference(block, row)
    searched = f"sizes of {kind} {wanted}"
    raise MissingDataError(searched, size, ())


def _reference(block: Mapping[str, Any], row: Mapping[str, Any]) -> ReferenceValues:
    rule = block.get("rule") or next(
        g["rule"] for g in shipped("lumber")["grade"] if g["name"] == row["grade"]
    )
    return ReferenceValues(
        species=block["species"],
        grade=row["grade"],
        **{name: float(row[name]) for name in STRENGTHS},
        G=specific_gravity(block["species"]),
        rule=rule,
        source=beside(cited(block["source"]), block["known"]),
        known=block["known"],
    )


def _row_for(block: str, width: int, *, size: str) -> Mapping[str, Any]:
    for row in shipped("lumber")[block]["rows"]:
        if width <= row["width"]:
            found: Mapping[str, Any] = row
            return found
    searched = "widths this grade comes in"
    raise MissingDataError(searched, size, [str(row["width"]) for row in shipped("lumber")[block]["rows"]])


def size_factors(reference: ReferenceValues, size: str) -> dict[str, float]:
    """Give the size factors CF of Fb, Ft and Fc for a grade and size [-].

    Args:
        reference: the grade, which says which table it follows.
        size: nominal size.

    Raises:
        MissingDataError: the grade does not come that wide.

    Source: NDS-S Table 4A, adjustment factors.

    Example:
        >>> size_factors(grade("SPF", "No.2", "2x8"), "2x8")
        {'Fb': 1.2, 'Ft': 1.2, 'Fc': 1.05}
    """
    if not reference.rule:
        return dict.fromkeys(SIZED, 1.0)
    _, thickness, width = nominal(size)
    row = _row_for(reference.rule, width, size=size)
    bending = "Fb_4" if thickness >= _THICK_COLUMN_FROM else "Fb"
    return {"Fb": row[bending], "Ft": row["Ft"], "Fc": row["Fc"]}


def size_factors_known(reference: ReferenceValues, size: str) -> str:
    """Tell how the size factors of a grade and size are known: one of `bracing.sources.KNOWN`.

    Args:
        reference: the grade, which says which table it follows.
        size: nominal size.

    Raises:
        MissingDataError: the grade does not come that wide.

    Example:
        >>> pine = grade("southern pine", "No.2", "2x14")
        >>> size_factors_known(pine, "2x14"), size_factors_known(pine, "2x12")
        ('memory', 'read')
    """
    if not reference.rule:
        return reference.known
    row = _row_for(reference.rule, nominal(size)[2], size=size)
    return str(row.get("known", shipped("lumber")[reference.rule]["known"]))


def flat_use_factor(size: str) -> float:
    """Give the flat-use factor of bending about the weak axis, Cfu [-].

    Args:
        size: nominal size.

    Source: NDS-S Table 4A, adjustment factors.

    Example:
        >>> flat_use_factor("2x6")
        1.15
    """
    _, thickness, width = nominal(size)
    row = _row_for("flat_use", width, size=size)
    return float(row["Cfu_4" if thickness >= _THICK_COLUMN_FROM else "Cfu"])
