"""A walk along a wall: brace by brace, what is really up, in the words people use; kept as it is answered.

Every answer is put on disk before the next is asked, so that a phone that dies takes none of them along. The wall
file itself is written once, at the end.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, TypedDict

from attrs import evolve, field, frozen

from bracing.chain.model import braced_studs, nearest_studs
from bracing.chain.room import off_joists
from bracing.check import CheckResult, check
from bracing.errors import InputError
from bracing.job.brace import (
    IN_BLOCK,
    IN_JOIST,
    JOINTS,
    ON_CROSS,
    ON_PANEL,
    Brace,
    clear_heads,
    in_the_way,
)
from bracing.job.fields import LEAST, LOOK, MOST, place_at
from bracing.job.framing import frame_wall
from bracing.job.job import Built, Found, FoundFact, Job
from bracing.job.lumber import section
from bracing.results import CAUTIONS, HeaderJson, header
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch, force, length

Changes = Mapping[str, object]  # by dotted path, in base units; None where nothing is there
BY_WORD = {joint.word: joint for joint in JOINTS}
BACK, HELP = "back", "?"
ANSWERS = Said(
    "walk-answers",
    stud=Quantity(216.0, Kind.FEET),
    head=Quantity(132.0, Kind.FEET),
    foot=Quantity(108.0, Kind.FEET),
)
_COUNT = re.compile(r"(head|cleat|floor) ([0-9]{1,2})|([0-9]{1,2}) (?:at )?(?:the )?(head|cleat|floor)")
_LENGTH = re.compile(r"(stud|head|foot|set-back|set back) (?:at |on )?(.+?)(?: out)?")
_SIZE = re.compile(r"[0-9]+ ?x ?[0-9]+")
_MEASURED = {"length": Kind.TAPE, "force": Kind.STRENGTH}
BY_INCHES = 48.0  # what is under it is said in inches, as spacings are
_TIES = re.compile(r"(?:ties? ([0-2])|(no) ties?)")

FoundJson = TypedDict("FoundJson", {
    "mark": str, "what": Said | str,
})  # fmt: skip
FactJson = TypedDict("FactJson", {
    "field": str, "what": Said,
})  # fmt: skip
_BuiltKeys = TypedDict("_BuiltKeys", {
    "wall": str, "file": str, "state": str, "when": str, "by": str, "asked": int, "differ": int,
    "extra": list[str],
    "found": list[FoundJson], "facts": list[FactJson], "not_seen": list[Said], "braces": list[str],
    "limit_gust_mph": int | None, "clear_out_gust_mph": int | None,
    "limit_gust_as_planned_mph": int | None, "engineer": list[Said], "cautions": list[Said],
})  # fmt: skip


class BuiltJson(HeaderJson, _BuiltKeys):
    """What `BuiltResult` gives."""


@frozen
class Answer:
    """What was found at one brace.

    Attributes:
        brace: as it is there; None where it is missing or counts for nothing.
        found: what differs from the plan.
    """

    brace: Brace | None
    found: tuple[Found, ...]


def found_words(one: Found) -> Said | str:
    """Say what differs from the plan.

    Args:
        one: what was found.
    """
    if one.there is None or one.planned is None:
        return one.what
    there, planned = Quantity(one.there, Kind.TAPE), Quantity(one.planned, Kind.TAPE)
    return Said("found-at", what=one.what, there=there, planned=planned)


def fact_name(path: str) -> str:
    """Give what a field is called on a walk: its key in words, without a unit at its end.

    Args:
        path: its dotted path.

    Example:
        >>> fact_name("wall.plate.row_from_sheathed_edge")
        'row from sheathed edge'
    """
    return path.rpartition(".")[2].removesuffix("_lb").replace("_", " ")


def fact_value(path: str, value: object) -> object:
    """Give the value of a field as it is said on a walk.

    Args:
        path: dotted path of the field.
        value: in base units.
    """
    kind = place_at(Job, path).kind
    if isinstance(value, bool):
        return Said("yes") if value else Said("no")
    if value is None or value == ():
        return Said("not-known")
    if isinstance(value, float) and kind in _MEASURED:
        return Quantity(value, _MEASURED[kind] if kind == "force" or value >= BY_INCHES else Kind.INCHES)
    return f"{value:g}" if isinstance(value, float) else value


def fact_words(one: FoundFact) -> Said:
    """Say what beside the braces differs from the plan.

    Args:
        one: what was found.
    """
    there, planned = (_as_said(one.field, text) for text in (one.there, one.planned))
    what = Said.by(place_at(Job, one.field).field.metadata[LOOK], {})
    return Said("found-fact", what=what, name=fact_name(one.field), there=there, planned=planned)


def _as_said(path: str, text: str) -> object:
    """A quantity as a file has it, so that a page writes it in its own units; other text as it is."""
    reader = {"length": length, "force": force}.get(place_at(Job, path).kind)
    try:
        return text if reader is None else fact_value(path, reader(text))
    except InputError:
        return text


def planned_braces(job: Job) -> tuple[Brace, ...]:
    """Give the braces to ask about: those in the file, and those a walk before found missing.

    Args:
        job: the wall as it is in the file.
    """
    there = {brace.mark for brace in job.braces}
    missing = () if job.built is None else tuple(b for b in job.built.planned if b.mark not in there)
    return (*job.braces, *missing)


def is_missing(job: Job, brace: Brace) -> bool:
    """Whether a walk before found a brace missing.

    Args:
        job: the wall.
        brace: the brace.
    """
    return brace.mark not in {b.mark for b in job.braces}


def read_answer(job: Job, brace: Brace, text: str) -> Answer | Said:
    """Read what was found at a brace.

    Args:
        job: the wall.
        brace: as planned.
        text: as typed; nothing means as planned, or still missing where a walk before found it so.

    Returns:
        What was found; of what is no answer, or cannot be on this wall, what is expected instead.
    """
    words = " ".join(text.strip().lower().split())
    if not words:
        gone = is_missing(job, brace)
        return Answer(None, (Found(brace.mark, "missing"),)) if gone else Answer(brace, ())
    found: list[Found] = []
    there = brace
    for piece in (part.strip() for part in words.split(",")):
        if piece in ("there", "as planned"):
            continue
        if piece in ("missing", "gone", "split stick", "split brace"):
            return Answer(None, (Found(brace.mark, piece),))
        changed = _changed(there, piece)
        if isinstance(changed, Said):
            return Said("walk-refused", mark=brace.mark, got=text, expected=changed)
        there, one = changed
        found.append(one)
    off = off_the_wall(job, there)
    return (
        Answer(there, tuple(found))
        if off is None
        else Said("walk-refused", mark=brace.mark, got=text, expected=off)
    )


_Changed = tuple[Brace, Found] | Said  # or what is expected instead


def _changed(brace: Brace, piece: str) -> _Changed:
    """Give the brace with one thing changed, and what of it was found."""
    counted = _COUNT.fullmatch(piece)
    if counted:
        word, count = counted[1] or counted[4], int(counted[2] or counted[3])
        return _put(brace, BY_WORD[word], count, f"{word} {count}, planned {getattr(brace, BY_WORD[word])}")
    split = piece.removeprefix("split ")
    if piece.startswith("split") and split in BY_WORD:
        return _put(brace, BY_WORD[split], 0, f"split at the {split}: counts for nothing")
    if piece in ("joist missed", "missed joist", "no joist", "missed the joist", "joist missing"):
        return evolve(brace, foot_on=ON_PANEL), Found(brace.mark, "joist missed")
    if piece in ("no t", "not a t", "t missing", "no second stick"):
        return evolve(brace, stiffener="none"), Found(brace.mark, "no second stick")
    if piece in ("stud not doubled", "not doubled"):
        return evolve(brace, stud_doubled=False), Found(brace.mark, "stud not doubled")
    ties = _TIES.fullmatch(piece)
    if ties:
        count = 0 if ties[2] else int(ties[1])
        return _put(brace, "ties", count, f"ties {count}, planned {brace.ties}")
    if _SIZE.fullmatch(piece):
        return _other_size(brace, piece)
    placed = _LENGTH.fullmatch(piece)
    return ANSWERS if placed is None else _elsewhere(brace, placed[1], placed[2])


def _put(brace: Brace, name: str, value: float, what: str, planned: Inch | None = None) -> _Changed:
    """Change a field, a length where it has a planned one, to what its range allows."""
    limits, there = place_at(Job, f"brace[].{name}").field.metadata, None if planned is None else value
    if not limits[LEAST] <= value <= limits[MOST]:
        ends = (limits[LEAST], limits[MOST])
        least, most = ends if there is None else (Quantity(end, Kind.FEET) for end in ends)
        return Said("from-to", least=least, most=most)
    changed: dict[str, Any] = {name: value}
    return evolve(brace, **changed), Found(brace.mark, what, there=there, planned=planned)


def _elsewhere(brace: Brace, what: str, text: str) -> _Changed:
    name = {"stud": "stud_at", "head": "head"}.get(what, "set_back")
    try:
        there = length(text)
    except InputError:
        return Said("length-with-its-unit", such=Quantity(216.0, Kind.FEET))
    return _put(brace, name, there, what, getattr(brace, name))


def _other_size(brace: Brace, piece: str) -> _Changed:
    try:
        size = section(piece.replace(" ", "")).name
    except LookupError:
        return Said("size-of-lumber")
    return evolve(brace, size=size), Found(brace.mark, f"{size}, planned {brace.size}")


def off_the_wall(job: Job, brace: Brace) -> Said | None:
    """Say what is expected of a brace that cannot stand where it is said to; nothing where it can.

    Args:
        job: the wall.
        brace: the brace.
    """
    framing = frame_wall(job.wall)
    try:
        braced_studs(evolve(job, braces=(brace,)), framing)
    except InputError as error:
        if error.faults[0].field.endswith(".head"):
            return Said("head-no-higher", top=Quantity(job.wall.height_at(brace.stud_at), Kind.TAPE))
        nearest = tuple(Quantity(x, Kind.TAPE) for x in nearest_studs(framing, brace.stud_at))
        return Said("on-a-full-stud", nearest=nearest)
    missed = brace.foot_on == IN_JOIST and off_joists(job, brace) is not None
    return Said("no-joist-lies-there") if missed else None


def where_another_is(brace: Brace, others: Iterable[Brace]) -> Said | None:
    """Say what is expected of a brace that is said to be where another was found; nothing where there is room for it.

    Args:
        brace: the brace.
        others: those found so far.
    """
    there = in_the_way(brace, others)
    if there is None:
        return None
    apart, head = Quantity(clear_heads(brace, there), Kind.INCHES), Quantity(there.head, Kind.TAPE)
    return Said("where-another-is", apart=apart, head=head, mark=there.mark)


def _alone(answer: Answer | Said, mark: str, text: str, *, among: Mapping[str, Answer]) -> Answer | Said:
    """An answer, unless its brace would be where one is that was answered for already."""
    if isinstance(answer, Said) or answer.brace is None:
        return answer
    others = (each.brace for m, each in among.items() if m != mark and each.brace is not None)
    taken = where_another_is(answer.brace, others)
    got = text.strip() or Quantity(answer.brace.stud_at, Kind.TAPE)
    return answer if taken is None else Said("walk-refused", mark=mark, got=got, expected=taken)


_IN_WOOD = {
    IN_JOIST: Said("walk-joist"),
    IN_BLOCK: Said("walk-block"),
    ON_CROSS: Said("walk-cross-cleats"),
}


def brace_line(brace: Brace, *, missing: bool) -> Said:
    """Say what should be there.

    Args:
        brace: as planned.
        missing: a walk before found it missing.
    """
    return Said(
        "walk-brace",
        mark=brace.mark,
        size=brace.size,
        at=Quantity(brace.stud_at, Kind.TAPE),
        head=Quantity(brace.head, Kind.TAPE),
        foot=Quantity(brace.set_back, Kind.TAPE),
        heads=brace.head_fasteners,
        cleats=brace.cleat_fasteners,
        floors=brace.floor_fasteners,
        joist=_IN_WOOD[brace.foot_on] if brace.in_wood else "",
        doubled=Said("walk-doubled") if brace.stud_doubled else "",
        tee="" if brace.stiffener == "none" else Said("walk-tee"),
        ties=Said("walk-ties", ties=brace.ties) if brace.ties else "",
        missing=Said("walk-missing") if missing else "",
    )


# -- the walk --------------------------------------------------------------------------------------------


@frozen
class Journal:
    """Answers kept beside the wall file while the walk goes on.

    Attributes:
        path: where.
        sha256: hash of the wall file the answers are about.
    """

    path: Path
    sha256: str

    def read(self) -> dict[str, str]:
        """Give the answers kept; none where they are about another state of the file."""
        try:
            lines = self.path.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return {}
        kept: dict[str, str] = {}
        for k, line in enumerate(lines):
            try:
                row = json.loads(line)
                if k == 0 and row["sha256"] != self.sha256:
                    return {}
                if k:
                    kept[str(row["mark"])] = str(row["answer"])
            except (ValueError, KeyError, TypeError):
                break  # a line broken off in a crash: what stands before it counts
        return kept

    def start(self) -> None:
        """Begin with no answers."""
        self._put("w", {"sha256": self.sha256})

    def write(self, mark: str, answer: str) -> None:
        """Put one answer on disk, after those that are there; of two for one brace the later counts.

        Args:
            mark: the brace.
            answer: as typed.
        """
        self._put("a", {"mark": mark, "answer": answer})

    def _put(self, mode: str, row: dict[str, str]) -> None:
        with self.path.open(mode, encoding="utf-8") as stream:
            stream.write(json.dumps(row) + "\n")
            stream.flush()
            os.fsync(stream.fileno())

    def finish(self, write: Callable[[], Job], *, by: str, when: str) -> Job:
        """Have the wall file written, and take the answers away: it has them all.

        Args:
            write: writes the wall file.
            by: who walked, by role.
            when: date and time, as the file has it.

        Returns:
            The wall as the file now gives it.
        """
        there = write()
        self.path.unlink(missing_ok=True)
        return there


@frozen(eq=False)
class Walk:
    """All that was found.

    Attributes:
        job: the wall as it was in the file.
        answers: by mark, in order; those of braces that are up and stand in no file come last.
    """

    job: Job
    answers: dict[str, Answer] = field(repr=False)

    @property
    def braces(self) -> tuple[Brace, ...]:
        """The braces that are there."""
        return tuple(a.brace for a in self.answers.values() if a.brace is not None)

    @property
    def plan(self) -> dict[str, Brace]:
        """Every brace as it was planned, before any walk."""
        before = () if self.job.built is None else self.job.built.planned
        return {brace.mark: brace for brace in (*self.job.braces, *before)}

    @property
    def found(self) -> tuple[Found, ...]:
        """What differs from the plan; what a walk before found and this one left as it is stays found."""
        before = () if self.job.built is None else self.job.built.found
        rows: list[Found] = []
        for mark, answer in self.answers.items():
            if answer.brace != self.plan.get(mark):
                rows += answer.found or [one for one in before if one.mark == mark]
        return tuple(rows)

    @property
    def planned(self) -> tuple[Brace, ...]:
        """The braces as planned, of those that differ."""
        plan = self.plan
        return tuple(plan[mark] for mark, a in self.answers.items() if mark in plan and a.brace != plan[mark])


@frozen(eq=False)
class Looked:
    """All that was looked at beside the braces of the file.

    Attributes:
        changes: what differs from the file.
        facts: what differs from the plan.
        unseen: fields nobody looked at.
        extra: of each brace that stands in no file, by its mark, the keys of its fields that were told.
    """

    changes: Changes = field(factory=dict)
    facts: tuple[FoundFact, ...] = ()
    unseen: frozenset[str] = frozenset()
    extra: Mapping[str, frozenset[str]] = field(factory=dict)


def walk(job: Job, ask: Callable[[Said], str], say: Callable[[Said], None], *, journal: Journal) -> Walk:
    """Ask brace by brace.

    Args:
        job: the wall as it is in the file.
        ask: shows a line and gives what is typed.
        say: shows a line.
        journal: keeps every answer.

    Returns:
        What was found.
    """
    braces = planned_braces(job)
    by_mark = {brace.mark: brace for brace in braces}
    typed = {m: read_answer(job, by_mark[m], text) for m, text in journal.read().items() if m in by_mark}
    answers = {mark: answer for mark, answer in typed.items() if isinstance(answer, Answer)}
    say(Said("walk-begins"))
    if not journal.read():
        journal.start()
    elif answers:
        say(Said("walk-taken-up", answered=len(answers), of=len(braces)))
    before = frozenset(
        answers
    )  # somebody may have answered for any of them: Enter would say otherwise unseen
    k = next((k for k, brace in enumerate(braces) if brace.mark not in before), len(braces))
    while k < len(braces):
        text = ask(brace_line(braces[k], missing=is_missing(job, braces[k])))
        word = text.strip().lower()
        if word == HELP:
            say(ANSWERS)
        elif word == BACK:
            k = max(0, k - 1)
        else:
            answer = _alone(read_answer(job, braces[k], text), braces[k].mark, text, among=answers)
            if isinstance(answer, Said):
                say(answer)
                continue
            answers[braces[k].mark] = answer
            journal.write(braces[k].mark, text)
            k = next((j for j in range(k + 1, len(braces)) if braces[j].mark not in before), len(braces))
    return Walk(job, {b.mark: answers[b.mark] for b in braces})


@frozen(eq=False)
class BuiltResult:
    """A wall as it was found, beside its plan.

    Attributes:
        built: who found what, when.
        asked: braces that were asked about.
        extra: marks of braces that are up and were in no plan.
        plan: the wall as planned, checked.
        found: the wall as found, checked.
    """

    built: Built
    asked: int
    extra: tuple[str, ...]
    plan: CheckResult = field(repr=False)
    found: CheckResult = field(repr=False)

    @property
    def differ(self) -> int:
        """How many braces of the plan differ from it."""
        return len({one.mark for one in self.built.found} - set(self.extra))

    def to_dict(self) -> BuiltJson:
        """Give the result as JSON."""
        job = self.found.job
        return {
            **header(job, "built"), "wall": job.wall.name, "file": job.file, "state": job.state,
            "when": self.built.when, "by": self.built.by, "asked": self.asked, "differ": self.differ,
            "extra": list(self.extra),
            "found": [{"mark": one.mark, "what": found_words(one)} for one in self.built.found],
            "facts": [{"field": one.field, "what": fact_words(one)} for one in self.built.facts],
            "not_seen": [Said.by(look, {}) for look in job.not_seen],
            "braces": [brace.mark for brace in job.braces],
            "limit_gust_mph": self.found.limit_whole, "clear_out_gust_mph": self.found.clear_out,
            "limit_gust_as_planned_mph": self.plan.limit_whole, "engineer": list(self.found.beyond),
            "cautions": list(CAUTIONS),
        }  # fmt: skip


def beside_plan(walk: Walk, as_built: Job, planned: Job) -> BuiltResult:
    """Hold a wall as found against its plan.

    Args:
        walk: what was found.
        as_built: the wall as the file now gives it.
        planned: the wall as it was planned, but for its braces.
    """
    assert as_built.built is not None  # a walk has just been written into it
    asked = planned_braces(walk.job)
    plan = evolve(planned, braces=tuple(walk.plan[brace.mark] for brace in asked))
    extra = tuple(brace.mark for brace in as_built.braces if brace.mark not in walk.plan)
    checked = (check(job, effects=False) for job in (plan, as_built))
    return BuiltResult(as_built.built, len(asked), extra, *checked)
