"""The folder whose pages are served: its walls by their ids, what is worked out of each and kept, and its links."""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import re
import threading
import time
from collections.abc import Callable, Iterable
from concurrent.futures import Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any

from attrs import Factory, field, frozen

from bracing.errors import Fault, InputError
from bracing.reading.house import read_watched
from bracing.reading.log import KEPT, LOG, last_rows
from bracing.reading.source import wall_folder
from bracing.results import worst_first
from bracing.site.links import Link, links_of
from bracing.site.sums import Worked, stamp_of, tried, worked
from bracing.storm.clock import Clock, zone_named
from bracing.storm.forecast import utc_now
from bracing.text.languages import OWN

PATIENCE_S = 8.0  # a page waits so long for its numbers, and then says that they are being worked out
LONG_S = 20.0  # the same, of what is asked for by itself
MOST_ANSWERS = 200
_SPAWN = multiprocessing.get_context("spawn")  # threads are about


def wall_id(file: Path) -> str:
    """Give what a wall is called in an address: letters of its file's name, and six of its hash.

    Args:
        file: its file.

    Example:
        >>> wall_id(Path("South Gable.toml"))
        'south-gable-ee6b5b'
    """
    slug = re.sub(r"[^a-z0-9]+", "-", file.stem.lower()).strip("-")[:40] or "wall"
    name = file.name.encode("utf-8", "surrogateescape")
    return f"{slug}-{hashlib.sha256(name).hexdigest()[:6]}"


def _end_with_the_server() -> None:
    """Leave no process behind a server that was killed."""
    server = multiprocessing.parent_process()
    assert server is not None

    def end() -> None:
        server.join()
        os._exit(0)

    threading.Thread(target=end, daemon=True).start()


def _pool() -> ProcessPoolExecutor:
    return ProcessPoolExecutor(1, mp_context=_SPAWN, initializer=_end_with_the_server)


@frozen(eq=False)
class _Worker:
    """A process that works things out one after another; begun anew where it was killed."""

    _pools: list[ProcessPoolExecutor] = field(factory=lambda: [_pool()])
    _lock: threading.Lock = field(factory=threading.Lock)

    def submit(self, task: Callable[..., Any], *given: object) -> Future[Any]:
        """Have a task done.

        Args:
            task: the task.
            given: what it is done with.
        """
        with self._lock:
            try:
                return self._pools[-1].submit(task, *given)
            except BrokenProcessPool:
                self._pools[:] = [_pool()]
                return self._pools[-1].submit(task, *given)

    def close(self) -> None:
        """Stop it."""
        self._pools[-1].shutdown(wait=False, cancel_futures=True)


