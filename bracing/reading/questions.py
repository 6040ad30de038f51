"""What is asked of a wall: at most fourteen questions of a level wall or a gable, then those that raise the numbers.

A question is text about fields, by their paths; what they are, what they may hold and what counts where nobody knows is
said by the fields. Answers by key are put together here as values of a wall file, those of a demo wall too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from attrs import frozen

from bracing.errors import InputError, near_names, with_near
from bracing.job.fields import KIND, place_at
from bracing.job.floor import DONE, STOREY
from bracing.job.job import Job
from bracing.reading import answers as reading
from bracing.reading import spoken
from bracing.reading.answers import Values, read_fields_of, refuse
from bracing.reading.loads import load
from bracing.reading.values import marked
from bracing.reading.writing import written
from bracing.units import length

Texts = Mapping[str, str]  # what was typed, by key of the question


def _always(_: Texts) -> bool:
    return True


@frozen(kw_only=True)
class Question:
    """One question.

    Attributes:
        key: its name.
        ask: the question, one sentence.
        why: how to find out, and what it is for: what "?" shows.
        of: dotted paths of the fields it is about; their low values count where the answer is not known.
        otherwise: what counts then, where it is no low value of a field; empty where it must be known.
        reader: makes values of an answer; without one it is read by the kinds of the fields.
        when: whether it is asked, by what was typed so far.
        table: the table its names are in, where no field of `of` says it.
        many: one answer a line, until an empty one; each is read with those before it.
        early: one of the first fourteen.
        is_known: where the empty answer is an answer too, and not a gap.
        picture: lines shown under it as they stand, at most 40 wide.
    """

    key: str
    ask: str
    why: str
    of: tuple[str, ...] = ()
    otherwise: str | None = None
    reader: Callable[[str], Values] | None = None
    when: Callable[[Texts], bool] = _always
    table: str = ""
    many: bool = False
    early: bool = True
    is_known: bool = False
    picture: tuple[str, ...] = ()

    @property
    def low(self) -> str:
        """What counts where the answer is not known; empty where it must be known."""
        if self.otherwise is not None:
            return self.otherwise
        fields = (place_at(Job, path).field for path in self.of)
        return ", ".join(str(written(one.default, one.metadata[KIND])) for one in fields)

    def read(self, text: str) -> Values:
        """Make values of an answer.

        Args:
            text: as typed.

        Raises:
            InputError: no answer to it.
        """
        return read_fields_of(text, self.of) if self.reader is None else self.reader(text)


FEET = "brace[].foot_on"  # of every brace that is up
BORED = ("kit.head.bored", "kit.cleat.bored")


def _shaped(*shapes: str) -> Callable[[Texts], bool]:
    return lambda texts: reading.shape(_word(texts, "shape", "level")) in shapes


def _on(*floors: str) -> Callable[[Texts], bool]:
    return lambda texts: reading.floor_kind(_word(texts, "floor", "deck")) in floors


def _word(texts: Texts, key: str, otherwise: str) -> str:
    return texts.get(key, "").strip().lower() or otherwise


def _two_heights(text: str) -> Values:
    paths, both = ("wall.left_height", "wall.right_height"), ", ".join(spoken.several(text))
    return reading.several(both, paths, 'two heights, such as "9 ft, 19 ft"')


def _slab(text: str) -> Values:
    paths = ("floor.slab.tension_lb", "floor.slab.shear_lb", "floor.slab.report")
    return reading.several(
        text, paths, 'tension, shear and the report, such as "800 lb, 900 lb, pull test of five"'
    )


def _tied(texts: Texts) -> bool:
    return _word(texts, "ends", "none") not in reading.NO


def _ties_asked(texts: Texts) -> bool:
    return _word(texts, "ties", "0") not in ("0", *reading.NO)


def _braced(texts: Texts) -> bool:
    return bool(texts.get("braces", "").strip())


def _on_a_storey(texts: Texts) -> bool:
    """Whether the floor is so high, and declared so, that it stands on a storey unless wind blows through under it."""
    told = texts.get("above", "").strip()
    if not told or not _on("deck")(texts):
        return False
    try:
        high = length(reading.floor_height(told)["floor.height_above_ground"])
    except InputError:
        return False
    return high >= STOREY and _word(texts, "below", "no") not in reading.YES


def _storey(text: str) -> Values:
    return {"floor.storey_below": DONE} if reading.yes_or_no(text, "floor.storey_below") else {}


def _feet_asked(texts: Texts) -> bool:
    return bool(texts.get("braces", "").strip()) and _on("deck")(texts)


def _bored(text: str) -> Values:
    return dict.fromkeys(BORED, reading.yes_or_no(text, BORED[0]))


def _shape(text: str) -> Values:
    if reading.shape(text) not in reading.SHAPES:
        refuse("wall.top", text, "level, gable or rake")
    return {}


def _left_is(text: str) -> Values:
    return {"wall.left_is": text.strip()}


def _floor(text: str) -> Values:
    return read_fields_of(reading.floor_kind(text), ("floor.kind",))


LEFT = (
    "LEFT |=====================| right",
    "     |  |  |  |  |  |  |  |",
    "     |__|__|__|__|__|__|__|",
    "         \\     \\     \\    the braces",
    "           you, facing it",
)

FIRST: tuple[Question, ...] = (
    Question(
        key="name", ask="What do you call this wall?", otherwise="wall", of=("wall.name",),
        why="It heads every page about it, such as South gable.",
    ),
    Question(
        key="shape", ask="Its top: level, gable or rake?", otherwise="level", reader=_shape, is_known=True,
        why="Level: one height. Gable: two slopes up to a peak. Rake: one slope, as under a shed roof.",
    ),
    Question(
        key="left_is", ask="Stand where the braces go, facing the wall: LEFT is at your left hand. What is there?",
        otherwise="no name", of=("wall.left_is",), picture=LEFT, reader=_left_is,
        why="Every tape starts at LEFT, the end of the plate. Say what a stranger would find there, such as driveway "
        "end or stairs; it is written on the drawing.",
    ),
    Question(
        key="length", ask="Tape the bottom plate from end to end.", otherwise="", of=("wall.length",),
        why='Feet and inches or metric, with the unit: 36 ft, 36-4 1/2, 36\'-4 1/2", 11.1 m.',
    ),
    Question(
        key="height", ask="Tape from the floor to the top of the plates; of a gable, at its ends.", otherwise="",
        when=_shaped("level", "gable"), of=("wall.height",),
        why="With its unit: 10 ft, 9-1 1/8, 2.74 m. To the very top of the upper plate.",
    ),
    Question(
        key="peak", ask="How high is the peak, or what is the pitch?", otherwise="", when=_shaped("gable"),
        reader=reading.peak,
        why="The peak with its unit, or the pitch: 18-6, 6/12. Where it is not mid length, say where from LEFT: "
        "18-6 at 14-0.",
    ),
    Question(
        key="left", ask="How high is it at LEFT, and at the right?", otherwise="",
        when=_shaped("rake"), of=("wall.left_height", "wall.right_height"), reader=_two_heights,
        why="Both to the top of the plates, with their units, such as 9 ft, 19 ft.",
    ),
    Question(
        key="studs", ask="Studs: what size, how far apart centre to centre, and what does the grade stamp say?",
        of=("wall.studs.size", "wall.studs.spacing", "wall.studs.species", "wall.studs.grade"), reader=reading.studs,
        why="Such as 2x6 16 oc, SPF No.2. Without the stamp the weakest species and grade sold count.",
    ),
    Question(
        key="layers", ask="What is nailed on, from the studs outward? Or bare.",
        otherwise="weighed as bare studs, wind taken on the full face", reader=reading.layers, table="layers",
        why="With commas: 7/16 osb, housewrap, fiber cement siding. Layers add weight, and sheathing ties the foot.",
    ),
    Question(
        key="openings", ask="Doors and windows, one a line: left edge, sill, width x height; Enter where done.",
        otherwise="none", many=True, reader=reading.opening, is_known=True,
        why="Rough openings, such as 13 ft, sill 3 ft, 6 ft x 4 ft, or 3-0 x 5-0 at 12-6, sill 2-8. A door has no "
        "sill: 20 ft, 3 ft x 6 ft 10 in. Add open "
        "where nothing covers it. No brace goes on a stud beside one that is not full height.",
    ),
    Question(
        key="floor", ask="What do the braces stand on: deck, slab or ground?", is_known=True,
        of=("floor.kind",), reader=_floor,
        why="Deck: a wood floor on joists. Slab: concrete. Ground: stakes or weights outside.",
    ),
    Question(
        key="above", ask="How high is that floor above the ground outside, or on which storey?",
        of=("floor.height_above_ground",), reader=reading.floor_height,
        why="Wind is faster higher up. Such as 3 ft, 0 ft, or second storey, which is taken as 14 ft 7 in. Not known "
        "counts as a third storey.",
    ),
    Question(
        key="joists", ask="Joists: solid, I-joist or truss? Size, how far apart, running away from the wall or along "
        "it, and how far to the middle of the first: from LEFT if away, from the wall if along?",
        when=_on("deck"), reader=reading.joists,
        of=("floor.joists.kind", "floor.joists.size", "floor.joists.spacing", "floor.joists.run"),
        why="Such as solid 2x10, 16 oc, away, first at 8 in: look for the nail line in the deck. A foot fastened to "
        "the panel only counts for next to nothing in pull: with the joists known, feet go onto them.",
    ),
    Question(
        key="slab", ask="Anchors in the slab: what may one carry in tension and in shear, and by what report?",
        otherwise="nothing counted without a report or a pull test", when=_on("slab"), reader=_slab,
        why="Such as 800 lb, 900 lb, pull test of five. No anchor is computed here: allowable values, not ultimate.",
    ),
    Question(
        key="ground", ask="A stake: soil, width, depth driven? Or a weight at each foot?",
        otherwise="nothing counted", when=_on("ground"), reader=reading.ground,
        why="Such as clay, 3.5 in, 36 in; or weight 1200 lb. A stake counts for nothing in pull.",
    ),
    Question(
        key="screws", ask="Fasteners for the braces, off the box: kind, shank, length and head?",
        otherwise="a layout names them", of=("kit.head.fastener", "kit.cleat.brace_fastener"),
        why="Brace to stud and brace to cleat. Such as structural screw 0.22x3, 16d common, or nail 3.1 mm x 90 mm, "
        "head 7 mm.",
    ),
    Question(
        key="sticks", ask="Sticks on hand for braces: sizes and lengths?", otherwise="the usual lengths",
        reader=reading.stock,
        why="With commas: 2x6x16, 2x4 14 ft. A count first where there are only so many: 12 of 2x4 14 ft.",
    ),
)  # fmt: skip

MORE: tuple[Question, ...] = (
    Question(
        key="braces", ask="Braces up already, one a line: stud, head, back, size; Enter where done.", otherwise="none",
        many=True, early=False, reader=reading.brace, is_known=True,
        why="From LEFT to the stud, then such as 18 ft, head 12 ft, back 10 ft, 2x6. How many fasteners at head, "
        "cleat and floor: 4/4/5. joist where they are known to be in one; doubled; ties 1.",
    ),
    Question(
        key="loads", ask="What stands on the wall from above, or leans on it, one a line; Enter where done.",
        otherwise="nothing", many=True, early=False, reader=load, is_known=True, when=_braced,
        why="Such as 6 trusses, 24 ft, 4/12, 80 lb, ground brace; bundle, 500 lb, at 9 ft; person, at 4 ft. Trusses "
        "say what keeps them from tipping: ground brace, this wall or other wall.",
    ),
    Question(
        key="feet", ask="What do the feet of those braces stand on: joist, block, cross cleat or deck?", early=False,
        otherwise="deck", of=(FEET,), when=_feet_asked,
        why="What their fasteners reach: a joist; solid blocks between joists; flat cleats laid over two joists; or "
        "the deck panel alone. A brace that says its own above keeps it. What fastens blocks and cross cleats is said "
        "in the file.",
    ),
    Question(
        key="brace_stamp", ask="Read me the grade stamp on a brace.",
        early=False, of=("kit.species", "kit.grade"), why="Such as SPF No.2. Not known takes the weakest sold.",
    ),
    Question(
        key="floor_screws", ask="And the fastener from cleat to floor, off the box?", otherwise="a layout names it",
        early=False, when=_on("deck"), of=("kit.cleat.floor_fastener",),
        why="It goes through cleat and panel into the joist, so it is longer: structural screw 0.22x5.",
    ),
    Question(
        key="bored", ask="Are holes bored for the fasteners at the head, and from brace to cleat?", early=False,
        otherwise="no, and a layout asks for it", when=_on("deck", "slab"), of=BORED, reader=_bored,
        why="yes or no. Driven straight in they must stand further apart and from the cut, or they split the wood: "
        "fewer of them count.",
    ),
    Question(
        key="plate", ask="Bottom plate: which fastener, and how far apart?",
        early=False, of=("wall.plate.fastener", "wall.plate.spacing"), why="Such as 16d common 16 in.",
    ),
    Question(
        key="plate_state", ask="Is the plate only tacked, or final; and final into joists or rim?",
        early=False, of=("wall.plate.state",), reader=reading.plate_state,
        why="tacked; final; or final into joists, where every one is known to reach a joist, the rim or blocking.",
    ),
    Question(
        key="plate_row", ask="How far is its row of fasteners from the plate's sheathed edge?", otherwise="the middle",
        early=False, of=("wall.plate.row_from_sheathed_edge",),
        why="The sheathing lifts that edge: a row 3/4 in from it is pulled by half of what pulls one in the middle.",
    ),
    Question(
        key="lap", ask="The sheathing's foot is nailed to: none, plate or rim?", early=False,
        of=("wall.plate.sheathing_laps",), why="This is what ties the studs down.",
    ),
    Question(
        key="sheathing", ask="With which nail, and how far apart along the plate?", early=False,
        when=lambda texts: _word(texts, "lap", "none") not in reading.NO,
        of=("wall.plate.sheathing_fastener", "wall.plate.sheathing_spacing"),
        why="Such as 8d common 6 in.",
    ),
    Question(
        key="dry", ask="Has the lumber been kept dry since it was nailed?", otherwise="no", early=False,
        reader=reading.dry, why="Green is the worse of wet now and dried later, and nails lose most.",
    ),
    Question(
        key="ends", ask="Is an end tied to a finished return wall: none, left, right or both?", otherwise="none",
        early=False, reader=reading.ends,
        why="It counts as its corner, panel and plate are told. Wind beside a return is stronger either way.",
    ),
    Question(
        key="corner", ask="In that corner: how many of which fastener?", otherwise="none counted",
        early=False, when=_tied, reader=reading.corner, why="Over the whole height, such as 12 16d common.",
    ),
    Question(
        key="return",
        ask="That return: how long, which panel, its edge nails, plate nails, its foot nailed to? Or its own file.",
        otherwise="not counted", early=False, when=_tied, reader=reading.a_return,
        why="Such as 8 ft, osb 7/16, 8d common 6 in, 16d common 8 in, plate; or east.toml.",
    ),
    Question(
        key="room", ask="How much clear floor is there in front of the wall?", otherwise="not limited", early=False,
        of=("floor.room",), why="From the plate to the first thing in the way, such as 16 ft.",
    ),
    Question(
        key="keep_outs", ask="Where may no foot stand? Name and two corners, one a line; Enter where done.",
        otherwise="nowhere named", many=True, early=False, reader=reading.keep_out, is_known=True,
        why="Stair holes, door paths: stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft. From LEFT, then out from the wall.",
    ),
    Question(
        key="below", ask="Can wind blow through under the floor?", otherwise="both are tried", early=False,
        of=("floor.open_below",), why="yes or no.",
    ),
    Question(
        key="storey", ask="Is the storey under it done: walls sheathed, plumb and fastened, the deck nailed off?",
        otherwise="no: the answer is UNKNOWN", early=False, when=_on_a_storey, reader=_storey,
        why="yes or no. Walls on a storey that was not done have come down with it.",
    ),
    Question(
        key="panel", ask="What is the deck panel, and how thick?", early=False, when=_on("deck"),
        of=("floor.deck",), why="Such as osb 23/32 or plywood 3/4.",
    ),
    Question(
        key="exposure", ask="Around it: B, houses or woods close all round; C, open; D, open water?",
        early=False, of=("site.exposure",),
        why="B only with houses or woods on every side for half a mile (ASCE 7 26.7). Open country is the low one.",
    ),
    Question(
        key="hill", ask="On a hill, ridge or bluff: no, or its factor Kzt?", otherwise="no", early=False,
        reader=reading.hill, why="The wind standard has the factor (ASCE 7 26.8). An engineer knows it.",
    ),
    Question(
        key="ties", ask="Rows of ties across the braces, each run to something solid: 0, 1 or 2?",
        otherwise="a layout says how many", early=False, of=("kit.ties",),
        why="A tie keeps a long brace from bowing. It counts only where it is run to something that cannot give.",
    ),
    Question(
        key="tie_fastener", ask="What fastens a tie row where it crosses a brace, and its diagonals?", early=False,
        of=("kit.tie.fastener",), when=_ties_asked,
        why="Such as 16d common: each takes a fiftieth of its brace's thrust, and a diagonal the sum of a row.",
    ),
    Question(
        key="tie_nails", ask="How many of them at each brace?", early=False, of=("kit.tie.at_each_brace",),
        when=_ties_asked, why="Two are usual.",
    ),
    Question(
        key="diagonal_nails", ask="How many at each end of a diagonal?", early=False,
        of=("kit.tie.diagonal_fasteners",), when=_ties_asked, why="Three are usual: it gathers what all the ties hold.",
    ),
)  # fmt: skip


def _more(text: str) -> Values:
    reading.yes_or_no(text, "more")
    return {}


GO_ON = Question(
    key="more", ask="That will do for a layout. More answers raise the numbers: go on?", otherwise="no", early=False,
    reader=_more,
    why="Braces that are up, the plate, the sheathing's foot, room. What is not said counts low and is listed.",
)  # fmt: skip
QUESTIONS: tuple[Question, ...] = (*FIRST, GO_ON, *MORE)


def values_of(texts: Mapping[str, str]) -> Values:
    """Put answers together as values of a wall file.

    Args:
        texts: as typed, by key of the question.

    Raises:
        InputError: an answer that cannot be read.
    """
    values: Values = {}
    for question in QUESTIONS:
        lines = texts.get(question.key, "").splitlines() if question.when(texts) else []
        for line in lines if question.many else lines[:1]:
            for path, value in question.read(line).items():
                before = values.get(path)
                joined = [*before, *value] if isinstance(before, list) and isinstance(value, list) else value
                values[path] = joined
    return _untied(_numbered(values))


def _numbered(values: Values) -> Values:
    """Give braces their marks from LEFT, and what all their feet are on, and each of the crew's own fasteners once."""
    braces, own, feet = values.get("brace"), values.get("fastener"), values.pop(FEET, None)
    foot = {} if feet is None else {"foot_on": feet}
    if isinstance(braces, list):
        values["brace"] = marked([{**foot, **brace} for brace in braces])
    if isinstance(own, list):
        values["fastener"] = list({row["name"]: row for row in own}.values())
    return values


