"""The line to type next, after a fault: the same command put right where that is certain, or where to look."""

from __future__ import annotations

import errno
import json
import re
import sys
import traceback
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import typer

from bracing._version import __version__
from bracing.commands.help import COMMANDS
from bracing.commands.output import (
    BAD_INPUT,
    INTERRUPTED,
    NOT_WITHIN,
    OUR_FAULT,
    interrupted,
    put,
    unwritten,
)
from bracing.commands.wall_options import quoted
from bracing.errors import (
    CHANGED,
    NOTHING_GIVEN,
    Fault,
    InputError,
    MechanismError,
    MissingDataError,
    MissingExtraError,
    NoLayoutError,
    near_names,
    shown,
    visible,
    with_near,
)
from bracing.reading.files import written

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


NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EIO)  # of the disk, not of the program
TEXT_LIBRARIES = "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"  # by Debian's names
# Where the parser keeps its classes differs from release to release; this one is public in all of them.
UsageError: type[Exception] = typer.BadParameter.__mro__[1]


def answer_to(error: BaseException, words: Sequence[str]) -> int:
    """Say why a command broke off.

    Args:
        error: what ended it.
        words: the words after `bracing`.

    Returns:
        The exit status.
    """
    if isinstance(error, UsageError):
        return _bad_input([_usage_fault(error, words)], words)
    if isinstance(error, InputError):
        return _bad_input(error.faults, words)
    if isinstance(error, MissingDataError):
        expected = with_near("a name in that table", error.near)
        return _bad_input([Fault(COMMAND_LINE, error.table, error.key, expected)], words)
    if isinstance(error, MissingExtraError):
        return _no_extra(error, words)
    if isinstance(error, NoLayoutError):
        from bracing.text.quantities import Quantities

        why = Quantities(metric="--metric" in words).said(error.why)
        return _say(f"no layout found after {error.trials} tried: {why}", NOT_WITHIN)
    if isinstance(error, MechanismError):
        return _say(str(error), NOT_WITHIN)
    if isinstance(error, typer.Abort | KeyboardInterrupt):
        return _say(interrupted(written()), INTERRUPTED)
    if isinstance(error, OSError) and error.errno in NO_ROOM:
        return _bad_input(unwritten("output", error).faults, words)
    return _say(_own_fault(error), OUR_FAULT)


def _say(line: str, status: int) -> int:
    put(sys.stderr, f"{PROGRAM}: {line}\n")
    return status


def _no_extra(error: MissingExtraError, words: Sequence[str]) -> int:
    """Say which extra is missing and how it is installed; or what it needs of the system, where it is there."""
    wants, line = f"the extra {error.extra} of bracing", install_line(error.extra)
    if isinstance(error.__cause__, OSError):
        wants, line = f"what {error.package} needs of the system: its text libraries", TEXT_LIBRARIES
    return _bad_input([Fault(COMMAND_LINE, "installation", f"no {error.package}", wants)], words, line=line)


def _bad_input(faults: Iterable[Fault], words: Sequence[str], *, line: str = "") -> int:
    """Say every fault on its line, then what to type; where JSON was asked, give them as an object on stdout too."""
    found = list(faults)
    if "--json" in words:
        put(sys.stdout, json.dumps({"errors": [fault.to_dict() for fault in found]}, indent=2) + "\n")
    told = "".join(f"{fault}\n" for fault in found)
    told += "".join(f"written before that: {file}\n" for file in written())
    line = line or next_line(found, words, list(COMMANDS))
    line = visible(line)  # a word may hold a line break
    put(sys.stderr, f"{told}next: {line}\n")
    return BAD_INPUT


def _own_fault(error: BaseException) -> str:
    """One line for a fault of the program: what, where in it, and how to report it."""
    steps = traceback.extract_tb(error.__traceback__)
    where = f"{Path(steps[-1].filename).name}:{steps[-1].lineno}" if steps else "start"
    what = " ".join(f"{type(error).__name__}: {error}".split())[:300]
    return (
        f"a fault of the program itself, version {__version__}, at {where}: {what}. No number came out. "
        "Please report it to the people who maintain bracing, with this line, the command and the wall file."
    )


# -- faults of the command line --------------------------------------------------------------------------


def _usage_fault(error: Exception, words: Sequence[str]) -> Fault:
    """Turn what the parser found into a fault of the same form as one in a file."""
    context = getattr(error, "ctx", None)
    option, message = getattr(error, "option_name", None), str(getattr(error, "message", error)).rstrip(".")
    if message.startswith("No such option") and option:
        return Fault(COMMAND_LINE, option, option, _known("option", option, _options_of(context)))
    if message.startswith("No such command"):
        name = message.split("'")[1] if "'" in message else message
        return Fault(COMMAND_LINE, "command", name, _known("command", name, list(COMMANDS)))
    hint = option or _hint(error)
    if "requires an argument" in message or not message:
        return Fault(COMMAND_LINE, hint or "arguments", "nothing", "a value after it")
    if "unexpected extra argument" in message:
        extra = message.rpartition("(")[2].rstrip(")")
        return Fault(COMMAND_LINE, "arguments", extra, "nothing more: options begin with --")
    if hint:
        return Fault(COMMAND_LINE, hint, _typed(error, hint, words), _wanted(message))
    return Fault(COMMAND_LINE, "arguments", "more than the command takes", message[:1].lower() + message[1:])


def _typed(error: Exception, option: str, words: Sequence[str]) -> str:
    """What is typed after an option, the last time it is there."""
    param: Any = getattr(error, "param", None)
    names = (option,) if param is None else (*param.opts, *param.secondary_opts)
    for k in range(len(words) - 1, -1, -1):
        name, equals, value = words[k].partition("=")
        if name in names:
            return shown(value) if equals else shown(words[k + 1] if k + 1 < len(words) else None)
        if len(name) > 2 and name[:2] in names and name[:2] != "--":  # as -o5
            return shown(words[k][2:])
    return NOTHING_GIVEN


# What the parser says of a value, release by release, and what is expected then.
_SAID = (
    (r"(\S+)<=x<=(\S+)", "a number from {} to {}"),
    (r"x>=(\S+)|greater than or equal to (\S+)", "a number, at least {}"),
    (r"x<=(\S+)|less than or equal to (\S+)", "a number, at most {}"),
    (r"valid int", "a whole number"),
    (r"valid (?:float|number)|finite number", "a number"),
    (r"does not take a value", "nothing after it: it is a switch"),
)


def _wanted(message: str) -> str:
    """What is expected after an option, in plain words; else as the parser says it."""
    for pattern, words in _SAID:
        found = re.search(pattern, message)
        if found:
            return words.format(*(part for part in found.groups() if part is not None))
    return message[:1].lower() + message[1:]


def _hint(error: Exception) -> str:
    param: Any = getattr(error, "param", None)
    return str(param.opts[0]) if param is not None and param.opts else ""


def _known(kind: str, name: str, known: Sequence[str]) -> str:
    near = near_names(name, known)
    which = f"near: {', '.join(near)}" if near else "see bracing --help"
    return f"a known {kind}; {which}"


def _options_of(context: Any) -> list[str]:  # noqa: ANN401
    if context is None:
        return []
    return [
        word
        for param in context.command.params
        for word in (*param.opts, *param.secondary_opts)
        if word[:1] == "-"
    ]
