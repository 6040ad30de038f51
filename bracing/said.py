"""What an answer says of itself: an id with its values. The words stand in `text/`, by id, in each language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

LANGUAGES = ("en", "es")  # those there are words in; `text/` has them


class Kind(StrEnum):
    """What a quantity is, so that whoever writes it knows its unit and to which side it is rounded."""

    TAPE = "tape"  # a length as a tape reads it [in]
    INCHES = "inches"  # a length as declared, in inches [in]
    FEET = "feet"  # a length as declared, in feet [in]
    FEET_UP = "feet up"  # a distance to keep, in whole feet: up [in]
    FEET_DOWN = "feet down"  # a distance there is, to the tenth of a foot: down [in]
    WHOLE_FEET = "whole feet"  # a span as declared, to the nearest foot [in]
    TENTH_FEET = "tenth feet"  # a length, to the nearest tenth of a foot [in]
    HUNDREDTHS = "hundredths"  # a small length, to the nearest hundredth of an inch [in]
    LOAD = "load"  # a force something must carry: up [lb]
    STRENGTH = "strength"  # a force something may carry: down [lb]
    TIMES = "times"  # so many times something: up, to a tenth [-]
    EACH = "each"  # a force one fastener may carry: down [lb]
    SHARE = "share"  # a part of what is allowed: up [-]
    DENSITY = "density"  # of wood, to the tenth [pcf]
    GUST = "gust"  # a gust people act on: down [mph]
    ASKED = "asked"  # a gust somebody asked for, as asked; where it takes more digits, up [mph]
    BELOW = "below"  # a gust something must not go under, every digit; in metric up [mph]
    LINE_LOAD = "line load"  # a load along a line, as declared [lb/in]
    TENTH_GUST = "tenth gust"  # a gust something reaches, to the tenth: down [mph]
    GIVEN = "given"  # a gust as somebody gave it, every digit [mph]
    DEGREES = "degrees"  # an angle, to the nearest whole degree [rad]
    TENTHS = "tenths"  # an angle, to the nearest tenth of a degree [rad]


class Verdict(StrEnum):
    """What comes of holding a wall against a gust."""

    WITHIN = "within"
    OVER = "over"
    UNKNOWN = "unknown"
    ENGINEER = "engineer"  # outside what is covered
    NOT_UP = "not up"

    @classmethod
    def at(cls, gust: float, limit: float, *, unknown: bool = False) -> Verdict:
        """Say whether a gust is within a limit, as both are printed.

        Args:
            gust: [mph].
            limit: [mph].
            unknown: nobody said something that comes before any number: it is then unknown, never within.

        Example:
            >>> Verdict.at(40.0, 40) is Verdict.WITHIN, Verdict.at(45.0, 40) is Verdict.OVER
            (True, True)
        """
        if gust > limit:
            return cls.OVER
        return cls.UNKNOWN if unknown else cls.WITHIN


@dataclass(frozen=True, slots=True)  # help alone loads this module, and no attrs
class Quantity:
    """A number that knows its unit.

    Attributes:
        value: in the base unit of its kind.
        kind: what it is.
    """

    value: float
    kind: Kind


@dataclass(frozen=True, slots=True)
class Term:
    """A word that means one thing wherever it stands, such as a verdict or the name of a link.

    Attributes:
        word: in English.
    """

    word: str


@dataclass(frozen=True, slots=True, init=False)
class Said:
    """Something said, in no language yet.

    Attributes:
        id: which words.
        values: what is filled in, by name: text, whole numbers, quantities, other things said, or a tuple of them.
    """

    id: str
    values: tuple[tuple[str, object], ...]

    def __init__(self, words: str, /, **values: object) -> None:
        object.__setattr__(self, "id", words)
        object.__setattr__(self, "values", tuple(values.items()))

    @classmethod
    def by(cls, words: str, values: Mapping[str, object]) -> Said:
        """Say words whose id stands in a table, which may have a place for each of the values.

        Args:
            words: their id.
            values: what may be filled in, by name.
        """
        return cls(words, **values)


def says(said: Said, words: str) -> bool:
    """Whether something is said, by itself or within another.

    Args:
        said: what is said.
        words: the id looked for.

    Example:
        >>> says(Said("hook-off", why=Said("nailed")), "nailed"), says(Said("nailed"), "screwed")
        (True, False)
    """
    return said.id == words or any(says(value, words) for _, value in said.values if isinstance(value, Said))
