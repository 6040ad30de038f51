"""The wall as framed: outline, studs, openings, rows, layers, plates and what its ends are nailed to.

Every default is the low one: a field nobody declared takes it and is reported as ASSUMED (see assumed.py).
x runs from LEFT, seen from the brace side facing the wall; z runs up from the floor. Lengths in inches.
"""

from __future__ import annotations

from typing import Any

from attrs import frozen

from bracing.errors import CODE, Fault, InputError
from bracing.job.above import Above, above_faults
from bracing.job.diagonals import Diagonal, diagonal_faults, height_on
from bracing.job.fields import Look, Low, Option, declared, hold_lumber
from bracing.job.floor import off_slab, on_deck
from bracing.job.layers import face_layers
from bracing.job.lumber import section
from bracing.job.outline import (
    HIGHEST_WALL,
    LONGEST_WALL,
    TOUCH,
    Point,
    TopKeys,
    corners,
    top_faults,
)
from bracing.job.returns import LEAST_EDGE, MOST_EDGE, Return
from bracing.units import Inch, Pound, tape

PLANNED, STANDING, LAID_DOWN, TIED_IN = "planned", "standing", "laid down", "tied in"

WIDE: Inch = 108.0  # an opening from this on takes a brace at each edge; judgement


def _sheathed(job: Any) -> bool:  # noqa: ANN401  (the job, which is made of these)
    return bool(job.wall.sheathed)


def _wide(job: Any) -> bool:  # noqa: ANN401
    return any(opening.wide for opening in job.wall.openings)


def _lifts_plate(job: Any) -> bool:  # noqa: ANN401
    """Whether the sheathing lifts the plate by its edge: it is on it, and no rim or strap takes the lift."""
    return _sheathed(job) and not job.wall.plate.bypassed


@frozen
class Studs:
    """How the wall is framed.

    Attributes:
        size: dressed size by its nominal name.
        spacing: stud spacing, centre to centre [in].
        first: centre of the first common stud after the end stud, from LEFT [in].
        species: species as on the grade stamp.
        grade: grade as on the grade stamp.
    """

    size: str = declared(
        "size", "nominal size of the studs", default="2x4", low=Low("the weaker usual stud", "2x6"),
        option=Option("studs", 'size and spacing, such as "2x6@16in"'), look=Look.STUDS,
    )  # fmt: skip
    spacing: Inch = declared(
        "length", "centre to centre", default=24.0, least=6.0, most=48.0,
        low=Low("the wider usual spacing", 16.0), option=Option("studs"), look=Look.STUDS,
    )  # fmt: skip
    first: Inch = declared("length", "where the spacing starts, from LEFT", default=0.0, least=0.0, most=48.0)
    species: str = declared(
        "species", "species on the grade stamp", default="spruce-pine-fir (south)",
        low=Low("the weakest common species: read the stamp", "spruce-pine-fir"),
        option=Option("species", "species on the studs' grade stamp"), look=Look.STUDS,
    )  # fmt: skip
    grade: str = declared(
        "grade", "grade on the grade stamp", default="No.3",
        low=Low("the lowest common grade: read the stamp", "No.2"),
        option=Option("grade", "grade on the studs' grade stamp"), look=Look.STUDS,
    )  # fmt: skip

    def __attrs_post_init__(self) -> None:
        hold_lumber(self.species, self.grade, self.size, where="Studs.grade")


@frozen
class Bare:
    """A stretch of a sheathed wall with no panel nailed off on it: it counts for nothing along the wall.

    Attributes:
        left: where it begins [in].
        width: how long it is [in].
    """

    left: Inch = declared("length", "where it begins, from LEFT", least=0.0, most=LONGEST_WALL)
    width: Inch = declared("length", "how long it is", least=1.0, most=LONGEST_WALL)

    @property
    def right(self) -> Inch:
        """Where it ends [in]."""
        return self.left + self.width


def bare_faults(
    length: Inch, bare: tuple[tuple[int, Bare], ...], *, sheathed: bool
) -> tuple[tuple[str, str, str], ...]:
    """Give what is wrong with the stretches of a wall that are not sheathed.

    Args:
        length: of the wall [in].
        bare: those stretches, each with its place in the file.
        sheathed: the wall is; of a bare frame none is said.

    Example:
        >>> [fault[0] for fault in bare_faults(240.0, ((0, Bare(192.0, 96.0)),), sheathed=True)]
        ['bare[0].width']
    """
    faults = []
    for k, one in bare:
        got = f"{tape(one.left)} to {tape(one.right)}"
        if not sheathed:
            faults.append((f"bare[{k}]", got, "a sheathed wall: with sheathed = false all of it is bare"))
        elif one.right > length + TOUCH:
            faults.append(
                (f"bare[{k}].width", tape(one.width), f"an end within the wall, {tape(length)} long")
            )
        elif any(
            one.left < other.right - TOUCH and other.left < one.right - TOUCH for i, other in bare if i < k
        ):
            faults.append(
                (f"bare[{k}].left", tape(one.left), "a stretch beside the others, not over one of them")
            )
    return tuple(faults)


