"""The floor the braces stand on: deck with its joists, slab or ground; and where no foot may go.

x from LEFT along the wall, y from the plate's inside face toward the braces. Lengths in inches.
"""

from __future__ import annotations

from attrs import frozen

from bracing.errors import refused
from bracing.job.fields import declared, keyed
from bracing.job.holding import hold_lumber
from bracing.units import Inch, Pound

Point = tuple[Inch, Inch]
FARTHEST: Inch = 4800.0
TOUCH: Inch = 1e-6


@frozen
class Joists:
    """The joists under a deck.

    Attributes:
        kind: sawn, i-joist or truss.
        run: away from the wall, or along it.
        spacing: centre to centre [in].
        first: centre of the first joist: from LEFT when they run away, from the wall when along [in].
        size: nominal size of sawn joists.
        species: species of sawn joists.
        grade: grade of sawn joists.
        span: clear span, support to support [in].
        flange: flange or chord depth of an I-joist or truss that a fastener can bite [in].
    """

    kind: str = declared(
        "word", "sawn | i-joist | truss", default="sawn", one_of=("sawn", "i-joist", "truss")
    )
    run: str = declared("word", "away | along", default="away", one_of=("away", "along"))
    spacing: Inch = declared("length", "centre to centre", default=16.0, least=6.0, most=48.0)
    first: Inch = declared(
        "length", "first joist, from LEFT (away) or the wall (along)", default=0.0, least=0.0, most=48.0
    )
    size: str = declared("size", "nominal size of sawn joists", default="2x8")
    species: str = declared("species", "species of sawn joists", default="spruce-pine-fir (south)")
    grade: str = declared("grade", "grade of sawn joists", default="No.3")
    span: Inch = declared("length", "support to support", default=192.0, least=12.0, most=480.0)
    flange: Inch = declared(
        "length", "flange depth of an I-joist or truss", default=1.25, least=0.5, most=6.0
    )

    def __attrs_post_init__(self) -> None:
        if self.kind == "sawn":
            hold_lumber(self.species, self.grade, self.size, where="Joists.grade")


@frozen
class KeepOut:
    """A rectangle no foot may stand in.

    Attributes:
        name: what it is.
        corner: one corner, (x, y) [in].
        opposite: the other corner, (x, y) [in].
    """

    name: str = declared("name", "what it is")
    corner: Point = keyed("from", "point", "one corner, (x, y)", most=FARTHEST)
    opposite: Point = keyed("to", "point", "the other corner, (x, y)", most=FARTHEST)

    def __attrs_post_init__(self) -> None:
        if min(abs(a - b) for a, b in zip(self.corner, self.opposite, strict=True)) <= TOUCH:
            where = "KeepOut.opposite"
            raise refused(where, "no area between from and to", "the opposite corner")


@frozen
class Partition:
    """A partition to be framed while the braces stand.

    Attributes:
        start: (x, y) [in].
        end: (x, y) [in].
        height: top of its plate [in].
    """

    start: Point = keyed("from", "point", "one end, (x, y)", most=FARTHEST)
    end: Point = keyed("to", "point", "the other end, (x, y)", most=FARTHEST)
    height: Inch = declared("length", "top of its plate", default=97.125, least=1.0, most=720.0)

    def __attrs_post_init__(self) -> None:
        if max(abs(a - b) for a, b in zip(self.start, self.end, strict=True)) <= TOUCH:
            where = "Partition.end"
            raise refused(where, "the same point as from", "the other end of the partition")


@frozen
class Slab:
    """What the user declares of an anchor in a slab; nothing here is computed by the tool.

    Attributes:
        tension_lb: allowable of one anchor in tension [lb].
        shear_lb: allowable of one anchor in shear [lb].
        report: report number or pull test the allowables come from.
    """

    tension_lb: Pound = declared(
        "force", "allowable of one anchor in tension", default=0.0, least=0.0, most=50000.0
    )
    shear_lb: Pound = declared(
        "force", "allowable of one anchor in shear", default=0.0, least=0.0, most=50000.0
    )
    report: str = declared("name", "report number or pull test", default="")

    def __attrs_post_init__(self) -> None:
        if (self.tension_lb > 0.0 or self.shear_lb > 0.0) and not self.report:
            where = "Slab.report"
            raise refused(where, None, "the report number or pull test the allowables come from")


@frozen
class Ground:
    """What the user declares of the ground outside.

    Attributes:
        soil: class of the published soil table.
        stake_width: width of the stake across the pull [in].
        embedment: depth driven [in].
        pull_above: height of the brace joint above the ground [in].
        deadman_lb: dead weight at each foot [lb].
        friction: friction coefficient under the dead weight.
    """

    soil: str = declared("soil", "class of the soil table", default="clay")
    stake_width: Inch = declared("length", "across the pull", default=1.5, least=0.5, most=24.0)
    embedment: Inch = declared("length", "depth driven", default=0.0, least=0.0, most=144.0)
    pull_above: Inch = declared("length", "brace joint above the ground", default=6.0, least=0.0, most=36.0)
    deadman_lb: Pound = declared("force", "dead weight at each foot", default=0.0, least=0.0, most=50000.0)
    friction: float = declared("number", "under the dead weight", default=0.25, least=0.0, most=1.0)


@frozen(cache_hash=True)
class Floor:
    """The floor in front of the wall.

    Attributes:
        kind: deck, slab or ground.
        deck: the deck panel, such as "osb 23/32".
        room: clear distance in front of the wall [in]; None where nobody declared it.
        height_above_ground: top of the deck above the ground outside [in].
        open_below: air can pass under the wall; None where nobody declared it.
        closed_storey: the deck stands over a closed storey; None is judged from its height.
        joists: the joists; None where nobody declared them.
        slab: declared anchors.
        ground: declared stakes or weights.
        keep_outs: rectangles no foot may stand in.
        partitions: partitions to be framed.
    """

    kind: str = declared("word", "deck | slab | ground", default="deck", one_of=("deck", "slab", "ground"))
    deck: str = declared("deck", "the deck panel", default="osb 23/32")
    room: Inch | None = declared(
        "length", "clear distance in front of the wall", default=None, least=12.0, most=FARTHEST
    )
    height_above_ground: Inch = declared(
        "length", "top of the deck above the ground outside", default=36.0, least=0.0, most=1200.0
    )
    open_below: bool | None = declared("flag", "air can pass under the wall", default=None)
    closed_storey: bool | None = declared("flag", "the deck stands over a closed storey", default=None)
    joists: Joists | None = declared("part", "the joists under the deck", default=None)
    slab: Slab = declared("part", "declared anchors in a slab", default=Slab())
    ground: Ground = declared("part", "declared stakes or weights", default=Ground())
    keep_outs: tuple[KeepOut, ...] = keyed(
        "keep_out", "parts", "rectangles no foot may stand in", default=(), most=100
    )
    partitions: tuple[Partition, ...] = keyed(
        "partition", "parts", "partitions to be framed", default=(), most=100
    )
