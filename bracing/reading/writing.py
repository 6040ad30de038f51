"""Changes to a wall file, written into the person's own text: comments and order stay.

A change is made in memory, read back as any wall file is, and only then put in place of the old file in one
step, so that nothing is ever half-written; and only where the file is still what the change was worked out from.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from functools import partial
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING, Any

import attrs
from attrs import asdict, fields

from bracing._version import __version__
from bracing.errors import ChangedError, InputError, why_not
from bracing.job.brace import INTO_JOIST, Brace
from bracing.job.fields import HELP, KIND, MOST_LETTERS, ON, PARTS, fields_by_key, place_at, places
from bracing.job.job import EDITION, Found, Job, all_seen
from bracing.job.outline import TopKeys
from bracing.reading.answers import refuse
from bracing.reading.beside import in_its_job
from bracing.reading.files import compare_and_replace
from bracing.reading.jobs import job_from_text, job_of, read_job
from bracing.reading.log import WALK, WRITTEN, note_write
from bracing.reading.source import SourceText, read_source, tables_of
from bracing.reading.unfinished import as_reported
from bracing.reading.values import marked
from bracing.sources import shipped_schema
from bracing.units import INCHES_PER_FOOT, as_filed, length, length_text

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

    from bracing.stages.walk import Looked, Walk
    from bracing.storm.clock import Clock
    from bracing.storm.ladder import Ladder

_PATH = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)((?:\[[0-9]{1,4}\])*)")
ROW = "wall.row["  # one that is not there is taken out whole
Change = Callable[["TOMLDocument"], None]


def write_wall(
    path: str | os.PathLike[str],
    braces: Sequence[Brace] | None = None,
    *,
    declared: frozenset[str] | None = None,
    changes: Mapping[str, object] | None = None,
    after: bool = True,
    was: str | None = None,
) -> Job:
    """Write braces and values into a wall file, in one step.

    Args:
        path: the file.
        braces: braces to add, or all the file shall have; None leaves those it has. One of a mark that is there keeps
            its text and comments.
        declared: dotted paths as in Job.declared, "brace[0]" being the first of these braces; only their
            fields are written. None writes every field. A lap side that is written makes the head joint
            lapped, unless kit.head.joint says otherwise.
        changes: by dotted path, such as "wall.opening[0].width": what to write there, text, number or flag; a path may
            lead into braces that are added.
        after: the braces come after those the file has, not in their place.
        was: hash of the wall the change was worked out from, as in Job.sha256; another file is not written over.

    Returns:
        The job as the file now gives it.

    Raises:
        ChangedError: the file is no longer the one the change was worked out from.
        InputError: the file would not read afterwards, or cannot be written; it is then as it was.
    """
    values: Change = partial(_put_values, changes=changes or {}, file=str(path))
    put: list[Change] = [] if braces is None else [_braces_put(braces, declared, keep=after)]
    return _rewrite(path, *([*put, values] if after else [values, *put]), was=was)


def write_layout(
    path: str | os.PathLike[str], braces: Sequence[Brace], changes: Mapping[str, object], *, was: str
) -> Job:
    """Write the braces of a layout in place of those in a wall file, with what it needs of wall and kit, in one step.

    Args:
        path: the file.
        braces: all the braces the file shall have, every field written.
        changes: by dotted path, values in base units.
        was: as for write_wall().

    Returns:
        The job as the file now gives it.

    Raises:
        ChangedError: as write_wall().
        InputError: as write_wall().
    """
    written = {where: as_filed(value, place_at(Job, where).kind) for where, value in changes.items()}
    return write_wall(path, braces, changes=written, after=False, was=was)


# -- where a value goes ----------------------------------------------------------------------------------


def _put_values(document: TOMLDocument, changes: Mapping[str, object], file: str) -> None:
    for where, value in changes.items():
        *on_the_way, last = _steps(where, file)
        _set(_table_at(document, on_the_way, where), last, value, where)


def _steps(where: str, file: str) -> list[str | int]:
    """Split "wall.opening[0].width" into its steps."""
    steps: list[str | int] = []
    for piece in where.split("."):
        match = _PATH.fullmatch(piece)
        if match is None:
            raise InputError.of(where, "a path", 'a dotted path, such as "wall.opening[0].width"', file=file)
        steps.append(match[1])
        steps += [int(index) for index in re.findall(r"[0-9]+", match[2])]
    return steps


def _table_at(document: TOMLDocument, steps: Sequence[str | int], where: str) -> Any:  # noqa: ANN401
    """Go down to a table; a table that is missing on the way is made, or the next one of a list of them."""
    from tomlkit import aot, table

    here: Any = document
    for step, after in zip_longest(steps, steps[1:]):
        if isinstance(step, str) and isinstance(here, dict) and step not in here:
            here[step] = aot() if isinstance(after, int) else table()
        if isinstance(step, int) and isinstance(here, list) and step == len(here):
            here.append(_apart(table()))
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            raise InputError.of(where, "no such place", "a place that the file has") from None
    return here


def _apart(table: Any) -> Any:  # noqa: ANN401
    """Give a new table with an empty line before it."""
    table.trivia.indent = "\n"
    return table


def _set(table: Any, last: str | int, value: object, where: str) -> None:  # noqa: ANN401
    try:
        table[last] = value
        if last == "foot_on":
            table.pop(INTO_JOIST, None)  # an older file's word for it, which may say otherwise
    except (KeyError, IndexError, TypeError):
        raise InputError.of(where, "no such place", "a place that the file has") from None


# -- braces ----------------------------------------------------------------------------------------------


def _brace_values(brace: Brace, index: int, declared: frozenset[str] | None) -> dict[str, object]:
    fields = fields_by_key(Brace)
    return {
        key: as_filed(getattr(brace, field.name), field.metadata[KIND])
        for key, field in fields.items()
        if declared is None or f"brace[{index}].{key}" in declared
    }


def _braces_put(braces: Sequence[Brace], declared: frozenset[str] | None, *, keep: bool = False) -> Change:
    wanted = [_brace_values(brace, i, declared) for i, brace in enumerate(braces)]
    return partial(_put_braces, wanted=wanted, keep=keep)


def _put_braces(document: TOMLDocument, wanted: list[dict[str, object]], *, keep: bool) -> None:
    """Put the wanted braces into the document; with keep, after those it has."""
    from tomlkit import aot, table

    old = list(document["brace"]) if "brace" in document else []
    tail = _cut_tail(old[-1]) if old else []
    for one, named in zip(old, marked(old), strict=True):
        if "mark" not in one:  # it would have another once a brace stands nearer to LEFT
            one["mark"] = named["mark"]
    by_mark = {} if keep else {str(one["mark"]): one for one in old}
    made = list(old) if keep else []
    for values in wanted:
        one = by_mark.pop(str(values.get("mark")), None)
        if one is None:
            one = table()
        _fill(one, values)
        made.append(one)
    for dropped in by_mark.values():
        tail = [*_cut_tail(dropped), *tail]
    _put_list(document, made, aot, tail)


def _put_list(document: TOMLDocument, made: list[Any], aot: Callable[[], Any], tail: list[Any]) -> None:
    """Put tables in the place of the old list, and what stood after its last table after the new last one."""
    if made:
        made[-1].value.body.extend(tail)
    if "brace" in document:
        braces: Any = document["brace"]
        while len(braces):
            braces.pop()
        for one in made:
            braces.append(one)
        if not made:
            del document["brace"]
    elif made:
        braces = aot()
        for one in made:
            braces.append(one)
        document.append("brace", braces)
    if not made:
        for _, trivia in tail:
            document.add(trivia)


def _cut_tail(table: Any) -> list[Any]:  # noqa: ANN401
    """Cut off the blank lines and comments after the last key of a table: they belong to what follows."""
    body = table.value.body if hasattr(table, "value") else []
    tail: list[Any] = []
    while body and body[-1][0] is None:
        tail.insert(0, body.pop())
    return tail


def _fill(table: Any, values: Mapping[str, object]) -> None:  # noqa: ANN401
    for key in [key for key in table if key not in values]:
        table.remove(key)
    for key, value in values.items():
        if key not in table or not _same(table[key], value):
            table[key] = value


def _same(old: object, new: object) -> bool:
    """Whether the text in the file already says this, in its own way."""
    if isinstance(old, str) and isinstance(new, str) and old != new:
        try:
            return length(str(old)) == length(new)
        except InputError:
            return False
    return bool(old == new) and isinstance(old, bool) == isinstance(new, bool)


# -- the file --------------------------------------------------------------------------------------------


def _rewrite(
    path: str | os.PathLike[str], *changes: Change, was: str | None = None, kind: str = WRITTEN
) -> Job:
    """Change a wall file that is still what was read: what `was` was worked out from, and what is changed here."""
    source, text, job = _changed(path, *changes, was=was)
    content = text.encode("utf-8")
    try:
        compare_and_replace(Path(source.file), content, was=source.sha256)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise _refused(source.file, why, "a file that can be written") from None
    after = hashlib.sha256(content).hexdigest()
    note_write(Path(source.file), kind, datetime.now(UTC), before=source.sha256, after=after)
    return job


def _changed(path: str | os.PathLike[str], *changes: Change, was: str | None) -> tuple[SourceText, str, Job]:
    """Change the text of a wall file, and read it back; nothing is written."""
    from tomlkit import parse
    from tomlkit.exceptions import TOMLKitError

    source = read_source(path)
    before = job_of(source)  # a file with faults is not touched
    if was is not None and before.sha256 != was and (plain := in_its_job(before, read=job_of)).sha256 != was:
        if as_reported(plain).sha256 == was:
            expected = "a walk that is finished: bracing built, and then this again"
            raise _refused(source.file, "a walk that is not finished", expected)
        raise ChangedError(source.file)
    try:
        # A last line may lack its end: what is added after it would stand on it.
        document = parse(source.text if source.text.endswith("\n") else f"{source.text}\n")
        for change in changes:
            change(document)
        if before.edition < EDITION:
            document["edition"] = EDITION  # who writes into it says how far its wall went
    except TOMLKitError as error:
        raise _refused(source.file, str(error)[:80], "a plainer file") from None
    text = document.as_string()
    if "\r\n" in source.text:
        text = text.replace("\r\n", "\n").replace("\n", "\r\n")
    job = job_from_text(text, source.file)
    if tables_of(SourceText(source.file, text, job.sha256)) != document.unwrap():
        raise _refused(
            source.file, "tables out of order", "each table in one piece, so that it can be edited"
        )
    return source, text, job


def _refused(file: str, value: str, expected: str) -> InputError:
    return InputError.of("file", value, f"{expected}; the file was not changed", file=file)


def write_pull(job: Job, tables: Mapping[str, object]) -> Job:
    """Write a pull test into the wall file after those it has, in one step.

    Args:
        job: the wall as it was read.
        tables: the test, as typed.

    Returns:
        The job as the file now gives it.

    Raises:
        ChangedError: as write_wall().
        InputError: as write_wall().
    """

    def put(document: TOMLDocument) -> None:
        from tomlkit import aot, inline_table, item

        made = item({key: value for key, value in tables.items() if not isinstance(value, Mapping)})
        for key, value in tables.items():
            if isinstance(value, Mapping):
                made[key] = inline_table()
                made[key].update(value)
        if "pull_test" in document:
            document["pull_test"].append(_apart(made))
        else:
            tests = aot()
            tests.append(_apart(made))
            document.append("pull_test", tests)

    return _rewrite(job.file, put, was=job.sha256)


# -- what a storm asks for, and what a walk found ---------------------------------------------------------


def write_ladder(job: Job, ladder: Ladder, now: datetime) -> Job:
    """Write all the work into the file at once; a wall that was walked is a plan again until somebody walks it.

    Args:
        job: the wall as it was read.
        ladder: the work.
        now: on the clock of the place.

    Returns:
        The wall as the file now gives it.

    Raises:
        ChangedError: the file is no longer as it was read.
        InputError: it cannot be written.
    """
    changes = {
        change.path: as_filed(change.after, place_at(Job, change.path).kind) for change in ladder.changes
    }
    if job.built is not None:
        changes["built.since"] = f"{now:%Y-%m-%d %H:%M} storm work written in, not yet found"
    if not ladder.added and not changes:
        return read_job(job.file)
    return write_wall(job.file, ladder.added, changes=changes, was=job.sha256)


def _found_values(one: Found) -> dict[str, str]:
    places = {"there": one.there, "planned": one.planned}
    told = {name: length_text(at) for name, at in places.items() if at is not None}
    return {"mark": one.mark, "what": one.what, **told}


PLACE = ("mark", "stud_at", "head", "set_back")


def tried(job: Job, changes: Mapping[str, object]) -> Job:
    """Give the wall as its file would read with what a walk found beside its braces; nothing is written.

    Args:
        job: the wall as it was read.
        changes: by dotted path, in base units; None where nothing is there.

    Raises:
        InputError: the file would not read.
    """
    return _changed(job.file, partial(_put_facts, changes=changes), was=None)[2]


def write_walk(walk: Walk, looked: Looked, *, by: str, clock: Clock) -> Job:
    """Write a walk into its wall file, all in one step: the braces that are there, and who found what, when.

    Args:
        walk: what was found of the braces.
        looked: what was found beside them.
        by: who walked, by role.
        clock: the clock of the place.

    Returns:
        The wall as the file now gives it.

    Raises:
        ChangedError: the file has changed meanwhile: what another walk found stands.
        InputError: no role was given, or the file cannot be written; it is then as it was.
    """
    role = " ".join(by.split())
    if not role or len(role) > MOST_LETTERS or not role.isprintable():
        what = "--by"
        raise InputError.of(what, by or "nothing", "who walked, by role, such as lead framer")
    file, was = walk.job.file, walk.job.sha256
    found = (
        _braces_put(walk.braces, _declared(walk, looked.extra)),
        partial(_put_facts, changes=looked.changes),
    )
    there = _changed(file, *found, was=was)[2]
    built: dict[str, object] = {"when": clock.stamp, "by": role}
    tables = {
        "seen": _one_a_line(all_seen(there, looked.unseen)),
        "found": [_found_values(one) for one in walk.found],
        "fact": [asdict(one) for one in looked.facts],
        "planned": [_brace_values(brace, i, None) for i, brace in enumerate(walk.planned)],
    }
    built |= {key: rows for key, rows in tables.items() if rows}

    def put_built(document: TOMLDocument) -> None:
        from tomlkit import item

        document["built"] = item(built)

    return _rewrite(file, *found, put_built, was=was, kind=WALK)


def _one_a_line(texts: Sequence[str]) -> Any:  # noqa: ANN401
    from tomlkit import array

    lines = array()
    lines.extend(texts)
    return lines.multiline(multiline=True)


def _put_facts(document: TOMLDocument, changes: Mapping[str, object]) -> None:
    """Put what was found into the document; what is not there is taken out, of the rows whole, from the last on."""
    rows = set()
    for path, value in changes.items():
        *way, last = _steps(path, "walk")
        if value is not None:
            kept = list(value) if isinstance(value, tuple) else written(value, place_at(Job, path).kind)
            _set(_table_at(document, way, path), last, kept, path)
        elif path.startswith(ROW):
            rows.add(way[-1])
        else:
            _table_at(document, way, path).pop(last, None)
    for row in sorted(rows, reverse=True):
        document["wall"]["row"].pop(row)


def _declared(walk: Walk, extra: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """Fields the file gave, and those that were found otherwise; all that nobody said stays assumed."""
    before = {brace.mark: k for k, brace in enumerate(walk.job.braces)}
    planned = {brace.mark: brace for brace in (walk.job.built.planned if walk.job.built else ())}
    paths = set()
    for k, brace in enumerate(walk.braces):
        if brace.mark in extra:
            paths |= {f"brace[{k}].{key}" for key in extra[brace.mark]}
            continue
        old = before.get(brace.mark)
        was = planned[brace.mark] if old is None else walk.job.braces[old]
        for one in fields(Brace):
            said = old is None or f"brace[{old}].{one.name}" in walk.job.declared
            if said or one.name in PLACE or getattr(brace, one.name) != getattr(was, one.name):
                paths.add(f"brace[{k}].{one.name}")
    return frozenset(paths)


# -- a new file ------------------------------------------------------------------------------------------

SCHEMA_FILE = "bracing-wall.schema.json"
COLUMN = 46
HEAD = f"""\
#:schema ./{SCHEMA_FILE}
# {{name}}. Written by `bracing start`, bracing {__version__}.
#
# A line such as `# spacing = "24 in"` is not known: that low value counts until you take the "# " away and write
# what is so. Lengths, speeds and forces carry their unit: "36 ft", "36'-4 1/2\\"", "11.1 m", "58 mph", "700 lb".
# x is taped along the wall from LEFT: left for somebody on the brace side, facing the wall.
"""


def wall_text(values: Mapping[str, object]) -> str:
    """Write a wall file.

    Args:
        values: by dotted path, as typed.

    Returns:
        The text of the file.
    """
    lines = [HEAD.rstrip().format(name=values.get("wall.name", "A wall")), f"edition = {EDITION}"]
    for place in places(Job):
        where = place.path
        if place.kind == "part" and place.inside is not None and _shown(where, values):
            lines += [f"\n[{where}]", *_fields(where, place.inside, values)]
        elif place.kind == "parts":
            lines += _list_tables(where, values)
    lines += _list_tables("fastener", values)
    return "\n".join(lines) + "\n"


def write_new_wall(path: str | os.PathLike[str], values: Mapping[str, object]) -> tuple[str, ...]:
    """Write a new wall file, and the schema its first line names beside it.

    Args:
        path: the file; one that is there is never written over.
        values: by dotted path.

    Returns:
        The files written.

    Raises:
        InputError: the file is there, or cannot be written.
    """
    file = Path(path)
    written = [str(file)]
    try:
        compare_and_replace(file, wall_text(values).encode("utf-8"), was=None)
        written += _schema_beside(file)
    except (ChangedError, FileExistsError):
        refuse("FILE", str(file), "a name that is not taken; the file was not changed")
    except (OSError, ValueError) as error:
        refuse("FILE", str(file), f"a file that can be written ({why_not(error).lower()})")
    return tuple(written)


def _schema_beside(file: Path) -> list[str]:
    """Write the schema beside a wall file, unless there is one or another run is just writing it."""
    schema = file.parent / SCHEMA_FILE
    with contextlib.suppress(ChangedError, FileExistsError):
        compare_and_replace(schema, shipped_schema().encode("utf-8"), was=None)
        return [str(schema)]
    return []


ONLY_ON = {place.path: place.field.metadata[ON] for place in places(Job) if place.field.metadata[ON]}


def _shown(where: str, values: Mapping[str, object]) -> bool:
    """Tables that play no part are left out: those of another floor, returns at free ends, a walk, tables in lists."""
    if where in ONLY_ON:
        given = any(path.startswith(f"{where}.") for path in values)
        return _floor_fits(where, values) and (given or where != "floor.joists")
    side, is_return, _ = where.partition("_return")
    if is_return:
        return values.get(f"{side}_end") == "return"
    return where != "built" and "[]" not in where


def _floor_fits(path: str, values: Mapping[str, object]) -> bool:
    return path not in ONLY_ON or ONLY_ON[path] == values.get("floor.kind", "deck")


def _fields(where: str, cls: type[Any], values: Mapping[str, object]) -> Iterator[str]:
    fields = fields_by_key(cls)
    for key in sorted(fields, key=lambda key: key != "name"):  # the name of a thing stands first
        path = f"{where}.{key}"
        if fields[key].metadata[KIND] not in PARTS and _floor_fits(path, values):
            line = _line(key, fields[key], path, values)
            if line:
                yield line


def _line(key: str, field: attrs.Attribute[Any], path: str, values: Mapping[str, object]) -> str:
    about = field.metadata[HELP]
    if path in values:
        return _beside(f"{key} = {_toml(values[path])}", about)
    default = field.default
    if default is None or default is attrs.NOTHING or default in ((), ""):
        top = path.startswith("wall.") and key in fields_by_key(TopKeys)
        return "" if top or default is attrs.NOTHING else f"# {key}: {about}; not known"
    return _beside(f"# {key} = {_toml(written(default, field.metadata[KIND]))}", about)


def _beside(setting: str, about: str) -> str:
    return f"{setting:<{COLUMN}}# {about}" if len(setting) < COLUMN else f"{setting}  # {about}"


def written(value: object, kind: str) -> object:
    """Write a value in base units as a wall file has it.

    Args:
        value: the value.
        kind: the kind of its field.

    Example:
        >>> written(24.0, "length"), written(0.02, "share"), written(5.0 / 12.0, "line load")
        ('24 in', 0.02, '5 lb/ft')
    """
    if not isinstance(value, int | float) or isinstance(value, bool):
        return value
    if kind == "length":
        inches = f"{value:g} in"  # what is under 4 ft is said in inches
        return inches if value < 48.0 and float(f"{value:g}") == value else length_text(float(value))
    if kind == "force":
        return f"{value:g} lb"
    if kind == "line load":
        return f"{value * INCHES_PER_FOOT:g} lb/ft"
    return value


def _list_tables(path: str, values: Mapping[str, object]) -> Iterator[str]:
    rows = values.get(path, [])
    for row in rows if isinstance(rows, list) else []:
        yield f"\n[[{path}]]"
        yield from (f"{key} = {_toml(value)}" for key, value in row.items())


def _toml(value: object) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_toml(item) for item in value)}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{key} = {_toml(item)}' for key, item in value.items())} }}"
    return json.dumps(value, ensure_ascii=False)
