"""The command line: parse, call, print, and an exit status that scripts can rely on.

0 within its limit, or no gust was asked; 1 over, unknown, not up, for an engineer, or none found; 2 bad input, every
fault on one line of stderr; 3 a fault of the program itself; 4 within its limit, and people must be out all the same:
at the gust asked, or in any hour of the forecast; 130 interrupted. Results go to stdout, all else to stderr.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from functools import cache
from typing import Annotated, Any

import typer

from bracing._version import __version__
from bracing.commands.help import LateGroup
from bracing.commands.output import INTERRUPTED, finish, interrupted, page_width, prepare, put
from bracing.reading.files import begin, written

PROGRAM = "bracing"

app = typer.Typer(
    name=PROGRAM,
    cls=LateGroup,
    help="Temporary bracing of framed walls: how many braces, where, with what, and up to which gust.",
    epilog="New here? bracing start asks about your wall; bracing start --template gable writes a demo to change. "
    "Each command's --help ends with two examples to copy.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(wanted: bool) -> None:  # noqa: FBT001  (the parser calls it with the value)
    if wanted:
        from bracing.codes.basis import IN_USE
        from bracing.sources import SOURCES

        followed = (f"  {SOURCES[key].name}" for key in IN_USE.standards)
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


@cache
def _parser() -> Any:  # noqa: ANN401  (the parser's own type)
    """Make the parser, once a process: for one command that costs as much as reading it."""
    return typer.main.get_command(app)


ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: the words after `bracing`; those of the process unless given.

    Returns:
        The exit status.
    """
    words = list(sys.argv[1:] if arguments is None else arguments)
    for (
        name
    ) in ONE_THREAD:  # the matrices are small: threads that share a busy machine only wait on one another
        os.environ.setdefault(name, "1")
    begin()
    for stream in (sys.stdout, sys.stderr):
        prepare(stream)  # a wall's name may hold letters the terminal has not
    try:
        status = _parser()(words, prog_name=PROGRAM, standalone_mode=False, terminal_width=page_width())
    except (KeyboardInterrupt, Exception) as error:  # noqa: BLE001  (the last line of defence: no traceback for a crew)
        from bracing.commands.faults import answer_to

        return answer_to(error, words)
    if status == INTERRUPTED:  # the parser has caught it
        put(sys.stderr, f"{PROGRAM}: {interrupted(written())}\n")
    return status if isinstance(status, int) else 0
