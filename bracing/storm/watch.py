"""What a watch sees of a job each time it looks, and whether that is news to those who were told before.

Worse is told at once, better when it has been so twice running. Where nobody knows the wind to come the answer is
unknown, never the last one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from pathlib import Path
from typing import Any, TypedDict

from attrs import field, frozen

from bracing.check import check
from bracing.choosing import whole_down
from bracing.errors import Fault, FaultJson, InputError
from bracing.job.job import Job
from bracing.results import HeaderJson, header_of_several, verdict_rank, without_braces, worst_first
from bracing.said import Said, Verdict
from bracing.storm.alerts import Alert
from bracing.storm.answer import StormResult
from bracing.storm.clock import Clock
from bracing.storm.folder import JobStorm
from bracing.storm.forecast import Forecast, is_old
from bracing.units import Mph

AHEAD = timedelta(hours=24)  # a forecast that ends sooner says too little
FROM_THE_FUTURE = timedelta(hours=1)  # clocks differ; by more than this one of them is wrong
NOW = "now"
UNREAD = "not read"  # in place of the verdict of a file that has a fault
UNSAID = "unsaid"  # in place of that of a wall unknown in a wind that is known
TWICE = 2  # better is told when two looks running have seen it

Told = Mapping[str, Any]  # by file, the verdict and by when all are out, as last told

WatchedWallJson = TypedDict("WatchedWallJson", {
    "wall": str, "file": str, "state": str, "verdict": Verdict, "no_braces_on_file": bool, "out_by": str | None,
    "out_now": bool, "limit_gust_mph": int | None, "clear_out_gust_mph": int | None, "gust_mph": float | None,
})  # fmt: skip
AlertJson = TypedDict("AlertJson", {
    "id": str, "event": str, "from": str, "to": str, "gust_mph": float,
})  # fmt: skip
MessageJson = TypedDict("MessageJson", {
    "id": str, "subject": str, "text": str, "sent": list[str], "unsent": list[str],
})  # fmt: skip
_WatchKeys = TypedDict("_WatchKeys", {
    "job": str, "at": str, "verdict": Verdict, "fresh": bool, "unknown": list[Said], "forecast_made": str | None,
    "covered_until": str | None, "out_by": str | None, "walls": list[WatchedWallJson], "alerts": list[AlertJson],
    "news": str | None, "message": MessageJson | None, "errors": list[FaultJson], "left_out": list[FaultJson],
})  # fmt: skip


class WatchJson(HeaderJson, _WatchKeys):
    """What a watch gives of one look."""


class News(StrEnum):
    """Why a message is sent."""

    FIRST = "first"
    WORSE = "worse"
    BETTER = "better"
    DAILY = "daily"


@frozen
class Seen:
    """One wall as a watch sees it.

    Attributes:
        job: the wall.
        verdict: its verdict; unknown where nobody knows the wind to come, or what check says first of it.
        out_by: by when all are out; None where the forecast asks nobody out.
        out_now: whether that is now.
        limit: its limit gust, rounded down [mph].
        clear_out: its clear-out gust [mph].
        gust: the highest gust planned for [mph]; None where unknown.
    """

    job: Job = field(repr=False)
    verdict: Verdict
    out_by: datetime | None = None
    out_now: bool = field(default=False, kw_only=True)
    limit: int | None = None
    clear_out: int | None = None
    gust: Mph | None = None

    @property
    def name(self) -> str:
        """The name of its file, however the folder was typed."""
        return Path(self.job.file).name

    @property
    def told(self) -> dict[str, str | None]:
        """What is kept of it, to know next time what was told."""
        by = None if self.out_by is None else NOW if self.out_now else self.out_by.isoformat()
        return {"verdict": UNSAID if self.unsaid else str(self.verdict), "out": by}

    @property
    def unsaid(self) -> bool:
        """Whether the wind is known, and it is unknown all the same."""
        return self.verdict is Verdict.UNKNOWN and self.gust is not None


@frozen
class Look:
    """All a watch sees of a job at one time.

    Attributes:
        name: what the job is called.
        clock: the clock of the place.
        walls: its walls, worst first.
        unknown: why nobody knows the wind to come; nothing where it is known.
        forecast: the forecast, without its alerts; None where there is none to be read.
        alerts: the alerts of wind that are not over.
        faults: what could not be read.
        left_out: what else stands in the folder, and was not asked.
    """

    name: str
    clock: Clock
    walls: tuple[Seen, ...]
    unknown: tuple[Said, ...] = ()
    forecast: Forecast | None = field(default=None, repr=False)
    alerts: tuple[Alert, ...] = ()
    faults: tuple[Fault, ...] = ()
    left_out: tuple[Fault, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The worst of all; unknown where the wind is, and where no wall could be read."""
        if self.unknown or not self.walls:
            return Verdict.UNKNOWN
        return min((one.verdict for one in self.walls), key=verdict_rank)

    @property
    def out(self) -> tuple[Seen, ...]:
        """Walls whose people must be out, the first first."""
        found = [one for one in self.walls if one.out_by is not None]
        return tuple(sorted(found, key=lambda one: (one.out_by or self.clock.now, one.job.file)))

    @property
    def told(self) -> dict[str, dict[str, str | None]]:
        """What is kept of it, by the name of the file."""
        unread = {Path(fault.file).name: {"verdict": UNREAD, "out": None} for fault in self.faults}
        return {one.name: one.told for one in self.walls} | unread

    @property
    def warned(self) -> list[list[str]]:
        """What is kept of its alerts: their id, and what makes one another alert to a crew."""
        return [[one.id, f"{one.event} {one.gust:g} {one.end.isoformat()}"] for one in self.alerts]

    def to_dict(self, news: News | None, message: MessageJson | None) -> WatchJson:
        """Give it as JSON.

        Args:
            news: why a message is sent; None where none is.
            message: the message, and where it went.
        """
        made = None if self.forecast is None else self.forecast.made
        end = None if self.forecast is None else self.forecast.hours[-1].end
        return {
            **header_of_several((one.job.sha256 for one in self.walls), "watch"),
            "job": self.name, "at": self._local(self.clock.now), "verdict": self.verdict,
            "fresh": not self.unknown, "unknown": list(self.unknown),
            "forecast_made": None if made is None else self._local(made),
            "covered_until": None if end is None else self._local(end),
            "out_by": None if not self.out else self._local(self.out[0].out_by or self.clock.now),
            "walls": [self._wall(one) for one in self.walls],
            "alerts": [{
                "id": one.id, "event": one.event, "from": self._local(one.start), "to": self._local(one.end),
                "gust_mph": one.gust,
            } for one in self.alerts],
            "news": news, "message": message,
            "errors": [fault.to_dict() for fault in self.faults],
            "left_out": [fault.to_dict() for fault in self.left_out],
        }  # fmt: skip

    def _wall(self, one: Seen) -> WatchedWallJson:
        return {
            "wall": one.job.wall.name, "file": one.job.file, "state": one.job.state, "verdict": one.verdict,
            "no_braces_on_file": without_braces(one.job),
            "out_by": None if one.out_by is None else self._local(one.out_by), "out_now": one.out_now,
            "limit_gust_mph": one.limit, "clear_out_gust_mph": one.clear_out, "gust_mph": one.gust,
        }  # fmt: skip

    def _local(self, moment: datetime) -> str:
        return self.clock.local(moment).isoformat()


