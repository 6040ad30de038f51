"""The options of `lift` as people type them, read into a request; every fault named by its option."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Annotated, Any, TypeVar

import typer
from attrs import field, fields, frozen

from bracing.commands.check import ALL, JSON, METRIC, OVERWRITE
from bracing.commands.output import NOT_WITHIN, PROGRESS, WITHIN, as_json, finish, page_of, status_of, tell
from bracing.commands.wall_options import Given
from bracing.errors import Fault, InputError
from bracing.job.fields import KIND, hold
from bracing.job.job import Job
from bracing.lift.links import ATTACHMENTS, MOST_COUNT, FootRequest, LiftRequest
from bracing.lift.machine import SIDES, Machine
from bracing.reading.charts import read_chart, signed_length
from bracing.units import force, length, speed

_COUNT = re.compile(r"[0-9]{1,9}")
Value = TypeVar("Value")


@frozen
class _Reader:
    """The options given, and the faults found in them so far; made and read inside `lift_request` only."""

    given: Mapping[str, Any]
    faults: list[Fault] = field(factory=list)

    def read(self, name: str, kind: Callable[..., Value]) -> Value | None:
        """Read one option; None where it was not given or is at fault."""
        text = self.given[name]
        if text is None:
            return None
        try:
            return kind(text, field=_dashed(name))
        except InputError as error:
            self.faults.extend(error.faults)
            return None

    def held(self, name: str, of: str) -> Any:  # noqa: ANN401
        """Read one option by the kind of its field and hold it to it; the field's default where it was not given."""
        field = getattr(fields(LiftRequest), of)
        value = self.read(name, _READ_AS.get(field.metadata[KIND], as_given))
        if value is None:
            return field.default
        try:
            return hold(value, field.metadata, _dashed(name))
        except InputError as error:
            self.fault(name, self.given[name], error.faults[0].expected)
            return field.default

    def word(self, name: str, allowed: tuple[str, ...]) -> str:
        """Read one option that is one of some words."""
        text = str(self.given[name] or allowed[0]).lower()
        if text not in allowed:
            self.fault(name, text, f"one of {', '.join(allowed)}")
            return allowed[0]
        return text

    def fault(self, name: str, value: object, expected: str) -> None:
        """Keep a fault."""
        self.faults.append(Fault("command line", _dashed(name), str(value), expected))


def _dashed(name: str) -> str:
    return f"--{name.replace('_', '-')}"


_READ_AS: dict[str, Callable[..., object]] = {"length": length, "force": force, "speed": speed}
_HELD = {  # options of the request that give one field of it, by its kind
    "gust": "gust", "dynamic": "dynamic", "picks": "picks", "below_top": "drop", "pick_lb": "pick_lb",
    "slings": "slings", "sling_tag": "sling_lb", "lift_each": "lift_each", "hand_reach": "reach", "people": "people",
    "tag_lines": "tag_pull", "braces_on": "braces_on", "line_kv": "line_kv", "line_distance": "line_distance",
}  # fmt: skip


def lift_request(job: Job, given: Mapping[str, Any]) -> LiftRequest:
    """Read the options of a lift.

    Args:
        job: the job; its deck height is where a machine outside stands unless said.
        given: the options by name.

    Returns:
        The request.

    Raises:
        InputError: every option at fault.
    """
    read = _Reader(given)
    foot = _foot(read)
    chart = None
    if given["chart"] is not None:
        try:
            chart = read_chart(Path(given["chart"]))
        except InputError as error:
            read.faults.extend(error.faults)
    places = [_place(read, text) for text in given["pick_at"] or ()]
    request = LiftRequest(
        **{of: read.held(name, of) for name, of in _HELD.items()},
        pick_at=tuple(place for place in places if place is not None),
        by=read.word("sling_round", ATTACHMENTS),
        flat_slings=given["flat_slings"],
        spreader=given["spreader"],
        foot=foot,
        machine=_machine(job, read),
        chart=chart,
    )
    _together(job, request, read)
    if read.faults:
        raise InputError(read.faults)
    return request


def as_given(value: object, *, field: str) -> object:
    """Give a number that the parser has read.

    Args:
        value: the number.
        field: its option.
    """
    return value


def _place(read: _Reader, text: str) -> float | None:
    try:
        return length(text, field="--pick-at")
    except InputError as error:
        read.faults.extend(error.faults)
        return None


def _together(job: Job, request: LiftRequest, read: _Reader) -> None:
    lowest = min(z for _, z in job.wall.top)
    if not 0.0 <= request.drop < lowest / 2.0:
        read.fault("below_top", f"{request.drop:g} in", "less than half the height of the wall")
    if request.spreader and request.machine is not None and request.slings is None:
        read.fault(
            "slings", "nothing", "the length of the slings below the spreader: the hook is that much higher"
        )
    if (request.machine is None) != (read.given["chart"] is None):
        missing = "chart" if read.given["chart"] is None else "distance"
        read.fault(missing, "nothing", "a chart and a distance: both, or neither")


def _machine(job: Job, read: _Reader) -> Machine | None:
    side = read.word("machine", SIDES)
    distance = read.read("distance", length)
    ground = read.read("ground", signed_length)
    if ground is None:
        ground = -job.floor.height_above_ground if side == "outside" else 0.0
    out, up = _jib(read)
    rigging, most = read.read("rigging", force), read.read("most_height", length)
    if distance is None:
        return None
    return Machine(side, distance, ground, out, up, rigging or 0.0, most)


