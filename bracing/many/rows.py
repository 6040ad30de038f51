"""A builder's list of walls: one a row, streamed, spread over workers, and taken up again where it was broken off.

A row has the options of a wall for columns (length, height, studs, brace, ...), or a wall file in the column `file`.
Results come in the order of the rows, whatever order the workers finish in, so that a run that was killed and taken
up again ends in the same file as one that was not. Each stands under a key of all it was made of: the row, the files it
names, the gust, the program and its tables; a result whose key is not what it would be now is worked out again.
"""

from __future__ import annotations

import csv
import hashlib
import importlib
import os
import threading
import time
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import date
from functools import lru_cache
from itertools import islice
from multiprocessing import connection, parent_process
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any, TextIO

from attrs import evolve, field, frozen

from bracing.check import CheckResult, check
from bracing.choosing import whole_up
from bracing.codes.gusts import people_may_stay, thunderstorm_gust
from bracing.errors import BracingError, InputError, NoLayoutError, cells, from_extra
from bracing.job.envelope import beyond
from bracing.job.fields import held_value
from bracing.job.job import NO_BRACES, Job
from bracing.layout.plan import LayoutResult, lay_out
from bracing.many.columns import (
    FILE,
    LIKE,
    LOT,
    NAME,
    Columns,
    is_workbook,
    job_of_row,
    read_head,
    rows_of_table,
)
from bracing.many.kept import ListAsked, ListRow, RowResult, package_sha256, taken_up
from bracing.reading.files import Output, note_read, refuse_unplain
from bracing.results import ListedJson, header_of_several, said_first, without_braces
from bracing.said import Verdict
from bracing.storm.clock import refuse
from bracing.text.page import WIND_DOES
from bracing.text.quantities import ENGLISH
from bracing.units import Mph, tape

BAD_ROW = "bad row"
LIKE_WALLS = "like walls"  # what every wall of a list is called while it is checked
LIKE_KEPT = 2048  # answers of rows that say the same: a builder puts up the same few walls on every lot
CHUNK, MOST_ROWS = 4, 256  # rows a worker takes the first time, and at most
CHUNK_SECONDS = 0.2  # how long a worker should be busy with what it takes
AHEAD = 64  # chunks handed out and not yet written
RESULTS = Output("--out", overwrite=True)  # of results only: anything else in the file is refused


def check_row(row: ListRow, asked: ListAsked) -> RowResult:
    """Check the wall of one row; whatever is wrong with it is its answer.

    Args:
        row: the row.
        asked: what is asked.
    """
    if row.kept is not None:
        return row.kept
    name, lot = (" ".join(row.cells.get(column, "").split()) for column in (NAME, LOT))
    told = _bad(row.fault) if row.fault else _answer(row.cells, asked)
    wall = told.wall if FILE in row.cells and told.wall else name or told.wall
    return evolve(told, line=row.line, key=asked.key(row), wall=wall, lot=lot, own=row.own)


def _bad(why: str) -> RowResult:
    return RowResult(0, "", "", BAD_ROW, error=why, why=why)


def _answer(cells: Mapping[str, str], asked: ListAsked) -> RowResult:
    """What is answered of a row but what tells it from like ones, which are worked out once where no file is read."""
    given = {column: text for column, text in cells.items() if column != LOT}
    if not {FILE, LIKE} & set(given) and not asked.chance_on and _may_be_called(given.get(NAME)):
        given.pop(NAME, None)
        return _like(tuple(given.items()), evolve(asked, own=()))
    return _worked_out(given, asked)


@lru_cache(maxsize=LIKE_KEPT)
def _like(cells: tuple[tuple[str, str], ...], asked: ListAsked) -> RowResult:
    return _worked_out(dict(cells), asked)


def _may_be_called(name: str | None) -> bool:
    """Whether a wall may have a name; where not, the row is read with it, and its faults are told together."""
    try:
        held_value(name, "name", NAME)
    except InputError:
        return False
    return True


