"""`bracing fasteners`: nails, screws or lags, joint by joint."""

from __future__ import annotations

from typing import Annotated

import typer

from bracing.commands.check import GUST, JSON, METRIC, SUSTAINED, asked_gust
from bracing.commands.help import PartedCommand
from bracing.commands.output import NOT_WITHIN, WITHIN, as_json, finish, page_of
from bracing.commands.progress import PROGRESS
from bracing.commands.wall_options import Given, takes_wall


def register(app: typer.Typer) -> None:
    """Add the command.

    Args:
        app: the command line.
    """
    app.command("fasteners", cls=PartedCommand)(takes_wall(fasteners))


def fasteners(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    sustained: Annotated[bool, SUSTAINED] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Nails, screws or lags: how many each joint takes at a gust."""
    from bracing.errors import InputError
    from bracing.text.fasteners import fasteners_page
    from bracing.work.joints import choose_fasteners

    job, asked = given.job(), asked_gust(gust, sustained=sustained)
    if asked is None:
        option = "--gust"
        raise InputError.of(option, "nothing", 'the gust to fasten for, such as "--gust 45"')
    PROGRESS.begin("choosing fasteners, joint by joint")
    result = choose_fasteners(job, gust=asked)
    status = WITHIN if result.held else NOT_WITHIN
    if json:
        finish(as_json(result.to_dict()), status)
    finish(fasteners_page(result, page_of(job, metric=metric), wall=given.words()), status)
