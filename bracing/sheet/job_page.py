"""The page of a job: its walls from above, what each corner needs, and the braces that may leave, to tick."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from attrs import evolve

from bracing.box.leaving import named
from bracing.box.report import BoxReport
from bracing.drawing.house import house_plan
from bracing.errors import InputError
from bracing.job.house import Laid, Placed, Tick
from bracing.reading.files import Output
from bracing.results import LIMIT_STATEMENT, header_of_hash
from bracing.sheet.writing import html, picture
from bracing.text.box import first_words, of_words, out_first, to_stand
from bracing.text.page import Page

SUFFIX = ".html"


def refuse_name(path: Path, output: Output, *, alone: bool) -> None:
    """Refuse a file the page cannot be written into, before the walls are solved.

    Args:
        path: the file.
        output: what it may be written over.
        alone: nothing is asked of one brace, which has no page.

    Raises:
        InputError: another suffix, one brace asked about, or a file that may not be written over.
    """
    if path.suffix.lower() != SUFFIX:
        raise InputError.of(output.option, path.name, f"a file that ends in {SUFFIX}")
    if not alone:
        raise InputError.of(output.option, path.name, "it without --take-out: one brace has no page")
    output.check(path)


def job_page(report: BoxReport, placed: Mapping[str, Placed], page: Page) -> str:
    """Give the page as HTML.

    Args:
        report: the answer.
        placed: where each wall stands.
        page: how quantities are written.

    Raises:
        MissingExtraError: the drawing or the template library is not installed.
    """
    corners, said = report.corners(), header_of_hash(report.house.sha256, "box")
    counting = {corner["corner"] for corner in corners if corner["counts"]}
    counting |= {deck["deck"] for deck in report.decks() if deck["counts"]}
    answers = {} if report.box is None else {one.wall.file: one for one in report.box.answers}
    return html(
        "job.html",
        {
            "name": report.house.job.name or "This job", "beyond": tuple(map(page.said, report.beyond)),
            "out": out_first(report, page),
            "plan": picture(house_plan(report.house, report.jobs, placed, counting=counting)),
            "walls": [
                {
                    "name": job.wall.name, "file": file.removesuffix(".toml"), "state": job.state,
                    "out": page.gust(answers[file].clear_out) if file in answers else "",
                    "limit": page.gust(answers[file].limit) if file in answers else "",
                    "first": first_words(report, file, page) if file in answers else "",
                }
                for file, job in report.jobs.items()
            ],
            "below": () if report.box is None else tuple(
                page.said(one.said(report.at)) for one in report.box.below
            ),
            "corners": [
                {
                    "name": corner["corner"], "counts": corner["counts"],
                    "ticks": [(str(tick), str(tick) not in corner["missing"]) for tick in Tick],
                }
                for corner in corners
            ],
            "decks": [
                {
                    "name": deck["deck"], "said": page.said(told),
                    "ticks": [(str(tick), str(tick) not in deck["missing"]) for tick in Laid],
                }
                for deck, told in zip(report.decks(), report.said_of_decks, strict=True)
            ],
            "stand": to_stand(report, page),
            "keep": None if report.leaving.keep is None else page.asked(report.leaving.keep),
            "unknown": page.said(report.leaving.unknown) if report.leaving.unknown else "",
            "leave": [
                (named(one.file, one.mark), of_words(one.of, page), page.said(one.said)) for one in report.leaving.left
            ],
            "stay": [(named(file, mark), page.said(why)) for file, mark, why in report.leaving.stay],
            "not_counted": tuple(map(page.said, report.not_counted)), "statement": page.said(LIMIT_STATEMENT),
            "cautions": evolve(page, at_length=True).cautions(), "program": said["program"],
            "sha256": said["input_sha256"],
        },
    )  # fmt: skip
