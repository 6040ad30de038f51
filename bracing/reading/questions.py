"""The questions, in the order they are asked: first a dozen, then those that raise the numbers."""

from __future__ import annotations

from collections.abc import Callable

from bracing.reading import answers as reading
from bracing.reading import answers as reading_floor
from bracing.reading.answers import Question, Texts, Values, refuse

SHAPES = ("level", "gable", "rake")


def _shaped(*shapes: str) -> Callable[[Texts], bool]:
    return lambda texts: _word(texts, "shape", "level") in shapes


def _on(*floors: str) -> Callable[[Texts], bool]:
    return lambda texts: _word(texts, "floor", "deck") in floors


def _word(texts: Texts, key: str, otherwise: str) -> str:
    return texts.get(key, "").strip().lower() or otherwise


def _tied(texts: Texts) -> bool:
    return _word(texts, "ends", "none") not in reading.NO


def _shape(text: str) -> Values:
    if text.strip().lower() not in SHAPES:
        refuse("wall.top", text, "level, gable or rake")
    return {}


def _corner(text: str) -> Values:
    """Read the corner fasteners for both sides; the writer keeps those of ends that are tied."""
    return reading.corner(("left", "right"))(text)


FIRST: tuple[Question, ...] = (
    Question(
        key="name", ask="What do you call this wall?", low="wall", read=reading.at("wall.name"),
        why="It heads every page about it, such as South gable.",
    ),
    Question(
        key="shape", ask="Its top: level, gable or rake?", low="level", read=_shape, is_known=True,
        why="Level: one height. Gable: two slopes up to a peak. Rake: one slope, as under a shed roof.",
    ),
    Question(
        key="length", ask="Tape the bottom plate from end to end.", low="", read=reading.at("wall.length"),
        why='Feet and inches or metric, with the unit: 36 ft, 36\'-4 1/2", 11.1 m.',
    ),
    Question(
        key="height", ask="Tape from the floor to the top of the plates; of a gable, at its ends.", low="",
        when=_shaped("level", "gable"), read=reading.at("wall.height"),
        why="With its unit: 10 ft, 9 ft 1 1/8 in, 2.74 m. To the very top of the upper plate.",
    ),
    Question(
        key="peak", ask="How high is the peak?", low="", when=_shaped("gable"), read=reading.peak,
        why="With its unit. Where it is not mid length, say where from LEFT: 18 ft 6 in at 14 ft.",
    ),
    Question(
        key="left", ask="Standing on the brace side, facing the wall: how high is it at LEFT, and at the right?",
        low="", when=_shaped("rake"), read=reading.two_heights,
        why="LEFT is left for somebody on the brace side, facing the wall. Such as 9 ft, 19 ft.",
    ),
    Question(
        key="studs", ask="Studs: what size, and how far apart, centre to centre?", low="2x4, 24 in",
        read=reading.studs, why="Such as 2x6 16 in. A bare number after the size is inches.",
    ),
    Question(
        key="stamp", ask="Read me the grade stamp on a stud: species and grade.",
        low="spruce-pine-fir (south) No.3", read=reading.stamp("wall.studs"),
        why="Such as SPF No.2, DFL No.2, hem-fir stud. Not known takes the weakest species and grade sold.",
    ),
    Question(
        key="layers", ask="What is nailed on, from the studs outward? Or bare.",
        low="weighed as bare studs, wind taken on the full face", read=reading.layers,
        why="With commas: osb 7/16, housewrap, fiber cement siding. Layers add weight, and sheathing ties the foot.",
    ),
    Question(
        key="openings", ask="Doors and windows, one a line: left edge, sill, width x height; Enter where done.",
        low="none", many=True, read=reading.opening, is_known=True,
        why="Rough openings, such as 13 ft, sill 3 ft, 6 ft x 4 ft. A door has no sill: 20 ft, 3 ft x 6 ft 10 in. "
        "Add open where nothing covers it. No brace goes on a stud beside one that is not full height.",
    ),
    Question(
        key="floor", ask="What do the braces stand on: deck, slab or ground?", low="deck", is_known=True,
        read=reading.word_at("floor.kind"),
        why="Deck: a wood floor on joists. Slab: concrete. Ground: stakes or weights outside.",
    ),
    Question(
        key="joists", ask="Joists: solid, I-joist or truss? What size, how far apart, and running away from "
        "the wall or along it?",
        low="solid 2x8, 16 in, away", when=_on("deck"), read=reading_floor.joists,
        why="Such as solid 2x10, 16 in, away. A foot fastened to the panel only counts for next to nothing in pull: "
        "with the joists known, feet go onto them.",
    ),
    Question(
        key="first_joist", ask="Tape to the middle of the first one: from LEFT if they run away, from the wall "
        "if along.",
        low="0 in", when=_on("deck"), read=reading.at("floor.joists.first"),
        why="Look for the nail line in the deck. Every foot is placed from this.",
    ),
    Question(
        key="slab", ask="Anchors in the slab: what may one carry in tension and in shear, and by what report?",
        low="nothing counted without a report or a pull test", when=_on("slab"), read=reading_floor.slab,
        why="Such as 800 lb, 900 lb, pull test of five. No anchor is computed here: allowable values, not ultimate.",
    ),
    Question(
        key="ground", ask="A stake: soil, width, depth driven? Or a weight at each foot?",
        low="nothing counted", when=_on("ground"), read=reading_floor.ground,
        why="Such as clay, 3.5 in, 36 in; or weight 1200 lb. A stake counts for nothing in pull.",
    ),
    Question(
        key="screws", ask="Fasteners for the braces, off the box: kind, shank, length and head?",
        low="a layout names them", read=reading.fastener_at("kit.head.fastener", "kit.cleat.brace_fastener"),
        why="Brace to stud and brace to cleat. Such as structural screw 0.22x3, 16d common, or nail 3.1 mm x 90 mm, "
        "head 7 mm.",
    ),
    Question(
        key="sticks", ask="Sticks on hand for braces: sizes and lengths?", low="the usual lengths",
        read=reading_floor.stock,
        why="With commas: 2x6 16 ft, 2x4 14 ft. A count first where there are only so many: 12 of 2x4 14 ft.",
    ),
)  # fmt: skip

