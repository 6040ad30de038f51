"""Every wall of a job against one forecast, worst first, and what to do first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Executor
from pathlib import Path
from typing import TypedDict

from attrs import field, frozen

from bracing.errors import Fault, FaultJson, InputError
from bracing.job.job import Job
from bracing.results import HeaderJson, header_of_several, verdict_rank, without_braces, worst_first
from bracing.said import Verdict
from bracing.storm.answer import StormJson, StormResult, standing, storm
from bracing.storm.clock import Clock
from bracing.storm.first import First, FirstJson
from bracing.storm.forecast import Forecast
from bracing.work.parts import Part, Parts

_StormJobKeys = TypedDict("_StormJobKeys", {
    "verdict": Verdict, "no_braces_on_file": list[str], "walls": list[StormJson], "truck": dict[Part, int],
    "first": FirstJson | None, "errors": list[FaultJson], "left_out": list[FaultJson],
})  # fmt: skip


class StormJobJson(HeaderJson, _StormJobKeys):
    """What `JobStorm` gives."""


@frozen(eq=False)
class JobStorm:
    """The walls of a job.

    Attributes:
        results: one a wall, worst first.
        faults: what could not be read; those walls have no answer.
        left_out: what else stands in the folder, and was not asked.
        first: what to do first; None where nobody said who there is.
    """

    results: tuple[StormResult, ...] = field(repr=False)
    faults: tuple[Fault, ...]
    left_out: tuple[Fault, ...] = ()
    first: First | None = None

    @property
    def parts(self) -> Parts:
        """What the work on all walls takes together."""
        return sum((r.ladder.parts for r in self.results if r.ladder is not None), Parts())

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all; not up where no wall is."""
        return min((result.verdict for result in self.results), key=verdict_rank, default=Verdict.ENGINEER)

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
            "truck": self.parts,
            "first": None if self.first is None else self.first.to_dict(),
            "errors": [fault.to_dict() for fault in self.faults],
            "left_out": [fault.to_dict() for fault in self.left_out],
        }


@frozen
class Asking:
    """One forecast, ready to be held against any wall; can be sent to another process.

    Attributes:
        forecast: the forecast.
        clock: the clock of the place.
        lead: time kept in hand [s].
        stands: how long the walls stand, where the command says so [s].
        budget: time to look for the least work, for each wall; None looks for none [s].
    """

    forecast: Forecast
    clock: Clock
    lead: float
    stands: float | None
    budget: float | None = 10.0

    def __call__(self, job: Job) -> StormResult:
        """Answer for one wall."""
        stands = job.site.stands if self.stands is None else self.stands
        time = None if stands is None else standing(self.clock, stands, job.site.design_speed)
        return storm(job, self.forecast, self.clock, lead=self.lead, ladder=self.budget, standing=time)


def storm_folder(
    files: Iterable[Path],
    answer: Callable[[Job], StormResult],
    read: Callable[[Path], Job],
    *,
    executor: Executor | None = None,
    left_out: tuple[Fault, ...] = (),
) -> JobStorm:
    """Hold one forecast against every wall of a job.

    Args:
        files: the wall files.
        answer: gives the answer of one wall.
        read: reads one file.
        executor: spreads the walls over its workers; None does them one after another.
        left_out: what else stands in the folder, and is not asked.
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
    return JobStorm(tuple(results), tuple(faults), left_out)


def _tried(answer: Callable[[Job], StormResult], job: Job) -> StormResult | list[Fault]:
    try:
        return answer(job)
    except InputError as error:
        return list(error.faults)
