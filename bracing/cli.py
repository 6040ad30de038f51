"""The command line: parse, call, print, and an exit status that scripts can rely on.

0 within its limit, or no gust was asked; 1 over, unknown, for an engineer, or none found; 2 bad input, every
fault on one line of stderr; 3 a fault of the program itself; 130 interrupted. Results go to stdout, all else
to stderr.
"""

from __future__ import annotations

import errno
import importlib
import json
import pkgutil
import sys
import traceback
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from bracing import __version__, commands
from bracing.commands.output import (
    BAD_INPUT,
    INTERRUPTED,
    NOT_WITHIN,
    OUR_FAULT,
    finish,
    page_width,
    put,
    unwritten,
)
from bracing.errors import (
    BracingError,
    Fault,
    InputError,
    MechanismError,
    MissingDataError,
    MissingExtraError,
    NoLayoutError,
    near_names,
)

PROGRAM = "bracing"
COMMAND_LINE = "command line"
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EIO)  # of the disk, not of the program
FIRST = ("start", "check", "layout", "fasteners")
# Where the parser keeps its classes differs from release to release; this one is public in all of them.
UsageError: type[Exception] = typer.BadParameter.__mro__[1]

app = typer.Typer(
    name=PROGRAM,
    help="Temporary bracing of framed walls: how many braces, where, with what, and up to which gust.",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(wanted: bool) -> None:  # noqa: FBT001  (the parser calls it with the value)
    if wanted:
        from bracing.results import EDITIONS
        from bracing.sources import SOURCES

        followed = (f"  {SOURCES[key].name}" for key in EDITIONS)
        finish("\n".join((f"{PROGRAM} {__version__}", "Editions followed:", *followed)))


@app.callback(invoke_without_command=True)
def _start(
    context: typer.Context,
    version: Annotated[  # noqa: FBT002
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="the version, and the editions followed"
        ),
    ] = False,
) -> None:
    if context.invoked_subcommand is None:
        finish(context.get_help())


def _register() -> None:
    """Let every module of commands add its own, those people start with first."""
    names = [found.name for found in pkgutil.iter_modules(commands.__path__) if not _beside(found.name)]
    for name in sorted(names, key=lambda name: (FIRST.index(name) if name in FIRST else len(FIRST), name)):
        importlib.import_module(f"{commands.__name__}.{name}").register(app)


def _beside(name: str) -> bool:
    """Whether a module has parts of commands and no command."""
    return name in {"help", "output"} or name.endswith("_options")


_register()


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: the words after `bracing`; those of the process unless given.

    Returns:
        The exit status.
    """
    words = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a wall's name may hold letters the terminal has not
    try:
        status = app(words, prog_name=PROGRAM, standalone_mode=False, max_content_width=page_width())
    except UsageError as error:
        return _bad_input([_usage_fault(error)], words)
    except InputError as error:
        return _bad_input(error.faults, words)
    except MissingDataError as error:
        near = f"; near: {', '.join(error.near)}" if error.near else ""
        return _bad_input([Fault(COMMAND_LINE, error.table, error.key, f"a name in that table{near}")], words)
    except MissingExtraError as error:
        return _say(str(error), BAD_INPUT)
    except (NoLayoutError, MechanismError) as error:
        return _say(str(error), NOT_WITHIN)
    except (typer.Abort, KeyboardInterrupt):
        return _say("interrupted", INTERRUPTED)
    except OSError as error:
        if error.errno not in NO_ROOM:
            return _say(_own_fault(error), OUR_FAULT)
        return _bad_input(unwritten("output", error).faults, words)
    except (BracingError, Exception) as error:  # noqa: BLE001  (the last line of defence: no traceback for a crew)
        return _say(_own_fault(error), OUR_FAULT)
    if status == INTERRUPTED:  # the parser has caught it
        return _say("interrupted", INTERRUPTED)
    return status if isinstance(status, int) else 0


def _say(line: str, status: int) -> int:
    put(sys.stderr, f"{PROGRAM}: {line}\n")
    return status


def _bad_input(faults: Iterable[Fault], words: Sequence[str]) -> int:
    """Say every fault on its line; where JSON was asked, give them as an object on stdout too."""
    found = list(faults)
    if "--json" in words:
        put(sys.stdout, json.dumps({"errors": [fault.to_dict() for fault in found]}, indent=2) + "\n")
    put(sys.stderr, "".join(f"{fault}\n" for fault in found))
    return BAD_INPUT


def _own_fault(error: Exception) -> str:
    """One line for a fault of the program: what, where in it, and how to report it."""
    steps = traceback.extract_tb(error.__traceback__)
    where = f"{Path(steps[-1].filename).name}:{steps[-1].lineno}" if steps else "start"
    what = " ".join(f"{type(error).__name__}: {error}".split())[:300]
    return (
        f"a fault of the program itself, version {__version__}, at {where}: {what}. No number came out. "
        "Please report it to the people who maintain bracing, with this line, the command and the wall file."
    )


# -- faults of the command line --------------------------------------------------------------------------


def _usage_fault(error: Exception) -> Fault:
    """Turn what the parser found into a fault of the same form as one in a file."""
    context = getattr(error, "ctx", None)
    option, message = getattr(error, "option_name", None), str(getattr(error, "message", error)).rstrip(".")
    if message.startswith("No such option") and option:
        return Fault(COMMAND_LINE, option, option, _known("option", option, _options_of(context)))
    if message.startswith("No such command"):
        name = message.split("'")[1] if "'" in message else message
        return Fault(COMMAND_LINE, "command", name, _known("command", name, _commands_of(context)))
    hint = option or _hint(error)
    if "requires an argument" in message or not message:
        return Fault(COMMAND_LINE, hint or "arguments", "nothing", "a value after it")
    if "unexpected extra argument" in message:
        extra = message.rpartition("(")[2].rstrip(")")
        return Fault(COMMAND_LINE, "arguments", extra, "nothing more: options begin with --")
    if hint:
        return Fault(COMMAND_LINE, hint, "what is typed there", message[:1].lower() + message[1:])
    return Fault(COMMAND_LINE, "arguments", "more than the command takes", message[:1].lower() + message[1:])


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


def _commands_of(context: Any) -> list[str]:  # noqa: ANN401
    return (
        list(context.command.commands) if context is not None and hasattr(context.command, "commands") else []
    )
