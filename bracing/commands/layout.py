"""`bracing layout`: how many braces, where, how long, with what."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from bracing.commands.check import ALL, GUST, JSON, LINKS, METRIC, STORMS, SUSTAINED, asked_gust
from bracing.commands.output import (
    INTERRUPTED,
    NOT_WITHIN,
    PROGRESS,
    WITHIN,
    as_json,
    finish,
    page_of,
    tell,
)
from bracing.commands.wall_options import Given, quoted
from bracing.said import Verdict

if TYPE_CHECKING:
    from bracing.errors import NoLayoutError
    from bracing.job.job import Job
    from bracing.layout.nearest import ChangeSearch
    from bracing.layout.on_hand import OnHand
    from bracing.layout.plan import LayoutAsked, LayoutResult
    from bracing.text.page import Page

SPACING = typer.Option(help='solve for this spacing as given, such as "8 ft"', show_default=False)
ANGLE = typer.Option(help="solve for this angle from the floor as given [degrees]", show_default=False)
FEWEST = typer.Option("--fewest", help="the fewest braces, and not the least work")
BUDGET_HELP = typer.Option(
    help="seconds to look for less work, or fewer braces; where none do, twice as long for what would",
    min=0.0,
    max=3600.0,
)
DAY_GUST = typer.Option(help="gust of the day, for the hook")
MISSING = typer.Option(help="it must also stand at this gust with any one brace gone", show_default=False)
WHY = typer.Option("--why", help="list where no foot may stand, and why")
ON_HAND = typer.Option(
    help='the highest limit gust with this, such as "12 2x4x16, 200 screws"', show_default=False
)
OTHERS = typer.Option("--alternatives", help="other layouts side by side: no tie rows, no doubled studs, ..")
WRITE = typer.Option("--write", help="write braces, kit and what is needed too into the wall file")
TIME, DAY = 1.8, "25"  # as usual: of the search [s], and the gust of the day
USUAL: dict[str, str | float] = {"budget": TIME, "day_gust": DAY}
GUSTS_TRIED = 5  # with what is on hand, about: the budget is shared out over them


def layout(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    storms: Annotated[bool, STORMS] = False,
    sustained: Annotated[bool, SUSTAINED] = False,
    spacing: Annotated[str | None, SPACING] = None,
    angle: Annotated[str | None, ANGLE] = None,
    fewest: Annotated[bool, FEWEST] = False,
    budget: Annotated[float, BUDGET_HELP] = TIME,
    day_gust: Annotated[str, DAY_GUST] = DAY,
    one_missing: Annotated[str | None, MISSING] = None,
    on_hand: Annotated[str | None, ON_HAND] = None,
    alternatives: Annotated[bool, OTHERS] = False,
    why: Annotated[bool, WHY] = False,
    links: Annotated[bool, LINKS] = False,
    whole: Annotated[bool, ALL] = False,
    write: Annotated[bool, WRITE] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Lay out braces for a gust: how many, where, cut how, with what."""
    from bracing.errors import NoLayoutError
    from bracing.layout.on_hand import nearest_on_hand, read_on_hand
    from bracing.layout.plan import LayoutAsked
    from bracing.text.layout import Shown, layout_page, on_hand_lines, to_fetch_lines
    from bracing.units import angle as read_angle
    from bracing.units import length, speed

    job, asked = given.job(), _asked(gust, sustained=sustained, best=on_hand is not None)
    if write:
        _may_write(given, job)
    wanted = LayoutAsked(
        spacing=None if spacing is None else length(spacing, field="--spacing"),
        angle=None if angle is None else math.degrees(read_angle(angle, field="--angle")),
        one_missing=None if one_missing is None else speed(one_missing, field="--one-missing"), fewest=fewest,
        day_gust=speed(day_gust, field="--day-gust"), others=(alternatives or json) and spacing is None,
    )  # fmt: skip
    more = _typed(
        spacing=spacing, angle=angle, one_missing=one_missing, day_gust=day_gust, budget=budget, metric=metric
    )  # fmt: skip
    truck = None if on_hand is None else read_on_hand(on_hand, job.fasteners)
    try:
        result = _found(job, asked, wanted, storms=storms, budget=budget, truck=truck)
    except NoLayoutError as error:
        page = None if json else page_of(metric=metric)
        if not error.trials:
            _outside(job, asked, error, storms=storms, page=page)
        search = _changes(job, asked, wanted, storms=storms, budget=budget)
        result = _none(search, error, page, wall=given.words(), truck=truck, gust=asked, more=more)
    status = _status(result, asked)
    if write:
        _write(job, result)
    page = page_of(metric=metric, whole=whole)
    beside = () if truck is None else on_hand_lines(truck, result, page)
    if truck is not None and asked is not None and status == NOT_WITHIN:
        search = _changes(job, asked, wanted, storms=storms, budget=budget)
        found = nearest_on_hand(search, truck, result, gust=asked)
        if json:
            finish(as_json(found.to_dict()), status)
        beside += to_fetch_lines(found, page)
    if json:
        for line in beside:
            tell(line)
        finish(as_json(result.to_dict()), status)
    shown = Shown(
        why=why, links=links, written=write, on_hand=on_hand, gust=asked, again=_typed(on_hand=on_hand, gust=gust),
        more=more, beside=beside,
    )  # fmt: skip
    finish(layout_page(result, page, wall=given.words(), shown=shown), status)