@frozen(eq=False)
class Desk:
    """A folder of walls, ready to be shown.

    Attributes:
        folder: the folder.
        name: what the job is called.
        zone: name of the zone of its clocks; None is the computer's own.
        language: in which its pages are written.
    """

    folder: Path
    name: str
    zone: str | None
    language: str = OWN
    _numbers: _Worker = field(factory=_Worker)
    _long: _Worker = field(factory=_Worker)  # what takes its time keeps no number waiting
    _lock: threading.Lock = field(factory=threading.Lock)
    _walls: dict[str, Worked] = field(factory=dict)
    _running: dict[str, Future[Any]] = field(factory=dict)
    _answers: dict[object, Future[Any]] = field(factory=dict)
    _listed: dict[str, Any] = Factory(dict)

    @property
    def log(self) -> Path:
        """The log of the folder."""
        return self.folder / KEPT / LOG

    def clock(self) -> Clock:
        """Give the clock of the place, now."""
        return Clock(utc_now(), zone_named(self.zone))

    # -- walls -----------------------------------------------------------------------------------------------

    def files(self) -> tuple[dict[str, Path], tuple[Fault, ...]]:
        """Give the wall files by id, and what else stands in the folder and is left out."""
        inside = sorted(path for path in self.folder.iterdir() if path.name != KEPT)
        key = tuple(
            (path.name, stamp_of(path)) for path in inside if path.suffix.lower() == ".toml" or path.is_dir()
        )
        with self._lock:
            if self._listed.get("key") != key:
                try:
                    found = wall_folder(self.folder)
                    files, left = found.files, found.left_out
                except InputError as error:
                    files, left = (), tuple(error.faults)
                self._listed.update(key=key, found=({wall_id(file): file for file in files}, left))
            listed: tuple[dict[str, Path], tuple[Fault, ...]] = self._listed["found"]
            return listed

    def walls(self, files: Iterable[Path], patience: float = PATIENCE_S) -> dict[Path, Worked | None]:
        """Give what is worked out of some walls, as they are now.

        Args:
            files: their files.
            patience: how long to wait for what is not known yet [s].

        Returns:
            What there is of each by then; None while it is being worked out.
        """
        wanted, until = list(files), time.monotonic() + patience
        while True:
            rows = last_rows(self.log)
            found = {file: self._kept(file, rows) for file in wanted}
            missing = [file for file, one in found.items() if one is None]
            left = until - time.monotonic()
            if not missing or left <= 0.0:
                return found
            wait([self._begun(file) for file in missing], timeout=left)
            for file in missing:
                self._taken(file)

    def _kept(self, file: Path, rows: dict[str, int]) -> Worked | None:
        with self._lock:
            one = self._walls.get(file.name)
        return one if one is not None and one.still(rows) else None

    def _begun(self, file: Path) -> Future[Any]:
        with self._lock:
            running = self._running.get(file.name)
            if running is None:
                running = self._running[file.name] = self._numbers.submit(
                    worked, file, self.log, self.language
                )
            return running

    def _taken(self, file: Path) -> None:
        with self._lock:
            running = self._running.get(file.name)
            if running is None or not running.done():
                return
            del self._running[file.name]
            if running.exception() is None:
                self._walls[file.name] = running.result()
                return
        why = Fault(str(file), "file", "a fault of the program itself", "it to be reported; look at the wall")
        if not isinstance(running.exception(), BrokenProcessPool):
            with self._lock:
                self._walls[file.name] = Worked(file, ((str(file), stamp_of(file)),), faults=(why,))

    # -- what is asked for by itself -----------------------------------------------------------------------

    def answer(self, key: object, task: Callable[[], Any] | None = None, *, patience: float = LONG_S) -> Any:  # noqa: ANN401  (what the task gives)
        """Give the answer of a task that takes its time.

        Args:
            key: the same for the same answer.
            task: what is to be done; None asks for what was asked before.
            patience: how long to wait [s].

        Returns:
            What it gives; None while it is at work.

        Raises:
            KeyError: it was not asked before, or long ago.
        """
        with self._lock:
            future = self._answers[key] if task is None else self._answers.get(key)
            broken = (
                future is not None and future.done() and isinstance(future.exception(), BrokenProcessPool)
            )
            if task is not None and (future is None or broken):
                future = self._answers[key] = self._long.submit(tried, task)
                while len(self._answers) > MOST_ANSWERS:
                    del self._answers[next(iter(self._answers))]
        assert future is not None
        wait([future], timeout=patience)
        return future.result() if future.done() else None

    # -- links ---------------------------------------------------------------------------------------------

    def links(self) -> dict[str, Link]:
        """Give the links of the job, by the hash of their token."""
        last = last_rows(self.log).get("", 0)
        with self._lock:
            kept = self._listed.get("links")
        if kept is None or kept[0] != last:
            kept = (last, links_of(self.log))
            with self._lock:
                self._listed["links"] = kept
        found: dict[str, Link] = kept[1]
        return found

    def close(self) -> None:
        """Stop what works things out."""
        self._numbers.close()
        self._long.close()


def desk_of(folder: Path) -> Desk:
    """Make ready a folder of walls.

    Args:
        folder: the folder.

    Raises:
        InputError: every fault of its `job.toml`.
    """
    named, _ = read_watched(folder)
    return Desk(folder, named.name or folder.resolve().name, named.time_zone, named.language)


def in_order(walls: Iterable[Worked]) -> list[Worked]:
    """Sort walls as their page lists them: no braces on file, what cannot be read, then the worst first.

    Args:
        walls: the walls.
    """
    every = list(walls)
    read = worst_first([one for one in every if one.job is not None], lambda one: one.asked)
    bare = [one for one in read if one.bare]
    return [*bare, *(one for one in every if one.job is None), *(one for one in read if not one.bare)]
