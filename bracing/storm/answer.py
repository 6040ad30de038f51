"""A forecast against a wall that stands, or every wall of a job: hour by hour, when to be out, what to do."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TypedDict

from attrs import Factory, evolve, field, frozen

from bracing.chain.evaluate import Limited, Limits
from bracing.chain.links import Direction
from bracing.check import AssumedJson, CheckResult, check
from bracing.choosing import Budget, over, whole_down, whole_up
from bracing.codes.gusts import construction_period_factor, equivalent_gust_of_design, people_may_stay
from bracing.job.fields import held_part, held_value
from bracing.job.job import Job
from bracing.lift.hung import weigh_lightly
from bracing.lift.line import lift_gust
from bracing.lift.plan import body_of
from bracing.results import HeaderJson, header, verdict_rank
from bracing.said import Said, Verdict
from bracing.stages.take_down import Kept
from bracing.storm.clock import Clock, refuse
from bracing.storm.forecast import Forecast, Hour, from_now_on
from bracing.storm.ladder import (
    LADDER_BUDGET,
    LEAST_GUST,
    Ladder,
    RemedyStep,
    WorstHour,
    find_ladder,
    limits_in,
    worst_hour,
)
from bracing.units import Mph, Second
from bracing.work.minutes import own_minutes
from bracing.work.parts import Part

StandingJson = TypedDict("StandingJson", {
    "stands_s": float, "until": str, "nights": int, "weekends": int, "factor": float, "design_speed_mph": float | None,
    "equivalent_gust_mph": float | None,
})  # fmt: skip
WhereJson = TypedDict("WhereJson", {
    "link": str, "direction": Direction, "mark": str | None,
})  # fmt: skip
WorstJson = TypedDict("WorstJson", {
    "from": str, "gust_mph": float,
})  # fmt: skip
SourceJson = TypedDict("SourceJson", {
    "source": str, "understood": Said | None, "notes": list[str], "not_covered_until": str | None,
})  # fmt: skip
HourJson = TypedDict("HourJson", {
    "from": str, "to": str | None, "given_mph": float, "basis": str, "thunderstorm": bool, "gust_mph": float,
    "limit_gust_mph": int, "verdict": Verdict, "out": bool,
})  # fmt: skip
RemedyStepJson = TypedDict("RemedyStepJson", {
    "kind": list[str], "what": list[Said], "marks": list[str], "limit_gust_mph": int, "minutes_for_two": int,
    "falls": list[Said], "truck": dict[Part, int],
})  # fmt: skip
LadderJson = TypedDict("LadderJson", {
    "covers": bool, "why_not": str | None, "plans_tried": int, "minutes_for_two": int,
    "own_minutes": dict[str, float], "start_by": str | None,
    "time_for_all": bool, "truck": dict[Part, int], "rungs": list[RemedyStepJson],
    "brings": list[Said],
})  # fmt: skip
LayDownJson = TypedDict("LayDownJson", {
    "before": str | None, "lift_limit_mph": float | None, "lift_limit_set_by": Said | None,
})  # fmt: skip
_StormKeys = TypedDict("_StormKeys", {
    "wall": str, "file": str, "state": str, "verdict": Verdict, "engineer": list[Said],
    "clear_out_gust_mph": int | None, "clear_out_at": str | None, "out_by": str | None, "lead_s": float,
    "limit_gust_mph": int | None, "limit_gust_with_people_mph": int | None, "limit_gust_one_missing_mph": int | None,
    "limit_gust_one_lost_mph": int | None, "gives_first": WhereJson | None,
    "first_over": str | None, "worst": WorstJson, "forecast": SourceJson, "hours": list[HourJson],
    "ladder": LadderJson | None, "lay_down": LayDownJson | None, "standing": StandingJson | None,
    "warnings": list[Said], "assumed": list[AssumedJson], "cautions": list[Said],
})  # fmt: skip


class StormJson(HeaderJson, _StormKeys):
    """What `StormResult` gives."""


@frozen
class LayDown:
    """When a wall can still be laid down.

    Attributes:
        limit: lift wind limit, whole [mph].
        gives_first: what sets that limit.
        before: it lies by then, and people are out of the way; None where it is too late for that.
    """

    limit: int
    gives_first: Said
    before: datetime | None


def lay_down(job: Job, forecast: Forecast, *, out_by: datetime, now: datetime, lead: timedelta) -> LayDown:
    """Find until when a wall can be laid down: people not yet out, the gust not past the lift limit.

    Args:
        job: the job.
        forecast: the forecast.
        out_by: when people must be out.
        now: the present moment.
        lead: time kept in hand.
    """
    body = body_of(job, weigh_lightly(job), job.wall.highest)
    gusts = lift_gust(body, tag_height=job.wall.highest)
    windy = [begins(forecast.hours, k) for k, h in enumerate(forecast.hours) if h.gust > gusts.limit]
    latest = min([out_by, *(start - lead for start in windy)])
    return LayDown(gusts.limit, gusts.gives_first, latest if latest > now else None)


def begins(hours: tuple[Hour, ...], index: int) -> datetime:
    """Give when the gust of a row may begin: where rows are more than an hour apart, from the row before.

    Args:
        hours: the rows in order.
        index: which row.
    """
    start = hours[index].start
    if index and start - hours[index - 1].start > timedelta(hours=1):
        return hours[index - 1].start
    return start


WORKDAYS = 5


@frozen
class Standing:
    """The time a wall stands.

    Attributes:
        stands: how long [s].
        until: when it ends.
        nights: midnights in it.
        weekends: weekends in it, begun ones too.
        factor: published factor on the design speed for that time.
        design_speed: basic wind speed of the site [mph]; None where nobody declared it.
    """

    stands: Second
    until: datetime
    nights: int
    weekends: int
    factor: float
    design_speed: Mph | None

    @property
    def equivalent_gust(self) -> Mph | None:
        """The gust that loads the wall as much as the design speed does over that time [mph]."""
        if self.design_speed is None:
            return None
        return equivalent_gust_of_design(self.design_speed, factor=self.factor)

    def to_dict(self) -> StandingJson:
        """Give it as JSON."""
        return {
            "stands_s": self.stands,
            "until": self.until.isoformat(),
            "nights": self.nights,
            "weekends": self.weekends,
            "factor": self.factor,
            "design_speed_mph": self.design_speed,
            "equivalent_gust_mph": self.equivalent_gust,
        }


def standing(clock: Clock, stands: Second, design_speed: Mph | None) -> Standing:
    """Count the nights and weekends from now until a wall no longer stands on braces.

    Args:
        clock: the clock of the place.
        stands: how long [s].
        design_speed: basic wind speed of the site [mph], or None.

    Example:
        >>> from datetime import UTC
        >>> friday = Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), UTC)
        >>> found = standing(friday, 3 * 604800.0, 115.0)
        >>> found.nights, found.weekends, round(found.equivalent_gust or 0.0, 1)
        (21, 3, 61.6)
    """
    until = clock.now + timedelta(seconds=stands)
    first, last = clock.local(clock.now).date(), clock.local(until).date()
    days = (first + timedelta(days=k) for k in range((last - first).days + 1))
    weekends = {day - timedelta(days=day.weekday()) for day in days if day.weekday() >= WORKDAYS}
    return Standing(
        stands, until, (last - first).days, len(weekends), construction_period_factor(stands), design_speed
    )


def kept_through(job: Job, forecast: Forecast | None, clock: Clock, *, gust: Mph | None) -> Kept:
    """Give the wind braces come out in: the worse of today's gust and a forecast, and for how long that counts.

    Args:
        job: the wall.
        forecast: the forecast; None where there is none.
        clock: the clock of the place.
        gust: today's gust, or the one to keep; None where only the forecast counts [mph].

    Raises:
        InputError: neither; a forecast that has run out.
    """
    if forecast is None:
        if gust is None:
            refuse("--keep", None, "a gust, or a forecast")
        return Kept(gust)
    ahead = from_now_on(forecast, clock.now)
    today = () if gust is None else (Hour(clock.now, None, gust),)
    worst = worst_hour(job, Forecast((*today, *ahead.hours)))
    end, start = ahead.hours[-1].end, ahead.hours[0].start
    begins_at = clock.text(max(start, clock.now)) if gust is None and start > clock.now else ""
    until = Said("kept-no-end") if end is None else Said("kept-until", until=clock.text(end))
    since = Said("kept-from", start=begins_at) if begins_at else Said("kept-now")
    of = (
        Said("kept-of-today")
        if worst in today
        else Said("kept-of-forecast", when=clock.text(max(worst.start, clock.now)))
    )
    why = Said("kept-worst", of=of, since=since, until=until)
    stamp = None if end is None else clock.local(end).isoformat()
    return Kept(worst.gust, thunderstorm=worst.thunderstorm, until=stamp, why=why)


LEAD: Second = 7200.0
SHELTERED = "B"


@frozen
class HourAnswer(Limited):
    """One row of the forecast against the wall.

    Attributes:
        hour: the row.
        limits: the wall's limit gust in the profile of that row, and that with people about, unrounded.
        known: limit gust there of all that is known [mph].
        unknown: nobody said something without which no wall is within.
    """

    hour: Hour
    limits: Limits
    known: Mph = field(default=Factory(lambda self: self.limits.limit, takes_self=True))
    unknown: bool = field(default=False, kw_only=True)

    @property
    def over(self) -> bool:
        """Whether the gust is over the limit of all that is known."""
        return over(self.hour.gust, self.known)

    @property
    def verdict(self) -> Verdict:
        """Over, unknown or within, as `check` says it of that gust."""
        if self.over:
            return Verdict.OVER
        return Verdict.UNKNOWN if self.unknown else Verdict.WITHIN

    @property
    def out(self) -> bool:
        """Whether people must be out: the gust reaches the clear-out gust."""
        return not people_may_stay(self.clear_out, self.hour.gust)


@frozen(eq=False)
class StormResult:
    """A forecast against one wall.

    Attributes:
        job: the wall.
        forecast: the forecast, from now on.
        clock: the clock of the place.
        lead: time kept in hand before the clear-out gust.
        check: the wall checked in the worst hour.
        hours: row by row; none beyond the envelope, and none of a wall that is not up.
        worst: the row with the greatest pressure.
        ladder: the least work that covers it; None where it is within, or not asked, or for an engineer.
        lay_down: before when it can be laid down; None where the ladder covers it.
        standing: the time it stands; None where nobody said.
    """

    job: Job
    forecast: Forecast
    clock: Clock
    lead: timedelta
    check: CheckResult = field(repr=False)
    hours: tuple[HourAnswer, ...]
    worst: Hour
    ladder: Ladder | None = field(repr=False)
    lay_down: LayDown | None
    standing: Standing | None

    @property
    def verdict(self) -> Verdict:
        """Within, over, unknown or engineer; not up of a wall that is not."""
        if not self.job.wall.up:
            return Verdict.NOT_UP
        if self.check.beyond:
            return Verdict.ENGINEER
        return min((hour.verdict for hour in self.hours), key=verdict_rank)

    @property
    def margin(self) -> float | None:
        """Limit gust over gust in the worst hour; None where there is no limit gust."""
        limit = self.check.limit
        return None if limit is None else limit / max(self.worst.gust, LEAST_GUST)

    @property
    def covered_from(self) -> datetime | None:
        """When the forecast begins, where that is later than now: until then nobody has said what blows."""
        start = self.forecast.hours[0].start
        return start if start > self.clock.now else None

    @property
    def first_over(self) -> datetime | None:
        """When the gust first passes the limit; None where it never does."""
        return self._first([hour.over for hour in self.hours])

    @property
    def out_at(self) -> datetime | None:
        """When the clear-out gust is first reached; None where it never is, and of a wall that is not up."""
        if not self.job.wall.up:
            return None
        if self.check.beyond or self.check.clear_out == 0:
            return self.clock.now
        return self._first([hour.out for hour in self.hours])

    def _first(self, flags: list[bool]) -> datetime | None:
        rows = self.forecast.hours
        found = next((k for k, flag in enumerate(flags) if flag), None)
        return None if found is None else max(begins(rows, found), self.clock.now)

    @property
    def out_by(self) -> datetime | None:
        """When everybody is out, the lead kept; never before now."""
        return None if self.out_at is None else max(self.out_at - self.lead, self.clock.now)

    @property
    def out_now(self) -> bool:
        """Whether that is now."""
        return self.out_by is not None and self.out_by <= self.clock.now

    @property
    def start_by(self) -> datetime | None:
        """When the work of the ladder must begin, to be done before all are out; None without one."""
        if self.ladder is None or not self.ladder.covers or self.out_by is None:
            return None
        return self.out_by - timedelta(minutes=whole_up(self.ladder.minutes))

    @property
    def time_for_all(self) -> bool:
        """Whether there is time for every step."""
        return self.start_by is not None and self.start_by >= self.clock.now

    def to_dict(self) -> StormJson:
        """Give the result as JSON; times with their offset on the clock of the place."""
        first = self.check.gives_first
        return {
            **header(self.job, "storm"),
            "wall": self.job.wall.name,
            "file": self.job.file,
            "state": self.job.state,
            "verdict": self.verdict,
            "engineer": list(self.check.beyond),
            "clear_out_gust_mph": self.check.clear_out,
            "clear_out_at": self._time(self.out_at),
            "out_by": self._time(self.out_by),
            "lead_s": self.lead.total_seconds(),
            "limit_gust_mph": self.check.limit_whole,
            "limit_gust_with_people_mph": self.check.limit_with_people,
            "limit_gust_one_missing_mph": self.check.one_missing,
            "limit_gust_one_lost_mph": self.check.one_lost and self.check.one_lost[0],
            "gives_first": None if first is None else {
                "link": first.link, "direction": first.direction, "mark": first.mark,
            },
            "first_over": self._time(self.first_over),
            "worst": {"from": self._local(self.worst.start), "gust_mph": self.worst.gust},
            "forecast": {
                "source": self.forecast.source,
                "understood": self.forecast.understood,
                "notes": list(self.forecast.notes),
                "not_covered_until": self._time(self.covered_from),
            },
            "hours": [self._hour(row) for row in self.hours],
            "ladder": None if self.ladder is None else self._ladder(self.ladder),
            "lay_down": None if self.lay_down is None else {
                "before": self._time(self.lay_down.before),
                "lift_limit_mph": self.lay_down.limit,
                "lift_limit_set_by": self.lay_down.gives_first,
            },
            "standing": None if self.standing is None else self.standing.to_dict(),
            "warnings": list(self.check.warnings),
            "assumed": [item.to_dict() for item in self.check.assumed],
            "cautions": self.check.to_dict()["cautions"],
        }  # fmt: skip

    def _time(self, moment: datetime | None) -> str | None:
        return None if moment is None else self._local(moment)

    def _local(self, moment: datetime) -> str:
        return self.clock.local(moment).isoformat()

    def _hour(self, row: HourAnswer) -> HourJson:
        return {
            "from": self._local(row.hour.start), "to": self._time(row.hour.end), "given_mph": row.hour.given,
            "basis": row.hour.basis, "thunderstorm": row.hour.thunderstorm, "gust_mph": row.hour.gust,
            "limit_gust_mph": whole_down(row.limit), "verdict": row.verdict,
            "out": row.out,
        }  # fmt: skip

    def _ladder(self, ladder: Ladder) -> LadderJson:
        return {
            "covers": ladder.covers,
            "why_not": ladder.why_not or None,
            "plans_tried": ladder.tried,
            "minutes_for_two": whole_up(ladder.minutes),
            "own_minutes": own_minutes(self.job),
            "start_by": self._time(self.start_by),
            "time_for_all": self.time_for_all,
            "truck": ladder.parts,
            "rungs": [self._step(step) for step in ladder.steps],
            "brings": list(ladder.brings),
        }

    def _step(self, step: RemedyStep) -> RemedyStepJson:
        return {
            "kind": list(step.kind),
            "what": list(step.words),
            "marks": sorted({c.mark for c in step.changes if c.mark} | {b.mark for b in step.added}),
            "limit_gust_mph": whole_down(step.limit),
            "minutes_for_two": whole_up(step.minutes),
            "falls": list(step.falls),
            "truck": step.parts,
        }


def storm(
    job: Job,
    forecast: Forecast,
    clock: Clock,
    *,
    lead: Second = LEAD,
    ladder: Second | None = LADDER_BUDGET,
    standing: Standing | None = None,
) -> StormResult:
    """Hold a forecast against a standing wall.

    Args:
        job: the wall.
        forecast: the forecast.
        clock: the clock of the place.
        lead: time kept in hand before the clear-out gust [s].
        ladder: time to look for the least work that covers the worst hour, where it is over; None looks for none [s].
        standing: the time it stands, or None.

    Returns:
        The result.

    Raises:
        InputError: a brace that is on no full-height stud; a forecast that has run out.
    """
    for value, cls, name in ((job, Job, "job"), (forecast, Forecast, "forecast"), (clock, Clock, "clock")):
        held_part(value, cls, name)
    lead, ladder = (
        held_value(lead, "time", "lead", least=0.0),
        held_value(ladder, "time", "ladder", least=0.0),
    )
    job, ahead = _over_its_ground(job, from_now_on(forecast, clock.now))
    worst = worst_hour(job, ahead)
    gust = max(worst.gust, LEAST_GUST)
    checked = check(job, gust=gust, thunderstorm=worst.thunderstorm, effects=False)
    hours: tuple[HourAnswer, ...] = ()
    if checked.limits is not None and job.wall.up:
        limits = {
            flag: limits_in(job, checked.limits, worst=worst.thunderstorm, hour=flag)
            for flag in (True, False)
        }
        known = {
            flag: limits_in(job, Limits(checked.known_limit, 0.0), worst=worst.thunderstorm, hour=flag).limit
            for flag in (True, False)
        }
        hours = tuple(
            HourAnswer(hour, limits[hour.thunderstorm], known[hour.thunderstorm], unknown=checked.unknown)
            for hour in ahead.hours
        )
    found: Ladder | None = None
    if ladder is not None and hours and checked.verdict == Verdict.OVER:
        found = find_ladder(job, WorstHour(gust, thunderstorm=worst.thunderstorm, clock=Budget(ladder)))
    span = timedelta(seconds=lead)
    result = StormResult(job, ahead, clock, span, checked, hours, worst, found, None, standing)
    if found is None or found.covers or result.out_by is None:
        return result
    down = lay_down(job, ahead, out_by=result.out_by, now=clock.now, lead=span)
    return StormResult(job, ahead, clock, span, checked, hours, worst, found, down, standing)


def _over_its_ground(job: Job, forecast: Forecast) -> tuple[Job, Forecast]:
    """Take no shelter off gusts that are those over the sheltered ground already: exposure B counts as C."""
    if not forecast.local or job.site.exposure != SHELTERED:
        return job, forecast
    note = "exposure B counts as C: these gusts are over the ground as it is there"
    return evolve(job, site=evolve(job.site, exposure="C")), evolve(forecast, notes=(*forecast.notes, note))