def _asked(gust: str | None, *, sustained: bool, best: bool) -> float | None:
    """The gust to lay out for; none need be asked for the best with what is on hand."""
    from bracing.errors import InputError

    asked = asked_gust(gust, sustained=sustained)
    if asked is None and not best:
        option = "--gust"
        raise InputError.of(option, "nothing", 'the gust to lay out for, such as "--gust 45"')
    return asked


def _typed(**options: str | float | None) -> str:
    """Options as they are typed again, those left out that are as usual or were not given."""
    given = {name: value for name, value in options.items() if value not in (None, False, USUAL.get(name))}
    said = {
        name: "" if value is True else f" {quoted(value if isinstance(value, str) else f'{value:g}')}"
        for name, value in given.items()
    }
    return "".join(f" --{name.replace('_', '-')}{value}" for name, value in said.items())


def _found(
    job: Job, gust: float | None, wanted: LayoutAsked, *, storms: bool, budget: float, truck: OnHand | None
) -> LayoutResult:
    from bracing.layout.on_hand import best_on_hand
    from bracing.layout.plan import lay_out

    told = PROGRESS.begin("looking for a layout", budget=budget)
    if truck is not None:
        each = budget / GUSTS_TRIED
        return best_on_hand(job, truck, asked=wanted, thunderstorm=storms, budget=each, progress=told)
    assert gust is not None  # asked for above
    return lay_out(job, gust=gust, thunderstorm=storms, budget=budget, asked=wanted, progress=told)


def _status(result: LayoutResult, gust: float | None) -> int:
    if result.interrupted:
        return INTERRUPTED
    reached = gust is None or (result.result.limit or 0.0) >= gust
    return WITHIN if result.result.as_drawn == Verdict.WITHIN and reached else NOT_WITHIN


def _changes(
    job: Job, gust: float | None, wanted: LayoutAsked, *, storms: bool, budget: float
) -> ChangeSearch:
    """How what would do is looked for: with what is on hand, for which no gust may be asked, at any."""
    from attrs import evolve

    from bracing.layout.nearest import FIRST, TIMES, ChangeSearch

    told = PROGRESS.begin("looking for what would do", budget=TIMES * budget)
    return ChangeSearch(
        evolve(job, braces=(), built=None), FIRST if gust is None else gust, thunderstorm=storms,
        asked=evolve(wanted, others=False), budget=budget, progress=told,
    )  # fmt: skip


def _none(
    search: ChangeSearch, error: NoLayoutError, page: Page | None, *, wall: str, truck: OnHand | None,
    gust: float | None, more: str,
) -> LayoutResult:  # fmt: skip
    """Say what can be said where there is no layout; give the one there is, where looking for a lower gust found it."""
    from bracing.layout.on_hand import nearest_on_hand
    from bracing.text.layout import nearest_page

    found = search.after(error) if truck is None else nearest_on_hand(search, truck, error, gust=gust)
    if found.reached is not None:
        return found.reached
    status, option, then = INTERRUPTED if found.interrupted else NOT_WITHIN, "--on-hand", ""
    if found.nearest is not None:
        then = f" --gust {(found.nearest.result.gust or 0.0):g}"
    elif found.would_do and option in (fields := found.would_do[0].fields):
        then = f" {option} {quoted(str(fields[option]))} --gust {found.would_do[0].gust:g}"
    then += (" --storms" if search.thunderstorm else "") + more if then else ""
    shown = as_json(found.to_dict()) if page is None else nearest_page(found, page, wall=wall, then=then)
    return finish(shown, status)


def _outside(
    job: Job, gust: float | None, error: NoLayoutError, *, storms: bool, page: Page | None
) -> NoReturn:
    """Say that a wall or a gust is outside the envelope, as check says it."""
    from attrs import evolve

    from bracing.check import check
    from bracing.results import header
    from bracing.text.check import Details, check_page

    bare = evolve(job, braces=(), built=None)
    result = check(bare, gust=gust, thunderstorm=storms, effects=False)
    if not result.beyond:
        raise error
    if page is None:
        finish(as_json({**result.to_dict(), "schema": header(bare, "layout")["schema"]}), NOT_WITHIN)
    finish(check_page(result, None, page, wall="", details=Details()), NOT_WITHIN)


def _may_write(given: Given, job: Job) -> None:
    from bracing.errors import InputError

    option = "--write"
    if given.file is None:
        raise InputError.of(option, "no file", "a wall file to write into")
    if job.built is not None:
        expected = (
            "a file whose wall nobody has walked: this one says what is up; lay out in a copy without [built]"
        )
        raise InputError.of(option, given.file, expected)


def _write(job: Job, result: LayoutResult) -> None:
    from bracing.layout.needed import chosen_paths
    from bracing.reading.writing import write_layout

    changes = chosen_paths(result.before, result.job)
    write_layout(job.file, result.job.braces, changes, was=job.sha256)
