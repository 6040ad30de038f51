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

An opening, a stick and a size with its spacing are taken as said in a yard too: "3-0 x 5-0 at 12-6, sill 2-8",
"2x6x16", "2x6 16 oc".
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from attrs import evolve, frozen

from bracing.errors import Fault, InputError, near_names, shown, with_near
from bracing.job.brace import FOOT_ON, JOINTS
from bracing.job.fields import HELP, OPTION, kept, places
from bracing.job.job import Job
from bracing.reading import spoken
from bracing.reading.jobs import Origin, assemble
from bracing.reading.values import put

COMMAND_LINE = "command line"
SEVERAL = ("opening", "brace")  # one a time, again and again; in a list with semicolons between


@frozen
class GivenCells:
    """What one option, or one column of a list, gives.

    Attributes:
        name: its name.
        paths: dotted paths of the fields it gives; more than one are written short, in one text.
        kind: the kind of the first of them.
        about: one line about it.
    """

    name: str
    paths: tuple[str, ...]
    kind: str
    about: str


@kept
def options_of(job: type[Job] = Job) -> dict[str, GivenCells]:
    """Give the options of a wall by name: those its fields name, walking down from the job.

    Args:
        job: the class of the job.

    Example:
        >>> options_of()["studs"].paths
        ('wall.studs.size', 'wall.studs.spacing')
    """
    found: dict[str, GivenCells] = {}
    for place in places(job):
        option = place.field.metadata[OPTION]
        if option is not None:
            about = option.about or place.field.metadata[HELP]
            first = found.get(option.name, GivenCells(option.name, (), place.kind, about))
            found[option.name] = evolve(first, paths=(*first.paths, place.path))
    return found


OPTIONS = tuple(options_of())
_WHOLE = re.compile(r"[0-9]{1,9}")
_DECIMAL = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_FASTENERS = re.compile(r"([0-9]{1,3})/([0-9]{1,3})/([0-9]{1,3})")
_SIZE = re.compile(r"[0-9]+ ?x ?[0-9]+", re.IGNORECASE)


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
        named = {path: _named(one.name) for one in options_of().values() for path in one.paths}
        told = (replace(fault, field=named.get(fault.field, fault.field)) for fault in error.faults)
        raise InputError((*faults, *told)) from None
    if faults:
        raise InputError(faults)
    return job


def tables_of_options(
    given: Mapping[str, object], job: type[Job] = Job
) -> tuple[dict[str, Any], list[Fault]]:
    """Fill the tables of a wall file from options.

    Args:
        given: by option name.
        job: the class of the job.

    Returns:
        The tables, and the faults of options that could not be taken apart.
    """
    tables: dict[str, Any] = {"wall": {}}
    faults: list[Fault] = []
    known = options_of(job)
    for key, value in given.items():
        if key in known:
            for path, part in _taken_apart(known[key], value, faults):
                put(tables, path, part)
        else:
            expected = with_near("a known option", near_names(key, known))
            faults.append(Fault(COMMAND_LINE, _named(key), shown(value), expected))
    return tables, faults


def _plain(value: object) -> object:
    """Give numbers typed as text as numbers; all else as typed, for its field to judge."""
    if isinstance(value, str) and _WHOLE.fullmatch(value.strip()):
        return int(value)
    if isinstance(value, str) and _DECIMAL.fullmatch(value.strip()):
        return float(value)
    return value


def _named(option: str) -> str:
    return "--" + option.replace("_", "-")


# -- options written short -------------------------------------------------------------------------------


def _taken_apart(option: GivenCells, value: object, faults: list[Fault]) -> Iterable[tuple[str, object]]:
    listed, once = option.kind in ("layers", "parts"), len(option.paths) > 1
    if not listed and not once:
        return [(option.paths[0], _plain(value))]
    texts = _texts(value, split=listed and option.name not in SEVERAL)
    if texts is None or (once and len(texts) != 1):
        return _refused(option, value, faults)
    if once:
        return _once(option, texts[0], faults)
    if option.kind == "layers":
        return [(option.paths[0], [] if texts == ["none"] else texts)]
    made = []
    for text in texts:
        table = _MANY[option.name](text)
        if table is None:
            _refused(option, text, faults)
        else:
            made.append(table)
    return [(option.paths[0], made)]


def _refused(option: GivenCells, value: object, faults: list[Fault]) -> tuple[()]:
    faults.append(Fault(COMMAND_LINE, _named(option.name), shown(value), option.about))
    return ()


def _texts(value: object, *, split: bool) -> list[str] | None:
    """Give an option as a list of texts; None where it is none."""
    items = value if isinstance(value, list | tuple) else [value]
    texts = [item for item in items if isinstance(item, str)]
    if len(texts) != len(items):
        return None
    pieces = [piece for item in texts for piece in (spoken.several(item) if split else [item])]
    return [piece.strip() for piece in pieces if piece.strip()] or None


def _once(option: GivenCells, text: str, faults: list[Fault]) -> Iterable[tuple[str, object]]:
    first, at, rest = text.rpartition("@")
    said = spoken.sized(text) if not at and option.kind == "size" else None
    if said is not None and said[1] and len(said[2].split()) == len(option.paths) - 2:
        return zip(option.paths, (*said[:2], *said[2].split()), strict=True)
    more = len(option.paths) - 2  # words after what follows the @
    words = rest.strip().rsplit(None, more) if more else [rest.strip()]
    if not at or not first.strip() or len(words) != more + 1:
        return _refused(option, text, faults)
    return zip(option.paths, (first.strip(), spoken.on_centre(words[0]), *words[1:]), strict=True)


def _stock(text: str) -> dict[str, object] | None:
    said = spoken.stick(text)
    if said is not None:
        return said
    size, at, length = text.partition("@")
    return {"size": size.strip(), "length": length.strip()} if at and size.strip() else None


def _opening(text: str) -> dict[str, object] | None:
    said = spoken.opening(text)
    if said is not None:
        return said
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


def _brace(text: str) -> dict[str, object] | None:
    stud, *pieces = (piece.strip() for piece in text.split(":"))
    made: dict[str, object] = {"stud_at": stud}
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
        return {key: int(count) for key, count in zip(JOINTS, counts.groups(), strict=True)}
    if piece in _BRACE_FLAGS:
        return _BRACE_FLAGS[piece]
    if piece in ("left", "right"):
        return {"lap_side": piece}
    return {"size": piece} if _SIZE.fullmatch(piece) else None


_BRACE_WORDS = {"head": "head", "back": "set_back", "ties": "ties", "mark": "mark"}
_BRACE_FLAGS: dict[str, dict[str, object]] = {
    **{word: {"foot_on": word} for word in FOOT_ON}, "doubled": {"stud_doubled": True}
}  # fmt: skip
_MANY = {"stock": _stock, "opening": _opening, "brace": _brace}
