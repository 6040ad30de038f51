"""`bracing check`: a wall as it stands."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bracing.commands.output import LANGUAGE, PROGRESS, as_json, finish, language_of, page_of, status_of
from bracing.commands.wall_options import Given

if TYPE_CHECKING:
    from bracing.check import CheckResult
    from bracing.reading.files import Output

GUST = typer.Option(
    help='forecast gust: an actual 3-second gust, such as 45 (mph) or "20 m/s"', show_default=False
)
STORMS = typer.Option("--storms", help="the forecast says thunderstorms: plan for no less than 58 mph")
SUSTAINED = typer.Option("--sustained", help="--gust is a sustained speed: 1.53 times as much is planned for")
LINKS = typer.Option("--links", help="list every link, the lowest gust first")
ASSUMED = typer.Option("--assumed", help="list all that took its low default")
MISSING = typer.Option("--one-missing", help="list the limit gust with each brace gone")
ALL = typer.Option("--all", help="all of it, in place of one screen")
JSON = typer.Option("--json", help="JSON instead of text")
METRIC = typer.Option("--metric", help="metric text; JSON stays as it is")
MODEL = typer.Option("--model", help="write the analysed frame to this file, for any frame program")
STRICT = typer.Option("--strict", help="of a folder: status 2 where anything in it was left out")
OVERWRITE = typer.Option("--overwrite", help="write over files that are there; never over one that is read")


def check(
    given: Given,
    *,
    gust: Annotated[str | None, GUST] = None,
    storms: Annotated[bool, STORMS] = False,
    sustained: Annotated[bool, SUSTAINED] = False,
    links: Annotated[bool, LINKS] = False,
    assumed: Annotated[bool, ASSUMED] = False,
    one_missing: Annotated[bool, MISSING] = False,
    whole: Annotated[bool, ALL] = False,
    json: Annotated[bool, JSON] = False,
    metric: Annotated[bool, METRIC] = False,
    language: Annotated[str | None, LANGUAGE] = None,
    model: Annotated[Path | None, MODEL] = None,
    overwrite: Annotated[bool, OVERWRITE] = False,
) -> None:
    """Check a wall as it stands: its limits, and what gives first."""
    from bracing.check import check as checked
    from bracing.reading.files import Output
    from bracing.text.check import Details, check_page
    from bracing.text.hand_check import hand_check
    from bracing.text.page import in_both

    job = given.job()
    spoken = language_of(language, given.file)
    asked = asked_gust(gust, sustained=sustained)
    output = Output("--model", overwrite)
    if model is not None:
        output.check(model)
    PROGRESS.begin("checking the wall, with every brace and with each one gone")
    result = checked(job, gust=asked, thunderstorm=storms)
    hand = hand_check(result)
    if model is not None:
        _write_model(model, result, output)
    status = status_of(result.verdict, out=result.people_out)
    if json:
        finish(as_json({**result.to_dict(), "hand_check": None if hand is None else hand.to_dict()}), status)
    speed = asked_gust(gust, sustained=False) if sustained else None
    details = Details(links=links, assumed=assumed, one_missing=one_missing, sustained=speed)
    page = page_of(metric=metric, whole=whole, language=spoken)
    wall = given.words()
    finish(in_both(page, lambda on: check_page(result, hand, on, wall=wall, details=details)), status)


def asked_gust(text: str | None, *, sustained: bool) -> float | None:
    """Read the gust asked.

    Args:
        text: as typed, or None.
        sustained: it is a sustained speed.

    Returns:
        The 3-second gust [mph].

    Raises:
        InputError: not a speed.
    """
    from bracing.codes.gusts import gust_from_sustained
    from bracing.errors import InputError
    from bracing.units import speed

    if text is None:
        if sustained:
            alone = "--sustained"
            raise InputError.of(alone, "no --gust beside it", "--gust with the sustained speed")
        return None
    asked = speed(text, field="--gust")
    return gust_from_sustained(asked) if sustained else asked


def _write_model(path: Path, result: CheckResult, output: Output) -> None:
    from bracing.errors import InputError
    from bracing.text.frame import frame_model

    model = frame_model(result)
    if model is None:
        expected = "a wall inside the envelope of use: this one is not analysed"
        raise InputError.of(output.option, str(path), expected)
    output.put(path, f"{as_json(model)}\n".encode())
