"""What a command that takes long says on stderr: nothing at first, then now and then what it is doing.

One for all commands. It speaks by the watch, from a thread of its own, so that no sum has to know of it; the last thing
told is what it says. BRACING_QUIET in the environment keeps it still, for those who compare what is printed.
"""

from __future__ import annotations

import os
import sys
import threading
import time

from bracing.commands.output import before_writing, page_width, put, write
from bracing.said import Said

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
