"""The commands `weight`, `lift` and `plumb`: parse, call, print, exit status."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bracing.commands.check import OVERWRITE
from bracing.commands.help import PartedCommand
from bracing.commands.output import NOT_WITHIN, WITHIN, as_json, finish, status_of, tell
from bracing.commands.progress import PROGRESS
from bracing.commands.wall_options import Given, takes_wall

Json = Annotated[bool, typer.Option("--json", help="JSON instead of text")]
Metric = Annotated[bool, typer.Option("--metric", help="metric text; JSON stays as it is")]


def register(app: typer.Typer) -> None:
    """Add the commands of lifting to the program.

    Args:
        app: the program.
    """
    for name, command in (("weight", weight), ("lift", lift), ("plumb", plumb)):
        app.command(name, cls=PartedCommand)(takes_wall(command))


def weight(given: Given, *, json: Json = False, metric: Metric = False) -> None:
    """What a wall weighs, part by part, and where it balances."""
    from bracing.cautions import CAUTIONS
    from bracing.lift.plan import weigh
    from bracing.results import header
    from bracing.text.lift import weight_text

    job = given.job()
    off, assumed = weigh(job)
    if json:
        said = {"assumed": [one.to_dict() for one in assumed], "cautions": list(CAUTIONS)}
        finish(as_json({**header(job, "weight"), "wall": job.wall.name, **off.to_dict(), **said}))
    finish(weight_text(job, off, assumed, metric=metric))


def lift(
    given: Given,
    *,
    gust: Annotated[
        str | None, typer.Option(help="gust of the day; none plans for the lift's own limit")
    ] = None,
    dynamic: Annotated[float, typer.Option(help="dynamic part of the load", min=0.0, max=2.0)] = 0.25,
    picks: Annotated[int, typer.Option(help="how many picks, 2 to 4")] = 2,
    pick_at: Annotated[list[str] | None, typer.Option(help="a stud to pick at, from LEFT; repeat")] = None,
    below_top: Annotated[str | None, typer.Option(help="how far below the top the slings act")] = None,
    sling_round: Annotated[str, typer.Option(help="stud, header or plate")] = "stud",
    pick_lb: Annotated[str | None, typer.Option(help="allowable of one attachment, by report")] = None,
    slings: Annotated[str | None, typer.Option(help="length of the longer sling")] = None,
    sling_tag: Annotated[str | None, typer.Option(help="capacity on the tag, in this hitch")] = None,
    flat_slings: Annotated[bool, typer.Option("--flat-slings", help="allow 45 to 60 deg")] = False,
    spreader: Annotated[bool, typer.Option("--spreader", help="slings plumb from a spreader")] = False,
    lift_each: Annotated[str, typer.Option(help="lift of one person")] = "50 lb",
    hand_reach: Annotated[str, typer.Option(help="how high hands push")] = "6.5 ft",
    people: Annotated[int, typer.Option(help="how many there are", min=2, max=40)] = 3,
    tag_lines: Annotated[str | None, typer.Option(help="level pull all tag lines hold together")] = None,
    toe_nails: Annotated[str | None, typer.Option(help='such as "24: 16d common"')] = None,
    straps: Annotated[str | None, typer.Option(help='"6: 400 lb", or "6: 5 of 16d common"')] = None,
    blocks: Annotated[str | None, typer.Option(help='stop blocks: "8: 4 of 16d common"')] = None,
    chart: Annotated[Path | None, typer.Option(help="load chart, CSV")] = None,
    machine: Annotated[str, typer.Option(help="outside or inside")] = "outside",
    distance: Annotated[
        str | None, typer.Option(help="from the plate to where the chart counts from")
    ] = None,
    ground: Annotated[str | None, typer.Option(help="its ground above the floor; below is -")] = None,
    jib: Annotated[str | None, typer.Option(help='"6 ft" out, or "6 ft, 2 ft" out and up')] = None,
    rigging: Annotated[str, typer.Option(help="weight of jib, spreader, slings and hook")] = "0 lb",
    most_height: Annotated[str | None, typer.Option(help="greatest hook height")] = None,
    line_kv: Annotated[
        float | None, typer.Option(help="voltage of a power line near by, kV", min=0.0)
    ] = None,
    line_distance: Annotated[str | None, typer.Option(help="least distance from a power line")] = None,
    pictures: Annotated[Path | None, typer.Option(help="folder for the pictures")] = None,
    picture_format: Annotated[str, typer.Option("--format", help="svg, png or pdf")] = "svg",
    overwrite: Annotated[bool, OVERWRITE] = False,
    json: Json = False,
    metric: Metric = False,
) -> None:
    """Getting it up: the line over the tilt, picks, slings, foot, machine, people, wind."""
    options = {name: value for name, value in locals().items() if name != "given"}
    from bracing.commands.lift_options import lift_request
    from bracing.lift.day import day_plan
    from bracing.lift.plan import plan_lift
    from bracing.text.lift import lift_text

    job = given.job()
    PROGRESS.begin("planning the lift")
    plan = plan_lift(job, lift_request(job, options))
    if pictures is not None:
        from bracing.drawing.lift import draw_lift
        from bracing.reading.files import Output

        suffix, output = f".{picture_format.lower().lstrip('.')}", Output("--pictures", overwrite)
        for path in draw_lift(plan, pictures, suffix=suffix, output=output):
            tell(f"wrote {path}")
    status = status_of(plan.verdict)
    if json:
        finish(as_json({**plan.to_dict(), "day": day_plan(plan).to_dict()}), status)
    finish(lift_text(plan, metric=metric), status)


def plumb(
    given: Given,
    *,
    readings: Annotated[Path | None, typer.Option(help="CSV of mark, floor, head")] = None,
    at: Annotated[
        list[str] | None, typer.Option(help='"B1: 2 in, 2 1/2 in", floor then head; repeat')
    ] = None,
    turn: Annotated[str | None, typer.Option(help="change of length of one turn of an adjuster")] = None,
    gust: Annotated[str, typer.Option(help="gust of the day, for feet let go")] = "25",
    json: Json = False,
    metric: Metric = False,
) -> None:
    """Offset readings at floor and head into lean, bow, moves and an order of release."""
    from bracing.cautions import CAUTIONS
    from bracing.lift.plan import weigh
    from bracing.lift.plumb import loose_feet
    from bracing.lift.plumb import plumb as work_out
    from bracing.reading.plumb import read_offsets
    from bracing.results import header
    from bracing.text.lift import plumb_text
    from bracing.units import length, speed

    job = given.job()
    offsets = read_offsets(job, path=readings, typed=at or ())
    off, assumed = weigh(job)
    step = None if turn is None else length(turn, field="--turn")
    found = work_out(
        offsets, weight=off.weight, allowed_lean=job.site.lean, inches_per_turn=step, loose=loose_feet(job),
        gust=speed(gust, field="--gust"),
    )  # fmt: skip
    status = WITHIN if found.within and not found.stays else NOT_WITHIN
    if json:
        said = {"assumed": [one.to_dict() for one in assumed], "cautions": list(CAUTIONS)}
        finish(as_json({**header(job, "plumb"), "wall": job.wall.name, **found.to_dict(), **said}), status)
    finish(plumb_text(job, found, metric=metric), status)
