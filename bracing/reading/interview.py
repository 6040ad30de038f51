"""Asking: one question after another, each answer held against the wall so far before the next is asked."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping

from attrs import field, frozen

from bracing.errors import NOTHING_GIVEN, Fault, InputError, MissingDataError, near_names, table_and_near
from bracing.reading.answers import Question, Values, refuse
from bracing.reading.jobs import Origin, assemble
from bracing.reading.new_file import tables_of
from bracing.reading.questions import QUESTIONS

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
    "don't know.",
)
WORDS = 'Enter or "don\'t know" takes what stands in brackets; "back"; "?" says why; "done" leaves the rest; "quit".'


class Quit(Exception):  # noqa: N818  (no error: somebody has had enough)
    """The person stopped; nothing was written."""


@frozen
class Answers:
    """What was answered so far.

    Attributes:
        texts: as typed, by key; several lines with newlines between.
        order: keys in the order they were answered.
    """

    texts: dict[str, str] = field(factory=dict)
    order: tuple[str, ...] = ()

    def given(self, question: Question, text: str) -> Answers:
        """Give the answers with one more, or changed.

        Args:
            question: which.
            text: as typed; empty where it is not known.
        """
        order = (*(key for key in self.order if key != question.key), question.key)
        return Answers(self.texts | {question.key: text}, order)

    def without_last(self) -> Answers:
        """Give the answers without the last one."""
        return Answers({k: v for k, v in self.texts.items() if k != self.order[-1]}, self.order[:-1])


def asked(answers: Answers) -> tuple[Question, ...]:
    """Give the questions asked of this wall.

    Args:
        answers: what was answered so far.
    """
    return tuple(question for question in QUESTIONS if question.when(answers.texts))


def values_of(texts: Mapping[str, str]) -> Values:
    """Put answers together as values of a wall file.

    Args:
        texts: as typed, by key of the question.

    Raises:
        InputError: an answer that cannot be read.
    """
    values: Values = {}
    for question in QUESTIONS:
        lines = texts.get(question.key, "").splitlines() if question.when(texts) else []
        for line in lines if question.many else lines[:1]:
            for path, value in question.read(line).items():
                before = values.get(path)
                joined = [*before, *value] if isinstance(before, list) and isinstance(value, list) else value
                values[path] = joined
    return _untied(_numbered(values))


def _numbered(values: Values) -> Values:
    """Give braces their marks, and each of the crew's own fasteners once."""
    braces, own = values.get("brace"), values.get("fastener")
    if isinstance(braces, list):
        values["brace"] = [{**brace, "mark": f"B{k}"} for k, brace in enumerate(braces, start=1)]
    if isinstance(own, list):
        values["fastener"] = list({row["name"]: row for row in own}.values())
    return values


def _untied(values: Values) -> Values:
    """Leave out the corner fasteners of an end that is free."""
    free = [side for side in ("left", "right") if values.get(f"wall.{side}_end") != "return"]
    stems = tuple(f"wall.{side}_return." for side in free)
    return {path: value for path, value in values.items() if not path.startswith(stems)} if stems else values


