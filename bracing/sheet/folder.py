"""A job of many walls: a page for each, an index worst first, and one PDF of all."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path
from urllib.parse import quote

from attrs import frozen

from bracing.errors import Fault, InputError, NoLayoutError
from bracing.job.job import Job
from bracing.reading.files import Output
from bracing.reading.jobs import read_job
from bracing.results import CAUTIONS, LIMIT_STATEMENT, WallAsked, without_braces, worst_first
from bracing.said import Said, Verdict
from bracing.sheet.facts import Facts, gather
from bracing.sheet.writing import OUTPUT, Paper, Part, html, page_of, papers_of, pdf
from bracing.text.check import link_words, storm_words
from bracing.text.page import PLAIN, Page
from bracing.units import Mph

INDEX, ALL = "index.html", "all-walls.pdf"
MOST_WALLS = 200
NO_GUST = "no gust asked"


@frozen(eq=False)
class FolderWall:
    """One wall of a job.

    Attributes:
        job: as read.
        facts: all that its page says; None where no layout was found.
        why: why there is none, or "".
    """

    job: Job
    facts: Facts | None
    why: Said | str | None = None

    @property
    def asked(self) -> WallAsked:
        """What walls are sorted by, as their files have them."""
        if self.facts is None:
            return self.job, self.verdict, None
        return self.job, self.facts.as_filed.verdict, self.facts.as_filed.limit

    @property
    def verdict(self) -> str:
        """Within, over, engineer or not up as its file has it, or none found."""
        if self.facts is None:
            return "none found" if self.job.wall.up else Verdict.NOT_UP
        return self.facts.as_filed.verdict or NO_GUST


def read_walls(files: tuple[Path, ...]) -> tuple[Job, ...]:
    """Read every wall file of a folder.

    Args:
        files: the files.

    Raises:
        InputError: every fault of every file; too many files.
    """
    if len(files) > MOST_WALLS:
        argument = "FILE"
        raise InputError.of(argument, f"a folder with {len(files)} wall files", f"{MOST_WALLS} at most")
    jobs: list[Job] = []
    faults: list[Fault] = []
    for file in files:
        try:
            jobs.append(read_job(file))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    return tuple(jobs)


def stand(
    jobs: tuple[Job, ...],
    page: Page = PLAIN,
    *,
    gust: Mph | None,
    thunderstorm: bool = False,
    budget: float | None = None,
) -> tuple[FolderWall, ...]:
    """Gather every wall, the worst first.

    Args:
        jobs: the walls.
        page: how their pages are written.
        gust: the gust asked [mph].
        thunderstorm: the forecast says thunderstorms.
        budget: time for each search of each wall, as for gather() [s].
    """
    walls = []
    for job in jobs:
        try:
            walls.append(
                FolderWall(job, gather(job, page, gust=gust, thunderstorm=thunderstorm, budget=budget))
            )
        except NoLayoutError as error:
            walls.append(FolderWall(job, None, error.why))
    return tuple(worst_first(walls, lambda wall: wall.asked))


def write_folder(
    walls: tuple[FolderWall, ...],
    out: Path,
    *,
    with_pdf: bool = True,
    output: Output = OUTPUT,
    part: Part | None = None,
    progress: Callable[[str], None] = lambda _: None,
) -> tuple[Path, ...]:
    """Write the pages of a job; into one PDF alone where the name asked for ends so.

    Args:
        walls: the walls, worst first.
        out: a folder, made where it is not there; or a file that ends in .pdf.
        with_pdf: one PDF beside the pages.
        output: what they may be written over.
        part: the part of each page in the PDF; None is the crew's.
        progress: told what is worked on.

    Returns:
        The files written.

    Raises:
        InputError: a place that cannot be written.
        MissingExtraError: an optional package is not installed.
    """
    pages, together, only_pdf = {}, [], out.suffix.lower() == ".pdf"
    paper = next((wall.facts.page for wall in walls if wall.facts is not None), PLAIN)
    for wall, name in zip(walls, page_names(wall.job for wall in walls), strict=True):
        if wall.facts is not None:
            progress(name)
            pages[name] = page_of(wall.facts)
            if only_pdf or with_pdf:
                together += papers_of(wall.facts, part)
    index = index_page(walls, paper)
    if only_pdf:
        return (output.put(out, pdf([Paper(index), *together])),)
    files = {name: text.encode("utf-8") for name, text in {INDEX: index, **pages}.items()}
    if with_pdf:
        progress(ALL)
        files[ALL] = pdf([Paper(index), *together])
    return output.fill(out, files)


def check_places(jobs: tuple[Job, ...], out: Path, output: Output, *, with_pdf: bool) -> None:
    """Refuse before the work what `write_folder` would refuse after it.

    Args:
        jobs: the walls.
        out: as for write_folder().
        output: what may be written over.
        with_pdf: as for write_folder().

    Raises:
        InputError: a file that may not be written over.
    """
    if out.suffix.lower() == ".pdf":
        output.check(out)
        return
    for name in (INDEX, *page_names(jobs), *((ALL,) if with_pdf else ())):
        output.check(out / name, there=False)


def page_names(jobs: Iterable[Job]) -> tuple[str, ...]:
    """Name the page of each wall after its file; no two alike where letters' case does not count, and none the index.

    Args:
        jobs: the walls.
    """
    listed = list(jobs)
    taken, names = {INDEX}, {}
    for file in sorted(job.file for job in listed):
        stem = Path(file).stem
        tries = (
            f"{stem}.html",
            f"{stem}-wall.html",
            *(f"{stem}-wall-{k}.html" for k in range(2, 2 + len(listed))),
        )
        names[file] = next(name for name in tries if name.casefold() not in taken)
        taken.add(names[file].casefold())
    return tuple(names[job.file] for job in listed)


def index_page(walls: tuple[FolderWall, ...], page: Page = PLAIN) -> str:
    """Give the index of a job as HTML, worst first.

    Args:
        walls: the walls, worst first.
        page: how it is written.
    """
    return html(
        "index.html",
        {
            "rows": [
                _row(wall, name, page)
                for wall, name in zip(walls, page_names(wall.job for wall in walls), strict=True)
            ],
            "cautions": list(map(page.said, CAUTIONS)),
            "statement": page.said(LIMIT_STATEMENT),
            "count": len(walls),
            "without": [wall.job.wall.name for wall in walls if without_braces(wall.job)],
        },
    )


def _row(wall: FolderWall, name: str, page: Page) -> dict[str, object]:
    facts, up = wall.facts, wall.job.wall.up
    row: dict[str, object] = {
        "name": wall.job.wall.name, "state": wall.job.state, "verdict": wall.verdict, "why": page.said(wall.why or ""),
        "page": quote(os.fsencode(name)) if facts else "", "clear_out": "" if up else Verdict.NOT_UP, "limit": "",
        "missing": "", "first": "", "storm": "",
    }  # fmt: skip
    if facts is None or facts.as_filed.limit is None:
        return row
    result, first = facts.as_filed, facts.as_filed.gives_first
    if facts.layout is not None:
        asked, limit = page.said(facts.plan or ""), page.gust(facts.result.limit_whole or 0)
        plan = f"its page is a plan for {asked}: limit {limit} once it is up"
        return {**row, "limit": page.gust(result.limit_whole or 0), "missing": "no brace", "first": plan}
    missing = "no brace"
    if result.one_lost is not None:
        rest, lost = page.gust(result.one_missing or 0), page.gust(result.one_lost[0])
        missing = f"{rest} at rest, {lost} lost in the gust"
    said = {
        "clear_out": page.gust(result.clear_out) if up and result.clear_out else row["clear_out"],
        "limit": page.gust(result.limit_whole or 0),
        "missing": missing,
        "storm": storm_words(facts.storm_out, page) if up else "",
    }
    return {**row, **said, "first": link_words(first, page) if first else ""}
