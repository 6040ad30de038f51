"""One wall's job: the wall, its floor, the site, the kit, the braces that are up, and what was declared."""

from __future__ import annotations

from attrs import field, frozen

from bracing.brace import Brace, Kit
from bracing.fasteners import Fastener
from bracing.fields import declared, keyed
from bracing.floor import Floor
from bracing.units import Mph, PoundPerInch, Second
from bracing.wall import Wall


@frozen
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

    exposure: str = declared("word", "B | C | D", default="C", one_of=("B", "C", "D"))
    kzt: float = declared("number", "topographic factor", default=1.0, least=1.0, most=4.0)
    design_speed: Mph | None = declared("speed", "basic wind speed", default=None, least=50.0, most=250.0)
    stands: Second | None = declared(
        "time", "how long it stands on braces", default=None, least=60.0, most=315576000.0
    )
    lean: float = declared("share", "part of the weight acting sideways", default=0.02, least=0.0, most=0.2)
    top_load: PoundPerInch = declared(
        "line load", "along the top for people and ladders", default=5.0 / 12.0, least=0.0, most=10.0
    )
    hill: bool = declared("flag", "on a hill or ridge: kzt must be given", default=False)


@frozen
class Job:
    """All that is known of one standing wall.

    Attributes:
        wall: the wall.
        floor: the floor.
        site: the site.
        kit: what is on hand.
        braces: braces that are up (or planned).
        declared: dotted paths of the fields the person gave; all others hold their low default.
        file: where it was read from.
        sha256: hash of the input as read.
        fasteners: the user's own fasteners, each with its report number.
    """

    wall: Wall = declared("part", "the wall")
    floor: Floor = declared("part", "its floor", default=Floor())
    site: Site = declared("part", "where it stands", default=Site())
    kit: Kit = declared("part", "what is on hand", default=Kit())
    braces: tuple[Brace, ...] = keyed("brace", "parts", "braces that are up", default=(), most=200)
    declared: frozenset[str] = frozenset()
    file: str = "command line"
    sha256: str = ""
    fasteners: tuple[Fastener, ...] = field(default=())
