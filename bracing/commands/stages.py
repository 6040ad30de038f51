"""`bracing built` and `bracing stages`: what is really up, and every stage from the first brace to the last."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn, TextIO

import typer

from bracing.commands.check import ALL, JSON, METRIC
from bracing.commands.output import (
    INTERRUPTED,
    LANGUAGE,
    NOT_WITHIN,
    PROGRESS,
    WITHIN,
    as_json,
    finish,
    language_of,
    page_of,
    put,
    say_stopped,
    status_of,
    tell,
)
from bracing.commands.storms import COLUMNS, NOW, STORMS, UNIT, ZONE, as_typed, clock_of, forecast_of
from bracing.commands.wall_options import Given, quoted
from bracing.errors import NEWLINE, visible
from bracing.said import Said

if TYPE_CHECKING:
    from bracing.job.job import Job
    from bracing.stages.take_down import Kept
    from bracing.stages.walk import Journal
    from bracing.text.page import Page

DAY_GUST = typer.Option(help="gust of the day, for the hook", show_default=False)
ORDER = typer.Option(help="braces go up as given in the file, or from the middle outward: given, middle")
KEEP = typer.Option(
    help="a brace comes out only where the clear-out gust after it is over this; --gust unless given",
    show_default=False,
)
FORECAST = typer.Option(
    help="pasted text, CSV or JSON, hour by hour: its worst hour counts if worse", show_default=False
)
UNTIL = typer.Option(help='until when, such as "Sat 6 am"', show_default=False)
DECK_TAKES = typer.Option(
    help='level load a deck along the top may take, such as "120 lb/ft"', show_default=False
)
DONE = typer.Option(help='an event that has happened, such as "left return tied"; repeat', show_default=False)
BUDGET_HELP = typer.Option(help="seconds to look for braces that may come out", min=0.0, max=3600.0)
TAKE_OUT = typer.Option(help="ask whether this brace may come out now", show_default=False)


def built(
    file: Annotated[str, typer.Argument(metavar="FILE", help="the wall file", show_default=False)],
    *,
    by: Annotated[str | None, typer.Option(help="who walks, by role", show_default=False)] = None,
    zone: Annotated[str | None, ZONE] = None,
    now: Annotated[str | None, NOW] = None,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
    language: Annotated[str | None, LANGUAGE] = None,
) -> None:
    """Walk a wall, brace by brace and past all it counts on, and write what is up into its file."""
    from bracing.reading.jobs import job_of
    from bracing.reading.looking import look, planned_facts
    from bracing.reading.source import read_source
    from bracing.reading.writing import write_walk
    from bracing.stages.walk import beside_plan, walk
    from bracing.storm.clock import refuse
    from bracing.text.page import in_both
    from bracing.text.stages import built_page

    clock, job = clock_of(now, zone), job_of(read_source(file))  # as its file has it: a walk is of the file
    if not job.wall.up:
        refuse(
            "wall.state", job.wall.state, "standing or tied in: a wall is walked once it is up", file=job.file
        )
    journal = _journal(job, by or "")
    stream = sys.stderr if json else sys.stdout  # the dialogue goes where the JSON does not
    page = page_of(metric=metric, language=language_of(language, file))
    ask, say = asker(stream, page), partial(print_line, stream=stream, page=page)
    try:
        found, looked = look(walk(job, ask, say, journal=journal), ask, say, journal=journal)
        role = by or ask(page.line(Said("walked-by-whom"))).strip()
    except (KeyboardInterrupt, EOFError):
        tell("\nbroken off: the answers are kept; the same command goes on from there")
        raise typer.Exit(INTERRUPTED) from None
    as_built = journal.finish(
        partial(write_walk, found, looked, by=role, clock=clock), by=role, when=clock.stamp
    )
    result = beside_plan(found, as_built, planned_facts(job))
    if json:
        finish(as_json(result.to_dict()))
    finish(in_both(page, lambda on: built_page(result, on, wall=quoted(file))))


def _journal(job: Job, by: str) -> Journal:
    """What keeps the answers of a walk: the log of the folder, where one was begun; else a file beside the wall's."""
    from bracing.reading.log import log_of
    from bracing.stages.walk import Journal

    path = log_of(Path(job.file))
    if path is None:
        return Journal(Path(f"{job.file}.walk"), job.sha256)
    from bracing.site.walks import taken_up

    return taken_up(path, job, who=" ".join(by.split()))


