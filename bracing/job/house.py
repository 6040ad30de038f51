"""The job of several walls, as `job.toml` in their folder declares it: which ends meet, and what is done there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import StrEnum
from functools import partial
from itertools import product
from typing import NamedTuple

from attrs import evolve, frozen

from bracing.errors import Fault, InputError, near_names, refused, shown, with_near
from bracing.job.fields import Low, declared
from bracing.job.job import Job
from bracing.job.layers import face_layers, layer
from bracing.job.lumber import section
from bracing.job.outline import HIGHEST_WALL, LONGEST_WALL, LOWEST_WALL
from bracing.job.returns import Return, ReturnOpening, ReturnPlate, ReturnStuds
from bracing.job.wall import PLANNED
from bracing.job.watched import Named, Watched
from bracing.units import Inch, tape

JOB_FILE = "job.toml"
ENDS = ("left", "right")
BRACE_SIDE, OUTSIDE = "brace side", "outside"
# A crew's tape around a house closes to this; a corner that is farther off is another corner.
CLOSES_WITHIN: Inch = 2.0
MOST_CORNERS = 12
MOST_BELOW = 60
MOST_DECKS = 6
PANELS_REACH: Inch = 48.0  # from a corner on, of a wall that holds another there; a panel's width, judgement
WALLS_OF_A_DECK = 4
Way = tuple[int, int]
Place = tuple[Inch, Inch]


class Tick(StrEnum):
    """What is seen at a corner before it counts: all four; the word is the one to type."""

    NAILED = "nailed"
    LAPPED = "plates lapped"
    EDGES = "edges nailed"
    FINAL = "plate final"


class WallEnd(NamedTuple):
    """One end of a wall.

    Attributes:
        file: the wall's file, by its name in the folder.
        end: left or right, from the brace side facing the wall.
    """

    file: str
    end: str

    @property
    def name(self) -> str:
        """The wall as a crew calls it: its file without the ending."""
        return self.file.removesuffix(".toml")


@frozen
class Meeting:
    """Two walls that meet at right angles.

    Attributes:
        walls: the file and end of each; the second runs away from the first.
        side: to which side of the first the second runs.
        fastener: what goes through the one end stud into the other.
        count: how many over the height.
        joint: how wind across the first wall loads them; withdrawal is the low default.
        second_joint: how wind across the second does: a nail that one wall pushes across its axis the other draws.
        done: what somebody has seen done there.
    """

    walls: tuple[str, ...] = declared(
        "names", 'file and end of both, such as ["south.toml right", "east.toml left"]'
    )
    side: str = declared(
        "word",
        "brace side | outside: where the second runs",
        default=BRACE_SIDE,
        one_of=(BRACE_SIDE, OUTSIDE),
    )
    fastener: str = declared(
        "fastener", "from end stud to end stud", default="gun nail 0.131x3",
        low=Low("the weakest usual nail", "16d common"),
    )  # fmt: skip
    count: int = declared(
        "count", "corner fasteners over the height", default=0, least=0, most=400,
        low=Low("none counts that nobody counted", 16),
    )  # fmt: skip
    joint: str = declared(
        "word", "shear | withdrawal: how wind across the first wall does", default="withdrawal",
        one_of=("shear", "withdrawal"),
        low=Low("the weaker of the two: the wind may draw them", "shear"),
    )  # fmt: skip
    second_joint: str = declared(
        "word", "shear | withdrawal: how wind across the second wall does", default="withdrawal",
        one_of=("shear", "withdrawal"),
    )  # fmt: skip
    done: tuple[str, ...] = declared("names", f"what is done there: {', '.join(Tick)}", default=())

    def __attrs_post_init__(self) -> None:
        expected = 'two, each a wall file and its end, such as ["south.toml right", "east.toml left"]'
        if len(self.walls) != 2 or any(text.rpartition(" ")[2] not in ENDS for text in self.walls):
            where = "Meeting.walls"
            raise refused(where, list(self.walls), expected)
        for text in self.done:
            if text not in tuple(Tick):
                where = "Meeting.done"
                raise refused(
                    where, text, with_near(f"one of: {', '.join(Tick)}", near_names(text, tuple(Tick)))
                )

    @property
    def ends(self) -> tuple[WallEnd, WallEnd]:
        """The two ends that meet."""
        first, second = (text.rpartition(" ") for text in self.walls)
        return WallEnd(first[0].strip(), first[2]), WallEnd(second[0].strip(), second[2])

    def joint_of(self, end: WallEnd) -> str:
        """Say how wind across one of the two walls loads the fasteners.

        Args:
            end: its end there.
        """
        return self.joint if end == self.ends[0] else self.second_joint

    @property
    def name(self) -> str:
        """The corner as a crew calls it."""
        first, second = self.ends
        return f"{first.name}/{second.name}"

    @property
    def missing(self) -> tuple[Tick, ...]:
        """What nobody has ticked yet."""
        return tuple(tick for tick in Tick if tick not in self.done)

    @property
    def counts(self) -> bool:
        """Whether all four are ticked: a corner counts for nothing before that."""
        return not self.missing


@frozen
class Below:
    """One full-height piece, without an opening in it, of a sheathed wall of the storey below.

    Attributes:
        under: file of the wall of this job it stands under and runs along with.
        length: its length [in]; None is unknown.
        height: its height, or that of the tallest opening beside it [in]; None is unknown.
        studs: its framing.
        moisture: green or dry.
        sheathing: its panel; None is unknown.
        edge_nail: nail in every panel edge; None is unknown.
        edge_spacing: spacing there [in]; None is unknown.
        field_spacing: nail spacing between the edges [in].
        blocked: every panel edge is on framing.
    """

    under: str = declared("name", "wall file of this job it stands under, such as south.toml")
    length: Inch | None = declared("length", "of the piece", default=None, least=0.0, most=LONGEST_WALL)
    height: Inch | None = declared(
        "length", "of the piece", default=None, least=LOWEST_WALL, most=HIGHEST_WALL
    )
    studs: ReturnStuds = declared("part", "how it is framed", default=ReturnStuds())
    moisture: str = declared("word", "green | dry", default="green", one_of=("green", "dry"))
    sheathing: str | None = declared("deck", "its panel, such as osb 7/16", default=None)
    edge_nail: str | None = declared("fastener", "nail in its panel edges", default=None)
    edge_spacing: Inch | None = declared("length", "of those nails", default=None, least=1.0, most=24.0)
    field_spacing: Inch = declared("length", "of nails between the edges", default=12.0, least=1.0, most=24.0)
    blocked: bool = declared("flag", "every panel edge is on framing", default=False)

    @property
    def missing(self) -> tuple[str, ...]:
        """Keys that are wanting for it to count."""
        said = {
            key: getattr(self, key) for key in ("length", "height", "sheathing", "edge_nail", "edge_spacing")
        }
        return tuple(key for key, value in said.items() if not value)


class Laid(StrEnum):
    """What is seen of a deck over the walls before it counts: all three; the word is the one to type."""

    LAID = "laid"
    NAILED = "nailed off"
    TOPS = "tops fastened"


@frozen
class TopDeck:
    """A deck, or a roof, over the walls of a ring of four: once it is all of it there it holds their tops.

    Attributes:
        walls: the four walls it lies on.
        kind: deck or roof; a roof counts for nothing.
        joists: how it is framed.
        moisture: green or dry.
        sheathing: its panel; None is unknown.
        nail: nail in every panel edge that is on a joist; None is unknown.
        edge_spacing: spacing there [in]; None is unknown.
        field_spacing: nail spacing between the edges [in].
        whole: no opening is in it.
        top_fastener: from its joists and rims into the top plates; None is unknown.
        top_spacing: spacing of those over each wall [in]; None is unknown.
        top_joint: toe-nail or straight.
        lap_fastener: through each lap of the plies of the top plates; None is unknown.
        lap_count: how many through each.
        done: what somebody has seen done of it.
    """

    walls: tuple[str, ...] = declared("names", "files of the four walls it lies on, each once")
    kind: str = declared("word", "deck | roof", default="deck", one_of=("deck", "roof"))
    joists: ReturnStuds = declared("part", "how it is framed", default=ReturnStuds())
    moisture: str = declared("word", "green | dry", default="green", one_of=("green", "dry"))
    sheathing: str | None = declared("deck", "its panel, such as osb 23/32", default=None)
    nail: str | None = declared("fastener", "nail in its panel edges", default=None)
    edge_spacing: Inch | None = declared("length", "of those nails", default=None, least=1.0, most=24.0)
    field_spacing: Inch = declared("length", "of nails between the edges", default=24.0, least=1.0, most=24.0)
    whole: bool = declared("flag", "no opening is in it", default=False)
    top_fastener: str | None = declared("fastener", "from joists and rims into the top plates", default=None)
    top_spacing: Inch | None = declared(
        "length", "of those over each wall", default=None, least=1.0, most=48.0
    )
    top_joint: str = declared(
        "word", "toe-nail | straight: how those are driven", default="toe-nail",
        one_of=("toe-nail", "straight"),
    )  # fmt: skip
    lap_fastener: str | None = declared("fastener", "through each lap of the top plates", default=None)
    lap_count: int = declared("count", "of those through each lap", default=0, least=0, most=40)
    done: tuple[str, ...] = declared("names", f"what is done of it: {', '.join(Laid)}", default=())

    def __attrs_post_init__(self) -> None:
        if len(set(self.walls)) != WALLS_OF_A_DECK or len(self.walls) != WALLS_OF_A_DECK:
            where = "TopDeck.walls"
            raise refused(where, list(self.walls), "the files of four walls, each once")
        for text in self.done:
            if text not in tuple(Laid):
                where = "TopDeck.done"
                expected = with_near(f"one of: {', '.join(Laid)}", near_names(text, tuple(Laid)))
                raise refused(where, text, expected)

    @property
    def missing(self) -> tuple[Laid, ...]:
        """What nobody has ticked yet."""
        return tuple(tick for tick in Laid if tick not in self.done)

    @property
    def lacks(self) -> tuple[str, ...]:
        """Keys that are wanting for it to count."""
        keys = (
            "sheathing", "nail", "edge_spacing", "whole", "top_fastener", "top_spacing", "lap_fastener", "lap_count",
        )  # fmt: skip
        return tuple(key for key in keys if not getattr(self, key))


_beside = partial(declared, key="")


@frozen
class House:
    """What `job.toml` declares of all the walls of a folder.

    Attributes:
        job: what it is called, and its clocks.
        watch: where its weather is asked for, and who is told.
        corners: where its walls meet.
        below: pieces of the walls of the storey below.
        decks: decks and roofs over its walls.
        declared: dotted paths of the fields the person gave.
        file: where it was read from.
        sha256: hash of the file, and of those of its walls.
    """

    job: Named = declared("part", "what it is called, and its clocks", default=Named())
    watch: Watched = declared("part", "where its weather is asked for, and who is told", default=Watched())
    corners: tuple[Meeting, ...] = declared(
        "parts", "where two walls meet", key="corner", default=(), most=MOST_CORNERS
    )
    below: tuple[Below, ...] = declared(
        "parts", "full-height pieces of the walls of the storey below", default=(), most=MOST_BELOW
    )
    decks: tuple[TopDeck, ...] = declared(
        "parts", "a deck or a roof over four walls", key="deck", default=(), most=MOST_DECKS
    )
    declared: frozenset[str] = _beside("texts", default=frozenset())
    file: str = _beside("text", default=JOB_FILE)
    sha256: str = _beside("text", default="")


def deck_name(k: int) -> str:
    """Name a deck of a job as it is typed.

    Args:
        k: which, from 0.

    Example:
        >>> deck_name(0)
        'deck 1'
    """
    return f"deck {k + 1}"


class Placed(NamedTuple):
    """Where a wall stands in the plan of the job.

    Attributes:
        start: its LEFT end, in the middle of the plate, from that of the first wall [in].
        along: which way its right end lies.
    """

    start: Place
    along: Way

    @property
    def to_braces(self) -> Way:
        """Which way its brace side lies: at the right hand of who walks from LEFT to right."""
        return self.along[1], -self.along[0]

    def end(self, end: str, length: Inch) -> Place:
        """Give the middle of the plate at one end.

        Args:
            end: left or right.
            length: of the wall [in].
        """
        return self.start if end == "left" else _moved(self.start, self.along, length)


def _moved(place: Place, way: Way, by: Inch) -> Place:
    return place[0] + way[0] * by, place[1] + way[1] * by


def _turned(way: Way) -> Way:
    return -way[0], -way[1]


def refuse_unknown_ends(house: House, jobs: Mapping[str, Job]) -> None:
    """Refuse corners, decks and a storey below of walls that are not there, and ends that meet twice.

    Args:
        house: the job.
        jobs: its walls, by file.

    Raises:
        InputError: every fault of its corners.
    """
    faults, taken = [], dict[WallEnd, int]()
    for k, corner in enumerate(house.corners):
        for i, end in enumerate(corner.ends):
            where, value = f"corner[{k}].walls[{i}]", corner.walls[i]
            if end.file not in jobs:
                expected = with_near("a wall file of this folder", near_names(end.file, tuple(jobs)))
                faults.append(Fault(house.file, where, shown(value), expected))
            elif end in taken:
                expected = f"an end that meets no other wall: it stands in corner[{taken[end]}] too"
                faults.append(Fault(house.file, where, shown(value), expected))
            taken.setdefault(end, k)
        first, second = corner.ends
        if first.file == second.file and first.file in jobs:
            faults.append(
                Fault(
                    house.file, f"corner[{k}].walls", shown(list(corner.walls)), "ends of two different walls"
                )
            )
    for k, piece in enumerate(house.below):
        if piece.under not in jobs:
            expected = with_near("a wall file of this folder", near_names(piece.under, tuple(jobs)))
            faults.append(Fault(house.file, f"below[{k}].under", shown(piece.under), expected))
    for k, deck in enumerate(house.decks):
        for i, file in enumerate(deck.walls):
            if file not in jobs:
                expected = with_near("a wall file of this folder", near_names(file, tuple(jobs)))
                faults.append(Fault(house.file, f"deck[{k}].walls[{i}]", shown(file), expected))
    faults += _laid_twice(house)
    if faults:
        raise InputError(faults)


def _laid_twice(house: House) -> Iterator[Fault]:
    """Decks over a wall that has one already: both would hold it. A roof over a deck counts for nothing."""
    over: dict[str, int] = {}
    for k, deck in enumerate(house.decks):
        if deck.kind == "roof":
            continue
        twice = next((file for file in deck.walls if file in over), None)
        if twice is not None:
            expected = f"walls no other deck lies on: deck[{over[twice]}] lies on {twice} too"
            yield Fault(house.file, f"deck[{k}].walls", shown(list(deck.walls)), expected)
        for file in deck.walls:
            over.setdefault(file, k)


def lay_out(house: House, jobs: Mapping[str, Job]) -> dict[str, Placed]:
    """Lay the walls out in plan, from corner to corner.

    Which of two plates runs through at a corner nobody says: a ring closes where it does so for some of them.

    Args:
        house: the job, whose corners are of these walls.
        jobs: its walls, by file.

    Returns:
        By file, where each wall stands; those that hang together in no corner start anew at the origin.

    Raises:
        InputError: walls that do not meet at right angles, a ring that does not close within 2 in.
    """
    along = _ways(house, jobs)
    tried = [_places(house, jobs, along, laps) for laps in product((True, False), repeat=len(house.corners))]
    best, off = min(tried, key=lambda each: max(each[1].values(), default=0.0))
    faults = [
        Fault(
            house.file, f"corner[{k}].walls", shown(list(house.corners[k].walls)),
            f"ends that meet: the walls round this ring leave {tape(gap)}, and {CLOSES_WITHIN:g} in is the most",
        )
        for k, gap in off.items()
        if gap > CLOSES_WITHIN
    ]  # fmt: skip
    if faults:
        raise InputError(faults)
    return {file: Placed(best[file], along[file]) for file in jobs}


def _in_turn(house: House, jobs: Mapping[str, Job]) -> Iterator[tuple[int, str | None, str]]:
    """Each wall once, by the corner and the wall it is reached over; None for the first of those joined."""
    seen: set[str] = set()
    for file in jobs:
        waiting: list[tuple[int, str | None, str]] = [(-1, None, file)]
        while waiting:
            k, before, at = waiting.pop(0)
            if at in seen:
                continue
            seen.add(at)
            yield k, before, at
            for j, corner in enumerate(house.corners):
                files = [end.file for end in corner.ends]
                if at in files:
                    waiting += [(j, at, other) for other in files if other not in seen]


def hang_together(house: House, jobs: Mapping[str, Job]) -> tuple[tuple[str, ...], ...]:
    """Give the walls of each part of a job whose corners join them.

    Args:
        house: the job, whose corners are of these walls.
        jobs: its walls, by file.
    """
    parts: list[list[str]] = []
    for _, before, at in _in_turn(house, jobs):
        if before is None:
            parts.append([])
        parts[-1].append(at)
    return tuple(map(tuple, parts))


def _second_runs(corner: Meeting, along: Way) -> Way:
    """Which way the second wall runs away from the first."""
    braces = Placed((0.0, 0.0), along).to_braces
    return braces if corner.side == BRACE_SIDE else _turned(braces)


def _along_of_second(corner: Meeting, along: Way) -> Way:
    away = _second_runs(corner, along)
    return away if corner.ends[1].end == "left" else _turned(away)


def _ways(house: House, jobs: Mapping[str, Job]) -> dict[str, Way]:
    along: dict[str, Way] = {}
    for k, before, at in _in_turn(house, jobs):
        if before is None:
            along[at] = (1, 0)
            continue
        corner = house.corners[k]
        if corner.ends[1].file == at:
            along[at] = _along_of_second(corner, along[before])
        else:
            along[at] = next(
                way
                for way in ((1, 0), (0, 1), (-1, 0), (0, -1))
                if _along_of_second(corner, way) == along[before]
            )
    faults = []
    for k, corner in enumerate(house.corners):
        first, second = corner.ends
        if _along_of_second(corner, along[first.file]) != along[second.file]:
            expected = "walls at right angles all round: along the other corners these two run another way"
            faults.append(Fault(house.file, f"corner[{k}].side", shown(corner.side), expected))
    if faults:
        raise InputError(faults)
    return along


def _places(
    house: House, jobs: Mapping[str, Job], along: Mapping[str, Way], laps: tuple[bool, ...]
) -> tuple[dict[str, Place], dict[int, Inch]]:
    """Where each wall starts, and by how much each corner is open, where the first runs through or the second does."""
    start: dict[str, Place] = {}
    for k, before, at in _in_turn(house, jobs):
        if before is None:
            start[at] = (0.0, 0.0)
            continue
        corner, sign = house.corners[k], 1
        mine, other = corner.ends if corner.ends[0].file == at else corner.ends[::-1]
        sign = -1 if mine is corner.ends[0] or mine == corner.ends[0] else 1
        step = _step(corner, jobs, along, first_through=laps[k])
        there = Placed(start[other.file], along[other.file]).end(other.end, jobs[other.file].wall.length)
        meets = there[0] + sign * step[0], there[1] + sign * step[1]
        back = 0.0 if mine.end == "left" else -jobs[at].wall.length
        start[at] = _moved(meets, along[at], back)
    off = {}
    for k, corner in enumerate(house.corners):
        ends = [
            Placed(start[end.file], along[end.file]).end(end.end, jobs[end.file].wall.length)
            for end in corner.ends
        ]
        step = _step(corner, jobs, along, first_through=laps[k])
        off[k] = max(abs(ends[1][i] - ends[0][i] - step[i]) for i in (0, 1))
    return start, off


def _step(
    corner: Meeting, jobs: Mapping[str, Job], along: Mapping[str, Way], *, first_through: bool
) -> Place:
    """From the first wall's end to the second's, both in the middle of their plates."""
    first, second = corner.ends
    out = along[first.file] if first.end == "right" else _turned(along[first.file])
    away = _second_runs(corner, along[first.file])
    depth = [section(jobs[end.file].wall.studs.size).width for end in (first, second)]
    sign = 1.0 if first_through else -1.0
    return _moved(_moved((0.0, 0.0), out, -sign * depth[1] / 2.0), away, sign * depth[0] / 2.0)


def runs_from(corner: Meeting, mine: WallEnd) -> str:
    """Say to which side of a wall the other runs away from a corner.

    Args:
        corner: where they meet.
        mine: the end of the wall.
    """
    first = corner.ends[0]
    if mine == first:
        return corner.side
    along = _along_of_second(corner, (1, 0))
    away = (1, 0) if first.end == "left" else (-1, 0)
    return BRACE_SIDE if away == Placed((0.0, 0.0), along).to_braces else OUTSIDE


def as_joined(house: House, jobs: Mapping[str, Job], file: str) -> Job:
    """Give a wall as the wind finds it in its job: at a corner stands a return as long as the wall it meets.

    What that return holds is the system's to say; of itself it holds nothing here. Beside a planned wall one that is
    planned too may come first or last: its wind is counted, and that it shelters an end is not.

    Args:
        house: the job.
        jobs: its walls, by file; one that is not there is taken as up, its length unknown.
        file: the wall's file.
    """
    job = jobs[file]
    wall, met = job.wall, dict[str, str]()
    for corner in house.corners:
        for mine, other in (corner.ends, corner.ends[::-1]):
            there = jobs.get(other.file)
            up = there is None or there.wall.up
            planned = there is not None and there.wall.state == wall.state == PLANNED
            if mine.file != file or not (up or planned):
                continue
            length = there.wall.length if there is not None and up else None
            made = Return(length=length, side=runs_from(corner, mine), nailed=False)
            wall = (
                evolve(wall, left_end="return", left_return=made)
                if mine.end == "left"
                else evolve(wall, right_end="return", right_return=made)
            )
            met[mine.end] = other.file
    return evolve(job, wall=wall, met=tuple(f"{end} {other}" for end, other in met.items()))


# -- a wall as the return it is to the wall it meets -----------------------------------------------------


def says(other: Job, key: str) -> bool:
    """Whether a wall's file declares a field of [wall]; nothing to be declared always is.

    Args:
        other: the wall.
        key: its dotted path in [wall]; empty of what every file has.
    """
    return not key or f"wall.{key}" in other.declared


def of_file(end: Return, other: Job, *, met: str) -> Return:
    """Give a return what the file of its own says of it, as far as it is declared there.

    Its vertical panel edges stand on studs: the wider of the nail spacings on studs and along the plate is theirs.
    A wall that is not up holds nothing, nor does one whose end stud stands on no whole panel.

    Args:
        end: the return.
        other: the wall of that file.
        met: at which of its own ends, left or right.
    """
    wall, plate, face = other.wall, other.wall.plate, face_layers(other.wall.layers)
    first = next((k for k, name in enumerate(face) if layer(name).panel), None)
    openings = tuple(
        ReturnOpening(left=each.left if met == "left" else wall.length - each.right, width=each.width)
        for each in wall.openings
    ) + tuple(
        ReturnOpening(left=each.left if met == "left" else wall.length - each.right, width=each.width)
        for each in wall.bare
    )
    edges = max(plate.sheathing_spacing, plate.sheathing_field_spacing)
    reach = min(PANELS_REACH, wall.length)
    at_it = (0.0, reach) if met == "left" else (wall.length - reach, wall.length)
    panelled = wall.sheathed and wall.covered(at_it) == (at_it,)
    return evolve(
        end, length=wall.length, height=wall.highest,
        studs=ReturnStuds(wall.studs.size, wall.studs.spacing, wall.studs.species, wall.studs.grade),
        openings=openings, moisture=wall.moisture, under=face[:first] if first is not None else (),
        sheathing=face[first] if first is not None else None,
        edge_nail=plate.sheathing_fastener if says(other, "plate.sheathing_fastener") else None,
        edge_spacing=edges if says(other, "plate.sheathing_spacing") else None,
        field_spacing=plate.sheathing_field_spacing,
        plate=ReturnPlate(
            plate.fastener if says(other, "plate.fastener") else None,
            plate.spacing if says(other, "plate.spacing") else None, plate.sheathing_laps,
            plate.row_from_sheathed_edge, plate.into_framing,
        ),
        nailed=end.nailed and wall.up, sheathed=end.sheathed and panelled,
        fastened_down=end.fastened_down and wall.up and plate.state == "final",
    )  # fmt: skip
