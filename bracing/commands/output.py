"""How a command ends: its whole output in one write to stdout, then its exit status; and how far it is until then.

What takes long says on stderr now and then what it is doing, by the watch, from a thread of its own, so that no sum
has to know of it. BRACING_QUIET in the environment keeps it still, for those who compare what is printed.
"""

from __future__ import annotations

import codecs
import contextlib
import io
import json
import os
import shutil
import sys
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from contextvars import ContextVar
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TextIO

import typer

from bracing.errors import NEWLINE, visible, visible_json
from bracing.said import LANGUAGES, Verdict

if TYPE_CHECKING:
    from bracing.errors import InputError, NoLayoutError
    from bracing.job.job import Job
    from bracing.said import Said
    from bracing.text.page import Page

WITHIN = 0  # within its limit, or no gust was asked
NOT_WITHIN = 1  # over, unknown, engineer, or none found
BAD_INPUT = 2
OUR_FAULT = 3
PEOPLE_OUT = 4  # within its limit, and people must be out all the same
INTERRUPTED = 130

CLEAR_LINE = "\r\x1b[K"
NARROWEST, WIDEST = 40, 80
# Signs a console may not have, spelt out.
SPELT = {
    "\N{SQUARE ROOT}": "sqrt", "\N{MULTIPLICATION SIGN}": "x", "\N{MIDDLE DOT}": " ", "\N{DEGREE SIGN}": " deg",
    "\N{EN DASH}": "-", "\N{MINUS SIGN}": "-", "\N{LESS-THAN OR EQUAL TO}": "<=", "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{SUPERSCRIPT TWO}": "^2", "\N{VULGAR FRACTION ONE HALF}": "1/2", "\N{GREEK SMALL LETTER THETA}": "theta",
    "\N{GREEK SMALL LETTER ALPHA}": "alpha", "\N{GREEK SMALL LETTER MU}": "mu", "\N{GREEK SMALL LETTER GAMMA}": "gamma",
    "\N{NO-BREAK SPACE}": " ", "\N{RIGHT SINGLE QUOTATION MARK}": "'", "\N{HORIZONTAL ELLIPSIS}": "...",
}  # fmt: skip


def page_width() -> int:
    """Give the columns to print in: those of the terminal, from 40 to 80."""
    return min(WIDEST, max(NARROWEST, shutil.get_terminal_size(fallback=(WIDEST, 24)).columns))


# Whether the command that runs was asked for its cautions at full length; each says it anew.
CAUTIONS_AT_LENGTH: ContextVar[bool] = ContextVar("cautions at length", default=False)


LANGUAGE = typer.Option(
    "--language", help="en; or es, with the English beneath it; else what job.toml says", show_default=False
)


def page_of(*, metric: bool, whole: bool = False, language: str = LANGUAGES[0]) -> Page:
    """Give the page a command writes on, as wide as the terminal.

    Args:
        metric: quantities in metric units.
        whole: all of it, however many screens that takes.
        language: one of LANGUAGES: what `language_of` gives.
    """
    from bracing.text.page import Page

    at_length = CAUTIONS_AT_LENGTH.get()
    return Page(width=page_width(), metric=metric, whole=whole, at_length=at_length, language=language)


def language_of(asked: str | None, file: str | os.PathLike[str] | None = None) -> str:
    """Give the language to write in: the one asked for, else the one `job.toml` beside a wall says, else English.

    Args:
        asked: what --language says; None where it was not given.
        file: the wall file, or the folder of walls; None where the wall came in options.

    Raises:
        InputError: no such language; a `job.toml` with faults.
    """
    from bracing.errors import InputError, near_names, with_near

    if asked is None:
        if file is None:
            return LANGUAGES[0]
        from bracing.reading.house import language_beside

        return language_beside(Path(file))
    if asked not in LANGUAGES:
        option, expected = "--language", f"one of: {', '.join(LANGUAGES)}"
        raise InputError.of(option, asked, with_near(expected, near_names(asked, LANGUAGES)))
    return asked


