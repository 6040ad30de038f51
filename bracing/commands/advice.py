"""The line to type next, after a fault: the same command put right where that is certain, or where to look."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from bracing.commands.wall_options import quoted
from bracing.errors import CHANGED, Fault, near_names

PROGRAM = "bracing"
COMMAND_LINE = "command line"


def next_line(faults: Sequence[Fault], words: Sequence[str], commands: Sequence[str]) -> str:
    """Give the line to type next.

    Args:
        faults: what was wrong.
        words: the words after `bracing`.
        commands: the commands there are.

    Returns:
        The line, with what to do first in front of it where the same command is to be typed again.

    Example:
        >>> next_line([Fault("command line", "command", "chek", "")], ["chek", "a.toml"], ["check"])
        'bracing check a.toml'
        >>> next_line([Fault("a.toml", "wall.length", "9", "")], ["check", "a.toml"], ["check"])
        'put a.toml right, then: bracing check a.toml'
    """
    first = faults[0]
    command = next((word for word in words if word in commands), "")
    if first.file != COMMAND_LINE and first.value == "no such file":
        return _for_missing(first.file, words)
    if first.value == CHANGED:
        return _line(words)
    if first.file != COMMAND_LINE and command:
        return f"put {first.file} right, then: {_line(words)}"
    near = _near_word(first, commands)
    if near and first.value in words:
        at = list(words).index(first.value)
        return _line((*words[:at], near, *words[at + 1 :]))
    return _line((command, "--help")) if command else _line(("--help",))


def install_line(extra: str) -> str:
    """Give the line that installs bracing again, from where it came, with an extra.

    Args:
        extra: its name.
    """
    editable, source = _installed_from()
    words = [_from_here(Path(sys.executable)), "-m", "pip", "install", *editable, f"{source}[{extra}]"]
    return " ".join(quoted(word) for word in words)


def _installed_from() -> tuple[list[str], str]:
    """Where the package was installed from, as pip notes it; its bare name where that is not known."""
    from importlib.metadata import PackageNotFoundError, distribution
    from urllib.parse import urlsplit
    from urllib.request import url2pathname

    try:
        notes = [file for file in distribution(PROGRAM).files or () if file.name == "direct_url.json"]
        noted = json.loads(notes[0].read_text(encoding="utf-8")) if notes else {}
    except (PackageNotFoundError, ValueError, OSError):
        return [], PROGRAM
    url = urlsplit(str(noted.get("url", "")))
    if url.scheme != "file":
        return [], PROGRAM
    editable = ["-e"] if noted.get("dir_info", {}).get("editable") else []
    return editable, _from_here(Path(url2pathname(url.path)), mark="./")


def _from_here(path: Path, *, mark: str = "") -> str:
    """A path as short as it can be typed here."""
    here = Path.cwd()
    if not path.is_relative_to(here):
        return str(path)
    short = str(path.relative_to(here))
    return short if short == "." else f"{mark}{short}"


def _near_word(fault: Fault, commands: Sequence[str]) -> str:
    """The nearest command, or the first near option the fault names."""
    if fault.field == "command":
        return next(iter(near_names(fault.value, commands)), "")
    named = fault.expected.partition("near: ")[2] if fault.field == fault.value else ""
    return named.split(",")[0].strip()


def _for_missing(file: str, words: Sequence[str]) -> str:
    """Where a file is not there: the same command on a wall file of nearly that name, or the way to make one."""
    path = Path(file)
    try:
        there = [entry.name for entry in path.parent.glob("*.toml")] if file in words else []
    except OSError:
        there = []
    near = near_names(path.name, there, most=1)
    if near:
        return _line([str(path.with_name(near[0])) if word == file else word for word in words])
    return _line(("start", file)) if path.suffix == ".toml" else _line(("start",))


def _line(words: Sequence[str]) -> str:
    return " ".join((PROGRAM, *(quoted(word) for word in words)))
