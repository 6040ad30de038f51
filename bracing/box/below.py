"""The storey below: what the walls of a job hand down to it level, and what its own walls take of that in racking.

Its deck is limp: it spans between the lines of walls under it, and each line takes what is nearest to it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import TypedDict

from attrs import evolve, field, frozen

from bracing.box.deck import alone_on
from bracing.box.walls import JoinedWall
from bracing.chain.along import pushes
from bracing.chain.evaluate import Limited, Limits
from bracing.chain.materials import materials_of, nailing_of
from bracing.chain.returns import own_job
from bracing.choosing import first_greatest, whole_down
from bracing.codes.basis import basis_of
from bracing.codes.pressures import net_pressure
from bracing.job.floor import storey_declared
from bracing.job.house import ENDS, House, Placed
from bracing.job.job import Job
from bracing.job.returns import Return
from bracing.said import Kind, Quantity, Said
from bracing.units import INCHES_PER_FOOT, Inch, Mph, Pound

# With wind off the middle by 0.2 of the breadth, case B, the line at one end takes 0.7 of it and not half.
OFF_THE_MIDDLE = 1.4
RIM: Inch = 12.0  # what joists and deck add to the face of the storey below; judgement
FEWEST_LINES = 2  # one line of walls keeps nothing from turning

BelowJson = TypedDict("BelowJson", {
    "under": str, "takes_lb": float, "of_lb": float, "at_gust_mph": float, "limit_gust_mph": int,
    "clear_out_gust_mph": int, "source": str,
})  # fmt: skip


@frozen
class LineBelow(Limited):
    """One line of walls of the storey below, with wind along it from either end.

    Attributes:
        limits: the gust it is at its allowable racking at, and that with people above.
        under: file of the wall of this job it stands under.
        strength: what its full-height pieces may take in racking together [lb].
        steady: level force on it in calm air [lb].
        rate: the same of the wind, for each mph squared [lb/mph2].
        source: clause of its strength.
    """

    limits: Limits
    under: str
    strength: Pound
    steady: Pound
    rate: float
    source: str = field(default="", kw_only=True)

    def at(self, gust: Mph) -> Pound:
        """Give the level force on it at a gust [lb].

        Args:
            gust: the gust [mph].
        """
        return self.steady + self.rate * gust**2

    def said(self, gust: Mph) -> Said:
        """Say what it takes at a gust, and at which it is at its limit.

        Args:
            gust: the gust [mph].
        """
        return Said(
            "below-takes", under=self.under.removesuffix(".toml"), load=Quantity(self.at(gust), Kind.LOAD),
            gust=Quantity(gust, Kind.ASKED), most=Quantity(self.strength, Kind.STRENGTH),
            limit=Quantity(self.limit, Kind.GUST),
        )  # fmt: skip

    def to_dict(self, gust: Mph) -> BelowJson:
        """Give it as JSON.

        Args:
            gust: at which its force is told [mph].
        """
        return {
            "under": self.under, "takes_lb": self.at(gust), "of_lb": self.strength, "at_gust_mph": gust,
            "limit_gust_mph": whole_down(self.limit), "clear_out_gust_mph": self.clear_out, "source": self.source,
        }  # fmt: skip


def lines_below(
    house: House, jobs: Mapping[str, Job], placed: Mapping[str, Placed], *, walls: tuple[JoinedWall, ...]
) -> tuple[LineBelow, ...]:
    """Give the lines of walls of the storey below, each with what the walls above hand down to it.

    Args:
        house: the job.
        jobs: its walls, by file.
        placed: where each stands in plan.
        walls: those that are up.

    Returns:
        None of a direction in which fewer than two lines are declared, or where nothing stands on a storey.

    Source: STATICS, a limp deck between its lines; SDPWS 4.3 for their racking.
    """
    above = tuple(wall for wall in walls if storey_declared(wall.job))
    found: list[LineBelow] = []
    for axis in (0, 1):
        under = dict.fromkeys(one.under for one in house.below if placed[one.under].along[axis])
        if above and len(under) >= FEWEST_LINES:
            found += _lines_along(axis, tuple(under), house=house, jobs=jobs, placed=placed, above=above)
    return tuple(found)


def _lines_along(
    axis: int, under: tuple[str, ...], *, house: House, jobs: Mapping[str, Job],
    placed: Mapping[str, Placed], above: tuple[JoinedWall, ...],
) -> list[LineBelow]:  # fmt: skip
    across = 1 - axis
    files = dict.fromkeys((*under, *(wall.file for wall in above)))
    spread = [placed[file].end(end, jobs[file].wall.length)[across] for file in files for end in ENDS]
    low, high = min(spread), max(spread)
    heights = [one.height for one in house.below if one.under in under and one.height is not None]
    storey = (max(heights, default=0.0) / 2.0 + RIM) * (high - low)
    lines = sorted(under, key=lambda file: placed[file].start[across])
    at = [placed[file].start[across] for file in lines]
    between = [low, *((a + b) / 2.0 for a, b in pairwise(at)), high]
    found = []
    for k, file in enumerate(lines):
        share = OFF_THE_MIDDLE * (between[k + 1] - between[k]) / max(high - low, 1.0)
        loads = [_level(axis, above, storey=storey, share=share, people=people) for people in (False, True)]
        strength, source = _strength(file, house, jobs)
        limit, crowd = (_reached(strength, *load) for load in loads)
        found.append(LineBelow(Limits(limit, min(limit, crowd)), file, strength, *loads[0], source=source))
    return found


def _reached(strength: Pound, steady: Pound, rate: float) -> Mph:
    return 0.0 if strength <= steady else math.sqrt((strength - steady) / max(rate, 1e-12))


def _level(
    axis: int, above: tuple[JoinedWall, ...], *, storey: float, share: float, people: bool
) -> tuple[Pound, float]:
    """What one line takes level, steady and per mph squared: its part of what stands across, all of what runs along."""
    steady = rate = pressure = alone = alone_rate = 0.0
    for wall in above:
        model = wall.model.crowded if people else wall.model
        if wall.placed.along[axis]:
            both = pushes(
                model.materials, wall.job.site, float(model.cases.pressures.q), gust=1.0, people=people
            )
            plate = both[first_greatest([each.plate[1] for each in both])].plate
            alone, alone_rate = alone + plate[0], alone_rate + plate[1]
            continue
        total = model.cases.together().total(model.meshes[0])
        steady, rate = steady + float(abs(total[0])), rate + float(abs(total[1:]).max())
        wind = model.cases.pressures
        for deck in wall.decks:  # half of each from either wall under it
            own = alone_on(deck, wind, wall.job.site.lean)
            steady, rate = steady + float(own[0]), rate + float(own[1])
        pressure = max(pressure, float(net_pressure(wind.at(1.0), wind.mean)))
    rate += pressure * storey / INCHES_PER_FOOT**2
    return share * steady + alone, share * rate + alone_rate


def _strength(file: str, house: House, jobs: Mapping[str, Job]) -> tuple[Pound, str]:
    """What the pieces under one wall may take in racking together; one of which anything is missing takes nothing."""
    job, total, source = jobs[file], 0.0, ""
    for one in house.below:
        if one.under != file or one.missing:
            continue
        end = Return(
            length=one.length, height=one.height, studs=one.studs, moisture=one.moisture, sheathing=one.sheathing,
            edge_nail=one.edge_nail, edge_spacing=one.edge_spacing, field_spacing=one.field_spacing,
            blocked=one.blocked,
        )  # fmt: skip
        basis = basis_of(job)
        own = materials_of(own_job(evolve(job, braces=()), "left", end), basis)
        nailing = nailing_of(own, blocked=one.blocked)
        if nailing is None or one.length is None or one.height is None:
            continue
        racked = basis.sheathed(nailing)
        if racked.counts(one.height, one.length):
            total, source = total + float(racked.strength(one.height, one.length)), racked.source
    return total, source


def said_of_below(
    house: House, walls: tuple[JoinedWall, ...], lines: tuple[LineBelow, ...]
) -> tuple[Said, ...]:
    """Say what of the storey below is not checked, and which of its pieces count for nothing.

    Args:
        house: the job.
        walls: its walls that are up.
        lines: those that are checked.
    """
    if not any(storey_declared(wall.job) for wall in walls):
        return ()
    said = [
        Said("below-lacks", number=k + 1, under=one.under.removesuffix(".toml"), lacks=one.missing)
        for k, one in enumerate(house.below)
        if one.missing
    ]
    checked = {wall.placed.along[0] != 0 for wall in walls for line in lines if line.under == wall.file}
    return (*said, Said("below-not-checked")) if len(checked) < FEWEST_LINES else tuple(said)