MORE: tuple[Question, ...] = (
    Question(
        key="braces", ask="Braces up already, one a line: stud, head, back, size; Enter where done.", low="none",
        many=True, early=False, read=reading.brace, is_known=True,
        why="From LEFT to the stud, then such as 18 ft, head 12 ft, back 10 ft, 2x6. How many fasteners at head, "
        "cleat and floor: 4/4/5. joist where they are known to be in one; doubled; ties 1.",
    ),
    Question(
        key="brace_stamp", ask="Read me the grade stamp on a brace.", low="spruce-pine-fir (south) No.3",
        early=False, read=reading.stamp("kit"), why="Such as SPF No.2. Not known takes the weakest sold.",
    ),
    Question(
        key="floor_screws", ask="And the fastener from cleat to floor, off the box?", low="a layout names it",
        early=False, when=_on("deck"), read=reading.fastener_at("kit.cleat.floor_fastener"),
        why="It goes through cleat and panel into the joist, so it is longer: structural screw 0.22x5.",
    ),
    Question(
        key="plate", ask="Bottom plate: which fastener, and how far apart?", low="gun nail 0.131x3, 24 in",
        early=False, read=reading.spaced_fastener("wall.plate"), why="Such as 16d common 16 in.",
    ),
    Question(
        key="plate_state", ask="Is the plate only tacked, or final; and final into joists or rim?", low="tacked",
        early=False, read=reading.plate_state,
        why="tacked; final; or final into joists, where every one is known to reach a joist, the rim or blocking.",
    ),
    Question(
        key="lap", ask="The sheathing's foot is nailed to: none, plate or rim?", low="none", early=False,
        read=reading.word_at("wall.plate.sheathing_laps"), why="This is what ties the studs down.",
    ),
    Question(
        key="sheathing", ask="With which nail, and how far apart along the plate?",
        low="gun nail 0.113x2-3/8, 12 in", early=False,
        when=lambda texts: _word(texts, "lap", "none") not in reading.NO,
        read=reading.spaced_fastener("wall.plate", ("sheathing_fastener", "sheathing_spacing")),
        why="Such as 8d common 6 in.",
    ),
    Question(
        key="dry", ask="Has the lumber been kept dry since it was nailed?", low="no", early=False,
        read=reading.dry, why="Green is the worse of wet now and dried later, and nails lose most.",
    ),
    Question(
        key="ends", ask="Is an end tied to a finished return wall: none, left, right or both?", low="none",
        early=False, read=reading.ends,
        why="It counts for nothing yet: the end is taken as free. Wind beside a return is stronger, and that counts.",
    ),
    Question(
        key="corner", ask="In that corner: how many of which fastener?", low="none counted",
        early=False, when=_tied, read=_corner, why="Over the whole height, such as 12 16d common.",
    ),
    Question(
        key="room", ask="How much clear floor is there in front of the wall?", low="not limited", early=False,
        read=reading.at("floor.room"), why="From the plate to the first thing in the way, such as 16 ft.",
    ),
    Question(
        key="keep_outs", ask="Where may no foot stand? Name and two corners, one a line; Enter where done.",
        low="nowhere named", many=True, early=False, read=reading_floor.keep_out, is_known=True,
        why="Stair holes, door paths: stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft. From LEFT, then out from the wall.",
    ),
    Question(
        key="above", ask="How high is the floor above the ground outside?", low="3 ft", early=False,
        read=reading.at("floor.height_above_ground"), why="Wind is faster higher up. Such as 3 ft, or 0 ft.",
    ),
    Question(
        key="below", ask="Can wind blow through under the floor?", low="both are tried", early=False,
        read=reading.flag_at("floor.open_below"), why="yes or no.",
    ),
    Question(
        key="panel", ask="What is the deck panel, and how thick?", low="osb 23/32", early=False, when=_on("deck"),
        read=reading.at("floor.deck"), why="Such as osb 23/32 or plywood 3/4.",
    ),
    Question(
        key="exposure", ask="Around it: B, houses or woods close all round; C, open; D, open water?", low="C",
        early=False, read=lambda text: {"site.exposure": text.strip().upper()},
        why="B only with houses or woods on every side for half a mile (ASCE 7 26.7). Open country is the low one.",
    ),
    Question(
        key="hill", ask="On a hill, ridge or bluff: no, or its factor Kzt?", low="no", early=False,
        read=reading_floor.hill, why="The wind standard has the factor (ASCE 7 26.8). An engineer knows it.",
    ),
    Question(
        key="ties", ask="Rows of ties across the braces, each run to something solid: 0, 1 or 2?",
        low="a layout says how many", early=False, read=reading.count_at("kit.ties"),
        why="A tie keeps a long brace from bowing. It counts only where it is run to something that cannot give.",
    ),
)  # fmt: skip

QUESTIONS: tuple[Question, ...] = FIRST + MORE
