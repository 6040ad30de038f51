"""`bracing log`: what was found, written and sent of the walls of a folder, and by whom."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bracing.commands.check import JSON
from bracing.commands.output import NOT_WITHIN, WITHIN, as_json, finish, page_of, tell
from bracing.commands.storms import NOW, clock_of

if TYPE_CHECKING:
    from bracing.reading.log import Row
    from bracing.results import LogJson
    from bracing.storm.clock import Clock

FOLDER = typer.Argument(metavar="FOLDER", help="the folder of wall files", show_default=False)
BEGIN = typer.Option("--begin", help="begin a log: from then on walks and writes are kept in it")
DAY = typer.Option(help="the rows of one day, such as 2026-03-06", show_default=False)
VERIFY = typer.Option("--verify", help="verify the chain of its rows")
HEAD = typer.Option(help="a head kept elsewhere: was the log cut short? repeat", show_default=False)
BACKUP = typer.Option(help="write the log and the walls into this .zip", show_default=False)
OUT = typer.Option("-o", "--out", help="write the rows as CSV into this file", show_default=False)
SHOWN = 20  # rows on a screen, the last ones; all of a day that was asked for
OVERWRITE = typer.Option("--overwrite", help="a file that is there may be written over")


def log(
    folder: Annotated[str, FOLDER],
    *,
    begin: Annotated[bool, BEGIN] = False,
    day: Annotated[str | None, DAY] = None,
    verify: Annotated[bool, VERIFY] = False,
    head: Annotated[list[str] | None, HEAD] = None,
    backup: Annotated[str | None, BACKUP] = None,
    out: Annotated[str | None, OUT] = None,
    overwrite: Annotated[bool, OVERWRITE] = False,
    now: Annotated[str | None, NOW] = None,
    json: Annotated[bool, JSON] = False,
) -> None:
    """Show what was found, written and sent of the walls of a folder, and verify that nothing of it was changed."""
    from bracing.job.house import JOB_FILE
    from bracing.reading.house import read_watched
    from bracing.reading.log import chain_faults, head_of, read_rows
    from bracing.reading.source import wall_folder
    from bracing.site.record import of_day
    from bracing.storm.clock import refuse

    where = Path(folder)
    if not where.is_dir():
        refuse("FOLDER", folder, "a folder of wall files")
    named, _ = read_watched(where)
    clock = clock_of(now, named.time_zone)
    walls = wall_folder(where).files
    path = _noticed(where, walls, clock, begin=begin)
    rows = read_rows(path)
    heads = tuple(_head(text) for text in head or ())
    faults = chain_faults(rows, path, heads=heads) if verify or heads else ()
    shown = rows if day is None else of_day(rows, day, clock, asked="--day")
    files = _put(
        shown, path, (*walls, where / JOB_FILE), {"out": out, "backup": backup}, clock, overwrite=overwrite
    )
    for fault in faults:
        tell(str(fault))
    status = NOT_WITHIN if faults else WITHIN
    verified = not faults if verify or heads else None
    if json:
        answer = _json(shown, clock, head=head_of(rows), count=len(rows), verified=verified)
        finish(as_json({**answer, "files": files, "errors": [fault.to_dict() for fault in faults]}), status)
    finish("\n".join([*_lines(shown, clock, whole=day is not None), *_last(rows, verified, files)]), status)


def _noticed(folder: Path, walls: tuple[Path, ...], clock: Clock, *, begin: bool) -> Path:
    """The log, with what has changed since it last told of the walls."""
    from bracing.reading.log import KEPT, LOG
    from bracing.site.walks import noted
    from bracing.storm.clock import refuse

    if not begin and not (folder / KEPT / LOG).is_file():
        refuse("FOLDER", str(folder), f"a folder with a log: begin one with bracing log {folder} --begin")
    return noted(folder, walls, clock.now)


def _head(text: str) -> str:
    from bracing.storm.clock import refuse

    if not re.fullmatch(r"[0-9a-fA-F]{8,64}", text, re.ASCII):
        refuse("--head", text, "a head as a message has it: 8 to 64 letters 0 to 9 and a to f")
    return text


def _put(
    rows: tuple[Row, ...],
    path: Path,
    files: tuple[Path, ...],
    asked: dict[str, str | None],
    clock: Clock,
    *,
    overwrite: bool,
) -> list[str]:
    from bracing.reading.files import Output
    from bracing.site.record import backup, table

    made = []
    for option, name in (("-o", asked["out"]), ("--backup", asked["backup"])):
        if name is not None:
            Output(option, overwrite=overwrite).check(Path(name))
    if asked["out"] is not None:
        made.append(str(Output("-o", overwrite=overwrite).put(Path(asked["out"]), table(rows, clock))))
    if asked["backup"] is not None:
        content = backup(path, files)
        made.append(str(Output("--backup", overwrite=overwrite).put(Path(asked["backup"]), content)))
    return made


def _lines(rows: tuple[Row, ...], clock: Clock, *, whole: bool) -> list[str]:
    from bracing.said import Said
    from bracing.site.record import at_of, told

    page = page_of(metric=False)
    shown = rows if whole else rows[-SHOWN:]
    cells = [
        (
            str(row.seq),
            at_of(row, clock)[5:16].replace("T", " "),
            row.wall.removesuffix(".toml") or "-",
            told(row),
            row.who,
        )
        for row in shown
    ]
    before = len(rows) - len(shown)
    lines = page.para(page.said(Said("log-before", count=before))) if before else []
    return lines + (page.table(("row", "at", "wall", "told", "by"), cells, align="rllll") if cells else [])


def _last(rows: tuple[Row, ...], verified: bool | None, files: list[str]) -> list[str]:  # noqa: FBT001
    from bracing.reading.log import head_of
    from bracing.said import Said

    page = page_of(metric=False)
    lines = page.para(page.said(Said("log-head", count=len(rows), head=head_of(rows))))
    if verified is not None:
        lines += page.para(page.said(Said("log-whole") if verified else Said("log-broken")))
    return [
        *lines,
        *(line for file in files for line in page.para(page.said(Said("log-written", file=file)))),
    ]


def _json(rows: tuple[Row, ...], clock: Clock, *, head: str, count: int, verified: bool | None) -> LogJson:
    from bracing.results import header_of_several
    from bracing.site.record import at_of, told

    return {
        **header_of_several([head], "log"), "head": head, "rows_in_all": count, "verified": verified,
        "rows": [{
            "seq": row.seq, "at": at_of(row, clock), "kind": row.kind, "wall": row.wall, "who": row.who,
            "link": row.link, "told": told(row), "body": dict(row.body), "prev": row.prev, "hash": row.hash,
        } for row in rows],
        "files": [], "errors": [],
    }  # fmt: skip
