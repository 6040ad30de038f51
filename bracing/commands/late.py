"""The commands there are, each loaded when it is typed: the list of them must not cost the loading of all."""

from __future__ import annotations

import importlib
from typing import Any

import typer
from typer.core import TyperGroup

# By name: its module, and the line of the list. In the order people meet them.
COMMANDS: dict[str, tuple[str, str]] = {
    "start": ("start", "Write a wall file from a dozen questions a crew answers with a tape."),
    "check": ("check", "Check a wall as it stands: its limits, and what gives first."),
    "layout": ("layout", "Lay out braces for a gust: how many, where, cut how, with what."),
    "stock": (
        "stock",
        "Which stick: every length and size, tied or stiffened or neither, for a height and gust.",
    ),
    "fasteners": ("fasteners", "Nails, screws or lags: how many each joint takes at a gust."),
    "storm": (
        "storms",
        "Hold a forecast against a wall, or a folder of walls: when to be out, and what to add.",
    ),
    "built": ("stages", "Walk a wall brace by brace, and write what is really up into its file."),
    "stages": ("stages", "Take a wall from its first brace to its last one out."),
    "weight": ("lifting", "What a wall weighs, part by part, and where it balances."),
    "lift": ("lifting", "Getting it up: the line over the tilt, picks, slings, foot, machine, people, wind."),
    "plumb": ("lifting", "Offset readings at floor and head into lean, bow, moves and an order of release."),
    "sheet": ("sheets", "The page for the crew, on phone and paper; or its drawings, or a table of it."),
    "trace": ("sheets", "The sums that govern, step by step, so that a hand calculator gets the same."),
    "walls": (
        "walls",
        "Check a builder's list of walls, one a row; taken up again where it was broken off.",
    ),
    "schema": ("schema", "Print the JSON Schema of a wall file, a forecast or an answer."),
}


class LateGroup(TyperGroup):
    """A group that loads a command when it is asked for."""

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ANN401  (the parser's own types)
        """Give the names, in the order people meet them.

        Args:
            ctx: the parser's context.
        """
        return list(COMMANDS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ANN401
        """Give a command, loaded now; None where there is none of that name.

        Args:
            ctx: the parser's context.
            cmd_name: its name.
        """
        if cmd_name in COMMANDS and cmd_name not in self.commands:
            self.commands = {**self.commands, **commands_of(COMMANDS[cmd_name][0])}
        found = self.commands.get(cmd_name)
        if found is not None:
            found.short_help = COMMANDS[cmd_name][1]  # what a completing shell shows beside the name, whole
        return found

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401
        """Write the list.

        Args:
            ctx: the parser's context.
            formatter: what writes the page.
        """
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


def commands_of(module: str) -> dict[str, Any]:
    """Load the commands of one module.

    Args:
        module: its name among the modules of commands.

    Returns:
        The parser's commands, by name.
    """
    part = typer.Typer(add_completion=False, rich_markup_mode=None)
    part.callback()(_nothing)  # a part of one command is a group too
    importlib.import_module(f"bracing.commands.{module}").register(part)
    return dict(typer.main.get_group(part).commands)


def _nothing() -> None:
    return None
