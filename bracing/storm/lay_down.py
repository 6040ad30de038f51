"""Laying a wall down again before the wind: up to which gust, and before when."""

from __future__ import annotations

from datetime import datetime, timedelta

from attrs import frozen

from bracing.job.job import Job
from bracing.lift.line import lift_gust
from bracing.lift.plan import body_of, weigh
from bracing.storm.forecast import Forecast, Hour


@frozen
class LayDown:
    """When a wall can still be laid down.

    Attributes:
        limit: lift wind limit, whole [mph].
        gives_first: what sets that limit, in words.
        before: it lies by then, and people are out of the way; None where it is too late for that.
    """

    limit: int
    gives_first: str
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
    weight, _ = weigh(job)
    gusts = lift_gust(body_of(job, weight, job.wall.highest), tag_height=job.wall.highest)
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
