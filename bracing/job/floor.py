"""The floor the braces stand on: deck with its joists, slab or ground; and where no foot may go.

x from LEFT along the wall, y from the plate's inside face toward the braces. Lengths in inches.
"""

from __future__ import annotations

from typing import Any

from attrs import frozen

from bracing.errors import refused
from bracing.job.fields import Look, Low, Option, declared, hold_lumber
from bracing.units import Inch, Pound

Point = tuple[Inch, Inch]
FARTHEST: Inch = 4800.0
TOUCH: Inch = 1e-6
DECK, SLAB, GROUND = "deck", "slab", "ground"
BLOCK, CROSS_CLEAT = "block", "cross cleat"  # what a foot is on
MOST_BLOCKS = 8
THIRD_STOREY: Inch = (
    312.0  # two storeys of 11 ft 7 in (IRC R301.3) and 3 ft, in whole feet; bracing judgement
)
HEIGHT, CLOSED = "floor.height_above_ground", "floor.closed_storey"
STOREY: Inch = (
    72.0  # a deck this high over the ground, not open below, stands over a closed storey; judgement
)
DONE = "done"


# -- where a field plays a part in a job -----------------------------------------------------------------


def on_deck(job: Any) -> bool:  # noqa: ANN401  (the job, which is made of these)
    """Whether it stands on a deck."""
    return bool(job.floor.kind == DECK)


def storey_declared(job: Any) -> bool:  # noqa: ANN401
    """Whether somebody said that it stands on a storey: by its height over the ground, or in words."""
    return bool(job.floor.over_storey) and not job.declared.isdisjoint((HEIGHT, CLOSED))


def on_slab(job: Any) -> bool:  # noqa: ANN401
    """Whether it stands on a slab."""
    return bool(job.floor.kind == SLAB)


def off_slab(job: Any) -> bool:  # noqa: ANN401
    """Whether its plate is nailed, and not anchored."""
    return not on_slab(job)


def _in_joist(job: Any) -> bool:  # noqa: ANN401
    return on_deck(job) and any(brace.in_wood for brace in job.braces)


def _in_sawn_joist(job: Any) -> bool:  # noqa: ANN401
    return _in_joist(job) and bool((job.floor.joists or Joists()).kind == "sawn")


def _on_panel(job: Any) -> bool:  # noqa: ANN401
    return on_deck(job) and any(not brace.in_wood for brace in job.braces)


def _on_blocks(job: Any) -> bool:  # noqa: ANN401
    return on_deck(job) and any(brace.foot_on == BLOCK for brace in job.braces)


def _on_cross_cleats(job: Any) -> bool:  # noqa: ANN401
    return on_deck(job) and any(brace.foot_on == CROSS_CLEAT for brace in job.braces)


def _raised(job: Any) -> bool:  # noqa: ANN401
    return bool(job.floor.height_above_ground > 0.0)


@frozen
class Joists:
    """The joists under a deck.

    Attributes:
        kind: sawn, i-joist or truss.
        size: nominal size of sawn joists.
        spacing: centre to centre [in].
        run: away from the wall, or along it.
        first: centre of the first joist: from LEFT when they run away, from the wall when along [in].
        span: clear span, support to support [in].
        species: species of sawn joists.
        grade: grade of sawn joists.
        flange: flange or chord depth of an I-joist or truss that a fastener can bite [in].
    """

    kind: str = declared(
        "word", "sawn | i-joist | truss", default="sawn", one_of=("sawn", "i-joist", "truss"),
        low=Low("the usual joist; I-joists and trusses must be said", "sawn", _in_joist), look=Look.JOISTS,
    )  # fmt: skip
    size: str = declared(
        "size", "nominal size of sawn joists", default="2x8",
        low=Low("the least usual joist", "2x10", _in_sawn_joist),
        option=Option("joists", 'size, spacing and direction, such as "2x10@16in away"'), look=Look.JOISTS,
    )  # fmt: skip
    spacing: Inch = declared(
        "length",
        "centre to centre",
        default=16.0,
        least=6.0,
        most=48.0,
        option=Option("joists"),
        look=Look.JOISTS,
    )
    run: str = declared(
        "word",
        "away | along",
        default="away",
        one_of=("away", "along"),
        option=Option("joists"),
        look=Look.JOISTS,
    )
    first: Inch = declared(
        "length",
        "first joist, from LEFT (away) or the wall (along)",
        default=0.0,
        least=0.0,
        most=48.0,
        look=Look.JOISTS,
    )
    span: Inch = declared(
        "length", "support to support", default=192.0, least=12.0, most=480.0,
        low=Low("the longest usual span", 144.0, _in_sawn_joist), look=Look.JOISTS,
    )  # fmt: skip
    species: str = declared(
        "species", "species of sawn joists", default="spruce-pine-fir (south)",
        low=Low("the weakest common species", "spruce-pine-fir", _in_joist), look=Look.JOISTS,
    )  # fmt: skip
    grade: str = declared(
        "grade", "grade of sawn joists", default="No.3",
        low=Low("the lowest common grade", "No.2", _in_sawn_joist), look=Look.JOISTS,
    )  # fmt: skip
    flange: Inch = declared(
        "length",
        "flange depth of an I-joist or truss",
        default=1.25,
        least=0.5,
        most=6.0,
        look=Look.JOISTS,
    )

    def __attrs_post_init__(self) -> None:
        if self.kind == "sawn":
            hold_lumber(self.species, self.grade, self.size, where="Joists.grade")


