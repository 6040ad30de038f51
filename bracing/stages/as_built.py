"""What a walk found, and what it does to the limit gust: the answer of `bracing built`."""

from __future__ import annotations

from attrs import evolve, field, frozen

from bracing.cautions import CAUTIONS
from bracing.check import CheckResult, check
from bracing.job.job import Built, Job
from bracing.results import header
from bracing.stages.walk import Walk, planned_braces


@frozen(eq=False)
class BuiltResult:
    """A wall as it was found, beside its plan.

    Attributes:
        built: who found what, when.
        asked: braces that were asked about.
        plan: the wall as planned, checked.
        found: the wall as found, checked.
    """

    built: Built
    asked: int
    plan: CheckResult = field(repr=False)
    found: CheckResult = field(repr=False)

    @property
    def differ(self) -> int:
        """How many braces differ from the plan."""
        return len({one.mark for one in self.built.found})

    def to_dict(self) -> dict[str, object]:
        """Give the result as JSON."""
        job = self.found.job
        return {
            **header(job, "built"), "wall": job.wall.name, "file": job.file, "state": job.state,
            "when": self.built.when, "by": self.built.by, "asked": self.asked, "differ": self.differ,
            "found": [{"mark": one.mark, "what": one.what} for one in self.built.found],
            "braces": [brace.mark for brace in job.braces],
            "limit_gust_mph": self.found.limit_whole, "clear_out_gust_mph": self.found.clear_out,
            "limit_gust_as_planned_mph": self.plan.limit_whole, "engineer": list(self.found.beyond),
            "cautions": list(CAUTIONS),
        }  # fmt: skip


def beside_plan(walk: Walk, as_built: Job) -> BuiltResult:
    """Hold a wall as found against its plan.

    Args:
        walk: what was found.
        as_built: the wall as the file now gives it.
    """
    assert as_built.built is not None  # a walk has just been written into it
    asked = planned_braces(walk.job)
    plan = evolve(walk.job, braces=tuple(walk.plan[brace.mark] for brace in asked))
    return BuiltResult(as_built.built, len(asked), check(plan, effects=False), check(as_built, effects=False))
