"""The top of the wall: level, rake, gable or any polyline, from the few lengths a person gives."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from attrs import evolve, frozen

from bracing.errors import Fault, InputError, counted
from bracing.job.brace import Kit
from bracing.job.fasteners import MOST_FASTENERS, Fastener, read_user_fasteners
from bracing.job.fields import declared
from bracing.job.floor import Floor
from bracing.job.framing import frame_wall
from bracing.job.job import Job, Site
from bracing.job.layers import face_layers
from bracing.job.wall import (
    HIGHEST_WALL,
    LAID_DOWN,
    LONGEST_WALL,
    LOWEST_WALL,
    PLANNED,
    SHORTEST_WALL,
    STANDING,
    TOUCH,
    Point,
    Wall,
    top_faults,
)
from bracing.reading.checks import Draft, check_together
from bracing.reading.faults import Faults
from bracing.reading.source import SourceText, read_source, tables_of
from bracing.reading.values import Reading, declared_paths, fields_by_key, read_fields
from bracing.units import Inch


def _height(about: str) -> Any:  # noqa: ANN401  (an attrs field)
    return declared("length", about, default=None, least=LOWEST_WALL, most=HIGHEST_WALL)


@frozen
class TopKeys:
    """The keys of [wall] that draw its top; the first that are given together decide the shape.

    Attributes:
        length: along the plate [in].
        height: of a level top, or of the ends of a gable [in].
        peak: height of the peak of a gable [in].
        peak_at: where the peak is, from LEFT [in].
        left_height: height at LEFT of a rake [in].
        right_height: height at the right of a rake [in].
        top: any other outline, (x, height) from LEFT [in].
    """

    length: Inch | None = declared(
        "length", "along the plate", default=None, least=SHORTEST_WALL, most=LONGEST_WALL
    )
    height: Inch | None = _height("top of the plate; of a gable, at its ends")
    peak: Inch | None = _height("height of the peak of a gable")
    peak_at: Inch | None = declared(
        "length", "the peak from LEFT; undeclared is mid length", default=None, least=0.0, most=LONGEST_WALL
    )
    left_height: Inch | None = _height("height at LEFT of a rake")
    right_height: Inch | None = _height("height at the right of a rake")
    top: tuple[Point, ...] | None = declared(
        "points", "any outline, (x, height) from LEFT to right", default=None, most=LONGEST_WALL
    )


def outline(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    """Draw the top of the wall.

    Args:
        values: by key of TopKeys, as given by read_fields().
        faults: where faults go.

    Returns:
        The outline, (x, height) from LEFT to right [in]; None where it cannot be drawn.

    Example:
        >>> outline({"length": 240.0, "height": 96.0, "peak": 150.0}, Faults("demo"))
        ((0.0, 96.0), (120.0, 150.0), (240.0, 96.0))
    """
    if "top" in values:
        return _polyline(values, faults)
    if "left_height" in values or "right_height" in values:
        return _rake(values, faults)
    if not _all_given(("length", "height"), values, faults):
        return None
    length, height = values["length"], values["height"]
    if "peak" in values or "peak_at" in values:
        return _gable(values, faults)
    return ((0.0, height), (length, height))


def _all_given(keys: tuple[str, ...], values: Mapping[str, Any], faults: Faults) -> bool:
    about = {field.name: field.metadata["help"] for field in TopKeys.__attrs_attrs__}
    for key in keys:
        if key not in values:
            faults.add(f"wall.{key}", None, about[key])
    return all(values.get(key) is not None for key in keys)


def _refuse_beside(keys: tuple[str, ...], given: str, values: Mapping[str, Any], faults: Faults) -> bool:
    found = [key for key in keys if key in values]
    for key in found:
        faults.add(f"wall.{key}", "given", f"no {key} beside {given}")
    return bool(found)


def _gable(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    if not _all_given(("peak",), values, faults):
        return None
    length, height, peak = values["length"], values["height"], values["peak"]
    peak_at = values.get("peak_at", length / 2.0)
    if peak_at is None:
        return None
    if peak <= height + TOUCH:
        faults.add("wall.peak", f"{peak:g} in", f"more than the height, {height:g} in")
        return None
    if not TOUCH < peak_at < length - TOUCH:
        faults.add("wall.peak_at", f"{peak_at:g} in", f"between the ends, 0 and {length:g} in")
        return None
    return ((0.0, height), (peak_at, peak), (length, height))


def _rake(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    extra = _refuse_beside(("height", "peak", "peak_at"), "left_height and right_height", values, faults)
    if not _all_given(("length", "left_height", "right_height"), values, faults) or extra:
        return None
    return ((0.0, values["left_height"]), (values["length"], values["right_height"]))


def _polyline(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    others = ("height", "peak", "peak_at", "left_height", "right_height")
    extra = _refuse_beside(others, "top", values, faults)
    points = values["top"]
    if points is None or extra:
        return None
    found = top_faults(points)
    for where, got, expected in found:
        faults.add(f"wall.{where}", got, expected)
    return None if found else _of_length(points, values, faults)


def _of_length(
    points: tuple[Point, ...], values: Mapping[str, Any], faults: Faults
) -> tuple[Point, ...] | None:
    end = points[-1][0]
    length = values.get("length", end)
    if length is not None and abs(length - end) > TOUCH:
        faults.add("wall.length", f"{length:g} in", f"the end of top, {end:g} in, or no length")
        return None
    return points


FASTENER_KEYS = ("fastener", "fasteners_file")
HEAD_JOINT = "kit.head.joint"


@frozen
class Origin:
    """Where the tables came from.

    Attributes:
        file: the file, or "command line".
        sha256: hash of the input.
    """

    file: str
    sha256: str


def assemble(tables: Mapping[str, Any], origin: Origin) -> Job:
    """Make a job of its tables.

    Args:
        tables: as parsed.
        origin: where they came from.

    Returns:
        The job.

    Raises:
        InputError: every fault found.
    """
    faults = Faults(origin.file)
    own, fasteners_sha = _own_fasteners(tables, faults)
    reading = Reading(faults, own)
    sections = ("wall", "floor", "site", "kit")
    braces = read_fields(
        Job, _without(tables, sections), "", reading=reading, beside=(*sections, *FASTENER_KEYS)
    )
    top, wall = _wall(tables, reading)
    floor, site, kit = (
        _section(cls, key, tables, reading) for cls, key in ((Floor, "floor"), (Site, "site"), (Kit, "kit"))
    )
    draft = Draft(top, wall, floor, site, kit, braces.get("braces") or ())
    check_together(draft, faults)
    if braces.get("built") is not None:
        _refuse_walk(wall.get("state"), faults)
    faults.raise_if_any()
    job = _job(draft, declared_paths(tables), _with_hash(origin, fasteners_sha), own=own)
    return evolve(_refuse_unframeable(job), built=braces.get("built"))


def _refuse_walk(state: str | None, faults: Faults) -> None:
    """A walk is of a wall as it stands: laid down it takes its walk with it, else it stood AS BUILT again."""
    if state == PLANNED:
        faults.add("wall.state", state, f'"{STANDING}": somebody has walked it, see [built]')
    if state == LAID_DOWN:
        expected = "no [built] in the file: what was found went down with it. Take it out; walk the wall once it stands"
        faults.add("wall.state", state, expected)


def _with_hash(origin: Origin, more: str) -> Origin:
    """Let the hash cover the fasteners file too, since its numbers count."""
    if not more:
        return origin
    return evolve(origin, sha256=hashlib.sha256((origin.sha256 + more).encode()).hexdigest())


def _without(tables: Mapping[str, Any], keys: tuple[str, ...]) -> dict[str, Any]:
    return {key: value for key, value in tables.items() if key not in keys}


def _section(cls: type[Any], key: str, tables: Mapping[str, Any], reading: Reading) -> dict[str, Any]:
    table = tables.get(key, {})
    if not isinstance(table, dict):
        reading.faults.add(key, table, f"a table, [{key}]")
        return {}
    return read_fields(cls, table, key, reading=reading)


def _wall(tables: Mapping[str, Any], reading: Reading) -> tuple[Any, dict[str, Any]]:
    """Read [wall]: the keys that draw its top, then its other fields."""
    table = tables.get("wall")
    if not isinstance(table, dict):
        reading.faults.add("wall", table, "a table, [wall], with its length and height")
        return None, {}
    tops = tuple(fields_by_key(TopKeys))
    drawn = {key: value for key, value in table.items() if key in tops}
    top = outline(read_fields(TopKeys, drawn, "wall", reading=reading), reading.faults)
    rest = {"name": _stem(reading.faults.file), **_without(table, tops)}
    return top, read_fields(Wall, rest, "wall", reading=reading, beside=tops)


def _stem(file: str) -> str:
    """Name a wall nobody named after its file."""
    return Path(file).stem[:80] if file != "command line" and Path(file).stem.isprintable() else "wall"


def _job(draft: Draft, declared: frozenset[str], origin: Origin, *, own: tuple[Fastener, ...]) -> Job:
    assert draft.top is not None  # else there was a fault
    kit = Kit(**draft.kit)
    if _lapped_by_sides(draft, declared):
        kit = evolve(kit, head=evolve(kit.head, joint="lapped"))
        declared |= {HEAD_JOINT}
    return Job(
        wall=Wall(**{"sheathed": _sheathed(draft.wall), **draft.wall}, top=draft.top),
        floor=Floor(**draft.floor),
        site=Site(**draft.site),
        kit=kit,
        braces=tuple(brace for brace in draft.braces if brace is not None),
        declared=declared,
        file=origin.file,
        sha256=origin.sha256,
        fasteners=own,
    )


def _sheathed(wall: Mapping[str, Any]) -> bool:
    """Any layer over the face stops the wind, a wrap too; only a wall declared bare lets it through."""
    return "layers" not in wall or bool(face_layers(wall["layers"]))


def _lapped_by_sides(draft: Draft, declared: frozenset[str]) -> bool:
    """A brace with a lap side is lapped; all must have one, as the kit holds one head joint for all."""
    sides = [f"brace[{i}].lap_side" in declared for i in range(len(draft.braces))]
    return bool(sides) and all(sides) and HEAD_JOINT not in declared


def _refuse_unframeable(job: Job) -> Job:
    try:
        frame_wall(job.wall)
    except InputError as error:
        raise InputError(evolve(fault, file=job.file) for fault in error.faults) from None
    return job


# -- the user's own fasteners ----------------------------------------------------------------------------


def _own_fasteners(tables: Mapping[str, Any], faults: Faults) -> tuple[tuple[Fastener, ...], str]:
    """Read [[fastener]] of the wall file and of the file it names; also the hash of that file."""
    own = _fastener_rows(tables.get("fastener", []), faults, file=faults.file)
    named = tables.get("fasteners_file")
    if named is None:
        return own, ""
    if not isinstance(named, str) or not named.strip():
        faults.add("fasteners_file", named, "the name of a file, such as my-fasteners.toml")
        return own, ""
    try:
        source = read_source(_beside(faults.file, named))
        more = _fasteners_of(source, faults)
    except InputError as error:
        faults.take(error.faults)
        return own, ""
    return own + more, source.sha256


def content_sha256(path: str | os.PathLike[str]) -> str:
    """Give a hash of all that reading a wall file reads: its bytes, and those of the fasteners file it names.

    A file that cannot be read has one too, of what is wrong with it: it changes when the fault does.

    Args:
        path: the wall file.
    """
    digest = hashlib.sha256()
    try:
        source = read_source(path)
        digest.update(source.sha256.encode())
        named = tables_of(source).get("fasteners_file")
        if isinstance(named, str) and named.strip():
            digest.update(read_source(_beside(source.file, named)).sha256.encode())
    except InputError as error:
        digest.update(str(error).encode("utf-8", "replace"))
    return digest.hexdigest()


def _beside(file: str, named: str) -> str:
    return str(Path(file).parent / named) if file != "command line" else named


def _fasteners_of(source: SourceText, faults: Faults) -> tuple[Fastener, ...]:
    tables = tables_of(source)
    faults.take(
        Fault(source.file, key, "a table", "only [[fastener]] tables") for key in tables if key != "fastener"
    )
    return _fastener_rows(tables.get("fastener", []), faults, file=source.file)


def _fastener_rows(rows: object, faults: Faults, *, file: str) -> tuple[Fastener, ...]:
    good = isinstance(rows, list) and all(isinstance(row, dict) for row in rows)
    if not isinstance(rows, list) or not good or len(rows) > MOST_FASTENERS:
        expected = f"at most {MOST_FASTENERS} tables, each headed [[fastener]]"
        faults.take([Fault(file, "fastener", counted(rows), expected)])
        return ()
    try:
        return read_user_fasteners(rows, file=file)
    except InputError as error:
        faults.take(error.faults)
        return ()
