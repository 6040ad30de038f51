"""The form of a pull test: on a phone it is filled in and gives the lines of the wall file; on paper it is blank."""

from __future__ import annotations

from pathlib import Path

from bracing.drawing.lever import rigs
from bracing.errors import InputError, visible
from bracing.job.job import Job
from bracing.job.pulls import BOARDS, ENDS
from bracing.reading.files import Output
from bracing.results import header
from bracing.said import Said
from bracing.sheet.writing import html, picture
from bracing.text.page import Page

ROWS = 12  # pulls on the form
SUFFIX = ".html"


def write_form(job: Job, path: Path, output: Output, *, page: Page) -> Path:
    """Write the form.

    Args:
        job: the wall, whose fasteners it offers.
        path: the file.
        output: what it may be written over.
        page: how lengths are written.

    Raises:
        InputError: another suffix, or a file that cannot be written.
        MissingExtraError: the drawing or the template library is not installed.
    """
    if path.suffix.lower() != SUFFIX:
        option = "--form"
        raise InputError.of(option, path.name, f"a file that ends in {SUFFIX}")
    output.check(path)
    return output.put(path, form_of(job, page).encode("utf-8"))


def form_of(job: Job, page: Page) -> str:
    """Give the form as HTML.

    Args:
        job: the wall.
        page: how lengths are written.
    """
    said = header(job, "pull")
    taken = {test.name for test in job.pull_tests}
    return html(
        "pull.html",
        {
            "wall": job.wall.name, "file": visible(job.file), "name": _free(taken), "boards": BOARDS,
            "ends": ENDS, "rows": range(1, ROWS + 1),
            "fasteners": dict.fromkeys((job.kit.cleat.floor_fastener, job.kit.head.fastener, job.wall.plate.fastener)),
            "pictures": [picture(drawing) for drawing in rigs(page=page)],
            "what_for": page.said(Said("pull-what-for")), "program": said["program"], "sha256": said["input_sha256"],
        },
        "pull.js",
    )  # fmt: skip


def _free(taken: set[str]) -> str:
    return next(name for name in (f"T{k}" for k in range(1, len(taken) + 2)) if name not in taken)
