"""What stands on a wall from above or leans on it: trusses being set, rafters, bundles, persons on the plate."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from attrs import frozen

from bracing.errors import CODE, Fault, InputError
from bracing.job.diagonals import height_on
from bracing.job.fields import Look, Low, declared
from bracing.job.outline import HIGHEST_WALL, LONGEST_WALL, TOUCH, Point
from bracing.said import Said
from bracing.units import Inch, Pound

TRUSSES, RAFTERS, BUNDLE, LEANED, PERSON = KINDS = (
    "trusses", "rafters", "bundle on the plate", "bundle leaned", "person on the plate",
)  # fmt: skip
TIPPING = (TRUSSES, RAFTERS)  # what tips over in a row unless something ties it
UNKNOWN, GROUND, HERE, ELSEWHERE = TIES = ("unknown", "ground brace", "this wall", "other wall")
PERSON_WEIGHT: Pound = 250.0  # ASCE 37-14 table 4-1, from memory
MOST_ABOVE = 100
_NEEDED = {
    TRUSSES: ("span", "pitch", "weight"), RAFTERS: ("span", "pitch", "weight"), BUNDLE: ("weight", "at"),
    LEANED: ("weight", "at", "foot_out", "touches"), PERSON: ("at",),
}  # fmt: skip
_OF_A_ROW, _OF_A_LEANED = ("span", "pitch"), ("foot_out", "touches")


def _tipping(job: Any) -> bool:  # noqa: ANN401  (a job, which holds these)
    return any(one.tips for one in job.wall.above)


def _spreads(job: Any) -> bool:  # noqa: ANN401
    return any(one.kind == RAFTERS and one.count > 0 for one in job.wall.above)


@frozen
class Above:
    """Something that stands on a wall from above or leans on it; taken away again, it never helps.

    Attributes:
        kind: what it is.
        count: how many; 0 is none.
        span: of trusses and rafters, from wall to wall [in].
        pitch: of trusses and rafters, rise over run [-].
        weight: of each [lb]; of a person who declares none 250 lb.
        tied_to: what keeps a row of trusses or rafters from tipping.
        joists_nailed: ceiling joists tie the feet of rafters to one another.
        at: where it stands, from LEFT [in]; of a row its middle; undeclared is the
            peak of a row tied here, and all of the wall of rafters that push out. All else says it.
        foot_out: of a bundle that leans, how far its foot stands from the wall [in].
        touches: of a bundle that leans, how high it touches the wall [in].
    """

    kind: str = declared("word", " | ".join(KINDS), one_of=KINDS, look=Look.ABOVE)
    count: int = declared(
        "count", "how many; 0 is none", default=1, least=0, most=MOST_ABOVE, look=Look.ABOVE
    )
    span: Inch | None = declared(
        "length", "of trusses and rafters, from wall to wall", default=None, least=48.0, most=960.0, look=Look.ABOVE
    )  # fmt: skip
    pitch: float | None = declared(
        "pitch",
        "of trusses and rafters, such as 4/12",
        default=None,
        least=1.0 / 12.0,
        most=2.0,
        look=Look.ABOVE,
    )
    weight: Pound | None = declared(
        "force", "of each", default=None, least=1.0, most=20000.0, look=Look.ABOVE
    )
    tied_to: str = declared(
        "word", "ground brace | this wall | other wall: what keeps the row from tipping; undeclared is unknown",
        default=UNKNOWN, one_of=TIES, look=Look.ABOVE,
        low=Low("nothing keeps trusses from tipping until somebody says what does", GROUND, _tipping),
    )  # fmt: skip
    joists_nailed: bool = declared(
        "flag", "of rafters: ceiling joists tie their feet together", default=False, look=Look.ABOVE,
        low=Low("rafters nothing ties push the walls apart", True, _spreads),  # noqa: FBT003
    )  # fmt: skip
    at: Inch | None = declared(
        "length", "where it stands, from LEFT", default=None, least=0.0, most=LONGEST_WALL, look=Look.ABOVE,
        low=Low("nobody knows where these rafters push: they stand on all of the wall", None, _spreads),
    )  # fmt: skip
    foot_out: Inch | None = declared(
        "length", "of a bundle that leans: its foot from the wall", default=None, least=1.0, most=HIGHEST_WALL,
        look=Look.ABOVE,
    )  # fmt: skip
    touches: Inch | None = declared(
        "length", "of a bundle that leans: how high it touches the wall", default=None, least=6.0, most=HIGHEST_WALL,
        look=Look.ABOVE,
    )  # fmt: skip

    def __attrs_post_init__(self) -> None:
        faults = tuple(_of_its_kind(self))
        if faults:
            raise InputError(Fault(CODE, f"Above.{key}", got, expected) for key, got, expected in faults)

    @property
    def tips(self) -> bool:
        """Whether it is there and tips over unless something ties it."""
        return self.kind in TIPPING and self.count > 0

    @property
    def stands(self) -> bool:
        """Whether it stands on the plate of this wall: nothing does of a bundle that leans, or of a row beside it."""
        return self.kind != LEANED and self.tied_to != HERE

    @property
    def row_on_plate(self) -> bool:
        """Whether it is a row of trusses or rafters that stands on this wall."""
        return self.kind in TIPPING and self.tied_to != HERE

    @property
    def untied(self) -> bool:
        """Whether it tips over, and nobody said what ties it."""
        return self.tips and self.tied_to == UNKNOWN

    @property
    def named(self) -> Said:
        """What a row is of."""
        return Said("above-rafters") if self.kind == RAFTERS else Said("above-trusses")

    @property
    def each(self) -> Pound:
        """Weight of each [lb]."""
        return PERSON_WEIGHT if self.weight is None else self.weight

    @property
    def rise(self) -> Inch:
        """Of trusses and rafters, from their heels to their ridge; of all else nothing [in]."""
        return 0.0 if self.span is None or self.pitch is None else self.pitch * self.span / 2.0


def needed_of(kind: str) -> tuple[str, ...]:
    """Give the fields a kind cannot do without.

    Args:
        kind: one of KINDS.
    """
    return _NEEDED[kind]


def _of_its_kind(one: Above) -> Iterator[tuple[str, str, str]]:
    """What a kind cannot do without, and what is given of another."""
    for key in _NEEDED[one.kind]:
        if getattr(one, key) is None:
            yield key, "nothing", f"a {key}, which {one.kind} cannot do without"
    for keys, kinds in ((_OF_A_ROW, TIPPING), (_OF_A_LEANED, (LEANED,))):
        for key in keys:
            if one.kind not in kinds and getattr(one, key) is not None:
                yield key, "given", f'nothing: it is of kind = "{kinds[0]}"'
    if one.kind not in TIPPING and one.tied_to != UNKNOWN:
        yield "tied_to", one.tied_to, f'nothing: it is of kind = "{TRUSSES}"'


def above_faults(
    top: tuple[Point, ...], above: tuple[tuple[int, Above], ...]
) -> tuple[tuple[str, str, str], ...]:
    """Say which loads from above are off their wall: where, what is there, and what is expected.

    Args:
        top: outline of the wall's top [in].
        above: the loads, each with its place in the list.

    Example:
        >>> level = ((0.0, 96.0), (240.0, 96.0))
        >>> above_faults(level, ((0, Above(kind="person on the plate", at=300.0)),))
        (('load[0].at', '300 in', 'a place on the wall, 240 in long'),)
    """
    faults, highest = [], max(z for _, z in top)
    for i, one in above:
        if one.at is not None and one.at > top[-1][0] + TOUCH:
            faults.append((f"load[{i}].at", f"{one.at:g} in", f"a place on the wall, {top[-1][0]:g} in long"))
            continue
        high = highest if one.at is None else height_on(top, one.at)
        if one.touches is not None and one.touches > high + TOUCH:
            faults.append(
                (f"load[{i}].touches", f"{one.touches:g} in", f"no higher than the wall, {high:g} in there")
            )
    return tuple(faults)
