"""The same job from options alone: they fill the same tables as a file and are read by the same code.

Most options are one field (`--height "10 ft"` is wall.height). Six are written short:

    studs     "2x6@16in"                       size and spacing (a bare number after @ is inches on centre)
    joists    "2x10@16in away"                 size, spacing, away or along
    plate     "16d common@16in"                fastener and spacing of the bottom plate
    layers    "osb 7/16, housewrap", or "none" for a bare frame
    stock     "2x6@16ft, 2x4@14ft"
    opening   "13ft:sill 3ft:6ft x 4ft:open"   left edge; sill (none is a door); width x height; uncovered
    brace     "18ft:head 12ft:back 10ft:2x6:left:ties 1:4/4/5:joist:doubled"
              stud from LEFT; head height; set-back; then, as far as known and in any order: size, side it
              laps, tie rows, fasteners at head/cleat/floor, into a joist, stud doubled, mark B7
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

from attrs import evolve

from bracing.errors import Fault, InputError, near_names, shown
from bracing.job.job import Job
from bracing.reading.assemble import Origin, assemble

COMMAND_LINE = "command line"
FIELDS = {
    "name": "wall.name",
    "state": "wall.state",
    "length": "wall.length",
    "height": "wall.height",
    "peak": "wall.peak",
    "peak_at": "wall.peak_at",
    "left_height": "wall.left_height",
    "right_height": "wall.right_height",
    "species": "wall.studs.species",
    "grade": "wall.studs.grade",
    "moisture": "wall.moisture",
    "plate_state": "wall.plate.state",
    "floor": "floor.kind",
    "deck": "floor.deck",
    "room": "floor.room",
    "height_above_ground": "floor.height_above_ground",
    "open_below": "floor.open_below",
    "exposure": "site.exposure",
    "hill": "site.hill",
    "kzt": "site.kzt",
    "design_speed": "site.design_speed",
    "stands": "site.stands",
    "brace_species": "kit.species",
    "brace_grade": "kit.grade",
    "ties": "kit.ties",
    "head_joint": "kit.head.joint",
    "head_fastener": "kit.head.fastener",
    "cleat_fastener": "kit.cleat.brace_fastener",
    "floor_fastener": "kit.cleat.floor_fastener",
}
SHORT = {
    "studs": ("wall.studs.size", "wall.studs.spacing"),
    "joists": ("floor.joists.size", "floor.joists.spacing", "floor.joists.run"),
    "plate": ("wall.plate.fastener", "wall.plate.spacing"),
    "layers": ("wall.layers",),
    "stock": ("kit.stock",),
    "opening": ("wall.opening",),
    "brace": ("brace",),
}
OPTIONS = (*FIELDS, *SHORT)
_WHOLE = re.compile(r"[0-9]{1,9}")
_DECIMAL = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_FASTENERS = re.compile(r"([0-9]{1,3})/([0-9]{1,3})/([0-9]{1,3})")
_SIZE = re.compile(r"[0-9]+ ?x ?[0-9]+", re.IGNORECASE)
_STUDS = 'size and spacing, such as "2x6@16in"'
_JOISTS = 'size, spacing and direction, such as "2x10@16in away"'
_PLATE = 'fastener and spacing, such as "16d common@16in"'
_STOCK = 'size and length, such as "2x6@16ft"'
_OPENING = 'left edge, sill and size, such as "13ft:sill 3ft:6ft x 4ft"'
_BRACE = 'stud, head and set-back, such as "18ft:head 12ft:back 10ft:2x6"'


def job_from_options(**options: object) -> Job:
    """Make a job of options alone; None is an option not given.

    Args:
        options: text by option name (see OPTIONS); layers, stock, opening and brace also take a list.

    Returns:
        The job; its hash is of the options as JSON with sorted keys.

    Raises:
        InputError: every fault in them, named by option where one option is at fault.

    Example:
        >>> job = job_from_options(length="36ft", height="10ft", studs="2x6@16in")
        >>> job.wall.studs.size, job.wall.studs.spacing, sorted(job.declared)[-1]
        ('2x6', 16.0, 'wall.studs.spacing')
    """
    given = {key: value for key, value in options.items() if value is not None and value != []}
    text = json.dumps(given, sort_keys=True, default=str)
    origin = Origin(COMMAND_LINE, hashlib.sha256(text.encode("utf-8", "replace")).hexdigest())
    tables, faults = tables_of_options(given)
    try:
        job = assemble(tables, origin)
    except InputError as error:
        raise InputError((*faults, *map(_by_option, error.faults))) from None
    if faults:
        raise InputError(faults)
    return job


def tables_of_options(given: Mapping[str, object]) -> tuple[dict[str, Any], list[Fault]]:
    """Fill the tables of a wall file from options.

    Args:
        given: by option name.

    Returns:
        The tables, and the faults of options that could not be taken apart.
    """
    tables: dict[str, Any] = {"wall": {}}
    faults: list[Fault] = []
    for key, value in given.items():
        if key in FIELDS:
            _put(tables, FIELDS[key], _plain(value))
        elif key in SHORT:
            for path, part in _taken_apart(key, value, faults):
                _put(tables, path, part)
        else:
            near = near_names(key, OPTIONS)
            expected = f"a known option; near: {', '.join(near)}" if near else "a known option"
            faults.append(Fault(COMMAND_LINE, _named(key), shown(value), expected))
    return tables, faults


def _plain(value: object) -> object:
    """Give numbers typed as text as numbers; all else as typed, for its field to judge."""
    if isinstance(value, str) and _WHOLE.fullmatch(value.strip()):
        return int(value)
    if isinstance(value, str) and _DECIMAL.fullmatch(value.strip()):
        return float(value)
    return value


def _put(tables: dict[str, Any], path: str, value: object) -> None:
    *tables_on_the_way, last = path.split(".")
    for name in tables_on_the_way:
        tables = tables.setdefault(name, {})
    tables[last] = value


def _named(option: str) -> str:
    return "--" + option.replace("_", "-")


_OPTION_OF = {path: _named(key) for key, path in FIELDS.items()}
_OPTION_OF |= {path: _named(key) for key, paths in SHORT.items() for path in paths}


def _by_option(fault: Fault) -> Fault:
    """Name the option instead of the field where one option gives it."""
    return evolve(fault, field=_OPTION_OF.get(fault.field, fault.field))


# -- options written short -------------------------------------------------------------------------------


def _taken_apart(key: str, value: object, faults: list[Fault]) -> Iterable[tuple[str, object]]:
    texts = _texts(value, split=key in ("layers", "stock"))
    if texts is None or (key in _ONCE and len(texts) != 1):
        faults.append(Fault(COMMAND_LINE, _named(key), shown(value), _HOW[key]))
        return ()
    if key == "layers":
        return [("wall.layers", [] if texts == ["none"] else texts)]
    if key in _ONCE:
        return _once(key, texts[0], faults)
    made = []
    for i, text in enumerate(texts):
        table = _MANY[key](text, i)
        if table is None:
            faults.append(Fault(COMMAND_LINE, _named(key), shown(text), _HOW[key]))
        else:
            made.append(table)
    return [(SHORT[key][0], made)]


def _texts(value: object, *, split: bool) -> list[str] | None:
    """Give an option as a list of texts; None where it is none."""
    items = value if isinstance(value, list | tuple) else [value]
    texts = [item for item in items if isinstance(item, str)]
    if len(texts) != len(items):
        return None
    pieces = [piece for item in texts for piece in (item.split(",") if split else [item])]
    return [piece.strip() for piece in pieces if piece.strip()] or None


def _once(key: str, text: str, faults: list[Fault]) -> Iterable[tuple[str, object]]:
    first, at, rest = text.rpartition("@")
    words = rest.strip().rsplit(None, 1) if key == "joists" else [rest.strip()]
    if not at or not first.strip() or len(words) != len(SHORT[key]) - 1:
        faults.append(Fault(COMMAND_LINE, _named(key), shown(text), _HOW[key]))
        return ()
    return zip(SHORT[key], (first.strip(), _on_centre(words[0]), *words[1:]), strict=True)


def _on_centre(text: str) -> str:
    """Read the trade's bare number after @ as inches on centre."""
    return f"{text} in" if _DECIMAL.fullmatch(text) else text


