"""`bracing box`: the walls of a job joined at their corners, and which brace may leave."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bracing.commands.check import ALL, JSON, METRIC, OVERWRITE
from bracing.commands.output import (
    LANGUAGE,
    NOT_WITHIN,
    PROGRESS,
    WITHIN,
    as_json,
    finish,
    language_of,
    page_of,
    say_stopped,
    status_of,
    tell,
)
from bracing.commands.storms import COLUMNS, NOW, STORMS, UNIT, ZONE, as_typed, clock_of, forecast_of

if TYPE_CHECKING:
    from bracing.stages.take_down import Kept
    from bracing.storm.clock import Clock

GUST = typer.Option(help="the highest gust up to the next event, such as 32 (mph)", show_default=False)
FORECAST = typer.Option(
    help="the forecast up to the next event: pasted text, CSV or JSON, hour by hour", show_default=False
)
UNTIL = typer.Option(help='until the next event, such as "Sat 6 am"', show_default=False)
DONE = typer.Option(
    help='what is done, such as "south/east: edges nailed" or "deck 1: laid"; repeat', show_default=False
)
TAKE_OUT = typer.Option(help="ask whether this brace may leave now, such as south:B2", show_default=False)
OUT = typer.Option(
    "-o", "--out", help="write the page of the job for the crew into this .html file", show_default=False
)
TRACE = typer.Option("--trace", help="the sums of each wall with its corners, step by step")
BUDGET_HELP = typer.Option(help="seconds to look for braces that may leave", min=0.0, max=3600.0)


def box(
    folder: Annotated[
        str,
        typer.Argument(
            metavar="JOB", help="the folder of the walls, with job.toml in it", show_default=False
        ),
    ],
    *,
    gust: Annotated[str | None, GUST] = None,
    storms: Annotated[bool, STORMS] = False,
    forecast: Annotated[str | None, FORECAST] = None,
    columns: Annotated[str | None, COLUMNS] = None,
    unit: Annotated[str | None, UNIT] = None,
    until: Annotated[str | None, UNTIL] = None,
    zone: Annotated[str | None, ZONE] = None,
    now: Annotated[str | None, NOW] = None,
    done: Annotated[list[str] | None, DONE] = None,
    take_out: Annotated[list[str] | None, TAKE_OUT] = None,
    budget: Annotated[float, BUDGET_HELP] = 60.0,
    out: Annotated[str | None, OUT] = None,
    overwrite: Annotated[bool, OVERWRITE] = False,
    trace: Annotated[bool, TRACE] = False,
    whole: Annotated[bool, ALL] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
    language: Annotated[str | None, LANGUAGE] = None,
) -> None:
    """Join the walls of a job at their corners: when to be out, and which brace may leave."""
    from bracing.box.report import report
    from bracing.reading.files import Output
    from bracing.reading.house import read_house, ticked
    from bracing.text.box import asked_page, box_page, traced_json, traced_page
    from bracing.text.page import in_both

    read = read_house(folder)
    house = ticked(read.house, tuple(done or ()))
    output = Output("-o", overwrite)
    if out is not None:
        from bracing.sheet.job_page import refuse_name

        refuse_name(Path(out), output, alone=not take_out)
    series = {"columns": columns, "unit": unit, "zone": zone}
    clock = clock_of(now, zone)
    kept = _kept(forecast, clock, {"gust": gust, "until": until}, series, storms=storms)
    PROGRESS.begin("solving the walls of the job together")
    for fault in read.left_out:
        tell(str(fault))
    asked = _one(tuple(take_out or ()), read.jobs)
    found = report(house, read.jobs, read.placed, kept=kept, asked=asked, budget=budget)
    if found.leaving.stopped:
        say_stopped("more braces may leave than are named", budget)
    page = page_of(metric=metric, whole=whole)
    spoken = page_of(metric=metric, whole=whole, language=language_of(language, folder))
    if out is not None:
        from bracing.sheet.job_page import job_page

        output.put(Path(out), job_page(found, read.placed, page).encode("utf-8"))
    if found.asked is not None:
        status = WITHIN if found.asked.why is None else NOT_WITHIN
        finish(
            as_json(found.to_dict()) if json else in_both(spoken, lambda on: asked_page(found, on)), status
        )
    status = status_of(found.verdict, out=found.people_out)
    if json:
        more = {"trace": traced_json(found)} if trace else {}
        finish(as_json({**found.to_dict(), **more}), status)
    if trace:
        finish(traced_page(found, page), status)
    again = as_typed(but=() if out is None else ("-o", "--out", "--overwrite", out))
    finish(in_both(spoken, lambda on: box_page(found, on, command=again, out=out)), status)


def _one(asked: tuple[str, ...], jobs: object) -> tuple[str, str] | None:
    from bracing.box.leaving import brace_asked
    from bracing.storm.clock import refuse

    if len(asked) > 1:
        refuse(
            "--take-out",
            " and ".join(asked),
            "one at a time: take it out, tick it in its file, and ask again",
        )
    return brace_asked(jobs, asked[0]) if asked else None  # type: ignore[arg-type]


def _kept(
    forecast: str | None,
    clock: Clock,
    typed: dict[str, str | None],
    series: dict[str, str | None],
    *,
    storms: bool,
) -> Kept | None:
    """The highest gust up to the next event, and whether thunderstorms are in it; None where nobody said."""
    from bracing.commands.check import asked_gust
    from bracing.said import Said
    from bracing.stages.take_down import Kept
    from bracing.storm.forecast import from_now_on, up_to

    today, until = asked_gust(typed["gust"], sustained=False), typed["until"]
    typed = {"gust": None if today is None else f"{today:g}", "until": until if forecast is None else None}
    clock, told = forecast_of(forecast, clock, typed, series, storms=storms)
    if told is None:
        return None if today is None else Kept(today)
    ahead = from_now_on(told, clock.now)
    if forecast is not None and until is not None:
        ahead = up_to(ahead, clock.read(until, field="--until", later=True), clock)
    end = ahead.hours[-1].end
    gap = None if today is not None else ahead.gap_from(clock.now)
    return Kept(
        max([ahead.highest] + ([] if today is None else [today])),
        thunderstorm=ahead.thunderstorm,
        until=None if end is None else clock.local(end).isoformat(),
        why=Said("kept-no-end") if end is None else Said("kept-until-event", until=clock.text(end)),
        unforetold=None
        if gap is None
        else Said("not-foretold-none-leaves", start=clock.text(gap[0]), end=clock.text(gap[1])),
    )
