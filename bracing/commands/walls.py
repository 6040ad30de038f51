"""`bracing walls`: a builder's list of walls, one a row."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bracing.commands.check import JSON
from bracing.commands.output import BAD_INPUT, PROGRESS, as_json, finish, page_of, status_of, tell
from bracing.commands.storms import GUST, NOW, STORMS, clock_of
from bracing.said import Verdict

if TYPE_CHECKING:
    from bracing.many.rows import Counts
    from bracing.text.page import Page

OUT = typer.Option(
    "--out",
    "-o",
    help="file of results; LIST.checked.csv unless given, LIST.chances.csv of chances",
    show_default=False,
)
WORKERS = typer.Option(help="processes; one a core unless given, 1 works in this one", show_default=False)
CHANCE = typer.Option(
    "--chance", help="of each how likely it is that its bracing goes, tonight and over the weeks"
)
DASK = typer.Option(help='address of a Dask scheduler, or "local"; needs the extra many', show_default=False)


def walls(
    file: Annotated[str, typer.Argument(metavar="LIST.csv", help="one wall a row", show_default=False)],
    *,
    gust: Annotated[str, GUST],
    storms: Annotated[bool, STORMS] = False,
    chance: Annotated[bool, CHANCE] = False,
    now: Annotated[str | None, NOW] = None,
    out: Annotated[str | None, OUT] = None,
    workers: Annotated[int | None, WORKERS] = None,
    dask: Annotated[str | None, DASK] = None,
    json: Annotated[bool, JSON] = False,
) -> None:
    """Check a builder's list of walls, one a row; taken up again where it was broken off."""
    from bracing.errors import Fault
    from bracing.many.kept import ListAsked
    from bracing.many.rows import check_list, spread
    from bracing.units import speed

    source = Path(file)
    target = source.with_suffix(".chances.csv" if chance else ".checked.csv") if out is None else Path(out)
    today = clock_of(now, None)
    day = today.local(today.now).date().isoformat() if chance else ""
    asked = ListAsked(speed(gust, field="--gust"), storms, str(source.parent), day)
    with spread(workers, dask) as executor:
        counts = check_list(source, target, asked, executor=executor, progress=count_rows())
    if counts.bad:
        which = "none of its rows is a wall" if counts.bad == counts.rows else "the others are checked"
        expected = f"a wall a row; {target} says what is wrong with each ({which})"
        tell(str(Fault(str(source), "rows", f"{counts.bad} of {counts.rows} that are no wall", expected)))
    status = (
        BAD_INPUT
        if counts.bad
        else status_of(Verdict.WITHIN if counts.all_within else Verdict.OVER, out=counts.out > 0)
    )
    if json:
        finish(as_json(counts.to_dict(source, target, asked.gust)), status)
    finish(list_page(counts, target, page_of(metric=False)), status)


def count_rows() -> Callable[[int], None]:
    """Give what says how far it is, and how fast."""
    before: int | None = None
    start = time.monotonic()

    def say(done: int) -> None:
        nonlocal before
        if before is None:
            before = done - 1  # the processes that check are begun by now
            PROGRESS.begin("checking the list")
        speed = (done - before) / max(time.monotonic() - start, 1e-9)
        PROGRESS(f"{done} walls, {speed:.1f} a second")

    return say


def list_page(counts: Counts, target: Path, page: Page) -> str:
    """Write how many rows came out how.

    Args:
        counts: how many.
        target: the file of results.
        page: how it is written.
    """
    from bracing.job.job import NO_BRACES
    from bracing.results import verdict_rank

    before = f", {counts.before} of them done before" if counts.before else ""
    before += f", {counts.again} done again: what they were made of has changed" if counts.again else ""
    worst_first = sorted(counts.verdicts.items(), key=lambda item: (verdict_rank(item[0]), item[0]))
    each = ", ".join(f"{count} {verdict}" for verdict, count in worst_first) or "none"
    lines = []
    if counts.without:
        lines += page.para(f"{NO_BRACES}: {counts.without} of the walls, each so named in the results.")
    out = f"; people out of {counts.out} of those within" if counts.out else ""
    lines += page.para(f"{counts.rows} rows{before}: {each}{out}.")
    lines += page.para(f"Each with its clear-out gust and what gives first: {target}")
    return "\n".join([*lines, *page.cautions()])
