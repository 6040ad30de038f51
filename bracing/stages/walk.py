"""A walk along a wall: brace by brace, what is really up, in the words people use; kept as it is answered.

Every answer is put on disk before the next is asked, so that a phone that dies takes none of them along. The wall
file itself is written once, at the end.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypedDict

from attrs import evolve, field, frozen

from bracing.chain.model import braced_studs
from bracing.check import CheckResult, check
from bracing.errors import InputError
from bracing.job.brace import JOINTS, Brace
from bracing.job.framing import frame_wall
from bracing.job.job import Built, Found, Job
from bracing.job.lumber import section
from bracing.results import CAUTIONS, HeaderJson, header
from bracing.said import Said
from bracing.units import length, tape

BY_WORD = {joint.word: joint for joint in JOINTS}
MOST = 60
MOST_LETTERS = 80
BACK, HELP = "back", "?"
START = (
    'At each brace: Enter = as planned; else what is there, such as "floor 4", "joist missed" or "missing"; "?" lists '
    "all that can be said. Every answer is kept as it is given."
)
GRAMMAR = (
    'Enter = as planned. Else what is there: "floor 4" (or head, cleat: how many fasteners), "joist missed", '
    '"stud 19 ft 4 in", "missing", "split head" (or cleat, floor, stick), "ties 0", "2x4", "head at 11 ft", '
    '"foot at 9 ft out", "stud not doubled"; several with commas between. "back" asks the last one again.'
)
_COUNT = re.compile(r"(head|cleat|floor) ([0-9]{1,2})|([0-9]{1,2}) (?:at )?(?:the )?(head|cleat|floor)")
_LENGTH = re.compile(r"(stud|head|foot|set-back|set back) (?:at |on )?(.+?)(?: out)?")
_SIZE = re.compile(r"[0-9]+ ?x ?[0-9]+")
_TIES = re.compile(r"(?:ties? ([0-2])|(no) ties?)")

FoundJson = TypedDict("FoundJson", {
    "mark": str, "what": str,
})  # fmt: skip
_BuiltKeys = TypedDict("_BuiltKeys", {
    "wall": str, "file": str, "state": str, "when": str, "by": str, "asked": int, "differ": int,
    "found": list[FoundJson], "braces": list[str], "limit_gust_mph": int | None, "clear_out_gust_mph": int | None,
    "limit_gust_as_planned_mph": int | None, "engineer": list[Said], "cautions": list[Said],
})  # fmt: skip


class BuiltJson(HeaderJson, _BuiltKeys):
    """What `BuiltResult` gives."""


@frozen
class Answer:
    """What was found at one brace.

    Attributes:
        brace: as it is there; None where it is missing or counts for nothing.
        found: what differs from the plan, in a few words each.
    """

    brace: Brace | None
    found: tuple[str, ...]


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


def read_answer(job: Job, brace: Brace, text: str) -> Answer:
    """Read what was found at a brace.

    Args:
        job: the wall.
        brace: as planned.
        text: as typed; nothing means as planned, or still missing where a walk before found it so.

    Raises:
        InputError: not an answer, or one that cannot be on this wall.
    """
    words = " ".join(text.strip().lower().split())
    if not words:
        return Answer(None, ("missing",)) if is_missing(job, brace) else Answer(brace, ())
    found: list[str] = []
    there = brace
    for piece in (part.strip() for part in words.split(",")):
        if piece in ("there", "as planned"):
            continue
        if piece in ("missing", "gone", "split stick", "split brace"):
            return Answer(None, (piece,))
        there, note = _changed(there, piece, text)
        found.append(note)
    _on_the_wall(job, there)
    return Answer(there, tuple(found))


def _changed(brace: Brace, piece: str, text: str) -> tuple[Brace, str]:
    """Give the brace with one thing changed, and the note of it."""
    counted = _COUNT.fullmatch(piece)
    if counted:
        joint, count = counted[1] or counted[4], int(counted[2] or counted[3])
        if count <= MOST:
            before = getattr(brace, BY_WORD[joint])
            return _with(brace, BY_WORD[joint], count), f"{joint} {count}, planned {before}"
    split = piece.removeprefix("split ")
    if piece.startswith("split") and split in BY_WORD:
        return _with(brace, BY_WORD[split], 0), f"split at the {split}: counts for nothing"
    if piece in ("joist missed", "missed joist", "no joist", "missed the joist", "joist missing"):
        return evolve(brace, into_joist=False), "joist missed"
    if piece in ("stud not doubled", "not doubled"):
        return evolve(brace, stud_doubled=False), "stud not doubled"
    ties = _TIES.fullmatch(piece)
    if ties:
        count = 0 if ties[2] else int(ties[1])
        return evolve(brace, ties=count), f"ties {count}, planned {brace.ties}"
    if _SIZE.fullmatch(piece):
        return _other_size(brace, piece)
    placed = _LENGTH.fullmatch(piece)
    if placed:
        name = {"stud": "stud_at", "head": "head"}.get(placed[1], "set_back")
        where = length(placed[2], field=brace.mark)
        return _with(
            brace, name, where
        ), f"{placed[1]} at {tape(where)}, planned {tape(getattr(brace, name))}"
    raise InputError.of(brace.mark, text, GRAMMAR)


def _with(brace: Brace, name: str, value: Any) -> Brace:  # noqa: ANN401  (a value of any field)
    changed: dict[str, Any] = {name: value}
    return evolve(brace, **changed)


def _other_size(brace: Brace, piece: str) -> tuple[Brace, str]:
    try:
        size = section(piece.replace(" ", "")).name
    except LookupError:
        raise InputError.of(brace.mark, piece, "a size of lumber, such as 2x4") from None
    return evolve(brace, size=size), f"{size}, planned {brace.size}"


def _on_the_wall(job: Job, brace: Brace) -> None:
    try:
        braced_studs(evolve(job, braces=(brace,)), frame_wall(job.wall))
    except InputError as error:
        fault = error.faults[0]
        raise InputError.of(brace.mark, fault.value, fault.expected) from None


def brace_line(brace: Brace, *, missing: bool) -> str:
    """Say what should be there.

    Args:
        brace: as planned.
        missing: a walk before found it missing.
    """
    joist = ", into a joist" if brace.into_joist else ""
    doubled = ", stud doubled" if brace.stud_doubled else ""
    ties = f", ties {brace.ties}" if brace.ties else ""
    said = (
        f"{brace.mark}: {brace.size} on the stud at {tape(brace.stud_at)}, head at {tape(brace.head)}, foot "
        f"{tape(brace.set_back)} out; {brace.head_fasteners} at the head, {brace.cleat_fasteners} to the cleat, "
        f"{brace.floor_fasteners} to the floor{joist}{doubled}{ties}"
    )
    return (
        f'{said}. MISSING at the last walk; Enter = still missing, "there" = as planned' if missing else said
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

    def drop(self) -> None:
        """Take it away: the wall file has it all."""
        self.path.unlink(missing_ok=True)


@frozen(eq=False)
class Walk:
    """All that was found.

    Attributes:
        job: the wall as it was in the file.
        answers: by mark, in order.
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
            if answer.brace != self.plan[mark]:
                now = [Found(mark, what[:MOST_LETTERS]) for what in answer.found]
                rows += now or [one for one in before if one.mark == mark]
        return tuple(rows)

    @property
    def planned(self) -> tuple[Brace, ...]:
        """The braces as planned, of those that differ."""
        return tuple(self.plan[mark] for mark, a in self.answers.items() if a.brace != self.plan[mark])


