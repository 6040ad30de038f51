"""What the page says, gathered once: the wall checked, its layout, drawings, order, rungs, trace and lists."""

from __future__ import annotations

from functools import cache

from attrs import evolve, field, frozen

from bracing.chain.cuts import Cut, cut_of
from bracing.check import CheckResult, check
from bracing.choosing import Budget
from bracing.drawing.details import brace_section, details
from bracing.drawing.elevation import elevation
from bracing.drawing.model import Drawing
from bracing.drawing.plan import plan, zone
from bracing.job.job import Job
from bracing.layout.needed import bought_on_file, needed_on_file
from bracing.layout.plan import BUDGET, LayoutResult, lay_out
from bracing.said import Kind, Quantity, Said
from bracing.sources import shipped
from bracing.stages.going_up import DAY_GUST
from bracing.stages.stages import StagesResult, stages
from bracing.stages.take_down import BUDGET as TAKE_DOWN_BUDGET
from bracing.storm.ladder import LADDER_BUDGET, Ladder, WorstHour, find_ladder
from bracing.text.languages import OWN, listed
from bracing.text.page import PLAIN, Page
from bracing.text.trace import Trace, trace
from bracing.units import MPH_PER_METRE_PER_SECOND, Mph
from bracing.work.parts import Item


def drawings(result: CheckResult, page: Page = PLAIN) -> tuple[Drawing, ...]:
    """Draw the wall, the floor, the zone, each brace in section, and head and foot of the first.

    Args:
        result: the wall checked.
        page: how lengths are written.
    """
    job = result.job
    sections = (brace_section(job, brace, page) for brace in job.braces)
    close = details(job, job.braces[0], page) if job.braces else ()
    return (elevation(job, page), plan(result, page), zone(result, page), *sections, *close)


@frozen
class Checklist:
    """One list.

    Attributes:
        name: short.
        title: its heading.
        lead: said under the heading.
        items: lines to tick.
        pictures: the name of the picture beside each; "" where it has none.
    """

    name: str
    title: str
    lead: str
    items: tuple[str, ...]
    pictures: tuple[str, ...]


@cache
def checklists(language: str = OWN) -> tuple[Checklist, ...]:
    """Give every list in the order of the page.

    Args:
        language: one of LANGUAGES.

    Example:
        >>> [each.name for each in checklists()]
        ['release', 'evening', 'blow', 'stop']
    """
    lists = []
    for row in shipped("sheet")["list"]:
        title, lead, items = listed(row["name"], language) or (row["title"], row["lead"], row["items"])
        shown = row.get("pictures", [""] * len(items))
        lists.append(Checklist(row["name"], title, lead, tuple(items), tuple(shown)))
    return tuple(lists)


GUSTS: tuple[int, ...] = (20, 25, 30, 35, 40, 45, 50, 55, 58)  # [mph]
METRIC_GUSTS: tuple[int, ...] = (8, 10, 12, 14, 16, 18, 20, 22, 24, 26)  # [m/s]
MOST_STORM_GUST: Mph = 58.0


def gusts(page: Page) -> tuple[Mph, ...]:
    """Give the gusts a page shows within and over, round in its own units [mph].

    Args:
        page: how they are written.

    Example:
        >>> gusts(Page())[:2], round(gusts(Page(metric=True))[0], 1)
        ((20, 25), 17.9)
    """
    return tuple(each * MPH_PER_METRE_PER_SECOND for each in METRIC_GUSTS) if page.metric else GUSTS