def _stock(text: str, index: int) -> dict[str, object] | None:
    size, at, length = text.partition("@")
    return {"size": size.strip(), "length": length.strip()} if at and size.strip() else None


def _opening(text: str, index: int) -> dict[str, object] | None:
    left, *pieces = (piece.strip() for piece in text.split(":"))
    made: dict[str, object] = {"left": left}
    for piece in pieces:
        word, _, rest = piece.partition(" ")
        sides = piece.split("x")
        if word == "sill" and rest:
            made["sill"] = rest.strip()
        elif piece in ("open", "covered"):
            made["covered"] = piece == "covered"
        elif len(sides) == 2:
            made["width"], made["height"] = (side.strip() for side in sides)
        else:
            return None
    return made


def _brace(text: str, index: int) -> dict[str, object] | None:
    stud, *pieces = (piece.strip() for piece in text.split(":"))
    made: dict[str, object] = {"mark": f"B{index + 1}", "stud_at": stud}
    for piece in pieces:
        found = _brace_piece(piece)
        if found is None:
            return None
        made |= found
    return made


def _brace_piece(piece: str) -> dict[str, object] | None:
    word, _, rest = piece.partition(" ")
    counts = _FASTENERS.fullmatch(piece)
    if word in _BRACE_WORDS and rest:
        return {_BRACE_WORDS[word]: _plain(rest) if word == "ties" else rest.strip()}
    if counts is not None:
        keys = ("head_fasteners", "cleat_fasteners", "floor_fasteners")
        return {key: int(count) for key, count in zip(keys, counts.groups(), strict=True)}
    if piece in _BRACE_FLAGS:
        return {_BRACE_FLAGS[piece]: True}
    if piece in ("left", "right"):
        return {"lap_side": piece}
    return {"size": piece} if _SIZE.fullmatch(piece) else None


_BRACE_WORDS = {"head": "head", "back": "set_back", "ties": "ties", "mark": "mark"}
_BRACE_FLAGS = {"joist": "into_joist", "doubled": "stud_doubled"}
_ONCE = ("studs", "joists", "plate")
_MANY = {"stock": _stock, "opening": _opening, "brace": _brace}
_HOW = {
    "studs": _STUDS,
    "joists": _JOISTS,
    "plate": _PLATE,
    "layers": 'layers, such as "osb 7/16, housewrap", or none',
    "stock": _STOCK,
    "opening": _OPENING,
    "brace": _BRACE,
}
