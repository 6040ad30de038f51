"""The commands there are, each loaded when it is typed; and plain help pages in parts, with two commands to copy.

The list of commands must not cost the loading of all. A page has the command's own options first, then those of a wall.
"""

from __future__ import annotations

import importlib
import inspect
import re
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

# By name: its module, and the line of the list. In the order people meet them.
COMMANDS: dict[str, tuple[str, str]] = {
    "start": ("start", "Write a wall file from a dozen questions a crew answers with a tape."),
    "check": ("check", "Check a wall as it stands: its limits, and what gives first."),
    "layout": ("layout", "Lay out braces for a gust: how many, where, cut how, with what."),
    "stock": (
        "fasteners",
        "Which stick: every length and size, tied or stiffened or neither, for a height and gust.",
    ),
    "fasteners": ("fasteners", "Nails, screws or lags: how many each joint takes at a gust."),
    "storm": (
        "storms",
        "Hold a forecast against a wall, or a folder of walls: when to be out, and what to add.",
    ),
    "chance": (
        "chance",
        "Say how likely it is that the bracing goes, tonight and over the weeks it stands: no verdict, and no leave.",
    ),
    "watch": (
        "watch",
        "Watch a forecast for a folder of walls: one message a change, one each morning.",
    ),
    "log": (
        "log",
        "Show what was found, written and sent of the walls of a folder, and verify that nothing of it was changed.",
    ),
    "serve": (
        "serve",
        "Serve the pages of a folder of walls: job, walls, walks, tonight's wind, sheets and tags.",
    ),
    "built": (
        "stages",
        "Walk a wall, brace by brace and past all it counts on, and write what is up into its file.",
    ),
    "pull": (
        "pull",
        "Pull your own fasteners with a hanging scale: what they take becomes a value in the file.",
    ),
    "stages": ("stages", "Take a wall from its first brace to its last one out."),
    "box": ("box", "Join the walls of a job at their corners: when to be out, and which brace may leave."),
    "weight": ("lifting", "What a wall weighs, part by part, and where it balances."),
    "lift": ("lifting", "Getting it up: the line over the tilt, picks, slings, foot, machine, people, wind."),
    "plumb": ("lifting", "Offset readings at floor and head into lean, bow, moves and an order of release."),
    "sheet": ("sheets", "The page for the crew, on phone and paper; or its drawings, or a table of it."),
    "trace": ("sheets", "The sums that govern, step by step, so that a hand calculator gets the same."),
    "walls": (
        "walls",
        "Check or lay out a builder's list of walls, one a row; taken up again where it was broken off.",
    ),
    "schema": ("start", "Print the JSON Schema of a wall file, a forecast or an answer."),
}
FIRST = "Options"
_KIND = re.compile(r" (<[^>]*>|(?:TEXT|PATH|INTEGER|FLOAT|FILE)( RANGE)?)$")
WIDEST_TERM = 30
# Two commands a newcomer can type as they stand, once `bracing start --template gable` has made gable.toml.
EXAMPLES: dict[str, tuple[tuple[str, str], ...]] = {
    "start": (
        ("asked question by question", "bracing start"),
        ("a demo wall to change", "bracing start gable.toml --template gable"),
    ),
    "check": (
        ("what gives first, link by link", "bracing check gable.toml --gust 45 --links"),
        ("no file: a level wall with two braces up",
         'bracing check --length 16ft --height 8ft --gust 30 --brace "4ft:head 6ft:back 6ft:2x6:4/4/5" '
         '--brace "12ft:head 6ft:back 6ft:2x6:4/4/5"'),
    ),
    "layout": (
        ("braces written into the file", "bracing layout gable.toml --gust 40 --write"),
        ("no file, in metric", 'bracing layout --length 6m --height 2.4m --studs 2x6@16in --gust "18 m/s" --metric'),
    ),
    "fasteners": (
        ("joint by joint", "bracing fasteners gable.toml --gust 40"),
        ("for a spreadsheet or a program", "bracing fasteners gable.toml --gust 40 --json"),
    ),
    "storm": (
        ("tonight, with thunderstorms about", 'bracing storm gable.toml --gust 50 --storms --from "tomorrow 8 pm"'),
        ("every wall of a folder, as a text message", "bracing storm . --gust 35 --short"),
    ),
    "chance": (
        ("tonight, and over the weeks it stands", "bracing chance gable.toml --gust 45"),
        ("what a mend, a brace more or a walk buys", "bracing chance gable.toml --gust 45 --mends"),
    ),
    "watch": (
        ("every hour, from a file: what would be sent", "bracing watch . --forecast grid.json --dry-run"),
        ("each morning, with alerts", "bracing watch . --forecast grid.json --alerts alerts.json --daily"),
    ),
    "log": (
        ("begun: walks and writes are kept from now on", "bracing log . --begin"),
        ("begun or there, its chain verified", "bracing log . --begin --verify"),
    ),
    "serve": (
        ("on this computer alone", "bracing serve ."),
        ("a link for those who walk", "bracing serve . --new-link walk"),
    ),
    "built": (
        ("brace by brace, Enter where it is as planned", "bracing built gable.toml"),
        ("by whom, so that it is not asked", 'bracing built gable.toml --by "lead framer"'),
    ),
    "pull": (
        ("the form to print, and the page for the phone", "bracing pull gable.toml --form pull.html"),
        ("what the tests in a file come to", "bracing pull gable.toml --show"),
    ),
    "stages": (
        ("on a day of 25 mph gusts", "bracing stages gable.toml --gust 25"),
        ("may B1 come out now?", 'bracing stages gable.toml --gust 25 --done "left return tied" --take-out B1'),
    ),
    "box": (
        ("every wall and corner, and which brace may leave", "bracing box . --gust 32"),
        ("may B2 of south leave now?", "bracing box . --gust 32 --take-out south:B2"),
    ),
    "walls": (
        ("a list, one wall a row", "bracing walls walls.csv --gust 40"),
        ("on one core, into a file of your own", "bracing walls walls.csv --gust 40 --workers 1 --out checked.csv"),
    ),
    "weight": (
        ("part by part", "bracing weight gable.toml"),
        ("no file", 'bracing weight --length 36ft --height 10ft --studs 2x6@16in --layers "osb 7/16, housewrap"'),
    ),
    "lift": (
        ("two picks, and the gust it may be lifted in", "bracing lift gable.toml --gust 10"),
        ("straps at the foot, nailed", 'bracing lift gable.toml --straps "6: 5 of 16d common"'),
    ),
    "plumb": (
        ("tape from a line on the side away from the braces, floor then head",
         'bracing plumb gable.toml --at "B1: 2 in, 2 1/2 in" --at "B2: 2 in, 2 1/4 in"'),
        ("with an adjuster of a quarter inch a turn",
         'bracing plumb gable.toml --at "B1: 2 in, 2 1/2 in" --at "B2: 2 in, 2 1/4 in" --turn "1/4 in"'),
    ),
    "schema": (
        ("the list", "bracing schema"),
        ("of what check --json gives", "bracing schema check"),
    ),
    "sheet": (
        ("the page for the crew", "bracing sheet gable.toml --gust 40"),
        ("with thunderstorms about", "bracing sheet gable.toml --gust 40 --storms -o storms.html"),
    ),
    "stock": (
        ("for a wall 10 ft high", "bracing stock --height 10ft --gust 40"),
        ("a brace every 8 ft", 'bracing stock --height 10ft --gust 40 --every "8 ft"'),
    ),
    "trace": (
        ("the sums that govern", "bracing trace gable.toml --gust 40"),
        ("as JSON", "bracing trace gable.toml --gust 40 --json"),
    ),
}  # fmt: skip


