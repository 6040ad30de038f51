"""`bracing chance`: how likely it is that a wall's bracing goes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bracing.commands.check import ALL, JSON, METRIC, OVERWRITE
from bracing.commands.output import PROGRESS, as_json, finish, page_of
from bracing.commands.storms import COLUMNS, FORECAST, NOW, STORMS, UNIT, ZONE, clock_of, forecast_of
from bracing.commands.wall_options import Given

if TYPE_CHECKING:
    from bracing.storm.clock import Clock

GUST = typer.Option(help="highest gust foretold of tonight, such as 45 (mph)", show_default=False)
HAS_STOOD = typer.Option(
    help="highest gust read that it has stood on these braces: sums that give that too little chance are not printed",
    show_default=False,
)
MENDS = typer.Option("--mends", help="what a mend, a brace more or a walk buys tonight")
SVG = typer.Option("--svg", help="draw the curves, black on white, into this file", show_default=False)


def chance(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    forecast: Annotated[str | None, FORECAST] = None,
    columns: Annotated[str | None, COLUMNS] = None,
    unit: Annotated[str | None, UNIT] = None,
    zone: Annotated[str | None, ZONE] = None,
    storms: Annotated[bool, STORMS] = False,
    has_stood: Annotated[str | None, HAS_STOOD] = None,
    mends: Annotated[bool, MENDS] = False,
    svg: Annotated[Path | None, SVG] = None,
    overwrite: Annotated[bool, OVERWRITE] = False,
    now: Annotated[str | None, NOW] = None,
    whole: Annotated[bool, ALL] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
) -> None:
    """Say how likely it is that the bracing goes, tonight and over the weeks it stands: no verdict, and no leave."""
    from bracing.chance.answer import chance as chance_of
    from bracing.chance.mends import mends as mends_of
    from bracing.reading.files import Output
    from bracing.storm.clock import refuse
    from bracing.text.chance import chance_page
    from bracing.units import speed

    job, output = given.job(), Output("--svg", overwrite)
    if svg is not None:
        output.check(svg)
    series = {"columns": columns, "unit": unit, "zone": zone}
    clock, highest, stormy = _wind(clock_of(now, zone), gust, forecast, series, storms=storms)
    stood = None if has_stood is None else speed(has_stood, field="--has-stood")
    if mends and (highest is None or stormy):
        refuse("--mends", "no gust of tonight", "--gust or --forecast beside it, and no --storms")
    PROGRESS.begin("drawing a hundred thousand such walls")
    today = clock.local(clock.now).date()
    result = chance_of(job, today=today, forecast=highest, storms=stormy, has_stood=stood)
    bought = mends_of(result, today=today, gust=highest) if mends and highest is not None else None
    if svg is not None:
        from bracing.drawing.curves import chance_svg

        output.put(svg, chance_svg(result, page_of(metric=metric)))
    if json:
        finish(as_json({**result.to_dict(), **({} if bought is None else {"mends": bought.to_dict()})}))
    finish(chance_page(result, page_of(metric=metric, whole=whole), bought=bought))


def _wind(
    clock: Clock, gust: str | None, forecast: str | None, series: dict[str, str | None], *, storms: bool
) -> tuple[Clock, float | None, bool]:
    """The clock of the place, the highest gust foretold, and whether thunderstorms are."""
    from bracing.commands.check import asked_gust
    from bracing.storm.clock import refuse
    from bracing.storm.forecast import from_now_on

    if forecast is None:
        for name in ("columns", "unit"):
            if series[name] is not None:
                refuse(f"--{name}", series[name], "a --forecast file beside it")
        return clock, asked_gust(gust, sustained=False), storms
    if gust is not None:
        refuse("--gust", gust, "it in the --forecast file, or no file")
    clock, told = forecast_of(forecast, clock, {"gust": None, "until": None}, series, storms=storms)
    assert told is not None
    ahead = from_now_on(told, clock.now)
    return clock, ahead.highest, ahead.thunderstorm
