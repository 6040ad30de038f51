"""Wall files and options into a job, with every fault of the input gathered, located and raised together.

The steps: source (bytes to tables), values (one value by the kind of its field, tables to input classes), and here the
top of the wall, the job, and what must fit together across its tables. Options build the same tables as a file.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Mapping
from functools import partial
from itertools import combinations
from pathlib import Path
from typing import Any

from attrs import evolve, frozen

from bracing.errors import Fault, InputError, counted, shown
from bracing.job.above import above_faults
from bracing.job.brace import (
    FOOT_ON,
    IN_BLOCK,
    IN_JOIST,
    INTO_JOIST,
    ON_CROSS,
    ON_PANEL,
    Brace,
    Kit,
    Stock,
    brace_faults,
)
from bracing.job.diagonals import diagonal_faults, stamped
from bracing.job.fasteners import MOST_FASTENERS, Fastener, read_user_fasteners
from bracing.job.fields import HELP, MOST, ON, class_of, fields_by_key, lumber_instead
from bracing.job.floor import DECK, Floor
from bracing.job.framing import frame_wall, underside
from bracing.job.job import FIRST_EDITION, Job
from bracing.job.layers import face_layers
from bracing.job.lumber import section
from bracing.job.outline import TOUCH, Point, TopKeys, top_faults
from bracing.job.pulls import names_twice
from bracing.job.wall import (
    LAID_DOWN,
    PLANNED,
    STANDING,
    Opening,
    Plate,
    Row,
    Studs,
    Wall,
    bare_faults,
    box_of,
    row_faults,
    stops_the_wind,
)
from bracing.reading.beside import files_of_its_job, in_its_job
from bracing.reading.log import log_of, read_rows
from bracing.reading.returns import OF_AN_END, fill_from_files, named_files
from bracing.reading.source import SourceText, read_source, source_of, tables_of
from bracing.reading.unfinished import as_reported
from bracing.reading.values import Faults, Reading, declared_paths, marked, read_fields


def read_job(path: str | os.PathLike[str]) -> Job:
    """Read a wall file, and what `job.toml` and a log beside it say of its wall; its hash is of all of that.

    Args:
        path: the file.

    Raises:
        InputError: every fault in it.
    """
    return as_reported(in_its_job(job_of(read_source(path)), read=job_of))


def job_of(source: SourceText) -> Job:
    """Give the wall of a file as it was read.

    Args:
        source: the file.

    Raises:
        InputError: every fault in it.
    """
    return assemble(tables_of(source), Origin(source.file, source.sha256))


def job_from_text(text: str, file: str) -> Job:
    r"""Read the text of a wall file.

    Args:
        text: the text.
        file: its name; a fasteners file it names is looked for beside it.

    Returns:
        The job.

    Raises:
        InputError: every fault in it.

    Example:
        >>> job = job_from_text('[wall]\nlength = "36 ft"\nheight = "10 ft"', "demo.toml")
        >>> job.wall.top, sorted(job.declared)
        (((0.0, 120.0), (432.0, 120.0)), ['wall.height', 'wall.length'])
    """
    return job_of(source_of(text.encode("utf-8", "surrogatepass"), file=file))


# -- the top of the wall: level, rake, gable or any polyline ------------------------------------------------


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
    if "pitch" in values:
        return _pitched(values, faults)
    if "peak" in values or "peak_at" in values:
        return _gable(values, faults)
    return ((0.0, height), (length, height))


def _all_given(keys: tuple[str, ...], values: Mapping[str, Any], faults: Faults) -> bool:
    for key in keys:
        if key not in values:
            faults.add(f"wall.{key}", None, fields_by_key(TopKeys)[key].metadata[HELP])
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


def _pitched(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    """Draw a gable by its pitch: both slopes are alike, so that the peak is mid length."""
    extra = _refuse_beside(("peak", "peak_at"), "pitch", values, faults)
    length, height, pitch = values["length"], values["height"], values["pitch"]
    if extra or pitch is None:
        return None
    peak, most = height + pitch * length / 2.0, fields_by_key(TopKeys)["peak"].metadata[MOST]
    if peak > most + TOUCH:
        faults.add("wall.pitch", f"a peak {peak:g} in high", f"a peak at most {most:g} in high")
        return None
    return ((0.0, height), (length / 2.0, peak), (length, height))


def _rake(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    extra = _refuse_beside(
        ("height", "peak", "peak_at", "pitch"), "left_height and right_height", values, faults
    )
    if not _all_given(("length", "left_height", "right_height"), values, faults) or extra:
        return None
    return ((0.0, values["left_height"]), (values["length"], values["right_height"]))


def _polyline(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    others = ("height", "peak", "peak_at", "pitch", "left_height", "right_height")
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


# -- tables into a job -----------------------------------------------------------------------------------


SECTIONS = ("wall", "floor", "site", "kit")
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


def assemble(tables: Mapping[str, Any], origin: Origin, job: type[Job] = Job) -> Job:
    """Make a job of its tables.

    Args:
        tables: as parsed.
        origin: where they came from.
        job: the class of the job.

    Returns:
        The job.

    Raises:
        InputError: every fault found.
    """
    faults = Faults(origin.file)
    written, tables = tables, renamed(tables, faults)
    own, fasteners_sha = _own_fasteners(tables, faults)
    reading = Reading(faults, own)
    read = read_fields(
        job, _without(tables, SECTIONS), "", reading=reading, beside=(*SECTIONS, *FASTENER_KEYS)
    )
    top, wall = _wall(tables, reading, class_of(job, "wall"))
    known, sha = fill_from_files(wall, tables, faults, read=partial(_return_file, beside=origin.file))
    floor, site, kit = (_section(class_of(job, key), key, tables, reading) for key in SECTIONS[1:])
    built, braces = read.pop("built", None), read.pop("braces", None) or ()
    draft = Draft(job, top, wall, floor, site, kit, braces, read)
    check_together(draft, faults)
    if built is not None:
        _refuse_walk(wall.get("state"), faults)
    faults.raise_if_any()
    said = declared_paths(tables) | declared_paths(written) | known
    made = _job(draft, said, _with_hash(origin, fasteners_sha + sha), own=own)
    return evolve(_refuse_no_joist(_refuse_unframeable(made)), built=built)


def _return_file(name: str, *, beside: str) -> Job:
    """The file of a return, as walks report it, without what holds its own ends: no part of how it holds."""
    source = read_source(_beside(beside, name))
    tables = tables_of(source)
    if isinstance(tables.get("wall"), dict):
        tables = {**tables, "wall": _without(tables["wall"], OF_AN_END)}
    return as_reported(assemble(tables, Origin(source.file, source.sha256)))


def renamed(tables: Mapping[str, Any], faults: Faults) -> Mapping[str, Any]:
    """Read what a file of edition 1 says of its feet, into_joist, by the field that says it now; and mark its braces.

    Args:
        tables: as parsed.
        faults: where faults go.
    """
    built = tables.get("built")
    made = dict(tables)
    if "brace" in made:
        made["brace"] = _feet(made["brace"], "brace", faults)
    if isinstance(built, Mapping) and "planned" in built:
        made["built"] = {**built, "planned": _feet(built["planned"], "built.planned", faults)}
    if made != tables:
        made.setdefault("edition", FIRST_EDITION)
    if "brace" in made:
        made["brace"] = marked(made["brace"])
    return made


def _feet(braces: Any, where: str, faults: Faults) -> Any:  # noqa: ANN401  (whatever is written there)
    if not isinstance(braces, list):
        return braces
    return [
        _foot(brace, f"{where}[{i}]", faults) if isinstance(brace, Mapping) and INTO_JOIST in brace else brace
        for i, brace in enumerate(braces)
    ]


def _foot(brace: Mapping[str, Any], where: str, faults: Faults) -> dict[str, Any]:
    said, rest = brace[INTO_JOIST], {key: value for key, value in brace.items() if key != INTO_JOIST}
    if not isinstance(said, bool):
        faults.add(
            f"{where}.{INTO_JOIST}", said, f"true or false; or foot_on in its place: {', '.join(FOOT_ON)}"
        )
        return rest
    foot = IN_JOIST if said else ON_PANEL
    if rest.setdefault("foot_on", foot) != foot:
        both = f'foot_on = "{foot}", or no {INTO_JOIST} beside it'
        faults.add(f"{where}.foot_on", rest["foot_on"], f"{both}, which is {shown(said)}")
    return rest


def _refuse_walk(state: str | None, faults: Faults) -> None:
    """A walk is of a wall as it stands: laid down it takes its walk with it, else it stood AS BUILT again."""
    if state == PLANNED:
        faults.add("wall.state", state, f'"{STANDING}": somebody has walked it, see [built]')
    if state == LAID_DOWN:
        expected = "no [built] in the file: what was found went down with it. Take it out; walk the wall once it stands"
        faults.add("wall.state", state, expected)


def _with_hash(origin: Origin, more: str) -> Origin:
    """Let the hash cover the files it names too, since their numbers count."""
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


def _wall(tables: Mapping[str, Any], reading: Reading, cls: type[Any]) -> tuple[Any, dict[str, Any]]:
    """Read [wall]: the keys that draw its top, then its other fields."""
    table = tables.get("wall")
    if not isinstance(table, dict):
        reading.faults.add("wall", table, "a table, [wall], with its length and height")
        return None, {}
    tops = tuple(fields_by_key(TopKeys))
    drawn = {key: value for key, value in table.items() if key in tops}
    top = outline(read_fields(TopKeys, drawn, "wall", reading=reading), reading.faults)
    rest = {"name": _stem(reading.faults.file), **_without(table, tops)}
    return top, read_fields(cls, rest, "wall", reading=reading)


def _stem(file: str) -> str:
    """Name a wall nobody named after its file."""
    return Path(file).stem[:80] if file != "command line" and Path(file).stem.isprintable() else "wall"


def _job(draft: Draft, declared: frozenset[str], origin: Origin, *, own: tuple[Fastener, ...]) -> Job:
    assert draft.top is not None  # else there was a fault
    job = draft.job
    kit = class_of(job, "kit")(**draft.kit)
    if _lapped_by_sides(draft, declared):
        kit = evolve(kit, head=evolve(kit.head, joint="lapped"))
        declared |= {HEAD_JOINT}
    return job(
        wall=class_of(job, "wall")(**{"sheathed": _any_over(draft.wall), **draft.wall}, top=draft.top),
        floor=class_of(job, "floor")(**draft.floor),
        site=class_of(job, "site")(**draft.site),
        kit=kit,
        braces=tuple(brace for brace in draft.braces if brace is not None),
        declared=declared,
        file=origin.file,
        sha256=origin.sha256,
        fasteners=own,
        **draft.others,
    )


def _any_over(wall: Mapping[str, Any]) -> bool:
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
        raise error.in_file(job.file) from None
    return job


def _refuse_no_joist(job: Job) -> Job:
    """No foot is in a joist where the declared ones put none under it."""
    if all(brace.foot_on != IN_JOIST for brace in job.braces):
        return job
    from bracing.chain.room import off_joists  # a wall with no foot in a joist is read without numpy

    faults = Faults(job.file)
    for i, brace in enumerate(job.braces):
        laps = () if f"brace[{i}].lap_side" in job.declared else ("left", "right")
        off = off_joists(job, brace, laps=laps) if brace.foot_on == IN_JOIST else None
        if off is not None:
            beside = (
                f"floor.joists.first, {job.floor.joists.first:g} in, and spacing" if job.floor.joists else ""
            )
            expected = f"not a joist beside {beside}: the nearest lies {off:.3g} in clear of its cleats"
            faults.add(f"brace[{i}].foot_on", brace.foot_on, expected)
    faults.raise_if_any()
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
    """Give a hash of all that reading a wall file reads: its bytes, and those of the files it names.

    A file that cannot be read has one too, of what is wrong with it: it changes when the fault does.

    Args:
        path: the wall file.
    """
    digest = hashlib.sha256()
    try:
        source = read_source(path)
        digest.update(source.sha256.encode())
        tables = tables_of(source)
        named = tables.get("fasteners_file")
        returns = [_beside(source.file, name) for _, name in named_files(tables)]
        own: list[str] = [_beside(source.file, named)] if isinstance(named, str) and named.strip() else []
        for file in (*own, *returns, *map(str, files_of_its_job(path))):
            digest.update(read_source(file).sha256.encode())
        for wall in (Path(path), *map(Path, returns)):
            log = log_of(wall)
            for row in () if log is None else read_rows(log, wall.name):
                digest.update(row.hash.encode())
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


# -- what must fit together across tables ----------------------------------------------------------------


@frozen(eq=False)
class Draft:
    """A job as far as it could be read; a refused value is None, in a list too.

    Attributes:
        job: the class of the job.
        top: outline of the wall; None where it cannot be drawn.
        wall: fields of the wall that the file gives.
        floor: fields of the floor that the file gives.
        site: fields of the site that the file gives.
        kit: fields of the kit that the file gives.
        braces: the braces.
        others: fields of the job itself that the file gives.
    """

    job: type[Job]
    top: tuple[Point, ...] | None
    wall: dict[str, Any]
    floor: dict[str, Any]
    site: dict[str, Any]
    kit: dict[str, Any]
    braces: tuple[Brace | None, ...]
    others: dict[str, Any]

    @property
    def bare_wall(self) -> Wall | None:
        """The wall with its studs only; None where its top or its studs were refused."""
        studs = self.wall.get("studs", Studs())
        return None if self.top is None or studs is None else Wall(name="wall", top=self.top, studs=studs)


def check_together(draft: Draft, faults: Faults) -> None:
    """Check what must fit together, as far as it was read.

    Args:
        draft: the job.
        faults: where faults go.
    """
    wall = draft.bare_wall
    openings = _numbered(draft.wall.get("openings"))
    if wall is not None:
        for i, opening in openings:
            _opening_inside(wall, f"wall.opening[{i}]", opening, faults)
        _rows_under_top(wall, _numbered(draft.wall.get("rows")), faults)
        _braces_on_wall(wall, _numbered(draft.braces), faults)
        diagonals, above, bare = (tuple(_numbered(draft.wall.get(k))) for k in ("diagonals", "above", "bare"))
        open_ = bare_faults(wall.top[-1][0], bare, sheathed=draft.wall.get("sheathed") is not False)
        crossed = diagonal_faults(wall.top, tuple(box_of(one) for _, one in openings), diagonals)
        for where, *fault in (*crossed, *above_faults(wall.top, above), *open_):
            faults.add(f"wall.{where}", *fault)
    _openings_apart(openings, faults)
    for each in brace_faults(_numbered(draft.braces)):
        faults.add(*each)
    _ties_after(draft.kit, _numbered(draft.braces), faults)
    _returns(draft.wall, faults)
    _floor_of_its_kind(draft.floor, faults)
    _feet_on_the_floor(draft, faults)
    _hill(draft.site, faults)
    for i, name in names_twice(draft.others.get("pull_tests") or ()):
        faults.add(f"pull_test[{i}].name", name, "a name of its own")
    _sheathed(draft.wall, faults)
    _rows_on_plate(draft.wall, faults)
    _lumber_of_wall(draft.wall, faults)
    _lumber_of_kit(draft, faults)


def _numbered(items: Iterable[Any] | None) -> list[tuple[int, Any]]:
    """Number the items of a list as in the file, and leave out those that were refused."""
    return [(i, item) for i, item in enumerate(items or ()) if item is not None]


def _opening_inside(wall: Wall, where: str, opening: Opening, faults: Faults) -> None:
    t = section(wall.studs.size).thickness
    if opening.left < t - TOUCH or opening.right > wall.length - t + TOUCH:
        limit = f"an opening between the end studs, from {t:g} to {wall.length - t:g} in"
        faults.add(where, f"from {opening.left:g} to {opening.right:g} in", limit)
        return
    places = (opening.left, opening.right, *(x for x, _ in wall.top if opening.left < x < opening.right))
    lowest = min(underside(wall, x, t) for x in places)
    if opening.top > lowest + TOUCH:
        faults.add(where, f"top at {opening.top:g} in", f"a top under the top plate, {lowest:.4g} in at most")


def _openings_apart(openings: list[tuple[int, Opening]], faults: Faults) -> None:
    for (i, one), (j, other) in combinations(openings, 2):
        beside = one.right <= other.left + TOUCH or other.right <= one.left + TOUCH
        above = one.top <= other.sill + TOUCH or other.top <= one.sill + TOUCH
        if not beside and not above:
            place = f"from {other.left:g} to {other.right:g} in"
            faults.add(f"wall.opening[{j}]", place, f"an opening clear of wall.opening[{i}]")


def _rows_under_top(wall: Wall, rows: list[tuple[int, Row]], faults: Faults) -> None:
    for i, row in rows:
        if row.height > wall.highest + TOUCH:
            limit = f"a row under the top of the wall, {wall.highest:g} in"
            faults.add(f"wall.row[{i}].height", f"{row.height:g} in", limit)


def _braces_on_wall(wall: Wall, braces: list[tuple[int, Brace]], faults: Faults) -> None:
    for i, brace in braces:
        if brace.stud_at > wall.length + TOUCH:
            limit = f"a stud of the wall, {wall.length:g} in long"
            faults.add(f"brace[{i}].stud_at", f"{brace.stud_at:g} in", limit)
            continue
        top = wall.height_at(brace.stud_at)
        if brace.head > top - TOUCH:
            limit = f"below the top of the wall there, {top:g} in"
            faults.add(f"brace[{i}].head", f"{brace.head:g} in", limit)


def _returns(wall: dict[str, Any], faults: Faults) -> None:
    for side, written in ((each, wall.get(f"{each}_end")) for each in ("left", "right")):
        if f"{side}_return" in wall and written in (None, "free"):
            faults.add(f"wall.{side}_end", written, f"return, beside a table [wall.{side}_return]")


def _floor_of_its_kind(floor: dict[str, Any], faults: Faults) -> None:
    kind = floor.get("kind", "deck")
    for key, one in fields_by_key(Floor).items():
        if (wanted := one.metadata[ON]) and key in floor and kind not in (wanted, None):
            faults.add(f"floor.{key}", f"given, and kind is {kind}", f'kind = "{wanted}" beside it')


def _feet_on_the_floor(draft: Draft, faults: Faults) -> None:
    """What a foot is on must be there on that floor, and by those joists."""
    joists, kind = draft.floor.get("joists"), draft.floor.get("kind", DECK)
    for i, brace in _numbered(draft.braces):
        if kind not in (DECK, None) and brace.in_wood:
            beside = f"nothing beside floor.kind, which is {kind}: there are no joists"
            faults.add(f"brace[{i}].foot_on", brace.foot_on, beside)
        if brace.foot_on == ON_CROSS and joists is not None and joists.run == "along":
            beside = "joist beside floor.joists.run, which is along: cleats that run away lie across the joists already"
            faults.add(f"brace[{i}].foot_on", brace.foot_on, beside)
        if brace.foot_on == IN_BLOCK and joists is not None and joists.kind != "sawn":
            beside = f"not a block beside floor.joists.kind, which is {joists.kind}: ends are checked in sawn joists"
            faults.add(f"brace[{i}].foot_on", brace.foot_on, beside)


def _hill(site: dict[str, Any], faults: Faults) -> None:
    if site.get("hill") and "kzt" not in site:
        faults.add("site.kzt", None, "the topographic factor, as the wall stands on a hill or ridge")


def _ties_after(kit: dict[str, Any], braces: list[tuple[int, Any]], faults: Faults) -> None:
    tie, marks = kit.get("tie"), [brace.mark for _, brace in braces]
    if tie is not None and tie.after and marks and tie.after not in marks:
        faults.add("kit.tie.after", tie.after, f"the mark of a brace: {', '.join(marks)}")


def _sheathed(wall: dict[str, Any], faults: Faults) -> None:
    stopping = face_layers(wall.get("layers"))
    if wall.get("sheathed") is False and stopping:
        faults.add("wall.sheathed", "false", stops_the_wind(stopping[0]))


def _rows_on_plate(wall: dict[str, Any], faults: Faults) -> None:
    for where, got, expected in row_faults(wall.get("plate") or Plate(), wall.get("studs") or Studs()):
        faults.add(f"wall.{where}", got, expected)


def _check_lumber(lumber: tuple[str, str, str], where: str, faults: Faults) -> bool:
    """Check that a species comes in a grade at a size; give whether it does."""
    instead = lumber_instead(*lumber)
    if instead:
        faults.add(where, " ".join(lumber), instead)
    return not instead


def _lumber_of_wall(wall: dict[str, Any], faults: Faults) -> None:
    """The grillage takes headers and rows of the studs' species and grade: each size must come in it."""
    studs = wall.get("studs", Studs())
    if studs is None:
        return
    for i, opening in _numbered(wall.get("openings")):
        _check_lumber((studs.species, studs.grade, opening.header), f"wall.opening[{i}].header", faults)
    for i, row in _numbered(wall.get("rows")):
        _check_lumber((studs.species, studs.grade, row.size), f"wall.row[{i}].size", faults)
    for i, one in _numbered(wall.get("diagonals")):
        _check_lumber((studs.species, studs.grade, stamped(one.size)), f"wall.diagonal[{i}].size", faults)


def _lumber_of_kit(draft: Draft, faults: Faults) -> None:
    plain = Kit()
    species, grade = draft.kit.get("species", plain.species), draft.kit.get("grade", plain.grade)
    if species is None or grade is None:
        return
    size = (draft.kit.get("cleat") or plain.cleat).size
    if not _check_lumber((species, grade, size), "kit.grade", faults):
        return  # the same would be said of every stick
    stock: list[tuple[int, Stock]] = _numbered(draft.kit.get("stock"))
    sizes = {f"kit.stock[{i}].size": stick.size for i, stick in stock}
    sizes |= {f"brace[{i}].size": brace.size for i, brace in _numbered(draft.braces)}
    for where, size in sizes.items():
        _check_lumber((species, grade, size), where, faults)
