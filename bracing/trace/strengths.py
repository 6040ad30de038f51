"""What each kind of link may carry, step by step."""

from __future__ import annotations

import math
from collections.abc import Callable

from bracing.sums import Sum
from bracing.trace.cases import Case
from bracing.trace.ends import bearing_steps, ground_steps, joist_steps
from bracing.trace.steps import Step, n, steps_of
from bracing.trace.sticks import pull_steps, push_steps

SAME = 1e-6


def capacity_steps(case: Case) -> tuple[Step, ...]:
    """Give the steps to what a link may carry; one step with the chain's own words where no more is to be shown.

    Args:
        case: the link.
    """
    maker, may_carry = MAKERS.get(case.name), case.link.capacity
    steps = maker(case) if maker else []
    if steps and math.isclose(steps[-1].value, may_carry, rel_tol=SAME):
        return tuple(steps)
    if isinstance(may_carry, Sum):
        return tuple(steps_of(may_carry, unit=case.link.unit))
    said = f"may carry: {case.link.why}" if case.link.why else "may carry"
    return (Step(said, n(may_carry), may_carry, case.link.unit, case.link.source),)


# Links whose strength is not yet a sum of its own.
MAKERS: dict[str, Callable[[Case], list[Step]]] = {
    "head bearing": bearing_steps,
    "brace in push": push_steps,
    "brace in pull": pull_steps,
    "joist": joist_steps,
    "foot to ground": ground_steps,
}
