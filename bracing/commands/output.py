"""How a command ends: its whole output in one write to stdout, then its exit status."""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Mapping
from typing import NoReturn

import typer

WITHIN = 0  # within its limit, or no gust was asked
NOT_WITHIN = 1  # over, unknown, engineer, or none found
BAD_INPUT = 2
OUR_FAULT = 3
INTERRUPTED = 130

NARROWEST, WIDEST = 40, 80


def page_width() -> int:
    """Give the columns to print in: those of the terminal, from 40 to 80."""
    return min(WIDEST, max(NARROWEST, shutil.get_terminal_size(fallback=(WIDEST, 24)).columns))


def as_json(answer: Mapping[str, object]) -> str:
    """Write an answer as JSON.

    Args:
        answer: as its `to_dict` gives it; a number JSON cannot carry is an error.
    """
    return json.dumps(answer, indent=2, allow_nan=False, ensure_ascii=False)


def finish(text: str, status: int = WITHIN) -> NoReturn:
    """Print everything and end the command; a reader that has closed the pipe is no fault.

    Args:
        text: all of it.
        status: the exit status.

    Raises:
        Exit: always.
    """
    try:
        sys.stdout.write(text.rstrip("\n") + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        # Python flushes stdout once more at exit: give it somewhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    raise typer.Exit(status)


def status_of(verdict: str | None) -> int:
    """Give the exit status of a verdict.

    Args:
        verdict: within, over, unknown, engineer; None where no gust was asked.

    Example:
        >>> status_of("within"), status_of(None), status_of("over")
        (0, 0, 1)
    """
    return WITHIN if verdict in (None, "within") else NOT_WITHIN
