"""`bracing start` and `bracing schema`: a wall file from questions or a demo, and what may stand in one."""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any

import typer

from bracing.commands.output import INTERRUPTED, LANGUAGE, finish, language_of, page_width, put, tell
from bracing.errors import NEWLINE, visible
from bracing.said import LANGUAGES

FILE = typer.Argument(
    metavar="FILE", help="the wall file to write; named after the wall unless given", show_default=False
)
NAME = typer.Argument(metavar="NAME", help="which one; without it, the list", show_default=False)
TEMPLATE = typer.Option(
    help="write a demo wall to change, and ask nothing: gable, level, rake or slab", show_default=False
)


def start(
    context: typer.Context,
    file: Annotated[str | None, FILE] = None,
    *,
    template: Annotated[str | None, TEMPLATE] = None,
    language: Annotated[str | None, LANGUAGE] = None,
) -> None:
    """Write a wall file from a dozen questions a crew answers with a tape."""
    from bracing.reading.interview import Interview, Quit
    from bracing.reading.questions import template_values
    from bracing.reading.writing import write_new_wall

    if file is not None:
        refuse_taken(file)
    if template is not None:
        path = file or f"{template}.toml"
        written = write_new_wall(path, template_values(template))
        finish(_wrote(written, path) + "\nThe values are a demo's: change what is not so of your wall.")
    try:
        values = Interview(_ask, _say, page_width(), *_in_another(language_of(language, file or "."))).run()
    except (Quit, KeyboardInterrupt, EOFError):
        tell("\nbroken off: no file was written")
        raise typer.Exit(INTERRUPTED) from None
    path = file or free_name(str(values.get("wall.name", "wall")))
    _say("\n" + _wrote(write_new_wall(path, values), path))
    gust = _gust_to_lay_out()
    if gust:
        _say("")
        program: Any = context.find_root().command
        words = ["layout", path, "--gust", gust]
        raise typer.Exit(program.main(words, prog_name="bracing", standalone_mode=False) or 0)


def _in_another(language: str) -> tuple[Mapping[str, tuple[str, str]], str]:
    """The questions in another language than English, and what is said first in it."""
    if language == LANGUAGES[0]:
        return {}, ""
    from bracing.said import Said
    from bracing.text.languages import questions
    from bracing.text.quantities import Quantities

    asked, intro = questions(language)
    return asked, f"{Quantities(language=language).said(Said('unsigned-words'))} {intro}"


def refuse_taken(file: str) -> None:
    """Refuse a file that is there before a dozen questions are asked for nothing.

    Args:
        file: its name.

    Raises:
        InputError: it is there.
    """
    from bracing.errors import InputError

    if Path(file).exists():
        argument = "FILE"
        raise InputError.of(argument, file, "a name that is not taken; the file was not changed")


def free_name(wall: str) -> str:
    """Name a file after a wall, as no file here is named yet.

    Args:
        wall: what the crew calls it.

    Example:
        >>> free_name("South gable, 2nd floor")
        'south-gable-2nd-floor.toml'
    """
    stem = re.sub(r"[^a-z0-9]+", "-", wall.lower()).strip("-")[:60] or "wall"
    names = (stem, *(f"{stem}-{k}" for k in range(2, 1000)))
    return next(f"{name}.toml" for name in names if not Path(f"{name}.toml").exists())


def _wrote(files: tuple[str, ...], path: str) -> str:
    from bracing.commands.wall_options import quoted
    from bracing.text.page import Page

    page = Page(width=page_width())
    lines = page.para(
        f"Wrote {' and '.join(files)}. What is not known stands in it as a comment, with the low value that counts."
    )
    return "\n".join((*lines, "Next:", *page.command(f"bracing layout {quoted(path)} --gust 45")))


def _gust_to_lay_out() -> str:
    """Ask for the gust of a layout; nothing is asked for later, and is no fault."""
    from bracing.errors import InputError
    from bracing.units import speed

    try:
        while text := _ask("Lay it out now? The forecast gust, such as 45, or Enter for later > ").strip():
            if text.lower() in ("no", "n", "later", "quit", "q"):
                return ""
            try:
                speed(text)
            except InputError as error:
                _say(f"Expected {error.faults[0].expected}.")
            else:
                return text
    except (KeyboardInterrupt, EOFError):
        _say("")
    return ""


def _ask(prompt: str) -> str:
    return input(visible(prompt, keep=NEWLINE))


def _say(text: str) -> None:
    put(sys.stdout, f"{text}\n")


def schema(name: Annotated[str | None, NAME] = None) -> None:
    """Print the JSON Schema of a wall file, a forecast or an answer."""
    from importlib.resources import files

    from bracing.errors import InputError, near_names, with_near
    from bracing.sources import shipped_schema
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
        where, expected = "NAME", with_near(f"one of: {', '.join(known)}", near_names(name, known))
        raise InputError.of(where, name, expected)
    finish(shipped_schema(f"{name}.json"))
