"""A pull test as a person tells it, question by question, each answer held to what its field may be."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from attrs import frozen

from bracing.errors import InputError
from bracing.job.fields import fields_by_key
from bracing.job.job import Job
from bracing.job.pulls import DRAWN, ENDS, MOST_PULLS, Lever, PullTest, board_expected
from bracing.reading.values import Faults, Reading, read_value, structure
from bracing.said import Said

BARE = re.compile(r"[0-9]+(?:\.[0-9]+)?")  # of a peak: the scale's own unit
UNIT = re.compile(r"(lbf?|lbs|pounds?|kg|kgf|kN|N)\b", re.IGNORECASE)
INTO, MOISTURE = "into", ("driven", "pulled")
LEVER = ("scale", "fastener", "weight", "weight_at")
# Asked for one after another: the key, the question, and whether Enter leaves it out.
QUESTIONS: tuple[tuple[str, Said, bool], ...] = (
    ("fastener", Said("pull-ask-fastener"), False), ("into", Said("pull-ask-into"), False),
    ("depth", Said("pull-ask-depth"), True), ("division", Said("pull-ask-division"), False),
    ("lever", Said("pull-ask-lever"), True), ("driven", Said("pull-ask-driven"), True),
    ("pulled", Said("pull-ask-pulled"), True),
)  # fmt: skip
NOT_KNOWN = ("", "none", "no", "not measured", "not known", "unknown", "don't know")
Ask = Callable[[Said], str]
Say = Callable[[Said], None]


@frozen
class Asking:
    """A test that is being told.

    Attributes:
        job: the wall it is of.
        ask: shows a question and gives what was typed.
        say: shows a line.
    """

    job: Job
    ask: Ask
    say: Say

    def run(self) -> dict[str, object]:
        """Ask everything.

        Returns:
            The test as its table in the file.
        """
        told: dict[str, object] = {"name": self._free()}
        for key, question, may_be_left in QUESTIONS:
            value = self._one(key, question, may_be_left=may_be_left)
            if value is not None:
                told[key] = value
        while True:
            rows = self._rows(str(told["division"]))
            columns = {name: [row[i] for row in rows] for i, name in enumerate(("peaks", "boards", "ends"))}
            test = {**told, **columns}
            if self._fits(test):
                return {key: test[key] for key in fields_by_key(PullTest) if key in test}

    def _free(self) -> str:
        taken = {test.name for test in self.job.pull_tests}
        return next(name for name in (f"T{k}" for k in range(1, len(taken) + 2)) if name not in taken)

    def _one(self, key: str, question: Said, *, may_be_left: bool) -> object:
        """Ask one question until what is typed fits."""
        while True:
            text = " ".join(self.ask(question).split())
            if may_be_left and text.lower() in NOT_KNOWN:
                return None
            value: object = dict(zip(LEVER, _apart(text), strict=False)) if key == "lever" else text
            if key in MOISTURE and BARE.fullmatch(text):
                value = f"{text}%"
            if self._holds(key, value):
                return value

    def _holds(self, key: str, value: object) -> bool:
        """Whether a field may hold that; else say what is expected."""
        faults, field = Faults("your answers"), fields_by_key(PullTest)[key]
        reading = Reading(faults, self.job.fasteners)
        if isinstance(value, dict):
            structure(Lever, value, key, reading=reading)
        else:
            read_value(value, field.metadata, key, reading=reading)
        for expected in board_expected(str(value)) if key == INTO else ():
            faults.add(key, value, expected)
        return self._told(faults)

    def _told(self, faults: Faults) -> bool:
        try:
            faults.raise_if_any()
        except InputError as error:
            for fault in error.faults:
                where = (
                    f"{fault.field}, {fault.value}"
                    if "." in fault.field or "[" in fault.field
                    else fault.value
                )
                self.say(Said("pull-refused", got=where, expected=fault.expected))
            return False
        return True

    def _rows(self, division: str) -> list[tuple[str, int, str]]:
        """Ask for the pulls, one a line, until a line is empty."""
        self.say(Said("pull-ask-pulls"))
        unit = UNIT.search(division)
        rows: list[tuple[str, int, str]] = []
        while len(rows) < MOST_PULLS:
            text = " ".join(self.ask(Said("pull-ask-next", number=len(rows) + 1)).split())
            if not text and rows:
                break
            row = self._row(text, unit[0] if unit else "lb")
            if row is not None:
                rows.append(row)
        return rows

    def _row(self, text: str, unit: str) -> tuple[str, int, str] | None:
        parts = _apart(text)
        peak, board, end = (
            (*parts, *("", "1" if len(parts) == 1 else "", DRAWN)[len(parts) :])[:3]
            if parts
            else ("", "", "")
        )
        peak = f"{peak} {unit}" if BARE.fullmatch(peak) else peak
        faults, metadata = (
            Faults("your answers"),
            {key: fields_by_key(PullTest)[key].metadata for key in ("peaks", "boards")},
        )
        number = int(board) if board.isdecimal() and len(board) < 4 else board
        reading = Reading(faults)
        read_value([peak], metadata["peaks"], "peaks", reading=reading)
        read_value([number], metadata["boards"], "boards", reading=reading)
        if end.lower() not in ENDS:
            faults.add("how it ended", end, f"one of: {', '.join(ENDS)}")
        return (peak, int(number), end.lower()) if self._told(faults) else None

    def _fits(self, test: Mapping[str, Any]) -> bool:
        """Whether it is a test that counts together; else say why not, and its pulls are asked for again."""
        faults = Faults("your answers")
        structure(PullTest, dict(test), "pull_test", reading=Reading(faults, self.job.fasteners))
        return self._told(faults)


def _apart(text: str) -> list[str]:
    return [part.strip() for part in text.split(",")]