def in_words(term: str) -> str:
    """Say what an option takes without a programmer's words; the name of an argument says it already.

    Args:
        term: as the parser writes it; its kinds of value differ from release to release.

    Example:
        >>> in_words("--gust <str>"), in_words("FILE <str>"), in_words("--budget FLOAT RANGE"), in_words("--json")
        ('--gust TEXT', 'FILE', '--budget NUMBER', '--json')
    """
    found = _KIND.search(term)
    if found is None:
        return term
    name, kind = term[: found.start()], found[0].lower()
    if not name.startswith("-"):
        return name
    word = "NUMBER" if "int" in kind or "float" in kind else "PATH" if "path" in kind else "TEXT"
    return f"{name} {word}"


# Options that may stand without a value: by command, the value they have then. An address is known by its "://".
ALONE = {"watch": {"--fetch": "https://api.weather.gov"}}


def with_values(command: str, words: list[str]) -> list[str]:
    """Give the words of a command, each option that stands alone with the value it has then.

    Args:
        command: its name.
        words: as typed after it.

    Example:
        >>> with_values("watch", ["--fetch", ".", "--daily"])
        ['--fetch', 'https://api.weather.gov', '.', '--daily']
    """
    found: list[str] = []
    for k, word in enumerate(words):
        found.append(word)
        if word in ALONE.get(command, {}) and "://" not in "".join(words[k + 1 : k + 2]):
            found.append(ALONE[command][word])
    return found


class PartedCommand(TyperCommand):
    """A command whose help lists its options part by part, the command's own first, and ends with examples."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401  (the parser's own types)
        """Read what was typed.

        Args:
            ctx: the parser's context.
            args: the words.
        """
        return list(super().parse_args(ctx, with_values(ctx.info_name or "", args)))

    def format_options(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401  (the parser's own types)
        """Write the options.

        Args:
            ctx: the parser's context.
            formatter: what writes the page.
        """
        parts: dict[str, list[tuple[str, str]]] = {FIRST: []}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record is not None:
                term, about = record
                parts.setdefault(getattr(param, "rich_help_panel", None) or FIRST, []).append(
                    (in_words(term), about)
                )
        for name, records in parts.items():
            if records:
                with formatter.section(name):
                    formatter.write_dl(records, col_max=min(WIDEST_TERM, formatter.width // 2 - 4))

    def format_epilog(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401
        """Write two commands to copy.

        Args:
            ctx: the parser's context.
            formatter: what writes the page.
        """
        from bracing.text.page import Page

        page = Page(width=formatter.width)
        for about, words in EXAMPLES.get(ctx.info_name or "", ()):
            lines = (*page.para(f"Example, {about}:"), *page.command(words))
            formatter.write("\n" + "".join(f"{line}\n" for line in lines))


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
    """Load the commands of one module: its functions of their names; one that asks for what is given takes a wall.

    Args:
        module: its name among the modules of commands.

    Returns:
        The parser's commands, by name.
    """
    from bracing.commands.wall_options import takes_cautions, takes_wall

    part = typer.Typer(add_completion=False, rich_markup_mode=None)
    part.callback()(_nothing)  # a part of one command is a group too
    home = importlib.import_module(f"bracing.commands.{module}")
    for name in (name for name, (where, _) in COMMANDS.items() if where == module):
        command = getattr(home, name)
        takes = inspect.signature(command).parameters
        command = takes_wall(command) if "given" in takes else command
        command = takes_cautions(command) if {"metric", "workers"} & set(takes) else command
        part.command(name, cls=PartedCommand)(command)
    return dict(typer.main.get_group(part).commands)


def _nothing() -> None:
    return None
