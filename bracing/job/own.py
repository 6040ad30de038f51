"""Lumber and layers of a program's own: names that bring their values along, wherever a name of a table is asked for.

Such a name prints as its text and is none of a table: two of one text with other values are two, so that nothing kept
of one is taken for the other.
"""

from __future__ import annotations

import math
from typing import Any, TypedDict

from attrs import frozen

from bracing.errors import CODE, Fault, InputError, shown
from bracing.sources import cite
from bracing.units import PSF_PER_PSI, Inch, Psi, finite_number

LETTERS = 60  # of a name
REPORT = 80  # letters of what backs it
MOST_STRESS: Psi = 10e3
STIFF: tuple[Psi, Psi] = (1e5, 4e6)
MOST_PSF = 250.0
MOST_THICK: Inch = 6.0


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
        known: how they are known, one of `bracing.sources.KNOWN`.
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
    known: str = "read"


@frozen
class Layer:
    """One layer on the wall.

    Attributes:
        name: as written in the file.
        weight: weight per area [psi].
        panel: a structural panel that is nailed to studs and plates.
        thickness: thickness [in].
        source: where the weight comes from.
    """

    name: str
    weight: Psi
    panel: bool
    thickness: Inch
    source: str


class OwnName(str):
    """A name with the values it brings."""

    values: Any

    def __new__(cls, name: str, values: Any) -> OwnName:  # noqa: ANN401, D102  (of a grade, or of a layer)
        made = super().__new__(cls, name)
        object.__setattr__(made, "values", values)
        return made

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(name)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, OwnName) and str(self) == str(other) and bool(self.values == other.values)

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash((str(self), self.values))

    def __str__(self) -> str:
        return str.__str__(self)

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (str(self), self.values)


class OwnGrade(OwnName):
    """A grade of lumber of a program's own: it stands wherever a grade does."""

    values: ReferenceValues


class OwnLayer(OwnName):
    """A layer of a program's own: it stands wherever a layer does."""

    values: Layer


class Strengths(TypedDict):
    """Reference design values of a grade, before any factor, all in psi; the names are those of `ReferenceValues`."""

    Fb: Psi
    Ft: Psi
    Fv: Psi
    Fc_perp: Psi
    Fc: Psi
    E: Psi
    Emin: Psi


def own_grade(name: str, *, report: str, strengths: Strengths, sized: bool = False) -> OwnGrade:
    """Give a grade of lumber that is in no table, to stand where a grade does, beside a species that is in one.

    Args:
        name: what it is called.
        report: what states its values.
        strengths: Fb, Ft, Fv, Fc_perp, Fc, E and Emin [psi].
        sized: the size factors of visually graded dimension lumber count; without it values count as they stand.

    Returns:
        The grade; wet service and load duration count as for any lumber.

    Raises:
        InputError: every value that cannot be.

    Example:
        >>> stamped = Strengths(Fb=1650.0, Ft=1020.0, Fv=135.0, Fc_perp=425.0, Fc=1700.0, E=1.5e6, Emin=0.76e6)
        >>> msr = own_grade("MSR 1650f-1.5E", report="grade stamp", strengths=stamped)
        >>> str(msr), msr.values.Fb, msr == "MSR 1650f-1.5E"
        ('MSR 1650f-1.5E', 1650.0, False)
    """
    given: dict[str, float] = {key: strengths.get(key, math.nan) for key in Strengths.__annotations__}  # type: ignore[misc]
    limits = {key: STIFF if key in ("E", "Emin") else (1.0, MOST_STRESS) for key in given}
    numbers = _held("own_grade", name, report, given=given, limits=limits)
    values = ReferenceValues(
        species="", grade=name, Fb=numbers["Fb"], Ft=numbers["Ft"], Fv=numbers["Fv"], Fc_perp=numbers["Fc_perp"],
        Fc=numbers["Fc"], E=numbers["E"], Emin=numbers["Emin"], G=0.0, rule="size_factor" if sized else "",
        source=f"{cite('USER')}: {report}",
    )  # fmt: skip
    return OwnGrade(name, values)


def own_layer(name: str, *, report: str, psf: float, panel: bool = False, thickness: Inch = 0.0) -> OwnLayer:
    """Give a layer that is in no table, to stand where a layer does.

    Args:
        name: what it is called; "plywood" in it makes a panel one for its nails, any other counts as OSB.
        report: what states its weight.
        psf: weight of a square foot [psf].
        panel: a structural panel, nailed to studs and plates.
        thickness: thickness, which a panel needs [in].

    Returns:
        The layer.

    Raises:
        InputError: every value that cannot be.

    Example:
        >>> board = own_layer("gypsum fibre 1/2", report="data sheet", psf=2.6, thickness=0.5)
        >>> str(board), round(board.values.weight * 144.0, 2), board.values.panel
        ('gypsum fibre 1/2', 2.6, False)
    """
    least = 1.0 / 16.0 if panel else 0.0
    limits = {"psf": (0.01, MOST_PSF), "thickness": (least, MOST_THICK)}
    held = _held("own_layer", name, report, given={"psf": psf, "thickness": thickness}, limits=limits)
    source = f"{cite('USER')}: {report}"
    return OwnLayer(name, Layer(name, held["psf"] / PSF_PER_PSI, bool(panel), held["thickness"], source))


def _held(
    where: str,
    name: object,
    report: object,
    *,
    given: dict[str, float],
    limits: dict[str, tuple[float, float]],
) -> dict[str, float]:
    """Hold a name, what backs it and its numbers to what they may be, all at once."""
    faults = [
        (key, text, f"text of 1 to {most} letters")
        for key, text, most in (("name", name, LETTERS), ("report", report, REPORT))
        if not (isinstance(text, str) and text.strip() and len(text) <= most and text.isprintable())
    ]
    for key, value in given.items():
        number, (least, most) = finite_number(value), limits[key]
        if number is None or not least <= number <= most:
            faults.append((key, str(value), f"a number from {least:g} to {most:g}"))
    if faults:
        raise InputError(Fault(CODE, f"{where}.{key}", shown(got), told) for key, got, told in faults)
    return {key: float(value) for key, value in given.items()}
