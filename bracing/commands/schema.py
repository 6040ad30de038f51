"""`bracing schema`: the JSON Schemas of what goes in and what comes out."""

from __future__ import annotations

from typing import Annotated

import typer

from bracing.commands.help import PartedCommand
from bracing.commands.output import finish, page_width

NAME = typer.Argument(metavar="NAME", help="which one; without it, the list", show_default=False)


def register(app: typer.Typer) -> None:
    """Add the command.

    Args:
        app: the command line.
    """
    app.command("schema", cls=PartedCommand)(schema)


def schema(name: Annotated[str | None, NAME] = None) -> None:
    """Print the JSON Schema of a wall file, a forecast or an answer."""
    from importlib.resources import files

    from bracing.errors import InputError, near_names
    from bracing.reading.schema import shipped_schema
    from bracing.text.page import Page

    folder = files("bracing") / "data" / "schemas"
    known = sorted(
        entry.name.removesuffix(".json") for entry in folder.iterdir() if entry.name.endswith(".json")
    )
    if name is None:
        page = Page(width=page_width())
        finish(
            "\n".join(
                (*page.para(f"Schemas: {', '.join(known)}."), "Next:", *page.command("bracing schema wall"))
            )
        )
    if name not in known:
        near = near_names(name, known)
        where, hint = "NAME", f"; near: {', '.join(near)}" if near else ""
        raise InputError.of(where, name, f"one of: {', '.join(known)}{hint}")
    finish(shipped_schema(f"{name}.json"))
