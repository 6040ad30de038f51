"""The analysed frame of a wall as a file for any frame program: every state that is enveloped, and which governs."""

from __future__ import annotations

from typing import TypedDict

import numpy as np

from bracing.chain.by_hand import State, state_of
from bracing.chain.forces import DIRECTIONS
from bracing.chain.link_sums import governing_row
from bracing.chain.links import At, Direction
from bracing.chain.model import Model
from bracing.check import CheckResult
from bracing.panel.export import (
    BeamJson,
    InsideJson,
    NodeJson,
    ReturnsJson,
    SolvedJson,
    SpringJson,
    Springs,
    inside,
    model,
    returns_of,
)
from bracing.panel.loads import LoadSet
from bracing.results import HeaderJson, header

_CaseKeys = TypedDict("_CaseKeys", {
    "case": str, "gap": str, "direction": Direction,
})  # fmt: skip


class FrameCaseJson(SolvedJson, _CaseKeys):
    """A load case with both plies and all braces at the published slip."""


StateCaseJson = TypedDict("StateCaseJson", {
    "case": str, "gap": str, "direction": Direction, "held": bool, "governs": bool,
    "brace_horizontal_lb": dict[str, float], "return_lb": dict[str, float], "plate_shear_lb": float,
})  # fmt: skip
StateJson = TypedDict("StateJson", {
    "plates": str, "slip": str, "k_lb_per_in": dict[str, float], "returns": ReturnsJson,
    "cases": list[StateCaseJson],
})  # fmt: skip
_GoverningKeys = TypedDict("_GoverningKeys", {
    "link": str, "mark": str | None, "x_ft": float | None, "limit_gust_mph": float, "case": str, "gap": str,
    "direction": Direction, "plates": str, "slip": str, "point": str,
})  # fmt: skip


class GoverningJson(InsideJson, _GoverningKeys):
    """The state in which the first link reaches its limit, with its forces at the gust of the file."""


_FrameKeys = TypedDict("_FrameKeys", {
    "gust_mph": float, "nodes": list[NodeJson], "beams": list[BeamJson], "springs": list[SpringJson],
    "returns": ReturnsJson,
    "cases": list[FrameCaseJson], "states": list[StateJson], "governing": GoverningJson | None,
})  # fmt: skip


class FrameJson(HeaderJson, _FrameKeys):
    """What `frame_model` gives."""


def frame_model(result: CheckResult) -> FrameJson | None:
    """Give the frame of a wall checked, its states and their forces.

    Args:
        result: the wall checked.

    Returns:
        A JSON object; None where the wall is beyond the envelope and was not analysed.
    """
    if result.model is None or result.evaluation is None:
        return None
    solved, gust = result.model, result.evaluation.gust
    fields = solved.cases.fields
    names = [(field.case, direction) for direction in DIRECTIONS for field in fields]
    written = model(
        solved.meshes[0],
        _loads(solved, gust),
        names,
        springs=_springs(solved, 0),
        soft=solved.meshes[len(solved.meshes) // 2],
    )
    gaps = [field.gap for field in fields] * len(DIRECTIONS)
    solutions: list[FrameCaseJson] = written["cases"]
    for one, gap in zip(solutions, gaps, strict=True):
        one["gap"] = gap
    first, at = result.gives_first, governing_row(result.evaluation)
    across = (
        first is not None and first.direction in DIRECTIONS
    )  # along itself a wall is no frame of this model
    where = None if first is None or at is None or not across else (state_of(solved, first, at), at)
    frame: FrameJson = {
        **header(result.job, "model"), "gust_mph": gust, "nodes": written["nodes"], "beams": written["beams"],
        "springs": written["springs"], "returns": written["returns"], "cases": solutions,
        "states": _states(result, where), "governing": _governing(result, where),
    }  # fmt: skip
    return frame


def _loads(solved: Model, gust: float) -> LoadSet:
    """Every case at a gust, the wind from one side and then from the other."""
    cases = solved.cases
    squared = cases.pressure_per_mph2 * gust**2
    element = cases.steady.element_load + cases.wind.element_load * squared
    node = cases.steady.node_load + cases.wind.node_load * squared
    return LoadSet(np.concatenate([element, -element]), np.concatenate([node, -node]))


def _springs(solved: Model, slip: int) -> Springs:
    return Springs(
        marks=solved.marks,
        give=solved.give[slip],
        takes_push=np.array([s.counts_in_push for s in solved.strengths], dtype=bool),
        takes_pull=np.array([s.counts_in_pull for s in solved.strengths], dtype=bool),
    )


def _states(result: CheckResult, where: tuple[State, At] | None) -> list[StateJson]:
    assert result.model is not None
    assert result.evaluation is not None
    solved, gust, first = result.model, result.evaluation.gust, result.gives_first
    fields, slips = solved.cases.fields, len(solved.give)
    listed: list[StateJson] = []
    for k, plates in enumerate(solved.plates):
        returns = returns_of(solved.meshes[k])
        for slip in range(slips):
            start = State(k, slip, 0).row(solved)
            rows = range(start, start + len(fields))
            cases: list[StateCaseJson] = []
            for direction, forces in zip(DIRECTIONS, result.evaluation.forces, strict=True):
                brace, plate = forces.at(forces.states.brace, gust), forces.at(forces.states.plate, gust)
                given = forces.at(forces.states.returns, gust)
                for case, row in enumerate(rows):
                    here = where is not None and first is not None and where[0] == (k, slip, case)
                    cases.append({
                        "case": fields[case].case, "gap": fields[case].gap, "direction": direction,
                        "held": bool(forces.states.held[row]),
                        "governs": bool(here and first is not None and direction == first.direction),
                        "brace_horizontal_lb": dict(zip(solved.marks, brace[row].tolist(), strict=True)),
                        "return_lb": dict(zip(returns["nodes"], given[row].tolist(), strict=True)),
                        "plate_shear_lb": float(plate[row]),
                    })  # fmt: skip
            name = solved.states[rows[0]][3]
            stiff = dict(zip(solved.marks, (1.0 / solved.give[slip]).tolist(), strict=True))
            listed.append(
                {"plates": plates, "slip": name, "k_lb_per_in": stiff, "returns": returns, "cases": cases}
            )
    return listed


def _governing(result: CheckResult, where: tuple[State, At] | None) -> GoverningJson | None:
    first, solved = result.gives_first, result.model
    if where is None or first is None or solved is None or result.evaluation is None:
        return None
    (plates, slip, case), at = where
    every = _loads(solved, result.evaluation.gust)
    row = DIRECTIONS.index(first.direction) * len(solved.cases.fields) + case
    loads = LoadSet(every.element_load[row : row + 1], every.node_load[row : row + 1])
    found = inside(solved.meshes[plates], loads, _springs(solved, slip))
    if found is None:
        return None
    return {
        **found, "link": str(first.link), "mark": first.mark, "x_ft": None if first.x is None else first.x / 12.0,
        "limit_gust_mph": first.limit_gust, "case": at.case, "gap": at.gap, "direction": first.direction,
        "plates": solved.plates[plates], "slip": solved.states[slip * len(solved.cases.fields)][3], "point": at.point,
    }  # fmt: skip