def _worked_out(cells: Mapping[str, str], asked: ListAsked) -> RowResult:
    """Check the wall of some cells; whatever is wrong with it is its answer."""
    try:
        job = job_of_row(cells, Path(asked.folder))
        plan, why_none = _laid(job, asked) if asked.lay else (None, "")
        if plan is None:
            result = check(nameless(job), gust=asked.gust, thunderstorm=asked.thunderstorm, effects=False)
        else:
            job, result = plan.job, plan.result
    except BracingError as error:
        told = error.faults if isinstance(error, InputError) else ()
        of = (f"{f.field}: got {f.value}; expected {f.expected}" for f in told)
        said = "; ".join(of) or str(error)
        said = f"{told[0].file}: {said}" if told and told[0].field == FILE else said
        return _bad(" ".join(said.split()))
    first, nothing = result.gives_first, asked.lay and plan is None and not result.beyond
    bare = nothing or without_braces(job)
    gives = NO_BRACES.lower() if bare else "" if first is None else first.link
    verdict = result.as_drawn if plan is not None else Verdict.OVER if nothing else result.verdict
    return RowResult(
        line=0, key="", wall=job.wall.name,
        verdict=str(verdict), clear_out_gust_mph=0 if nothing else result.clear_out,
        limit_gust_mph=0 if nothing else result.limit_whole,
        limit_gust_one_missing_mph=None if nothing else result.one_missing, gives_first=gives,
        mark="" if nothing or first is None or first.mark is None else first.mark,
        error="; ".join(map(ENGLISH.said, result.beyond)), own=(),
        why=why_none or why_of(result, verdict), **({} if plan is None else _of_layout(plan)), **_chances(job, asked),
    )  # fmt: skip


def nameless(job: Job) -> Job:
    """Give a job without what tells it from a like one: what is worked out for the one then counts for the other.

    Args:
        job: the job.
    """
    return evolve(job, wall=evolve(job.wall, name=LIKE_WALLS), sha256="")


def _laid(job: Job, asked: ListAsked) -> tuple[LayoutResult | None, str]:
    """The layout of one wall, from the middle out and no search by the clock; or why there is none.

    By the clock a list taken up again on a busier machine would end otherwise.
    """
    try:
        return lay_out(job, gust=asked.gust, thunderstorm=asked.thunderstorm, budget=0.0), ""
    except NoLayoutError as error:
        if beyond(job, asked.gust):
            return None, ""
        return None, ENGLISH.said(error.why)


def _of_layout(plan: LayoutResult) -> dict[str, str]:
    """What the results say of a layout."""
    braces = [
        f"{tape(b.stud_at)}:head {tape(b.head)}:back {tape(b.set_back)}:{b.size}:{b.lap_side}:ties {b.ties}"
        f":{b.head_fasteners}/{b.cleat_fasteners}/{b.floor_fasteners}{':doubled' if b.stud_doubled else ''}:{b.foot_on}"
        for b in plan.job.braces
    ]
    return {
        "braces": str(len(braces)), "work_minutes": str(whole_up(plan.minutes)), "laid_out": "; ".join(braces),
        "needed_too": "; ".join(map(ENGLISH.said, plan.needed)),
    }  # fmt: skip


def why_of(result: CheckResult, verdict: Verdict | None) -> str:
    """Say why a verdict is no better than it is; nothing of a wall that is within.

    Args:
        result: the wall checked.
        verdict: its verdict.
    """
    if verdict == Verdict.WITHIN:
        return ""
    if result.beyond:
        return "; ".join(map(ENGLISH.said, result.beyond))
    said = [ENGLISH.said(each) for each in said_first(result.job)]
    first = result.gives_first
    if verdict == Verdict.OVER and first is not None:
        said.append(f"{first.link}{f' at {first.mark}' if first.mark else ''}, {WIND_DOES[first.direction]}")
    return "; ".join(said)


def _chances(job: Job, asked: ListAsked) -> dict[str, str]:
    """The chances of one wall, as a page prints them; nothing where none were asked, or none is given."""
    if not asked.chance_on:
        return {}
    from bracing.chance.answer import chance
    from bracing.text.chance import two_digits

    found = chance(
        job, today=date.fromisoformat(asked.chance_on), forecast=asked.gust, storms=asked.thunderstorm
    )
    shares = {
        "tonight": found.line_tonight, "tonight_missed": found.missed_tonight, "weeks": found.line_in_weeks,
        "weeks_missed": found.missed_in_weeks,
    }  # fmt: skip
    cells = {
        f"{name}_{end}": two_digits(getattr(share, of))
        for name, share in shares.items()
        if share is not None
        for end, of in (("of_100", "chance"), ("low", "low"), ("high", "high"))
    }
    least = (
        found.weeks is not None
        and found.weeks.at_least(float(found.check.limit_whole or 0))
        and "weeks_of_100" in cells
    )
    return {
        **cells, "weeks_at_least": "yes" if least else "", "no_chance": "; ".join(map(ENGLISH.said, found.why_not))
    }  # fmt: skip