@frozen
class PanelNails:
    """What ties the deck panel down to its joists.

    Attributes:
        fastener: the nail or screw.
        spacing: one every so far along each joist [in].
    """

    fastener: str = declared(
        "fastener", "deck panel to joists", default="8d common",
        low=Low("the least nail a subfloor of this thickness is laid with", "8d common", _on_panel),
        look=Look.DECK,
    )  # fmt: skip
    spacing: Inch = declared(
        "length", "one every so far along each joist", default=12.0, least=2.0, most=24.0,
        low=Low("the widest a subfloor is nailed inside its edges", 6.0, _on_panel), look=Look.DECK,
    )  # fmt: skip


@frozen
class Blocks:
    """Solid blocks between joists under the cleats of a foot.

    Attributes:
        under_each_cleat: how many under each cleat.
        fastener: what is driven through the joists into their ends.
        each_end: how many of it at each end.
    """

    under_each_cleat: int = declared(
        "count", "how many under each cleat", default=1, least=1, most=MOST_BLOCKS,
        low=Low("one block; more must be said", 2, _on_blocks), look=Look.BLOCKS,
    )  # fmt: skip
    fastener: str = declared(
        "fastener", "through the joists into their ends", default="gun nail 0.131x3",
        low=Low("the least usual framing nail", "16d common", _on_blocks), look=Look.BLOCKS,
    )  # fmt: skip
    each_end: int = declared(
        "count", "how many at each end", default=2, least=0, most=12,
        low=Low("a block nailed once turns; more must be said", 3, _on_blocks), look=Look.BLOCKS,
    )  # fmt: skip


@frozen
class CrossCleat:
    """A flat cleat under each end of a foot, laid over two joists.

    Attributes:
        size: nominal size.
        fastener: what goes through it and the deck panel into each of the two joists.
        each_joist: how many of it into each.
    """

    size: str = declared(
        "size", "nominal size", default="2x4", low=Low("the least usual cleat", "2x6", _on_cross_cleats),
        look=Look.CROSS,
    )  # fmt: skip
    fastener: str = declared(
        "fastener", "through it into each of two joists", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "structural screw 0.22x5", _on_cross_cleats), look=Look.CROSS,
    )  # fmt: skip
    each_joist: int = declared(
        "count", "how many into each of two joists", default=1, least=0, most=12,
        low=Low("one; more must be said", 2, _on_cross_cleats), look=Look.CROSS,
    )  # fmt: skip


@frozen
class KeepOut:
    """A rectangle no foot may stand in.

    Attributes:
        name: what it is.
        corner: one corner, (x, y) [in].
        opposite: the other corner, (x, y) [in].
    """

    name: str = declared("name", "what it is")
    corner: Point = declared("point", "one corner, (x, y)", key="from", most=FARTHEST)
    opposite: Point = declared("point", "the other corner, (x, y)", key="to", most=FARTHEST)

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

    start: Point = declared("point", "one end, (x, y)", key="from", most=FARTHEST)
    end: Point = declared("point", "the other end, (x, y)", key="to", most=FARTHEST)
    height: Inch = declared("length", "top of its plate", default=97.125, least=1.0, most=720.0)

    def __attrs_post_init__(self) -> None:
        if max(abs(a - b) for a, b in zip(self.start, self.end, strict=True)) <= TOUCH:
            where = "Partition.end"
            raise refused(where, "the same point as from", "the other end of the partition")


_REPORTED = (("floor.slab.report", "pull test"),)  # what an anchor's usual value stands beside


