"""The top of the wall: level, rake, gable or any polyline, from the few lengths a person gives."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from attrs import frozen

from bracing.job.fields import declared
from bracing.job.wall import (
    HIGHEST_WALL,
    LONGEST_WALL,
    LOWEST_WALL,
    SHORTEST_WALL,
    TOUCH,
    Point,
    top_faults,
)
from bracing.reading.faults import Faults
from bracing.units import Inch


def _height(about: str) -> Any:  # noqa: ANN401  (an attrs field)
    return declared("length", about, default=None, least=LOWEST_WALL, most=HIGHEST_WALL)


@frozen
class TopKeys:
    """The keys of [wall] that draw its top; the first that are given together decide the shape.

    Attributes:
        length: along the plate [in].
        height: of a level top, or of the ends of a gable [in].
        peak: height of the peak of a gable [in].
        peak_at: where the peak is, from LEFT [in].
        left_height: height at LEFT of a rake [in].
        right_height: height at the right of a rake [in].
        top: any other outline, (x, height) from LEFT [in].
    """

    length: Inch | None = declared(
        "length", "along the plate", default=None, least=SHORTEST_WALL, most=LONGEST_WALL
    )
    height: Inch | None = _height("top of the plate; of a gable, at its ends")
    peak: Inch | None = _height("height of the peak of a gable")
    peak_at: Inch | None = declared(
        "length", "the peak from LEFT; undeclared is mid length", default=None, least=0.0, most=LONGEST_WALL
    )
    left_height: Inch | None = _height("height at LEFT of a rake")
    right_height: Inch | None = _height("height at the right of a rake")
    top: tuple[Point, ...] | None = declared(
        "points", "any outline, (x, height) from LEFT to right", default=None, most=LONGEST_WALL
    )


def outline(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    """Draw the top of the wall.

    Args:
        values: by key of TopKeys, as given by read_fields().
        faults: where faults go.

    Returns:
        The outline, (x, height) from LEFT to right [in]; None where it cannot be drawn.

    Example:
        >>> outline({"length": 240.0, "height": 96.0, "peak": 150.0}, Faults("demo"))
        ((0.0, 96.0), (120.0, 150.0), (240.0, 96.0))
    """
    if "top" in values:
        return _polyline(values, faults)
    if "left_height" in values or "right_height" in values:
        return _rake(values, faults)
    if not _all_given(("length", "height"), values, faults):
        return None
    length, height = values["length"], values["height"]
    if "peak" in values or "peak_at" in values:
        return _gable(values, faults)
    return ((0.0, height), (length, height))


def _all_given(keys: tuple[str, ...], values: Mapping[str, Any], faults: Faults) -> bool:
    about = {field.name: field.metadata["help"] for field in TopKeys.__attrs_attrs__}
    for key in keys:
        if key not in values:
            faults.add(f"wall.{key}", None, about[key])
    return all(values.get(key) is not None for key in keys)


def _refuse_beside(keys: tuple[str, ...], given: str, values: Mapping[str, Any], faults: Faults) -> bool:
    found = [key for key in keys if key in values]
    for key in found:
        faults.add(f"wall.{key}", "given", f"no {key} beside {given}")
    return bool(found)


def _gable(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    if not _all_given(("peak",), values, faults):
        return None
    length, height, peak = values["length"], values["height"], values["peak"]
    peak_at = values.get("peak_at", length / 2.0)
    if peak_at is None:
        return None
    if peak <= height + TOUCH:
        faults.add("wall.peak", f"{peak:g} in", f"more than the height, {height:g} in")
        return None
    if not TOUCH < peak_at < length - TOUCH:
        faults.add("wall.peak_at", f"{peak_at:g} in", f"between the ends, 0 and {length:g} in")
        return None
    return ((0.0, height), (peak_at, peak), (length, height))


def _rake(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    extra = _refuse_beside(("height", "peak", "peak_at"), "left_height and right_height", values, faults)
    if not _all_given(("length", "left_height", "right_height"), values, faults) or extra:
        return None
    return ((0.0, values["left_height"]), (values["length"], values["right_height"]))


def _polyline(values: Mapping[str, Any], faults: Faults) -> tuple[Point, ...] | None:
    others = ("height", "peak", "peak_at", "left_height", "right_height")
    extra = _refuse_beside(others, "top", values, faults)
    points = values["top"]
    if points is None or extra:
        return None
    found = top_faults(points)
    for where, got, expected in found:
        faults.add(f"wall.{where}", got, expected)
    return None if found else _of_length(points, values, faults)


def _of_length(
    points: tuple[Point, ...], values: Mapping[str, Any], faults: Faults
) -> tuple[Point, ...] | None:
    end = points[-1][0]
    length = values.get("length", end)
    if length is not None and abs(length - end) > TOUCH:
        faults.add("wall.length", f"{length:g} in", f"the end of top, {end:g} in, or no length")
        return None
    return points
