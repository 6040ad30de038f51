"""`bracing walls`: a builder's list of walls, one a row."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bracing.commands.check import JSON, OVERWRITE
from bracing.commands.output import BAD_INPUT, PROGRESS, as_json, finish, page_of, status_of, tell
from bracing.commands.storms import GUST, NOW, STORMS, clock_of
from bracing.said import Verdict

if TYPE_CHECKING:
    from bracing.many.kept import ListAsked
    from bracing.many.rows import Counts
    from bracing.reading.files import Output
    from bracing.text.page import Page

OUT = typer.Option(
    "--out",
    "-o",
    help="file of results; LIST.checked.csv unless given, or .laid-out.csv, .chances.csv",
    show_default=False,
)
WORKERS = typer.Option(help="processes; one a core unless given, 1 works in this one", show_default=False)
CHANCE = typer.Option(
    "--chance", help="of each how likely it is that its bracing goes, tonight and over the weeks"
)
LAY_OUT = typer.Option(
    "--lay-out", help="lay out braces for the gust, in place of checking those of the list"
)
XLSX = typer.Option(
    "--xlsx", help="write the results as a workbook too; needs the extra office", show_default=False
)
HTML = typer.Option("--html", help="write the results as one page with a chart too", show_default=False)
DASK = typer.Option(help='address of a Dask scheduler, or "local"; needs the extra many', show_default=False)


def walls(
    file: Annotated[
        str, typer.Argument(metavar="LIST", help="one wall a row: .csv or .xlsx", show_default=False)
    ],
    *,
    gust: Annotated[str, GUST],
    storms: Annotated[bool, STORMS] = False,
    lay_out: Annotated[bool, LAY_OUT] = False,
    chance: Annotated[bool, CHANCE] = False,
    now: Annotated[str | None, NOW] = None,
    out: Annotated[str | None, OUT] = None,
    xlsx: Annotated[Path | None, XLSX] = None,
    html: Annotated[Path | None, HTML] = None,
    overwrite: Annotated[bool, OVERWRITE] = False,
    workers: Annotated[int | None, WORKERS] = None,
    dask: Annotated[str | None, DASK] = None,
    json: Annotated[bool, JSON] = False,
) -> None:
    """Check or lay out a builder's list of walls, one a row; taken up again where it was broken off."""
    from bracing.errors import Fault
    from bracing.many.kept import ListAsked
    from bracing.many.rows import check_list, spread
    from bracing.reading.files import Output
    from bracing.units import speed

    source = Path(file)
    kind = ".chances.csv" if chance else ".laid-out.csv" if lay_out else ".checked.csv"
    target = source.with_suffix(kind) if out is None else Path(out)
    written = {"--xlsx": xlsx, "--html": html}
    for option, path in written.items():
        if path is not None:
            _may_write(path, source, target, Output(option, overwrite))
    today = clock_of(now, None)
    day = today.local(today.now).date().isoformat() if chance else ""
    asked = ListAsked(speed(gust, field="--gust"), storms, str(source.parent), day, lay_out)
    with spread(workers, dask) as executor:
        counts = check_list(source, target, asked, executor=executor, progress=count_rows())
    _write_for_office(source, target, asked, written=written, overwrite=overwrite)
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


def _may_write(path: Path, source: Path, target: Path, output: Output) -> None:
    """Refuse, before anything is worked out, what cannot be written afterwards."""
    from bracing.errors import InputError
    from bracing.many.columns import openpyxl

    suffix = output.option.replace("--", ".")
    if path.suffix.lower() != suffix or path.resolve() in (source.resolve(), target.resolve()):
        raise InputError.of(output.option, str(path), f"another file, whose name ends in {suffix}")
    if suffix == ".xlsx":
        openpyxl()
    output.check(path)


def _write_for_office(
    source: Path, target: Path, asked: ListAsked, *, written: dict[str, Path | None], overwrite: bool
) -> None:
    """Write the results as a workbook and as a page, where they were asked for."""
    from bracing.many.written import page_of_results, read_results, write_workbook
    from bracing.reading.files import Output

    if not any(written.values()):
        return
    results = read_results(target, title=source.name, gust=asked.gust, laid=asked.lay)
    if written["--xlsx"] is not None:
        write_workbook(results, written["--xlsx"], Output("--xlsx", overwrite))
    if written["--html"] is not None:
        Output("--html", overwrite).put(written["--html"], page_of_results(results).encode())


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
    if counts.own:
        lines += page.para(f"Kept and not read: {', '.join(counts.own)}.")
    lines += page.para(f"Each with its clear-out gust and what gives first: {target}")
    return "\n".join([*lines, *page.cautions()])
