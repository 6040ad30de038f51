"""Pulls of a fastener with a hanging scale and a lever, as a person wrote them down: no strength yet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from attrs import frozen

from bracing.errors import CODE, Fault, InputError, shown
from bracing.job.fields import Low, declared
from bracing.units import Inch, Pound

JOIST, DECK, STUD, PLATE = BOARDS = ("joist", "deck", "stud", "plate")
DRAWN, STOPPED, HEAD, SPLIT, STEEL = ENDS = ("drawn", "stopped", "head", "split", "steel")
NO_WOOD = ("concrete", "slab", "block", "brick", "masonry", "steel")
MOST_TESTS, MOST_PULLS, MOST_BOARDS = 20, 100, 100
STRONGEST: Pound = 20000.0  # of one pull: no fastener of the tables is pulled harder


@frozen(cache_hash=True)
class Lever:
    """A bar that lies on a fulcrum at one end and is lifted by the scale at the other.

    Attributes:
        scale: from the fulcrum to the scale [in].
        fastener: from the fulcrum to the fastener [in].
        weight: of the bar, which the scale lifts too [lb].
        weight_at: from the fulcrum to where the bar balances by itself [in].
    """

    scale: Inch = declared("length", "from the fulcrum to the scale", least=1.0, most=240.0)
    fastener: Inch = declared("length", "from the fulcrum to the fastener", least=0.5, most=240.0)
    weight: Pound = declared("force", "of the bar", least=0.0, most=500.0)
    weight_at: Inch = declared("length", "from the fulcrum to where the bar balances", least=0.0, most=240.0)


@frozen(cache_hash=True)
class LeftOut:
    """A pull that does not count.

    Attributes:
        pull: which, from 1.
        why: why not.
    """

    pull: int = declared("count", "which pull, from 1", least=1, most=MOST_PULLS)
    why: str = declared("name", "why it does not count")


def _pulled(job: Any) -> bool:  # noqa: ANN401  (a job, which holds this)
    return bool(job.pull_tests)


@frozen(cache_hash=True)
class PullTest:
    """Pulls of one fastener out of one kind of board.

    Attributes:
        name: what it is called.
        fastener: what was pulled.
        into: the board its point was in: joist, deck, stud or plate.
        peaks: the most the scale showed at each pull [lb].
        boards: which board each was in, from 1.
        ends: how each ended: drawn out, stopped before, head through, split, or steel broken.
        division: the least the scale shows [lb].
        lever: the lever; None where the scale pulled straight.
        depth: how much of its length that holds was in the board; None where it was driven as in its joint [in].
        driven: moisture of the wood when it was driven; None where it was not measured.
        pulled: moisture of the wood when it was pulled; None where it was not measured.
        left_out: pulls that do not count.
    """

    name: str = declared("name", "what the test is called")
    fastener: str = declared("fastener", "what was pulled")
    into: str = declared("name", "joist | deck | stud | plate: the board its point was in")
    peaks: tuple[Pound, ...] = declared(
        "forces", "the most the scale showed, each pull", least=0.1, most=5000.0
    )
    boards: tuple[int, ...] = declared(
        "counts", "which board each was in: 1, 2, ..", least=1, most=MOST_BOARDS
    )
    ends: tuple[str, ...] = declared("names", "how each ended: drawn | stopped | head | split | steel")
    division: Pound = declared("force", "the least step of the scale", least=0.01, most=100.0)
    lever: Lever | None = declared("part", "the lever; none where the scale pulled straight", default=None)
    depth: Inch | None = declared(
        "length", "how much of its thread, or of a nail, was in the board; undeclared: as in the joint", default=None,
        least=0.1, most=24.0,
    )  # fmt: skip
    driven: float | None = declared(
        "share", 'moisture of the wood when driven, such as "24%"', default=None, least=0.02, most=2.5,
        low=Low("what loses most when the wood dries or gets wet", 0.24, _pulled),
    )  # fmt: skip
    pulled: float | None = declared(
        "share", 'moisture of the wood when pulled, such as "24%"', default=None, least=0.02, most=2.5,
        low=Low("what loses most when the wood dries or gets wet", 0.24, _pulled),
    )  # fmt: skip
    left_out: tuple[LeftOut, ...] = declared(
        "parts", "pulls above the mean that do not count", default=(), most=MOST_PULLS
    )

    def __attrs_post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise InputError(
                Fault(CODE, f"PullTest.{key}", shown(got), wanted) for key, got, wanted in faults
            )

    @property
    def counted(self) -> tuple[int, ...]:
        """Which pulls count, from 0."""
        out = {one.pull - 1 for one in self.left_out}
        return tuple(k for k in range(len(self.peaks)) if k not in out)

    def pull(self, k: int) -> Pound:
        """Give what one pull took of the fastener, the scale's last step not counted [lb].

        Args:
            k: which, from 0.
        """
        lever = self.lever
        if lever is None:
            return self.peaks[k] - self.division
        return (
            (self.peaks[k] - self.division) * lever.scale - lever.weight * lever.weight_at
        ) / lever.fastener


Found = tuple[str, object, str]


def _faults(test: PullTest) -> Iterator[Found]:
    yield from (("into", test.into, wanted) for wanted in board_expected(test.into))
    many = len(test.peaks)
    for key in ("boards", "ends"):
        listed = getattr(test, key)
        if len(listed) != many:
            yield key, f"{len(listed)} of them", f"as many as peaks, {many}"
    for k, end in enumerate(test.ends):
        if end not in ENDS:
            yield f"ends[{k}]", end, f"one of: {', '.join(ENDS)}"
    low = [k for k in range(many) if test.pull(k) <= 0.0]
    for k in low:
        less = "its last step" if test.lever is None else "its last step and what it takes to lift the bar"
        yield f"peaks[{k}]", f"{test.peaks[k]:g} lb", f"more than {less}: nothing of it was the fastener's"
    for k in range(many):
        if test.pull(k) > STRONGEST:
            yield f"peaks[{k}]", f"{test.pull(k):.0f} lb on the fastener", f"at most {STRONGEST:.0f} lb on it"
    yield from _left_out(test) if not low else ()


def board_expected(into: str) -> Iterator[str]:
    """Say what is expected instead of a board nothing is pulled out of; nothing of one of BOARDS.

    Args:
        into: as written.

    Example:
        >>> list(board_expected("deck")), list(board_expected("air"))
        ([], ['one of: joist, deck, stud, plate'])
    """
    if into.lower() in NO_WOOD:
        yield f"wood, {', '.join(BOARDS)}: an anchor in {into} needs its report, see floor.slab"
    elif into not in BOARDS:
        yield f"one of: {', '.join(BOARDS)}"


def _left_out(test: PullTest) -> Iterator[Found]:
    many, seen = len(test.peaks), set()
    mean = sum(map(test.pull, range(many))) / many
    for i, one in enumerate(test.left_out):
        where = f"left_out[{i}].pull"
        if one.pull > many:
            yield where, one.pull, f"one of the pulls, 1 to {many}"
        elif one.pull in seen:
            yield where, one.pull, "a pull that is left out once"
        elif test.pull(one.pull - 1) <= mean:
            yield where, one.pull, f"a pull above their mean, {mean:.0f} lb: one below it always counts"
        seen.add(one.pull)
    if len(seen) >= many:
        yield "left_out", f"all {many}", "a pull that counts"


def names_twice(tests: tuple[PullTest | None, ...]) -> Iterator[tuple[int, str]]:
    """Give the tests of a name that an earlier one has: which, and its name.

    Args:
        tests: the tests; None of one that was refused.
    """
    seen: set[str] = set()
    for i, test in enumerate(tests):
        if test is not None and test.name in seen:
            yield i, test.name
        seen.add("" if test is None else test.name)
