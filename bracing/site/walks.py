"""A walk kept in the log: answers count as they are given, two people may walk one wall, and it is finished once."""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path

from attrs import evolve, field, frozen

from bracing.errors import Fault, InputError
from bracing.job.fields import place_at
from bracing.job.job import Job
from bracing.reading.files import digest
from bracing.reading.jobs import job_of
from bracing.reading.log import (
    BEGUN,
    ENTRY,
    FINISHED,
    FINISHING,
    LOG,
    REOPENED,
    WALK,
    Writer,
    note_outside,
    read_rows,
    writing,
)
from bracing.reading.looking import KEYED, as_text, read_look, things_to_see
from bracing.reading.source import read_source
from bracing.reading.unfinished import Entry, entry_of, open_entries
from bracing.reading.writing import written
from bracing.said import Said
from bracing.site.kept import kept_folder
from bracing.stages.walk import Answer, Journal, fact_name, planned_braces, read_answer


class Taken(StrEnum):
    """What became of an answer that was given in."""

    KEPT = "kept"
    REPEATED = "repeated"  # the same answer under the same id: it was there already
    DISPUTED = "disputed"  # somebody says otherwise, and this did not know it
    LATE = "late"  # for another state of the file, or after its walk was finished
    REFUSED = "refused"  # another answer under an id that is there


def take(log: Writer, wall: str, one: Entry, *, plan: str, link: str = "") -> Taken:
    """Take in one answer.

    Args:
        log: what is written into.
        wall: name of the wall's file.
        one: the answer.
        plan: digest of the file as it is.
        link: by which link it came in; empty from a command.
    """
    rows = log.rows(wall)
    same = [entry_of(row) for row in rows if row.kind == ENTRY and row.body.get("id") == one.id]
    if same:
        return Taken.REPEATED if same[0].body() == one.body() else Taken.REFUSED
    others = [each for each in open_entries(rows).get(one.mark, []) if each.id not in one.seen]
    log.add(ENTRY, one.body(), wall=wall, who=one.who, link=link)
    if one.plan != plan:
        return Taken.LATE
    return Taken.DISPUTED if disputed([*others, one]) else Taken.KEPT


def disputed(entries: Iterable[Entry]) -> bool:
    """Whether answers about one brace or thing say two things.

    Args:
        entries: the answers.
    """
    return len({_plain(one) for one in entries}) > 1


def _plain(one: Entry) -> str:
    return " ".join(one.answer.lower().split()) if one.told else ""


def recover(log: Writer, path: Path) -> None:
    """Bring a walk to its end that was killed while it was finished: taken in, if its file has it, or open again.

    Args:
        log: what is written into.
        path: the wall file.
    """
    events = [row for row in log.rows(path.name) if row.kind == WALK and row.body.get("event")]
    if not events or events[-1].body.get("event") != FINISHING:
        return
    last = events[-1].body
    after = digest(path)
    done = (
        after is not None
        and after != last.get("before")
        and _built(path) == (last.get("when"), last.get("by"))
    )
    event = FINISHED if done else REOPENED
    body = {**last, "event": event, "after": after}
    log.add(WALK, body, wall=path.name, who=str(last.get("by")))


def _built(path: Path) -> tuple[str, str] | None:
    """Who walked a wall and when, as its file says; None where it says nothing or cannot be read."""
    try:
        built = job_of(read_source(path)).built
    except InputError:
        return None
    return None if built is None else (built.when, built.by)