def check_rows(
    rows: Iterable[ListRow], asked: ListAsked, *, executor: Executor | None = None, chunk: int | None = None
) -> Iterator[RowResult]:
    """Check a list of walls, in its order, a bounded part of it at a time.

    A worker takes as many rows as keep it busy for a while, by how long the last took: few where walls are long, many
    where most are like others.

    Args:
        rows: the rows; read as they are needed.
        asked: what is asked.
        executor: any executor of concurrent.futures, over cores or over machines; None works in this process.
        chunk: rows a worker takes at a time; as many as take a while unless given.

    Yields:
        The answer of each row.
    """
    if executor is None:
        for row in rows:
            yield check_row(row, asked)
        return
    package_sha256()  # of every key: read here once, not by every worker
    waiting: deque[Future[tuple[float, list[RowResult]]]] = deque()
    left, size = iter(rows), chunk or CHUNK
    try:
        while True:
            part = list(islice(left, size))
            if part:
                waiting.append(executor.submit(check_part, part, asked))
            while waiting and (not part or len(waiting) >= AHEAD or waiting[0].done()):
                seconds, found = waiting.popleft().result()
                size = chunk or rows_at_once(seconds / len(found))
                yield from found
            if not part:
                return
    finally:
        for future in waiting:
            future.cancel()


def rows_at_once(seconds: float) -> int:
    """Give how many rows a worker takes at a time.

    Args:
        seconds: how long one takes [s].

    Example:
        >>> rows_at_once(0.05), rows_at_once(10.0), rows_at_once(0.0)
        (4, 1, 256)
    """
    return MOST_ROWS if seconds * MOST_ROWS <= CHUNK_SECONDS else max(1, round(CHUNK_SECONDS / seconds))


def check_part(rows: list[ListRow], asked: ListAsked) -> tuple[float, list[RowResult]]:
    """Check some rows; what a worker does.

    Args:
        rows: the rows.
        asked: what is asked.

    Returns:
        How long it took [s], and the answers.
    """
    began = time.monotonic()
    found = [check_row(row, asked) for row in rows]
    return time.monotonic() - began, found


# -- the list --------------------------------------------------------------------------------------------


def read_list(stream: TextIO | None, *, file: str) -> tuple[Columns, Iterator[ListRow]]:
    """Read a list: its columns, and its rows one by one; a row that is none comes with its fault.

    Args:
        stream: CSV text; None of a workbook.
        file: its name.

    Raises:
        InputError: the first line names no columns, or one that is misspelt.
    """
    table = rows_of_table(Path(file), stream)
    _, head = next(table, (1, list[str]()))
    columns = read_head(head if isinstance(head, list) else [], file=file)
    return columns, _rows_under(columns, table, padded=stream is None)


def _rows_under(
    columns: Columns, table: Iterator[tuple[int, list[str] | str]], *, padded: bool
) -> Iterator[ListRow]:
    """The rows under a first line; a workbook's end with their last cell that has anything in it."""
    for line, found in table:
        if isinstance(found, str):
            yield ListRow(line, {}, found)
        elif any(cell.strip() for cell in found):
            whole = [*found, *[""] * (len(columns.names) - len(found))] if padded else found
            fault = (
                ""
                if len(whole) == len(columns.names)
                else f"{len(found)} cells, and {len(columns.names)} columns"
            )
            given = dict(zip(columns.names, (cell.strip() for cell in whole), strict=False))
            own = tuple((name, given.pop(name, "")) for name in columns.own)
            yield ListRow(line, {name: text for name, text in given.items() if text}, fault, own=own)


# -- the file of results ---------------------------------------------------------------------------------


@frozen
class Counts:
    """How many rows came out how.

    Attributes:
        rows: in all.
        before: of them, already in the file of results, of all the same.
        again: of them, in it of something else, and worked out again.
        verdicts: by verdict.
        without: walls that are up without a brace on file.
        out: walls within their limit that people must be out of at the gust asked.
        own: columns of the office's own, kept and not read.
    """

    rows: int
    before: int
    again: int
    verdicts: Mapping[str, int] = field(factory=dict)
    without: int = 0
    out: int = 0
    own: tuple[str, ...] = ()

    @property
    def bad(self) -> int:
        """Rows that are no wall."""
        return self.verdicts.get(BAD_ROW, 0)

    @property
    def all_within(self) -> bool:
        """Whether every wall that is up is within; a list without one is not."""
        up = self.rows - self.bad - self.verdicts.get(Verdict.NOT_UP, 0)
        return 0 < up == self.verdicts.get(Verdict.WITHIN, 0)

    def to_dict(self, source: Path, target: Path, gust: Mph) -> ListedJson:
        """Give the counts as JSON.

        Args:
            source: the list.
            target: the file of results.
            gust: the gust asked [mph].
        """
        with source.open("rb") as stream:
            digest = hashlib.file_digest(stream, "sha256").hexdigest()
        return {
            **header_of_several([], "walls"), "input_sha256": digest, "results": str(target), "gust_mph": gust,
            "rows": self.rows, "done_before": self.before, "done_again": self.again,
            "no_braces_on_file": self.without, "people_out": self.out, "verdicts": dict(sorted(self.verdicts.items())),
        }  # fmt: skip