@frozen(kw_only=True)
class Opening:
    """A door or window.

    Attributes:
        left: left edge of the rough opening [in].
        sill: bottom of the rough opening above the floor [in]; 0 is a door.
        width: width of the rough opening [in].
        height: height of the rough opening [in].
        header: header size on edge.
        kings: full-height studs side by side at each edge.
        header_nails: nails or screws through the king into each end of the header, and of the sill.
        header_fastener: that nail or screw.
        covered: sheathed over, or the window is in.
    """

    left: Inch = declared("length", "left edge from LEFT", least=0.0, most=LONGEST_WALL)
    sill: Inch = declared(
        "length", "bottom above the floor; 0 is a door", default=0.0, least=0.0, most=HIGHEST_WALL
    )
    width: Inch = declared("length", "width of the rough opening", least=1.0, most=LONGEST_WALL)
    height: Inch = declared("length", "height of the rough opening", least=1.0, most=HIGHEST_WALL)
    header: str = declared(
        "header",
        "header on edge, such as 2-2x8",
        default="2-2x6",
        low=Low("the least usual header", "2-2x8"),
        look=Look.OPENINGS,
    )
    kings: int = declared(
        "count", "full-height studs side by side at each edge", default=1, least=1, most=6,
        low=Low("the fewest that can be", 2, _wide), look=Look.OPENINGS,
    )  # fmt: skip
    header_nails: int = declared(
        "count", "fasteners into each header and sill end", default=2, least=0, most=40,
        low=Low("the fewest usual nails", 4), look=Look.OPENINGS,
    )  # fmt: skip
    header_fastener: str = declared(
        "fastener", "the fastener in header and sill ends", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "16d common"), look=Look.OPENINGS,
    )  # fmt: skip
    covered: bool = declared(
        "flag",
        "sheathed over or glazed; true is the low default",
        default=True,
        low=Low("the full sail", usual=True),
        look=Look.OPENINGS,
    )

    @property
    def right(self) -> Inch:
        """Right edge of the rough opening [in]."""
        return self.left + self.width

    @property
    def wide(self) -> bool:
        """So wide that a brace stands at each of its edges, and its header and kings carry what is between them."""
        return self.width >= WIDE - TOUCH

    @property
    def top(self) -> Inch:
        """Top of the rough opening [in]."""
        return self.sill + self.height


def box_of(opening: Opening) -> tuple[Inch, Inch, Inch, Inch]:
    """Give left and right edge, bottom and top of an opening [in].

    Args:
        opening: the opening.
    """
    return opening.left, opening.right, opening.sill, opening.top


@frozen
class Row:
    """A continuous row across the studs; plain blocking is not a row.

    Attributes:
        height: centre height above the floor [in].
        kind: wale (flat on the studs), strongback (on edge), soffit (nailed-on).
        size: nominal size.
    """

    height: Inch = declared("length", "height above the floor", least=1.0, most=HIGHEST_WALL, look=Look.ROWS)
    kind: str = declared(
        "word",
        "wale | strongback | soffit",
        default="wale",
        one_of=("wale", "strongback", "soffit"),
        look=Look.ROWS,
    )
    size: str = declared("size", "nominal size", default="2x4", look=Look.ROWS)


@frozen
class ExtraPlateFasteners:
    """Fasteners put through the bottom plate beside each brace.

    Attributes:
        fastener: which.
        at_each_brace: how many at each brace.
        row_from_sheathed_edge: from the plate's sheathed edge to them [in]; None is as the plate's other rows.
    """

    fastener: str = declared("fastener", "the extra fastener", default="gun nail 0.131x3", look=Look.EXTRA)
    at_each_brace: int = declared(
        "count", "how many at each brace", default=0, least=0, most=60, look=Look.EXTRA
    )
    row_from_sheathed_edge: Inch | None = declared(
        "length", "from the plate's sheathed edge to them; undeclared is as the other rows", default=None,
        least=LEAST_EDGE, most=MOST_EDGE, look=Look.EXTRA,
    )  # fmt: skip