def as_json(answer: Mapping[str, object]) -> str:
    """Write an answer as JSON.

    Args:
        answer: as its `to_dict` gives it; a number JSON cannot carry is an error.
    """
    from bracing.text.quantities import in_words

    text = json.dumps(in_words(answer), indent=2, allow_nan=False, ensure_ascii=not _takes_all(sys.stdout))
    return visible_json(text)


def _takes_all(stream: TextIO | None) -> bool:
    """Whether a stream takes every letter; a console of Windows often takes a few hundred."""
    return (getattr(stream, "encoding", None) or "utf-8").lower().replace("-", "") in (
        "utf8",
        "utf8sig",
        "cp65001",
    )


def spelt_out(error: UnicodeError) -> tuple[str, int]:
    """Give what is written where a console has no such letter: the sign spelt out, or a question mark.

    Args:
        error: from the encoder.

    Example:
        >>> spelt_out(UnicodeEncodeError("cp1252", "\N{SQUARE ROOT}(2)", 0, 1, "no such letter"))
        ('sqrt', 1)
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    letters = error.object[error.start : error.end]
    return "".join(SPELT.get(letter, "?") for letter in letters), error.end


def prepare(stream: TextIO | None) -> None:
    """Let a stream take any text.

    Args:
        stream: stdout or stderr; None where it was closed before the start.
    """
    codecs.register_error("bracing", spelt_out)
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(errors="bracing")


_BEFORE: list[Callable[[], None]] = []


def before_writing(stop: Callable[[], None]) -> None:
    """Have something stopped before the next text of any command is written.

    Args:
        stop: what stops it; called once.
    """
    _BEFORE.append(stop)


def put(stream: TextIO | None, text: str, *, over: bool = False) -> OSError | None:
    """Write to a stream once whatever was saying how far it is has stopped; see `write`.

    Args:
        stream: stdout or stderr; None where it was closed before the start.
        text: all of it.
        over: write over the line that is there, on a terminal.
    """
    while _BEFORE:
        _BEFORE.pop()()
    return write(stream, text, over=over)


def write(stream: TextIO | None, text: str, *, over: bool = False) -> OSError | None:
    """Write to a stream, and let the text go where nobody can take it; no reader is no fault.

    The one place where text is printed: what comes from outside is shown, and not obeyed by the terminal.

    Args:
        stream: stdout or stderr; None where it was closed before the start.
        text: all of it.
        over: write over the line that is there, on a terminal.

    Returns:
        Why nothing more can be written, such as a full disk; None where it was, or where nobody reads.
    """
    if stream is None:
        return None
    try:
        stream.write((CLEAR_LINE if over else "") + visible(text, keep=NEWLINE))
        stream.flush()
    except OSError as error:
        # Python flushes once more at exit: give it somewhere to go.
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        return None if isinstance(error, BrokenPipeError) else error
    return None


def tell(line: str) -> None:
    """Say a line beside the answer, on stderr."""
    put(sys.stderr, f"{line}\n")


def finish(text: str, status: int = WITHIN) -> NoReturn:
    """Print everything and end the command; a reader that has closed the pipe is no fault.

    Args:
        text: all of it.
        status: the exit status.

    Raises:
        InputError: it cannot be written, as on a full disk.
        Exit: always else.
    """
    refused = put(sys.stdout, text.rstrip("\n") + "\n")
    if refused is not None:
        where = "standard output"
        raise unwritten(where, refused)
    raise typer.Exit(status)


def interrupted(files: Sequence[str]) -> str:
    """Say that a command was broken off, and what stands on the disk all the same.

    Args:
        files: what it had written by then.

    Example:
        >>> interrupted(()), interrupted(("wall.toml",))
        ('interrupted', 'interrupted; written before that: wall.toml')
    """
    return f"interrupted; written before that: {', '.join(files)}" if files else "interrupted"


def unwritten(where: str, error: OSError) -> InputError:
    """Make the fault of a place that takes no answer.

    Args:
        where: the option, or standard output.
        error: what the system says.
    """
    from bracing.errors import InputError

    return InputError.of(where, error.strerror or str(error), "a place where the answer can be written")


def none_found(job: Job, kind: str, gust: float | None, error: NoLayoutError) -> dict[str, object]:
    """Give the JSON of a command that found no braces to answer with.

    Args:
        job: the wall.
        kind: the command.
        gust: the gust asked [mph].
        error: why.
    """
    from bracing.job.envelope import beyond
    from bracing.results import header

    return {
        **header(job, kind), "wall": job.wall.name, "gust_mph": gust,
        "verdict": Verdict.ENGINEER if beyond(job, gust) else Verdict.OVER,
        "braces": [], "why": error.why, "tried": error.trials,
    }  # fmt: skip


def status_of(verdict: str | None, *, out: bool | None = False) -> int:
    """Give the exit status of a verdict.

    Args:
        verdict: within, over, unknown, engineer, not up; None where no gust was asked. Only within is 0.
        out: people must be out, at the gust asked or in any hour of the forecast.

    Example:
        >>> status_of("within"), status_of(None), status_of("over", out=True), status_of("within", out=True)
        (0, 0, 1, 4)
    """
    if verdict not in (None, Verdict.WITHIN):
        return NOT_WITHIN
    return PEOPLE_OUT if out else WITHIN


# -- how far it is ---------------------------------------------------------------------------------------

SAY_AFTER_S = 2.0  # whatever takes longer says what it does
LOOK_EVERY_S = 0.5
SAY_AGAIN_S = 10.0  # the same words, where there is no terminal to write over
BAR = 20
QUIET = "BRACING_QUIET"


class Progress:
    """A line written over on a terminal; elsewhere a line now and then. Called with what is being done.

    Attributes:
        words: what is being done.
        budget: the time a bar stands for [s]; None where there is no end to tell.
    """

    def __init__(self) -> None:
        self.words: Said | str = ""
        self.budget = 0.0
        self._began = self._said_at = 0.0
        self._said = ""
        self._ended = threading.Event()
        self._thread: threading.Thread | None = None

    def begin(self, words: str, *, budget: float = 0.0) -> Progress:
        """Begin to watch.

        Args:
            words: what is being done.
            budget: the time a bar stands for; 0 shows none [s].
        """
        self.end()
        self.words, self.budget, self._said = words, budget, ""
        self._began = time.monotonic()
        if not os.environ.get(QUIET):
            self._ended.clear()
            self._thread = threading.Thread(target=self._watch, daemon=True)
            self._thread.start()
            before_writing(self.end)
        return self

    def __call__(self, words: Said | str) -> None:
        """Say from now on what is being done.

        Args:
            words: what.
        """
        self.words = words

    def end(self) -> None:
        """Stop, and clear the line of a terminal: the answer comes next."""
        if self._thread is None:
            return
        self._ended.set()
        self._thread.join()
        self._thread = None
        if self._said and _on_terminal():
            write(sys.stderr, "", over=True)

    def _watch(self) -> None:
        wait = SAY_AFTER_S
        while not self._ended.wait(wait):
            self._say()
            wait = LOOK_EVERY_S

    def _say(self) -> None:
        from bracing.text.quantities import ENGLISH

        now, words = time.monotonic(), ENGLISH.said(self.words)
        if _on_terminal():
            write(sys.stderr, f"{self._bar(now)}{words}"[: page_width() - 1], over=True)
        elif words != self._said or now - self._said_at >= SAY_AGAIN_S:
            write(sys.stderr, f"{words} ({now - self._began:.0f} s so far)\n")
        else:
            return
        self._said, self._said_at = words, now

    def _bar(self, now: float) -> str:
        if not self.budget:
            return f"{now - self._began:.0f} s: "
        share = min(1.0, (now - self._began) / self.budget)
        return f"[{'#' * int(share * BAR):<{BAR}}] "


PROGRESS = Progress()


def say_stopped(what: str, budget: float) -> None:
    """Say on stderr that the budget ran out, and that the best found so far is used.

    Args:
        what: what would be found with more of it.
        budget: as given [s].
    """
    put(sys.stderr, f"the budget of {budget:g} s ran out: the best found so far is used; {what} (--budget)\n")


def _on_terminal() -> bool:
    return sys.stderr is not None and sys.stderr.isatty()
