"""A program of somebody else, as strictly typed as may be: tests/house/test_client.py has it checked and runs it."""

from __future__ import annotations

from typing import Any

import numpy as np
from attrs import evolve

import bracing
from bracing import (
    Basis,
    CheckAnswer,
    CheckResult,
    Job,
    LayoutAsked,
    Link,
    Pressures,
    Strengths,
    Wall,
    check_many,
    check_wall,
    evaluate_layouts,
    job_from_options,
    lay_out,
    limit_gusts,
    own_grade,
    own_layer,
    own_wind,
    uniform_wind,
)


def tested(job: Job) -> Pressures:
    """The wind a tunnel gave."""
    return uniform_wind(job, psf=14.0, gust=60.0)


def weakest(result: CheckResult) -> Link | None:
    """What gives first."""
    return result.links[0] if result.links else None


def main() -> str:
    """A wall of its own lumber and wind, laid out, checked and screened."""
    job = job_from_options(
        length="20 ft", height="8 ft", studs="2x6@16in", species="SPF", grade="No.2", stock="2x6@16ft"
    )
    stamped = Strengths(Fb=1500.0, Ft=900.0, Fv=135.0, Fc_perp=425.0, Fc=1600.0, E=1.5e6, Emin=0.7e6)
    grade = own_grade("own 1", report="stamp", strengths=stamped)
    board = own_layer("board 1/2", report="sheet", psf=2.0, thickness=0.5)
    wall: Wall = evolve(job.wall, studs=evolve(job.wall.studs, grade=grade), layers=("osb 7/16", board))
    wind: Basis = own_wind(tested, named="tunnel test")
    plan = lay_out(evolve(job, wall=wall, basis=wind), gust=30.0, budget=0.0, asked=LayoutAsked(fewest=False))
    answer: CheckAnswer = check_wall(plan.job, gust=30.0, effects=False)
    told: dict[str, Any] = answer.to_dict()
    places = np.array([[(b.stud_at, b.head, b.set_back) for b in plan.job.braces]])
    rated = evaluate_layouts(plan.job, places, gust=30.0)
    limits = limit_gusts([plan.job])
    several = check_many(plan.job, gusts=[20.0, 30.0])
    first = weakest(answer)
    assert first is not None
    said = (
        bracing.__version__,
        told["verdict"],
        first.mark,
        limits.shape,
        rated.over.any(),
        several.verdicts[0],
    )
    return " ".join(map(str, said))


if __name__ == "__main__":
    print(main())
