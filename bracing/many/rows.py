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
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from datetime import date
from itertools import chain, islice
from multiprocessing import connection, parent_process
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any, TextIO

from attrs import asdict, field, frozen

from bracing.check import check
from bracing.codes.gusts import people_may_stay, thunderstorm_gust
from bracing.errors import BracingError, InputError, MissingExtraError, cells, near_names
from bracing.job.job import NO_BRACES, Job
from bracing.many.kept import FILE, ListAsked, ListRow, RowResult, taken_up
from bracing.reading.files import Output, note_read, refuse_unplain
from bracing.reading.jobs import read_job
from bracing.reading.options import OPTIONS, SEVERAL, job_from_options
from bracing.results import ListedJson, header_of_several, without_braces
from bracing.said import Verdict
from bracing.storm.clock import refuse
from bracing.text.quantities import ENGLISH
from bracing.units import Mph

BAD_ROW = "bad row"
CHUNK = 8  # rows a worker takes at a time
AHEAD = 16  # chunks handed out and not yet written
RESULTS = Output("--out", overwrite=True)  # of results only: anything else in the file is refused


def check_row(row: ListRow, asked: ListAsked) -> RowResult:
    """Check the wall of one row; whatever is wrong with it is its answer.

    Args:
        row: the row.
        asked: what is asked.
    """
    if row.kept is not None:
        return row.kept
    key, name = asked.key(row), " ".join(row.cells.get("name", "").split())
    if row.fault:
        return RowResult(row.line, key, name, BAD_ROW, error=row.fault)
    try:
        job = _job(row, asked)
        result = check(job, gust=asked.gust, thunderstorm=asked.thunderstorm, effects=False)
    except BracingError as error:
        told = error.faults if isinstance(error, InputError) else ()
        said = "; ".join(f"{f.field}: got {f.value}; expected {f.expected}" for f in told) or str(error)
        return RowResult(row.line, key, name, BAD_ROW, error=" ".join(said.split()))
    first = result.gives_first
    gives = NO_BRACES.lower() if without_braces(job) else "" if first is None else first.link
    return RowResult(
        line=row.line, key=key, wall=job.wall.name if row.cells.get(FILE) else name or job.wall.name,
        verdict=str(result.verdict), clear_out_gust_mph=result.clear_out, limit_gust_mph=result.limit_whole,
        limit_gust_one_missing_mph=result.one_missing, gives_first=gives,
        mark="" if first is None or first.mark is None else first.mark,
        error="; ".join(map(ENGLISH.said, result.beyond)), **_chances(job, asked),
    )  # fmt: skip


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


def _job(row: ListRow, asked: ListAsked) -> Job:
    options: dict[str, object] = dict(row.cells)
    named = options.pop(FILE, None)
    if named is not None:
        if set(options) - {"name"}:
            refuse(FILE, named, "the wall in a file or in columns, not both")
        return read_job(Path(asked.folder) / str(named))
    for name in SEVERAL:
        if name in options:
            options[name] = [part.strip() for part in str(options[name]).split(";") if part.strip()]
    return job_from_options(**options)


def check_rows(
    rows: Iterable[ListRow], asked: ListAsked, *, executor: Executor | None = None, chunk: int = CHUNK
) -> Iterator[RowResult]:
    """Check a list of walls, in its order, a bounded part of it at a time.

    Args:
        rows: the rows; read as they are needed.
        asked: what is asked.
        executor: any executor of concurrent.futures, over cores or over machines; None works in this process.
        chunk: rows a worker takes at a time.

    Yields:
        The answer of each row.
    """
    if executor is None:
        for row in rows:
            yield check_row(row, asked)
        return
    waiting: deque[Future[list[RowResult]]] = deque()
    parts = _parts(iter(rows), chunk)
    try:
        for part in parts:
            waiting.append(executor.submit(check_part, part, asked))
            if len(waiting) >= AHEAD:
                yield from waiting.popleft().result()
        while waiting:
            yield from waiting.popleft().result()
    finally:
        for future in waiting:
            future.cancel()


