"""A return wall: what is declared of a wall that runs away from an end of this one, and holds it.

Of its fields those no answer can do without have no default: where one is undeclared the return counts for nothing.
"""

from __future__ import annotations

from typing import Any

from attrs import frozen

from bracing.job.fields import Low, declared, hold_lumber
from bracing.job.outline import HIGHEST_WALL, LONGEST_WALL, LOWEST_WALL
from bracing.units import Inch, Pound

LEAST_EDGE: Inch = 0.375  # nearer the edge no row of nails can be put
MOST_EDGE: Inch = 11.0


def _has_return(job: Any) -> bool:  # noqa: ANN401
    return "return" in (job.wall.left_end, job.wall.right_end)


def _has_strap(job: Any) -> bool:  # noqa: ANN401
    wall = job.wall
    ends = ((wall.left_end, wall.left_return), (wall.right_end, wall.right_return))
    return any(end == "return" and max(one.strap_corner_lb, one.strap_far_lb) > 0.0 for end, one in ends)


ON_BRACE_SIDE, OUTSIDE = "brace side", "outside"
_NOTHING = "what a return has of it nobody said: it counts for nothing, the end is free"


@frozen
class ReturnStuds:
    """How a return wall is framed.

    Attributes:
        size: dressed size by its nominal name.
        spacing: stud spacing [in].
        species: species as on the grade stamp.
        grade: grade as on the grade stamp.
    """

    size: str = declared(
        "size", "nominal size", default="2x4", low=Low("the weaker usual stud", "2x6", _has_return)
    )
    spacing: Inch = declared(
        "length", "centre to centre", default=24.0, least=6.0, most=48.0,
        low=Low("the wider usual spacing", 16.0, _has_return),
    )  # fmt: skip
    species: str = declared(
        "species", "species on the grade stamp", default="spruce-pine-fir (south)",
        low=Low("the weakest common species: read the stamp", "spruce-pine-fir", _has_return),
    )  # fmt: skip
    grade: str = declared(
        "grade", "grade on the grade stamp", default="No.3",
        low=Low("the lowest common grade: read the stamp", "No.2", _has_return),
    )  # fmt: skip

    def __attrs_post_init__(self) -> None:
        hold_lumber(self.species, self.grade, self.size, where="ReturnStuds.grade")


@frozen(kw_only=True)
class ReturnOpening:
    """A door or window in a return wall: what is left and right of it counts by itself.

    Attributes:
        left: left edge of the rough opening, from the corner [in].
        width: width of the rough opening [in].
    """

    left: Inch = declared("length", "edge nearer this wall, from it", least=0.0, most=LONGEST_WALL)
    width: Inch = declared("length", "width of the rough opening", least=1.0, most=LONGEST_WALL)

    @property
    def right(self) -> Inch:
        """Its other edge [in]."""
        return self.left + self.width


@frozen
class ReturnPlate:
    """The bottom plate of a return wall.

    Attributes:
        fastener: from plate to floor.
        spacing: along the plate [in].
        laps: what its sheathing is nailed to at its foot.
        row_from_sheathed_edge: from the plate's sheathed edge to the row [in]; None is the middle.
        into_framing: every fastener reaches a joist, rim or blocking.
    """

    fastener: str | None = declared(
        "fastener", "its plate to the floor", default=None, low=Low(_NOTHING, "16d common", _has_return)
    )
    spacing: Inch | None = declared(
        "length",
        "of those, along its plate",
        default=None,
        least=1.0,
        most=96.0,
        low=Low(_NOTHING, 16.0, _has_return),
    )
    laps: str = declared(
        "word", "none | plate | rim: what its sheathing is nailed to at its foot", default="none",
        one_of=("none", "plate", "rim"), low=Low(_NOTHING, "plate", _has_return),
    )  # fmt: skip
    row_from_sheathed_edge: Inch | None = declared(
        "length", "from its sheathed edge to the row; undeclared is the middle", default=None, least=LEAST_EDGE,
        most=MOST_EDGE,
    )  # fmt: skip
    into_framing: bool = declared("flag", "every one reaches a joist, rim or blocking", default=False)


@frozen
class ReturnCorner:
    """The fasteners between the end studs of a wall and its return.

    Attributes:
        fastener: which.
        count: how many over the height.
        joint: how the wind across this wall loads them; withdrawal is the low default.
    """

    fastener: str | None = declared(
        "fastener", "corner fastener", default=None, low=Low(_NOTHING, "16d common", _has_return)
    )
    count: int = declared(
        "count", "over the height", default=0, least=0, most=400, low=Low(_NOTHING, 12, _has_return)
    )
    joint: str = declared(
        "word", "shear | withdrawal: how wind loads them", default="withdrawal", one_of=("shear", "withdrawal"),
        low=Low("wind may draw them out, where they hold least", "shear", _has_return),
    )  # fmt: skip