@frozen
class Slab:
    """What the user declares of an anchor in a slab; nothing here is computed by the tool.

    Attributes:
        tension_lb: allowable of one anchor in tension [lb].
        shear_lb: allowable of one anchor in shear [lb].
        report: report number or pull test the allowables come from.
        washers: a plate washer 3 x 3 x 0.229 in under every nut on a bottom plate.
    """

    tension_lb: Pound = declared(
        "force", "allowable of one anchor in tension", default=0.0, least=0.0, most=50000.0,
        low=Low("no anchor counts without a report or pull test", 800.0, on_slab, beside=_REPORTED), look=Look.ANCHORS,
    )  # fmt: skip
    shear_lb: Pound = declared(
        "force", "allowable of one anchor in shear", default=0.0, least=0.0, most=50000.0,
        low=Low("no anchor counts without a report or pull test", 900.0, on_slab, beside=_REPORTED), look=Look.ANCHORS,
    )  # fmt: skip
    report: str = declared("name", "report number or pull test", default="", look=Look.ANCHORS)
    washers: bool = declared(
        "flag", "3x3x0.229 in plate washers on the bottom plate", default=False, look=Look.ANCHORS
    )

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

    soil: str = declared("soil", "class of the soil table", default="clay", look=Look.ANCHORS)
    stake_width: Inch = declared(
        "length", "across the pull", default=1.5, least=0.5, most=24.0, look=Look.ANCHORS
    )
    embedment: Inch = declared(
        "length", "depth driven", default=0.0, least=0.0, most=144.0, look=Look.ANCHORS
    )
    pull_above: Inch = declared(
        "length", "brace joint above the ground", default=6.0, least=0.0, most=36.0, look=Look.ANCHORS
    )
    deadman_lb: Pound = declared(
        "force", "dead weight at each foot", default=0.0, least=0.0, most=50000.0, look=Look.ANCHORS
    )
    friction: float = declared(
        "number", "under the dead weight", default=0.25, least=0.0, most=1.0, look=Look.ANCHORS
    )


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
        storey_below: the storey under the deck is done: its walls sheathed, plumb and fastened, its deck nailed.
        joists: the joists; None where nobody declared them.
        panel_nails: what ties the deck panel to its joists.
        blocks: solid blocks between the joists under a foot.
        cross_cleat: the flat cleats over two joists under the ends of a foot.
        slab: declared anchors.
        ground: declared stakes or weights.
        keep_outs: rectangles no foot may stand in.
        partitions: partitions to be framed.
    """

    kind: str = declared(
        "word", "deck | slab | ground", default=DECK, one_of=(DECK, SLAB, GROUND),
        low=Low("the usual floor; a slab or the ground must be said", DECK),
        option=Option("floor", "deck, slab or ground"), look=Look.BELOW,
    )  # fmt: skip
    deck: str = declared(
        "deck", "the deck panel", default="osb 23/32", on=DECK,
        low=Low("the usual subfloor panel", "osb 23/32", on_deck),
        option=Option("deck", 'the deck panel, such as "osb 23/32"'), look=Look.DECK,
    )  # fmt: skip
    room: Inch | None = declared(
        "length", "clear distance in front of the wall", default=None, least=12.0, most=FARTHEST,
        option=Option("room"),
    )  # fmt: skip
    height_above_ground: Inch = declared(
        "length", "top of the deck above the ground outside", default=THIRD_STOREY, least=0.0, most=1200.0,
        low=Low("the floor of a third storey: wind is faster higher up; tape it or say which", 36.0, was=36.0),
        option=Option("height_above_ground"), look=Look.BELOW,
    )  # fmt: skip
    open_below: bool | None = declared(
        "flag", "air can pass under the wall", default=None,
        low=Low("worked out with and without a gap under the wall, the worse counts", usual=False, plays=_raised),
        option=Option("open_below", "air can, or cannot, pass under the wall"), look=Look.BELOW,
    )  # fmt: skip
    closed_storey: bool | None = declared(
        "flag", "the deck stands over a closed storey", default=None, look=Look.BELOW
    )
    storey_below: str = declared(
        "word", "unknown | done: its walls sheathed, plumb and fastened, and the deck on it nailed off",
        default="unknown", one_of=("unknown", DONE), look=Look.BELOW,
        low=Low("nobody said that the storey under this wall is done", DONE, storey_declared),
        option=Option("storey_below"),
    )  # fmt: skip
    joists: Joists | None = declared("part", "the joists under the deck", default=None, on=DECK)
    panel_nails: PanelNails = declared(
        "part", "what ties the deck panel to its joists", default=PanelNails(), on=DECK
    )
    blocks: Blocks = declared("part", "solid blocks between joists under a foot", default=Blocks(), on=DECK)
    cross_cleat: CrossCleat = declared(
        "part", "flat cleats over two joists under both ends of a foot", default=CrossCleat(), on=DECK
    )
    slab: Slab = declared("part", "declared anchors in a slab", default=Slab(), on=SLAB)
    ground: Ground = declared("part", "declared stakes or weights", default=Ground(), on=GROUND)
    keep_outs: tuple[KeepOut, ...] = declared(
        "parts", "rectangles no foot may stand in", key="keep_out", default=(), most=100
    )
    partitions: tuple[Partition, ...] = declared(
        "parts", "partitions to be framed", key="partition", default=(), most=100
    )

    @property
    def over_storey(self) -> bool:
        """Whether the deck stands over a closed storey; undeclared it does from 6 ft up, unless it is open below."""
        if self.closed_storey is not None:
            return self.closed_storey
        return self.kind == DECK and self.height_above_ground >= STOREY and self.open_below is not True