@frozen
class Plate:
    """The bottom plate and what holds it and the studs down.

    Attributes:
        state: tacked (only the extra fasteners count) or final.
        fastener: fastener from plate to floor.
        spacing: its spacing along the plate [in].
        row_from_sheathed_edge: from the plate's sheathed edge to the row of them [in]; None is the middle of the plate.
        in_short_pieces: in every piece of plate under three spacings long; None is whole spacings, rounded down.
        into_framing: every fastener reaches a joist, rim or blocking.
        extra: fasteners beside each brace.
        sheathing_laps: what the sheathing is nailed to at its foot.
        sheathing_fastener: the nail there, and off the studs.
        sheathing_spacing: nail spacing along the plate [in].
        sheathing_field_spacing: nail spacing on the studs [in].
        strap_at_brace_lb: allowable of a declared strap, or of reported screws, from stud to floor framing at each
            brace [lb].
        strap_to: what the strap is fastened to at its foot: framing past the plate, or the plate.
    """

    state: str = declared(
        "word", "tacked | final", default="tacked", one_of=("tacked", "final"),
        low=Low("only what is declared beside the braces is counted", "final", off_slab),
        option=Option("plate_state", "tacked or final"), look=Look.PLATE,
    )  # fmt: skip
    fastener: str = declared(
        "fastener", "plate to floor", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "16d common", off_slab),
        option=Option("plate", 'fastener and spacing, such as "16d common@16in"'), look=Look.PLATE,
    )  # fmt: skip
    spacing: Inch = declared(
        "length", "along the plate", default=24.0, least=1.0, most=96.0,
        low=Low("the widest usual spacing", 16.0, off_slab), option=Option("plate"), look=Look.PLATE,
    )  # fmt: skip
    row_from_sheathed_edge: Inch | None = declared(
        "length", "from the plate's sheathed edge to the row; undeclared is the middle", default=None,
        least=LEAST_EDGE, most=MOST_EDGE,
        low=Low("in the middle of the plate, which the sheathing lifts by its edge", 0.75, _lifts_plate),
        option=Option("plate_row", "from the plate's sheathed edge to its row of fasteners, such as 3/4in"),
        look=Look.PLATE,
    )  # fmt: skip
    in_short_pieces: int | None = declared(
        "count", "in every piece of plate under three spacings long; undeclared is whole spacings", default=None,
        least=0, most=60, look=Look.PLATE,
    )  # fmt: skip
    into_framing: bool = declared(
        "flag", "every fastener reaches a joist, rim or blocking", default=False,
        low=Low("nails may miss the joists and reach the deck only", True, on_deck),  # noqa: FBT003
        look=Look.PLATE,
    )  # fmt: skip
    extra: ExtraPlateFasteners = declared("part", "beside each brace", default=ExtraPlateFasteners())
    sheathing_laps: str = declared(
        "word", "none | plate | rim: what its foot is nailed to", default="none", one_of=("none", "plate", "rim"),
        low=Low("nothing ties the studs down until nailed", "plate", _sheathed), look=Look.SHEATHING,
    )  # fmt: skip
    sheathing_fastener: str = declared(
        "fastener", "sheathing nail", default="gun nail 0.113x2-3/8",
        low=Low("the weakest usual sheathing nail", "8d common", _sheathed), look=Look.SHEATHING,
    )  # fmt: skip
    sheathing_spacing: Inch = declared(
        "length", "along the plate", default=12.0, least=1.0, most=24.0,
        low=Low("the widest usual spacing", 6.0, _sheathed), look=Look.SHEATHING,
    )  # fmt: skip
    sheathing_field_spacing: Inch = declared(
        "length", "on the studs", default=12.0, least=1.0, most=24.0,
        low=Low("the widest usual spacing", 6.0, _sheathed), look=Look.SHEATHING,
    )  # fmt: skip
    strap_at_brace_lb: Pound = declared(
        "force",
        "declared strap or reported screws, stud to floor, at each brace",
        default=0.0,
        least=0.0,
        most=20000.0,
        look=Look.STRAPS,
    )
    strap_to: str = declared(
        "word",
        "framing | plate: what its foot is fastened to",
        default="framing",
        one_of=("framing", "plate"),
        look=Look.STRAPS,
    )

    @property
    def lifted_by_strap(self) -> bool:
        """Whether a declared strap lifts the plate at its middle."""
        return self.strap_at_brace_lb > 0.0 and self.strap_to == "plate"

    @property
    def bypassed(self) -> bool:
        """Whether the lift goes past the plate, down a strap or the sheathing into the framing under it."""
        return self.sheathing_laps == "rim" or (self.strap_at_brace_lb > 0.0 and self.strap_to == "framing")


