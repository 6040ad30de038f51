"""`bracing storm`: a forecast against a wall, or against the walls of a job."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer
from attrs import evolve

from bracing.commands.check import ALL, JSON, METRIC, STRICT
from bracing.commands.output import (
    BAD_INPUT,
    LANGUAGE,
    PROGRESS,
    as_json,
    finish,
    language_of,
    page_of,
    say_stopped,
    status_of,
    tell,
)
from bracing.commands.wall_options import Given, quoted
from bracing.said import LANGUAGES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bracing.reading.crew import Crew
    from bracing.storm.answer import StormResult
    from bracing.storm.clock import Clock
    from bracing.storm.folder import Asking
    from bracing.storm.forecast import Forecast
    from bracing.text.page import Page

LONGEST_STAND_S = 3652.5 * 86400.0
MANY_WALLS = 4  # from this many walls on, a job is spread over the cores

GUST = typer.Option(help="the gust of the forecast, such as 50 (mph)", show_default=False)
SUSTAINED = typer.Option(help="the sustained speed, where the forecast gives no gust", show_default=False)
WIND = typer.Option(help="refused: say --gust or --sustained", show_default=False, hidden=True)
STORMS = typer.Option("--storms", help="thunderstorms are in the forecast: plan for no less than 58 mph")
FROM = typer.Option("--from", help='from when, such as "Fri 8 pm"; now unless given', show_default=False)
UNTIL = typer.Option(help='until when, such as "Sat 6 am"', show_default=False)
FORECAST = typer.Option(
    help="the forecast hour by hour: pasted text, CSV, JSON or a page of an open form; - is what you paste in",
    show_default=False,
)
COLUMNS = typer.Option(help='which column is which, such as "time=valid, gust=peak"', show_default=False)
UNIT = typer.Option(help="unit of its speeds: mph, kt, km/h or m/s", show_default=False)
ZONE = typer.Option(
    help="time zone, such as America/Chicago; the computer's own unless given", show_default=False
)
LEAD = typer.Option(help="how long before the clear-out gust everybody is out")
SHORT = typer.Option("--short", help="five lines for a text message")
BUDGET_HELP = typer.Option(help="seconds to look for the least work before it", min=0.0, max=3600.0)
WRITE = typer.Option("--write", help="write the work of the rungs into the wall file")
PEOPLE = typer.Option(
    help="of a folder, what first: how many people there are; they work in pairs", show_default=False
)
HOURS = typer.Option(help="of a folder, what first: how long they have, such as 3", show_default=False)
ON_HAND = typer.Option(
    help='of a folder, what first: with nothing but this, such as "1 box 0.22x3, 200 screws, 6 2x4x16"',
    show_default=False,
)
NOW = typer.Option(
    help="the present moment, such as 2026-03-06 15:00, for a repeatable answer", show_default=False
)


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
    people: Annotated[str | None, PEOPLE] = None,
    hours: Annotated[str | None, HOURS] = None,
    on_hand: Annotated[str | None, ON_HAND] = None,
    short: Annotated[bool, SHORT] = False,
    write: Annotated[bool, WRITE] = False,
    strict: Annotated[bool, STRICT] = False,
    now: Annotated[str | None, NOW] = None,
    budget: Annotated[float, BUDGET_HELP] = 10.0,
    whole: Annotated[bool, ALL] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
    language: Annotated[str | None, LANGUAGE] = None,
) -> None:
    """Hold a forecast against a wall, or a folder of walls: when to be out, and what to add."""
    from bracing.reading.crew import crew_of
    from bracing.storm.clock import refuse

    clock = clock_of(now, zone)
    typed = {"gust": gust, "sustained": sustained, "wind": wind, "start": start, "until": until}
    series = {"columns": columns, "unit": unit, "zone": zone}
    if forecast is None:
        asked = _typed(clock, typed, series, storms=storms)
    else:
        asked = _series(forecast, clock, typed, series, storms=storms)
        clock = evolve_clock(clock, asked)
    crew = {"people": people, "hours": hours, "on_hand": on_hand}
    page = {"short": short, "json": json, "metric": metric, "write": write, "strict": strict, "whole": whole}
    spoken = language_of(language, given.file)
    if language is not None and spoken != LANGUAGES[0] and not short:
        tell("--language: of storm only --short has other words than English")
    spoken = spoken if short else LANGUAGES[0]
    answer = evolve(_answer(given, asked, clock, lead), budget=budget)
    if given.file is not None and Path(given.file).is_dir():
        _folder(Path(given.file), answer, page, crew_of(crew), language=spoken)
    for name, value in crew.items():
        if value is not None:
            refuse(f"--{name.replace('_', '-')}", value, "a folder of walls to choose from")
    _one(given, answer, page, language=spoken)


def clock_of(now: str | None, zone: str | None) -> Clock:
    """Give the clock of the place.

    Args:
        now: the present moment as written, or None.
        zone: its zone as written, or None.
    """
    from bracing.storm.clock import Clock, zone_named
    from bracing.storm.forecast import utc_now

    found = Clock(utc_now(), zone_named(zone, field="--zone"))
    return found if now is None else Clock(_stamp(now, found), found.zone)


def _stamp(text: str, clock: Clock) -> datetime:
    """A date and time, of any day: --now repeats an answer given before."""
    from bracing.storm.clock import refuse, this_century

    try:
        stamp = datetime.fromisoformat(text)
    except ValueError:
        refuse("--now", text, 'a date and time, such as "2026-03-06 15:00"')
    stamp = this_century(stamp, "--now")
    return stamp.astimezone(UTC) if stamp.tzinfo else clock.at(stamp, field="--now")


def evolve_clock(clock: Clock, forecast: Forecast) -> Clock:
    """Give the clock in the zone a series declares.

    Args:
        clock: the clock as asked.
        forecast: the series.
    """
    from bracing.storm.clock import Clock

    return Clock(clock.now, forecast.zone)


def _typed(
    clock: Clock, typed: dict[str, str | None], series: dict[str, str | None], *, storms: bool
) -> Forecast:
    from bracing.storm.clock import refuse
    from bracing.storm.forecast import refuse_bare_wind, typed_forecast

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
    from bracing.reading.forecast import Declared, read_columns, read_forecast
    from bracing.storm.clock import refuse

    options = {"start": "from"}
    for name, value in typed.items():
        if value is not None:
            refuse(f"--{options.get(name, name)}", value, "it in the --forecast file, or no file")
    columns = read_columns(series["columns"]) if series["columns"] else {}
    told = Declared(columns=columns, unit=series["unit"], zone=series["zone"], storms=storms)
    return read_forecast(path, clock, told)


def forecast_of(
    path: str | None,
    clock: Clock,
    typed: dict[str, str | None],
    series: dict[str, str | None],
    *,
    storms: bool,
) -> tuple[Clock, Forecast | None]:
    """Read what a person says of the wind to come, beside a gust of today.

    Args:
        path: a file of a forecast; None where it is typed.
        clock: the clock of the place.
        typed: the gust, and until when, as typed.
        series: columns, unit and zone of the file.
        storms: thunderstorms are in the forecast.

    Returns:
        The clock, in the zone a file declares; and the forecast, None where nothing was said.
    """
    if path is not None:
        found = _series(path, clock, {"until": typed["until"]}, series, storms=storms)
        return evolve_clock(clock, found), found
    if not storms and typed["until"] is None and not any((series["columns"], series["unit"])):
        return clock, None
    none = {"sustained": None, "wind": None, "start": None}
    return clock, _typed(clock, {**none, **typed}, series, storms=storms)


# -- answers ---------------------------------------------------------------------------------------------


def _answer(given: Given, forecast: Forecast, clock: Clock, lead: str) -> Asking:
    """Take --stands off the options where a file is given: it says how long, not what the wall is."""
    from bracing.reading.crew import LONGEST_LEAD_S, time_of
    from bracing.storm.folder import Asking

    stands = given.options.pop("stands", None) if given.file is not None else None
    standing = None if stands is None else time_of(stands, "--stands", LONGEST_STAND_S)
    return Asking(forecast, clock, time_of(lead, "--lead", LONGEST_LEAD_S), standing)


def _one(given: Given, answer: Asking, page: dict[str, bool], *, language: str) -> NoReturn:
    from bracing.text.page import in_both
    from bracing.text.storm import short_text, storm_page

    if page["write"] and given.file is None:
        refuse_write()
    job = given.job()
    PROGRESS.begin("holding the forecast against the wall, and looking for the least work that covers it")
    result = answer(job)
    if result.ladder is not None and result.ladder.stopped:
        say_stopped("less work may do", answer.budget or 0.0)
    status = status_of(result.verdict, out=result.out_at is not None)
    written = (
        write_steps(result, page_of(metric=page["metric"], whole=page["whole"])) if page["write"] else ""
    )
    if page["json"]:
        finish(as_json(result.to_dict()), status)
    paper = page_of(metric=page["metric"], whole=page["whole"], language=language)
    if page["short"]:
        finish(in_both(paper, lambda on: short_text(result, on)), status)
    text = storm_page(result, paper, command=as_typed(), wall=given.words(), written=page["write"])
    finish(f"{text}\n{written}" if written else text, status)


def _folder(
    folder: Path, answer: Asking, page: dict[str, bool], crew: Crew | None = None, *, language: str
) -> NoReturn:
    from concurrent.futures import ProcessPoolExecutor

    from bracing.reading.jobs import read_job
    from bracing.reading.source import wall_folder
    from bracing.storm.folder import storm_folder
    from bracing.text.page import in_both
    from bracing.text.storm import first_page, first_short, job_page, short_text

    found = wall_folder(folder)
    files = found.files
    if page["write"]:
        refuse_write()
    stock = None if crew is None else crew.stock(files)
    spread = ProcessPoolExecutor() if len(files) >= MANY_WALLS else nullcontext()
    with spread as executor:
        if executor is not None:
            executor.submit(int).result()  # its processes are begun before there is a thread
        PROGRESS.begin("holding the forecast against the walls of the folder")
        job = storm_folder(files, answer, read_job, executor=executor, left_out=found.left_out)
    if any(result.ladder is not None and result.ladder.stopped for result in job.results):
        say_stopped("less work may do", answer.budget or 0.0)
    if crew is not None:
        job = crew.first(job, answer.clock, stock)
    for fault in (*job.faults, *job.left_out):
        tell(str(fault))
    out = any(result.out_at is not None for result in job.results)
    unread = job.faults or (page["strict"] and job.left_out)
    status = BAD_INPUT if unread else status_of(job.verdict, out=out)
    if page["json"]:
        finish(as_json(job.to_dict()), status)
    paper, first = page_of(metric=page["metric"], whole=page["whole"], language=language), job.first
    if page["short"] and first is not None:
        finish(in_both(paper, lambda on: first_short(job, first, on)), status)
    if page["short"]:
        finish(in_both(paper, lambda on: "\n\n".join(short_text(each, on) for each in job.results)), status)
    finish(job_page(job, paper) if job.first is None else first_page(job, job.first, paper), status)


def refuse_write() -> NoReturn:
    """Refuse to write steps where there is no one file to write into."""
    from bracing.storm.clock import refuse

    refuse("--write", "no one wall file", "one wall file to write into")


def write_steps(result: StormResult, page: Page) -> str:
    """Write the work of the rungs into the wall file; without any, the file stays as it is.

    Args:
        result: the answer.
        page: how gusts are written.

    Returns:
        What was done, and of a file of an older edition how far its wall had gone.
    """
    from bracing.reading.writing import write_ladder
    from bracing.text.check import went_lines

    ladder = result.ladder
    if ladder is None or not ladder.covers or not (ladder.added or ladder.changes):
        why = "no work was looked for" if ladder is None else "no work was found that covers it"
        return f"Nothing was written into the file: {why}."
    write_ladder(result.job, ladder, result.clock.local(result.clock.now))
    return "\n".join(
        ["Written into the file.", *went_lines(evolve(result.check, effects=True), page, written=True)]
    )


def as_typed(*, but: Sequence[str] = ()) -> str:
    """Give the command as typed, for the next one; what was pasted is not there again, and goes into a file.

    Args:
        but: words that do not go into the next one.
    """
    words = ["bracing", *(word for word in sys.argv[1:] if word not in but)]
    pasted = (k for k in range(1, len(words)) if words[k] == "-" and words[k - 1] == "--forecast")
    for k in pasted:
        words[k] = "forecast.txt"
    return " ".join(quoted(word) if k else word for k, word in enumerate(words))
