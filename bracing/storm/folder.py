"""A job folder: every wall file in it against one forecast, worst first, and one list for the truck."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Executor
from pathlib import Path
from typing import TypedDict

from attrs import field, frozen

from bracing.check import ENGINEER
from bracing.errors import Fault, FaultJson, InputError
from bracing.job.job import Job
from bracing.results import HeaderJson, Verdict, header_of_several
from bracing.stages.on_file import verdict_rank, without_braces, worst_first
from bracing.storm.answer import StormJson, StormResult
from bracing.work.parts import Truck

_StormJobKeys = TypedDict("_StormJobKeys", {
    "verdict": Verdict, "no_braces_on_file": list[str], "walls": list[StormJson], "truck": dict[str, int],
    "errors": list[FaultJson],
})  # fmt: skip


class StormJobJson(HeaderJson, _StormJobKeys):
    """What `JobStorm` gives."""


@frozen(eq=False)
class JobStorm:
    """The walls of a job.

    Attributes:
        results: one a wall, worst first.
        faults: what could not be read; those walls have no answer.
    """

    results: tuple[StormResult, ...] = field(repr=False)
    faults: tuple[Fault, ...]

    @property
    def truck(self) -> Truck:
        """What the work on all walls takes together."""
        return sum((r.ladder.truck for r in self.results if r.ladder is not None), Truck())

    @property
    def verdict(self) -> str:
        """The worst verdict of all; not up where no wall is."""
        return min((result.verdict for result in self.results), key=verdict_rank, default=ENGINEER)

    @property
    def without_braces(self) -> tuple[str, ...]:
        """Names of the walls that are up without a brace on file."""
        return tuple(r.job.wall.name for r in self.results if without_braces(r.job))

    def to_dict(self) -> StormJobJson:
        """Give the job as JSON."""
        return {
            **header_of_several((result.job.sha256 for result in self.results), "storm-job"),
            "verdict": self.verdict,
            "no_braces_on_file": list(self.without_braces),
            "walls": [result.to_dict() for result in self.results],
            "truck": dict(sorted(self.truck.items())),
            "errors": [fault.to_dict() for fault in self.faults],
        }


def wall_files(folder: str | Path) -> tuple[Path, ...]:
    """Give the wall files of a folder, by name: every TOML file that has a [wall] table.

    Args:
        folder: the folder.

    Raises:
        InputError: there is none.
    """
    found = tuple(path for path in sorted(Path(folder).glob("*.toml")) if _has_wall(path))
    if not found:
        what = "FILE"
        raise InputError.of(what, str(folder), "a folder with wall files in it, each with a [wall] table")
    return found


def _has_wall(path: Path) -> bool:
    """A file that cannot be read counts as a wall: its fault has to be seen."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return True
    return not text.strip() or any(line.strip().startswith("[wall") for line in text.splitlines())


def storm_folder(
    files: Iterable[Path],
    answer: Callable[[Job], StormResult],
    read: Callable[[Path], Job],
    *,
    executor: Executor | None = None,
) -> JobStorm:
    """Hold one forecast against every wall of a job.

    Args:
        files: the wall files.
        answer: gives the answer of one wall.
        read: reads one file.
        executor: spreads the walls over its workers; None does them one after another.
    """
    jobs: list[Job] = []
    faults: list[Fault] = []
    for path in files:
        try:
            jobs.append(read(path))
        except InputError as error:
            faults += error.faults
    results = []
    spread = map if executor is None else executor.map
    for found in spread(_tried, [answer] * len(jobs), jobs):
        if isinstance(found, StormResult):
            results.append(found)
        else:
            faults += found
    results = worst_first(results, lambda r: (r.job, r.verdict, r.margin))
    return JobStorm(tuple(results), tuple(faults))


def _tried(answer: Callable[[Job], StormResult], job: Job) -> StormResult | list[Fault]:
    try:
        return answer(job)
    except InputError as error:
        return list(error.faults)
