"""`bracing storm`, `built`, `stages` and `walls`: before the storm, and every stage in between."""

from __future__ import annotations

import sys
import time
from contextlib import nullcontext
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer
from attrs import frozen

from bracing.commands.check import JSON, METRIC
from bracing.commands.help import PartedCommand
from bracing.commands.output import (
    BAD_INPUT,
    INTERRUPTED,
    NOT_WITHIN,
    WITHIN,
    as_json,
    finish,
    page_width,
    status_of,
)
from bracing.commands.wall_options import Given, quoted, takes_wall

if TYPE_CHECKING:
    from bracing.clock import Clock
    from bracing.forecast import Forecast
    from bracing.job import Job
    from bracing.storm.answer import StormResult
    from bracing.tables.page import Page

SAY_EVERY_S = 2.0
MANY_WALLS = 4  # from this many walls on, a job is spread over the cores

GUST = typer.Option(help="the gust of the forecast, such as 50 (mph)", show_default=False)
SUSTAINED = typer.Option(help="the sustained speed, where the forecast gives no gust", show_default=False)
WIND = typer.Option(help="refused: say --gust or --sustained", show_default=False, hidden=True)
STORMS = typer.Option("--storms", help="thunderstorms are in the forecast: plan for no less than 58 mph")
FROM = typer.Option("--from", help='from when, such as "Fri 8 pm"; now unless given', show_default=False)
UNTIL = typer.Option(help='until when, such as "Sat 6 am"', show_default=False)
FORECAST = typer.Option(help="a CSV or JSON file with the forecast hour by hour", show_default=False)
COLUMNS = typer.Option(help='which column is which, such as "time=valid, gust=peak"', show_default=False)
UNIT = typer.Option(help="unit of its speeds: mph, kt, km/h or m/s", show_default=False)
ZONE = typer.Option(
    help="time zone, such as America/Chicago; the computer's own unless given", show_default=False
)
LEAD = typer.Option(help="how long before the clear-out gust everybody is out")
SHORT = typer.Option("--short", help="five lines for a text message")
WRITE = typer.Option("--write", help="write the work of the rungs into the wall file")
DAY_GUST = typer.Option(help="gust of the day, for the hook", show_default=False)
ORDER = typer.Option(help="braces go up as given in the file, or from the middle outward: given, middle")
KEEP = typer.Option(help="gust no removal goes below; --gust unless given", show_default=False)
DECK_TAKES = typer.Option(
    help='level load a deck along the top may take, such as "120 lb/ft"', show_default=False
)
DONE = typer.Option(help='an event that has happened, such as "left return tied"; repeat', show_default=False)
TAKE_OUT = typer.Option(help="ask whether this brace may come out now", show_default=False)
OUT = typer.Option(help="file of results; LIST.checked.csv unless given", show_default=False)
WORKERS = typer.Option(help="processes; one a core unless given, 1 works in this one", show_default=False)
DASK = typer.Option(help='address of a Dask scheduler, or "local"; needs the extra many', show_default=False)
NOW = typer.Option(
    help="the present moment, such as 2026-03-06 15:00, for a repeatable answer", show_default=False
)


def register(app: typer.Typer) -> None:
    """Add the commands.

    Args:
        app: the command line.
    """
    app.command("storm", cls=PartedCommand)(takes_wall(storm))
    app.command("built", cls=PartedCommand)(built)
    app.command("stages", cls=PartedCommand)(takes_wall(stages))
    app.command("walls", cls=PartedCommand)(walls)


