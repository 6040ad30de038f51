"""One wall's job: the wall, its floor, the site, the kit, the braces that are up, and what was declared."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial
from typing import Any

import attrs
from attrs import frozen

from bracing.errors import MissingDataError, refused, table_and_near
from bracing.job.brace import Brace, Kit
from bracing.job.fasteners import MOST_FASTENERS, Fastener, fastener
from bracing.job.fields import KIND, NO_KEY, Low, Option, declared
from bracing.job.floor import HEIGHT, THIRD_STOREY, Floor
from bracing.job.wall import LONGEST_WALL, STANDING, Wall
from bracing.units import Inch, Mph, PoundPerInch, Second

# Of the low defaults. The first counted a floor of undeclared height as 3 ft up, and people at the limit; its files are
# known by a word of theirs.
FIRST_EDITION, EDITION = 1, 2
NO_FILE = "command line"
_beside = partial(declared, key=NO_KEY)  # no key of the file gives it; it is held to its kind all the same


@frozen(cache_hash=True)
class Site:
    """Where the wall stands and for how long.

    Attributes:
        exposure: B, C or D of the wind standard; C unless declared.
        kzt: topographic factor.
        design_speed: basic wind speed of the site [mph]; None where nobody declared it.
        stands: how long it stands on braces [s]; None where nobody declared it.
        lean: part of the weight that acts sideways for lean.
        top_load: notional load along the top for people and ladders [lb/in].
        hill: on a hill, ridge or escarpment, where kzt must be given.
    """

    exposure: str = declared(
        "word", "B | C | D", default="C", one_of=("B", "C", "D"), low=Low("open country; shelter needs a reason"),
        option=Option("exposure", "B, C or D; C is open country"),
    )  # fmt: skip
    kzt: float = declared(
        "number", "topographic factor", default=1.0, least=1.0, most=4.0,
        low=Low("flat ground; on a hill or ridge the wind is faster: give kzt"),
        option=Option("kzt", "topographic factor of the wind standard"),
    )  # fmt: skip
    design_speed: Mph | None = declared(
        "speed", "basic wind speed", default=None, least=50.0, most=250.0,
        option=Option("design_speed", "basic wind speed of the site"),
    )  # fmt: skip
    stands: Second | None = declared(
        "time", "how long it stands on braces", default=None, least=60.0, most=315576000.0,
        option=Option("stands", 'how long it stands on braces, such as "3 weeks"'),
    )  # fmt: skip
    lean: float = declared("share", "part of the weight acting sideways", default=0.02, least=0.0, most=0.2)
    top_load: PoundPerInch = declared(
        "line load", "along the top for people and ladders", default=5.0 / 12.0, least=0.0, most=10.0
    )
    hill: bool = declared(
        "flag", "on a hill or ridge: kzt must be given", default=False,
        option=Option("hill", "on a hill or ridge; give --kzt too"),
    )  # fmt: skip


@frozen
class Found:
    """What was found at one brace that differs from the plan.

    Attributes:
        mark: the brace.
        what: what is there; of one that stands elsewhere what of it: stud, head or foot.
        there: where that is [in].
        planned: where it was planned [in].
    """

    mark: str = declared("name", "the brace")
    what: str = declared("name", "what is there")
    there: Inch | None = declared("length", "where it is", default=None, least=0.0, most=LONGEST_WALL)
    planned: Inch | None = declared(
        "length", "where it was planned", default=None, least=0.0, most=LONGEST_WALL
    )


@frozen
class Built:
    """A walk along the wall that found what is really up.

    Attributes:
        when: date and time of it.
        by: who walked, by role.
        since: written in after the walk and not yet found by anybody; empty where nothing was.
        found: what differs from the plan.
        planned: the braces as they were planned, where one differs.
    """

    when: str = declared("name", "date and time of the walk")
    by: str = declared("name", "who walked, by role")
    since: str = declared("name", "written in after the walk, and not yet found", default="")
    found: tuple[Found, ...] = declared("parts", "what differs from the plan", default=(), most=400)
    planned: tuple[Brace, ...] = declared("parts", "the braces as planned", default=(), most=200)


PLAN, AS_BUILT, NO_BRACES, NOT_UP = "PLAN", "AS BUILT", "NO BRACES ON FILE", "NOT UP"


@frozen(cache_hash=True)  # caches of strengths and panels ask for it time and again
class Job:
    """All that is known of one standing wall.

    Attributes:
        wall: the wall.
        floor: the floor.
        site: the site.
        kit: what is on hand.
        braces: braces that are up (or planned).
        built: the last walk along it; None where nobody has walked it.
        edition: of the low defaults its file was written for: as written, or as its words show; an older one is told
            what they changed.
        declared: dotted paths of the fields the person gave; all others hold their low default.
        file: where it was read from.
        sha256: hash of the input as read.
        fasteners: the user's own fasteners, each with its report number.
    """

    wall: Wall = declared("part", "the wall")
    floor: Floor = declared("part", "its floor", default=Floor())
    site: Site = declared("part", "where it stands", default=Site())
    kit: Kit = declared("part", "what is on hand", default=Kit())
    braces: tuple[Brace, ...] = declared(
        "parts", "braces that are up", key="brace", default=(), most=200,
        option=Option("brace", 'stud, head and set-back, such as "18ft:head 12ft:back 10ft:2x6"'),
    )  # fmt: skip
    built: Built | None = declared("part", "the last walk along it", default=None)
    edition: int = declared(
        "count", f"edition of the low defaults it was written for; undeclared {EDITION}, or 1 where it says into_joist",
        default=EDITION, least=1, most=EDITION,
    )  # fmt: skip
    declared: frozenset[str] = _beside("texts", default=frozenset())
    file: str = _beside("text", default=NO_FILE)
    sha256: str = _beside("text", default="")
    fasteners: tuple[Fastener, ...] = _beside("parts", default=(), most=MOST_FASTENERS)

    @property
    def height_of_a_meter(self) -> Inch:
        """Height of the floor a meter is held over: one nobody declared is low here, where it reads least [in]."""
        above = self.floor.height_above_ground
        return 0.0 if above == THIRD_STOREY and HEIGHT not in self.declared else above

    def __attrs_post_init__(self) -> None:
        for thing in (self.wall, self.kit):
            _know_fasteners(thing, self.fasteners)

    @property
    def tie_rows(self) -> int:
        """Tie rows across its braces."""
        return max((brace.ties for brace in self.braces), default=0)

    @property
    def walked(self) -> bool:
        """Whether somebody has walked it as it stands: nothing was written in since, and it is up."""
        return self.built is not None and not self.built.since and self.wall.up

    @property
    def state(self) -> str:
        """What every screen calls it: PLAN or AS BUILT, whether braces are on file, and where it is if not standing."""
        said = [AS_BUILT] if self.walked else [PLAN] if self.braces else []
        said += [] if self.braces else [NO_BRACES]
        where = self.wall.state.upper()
        said += [] if self.wall.state == STANDING else [where if self.wall.up else f"{NOT_UP}: {where}"]
        return ", ".join(said)


@lru_cache(maxsize=256)
def _know_fasteners(thing: Wall | Kit, own: tuple[Fastener, ...]) -> None:
    """Refuse a wall or a kit that names a fastener of no table, the user's own among them."""
    for where, name in _fasteners_in(type(thing).__name__, thing):
        try:
            fastener(name, own)
        except MissingDataError as error:
            raise refused(where, name, table_and_near(error)) from None


def _fasteners_in(where: str, thing: Any) -> Iterator[tuple[str, str]]:  # noqa: ANN401  (any input class)
    for one in attrs.fields(type(thing)):
        kind, value, inside = one.metadata[KIND], getattr(thing, one.name), f"{where}.{one.name}"
        if kind == "fastener":
            yield inside, value
        elif kind == "part" and value is not None:
            yield from _fasteners_in(inside, value)
        elif kind == "parts":
            for i, item in enumerate(value):
                yield from _fasteners_in(f"{inside}[{i}]", item)
