"""One wall's job: the wall, its floor, the site, the kit, the braces that are up, and what was declared."""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterator
from functools import cache, lru_cache, partial
from typing import Any

import attrs
from attrs import frozen

from bracing.errors import MissingDataError, refused, table_and_near
from bracing.job.brace import JOINTS, Brace, Kit
from bracing.job.fasteners import MOST_FASTENERS, Fastener, fastener
from bracing.job.fields import (
    KIND,
    LOOK,
    LOW,
    MOST_LETTERS,
    NO_KEY,
    Look,
    Low,
    Option,
    declared,
    places,
    value_at,
)
from bracing.job.floor import DONE, HEIGHT, THIRD_STOREY, Floor, KeepOut, storey_declared
from bracing.job.lumber import section
from bracing.job.outline import LONGEST_WALL
from bracing.job.pulls import MOST_TESTS, PullTest
from bracing.job.returns import ON_BRACE_SIDE
from bracing.job.titles import TitleBlock
from bracing.job.wall import STANDING, Wall
from bracing.units import Inch, Mph, PoundPerInch, Second

# Of the low defaults. The first counted a floor of undeclared height as 3 ft up, and people at the limit; its files are
# known by a word of theirs.
FIRST_EDITION, EDITION = 1, 2
NO_FILE = "command line"
MOST_NIGHTS = 1000
_beside = partial(declared, key=NO_KEY)  # no key of the file gives it; it is held to its kind all the same


