"""Many walls at once, or one wall in many gusts, as arrays: the same chain as `check_wall`, asked without its page."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike, NDArray

from bracing.chain.evaluate import evaluate, limit_and_chain, limit_gust, limits_from
from bracing.chain.model import build_model
from bracing.check import verdict_of
from bracing.choosing import whole_down
from bracing.codes.basis import Basis, with_basis
from bracing.codes.gusts import people_may_stay, thunderstorm_gust
from bracing.errors import refused
from bracing.job.envelope import beyond
from bracing.job.fields import held_part, held_value
from bracing.job.job import Job
from bracing.said import Verdict
from bracing.units import Mph

Gusts = NDArray[np.float64]
Flags = NDArray[np.bool_]


def limit_gusts(jobs: Iterable[Job], *, thunderstorm: bool = False, basis: Basis | None = None) -> Gusts:
    """Give the limit gust of each of many jobs.

    A wall outside the envelope of use has no limit gust; it has 0 here and never NaN, so that a comparison falls on the
    careful side. `check_wall` says which it is.

    Args:
        jobs: the jobs; read as they are needed.
        thunderstorm: the wind profile of an outflow.
        basis: what gives pressures and strengths; that of each job unless given.

    Returns:
        Limit gusts, unrounded, shape (n,) [mph].

    Raises:
        InputError: one of them is no job, or has a brace that is on no full-height stud.

    Example:
        >>> from bracing.job.wall import Wall
        >>> bare = Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0))))
        >>> limit_gusts([bare, bare]).tolist()
        [0.0, 0.0]
    """
    thunderstorm = held_value(thunderstorm, "flag", "thunderstorm")
    found = [
        _limit(held_part(job, Job, f"jobs[{k}]"), thunderstorm=thunderstorm, basis=basis)
        for k, job in enumerate(jobs)
    ]
    return np.array(found, dtype=np.float64)


def _limit(job: Job, *, thunderstorm: bool, basis: Basis | None) -> Mph:
    own = with_basis(job, basis)
    return 0.0 if beyond(own, None) else limit_gust(build_model(own, thunderstorm=thunderstorm))


@frozen(eq=False, repr=False)
class GustsChecked:
    """One wall in many gusts.

    Attributes:
        job: the wall.
        gusts: the gusts asked, shape (n,) [mph].
        verdicts: of each what `check_wall` says, (n,).
        worst: greatest ratio of the chain at each; infinite where the wall can still move or an engineer answers, (n,).
        people_out: whether people must be out at each, (n,).
        limit_whole: limit gust, rounded down; None beyond the envelope [mph].
        clear_out: clear-out gust, rounded down; None beyond the envelope [mph].
    """

    job: Job
    gusts: Gusts
    verdicts: tuple[Verdict, ...]
    worst: Gusts
    people_out: Flags
    limit_whole: int | None
    clear_out: int | None

    def __repr__(self) -> str:
        told = f"gusts={len(self.gusts)}, clear_out={self.clear_out}, limit_whole={self.limit_whole}"
        return f"GustsChecked(wall={self.job.wall.name!r}, {told})"

    def to_dict(self) -> dict[str, object]:
        """Give it as JSON has it: null where a ratio has no end."""
        return {
            "wall": self.job.wall.name, "limit_gust_mph": self.limit_whole, "clear_out_gust_mph": self.clear_out,
            "gusts": [
                {"gust_mph": gust, "verdict": str(verdict), "worst_ratio": worst if np.isfinite(worst) else None,
                 "people_out": out}
                for gust, verdict, worst, out in zip(
                    self.gusts.tolist(), self.verdicts, self.worst.tolist(), self.people_out.tolist(), strict=True
                )
            ],
        }  # fmt: skip


def check_many(
    job: Job, *, gusts: ArrayLike, thunderstorm: bool = False, basis: Basis | None = None
) -> GustsChecked:
    """Check one wall in many gusts; its panel and its strengths are worked out once.

    Args:
        job: the job.
        gusts: actual 3-second gusts at 33 ft in open country, one or an array of any shape, read in order [mph].
        thunderstorm: the forecast says thunderstorms: each counts as no less than 58 mph, in an outflow's profile.
        basis: what gives pressures and strengths; that of the job unless given.

    Returns:
        Verdicts and ratios, an item a gust, each what `check_wall` says of it.

    Raises:
        InputError: a gust that is none; a brace that is on no full-height stud.

    Example:
        >>> from bracing.job.wall import Wall
        >>> bare = Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0))))
        >>> check_many(bare, gusts=[10.0, 20.0])
        GustsChecked(wall='W', gusts=2, clear_out=0, limit_whole=0)
    """
    thunderstorm = held_value(thunderstorm, "flag", "thunderstorm")
    own = with_basis(held_part(job, Job, "job"), basis)
    asked = _held_gusts(gusts, thunderstorm=thunderstorm)
    verdicts, worst, out = list[Verdict](), np.full(len(asked), np.inf), np.ones(len(asked), dtype=bool)
    if beyond(own, None):
        return _answered(
            own, asked, verdicts=[Verdict.ENGINEER] * len(asked), worst=worst, out=out, limits=(None, None)
        )
    model = build_model(own, thunderstorm=thunderstorm)
    limit, chain = limit_and_chain(model)
    limits = limits_from(model, limit)
    for k, gust in enumerate(asked.tolist()):
        if beyond(own, gust):
            verdicts.append(Verdict.ENGINEER)
            continue
        out[k] = not people_may_stay(limits.clear_out, gust)
        evaluation = evaluate(model, gust, chain)
        verdicts.append(verdict_of(evaluation, limit, own))
        worst[k] = evaluation.worst
    whole = whole_down(limit), limits.clear_out
    return _answered(own, asked, verdicts=verdicts, worst=worst, out=out, limits=whole)


def _held_gusts(gusts: ArrayLike, *, thunderstorm: bool) -> Gusts:
    where, expected = "gusts", "gusts in mph, none under 0"
    try:
        asked = np.array(gusts, dtype=np.float64).ravel()
    except (TypeError, ValueError):
        raise refused(where, gusts, expected) from None
    if not np.isfinite(asked).all() or (asked < 0.0).any():
        raise refused(where, asked.tolist(), expected)
    return np.array([thunderstorm_gust(gust) for gust in asked.tolist()]) if thunderstorm else asked


def _answered(
    job: Job, gusts: Gusts, *, verdicts: list[Verdict], worst: Gusts, out: Flags,
    limits: tuple[int | None, int | None],
) -> GustsChecked:  # fmt: skip
    """What was found, where it is now: of a wall that is not up nobody is told to leave it."""
    if not job.wall.up:
        verdicts, out = [Verdict.NOT_UP] * len(verdicts), np.zeros(len(out), dtype=bool)
    for part in (gusts, worst, out):
        part.setflags(write=False)
    return GustsChecked(job, gusts, tuple(verdicts), worst, out, *limits)
