"""The options of `lift` as people type them, read into a request; every fault named by its option."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from attrs import field, fields, frozen

from bracing.errors import Fault, InputError
from bracing.job.holding import hold
from bracing.job.job import Job
from bracing.lift.links import ATTACHMENTS, MOST_COUNT, FootRequest
from bracing.lift.machine import SIDES, Machine
from bracing.lift.request import LiftRequest
from bracing.reading.charts import read_chart
from bracing.reading.plumb import signed_length
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

    def held(self, name: str, kind: Callable[..., object], *, of: str = "") -> Any:  # noqa: ANN401
        """Read one option of the request and hold it to its field; the field's default where it was not given."""
        field = getattr(fields(LiftRequest), of or name)
        value = self.read(name, kind)
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
        gust=read.held("gust", speed),
        dynamic=read.held("dynamic", as_given),
        picks=read.held("picks", as_given),
        pick_at=tuple(place for place in places if place is not None),
        drop=read.held("below_top", length, of="drop"),
        by=read.word("sling_round", ATTACHMENTS),
        pick_lb=read.held("pick_lb", force),
        slings=read.held("slings", length),
        sling_lb=read.held("sling_tag", force, of="sling_lb"),
        flat_slings=given["flat_slings"],
        spreader=given["spreader"],
        lift_each=read.held("lift_each", force),
        reach=read.held("hand_reach", length, of="reach"),
        people=read.held("people", as_given),
        tag_pull=read.held("tag_lines", force, of="tag_pull"),
        foot=foot,
        machine=_machine(job, read),
        chart=chart,
        line_kv=read.held("line_kv", as_given),
        line_distance=read.held("line_distance", length),
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
