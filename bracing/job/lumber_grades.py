"""Reference design values: species and grades as a person writes them, looked up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from attrs import frozen

from bracing.errors import MissingDataError
from bracing.job import lumber_data as data
from bracing.job.lumber import nominal
from bracing.sources import cite
from bracing.units import Psi

_THICK_COLUMN_FROM = 4
STRENGTHS = ("Fb", "Ft", "Fv", "Fc_perp", "Fc", "E", "Emin")
FIRST_STUD_WIDTH_AS_NO3 = 8


@frozen
class ReferenceValues:
    """Reference design values of one species and grade, before any factor.

    Attributes:
        species: species as in the table.
        grade: grade as in the table.
        Fb: bending [psi].
        Ft: tension along the grain [psi].
        Fv: shear along the grain [psi].
        Fc_perp: bearing across the grain [psi].
        Fc: compression along the grain [psi].
        E: modulus of elasticity, average [psi].
        Emin: modulus of elasticity for stability [psi].
        G: assigned specific gravity [-].
        rule: the size-factor table the grade follows.
        source: where the values were read.
    """

    species: str
    grade: str
    Fb: Psi
    Ft: Psi
    Fv: Psi
    Fc_perp: Psi
    Fc: Psi
    E: Psi
    Emin: Psi
    G: float
    rule: str
    source: str


def species_names() -> tuple[str, ...]:
    """Give every species that has design values here."""
    return tuple(dict.fromkeys(block["species"] for block in data.table()["values"]))


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
    known = data.names("species")
    if data.plain(name) not in known:
        searched = "species"
        raise MissingDataError(searched, name, [row["name"] for row in data.table()["species"]])
    return known[data.plain(name)]


def specific_gravity(species: str, *, extra: tuple[ReferenceValues, ...] = ()) -> float:
    """Give the assigned specific gravity of a species, G [-].

    Args:
        species: as a person writes it.
        extra: the user's own lumber.

    Raises:
        MissingDataError: no such species.

    Source: NDS Table 12.3.3A.

    Example:
        >>> specific_gravity("hem-fir")
        0.43
    """
    own = [row.G for row in extra if data.plain(row.species) == data.plain(species)]
    if own:
        return min(own)
    name = species_name(species)
    return next(float(row["G"]) for row in data.table()["species"] if row["name"] == name)


def grade(species: str, grade: str, size: str, *, extra: tuple[ReferenceValues, ...] = ()) -> ReferenceValues:
    """Look up the reference design values of a species, grade and size.

    Args:
        species: as a person writes it.
        grade: as on the grade stamp.
        size: nominal size; southern pine depends on it, and Stud grade from 8 in wide takes No.3 values.
        extra: the user's own lumber, looked at first.

    Raises:
        MissingDataError: no such species, grade or size, or no values for that size.

    Source: NDS-S Tables 4A and 4B.

    Example:
        >>> grade("SPF", "#2", "2x6").Fb
        875.0
    """
    _, thickness, width = nominal(size)
    for row in extra:
        if (data.plain(row.species), data.plain(row.grade)) == (data.plain(species), data.plain(grade)):
            return row
    searched = "sizes with design values"
    if thickness < 2:
        raise MissingDataError(searched, size, ())
    kind = species_name(species)
    wanted = data.names("grade").get(data.plain(grade), grade)
    if wanted == "Stud" and width >= FIRST_STUD_WIDTH_AS_NO3:
        wanted = "No.3"
    blocks = [block for block in data.table()["values"] if block["species"] == kind]
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
    rule = block.get("rule") or next(g["rule"] for g in data.table()["grade"] if g["name"] == row["grade"])
    key, _, clause = block["source"].partition(" ")
    return ReferenceValues(
        species=block["species"],
        grade=row["grade"],
        **{name: float(row[name]) for name in STRENGTHS},
        G=specific_gravity(block["species"]),
        rule=rule,
        source=cite(key, clause) + (" (from memory)" if block["recalled"] else ""),
    )


def _row_for(block: str, width: int, *, size: str) -> Mapping[str, float]:
    for row in data.table()[block]["rows"]:
        if width <= row["width"]:
            found: Mapping[str, float] = row
            return found
    searched = "widths this grade comes in"
    raise MissingDataError(searched, size, [str(row["width"]) for row in data.table()[block]["rows"]])


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
    _, thickness, width = nominal(size)
    row = _row_for(reference.rule, width, size=size)
    bending = "Fb_4" if thickness >= _THICK_COLUMN_FROM else "Fb"
    return {"Fb": row[bending], "Ft": row["Ft"], "Fc": row["Fc"]}


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
    return row["Cfu_4" if thickness >= _THICK_COLUMN_FROM else "Cfu"]