def _jib(read: _Reader) -> tuple[float, float]:
    text = read.given["jib"]
    if text is None:
        return 0.0, 0.0
    parts = [part.strip() for part in str(text).split(",")]
    if len(parts) > 2:
        read.fault("jib", text, '"6 ft" out, or "6 ft, 2 ft" out and up')
        return 0.0, 0.0
    try:
        values = [signed_length(part, field="--jib") for part in parts]
    except InputError as error:
        read.faults.extend(error.faults)
        return 0.0, 0.0
    return values[0], values[1] if len(values) > 1 else 0.0


def _foot(read: _Reader) -> FootRequest:
    """Read "24: 16d common", "6: 400 lb" and "8: 4 of 16d common"."""
    toe_nails, toe_nail = _counted(read, "toe_nails")
    straps, strap = _counted(read, "straps")
    blocks, block = _counted(read, "blocks")
    said: dict[str, Any] = {"toe_nails": toe_nails, "straps": straps, "blocks": blocks}
    if toe_nails:
        said["toe_nail"] = toe_nail
    if straps and " of " not in strap:
        try:
            said["strap_lb"] = force(strap, field="--straps")
        except InputError as error:
            read.faults.extend(error.faults)
    elif straps:
        said["strap_nails"], said["strap_fastener"] = _each(read, "straps", strap)
    if blocks:
        said["block_nails"], said["block_fastener"] = _each(read, "blocks", block)
    try:
        return FootRequest(**said)
    except InputError as error:
        (fault,) = error.faults
        options = {"toe_nail": "toe_nails", "strap": "straps", "block": "blocks"}
        option = next(options[start] for start in options if fault.field.startswith(f"FootRequest.{start}"))
        read.fault(option, fault.value, fault.expected)
        return FootRequest()


def _counted(read: _Reader, name: str) -> tuple[int, str]:
    """Split "24: 16d common" into 24 and the rest."""
    text = read.given[name]
    if text is None:
        return 0, ""
    count, mark, rest = str(text).partition(":")
    if not mark or not rest.strip() or not _COUNT.fullmatch(count.strip()) or int(count) > MOST_COUNT:
        read.fault(name, text, f'a count up to {MOST_COUNT}, a colon and what: "6: 5 of 16d common"')
        return 0, ""
    return int(count), rest.strip()


def _each(read: _Reader, name: str, text: str) -> tuple[int, str]:
    """Split "5 of 16d common" into 5 and the fastener."""
    count, _, what = text.partition(" of ")
    if not _COUNT.fullmatch(count.strip()) or not what.strip() or int(count) > MOST_COUNT:
        read.fault(name, text, 'how many of which fastener in each: "5 of 16d common"')
        return 0, FootRequest().strap_fastener
    return int(count), what.strip()


Json = Annotated[bool, JSON]
Metric = Annotated[bool, METRIC]
Whole = Annotated[bool, ALL]


def weight(given: Given, *, whole: Whole = False, json: Json = False, metric: Metric = False) -> None:
    """What a wall weighs, part by part, and where it balances."""
    from bracing.lift.hung import weigh
    from bracing.results import CAUTIONS, header
    from bracing.text.lift import weight_page

    job = given.job()
    off, assumed = weigh(job)
    if json:
        said = {"assumed": [one.to_dict() for one in assumed], "cautions": list(CAUTIONS)}
        finish(as_json({**header(job, "weight"), "wall": job.wall.name, **off.to_dict(), **said}))
    finish(weight_page(job, off, page_of(metric=metric, whole=whole), assumed=assumed))


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
    braces_on: Annotated[
        bool | None,
        typer.Option("--braces-on/--no-braces-on", help="the braces go up with the wall, or do not"),
    ] = None,
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
    whole: Whole = False,
    json: Json = False,
    metric: Metric = False,
) -> None:
    """Getting it up: the line over the tilt, picks, slings, foot, machine, people, wind."""
    options = {name: value for name, value in locals().items() if name != "given"}
    from bracing.lift.day import day_plan
    from bracing.lift.plan import plan_lift
    from bracing.text.lift import lift_page

    job = given.job()
    PROGRESS.begin("planning the lift")
    plan = plan_lift(job, lift_request(job, options))
    if pictures is not None:
        from bracing.drawing.graphs import draw_lift
        from bracing.reading.files import Output

        suffix, output = f".{picture_format.lower().lstrip('.')}", Output("--pictures", overwrite)
        for path in draw_lift(plan, pictures, page_of(metric=metric), suffix=suffix, output=output):
            tell(f"wrote {path}")
    status = status_of(plan.verdict)
    if json:
        finish(as_json({**plan.to_dict(), "day": day_plan(plan).to_dict()}), status)
    finish(lift_page(plan, page_of(metric=metric, whole=whole)), status)


def plumb(
    given: Given,
    *,
    readings: Annotated[Path | None, typer.Option(help="CSV of mark, floor, head")] = None,
    at: Annotated[
        list[str] | None,
        typer.Option(
            help='"B1: 2 in, 2 1/2 in", floor then head, from a line on the side away from the braces; repeat'
        ),
    ] = None,
    turn: Annotated[str | None, typer.Option(help="change of length of one turn of an adjuster")] = None,
    gust: Annotated[str, typer.Option(help="gust of the day, for feet let go")] = "25",
    whole: Whole = False,
    json: Json = False,
    metric: Metric = False,
) -> None:
    """Offset readings at floor and head into lean, bow, moves and an order of release."""
    from bracing.lift.hung import weigh
    from bracing.lift.plumb import loose_feet
    from bracing.lift.plumb import plumb as work_out
    from bracing.reading.charts import read_offsets
    from bracing.results import CAUTIONS, header
    from bracing.text.lift import plumb_page
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
    finish(plumb_page(job, found, page_of(metric=metric, whole=whole)), status)
