"""The chance that a wall's bracing goes, tonight and over the weeks it stands: a number with its range, no verdict."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping
from datetime import date
from functools import cached_property
from typing import TypedDict

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import Direction
from bracing.chance.draws import Drawn, Halved, Taken
from bracing.chance.scattered import Pulled, Scattered, Walls, scattered
from bracing.check import CheckResult, check
from bracing.choosing import whole_down
from bracing.codes.chance import (
    POINTS,
    chance_in_nights,
    chance_over,
    fifty_of_design,
    load_at,
    nightly_rate,
    wilson,
)
from bracing.errors import Fault, InputError
from bracing.job.job import Job
from bracing.results import CAUTIONS, LIMIT_STATEMENT, HeaderJson, header
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.units import INCHES_PER_FOOT, Mph

Array = NDArray[np.float64]

COLUMNS = (1.15, 1.33)  # of the limit gust: what is shown past it
SECONDS_PER_DAY = 86400.0
DIGITS = 6  # of a chance that is a mean and no count: what processors differ by is far under it
LEFT_OUT = (
    Said("left-out-tonight-storms"), Said("left-out-season"), Said("left-out-direction"), Said("left-out-racking"),
    Said("left-out-splits"),
)  # fmt: skip

ShareJson = TypedDict("ShareJson", {
    "chance": float, "low": float, "high": float, "counted_low": float, "counted_high": float,
})  # fmt: skip
BoundsJson = TypedDict("BoundsJson", {"independent": float, "full": float})
CurveJson = TypedDict("CurveJson", {
    "gust_mph": float, "first": ShareJson, "line": ShareJson, "missed": ShareJson, "gone": dict[str, ShareJson],
    "bounds": BoundsJson,
})  # fmt: skip
PassesJson = TypedDict("PassesJson", {"gust_mph": float, "chance": float})
TonightJson = TypedDict("TonightJson", {
    "forecast_mph": float, "median_mph": float, "scatter": float, "nights_read": int, "passes": list[PassesJson],
    "line": ShareJson, "missed": ShareJson,
})  # fmt: skip
WeeksJson = TypedDict("WeeksJson", {
    "nights": int, "design_speed_mph": float, "fifty_year_mph": float, "line": ShareJson, "missed": ShareJson,
    "at_least": bool, "gust_mph": float, "one_night_in": int | None, "one_night_in_at_least": bool,
})  # fmt: skip
ScatteredJson = TypedDict("ScatteredJson", {
    "link": str, "direction": Direction, "mark": str | None, "x_ft": float | None, "steady": float, "rate": float,
    "kind": str, "fasteners": int, "scatter": float, "pull_test": str | None,
})  # fmt: skip
PulledJson = TypedDict("PulledJson", {
    "name": str, "pulls": int, "mean_lb": float, "scatter": float, "links": int,
})  # fmt: skip
_ChanceKeys = TypedDict("_ChanceKeys", {
    "wall": str, "gust_mph": float | None, "limit_gust_mph": int | None, "clear_out_gust_mph": int | None,
    "statement": Said, "draws": int, "matters_most": str | None, "curves": list[CurveJson],
    "tonight": TonightJson | None, "weeks": WeeksJson | None, "why_not": list[Said], "left_out": list[Said],
    "links": list[ScatteredJson], "pull_tests": list[PulledJson], "cautions": list[Said],
})  # fmt: skip


class ChanceJson(HeaderJson, _ChanceKeys):
    """What `bracing chance` gives."""


@frozen
class Share:
    """A chance with its range.

    Attributes:
        chance: the middle [-].
        low: with every mean strength higher [-].
        high: with every mean strength lower [-].
        counted: 95% interval of the middle as counted [-].
    """

    chance: float
    low: float
    high: float
    counted: tuple[float, float]

    def to_dict(self) -> ShareJson:
        """Give it as JSON."""
        return {
            "chance": self.chance, "low": self.low, "high": self.high,
            "counted_low": round(self.counted[0], DIGITS), "counted_high": round(self.counted[1], DIGITS),
        }  # fmt: skip


@frozen
class Tonight:
    """The peak of one night, as foretold.

    Attributes:
        forecast: highest hour [mph].
        median: of the peak [mph].
        scatter: standard deviation of its logarithm [-].
        nights: how many nights of the site it was found from; 0 where it is the published value.
    """

    forecast: Mph
    median: Mph
    scatter: float
    nights: int

    def over(self, gust: Mph | Array) -> Array:
        """Give the chance that the peak passes a gust.

        Args:
            gust: one or many [mph].
        """
        return chance_over(gust, median=self.median, scatter=self.scatter)


def tonight_of(job: Job, forecast: Mph) -> Tonight:
    """Give the peak of a night: by the site's own nights where there are enough of them.

    Args:
        job: gives the nights read at the site.
        forecast: highest hour foretold [mph].
    """
    table, nights = shipped("chance"), job.site.nights
    if len(nights) < table["nights"]["enough"]:
        return Tonight(
            forecast, table["tonight"]["median"] * forecast, table["tonight_scatter"]["scatter"], 0
        )
    logs = [math.log(night.read / night.forecast) for night in nights]
    middle = math.fsum(logs) / len(logs)
    spread = math.sqrt(math.fsum((each - middle) ** 2 for each in logs) / (len(logs) - 1))
    least: float = table["tonight_scatter"]["least"]
    return Tonight(forecast, forecast * math.exp(middle), max(spread, least), len(nights))


@frozen
class Weeks:
    """The nights a wall stands on its braces.

    Attributes:
        nights: how many.
        design_speed: basic wind speed of the site [mph].
        read: gusts read at the site, where enough nights were.
    """

    nights: int
    design_speed: Mph
    read: tuple[Mph, ...] = ()

    @property
    def fifty(self) -> Mph:
        """Gust of fifty years [mph]."""
        return fifty_of_design(self.design_speed)

    def rate(self, gust: Mph | Array) -> Array:
        """Give the peaks a night over a gust: under the yearly one as the site's own nights were, if any.

        Args:
            gust: one or many [mph].
        """
        at = np.asarray(gust, dtype=float)
        found = nightly_rate(at, self.fifty)
        if not self.read:
            return found
        over = len(self.read) - np.searchsorted(np.sort(np.array(self.read)), at, side="left")
        return np.where(at < self.yearly, np.maximum(found, over / len(self.read)), found)

    @property
    def yearly(self) -> Mph:
        """Gust under which the formula counts too few peaks [mph]."""
        return float(shipped("chance")["peaks"]["yearly"]) * self.fifty

    def at_least(self, gust: Mph) -> bool:
        """Whether the formula counts too few peaks over a gust, and nothing was read that takes its place.

        Args:
            gust: [mph].
        """
        return not self.read and bool(gust < self.yearly)

    def one_night_in(self, gust: Mph) -> int | None:
        """Give of how many nights one has such a peak, rounded down; None under the monthly gust.

        Args:
            gust: [mph].
        """
        if gust < float(shipped("chance")["peaks"]["start"]) * self.fifty:
            return None
        return max(1, whole_down(1.0 / float(self.rate(gust))))


def weeks_of(job: Job) -> tuple[Weeks | None, Said | None]:
    """Give the nights a wall stands, or why none can be counted.

    Args:
        job: gives the site.
    """
    site, table = job.site, shipped("chance")["nights"]
    if site.design_speed is None:
        return None, Said("no-weeks-speed")
    if site.stands is None:
        return None, Said("no-weeks-stands")
    if site.design_speed > table["hurricane_mph"]:
        return None, Said("no-weeks-hurricanes", most=Quantity(table["hurricane_mph"], Kind.ASKED))
    read = tuple(night.read for night in site.nights) if len(site.nights) >= table["enough"] else ()
    return Weeks(max(1, math.ceil(site.stands / SECONDS_PER_DAY)), site.design_speed, read), None


def dried_by(job: Job, today: date) -> bool:
    """Whether nails driven green have dried: from the fourth day a wall stands, and where nobody said when it went up.

    Args:
        job: the job.
        today: the day asked.

    Raises:
        InputError: what stands in the file is no day.

    Source: FPL-128; JUDGEMENT, from which day.
    """
    if not job.site.stood:
        return True
    try:
        up = date.fromisoformat(job.site.stood)
    except ValueError:
        raise InputError(
            (Fault(job.file, "site.stood", job.site.stood, "a day, such as 2026-03-06"),)
        ) from None
    return (today - up).days >= int(shipped("chance")["nights"]["dried_after_days"])


@frozen(eq=False)
class Figures:
    """What is counted over the draws.

    Attributes:
        drawn: the draws.
        walls: the links.
    """

    drawn: Drawn = field(repr=False)
    walls: Walls = field(repr=False)

    @cached_property
    def taken(self) -> Mapping[str, Taken]:
        """The gusts that take each draw, as reckoned, by side."""
        return self.drawn.taken()

    @cached_property
    def _ranges(self) -> tuple[Mapping[str, Taken], ...]:
        """As reckoned, every mean strength higher, every one lower."""
        part = float(shipped("chance")["range"]["strength"])
        return self.taken, *(self.drawn.taken(times) for times in (1.0 + part, 1.0 - part))

    def share(self, of: Callable[[Taken], Halved], chance: Callable[[Array], Array] | Mph) -> Share:
        """Give a chance over the draws, the worse side counting.

        Args:
            of: which gusts of the draws.
            chance: of each such gust, or a gust: then they are counted that are no higher [mph].
        """
        found = []
        for taken in self._ranges:
            sides = [of(taken[way]) for way in DIRECTIONS]
            if callable(chance):
                means = [math.fsum(chance(gusts.astype(float)).tolist()) / len(gusts) for gusts in sides]
            else:
                means = [int(np.count_nonzero(gusts <= chance)) / len(gusts) for gusts in sides]
            found.append(round(min(1.0, max(means)), DIGITS))
        middle, low, high = found
        return Share(middle, low, high, wilson(middle * self.drawn.draws, self.drawn.draws))

    def counted_at(self, gust: Mph, name: str) -> float:
        """Give the share of draws that no gust over one takes, as reckoned, the worse side counting [-].

        Args:
            gust: [mph].
            name: first, line or missed.
        """
        return max(float(np.mean(getattr(self.taken[way], name) <= gust)) for way in DIRECTIONS)

    def bounds(self, gust: Mph) -> BoundsJson:
        """Give the chance of a first link where strengths have nothing in common, and where all are as one.

        Args:
            gust: [mph].
        """
        independent, full = (
            max(each) for each in zip(*(self._bounds(way, gust) for way in DIRECTIONS), strict=True)
        )
        return {"independent": round(independent, DIGITS), "full": round(full, DIGITS)}

    def _bounds(self, way: str, gust: Mph) -> tuple[float, float]:
        from scipy.special import ndtr

        links = self.walls.whole.links[way]
        if links is None:
            return 1.0, 1.0
        nodes, weights = np.polynomial.hermite_e.hermegauss(POINTS)
        stands, most = np.ones(POINTS), np.zeros(POINTS)
        for link in links:
            ratio = np.maximum(link.steady + link.rate * gust**2 * load_at(nodes), 1e-300)
            past = ndtr(np.log(ratio) / link.spread) if link.spread else (ratio >= 1.0).astype(float)
            stands, most = stands * (1.0 - past), np.maximum(most, past)
        total = float(weights.sum())
        return 1.0 - float(stands @ weights) / total, float(most @ weights) / total


@frozen(eq=False)
class ChanceResult:
    """The chance of a wall.

    Attributes:
        check: the wall as it stands: its limits stand above every chance.
        tonight: the night asked; None where nobody said, or thunderstorms are foretold.
        weeks: the nights it stands; None where they cannot be counted.
        figures: what is counted; None where no figure is given.
        why_not: why a figure is not given.
    """

    check: CheckResult = field(repr=False)
    tonight: Tonight | None
    weeks: Weeks | None
    figures: Figures | None = field(repr=False)
    why_not: tuple[Said, ...]

    @property
    def job(self) -> Job:
        """The wall."""
        return self.check.job

    @property
    def gusts(self) -> tuple[int, ...]:
        """Gusts of the table: clear-out, limit, and two past it [mph]."""
        if self.figures is None:
            return ()
        return columns_of(self.check)

    @cached_property
    def curves(self) -> tuple[Curve, ...]:
        """The table, a column a gust."""
        figures = self.figures
        return () if figures is None else tuple(_curve(figures, float(gust)) for gust in self.gusts)

    @cached_property
    def matters_most(self) -> str | None:
        """The brace without which the chance is highest at the limit gust, of the same the first; None without any."""
        if not self.curves or not self.curves[0].gone:
            return None
        at = self.curves[self.gusts.index(self.check.limit_whole or 0)].gone
        return max(at, key=lambda mark: at[mark].chance)

    @cached_property
    def line_tonight(self) -> Share | None:
        """The line goes tonight."""
        return self._tonight(lambda taken: taken.line)

    @cached_property
    def missed_tonight(self) -> Share | None:
        """It goes tonight, one joint in twenty missed."""
        return self._tonight(lambda taken: taken.missed)

    @cached_property
    def line_in_weeks(self) -> Share | None:
        """The line goes over the weeks it stands."""
        return self._weeks(lambda taken: taken.line)

    @cached_property
    def missed_in_weeks(self) -> Share | None:
        """It goes over the weeks it stands, one joint in twenty missed."""
        return self._weeks(lambda taken: taken.missed)

    def _tonight(self, of: Callable[[Taken], Halved]) -> Share | None:
        if self.figures is None or self.tonight is None:
            return None
        return self.figures.share(of, self.tonight.over)

    def _weeks(self, of: Callable[[Taken], Halved]) -> Share | None:
        weeks = self.weeks
        if self.figures is None or weeks is None:
            return None

        def chance(gusts: Array) -> Array:
            return np.where(gusts > 0.0, chance_in_nights(weeks.rate(gusts), weeks.nights), 1.0)

        return self.figures.share(of, chance)

    def to_dict(self) -> ChanceJson:
        """Give the answer as JSON."""
        links = [] if self.figures is None else [
            _link_json(way, link) for way in DIRECTIONS for link in self.figures.walls.whole.links[way] or ()
        ]  # fmt: skip
        return {
            **header(self.job, "chance"),
            "wall": self.job.wall.name,
            "gust_mph": self.check.gust,
            "limit_gust_mph": self.check.limit_whole,
            "clear_out_gust_mph": self.check.clear_out,
            "statement": LIMIT_STATEMENT,
            "draws": 0 if self.figures is None else self.figures.drawn.draws,
            "matters_most": self.matters_most,
            "curves": [curve.to_dict() for curve in self.curves],
            "tonight": self._tonight_json(),
            "weeks": self._weeks_json(),
            "why_not": list(self.why_not),
            "left_out": list(LEFT_OUT),
            "links": links,
            "pull_tests": [
                {
                    "name": one.test.name,
                    "pulls": len(one.test.counted),
                    "mean_lb": one.mean,
                    "scatter": one.scatter,
                    "links": many,
                }
                for one, many in self.pulled
            ],
            "cautions": list(CAUTIONS),
        }

    @property
    def pulled(self) -> tuple[tuple[Pulled, int], ...]:
        """The pull tests that count, and in how many links."""
        if self.figures is None:
            return ()
        links = (link for some in self.figures.walls.whole.links.values() for link in some or ())
        found = Counter(link.pulled for link in links if link.pulled is not None)
        return tuple(sorted(found.items(), key=lambda one: one[0].test.name))

    def _tonight_json(self) -> TonightJson | None:
        night, line, missed = self.tonight, self.line_tonight, self.missed_tonight
        if night is None or line is None or missed is None:
            return None
        return {
            "forecast_mph": night.forecast, "median_mph": round(night.median, DIGITS),
            "scatter": round(night.scatter, DIGITS), "nights_read": night.nights,
            "passes": [{"gust_mph": float(g), "chance": round(float(night.over(g)), DIGITS)} for g in self.gusts],
            "line": line.to_dict(), "missed": missed.to_dict(),
        }  # fmt: skip

    def _weeks_json(self) -> WeeksJson | None:
        weeks, line, missed = self.weeks, self.line_in_weeks, self.missed_in_weeks
        if weeks is None or line is None or missed is None:
            return None
        out = float(self.check.clear_out or 0)
        return {
            "nights": weeks.nights, "design_speed_mph": weeks.design_speed,
            "fifty_year_mph": round(weeks.fifty, DIGITS), "line": line.to_dict(), "missed": missed.to_dict(),
            "at_least": weeks.at_least(float(self.check.limit_whole or 0)), "gust_mph": out,
            "one_night_in": weeks.one_night_in(out), "one_night_in_at_least": weeks.at_least(out),
        }  # fmt: skip


@frozen
class Curve:
    """The chances at one gust.

    Attributes:
        gust: [mph].
        first: the first link at its real strength.
        line: the brace line goes.
        missed: it goes, one joint in twenty missed.
        gone: the first link with each brace gone, by mark.
        bounds: of the first link, strengths with nothing in common and all as one.
    """

    gust: Mph
    first: Share
    line: Share
    missed: Share
    gone: Mapping[str, Share]
    bounds: BoundsJson

    def to_dict(self) -> CurveJson:
        """Give it as JSON."""
        return {
            "gust_mph": self.gust, "first": self.first.to_dict(), "line": self.line.to_dict(),
            "missed": self.missed.to_dict(), "gone": {mark: one.to_dict() for mark, one in self.gone.items()},
            "bounds": self.bounds,
        }  # fmt: skip


def columns_of(result: CheckResult) -> tuple[int, ...]:
    """Give the gusts a table shows: clear-out, limit, and two past it [mph].

    Args:
        result: the wall checked.
    """
    limit = result.limit_whole or 0
    return tuple(sorted({result.clear_out or 0, limit, *(whole_down(part * limit) for part in COLUMNS)}))


def _curve(figures: Figures, gust: Mph) -> Curve:
    return Curve(
        gust,
        figures.share(lambda taken: taken.first, gust),
        figures.share(lambda taken: taken.line, gust),
        figures.share(lambda taken: taken.missed, gust),
        {mark: figures.share(lambda taken, m=mark: taken.gone[m], gust) for mark in figures.walls.gone},  # type: ignore[misc]
        figures.bounds(gust),
    )


def _link_json(way: str, link: Scattered) -> ScatteredJson:
    return {
        "link": link.link, "direction": way, "mark": link.mark,
        "x_ft": None if link.x is None else link.x / INCHES_PER_FOOT, "steady": link.steady, "rate": link.rate,
        "kind": link.kind, "fasteners": link.fasteners, "scatter": link.scatter,
        "pull_test": None if link.pulled is None else link.pulled.test.name,
    }  # fmt: skip


def chance(
    job: Job,
    *,
    today: date,
    forecast: Mph | None = None,
    storms: bool = False,
    has_stood: Mph | None = None,
) -> ChanceResult:
    """Give the chance that a wall's bracing goes.

    Args:
        job: the wall.
        today: the day asked, for nails that dry.
        forecast: highest gust foretold of tonight [mph]; None where nobody said.
        storms: thunderstorms are foretold: tonight has no chance anybody can give.
        has_stood: highest gust the wall is known to have stood on these braces [mph]; None where none was read.
    """
    dried = dried_by(job, today)
    found = check(job, gust=forecast, thunderstorm=storms, effects=False)
    weeks, why_no_weeks = weeks_of(job)
    why_not = [] if why_no_weeks is None else [why_no_weeks]
    of_wall = chance_of_wall(found, dried=dried)
    figures = of_wall.figures
    if figures is None:
        return evolve(of_wall, why_not=(*of_wall.why_not, *(why_not if found.beyond else ())))
    if has_stood is not None and believed(figures, has_stood) is not None:
        why = Said("no-chance-disbelieved", gust=Quantity(has_stood, Kind.GIVEN))
        return ChanceResult(found, None, None, None, (why,))
    if storms:
        why_not.append(Said("no-tonight-storms"))
    tonight = None if forecast is None or storms else tonight_of(job, forecast)
    return ChanceResult(found, tonight, weeks, figures, tuple(why_not))


def chance_of_wall(found: CheckResult, *, dried: bool = True) -> ChanceResult:
    """Give the chances of a wall at any gust, of no night and of no weeks; or why there are none.

    Args:
        found: the wall checked.
        dried: nails driven green are counted as dried since.
    """
    job = found.job
    if found.beyond or found.model is None:
        return ChanceResult(found, None, None, None, found.beyond)
    if not job.wall.up or not found.limit_whole:
        loose = Said("no-chance-loose") if job.wall.up else Said("no-chance-not-up")
        return ChanceResult(found, None, None, None, (loose,))
    walls = scattered(job, thunderstorm=found.thunderstorm, dried=dried)
    return ChanceResult(found, None, None, Figures(Drawn(walls), walls), ())


def believed(figures: Figures, stood: Mph) -> float | None:
    """Give the chance of standing a gust that a wall did stand, where it is too small to be believed; else None.

    Args:
        figures: what is counted.
        stood: highest gust it has stood [mph].
    """
    stands = 1.0 - figures.share(lambda taken: taken.line, stood).chance
    return stands if stands < shipped("chance")["nights"]["disbelieved"] else None
