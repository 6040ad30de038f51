"""`bracing walls`: a builder's list of walls, one a row."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from bracing.commands.check import JSON
from bracing.commands.help import PartedCommand
from bracing.commands.output import BAD_INPUT, as_json, finish, page_width, status_of, tell
from bracing.commands.storms import GUST, STORMS

SAY_EVERY_S = 2.0
OUT = typer.Option(help="file of results; LIST.checked.csv unless given", show_default=False)
WORKERS = typer.Option(help="processes; one a core unless given, 1 works in this one", show_default=False)
DASK = typer.Option(help='address of a Dask scheduler, or "local"; needs the extra many', show_default=False)


def register(app: typer.Typer) -> None:
    """Add the command.

    Args:
        app: the command line.
    """
    app.command("walls", cls=PartedCommand)(walls)


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
    from bracing.many import check_list
    from bracing.many_kept import Asked
    from bracing.tables.many import list_page
    from bracing.tables.page import Page
    from bracing.units import speed
    from bracing.workers import spread

    source = Path(file)
    target = source.with_suffix(".checked.csv") if out is None else Path(out)
    asked = Asked(speed(gust, field="--gust"), storms, str(source.parent))
    with spread(workers, dask) as executor:
        counts = check_list(source, target, asked, executor=executor, progress=progress())
    status = BAD_INPUT if counts.bad else status_of("within" if counts.all_within else "over")
    if json:
        finish(as_json(counts.to_dict(source, target, asked.gust)), status)
    finish(list_page(counts, target, Page(width=page_width())), status)


def progress() -> Callable[[int], None]:
    """Give what says on stderr how far it is, no more than once in two seconds."""
    start = said = time.monotonic()
    before: int | None = None

    def say(done: int) -> None:
        nonlocal said, before
        now = time.monotonic()
        before = done - 1 if before is None else before
        if now - said >= SAY_EVERY_S:
            said = now
            tell(f"{done} walls, {(done - before) / (now - start):.1f} a second")

    return say