def walk(job: Job, ask: Callable[[str], str], say: Callable[[str], None], *, journal: Journal) -> Walk:
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
    typed = {mark: text for mark, text in journal.read().items() if mark in {b.mark for b in braces}}
    say(START)
    if not typed:
        journal.start()
    else:
        say(f"Taken up again: {len(typed)} of {len(braces)} braces were answered before.")
    answers = {b.mark: read_answer(job, b, typed[b.mark]) for b in braces if b.mark in typed}
    k = len(answers)
    while k < len(braces):
        text = ask(f"{brace_line(braces[k], missing=is_missing(job, braces[k]))}\n> ")
        word = text.strip().lower()
        if word == HELP:
            say(GRAMMAR)
        elif word == BACK:
            k = max(0, k - 1)
        else:
            try:
                answers[braces[k].mark] = read_answer(job, braces[k], text)
            except InputError as error:
                say("\n".join(_plain(error)))
                continue
            journal.write(braces[k].mark, text)
            k += 1
    return Walk(job, {b.mark: answers[b.mark] for b in braces})


def _plain(error: InputError) -> Iterator[str]:
    for fault in error.faults:
        yield f"{fault.field}: got {fault.value}; expected {fault.expected}"


@frozen(eq=False)
class BuiltResult:
    """A wall as it was found, beside its plan.

    Attributes:
        built: who found what, when.
        asked: braces that were asked about.
        plan: the wall as planned, checked.
        found: the wall as found, checked.
    """

    built: Built
    asked: int
    plan: CheckResult = field(repr=False)
    found: CheckResult = field(repr=False)

    @property
    def differ(self) -> int:
        """How many braces differ from the plan."""
        return len({one.mark for one in self.built.found})

    def to_dict(self) -> BuiltJson:
        """Give the result as JSON."""
        job = self.found.job
        return {
            **header(job, "built"), "wall": job.wall.name, "file": job.file, "state": job.state,
            "when": self.built.when, "by": self.built.by, "asked": self.asked, "differ": self.differ,
            "found": [{"mark": one.mark, "what": one.what} for one in self.built.found],
            "braces": [brace.mark for brace in job.braces],
            "limit_gust_mph": self.found.limit_whole, "clear_out_gust_mph": self.found.clear_out,
            "limit_gust_as_planned_mph": self.plan.limit_whole, "engineer": list(self.found.beyond),
            "cautions": list(CAUTIONS),
        }  # fmt: skip


def beside_plan(walk: Walk, as_built: Job) -> BuiltResult:
    """Hold a wall as found against its plan.

    Args:
        walk: what was found.
        as_built: the wall as the file now gives it.
    """
    assert as_built.built is not None  # a walk has just been written into it
    asked = planned_braces(walk.job)
    plan = evolve(walk.job, braces=tuple(walk.plan[brace.mark] for brace in asked))
    return BuiltResult(as_built.built, len(asked), check(plan, effects=False), check(as_built, effects=False))
