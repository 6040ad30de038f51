"""One wall in the worst hour, asked again and again with a little changed: what is over, and the limit gust.

A storm's profile only scales the pressure, so the hour with the greatest pressure is the worst for every
link, and one limit gives that of every other hour.
"""

from __future__ import annotations

import math

from attrs import evolve, field, frozen

from bracing.budget import Budget
from bracing.chain.evaluate import groups_at, limit_gust, worst_ratio
from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import Link
from bracing.chain.model import Model, build_model, with_job
from bracing.choosing import over, sorted_by
from bracing.codes.basis import IN_USE
from bracing.job.job import Job
from bracing.job.wall import Plate, Wall
from bracing.storm.forecast import Forecast, Hour
from bracing.units import Mph, Psi

LADDER_BUDGET = 10.0  # for the search of the least work [s]
LEAST_GUST: Mph = 5.0  # the tool covers no less; a calmer hour is checked at this


def profile(job: Job, *, thunderstorm: bool) -> Psi:
    """Give the velocity pressure of a gust of 1 mph on a wall, in one of the two profiles.

    Args:
        job: the job.
        thunderstorm: profile of an outflow.

    Returns:
        The pressure [psi].
    """
    above = job.floor.height_above_ground
    return IN_USE.pressure_per_mph2(job.site, job.wall.highest, above, thunderstorm=thunderstorm)


def worst_hour(job: Job, forecast: Forecast) -> Hour:
    """Give the hour with the greatest pressure; of equals the first.

    Args:
        job: the job.
        forecast: the forecast.
    """
    return max(
        forecast.hours,
        key=lambda h: (profile(job, thunderstorm=h.thunderstorm) * h.gust**2, -h.start.timestamp()),
    )


def _covered(gust: Mph) -> Mph:
    return max(gust, LEAST_GUST)


@frozen(eq=False)
class Bench:
    """A wall in its worst hour. Grillages are kept, as most changes leave them as they are.

    Attributes:
        gust: the gust of that hour [mph].
        thunderstorm: with the profile of an outflow.
        clock: how much of the budget is left; what is asked takes its part.
    """

    gust: Mph = field(converter=_covered)
    thunderstorm: bool = field(kw_only=True)
    clock: Budget = field(factory=lambda: Budget(LADDER_BUDGET), kw_only=True, repr=False)
    _models: dict[object, Model] = field(factory=dict, init=False, repr=False)

    def model(self, job: Job) -> Model:
        """Give the model of a job.

        Args:
            job: the job.
        """
        self.clock.spend_on_wall(len(job.braces))
        key = _grillage(job)
        known = self._models.get(key)
        if known is None:
            known = self._models[key] = build_model(job, thunderstorm=self.thunderstorm)
        if known.job == job:
            return known
        return with_job(known, job)

    def over(self, job: Job) -> tuple[Link, ...] | None:
        """Give the links over their value in the worst hour, worst first.

        Where the wall can still move they are the links for which a brace counts for nothing; None where all
        braces count.

        Args:
            job: the job.
        """
        forces, groups = groups_at(self.model(job), self.gust)
        if not all(part.held.all() for part in forces):
            return worth_nothing(self.model(job)) or None
        # A link's limit gust takes far longer to find than its ratio: only groups over give links.
        beyond = [group for group in groups if over(float(group.ratios(self.gust).max(initial=0.0)), 1.0)]
        found = [link for group in beyond for link in group.links(self.gust) if over(link.ratio, 1.0)]
        return tuple(sorted_by(found, lambda link: -link.ratio))

    def covers(self, job: Job) -> bool:
        """Whether a job is within in the worst hour.

        Args:
            job: the job.
        """
        return not over(worst_ratio(self.model(job), self.gust), 1.0)

    def limit(self, job: Job) -> Mph:
        """Give the limit gust in the worst hour's profile, unrounded [mph].

        Args:
            job: the job.
        """
        return limit_gust(self.model(job))


def worth_nothing(model: Model) -> tuple[Link, ...]:
    """Give the links for which a brace counts for nothing, push first.

    Args:
        model: the model.
    """
    return tuple(
        Link(
            s.link, direction, strength.brace.mark, x, 0.0, 0.0, s.unit, math.inf, 0.0, s.source, s.why, s.known
        )
        for direction in DIRECTIONS
        for x, strength in zip(model.studs, model.strengths, strict=True)
        for s in getattr(strength, direction)
        if s.capacity <= 0.0
    )  # fmt: skip


def _grillage(job: Job) -> object:
    """What the grillage and its loads hang on; fasteners, straps and spacings leave it as it is."""
    wall: Wall = evolve(
        job.wall,
        plate=Plate(),
        top_plate=evolve(job.wall.top_plate, strap_at_brace_lb=0.0),
        openings=tuple(evolve(opening, header_nails=0) for opening in job.wall.openings),
    )
    braces = tuple((brace.stud_at, brace.head, brace.stud_doubled) for brace in job.braces)
    return wall, job.floor, job.site, braces


def limit_in(job: Job, limit: Mph, *, worst: bool, hour: bool) -> Mph:
    """Give a limit gust found in one profile as it is in another [mph].

    Args:
        job: the job.
        limit: the limit gust [mph].
        worst: the profile it was found in is an outflow's.
        hour: the profile asked is an outflow's.

    Every load of the wind is as its pressure, and that as the gust squared.

    Source: STATICS.
    """
    if worst == hour:
        return limit
    return limit * math.sqrt(profile(job, thunderstorm=worst) / profile(job, thunderstorm=hour))
