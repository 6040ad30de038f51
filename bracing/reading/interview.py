"""Asking: one question after another, each answer held against the wall so far before the next is asked.

What was understood is said back in a line, and what counts where nothing was answered; to go back keeps what was there.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from functools import partial

from attrs import field, frozen

from bracing.choosing import whole_down
from bracing.errors import (
    NOTHING_GIVEN,
    Fault,
    InputError,
    MissingDataError,
    table_and_near,
)
from bracing.job.fasteners import fastener_families
from bracing.job.fields import place_at
from bracing.job.job import Job
from bracing.job.layers import layer, layer_names, materials
from bracing.reading import answers as reading
from bracing.reading.answers import Values
from bracing.reading.jobs import Origin, assemble
from bracing.reading.questions import FIRST, GO_ON, QUESTIONS, Question, values_of
from bracing.reading.values import nested
from bracing.sources import shipped
from bracing.units import length, pitch, tape

BACK = ("back", "b")
QUIT = ("quit", "exit", "q")
DONE = ("done", "stop")
HELP = ("?", "help", "why")
UNKNOWN = (
    "don't know",
    "dont know",
    "do not know",
    "not known",
    "unknown",
    "dk",
    "idk",
    "no idea",
    "not sure",
    "unsure",
    "unknown yet",
    "skip",
    "pass",
    "n/a",
    "na",
    "don't know.",
)
NOTHING = ("none", "no", "nothing", "none yet", "not yet", "nothing yet", "-")
CLEAR = ("clear", "none", "start over")
WORDS = 'Enter or "don\'t know" takes what stands in brackets; "back"; "?" says why; "done" leaves the rest; "quit".'


class Quit(Exception):  # noqa: N818  (no error: somebody has had enough)
    """The person stopped; nothing was written."""


@frozen
class Answers:
    """What was answered so far.

    Attributes:
        texts: as typed, by key; several lines with newlines between.
        order: keys in the order they were answered.
        drafts: what was typed before somebody went back, by key: Enter keeps it.
    """

    texts: dict[str, str] = field(factory=dict)
    order: tuple[str, ...] = ()
    drafts: dict[str, str] = field(factory=dict)

    def given(self, question: Question, text: str) -> Answers:
        """Give the answers with one more, or changed.

        Args:
            question: which.
            text: as typed; empty where it is not known.
        """
        order = (*(key for key in self.order if key != question.key), question.key)
        return Answers(self.texts | {question.key: text}, order, self.drafts)

    def without_last(self) -> Answers:
        """Give the answers without the last one, which is kept as a draft."""
        last, texts = self.order[-1], dict(self.texts)
        return Answers(texts, self.order[:-1], self.drafts | {last: texts.pop(last)})


def asked(answers: Answers) -> tuple[Question, ...]:
    """Give the questions asked of this wall.

    Args:
        answers: what was answered so far.
    """
    more = answers.texts.get(GO_ON.key, "").strip().lower() in reading.YES
    known = QUESTIONS if more else (*FIRST, GO_ON)
    return tuple(question for question in known if question.when(answers.texts))


def faults_of(values: Values) -> tuple[Fault, ...]:
    """Give what is wrong with a wall so far; what is only missing is no fault yet.

    Args:
        values: by dotted path.
    """
    try:
        assemble(nested(values), Origin("your answers", ""))
    except InputError as error:
        return tuple(fault for fault in error.faults if fault.value != NOTHING_GIVEN)
    except MissingDataError as error:
        return (Fault("your answers", error.table, error.key, table_and_near(error)),)
    return ()


@frozen
class Interview:
    """The conversation.

    Attributes:
        ask: shows a prompt and gives what was typed.
        say: shows lines.
        width: columns.
        beside: the questions in another language by key, each with what "?" says; said before the English of it.
        intro: what is said first in that language.
    """

    ask: Callable[[str], str]
    say: Callable[[str], None]
    width: int = 80
    beside: Mapping[str, tuple[str, str]] = field(factory=dict)
    intro: str = ""

    def run(self) -> Values:
        """Ask everything.

        Returns:
            The values of the wall file.

        Raises:
            Quit: the person stopped.
        """
        if self.intro:
            self.say(self._wrapped(self.intro))
        self.say(self._wrapped(f"A wall file from about a dozen questions. {WORDS}"))
        answers, done = Answers(), False
        while True:
            questions = asked(answers)
            left = [q for q in questions if q.key not in answers.texts and not (done and q.low)]
            if not left:
                break
            question = left[0]
            reply = self._one(question, questions, answers)
            if reply is None:
                answers = answers.without_last() if answers.order else answers
            elif reply in DONE:
                done = True
            else:
                answers = answers.given(question, reply)
        return values_of(answers.texts)

    def _one(self, question: Question, questions: tuple[Question, ...], answers: Answers) -> str | None:
        """Ask one question until it is answered: the text, "done", or None to go back."""
        draft = answers.drafts.get(question.key, "")
        self._put(question, questions, draft)
        lines = draft.splitlines() if question.many else []
        while True:
            text = " ".join(self.ask("> ").split())
            word = text.lower()
            if word in QUIT:
                raise Quit
            if word in HELP:
                self._explain(question)
            elif word in BACK:
                return None
            elif word in DONE:
                return "\n".join(lines) or DONE[0]
            elif question.many and word in CLEAR:
                return self._nothing(question)
            elif question.many and not text and lines:
                if "\n".join(lines) != draft or self._taken(question, "\n".join(lines), answers):
                    return "\n".join(lines)
                lines = []
            elif not text and draft and not question.many:
                if self._taken(question, draft, answers):
                    return draft
                draft = ""
            elif not text or word in UNKNOWN or self._none_of(question, word, answers):
                if question.low:
                    return self._nothing(question)
                self.say(self._wrapped(f"This one must be known. {question.why}"))
            elif self._taken(question, "\n".join((*lines, text)), answers):
                lines.append(text)
                if not question.many:
                    return text

    def _explain(self, question: Question) -> None:
        """Say how to find the answer out, and what it is for."""
        if question.key in self.beside:
            self.say(self._wrapped(self.beside[question.key][1]))
        self.say(self._wrapped(question.why))

    def _put(self, question: Question, questions: tuple[Question, ...], draft: str) -> None:
        """Say the question, its picture, and what was typed there before."""
        group = [q for q in questions if q.early == question.early and q is not GO_ON]
        where = "" if question is GO_ON else f"{group.index(question) + 1} of {len(group)}. "
        low = f" [{question.low}]" if question.low else ""
        told = f"{where}{question.ask}{low}"
        if question.key in self.beside:
            here = where.replace(" of ", " de ")
            self.say("\n" + self._wrapped(f"{here}{self.beside[question.key][0]}{low}"))
            self.say(self._wrapped(f"EN: {told}"))
        else:
            self.say("\n" + self._wrapped(told))
        if question.picture:
            self.say("\n".join(question.picture))
        if draft:
            more = "; none clears it, or type one more" if question.many else ""
            self.say(self._wrapped(f"Before: {'; '.join(draft.splitlines())}. Enter keeps it{more}."))

    def _nothing(self, question: Question) -> str:
        """Say what counts where nothing was answered."""
        if not question.is_known and question is not GO_ON:
            self.say(self._wrapped(f"ASSUMED: {question.low}."))
        return ""

    def _none_of(self, question: Question, word: str, answers: Answers) -> bool:
        """Whether somebody says there is none, where that is no answer of its own."""
        if word not in NOTHING or not question.low:
            return False
        try:
            return bool(faults_of(values_of(answers.given(question, word).texts)))
        except InputError:
            return True

    def _taken(self, question: Question, text: str, answers: Answers) -> bool:
        """Whether an answer fits the wall so far: say what was understood; if not, what is expected."""
        before = values_of(answers.texts)
        try:
            after = values_of(answers.given(question, text).texts)
        except InputError as error:
            return self._refused(error.faults, question)
        known = {(fault.field, fault.expected) for fault in faults_of(before)}
        new = [f for f in faults_of(after) if (f.field, f.expected) not in known]
        if new:
            return self._refused(new, question)
        said = understood(before, after) or (reading.shape(text) if question.key == "shape" else "")
        if said:
            self.say(self._wrapped(f"= {said}"))
        return True

    def _refused(self, faults: Iterable[Fault], question: Question) -> bool:
        for fault in faults:
            self.say(self._wrapped(f"Got {fault.value}; expected {fault.expected}."))
        listed = known_names(question)
        if listed:
            self.say(self._wrapped(f"The table has: {'; '.join(listed)}."))
        return False

    def _wrapped(self, text: str) -> str:
        return "\n".join(textwrap.wrap(text, self.width, break_on_hyphens=False, break_long_words=False))


def known_names(question: Question) -> tuple[str, ...]:
    """Say what the tables have that a question asks a name of.

    Args:
        question: the question.
    """
    kinds = [question.table, *(place_at(Job, path).kind for path in question.of)]
    return tuple(name for kind, names in _TABLES.items() if kind in kinds for name in names())


def _lumber(block: str) -> tuple[str, ...]:
    return tuple(row["name"] for row in shipped("lumber")[block])


_TABLES: dict[str, Callable[[], tuple[str, ...]]] = {
    "species": partial(_lumber, "species"),
    "grade": partial(_lumber, "grade"),
    "fastener": fastener_families,
    "layers": lambda: tuple(material.names[0] for material in materials()),
    "deck": lambda: tuple(name for name in layer_names() if layer(name).panel),
}


SAID_IN_FEET = 48.0  # inches; what is less is said in inches


def understood(before: Values, after: Values) -> str:
    r"""Say in a line what an answer was understood as: each value that is new, lengths as a tape reads them.

    Args:
        before: the values without it.
        after: with it.

    Example:
        >>> understood({}, {"wall.studs.size": "2x6", "wall.studs.spacing": "16"})
        'size 2x6, spacing 16'
        >>> understood({}, {"wall.length": "18-0 1/2"})
        'length 18\'-0 1/2"'
    """
    told = []
    for path, value in after.items():
        if value != before.get(path) and path != "fastener":
            rows = value[len(_rows(before.get(path))) :] if isinstance(value, list) and _rows(value) else []
            told += [f"{key} {_as_understood(key, one)}" for row in rows for key, one in row.items()]
            told += [] if rows else [f"{_called(path)} {_as_understood(path, value)}"]
    return ", ".join(dict.fromkeys([*told, *_peak_of(before, after)]))


def _rows(value: object) -> list[dict[str, object]]:
    return value if isinstance(value, list) and value and isinstance(value[0], dict) else []


def _called(path: str) -> str:
    return path.rpartition(".")[2].replace("_", " ")


def _as_understood(path: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(str, value)) or "none"
    if path == "wall.name" or not isinstance(value, str) or not reading.is_length(value):
        return str(value)
    inches = length(value)
    whole, part = divmod(whole_down(inches * 16.0), 16)
    small = f"{whole or ''} {Fraction(part, 16) if part or not whole else ''}".strip()
    plain = tape(inches) if inches >= SAID_IN_FEET else f"{small} in"
    return f"{plain}{f' ({value})' if 'm' in value else ''}"


def _peak_of(before: Values, after: Values) -> tuple[str, ...]:
    """Say how high the peak of a pitch comes to stand."""
    if after.get("wall.pitch") == before.get("wall.pitch") or "wall.pitch" not in after:
        return ()
    long, high = length(after.get("wall.length")), length(after.get("wall.height"))
    return (f"so the peak is at {tape(high + pitch(after['wall.pitch']) * long / 2.0)}",)
