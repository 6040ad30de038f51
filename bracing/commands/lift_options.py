"""The options of `lift` as people type them, read into a request; every fault named by its option."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from attrs import field, frozen

from bracing.errors import Fault, InputError
from bracing.job import Job
from bracing.lift_links import ATTACHMENTS, FootRequest
from bracing.lift_request import LiftRequest
from bracing.machine import Machine
from bracing.reading_chart import read_chart
from bracing.reading_plumb import signed_length
from bracing.units import force, length, speed

SIDES = ("outside", "inside")
MOST_COUNT = 400
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

    def word(self, name: str, allowed: tuple[str, ...]) -> str:
        """Read one option that is one of some words."""
        text = str(self.given[name] or allowed[0]).lower()
        if text not in allowed:
            self.fault(name, text, f"one of {', '.join(allowed)}")
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
        gust=read.read("gust", speed),
        dynamic=given["dynamic"],
        picks=given["picks"],
        pick_at=tuple(place for place in places if place is not None),
        drop=read.read("below_top", length) or 0.0,
        by=read.word("sling_round", ATTACHMENTS),
        pick_lb=read.read("pick_lb", force),
        slings=read.read("slings", length),
        sling_lb=read.read("sling_tag", force),
        flat_slings=given["flat_slings"],
        spreader=given["spreader"],
        lift_each=read.read("lift_each", force) or 0.0,
        reach=read.read("hand_reach", length) or 0.0,
        people=given["people"],
        tag_pull=read.read("tag_lines", force),
        foot=foot,
        machine=_machine(job, read),
        chart=chart,
        line_kv=given["line_kv"],
        line_distance=read.read("line_distance", length),
    )
    _together(job, request, read)
    if read.faults:
        raise InputError(read.faults)
    return request


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
    if not 10.0 <= request.lift_each <= 200.0:
        read.fault("lift_each", read.given["lift_each"], "10 lb to 200 lb")
    if not 36.0 <= request.reach <= 120.0:
        read.fault("hand_reach", read.given["hand_reach"], "3 ft to 10 ft")
    # The parser lets "nan" through every range.
    if not math.isfinite(request.dynamic):
        read.fault("dynamic", read.given["dynamic"], "a number from 0 to 2")
    if request.line_kv is not None and not math.isfinite(request.line_kv):
        read.fault("line_kv", read.given["line_kv"], "a voltage in kV")
    if request.gust is not None and request.gust > 120.0:
        read.fault("gust", read.given["gust"], "at most 120 mph")
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
    strap_nails, strap_fastener, strap_lb = 0, "", None
    if straps and " of " not in strap:
        try:
            strap_lb = force(strap, field="--straps")
        except InputError as error:
            read.faults.extend(error.faults)
    elif straps:
        strap_nails, strap_fastener = _each(read, "straps", strap)
    block_nails, block_fastener = _each(read, "blocks", block) if blocks else (0, "")
    return FootRequest(
        toe_nails=toe_nails,
        toe_nail=toe_nail,
        straps=straps,
        strap_nails=strap_nails,
        strap_fastener=strap_fastener,
        strap_lb=strap_lb,
        blocks=blocks,
        block_nails=block_nails,
        block_fastener=block_fastener,
    )


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
        return 0, ""
    return int(count), what.strip()
