"""A deck over the walls of a ring of four: whether it counts, and how it holds their tops.

It counts once all of it is laid, nailed off and fastened to their tops, and all of that is declared; one laid in
part counts for nothing. It is taken as stiff in its own plane, or as soft as one whose edges are not blocked may be,
whichever asks more; what it takes of a wall it gives to the two walls at that wall's ends, by where it takes it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.materials import Materials, materials_of, nailing_of
from bracing.chain.returns import HeldEnd, own_job
from bracing.codes.basis import basis_of
from bracing.codes.joints import FastenerCapacity
from bracing.codes.pressures import net_pressure
from bracing.codes.sticks import Decked
from bracing.job.framing import frame_wall
from bracing.job.house import ENDS, House, TopDeck, deck_name
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.returns import Return
from bracing.job.wall import Wall
from bracing.said import Kind, Quantity, Said
from bracing.units import INCHES_PER_FOOT, Inch

Array = NDArray[np.float64]
APART: Inch = 24.0  # studs a deck is taken to hold stand no farther apart, where there are any
LEVEL: Inch = 2.0  # tops of the four walls are level within this
STIFFNESS = 5.0  # apparent shear stiffness of a deck whose edges are not blocked [kips/in]; judgement
EDGE: Inch = 12.0  # joists and panel the wind meets at the edge of a deck; judgement
WEIGHT = 10.0  # of a deck, for its lean alone [psf]; judgement
ROUNDING = 1e-9


@frozen
class Lean:
    """One of the two walls a place at the top of a wall leans on through a deck.

    Attributes:
        by: its file.
        way: 1 where push on the held wall presses it toward its right end, -1 where toward its left.
        share: of what the place takes [-].
    """

    by: str
    way: int
    share: float


@frozen
class TopNode:
    """A place at the top of a wall that a deck holds.

    Attributes:
        deck: which deck of the job.
        x: the stud from LEFT [in].
        z: its top [in].
        part: of the wall's length whose fasteners are taken to hold it there [-].
        count: so many of them.
        give: of those, at the published slip [in/lb].
        leans: the two walls it leans on.
    """

    deck: int
    x: Inch
    z: Inch
    part: float
    count: float
    give: float
    leans: tuple[Lean, Lean]

    @property
    def top(self) -> bool:
        """It is at the top of its stud."""
        return True


@frozen(eq=False)
class CountedDeck:
    """A deck that counts, as one of its walls finds it.

    Attributes:
        k: which of the job.
        made: what is declared of it.
        span: length of the wall across the wind it spans along [in].
        depth: that of the shorter of the two walls it gives it to [in].
        panels: what it may carry in its own plane.
        top: one fastener into the wall's top plate.
        tops: how many over its length.
        lap: one fastener through a lap of its top plates.
    """

    k: int
    made: TopDeck
    span: Inch
    depth: Inch
    panels: Decked
    top: FastenerCapacity
    tops: int
    lap: FastenerCapacity

    @property
    def name(self) -> str:
        """As it is typed."""
        return deck_name(self.k)

    def sways(self, shares: Array) -> Array:
        """Give how far it goes at each place under a pound at each, as soft as it may be, (n, n) [in/lb].

        Args:
            shares: of each place, how much of it goes to one of the two walls [-].

        Source: STATICS, a beam that gives in shear alone; JUDGEMENT stiffness of a deck.
        """
        return np.asarray(self.bends(shares) / (1000.0 * STIFFNESS * self.depth))

    def bends(self, shares: Array) -> Array:
        """Give the moment at each place for a pound at each, (n, n) [lb in/lb].

        Args:
            shares: of each place, how much of it goes to one of the two walls [-].

        Source: STATICS, a simple beam between the two walls.
        """
        low = np.minimum(shares[:, None], shares[None, :])
        high = np.maximum(shares[:, None], shares[None, :])
        return np.asarray(low * (1.0 - high) * self.span)


# -- whether it counts -----------------------------------------------------------------------------------


@frozen(eq=False)
class Met:
    """The walls of a job that are up, each with what holds its ends.

    Attributes:
        jobs: all walls, by file.
        ends: by file and end, the wall that counts there and what it is to it.
    """

    jobs: Mapping[str, Job]
    ends: Mapping[str, Mapping[str, tuple[str, HeldEnd]]] = field(repr=False)


def why_not(house: House, k: int, met: Met) -> tuple[Said, ...]:
    """Say why a deck counts for nothing; nothing where it counts.

    Args:
        house: the job.
        k: which deck.
        met: its walls that are up.
    """
    deck = house.decks[k]
    if deck.kind == "roof":
        return (Said("deck-is-a-roof"),)
    why = []
    if deck.missing:
        why.append(Said("deck-not-ticked", ticks=tuple(map(str, deck.missing))))
    if deck.lacks:
        why.append(Said("deck-lacks", lacks=deck.lacks))
    if not _is_ring(deck, met):
        why.append(Said("deck-no-ring"))
        return tuple(why)
    walls = [met.jobs[file].wall for file in deck.walls]
    heights = [z for wall in walls for _, z in wall.top]
    if max(heights) - min(heights) > LEVEL:
        why.append(Said("deck-not-level"))
    sides = sorted(wall.length for wall in walls)
    nailing = nailing_of(_framed(deck, met.jobs[deck.walls[0]]))
    most = 1.0 if nailing is None else basis_of(met.jobs[deck.walls[0]]).sheathed(nailing).laid.most_aspect
    if sides[-1] > most * sides[0] * (1.0 + ROUNDING):
        why.append(Said("deck-too-long", most=Quantity(most, Kind.TIMES)))
    if not all(map(held_studs, walls)):
        why.append(Said("deck-no-studs"))
    if not why and any(_counted(k, deck, file, met) is None for file in deck.walls):
        why.append(Said("deck-worth-nothing"))
    return tuple(why)


def _is_ring(deck: TopDeck, met: Met) -> bool:
    """Whether its four walls are up and each is held at both ends by two others of them: all four corners count."""
    for file in deck.walls:
        ends = met.ends.get(file, {})
        by = {ends[end][0] for end in ENDS if end in ends}
        if len(by) != len(ENDS) or not by <= set(deck.walls):
            return False
    return True


def counted_of(house: House, file: str, met: Met) -> tuple[CountedDeck, ...]:
    """Give the decks that count over a wall.

    Args:
        house: the job.
        file: the wall's file.
        met: the walls that are up.
    """
    found = (
        _counted(k, deck, file, met)
        for k, deck in enumerate(house.decks)
        if file in deck.walls and not why_not(house, k, met)
    )
    return tuple(one for one in found if one is not None)


def _framed(deck: TopDeck, job: Job) -> Materials:
    """The deck's lumber, panel and nails, as a wall of them would be."""
    end = Return(
        length=job.wall.length, height=job.wall.highest, studs=deck.joists, moisture=deck.moisture,
        sheathing=deck.sheathing, edge_nail=deck.nail, edge_spacing=deck.edge_spacing, field_spacing=deck.field_spacing,
    )  # fmt: skip
    return materials_of(own_job(evolve(job, braces=()), "left", end), basis_of(job))


