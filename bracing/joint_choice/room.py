"""How many fasteners fit in the joints of one brace, by the published spacing, end and edge distances.

At the head a brace runs past its stud by the end distance; its foot is cut level and stands on the floor.
"""

from __future__ import annotations

import math

from attrs import evolve

from bracing.brace import Brace
from bracing.chain.foot import cleat_shape
from bracing.chain.materials import Materials
from bracing.fasteners import Fastener
from bracing.floor import Joists
from bracing.joints.spacing import Fit, Spacing, fasteners_that_fit, least_spacing
from bracing.lumber import section


def _kept(fastener: Fastener, load: str, *, prebored: bool) -> Spacing:
    return least_spacing(fastener, load=load, prebored=prebored)


def head_room(materials: Materials, brace: Brace, fastener: Fastener, *, prebored: bool = False) -> Fit:
    """Count what fits where a brace laps the side of its stud.

    The stud is w/cos wide along the brace, and its edges are loaded across the grain; across the brace
    its own edges count.

    Args:
        materials: the job's materials.
        brace: the brace.
        fastener: the fastener.
        prebored: holes are bored first.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    level = math.cos(brace.angle)
    edge = _kept(fastener, "perpendicular", prebored=prebored).edge
    kept = evolve(_kept(fastener, "parallel", prebored=prebored), end=edge / level)
    along = section(materials.job.wall.studs.size).width / level
    return fasteners_that_fit(along, section(brace.size).width, kept)


def cleat_room(materials: Materials, brace: Brace, fastener: Fastener, *, prebored: bool = False) -> Fit:
    """Count what fits where the level-cut foot of a brace stands beside its cleat.

    A fastener at height y stands y/sin along the grain from the level cut, and needs the end distance there
    in pull; the cleat's top edge limits it from above, the brace's own edges along the floor.

    Args:
        materials: the job's materials.
        brace: the brace.
        fastener: the fastener.
        prebored: holes are bored first.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    shape, rise = section(brace.size), math.sin(brace.angle)
    cleat = cleat_shape(section(materials.job.kit.cleat.size), shape, materials.job.kit.cleat.lie)
    kept = _kept(fastener, "parallel", prebored=prebored)
    lowest = max(kept.edge, kept.end * rise)
    clear = cleat.thickness - lowest + kept.edge
    return fasteners_that_fit(shape.width / rise, clear, evolve(kept, end=kept.edge / rise))


def floor_room(materials: Materials, brace: Brace, fastener: Fastener, *, prebored: bool = False) -> Fit:
    """Count what fits from cleat to floor: in the joist under it, at each joist it crosses, or on the deck.

    Args:
        materials: the job's materials.
        brace: the brace.
        fastener: the fastener.
        prebored: holes are bored first.

    Source: NDS 12.5.1; NDS-C C12.1.5.7.
    """
    cleat, joists = materials.job.kit.cleat, materials.job.floor.joists or Joists()
    kept = _kept(fastener, "parallel", prebored=prebored)
    face = section(cleat.size).thickness if cleat.lie == "edge" else section(cleat.size).width
    if not brace.into_joist:
        return fasteners_that_fit(cleat.length, face, kept)
    joist = section(joists.size if joists.kind == "sawn" else "2x4").thickness
    if joists.run == "away":
        return fasteners_that_fit(cleat.length, min(face, joist), kept)
    crossed = max(1, math.floor(cleat.length / joists.spacing))
    at_each = fasteners_that_fit(joist, face, evolve(kept, end=kept.edge))
    return Fit(at_each.rows, at_each.per_row * crossed, kept)