def check_part(rows: list[ListRow], asked: ListAsked) -> list[RowResult]:
    """Check some rows; what a worker does.

    Args:
        rows: the rows.
        asked: what is asked.
    """
    return [check_row(row, asked) for row in rows]


def _parts(rows: Iterator[ListRow], size: int) -> Iterator[list[ListRow]]:
    while part := list(islice(rows, size)):
        yield part


# -- the list --------------------------------------------------------------------------------------------


def read_rows(stream: TextIO, *, file: str, known: Iterable[str] = OPTIONS) -> Iterator[ListRow]:
    """Read a list row by row; a row that is none comes with its fault.

    Args:
        stream: CSV text.
        file: its name, for a fault in its first line.
        known: the columns it may have beside that of a wall file.

    Raises:
        InputError: the first line names no columns, or one that is not known.
    """
    reader = csv.reader(stream)
    head = _next_row(reader)
    columns = [_plain(cell) for cell in head] if isinstance(head, list) else []
    _check_columns(columns, (*known, FILE), file)
    while (cells := _next_row(reader)) is not None:
        if isinstance(cells, str):
            yield ListRow(reader.line_num, {}, cells)
        elif any(cell.strip() for cell in cells):
            fault = "" if len(cells) == len(columns) else f"{len(cells)} cells, and {len(columns)} columns"
            pairs = zip(columns, cells, strict=False)
            yield ListRow(reader.line_num, {name: c.strip() for name, c in pairs if c.strip()}, fault)


def _next_row(reader: Iterator[list[str]]) -> list[str] | str | None:
    """The next row; what is wrong with it where it is none; None at the end."""
    try:
        return next(reader, None)
    except csv.Error as error:
        return f"not a row of CSV: {error}"


def _plain(cell: str) -> str:
    return cell.strip().lower().lstrip("-").replace("-", "_").replace(" ", "_")


def _check_columns(columns: list[str], known: tuple[str, ...], file: str) -> None:
    where = "line 1"
    if not columns or not any(columns):
        refuse(where, "nothing", "the columns: options of a wall, such as length,height", file=file)
    for name in columns:
        if name not in known:
            near = ", ".join(near_names(name, known)) or "length, height, studs, brace, file"
            refuse(where, name or "an empty column", f"an option of a wall; near: {near}", file=file)
        if columns.count(name) > 1:
            refuse(where, name, "each column once", file=file)


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
    """

    rows: int
    before: int
    again: int
    verdicts: Mapping[str, int] = field(factory=dict)
    without: int = 0
    out: int = 0

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
        counts["out"] += within and not people_may_stay(answer.clear_out_gust_mph or 0, planned)

    with _opened(source) as stream, RESULTS.alone(target):
        listed = read_rows(stream, file=str(source))
        first = list(islice(listed, 1))  # the first line of the list is looked at before anything is written
        rows = chain(first, listed)
        with TemporaryFile() as after:
            rest = taken_up(target, rows, asked, after=after, counts=counts, count=count)
            with target.open("a", encoding="utf-8", newline="") as out:
                writer = csv.DictWriter(out, asked.columns, lineterminator="\n", extrasaction="ignore")
                for answer in check_rows(rest, asked, executor=executor):
                    writer.writerow(cells(asdict(answer)))
                    out.flush()
                    count(answer)
                    progress(verdicts.total())
                os.fsync(out.fileno())
    done, kept = verdicts.total(), counts["kept"]
    again = max(0, min(counts["old"], done) - kept)
    return Counts(done, kept, again, dict(verdicts), counts["without"], counts["out"])


def _opened(source: Path) -> TextIO:
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
    try:
        dask: Any = importlib.import_module("distributed")
    except ImportError:
        package, extra = "distributed", "many"
        raise MissingExtraError(package, extra) from None
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
