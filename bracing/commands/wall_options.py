"""The wall a command works on: a file, or options alone that say the same.

`takes_wall` gives a command the FILE argument and every option of a wall, so that none lists them again.
"""

from __future__ import annotations

import inspect
import os
import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, get_type_hints

import typer

if TYPE_CHECKING:
    from bracing.job.job import Job

PANEL = "The wall, without a file"
HEAD_PANEL = "Options"
_PLAIN_WORD = re.compile(r"[\w@+=:,./\\#-]+")

# name, type, help; the names are those of bracing.reading.options
_TEXT: Any = str | None
_FLAG: Any = bool | None
_MANY: Any = list[str] | None
WALL_OPTIONS: tuple[tuple[str, Any, str], ...] = (
    ("length", _TEXT, 'along the plate, such as "36 ft" or 11.1m'),
    ("height", _TEXT, "top of the plate; of a gable, at its ends"),
    ("peak", _TEXT, "height of a gable's peak"),
    ("peak_at", _TEXT, "where the peak is, from LEFT; mid length if not given"),
    ("left_height", _TEXT, "of a rake: height at LEFT"),
    ("right_height", _TEXT, "of a rake: height at the right"),
    ("studs", _TEXT, "size and spacing, such as 2x6@16in"),
    ("species", _TEXT, "species on the studs' grade stamp"),
    ("grade", _TEXT, "grade on the studs' grade stamp"),
    ("layers", _TEXT, 'such as "osb 7/16, housewrap", or none'),
    ("moisture", _TEXT, "green, or dry: dry when nailed and kept dry"),
    ("opening", _MANY, 'left edge:sill:width x height, such as "13ft:sill 3ft:6ft x 4ft"; repeat'),
    ("plate", _TEXT, 'bottom plate fastener and spacing, such as "16d common@16in"'),
    ("plate_state", _TEXT, "tacked or final"),
    ("floor", _TEXT, "deck, slab or ground"),
    ("deck", _TEXT, 'the deck panel, such as "osb 23/32"'),
    ("joists", _TEXT, 'size, spacing, direction, such as "2x10@16in away"'),
    ("room", _TEXT, "clear distance in front of the wall"),
    ("height_above_ground", _TEXT, "top of the deck above the ground outside"),
    ("open_below", _FLAG, "air can, or cannot, pass under the wall"),
    ("exposure", _TEXT, "B, C or D; C is open country"),
    ("hill", _FLAG, "on a hill or ridge; give --kzt too"),
    ("kzt", _TEXT, "topographic factor of the wind standard"),
    ("design_speed", _TEXT, "basic wind speed of the site"),
    ("stands", _TEXT, 'how long it stands on braces, such as "3 weeks"'),
    ("brace", _MANY, 'stud:head:set-back:size, such as "18ft:head 12ft:back 10ft:2x6:4/4/5:joist"; repeat'),
    ("stock", _TEXT, 'sticks on hand, such as "2x6@16ft, 2x4@14ft"'),
    ("brace_species", _TEXT, "species on the braces' grade stamp"),
    ("brace_grade", _TEXT, "grade on the braces' grade stamp"),
    ("ties", _TEXT, "tie rows the crew will anchor"),
    ("head_joint", _TEXT, "lapped on the stud's side, or plumb cut"),
    ("head_fastener", _TEXT, 'brace to stud, such as "structural screw 0.22x3"'),
    ("cleat_fastener", _TEXT, "brace to cleat"),
    ("floor_fastener", _TEXT, "cleat to floor"),
    ("name", _TEXT, "what the crew calls the wall"),
    ("state", _TEXT, "where it is: planned, standing, laid down or tied in; standing unless given"),
)


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
        from bracing.reading.options import job_from_options

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


def _parameter(name: str, annotation: object) -> inspect.Parameter:
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=annotation)


def _annotation(name: str, kind: object, about: str) -> object:
    option = "--" + name.replace("_", "-")
    words = f"{option}/--no-{option[2:]}" if kind == _FLAG else option
    shown = typer.Option(words, help=about, show_default=False, rich_help_panel=PANEL, metavar=_metavar(kind))
    return Annotated[kind, shown]


def _metavar(kind: object) -> str | None:
    return None if kind == _FLAG else "TEXT"