def why_unknown(forecast: Forecast, clock: Clock) -> tuple[Said, ...]:
    """Say why a forecast does not tell the wind to come; nothing where it does.

    Args:
        forecast: the forecast, without its alerts.
        clock: the clock of the place.
    """
    said = []
    made, first, last = forecast.made, forecast.hours[0], forecast.hours[-1]
    if made is None:
        said.append(Said("watch-no-age"))
    elif is_old(made, clock):
        hours = int((clock.now - made) / timedelta(hours=1))
        said.append(Said("watch-old", made=clock.text(made), hours=hours))
    elif made > clock.now + FROM_THE_FUTURE:
        said.append(Said("watch-from-the-future", made=clock.text(made)))
    if first.start > clock.now:
        said.append(Said("watch-begins-late", start=clock.text(first.start)))
    end = last.end or last.start
    if end <= clock.now:
        said.append(Said("watch-over", end=clock.text(end)))
    elif end < clock.now + AHEAD:
        said.append(Said("watch-ends-soon", end=clock.text(end)))
    for before, after in zip(forecast.hours, forecast.hours[1:], strict=False):
        if before.end is not None and before.end < after.start:
            said.append(Said("watch-gap", start=clock.text(before.end), end=clock.text(after.start)))
            break
    return tuple(said)


