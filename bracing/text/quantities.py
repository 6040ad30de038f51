"""Quantities as text, US or metric, and what is said with them.

What the calculation says of itself, such as why a link is as strong as it is, it says by id with its quantities; a page
writes the words and every quantity in its own units, JSON in US units. Nothing is read back out of a sentence.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping

from attrs import evolve, field, frozen

from bracing.choosing import whole_down
from bracing.said import Kind, Quantity, Said, Term
from bracing.text.languages import OWN, Spoken, template
from bracing.units import (
    INCHES_PER_FOOT,
    MM_PER_INCH,
    MPH_PER_METRE_PER_SECOND,
    POUNDS_PER_NEWTON,
    Inch,
    Mph,
    Pound,
    asked_gust,
    down,
    gust,
    mass,
    pounds,
    strength,
    tape,
    up,
)

METER_HELD, METER_HELD_METRIC = "5 ft", "1.5 m"  # how high above the deck a meter is held

# What one of each unit of a sum comes to in metric units.
_NEWTON = 1.0 / POUNDS_PER_NEWTON
COMES_TO = {
    "in": (MM_PER_INCH, "mm"), "ft": (0.3048, "m"), "mph": (1.0 / MPH_PER_METRE_PER_SECOND, "m/s"),
    "lb": (_NEWTON / 1000.0, "kN"), "lb/ft": (_NEWTON / 304.8, "kN/m"), "lb/in": (_NEWTON / MM_PER_INCH, "kN/m"),
    "lb in": (_NEWTON * 0.0254, "N m"), "in-lb": (_NEWTON * 0.0254, "N m"), "psi": (_NEWTON / 645.16, "MPa"),
    "psf": (_NEWTON / 0.3048**2 / 1000.0, "kPa"), "pcf": (_NEWTON / 9.80665 / 0.3048**3, "kg/m3"),
    "in per ft": (MM_PER_INCH / 0.3048, "mm per m"), "in/lb": (1000.0 * MM_PER_INCH / _NEWTON, "mm/kN"),
}  # fmt: skip


def comes_to(value: float, unit: str, *, digits: int = 4) -> str:
    """Write in metric units what a sum in US units comes to; "" where its unit is of no system.

    Args:
        value: in that unit.
        unit: such as "lb in".
        digits: figures of it.

    Example:
        >>> comes_to(1000.0, "lb"), comes_to(30.6, "pcf", digits=3), comes_to(0.5, "")
        ('4.448 kN', '490 kg/m3', '')
    """
    if unit not in COMES_TO:
        return ""
    factor, metric = COMES_TO[unit]
    return f"{float(f'{value * factor:.{digits}g}'):.10g} {metric}"


# What is written with every digit it was given with: of how many base units one is, and its unit.
AS_DECLARED = {
    Kind.INCHES: (1.0, "in"), Kind.FEET: (1.0 / INCHES_PER_FOOT, "ft"), Kind.GIVEN: (1.0, "mph"),
    Kind.LINE_LOAD: (INCHES_PER_FOOT, "lb/ft"),
}  # fmt: skip
ANGLES = {Kind.DEGREES: 0, Kind.TENTHS: 1}  # digits after the point


@frozen
class Written:
    """A quantity as written; words that give a range leave the unit of its first end out.

    Attributes:
        text: with its unit.
    """

    text: str

    def __str__(self) -> str:
        return self.text

    @property
    def number(self) -> str:
        """Without its unit."""
        return self.text.rpartition(" ")[0]


@frozen
class Listed:
    """Several values at one place: the words say what stands between them, a comma unless said.

    Attributes:
        values: as written.
    """

    values: tuple[str, ...]

    def __format__(self, between: str) -> str:
        return (between or ", ").join(self.values)


@frozen
class Quantities(Spoken):
    """How quantities are written, and in which language the words beside them.

    Attributes:
        metric: in metric units.
    """

    metric: bool = field(default=False, kw_only=True)

    def said(self, words: Said | str) -> str:
        """Write what was said in words, in the units of this page; text stays as it is.

        Args:
            words: what is said, or text.

        Example:
            >>> Quantities(metric=True).said(Said("beyond-length", length=Quantity(4800.0, Kind.FEET), most="50 m"))
            'length 121920 mm; this tool covers up to 50 m'
        """
        if isinstance(words, str):
            return words
        told = template(words.id, self.language)
        if told is None:
            return self.english(evolve(self, language=OWN).said(words))
        return told.format(**{name: filled(self, value) for name, value in words.values})

    def counted(self, parts: Mapping[Said | str, int]) -> dict[str, int]:
        """Write a list of parts, sorted by what they are called; those called alike are counted together.

        Args:
            parts: how many of each.
        """
        told: Counter[str] = Counter()
        for what, count in parts.items():
            told[self.said(what)] += count
        return dict(sorted(told.items()))

    def length(self, inches: Inch, *, sixteenths: int = 16) -> str:
        """Write a length as a tape reads it.

        Args:
            inches: the length [in].
            sixteenths: marks to the inch.
        """
        return tape(inches, sixteenths=sixteenths, metric=self.metric)

    def force(self, load: Pound) -> str:
        """Write a force, rounded up.

        Args:
            load: the force [lb].
        """
        return pounds(load, metric=self.metric)

    def strength(self, load: Pound) -> str:
        """Write what something may carry, rounded down.

        Args:
            load: the force [lb].
        """
        return strength(load, metric=self.metric)

    def mass(self, weight: Pound) -> str:
        """Write what something weighs as a scale shows it, rounded up.

        Args:
            weight: the weight [lb].
        """
        return mass(weight, metric=self.metric)

    @property
    def meter_held(self) -> str:
        """How high above the deck a meter is held."""
        return METER_HELD_METRIC if self.metric else METER_HELD

    def holds(self, load: Pound) -> str:
        """Write what one fastener holds, rounded down, without its unit: pounds, or newtons.

        Args:
            load: the force [lb].
        """
        return str(whole_down(load / POUNDS_PER_NEWTON if self.metric else load))

    def gust(self, speed: Mph) -> str:
        """Write a gust people act on, rounded down.

        Args:
            speed: the gust [mph].
        """
        return gust(speed, metric=self.metric)

    def asked(self, speed: Mph) -> str:
        """Write a gust somebody asked for, as asked; where it takes more digits, rounded up.

        Args:
            speed: the gust [mph].
        """
        return asked_gust(speed, metric=self.metric)

    def pressure(self, psf: float) -> str:
        """Write a pressure, rounded up.

        Args:
            psf: the pressure [psf].
        """
        return f"{up(psf * 47.880259 / 1000.0, 2)} kPa" if self.metric else f"{up(psf, 1)} psf"


def filled(page: Quantities, value: object) -> str | Written | Listed:
    """Give what stands at one place among words.

    Args:
        page: how quantities are written.
        value: text, a number, a quantity, something said, a term, or several of them.
    """
    if isinstance(value, Said):
        return page.said(value)
    if isinstance(value, Term):
        return page.term(value.word)
    if isinstance(value, Quantity):
        return Written(written(page, value))
    if isinstance(value, tuple):
        return Listed(tuple(str(filled(page, each)) for each in value))
    return str(value)


def written(page: Quantities, one: Quantity) -> str:
    """Write a quantity, rounded to the side its kind asks for.

    Args:
        page: how quantities are written.
        one: the quantity.

    Example:
        >>> high = Quantity(120.0, Kind.FEET)
        >>> written(Quantities(), high), written(Quantities(metric=True), high)
        ('10 ft', '3048 mm')
    """
    value, kind = one.value, one.kind
    if kind in ANGLES:
        return f"{math.degrees(value):.{ANGLES[kind]}f}"
    if kind in OF_ITS_OWN:
        return OF_ITS_OWN[kind](page, value)
    per, unit = AS_DECLARED[kind]
    if not page.metric:
        return f"{value * per:g} {unit}"
    if kind is Kind.GIVEN:
        return f"{value / MPH_PER_METRE_PER_SECOND:.4g} m/s"
    return comes_to(value, "lb/in", digits=3) if kind is Kind.LINE_LOAD else page.length(value)


def _below(page: Quantities, speed: Mph) -> str:
    return page.asked(speed) if page.metric else f"{speed:g} mph"


def _tenth(speed: Mph) -> str:
    return f"{down(speed, 1) if speed > 0.0 else 0} mph"


def _feet_up(page: Quantities, inches: Inch) -> str:
    return f"{up(inches * MM_PER_INCH)} mm" if page.metric else f"{up(inches / INCHES_PER_FOOT)} ft"


def _feet_down(page: Quantities, inches: Inch) -> str:
    return tape(inches, metric=True) if page.metric else f"{down(inches / INCHES_PER_FOOT, 1)} ft"


# What is rounded to a side of its own, in either system.
OF_ITS_OWN: dict[Kind, Callable[[Quantities, float], str]] = {
    Kind.TAPE: Quantities.length,
    Kind.LOAD: Quantities.force,
    Kind.STRENGTH: Quantities.strength,
    Kind.GUST: Quantities.gust,
    Kind.TENTH_GUST: lambda page, speed: page.gust(speed) if page.metric else _tenth(speed),
    Kind.ASKED: Quantities.asked,
    Kind.BELOW: _below,
    Kind.FEET_UP: _feet_up,
    Kind.FEET_DOWN: _feet_down,
    Kind.DENSITY: lambda page, pcf: comes_to(pcf, "pcf", digits=3) if page.metric else f"{pcf:.1f} pcf",
    Kind.HUNDREDTHS: lambda page, inches: (
        f"{inches * MM_PER_INCH:.1f} mm" if page.metric else f"{inches:.2f} in"
    ),
    Kind.EACH: lambda page, load: (
        f"{down(load * _NEWTON / 1000.0, 3)} kN" if page.metric else f"{down(load)} lb"
    ),
    Kind.WHOLE_FEET: lambda page, inches: (
        page.length(inches) if page.metric else f"{inches / INCHES_PER_FOOT:.0f} ft"
    ),
    Kind.TENTH_FEET: lambda page, inches: (
        page.length(inches) if page.metric else f"{inches / INCHES_PER_FOOT:.1f} ft"
    ),
    Kind.TIMES: lambda _, times: up(times, 1),
    Kind.SHARE: lambda _, share: up(share, 2),
}

ENGLISH = Quantities()


def in_words(answer: object) -> object:
    """Give an answer, or a part of one, as JSON has it: what it says of itself in English and in US units.

    Args:
        answer: a result, what its `to_dict` gives, or something said.

    Example:
        >>> in_words({"gust_mph": 45, "warnings": (Said("low-head", mark="B1"),)})["warnings"]
        ['B1 meets its stud below two thirds of its height: more force in it']
    """
    if isinstance(answer, Said):
        return ENGLISH.said(answer)
    if hasattr(answer, "to_dict"):
        return in_words(answer.to_dict())
    if isinstance(answer, Counter):
        return ENGLISH.counted(answer)
    if isinstance(answer, Mapping):
        return {key: in_words(value) for key, value in answer.items()}
    return [in_words(each) for each in answer] if isinstance(answer, list | tuple) else answer
