"""What a field of an input class says of itself, once: what it holds, where it stands, and its low value and why.

Readers of files and options, columns of a list, questions, schema, manual and the list of what was assumed look it up
here, walking down from `Job`. A class holds every value to what its field says as strictly as the reader of files.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, tzinfo
from enum import StrEnum
from functools import cache, lru_cache
from numbers import Integral
from types import NoneType
from typing import Any, NamedTuple, TypeVar, get_args, get_type_hints

import attrs
from attrs import NOTHING, Converter, field, frozen

from bracing.errors import MissingDataError, refused, table_and_near, with_near
from bracing.job.fasteners import fastener, refuse_not_structural
from bracing.job.layers import layer
from bracing.job.lumber import grade as reference_values
from bracing.job.lumber import names, plain, section, size_factors, species_name
from bracing.job.own import OwnGrade, OwnLayer
from bracing.sources import shipped
from bracing.units import INCHES_PER_FOOT, finite_number

KIND, HELP, ONE_OF, LEAST, MOST, KEY = "kind", "help", "one_of", "least", "most", "key"
LOW, OPTION, ON, DRAWN, LOOK = "low", "option", "on", "drawn", "look"
NO_KEY = ""  # of a field that no key of the file gives
PARTS = ("part", "parts")  # kinds of a field that holds another class, or a tuple of one
MOST_LETTERS = 80
MOST_LAYERS = 40
MOST_POINTS = 100
MOST_NAMES = 400
SLACK = 1e-9
_IN_BASE_UNITS = {
    "length": "a length, in inches", "speed": "a speed, in mph", "force": "a force, in pounds",
    "pressure": "a pressure, in psi", "line load": "a load along a line, in pounds per inch",
    "time": "a time, in seconds", "pitch": "a pitch, rise over run",
    "number": "a number", "share": 'a part of one, such as 0.02 or "2 %"',
}  # fmt: skip
_PRINTED = {
    "speed": (1.0, "mph"), "force": (1.0, "lb"), "line load": (1.0 / INCHES_PER_FOOT, "lb/ft"),
    "time": (3600.0, "hours"), "pitch": (1.0 / INCHES_PER_FOOT, "in 12"),
}  # fmt: skip
# Lists by their kind: the kind of what is in them, how few and how many, and what is expected.
LISTS: dict[str, tuple[str, int, int, str]] = {
    "layers": ("layer", 0, MOST_LAYERS, f'at most {MOST_LAYERS} layers, such as ["osb 7/16", "housewrap"]'),
    "point": ("length", 2, 2, 'two lengths, such as ["8 ft", "3 ft"]'),
    "points": (
        "point", 2, MOST_POINTS,
        f'2 to {MOST_POINTS} points from LEFT to right, such as [["0 ft", "9 ft"], ["20 ft", "14 ft"]]',
    ),
    "lengths": ("length", 0, MOST_POINTS, f"at most {MOST_POINTS} lengths, in inches"),
    "names": ("name", 0, MOST_NAMES, f"at most {MOST_NAMES} texts"),
    "forces": ("force", 1, MOST_POINTS, f'1 to {MOST_POINTS} forces, such as ["132 lb", "121 lb"]'),
    "counts": ("count", 1, MOST_POINTS, f"1 to {MOST_POINTS} whole numbers, such as [1, 1, 2]"),
}  # fmt: skip
Metadata = Mapping[str, Any]
Part = TypeVar("Part")
Whole = TypeVar("Whole")
Made = TypeVar("Made", bound=Callable[..., Any])


def kept(make: Made) -> Made:
    """Keep what a function gives of a class: the same class says the same.

    Args:
        make: the function.
    """
    return cache(make)  # type: ignore[return-value]  # a class can be hashed, whatever its objects can


# -- what a field says -----------------------------------------------------------------------------------


def _always(job: Any) -> bool:  # noqa: ANN401  (a job, which holds all these fields)
    return True


@frozen
class Low:
    """Of a field that takes a low default unless somebody declares it, and is listed as ASSUMED then.

    Attributes:
        why: why the default is the low one, in plain words.
        usual: what crews usually have; it may be the low default.
        plays: whether the field plays a part in a job.
        was: the low default of wall files of the edition before; None where it is the same.
        beside: what must be declared beside the usual value, by dotted path.
    """

    why: str
    usual: object
    plays: Callable[[Any], bool] = _always
    was: object = None
    beside: tuple[tuple[str, object], ...] = ()


@frozen
class Option:
    """What gives a field on the command line, and in a column of a list; fields of one option are written in one.

    Attributes:
        name: its name.
        about: one line of help, where it is another than the field's own.
    """

    name: str
    about: str = ""


class Look(StrEnum):
    """What a walk along a wall looks at beside its braces, in the order of the walk."""

    UP = "look-up"
    HEADS = "look-heads"
    CLEATS = "look-cleats"
    BRACES = "look-braces"
    TIES = "look-ties"
    DECK = "look-deck"
    JOISTS = "look-joists"
    BLOCKS = "look-blocks"
    CROSS = "look-cross"
    ANCHORS = "look-anchors"
    PLATE = "look-plate"
    EXTRA = "look-extra"
    SHEATHING = "look-sheathing"
    STRAPS = "look-straps"
    OPENINGS = "look-openings"
    STUDS = "look-studs"
    LAYERS = "look-layers"
    ROWS = "look-rows"
    DIAGONALS = "look-diagonals"
    TOP = "look-top"
    ABOVE = "look-above"
    BELOW = "look-below"


def facts_of(
    kind: str,
    about: str = "",
    *,
    one_of: tuple[str, ...] = (),
    least: float | None = None,
    most: float | None = None,
) -> dict[str, Any]:
    """Give what is said of a value that stands in no field of its own.

    Args:
        kind: as for declared().
        about: one line for the manual.
        one_of: the words allowed, for kind "word".
        least: least value allowed, in base units.
        most: greatest value allowed, in base units.
    """
    return {KIND: kind, HELP: about, ONE_OF: one_of, LEAST: least, MOST: most}


def declared(
    kind: str,
    about: str = "",
    *,
    default: Any = NOTHING,  # noqa: ANN401  (any field value)
    key: str | None = None,
    **said: Any,  # noqa: ANN401  (as of facts_of, and Low, Option)
) -> Any:  # noqa: ANN401  (attrs' own signature)
    """Declare one field of an input class.

    Args:
        kind: a quantity ("length", "speed", "force", "pressure", "line load", "time", "pitch"), "count", "number",
            "share" (a number or a percentage), "flag", "word" (one of a few), "name" (free text), a name that
            is in a table ("size", "header", "species", "grade", "fastener", "deck", "soil", "layers"), "point"
            (x, y), "points", "part" (another class) or "parts" (a tuple of one).
        about: one line for the manual: what it is.
        default: the low default; none means the file must give it.
        key: its key in the file, where that is not its name; NO_KEY where no key gives it.
        said: `one_of`, `least` and `most` as for facts_of(), of "parts" how many; `low`, a Low; `option`, an Option;
            `on`, the kind of floor it is only on; `drawn`, a class whose keys draw it in the file; `look`, the Look a
            walk finds it at.

    Returns:
        The attrs field.
    """
    more = {name: said.pop(name, None) for name in (LOW, OPTION, ON, DRAWN, LOOK)}
    metadata = {**facts_of(kind, about, **said), KEY: key, **more}
    return field(default=default, metadata=metadata, converter=_CONVERTER)


def class_of(cls: type[Any], name: str) -> type[Any]:
    """Give the class that a field of kind "part" or "parts" holds.

    Args:
        cls: the class the field is in.
        name: the field.

    Example:
        >>> from bracing.job.wall import Wall
        >>> class_of(Wall, "openings").__name__
        'Opening'
    """
    hint = _hints(cls)[name]
    inside = [kind for kind in get_args(hint) if isinstance(kind, type) and kind is not NoneType]
    return inside[0] if inside else hint


@kept
def _hints(cls: type[Any]) -> dict[str, Any]:
    return get_type_hints(cls)


@kept
def fields_by_key(cls: type[Any]) -> dict[str, attrs.Attribute[Any]]:
    """Give the declared fields of an input class by their key in the file; a field that is drawn, by what draws it.

    Args:
        cls: the class.

    Example:
        >>> from bracing.job.floor import KeepOut
        >>> list(fields_by_key(KeepOut))
        ['name', 'from', 'to']
    """
    found: dict[str, attrs.Attribute[Any]] = {}
    for one in attrs.fields(cls):
        if one.metadata.get(DRAWN) is not None:
            found |= fields_by_key(one.metadata[DRAWN])
        elif one.metadata.get(KEY, NO_KEY) != NO_KEY:
            found[one.metadata[KEY] or one.name] = one
    return found


class FieldPlace(NamedTuple):
    """Where a field stands.

    Attributes:
        path: its dotted path in the file; "brace[]" and "wall.opening[]" stand for each of them.
        field: the field.
        inside: the class it holds, of a part or parts; None of all others.
    """

    path: str
    field: attrs.Attribute[Any]
    inside: type[Any] | None

    @property
    def kind(self) -> str:
        """Its kind."""
        return str(self.field.metadata[KIND])


@kept
def places(cls: type[Any], where: str = "") -> tuple[FieldPlace, ...]:
    """Walk down from a class: every field of it and of what is in it.

    Args:
        cls: the class, such as Job.
        where: dotted path of its table; empty for the file itself.

    Example:
        >>> from bracing.job.floor import Floor
        >>> [place.path for place in places(Floor, "floor")][-2:]
        ['floor.partition[].to', 'floor.partition[].height']
    """
    return tuple(_walked(cls, where))


def _walked(cls: type[Any], where: str) -> Iterator[FieldPlace]:
    for key, one in fields_by_key(cls).items():
        path, kind = f"{where}.{key}" if where else key, one.metadata[KIND]
        inside = class_of(cls, one.name) if kind in PARTS else None
        yield FieldPlace(path, one, inside)
        if inside is not None:
            yield from places(inside, path if kind == "part" else f"{path}[]")


@kept
def _by_path(cls: type[Any]) -> dict[str, FieldPlace]:
    return {place.path: place for place in places(cls)}


def place_at(cls: type[Any], path: str) -> FieldPlace:
    """Give the field at a path.

    Args:
        cls: the class the path begins in, such as Job.
        path: such as "wall.plate.spacing", "brace[0].ties" or "brace[].ties".

    Example:
        >>> from bracing.job.floor import Floor
        >>> place_at(Floor, "keep_out[3].name").kind
        'name'
    """
    return _by_path(cls)[re.sub(r"\[[0-9]*\]", "[]", path)]


# -- a value by its path --------------------------------------------------------------------------------


def value_at(job: object, path: str) -> object:
    """Give the value of a field by its dotted path.

    Args:
        job: the job.
        path: such as "wall.plate.spacing" or "brace[0].ties".
    """
    value: Any = job
    *way, last = _steps(path)
    for step in way:
        value = value[step] if isinstance(step, int) else _inside(value, step)
    return value[last] if isinstance(last, int) else getattr(value, fields_by_key(type(value))[last].name)


def with_value(job: Whole, path: str, value: object) -> Whole:
    """Give the job with one field changed.

    Args:
        job: the job.
        path: dotted path.
        value: the new value.
    """
    changed = _replaced(job, _steps(path), value)
    assert isinstance(changed, type(job))
    return changed


def _steps(path: str) -> list[str | int]:
    steps: list[str | int] = []
    for part in path.split("."):
        name, bracket, index = part.partition("[")
        steps += [name, int(index.rstrip("]"))] if bracket else [name]
    return steps


def _inside(thing: Any, key: str) -> Any:  # noqa: ANN401
    """What stands under a key; a part that is left out whole is as it is where nothing of it is declared."""
    one = fields_by_key(type(thing))[key]
    value = getattr(thing, one.name)
    return class_of(type(thing), one.name)() if value is None and one.metadata[KIND] == "part" else value


def _replaced(thing: Any, steps: list[str | int], value: object) -> object:  # noqa: ANN401
    if not steps:
        return value
    first, rest = steps[0], steps[1:]
    if isinstance(first, int):
        return (*thing[:first], _replaced(thing[first], rest, value), *thing[first + 1 :])
    name = fields_by_key(type(thing))[first].name
    return attrs.evolve(thing, **{name: _replaced(_inside(thing, first) if rest else None, rest, value)})


# -- what it may hold ------------------------------------------------------------------------------------


def hold(value: object, metadata: Metadata, where: str) -> Any:  # noqa: ANN401  (any field value)
    """Hold one value, in base units, to what its field declares.

    Args:
        value: the value; any kind of number counts as one, NaN and infinity do not.
        metadata: of the field, from declared().
        where: dotted path, for a fault.

    Returns:
        The value as the class holds it: a plain number, a name as its table writes it.

    Raises:
        InputError: it is of another kind, in no table, or outside its limits.

    Example:
        >>> hold(2, facts_of("number", least=1.0, most=4.0), "site.kzt")
        2.0
    """
    try:
        held = _HOLDERS[metadata[KIND]](value, metadata, where)
    except MissingDataError as error:
        raise refused(where, value, table_and_near(error)) from None
    if isinstance(held, float | int) and not isinstance(held, bool):
        _hold_to_limits(held, metadata, where)
    return held


def held_value(
    value: object, kind: str, where: str, *, least: float | None = None, most: float | None = None
) -> Any:  # noqa: ANN401
    """Hold an argument of a function to its kind and limits; None stays None.

    Args:
        value: the argument.
        kind: as for declared().
        where: its name.
        least: least value allowed, in base units.
        most: greatest value allowed, in base units.

    Raises:
        InputError: it is of another kind, or outside its limits.

    Example:
        >>> held_value(45, "speed", "gust", least=0.0), held_value(None, "speed", "gust")
        (45.0, None)
    """
    return None if value is None else hold(value, facts_of(kind, least=least, most=most), where)


def lumber_instead(species: str, grade: str, size: str) -> str:
    """Say what is expected instead of lumber that has no published values; nothing where it has them.

    Args:
        species: as in its table.
        grade: as in its table.
        size: nominal size.

    Example:
        >>> lumber_instead("hem-fir", "No.2", "2x6")
        ''
    """
    try:
        size_factors(reference_values(species, grade, size), size)
    except MissingDataError as error:
        expected = f"lumber with published values: {error.key} is not among {error.table}"
        return with_near(expected, error.near)
    return ""


def hold_lumber(species: str, grade: str, size: str, *, where: str) -> None:
    """Hold a species, its grade and size to lumber that has published values.

    Args:
        species: as in its table.
        grade: as in its table.
        size: nominal size.
        where: the class and its field, for the fault.

    Raises:
        InputError: it has none.
    """
    instead = lumber_instead(species, grade, size)
    if instead:
        raise refused(where, " ".join((species, grade, size)), instead)


def amount(value: float, kind: str) -> str:
    """Write a limit in the unit people use.

    Args:
        value: in base units.
        kind: kind of the field.

    Example:
        >>> amount(48.0, "length"), amount(30.0, "length"), amount(250.0, "speed")
        ('4 ft', '30 in', '250 mph')
    """
    if kind in ("length", "point", "points"):
        whole_feet = value >= INCHES_PER_FOOT and value % INCHES_PER_FOOT == 0.0
        return f"{value / INCHES_PER_FOOT:g} ft" if whole_feet else f"{value:g} in"
    scale, unit = _PRINTED.get(kind, (1.0, ""))
    return f"{value / scale:g} {unit}".strip()


def held_part(value: object, cls: type[Part], where: str) -> Part:
    """Hold a value to a class.

    Args:
        value: the value.
        cls: the class.
        where: the class and its field, or the argument, for the fault.

    Raises:
        InputError: it is of another.
    """
    if not isinstance(value, cls):
        raise refused(where, value, f"a {cls.__name__}")
    return value


# -- an object that is being made ------------------------------------------------------------------------


def _made_with(value: object, made: object, of: attrs.Attribute[Any]) -> Any:  # noqa: ANN401  (any field value)
    """Hold a value that an object is made with; its own default has been held before."""
    if value is of.default:
        return value
    if type(value) in _PLAIN and value:  # zeros of either sign are equal and not alike
        return _held_again(type(made), of.name, type(value), value)  # type: ignore[arg-type]  # classes can be hashed
    return _held_with(value, type(made), of)


_PLAIN = frozenset({float, int, bool, str})


@lru_cache(maxsize=16384)
def _held_again(made: type[Any], name: str, _: type[Any], value: object) -> Any:  # noqa: ANN401
    """A search makes the same values into objects over and over: what was held once is held."""
    return _held_with(value, made, attrs.fields_dict(made)[name])


def _held_with(value: object, made: type[Any], of: attrs.Attribute[Any]) -> Any:  # noqa: ANN401  (any field value)
    kind, where = of.metadata[KIND], f"{made.__name__}.{of.name}"
    if value is None and NoneType in get_args(_hints(made)[of.name]):
        return None
    if kind not in PARTS:
        return hold(value, of.metadata, where)
    cls = class_of(made, of.name)
    if kind == "part":
        return held_part(value, cls, where)
    most = int(of.metadata[MOST])
    if not isinstance(value, tuple | list) or len(value) > most:
        raise refused(where, value, f"a tuple of at most {most}, each a {cls.__name__}")
    return tuple(held_part(item, cls, f"{where}[{i}]") for i, item in enumerate(value))


_CONVERTER = Converter(_made_with, takes_self=True, takes_field=True)


# -- one value -------------------------------------------------------------------------------------------


def _hold_to_limits(value: float, metadata: Metadata, where: str) -> None:
    least, most, kind = metadata[LEAST], metadata[MOST], metadata[KIND]
    low = least is not None and value < least - SLACK * max(1.0, abs(least))
    high = most is not None and value > most + SLACK * max(1.0, abs(most))
    if low or high:
        if least is not None and most is not None:
            raise refused(where, value, f"from {amount(least, kind)} to {amount(most, kind)}")
        raise refused(
            where, value, f"at least {amount(least, kind)}" if low else f"at most {amount(most, kind)}"
        )


def _number(value: object, metadata: Metadata, where: str) -> float:
    number = finite_number(value)
    if number is None:
        raise refused(where, value, _IN_BASE_UNITS[metadata[KIND]])
    return number


def _count(value: object, metadata: Metadata, where: str) -> int:
    if type(value) is int:
        return value
    if isinstance(value, bool) or not isinstance(value, Integral):
        raise refused(where, value, "a whole number")
    return int(value)


def _flag(value: object, metadata: Metadata, where: str) -> bool:
    if not isinstance(value, bool):
        raise refused(where, value, "true or false")
    return value


def _word(value: object, metadata: Metadata, where: str) -> str:
    if not isinstance(value, str) or value not in metadata[ONE_OF]:
        raise refused(where, value, f"one of: {', '.join(metadata[ONE_OF])}")
    return str(value)


def _name(value: object, metadata: Metadata, where: str) -> str:
    if (
        not isinstance(value, str)
        or not value.strip()
        or len(value) > MOST_LETTERS
        or not value.isprintable()
    ):
        raise refused(where, value, f"text of 1 to {MOST_LETTERS} letters")
    return str(value).strip()


def _text(value: object, metadata: Metadata, where: str) -> str:
    if not isinstance(value, str):
        raise refused(where, value, "text")
    return str(value)


def _texts(value: object, metadata: Metadata, where: str) -> tuple[str, ...] | frozenset[str]:
    """Hold several texts, in order or as a set; one text is not several."""
    if not isinstance(value, tuple | list | frozenset | set):
        raise refused(where, value, "a tuple or set of texts")
    held = [_text(item, metadata, where) for item in value]
    return frozenset(held) if isinstance(value, frozenset | set) else tuple(held)


def _moment(value: object, metadata: Metadata, where: str) -> datetime:
    if not isinstance(value, datetime) or value.tzinfo is None:
        raise refused(where, value, "a date and time with its zone")
    return value


def _zone(value: object, metadata: Metadata, where: str) -> tzinfo:
    if not isinstance(value, tzinfo):
        raise refused(where, value, "a time zone")
    return value


def _basis(value: object, metadata: Metadata, where: str) -> object:
    """Hold what gives pressures and strengths to being one; what is kept asks it for its hash."""
    if isinstance(value, type) or not all(
        hasattr(value, name) for name in ("standards", "lumber", "wind", "__hash__")
    ):
        raise refused(where, value, "an object that gives pressures and strengths, such as own_basis(...)")
    return value


# -- names that are in a table ---------------------------------------------------------------------------


def _size(value: object, metadata: Metadata, where: str) -> str:
    name = _header(value, metadata, where)
    if section(name).plies != 1:
        raise refused(where, value, "one stick, such as 2x6")
    return name


def _header(value: object, metadata: Metadata, where: str) -> str:
    name = _name(value, metadata, where)
    section(name.rpartition("-")[2])  # near names are of one stick
    return section(name).name


def _species(value: object, metadata: Metadata, where: str) -> str:
    return species_name(_name(value, metadata, where))


def _grade(value: object, metadata: Metadata, where: str) -> str:
    if isinstance(value, OwnGrade):
        return value
    name, known = _name(value, metadata, where), names("grade")
    if plain(name) not in known:
        table = "grades"
        raise MissingDataError(table, name, dict.fromkeys(known.values()))
    return known[plain(name)]


def _fastener(value: object, metadata: Metadata, where: str) -> str:
    """Hold the name of a fastener; one that is in no table may be the user's own, which the job knows."""
    name = _name(value, metadata, where)
    refuse_not_structural(name, where=where)
    try:
        return fastener(name).name
    except MissingDataError:
        return name