def check_list(
    source: Path,
    target: Path,
    asked: ListAsked,
    *,
    executor: Executor | None = None,
    progress: Callable[[int], None] = lambda done: None,
) -> Counts:
    """Check a list of walls into a file of results; what is there already, of all the same, is not done again.

    Args:
        source: the list.
        target: the file of results; a line broken off at its end is done again.
        asked: what is asked.
        executor: any executor of concurrent.futures; None works in this process.
        progress: told how many rows are done, after each.

    Returns:
        How many rows came out how.

    Raises:
        InputError: the list cannot be read; the file of results has something else in it, or takes no file; or
            another run is writing it.
    """
    verdicts: Counter[str] = Counter()
    counts = dict.fromkeys(("old", "kept", "without", "out"), 0)
    planned = thunderstorm_gust(asked.gust) if asked.thunderstorm else asked.gust

    def count(answer: RowResult) -> None:
        verdicts[answer.verdict] += 1
        counts["without"] += answer.gives_first == NO_BRACES.lower()
        within = answer.verdict == Verdict.WITHIN
        counts["out"] += (
            within and not asked.lay and not people_may_stay(answer.clear_out_gust_mph or 0, planned)
        )

    with _opened(source) as stream, RESULTS.alone(target):
        columns, rows = read_list(
            stream, file=str(source)
        )  # its first line is looked at before anything is written
        asked = evolve(asked, own=columns.own)
        with TemporaryFile() as after:
            rest = taken_up(target, rows, asked, after=after, counts=counts, count=count)
            with target.open("a", encoding="utf-8", newline="") as out:
                writer = csv.DictWriter(out, asked.columns, lineterminator="\n", extrasaction="ignore")
                for answer in check_rows(rest, asked, executor=executor):
                    writer.writerow(cells(answer.row()))
                    out.flush()
                    count(answer)
                    progress(verdicts.total())
                os.fsync(out.fileno())
    done, kept = verdicts.total(), counts["kept"]
    again = max(0, min(counts["old"], done) - kept)
    return Counts(done, kept, again, dict(verdicts), counts["without"], counts["out"], asked.own)


def _opened(source: Path) -> AbstractContextManager[TextIO | None]:
    if is_workbook(source):
        return nullcontext()
    try:
        refuse_unplain(source)
        note_read(source)
        return source.open(encoding="utf-8-sig", errors="replace", newline="")
    except OSError as error:
        refuse(
            "file",
            (error.strerror or str(error)).lower(),
            "a list of walls that can be read",
            file=str(source),
        )


# -- who does the work -----------------------------------------------------------------------------------

LOCAL = "local"
MOST_WORKERS = 256


@contextmanager
def spread(workers: int | None = None, dask: str | None = None) -> Iterator[Executor | None]:
    """Give an executor for as long as it is needed; None where this process does the work.

    Args:
        workers: processes; one a core unless given.
        dask: address of a Dask scheduler, or "local" for a cluster on this machine; None does without.

    Yields:
        The executor.

    Raises:
        InputError: no such number of workers.
        MissingExtraError: Dask is asked for and not installed.
    """
    if workers is not None and not 1 <= workers <= MOST_WORKERS:
        refuse("--workers", workers, f"1 to {MOST_WORKERS}")
    count = workers or os.cpu_count() or 1
    if dask is not None:
        with _dask(dask, count) as executor:
            yield executor
    elif count == 1:
        yield None
    else:
        with ProcessPoolExecutor(count, initializer=die_with_parent) as pool:
            yield pool


@contextmanager
def _dask(address: str, workers: int) -> Iterator[Executor]:
    with from_extra("distributed", "many"):
        dask: Any = importlib.import_module("distributed")
    if address == LOCAL:
        with (
            dask.LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as cluster,
            dask.Client(cluster) as client,
            client.get_executor() as executor,
        ):
            yield executor
        return
    try:
        client = dask.Client(address, timeout=10)
    except (
        OSError,
        ValueError,
        TypeError,
        RuntimeError,
        ImportError,
    ) as error:  # by what the address begins with
        why = " ".join(str(error).split())[:60]
        refuse("--dask", address, f"the address of a Dask scheduler that answers ({why})")
    with client, client.get_executor() as executor:
        yield executor


def die_with_parent() -> None:
    """Let a worker end with the process that started it: one that is killed outright leaves nobody behind."""
    parent = parent_process()
    if parent is None:
        return

    def wait() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()