@frozen
class TopPlate:
    """The two plies of the top plate and their joints.

    Attributes:
        end_nails: nails through the lower ply into the end of each stud.
        end_nail: that nail.
        strap_at_brace_lb: allowable of a declared strap or screws from plate to braced stud [lb].
        spliced: both plies declared nailed together with lapped joints, so that both bend.
    """

    end_nails: int = declared(
        "count", "through the plate into each stud end", default=2, least=0, most=12,
        low=Low("the fewest usual end nails", 3), look=Look.TOP,
    )  # fmt: skip
    end_nail: str = declared(
        "fastener",
        "that nail",
        default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "16d common"),
        look=Look.TOP,
    )
    strap_at_brace_lb: Pound = declared(
        "force", "declared strap or screws at the brace", default=0.0, least=0.0, most=20000.0,
        low=Low("a strap counts only where it is declared", 0.0), look=Look.TOP,
    )  # fmt: skip
    spliced: bool = declared(
        "flag", "both plies nailed together, joints lapped", default=False,
        low=Low("a joint may fall anywhere: one ply counts", True), look=Look.TOP,  # noqa: FBT003
    )  # fmt: skip


@frozen(cache_hash=True)
class Wall:
    """A framed wall.

    Attributes:
        name: what the crew calls it.
        top: outline of the top of the plates, its ends and corners, (x, z) from LEFT to right [in].
        studs: framing.
        moisture: green, or dry where lumber was dry when nailed and is kept dry.
        layers: names of the layers on it, from the studs out.
        sheathed: at least one face sheathed over its whole area.
        left_end: free or return.
        right_end: free or return.
        left_return: the return wall at LEFT.
        right_return: the return wall at the right.
        plate: bottom plate.
        top_plate: top plate.
        openings: doors and windows.
        rows: continuous rows.
        bare: stretches of a sheathed wall with no panel nailed off on them.
        diagonals: diagonals in the plane of the frame, which keep it upright along its own length.
        above: what stands on it from above or leans on it.
        extra_weight: pieces added by the user, at the centre of gravity [lb].
        state: where it is now; undeclared is standing.
        left_is: what is at LEFT, as the crew says it; nothing is reckoned from it.
    """

    name: str = declared(
        "name", "what the crew calls it", option=Option("name", "what the crew calls the wall")
    )
    top: tuple[Point, ...] = declared(
        "points", "outline of the top, (x, height) from LEFT to right", most=LONGEST_WALL, drawn=TopKeys
    )
    studs: Studs = declared("part", "how it is framed", default=Studs())
    moisture: str = declared(
        "word", "green | dry: dry when nailed and kept dry", default="green", one_of=("green", "dry"),
        low=Low("framing outdoors counts as wet unless kept dry from nailing on", "dry"),
        option=Option("moisture", "green, or dry: dry when nailed and kept dry"), look=Look.STUDS,
    )  # fmt: skip
    layers: tuple[str, ...] = declared(
        "layers", "layers on it, from the studs out; undeclared is a full sail", default=(),
        low=Low(
            "weighed as bare framing, full sail; layers add weight and nailing", ("osb 7/16", "housewrap"), _sheathed
        ),
        option=Option("layers", 'layers, such as "osb 7/16, housewrap", or none'), look=Look.LAYERS,
    )  # fmt: skip
    sheathed: bool = declared(
        "flag", "one face covered; false lets wind through the studs", default=True, look=Look.LAYERS
    )
    left_end: str = declared("word", "free | return", default="free", one_of=("free", "return"))
    right_end: str = declared("word", "free | return", default="free", one_of=("free", "return"))
    left_return: Return = declared("part", "the return wall at LEFT", default=Return())
    right_return: Return = declared("part", "the return wall at the right", default=Return())
    plate: Plate = declared("part", "the bottom plate", default=Plate())
    top_plate: TopPlate = declared("part", "the top plate", default=TopPlate())
    openings: tuple[Opening, ...] = declared(
        "parts", "doors and windows", key="opening", default=(), most=200,
        option=Option("opening", 'left edge, sill and size, such as "13ft:sill 3ft:6ft x 4ft"'),
    )  # fmt: skip
    rows: tuple[Row, ...] = declared("parts", "continuous rows", key="row", default=(), most=20)
    bare: tuple[Bare, ...] = declared(
        "parts",
        "stretches of a sheathed wall with no panel, or one only tacked",
        key="bare",
        default=(),
        most=40,
    )
    diagonals: tuple[Diagonal, ...] = declared(
        "parts", "diagonals in the plane of the frame", key="diagonal", default=(), most=40
    )
    above: tuple[Above, ...] = declared(
        "parts", "what stands on it from above or leans on it", key="load", default=(), most=20
    )
    extra_weight: Pound = declared(
        "force", "pieces added, at the centre of gravity", default=0.0, least=0.0, most=100000.0
    )
    state: str = declared(
        "word",
        "planned | standing | laid down | tied in: where it is now; tied in is checked as standing",
        default=STANDING,
        one_of=(PLANNED, STANDING, LAID_DOWN, TIED_IN),
        option=Option("state", "where it is: planned, standing, laid down or tied in; standing unless given"),
    )
    left_is: str = declared("name", "what is at LEFT, such as driveway end", default="")

    def covered(self, piece: tuple[Inch, Inch]) -> tuple[tuple[Inch, Inch], ...]:
        """Give what of a stretch has panels nailed off on it, from LEFT [in].

        Args:
            piece: the stretch, from LEFT [in].
        """
        left = [piece]
        for one in self.bare:
            left = [
                part
                for low, high in left
                for part in ((low, min(high, one.left)), (max(low, one.right), high))
                if part[1] - part[0] > TOUCH
            ]
        return tuple(left)

    @property
    def up(self) -> bool:
        """Whether it is up, where wind can take it down; one nobody declared is."""
        return self.state not in (PLANNED, LAID_DOWN)

    def __attrs_post_init__(self) -> None:
        """Hold the outline to what a wall may be, and keep its ends and corners, however it was taped."""
        faults = [
            Fault(CODE, f"Wall.{where}", got, expected) for where, got, expected in top_faults(self.top)
        ]
        faults += [
            Fault(CODE, f"Wall.{where}", got, expected)
            for where, got, expected in row_faults(self.plate, self.studs)
        ]
        faults += [
            Fault(CODE, f"Wall.{where}", got, expected)
            for where, got, expected in diagonal_faults(
                self.top, tuple(map(box_of, self.openings)), tuple(enumerate(self.diagonals))
            )
        ]
        faults += [
            Fault(CODE, f"Wall.{where}", got, expected)
            for where, got, expected in above_faults(self.top, tuple(enumerate(self.above)))
        ]
        faults += [
            Fault(CODE, f"Wall.{where}", got, expected)
            for where, got, expected in bare_faults(
                max((x for x, _ in self.top), default=0.0),
                tuple(enumerate(self.bare)),
                sheathed=self.sheathed,
            )
        ]
        stopping = () if self.sheathed else face_layers(self.layers)
        if stopping:
            faults.append(Fault(CODE, "Wall.sheathed", "false", stops_the_wind(stopping[0])))
        if faults:
            raise InputError(faults)
        object.__setattr__(self, "top", corners(self.top))

    @property
    def length(self) -> Inch:
        """Length along the plate [in]."""
        return self.top[-1][0]

    @property
    def highest(self) -> Inch:
        """Highest point of the outline [in]."""
        return max(z for _, z in self.top)

    def height_at(self, x: Inch) -> Inch:
        """Height of the outline at x [in].

        Args:
            x: distance from LEFT [in]; outside the wall the end height is given.
        """
        return height_on(self.top, x)