def _counted(k: int, deck: TopDeck, file: str, met: Met) -> CountedDeck | None:
    """One deck as one of its walls finds it; None where its nails or laps are worth nothing."""
    job = met.jobs[file]
    own, mine, basis = _framed(deck, job), materials_of(job, basis_of(job)), basis_of(job)
    nailing = nailing_of(own)
    assert deck.top_fastener is not None
    assert deck.top_spacing is not None
    assert deck.lap_fastener is not None
    if nailing is None:
        return None
    panels = basis.sheathed(nailing).laid
    plates = 2.0 * section(job.wall.studs.size).thickness
    into = mine.stud_ply(thickness=plates)
    top = min(
        (
            one.capacity(deck.top_fastener, own.stud_ply(), into, toe_nailed=deck.top_joint == "toe-nail")
            for one in (own, mine)
        ),
        key=lambda one: one.lateral,
    )
    lap = mine.capacity(deck.lap_fastener, *(mine.stud_ply(angle=0.0),) * 2)
    tops = int(job.wall.length / deck.top_spacing + ROUNDING)
    worth = min(float(panels.shear), float(top.lateral), top.slip_modulus, float(lap.lateral), float(tops))
    if worth <= 0.0:
        return None
    sides = [met.jobs[by].wall.length for by, _ in met.ends[file].values()]
    return CountedDeck(k, deck, job.wall.length, min(sides), panels, top, tops, lap)


# -- where it holds a wall -------------------------------------------------------------------------------


def held_studs(wall: Wall) -> tuple[Inch, ...]:
    """Give the full-height studs between its ends at whose tops a deck is taken to hold a wall [in].

    It is fastened all along; fewer places make its top plate span farther, which is no less.

    Args:
        wall: the wall.
    """
    inside = [stud.x for stud in frame_wall(wall).full_height_studs][1:-1]
    found: list[Inch] = []
    for k, x in enumerate(inside):
        last = found[-1] if found else 0.0
        after = inside[k + 1] if k + 1 < len(inside) else math.inf
        if after - last > APART:
            found.append(x)
    return tuple(found)


def nodes_of(deck: CountedDeck, wall: Wall, ends: Mapping[str, tuple[str, int]]) -> tuple[TopNode, ...]:
    """Give the places at which a deck holds the top of a wall.

    Args:
        deck: the deck.
        wall: the wall.
        ends: by end, the wall met there, and which way push on this one presses it.
    """
    at = held_studs(wall)
    edges = [0.0, *((a + b) / 2.0 for a, b in pairwise(at)), wall.length]
    found = []
    for x, (low, high) in zip(at, pairwise(edges), strict=False):
        part, share = (high - low) / wall.length, x / wall.length
        count = deck.tops * part
        leans = Lean(*ends["left"], 1.0 - share), Lean(*ends["right"], share)
        give = 1.0 / (count * deck.top.slip_modulus)
        found.append(TopNode(deck.k, x, wall.height_at(x), part, count, give, leans))
    return tuple(found)


def alone_on(deck: CountedDeck, wind: Any, lean: float) -> Array:  # noqa: ANN401  (a wall's Pressures)
    """Give what a deck itself gives to one of two walls along them: half its lean and half the wind on its edge, (2,).

    Args:
        deck: the deck.
        wind: pressure on a wall under it across that wind.
        lean: part of its weight [-].

    Returns:
        Steady and per gust squared [lb].

    Source: STATICS; JUDGEMENT edge and weight of a deck.
    """
    area = deck.span * deck.depth / INCHES_PER_FOOT**2
    pressed = float(net_pressure(wind.at(1.0), wind.mean)) * EDGE * deck.span / INCHES_PER_FOOT**2
    return np.array([lean * WEIGHT * area / 2.0, pressed / 2.0])


def line_of(force: Array, deck: CountedDeck, alone: Array) -> Array:
    """Give the tension in a chord for the moments of a deck, with what it is pressed with itself, (.., 2) [lb].

    Args:
        force: moments, steady and per gust squared, (.., 2) [lb in].
        deck: the deck.
        alone: what it gives to one wall itself, (2,) [lb].

    Source: STATICS, M = R L / 4 of an even load whose reactions are R.
    """
    return np.asarray((np.abs(force) + alone * deck.span / 4.0) / deck.depth)
