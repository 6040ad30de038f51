"""Runs the command line in this process, and walls to run it on."""

from __future__ import annotations

import json
import signal
from pathlib import Path
from typing import Any, NamedTuple

from bracing.commands.cli import main

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


def listen() -> None:
    """Let a program that is started hear of Ctrl-C and hang-ups, whatever the tests themselves were told of them."""
    for name in ("SIGINT", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_DFL)


def said(text: str) -> str:
    """What a page says, however its lines were broken."""
    return " ".join(text.split())
