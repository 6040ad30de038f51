"""The commands `sheet` and `trace`: the page for the crew, and the sums behind it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer
from attrs import evolve

from bracing.commands.check import JSON, METRIC, OVERWRITE, STORMS, STRICT, SUSTAINED, asked_gust
from bracing.commands.output import (
    BAD_INPUT,
    LANGUAGE,
    NOT_WITHIN,
    PROGRESS,
    as_json,
    finish,
    language_of,
    none_found,
    page_of,
    say_stopped,
    status_of,
    tell,
)
from bracing.commands.wall_options import Given
from bracing.said import LANGUAGES, Verdict

if TYPE_CHECKING:
    from bracing.check import CheckResult
    from bracing.job.job import Job
    from bracing.reading.files import Output
    from bracing.sheet.facts import Facts
    from bracing.sheet.folder import FolderWall
    from bracing.sheet.writing import Part
    from bracing.text.page import Page

GUST = typer.Option(
    help="forecast gust: an actual 3-second gust; a wall without braces is laid out for it",
    show_default=False,
)
OUT = typer.Option(
    "--out", "-o", help="the file: .html, .pdf, .svg, .png, .dxf or .csv; of a folder of walls a folder, or .pdf",
    show_default=False,
)  # fmt: skip
BUDGET_HELP = typer.Option(
    help="seconds to look for a layout of fewer braces (5 unless given), and for the least work before a storm (10)",
    min=0.0, max=3600.0, show_default=False,
)  # fmt: skip
PART = typer.Option(
    help="one part of a .html or .pdf: sheet (the crew's, what a .pdf has unless asked), clipboard (storm, checks, "
    "take-down, planned and found, log) or engineer (forces, links, sums, assumed)",
    show_default=False,
)  # fmt: skip
PAPER = typer.Option(
    help="of a .dxf, or of a .pdf of drawings to scale: letter, tabloid or A3 (tabloid unless asked, metric A3)",
    show_default=False,
)  # fmt: skip
SCALE = typer.Option(
    help="the same, to scale: 1/4in, to a foot, or 1:50; the largest that fits unless asked",
    show_default=False,
)
AS = typer.Option(
    "--as", help="md or tex: symbols first, then numbers, then what comes out", show_default=False
)
NO_PDF = typer.Option("--no-pdf", help="of a folder: no PDF beside the pages")


def sheet(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    storms: Annotated[bool, STORMS] = False,
    sustained: Annotated[bool, SUSTAINED] = False,
    out: Annotated[Path | None, OUT] = None,
    part: Annotated[str | None, PART] = None,
    paper: Annotated[str | None, PAPER] = None,
    scale: Annotated[str | None, SCALE] = None,
    no_pdf: Annotated[bool, NO_PDF] = False,
    strict: Annotated[bool, STRICT] = False,
    overwrite: Annotated[bool, OVERWRITE] = False,
    budget: Annotated[float | None, BUDGET_HELP] = None,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
    language: Annotated[str | None, LANGUAGE] = None,
) -> None:
    """The page for the crew, on phone and paper; or its drawings, or a table of it."""
    from bracing.errors import NoLayoutError
    from bracing.reading.files import Output
    from bracing.results import header
    from bracing.sheet.facts import gather
    from bracing.sheet.plotting import plot_of, refuse_plots
    from bracing.sheet.writing import part_of, suffix_of, write_sheet

    asked, output = asked_gust(gust, sustained=sustained), Output("-o", overwrite)
    spoken = language_of(language, given.file)
    if given.file is not None and Path(given.file).is_dir():
        folder = out if out is not None else Path("sheets")
        refuse_plots(paper, scale)
        where = Folder(
            folder, output, with_pdf=not no_pdf, strict=strict, part=part_of(part, folder / "all.pdf")
        )
        shown = None if json else metric
        _folder(given, asked, where, storms=storms, budget=budget, metric=shown, language=spoken)
    path = out if out is not None else Path(f"{Path(given.file or 'wall').stem}.html")
    suffix, only, plot = suffix_of(path), part_of(part, path), plot_of(paper, scale, path)
    job = given.job()
    output.check(path)
    PROGRESS.begin("working out the wall, its stages and its page")
    try:
        page = page_of(metric=metric, language=spoken)
        facts = gather(job, page, gust=asked, thunderstorm=storms, budget=budget)
    except NoLayoutError as error:
        if json:
            finish(as_json({**none_found(job, "sheet", asked, error), "files": []}), NOT_WITHIN)
        raise
    _say_stopped([facts], budget)
    write_sheet(facts, path, output, part=only, plot=plot)
    status = status_of(facts.as_filed.verdict, out=facts.as_filed.people_out)
    if json:
        head, told = header(facts.job, "sheet"), said_of(facts)
        beside = {"needed_too": facts.needed, "buy": [item.to_dict() for item in facts.buy]}
        finish(as_json({**facts.result.to_dict(), **head, **told, **beside, "files": [str(path)]}), status)
    whole = suffix != ".pdf" or only is not None or plot is not None
    apart = [] if whole else ["the rest of it: --part clipboard, --part engineer"]
    finish("\n".join([*headlines(facts, page), f"wrote {path}", *apart]), status)


def said_of(facts: Facts) -> dict[str, object]:
    """Give what the wall is as its file has it, and as its plan where the page is of one laid out for it."""
    filed, result = facts.as_filed, facts.result
    names = {"verdict": "as_drawn", "limit_gust_mph": "limit_whole", "clear_out_gust_mph": "clear_out"}
    storm = (facts.storm or result).clear_out
    plan = None
    if facts.layout is not None:
        plan = {key: getattr(result, name) for key, name in names.items()} | {
            "clear_out_gust_with_storms_mph": storm
        }
    return {
        "state": filed.job.state, "verdict": filed.verdict, "limit_gust_mph": filed.limit_whole,
        "people_out": filed.people_out, "clear_out_gust_mph": filed.clear_out,
        "clear_out_on_meter_mph": filed.clear_out_on_meter,
        "clear_out_gust_with_storms_mph": storm if facts.layout is None else filed.clear_out, "plan": plan,
    }  # fmt: skip


def headlines(facts: Facts, page: Page) -> list[str]:
    """Say the verdict of one wall in a line; of a plan laid out for it in a second one.

    Args:
        facts: the facts.
        page: how it is written.
    """
    from bracing.text.check import storm_words

    page = evolve(page, language=LANGUAGES[0])  # what the command says; its page is in the language asked for
    filed, plan = headline(facts.as_filed, page), facts.plan
    said = [filed]
    if plan is not None:
        up = f"  the page is a PLAN laid out for {page.said(plan)}, not what is up: with it up, "
        said.append(up + _limits(facts.result, page))
    storm = storm_words(facts.storm_out, page)
    return [*said, f"  {storm}"] if storm else said


def _limits(result: CheckResult, page: Page) -> str:
    clear_out, limit = (page.gust(gust or 0.0) for gust in (result.clear_out, result.limit_whole))
    return f"clear-out gust {clear_out}, limit gust {limit}"


def headline(result: CheckResult, page: Page) -> str:
    """Say the verdict of one wall in a line.

    Args:
        result: the wall checked.
        page: how it is written.
    """
    from bracing.text.check import out_words

    name = f"{result.job.wall.name}, {result.job.state}"
    if result.limit is None:
        return f"{name}: for an ENGINEER, outside what the tool covers"
    asked = "" if result.gust is None else page.asked(result.gust)
    if not result.job.wall.up:
        drawn = "" if result.as_drawn is None else f"{result.as_drawn.upper()} at {asked}, "
        return f"{name}. As drawn: {drawn}{_limits(result, page)}"
    limit = page.gust(result.limit_whole or 0)
    people = ", and people out" if result.people_out and result.verdict == Verdict.WITHIN else ""
    verdict = "" if result.verdict is None else f"{result.verdict.upper()} at {asked}{people}. "
    return f"{name}: {verdict}{out_words(result.clear_out or 0, page)}; limit gust {limit}"


class Folder(NamedTuple):
    """Where the pages of a job go.

    Attributes:
        out: a folder, or a file that ends in .pdf.
        output: what they may be written over.
        with_pdf: one PDF beside them.
        strict: status 2 where anything in the folder of walls was left out.
        part: the part of each page that is put together into one PDF; None is the crew's.
    """

    out: Path
    output: Output
    with_pdf: bool
    strict: bool
    part: Part | None


def _say_stopped(facts: list[Facts], budget: float | None) -> None:
    """Say on stderr which searches stopped because the budget ran out."""
    from bracing.stages.take_down import BUDGET
    from bracing.storm.ladder import LADDER_BUDGET

    if any(each.ladder is not None and each.ladder.stopped for each in facts):
        say_stopped("less work may do", LADDER_BUDGET if budget is None else budget)
    if any(each.stages.take_down is not None and each.stages.take_down.stopped for each in facts):
        say_stopped("more braces may come out than are named", BUDGET if budget is None else budget)


def _folder(
    given: Given, gust: float | None, to: Folder, *, storms: bool, budget: float | None, metric: bool | None,
    language: str,
) -> None:  # fmt: skip
    """Write the pages of a folder; metric is None where JSON is asked for."""
    from bracing.reading.source import wall_folder
    from bracing.results import header_of_several, verdict_rank
    from bracing.sheet.folder import NO_GUST, check_places, read_walls, stand, write_folder

    assert given.file is not None
    found = wall_folder(given.file)
    jobs = read_walls(found.files)
    check_places(jobs, to.out, to.output, with_pdf=to.with_pdf)
    PROGRESS.begin("working out the walls of the folder")
    page = page_of(metric=bool(metric), language=language)
    walls = stand(jobs, page, gust=gust, thunderstorm=storms, budget=budget)
    _say_stopped([wall.facts for wall in walls if wall.facts is not None], budget)
    files = write_folder(
        walls,
        to.out,
        with_pdf=to.with_pdf,
        output=to.output,
        part=to.part,
        progress=lambda name: PROGRESS(f"writing {name}"),
    )
    worst = min((wall.verdict for wall in walls if wall.verdict != NO_GUST), key=verdict_rank, default=None)
    status = status_of(worst, out=any(wall.facts and wall.facts.as_filed.people_out for wall in walls))
    for fault in found.left_out:
        tell(str(fault))
    if to.strict and found.left_out:
        status = BAD_INPUT
    if metric is None:
        rows = [_wall_row(wall) for wall in walls]
        head = header_of_several((wall.job.sha256 for wall in walls), "sheets")
        left = {"left_out": [fault.to_dict() for fault in found.left_out]}
        finish(as_json({**head, "walls": rows, "files": [str(file) for file in files], **left}), status)
    said = [
        line
        for wall in walls
        for line in (
            headlines(wall.facts, page)
            if wall.facts
            else [f"{_named(wall.job)}: no layout found, {page.said(wall.why or '')}"]
        )
    ]
    finish("\n".join([*said, *(f"wrote {file}" for file in files)]), status)


def _named(job: Job) -> str:
    return f"{job.wall.name}, {job.state}"


def _wall_row(wall: FolderWall) -> dict[str, object]:
    """One wall of a folder: its verdict as check says it, null where no gust was asked."""
    none = {
        "state": wall.job.state, "verdict": Verdict.OVER if wall.job.wall.up else wall.verdict, "limit_gust_mph": None,
        "clear_out_gust_mph": None, "clear_out_gust_with_storms_mph": None, "plan": None,
    }  # fmt: skip
    told = none if wall.facts is None else said_of(wall.facts)
    return {
        "file": wall.job.file, "wall": wall.job.wall.name, "input_sha256": wall.job.sha256,
        "why": wall.why or None, **{key: told[key] for key in none},
    }  # fmt: skip


def trace(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    storms: Annotated[bool, STORMS] = False,
    sustained: Annotated[bool, SUSTAINED] = False,
    form: Annotated[str | None, AS] = None,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """The sums that govern, step by step, so that a hand calculator gets the same."""
    from bracing.check import check
    from bracing.results import header
    from bracing.text.trace import trace as traced
    from bracing.text.trace import trace_page
    from bracing.text.trace_forms import form_of, trace_in

    written = None if form is None else form_of(form)
    job = given.job()
    PROGRESS.begin("checking the wall, and going through its sums")
    result = check(job, gust=asked_gust(gust, sustained=sustained), thunderstorm=storms, effects=False)
    found = traced(result)
    status = status_of(result.verdict, out=result.people_out)
    if json:
        untraced = {**result.to_dict(), **header(job, "trace")}  # beyond the envelope: what check says of it
        finish(as_json(untraced if found is None else found.to_dict()), status)
    if written is not None and found is not None:
        finish(trace_in(written, result, found, page=page_of(metric=metric)), status)
    finish(trace_page(result, found, page_of(metric=metric)), status)
