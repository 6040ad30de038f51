"""`bracing pull`: a fastener pulled with a hanging scale becomes a value in the wall file."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from bracing.commands.check import JSON, METRIC, OVERWRITE
from bracing.commands.output import INTERRUPTED, PROGRESS, as_json, finish, page_of, tell
from bracing.commands.stages import asker, print_line
from bracing.commands.wall_options import quoted

FORM = typer.Option(
    "--form", help="write the page for the phone and the form to print into this .html", show_default=False
)
SHOW = typer.Option("--show", help="ask nothing: what the tests in the file come to")


def pull(
    file: Annotated[str, typer.Argument(metavar="FILE", help="the wall file", show_default=False)],
    *,
    form: Annotated[Path | None, FORM] = None,
    show: Annotated[bool, SHOW] = False,
    overwrite: Annotated[bool, OVERWRITE] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Pull your own fasteners with a hanging scale: what they take becomes a value in the file."""
    from attrs import evolve

    from bracing.check import check
    from bracing.pull.answer import pulled
    from bracing.reading.files import Output
    from bracing.reading.jobs import job_of, read_job
    from bracing.reading.pulls import Asking
    from bracing.reading.source import read_source
    from bracing.reading.writing import write_pull
    from bracing.said import Said
    from bracing.text.pull import pull_page

    # What is wrong with the wall is said before anything is asked or written.
    check(read_job(file), effects=False)
    job, page = job_of(read_source(file)), page_of(metric=metric)
    files: tuple[str, ...] = ()
    output = Output("--form", overwrite)
    if form is not None:
        from bracing.sheet.pull_form import write_form

        files = (str(write_form(job, form, output, page=page)),)
    elif not show:
        stream = sys.stderr if json else sys.stdout  # the dialogue goes where the JSON does not
        ask, say = asker(stream, page), partial(print_line, stream=stream, page=page)
        try:
            told = Asking(job, ask, say).run()
        except (KeyboardInterrupt, EOFError):
            tell("\nbroken off: nothing was written")
            raise typer.Exit(INTERRUPTED) from None
        write_pull(job, told)
        say(Said("pull-written", file=job.file, name=str(told["name"])))
        files = (job.file,)
    PROGRESS.begin("checking the wall with the pulls and without")
    result = evolve(pulled(read_job(file)), files=files)
    if json:
        finish(as_json(result.to_dict(page_of(metric=False).said)))
    lines = [line for path in files for line in page.para(page.said(Said("log-written", file=path)))]
    shown = pull_page(result, page, wall=quoted(file))
    finish("\n".join([*(lines if form is not None else []), shown]))
