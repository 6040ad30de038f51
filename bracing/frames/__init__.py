"""Answers as tables of pandas, the rows and columns `--json` has; the extra `frames` brings it.

    from bracing import check_wall, frames, read_job

    weakest = frames.links(check_wall(read_job("south-gable.toml"), gust=45.0)).head(5)

Each takes any answer that has the rows it gives; no answer knows of them.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, Protocol

from bracing.errors import from_extra, near_names, refused

if TYPE_CHECKING:
    from pandas import DataFrame

__all__ = ["Told", "braces", "cases", "hours", "links", "stages", "walls"]

OF_A_WALL = (
    "wall", "state", "verdict", "gust_mph", "clear_out_gust_mph", "limit_gust_mph", "limit_gust_one_missing_mph",
    "people_out",
)  # fmt: skip


class Told(Protocol):
    """An answer: what has a dictionary to give, as `--json` says it."""

    def to_dict(self) -> Mapping[str, Any]:
        """Give what `--json` says."""


def _frame(rows: Iterable[Mapping[str, Any]], columns: tuple[str, ...] = ()) -> DataFrame:
    """A table of rows; of none it has its columns all the same."""
    with from_extra("pandas", "frames"):
        pandas = importlib.import_module("pandas")
    every = [dict(row) for row in rows]
    made: DataFrame = pandas.DataFrame(every, columns=None if every else list(columns))
    return made


def _rows(answer: Told, key: str) -> list[Mapping[str, Any]]:
    told = answer.to_dict()
    if key not in told:
        near = ", ".join(near_names(key, told)) or "none"
        raise refused(type(answer).__name__, sorted(told), f"an answer with {key}; near: {near}")
    return list(told[key])


def links(answer: Told) -> DataFrame:
    """Give every link of a checked wall, the lowest limit gust first.

    Args:
        answer: of `check_wall` or `lay_out`.

    Returns:
        A row a link: link, direction, mark, x_ft, demand, capacity, unit, ratio, limit_gust_mph, source and why.

    Raises:
        MissingExtraError: pandas is not installed.
        InputError: an answer without links.
    """
    return _frame(
        _rows(answer, "links"), ("link", "direction", "mark", "x_ft", "demand", "capacity", "unit", "ratio")
    )


def braces(answer: Told) -> DataFrame:
    """Give every brace of a checked or laid out wall.

    Args:
        answer: of `check_wall` or `lay_out`.

    Returns:
        A row a brace; lengths in feet, forces in pounds, angles in degrees, as the names of the columns say.

    Raises:
        MissingExtraError: pandas is not installed.
        InputError: an answer without braces.
    """
    return _frame(_rows(answer, "braces"), ("mark", "x_ft", "head_ft", "set_back_ft"))


def cases(answer: Told) -> DataFrame:
    """Give every load case of a checked wall, a column more for the level force of each brace.

    Args:
        answer: of `check_wall` or `lay_out`.

    Returns:
        A row a case: what is applied and what gives it back [lb, lb ft]; `brace_horizontal_lb.B1` and so on [lb].

    Raises:
        MissingExtraError: pandas is not installed.
        InputError: an answer without load cases.
    """
    loads = answer.to_dict().get("loads") or {}
    return _frame([_flat(row) for row in loads.get("cases", ())], ("case", "direction", "total_lb"))


def _flat(row: Mapping[str, Any]) -> dict[str, Any]:
    """A row whose cells are no mappings: each key of one is a column of its own."""
    found: dict[str, Any] = {}
    for name, value in row.items():
        found |= (
            {f"{name}.{key}": each for key, each in value.items()}
            if isinstance(value, Mapping)
            else {name: value}
        )
    return found


def hours(answer: Told) -> DataFrame:
    """Give every row of a forecast held against a wall.

    Args:
        answer: of `check_storm`.

    Returns:
        A row an hour: from, to, gust_mph, limit_gust_mph, verdict, out and how it was given.

    Raises:
        MissingExtraError: pandas is not installed.
        InputError: an answer without hours.
    """
    return _frame(_rows(answer, "hours"), ("from", "to", "gust_mph", "limit_gust_mph", "verdict", "out"))


def stages(answer: Told) -> DataFrame:
    """Give a wall after each brace that goes up.

    Args:
        answer: of `take_stages`.

    Returns:
        A row a stage, its gusts in mph.

    Raises:
        MissingExtraError: pandas is not installed.
        InputError: an answer without stages.
    """
    return _frame(_rows(answer, "stages"))


def walls(answers: Iterable[Told]) -> DataFrame:
    """Give many walls, a row each, in their order.

    Args:
        answers: of `check_wall` or `lay_out`.

    Returns:
        A row a wall: wall, state, verdict, gusts in mph, whether people must be out, and what gives first.

    Raises:
        MissingExtraError: pandas is not installed.
    """
    rows = []
    for answer in answers:
        told = answer.to_dict()
        first = told.get("gives_first") or {}
        beside = {
            "gives_first": first.get("link"),
            "mark": first.get("mark"),
            "direction": first.get("direction"),
        }
        rows.append({**{name: told.get(name) for name in OF_A_WALL}, **beside})
    return _frame(rows, (*OF_A_WALL, "gives_first", "mark", "direction"))
