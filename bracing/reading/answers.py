"""Answers as a crew writes them, and off the box, into values of a wall file; kinds and limits are the reader's.

An answer about a field, or about two that are said in one breath, is read by the kinds of those fields.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import NoReturn

from bracing.errors import InputError, MissingDataError, near_names, with_near
from bracing.job.fasteners import (
    fastener,
    fastener_names,
    kind_names,
    read_user_fasteners,
    refuse_not_structural,
)
from bracing.job.fields import ONE_OF, place_at
from bracing.job.floor import HEIGHT
from bracing.job.job import Job
from bracing.job.lumber import names, plain
from bracing.reading import spoken
from bracing.reading.options import tables_of_options
from bracing.sources import shipped
from bracing.units import ON_CENTRE, clean, length, pitch

Values = dict[str, object]  # by dotted path of the wall file; "wall.opening" and such are lists of tables
Texts = Mapping[str, str]  # what was typed, by key of the question


def refuse(field: str, value: str, expected: str) -> NoReturn:
    """Refuse an answer.

    Args:
        field: the field it was for.
        value: as typed.
        expected: what is expected there.

    Raises:
        InputError: always.
    """
    raise InputError.of(field, value, expected)


_NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)"
_SIZES = re.compile(
    rf"(?P<shank>{_NUMBER})\s*(?P<unit>mm|in|\"|)\s*(?:x|by|,)?\s*(?:length|long)?\s*(?P<length>{_NUMBER})\s*(?P<unit2>mm|in|\"|)"
    rf"(?:\s*,?\s*(?:x|by)?\s*(?:head)\s*(?P<head>{_NUMBER})\s*(?P<unit3>mm|in|\"|))?",
)
EXPECTED = (
    'its kind and sizes off the box, such as "16d common", "gun nail 0.131x3", "structural screw 0.22x5", '
    '"lag 3/8x4" or "nail 3.1 mm x 90 mm, head 7 mm"'
)


def off_the_box(text: str, field: str) -> tuple[str, list[dict[str, object]]]:
    """Read a fastener as its box says it.

    Args:
        text: a name of the table, or a kind with shank, length and head.
        field: the field named in a fault.

    Returns:
        Its name, and the rows of the crew's own fasteners it needs: none where the table has it.

    Raises:
        InputError: no fastener, or one that is not structural.

    Example:
        >>> off_the_box("structural screw 0.22 x 5", "fastener")
        ('structural screw 0.22x5', [])
        >>> off_the_box("nail 3.1 mm x 90 mm, head 7 mm", "fastener")[0]
        'nail 3.1 mm x 90 mm'
    """
    refuse_not_structural(text, where=field)
    try:
        return fastener(text).name, []
    except MissingDataError:
        return _own(text, field)


def _own(text: str, field: str) -> tuple[str, list[dict[str, object]]]:
    plain = clean(text)
    kind = next((kind for kind in sorted(kind_names(), key=len, reverse=True) if kind in plain), None)
    if kind is None and "screw" in plain:
        refuse(field, text, "which screw: a wood screw, a structural screw or a lag")
    found = _SIZES.search(re.sub(r"^.*?(?=[0-9.])", "", plain.replace("shank", "")))
    if kind is None or found is None:
        refuse(field, text, with_near(EXPECTED, near_names(text, fastener_names())))
    both = [
        _size(found["shank"], found["unit"] or found["unit2"]),
        _size(found["length"], found["unit2"] or found["unit"]),
    ]
    shank, long = sorted(both, key=length)  # a nail is longer than it is thick
    name = f"{kind} {_short(shank)} x {_short(long)}"
    row: dict[str, object] = {"name": name, "kind": kind, "diameter": shank, "length": long}
    if found["head"]:
        row["head"] = _size(found["head"], found["unit3"] or found["unit"])
    read_user_fasteners([row], file=field)
    return name, [row]


def _size(number: str, unit: str) -> str:
    """Write a size with its unit: a box gives inches unless it says millimetres."""
    return f"{number} {'mm' if unit == 'mm' else 'in'}"


def _short(size: str) -> str:
    return size.removesuffix(" in")


YES = ("yes", "y", "yep", "yeah", "true")
NO = ("no", "n", "nope", "none", "nothing", "false")


def yes_or_no(text: str, field: str) -> bool:
    """Read yes or no.

    Args:
        text: as typed.
        field: the field named in a fault.

    Raises:
        InputError: neither.
    """
    word = text.strip().lower()
    if word not in YES + NO:
        refuse(field, text, "yes or no")
    return word in YES


# -- read by the kinds of the fields ---------------------------------------------------------------------


def read_fields_of(text: str, paths: tuple[str, ...]) -> Values:
    """Read an answer about one field, or several that are said in one breath, by their kinds.

    Args:
        text: as typed.
        paths: dotted paths of the fields.

    Raises:
        InputError: not an answer of these kinds.

    Example:
        >>> read_fields_of("2x6 at 16", ("wall.studs.size", "wall.studs.spacing"))
        {'wall.studs.size': '2x6', 'wall.studs.spacing': '16 in'}
        >>> read_fields_of("c", ("site.exposure",)), read_fields_of("y", ("floor.open_below",))
        ({'site.exposure': 'C'}, {'floor.open_below': True})
    """
    kinds = tuple(place_at(Job, path).kind for path in paths)
    return _READERS.get(kinds, _as_typed)(text.strip(), paths)


def _as_typed(text: str, paths: tuple[str, ...]) -> Values:
    return {paths[0]: text}


def _word(text: str, paths: tuple[str, ...]) -> Values:
    words = {word.lower(): word for word in place_at(Job, paths[0]).field.metadata[ONE_OF]}
    return {paths[0]: words.get(text.lower(), text.lower())}


def _flag(text: str, paths: tuple[str, ...]) -> Values:
    return {paths[0]: yes_or_no(text, paths[0])}


def _count(text: str, paths: tuple[str, ...]) -> Values:
    if not text.isdecimal() or len(text) > 4:
        refuse(paths[0], text, "a whole number")
    return {paths[0]: int(text)}


def _fastener(text: str, paths: tuple[str, ...]) -> Values:
    name, own = off_the_box(text, paths[0])
    return dict.fromkeys(paths, name) | ({"fastener": own} if own else {})


def _sized(text: str, paths: tuple[str, ...]) -> Values:
    """Read a size and a spacing."""
    said = spoken.sized(text)
    if said is None or said[2]:
        refuse(paths[0].rpartition(".")[0], text, 'size and spacing, such as "2x6 16 in"')
    values: Values = {paths[0]: said[0]}
    return values | ({paths[1]: said[1]} if said[1] else {})


def _spaced(text: str, paths: tuple[str, ...]) -> Values:
    """Read a fastener and its spacing, the spacing last."""
    pieces = re.split(r"(\s*(?:@|,|\bat\b|\bevery\b|\s)\s*)", ON_CENTRE.sub("", clean(text)))
    for cut in range(len(pieces) - 2, 0, -2):
        name, spacing = "".join(pieces[:cut]), spoken.on_centre("".join(pieces[cut + 1 :]))
        if is_length(spacing) and not name.rstrip().endswith("x"):
            try:
                return _fastener(name, paths[:1]) | {paths[1]: spacing}
            except InputError:
                continue
    return refuse(paths[0], text, 'the fastener off the box, then its spacing, such as "16d common 16 in"')


_ON_A_STAMP = ("kd", "kd-ht", "kdht", "ht", "s-dry", "kd19", "s-grn", "stamped", "stamp", "it", "says")


def _stamp(text: str, paths: tuple[str, ...]) -> Values:
    """Read a grade stamp: species and grade in either order, or one of them."""
    words = [word for word in clean(text).replace(",", " ").split() if word not in _ON_A_STAMP]
    grades, species = names("grade"), names("species")
    for cut in range(len(words), -1, -1):
        one, other = plain(" ".join(words[:cut])), plain(" ".join(words[cut:]))
        for kind, grade in ((one, other), (other, one)):
            if (kind in species or not kind) and (grade in grades or not grade) and (kind or grade):
                found: Values = {paths[0]: species[kind]} if kind else {}
                return found | ({paths[1]: grades[grade]} if grade else {})
    known = [row["name"] for row in shipped("lumber")["species"]]
    near = near_names(text, known) or tuple(known[:3])
    return refuse(
        paths[0], text, f'species and grade, such as "SPF No.2" or "doug fir stud"; near: {", ".join(near)}'
    )


_READERS: dict[tuple[str, ...], Callable[[str, tuple[str, ...]], Values]] = {
    ("word",): _word,
    ("flag",): _flag,
    ("count",): _count,
    ("fastener",): _fastener,
    ("fastener", "fastener"): _fastener,
    ("size", "length"): _sized,
    ("fastener", "length"): _spaced,
    ("species", "grade"): _stamp,
}


# -- read in ways of their own ---------------------------------------------------------------------------


BARE_STUDS = ("bare", "bare studs", "studs only", "nothing yet", *NO)


def layers(text: str) -> Values:
    """Read what is nailed on.

    Args:
        text: layers with commas or "and" between, or bare.
    """
    return {"wall.layers": [] if clean(text) in BARE_STUDS else spoken.several(text)}


def studs(text: str) -> Values:
    """Read the studs: size and spacing, and their grade stamp.

    Args:
        text: such as "2x6 16 oc SPF No.2"; the stamp may be left out.

    Raises:
        InputError: no size in it, or more than these.

    Example:
        >>> list(studs("2x6 16 oc, SPF #2").values())
        ['2x6', '16 in', 'spruce-pine-fir', 'No.2']
    """
    said = spoken.sized(re.sub(r"\bstuds\b", " ", text, flags=re.IGNORECASE))  # one stud may be a grade
    if said is None:
        refuse("wall.studs", text, 'size, spacing and stamp, such as "2x6 16 oc, SPF No.2"')
    size, spacing, rest = said
    values: Values = {"wall.studs.size": size}
    values |= {"wall.studs.spacing": spacing} if spacing else {}
    return values | (_stamp(rest, ("wall.studs.species", "wall.studs.grade")) if rest.strip(" ,") else {})


SHAPES = {
    "level": ("level", "flat", "straight", "square", "regular", "eave", "even"),
    "gable": ("gable", "gabled", "peak", "peaked"),
    "rake": ("rake", "raked", "shed", "slope", "sloped", "sloping"),
}  # fmt: skip


def shape(text: str) -> str:
    """Read the shape of a wall's top, by what it is called.

    Args:
        text: such as "gable end".

    Returns:
        level, gable or rake; the text itself where it is none of them.
    """
    return _called(text, SHAPES)


def _called(text: str, names: Mapping[str, tuple[str, ...]]) -> str:
    """Give the name of what is called so, by its words; the text itself where they call two things or none."""
    word = clean(text).strip(" .")
    known = {name for name, called in names.items() if set(re.findall(r"[a-z]+", word)) & set(called)}
    return known.pop() if len(known) == 1 else word


FLOORS = {
    "deck": ("deck", "subfloor", "wood", "plywood", "osb", "joists", "framed"),
    "slab": ("slab", "concrete"),
    "ground": ("ground", "dirt", "outside", "soil", "earth", "grass", "gravel"),
}  # fmt: skip


def floor_kind(text: str) -> str:
    """Read what the braces stand on, by what it is called.

    Args:
        text: such as "concrete".

    Returns:
        deck, slab or ground; the text itself where it is none of them.
    """
    return _called(text, FLOORS)


def _short_written(option: str, text: str) -> list[object]:
    """Read what an option of the command line reads, with commas or colons between its pieces."""
    whole = option == "opening" and spoken.opening(text) is not None
    tables, faults = tables_of_options({option: [text if whole else text.replace(",", ":")]})
    if faults:
        example = faults[0].expected.replace(":", ", ")
        refuse(option, text, example)
    found = tables["brace"] if option == "brace" else tables["wall"]["opening"]
    return list(found)


def opening(text: str) -> Values:
    """Read a door or window: left edge, sill, width x height; and "open" where nothing covers it.

    Args:
        text: such as "13 ft, sill 3 ft, 6 ft x 4 ft"; a door has no sill.
    """
    if re.search(r"(?<![0-9.-])[2-9][0-9][6-9][0-9](?![0-9.])", text):  # 3068
        refuse(
            "wall.opening",
            text,
            "its rough opening, such as 20-0, 3-2 x 6-10 1/2: the hole is wider than its door",
        )
    return {"wall.opening": _short_written("opening", text)}


def brace_table(text: str) -> dict[str, object]:
    """Read a brace that is up, as its table in a file.

    Args:
        text: such as "18 ft, head 12 ft, back 10 ft, 2x6, 4/4/5, joist".
    """
    (table,) = _short_written("brace", text)
    assert isinstance(table, dict)
    return table


def brace(text: str) -> Values:
    """Read a brace that is up.

    Args:
        text: such as "18 ft, head 12 ft, back 10 ft, 2x6, 4/4/5, joist".
    """
    return {"brace": [brace_table(text)]}


RETURN_PARTS = 4
RETURN_LAPS = ("plate", "rim")


def ends(text: str) -> Values:
    """Read which ends are tied to a finished return wall.

    Args:
        text: none, left, right or both.

    Raises:
        InputError: none of these.
    """
    word = text.strip().lower()
    sides = {"none": (), "no": (), "left": ("left",), "right": ("right",), "both": ("left", "right")}
    if word not in sides:
        refuse("wall.left_end", text, "none, left, right or both")
    values: Values = {"wall.left_end": "free", "wall.right_end": "free"}
    for side in sides[word]:
        values[f"wall.{side}_end"] = "return"
        flags = ("plated", "nailed", "sheathed", "fastened_down")
        values |= {f"wall.{side}_return.{flag}": True for flag in flags}
    return values


def corner(text: str) -> Values:
    """Read the corner fasteners of return walls, for both sides; those of an end that is free are left out later.

    Args:
        text: such as "12 16d common".

    Raises:
        InputError: not how many and which.
    """
    count, _, rest = text.strip().partition(" ")
    if not count.isdecimal() or len(count) > 4 or not rest.strip():
        refuse("wall.return", text, 'how many and which, such as "12 16d common"')
    sides = tuple(f"wall.{side}_return" for side in ("left", "right"))
    made = _fastener(rest.removeprefix("of "), tuple(f"{side}.fastener" for side in sides))
    return made | {f"{side}.count": int(count) for side in sides}


def a_return(text: str) -> Values:
    """Read what a return holds by, for both sides; that of an end that is free is left out later.

    Args:
        text: such as "8 ft, osb 7/16, 8d common 6 in, 16d common 8 in, plate", or the name of its file. The last is
            what its sheathing is nailed to at its foot; nobody need know it.

    Raises:
        InputError: not these five.
    """
    sides = tuple(f"wall.{side}_return" for side in ("left", "right"))
    if text.strip().endswith(".toml"):
        return {f"{side}.wall": text.strip() for side in sides}
    parts = [part.strip() for part in text.split(",")]
    laps = parts.pop().lower() if len(parts) == RETURN_PARTS + 1 else ""
    if (
        len(parts) != RETURN_PARTS
        or laps not in ("", *RETURN_LAPS)
        or not is_length(parts[0])
        or not parts[1]
    ):
        refuse(
            "wall.return",
            text,
            "length, panel, edge nails, plate nails, and plate or rim, where its sheathing is nailed at its foot: "
            "8 ft, osb 7/16, 8d common 6 in, 16d common 8 in, plate",
        )
    values: Values = {}
    for side in sides:
        values |= {f"{side}.length": parts[0], f"{side}.sheathing": parts[1]}
        values |= _spaced(parts[2], (f"{side}.edge_nail", f"{side}.edge_spacing"))
        values |= _spaced(parts[3], (f"{side}.plate.fastener", f"{side}.plate.spacing"))
        values |= {f"{side}.plate.laps": laps} if laps else {}
    return values


def plate_state(text: str) -> Values:
    """Read how far the bottom plate is fastened.

    Args:
        text: tacked; final; or final into joists.

    Raises:
        InputError: none of these.
    """
    words = text.strip().lower().replace("nailed off", "final").split()
    rest = set(words[1:]) - {
        "into",
        "in",
        "the",
        "joists",
        "joist",
        "rim",
        "framing",
        "blocking",
        "or",
        "and",
    }
    if not words or words[0] not in ("tacked", "final") or rest:
        refuse("wall.plate.state", text, "tacked; final; or final into joists")
    values: Values = {"wall.plate.state": words[0]}
    return values | ({"wall.plate.into_framing": True} if len(words) > 1 else {})


def peak(text: str) -> Values:
    """Read the height of a peak, and where it is if not mid length; or the pitch of the roof.

    Args:
        text: such as "18 ft 6 in", "18-6 at 14-0" or "6/12".

    Example:
        >>> peak("18 ft at 14 ft"), peak("6:12 pitch")
        ({'wall.peak': '18 ft', 'wall.peak_at': '14 ft'}, {'wall.pitch': '6:12'})
    """
    high, _, where = clean(text).partition(" at ")
    try:
        pitch(high)
    except InputError:
        values: Values = {"wall.peak": high.strip()}
    else:
        values = {"wall.pitch": high.removesuffix("pitch").strip()}
    return values | ({"wall.peak_at": where.strip()} if where.strip() else {})


def is_length(text: str) -> bool:
    """Whether a text is a length with its unit.

    Args:
        text: as typed.
    """
    try:
        length(text)
    except InputError:
        return False
    return True


_STOREY = re.compile(
    r"(?:on )?(?:the )?(ground|main|first|second|third|1st|2nd|3rd)(?: (?:storey|story|floor|level))?(?: deck)?"
)
ON_GRADE = ("0", "zero", "grade", "on grade", "at grade")
_STOREYS = {
    **dict.fromkeys(("ground", "main", "first", "1st"), "3 ft"),
    **dict.fromkeys(("second", "2nd"), "14 ft 7 in"),
}


def floor_height(text: str) -> Values:
    """Read how high a floor is: a length, or its storey, each storey under it being as high as a house may have them.

    Args:
        text: as typed.

    Raises:
        InputError: neither.

    Source: IRC R301.3, 11 ft 7 in a storey; JUDGEMENT, 3 ft under the first.

    Example:
        >>> floor_height("second storey"), floor_height("3 ft")
        ({'floor.height_above_ground': '14 ft 7 in'}, {'floor.height_above_ground': '3 ft'})
    """
    if clean(text) in ON_GRADE:
        return {HEIGHT: "0 ft"}
    storey = _STOREY.fullmatch(clean(text).replace("upstairs", "second").removesuffix("."))
    if storey is None and not is_length(text):
        refuse(HEIGHT, text, 'a length such as "3 ft", or first, second or third storey')
    return {HEIGHT: text.strip() if storey is None else _STOREYS.get(storey[1].lower(), "26 ft 2 in")}


def dry(text: str) -> Values:
    """Read whether the lumber has been kept dry.

    Args:
        text: yes or no.
    """
    return {"wall.moisture": "dry" if yes_or_no(text, "wall.moisture") else "green"}


_JOIST_KINDS = (
    ("i[- ]?joists?", "i-joist"),
    ("(?:floor |open web )?truss(?:es)?", "truss"),
    ("solid|sawn|dimensional", "sawn"),
)
_JOIST_RUNS = (
    ("along", "along(?: (?:it|the wall))?|parallel(?: (?:to|with) (?:it|the wall))?|with the wall"),
    (
        "away",
        "away(?: from (?:it|the wall))?|perpendicular(?: to (?:it|the wall))?|square to (?:it|the wall)"
        "|out(?: from (?:it|the wall))?",
    ),
)
_FIRST = re.compile(
    rf"\b(?:the )?first(?: (?:one|joist))?(?: (?:at|is|in|from left))* ?({spoken.LENGTH}|[0-9]{{1,2}}\b(?! ?x))"
    r"(?: from (?:left|the (?:wall|end|plate)))?"
)
_DEPTH = re.compile(
    r"\b(?:9[ -]1/2|11[ -]7/8)(?: ?(?:in|\"))?(?: deep)?"
)  # of I-joists; nothing is reckoned from it


def joists(text: str) -> Values:
    """Read the joists: kind, size, spacing, direction and where the first one is, in any order.

    Args:
        text: such as "solid 2x10, 16 oc, away, first at 7 1/2".

    Raises:
        InputError: something in it is none of these.

    Example:
        >>> joists("I-joist 16 oc along")["floor.joists.kind"], joists("2x10 16 in, first at 8-0")["floor.joists.first"]
        ('i-joist', '8-0')
    """
    left, values = f" {clean(text)} ", dict[str, object]()
    first = _FIRST.search(left)
    if first is not None:
        left = f"{left[: first.start()]} {left[first.end() :]}"
        values["floor.joists.first"] = spoken.on_centre(first[1])
    for pattern, kind in _JOIST_KINDS:
        left, hits = re.subn(rf"(?<![a-z])(?:{pattern})(?![a-z])", " ", left)
        values |= {"floor.joists.kind": kind} if hits else {}
    for run, pattern in _JOIST_RUNS:
        left, hits = re.subn(rf"\b(?:running |run )?(?:{pattern})\b", " ", left)
        values |= {"floor.joists.run": run} if hits else {}
    left = _DEPTH.sub(" ", re.sub(r"\b(?:floor )?joists?\b", " ", left))
    said = spoken.sized(left)
    if said is not None:
        size, spacing, rest = said
        values |= {"floor.joists.size": size, "floor.joists.kind": "sawn"} | values
    else:
        size, spacing, rest = "", spoken.on_centre(left.strip(" ,@").removeprefix("at ")), ""
    if rest.strip(" ,") or (spacing and not is_length(spacing)):
        expected = 'kind, size, spacing, direction and the first one, such as "solid 2x10, 16 in, away, first at 8 in"'
        refuse("floor.joists", text, expected)
    return values | ({"floor.joists.spacing": spacing} if spacing else {})


def several(text: str, paths: tuple[str, ...], expected: str) -> Values:
    """Read one piece for each of some fields, with commas between.

    Args:
        text: as typed; the last piece may hold commas.
        paths: the fields.
        expected: what is expected where there are too few.

    Raises:
        InputError: too few.

    Example:
        >>> several("9 ft, 19 ft", ("wall.left_height", "wall.right_height"), "two")
        {'wall.left_height': '9 ft', 'wall.right_height': '19 ft'}
    """
    pieces = [piece.strip() for piece in text.split(",", len(paths) - 1)]
    if len(pieces) != len(paths):
        refuse(paths[0], text, expected)
    return dict(zip(paths, pieces, strict=True))


def ground(text: str) -> Values:
    """Read a stake (soil, width, depth driven) or a dead weight at each foot.

    Args:
        text: such as "clay, 3.5 in, 36 in" or "weight 1200 lb".
    """
    word, _, rest = text.strip().partition(" ")
    if word.lower() == "weight" and rest:
        return {"floor.ground.deadman_lb": rest.strip()}
    paths = ("floor.ground.soil", "floor.ground.stake_width", "floor.ground.embedment")
    expected = 'soil, width and depth of the stake, such as "clay, 3.5 in, 36 in", or "weight 1200 lb"'
    return several(text, paths, expected)


def keep_out(text: str) -> Values:
    """Read a rectangle no foot may stand in.

    Args:
        text: a name and two corners, such as "stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft".

    Raises:
        InputError: not a name and two corners.
    """
    name, colon, corners = text.partition(":")
    near, to, far = corners.partition(" to ")
    points = [[piece.strip() for piece in corner_.split(",")] for corner_ in (near, far)]
    if not colon or not to or any(len(point) != 2 for point in points):
        expected = (
            'a name and two corners, from LEFT and from the wall: "stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft"'
        )
        refuse("floor.keep_out", text, expected)
    return {"floor.keep_out": [{"name": name.strip(), "from": points[0], "to": points[1]}]}


def hill(text: str) -> Values:
    """Read whether it stands on a hill: no, or the topographic factor.

    Args:
        text: no, or a number.

    Raises:
        InputError: neither.
    """
    word = text.strip().lower()
    if word in NO:
        return {"site.hill": False, "site.kzt": 1.0}
    if not spoken.BARE.fullmatch(word):
        refuse("site.kzt", text, 'no, or the topographic factor Kzt of the wind standard, such as "1.3"')
    return {"site.hill": True, "site.kzt": float(word)}


def stock(text: str) -> Values:
    """Read the sticks on hand, a count first where there are only so many.

    Args:
        text: such as "2x6 16 ft, 12 of 2x4 14 ft".

    Raises:
        InputError: a piece without size or length.

    Example:
        >>> stock("12 of 2x4 14 ft")
        {'kit.stock': [{'size': '2x4', 'length': '14 ft', 'count': 12}]}
    """
    sticks: list[object] = []
    size = ""
    for piece in spoken.several(text):
        stick = spoken.stick(piece, size)
        if stick is None:
            refuse("kit.stock", piece, 'size and length, such as "2x6 16 ft" or "12 of 2x4 14 ft"')
        size = str(stick["size"])
        sticks.append(stick)
    return {"kit.stock": sticks}
