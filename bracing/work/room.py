"""How many fasteners fit from a brace's cleat to the floor, by the published spacing, end and edge distances."""

from __future__ import annotations

from attrs import evolve

from bracing.choosing import whole_down
from bracing.codes.nds.spacing import fasteners_that_fit, least_spacing
from bracing.job.brace import Brace
from bracing.job.fasteners import Fastener
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.lumber import section


def floor_room(job: Job, brace: Brace, *, one: Fastener, prebored: bool) -> int:
    """Count what fits from cleat to floor: in the joist under it, at each joist it crosses, or on the deck.

    Args:
        job: the job.
        brace: the brace.
        one: the fastener.
        prebored: holes are bored first.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    cleat, joists = job.kit.cleat, job.floor.joists or Joists()
    kept = least_spacing(one, load="parallel", prebored=prebored)
    face = section(cleat.size).thickness if cleat.lie == "edge" else section(cleat.size).width
    if not brace.into_joist:
        return fasteners_that_fit(cleat.length, face, kept).count
    joist = section(joists.size if joists.kind == "sawn" else "2x4").thickness
    if joists.run == "away":
        return fasteners_that_fit(cleat.length, min(face, joist), kept).count
    crossed = max(1, whole_down(cleat.length / joists.spacing))
    at_each = fasteners_that_fit(joist, face, evolve(kept, end=kept.edge))
    return at_each.count * crossed