@frozen(eq=False)
class Facts:
    """All that a page says of one wall.

    Attributes:
        as_filed: the wall as its file has it, checked at the gust asked.
        result: that, assumptions costed; of a wall without braces the layout's.
        storm: that with thunderstorms in the forecast; None where it is so already, or has no braces.
        layout: the layout, where the file has no braces; else None.
        cuts: how each brace is cut.
        stages: from the first brace up to the last one out, for a gust of the day.
        ladder: the least work for the gust of the rungs, or None where the wall is within it or beyond the envelope.
        ladder_gust: that gust [mph].
        ladder_in_storms: limit gust after that work in the wind of a thunderstorm, where the page is not for one [mph].
        trace: the sums that govern, step by step; None beyond the envelope.
        drawings: every drawing.
        page: how quantities are written.
    """

    as_filed: CheckResult = field(repr=False)
    result: CheckResult
    storm: CheckResult | None = field(repr=False)
    layout: LayoutResult | None = field(repr=False)
    cuts: tuple[Cut, ...]
    stages: StagesResult = field(repr=False)
    ladder: Ladder | None = field(repr=False)
    ladder_gust: Mph
    trace: Trace | None = field(repr=False)
    drawings: tuple[Drawing, ...] = field(repr=False)
    page: Page = PLAIN
    ladder_in_storms: Mph | None = field(default=None, kw_only=True)

    @property
    def job(self) -> Job:
        """The job with its braces."""
        return self.result.job

    @property
    def storm_out(self) -> int | None:
        """Clear-out gust with thunderstorms in the forecast, where it is another than without [mph]."""
        if self.storm is None or self.storm.clear_out == self.result.clear_out:
            return None
        return self.storm.clear_out

    @property
    def needed(self) -> tuple[Said, ...]:
        """All that the braces need beside them."""
        return needed_on_file(self.result)

    @property
    def buy(self) -> tuple[Item, ...]:
        """The parts list: of a layout with what it raises of what was there, else of what is on file."""
        if self.result.beyond:
            return ()
        return bought_on_file(self.job) if self.layout is None else self.layout.buy

    @property
    def plan(self) -> Said | None:
        """What the braces shown were laid out for, as a gust of 40 mph; None where they are those of the file."""
        if self.layout is None:
            return None
        return Said("for-a-gust", gust=Quantity(self.result.gust or 0.0, Kind.ASKED))


def gather(
    job: Job, page: Page = PLAIN, *, gust: Mph | None, thunderstorm: bool = False, budget: float | None = None,
    rungs: bool = True,
) -> Facts:  # fmt: skip
    """Gather all a page says: of the braces in the file, or where it has none of a layout for the gust.

    Args:
        job: the job as read.
        page: how quantities are written.
        gust: the gust asked [mph]; None only where the file has braces.
        thunderstorm: the forecast says thunderstorms.
        budget: time for the search of a layout, again for the least work and for the take-down [s]; None is their own.
        rungs: look for the least work that covers a storm.

    Raises:
        InputError: no braces and no gust; a wall without braces outside the envelope.
        NoLayoutError: no layout within the grid.
    """
    layout, filed = None, job
    if not job.braces:
        layout = _laid_out(job, gust, thunderstorm=thunderstorm, budget=budget)
        job = layout.job
    result = check(job, gust=gust, thunderstorm=thunderstorm)
    as_filed = result
    if layout is not None:
        as_filed = check(filed, gust=gust, thunderstorm=thunderstorm, effects=False)
    keep = _kept(result)
    storm = max(MOST_STORM_GUST, result.gust or 0.0)
    found, in_storms = None, None
    if rungs and result.limit is not None and result.limit < storm:
        clock = Budget(LADDER_BUDGET if budget is None else budget)
        found = find_ladder(job, WorstHour(storm, thunderstorm=thunderstorm, clock=clock))
        if found.covers and not thunderstorm:
            in_storms = check(found.steps[-1].job, thunderstorm=True, effects=False).limit
    return Facts(
        as_filed=as_filed,
        result=result,
        storm=None if thunderstorm or not job.braces else check(job, thunderstorm=True, effects=False),
        layout=layout,
        cuts=tuple(cut_of(job, brace) for brace in job.braces),
        stages=stages(
            job,
            gust=DAY_GUST,
            keep=keep,
            thunderstorm=thunderstorm,
            budget=TAKE_DOWN_BUDGET if budget is None else budget,
        ),
        ladder=found,
        ladder_gust=storm,
        ladder_in_storms=in_storms,
        trace=trace(result),
        drawings=drawings(result, evolve(page, language=OWN)),  # words in drawings are English alone
        page=page,
    )


def _kept(result: CheckResult) -> Mph:
    """The clear-out gust no removal goes below: the gust asked, or its own where that is lower or none was asked."""
    own = float(result.clear_out or 0)
    return own if result.gust is None else min(result.gust, own)


def _laid_out(job: Job, gust: Mph | None, *, thunderstorm: bool, budget: float | None) -> LayoutResult:
    from bracing.errors import InputError

    if gust is None:
        option = "--gust"
        expected = "the gust to lay out for: the file has no [[brace]]"
        raise InputError.of(option, "nothing", expected)
    return lay_out(job, gust=gust, thunderstorm=thunderstorm, budget=BUDGET if budget is None else budget)