def _layer(value: object, metadata: Metadata, where: str) -> str:
    return value if isinstance(value, OwnLayer) else layer(_name(value, metadata, where)).name


def _deck(value: object, metadata: Metadata, where: str) -> str:
    found = layer(value if isinstance(value, OwnLayer) else _name(value, metadata, where))
    if not found.panel or found.thickness <= 0.0:
        raise refused(where, value, "a structural panel with its thickness, such as osb 23/32")
    return found.name


def _soil(value: object, metadata: Metadata, where: str) -> str:
    name, table = _name(value, metadata, where), "soils with a published value of lateral"
    if name not in _soils():
        raise MissingDataError(table, name, _soils())
    return name


def _soils() -> tuple[str, ...]:
    soils = shipped("joints")["soil"].items()
    return tuple(key for key, row in soils if isinstance(row, dict) and "lateral" in row)


# -- lists of values, whose faults name the item: `one` holds each, or reads it ----------------------------


def listed(
    value: object, metadata: Metadata, where: str, *, one: Callable[[Any, Metadata, str], Any] = hold
) -> Any:  # noqa: ANN401
    """Hold a list of values, or a point, each of them to what it may be.

    Args:
        value: the list.
        metadata: of the field.
        where: dotted path, for a fault.
        one: what holds each value, or reads it.

    Raises:
        InputError: no list, or not as many as there may be.
    """
    inside, least, most, expected = LISTS[metadata[KIND]]
    if not isinstance(value, tuple | list) or not least <= len(value) <= most:
        raise refused(where, value, expected)
    within = {"least": None if inside == "layer" else metadata[LEAST] or 0.0, "most": metadata[MOST]}
    facts = facts_of(inside, **within)
    return tuple(one(item, facts, f"{where}[{i}]") for i, item in enumerate(value))


_HOLDERS: dict[str, Callable[[object, Metadata, str], Any]] = {
    **dict.fromkeys(_IN_BASE_UNITS, _number),
    "count": _count, "flag": _flag, "word": _word, "name": _name, "text": _text, "texts": _texts, "moment": _moment,
    "zone": _zone, "basis": _basis, "size": _size, "header": _header, "species": _species, "grade": _grade,
    "fastener": _fastener, "layer": _layer, "deck": _deck, "soil": _soil, **dict.fromkeys(LISTS, listed),
}  # fmt: skip
