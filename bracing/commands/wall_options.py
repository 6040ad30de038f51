"""The wall a command works on: a file, or options alone that say the same.

`takes_wall` gives a command the FILE argument and every option of a wall, so that none lists them again.
"""

from __future__ import annotations

import inspect
import os
import re
from collections.abc import Callable
from typing import Annotated, Any, NamedTuple, get_type_hints

import typer

from bracing.commands.output import CAUTIONS_AT_LENGTH
from bracing.job.job import Job
from bracing.reading.options import SEVERAL, job_from_options, options_of

PANEL = "The wall, without a file"
_PLAIN_WORD = re.compile(r"[\w@+=:,./\\#-]+")

_FLAG: Any = bool | None
CAUTIONS = Annotated[bool, typer.Option("--cautions", help="the cautions at full length")]


def wall_options(job: type[Job] = Job) -> tuple[tuple[str, Any, str], ...]:
    """Give the options of a wall: name, type and help of each.

    Args:
        job: the class of the job.
    """
    types: dict[str, Any] = {"flag": _FLAG} | dict.fromkeys(SEVERAL, list[str] | None)
    return tuple(
        (
            name,
            types.get(name, types.get(one.kind, str | None)),
            one.about + ("; repeat" if name in SEVERAL else ""),
        )
        for name, one in options_of(job).items()
    )


WALL_OPTIONS = wall_options()


class Given(NamedTuple):
    """What was given on the command line about the wall.

    Attributes:
        file: the wall file, or None.
        options: the options given, by name.
    """

    file: str | None
    options: dict[str, object]

    def job(self) -> Job:
        """Read the wall.

        Raises:
            InputError: every fault in it; a file and options together; neither.
        """
        from bracing.errors import Fault, InputError
        from bracing.reading.jobs import read_job

        if self.file is None:
            if not self.options:
                argument = "FILE"
                expected = "a wall file, or the wall in options: at least --length and --height"
                raise InputError.of(argument, "nothing", expected)
            return job_from_options(**self.options)
        if self.options:
            expected = f"it in {self.file}, or no file: a wall comes from one or the other"
            raise InputError(
                Fault("command line", "--" + name.replace("_", "-"), str(value), expected)
                for name, value in self.options.items()
            )
        return read_job(self.file)

    def words(self) -> str:
        """Give the words that name the same wall in the next command to type."""
        if self.file is not None:
            return quoted(self.file)
        return " ".join(_option_words(name, value) for name, value in self.options.items())


def quoted(text: str, *, windows: bool = os.name == "nt") -> str:
    r"""Quote a word for a shell where it needs it.

    Args:
        text: the word.
        windows: for the shells of Windows, which know no single quotes.

    Example:
        >>> quoted("wall.toml", windows=False), quoted("36 ft", windows=False)
        ('wall.toml', "'36 ft'")
        >>> print(quoted("36'-4 1/2\"", windows=True))
        "36'-4 1/2\""
    """
    import shlex

    if not windows:
        return shlex.quote(text)
    return text if _PLAIN_WORD.fullmatch(text) else '"' + text.replace('"', '\\"') + '"'


def wall_files(incomplete: str) -> list[str]:
    """Give the files and folders a shell may complete a wall file's name with.

    Args:
        incomplete: what is typed of it.
    """
    from pathlib import Path

    here = Path(incomplete).parent if incomplete[-1:] not in ("/", "\\") else Path(incomplete)
    try:
        there = [path for path in here.iterdir() if path.suffix == ".toml" or path.is_dir()]
    except OSError:
        return []
    names = [f"{path}/" if path.is_dir() else str(path) for path in sorted(there)]
    return [name for name in names if name.startswith(incomplete)]


def _option_words(name: str, value: object) -> str:
    option = "--" + name.replace("_", "-")
    if value is True:
        return option
    if value is False:
        return "--no-" + name.replace("_", "-")
    values = value if isinstance(value, list) else [value]
    return " ".join(f"{option} {quoted(str(each))}" for each in values)


def takes_wall(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the FILE argument and the options of a wall.

    Args:
        command: its first parameter is the `Given`; the others are its own options.

    Returns:
        The command as the parser is to see it.
    """
    (first, *own) = inspect.signature(command).parameters.values()
    hints = get_type_hints(command, include_extras=True)
    file: Any = Annotated[
        str | None,
        typer.Argument(metavar="FILE", help="the wall file", show_default=False, autocompletion=wall_files),
    ]
    shown = [_parameter("file", file), *(p.replace(annotation=hints[p.name]) for p in own)]
    shown += [_parameter(name, _annotation(name, kind, about)) for name, kind, about in WALL_OPTIONS]

    def run(**given: Any) -> None:  # noqa: ANN401  (the parser hands over values of every option)
        options = {name: given.pop(name) for name, _, _ in WALL_OPTIONS}
        typed = {name: value for name, value in options.items() if value is not None and value != []}
        command(**{first.name: Given(given.pop("file"), typed)}, **given)

    run.__name__, run.__doc__ = command.__name__, command.__doc__
    run.__signature__ = inspect.Signature(shown)  # type: ignore[attr-defined]
    run.__annotations__ = {p.name: p.annotation for p in shown}
    return run


def takes_cautions(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command that writes a page the option --cautions, before those of the wall.

    Args:
        command: it, every option by keyword.

    Returns:
        The command as the parser is to see it.
    """
    hints = get_type_hints(command, include_extras=True)
    shown = [p.replace(annotation=hints[p.name]) for p in inspect.signature(command).parameters.values()]
    asked = inspect.Parameter("cautions", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=CAUTIONS)
    own = next((k for k, p in enumerate(shown) if p.name == WALL_OPTIONS[0][0]), len(shown))

    def run(*words: Any, cautions: bool = False, **given: Any) -> None:  # noqa: ANN401  (as takes_wall)
        CAUTIONS_AT_LENGTH.set(cautions)
        command(*words, **given)

    run.__name__, run.__doc__ = command.__name__, command.__doc__
    run.__signature__ = inspect.Signature([*shown[:own], asked, *shown[own:]])  # type: ignore[attr-defined]
    run.__annotations__ = {p.name: p.annotation for p in (*shown, asked)}
    return run


def _parameter(name: str, annotation: object) -> inspect.Parameter:
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=annotation)


def _annotation(name: str, kind: object, about: str) -> object:
    option = "--" + name.replace("_", "-")
    words = f"{option}/--no-{option[2:]}" if kind == _FLAG else option
    shown = typer.Option(words, help=about, show_default=False, rich_help_panel=PANEL, metavar=_metavar(kind))
    return Annotated[kind, shown]


def _metavar(kind: object) -> str | None:
    return None if kind == _FLAG else "TEXT"
