"""Runs the command line in this process, and walls to run it on."""

from __future__ import annotations

import json
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from bracing.commands.cli import main
from bracing.job.job import all_seen
from bracing.reading.jobs import job_from_text
from bracing.reading.looking import things_to_see

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"


class Ran(NamedTuple):
    """What a command gave."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


def run(capsys, *words) -> Ran:
    capsys.readouterr()
    status = main([str(word) for word in words])
    return Ran(status, *capsys.readouterr())


WITHIN = (0, 4)  # the statuses of a wall within its limit: people may be about it, or must be out


def listen() -> None:
    """Let a program that is started hear of Ctrl-C and hang-ups, whatever the tests themselves were told of them."""
    for name in ("SIGINT", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_DFL)


# A Ctrl-C between a prompt and the reading behind it Python hears once the line has ended: a person presses again.
AGAIN_S = 20.0


def struck(child: Any, blow: Callable[[], object], until: Any) -> None:
    """Strike a walk or an interview in a terminal, and again where it goes on as if nothing were, until it says so.

    Args:
        child: the terminal of pexpect.
        blow: what strikes it.
        until: what it says then, or its end.
    """
    silent = pytest.importorskip("pexpect").TIMEOUT
    blow()
    while child.expect([until, silent], timeout=AGAIN_S):
        blow()


def said(text: str) -> str:
    """What a page says, however its lines were broken."""
    return " ".join(text.split())


def walk_text(text, *, when="2026-03-06 16:00", by="lead framer"):
    """[built] of a wall file that somebody has walked, and found all as it stands there."""
    seen = json.dumps(list(all_seen(job_from_text(text, "wall.toml"))))
    return f'\n[built]\nwhen = "{when}"\nby = "{by}"\nseen = {seen}\n'


def rest_of_walk(job):
    """What is typed after the braces where all else is as planned: no brace more, and Enter at each thing to see."""
    return ("",) * (1 + len(things_to_see(job)))
