"""One wall's job: the wall, its floor, the site, the kit, the braces that are up, and what was declared."""

from __future__ import annotations

from attrs import field, frozen

from bracing.brace import Brace, Kit
from bracing.fasteners import Fastener
from bracing.fields import declared
from bracing.floor import Floor
from bracing.units import Mph, PoundPerInch, Second
from bracing.wall import Wall


@frozen
class Site:
    """Where the wall stands and for how long.

    Attributes:
        exposure: B, C or D of the wind standard; C unless declared.
        kzt: topographic factor; asked for on a hill or ridge.
        design_speed: basic wind speed of the site [mph]; None where nobody declared it.
        stands: how long it stands on braces [s]; None where nobody declared it.
        lean: part of the weight that acts sideways for lean.
        top_load: notional load along the top for people and ladders [lb/in].
    """

    exposure: str = declared("word", "B | C | D", default="C", one_of=("B", "C", "D"))
    kzt: float = declared("number", "topographic factor", default=1.0, least=1.0, most=4.0)
    design_speed: Mph | None = declared("speed", "basic wind speed", default=None, least=50.0, most=250.0)
    stands: Second | None = declared("time", "how long it stands on braces", default=None, least=0.0)
    lean: float = declared("number", "part of the weight acting sideways", default=0.02, least=0.0, most=0.2)
    top_load: PoundPerInch = declared(
        "line load", "along the top for people and ladders", default=5.0 / 12.0, least=0.0, most=10.0
    )


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

    wall: Wall
    floor: Floor = Floor()
    site: Site = Site()
    kit: Kit = Kit()
    braces: tuple[Brace, ...] = ()
    declared: frozenset[str] = frozenset()
    file: str = "command line"
    sha256: str = ""
    fasteners: tuple[Fastener, ...] = field(default=())
