"""Which wall first: one crew, the time until people must be out, and what is on hand.

Most walls within come first, then the fewest minutes. The crew goes from wall to wall in the order in which they have
to be left. No work goes on past the time at which the first wall that stands as it did has to be cleared.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from enum import StrEnum
from math import inf
from typing import TypedDict

from attrs import field, frozen

from bracing.chain.evaluate import Limits
from bracing.choosing import lowest, sorted_by, whole_down, whole_up
from bracing.codes.gusts import clear_zone, people_may_stay
from bracing.layout.on_hand import OnHand
from bracing.said import Said, Verdict
from bracing.storm.answer import LayDown, StormResult, begins, lay_down
from bracing.storm.clock import Clock
from bracing.storm.ladder import limits_in
from bracing.units import INCHES_PER_FOOT, Inch
from bracing.work.parts import Part, Parts

MOST_EXACT = 16  # so many walls are tried in every way there is
PAIR = 2
MINUTE = timedelta(minutes=1)

TurnJson = TypedDict("TurnJson", {
    "wall": str, "file": str, "start": str, "done": str, "minutes": int, "limit_gust_mph": int,
    "limit_gust_after_mph": int, "clear_out_gust_after_mph": int,
})  # fmt: skip
LeftJson = TypedDict("LeftJson", {
    "wall": str, "file": str, "why": str, "lacks": list[Said | str], "minutes": int | None, "out_by": str | None,
    "lay_down_before": str | None, "zone_ft": int,
})  # fmt: skip
FirstJson = TypedDict("FirstJson", {
    "people": int, "pairs": int, "until": str | None, "out_by": str | None,
    "minutes": int, "proved_most": bool, "first": list[TurnJson],
    "left": list[LeftJson], "within": list[str], "unknown": list[str], "take": dict[Part, int],
    "not_counted": list[Said | str], "assumed": list[Said],
})  # fmt: skip


class LeftBecause(StrEnum):
    """Why a wall that is over is not among those to do first."""

    TIME = "no time"
    ON_HAND = "not on hand"
    NO_WORK = "no work covers it"
    OUT_NOW = "people out now"
    ENGINEER = "engineer"


@frozen
class Task:
    """One wall to do, as the choice sees it.

    Attributes:
        minutes: for the crew.
        by: minutes from now until people are out of its zone as it stands; infinite where never.
        after: the same once it is done.
        takes: of each thing that is counted, how many.
    """

    minutes: int
    by: float = inf
    after: float = inf
    takes: tuple[int, ...] = ()


@frozen
class Crew:
    """What bounds the choice.

    Attributes:
        until: minutes from now to which anybody may work.
        there: of each thing that is counted, how many there are.
        fits: whether what is not counted one by one reaches for some of the tasks; by their places.
    """

    until: float = inf
    there: tuple[int, ...] = ()
    fits: Callable[[tuple[int, ...]], bool] = lambda _: True


def in_time(tasks: Sequence[Task], chosen: Sequence[int], crew: Crew) -> bool:
    """Whether some tasks, one after another as they stand, are each done in time and all before people are out.

    Args:
        tasks: all there are.
        chosen: places of those to do, in order.
        crew: until when anybody may work.
    """
    at = 0
    for k in chosen:
        at += tasks[k].minutes
        if at > tasks[k].by:
            return False
    left = (task.by for k, task in enumerate(tasks) if k not in chosen)
    return not chosen or at <= min((crew.until, *left, *(tasks[k].after for k in chosen)))


def on_hand_for(tasks: Sequence[Task], chosen: Sequence[int], crew: Crew) -> bool:
    """Whether what is on hand reaches for some tasks.

    Args:
        tasks: all there are.
        chosen: places of those to do.
        crew: what is on hand.
    """
    there = enumerate(crew.there)
    return all(sum(tasks[k].takes[i] for k in chosen) <= most for i, most in there) and crew.fits(
        tuple(chosen)
    )


def first_of(tasks: Sequence[Task], crew: Crew) -> tuple[tuple[int, ...], bool]:
    """Choose which to do and in what order: most of them, then fewest minutes, then those that are left earliest.

    Args:
        tasks: all there are.
        crew: what bounds the choice.

    Returns:
        Places in the order they are done, and whether no other choice does more, or as many in fewer minutes.

    Example:
        >>> first_of((Task(60, by=60), Task(30, by=100), Task(40, by=100)), Crew(until=100))
        ((0, 1), True)
    """
    order = sorted(range(len(tasks)), key=lambda k: (tasks[k].by, tasks[k].minutes, k))
    if len(order) > MOST_EXACT:
        return _earliest_first(tasks, order, crew), False
    best: tuple[int, ...] = ()
    worth = (0, 0)
    for mask in range(1, 1 << len(order)):
        if mask.bit_count() < -worth[0]:
            continue
        chosen = tuple(k for i, k in enumerate(order) if mask >> i & 1)
        found = (-len(chosen), sum(tasks[k].minutes for k in chosen))
        if found < worth and in_time(tasks, chosen, crew) and on_hand_for(tasks, chosen, crew):
            best, worth = chosen, found
    return best, True


def _earliest_first(tasks: Sequence[Task], order: Sequence[int], crew: Crew) -> tuple[int, ...]:
    """Take them in the order they have to be left; where one is too many, drop the longest."""
    chosen: list[int] = []
    for k in order:
        chosen.append(k)
        late = sum(tasks[j].minutes for j in chosen) > min(tasks[k].by, crew.until)
        if late or not on_hand_for(tasks, chosen, crew):
            chosen.remove(lowest(chosen, lambda j: -tasks[j].minutes))
    while chosen and not in_time(tasks, chosen, crew):
        chosen.remove(lowest(chosen, lambda j: -tasks[j].minutes))
    return tuple(chosen)


# -- walls -------------------------------------------------------------------------------------------------


@frozen(eq=False)
class Turn:
    """One wall to do, and when.

    Attributes:
        result: the wall against the forecast.
        start: when its work begins.
        done: when it is done.
        minutes: for the crew.
    """

    result: StormResult = field(repr=False)
    start: datetime
    done: datetime
    minutes: int


@frozen(eq=False)
class Left:
    """One wall that is over and is not done.

    Attributes:
        result: the wall against the forecast.
        why: why not.
        lacks: what there is none of, or too little.
        minutes: for the crew; None where nothing covers it.
        lay_down: until when it can be laid down; None where it cannot.
    """

    result: StormResult = field(repr=False)
    why: LeftBecause
    lacks: tuple[Said | str, ...] = ()
    minutes: int | None = None
    lay_down: LayDown | None = None

    @property
    def zone(self) -> Inch:
        """How far people keep from it [in]."""
        job = self.result.job
        return clear_zone(job.wall.highest, drop=job.floor.height_above_ground)


@frozen(eq=False)
class First:
    """What to do first.

    Attributes:
        people: how many there are.
        until: until when anybody may work; None where nothing bounds it.
        out_by: when everybody is out of all of it, what is done being done; None where nobody has to be.
        turns: the walls to do, in order.
        left: the walls that are over and are not done.
        within: names of walls that are within as they stand.
        unknown: walls that are over in nothing that is known, and within in nothing.
        proved: no other choice brings more walls within, or as many in fewer minutes.
        not_counted: what the work takes that nobody counted.
        assumed: what nobody said.
        clock: the clock of the place.
    """

    people: int
    until: datetime | None
    out_by: datetime | None
    turns: tuple[Turn, ...]
    left: tuple[Left, ...]
    within: tuple[str, ...]
    unknown: tuple[StormResult, ...]
    proved: bool
    not_counted: tuple[Part, ...]
    assumed: tuple[Said, ...]
    clock: Clock

    @property
    def parts(self) -> Parts:
        """What the walls to do take together."""
        return sum((turn.result.ladder.parts for turn in self.turns if turn.result.ladder), Parts())

    @property
    def minutes(self) -> int:
        """For all of it."""
        return sum(turn.minutes for turn in self.turns)

    def to_dict(self) -> FirstJson:
        """Give it as JSON."""
        return {
            "people": self.people,
            "pairs": self.people // PAIR,
            "until": self._time(self.until),
            "out_by": self._time(self.out_by),
            "minutes": self.minutes,
            "proved_most": self.proved,
            "first": [self._turn(turn) for turn in self.turns],
            "left": [self._left(left) for left in self.left],
            "within": list(self.within),
            "unknown": [result.job.wall.name for result in self.unknown],
            "take": self.parts,
            "not_counted": list(self.not_counted),
            "assumed": list(self.assumed),
        }

    def _time(self, moment: datetime | None) -> str | None:
        return None if moment is None else self.clock.local(moment).isoformat()

    def _turn(self, turn: Turn) -> TurnJson:
        after = last_limits(turn.result)
        return {
            "wall": turn.result.job.wall.name, "file": turn.result.job.file, "start": self._time(turn.start) or "",
            "done": self._time(turn.done) or "", "minutes": turn.minutes,
            "limit_gust_mph": turn.result.check.limit_whole or 0, "limit_gust_after_mph": whole_down(after.limit),
            "clear_out_gust_after_mph": after.clear_out,
        }  # fmt: skip

    def _left(self, left: Left) -> LeftJson:
        down = left.lay_down
        return {
            "wall": left.result.job.wall.name, "file": left.result.job.file, "why": left.why,
            "lacks": list(left.lacks), "minutes": left.minutes, "out_by": self._time(left.result.out_by),
            "lay_down_before": None if down is None else self._time(down.before),
            "zone_ft": whole_up(left.zone / INCHES_PER_FOOT),
        }  # fmt: skip


def last_limits(result: StormResult) -> Limits:
    """Give the limit gusts of a wall once all of its work is done, in the worst hour's wind.

    Args:
        result: the wall, with work that covers it.
    """
    return result.ladder.steps[-1].limits if result.ladder is not None else Limits(0.0, 0.0)


def out_by_then(result: StormResult, limits: Limits) -> datetime | None:
    """Give when everybody is out of a wall's zone with other limits than it has; None where they never are.

    Args:
        result: the wall against the forecast.
        limits: in the worst hour's wind.
    """
    rows = result.forecast.hours
    found = {
        flag: limits_in(result.job, limits, worst=result.worst.thunderstorm, hour=flag)
        for flag in (True, False)
    }
    out = (
        k for k, row in enumerate(rows) if not people_may_stay(found[row.thunderstorm].clear_out, row.gust)
    )
    first = next(out, None)
    if first is None:
        return None
    return max(max(begins(rows, first), result.clock.now) - result.lead, result.clock.now)


def what_first(
    results: Sequence[StormResult], clock: Clock, *, people: int, hours: float | None = None,
    on_hand: OnHand | None = None, assumed: tuple[Said, ...] = (),
) -> First:  # fmt: skip
    """Choose which walls to do first.

    Args:
        results: the walls against the forecast.
        clock: the clock of the place.
        people: how many there are; they work in pairs, all on one wall.
        hours: how long they have; None where only the forecast bounds it.
        on_hand: what is on hand, and nothing else; None where nobody counted.
        assumed: what nobody said.
    """
    pairs = max(people // PAIR, 1)
    up = [result for result in results if result.job.wall.up]
    over = [result for result in up if result.first_over is not None or result.check.beyond]
    left = [found for result in over if (found := _cannot(result)) is not None]
    cannot = {id(one.result) for one in left}
    work = [result for result in over if id(result) not in cannot]
    minutes = {
        id(result): whole_up(result.ladder.minutes / pairs) for result in work if result.ladder is not None
    }
    stock = _Stock(on_hand)
    for result in list(work):
        lacks = stock.lacks((result,))
        if lacks:
            left.append(_left(result, LeftBecause.ON_HAND, lacks, minutes[id(result)]))
            work.remove(result)
    bounds = [_minutes(result.out_by, clock) for result in up if result not in work and not result.out_now]
    until = min([inf if hours is None else hours * 60.0, *bounds])
    tasks = [
        Task(
            minutes[id(result)], _minutes(result.out_by, clock),
            _minutes(out_by_then(result, last_limits(result)), clock), stock.takes(result),
        )
        for result in work
    ]  # fmt: skip
    fits = Crew(until, stock.there, lambda chosen: stock.lumber_for([work[k] for k in chosen]))
    chosen, proved = first_of(tasks, fits)
    turns, at = [], clock.now
    for k in chosen:
        done = at + MINUTE * tasks[k].minutes
        turns.append(Turn(work[k], at, done, tasks[k].minutes))
        at = done
    done_walls = [turn.result for turn in turns]
    for k, result in enumerate(work):
        if k not in chosen:
            alone = in_time([tasks[k]], (0,), fits)
            with_rest = stock.lacks((*done_walls, result)) if alone else ()
            why = LeftBecause.ON_HAND if with_rest else LeftBecause.TIME
            left.append(_left(result, why, with_rest, tasks[k].minutes))
    then = [tasks[k].after if k in chosen else task.by for k, task in enumerate(tasks)]
    out = min([inf, *bounds, *then])
    return First(
        people, _after(min(out, until), clock), _after(out, clock), tuple(turns),
        tuple(sorted_by(left, lambda one: _minutes(one.result.out_by, clock))),
        tuple(result.job.wall.name for result in up if result.verdict == Verdict.WITHIN),
        tuple(result for result in up if result.verdict == Verdict.UNKNOWN), proved,
        tuple(stock.not_counted(done_walls)), assumed, clock,
    )  # fmt: skip


def _after(minutes: float, clock: Clock) -> datetime | None:
    return None if minutes == inf else clock.now + MINUTE * whole_down(minutes)


def _minutes(moment: datetime | None, clock: Clock) -> float:
    return inf if moment is None else max((moment - clock.now) / MINUTE, 0.0)


def _cannot(result: StormResult) -> Left | None:
    """The wall among those no crew can do in any time; None where there is work that covers it."""
    if result.check.beyond:
        return Left(result, LeftBecause.ENGINEER)
    if result.ladder is None or not result.ladder.covers:
        return Left(result, LeftBecause.NO_WORK, lay_down=result.lay_down)
    if result.out_now:
        return _left(result, LeftBecause.OUT_NOW, (), None)
    return None


def _left(result: StormResult, why: LeftBecause, lacks: tuple[Said | str, ...], minutes: int | None) -> Left:
    down = None
    if result.out_by is not None:
        down = lay_down(
            result.job, result.forecast, out_by=result.out_by, now=result.clock.now, lead=result.lead
        )
    return Left(result, why, lacks, minutes, down)


# -- what is on hand -----------------------------------------------------------------------------------------


@frozen(eq=False)
class _Stock:
    """What is on hand: fasteners by their names, sticks by their sizes; what is not named is not there."""

    on_hand: OnHand | None

    @property
    def there(self) -> tuple[int, ...]:
        return () if self.on_hand is None else tuple(count for _, count in self.on_hand.fasteners)

    def takes(self, result: StormResult) -> tuple[int, ...]:
        if self.on_hand is None or result.ladder is None:
            return ()
        return self.on_hand.taken(result.ladder.parts, result.job)

    def lacks(self, results: Sequence[StormResult]) -> tuple[Said | str, ...]:
        """What some walls take together of which there is none, or too little."""
        if self.on_hand is None:
            return ()
        found: list[Said | str] = []
        for result in results:
            if result.ladder is not None:
                found += [
                    each
                    for each in self.on_hand.unnamed(result.ladder.parts, result.job)
                    if each not in found
                ]
        taken = [self.takes(result) for result in results]
        for i, (name, count) in enumerate(self.on_hand.fasteners):
            if sum(each[i] for each in taken) > count:
                found.append(Said("more-than-so-many", count=count, what=name))
        short = () if self.lumber_for(results) else self._sizes(results)
        return (*found, *(Said("sticks-of", size=size) for size in short))

    def _sizes(self, results: Sequence[StormResult]) -> tuple[str, ...]:
        pieces = self._pieces(results)
        return tuple(size for size in sorted(pieces) if not self._cut(size, pieces[size]))

    def lumber_for(self, results: Sequence[StormResult]) -> bool:
        """Whether the sticks that are named can be cut into all pieces; where none is named, nobody counted them."""
        if self.on_hand is None or not self.on_hand.stock:
            return True
        return not self._sizes(results)

    def _pieces(self, results: Sequence[StormResult]) -> dict[str, list[Inch]]:
        found: dict[str, list[Inch]] = {}
        for result in results:
            for part, count in (result.ladder.parts if result.ladder is not None else Counter()).items():
                cut = lumber_of(part)
                if cut is not None:
                    found.setdefault(cut[0], []).extend([cut[1]] * count)
        return found

    def _cut(self, size: str, pieces: list[Inch]) -> bool:
        """Whether pieces come out of the sticks of a size, the longest first, each from the shortest that has it."""
        stock = () if self.on_hand is None else self.on_hand.stock
        sticks = [
            each.length
            for each in stock
            if each.size == size
            for _ in range(min(each.count or 0, len(pieces)))
        ]
        for piece in sorted(pieces, reverse=True):
            fitting = [k for k, stick in enumerate(sticks) if stick >= piece]
            if not fitting:
                return False
            sticks[lowest(fitting, lambda k: sticks[k])] -= piece
        return True

    def not_counted(self, results: Sequence[StormResult]) -> list[Part]:
        """What the walls to do take that nobody counted: straps, and lumber where no stick is named."""
        if self.on_hand is None:
            return []
        parts = sum((result.ladder.parts for result in results if result.ladder is not None), Parts())
        lumber = bool(self.on_hand.stock)
        return [part for part in parts if isinstance(part, Said) and not (lumber and lumber_of(part))]


def lumber_of(part: Part) -> tuple[str, Inch] | None:
    """Give size and length of a part that is cut from a stick; None of any other.

    Args:
        part: a stick, a cleat or a block, or something else.
    """
    if not isinstance(part, Said) or part.id not in ("stick-of", "cleat-of", "block-of"):
        return None
    values = dict(part.values)
    return str(values["size"]), float(getattr(values["length"], "value", 0.0))
