"""What a crew has in the truck: its best layout is the one of the highest limit gust that takes no more."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress

from attrs import evolve, frozen

from bracing.chain.ties import TIE_SIZE
from bracing.errors import InputError, MissingDataError, NoLayoutError
from bracing.job.brace import Stock
from bracing.job.fasteners import Fastener, fastener
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.layout.changes import Redeclared
from bracing.layout.nearest import (
    HIGHEST,
    LOWEST,
    QUICK,
    ChangeSearch,
    NearestLayout,
    WouldDo,
    halved,
    lowest_tried,
)
from bracing.layout.plan import LayoutAsked, LayoutResult, lay_out
from bracing.said import Said
from bracing.units import INCHES_PER_FOOT, Inch, Mph
from bracing.work.parts import (
    UNSPARED,
    Item,
    Parts,
    cutting_plan,
    enough_sticks,
    fasteners_needed,
    spared,
    stick,
    stock_length,
    tie_lengths,
    tie_sticks,
)

LOWER = (0.7, 0.4, 0.0)  # of the gust asked: where nothing is to be fetched for it, for a lower one; guessed
EXPECTED = 'what is in the truck, such as "12 2x4x16, 200 screws"'
_PART = re.compile(r"([0-9]{1,5})\s*(?:x\s|of\s)?\s*(.+)")
BOX = 50  # fasteners in a box nobody counted: judgement
_BOX = re.compile(
    r"([0-9]{1,4})\s*box(?:es)?\s+(?:of\s+)?(?:([0-9]{1,5})\s*(?:ct\.?|count|pcs?\.?)?\s+(?:of\s+)?)?(.+)",
    re.IGNORECASE,
)
_STICK = re.compile(r"([0-9]+\s*x\s*[0-9]+)\s*(?:x|@|\s)\s*([0-9]+(?:\.[0-9]+)?)\s*(?:ft|')?")
# What crews call a kind of fastener, and the kinds in the table it stands for.
_CALLED = {"screw": ("structural screw", "wood screw"), "nail": ("nail",), "lag": ("lag",)}


@frozen
class OnHand:
    """What is in the truck.

    Attributes:
        stock: sticks, counted.
        fasteners: how many of each, by name or by what crews call the kind.
        boxes: names of those said by the box, without how many are in one.
    """

    stock: tuple[Stock, ...]
    fasteners: tuple[tuple[str, int], ...]
    boxes: tuple[str, ...] = ()

    def reaches(self, job: Job) -> bool:
        """Whether it is enough for a layout: what it does not name is not there.

        Args:
            job: the job with its braces.
        """
        return next(self.lacks(job), None) is None

    def lacks(self, job: Job) -> Iterator[Said | str]:
        """Say what a layout takes of which there is none or too little; anchors and stakes are bought for it.

        Sticks that the wall file says are on hand are there too, where none are named.

        Args:
            job: the job with its braces.
        """
        for size in sorted({piece.size for piece in cutting_plan(job).missing}):
            yield Said("sticks-of", size=size)
        if not self._ties_too(job):
            yield Said("sticks-of-tie-rows", size=TIE_SIZE)
        needs = {name: count for name, count in fasteners_needed(job).items() if name not in UNSPARED}
        yield from (each for each in needs if not any(_is(each, name, job) for name, _ in self.fasteners))
        for name, count in self.fasteners:
            if sum(number for each, number in needs.items() if _is(each, name, job)) > count:
                yield Said("more-than-so-many", count=count, what=name)

    def unnamed(self, parts: Parts, job: Job) -> list[str]:
        """Give the fasteners among some parts of which none is here: what is not named is not there.

        Args:
            parts: what some work takes.
            job: the wall it is done to.
        """
        names = [part for part in parts if isinstance(part, str) and part not in UNSPARED]
        return [each for each in names if not any(_is(each, name, job) for name, _ in self.fasteners)]

    def taken(self, parts: Parts, job: Job) -> tuple[int, ...]:
        """Count what some work takes of each fastener that is here, in their order.

        Args:
            parts: what the work takes.
            job: the wall it is done to.
        """
        return tuple(
            sum(count for part, count in parts.items() if isinstance(part, str) and _is(part, name, job))
            for name, _ in self.fasteners
        )

    def not_named(self, result: LayoutResult) -> tuple[Said | str, ...]:
        """Say what a layout takes that is neither here nor lumber for braces, cleats and ties: it must be bought.

        Args:
            result: the layout.
        """
        there = {stick.name for stick in result.cutting.sticks} | set(
            tie_sticks(result.job, result.job.tie_rows)
        )
        return tuple(
            item.said for item in result.buy
            if item.what not in there
            and not (isinstance(item.what, str) and any(_is(item.what, name, result.job) for name, _ in self.fasteners))
        )  # fmt: skip

    def of_no_use(self, result: LayoutResult) -> tuple[str, ...]:
        """Give what is named here and a layout takes none of, as it was named.

        Args:
            result: the layout.
        """
        used = {(stick.size, stick.length) for stick in result.cutting.sticks}
        ties = {TIE_SIZE} if result.job.tie_rows else set()
        idle = [
            f"{stock.size} {stock.length / INCHES_PER_FOOT:g} ft"
            for stock in self.stock
            if (stock.size, stock.length) not in used and stock.size not in ties
        ]
        taken = [item.what for item in result.buy if isinstance(item.what, str)]
        names = [name for name, _ in self.fasteners if not any(_is(each, name, result.job) for each in taken)]
        return (*idle, *map(_many, names))

    def _ties_too(self, job: Job) -> bool:
        """Tie rows come from what is left of the sticks of their size."""
        rows, stock = job.tie_rows, self.stock or job.kit.stock
        mine = [each for each in stock if each.size == TIE_SIZE]
        if not rows or any(each.count is None for each in mine):
            return True
        used = [stick for stick in cutting_plan(job).sticks if stick.size == TIE_SIZE]
        whole = sum(stock.length * (stock.count or 0) for stock in mine) - sum(stick.length for stick in used)
        return whole + sum(stick.left for stick in used) >= rows * sum(tie_lengths(job))


def _is(each: str, called: str, job: Job) -> bool:
    if each == called:
        return True
    return called in _CALLED and fastener(each, job.fasteners).kind in _CALLED[called]


def read_on_hand(text: str, own: tuple[Fastener, ...] = ()) -> OnHand:
    """Read what is in the truck.

    Args:
        text: as typed, such as "12 2x4x16, 200 screws".
        own: the user's own fasteners.

    Raises:
        InputError: a part of it that is none.

    Example:
        >>> read_on_hand("12 2x4x16, 200 screws").fasteners
        (('screw', 200),)
        >>> read_on_hand("1 box 0.22x3, 2 boxes of 100 16d common").fasteners
        (('structural screw 0.22x3', 50), ('16d common', 200))
    """
    stock: list[Stock] = []
    fasteners: list[tuple[str, int]] = []
    boxes: list[str] = []
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        box = _BOX.fullmatch(part)
        if box is not None:
            name = _named(box[3].strip(), part, own)
            fasteners.append((name, int(box[1]) * int(box[2] or BOX)))
            boxes += [] if box[2] else [name]
            continue
        match = _PART.fullmatch(part)
        if match is None:
            raise InputError.of("--on-hand", part, EXPECTED)  # noqa: EM101
        count, what = int(match[1]), match[2].strip()
        stick = _STICK.fullmatch(what)
        if stick is not None:
            stock.append(Stock(size=_size(stick[1], part), length=float(stick[2]) * 12.0, count=count))
        else:
            fasteners.append((_named(what, part, own), count))
    if not stock and not fasteners:
        raise InputError.of("--on-hand", text or "nothing", EXPECTED)  # noqa: EM101
    return OnHand(tuple(stock), tuple(fasteners), tuple(boxes))


def _size(text: str, part: str) -> str:
    size = text.replace(" ", "")
    try:
        section(size)
    except MissingDataError:
        raise InputError.of("--on-hand", part, "a nominal size, such as 2x4x16") from None  # noqa: EM101
    return size


def _named(what: str, part: str, own: tuple[Fastener, ...]) -> str:
    if what.lower().rstrip("s") in _CALLED:
        return what.lower().rstrip("s")
    for name in (what, what.rstrip("s"), f"structural screw {what}"):
        with suppress(MissingDataError):
            fastener(name, own)
            return name
    raise InputError.of("--on-hand", part, "screws, nails, lags, or a fastener by its name")  # noqa: EM101


def best_on_hand(
    job: Job, on_hand: OnHand, *, asked: LayoutAsked, thunderstorm: bool = False, budget: float = 1.0,
    progress: Callable[[Said], None] = lambda _: None,
) -> LayoutResult:  # fmt: skip
    """Give the layout of the highest limit gust found with what is on hand.

    Args:
        job: the job.
        on_hand: what is in the truck.
        asked: what is asked beside.
        thunderstorm: the forecast says thunderstorms.
        budget: time for each gust [s].
        progress: told what is being done.

    Raises:
        NoLayoutError: it reaches for none, at any gust; or the wall is for an engineer.
    """
    if not on_hand.stock and not job.kit.stock:
        where, expected = "--on-hand", "the sticks too, such as 10 2x6x12: what is not named is not there"
        raise InputError.of(where, "no sticks", expected)
    job, wanted = with_sticks(job, on_hand), evolve(asked, on_hand=on_hand.reaches, others=False)
    best, stopped = halved(
        lambda gust: lay_out(job, gust=gust, thunderstorm=thunderstorm, budget=budget, asked=wanted),
        between=(lowest_tried(thunderstorm=thunderstorm), HIGHEST + 1), progress=progress,
    )  # fmt: skip
    if best is None:
        lacks = _lacks(job, on_hand, evolve(asked, others=False), budget)
        why = Said("on-hand-lacks", lacks=lacks) if lacks else Said("on-hand-too-little", stopped=stopped)
        raise NoLayoutError(why, HIGHEST - LOWEST)
    return best


def _lacks(job: Job, on_hand: OnHand, asked: LayoutAsked, budget: float) -> tuple[Said | str, ...]:
    """Fasteners nobody named that a layout of the lowest gust takes, found as if all were there."""
    with suppress(NoLayoutError):
        found = lay_out(job, gust=LOWEST, budget=budget, asked=asked).job
        return tuple(each for each in on_hand.lacks(found) if isinstance(each, str))
    return ()


def with_sticks(job: Job, on_hand: OnHand) -> Job:
    """Give the job with the sticks that are on hand, where any are named.

    Args:
        job: the job.
        on_hand: what is in the truck.
    """
    return evolve(job, kit=evolve(job.kit, stock=on_hand.stock)) if on_hand.stock else job


def nearest_on_hand(
    search: ChangeSearch, on_hand: OnHand, found: LayoutResult | NoLayoutError, *, gust: Mph | None
) -> NearestLayout:
    """Say how far what is on hand goes where it does not go far enough, and what to fetch so that it does.

    Args:
        search: what is asked.
        on_hand: what is in the truck.
        found: the best with it, or why there is none.
        gust: the gust asked; None where the best was asked for, and any is fetched for [mph].
    """
    low = lowest_tried(thunderstorm=search.thunderstorm) + 1
    gusts = sorted({search.gust, *(float(max(low, int(search.gust * part))) for part in LOWER)}, reverse=True)
    fetch = next((one for at in gusts if (one := _to_fetch(search, on_hand, at)) is not None), None)
    would = () if fetch is None else (fetch,)
    if isinstance(found, NoLayoutError):
        return NearestLayout(
            search.job, gust, found.why, found.trials, would_do=would, thunderstorm=search.thunderstorm
        )
    why = Said("on-hand-goes-no-farther")
    return NearestLayout(
        search.job, gust, why, found.grid.spots, found, would, thunderstorm=search.thunderstorm
    )


def _to_fetch(search: ChangeSearch, on_hand: OnHand, gust: Mph) -> WouldDo | None:
    """What to fetch so that a layout of a gust stands: more of the sticks that are there, else any usual ones."""

    def lay(job: Job, reaches: Callable[[Job], bool]) -> LayoutResult:
        asked = evolve(search.asked, on_hand=reaches, others=False)
        budget = min(QUICK, search.budget)
        return lay_out(job, gust=gust, thunderstorm=search.thunderstorm, budget=budget, asked=asked)

    sticks = with_sticks(search.job, on_hand).kit.stock
    for stock in (tuple({evolve(each, count=None): None for each in sticks}), ()):
        with suppress(NoLayoutError):
            free = evolve(search.job, kit=evolve(search.job.kit, stock=stock))
            more, then = _beside(on_hand, lay(free, enough_sticks))
            job = with_sticks(search.job, then)
            found = lay(job, then.reaches)
            change = Redeclared((Said("change-fetch", what=more),), {"--on-hand": _typed(then)}, job)
            return WouldDo(change, gust, len(found.job.braces), found.result.limit_whole, search.gust)
    return None


def _beside(on_hand: OnHand, found: LayoutResult) -> tuple[tuple[object, ...], OnHand]:
    """What a layout takes more than there is, as it is said, and all there is with it."""
    job = found.job
    needs: Counter[tuple[str, Inch]] = Counter((each.size, each.length) for each in found.cutting.sticks)
    needs.update((piece.size, stock_length(piece.length)) for piece in found.cutting.missing)
    needs.update([(TIE_SIZE, stock_length(length)) for length in tie_lengths(job)] * job.tie_rows)
    sticks = {(each.size, each.length): each.count or 0 for each in on_hand.stock}
    more = [
        Item(stick(*which), count - sticks.get(which, 0)).said
        for which, count in sorted(needs.items())
        if count > sticks.get(which, 0)
    ]
    stock = tuple(
        Stock(size=which[0], length=which[1], count=max(needs[which], sticks.get(which, 0)))
        for which in {**sticks, **needs}
    )
    takes = {name: spared(name, n) for name, n in fasteners_needed(job).items() if name not in UNSPARED}
    there: dict[str, int] = {}
    for name, count in on_hand.fasteners:
        mine = {each: takes.pop(each) for each in [*takes] if _is(each, name, job)}
        there[name] = max(count, sum(mine.values()))
        if mine and there[name] > count:
            more.append(Item(next(iter(mine)), there[name] - count, own=job.fasteners).said)
    more += [Item(name, count, own=job.fasteners).said for name, count in takes.items()]
    return tuple(more), OnHand(stock, (*there.items(), *takes.items()))


def _typed(on_hand: OnHand) -> str:
    """What is on hand, as it is typed."""
    sticks = [f"{each.count} {each.size}x{each.length / INCHES_PER_FOOT:g}" for each in on_hand.stock]
    return ", ".join([*sticks, *(f"{count} {_many(name)}" for name, count in on_hand.fasteners)])


def _many(name: str) -> str:
    return f"{name}s" if name in _CALLED else name