def seen_in(job: JobStorm) -> tuple[Seen, ...]:
    """Give the walls of a job as a forecast finds them, worst first.

    Args:
        job: the walls held against the forecast.
    """
    return tuple(_seen(result) for result in job.results)


def _seen(result: StormResult) -> Seen:
    limit = result.check.limit_whole if result.job.wall.up else None
    clear_out = result.check.clear_out if result.job.wall.up else None
    return Seen(
        result.job, result.verdict, result.out_by, out_now=result.out_now, limit=limit, clear_out=clear_out,
        gust=result.worst.gust,
    )  # fmt: skip


def seen_without(jobs: Iterable[Job], clock: Clock) -> tuple[tuple[Seen, ...], tuple[Fault, ...]]:
    """Give walls of which nobody knows the wind to come, and what of them cannot be worked out.

    Args:
        jobs: the walls.
        clock: the clock of the place; of a wall nothing keeps up people are out now.
    """
    found: list[Seen] = []
    faults: list[Fault] = []
    for job in jobs:
        try:
            checked = check(job, effects=False)
        except InputError as error:
            faults += error.faults
            continue
        limit, clear_out = (checked.limit, checked.clear_out) if job.wall.up else (None, None)
        whole = None if limit is None else whole_down(limit)
        verdict = Verdict.UNKNOWN if job.wall.up else Verdict.NOT_UP
        out = clock.now if clear_out == 0 or checked.beyond else None
        found.append(Seen(job, verdict, out, out_now=out is not None, limit=whole, clear_out=clear_out))
    ranked = worst_first(found, lambda one: (one.job, Verdict.OVER, one.limit))
    return tuple(ranked), tuple(faults)


# -- what is news ----------------------------------------------------------------------------------------

_NOTHING_TOLD = {"verdict": str(Verdict.WITHIN), "out": None}
_BAD = (Verdict.OVER, Verdict.ENGINEER)
_NOT_KNOWN = (Verdict.UNKNOWN, UNREAD)  # the wind, the wall's file


def news_of(look: Look, told: Told | None, warned: Iterable[Iterable[str]]) -> News | None:
    """Say whether what is seen is news, and which; better may be told only when it has been so twice running.

    Args:
        look: what is seen.
        told: what was last told, by file; None where nothing ever was.
        warned: the alerts last told.
    """
    if told is None:
        return News.FIRST
    changes = [_change(told.get(one.name, _NOTHING_TOLD), one) for one in look.walls if one.job.wall.up]
    before = {word for row in warned for word in row}
    new = [row for row in look.warned if not before & set(row)] if changes else []
    new += [[name] for name, row in look.told.items() if row["verdict"] == UNREAD != _verdict(told, name)]
    if new or any(change < 0 for change in changes):
        return News.WORSE
    return News.BETTER if any(change > 0 for change in changes) else None


def _verdict(told: Told, name: str) -> str:
    return str(told.get(name, _NOTHING_TOLD)["verdict"])


def _change(before: Mapping[str, Any], one: Seen) -> int:
    """Whether a wall is worse than was told (-1), better (1), or as told (0)."""
    was, now = str(before.get("verdict")), str(one.told["verdict"])
    outs = (_moment(one.told["out"]) - _moment(before.get("out"))).total_seconds()
    if was != now and (was in _NOT_KNOWN or now in _NOT_KNOWN):
        return -1 if now in (*_NOT_KNOWN, *_BAD) or one.out_by is not None else 1
    ranks = _rank(was) - _rank(now)
    if was == Verdict.NOT_UP:
        ranks = _rank(Verdict.WITHIN) - _rank(now)
    if ranks > 0 or outs < 0:
        return -1
    return 1 if ranks < 0 or outs > 0 else 0


def _rank(told: str) -> int:
    return verdict_rank(Verdict.UNKNOWN if told == UNSAID else told)


def _moment(out: object) -> datetime:
    """By when all are out, so that sooner is less: now before all else, nothing after all else."""
    if out == NOW:
        return datetime.min.replace(tzinfo=UTC)
    if not isinstance(out, str):
        return datetime.max.replace(tzinfo=UTC)
    return datetime.fromisoformat(out)
