"""Runs the command line in this process, and walls to run it on."""

from __future__ import annotations

import json
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