@frozen
class Logged(Journal):
    """Answers kept in the log while the walk goes on.

    Attributes:
        wall: the wall file.
        job: the wall as its file has it.
        plan: digest of the file as it was when the walk was taken up.
        who: who walks, by role; empty where that is asked last.
        known: by mark, ids of the answers this walk knows of.
    """

    wall: Path = field(kw_only=True)
    job: Job = field(kw_only=True, repr=False)
    plan: str = field(default="", kw_only=True)
    who: str = field(default="", kw_only=True)
    known: dict[str, list[str]] = field(factory=dict, kw_only=True)

    def read(self) -> dict[str, str]:
        """Give the answers kept for this state of the file; what two people say two things of is asked again."""
        kept = {}
        for mark, entries in open_entries(read_rows(self.path, self.wall.name)).items():
            self.known[mark] = [one.id for one in entries]
            if not disputed(entries) and all(one.plan == self.plan for one in entries):
                kept[mark] = entries[-1].answer
        return kept

    def start(self) -> None:
        """Begin a walk; one that is begun goes on."""
        with writing(self.path, datetime.now(UTC)) as log:
            log.add(WALK, {"event": BEGUN, "plan": self.plan}, wall=self.wall.name, who=self.who)

    def write(self, mark: str, answer: str) -> None:
        """Put one answer on disk: when this returns it is there, and counts.

        Args:
            mark: the brace, or the key of what was looked at.
            answer: as typed.
        """
        seen = tuple(self.known.get(mark, ()))
        one = told_of(self.job, Entry(uuid.uuid4().hex, mark, answer, self.plan, seen, who=self.who))
        with writing(self.path, datetime.now(UTC)) as log:
            take(log, self.wall.name, one, plan=digest(self.wall) or "")
        self.known[mark] = [one.id]

    def finish(self, write: Callable[[], Job], *, by: str, when: str) -> Job:
        """Finish the walk: the wall file is written, and its answers are in it.

        Args:
            write: writes the wall file.
            by: who walked, by role.
            when: date and time, as the file has it.

        Returns:
            The wall as the file now gives it.

        Raises:
            InputError: two people say two things of a brace; or as `write`.
        """
        role, name = " ".join(by.split()), self.wall.name
        with writing(self.path, datetime.now(UTC)) as log:
            rows = log.rows(name)
            _refuse_disputed(open_entries(rows), str(self.wall))
            ids = [entry_of(row).id for row in rows if row.kind == ENTRY]
            body: dict[str, object] = {"before": self.plan, "by": role, "when": when, "entries": ids}
            log.add(WALK, {"event": FINISHING, **body}, wall=name, who=role)
        try:
            there = write()
        except BaseException:
            with writing(self.path, datetime.now(UTC)) as log:
                recover(log, self.wall)
            raise
        with writing(self.path, datetime.now(UTC)) as log:
            log.add(WALK, {"event": FINISHED, **body, "after": digest(self.wall)}, wall=name, who=role)
        return there


def taken_up(path: Path, job: Job, *, who: str) -> Logged:
    """Take up the walk of a wall in a log, or begin one.

    Args:
        path: the log.
        job: the wall as its file has it.
        who: who walks, by role; empty where that is asked last.
    """
    wall = Path(job.file)
    with writing(path, datetime.now(UTC)) as log:
        recover(log, wall)
        note_outside(log, (wall,))
    return Logged(path, job.sha256, wall=wall, job=job, plan=digest(wall) or "", who=who)


def _refuse_disputed(entries: Mapping[str, list[Entry]], file: str) -> None:
    faults = []
    for mark, each in entries.items():
        answers = sorted({one.answer.strip() or "as planned" for one in each})
        if disputed(each):
            expected = "one answer: look again, bracing built asks for it; the walk is not finished"
            faults.append(Fault(file, mark.strip(), " and ".join(answers), expected))
    if faults:
        raise InputError(faults)


def told_of(job: Job, one: Entry) -> Entry:
    """Give an answer with what it says that differs from the plan.

    Args:
        job: the wall as its file has it.
        one: the answer as it was given.
    """
    told, changes = _told(job, one.mark, one.answer)
    return evolve(one, told=told, changes=changes)


def noted(folder: Path, walls: tuple[Path, ...], now: datetime) -> Path:
    """Bring the log of a folder up to what stands there; begin one where there is none.

    Args:
        folder: the folder of walls.
        walls: its wall files.
        now: the present moment.

    Returns:
        The log.

    Raises:
        InputError: it cannot be written.
    """
    path = kept_folder(folder) / LOG
    with writing(path, now) as log:
        for wall in walls:
            recover(log, wall)
        note_outside(log, walls)
    return path


def _told(job: Job, mark: str, answer: str) -> tuple[str, dict[str, str | None]]:
    """What an answer says that differs from the plan, as people read it; and, beside the braces, as a file has it."""
    if not mark.startswith(KEYED):
        brace = next((one for one in planned_braces(job) if one.mark == mark), None)
        found = None if brace is None else read_answer(job, brace, answer)
        if not isinstance(found, Answer) or not found.found:
            return "", {}
        return f"{mark}: {' '.join(answer.split())}", {}
    seen = next((one for one in things_to_see(job) if one.key == mark), None)
    changes = None if seen is None else read_look(job, seen, answer)
    if not changes or isinstance(changes, Said):
        return "", {}
    kept = {
        path: None if value is None else json.dumps(_filed(path, value)) for path, value in changes.items()
    }
    told = (f"{fact_name(path)} {as_text(path, value)}" for path, value in changes.items())
    return ", ".join(dict.fromkeys(told)), kept


def _filed(path: str, value: object) -> object:
    return list(value) if isinstance(value, tuple) else written(value, place_at(Job, path).kind)
