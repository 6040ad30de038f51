"""`bracing fasteners` and `bracing stock`: what each joint takes, and which stick."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bracing.commands.check import ALL, GUST, JSON, METRIC, OVERWRITE, STORMS, SUSTAINED, asked_gust
from bracing.commands.output import NOT_WITHIN, PROGRESS, WITHIN, as_json, finish, none_found, page_of
from bracing.commands.wall_options import Given

EVERY = typer.Option(help="stretch of wall each brace stands for")
OUT = typer.Option(
    "--out", "-o", help="draw the sticks into this file: .svg, .png or .pdf", show_default=False
)
ANY_LENGTH = "40 ft"  # where only a height is given


def fasteners(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    sustained: Annotated[bool, SUSTAINED] = False,
    whole: Annotated[bool, ALL] = False,
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
    finish(fasteners_page(result, page_of(metric=metric, whole=whole), wall=given.words()), status)


def stock(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    storms: Annotated[bool, STORMS] = False,
    sustained: Annotated[bool, SUSTAINED] = False,
    every: Annotated[str, EVERY] = "8 ft",
    out: Annotated[Path | None, OUT] = None,
    overwrite: Annotated[bool, OVERWRITE] = False,
    whole: Annotated[bool, ALL] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Which stick: every length and size, tied or stiffened or neither, for a height and gust."""
    from bracing.drawing.graphs import draw_stock
    from bracing.errors import InputError, NoLayoutError
    from bracing.layout.sticks import sticks_for
    from bracing.reading.files import Output
    from bracing.text.fasteners import stock_page
    from bracing.units import length

    asked = asked_gust(gust, sustained=sustained)
    if asked is None:
        option = "--gust"
        raise InputError.of(option, "nothing", 'the gust to ask for, such as "--gust 45"')
    if given.file is None and given.options and "length" not in given.options:
        given = Given(None, {**given.options, "length": ANY_LENGTH})
    job, stretch = given.job(), length(every, field="--every")
    output = Output("-o", overwrite)
    if out is not None:
        output.check(out)
    PROGRESS.begin("trying every stick")
    try:
        found = sticks_for(job, gust=asked, every=stretch, thunderstorm=storms)
    except NoLayoutError as error:
        if json:
            finish(as_json(none_found(job, "stock", asked, error)), NOT_WITHIN)
        raise
    if out is not None:
        draw_stock(found, out, output, page=page_of(metric=metric))
    if json:
        finish(as_json(found.to_dict()), WITHIN)
    command = f"bracing layout {given.words()} --gust {asked:g}{' --storms' if storms else ''}"
    finish(stock_page(found, page_of(metric=metric, whole=whole), command=command), WITHIN)