def row_faults(plate: Plate, studs: Studs) -> tuple[tuple[str, str, str], ...]:
    """Say which rows of fasteners are off their plate: where, what is there, and what is expected.

    Args:
        plate: the bottom plate.
        studs: the studs, as wide as it.

    Example:
        >>> row_faults(Plate(row_from_sheathed_edge=0.75), Studs())
        ()
        >>> row_faults(Plate(row_from_sheathed_edge=3.25), Studs(size="2x4"))
        (('plate.row_from_sheathed_edge', '3.25 in', 'at most 3.125 in: wall.studs.size makes the plate 3.5 in wide'),)
    """
    wide = section(studs.size).width
    expected = f"at most {wide - LEAST_EDGE:g} in: wall.studs.size makes the plate {wide:g} in wide"
    rows = (("plate", plate.row_from_sheathed_edge), ("plate.extra", plate.extra.row_from_sheathed_edge))
    return tuple(
        (f"{where}.row_from_sheathed_edge", f"{row:g} in", expected)
        for where, row in rows
        if row is not None and row > wide - LEAST_EDGE
    )


def stops_the_wind(layer: str) -> str:
    """Say what is expected of a wall declared bare that has a layer over its face.

    Args:
        layer: its name.
    """
    return f"true: {layer} stops the wind"