def _untied(values: Values) -> Values:
    """Leave out the corner fasteners of an end that is free."""
    free = [side for side in ("left", "right") if values.get(f"wall.{side}_end") != "return"]
    stems = tuple(f"wall.{side}_return." for side in free)
    return {path: value for path, value in values.items() if not path.startswith(stems)} if stems else values


_COMMON = {
    "studs": "2x6 16 in, SPF No.2",
    "layers": "osb 7/16, housewrap",
    "screws": "structural screw 0.22x3",
    "sticks": "2x6 16 ft, 2x6 20 ft",
    "brace_stamp": "SPF No.2",
    "bored": "yes",
    "plate": "16d common 16 in",
    "plate_state": "final into joists",
    "plate_row": "3/4 in",
    "lap": "plate",
    "sheathing": "8d common 4 in",
    "dry": "no",
    "ends": "none",
    "room": "24 ft",
    "exposure": "C",
    "hill": "no",
}
_DECK = {
    "floor": "deck",
    "joists": "solid 2x10, 16 in, away, first at 0 in",
    "floor_screws": "structural screw 0.22x5",
    "above": "3 ft",
    "below": "no",
    "panel": "osb 23/32",
}
TEMPLATES: dict[str, dict[str, str]] = {
    "level": {"name": "Level wall", "shape": "level", "length": "30 ft", "height": "9 ft", **_COMMON, **_DECK},
    "gable": {
        "name": "Gable end", "shape": "gable", "length": "32 ft", "height": "9 ft", "peak": "17 ft",
        "openings": "14 ft, sill 3 ft, 4 ft x 4 ft", **_COMMON, **_DECK,
    },
    "rake": {"name": "Rake wall", "shape": "rake", "length": "24 ft", "left": "9 ft, 16 ft", **_COMMON, **_DECK},
    "slab": {
        "name": "Wall on a slab", "shape": "level", "length": "30 ft", "height": "10 ft", **_COMMON,
        "floor": "slab", "slab": "800 lb, 900 lb, write here the report or the pull test", "above": "0 ft",
        "below": "no", "plate_state": "final",
    },
}  # fmt: skip


def template_values(name: str) -> Values:
    """Give the values of a demo wall.

    Args:
        name: gable, level, rake or slab.

    Raises:
        InputError: no such template.

    Example:
        >>> template_values("gable")["wall.peak"]
        '17 ft'
    """
    if name not in TEMPLATES:
        one_of = f"one of: {', '.join(TEMPLATES)}"
        refuse("--template", name, with_near(one_of, near_names(name, TEMPLATES)))
    return values_of(TEMPLATES[name])
