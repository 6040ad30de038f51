"""Asking: one question after another, each answer held against the wall so far before the next is asked.

First a dozen questions, then those that raise the numbers. A question is text about fields, by their paths; what they
are, what they may hold and what counts where nobody knows is said by the fields.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Mapping

from attrs import field, frozen

from bracing.errors import (
    NOTHING_GIVEN,
    Fault,
    InputError,
    MissingDataError,
    near_names,
    table_and_near,
    with_near,
)
from bracing.job.fields import KIND, place_at
from bracing.job.job import Job
from bracing.reading import answers as reading
from bracing.reading.answers import Values, read_fields_of, refuse
from bracing.reading.jobs import Origin, assemble
from bracing.reading.values import nested
from bracing.reading.writing import written

Texts = Mapping[str, str]  # what was typed, by key of the question


def _always(_: Texts) -> bool:
    return True


@frozen(kw_only=True)
class Question:
    """One question.

    Attributes:
        key: its name.
        ask: the question, one sentence.
        why: how to find out, and what it is for: what "?" shows.
        of: dotted paths of the fields it is about; their low values count where the answer is not known.
        otherwise: what counts then, where it is no low value of a field; empty where it must be known.
        reader: makes values of an answer; without one it is read by the kinds of the fields.
        when: whether it is asked, by what was typed so far.
        many: one answer a line, until an empty one; each is read with those before it.
        early: one of the first dozen.
        is_known: where the empty answer is an answer too, and not a gap.
    """

    key: str
    ask: str
    why: str
    of: tuple[str, ...] = ()
    otherwise: str | None = None
    reader: Callable[[str], Values] | None = None
    when: Callable[[Texts], bool] = _always
    many: bool = False
    early: bool = True
    is_known: bool = False

    @property
    def low(self) -> str:
        """What counts where the answer is not known; empty where it must be known."""
        if self.otherwise is not None:
            return self.otherwise
        fields = (place_at(Job, path).field for path in self.of)
        return ", ".join(str(written(one.default, one.metadata[KIND])) for one in fields)

    def read(self, text: str) -> Values:
        """Make values of an answer.

        Args:
            text: as typed.

        Raises:
            InputError: no answer to it.
        """
        return read_fields_of(text, self.of) if self.reader is None else self.reader(text)


SHAPES = ("level", "gable", "rake")
FEET = "brace[].foot_on"  # of every brace that is up
BORED = ("kit.head.bored", "kit.cleat.bored")


def _shaped(*shapes: str) -> Callable[[Texts], bool]:
    return lambda texts: _word(texts, "shape", "level") in shapes


def _on(*floors: str) -> Callable[[Texts], bool]:
    return lambda texts: _word(texts, "floor", "deck") in floors


def _word(texts: Texts, key: str, otherwise: str) -> str:
    return texts.get(key, "").strip().lower() or otherwise


def _two_heights(text: str) -> Values:
    return reading.several(
        text, ("wall.left_height", "wall.right_height"), 'two heights, such as "9 ft, 19 ft"'
    )


def _slab(text: str) -> Values:
    paths = ("floor.slab.tension_lb", "floor.slab.shear_lb", "floor.slab.report")
    return reading.several(
        text, paths, 'tension, shear and the report, such as "800 lb, 900 lb, pull test of five"'
    )


def _tied(texts: Texts) -> bool:
    return _word(texts, "ends", "none") not in reading.NO


def _ties_asked(texts: Texts) -> bool:
    return _word(texts, "ties", "0") not in ("0", *reading.NO)


def _feet_asked(texts: Texts) -> bool:
    return bool(texts.get("braces", "").strip()) and _on("deck")(texts)


def _bored(text: str) -> Values:
    return dict.fromkeys(BORED, reading.yes_or_no(text, BORED[0]))


def _shape(text: str) -> Values:
    if text.strip().lower() not in SHAPES:
        refuse("wall.top", text, "level, gable or rake")
    return {}


FIRST: tuple[Question, ...] = (
    Question(
        key="name", ask="What do you call this wall?", otherwise="wall", of=("wall.name",),
        why="It heads every page about it, such as South gable.",
    ),
    Question(
        key="shape", ask="Its top: level, gable or rake?", otherwise="level", reader=_shape, is_known=True,
        why="Level: one height. Gable: two slopes up to a peak. Rake: one slope, as under a shed roof.",
    ),
    Question(
        key="length", ask="Tape the bottom plate from end to end.", otherwise="", of=("wall.length",),
        why='Feet and inches or metric, with the unit: 36 ft, 36\'-4 1/2", 11.1 m.',
    ),
    Question(
        key="height", ask="Tape from the floor to the top of the plates; of a gable, at its ends.", otherwise="",
        when=_shaped("level", "gable"), of=("wall.height",),
        why="With its unit: 10 ft, 9 ft 1 1/8 in, 2.74 m. To the very top of the upper plate.",
    ),
    Question(
        key="peak", ask="How high is the peak?", otherwise="", when=_shaped("gable"), reader=reading.peak,
        why="With its unit. Where it is not mid length, say where from LEFT: 18 ft 6 in at 14 ft.",
    ),
    Question(
        key="left", ask="Standing on the brace side, facing the wall: how high is it at LEFT, and at the right?",
        otherwise="", when=_shaped("rake"), of=("wall.left_height", "wall.right_height"), reader=_two_heights,
        why="LEFT is left for somebody on the brace side, facing the wall. Such as 9 ft, 19 ft.",
    ),
    Question(
        key="studs", ask="Studs: what size, and how far apart, centre to centre?",
        of=("wall.studs.size", "wall.studs.spacing"), why="Such as 2x6 16 in. A bare number after the size is inches.",
    ),
    Question(
        key="stamp", ask="Read me the grade stamp on a stud: species and grade.",
        of=("wall.studs.species", "wall.studs.grade"),
        why="Such as SPF No.2, DFL No.2, hem-fir stud. Not known takes the weakest species and grade sold.",
    ),
    Question(
        key="layers", ask="What is nailed on, from the studs outward? Or bare.",
        otherwise="weighed as bare studs, wind taken on the full face", reader=reading.layers,
        why="With commas: osb 7/16, housewrap, fiber cement siding. Layers add weight, and sheathing ties the foot.",
    ),
    Question(
        key="openings", ask="Doors and windows, one a line: left edge, sill, width x height; Enter where done.",
        otherwise="none", many=True, reader=reading.opening, is_known=True,
        why="Rough openings, such as 13 ft, sill 3 ft, 6 ft x 4 ft. A door has no sill: 20 ft, 3 ft x 6 ft 10 in. "
        "Add open where nothing covers it. No brace goes on a stud beside one that is not full height.",
    ),
    Question(
        key="floor", ask="What do the braces stand on: deck, slab or ground?", is_known=True,
        of=("floor.kind",),
        why="Deck: a wood floor on joists. Slab: concrete. Ground: stakes or weights outside.",
    ),
    Question(
        key="above", ask="How high is that floor above the ground outside, or on which storey?",
        of=("floor.height_above_ground",), reader=reading.floor_height,
        why="Wind is faster higher up. Such as 3 ft, 0 ft, or second storey, which is taken as 14 ft 7 in. Not known "
        "counts as a third storey.",
    ),
    Question(
        key="joists", ask="Joists: solid, I-joist or truss? What size, how far apart, and running away from "
        "the wall or along it?", when=_on("deck"), reader=reading.joists,
        of=("floor.joists.kind", "floor.joists.size", "floor.joists.spacing", "floor.joists.run"),
        why="Such as solid 2x10, 16 in, away. A foot fastened to the panel only counts for next to nothing in pull: "
        "with the joists known, feet go onto them.",
    ),
    Question(
        key="first_joist", ask="Tape to the middle of the first one: from LEFT if they run away, from the wall "
        "if along.", when=_on("deck"), of=("floor.joists.first",),
        why="Look for the nail line in the deck. Every foot is placed from this.",
    ),
    Question(
        key="slab", ask="Anchors in the slab: what may one carry in tension and in shear, and by what report?",
        otherwise="nothing counted without a report or a pull test", when=_on("slab"), reader=_slab,
        why="Such as 800 lb, 900 lb, pull test of five. No anchor is computed here: allowable values, not ultimate.",
    ),
    Question(
        key="ground", ask="A stake: soil, width, depth driven? Or a weight at each foot?",
        otherwise="nothing counted", when=_on("ground"), reader=reading.ground,
        why="Such as clay, 3.5 in, 36 in; or weight 1200 lb. A stake counts for nothing in pull.",
    ),
    Question(
        key="screws", ask="Fasteners for the braces, off the box: kind, shank, length and head?",
        otherwise="a layout names them", of=("kit.head.fastener", "kit.cleat.brace_fastener"),
        why="Brace to stud and brace to cleat. Such as structural screw 0.22x3, 16d common, or nail 3.1 mm x 90 mm, "
        "head 7 mm.",
    ),
    Question(
        key="sticks", ask="Sticks on hand for braces: sizes and lengths?", otherwise="the usual lengths",
        reader=reading.stock,
        why="With commas: 2x6 16 ft, 2x4 14 ft. A count first where there are only so many: 12 of 2x4 14 ft.",
    ),
)  # fmt: skip

MORE: tuple[Question, ...] = (
    Question(
        key="braces", ask="Braces up already, one a line: stud, head, back, size; Enter where done.", otherwise="none",
        many=True, early=False, reader=reading.brace, is_known=True,
        why="From LEFT to the stud, then such as 18 ft, head 12 ft, back 10 ft, 2x6. How many fasteners at head, "
        "cleat and floor: 4/4/5. joist where they are known to be in one; doubled; ties 1.",
    ),
    Question(
        key="feet", ask="What do the feet of those braces stand on: joist, block, cross cleat or deck?", early=False,
        otherwise="deck", of=(FEET,), when=_feet_asked,
        why="What their fasteners reach: a joist; solid blocks between joists; flat cleats laid over two joists; or "
        "the deck panel alone. A brace that says its own above keeps it. What fastens blocks and cross cleats is said "
        "in the file.",
    ),
    Question(
        key="brace_stamp", ask="Read me the grade stamp on a brace.",
        early=False, of=("kit.species", "kit.grade"), why="Such as SPF No.2. Not known takes the weakest sold.",
    ),
    Question(
        key="floor_screws", ask="And the fastener from cleat to floor, off the box?", otherwise="a layout names it",
        early=False, when=_on("deck"), of=("kit.cleat.floor_fastener",),
        why="It goes through cleat and panel into the joist, so it is longer: structural screw 0.22x5.",
    ),
    Question(
        key="bored", ask="Are holes bored for the fasteners at the head, and from brace to cleat?", early=False,
        otherwise="no, and a layout asks for it", when=_on("deck", "slab"), of=BORED, reader=_bored,
        why="yes or no. Driven straight in they must stand further apart and from the cut, or they split the wood: "
        "fewer of them count.",
    ),
    Question(
        key="plate", ask="Bottom plate: which fastener, and how far apart?",
        early=False, of=("wall.plate.fastener", "wall.plate.spacing"), why="Such as 16d common 16 in.",
    ),
    Question(
        key="plate_state", ask="Is the plate only tacked, or final; and final into joists or rim?",
        early=False, of=("wall.plate.state",), reader=reading.plate_state,
        why="tacked; final; or final into joists, where every one is known to reach a joist, the rim or blocking.",
    ),
    Question(
        key="plate_row", ask="How far is its row of fasteners from the plate's sheathed edge?", otherwise="the middle",
        early=False, of=("wall.plate.row_from_sheathed_edge",),
        why="The sheathing lifts that edge: a row 3/4 in from it is pulled by half of what pulls one in the middle.",
    ),
    Question(
        key="lap", ask="The sheathing's foot is nailed to: none, plate or rim?", early=False,
        of=("wall.plate.sheathing_laps",), why="This is what ties the studs down.",
    ),
    Question(
        key="sheathing", ask="With which nail, and how far apart along the plate?", early=False,
        when=lambda texts: _word(texts, "lap", "none") not in reading.NO,
        of=("wall.plate.sheathing_fastener", "wall.plate.sheathing_spacing"),
        why="Such as 8d common 6 in.",
    ),
    Question(
        key="dry", ask="Has the lumber been kept dry since it was nailed?", otherwise="no", early=False,
        reader=reading.dry, why="Green is the worse of wet now and dried later, and nails lose most.",
    ),
    Question(
        key="ends", ask="Is an end tied to a finished return wall: none, left, right or both?", otherwise="none",
        early=False, reader=reading.ends,
        why="It counts for nothing yet: the end is taken as free. Wind beside a return is stronger, and that counts.",
    ),
    Question(
        key="corner", ask="In that corner: how many of which fastener?", otherwise="none counted",
        early=False, when=_tied, reader=reading.corner, why="Over the whole height, such as 12 16d common.",
    ),
    Question(
        key="room", ask="How much clear floor is there in front of the wall?", otherwise="not limited", early=False,
        of=("floor.room",), why="From the plate to the first thing in the way, such as 16 ft.",
    ),
    Question(
        key="keep_outs", ask="Where may no foot stand? Name and two corners, one a line; Enter where done.",
        otherwise="nowhere named", many=True, early=False, reader=reading.keep_out, is_known=True,
        why="Stair holes, door paths: stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft. From LEFT, then out from the wall.",
    ),
    Question(
        key="below", ask="Can wind blow through under the floor?", otherwise="both are tried", early=False,
        of=("floor.open_below",), why="yes or no.",
    ),
    Question(
        key="panel", ask="What is the deck panel, and how thick?", early=False, when=_on("deck"),
        of=("floor.deck",), why="Such as osb 23/32 or plywood 3/4.",
    ),
    Question(
        key="exposure", ask="Around it: B, houses or woods close all round; C, open; D, open water?",
        early=False, of=("site.exposure",),
        why="B only with houses or woods on every side for half a mile (ASCE 7 26.7). Open country is the low one.",
    ),
    Question(
        key="hill", ask="On a hill, ridge or bluff: no, or its factor Kzt?", otherwise="no", early=False,
        reader=reading.hill, why="The wind standard has the factor (ASCE 7 26.8). An engineer knows it.",
    ),
    Question(
        key="ties", ask="Rows of ties across the braces, each run to something solid: 0, 1 or 2?",
        otherwise="a layout says how many", early=False, of=("kit.ties",),
        why="A tie keeps a long brace from bowing. It counts only where it is run to something that cannot give.",
    ),
    Question(
        key="tie_fastener", ask="What fastens a tie row where it crosses a brace, and its diagonals?", early=False,
        of=("kit.tie.fastener",), when=_ties_asked,
        why="Such as 16d common: each takes a fiftieth of its brace's thrust, and a diagonal the sum of a row.",
    ),
    Question(
        key="tie_nails", ask="How many of them at each brace?", early=False, of=("kit.tie.at_each_brace",),
        when=_ties_asked, why="Two are usual.",
    ),
    Question(
        key="diagonal_nails", ask="How many at each end of a diagonal?", early=False,
        of=("kit.tie.diagonal_fasteners",), when=_ties_asked, why="Three are usual: it gathers what all the ties hold.",
    ),
)  # fmt: skip

QUESTIONS: tuple[Question, ...] = FIRST + MORE


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
    """Give braces their marks, and what all their feet are on, and each of the crew's own fasteners once."""
    braces, own, feet = values.get("brace"), values.get("fastener"), values.pop(FEET, None)
    foot = {} if feet is None else {"foot_on": feet}
    if isinstance(braces, list):
        values["brace"] = [{**foot, **brace, "mark": f"B{k}"} for k, brace in enumerate(braces, start=1)]
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
                return "\n".join(lines) or DONE[0]
            elif not text or word in UNKNOWN:
                if question.low:
                    return "\n".join(lines)
                self.say(self._wrapped(f"This one must be known. {question.why}"))
            elif self._taken(question, "\n".join((*lines, text)), answers):
                lines.append(text)
                if not question.many:
                    return text

    def _taken(self, question: Question, text: str, answers: Answers) -> bool:
        """Whether an answer fits the wall so far; if not, say what is expected."""
        before = values_of(answers.texts)
        try:
            after = values_of(answers.given(question, text).texts)
        except InputError as error:
            return self._refused(error.faults)
        known = {(fault.field, fault.expected) for fault in faults_of(before)}
        return self._refused(f for f in faults_of(after) if (f.field, f.expected) not in known)

    def _refused(self, faults: Iterable[Fault]) -> bool:
        found = list(faults)
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
    "bored": "yes",
    "plate": "16d common 16 in",
    "plate_state": "final into joists",
    "plate_row": "3/4 in",
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
        one_of = f"one of: {', '.join(TEMPLATES)}"
        refuse("--template", name, with_near(one_of, near_names(name, TEMPLATES)))
    return values_of(TEMPLATES[name])