def storm(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    sustained: Annotated[str | None, SUSTAINED] = None,
    wind: Annotated[str | None, WIND] = None,
    storms: Annotated[bool, STORMS] = False,
    start: Annotated[str | None, FROM] = None,
    until: Annotated[str | None, UNTIL] = None,
    forecast: Annotated[str | None, FORECAST] = None,
    columns: Annotated[str | None, COLUMNS] = None,
    unit: Annotated[str | None, UNIT] = None,
    zone: Annotated[str | None, ZONE] = None,
    lead: Annotated[str, LEAD] = "2h",
    short: Annotated[bool, SHORT] = False,
    write: Annotated[bool, WRITE] = False,
    now: Annotated[str | None, NOW] = None,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Hold a forecast against a wall, or a folder of walls: when to be out, and what to add."""
    clock = clock_of(now, zone)
    typed = {"gust": gust, "sustained": sustained, "wind": wind, "start": start, "until": until}
    series = {"columns": columns, "unit": unit, "zone": zone}
    if forecast is None:
        asked = _typed(clock, typed, series, storms=storms)
    else:
        asked = _series(forecast, clock, typed, series, storms=storms)
        clock = evolve_clock(clock, asked)
    page = {"short": short, "json": json, "metric": metric, "write": write}
    answer = _answer(given, asked, clock, lead)
    if given.file is not None and Path(given.file).is_dir():
        _folder(Path(given.file), answer, page)
    _one(given, answer, page)


def built(
    file: Annotated[str, typer.Argument(metavar="FILE", help="the wall file", show_default=False)],
    *,
    by: Annotated[str | None, typer.Option(help="who walks, by role", show_default=False)] = None,
    zone: Annotated[str | None, ZONE] = None,
    now: Annotated[str | None, NOW] = None,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Walk a wall brace by brace, and write what is really up into its file."""
    from bracing.reading import read_job
    from bracing.tables.built import built_page
    from bracing.tables.page import Page
    from bracing.walk import Journal, walk
    from bracing.walk_file import write_walk

    clock, job = clock_of(now, zone), read_job(file)
    journal = Journal(Path(f"{file}.walk"), job.sha256)
    try:
        found = walk(job, _ask, print_line, journal=journal)
        role = by or _ask("Who walked it, by role (such as lead framer)? > ").strip()
    except (KeyboardInterrupt, EOFError):
        sys.stderr.write("\nbroken off: the answers are kept; the same command goes on from there\n")
        raise typer.Exit(INTERRUPTED) from None
    as_built = write_walk(found, role, clock)
    journal.drop()
    finish(built_page(found, as_built, Page(width=page_width(), metric=metric)))


def _ask(prompt: str) -> str:
    return input(prompt)


def print_line(text: str) -> None:
    """Show a line of a dialogue.

    Args:
        text: the line.
    """
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def stages(
    given: Given,
    *,
    gust: Annotated[str | None, DAY_GUST] = None,
    order: Annotated[str, ORDER] = "given",
    keep: Annotated[str | None, KEEP] = None,
    deck_takes: Annotated[str | None, DECK_TAKES] = None,
    done: Annotated[list[str] | None, DONE] = None,
    take_out: Annotated[str | None, TAKE_OUT] = None,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Take a wall from its first brace to its last one out."""
    from bracing.commands.check import asked_gust
    from bracing.reading.values import line_load
    from bracing.stages import stages as staged
    from bracing.tables.page import Page
    from bracing.tables.stages import stages_page

    job, day = given.job(), asked_gust(gust, sustained=False)
    deck = None if deck_takes is None else line_load(deck_takes, field="--deck-takes")
    kept = day if keep is None else _speed(keep, "--keep")
    page = Page(width=page_width(), metric=metric)
    if take_out is not None or done:
        _removal(job, take_out, tuple(done or ()), kept=kept, deck=deck, page=None if json else page)
    result = staged(job, gust=day, order=order, keep=kept, deck=deck)
    status = status_of(result.verdict)
    if json:
        finish(as_json(result.to_dict()), status)
    finish(stages_page(result, page, command=_command()), status)


def _speed(text: str, field: str) -> float:
    from bracing.units import speed

    return speed(text, field=field)


def _removal(
    job: Job,
    mark: str | None,
    done: tuple[str, ...],
    *,
    kept: float | None,
    deck: float | None,
    page: Page | None,
) -> NoReturn:
    from bracing.clock import refuse
    from bracing.results import header
    from bracing.stages import with_return
    from bracing.tables.stages import removal_page
    from bracing.take_down import ask_removal

    if mark is None:
        refuse("--done", ", ".join(done), "--take-out with the mark of a brace beside it")
    if kept is None:
        refuse("--take-out", mark, "--keep (or --gust) beside it: the gust no removal goes below")
    asked = ask_removal(job, mark, done=done, keep=kept, deck=deck, with_return=with_return)
    status = WITHIN if asked.allowed else NOT_WITHIN
    if page is None:
        finish(as_json({**header(job, "removal"), "keep_mph": kept, **asked.to_dict()}), status)
    finish(removal_page(asked, page, keep=kept), status)


def walls(
    file: Annotated[str, typer.Argument(metavar="LIST.csv", help="one wall a row", show_default=False)],
    *,
    gust: Annotated[str, GUST],
    storms: Annotated[bool, STORMS] = False,
    out: Annotated[str | None, OUT] = None,
    workers: Annotated[int | None, WORKERS] = None,
    dask: Annotated[str | None, DASK] = None,
    json: Annotated[bool, JSON] = False,
) -> None:
    """Check a builder's list of walls, one a row; taken up again where it was broken off."""
    from bracing.many import Asked, check_list
    from bracing.tables.many import list_page
    from bracing.tables.page import Page
    from bracing.workers import spread

    source = Path(file)
    target = source.with_suffix(".checked.csv") if out is None else Path(out)
    asked = Asked(_speed(gust, "--gust"), storms, str(source.parent))
    with spread(workers, dask) as executor:
        counts = check_list(source, target, asked, executor=executor, progress=Progress())
    status = BAD_INPUT if counts.bad else status_of("within" if counts.all_within else "over")
    if json:
        finish(as_json(counts.to_dict(target)), status)
    finish(list_page(counts, target, Page(width=page_width())), status)


class Progress:
    """Says on stderr how far it is, no more than once in two seconds."""

    def __init__(self) -> None:
        self.start = self.said = time.monotonic()
        self.first: int | None = None

    def __call__(self, done: int) -> None:
        """Say it.

        Args:
            done: rows done.
        """
        now = time.monotonic()
        self.first = done - 1 if self.first is None else self.first
        if now - self.said >= SAY_EVERY_S:
            self.said = now
            sys.stderr.write(f"{done} walls, {(done - self.first) / (now - self.start):.1f} a second\n")


def clock_of(now: str | None, zone: str | None) -> Clock:
    """Give the clock of the place.

    Args:
        now: the present moment as written, or None.
        zone: its zone as written, or None.
    """
    from bracing.clock import Clock, zone_named
    from bracing.forecast import utc_now

    found = Clock(utc_now(), zone_named(zone, field="--zone"))
    return found if now is None else Clock(_stamp(now, found), found.zone)


def _stamp(text: str, clock: Clock) -> datetime:
    """A date and time, of any day: --now repeats an answer given before."""
    from bracing.clock import refuse

    try:
        stamp = datetime.fromisoformat(text)
    except ValueError:
        refuse("--now", text, 'a date and time, such as "2026-03-06 15:00"')
    return stamp.astimezone(UTC) if stamp.tzinfo else clock.at(stamp, field="--now")


def evolve_clock(clock: Clock, forecast: Forecast) -> Clock:
    """Give the clock in the zone a series declares.

    Args:
        clock: the clock as asked.
        forecast: the series.
    """
    from bracing.clock import Clock

    return Clock(clock.now, forecast.zone)


def _typed(
    clock: Clock, typed: dict[str, str | None], series: dict[str, str | None], *, storms: bool
) -> Forecast:
    from bracing.clock import refuse
    from bracing.forecast import refuse_bare_wind, typed_forecast

    wind = typed.pop("wind")
    if wind is not None:
        refuse_bare_wind(wind, "--wind", answers=(f"--sustained {wind}", f"--gust {wind}"))
    for name in ("columns", "unit"):
        if series[name] is not None:
            refuse(f"--{name}", series[name], "a --forecast file beside it")
    return typed_forecast(clock, storms=storms, **typed)


def _series(
    path: str, clock: Clock, typed: dict[str, str | None], series: dict[str, str | None], *, storms: bool
) -> Forecast:
    from bracing.clock import refuse
    from bracing.reading_forecast import Declared, read_columns, read_forecast

    options = {"start": "from"}
    for name, value in typed.items():
        if value is not None:
            refuse(f"--{options.get(name, name)}", value, "it in the --forecast file, or no file")
    columns = read_columns(series["columns"]) if series["columns"] else {}
    told = Declared(columns=columns, unit=series["unit"], zone=series["zone"], storms=storms)
    return read_forecast(path, clock, told)


# -- answers ---------------------------------------------------------------------------------------------


@frozen
class Asking:
    """One forecast, ready to be held against any wall; can be sent to another process.

    Attributes:
        forecast: the forecast.
        clock: the clock of the place.
        lead: time kept in hand [s].
        stands: how long the walls stand, where the command says so [s].
    """

    forecast: Forecast
    clock: Clock
    lead: float
    stands: float | None

    def __call__(self, job: Job) -> StormResult:
        """Answer for one wall."""
        from bracing.storm.answer import storm as answered
        from bracing.storm.standing import standing

        stands = job.site.stands if self.stands is None else self.stands
        time = None if stands is None else standing(self.clock, stands, job.site.design_speed)
        return answered(job, self.forecast, self.clock, lead=self.lead, standing=time)


def _answer(given: Given, forecast: Forecast, clock: Clock, lead: str) -> Asking:
    """Take --stands off the options where a file is given: it says how long, not what the wall is."""
    from bracing.units import duration

    stands = given.options.pop("stands", None) if given.file is not None else None
    standing = None if stands is None else duration(stands, field="--stands")
    return Asking(forecast, clock, duration(lead, field="--lead"), standing)


def _one(given: Given, answer: Asking, page: dict[str, bool]) -> NoReturn:
    from bracing.tables.page import Page
    from bracing.tables.storm import short_text, storm_page

    if page["write"] and given.file is None:
        refuse_write()
    result = answer(given.job())
    status = status_of(result.verdict)
    if page["write"]:
        write_rungs(result)
    if page["json"]:
        finish(as_json(result.to_dict()), status)
    paper = Page(width=page_width(), metric=page["metric"])
    if page["short"]:
        finish(short_text(result, paper), status)
    text = storm_page(result, paper, command=_command())
    finish(text + ("\nWritten into the file." if page["write"] else ""), status)


def _folder(folder: Path, answer: Asking, page: dict[str, bool]) -> NoReturn:
    from concurrent.futures import ProcessPoolExecutor

    from bracing.reading import read_job
    from bracing.storm.folder import storm_folder, wall_files
    from bracing.tables.page import Page
    from bracing.tables.storm import job_page, short_text

    files = wall_files(folder)
    if page["write"]:
        refuse_write()
    spread = ProcessPoolExecutor() if len(files) >= MANY_WALLS else nullcontext()
    with spread as executor:
        job = storm_folder(files, answer, read_job, executor=executor)
    for fault in job.faults:
        sys.stderr.write(f"{fault}\n")
    status = BAD_INPUT if job.faults else status_of(job.verdict)
    if page["json"]:
        finish(as_json(job.to_dict()), status)
    paper = Page(width=page_width(), metric=page["metric"])
    if page["short"]:
        finish("\n\n".join(short_text(result, paper) for result in job.results), status)
    finish(job_page(job, paper), status)


def refuse_write() -> NoReturn:
    """Refuse to write rungs where there is no one file to write into."""
    from bracing.clock import refuse

    refuse("--write", "no one wall file", "one wall file to write into")


def write_rungs(result: StormResult) -> None:
    """Write the work of the rungs into the wall file; without any, the file stays as it is.

    Args:
        result: the answer.
    """
    from bracing.storm_file import write_ladder

    if result.ladder is not None and result.ladder.covers:
        write_ladder(result.job, result.ladder, result.clock.local(result.clock.now))


def _command() -> str:
    """The command as typed, for the next one."""
    return " ".join(["bracing", *(quoted(word) for word in sys.argv[1:])])
