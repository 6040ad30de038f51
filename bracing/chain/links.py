"""Every link of the chain: what it must carry, what it may carry, the ratio, and the gust at which the ratio is 1.

A group holds links of one kind. Its demands are affine in the gust squared for every row (case and stiffness), so the
gust at which one is at its allowable value is closed form; of two forces on one fastener it is closed in by a bracket.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import StrEnum
from functools import cached_property
from typing import Annotated, Any, Protocol, TypedDict, cast

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.choosing import first_greatest
from bracing.said import Said
from bracing.sources import beside
from bracing.sums import formula
from bracing.units import Inch, InchPound, Mph, Pound

Array = NDArray[np.float64]

HIGHEST: Mph = 400.0  # no link is followed past this
SEARCHES, HALVE_EVERY = 120, 4  # every so many halved, so that a kink cannot hold the search up
MOST_OVER = 1e9  # of an excess: an infinite one would leave no chord to follow
MAY_BE = 1e-6  # a search ends this near 1 at its own limit, and must not be passed over for that
NEAR, PARTED = 1e-10, 4  # axes of a demand whose items have several parts
ALONG = "along"  # the wind along the wall: the direction that is neither push nor pull
Direction = Annotated[str, ("push", "pull", "along")]
LinkJson = TypedDict("LinkJson", {
    "link": str, "direction": Direction, "mark": str | None, "x_ft": float | None, "demand": float | None,
    "capacity": float | None, "unit": str, "ratio": float | None, "limit_gust_mph": float | None, "source": str,
    "why": Said | str, "known": str,
})  # fmt: skip
REVERSED = ", in reverse"  # worked against the sense it is meant for


class LinkId(StrEnum):
    """Every link there is: which it is, in JSON and in the table of remedies, and its name for people."""

    HEAD_JOINT = "head joint"
    HEAD_BEARING = "head bearing"
    BRACE_PUSHED = "brace in push"
    BRACE_PULLED = "brace in pull"
    BRACE_TO_CLEAT = "brace to cleat"
    CLEAT_BENDING = "cleat bending"
    CLEAT_TO_FLOOR = "cleat to floor"
    FOOT_TO_GROUND = "foot to ground"
    PANEL_TO_JOISTS = "panel to joists"
    BLOCK_ENDS = "block ends"
    CROSS_CLEAT = "cross cleat to joists"
    CROSS_CLEAT_BENDING = "cross cleat bending"
    JOIST = "joist"
    HEAD_JOINT_REVERSED = HEAD_JOINT + REVERSED
    HEAD_BEARING_REVERSED = HEAD_BEARING + REVERSED
    BRACE_PUSHED_REVERSED = BRACE_PUSHED + REVERSED
    BRACE_PULLED_REVERSED = BRACE_PULLED + REVERSED
    BRACE_TO_CLEAT_REVERSED = BRACE_TO_CLEAT + REVERSED
    CLEAT_BENDING_REVERSED = CLEAT_BENDING + REVERSED
    CLEAT_TO_FLOOR_REVERSED = CLEAT_TO_FLOOR + REVERSED
    FOOT_TO_GROUND_REVERSED = FOOT_TO_GROUND + REVERSED
    PANEL_TO_JOISTS_REVERSED = PANEL_TO_JOISTS + REVERSED
    BLOCK_ENDS_REVERSED = BLOCK_ENDS + REVERSED
    CROSS_CLEAT_REVERSED = CROSS_CLEAT + REVERSED
    CROSS_CLEAT_BENDING_REVERSED = CROSS_CLEAT_BENDING + REVERSED
    JOIST_REVERSED = JOIST + REVERSED
    TIE_AT_BRACE = "tie at brace"
    TIE_AT_BRACE_REVERSED = TIE_AT_BRACE + REVERSED
    TIE_ROW = "tie row"
    DIAGONAL = "diagonal"
    DIAGONAL_NAILS = "diagonal nails"
    STUD_BENDING = "stud bending"
    STUD_SHEAR = "stud shear"
    STUD_SPLITTING = "stud splitting at the head"
    STUD_LIFTED = "stud bending with lift"
    STUD_LOADED = "stud under a load from above"
    TOP_TO_STUD = "top plate to stud"
    TOP_BENDING = "top plate bending"
    ROW_BENDING = "row bending"
    HEADER_END = "header end"
    HEADER_BENDING = "header bending"
    SILL_END = "sill end"
    SILL_BENDING = "sill bending"
    PLATE_SHEAR = "plate shear"
    PLATE_LIFTED = "plate shear and uplift"
    PLATE_GRAIN = "plate across the grain"
    STRAP = "strap at the brace"
    SHEATHING_TO_PLATE = "sheathing to plate"
    SHEATHING_TO_RIM = "sheathing to rim"
    STUD_TO_SHEATHING = "stud to sheathing"
    SHEATHING_OFF = "sheathing off the studs"
    RETURN_CORNER = "return corner"
    RETURN_RACKING = "return racking"
    RETURN_FOOT = "return plate shear and uplift"
    RETURN_GRAIN = "return plate across the grain"
    RETURN_SHEAR = "return plate shear"
    RETURN_STRAP = "return strap"
    RETURN_RIM = "return rim nails"
    CORNER_BOTH = "corner fasteners of both walls"
    PLATE_BOTH = "plate fasteners across and along"
    PLATE_LIFTED_BOTH = "plate at a brace across and along"
    PLATE_GRAIN_BOTH = "plate across the grain across and along"
    SHEATHING_RIM_BOTH = "sheathing to rim across and along"
    DECK_TOPS = "deck to top plate"
    DECK_SHEAR = "deck shear"
    DECK_CHORD = "top plate lap under a deck"
    RACKING = "racking along the wall"
    PIER_OVER = "pier turning over along the wall"
    STUD_FEET = "stud feet along the wall"
    PLATE_ALONG = "plate shear along the wall"
    FRAME_DIAGONAL = "frame diagonal"
    FRAME_ENDS = "frame diagonal ends"
    FRAME_STRAP = "frame diagonal strap"
    FRAME_LIFT = "plate at a frame diagonal"
    ROW_TIE = "tie of a row of trusses"

    @property
    def reversed(self) -> LinkId:
        """The same link, worked against the sense it is meant for."""
        return LinkId(self + REVERSED)

    @property
    def forward(self) -> LinkId:
        """The same link, whichever way it is worked."""
        return LinkId(self.removesuffix(REVERSED))


@frozen
class Link:
    """One link, at one place, with the wind from one side.

    Attributes:
        link: what it is.
        direction: push or pull.
        mark: the brace it belongs to, or None.
        x: place from LEFT, or None where it is the whole wall [in].
        demand: what it must carry at the gust asked.
        capacity: what it may carry.
        unit: of both.
        ratio: demand over capacity.
        limit_gust: gust at which the ratio is 1 [mph].
        source: the clause.
        why: what sets it; None where nothing need be said.
        known: how what it may carry is known, one of `bracing.sources.KNOWN`.
    """

    link: LinkId
    direction: str
    mark: str | None
    x: Inch | None
    demand: float
    capacity: float
    unit: str
    ratio: float
    limit_gust: Mph
    source: str
    why: Said | None
    known: str = "read"

    @property
    def clause(self) -> str:
        """The clause as printed, "from memory" beside it where a recalled value governs."""
        return beside(self.source, self.known)

    @property
    def reason(self) -> Said | None:
        """What sets it, and its clause where a recalled value governs."""
        if self.known != "memory":
            return self.why
        clause = Said("clause", source=self.clause)
        return clause if self.why is None else Said("why-and-clause", why=self.why, clause=clause)

    @property
    def nothing(self) -> bool:
        """Whether it is worth nothing, so that what hangs on it is left out and never loaded."""
        return self.capacity <= 0.0

    def to_dict(self) -> LinkJson:
        """Give the link as the JSON object of the design, section 12."""
        return {
            "link": self.link, "direction": self.direction, "mark": self.mark,
            "x_ft": None if self.x is None else self.x / 12.0,
            "demand": finite(self.demand), "capacity": finite(self.capacity), "unit": self.unit,
            "ratio": finite(self.ratio), "limit_gust_mph": finite(self.limit_gust), "source": self.source,
            "why": self.why or "", "known": self.known,
        }  # fmt: skip


def finite(value: float) -> float | None:
    """Give a number JSON can carry: None for infinite or missing.

    Args:
        value: any number.

    Example:
        >>> finite(float("inf")), finite(2.0)
        (None, 2.0)
    """
    return float(value) if np.isfinite(value) else None


@frozen(eq=False)
class Made:
    """What the capacities of a group are made of: one formula, read for all its items or for one.

    Attributes:
        of: the formula.
        args: its arguments, arrays having a value an item.
        named: those of them it takes by name.
    """

    of: Callable[..., Any]
    args: tuple[Any, ...]
    named: dict[str, Any] = field(factory=dict)

    def all(self) -> Array:
        """Capacity of every item, shape (i,)."""
        return np.asarray(self.of(*self.args, **self.named), dtype=float)

    def at(self, item: int) -> float:
        """Capacity of one item, as a Sum.

        Args:
            item: which.
        """

        def one(arg: Any) -> Any:  # noqa: ANN401  (a value, or an array of a value an item)
            return float(arg[item]) if isinstance(arg, np.ndarray) else arg

        named = {name: one(arg) for name, arg in self.named.items()}
        return cast("float", self.of(*map(one, self.args), **named))


@frozen(eq=False)
class OneOf:
    """Picks the sum of an item: capacities that are made one by one.

    Attributes:
        sums: of each item.
    """

    sums: tuple[float, ...]

    def at(self, item: int) -> float:
        """Capacity of one item, as a Sum.

        Args:
            item: which.
        """
        return self.sums[item]


def one_of(many: int, made: float) -> OneOf:
    """Give the same sum for so many items.

    Args:
        many: how many.
        made: the sum.
    """
    return OneOf((made,) * many)


class Use(Protocol):
    """The share used by two forces together, of every item or of one."""

    def __call__(self, first: Array, second: Array, /) -> Array:
        """Give what is used of every item.

        Args:
            first: size of the first force, (..., items), or (..., items, parts) where each has several.
            second: the second, the same.
        """

    def sums(self, item: int, first: Array, second: Array, /, *, gust: Mph, where: str) -> tuple[float, ...]:
        """Give what is used of one item, as a Sum, after what is to be said before it.

        Args:
            item: which.
            first: the first force, steady and per gust squared, (2,) or (parts, 2).
            second: the second, the same.
            gust: the gust [mph].
            where: which row of the frame they are of.
        """


@formula
def force_at(steady: float, rate: float, gust: Mph) -> Pound:
    """Give the force at a gust: F = steady + rate gust^2.

    Args:
        steady: part that no wind makes [lb].
        rate: part that grows with the gust, per mph squared [lb/mph2].
        gust: the gust [mph].

    Returns:
        F [lb].

    Source: STATICS.

    Example:
        >>> force_at(10.0, 0.5, 20.0)
        210.0
    """
    return steady + rate * gust**2


@formula
def moment_at(steady: float, rate: float, gust: Mph) -> InchPound:
    """Give the moment at a gust: M = steady + rate gust^2.

    Args:
        steady: part that no wind makes [lb in].
        rate: part that grows with the gust, per mph squared [lb in/mph2].
        gust: the gust [mph].

    Returns:
        M [lb in].

    Source: STATICS.

    Example:
        >>> moment_at(10.0, 0.5, 20.0)
        210.0
    """
    return steady + rate * gust**2


@frozen
class At:
    """Which row of the frame asks something: the wind, what holds the wall up, and where on a piece.

    Attributes:
        case: the wind case.
        gap: "closed" or "open" under the wall.
        plates: plies of the top plate that bend; "" where nothing bends.
        slip: how far the fasteners of the braces give; "" where they have no part in it.
        point: where on the piece, or "".
        gone: marks of the braces that are gone.
    """

    case: str
    gap: str
    plates: str = ""
    slip: str = ""
    point: str = ""
    gone: tuple[str, ...] = ()


@frozen(eq=False)
class Rows:
    """What the rows of a group's demands are: every row of the frame at the first point, at the second, and so on.

    Attributes:
        named: case, gap, and plates and slip where they have a part in it, of each row of the frame.
        points: where on the piece each is read.
        gone: marks of the braces that are gone.
        walls: how many walls' rows of the frame stand under one another at each point.
    """

    named: tuple[tuple[str, ...], ...]
    points: tuple[str, ...] = ("",)
    gone: tuple[str, ...] = ()
    walls: int = 1

    def at(self, row: int) -> At:
        """Give one row.

        Args:
            row: its place along the first axis of the demands.
        """
        point, k = divmod(row, len(self.named))
        case, gap, *holds = self.named[k]
        plates, slip = holds or ("", "")
        return At(case, gap, plates, slip, self.points[point], self.gone)


ENDS = ("left end", "right end")


def by_point(parts: Array) -> Array:
    """Put what is read at several points of each piece one point after the other, as `Rows` names them.

    Args:
        parts: shape (rows, items, points, 2).

    Returns:
        Shape (points * rows, items, 2).
    """
    return np.concatenate([parts[:, :, point] for point in range(parts.shape[2])])


@frozen(eq=False)
class Group:
    """Links of one kind in one direction, one an item.

    Attributes:
        link: what they are.
        directions: push, pull, or both where the demand only turns round with the wind.
        marks: brace of each item, or None.
        places: place of each item from LEFT, or None [in].
        unit: of demand and capacity.
        capacity: of each item, shape (i,); (rows, i) where the rows are of several walls that have not the same.
        demand: steady and per gust squared, shape (rows, i, 2); (rows, i, parts, 2) of a use of several parts.
        allowance: added to the size of the demand, shape (rows, i, 2), or None.
        one_way: only a positive demand counts.
        source: the clause.
        why: what sets each item.
        rows: what the rows of the demands are.
        level: level force of each item's brace, of which the demand is so much for each pound, or None.
        per_pound: of each item, as a Sum where it is one.
        walls: how many walls' items stand beside one another.
        use: for two forces together: the share used, from the size of `demand` and from `tension`.
        tension: drawn where positive, pressed where negative, shaped as `demand`, or None.
        starts: first item of each link where several items make one link (pieces of a stud), or None.
        known: how what they may carry is known, one of `bracing.sources.KNOWN`.
        made: what the capacities are made of, or None.
        since: gust squared from which on the demands hold; below it other braces may work [mph^2].
        rates: of each row what grows with the gust, as a Sum, where a row is no row of the frame.
    """

    link: LinkId
    directions: tuple[str, ...]
    marks: tuple[str | None, ...]
    places: tuple[Inch | None, ...]
    unit: str
    capacity: Array
    demand: Array = field(repr=False)
    source: str
    why: tuple[Said | None, ...]
    rows: Rows = field(repr=False)
    allowance: Array | None = field(default=None, repr=False)
    one_way: bool = False
    use: Use | None = field(default=None, repr=False)
    tension: Array | None = field(default=None, repr=False)
    starts: NDArray[np.intp] | None = field(default=None, repr=False)
    since: float = 0.0
    known: str = "read"
    made: Made | OneOf | None = field(default=None, repr=False)
    level: Array | None = field(default=None, repr=False)
    per_pound: tuple[float, ...] = ()
    walls: int = 1
    rates: tuple[float, ...] = ()

    def demands(self, gust: Mph) -> Array:
        """Largest demand of each item over all rows at a gust, shape (i,).

        Args:
            gust: the gust [mph].
        """
        return np.asarray(self.of_rows(gust**2).max(axis=0, initial=0.0))

    def of_rows(self, squared: float | Array) -> Array:
        """Demand of each item in every row at a gust squared, shape (rows, i); at several, (k, rows, i) of (k, 1, 1).

        Args:
            squared: the gust squared, or whatever else the second part of each demand is for each of.
        """
        if self.use is not None and self.tension is not None:
            parted = self.demand.ndim == PARTED
            first, second = (grown(part, squared, parted=parted) for part in (self.demand, self.tension))
            return self.use(np.abs(first), second)
        at = self.demand[..., 0] + self.demand[..., 1] * squared
        size = np.maximum(at, 0.0) if self.one_way else np.abs(at)
        if self.allowance is not None:
            size = size + self.allowance[..., 0] + self.allowance[..., 1] * squared
        return size

    def ratios(self, gust: Mph) -> Array:
        """Ratio of each item at a gust; infinite on a capacity of nothing, shape (i,).

        Args:
            gust: the gust [mph].
        """
        return _over(self.demands(gust), self.capacity)

    def reaches(self, gust: Mph) -> bool:
        """Whether any limit gust may be at or under a gust: a search for limits that cannot be is not made.

        Args:
            gust: the gust [mph].
        """
        if self.use is None:
            return math.sqrt(self.least_squared) <= gust
        return bool(self.ratios(gust).max(initial=0.0) > 1.0 - MAY_BE)

    @cached_property
    def least_squared(self) -> float:
        """Square of the least of `limits`, of links in closed form, without making the others [mph^2]."""
        return min(HIGHEST**2, *(_least_met(spare, rate, self.since) for spare, rate in spare_of(self)))

    @cached_property
    def limits(self) -> Array:
        """Gust at which each item's ratio is 1, shape (i,) [mph].

        Of an item over where the demands begin to hold, the gust below at which it would be 1 with the same braces.
        """
        return self._limits_by_search() if self.use is not None else _closed_limits(self)

    def lines(self) -> tuple[tuple[Array, Array], ...]:
        """Straight lines whose greatest is the demand, |a + b q| being two: steady and per mph squared, (rows, i)."""
        along = self.demand[..., 0], self.demand[..., 1]
        lines = (along,) if self.one_way else (along, (-along[0], -along[1]))
        if self.allowance is None:
            return lines
        steady, rate = self.allowance[..., 0], self.allowance[..., 1]
        return tuple((start + steady, slope + rate) for start, slope in lines)

    def _limits_by_search(self) -> Array:
        """Follow the worst row down: its root lies past no other row's, so the least root is met from above.

        From the highest gust, each item's worst row there is solved alone; the worst row at its root is the next, until
        none is past its allowable value there.
        """
        since = np.full(len(self.capacity), self.since)
        within = self.ratio_rows(since).max(axis=0, initial=0.0) <= 1.0
        low, squared = np.where(within, since, 0.0), np.where(within, HIGHEST**2, since)
        at_rest = self.ratio_rows(low).max(axis=0, initial=0.0)
        for _ in range(SEARCHES):
            ratio = self.ratio_rows(squared)
            worst = ratio.argmax(axis=0)
            past = (ratio[worst, np.arange(len(worst))] > 1.0 + NEAR) & (at_rest <= 1.0)
            if not past.any():
                break
            squared = np.where(past, self._root_of_row(worst, low, squared, past), squared)
        return np.where(at_rest > 1.0, 0.0, np.sqrt(squared))

    def ratio_rows(self, squared: float | Array) -> Array:
        """Ratio of every row of each item at its own gust squared, (rows, i), of two forces together.

        Args:
            squared: gust squared of each item, or of all.
        """
        return self._used(self.demand, self.tension, squared)

    def _used(self, demand: Array, tension: Array | None, squared: float | Array) -> Array:
        assert self.use is not None
        assert tension is not None
        parted = self.demand.ndim == PARTED
        first, second = (grown(part, squared, parted=parted) for part in (demand, tension))
        share = self.use(np.abs(first), second)
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = share / self.capacity
        return np.where(self.capacity > 0.0, ratio, np.where(share > 0.0, np.inf, 0.0))

    def _root_of_row(
        self, worst: NDArray[np.intp], low: Array, high: Array, asked: NDArray[np.bool_]
    ) -> Array:
        """Where one row of each item asked reaches its allowable value, from `low` to `high`; its low end, (i,).

        A bracket closed by false position, each end that stays having its excess halved (Illinois).
        """
        assert self.tension is not None
        each = np.arange(len(worst))
        rows = self.demand[worst, each], self.tension[worst, each]

        def alone(squared: Array) -> Array:
            return self._used(*rows, squared)

        under = alone(low) - 1.0
        over, side = np.minimum(alone(high) - 1.0, MOST_OVER), np.zeros_like(high)
        for turn in range(SEARCHES):
            with np.errstate(divide="ignore", invalid="ignore"):
                middle = low - under * (high - low) / (over - under)
            fair = (middle > low) & (middle < high) & (turn % HALVE_EVERY < HALVE_EVERY - 1)
            middle = np.where(fair, middle, (low + high) / 2.0)
            found = np.minimum(alone(middle) - 1.0, MOST_OVER)
            past = found > NEAR
            over = np.where(past, found, np.where(side < 0.0, over / 2.0, over))
            under = np.where(past, np.where(side > 0.0, under / 2.0, under), found)
            high, low = np.where(past, middle, high), np.where(past, low, middle)
            side = np.where(past, 1.0, -1.0)
            if (~asked | (high - low <= NEAR * high) | (np.abs(under) <= NEAR)).all():
                break
        return low

    def links(self, gust: Mph, *, limits_too: bool = True) -> tuple[Link, ...]:
        """Give every link of the group at a gust, each by its worst item.

        Args:
            gust: the gust [mph].
            limits_too: find limit gusts; without them they read as the highest followed.
        """
        demands, ratios, capacity = self.demands(gust), self.ratios(gust), self.capacity
        limits = self.limits if limits_too else np.full(len(capacity), HIGHEST)
        if self.starts is not None:
            worst = [
                start + first_greatest(part)
                for start, part in zip(self.starts, np.split(ratios, self.starts[1:]), strict=True)
            ]
            demands, ratios, capacity = demands[worst], ratios[worst], capacity[worst]
            limits = np.minimum.reduceat(limits, self.starts)
        rows = tuple(zip(self.marks, self.places, demands, capacity, ratios, limits, self.why, strict=True))
        return tuple(
            Link(
                self.link, direction, mark, x, float(demand), float(allowable), self.unit, float(ratio),
                float(limit), self.source, why, self.known,
            )
            for direction in self.directions
            for mark, x, demand, allowable, ratio, limit, why in rows
        )  # fmt: skip


def grown(part: Array, squared: float | Array, *, parted: bool) -> Array:
    """Give forces at a gust squared, or whatever else their second part is for each of.

    Args:
        part: steady and per gust squared, (.., 2).
        squared: the gust squared, of all or of each item.
        parted: each item has several forces.

    Source: STATICS, a demand is a straight line in the gust squared.
    """
    return np.asarray(part[..., 0] + part[..., 1] * (np.asarray(squared)[..., None] if parted else squared))


def may_carry(group: Group, item: int) -> float:
    """Give what an item may carry, as a Sum in the group's unit; of a share used, one.

    Args:
        group: the links.
        item: which.
    """
    return float(group.capacity[item]) if group.made is None else group.made.at(item)


def row_ratios(group: Group, squared: Array) -> Array:
    """Give the ratio of each item in every row at some values of what its demands grow with, shape (k, rows, i).

    Args:
        group: the links.
        squared: the gust squared, or whatever else the second part of each demand is for each of, (k,).
    """
    return _over(group.of_rows(squared[:, None, None]), group.capacity)


def _over(demand: Array, capacity: Array) -> Array:
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = demand / capacity
    return np.where(demand <= 0.0, 0.0, np.where(capacity > 0.0, ratio, np.inf))


def turned(group: Group, directions: tuple[str, ...]) -> Group:
    """Give the same links where every force turns round with the wind.

    Args:
        group: the links with the wind from one side.
        directions: the sides it then comes from.
    """
    tension = None if group.tension is None else -group.tension
    return evolve(group, directions=directions, demand=-group.demand, tension=tension)


def _closed_limits(group: Group) -> Array:
    least = np.full(len(group.capacity), HIGHEST**2)
    for spare, rate in spare_of(group):
        least = np.minimum(least, met(spare, rate, group.since).min(axis=0, initial=HIGHEST**2))
    return np.asarray(np.sqrt(least))


def spare_of(group: Group) -> tuple[tuple[Array, Array], ...]:
    """Give what each of a group's lines leaves of the allowable value at `since`, and its rate, per mph squared.

    Args:
        group: the links.

    Source: STATICS, a demand is a straight line in the gust squared.
    """
    return tuple((group.capacity - (start + slope * group.since), slope) for start, slope in group.lines())


def met(spare: Array, rate: Array, since: float) -> Array:
    """Gust squared at which a demand that grows at a rate has used what is spare where it begins to hold.

    Where nothing is spare there the gust lies below; 0 where there is none.

    Args:
        spare: what is left of the allowable value where the demand begins to hold.
        rate: of the demand, per mph squared.
        since: gust squared from which on it holds [mph^2].

    Source: STATICS, a demand is a straight line in the gust squared.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        part = rate / spare
        return np.where(rate > 0.0, np.maximum(since + 1.0 / part, 0.0), np.where(spare < 0.0, 0.0, np.inf))


def _least_met(spare: Array, rate: Array, since: float) -> float:
    """The least of `met`, to the last digit, in a third of the time."""
    if spare.min(initial=0.0) < 0.0:
        return float(met(spare, rate, since).min(initial=np.inf))
    with np.errstate(divide="ignore", invalid="ignore"):
        part = float(np.fmax.reduce(rate / spare, axis=None, initial=0.0))  # passes over what is neither
    return since + 1.0 / part if part > 0.0 else math.inf