def faults_of(values: Values) -> tuple[Fault, ...]:
    """Give what is wrong with a wall so far; what is only missing is no fault yet.

    Args:
        values: by dotted path.
    """
    try:
        assemble(tables_of(values), Origin("your answers", ""))
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
    """

    ask: Callable[[str], str]
    say: Callable[[str], None]
    width: int = 80

    def run(self) -> Values:
        """Ask everything.

        Returns:
            The values of the wall file.

        Raises:
            Quit: the person stopped.
        """
        self.say(self._wrapped(f"A wall file from a dozen questions. {WORDS}"))
        answers, done = Answers(), False
        while True:
            questions = asked(answers)
            left = [q for q in questions if q.key not in answers.texts and not (done and q.low)]
            if not left:
                break
            question = left[0]
            if not question.early and answers.order and _first_of_more(questions, question):
                self.say(
                    self._wrapped(
                        "That will do for a layout. More answers raise the numbers; done leaves them low."
                    )
                )
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
        group = [q for q in questions if q.early == question.early]
        where = f"{group.index(question) + 1} of {len(group)}. "
        low = f" [{question.low}]" if question.low else ""
        self.say("\n" + self._wrapped(f"{where}{question.ask}{low}"))
        lines: list[str] = []
        while True:
            text = " ".join(self.ask("> ").split())
            word = text.lower()
            if word in QUIT:
                raise Quit
            if word in HELP:
                self.say(self._wrapped(question.why))
            elif word in BACK:
                return None
            elif word in DONE:
                return self._done(question, lines)
            elif not text or word in UNKNOWN:
                if question.low:
                    return "\n".join(lines)
                self.say(self._wrapped(f"This one must be known. {question.why}"))
            elif self._taken(question, "\n".join((*lines, text)), answers):
                lines.append(text)
                if not question.many:
                    return text

    def _done(self, question: Question, lines: list[str]) -> str:
        if lines:
            return "\n".join(lines)
        return DONE[0]

    def _taken(self, question: Question, text: str, answers: Answers) -> bool:
        """Whether an answer fits the wall so far; if not, say what is expected."""
        before = values_of(answers.texts)
        try:
            after = values_of(answers.given(question, text).texts)
        except InputError as error:
            return self._refused(error.faults)
        known = {(fault.field, fault.expected) for fault in faults_of(before)}
        return self._refused(f for f in faults_of(after) if (f.field, f.expected) not in known)

    def _refused(self, faults: object) -> bool:
        found = list(faults)  # type: ignore[call-overload]
        for fault in found:
            self.say(self._wrapped(f"Got {fault.value}; expected {fault.expected}."))
        return not found

    def _wrapped(self, text: str) -> str:
        return "\n".join(textwrap.wrap(text, self.width, break_on_hyphens=False, break_long_words=False))


def _first_of_more(questions: tuple[Question, ...], question: Question) -> bool:
    return next(q for q in questions if not q.early) is question


_COMMON = {
    "studs": "2x6 16 in",
    "stamp": "SPF No.2",
    "layers": "osb 7/16, housewrap",
    "screws": "structural screw 0.22x3",
    "sticks": "2x6 16 ft, 2x6 20 ft",
    "brace_stamp": "SPF No.2",
    "plate": "16d common 16 in",
    "plate_state": "final into joists",
    "lap": "plate",
    "sheathing": "8d common 4 in",
    "dry": "no",
    "ends": "none",
    "room": "24 ft",
    "exposure": "C",
    "hill": "no",
}
_DECK = {
    "floor": "deck",
    "joists": "solid 2x10, 16 in, away",
    "first_joist": "0 in",
    "floor_screws": "structural screw 0.22x5",
    "above": "3 ft",
    "below": "no",
    "panel": "osb 23/32",
}
TEMPLATES: dict[str, dict[str, str]] = {
    "level": {"name": "Level wall", "shape": "level", "length": "30 ft", "height": "9 ft", **_COMMON, **_DECK},
    "gable": {
        "name": "Gable end", "shape": "gable", "length": "32 ft", "height": "9 ft", "peak": "17 ft",
        "openings": "14 ft, sill 3 ft, 4 ft x 4 ft", **_COMMON, **_DECK,
    },
    "rake": {"name": "Rake wall", "shape": "rake", "length": "24 ft", "left": "9 ft, 16 ft", **_COMMON, **_DECK},
    "slab": {
        "name": "Wall on a slab", "shape": "level", "length": "30 ft", "height": "10 ft", **_COMMON,
        "floor": "slab", "slab": "800 lb, 900 lb, write here the report or the pull test", "above": "0 ft",
        "below": "no", "plate_state": "final",
    },
}  # fmt: skip


def template_values(name: str) -> Values:
    """Give the values of a demo wall.

    Args:
        name: gable, level, rake or slab.

    Raises:
        InputError: no such template.

    Example:
        >>> template_values("gable")["wall.peak"]
        '17 ft'
    """
    if name not in TEMPLATES:
        near = near_names(name, TEMPLATES)
        hint = f"; near: {', '.join(near)}" if near else ""
        refuse("--template", name, f"one of: {', '.join(TEMPLATES)}{hint}")
    return values_of(TEMPLATES[name])