@frozen
class Night:
    """One night at the site: what was foretold, and what somebody read there.

    Attributes:
        forecast: highest gust foretold of it [mph].
        read: highest gust read in it [mph].
    """

    forecast: Mph = declared("speed", "highest gust foretold of a night", least=1.0, most=250.0)
    read: Mph = declared("speed", "highest gust read in it", least=1.0, most=250.0)


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
        stood: the day it was stood up, such as 2026-03-06; empty where nobody said.
        nights: what was foretold of nights at the site, and what was read in them.
    """

    exposure: str = declared(
        "word", "B | C | D", default="C", one_of=("B", "C", "D"), low=Low("open country; shelter needs a reason", "B"),
        option=Option("exposure", "B, C or D; C is open country"),
    )  # fmt: skip
    kzt: float = declared(
        "number", "topographic factor", default=1.0, least=1.0, most=4.0,
        low=Low("flat ground; on a hill or ridge the wind is faster: give kzt", 1.0),
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
    stood: str = declared("name", "the day it was stood up, such as 2026-03-06", default="")
    nights: tuple[Night, ...] = declared(
        "parts", "nights: the gust foretold, and the one read", key="night", default=(), most=MOST_NIGHTS
    )


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
class FoundFact:
    """What was found otherwise than planned, beside the braces.

    Attributes:
        field: dotted path of its field.
        there: what is there, as it would stand in a file.
        planned: what was planned, as it would stand in a file.
    """

    field: str = declared("name", "dotted path of its field")
    there: str = declared("name", "what is there")
    planned: str = declared("name", "what was planned")

    def __attrs_post_init__(self) -> None:
        if _by_index(self.field) not in _looked_at():
            where = "FoundFact.field"
            raise refused(where, self.field, "a field that a walk looks at, such as wall.plate.spacing")


@frozen
class Built:
    """A walk along the wall that found what is really up.

    Attributes:
        when: date and time of it.
        by: who walked, by role.
        since: written in after the walk and not yet found by anybody; empty where nothing was.
        seen: what was looked at beside the braces, each with what was there, as seen_text() writes it.
        found: what differs from the plan.
        facts: what beside the braces differs from the plan.
        planned: the braces as they were planned, where one differs.
    """

    when: str = declared("name", "date and time of the walk")
    by: str = declared("name", "who walked, by role")
    since: str = declared("name", "written in after the walk, and not yet found", default="")
    seen: tuple[str, ...] = declared("names", "what else was looked at, and what was there", default=())
    found: tuple[Found, ...] = declared("parts", "what differs from the plan", default=(), most=400)
    facts: tuple[FoundFact, ...] = declared(
        "parts", "what beside the braces differs from the plan", key="fact", default=(), most=400
    )
    planned: tuple[Brace, ...] = declared("parts", "the braces as planned", default=(), most=200)


RECORD = "built."  # what a walk found and what was planned is no part of the wall that is checked
BRACE = "brace "  # before the text of one that was found
OF_BRACES = "kit."  # how braces are made is seen where there is one
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
        pull_tests: fasteners that were pulled out of boards of this job with a scale.
        built: the last walk along it; None where nobody has walked it.
        title: what the title block of its drawings says.
        edition: of the low defaults its file was written for: as written, or as its words show; an older one is told
            what they changed.
        declared: dotted paths of the fields the person gave; all others hold their low default.
        file: where it was read from.
        sha256: hash of the input as read.
        fasteners: the user's own fasteners, each with its report number.
        reported: what walks that are not finished say of it, and is counted already.
        met: of each end at which the `job.toml` beside it has another wall stand, the end and that wall's file.
        basis: what gives pressures and strengths, of a program's own, a `Basis`; None for the one in use.
    """

    wall: Wall = declared("part", "the wall")
    floor: Floor = declared("part", "its floor", default=Floor())
    site: Site = declared("part", "where it stands", default=Site())
    kit: Kit = declared("part", "what is on hand", default=Kit())
    braces: tuple[Brace, ...] = declared(
        "parts", "braces that are up", key="brace", default=(), most=200,
        option=Option("brace", 'stud, head and set-back, such as "18ft:head 12ft:back 10ft:2x6"'),
    )  # fmt: skip
    pull_tests: tuple[PullTest, ...] = declared(
        "parts", "fasteners that were pulled with a scale", key="pull_test", default=(), most=MOST_TESTS
    )
    built: Built | None = declared("part", "the last walk along it", default=None)
    title: TitleBlock = declared(
        "part", "what the title block of its drawings says", key="job", default=TitleBlock()
    )
    edition: int = declared(
        "count", f"edition of the low defaults it was written for; undeclared {EDITION}, or 1 where it says into_joist",
        default=EDITION, least=1, most=EDITION,
    )  # fmt: skip
    declared: frozenset[str] = _beside("texts", default=frozenset())
    file: str = _beside("text", default=NO_FILE)
    sha256: str = _beside("text", default="")
    fasteners: tuple[Fastener, ...] = _beside("parts", default=(), most=MOST_FASTENERS)
    reported: tuple[str, ...] = _beside("texts", default=())
    met: tuple[str, ...] = _beside("texts", default=())
    basis: Hashable | None = _beside("basis", default=None)

    @property
    def ends_met(self) -> tuple[str, ...]:
        """Ends, left or right, at which the job it is of has another wall stand."""
        return tuple(each.partition(" ")[0] for each in self.met)

    @property
    def height_of_a_meter(self) -> Inch:
        """Height of the floor a meter is held over: one nobody declared is low here, where it reads least [in]."""
        above = self.floor.height_above_ground
        return 0.0 if above == THIRD_STOREY and HEIGHT not in self.declared else above

    @property
    def storey_unknown(self) -> bool:
        """Whether it stands on a storey that nobody said is done."""
        return storey_declared(self) and self.floor.storey_below != DONE

    def __attrs_post_init__(self) -> None:
        for thing in (self.wall, self.kit, *self.pull_tests):
            _know_fasteners(thing, self.fasteners)

    @property
    def keep_outs(self) -> tuple[KeepOut, ...]:
        """Rectangles no foot may stand in: those of the floor, and the lines of returns on the brace side."""
        wall = self.wall
        wide, ends = (
            section(wall.studs.size).width,
            ((0.0, "left", "LEFT"), (wall.length, "right", "the right")),
        )
        lines = tuple(
            KeepOut(f"the return at {where}", (x, 0.0), (abs(x - wide), end.length))
            for x, side, where in ends
            for end in [getattr(wall, f"{side}_return")]
            if getattr(wall, f"{side}_end") == "return" and end.side == ON_BRACE_SIDE and end.length
        )
        return self.floor.keep_outs + lines

    @property
    def tie_rows(self) -> int:
        """Tie rows across its braces."""
        return max((brace.ties for brace in self.braces), default=0)

    @property
    def to_see(self) -> dict[Look, tuple[str, ...]]:
        """What a walk looks at beside the braces: the declared fields the wall counts on, in the order of the walk.

        What holds its low default counts on nothing, and what plays no part is not looked at.
        """
        found: dict[Look, list[str]] = {look: [] for look in Look}
        for path in sorted(self.declared):
            one = _looked_at().get(_by_index(path))
            if one is not None and self._counts_on(path, one):
                found[one.metadata[LOOK]].append(path)
        return {look: tuple(paths) for look, paths in found.items() if paths}

    def _counts_on(self, path: str, one: attrs.Attribute[Any]) -> bool:
        low = one.metadata[LOW]
        plays = (low is None or low.plays(self)) and (self.braces or not path.startswith(OF_BRACES))
        return bool(plays) and value_at(self, path) != one.default

    @property
    def not_seen(self) -> tuple[Look, ...]:
        """What the last walk did not look at, or what its file says otherwise now; nothing where nobody walked it."""
        if self.built is None:
            return ()
        seen = set(self.built.seen)
        looks = [
            look
            for look, paths in self.to_see.items()
            if any(seen_text(self, path) not in seen for path in paths)
        ]
        told = any(
            text.startswith(BRACE) for text in seen
        )  # else a walk before it was kept how they were found
        changed = told and any(brace_text(brace) not in seen for brace in self.braces)
        return (Look.UP, *looks) if changed else tuple(looks)

    @property
    def walked(self) -> bool:
        """Whether somebody has walked it as it stands: it is up, nothing it counts on is unseen or written in since."""
        if self.built is None or self.built.since or self.reported:
            return False
        return self.wall.up and not self.not_seen

    @property
    def state(self) -> str:
        """What every screen calls it: PLAN or AS BUILT, whether braces are on file, and where it is if not standing."""
        said = [AS_BUILT] if self.walked else [PLAN] if self.braces else []
        said += [] if self.braces else [NO_BRACES]
        where = self.wall.state.upper()
        said += [] if self.wall.state == STANDING else [where if self.wall.up else f"{NOT_UP}: {where}"]
        return ", ".join(said)


