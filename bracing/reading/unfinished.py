"""What walks that are not finished have found of a wall: bad news counts at once, good news when the walk is finished.

An entry of the log is one answer at one brace or thing. Until a walk is finished, a wall is as its file says or as any
of the answers say, whichever has the least limit gust; where two people say two things, either may be so.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from pathlib import Path
from typing import Any

import attrs
from attrs import evolve, frozen

from bracing.errors import InputError, MissingDataError
from bracing.job.fields import place_at, value_at, with_value
from bracing.job.job import Job
from bracing.reading.log import ENTRY, FINISHED, WALK, Row, log_of, read_rows
from bracing.reading.values import Faults, Reading, read_value

MOST_COMBINATIONS = 16
ROW = "wall.row["
_BRACE = "brace["


@frozen
class Entry:
    """One answer of a walk.

    Attributes:
        id: its own.
        mark: the brace, or the key of what else was looked at.
        answer: as typed.
        plan: digest of the wall file it was answered for.
        seen: ids of the entries it takes the place of.
        changes: by dotted path, what differs beside the braces, in JSON; None where nothing is there.
        told: what it says, as people read it; nothing where all is as planned.
        who: who answered, by role.
        at: when, milliseconds since 1970.
    """

    id: str
    mark: str
    answer: str
    plan: str
    seen: tuple[str, ...] = ()
    changes: Mapping[str, str | None] = attrs.field(factory=dict)
    told: str = ""
    who: str = ""
    at: int = 0

    def body(self) -> dict[str, object]:
        """Give it as a row has it."""
        return {
            "id": self.id, "mark": self.mark, "answer": self.answer, "plan": self.plan, "seen": list(self.seen),
            "changes": dict(self.changes), "told": self.told,
        }  # fmt: skip


def entry_of(row: Row) -> Entry:
    """Give the entry of a row.

    Args:
        row: a row of that kind.
    """
    body = row.body
    changes = body.get("changes") if isinstance(body.get("changes"), dict) else {}
    return Entry(
        str(body.get("id")), str(body.get("mark")), str(body.get("answer")), str(body.get("plan")),
        tuple(map(str, body.get("seen") or ())), dict(changes or {}), str(body.get("told") or ""), row.who, row.at,
    )  # fmt: skip


def open_entries(rows: Iterable[Row]) -> dict[str, list[Entry]]:
    """Give the answers of a wall that no finished walk has taken in and nobody has replaced, by mark.

    Args:
        rows: the rows of the wall.
    """
    found: list[Entry] = []
    for row in rows:
        if row.kind == WALK and row.body.get("event") == FINISHED:
            found = [one for one in found if one.id not in set(row.body.get("entries") or ())]
        elif row.kind == ENTRY:
            found.append(entry_of(row))
    replaced = {id_ for one in found for id_ in one.seen}
    by_mark: dict[str, list[Entry]] = {}
    for one in found:
        if one.id not in replaced:
            by_mark.setdefault(one.mark, []).append(one)
    return by_mark


def as_reported(job: Job) -> Job:
    """Give a wall as its file has it or as walks that are not finished say, whichever has the least limit gust.

    Args:
        job: the wall as its file has it.

    Raises:
        InputError: there is a log beside it that cannot be read.
    """
    path = log_of(Path(job.file))
    if path is None:
        return job
    bad = {
        mark: [one for one in entries if one.told]
        for mark, entries in open_entries(read_rows(path, Path(job.file).name)).items()
    }
    bad = {mark: entries for mark, entries in bad.items() if entries}
    if not bad or not job.wall.up:
        return job
    # Of two as bad the one with more of the answers: where the file has no limit gust at all, they are still so.
    _, least = min(_candidates(job, bad), key=lambda each: (*_limit(each[1]), -each[0]))
    told = tuple(f"{one.told} ({one.who})" if one.who else one.told for each in bad.values() for one in each)
    told += tuple(
        f"{path} as it was found no longer fits the file: at its low default"
        for each in bad.values()
        for one in each
        for path in _no_longer_fits(job, one)
    )
    together = "".join((job.sha256, *(one.id for each in bad.values() for one in each)))
    return evolve(
        least, reported=tuple(dict.fromkeys(told)), sha256=hashlib.sha256(together.encode()).hexdigest()
    )


def _limit(job: Job) -> tuple[float, float]:
    from bracing.check import check

    checked = check(job, effects=False)
    if checked.limit is None:
        return -1.0, -1.0  # an engineer's, or nothing keeps it up
    return float(checked.limit), float(checked.clear_out or 0)


def _candidates(job: Job, bad: Mapping[str, list[Entry]]) -> Iterator[tuple[int, Job]]:
    """The wall as its file has it, and with each choice of the answers; of too many, with all those braces left out.

    Each with how many answers are in it.
    """
    yield 0, job
    several = 1
    for entries in bad.values():
        several *= 1 + len(entries)
    if several <= MOST_COMBINATIONS:
        for chosen in product(*([None, *entries] for entries in bad.values())):
            found = [one for one in chosen if one is not None]
            yield len(found), _with(job, found)
        return
    for entries in bad.values():
        yield from ((1, _with(job, [one])) for one in entries)
    yield len(bad), _with(job, [entries[-1] for entries in bad.values()])
    out = [evolve(entries[-1], answer="missing") for entries in bad.values()]
    yield len(out), _with(job, out)


def _with(job: Job, entries: Iterable[Entry]) -> Job:
    """The wall with some answers; one that no longer fits leaves its brace out, or its field at its low default."""
    from bracing.stages.walk import Answer, read_answer

    rows: set[int] = set()
    for one in entries:
        if one.changes:
            job = _with_changes(job, one.changes, rows)
            continue
        k = next((k for k, brace in enumerate(job.braces) if brace.mark == one.mark), None)
        if k is None:
            continue
        found = read_answer(job, job.braces[k], one.answer)
        brace = found.brace if isinstance(found, Answer) else None
        there = (*job.braces[:k], *(() if brace is None else (brace,)), *job.braces[k + 1 :])
        declared = job.declared if brace is not None else _without(job.declared, k)
        job = evolve(job, braces=there, declared=declared)
    if rows:
        kept = tuple(row for k, row in enumerate(job.wall.rows) if k not in rows)
        job = evolve(job, wall=evolve(job.wall, rows=kept))
    return job


def _without(declared: frozenset[str], gone: int) -> frozenset[str]:
    """Declared paths with one brace fewer: those after it move up."""
    found = set()
    for path in declared:
        if not path.startswith(_BRACE):
            found.add(path)
            continue
        index, _, rest = path.removeprefix(_BRACE).partition("]")
        if int(index) != gone:
            found.add(f"{_BRACE}{int(index) - (int(index) > gone)}]{rest}")
    return frozenset(found)


def _with_changes(job: Job, changes: Mapping[str, str | None], rows: set[int]) -> Job:
    for path, text in changes.items():
        if text is None and path.startswith(ROW):
            rows.add(int(path.removeprefix(ROW).partition("]")[0]))
            continue
        found = _changed(job, path, text)
        found = _changed(job, path, None) if found is None else found
        if found is not None and path.startswith(_BRACE) and _ties(found, path) > _ties(job, path):
            continue  # the ties of all braces are answered at once: none has more than it had
        job = job if found is None else found
    return job


def _ties(job: Job, path: str) -> int:
    return int(str(value_at(job, path) or 0))


def _no_longer_fits(job: Job, entry: Entry) -> tuple[str, ...]:
    """Fields of the wall as its file has it that cannot be what was found."""
    return tuple(
        path for path, text in entry.changes.items() if text is not None and _changed(job, path, text) is None
    )


def _changed(job: Job, path: str, text: str | None) -> Job | None:
    """The wall with one field as it was found, or else at its low default; None where that does not fit it."""
    try:
        one = place_at(Job, path).field
        value: Any = one.default
        if text is not None:
            faults = Faults("log")
            value = read_value(json.loads(text), one.metadata, path, reading=Reading(faults, job.fasteners))
            faults.raise_if_any()
        elif value is attrs.NOTHING:
            return None
        return with_value(job, path, value)
    except (InputError, MissingDataError, LookupError, ValueError, TypeError):
        return None
