"""A brace, its stock and joints, and its plain geometry.

The angle is always from the floor: tan(angle) = head height / set-back.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from typing import Any

from attrs import frozen

from bracing.job.fields import Look, Low, Option, declared
from bracing.job.floor import BLOCK, CROSS_CLEAT, GROUND, on_deck
from bracing.job.lumber import Section, section
from bracing.job.minutes import Minutes
from bracing.units import Inch, Radian, tape

MOST_IN_FLOOR = 60  # fasteners from the cleats of one brace into the floor
MOST_IN_BRACE = 40  # fasteners in one joint at an end of the stick
SAME_STUD: Inch = 1.5  # two taped nearer to one another than a stud is thick are on one
LEAST_REACH: Inch = 12.0  # from the floor up to the head, and from the wall out to the foot


# -- where a field plays a part in a job -----------------------------------------------------------------


def _lapped(job: Any) -> bool:  # noqa: ANN401  (the job, which is made of these)
    return bool(job.kit.head.joint == "lapped")


def _off_ground(job: Any) -> bool:  # noqa: ANN401
    return bool(job.floor.kind != GROUND)


@frozen
class Stock:
    """A stick on hand.

    Attributes:
        size: nominal size.
        length: its length [in].
        count: how many; None is as many as needed.
    """

    size: str = declared("size", "nominal size")
    length: Inch = declared("length", "length of the stick", least=24.0, most=480.0)
    count: int | None = declared("count", "how many on hand", default=None, least=0, most=10000)


@frozen
class Head:
    """How the brace meets the stud.

    Attributes:
        joint: lapped on the stud's side, or plumb cut against its edge.
        fastener: the fastener in the head joint.
        side_cleat: plumb head only: a declared cleat or angle beside it takes pull through the fasteners.
        bored: holes are bored for its fasteners, so that they may stand closer.
    """

    joint: str = declared(
        "word", "lapped | plumb", default="plumb", one_of=("lapped", "plumb"),
        low=Low("a plumb-cut head holds nothing in pull", "lapped"),
        option=Option("head_joint", "lapped on the stud's side, or plumb cut"), look=Look.HEADS,
    )  # fmt: skip
    fastener: str = declared(
        "fastener", "fastener of the head joint", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "structural screw 0.22x3"),
        option=Option("head_fastener", 'brace to stud, such as "structural screw 0.22x3"'), look=Look.HEADS,
    )  # fmt: skip
    side_cleat: bool = declared(
        "flag", "plumb head: a cleat or angle takes the pull", default=False, look=Look.HEADS
    )
    bored: bool = declared(
        "flag", "holes are bored for its fasteners", default=False,
        low=Low("driven straight in they must stand further apart", True, _lapped),  # noqa: FBT003
        look=Look.HEADS,
    )  # fmt: skip


@frozen
class Cleat:
    """The cleat the foot is fastened to.

    Attributes:
        size: nominal size.
        lie: flat, or on edge.
        sides: cleats at the foot; a brace between two does not roll.
        length: its length [in].
        brace_fastener: brace to cleat.
        floor_fastener: cleat to floor.
        bored: holes are bored for the fasteners from brace to cleat, so that they may stand closer.
    """

    size: str = declared(
        "size", "nominal size", default="2x4", low=Low("the usual cleat", "2x4"), look=Look.CLEATS
    )
    lie: str = declared(
        "word",
        "flat | edge",
        default="flat",
        one_of=("flat", "edge"),
        low=Low("the usual way; on edge must be said", "flat"),
        look=Look.CLEATS,
    )
    sides: int = declared(
        "count", "1, or 2 with the brace between", default=1, least=1, most=2,
        low=Low("a brace beside one cleat rolls it", 2), look=Look.CLEATS,
    )  # fmt: skip
    length: Inch = declared(
        "length",
        "along the cleat",
        default=24.0,
        least=6.0,
        most=192.0,
        low=Low("the shortest usual cleat", 36.0),
        look=Look.CLEATS,
    )
    brace_fastener: str = declared(
        "fastener", "brace to cleat", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "structural screw 0.22x3"), option=Option("cleat_fastener"),
        look=Look.CLEATS,
    )  # fmt: skip
    floor_fastener: str = declared(
        "fastener", "cleat to floor", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "structural screw 0.22x5"), option=Option("floor_fastener"),
        look=Look.CLEATS,
    )  # fmt: skip
    bored: bool = declared(
        "flag", "holes are bored for the fasteners from brace to cleat", default=False,
        low=Low("driven straight in they must stand further apart and from the cut", True, _off_ground),  # noqa: FBT003
        look=Look.CLEATS,
    )  # fmt: skip


@frozen
class CleatShape:
    """How the cleat lies.

    Attributes:
        thickness: through which its floor fasteners pass [in].
        bearing: from the floor fasteners to the edge it rolls about [in].
        offset: from the floor fasteners to the middle of the brace [in].
        rise: height of the brace-to-cleat joint above the floor [in].
        side: thickness of cleat behind the brace, for the brace-to-cleat fasteners [in].
    """

    thickness: Inch
    bearing: Inch
    offset: Inch
    rise: Inch
    side: Inch


def cleat_shape(cleat: Section, brace: Section, lie: str) -> CleatShape:
    """Give the distances of a cleat lying flat or on edge beside a brace.

    Args:
        cleat: section of the cleat.
        brace: section of the brace.
        lie: flat or edge.

    Example:
        >>> from bracing.job.lumber import section
        >>> cleat_shape(section("2x4"), section("2x6"), "flat").offset
        2.5
    """
    tall, wide = (cleat.width, cleat.thickness) if lie == "edge" else (cleat.thickness, cleat.width)
    return CleatShape(tall, wide / 2.0, wide / 2.0 + brace.thickness / 2.0, tall / 2.0, wide)


def _tied(job: Any) -> bool:  # noqa: ANN401  (the job, which is made of these)
    return any(brace.ties for brace in job.braces)


@frozen
class Tie:
    """How tie rows and their diagonals are fastened, and when they are on.

    Attributes:
        fastener: the fastener at every crossing and at both ends of a diagonal.
        at_each_brace: how many where a row crosses a brace.
        diagonal_fasteners: how many at each end of a diagonal.
        after: the brace after which rows and diagonals are on; the last unless given.
    """

    fastener: str = declared(
        "fastener", "where a tie row crosses a brace, and at both ends of its diagonals", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "16d common", _tied), look=Look.TIES,
    )  # fmt: skip
    at_each_brace: int = declared(
        "count", "where a tie row crosses a brace", default=1, least=1, most=MOST_IN_BRACE,
        low=Low("one nail; more must be said", 2, _tied), look=Look.TIES,
    )  # fmt: skip
    diagonal_fasteners: int = declared(
        "count", "at each end of a tie row's diagonal", default=1, least=1, most=MOST_IN_BRACE,
        low=Low("one nail; more must be said", 3, _tied), look=Look.TIES,
    )  # fmt: skip
    after: str = declared(
        "name",
        "mark of the brace after which tie rows and diagonals are on; the last unless given",
        default="",
        look=Look.TIES,
    )


@frozen(cache_hash=True)
class Kit:
    """What the crew has on hand and how it makes its joints.

    Attributes:
        stock: sticks on hand; empty means the usual lengths.
        species: species of the braces and cleats.
        grade: grade of the braces and cleats.
        ties: anchored tie rows the crew will put in.
        head: the head joint.
        cleat: the cleat.
        tie: how tie rows are fastened.
        minutes: what work takes the crew.
    """

    stock: tuple[Stock, ...] = declared(
        "parts", "sticks on hand; none means the usual lengths", default=(), most=100,
        option=Option("stock", 'size and length, such as "2x6@16ft"'),
    )  # fmt: skip
    species: str = declared(
        "species", "species of braces and cleats", default="spruce-pine-fir (south)",
        low=Low("the weakest common species: read the stamp", "spruce-pine-fir"),
        option=Option("brace_species", "species on the braces' grade stamp"), look=Look.BRACES,
    )  # fmt: skip
    grade: str = declared(
        "grade", "grade of braces and cleats", default="No.3",
        low=Low("the lowest common grade: read the stamp", "No.2"),
        option=Option("brace_grade", "grade on the braces' grade stamp"), look=Look.BRACES,
    )  # fmt: skip
    ties: int = declared(
        "count", "anchored tie rows the crew will put in", default=0, least=0, most=2,
        option=Option("ties", "tie rows the crew will anchor"),
    )  # fmt: skip
    head: Head = declared("part", "the head joint", default=Head())
    cleat: Cleat = declared("part", "the cleat", default=Cleat())
    tie: Tie = declared("part", "how tie rows are fastened", default=Tie())
    minutes: Minutes = declared("part", "what work takes the crew", default=Minutes())


class JointId(StrEnum):
    """The joints of a brace, each by the field that counts its fasteners."""

    HEAD = "head_fasteners"
    CLEAT = "cleat_fasteners"
    FLOOR = "floor_fasteners"

    @property
    def word(self) -> str:
        """What a person calls it."""
        return self.removesuffix("_fasteners")


JOINTS = tuple(JointId)
FOOT_ON = IN_JOIST, IN_BLOCK, ON_CROSS, ON_PANEL = (
    "joist",
    BLOCK,
    CROSS_CLEAT,
    "deck",
)  # what a foot's fasteners reach
IN_WOOD = (IN_JOIST, IN_BLOCK, ON_CROSS)
INTO_JOIST = "into_joist"  # what files said before foot_on: true of a joist, false of the deck


@frozen(kw_only=True, cache_hash=True)
class Brace:
    """One brace that is up, or planned.

    Attributes:
        mark: its mark, B1, B2, ... in the order they go up.
        stud_at: centre of its stud from LEFT [in].
        lap_side: side of the stud it laps.
        head: head height above the floor [in].
        set_back: foot to the plate's inside face [in].
        size: nominal size of the stick.
        ties: anchored tie rows on it.
        stiffener: none, or a second stick of the same size nailed on as a T.
        head_fasteners: how many in the head joint.
        cleat_fasteners: how many from brace to cleat.
        floor_fasteners: how many from cleat to floor.
        foot_on: what its floor fasteners reach, one of FOOT_ON.
        stud_doubled: the stud is doubled over its full height.
    """

    mark: str = declared("name", "its mark")
    stud_at: Inch = declared("length", "centre of its stud from LEFT", least=0.0, most=4800.0)
    lap_side: str = declared("word", "left | right", default="left", one_of=("left", "right"))
    head: Inch = declared("length", "head height above the floor", least=LEAST_REACH, most=480.0)
    set_back: Inch = declared("length", "foot to the plate's inside face", least=LEAST_REACH, most=480.0)
    size: str = declared(
        "size", "nominal size of the stick", default="2x4", low=Low("the smaller usual stick", "2x6")
    )
    ties: int = declared(
        "count", "anchored tie rows on it", default=0, least=0, most=2,
        low=Low("a tie row counts only where it is anchored", 1), look=Look.TIES,
    )  # fmt: skip
    stiffener: str = declared("word", "none | T", default="none", one_of=("none", "T"))
    head_fasteners: int = declared(
        "count", "in the head joint", default=1, least=0, most=MOST_IN_BRACE,
        low=Low("one fastener lets it swing; more must be said", 4),
    )  # fmt: skip
    cleat_fasteners: int = declared(
        "count", "brace to cleat", default=1, least=0, most=MOST_IN_BRACE, low=Low("more must be said", 4)
    )
    floor_fasteners: int = declared(
        "count", "cleat to floor", default=1, least=0, most=MOST_IN_FLOOR, low=Low("more must be said", 5)
    )
    foot_on: str = declared(
        "word", " | ".join(FOOT_ON), default=ON_PANEL, one_of=FOOT_ON,
        low=Low("fasteners not known to be in a joist hold in the deck panel alone", IN_JOIST, on_deck),
    )  # fmt: skip
    stud_doubled: bool = declared("flag", "stud doubled over its full height", default=False)

    @property
    def in_wood(self) -> bool:
        """Whether the fasteners of its foot reach solid lumber that joists hold, and not the deck panel alone."""
        return self.foot_on in IN_WOOD

    @property
    def length(self) -> Inch:
        """Length from head to foot, L = sqrt(d^2 + h^2) [in]."""
        return math.hypot(self.head, self.set_back)

    @property
    def angle(self) -> Radian:
        """Angle from the floor [rad]."""
        return math.atan2(self.head, self.set_back)


def in_the_way(brace: Brace, others: Iterable[Brace]) -> Brace | None:
    """Give the first of some braces that is where another would be; None where there is room for it.

    Two lap one side of one stud, and their heads are nearer to one another than half of both sticks is deep.

    Args:
        brace: the brace.
        others: those that are there.

    Source: STATICS, geometry.

    Example:
        >>> one = Brace(mark="B1", stud_at=112.0, head=72.0, set_back=96.0, size="2x6")
        >>> two = Brace(mark="B2", stud_at=112.0, head=77.0, set_back=96.0, size="2x6")
        >>> in_the_way(two, [one]).mark
        'B1'
    """
    for other in others:
        beside = brace.lap_side == other.lap_side and abs(brace.stud_at - other.stud_at) < SAME_STUD
        if beside and abs(brace.head - other.head) < clear_heads(brace, other):
            return other
    return None


def clear_heads(one: Brace, other: Brace) -> Inch:
    """Give how far apart the heads of two braces on one side of one stud stand at the least: half of both sticks [in].

    Args:
        one: a brace.
        other: another.

    Source: STATICS, geometry.
    """
    return (section(one.size).width + section(other.size).width) / 2.0


def brace_faults(braces: Sequence[tuple[int, Brace]]) -> Iterator[tuple[str, str, str]]:
    """Say which braces have the mark or the place of one before them: the field, what it has, what is expected.

    Args:
        braces: each with its number in the file.
    """
    for k, (i, brace) in enumerate(braces):
        before = braces[:k]
        twice = next((j for j, other in before if other.mark == brace.mark), None)
        if twice is not None:
            yield f"brace[{i}].mark", brace.mark, f"a mark of its own; brace[{twice}] has it"
        there = in_the_way(brace, (other for _, other in before))
        if there is not None:
            has = f"{tape(brace.stud_at)}, {brace.lap_side}, head {tape(brace.head)}"
            off = (
                f"a head {clear_heads(brace, there):g} in or more from the {tape(there.head)} of {there.mark}"
            )
            yield f"brace[{i}].stud_at", has, f"another stud or side, or {off}, which is there"
