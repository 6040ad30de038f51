"""A wall along its own length: what pushes its top from end to end, and what its plate holds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from attrs import frozen

from bracing.chain.links import ALONG, Array, Group, LinkId, OneOf, Rows
from bracing.chain.materials import Materials
from bracing.chain.model import Model
from bracing.chain.plate import edge_beside
from bracing.chain.wall import PlateSet, WallStrength, arm_of
from bracing.choosing import first_greatest
from bracing.codes.above import with_above
from bracing.codes.along import (
    PERSON,
    at_top,
    behind_one_another,
    friction,
    lean_at_top,
    of_the_first,
    on_a_stud,
)
from bracing.codes.pressures import outline_properties
from bracing.job.framing import frame_wall
from bracing.job.job import Site
from bracing.job.lumber import section
from bracing.job.wall import Bare, Wall
from bracing.panel.above import heels_along, there, weight_on
from bracing.panel.spread import on_a_piece
from bracing.panel.weight import piece_at, plate_pieces, take_off
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import INCHES_PER_FOOT, Inch, Pound

SIDES = ("wind along from LEFT", "wind along from the right")
ROWS = Rows(tuple((side, "") for side in SIDES))
TOGETHER: Inch = 0.1  # studs nearer than this stand against one another
ROUNDING = 1e-9
FULL = ("common", "end", "king")
UPRIGHTS = (*FULL, "trimmer", "cripple above", "cripple below")
Span = tuple[Inch, Inch]
Line = tuple[float, float]  # steady, and per gust squared


# -- what pushes -----------------------------------------------------------------------------------------


@frozen
class Push:
    """What pushes a wall along itself, the wind from one end.

    Attributes:
        sums: at a gust, the last of them the force at the top.
        wind: all the wind along it for each mph squared [lb/mph2].
        top: at its top, steady and per mph squared.
    """

    sums: tuple[float, ...]
    wind: float
    top: Line

    @property
    def plate(self) -> Line:
        """On the bottom plate: what comes down from the top, and the lower half of the wind."""
        return self.top[0], self.top[1] + self.wind / 2.0


def upright_lines(wall: Wall, *, within: tuple[Bare, ...] = ()) -> tuple[Inch, ...]:
    """Give the height of wood the wind along a bare frame meets, stud after stud from LEFT [in].

    A stud that runs full height counts with the ends of its plates. Sticks nailed against one another are one; of
    cripples over each other both lengths count.

    Args:
        wall: the wall.
        within: only what stands in these stretches; everywhere unless given.

    Source: JUDGEMENT, a stick behind one it touches takes no wind.
    """
    t = section(wall.studs.size).thickness
    lines: dict[float, Inch] = {}
    for stick in frame_wall(wall).of_kind(*UPRIGHTS):
        if within and not any(one.left - TOGETHER <= stick.x <= one.right + TOGETHER for one in within):
            continue
        high = wall.height_at(stick.x) if stick.kind in FULL else stick.length
        lines[round(stick.x, 6)] = lines.get(round(stick.x, 6), 0.0) + high
    found: list[Inch] = []
    last = -math.inf
    for x, high in sorted(lines.items()):
        if x - last <= t + TOGETHER:
            found[-1] = max(found[-1], high)
        else:
            found.append(high)
        last = x
    return tuple(found)


def pushes(materials: Materials, site: Site, q: float, *, gust: float, people: bool) -> tuple[Push, Push]:
    """Give what pushes a wall along itself, from LEFT and from the right.

    Args:
        materials: the job's materials.
        site: gives the lean, and whether anybody is about.
        q: velocity pressure at the gust [psf].
        gust: the gust [mph].
        people: with people about.

    Source: ASCE7 figure 29.4-2; EN1991 7.5 (from memory); ASCE37 4.2 (from memory).
    """
    wall = materials.job.wall
    weight, high = take_off(wall), wall.highest
    heavy = Known(weight.weight, "weight of the wall", "")
    lean = lean_at_top(site.lean, heavy, z=Known(weight.z_cg, "its centre of gravity", ""), h=high)
    person = Known(
        PERSON if people and site.top_load > 0.0 else 0.0,
        "a person or a ladder at the top",
        cite("ASCE37"),
        "memory",
    )
    found = []
    for side in range(2):
        sums = _wind_sheathed(wall, q, side) if wall.sheathed else _wind_bare(wall, q, side)
        total = float(sum(sums))
        wind = Known(total, f"all of it, {SIDES[side]}", "", by=tuple(sums))
        top = at_top(wind, lean, person)
        rate = total / gust**2
        found.append(Push((*sums, lean, top), rate, (float(lean) + float(person), rate / 2.0)))
    if there(wall):
        found = [_with_above(materials, site, push, q, gust=gust, people=people) for push in found]
    return found[0], found[1]


def _with_above(materials: Materials, site: Site, push: Push, q: float, *, gust: float, people: bool) -> Push:
    """What pushes a wall along itself, with what stands on it from above."""
    rows = heels_along(materials.job, q)
    heels = sum(float(row[-1]) for row in rows)
    on = weight_on(materials.job.wall, people=people)
    said = Known(heels, "heels of its rows of trusses and rafters", "", by=tuple(row[-1] for row in rows))
    top = with_above(
        push.sums[-1], Known(on, "weight on it from above", ""), lean=site.lean, heels=said if rows else 0.0
    )
    sums = (*push.sums, *(part for row in rows for part in row), top)
    return Push(sums, push.wind, plus(push.top, (site.lean * on, heels / gust**2)))


def along_sums(model: Model, gust: float) -> tuple[float, ...]:
    """Tell what pushes a wall along itself at a gust, the wind from the end that gives the more.

    Args:
        model: the wall.
        gust: the gust [mph].

    Source: STATICS.
    """
    if gust <= 0.0:
        return ()
    q = model.cases.pressures.at(gust)
    both = pushes(model.materials, model.job.site, q, gust=gust, people=model.people)
    return both[first_greatest([float(push.sums[-1]) for push in both])].sums


def _wind_sheathed(wall: Wall, q: float, side: int) -> tuple[float, ...]:
    """On its end and both faces, all of them; of a wall sheathed in part on the studs of what is bare too."""
    deep = section(wall.studs.size).width
    area = outline_properties(wall.top).area / INCHES_PER_FOOT**2
    bare = _wind_bare(wall, q, side, within=wall.bare) if wall.bare else ()
    # A plate that rises from the wind takes it too.
    return on_a_stud(q, deep, wall.highest), friction(q, area), *bare


def _wind_bare(wall: Wall, q: float, side: int, *, within: tuple[Bare, ...] = ()) -> tuple[float, ...]:
    deep, heights = section(wall.studs.size).width, upright_lines(wall, within=within)
    heights = heights[::-1] if side else heights
    counts: dict[Inch, float] = {}
    for k, high in enumerate(heights):
        counts[high] = counts.get(high, 0.0) + of_the_first(k)
    return tuple(
        behind_one_another(
            on_a_stud(q, deep, high),
            Known(n, "studs, the fourth and those behind it 0.85 each", cite("ASCE7"), "memory"),
        )
        for high, n in counts.items()
    )


@frozen(eq=False)
class Lengthwise:
    """A wall along itself: what it is made of, and what pushes it.

    Attributes:
        materials: the job's materials.
        wall: the wall's strengths.
        both: what pushes it, the wind from LEFT and from the right.
        beside: studs with fasteners put in beside a brace, from LEFT [in].
    """

    materials: Materials
    wall: WallStrength
    both: tuple[Push, Push]
    beside: tuple[Inch, ...]

    @property
    def tops(self) -> list[Line]:
        """Force at its top, the wind from LEFT and from the right."""
        return [push.top for push in self.both]


# -- what the plate holds --------------------------------------------------------------------------------


@frozen
class Held:
    """Like fasteners through a stretch of plate.

    Attributes:
        one: which, and what one may carry.
        at: where, from LEFT [in].
        lever: pull on them for each pound of lift at the plate's edge [-].
    """

    one: PlateSet
    at: tuple[Inch, ...]
    lever: float

    @property
    def shear(self) -> Pound:
        """What they may carry in shear [lb]."""
        return self.one.lateral * len(self.at)

    def against(self, toe: Inch) -> float:
        """Share used by each lb in of a moment about a toe; infinite where they hold nothing up [1/(lb in)].

        Args:
            toe: where the stretch turns [in].
        """
        arms = [abs(x - toe) for x in self.at]
        squares = sum(arm**2 for arm in arms)
        if squares <= 0.0 or self.one.axial <= 0.0:
            return math.inf
        return max(arms) * self.lever / (squares * self.one.axial)


def held_in(run: Lengthwise, span: Span) -> tuple[Held, ...]:
    """Give the sets of like fasteners through a stretch of plate: unlike ones are not added up.

    Args:
        run: the wall along itself.
        span: from where to where [in].

    Source: NDS 11.2.1, unlike fasteners are not added up.
    """
    job, wall = run.materials.job, run.wall
    plate, found = job.wall.plate, list[Held]()
    if plate.state != "tacked":
        low, high = piece_at(plate_pieces(job.wall), (span[0] + span[1]) / 2.0)
        per_inch = float(on_a_piece(np.array([high - low]), plate.spacing, plate.in_short_pieces)[0])
        count = int(per_inch * (span[1] - span[0]) + ROUNDING)
        apart = (span[1] - span[0]) / count if count else 0.0
        at = tuple(span[0] + (k + 0.5) * apart for k in range(count))
        found.append(Held(wall.plate, at, float(arm_of(job, plate.row_from_sheathed_edge).pull(1.0))))
    if plate.extra.at_each_brace:
        at = tuple(x for x in run.beside if span[0] <= x <= span[1] for _ in range(plate.extra.at_each_brace))
        found.append(Held(wall.extra, at, float(arm_of(job, edge_beside(plate)).pull(1.0))))
    return tuple(held for held in found if held.at)


def plate_along(run: Lengthwise, shears: list[Line], sets: tuple[Held, ...], *, middle: Inch) -> Group:
    """Give the link of a stretch of plate in shear along itself, on the set of its fasteners that carries most.

    Args:
        run: the wall along itself.
        shears: on it, the wind from LEFT and from the right.
        sets: the fasteners through it.
        middle: its middle from LEFT [in].
    """
    best = max(sets, key=lambda one: one.shear, default=None)
    if best is None:
        made: float = Known(0.0, "no fastener counts", "")
        why, known = Said("nothing-in-the-plate"), "read"
    else:
        made = run.materials.basis.acting.all_of(best.one.lateral, len(best.at), 1.0)
        so_many = Said("so-many", count=len(best.at), what=best.one.name)
        why, known = (
            Said("so-many-each", so_many=so_many, each=Quantity(best.one.lateral, Kind.EACH)),
            best.one.lateral_known,
        )
    return along_link(
        LinkId.PLATE_ALONG, shears, [made], places=(middle,), why=(why,),
        source=run.materials.basis.clauses.across, known=known,
    )  # fmt: skip


# -- a link -----------------------------------------------------------------------------------------------


def along_link(
    link: LinkId, demands: Sequence[Line] | Array, capacity: Sequence[float], *, places: tuple[Inch | None, ...],
    why: tuple[Said | None, ...], **said: Any,  # noqa: ANN401  (unit, source, known and rows of a Group)
) -> Group:  # fmt: skip
    """Give links along the wall: a row each of the wind from LEFT and from the right, of one item or of several.

    Args:
        link: what they are.
        demands: of each row and item, steady and per mph squared.
        capacity: of each item.
        places: of each item [in].
        why: what sets each.
        said: `source`, and `unit`, `known` and `rows` where they are others than pounds, read and the two winds.
    """
    demand = np.asarray(demands, dtype=float)
    demand = demand[:, None, :] if demand.ndim == 2 else demand
    said = {"unit": "lb", "rows": ROWS, **said}
    return Group(
        link=link, directions=(ALONG,), marks=(None,) * len(places), places=places,
        capacity=np.array([float(each) for each in capacity]), made=OneOf(tuple(capacity)), demand=demand, why=why,
        one_way=True, **said,
    )  # fmt: skip


def times(line: Line, part: float) -> Line:
    """Give a part of a force, steady and per mph squared.

    Args:
        line: the force.
        part: how much of it [-].
    """
    return line[0] * part, line[1] * part


def plus(one: Line, other: Line) -> Line:
    """Give two forces together, steady and per mph squared.

    Args:
        one: a force.
        other: another.
    """
    return one[0] + other[0], one[1] + other[1]