@frozen
class Return:
    """A return wall at an end: it holds the end as far as its sheathing, its corner and its foot do.

    Attributes:
        wall: file of its own, which gives its length, height, studs, openings, sheathing and plate.
        side: where it runs: to the brace side or outside.
        length: its length away from this wall [in]; None is unknown.
        height: its height [in]; None is this wall's at that end.
        studs: its framing.
        openings: in it, from this wall on.
        moisture: green or dry; None is as this wall.
        under: layers between its studs and its panel, from the studs out.
        sheathing: its panel; None is unknown.
        edge_nail: nail in every panel edge; None is unknown.
        edge_spacing: spacing there [in]; None is unknown.
        field_spacing: nail spacing between the edges [in].
        blocked: every panel edge is on framing.
        plate: its bottom plate.
        corner: what is in the corner.
        strap_corner_lb: allowable of a declared strap on its end stud at the corner, down into framing [lb].
        strap_far_lb: the same at its far end [lb].
        strap_slip: how far these straps give at that [in].
        strap_source: report of the straps; without it they count for nothing.
        floor_outside: there is floor under it outside.
        plated: top plates tied across the corner; undeclared they are not.
        nailed: end studs nailed together.
        sheathed: it is sheathed.
        fastened_down: its own bottom plate is in its final state.
        fastener: the corner fastener, as files of before name it.
        count: how many, as files of before name it.
        joint: how wind loads them, as files of before name it.
    """

    wall: str = declared(
        "name", "its own wall file, which gives what stands below up to plate; braces of both inside", default=""
    )  # fmt: skip
    side: str = declared(
        "word", "brace side | outside: where it runs", default=ON_BRACE_SIDE, one_of=(ON_BRACE_SIDE, OUTSIDE)
    )
    length: Inch | None = declared(
        "length", "away from this wall", default=None, least=0.0, most=LONGEST_WALL,
        low=Low(_NOTHING, 96.0, _has_return),
    )  # fmt: skip
    height: Inch | None = declared(
        "length",
        "its height; undeclared is this wall's there",
        default=None,
        least=LOWEST_WALL,
        most=HIGHEST_WALL,
    )
    studs: ReturnStuds = declared("part", "how it is framed", default=ReturnStuds())
    openings: tuple[ReturnOpening, ...] = declared(
        "parts", "doors and windows in it", key="opening", default=(), most=40
    )
    moisture: str | None = declared(
        "word", "green | dry; undeclared is as this wall", default=None, one_of=("green", "dry")
    )
    under: tuple[str, ...] = declared("layers", "between its studs and its panel, such as foam", default=())
    sheathing: str | None = declared(
        "deck", "its panel, such as osb 7/16", default=None, low=Low(_NOTHING, "osb 7/16", _has_return)
    )
    edge_nail: str | None = declared(
        "fastener", "nail in its panel edges", default=None, low=Low(_NOTHING, "8d common", _has_return)
    )
    edge_spacing: Inch | None = declared(
        "length", "of those nails", default=None, least=1.0, most=24.0, low=Low(_NOTHING, 6.0, _has_return)
    )
    field_spacing: Inch = declared("length", "of nails between the edges", default=12.0, least=1.0, most=24.0)
    blocked: bool = declared(
        "flag", "every panel edge is on framing", default=False,
        low=Low("edges off the studs may hang free", True, _has_return),  # noqa: FBT003
    )  # fmt: skip
    plate: ReturnPlate = declared("part", "its bottom plate", default=ReturnPlate())
    corner: ReturnCorner = declared("part", "in the corner", default=ReturnCorner())
    strap_corner_lb: Pound = declared(
        "force", "declared strap at the corner, down", default=0.0, least=0.0, most=20000.0
    )
    strap_far_lb: Pound = declared(
        "force", "declared strap at its far end", default=0.0, least=0.0, most=20000.0
    )
    strap_slip: Inch = declared(
        "length", "what those straps give at that", default=0.125, least=0.01, most=2.0
    )
    strap_source: str = declared(
        "name", "report of the straps; without it they count for nothing", default="",
        low=Low("a strap of which no report is named counts for nothing", "its report", _has_strap),
    )  # fmt: skip
    floor_outside: bool = declared("flag", "there is floor under it outside", default=False)
    plated: bool = declared(
        "flag", "true: top plates tied across the corner", default=False, low=Low(_NOTHING, True, _has_return)  # noqa: FBT003
    )  # fmt: skip
    nailed: bool = declared(
        "flag", "true: end studs nailed together", default=False, low=Low(_NOTHING, True, _has_return)  # noqa: FBT003
    )  # fmt: skip
    sheathed: bool = declared(
        "flag", "true: sheathed", default=False, low=Low(_NOTHING, True, _has_return)  # noqa: FBT003
    )  # fmt: skip
    fastened_down: bool = declared(
        "flag", "true: its plate is in its final state", default=False, low=Low(_NOTHING, True, _has_return)  # noqa: FBT003
    )  # fmt: skip
    fastener: str | None = declared("fastener", "as corner.fastener, in older files", default=None)
    count: int = declared("count", "as corner.count, in older files", default=0, least=0, most=400)
    joint: str | None = declared(
        "word", "as corner.joint, in older files", default=None, one_of=("shear", "withdrawal")
    )

    @property
    def tied(self) -> ReturnCorner:
        """What is in the corner, however the file names it."""
        corner = self.corner
        return ReturnCorner(
            corner.fastener or self.fastener,
            corner.count or self.count,
            "shear" if "shear" in (corner.joint, self.joint) else "withdrawal",
        )

    @property
    def straps(self) -> tuple[Pound, Pound]:
        """Allowable of the straps at its corner and its far end; without a report they count for nothing [lb]."""
        return (self.strap_corner_lb, self.strap_far_lb) if self.strap_source.strip() else (0.0, 0.0)

    @property
    def missing(self) -> tuple[str, ...]:
        """What is wanting for it to count: keys that are not declared, or that say it is not done."""
        said = {
            "length": self.length is not None, "sheathing": self.sheathing, "edge_nail": self.edge_nail,
            "edge_spacing": self.edge_spacing, "plate.fastener": self.plate.fastener,
            "plate.spacing": self.plate.spacing, "plate.laps": self.plate.laps != "none",
            "corner.fastener": self.tied.fastener,
            "corner.count": self.tied.count, "floor_outside": self.floor_outside or self.side != OUTSIDE,
            "plated": self.plated, "nailed": self.nailed, "sheathed": self.sheathed,
            "fastened_down": self.fastened_down,
        }  # fmt: skip
        return tuple(key for key, there in said.items() if not there)
