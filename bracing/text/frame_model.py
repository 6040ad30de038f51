"""The analysed grillage of a check, at its gust, written out for any frame program."""

from __future__ import annotations

from typing import Any

import numpy as np

from bracing.chain.forces import DIRECTIONS
from bracing.check import CheckResult
from bracing.panel.export import Springs, model
from bracing.panel.loads import LoadSet
from bracing.results import header


def frame_model(result: CheckResult) -> dict[str, Any] | None:
    """Give the model of a wall checked: both plies of the top plate, braces with the published slip.

    Args:
        result: the wall checked.

    Returns:
        A JSON object; None where the wall is beyond the envelope and was not analysed.
    """
    if result.model is None or result.evaluation is None:
        return None
    solved, gust = result.model, result.evaluation.gust
    cases = solved.cases
    squared = cases.pressure_per_mph2 * gust**2
    element = cases.steady.element_load + cases.wind.element_load * squared
    node = cases.steady.node_load + cases.wind.node_load * squared
    names = [(field.case, direction) for direction in DIRECTIONS for field in cases.fields]
    loads = LoadSet(np.concatenate([element, -element]), np.concatenate([node, -node]))
    springs = Springs(
        marks=tuple(brace.mark for brace in result.job.braces),
        give=solved.give[0],
        takes_push=np.array([s.counts_in_push for s in solved.strengths], dtype=bool),
        takes_pull=np.array([s.counts_in_pull for s in solved.strengths], dtype=bool),
    )
    return {
        **header(result.job, "model"),
        "gust_mph": gust,
        **model(solved.meshes[0], loads, names, springs=springs),
    }