def asker(stream: TextIO, page: Page) -> Callable[[Said | str], str]:
    """Give what shows a prompt on a stream and reads the answer.

    Args:
        stream: stdout, where a terminal may edit the line; or another.
        page: how it is written.
    """

    def ask(question: Said | str) -> str:
        shown = wrapped(question, page) + ("\n> " if isinstance(question, Said) else " > ")
        if stream is sys.stdout:
            return input(visible(shown, keep=NEWLINE))
        put(stream, shown)
        return input()

    return ask


def wrapped(text: Said | str, page: Page) -> str:
    """Wrap each line of a text to the terminal.

    Args:
        text: the lines, or what is said.
        page: how it is written.
    """
    return "\n".join(row for line in page.line(text).splitlines() for row in page.para(line))


def print_line(text: Said | str, *, stream: TextIO, page: Page) -> None:
    """Show a line of a dialogue.

    Args:
        text: the line.
        stream: where.
        page: how it is written.
    """
    put(stream, f"{wrapped(text, page)}\n")


def stages(
    given: Given,
    *,
    gust: Annotated[str | None, DAY_GUST] = None,
    order: Annotated[str, ORDER] = "given",
    keep: Annotated[str | None, KEEP] = None,
    storms: Annotated[bool, STORMS] = False,
    forecast: Annotated[str | None, FORECAST] = None,
    columns: Annotated[str | None, COLUMNS] = None,
    unit: Annotated[str | None, UNIT] = None,
    until: Annotated[str | None, UNTIL] = None,
    zone: Annotated[str | None, ZONE] = None,
    now: Annotated[str | None, NOW] = None,
    deck_takes: Annotated[str | None, DECK_TAKES] = None,
    done: Annotated[list[str] | None, DONE] = None,
    take_out: Annotated[str | None, TAKE_OUT] = None,
    budget: Annotated[float, BUDGET_HELP] = 60.0,
    whole: Annotated[bool, ALL] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Take a wall from its first brace to its last one out."""
    from attrs import evolve

    from bracing.commands.check import asked_gust
    from bracing.reading.values import line_load
    from bracing.stages.stages import in_order
    from bracing.stages.stages import stages as staged
    from bracing.storm.answer import kept_through
    from bracing.text.stages import stages_page

    job, day = given.job(), asked_gust(gust, sustained=False)
    deck = None if deck_takes is None else line_load(deck_takes, field="--deck-takes")
    series = {"columns": columns, "unit": unit, "zone": zone}
    said = day if keep is None else _speed(keep, "--keep")
    typed = None if said is None else f"{said:g}"
    clock, told = forecast_of(
        forecast, clock_of(now, zone), {"gust": typed, "until": until}, series, storms=storms
    )
    job = evolve(job, braces=in_order(job, order))
    kept = None if told is None and said is None else kept_through(job, told, clock, gust=said)
    page = page_of(metric=metric, whole=whole)
    PROGRESS.begin("taking the wall through its stages, a brace at a time")
    if take_out is not None or done:
        _removal(job, take_out, tuple(done or ()), kept=kept, deck=deck, page=None if json else page)
    result = staged(job, gust=day, keep=kept, deck=deck, thunderstorm=storms, budget=budget)
    if result.take_down is not None and result.take_down.stopped:
        say_stopped("more braces may come out than are named", budget)
    status = status_of(result.verdict)
    if json:
        finish(as_json(result.to_dict()), status)
    finish(stages_page(result, page, command=as_typed(), wall=given.words()), status)


def _speed(text: str, field: str) -> float:
    from bracing.units import speed

    return speed(text, field=field)


def _removal(
    job: Job,
    mark: str | None,
    done: tuple[str, ...],
    *,
    kept: Kept | None,
    deck: float | None,
    page: Page | None,
) -> NoReturn:
    from bracing.results import header
    from bracing.stages.take_down import ask_removal
    from bracing.storm.clock import refuse
    from bracing.text.stages import removal_page

    if mark is None:
        refuse("--done", ", ".join(done), "--take-out with the mark of a brace beside it")
    if kept is None:
        refuse("--take-out", mark, "--gust, --keep or --forecast beside it: the wind it comes out in")
    asked = ask_removal(job, mark, done=done, keep=kept, deck=deck)
    status = WITHIN if asked.allowed else NOT_WITHIN
    if page is None:
        finish(as_json({**header(job, "removal"), **kept.to_dict(), **asked.to_dict()}), status)
    finish(removal_page(asked, page, keep=kept), status)