def _by_index(path: str) -> str:
    return re.sub(r"\[[0-9]+\]", "[]", path)


@cache
def _looked_at() -> dict[str, attrs.Attribute[Any]]:
    """The fields a walk looks at, by their dotted path."""
    return {
        place.path: place.field
        for place in places(Job)
        if place.field.metadata[LOOK] is not None and not place.path.startswith(RECORD)
    }


def seen_text(job: Job, path: str) -> str:
    """Write what is at a place, so that it can be told later whether it is what was looked at.

    Args:
        job: the job.
        path: dotted path of a field.

    Example:
        >>> from bracing.job.wall import Wall
        >>> seen_text(Job(wall=Wall(name="Demo", top=((0.0, 96.0), (240.0, 96.0)))), "wall.plate.spacing")
        'wall.plate.spacing = 24'
    """
    value = value_at(job, path)
    said = (
        f"{value:.10g}"
        if isinstance(value, float)
        else ", ".join(value)
        if isinstance(value, tuple)
        else value
    )
    return f"{path} = {said}"[:MOST_LETTERS].strip()


def all_seen(job: Job, unseen: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Write what a walk has seen that found a wall as it is now: its braces, and all it counts on beside them.

    Args:
        job: the job.
        unseen: dotted paths of the fields nobody looked at.
    """
    paths = [path for paths in job.to_see.values() for path in paths if path not in unseen]
    return (*map(brace_text, job.braces), *(seen_text(job, path) for path in paths))


def brace_text(brace: Brace) -> str:
    """Write a brace, so that it can be told later whether it is what was found.

    Args:
        brace: the brace.

    Example:
        >>> brace_text(Brace(mark="B1", stud_at=216.0, head=120.0, set_back=96.0, size="2x6"))
        'brace 2x6 216 120 96 left 1/1/1 deck ties 0 none False B1'
    """
    at = " ".join(f"{inches:.10g}" for inches in (brace.stud_at, brace.head, brace.set_back))
    counts = "/".join(str(getattr(brace, joint)) for joint in JOINTS)
    more = f"ties {brace.ties} {brace.stiffener} {brace.stud_doubled} {brace.mark}"
    return f"{BRACE}{brace.size} {at} {brace.lap_side} {counts} {brace.foot_on} {more}"[:MOST_LETTERS].strip()


@lru_cache(maxsize=256)
def _know_fasteners(thing: Wall | Kit | PullTest, own: tuple[Fastener, ...]) -> None:
    """Refuse a wall, a kit or a pull test that names a fastener of no table, the user's own among them."""
    for where, name in _fasteners_in(type(thing).__name__, thing):
        try:
            fastener(name, own)
        except MissingDataError as error:
            raise refused(where, name, table_and_near(error)) from None


def _fasteners_in(where: str, thing: Any) -> Iterator[tuple[str, str]]:  # noqa: ANN401  (any input class)
    for one in attrs.fields(type(thing)):
        kind, value, inside = one.metadata[KIND], getattr(thing, one.name), f"{where}.{one.name}"
        if kind == "fastener" and value is not None:
            yield inside, value
        elif kind == "part" and value is not None:
            yield from _fasteners_in(inside, value)
        elif kind == "parts":
            for i, item in enumerate(value):
                yield from _fasteners_in(f"{inside}[{i}]", item)
